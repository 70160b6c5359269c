//! Calendars, and what a general-purpose calendar library reads in them (`tests/calendars/read_by.py`).

use crate::shops::setting;
use model::quantity::Seconds;
use std::path::Path;
use visits::calendar;
use visits::search::Effort;
use visits::setting::Setting;
use visits::timetable::Timetable;
use visits::words;

/// Names with all that means something in a calendar, and longer than a line.
const ODD: &str = r#"
[[hours]]
name = "h"
days = ["tue"]
spans = ["07:00-12:00"]
[[person]]
name = "Zoë, \"the\" 老; D\\n"
hours = "h"
[[lathe]]
name = "Lathe; with, a \\ name: that is a good deal longer than the seventy-five octets of one line, äöü 🔧"
runs = 90
"#;

fn odd() -> (Setting, Timetable) {
    let setting = setting(ODD, "2026-12-01T06:00");
    let table = Timetable::of(&setting, Seconds::from_s(86_400.0), Effort::USUAL);
    (setting, table)
}

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/calendars")
}

#[test]
fn odd_names_are_written_as_the_standard_wants_them() {
    let (setting, table) = odd();
    let text = calendar::write(&setting, &table, "Shop, \"odd\"", None);
    let file = folder().join("odd.ics");
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(&file, &text).unwrap();
    }
    assert_eq!(text, std::fs::read_to_string(&file).unwrap());
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "{line}");
    }
    // Without a time zone: times of the wall clock, whatever zone the calendar is read in.
    assert!(text.contains("\r\nDTSTART:20261201T0700"), "{text}");
    let one = calendar::write(&setting, &table, "Shop, \"odd\"", Some(0));
    assert_eq!(one, text);
    let nobody = calendar::write(&setting, &table, "Shop", Some(1));
    assert_eq!(nobody.matches("VEVENT").count(), 0);
}

/// What the library read is what was meant.
#[test]
fn a_calendar_library_reads_the_names_and_times_back() {
    let (setting, table) = odd();
    let read = std::fs::read_to_string(folder().join("read.txt")).unwrap();
    let block = read.split("== ").find(|block| block.starts_with("odd.ics")).unwrap();
    let mut expected = String::new();
    for visit in &table.visits {
        let clock = &setting.clock;
        let (who, lathe) = (&setting.people[0].person.name, &setting.lathes[0].name);
        expected += &format!("{} {}\n", clock.at(visit.start), clock.at(visit.end));
        expected += &format!("  {who}: {lathe}: {}\n", words::works(&visit.works));
        expected += &format!("  {lathe}\n  {}\n", words::why(&setting, visit));
    }
    let events = block.split_once('\n').unwrap().1;
    assert_eq!(events.trim_end(), expected.trim_end());
    assert!(table.visits.len() >= 3);
}
