//! The sizes of a part that a person measures, each with its limits.

use calc::tolerance;
use model::Length;
use model::files::job::{Feature, FeatureKind, JobFile};
use model::quantity::Roughness;

/// What a size is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeOf {
    /// A feature's diameter, by the feature's place in the list.
    Diameter(usize),
    /// The distance from the front face to where a feature ends.
    End(usize),
    /// The whole length.
    Length,
}

/// One size with its limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// Its number on the drawing and in every table.
    pub number: u32,
    /// What it is of.
    pub of: SizeOf,
    /// What it is, in plain words.
    pub words: String,
    /// As the drawing has it.
    pub nominal: Length,
    /// The least and the most that it may be; none where no tolerance is known.
    pub limits: Option<(Length, Length)>,
    /// Whether the drawing gives the limits itself; else they are those of ISO 2768-1, medium.
    pub own: bool,
    /// Mean roughness that it may have, where the drawing says so.
    pub ra: Option<Roughness>,
}

impl Size {
    /// The middle between its limits.
    pub fn middle(&self) -> Option<Length> {
        let (least, most) = self.limits?;
        Some((least + most).half())
    }
}

/// Every size that this operation makes: diameters first, from the front face back, then lengths.
pub fn sizes(file: &JobFile) -> Vec<Size> {
    let features = file.part.features.iter().enumerate();
    let here: Vec<(usize, &Feature)> = features.filter(|(_, feature)| !feature.later).collect();
    let mut sizes: Vec<Size> = Vec::new();
    let mut add = |of, words: String, nominal: Length, own: (Length, Length), ra| {
        let number = sizes.len() as u32 + 1;
        let given = own != (Length::ZERO, Length::ZERO);
        let limits = if given {
            Some((nominal + own.1, nominal + own.0))
        } else {
            tolerance::linear_medium(nominal).ok().map(|off| (nominal - off, nominal + off))
        };
        sizes.push(Size { number, of, words, nominal, limits, own: given, ra });
    };
    for (index, feature) in &here {
        if let Some(words) = diameter(feature) {
            let of = SizeOf::Diameter(*index);
            add(of, words.to_owned(), feature.diameter, feature.deviations, feature.ra);
        }
    }
    let mut ends: Vec<(Length, usize, &Feature)> = Vec::new();
    for (index, feature) in &here {
        let inside = feature.to.is_positive() && feature.to < file.part.length;
        if inside && !ends.iter().any(|(end, ..)| *end == feature.to) {
            ends.push((feature.to, *index, feature));
        }
    }
    ends.sort_by_key(|(end, ..)| *end);
    let none = (Length::ZERO, Length::ZERO);
    for (end, index, feature) in ends {
        let words = format!("front face to the end of the {}", name(feature));
        add(SizeOf::End(index), words, end, none, None);
    }
    let whole = "whole length, front face to back face".to_owned();
    add(SizeOf::Length, whole, file.part.length, file.part.length_deviations, None);
    sizes
}

/// What the diameter of a feature is called; none where it has none of its own to be measured.
fn diameter(feature: &Feature) -> Option<&'static str> {
    Some(match feature.kind {
        FeatureKind::Diameter => "diameter",
        FeatureKind::Taper => "diameter at the taper's end",
        FeatureKind::Arc => "diameter at the arc's end",
        FeatureKind::Groove if feature.face => "outer wall of the face groove",
        FeatureKind::Groove => "ground of the groove",
        // Over the points: what a knurl comes to hangs on the knurling.
        FeatureKind::Knurl => "over the knurl",
        FeatureKind::Bore => "bore",
        FeatureKind::Hole => "hole",
        // Threads have a table of their own.
        FeatureKind::Thread
        | FeatureKind::Chamfer
        | FeatureKind::Corner
        | FeatureKind::Undercut => return None,
    })
}

fn name(feature: &Feature) -> &'static str {
    match feature.kind {
        FeatureKind::Diameter => "diameter",
        FeatureKind::Taper => "taper",
        FeatureKind::Arc => "arc",
        FeatureKind::Groove => "groove",
        FeatureKind::Bore => "bore",
        FeatureKind::Hole => "hole",
        FeatureKind::Thread => "thread",
        FeatureKind::Knurl => "knurl",
        FeatureKind::Undercut => "undercut",
        FeatureKind::Chamfer | FeatureKind::Corner => "edge",
    }
}
