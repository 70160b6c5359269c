//! How one bar is divided, and how many bars the order takes.

use crate::learned;
use calc::bar::{self, Division};
use calc::pull::{self, Scatter};
use calc::weight;
use model::Length;
use model::files::job::Job;
use model::files::tools::ToolKind;
use model::quantity::{Mass, Probability};

/// Everything about the bars of an order.
#[derive(Debug, Clone, PartialEq)]
pub struct BarPlan {
    /// What decides the division.
    pub division: Division,
    /// Nominal length of a blank.
    pub blank: Length,
    /// How much longer or shorter it may be.
    pub tolerance: Length,
    /// Parts that even the shortest blank gives.
    pub parts_per_bar: u32,
    /// What is left of a blank of nominal length after them.
    pub remnant: Length,
    /// Length beyond which a bar hangs out behind the spindle.
    pub longest_blank: Length,
    /// Where the jaw face stands, counted from the finished front face.
    pub jaw_face: Length,
    /// Length of bar in the jaws, at least, while the last part is cut.
    pub last_grip: Length,
    /// Blanks for the order; none where a blank gives no part.
    pub blanks: Option<u32>,
    /// Parts that the last blank has to give.
    pub parts_in_last: u32,
    /// Shortest blank that still gives those.
    pub shortest_last: Length,
    /// Blanks from one stock bar and stock bars for the order, where the stock length is given.
    pub stock: Option<Stock>,
    /// Mass of all blanks.
    pub mass: Mass,
    /// Chance that over one bar a short pull loses a part.
    pub chance_of_loss: Probability,
    /// Least face stock for the risk that the job allows.
    pub least_face_stock: Option<Length>,
}

/// How blanks come out of stock bars.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    /// Length of a stock bar.
    pub length: Length,
    /// Blanks from each.
    pub blanks_each: u32,
    /// Stock bars for the order; none where one gives no blank.
    pub bars: Option<u32>,
}

/// The jaw clearance of a job: as given, or as much stub as lets the whole fingers of the gripper
/// stand on it clear of the jaws.
pub fn jaw_clearance(job: &Job) -> Length {
    job.file.advance.jaw_clearance.unwrap_or(job.gripper.jaw_gap + job.gripper.fingers)
}

/// Divides the bar of a job.
pub fn divide(job: &Job) -> BarPlan {
    let file = &job.file;
    let blade = job.tools.first(ToolKind::Parting).and_then(|station| station.width);
    let division = Division {
        finished: file.part.length,
        part_off: blade.unwrap_or_default(),
        face_stock: file.advance.face_stock,
        first_face: file.advance.first_face,
        jaw_clearance: jaw_clearance(job),
        least_grip: job.lathe.chuck.least_grip,
        parts_per_advance: file.advance.parts,
    };
    let (blank, tolerance) = (file.bar.length, file.bar.length_tolerance);
    // Counted on the shortest blank that may come, so that the count holds for every one.
    let parts_per_bar = division.parts_per_bar(blank - tolerance);
    let quantity = file.order.quantity;
    let blanks = bar::blanks_for(quantity, parts_per_bar);
    let parts_in_last = bar::parts_in_last(quantity, parts_per_bar);
    let advances = (parts_per_bar / division.parts_per_advance.max(1)).max(1);
    let scatters = Scatters::of(job);
    let jaw_face = division.face_stock - division.stick_out();
    let drawn = division.advance() * i64::from(advances - 1);
    BarPlan {
        blank,
        tolerance,
        parts_per_bar,
        remnant: division.remnant(blank, parts_per_bar),
        longest_blank: division
            .longest_blank(job.lathe.spindle.jaw_face_to_rear, file.bar.rear_margin),
        jaw_face,
        last_grip: blank - tolerance - division.first_face - division.stick_out() - drawn,
        blanks,
        parts_in_last,
        shortest_last: division.shortest_blank(parts_in_last) + tolerance,
        stock: stock(job, blanks),
        mass: weight::mass(
            file.bar.shape,
            file.bar.size,
            blank * i64::from(blanks.unwrap_or(0)),
            job.material.density,
        ),
        chance_of_loss: pull::over_a_bar(
            scatters.chance_of_loss(division.face_stock),
            advances.saturating_sub(1),
        ),
        least_face_stock: scatters.least_face_stock(advances.saturating_sub(1), file.advance.risk),
        division,
    }
}

/// How pulls scatter by the gripper file, and by the shop's own records where they are switched on: the worse
/// of both counts.
struct Scatters([Option<Scatter>; 2]);

impl Scatters {
    fn of(job: &Job) -> Scatters {
        let file = Scatter { bias: job.gripper.bias, deviation: job.gripper.deviation };
        Scatters([Some(file), learned::scatter(job)])
    }

    fn chance_of_loss(&self, face_stock: Length) -> Probability {
        let chances = self.0.iter().flatten().map(|it| it.chance_of_loss(face_stock).ratio());
        Probability::from_ratio(chances.fold(0.0, f64::max))
    }

    fn least_face_stock(&self, advances: u32, risk: Probability) -> Option<Length> {
        self.0.iter().flatten().filter_map(|it| it.least_face_stock(advances, risk)).max()
    }
}

fn stock(job: &Job, blanks: Option<u32>) -> Option<Stock> {
    let bar = &job.file.bar;
    let length = bar.stock_length?;
    let blanks_each = bar::blanks_per_stock(length, bar.length, bar.saw_kerf, bar.end_trim);
    let bars = blanks.and_then(|blanks| bar::blanks_for(blanks, blanks_each));
    Some(Stock { length, blanks_each, bars })
}
