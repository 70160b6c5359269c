//! The drawing as stretches: from where to where, at which radius, with which limits.

use calc::tolerance;
use model::Length;
use model::files::job::{Bar, Feature, FeatureKind, Part};
use model::standards::thread::ThreadLimits;
use model::standards::undercut::Undercut;

/// A limit beyond which the drawing says nothing here.
pub(crate) const FAR: i64 = 1_000_000;

/// The front or rear edge of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Edge {
    Sharp,
    /// At 45°, by this leg.
    Chamfer(i64),
    Round(i64),
}

/// How a stretch runs between its two radii.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Run {
    Straight,
    /// By this radius, bulging out or hollow.
    Arc {
        radius: i64,
        hollow: bool,
    },
}

/// One stretch of the outside or of a hole, in nanometers; distances count from the front face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    pub feature: usize,
    pub from: i64,
    pub to: i64,
    /// Nominal radius at both ends.
    pub radii: (i64, i64),
    pub run: Run,
    /// Largest and smallest deviation of the radius.
    pub deviations: (i64, i64),
    /// How far both ends may lie off along the axis.
    pub ends: (i64, i64),
    pub edge: Edge,
    /// How much larger or smaller its edge may be.
    pub edge_tolerance: i64,
    /// Its rear edge, and how much larger or smaller that may be.
    pub rear: (Edge, i64),
    /// Whether it bounds a hole, so that its edge opens outward.
    pub inside: bool,
}

/// A thread of the drawing, in nanometers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Thread {
    pub feature: usize,
    pub from: i64,
    pub to: i64,
    /// Half of its nominal diameter.
    pub radius: i64,
    pub pitch: i64,
    /// Depth of its groove; none for that of the 60° profile.
    pub depth: Option<i64>,
    /// The limits of its diameters, where its designation says them.
    pub limits: Option<ThreadLimits>,
    pub inside: bool,
}

/// An undercut of the drawing: its corner, and its sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Relief {
    /// Distance of the shoulder's face from the front face, and how far it may lie off.
    pub face: (i64, i64),
    /// Nominal radius of the cylinder it is in, and its deviations.
    pub radius: i64,
    pub deviations: (i64, i64),
    pub sizes: Undercut,
    /// Whether it lies behind the face.
    pub back: bool,
    pub inside: bool,
}

/// A groove whose width has limits of its own, in nanometers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Width {
    pub feature: usize,
    pub from: i64,
    pub to: i64,
    /// Halfway between its ground and the cylinder it is in.
    pub radius: i64,
    /// Least and most width.
    pub limits: (i64, i64),
}

/// The stretches of a drawing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Profile {
    pub outside: Vec<Stretch>,
    /// Grooves: each takes away from the outside.
    pub grooves: Vec<Stretch>,
    /// Grooves inside: each adds to what is hollow.
    pub grooves_inside: Vec<Stretch>,
    /// Grooves in the front face: the outer wall and the inner one, each as a stretch.
    pub grooves_in_face: Vec<[Stretch; 2]>,
    pub reliefs: Vec<Relief>,
    /// Grooves whose width has limits.
    pub widths: Vec<Width>,
    /// Knurls, as the diameter that is turned before.
    pub knurls: Vec<Stretch>,
    /// The bore from the front face back.
    pub bore: Vec<Stretch>,
    /// Drilled holes, each a cylinder and its point.
    pub holes: Vec<[Stretch; 2]>,
    pub threads: Vec<Thread>,
    /// Length, and how far it may be off either way: longer, shorter.
    pub length: i64,
    pub length_off: (i64, i64),
}

/// The deviation either way that class m of ISO 2768-1 has for a size.
pub(crate) fn general(size: i64) -> i64 {
    let size = Length::from_nm(size.max(1));
    tolerance::linear_medium(size).map_or(0, Length::nm)
}

fn general_edge(size: i64) -> i64 {
    let allowed = tolerance::edge_medium(Length::from_nm(size)).map_or(0, Length::nm);
    allowed.min(size)
}

/// Deviations of the radius: half of the drawing's, or of the general tolerance where it has none.
fn deviations(feature: &Feature) -> (i64, i64) {
    let (upper, lower) = feature.deviations;
    if upper == Length::ZERO && lower == Length::ZERO {
        let size = feature.diameter.max(feature.start.unwrap_or_default());
        let half = general(size.nm()) / 2;
        return (half, -half);
    }
    (upper.half().nm(), lower.half().nm())
}

/// How much longer and shorter a part may be.
pub(crate) fn length_deviations(part: &Part) -> (Length, Length) {
    if part.length_deviations == (Length::ZERO, Length::ZERO) {
        let off = Length::from_nm(general(part.length.nm()));
        return (off, -off);
    }
    part.length_deviations
}

/// Where one side of the drawing has come to.
struct Side {
    at: i64,
    radius: i64,
    edge: (Edge, i64),
}

