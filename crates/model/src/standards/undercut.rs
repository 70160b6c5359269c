//! Undercuts: DIN 509 forms E and F for what is ground later, DIN 76-1 forms A to D behind threads.
//!
//! Sources: DIN 509:1998 table as found in a scanned text; DIN 76-1 forms A and C found in a control
//! manual (maker withheld) up to a pitch of 2.5 mm, forms B and D and larger pitches from memory.

use super::Refusal;
use crate::{Length, Units};

/// The form of an undercut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UndercutForm {
    /// DIN 509 E: into the cylinder only.
    E,
    /// DIN 509 F: into the cylinder and into the shoulder's face.
    F,
    /// DIN 76 A outside, C inside: behind a thread, of the usual length.
    Thread,
    /// DIN 76 B outside, D inside: behind a thread, short.
    ShortThread,
}

/// An undercut in the corner of a shoulder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Undercut {
    /// Its form.
    pub form: UndercutForm,
    /// Radius in its corner.
    pub radius: Length,
    /// How deep it goes into the cylinder, on the radius.
    pub depth: Length,
    /// How much deeper it may be.
    pub depth_more: Length,
    /// How far from the shoulder's face it ends on the cylinder.
    pub width: Length,
    /// How much wider it may be; behind a thread zero, since the width is the largest there.
    pub width_more: Length,
    /// How deep it goes into the shoulder's face; zero where it does not.
    pub face_depth: Length,
    /// How much deeper it may be there.
    pub face_more: Length,
}

/// A place of an undercut: how far in front of the shoulder's face, and how deep below the cylinder;
/// negative behind the face, and above the cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Distance from the shoulder's face, into the gap before it.
    pub ahead: Length,
    /// Distance below the cylinder, into the metal.
    pub below: Length,
}

/// One stretch of an undercut's outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leg {
    /// Straight to here.
    Line(Place),
    /// By a hollow arc about this center to here.
    Arc {
        /// Its end.
        to: Place,
        /// Its center.
        center: Place,
    },
}

/// Angle of the run-out on the cylinder, and on the face, of DIN 509, in degrees.
pub const CYLINDER_ANGLE: f64 = 15.0;
/// See [`CYLINDER_ANGLE`].
pub const FACE_ANGLE: f64 = 8.0;
/// Angle of the run-out of DIN 76-1, the least, in degrees.
pub const THREAD_ANGLE: f64 = 30.0;

/// Radius, depth, width and depth into the face of DIN 509 E and F, in hundredths of a millimeter.
#[rustfmt::skip]
const DIN_509: [[i64; 4]; 12] = [
    [20, 10, 100, 10], [40, 20, 200, 10], [60, 20, 200, 10], [60, 30, 250, 20], [80, 30, 250, 20],
    [100, 20, 250, 10], [100, 40, 400, 30], [120, 20, 250, 10], [120, 40, 400, 30],
    [160, 30, 400, 20], [250, 40, 500, 30], [400, 50, 700, 30],
];

/// Of a pitch: pitch; how much smaller outside and larger inside the ground's diameter is; the
/// width of A, B, C and D; the radius. Hundredths of a millimeter.
#[rustfmt::skip]
const DIN_76: [[i64; 8]; 24] = [
    [20, 30, 10, 70, 50, 120, 90, 10], [25, 40, 10, 90, 60, 140, 100, 12],
    [30, 50, 10, 105, 75, 160, 125, 16], [35, 60, 20, 120, 90, 190, 140, 16],
    [40, 70, 20, 140, 100, 220, 160, 20], [45, 70, 20, 160, 110, 240, 170, 20],
    [50, 80, 30, 175, 125, 270, 200, 20], [60, 100, 30, 210, 150, 330, 240, 40],
    [70, 110, 30, 245, 175, 380, 275, 40], [75, 120, 30, 260, 190, 400, 290, 40],
    [80, 130, 30, 280, 200, 420, 300, 40], [100, 160, 50, 350, 250, 520, 370, 60],
    [125, 200, 50, 440, 320, 670, 490, 60], [150, 230, 50, 520, 380, 780, 560, 80],
    [175, 260, 50, 610, 430, 910, 640, 100], [200, 300, 50, 700, 500, 1030, 730, 100],
    [250, 360, 50, 870, 630, 1300, 930, 120], [300, 440, 50, 1050, 750, 1520, 1070, 160],
    [350, 500, 50, 1200, 900, 1770, 1270, 160], [400, 570, 50, 1400, 1000, 2000, 1400, 200],
    [450, 640, 50, 1600, 1100, 2300, 1600, 200], [500, 700, 50, 1750, 1250, 2600, 1850, 250],
    [550, 770, 50, 1900, 1400, 2800, 2000, 320], [600, 830, 50, 2100, 1500, 3000, 2100, 320],
];

