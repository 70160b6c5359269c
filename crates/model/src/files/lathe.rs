//! The lathe file: what moves how far and how fast, and what holds the bar.

mod bar_way;
mod grip;
mod room;

pub use bar_way::{BarWay, Guide, GuideKind};
pub use grip::{Grip, HolderKind, JawSurface};
pub use room::{ChuckStep, TravelEnds, TurretBody};

use super::Read;
use super::keys::{self, Keys, Origin};
use crate::Length;
use crate::choices;
use crate::quantity::{Acceleration, FeedRate, Power, Seconds, SpindleSpeed};
use crate::source::Source;

choices! {
    /// What the lathe does when a program is started while the chuck is open.
    StartWithChuckOpen {
        Refused = "refused": "the start is refused",
        Warned = "warned": "the lathe warns and can be made to start",
        Allowed = "allowed": "the program starts",
    }
}

/// How far the axes go.
#[derive(Debug, Clone, PartialEq)]
pub struct Travel {
    /// Largest diameter that a tool reaches.
    pub x: Length,
    /// Length along the spindle axis.
    pub z: Length,
    /// Where the turret stands at the ends of its travel, where it is known.
    pub ends: Option<TravelEnds>,
}

/// How fast the axes go without cutting.
#[derive(Debug, Clone, PartialEq)]
pub struct Rapid {
    /// Speed of the cross slide, measured on the radius.
    pub x: FeedRate,
    /// Speed along the spindle axis.
    pub z: FeedRate,
    /// Acceleration of the cross slide.
    pub x_acceleration: Acceleration,
    /// Acceleration along the spindle axis.
    pub z_acceleration: Acceleration,
    /// Highest speed of an axis that follows the spindle in a thread, where it is less than its
    /// rapid speed.
    pub in_thread: Option<FeedRate>,
}

/// A home position, as the tool's place in the program's own words.
#[derive(Debug, Clone, PartialEq)]
pub struct Home {
    /// Its number: 1 for the reference position.
    pub number: u32,
    /// Diameter at which the tool stands there.
    pub x: Length,
    /// Distance of the tool from the jaw face there.
    pub z: Length,
}

/// The spindle and the way of the bar through it.
#[derive(Debug, Clone, PartialEq)]
pub struct Spindle {
    /// Highest speed.
    pub max_speed: SpindleSpeed,
    /// Largest bar that passes.
    pub bore: Length,
    /// From the jaw face to the rear end of the spindle or its liner.
    pub jaw_face_to_rear: Length,
    /// From standing to highest speed.
    pub run_up: Seconds,
    /// From highest speed to standing.
    pub run_down: Seconds,
    /// Whether a cutting move waits until the spindle is at speed.
    pub waits_for_speed: bool,
    /// What its drive gives, where it is known.
    pub drive: Option<Drive>,
}

/// What a spindle's drive gives: from standing to the base speed a constant torque, from there on
/// a constant power, as far as the constant power reaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    /// Highest power that may be drawn without end, at the motor.
    pub power: Power,
    /// Lowest speed at which it has that power.
    pub base_speed: SpindleSpeed,
    /// Highest speed at which it still has that power; above it the torque falls with the square
    /// of the speed. Left out: the spindle's highest speed.
    pub full_power_to: Option<SpindleSpeed>,
    /// Share of the power that reaches the cut.
    pub efficiency: f64,
}

/// The chuck or collet.
#[derive(Debug, Clone, PartialEq)]
pub struct Chuck {
    /// From the open word until it is open.
    pub open: Seconds,
    /// From the close word until it grips.
    pub close: Seconds,
    /// Length of bar that the jaws hold when full.
    pub jaw_length: Length,
    /// Shortest length of bar in the jaws with which a part may still be cut.
    pub least_grip: Length,
    /// Highest speed of the chuck.
    pub max_speed: SpindleSpeed,
    /// What happens when a program is started while the chuck is open.
    pub start_when_open: StartWithChuckOpen,
    /// The outline of chuck and jaws from the jaw face back; empty where it is not known.
    pub steps: Vec<ChuckStep>,
}

/// The turret.
#[derive(Debug, Clone, PartialEq)]
pub struct Turret {
    /// How many stations it has.
    pub stations: u32,
    /// Time of one step to the next station.
    pub step: Seconds,
    /// Diameter at which the turret may swing.
    pub index_x: Length,
    /// Distance in front of the bar at which the turret may swing.
    pub index_z: Length,
    /// Its body, where it is known.
    pub body: Option<TurretBody>,
}

/// What catches parts and chips.
#[derive(Debug, Clone, PartialEq)]
pub struct Catching {
    /// Solid volume of parts that the catcher holds, in cm³ of outer shape.
    pub parts: Option<u32>,
    /// Room for loose chips in liters.
    pub chips_liters: Option<f64>,
}

