//! What a drawing says beside each feature.

use model::files::job::{Feature, FeatureKind, Part};
use model::quantity::Roughness;
use model::{Length, Units};

/// The features of a part in words.
pub(super) struct Words {
    /// Units of the words.
    pub units: Units,
}

impl Words {
    /// What stands beside a feature that starts at a diameter and has this length.
    pub(super) fn of(&self, feature: &Feature, start: Length, long: Length) -> String {
        let diameter = || format!("⌀{}", self.figure(feature.diameter));
        let what = match feature.kind {
            FeatureKind::Chamfer => format!("{} × 45°", self.figure(feature.size)),
            FeatureKind::Corner => format!("R{}", self.figure(feature.radius)),
            FeatureKind::Diameter => diameter(),
            FeatureKind::Taper => self.cone(feature, start, long),
            FeatureKind::Arc => {
                let hollow = if feature.hollow { " hollow" } else { "" };
                format!("R{}{hollow} to {}", self.figure(feature.radius), diameter())
            }
            FeatureKind::Groove => {
                format!("groove {} × {}", self.figure(feature.width), diameter())
            }
            FeatureKind::Bore if start == feature.diameter => format!("bore {}", diameter()),
            FeatureKind::Bore => format!("bore {}", self.cone(feature, start, long)),
            FeatureKind::Hole => format!("hole {}, point {}°", diameter(), feature.point_angle),
            FeatureKind::Thread => self.thread(feature),
        };
        let inside = if feature.inside { "inside " } else { "" };
        let tolerance = tolerance(feature.deviations, self.units);
        let roughness = feature.ra.map_or(String::new(), |ra| format!("  {}", self.roughness(ra)));
        let later = if feature.later { "  (another operation)" } else { "" };
        format!("{inside}{what}{tolerance}{roughness}{later}")
    }

    /// As short as it can be.
    fn figure(&self, length: Length) -> String {
        length.round_to(self.units, self.units.decimals() + 1).shortest(self.units)
    }

    fn cone(&self, feature: &Feature, start: Length, long: Length) -> String {
        let rise = (feature.diameter - start).half().mm().abs();
        let angle = libm::atan2(rise, long.mm()).to_degrees();
        format!(
            "⌀{} to ⌀{}, {angle:.2}° to the axis",
            self.figure(start),
            self.figure(feature.diameter)
        )
    }

    fn thread(&self, feature: &Feature) -> String {
        let starts = match feature.starts {
            1 => String::new(),
            starts => format!(", {starts} starts"),
        };
        let pitch = self.figure(feature.pitch);
        format!("thread ⌀{}, pitch {pitch}{starts}", self.figure(feature.diameter))
    }

    fn roughness(&self, ra: Roughness) -> String {
        match self.units {
            Units::Mm => format!("Ra {}", trimmed(ra.um())),
            Units::Inch => format!("Ra {} µin", trimmed(ra.um() / 0.025_4)),
        }
    }
}

fn trimmed(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The deviations as a drawing has them, behind the figure; nothing where there are none.
pub(super) fn tolerance((upper, lower): (Length, Length), units: Units) -> String {
    if upper == Length::ZERO && lower == Length::ZERO {
        return String::new();
    }
    let signed = |length: Length| match length {
        Length::ZERO => "0".to_owned(),
        _ if length.is_negative() => format!("−{}", (-length).shortest(units)),
        _ => format!("+{}", length.shortest(units)),
    };
    if upper == -lower {
        return format!(" ±{}", upper.shortest(units));
    }
    format!(" {}/{}", signed(upper), signed(lower))
}

/// Where each feature starts: the diameter and the distance from the front face.
pub(super) fn starts(part: &Part) -> Vec<(Length, Length)> {
    // The outside and the bore each go on from where they ended.
    let mut ends = [(Length::ZERO, Length::ZERO); 2];
    let mut starts = Vec::new();
    let bore = |it: &&Feature| it.kind == FeatureKind::Bore && !it.later;
    let deepest = part.features.iter().filter(bore).map(|it| it.to).max().unwrap_or_default();
    for feature in &part.features {
        let inside = feature.inside || feature.kind == FeatureKind::Bore;
        let end = ends[usize::from(inside)];
        let stretch = feature.on_outside() || inside && !edge(feature.kind);
        let goes_on = matches!(feature.kind, FeatureKind::Taper | FeatureKind::Arc);
        let diameter = feature.start.unwrap_or(if goes_on { end.0 } else { feature.diameter });
        let from = match feature.kind {
            FeatureKind::Groove => feature.to - feature.width,
            // What lies deeper than the bore is the hole's own.
            FeatureKind::Hole => deepest.min(feature.to),
            FeatureKind::Thread => feature.from,
            _ => end.1,
        };
        starts.push((diameter, from));
        if stretch && !feature.later && feature.kind != FeatureKind::Thread {
            ends[usize::from(inside)] = (feature.diameter, feature.to);
        }
    }
    starts
}

/// Whether a feature breaks the edge of the one that follows.
pub(super) const fn edge(kind: FeatureKind) -> bool {
    matches!(kind, FeatureKind::Chamfer | FeatureKind::Corner)
}
