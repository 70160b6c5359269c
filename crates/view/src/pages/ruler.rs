//! The bar ruler of a page: as wide as the page is, each piece leading to its cycle. Its signs stand in
//! `docs/design-language.md`. Places along the bar are shares of the width, heights are pixels.

mod now;

pub use now::{Bars, OnLathe};

use super::frame::address;
use super::say;
use crate::pictures::bar_ruler::{self, Piece, pieces};
use crate::scene::Role;
use maud::{Markup, html};
use model::files::job::Job;
use model::{Length, Units};
use plan::Answer;
use plan::bar::BarPlan;

/// Above this many parts neighbors stand together as one piece.
const MOST_PIECES: u32 = 200;
/// Above this many parts kerf and face stock are too thin to be seen.
const MOST_WITH_KERF: u32 = 60;
/// Share of the width left free at each side.
const SIDE: f64 = 1.0;
const ROW: f64 = 17.0;
const THICK: f64 = 34.0;
/// Above the bar, without the flags.
const ABOVE: f64 = 22.0;

/// Where lengths lie: shares of the width, counted from the front end, which is on the right.
struct Scale {
    share_of_mm: f64,
}

impl Scale {
    fn x(&self, from_front: Length) -> f64 {
        100.0 - SIDE - from_front.mm() * self.share_of_mm
    }

    fn width(&self, length: Length) -> f64 {
        length.mm() * self.share_of_mm
    }
}

fn percent(share: f64) -> String {
    format!("{share:.2}%")
}

/// The ruler with its sentence, where bars are now, and the field that leads to a part's cycle.
pub fn ruler(name: &str, job: &Job, answer: &Answer, bars: &Bars) -> Markup {
    let bar = &answer.bar;
    let units = job.file.units;
    let jaw = bar.division.stick_out() + bar.division.first_face;
    let rear = job.lathe.spindle.jaw_face_to_rear + jaw;
    let scale = Scale { share_of_mm: (100.0 - 2.0 * SIDE) / bar.blank.max(rear).mm() };
    let marks = bar_ruler::marks(bar, &answer.walk_away);
    // Words of marks further to the left stand in lower rows, so that no line crosses them.
    let mut rows: Vec<(Length, String, bool)> =
        marks.iter().map(|mark| (mark.at, mark.words.clone(), false)).collect();
    if let Bars::Log(lathes) = bars {
        let now = lathes.iter().filter_map(|lathe| lathe.mark(bar));
        rows.extend(now.map(|(at, words)| (at, words, true)));
    }
    rows.sort_by_key(|(at, ..)| std::cmp::Reverse(*at));
    let flags = ROW * rows.len() as f64;
    let top = flags + ABOVE;
    let height = top + THICK + 62.0;
    html! {
        figure class="ruler" {
            svg width="100%" height=(height) role="img" aria-labelledby="ruler-says" data-program={ "/program/" (address(name)) } {
                defs {
                    pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                        path class="hatching" d="M0 0V6" stroke-width="2.5";
                    }
                }
                (spindle(&scale, job, jaw, rear, top))
                (bar_pieces(&scale, bar, units, top))
                (jaws(&scale, job, jaw, top))
                (measures(&scale, bar, units, jaw, top + THICK))
                @for (index, (at, words, now)) in rows.iter().enumerate() {
                    @let y = 14.0 + ROW * index as f64;
                    @if *now { (now::mark(&scale, *at, words, y, top + THICK)) }
                    @else { (flag(&scale, *at, words, y, top + THICK)) }
                }
            }
            div class="says" {
            figcaption id="ruler-says" {
                (bar_ruler::description(job, bar))
                @for mark in &marks { span class="flagged" { (say::sentence(&mark.words)) "." } }
                (now::said(bars, bar, units))
            }
            form class="to-part" method="get" action={ "/program/" (address(name)) } {
                label for="to-part" { "See part" }
                input id="to-part" name="part" type="number" min="1" max=(bar.parts_per_bar.max(1)) value="1";
                button type="submit" { "being made" }
            }
            }
        }
    }
}

