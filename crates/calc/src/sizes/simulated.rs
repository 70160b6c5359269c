//! What the rest of this folder promises, tried on seeded chance.

use super::capability::capability;
use super::chart::Chart;
use super::gauging::until_limit;
use super::noise::Noise;
use super::offset::{Advice, Aim, next_move};
use super::series::since;
use super::summary::SizeSummary;
use super::trend::Trend;
use super::{Band, Moved, Reading};
use model::Length;
use model::quantity::Probability;

const SURE: Probability = Probability::from_ratio(0.95);

fn mm(mm: f64) -> Length {
    Length::nearest_mm(mm)
}

/// How the offset is moved.
#[derive(Clone, Copy)]
enum Way {
    Leave,
    AfterEveryPart,
    NextMove,
}

/// Mean square of sizes off their aim, in variances of the noise. Every part is gauged; sigma is
/// estimated by a chart of the first 30, as a shop would.
fn mean_square(way: Way, drift: f64, seed: u64) -> f64 {
    let (sigma, parts) = (0.004, 4000);
    let mut noise = Noise::new(seed);
    let part = |part, size| Reading { part, size };
    let before: Vec<Reading> =
        (1..=30).map(|it| part(it, mm(12.0 + sigma * noise.normal()))).collect();
    let aim = Aim {
        size: Length::from_mm(12),
        sigma: Chart::individuals(&before).unwrap().sigma,
        least: Length::from_um(1),
        step: Length::from_um(1),
        ahead: 1,
    };
    let (mut read, mut moves) = (Vec::new(), Vec::new());
    let (mut offset, mut squares) = (Length::ZERO, 0.0);
    for at in 1..=parts {
        let size = mm(12.0 + sigma * noise.normal() + drift * f64::from(at)) + offset;
        squares += ((size - aim.size).mm() / sigma) * ((size - aim.size).mm() / sigma);
        read.push(part(at, size));
        match way {
            Way::Leave => {}
            Way::AfterEveryPart => offset += aim.size - size,
            Way::NextMove => {
                // At most the last 60 are looked at, so that an old drift is forgotten.
                let looked = since(&read, at.saturating_sub(60));
                if let Advice::Move { by, .. } = next_move(&looked, &moves, aim).unwrap() {
                    offset += by;
                    moves.push(Moved { before: at + 1, by });
                }
            }
        }
    }
    squares / f64::from(parts)
}

fn over_seeds(way: Way, drift: f64, seeds: u64) -> f64 {
    let seeds = 1..=seeds;
    seeds.clone().map(|seed| mean_square(way, drift, seed)).sum::<f64>() / seeds.count() as f64
}

#[test]
fn moves_do_not_chase_noise() {
    let [left, every, ours] =
        [Way::Leave, Way::AfterEveryPart, Way::NextMove].map(|way| over_seeds(way, 0.0, 25));
    assert!((left - 1.0).abs() < 0.02, "{left}");
    // Deming's funnel, rule 2: exactly twice.
    assert!((every / left - 2.0).abs() < 0.05, "{every}");
    assert!(ours / left < 1.03, "{ours} against {left}");
}

#[test]
fn moves_follow_wear() {
    // Wear a part of a fortieth, a tenth and a quarter of the deviation.
    for drift in [1e-4, 4e-4, 1e-3] {
        let [left, every, ours] =
            [Way::Leave, Way::AfterEveryPart, Way::NextMove].map(|way| over_seeds(way, drift, 5));
        assert!(left > 1000.0 && ours < every, "{drift}: {ours} against {every}");
    }
}

