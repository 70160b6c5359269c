//! The passes of a thread: how deep each goes, as moves and as the cycles that make the same moves.

use super::Edge;
use crate::cuts::{Cycle, CycleForm, Move, Place, ThreadPasses, Way};
use crate::process::Cutting;
use calc::thread;
use model::Length;
use model::files::control::ThreadsAs;
use model::quantity::FeedPerRev;

/// Passes at the full depth behind the last that cuts; common practice.
const SPRING_PASSES: u32 = 1;

/// What all passes of one thread share; distances from the finished front face, radii.
pub(super) struct Passes<'e> {
    pub(super) edge: &'e Edge<'e>,
    pub(super) lead: FeedPerRev,
    pub(super) pitch: Length,
    pub(super) starts: u32,
    /// Where they start and end.
    pub(super) from: Length,
    pub(super) to: Length,
    /// Length of the pull-out in tenths of the lead; none into an undercut.
    pub(super) pull_out: u32,
    /// Where the edge goes back.
    pub(super) beside: Length,
}

impl Passes<'_> {
    /// All moves, and the cycles that make them where the control file asks for cycles.
    pub(super) fn made(&self, cutting: &Cutting<'_>) -> (Vec<Move>, Vec<Cycle>) {
        let (mut moves, mut cycles) = (Vec::new(), Vec::new());
        for start in 0..self.starts {
            let from = self.from + self.pitch * i64::from(start);
            moves.push(cutting.rapid(self.beside * 2, from));
            let first = moves.len();
            let (made, form) = match cutting.job.control.writing.threads {
                ThreadsAs::Moves => (self.one_by_one(cutting, from), None),
                ThreadsAs::Box => {
                    let (made, form) = self.boxes(cutting, from);
                    (made, Some(form))
                }
                ThreadsAs::Cycle => {
                    let (made, form) = self.all_at_once(cutting, from, false);
                    (made, Some(form))
                }
                ThreadsAs::OneBlock => {
                    let (made, form) = self.all_at_once(cutting, from, true);
                    (made, Some(form))
                }
            };
            cycles.extend(form.map(|form| Cycle { first, count: made.len(), form }));
            moves.extend(made);
        }
        (moves, cycles)
    }

    /// Which way the edge goes into the metal.
    fn inward(&self) -> i64 {
        if self.edge.inside { 1 } else { -1 }
    }

    /// Diameter of the tip so deep in the metal.
    fn at_depth(&self, cutting: &Cutting<'_>, depth: Length) -> Length {
        cutting.place((self.edge.crest + depth * self.inward()) * 2, Length::ZERO).x
    }

    fn pull_out(&self, tenths: u32) -> Length {
        Length::nearest_mm(self.lead.mm() * f64::from(tenths) / 10.0)
    }

    /// The depths of all passes by the handbook's infeed, then the spring pass.
    fn depths(&self) -> Vec<Length> {
        let height = self.edge.height;
        let deepest = self.edge.station.depth.unwrap_or(height);
        let mut passes = thread::usual_passes(self.pitch).max(2);
        let depth = |pass: u32, passes: u32| {
            thread::depth_by_infeed(height, pass, passes).unwrap_or(height)
        };
        // As many more as keep every step within what the tool takes.
        let steps = |passes: u32| {
            (1..=passes).map(move |pass| {
                let before = if pass == 1 { Length::ZERO } else { depth(pass - 1, passes) };
                depth(pass, passes) - before
            })
        };
        while passes < MOST_PASSES && steps(passes).any(|step| step > deepest) {
            passes += 1;
        }
        let mut depths: Vec<Length> = (1..=passes).map(|pass| depth(pass, passes)).collect();
        depths.extend([height; SPRING_PASSES as usize]);
        depths
    }

    /// One pass at a diameter: in at rapid, along the thread, out, and back.
    fn pass(
        &self,
        cutting: &Cutting<'_>,
        (start, back): (Place, Place),
        end: Place,
        tenths: u32,
    ) -> Vec<Move> {
        let thread = |to: Place| Move { to, way: Way::Thread(self.lead) };
        let rapid = |to: Place| Move { to, way: Way::Rapid };
        let aside = cutting.place(self.beside * 2, Length::ZERO).x;
        let out = Place { x: aside, ..end };
        let mut moves = vec![rapid(Place { x: end.x, ..start })];
        let to_side = (aside - end.x).half();
        let slant = self.pull_out(tenths).min(to_side.abs()).min((start.z - end.z).abs());
        if slant.is_positive() {
            moves.push(thread(Place { z: end.z + slant, ..end }));
            let outward = if to_side.is_negative() { -slant } else { slant };
            moves.push(thread(Place { x: end.x + outward * 2, ..end }));
        } else {
            moves.push(thread(end));
        }
        moves.push(rapid(out));
        moves.push(rapid(Place { x: aside, ..back }));
        moves
    }

    fn one_by_one(&self, cutting: &Cutting<'_>, from: Length) -> Vec<Move> {
        let start = cutting.place(self.beside * 2, from);
        // As written: the slant ends where the program can say it.
        let end_z = cutting.place(Length::ZERO, self.to).z;
        let mut moves = Vec::new();
        for depth in self.depths() {
            let end = Place { x: self.at_depth(cutting, depth), z: end_z };
            let made = self.pass(cutting, (start, start), end, self.pull_out);
            let written = |one: &Move| Move { to: cutting.place(one.to.x, one.to.z), ..*one };
            moves.extend(made.iter().map(written));
        }
        moves
    }

    /// The box pulls out as the control is set.
    fn boxes(&self, cutting: &Cutting<'_>, from: Length) -> (Vec<Move>, CycleForm) {
        let start = cutting.place(self.beside * 2, from);
        let end_z = cutting.place(Length::ZERO, self.to).z;
        let tenths = self.pull_out;
        let ends: Vec<Place> = self
            .depths()
            .into_iter()
            .map(|depth| Place { x: self.at_depth(cutting, depth), z: end_z })
            .collect();
        let pass = |end: &Place| self.pass(cutting, (start, start), *end, tenths);
        let moves = ends.iter().flat_map(pass).collect();
        (moves, CycleForm::ThreadBox { ends, lead: self.lead })
    }

    /// The cycle of many passes: the first depth times √n, in along one flank.
    fn all_at_once(
        &self,
        cutting: &Cutting<'_>,
        from: Length,
        one_block: bool,
    ) -> (Vec<Move>, CycleForm) {
        let increment = cutting.job.control.increment(cutting.units);
        let whole = |length: Length| increment * (length / increment);
        let end = Place {
            x: self.at_depth(cutting, self.edge.height),
            z: cutting.place(Length::ZERO, self.to).z,
        };
        let height = whole(self.edge.height);
        let count = thread::usual_passes(self.pitch).max(2);
        let most = self.edge.station.depth.unwrap_or(height);
        let first = Length::nearest_mm(height.mm() / libm::sqrt(f64::from(count)));
        let first = whole(first.min(most)).max(increment);
        let angle = (self.edge.half_angle.to_degrees() * 2.0).round() as u32;
        let least = if one_block { Length::ZERO } else { whole(first.half().half()) };
        let passes = ThreadPasses {
            end,
            lead: self.lead,
            height,
            first,
            least,
            allowance: Length::ZERO,
            finishing: SPRING_PASSES,
            pull_out: self.pull_out,
            angle,
            one_block,
        };
        let start = cutting.place(self.beside * 2, from);
        (self.cycled(cutting, start, &passes), CycleForm::ThreadPasses(passes))
    }

    /// The moves that the cycle makes.
    fn cycled(&self, cutting: &Cutting<'_>, start: Place, passes: &ThreadPasses) -> Vec<Move> {
        let side = libm::tan(f64::from(passes.angle).to_radians() / 2.0);
        let mut moves = Vec::new();
        let mut depth = Length::ZERO;
        let mut depths = Vec::new();
        while depth < passes.height - passes.allowance && depths.len() < MOST_PASSES as usize {
            let number = depths.len() as u32 + 1;
            let next = thread::depth_of_pass(passes.first, number).unwrap_or(passes.height);
            depth = next.max(depth + passes.least).min(passes.height - passes.allowance);
            depths.push(depth);
        }
        depths.extend((0..passes.finishing).map(|_| passes.height));
        for depth in depths {
            // From the crest, which the ground and the height tell the control.
            let x = passes.end.x - (passes.height - depth) * (2 * self.inward());
            let z = start.z - Length::nearest_mm(depth.mm() * side);
            let from = Place { z, ..start };
            moves.push(Move { to: from, way: Way::Rapid });
            let end = Place { x, ..passes.end };
            moves.extend(self.pass(cutting, (from, start), end, passes.pull_out));
        }
        moves
    }
}

/// More passes than any thread has.
const MOST_PASSES: u32 = 200;
