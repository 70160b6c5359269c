//! One cut of a station: the same figures by hand, what is lacking by its key, and no figure that
//! is none, whatever is asked.

use calc::bending::Step;
use calc::cutting::Wear;
use calc::holding::friction::WorkSurface;
use calc::spread::Spread;
use calc::station::{Feeding, Lack, Loads, Setting, StationCut, Turning};
use model::files::{Lathe, Material, Tools};
use model::quantity::{Deflection, FeedPerRev, Force, SpindleSpeed, SurfaceSpeed};
use model::{Length, Source};
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;

const LATHE: &str = r#"units = "mm"
name = "any"
travel = { x = 250, z = 320 }
rapid = { x = 12, z = 16 }
chuck = { open = 1, close = 1, jaw_length = 40, least_grip = 30, max_speed = 4000, start_when_open = "refused" }
turret = { stations = 8, step = 0.2, index_x = 120, index_z = 60 }
[grip]
kind = "jaw"
force = 30000
mass_radius = 0.12
surface = "fine"
radial = 20
tilt = 1
[spindle]
max_speed = 4500
bore = 43
jaw_face_to_rear = 985
run_up = 3
run_down = 3
drive = { power = 7.5, base_speed = 1500 }
"#;

const TOOLS: &str = r#"units = "mm"
[[station]]
number = 1
kind = "turning"
name = "outside"
insert = "CNMG 120404"
edge_angle = 75
edge_material = "carbide"
speed = 100
feed = 0.3
depth = 3
[[station]]
number = 2
kind = "parting"
name = "blade"
width = 3
edge_material = "carbide"
speed = 100
feed = 0.08
[[station]]
number = 3
kind = "drill"
name = "drill"
diameter = 10
[[station]]
number = 4
kind = "threading"
name = "thread"
"#;

fn lathe(text: &str) -> Lathe {
    let read = Lathe::read(&Source::new("lathe.toml", text));
    read.value.filter(|_| read.diagnostics.is_empty()).unwrap()
}

static PLACE: LazyLock<Lathe> = LazyLock::new(|| lathe(LATHE));
static STATIONS: LazyLock<Tools> = LazyLock::new(|| {
    let read = Tools::read(&Source::new("tools.toml", TOOLS));
    read.value.filter(|_| read.diagnostics.is_empty()).unwrap()
});
static STEEL: LazyLock<Material> = LazyLock::new(|| {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/materials/steel-1045.toml");
    Material::read(&Source::new("steel-1045.toml", std::fs::read(path).unwrap())).value.unwrap()
});

fn mm(mm: f64) -> Length {
    Length::nearest_mm(mm)
}

fn setting() -> Setting<'static> {
    Setting { lathe: &PLACE, material: &STEEL, bar: mm(40.0), surface: WorkSurface::Turned }
}

const BAR: [Step; 1] =
    [Step { length: Length::from_mm(60), diameter: Length::from_mm(40), bore: Length::ZERO }];

/// Turning 1045 from 40 to 34 mm at 0.3 mm/rev and 100 m/min, as `tests/it/cut.rs`.
fn turning() -> StationCut<'static> {
    StationCut {
        station: &STATIONS.stations[0],
        feeding: Feeding::Along { from: mm(40.0), to: mm(34.0), toward_chuck: true },
        feed: FeedPerRev::from_mm(0.3),
        turning: Turning::Surface(
            SurfaceSpeed::from_m_per_min(100.0),
            SpindleSpeed::from_rpm(3000.0),
        ),
        wear: Wear::Sharp,
        place: (mm(60.0), mm(20.0)),
        steps: &BAR,
        gripped: mm(40.0),
        allowed: Some(Deflection::from_um(50.0)),
    }
}

fn parting() -> StationCut<'static> {
    StationCut {
        station: &STATIONS.stations[1],
        feeding: Feeding::Across { from: mm(40.0), to: mm(-0.4), depth: Length::ZERO },
        feed: FeedPerRev::from_mm(0.08),
        place: (mm(12.0), mm(12.0)),
        allowed: None,
        ..turning()
    }
}

#[test]
fn the_drive_gives_at_each_speed_what_its_curve_says() {
    let loads = turning().loads(&setting()).unwrap();
    let (power, torque) = (loads.power.unwrap(), loads.torque.unwrap());
    // 795.77 rev/min of 1500: 7.5 kW · 0.8 · 0.53052 = 3183 W; the torque is 6000 W over 157.08/s.
    assert!((power.given.w() - 3183.1).abs() < 0.1, "{:?}", power.given);
    assert!((torque.given.nm() - 38.197).abs() < 0.001);
    assert_eq!(power.asked, loads.outcome.power);
    // The same cut by hand: 2376.3 N (tests/cut.rs) with the nose's thinner chip takes a little more.
    assert!((1.0..1.05).contains(&(loads.outcome.force.nominal.n() / 2376.3)));
}

