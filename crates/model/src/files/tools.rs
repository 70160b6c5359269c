//! The tools file: what stands at each turret station.

mod axis;
mod stands;
mod threads;

pub use stands::{Seat, Takes, Turns};
pub use threads::Pitches;

use super::Read;
use super::keys::{self, Choice as _, Keys, Origin};
use crate::choices;
use crate::insert::Insert;
use crate::quantity::{FeedPerRev, Seconds, SpindleSpeed, SurfaceSpeed};
use crate::source::Source;
use crate::standards::knurl::Knurl;
use crate::{Length, Units};

choices! {
    /// What kind of tool stands at a station.
    ToolKind {
        Turning = "turning": "turns and faces the outside",
        Boring = "boring": "turns a bore",
        Parting = "parting": "parts off",
        Grooving = "grooving": "grooves",
        Threading = "threading": "cuts a thread",
        SpotDrill = "spot-drill": "makes the point in the face at which a drill starts",
        Drill = "drill": "drills on the axis",
        Reamer = "reamer": "brings a drilled hole to size",
        Tap = "tap": "taps a thread on the axis",
        Knurling = "knurling": "rolls a knurl",
        Gripper = "gripper": "the gripper that draws the bar",
        BarStop = "bar-stop": "a stop to which the bar is loaded by hand",
    }
}

choices! {
    /// Which way round a thread winds.
    Hand {
        Right = "right": "goes in when it turns as the hands of a clock",
        Left = "left": "goes in when it turns against them",
    }
}

choices! {
    /// Which corner of a parting or grooving blade its Z words mean.
    BladeCorner {
        ChuckSide = "chuck-side": "the corner toward the chuck",
        FrontSide = "front-side": "the corner away from the chuck",
    }
}

choices! {
    /// What the edge of a tool is made of.
    EdgeMaterial {
        Carbide = "carbide": "coated carbide",
        HighSpeedSteel = "high-speed-steel": "high-speed steel",
    }
}

/// One turret station.
#[derive(Debug, Clone)]
pub struct Station {
    /// Its number on the turret.
    pub number: u32,
    /// The offset it is called with.
    pub offset: u32,
    /// What stands there, in the shop's words.
    pub name: String,
    /// What kind of tool it is.
    pub kind: ToolKind,
    /// Radius of the nose.
    pub nose_radius: Length,
    /// Where the programmed tip lies from the center of the nose: the tip number, 0 to 9.
    pub tip: Option<u8>,
    /// The insert in it.
    pub insert: Option<Insert>,
    /// What the edge is made of; none where it is not known.
    pub edge_material: Option<EdgeMaterial>,
    /// Angle from the direction of feed to the main cutting edge, in degrees.
    pub edge_angle: Option<f64>,
    /// Width of the shank, or diameter of a boring bar.
    pub shank: Option<Length>,
    /// How far the tool stands out of the turret, from its tip.
    pub overhang: Option<Length>,
    /// Diameter of a drill or reamer, nominal diameter of a tap.
    pub diameter: Option<Length>,
    /// Angle of the point of a drill or thread edge in degrees.
    pub point_angle: f64,
    /// Deepest peck of a drill; none for the usual one.
    pub peck: Option<Length>,
    /// Length of the chamfered start of a reamer or tap.
    pub chamfer: Option<Length>,
    /// What it makes of threads and knurls.
    pub pitches: Pitches,
    /// Whether a grooving or threading tool works in a bore.
    pub inside: bool,
    /// The knurl that a knurling tool rolls.
    pub knurl: Option<Knurl>,
    /// Width of a parting or grooving blade.
    pub width: Option<Length>,
    /// Which corner of the blade its Z words mean.
    pub corner: BladeCorner,
    /// Depth that it reaches: a blade from the outside, other tools in a hole.
    pub reach: Option<Length>,
    /// Surface speed.
    pub speed: Option<SurfaceSpeed>,
    /// Feed of roughing, or the only feed.
    pub feed: Option<FeedPerRev>,
    /// Feed of finishing.
    pub finish_feed: Option<FeedPerRev>,
    /// Deepest cut on the radius.
    pub depth: Option<Length>,
    /// Stock left for finishing, on the radius.
    pub finish_stock: Length,
    /// Highest spindle speed for this tool.
    pub max_speed: Option<SpindleSpeed>,
    /// Cutting time that one edge lasts.
    pub edge_life: Option<Seconds>,
    /// Time to put a new edge in and bring it to size.
    pub edge_change: Option<Seconds>,
    /// What one edge costs.
    pub edge_price: Option<f64>,
    /// What it takes, and which way the spindle turns for it.
    pub takes: Takes,
    /// Where its tip stands on the turret.
    pub seat: Seat,
}

