//! Chuck and jaws as a shape: by their steps where the lathe file gives them, else everything
//! behind the plane of the jaw face.

use model::Length;
use model::files::Lathe;
use shape::{Point, Region};

/// How far out the chuck is taken to reach where its outline is not given.
const UNKNOWN_RADIUS: Length = Length::from_mm(1000);
/// How far back from its last step it is kept as a shape.
const DEPTH: Length = Length::from_mm(200);

/// What stands around a bar of this radius behind the jaw face.
pub(super) fn region(lathe: Option<&Lathe>, jaw_face: Length, raw: i64) -> Option<Region> {
    let steps = lathe.map_or(&[][..], |lathe| &lathe.chuck.steps);
    let face = jaw_face.nm();
    if steps.is_empty() {
        let back = Point::new(face.checked_sub(DEPTH.nm())?, UNKNOWN_RADIUS.nm());
        return Region::rectangle(back, Point::new(face, raw)).ok();
    }
    let mut corners = vec![Point::new(face, raw)];
    let mut last = face;
    for (index, step) in steps.iter().enumerate() {
        // Jaws that are bored larger than they are outside cannot be: at the least they are thin.
        let radius = step.diameter.half().nm().max(raw + 1);
        let next = steps.get(index + 1).map_or(step.behind + DEPTH, |next| next.behind);
        let end = face.checked_sub(next.nm())?;
        corners.extend([Point::new(last, radius), Point::new(end, radius)]);
        last = end;
    }
    corners.push(Point::new(last, raw));
    Region::from_loops(&[corners]).ok()
}