/// The bar alone, low, for a list.
pub fn low(job: &Job, bar: &BarPlan) -> Markup {
    const LOW: f64 = 16.0;
    let scale = Scale { share_of_mm: 100.0 / bar.blank.mm() };
    let together = bar.parts_per_bar.div_ceil(MOST_PIECES).max(1);
    let pieces = blocks(&pieces(bar), together);
    let class = |role: Role| match role {
        Role::Face => "face",
        Role::Remnant => "remnant",
        Role::NextPart => "next",
        _ => "part",
    };
    html! {
        svg class="low-ruler" width="100%" height=(LOW) role="img" aria-label=(bar_ruler::description(job, bar)) {
            @for piece in &pieces {
                rect class=(class(piece.role)) x=(percent(scale.x(piece.to) + SIDE))
                    width=(percent(scale.width(piece.to - piece.from))) y="1" height=(LOW - 2.0) {}
            }
        }
    }
}

fn spindle(scale: &Scale, job: &Job, jaw: Length, rear: Length, top: f64) -> Markup {
    let (left, right) = (scale.x(rear), scale.x(jaw));
    let guides = job.lathe.bar_way.iter().flat_map(|way| &way.guides);
    html! {
        rect class="spindle" x=(percent(left)) width=(percent(right - left)) y=(top - 7.0) height=(THICK + 14.0) {
            title { "spindle and liner, to their rear end" }
        }
        @for guide in guides {
            @let x = percent(scale.x(jaw + guide.at));
            @for (from, to) in [(top - 7.0, top - 1.0), (top + THICK + 1.0, top + THICK + 7.0)] {
                line class="guide" x1=(x) x2=(x) y1=(from) y2=(to) {}
            }
        }
    }
}

fn bar_pieces(scale: &Scale, bar: &BarPlan, units: Units, top: f64) -> Markup {
    let whole = pieces(bar);
    let parts = bar.parts_per_bar;
    let together = parts.div_ceil(MOST_PIECES).max(1);
    let shown: Vec<Piece> = match (parts > MOST_PIECES, parts > MOST_WITH_KERF) {
        (true, _) => blocks(&whole, together),
        (_, true) => whole.into_iter().filter(|piece| !thin(piece)).collect(),
        _ => whole,
    };
    let (between, shown): (Vec<Piece>, Vec<Piece>) = shown.into_iter().partition(thin);
    html! {
        g transform=(format!("translate(0 {top})")) {
            @for piece in &shown { (one(scale, piece, together, units)) }
            // Each kind as one shape: a page of a hundred parts is to stay light. Its part says it.
            svg width="100%" height=(THICK) viewBox=(format!("0 0 10000 {THICK}")) preserveAspectRatio="none" {
                path class="kerf" d=(stretches(scale, &between, Role::Kerf, (8.5, 17.0))) {}
                path class="face" d=(stretches(scale, &between, Role::Face, (4.0, 26.0))) {}
            }
        }
    }
}

/// All pieces of a kind, each so far from the top and so high.
fn stretches(scale: &Scale, pieces: &[Piece], role: Role, (from, high): (f64, f64)) -> String {
    let of_role = pieces.iter().filter(|piece| piece.role == role);
    of_role
        .map(|piece| {
            let (left, right) = (100.0 * scale.x(piece.to), 100.0 * scale.x(piece.from));
            format!("M{left:.0} {from}H{right:.0}v{high}H{left:.0}z")
        })
        .collect()
}

fn thin(piece: &Piece) -> bool {
    piece.part > 0 && matches!(piece.role, Role::Kerf | Role::Face)
}

