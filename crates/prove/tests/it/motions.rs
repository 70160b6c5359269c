//! What moves a program stands for: arcs, times and cycles against worked examples. The rows and
//! their flags are those of the project's list of worked NC checks; where a row's rule is from
//! memory it says so, its figures being computed by hand there.

use crate::folder::Folder;
use model::files::{Control, Job};
use model::{Files, Length, Source, Units};
use nc::program::Library;
use prove::Setup;
use prove::event::{Moment, Motion, What};
use prove::lathe::Shown;
use prove::run::{Order, Run};

fn shop() -> Folder {
    Folder::of_tests("shop")
}

/// A setup with nothing but the control of the test shop.
fn bare() -> Setup {
    let read = Control::read(&shop().read("control.toml").unwrap());
    Setup::bare(read.value.unwrap())
}

/// Every move of a program, and the seconds at which each ended.
fn motions_in(setup: &Setup, program: &str) -> (Vec<(Motion, f64)>, f64) {
    let library = Library::new(vec![nc::read::read(&Source::new("rows.nc", program))]);
    let mut motions = Vec::new();
    let mut tell = |moment: &Moment<'_>| {
        if let What::Move(motion) | What::Cut(motion) = moment.what {
            motions.push((motion, moment.after.now.s()));
        }
    };
    let outcome = Run::new(&library, setup, Shown::default(), Order::Latest).finish(&mut tell);
    (motions, outcome.state.now.s())
}

fn motions(program: &str) -> Vec<Motion> {
    motions_in(&bare(), program).0.into_iter().map(|(motion, _)| motion).collect()
}

/// `X Z` of the ends of moves, `X` a diameter; feed moves only where asked.
fn ends(motions: &[Motion], feed_only: bool) -> Vec<String> {
    let kept = motions.iter().filter(|motion| !feed_only || !motion.rapid);
    kept.map(|motion| place(motion.to.r * 2, motion.to.z)).collect()
}

fn place(x: Length, z: Length) -> String {
    format!("{} {}", x.text(Units::Mm, 3), z.text(Units::Mm, 3))
}

/// The diameters at which cuts go along Z to a place that is further in, each once.
fn levels(motions: &[Motion]) -> Vec<(f64, f64)> {
    motions
        .iter()
        .filter(|motion| {
            !motion.rapid && motion.from.r == motion.to.r && motion.to.z < motion.from.z
        })
        .map(|motion| (motion.to.r.mm() * 2.0, motion.to.z.mm()))
        .collect()
}

fn near(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() <= within
}

const START: &str = "G21 G99 G97 S1000 M3 F.2\n";

/// E1 (form found, levels computed, counted from the allowances as is common practice).
#[test]
fn rough_turning_has_eight_levels() {
    let program = format!(
        "{START}G0 X52. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.2\nN10 G0 X20.\nG1 Z-20.\nX30.\nZ-35.\n\
         N20 X50.\nG0 X100.\nM30\n"
    );
    let motions = motions(&program);
    let cut = levels(&motions);
    let wanted = [48.4, 44.4, 40.4, 36.4, 32.4, 28.4, 24.4, 20.4];
    for (level, x) in cut.iter().zip(wanted) {
        let z = if x > 30.4 { -34.9 } else { -19.9 };
        assert!(near(level.0, x, 0.001) && near(level.1, z, 0.001), "{level:?} {x} {z}");
    }
    // Behind the eight levels the contour itself is followed, moved by the allowances.
    assert_eq!(cut.len(), 8 + 2, "{cut:?}");
    assert_eq!(cut[8..], [(20.4, -19.9), (30.4, -34.9)]);
    // The tool ends where it began, and the contour's own blocks are not run a second time.
    let last = &motions[motions.len() - 2..];
    assert_eq!(ends(last, false), ["52.000 2.000", "100.000 2.000"]);
}

/// E2 and E3 (computed).
#[test]
fn rough_turning_clips_its_last_level_and_works_in_bores() {
    let outside = format!(
        "{START}G0 X50. Z2.\nG71 U3. R.5\nG71 P10 Q20 U0. W0.\nN10 G0 X30.\nG1 Z-30.\nN20 X50.\nM30\n"
    );
    let x = |cuts: Vec<(f64, f64)>| cuts.into_iter().map(|cut| cut.0).collect::<Vec<_>>();
    assert_eq!(x(levels(&motions(&outside)))[..4], [44.0, 38.0, 32.0, 30.0]);
    let bore = format!(
        "{START}G0 X18. Z2.\nG71 U2. R.5\nG71 P10 Q20 U-.4 W.1\nN10 G0 X30.\nG1 Z-30.\nN20 X18.\nM30\n"
    );
    let cut = x(levels(&motions(&bore)));
    assert!(
        near(cut[0], 21.6, 1e-9) && near(cut[1], 25.6, 1e-9) && near(cut[2], 29.6, 1e-9),
        "{cut:?}"
    );
}

