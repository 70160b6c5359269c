//! A bar on its supports, cut into beam elements.

use model::Length;
use model::quantity::{BedStiffness, Density, Mass, Modulus, Stiffness, TiltStiffness};

use super::band::Band;
use super::{Section, WhirlError};

/// How a support holds the bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Holds {
    /// Stays on the axis, free to tilt: a ring, a bushing.
    Pin,
    /// Stays on the axis and in line with it: rigid jaws.
    Clamp,
    /// Gives way as a spring does, sideways and in tilt; either may be zero.
    Spring {
        /// Sideways.
        lateral: Stiffness,
        /// Against tilt.
        tilt: TiltStiffness,
    },
    /// Stays on the axis all along: a full liner that does not give way.
    Liner {
        /// Where it ends.
        to: Length,
    },
    /// Gives way as a spring does, all along: a full liner of known stiffness.
    Bed {
        /// Where it ends.
        to: Length,
        /// For each length of it.
        stiffness: BedStiffness,
    },
}

/// One support of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Support {
    /// Where it is, or where it begins.
    pub at: Length,
    /// How it holds the bar.
    pub holds: Holds,
    /// How far the bar can leave the axis before this support holds it, on the radius. Springs
    /// and beds are taken to hold at once.
    pub play: Length,
}

impl Support {
    /// A support without play.
    pub fn new(at: Length, holds: Holds) -> Support {
        Support { at, holds, play: Length::ZERO }
    }

    /// Whether the bar must move before this support holds it.
    pub(super) fn is_loose(&self) -> bool {
        self.play.is_positive() && matches!(self.holds, Holds::Pin | Holds::Liner { .. })
    }

    /// Where it ends.
    pub(super) fn end(&self) -> Length {
        match self.holds {
            Holds::Liner { to } | Holds::Bed { to, .. } => to,
            _ => self.at,
        }
    }
}

/// A bar on supports, as a slender beam of one section.
#[derive(Debug, Clone, PartialEq)]
pub struct Beam {
    /// Its section.
    pub section: Section,
    /// Its length.
    pub length: Length,
    /// Stress over strain of its material.
    pub modulus: Modulus,
    /// Mass of a volume of its material.
    pub density: Density,
    /// What holds it; places count from one end of the bar.
    pub supports: Vec<Support>,
    /// What else it carries, without width: where, and how much.
    pub masses: Vec<(Length, Mass)>,
}

/// How many supports a bar may have.
const MOST_SUPPORTS: usize = 64;
/// The heaviest thing on a bar, in kg.
const MOST_MASS: f64 = 1e6;
/// Stretches shorter than this fraction of the bar count as none: their ends become one place.
const SHORTEST_STRETCH: f64 = 1.0 / 2000.0;
/// A bed does not divide the bar into more elements than this.
const MOST_ELEMENTS: f64 = 200.0;
/// A spring stiffer than this, in units of the elements, is as good as rigid.
const RIGID: f64 = 1e9;

/// How finely a bar is cut into elements.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fineness {
    /// Elements over the whole bar, at least.
    pub(super) whole: f64,
    /// Elements over the longest stretch between supports, at least.
    pub(super) stretch: f64,
}

impl Fineness {
    /// For a curve of many bars: speeds of first modes within 1e-5.
    pub(super) const CURVE: Fineness = Fineness { whole: 32.0, stretch: 8.0 };

    /// For so many modes within 1e-7 of their speed: an element spans at most about a tenth of
    /// a radian of the highest mode's wave, and the error is (βh)⁴/2880.
    pub(super) fn of_modes(count: usize) -> Fineness {
        let fine = 40.0 + 30.0 * count as f64;
        Fineness { whole: fine, stretch: fine / 2.0 }
    }

    /// A finer cut, where the highest eigenvalue wanted, which is (βh)⁴ in units of the elements,
    /// shows that this one was too coarse for 1e-7.
    pub(super) fn finer(self, eigenvalue: f64) -> Option<Fineness> {
        const ERROR: f64 = 1e-7;
        let error = eigenvalue / 2880.0;
        // A little more than enough, and no finer than any bar needs.
        let scale = (1.05 * libm::sqrt(libm::sqrt(error / ERROR))).min(8.0);
        (error > ERROR)
            .then_some(Fineness { whole: self.whole * scale, stretch: self.stretch * scale })
    }
}

/// Beam elements with their matrices. Lengths are in units of `unit`, stiffness in EI/unit³,
/// mass in units of mass per length times unit; two unknowns a node: place and slope.
#[derive(Debug, Clone)]
pub(super) struct Mesh {
    /// Places of the nodes.
    pub(super) x: Vec<f64>,
    /// One unit of length in meters.
    pub(super) unit: f64,
    /// Stiffness of bar, springs and beds, nothing fixed.
    pub(super) stiffness: Band,
    pub(super) mass: Band,
    /// Unknowns that are zero.
    pub(super) fixed: Vec<usize>,
    /// Unknowns of supports with play, and the play.
    pub(super) loose: Vec<(usize, f64)>,
    /// EI in N·m².
    pub(super) bending: f64,
    /// Mass per length in kg/m.
    pub(super) linear_mass: f64,
}

