//! A cycle as pictures show it, held to what is known of every cycle: no metal is lost.

use crate::folder::Folder;
use model::files::job::Job;
use model::{Files, Source};
use nc::program::Library;
use prove::Setup;
use prove::event::What;
use prove::playback::Playback;

const PROGRAM: &str = "O1\nG21G99\nG50S2500\n#500=0\nN1T0101\nG96S150M3\nG0X20.Z0.\nG1X-.8F.1\nG0Z1.\n\
    X14.\nG1Z-12.F.2\nX17.\nG0Z1.\nX120.Z60.\nT0303\nG0X20.Z-22.5\nG1X-.6F.05\nG0X20.\nX120.Z60.\nM5\nG4X2.\n\
    #500=#500+1\nIF[#500GE5]GOTO9\nT0707\nG0X40.Z-32.\nG98G1X0.F800\nM11\nG4X1.\nG1W23.F1500\n\
    M10\nG4X1.\nG1X40.F1000\nG0X120.Z60.\nG99\nGOTO1\nN9M30\n";

fn setup() -> Setup {
    let shop = Folder::of_tests("shop");
    Setup::of(&Job::read(&shop.read("pin.job.toml").unwrap(), &shop).value.unwrap())
}

/// Conservation of volume: what leaves the bar in one cycle is one pitch of raw bar.
#[test]
fn one_cycle_takes_one_pitch_of_raw_bar() {
    let (setup, library) =
        (setup(), Library::new(vec![nc::read::read(&Source::new("pin.nc", PROGRAM))]));
    let bar = setup.bar.as_ref().unwrap();
    let pitch = setup.part.as_ref().unwrap().pitch().mm();
    let section = std::f64::consts::PI * (bar.size.mm() / 2.0).powi(2);
    for cycle in 2..=4 {
        let playback = Playback::of(&library, &setup, cycle);
        let taken = playback.frames.iter().map(|frame| {
            playback.taken(&frame.before, &frame.after).map_or(0.0, |taken| taken.volume_mm3())
        });
        let taken: f64 = taken.sum();
        assert!((taken / (section * pitch) - 1.0).abs() < 1e-9, "cycle {cycle}: {taken}");
        assert!(playback.frames.iter().any(|frame| matches!(frame.what, What::PartedOff(_))));
    }
}

#[test]
fn frames_follow_each_other_without_a_gap() {
    let (setup, library) =
        (setup(), Library::new(vec![nc::read::read(&Source::new("pin.nc", PROGRAM))]));
    let playback = Playback::of(&library, &setup, 2);
    for pair in playback.frames.windows(2) {
        assert!(pair[0].after.now <= pair[1].after.now);
        let way = pair[1].way();
        if let Some(first) = way.first() {
            assert_eq!(*first, pair[1].before.position);
        }
    }
    assert!(Playback::of(&library, &setup, 9).frames.is_empty());
    assert!(Playback::of(&library, &setup, 0).frames.is_empty());
}