/// E5 (computed): a pocket, cut where the first contour block names both axes.
#[test]
fn rough_turning_cuts_pockets() {
    let program = format!(
        "{START}G0 X42. Z2.\nG71 U2. R.5\nG71 P10 Q20 U0. W0.\nN10 G0 X30. W0\nG1 Z-10.\nX20. Z-15.\nZ-20.\n\
         X30. Z-25.\nZ-35.\nN20 X42.\nM30\n"
    );
    let motions = motions(&program);
    let along: Vec<_> = motions
        .iter()
        .filter(|motion| {
            !motion.rapid && motion.from.r == motion.to.r && motion.to.z < motion.from.z
        })
        .map(|motion| (motion.to.r.mm() * 2.0, motion.from.z.mm(), motion.to.z.mm()))
        .collect();
    assert_eq!(along[..3], [(38.0, 2.0, -35.0), (34.0, 2.0, -35.0), (30.0, 2.0, -35.0)]);
    assert_eq!(along[3..6], [(26.0, -12.0, -23.0), (22.0, -14.0, -21.0), (20.0, -15.0, -20.0)]);
}

/// The contour of E5 (computed): at rapid the tool never goes through what stands, neither into a
/// pocket nor out of it (from memory: it must go over the land in front).
#[test]
fn the_ways_to_and_from_a_pocket_go_over_what_stands() {
    let program = format!(
        "{START}G0 X42. Z2.\nG71 U2. R.5\nG71 P10 Q20 U0. W0.\nN10 G0 X30. W0\nG1 Z-10.\nX20. Z-15.\nZ-20.\n\
         X30. Z-25.\nZ-35.\nN20 X42.\nM30\n"
    );
    let corners = [(0.0, 15.0), (-10.0, 15.0), (-15.0, 10.0), (-20.0, 10.0), (-25.0, 15.0)];
    let contour = |z: f64| {
        let pair = corners.windows(2).find(|pair| pair[0].0 >= z && z >= pair[1].0);
        pair.map_or(15.0, |pair| {
            let ((z0, r0), (z1, r1)) = (pair[0], pair[1]);
            r0 + (r1 - r0) * (z - z0) / (z1 - z0)
        })
    };
    let motions = motions(&program);
    for motion in motions.iter().filter(|motion| motion.rapid) {
        for part in 0..=100 {
            let part = f64::from(part) / 100.0;
            let at = |from: Length, to: Length| from.mm() + (to - from).mm() * part;
            let (r, z) = (at(motion.from.r, motion.to.r), at(motion.from.z, motion.to.z));
            assert!(z > 0.0 || r >= contour(z) - 1e-6, "X{} Z{z}: {motion:?}", 2.0 * r);
        }
    }
}

/// From memory, common practice: a roughing tool goes in to a layer as the contour's first block
/// says, at rapid or at feed.
#[test]
fn a_roughing_tool_goes_in_as_the_first_block_says() {
    for (word, rapid) in [("G0", true), ("G1", false)] {
        let program = format!(
            "{START}G0 X52. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.2\nN10 {word} X20.\nG1 Z-20.\nN20 X50.\nM30\n"
        );
        let motions = motions(&program);
        let layer = Length::from_mm(2);
        let ways_in: Vec<_> = motions
            .iter()
            .filter(|motion| motion.from.r - motion.to.r == layer && motion.from.z == motion.to.z)
            .collect();
        assert_eq!(ways_in.len(), 8);
        assert!(ways_in.iter().all(|motion| motion.rapid == rapid), "{word}: {ways_in:?}");
    }
}

