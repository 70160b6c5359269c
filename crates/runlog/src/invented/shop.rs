//! The shop "Harbor Lane Turning": its lathes, people and parts. All of it is invented.

pub(super) const LATHES: [&str; 3] = ["Lathe 1", "Lathe 2", "Lathe 3"];
pub(super) const PERSONS: [&str; 4] = ["Ines", "Otto", "Mira", "Jonas"];

/// A part that comes again and again.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    pub(super) name: &'static str,
    pub(super) material: &'static str,
    pub(super) bar_mm: i64,
    pub(super) per_bar: u32,
    pub(super) cycle_ms: i64,
    pub(super) edge_parts: u32,
    pub(super) gauge_every: u32,
    pub(super) catcher: u32,
    /// The toleranced diameter, the middle of its tolerance.
    pub(super) diameter_nm: i64,
    pub(super) tolerance_nm: i64,
    /// How much the diameter grows a part as the edge wears.
    pub(super) drift_nm: i64,
    /// Standard deviation of part and gauge together.
    pub(super) noise_nm: i64,
    pub(super) cost_cents: i64,
}

const fn part(
    name: &'static str,
    material: &'static str,
    (bar_mm, per_bar, cycle_ms): (i64, u32, i64),
    (edge_parts, gauge_every, catcher): (u32, u32, u32),
    (diameter_nm, tolerance_nm, drift_nm, noise_nm): (i64, i64, i64, i64),
    cost_cents: i64,
) -> Part {
    Part {
        name,
        material,
        bar_mm,
        per_bar,
        cycle_ms,
        edge_parts,
        gauge_every,
        catcher,
        diameter_nm,
        tolerance_nm,
        drift_nm,
        noise_nm,
        cost_cents,
    }
}

pub(super) const JOBS: [Part; 7] = [
    part(
        "detent-pin",
        "steel-12l14",
        (12, 30, 62_000),
        (180, 10, 120),
        (7_979_500, 41_000, 90, 2_500),
        212,
    ),
    part(
        "lamp-spacer",
        "brass-c360",
        (19, 44, 41_000),
        (600, 20, 200),
        (15_875_000, 50_000, 25, 3_000),
        187,
    ),
    part(
        "valve-stem",
        "stainless-303",
        (10, 24, 95_000),
        (90, 8, 90),
        (5_988_000, 18_000, 110, 1_600),
        344,
    ),
    part(
        "knob-screw",
        "aluminum-6061",
        (20, 36, 55_000),
        (900, 25, 150),
        (11_950_000, 70_000, 20, 4_000),
        231,
    ),
    part(
        "hinge-pin",
        "steel-1045",
        (8, 20, 48_000),
        (140, 10, 200),
        (6_985_000, 22_000, 80, 1_900),
        156,
    ),
    part(
        "wear-ring",
        "acetal",
        (25, 40, 70_000),
        (300, 12, 80),
        (20_010_000, 33_000, 60, 2_800),
        398,
    ),
    part(
        "clamp-stud",
        "steel-4140-prehard",
        (16, 18, 118_000),
        (70, 6, 60),
        (11_966_000, 43_000, 160, 2_600),
        420,
    ),
];
