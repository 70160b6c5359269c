//! How long moves take, and how fast the spindle turns while they do.
//!
//! A move that cannot end (no feed, a spindle that stands) takes infinite seconds; no answer is
//! ever "not a number". A path without length takes no time, whatever the feed.

pub mod run_up;

use core::f64::consts::PI;

use model::Length;
use model::quantity::{Acceleration, FeedPerRev, FeedRate, Seconds, SpindleSpeed, SurfaceSpeed};

const NEVER: Seconds = Seconds::from_s(f64::INFINITY);

/// Time of a move from rest to rest: speed up, run, slow down.
///
/// `L/v + v/a` where the axis reaches its speed (`L ≥ v²/a`), else `2·√(L/a)`.
/// Valid: speed and acceleration above zero, else infinite seconds; infinite acceleration gives
/// `L/v`. The sign of the distance is left out.
/// Source: uniformly accelerated motion; from memory.
/// Held to: `handbook/motion.toml`.
pub fn rapid_time(distance: Length, speed: FeedRate, acceleration: Acceleration) -> Seconds {
    let path = distance.abs().mm();
    let speed = speed.mm_per_min() / 60.0;
    let acceleration = acceleration.m_per_s2() * 1000.0;
    if path == 0.0 {
        return Seconds::default();
    }
    if !(speed > 0.0 && acceleration > 0.0) {
        return NEVER;
    }
    let reaches_speed = path >= speed * speed / acceleration;
    Seconds::from_s(if reaches_speed {
        path / speed + speed / acceleration
    } else {
        2.0 * libm::sqrt(path / acceleration)
    })
}

/// What speeding up from rest and slowing down to rest add to the time of a path at one speed.
///
/// `v/a` where the path is long enough to reach the speed (`L ≥ v²/a`), else `2·√(L/a) − L/v`. A
/// control that rounds corners stops less often: then it is the most that is added.
/// Valid: speed and acceleration above zero, else nothing is added: the move never ends anyway, or
/// nothing is known. The sign of the distance is left out.
/// Source: uniformly accelerated motion; the difference of [`rapid_time`] and `L/v`.
/// Held to: `handbook/motion.toml`.
pub fn ramps_time(distance: Length, speed: FeedRate, acceleration: Acceleration) -> Seconds {
    let steady = time_of(distance.abs().mm(), speed.mm_per_min() / 60.0).s();
    let whole = rapid_time(distance, speed, acceleration).s();
    let added = if whole.is_finite() && steady.is_finite() { whole - steady } else { 0.0 };
    Seconds::from_s(added.max(0.0))
}

/// The acceleration along a straight path that two axes share: neither gives more than its own.
///
/// `min(ax/|sin φ|, az/|cos φ|)` with φ the angle of the path to the spindle axis.
/// Valid: any way; without one, the lesser of both.
/// Source: components of a vector.
/// Held to: `handbook/motion.toml`.
pub fn path_acceleration(
    way_r: Length,
    way_z: Length,
    x: Acceleration,
    z: Acceleration,
) -> Acceleration {
    let (along_r, along_z) = (way_r.mm().abs(), way_z.mm().abs());
    let path = libm::hypot(along_r, along_z);
    if path == 0.0 {
        return Acceleration::from_m_per_s2(x.m_per_s2().min(z.m_per_s2()));
    }
    let of_axis = |limit: Acceleration, share: f64| {
        if share > 0.0 { limit.m_per_s2() * path / share } else { f64::INFINITY }
    };
    Acceleration::from_m_per_s2(of_axis(x, along_r).min(of_axis(z, along_z)))
}

/// Time of a path at a feed per minute; speeding up and slowing down are left out.
///
/// `path / feed`.
/// Valid: feed above zero, else infinite seconds.
/// Source: the definition of a feed per minute.
/// Held to: `handbook/motion.toml`.
pub fn feed_per_minute_time(distance: Length, feed: FeedRate) -> Seconds {
    time_of(distance.abs().mm(), feed.mm_per_min() / 60.0)
}

/// Time of a path at a feed per revolution, with the spindle at one speed.
///
/// `path / (feed · speed)`.
/// Valid: feed and speed above zero, else infinite seconds.
/// Source: the definition of a feed per revolution.
/// Held to: `handbook/motion.toml`.
pub fn feed_per_revolution_time(
    distance: Length,
    feed: FeedPerRev,
    speed: SpindleSpeed,
) -> Seconds {
    let (feed, speed) = (feed.mm(), speed.rpm());
    if feed > 0.0 && speed > 0.0 {
        time_of(distance.abs().mm(), feed * speed / 60.0)
    } else {
        time_of(distance.abs().mm(), 0.0)
    }
}

