//! Long tables, long names and words of the typesetter's language on real pages.
#![allow(clippy::unwrap_used, reason = "a test stops where its world is wrong")]

use lopdf::Document;
use model::Units;
use sheet::Paper;
use view::sheet::{Block, Chapter, Column, Facts, Holds, Sheet, Table};

const HEAD: &str = "Stopped at";

fn column(head: &'static str, holds: Holds) -> Column {
    Column { head, share: 10, holds }
}

fn made_up(rows: usize, name: &str) -> Sheet {
    let row = |index: usize| {
        let advice = format!("Row {index}: move the tool clear by hand. ").repeat(1 + index % 4);
        vec![format!("line {index}"), advice, String::new()]
    };
    let columns = vec![
        column(HEAD, Holds::Program),
        column("Do instead", Holds::Words),
        column("Done", Holds::Box),
    ];
    let table = Table {
        name: "re-entry",
        title: "After a stop",
        columns,
        rows: (0..rows).map(row).collect(),
    };
    let facts =
        Facts { name: "job", title: "The job", rows: vec![("Part".to_owned(), name.to_owned())] };
    Sheet {
        kind: "set-up sheet",
        foot: "",
        job: name.to_owned(),
        programs: "O1".to_owned(),
        units: Units::Mm,
        chapters: vec![Chapter {
            own_page: true,
            title: "Made up",
            blocks: vec![Block::Facts(facts), Block::Table(table)],
        }],
    }
}

fn pages(sheet: &Sheet) -> Vec<String> {
    let pdf = Document::load_mem(&sheet::pdf(sheet, Paper::A4).unwrap()).unwrap();
    let page = |number: &u32| {
        let text = pdf.extract_text(&[*number]).unwrap();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    pdf.get_pages().keys().map(page).collect()
}

#[test]
fn a_table_over_several_pages_keeps_its_head_and_every_row() {
    let pages = pages(&made_up(120, "Pin"));
    assert!(pages.len() >= 3, "{}", pages.len());
    for page in &pages {
        assert!(page.contains(HEAD), "{page}");
    }
    let text = pages.join(" ");
    for index in 0..120 {
        assert!(text.contains(&format!("line {index} Row {index}:")), "{index}: {text}");
    }
}

/// What stands in a job's names stays what it is.
#[test]
fn no_name_is_taken_for_the_typesetters_language() {
    let name = r#"#pagebreak() $x^2$ *bold* @ref \ [a] "b" // no <label> #sys.inputs"#;
    let pages = pages(&made_up(1, name));
    assert_eq!(pages.len(), 1);
    let joined = pages[0].replace(' ', "");
    assert!(joined.contains(&name.replace(' ', "")), "{}", pages[0]);
}

#[test]
fn a_name_without_end_leaves_no_page_and_breaks_nothing() {
    let pages = pages(&made_up(1, &"W".repeat(4000)));
    assert!(pages.join("").matches('W').count() >= 4000);
    for page in &pages {
        assert!(page.contains(&format!("of {}", pages.len())), "{page}");
    }
}

#[test]
fn an_empty_sheet_is_a_sheet() {
    let sheet = Sheet { chapters: Vec::new(), ..made_up(0, "") };
    assert_eq!(pages(&sheet).len(), 1);
}
