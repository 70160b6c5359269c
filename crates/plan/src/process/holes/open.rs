//! What a drilled hole leaves open.

use super::Drilled;
use crate::process::Cutting;
use calc::hole;
use model::files::control::TapsAs;
use model::files::job::FeatureKind;
use model::files::keys::Choice as _;
use model::files::tools::Station;
use model::{Length, Unproven};

/// A tap that is fed by thread moves: the axis stands while the spindle runs down and turns back.
pub(super) fn by_moves(cutting: &Cutting<'_>, tap: &Station) -> Option<Unproven> {
    let by_moves = cutting.job.control.writing.tapping == TapsAs::Moves;
    by_moves.then(|| Unproven {
        what: format!(
            "whether the tap of station {} may follow the spindle while it turns back",
            tap.number
        ),
        why: "it is written as moves, so its holder must float; no file says whether it does"
            .to_owned(),
    })
}

/// A deep hole whose drill finds no point in the face to start in.
pub(super) fn unguided(cutting: &Cutting<'_>, first: &Drilled<'_>) -> Option<Unproven> {
    let (deep, diameter) = (first.hole.depths(first.drill).0, first.drill.diameter?);
    hole::wants_spot(deep, diameter).then(|| Unproven {
        what: format!(
            "whether the drill of {} starts on the axis and stays there: the hole is {} deep",
            diameter.shown(cutting.units),
            deep.shown(cutting.units)
        ),
        why: "no spot drill stands on the turret".to_owned(),
    })
}

/// A hole with a tolerance of its own, drilled and not reamed: a drill cuts larger than it is.
pub(super) fn may_cut_large(cutting: &Cutting<'_>, drilled: &Drilled<'_>) -> Option<Unproven> {
    let hole = &drilled.hole;
    let own = hole.feature.kind == FeatureKind::Hole
        && hole.feature.deviations != (Length::ZERO, Length::ZERO);
    let room = hole.limits.1 - drilled.drill.diameter?;
    let narrow = own && drilled.reamer.is_none() && room < hole::DRILL_CUTS_LARGER;
    narrow.then(|| Unproven {
        what: format!(
            "whether the hole of {} is not too large: {} of its tolerance are left above the drill",
            hole.feature.diameter.shown(cutting.units),
            room.shown(cutting.units)
        ),
        why: format!(
            "a drill commonly cuts {} larger than it is",
            hole::DRILL_CUTS_LARGER.shown(cutting.units)
        ),
    })
}

/// A hole that goes on into the stub: the gripper then presses on a ring, and the jaws do where it goes
/// on behind their face.
pub(super) fn in_the_stub(cutting: &Cutting<'_>, drilled: &Drilled<'_>) -> Option<Unproven> {
    let tip = drilled.hole.depths(drilled.drill).1;
    let into = tip - cutting.division.finished - cutting.division.part_off;
    if !drilled.hole.through || !into.is_positive() {
        return None;
    }
    let shown = |length: Length| length.shown(cutting.units);
    let diameter = shown(drilled.drill.diameter.unwrap_or_default());
    let deeper = into > cutting.division.jaw_clearance;
    let who = if deeper { "gripper and jaws" } else { "the gripper" };
    let kind = drilled.drill.kind.word();
    Some(Unproven {
        what: format!(
            "whether {who} may press on the stub: the {kind} of {diameter} goes {} into it",
            shown(into)
        ),
        why: "no file says how thick a wall they need".to_owned(),
    })
}
