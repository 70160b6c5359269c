//! What stands on the turret, how the gripper takes the bar, and the advance step by step.

mod advance;

use super::{Block, Column, Facts, Said, Table, WIDTH, facts};
use crate::pictures::gripper_stand;
use model::files::gripper::Style;
use model::files::tools::{EdgeMaterial, Station, ToolKind};
use model::quantity::{FeedPerRev, SurfaceSpeed};
use model::{Length, Units};
use plan::cuts::{Move, Operation, Speed};

pub(super) fn blocks(said: &Said<'_>) -> Vec<Block> {
    let (job, bar) = (said.job, &said.answer.bar);
    let mut blocks = vec![stations(said), turret(said)];
    blocks.push(Block::Picture("gripper", gripper_stand::scene(job, bar, WIDTH)));
    blocks.push(gripper(said));
    blocks.push(advance::table(said));
    blocks
}

fn stations(said: &Said<'_>) -> Block {
    let tools = &said.job.tools;
    let mut stations: Vec<(usize, &Station)> = tools.stations.iter().enumerate().collect();
    stations.sort_by_key(|(_, station)| station.number);
    Block::Table(Table {
        name: "stations",
        title: "Stations of the turret",
        columns: vec![
            Column::figures("Station", 8),
            Column::figures("Offset", 7),
            Column::words("Tool", 20),
            Column::words("Insert, edge", 19),
            Column::figures("Stick-out", 10),
            Column::words("What it does, at which speed and feed", 43),
        ],
        rows: stations.into_iter().map(|(index, station)| row(said, index, station)).collect(),
    })
}

fn row(said: &Said<'_>, index: usize, station: &Station) -> Vec<String> {
    let not_given =
        |length: Option<Length>| length.map_or("not given".to_owned(), |it| said.figure(it));
    let blunt = matches!(station.kind, ToolKind::Gripper | ToolKind::BarStop);
    vec![
        station.number.to_string(),
        station.offset.to_string(),
        station.name.clone(),
        if blunt { "–".to_owned() } else { edge(said, index, station) },
        if blunt { "–".to_owned() } else { not_given(station.overhang) },
        work(said, station),
    ]
}

/// The insert as the file names it, what the edge is made of, and its form.
fn edge(said: &Said<'_>, index: usize, station: &Station) -> String {
    let mut words = Vec::new();
    if station.insert.is_some() {
        let origin = &said.job.tools.origin;
        let written = origin.source.text_of(origin.span(&format!("station[{index}].insert")));
        words.push(written.trim_matches(['"', '\'']).to_owned());
    }
    words.push(match station.edge_material {
        Some(EdgeMaterial::Carbide) => "carbide".to_owned(),
        Some(EdgeMaterial::HighSpeedSteel) => "high-speed steel".to_owned(),
        None => "edge material not given".to_owned(),
    });
    if station.nose_radius.is_positive() {
        words.push(format!("nose {}", said.figure(station.nose_radius)));
    }
    if let Some(width) = station.width {
        words.push(format!("width {}, Z is its {} corner", said.figure(width), corner(station)));
    }
    if let Some(diameter) = station.diameter {
        words.push(format!("⌀{}, point {}°", said.figure(diameter), station.point_angle));
    }
    if let Some(tip) = station.tip.filter(|_| station.insert.is_some()) {
        words.push(format!("tip {tip}"));
    }
    words.join(", ")
}

fn corner(station: &Station) -> &'static str {
    match station.corner {
        model::files::tools::BladeCorner::ChuckSide => "chuck-side",
        model::files::tools::BladeCorner::FrontSide => "front-side",
    }
}

fn surface(units: Units, speed: SurfaceSpeed) -> String {
    match units {
        Units::Mm => format!("{:.0} m/min", speed.m_per_min()),
        Units::Inch => format!("{:.0} ft/min", speed.m_per_min() / 0.3048),
    }
}

fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The operations that it makes, those of one speed and feed together.
fn work(said: &Said<'_>, station: &Station) -> String {
    let process = &said.answer.process;
    let all = process.new_bar.iter().chain(&process.operations);
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for operation in all.filter(|operation| operation.station == station.number) {
        let how = how(said.units, operation);
        match groups.iter_mut().find(|(of, _)| *of == how) {
            Some((_, names)) if names.contains(&operation.name) => {}
            Some((_, names)) => names.push(operation.name),
            None => groups.push((how, vec![operation.name])),
        }
    }
    let said = |(how, names): &(String, Vec<&str>)| format!("{}: {how}", names.join(", "));
    let groups: Vec<String> = groups.iter().map(said).collect();
    match station.kind {
        ToolKind::Gripper => "draws the bar".to_owned(),
        ToolKind::BarStop => "stops the bar while it is loaded".to_owned(),
        _ if groups.is_empty() => "not used by these programs".to_owned(),
        _ => groups.join("; "),
    }
}

/// Speed and feeds of an operation.
fn how(units: Units, operation: &Operation) -> String {
    let speed = match operation.speed {
        Speed::Surface(speed) => surface(units, speed),
        Speed::Spindle(speed) => format!("{:.0} rev/min", speed.rpm()),
    };
    let feed = |feed: FeedPerRev| match units {
        Units::Mm => trimmed(feed.mm(), 3),
        Units::Inch => trimmed(feed.mm() / 25.4, 4),
    };
    let mut feeds: Vec<String> = Vec::new();
    for one in operation.moves.iter().filter_map(Move::feed).map(feed) {
        if !feeds.contains(&one) {
            feeds.push(one);
        }
    }
    let unit = match units {
        Units::Mm => "mm/rev",
        Units::Inch => "in/rev",
    };
    format!("{speed}, {} {unit}", feeds.join(" and "))
}

fn turret(said: &Said<'_>) -> Block {
    let acts = plan::acts::Acts::new(said.job, &said.answer.bar);
    let safe = acts.safe();
    let rows = vec![
        ("Turret swings at", format!("X {}, Z {}", said.length(safe.x), said.length(safe.z))),
        ("Highest spindle speed", format!("{:.0} rev/min, set by the program", acts.clamp().rpm())),
    ];
    Block::Facts(Facts { name: "turret", title: "Turret and spindle", rows: facts(rows) })
}

fn gripper(said: &Said<'_>) -> Block {
    let (gripper, bar) = (&said.job.gripper, &said.answer.bar);
    let stand = gripper_stand::stand(said.job, bar);
    let length = |it: Length| said.length(it);
    let style = match gripper.style {
        Style::Radial => {
            format!("down in X over the stub; clear of it at X {}", length(gripper.clear_x))
        }
        Style::Axial => {
            format!("along Z onto the stub; clear of it {} in front", length(gripper.clear_z))
        }
    };
    let rows = vec![
        ("Gripper", format!("{}: {style}", gripper.name)),
        ("Its zero", "the chuck-side end of its fingers, on the axis at X 0".to_owned()),
        (
            "Fingers on the stub",
            format!("Z {}, after the pull Z {}", length(stand.fingers), length(stand.drawn)),
        ),
        (
            "Front of the stub",
            format!(
                "Z {}, after the pull Z {}",
                length(stand.stub_end),
                length(stand.stub_end + bar.division.advance())
            ),
        ),
        ("Jaw gap", format!("{}; at least {}", length(stand.gap), length(gripper.jaw_gap))),
        (
            "Engagement",
            format!("{}; at least {}", length(stand.engagement), length(gripper.least_engagement)),
        ),
        (
            "Stub",
            format!(
                "{} long, ⌀{}; the gripper takes ⌀{} to ⌀{}",
                length(bar.division.jaw_clearance),
                said.figure(said.job.file.bar.size),
                said.figure(gripper.diameter.0),
                said.figure(gripper.diameter.1)
            ),
        ),
        ("Pull", pull(said)),
    ];
    Block::Facts(Facts { name: "gripper", title: "The gripper", rows: facts(rows) })
}

fn pull(said: &Said<'_>) -> String {
    let speed = said.rate(said.job.gripper.pull_speed);
    match &said.answer.pull {
        Ok(drawn) => format!(
            "at most {speed}; the fingers hold {:.0} to {:.0} N on this stub",
            drawn.hold.low.n(),
            drawn.hold.high.n()
        ),
        Err(lack) => format!("at most {speed}; what it holds is not known: {lack}"),
    }
}
