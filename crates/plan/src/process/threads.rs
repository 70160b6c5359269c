//! Threads cut with a single edge, outside and inside, in several passes.

mod passes;
mod room;

pub(super) use room::open_to;

use super::{Cutting, Missing, Process, holes};
use crate::cuts::{Operation, Speed, Work};
use calc::thread;
use model::Length;
use model::files::control::ThreadsAs;
use model::files::job::{Feature, FeatureKind};
use model::files::tools::{Station, ToolKind, Turns};
use model::quantity::{FeedPerRev, SpindleSpeed};
use model::standards::thread::ThreadForm;

/// H of the sharp triangle of the 60° profile, in pitches: √3/2 (ISO 68-1).
const SHARP: f64 = 0.866_025_403_784_438_6;
/// How far from its lead a turn of the thread may be, as the proof asks it.
const LEAD_OFF: f64 = 0.01;
/// Slowest spindle at which a thread is cut.
const SLOWEST: f64 = 20.0;

/// A thread of the drawing that this job makes.
pub(super) struct Thread<'j> {
    /// Its place in the part's list.
    pub(super) index: usize,
    pub(super) feature: &'j Feature,
    pub(super) form: ThreadForm,
}

/// Threads of the part that this job makes, outside or inside.
pub(super) fn of<'j>(
    cutting: &Cutting<'j>,
    inside: bool,
) -> impl Iterator<Item = Thread<'j>> + use<'j> {
    let features = cutting.job.file.part.features.iter().enumerate();
    features
        .filter(move |(_, it)| it.kind == FeatureKind::Thread && !it.later && it.inside == inside)
        .filter_map(|(index, feature)| Some(Thread { index, feature, form: feature.thread()? }))
}

/// Cuts every outside thread.
pub(super) fn outside(cutting: &Cutting<'_>, process: &mut Process) {
    for thread in of(cutting, false) {
        process.take(cut(cutting, &thread));
    }
}

/// Cuts every inside thread that no tap makes.
pub(super) fn inside(cutting: &Cutting<'_>, process: &mut Process) {
    for thread in of(cutting, true) {
        if holes::tap_for(cutting, &thread).is_none() {
            process.take(cut(cutting, &thread));
        }
    }
}

/// How deep a hole through the part must be open for its inside thread; none where nothing makes it.
pub(super) fn deepest(cutting: &Cutting<'_>, thread: &Thread<'_>) -> Option<Length> {
    if let Some(tap) = holes::tap_for(cutting, thread) {
        return Some(holes::tap_end(tap, thread));
    }
    let edge = Edge::of(cutting, thread).ok()?;
    // What the axis lags at the end: the spindle turns slowly enough for one pitch.
    let pull_out = tenths_of(thread.form.lead(), edge.pull_out(cutting, thread, false));
    Some(thread.feature.to + edge.behind(cutting) + pull_out + thread.form.pitch)
}

/// How far in front of its thread an edge starts at a speed: what the axis needs to come up to its lead,
/// and a little more.
pub(super) fn run_in(cutting: &Cutting<'_>, lead: Length, speed: SpindleSpeed) -> Length {
    let needed = thread::wrong_at_start(lead.mm(), speed, LEAD_OFF).unwrap_or_default();
    (needed + cutting.clear.half()).max(cutting.clear)
}

/// A thread edge on a thread: how deep it goes.
struct Edge<'j> {
    station: &'j Station,
    /// Half of the angle of its point, in radians.
    half_angle: f64,
    /// From the crest to the ground, on the radius.
    height: Length,
    /// Radius of the crest and of the ground.
    crest: Length,
    ground: Length,
    inside: bool,
}

