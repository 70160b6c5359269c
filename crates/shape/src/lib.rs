//! Exact flat regions in the half-plane of a turned part: along the axis (z) and out from it (r).
//!
//! A turned part, a bar, a tool and what a tool sweeps are all flat regions here: sets of polygons
//! with holes on an integer grid. The package knows no lathe, no file and no unit but its own grid
//! step.
//!
//! # The grid
//! One step is **1 nm**, the step of `model::Length`, so that a length becomes a coordinate without
//! arithmetic: `Point { z: length.nanometers(), r: diameter.nanometers() / 2 }`. A coarser grid of
//! 10 nm would not hold 0.00001 in = 254 nm, and an advance of a bar would be rounded.
//! Coordinates stay within ±[`LIMIT`] = ±68 m; what is beyond is refused ([`Flaw::TooFar`]).
//!
//! # What is exact and what is rounded
//! * Vertices, shifts, straight sweeps of polygons, every decision (inside, crossing, touching) and
//!   area and volume of a region are **exact**: integers of 128 bits.
//! * Where two sloped edges cross, the crossing becomes the nearest grid point (a half goes up), in
//!   one place ([`Point`]'s `meet`). So one cut moves an edge by at most 0.71 nm.
//! * Arcs become chords within a stated [`Chord`]: at most its tolerance away, on the stated side,
//!   and 1 nm for the grid.
//!
//! # Two ways to one result
//! [`Region::cut`] takes a short way when a convex piece bites once into one edge chain, as nearly
//! every move of a turning tool does, and the general way (`i_overlay`) otherwise. Crossings are
//! rounded by the same code in both and the short way steps aside wherever rounding could change
//! which edges touch, so both give equal regions; property tests hold them to it.
//!
//! ```
//! use shape::{Chord, Move, Outline, Point, Region, Sweep};
//! let mm = |z: i64, r: i64| Point { z: z * 1_000_000, r: r * 1_000_000 };
//! let bar = Region::rectangle(mm(-50, 0), mm(0, 10)).unwrap();
//! let tool = Outline::polygon(&[mm(0, 0), mm(3, 0), mm(3, 8), mm(0, 8)]).unwrap();
//! let pass = Sweep::of(&tool, &Move::line(mm(2, 9), mm(-20, 9)).unwrap(), Chord::FINE).unwrap();
//! let turned = bar.cut(&pass);
//! assert_eq!(turned.largest_radius(mm(-19, 0).z, 0), Some(9_000_000));
//! ```
#![forbid(unsafe_code)]
// Corners a, b, c and coordinates z, r are the letters of geometry.
#![allow(clippy::many_single_char_names)]

mod boolean;
mod convex;
mod cut;
mod measure;
mod outline;
mod overlap;
mod parts;
mod point;
mod region;
mod rounding;
mod store;
mod sweep;

pub use convex::Convex;
pub use measure::Span;
pub use outline::{Chord, Edge, Outline, Side, Turn};
pub use overlap::Overlap;
pub use point::{Bounds, Flaw, LIMIT, Point};
pub use region::{Polygon, Region};
pub use store::{OutlineId, Placed, RegionId, Reuse, Store};
pub use sweep::{Move, Sweep};
