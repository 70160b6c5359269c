//! Joins the strokes of a layer into one outline, or says with place and size why they are none.

mod crossing;

use crate::drawing::{Layer, Run, Scale, Spot, Stroke};
use crate::{JOIN, Refused};
use model::{Diagnostic, Source, Span};

/// More strokes than this are no outline of a turned part.
const MOST: usize = 2_000;

/// A place in whole nanometers; x to the right, y up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Place {
    pub(crate) x: i64,
    pub(crate) y: i64,
}

/// The center of an arc in nanometers, and its radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Around {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) radius: f64,
    pub(crate) ccw: bool,
}

/// A stroke in whole nanometers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Edge {
    pub(crate) from: Place,
    pub(crate) to: Place,
    pub(crate) around: Option<Around>,
    pub(crate) span: Span,
}

impl Edge {
    pub(crate) fn turned_about(self) -> Edge {
        let around = self.around.map(|it| Around { ccw: !it.ccw, ..it });
        Edge { from: self.to, to: self.from, around, ..self }
    }

    /// The angle through which an arc turns, in radians, above zero and at most a whole turn.
    pub(crate) fn angle(&self) -> f64 {
        let Some(around) = self.around else { return 0.0 };
        let at = |place: Place| libm::atan2(place.y as f64 - around.y, place.x as f64 - around.x);
        let (from, to) = (at(self.from), at(self.to));
        let turn = if around.ccw { to - from } else { from - to };
        let turn = libm::fmod(turn, std::f64::consts::TAU);
        if turn <= 1e-9 { turn + std::f64::consts::TAU } else { turn }
    }

    /// Whether a direction from the center, as an angle in radians, lies on the arc, its ends left out.
    pub(crate) fn holds(&self, direction: f64) -> bool {
        let Some(around) = self.around else { return false };
        let from = libm::atan2(self.from.y as f64 - around.y, self.from.x as f64 - around.x);
        let turn = if around.ccw { direction - from } else { from - direction };
        let turn = libm::fmod(turn, std::f64::consts::TAU);
        let turn = if turn < 0.0 { turn + std::f64::consts::TAU } else { turn };
        // Nearer to an end than the join is the end.
        let end = JOIN as f64 / around.radius.max(1.0);
        turn > end && turn < self.angle() - end
    }
}

/// The strokes of a layer one after the other.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    /// Each begins where the one before it ends.
    pub(crate) edges: Vec<Edge>,
    /// Whether the last ends where the first begins.
    pub(crate) closed: bool,
    /// What was mended without a question.
    pub(crate) notes: Vec<String>,
}

/// The one outline on a layer.
pub(crate) fn of(source: &Source, layer: &Layer, scale: &Scale) -> Result<Chain, Refused> {
    if layer.strokes.len() > MOST {
        let message = format!(
            "{} lines and arcs stand here: an outline has at most {MOST}",
            layer.strokes.len()
        );
        let help = "put the outline of the part, and nothing else, on a layer of its own";
        return Err(Diagnostic::new(source, layer.strokes[0].span, message).help(help).into());
    }
    let mut edges = Vec::new();
    for stroke in &layer.strokes {
        edges.extend(edge(source, stroke, scale)?);
    }
    let mut notes = Vec::new();
    let before = edges.len();
    drop_doubles(&mut edges);
    match before - edges.len() {
        0 => {}
        1 => notes.push("1 line lay exactly on another and counts once".to_owned()),
        many => notes.push(format!("{many} lines lay exactly on others and count once")),
    }
    let joined = Joined::of(&edges, &layer.strokes);
    let mut chain = walk(source, &joined, scale)?;
    join_straights(&mut chain);
    crossing::none(source, &chain, scale)?;
    chain.notes = notes;
    Ok(chain)
}

