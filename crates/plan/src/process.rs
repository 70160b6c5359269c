//! The process: which operations make one part, in which order, with which tool.
//!
//! The drawing becomes contours ([`drawing`]); what an insert reaches of them ([`reach`]) is turned by
//! layers and finished ([`turning`]), what it does not reach is grooved ([`grooves`]); faces, the back
//! edge and parting off are in [`ends`].

mod contour;
mod data;
mod drawing;
mod ends;
mod grooves;
mod holes;
mod knurls;
mod missing;
mod parallel;
mod path;
mod reach;
mod sides;
mod threads;
mod turning;
mod written;

pub use data::{Data, DataTable};
pub use missing::Missing;

use crate::cuts::{Move, Operation, Place, Speed, Way, Work};
use calc::bar::Division;
use model::files::job::Job;
use model::files::tools::{Station, ToolKind};
use model::quantity::FeedPerRev;
use model::{Length, Units, Unproven};
use sides::Sides;

/// The operations of a job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Process {
    /// Facing of a new bar's end down to the face stock; none where there is no first-face stock.
    pub new_bar: Option<Operation>,
    /// What makes one part from its raw front, in order.
    pub operations: Vec<Operation>,
    /// What of the drawing is not cut.
    pub missing: Vec<Missing>,
    /// What is cut but not proven to be right.
    pub unproven: Vec<Unproven>,
}

/// Cutting for one job: the bar's outside and the distances kept from it.
struct Cutting<'j> {
    job: &'j Job,
    data: &'j DataTable,
    division: &'j Division,
    /// Diameter that clears the bar.
    beside: Length,
    /// Distance in front of a face at which feed begins.
    clear: Length,
    units: Units,
}

impl Process {
    /// Takes an operation, or notes what is lacking for it.
    fn take(&mut self, made: Result<Operation, Missing>) {
        match made {
            Ok(operation) => self.operations.push(operation),
            Err(missing) => self.missing.push(missing),
        }
    }

    /// Plans the operations of a job: facing, holes, roughing, finishing, grooves, threads, the back
    /// edge and parting off.
    pub fn of(job: &Job, division: &Division) -> Process {
        Process::with(job, division, &DataTable::default())
    }

    /// The same with data that were chosen.
    pub fn with(job: &Job, division: &Division, data: &DataTable) -> Process {
        let cutting = Cutting::of(job, division, data);
        let mut process = Process::default();
        let turning = job.tools.first(ToolKind::Turning);
        let parting = job.tools.first(ToolKind::Parting);
        let (Some(turning), Some(parting)) = (turning, parting) else { return process };
        let (stock, extra) = (division.face_stock, division.first_face);
        if extra.is_positive() {
            let from = stock + extra;
            process.new_bar = ends::facing(&cutting, turning, "face the sawn end", (from, stock));
        }
        if stock.is_positive() {
            let facing = ends::facing(&cutting, turning, "face", (stock, Length::ZERO));
            process.operations.extend(facing);
        }
        holes::drilled(&cutting, &mut process);
        let back = Sides { cutting: &cutting, process: &mut process }.turned();
        knurls::rolled(&cutting, &mut process);
        threads::outside(&cutting, &mut process);
        holes::tapped(&cutting, &mut process);
        threads::inside(&cutting, &mut process);
        let mut kerf = None;
        if let Some(edge) = back.edge {
            process.operations.extend(ends::back_edge(&cutting, parting, edge, back.outside));
            kerf = Some(back.outside - edge.size());
        }
        process.operations.extend(ends::parting_off(&cutting, parting, kerf));
        process.missing.sort();
        process.missing.dedup();
        process
    }
}

impl<'j> Cutting<'j> {
    fn of(job: &'j Job, division: &'j Division, data: &'j DataTable) -> Cutting<'j> {
        let units = job.file.units;
        let clear = match units {
            Units::Mm => Length::from_mm(1),
            Units::Inch => Length::from_nm(1_016_000),
        };
        let beside = round_up(job.file.bar.reach() * 2, units) + clear * 2;
        Cutting { job, data, division, beside, clear, units }
    }

    /// Width of the blade that parts off.
    fn blade(&self) -> Length {
        self.division.part_off
    }

    /// A place as the program can write it.
    fn place(&self, x: Length, z: Length) -> Place {
        let decimals = self.units.decimals();
        Place { x: x.round_to(self.units, decimals), z: z.round_to(self.units, decimals) }
    }

    fn rapid(&self, x: Length, z: Length) -> Move {
        Move { to: self.place(x, z), way: Way::Rapid }
    }

    fn cut(&self, x: Length, z: Length, feed: FeedPerRev) -> Move {
        Move { to: self.place(x, z), way: Way::Straight(feed) }
    }

    fn data(&self, station: &Station, work: Work) -> Option<Data> {
        self.data.of(station, work)
    }

    fn operation(
        work: Work,
        name: &'static str,
        station: &Station,
        speed: Speed,
        moves: Vec<Move>,
    ) -> Operation {
        Operation { work, name, station: station.number, speed, moves, cycles: Vec::new() }
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

fn round_up(length: Length, units: Units) -> Length {
    let rounded = length.round_to(units, units.decimals());
    let step = Length::from_nm(units.nanometers() / 10_i64.pow(units.decimals() as u32));
    if rounded < length { rounded + step } else { rounded }
}
