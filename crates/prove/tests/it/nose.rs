//! The nose radius offset against worked examples. The rows and their flags are those of the
//! project's list of worked NC checks.

use crate::contour::{Contour, Followed, follow, nose};
use model::Length;
use prove::action::Path;
use prove::nose::{Leg, Outside, Side, Trouble};
use std::f64::consts::FRAC_PI_2;

/// Row C18 (computed, linear connection).
#[test]
fn a_cone_and_a_cylinder() {
    let contour = Contour::from(40.0, 5.0).line(20.0, 0.0).line(30.0, -20.0).line(30.0, -40.0);
    let followed = follow(&contour, nose(0.8, 3), Side::Right, Outside::Straight);
    assert_eq!(followed.ends(4), ["19.9522 -0.6060", "30.0000 -20.7015", "30.0000 -40.8000"]);
    assert_eq!(followed.troubles, []);
}

/// Row C19 (computed).
#[test]
fn chamfer_cylinder_and_cone() {
    let contour = Contour::from(30.0, 5.0)
        .rapid(18.0, 0.0)
        .line(20.0, -1.0)
        .line(20.0, -30.0)
        .line(30.0, -35.0);
    let followed = follow(&contour, nose(0.4, 3), Side::Right, Outside::Straight);
    let ends = ["17.7657 -0.1172", "20.0000 -1.2343", "20.0000 -30.2343", "29.7657 -35.1172"];
    assert_eq!(followed.ends(4), ends);
    assert_eq!(followed.troubles, []);
}

/// Row C20 (computed).
#[test]
fn a_tapered_bore() {
    let contour = Contour::from(28.0, 5.0).line(30.0, 0.0).line(25.0, -10.0).line(25.0, -30.0);
    let followed = follow(&contour, nose(0.4, 2), Side::Left, Outside::Straight);
    assert_eq!(followed.ends(4), ["30.0239 -0.3030", "25.0000 -10.3508", "25.0000 -30.4000"]);
    assert_eq!(followed.troubles, []);
}

/// A shoulder turned with a nose of 1 mm: the center goes from X22 Z0 to X22 Z-9 to X40 Z-9, the
/// tip beside it as the table of tip numbers says (common practice, from memory).
#[test]
fn every_tip_number() {
    let contour = Contour::from(30.0, 5.0).line(20.0, 0.0).line(20.0, -10.0).line(40.0, -10.0);
    let rows = [
        (0, ["22 0", "22 -9", "40 -9"]),
        (1, ["24 1", "24 -8", "42 -8"]),
        (2, ["24 -1", "24 -10", "42 -10"]),
        (3, ["20 -1", "20 -10", "38 -10"]),
        (4, ["20 1", "20 -8", "38 -8"]),
        (5, ["22 1", "22 -8", "40 -8"]),
        (6, ["24 0", "24 -9", "42 -9"]),
        (7, ["22 -1", "22 -10", "40 -10"]),
        (8, ["20 0", "20 -9", "38 -9"]),
        (9, ["22 0", "22 -9", "40 -9"]),
    ];
    for (tip, ends) in rows {
        let followed = follow(&contour, nose(1.0, tip), Side::Right, Outside::Straight);
        assert_eq!(followed.ends(0), ends, "tip {tip}");
        assert_eq!(followed.troubles, [], "tip {tip}");
    }
}