impl<'j> Edge<'j> {
    /// The edge for a thread, else what is lacking.
    fn of(cutting: &Cutting<'j>, thread: &Thread<'_>) -> Result<Edge<'j>, Missing> {
        let shown = |length: Length| length.shown(cutting.units);
        let inside = thread.feature.inside;
        let side = if inside { "in a bore" } else { "outside" };
        let edges = cutting.job.tools.stations.iter();
        let mut edges = edges.filter(|it| it.kind == ToolKind::Threading && it.inside == inside);
        let lacks = |why: String, mend: String| Missing { feature: Some(thread.index), why, mend };
        let pitch = shown(thread.form.pitch);
        let would_do = if inside {
            let nominal = shown(thread.form.nominal);
            format!(
                "A tap of {nominal} with a pitch of {pitch}, or a threading tool for it with `inside = true`, would cut it."
            )
        } else {
            format!("A threading tool for a pitch of {pitch} would cut it.")
        };
        let Some(first) = edges.clone().next() else {
            let why = format!("No threading tool that works {side} stands on the turret.");
            return Err(lacks(why, would_do));
        };
        let makes = |it: &&Station| it.pitches.makes(thread.form.pitch);
        let Some(station) = edges.find(|it| makes(it) == Some(true)) else {
            let number = first.number;
            return Err(match makes(&first) {
                None => lacks(
                    format!(
                        "The tools file does not say which pitches the tool of station {number} cuts."
                    ),
                    "Write `pitch` (full profile), or `least_pitch` and `most_pitch` of it."
                        .to_owned(),
                ),
                _ => lacks(
                    format!("No threading tool that works {side} cuts a pitch of {pitch}."),
                    would_do,
                ),
            });
        };
        Edge::on(thread, station).ok_or_else(|| {
            lacks(
                format!(
                    "The edge of station {} is too blunt for a pitch of {pitch}, or its point is not one of 60°.",
                    station.number
                ),
                "An edge with a smaller nose radius would do; write `nose_radius` and `point_angle` as its box has them."
                    .to_owned(),
            )
        })
    }

    /// None where its nose is too large for the ground, or its angle not that of the profile.
    ///
    /// Where tooth and gap are equally wide lies three eighths of H below the nominal diameter (ISO
    /// 68-1), or in the middle of what the class allows; a sharp point stands half of H deeper, a round
    /// one of 60° its own radius less deep.
    fn on(thread: &Thread<'_>, station: &'j Station) -> Option<Edge<'j>> {
        let (feature, form) = (thread.feature, &thread.form);
        let inward = if feature.inside { 1 } else { -1 };
        let high = |share: f64| Length::nearest_mm(SHARP * form.pitch.mm() * share);
        let nominal = form.nominal.half();
        let (nose, full) = (station.nose_radius, station.pitches.is_full());
        let middle = match &form.limits {
            Some(limits) => (limits.pitch.least + limits.pitch.most).half().half(),
            None => nominal - high(3.0 / 8.0),
        };
        let (crest, ground) = if feature.depth.is_some() {
            let other = nominal + form.depth * inward;
            if feature.inside { (nominal - form.depth, nominal) } else { (nominal, other) }
        } else {
            let largest_nose = if feature.inside { high(1.0 / 8.0) } else { high(1.0 / 6.0) };
            let is_iso = (station.point_angle - 60.0).abs() <= 0.5;
            if !is_iso || !full && nose > largest_nose {
                return None;
            }
            let deep = match (full, feature.inside) {
                (true, false) => high(17.0 / 24.0 - 3.0 / 8.0),
                (true, true) => high(3.0 / 8.0),
                (false, _) => high(1.0 / 2.0) - nose,
            };
            let crest = if feature.inside { nominal - high(5.0 / 8.0) } else { nominal };
            (crest, middle + deep * inward)
        };
        let height = (crest - ground).abs();
        (ground.is_positive() && height.is_positive()).then(|| Edge {
            station,
            half_angle: (station.point_angle / 2.0).to_radians(),
            height,
            crest,
            ground,
            inside: feature.inside,
        })
    }

    /// How far behind the tip the edge reaches along the axis where it is so much higher.
    fn flank(&self, height: Length) -> Length {
        Length::nearest_mm(height.max(Length::ZERO).mm() * libm::tan(self.half_angle))
    }

    /// Room that the edge needs behind its tip in a hole.
    fn behind(&self, cutting: &Cutting<'_>) -> Length {
        /// An edge is no higher than this.
        const HIGHEST: Length = Length::from_mm(5);
        self.flank(self.ground.min(HIGHEST)) + cutting.clear.half()
    }

    /// How much nearer the last pass of a cycle starts than the first, as it goes in along a flank.
    fn shift(&self, cutting: &Cutting<'_>) -> Length {
        match cutting.job.control.writing.threads {
            ThreadsAs::Moves | ThreadsAs::Box => Length::ZERO,
            ThreadsAs::Cycle | ThreadsAs::OneBlock => self.flank(self.height),
        }
    }

    /// Length of the slanting way out in whole tenths of the lead. The box pulls out as the control is
    /// set, the cycle in one block not at all; other passes do where no undercut lets the edge out, so
    /// far that it is clear of the ground.
    fn pull_out(&self, cutting: &Cutting<'_>, thread: &Thread<'_>, undercut: bool) -> u32 {
        let control = &cutting.job.control;
        match control.writing.threads {
            ThreadsAs::Box => control.cycles.thread_pull_out,
            ThreadsAs::OneBlock => 0,
            _ if undercut => 0,
            ThreadsAs::Moves | ThreadsAs::Cycle => {
                let tenths = (self.height.mm() * 10.0 / thread.form.lead().mm()).ceil();
                tenths.clamp(1.0, 99.0) as u32
            }
        }
    }
}

