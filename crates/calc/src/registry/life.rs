//! Calculations of tool life, its economy, and finish.

use super::cutting::side;
use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::finish;
use crate::life::{self, Edge, Part, Taylor};
use crate::spread::Spread;
use model::files::material::EdgeLife;
use model::quantity::{Probability, Roughness, Seconds, SurfaceSpeed};

type Result<T> = std::result::Result<T, CaseError>;

/// The calculations of life and finish.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "life.taylor_n", unit: "", run: |g| Ok(through(g)?.n) },
    Calculation { name: "life.taylor_c", unit: "m/min", run: taylor_c },
    Calculation { name: "life.life", unit: "s", run: life_at },
    Calculation { name: "life.life_ratio", unit: "", run: life_ratio },
    Calculation { name: "life.speed", unit: "m/min", run: speed_for },
    Calculation { name: "life.edge_life", unit: "s", run: edge_life },
    Calculation { name: "life.taylor_at", unit: "m/min", run: taylor_at },
    Calculation { name: "life.life_at_risk", unit: "s", run: life_at_risk },
    Calculation { name: "life.parts_per_edge", unit: "", run: parts_per_edge },
    Calculation { name: "life.edges_for", unit: "", run: edges_for },
    Calculation { name: "life.fastest_life", unit: "s", run: fastest_life },
    Calculation { name: "life.cheapest_life", unit: "s", run: cheapest_life },
    Calculation { name: "life.fastest_speed", unit: "m/min", run: fastest_speed },
    Calculation { name: "life.cheapest_speed", unit: "m/min", run: cheapest_speed },
    Calculation { name: "life.part_time", unit: "s", run: part_time },
    Calculation { name: "life.part_cost", unit: "", run: part_cost },
    Calculation { name: "finish.rt_textbook", unit: "µm", run: rt_textbook },
    Calculation { name: "finish.rt_exact", unit: "µm", run: rt_exact },
    Calculation { name: "finish.ra_textbook", unit: "µm", run: ra_textbook },
    Calculation { name: "finish.ra_exact", unit: "µm", run: ra_exact },
    Calculation { name: "finish.expected_ra", unit: "µm", run: expected_ra },
    Calculation { name: "finish.feed_for_textbook", unit: "mm", run: feed_for_textbook },
    Calculation { name: "finish.feed_for", unit: "mm", run: feed_for },
    Calculation { name: "finish.radius_for", unit: "mm", run: radius_for },
];

fn m_per_min(given: &Figures<'_>, key: &str) -> Result<SurfaceSpeed> {
    given.number(&format!("{key}_m_per_min")).map(SurfaceSpeed::from_m_per_min)
}

fn minutes(given: &Figures<'_>, key: &str) -> Result<Seconds> {
    given.number(&format!("{key}_min")).map(|minutes| Seconds::from_s(60.0 * minutes))
}

fn through(given: &Figures<'_>) -> Result<Taylor> {
    let one = (m_per_min(given, "one")?, minutes(given, "one")?);
    let other = (m_per_min(given, "other")?, minutes(given, "other")?);
    Ok(Taylor::through(one, other)?)
}

fn taylor_c(given: &Figures<'_>) -> Result<f64> {
    Ok(through(given)?.one_minute.m_per_min())
}

fn law(given: &Figures<'_>) -> Result<Taylor> {
    Ok(Taylor::new(given.number("n")?, m_per_min(given, "c")?)?)
}

fn life_at(given: &Figures<'_>) -> Result<f64> {
    Ok(law(given)?.life(given.surface_speed()?)?.s())
}

fn life_ratio(given: &Figures<'_>) -> Result<f64> {
    let (law, speed) = (law(given)?, given.surface_speed()?);
    let other = speed.m_per_min() * given.number("speed_factor")?;
    Ok(law.life(SurfaceSpeed::from_m_per_min(other))?.s() / law.life(speed)?.s())
}

fn speed_for(given: &Figures<'_>) -> Result<f64> {
    Ok(law(given)?.speed(minutes(given, "life")?)?.m_per_min())
}

fn known(given: &Figures<'_>) -> Result<EdgeLife> {
    let feed = given.number("known_feed_mm")?;
    Ok(EdgeLife {
        speed: m_per_min(given, "known")?,
        life: minutes(given, "known")?,
        feed: model::quantity::FeedPerRev::from_mm(feed),
        depth: given.length("known_depth")?,
        n: given.number("n")?,
        feed_exponent: given.number_or("feed_exponent", 0.0)?,
        depth_exponent: given.number_or("depth_exponent", 0.0)?,
        spread: given.number_or("spread", 1.0)?,
        lowest: SurfaceSpeed::default(),
        highest: SurfaceSpeed::from_m_per_min(f64::INFINITY),
        source: String::new(),
    })
}

