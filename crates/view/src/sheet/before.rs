//! What a person needs before going to the machine: what the job is, the drawing, what to saw, what
//! is near a limit and what nobody has proven.

use super::{Block, Column, Facts, Said, Table, WIDTH, counted, figure};
use crate::pictures::part_drawing;
use crate::sizes::sizes;
use model::files::job::BarShape;
use model::finding::Verdict;
use model::quantity::Mass;
use model::{Level, Units};
use plan::checks::CheckLine;

/// How near to its limit a check is told, as a share of the limit.
const NEAR: f64 = 0.2;

pub(super) fn blocks(said: &Said<'_>) -> Vec<Block> {
    let mut blocks = vec![title(said)];
    blocks.extend(verdict(said));
    let sizes = sizes(&said.job.file);
    match part_drawing::scene(&said.job.file, &sizes, WIDTH) {
        Some(scene) => blocks.push(Block::Picture("part", scene)),
        None => {
            let words = "The features of the part give no drawing: take the one on paper.";
            blocks.push(Block::Warning(words.to_owned()));
        }
    }
    blocks.push(material(said));
    blocks.extend(near(said));
    blocks.extend(findings(said));
    blocks.extend(unproven(said));
    blocks
}

fn title(said: &Said<'_>) -> Block {
    let (file, job) = (&said.job.file, said.job);
    let programs = said.answer.programs.iter();
    let programs: Vec<String> =
        programs.map(|it| format!("{} {}", said.program(it), it.purpose)).collect();
    let shape = match file.bar.shape {
        BarShape::Round => "⌀",
        BarShape::Hexagon => "hexagon, across flats ",
        BarShape::Square => "square, across flats ",
    };
    let due = file.order.due.clone().unwrap_or_else(|| "not given".to_owned());
    let rows = vec![
        ("Part", file.name.clone()),
        ("Programs", programs.join("; ")),
        ("Ordered", format!("{}; due {due}", counted(file.order.quantity, "part"))),
        ("Material", job.material.name.clone()),
        ("Bar", format!("{shape}{}", said.length(file.bar.size))),
        ("Lathe", job.lathe.name.clone()),
        ("Gripper", job.gripper.name.clone()),
        ("Control", job.control.name.clone()),
        ("Set up by, date", String::new()),
        ("First piece by, date", String::new()),
    ];
    Block::Facts(Facts { name: "job", title: "The job", rows: super::facts(rows) })
}

/// What the whole plan came to, and the cautions that always hold.
fn verdict(said: &Said<'_>) -> Vec<Block> {
    let open = said.answer.unproven.len() as u32;
    let word = match said.answer.verdict {
        Verdict::Clear => "Plan and proof found no stop and no caution in what they checked",
        Verdict::Caution => "Plan and proof found no stop, but the cautions below",
        Verdict::Stop => "STOP: do not set up. Plan or proof found what can hurt or scrap",
    };
    let open = match open {
        0 => String::new(),
        1 => "; 1 thing is unproven".to_owned(),
        many => format!("; {many} things are unproven"),
    };
    let always = [
        "Guards and interlocks stay, and stay working. The manuals of lathe and gripper, the rules of the place and the qualified person come first.",
        "First run in single block with reduced rapids, hand on the feed hold. The tool that wrote this does not see the real machine.",
        "Nothing of the bar may stand out behind the spindle. No hand goes near the chuck while it may open or close.",
    ];
    vec![
        Block::Warning(format!("{word}{open}.")),
        Block::List("Always", always.map(str::to_owned).to_vec()),
    ]
}

