//! Everything the lathe does, in order: the same list is timed and written.

use crate::bar::BarPlan;
use crate::cuts::{CycleForm, Move, Operation, Place, Speed, Turn, Way, Work};
use crate::process::Process;
use model::Length;
use model::files::control::Does;
use model::files::gripper::Style;
use model::files::job::Job;
use model::files::tools::{Station, ToolKind, Turns};
use model::quantity::{FeedPerRev, FeedRate, Seconds, SpindleSpeed};
use nc::write::Writer;

/// One thing the lathe does.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// What follows, in plain words.
    Heading(String),
    /// Call a station.
    Call {
        /// Its number.
        station: u32,
        /// The offset it is called with.
        offset: u32,
    },
    /// Start the spindle.
    Turn(Speed, Turns),
    /// Move at rapid.
    Rapid(Place),
    /// Cut at a feed per revolution.
    Cut(Place, FeedPerRev),
    /// Cut round a center at a feed per revolution.
    CutArc {
        /// Where it ends.
        to: Place,
        /// The center of the arc.
        center: Place,
        /// Which way round.
        turn: Turn,
        /// The feed.
        feed: FeedPerRev,
    },
    /// Cut in step with the spindle, so far along Z for each turn.
    Thread(Place, FeedPerRev),
    /// Turn the spindle the other way, at the speed that it has.
    TurnBack(Turns),
    /// A cycle of the control, with the acts that it makes.
    Cycle(CycleForm, Vec<Act>),
    /// Move at a feed per minute, nothing being cut.
    Creep(Place, FeedRate),
    /// Draw the bar.
    Pull {
        /// How far.
        by: Length,
        /// Where the gripper then stands.
        to: Place,
        /// How fast.
        speed: FeedRate,
    },
    /// A builder's function, with the time that must pass before the next act where the control
    /// does not wait by itself.
    Function(Does, Seconds),
    /// Wait.
    Dwell(Seconds),
    /// Coolant off or on.
    Coolant(bool),
}

/// What the acts of a job are made from.
pub struct Acts<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
}

