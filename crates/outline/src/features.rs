//! The features of a section, as a job file lists them.

use crate::JOIN;
use crate::drawing::Scale;
use crate::profile::{Knot, Profile, Round, Stretch, is_step};
use model::files::job::{Feature, FeatureKind};
use model::{Diagnostic, Length, Source, Units};

/// A part: its length, its largest diameter, its features from the front face back.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Features {
    pub(crate) length: Length,
    pub(crate) largest: Length,
    pub(crate) list: Vec<Feature>,
}

impl Features {
    /// The diameter of the outside at the front face.
    pub(crate) fn front_diameter(&self) -> Length {
        let mut edge = Length::ZERO;
        for feature in &self.list {
            match feature.kind {
                FeatureKind::Chamfer if !feature.inside => edge = feature.size * 2,
                FeatureKind::Corner if !feature.inside => edge = feature.radius * 2,
                _ if feature.on_outside() => {
                    let start = match feature.kind {
                        FeatureKind::Diameter => feature.diameter,
                        _ => Length::ZERO,
                    };
                    return feature.start.unwrap_or(start) - edge;
                }
                _ => {}
            }
        }
        Length::ZERO
    }

    /// The smallest diameter of the bore; none where there is none.
    pub(crate) fn bore_diameter(&self) -> Option<Length> {
        let inside = |it: &&Feature| matches!(it.kind, FeatureKind::Bore | FeatureKind::Hole);
        self.list.iter().filter(inside).map(|it| it.diameter).min()
    }
}

/// The features of a section.
pub(crate) fn of(
    source: &Source,
    profile: &Profile,
    scale: &Scale,
) -> Result<Features, Diagnostic> {
    let round = Rounded(scale.units.unwrap_or(Units::Mm));
    let mut outside = Walk { round, inside: false, features: Vec::new(), at: Length::ZERO };
    outside.along(&profile.outside);
    let mut features = with_grooves(&outside.features);
    let mut bore = profile.bore.clone();
    let hole = bottom(source, &mut bore, round)?;
    let mut inside = Walk { round, inside: true, features: Vec::new(), at: Length::ZERO };
    inside.along(&bore);
    features.extend(hole);
    features.extend(with_grooves(&inside.features));
    let largest = profile.outside.iter().flat_map(Stretch::reach).fold(0.0, f64::max);
    let largest = round.length(largest.round() as i64);
    Ok(Features { length: round.length(profile.length), largest, list: features })
}

/// Lengths as the units of the file can say them: a nanometer, or a hundred-thousandth of an inch.
#[derive(Debug, Clone, Copy)]
struct Rounded(Units);

impl Rounded {
    fn length(self, nm: i64) -> Length {
        let decimals = match self.0 {
            Units::Mm => 6,
            Units::Inch => 5,
        };
        Length::from_nm(nm).round_to(self.0, decimals)
    }
}

/// A walk from the front face back, on the outside or in the bore.
struct Walk {
    round: Rounded,
    inside: bool,
    features: Vec<Feature>,
    /// The diameter at which the stretch before ended; zero in front of the first.
    at: Length,
}

impl Walk {
    fn along(&mut self, stretches: &[Stretch]) {
        for (index, stretch) in stretches.iter().enumerate() {
            if is_step(stretch) {
                continue;
            }
            let cylinder = stretches.get(index + 1).filter(|it| is_cylinder(it));
            let feature = match stretch.round {
                None if is_cylinder(stretch) => self.cylinder(stretch),
                None => match cylinder.and_then(|_| self.chamfer(stretch)) {
                    Some(chamfer) => chamfer,
                    None => self.taper(stretch),
                },
                Some(round) => match cylinder.and_then(|_| self.corner(stretch, &round)) {
                    Some(corner) => corner,
                    None => self.arc(stretch, &round),
                },
            };
            if !matches!(feature.kind, FeatureKind::Chamfer | FeatureKind::Corner) {
                self.at = self.diameter(stretch.to);
            }
            self.features.push(feature);
        }
    }

    fn diameter(&self, knot: Knot) -> Length {
        self.round.length(knot.diameter)
    }

    /// Where it starts, if that is not where the stretch before it ends.
    fn start(&self, stretch: &Stretch) -> Option<Length> {
        let start = self.diameter(stretch.from);
        (start != self.at).then_some(start)
    }

    fn cylinder(&self, stretch: &Stretch) -> Feature {
        let kind = if self.inside { FeatureKind::Bore } else { FeatureKind::Diameter };
        let to = self.round.length(stretch.to.depth);
        Feature { diameter: self.diameter(stretch.to), to, ..Feature::of(kind) }
    }

    fn taper(&self, stretch: &Stretch) -> Feature {
        let kind = if self.inside { FeatureKind::Bore } else { FeatureKind::Taper };
        let start = self.diameter(stretch.from);
        // A bore without `start` is a cylinder.
        let start = if self.inside { Some(start) } else { self.start(stretch) };
        let to = self.round.length(stretch.to.depth);
        Feature { diameter: self.diameter(stretch.to), start, to, ..Feature::of(kind) }
    }

    fn arc(&self, stretch: &Stretch, round: &Round) -> Feature {
        Feature {
            diameter: self.diameter(stretch.to),
            start: self.start(stretch),
            to: self.round.length(stretch.to.depth),
            radius: self.round.length(round.radius.round() as i64),
            hollow: round.ccw,
            inside: self.inside,
            ..Feature::of(FeatureKind::Arc)
        }
    }

