//! Area, volume and weight of bars and of what is cut from them.

use model::Length;
use model::files::job::BarShape;
use model::quantity::{Density, Mass, MassPerLength};

/// Area of a bar's section in mm².
///
/// Round π/4·d², hexagon √3/2·s², square s². Valid: any size. Source: plane geometry.
/// Held to: handbook/weight.toml.
pub fn section_mm2(shape: BarShape, size: Length) -> f64 {
    let s = size.mm();
    match shape {
        BarShape::Round => std::f64::consts::FRAC_PI_4 * s * s,
        BarShape::Hexagon => libm::sqrt(3.0) / 2.0 * s * s,
        BarShape::Square => s * s,
    }
}

/// Mass of a meter of bar.
///
/// Section times density. Valid: any size. Source: definition. Held to: handbook/weight.toml.
pub fn mass_per_length(shape: BarShape, size: Length, density: Density) -> MassPerLength {
    MassPerLength::from_kg_per_m(section_mm2(shape, size) * 1e-6 * density.kg_per_m3())
}

/// Mass of a length of bar.
///
/// Mass of a meter times length. Valid: any length. Source: definition.
/// Held to: handbook/weight.toml.
pub fn mass(shape: BarShape, size: Length, length: Length, density: Density) -> Mass {
    Mass::from_kg(mass_per_length(shape, size, density).kg_per_m() * length.m())
}

/// Volume of a cylinder in mm³.
///
/// π/4·d²·l. Valid: any size. Source: solid geometry. Held to: handbook/weight.toml.
pub fn cylinder_mm3(diameter: Length, length: Length) -> f64 {
    section_mm2(BarShape::Round, diameter) * length.mm()
}
