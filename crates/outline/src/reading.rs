//! How a drawn line may be read as a part: along what its axis runs, which end is the front face, whether
//! half of the section is drawn or all of it. Every reading that gives a part stands; more than one that
//! differ is a question.

use crate::chain::{Chain, Edge, Place};
use crate::drawing::Scale;
use crate::features::{self, Features};
use crate::profile::{self, Knot, Round, Stretch};
use crate::{Drawn, JOIN, Question, Refused, Told};
use model::{Diagnostic, Length, Source};

/// Where the front face is on the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Front {
    /// The axis runs across the paper, the front face is at its left end.
    Left,
    /// The axis runs across the paper, the front face is at its right end.
    Right,
    /// The axis runs up the paper, the front face is at its upper end.
    Top,
    /// The axis runs up the paper, the front face is at its lower end.
    Bottom,
}

impl Front {
    /// All, in the order in which they are asked for.
    pub const ALL: [Front; 4] = [Front::Left, Front::Right, Front::Top, Front::Bottom];

    /// The word for it on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Front::Left => "left",
            Front::Right => "right",
            Front::Top => "top",
            Front::Bottom => "bottom",
        }
    }

    /// Whether the axis runs across the paper.
    const fn across(self) -> bool {
        matches!(self, Front::Left | Front::Right)
    }

    /// A place as distance behind an end of the paper and as distance across the axis.
    const fn turned(self, place: Place) -> (i64, i64) {
        match self {
            Front::Left => (place.x, place.y),
            Front::Right => (-place.x, place.y),
            Front::Top => (-place.y, place.x),
            Front::Bottom => (place.y, place.x),
        }
    }

    fn turned_center(self, x: f64, y: f64) -> (f64, f64) {
        match self {
            Front::Left => (x, y),
            Front::Right => (-x, y),
            Front::Top => (-y, x),
            Front::Bottom => (y, x),
        }
    }

    /// Whether turning the paper so shows it from behind.
    const fn mirrors(self) -> bool {
        matches!(self, Front::Right | Front::Bottom)
    }

    /// The name of the coordinate across the axis.
    const fn cross_name(self) -> &'static str {
        if self.across() { "y" } else { "x" }
    }
}

/// One way to read the line.
struct Reading {
    front: Front,
    drawn: Drawn,
    /// Whether nobody said where the axis is, and the line does not touch it.
    assumed: bool,
    part: Features,
}

/// The part that the line shows, or what must be said first.
pub(crate) fn choose(
    source: &Source,
    chain: &Chain,
    scale: &Scale,
    told: &Told,
) -> Result<Result<Features, Question>, Refused> {
    let mut standing: Vec<Reading> = Vec::new();
    let mut refused: Vec<(bool, Diagnostic)> = Vec::new();
    for front in Front::ALL.into_iter().filter(|it| told.front.is_none_or(|told| told == *it)) {
        for drawn in [Drawn::Full, Drawn::Half] {
            if told.drawn.is_some_and(|told| told != drawn) {
                continue;
            }
            match read(source, chain, scale, front, drawn, told.axis_at) {
                Ok(reading) => standing.push(reading),
                Err(trouble) => refused.push(trouble),
            }
        }
    }
    let sure = |all: &[Reading]| all.windows(2).all(|pair| pair[0].part == pair[1].part);
    match standing.first() {
        None => Err(Refused::Troubles(worth_telling(refused))),
        Some(_) if sure(&standing) && standing.iter().any(|it| !it.assumed) => {
            Ok(Ok(standing.swap_remove(0).part))
        }
        Some(_) => Ok(Err(question(&standing, scale, told))),
    }
}

/// Of the reasons why no reading stands, those of the readings that came furthest.
fn worth_telling(refused: Vec<(bool, Diagnostic)>) -> Vec<Diagnostic> {
    let furthest = refused.iter().any(|(far, _)| *far);
    let mut told: Vec<Diagnostic> = Vec::new();
    for (far, diagnostic) in refused {
        let known = told.iter().any(|it| it.message == diagnostic.message);
        if far == furthest && !known && told.len() < if furthest { 1 } else { 2 } {
            told.push(diagnostic);
        }
    }
    told
}

fn question(standing: &[Reading], scale: &Scale, told: &Told) -> Question {
    let both = |front| standing.iter().filter(|it| it.front == front).count() > 1;
    let answers = standing.iter().map(|reading| {
        let mut say = Vec::new();
        if told.front.is_none() {
            say.push(format!("--front {}", reading.front.word()));
        }
        if both(reading.front) {
            say.push(format!("--drawn {}", reading.drawn.word()));
        }
        if reading.assumed {
            say.push("--axis-at 0".to_owned());
        }
        let shown = |length: Length| scale.shown(length.nm());
        let (length, largest) = (shown(reading.part.length), shown(reading.part.largest));
        let face = shown(reading.part.front_diameter());
        let bore = match reading.part.bore_diameter() {
            Some(bore) => format!(", bored {}", shown(bore)),
            None => String::new(),
        };
        let drawn = match reading.drawn {
            Drawn::Full => "all of the section",
            Drawn::Half => "half of the section",
        };
        let means =
            format!("{drawn}: largest diameter {largest}, {length} long, front end {face}{bore}");
        (say.join(" "), means)
    });
    Question {
        about: "the outline can be read in more than one way: say which".to_owned(),
        answers: answers.collect(),
    }
}

