//! Any text is run, by a control alone and by the test shop's job: no panic. One that comes to its end
//! within a thousand steps is proven too, with every stop tried, and that must end.
#![no_main]

use model::files::Control;
use model::files::job::Job;
use model::{Files, Source};
use nc::program::Library;
use prove::lathe::Shown;
use prove::run::{Order, Run};
use prove::{Setup, prove};
use std::sync::LazyLock;

/// Most steps of a program that is proven, which takes some hundred times as many; the prover's own
/// bounds let one text run for seconds.
const MOST_STEPS: usize = 1000;

struct Shop;

impl Files for Shop {
    fn read(&self, path: &str) -> Result<Source, String> {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../crates/prove/tests/shop/");
        std::fs::read(format!("{folder}{path}"))
            .map(|bytes| Source::new(path, bytes))
            .map_err(|error| error.to_string())
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        Err(format!("the test shop uses no shipped file, not {path}"))
    }
}

static SETUPS: LazyLock<[Setup; 2]> = LazyLock::new(|| {
    let control = include_str!("../../data/controls/system-a-least-increment.toml");
    let control = Control::read(&Source::new("control.toml", control)).value;
    let job = Shop.read("pin.job.toml").map(|source| Job::read(&source, &Shop).value);
    [
        Setup::bare(control.expect("the control reads")),
        Setup::of(&job.ok().flatten().expect("the shop reads")),
    ]
});

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let library = Library::new(vec![nc::read::read(&Source::new("any.nc", bytes))]);
    for setup in SETUPS.iter() {
        let mut run = Run::new(&library, setup, Shown::default(), Order::Earliest);
        let ends = (0..MOST_STEPS).any(|_| run.go_on(&mut |_| {}).is_break());
        if !ends {
            continue;
        }
        let proof = prove(&library, setup);
        for finding in &proof.findings {
            assert!(finding.place.span.end as usize <= bytes.len());
        }
    }
});
