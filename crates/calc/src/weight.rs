//! Area, volume and weight of bars, parts and chips.

use crate::OutOfRange;
use core::f64::consts::PI;
use model::Length;
use model::files::job::BarShape;
use model::quantity::{Area, Density, Mass, MassPerLength, Volume};

/// Area of a bar's section; `size` is the diameter or the distance across flats.
///
/// Round `π/4·d²`, hexagon `√3/2·s²`, square `s²`.
/// Valid: any size; its sign is left out.
/// Source: plane geometry; the shop's 0.7854 and 0.866 are the same rounded.
/// Held to: `handbook/weight.toml`.
pub fn section(shape: BarShape, size: Length) -> Area {
    let squared = size.mm() * size.mm();
    Area::from_mm2(match shape {
        BarShape::Round => PI / 4.0 * squared,
        BarShape::Hexagon => libm::sqrt(3.0) / 2.0 * squared,
        BarShape::Square => squared,
    })
}

/// Area of a round tube's section.
///
/// `π/4·(D² − d²)`.
/// Valid: `0 ≤ bore ≤ outside`.
/// Source: plane geometry.
/// Held to: `handbook/weight.toml`.
///
/// # Errors
/// A bore below zero or larger than the outside.
pub fn tube_section(outside: Length, bore: Length) -> Result<Area, OutOfRange> {
    if bore.is_negative() || bore > outside {
        return Err(OutOfRange);
    }
    let (wall_twice, sum) = ((outside - bore).mm(), (outside + bore).mm());
    Ok(Area::from_mm2(PI / 4.0 * wall_twice * sum))
}

/// Mass of a length of bar of this shape, per length.
///
/// Section times density.
/// Valid: any size.
/// Source: the definition of density.
/// Held to: `handbook/weight.toml`.
pub fn mass_per_length(shape: BarShape, size: Length, density: Density) -> MassPerLength {
    section_mass(section(shape, size), density)
}

/// Mass of a bar of this section, per length.
///
/// Section times density.
/// Valid: any section.
/// Source: the definition of density.
/// Held to: `handbook/weight.toml`.
pub fn section_mass(section: Area, density: Density) -> MassPerLength {
    MassPerLength::from_kg_per_m(section.mm2() * 1e-6 * density.kg_per_m3())
}

/// Mass of a bar of this shape and length.
///
/// Section times length times density.
/// Valid: any size and length.
/// Source: the definition of density.
/// Held to: `handbook/weight.toml`.
pub fn mass(shape: BarShape, size: Length, length: Length, density: Density) -> Mass {
    solid_mass(solid(section(shape, size), length), density)
}

/// Mass of a volume.
///
/// Volume times density.
/// Valid: any volume.
/// Source: the definition of density.
/// Held to: `handbook/weight.toml`.
pub fn solid_mass(volume: Volume, density: Density) -> Mass {
    Mass::from_kg(volume.mm3() * 1e-9 * density.kg_per_m3())
}

/// Volume of a section drawn out to a length.
///
/// Section times length.
/// Valid: any section and length.
/// Source: solid geometry.
/// Held to: `handbook/weight.toml`.
pub fn solid(section: Area, length: Length) -> Volume {
    Volume::from_mm3(section.mm2() * length.mm())
}

/// Volume of a cylinder.
///
/// `π/4·d²·l`.
/// Valid: any diameter and length.
/// Source: solid geometry.
/// Held to: `handbook/weight.toml`.
pub fn cylinder(diameter: Length, length: Length) -> Volume {
    solid(section(BarShape::Round, diameter), length)
}

/// Volume of a cone cut off square at both ends, by its two end diameters.
///
/// `π/12·(D² + D·d + d²)·l`.
/// Valid: diameters at or above zero.
/// Source: solid geometry, the frustum of a cone.
/// Held to: `handbook/weight.toml`.
///
/// # Errors
/// A diameter below zero.
pub fn cone(front: Length, back: Length, length: Length) -> Result<Volume, OutOfRange> {
    if front.is_negative() || back.is_negative() {
        return Err(OutOfRange);
    }
    let (front, back) = (front.mm(), back.mm());
    let squares = front * front + front * back + back * back;
    Ok(Volume::from_mm3(PI / 12.0 * squares * length.mm()))
}

/// Room that the loose chips of one part take.
///
/// `(stock − part)·bulk`, where `stock` is the solid bar that one part uses, the part-off width
/// with it, and `bulk` how many times more room loose chips take than the solid metal.
/// Valid: `0 ≤ part ≤ stock` and `bulk ≥ 1`.
/// Source: the definition of the bulk ratio; common practice, no source.
/// Held to: `handbook/weight.toml`.
///
/// # Errors
/// A part larger than its stock, or a bulk ratio below 1.
pub fn loose_chips(stock: Volume, part: Volume, bulk: f64) -> Result<Volume, OutOfRange> {
    let cut = stock.mm3() - part.mm3();
    if part.mm3() >= 0.0 && cut >= 0.0 && bulk >= 1.0 {
        Ok(Volume::from_mm3(cut * bulk))
    } else {
        Err(OutOfRange)
    }
}
