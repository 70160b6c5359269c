//! The gripper file (trade: bar puller).

use super::Read;
use super::keys::{self, Keys, Origin};
use crate::Length;
use crate::choices;
use crate::quantity::{FeedRate, Force, Seconds};
use crate::source::Source;

choices! {
    /// Which way the gripper goes onto the stub.
    Style {
        Radial = "radial": "down in X over the stub",
        Axial = "axial": "along Z onto the stub",
    }
}

/// What the fingers hold along the axis before they slip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// On the smallest stub, raw and clean.
    pub smallest: Force,
    /// On the largest stub, raw and clean.
    pub largest: Force,
    /// Share that is left on a turned stub.
    pub turned: f64,
    /// Share that is left on a stub with a burr.
    pub burr: f64,
    /// Share that is left on an oily stub.
    pub oil: f64,
}

/// The gripper as a shape, centered on the bar, from the chuck-side end of its fingers outward.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outline {
    /// Largest diameter over the fingers when they hold the largest stub.
    pub finger_diameter: Length,
    /// How deep the bar goes between the fingers before it meets the body; none where it passes.
    pub throat: Option<Length>,
    /// Largest diameter of the body behind the fingers.
    pub body_diameter: Length,
    /// From the ends of the fingers to the rear of the body.
    pub length: Length,
}

/// A spring gripper on a turret station.
#[derive(Debug, Clone)]
pub struct Gripper {
    /// Where its keys stand.
    pub origin: Origin,
    /// What the shop calls it.
    pub name: String,
    /// Which way it goes onto the stub.
    pub style: Style,
    /// Length of its fingers along the bar.
    pub fingers: Length,
    /// Least length of stub that its fingers must hold.
    pub least_engagement: Length,
    /// Least distance that it must keep from the jaw face.
    pub jaw_gap: Length,
    /// Smallest and largest stub it holds.
    pub diameter: (Length, Length),
    /// Fastest pull.
    pub pull_speed: FeedRate,
    /// Feed onto the stub and off it.
    pub approach_speed: FeedRate,
    /// Diameter (X) of a point clear of the stub, for going beside it.
    pub clear_x: Length,
    /// Distance in front of the stub at which it is clear.
    pub clear_z: Length,
    /// Wait on the stub before the chuck opens.
    pub settle: Seconds,
    /// Average shortfall of a pull; positive is short.
    pub bias: Length,
    /// Standard deviation of a pull.
    pub deviation: Length,
    /// What the fingers hold, where it is known.
    pub hold: Option<Hold>,
    /// Its shape, where it is known.
    pub outline: Option<Outline>,
}

impl Gripper {
    /// Reads a gripper file.
    pub fn read(source: &Source) -> Read<Gripper> {
        let read = keys::read(source, keys);
        let value = read.value.map(|(mut gripper, origin)| {
            gripper.origin = origin;
            gripper
        });
        Read { value, diagnostics: read.diagnostics }
    }
}

/// Every key of a gripper file.
pub(super) fn keys(keys: &Keys<'_>) -> Gripper {
    let size = Length::from_um(100)..=Length::from_mm(1000);
    let speed = |key, meaning| {
        FeedRate::from_mm_per_min(keys.number(key, meaning, "mm/min", 1.0..=100_000.0).required())
    };
    let fingers =
        keys.length("fingers", "length of the fingers along the bar", size.clone()).required();
    let least_engagement = keys
        .length("least_engagement", "least length of stub that the fingers must hold", size.clone())
        .required();
    if keys.sound("fingers") && least_engagement > fingers {
        let message = "the least engagement is longer than the fingers";
        keys.trouble("least_engagement", message, "write what the fingers can hold, or less");
    }
    let diameter_min =
        keys.length("diameter_min", "smallest stub it holds", size.clone()).required();
    let diameter_max =
        keys.length("diameter_max", "largest stub it holds", size.clone()).required();
    if keys.sound("diameter_min") && keys.sound("diameter_max") && diameter_max < diameter_min {
        let message = "the largest stub is smaller than the smallest";
        keys.trouble("diameter_max", message, "exchange `diameter_min` and `diameter_max`");
    }
    Gripper {
        origin: keys.origin(),
        name: keys.text("name", "what the shop calls this gripper").required(),
        style: keys.choice("style", "which way it goes onto the stub").required(),
        fingers,
        least_engagement,
        jaw_gap: keys
            .length(
                "jaw_gap",
                "least distance from the jaw face",
                Length::ZERO..=Length::from_mm(100),
            )
            .required(),
        diameter: (diameter_min, diameter_max),
        pull_speed: speed("pull_speed", "fastest pull"),
        approach_speed: speed("approach_speed", "feed onto the stub and off it"),
        clear_x: keys
            .length("clear_x", "diameter (X) at which it is clear beside the bar", size.clone())
            .required(),
        clear_z: keys
            .length("clear_z", "distance in front of the stub at which it is clear", size)
            .required(),
        settle: Seconds::from_s(
            keys.number("settle", "wait on the stub before the chuck opens", "s", 0.0..=60.0)
                .or(0.5),
        ),
        bias: keys
            .length(
                "bias",
                "average shortfall of a pull; positive is short",
                Length::from_mm(-10)..=Length::from_mm(10),
            )
            .or(Length::ZERO),
        deviation: keys
            .length("deviation", "standard deviation of a pull", Length::ZERO..=Length::from_mm(10))
            .required(),
        hold: keys.optional_table("hold", "what the fingers hold before they slip", hold),
        outline: keys
            .optional_table("outline", "the gripper as a shape", |keys| outline(keys, fingers)),
    }
}

fn outline(keys: &Keys<'_>, fingers: Length) -> Outline {
    let size = Length::from_mm(1)..=Length::from_mm(1000);
    let outline = Outline {
        finger_diameter: keys
            .length("finger_diameter", "largest diameter over the fingers", size.clone())
            .required(),
        throat: keys
            .length(
                "throat",
                "how deep the bar goes in before it meets the body; left out, it passes through",
                size.clone(),
            )
            .optional(),
        body_diameter: keys
            .length(
                "body_diameter",
                "largest diameter of the body behind the fingers",
                size.clone(),
            )
            .required(),
        length: keys
            .length("length", "from the ends of the fingers to the rear of the body", size)
            .required(),
    };
    if keys.sound("length") && outline.length < fingers {
        let message = "the whole gripper is shorter than its fingers";
        keys.trouble("length", message, "write the length with the fingers");
    }
    if keys.sound("throat") && outline.throat.is_some_and(|throat| throat < fingers) {
        let message = "the bar would meet the body before the fingers hold it whole";
        keys.trouble("throat", message, "write the length of the fingers or more");
    }
    outline
}

fn hold(keys: &Keys<'_>) -> Hold {
    let force =
        |key, meaning| Force::from_n(keys.number(key, meaning, "N", 0.1..=100_000.0).required());
    let share = |key, meaning, default| keys.number(key, meaning, "", 0.01..=1.0).or(default);
    Hold {
        smallest: force("smallest", "pull that it holds on the smallest stub, raw and clean"),
        largest: force("largest", "pull that it holds on the largest stub, raw and clean"),
        // 0.8 is the friction of jaws on turned steel over that on raw; the others are common
        // practice without a source.
        turned: share("turned", "share of it that is left on a turned stub", 0.8),
        burr: share("burr", "share of it that is left on a stub with a burr", 0.7),
        oil: share("oil", "share of it that is left on an oily stub", 0.6),
    }
}