    /// How far a stretch goes along the axis and, on the radius, into the metal.
    fn legs(&self, stretch: &Stretch) -> (i64, i64) {
        let grows = (stretch.to.diameter - stretch.from.diameter) / 2;
        (stretch.to.depth - stretch.from.depth, if self.inside { -grows } else { grows })
    }

    /// A chamfer breaks the front edge of the cylinder behind it, at 45°.
    fn chamfer(&self, stretch: &Stretch) -> Option<Feature> {
        let (along, across) = self.legs(stretch);
        let size = self.round.length(along);
        let chamfer = (along - across).abs() <= JOIN && along > JOIN;
        let feature = Feature { size, inside: self.inside, ..Feature::of(FeatureKind::Chamfer) };
        chamfer.then_some(feature)
    }

    /// A corner is a quarter of a circle that goes over into the cylinder behind it.
    fn corner(&self, stretch: &Stretch, round: &Round) -> Option<Feature> {
        let (along, across) = self.legs(stretch);
        let radius = round.radius.round() as i64;
        let quarter = (along - radius).abs() <= JOIN && (across - radius).abs() <= JOIN;
        // Its center lies in the metal: toward the axis outside, away from it inside.
        let corner = quarter && round.ccw == self.inside;
        let radius = self.round.length(radius);
        let feature = Feature { radius, inside: self.inside, ..Feature::of(FeatureKind::Corner) };
        corner.then_some(feature)
    }
}

fn is_cylinder(stretch: &Stretch) -> bool {
    let change = stretch.to.diameter - stretch.from.diameter;
    stretch.round.is_none() && change.abs() <= 2 * JOIN && !is_step(stretch)
}

/// A cylinder between two steps up to one larger diameter is a groove in it; in a bore, down to a smaller one.
fn with_grooves(features: &[Feature]) -> Vec<Feature> {
    let mut cylinders: Vec<Grooved> = Vec::new();
    for feature in features {
        if !goes_on_behind_groove(&mut cylinders, feature) {
            cylinders.push(Grooved { feature: feature.clone(), grooves: Vec::new() });
        }
    }
    let one_by_one = |it: Grooved| std::iter::once(it.feature).chain(it.grooves);
    cylinders.into_iter().flat_map(one_by_one).collect()
}

/// A feature with the grooves in it, which stand behind it in a job file.
struct Grooved {
    feature: Feature,
    grooves: Vec<Feature>,
}

/// Whether this cylinder goes on from the last but one, so that the last is a groove; it is made one.
fn goes_on_behind_groove(cylinders: &mut Vec<Grooved>, feature: &Feature) -> bool {
    let [.., before, ground] = cylinders.as_slice() else { return false };
    let kind = feature.kind;
    let is_cylinder = |it: &Feature| it.kind == kind && it.start.is_none();
    let inside = kind == FeatureKind::Bore;
    let one = inside || kind == FeatureKind::Diameter;
    let cylinders_all = [&before.feature, &ground.feature, feature].into_iter().all(is_cylinder);
    let same = before.feature.diameter == feature.diameter;
    let deep = if inside {
        ground.feature.diameter > feature.diameter
    } else {
        ground.feature.diameter < feature.diameter
    };
    if !(one && cylinders_all && same && deep) {
        return false;
    }
    let (Some(ground), Some(before)) = (cylinders.pop(), cylinders.last_mut()) else {
        return false;
    };
    let (diameter, to) = (ground.feature.diameter, ground.feature.to);
    let width = to - before.feature.to;
    before.grooves.push(Feature {
        diameter,
        to,
        width,
        inside,
        ..Feature::of(FeatureKind::Groove)
    });
    before.grooves.extend(ground.grooves);
    before.feature.to = feature.to;
    true
}

/// Takes the bottom off a bore that ends on the axis: a flat one is none of its features, a cone is that of
/// a drilled hole, which takes the cylinder in front of it too.
fn bottom(
    source: &Source,
    bore: &mut Vec<Stretch>,
    round: Rounded,
) -> Result<Option<Feature>, Diagnostic> {
    let Some(last) = bore.last().copied().filter(|it| it.to.diameter == 0) else { return Ok(None) };
    if is_step(&last) {
        bore.pop();
        return Ok(None);
    }
    let refused = |message: &str| {
        let help = "draw the cone of a drill or a flat bottom, or leave the bore out";
        Err(Diagnostic::new(source, last.span, message.to_owned()).help(help))
    };
    let cylinder = bore.len().checked_sub(2).map(|index| bore[index]).filter(is_cylinder);
    let Some(cylinder) = cylinder.filter(|_| last.round.is_none()) else {
        return refused("the bore ends in a shape that no feature of a job says");
    };
    let narrower = |it: &Stretch| it.reach()[0] < (cylinder.to.diameter - 2 * JOIN) as f64;
    if bore[..bore.len() - 1].iter().any(narrower) {
        return refused(
            "the bore is narrower in front of this hole than at its end: a drill makes no such hole",
        );
    }
    let (along, across) =
        ((last.to.depth - last.from.depth) as f64, last.from.diameter as f64 / 2.0);
    let angle = 2.0 * libm::atan2(across, along).to_degrees();
    let point_angle = (angle * 1e3).round() / 1e3;
    if !(30.0..=180.0).contains(&point_angle) {
        return refused("the cone at the end of the bore is sharper than any drill's point");
    }
    bore.pop();
    bore.pop();
    // A step in front of the cylinder goes with it.
    if bore.last().is_some_and(is_step) {
        bore.pop();
    }
    Ok(Some(Feature {
        diameter: round.length(cylinder.to.diameter),
        to: round.length(cylinder.to.depth),
        point_angle,
        ..Feature::of(FeatureKind::Hole)
    }))
}
