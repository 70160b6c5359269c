//! The process: which operations make one part, in which order, with which tool.

mod data;
mod holes;
mod missing;
mod threads;

pub use data::Data;
pub use missing::{Missing, Open};

use crate::cuts::{Move, Operation, Place, Speed, Way, Work};
use calc::bar::Division;
use model::files::job::{Job, Step};
use model::files::tools::{BladeCorner, Station, ToolKind};
use model::quantity::FeedPerRev;
use model::{Length, Units};

/// The operations of a job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Process {
    /// Facing of a new bar's end down to the face stock; none where there is no first-face stock.
    pub new_bar: Option<Operation>,
    /// What makes one part from its raw front, in order.
    pub operations: Vec<Operation>,
    /// What it leaves open.
    pub open: Open,
}

impl Process {
    /// Plans the operations of a job.
    pub fn of(job: &Job, division: &Division) -> Process {
        let mut open = Open::default();
        let operations = one_part(job, division, &mut open);
        missing::outside(job, &mut open);
        open.missing.sort_by_key(|missing| missing.feature);
        Process { new_bar: first_face(job, division), operations, open }
    }
}

/// Cutting for one job: the tools, the bar's outside and the distances kept from it.
struct Cutting<'j> {
    job: &'j Job,
    turning: &'j Station,
    parting: &'j Station,
    /// Diameter that clears the bar.
    beside: Length,
    /// Distance in front of a face at which feed begins.
    clear: Length,
    units: Units,
}

/// The operations that make one part from its raw front: facing, roughing, finishing, parting.
/// Empty where the job lacks a turning or parting tool, which its reader refuses.
fn one_part(job: &Job, division: &Division, open: &mut Open) -> Vec<Operation> {
    let Some(cutting) = Cutting::of(job) else { return Vec::new() };
    let mut operations = Vec::new();
    if division.face_stock.is_positive() {
        operations.push(cutting.facing("face", division.face_stock, Length::ZERO));
    }
    operations.extend(holes::drilled(&cutting, division, open));
    let rough = cutting.roughing();
    if !rough.moves.is_empty() {
        operations.push(rough);
    }
    let finish = cutting.finishing();
    if !finish.moves.is_empty() {
        operations.push(finish);
    }
    operations.extend(threads::outside(&cutting, open));
    operations.extend(holes::tapped(&cutting, open));
    operations.extend(threads::inside(&cutting, open));
    operations.push(cutting.parting_off(division));
    operations
}

/// Facing of a new bar's end down to the face stock; none where there is no first-face stock.
fn first_face(job: &Job, division: &Division) -> Option<Operation> {
    let extra = division.first_face;
    let cutting = Cutting::of(job)?;
    let from = division.face_stock + extra;
    extra.is_positive().then(|| cutting.facing("face the sawn end", from, division.face_stock))
}

