//! How the loads are reckoned: the cut at its few telling places, then each limit at each of them.

use super::{Feeding, Lack, Load, Setting, StationCut, Turning};
use crate::cut::{Cut, Edge, Outcome};
use crate::cutting::drive;
use crate::held::{HeldCut, HeldPart, Holder, Margins};
use crate::holding::friction::WorkMetal;
use crate::life::Life;
use crate::spread::Spread;
use core::f64::consts::PI;
use model::Length;
use model::files::keys::Choice as _;
use model::files::lathe::Drive;
use model::files::tools::{EdgeMaterial, ToolKind};
use model::quantity::{Angle, Force, Power, SpindleSpeed, SurfaceSpeed, Torque};

/// One place of a cut: the diameter there, and what the cut asks at it.
struct Place {
    diameter: Length,
    spindle: SpindleSpeed,
    outcome: Outcome,
}

/// The telling places of a cut, the largest diameter first.
pub(super) struct Places {
    first: Place,
    others: Vec<Place>,
}

impl Places {
    fn all(&self) -> impl Iterator<Item = &Place> {
        std::iter::once(&self.first).chain(&self.others)
    }

    pub(super) fn power(&self, setting: &Setting<'_>) -> Result<Load<Power>, Lack> {
        let drive = drive_of(setting)?;
        let highest = setting.lathe.spindle.max_speed;
        let loads = self.all().map(|place| {
            let given = drive::power_at(drive, place.spindle, highest);
            let given = given.map_err(|_| beyond(place.spindle, highest))?;
            Ok(Load { asked: place.outcome.power, given })
        });
        worst(loads, |load| load.asked.high.w() / load.given.w())
    }

    pub(super) fn torque(&self, setting: &Setting<'_>) -> Result<Load<Torque>, Lack> {
        let drive = drive_of(setting)?;
        let highest = setting.lathe.spindle.max_speed;
        let loads = self.all().map(|place| {
            let given = drive::torque_at(drive, place.spindle, highest);
            let given = given.map_err(|_| beyond(place.spindle, highest))?;
            Ok(Load { asked: place.outcome.torque, given })
        });
        worst(loads, |load| load.asked.high.nm() / load.given.nm())
    }

    pub(super) fn into_first(self) -> Outcome {
        self.first.outcome
    }
}

