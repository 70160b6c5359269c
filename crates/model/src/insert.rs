//! Indexable inserts by their designation, as ISO 1832 spells it: `CNMG 120408`, and in inches
//! `CNMG 432`.
//!
//! Source: the letters and sizes of ISO 1832 as public reference tables give them (found); the
//! relation of edge length and inscribed circle is plane geometry.

use crate::Length;
use std::f64::consts::PI;
use std::fmt;

/// An insert.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Insert {
    /// Its shape.
    pub shape: Shape,
    /// Clearance angle of its edges in degrees.
    pub clearance: f64,
    /// Diameter of the circle that touches all its edges; of a round one, its own.
    pub inscribed: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Radius of its corners.
    pub radius: Length,
}

/// The shape of an insert.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Shape {
    /// All sides and corners alike, so many of them: H, O, P, S, T.
    Regular(u8),
    /// Four sides alike, with a sharp corner of so many degrees: C, D, E, M, V.
    Rhombic(u8),
    /// Three corners of 80 degrees with blunt ones between: W.
    Trigon,
    /// Round: R.
    Round,
}

/// Why a text is no designation of an insert.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InsertError {
    /// The first letter is no shape that an inscribed circle describes.
    Shape,
    /// The second letter is no clearance angle.
    Clearance,
    /// The third or fourth letter is missing.
    Letters,
    /// The digits are none of the standard sizes.
    Size,
    /// The thickness is none of the standard ones.
    Thickness,
    /// The corner is none of the standard ones.
    Corner,
}

impl fmt::Display for InsertError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            InsertError::Shape => "the first letter is no shape of an insert that is known here",
            InsertError::Clearance => "the second letter is no clearance angle",
            InsertError::Letters => "four letters stand before the size, such as CNMG",
            InsertError::Size => "the size is none of the standard ones",
            InsertError::Thickness => "the thickness is none of the standard ones",
            InsertError::Corner => "the corner radius is none of the standard ones",
        })
    }
}

impl std::error::Error for InsertError {}

/// Inscribed circles of the standard, in micrometers.
const CIRCLES: [i64; 11] =
    [3970, 4760, 5560, 6350, 7940, 9525, 12_700, 15_875, 19_050, 25_400, 31_750];

/// Thicknesses of the standard by their two characters, in micrometers.
const THICKNESSES: [(&str, i64); 12] = [
    ("01", 1590),
    ("T1", 1980),
    ("02", 2380),
    ("03", 3180),
    ("T3", 3970),
    ("04", 4760),
    ("05", 5560),
    ("06", 6350),
    ("07", 7940),
    ("08", 8000),
    ("09", 9520),
    ("12", 12_700),
];

impl Shape {
    fn of(letter: u8) -> Option<Shape> {
        Some(match letter {
            b'H' => Shape::Regular(6),
            b'O' => Shape::Regular(8),
            b'P' => Shape::Regular(5),
            b'S' => Shape::Regular(4),
            b'T' => Shape::Regular(3),
            b'C' => Shape::Rhombic(80),
            b'D' => Shape::Rhombic(55),
            b'E' => Shape::Rhombic(75),
            b'M' => Shape::Rhombic(86),
            b'V' => Shape::Rhombic(35),
            b'W' => Shape::Trigon,
            b'R' => Shape::Round,
            _ => return None,
        })
    }

    /// The angle of its cutting corner in degrees; none for a round one.
    pub fn corner(self) -> Option<f64> {
        match self {
            Shape::Regular(sides) => Some(180.0 - 360.0 / f64::from(sides)),
            Shape::Rhombic(angle) => Some(f64::from(angle)),
            Shape::Trigon => Some(80.0),
            Shape::Round => None,
        }
    }

    /// Edge lengths for one unit of the inscribed circle's diameter.
    fn edge_factor(self) -> f64 {
        match self {
            Shape::Regular(sides) => libm::tan(PI / f64::from(sides)),
            Shape::Rhombic(angle) => 1.0 / libm::sin(f64::from(angle).to_radians()),
            // From the 80° corner to the 160° one: both tangents of the inscribed circle.
            Shape::Trigon => {
                let tangent = |half: f64| 0.5 / libm::tan(half.to_radians());
                tangent(40.0) + tangent(80.0)
            }
            Shape::Round => 1.0,
        }
    }
}

