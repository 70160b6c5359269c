//! The limits of a drawing as two regions, in the half-plane with the front face at zero.

use super::profile::{Edge, FAR, Profile, Run, Stretch, Thread};
use super::rounds::{self, bore_fillets, bore_rounds, fillets, groove_corners};
use super::{hollows, relief};
use model::Length;
use model::files::job::{Bar, Part};
use shape::{Chord, Edge as Line, Flaw, Move, Outline, Point, Region, Sweep, Turn};
use std::sync::OnceLock;

/// The least metal that a piece must have, and the most that it may have.
#[derive(Debug, Clone)]
pub struct Limits {
    /// What must be metal.
    pub least: Region,
    /// What may be metal.
    pub most: Region,
    pub(crate) profile: Profile,
    /// Whether the drawing has inside corners square to the axis.
    pub has_corners: bool,
    corner: i64,
    with_rounds: OnceLock<Region>,
}

/// Which rounds the inside corners of the outside and of a bore may have.
#[derive(Clone, Copy, PartialEq)]
enum Rounds {
    /// Those of square corners: quick, and all that most pieces need.
    Square,
    /// Those of corners between any two slopes too.
    Any,
}

/// Which of its two limits a stretch is drawn at.
#[derive(Clone, Copy, PartialEq)]
enum Limit {
    /// As far out as it may be.
    Outer,
    /// As near to the axis as it may be.
    Inner,
    /// As the drawing has it.
    Nominal,
}

/// Farther out than any part.
const SKY: i64 = 2_000_000_000;

/// Stock that a blade may leave on the ground of a groove for its last pass.
const STOCK: i64 = 300_000;

impl Limits {
    /// The limits of a part from a bar; `corner` is the radius that inside corners may have.
    ///
    /// # Errors
    /// Figures that give no region.
    pub fn of(part: &Part, bar: &Bar, corner: Length) -> Result<Limits, Flaw> {
        Limits::around(Profile::of(part, bar), corner.nm(), Rounds::Square)
    }

    /// The most metal with what a nose leaves in corners between any two slopes, and beside steps
    /// that are lower than its radius: worked out when first asked for.
    pub fn most_with_rounds(&self) -> &Region {
        self.with_rounds.get_or_init(|| {
            let limits = Limits::around(self.profile.clone(), self.corner, Rounds::Any);
            limits.map_or_else(|_| self.most.clone(), |limits| limits.most)
        })
    }

    /// Whether the outside, or a groove in it, somewhere has this radius, or stock for a last pass on it.
    pub fn has_outside_radius(&self, radius: Length) -> bool {
        let mut grounds = self.profile.outside.iter().chain(&self.profile.grooves);
        grounds.any(|it| {
            let (low, high) = (it.radii.0.min(it.radii.1), it.radii.0.max(it.radii.1));
            (low + it.deviations.1..=high + it.deviations.0.max(0) + STOCK).contains(&radius.nm())
        })
    }