impl Beam {
    /// EI in N·m² and mass per length in kg/m.
    fn figures(&self) -> Result<(f64, f64), WhirlError> {
        let area = self.section.area()?.mm2() * 1e-6;
        let second = self.section.second_moment()?.mm4() * 1e-12;
        let (modulus, density) = (self.modulus.gpa(), self.density.kg_per_m3());
        // From softer than rubber to stiffer than carbide, from foam to heavier than tungsten.
        if !((1e-3..=2000.0).contains(&modulus) && (1.0..=1e5).contains(&density)) {
            return Err(WhirlError::Material);
        }
        Ok((modulus * 1e9 * second, density * area))
    }

    fn checked(&self) -> Result<(f64, f64), WhirlError> {
        let figures = self.figures()?;
        if self.length < Length::from_um(100) || self.length > Length::from_mm(100_000) {
            return Err(WhirlError::Length);
        }
        if self.supports.len() > MOST_SUPPORTS {
            return Err(WhirlError::Supports);
        }
        let inside = |place: Length| !place.is_negative() && place <= self.length;
        for support in &self.supports {
            let sound = inside(support.at) && inside(support.end()) && support.end() >= support.at;
            if !sound || support.play.is_negative() {
                return Err(WhirlError::Place);
            }
            let figures = match support.holds {
                Holds::Spring { lateral, tilt } => [lateral.n_per_mm(), tilt.nm_per_rad()],
                Holds::Bed { stiffness, .. } => [stiffness.n_per_mm2(), 0.0],
                _ => [0.0, 0.0],
            };
            if figures.iter().any(|figure| !(*figure >= 0.0 && figure.is_finite())) {
                return Err(WhirlError::Stiffness);
            }
        }
        for (at, mass) in &self.masses {
            if !inside(*at) {
                return Err(WhirlError::Place);
            }
            if !(0.0..=MOST_MASS).contains(&mass.kg()) {
                return Err(WhirlError::Mass);
            }
        }
        Ok(figures)
    }

    /// Ends of the stretches, in meters: bar ends, supports and masses.
    fn stretches(&self) -> Vec<f64> {
        let length = self.length.m();
        let places = self.supports.iter().flat_map(|support| [support.at, support.end()]);
        let mut inner: Vec<f64> =
            places.chain(self.masses.iter().map(|(at, _)| *at)).map(Length::m).collect();
        inner.sort_by(f64::total_cmp);
        let shortest = length * SHORTEST_STRETCH;
        let mut ends = vec![0.0];
        let mut last = 0.0;
        for place in inner {
            if place - last > shortest && length - place > shortest {
                ends.push(place);
                last = place;
            }
        }
        ends.push(length);
        ends
    }

    /// Shortest length `(EI/k)^(1/4)` of the beds, in meters.
    fn bed_wave(&self, bending: f64) -> f64 {
        let stiffest = self.supports.iter().map(|support| match support.holds {
            Holds::Bed { stiffness, .. } => stiffness.n_per_mm2() * 1e6,
            _ => 0.0,
        });
        libm::sqrt(libm::sqrt(bending / stiffest.fold(0.0, f64::max)))
    }

    /// Cuts the bar into elements.
    pub(super) fn mesh(&self, fineness: Fineness) -> Result<Mesh, WhirlError> {
        let (bending, linear_mass) = self.checked()?;
        let ends = self.stretches();
        let length = self.length.m();
        let longest = ends.windows(2).map(|end| end[1] - end[0]).fold(0.0, f64::max);
        let unit = (length / fineness.whole).min(longest / fineness.stretch);
        // A bed bends the bar within waves of its own.
        let unit = unit.min((0.5 * self.bed_wave(bending)).max(length / MOST_ELEMENTS));
        let mut x = vec![0.0];
        for end in ends.windows(2) {
            // A little less, so that a whole number is not rounded up.
            let pieces = ((end[1] - end[0]) / unit - 1e-9).ceil().max(1.0);
            for piece in 1..=pieces as usize {
                x.push((end[0] + (end[1] - end[0]) * piece as f64 / pieces) / unit);
            }
        }
        let size = 2 * x.len();
        let (stiffness, mass) = (Band::zeros(size), Band::zeros(size));
        let (fixed, loose) = (Vec::new(), Vec::new());
        let mut mesh = Mesh { x, unit, stiffness, mass, fixed, loose, bending, linear_mass };
        mesh.assemble();
        for support in &self.supports {
            mesh.support(support);
        }
        mesh.once();
        for (at, mass) in &self.masses {
            let node = mesh.node(*at);
            mesh.mass.add(2 * node, 2 * node, mass.kg() / (linear_mass * unit));
        }
        Ok(mesh)
    }
}

/// Stiffness of an element with cubic shape functions, for a length of 1; rows and columns with a
/// slope gain a factor of the length each, and all of it 1/length³.
const STIFFNESS: [[f64; 4]; 4] = [
    [12.0, 6.0, -12.0, 6.0],
    [6.0, 4.0, -6.0, 2.0],
    [-12.0, -6.0, 12.0, -6.0],
    [6.0, 2.0, -6.0, 4.0],
];

