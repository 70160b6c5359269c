#![doc = include_str!("thread_starts_too_near.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use super::thread_not_drawn::{ROUNDING_MM, face_of_part, side};
use crate::report::{Out, shown};
use model::Length;
use model::files::job::FeatureKind;

/// How far from the lead a turn may be.
const ALLOWED: f64 = 0.01;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let Some(lead) = motion.lead else { return };
    let setup = moment.setup;
    let what = "whether a thread starts far enough before the bar";
    let front = moment.before.bar.front;
    let Some(front) = out.known(front, what, "where the bar's face stands (a job)") else { return };
    let drawn = begins(moment, lead, front);
    let (place, begins) = drawn.map_or(("the bar's face", front), |at| ("its thread begins", at));
    let goes_on = moment.before.thread.is_some_and(|last| {
        last.end == motion.from && last.station == moment.before.tool.station
    });
    if goes_on || motion.from.z <= begins || motion.to.z >= begins {
        return;
    }
    let speed = turning(moment.after, setup);
    let Ok(needed) = calc::thread::wrong_at_start(lead, speed, ALLOWED) else { return };
    let there = motion.from.z - begins;
    if there < needed {
        out.found(
            format!(
                "This pass starts {} before {place}; the axis needs about {} to come up to the lead.",
                shown(setup, there),
                shown(setup, needed)
            ),
            "Start the thread further away, or turn it slower.",
        );
    }
}

/// Where the drawing's thread of this pass begins, if that is behind the front face.
fn begins(moment: &Moment<'_>, lead: f64, front: Length) -> Option<Length> {
    let setup = moment.setup;
    let face = face_of_part(front, setup.part.as_ref()?);
    let features = setup.drawing.as_ref()?.features.iter();
    let side = side(moment);
    let mut threads = features.filter(|it| {
        let near = (lead - it.pitch.mm() * f64::from(it.starts)).abs() <= ROUNDING_MM;
        let here = side.is_none_or(|side| side == it.inside);
        it.kind == FeatureKind::Thread && !it.later && near && here
    });
    let thread = threads.next().filter(|it| it.from.is_positive())?;
    threads.next().is_none().then(|| face - thread.from)
}
