//! How the gripper draws the bar: what holds it back against what the fingers hold.

use crate::bar::BarPlan;
use crate::spindle;
use calc::pull::drag::{self, HOLD_SCATTER, LINER_FRICTION, Pull, Pulled, Stub};
use calc::spread::Spread;
use calc::station::Lack;
use calc::weight;
use model::Length;
use model::files::job::{BarShape, Job};
use model::quantity::{Force, Mass};

/// By how much the hold is to exceed the drag. Common practice.
pub const FACTOR: f64 = 2.0;

/// One pull of the fullest bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The longest blank, as it is at its heaviest.
    pub mass: Mass,
    /// What the fingers hold: from a stub with burr and oil over an oily one to a clean one, and
    /// [`HOLD_SCATTER`] beyond both ends.
    pub hold: Spread<Force>,
    /// Drag, margin, and the heaviest bar that may be drawn with [`FACTOR`].
    pub pulled: Pulled,
}

/// The pull of a job.
///
/// The stub is raw bar: the outside of the part ends inside the part-off width. A bent bar presses
/// on what guides it as [`drag::side_load`] has it, its play that of the narrowest guide, or of the
/// spindle's bore where no guide is told of.
///
/// # Errors
/// The gripper file has no `[hold]`, the material no `[stiffness]`, or a figure is out of range.
pub fn reckon(job: &Job, bar: &BarPlan) -> Result<Drawn, Lack> {
    let file = &job.file;
    let hold = job.gripper.hold.as_ref();
    let hold = hold.ok_or_else(|| Lack::of("hold", "the gripper file has no table `[hold]`"))?;
    let material = &job.material;
    let stiffness = material.stiffness.as_ref().ok_or_else(|| {
        let name = &material.name;
        Lack::of("stiffness", format!("the material file of {name} has no table `[stiffness]`"))
    })?;
    let on = |burr, oil| {
        let stub = Stub { turned: false, burr, oil };
        drag::hold(hold, job.gripper.diameter, file.bar.size, stub).map(Force::n)
    };
    let hold = Spread {
        low: on(true, true)? * (1.0 - HOLD_SCATTER),
        nominal: on(false, true)?,
        high: on(false, false)? * (1.0 + HOLD_SCATTER),
    };
    let longest = bar.blank + bar.tolerance;
    let mass = weight::mass(file.bar.shape, file.bar.size, longest, material.density);
    let bow = spindle::bow_of(job);
    let rise = drag::bow_mm(bow.rise * 2, bow.over, longest)?;
    let side = drag::side_load(round(job), longest, stiffness.modulus, rise, play(job))?;
    let hold = hold.map(Force::from_n);
    let pull = Pull {
        mass,
        friction: LINER_FRICTION,
        acceleration: job.lathe.rapid.z_acceleration,
        side_load: side,
        hold,
        factor: FACTOR,
    };
    Ok(Drawn { mass, hold, pulled: pull.reckoned()? })
}

/// The diameter of a round bar that bends as this one: of equal second moment of area, I = π·d⁴/64;
/// 0.0601·s⁴ for a hexagon and s⁴/12 for a square across flats s.
fn round(job: &Job) -> Length {
    let size = job.file.bar.size;
    // (64·0.06014/π)^¼ and (64/(12·π))^¼.
    let factor = match job.file.bar.shape {
        BarShape::Round => return size,
        BarShape::Hexagon => 1.052_1,
        BarShape::Square => 1.141_5,
    };
    Length::nearest_mm(size.mm() * factor)
}

/// How far the bar can move between the walls of what guides it, both sides together.
fn play(job: &Job) -> Length {
    let reach = job.file.bar.reach();
    let guides = job.lathe.bar_way.iter().flat_map(|way| &way.guides);
    let narrowest = guides.filter_map(|guide| guide.play_of(reach)).min();
    let bore = || (job.lathe.spindle.bore.half() - reach).max(Length::ZERO);
    narrowest.unwrap_or_else(bore) * 2
}

#[cfg(test)]
mod tests {
    /// The factors of [`super::round`] from the second moments, by hand: hexagon 5·√3/144·s⁴.
    #[test]
    fn a_round_bar_that_bends_as_a_hexagon_or_square() {
        let of = |moment: f64| libm::pow(64.0 * moment / std::f64::consts::PI, 0.25);
        assert!((of(5.0 * libm::sqrt(3.0) / 144.0) - 1.052_1).abs() < 1e-4);
        assert!((of(1.0 / 12.0) - 1.141_5).abs() < 1e-4);
    }
}