/// Speed of the spindle for a thread: the tool's at the crest, no faster than the axis follows.
fn speed(cutting: &Cutting<'_>, thread: &Thread<'_>, edge: &Edge<'_>) -> Result<f64, Missing> {
    let station = edge.station;
    let work = if edge.inside { Work::ThreadBore } else { Work::Thread };
    let data = cutting.data(station, work).ok_or_else(|| Missing {
        feature: Some(thread.index),
        why: format!("The tools file does not say the speed of station {}.", station.number),
        mend: format!("Write `speed` of station {}, {}.", station.number, station.name),
    })?;
    let wanted = match data.speed {
        Speed::Spindle(speed) => speed.rpm(),
        Speed::Surface(speed) => {
            let across = edge.crest.max(edge.ground) * 2;
            let none = SpindleSpeed::from_rpm(f64::INFINITY);
            calc::motion::spindle_speed(speed, across, none).rpm()
        }
    };
    let rapid = &cutting.job.lathe.rapid;
    let axis = rapid.in_thread.unwrap_or(rapid.z);
    Ok(wanted.min(thread::highest_speed(axis, thread.form.lead().mm()).rpm()))
}

/// One thread with one edge.
fn cut(cutting: &Cutting<'_>, thread: &Thread<'_>) -> Result<Operation, Missing> {
    let edge = Edge::of(cutting, thread)?;
    let station = edge.station;
    right_way(thread, station)?;
    let lead = thread.form.lead();
    let wanted = speed(cutting, thread, &edge)?;
    let room = room::Room::behind(cutting, thread, &edge);
    // What the axis lags at the end must lie in the room: the spindle turns as slowly as that asks.
    let pull_out = tenths_of(lead, room.pull_out);
    let lag = room.length - room.edge - pull_out;
    let most = lag.mm() * 1800.0 / lead.mm();
    if most < SLOWEST || room.least > room.length - room.edge {
        let shown = |length: Length| length.shown(cutting.units);
        return Err(Missing {
            feature: Some(thread.index),
            why: format!(
                "Behind the end of the thread the edge has {} of room and needs more than {}.",
                shown(room.length),
                shown(room.edge + pull_out.max(room.least))
            ),
            mend: "End the thread earlier, or draw an undercut behind it.".to_owned(),
        });
    }
    let speed = holes::within(cutting, station, wanted.min(most));
    let overrun = (calc::thread::wrong_at_end(lead.mm(), speed) + pull_out).max(room.least);
    let run_in = run_in(cutting, lead, speed) + edge.shift(cutting);
    room::starts_free(cutting, thread, &edge, run_in)?;
    let plan = passes::Passes {
        edge: &edge,
        lead: FeedPerRev::from_mm(lead.mm()),
        pitch: thread.form.pitch,
        starts: thread.form.starts,
        from: run_in - thread.feature.from,
        to: -(thread.feature.to + overrun),
        pull_out: room.pull_out,
        beside: room::beside(cutting, thread, &edge, (run_in, overrun)),
    };
    let (moves, cycles) = plan.made(cutting);
    let (work, name) = if edge.inside {
        (Work::ThreadBore, "thread the bore")
    } else {
        (Work::Thread, "thread the outside")
    };
    let operation = Cutting::operation(work, name, station, Speed::Spindle(speed), moves);
    Ok(Operation { cycles, ..operation })
}

fn tenths_of(lead: Length, tenths: u32) -> Length {
    Length::nearest_mm(lead.mm() * f64::from(tenths) / 10.0)
}

/// Fed toward the chuck, an edge cuts a right-hand thread where the spindle turns forward, and a
/// left-hand one where it turns in reverse.
fn right_way(thread: &Thread<'_>, station: &Station) -> Result<(), Missing> {
    let reverse = station.takes.turns == Some(Turns::Reverse);
    if reverse == thread.form.left_hand {
        return Ok(());
    }
    let (is, turns) = if reverse { ("right", "forward") } else { ("left", "reverse") };
    Err(Missing {
        feature: Some(thread.index),
        why: format!(
            "The thread is {is}-hand, and the spindle turns the other way for station {}.",
            station.number
        ),
        mend: format!("A tool for which the spindle turns {turns} (`turns`) would cut it."),
    })
}