/// One lathe.
#[derive(Debug, Clone)]
pub struct Lathe {
    /// Where its keys stand.
    pub origin: Origin,
    /// What the shop calls it.
    pub name: String,
    /// How far the axes go.
    pub travel: Travel,
    /// How fast they go without cutting.
    pub rapid: Rapid,
    /// The spindle.
    pub spindle: Spindle,
    /// The chuck or collet.
    pub chuck: Chuck,
    /// What the chuck holds, where it is known.
    pub grip: Option<Grip>,
    /// The turret.
    pub turret: Turret,
    /// What catches parts and chips.
    pub catching: Catching,
    /// What guides the bar behind the jaws; none where the file says nothing of it.
    pub bar_way: Option<BarWay>,
    /// The home positions that are known.
    pub homes: Vec<Home>,
}

impl Lathe {
    /// Reads a lathe file.
    pub fn read(source: &Source) -> Read<Lathe> {
        let read = keys::read(source, keys);
        let value = read.value.map(|(mut lathe, origin)| {
            lathe.origin = origin;
            lathe
        });
        Read { value, diagnostics: read.diagnostics }
    }

    /// The home position with this number.
    pub fn home(&self, number: u32) -> Option<&Home> {
        self.homes.iter().find(|home| home.number == number)
    }

    /// The highest speed that spindle and chuck both allow.
    pub fn max_speed(&self) -> SpindleSpeed {
        SpindleSpeed::from_rpm(self.spindle.max_speed.rpm().min(self.chuck.max_speed.rpm()))
    }
}

/// Every key of a lathe file.
pub(super) fn keys(keys: &Keys<'_>) -> Lathe {
    let lathe = Lathe {
        origin: keys.origin(),
        name: keys.text("name", "what the shop calls this lathe").required(),
        travel: keys.table("travel", "how far the axes go", travel),
        rapid: keys.table("rapid", "how fast the axes go without cutting", rapid),
        spindle: keys.table("spindle", "the spindle and the way of the bar through it", spindle),
        chuck: keys.table("chuck", "the chuck or collet", chuck),
        grip: keys.optional_table("grip", "what the chuck holds, and how it gives way", grip::grip),
        turret: keys.table("turret", "the turret", turret),
        catching: keys
            .optional_table("catching", "what catches parts and chips", |keys| Catching {
                parts: keys
                    .count("parts", "how many parts the catcher holds", 1..=1_000_000)
                    .optional()
                    .map(|parts| parts as u32),
                chips_liters: keys
                    .number("chips", "room for loose chips", "liters", 0.1..=10_000.0)
                    .optional(),
            })
            .unwrap_or(Catching { parts: None, chips_liters: None }),
        bar_way: keys.optional_table(
            "bar_way",
            "what guides the bar between the jaws and the rear end",
            bar_way::keys,
        ),
        homes: keys.list("home", "one home position of the axes", home),
    };
    swings_within_travel(keys, &lathe);
    lathe
}

fn home(keys: &Keys<'_>) -> Home {
    Home {
        number: keys.count("number", "its number: 1 for the reference position", 1..=4).or(1)
            as u32,
        x: keys.length("x", "diameter at which the tool stands there", -HUGE..=HUGE).required(),
        z: keys
            .length("z", "distance of the tool from the jaw face there", Length::ZERO..=HUGE)
            .required(),
    }
}

fn swings_within_travel(keys: &Keys<'_>, lathe: &Lathe) {
    for (index, travel, at, limit) in [
        ("turret.index_x", "travel.x", lathe.turret.index_x, lathe.travel.x),
        ("turret.index_z", "travel.z", lathe.turret.index_z, lathe.travel.z),
    ] {
        if keys.sound(index) && keys.sound(travel) && at > limit {
            let limit = limit.shown(keys.units());
            let message = format!("the turret cannot get there: `{travel}` is {limit}");
            keys.trouble(index, message, "write a place within the travel");
        }
    }
}

const HUGE: Length = Length::from_mm(10_000);

fn travel(keys: &Keys<'_>) -> Travel {
    let range = Length::from_mm(1)..=HUGE;
    Travel {
        x: keys.length("x", "largest diameter that a tool reaches", range.clone()).required(),
        z: keys.length("z", "length along the spindle axis", range).required(),
        ends: keys.optional_table(
            "ends",
            "where the turret stands at the ends of its travel",
            room::travel_ends,
        ),
    }
}

