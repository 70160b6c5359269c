//! The arcs that G2 and G3 ask for against those of `kurbo`, a general library of plane curves
//! that knows nothing of lathes: its conversion of an arc given by its ends and radius, and its
//! lengths. Z is its x and the radius its y, so that its positive angles are counter-clockwise
//! with X up and Z to the right.

use crate::folder::Folder;
use kurbo::{Affine, Arc, Line, ParamCurve, ParamCurveArclen, Point, Shape, SvgArc, Vec2};
use model::files::Control;
use model::{Files, Length, Source, Units};
use nc::program::Library;
use proptest::prelude::*;
use prove::Setup;
use prove::event::{Moment, Motion, What};
use prove::lathe::Shown;
use prove::run::{Order, Run};
use std::f64::consts::{PI, TAU};

/// What a program's last move was: the move, how long it took in seconds, and whether the control
/// refused an arc.
struct Told {
    motion: Motion,
    seconds: f64,
    refused: bool,
}

fn told_in(setup: &Setup, program: &str) -> Told {
    let library = Library::new(vec![nc::read::read(&Source::new("arc.nc", program))]);
    let (mut last, mut refused) = (None, false);
    let mut tell = |moment: &Moment<'_>| match moment.what {
        What::Move(motion) | What::Cut(motion) => {
            last = Some((motion, moment.after.now - moment.before.now));
        }
        What::NoArc => refused = true,
        _ => {}
    };
    Run::new(&library, setup, Shown::default(), Order::Latest).finish(&mut tell);
    let (motion, seconds) = last.unwrap();
    Told { motion, seconds, refused }
}

fn bare() -> Setup {
    let source = Folder::of_tests("shop").read("control.toml").unwrap();
    Setup::bare(Control::read(&source).value.unwrap())
}

/// 100 mm/min along the path.
fn told(from: (i64, i64), block: &str) -> Told {
    let (x, z) = (place(2 * from.0), place(from.1));
    told_in(&bare(), &format!("G21 G98 F100.\nG0 X{x} Z{z}\n{block}\nM30\n"))
}

/// Micrometers as a place in millimeters.
fn place(um: i64) -> String {
    Length::from_um(um).text(Units::Mm, 3)
}

/// Radius and Z in micrometers as a point of the library.
fn point((r, z): (i64, i64)) -> Point {
    Point::new(z as f64 / 1000.0, r as f64 / 1000.0)
}

/// How far a length or place may be off, in millimeters: a tenth of what the control can say.
const NEAR: f64 = 1e-4;

/// Holds what was told against an arc of the library; gives what differs.
fn differs(told: &Told, arc: &Arc) -> Option<String> {
    let Some(ours) = told.motion.arc else { return Some("no arc was told".into()) };
    let center = Point::new(ours.center.1, ours.center.0);
    let length: f64 = arc.path_segments(1e-9).map(|segment| segment.arclen(1e-9)).sum();
    let rows = [
        ("center", center.distance(arc.center), NEAR),
        ("radius", (ours.radius - arc.radii.x).abs(), NEAR),
        ("turn", (ours.turn - arc.sweep_angle).abs() * arc.radii.x, NEAR),
        ("length", (ours.length() - length).abs(), NEAR),
        ("time", (told.seconds * 100.0 / 60.0 - length).abs(), NEAR),
    ];
    let off = rows.into_iter().find(|(_, off, within)| off > within || off.is_nan());
    off.map(|(what, off, _)| format!("{what} is off by {off}: {ours:?}, {arc:?}"))
}

