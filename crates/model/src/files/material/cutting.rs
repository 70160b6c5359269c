//! What is known of how a material cuts: force, unit power, life of an edge.

use crate::Length;
use crate::files::keys::Keys;
use crate::quantity::{Angle, FeedPerRev, Modulus, Seconds, SpecificForce, SurfaceSpeed};

/// What it takes to cut a material.
#[derive(Debug, Clone, PartialEq)]
pub struct CuttingForce {
    /// Force on a chip 1 mm wide and 1 mm thick, with a sharp edge of the rake below.
    pub kc11: SpecificForce,
    /// How the force on each mm² grows as the chip gets thinner: kc = kc1.1 / h^mc.
    pub mc: f64,
    /// How far the force of a bar at hand may lie to either side, as a share of it.
    pub spread: f64,
    /// Rake angle at which kc1.1 holds.
    pub rake: Angle,
    /// Where the figures were found.
    pub source: String,
}

/// Power for each volume cut in a time: a second opinion about the force.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitPower {
    /// Work for each volume, with a sharp edge.
    pub sharp: SpecificForce,
    /// Where it was found.
    pub source: String,
}

/// Brinell hardness from and to which the figures of cutting hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Hardness {
    /// The softest.
    pub low: f64,
    /// The hardest.
    pub high: f64,
    /// Where this was found.
    pub source: String,
}

/// How stiff a material is.
#[derive(Debug, Clone, PartialEq)]
pub struct Stiffness {
    /// Its elastic modulus.
    pub modulus: Modulus,
    /// Where it was found.
    pub source: String,
}

/// How long an edge of one kind lasts: one known point and how life falls from there.
///
/// `T = life · (speed/v)^(1/n) · (feed/f)^(x/n) · (depth/ap)^(y/n)`.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeLife {
    /// Speed of the known point.
    pub speed: SurfaceSpeed,
    /// Life of an edge there.
    pub life: Seconds,
    /// Feed there.
    pub feed: FeedPerRev,
    /// Depth of cut there, on the radius.
    pub depth: Length,
    /// Taylor's exponent n.
    pub n: f64,
    /// Exponent x of the feed.
    pub feed_exponent: f64,
    /// Exponent y of the depth of cut.
    pub depth_exponent: f64,
    /// Nine edges of ten last between life ÷ spread and life × spread.
    pub spread: f64,
    /// Lowest speed for which this holds; below it an edge may build up.
    pub lowest: SurfaceSpeed,
    /// Highest speed for which this holds.
    pub highest: SurfaceSpeed,
    /// Where the figures were found.
    pub source: String,
}

pub(super) fn force(keys: &Keys<'_>) -> CuttingForce {
    CuttingForce {
        kc11: SpecificForce::from_n_per_mm2(
            keys.number(
                "kc11",
                "cutting force on a chip 1 mm wide and 1 mm thick, kc1.1",
                "N/mm²",
                10.0..=20_000.0,
            )
            .required(),
        ),
        mc: keys
            .number("mc", "exponent of the chip thickness: kc = kc1.1 / h^mc", "", 0.0..=0.9)
            .required(),
        spread: 0.01
            * keys
                .number(
                    "spread",
                    "how far the force may lie to either side of these figures",
                    "%",
                    0.0..=90.0,
                )
                .required(),
        rake: Angle::from_deg(
            keys.number("rake", "rake angle at which these figures hold", "°", -20.0..=40.0)
                .or(6.0),
        ),
        source: source(keys),
    }
}

pub(super) fn unit_power(keys: &Keys<'_>) -> UnitPower {
    // 1 hp/(in³/min) is 2.7303239 J/mm³: 550 ft·lbf/s over 16387.064 mm³ in 60 s.
    let power = keys
        .number(
            "sharp",
            "power for each volume cut in a time, with a sharp edge",
            "hp/(in³/min)",
            0.01..=10.0,
        )
        .required();
    UnitPower { sharp: SpecificForce::from_n_per_mm2(2_730.323_9 * power), source: source(keys) }
}

pub(super) fn hardness(keys: &Keys<'_>) -> Hardness {
    let brinell = |key, meaning| keys.number(key, meaning, "HB", 1.0..=800.0).required();
    let hardness = Hardness {
        low: brinell("low", "softest bar for which the figures of cutting hold"),
        high: brinell("high", "hardest bar for which they hold"),
        source: source(keys),
    };
    if keys.sound("low") && keys.sound("high") && hardness.low > hardness.high {
        keys.trouble("low", "the softest is harder than the hardest", "exchange the two");
    }
    hardness
}

pub(super) fn stiffness(keys: &Keys<'_>) -> Stiffness {
    Stiffness {
        modulus: Modulus::from_gpa(
            keys.number("modulus", "elastic modulus", "GPa", 0.01..=1000.0).required(),
        ),
        source: source(keys),
    }
}

pub(super) fn edge_life(keys: &Keys<'_>) -> EdgeLife {
    let speed = |key, meaning| keys.number(key, meaning, "m/min", 0.1..=10_000.0).required();
    let exponent = |key, meaning| keys.number(key, meaning, "", 0.0..=1.5).required();
    let life = EdgeLife {
        speed: SurfaceSpeed::from_m_per_min(speed(
            "speed",
            "surface speed at which the life of an edge is known",
        )),
        life: Seconds::from_s(
            60.0 * keys
                .number("life", "cutting time that an edge lasts there", "min", 0.1..=10_000.0)
                .required(),
        ),
        feed: FeedPerRev::from_mm(
            keys.number("feed", "feed there", "mm/rev", 0.001..=10.0).required(),
        ),
        depth: keys
            .length(
                "depth",
                "depth of cut there, on the radius",
                Length::from_um(1)..=Length::from_mm(100),
            )
            .required(),
        n: keys.number("n", "Taylor's exponent n", "", 0.02..=1.5).required(),
        feed_exponent: exponent("feed_exponent", "exponent of the feed, on the side of the speed"),
        depth_exponent: exponent(
            "depth_exponent",
            "exponent of the depth of cut, on the side of the speed",
        ),
        spread: keys
            .number(
                "spread",
                "nine edges of ten last between the life divided by this and times this",
                "",
                1.0..=20.0,
            )
            .required(),
        lowest: SurfaceSpeed::from_m_per_min(speed("lowest", "lowest speed for which this holds")),
        highest: SurfaceSpeed::from_m_per_min(speed(
            "highest",
            "highest speed for which this holds",
        )),
        source: source(keys),
    };
    let sound = ["speed", "lowest", "highest"].iter().all(|key| keys.sound(key));
    if sound && !(life.lowest <= life.speed && life.speed <= life.highest) {
        let message = "the speed lies outside of lowest to highest";
        keys.trouble("speed", message, "write speeds with lowest ≤ speed ≤ highest");
    }
    life
}

fn source(keys: &Keys<'_>) -> String {
    keys.text("source", "where these figures were found, or \"from memory\"").required()
}
