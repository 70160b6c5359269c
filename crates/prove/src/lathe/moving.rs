//! Moves: how long they take, and whether a tool or the gripper is what moves.

use super::{Coolant, Lathe, Teller, ThreadPass};
use crate::action::{Feed, Path, Speed};
use crate::event::{EndedBy, Motion, Point, Spot, What};
use crate::metal::Metal;
use calc::motion;
use model::Length;
use model::files::tools::ToolKind;
use model::quantity::{FeedPerRev, FeedRate, SpindleSpeed, SurfaceSpeed};
use shape::Placed;
use std::ops::ControlFlow;

impl Lathe<'_> {
    pub(super) fn go(
        &mut self,
        to: Point,
        path: Path,
        feed: Feed,
        spot: Spot,
        tell: &mut Teller<'_>,
    ) -> ControlFlow<EndedBy> {
        let before = self.state;
        let rapid = path == Path::Rapid;
        let from = self.state.position;
        let speed = if rapid {
            self.state.now += self.rapid_time(to);
            if matches!(self.state.spindle.speed, Some(Speed::Surface(_)))
                && self.state.spindle.told.is_some()
            {
                self.aim(self.speed_for(to.r));
            }
            None
        } else {
            self.feed_to(to, path, feed)
        };
        self.state.position = to;
        let motion = Motion {
            from,
            to,
            rapid,
            speed,
            arc: if let Path::Arc(arc) = path { Some(arc) } else { None },
            bend: if rapid { self.bend(from, to) } else { None },
            lead: if let Feed::Lead { lead, .. } = feed { Some(lead) } else { None },
            per_turn: self.per_turn(from, to, feed),
        };
        if !rapid && speed.is_none() {
            self.tell(What::Stuck(motion), spot, &before, tell);
        }
        let fell = self.watch_shapes(motion, path, spot, tell);
        if !rapid {
            self.watch_loads(motion, &before, spot, tell);
        }
        if self.state.tool.kind == Some(ToolKind::Gripper) {
            return self.gripper_moved(motion, spot, &before, tell);
        }
        if rapid {
            self.tell(What::Move(motion), spot, &before, tell);
        } else {
            self.tell(What::Cut(motion), spot, &before, tell);
            self.cut(motion, fell, spot, tell);
            self.front_by_shape();
            self.remember_thread(motion);
            self.remember_knurl(motion);
            if self.state.coolant == Coolant::Off {
                self.state.coolant = Coolant::OffInACut;
            }
        }
        ControlFlow::Continue(())
    }

    /// What the tool's shape meets on this move, and what it takes off the bar; gives the piece
    /// that falls.
    fn watch_shapes(
        &mut self,
        motion: Motion,
        path: Path,
        spot: Spot,
        tell: &mut Teller<'_>,
    ) -> Option<Placed> {
        let (metal, station) = (self.metal.clone()?, self.state.tool.station?);
        let before = self.state;
        let into_face = self.goes_into_face(motion);
        let unknown = into_face || self.cuts_unknown(&metal, station);
        if !motion.rapid && self.state.shape.is_some() && unknown {
            self.state.shape = None;
            self.tell(What::ShapeLost { station, into_face }, spot, &before, tell);
        }
        // Where nothing is known of the bar, the jaws are still there.
        let bar = self.state.shape.unwrap_or_else(|| metal.nothing());
        let ends = (motion.from, motion.to);
        let moved = metal.moved(bar, station, ends, path, motion.bend, spot);
        self.state.shape = self.state.shape.map(|_| moved.bar);
        let grips = before.tool.kind == Some(ToolKind::Gripper);
        let gripper = grips.then(|| {
            let holds = before.gripped.is_some() && before.chuck.open;
            metal.gripper_moved(bar, ends, path, motion.bend, holds)
        });
        for strike in [moved.strike, gripper.flatten(), moved.idle].into_iter().flatten() {
            self.tell(What::Struck { strike, rapid: motion.rapid }, spot, &before, tell);
        }
        if let Some(depth) = moved.depth {
            self.tell(What::Deep(depth), spot, &before, tell);
        }
        if let Some(at) = moved.into_solid {
            self.tell(What::BoredSolid(at), spot, &before, tell);
        }
        moved.fell
    }

    /// Whether a blade goes into the face of the bar along the axis: such blades stand the other way,
    /// and the tools file does not say how thick they are.
    fn goes_into_face(&self, motion: Motion) -> bool {
        let tools = self.setup.tools.as_ref();
        let station = self.state.tool.station.and_then(|number| tools?.station(number));
        let in_bore = station.is_some_and(|station| station.inside);
        let blade = self.state.tool.kind == Some(ToolKind::Grooving) && !in_bore;
        let along = motion.from.r == motion.to.r;
        let front = self.state.bar.front;
        blade && along && front.is_some_and(|it| motion.from.z >= it && motion.to.z < it)
    }

    /// Whether a tool cuts of which no file gives the shape.
    fn cuts_unknown(&self, metal: &Metal, station: u32) -> bool {
        let kind = self.state.tool.kind;
        !matches!(kind, Some(ToolKind::Gripper | ToolKind::BarStop)) && !metal.knows(station)
    }

    /// Where a rapid move bends: the axis that is there first waits for the other. Run-up and
    /// run-down of the axes move this place a little; they are left out.
    fn bend(&self, from: Point, to: Point) -> Option<Point> {
        let rapid = &self.setup.lathe.as_ref()?.rapid;
        if self.setup.control.rapid_straight || from.r == to.r || from.z == to.z {
            return None;
        }
        let (way_r, way_z) = (to.r - from.r, to.z - from.z);
        let r_time = way_r.abs().mm() / rapid.x.mm_per_min();
        let z_time = way_z.abs().mm() / rapid.z.mm_per_min();
        let part = |way: Length, share: f64| Length::nearest_mm(way.mm() * share);
        Some(if r_time < z_time {
            Point { r: to.r, z: from.z + part(way_z, r_time / z_time) }
        } else {
            Point { r: from.r + part(way_r, z_time / r_time), z: to.z }
        })
    }

    /// The feed a revolution where the spindle turns slowest on a move.
    fn per_turn(&self, from: Point, to: Point, feed: Feed) -> Option<f64> {
        self.state.spindle.told?;
        match feed {
            Feed::PerRevolution(feed) => Some(feed),
            Feed::PerMinute(rate) => {
                let slowest = self.speed_for(from.r).min(self.speed_for(to.r));
                (slowest > 0.0).then(|| rate / slowest)
            }
            _ => None,
        }
    }

    fn remember_thread(&mut self, motion: Motion) {
        let Some(lead) = motion.lead else { return };
        let speed = self.turning();
        let station = self.state.tool.station;
        let on = self.state.thread.filter(|last| last.goes_on(station, &motion));
        let start = on.map_or(motion.from.z, |last| last.start);
        self.state.thread = Some(ThreadPass { station, start, end: motion.to, lead, speed });
    }

    /// Where a knurling wheel touches the bar while it is fed.
    fn remember_knurl(&mut self, motion: Motion) {
        if self.state.tool.kind != Some(ToolKind::Knurling) {
            return;
        }
        let shape = self.metal.as_ref().zip(self.state.shape);
        let width = self.state.tool.width.unwrap_or_default();
        let (from, to) = (motion.from.z.min(motion.to.z), motion.from.z.max(motion.to.z) + width);
        let outside = shape.and_then(|(metal, bar)| metal.outside(bar, from, to));
        let nearest = motion.from.r.abs().min(motion.to.r.abs());
        if outside.is_some_and(|(_, largest)| nearest < largest.half()) {
            let before = self.state.knurled.unwrap_or((from, to));
            self.state.knurled = Some((before.0.min(from), before.1.max(to)));
        }
    }

    /// The longer of the two axes' own times, each from rest to rest.
    fn rapid_time(&self, to: Point) -> f64 {
        let Some(lathe) = &self.setup.lathe else { return 0.0 };
        let from = self.state.position;
        let rapid = &lathe.rapid;
        let x = motion::rapid_time((to.r - from.r).abs(), rapid.x, rapid.x_acceleration);
        let z = motion::rapid_time((to.z - from.z).abs(), rapid.z, rapid.z_acceleration);
        x.s().max(z.s())
    }

    /// Lets the time of a feed move pass; gives its speed in mm/min, none where it never ends.
    fn feed_to(&mut self, to: Point, path: Path, feed: Feed) -> Option<f64> {
        let from = self.state.position;
        let length = match path {
            Path::Arc(arc) => arc.length(),
            _ => libm::hypot((to.r - from.r).mm(), (to.z - from.z).mm()),
        };
        let surface = match self.state.spindle.speed {
            Some(Speed::Surface(speed)) if self.state.spindle.told.is_some() => Some(speed),
            _ => None,
        };
        if surface.is_some() {
            self.aim(self.speed_for(from.r));
        }
        let waits = self.setup.lathe.as_ref().is_none_or(|lathe| lathe.spindle.waits_for_speed);
        if waits
            && self.state.spindle.told.is_some()
            && self.state.tool.kind != Some(ToolKind::Gripper)
        {
            self.wait_for_speed();
        }
        let (time, speed) = match feed {
            Feed::PerMinute(rate) if rate > 0.0 => {
                let length = Length::nearest_mm(length);
                let time = motion::feed_per_minute_time(length, FeedRate::from_mm_per_min(rate));
                (time.s(), Some(rate))
            }
            Feed::PerRevolution(feed) if feed > 0.0 => match surface {
                Some(speed) => {
                    let time = self.surface_speed_time(to, path, feed, speed);
                    let start = self.speed_for(from.r).max(self.speed_for(to.r));
                    (time, (start > 0.0).then_some(start * feed))
                }
                None => self.fixed_speed_time(length, feed),
            },
            Feed::Lead { lead, change } => self.thread_time(to, length, lead, change),
            _ => (0.0, None),
        };
        let ramps = speed.map_or(0.0, |speed| self.ramps(to, path, length, feed, speed));
        self.state.now += if time.is_finite() { time + ramps } else { 0.0 };
        if surface.is_some() {
            self.is_at(self.speed_for(to.r));
        }
        speed
    }

    /// Seconds that speeding up and slowing down add to a feed move. In a thread the axes follow the
    /// spindle; their run-up lies in front of it.
    fn ramps(&self, to: Point, path: Path, length: f64, feed: Feed, speed: f64) -> f64 {
        let (Some(lathe), false) = (&self.setup.lathe, matches!(feed, Feed::Lead { .. })) else {
            return 0.0;
        };
        let (from, rapid) = (self.state.position, &lathe.rapid);
        let (way_r, way_z) = match path {
            // Along an arc either axis may be the one that limits.
            Path::Arc(_) => (Length::ZERO, Length::ZERO),
            _ => (to.r - from.r, to.z - from.z),
        };
        let along =
            motion::path_acceleration(way_r, way_z, rapid.x_acceleration, rapid.z_acceleration);
        let (length, speed) = (Length::nearest_mm(length), FeedRate::from_mm_per_min(speed));
        motion::ramps_time(length, speed, along).s()
    }

    /// Seconds of a cut at constant surface speed; an arc is the sum of its chords.
    fn surface_speed_time(&self, to: Point, path: Path, feed: f64, speed: SurfaceSpeed) -> f64 {
        let arc = if let Path::Arc(arc) = path { Some(arc) } else { None };
        let inner = arc.map(|arc| arc.inner_points(self.state.position));
        let mut from = self.state.position;
        let feed = FeedPerRev::from_mm(feed);
        let mut seconds = 0.0;
        for to in inner.into_iter().flatten().chain([to]) {
            let cut = motion::Cut { from_r: from.r, from_z: from.z, to_r: to.r, to_z: to.z };
            seconds += motion::surface_speed_time(&cut, feed, speed, self.limit()).s();
            from = to;
        }
        seconds
    }

    /// The time of a move in step with the spindle; the lead counts along the axis that goes
    /// further.
    fn thread_time(&self, to: Point, length: f64, lead: f64, change: f64) -> (f64, Option<f64>) {
        let from = self.state.position;
        let rpm = self.speed_for(from.r);
        let way = (to.r - from.r).mm().abs().max((to.z - from.z).mm().abs());
        let turns = calc::thread::turns(way, lead, change);
        let turning = rpm > 0.0 && self.state.spindle.told.is_some();
        match turns.filter(|turns| turning && *turns > 0.0) {
            Some(turns) => (60.0 * turns / rpm, Some(length * rpm / turns)),
            None => (0.0, None),
        }
    }

    fn fixed_speed_time(&self, length: f64, feed: f64) -> (f64, Option<f64>) {
        let rpm = self.speed_for(self.state.position.r);
        if rpm <= 0.0 || self.state.spindle.told.is_none() {
            return (0.0, None);
        }
        let time = motion::feed_per_revolution_time(
            Length::nearest_mm(length),
            FeedPerRev::from_mm(feed),
            SpindleSpeed::from_rpm(rpm),
        );
        (time.s(), Some(rpm * feed))
    }
}