/// The center's path beside a corner at X20 Z-10 that a line along Z comes to, by a nose of 1 mm
/// on the right; arithmetic beside each row.
#[test]
fn each_kind_of_corner() {
    let corner = || Contour::from(30.0, 5.0).line(20.0, 0.0).line(20.0, -10.0);
    let quarter = FRAC_PI_2;
    let rows: [(&str, Contour, &[&str], &[&str]); 7] = [
        ("inside, line", corner().line(40.0, -10.0), &["22.0000 -9.0000"], &["22.0000 -9.0000"]),
        (
            "outside by 90°, line",
            corner().line(10.0, -10.0),
            &["22.0000 -11.0000"],
            &["22.0000 -10.0000", "20.0000 -11.0000"],
        ),
        (
            // Straight: 1 beyond the corner, then to 1 before the end of the perpendicular,
            // (-10 - √2/2, 10 - √2/2) + (-√2/2, √2/2).
            "outside by 135°, line",
            corner().line(10.0, -5.0),
            &["22.0000 -11.0000", "20.0000 -11.4142"],
            &["22.0000 -10.0000", "18.5858 -10.7071"],
        ),
        (
            // Concave: radius 4 about r 10, z -15.
            "outside by 90°, arc",
            corner().about((10.0, -15.0), -quarter),
            &["22.0000 -11.0000", "20.0000 -11.0000"],
            &["22.0000 -10.0000", "20.0000 -11.0000"],
        ),
        (
            // Convex: radius 6 about r 10, z -15 meets r 11 at -15 + √35.
            "inside, convex arc",
            corner().about((10.0, -15.0), quarter),
            &["22.0000 -9.0839"],
            &["22.0000 -9.0839"],
        ),
        (
            // Concave: radius 4 about r 10, z -5 meets r 11 at -5 - √15.
            "inside, concave arc",
            corner().about((10.0, -5.0), -quarter),
            &["22.0000 -8.8730"],
            &["22.0000 -8.8730"],
        ),
        (
            "tangent, convex arc",
            corner().about((5.0, -10.0), quarter),
            &["22.0000 -10.0000"],
            &["22.0000 -10.0000"],
        ),
    ];
    for (name, contour, straight, round) in rows {
        for (outside, ends) in [(Outside::Straight, straight), (Outside::Round, round)] {
            let followed = follow(&contour, nose(1.0, 0), Side::Right, outside);
            let all = followed.ends(4);
            assert_eq!(&all[1..all.len() - 1], ends, "{name}, {outside:?}");
            assert_eq!(followed.troubles, [], "{name}, {outside:?}");
        }
    }
}

/// Two humps of radius 5 whose circles meet at r 3, z -4: those of radius 6 meet at r √20.
#[test]
fn two_arcs_inside() {
    let angle = libm::atan2(3.0, 4.0);
    let contour = Contour::from(10.0, 9.0)
        .line(10.0, 0.0)
        .about((0.0, 0.0), FRAC_PI_2 - angle)
        .about((0.0, -8.0), FRAC_PI_2 - angle);
    let followed = follow(&contour, nose(1.0, 0), Side::Right, Outside::Round);
    assert_eq!(followed.ends(4), ["12.0000 0.0000", "8.9443 -4.0000", "12.0000 -8.0000"]);
    assert_eq!(followed.troubles, []);
}

fn radii(followed: &Followed) -> Vec<f64> {
    let radius = |leg: &Leg| match leg.path {
        Path::Arc(arc) => Some((arc.radius * 1e6).round() / 1e6),
        _ => None,
    };
    followed.moves.iter().filter_map(radius).collect()
}

/// Row C21 (computed).
#[test]
fn radii_of_arcs() {
    let convex =
        Contour::from(10.0, 5.0).line(14.0, 0.0).arc(20.0, -3.0, 3.0, true).line(20.0, -10.0);
    let followed = follow(&convex, nose(0.8, 3), Side::Right, Outside::Straight);
    assert_eq!(radii(&followed), [3.8]);
    assert_eq!(followed.troubles, []);

    let concave = |radius: f64| {
        Contour::from(30.0, 5.0)
            .line(20.0, 0.0)
            .line(20.0, -10.0 + radius)
            .arc(20.0 + 2.0 * radius, -10.0, radius, false)
            .line(40.0, -10.0)
    };
    let followed = follow(&concave(0.5), nose(0.8, 3), Side::Right, Outside::Straight);
    let by = Length::from_um(300);
    assert_eq!(followed.troubles, [(2, Trouble::ArcTooSmall { by })]);
    // On to where the walls themselves meet.
    assert_eq!(followed.ends(3), ["20.000 -0.800", "20.000 -10.000", "38.400 -10.000"]);
    for (radius, left) in [(0.8, vec![]), (0.801, vec![0.001]), (3.0, vec![2.2])] {
        let followed = follow(&concave(radius), nose(0.8, 3), Side::Right, Outside::Straight);
        assert_eq!(followed.troubles, [], "{radius}");
        assert_eq!(radii(&followed), left);
    }
}

/// A groove with square walls, open toward +X.
fn groove(width: f64, depth: f64) -> Contour {
    Contour::from(50.0, 5.0)
        .line(40.0, 0.0)
        .line(40.0, -10.0)
        .line(40.0 - 2.0 * depth, -10.0)
        .line(40.0 - 2.0 * depth, -10.0 - width)
        .line(40.0, -10.0 - width)
        .line(40.0, -20.0)
}

