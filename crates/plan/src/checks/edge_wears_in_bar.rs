#![doc = include_str!("edge_wears_in_bar.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let parts = f64::from(planned.bar.parts_per_bar.min(planned.job.file.order.quantity));
    for edge in planned.edges {
        let lasts = match &edge.parts {
            Ok(lasts) => lasts.map(f64::from),
            Err(lack) => {
                let what = format!("how long the edge of station {} lasts, {}", edge.station, edge.name);
                out.unproven(&what, lack.why.clone());
                continue;
            }
        };
        let Spread { low, nominal, high } = lasts;
        out.about(&format!("station {}", edge.station), Line {
            value: lasts,
            limit: Limit::Least(parts),
            unit: "parts",
            source: if edge.learned {
                "edge life learned from the log; nine edges of ten lie in the range"
            } else {
                "extended Taylor law with the material's figures, or the shop's own edge_life; nine edges of ten lie in the range"
            },
            message: format!(
                "The edge of station {}, {}, makes {nominal:.0} parts ({low:.0} to {high:.0}); a bar gives {parts:.0}, so it may have to be changed inside a bar.",
                edge.station, edge.name
            ),
            remedy: "Lower the surface speed of this tool, or be there when the change is due.",
            key: "bar.length",
        });
    }
}
