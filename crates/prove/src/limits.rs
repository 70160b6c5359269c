//! What a proof cannot see for want of a key, and which key would let it see more.

use crate::loads::LoadBook;
use crate::metal::Metal;
use crate::report::Report;
use crate::setup::Setup;
use model::files::tools::{Station, ToolKind};

const COLLISIONS: &str = "collisions of tools, holders and turret with bar, chuck and each other";
const FORM: &str = "the shape and diameters of the part";
const ALONG_THE_AXIS: &str =
    "this version follows the bar along its axis only, not the shapes of tools and stock";

/// Files what is not seen of collisions and of the part.
pub(crate) fn shapes(setup: &Setup, metal: Option<&Metal>, report: &mut Report) {
    let Some(metal) = metal else {
        report.unproven(FORM, ALONG_THE_AXIS);
        return report.unproven(COLLISIONS, ALONG_THE_AXIS);
    };
    form(setup, metal, report);
    for why in unseen(setup) {
        report.unproven(COLLISIONS, why);
    }
}

/// Files what is not reckoned of what cuts ask of drive, chuck and bar.
pub(crate) fn loads(book: &LoadBook, metal: Option<&Metal>, report: &mut Report) {
    const WHAT: &str = "force, power and grip of the cuts";
    if metal.is_none() {
        return report.unproven(WHAT, "bar, part and tools must all be given");
    }
    for why in book.lacks() {
        report.unproven(WHAT, why);
    }
}

/// Files what comparing pieces with the drawing leaves open.
fn form(setup: &Setup, metal: &Metal, report: &mut Report) {
    let Some(limits) = metal.limits() else {
        return report.unproven(FORM, "the job's drawing gives no limits to compare with");
    };
    report.unproven(
        FORM,
        "each piece that falls is compared with the drawing as the tools' shapes leave it; how far \
         tool, bar and lathe bend, grow warm and wear, and the flanks of threads, are not in it",
    );
    let unsaid = setup.drawing.as_ref().is_some_and(|drawing| drawing.inside_corner.is_none());
    if limits.has_corners && unsaid {
        report.unproven(
            "the radius in inside corners",
            "the job's drawing does not say how large it may be (`inside_corner`); any that the tools' noses leave passes",
        );
    }
}

/// Files what is not checked of travel and of the way the spindle turns.
pub(crate) fn keys(setup: &Setup, report: &mut Report) {
    let Some(tools) = &setup.tools else { return };
    let seatless = listed(
        tools
            .stations
            .iter()
            .filter(|it| it.seat.beyond_rim.is_none() || it.seat.beyond_face.is_none()),
    );
    let ends = setup.lathe.as_ref().map(|lathe| lathe.travel.ends.is_some());
    match (ends, seatless) {
        (Some(false), _) => report.unproven(
            "travel limits",
            "where the work lies in the travel is not known: `travel.ends` of the lathe file tells it",
        ),
        (Some(true), Some(which)) => report.unproven(
            "travel limits",
            format!("`beyond_rim` and `beyond_face` are not given for {which}"),
        ),
        _ => {}
    }
    let cuts = |kind| !matches!(kind, ToolKind::Gripper | ToolKind::BarStop);
    let unknown = tools.stations.iter().filter(|it| cuts(it.kind) && it.takes.turns.is_none());
    if let Some(which) = listed(unknown) {
        report.unproven(
            "whether the spindle turns the right way for each tool",
            format!("`turns` is not given for {which}"),
        );
    }
}

/// Stations by their numbers; none where there are none.
fn listed<'s>(stations: impl Iterator<Item = &'s Station>) -> Option<String> {
    let numbers: Vec<_> = stations.map(|station| station.number.to_string()).collect();
    match numbers.as_slice() {
        [] => None,
        [one] => Some(format!("station {one}")),
        many => Some(format!("stations {}", many.join(", "))),
    }
}

/// What is not seen, each with the key that would tell it.
fn unseen(setup: &Setup) -> Vec<String> {
    let mut unseen = vec![
        "headstock, tailstock, catcher, guards and hoses are not seen, nor where a new tool's tip \
         stands before its first move"
            .to_owned(),
    ];
    let lathe = setup.lathe.as_ref();
    if lathe.is_none_or(|lathe| lathe.chuck.steps.is_empty()) {
        unseen.push(
            "all behind the plane of the jaw face is taken for chuck: `[[chuck.step]]` of the \
             lathe file gives its outline"
                .to_owned(),
        );
    }
    if setup.gripper.as_ref().is_none_or(|gripper| gripper.outline.is_none()) {
        unseen.push(
            "the gripper's body is not seen, its fingers as far as `clear_x` allows: `[outline]` \
             of the gripper file gives both"
                .to_owned(),
        );
    }
    let stations = setup.tools.iter().flat_map(|tools| &tools.stations);
    let drills = |it: &&Station| it.kind == ToolKind::Drill && it.diameter.is_none();
    if let Some(which) = listed(stations.clone().filter(drills)) {
        unseen.push(format!("`diameter` is not given for {which}: no shape, no hole"));
    }
    let bare = |it: &&Station| {
        (it.kind == ToolKind::Turning || it.in_bore())
            && (it.shank.is_none() || it.overhang.is_none())
    };
    if let Some(which) = listed(stations.clone().filter(bare)) {
        unseen.push(format!("`shank` and `overhang` are not given for {which}: no holder is seen"));
    }
    if lathe.is_none_or(|lathe| lathe.turret.body.is_none()) {
        unseen.push(
            "the turret and the tools that do not work are not seen: `turret.body` of the lathe \
             file, and `beyond_rim` and `beyond_face` of each station, give them"
                .to_owned(),
        );
        return unseen;
    }
    let gripper = setup.gripper.as_ref().is_some_and(|gripper| gripper.outline.is_some());
    let unplaced = stations.filter(|it| !it.stands_known(gripper));
    if let Some(which) = listed(unplaced) {
        unseen.push(format!(
            "`beyond_rim`, `beyond_face` and `shank` (drills: `diameter`; the gripper: its \
             `[outline]`) are not all given for {which}: not seen while another tool works"
        ));
    }
    unseen
}