impl Side {
    const START: Side = Side { at: 0, radius: 0, edge: (Edge::Sharp, 0) };

    fn goes_on(&mut self, index: usize, feature: &Feature, round: bool) -> Stretch {
        let end = feature.diameter.half().nm();
        let start = match (feature.start, feature.kind) {
            (Some(start), _) => start.half().nm(),
            (None, FeatureKind::Taper | FeatureKind::Arc) => self.radius,
            (None, _) => end,
        };
        let run = match feature.kind {
            FeatureKind::Arc if round => {
                Run::Arc { radius: feature.radius.nm(), hollow: feature.hollow }
            }
            _ => Run::Straight,
        };
        let (edge, edge_tolerance) = std::mem::replace(&mut self.edge, Side::START.edge);
        let (from, to) = (self.at, feature.to.nm());
        let ends = (if from == 0 { general(to) } else { general(from) }, general(to));
        (self.at, self.radius) = (to, end);
        Stretch {
            feature: index,
            from,
            to,
            radii: (start, end),
            run,
            deviations: deviations(feature),
            ends,
            edge,
            edge_tolerance,
            rear: Side::START.edge,
            inside: feature.inside || feature.kind == FeatureKind::Bore,
        }
    }
}

/// The edge that a chamfer or corner makes, and how much larger or smaller it may be.
fn edge(feature: &Feature) -> (Edge, i64) {
    if feature.kind == FeatureKind::Corner {
        let radius = feature.radius.nm();
        return (Edge::Round(radius), general_edge(radius));
    }
    let leg = feature.size.nm();
    (Edge::Chamfer(leg), general_edge(leg))
}

impl Profile {
    pub(crate) fn of(part: &Part, bar: &Bar) -> Profile {
        let (longer, shorter) = length_deviations(part);
        let mut profile = Profile {
            length: part.length.nm(),
            length_off: (longer.nm(), shorter.nm()),
            ..Profile::default()
        };
        let (mut outside, mut bore) = (Side::START, Side::START);
        for (index, feature) in part.features.iter().enumerate().filter(|(_, it)| !it.later) {
            let inside = feature.inside || feature.kind == FeatureKind::Bore;
            let side = if inside { &mut bore } else { &mut outside };
            match feature.kind {
                FeatureKind::Chamfer | FeatureKind::Corner if feature.back => {
                    let list = if inside { &mut profile.bore } else { &mut profile.outside };
                    if let Some(last) = list.last_mut() {
                        last.rear = edge(feature);
                    }
                }
                FeatureKind::Chamfer | FeatureKind::Corner => side.edge = edge(feature),
                FeatureKind::Diameter
                | FeatureKind::Taper
                | FeatureKind::Arc
                | FeatureKind::Bore => {
                    let stretch = side.goes_on(index, feature, true);
                    if inside { &mut profile.bore } else { &mut profile.outside }.push(stretch);
                }
                FeatureKind::Groove if feature.face => {
                    profile.grooves_in_face.push(face_groove(index, feature));
                }
                FeatureKind::Groove if feature.inside => {
                    profile.grooves_inside.push(groove(index, feature));
                }
                FeatureKind::Groove => profile.grooves.push(groove(index, feature)),
                FeatureKind::Hole => profile.holes.push(hole(index, feature, part.length.nm())),
                FeatureKind::Thread => profile.threads.push(Thread {
                    feature: index,
                    from: feature.from.nm(),
                    to: feature.to.nm(),
                    radius: feature.diameter.half().nm(),
                    pitch: feature.pitch.nm(),
                    depth: feature.depth.map(Length::nm),
                    limits: feature.form.as_ref().and_then(|form| form.limits),
                    inside: feature.inside,
                }),
                FeatureKind::Knurl => profile.knurls.extend(knurl(index, feature)),
                FeatureKind::Undercut => {}
            }
        }
        profile.has_reliefs(part);
        profile.has_widths(part);
        profile.keeps_corners(bar);
        profile
    }

    /// The grooves outside and inside whose width has limits.
    fn has_widths(&mut self, part: &Part) {
        let limited = |it: &Feature| it.width_deviations != (Length::ZERO, Length::ZERO);
        for groove in self.grooves.iter().chain(&self.grooves_inside) {
            let feature = &part.features[groove.feature];
            let side = if groove.inside { &self.bore } else { &self.outside };
            let under = side.iter().find(|it| it.from <= groove.from && groove.to <= it.to);
            let Some(under) = under.filter(|_| limited(feature)) else { continue };
            let (wider, narrower) = feature.width_deviations;
            self.widths.push(Width {
                feature: groove.feature,
                from: groove.from,
                to: groove.to,
                radius: groove.radii.0.midpoint(under.radii.0.midpoint(under.radii.1)),
                limits: ((feature.width + narrower).nm(), (feature.width + wider).nm()),
            });
        }
    }

