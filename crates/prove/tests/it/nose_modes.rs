//! Switching the nose radius offset on and off, and what is known ahead.

use crate::contour::{Contour, follow, nose, spot, xz};
use model::Length;
use proptest::prelude::*;
use prove::action::{Arc, Feed, Path};
use prove::event::Point;
use prove::nose::{Follower, HELD, Leg, Outside, Side, Trouble};

/// A follower with what it told so far.
struct Shown {
    follower: Follower,
    moves: Vec<Leg>,
    troubles: Vec<Trouble>,
}

impl Shown {
    fn new(radius: f64, tip: u8, side: Side) -> Shown {
        let follower = Follower::new(nose(radius, tip), side, Outside::Straight);
        Shown { follower, moves: Vec::new(), troubles: Vec::new() }
    }

    fn with(
        &mut self,
        ask: impl FnOnce(&mut Follower, &mut Vec<Leg>, &mut Vec<(prove::event::Spot, Trouble)>),
    ) {
        let mut troubles = Vec::new();
        ask(&mut self.follower, &mut self.moves, &mut troubles);
        self.troubles.extend(troubles.into_iter().map(|(_, trouble)| trouble));
    }

    fn push(&mut self, contour: &Contour) {
        for leg in &contour.legs {
            self.with(|follower, out, troubles| follower.push(*leg, out, troubles));
        }
    }

    fn settle(&mut self) {
        self.with(Follower::settle);
    }

    fn cancel(&mut self, leg: Option<Leg>) {
        self.with(|follower, out, troubles| follower.cancel(leg, out, troubles));
    }

    fn ends(&self) -> Vec<String> {
        let text = |length: Length| length.text(model::Units::Mm, 3);
        self.moves.iter().map(|leg| format!("{} {}", text(leg.to.r * 2), text(leg.to.z))).collect()
    }

    fn goes_on(&self) {
        for pair in self.moves.windows(2) {
            assert_eq!(pair[0].to, pair[1].from);
        }
    }
}

/// OD toward the chuck: a start-up move down to X20 Z0, a cylinder.
fn cylinder() -> Contour {
    Contour::from(30.0, 5.0).line(20.0, 0.0).line(20.0, -10.0)
}

#[test]
fn off_with_a_move() {
    let mut shown = Shown::new(0.8, 3, Side::Right);
    let contour = cylinder().rapid(50.0, 10.0);
    let off = contour.legs.last().unwrap();
    shown.push(&cylinder());
    shown.cancel(Some(*off));
    // Square to the cylinder's end, then to the point as programmed.
    assert_eq!(shown.ends(), ["20.000 -0.800", "20.000 -10.800", "50.000 10.000"]);
    assert_eq!(shown.troubles, []);
    assert_eq!(shown.moves[2].path, Path::Rapid);
    assert_eq!(shown.moves[2].spot, off.spot);
    assert_eq!(shown.follower, Follower::new(nose(0.8, 3), Side::Right, Outside::Straight));
    shown.goes_on();
}

#[test]
fn off_without_a_move() {
    let mut shown = Shown::new(0.8, 3, Side::Right);
    shown.push(&cylinder());
    shown.cancel(None);
    assert_eq!(shown.ends(), ["20.000 -0.800", "20.000 -10.800", "20.000 -10.000"]);
    shown.goes_on();
    let mut never = Shown::new(0.8, 3, Side::Right);
    never.cancel(None);
    assert_eq!(never.ends(), Vec::<String>::new());
}

#[test]
fn off_before_anything_was_followed() {
    let mut shown = Shown::new(0.8, 3, Side::Right);
    shown.cancel(cylinder().legs.first().copied());
    assert_eq!(shown.ends(), ["20.000 0.000"]);
}

#[test]
fn on_and_off_for_an_arc() {
    let mut shown = Shown::new(0.8, 3, Side::Right);
    shown.push(&Contour::from(14.0, 0.0).arc(20.0, -3.0, 3.0, true));
    assert_eq!(shown.troubles, [Trouble::StartOnArc]);
    assert_eq!(shown.ends(), ["20.000 -3.000"]);

    let mut shown = Shown::new(0.8, 3, Side::Right);
    shown.push(&cylinder());
    let arc = Contour::from(20.0, -10.0).arc(26.0, -13.0, 3.0, false);
    shown.cancel(arc.legs.first().copied());
    assert_eq!(shown.troubles, [Trouble::EndOnArc]);
    assert_eq!(shown.ends().last().map(String::as_str), Some("26.000 -13.000"));
    shown.goes_on();
}

