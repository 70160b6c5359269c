//! The JSON of what cuts ask, of edges and of the pull: each figure as its range.

use super::prove::{mm, seconds};
use calc::held::{Margin, Margins};
use calc::life::Change;
use calc::spread::Spread;
use calc::station::{Lack, Loads};
use model::quantity::{Deflection, Force, Mass, Power, Roughness, Seconds, SurfaceSpeed, Torque};
use plan::edges::EdgeUse;
use plan::mechanics::{CutLoads, OperationLoads};
use plan::pull::Drawn;
use serde_json::{Value, json};

fn range(range: Spread<f64>) -> Value {
    json!({ "low": range.low, "likely": range.nominal, "high": range.high })
}

pub(super) fn lack(lack: &Lack) -> Value {
    json!({ "lacks": lack.key, "why": lack.why })
}

/// One operation with the loads of its cuts.
pub(super) fn operation(operation: &OperationLoads) -> Value {
    json!({
        "name": operation.name,
        "station": operation.station,
        "cuts": operation.cuts.iter().map(cut).collect::<Vec<_>>(),
    })
}

fn cut(cut: &CutLoads) -> Value {
    let mut value = match &cut.loads {
        Ok(loads) => loaded(loads),
        Err(missing) => lack(missing),
    };
    if let Some(value) = value.as_object_mut() {
        value.insert("feed_mm_per_rev".to_owned(), json!(cut.feed.mm()));
        value.insert("time_s".to_owned(), json!(seconds(cut.time.s())));
    }
    value
}

fn loaded(loads: &Loads) -> Value {
    let outcome = &loads.outcome;
    let force = |force: Spread<Force>| range(force.map(Force::n));
    json!({
        "spindle_rpm": outcome.spindle.rpm(),
        "speed_m_per_min": outcome.speed.m_per_min(),
        "depth_mm": mm(outcome.depth),
        "cutting_force_n": force(outcome.force),
        "feed_force_n": force(outcome.thrust.feed),
        "passive_force_n": force(outcome.thrust.passive),
        "torque_nm": range(outcome.torque.map(Torque::nm)),
        "power_w": range(outcome.power.map(Power::w)),
        "unit_power_w": outcome.unit_power.map(|power| range(power.map(Power::w))),
        "drive_power_w": loads.power.as_ref().ok().map(|load| load.given.w()),
        "drive_torque_nm": loads.torque.as_ref().ok().map(|load| load.given.nm()),
        "removal_cm3_per_min": outcome.rate.cm3_per_min(),
        "ra_um": outcome.ra.map(|ra| range(ra.map(Roughness::um))),
        "edge_life_s": loads.life.as_ref().ok().map(|life| range(life.time.map(Seconds::s))),
        "held": match &loads.held {
            Ok(held) => margins(held),
            Err(missing) => lack(missing),
        },
    })
}

fn margins(held: &Margins) -> Value {
    let margin = |margin: Option<Margin>| margin.map(|margin| range(margin.ratio));
    json!({
        "grip_needed_n": range(held.grip_needed.map(Force::n)),
        "grip_at_speed_n": range(held.grip_at_speed.map(Force::n)),
        "grip": margin(held.grip),
        "slip": margin(held.slip),
        "pull_out": margin(held.pull_out),
        "overturning": margin(held.overturning),
        "lift": margin(held.lift),
        "loss": margin(held.loss),
        "stick_out": held.stick_out,
        "diameter_error_um": range(held.size.worst.map(Deflection::um)),
        "taper_um": range(held.size.taper.map(Deflection::um)),
        "chuck_known": held.size.chuck_known,
    })
}

/// One edge through the order.
pub(super) fn edge(edge: &EdgeUse) -> Value {
    let speed = |speed: &Result<SurfaceSpeed, Lack>| match speed {
        Ok(speed) => json!(speed.m_per_min()),
        Err(missing) => lack(missing),
    };
    let change = |it: &Change| json!({ "before_part": it.before_part, "bar": it.bar, "with_bar": it.with_bar });
    let changes = edge.changes.as_ref().map(|all| all.iter().map(change).collect::<Vec<_>>());
    json!({
        "station": edge.station,
        "name": edge.name,
        "cutting_s": seconds(edge.cutting.s()),
        "speed_m_per_min": edge.speed.m_per_min(),
        "parts": match &edge.parts {
            Ok(parts) => range(parts.map(f64::from)),
            Err(missing) => lack(missing),
        },
        "edges": edge.edges,
        "changes": changes,
        "fastest_m_per_min": speed(&edge.fastest),
        "cheapest_m_per_min": speed(&edge.cheapest),
    })
}

/// How the gripper draws the bar.
pub(super) fn pull(pull: &Result<Drawn, Lack>) -> Value {
    match pull {
        Err(missing) => lack(missing),
        Ok(drawn) => json!({
            "mass_kg": drawn.mass.kg(),
            "hold_n": range(drawn.hold.map(Force::n)),
            "drag_n": range(drawn.pulled.drag.map(Force::n)),
            "margin": drawn.pulled.margin.map(range),
            "heaviest_kg": range(drawn.pulled.heaviest.map(Mass::kg)),
        }),
    }
}
