//! What stands around the bar, and how far the turret goes: what a proof needs to see what is hit.

use super::HUGE;
use crate::Length;
use crate::files::keys::Keys;

/// One step of the outline of chuck and jaws: from here back they reach to this diameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChuckStep {
    /// Distance from the jaw face back to where the step begins.
    pub behind: Length,
    /// Largest diameter that turns from there back to the next step.
    pub diameter: Length,
}

/// Where the turret stands at the ends of its travel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TravelEnds {
    /// Least and greatest diameter at which the turret's rim stands.
    pub x: (Length, Length),
    /// Least and greatest distance of the turret's face from the jaw face.
    pub z: (Length, Length),
}

impl TravelEnds {
    /// Whether the turret stands on the side of negative X.
    pub fn far_side(&self) -> bool {
        self.x.0.abs() > self.x.1.abs()
    }
}

/// The body of a turret that is a disk or drum, its axis along the spindle axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TurretBody {
    /// Diameter over its rim.
    pub diameter: Length,
    /// Its length along the spindle axis, behind its face.
    pub length: Length,
}

/// The list `chuck.step`, from the jaw face back.
pub(super) fn chuck_steps(keys: &Keys<'_>) -> Vec<ChuckStep> {
    let steps = keys.list("step", "one step of the outline of chuck and jaws", |keys| ChuckStep {
        behind: keys
            .length(
                "behind",
                "distance from the jaw face back to where the step begins; the first is 0",
                Length::ZERO..=HUGE,
            )
            .required(),
        diameter: keys
            .length(
                "diameter",
                "largest diameter that turns from there back to the next step",
                Length::from_mm(1)..=HUGE,
            )
            .required(),
    });
    for (index, step) in steps.iter().enumerate() {
        let key = format!("step[{index}].behind");
        let before = index.checked_sub(1).map(|before| steps[before].behind);
        if !keys.sound(&key) {
            continue;
        }
        match before {
            None if step.behind != Length::ZERO => {
                let message = "the outline of the jaws begins behind their face";
                keys.trouble(&key, message, "write 0 in the first step");
            }
            Some(before) if step.behind <= before => {
                let message = "this step begins in front of the one before it";
                keys.trouble(&key, message, "write the steps from the jaw face back");
            }
            _ => {}
        }
    }
    steps
}

/// The table `travel.ends`.
pub(super) fn travel_ends(keys: &Keys<'_>) -> TravelEnds {
    let place = |key, meaning| keys.length(key, meaning, -HUGE..=HUGE).required();
    let ends = TravelEnds {
        x: (
            place("x_least", "least diameter (X) at which the turret's rim stands"),
            place("x_most", "greatest diameter (X) at which the turret's rim stands"),
        ),
        z: (
            place("z_least", "least distance of the turret's face from the jaw face"),
            place("z_most", "greatest distance of the turret's face from the jaw face"),
        ),
    };
    for (least, most, (from, to)) in [("x_least", "x_most", ends.x), ("z_least", "z_most", ends.z)]
    {
        if keys.sound(least) && keys.sound(most) && to <= from {
            let message = "the travel ends before it begins";
            keys.trouble(most, message, format!("exchange `{least}` and `{most}`"));
        }
    }
    ends
}

/// The table `turret.body`.
pub(super) fn turret_body(keys: &Keys<'_>) -> TurretBody {
    let size = Length::from_mm(1)..=HUGE;
    TurretBody {
        diameter: keys.length("diameter", "diameter over its rim", size.clone()).required(),
        length: keys
            .length("length", "its length along the spindle axis, behind its face", size)
            .required(),
    }
}
