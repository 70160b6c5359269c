//! Half of a section as front face, outside, back face and bore.

use crate::JOIN;
use crate::drawing::Scale;
use crate::reading::Half;
use model::{Diagnostic, Source, Span};

/// A place of a section in whole nanometers: how far behind the front face, and on which diameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Knot {
    pub(crate) depth: i64,
    /// Below zero on the other side of the axis.
    pub(crate) diameter: i64,
}

/// The center of an arc, in nanometers: behind the front face, off the axis; and its radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Round {
    pub(crate) depth: f64,
    pub(crate) height: f64,
    pub(crate) radius: f64,
    /// From the depth toward larger diameters.
    pub(crate) ccw: bool,
}

/// One line or arc of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    pub(crate) from: Knot,
    pub(crate) to: Knot,
    pub(crate) round: Option<Round>,
    pub(crate) span: Span,
}

impl Stretch {
    pub(crate) fn turned_about(self) -> Stretch {
        let round = self.round.map(|it| Round { ccw: !it.ccw, ..it });
        Stretch { from: self.to, to: self.from, round, ..self }
    }

    /// On the other side of the axis.
    pub(crate) fn mirrored(self) -> Stretch {
        let knot = |it: Knot| Knot { diameter: -it.diameter, ..it };
        let round = self.round.map(|it| Round { ccw: !it.ccw, height: -it.height, ..it });
        Stretch { from: knot(self.from), to: knot(self.to), round, ..self }
    }

    /// Whether both run alike, within the join.
    pub(crate) fn is_like(&self, other: &Stretch) -> bool {
        let near = |a: Knot, b: Knot| {
            (a.depth - b.depth).abs() <= JOIN && (a.diameter - b.diameter).abs() <= 2 * JOIN
        };
        let round = match (self.round, other.round) {
            (None, None) => true,
            (Some(a), Some(b)) => a.ccw == b.ccw && (a.radius - b.radius).abs() <= JOIN as f64,
            _ => false,
        };
        near(self.from, other.from) && near(self.to, other.to) && round
    }

    const fn is_radial(&self) -> bool {
        self.round.is_none() && (self.from.depth - self.to.depth).abs() <= JOIN
    }

    /// Angles of both ends around the center.
    fn angles(&self, round: &Round) -> (f64, f64) {
        let at = |knot: Knot| {
            libm::atan2(knot.diameter as f64 / 2.0 - round.height, knot.depth as f64 - round.depth)
        };
        (at(self.from), at(self.to))
    }

    /// Whether a direction from the center lies on the arc, its ends left out.
    fn holds(&self, direction: f64) -> bool {
        let Some(round) = self.round else { return false };
        let (from, to) = self.angles(&round);
        let turn = |to: f64| {
            let turn =
                libm::fmod(if round.ccw { to - from } else { from - to }, std::f64::consts::TAU);
            if turn < 0.0 { turn + std::f64::consts::TAU } else { turn }
        };
        let end = JOIN as f64 / round.radius;
        turn(direction) > end && turn(direction) < turn(to) - end
    }

    /// The smallest and the largest diameter on it, in nanometers.
    pub(crate) fn reach(&self) -> [f64; 2] {
        let (a, b) = (self.from.diameter as f64, self.to.diameter as f64);
        let (mut low, mut high) = (a.min(b), a.max(b));
        if let Some(round) = self.round {
            if self.holds(std::f64::consts::FRAC_PI_2) {
                high = high.max(2.0 * (round.height + round.radius));
            }
            if self.holds(-std::f64::consts::FRAC_PI_2) {
                low = low.min(2.0 * (round.height - round.radius));
            }
        }
        [low, high]
    }

    /// Where an arc around a center on the axis meets the axis.
    pub(crate) fn apex(&self) -> Option<i64> {
        let round = self.round?;
        let far = if self.holds(0.0) {
            round.depth + round.radius
        } else if self.holds(std::f64::consts::PI) {
            round.depth - round.radius
        } else {
            return None;
        };
        Some(far.round() as i64)
    }

    /// An arc as arcs that nowhere turn back along the axis.
    fn split_where_it_turns(self) -> Vec<Stretch> {
        let Some(round) = self.round else { return vec![self] };
        let mut pieces = vec![self];
        for (direction, side) in [(0.0, 1.0), (std::f64::consts::PI, -1.0)] {
            let cut = Knot {
                depth: (round.depth + side * round.radius).round() as i64,
                diameter: (2.0 * round.height).round() as i64,
            };
            let halves = |piece: Stretch| {
                if piece.holds(direction) {
                    vec![Stretch { to: cut, ..piece }, Stretch { from: cut, ..piece }]
                } else {
                    vec![piece]
                }
            };
            pieces = pieces.into_iter().flat_map(halves).collect();
        }
        pieces
    }
}

/// A part as a section: everything from the front face back.
#[derive(Debug, Clone)]
pub(crate) struct Profile {
    pub(crate) length: i64,
    /// The outside from the front face to the back face.
    pub(crate) outside: Vec<Stretch>,
    /// The bore from the front face inward; empty for a part without one. It ends on the axis or at the
    /// back face.
    pub(crate) bore: Vec<Stretch>,
}

