//! Whether a groove whose width has limits of its own is as wide as they say. Where it lies has a
//! tolerance apart from that, so that the regions of least and most metal cannot tell.

use super::profile::Width;
use model::Length;
use shape::{Point, Region};

/// A groove that is too narrow or too wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrooveOff {
    /// The feature of the drawing, by its place in the list.
    pub feature: usize,
    /// How wide it is, halfway down.
    pub width: Length,
    /// How wide it must be.
    pub least: Length,
    /// How wide it may be.
    pub most: Length,
}

/// How far beyond its walls a groove is looked at, in nanometers.
const BESIDE: i64 = 1_000_000;
/// Thickness of the slice that is looked at, in nanometers.
const SLICE: i64 = 1_000;
/// What rounding to the steps of a program may add or take off, in nanometers.
const ROUNDING: i64 = 2_000;

/// The first groove whose width lies beyond its limits. A groove that is missing, or open to a side, is
/// no matter of its width.
pub(crate) fn judge(widths: &[Width], piece: &Region) -> Option<GrooveOff> {
    widths.iter().find_map(|groove| {
        let (front, back) = (-groove.from + BESIDE, -groove.to - BESIDE);
        let low = Point::new(back, groove.radius);
        let slice = Region::rectangle(low, Point::new(front, groove.radius + SLICE)).ok()?;
        let middle = -(groove.from + groove.to) / 2;
        let gap = slice.difference(piece).pieces().find_map(|gap| {
            let bounds = *gap.bounds()?;
            (bounds.min.z <= middle && middle <= bounds.max.z).then_some(bounds)
        })?;
        if gap.min.z <= back || gap.max.z >= front {
            return None;
        }
        let width = gap.max.z - gap.min.z;
        let (least, most) = groove.limits;
        let off = width < least - ROUNDING || width > most + ROUNDING;
        off.then(|| GrooveOff {
            feature: groove.feature,
            width: Length::from_nm(width),
            least: Length::from_nm(least),
            most: Length::from_nm(most),
        })
    })
}
