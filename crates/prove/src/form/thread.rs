//! Whether a thread of the drawing is there, by how deep its groove is.

use super::profile::Thread;
use model::Length;
use shape::Region;

/// A thread that is missing or too shallow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadOff {
    /// The feature of the drawing, by its place in the list.
    pub feature: usize,
    /// How deep its groove is where it is least deep, from the nominal diameter; zero for none.
    pub depth: Length,
    /// How deep it must be.
    pub least: Length,
}

/// Depth of an external thread by the basic profile, in pitches: 5/8 of the height of the sharp
/// triangle, 5/8 · √3/2 (ISO 68-1, from memory).
pub(super) const EXTERNAL: f64 = 0.541_266;

/// What an allowance takes of the depth at most, in pitches; common practice.
const ALLOWANCE: f64 = 0.05;

/// What rounding to the steps of a program may take off a depth, in nanometers.
const ROUNDING: i64 = 2_000;

/// The first thread that is not cut as deep as it must be. A full groove stands where no end of
/// the thread is near; its first and last turn are not judged.
pub(crate) fn judge(threads: &[Thread], piece: &Region) -> Option<ThreadOff> {
    threads.iter().find_map(|thread| {
        let turn = thread.pitch.min((thread.to - thread.from) / 3);
        let (front, back) = (-thread.from - turn, -thread.to + turn);
        // The groove of an internal thread is measured from the bore by the basic profile outward.
        let full = thread.depth.unwrap_or((thread.pitch as f64 * EXTERNAL) as i64);
        let depth = if thread.inside {
            piece.least_radius(back, front)? - (thread.radius - full)
        } else {
            thread.radius - piece.largest_radius(back, front)?
        };
        let least = match thread.limits {
            // By its designation: to the largest ground outside, to the smallest inside.
            Some(limits) if thread.inside => {
                full + limits.major.least.half().nm() - thread.radius - ROUNDING
            }
            Some(limits) => thread.radius - limits.minor.most.half().nm() - ROUNDING,
            None => full - (thread.pitch as f64 * ALLOWANCE) as i64,
        };
        (depth < least).then(|| ThreadOff {
            feature: thread.feature,
            depth: Length::from_nm(depth.max(0)),
            least: Length::from_nm(least),
        })
    })
}
