#![doc = include_str!("bore_without_hole.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::files::tools::ToolKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::BoredSolid(at) = moment.what else { return };
    let setup = moment.setup;
    let Some(tools) = setup.tools.as_ref() else { return };
    let unknown = tools
        .stations
        .iter()
        .find(|station| station.kind == ToolKind::Drill && station.diameter.is_none());
    if let Some(drill) = unknown {
        let why = format!("`diameter` is not given for station {} ({})", drill.number, drill.name);
        return out.unproven("whether every boring tool finds its hole", why);
    }
    out.found(
        format!(
            "The boring tool goes into solid bar at Z{}: no hole is there.",
            at.z.text(setup.units, setup.units.decimals())
        ),
        "Drill the hole first, deep enough and large enough for the bar of the tool.",
    );
}
