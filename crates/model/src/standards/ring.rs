//! Grooves for retaining rings of the normal type: DIN 471 on shafts, DIN 472 in bores.
//!
//! Source: DIN 471 and DIN 472, normal type; figures from memory, held in `handbook/drawing.toml`
//! to as many sizes as published copies show. Inch rings (ASME B18.27) are not here: no source of
//! theirs was found.

use super::{Refusal, fit};
use crate::{Length, Units};

/// The standard that a ring is by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RingStandard {
    /// DIN 471: the ring sits in a groove outside.
    Shaft,
    /// DIN 472: the ring sits in a groove inside.
    Bore,
}

/// The groove of a retaining ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RingGroove {
    /// The diameter of its ground.
    pub diameter: Length,
    /// Largest and smallest deviation of that.
    pub deviations: (Length, Length),
    /// How wide it is at least.
    pub width: Length,
    /// Largest and smallest deviation of that: H13.
    pub width_deviations: (Length, Length),
}

/// Diameter of the shaft, of the groove, and the groove's width, in hundredths of a millimeter.
#[rustfmt::skip]
const SHAFT: [(i64, i64, i64); 54] = [
    (300, 280, 50), (400, 380, 50), (500, 480, 70), (600, 570, 80), (700, 670, 90), (800, 760, 90),
    (900, 860, 110), (1000, 960, 110), (1100, 1050, 110), (1200, 1150, 110), (1300, 1240, 110),
    (1400, 1340, 110), (1500, 1430, 110), (1600, 1520, 110), (1700, 1620, 110), (1800, 1700, 130),
    (1900, 1800, 130), (2000, 1900, 130), (2100, 2000, 130), (2200, 2100, 130), (2400, 2290, 130),
    (2500, 2390, 130), (2600, 2490, 130), (2800, 2660, 160), (2900, 2760, 160), (3000, 2860, 160),
    (3200, 3030, 160), (3400, 3230, 160), (3500, 3300, 160), (3600, 3400, 185), (3800, 3600, 185),
    (4000, 3750, 185), (4200, 3950, 185), (4500, 4250, 185), (4800, 4550, 185), (5000, 4700, 215),
    (5200, 4900, 215), (5500, 5200, 215), (5600, 5300, 215), (5800, 5500, 215), (6000, 5700, 215),
    (6200, 5900, 215), (6300, 6000, 215), (6500, 6200, 265), (6800, 6500, 265), (7000, 6700, 265),
    (7200, 6900, 265), (7500, 7200, 265), (7800, 7500, 265), (8000, 7650, 265), (8500, 8150, 315),
    (9000, 8650, 315), (9500, 9150, 315), (10000, 9650, 315),
];

/// The same for bores.
#[rustfmt::skip]
const BORE: [(i64, i64, i64); 56] = [
    (800, 840, 90), (900, 940, 90), (1000, 1040, 110), (1100, 1140, 110), (1200, 1250, 110),
    (1300, 1360, 110), (1400, 1460, 110), (1500, 1570, 110), (1600, 1680, 110), (1700, 1780, 110),
    (1800, 1900, 110), (1900, 2000, 110), (2000, 2100, 110), (2100, 2200, 110), (2200, 2300, 110),
    (2400, 2520, 130), (2500, 2620, 130), (2600, 2720, 130), (2800, 2940, 130), (3000, 3140, 130),
    (3100, 3270, 130), (3200, 3370, 130), (3400, 3570, 160), (3500, 3700, 160), (3600, 3800, 160),
    (3700, 3900, 160), (3800, 4000, 160), (4000, 4250, 185), (4200, 4450, 185), (4500, 4750, 185),
    (4700, 4950, 185), (4800, 5050, 185), (5000, 5300, 215), (5200, 5500, 215), (5500, 5800, 215),
    (5600, 5900, 215), (5800, 6100, 215), (6000, 6300, 215), (6200, 6500, 215), (6300, 6600, 215),
    (6500, 6800, 265), (6800, 7100, 265), (7000, 7300, 265), (7200, 7500, 265), (7500, 7800, 265),
    (7800, 8100, 265), (8000, 8350, 265), (8200, 8550, 265), (8500, 8850, 315), (8800, 9150, 315),
    (9000, 9350, 315), (9200, 9550, 315), (9500, 9850, 315), (9800, 10150, 315),
    (10000, 10350, 315), (10200, 10550, 315),
];

impl RingStandard {
    /// Reads `DIN 471` or `DIN 472`.
    ///
    /// # Errors
    /// Another standard.
    pub fn read(text: &str) -> Result<RingStandard, Refusal> {
        let plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
        match plain.to_ascii_uppercase().as_str() {
            "DIN471" => Ok(RingStandard::Shaft),
            "DIN472" => Ok(RingStandard::Bore),
            _ => Err(Refusal::new(
                format!("there is no table of rings \"{text}\" here"),
                "write \"DIN 471\" for a shaft or \"DIN 472\" for a bore, or give the groove its \
                 `diameter` and `width`",
            )),
        }
    }

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            RingStandard::Shaft => "DIN 471",
            RingStandard::Bore => "DIN 472",
        }
    }

    /// The groove for a shaft or bore of this diameter.
    ///
    /// The ground has h10 to 10 mm, h11 to 22 mm, h12 beyond on shafts, H11 to 22 mm and H12 beyond
    /// in bores; the width has H13.
    ///
    /// # Errors
    /// A diameter that the table does not have; says which are next to it.
    pub fn groove(self, nominal: Length) -> Result<RingGroove, Refusal> {
        let of = |hundredths: i64| Length::from_um(hundredths * 10);
        let table: &[(i64, i64, i64)] = if self == RingStandard::Shaft { &SHAFT } else { &BORE };
        let Some((_, ground, width)) = table.iter().find(|row| of(row.0) == nominal) else {
            return Err(self.missing(table, nominal));
        };
        let middle = nominal <= Length::from_mm(22);
        let class = match self {
            RingStandard::Shaft if nominal <= Length::from_mm(10) => "h10",
            RingStandard::Shaft if middle => "h11",
            RingStandard::Shaft => "h12",
            RingStandard::Bore if middle => "H11",
            RingStandard::Bore => "H12",
        };
        let deviations = |class, size| fit::Class::read(class)?.deviations(size);
        Ok(RingGroove {
            diameter: of(*ground),
            deviations: deviations(class, of(*ground))?,
            width: of(*width),
            width_deviations: deviations("H13", of(*width))?,
        })
    }

    fn missing(self, table: &[(i64, i64, i64)], nominal: Length) -> Refusal {
        let sizes = || table.iter().map(|row| Length::from_um(row.0 * 10));
        let below = sizes().rfind(|size| *size < nominal);
        let above = sizes().find(|size| *size > nominal);
        let shown = |size: Length| format!("{} mm", size.shortest(Units::Mm));
        let next = match (below, above) {
            (Some(below), Some(above)) => {
                format!("the next are {} and {}", shown(below), shown(above))
            }
            (Some(last), None) => format!("the largest here is {}", shown(last)),
            (None, Some(first)) => format!("the smallest is {}", shown(first)),
            (None, None) => String::new(),
        };
        let message = format!("{} has no ring for {}", self.name(), shown(nominal));
        Refusal::new(message, format!("{next}; or give the groove its `diameter` and `width`"))
    }
}
