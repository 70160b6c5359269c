//! The most parts before someone must come: each edge has so much wear to give, and its works share it.

use super::front::{Point, fastest_within};

/// The edge of one station: what its works can take together, and how many parts it must make.
pub(super) struct EdgeFront {
    /// Fastest first.
    pub(super) front: Vec<Point>,
    /// Life by the unfavorable end over the likely one: an edge is used up to that end.
    pub(super) spread: f64,
}

/// What hangs on no choice.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rest {
    /// Most parts that bar, order, catcher, chip room and edges without a choice allow.
    pub(super) most: u32,
    /// Parts of one advance.
    pub(super) each: u32,
    /// Seconds until the first advance's parts are made, and of each further cycle, without the works that
    /// are chosen.
    pub(super) first: f64,
    pub(super) cycle: f64,
    /// Seconds after which someone comes anyhow.
    pub(super) until: f64,
}

/// For each edge the point to take: such that most whole advances are made before any limit, and those
/// soonest. None where not even one is.
///
/// For a number of advances each edge takes the fastest point that wears off no more than lets it last so
/// long. More advances leave less wear for each part, so no cycle gets shorter and the last part is never
/// made sooner: what cannot be made makes all larger numbers impossible, and halving finds the largest.
pub(super) fn most_alone<'f>(edges: &'f [EdgeFront], rest: &Rest) -> Option<Vec<&'f Point>> {
    let each = f64::from(rest.each.max(1));
    let points = |advances: u32| -> Option<Vec<&'f Point>> {
        let parts = f64::from(advances) * each;
        let point = |edge: &'f EdgeFront| {
            // A part in a hundred million, as whole parts of an edge are counted.
            fastest_within(&edge.front, (1.0 + 1e-8) / (parts * edge.spread))
        };
        let points: Vec<&Point> = edges.iter().map(point).collect::<Option<_>>()?;
        let chosen = each * points.iter().map(|point| point.time).sum::<f64>();
        let last = rest.first + chosen + (rest.cycle + chosen) * f64::from(advances - 1);
        (last <= rest.until).then_some(points)
    };
    let (mut can, mut cannot) = (0, rest.most / rest.each.max(1) + 1);
    while cannot - can > 1 {
        let middle = can + (cannot - can) / 2;
        if points(middle).is_some() {
            can = middle;
        } else {
            cannot = middle;
        }
    }
    if can == 0 { None } else { points(can) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    prop_compose! {
        fn a_front()(points in prop::collection::vec((0.5_f64..9.0, 0.001_f64..0.3), 1..7)) -> Vec<Point> {
            let mut points = points;
            points.sort_by(|one, other| one.0.total_cmp(&other.0));
            let mut front: Vec<Point> = Vec::new();
            for (time, wear) in points {
                if front.last().is_none_or(|last| wear < last.wear) {
                    front.push(Point { time, wear, picks: Vec::new() });
                }
            }
            front
        }
    }

    /// Advances made before any limit, by counting them one after the other.
    fn counted(points: &[&Point], edges: &[EdgeFront], rest: &Rest) -> u32 {
        let each = f64::from(rest.each);
        let cutting = each * points.iter().map(|point| point.time).sum::<f64>();
        let mut advances = 0_u32;
        loop {
            let next = advances + 1;
            let parts = next * rest.each;
            let worn = points
                .iter()
                .zip(edges)
                .any(|(point, edge)| f64::from(parts) * point.wear * edge.spread > 1.0 + 1e-8);
            let now = rest.first + cutting + f64::from(advances) * (rest.cycle + cutting);
            if worn || parts > rest.most || now > rest.until {
                return advances;
            }
            advances = next;
        }
    }

    proptest! {
        #[test]
        fn no_choice_makes_more_parts_alone_nor_as_many_sooner(
            fronts in prop::collection::vec(a_front(), 1..4),
            (most, each) in (1_u32..60, 1_u32..4),
            (first, cycle, until) in (0.0_f64..20.0, 1.0_f64..20.0, 5.0_f64..900.0),
        ) {
            let edges: Vec<EdgeFront> =
                fronts.into_iter().map(|front| EdgeFront { front, spread: 2.0 }).collect();
            let rest = Rest { most, each, first, cycle, until };
            let mut every: Vec<Vec<&Point>> = vec![Vec::new()];
            for edge in &edges {
                every = every
                    .iter()
                    .flat_map(|so_far| {
                        edge.front.iter().map(move |point| {
                            so_far.iter().copied().chain([point]).collect::<Vec<_>>()
                        })
                    })
                    .collect();
            }
            let time = |points: &[&Point]| points.iter().map(|point| point.time).sum::<f64>();
            let best = every.iter().map(|points| counted(points, &edges, &rest)).max().unwrap();
            match most_alone(&edges, &rest) {
                None => prop_assert_eq!(best, 0),
                Some(points) => {
                    prop_assert_eq!(counted(&points, &edges, &rest), best);
                    let as_many = every.iter().filter(|it| counted(it, &edges, &rest) == best);
                    let soonest = as_many.map(|points| time(points)).fold(f64::INFINITY, f64::min);
                    prop_assert!(time(&points) <= soonest * (1.0 + 1e-12));
                }
            }
        }
    }
}
