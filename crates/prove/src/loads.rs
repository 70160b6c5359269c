//! What each cut of a program asks of drive, chuck and bar, reckoned by [`calc::station`] from the
//! metal that the cut really takes off.

use crate::event::{Motion, Point};
use crate::metal::Metal;
use crate::setup::Setup;
use calc::bending::Step;
use calc::cutting::Wear;
use calc::held::{Margin, Margins};
use calc::holding::LARGEST_LOSS;
use calc::holding::friction::WorkSurface;
use calc::spread::Spread;
use calc::station::{Feeding, Load, Loads, Setting, StationCut, Turning};
use model::files::keys::Choice as _;
use model::files::tools::{BladeCorner, Station, ToolKind};
use model::quantity::{Deflection, FeedPerRev, Power, Torque};
use model::{Length, Level};
use rustc_hash::FxHashMap;
use shape::{Placed, Region};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;

/// A limit that a cut may break.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadKind {
    /// Power at the cut, in W.
    Power,
    /// Torque on the spindle, in N·m.
    Torque,
    /// Grip there is at rest over that which is needed.
    Grip,
    /// What holds the bar against turning in the jaws over what turns it.
    Turning,
    /// What holds it along the axis over what moves it.
    Sliding,
    /// What holds it against tipping over what tips it.
    Tipping,
    /// Grip at speed over that at which an edge of the jaws lifts.
    Lifting,
    /// Share of the grip that speed takes, in percent.
    Speed,
    /// Error of a diameter of the drawing by bending, in µm.
    Bending,
}

/// A cut that breaks a limit, at the unfavorable end of its range at least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overload {
    /// Which limit.
    pub kind: LoadKind,
    /// What the cut comes to.
    pub value: Spread<f64>,
    /// What it must keep to.
    pub limit: f64,
    /// Whether the likely value breaks the limit, and not the unfavorable end alone.
    pub likely: bool,
}

impl Overload {
    /// More than there may be.
    fn above(kind: LoadKind, value: Spread<f64>, limit: f64) -> Option<Overload> {
        let likely = value.nominal > limit;
        (likely || value.high > limit).then_some(Overload { kind, value, limit, likely })
    }

    /// Less than there must be.
    fn below(kind: LoadKind, margin: Option<Margin>) -> Option<Overload> {
        let Margin { ratio: value, least: limit } = margin?;
        let likely = value.nominal < limit;
        (likely || value.low < limit).then_some(Overload { kind, value, limit, likely })
    }

    /// Its level, where the likely value is of this one: one less where only the end is.
    pub fn level(&self, most: Level) -> Level {
        match (self.likely, most) {
            (true, most) => most,
            (false, Level::Stop) => Level::Caution,
            (false, _) => Level::Note,
        }
    }
}

/// One cut as a program makes it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Taken {
    pub(crate) station: u32,
    /// The bar before and behind it.
    pub(crate) before: Placed,
    pub(crate) after: Placed,
    pub(crate) motion: Motion,
    pub(crate) turning: Turning,
    /// Length of bar in the jaws; none where it is not known.
    pub(crate) gripped: Option<Length>,
}

/// What a cut is told apart by.
type Key = (u32, Placed, Placed, [Point; 2], [u64; 4], Option<Length>);

/// The loads of the cuts of one set-up. What was reckoned is remembered.
#[derive(Debug, Default)]
pub(crate) struct LoadBook {
    known: RefCell<FxHashMap<Key, Rc<[Overload]>>>,
    lacks: RefCell<BTreeSet<String>>,
}

impl LoadBook {
    /// The limits that a cut breaks.
    pub(crate) fn overloads(&self, taken: &Taken, metal: &Metal, setup: &Setup) -> Rc<[Overload]> {
        let key = key(taken);
        if let Some(known) = self.known.borrow().get(&key) {
            return Rc::clone(known);
        }
        let told: Rc<[Overload]> = match reckoned(taken, metal, setup) {
            Ok(Some((loads, allowed))) => self.broken(&loads, allowed),
            Ok(None) => Rc::new([]),
            Err(why) => {
                self.lacks.borrow_mut().insert(why);
                Rc::new([])
            }
        };
        if setup.reuse {
            self.known.borrow_mut().insert(key, Rc::clone(&told));
        }
        told
    }