/// E6 (computed): ten levels in Z, the last clipped.
#[test]
fn rough_facing_has_ten_levels() {
    let program = format!(
        "{START}G0 X52. Z3.\nG72 W1.5 R.5\nG72 P10 Q20 U.2 W.1\nN10 G0 Z-12.\nG1 X20.\nN20 Z3.\nM30\n"
    );
    let cuts: Vec<f64> = motions(&program)
        .iter()
        .filter(|motion| {
            !motion.rapid && motion.from.z == motion.to.z && motion.to.r < motion.from.r
        })
        .map(|motion| motion.to.z.mm())
        .collect();
    assert!(near(cuts[0], 1.6, 1e-9) && near(cuts[9], -11.9, 1e-9), "{cuts:?}");
    assert_eq!(cuts.len(), 10 + 1);
}

/// E7 (computed): four passes, each nearer.
#[test]
fn pattern_repeats_come_nearer() {
    let program = format!(
        "{START}G0 X80. Z10.\nG73 U6. W3. R4\nG73 P10 Q20 U.5 W.1\nN10 G0 X20. Z0.\nG1 Z-20.\nN20 X50.\nM30\n"
    );
    let firsts: Vec<_> = motions(&program)
        .iter()
        .filter(|motion| !motion.rapid && motion.from.r == motion.to.r)
        .map(|motion| place(motion.from.r * 2, motion.from.z))
        .collect();
    assert_eq!(firsts, ["32.500 3.100", "28.500 2.100", "24.500 1.100", "20.500 0.100"]);
}

/// E8 (from memory): the finishing pass once, back to the start, then the block behind it.
#[test]
fn finishing_follows_the_contour_once() {
    let program = format!(
        "{START}GOTO5\nN10 G0 X20.\nG1 Z-20. F.1\nN20 X50.\nN5 G0 X52. Z2.\nG70 P10 Q20\nG0 X90.\nM30\n"
    );
    let motions = motions(&program);
    let wanted = [
        "52.000 2.000",
        "20.000 2.000",
        "20.000 -20.000",
        "50.000 -20.000",
        "52.000 2.000",
        "90.000 2.000",
    ];
    assert_eq!(ends(&motions, false), wanted);
    assert!(motions[2].speed.is_some_and(|speed| near(speed, 100.0, 1e-9)), "its own feed");
}

/// E9 (form found, figures computed) and E10 (computed).
#[test]
fn pecks_go_to_their_bottoms() {
    let program = format!("{START}G0 X0. Z2.\nG74 R.5\nG74 Z-40. Q8000 F.1\nM30\n");
    let motions_face = motions(&program);
    let bottoms: Vec<f64> =
        motions_face.iter().filter(|motion| !motion.rapid).map(|motion| motion.to.z.mm()).collect();
    assert_eq!(bottoms, [-6.0, -14.0, -22.0, -30.0, -38.0, -40.0]);
    let way = |rapid: bool| -> f64 {
        let kept = motions_face[1..].iter().filter(|motion| motion.rapid == rapid);
        kept.map(|motion| (motion.to.z - motion.from.z).abs().mm()).sum()
    };
    assert!(near(way(false), 44.5, 1e-9));
    assert!(near(way(true), 5.0 * 0.5 + 42.0, 1e-9));
    let program = format!("{START}G0 X32. Z-10.\nG75 R.5\nG75 X20. Z-16. P2500 Q3000 F.08\nM30\n");
    let bottoms: Vec<_> = motions(&program)
        .iter()
        .filter(|motion| !motion.rapid)
        .map(|motion| (motion.to.r.mm(), motion.to.z.mm()))
        .collect();
    let groove = |z| [(13.5, z), (11.0, z), (10.0, z)];
    assert_eq!(bottoms, [groove(-10.0), groove(-13.0), groove(-16.0)].concat());
}

/// E11 (from memory, computed): two boxes from the same start, and their times.
#[test]
fn the_turning_box_runs_again_with_the_changed_word() {
    let mut job_setup =
        Setup::of(&Job::read(&shop().read("pin.job.toml").unwrap(), &shop()).value.unwrap());
    if let Some(lathe) = job_setup.lathe.as_mut() {
        // The row's rapid has no acceleration.
        lathe.rapid.x = model::quantity::FeedRate::from_mm_per_min(10_000.0);
        lathe.rapid.z = lathe.rapid.x;
        lathe.rapid.x_acceleration = model::quantity::Acceleration::from_m_per_s2(1e9);
        lathe.rapid.z_acceleration = lathe.rapid.x_acceleration;
        lathe.spindle.run_up = model::quantity::Seconds::from_s(0.0);
    }
    let program = format!("{START}G0 X54. Z2.\nG90 X46. Z-30. F.2\nX42.\nM30\n");
    let (motions, _) = motions_in(&job_setup, &program);
    let at = |index: usize| motions[index].1;
    assert!(near(at(4) - at(0), 11.016, 0.011), "{}", at(4) - at(0));
    assert!(near(at(8) - at(4), 11.628, 0.012), "{}", at(8) - at(4));
    let only: Vec<Motion> = motions.into_iter().map(|(motion, _)| motion).collect();
    let boxes = [
        "46.000 2.000",
        "46.000 -30.000",
        "54.000 -30.000",
        "54.000 2.000",
        "42.000 2.000",
        "42.000 -30.000",
    ];
    assert_eq!(ends(&only[1..7], false), boxes);
}