fn rapid(keys: &Keys<'_>) -> Rapid {
    let speed = |key, meaning| {
        FeedRate::from_mm_per_min(
            1000.0 * keys.number(key, meaning, "m/min", 0.1..=200.0).required(),
        )
    };
    let (x, z) = (
        speed("x", "rapid speed of the cross slide, measured on the radius"),
        speed("z", "rapid speed along the spindle axis"),
    );
    let acceleration = |key, meaning| {
        Acceleration::from_m_per_s2(keys.number(key, meaning, "m/s²", 0.01..=100.0).or(3.0))
    };
    Rapid {
        x,
        z,
        x_acceleration: acceleration("x_acceleration", "acceleration of the cross slide"),
        z_acceleration: acceleration("z_acceleration", "acceleration along the spindle axis"),
        in_thread: keys
            .number(
                "in_thread",
                "highest speed of an axis in a thread; left out, its rapid speed",
                "m/min",
                0.01..=200.0,
            )
            .optional()
            .map(|speed| FeedRate::from_mm_per_min(1000.0 * speed)),
    }
}

fn spindle(keys: &Keys<'_>) -> Spindle {
    let time =
        |key, meaning| Seconds::from_s(keys.number(key, meaning, "s", 0.0..=120.0).required());
    Spindle {
        max_speed: SpindleSpeed::from_rpm(
            keys.number("max_speed", "highest speed", "rev/min", 10.0..=100_000.0).required(),
        ),
        bore: keys.length("bore", "largest bar that passes", Length::from_mm(1)..=HUGE).required(),
        jaw_face_to_rear: keys
            .length(
                "jaw_face_to_rear",
                "from the jaw face to the rear end of the spindle or its liner",
                Length::from_mm(10)..=HUGE,
            )
            .required(),
        run_up: time("run_up", "time from standing to highest speed"),
        run_down: time("run_down", "time from highest speed to standing"),
        waits_for_speed: keys
            .flag("waits_for_speed", "whether a cutting move waits until the spindle is at speed")
            .or(true),
        drive: keys.optional_table("drive", "what the spindle's drive gives", drive),
    }
}

fn drive(keys: &Keys<'_>) -> Drive {
    let speed = |key, meaning| keys.number(key, meaning, "rev/min", 1.0..=100_000.0);
    let power = keys
        .number("power", "power that it gives without end, at the motor", "kW", 0.01..=500.0)
        .required();
    let base = speed("base_speed", "lowest speed at which it has that power").required();
    let top = speed(
        "full_power_to",
        "highest speed at which it still has that power; left out, the spindle's highest",
    )
    .optional();
    if keys.sound("base_speed") && keys.sound("full_power_to") && top.is_some_and(|top| top < base)
    {
        let message = "full power ends before it begins";
        keys.trouble("full_power_to", message, "write the base speed or more");
    }
    Drive {
        power: Power::from_w(1000.0 * power),
        base_speed: SpindleSpeed::from_rpm(base),
        full_power_to: top.map(SpindleSpeed::from_rpm),
        // Machinery's Handbook gives 0.80 to 0.90 for belt and gear drives; from memory.
        efficiency: keys
            .number("efficiency", "share of that power that reaches the cut", "", 0.1..=1.0)
            .or(0.8),
    }
}

fn chuck(keys: &Keys<'_>) -> Chuck {
    let time =
        |key, meaning| Seconds::from_s(keys.number(key, meaning, "s", 0.0..=60.0).required());
    let jaw_length = keys
        .length(
            "jaw_length",
            "length of bar that the jaws hold when full",
            Length::from_mm(1)..=HUGE,
        )
        .required();
    let least_grip = keys
        .length(
            "least_grip",
            "shortest length of bar in the jaws with which a part may still be cut",
            Length::from_um(100)..=HUGE,
        )
        .required();
    if keys.sound("jaw_length") && least_grip > jaw_length {
        let message = "the least grip is longer than the jaws";
        keys.trouble("least_grip", message, "write what the jaws can hold, or less");
    }
    Chuck {
        open: time("open", "time from the open word until the chuck is open"),
        close: time("close", "time from the close word until the chuck grips"),
        jaw_length,
        least_grip,
        max_speed: SpindleSpeed::from_rpm(
            keys.number("max_speed", "highest speed of the chuck", "rev/min", 10.0..=100_000.0)
                .required(),
        ),
        start_when_open: keys
            .choice(
                "start_when_open",
                "what happens when a program is started while the chuck is open",
            )
            .required(),
        steps: room::chuck_steps(keys),
    }
}

fn turret(keys: &Keys<'_>) -> Turret {
    Turret {
        stations: keys.count("stations", "how many stations it has", 1..=100).required() as u32,
        step: Seconds::from_s(
            keys.number("step", "time of one step to the next station", "s", 0.0..=60.0).required(),
        ),
        index_x: keys
            .length("index_x", "diameter at which the turret may swing", Length::from_mm(1)..=HUGE)
            .required(),
        index_z: keys
            .length(
                "index_z",
                "distance in front of the finished face at which the turret may swing",
                Length::ZERO..=HUGE,
            )
            .required(),
        body: keys.optional_table(
            "body",
            "the body of a turret that is a disk or drum",
            room::turret_body,
        ),
    }
}
