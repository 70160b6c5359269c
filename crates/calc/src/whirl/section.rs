//! Sections of bars: area, and how they resist bending.

use core::f64::consts::PI;
use model::Length;
use model::files::job::BarShape;
use model::quantity::{Area, SecondMoment};

use super::WhirlError;
use crate::weight;

/// The section of a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Section {
    /// A round bar.
    Round {
        /// Its diameter.
        diameter: Length,
    },
    /// A hexagon.
    Hexagon {
        /// Across flats.
        across_flats: Length,
    },
    /// A square.
    Square {
        /// Across flats.
        across_flats: Length,
    },
    /// A round tube.
    Tube {
        /// Outside diameter.
        outside: Length,
        /// Inside diameter.
        bore: Length,
    },
}

impl Section {
    /// The section of a solid bar; `size` is the diameter or the distance across flats.
    pub fn of(shape: BarShape, size: Length) -> Section {
        match shape {
            BarShape::Round => Section::Round { diameter: size },
            BarShape::Hexagon => Section::Hexagon { across_flats: size },
            BarShape::Square => Section::Square { across_flats: size },
        }
    }

    /// Diameter, distance across flats or outside diameter.
    pub fn size(self) -> Length {
        match self {
            Section::Round { diameter: size }
            | Section::Hexagon { across_flats: size }
            | Section::Square { across_flats: size }
            | Section::Tube { outside: size, .. } => size,
        }
    }

    /// Checks that there is metal in the section.
    ///
    /// # Errors
    /// [`WhirlError::Section`] for a size of zero or less or above 10 m, or a tube's bore below
    /// zero or not smaller than its outside.
    pub fn checked(self) -> Result<Section, WhirlError> {
        let size = self.size();
        let bore = if let Section::Tube { bore, .. } = self { bore } else { Length::ZERO };
        let sound = size.is_positive() && size <= Length::from_mm(10_000);
        if sound && !bore.is_negative() && bore < size {
            Ok(self)
        } else {
            Err(WhirlError::Section)
        }
    }

    /// Area.
    ///
    /// `A = π/4·d²`, `√3/2·s²`, `s²`, `π/4·(D² − d²)`.
    /// Valid: a [checked](Section::checked) section.
    /// Source: plane geometry.
    /// Held to: `handbook/whirl.toml`, `handbook/weight.toml`.
    ///
    /// # Errors
    /// As [`Section::checked`].
    pub fn area(self) -> Result<Area, WhirlError> {
        match self.checked()? {
            Section::Round { diameter } => Ok(weight::section(BarShape::Round, diameter)),
            Section::Hexagon { across_flats } => {
                Ok(weight::section(BarShape::Hexagon, across_flats))
            }
            Section::Square { across_flats } => Ok(weight::section(BarShape::Square, across_flats)),
            Section::Tube { outside, bore } => {
                weight::tube_section(outside, bore).map_err(|_| WhirlError::Section)
            }
        }
    }

    /// Second moment of area about any axis through the middle: a regular section has the same
    /// about all of them, so that a turning bar has one critical speed a mode.
    ///
    /// `I = π/64·d⁴`, `5·√3/144·s⁴`, `s⁴/12`, `π/64·(D⁴ − d⁴)`.
    /// Valid: a [checked](Section::checked) section.
    /// Source: plane geometry.
    /// Held to: `handbook/whirl.toml`.
    ///
    /// # Errors
    /// As [`Section::checked`].
    pub fn second_moment(self) -> Result<SecondMoment, WhirlError> {
        let fourth = |length: Length| {
            let squared = length.mm() * length.mm();
            squared * squared
        };
        Ok(SecondMoment::from_mm4(match self.checked()? {
            Section::Round { diameter } => PI / 64.0 * fourth(diameter),
            Section::Hexagon { across_flats } => {
                5.0 * libm::sqrt(3.0) / 144.0 * fourth(across_flats)
            }
            Section::Square { across_flats } => fourth(across_flats) / 12.0,
            Section::Tube { outside, bore } => PI / 64.0 * (fourth(outside) - fourth(bore)),
        }))
    }

    /// Distance from the axis to the farthest fiber: half of the diameter or across corners, in
    /// millimeters.
    pub fn reach_mm(self) -> f64 {
        let half = self.size().mm() / 2.0;
        match self {
            Section::Hexagon { .. } => half * 2.0 / libm::sqrt(3.0),
            Section::Square { .. } => half * core::f64::consts::SQRT_2,
            Section::Round { .. } | Section::Tube { .. } => half,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ∫y² of a polygon turned by an angle, by its corners (Green's theorem).
    fn turned(corners: &[(f64, f64)], angle: f64) -> f64 {
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        let turned: Vec<(f64, f64)> =
            corners.iter().map(|(x, y)| (x * cos - y * sin, x * sin + y * cos)).collect();
        let next = turned.iter().cycle().skip(1);
        turned
            .iter()
            .zip(next)
            .map(|((x, y), (u, v))| (x * v - u * y) * (y * y + y * v + v * v) / 12.0)
            .sum()
    }

    /// A regular polygon across flats of 2.
    fn corners(count: u32) -> Vec<(f64, f64)> {
        let half = PI / f64::from(count);
        (0..count)
            .map(|corner| {
                let angle = 2.0 * half * f64::from(corner);
                (libm::cos(angle) / libm::cos(half), libm::sin(angle) / libm::cos(half))
            })
            .collect()
    }

    #[test]
    fn hexagon_and_square_resist_alike_about_every_axis() {
        let across_flats = Length::from_mm(2);
        let hexagon = (Section::Hexagon { across_flats }, corners(6));
        for (section, corners) in [hexagon, (Section::Square { across_flats }, corners(4))] {
            let own = section.second_moment().unwrap().mm4();
            for degrees in 0..90 {
                let angle = f64::from(degrees).to_radians();
                assert!((turned(&corners, angle) - own).abs() < 1e-12, "{section:?} {degrees}");
            }
            let reach = corners.iter().map(|(x, y)| libm::hypot(*x, *y)).fold(0.0, f64::max);
            assert!((section.reach_mm() - reach).abs() < 1e-12);
        }
    }

    #[test]
    fn a_tube_of_no_wall_and_a_bar_of_no_size_are_none() {
        let mm = Length::from_mm;
        for section in [
            Section::Tube { outside: mm(20), bore: mm(20) },
            Section::Tube { outside: mm(20), bore: mm(-1) },
            Section::Round { diameter: mm(0) },
            Section::Square { across_flats: mm(-3) },
        ] {
            assert_eq!(section.second_moment(), Err(WhirlError::Section));
            assert_eq!(section.area(), Err(WhirlError::Section));
        }
        let tube = Section::Tube { outside: mm(20), bore: mm(0) };
        let round = Section::Round { diameter: mm(20) };
        assert_eq!(tube.second_moment(), round.second_moment());
    }
}