const fn hundredths(hundredths: i64) -> Length {
    Length::from_um(hundredths * 10)
}

impl UndercutForm {
    /// Reads the form at the front of a designation, and gives the rest: `F 0.6x0.3`, `DIN 76 A`.
    ///
    /// # Errors
    /// Another standard or form, or a form of DIN 76 for the other side.
    pub fn read(text: &str, inside: bool) -> Result<(UndercutForm, String), Refusal> {
        let plain: String = text.chars().filter(|c| !c.is_whitespace() && *c != '-').collect();
        let plain = plain.to_ascii_uppercase();
        if let Some(form) = plain.strip_prefix("DIN76") {
            return match (form.trim_start_matches('1'), inside) {
                ("" | "A", false) | ("" | "C", true) => Ok((UndercutForm::Thread, String::new())),
                ("B", false) | ("D", true) => Ok((UndercutForm::ShortThread, String::new())),
                ("A" | "B" | "C" | "D", _) => Err(Refusal::new(
                    format!("\"{text}\" is for the other side"),
                    "A and B of DIN 76 are outside, C and D inside",
                )),
                _ => Err(unknown(text)),
            };
        }
        let plain = plain.strip_prefix("DIN509").unwrap_or(&plain);
        match plain.split_at_checked(1) {
            Some(("E", rest)) => Ok((UndercutForm::E, rest.to_owned())),
            Some(("F", rest)) => Ok((UndercutForm::F, rest.to_owned())),
            _ => Err(unknown(text)),
        }
    }
}

fn unknown(text: &str) -> Refusal {
    Refusal::new(
        format!("there is no undercut \"{text}\""),
        "write \"E 0.6x0.2\" or \"F 0.6x0.3\" (DIN 509), or \"DIN 76 A\" behind a thread",
    )
}

impl Undercut {
    /// An undercut of DIN 509 by its radius and depth, as `0.6x0.3`.
    ///
    /// # Errors
    /// A size that the table does not have.
    pub fn din_509(form: UndercutForm, size: &str) -> Result<Undercut, Refusal> {
        let (radius, depth) = size.split_once(['X', 'x', '×']).unwrap_or((size, ""));
        let parse = |text: &str| Length::parse(text, Units::Mm).ok();
        let wanted = (parse(radius), parse(depth));
        let fits = |row: &&[i64; 4]| wanted == (Some(hundredths(row[0])), Some(hundredths(row[1])));
        let Some([radius, depth, width, face]) = DIN_509.iter().find(fits) else {
            return Err(Refusal::new(
                format!("DIN 509 has no undercut of radius and depth {}", size.replace('X', "x")),
                "it has 0.2x0.1, 0.4x0.2, 0.6x0.2, 0.6x0.3, 0.8x0.3, 1x0.2, 1x0.4, 1.2x0.2, \
                 1.2x0.4, 1.6x0.3, 2.5x0.4 and 4x0.5",
            ));
        };
        let face = if form == UndercutForm::F { hundredths(*face) } else { Length::ZERO };
        Ok(Undercut {
            form,
            radius: hundredths(*radius),
            depth: hundredths(*depth),
            depth_more: hundredths(10),
            width: hundredths(*width),
            width_more: hundredths(20),
            face_depth: face,
            face_more: if face.is_positive() { hundredths(5) } else { Length::ZERO },
        })
    }

