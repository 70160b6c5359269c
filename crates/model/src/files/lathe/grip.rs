//! What a chuck or collet holds, and how it gives way.

use super::{HUGE, Keys};
use crate::Length;
use crate::choices;
use crate::quantity::{Force, MassRadius, RadialCompliance, TiltCompliance};

choices! {
    /// What holds the bar.
    HolderKind {
        Jaw = "jaw": "jaws that slide, and lose grip with speed",
        Collet = "collet": "a collet or clamping head",
    }
}

choices! {
    /// The surface that touches the bar.
    JawSurface {
        Smooth = "smooth": "smooth, bored or ground",
        FineSerration = "fine": "fine serrations",
        CoarseSerration = "coarse": "coarse teeth that bite",
    }
}

/// What a chuck or collet holds, and how it gives way.
#[derive(Debug, Clone, PartialEq)]
pub struct Grip {
    /// What holds the bar.
    pub kind: HolderKind,
    /// Grip at rest, the sum over all jaws.
    pub force: Force,
    /// How many jaws it has.
    pub jaws: u32,
    /// Σ m·r of all jaws; for jaws.
    pub mass_radius: Option<MassRadius>,
    /// Share of the grip that is lost at the chuck's highest speed, from 0 to 1; for a collet.
    pub lost: Option<f64>,
    /// The surface that touches the bar.
    pub surface: JawSurface,
    /// Smallest and largest bar that it grips.
    pub diameter: Option<(Length, Length)>,
    /// Total run-out that a gauge shows on a true bar close to the jaws.
    pub total_run_out: Option<Length>,
    /// How far the bar gives way sideways at the jaw face.
    pub radial: Option<RadialCompliance>,
    /// How far the bar tilts in the jaws.
    pub tilt: Option<TiltCompliance>,
}

/// The keys of `[grip]`.
pub(super) fn grip(keys: &Keys<'_>) -> Grip {
    let kind = keys.choice("kind", "what holds the bar").required();
    let mass_radius = keys
        .number(
            "mass_radius",
            "mass of each jaw times the radius of its center of gravity, the sum over all jaws",
            "kg·m",
            0.0..=100.0,
        )
        .optional()
        .map(MassRadius::from_kg_m);
    let lost = keys
        .number(
            "lost",
            "share of the grip that is lost at the chuck's highest speed",
            "",
            0.0..=1.0,
        )
        .optional();
    match kind {
        HolderKind::Jaw if !keys.has("mass_radius") => {
            keys.needs("kind", "a jaw chuck", &["mass_radius"]);
        }
        HolderKind::Collet if !keys.has("lost") => keys.needs("kind", "a collet", &["lost"]),
        _ => {}
    }
    Grip {
        kind,
        force: Force::from_n(
            keys.number("force", "grip at rest, the sum over all jaws", "N", 10.0..=1_000_000.0)
                .required(),
        ),
        jaws: keys.count("jaws", "how many jaws or segments it has", 3..=60).or(3) as u32,
        mass_radius,
        lost,
        surface: keys.choice("surface", "the surface that touches the bar").required(),
        diameter: diameter(keys),
        total_run_out: keys
            .length(
                "total_run_out",
                "what a gauge shows on a true bar close to the jaws, when the spindle is turned by hand",
                Length::ZERO..=Length::from_mm(5),
            )
            .optional(),
        radial: keys
            .number("radial", "how far the bar gives way sideways", "µm/kN", 0.0..=10_000.0)
            .optional()
            .map(RadialCompliance::from_um_per_kn),
        tilt: keys
            .number("tilt", "how far the bar tilts in the jaws", "µrad/(N·m)", 0.0..=10_000.0)
            .optional()
            .map(TiltCompliance::from_urad_per_nm),
    }
}

fn diameter(keys: &Keys<'_>) -> Option<(Length, Length)> {
    let size = Length::from_um(100)..=HUGE;
    let least = keys.length("diameter_min", "smallest bar that it grips", size.clone()).optional();
    let most = keys.length("diameter_max", "largest bar that it grips", size).optional();
    for (one, other) in [("diameter_min", "diameter_max"), ("diameter_max", "diameter_min")] {
        if keys.stands(one) && !keys.stands(other) {
            keys.needs(one, "a range of bars", &[other]);
        }
    }
    let (least, most) = (least?, most?);
    if keys.sound("diameter_min") && keys.sound("diameter_max") && most < least {
        let message = "the largest bar is smaller than the smallest";
        keys.trouble("diameter_max", message, "exchange `diameter_min` and `diameter_max`");
    }
    Some((least, most))
}
