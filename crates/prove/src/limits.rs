//! What a proof cannot see of shapes, and which key would let it see more.

use crate::metal::Metal;
use crate::report::Report;
use crate::setup::Setup;
use model::files::tools::ToolKind;

const COLLISIONS: &str = "collisions of tools, holders and turret with bar, chuck and each other";
const ALONG_THE_AXIS: &str =
    "this version follows the bar along its axis only, not the shapes of tools and stock";

/// Files what is not seen of collisions and of the part.
pub(crate) fn shapes(setup: &Setup, report: &mut Report) {
    report.unproven("the shape and diameters of the part", ALONG_THE_AXIS);
    if Metal::new(setup).is_none() {
        return report.unproven(COLLISIONS, ALONG_THE_AXIS);
    }
    for why in unseen(setup) {
        report.unproven(COLLISIONS, why);
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
    let listed = |numbers: Vec<String>| match numbers.as_slice() {
        [one] => format!("station {one}"),
        many => format!("stations {}", many.join(", ")),
    };
    let shapeless =
        stations.clone().filter(|it| it.kind == ToolKind::Drill && it.diameter.is_none());
    let shapeless: Vec<_> = shapeless.map(|it| it.number.to_string()).collect();
    if !shapeless.is_empty() {
        unseen
            .push(format!("`diameter` is not given for {}: no shape, no hole", listed(shapeless)));
    }
    let bare = |kind| matches!(kind, ToolKind::Turning | ToolKind::Boring);
    let bare = stations.clone().filter(|it| bare(it.kind) && it.shank.zip(it.overhang).is_none());
    let bare: Vec<_> = bare.map(|it| it.number.to_string()).collect();
    if !bare.is_empty() {
        let which = listed(bare);
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
    let unplaced: Vec<_> = unplaced.map(|it| it.number.to_string()).collect();
    if !unplaced.is_empty() {
        unseen.push(format!(
            "`beyond_rim`, `beyond_face` and `shank` (drills: `diameter`; the gripper: its \
             `[outline]`) are not all given for {}: not seen while another tool works",
            listed(unplaced)
        ));
    }
    unseen
}