#[test]
fn the_margins_are_those_of_the_chuck_with_the_forces_of_the_cut() {
    let loads = turning().loads(&setting()).unwrap();
    let held = loads.held.unwrap();
    // 30 kN less 0.12 kg·m · (795.77 · π/30)²: 833.3 N.
    assert!((held.grip_at_speed.nominal.n() - (30_000.0 - 833.3)).abs() < 0.5);
    // Slip: 0.11 · 29.17 kN · 0.02 m over the cut's torque.
    let slip = held.slip.unwrap().ratio.nominal;
    let by_hand = 0.11 * 29_166.7 * 0.020 / loads.outcome.torque.nominal.nm();
    assert!((slip / by_hand - 1.0).abs() < 1e-4, "{slip} {by_hand}");
    let out = held.pull_out.unwrap().ratio.nominal;
    let by_hand = 0.15 * 29_166.7 / loads.outcome.axial.nominal.n();
    assert!((out / by_hand - 1.0).abs() < 1e-4, "{out} {by_hand}");
    assert!(held.size.chuck_known && held.size_margin.is_some());
    let shortest = turning().shortest_grip(&setting()).unwrap();
    assert!(shortest.is_none_or(|length| length <= mm(40.0)));
}

#[test]
fn a_cut_to_the_center_is_held_at_its_highest_speed_too() {
    let held = parting().loads(&setting()).unwrap().held.unwrap();
    // At 3000 rev/min the jaws have lost 0.12 · 314.16² = 11.84 kN.
    assert!((held.grip_at_speed.nominal.n() - (30_000.0 - 11_843.5)).abs() < 1.0);
    // The torque is that at the outside: slip is judged there, at 796 rev/min.
    let outer = StationCut {
        feeding: Feeding::Across { from: mm(40.0), to: mm(39.99), depth: Length::ZERO },
        ..parting()
    };
    let there = outer.loads(&setting()).unwrap().held.unwrap();
    assert!(there.grip_at_speed.nominal > held.grip_at_speed.nominal);
    assert!(there.slip.unwrap().ratio.low >= held.slip.unwrap().ratio.low);
}

#[test]
fn facing_cuts_with_the_other_edge_of_the_corner() {
    let face = StationCut {
        feeding: Feeding::Across { from: mm(40.0), to: Length::ZERO, depth: mm(2.0) },
        ..turning()
    };
    let outcome = face.loads(&setting()).unwrap().outcome;
    // 75° + 80° − 90°: 65° across; a chip of 0.3 · sin 65° or less, for the nose.
    assert!(outcome.chip.thickness_mm < 0.3 * 0.9064 && outcome.chip.thickness_mm > 0.24);
    assert!(outcome.radial.nominal > outcome.axial.nominal, "the feed pushes across the axis");
}

#[test]
fn a_drill_turns_the_bar_and_pushes_it_into_the_chuck() {
    let drill = StationCut {
        station: &STATIONS.stations[2],
        feeding: Feeding::Along { from: Length::ZERO, to: mm(10.0), toward_chuck: true },
        feed: FeedPerRev::from_mm(0.2),
        ..turning()
    };
    let loads = drill.loads(&setting()).unwrap();
    let held = loads.held.unwrap();
    let by_hand = 0.11 * held.grip_at_speed.nominal.n() * 0.02 / loads.outcome.torque.nominal.nm();
    assert!((held.slip.unwrap().ratio.nominal / by_hand - 1.0).abs() < 1e-9);
    assert_eq!(loads.life.unwrap_err().key, "edge_life");
}

fn key(lack: Option<Lack>) -> &'static str {
    lack.map_or("nothing", |lack| lack.key)
}

#[test]
fn what_is_lacking_is_named_by_its_key() {
    let (without, _) = LATHE.split_once("[grip]").unwrap();
    let spindle =
        "[spindle]\nmax_speed = 700\nbore = 43\njaw_face_to_rear = 985\nrun_up = 3\nrun_down = 3\n";
    let bare = lathe(&format!("{without}{spindle}"));
    let loads = turning().loads(&Setting { lathe: &bare, ..setting() }).unwrap();
    assert_eq!(key(loads.held.err()), "grip");
    assert_eq!(key(loads.power.err()), "spindle.drive");
    let slow = lathe(&format!("{without}{spindle}drive = {{ power = 5, base_speed = 500 }}\n"));
    let loads = turning().loads(&Setting { lathe: &slow, ..setting() }).unwrap();
    let why = loads.power.unwrap_err().why;
    assert_eq!(why, "796 rev/min is beyond the spindle's highest speed, 700");

    let mut soft = STEEL.clone();
    soft.stiffness = None;
    soft.carbide = None;
    let loads = turning().loads(&Setting { material: &soft, ..setting() }).unwrap();
    assert_eq!((key(loads.held.err()), key(loads.life.err())), ("stiffness", "carbide"));
    soft.force = None;
    let lack = turning().loads(&Setting { material: &soft, ..setting() }).err();
    assert_eq!(key(lack), "force");

    let mut tool = STATIONS.stations[0].clone();
    tool.edge_material = None;
    let cut = StationCut { station: &tool, ..turning() };
    assert_eq!(key(cut.loads(&setting()).unwrap().life.err()), "edge_material");
    tool.edge_angle = None;
    let cut = StationCut { station: &tool, ..turning() };
    assert_eq!(key(cut.loads(&setting()).err()), "edge_angle");
    let thread = StationCut { station: &STATIONS.stations[3], ..turning() };
    assert_eq!(key(thread.loads(&setting()).err()), "kind");
    let nothing = Feeding::Along { from: Length::ZERO, to: Length::ZERO, toward_chuck: true };
    let cut = StationCut { feeding: nothing, ..turning() };
    let why = cut.loads(&setting()).unwrap_err().why;
    assert_eq!(why, "the diameter is outside the range of the formulas");
}