impl ToolKind {
    /// Whether it works on the axis, into the face of the bar.
    pub const fn on_axis(self) -> bool {
        matches!(self, ToolKind::SpotDrill | ToolKind::Drill | ToolKind::Reamer | ToolKind::Tap)
    }
}

impl Station {
    /// Whether it works in a bore, along the axis.
    pub const fn in_bore(&self) -> bool {
        self.inside || matches!(self.kind, ToolKind::Boring)
    }

    /// How deep it goes into a hole at most; none where the file does not say.
    pub fn deepest(&self) -> Option<Length> {
        self.reach.or(self.overhang)
    }

    /// Length of a point of its angle up to its diameter; nothing for a flat end.
    pub fn point_length(&self) -> Length {
        let radius = self.diameter.unwrap_or_default().half().mm();
        Length::nearest_mm(radius / libm::tan((self.point_angle / 2.0).to_radians()))
    }

    /// Whether its place on the turret and its width are known, so that it can be seen what it
    /// meets while another tool works; `gripper` says whether the gripper's outline is known.
    pub fn stands_known(&self, gripper: bool) -> bool {
        let wide = match self.kind {
            ToolKind::Gripper => gripper,
            kind if kind.on_axis() => self.shank.or(self.diameter).is_some(),
            _ => self.shank.is_some(),
        };
        wide && self.seat.beyond_rim.is_some() && self.seat.beyond_face.is_some()
    }
}

/// What stands on the turret.
#[derive(Debug, Clone)]
pub struct Tools {
    /// Where its keys stand.
    pub origin: Origin,
    /// The stations in the order of the file.
    pub stations: Vec<Station>,
}

impl Tools {
    /// Reads a tools file.
    pub fn read(source: &Source) -> Read<Tools> {
        let read = keys::read(source, keys);
        let value = read.value.map(|(mut tools, origin)| {
            tools.origin = origin;
            tools
        });
        Read { value, diagnostics: read.diagnostics }
    }

    /// The station with this number.
    pub fn station(&self, number: u32) -> Option<&Station> {
        self.stations.iter().find(|station| station.number == number)
    }

    /// The first station of this kind.
    pub fn first(&self, kind: ToolKind) -> Option<&Station> {
        self.stations.iter().find(|station| station.kind == kind)
    }
}

/// Every key of a tools file.
pub(super) fn keys(keys: &Keys<'_>) -> Tools {
    let stations = keys.list("station", "one turret station", station);
    for (index, station) in stations.iter().enumerate() {
        if stations[..index].iter().any(|other| other.number == station.number) {
            let message = format!("station {} stands twice", station.number);
            keys.trouble(
                &format!("station[{index}].number"),
                message,
                "give each station its own number",
            );
        }
    }
    Tools { origin: keys.origin(), stations }
}

fn station(keys: &Keys<'_>) -> Station {
    let number = keys.count("number", "its number on the turret", 1..=99).required() as u32;
    let kind = keys.choice("kind", "what kind of tool it is").required();
    let insert = insert(keys);
    let pitches = threads::pitches(keys);
    let station = Station {
        number,
        offset: keys.count("offset", "the offset it is called with", 1..=999).or(i64::from(number))
            as u32,
        name: keys.text("name", "what stands there, in the shop's words").required(),
        kind,
        nose_radius: keys
            .length(
                "nose_radius",
                "radius of the nose; left out, that of the insert",
                Length::ZERO..=Length::from_mm(10),
            )
            .or(insert.map_or(Length::ZERO, |insert| insert.radius)),
        tip: tip(keys).or(usual_tip(kind)),
        insert,
        edge_material: keys.choice("edge_material", "what the edge is made of").optional(),
        edge_angle: keys
            .number(
                "edge_angle",
                "angle from the direction of feed to the main cutting edge",
                "degrees",
                10.0..=130.0,
            )
            .optional(),
        shank: keys
            .length(
                "shank",
                "width of the shank along the spindle axis, or diameter of a boring bar",
                Length::from_mm(1)..=Length::from_mm(200),
            )
            .optional(),
        overhang: keys
            .length(
                "overhang",
                "how far the tool stands out of the turret, from its tip",
                Length::from_mm(1)..=Length::from_mm(1000),
            )
            .optional(),
        diameter: axis::diameter(keys),
        point_angle: axis::point_angle(keys, kind),
        peck: axis::peck(keys),
        chamfer: axis::chamfer(keys),
        pitches,
        inside: threads::inside(keys, kind),
        knurl: threads::knurl(keys),
        width: keys
            .length(
                "width",
                "width of a parting or grooving blade",
                Length::from_um(100)..=Length::from_mm(50),
            )
            .optional(),
        corner: keys
            .choice("corner", "which corner of the blade its Z words mean")
            .or(BladeCorner::ChuckSide),
        reach: axis::reach(keys),
        speed: speed(keys),
        feed: feed(keys, "feed", "feed per revolution of roughing, or the only feed"),
        finish_feed: feed(keys, "finish_feed", "feed per revolution of finishing"),
        depth: keys
            .length(
                "depth",
                "deepest cut, on the radius",
                Length::from_um(10)..=Length::from_mm(50),
            )
            .optional(),
        finish_stock: keys
            .length(
                "finish_stock",
                "stock left for finishing, on the radius",
                Length::ZERO..=Length::from_mm(5),
            )
            .or(Length::ZERO),
        max_speed: max_speed(keys),
        edge_life: minutes(keys, "edge_life", "cutting time that one edge lasts"),
        edge_change: minutes(keys, "edge_change", "time to put a new edge in and bring it to size"),
        edge_price: keys
            .number("edge_price", "what one edge costs, in the shop's money", "", 0.0..=100_000.0)
            .optional(),
        takes: stands::takes(keys, kind, pitches.hand),
        seat: stands::seat(keys),
    };
    needs(keys, &station);
    station
}

