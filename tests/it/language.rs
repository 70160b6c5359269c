//! `docs/language.md`, made from the tables of the language.

use crate::expect::{differs, root};
use model::files::control::{CodeSystem, Drilling};
use nc::codes::{Codes, Extent, GCode, Group, ROWS, Row};
use nc::language::{
    ADDRESSES, ARGUMENTS, COMMA_WORDS, FUNCTIONS, NAMES, OWN_M, OperatorRow, PAIRS, SIGNS,
    STATEMENTS, VARIABLES,
};
use std::collections::BTreeMap;

const SYSTEMS: [CodeSystem; 3] = [CodeSystem::A, CodeSystem::B, CodeSystem::C];

const HEAD: &str = "\
<!-- made from crates/nc/src/codes/table.rs and crates/nc/src/language.rs -->
# The language

Every word that Barwright reads, what it does on a two-axis lathe, and how far a proof follows it.
`UPDATE_EXPECT=1 cargo test --test it` writes this page anew.

*followed*: a proof does what the word does. *unproven*: the word is read, and wherever it is met the
proof says what it leaves open. A G word that stands nowhere here is a finding, `unknown-word`; an M
word that neither this page nor the control file explains is unproven.

Which code system a control speaks is in its file: `code_system = \"A\"`, `\"B\"` or `\"C\"`. Which
drilling cycles it has is there too: `drilling = \"lathe\"` or `\"plain\"`.
";

const FAMILIES: &str = "\
Which family a control has is in its file. In the lathe's, R is the way from the start to the clear
point; in the plain one, its place.";

#[test]
fn docs_hold_the_whole_language() {
    let parts = [
        HEAD.to_owned(),
        g_words(),
        by_number(),
        letters(),
        functions_of_the_program(),
        statements(),
        terms(),
        macros(),
        not_followed(),
    ];
    let failure = differs(&root("docs/language.md"), &parts.join("\n"));
    assert!(failure.is_none(), "{}", failure.unwrap_or_default());
}

/// A heading, what stands under it, and a table.
fn section(heading: &str, text: &str, columns: &[&str], rows: &[Vec<String>]) -> String {
    let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let mut page = format!("{heading}\n\n");
    if !text.is_empty() {
        page += &format!("{text}\n\n");
    }
    page += &line(columns.iter().map(|column| (*column).to_owned()).collect());
    page += &format!("|{}\n", "---|".repeat(columns.len()));
    for row in rows {
        page += &line(row.iter().map(|cell| cell.replace('|', "\\|")).collect());
    }
    page
}

fn extent(extent: Extent) -> String {
    match extent {
        Extent::Followed => "followed".to_owned(),
        Extent::ReadOnly(what) => format!("unproven: {what}"),
    }
}

fn codes(system: CodeSystem, row: &Row) -> Codes {
    Codes { system, drilling: row.numbers.drilling().unwrap_or(Drilling::Lathe) }
}

fn word(system: CodeSystem, row: &Row) -> String {
    let word = row.numbers.on(codes(system, row));
    word.map_or("none".to_owned(), |word| word.to_string())
}

/// Every group with its rows, in the order of the table.
fn groups() -> Vec<(Group, Vec<&'static Row>)> {
    let mut groups: Vec<(Group, Vec<&Row>)> = Vec::new();
    for row in ROWS {
        match groups.iter_mut().find(|(group, _)| *group == row.group) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((row.group, vec![row])),
        }
    }
    groups
}

fn g_words() -> String {
    let mut page = "## G words\n\nWords of one table replace each other and stay in force, but for those that act in their own block.\nWhere one column stands for all, the three code systems agree.\n\n"
        .to_owned();
    for (group, rows) in groups() {
        let heading = format!("### {}", group.title());
        let same = |row: &&Row| {
            SYSTEMS.iter().all(|system| word(*system, row) == word(CodeSystem::A, row))
        };
        let mut columns = if rows.iter().all(same) { vec!["word"] } else { vec!["A", "B", "C"] };
        let systems = &SYSTEMS[..columns.len()];
        let drilling = group == Group::DrillingCycle;
        columns.extend(drilling.then_some("family"));
        columns.extend(["what it does", "proof"]);
        let cells = |row: &&Row| {
            let mut cells: Vec<_> = systems.iter().map(|system| word(*system, row)).collect();
            let family = match row.numbers.drilling() {
                Some(Drilling::Lathe) => "lathe",
                Some(Drilling::Plain) => "plain",
                None => "both",
            };
            cells.extend(drilling.then(|| family.to_owned()));
            cells.extend([row.does.to_owned(), extent(row.extent)]);
            cells
        };
        let text = if drilling { FAMILIES } else { "" };
        let rows: Vec<_> = rows.iter().map(cells).collect();
        page += &section(&heading, text, &columns, &rows);
        page.push('\n');
    }
    page.truncate(page.trim_end().len());
    page + "\n"
}

