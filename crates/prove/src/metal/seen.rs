//! Shapes as pictures want them.

use super::{Metal, Part};
use crate::event::Point;
use crate::playback::Outlined;
use model::Length;
use shape::{OutlineId, Placed, Region};

impl Metal {
    /// A placed region in the coordinates of the finished face.
    pub fn region(&self, placed: Placed) -> Region {
        self.store.borrow().region(placed)
    }

    /// Chuck and jaws.
    pub(crate) fn chuck(&self) -> Region {
        self.region(self.jaws)
    }

    /// The gripper's fingers and body around its own axis, from the chuck-side end of the fingers.
    pub(crate) fn gripper_outlined(&self) -> Option<Vec<Outlined>> {
        let gripper = self.gripper?;
        let outlines = gripper.body().into_iter().chain([gripper.fingers()]);
        let part = |outline| Outlined { part: Part::Gripper, corners: self.corners(outline) };
        Some(outlines.map(part).collect())
    }

    /// The parts of the tool at a station, its tip at zero; none where its shape is not known.
    pub(crate) fn outlined(&self, station: u32, far: bool) -> Option<Vec<Outlined>> {
        let tool = self.tool(station)?;
        let edge = Outlined { part: Part::Edge, corners: self.corners(tool.edge(far)) };
        let holder = tool
            .holder(far)
            .map(|holder| Outlined { part: Part::Holder, corners: self.corners(holder) });
        Some(holder.into_iter().chain([edge]).collect())
    }

    fn corners(&self, outline: OutlineId) -> Vec<Point> {
        let store = self.store.borrow();
        let nm = Length::from_nm;
        let points = store.outline_points(outline).iter();
        points.map(|point| Point { r: nm(point.r), z: nm(point.z) }).collect()
    }
}