/// Finds the faces of a section.
pub(crate) fn of(source: &Source, half: Half, scale: &Scale) -> Result<Profile, Diagnostic> {
    let Half { stretches, ring } = half;
    let say = |at: &Stretch, message: &str, help: &str| {
        Diagnostic::new(source, at.span, message.to_owned()).help(help)
    };
    if let Some(first) = stretches.first().filter(|_| is_flat(&stretches)) {
        return Err(say(first, "the outline has no width", "draw a closed section"));
    }
    let mut stretches: Vec<_> =
        stretches.into_iter().flat_map(Stretch::split_where_it_turns).collect();
    if runs_backward(&stretches, ring) {
        stretches = stretches.into_iter().rev().map(Stretch::turned_about).collect();
    }
    let front = stretches.iter().map(|it| it.from.depth.min(it.to.depth)).min().unwrap_or(0);
    let back = stretches.iter().map(|it| it.from.depth.max(it.to.depth)).max().unwrap_or(0);
    let length = back - front;
    // What lies within the join of a face lies in it.
    let counted = |depth: i64| match depth - front {
        depth if depth <= JOIN => 0,
        depth if depth >= length - JOIN => length,
        depth => depth,
    };
    for stretch in &mut stretches {
        stretch.from.depth = counted(stretch.from.depth);
        stretch.to.depth = counted(stretch.to.depth);
        if let Some(round) = &mut stretch.round {
            round.depth -= front as f64;
        }
    }
    if ring {
        let start = (0..stretches.len())
            .find(|it| stretches[*it].from.depth == 0 && before(&stretches, *it).from.depth != 0);
        stretches.rotate_left(start.unwrap_or(0));
    }
    // The front face: all that lies at depth zero, which is one run.
    let at_front = |it: &Stretch| it.from.depth == 0;
    let at_back = |it: &Stretch| it.to.depth == length;
    let Some(first) = stretches.iter().position(at_front) else {
        return Err(say(&stretches[0], "the outline has no front face", "draw a closed section"));
    };
    let face = stretches[first..].iter().take_while(|it| it.to.depth == 0).count();
    let outer = first + face;
    let Some(end) = stretches[outer..].iter().position(at_back).map(|it| outer + it + 1) else {
        return Err(say(
            &stretches[first],
            "the outline has no back face",
            "draw a closed section",
        ));
    };
    if let Some(again) =
        stretches[outer + 1..].iter().find(|it| it.from.depth == 0 && it.to.depth != 0)
    {
        let message = "a groove in the front face is not read from an outline";
        let help = "leave it out of the outline, and add it to the job: `kind = \"groove\"`, `face = true`";
        return Err(say(again, message, help));
    }
    let back_face = stretches[end..].iter().take_while(|it| it.to.depth == length).count();
    let inner = end + back_face;
    let outside = stretches[outer..end].to_vec();
    let tail = &stretches[inner..];
    let mut bore: Vec<Stretch> =
        stretches[..first].iter().rev().map(|it| it.turned_about()).collect();
    if ring {
        bore = tail.iter().rev().map(|it| it.turned_about()).collect();
    } else if let Some(open) = tail.first() {
        let message = "a bore that opens at the back face: features count from the front face";
        let help = "say the other --front, or leave the bore out and cut it in another operation";
        return Err(say(open, message, help));
    }
    for (stretches, where_it_is) in [(&outside, "the outside"), (&bore, "the bore")] {
        if let Some(turn) = stretches.iter().find(|it| it.to.depth < it.from.depth) {
            let message = format!(
                "{where_it_is} goes back toward the front face here, by {}: no feature of a job says this",
                scale.shown(turn.from.depth - turn.to.depth)
            );
            let help = "leave the undercut out of the outline, and cut it in another operation";
            return Err(say(turn, &message, help));
        }
    }
    Ok(Profile { length, outside, bore })
}

/// Whether everything lies on the axis or at one depth.
fn is_flat(stretches: &[Stretch]) -> bool {
    let reach = stretches.iter().map(|it| it.reach()[1]).fold(0.0, f64::max);
    reach <= 2.0 * JOIN as f64 || stretches.iter().all(Stretch::is_radial)
}

fn before(stretches: &[Stretch], index: usize) -> &Stretch {
    &stretches[(index + stretches.len() - 1) % stretches.len()]
}

/// Whether the stretches run from the back to the front over the outside.
fn runs_backward(stretches: &[Stretch], ring: bool) -> bool {
    if !ring {
        return stretches[0].from.depth > stretches[stretches.len() - 1].to.depth;
    }
    // Twice the area under a way counts above zero where it runs to the back over the outside.
    let under = |it: &Stretch| {
        let (a, b) = (it.from, it.to);
        (b.depth - a.depth) as f64 * (a.diameter as f64 + b.diameter as f64)
    };
    let bows: f64 = stretches.iter().map(bow).sum();
    stretches.iter().map(under).sum::<f64>() + bows < 0.0
}

/// What the bow of an arc adds to the area under its chord, on the same scale.
fn bow(stretch: &Stretch) -> f64 {
    let Some(round) = stretch.round else { return 0.0 };
    let (from, to) = stretch.angles(&round);
    let turn = if round.ccw { to - from } else { from - to };
    let turn = if turn <= 0.0 { turn + std::f64::consts::TAU } else { turn };
    let area = round.radius * round.radius * (turn - libm::sin(turn)) / 2.0;
    if round.ccw { -4.0 * area } else { 4.0 * area }
}

/// A stretch that is a step: across the axis at one depth.
pub(crate) const fn is_step(stretch: &Stretch) -> bool {
    stretch.is_radial()
}