/// Speed of the spindle for a speed of the cut surface, not above the clamp.
///
/// `speed / (π · diameter)`, at most `clamp`; on the axis the clamp.
/// Valid: surface speed and clamp above zero, else the spindle stands. An infinite clamp is none.
/// The sign of the diameter is left out: a tool on the far side cuts at the same speed.
/// Source: the definition of the surface speed; the shop's constant 3.82 for ft/min and inch is
/// the same rounded.
/// Held to: `handbook/motion.toml`.
pub fn spindle_speed(speed: SurfaceSpeed, diameter: Length, clamp: SpindleSpeed) -> SpindleSpeed {
    let (speed, clamp) = (speed.m_per_min() * 1000.0, clamp.rpm());
    if !(speed > 0.0 && clamp > 0.0) {
        return SpindleSpeed::default();
    }
    let around = PI * diameter.abs().mm();
    SpindleSpeed::from_rpm(if around > 0.0 { (speed / around).min(clamp) } else { clamp })
}

/// A straight cutting move in the plane of the spindle axis.
///
/// `r` is the distance from the axis and may be negative on its far side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cut {
    /// Radius where it starts.
    pub from_r: Length,
    /// Place along the axis where it starts.
    pub from_z: Length,
    /// Radius where it ends.
    pub to_r: Length,
    /// Place along the axis where it ends.
    pub to_z: Length,
}

impl Cut {
    fn path_mm(&self) -> f64 {
        libm::hypot((self.to_r - self.from_r).mm(), (self.to_z - self.from_z).mm())
    }
}

/// Time of a straight cut at constant surface speed, with a highest spindle speed.
///
/// The feed runs along the path. With `n(r) = min(clamp, v/(2π·|r|))` and `ℓ` the path,
/// `t = ℓ/|r1 − r0| · ∫ dr / (f·n(r))` between the radii: outside of `rc = v/(2π·clamp)` the
/// integral is `π·(b² − a²)/(v·f)`, inside of it `(b − a)/(f·clamp)`. A cut over the axis is the
/// sum of both sides. At one radius `t = ℓ/(f·n(r))`. The spindle is taken to follow at once.
/// Valid: feed, surface speed and clamp above zero and the feed finite, else infinite seconds. An
/// infinite clamp is none; what is cut on the axis itself then takes no time.
/// Source: integrated from the definition of the surface speed; agrees with numerical integration.
/// Held to: `handbook/motion.toml`.
pub fn surface_speed_time(
    cut: &Cut,
    feed: FeedPerRev,
    speed: SurfaceSpeed,
    clamp: SpindleSpeed,
) -> Seconds {
    let path = cut.path_mm();
    let change = (cut.to_r - cut.from_r).abs();
    if path == 0.0 {
        return Seconds::default();
    }
    let feeds = feed.mm() > 0.0 && feed.mm().is_finite();
    if !(feeds && speed.m_per_min() > 0.0 && clamp.rpm() > 0.0) {
        return NEVER;
    }
    if change == Length::ZERO {
        let revolutions_per_minute = spindle_speed(speed, cut.from_r + cut.from_r, clamp);
        return time_of(path, feed.mm() * revolutions_per_minute.rpm() / 60.0);
    }
    let (from, to) = (cut.from_r.abs().mm(), cut.to_r.abs().mm());
    let crosses_axis = cut.from_r.is_negative() != cut.to_r.is_negative();
    let minutes_per_feed = if crosses_axis {
        radial_integral(0.0, from, speed, clamp) + radial_integral(0.0, to, speed, clamp)
    } else {
        radial_integral(from.min(to), from.max(to), speed, clamp)
    };
    Seconds::from_s(60.0 * minutes_per_feed / feed.mm() * (path / change.mm()))
}

/// `∫ dr / n(r)` from `inner` to `outer` millimeters, both at or above zero, in mm·min.
fn radial_integral(inner: f64, outer: f64, speed: SurfaceSpeed, clamp: SpindleSpeed) -> f64 {
    let (speed, clamp) = (speed.m_per_min() * 1000.0, clamp.rpm());
    let clamped_within = speed / (2.0 * PI * clamp);
    let clamped = (outer.min(clamped_within) - inner.min(clamped_within)) / clamp;
    if outer > clamped_within {
        let inner = inner.max(clamped_within);
        clamped + PI * (outer - inner) * (outer + inner) / speed
    } else {
        clamped
    }
}

/// Time in which the spindle changes its speed, taken as a steady ramp.
///
/// `full_time · |change| / full`, where `full_time` is what the lathe needs from standing to
/// `full` speed, or back.
/// Valid: full speed above zero and full time not negative, else infinite seconds; no change takes
/// no time. The ramp is a simplification: with constant power the last part of a run-up is slower.
/// Source: uniformly accelerated rotation; from memory.
/// Held to: `handbook/motion.toml`.
pub fn ramp_time(change: SpindleSpeed, full: SpindleSpeed, full_time: Seconds) -> Seconds {
    let (change, full, full_time) = (change.rpm().abs(), full.rpm(), full_time.s());
    if change == 0.0 {
        return Seconds::default();
    }
    let time = full_time * (change / full);
    if full > 0.0 && full_time >= 0.0 && !time.is_nan() { Seconds::from_s(time) } else { NEVER }
}