#[test]
fn a_start_shorter_than_the_radius() {
    for (start, troubles) in [(0.8, vec![]), (0.799_999, vec![Trouble::StartTooShort])] {
        let contour = Contour::from(20.0, start).line(20.0, 0.0).line(20.0, -10.0);
        let mut shown = Shown::new(0.8, 3, Side::Right);
        shown.push(&contour);
        shown.settle();
        assert_eq!(shown.troubles, troubles, "{start}");
    }
}

#[test]
fn moves_keep_their_own_block_feed_and_path() {
    let contour = cylinder().line(40.0, -10.0).rapid(40.0, 5.0);
    let followed = follow(&contour, nose(0.8, 3), Side::Right, Outside::Straight);
    for (moved, leg) in followed.moves.iter().zip(&contour.legs) {
        assert_eq!((moved.spot, moved.feed, moved.path), (leg.spot, leg.feed, leg.path));
    }
    assert_eq!(followed.moves.len(), contour.legs.len());
}

#[test]
fn no_more_legs_wait_than_told() {
    let mut shown = Shown::new(0.8, 3, Side::Right);
    let mut contour = cylinder();
    for step in 1..20 {
        contour = contour.line(20.0 + 4.0 * f64::from(step), -10.0 - 3.0 * f64::from(step));
    }
    for (index, leg) in contour.legs.iter().enumerate() {
        shown.with(|follower, out, troubles| follower.push(*leg, out, troubles));
        assert_eq!(shown.moves.len(), (index + 1).saturating_sub(HELD));
    }
    shown.settle();
    assert_eq!(shown.moves.len(), contour.legs.len());
}

/// With nothing known ahead the nose stands square to the end of its leg, and in the way of a
/// wall that comes next; at an outside corner it is not.
#[test]
fn a_corner_not_known_ahead() {
    let wall = Contour::from(20.0, -10.0).line(40.0, -10.0);
    let mut shown = Shown::new(0.8, 3, Side::Right);
    shown.push(&cylinder());
    shown.settle();
    assert_eq!(shown.ends(), ["20.000 -0.800", "20.000 -10.800"]);
    shown.push(&wall);
    shown.settle();
    assert_eq!(shown.troubles, [Trouble::Overcut]);
    // Back to where it should have stopped: the tip in the corner.
    assert_eq!(shown.ends()[2..], ["20.000 -10.000", "38.400 -10.000"]);
    shown.goes_on();

    let mut shown = Shown::new(0.8, 3, Side::Right);
    shown.push(&cylinder());
    shown.settle();
    shown.push(&Contour::from(20.0, -10.0).line(10.0, -10.0));
    shown.settle();
    assert_eq!(shown.troubles, []);
    // On to the extended corner X21.6 Z-10.8 of the center, the tip 0.8 less in both.
    assert_eq!(shown.ends()[1..], ["20.000 -10.800", "20.000 -11.600", "8.400 -11.600"]);
    shown.goes_on();
}

/// A leg too short for the corner behind it, when what is before it is already cut.
#[test]
fn a_short_leg_not_known_ahead() {
    let mut shown = Shown::new(0.8, 0, Side::Right);
    shown.push(&cylinder());
    shown.settle();
    shown.push(&Contour::from(20.0, -10.0).line(20.0, -10.3).line(40.0, -10.3));
    shown.settle();
    assert_eq!(shown.troubles, [Trouble::Overcut]);
    // The wall asks for Z-9.5, half a millimeter back.
    assert_eq!(shown.ends()[1..], ["21.600 -10.000", "21.600 -9.500", "40.000 -9.500"]);
    shown.goes_on();
}