    /// The undercuts, each with the limits of the cylinder that it is in.
    fn has_reliefs(&mut self, part: &Part) {
        for feature in part.features.iter().filter(|it| !it.later) {
            let Some(sizes) = feature.undercut().copied() else { continue };
            let (face, radius) = (feature.to.nm(), feature.diameter.half().nm());
            let side = if feature.inside { &self.bore } else { &self.outside };
            let ends_here = |it: &&Stretch| if feature.back { it.from } else { it.to } == face;
            let deviations = side.iter().find(ends_here).map_or((0, 0), |it| it.deviations);
            let (back, inside) = (feature.back, feature.inside);
            let face = (face, general(face));
            self.reliefs.push(Relief { face, radius, deviations, sizes, back, inside });
        }
    }

    /// What is as large as a bar with flats keeps its corners: they stand out farther than its size.
    fn keeps_corners(&mut self, bar: &Bar) {
        let (flat, corner) = (bar.size.half().nm(), bar.reach().nm());
        for stretch in &mut self.outside {
            if stretch.radii.0.max(stretch.radii.1) >= flat {
                stretch.deviations.0 += corner - flat;
            }
        }
    }

    /// The same without any tolerance, but for what an undercut's own sizes may be.
    pub(crate) fn exact(mut self) -> Profile {
        let pairs = self.holes.iter_mut().chain(&mut self.grooves_in_face).flatten();
        let grooves = self.grooves.iter_mut().chain(&mut self.grooves_inside);
        let all = self.outside.iter_mut().chain(&mut self.bore).chain(grooves).chain(pairs);
        for stretch in all {
            (stretch.deviations, stretch.ends) = ((0, 0), (0, 0));
            (stretch.edge_tolerance, stretch.rear.1) = (0, 0);
        }
        for relief in &mut self.reliefs {
            (relief.face.1, relief.deviations) = (0, (0, 0));
        }
        self.length_off = (0, 0);
        self
    }

    /// Every stretch.
    pub(crate) fn all(&self) -> impl Iterator<Item = &Stretch> {
        let holes = self.holes.iter().chain(&self.grooves_in_face).flatten();
        let grooves = self.grooves.iter().chain(&self.grooves_inside);
        self.outside.iter().chain(grooves).chain(&self.bore).chain(holes)
    }
}

fn plain(index: usize, feature: &Feature) -> Stretch {
    let (to, radius) = (feature.to.nm(), feature.diameter.half().nm());
    Stretch {
        feature: index,
        from: 0,
        to,
        radii: (radius, radius),
        run: Run::Straight,
        deviations: deviations(feature),
        ends: (0, general(to)),
        edge: Edge::Sharp,
        edge_tolerance: 0,
        rear: Side::START.edge,
        inside: feature.inside || feature.kind == FeatureKind::Hole,
    }
}

/// What is turned before a knurl.
fn knurl(index: usize, feature: &Feature) -> Option<Stretch> {
    let before = feature.before_knurling()?.half().nm();
    let (from, half) = (feature.from.nm(), general(before * 2) / 2);
    let ends = (general(from), general(feature.to.nm()));
    let radii = (before, before);
    Some(Stretch { from, ends, radii, deviations: (half, -half), ..plain(index, feature) })
}

/// The outer and the inner wall of a groove in the face.
fn face_groove(index: usize, feature: &Feature) -> [Stretch; 2] {
    let outer = Stretch { inside: true, ..plain(index, feature) };
    let wall = outer.radii.0 - feature.width.nm();
    let half = general(feature.width.nm());
    let deviations = (half - outer.deviations.1, -half - outer.deviations.0);
    [outer, Stretch { radii: (wall, wall), deviations, inside: false, ..outer }]
}

fn groove(index: usize, feature: &Feature) -> Stretch {
    let from = feature.to.nm() - feature.width.nm();
    // Both of its ends move with the place; a width with limits of its own is judged beside it.
    Stretch { from, ends: (general(from), general(feature.to.nm())), ..plain(index, feature) }
}

/// The cylinder of a drilled hole, and the cone that its point leaves: behind the part where the hole
/// goes through.
fn hole(index: usize, feature: &Feature, length: i64) -> [Stretch; 2] {
    let mut cylinder = plain(index, feature);
    if cylinder.to >= length {
        (cylinder.to, cylinder.ends.1) = (length + FAR, 0);
    }
    let half_angle = (feature.point_angle / 2.0).to_radians();
    let deep = (cylinder.radii.0 as f64 / libm::tan(half_angle)).max(1.0) as i64;
    let ends = (cylinder.ends.1, cylinder.ends.1);
    let point = Stretch {
        from: cylinder.to,
        to: cylinder.to + deep,
        radii: (cylinder.radii.0, 0),
        ends,
        ..cylinder
    };
    [cylinder, point]
}
