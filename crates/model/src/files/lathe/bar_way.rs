//! What guides the bar between the jaws and the rear end of the spindle.

use super::HUGE;
use crate::Length;
use crate::choices;
use crate::files::keys::Keys;
use crate::quantity::{BedStiffness, Force, Stiffness, TiltStiffness};

choices! {
    /// What guides the bar at one place.
    GuideKind {
        Ring = "ring": "a ring or disc in the spindle or liner",
        Liner = "liner": "a full liner, which guides the bar all along",
        Bushing = "bushing": "a bushing at the rear end of the spindle",
    }
}

/// One thing that guides the bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Guide {
    /// What it is.
    pub kind: GuideKind,
    /// From the jaw face to where it is, or to where a liner begins.
    pub at: Length,
    /// From the jaw face to where a liner ends; none for the others.
    pub to: Option<Length>,
    /// Its inside diameter, where that is given.
    pub bore: Option<Length>,
    /// What the bar can move before it holds, on the radius, where that is given.
    pub play: Option<Length>,
    /// How it gives way sideways; none: it does not. For a ring or bushing.
    pub stiffness: Option<Stiffness>,
    /// The same for a liner, for each length of it.
    pub bed_stiffness: Option<BedStiffness>,
}

impl Guide {
    /// What a bar with this reach, the farthest point of its section from the axis, can move on
    /// the radius before the guide holds it; none where the bar does not go through.
    pub fn play_of(&self, reach: Length) -> Option<Length> {
        match (self.play, self.bore) {
            (Some(play), _) => Some(play),
            (None, Some(bore)) => Some(bore.half() - reach).filter(|play| !play.is_negative()),
            (None, None) => Some(Length::ZERO),
        }
    }
}

/// The way of the bar behind the jaws.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BarWay {
    /// What guides the bar.
    pub guides: Vec<Guide>,
    /// Stiffness of the jaws' hold sideways and against tilt; none: they do not give way.
    pub jaws: Option<(Stiffness, TiltStiffness)>,
    /// Most play on the radius with which a guide counts as one; none where the shop says nothing.
    pub most_play: Option<Length>,
    /// Highest speed as a fraction of the bar's critical speed; none where the shop says nothing.
    pub separation: Option<f64>,
    /// Largest force of a bent bar that the spindle is to bear; none where it is not known.
    pub most_side_force: Option<Force>,
}

pub(super) fn keys(keys: &Keys<'_>) -> BarWay {
    let positive = |key, meaning, unit| keys.number(key, meaning, unit, 1e-3..=1e9).optional();
    let lateral = positive(
        "jaw_stiffness",
        "how stiff the jaws hold the bar sideways; left out, rigid",
        "N/mm",
    );
    let tilt =
        positive("jaw_tilt_stiffness", "how stiff the jaws hold the bar against tilt", "N·m/rad");
    for (key, own, other) in
        [("jaw_stiffness", lateral, tilt), ("jaw_tilt_stiffness", tilt, lateral)]
    {
        if own.is_some()
            && other.is_none()
            && keys.sound("jaw_stiffness")
            && keys.sound("jaw_tilt_stiffness")
        {
            let message = "the jaws' stiffness is told only by half";
            keys.trouble(
                key,
                message,
                "write both jaw_stiffness and jaw_tilt_stiffness, or neither",
            );
        }
    }
    BarWay {
        guides: keys.list("guide", "one thing that guides the bar behind the jaws", guide),
        jaws: lateral.zip(tilt).map(|(lateral, tilt)| {
            (Stiffness::from_n_per_mm(lateral), TiltStiffness::from_nm_per_rad(tilt))
        }),
        most_play: keys
            .length(
                "most_play",
                "most play on the radius with which a guide counts as one; left out, 0.5 mm",
                Length::ZERO..=Length::from_mm(50),
            )
            .optional(),
        separation: keys
            .number(
                "separation",
                "highest speed as a fraction of the bar's critical speed; left out, 0.7",
                "",
                0.1..=0.95,
            )
            .optional(),
        most_side_force: keys
            .number(
                "most_side_force",
                "largest force of a bent bar that the spindle is to bear",
                "N",
                1.0..=1e6,
            )
            .optional()
            .map(Force::from_n),
    }
}

fn guide(keys: &Keys<'_>) -> Guide {
    let kind = keys.choice("kind", "what guides the bar").required();
    let at = keys
        .length(
            "at",
            "from the jaw face to where it is, or to where a liner begins",
            Length::ZERO..=HUGE,
        )
        .required();
    let to = keys
        .length("to", "from the jaw face to where a liner ends", Length::ZERO..=HUGE)
        .optional();
    let guide = Guide {
        kind,
        at,
        to,
        bore: keys.length("bore", "its inside diameter", Length::from_um(500)..=HUGE).optional(),
        play: keys
            .length(
                "play",
                "what the bar can move before it holds, on the radius",
                Length::ZERO..=Length::from_mm(500),
            )
            .optional(),
        stiffness: keys
            .number(
                "stiffness",
                "how stiff a ring or bushing is sideways; left out, rigid",
                "N/mm",
                1e-3..=1e9,
            )
            .optional()
            .map(Stiffness::from_n_per_mm),
        bed_stiffness: keys
            .number(
                "bed_stiffness",
                "how stiff a liner is sideways, for each length of it; left out, rigid",
                "N/mm²",
                1e-6..=1e6,
            )
            .optional()
            .map(BedStiffness::from_n_per_mm2),
    };
    goes_together(keys, &guide);
    guide
}

fn goes_together(keys: &Keys<'_>, guide: &Guide) {
    if guide.bore.is_some() && guide.play.is_some() {
        let message = "bore and play both say how loose the bar is";
        keys.trouble("play", message, "write one of them");
    }
    if !keys.sound("kind") {
        return;
    }
    let liner = guide.kind == GuideKind::Liner;
    match guide.to {
        None if liner && keys.sound("to") => {
            keys.needs("kind", "a liner", &["to"]);
        }
        Some(to) if liner && keys.sound("at") && to <= guide.at => {
            keys.trouble("to", "the liner ends where it begins or before", "write where it ends");
        }
        Some(_) if !liner => {
            keys.trouble(
                "to",
                "only a liner has an end",
                "leave it out, or write kind = \"liner\"",
            );
        }
        _ => {}
    }
    if liner && guide.stiffness.is_some() {
        let help = "write bed_stiffness, in N/mm for each mm";
        keys.trouble("stiffness", "a liner's stiffness is told for each length", help);
    }
    if !liner && guide.bed_stiffness.is_some() {
        let message = "only a liner has a stiffness for each length";
        keys.trouble("bed_stiffness", message, "write stiffness, in N/mm");
    }
}
