#![doc = include_str!("edge_speed_outside.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    for edge in planned.edges {
        let Some((lowest, highest)) = edge.speeds else { continue };
        let speed = edge.speed.m_per_min();
        let blade = planned.job.tools.station(edge.station).is_some_and(|it| it.width.is_some());
        // The speed of a blade falls to nothing at the center, whatever it is outside.
        let (limit, message) = if blade || speed > lowest.m_per_min() {
            (
                Limit::Most(highest.m_per_min()),
                format!(
                    "Station {} cuts at {speed:.0} m/min; the figures of this material and edge end at {:.0}, beyond which an edge may fail at once.",
                    edge.station,
                    highest.m_per_min()
                ),
            )
        } else {
            (
                Limit::Least(lowest.m_per_min()),
                format!(
                    "Station {} cuts at {speed:.0} m/min; the figures of this material and edge begin at {:.0}, below which metal builds up on the edge.",
                    edge.station,
                    lowest.m_per_min()
                ),
            )
        };
        out.about(&format!("station {}", edge.station), Line {
            value: Spread::exact(speed),
            limit,
            unit: "m/min",
            source: "range of the material file's figures",
            message,
            remedy: "Choose a speed inside the range, in the tools file.",
            key: "bar.material",
        });
    }
}
