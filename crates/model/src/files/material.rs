//! The material file: what a bar is made of, each figure with its source.

mod cutting;
mod nearest;

pub use cutting::{CuttingForce, EdgeLife, Hardness, Stiffness, UnitPower};
pub use nearest::nearest_group;

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
    /// What to see to about coolant before walking away.
    pub coolant: Option<String>,
    /// Whether its chips are a metal that can catch fire.
    pub chips_burn: bool,
    /// Brinell hardness for which the figures of cutting hold.
    pub hardness: Option<Hardness>,
    /// How stiff it is.
    pub stiffness: Option<Stiffness>,
    /// What it takes to cut it.
    pub force: Option<CuttingForce>,
    /// A second opinion about that.
    pub unit_power: Option<UnitPower>,
    /// Life of an edge of coated carbide.
    pub carbide: Option<EdgeLife>,
    /// Life of an edge of high-speed steel.
    pub hss: Option<EdgeLife>,
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
        coolant: keys
            .text("coolant", "what to see to about coolant before walking away")
            .optional(),
        chips_burn: keys
            .flag("chips_burn", "whether its chips are a metal that can catch fire")
            .or(false),
        hardness: keys.optional_table(
            "hardness",
            "Brinell hardness for which the figures of cutting hold",
            cutting::hardness,
        ),
        stiffness: keys.optional_table("stiffness", "how stiff it is", cutting::stiffness),
        force: keys.optional_table("force", "what it takes to cut it", cutting::force),
        unit_power: keys.optional_table(
            "unit_power",
            "a second opinion about what it takes to cut it",
            cutting::unit_power,
        ),
        carbide: keys.optional_table(
            "carbide",
            "how long an edge of coated carbide lasts",
            cutting::edge_life,
        ),
        hss: keys.optional_table(
            "hss",
            "how long an edge of high-speed steel lasts",
            cutting::edge_life,
        ),
    }
}