/// What does not begin where the last move ended is a new beginning: straight to its perpendicular.
#[test]
fn a_leg_that_begins_elsewhere() {
    let mut shown = Shown::new(0.8, 0, Side::Right);
    shown.push(&cylinder());
    shown.push(&Contour::from(30.0, -12.0).line(50.0, -12.0));
    shown.settle();
    assert_eq!(shown.troubles, []);
    assert_eq!(shown.ends()[1..], ["21.600 -10.000", "30.000 -11.200", "50.000 -11.200"]);
    shown.goes_on();
}

/// A rapid makes no arc, and what is added between a rapid and a cut is no rapid.
#[test]
fn outside_corners_with_rapids() {
    let at_corner = |contour: Contour| {
        let followed = follow(&contour, nose(0.8, 0), Side::Right, Outside::Round);
        assert_eq!(followed.troubles, []);
        followed.moves[1..].iter().map(|leg| (leg.spot.block, leg.path)).collect::<Vec<_>>()
    };
    let from = || Contour::from(30.0, 5.0).line(20.0, 0.0);
    let rapids = at_corner(from().rapid(20.0, -10.0).rapid(10.0, -10.0));
    assert_eq!(rapids, [(1, Path::Rapid), (2, Path::Rapid)]);
    for (contour, block) in [
        (from().rapid(20.0, -10.0).line(10.0, -10.0), 2),
        (from().line(20.0, -10.0).rapid(10.0, -10.0), 1),
    ] {
        let moves = at_corner(contour);
        assert!(matches!(moves[..], [_, (of, Path::Arc(_)), _] if of == block), "{moves:?}");
    }
}

/// Where an arc's end as written lies beside that of its angle, within what controls allow, the
/// point counts: the line behind it begins there.
#[test]
fn an_arc_with_a_rounded_end() {
    for error in [-2e-4, 2e-4] {
        let mut contour = Contour::from(10.0, 5.0)
            .line(14.0, 0.0)
            .about((7.0, -3.0), std::f64::consts::FRAC_PI_2)
            .line(20.0, -10.0);
        let Path::Arc(arc) = contour.legs[1].path else { panic!("an arc was written") };
        contour.legs[1].path = Path::Arc(Arc { turn: arc.turn + error, ..arc });
        let followed = follow(&contour, nose(0.8, 0), Side::Right, Outside::Round);
        assert_eq!(followed.ends(4), ["14.0000 0.8000", "21.6000 -3.0000", "21.6000 -10.0000"]);
    }
}

#[test]
fn from_one_side_to_the_other() {
    let mut shown = Shown::new(0.8, 0, Side::Right);
    shown.push(&cylinder());
    shown.with(|follower, out, troubles| {
        follower.change(nose(0.8, 0), Side::Left, out, troubles);
    });
    // The new start-up move goes to the perpendicular at the start of the next leg.
    shown.push(&Contour::from(20.0, -10.0).line(30.0, -10.0).line(30.0, 0.0));
    shown.settle();
    assert_eq!(shown.troubles, []);
    assert_eq!(shown.ends(), ["21.600 0.000", "21.600 -10.000", "31.600 -10.000", "31.600 0.000"]);
    shown.goes_on();
}

#[test]
fn off_right_behind_a_change() {
    let mut shown = Shown::new(0.8, 0, Side::Right);
    shown.push(&cylinder());
    shown.with(|follower, out, troubles| {
        follower.change(nose(0.4, 0), Side::Right, out, troubles);
    });
    shown.cancel(None);
    assert_eq!(shown.ends(), ["21.600 0.000", "21.600 -10.000", "20.000 -10.000"]);
}

#[test]
fn a_move_without_offset_between() {
    let mut shown = Shown::new(0.8, 0, Side::Right);
    shown.push(&cylinder());
    let mut stands = None;
    shown.with(|follower, out, troubles| stands = follower.suspend(out, troubles));
    assert_eq!(stands, Some(xz(21.6, -10.0)));
    // From the home position it starts up as at first.
    shown.push(&Contour::from(200.0, 100.0).rapid(20.0, 0.0).line(20.0, -10.0));
    shown.settle();
    assert_eq!(shown.ends()[2..], ["21.600 0.000", "21.600 -10.000"]);
    assert_eq!(shown.moves[2].from, xz(200.0, 100.0));
}