impl Insert {
    /// Reads a designation; blanks and what follows the corner radius are left out.
    ///
    /// # Errors
    /// What part of it is not known.
    ///
    /// ```
    /// use model::insert::Insert;
    /// let insert = Insert::parse("CNMG 120408").unwrap();
    /// assert_eq!(insert.inscribed.mm(), 12.7);
    /// assert_eq!(insert.radius.mm(), 0.8);
    /// assert_eq!(Insert::parse("CNMG 432"), Insert::parse("CNMG432-M"));
    /// ```
    pub fn parse(text: &str) -> Result<Insert, InsertError> {
        let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
        let bytes = text.to_ascii_uppercase().into_bytes();
        let letter = |place: usize| bytes.get(place).copied().unwrap_or_default();
        let shape = Shape::of(letter(0)).ok_or(InsertError::Shape)?;
        let clearance = clearance(letter(1)).ok_or(InsertError::Clearance)?;
        if !(2..4).all(|place| letter(place).is_ascii_uppercase()) {
            return Err(InsertError::Letters);
        }
        let rest = bytes.get(4..).unwrap_or(&[]);
        // Up to the first character that belongs to no size: chip form, grade, dashes.
        let belongs = |byte: &&u8| byte.is_ascii_digit() || matches!(**byte, b'T' | b'M');
        let size: Vec<u8> = rest.iter().take_while(belongs).copied().take(6).collect();
        let size = String::from_utf8_lossy(&size).into_owned();
        let sizes = if size.len() <= 4 { inch_sizes(&size) } else { sizes(shape, &size) };
        let (inscribed, thickness, radius) = sizes?;
        Ok(Insert { shape, clearance, inscribed, thickness, radius })
    }

    /// Length of a cutting edge, corner to corner without their radius; of a round insert its
    /// diameter.
    pub fn edge(&self) -> Length {
        Length::nearest_mm(self.inscribed.mm() * self.shape.edge_factor())
    }
}

fn clearance(letter: u8) -> Option<f64> {
    Some(match letter {
        b'A' => 3.0,
        b'B' => 5.0,
        b'C' => 7.0,
        b'D' => 15.0,
        b'E' => 20.0,
        b'F' => 25.0,
        b'G' => 30.0,
        b'N' => 0.0,
        b'P' => 11.0,
        _ => return None,
    })
}

type Sizes = Result<(Length, Length, Length), InsertError>;

/// The metric form: two characters each for edge length, thickness and corner.
fn sizes(shape: Shape, text: &str) -> Sizes {
    let part = |from: usize| text.get(from..from + 2).unwrap_or_default();
    let edge: i64 = part(0).parse().map_err(|_| InsertError::Size)?;
    let thickness = THICKNESSES.iter().find(|(code, _)| *code == part(2));
    let thickness = thickness.ok_or(InsertError::Thickness)?.1;
    if part(4) == "M0" {
        // A round insert in whole millimeters.
        let round = shape == Shape::Round && edge > 0;
        let size = Length::from_mm(edge);
        return if round {
            Ok((size, Length::from_um(thickness), size.half()))
        } else {
            Err(InsertError::Corner)
        };
    }
    let tenths: i64 = part(4).parse().map_err(|_| InsertError::Corner)?;
    // The standard drops what is behind the point of the edge's length; triangles, whose edges are
    // 10.998 and 21.997 mm long, count as 11 and 22.
    let fits = |circle: &&i64| {
        (Length::from_um(**circle).mm() * shape.edge_factor() + 0.01).floor() as i64 == edge
    };
    let circle = CIRCLES.iter().find(fits).ok_or(InsertError::Size)?;
    let inscribed = Length::from_um(*circle);
    let radius = match shape {
        Shape::Round => inscribed.half(),
        _ => Length::from_um(tenths * 100),
    };
    Ok((inscribed, Length::from_um(thickness), radius))
}