/// Numbers whose meaning hangs on the code system.
fn by_number() -> String {
    let mut numbers: BTreeMap<u32, [Option<GCode>; 3]> = BTreeMap::new();
    for tenths in 0..1000 {
        let code = model::files::control::Code { letter: 'G', tenths };
        let drilling = Drilling::Lathe;
        let found = SYSTEMS.map(|system| Codes { system, drilling }.meaning(code));
        if found[0] != found[1] || found[1] != found[2] {
            numbers.insert(tenths, found);
        }
    }
    let rows: Vec<_> = numbers
        .into_iter()
        .map(|(tenths, found)| {
            let does = |meaning: Option<GCode>| {
                meaning.map_or("no word".to_owned(), |meaning| meaning.row().does.to_owned())
            };
            let [a, b, c] = found.map(does);
            vec![format!("G{}", tenths / 10), a, b, c]
        })
        .collect();
    section(
        "## Numbers that mean different things",
        "A program for one code system does something else on a control of another.",
        &["word", "in system A", "in system B", "in system C"],
        &rows,
    )
}

fn letters() -> String {
    let rows: Vec<_> = ADDRESSES
        .iter()
        .map(|row| {
            let point = if row.whole { "no" } else { "yes" };
            vec![
                char::from(row.letter).to_string(),
                row.means.to_owned(),
                row.differs.to_owned(),
                point.to_owned(),
                extent(row.extent),
            ]
        })
        .collect();
    let page = section(
        "## Letters",
        "",
        &["letter", "what its word means", "what differs", "point allowed", "proof"],
        &rows,
    );
    let rows: Vec<_> = COMMA_WORDS
        .iter()
        .map(|(letter, does)| vec![format!(",{}", char::from(*letter)), (*does).to_owned()])
        .collect();
    page + "\n" + &section("### Behind a comma", "", &["word", "what it means"], &rows)
}

fn functions_of_the_program() -> String {
    let rows: Vec<_> = OWN_M
        .iter()
        .map(|row| vec![row.code.to_string(), row.does.to_owned(), extent(row.extent)])
        .collect();
    section(
        "## M words",
        "These are the language's own. All others are the builder's, M3 M4 M5 M8 M9 being usual: the control file says what each does.",
        &["word", "what it does", "proof"],
        &rows,
    )
}

fn statements() -> String {
    let rows: Vec<_> = STATEMENTS
        .iter()
        .map(|row| vec![row.name.to_owned(), format!("`{}`", row.form), row.does.to_owned()])
        .collect();
    section("## Statements", "", &["name", "as written", "what it does"], &rows)
}

fn terms() -> String {
    let operators = |rows: &[OperatorRow]| -> Vec<Vec<String>> {
        let cells = |row: &OperatorRow| {
            vec![format!("`{}`", row.name), row.gives.to_owned(), row.binding.to_string()]
        };
        rows.iter().map(cells).collect()
    };
    let all = [operators(&SIGNS), operators(&NAMES)].concat();
    let page = section(
        "## Terms",
        "Brackets are square. The operator with the larger rank acts first; of one rank, the left one.",
        &["operator", "what it gives", "rank"],
        &all,
    );
    let one = FUNCTIONS.iter().map(|row| (row.name, row.gives));
    let two = PAIRS.iter().map(|row| (row.name, row.gives));
    let rows: Vec<_> =
        one.chain(two).map(|(name, gives)| vec![name.to_owned(), gives.to_owned()]).collect();
    page + "\n" + &section("### Functions", "", &["name", "what it gives"], &rows)
}

fn macros() -> String {
    let rows: Vec<_> = VARIABLES
        .iter()
        .map(|(numbers, holds)| vec![(*numbers).to_owned(), (*holds).to_owned()])
        .collect();
    let page = section("## Variables", "", &["number", "what it holds"], &rows);
    let letters: Vec<_> = ARGUMENTS
        .iter()
        .map(|(letter, number)| format!("{} is #{number}", char::from(*letter)))
        .collect();
    format!(
        "{page}\nThe letters of a macro call: {}. Where I, J and K come again, they fill #7, #8, #9 and so on up to #33.\n",
        letters.join(", ")
    )
}

/// Every word that is read and not followed, by what it leaves open.
fn not_followed() -> String {
    let mut words: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut add = |extent: Extent, name: String| {
        if let Extent::ReadOnly(what) = extent {
            let names = words.entry(what).or_default();
            if !names.contains(&name) {
                names.push(name);
            }
        }
    };
    for row in ROWS {
        for system in SYSTEMS {
            add(row.extent, word(system, row));
        }
    }
    for row in OWN_M {
        add(row.extent, row.code.to_string());
    }
    for row in ADDRESSES {
        add(row.extent, char::from(row.letter).to_string());
    }
    let rows: Vec<_> =
        words.into_iter().map(|(what, names)| vec![names.join(" "), what.to_owned()]).collect();
    section(
        "## Read, but not followed",
        "Each is *unproven* when met.",
        &["words", "what is left open"],
        &rows,
    )
}
