//! The job's files against the lathe that stands there: the program is right for another bar,
//! chuck or tool.

use super::{Planted, in_shop};
use crate::reading::Reading;
use crate::seed::Seed;
use model::Length;
use model::files::control::Does;
use model::quantity::{Seconds, SpindleSpeed};

pub(super) fn bar_longer_than_spindle(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let mut setup = reading.good.setup.clone();
    let (part, lathe) = (setup.part.as_ref()?, setup.lathe.as_ref()?);
    let out = part.face_stock + part.first_face - part.jaw_face();
    let inside = lathe.spindle.jaw_face_to_rear;
    let bar = setup.bar.as_mut()?;
    bar.length = out + inside - bar.rear_margin + Length::from_mm(1);
    Some(in_shop(reading, setup, "the blank is longer than the spindle"))
}

/// The blank is an advance shorter than the one the program counts on.
pub(super) fn bar_shorter_than_counted(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let mut setup = reading.good.setup.clone();
    let (part, lathe) = (setup.part.clone()?, setup.lathe.clone()?);
    let bar = setup.bar.as_mut()?;
    let counted = counted(reading)?;
    let first = part.face_stock + part.first_face - part.jaw_face();
    let advances = (counted / i64::from(part.parts_per_advance)).max(1);
    // What the last part of the count needs, less one millimeter.
    let needed = first + lathe.chuck.least_grip + part.advance() * (advances - 1);
    bar.length = needed + bar.length_tolerance - Length::from_mm(1);
    Some(in_shop(reading, setup, "the blank is shorter than the count needs"))
}

/// Parts that one run makes, as far as the text tells: of a variable that counts parts.
fn counted(reading: &Reading<'_>) -> Option<i64> {
    let part = reading.good.setup.part.as_ref()?;
    let bar = reading.bar_count()?;
    let steps = reading.count_steps();
    let of: Vec<_> = steps.iter().filter(|step| step.variable == bar.variable).collect();
    let [step] = of.as_slice() else { return None };
    let each = f64::from(part.parts_per_advance);
    let parts = ((step.by - each).abs() < 1e-9).then_some(bar.number as i64)?;
    (parts <= i64::from(part.quantity)).then_some(parts)
}

pub(super) fn gripper_for_larger_bars(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    (!reading.advances().is_empty()).then_some(())?;
    let mut setup = reading.good.setup.clone();
    let size = setup.bar.as_ref()?.size;
    let gripper = setup.gripper.as_mut()?;
    gripper.diameter.0 = size + Length::from_mm(2);
    gripper.diameter.1 = gripper.diameter.1.max(gripper.diameter.0);
    Some(in_shop(reading, setup, "the fingers are for larger bars"))
}

pub(super) fn chuck_opens_slower(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let advance = super::chuck::advance(reading, seed)?;
    let dwell = reading.only_dwell(advance.open, *advance.pulls.first()?)?;
    (!reading.confirmed(Does::ChuckOpen)).then_some(())?;
    let mut setup = reading.good.setup.clone();
    let waits = reading.lines[dwell].dwell()?;
    setup.lathe.as_mut()?.chuck.open = Seconds::from_s(waits + 0.5);
    Some(in_shop(reading, setup, "the chuck takes longer to open than the program waits"))
}

pub(super) fn chuck_for_lower_speed(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let clamp = reading.lines.iter().filter_map(|line| line.after.clamp).fold(0.0, f64::max);
    (clamp > 100.0).then_some(())?;
    let mut setup = reading.good.setup.clone();
    setup.lathe.as_mut()?.chuck.max_speed = SpindleSpeed::from_rpm(clamp - 50.0);
    Some(in_shop(reading, setup, "the chuck allows less than the program's highest speed"))
}

/// The blade in the turret is half a millimeter wider than the one the job was made for.
pub(super) fn blade_wider(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    use model::files::tools::{BladeCorner, ToolKind};
    let mut setup = reading.good.setup.clone();
    (!reading.part_offs().is_empty()).then_some(())?;
    let more = Length::from_um(500);
    let stations = &mut setup.tools.as_mut()?.stations;
    let blade = stations.iter_mut().find(|station| station.kind == ToolKind::Parting)?;
    // The corner toward the chuck stays where the program says: the other one comes into the part.
    (blade.corner == BladeCorner::ChuckSide).then_some(())?;
    blade.width = Some(blade.width? + more);
    Some(in_shop(reading, setup, "the blade is wider than the job says"))
}
