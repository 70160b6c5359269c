//! The lanes: each lathe along one clock, what it does until when, and who is there; each person below.

use crate::scene::{Anchor, Role, Scene, Shape};
use visits::setting::Setting;
use visits::timetable::{Doing, Timetable};
use visits::words;

const WIDTH: f64 = 1000.0;
const LEFT: f64 = 132.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 46.0;
/// From one lane to the next.
const PITCH: f64 = 58.0;
/// Height of what a lathe does.
const LANE: f64 = 22.0;
/// Height of what a person does.
const PERSON: f64 = 14.0;
const PERSON_PITCH: f64 = 30.0;
/// From the lane to the letters of who is there, and from one line of them to the next.
const BELOW: f64 = 14.0;
const LINE: f64 = 11.0;
/// Narrowest stretch in which a word has room, for each letter.
const LETTER: f64 = 6.4;

/// The drawing of a timetable.
pub fn scene(setting: &Setting, timetable: &Timetable) -> Scene {
    let (lathes, people) = (setting.lathes.len() as f64, setting.people.len() as f64);
    let people_top = TOP + lathes * PITCH + 18.0;
    let bottom = people_top + people * PERSON_PITCH;
    let mut drawing = Drawing { setting, timetable, shapes: Vec::new() };
    drawing.staffed(bottom);
    drawing.clock(bottom);
    for lathe in 0..setting.lathes.len() {
        drawing.lathe(lathe, TOP + lathe as f64 * PITCH);
    }
    for person in 0..setting.people.len() {
        drawing.person(person, people_top + person as f64 * PERSON_PITCH);
    }
    drawing.legend(bottom + 24.0);
    let from = words::day(&setting.clock, 0);
    Scene {
        width: WIDTH,
        height: bottom + 38.0,
        title: format!("Lathes and people from {from} {}", words::time(&setting.clock, 0)),
        description: description(setting, timetable),
        shapes: drawing.shapes,
    }
}

struct Drawing<'t> {
    setting: &'t Setting,
    timetable: &'t Timetable,
    shapes: Vec<Shape>,
}

