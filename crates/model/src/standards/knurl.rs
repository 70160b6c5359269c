//! Knurls of DIN 82: their forms, and the diameter to turn before the wheels raise the metal.

use super::Refusal;
use crate::files::keys::Choice as _;
use crate::{Length, Units, choices};

choices! {
    /// The form of a knurl, by the letters of DIN 82.
    KnurlForm {
        Straight = "RAA": "straight, grooves along the axis",
        LeftHand = "RBL": "slanting, left-hand",
        RightHand = "RBR": "slanting, right-hand",
        DiamondRaised = "RGE": "diamond, left-hand and right-hand, points raised",
        DiamondSunk = "RGV": "diamond, left-hand and right-hand, points sunk",
        CrossRaised = "RKE": "crossed along and around, points raised",
        CrossSunk = "RKV": "crossed along and around, points sunk",
    }
}

/// A knurl on a cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knurl {
    /// Its form.
    pub form: KnurlForm,
    /// From tooth to tooth.
    pub pitch: Length,
}

/// The pitches of DIN 82.
const PITCHES_UM: [i64; 6] = [500, 600, 800, 1000, 1200, 1600];

impl KnurlForm {
    /// How much smaller the diameter before knurling is, in hundredths of the pitch, for teeth of
    /// 90°. Source: DIN 82:1973, table in 2.4, found as scanned text.
    const fn hundredths(self) -> i64 {
        match self {
            KnurlForm::Straight | KnurlForm::LeftHand | KnurlForm::RightHand => 50,
            KnurlForm::DiamondRaised | KnurlForm::CrossRaised => 67,
            KnurlForm::DiamondSunk | KnurlForm::CrossSunk => 33,
        }
    }
}

impl Knurl {
    /// Reads a knurl: `RGE 0.8`, `DIN 82-RAA 1`, `straight 0.8` or `diamond 0.8`; the pitch is in
    /// millimeters.
    ///
    /// # Errors
    /// Another form, or a pitch that DIN 82 does not have.
    pub fn read(text: &str) -> Result<Knurl, Refusal> {
        let upper = text.trim().to_ascii_uppercase();
        let short = upper.strip_prefix("DIN 82").unwrap_or(&upper);
        let short = short.trim_start_matches([' ', '-']);
        let end = short.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(short.len());
        let (word, pitch) = short.split_at(end);
        let form = match word {
            "STRAIGHT" => Some(KnurlForm::Straight),
            "DIAMOND" => Some(KnurlForm::DiamondRaised),
            _ => {
                let words = KnurlForm::words().iter();
                words.clone().find(|(known, ..)| *known == word).map(|(_, form, _)| *form)
            }
        };
        let form = form.ok_or_else(|| {
            Refusal::new(
                format!("\"{text}\" is no knurl"),
                "write its form and its pitch in millimeters: \"RAA 0.8\" or \"straight 0.8\", \
                 \"RGE 0.8\" or \"diamond 0.8\"",
            )
        })?;
        let known = |pitch: &Length| PITCHES_UM.iter().any(|um| *pitch == Length::from_um(*um));
        let pitch = Length::parse(pitch.trim_start_matches([' ', '-']), Units::Mm).ok();
        let pitch = pitch.filter(known).ok_or_else(|| {
            Refusal::new(
                format!("\"{text}\" has no pitch of DIN 82"),
                "its pitches are 0.5, 0.6, 0.8, 1, 1.2 and 1.6 mm",
            )
        })?;
        Ok(Knurl { form, pitch })
    }

    /// The knurl as a drawing has it.
    pub fn name(&self) -> String {
        format!("{} {}", self.form.word(), self.pitch.shortest(Units::Mm))
    }

    /// The diameter to turn for this nominal diameter, which the knurl has over its points.
    ///
    /// `before = after − 0.5·pitch` for one direction, 0.67 or 0.33 for points raised or sunk.
    /// Source: DIN 82:1973, for teeth of 90°; how far metal really rises depends on it.
    pub fn before(&self, after: Length) -> Length {
        after - Length::from_nm(self.pitch.nm() * self.form.hundredths() / 100)
    }
}
