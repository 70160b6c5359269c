//! Small drawings of the kinds of feature: the upper half of a part, its front face on the right, and the feature
//! itself drawn heavier.

use maud::{Markup, html};
use model::files::job::FeatureKind;

/// Outline of the metal, and the line of the feature, in a box of 48 by 32 with the axis at 30.
const fn lines(kind: FeatureKind) -> (&'static str, &'static str) {
    match kind {
        FeatureKind::Chamfer => ("M4 30V9H35L44 18V30Z", "M35 9L44 18"),
        FeatureKind::Corner => ("M4 30V9H33A11 11 0 0 1 44 20V30Z", "M33 9A11 11 0 0 1 44 20"),
        FeatureKind::Diameter => ("M4 30V5H18V14H44V30Z", "M18 14H44"),
        FeatureKind::Taper => ("M4 30V6H14L44 19V30Z", "M14 6L44 19"),
        FeatureKind::Arc => ("M4 30V6H14A34 34 0 0 1 44 22V30Z", "M14 6A34 34 0 0 1 44 22"),
        FeatureKind::Groove => ("M4 30V8H19V18H29V8H44V30Z", "M19 8V18H29V8"),
        FeatureKind::Undercut => {
            ("M4 30V4H18V13Q18 18 23 18H26L32 13H44V30Z", "M18 9V13Q18 18 23 18H26L32 13H36")
        }
        FeatureKind::Bore => ("M4 6H44V20H4Z", "M4 20H44"),
        FeatureKind::Hole => ("M4 30V6H44V20H19L11 30Z", "M44 20H19L11 30"),
        FeatureKind::Thread => (
            "M4 30V9H44V30Z",
            "M44 9L42 13 40 9 38 13 36 9 34 13 32 9 30 13 28 9 26 13 24 9 22 13 20 9",
        ),
        FeatureKind::Knurl => (
            "M4 30V9H44V30Z",
            "M16 9L24 30M22 9L30 30M28 9L36 30M34 9L38 19M24 9L16 30M30 9L22 30M36 9L28 30M16 20L18 25M38 19L34 30",
        ),
    }
}

/// The drawing of a kind. Its name stands beside it, so that it is passed over when read aloud.
pub(super) fn drawn(kind: FeatureKind) -> Markup {
    let (metal, own) = lines(kind);
    html! {
        svg class="kind" viewBox="0 0 48 32" width="48" height="32" aria-hidden="true" {
            path class="metal" d=(metal) {}
            path class="own" d=(own) {}
            path class="axis" d="M1 30H47" {}
        }
    }
}
