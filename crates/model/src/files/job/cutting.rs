//! `[cutting]` of a job file: choices about the cutting.

use crate::Length;
use crate::choices;
use crate::files::keys::Keys;
use crate::quantity::SpindleSpeed;

choices! {
    /// Who says speed, feed and depth of the cuts, and what for.
    Choose {
        AsGiven = "as-given": "the tools file says them",
        LeastCost = "least-cost": "chosen so that a part is cheapest",
        MostOutput = "most-output": "chosen so that parts are made soonest, edge changes with them",
        MostAlone = "most-alone": "chosen so that most parts are made before someone must come, and those soonest",
    }
}

choices! {
    /// Where the radius of a turning tool's nose is reckoned in.
    NoseIn {
        Path = "path": "in the written places: the path of the tip",
        Control = "control": "in the control: the written places are the part's, and its offset is on",
    }
}

/// Choices about the cutting.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutting {
    /// Highest spindle speed for this job, from the bar and how it is supported.
    pub max_speed: Option<SpindleSpeed>,
    /// Where the nose's radius is reckoned in on finishing passes.
    pub nose_in: NoseIn,
    /// Whether the program moves the parts catcher.
    pub catch_parts: bool,
    /// How far the parting tool goes past the axis, on the radius.
    pub past_center: Length,
    /// What an hour of lathe and person costs, in the money of the edges' prices.
    pub hour_rate: Option<f64>,
    /// Who says speed, feed and depth.
    pub choose: Choose,
}

impl Default for Cutting {
    /// Where the file says nothing.
    fn default() -> Cutting {
        Cutting {
            max_speed: None,
            nose_in: NoseIn::Path,
            catch_parts: false,
            past_center: Length::from_um(200),
            hour_rate: None,
            choose: Choose::AsGiven,
        }
    }
}

pub(super) fn keys(keys: &Keys<'_>) -> Cutting {
    Cutting {
        max_speed: keys
            .number(
                "max_speed",
                "highest spindle speed for this job, from the bar and how it is supported",
                "rev/min",
                1.0..=100_000.0,
            )
            .optional()
            .map(SpindleSpeed::from_rpm),
        nose_in: keys
            .choice("nose_in", "where the nose's radius is reckoned in on finishing passes")
            .or(NoseIn::Path),
        catch_parts: keys
            .flag("catch_parts", "whether the program moves the parts catcher under each part")
            .or(false),
        past_center: keys
            .length(
                "past_center",
                "how far the parting tool goes past the axis, on the radius",
                Length::ZERO..=Length::from_mm(5),
            )
            .or(Length::from_um(200)),
        hour_rate: keys
            .number(
                "hour_rate",
                "what an hour of lathe and person costs, in the money of the edges' prices",
                "",
                0.01..=100_000.0,
            )
            .optional(),
        choose: keys
            .choice("choose", "who says speed, feed and depth of the cuts, and what for")
            .or(Choose::AsGiven),
    }
}