#[test]
fn one_further_part_lies_within_its_interval_as_often_as_said() {
    let mut noise = Noise::new(11);
    let (mut inside, mut below, runs) = (0, [0; 4], 4000);
    let chances = [0.02, 0.1, 0.5, 0.9];
    for _ in 0..runs {
        let mut size = |part: u32| mm(12.0 + 0.003 * noise.normal() + 2e-4 * f64::from(part));
        let readings: Vec<Reading> =
            (1..=12).map(|it| Reading { part: it * 5, size: size(it * 5) }).collect();
        let trend = Trend::of(&readings).unwrap();
        let (next, at) = (size(90), trend.size_of(90, SURE).unwrap());
        inside += u32::from(at.low <= next && next <= at.high);
        // The chance of a size beyond the one that came is itself below p with chance p.
        let beyond = trend.chance_outside(90, Band::new(None, Some(next)).unwrap()).ratio();
        for (count, chance) in below.iter_mut().zip(chances) {
            *count += u32::from(beyond < chance);
        }
    }
    let share = f64::from(inside) / f64::from(runs);
    assert!((share - 0.95).abs() < 0.011, "{share}");
    for (count, chance) in below.into_iter().zip(chances) {
        let share = f64::from(count) / f64::from(runs);
        assert!((share - chance).abs() < 0.025, "{share} of {chance}");
    }
}

#[test]
fn a_gauge_limit_holds_its_risk() {
    let mut noise = Noise::new(21);
    let (runs, risk) = (1500, Probability::from_ratio(0.05));
    let (mut broken, mut parts) = (0, 0_u64);
    for _ in 0..runs {
        let mut size = |part: u32| mm(12.0 + 0.002 * noise.normal() + 2e-4 * f64::from(part));
        let readings: Vec<Reading> =
            (1..=10).map(|it| Reading { part: it * 4, size: size(it * 4) }).collect();
        let band = Band::new(Some(mm(11.98)), Some(mm(12.025))).unwrap();
        let trend = Trend::of(&readings).unwrap();
        let limit = until_limit(&trend, band, 40, risk, 500).unwrap();
        assert!(limit.by_drift && limit.chance.ratio() <= risk.ratio());
        parts += u64::from(limit.parts);
        broken += u32::from((41..=40 + limit.parts).any(|part| !band.holds(size(part))));
    }
    let (share, mean) = (f64::from(broken) / f64::from(runs), parts as f64 / f64::from(runs));
    assert!(share < 0.05, "{share}");
    // Useful too: the line itself meets the limit 85 parts on.
    assert!(mean > 30.0, "{mean}");
}

#[test]
fn capability_intervals_hold_the_truth_as_often_as_said() {
    let mut noise = Noise::new(31);
    let band = Band::new(Some(mm(11.97)), Some(mm(12.03))).unwrap();
    let (sigma, mean) = (0.006, 12.005);
    let (cp, cpk) = (0.06 / (6.0 * sigma), 0.025 / (3.0 * sigma));
    let (mut in_cp, mut in_cpk, runs) = (0, 0, 4000);
    for _ in 0..runs {
        let sizes: Vec<Length> = (0..30).map(|_| mm(mean + sigma * noise.normal())).collect();
        let seen = SizeSummary::of(&sizes).unwrap();
        let said = capability((seen.mean, seen.deviation), seen.count, band, SURE).unwrap();
        let holds =
            |spread: crate::spread::Spread<f64>, truth| spread.low <= truth && truth <= spread.high;
        in_cp += u32::from(holds(said.cp.unwrap(), cp));
        in_cpk += u32::from(holds(said.cpk, cpk));
    }
    let share = |inside: u32| f64::from(inside) / f64::from(runs);
    assert!((share(in_cp) - 0.95).abs() < 0.011);
    assert!((share(in_cpk) - 0.95).abs() < 0.02);
}

#[test]
fn wear_is_seen_across_an_offset_move() {
    let read = |part: u32, um: f64| Reading { part, size: mm(12.0 + um * 1e-3) };
    let readings: Vec<Reading> =
        (1..=20).map(|it| read(it * 10, f64::from(it) - if it > 10 { 9.0 } else { 0.0 })).collect();
    let moves = [Moved { before: 105, by: Length::from_um(-9) }];
    let trend = Trend::of(&super::series::without_moves(&readings, &moves)).unwrap();
    assert_eq!(trend.drift(1000, SURE).unwrap().nominal, Length::from_um(100));
    assert_eq!(trend.scatter(), Length::ZERO);
}