/// One reading; where it fails, whether the section itself stood, and why it gives no part.
fn read(
    source: &Source,
    chain: &Chain,
    scale: &Scale,
    front: Front,
    drawn: Drawn,
    axis_at: Option<f64>,
) -> Result<Reading, (bool, Diagnostic)> {
    let look = Look { source, chain, scale, front };
    let axis = axis_at.map(|at| if front.across() && scale.y_down { -at } else { at });
    let twice = axis.and_then(|at| scale.nm_of(at)).map(|nm| 2 * nm);
    let (half, assumed) = match drawn {
        Drawn::Full => look.full(twice).map(|half| (half, false)),
        Drawn::Half => look
            .half(twice.unwrap_or(0))
            .map(|(half, touches)| (half, !touches && axis_at.is_none())),
    }
    .map_err(|trouble| (false, trouble))?;
    let late = |trouble| (true, trouble);
    let profile = profile::of(source, half, scale).map_err(late)?;
    let part = features::of(source, &profile, scale).map_err(late)?;
    Ok(Reading { front, drawn, assumed, part })
}

/// The line seen with its axis and front in place.
struct Look<'l> {
    source: &'l Source,
    chain: &'l Chain,
    scale: &'l Scale,
    front: Front,
}

/// Half of a section: stretches one after the other, and whether the last ends where the first begins.
pub(crate) struct Half {
    pub(crate) stretches: Vec<Stretch>,
    pub(crate) ring: bool,
}

