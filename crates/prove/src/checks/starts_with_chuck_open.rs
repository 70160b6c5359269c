#![doc = include_str!("starts_with_chuck_open.md")]

use crate::event::{EndedBy, Moment, What};
use crate::report::Out;
use model::files::lathe::StartWithChuckOpen;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let starts = matches!(moment.what, What::Start | What::Ended(EndedBy::Count));
    if !starts || !moment.after.chuck.open {
        return;
    }
    let does = match moment.setup.lathe.as_ref().map(|lathe| lathe.chuck.start_when_open) {
        Some(StartWithChuckOpen::Refused) => "this lathe refuses that start",
        Some(StartWithChuckOpen::Warned) => "this lathe warns of it",
        Some(StartWithChuckOpen::Allowed) => "this lathe starts all the same",
        None => "many lathes refuse that start",
    };
    out.found(
        format!("The program would be started next with the chuck open; {does}."),
        "Close the chuck at the end of the program, or by hand before the start.",
    );
}