/// So many parts as one piece.
fn blocks(pieces: &[Piece], together: u32) -> Vec<Piece> {
    let mut blocks: Vec<Piece> = Vec::new();
    for piece in pieces {
        let index = piece.part.saturating_sub(1) / together;
        match blocks.last_mut() {
            Some(last) if piece.part > 0 && last.part == index * together + 1 => last.to = piece.to,
            _ if piece.part > 0 => {
                let role = if index.is_multiple_of(2) { Role::Part } else { Role::NextPart };
                blocks.push(Piece { role, part: index * together + 1, ..*piece });
            }
            _ => blocks.push(*piece),
        }
    }
    blocks
}

/// One piece; how high it is stands in the style.
fn one(scale: &Scale, piece: &Piece, together: u32, units: Units) -> Markup {
    let length = piece.to - piece.from;
    let class = match piece.role {
        Role::Face => "face",
        Role::Remnant => "remnant",
        Role::NextPart => "next",
        _ => "part",
    };
    let is_part = matches!(piece.role, Role::Part | Role::NextPart);
    let what = match piece.role {
        Role::Face => format!("first-face stock, {}", length.shown(units)),
        Role::Remnant => format!("remnant, {}", length.shown(units)),
        _ if together > 1 => format!("parts {} to {}", piece.part, piece.part + together - 1),
        _ => format!("part {}, {}", piece.part, length.shown(units)),
    };
    html! {
        rect class=(class) x=(percent(scale.x(piece.to))) width=(percent(scale.width(length)))
            data-part=[is_part.then_some(piece.part)] { title { (what) } }
    }
}

fn jaws(scale: &Scale, job: &Job, jaw: Length, top: f64) -> Markup {
    let length = job.lathe.chuck.jaw_length;
    html! {
        @for y in [top - 15.0, top + THICK + 1.0] {
            rect class="jaws" x=(percent(scale.x(jaw + length))) width=(percent(scale.width(length))) y=(y) height="14" {
                title { "jaws" }
            }
        }
    }
}

/// The scale below the bar, with the stick-out beside it.
fn measures(scale: &Scale, bar: &BarPlan, units: Units, jaw: Length, under: f64) -> Markup {
    let line = under + 20.0;
    let step = bar_ruler::tick(bar.blank, units);
    let ticks = (0..).map(|index| step * index).take_while(|at| *at <= bar.blank);
    let (face, front) = (scale.x(jaw), scale.x(Length::ZERO));
    html! {
        line class="measure" x1=(percent(scale.x(bar.blank))) x2=(percent(front)) y1=(line) y2=(line) {}
        @for at in ticks {
            @let x = percent(scale.x(at));
            line class="measure" x1=(x) x2=(x) y1=(line) y2=(line + 6.0) {}
            text class="tick" x=(x) y=(line + 19.0) text-anchor="middle" { (at.shortest(units)) }
        }
        text class="tick unit" x=(percent(SIDE)) y=(line + 37.0) {
            (units.symbol()) " from the free end"
        }
        line class="stick-out" x1=(percent(face)) x2=(percent(front)) y1=(line + 26.0) y2=(line + 26.0) {}
        line class="stick-out" x1=(percent(face)) x2=(percent(face)) y1=(under) y2=(line + 30.0) {}
        line class="stick-out" x1=(percent(front)) x2=(percent(front)) y1=(line + 22.0) y2=(line + 30.0) {}
        text class="tick" x=(percent(front)) y=(line + 40.0) text-anchor="end" {
            "sticks out " (jaw.shown(units))
        }
    }
}

/// A flag on a line, with when it is, on the side that has more room; what is to be done stands below
/// the ruler.
fn flag(scale: &Scale, at: Length, words: &str, y: f64, foot: f64) -> Markup {
    let x = scale.x(at);
    let when = words.split_once(':').map_or(words, |(when, _)| when);
    let (anchor, shift) = if x < 50.0 { ("start", "5") } else { ("end", "-5") };
    html! {
        line class="flag" x1=(percent(x)) x2=(percent(x)) y1=(y - 11.0) y2=(foot) {}
        text class="flag" x=(percent(x)) dx=(shift) y=(y) text-anchor=(anchor) {
            (when)
        }
    }
}
