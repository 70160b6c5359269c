#![doc = include_str!("cycle_incomplete.md")]

use crate::event::{CycleTrouble, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cycle(trouble) = moment.what else { return };
    let (message, remedy) = match trouble {
        CycleTrouble::NoContour => (
            "This cycle does not say which blocks are its contour.",
            "Name the contour's first block with P and its last with Q.",
        ),
        CycleTrouble::ContourBackward => (
            "The contour's last block stands before its first one.",
            "Name the first block with P and the last, further down, with Q.",
        ),
        CycleTrouble::ContourBlock => (
            "A block inside a contour may only move: this one does something else.",
            "Take this word out of the contour.",
        ),
        CycleTrouble::NoDepth => (
            "This cycle has no depth of cut.",
            "Give the depth: in the first block of the cycle, or as D in the one-block form.",
        ),
        CycleTrouble::NoPasses => (
            "This cycle does not say how many passes it makes.",
            "Give the number of passes as R in its first block.",
        ),
        CycleTrouble::NoPeck => (
            "The depth of a peck is zero.",
            "Give a depth, or leave the word out to go down in one stroke.",
        ),
        CycleTrouble::TooManyMoves => (
            "This cycle would make more than a hundred thousand moves: its step is far too small.",
            "Check the step and its decimal point.",
        ),
        CycleTrouble::NoHeight => (
            "This threading cycle has no height of thread.",
            "Give the height on the radius: P in the second block, or K in the one-block form.",
        ),
    };
    out.found(message, remedy);
}