    /// An undercut of DIN 76-1 by the pitch and the nominal diameter of its thread, in a cylinder of
    /// the third size.
    ///
    /// The ground has h13 or H13 (h12 or H12 up to 3 mm).
    ///
    /// # Errors
    /// A pitch that the table does not have, or a cylinder that lies beyond the ground.
    pub fn din_76(
        form: UndercutForm,
        (pitch, nominal, cylinder): (Length, Length, Length),
        inside: bool,
    ) -> Result<Undercut, Refusal> {
        let help = "cut a groove there: `kind = \"groove\"` with `diameter`, `width` and `to`";
        let Some(row) = DIN_76.iter().find(|row| hundredths(row[0]) == pitch) else {
            let message =
                format!("DIN 76 has no undercut for a pitch of {} mm", pitch.shortest(Units::Mm));
            return Err(Refusal::new(message, help));
        };
        let ground =
            if inside { nominal + hundredths(row[2]) } else { nominal - hundredths(row[1]) };
        let depth = if inside { ground - cylinder } else { cylinder - ground }.half();
        if !depth.is_positive() || !ground.is_positive() {
            let message = format!(
                "the ground of this undercut is at {} mm, beyond the cylinder it is in",
                ground.shortest(Units::Mm)
            );
            return Err(Refusal::new(message, help));
        }
        let grade = if ground <= Length::from_mm(3) { 12 } else { 13 };
        let more = super::fit::grade(grade, ground).unwrap_or_default().half();
        let width = match (form, inside) {
            (UndercutForm::ShortThread, false) => row[4],
            (UndercutForm::ShortThread, true) => row[6],
            (_, false) => row[3],
            (_, true) => row[5],
        };
        Ok(Undercut {
            form,
            radius: hundredths(row[7]),
            depth,
            depth_more: more,
            width: hundredths(width),
            width_more: Length::ZERO,
            face_depth: Length::ZERO,
            face_more: Length::ZERO,
        })
    }

    /// Angle of its run-out on the cylinder, in degrees.
    pub const fn angle(&self) -> f64 {
        match self.form {
            UndercutForm::E | UndercutForm::F => CYLINDER_ANGLE,
            UndercutForm::Thread | UndercutForm::ShortThread => THREAD_ANGLE,
        }
    }

    /// How high above its ground it ends on the shoulder's face: its radius, or with a run-out of 8°
    /// as far as that goes.
    ///
    /// `g = r·(1 + sin 8°) + (t2 − r·(1 − cos 8°))/tan 8°`; the table of DIN 509 gives it rounded to
    /// 0.1 mm, in brackets.
    pub fn face_height(&self) -> Length {
        if !self.face_depth.is_positive() {
            return self.radius;
        }
        let (r, angle) = (self.radius.mm(), FACE_ANGLE.to_radians());
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        let run = (self.face_depth.mm() - r * (1.0 - cos)) / libm::tan(angle);
        Length::nearest_mm(r * (1.0 + sin) + run.max(0.0))
    }

    /// Its outline from the cylinder to the shoulder's face: where it leaves the cylinder, and the
    /// legs from there.
    pub fn outline(&self) -> (Place, Vec<Leg>) {
        let (r, t, f) = (self.radius, self.depth, self.face_depth);
        let run = Length::nearest_mm(t.mm() / libm::tan(self.angle().to_radians()));
        let place = |ahead: Length, below: Length| Place { ahead, below };
        let foot = (self.width - run).max(r - f);
        let center = place(r - f, t - r);
        let mut legs = vec![Leg::Line(place(foot, t)), Leg::Line(place(r - f, t))];
        if f.is_positive() {
            let angle = FACE_ANGLE.to_radians();
            let across = Length::nearest_mm(r.mm() * libm::cos(angle));
            let along = Length::nearest_mm(r.mm() * libm::sin(angle));
            let to = place(center.ahead - across, center.below - along);
            legs.push(Leg::Arc { to, center });
            legs.push(Leg::Line(place(Length::ZERO, t - self.face_height())));
        } else {
            legs.push(Leg::Arc { to: place(Length::ZERO, t - r), center });
        }
        (place(self.width, Length::ZERO), legs)
    }
}