impl StationCut<'_> {
    /// The cut at its telling places.
    pub(super) fn reckoned(&self, setting: &Setting<'_>) -> Result<Places, Lack> {
        let edge = self.edge()?;
        let at = |from: Length, to: Length| -> Result<Place, Lack> {
            let (speed, clamp) = match self.turning {
                Turning::Surface(speed, clamp) => (speed, clamp),
                Turning::Spindle(speed) => (SurfaceSpeed::from_m_per_min(f64::INFINITY), speed),
            };
            let cut = Cut {
                from,
                to,
                feed: self.feed,
                speed,
                clamp,
                edge,
                rake: None,
                made_of: self.station.edge_material,
                wear: self.wear,
                material: setting.material,
            };
            let outcome = cut.outcome()?;
            Ok(Place { diameter: from.max(to), spindle: outcome.spindle, outcome })
        };
        match self.feeding {
            Feeding::Along { from, to, .. } | Feeding::Thread { from, to, .. } => {
                Ok(Places { first: at(from, to)?, others: Vec::new() })
            }
            Feeding::Across { from, to, .. } => {
                let (outer, inner) = (from.max(to), from.min(to).max(Length::ZERO));
                // How deep a blade has gone changes nothing of its chip; it only may not be zero.
                let place = |outer: Length| at(outer, outer - Length::from_nm(outer.nm() / 2));
                let first = place(outer)?;
                let least = inner.max(Length::from_nm(outer.nm() / 100));
                let mut others = Vec::new();
                if let Turning::Surface(speed, clamp) = self.turning {
                    let at = Length::nearest_mm(1000.0 * speed.m_per_min() / (PI * clamp.rpm()));
                    if at > least && at < outer {
                        others.push(place(at)?);
                    }
                }
                if least < outer {
                    others.push(place(least)?);
                }
                Ok(Places { first, others })
            }
        }
    }

    fn edge(&self) -> Result<Edge, Lack> {
        let station = self.station;
        let lacks = |key, what: &str| {
            Lack::of(
                key,
                format!(
                    "the tools file does not say {what} of station {}, {} (`{key}`)",
                    station.number, station.name
                ),
            )
        };
        let angle = || {
            let angle = station.edge_angle.map(Angle::from_deg);
            angle.ok_or_else(|| lacks("edge_angle", "the edge angle"))
        };
        let nose = station.nose_radius;
        match (station.kind, self.feeding) {
            (ToolKind::Turning, Feeding::Along { .. }) => {
                Ok(Edge::Nose { edge: angle()?, nose, inside: false })
            }
            (ToolKind::Boring, Feeding::Along { .. }) => {
                Ok(Edge::Nose { edge: angle()?, nose, inside: true })
            }
            (ToolKind::Turning | ToolKind::Boring, Feeding::Across { depth, .. }) => {
                // Fed across the axis the other edge of the corner cuts; both enclose the corner.
                let insert = station.insert.and_then(|insert| insert.shape.corner());
                let corner = insert.ok_or_else(|| lacks("insert", "the insert's corner"))?;
                let across = Angle::from_deg(angle()?.deg() + corner - 90.0);
                Ok(Edge::Face { edge: across, nose, depth })
            }
            // The tip is as wide as its nose is round, to a tenth.
            (ToolKind::Threading, Feeding::Thread { blank, .. }) => {
                Ok(Edge::Thread { blank, flat: nose, angle: Angle::from_deg(60.0) })
            }
            (ToolKind::Parting | ToolKind::Grooving, Feeding::Across { .. }) => {
                let width = station.width;
                Ok(Edge::Blade { width: width.ok_or_else(|| lacks("width", "the width"))? })
            }
            // A blade fed sideways cuts with its flank, square to the feed.
            (ToolKind::Parting | ToolKind::Grooving, Feeding::Along { from, to, .. }) => {
                Ok(Edge::Nose { edge: Angle::from_deg(90.0), nose, inside: from < to })
            }
            (ToolKind::Drill, Feeding::Along { .. }) => {
                Ok(Edge::Drill { point: Angle::from_deg(station.point_angle) })
            }
            (kind, _) => Err(Lack::of(
                "kind",
                format!(
                    "no force is computed for a {} tool fed this way (station {}, {})",
                    kind.word(),
                    station.number,
                    station.name
                ),
            )),
        }
    }

    pub(super) fn held(&self, setting: &Setting<'_>, places: &Places) -> Result<Margins, Lack> {
        let holder = holder(setting)?;
        let part = self.part(setting, &holder)?;
        let first = part.margins(&self.held_cut(&places.first))?;
        places.others.iter().try_fold(first, |worst, place| {
            Ok(worst.or_worse(part.margins(&self.held_cut(place))?))
        })
    }

    pub(super) fn shortest(
        &self,
        setting: &Setting<'_>,
        places: &Places,
    ) -> Result<Option<Length>, Lack> {
        let holder = holder(setting)?;
        let part = self.part(setting, &holder)?;
        let mut longest = Some(Length::ZERO);
        for place in places.all() {
            let here = part.shortest_grip(&self.held_cut(place))?;
            longest = longest.zip(here).map(|(one, other)| one.max(other));
        }
        Ok(longest)
    }

    fn part<'p>(&'p self, setting: &Setting<'_>, holder: &'p Holder) -> Result<HeldPart<'p>, Lack> {
        let material = setting.material;
        let stiffness = material.stiffness.as_ref().ok_or_else(|| {
            let name = &material.name;
            Lack::of("stiffness", format!("the material file of {name} has no table `[stiffness]`"))
        })?;
        Ok(HeldPart {
            holder,
            steps: self.steps,
            modulus: stiffness.modulus,
            diameter: setting.bar,
            gripped: self.gripped,
        })
    }

    /// The cut at one place as the chuck feels it.
    fn held_cut(&self, place: &Place) -> HeldCut {
        let outcome = &place.outcome;
        let nothing = Spread::exact(Force::default());
        let (diameter, toward_chuck) = match self.feeding {
            // What the tool leaves: a drill and a bore leave the larger diameter.
            Feeding::Along { to, toward_chuck, .. } | Feeding::Thread { to, toward_chuck, .. } => {
                (to, toward_chuck)
            }
            Feeding::Across { .. } => (place.diameter, true),
        };
        let drills = self.station.kind == ToolKind::Drill;
        // The force acts between the diameters before and after; its torque is counted with the
        // larger of them, the lever of the overturning moment with what the tool leaves.
        let lever = (place.diameter - diameter).m() / 2.0;
        let beyond = outcome.force.map(|force| Torque::from_nm(force.n() * lever));
        HeldCut {
            from: self.place.0,
            to: self.place.1,
            diameter,
            cutting: if drills { nothing } else { outcome.force },
            passive: outcome.radial,
            feed: outcome.axial,
            toward_chuck,
            torque: if drills { outcome.torque } else { beyond },
            speed: place.spindle,
            allowed: self.allowed,
        }
    }

    pub(super) fn life(&self, setting: &Setting<'_>, places: &Places) -> Result<Life, Lack> {
        if let Some(life) = places.first.outcome.life {
            return Ok(life);
        }
        let (station, material) = (self.station, &setting.material.name);
        Err(match station.edge_material {
            _ if matches!(station.kind, ToolKind::Drill | ToolKind::Threading) => Lack::of(
                "edge_life",
                format!(
                    "figures of life are of turning, and station {} does not turn (give its `edge_life`)",
                    station.number
                ),
            ),
            None => Lack::of(
                "edge_material",
                format!(
                    "the tools file does not say what the edge of station {} is made of (`edge_material`)",
                    station.number
                ),
            ),
            Some(EdgeMaterial::Carbide) => Lack::of(
                "carbide",
                format!("the material file of {material} has no table `[carbide]`"),
            ),
            Some(EdgeMaterial::HighSpeedSteel) => {
                Lack::of("hss", format!("the material file of {material} has no table `[hss]`"))
            }
        })
    }
}

