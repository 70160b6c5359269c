//! The gripper: when it is on the stub, what its moves do to the bar.

use super::{Lathe, State, Teller};
use crate::event::{EndedBy, Motion, Point, Spot, Way, What};
use crate::metal::CENTERED;
use model::Length;
use model::files::tools::ToolKind;
use std::ops::ControlFlow;

impl Lathe<'_> {
    pub(super) fn gripper_moved(
        &mut self,
        motion: Motion,
        spot: Spot,
        before: &State,
        tell: &mut Teller<'_>,
    ) -> ControlFlow<EndedBy> {
        if before.gripped.is_some() {
            return self.moved_while_on(motion, spot, before, tell);
        }
        let engaged = self.engagement(motion.to);
        self.state.gripped = engaged;
        self.state.opened_while_on = false;
        match engaged {
            Some(engaged) => {
                let (way, rapid, stub) =
                    (way(motion), motion.rapid, self.stub(motion.to.z, engaged));
                let on = What::GripperOn { way, engaged, rapid, stub };
                self.tell(on, spot, before, tell);
            }
            None => self.tell(What::Move(motion), spot, before, tell),
        }
        ControlFlow::Continue(())
    }

    fn moved_while_on(
        &mut self,
        motion: Motion,
        spot: Spot,
        before: &State,
        tell: &mut Teller<'_>,
    ) -> ControlFlow<EndedBy> {
        let along = motion.to.z - motion.from.z;
        let across = motion.to.r != motion.from.r;
        if self.state.chuck.open && !across {
            return self.pull(along, motion, spot, before, tell);
        }
        self.state.gripped = self.engagement(motion.to);
        if self.state.gripped.is_none() {
            self.tell(What::GripperOff { way: way(motion) }, spot, before, tell);
        } else if along != Length::ZERO {
            self.tell(What::Slid(along), spot, before, tell);
        } else {
            self.tell(What::Move(motion), spot, before, tell);
        }
        ControlFlow::Continue(())
    }

    fn pull(
        &mut self,
        by: Length,
        motion: Motion,
        spot: Spot,
        before: &State,
        tell: &mut Teller<'_>,
    ) -> ControlFlow<EndedBy> {
        let bar = &mut self.state.bar;
        bar.front = bar.front.map(|front| front + by);
        bar.rear = bar.rear.map(|rear| rear + by);
        bar.front_is_drawn = true;
        let shape = self.metal.as_ref().zip(self.state.shape);
        self.state.shape = shape.and_then(|(metal, shape)| metal.drawn(shape, by));
        let bar = &mut self.state.bar;
        bar.drawn += by;
        bar.drawn_since_part += by;
        self.state.pulled_at = Some(spot);
        self.tell(What::Pulled { by, motion }, spot, before, tell);
        if self.bar_is_out() { ControlFlow::Break(EndedBy::Bar) } else { ControlFlow::Continue(()) }
    }

    /// Whether nothing of the bar is left in the jaws, whatever is not known taken at its best.
    fn bar_is_out(&self) -> bool {
        match (self.state.grip(self.setup, Length::ZERO), &self.setup.bar) {
            (Some(grip), _) => !grip.is_positive(),
            (None, Some(bar)) => self.state.bar.drawn >= bar.length,
            (None, None) => false,
        }
    }

    /// Where the bar's front is not known, a gripper that stands centered when the chuck opens is
    /// taken to be on the stub; a check files that as unproven.
    pub(super) fn gripped_for_all_that_is_known(&self) -> Option<Length> {
        let state = &self.state;
        let centered =
            state.tool.kind == Some(ToolKind::Gripper) && state.position.r.abs() <= CENTERED;
        let fingers = self.setup.gripper.as_ref().map(|gripper| gripper.fingers);
        (state.bar.front.is_none() && centered).then(|| fingers.unwrap_or_default())
    }

    /// The least and the largest diameter of so much stub, from a place on.
    fn stub(&self, from: Length, engaged: Length) -> Option<(Length, Length)> {
        let (metal, shape) = (self.metal.as_ref()?, self.state.shape?);
        metal.outside(shape, from, from + engaged)
    }

    /// Length of stub between the fingers with the gripper at a point; none where it is not on.
    fn engagement(&self, at: Point) -> Option<Length> {
        if at.r.abs() > CENTERED {
            return None;
        }
        let over = self.state.bar.front? - at.z;
        let fingers = self.setup.gripper.as_ref().map_or(over, |gripper| gripper.fingers);
        over.is_positive().then(|| over.min(fingers))
    }
}

fn way(motion: Motion) -> Way {
    match (motion.to.r == motion.from.r, motion.to.z == motion.from.z) {
        (true, _) => Way::Along,
        (false, true) => Way::Across,
        (false, false) => Way::Slanting,
    }
}
