//! The advance, block by block: what the program says, and what happens.

use super::super::{Block, Column, Said, Table};
use model::files::control::Does;
use model::files::job::CountBy;
use model::quantity::Seconds;
use plan::acts::{Act, Acts};
use plan::cuts::Place;

pub(super) fn table(said: &Said<'_>) -> Block {
    let acts = Acts::new(said.job, &said.answer.bar).advance();
    let steps = steps(said, &acts);
    let lines = written(said);
    // Each step is one block; where they do not pair off, the words stand without the blocks.
    let pairs = lines.len() == steps.len();
    let rows = steps.into_iter().enumerate().map(|(index, what)| {
        let (line, words) = if pairs { lines[index].clone() } else { Default::default() };
        vec![(index + 1).to_string(), line, words, what]
    });
    Block::Table(Table {
        name: "advance",
        title: "The advance, step by step",
        columns: vec![
            Column::figures("Step", 6),
            Column::words("Line", 13),
            Column::program("Block", 24),
            Column::words("What happens, and what to look for", 57),
        ],
        rows: rows.collect(),
    })
}

/// The blocks of the advance in the program that holds it, each with its file and line.
fn written(said: &Said<'_>) -> Vec<(String, String)> {
    let at = usize::from(said.job.file.count.by == CountBy::Repeat) * 2;
    let Some(program) = said.answer.programs.get(at) else { return Vec::new() };
    let name = said.program(program);
    let lines = program.text.lines().enumerate();
    let inside = lines.skip_while(|(_, line)| !line.starts_with("(ADVANCE THE BAR")).skip(1);
    let ends = |line: &str| line.is_empty() || line.contains("GOTO") || line.starts_with("M99");
    let block = |line: &str| line.split('(').next().unwrap_or_default().trim().to_owned();
    inside
        .take_while(|(_, line)| !ends(line))
        .map(|(number, line)| (format!("{name}:{}", number + 1), block(line)))
        .collect()
}

/// What each block does; a move that goes nowhere has no block.
fn steps(said: &Said<'_>, acts: &[Act]) -> Vec<String> {
    let mut steps = Vec::new();
    let mut at: Option<Place> = None;
    for act in acts {
        match act {
            Act::Heading(_) => {}
            Act::Call { station, offset } => {
                at = None;
                steps.push(format!("The turret turns to station {station}, offset {offset}: the gripper. The spindle must stand."));
            }
            Act::Rapid(to) => {
                if at != Some(*to) {
                    steps.push(format!("Rapid to {}.", place(said, *to)));
                }
                at = Some(*to);
            }
            Act::Creep(to, rate) => {
                let onto = at.is_none_or(|from| to.x < from.x || to.z < from.z);
                let way = if onto { "onto the stub" } else { "off the stub, its own way" };
                steps.push(format!(
                    "The gripper goes {way}, to {}, at {}.",
                    place(said, *to),
                    said.rate(*rate)
                ));
                at = Some(*to);
            }
            Act::Pull { by, to, speed } => {
                steps.push(format!(
                    "The bar is drawn by {}, to {}, at {}. The bar must move with the gripper and not slip.",
                    said.length(*by),
                    place(said, *to),
                    said.rate(*speed)
                ));
                at = Some(*to);
            }
            Act::Function(does, wait) => function(*does, *wait, &mut steps),
            Act::Dwell(time) => {
                steps.push(format!("Wait {} s: the gripper settles.", seconds(*time)));
            }
            _ => steps.push("See the program.".to_owned()),
        }
    }
    steps
}

fn function(does: Does, wait: Seconds, steps: &mut Vec<String>) {
    let confirmed = wait.s() <= 0.0;
    let sure = if confirmed { " The lathe confirms it before it goes on." } else { "" };
    let (what, until) = match does {
        Does::ChuckOpen => {
            ("The chuck opens: now only the gripper holds the bar.", "the chuck is open")
        }
        Does::ChuckClose => ("The chuck closes.", "the chuck grips"),
        _ => ("The lathe's own function.", "it is done"),
    };
    steps.push(format!("{what}{sure}"));
    if !confirmed {
        steps.push(format!("Wait {} s until {until}.", seconds(wait)));
    }
}

fn seconds(time: Seconds) -> String {
    let text = format!("{:.2}", time.s());
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn place(said: &Said<'_>, at: Place) -> String {
    format!("X {}, Z {}", said.figure(at.x), said.figure(at.z))
}
