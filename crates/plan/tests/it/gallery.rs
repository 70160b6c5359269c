//! What parts of the gallery brought to light.

use crate::shop::gallery;
use calc::station::Feeding;
use model::Length;
use model::files::job::{FeatureKind, Job};
use plan::cuts::{Operation, Way, Work};
use plan::process::Process;

fn operations(job: &Job) -> Vec<Operation> {
    Process::of(job, &plan::bar::divide(job).division).operations
}

/// An insert that goes along a cylinder up to a high wall would cut with its whole main edge: such a wall is
/// faced before.
#[test]
fn no_finishing_cut_is_as_deep_as_a_high_wall() {
    for name in ["mm/thumb-screw", "inch/hose-tail"] {
        let job = gallery(name);
        let bar = plan::bar::divide(&job);
        let process = Process::of(&job, &bar.division);
        let mechanics = plan::mechanics::reckon(&job, &bar, &process);
        let finish = process.operations.iter().find(|it| it.work == Work::Finish).unwrap();
        let takes = job.tools.station(finish.station).unwrap().takes.most_depth.unwrap();
        let mut cuts = 0;
        for (operation, cut) in mechanics.cuts().filter(|(name, _)| *name == finish.name) {
            let depth = match cut.feeding {
                Feeding::Along { from, to, .. } | Feeding::Thread { from, to, .. } => {
                    (from - to).abs().half()
                }
                Feeding::Across { depth, .. } => depth,
            };
            assert!(depth <= takes, "{name}: {operation} is {depth:?} deep");
            cuts += 1;
        }
        assert!(cuts > 2, "{name}: cuts are found");
    }
}

/// A drill that begins in the cone of a wider hole comes out of the part before the turret goes aside.
#[test]
fn every_drill_ends_in_front_of_the_face() {
    for name in ["mm/nozzle", "mm/bushing", "inch/drum", "inch/jam-nut"] {
        let drills = operations(&gallery(name));
        let mut drills = drills.iter().filter(|it| it.work == Work::Drill).peekable();
        assert!(drills.peek().is_some(), "{name} is drilled");
        for drill in drills {
            assert!(drill.moves.last().unwrap().to.z.is_positive(), "{name}: {drill:?}");
        }
    }
}

/// A blade stays between the walls of its groove, on its way off them too.
#[test]
fn a_blade_stays_in_its_groove() {
    for name in ["inch/clevis-pin", "mm/valve-stem", "mm/pulley-hub", "inch/spool"] {
        let job = gallery(name);
        let features = &job.file.part.features;
        let feature = features.iter().find(|it| it.kind == FeatureKind::Groove).unwrap();
        let groove = feature.groove().unwrap();
        let operations = operations(&job);
        let plunge = operations.iter().find(|it| it.work == Work::Groove).unwrap();
        let width = job.tools.station(plunge.station).unwrap().width.unwrap();
        let rounding = Length::from_um(3);
        let inside = plunge.moves.iter().filter(|it| matches!(it.way, Way::Straight(_)));
        for one in inside {
            let (chuck, front) = (one.to.z, one.to.z + width);
            let between = chuck >= -groove.to - rounding && front <= -groove.from + rounding;
            assert!(
                between,
                "{name}: {one:?} of a groove from {:?} to {:?}",
                groove.from, groove.to
            );
        }
    }
}
