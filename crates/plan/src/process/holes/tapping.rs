//! Tapping.

use super::drilling::on_axis;
use super::{data, tap_end, within};
use crate::cuts::{Cycle, CycleForm, Move, Operation, Place, Way, Work};
use crate::process::threads::{self, Thread};
use crate::process::{Cutting, Missing};
use model::Length;
use model::files::control::TapsAs;
use model::files::tools::Station;
use model::quantity::FeedPerRev;

/// In step with the spindle, which turns back at the bottom.
pub(super) fn tapping(
    cutting: &Cutting<'_>,
    thread: &Thread<'_>,
    tap: &Station,
) -> Result<Operation, Missing> {
    let index = thread.index;
    let shown = |length: Length| length.shown(cutting.units);
    let lacks = |why: String, mend: String| Missing { feature: Some(index), why, mend };
    let lead = thread.form.pitch;
    let (speed, _) = data(cutting, index, tap, Work::Tap)?;
    let rapid = &cutting.job.lathe.rapid;
    let axis = rapid.in_thread.unwrap_or(rapid.z);
    let most = calc::thread::highest_speed(axis, lead.mm()).rpm();
    let speed = within(cutting, tap, speed.rpm().min(most));
    let end = tap_end(tap, thread);
    let open = threads::open_to(cutting, thread);
    if open < end {
        return Err(lacks(
            format!(
                "The full thread ends at {}; with the tap's chamfer its end goes to {}, but the hole is open to {}.",
                shown(thread.feature.to), shown(end), shown(open)
            ),
            "Take a tap with a shorter chamfer (`chamfer`), or drill deeper if the drawing allows it."
                .to_owned(),
        ));
    }
    if tap.deepest().is_none_or(|deepest| deepest < end) {
        let number = tap.number;
        return Err(lacks(
            match tap.deepest() {
                Some(is) => format!("The tap of station {number} reaches {}.", shown(is)),
                None => {
                    format!(
                        "The tools file does not say how deep the tap of station {number} reaches."
                    )
                }
            },
            format!("Write or mend its `reach`: {} at least.", shown(end)),
        ));
    }
    let start = threads::run_in(cutting, lead, speed);
    let mut operation = on_axis(cutting, (Work::Tap, "tap"), tap, speed, start);
    let first = operation.moves.len();
    let bottom = cutting.place(Length::ZERO, -end);
    let lead = FeedPerRev::from_mm(lead.mm());
    let out = Place { z: cutting.place(Length::ZERO, start).z, ..bottom };
    operation.moves.push(Move { to: bottom, way: Way::Thread(lead) });
    operation.moves.push(Move { to: out, way: Way::BackOut(lead) });
    if cutting.job.control.writing.tapping == TapsAs::Cycle {
        operation.cycles.push(Cycle { first, count: 2, form: CycleForm::Tap { bottom, lead } });
    }
    Ok(operation)
}
