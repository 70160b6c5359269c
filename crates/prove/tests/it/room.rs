//! What stands around the bar, held to what is computed another way: the distance of an idle tool
//! by points sampled in space, depths of cuts by closed forms, and the far side by the near one.

use crate::folder::Folder;
use model::files::Tools;
use model::files::job::Job;
use model::files::lathe::{ChuckStep, TravelEnds, TurretBody};
use model::files::tools::{Seat, Station, Turns};
use model::{Files, Length, Source};
use nc::program::Library;
use proptest::prelude::*;
use prove::action::Path;
use prove::event::Point;
use prove::metal::{Metal, Part};
use prove::{Setup, prove};

const NOWHERE: prove::event::Spot =
    prove::event::Spot { tree: 0, block: 0, span: model::Span { start: 0, end: 0 } };

fn mm(mm: f64) -> Length {
    Length::nearest_mm(mm)
}

fn at(r: f64, z: f64) -> Point {
    Point { r: mm(r), z: mm(z) }
}

/// The test shop with a drill on station 2, everything seated on a turret.
fn shop() -> Setup {
    let shop = Folder::of_tests("shop");
    let job = Job::read(&shop.read("pin.job.toml").unwrap(), &shop).value.unwrap();
    let mut setup = Setup::of(&job);
    let drill = "units = \"mm\"\n[[station]]\nnumber = 2\nkind = \"drill\"\nname = \"drill\"\ndiameter = 8\n";
    let more = Tools::read(&Source::new("more.toml", drill)).value.unwrap();
    setup.tools.as_mut().unwrap().stations.extend(more.stations);
    let lathe = setup.lathe.as_mut().unwrap();
    lathe.turret.body = Some(TurretBody { diameter: mm(160.0), length: mm(80.0) });
    lathe.chuck.steps = vec![ChuckStep { behind: Length::ZERO, diameter: mm(400.0) }];
    for station in &mut setup.tools.as_mut().unwrap().stations {
        station.seat = Seat { beyond_rim: Some(mm(20.0)), beyond_face: Some(mm(0.0)) };
        station.shank = Some(mm(16.0));
    }
    setup
}

fn station(setup: &mut Setup, number: u32) -> &mut Station {
    let stations = &mut setup.tools.as_mut().unwrap().stations;
    stations.iter_mut().find(|station| station.number == number).unwrap()
}

/// How near the drill's cylinder of 8 mm comes to the spindle axis, by points of its outside. The
/// spindle axis is the origin; the turret's axis stands at `r` plus the tip's radius in X.
fn sampled(r: f64, tip: f64, drill: f64, half: f64, angle: f64) -> f64 {
    let center = (r + tip - drill * angle.cos(), drill * angle.sin());
    let points = (0..3600).map(|step| f64::from(step) * std::f64::consts::TAU / 3600.0);
    let distances =
        points.map(|turn| (center.0 + half * turn.cos()).hypot(center.1 + half * turn.sin()));
    distances.fold(f64::INFINITY, f64::min)
}

proptest! {
    /// The chuck of these tests is a cylinder of 200 mm radius, so that what goes into it is 200 mm
    /// less what is left to the axis.
    #[test]
    fn an_idle_drill_stands_as_far_from_the_axis_as_its_points_do(
        r in 0.0..60.0_f64,
        beyond in -30.0..30.0_f64,
        seat in 2_u32..9,
    ) {
        let mut setup = shop();
        station(&mut setup, 2).number = 99;
        let drill = station(&mut setup, 99);
        (drill.number, drill.shank) = (seat, None);
        drill.seat = Seat { beyond_rim: Some(mm(beyond)), beyond_face: Some(mm(100.0)) };
        let others = &mut setup.tools.as_mut().unwrap().stations;
        others.retain(|station| station.number == 1 || station.diameter.is_some());
        let metal = Metal::new(&setup).unwrap();
        let bar = metal.bar_to(mm(2.0)).unwrap();
        let moved = metal.moved(bar, 1, (at(r + 5.0, 30.0), at(r, 30.0)), Path::Line, None, NOWHERE);
        let angle = f64::from(seat - 1) * std::f64::consts::TAU / 8.0;
        let nearest = sampled(mm(r).mm(), 100.0, 80.0 + mm(beyond).mm(), 4.0, angle);
        match moved.idle {
            Some(strike) => {
                prop_assert_eq!(strike.part, Part::Idle(seat));
                let depth = strike.depth.mm();
                prop_assert!((depth - (200.0 - nearest)).abs() < 1e-3, "{} {}", depth, nearest);
            }
            None => prop_assert!(nearest > 199.99, "{nearest}"),
        }
    }
}

