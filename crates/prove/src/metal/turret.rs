//! The turret and the tools that do not work: where they stand while one tool works, and what they
//! swing through when another station is called.
//!
//! The turret is a disk or drum whose axis lies along the spindle axis. Seen along it, a tool on
//! another station stands at an angle; bar and chuck turn, so that only its distance from the
//! spindle axis counts, and that is computed exactly from the angle.

use super::{Against, GRAZING, Metal, Part, Strike};
use crate::event::Point;
use crate::setup::Setup;
use model::Length;
use model::files::lathe::TurretBody;
use model::files::tools::{Station, ToolKind};
use shape::{Move, Placed, Reuse, Turn};

/// A tool on its station, as seen from the turret.
#[derive(Debug, Clone, Copy)]
struct Seat {
    station: u32,
    /// Distance of its tip from the turret's axis.
    tip: f64,
    /// Half of its width across, in nanometers.
    half: f64,
    /// How far its tip stands beyond the turret's face, toward the chuck.
    ahead: i64,
    /// How far it goes back from there.
    length: i64,
    /// Whether it lies along the spindle axis.
    along: bool,
}

/// The turret with all tools whose place on it is known.
#[derive(Debug, Clone)]
pub(super) struct Turret {
    body: TurretBody,
    stations: u32,
    seats: Vec<Seat>,
    /// Whether the outline of the chuck is known, so that it can be passed beside.
    chuck_known: bool,
    /// On which side of the axis the turret stands, where the ends of the travel tell.
    side: Option<i64>,
}

impl Seat {
    fn of(station: &Station, body: TurretBody, setup: &Setup) -> Option<Seat> {
        let (rim, ahead) = (station.seat.beyond_rim?, station.seat.beyond_face?);
        let along = station.kind.on_axis() || station.in_bore();
        let outline = setup.gripper.as_ref().and_then(|gripper| gripper.outline);
        let (width, length) = match (station.kind, outline) {
            (ToolKind::Gripper, Some(outline)) => {
                (outline.finger_diameter.max(outline.body_diameter), outline.length)
            }
            (ToolKind::Gripper, None) => return None,
            (kind, _) if kind.on_axis() => (station.shank.or(station.diameter)?, ahead),
            _ if station.in_bore() => (station.shank?, ahead),
            // The shank ends one and a quarter of its width behind the tip, as in the tool's own
            // shape.
            _ => (station.shank?, station.shank? + station.shank?.half().half()),
        };
        let tip = (body.diameter.half() + rim).nm() as f64;
        let half = width.half().nm() as f64;
        let length = length.nm().max(0);
        Some(Seat { station: station.number, tip, half, ahead: ahead.nm(), length, along })
    }

    /// Its least distance from the spindle axis, which lies `axis` from the turret's axis, when its
    /// station stands `angle` away from the working one.
    fn nearest(&self, axis: f64, rim: f64, angle: f64) -> f64 {
        let inner = if self.along { self.tip } else { rim.min(self.tip) };
        let (sine, cosine) = (libm::sin(angle), libm::cos(angle));
        let nearest = (axis * cosine).clamp(inner, self.tip);
        // A shank that points at the spindle axis is wide across, not toward it.
        let half = if self.along || angle > 0.0 { self.half } else { 0.0 };
        libm::hypot(axis - nearest * cosine, nearest * sine) - half
    }
}

impl Turret {
    pub(super) fn of(setup: &Setup) -> Option<Turret> {
        let (lathe, tools) = (setup.lathe.as_ref()?, setup.tools.as_ref()?);
        let body = lathe.turret.body?;
        let seats = tools.stations.iter().filter_map(|station| Seat::of(station, body, setup));
        let side =
            lathe.travel.ends.map(|ends| if ends.x.0.abs() > ends.x.1.abs() { -1 } else { 1 });
        Some(Turret {
            body,
            stations: lathe.turret.stations,
            seats: seats.collect(),
            chuck_known: !lathe.chuck.steps.is_empty(),
            side,
        })
    }

    fn seat(&self, station: u32) -> Option<&Seat> {
        self.seats.iter().find(|seat| seat.station == station)
    }

    /// How far around the turret one station stands from another.
    fn angle(&self, one: u32, other: u32) -> f64 {
        let steps = f64::from(one.abs_diff(other) % self.stations.max(1));
        steps / f64::from(self.stations.max(1)) * 2.0 * std::f64::consts::PI
    }
}

/// Something of the turret: from where to where along the axis, and how near to the axis.
struct Stands {
    part: Part,
    from: i64,
    to: i64,
    nearest: f64,
}

