//! How the tool moves in every program of `programs/`, and when: one file of text for each under
//! `motion/`, with the first cycle, the first advance, the last cycle and the sum of the run.
//! `UPDATE_EXPECT=1 cargo test -p barwright-prove` writes them anew; read
//! the difference against the program before accepting it.

use crate::bar_programs::{STYLES, WAITING, programs, setup_of, tests};
use model::files::control::RepeatForm;
use model::{Length, Source, Units};
use nc::program::Library;
use prove::Setup;
use prove::event::{Moment, Motion, Point, What};
use prove::lathe::{Direction, Shown};
use prove::run::{Order, Run};
use std::collections::BTreeSet;
use std::path::PathBuf;

/// Programs that come out as their comments say, with moves that are not yet what the control
/// would make of them. Strike a line off when its moves are, and accept them.
const MOTION_WAITING: &[&str] = &[];

/// Whether the motion of a program, as `style/name.nc`, is not yet to be accepted.
fn motion_waits(name: &str) -> bool {
    WAITING.contains(&name) || MOTION_WAITING.contains(&name)
}

/// Most lines that a person reads through.
const MOST_LINES: usize = 200;

/// One thing that happened: where it stands in the text, what it was, where the tool then was.
struct Row {
    line: u32,
    text: String,
    what: String,
    end: Option<Point>,
    feed: String,
    at: f64,
    mark: Mark,
}

/// What divides a run into cycles.
#[derive(Clone, Copy, PartialEq)]
enum Mark {
    Indexed,
    Opened,
    Closed,
    Fell,
    Other,
}

/// How rows are written in the units of one program.
struct Told<'p> {
    library: &'p Library,
    units: Units,
    rows: Vec<Row>,
}

impl Told<'_> {
    fn decimals(&self) -> usize {
        if self.units == Units::Mm { 4 } else { 5 }
    }

    fn length(&self, length: Length) -> String {
        length.text(self.units, self.decimals())
    }

    /// A length in millimeters that is no whole number of nanometers.
    fn about(&self, mm: f64) -> String {
        self.length(Length::nearest_mm(mm))
    }

    fn feed(&self, mm_per_min: f64) -> String {
        match self.units {
            Units::Mm => format!("{mm_per_min:.2}"),
            Units::Inch => format!("{:.4}", mm_per_min / 25.4),
        }
    }

    fn path(&self, motion: &Motion) -> String {
        match motion.arc {
            Some(arc) => format!(
                "arc {:+.3}° about X{} Z{}",
                arc.turn.to_degrees(),
                self.about(2.0 * arc.center.0),
                self.about(arc.center.1)
            ),
            None if motion.rapid => "rapid".into(),
            None => "line".into(),
        }
    }

    /// What happened, in words; none for what is no act of the lathe.
    fn words(&self, moment: &Moment<'_>) -> Option<(String, Mark)> {
        let revolutions = |rpm: f64| format!("speed {rpm:.1} rev/min");
        let (words, mark) = match moment.what {
            What::Move(motion) | What::Cut(motion) => (self.path(&motion), Mark::Other),
            What::Stuck(_) => ("never ends".into(), Mark::Other),
            What::Faced(by) => (format!("faced off {}", self.length(by)), Mark::Other),
            What::PartedOff(Some(piece)) => {
                (format!("falls, {} long", self.length(piece)), Mark::Fell)
            }
            What::PartedOff(None) => ("falls".into(), Mark::Fell),
            What::PartedAir => ("nothing to part".into(), Mark::Other),
            What::GripperOn { engaged, rapid, .. } => {
                let how = if rapid { "rapid" } else { "line" };
                (format!("{how}, on the stub by {}", self.length(engaged)), Mark::Other)
            }
            What::GripperOff { .. } => ("off the stub".into(), Mark::Other),
            What::Pulled { by, motion } => {
                (format!("{}, draws {}", self.path(&motion), self.length(by)), Mark::Other)
            }
            What::Slid(by) => (format!("slides {}", self.length(by)), Mark::Other),
            What::Dwell(time) => (format!("dwell {:.3} s", time.s()), Mark::Other),
            What::SpindleStarted => {
                let reverse = moment.after.spindle.told == Some(Direction::Reverse);
                let way = if reverse { "reverse" } else { "forward" };
                (format!("spindle {way}"), Mark::Other)
            }
            What::SpindleStopped => ("spindle stop".into(), Mark::Other),
            What::SpeedCalled(speed) => (revolutions(speed.rpm()), Mark::Other),
            What::SurfaceSpeed | What::SurfaceSpeedUnclamped => {
                ("surface speed".into(), Mark::Other)
            }
            What::ChuckOpened => ("chuck opens".into(), Mark::Opened),
            What::ChuckClosed => ("chuck closes".into(), Mark::Closed),
            What::Indexed { to, .. } => (format!("index to {to}"), Mark::Indexed),
            What::Function(does) => (does.shown().to_owned(), Mark::Other),
            What::UnknownWord(word) => (format!("{word}, unknown"), Mark::Other),
            What::Halted => ("halt".into(), Mark::Other),
            What::Message => ("message".into(), Mark::Other),
            _ => return None,
        };
        Some((words, mark))
    }

    fn tell(&mut self, moment: &Moment<'_>) {
        let Some((what, mark)) = self.words(moment) else { return };
        let source = &self.library.trees()[moment.spot.tree as usize].source;
        let line = source.locate(moment.spot.span.start).line;
        let text = source.text_of(source.line(line)).trim().to_owned();
        let moves = moment.before.position != moment.after.position;
        let speed = match moment.what {
            What::Move(motion) | What::Cut(motion) | What::Pulled { motion, .. } => motion.speed,
            _ => None,
        };
        let feed = speed.map_or(String::new(), |speed| self.feed(speed));
        let end = moves.then_some(moment.after.position);
        self.rows.push(Row { line, text, what, end, feed, at: moment.after.now.s(), mark });
    }

    fn row(&self, row: &Row, before: Option<&Row>) -> String {
        let same = before.is_some_and(|before| before.line == row.line);
        let line = if same { String::new() } else { row.line.to_string() };
        let text = if same { "" } else { short(&row.text) };
        let end = row.end.map_or(String::new(), |end| {
            format!("X{:<10} Z{:<10}", self.length(end.r * 2), self.length(end.z))
        });
        format!("{line:>4}  {text:<26} {end:<23} {:>10} {:>11.4}  {}", row.feed, row.at, row.what)
    }
}

