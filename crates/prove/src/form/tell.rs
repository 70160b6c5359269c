//! A deviation in words.

use super::Deviation;
use crate::report::shown;
use crate::setup::Setup;
use model::Length;
use model::files::keys::Choice as _;

/// Where it is: "4.000 mm behind the front face, at diameter 8.000 mm".
pub fn place(setup: &Setup, deviation: &Deviation) -> String {
    let behind = match -deviation.at.z {
        Length::ZERO => "at the front face".to_owned(),
        behind => format!("{} behind the front face", shown(setup, behind)),
    };
    format!("{behind}, where the part measures {} across", shown(setup, deviation.at.r * 2))
}

/// What the drawing wants there: its feature, and where its tolerance comes from.
pub fn feature(setup: &Setup, deviation: &Deviation) -> String {
    let features = setup.drawing.as_ref().map(|drawing| &drawing.features);
    let found =
        features.zip(deviation.feature).and_then(|(all, index)| Some((index, all.get(index)?)));
    let Some((index, feature)) = found else {
        return "The drawing has no feature there.".to_owned();
    };
    let size = if feature.diameter == Length::ZERO {
        String::new()
    } else {
        format!(" {}", shown(setup, feature.diameter))
    };
    let name = format!("Feature {} of the drawing ({}{size})", index + 1, feature.kind.word());
    let (upper, lower) = feature.deviations;
    if upper == Length::ZERO && lower == Length::ZERO {
        return format!(
            "{name} has no tolerance of its own, so the general one of ISO 2768-1, medium, holds."
        );
    }
    format!("{name} allows from {} to {}.", shown(setup, lower), shown(setup, upper))
}