fn max_speed(keys: &Keys<'_>) -> Option<SpindleSpeed> {
    keys.number("max_speed", "highest spindle speed for this tool", "rev/min", 1.0..=100_000.0)
        .optional()
        .map(SpindleSpeed::from_rpm)
}

fn minutes(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Option<Seconds> {
    let minutes = keys.number(key, meaning, "min", 0.01..=100_000.0).optional();
    minutes.map(|minutes| Seconds::from_s(60.0 * minutes))
}

fn tip(keys: &Keys<'_>) -> Option<u8> {
    let meaning = "tip number: where the programmed tip lies from the center of the nose";
    keys.count("tip", meaning, 0..=9).optional().map(|tip| tip as u8)
}

/// The insert, by its designation.
fn insert(keys: &Keys<'_>) -> Option<Insert> {
    let meaning = "the insert's designation to ISO 1832, such as \"CNMG 120408\"";
    let text = keys.text("insert", meaning).optional()?;
    match Insert::parse(&text) {
        Ok(insert) => Some(insert),
        Err(why) => {
            let help = "write it as it stands on the box; leave it out for other inserts";
            keys.trouble("insert", format!("\"{text}\" is no insert: {why}"), help);
            None
        }
    }
}

/// The tip of tools that cut toward the chuck; from memory, common practice.
const fn usual_tip(kind: ToolKind) -> Option<u8> {
    match kind {
        ToolKind::Turning => Some(3),
        ToolKind::Boring => Some(2),
        _ => None,
    }
}

/// What a tool of a kind cannot do without.
fn needs(keys: &Keys<'_>, station: &Station) {
    let cuts = matches!(station.kind, ToolKind::Turning | ToolKind::Parting | ToolKind::Grooving);
    let blade = matches!(station.kind, ToolKind::Parting | ToolKind::Grooving);
    let needed = [
        ("speed", cuts),
        ("feed", cuts),
        ("width", blade || station.kind == ToolKind::Knurling),
        ("depth", station.kind == ToolKind::Turning),
        ("diameter", station.kind.on_axis() && station.kind != ToolKind::Drill),
        ("pitch", station.kind == ToolKind::Tap),
        ("knurl", station.kind == ToolKind::Knurling),
    ];
    let missing = needed.iter().filter(|(key, needed)| *needed && !keys.has(key));
    let missing: Vec<_> = missing.map(|(key, _)| *key).collect();
    if keys.sound("kind") {
        let who = match station.kind {
            kind if kind.on_axis() => format!("a {}", kind.word()),
            kind => format!("a {} tool", kind.word()),
        };
        keys.needs("kind", &who, &missing);
    }
}

/// Surface speed stands in m/min in millimeter files and in ft/min in inch files, as shops say it.
fn speed(keys: &Keys<'_>) -> Option<SurfaceSpeed> {
    let (unit, factor) = match keys.units() {
        Units::Mm => ("m/min", 1.0),
        Units::Inch => ("ft/min", 0.3048),
    };
    keys.number("speed", "surface speed (m/min, or ft/min in an inch file)", unit, 0.1..=10_000.0)
        .optional()
        .map(|speed| SurfaceSpeed::from_m_per_min(speed * factor))
}

fn feed(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Option<FeedPerRev> {
    keys.length(key, meaning, Length::from_um(1)..=Length::from_mm(10))
        .optional()
        .map(|feed| FeedPerRev::from_mm(feed.mm()))
}