    fn around(profile: Profile, corner: i64, rounds: Rounds) -> Result<Limits, Flaw> {
        let (longer, shorter) = profile.length_off;
        let outside = body(&with_pip(&profile))?;
        let mut most = outside.union(&fillets(&profile.outside, corner)?);
        if rounds == Rounds::Any {
            for round in rounds::left_in_corners(&outside, corner)? {
                most = most.union(&round);
            }
        }
        let mut least = Region::rectangle(
            Point::new(-(profile.length + shorter), 0),
            Point::new(-profile.outside.first().map_or(0, |first| first.ends.0), SKY),
        )?;
        least = least.difference(&skies(&profile.outside)?);
        for groove in &profile.grooves {
            let kept = sky(groove, Limit::Outer)?.difference(&groove_corners(groove, corner)?);
            most = most.difference(&kept);
            least = least.difference(&sky(groove, Limit::Inner)?);
        }
        // What must be empty, and what may be.
        let mut holes = (bore_least(&profile)?, body(&ahead(&profile.bore))?);
        if rounds == Rounds::Any {
            for round in bore_rounds(&holes.0, corner)? {
                holes.0 = holes.0.difference(&round);
            }
        }
        holes.0 = holes.0.difference(&bore_fillets(&profile.bore, corner)?);
        for hole in &profile.holes {
            let hole = ahead(hole);
            holes.0 = holes.0.union(&hollow_least(&hole)?);
            holes.1 = holes.1.union(&body(&hole)?);
        }
        for groove in &profile.grooves_inside {
            let sure = hollows::inside(groove, corner)?;
            holes.0 = holes.0.union(&sure);
            holes.1 = holes.1.union(&block(groove)?);
        }
        for walls in &profile.grooves_in_face {
            let (sure, may) = hollows::in_face(walls, corner)?;
            holes.0 = holes.0.union(&sure);
            holes.1 = holes.1.union(&may);
        }
        for one in &profile.reliefs {
            let (sure, may) = relief::limits(one)?;
            holes.0 = holes.0.union(&sure);
            holes.1 = holes.1.union(&may);
        }
        most = most.difference(&holes.0);
        least = least.difference(&holes.1);
        // A knurl's metal may lie anywhere between what is turned before and its points.
        for knurl in &profile.knurls {
            least = least.difference(&sky(knurl, Limit::Inner)?);
        }
        for thread in &profile.threads {
            least = least.difference(&may_be_thread(thread)?);
        }
        // The parted face stands where the length has it.
        let back = profile.length + longer;
        let room = Region::rectangle(Point::new(-back, 0), Point::new(longer.max(0), SKY))?;
        let has_corners = has_corners(&profile);
        let most = most.intersection(&room);
        Ok(Limits { least, most, profile, has_corners, corner, with_rounds: OnceLock::new() })
    }
}

/// The part as the drawing has it, without any tolerance, for pictures of it.
///
/// # Errors
/// Figures that give no region.
pub fn drawn_part(part: &Part, bar: &Bar) -> Result<Region, Flaw> {
    Ok(Limits::around(Profile::of(part, bar).exact(), 0, Rounds::Square)?.most)
}

/// Whether there are corners that a nose leaves round.
fn has_corners(profile: &Profile) -> bool {
    let steps =
        |stretches: &[Stretch]| stretches.windows(2).any(|pair| pair[0].radii.1 != pair[1].radii.0);
    let grooved = !profile.grooves.is_empty()
        || !profile.grooves_inside.is_empty()
        || !profile.grooves_in_face.is_empty();
    steps(&profile.outside) || steps(&profile.bore) || grooved
}

/// The outside with the front face as far forward as the length allows: what facing leaves in the
/// middle belongs to the length.
fn with_pip(profile: &Profile) -> Vec<Stretch> {
    let mut stretches = profile.outside.clone();
    if let Some(first) = stretches.first_mut() {
        first.ends.0 = profile.length_off.0.max(0);
    }
    stretches
}

/// Holes open at the front: a stretch more ahead of the face.
fn ahead(stretches: &[Stretch]) -> Vec<Stretch> {
    let Some(first) = stretches.first() else { return Vec::new() };
    let opens = size_of(first.edge);
    let radius = first.radii.0 + opens;
    let ahead = Stretch {
        from: first.from - FAR,
        to: first.from,
        radii: (radius, radius),
        run: Run::Straight,
        ends: (0, 0),
        edge: Edge::Sharp,
        rear: (Edge::Sharp, 0),
        ..*first
    };
    [&[ahead], stretches].concat()
}

/// How far an edge reaches along the stretch, and beside it.
const fn size_of(edge: Edge) -> i64 {
    match edge {
        Edge::Sharp => 0,
        Edge::Chamfer(size) | Edge::Round(size) => size,
    }
}

/// Everything below the stretches at their outer limit.
fn body(stretches: &[Stretch]) -> Result<Region, Flaw> {
    let mut body = Region::empty();
    for stretch in stretches {
        body = body.union(&block(stretch)?);
    }
    Ok(body)
}

/// Everything above the stretches at their inner limit.
fn skies(stretches: &[Stretch]) -> Result<Region, Flaw> {
    let mut skies = Region::empty();
    for stretch in stretches {
        skies = skies.union(&sky(stretch, Limit::Inner)?);
    }
    Ok(skies)
}

