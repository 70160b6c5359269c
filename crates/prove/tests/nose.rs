//! The nose radius offset against worked examples. The rows and their flags are those of the
//! project's list of worked NC checks.

#[path = "nose/contour.rs"]
mod contour;

use contour::{Contour, follow, nose};
use prove::nose::{Outside, Side};

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
