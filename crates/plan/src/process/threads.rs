//! Threads cut with a single edge, outside and inside, in several passes.

mod passes;
mod room;

pub(super) use room::open_to;

use super::missing::{Missing, Open};
use super::{Cutting, Data, holes};
use crate::cuts::{Operation, Speed, Work};
use calc::thread;
use model::Length;
use model::files::control::ThreadsAs;
use model::files::job::{Feature, FeatureKind};
use model::files::tools::{Station, ToolKind, Turns};
use model::quantity::{FeedPerRev, SpindleSpeed};

/// H of the sharp triangle of the 60° profile, in pitches: √3/2 (ISO 68-1).
const SHARP: f64 = 0.866_025_403_784_438_6;
/// Depth of a full-profile outside edge, in pitches: 17/24 of H (ISO 724's h3; common practice).
const FULL_OUTSIDE: f64 = SHARP * 17.0 / 24.0;
/// Height of the basic profile, in pitches: 5/8 of H (ISO 68-1).
const BASIC: f64 = SHARP * 5.0 / 8.0;
/// How far from its lead a turn of the thread may be, as the proof asks it.
const LEAD_OFF: f64 = 0.01;
/// Slowest spindle at which a thread is cut.
const SLOWEST: f64 = 20.0;

/// Threads of the part that this job makes, outside or inside.
pub(super) fn of<'j>(
    cutting: &Cutting<'j>,
    inside: bool,
) -> impl Iterator<Item = (usize, &'j Feature)> + use<'j> {
    let features = cutting.job.file.part.features.iter().enumerate();
    features
        .filter(move |(_, it)| it.kind == FeatureKind::Thread && !it.later && it.inside == inside)
}

/// Cuts every outside thread.
pub(super) fn outside(cutting: &Cutting<'_>, open: &mut Open) -> Vec<Operation> {
    let threads = of(cutting, false).map(|(index, feature)| cut(cutting, index, feature));
    threads.filter_map(|made| open.taken(made)).collect()
}

/// Cuts every inside thread that no tap makes.
pub(super) fn inside(cutting: &Cutting<'_>, open: &mut Open) -> Vec<Operation> {
    let threads = of(cutting, true)
        .filter(|(_, feature)| holes::tap_for(cutting, feature).is_none())
        .map(|(index, feature)| cut(cutting, index, feature));
    threads.filter_map(|made| open.taken(made)).collect()
}

/// How deep a hole through the part must be open for its inside thread; none where nothing makes it.
pub(super) fn deepest(cutting: &Cutting<'_>, index: usize, feature: &Feature) -> Option<Length> {
    if let Some(tap) = holes::tap_for(cutting, feature) {
        return Some(holes::tap_end(tap, feature));
    }
    let edge = Edge::of(cutting, index, feature).ok()?;
    Some(feature.to + edge.behind(cutting) + edge.pull_out(feature))
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
    fn of(cutting: &Cutting<'j>, index: usize, feature: &Feature) -> Result<Edge<'j>, Missing> {
        let shown = |length: Length| length.shown(cutting.units);
        let side = if feature.inside { "in a bore" } else { "outside" };
        let edges = cutting.job.tools.stations.iter();
        let mut edges =
            edges.filter(|it| it.kind == ToolKind::Threading && it.inside == feature.inside);
        let lacks = |why: String, remedy: String| Missing { feature: index, why, remedy };
        let pitch = shown(feature.pitch);
        let would_do = format!(
            "Put a threading tool for a pitch of {pitch} {side} on the turret, and write it in the tools file."
        );
        let Some(first) = edges.clone().next() else {
            let why = format!("No threading tool that works {side} stands on the turret.");
            return Err(lacks(why, would_do));
        };
        let makes = |it: &&Station| it.pitches.makes(feature.pitch);
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
        Edge::on(feature, station).ok_or_else(|| {
            lacks(
                format!(
                    "The edge of station {} is too blunt for a pitch of {pitch}, or its point is not one of 60°.",
                    station.number
                ),
                "Take an edge with a smaller nose radius; write `nose_radius` and `point_angle` as its box has them."
                    .to_owned(),
            )
        })
    }

    /// None where its nose is too large for the ground, or its angle not that of the profile.
    fn on(feature: &Feature, station: &'j Station) -> Option<Edge<'j>> {
        let pitch = feature.pitch.mm();
        let nominal = feature.diameter.half();
        let sharp = Length::nearest_mm;
        let (nose, full) = (station.nose_radius.mm(), station.pitches.is_full());
        // The point of a round nose of 60° stands one radius short of the sharp one.
        let (crest, ground) = match (feature.depth, feature.inside) {
            (Some(depth), false) => (nominal, nominal - depth),
            (Some(depth), true) => (nominal - depth, nominal),
            _ if (station.point_angle - 60.0).abs() > 0.5 => return None,
            (None, false) => {
                // An eighth of H is cut off at the crest, a sixth at the ground at most (ISO 68-1).
                let deep =
                    if full { FULL_OUTSIDE * pitch } else { SHARP * pitch * 7.0 / 8.0 - nose };
                if !full && nose > SHARP * pitch / 6.0 {
                    return None;
                }
                (nominal, nominal - sharp(deep))
            }
            (None, true) => {
                let beyond = if full { 0.0 } else { SHARP * pitch / 8.0 - nose };
                if beyond < 0.0 {
                    return None;
                }
                (nominal - sharp(BASIC * pitch), nominal + sharp(beyond))
            }
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

    /// Length of a slanting way out that clears the ground.
    fn pull_out(&self, feature: &Feature) -> Length {
        let lead = lead_of(feature);
        Length::nearest_mm(lead.mm() * f64::from(self.pull_out_tenths(feature)) / 10.0)
    }

    /// The same in whole tenths of the lead.
    fn pull_out_tenths(&self, feature: &Feature) -> u32 {
        let tenths = (self.height.mm() * 10.0 / lead_of(feature).mm()).ceil();
        tenths.clamp(1.0, 99.0) as u32
    }
}

fn lead_of(feature: &Feature) -> Length {
    feature.pitch * i64::from(feature.starts)
}

/// Speed of the spindle for a thread: the tool's at the crest, no faster than the axis follows.
fn speed(
    cutting: &Cutting<'_>,
    index: usize,
    edge: &Edge<'_>,
    lead: Length,
) -> Result<f64, Missing> {
    let station = edge.station;
    let work = if edge.inside { Work::ThreadBore } else { Work::Thread };
    let data = Data::of(station, work).ok_or_else(|| Missing {
        feature: index,
        why: format!("The tools file does not say the speed of station {}.", station.number),
        remedy: format!("Write `speed` of station {}, {}.", station.number, station.name),
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
    Ok(wanted.min(thread::highest_speed(axis, lead.mm()).rpm()))
}

/// One thread with one edge.
fn cut(cutting: &Cutting<'_>, index: usize, feature: &Feature) -> Result<Operation, Missing> {
    let edge = Edge::of(cutting, index, feature)?;
    let station = edge.station;
    if station.takes.turns == Some(Turns::Reverse) {
        return Err(Missing {
            feature: index,
            why: format!(
                "The spindle turns in reverse for station {}: fed toward the chuck it cuts a left-hand thread.",
                station.number
            ),
            remedy:
                "Mount the tool so that the spindle turns forward, and write `turns = \"forward\"`."
                    .to_owned(),
        });
    }
    let lead = lead_of(feature);
    let wanted = speed(cutting, index, &edge, lead)?;
    let room = room::Room::behind(cutting, feature, &edge);
    // What the axis lags at the end must lie in the room: the spindle turns as slowly as that asks.
    let lag = room.length - room.edge - room.pull_out;
    let most = lag.mm() * 1800.0 / lead.mm();
    if most < SLOWEST {
        let shown = |length: Length| length.shown(cutting.units);
        return Err(Missing {
            feature: index,
            why: format!(
                "Behind the end of the thread the edge has {} of room and needs more than {}.",
                shown(room.length),
                shown(room.edge + room.pull_out)
            ),
            remedy: "End the thread earlier, or draw an undercut behind it.".to_owned(),
        });
    }
    let speed = holes::within(cutting, station, wanted.min(most));
    let overrun = thread::wrong_at_end(lead.mm(), speed) + room.pull_out;
    let run_in = run_in(cutting, lead, speed);
    room::starts_free(cutting, index, feature, &edge, run_in + edge.shift(cutting))?;
    let plan = passes::Passes {
        edge: &edge,
        lead: FeedPerRev::from_mm(lead.mm()),
        pitch: feature.pitch,
        starts: feature.starts,
        from: run_in + edge.shift(cutting) - feature.from,
        to: -(feature.to + overrun),
        pull_out: if room.pull_out.is_positive() { edge.pull_out_tenths(feature) } else { 0 },
        beside: room::beside(cutting, feature, &edge, run_in, overrun),
    };
    let (moves, cycles) = plan.made(cutting);
    let (work, name) = match feature.inside {
        true => (Work::ThreadBore, "thread the bore"),
        false => (Work::Thread, "thread the outside"),
    };
    let speed = Speed::Spindle(speed);
    Ok(Operation { work, name, station: station.number, speed, moves, cycles })
}
