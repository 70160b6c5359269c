//! Moves: how long they take, and whether a tool or the gripper is what moves.

use super::{Lathe, Teller, away};
use crate::action::{Feed, Path, Speed};
use crate::event::{EndedBy, Motion, Point, Spot, What};
use calc::motion;
use model::Length;
use model::files::tools::ToolKind;
use model::quantity::{FeedPerRev, FeedRate, SpindleSpeed, SurfaceSpeed};
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
        let arc = match path {
            Path::Arc(arc) => Some(arc),
            Path::Rapid | Path::Line => None,
        };
        let motion = Motion { from, to, rapid, arc, speed };
        if !rapid && speed.is_none() {
            self.tell(What::Stuck(motion), spot, &before, tell);
        }
        if self.state.tool.kind == Some(ToolKind::Gripper) {
            return self.gripper_moved(motion, spot, &before, tell);
        }
        if rapid {
            self.tell(What::Move(motion), spot, &before, tell);
        } else {
            self.tell(What::Cut(motion), spot, &before, tell);
            self.cut(motion, spot, tell);
        }
        ControlFlow::Continue(())
    }

    pub(super) fn go_home(
        &mut self,
        x: bool,
        z: bool,
        spot: Spot,
        tell: &mut Teller<'_>,
    ) -> ControlFlow<EndedBy> {
        let home = away(self.setup);
        let now = self.state.position;
        let to = Point { r: if x { home.r } else { now.r }, z: if z { home.z } else { now.z } };
        // Where home lies is not in the lathe file; the turret's clear point stands for it.
        let before = self.state;
        self.tell(What::NotModelled("the way to the home position"), spot, &before, tell);
        self.go(to, Path::Rapid, Feed::None, spot, tell)
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
            _ => (0.0, None),
        };
        self.state.now += if time.is_finite() { time } else { 0.0 };
        if surface.is_some() {
            self.is_at(self.speed_for(to.r));
        }
        speed
    }

    /// Seconds of a cut at constant surface speed; an arc is the sum of its chords.
    fn surface_speed_time(&self, to: Point, path: Path, feed: f64, speed: SurfaceSpeed) -> f64 {
        let mut ends = match path {
            Path::Arc(arc) => arc.inner_points(self.state.position),
            Path::Rapid | Path::Line => Vec::new(),
        };
        ends.push(to);
        let mut from = self.state.position;
        let feed = FeedPerRev::from_mm(feed);
        let mut seconds = 0.0;
        for to in ends {
            let cut = motion::Cut { from_r: from.r, from_z: from.z, to_r: to.r, to_z: to.z };
            seconds += motion::surface_speed_time(&cut, feed, speed, self.limit()).s();
            from = to;
        }
        seconds
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
