//! The moves that a program makes, as text that a test can compare.

use crate::folder::Folder;
use model::files::{Control, Job};
use model::{Files, Length, Source, Units};
use nc::program::Library;
use prove::Setup;
use prove::event::{Moment, Motion, What};
use prove::lathe::Shown;
use prove::run::{Order, Run};

/// The control of the test shop alone, changed.
pub(crate) fn control(change: impl FnOnce(&mut Control)) -> Setup {
    let read = Control::read(&Folder::of_tests("shop").read("control.toml").unwrap());
    let mut control = read.value.unwrap();
    change(&mut control);
    Setup::bare(control)
}

/// The whole test shop, changed.
pub(crate) fn shop(change: impl FnOnce(&mut Setup)) -> Setup {
    let shop = Folder::of_tests("shop");
    let job = Job::read(&shop.read("pin.job.toml").unwrap(), &shop);
    let mut setup = Setup::of(&job.value.unwrap());
    change(&mut setup);
    setup
}

/// Every move of a program with the second at which it ended.
pub(crate) fn motions(setup: &Setup, program: &str) -> Vec<(Motion, f64)> {
    let library =
        Library::new(vec![nc::read::read_for(&Source::new("rows.nc", program), &setup.control)]);
    let mut motions = Vec::new();
    let mut tell = |moment: &Moment<'_>| {
        if let What::Move(motion) | What::Cut(motion) = moment.what {
            motions.push((motion, moment.after.now.s()));
        }
    };
    Run::new(&library, setup, Shown::default(), Order::Latest).finish(&mut tell);
    motions
}

/// The ends of all moves, `X Z` with X a diameter; `r` behind those at rapid.
pub(crate) fn ends(setup: &Setup, program: &str) -> Vec<String> {
    motions(setup, program)
        .into_iter()
        .map(|(motion, _)| {
            let rapid = if motion.rapid { " r" } else { "" };
            format!("{}{rapid}", place(motion.to.r * 2, motion.to.z))
        })
        .collect()
}

pub(crate) fn place(x: Length, z: Length) -> String {
    format!("{} {}", x.text(Units::Mm, 3), z.text(Units::Mm, 3))
}

/// What is found, and what is left unproven.
pub(crate) fn proof(setup: &Setup, program: &str) -> (Vec<&'static str>, Vec<String>) {
    let library =
        Library::new(vec![nc::read::read_for(&Source::new("rows.nc", program), &setup.control)]);
    let proof = prove::prove(&library, setup);
    let found = proof.findings.iter().map(|finding| finding.id).collect();
    (found, proof.unproven.into_iter().map(|unproven| unproven.what).collect())
}