    /// Notes a cut of which it is not known what it takes off.
    pub(crate) fn lacks_the_bar(&self) {
        let why = "for some cuts the shape of the bar is not known".to_owned();
        self.lacks.borrow_mut().insert(why);
    }

    /// Why the loads of some cuts are not known, each reason once.
    pub(crate) fn lacks(&self) -> BTreeSet<String> {
        self.lacks.borrow().clone()
    }

    fn broken(&self, loads: &Loads, allowed: Option<Deflection>) -> Rc<[Overload]> {
        let mut broken = Vec::new();
        let mut lacks = self.lacks.borrow_mut();
        match &loads.power {
            Ok(Load { asked, given }) => {
                broken.push(Overload::above(LoadKind::Power, asked.map(Power::w), given.w()));
            }
            Err(lack) => {
                lacks.insert(lack.why.clone());
            }
        }
        if let Ok(Load { asked, given }) = &loads.torque {
            broken.push(Overload::above(LoadKind::Torque, asked.map(Torque::nm), given.nm()));
        }
        match &loads.held {
            Ok(held) => broken.extend(held_badly(held, allowed)),
            Err(lack) => {
                lacks.insert(lack.why.clone());
            }
        }
        broken.into_iter().flatten().collect()
    }
}

type Reckoned = Result<Option<(Loads, Option<Deflection>)>, String>;

fn held_badly(held: &Margins, allowed: Option<Deflection>) -> [Option<Overload>; 7] {
    // The margin is what may be lost by speed over what is.
    let lost = held.loss.and_then(|margin| {
        let most = 100.0 * LARGEST_LOSS;
        let Spread { low, nominal, high } = margin.ratio;
        let value = Spread { low: most / high, nominal: most / nominal, high: most / low };
        Overload::above(LoadKind::Speed, value, most)
    });
    [
        Overload::below(LoadKind::Grip, held.grip),
        Overload::below(LoadKind::Turning, held.slip),
        Overload::below(LoadKind::Sliding, held.pull_out),
        Overload::below(LoadKind::Tipping, held.overturning),
        Overload::below(LoadKind::Lifting, held.lift),
        lost,
        bent(held, allowed),
    ]
}

/// A diameter that comes out wrong by more than the drawing allows.
fn bent(held: &Margins, allowed: Option<Deflection>) -> Option<Overload> {
    let allowed = allowed?.um();
    let [low, nominal, high] =
        [held.size.worst.low, held.size.worst.nominal, held.size.worst.high].map(Deflection::um);
    let ends = (low.abs().min(high.abs()), low.abs().max(high.abs()));
    let crosses = low < 0.0 && high > 0.0;
    let value = Spread {
        low: if crosses { 0.0 } else { ends.0.min(nominal.abs()) },
        nominal: nominal.abs(),
        high: ends.1.max(nominal.abs()),
    };
    Overload::above(LoadKind::Bending, value, allowed)
}

fn key(taken: &Taken) -> Key {
    let turning = match taken.turning {
        Turning::Surface(speed, most) => [speed.m_per_min().to_bits(), most.rpm().to_bits(), 1],
        Turning::Spindle(speed) => [speed.rpm().to_bits(), 0, 0],
    };
    let feed = taken.motion.per_turn.map_or(u64::MAX, f64::to_bits);
    let [one, two, three] = turning;
    let ends = [taken.motion.from, taken.motion.to];
    (taken.station, taken.before, taken.after, ends, [one, two, three, feed], taken.gripped)
}