fn material(said: &Said<'_>) -> Block {
    let (bar, file) = (&said.answer.bar, &said.job.file.bar);
    let blanks = bar.blanks.map_or("none: a blank gives no part".to_owned(), |blanks| {
        format!(
            "{} of {} ± {}, to the order's last part",
            counted(blanks, "blank"),
            said.length(bar.blank),
            said.figure(bar.tolerance)
        )
    });
    let mut rows = vec![
        ("Blanks", blanks),
        (
            "Last blank",
            format!(
                "makes {}; at least {} long",
                counted(bar.parts_in_last, "part"),
                said.length(bar.shortest_last)
            ),
        ),
        ("Mass of all blanks", mass(said, bar.mass)),
    ];
    rows.push(match bar.stock {
        Some(stock) => (
            "Sawn from",
            format!(
                "{} of {}, {} from each; saw kerf {}, end trim {}",
                stock.bars.map_or("?".to_owned(), |bars| counted(bars, "stock bar")),
                said.length(stock.length),
                counted(stock.blanks_each, "blank"),
                said.figure(file.saw_kerf),
                said.figure(file.end_trim)
            ),
        ),
        None => ("Sawn from", "the length of the stock bars is not given".to_owned()),
    });
    let straight = file.condition.as_ref().and_then(|it| Some((it.bow?, it.over)));
    rows.push((
        "Look at each blank",
        straight.map_or(
            "how straight the bars are is not given: measure".to_owned(),
            |(bow, over)| {
                format!(
                    "bow at most {} in the middle of {}; ends without burr, rear end chamfered",
                    said.length(bow),
                    said.length(over)
                )
            },
        ),
    ));
    Block::Facts(Facts {
        name: "material",
        title: "Material to have ready",
        rows: super::facts(rows),
    })
}

fn mass(said: &Said<'_>, mass: Mass) -> String {
    let kg = mass.kg();
    match said.units {
        Units::Mm => format!("{kg:.1} kg"),
        // The pound is 0.453 592 37 kg by definition.
        Units::Inch => format!("{kg:.1} kg ({:.1} lb)", kg / 0.453_592_37),
    }
}

/// Checks that are broken, or near their limit at the unfavorable end of their range.
fn near(said: &Said<'_>) -> Option<Block> {
    let close = |check: &&CheckLine| {
        let end = if check.at_least { check.low } else { check.high };
        let off = if check.at_least { end - check.limit } else { check.limit - end };
        // Whether something is so, or how many, keeps no distance from its limit.
        let yes_or_no = check.unit.is_empty() && (check.high - check.low).max(off.abs()) < 1e-9;
        let counts = check.limit.abs() > 1e-9 && !yes_or_no;
        check.level.is_some() || (counts && off.abs() < NEAR * check.limit.abs())
    };
    let rows: Vec<Vec<String>> =
        said.answer.checks.iter().filter(close).map(|it| check(said, it)).collect();
    (!rows.is_empty()).then(|| {
        Block::Table(Table {
            name: "checks",
            title: "Checks near their limit, or beyond it, named by the trouble they guard against",
            columns: vec![
                Column::words("Check", 26),
                Column::words("Level", 9),
                Column::figures("Is", 11),
                Column::figures("From", 11),
                Column::figures("To", 11),
                Column::words("Must be", 22),
            ],
            rows,
        })
    })
}

fn check(said: &Said<'_>, check: &CheckLine) -> Vec<String> {
    let (scale, unit) = super::in_units(check.unit, said.units);
    let figure = |value: f64| figure(value / scale);
    let side = if check.at_least { "at least" } else { "at most" };
    let about = if check.about.is_empty() { String::new() } else { format!(", {}", check.about) };
    vec![
        format!("{}{about}", check.id.replace('-', " ")),
        check.level.map_or("near", Level::word).to_owned(),
        figure(check.value),
        figure(check.low),
        figure(check.high),
        format!("{side} {} {}", figure(check.limit), unit).trim_end().to_owned(),
    ]
}

fn findings(said: &Said<'_>) -> Option<Block> {
    let lines: Vec<String> = said
        .answer
        .findings
        .iter()
        .map(|it| format!("{}: {} {}", it.level.word(), it.message, it.remedy))
        .collect();
    (!lines.is_empty()).then_some(Block::List("What was found", lines))
}

fn unproven(said: &Said<'_>) -> Option<Block> {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in &said.answer.unproven {
        match reasons.iter_mut().find(|(why, _)| *why == one.why) {
            Some((_, what)) => what.push(&one.what),
            None => reasons.push((&one.why, vec![&one.what])),
        }
    }
    let line = |(why, what): (&str, Vec<&str>)| format!("{}. Why: {why}.", what.join("; "));
    let lines: Vec<String> = reasons.into_iter().map(line).collect();
    let title = "Unproven: nobody has checked this, so look yourself";
    (!lines.is_empty()).then_some(Block::List(title, lines))
}
