//! One cycle of a run, moment by moment, as pictures and pages show it.

use crate::event::{Moment, Point, Spot, What};
use crate::lathe::{Lathe, State};
use crate::metal::{Metal, Part};
use crate::proof::show;
use crate::run::{Order, Run};
use crate::setup::Setup;
use model::Length;
use model::files::tools::ToolKind;
use nc::program::Library;
use shape::{Placed, Region};
use std::rc::Rc;

/// A moment in which something moved, time passed or the lathe changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// The word that made it.
    pub spot: Spot,
    /// What happened.
    pub what: What,
    /// The lathe before.
    pub before: State,
    /// The lathe behind it.
    pub after: State,
}

/// Whether this is told while a move is under way, whose own moment has all of it.
const fn is_within_a_move(what: What) -> bool {
    matches!(what, What::Struck { .. } | What::Deep(_) | What::BoredSolid(_) | What::Overload(_))
}

impl Frame {
    /// Where the tool went: its start, a place where a rapid bends or places on an arc, its end.
    pub fn way(&self) -> Vec<Point> {
        let (start, end) = (self.before.position, self.after.position);
        let (What::Move(motion) | What::Cut(motion) | What::Pulled { motion, .. }) = self.what
        else {
            return if start == end { Vec::new() } else { vec![start, end] };
        };
        let arc = motion.arc.map(|arc| arc.inner_points(motion.from));
        let between = arc.into_iter().flatten().chain(motion.bend);
        std::iter::once(motion.from).chain(between).chain([motion.to]).collect()
    }
}

/// A part of a tool as an outline, with its programmed tip at zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlined {
    /// Which part.
    pub part: Part,
    /// Its corners, in order around it.
    pub corners: Vec<Point>,
}

/// One cycle of a run.
#[derive(Debug)]
pub struct Playback {
    /// The cycle, from 1.
    pub cycle: u32,
    /// Its moments, in order.
    pub frames: Vec<Frame>,
    /// Where the jaw face stands, where it is known.
    pub jaw_face: Option<Length>,
    metal: Option<Rc<Metal>>,
}

impl Playback {
    /// Runs a program up to the end of a cycle and keeps that cycle; without frames where the
    /// program does not come so far.
    pub fn of(library: &Library, setup: &Setup, cycle: u32) -> Playback {
        let lathe = Lathe::with_new_bar(setup, show(library, setup));
        let metal = lathe.metal.clone();
        let interpreter = crate::interpreter::Interpreter::new(library, setup);
        let mut run = Run::at(interpreter, lathe, Order::Latest);
        let mut frames = Vec::new();
        let mut tell = |moment: &Moment<'_>| {
            let moved = moment.before != moment.after && !is_within_a_move(moment.what);
            if moment.before.cycle() == cycle && moved {
                let (before, after) = (*moment.before, *moment.after);
                frames.push(Frame { spot: moment.spot, what: moment.what, before, after });
            }
        };
        while run.lathe.state.cycle() <= cycle && run.go_on(&mut tell).is_continue() {}
        Playback { cycle, frames, jaw_face: setup.jaw_face(), metal }
    }

    /// The frames of one block of a file; a block that is run several times has all of them.
    pub fn of_block(&self, tree: u32, block: u32) -> impl Iterator<Item = &Frame> {
        let here = move |spot: Spot| (spot.tree, spot.block) == (tree, block);
        self.frames.iter().filter(move |frame| here(frame.spot))
    }

    /// The bar of a state as a region; none where shapes are not followed.
    pub fn bar(&self, state: &State) -> Option<Region> {
        self.region(state.shape?)
    }

    /// What of the bar of one state is not there any more in another; nothing where it was drawn
    /// in between.
    pub fn taken(&self, before: &State, after: &State) -> Option<Region> {
        let drawn = before.bar.drawn != after.bar.drawn;
        let (one, other) = (self.bar(before)?, self.bar(after)?);
        Some(if drawn { Region::empty() } else { one.difference(&other) })
    }

    /// The tool of a frame: its parts around its tip at zero.
    pub fn tool(&self, frame: &Frame) -> Vec<Outlined> {
        let far = crate::metal::far_side(frame.before.position, frame.after.position);
        let tool = frame.after.tool;
        let of = |metal: &Rc<Metal>| match tool.kind {
            Some(ToolKind::Gripper) => metal.gripper_outlined(),
            _ => metal.outlined(tool.station?, far),
        };
        self.metal.as_ref().and_then(of).unwrap_or_default()
    }

    /// Chuck and jaws as a region; none where shapes are not followed.
    pub fn chuck(&self) -> Option<Region> {
        Some(self.metal.as_ref()?.chuck())
    }

    fn region(&self, placed: Placed) -> Option<Region> {
        Some(self.metal.as_ref()?.region(placed))
    }
}
