//! Whether the files of a job go together: what no single file can see.

use super::{CountBy, Job};
use crate::files::control::needs_chuck_words;
use crate::files::keys::Choice as _;
use crate::files::tools::ToolKind;
use crate::{Diagnostic, Length};

/// Every way in which the files of this job contradict each other.
pub(super) fn goes_together(job: &Job) -> Vec<Diagnostic> {
    let mut troubles = Vec::new();
    bar_and_lathe(job, &mut troubles);
    length_and_lathe(job, &mut troubles);
    bar_and_gripper(job, &mut troubles);
    stub_and_gripper(job, &mut troubles);
    gripper_and_lathe(job, &mut troubles);
    tools(job, &mut troubles);
    blades(job, &mut troubles);
    counting(job, &mut troubles);
    troubles.extend(needs_chuck_words(&job.control));
    troubles
}

fn shown(job: &Job, length: Length) -> String {
    length.shown(job.file.units)
}

/// How far the bar goes forward each time; the width of the parting blade is part of it.
fn advance(job: &Job) -> Length {
    let width = job.tools.first(ToolKind::Parting).and_then(|blade| blade.width);
    let pitch = job.file.advance.face_stock + job.file.part.length + width.unwrap_or_default();
    pitch * i64::from(job.file.advance.parts)
}

/// The stub that is left for the gripper after a part-off.
fn stub(job: &Job) -> Length {
    let least = job.gripper.jaw_gap + job.gripper.fingers;
    job.file.advance.jaw_clearance.unwrap_or(least)
}

fn bar_and_lathe(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let (origin, lathe) = (&job.file.origin, &job.lathe);
    let across = job.file.bar.reach() * 2;
    let help = "take a smaller bar or another lathe";
    if across > lathe.spindle.bore {
        let message = format!(
            "this bar measures {} across, the spindle of {} passes {}",
            shown(job, across),
            lathe.name,
            shown(job, lathe.spindle.bore)
        );
        troubles.push(origin.trouble("bar.size", message).help(help));
    }
    if across > lathe.travel.x {
        let message = format!(
            "no tool reaches the outside of this bar: X travels to {}",
            shown(job, lathe.travel.x)
        );
        troubles.push(origin.trouble("bar.size", message).help(help));
    }
}

fn length_and_lathe(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let (file, lathe) = (&job.file, &job.lathe);
    let worked = advance(job) + file.advance.first_face;
    if worked > lathe.travel.z {
        let message = format!(
            "{} of bar are worked after one advance, Z travels {}",
            shown(job, worked),
            shown(job, lathe.travel.z)
        );
        let help = "cut fewer parts in one advance, or take another lathe";
        troubles.push(file.origin.trouble("part.length", message).help(help));
        return;
    }
    let least = worked + stub(job) + lathe.chuck.least_grip;
    if file.bar.length < least {
        let message =
            format!("this bar gives no part: stick-out and least grip take {}", shown(job, least));
        troubles.push(file.origin.trouble("bar.length", message).help("take a longer bar"));
    }
}

fn bar_and_gripper(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let size = job.file.bar.size;
    let (min, max) = job.gripper.diameter;
    if size < min || size > max {
        let message = format!(
            "the gripper holds {} to {}, the bar is {}",
            shown(job, min),
            shown(job, max),
            shown(job, size)
        );
        let help = "fit other fingers or take another gripper";
        troubles.push(job.file.origin.trouble("bar.size", message).help(help));
    }
    let across = job.file.bar.reach() * 2;
    if job.gripper.clear_x <= across {
        let message = format!(
            "the gripper is not clear here: the bar measures {} across",
            shown(job, across)
        );
        let help = "write an X at which the fingers are beside the bar";
        troubles.push(job.gripper.origin.trouble("clear_x", message).help(help));
    }
}

fn stub_and_gripper(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let (stub, gripper) = (stub(job), &job.gripper);
    let least = gripper.jaw_gap + gripper.least_engagement;
    if stub < least {
        let message = format!(
            "the gripper needs a stub of {}: it stays {} from the jaws and must hold {}",
            shown(job, least),
            shown(job, gripper.jaw_gap),
            shown(job, gripper.least_engagement)
        );
        let help = format!("write at least {}", shown(job, least));
        troubles.push(job.file.origin.trouble("advance.jaw_clearance", message).help(help));
    }
}

fn gripper_and_lathe(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let (gripper, travel) = (&job.gripper, &job.lathe.travel);
    for (key, axis, at, limit) in
        [("clear_x", 'X', gripper.clear_x, travel.x), ("clear_z", 'Z', gripper.clear_z, travel.z)]
    {
        if at > limit {
            let message =
                format!("the gripper cannot go there: {axis} travels {}", shown(job, limit));
            let help = "write a place within the travel of the lathe";
            troubles.push(gripper.origin.trouble(key, message).help(help));
        }
    }
}

fn tools(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let tools = &job.tools;
    for (kind, what) in [
        (ToolKind::Turning, "a turning tool"),
        (ToolKind::Parting, "a parting tool"),
        (ToolKind::Gripper, "a gripper"),
    ] {
        if tools.first(kind).is_none() {
            let message = format!("no station holds {what}");
            let help = format!("add a `[[station]]` with `kind = \"{}\"`", kind.word());
            troubles.push(tools.origin.trouble("station", message).help(help));
        }
    }
    for (index, station) in tools.stations.iter().enumerate() {
        let stations = job.lathe.turret.stations;
        if station.number > stations {
            let message = format!(
                "there is no station {}: the turret of {} has {stations}",
                station.number, job.lathe.name
            );
            let path = format!("station[{index}].number");
            let help = "write the number on the turret";
            troubles.push(tools.origin.trouble(&path, message).help(help));
        }
    }
}

fn blades(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let center = job.file.bar.reach();
    for (index, station) in job.tools.stations.iter().enumerate() {
        if let (ToolKind::Parting, Some(reach)) = (station.kind, station.reach)
            && reach < center
        {
            let message = format!(
                "this blade reaches {} deep, the bar's center lies {} deep",
                shown(job, reach),
                shown(job, center)
            );
            let path = format!("station[{index}].reach");
            let help = "fit a longer blade or take a smaller bar";
            troubles.push(job.tools.origin.trouble(&path, message).help(help));
        }
    }
}

fn counting(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let (file, count, control) = (&job.file, &job.file.count, &job.control);
    let inside = |(first, last): (u32, u32)| (first..=last).contains(&count.variable);
    if count.by == CountBy::Variable
        && !inside(control.variables.volatile)
        && !inside(control.variables.kept)
    {
        let message = format!("#{} is no common variable of {}", count.variable, control.name);
        let (first, last) = control.variables.kept;
        let help = format!("write one from {first} to {last}, which are kept through a reset");
        troubles.push(file.origin.trouble("count.variable", message).help(help));
    }
    if count.by == CountBy::Counter && control.counter.is_none() {
        let message = format!("{} has no part counter that a program can read", control.name);
        let help = "count by \"variable\" or \"repeat\", or add `[counter]` to the control file";
        troubles.push(file.origin.trouble("count.by", message).help(help));
    }
    let digits = control.writing.program_digits;
    let largest = 10_u64.pow(digits as u32) - 1;
    let (number, next) = (file.program, u64::from(file.program) + 1);
    if next > largest {
        let what = if u64::from(number) > largest { u64::from(number) } else { next };
        let message =
            format!("{} has program numbers of {digits} digits, {what} has more", control.name);
        let help = format!("write a number up to {}; the next one may be used too", largest - 1);
        troubles.push(file.origin.trouble("program", message).help(help));
    }
}
