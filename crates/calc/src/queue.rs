//! Lathes that wait for people: the finite-source queue (machine interference).
//!
//! Machines run, stop, wait until one of the people is free, are attended, and run again. A machine that stands does
//! not stop again, so that a source of finitely many machines calms itself.

use crate::OutOfRange;

/// Machines alike, attended by people alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FiniteSource {
    /// Machines.
    pub machines: u32,
    /// People, each of whom attends any machine.
    pub people: u32,
    /// Mean time of attending over mean time of running: λ/µ.
    pub ratio: f64,
}

/// Most machines of one pool.
const MOST: u32 = 1000;

impl FiniteSource {
    /// Machines, people, and the share λ/µ of attending in running.
    ///
    /// Valid: 1 to 1,000 machines, at least one of the people, a ratio from 0 to 1,000.
    ///
    /// # Errors
    /// Figures outside of that.
    pub fn new(machines: u32, people: u32, ratio: f64) -> Result<FiniteSource, OutOfRange> {
        let sound = (1..=MOST).contains(&machines) && people > 0 && (0.0..=1000.0).contains(&ratio);
        sound.then_some(FiniteSource { machines, people, ratio }).ok_or(OutOfRange)
    }

    /// The chance that just so many machines stand, waiting or attended, for 0 to all of them.
    ///
    /// Running and attending times are exponential: M/M/c//N. Each chance over the one before it is
    /// `(N − i)·λ / (min(i + 1, c)·µ)`.
    /// Source: birth and death, any textbook of queues.
    /// Held to: `handbook/queue.toml`.
    pub fn chances(&self) -> Vec<f64> {
        let mut chances = vec![1.0];
        let mut last = 1.0;
        for standing in 0..self.machines {
            let attended = (standing + 1).min(self.people);
            last *= f64::from(self.machines - standing) * self.ratio / f64::from(attended);
            chances.push(last);
            // Large pools leave the range of floats before their sum is one.
            if last > 1e200 {
                for chance in &mut chances {
                    *chance *= 1e-200;
                }
                last *= 1e-200;
            }
        }
        let all: f64 = chances.iter().sum();
        chances.iter().map(|chance| chance / all).collect()
    }

    /// Machines that stand, waiting or attended, on average.
    pub fn standing(&self) -> f64 {
        self.mean(|standing| standing)
    }

    /// Machines that wait for someone, on average.
    pub fn waiting(&self) -> f64 {
        let people = f64::from(self.people);
        self.mean(|standing| (standing - people).max(0.0))
    }

    /// People who attend a machine, on average.
    pub fn busy(&self) -> f64 {
        let people = f64::from(self.people);
        self.mean(|standing| standing.min(people))
    }

    /// The share of its time that a machine runs.
    pub fn running_share(&self) -> f64 {
        1.0 - self.standing() / f64::from(self.machines)
    }

    /// How long a machine waits each time until someone comes, as a multiple of the mean time of attending: by
    /// Little's law, over the stops that there are.
    pub fn wait(&self) -> f64 {
        let stops = (f64::from(self.machines) - self.standing()) * self.ratio;
        if stops > 0.0 { self.waiting() / stops } else { 0.0 }
    }

    /// The chance that a machine that stops finds nobody free: it sees the others as if they were alone.
    /// Source: arrival theorem of closed queues.
    pub fn must_wait(&self) -> f64 {
        if self.machines == 1 {
            return 0.0;
        }
        let others = FiniteSource { machines: self.machines - 1, ..*self };
        others.chances().iter().skip(self.people as usize).sum()
    }

    fn mean(&self, of: impl Fn(f64) -> f64) -> f64 {
        let each = self.chances().into_iter().enumerate();
        each.map(|(standing, chance)| chance * of(standing as f64)).sum()
    }
}

/// Machines that run on average where one person attends them and attending always takes as long; running times
/// are exponential.
///
/// `E = Σ_{j=0}^{N−1} C(N−1, j)·Π_{i=1}^{j} (e^{i·p} − 1)` with p the time of attending over the mean running time;
/// the person is busy for the share `U = E / (E + 1/(N·p))`, and `U/p` machines run.
///
/// Valid: 1 to 200 machines, a ratio above 0 and up to 10; beyond what floats hold, U is one.
/// Source: Ashcroft 1950, *The productivity of several machines under the care of one operator*; from memory, his
/// paper and tables were not seen.
/// Held to: `handbook/queue.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn running_with_even_service(machines: u32, ratio: f64) -> Result<f64, OutOfRange> {
    if !((1..=200).contains(&machines) && ratio > 0.0 && ratio <= 10.0) {
        return Err(OutOfRange);
    }
    let (mut sum, mut term) = (1.0, 1.0);
    for j in 1..machines {
        let choose = f64::from(machines - j) / f64::from(j);
        term *= choose * libm::expm1(f64::from(j) * ratio);
        sum += term;
    }
    let idle = 1.0 / (f64::from(machines) * ratio);
    let busy = if sum.is_finite() { sum / (sum + idle) } else { 1.0 };
    Ok(busy / ratio)
}
