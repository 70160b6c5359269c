//! Whether the files of a job go together: what no single file can see.

use super::{CountBy, Job};
use crate::files::control::needs_chuck_words;
use crate::files::tools::ToolKind;
use crate::{Diagnostic, Length};

/// Every way in which the files of this job contradict each other.
pub(super) fn goes_together(job: &Job) -> Vec<Diagnostic> {
    let mut troubles = Vec::new();
    bar_and_lathe(job, &mut troubles);
    bar_and_gripper(job, &mut troubles);
    tools(job, &mut troubles);
    counting(job, &mut troubles);
    troubles.extend(needs_chuck_words(&job.control));
    troubles
}

fn shown(job: &Job, length: Length) -> String {
    length.shown(job.file.units)
}

fn bar_and_lathe(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let (file, lathe) = (&job.file, &job.lathe);
    let across = file.bar.reach() * 2;
    if across > lathe.spindle.bore {
        let message = format!(
            "this bar measures {} across, the spindle of {} passes {}",
            shown(job, across),
            lathe.name,
            shown(job, lathe.spindle.bore)
        );
        troubles.push(
            file.origin.trouble("bar.size", message).help("take a smaller bar or another lathe"),
        );
    }
    if across > lathe.travel.x {
        let message =
            format!("no tool reaches this bar: X travels to {}", shown(job, lathe.travel.x));
        troubles.push(
            file.origin.trouble("bar.size", message).help("take a smaller bar or another lathe"),
        );
    }
    let cut = file.part.length * i64::from(file.advance.parts)
        + file.advance.face_stock
        + file.advance.first_face;
    if cut > lathe.travel.z {
        let message = format!(
            "{} in front of the jaws is longer than the Z travel of {}",
            shown(job, cut),
            shown(job, lathe.travel.z)
        );
        let help = "cut fewer parts in one advance, or take another lathe";
        troubles.push(file.origin.trouble("part.length", message).help(help));
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
        troubles.push(
            job.file
                .origin
                .trouble("bar.size", message)
                .help("fit other fingers or take another gripper"),
        );
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
            troubles
                .push(tools.origin.trouble("station", message).help("add a `[[station]]` for it"));
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
            troubles
                .push(tools.origin.trouble(&path, message).help("write the number on the turret"));
        }
        let center = job.file.bar.reach();
        if let (ToolKind::Parting, Some(reach)) = (station.kind, station.reach)
            && reach < center
        {
            let message = format!(
                "this blade reaches {} deep, the bar's center lies {} deep",
                shown(job, reach),
                shown(job, center)
            );
            let path = format!("station[{index}].reach");
            troubles.push(
                tools
                    .origin
                    .trouble(&path, message)
                    .help("fit a longer blade or take a smaller bar"),
            );
        }
    }
}

fn counting(job: &Job, troubles: &mut Vec<Diagnostic>) {
    let (count, control) = (&job.file.count, &job.control);
    let inside = |(first, last): (u32, u32)| (first..=last).contains(&count.variable);
    if count.by == CountBy::Variable
        && !inside(control.variables.volatile)
        && !inside(control.variables.kept)
    {
        let message = format!("#{} is no common variable of {}", count.variable, control.name);
        let (first, last) = control.variables.kept;
        let help = format!("write one from {first} to {last}, which are kept through a reset");
        troubles.push(job.file.origin.trouble("count.variable", message).help(help));
    }
    if count.by == CountBy::Counter && control.counter.is_none() {
        let message = format!("{} has no part counter that a program can read", control.name);
        let help = "count by \"variable\" or \"repeat\", or add `[counter]` to the control file";
        troubles.push(job.file.origin.trouble("count.by", message).help(help));
    }
    let largest = 10_u64.pow(control.writing.program_digits as u32) - 1;
    if u64::from(job.file.program) + 1 > largest {
        let message = format!(
            "program numbers of {} have {} digits",
            control.name, control.writing.program_digits
        );
        let help = format!("write a number below {largest}; the next one is used too");
        troubles.push(job.file.origin.trouble("program", message).help(help));
    }
}
