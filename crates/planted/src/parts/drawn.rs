//! A drawing from one number. Sizes are whole steps: hundredths of a millimeter, or four ten-thousandths
//! of an inch.

use crate::seed::Seed;

/// A part with the tools it asks for.
pub(super) struct Part {
    /// Size of the bar.
    pub bar: i64,
    /// Length of the part.
    pub length: i64,
    /// Its features as the file has them; `{}` where a size stands, in order of `sizes`.
    pub features: Vec<Feature>,
    /// Diameter of the drill, where there is a hole.
    pub drill: Option<i64>,
    /// Width of the grooving blade.
    pub blade: i64,
    /// Parts to an advance.
    pub parts: i64,
    /// Radius of the roughing nose.
    pub nose: i64,
    /// Depth of a layer.
    pub depth: i64,
    /// Stock for finishing.
    pub stock: i64,
}

/// One feature: words, and sizes by their key.
#[derive(Default)]
pub(super) struct Feature {
    pub words: Vec<(&'static str, String)>,
    pub sizes: Vec<(&'static str, i64)>,
}

impl Feature {
    fn of(kind: &str) -> Feature {
        Feature { words: vec![("kind", format!("\"{kind}\""))], sizes: Vec::new() }
    }

    fn size(mut self, key: &'static str, size: i64) -> Feature {
        self.sizes.push((key, size));
        self
    }

    fn word(mut self, key: &'static str, word: &str) -> Feature {
        self.words.push((key, word.to_owned()));
        self
    }
}

/// One stretch of the outside.
struct Stretch {
    from: i64,
    to: i64,
    start: i64,
    end: i64,
    level: bool,
}

impl Part {
    pub(super) fn invent(seed: &mut Seed) -> Part {
        let bar = seed.between(800, 4000) / 10 * 10;
        let mut part = Part {
            bar,
            length: 0,
            features: Vec::new(),
            drill: None,
            blade: seed.between(100, 250) / 10 * 10,
            parts: seed.one(&[1, 1, 1, 2]).unwrap_or(1),
            nose: seed.one(&[0, 20, 40, 80]).unwrap_or(40),
            depth: seed.between(50, 150),
            stock: seed.one(&[0, 20, 30]).unwrap_or(20),
        };
        let stretches = part.outside(seed);
        part.length = stretches.last().map_or(0, |last| last.to);
        part.grooves(seed, &stretches);
        part.thread(seed, &stretches);
        part.inside(seed, &stretches);
        part
    }

    fn outside(&mut self, seed: &mut Seed) -> Vec<Stretch> {
        let count = seed.between(1, 5);
        let (mut at, mut before) = (0, 0);
        let mut stretches: Vec<Stretch> = Vec::new();
        for index in 0..count {
            let length = seed.between(150, 1200);
            let to = at + length;
            let diameter = seed.between(self.bar / 3, self.bar - 40) / 2 * 2;
            let kind = if index == 0 { 0 } else { seed.between(0, 9) };
            let height = (diameter - before).abs() / 2;
            let (start, level) = match kind {
                8 if height > 20 => {
                    let taper = Feature::of("taper").size("diameter", diameter).size("to", to);
                    self.features.push(taper);
                    (before, false)
                }
                9 if height > 20 => {
                    // At least as large as half of the way from end to end.
                    let radius = (length + height) * seed.between(8, 20) / 10;
                    let mut arc = Feature::of("arc").size("diameter", diameter).size("to", to);
                    arc = arc.size("radius", radius);
                    if seed.once_in(2) {
                        arc = arc.word("hollow", "true");
                    }
                    self.features.push(arc);
                    (before, false)
                }
                _ => {
                    let room = if index == 0 { diameter / 2 } else { diameter / 2 - before / 2 };
                    let room = room.min(length / 2);
                    if room > 20 && seed.once_in(2) {
                        let size = seed.between(10, room.min(150));
                        let round = seed.once_in(3);
                        let (kind, key) =
                            if round { ("corner", "radius") } else { ("chamfer", "size") };
                        self.features.push(Feature::of(kind).size(key, size));
                    }
                    let mut one = Feature::of("diameter").size("diameter", diameter);
                    one = one.size("to", to);
                    if seed.once_in(3) {
                        one = one.size("upper", 0).size("lower", -seed.between(2, 10));
                    }
                    self.features.push(one);
                    (diameter, true)
                }
            };
            stretches.push(Stretch { from: at, to, start, end: diameter, level });
            (at, before) = (to, diameter);
        }
        if seed.once_in(3) && stretches.last().is_some_and(|last| last.level) {
            let last = stretches.last().map_or(0, |last| last.end / 2);
            let size = seed.between(10, 100).min(last / 3);
            let (kind, key) =
                if seed.once_in(3) { ("corner", "radius") } else { ("chamfer", "size") };
            self.features.push(Feature::of(kind).size(key, size).word("back", "true"));
        }
        stretches
    }

    fn grooves(&mut self, seed: &mut Seed, stretches: &[Stretch]) {
        for one in stretches.iter().filter(|one| one.level) {
            let length = one.to - one.from;
            if length < 500 || !seed.once_in(3) {
                continue;
            }
            let width = seed.between(self.blade, (length - 320).clamp(self.blade, 500));
            let to = one.from + width + seed.between(150, (length - width - 150).max(151));
            let deep = seed.between(20, one.end / 5);
            if to < one.to - 20 {
                let groove = Feature::of("groove").size("diameter", one.end - 2 * deep);
                self.features.push(groove.size("width", width).size("to", to));
            }
        }
    }

    fn thread(&mut self, seed: &mut Seed, stretches: &[Stretch]) {
        let Some(first) = stretches.first().filter(|first| first.level) else { return };
        let pitch = seed.one(&[50, 75, 100, 125, 150]).unwrap_or(100);
        let room = first.to - 5 * pitch;
        if room > 3 * pitch && seed.once_in(4) {
            let thread = Feature::of("thread").size("diameter", first.start).size("pitch", pitch);
            self.features.push(thread.size("to", room));
        }
    }

    fn inside(&mut self, seed: &mut Seed, stretches: &[Stretch]) {
        let narrow = stretches.iter().map(|one| one.start.min(one.end)).filter(|it| *it > 0).min();
        let most = narrow.unwrap_or(0) / 2;
        if most < 200 || !seed.once_in(2) {
            return;
        }
        let diameter = seed.between(150, most) / 10 * 10;
        let deep = seed.between(self.length / 4, self.length * 3 / 4).max(200);
        let bored = diameter >= 800 && seed.once_in(2);
        if !bored {
            self.drill = Some(diameter);
            self.features.push(Feature::of("hole").size("diameter", diameter).size("to", deep));
            return;
        }
        // The drill leaves something for the bar.
        self.drill = Some(diameter - 120);
        if seed.once_in(2) {
            let edge = Feature::of("chamfer").size("size", seed.between(10, 50));
            self.features.push(edge.word("inside", "true"));
        }
        self.features.push(Feature::of("bore").size("diameter", diameter).size("to", deep / 2));
        if seed.once_in(2) {
            let smaller = Feature::of("bore").size("diameter", diameter - seed.between(20, 80));
            self.features.push(smaller.size("to", deep));
        }
    }
}
