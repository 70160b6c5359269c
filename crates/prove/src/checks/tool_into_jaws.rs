#![doc = include_str!("tool_into_jaws.md")]

use crate::event::{Moment, Motion, What};
use crate::metal::{Against, Part};
use crate::report::Out;
use model::files::tools::ToolKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let into = match moment.what {
        What::Struck { strike, .. } => {
            strike.against == Against::Jaws && matches!(strike.part, Part::Edge | Part::Holder)
        }
        What::Cut(motion) => tip_behind_jaw_face(&motion, moment),
        _ => false,
    };
    if into {
        out.found(
            "The tool goes into the jaws, or behind their face where the chuck is.",
            "Check Z of this move, the work offset and the jaw clearance of the job.",
        );
    }
}

/// Whether a tool that comes from outside cuts behind the jaw face, inside the bar's own section:
/// its tip meets no jaw there, but what holds the tip does.
fn tip_behind_jaw_face(motion: &Motion, moment: &Moment<'_>) -> bool {
    let (setup, kind) = (moment.setup, moment.before.tool.kind);
    let from_outside = matches!(
        kind,
        Some(ToolKind::Turning | ToolKind::Parting | ToolKind::Grooving | ToolKind::Threading)
    );
    let Some(jaw) = setup.jaw_face().filter(|_| from_outside) else { return false };
    motion.to.z.min(motion.from.z) < jaw
}
