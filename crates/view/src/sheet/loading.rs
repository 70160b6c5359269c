//! How a bar is loaded, and how it is divided.

use super::{Block, Facts, Said, WIDTH};
use crate::pictures::bar_ruler;
use model::Length;
use model::files::job::CountBy;
use model::files::tools::ToolKind;

pub(super) fn blocks(said: &Said<'_>) -> Vec<Block> {
    let (bar, division) = (&said.answer.bar, &said.answer.bar.division);
    let length = |it: Length| said.length(it);
    let stop = division.face_stock + division.first_face;
    let at = said.job.tools.first(ToolKind::BarStop).map_or(String::new(), |station| {
        format!(" (station {}, {})", station.number, station.name)
    });
    let load = vec![
        ("Stop for the bar's front end", format!("Z {}{at}", length(stop))),
        ("Jaw face", format!("Z {}", length(bar.jaw_face))),
        (
            "Stick-out of a new bar",
            format!(
                "{} in front of the jaw face (later {})",
                length(stop - bar.jaw_face),
                length(division.stick_out())
            ),
        ),
        (
            "Longest blank",
            format!("{}; a longer one stands out behind the spindle", length(bar.longest_blank)),
        ),
        (
            "Rear margin",
            format!(
                "{} asked for; the longest of these blanks leaves {}",
                length(said.job.file.bar.rear_margin),
                length(
                    bar.longest_blank + said.job.file.bar.rear_margin - bar.blank - bar.tolerance
                )
            ),
        ),
        (
            "In the jaws at the last part",
            format!("{}; at least {}", length(bar.last_grip), length(division.least_grip)),
        ),
    ];
    let divided = vec![
        (
            "Parts from a bar",
            format!("{}, {} to an advance", bar.parts_per_bar, division.parts_per_advance),
        ),
        (
            "Pitch",
            format!(
                "{} = face stock {} + part {} + part-off {}",
                length(division.pitch()),
                said.figure(division.face_stock),
                said.figure(division.finished),
                said.figure(division.part_off)
            ),
        ),
        ("Advance", length(division.advance())),
        ("First-face stock", format!("{}, faced off a new bar once", length(division.first_face))),
        ("Jaw clearance (the stub)", length(division.jaw_clearance)),
        ("Remnant", length(bar.remnant)),
        ("Chance that a short pull loses a part", chance(bar.chance_of_loss.ratio())),
    ];
    vec![
        Block::Picture("bar", bar_ruler::scene_of_width(said.job, said.answer, WIDTH)),
        Block::Facts(Facts {
            name: "load",
            title: "To load a bar, by hand, spindle standing, count at zero",
            rows: super::facts(load),
        }),
        Block::Facts(Facts {
            name: "bar",
            title: "How the bar is divided",
            rows: super::facts(divided),
        }),
        Block::Words(format!(
            "Z 0 is the finished front face of the part at work. {}",
            after(said)
        )),
    ]
}

fn chance(ratio: f64) -> String {
    if ratio < 1e-4 {
        "below 0.01 % a bar".to_owned()
    } else {
        format!("{:.2} % a bar", 100.0 * ratio)
    }
}

/// What is run after loading.
fn after(said: &Said<'_>) -> String {
    let names: Vec<String> = said.answer.programs.iter().map(|it| said.program(it)).collect();
    match (said.job.file.count.by, names.as_slice()) {
        (CountBy::Variable | CountBy::Counter, [main, new_bar, ..]) => format!(
            "After loading a bar run {new_bar} once: it sets the count of this bar to zero. Then start {main}. Never run {new_bar} after a stop in mid-bar."
        ),
        (CountBy::Repeat, [main, ..]) => format!(
            "After loading a bar start {main}: it counts by calls, so a start from its top always means a whole new bar."
        ),
        _ => "There is no program.".to_owned(),
    }
}
