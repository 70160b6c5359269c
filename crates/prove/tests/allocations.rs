//! In the steady state of a run no block asks for memory: what a cycle needs is there after the
//! first ones. Counted by a general-purpose heap profiler, `dhat`.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a test reads its shop from disk and fails by panic"
)]

#[path = "it/folder.rs"]
mod folder;

use folder::Folder;
use model::files::job::Job;
use model::{Files, Length, Source};
use nc::program::Library;
use prove::Setup;
use prove::lathe::Shown;
use prove::run::{Order, Run};

#[global_allocator]
static HEAP: dhat::Alloc = dhat::Alloc;

const PARTS: u32 = 300;

/// One part with its advance: moves, terms, a call, corner words and the nose offset in each.
fn program() -> String {
    format!(
        "O1\nG21 G99\nG50 S2500\n#500=0\nN1 T0101\nG96 S150 M3\nG0 X20. Z0.\nG1 X-0.8 F0.1\n\
         #1=14\nWHILE[#1GT12]DO1\nG0 X#1 Z1.\nG1 Z-20.5 F0.2\nG0 X17. Z1.\n#1=#1-.5\nEND1\n\
         M98 P2\nG0 X120. Z60.\nT0303\nG0 X20. Z-22.5\nG1 X-0.6 F0.05\nG0 X120. Z60.\nM5\nG4 X2.\n\
         #500=#500+1\nIF[#500GE{PARTS}]GOTO9\nT0707\nG0 X40. Z-32.\nG98 G1 X0. F800\nM11\nG4 X1.\n\
         G1 W23. F1500\nM10\nG4 X1.\nG1 X40. F1000\nG0 X120. Z60.\nG99\nGOTO1\nN9 M30\n\
         O2\nG0 X10. Z4.\nG42 G1 X10. Z2. F.1\nG1 Z-10. ,R1.\nX15.\nZ-20.\nG40 G0 X20. Z5.\n\
         G83 X0 Z-3. R-3. Q1000\nG80\nM99\n"
    )
}

#[test]
fn a_block_in_the_steady_state_asks_for_no_memory() {
    let shop = Folder::of_tests("shop");
    let job = Job::read(&shop.read("pin.job.toml").unwrap(), &shop).value.unwrap();
    let mut setup = Setup::of(&job);
    let station = &mut setup.tools.as_mut().unwrap().stations[0];
    station.nose_radius = Length::from_um(400);
    if let (Some(bar), Some(part)) = (setup.bar.as_mut(), setup.part.as_mut()) {
        bar.length = part.pitch() * i64::from(PARTS) + Length::from_mm(100);
    }
    let library = Library::new(vec![nc::read::read(&Source::new("pin.nc", program()))]);
    let _profiler = dhat::Profiler::builder().testing().build();
    let mut run = Run::new(&library, &setup, Shown::default(), Order::Earliest);
    let asked_at = |parts: u32, run: &mut Run<'_>| {
        while run.lathe.state.parts < parts && run.go_on(&mut |_| {}).is_continue() {}
        assert_eq!(run.lathe.state.parts, parts);
        dhat::HeapStats::get().total_blocks
    };
    // What the run remembers of itself (the first steps of the count, circles) grows by ever
    // rarer doublings; nothing grows with each block, of which there are over fifty a part.
    let before = asked_at(100, &mut run);
    let after = asked_at(250, &mut run);
    assert!(after - before <= 16, "{} times in 150 parts", after - before);
}
