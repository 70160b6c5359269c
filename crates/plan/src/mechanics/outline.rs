//! The bar in front of the jaws, as the cuts leave it: a row of cylinders, solid or bored.

use calc::bending::Step;
use model::Length;

/// One cylinder, up to where it ends toward the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stretch {
    to: Length,
    diameter: Length,
    bore: Length,
}

/// A cylinder of the bar between two places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Met {
    /// Where it begins, on the side of the jaws.
    pub(super) near: Length,
    /// Where it ends toward the front.
    pub(super) far: Length,
    /// Its diameter.
    pub(super) diameter: Length,
    /// Its bore; zero where it is solid.
    pub(super) bore: Length,
}

/// The bar from the jaw face outward. Places are distances from the finished front face, positive
/// away from the chuck.
#[derive(Debug, Clone)]
pub(super) struct Outline {
    jaw_face: Length,
    stretches: Vec<Stretch>,
}

impl Outline {
    /// A bar of one diameter.
    pub(super) fn raw(jaw_face: Length, front: Length, diameter: Length) -> Outline {
        Outline { jaw_face, stretches: vec![Stretch { to: front, diameter, bore: Length::ZERO }] }
    }

    #[cfg(test)]
    fn front(&self) -> Length {
        self.stretches.last().map_or(self.jaw_face, |last| last.to)
    }

    /// Each cylinder with where it begins.
    fn spans(&self) -> impl Iterator<Item = (Length, Stretch)> {
        let begins = std::iter::once(self.jaw_face).chain(self.stretches.iter().map(|it| it.to));
        begins.zip(self.stretches.iter().copied())
    }

    /// The largest diameter between two places; zero where there is no bar.
    pub(super) fn largest(&self, one: Length, other: Length) -> Length {
        let (low, high) = (one.min(other), one.max(other));
        let inside = self.spans().filter(|(from, it)| *from < high && it.to > low);
        inside.map(|(_, it)| it.diameter).max().unwrap_or_default()
    }

    /// The cylinders between two places, from the jaws outward, no further than these.
    pub(super) fn between(&self, one: Length, other: Length) -> Vec<Met> {
        let (low, high) = (one.min(other), one.max(other));
        let inside = self.spans().filter(|(from, it)| *from < high && it.to > low);
        let met = |(from, it): (Length, Stretch)| Met {
            near: from.max(low),
            far: it.to.min(high),
            diameter: it.diameter,
            bore: it.bore,
        };
        inside.map(met).collect()
    }

    /// How far metal larger than this diameter reaches from a place toward the front, without a
    /// gap.
    pub(super) fn reaches(&self, z: Length, diameter: Length) -> Length {
        self.goes_on(z, |it| it.diameter > diameter)
    }

    /// How far metal stands inside of this diameter from a place toward the front, without a gap.
    pub(super) fn reaches_inside(&self, z: Length, diameter: Length) -> Length {
        self.goes_on(z, |it| it.bore < diameter)
    }

    fn goes_on(&self, z: Length, metal: impl Fn(&Stretch) -> bool) -> Length {
        let beyond = self.spans().filter(|(_, it)| it.to > z);
        let metal = beyond.take_while(|(_, it)| metal(it));
        metal.last().map_or(Length::ZERO, |(_, it)| it.to - z)
    }

    /// The smallest bore between two places; zero where some of it is solid or nothing is there.
    pub(super) fn smallest_bore(&self, one: Length, other: Length) -> Length {
        self.between(one, other).iter().map(|met| met.bore).min().unwrap_or_default()
    }

    /// Turns what lies between two places down to a diameter.
    pub(super) fn turn(&mut self, one: Length, other: Length, diameter: Length) {
        self.change(one, other, |it| Stretch { diameter: it.diameter.min(diameter), ..it });
    }

    /// Bores what lies between two places up to a diameter.
    pub(super) fn bore(&mut self, one: Length, other: Length, bore: Length) {
        self.change(one, other, |it| Stretch { bore: it.bore.max(bore), ..it });
    }

