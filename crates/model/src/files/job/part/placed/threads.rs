//! Threads and knurls lie on a cylinder that fits them.

use super::super::{Feature, Part};
use super::On;
use crate::Length;
use crate::standards::thread::ThreadForm;

impl On<'_, '_> {
    /// A thread lies on one stretch, of a diameter that it can be cut from.
    pub(super) fn thread(&self, part: &Part, index: usize) {
        let feature = &part.features[index];
        if feature.to <= feature.from {
            let message = "this thread ends before it begins";
            return self.say(index, "to", message, "count `from` and `to` from the front face");
        }
        let Some(thread) = feature.thread() else { return };
        let inside = feature.inside;
        let (place, near) = ((feature.from, feature.to), (thread.nominal, thread.depth * 3));
        let Some(under) = self.stretches.carrying(inside, place, near) else {
            return self.beyond(index, "thread", inside, place);
        };
        let cut = under.ends.0 + (under.deviations.0 + under.deviations.1).half();
        if !under.plain {
            // A taper may carry an odd thread; a thread by its designation is straight.
            if feature.form.is_some() {
                let message =
                    format!("{} is straight, but it lies on a taper or an arc", thread.name);
                self.say(index, "thread", message, "put it on a cylinder");
            }
            return;
        }
        let key = if feature.form.is_some() { "thread" } else { "diameter" };
        if inside {
            self.hole_fits(index, key, &thread, cut);
        } else {
            self.cylinder_fits(index, key, &thread, cut);
        }
        self.keeps_a_wall(index, key, feature, &thread);
    }

    /// A thread leaves metal behind its ground.
    fn keeps_a_wall(&self, index: usize, key: &str, feature: &Feature, thread: &ThreadForm) {
        let (from, to) = (feature.from, feature.to);
        let (ground, other, thin) = if feature.inside {
            let outer = self.stretches.least_outside(from, to).unwrap_or_default();
            (thread.nominal, outer, thread.nominal >= outer)
        } else {
            let ground = thread.nominal - thread.depth * 2;
            let inner = self.stretches.most_inside(from, to);
            (ground, inner, ground <= inner)
        };
        if thin {
            let message = format!(
                "this thread leaves no wall: its ground is at {}, and the {} measures {} there",
                self.shown(ground),
                if feature.inside { "outside" } else { "bore" },
                self.shown(other)
            );
            self.say(index, key, message, "mend one of both diameters");
        }
    }

    /// Says that a thread or knurl does not lie on one stretch.
    fn beyond(&self, index: usize, word: &str, inside: bool, (from, to): (Length, Length)) {
        let almost = from + Length::from_nm(1);
        let begun = self.stretches.covering(inside, from, almost);
        match begun {
            Some(begun) => {
                let message = format!(
                    "this {word} ends at {}, behind its {}, which ends at {}",
                    self.shown(to),
                    if inside { "bore" } else { "cylinder" },
                    self.shown(begun.to)
                );
                let help = format!("write at most {}", self.shown(begun.to));
                self.say(index, "to", message, help);
            }
            None if inside => {
                let message = format!("this {word} inside has no bore or hole where it begins");
                let help = "add the bore or hole that it is cut in, through to its end";
                self.say(index, "inside", message, help);
            }
            None => {
                let message = format!("this {word} begins outside the part");
                self.say(index, "from", message, "count `from` from the front face");
            }
        }
    }

    /// An outside thread is cut from its nominal diameter, or a little less.
    fn cylinder_fits(&self, index: usize, key: &str, thread: &ThreadForm, cut: Length) {
        let off = thread.pitch.half().half();
        if (cut - thread.nominal).abs() <= off {
            return;
        }
        let message = format!(
            "the thread has a nominal diameter of {}, but the cylinder it lies on measures {}",
            self.shown(thread.nominal),
            self.shown(cut)
        );
        self.say(index, key, message, "mend the diameter of one of both");
    }

    /// An inside thread is cut into a hole between the limits of its minor diameter.
    fn hole_fits(&self, index: usize, key: &str, thread: &ThreadForm, cut: Length) {
        let round = Length::from_um(50);
        let (least, most) = match thread.limits {
            Some(limits) => (limits.minor.least, limits.minor.most),
            // Odd threads say no limits: half of the groove's depth either way.
            None => {
                let small = thread.nominal - thread.depth * 2;
                (small - thread.depth.half() - round, small + thread.depth)
            }
        };
        if (least..=most).contains(&cut) {
            return;
        }
        let name = if thread.name.is_empty() { "this thread" } else { &thread.name };
        let message = format!(
            "the bore for {name} measures {}, but must lie between {} and {}",
            self.shown(cut),
            self.shown(least),
            self.shown(most)
        );
        let help = match thread.tap_drill {
            Some(drill) => format!("mend the bore; the usual drill is {}", self.shown(drill)),
            None => "mend the bore, or the thread".to_owned(),
        };
        self.say(index, key, message, help);
    }

    /// A knurl lies on one cylinder and gets its diameter.
    pub(super) fn knurl(&self, part: &mut Part, index: usize) {
        let feature = &part.features[index];
        if feature.to <= feature.from {
            let message = "this knurl ends before it begins";
            return self.say(index, "to", message, "count `from` and `to` from the front face");
        }
        let (from, to) = (feature.from, feature.to);
        let Some(under) = self.stretches.covering(false, from, to) else {
            return self.beyond(index, "knurl", false, (from, to));
        };
        if !under.plain {
            let message =
                "this knurl lies on a taper or an arc: DIN 82 has knurls on cylinders only";
            return self.say(index, "knurl", message, "put it on a cylinder");
        }
        let feature = &mut part.features[index];
        feature.diameter = under.ends.0;
        let before = feature.before_knurling().unwrap_or_default();
        let inner = self.stretches.most_inside(from, to);
        if before <= inner {
            let message = format!(
                "before this knurl {} are to be turned, which leaves no wall",
                self.shown(before)
            );
            self.say(index, "knurl", message, "take a finer knurl or a larger cylinder");
        }
    }
}
