//! What a cut asks of drive, chuck and bar.

use super::{Lathe, State, Teller};
use crate::action::Speed;
use crate::event::{Motion, Spot, What};
use crate::loads::Taken;
use calc::station::Turning;
use model::files::tools::ToolKind;
use model::quantity::SpindleSpeed;

impl Lathe<'_> {
    /// Tells of the limits that a cut breaks, by what it took off the bar since `before`.
    pub(super) fn watch_loads(
        &self,
        motion: Motion,
        before: &State,
        spot: Spot,
        tell: &mut Teller<'_>,
    ) {
        let (Some(book), Some(metal)) = (&self.loads, &self.metal) else { return };
        let cuts = !matches!(before.tool.kind, Some(ToolKind::Gripper | ToolKind::BarStop));
        if cuts && (before.shape.is_none() || self.state.shape.is_none()) {
            book.lacks_the_bar();
        }
        let shapes = before.shape.zip(self.state.shape).filter(|(one, other)| one != other);
        let (Some((bar, after)), Some(station)) = (shapes, before.tool.station) else { return };
        let Some(turning) = self.turns_at() else { return };
        let gripped = self.state.grip(self.setup, model::Length::ZERO);
        let taken = Taken { station, before: bar, after, motion, turning, gripped };
        for overload in book.overloads(&taken, metal, self.setup).iter() {
            self.tell(What::Overload(*overload), spot, before, tell);
        }
    }

    /// How the spindle is told to turn; none where it stands.
    fn turns_at(&self) -> Option<Turning> {
        self.state.spindle.told?;
        let most = self.limit();
        Some(match self.state.spindle.speed? {
            Speed::Surface(speed) => Turning::Surface(speed, most),
            Speed::Fixed(speed) => {
                Turning::Spindle(SpindleSpeed::from_rpm(speed.rpm().min(most.rpm())))
            }
        })
    }
}
