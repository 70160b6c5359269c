//! What the proof is given to go by. Anything but the control may be missing; what then cannot
//! be checked is filed as unproven.

use model::files::control::Does;
use model::files::job::{self, Bar};
use model::files::tools::ToolKind;
use model::files::{Control, Gripper, Job, Lathe, Material, Tools};
use model::finding::Place;
use model::quantity::SpindleSpeed;
use model::{Length, Units};

/// What the job says about the part and its advance.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFacts {
    /// Front face to back face.
    pub finished: Length,
    /// Raw stock in front of the finished face after every advance.
    pub face_stock: Length,
    /// Extra stock in front of the first part of a bar.
    pub first_face: Length,
    /// What the parting tool turns to chips.
    pub part_off: Length,
    /// From the parting tool's chuck-side edge to the jaw face.
    pub jaw_clearance: Length,
    /// Parts cut in one advance.
    pub parts_per_advance: u32,
    /// Parts ordered.
    pub quantity: u32,
    /// Highest spindle speed for this job.
    pub max_speed: Option<SpindleSpeed>,
}

impl PartFacts {
    /// What one part uses of the bar.
    pub fn pitch(&self) -> Length {
        self.face_stock + self.finished + self.part_off
    }

    /// How far the bar is drawn each time.
    pub fn advance(&self) -> Length {
        self.pitch() * i64::from(self.parts_per_advance)
    }

    /// Where the jaw face stands, counted from the finished front face.
    pub fn jaw_face(&self) -> Length {
        self.face_stock - self.advance() - self.jaw_clearance
    }
}

/// Everything the proof goes by besides the program itself.
#[derive(Debug, Clone)]
pub struct Setup {
    /// The control that reads the program.
    pub control: Control,
    /// Whether the control was named by the person; otherwise a plain one is assumed.
    pub control_named: bool,
    /// The lathe.
    pub lathe: Option<Lathe>,
    /// The gripper.
    pub gripper: Option<Gripper>,
    /// What stands on the turret.
    pub tools: Option<Tools>,
    /// The bar in the spindle.
    pub bar: Option<Bar>,
    /// What the bar is made of.
    pub material: Option<Material>,
    /// Where the bar's length is written.
    pub bar_place: Option<Place>,
    /// Units in which messages give lengths.
    pub units: Units,
    /// The part and its advance.
    pub part: Option<PartFacts>,
    /// The part as the drawing has it.
    pub drawing: Option<job::Part>,
    /// Block skip switches that are on, by their levels 1 to 9.
    pub skip_switches: Vec<u8>,
    /// Whether what was computed once is used again where it comes again: shapes, moves, and whole
    /// passes of a loop. The proof is the same without, and takes longer.
    pub reuse: bool,
}

impl Setup {
    /// A proof with nothing known but the control.
    pub fn bare(control: Control) -> Setup {
        Setup {
            control,
            control_named: false,
            lathe: None,
            gripper: None,
            tools: None,
            bar: None,
            material: None,
            bar_place: None,
            units: Units::Mm,
            part: None,
            drawing: None,
            skip_switches: Vec::new(),
            reuse: true,
        }
    }

    /// A proof that goes by a whole job.
    pub fn of(job: &Job) -> Setup {
        let file = &job.file;
        let blade = job.tools.first(ToolKind::Parting).and_then(|station| station.width);
        let least = job.gripper.jaw_gap + job.gripper.fingers;
        let part = PartFacts {
            finished: file.part.length,
            face_stock: file.advance.face_stock,
            first_face: file.advance.first_face,
            part_off: blade.unwrap_or_default(),
            jaw_clearance: file.advance.jaw_clearance.unwrap_or(least),
            parts_per_advance: file.advance.parts,
            quantity: file.order.quantity,
            max_speed: file.cutting.max_speed,
        };
        Setup {
            control: job.control.clone(),
            control_named: true,
            lathe: Some(job.lathe.clone()),
            gripper: Some(job.gripper.clone()),
            tools: Some(job.tools.clone()),
            bar: Some(file.bar.clone()),
            material: Some(job.material.clone()),
            bar_place: Some(file.origin.place("bar.length")),
            units: file.units,
            part: Some(part),
            drawing: Some(file.part.clone()),
            skip_switches: Vec::new(),
            reuse: true,
        }
    }

    /// Whether the control waits until the spindle stands after it was told to stop.
    pub fn stop_is_confirmed(&self) -> bool {
        self.control.that(Does::SpindleStop).is_some_and(|function| function.confirmed)
    }

    /// Where the front end of a new bar stands: loaded by hand to a stop.
    pub fn first_front(&self) -> Option<Length> {
        self.part.as_ref().map(|part| part.face_stock + part.first_face)
    }

    /// Where the jaw face stands, counted from the finished front face.
    pub fn jaw_face(&self) -> Option<Length> {
        self.part.as_ref().map(PartFacts::jaw_face)
    }

    /// Whether turret, chuck and every tool are known as shapes, so that it can be seen what
    /// swings through what.
    pub fn swing_is_known(&self) -> bool {
        let shapes = self
            .lathe
            .as_ref()
            .is_some_and(|lathe| lathe.turret.body.is_some() && !lathe.chuck.steps.is_empty());
        let outline = self.gripper.as_ref().is_some_and(|gripper| gripper.outline.is_some());
        let tools = self.tools.as_ref().filter(|_| self.bar.is_some() && self.part.is_some());
        shapes
            && tools.is_some_and(|tools| tools.stations.iter().all(|it| it.stands_known(outline)))
    }
}
