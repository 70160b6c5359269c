//! The bar in the spindle: from the files of a job to the highest speed over a bar's life.

use crate::bar::BarPlan;
use calc::whirl::{Between, Bow, Holds, JawHold, Life, Section, Stock, Support, Way};
use model::files::job::{Condition, Job};
use model::files::lathe::{BarWay, Guide, GuideKind};
use model::quantity::{Density, YoungsModulus};

/// A bar's life in this job. Without a word about the bar's straightness it is
/// [`Bow::AS_DRAWN`]; without one about what guides it, only the jaws hold it.
///
/// Guides that the bar does not pass through are left out: see [`too_narrow`].
pub fn life(
    job: &Job,
    bar: &BarPlan,
    modulus: Between<YoungsModulus>,
    density: Between<Density>,
) -> Life {
    let way = job.lathe.bar_way.clone().unwrap_or_default();
    Life {
        stock: Stock {
            section: Section::of(job.file.bar.shape, job.file.bar.size),
            length: bar.blank,
            length_tolerance: bar.tolerance,
            modulus,
            density,
            bow: job.file.bar.condition.and_then(bow).unwrap_or(Bow::AS_DRAWN),
        },
        way: of_lathe(job, &way),
        division: bar.division,
        separation: way.separation.unwrap_or(Life::SEPARATION),
        most_side_force: way.most_side_force,
    }
}

/// The guides, by their place in the lathe file, that the bar does not pass through.
pub fn too_narrow(job: &Job) -> Vec<usize> {
    let reach = job.file.bar.reach();
    let guides = job.lathe.bar_way.iter().flat_map(|way| &way.guides);
    let narrow = guides.enumerate().filter(|(_, guide)| guide.play_of(reach).is_none());
    narrow.map(|(index, _)| index).collect()
}

fn bow(condition: Condition) -> Option<Bow> {
    condition.bow.map(|rise| Bow { rise, over: condition.over })
}

fn of_lathe(job: &Job, way: &BarWay) -> Way {
    let lathe = &job.lathe;
    let reach = job.file.bar.reach();
    let jaws = match way.jaws {
        Some((lateral, tilt)) => JawHold::Springs { lateral, tilt },
        None => JawHold::Rigid,
    };
    let support = |guide: &Guide| {
        Some(Support { at: guide.at, holds: holds(guide), play: guide.play_of(reach)? })
    };
    Way {
        jaws,
        supports: way.guides.iter().filter_map(support).collect(),
        most_play: way.most_play.unwrap_or(Way::MOST_PLAY),
        bore: Some(lathe.spindle.bore),
        ..Way::of_jaws(lathe.chuck.jaw_length, lathe.spindle.jaw_face_to_rear)
    }
}

fn holds(guide: &Guide) -> Holds {
    let to = guide.to.unwrap_or(guide.at);
    match (guide.kind, guide.stiffness, guide.bed_stiffness) {
        (GuideKind::Liner, _, Some(stiffness)) => Holds::Bed { to, stiffness },
        (GuideKind::Liner, _, None) => Holds::Liner { to },
        (GuideKind::Ring | GuideKind::Bushing, Some(lateral), _) => {
            Holds::Spring { lateral, tilt: model::quantity::TiltStiffness::default() }
        }
        (GuideKind::Ring | GuideKind::Bushing, None, _) => Holds::Pin,
    }
}