/// A block without its comments, as far as it is short.
fn short(text: &str) -> &str {
    let words = text.split('(').next().unwrap_or_default().trim_end();
    let words = if words.is_empty() { text } else { words };
    words.char_indices().nth(26).map_or(words, |(end, _)| &words[..end])
}

/// Where each stretch of a run ends: after an advance, at the next call of a station.
fn ends_of_advances(rows: &[Row]) -> Vec<usize> {
    let closed = (0..rows.len()).filter(|index| rows[*index].mark == Mark::Closed);
    let mut ends: Vec<usize> = closed
        .map(|closed| {
            let next = rows[closed..].iter().position(|row| row.mark == Mark::Indexed);
            next.map_or(rows.len(), |next| closed + next)
        })
        .collect();
    ends.dedup();
    ends
}

/// The stretches that are shown, by name.
fn stretches(rows: &[Row]) -> Vec<(&'static str, &[Row])> {
    let opened = rows.iter().position(|row| row.mark == Mark::Opened);
    let Some(opened) = opened else { return vec![("the only cycle", rows)] };
    let advance = rows[..opened].iter().rposition(|row| row.mark == Mark::Indexed).unwrap_or(0);
    let ends = ends_of_advances(rows);
    let first_end = ends.first().copied().unwrap_or(rows.len());
    let falls = |from: usize| rows[from..].iter().any(|row| row.mark == Mark::Fell);
    let last = ends.iter().copied().rfind(|end| falls(*end));
    let mut shown =
        vec![("first cycle", &rows[..advance]), ("first advance", &rows[advance..first_end])];
    shown.extend(last.map(|last| ("last cycle", &rows[last..])));
    shown
}

/// What the file under `motion/` has to say.
fn motion_of(name: &str, text: &str) -> String {
    let setup: Setup = setup_of(text);
    let library = Library::new(vec![nc::read::read(&Source::new(name, text))]);
    let mut told = Told { library: &library, units: setup.units, rows: Vec::new() };
    let run = Run::new(&library, &setup, Shown::default(), Order::Latest);
    let outcome = run.finish(&mut |moment| told.tell(moment));
    let (unit, speed) = if setup.units == Units::Mm { ("mm", "mm/min") } else { ("in", "in/min") };
    let mut lines = vec![
        format!("{name}: X on the diameter and Z in {unit}, feed in {speed}, clock in s"),
        format!(
            "whole run: {} parts, ended by {}, {:.4} s, {} blocks",
            outcome.state.parts,
            outcome.ended_by.word(),
            outcome.state.now.s(),
            outcome.blocks
        ),
    ];
    for (name, rows) in stretches(&told.rows) {
        lines.extend([String::new(), name.to_owned()]);
        for (index, row) in rows.iter().enumerate() {
            let before = index.checked_sub(1).map(|before| &rows[before]);
            lines.push(told.row(row, before).trim_end().to_owned());
        }
    }
    lines.join("\n") + "\n"
}

