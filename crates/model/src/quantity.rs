//! Typed physical quantities. Each holds one binary float in the unit its accessor names, so that
//! a feed per revolution cannot be taken for a feed rate, nor rev/min for rad/s.
//!
//! What these types do not catch: a quantity computed with a wrong formula, a diameter where a
//! radius is wanted (both are [`crate::Length`]), and ranges, which each formula states itself.

use std::fmt;

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident: $from:ident, $unit:ident, $symbol:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a figure in ", $symbol, ".")]
            pub const fn $from(value: f64) -> $name {
                $name(value)
            }

            #[doc = concat!("The figure in ", $symbol, ".")]
            pub const fn $unit(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let decimals = f.precision().unwrap_or(3);
                write!(f, "{:.decimals$} {}", self.0, $symbol)
            }
        }
    )*};
}

quantities! {
    /// A span of time.
    Seconds: from_s, s, "s";
    /// Rotation of the spindle.
    SpindleSpeed: from_rpm, rpm, "rev/min";
    /// Speed of the cut surface past the edge.
    SurfaceSpeed: from_m_per_min, m_per_min, "m/min";
    /// Advance of the tool in one revolution of the spindle.
    FeedPerRev: from_mm, mm, "mm/rev";
    /// Advance of the tool in a minute.
    FeedRate: from_mm_per_min, mm_per_min, "mm/min";
    /// Change of speed of an axis.
    Acceleration: from_m_per_s2, m_per_s2, "m/s²";
    /// A section through a bar, or any face.
    Area: from_mm2, mm2, "mm²";
    /// Room that something takes.
    Volume: from_mm3, mm3, "mm³";
    /// How much matter there is.
    Mass: from_kg, kg, "kg";
    /// Mass of a length of bar.
    MassPerLength: from_kg_per_m, kg_per_m, "kg/m";
    /// Mass of a volume.
    Density: from_kg_per_m3, kg_per_m3, "kg/m³";
    /// A push or pull.
    Force: from_n, n, "N";
    /// A turning effort.
    Torque: from_nm, nm, "N·m";
    /// Work in a time.
    Power: from_w, w, "W";
    /// Cutting force on each square millimeter of chip; also the work that each cubic millimeter
    /// takes: 1 N/mm² is 1/1000 J/mm³.
    SpecificForce: from_n_per_mm2, n_per_mm2, "N/mm²";
    /// Stiffness of a material in tension.
    Modulus: from_gpa, gpa, "GPa";
    /// Volume that is cut in a time.
    RemovalRate: from_cm3_per_min, cm3_per_min, "cm³/min";
    /// Height of the marks that the tool leaves, Rt or Ra as its name says.
    Roughness: from_um, um, "µm";
    /// An angle.
    Angle: from_deg, deg, "°";
    /// Mass of all jaws, each times the radius of its center of gravity.
    MassRadius: from_kg_m, kg_m, "kg·m";
    /// Resistance to a change of rotation.
    Inertia: from_kg_m2, kg_m2, "kg·m²";
    /// How far something springs away.
    Deflection: from_um, um, "µm";
    /// How far a seat gives way sideways under a force.
    RadialCompliance: from_um_per_kn, um_per_kn, "µm/kN";
    /// How far a seat tilts under a moment.
    TiltCompliance: from_urad_per_nm, urad_per_nm, "µrad/(N·m)";
    /// A chance from 0 to 1.
    Probability: from_ratio, ratio, "of 1";
    /// How a section resists bending, about an axis through its middle.
    SecondMoment: from_mm4, mm4, "mm⁴";
    /// Force for each length that a support gives way.
    Stiffness: from_n_per_mm, n_per_mm, "N/mm";
    /// Turning effort for each angle that a support tilts.
    TiltStiffness: from_nm_per_rad, nm_per_rad, "N·m/rad";
    /// Force for each length that a bed gives way, for each length of bed.
    BedStiffness: from_n_per_mm2, n_per_mm2, "N/mm²";
    /// Force on an area inside a body.
    Stress: from_mpa, mpa, "MPa";
}

impl std::ops::Add for Seconds {
    type Output = Seconds;
    fn add(self, other: Seconds) -> Seconds {
        Seconds(self.0 + other.0)
    }
}

impl std::ops::AddAssign for Seconds {
    fn add_assign(&mut self, other: Seconds) {
        self.0 += other.0;
    }
}

impl std::ops::Sub for Seconds {
    type Output = Seconds;
    fn sub(self, other: Seconds) -> Seconds {
        Seconds(self.0 - other.0)
    }
}

impl std::ops::Mul<f64> for Seconds {
    type Output = Seconds;
    fn mul(self, factor: f64) -> Seconds {
        Seconds(self.0 * factor)
    }
}

impl std::iter::Sum for Seconds {
    fn sum<I: Iterator<Item = Seconds>>(spans: I) -> Seconds {
        spans.fold(Seconds(0.0), std::ops::Add::add)
    }
}