impl<'j> Cutting<'j> {
    fn of(job: &'j Job) -> Option<Cutting<'j>> {
        let units = job.file.units;
        let clear = match units {
            Units::Mm => Length::from_mm(1),
            Units::Inch => Length::from_nm(1_016_000),
        };
        Some(Cutting {
            job,
            turning: job.tools.first(ToolKind::Turning)?,
            parting: job.tools.first(ToolKind::Parting)?,
            beside: round_up(job.file.bar.reach() * 2, units) + clear * 2,
            clear,
            units,
        })
    }

    fn rough_feed(&self) -> Option<FeedPerRev> {
        self.turning.feed
    }

    fn finish_feed(&self) -> Option<FeedPerRev> {
        self.turning.finish_feed.or(self.turning.feed)
    }

    fn depth(&self) -> Length {
        self.turning.depth.unwrap_or(self.clear)
    }

    fn operation(
        &self,
        work: Work,
        name: &'static str,
        station: &Station,
        moves: Vec<Move>,
    ) -> Operation {
        let speed = Speed::Surface(station.speed.unwrap_or_default());
        Operation { work, name, station: station.number, speed, moves, cycles: Vec::new() }
    }

    fn rapid(&self, x: Length, z: Length) -> Move {
        Move { to: self.place(x, z), way: Way::Rapid }
    }

    fn cut(&self, x: Length, z: Length, feed: Option<FeedPerRev>) -> Move {
        Move { to: self.place(x, z), way: feed.map_or(Way::Rapid, Way::Straight) }
    }

    /// A place as the program can write it.
    fn place(&self, x: Length, z: Length) -> Place {
        let decimals = self.units.decimals();
        Place { x: x.round_to(self.units, decimals), z: z.round_to(self.units, decimals) }
    }

    /// Faces from one distance in front of the finished face down to another, in equal passes.
    fn facing(&self, name: &'static str, from: Length, to: Length) -> Operation {
        let past = self.turning.nose_radius.max(self.clear.half().half()) * 2;
        let layers = layers(from - to, self.depth()).max(1);
        let mut moves = Vec::new();
        for layer in 1..=layers {
            let z = if layer == layers { to } else { from - share(from - to, layer, layers) };
            moves.push(self.rapid(self.beside, z));
            moves.push(self.cut(-past, z, self.finish_feed()));
            moves.push(self.rapid(-past, z + self.clear));
            moves.push(self.rapid(self.beside, z + self.clear));
        }
        self.operation(Work::Face, name, self.turning, moves)
    }

    /// Where the outside ends: inside the parting kerf, so that the gripper takes raw bar.
    fn outside_end(&self) -> Length {
        let width = self.parting.width.unwrap_or_default();
        let into = width.half().min(Length::from_um(500));
        -(self.job.file.part.length + into)
    }

    /// The place along the axis to which a step's cut goes.
    fn end_of(&self, steps: &[Step], index: usize, stock: Length) -> Length {
        if index + 1 == steps.len() { self.outside_end() } else { stock - steps[index].to }
    }

    /// Layers of equal depth, the largest diameter first over its whole length, then the smaller
    /// ones over theirs.
    fn roughing(&self) -> Operation {
        let steps = self.job.file.part.steps();
        let stock = self.turning.finish_stock;
        let mut outside = self.job.file.bar.reach();
        let mut moves = Vec::new();
        for (index, step) in steps.iter().enumerate().rev() {
            let inside = step.diameter.half() + stock;
            let layers = layers(outside - inside, self.depth());
            let end = self.end_of(&steps, index, stock);
            for layer in 1..=layers {
                let r = outside - share(outside - inside, layer, layers);
                moves.push(self.rapid(r * 2, self.clear));
                moves.push(self.cut(r * 2, end, self.rough_feed()));
                moves.push(self.cut(
                    (r + self.clear) * 2,
                    end + lift(end, self.clear),
                    self.rough_feed(),
                ));
                moves.push(self.rapid((r + self.clear) * 2, self.clear));
            }
            if layers > 0 {
                outside = inside;
            }
        }
        self.operation(Work::Rough, "rough the outside", self.turning, moves)
    }

    /// One pass along the outline, front chamfers and shoulders with it. The nose radius is in
    /// the path already.
    fn finishing(&self) -> Operation {
        let bar = self.job.file.bar.reach() * 2;
        let steps = self.job.file.part.steps();
        let feed = self.finish_feed();
        let mut moves = Vec::new();
        for (index, step) in steps.iter().enumerate() {
            let leg = self.chamfer_leg(step.chamfer);
            let raw = step.diameter >= bar;
            if raw && leg == Length::ZERO {
                break;
            }
            if index == 0 {
                let ahead = self.clear.min(step.diameter.half() - leg).max(Length::ZERO);
                let ahead = if leg.is_positive() { ahead } else { Length::ZERO };
                let z = if leg.is_positive() { ahead } else { self.clear };
                moves.push(self.rapid(self.beside, self.clear));
                moves.push(self.rapid(step.diameter - (leg + ahead) * 2, z.max(self.clear)));
                moves.push(self.cut(step.diameter - (leg + ahead) * 2, z, feed));
            } else {
                let room = (step.diameter - steps[index - 1].diameter).half();
                // A longer leg than the shoulder starts on the cylinder in front of it.
                let (x, behind) = (leg.min(room), (leg - room).max(Length::ZERO));
                moves.push(self.cut(step.diameter - x * 2, -step.from - behind, feed));
            }
            let end = self.end_of(&steps, index, Length::ZERO);
            if leg.is_positive() {
                // A longer leg than the step ends at the next shoulder.
                let z = (-step.from - leg).max(end);
                let short = z + step.from + leg;
                moves.push(self.cut(step.diameter - short * 2, z, feed));
            }
            if raw {
                break;
            }
            moves.push(self.cut(step.diameter, end, feed));
        }
        if let Some(last) = moves.last().copied() {
            moves.push(self.cut(self.beside, last.to.z, feed));
        }
        moves.dedup_by(|next, before| next.to == before.to);
        self.operation(Work::Finish, "finish the outside", self.turning, moves)
    }

    /// The leg to program for a 45° chamfer so that the nose cuts the drawing's leg:
    /// c + R·(2 − √2) for an imaginary tip at the corner of both axes (tip 3), from the geometry
    /// of a circle against a line at 45°.
    fn chamfer_leg(&self, chamfer: Length) -> Length {
        if chamfer == Length::ZERO {
            return Length::ZERO;
        }
        let longer = self.turning.nose_radius.mm() * (2.0 - std::f64::consts::SQRT_2);
        let longer = Length::nearest_mm(longer).round_to(self.units, self.units.decimals());
        chamfer + longer
    }

    fn parting_off(&self, division: &Division) -> Operation {
        let back = -division.finished;
        let z = match self.parting.corner {
            BladeCorner::ChuckSide => back - division.part_off,
            BladeCorner::FrontSide => back,
        };
        let past = -(self.job.file.cutting.past_center * 2);
        let moves = vec![
            self.rapid(self.beside, z),
            self.cut(past, z, self.parting.feed),
            self.rapid(self.beside, z),
        ];
        self.operation(Work::PartOff, "part off", self.parting, moves)
    }
}

/// How many layers of at most this depth take away so much; zero for nothing.
fn layers(total: Length, depth: Length) -> i64 {
    if !total.is_positive() || !depth.is_positive() {
        return 0;
    }
    let whole = total / depth;
    if (total % depth).is_positive() { whole + 1 } else { whole }
}

/// What so many of all layers take away together.
fn share(total: Length, layer: i64, layers: i64) -> Length {
    Length::from_nm((i128::from(total.nm()) * i128::from(layer) / i128::from(layers.max(1))) as i64)
}

/// How far the tool may go back along Z while it lifts off, without leaving the cut's own length.
fn lift(end: Length, clear: Length) -> Length {
    clear.min(end.abs())
}

fn round_up(length: Length, units: Units) -> Length {
    let rounded = length.round_to(units, units.decimals());
    let step = Length::from_nm(units.nanometers() / 10_i64.pow(units.decimals() as u32));
    if rounded < length { rounded + step } else { rounded }
}
