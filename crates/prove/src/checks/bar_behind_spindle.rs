#![doc = include_str!("bar_behind_spindle.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::Start || moment.before.drawn_yet() {
        return;
    }
    let setup = moment.setup;
    let what = "whether the bar hangs out behind the spindle";
    let Some(bar) = out.known(setup.bar.as_ref(), what, "the bar") else { return };
    let Some(lathe) = out.known(setup.lathe.as_ref(), what, "the lathe file") else { return };
    let Some(jaw) = out.known(setup.jaw_face(), what, "the part and its advance (a job)") else { return };
    let Some(front) = setup.first_front() else { return };
    let rear = front - bar.length - bar.length_tolerance;
    let end = jaw - lathe.spindle.jaw_face_to_rear + bar.rear_margin;
    if rear >= end {
        return;
    }
    let (over, longest) = (end - rear, front - end);
    let message = format!(
        "The bar reaches {} too far back: the longest blank here is {}, and this one may be {} long. A bar that hangs out behind the spindle bends and strikes whoever stands there.",
        shown(setup, over),
        shown(setup, longest),
        shown(setup, bar.length + bar.length_tolerance),
    );
    let remedy = format!("Saw the blanks to {} or less, their tolerance included.", shown(setup, longest));
    match setup.bar_place.clone() {
        Some(place) => out.found_in(place, message, remedy),
        None => out.found(message, remedy),
    }
}