/// Time of a path in mm at a speed in mm/s.
fn time_of(path: f64, speed: f64) -> Seconds {
    if path == 0.0 {
        Seconds::default()
    } else if speed > 0.0 {
        Seconds::from_s(path / speed)
    } else {
        NEVER
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cut(from: (f64, f64), to: (f64, f64)) -> Cut {
        Cut {
            from_r: Length::nearest_mm(from.0),
            from_z: Length::nearest_mm(from.1),
            to_r: Length::nearest_mm(to.0),
            to_z: Length::nearest_mm(to.1),
        }
    }

    /// The same time by Simpson's rule over pieces that end where the law changes.
    fn by_simpson(cut: &Cut, feed: f64, speed: f64, clamp: f64) -> f64 {
        let (r0, r1) = (cut.from_r.mm(), cut.to_r.mm());
        let clamped_within = 1000.0 * speed / (2.0 * PI * clamp);
        let turns = |t: f64| {
            let r = (r0 + (r1 - r0) * t).abs();
            clamp.min(1000.0 * speed / (2.0 * PI * r.max(1e-300)))
        };
        let mut ends: Vec<f64> = [-clamped_within, 0.0, clamped_within]
            .iter()
            .map(|r| (r - r0) / (r1 - r0))
            .filter(|t| *t > 0.0 && *t < 1.0)
            .chain([0.0, 1.0])
            .collect();
        ends.sort_by(f64::total_cmp);
        let pieces = ends.windows(2).map(|end| {
            let (a, b) = (end[0], end[1]);
            (b - a) / 6.0 * (1.0 / turns(a) + 4.0 / turns(f64::midpoint(a, b)) + 1.0 / turns(b))
        });
        60.0 * cut.path_mm() / feed * pieces.sum::<f64>()
    }

    proptest! {
        #[test]
        fn surface_speed_time_is_the_integral(
            from in (-60.0_f64..60.0, -50.0_f64..50.0),
            to in (-60.0_f64..60.0, -50.0_f64..50.0),
            (feed, speed, clamp) in (0.01_f64..0.5, 20.0_f64..400.0, 200.0_f64..6000.0),
        ) {
            let cut = cut(from, to);
            let expected = by_simpson(&cut, feed, speed, clamp);
            let time = surface_speed_time(
                &cut,
                FeedPerRev::from_mm(feed),
                SurfaceSpeed::from_m_per_min(speed),
                SpindleSpeed::from_rpm(clamp),
            );
            prop_assert!((time.s() - expected).abs() <= 1e-9 * expected, "{time} {expected}");
        }

        #[test]
        fn nothing_is_not_a_number(
            length in any::<i64>(),
            other in any::<i64>(),
            (a, b, c) in (odd_number(), odd_number(), odd_number()),
        ) {
            let (length, other) = (Length::from_nm(length), Length::from_nm(other));
            let cut = Cut { from_r: length, from_z: other, to_r: other, to_z: Length::ZERO };
            let (feed, speed) = (FeedPerRev::from_mm(a), SpindleSpeed::from_rpm(b));
            let surface = SurfaceSpeed::from_m_per_min(c);
            let rate = FeedRate::from_mm_per_min(a);
            for seconds in [
                rapid_time(length, rate, Acceleration::from_m_per_s2(b)),
                feed_per_minute_time(length, rate),
                feed_per_revolution_time(length, feed, speed),
                surface_speed_time(&cut, feed, surface, speed),
                ramp_time(SpindleSpeed::from_rpm(a), speed, Seconds::from_s(c)),
            ] {
                prop_assert!(seconds.s() >= 0.0, "{seconds}");
            }
            prop_assert!(spindle_speed(surface, length, speed).rpm() >= 0.0);
        }
    }

    fn odd_number() -> impl Strategy<Value = f64> {
        prop_oneof![
            -1e6_f64..1e6,
            Just(0.0),
            Just(f64::NAN),
            Just(f64::INFINITY),
            Just(f64::MIN_POSITIVE),
            Just(f64::MAX),
        ]
    }

    #[test]
    fn a_standing_spindle_never_ends_a_feed_per_revolution() {
        let feed = FeedPerRev::from_mm(0.1);
        let still = SpindleSpeed::default();
        assert!(feed_per_revolution_time(Length::from_mm(5), feed, still).s().is_infinite());
        assert_eq!(feed_per_revolution_time(Length::ZERO, feed, still), Seconds::default());
    }
}