/// E12 (from memory).
#[test]
fn a_taper_starts_smaller_where_r_is_negative() {
    let program = format!("{START}G0 X54. Z2.\nG90 X40. Z-30. R-2.5 F.2\nM30\n");
    assert_eq!(ends(&motions(&program)[1..3], false), ["35.000 2.000", "40.000 -30.000"]);
}

/// E13 and E14 (rule: constant area of chip, from memory; input of E14 found; figures computed).
#[test]
fn threads_are_cut_in_passes_of_equal_area() {
    let program =
        format!("{START}G0 X32. Z5.\nG76 P010060 Q50 R.05\nG76 X28.16 Z-20. P920 Q300 F1.5\nM30\n");
    let passes: Vec<Motion> =
        motions(&program).into_iter().filter(|motion| !motion.rapid).collect();
    let depths: Vec<f64> = passes.iter().map(|pass| 15.0 - pass.to.r.mm()).collect();
    let wanted = [0.3, 0.4243, 0.5196, 0.6, 0.6708, 0.7348, 0.7937, 0.8485, 0.87, 0.92];
    assert_eq!(depths.len(), wanted.len(), "{depths:?}");
    assert!(
        depths.iter().zip(wanted).all(|(ours, wanted)| near(*ours, wanted, 5e-5)),
        "{depths:?}"
    );
    let shift = (5.0 - passes[9].from.z.mm()).abs();
    assert!(near(shift, 0.5312, 5e-5), "{shift}");
    let inch = "G20 G99 G97 S500 M3\nG0 X1.9 Z.2\nG76 P020060 Q20 R0.\nG76 X1.6398 Z-2.275 P511 Q120 F.083333\nM30\n";
    let passes = motions(inch).iter().filter(|motion| !motion.rapid).count();
    assert_eq!(passes, 17 + 2);
}

/// E16 (from memory).
#[test]
fn the_threading_box_starts_from_the_same_place_each_time() {
    let program = format!("{START}G0 X54. Z2.\nG92 X29.2 Z-20. F1.5\nX28.6\nX28.2\nM30\n");
    let passes: Vec<Motion> =
        motions(&program).into_iter().filter(|motion| !motion.rapid).collect();
    assert_eq!(ends(&passes, false), ["29.200 -20.000", "28.600 -20.000", "28.200 -20.000"]);
    assert!(passes.iter().all(|pass| (pass.to.z - pass.from.z).abs() == Length::from_mm(22)));
}

/// D4 to D8 and D9 without acceleration are held in the handbook; D7 (computed) here through text.
#[test]
fn feed_per_revolution_takes_its_time() {
    let (_, time) = motions_in(&bare(), "G21 G99 G97 S1200 M3\nG1 W-80. F.25\nM30\n");
    assert!(near(time, 16.0, 1e-9), "{time}");
}

/// D5 (computed): facing at constant surface speed with a clamp, through text.
#[test]
fn facing_with_a_clamp_takes_its_time() {
    let program = "G21 G99\nG50 S3000\nG96 S200 M3\nG0 X50. Z0.\nG1 X0. F.2\nM30\n";
    let (motions, _) = motions_in(&bare(), program);
    let time = motions[1].1 - motions[0].1;
    assert!(near(time, 3.4758, 0.0035), "{time}");
}

/// D11 (computed; work on the far side of the axis is seen in public programs).
#[test]
fn facing_from_the_far_side_goes_through_the_axis() {
    let program = "G21 G99\nG50 S3000\nG96 S150 M3\nG0 X-20. Z0.\nG1 X1. F.1\nM30\n";
    let (motions, _) = motions_in(&bare(), program);
    let time = motions[1].1 - motions[0].1;
    assert!(near(time, 2.1524, 0.0022), "{time}");
}