/// The inch form: eighths of the inscribed circle, sixteenths of the thickness, sixty-fourths of
/// the corner; one digit each.
fn inch_sizes(text: &str) -> Sizes {
    let digit = |place: usize, error| {
        let digit = text.as_bytes().get(place).filter(|byte| byte.is_ascii_digit());
        digit.map(|byte| i64::from(byte - b'0')).ok_or(error)
    };
    let parts = |count: i64, of: i64| Length::from_nm(25_400_000 * count / of);
    let circle = digit(0, InsertError::Size)?;
    let thickness = digit(1, InsertError::Thickness)?;
    let corner = digit(2, InsertError::Corner)?;
    if text.len() != 3 || circle == 0 || thickness == 0 {
        return Err(InsertError::Size);
    }
    let radius = Length::from_nm(25_400_000 * corner / 64);
    Ok((parts(circle, 8), parts(thickness, 16), radius))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn insert(text: &str) -> Insert {
        Insert::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"))
    }

    /// Corner angle, clearance, thickness and radius as public tables of ISO 1832 have them
    /// (found); inscribed circles and edge lengths as catalogs print them (from memory).
    #[test]
    fn designations_of_the_standard() {
        for (text, angle, clearance, circle, edge, thickness, radius) in [
            ("CNMG 120408", 80.0, 0.0, 12.7, 12.9, 4.76, 0.8),
            ("CCMT 09T304", 80.0, 7.0, 9.525, 9.7, 3.97, 0.4),
            ("DNMG 150608", 55.0, 0.0, 12.7, 15.5, 6.35, 0.8),
            ("DCMT 11T302", 55.0, 7.0, 9.525, 11.6, 3.97, 0.2),
            ("VBMT 160404", 35.0, 5.0, 9.525, 16.6, 4.76, 0.4),
            ("VCGT 110304", 35.0, 7.0, 6.35, 11.1, 3.18, 0.4),
            ("WNMG 080412", 80.0, 0.0, 12.7, 8.7, 4.76, 1.2),
            ("WNMG 060408", 80.0, 0.0, 9.525, 6.5, 4.76, 0.8),
            ("TNMG 160408", 60.0, 0.0, 9.525, 16.5, 4.76, 0.8),
            ("TNMG 220408", 60.0, 0.0, 12.7, 22.0, 4.76, 0.8),
            ("TPMT 110304", 60.0, 11.0, 6.35, 11.0, 3.18, 0.4),
            ("SNMG 120408", 90.0, 0.0, 12.7, 12.7, 4.76, 0.8),
        ] {
            let insert = insert(text);
            assert_eq!(insert.shape.corner().map(f64::round), Some(angle), "{text}");
            assert_eq!(insert.clearance.to_bits(), f64::to_bits(clearance), "{text}");
            assert!((insert.inscribed.mm() - circle).abs() < 1e-9, "{text} {insert:?}");
            assert!((insert.edge().mm() - edge).abs() < 0.06, "{text} {:?}", insert.edge().mm());
            assert!((insert.thickness.mm() - thickness).abs() < 1e-9, "{text}");
            assert!((insert.radius.mm() - radius).abs() < 1e-9, "{text}");
        }
        let round = insert("RCMT 1204M0");
        assert_eq!((round.inscribed, round.radius), (Length::from_mm(12), Length::from_mm(6)));
    }

    /// The inch form (a public table, found): 432 is 1/2, 3/16 and 1/32 inch.
    #[test]
    fn the_inch_form() {
        let insert = insert("CNMG-432".replace('-', "").as_str());
        assert_eq!(insert.inscribed, Length::from_um(12_700));
        assert!((insert.thickness.mm() - 4.7625).abs() < 1e-9);
        assert!((insert.radius.mm() - 0.79375).abs() < 1e-9);
    }

    #[test]
    fn what_is_no_insert_is_told() {
        for (text, error) in [
            ("", InsertError::Shape),
            ("XNMG120408", InsertError::Shape),
            ("CZMG120408", InsertError::Clearance),
            ("CN12", InsertError::Letters),
            ("CNMG", InsertError::Size),
            ("CNMG130408", InsertError::Size),
            ("CNMG129908", InsertError::Thickness),
            ("CNMG1204M0", InsertError::Corner),
            ("CNMG12", InsertError::Corner),
        ] {
            assert_eq!(Insert::parse(text), Err(error), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_is_too_bad(text in ".{0,16}") {
            if let Ok(insert) = Insert::parse(&text) {
                prop_assert!(insert.inscribed.is_positive() && insert.edge().is_positive());
                prop_assert!(insert.thickness.is_positive() && !insert.radius.is_negative());
            }
        }
    }
}