/// A stroke in nanometers; none for one without length.
fn edge(source: &Source, stroke: &Stroke, scale: &Scale) -> Result<Option<Edge>, Diagnostic> {
    let far = || {
        let message = "this lies more than 1000 m from the origin of the drawing";
        let help = "draw the outline near the origin, and see whether the units are right";
        Diagnostic::new(source, stroke.span, message).help(help)
    };
    let place = |spot: Spot| {
        let (x, y) = (scale.nm_of(spot.x), scale.nm_of(spot.y));
        x.zip(y).map(|(x, y)| Place { x, y }).ok_or_else(far)
    };
    let (from, to) = (place(stroke.from)?, place(stroke.to)?);
    let around = match stroke.run {
        Run::Straight => None,
        Run::Arc { center, radius, ccw } => {
            let (x, y) = (center.x * scale.nm, center.y * scale.nm);
            let radius = radius * scale.nm;
            let limit = 1e15;
            if !(x.abs() < limit && y.abs() < limit && radius < limit) {
                return Err(far());
            }
            (radius >= JOIN as f64).then_some(Around { x, y, radius, ccw })
        }
    };
    if near(from, to) {
        if around.is_some_and(|around| around.radius > 2.0 * JOIN as f64) {
            let message = "this arc ends where it begins: a whole circle is no line of an outline";
            let help = "draw the outline of the section, as seen from the side of the part";
            return Err(Diagnostic::new(source, stroke.span, message).help(help));
        }
        return Ok(None);
    }
    Ok(Some(Edge { from, to, around, span: stroke.span }))
}

/// Whether two places are one.
pub(crate) const fn near(a: Place, b: Place) -> bool {
    (a.x - b.x).abs() <= JOIN && (a.y - b.y).abs() <= JOIN
}

fn drop_doubles(edges: &mut Vec<Edge>) {
    let mut kept: Vec<Edge> = Vec::with_capacity(edges.len());
    for edge in edges.drain(..) {
        if !kept.iter().any(|other| same(other, &edge) || same(&other.turned_about(), &edge)) {
            kept.push(edge);
        }
    }
    *edges = kept;
}

fn same(a: &Edge, b: &Edge) -> bool {
    let run = match (a.around, b.around) {
        (None, None) => true,
        (Some(a), Some(b)) => {
            let off = JOIN as f64;
            a.ccw == b.ccw && (a.x - b.x).abs() < off && (a.y - b.y).abs() < off
        }
        _ => false,
    };
    run && near(a.from, b.from) && near(a.to, b.to)
}

/// Edges whose near ends are one place.
struct Joined {
    edges: Vec<Edge>,
    /// For each edge the numbers of its two places.
    ends: Vec<(usize, usize)>,
    /// The places.
    places: Vec<Place>,
    /// For each place the edges that end there; one that begins and ends there stands twice.
    at: Vec<Vec<usize>>,
}

impl Joined {
    /// Ends that are written in the file come first: an end that is worked out takes their place.
    fn of(edges: &[Edge], strokes: &[Stroke]) -> Joined {
        let worked_out =
            |edge: &Edge| strokes.iter().any(|it| it.span == edge.span && it.worked_out);
        let mut places: Vec<Place> = Vec::new();
        let mut number = |place: Place| {
            let known = places.iter().position(|other| near(*other, place));
            known.unwrap_or_else(|| {
                places.push(place);
                places.len() - 1
            })
        };
        for written in edges.iter().filter(|edge| !worked_out(edge)) {
            number(written.from);
            number(written.to);
        }
        let ends: Vec<_> = edges.iter().map(|it| (number(it.from), number(it.to))).collect();
        let mut at = vec![Vec::new(); places.len()];
        for (index, (from, to)) in ends.iter().enumerate() {
            at[*from].push(index);
            at[*to].push(index);
        }
        let put = |(edge, (from, to)): (&Edge, &(usize, usize))| Edge {
            from: places[*from],
            to: places[*to],
            ..*edge
        };
        let edges = edges.iter().zip(&ends).map(put).collect();
        Joined { edges, ends, places, at }
    }
}