/// D3 (from memory): through the given point; the second moves X only.
#[test]
fn the_way_home_goes_through_the_given_point() {
    let motions = motions("G21\nG0 X40. Z10.\nG28 U10. W5.\nM30\n");
    assert_eq!(ends(&motions[1..2], false), ["50.000 15.000"]);
}

/// B13 (computed): a computed place is rounded to the control's increment.
#[test]
fn computed_places_are_rounded() {
    let metric = motions("G21\nG0 X0 Z0\nG0 Z[10/3]\nM30\n");
    assert_eq!(metric.last().unwrap().to.z, Length::from_um(3333));
    let inch = motions("G20\nG0 X0 Z0\nG0 Z[10/3]\nM30\n");
    assert_eq!(inch.last().unwrap().to.z, Length::parse("3.3333", Units::Inch).unwrap());
    let three = motions("G21\nG0 X0 Z0\nG0 W[10/3]\nW[10/3]\nW[10/3]\nM30\n");
    assert_eq!(three.last().unwrap().to.z, Length::from_um(9999));
}

/// B16 (from memory): the decimal rule is for digits as written, not for values.
#[test]
fn a_variable_is_in_whole_units() {
    let motions = motions("G21\n#100=100\nG0 X#100\nM30\n");
    assert_eq!(motions[0].to.r * 2, Length::from_mm(100));
}

fn straight(program: &str) -> Vec<String> {
    let moves: Vec<Motion> = motions(&format!("{START}{program}\nM30\n"));
    ends(&moves, true)
}

/// C9, C10 and C11 (computed): corners broken and rounded between two lines.
#[test]
fn corners_are_broken_and_rounded() {
    assert_eq!(
        straight("G0 X20. Z0.\nG1 Z-20. ,C2.\nX40."),
        ["20.000 -18.000", "24.000 -20.000", "40.000 -20.000"]
    );
    assert_eq!(
        straight("G0 X20. Z0.\nG1 Z-20. ,R3.\nX40."),
        ["20.000 -17.000", "26.000 -20.000", "40.000 -20.000"]
    );
    let rounded = straight("G0 X20. Z0.\nG1 X30. Z-20. ,R4.\nZ-40.");
    assert_eq!(rounded, ["29.761 -19.522", "30.000 -20.492", "30.000 -40.000"]);
}

/// C12 to C15 (geometry computed; the form of C12 is seen in public programs).
#[test]
fn lines_are_given_by_their_angle() {
    assert_eq!(straight("G0 X21.8 Z0.\nG1 X23.8 ,A-45."), ["23.800 -1.000"]);
    assert_eq!(straight("G0 X20. Z0.\nG1 Z-15. ,A170."), ["25.290 -15.000"]);
    assert_eq!(straight("G0 X30. Z-5.\nG1 X36. ,A120."), ["36.000 -6.732"]);
    let two = straight("G0 X20. Z0.\nG1 ,A170.\nX40. Z-30. ,A120.");
    assert_eq!(two, ["29.512 -26.972", "40.000 -30.000"]);
}

/// C1, C2, C3 and C5 (computed): an arc takes as long as it is.
#[test]
fn arcs_are_as_long_as_their_angle_says() {
    let seconds = |program: &str| {
        let (motions, end) = motions_in(&bare(), &format!("G21 G98 F60.\n{program}\nM30\n"));
        end - motions[0].1
    };
    let arc = |degrees: f64, radius: f64| degrees.to_radians() * radius;
    assert!(near(seconds("G0 X20. Z0.\nG3 X30. Z-5. R5."), 7.854, 0.001));
    assert!(near(seconds("G0 X20. Z0.\nG3 X30. Z-5. I0. K-5."), 7.854, 0.001));
    assert!(near(seconds("G0 X20. Z-10.\nG2 X40. Z-20. R15."), arc(56.251, 15.0), 0.001));
    assert!(near(
        seconds("G0 X20. Z-10.\nG2 X40. Z-20. I14.3541 K4.3541"),
        arc(56.251, 15.0),
        0.002
    ));
    assert!(near(seconds("G0 X30. Z-10.\nG2 X30. Z-34. R13."), arc(134.7603, 13.0), 0.001));
    assert!(near(seconds("G0 X20. Z0.\nG3 X30. Z-5. R-5."), arc(270.0, 5.0), 0.001));
}

