//! What of the bar's skin is turned off: for each stretch of the outside the least size of bar of which
//! it is turned all around, and the size of the stock list that is enough.

use crate::bar::BarPlan;
use calc::skin;
use calc::spread::Spread;
use calc::station::Lack;
use calc::weight;
use calc::whirl::Bow;
use model::Length;
use model::files::job::{BarShape, BarSurface, Job};
use model::quantity::Mass;

/// One stretch of the outside that this lathe makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Distance behind the finished front face at which it starts.
    pub from: Length,
    /// The diameter to cut, where it is largest.
    pub cut: Length,
    /// Largest and smallest deviation of the drawing; both zero where it has none.
    pub deviations: (Length, Length),
    /// Largest and smallest that the drawing allows there.
    pub limits: (Length, Length),
}

impl Stretch {
    /// Whether it is a cylinder as large as a round bar of this size, and so left as it is.
    pub fn stays_raw(&self, shape: BarShape, size: Length) -> bool {
        shape == BarShape::Round && self.cut >= size
    }
}

/// The stretches of the outside from the front face back.
pub fn stretches(job: &Job) -> Vec<Stretch> {
    let mut stretches = Vec::new();
    let (mut from, mut before) = (Length::ZERO, Length::ZERO);
    let features = job.file.part.features.iter();
    for feature in features.filter(|it| it.on_outside() && !it.later) {
        let largest = feature.largest(from, before);
        let (upper, lower) = feature.deviations;
        stretches.push(Stretch {
            from,
            cut: largest + (upper + lower).half(),
            deviations: (upper, lower),
            limits: (largest + upper, largest + lower),
        });
        (from, before) = (feature.to, feature.diameter);
    }
    stretches
}

/// The bar and the chuck, as far as cleaning up needs them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    bow: Bow,
    total_run_out: Length,
    /// Distance of the finished front face from the jaws, for the first part of an advance.
    front: Length,
}

impl Standing {
    /// Takes the figures of a job.
    ///
    /// # Errors
    /// What the files do not say.
    pub fn of(job: &Job, bar: &BarPlan) -> Result<Standing, Lack> {
        let condition = job.file.bar.condition;
        if condition.and_then(|it| it.surface) == Some(BarSurface::Rolled) {
            let why = "the bar is hot rolled (`surface` under [bar.condition]): its sizes are not those of a tolerance class, and no figure here says how deep its scale goes";
            return Err(Lack::of("surface", why));
        }
        let Some((rise, over)) = condition.and_then(|it| Some((it.bow?, it.over))) else {
            let why =
                "the job file does not say how straight the bar is (`bow` under [bar.condition])";
            return Err(Lack::of("bow", why));
        };
        let Some(total_run_out) = job.lathe.grip.as_ref().and_then(|grip| grip.total_run_out)
        else {
            let why = "the lathe file does not say how far the chuck holds a bar off the axis (`total_run_out` under [grip])";
            return Err(Lack::of("total_run_out", why));
        };
        Ok(Standing { bow: Bow { rise, over }, total_run_out, front: -bar.jaw_face })
    }

    /// The least size of bar of which a stretch is turned all around, the largest that the drawing
    /// allows of it; for the first part of an advance, which stands out farthest.
    pub fn least_size(&self, stretch: &Stretch) -> Option<Spread<Length>> {
        let off = skin::off_axis(self.bow, self.front - stretch.from).ok()?;
        Some(skin::least_size(stretch.limits.0, self.total_run_out, off))
    }

    /// Whether a bar of this nominal size gives every stretch in any case: turned all around, or as
    /// raw as the drawing allows.
    pub fn is_enough(&self, job: &Job, size: Length) -> bool {
        let Some((least, most)) = job.file.bar.limits_at(size) else { return false };
        stretches(job).iter().all(|stretch| {
            if stretch.stays_raw(job.file.bar.shape, size) {
                let (upper, lower) = stretch.limits;
                return stretch.cut == size && lower <= least && most <= upper;
            }
            self.least_size(stretch).is_some_and(|needed| needed.high <= least)
        })
    }

    /// The smallest size of the stock list that is enough.
    pub fn smallest(&self, job: &Job) -> Option<Length> {
        let sizes = job.file.bar.sizes.iter().copied();
        sizes.filter(|size| self.is_enough(job, *size)).min()
    }
}

/// What the blanks of an order weigh in bar of another size.
pub fn mass_in(job: &Job, bar: &BarPlan, size: Length) -> Mass {
    let length = bar.blank * i64::from(bar.blanks.unwrap_or(0));
    weight::mass(job.file.bar.shape, size, length, job.material.density)
}