/// The strokes one after the other, where they are one line.
fn walk(source: &Source, joined: &Joined, scale: &Scale) -> Result<Chain, Refused> {
    let place = |index: usize| scale.place(joined.places[index].x, joined.places[index].y);
    let say = |edge: usize, message: String, help: &str| {
        Refused::from(Diagnostic::new(source, joined.edges[edge].span, message).help(help))
    };
    let alone = "put the outline of the part, and nothing else, on a layer of its own";
    if let Some(branch) = joined.at.iter().position(|edges| edges.len() > 2) {
        let edges = &joined.at[branch];
        let message =
            format!("{} lines meet at {}: an outline has two", edges.len(), place(branch));
        return Err(say(edges[edges.len() - 1], message, alone));
    }
    let open: Vec<_> = (0..joined.at.len()).filter(|index| joined.at[*index].len() == 1).collect();
    if open.len() > 2 {
        return Err(gap(source, joined, &open, scale));
    }
    let Some(first) = open.first().copied().or((!joined.at.is_empty()).then_some(0)) else {
        let message = "every line on this layer is shorter than 0.001 mm";
        let help = "see whether the units are right: say --units mm or --units inch";
        return Err(Diagnostic::new(source, source.line(1), message).help(help).into());
    };
    let mut used = vec![false; joined.edges.len()];
    let mut edges = Vec::new();
    let mut here = first;
    while let Some(index) = joined.at[here].iter().copied().find(|index| !used[*index]) {
        used[index] = true;
        let (from, to) = joined.ends[index];
        let forward = from == here;
        let edge = joined.edges[index];
        edges.push(if forward { edge } else { edge.turned_about() });
        here = if forward { to } else { from };
    }
    if let Some(other) = used.iter().position(|used| !used) {
        let count = outlines(joined);
        let message = format!("{count} outlines stand on this layer; one of them begins here");
        return Err(say(other, message, alone));
    }
    Ok(Chain { edges, closed: open.is_empty(), notes: Vec::new() })
}

/// How many lines stand apart from each other.
fn outlines(joined: &Joined) -> usize {
    let mut seen = vec![false; joined.places.len()];
    let mut count = 0;
    for start in 0..seen.len() {
        if seen[start] {
            continue;
        }
        count += 1;
        let mut waiting = vec![start];
        while let Some(place) = waiting.pop() {
            if !std::mem::replace(&mut seen[place], true) {
                for (from, to) in joined.at[place].iter().map(|edge| joined.ends[*edge]) {
                    waiting.extend([from, to]);
                }
            }
        }
    }
    count
}

/// The narrowest gap between ends that meet nothing.
fn gap(source: &Source, joined: &Joined, open: &[usize], scale: &Scale) -> Refused {
    let distance = |a: usize, b: usize| {
        let (a, b) = (joined.places[a], joined.places[b]);
        libm::hypot((a.x - b.x) as f64, (a.y - b.y) as f64)
    };
    let pairs =
        open.iter().enumerate().flat_map(|(index, a)| open[..index].iter().map(|b| (*b, *a)));
    let nearest = pairs.min_by(|x, y| distance(x.0, x.1).total_cmp(&distance(y.0, y.1)));
    let (a, b) = nearest.unwrap_or((open[0], open[0]));
    let place = |index: usize| scale.place(joined.places[index].x, joined.places[index].y);
    let size = scale.shown(distance(a, b).round() as i64);
    let message = format!(
        "the outline is open: {} ends meet nothing, the nearest two {size} apart, at {} and at {}",
        open.len(),
        place(a),
        place(b)
    );
    let help = "join the ends in the drawing; those within 0.001 mm of each other count as one";
    Diagnostic::new(source, joined.edges[joined.at[a][0]].span, message).help(help).into()
}

/// Straight lines that go on straight become one.
fn join_straights(chain: &mut Chain) {
    let mut edges: Vec<Edge> = Vec::with_capacity(chain.edges.len());
    for edge in &chain.edges {
        match edges.last_mut() {
            Some(last) if goes_on_straight(last, edge) => last.to = edge.to,
            _ => edges.push(*edge),
        }
    }
    if let (true, [first, .., last]) = (chain.closed && edges.len() > 2, edges.as_slice())
        && goes_on_straight(last, first)
    {
        edges[0].from = last.from;
        edges.pop();
    }
    chain.edges = edges;
}

fn goes_on_straight(a: &Edge, b: &Edge) -> bool {
    if a.around.is_some() || b.around.is_some() {
        return false;
    }
    let way = |from: Place, to: Place| ((to.x - from.x) as f64, (to.y - from.y) as f64);
    let (whole, first, second) = (way(a.from, b.to), way(a.from, a.to), way(b.from, b.to));
    let off = first.0 * whole.1 - first.1 * whole.0;
    let forward = first.0 * second.0 + first.1 * second.1 > 0.0;
    // The middle place stands off the line through both ends by less than a nanometer and a half.
    off.abs() <= 1.5 * libm::hypot(whole.0, whole.1) && forward
}