/// Mass of the same element, and stiffness of a bed under it, times 420.
const MASS: [[f64; 4]; 4] = [
    [156.0, 22.0, 54.0, -13.0],
    [22.0, 4.0, 13.0, -3.0],
    [54.0, 13.0, 156.0, -22.0],
    [-13.0, -3.0, -22.0, 4.0],
];

/// One row of an element's stiffness and mass times its unknowns.
pub(super) fn element(length: f64, row: usize, shape: &[f64]) -> (f64, f64) {
    let scale = [1.0, length, 1.0, length];
    let cubed = length * length * length;
    let times = |matrix: &[[f64; 4]; 4]| -> f64 {
        (0..4).map(|column| matrix[row][column] * scale[row] * scale[column] * shape[column]).sum()
    };
    (times(&STIFFNESS) / cubed, times(&MASS) * length / 420.0)
}

impl Mesh {
    fn assemble(&mut self) {
        for node in 0..self.x.len() - 1 {
            let length = self.x[node + 1] - self.x[node];
            let scale = [1.0, length, 1.0, length];
            let cubed = length * length * length;
            for i in 0..4 {
                for j in 0..=i {
                    let (row, column) = (2 * node + i, 2 * node + j);
                    let sides = scale[i] * scale[j];
                    self.stiffness.add(row, column, STIFFNESS[i][j] * sides / cubed);
                    self.mass.add(row, column, MASS[i][j] * sides * length / 420.0);
                }
            }
        }
    }

    /// Names each unknown that supports hold once: supports may lie on one another.
    fn once(&mut self) {
        self.fixed.sort_unstable();
        self.fixed.dedup();
        self.loose.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        self.loose.dedup_by_key(|(index, _)| *index);
        self.loose.retain(|(index, _)| self.fixed.binary_search(index).is_err());
    }

    /// The node nearest to a place.
    pub(super) fn node(&self, at: Length) -> usize {
        let at = at.m() / self.unit;
        let after = self.x.partition_point(|x| *x < at).min(self.x.len() - 1);
        if after > 0 && at - self.x[after - 1] < self.x[after] - at { after - 1 } else { after }
    }

    fn support(&mut self, support: &Support) {
        let (node, last) = (self.node(support.at), self.node(support.end()));
        let (place, slope) = (2 * node, 2 * node + 1);
        match support.holds {
            Holds::Pin | Holds::Liner { .. } => {
                let play = support.play.m() / self.unit;
                for place in (node..=last).map(|node| 2 * node) {
                    if support.is_loose() {
                        self.loose.push((place, play));
                    } else {
                        self.fixed.push(place);
                    }
                }
            }
            Holds::Clamp => self.fixed.extend([place, slope]),
            Holds::Spring { lateral, tilt } => {
                let lateral = lateral.n_per_mm() * 1e3 * cube(self.unit) / self.bending;
                let tilt = tilt.nm_per_rad() * self.unit / self.bending;
                self.stiffness.add(place, place, lateral.min(RIGID));
                self.stiffness.add(slope, slope, tilt.min(RIGID));
            }
            Holds::Bed { stiffness, .. } => {
                let stiff = stiffness.n_per_mm2() * 1e6 * cube(self.unit) * self.unit;
                self.bed(node, last, (stiff / self.bending).min(RIGID));
            }
        }
    }

    fn bed(&mut self, first: usize, last: usize, stiffness: f64) {
        for node in first..last {
            let length = self.x[node + 1] - self.x[node];
            let scale = [1.0, length, 1.0, length];
            for i in 0..4 {
                for j in 0..=i {
                    let figure = MASS[i][j] * scale[i] * scale[j] * length / 420.0;
                    self.stiffness.add(2 * node + i, 2 * node + j, stiffness * figure);
                }
            }
        }
    }

    /// Stiffness and mass with what is fixed taken out, and with it the supports with play where
    /// they are to hold.
    pub(super) fn held(&self, with_loose: bool) -> (Band, Band) {
        let (mut stiffness, mut mass) = (self.stiffness.clone(), self.mass.clone());
        let loose = self.loose.iter().map(|(index, _)| *index).filter(|_| with_loose);
        for index in self.fixed.iter().copied().chain(loose) {
            stiffness.fix(index, 1.0);
            mass.fix(index, 0.0);
        }
        (stiffness, mass)
    }

    /// rad/s of an eigenvalue of the matrices.
    pub(super) fn rate(&self, eigenvalue: f64) -> f64 {
        let squared = self.unit * self.unit;
        libm::sqrt(eigenvalue.max(0.0) * self.bending / self.linear_mass) / squared
    }

    /// Eigenvalue of the matrices for a rate in rad/s.
    pub(super) fn eigenvalue(&self, rate: f64) -> f64 {
        let squared = self.unit * self.unit;
        rate * rate * squared * squared * self.linear_mass / self.bending
    }
}

fn cube(x: f64) -> f64 {
    x * x * x
}