/// The variables that a program leaves, by number.
fn variables(program: &str, numbers: &[u32]) -> Vec<Option<f64>> {
    let setup = bare();
    let library = Library::new(vec![nc::read::read(&Source::new("rows.nc", program))]);
    let mut run = Run::new(&library, &setup, Shown::default(), Order::Latest);
    while run.go_on(&mut |_| {}).is_continue() {}
    numbers.iter().map(|number| run.interpreter.variables.get(*number)).collect()
}

/// B17 and B18 (first triple found, the rest from memory), B25 (found).
#[test]
fn arguments_reach_their_variables() {
    let inside = |call: &str, numbers: &[u32]| {
        let copies: String = numbers.iter().map(|n| format!("#{}=#{n}\n", 100 + n)).collect();
        let program = format!("O9\n{call}\nM30\nO1\n{copies}M99\n");
        variables(&program, &numbers.iter().map(|n| 100 + n).collect::<Vec<_>>())
    };
    let some = |values: &[f64]| values.iter().map(|value| Some(*value)).collect::<Vec<_>>();
    let ours = inside("G65 P1 A1. B2. I3. J4. K5. I6. J7.", &[1, 2, 4, 5, 6, 7, 8]);
    assert_eq!(ours, some(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]));
    assert_eq!(inside("G65 P1 A10. D9. I1. I2.", &[1, 4, 7]), some(&[10.0, 1.0, 2.0]));
    assert_eq!(inside("G65 P1 I1. I2. D9.", &[7]), some(&[9.0]));
    let all = inside("G65 P1 A1. C3. D7. F9. Q17. R18. X24. Z26.", &[1, 3, 7, 9, 17, 18, 24, 26]);
    assert_eq!(all, some(&[1.0, 3.0, 7.0, 9.0, 17.0, 18.0, 24.0, 26.0]));
    assert_eq!(inside("G65 P1 A1.", &[2]), [None]);
}

/// B15 and B19 to B24 (computed from the rules of levels and search).
#[test]
fn calls_loops_and_jumps_follow_the_rules() {
    let b15 = "#1=1\nWHILE[#1LE3]DO1\n#2=1\nWHILE[#2LE#1]DO2\n#140=#140+1\n#2=#2+1\nEND2\n#1=#1+1\nEND1\nM30\n";
    assert_eq!(variables(b15, &[140]), [Some(6.0)]);
    let b19 = "O1\n#1=5\nG65 P2 A2.\n#100=#1\nM30\nO2\n#1=#1+1\nG65 P3 A#1\n#101=#1\nM99\nO3\n#102=#1*10\nM99\n";
    assert_eq!(variables(b19, &[100, 101, 102]), [Some(5.0), Some(3.0), Some(30.0)]);
    let b20 = "O1\n#1=5\nM98 P4\n#103=#1\nM30\nO4\n#1=#1+1\nM99\n";
    assert_eq!(variables(b20, &[103]), [Some(6.0)], "this control keeps the caller's locals");
    let b22 = "O1\nM98 P9\nN10 #130=1\nN20 #131=1\nM30\nO9\nM99 P20\n";
    assert_eq!(variables(b22, &[130, 131]), [None, Some(1.0)]);
    let b23 = "#100=0\nN5 #100=#100+1\nIF[#100EQ3]GOTO9\nGOTO5\nN5 #100=#100+10\nIF[#100LT50]GOTO5\nN9 M30\n";
    assert_eq!(variables(b23, &[100]), [Some(55.0)], "forward first, then from the top");
    let b24 = "#100=12\nGOTO[#100/4]\nN2 #101=2\nN3 #102=3\nM30\n";
    assert_eq!(variables(b24, &[101, 102]), [None, Some(3.0)]);
    let b21 = "O6\nM98 P7 L4\nM30\nO7\nM98 P8 L6\nM99\nO8\n#120=#120+1\nM99\n";
    assert_eq!(variables(b21, &[120]), [Some(24.0)]);
}

/// After a surface speed, a fixed speed without S is the speed that the spindle has.
#[test]
fn a_fixed_speed_without_s_is_the_last_one() {
    let program = "G21 G99\nG50 S3000\nG96 S100 M3\nG0 X50. Z0.\nG97\nG0 X10.\nG1 Z-10. F.1\nM30\n";
    let (motions, _) = motions_in(&bare(), program);
    let rpm = 1000.0 * 100.0 / (std::f64::consts::PI * 50.0);
    assert!(motions[2].0.speed.is_some_and(|speed| near(speed, rpm * 0.1, 1e-6)), "{motions:?}");
}