#[test]
fn moves_without_length_change_nothing() {
    let plain = follow(&cylinder(), nose(0.8, 3), Side::Right, Outside::Straight);
    let stays = Contour::from(30.0, 5.0)
        .line(30.0, 5.0)
        .line(20.0, 0.0)
        .rapid(20.0, 0.0)
        .line(20.0, -10.0)
        .line(20.0, -10.0);
    let with = follow(&stays, nose(0.8, 3), Side::Right, Outside::Straight);
    assert_eq!(with.ends(6), plain.ends(6));
    assert_eq!(with.troubles, plain.troubles);
}

#[test]
fn a_nose_without_radius_follows_the_program() {
    let contour = cylinder().line(40.0, -12.0).arc(46.0, -15.0, 3.0, true).line(46.0, -30.0);
    let followed = follow(&contour, nose(0.0, 3), Side::Right, Outside::Straight);
    let ends: Vec<Point> = followed.moves.iter().map(|leg| leg.to).collect();
    assert_eq!(ends, contour.legs.iter().map(|leg| leg.to).collect::<Vec<_>>());
    assert_eq!(followed.troubles, []);
}

#[test]
fn there_and_back_goes_around_the_end() {
    let contour = cylinder().line(20.0, 0.0);
    let followed = follow(&contour, nose(0.8, 0), Side::Right, Outside::Straight);
    let ends = ["21.600 0.000", "21.600 -10.800", "18.400 -10.800", "18.400 0.000"];
    assert_eq!(followed.ends(3), ends);
    assert_eq!(followed.troubles, []);
}

fn any_figure() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -3.0..3.0,
        1 => Just(0.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => -1e300..1e300,
    ]
}

fn any_length() -> impl Strategy<Value = Length> {
    prop_oneof![
        6 => (-3_i64..4).prop_map(Length::from_mm),
        3 => (-3_000_000_i64..3_000_000).prop_map(Length::from_nm),
        1 => any::<i64>().prop_map(Length::from_nm),
        1 => Just(Length::from_nm(i64::MIN)),
    ]
}

fn any_path() -> impl Strategy<Value = Path> {
    let arc = ((any_figure(), any_figure()), any_figure(), any_figure());
    prop_oneof![
        Just(Path::Rapid),
        Just(Path::Line),
        arc.prop_map(|(center, radius, turn)| Path::Arc(Arc { center, radius, turn })),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(600) })]

    /// Whatever comes, the moves go on from one another, and the state stays equal to its copy,
    /// which no figure that is not a number would.
    #[test]
    fn nothing_breaks_it(
        radius in any_length(), tip in 0_u8..12, left: bool, round: bool,
        pushes in prop::collection::vec((any_length(), any_length(), any_path(), 0_u8..13), 1..40),
    ) {
        let side = if left { Side::Left } else { Side::Right };
        let outside = if round { Outside::Round } else { Outside::Straight };
        let nose = prove::nose::Nose { radius, tip };
        let mut follower = Follower::new(nose, side, outside);
        let (mut moves, mut troubles) = (Vec::new(), Vec::new());
        let mut from = xz(0.0, 0.0);
        let mut suspended = false;
        for (block, (r, z, path, what)) in pushes.into_iter().enumerate() {
            let to = Point { r, z };
            let leg = Leg { from, to, path, feed: Feed::None, spot: spot(block), serial: 0 };
            match what {
                0 => follower.settle(&mut moves, &mut troubles),
                1 => follower.cancel(Some(leg), &mut moves, &mut troubles),
                2 => follower.cancel(None, &mut moves, &mut troubles),
                12 => suspended |= follower.suspend(&mut moves, &mut troubles).is_some(),
                3 => follower.change(nose, side, &mut moves, &mut troubles),
                _ => follower.push(leg, &mut moves, &mut troubles),
            }
            if !matches!(what, 0 | 2 | 3 | 12) {
                from = to;
            }
            prop_assert_eq!(&follower, &follower.clone());
        }
        follower.settle(&mut moves, &mut troubles);
        prop_assert!(moves.len() <= 8 * 40);
        for pair in moves.windows(2) {
            prop_assert!(suspended || pair[0].to == pair[1].from);
        }
    }
}
