#![doc = include_str!("thread_not_drawn.md")]

use crate::event::{Moment, Motion, What};
use crate::report::{Out, shown};
use crate::setup::PartFacts;
use model::Length;
use model::files::job::{Feature, FeatureKind};
use model::files::tools::ToolKind;

/// A lead may differ from the drawing's by the rounding of inches.
pub(super) const ROUNDING_MM: f64 = 0.002;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(Motion { lead: Some(lead), from, to, .. }) = moment.what else { return };
    let setup = moment.setup;
    let (Some(drawing), Some(part)) = (&setup.drawing, &setup.part) else { return };
    let Some(front) = moment.before.bar.front else { return };
    let face = face_of_part(front, part);
    let (begins, ends) = (face - from.z.max(to.z), face - from.z.min(to.z));
    if begins >= part.finished || !ends.is_positive() {
        return;
    }
    let last = moment.before.thread;
    let goes_on = last.filter(|last| {
        last.end.z == from.z && last.station == moment.before.tool.station
    });
    // What goes on at the same lead was judged where it began: it runs out of its thread.
    if goes_on.is_some_and(|last| last.lead.to_bits() == lead.to_bits()) {
        return;
    }
    let side = side(moment);
    let covers = |thread: &&Feature| {
        begins < thread.to && thread.from < ends && side.is_none_or(|side| side == thread.inside)
    };
    let threads = drawing.features.iter().filter(|it| it.kind == FeatureKind::Thread);
    let mut threads = threads.filter(covers).peekable();
    let remedy = "Check the lead and the place of this pass against the drawing.";
    if threads.peek().is_none() {
        return out.found("A thread is cut here where the drawing has none.", remedy);
    }
    let near = |thread: &Feature| {
        (lead - thread.pitch.mm() * f64::from(thread.starts)).abs() <= ROUNDING_MM
    };
    let threads: Vec<_> = threads.collect();
    let Some(thread) = threads.iter().find(|thread| near(thread)).or(threads.first()) else { return };
    if !near(thread) {
        let (is, wanted) = (Length::nearest_mm(lead), thread.pitch * i64::from(thread.starts));
        let message = format!(
            "A thread is cut here with a lead of {}; the drawing wants {}.",
            shown(setup, is),
            shown(setup, wanted)
        );
        return out.found(message, remedy);
    }
    if goes_on.is_none() && begins > thread.from && from.r.abs() < thread.diameter.half() + thread.pitch {
        let message = format!(
            "This thread pass begins {} behind the front face, in the thread that the drawing begins at {}.",
            shown(setup, begins),
            shown(setup, thread.from)
        );
        out.found(message, remedy);
    }
    if thread.starts > 1 {
        out.unproven(
            "whether every start of a thread is cut",
            "passes are followed as grooves all around, not as helixes",
        );
    }
}

/// Whether the tool at work cuts threads inside; none where no file tells.
pub(super) fn side(moment: &Moment<'_>) -> Option<bool> {
    let number = moment.before.tool.station?;
    let station = moment.setup.tools.as_ref()?.station(number)?;
    match station.kind {
        ToolKind::Tap => Some(true),
        ToolKind::Threading => Some(station.inside),
        // A tap may stand in an older file as a drill.
        _ => None,
    }
}

/// The finished front face of the part at work: each part of an advance is one pitch further along,
/// whether its front is faced already or not.
pub(super) fn face_of_part(front: Length, part: &PartFacts) -> Length {
    let pitch = part.pitch();
    if !pitch.is_positive() {
        return Length::ZERO;
    }
    let done = (part.face_stock + part.first_face - front) / pitch;
    -(pitch * done.max(0))
}