/// The way of a straight cut and the depth that a closed form gives.
#[test]
fn a_cut_is_as_deep_as_the_closed_form_says() {
    let mut setup = shop();
    station(&mut setup, 1).takes.most_depth = Some(mm(0.1));
    let metal = Metal::new(&setup).unwrap();
    let bar = metal.bar_to(mm(0.0)).unwrap();
    let depth = |from: Point, to: Point| {
        let moved = metal.moved(bar, 1, (from, to), Path::Line, None, NOWHERE);
        moved.depth.map_or(0.0, Length::mm)
    };
    // Along the bar of 16 mm: what stands outside of it.
    assert!((depth(at(6.5, 1.0), at(6.5, -10.0)) - 1.5).abs() < 1e-6);
    // A face: what stands in front of it.
    assert!((depth(at(10.0, -0.7), at(-0.4, -0.7)) - 0.7).abs() < 1e-6);
    // A cone of 45° from the axis of the face outward takes off a triangle of 3 mm legs, whose
    // height over its long side is 3/√2.
    let cone = depth(at(5.0, 0.0), at(8.0, -3.0));
    assert!((cone - 3.0 / 2.0_f64.sqrt()).abs() < 1e-5, "{cone}");
    // In the air: nothing.
    assert!(depth(at(9.0, 1.0), at(9.0, -10.0)).abs() < 1e-9);
}

/// A stub that was turned to a cone is between its fingers as thick as the cone says.
#[test]
fn a_stub_has_the_diameters_that_the_cuts_left() {
    let setup = shop();
    let metal = Metal::new(&setup).unwrap();
    let bar = metal.bar_to(mm(0.0)).unwrap();
    let cone = (at(5.0, 0.0), at(8.0, -6.0));
    let turned = metal.moved(bar, 1, cone, Path::Line, None, NOWHERE).bar;
    let (least, most) = metal.outside(turned, mm(-4.0), mm(-2.0)).unwrap();
    // The radius is 5 + z/2 at a depth z: 6 and 7 mm.
    assert!(
        (least.mm() - 12.0).abs() < 1e-5 && (most.mm() - 14.0).abs() < 1e-5,
        "{least:?} {most:?}"
    );
    assert_eq!(metal.outside(turned, mm(-12.0), mm(-8.0)), Some((mm(16.0), mm(16.0))));
}

/// Each X with the other sign, and M3 for M4.
fn mirrored(text: &str) -> String {
    let words = text.split_inclusive([' ', '\n']).map(|word| match word.strip_prefix('X') {
        Some(rest) if rest.starts_with('-') => format!("X{}", &rest[1..]),
        Some(rest) => format!("X-{rest}"),
        None if word.starts_with("M3") && !word.starts_with("M30") => word.replacen("M3", "M4", 1),
        None => word.to_owned(),
    });
    words.collect()
}