fn drive_of<'j>(setting: &Setting<'j>) -> Result<&'j Drive, Lack> {
    let drive = setting.lathe.spindle.drive.as_ref();
    drive.ok_or_else(|| Lack::of("spindle.drive", "the lathe file has no table `[spindle.drive]`"))
}

fn beyond(speed: SpindleSpeed, highest: SpindleSpeed) -> Lack {
    let (speed, highest) = (speed.rpm(), highest.rpm());
    Lack::figures(format!("{speed:.0} rev/min is beyond the spindle's highest speed, {highest:.0}"))
}

fn holder(setting: &Setting<'_>) -> Result<Holder, Lack> {
    let grip = setting.lathe.grip.as_ref();
    let grip = grip.ok_or_else(|| Lack::of("grip", "the lathe file has no table `[grip]`"))?;
    let metal = WorkMetal::of(setting.material.group);
    Ok(Holder::of(grip, &setting.lathe.chuck, setting.surface, metal)?)
}

/// The load that uses most of what there is.
fn worst<T>(
    loads: impl Iterator<Item = Result<Load<T>, Lack>>,
    used: impl Fn(&Load<T>) -> f64,
) -> Result<Load<T>, Lack> {
    let mut found: Option<Load<T>> = None;
    for load in loads {
        let load = load?;
        if found.as_ref().is_none_or(|worst| used(&load) > used(worst)) {
            found = Some(load);
        }
    }
    found.ok_or_else(|| Lack::figures("the cut has no place"))
}
