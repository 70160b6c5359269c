//! From programmed places to places of the tool: shifts, work offsets and tool offsets.
//!
//! Where the first work offset lies on the machine is the job's business: its zero is the
//! finished face on the spindle axis. What a program changes of it is followed from there; a
//! value that it sets for the first time is taken to be the one that the job has.

use crate::event::Point;
use model::Length;
use std::array;

/// Everything that is added to a programmed place.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// What is added in all.
    shift: Point,
    /// What G50 or G92 added.
    set: Point,
    /// What G52 added.
    local: Point,
    /// The external offset, then the six work offsets.
    work: [Offset; 7],
    /// The work offset in force: 1 to 6.
    chosen: u8,
    /// Tool offsets that the program changed, by the number in its words.
    tools: Vec<(u32, Offset)>,
    /// The tool offset in force; 0 for none.
    tool: u32,
    /// Nose radius and tip number that the program set for an offset.
    noses: Vec<(u32, Length, u8)>,
}

/// One offset in both axes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Offset {
    r: Axis,
    z: Axis,
}

/// One axis of an offset.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Axis {
    /// Its value, once the program has set it.
    value: Option<Length>,
    /// How far it moved since the program's start.
    moved: Length,
}

/// A change of an offset: a value, or an increment, or nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Change {
    pub(super) to: Option<Length>,
    pub(super) by: Option<Length>,
}

impl Axis {
    fn change(&mut self, change: Change) {
        if let Some(to) = change.to {
            self.moved += self.value.map_or(Length::ZERO, |value| to - value);
            self.value = Some(to);
        }
        if let Some(by) = change.by {
            self.moved += by;
            self.value = self.value.map(|value| value + by);
        }
    }
}

impl Offset {
    fn change(&mut self, r: Change, z: Change) {
        self.r.change(r);
        self.z.change(z);
    }

    const fn moved(&self) -> Point {
        Point { r: self.r.moved, z: self.z.moved }
    }
}

impl Frame {
    /// Nothing added: the first work offset, no tool offset changed.
    pub(super) fn new() -> Frame {
        Frame {
            shift: Point::default(),
            set: Point::default(),
            local: Point::default(),
            work: array::from_fn(|_| Offset::default()),
            chosen: 1,
            tools: Vec::new(),
            tool: 0,
            noses: Vec::new(),
        }
    }

    /// What a reset leaves: offsets stay, shifts do not.
    pub(super) fn after_reset(&self) -> Frame {
        let mut frame = Frame {
            set: Point::default(),
            local: Point::default(),
            chosen: 1,
            tool: 0,
            ..self.clone()
        };
        frame.add_up();
        frame
    }

    /// What is added to a programmed place.
    pub const fn shift(&self) -> Point {
        self.shift
    }

    /// The nose that the program set for the offset in force.
    pub(super) fn nose(&self) -> Option<(Length, u8)> {
        let of_it = self.noses.iter().find(|(number, _, _)| *number == self.tool);
        of_it.map(|(_, radius, tip)| (*radius, *tip))
    }

    pub(super) fn set_nose(&mut self, number: u32, radius: Option<Length>, tip: Option<u8>) {
        let known = self.noses.iter().position(|(known, _, _)| *known == number);
        let index = known.unwrap_or_else(|| {
            self.noses.push((number, Length::ZERO, 0));
            self.noses.len() - 1
        });
        let nose = &mut self.noses[index];
        (nose.1, nose.2) = (radius.unwrap_or(nose.1), tip.unwrap_or(nose.2));
    }

    /// Gives the present place of the tool these coordinates; axes left out keep theirs.
    pub(super) fn set_here(&mut self, position: Point, r: Option<Length>, z: Option<Length>) {
        if let Some(r) = r {
            self.set.r += position.r - r - self.shift.r;
        }
        if let Some(z) = z {
            self.set.z += position.z - z - self.shift.z;
        }
        self.add_up();
    }

    /// Adds to the coordinates of the present place.
    pub(super) fn set_by(&mut self, r: Length, z: Length) {
        self.set = Point { r: self.set.r - r, z: self.set.z - z };
        self.add_up();
    }

    pub(super) fn set_local(&mut self, r: Option<Length>, z: Option<Length>) {
        self.local = Point { r: r.unwrap_or(self.local.r), z: z.unwrap_or(self.local.z) };
        self.add_up();
    }

    /// Chooses a work offset; gives whether it is known where it lies.
    pub(super) fn choose(&mut self, number: u8) -> bool {
        self.chosen = number.clamp(1, 6);
        self.add_up();
        self.chosen == 1 || self.beside_first(self.chosen).is_some()
    }

    /// Changes a work offset: 0 for the external one.
    pub(super) fn change_work(&mut self, number: u32, r: Change, z: Change) -> bool {
        let Some(offset) = self.work.get_mut(number as usize) else { return false };
        offset.change(r, z);
        self.add_up();
        true
    }

    /// Changes a tool offset. Gives whether any axis was set that the program had not set before.
    pub(super) fn change_tool(&mut self, number: u32, r: Change, z: Change) -> bool {
        /// More offsets than any control has.
        const MOST: usize = 2000;
        let known = self.tools.iter().position(|(known, _)| *known == number);
        let index = known.unwrap_or_else(|| {
            self.tools.push((number, Offset::default()));
            self.tools.len() - 1
        });
        if self.tools.len() > MOST {
            self.tools.pop();
            return true;
        }
        let offset = &mut self.tools[index].1;
        let first = r.to.is_some() && offset.r.value.is_none()
            || z.to.is_some() && offset.z.value.is_none();
        offset.change(r, z);
        self.add_up();
        first
    }

    pub(super) fn use_tool_offset(&mut self, number: u32) {
        if self.tool != number {
            self.tool = number;
            self.add_up();
        }
    }

    /// Where a work offset lies, counted from where the first one lay at the start.
    fn beside_first(&self, number: u8) -> Option<Point> {
        let (first, other) = (&self.work[1], &self.work[usize::from(number)]);
        let axis = |first: Axis, other: Axis| Some(other.value? - (first.value? - first.moved));
        Some(Point { r: axis(first.r, other.r)?, z: axis(first.z, other.z)? })
    }

    fn add_up(&mut self) {
        /// What is added to a tool offset's number where its geometry is meant, not its wear.
        const GEOMETRY: u32 = 10_000;
        let work = match self.chosen {
            1 => self.work[1].moved(),
            number => self.beside_first(number).unwrap_or(self.work[usize::from(number)].moved()),
        };
        let mut sum = [self.set, self.local, self.work[0].moved(), work]
            .into_iter()
            .fold(Point::default(), |sum, part| Point { r: sum.r + part.r, z: sum.z + part.z });
        for (number, offset) in &self.tools {
            if self.tool > 0 && number % GEOMETRY == self.tool {
                let moved = offset.moved();
                sum = Point { r: sum.r + moved.r, z: sum.z + moved.z };
            }
        }
        self.shift = sum;
    }
}