#[test]
fn a_groove_narrower_than_the_nose() {
    for outside in [Outside::Straight, Outside::Round] {
        for depth in [1.0, 5.0] {
            let ask = |width| follow(&groove(width, depth), nose(0.8, 3), Side::Right, outside);
            assert_eq!(ask(1.601).troubles, [], "{depth} {outside:?}");
            assert_eq!(ask(1.6).troubles, [], "as wide as the nose, {depth} {outside:?}");
            // The floor first; on its way out past the edge the nose may be told of again.
            let narrow = ask(1.599).troubles;
            assert_eq!(narrow[0], (3, Trouble::Overcut), "{depth} {outside:?}");
            assert!(narrow.iter().all(|(block, _)| (3..=4).contains(block)), "{narrow:?}");
        }
    }
    // It goes on across: nothing is cut below the surface that the nose touches to both sides.
    let followed = follow(&groove(1.0, 5.0), nose(0.8, 0), Side::Right, Outside::Straight);
    assert!(followed.moves.iter().all(|leg| leg.to.r >= Length::from_um(20_800)), "{followed:?}");
}

#[test]
fn a_groove_with_broken_corners() {
    let broken = |width: f64| {
        let flat = width - 0.6;
        Contour::from(50.0, 5.0)
            .line(40.0, -10.0)
            .line(30.6, -10.0)
            .line(30.0, -10.3)
            .line(30.0, -10.3 - flat)
            .line(30.6, -10.0 - width)
            .line(40.0, -10.0 - width)
    };
    let ask = |width| follow(&broken(width), nose(0.8, 3), Side::Right, Outside::Straight).troubles;
    // Floor: the corners of 135° keep R·tan(22.5°) each; chamfer: as much, and 0.3·√2 is longer
    // than one but not than two of it, so that the nose cannot get at it.
    let needs = 2.0 * 0.8 * (std::f64::consts::PI / 8.0).tan();
    assert!(0.3 * std::f64::consts::SQRT_2 < needs);
    assert_eq!(ask(3.0).first(), Some(&(2, Trouble::Overcut)));
    let small =
        |width| follow(&broken(width), nose(0.4, 3), Side::Right, Outside::Straight).troubles;
    assert_eq!(small(0.6 + 2.0 * 0.4 * (std::f64::consts::PI / 8.0).tan() + 1e-4), []);
    let narrow = 0.6 + 2.0 * 0.4 * (std::f64::consts::PI / 8.0).tan() - 1e-4;
    assert_eq!(small(narrow), [(3, Trouble::Overcut)]);
}

/// An overhang that comes down to the floor as near as told: floor, wall, roof and out.
#[test]
fn two_walls_that_are_no_neighbors() {
    let overhang = |end: f64| {
        Contour::from(30.0, 5.0)
            .line(20.0, 0.0)
            .line(20.0, -6.0)
            .line(26.0, -6.0)
            .line(end, -1.0)
            .line(40.0, -1.0)
    };
    for outside in [Outside::Straight, Outside::Round] {
        let ask = |end| follow(&overhang(end), nose(0.8, 0), Side::Right, outside);
        // The roof's edge 0.45 above the floor; the nose needs 1.6. On the floor, under the
        // roof, and on the way out it cuts into what is opposite.
        let blocks: Vec<u32> = ask(20.9).troubles.iter().map(|(block, _)| *block).collect();
        assert_eq!(blocks, [1, 3, 4], "{outside:?}");
        assert_eq!(ask(24.0).troubles, [], "{outside:?}");
    }
    // Rolling about a roof's edge 1.6 above the floor fits to the micrometer, and not 2 less.
    let ask = |end, outside| follow(&overhang(end), nose(0.8, 0), Side::Right, outside).troubles;
    assert_eq!(ask(23.2, Outside::Round), []);
    assert_eq!(ask(23.196, Outside::Round).first(), Some(&(1, Trouble::Overcut)));
    // Straight extensions go 0.8 beyond the edge, on the falling roof, and so come lower.
    for step in 0..100 {
        let end = 23.2 + 0.01 * f64::from(step);
        let fall = (26.0 - end) / 2.0;
        let center = end / 2.0 - 0.8 * (5.0 + fall) / fall.hypot(5.0);
        let fits = center >= 10.0 + 0.8 - 0.001;
        assert_eq!(ask(end, Outside::Straight).is_empty(), fits, "{end}");
    }
}

