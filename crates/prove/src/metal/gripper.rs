//! The gripper as a shape: its fingers and body on the way to the stub, and the stub itself.

use super::{Against, Diameters, Metal, Part, Strike, ways};
use crate::action::Path;
use crate::event::Point;
use crate::setup::Setup;
use model::Length;
use model::files::gripper::Style;
use shape::{Outline, OutlineId, Placed, Region, Reuse, Store};

/// How far from the axis the gripper may stand and still hold the bar in its middle.
pub(crate) const CENTERED: Length = Length::from_um(250);

/// The gripper as outlines around its own axis, from the chuck-side end of its fingers.
#[derive(Debug, Clone, Copy)]
pub(super) struct GripperShape {
    style: Style,
    fingers: OutlineId,
    /// Its body, and whether a bar passes through it.
    body: Option<(OutlineId, bool)>,
    /// How far it reaches from its axis.
    half: i64,
}

impl GripperShape {
    /// The gripper of a set-up. Where its outline is not given, its fingers reach as far as its
    /// own clear place allows: there they are just beside the bar.
    pub(super) fn of(setup: &Setup, raw: i64, store: &mut Store) -> Option<GripperShape> {
        let gripper = setup.gripper.as_ref()?;
        let beside = gripper.clear_x.half() - Length::from_nm(raw);
        let half = gripper.outline.map_or(beside, |outline| outline.finger_diameter.half());
        let mut keep = |from: Length, to: Length, half: Length| {
            let (from, to, half) = (from.nm(), to.nm(), half.nm().max(1));
            let corner = |z, r| shape::Point::new(z, r);
            let corners =
                [corner(from, -half), corner(to, -half), corner(to, half), corner(from, half)];
            Outline::polygon(&corners).ok().map(|outline| store.outline(outline))
        };
        let fingers = keep(Length::ZERO, gripper.fingers, half)?;
        let body = gripper.outline.and_then(|outline| {
            let from = outline.throat.unwrap_or(gripper.fingers);
            let rear = outline.length.max(from + Length::from_um(1));
            let body = keep(from, rear, outline.body_diameter.half())?;
            Some((body, outline.throat.is_none()))
        });
        let half = gripper.outline.map_or(half, |outline| half.max(outline.body_diameter.half()));
        Some(GripperShape { style: gripper.style, fingers, body, half: half.nm() })
    }

    /// Whether the fingers go on or off on this move as they are made to.
    fn goes_its_way(&self, from: Point, to: Point) -> bool {
        let centered = |at: Point| at.r.abs() <= CENTERED;
        let crosses = from.r.nm().signum() * to.r.nm().signum() < 0;
        match self.style {
            _ if centered(from) && centered(to) => true,
            // Between legs that straddle the bar it may stand at any height.
            Style::Radial => from.z == to.z && !crosses,
            Style::Axial => false,
        }
    }
}

impl Metal {
    /// Whether a move of the gripper stays in front of the jaws, and in front of the bar or beside
    /// it: then nothing need be computed.
    fn gripper_stays_clear(
        &self,
        gripper: GripperShape,
        bar: Placed,
        ends: (Point, Point),
    ) -> [bool; 2] {
        let from = ends.0.z.min(ends.1.z).nm();
        let in_front = |what: Placed| {
            self.store.borrow().bounds(what).is_none_or(|bounds| bounds.max.z <= from)
        };
        let nearest = ends.0.r.abs().min(ends.1.r.abs()).nm();
        let one_side = ends.0.r.is_negative() == ends.1.r.is_negative();
        let beside = one_side && nearest.saturating_sub(gripper.half) >= self.raw;
        [in_front(self.jaws), in_front(bar) || beside]
    }

    /// What the gripper goes into on a move; `holds` where it draws the bar along.
    pub fn gripper_moved(
        &self,
        bar: Placed,
        (from, to): (Point, Point),
        path: Path,
        bend: Option<Point>,
        holds: bool,
    ) -> Option<Strike> {
        let gripper = self.gripper?;
        let its_way = gripper.goes_its_way(from, to);
        let straight = !matches!(path, Path::Arc(_));
        let clear =
            if straight { self.gripper_stays_clear(gripper, bar, (from, to)) } else { [false; 2] };
        if clear == [true; 2] {
            return None;
        }
        for way in ways(from, to, path, bend)?.into_iter().flatten() {
            let fingers = (gripper.fingers, !its_way);
            let body = gripper.body.map(|(body, passes)| (body, !(passes && its_way)));
            for (outline, meets_bar) in [Some(fingers), body].into_iter().flatten() {
                if meets_bar
                    && !holds
                    && let Some(hit) = self.overlap(bar, outline, &way)
                {
                    return Some(Strike { part: Part::Gripper, against: Against::Bar, ..hit });
                }
                if !clear[0]
                    && let Some(hit) = self.overlap(self.jaws, outline, &way)
                {
                    return Some(Strike { part: Part::Gripper, against: Against::Jaws, ..hit });
                }
            }
        }
        None
    }

    /// The least and the largest diameter of the outside of the bar between two places.
    pub fn outside(&self, bar: Placed, from: Length, to: Length) -> Option<Diameters> {
        let place = |z: Length| z.nm().saturating_sub(bar.shift);
        let key = (bar.id, place(from), place(to));
        if let Some(known) = self.stubs.borrow().get(&key) {
            return *known;
        }
        let region = self.store.borrow().shape(bar.id);
        let least = least_outside(&region, key.1, key.2);
        let found = least.zip(region.largest_radius(key.1, key.2));
        let twice = |nm| Length::from_nm(nm) * 2;
        let found = found.map(|(least, most)| (twice(least), twice(most)));
        if self.reuse == Reuse::Remember {
            self.stubs.borrow_mut().insert(key, found);
        }
        found
    }
}

/// The least radius of the outside between two places.
fn least_outside(region: &Region, from: i64, to: i64) -> Option<i64> {
    let ends = [from, to].into_iter().filter_map(|z| Some(region.section(z).last()?.high));
    let corners = region.outside().into_iter().flatten();
    let between = corners.filter(|at| from <= at.z && at.z <= to).map(|at| at.r);
    ends.chain(between).min()
}
