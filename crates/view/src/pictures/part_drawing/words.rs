//! What a drawing says beside each feature.

use model::files::job::{Feature, FeatureKind, Part};
use model::quantity::Roughness;
use model::standards::undercut::UndercutForm;
use model::{Length, Units};

/// The features of a part in words.
pub(super) struct Words {
    /// Units of the words.
    pub units: Units,
}

impl Words {
    /// What stands beside a feature that starts at a diameter and has this length.
    pub(super) fn of(&self, feature: &Feature, start: Length, long: Length) -> String {
        let what = match feature.kind {
            FeatureKind::Chamfer => format!("{} × 45°", self.figure(feature.size)),
            FeatureKind::Corner => format!("R{}", self.figure(feature.radius)),
            FeatureKind::Diameter => self.diameter(feature),
            FeatureKind::Taper => self.cone(feature, start, long),
            FeatureKind::Arc => {
                let hollow = if feature.hollow { " hollow" } else { "" };
                let radius = self.figure(feature.radius);
                format!("R{radius}{hollow} to {}", self.diameter(feature))
            }
            FeatureKind::Groove => self.groove(feature),
            FeatureKind::Undercut => self.undercut(feature),
            FeatureKind::Bore if start == feature.diameter => {
                format!("bore {}", self.diameter(feature))
            }
            FeatureKind::Bore => format!("bore {}", self.cone(feature, start, long)),
            FeatureKind::Hole => self.hole(feature),
            FeatureKind::Thread => self.thread(feature),
            FeatureKind::Knurl => self.knurl(feature),
        };
        let inside = if feature.inside { "inside " } else { "" };
        let rear = if feature.back { "rear " } else { "" };
        let roughness = feature.ra.map_or(String::new(), |ra| format!("  {}", self.roughness(ra)));
        let note = feature.note.as_ref().map_or(String::new(), |note| format!("  {note}"));
        let later = if feature.later { "  (another operation)" } else { "" };
        format!("{inside}{rear}{what}{roughness}{note}{later}")
    }

    /// The diameter with its tolerance: class and limits.
    fn diameter(&self, feature: &Feature) -> String {
        let class =
            feature.tolerance.as_ref().map_or(String::new(), |class| format!(" {}", class.name()));
        let limits = tolerance(feature.deviations, self.units);
        format!("⌀{}{class}{limits}", self.figure(feature.diameter))
    }

    fn groove(&self, feature: &Feature) -> String {
        let where_ = if feature.face { "face groove" } else { "groove" };
        let width = tolerance(feature.width_deviations, self.units);
        let ring = feature.ring.map_or(String::new(), |ring| format!(", {}", ring.name()));
        let (wide, diameter) = (self.figure(feature.width), self.diameter(feature));
        format!("{where_} {wide}{width} × {diameter}{ring}")
    }

    fn undercut(&self, feature: &Feature) -> String {
        let form = match feature.undercut.map(|undercut| undercut.form) {
            Some(UndercutForm::E) => " DIN 509 E",
            Some(UndercutForm::F) => " DIN 509 F",
            Some(UndercutForm::Thread | UndercutForm::ShortThread) => " DIN 76",
            None => "",
        };
        let size = feature.undercut.map_or(String::new(), |it| {
            let [radius, depth, width] = [it.radius, it.depth, it.width].map(|it| self.figure(it));
            format!(", R{radius}, {depth} deep, {width} wide")
        });
        format!("undercut{form}{size}")
    }

    fn hole(&self, feature: &Feature) -> String {
        let reamed = if feature.reamed { ", reamed" } else { "" };
        let end = if feature.through {
            ", through".to_owned()
        } else {
            format!(", point {}°", feature.point_angle)
        };
        format!("hole {}{reamed}{end}", self.diameter(feature))
    }

    fn knurl(&self, feature: &Feature) -> String {
        let name = feature.knurl.map_or(String::new(), |knurl| format!(" {}", knurl.name()));
        let before = feature
            .before_knurling()
            .map_or(String::new(), |before| format!(", turned to ⌀{} before", self.figure(before)));
        format!("knurl{name} {}{before}", self.diameter(feature))
    }

    /// As short as it can be.
    fn figure(&self, length: Length) -> String {
        length.round_to(self.units, self.units.decimals() + 1).shortest(self.units)
    }

    fn cone(&self, feature: &Feature, start: Length, long: Length) -> String {
        let rise = (feature.diameter - start).half().mm().abs();
        let angle = libm::atan2(rise, long.mm()).to_degrees();
        let (start, end) = (self.figure(start), self.diameter(feature));
        format!("⌀{start} to {end}, {angle:.2}° to the axis")
    }

    fn thread(&self, feature: &Feature) -> String {
        if let Some(form) = feature.form.as_ref().filter(|form| !form.name.is_empty()) {
            return format!("thread {}", form.name);
        }
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
        let goes_on = matches!(feature.kind, FeatureKind::Taper | FeatureKind::Arc);
        let diameter = feature.start.unwrap_or(if goes_on { end.0 } else { feature.diameter });
        let from = match feature.kind {
            FeatureKind::Groove => feature.groove().map_or(feature.to, |it| it.from),
            FeatureKind::Undercut => {
                feature.undercut.map_or(feature.to, |it| feature.to - it.width)
            }
            // What lies deeper than the bore is the hole's own.
            FeatureKind::Hole => deepest.min(feature.to),
            FeatureKind::Thread | FeatureKind::Knurl => feature.from,
            _ => end.1,
        };
        starts.push((diameter, from));
        if is_stretch(feature) && !feature.later {
            ends[usize::from(inside)] = (feature.diameter, feature.to);
        }
    }
    starts
}

/// Whether a feature takes the outside or the bore a stretch farther.
fn is_stretch(feature: &Feature) -> bool {
    feature.on_outside() || matches!(feature.kind, FeatureKind::Bore | FeatureKind::Arc)
}

/// Whether a feature breaks an edge.
pub(super) const fn edge(kind: FeatureKind) -> bool {
    matches!(kind, FeatureKind::Chamfer | FeatureKind::Corner)
}