fn edge_life(given: &Figures<'_>) -> Result<f64> {
    let (speed, feed) = (given.surface_speed()?, given.feed_per_rev()?);
    let life = life::edge_life(&known(given)?, speed, feed, given.length("depth")?)?;
    side(given, life.time.map(Seconds::s))
}

fn taylor_at(given: &Figures<'_>) -> Result<f64> {
    let (feed, depth) = (given.feed_per_rev()?, given.length("depth")?);
    Ok(life::taylor_at(&known(given)?, feed, depth)?.one_minute.m_per_min())
}

fn life_at_risk(given: &Figures<'_>) -> Result<f64> {
    let life = Spread {
        low: minutes(given, "low")?,
        nominal: minutes(given, "nominal")?,
        high: minutes(given, "high")?,
    };
    Ok(life::life_at_risk(life, Probability::from_ratio(given.number("risk")?))?.s())
}

fn parts_per_edge(given: &Figures<'_>) -> Result<f64> {
    let parts = life::parts_per_edge(minutes(given, "life")?, minutes(given, "cutting")?)?;
    Ok(f64::from(parts))
}

fn edges_for(given: &Figures<'_>) -> Result<f64> {
    let edges = life::edges_for(given.count("quantity")?, given.count("parts_per_edge")?)?;
    Ok(f64::from(edges))
}

fn edge(given: &Figures<'_>) -> Result<Edge> {
    Ok(Edge { change: minutes(given, "change")?, price: given.number_or("price", 0.0)? })
}

fn fastest_life(given: &Figures<'_>) -> Result<f64> {
    Ok(life::fastest_life(&law(given)?, &edge(given)?)?.s())
}

fn cheapest(given: &Figures<'_>) -> Result<Seconds> {
    let rate = given.number("rate_per_min")?;
    Ok(life::cheapest_life(&law(given)?, &edge(given)?, rate)?)
}

fn cheapest_life(given: &Figures<'_>) -> Result<f64> {
    Ok(cheapest(given)?.s())
}

fn fastest_speed(given: &Figures<'_>) -> Result<f64> {
    let law = law(given)?;
    Ok(law.speed(life::fastest_life(&law, &edge(given)?)?)?.m_per_min())
}

fn cheapest_speed(given: &Figures<'_>) -> Result<f64> {
    Ok(law(given)?.speed(cheapest(given)?)?.m_per_min())
}

/// A part by its idle time, and a turned length at a feed.
fn part(given: &Figures<'_>) -> Result<Part> {
    let (diameter, length) = (given.length("diameter")?, given.length("path")?);
    let turns = length.mm() / given.feed_per_rev()?.mm();
    let way_m = core::f64::consts::PI * diameter.mm() * turns / 1000.0;
    Ok(Part { idle: minutes(given, "idle")?, way_m })
}

fn part_time(given: &Figures<'_>) -> Result<f64> {
    let (edge, part) = (edge(given)?, part(given)?);
    Ok(life::part_time(&law(given)?, &edge, &part, given.surface_speed()?)?.s())
}

fn part_cost(given: &Figures<'_>) -> Result<f64> {
    let (edge, part, rate) = (edge(given)?, part(given)?, given.number("rate_per_min")?);
    Ok(life::part_cost(&law(given)?, &edge, &part, rate, given.surface_speed()?)?)
}

fn rt_textbook(given: &Figures<'_>) -> Result<f64> {
    Ok(finish::rt_textbook(given.feed_per_rev()?, given.length("nose")?)?.um())
}

fn rt_exact(given: &Figures<'_>) -> Result<f64> {
    Ok(finish::rt_exact(given.feed_per_rev()?, given.length("nose")?)?.um())
}

fn ra_textbook(given: &Figures<'_>) -> Result<f64> {
    Ok(finish::ra_textbook(given.feed_per_rev()?, given.length("nose")?)?.um())
}

fn ra_exact(given: &Figures<'_>) -> Result<f64> {
    Ok(finish::ra_exact(given.feed_per_rev()?, given.length("nose")?)?.um())
}

fn expected_ra(given: &Figures<'_>) -> Result<f64> {
    let expected = finish::expected_ra(given.feed_per_rev()?, given.length("nose")?)?;
    side(given, expected.map(Roughness::um))
}

fn ra(given: &Figures<'_>) -> Result<Roughness> {
    given.scaled(&[("ra_um", 1.0), ("ra_uin", 0.025_4)]).map(Roughness::from_um)
}

fn feed_for_textbook(given: &Figures<'_>) -> Result<f64> {
    Ok(finish::feed_for_textbook(ra(given)?, given.length("nose")?)?.mm())
}

fn feed_for(given: &Figures<'_>) -> Result<f64> {
    Ok(finish::feed_for(ra(given)?, given.length("nose")?)?.mm())
}

fn radius_for(given: &Figures<'_>) -> Result<f64> {
    Ok(finish::radius_for(ra(given)?, given.feed_per_rev()?)?.mm())
}