/// What is surely empty in a hole: all that lies below its stretches, wherever in their limits
/// they are.
fn hollow_least(stretches: &[Stretch]) -> Result<Region, Flaw> {
    let (Some(first), Some(last)) = (stretches.first(), stretches.last()) else {
        return Ok(Region::empty());
    };
    let (from, to) = (-first.from, -(last.to - last.ends.1).max(first.from + 1));
    let whole = Region::rectangle(Point::new(to, 0), Point::new(from, SKY))?;
    Ok(whole.difference(&skies(stretches)?))
}

fn bore_least(profile: &Profile) -> Result<Region, Flaw> {
    let mut bore = ahead(&profile.bore);
    // A bore through the part has no bottom that could lie off.
    if let Some(last) = bore.last_mut().filter(|last| last.to >= profile.length) {
        let (to, opens) = (last.to, size_of(last.rear.0));
        last.ends.1 = 0;
        if opens == 0 {
            last.to = profile.length + FAR;
        } else {
            let radii = (last.radii.1 + opens, last.radii.1 + opens);
            let behind = Stretch { from: to, to: to + FAR, radii, run: Run::Straight, ..*last };
            let sharp = (Edge::Sharp, 0);
            bore.push(Stretch {
                edge: sharp.0,
                edge_tolerance: 0,
                rear: sharp,
                ends: (0, 0),
                ..behind
            });
        }
    }
    hollow_least(&bore)
}

/// How a stretch runs at one of its limits: corners and arcs from its front end to its back end.
struct Drawn {
    start: Point,
    lines: Vec<Line>,
    end: Point,
}

fn drawn(stretch: &Stretch, limit: Limit) -> Drawn {
    let (upper, lower) = stretch.deviations;
    // A larger edge takes metal off the outside and adds to a hole.
    let sign = if stretch.inside { 1 } else { -1 };
    let (off, larger) = match limit {
        Limit::Outer => (upper, sign),
        Limit::Inner => (lower, -sign),
        Limit::Nominal => (0, 0),
    };
    let edge_off = larger * stretch.edge_tolerance;
    let at = |radius: i64| (radius + off).max(1);
    let (front, back) = (at(stretch.radii.0), at(stretch.radii.1));
    let (from, to) = (-stretch.from, -stretch.to);
    let long = stretch.to - stretch.from;
    let room = if stretch.inside { long } else { long.min(front - 1) };
    let mut lines = Vec::new();
    let start = match stretch.edge {
        Edge::Sharp => Point::new(from, front),
        Edge::Chamfer(leg) => {
            let leg = (leg + edge_off).clamp(0, room);
            lines.push(Line::Line(Point::new(from - leg, front)));
            Point::new(from, front + sign * leg)
        }
        Edge::Round(radius) => {
            let radius = (radius + edge_off).clamp(0, room);
            let top = Point::new(from - radius, front);
            if radius > 1 {
                let center = Point::new(from - radius, front + sign * radius);
                let turn = if stretch.inside { Turn::Clockwise } else { Turn::Counterclockwise };
                lines.push(Line::Arc { to: top, center, turn });
            }
            Point::new(from, front + sign * radius)
        }
    };
    let (rear, rear_tolerance) = stretch.rear;
    let taken = size_of(stretch.edge);
    let rear_room = (long - taken).min(if stretch.inside { long } else { back - 1 }).max(0);
    let leg = match rear {
        Edge::Sharp => 0,
        _ => (size_of(rear) + larger * rear_tolerance).clamp(0, rear_room),
    };
    let top = Point::new(to + leg, back);
    lines.push(match stretch.run {
        Run::Straight => Line::Line(top),
        Run::Arc { radius, hollow } => arc(start, top, radius, hollow),
    });
    let end = Point::new(to, back + sign * leg);
    match rear {
        Edge::Chamfer(_) if leg > 0 => lines.push(Line::Line(end)),
        Edge::Round(_) if leg > 1 => {
            let center = Point::new(to + leg, back + sign * leg);
            let turn = if stretch.inside { Turn::Clockwise } else { Turn::Counterclockwise };
            lines.push(Line::Arc { to: end, center, turn });
        }
        _ => {}
    }
    Drawn { start, lines, end }
}