impl Drawing<'_> {
    fn x(&self, seconds: i64) -> f64 {
        let share = seconds as f64 / (self.timetable.horizon as f64).max(1.0);
        LEFT + share * (WIDTH - LEFT - RIGHT)
    }

    fn piece(
        &mut self,
        (from, to): (i64, i64),
        [top, height]: [f64; 2],
        role: Role,
        title: String,
    ) {
        let (from, to) = (self.x(from), self.x(to));
        self.shapes.push(Shape::Box { at: [from, top, to - from, height], role, title });
    }

    fn text(&mut self, at: [f64; 2], anchor: Anchor, words: String) {
        self.shapes.push(Shape::Text { at, anchor, words });
    }

    /// Hours in which at least one person is there, behind all lanes.
    fn staffed(&mut self, bottom: f64) {
        let mut spans: Vec<(i64, i64)> = self.timetable.staffed.concat();
        spans.sort_unstable();
        let mut at = 0;
        for (from, to) in spans {
            let from = from.max(at);
            let to = to.min(self.timetable.horizon);
            if from < to {
                self.piece(
                    (from, to),
                    [TOP - 8.0, bottom - TOP + 8.0],
                    Role::Staffed,
                    String::new(),
                );
                at = to;
            }
        }
    }

    /// Full hours of the wall clock, as many as have room for their words.
    fn clock(&mut self, bottom: f64) {
        let hours = self.timetable.horizon / 3600;
        let every =
            [1, 2, 3, 6, 12, 24].into_iter().find(|every| hours / every <= 26).unwrap_or(24);
        for second in (0..=self.timetable.horizon).step_by(60) {
            let at = self.setting.clock.at(second);
            if at.minute() != 0 || i64::from(at.hour()) % every != 0 {
                continue;
            }
            let x = self.x(second);
            self.shapes.push(Shape::Line { at: [x, TOP - 8.0, x, bottom], role: Role::Measure });
            self.text([x, TOP - 13.0], Anchor::Middle, at.hour().to_string());
            if at.hour() == 0 && x < WIDTH - 60.0 {
                self.text([x, TOP - 28.0], Anchor::Middle, words::day(&self.setting.clock, second));
            }
        }
        self.text([LEFT, TOP - 28.0], Anchor::Start, words::day(&self.setting.clock, 0));
    }

    fn lathe(&mut self, lathe: usize, top: f64) {
        let name = self.setting.lathes[lathe].name.clone();
        self.text([LEFT - 8.0, top + LANE * 0.68], Anchor::End, name);
        let timetable = self.timetable;
        let mut marks = Marks::default();
        for &(from, to, doing) in &timetable.lanes[lathe] {
            let height = [top, LANE];
            match doing {
                Doing::Runs => {
                    let until = words::time(&self.setting.clock, to);
                    self.piece((from, to), height, Role::Allowed, format!("runs until {until}"));
                }
                Doing::Stands => {
                    let title = format!("stands for {}", words::span(to - from));
                    self.piece((from, to), [top + LANE * 0.3, LANE * 0.4], Role::TooFast, title);
                }
                Doing::Done => {
                    let title = "its order is complete".to_owned();
                    self.piece((from, to), [top + LANE * 0.3, LANE * 0.4], Role::Uncertain, title);
                    self.in_piece((from, to), top + LANE + 11.0, "order complete");
                }
                Doing::Attended(visit) => self.attended(visit, (from, to), top, &mut marks),
            }
        }
    }

    /// Someone is at the lathe: a dark piece that reaches beyond the lane, with who it is below.
    fn attended(&mut self, visit: usize, (from, to): (i64, i64), top: f64, marks: &mut Marks) {
        let visit = &self.timetable.visits[visit];
        let who = &self.setting.people[visit.person].person.name;
        let clock = &self.setting.clock;
        let title =
            format!("{} {who}: {}", words::time(clock, visit.start), words::works(&visit.works));
        let (left, right) = (self.x(from), self.x(to));
        let width = (right - left).max(2.0);
        let at = [left, top - 3.0, width, LANE + 6.0];
        let mark = self.mark(visit.person);
        self.shapes.push(Shape::Box { at, role: Role::Attended, title });
        let x = left + width / 2.0;
        if let Some(line) = marks.line(x, &mark) {
            self.text([x, top + LANE + BELOW + line * LINE], Anchor::Middle, mark);
        }
    }

    /// As many letters of a person's name as tell that person from all others.
    fn mark(&self, person: usize) -> String {
        let name = |it: usize| self.setting.people[it].person.name.as_str();
        let whole = name(person).chars().count();
        let letters = |count: usize, it: usize| name(it).chars().take(count).collect::<String>();
        let others = || (0..self.setting.people.len()).filter(|it| *it != person);
        let alone =
            |count: &usize| others().all(|it| letters(*count, it) != letters(*count, person));
        letters((1..whole).find(alone).unwrap_or(whole), person)
    }

    /// Words below a piece, where they have room.
    fn in_piece(&mut self, (from, to): (i64, i64), y: f64, words: &str) {
        let (from, to) = (self.x(from), self.x(to));
        if to - from > LETTER * words.chars().count() as f64 {
            self.text([f64::midpoint(from, to), y], Anchor::Middle, words.to_owned());
        }
    }

    fn person(&mut self, person: usize, top: f64) {
        let (name, mark) = (&self.setting.people[person].person.name, self.mark(person));
        let words = if mark == *name { mark } else { format!("{name} ({mark})") };
        self.text([LEFT - 8.0, top + PERSON * 0.8], Anchor::End, words);
        let timetable = self.timetable;
        for &(from, to) in &timetable.staffed[person] {
            let span = (from, to.min(timetable.horizon));
            let until = words::time(&self.setting.clock, to);
            self.piece(span, [top, PERSON], Role::Remnant, format!("there until {until}"));
        }
        for visit in timetable.visits.iter().filter(|visit| visit.person == person) {
            let lathe = &self.setting.lathes[visit.lathe].name;
            let title = format!(
                "{} {lathe}: {}",
                words::time(&self.setting.clock, visit.start),
                words::works(&visit.works)
            );
            self.piece((visit.leaves, visit.end), [top, PERSON], Role::Attended, title);
        }
    }

    fn legend(&mut self, y: f64) {
        let kinds = [
            (Role::Allowed, "runs by itself", 0.0, 12.0),
            (Role::Attended, "someone is at it", 0.0, 12.0),
            (Role::TooFast, "stands", 3.0, 6.0),
            (Role::Staffed, "someone is in the shop", 0.0, 12.0),
        ];
        let mut x = LEFT;
        for (role, words, down, height) in kinds {
            let at = [x, y - 10.0 + down, 18.0, height];
            self.shapes.push(Shape::Box { at, role, title: String::new() });
            self.text([x + 24.0, y], Anchor::Start, words.to_owned());
            x += 46.0 + LETTER * words.len() as f64;
        }
    }
}

/// Where the last letters of each line below a lane end.
#[derive(Default)]
struct Marks([Option<(f64, String)>; 2]);

impl Marks {
    /// The line that has room for these letters; none where they stand there already, or no line has room.
    fn line(&mut self, x: f64, mark: &str) -> Option<f64> {
        let half = LETTER * mark.chars().count() as f64 / 2.0;
        let near =
            |it: &Option<(f64, String)>| it.as_ref().is_some_and(|(end, _)| x - half < *end + 2.0);
        let said = |it: &Option<(f64, String)>| it.as_ref().is_some_and(|(_, last)| last == mark);
        if self.0.iter().any(|it| near(it) && said(it)) {
            return None;
        }
        let line = self.0.iter().position(|it| !near(it))?;
        self.0[line] = Some((x + half, mark.to_owned()));
        Some(line as f64)
    }
}

/// The same in words.
fn description(setting: &Setting, timetable: &Timetable) -> String {
    let lathes = setting.lathes.iter().enumerate().map(|(index, lathe)| {
        let runs = timetable.time_of(index, |doing| doing == Doing::Runs);
        let stands = timetable.time_of(index, |doing| doing == Doing::Stands);
        format!("{} runs {} and stands {}", lathe.name, words::span(runs), words::span(stands))
    });
    let visits = timetable.visits.iter().map(|visit| {
        format!(
            "{} {} at {}",
            words::time(&setting.clock, visit.start),
            setting.people[visit.person].person.name,
            setting.lathes[visit.lathe].name
        )
    });
    format!(
        "{}. Visits: {}.",
        lathes.collect::<Vec<_>>().join("; "),
        visits.collect::<Vec<_>>().join(", ")
    )
}
