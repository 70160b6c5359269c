//! Threads by their designation: `M10x1.5-6g`, `M8 6H`, `1/4-20 UNC-2A`, `#10-32 UNF-2B`.
//!
//! ISO metric threads have the basic sizes of ISO 724, coarse pitches of ISO 261 and the tolerances
//! of ISO 965-1; inch threads the formulas of ASME B1.1. Both have the 60° profile of ISO 68-1.

mod metric;
mod unified;

use super::{Limits, Refusal};
use crate::Length;

/// Height of the sharp triangle of a 60° profile, in pitches: √3/2.
const SHARP: f64 = 0.866_025_403_784;

/// The limits of a thread's three diameters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ThreadLimits {
    /// Over the points outside, over the grounds inside. Inside only its smallest is laid down; the
    /// largest here is a ground a twelfth short of the sharp triangle at the largest pitch diameter.
    pub major: Limits,
    /// Where tooth and gap are equally wide.
    pub pitch: Limits,
    /// Over the points inside, over the grounds outside. Outside its largest is where the going
    /// gauge ends, its smallest what a ground of the least radius, an eighth of the pitch, leaves.
    pub minor: Limits,
}

/// A thread, resolved.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreadForm {
    /// Its designation as a drawing has it; empty for an odd thread, given by its keys.
    pub name: String,
    /// Nominal diameter.
    pub nominal: Length,
    /// From thread to thread; the lead is this times the starts. Rounded to the nanometer where the
    /// threads of an inch do not divide it.
    pub pitch: Length,
    /// How many threads run beside each other.
    pub starts: u32,
    /// Whether it is in the bore.
    pub inside: bool,
    /// Whether it is left-hand.
    pub left_hand: bool,
    /// Tolerance class, as `6g` or `2A`; empty for an odd thread.
    pub class: String,
    /// The limits of its diameters; none for an odd thread, whose keys do not say them.
    pub limits: Option<ThreadLimits>,
    /// How deep its groove is on the radius: outside from the nominal diameter to the rounded ground
    /// (17/24 of the sharp triangle), inside from the smallest bore to the nominal diameter (5/8 of
    /// it), or as the key `depth` says.
    pub depth: Length,
    /// The drill for an inside thread: nominal less pitch, in steps of 0.05 mm or the nearest of the
    /// inch drills; none outside.
    pub tap_drill: Option<Length>,
}

impl ThreadForm {
    /// Reads a designation.
    ///
    /// Metric: `M` nominal, `x` pitch (left out, the coarse one; `xPh3P1.5` for two starts of 1.5),
    /// class (left out, 6g or 6H; up to M1.4 6h or 5H), `LH`. Inch: nominal as a fraction, a decimal
    /// or a number size, threads an inch, series (`UNC`, `UNF`, `UNEF`, `UN`), class (left out, 2A or
    /// 2B), `LH`.
    ///
    /// # Errors
    /// What is no such designation, a coarse thread or a series that has no such size, a pitch that
    /// the tolerance tables do not have at this size, a class of the other side.
    pub fn read(text: &str, inside: bool) -> Result<ThreadForm, Refusal> {
        let plain = text.trim();
        let upper = plain.to_ascii_uppercase();
        let left_hand = upper.ends_with("LH");
        let end = if left_hand { plain.len() - 2 } else { plain.len() };
        let plain = plain.get(..end).unwrap_or_default().trim_end_matches([' ', '-']);
        let form = if upper.starts_with('M') {
            metric::read(text, plain, inside)
        } else {
            unified::read(text, plain, inside)
        }?;
        let name = if left_hand { format!("{}-LH", form.name) } else { form.name };
        Ok(ThreadForm { name, left_hand, ..form })
    }

    /// An odd thread by its keys: the profile is that of 60° where `depth` says nothing.
    pub fn odd(
        (nominal, pitch, starts): (Length, Length, u32),
        depth: Option<Length>,
        inside: bool,
    ) -> ThreadForm {
        ThreadForm {
            name: String::new(),
            nominal,
            pitch,
            starts,
            inside,
            left_hand: false,
            class: String::new(),
            limits: None,
            depth: depth.unwrap_or_else(|| profile_depth(pitch, inside)),
            tap_drill: None,
        }
    }

    /// How far the thread goes on in one turn.
    pub fn lead(&self) -> Length {
        self.pitch * i64::from(self.starts)
    }
}

/// Depth of the groove by ISO 68-1: 17/24 of the sharp triangle outside, 5/8 of it inside.
fn profile_depth(pitch: Length, inside: bool) -> Length {
    let share = if inside { 5.0 / 8.0 } else { 17.0 / 24.0 };
    Length::nearest_mm(pitch.mm() * SHARP * share)
}

/// What no designation was made of.
fn unreadable(text: &str) -> Refusal {
    Refusal::new(
        format!("\"{text}\" is no thread"),
        "write it as \"M10\", \"M10x1-6g\" or \"1/4-20 UNC-2A\"; an odd thread has `diameter` and `pitch`",
    )
}

/// A class that belongs to the other side.
fn other_side(class: &str, inside: bool, would_do: &str) -> Refusal {
    let (is, wanted, or) = if inside {
        ("outside", "inside", "take `inside` out")
    } else {
        ("inside", "outside", "add `inside = true`")
    };
    let help = format!("write a class such as {would_do}, or {or}");
    Refusal::new(format!("{class} is a class of threads {is}, and this one is {wanted}"), help)
}