/// The loads of a cut and the error of its diameter that is allowed; none where it takes nothing
/// that counts, else why they are not known.
fn reckoned(taken: &Taken, metal: &Metal, setup: &Setup) -> Reckoned {
    let not_given = |what: &str| format!("{what} is not given");
    let lathe = setup.lathe.as_ref().ok_or_else(|| not_given("the lathe file"))?;
    let material = setup.material.as_ref().ok_or_else(|| not_given("the bar's material"))?;
    let tools = setup.tools.as_ref().ok_or_else(|| not_given("the tools file"))?;
    let (Some(bar), Some(jaw_face)) = (&setup.bar, setup.jaw_face()) else { return Ok(None) };
    let Some(station) = tools.station(taken.station) else { return Ok(None) };
    let gripped = taken.gripped.ok_or("where the bar's rear end lies is not known")?;
    let (before, after) = (metal.region(taken.before), metal.region(taken.after));
    let removed = before.difference(&after);
    // What rounding leaves is no chip.
    if removed.area_mm2() < LEAST_AREA_MM2 {
        return Ok(None);
    }
    let (feeding, place) = feeding(station, taken.motion, &removed, &before)?;
    let feed = taken.motion.per_turn.or(taken.motion.lead).map(FeedPerRev::from_mm);
    let steps = steps(&before, jaw_face);
    let cut = StationCut {
        station,
        feeding,
        feed: feed.ok_or("no feed a turn is known for a cut")?,
        turning: taken.turning,
        wear: Wear::Any,
        place: (place.0 - jaw_face, place.1 - jaw_face),
        steps: &steps,
        gripped,
        allowed: allowed(setup, station, feeding, place),
    };
    let surface = WorkSurface::of(bar.condition.as_ref().and_then(|condition| condition.surface));
    let setting = Setting { lathe, material, bar: bar.size, surface };
    let loads = cut.loads(&setting).map_err(|lack| lack.why)?;
    Ok(Some((loads, cut.allowed)))
}

/// Inner and outer radius of what is removed where it is deepest. The last two nose radii at both
/// ends are left out: there a cut runs into the corner that an earlier one has left, for one turn or two.
fn deepest(removed: &Region, nose: i64) -> Option<(i64, i64)> {
    const PLACES: i64 = 16;
    let bounds = removed.bounds()?;
    let corner = nose.saturating_mul(2);
    let (rear, front) = (bounds.min.z + corner, bounds.max.z - corner);
    let length = front.checked_sub(rear).filter(|length| *length > corner)?;
    let at = |place: i64| {
        let spans = removed.section(rear + length / PLACES * place);
        Some((spans.first()?.low, spans.last()?.high))
    };
    (0..=PLACES).filter_map(at).max_by_key(|(low, high)| high - low)
}

/// Error to either side that the drawing allows of the diameter that a cut leaves; none where it
/// leaves none of the drawing's. Counted for the first part of an advance.
fn allowed(
    setup: &Setup,
    station: &Station,
    feeding: Feeding,
    (one, other): (Length, Length),
) -> Option<Deflection> {
    let Feeding::Along { to, .. } = feeding else { return None };
    // A nose that only rounds a corner leaves no diameter.
    if station.kind != ToolKind::Turning || (other - one).abs() <= station.nose_radius {
        return None;
    }
    let middle = one + (other - one).half();
    let steps = setup.drawing.as_ref()?.steps();
    let step = steps.iter().find(|step| step.from <= -middle && -middle <= step.to)?;
    let allowed = step.allowed.filter(|allowed| (step.diameter - to).abs() <= *allowed * 2)?;
    Some(Deflection::from_um(1000.0 * allowed.mm()))
}

/// Less than this in the half-plane is no chip.
const LEAST_AREA_MM2: f64 = 1e-4;