/// The lines of a stretch as the drawing has them, each from its start.
pub(super) fn nominal(stretch: &Stretch) -> Vec<(Point, Line)> {
    let Drawn { start, lines, .. } = drawn(stretch, Limit::Nominal);
    let mut from = start;
    let with_start = |line| {
        let (Line::Line(to) | Line::Arc { to, .. }) = line;
        (std::mem::replace(&mut from, to), line)
    };
    lines.into_iter().map(with_start).collect()
}

/// The arc of less than half a turn between two points, seen from the front: z falls on its way.
fn arc(from: Point, to: Point, radius: i64, hollow: bool) -> Line {
    let (dz, dr) = ((to.z - from.z) as f64, (to.r - from.r) as f64);
    let chord = libm::hypot(dz, dr);
    let high = (radius as f64 * radius as f64 - chord * chord / 4.0).max(0.0);
    let high = libm::sqrt(high);
    // Toward the axis from a chord that runs toward the chuck.
    let (nz, nr) = (-dr / chord, dz / chord);
    let sign = if hollow { -1.0 } else { 1.0 };
    let middle = ((from.z + to.z) as f64 / 2.0, (from.r + to.r) as f64 / 2.0);
    let center = Point::new(
        libm::round(middle.0 + sign * nz * high) as i64,
        libm::round(middle.1 + sign * nr * high) as i64,
    );
    let turn = if hollow { Turn::Clockwise } else { Turn::Counterclockwise };
    Line::Arc { to, center, turn }
}

/// A closed outline moved along the axis as far as its ends may lie off.
fn moved(start: Point, lines: &[Line], ends: (i64, i64)) -> Result<Region, Flaw> {
    let outline = Outline::new(start, lines, Chord::FINE)?;
    let way = Move::line(Point::new(ends.0, 0), Point::new(-ends.1, 0))?;
    Ok(Region::from(&Sweep::of(&outline, &way, Chord::FINE)?))
}

/// What is below a stretch, as far out and as far along as it may be.
fn block(stretch: &Stretch) -> Result<Region, Flaw> {
    let Drawn { start, mut lines, end } = drawn(stretch, Limit::Outer);
    if start.r > 0 {
        lines.push(Line::Line(Point::new(end.z, 0)));
        lines.push(Line::Line(Point::new(start.z, 0)));
    }
    moved(start, &lines, stretch.ends)
}

/// What is above a stretch at one of its limits: at the inner one as far along as it may be, at the
/// outer one as little.
fn sky(stretch: &Stretch, limit: Limit) -> Result<Region, Flaw> {
    let Drawn { start, mut lines, end } = drawn(stretch, limit);
    lines.push(Line::Line(Point::new(end.z, SKY)));
    lines.push(Line::Line(Point::new(start.z, SKY)));
    match limit {
        Limit::Inner => moved(start, &lines, stretch.ends),
        Limit::Outer | Limit::Nominal => {
            let (from, to) = (-stretch.from - stretch.ends.0, -stretch.to + stretch.ends.1);
            if from <= to {
                return Ok(Region::empty());
            }
            let whole = moved(start, &lines, (0, 0))?;
            let sure = Region::rectangle(Point::new(to, 0), Point::new(from, 2 * SKY))?;
            Ok(whole.intersection(&sure))
        }
    }
}

/// What the groove of a thread may take: to the sharp corner that the basic profile of ISO 68-1
/// cuts off by an eighth of its height, H = 0.866 times the pitch, and as far as the tool runs out.
fn may_be_thread(thread: &Thread) -> Result<Region, Flaw> {
    let profile = (thread.pitch as f64 * DEEPEST) as i64;
    let deep = thread.depth.map_or(profile, |depth| depth + thread.pitch / 8);
    let (from, to) = (thread.pitch - thread.from, -thread.to - RUN_OUT * thread.pitch / 2);
    let (low, high) = if thread.inside {
        (0, thread.radius + thread.pitch / 8)
    } else {
        ((thread.radius - deep).max(0), SKY)
    };
    Region::rectangle(Point::new(to, low), Point::new(from, high))
}

/// Seven eighths of the height of the sharp triangle, in pitches: 7/8 · √3/2.
const DEEPEST: f64 = 0.757_772;
/// Halves of a pitch behind the end of a thread in which the tool may run out; common practice.
const RUN_OUT: i64 = 6;