/// Every range of the loads, as figures.
fn ranges(loads: &Loads) -> Vec<Spread<f64>> {
    let outcome = &loads.outcome;
    let mut ranges = vec![
        outcome.force.map(Force::n),
        outcome.radial.map(Force::n),
        outcome.axial.map(Force::n),
        outcome.torque.map(model::quantity::Torque::nm),
        outcome.power.map(model::quantity::Power::w),
    ];
    ranges.extend(loads.power.iter().map(|it| it.asked.map(model::quantity::Power::w)));
    ranges.extend(loads.torque.iter().map(|it| it.asked.map(model::quantity::Torque::nm)));
    ranges.extend(loads.life.iter().map(|it| it.time.map(model::quantity::Seconds::s)));
    if let Ok(held) = &loads.held {
        ranges.push(held.grip_needed.map(Force::n));
        ranges.push(held.grip_at_speed.map(Force::n));
        let margins =
            [held.grip, held.slip, held.pull_out, held.overturning, held.lift, held.size_margin];
        ranges.extend(margins.into_iter().flatten().map(|margin| margin.ratio));
    }
    ranges
}

proptest! {
    /// Whatever a program asks, an answer is a number in its range, or there is none.
    #[test]
    fn no_figure_is_none(
        station in 0_usize..4,
        (from, to, depth) in (-10_i64..60_000, -10_i64..60_000, -10_i64..5_000),
        (along, toward_chuck, css) in any::<(bool, bool, bool)>(),
        (feed, speed, clamp) in (-0.1_f64..2.0, -1.0_f64..1000.0, -1.0_f64..10_000.0),
        (start, end, gripped) in (-10_i64..80_000, -10_i64..80_000, -10_i64..60_000),
        wear in prop_oneof![Just(Wear::Sharp), Just(Wear::Worn), Just(Wear::Any)],
    ) {
        let um = Length::from_um;
        let feeding = if along {
            Feeding::Along { from: um(from), to: um(to), toward_chuck }
        } else {
            Feeding::Across { from: um(from), to: um(to), depth: um(depth) }
        };
        let clamp = SpindleSpeed::from_rpm(clamp);
        let turning_as = if css {
            Turning::Surface(SurfaceSpeed::from_m_per_min(speed), clamp)
        } else {
            Turning::Spindle(clamp)
        };
        let cut = StationCut {
            station: &STATIONS.stations[station],
            feeding,
            feed: FeedPerRev::from_mm(feed),
            turning: turning_as,
            wear,
            place: (um(start), um(end)),
            gripped: um(gripped),
            ..turning()
        };
        match cut.loads(&setting()) {
            Ok(loads) => for range in ranges(&loads) {
                let sound = range.low.is_finite() && range.high.is_finite() && range.low >= 0.0;
                prop_assert!(sound && range.low <= range.nominal && range.nominal <= range.high, "{range:?}");
            },
            Err(lack) => prop_assert!(!lack.why.is_empty()),
        }
    }
}

/// A pass of M40×2 from 0.8 to 1.0 mm deep with a sharp tip: the ring between two triangles of 60° is
/// (1.0² − 0.8²)·tan 30° = 0.20785 mm², by hand.
#[test]
fn a_pass_of_a_thread_takes_the_ring_between_two_triangles() {
    let cut = StationCut {
        station: &STATIONS.stations[3],
        feeding: Feeding::Thread {
            blank: mm(40.0),
            from: mm(38.4),
            to: mm(38.0),
            toward_chuck: true,
        },
        feed: FeedPerRev::from_mm(2.0),
        turning: Turning::Spindle(SpindleSpeed::from_rpm(800.0)),
        ..turning()
    };
    let loads = cut.loads(&setting()).unwrap();
    let outcome = loads.outcome;
    let area = outcome.chip.thickness_mm * outcome.chip.width_mm;
    assert!((area - 0.207_85).abs() < 1e-4, "{area}");
    assert!(outcome.force.low < outcome.force.nominal && outcome.force.nominal.n() > 200.0);
    assert!(loads.power.is_ok() && loads.held.is_ok());
    // Its edge is not one for turning.
    let along = Feeding::Along { from: mm(40.0), to: mm(38.0), toward_chuck: true };
    let lack = StationCut { feeding: along, ..cut }.loads(&setting()).unwrap_err();
    assert_eq!(lack.key, "kind");
}