    fn change(&mut self, one: Length, other: Length, of: impl Fn(Stretch) -> Stretch) {
        let (low, high) = (one.min(other), one.max(other));
        let mut changed: Vec<Stretch> = Vec::with_capacity(self.stretches.len() + 2);
        for (from, it) in self.spans() {
            let (inner, outer) = (low.max(from).min(it.to), high.min(it.to).max(from));
            let pieces =
                [Stretch { to: inner, ..it }, Stretch { to: outer.max(inner), ..of(it) }, it];
            let mut begins = from;
            for piece in pieces {
                if piece.to > begins {
                    begins = piece.to;
                    changed.push(piece);
                }
            }
        }
        changed.dedup_by(|next, before| {
            let same = (next.diameter, next.bore) == (before.diameter, before.bore);
            if same {
                before.to = next.to;
            }
            same
        });
        self.stretches = changed;
    }

    /// Takes off all that stands in front of a place.
    pub(super) fn end(&mut self, z: Length) {
        let (jaw_face, z) = (self.jaw_face, z.max(self.jaw_face));
        self.stretches.retain_mut(|it| {
            it.to = it.to.min(z);
            true
        });
        let mut begins = jaw_face;
        self.stretches.retain(|it| {
            let keeps = it.to > begins;
            begins = begins.max(it.to);
            keeps
        });
    }

    /// The cylinders for bending, from the jaw face outward; none larger than `most`, so that a
    /// hexagon counts as its inscribed circle. What is bored away altogether is left out.
    pub(super) fn steps(&self, most: Length) -> Vec<Step> {
        let step = |(from, it): (Length, Stretch)| Step {
            length: it.to - from,
            diameter: it.diameter.min(most),
            bore: it.bore,
        };
        self.spans().map(step).filter(|step| step.bore < step.diameter).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn told(outline: &Outline) -> Vec<(Length, Length)> {
        outline.steps(mm(100)).iter().map(|step| (step.length, step.diameter)).collect()
    }

    #[test]
    fn a_bar_is_turned_faced_and_parted() {
        let mut bar = Outline::raw(mm(-40), mm(1), mm(12));
        assert_eq!(bar.reaches(mm(0), -mm(1)), mm(1));
        bar.end(mm(0));
        bar.turn(mm(0), mm(-20), mm(10));
        bar.turn(mm(5), mm(-8), mm(6));
        assert_eq!(told(&bar), [(mm(20), mm(12)), (mm(12), mm(10)), (mm(8), mm(6))]);
        // A larger diameter puts nothing back.
        bar.turn(mm(0), mm(-40), mm(11));
        assert_eq!(told(&bar), [(mm(20), mm(11)), (mm(12), mm(10)), (mm(8), mm(6))]);
        assert_eq!(bar.largest(mm(0), mm(-8)), mm(6));
        assert_eq!(bar.largest(mm(0), mm(-9)), mm(10));
        assert_eq!(bar.largest(mm(9), mm(3)), Length::ZERO);
        let met = |near, far, diameter| Met { near, far, diameter, bore: Length::ZERO };
        let between = bar.between(mm(3), mm(-9));
        assert_eq!(between, [met(mm(-9), mm(-8), mm(10)), met(mm(-8), mm(0), mm(6))]);
        assert_eq!(bar.reaches(mm(-20), mm(6)), mm(12));
        bar.end(mm(-30));
        assert_eq!(told(&bar), [(mm(10), mm(11))]);
        assert_eq!(bar.front(), mm(-30));
        bar.end(mm(-50));
        assert_eq!((told(&bar).len(), bar.front()), (0, mm(-40)));
    }

    #[test]
    fn a_bar_is_drilled_and_bored() {
        let mut bar = Outline::raw(mm(-40), mm(0), mm(20));
        bar.bore(mm(1), mm(-15), mm(8));
        bar.bore(mm(0), mm(-10), mm(12));
        let bores: Vec<_> =
            bar.steps(mm(100)).iter().map(|step| (step.length, step.diameter, step.bore)).collect();
        assert_eq!(
            bores,
            [(mm(25), mm(20), mm(0)), (mm(5), mm(20), mm(8)), (mm(10), mm(20), mm(12))]
        );
        // A smaller tool puts nothing back.
        bar.bore(mm(0), mm(-15), mm(5));
        assert_eq!(bar.smallest_bore(mm(0), mm(-12)), mm(8));
        assert_eq!(bar.smallest_bore(mm(0), mm(-20)), Length::ZERO);
        assert_eq!(bar.reaches_inside(mm(-15), mm(9)), mm(5));
        assert_eq!(bar.reaches_inside(mm(-10), mm(9)), Length::ZERO);
        // Turned down to its bore nothing is left.
        bar.turn(mm(0), mm(-10), mm(12));
        assert_eq!(bar.steps(mm(100)).len(), 2);
    }
}