impl Look<'_> {
    /// An edge with its distances from twice the axis; `side` is 1 or -1.
    fn stretch(&self, edge: &Edge, twice: i64, side: i64) -> Stretch {
        let knot = |place: Place| {
            let (depth, across) = self.front.turned(place);
            let diameter = side * (2 * across - twice);
            Knot { depth, diameter: if diameter.abs() <= 2 * JOIN { 0 } else { diameter } }
        };
        let round = edge.around.map(|around| {
            let (depth, across) = self.front.turned_center(around.x, around.y);
            let height = side as f64 * (across - twice as f64 / 2.0);
            let ccw = around.ccw != (self.front.mirrors() != (side < 0));
            Round { depth, height, radius: around.radius, ccw }
        });
        Stretch { from: knot(edge.from), to: knot(edge.to), round, span: edge.span }
    }

    fn trouble(&self, edge: &Stretch, message: String, help: &str) -> Diagnostic {
        Diagnostic::new(self.source, edge.span, message).help(help)
    }

    fn stretches(&self, twice: i64, side: i64) -> Vec<Stretch> {
        self.chain.edges.iter().map(|edge| self.stretch(edge, twice, side)).collect()
    }

    /// The line as half of a section, and whether it touches the axis.
    fn half(&self, twice: i64) -> Result<(Half, bool), Diagnostic> {
        let name = self.front.cross_name();
        let reach = |all: &[Stretch]| {
            let ends = all.iter().flat_map(Stretch::reach);
            ends.fold((0.0_f64, 0.0_f64), |(low, high), it| (low.min(it), high.max(it)))
        };
        let (low, high) = reach(&self.stretches(twice, 1));
        let mut stretches = self.stretches(twice, if high >= -low { 1 } else { -1 });
        let slack = -1.5 * JOIN as f64;
        if let Some(across) = stretches.iter().find(|it| it.reach().iter().any(|it| *it < slack)) {
            let message = format!(
                "read as half of the section, the outline crosses the axis here, at {name} {}",
                self.axis(twice)
            );
            let help =
                "draw what lies on one side of the axis; say --axis-at for where the axis is";
            return Err(self.trouble(across, message, help));
        }
        let on_axis =
            |it: &Stretch| it.round.is_none() && it.from.diameter == 0 && it.to.diameter == 0;
        let touching = stretches.iter().filter(|it| it.from.diameter == 0).count();
        if !self.chain.closed {
            let ends = (stretches[0].from.diameter, stretches[stretches.len() - 1].to.diameter);
            if ends == (0, 0) && touching == 1 {
                return Ok((Half { stretches, ring: false }, true));
            }
            let open = stretches[stretches.len() - 1];
            let message =
                "the outline is open: its ends meet neither each other nor the axis".to_owned();
            let help = format!(
                "close it; the axis is taken at {name} {} (say --axis-at where it is)",
                self.axis(twice)
            );
            return Err(self.trouble(&open, message, &help));
        }
        let along: Vec<_> = (0..stretches.len()).filter(|it| on_axis(&stretches[*it])).collect();
        match along.as_slice() {
            [] if touching == 0 => Ok((Half { stretches, ring: true }, false)),
            [only] if touching == 2 => {
                stretches.rotate_left(*only + 1);
                stretches.pop();
                Ok((Half { stretches, ring: false }, true))
            }
            _ => {
                let at = stretches.iter().find(|it| it.from.diameter == 0).unwrap_or(&stretches[0]);
                let message = "read as half of the section, the outline touches the axis in more than one stretch".to_owned();
                Err(self.trouble(at, message, "draw a part that is one piece"))
            }
        }
    }

    /// Where the axis is, as the drawing counts.
    fn axis(&self, twice: i64) -> String {
        let at = twice as f64 / 2.0 / self.scale.nm;
        let at = if self.scale.y_down && self.front.across() { -at } else { at };
        format!("{}", at + 0.0)
    }

    /// The half above the axis of a section that is drawn on both sides of it.
    fn full(&self, twice: Option<i64>) -> Result<Half, Diagnostic> {
        let raw = self.stretches(0, 1);
        if !self.chain.closed {
            let message = "read as all of the section, the outline is open".to_owned();
            return Err(self.trouble(&raw[raw.len() - 1], message, "close the outline"));
        }
        let twice = twice.unwrap_or_else(|| middle(&raw));
        let mut split = Vec::new();
        for stretch in self.stretches(twice, 1) {
            split.extend(self.split_at_axis(&stretch)?);
        }
        let starts: Vec<_> = (0..split.len()).filter(|it| split[*it].from.diameter == 0).collect();
        let (&[first, second], false) = (
            starts.as_slice(),
            split.iter().any(|it| it.from.diameter == 0 && it.to.diameter == 0),
        ) else {
            return Err(self.trouble(&raw[0], self.not_alike(twice, None), NOT_ALIKE));
        };
        let mut one = split.split_off(second);
        let tail = split.split_off(first);
        one.extend(split);
        let (one, other) = (one, tail);
        let upper_first = one.iter().all(|it| it.from.diameter >= 0 && it.to.diameter >= 0);
        let (upper, lower) = if upper_first { (one, other) } else { (other, one) };
        let mirrored: Vec<_> = lower.iter().rev().map(|it| it.turned_about().mirrored()).collect();
        let differs = upper.iter().zip(&mirrored).find(|(a, b)| !a.is_like(b)).map(|(a, _)| a);
        let differs =
            differs.or_else(|| (upper.len() != mirrored.len()).then(|| &upper[upper.len() - 1]));
        if let Some(at) = differs {
            return Err(self.trouble(at, self.not_alike(twice, Some(at)), NOT_ALIKE));
        }
        Ok(Half { stretches: upper, ring: false })
    }

    fn not_alike(&self, twice: i64, at: Option<&Stretch>) -> String {
        let axis = self.axis(twice);
        let name = self.front.cross_name();
        let what = at.map_or("the outline is", |_| "this line has no mirror image: the outline is");
        format!(
            "read as all of the section, {what} not alike on both sides of its middle, {name} {axis}"
        )
    }

    /// A stretch that crosses the axis is cut there.
    fn split_at_axis(&self, stretch: &Stretch) -> Result<Vec<Stretch>, Diagnostic> {
        let (from, to) = (stretch.from, stretch.to);
        if from.diameter.signum() * to.diameter.signum() >= 0 {
            return Ok(vec![*stretch]);
        }
        let depth = match stretch.round {
            None if (from.depth - to.depth).abs() <= JOIN => Some(from.depth),
            Some(round) if round.height.abs() <= 1.5 * JOIN as f64 => stretch.apex(),
            None | Some(_) => None,
        };
        let Some(depth) = depth else {
            let twice = self.stretches(0, 1);
            return Err(self.trouble(
                stretch,
                self.not_alike(middle(&twice), Some(stretch)),
                NOT_ALIKE,
            ));
        };
        let cut = Knot { depth, diameter: 0 };
        Ok(vec![Stretch { to: cut, ..*stretch }, Stretch { from: cut, ..*stretch }])
    }
}

const NOT_ALIKE: &str = "draw both sides alike, or only half of the section";

/// Twice the middle between the outermost places, from diameters over an axis at zero.
fn middle(stretches: &[Stretch]) -> i64 {
    let ends = stretches.iter().flat_map(Stretch::reach);
    let (low, high) =
        ends.fold((f64::MAX, f64::MIN), |(low, high), it| (low.min(it), high.max(it)));
    (low.midpoint(high)).round() as i64
}