impl Metal {
    /// What the turret or a tool that does not work goes into while the tool of a station moves.
    pub(super) fn idle_strike(&self, bar: Placed, station: u32, way: &Move) -> Option<Strike> {
        let turret = self.turret.as_ref()?;
        let at_work = turret.seat(station)?;
        let places = places(way);
        // Where nothing tells the turret's side, it is the one on which the move goes further out.
        let furthest = places.iter().map(|at| at.r).max_by_key(|r| r.unsigned_abs())?;
        let side = turret.side.unwrap_or(if furthest < 0 { -1 } else { 1 });
        let nearest = places.iter().map(|at| at.r.saturating_mul(side)).min()? as f64;
        let z = (places.iter().map(|at| at.z).min()?, places.iter().map(|at| at.z).max()?);
        let face = (z.0.saturating_add(at_work.ahead), z.1.saturating_add(at_work.ahead));
        let (axis, rim) = (nearest + at_work.tip, turret.body.diameter.half().nm() as f64);
        let body = Stands {
            part: Part::Turret,
            from: face.0,
            to: face.1.saturating_add(turret.body.length.nm()),
            nearest: axis - rim,
        };
        let idle = turret.seats.iter().filter(|seat| seat.station != station).map(|seat| {
            let from = face.0.saturating_sub(seat.ahead);
            let to = face.1.saturating_sub(seat.ahead).saturating_add(seat.length);
            let nearest = seat.nearest(axis, rim, turret.angle(seat.station, station));
            Stands { part: Part::Idle(seat.station), from, to, nearest }
        });
        std::iter::once(body).chain(idle).find_map(|stands| self.meets(bar, &stands))
    }

    /// What the turret or a tool goes into when the turret swings with the tip of a station's tool
    /// at a point, whichever way it turns.
    pub fn swing_strike(&self, bar: Placed, station: u32, at: Point) -> Option<Strike> {
        self.turret.as_ref()?;
        let key = (bar, station, at);
        if let Some(known) = self.swings.borrow().get(&key) {
            return *known;
        }
        let found = self.new_swing_strike(bar, station, at);
        if self.reuse == Reuse::Remember {
            self.swings.borrow_mut().insert(key, found);
        }
        found
    }

    fn new_swing_strike(&self, bar: Placed, station: u32, at: Point) -> Option<Strike> {
        let turret = self.turret.as_ref()?;
        let now = turret.seat(station)?;
        let side = turret.side.unwrap_or(if at.r.is_negative() { -1 } else { 1 });
        let axis = at.r.nm().saturating_mul(side) as f64 + now.tip;
        let face = at.z.nm().saturating_add(now.ahead);
        let rim = turret.body.diameter.half().nm() as f64;
        turret.seats.iter().filter(|seat| seat.station != station).find_map(|seat| {
            let from = face.saturating_sub(seat.ahead);
            let nearest = seat.nearest(axis, rim, 0.0);
            let to = from.saturating_add(seat.length);
            let strike =
                self.meets(bar, &Stands { part: Part::Idle(seat.station), from, to, nearest })?;
            Some(Strike { part: Part::Swinging(seat.station), ..strike })
        })
    }

    fn meets(&self, bar: Placed, stands: &Stands) -> Option<Strike> {
        let chuck_known = self.turret.as_ref().is_some_and(|turret| turret.chuck_known);
        let nearest = libm::floor(stands.nearest.max(0.0)) as i64;
        [(bar, Against::Bar, true), (self.jaws, Against::Jaws, chuck_known)]
            .into_iter()
            .filter(|(_, _, known)| *known)
            .find_map(|(what, against, _)| {
                let shape = self.store.borrow().shape(what.id);
                let place = |z: i64| z.saturating_sub(what.shift);
                let outside = shape.largest_radius(place(stands.from), place(stands.to))?;
                let depth = outside.saturating_sub(nearest);
                let at = Point { r: Length::from_nm(nearest), z: Length::from_nm(stands.from) };
                (depth > GRAZING).then(|| Strike {
                    part: stands.part,
                    against,
                    depth: Length::from_nm(depth),
                    at,
                })
            })
    }
}

/// Points of a move between which all of it lies: its ends, and where an arc reaches furthest.
fn places(way: &Move) -> Vec<shape::Point> {
    let (from, to, center, turn) = match *way {
        Move::Line { from, to } => return vec![from, to],
        Move::Arc { from, to, center, turn } => (from, to, center, turn),
    };
    let away = |at: shape::Point| (at.z as f64 - center.z as f64, at.r as f64 - center.r as f64);
    let radius = libm::ceil(libm::hypot(away(from).0, away(from).1)) as i64;
    let furthest = [(radius, 0), (0, radius), (-radius, 0), (0, -radius)]
        .map(|(z, r)| shape::Point::new(center.z.saturating_add(z), center.r.saturating_add(r)));
    let (first, last) = if turn == Turn::Counterclockwise { (from, to) } else { (to, from) };
    let angle = |at: shape::Point| libm::atan2(away(at).1, away(at).0);
    let after = |at: f64| (at - angle(first)).rem_euclid(2.0 * std::f64::consts::PI);
    let swept = if from == to { f64::INFINITY } else { after(angle(last)) };
    let passed = furthest.into_iter().filter(|at| after(angle(*at)) <= swept);
    [from, to].into_iter().chain(passed).collect()
}