impl<'j> Acts<'j> {
    /// The acts of a job with its bar divided.
    pub fn new(job: &'j Job, bar: &'j BarPlan) -> Acts<'j> {
        Acts { job, bar }
    }

    /// Writes the words of this job; its figures are rounded to what it can write, so that what is
    /// timed is what is written.
    pub(crate) fn writer(&self) -> Writer<'j> {
        Writer::new(&self.job.control, self.job.file.units)
    }

    /// The highest speed that lathe, chuck and job allow, and the tools where they say so.
    pub fn clamp(&self) -> SpindleSpeed {
        let lathe = self.job.lathe.max_speed().rpm();
        let job = self.job.file.cutting.max_speed.map_or(f64::INFINITY, SpindleSpeed::rpm);
        let used = [ToolKind::Turning, ToolKind::Parting];
        let tools = used
            .into_iter()
            .filter_map(|kind| self.job.tools.first(kind)?.max_speed)
            .map(SpindleSpeed::rpm)
            .fold(f64::INFINITY, f64::min);
        self.writer().speed_at_most(SpindleSpeed::from_rpm(lathe.min(job).min(tools)))
    }

    /// Where the turret may swing.
    pub fn safe(&self) -> Place {
        let turret = &self.job.lathe.turret;
        Place { x: turret.index_x, z: turret.index_z }
    }

    /// Facing of a new bar's end.
    pub fn new_bar(&self, process: &Process) -> Vec<Act> {
        self.operations(process.new_bar.as_slice())
    }

    /// The cuts of all parts of one advance, ending with the turret at its safe place.
    pub fn parts(&self, process: &Process) -> Vec<Act> {
        let division = &self.bar.division;
        let mut acts = Vec::new();
        for index in 0..division.parts_per_advance {
            if division.parts_per_advance > 1 {
                let words =
                    format!("part {} of {} of this advance", index + 1, division.parts_per_advance);
                acts.push(Act::Heading(words));
            }
            let by = division.pitch() * i64::from(index);
            let operations = process.operations.iter();
            let here: Vec<Operation> = operations.map(|operation| operation.shifted(by)).collect();
            acts.extend(self.operations(&here));
        }
        acts
    }

    /// Operations of one part, ending with the turret at its safe place.
    pub fn operations(&self, operations: &[Operation]) -> Vec<Act> {
        let writer = self.writer();
        let mut acts = Vec::new();
        let (mut at, mut turning) = (None, None);
        for operation in operations {
            let Some(station) = self.job.tools.station(operation.station) else { continue };
            acts.push(Act::Heading(format!("{} - {}", operation.name, station.name)));
            let speed = match operation.speed {
                Speed::Surface(speed) => Speed::Surface(writer.surface_speed(speed)),
                Speed::Spindle(speed) => Speed::Spindle(writer.speed_at_most(speed)),
            };
            let turn = Act::Turn(speed, way(station));
            if at != Some(station.number) {
                if at.is_some() {
                    acts.push(Act::Rapid(self.safe()));
                }
                acts.push(call(station));
                acts.push(turn.clone());
                acts.push(Act::Coolant(true));
                at = Some(station.number);
            } else if turning.as_ref() != Some(&turn) {
                acts.push(turn.clone());
            }
            turning = Some(turn);
            let mut cuts = self.cuts(operation, way(station));
            if operation.work == Work::PartOff && self.catches() {
                // The blade stands beside the bar before anything comes near it.
                cuts.insert(1.min(cuts.len()), self.function(Does::CatcherOut, Seconds::default()));
                cuts.push(self.function(Does::CatcherHome, Seconds::default()));
            }
            acts.extend(cuts);
        }
        acts.push(Act::Rapid(self.safe()));
        acts
    }

    /// Whether the program moves the parts catcher.
    pub(crate) fn catches(&self) -> bool {
        let has = |does| self.job.control.that(does).is_some();
        self.job.file.cutting.catch_parts && has(Does::CatcherOut) && has(Does::CatcherHome)
    }

    /// The moves of an operation, and cycles where they stand for some of them.
    fn cuts(&self, operation: &Operation, turns: Turns) -> Vec<Act> {
        let mut acts = Vec::new();
        let mut from = 0;
        let moves = &operation.moves;
        let these = |from: usize, to: usize| moves.iter().skip(from).take(to.saturating_sub(from));
        for cycle in &operation.cycles {
            acts.extend(these(from, cycle.first).flat_map(|one| self.cut(one, turns)));
            from = cycle.first + cycle.count;
            let made = these(cycle.first, from).flat_map(|one| self.cut(one, turns)).collect();
            acts.push(Act::Cycle(cycle.form.clone(), made));
        }
        acts.extend(these(from, moves.len()).flat_map(|one| self.cut(one, turns)));
        acts
    }

    /// One move; a tap that comes out turns the spindle back first, and forward again behind it.
    fn cut(&self, one: &Move, turns: Turns) -> Vec<Act> {
        let writer = self.writer();
        let to = one.to;
        vec![match one.way {
            Way::Rapid => Act::Rapid(to),
            Way::Straight(feed) => Act::Cut(to, writer.feed(feed)),
            Way::Arc { center, turn, feed } => {
                Act::CutArc { to, center, turn, feed: writer.feed(feed) }
            }
            Way::Thread(lead) => Act::Thread(to, writer.lead(lead)),
            Way::BackOut(lead) => {
                let back = match turns {
                    Turns::Forward => Turns::Reverse,
                    Turns::Reverse => Turns::Forward,
                };
                let out = Act::Thread(to, writer.lead(lead));
                return vec![Act::TurnBack(back), out, Act::TurnBack(turns)];
            }
        }]
    }

    /// The spindle stopped and waited for, with coolant off.
    pub fn stop(&self) -> Vec<Act> {
        vec![Act::Coolant(false), self.function(Does::SpindleStop, self.job.lathe.spindle.run_down)]
    }

    /// A function with the wait that it needs where the control does not wait by itself.
    fn function(&self, does: Does, time: Seconds) -> Act {
        let confirmed = self.job.control.that(does).is_some_and(|function| function.confirmed);
        let wait =
            if confirmed { Seconds::from_s(0.0) } else { self.writer().dwell_at_least(time) };
        Act::Function(does, wait)
    }

    /// Where the gripper's chuck-side face stands on the stub: clear of the jaws, the fingers in
    /// the middle of what room there is.
    pub fn grip_z(&self) -> Length {
        let (gripper, division) = (&self.job.gripper, &self.bar.division);
        let room = division.jaw_clearance - gripper.jaw_gap - gripper.fingers;
        self.writer().place(self.bar.jaw_face + gripper.jaw_gap + room.half().max(Length::ZERO))
    }

    /// The whole advance, from the turret's safe place back to it.
    pub fn advance(&self) -> Vec<Act> {
        let (gripper, division) = (&self.job.gripper, &self.bar.division);
        let Some(station) = self.job.tools.first(ToolKind::Gripper) else { return Vec::new() };
        let approach = self.writer().rate_at_most(gripper.approach_speed);
        let pull = self.writer().rate_at_most(gripper.pull_speed);
        let z = self.grip_z();
        let by = division.advance();
        let (on, off) = (self.beside_stub(z), self.beside_stub(z + by));
        let center = |z| Place { x: Length::ZERO, z };
        let mut acts = vec![
            Act::Heading(format!("advance the bar - {}", station.name)),
            call(station),
            Act::Rapid(Place { x: on.x, z: self.safe().z }),
            Act::Rapid(on),
            Act::Creep(center(z), approach),
        ];
        if gripper.settle.s() > 0.0 {
            acts.push(Act::Dwell(self.writer().dwell_at_least(gripper.settle)));
        }
        acts.extend([
            self.function(Does::ChuckOpen, self.job.lathe.chuck.open),
            Act::Pull { by, to: center(z + by), speed: pull },
            self.function(Does::ChuckClose, self.job.lathe.chuck.close),
            Act::Creep(off, approach),
            Act::Rapid(Place { x: off.x, z: self.safe().z.max(off.z) }),
            Act::Rapid(self.safe()),
        ]);
        acts.dedup();
        acts
    }

    /// Beside the stub for a radial gripper, in front of it for an axial one.
    fn beside_stub(&self, z: Length) -> Place {
        let (gripper, division) = (&self.job.gripper, &self.bar.division);
        match gripper.style {
            Style::Radial => Place { x: gripper.clear_x, z },
            Style::Axial => {
                let front = self.bar.jaw_face + division.jaw_clearance + (z - self.grip_z());
                Place { x: Length::ZERO, z: self.writer().place(front + gripper.clear_z) }
            }
        }
    }
}

/// Which way the spindle turns for a tool; forward where its file does not say.
pub(crate) fn way(station: &Station) -> Turns {
    station.takes.turns.unwrap_or(Turns::Forward)
}

fn call(station: &Station) -> Act {
    Act::Call { station: station.number, offset: station.offset }
}