/// A place between -60 and 60 mm off the axis and along it.
fn anywhere() -> impl Strategy<Value = (i64, i64)> {
    (-60_000_i64..60_000, -60_000_i64..60_000)
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(600)
    })]

    /// The form with R: short arcs, and long ones where R is negative.
    #[test]
    fn an_arc_by_its_radius_is_that_of_the_library(
        from in anywhere(),
        to in anywhere(),
        over in 1.0_f64..4.0,
        long in any::<bool>(),
        clockwise in any::<bool>(),
    ) {
        let chord = point(from).distance(point(to));
        prop_assume!(chord > 0.01);
        let radius = (chord * 500.0 * over).ceil() as i64;
        // What the library takes must be what the control reads: whole micrometers.
        let size = radius as f64 / 1000.0;
        let svg = SvgArc {
            from: point(from),
            to: point(to),
            radii: Vec2::new(size, size),
            x_rotation: 0.0,
            large_arc: long,
            sweep: !clockwise,
        };
        let arc = Arc::from_svg_arc(&svg).unwrap();
        let word = if clockwise { "G2" } else { "G3" };
        let said = place(if long { -radius } else { radius });
        let block = format!("{word} X{} Z{} R{said}", place(2 * to.0), place(to.1));
        let told = told(from, &block);
        prop_assert!(!told.refused);
        let off = differs(&told, &arc);
        prop_assert!(off.is_none(), "{} from {from:?}: {}", block, off.unwrap_or_default());
    }

    /// The form with I and K: the end is where the library's rotation takes the start, rounded as a
    /// program must write it.
    #[test]
    fn an_arc_by_its_center_is_that_of_the_library(
        from in anywhere(),
        (i, k) in (-40_000_i64..40_000, -40_000_i64..40_000),
        turn in 0.02_f64..6.26,
        clockwise in any::<bool>(),
    ) {
        let start = point(from);
        let center = start + point((i, k)).to_vec2();
        prop_assume!(center.distance(start) > 0.1);
        let sweep = if clockwise { -turn } else { turn };
        let end = Affine::rotate_about(sweep, center) * start;
        let to = ((end.y * 1000.0).round() as i64, (end.x * 1000.0).round() as i64);
        let between = (point(to) - center).atan2() - (start - center).atan2();
        let whole = (sweep - between) / TAU;
        let size = center.distance(start);
        let arc = Arc {
            center,
            radii: Vec2::new(size, size),
            start_angle: (start - center).atan2(),
            sweep_angle: between + TAU * whole.round(),
            x_rotation: 0.0,
        };
        let word = if clockwise { "G2" } else { "G3" };
        let (x, z) = (place(2 * to.0), place(to.1));
        let block = format!("{word} X{x} Z{z} I{} K{}", place(i), place(k));
        let told = told(from, &block);
        prop_assert!(!told.refused);
        let off = differs(&told, &arc);
        prop_assert!(off.is_none(), "{block} from {from:?}: {}", off.unwrap_or_default());
    }

    /// Under a constant surface speed the feed along an arc follows the diameter: the library's
    /// curve in small pieces, each at the speed of its middle (D4: n = 1000·v/(π·D), at most the
    /// clamp).
    #[test]
    fn an_arc_at_constant_surface_speed_takes_the_time_of_its_pieces(
        r in 8_000_i64..40_000,
        radius in 2_000_i64..6_000,
        clamp in 500_u32..4000,
    ) {
        let program = format!(
            "G21 G99\nG50 S{clamp}\nG96 S150 M3\nG0 X{} Z0.\nG3 X{} Z-{size} R{size} F.2\nM30\n",
            place(2 * r),
            place(2 * (r + radius)),
            size = place(radius),
        );
        let told = told_in(&bare(), &program);
        let size = radius as f64 / 1000.0;
        let svg = SvgArc {
            from: point((r, 0)),
            to: point((r + radius, -radius)),
            radii: Vec2::new(size, size),
            x_rotation: 0.0,
            large_arc: false,
            sweep: true,
        };
        let arc = Arc::from_svg_arc(&svg).unwrap();
        let minutes: f64 = arc
            .path_segments(1e-9)
            .flat_map(|segment| {
                let pieces = 2000;
                (0..pieces).map(move |index| {
                    let at = |index: i32| f64::from(index) / f64::from(pieces);
                    let (a, b) = (segment.eval(at(index)), segment.eval(at(index + 1)));
                    let diameter = a.y + b.y;
                    let turns = (150_000.0 / (PI * diameter)).min(f64::from(clamp));
                    Line::new(a, b).arclen(1e-12) / (0.2 * turns)
                })
            })
            .sum();
        let seconds = minutes * 60.0;
        prop_assert!((told.seconds / seconds - 1.0).abs() < 1e-4, "{} {seconds}", told.seconds);
    }
}

/// Rows C1 to C6 (computed; C6 found in NISTIR 6556 §3.5.3.2 for the plane of a mill, turned here
/// into that of a lathe: its X is our Z, its Y our radius): start X Z, block, center X Z, sweep in
/// degrees, counter-clockwise positive. C7 and C8 stand in `nc_checks.rs`.
#[test]
fn rows_c1_to_c6() {
    let rows = [
        ((20.0, 0.0), "G3 X30. Z-5. R5.", (20.0, -5.0), 90.0),
        ((20.0, 0.0), "G3 X30. Z-5. I0. K-5.", (20.0, -5.0), 90.0),
        ((20.0, -10.0), "G2 X40. Z-20. R15.", (48.7083, -5.6459), -56.2510),
        ((20.0, -10.0), "G2 X40. Z-20. I14.3541 K4.3541", (48.7083, -5.6459), -56.2510),
        ((20.0, -10.0), "G3 X40. Z-20. R15.", (11.2917, -24.3541), 56.2510),
        ((20.0, -10.0), "G3 X40. Z-20. I-4.3541 K-14.3541", (11.2917, -24.3541), 56.2510),
        ((0.0, 0.0), "G3 X20. Z-10. R10.", (0.0, -10.0), 90.0),
        ((30.0, -10.0), "G2 X30. Z-34. R13.", (40.0, -22.0), -134.7603),
        ((14.0, 7.0), "G2 X32. Z10. I4. K3.", (22.0, 10.0), 0.0),
    ];
    for ((x, z), block, center, sweep) in rows {
        let program = format!("G21 G98 F100.\nG0 X{x:.1} Z{z:.1}\n{block}\nM30\n");
        let told = told_in(&bare(), &program);
        let arc = told.motion.arc.unwrap();
        let near = |one: f64, other: f64| (one - other).abs() <= 1e-3;
        assert!(
            near(arc.center.0 * 2.0, center.0) && near(arc.center.1, center.1),
            "{block} {arc:?}"
        );
        if sweep == 0.0 {
            // C6 gives no sweep, but the same radius at both ends.
            assert!(near(arc.radius, 5.0) && arc.turn < 0.0, "{arc:?}");
        } else {
            assert!(near(arc.turn.to_degrees(), sweep), "{block} {arc:?}");
        }
    }
    // C5: the smallest X.
    let arc = told((15_000, -10_000), "G2 X30. Z-34. R13.").motion.arc.unwrap();
    assert!(((arc.center.0 - arc.radius) * 2.0 - 14.0).abs() < 1e-9);
}