#[test]
fn a_step_lower_than_the_nose() {
    let step = |height: f64| {
        Contour::from(30.0, 5.0)
            .line(20.0, 0.0)
            .line(20.0, -10.0)
            .line(20.0 + 2.0 * height, -10.0)
            .line(20.0 + 2.0 * height, -20.0)
    };
    let followed = follow(&step(0.3), nose(0.8, 0), Side::Right, Outside::Straight);
    assert_eq!(followed.troubles, []);
    let ends = ["21.600 0.000", "21.600 -9.200", "22.200 -9.200", "22.200 -20.000"];
    assert_eq!(followed.ends(3), ends);
    // Rolling about the edge the wall would be gone along backward.
    let followed = follow(&step(0.3), nose(0.8, 0), Side::Right, Outside::Round);
    assert_eq!(followed.troubles, [(2, Trouble::Overcut)]);
    // The center then goes from the one surface straight onto the arc about the edge:
    // z = -10 + √(0.8² - 0.5²).
    let ends = ["21.6000 0.0000", "21.6000 -9.3755", "22.2000 -10.0000", "22.2000 -20.0000"];
    assert_eq!(followed.ends(4), ends);
    assert_eq!(follow(&step(0.8), nose(0.8, 0), Side::Right, Outside::Round).troubles, []);
}

/// A path that crosses itself as programmed is no fault of the nose.
#[test]
fn a_loop_in_the_program() {
    let contour = Contour::from(30.0, 5.0)
        .line(20.0, 0.0)
        .line(20.0, -10.0)
        .line(30.0, -10.0)
        .line(16.0, -5.0);
    for outside in [Outside::Straight, Outside::Round] {
        let followed = follow(&contour, nose(0.8, 3), Side::Right, outside);
        assert_eq!(followed.troubles, [], "{outside:?}");
    }
}

/// A quarter of radius 1 in a corner, which begins with a turn of 90°: larger than the nose of
/// 0.8, and yet the nose never gets between it and the line.
#[test]
fn an_arc_that_is_out_of_reach() {
    let there = Contour::from(30.0, 5.0)
        .line(20.0, 0.0)
        .line(20.0, -10.0)
        .about((10.0, -9.0), -FRAC_PI_2)
        .line(40.0, -9.0);
    let followed = follow(&there, nose(0.8, 0), Side::Right, Outside::Straight);
    assert_eq!(followed.troubles, [(2, Trouble::Overcut)]);
    assert_eq!(followed.ends(3), ["21.600 0.000", "21.600 -8.200", "40.000 -8.200"]);

    let back = Contour::from(50.0, 5.0)
        .line(40.0, -9.0)
        .line(22.0, -9.0)
        .about((10.0, -9.0), FRAC_PI_2)
        .line(20.0, 0.0);
    let followed = follow(&back, nose(0.8, 0), Side::Left, Outside::Straight);
    assert_eq!(followed.troubles, [(2, Trouble::Overcut)]);
    assert_eq!(followed.ends(3), ["40.000 -8.200", "21.600 -8.200", "21.600 0.000"]);
}

/// An arc too small between two surfaces along Z, the second 0.5·(1 − cos 45°) lower: the nose
/// goes straight across to where that begins.
#[test]
fn across_what_cannot_be_followed() {
    let (lower, aside) = (0.5 * (1.0 - 0.5_f64.sqrt()), 0.5 * 0.5_f64.sqrt());
    let contour = Contour::from(30.0, 5.0)
        .line(20.0, 0.0)
        .line(20.0, -10.0)
        .about((10.0 + aside, -10.0 - aside), -FRAC_PI_2 / 2.0)
        .line(20.0 - 2.0 * lower, -20.0);
    let followed = follow(&contour, nose(0.8, 0), Side::Right, Outside::Straight);
    let by = Length::from_um(300);
    assert_eq!(followed.troubles[0], (2, Trouble::ArcTooSmall { by }));
    // The edge at X20 Z-10 is nearer to that begin than 0.8, so that it is cut into there.
    assert!(aside.hypot(0.8 - lower) < 0.8 - 0.05);
    assert_eq!(followed.troubles[1], (3, Trouble::Overcut));
    let ends = ["21.6000 0.0000", "21.6000 -10.0000", "21.3071 -10.3536", "21.3071 -20.0000"];
    assert_eq!(followed.ends(4), ends);
}
