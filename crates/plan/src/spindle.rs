//! The bar in the spindle: from the files of a job to the highest speed over a bar's life.

use crate::bar::BarPlan;
use calc::whirl::{Between, Bow, Curve, Holds, JawHold, Life, Section, Stock, Support, Way};
use model::files::job::{Condition, Job};
use model::files::lathe::{BarWay, Guide, GuideKind};
use model::quantity::{Density, Modulus};

/// A bar's life in this job. Without a word about the bar's straightness it is
/// [`Bow::AS_DRAWN`]; without one about what guides it, only the jaws hold it.
///
/// Guides that the bar does not pass through are left out: see [`too_narrow`].
pub fn life(
    job: &Job,
    bar: &BarPlan,
    modulus: Between<Modulus>,
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
            bow: bow_of(job),
        },
        way: of_lathe(job, &way),
        division: bar.division,
        separation: way.separation.unwrap_or(Life::SEPARATION),
        most_side_force: way.most_side_force,
    }
}

/// How far the modulus of a material may lie from the figure in its file, as a share; from memory.
const MODULUS_WITHIN: f64 = 0.03;

/// How fast the bar may turn at each of its parts; else what is lacking to know it.
///
/// # Errors
/// A sentence for the person who must fill the files.
pub fn curve(job: &Job, bar: &BarPlan) -> Result<Curve, &'static str> {
    let material = &job.material;
    let stiffness = material.stiffness.as_ref();
    let modulus = stiffness.ok_or("the material file does not say how stiff the material is")?;
    let guided = job.lathe.bar_way.as_ref().is_some_and(|way| !way.guides.is_empty());
    if !guided {
        return Err("the lathe file does not say what guides the bar behind the jaws");
    }
    if !too_narrow(job).is_empty() {
        return Err("a guide of the lathe file is narrower than the bar");
    }
    // A liner that does not give way at all would hold any bar at any speed: nobody has one.
    let rigid = |guide: &Guide| guide.kind == GuideKind::Liner && guide.bed_stiffness.is_none();
    if job.lathe.bar_way.iter().flat_map(|way| &way.guides).any(rigid) {
        return Err("the lathe file does not say how stiff its liner is (`bed_stiffness`)");
    }
    let gpa = modulus.modulus.gpa();
    let at = |share: f64| Modulus::from_gpa(gpa * (1.0 + share));
    let modulus = Between { low: at(-MODULUS_WITHIN), likely: at(0.0), high: at(MODULUS_WITHIN) };
    let life = life(job, bar, modulus, Between::exactly(material.density));
    life.curve(bar.parts_per_bar).map_err(|_| "the figures of bar and lathe do not go together")
}

/// The guides, by their place in the lathe file, that the bar does not pass through.
pub fn too_narrow(job: &Job) -> Vec<usize> {
    let reach = job.file.bar.reach();
    let guides = job.lathe.bar_way.iter().flat_map(|way| &way.guides);
    let narrow = guides.enumerate().filter(|(_, guide)| guide.play_of(reach).is_none());
    narrow.map(|(index, _)| index).collect()
}

/// How bent the bar is; where the job does not say, as a bar is when it is drawn.
pub fn bow_of(job: &Job) -> Bow {
    job.file.bar.condition.and_then(bow).unwrap_or(Bow::AS_DRAWN)
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