fn snapshot(name: &str) -> PathBuf {
    tests().join("motion").join(name).with_extension("txt")
}

/// The first lines in which two texts differ.
fn first_difference(kept: &str, told: &str) -> String {
    let pair = kept.lines().zip(told.lines()).enumerate().find(|(_, (one, other))| one != other);
    match pair {
        Some((index, (one, other))) => format!("line {}\n  - {one}\n  + {other}", index + 1),
        None => format!("{} lines kept, {} told", kept.lines().count(), told.lines().count()),
    }
}

#[test]
fn every_program_moves_as_it_was_read_to_move() {
    let update = std::env::var_os("UPDATE_EXPECT").is_some();
    let mut differ = Vec::new();
    for (name, text) in programs().iter().filter(|(name, _)| !motion_waits(name)) {
        let told = motion_of(name, text);
        let lines = told.lines().count();
        assert!(lines < MOST_LINES, "{name}: {lines} lines are too many to read");
        let file = snapshot(name);
        let kept = std::fs::read_to_string(&file).unwrap_or_default().replace("\r\n", "\n");
        if kept == told {
            continue;
        }
        if update {
            std::fs::create_dir_all(file.parent().unwrap()).unwrap();
            std::fs::write(&file, &told).unwrap();
        } else {
            differ.push(format!("{name}: {}", first_difference(&kept, &told)));
        }
    }
    assert!(differ.is_empty(), "{} programs:\n{}", differ.len(), differ.join("\n"));
}

#[test]
fn no_motion_is_kept_of_a_program_that_is_not_there_or_waits() {
    let wanted: BTreeSet<PathBuf> =
        programs().keys().filter(|name| !motion_waits(name)).map(|name| snapshot(name)).collect();
    for style in STYLES {
        for entry in std::fs::read_dir(tests().join("motion").join(style)).unwrap() {
            let path = entry.unwrap().path();
            assert!(wanted.contains(&path), "{} has no program", path.display());
        }
    }
    let programs = programs();
    for name in MOTION_WAITING {
        assert!(programs.contains_key(*name), "{name} waits but is not there");
    }
}

/// Long-hand programs that the tiny reader does not follow: one with cycles, one with a fault.
const NOT_PLAIN: [&str; 2] = ["long-hand/ferrule-roughed.nc", "long-hand/lost-subprogram.nc"];

/// Every end of every move of every long-hand program, over the whole bar, as a reader of a hundred
/// lines has it that shares no code with the control.
#[test]
fn long_hand_programs_go_where_their_words_say() {
    let programs = programs();
    let plain = programs
        .iter()
        .filter(|(name, _)| name.starts_with("long-hand") && !NOT_PLAIN.contains(&name.as_str()));
    let mut compared = 0;
    for (name, text) in plain {
        let setup = setup_of(text);
        let turret = &setup.lathe.as_ref().unwrap().turret;
        let start = (turret.index_x.nm() / 2, turret.index_z.nm());
        let packed = setup.control.repeat == RepeatForm::Packed;
        let wanted = crate::tiny_reader::ends(text, setup.units == Units::Inch, packed, start);
        let library = Library::new(vec![nc::read::read(&Source::new(name, text.as_str()))]);
        let mut told = Vec::new();
        Run::new(&library, &setup, Shown::default(), Order::Latest).finish(&mut |moment| {
            let (before, after) = (moment.before.position, moment.after.position);
            if before != after {
                told.push((after.r.nm(), after.z.nm()));
            }
        });
        // A move that cuts is told once as a move and once as what it does.
        told.dedup();
        assert!(wanted.len() > 10, "{name}: only {} moves", wanted.len());
        let differ = wanted.iter().zip(&told).position(|(one, other)| one != other);
        assert_eq!((differ, told.len()), (None, wanted.len()), "{name}");
        compared += wanted.len();
    }
    assert!(compared > 5000, "only {compared} moves compared");
}
