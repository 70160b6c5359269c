//! Any text is run on the virtual lathe, by a control alone and by the test shop's job, in both
//! orders of reading ahead, with every check watching: no panic, and every place told lies in the
//! text. Runs are cut off after so many steps; what a whole proof adds, `prove`'s own tests try.
#![no_main]

use model::files::Control;
use model::files::job::Job;
use model::{Files, Source};
use nc::program::Library;
use prove::lathe::Shown;
use prove::report::Report;
use prove::run::{Order, Run};
use prove::{Setup, checks};
use std::sync::LazyLock;

/// Steps of control and lathe together, and moments told, after which a run is cut off.
const MOST: u32 = 4000;

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
    for setup in SETUPS.iter() {
        let source = Source::new("any.nc", bytes);
        let library = Library::new(vec![nc::read::read_for(&source, &setup.control)]);
        for order in [Order::Latest, Order::Earliest] {
            let mut report = Report::new(vec![source.clone()]);
            let mut run = Run::new(&library, setup, Shown::default(), order);
            let mut moments = 0;
            for _ in 0..MOST {
                if moments > MOST {
                    break;
                }
                if run
                    .go_on(&mut |moment| {
                        moments += 1;
                        if moments <= MOST {
                            checks::watch(moment, &mut report);
                        }
                    })
                    .is_break()
                {
                    break;
                }
            }
            for finding in report.finish().0 {
                assert!(
                    finding.place.span.end as usize <= bytes.len()
                        || finding.place.source.name() != "any.nc"
                );
            }
        }
    }
});