/// Which way a cut is fed, what it takes off, and where it starts and ends along the axis.
fn feeding(
    station: &Station,
    motion: Motion,
    removed: &Region,
    before: &Region,
) -> Result<(Feeding, (Length, Length)), String> {
    let bounds = removed.bounds().ok_or("nothing is taken off")?;
    let nm = Length::from_nm;
    let (way_z, way_r) = ((motion.to.z - motion.from.z).abs(), (motion.to.r - motion.from.r).abs());
    // A blade that goes in on a slant of 45°, as for a back edge, goes in.
    let blade = matches!(station.kind, ToolKind::Parting | ToolKind::Grooving);
    let is_along = way_z > way_r || (way_z == way_r && !blade);
    let deepest = deepest(removed, station.nose_radius.nm()).filter(|_| is_along);
    let (least, most) = deepest.unwrap_or((bounds.min.r, bounds.max.r));
    let (least, most) = (nm(least) * 2, nm(most) * 2);
    let (rear, front) = (nm(bounds.min.z), nm(bounds.max.z));
    let toward_chuck = motion.to.z < motion.from.z;
    let along = |from: Length, to: Length| {
        let place = if toward_chuck { (front, rear) } else { (rear, front) };
        (Feeding::Along { from, to, toward_chuck }, place)
    };
    let across = |from: Length, to: Length, depth: Length, at: Length| {
        (Feeding::Across { from, to, depth }, (at, at))
    };
    let middle = rear + (front - rear).half();
    if station.inside {
        let (kind, number) = (station.kind.word(), station.number);
        return Err(format!("no force is reckoned for a {kind} tool in a bore (station {number})"));
    }
    Ok(match station.kind {
        ToolKind::Drill => along(Length::ZERO, station.diameter.unwrap_or(most)),
        ToolKind::Parting | ToolKind::Grooving if !is_along => {
            // What is removed may hold the piece that falls, too: the blade cuts its own width.
            let width = station.width.ok_or("the tools file does not say how wide the blade is")?;
            if motion.to.r.abs() > motion.from.r.abs() {
                // From inside into the wall of a bore.
                return Ok(across(least, motion.to.r.abs() * 2, width, middle));
            }
            let rear = match station.corner {
                BladeCorner::ChuckSide => motion.to.z,
                BladeCorner::FrontSide => motion.to.z - width,
            };
            let outside = before.largest_radius(rear.nm(), (rear + width).nm());
            let outside = outside.unwrap_or_default();
            let crosses = motion.from.r.is_negative() != motion.to.r.is_negative();
            let inner = if crosses { Length::ZERO } else { motion.to.r.abs() * 2 };
            across(nm(outside) * 2, inner, width, rear + width.half())
        }
        ToolKind::Threading if is_along && motion.lead.is_some() => {
            let outside = |of: Option<i64>| nm(of.unwrap_or_default()) * 2;
            let blank = outside(before.largest_radius(bounds.min.z, bounds.max.z));
            // The ground before this pass, between the ends, where earlier passes have been.
            let middle = i64::midpoint(bounds.min.z, bounds.max.z);
            let from = outside(self::outside(before, middle));
            if most < from {
                let number = station.number;
                return Err(format!(
                    "no force is computed for an inside thread (station {number})"
                ));
            }
            let feeding = Feeding::Thread { blank, from, to: least, toward_chuck };
            (feeding, if toward_chuck { (front, rear) } else { (rear, front) })
        }
        ToolKind::Turning if is_along => along(most, least),
        ToolKind::Boring if is_along => along(least, most),
        ToolKind::Parting | ToolKind::Grooving => {
            // Sideways; in a bore it leaves the larger diameter.
            let inside = motion.to.r.abs() * 2 >= most;
            if inside { along(least, most) } else { along(most, least) }
        }
        ToolKind::Turning | ToolKind::Boring => across(most, least, front - rear, middle),
        kind => {
            let (kind, number) = (kind.word(), station.number);
            return Err(format!(
                "no force is reckoned for a {kind} tool fed this way (station {number})"
            ));
        }
    })
}

/// The bar in front of the jaws as cylinders, from the jaw face outward; where it is not one, it
/// is taken as thin as it is at its thinnest there.
fn steps(bar: &Region, jaw_face: Length) -> Vec<Step> {
    let mut places: Vec<i64> = bar.loops().flatten().map(|corner| corner.z).collect();
    places.push(jaw_face.nm());
    places.retain(|z| *z >= jaw_face.nm());
    places.sort_unstable();
    // An arc has many corners; a tenth of a millimeter apart is near enough for bending.
    places.dedup_by(|next, kept| *next - *kept < SHORTEST_STEP.nm());
    let twice = |nm: i64| Length::from_nm(nm) * 2;
    let step = |ends: &[i64]| {
        let middle = i64::midpoint(ends[0], ends[1]);
        let bore = bar.section(middle).first().map_or(0, |span| span.low);
        let outside = [ends[0] + 1, middle, ends[1] - 1].map(|z| outside(bar, z));
        let diameter = outside.into_iter().flatten().min()?;
        let length = Length::from_nm(ends[1] - ends[0]);
        Some(Step { length, diameter: twice(diameter), bore: twice(bore) })
    };
    places.windows(2).filter_map(step).collect()
}

/// Steps shorter than this are not told apart.
const SHORTEST_STEP: Length = Length::from_um(100);

fn outside(bar: &Region, z: i64) -> Option<i64> {
    bar.section(z).last().map(|span| span.high)
}
