//! The material file: what a bar is made of, each figure with its source.

use super::Read;
use super::keys::{self, Keys, Origin};
use crate::choices;
use crate::quantity::Density;
use crate::source::Source;

choices! {
    /// The ISO 513 group of a work material.
    IsoGroup {
        P = "P": "steel",
        M = "M": "stainless steel",
        K = "K": "cast iron",
        N = "N": "non-ferrous metal and plastics",
        S = "S": "heat-resistant alloys and titanium",
        H = "H": "hardened steel",
    }
}

/// A bar material.
#[derive(Debug, Clone)]
pub struct Material {
    /// Where its keys stand.
    pub origin: Origin,
    /// Its name in the trade.
    pub name: String,
    /// Other names of the same grade.
    pub also: Vec<String>,
    /// Its ISO 513 group.
    pub group: IsoGroup,
    /// Its density.
    pub density: Density,
    /// Where the density was found, or `from memory`.
    pub density_source: String,
    /// How many times more room loose chips take than solid metal.
    pub chip_bulk: Option<f64>,
    /// What to look out for, such as chips that burn.
    pub caution: Option<String>,
}

impl Material {
    /// Reads a material file.
    pub fn read(source: &Source) -> Read<Material> {
        let read = keys::read(source, keys);
        let value = read.value.map(|(mut material, origin)| {
            material.origin = origin;
            material
        });
        Read { value, diagnostics: read.diagnostics }
    }
}

/// Every key of a material file.
pub(super) fn keys(keys: &Keys<'_>) -> Material {
    Material {
        origin: keys.origin(),
        name: keys.text("name", "its name in the trade").required(),
        also: keys.texts("also", "other names of the same grade").or(Vec::new()),
        group: keys.choice("group", "its ISO 513 group").required(),
        density: Density::from_kg_per_m3(
            keys.number("density", "its density", "kg/m³", 100.0..=25_000.0).required(),
        ),
        density_source: keys
            .text("density_source", "where the density was found, or \"from memory\"")
            .required(),
        chip_bulk: keys
            .number(
                "chip_bulk",
                "how many times more room loose chips take than solid metal",
                "",
                1.0..=200.0,
            )
            .optional(),
        caution: keys.text("caution", "what to look out for, such as chips that burn").optional(),
    }
}