#[test]
fn the_far_side_is_found_as_the_near_one() {
    let near = "G21 G99\nG97 S1500\nT0101\nG0 X20. Z2. M3\nG1 X10. F0.6\nZ-10. F0.6\nX20.\nG0 X30. Z5.\n\
                T0707\nG0 X30. Z10.\nX10.\nZ-12.\nX60.\nX240. Z350.\nX120. Z60.\n\
                T0101\nG0 X20. Z2.\nG1 X14. F0.2\nZ-22.\nG0 X120.\nM30\n";
    let mut setup = shop();
    let tool = station(&mut setup, 1);
    tool.takes.most_depth = Some(mm(2.0));
    tool.takes.most_feed = Some(model::quantity::FeedPerRev::from_mm(0.3));
    tool.takes.turns = Some(Turns::Forward);
    let drill = station(&mut setup, 2);
    drill.seat = Seat { beyond_rim: Some(Length::ZERO), beyond_face: Some(mm(80.0)) };
    let lathe = setup.lathe.as_mut().unwrap();
    lathe.chuck.steps = vec![
        ChuckStep { behind: Length::ZERO, diameter: mm(70.0) },
        ChuckStep { behind: mm(40.0), diameter: mm(170.0) },
    ];
    let ends = TravelEnds { x: (mm(30.0), mm(330.0)), z: (mm(10.0), mm(300.0)) };
    lathe.travel.ends = Some(ends);
    let found = |text: &str, setup: &Setup| {
        let library = Library::new(vec![nc::read::read(&Source::new("it.nc", text.to_owned()))]);
        let proof = prove(&library, setup);
        // How deep it goes stands in the message; places of the far side do not.
        let message = |one: &model::Finding| match one.id {
            "idle-tool-hits" | "gripper-into-bar" | "cut-too-deep" => one.message.clone(),
            _ => String::new(),
        };
        let found = proof.findings.iter();
        let found = found.map(|one| (one.place.start().line, one.id, message(one)));
        let mut found: Vec<_> = found.collect();
        found.sort_unstable();
        found
    };
    let here = found(near, &setup);
    let ids: Vec<_> = here.iter().map(|(_, id, _)| *id).collect();
    for id in
        ["cut-too-deep", "feed-too-high", "gripper-into-bar", "beyond-travel", "idle-tool-hits"]
    {
        assert!(ids.contains(&id), "{id} is not among {here:?}");
    }
    assert!(!ids.contains(&"spindle-turns-backward"), "{here:?}");
    let far = TravelEnds { x: (-ends.x.1, -ends.x.0), ..ends };
    setup.lathe.as_mut().unwrap().travel.ends = Some(far);
    assert_eq!(found(&mirrored(near), &setup), here);
    // Where nothing tells on which side the turret stands, the move itself does.
    setup.lathe.as_mut().unwrap().travel.ends = None;
    // The first move comes from a place that only the side of the turret tells.
    let later = |found: Vec<(u32, &'static str, String)>| {
        let later = found.into_iter().filter(|(line, id, _)| *line > 4 && *id != "beyond-travel");
        later.collect::<Vec<_>>()
    };
    assert_eq!(later(found(&mirrored(near), &setup)), later(here));
}

/// Places beyond any lathe, arcs of any size: answered, whatever the answer.
#[test]
fn no_place_is_too_far_to_be_answered() {
    let mut setup = shop();
    station(&mut setup, 1).takes.most_depth = Some(mm(2.0));
    let far =
        ["0.", "1.", "-8.", "99999.", "-99999.", "999999999.", "-999999999.", "999999999999."];
    for (r, z) in far.iter().flat_map(|r| far.iter().map(move |z| (r, z))) {
        let text = format!(
            "G21 G99\nG97 S1500 M3\nT0101\nG0 X{r} Z{z}\nG1 X20. Z2. F0.1\nG2 X{r} Z{z} R{z}\nG3 X10. Z0. I{r} K{z}\n\
             T0202\nG0 X{z} Z{r}\nT0707\nG0 X{r} Z{z}\nG1 X0. F900\nG2 X{z} Z{r} I{r} K{z}\nT0101\nM30\n"
        );
        let library = Library::new(vec![nc::read::read(&Source::new("far.nc", text))]);
        for side in [1, -1] {
            let ends = (mm(30.0) * side, mm(330.0) * side);
            let x = (ends.0.min(ends.1), ends.0.max(ends.1));
            let z = (mm(10.0), mm(300.0));
            setup.lathe.as_mut().unwrap().travel.ends = Some(TravelEnds { x, z });
            assert!(!prove(&library, &setup).findings.is_empty());
        }
    }
}
