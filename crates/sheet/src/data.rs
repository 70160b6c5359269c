//! A sheet as the template's values. Words are handed over as words, so that nothing in a job's
//! names can be taken for the template's language.

use crate::Paper;
use typst::foundations::{Array, Dict, IntoValue, Value, array, dict};
use view::scene::{Anchor, Scene, Shape};
use view::sheet::{Block, Chapter, Facts, Holds, Sheet, Table};

/// What the template reads as `sys.inputs`.
pub(crate) fn inputs(sheet: &Sheet, paper: Paper) -> Dict {
    dict! {
        "paper" => match paper {
            Paper::A4 => "a4",
            Paper::Letter => "us-letter",
        },
        "kind" => sheet.kind,
        "foot" => sheet.foot,
        "job" => sheet.job.as_str(),
        "short" => short(&sheet.job),
        "programs" => sheet.programs.as_str(),
        "chapters" => sheet.chapters.iter().map(chapter).collect::<Array>(),
    }
}

fn chapter(chapter: &Chapter) -> Value {
    dict! {
        "title" => chapter.title,
        "own-page" => chapter.own_page,
        "blocks" => chapter.blocks.iter().map(block).collect::<Array>(),
    }
    .into_value()
}

fn block(block: &Block) -> Value {
    match block {
        Block::Words(words) => dict! { "kind" => "words", "words" => broken(words) },
        Block::Warning(words) => dict! { "kind" => "warning", "words" => broken(words) },
        Block::List(title, lines) => dict! {
            "kind" => "list",
            "title" => *title,
            "lines" => lines.iter().map(|line| broken(line).into_value()).collect::<Array>(),
        },
        Block::Facts(facts) => of_facts(facts),
        Block::Table(table) => of_table(table),
        Block::Picture(_, scene) => picture(scene),
    }
    .into_value()
}

fn of_facts(facts: &Facts) -> Dict {
    let row = |(name, what): &(String, String)| array![broken(name), broken(what)].into_value();
    dict! {
        "kind" => "facts",
        "name" => facts.name,
        "title" => facts.title,
        "rows" => facts.rows.iter().map(row).collect::<Array>(),
    }
}

fn of_table(table: &Table) -> Dict {
    let column = |column: &view::sheet::Column| {
        let holds = match column.holds {
            Holds::Words => "words",
            Holds::Figures => "figures",
            Holds::Program => "program",
            Holds::Box => "box",
        };
        dict! { "head" => column.head, "share" => i64::from(column.share), "holds" => holds }
            .into_value()
    };
    let row = |row: &Vec<String>| {
        row.iter().map(|cell| broken(cell).into_value()).collect::<Array>().into_value()
    };
    dict! {
        "kind" => "table",
        "title" => table.title,
        "columns" => table.columns.iter().map(column).collect::<Array>(),
        "rows" => table.rows.iter().map(row).collect::<Array>(),
    }
}

fn picture(scene: &Scene) -> Dict {
    dict! {
        "kind" => "picture",
        "width" => scene.width,
        "height" => scene.height,
        "words" => scene.description.as_str(),
        "shapes" => scene.shapes.iter().map(shape).collect::<Array>(),
    }
}

fn shape(shape: &Shape) -> Value {
    match shape {
        Shape::Box { at, role, .. } => {
            dict! { "kind" => "box", "role" => role.class(), "at" => numbers(at) }
        }
        Shape::Line { at, role } => {
            dict! { "kind" => "line", "role" => role.class(), "at" => numbers(at) }
        }
        Shape::Way { points, role } => dict! {
            "kind" => "way", "role" => role.class(), "points" => places(points),
        },
        Shape::Area { loops, role, .. } => dict! {
            "kind" => "area",
            "role" => role.class(),
            "loops" => loops.iter().map(|points| places(points).into_value()).collect::<Array>(),
        },
        Shape::Text { at, anchor, words } => dict! {
            "kind" => "text",
            "at" => numbers(at),
            "anchor" => match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => 0.5,
                Anchor::End => 1.0,
            },
            "words" => words.as_str(),
        },
    }
    .into_value()
}

fn numbers(numbers: &[f64]) -> Array {
    numbers.iter().map(|number| number.into_value()).collect()
}

fn places(points: &[[f64; 2]]) -> Array {
    points.iter().map(|point| numbers(point).into_value()).collect()
}

/// Longest name that stands whole at the head of each page; the job's own table has all of it.
const HEAD: usize = 60;

fn short(name: &str) -> String {
    if name.chars().count() <= HEAD {
        return name.to_owned();
    }
    name.chars().take(HEAD - 1).collect::<String>().trim_end().to_owned() + "…"
}

/// Longest word that is never broken.
const LONGEST: usize = 20;

/// Words with places at which a very long one may be broken, so that nothing leaves its column.
fn broken(words: &str) -> String {
    let mut broken = String::with_capacity(words.len());
    let mut long = 0;
    for letter in words.chars() {
        let letter = if letter.is_control() { ' ' } else { letter };
        long = if letter.is_whitespace() || letter == '-' { 0 } else { long + 1 };
        if long > LONGEST {
            broken.push('\u{200b}');
            long = 1;
        }
        broken.push(letter);
    }
    broken
}
