//! What a cut may not break, and how far it goes to it.

use crate::mechanics::CutLoads;
use calc::finish;
use calc::held::{Margin, Margins};
use calc::station::{Lack, Load, Loads};
use model::Length;
use model::files::job::Step;
use model::quantity::{Deflection, FeedPerRev, Power, Torque};

/// A limit of a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// Power that the drive brings to the cut.
    Power,
    /// Torque that the drive gives.
    Torque,
    /// Grip at rest that the cut needs.
    Grip,
    /// The bar turns in the jaws.
    Turning,
    /// The bar slides in the jaws.
    Sliding,
    /// The bar tips out of the jaws.
    Tipping,
    /// An edge of the jaws lifts.
    Lifting,
    /// Speed takes too much of the grip.
    GripLost,
    /// The part bends by more than the drawing allows.
    Bending,
    /// The drawing's roughness.
    Finish,
    /// The highest feed that the tool takes.
    MostFeed,
    /// The deepest cut that the tool takes.
    MostDepth,
    /// The speeds for which the material's figures hold.
    SpeedRange,
    /// The feeds for which they hold.
    FeedRange,
    /// The highest speed of the spindle in this job.
    SpindleSpeed,
}

impl Limit {
    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Limit::Power => "power",
            Limit::Torque => "torque",
            Limit::Grip => "grip",
            Limit::Turning => "turning-in-jaws",
            Limit::Sliding => "sliding-in-jaws",
            Limit::Tipping => "tipping",
            Limit::Lifting => "lifting",
            Limit::GripLost => "grip-lost",
            Limit::Bending => "bending",
            Limit::Finish => "finish",
            Limit::MostFeed => "most-feed",
            Limit::MostDepth => "most-depth",
            Limit::SpeedRange => "speed-range",
            Limit::FeedRange => "feed-range",
            Limit::SpindleSpeed => "spindle-speed",
        }
    }

    /// What it is, in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Limit::Power => "the drive's power",
            Limit::Torque => "the drive's torque",
            Limit::Grip => "the grip",
            Limit::Turning => "the bar turning in the jaws",
            Limit::Sliding => "the bar sliding in the jaws",
            Limit::Tipping => "the bar tipping out of the jaws",
            Limit::Lifting => "the jaws' edge lifting",
            Limit::GripLost => "the grip that speed takes",
            Limit::Bending => "bending against the tolerance",
            Limit::Finish => "the drawing's roughness",
            Limit::MostFeed => "the highest feed of the tool",
            Limit::MostDepth => "the deepest cut of the tool",
            Limit::SpeedRange => "the speeds of the material's figures",
            Limit::FeedRange => "the feeds of the material's figures",
            Limit::SpindleSpeed => "the highest spindle speed",
        }
    }
}

/// How far cuts go to a limit by the unfavorable end of their range: 1 is at it, more is beyond it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Used {
    /// Which limit.
    pub limit: Limit,
    /// What is asked over what may be.
    pub used: f64,
}

impl Used {
    pub(super) fn new(limit: Limit, used: f64) -> Used {
        Used { limit, used }
    }
}

/// How far a cut goes to the limits of drive, chuck and drawing, as far as they are known.
pub(super) fn of_cut(
    loads: &Loads,
    last: Option<&Result<Margins, Lack>>,
    finishes: Option<&Step>,
) -> Vec<Used> {
    let mut used = Vec::with_capacity(16);
    if let Ok(Load { asked, given }) = &loads.power {
        used.push(Used::new(Limit::Power, asked.map(Power::w).high / given.w()));
    }
    if let Ok(Load { asked, given }) = &loads.torque {
        used.push(Used::new(Limit::Torque, asked.map(Torque::nm).high / given.nm()));
    }
    for held in loads.held.as_ref().ok().into_iter().chain(last.and_then(|it| it.as_ref().ok())) {
        used.extend(of_held(held));
    }
    if let (Ok(held), Some(allowed)) = (&loads.held, finishes.and_then(|step| step.allowed)) {
        let worst = held.size.worst.map(Deflection::um);
        let error = worst.low.abs().max(worst.high.abs()).max(worst.nominal.abs());
        used.push(Used::new(Limit::Bending, error / (1000.0 * allowed.mm())));
    }
    used
}

fn of_held(held: &Margins) -> impl Iterator<Item = Used> {
    let used = |limit, margin: Option<Margin>| {
        let Margin { ratio, least } = margin?;
        let used = if ratio.low > 0.0 { least / ratio.low } else { f64::INFINITY };
        Some(Used::new(limit, used))
    };
    [
        used(Limit::Grip, held.grip),
        used(Limit::Turning, held.slip),
        used(Limit::Sliding, held.pull_out),
        used(Limit::Tipping, held.overturning),
        used(Limit::Lifting, held.lift),
        used(Limit::GripLost, held.loss),
    ]
    .into_iter()
    .flatten()
}

/// How far a feed goes to the roughness that the drawing asks of what a cut leaves.
pub(super) fn of_finish(step: Option<&Step>, feed: FeedPerRev, nose: Length) -> Option<Used> {
    let asked = step?.ra?;
    // A feed beyond twice the nose leaves a thread.
    let used =
        finish::expected_ra(feed, nose).map_or(f64::INFINITY, |ra| ra.high.um() / asked.um());
    Some(Used::new(Limit::Finish, used))
}

/// The limit that the cuts of an operation come nearest to, of those that are known.
pub(super) fn nearest<'c>(cuts: impl Iterator<Item = &'c CutLoads>, nose: Length) -> Option<Used> {
    let of = |cut: &CutLoads| {
        let loads = cut.loads.as_ref().ok();
        let mechanics = loads.map(|loads| of_cut(loads, cut.last.as_ref(), cut.finishes.as_ref()));
        let finish = of_finish(cut.finishes.as_ref(), cut.feed, nose);
        mechanics.unwrap_or_default().into_iter().chain(finish).collect::<Vec<_>>()
    };
    cuts.flat_map(of).max_by(|one, other| one.used.total_cmp(&other.used))
}

/// What is not known of a cut that a choice must know.
pub(super) fn lacking(
    loads: &Result<Loads, Lack>,
    last: Option<&Result<Margins, Lack>>,
    finishes: Option<&Step>,
    nose: Length,
) -> Option<Lack> {
    let loads = match loads {
        Err(lack) => return Some(lack.clone()),
        Ok(loads) => loads,
    };
    let of_drive = loads.power.as_ref().err().or(loads.torque.as_ref().err());
    let of_chuck = loads.held.as_ref().err().or(last.and_then(|last| last.as_ref().err()));
    if let Some(lack) = of_drive.or(of_chuck).or(loads.life.as_ref().err()) {
        return Some(lack.clone());
    }
    let step = finishes?;
    let Ok(held) = &loads.held else { return None };
    if step.allowed.is_none() {
        return Some(Lack::of("part.feature", "a diameter that is finished has no tolerance"));
    }
    if !held.size.chuck_known {
        let why = "the lathe file does not say how far the chuck gives way (`radial` and `tilt` under [grip])";
        return Some(Lack::of("grip", why));
    }
    (step.ra.is_some() && !nose.is_positive()).then(|| {
        Lack::of("nose_radius", "the tool that finishes has no nose radius (`nose_radius`)")
    })
}
