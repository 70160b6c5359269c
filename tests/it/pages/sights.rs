//! Pictures of every page, for a person to look at, and how fast a page is:
//! `cargo test --test it sights -- --ignored --nocapture`.

use super::browser::Browser;
use super::rack::put;
use super::record::at_work;
use super::server::{JOB, Server, address_beyond};
use super::shop::{FROM, once_there};
use super::sizes::{OF, WORN, gauged};
use std::fs;
use std::path::Path;

const SIZES: [(&str, u32, u32); 4] =
    [("phone", 390, 844), ("tablet", 834, 1112), ("desktop", 1366, 900), ("wall", 1920, 1080)];

/// Those that stand in `docs/pages/`; `UPDATE_EXPECT=1` writes them anew.
const IN_DOCS: [(&str, &str); 3] = [("phone", "light"), ("tablet", "dark"), ("desktop", "light")];

/// The shop of the demo beside the job.
pub(super) fn five_lathes() -> Server {
    let server = Server::start();
    let folder = server.file("..");
    let copy = |from: &str, to: &str| {
        fs::create_dir_all(folder.join(to)).unwrap();
        for entry in fs::read_dir(crate::expect::root(from)).unwrap().flatten() {
            if entry.path().is_file() {
                fs::copy(entry.path(), folder.join(to).join(entry.file_name())).unwrap();
            }
        }
    };
    copy("demo/gallery/mm", "gallery/mm");
    copy("demo/gallery/inch", "gallery/inch");
    copy("demo/five-lathes", "five-lathes");
    server
}

/// A server with devices that were let in, and a code that is good while it runs: pictures of it show a secret of a
/// server that has ended when anyone sees them.
fn with_devices() -> Server {
    let server = match address_beyond() {
        Some(ip) => Server::start_with(&["--address", &ip, "--plain"]),
        None => Server::start(),
    };
    for (role, name) in [
        ("change", "Office"),
        ("look", "Screen over the door"),
        ("record", "Tablet between lathe 2 and lathe 3, by the saw"),
    ] {
        server.let_in(role, name);
    }
    server.code("record");
    server
}

/// Every page with its name: those of a job with its log, of a shop, of lathes at work, of devices.
pub(super) struct Sights {
    servers: [Server; 4],
}

impl Sights {
    pub(super) fn start() -> Sights {
        let (server, shop) = (Server::start(), five_lathes());
        fs::copy(crate::expect::root("demo/week-48/shop.toml"), server.file("shop.toml")).unwrap();
        server.set_up();
        gauged(&server, &WORN);
        put(&server);
        // Timetables take their time while other tests run.
        for page in ["/shop", "/visits"] {
            once_there(&shop, &format!("{page}?from={FROM}&one_more=day"));
        }
        Sights { servers: [server, shop, at_work(), with_devices()] }
    }

    pub(super) fn pages(&self) -> Vec<(&'static str, String)> {
        let [server, shop, lathes, devices] = &self.servers;
        let of_job = |way: &str| server.address(&format!("/{way}/{JOB}"));
        vec![
            ("folder", server.address("/")),
            ("job", of_job("job")),
            ("loading", of_job("loading")),
            ("part", of_job("part") + "?at=1&kind=groove"),
            ("program", of_job("program")),
            ("tools", of_job("given/tools")),
            ("price", of_job("price")),
            ("sizes", server.address(&format!("/sizes?{OF}"))),
            ("rack", server.address("/rack?heat=A+7712")),
            ("labels", server.address("/rack/labels")),
            ("tour", server.address("/tour")),
            ("finding", server.address("/finding/bar-swings-out")),
            ("shop", shop.address(&format!("/shop?from={FROM}"))),
            ("visits", shop.address(&format!("/visits?from={FROM}&one_more=day"))),
            ("lathe", lathes.address("/lathe/Lathe%201")),
            ("lathes", lathes.address("/lathe")),
            ("new-lathe", lathes.address("/lathe/Lathe%202")),
            ("devices", devices.address("/devices")),
            ("pair", devices.address("/pair")),
        ]
    }
}

/// Opens a page and waits until all of it is there; a cycle is shown in its middle.
pub(super) fn see(browser: &Browser, name: &str, address: &str) {
    browser.go(address);
    if name == "program" {
        browser.until(
            "the playback",
            "return document.querySelector('.viewer')?.dataset.ready === 'yes'",
        );
        browser.run("document.querySelector('.viewer').player.seek(document.querySelector('.viewer').player.begin + 22)");
    }
    browser.until("what is looked for", "return !document.querySelector('.looks')");
}

/// The folder for what a person is to look at.
fn sights_folder() -> std::path::PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sights");
    fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
#[ignore = "makes pictures for a person"]
fn every_page_in_every_size_by_day_and_night() {
    let (folder, docs) = (sights_folder(), crate::expect::root("docs/pages"));
    fs::create_dir_all(&docs).unwrap();
    let sights = Sights::start();
    for (size, width, height) in SIZES {
        let browser = Browser::open(width, height);
        for scheme in ["light", "dark"] {
            browser.prefers(scheme, "reduce");
            for (name, address) in &sights.pages() {
                browser.is_as_large_as(width, height);
                see(&browser, name, address);
                if size == "wall" {
                    browser.fills_the_screen(width, height);
                }
                let most = if size == "wall" { height } else { 2600 };
                let picture = browser.picture(width, height, most);
                fs::write(folder.join(format!("{name}-{size}-{scheme}.png")), picture).unwrap();
                if IN_DOCS.contains(&(size, scheme)) && crate::expect::updating() {
                    let file = docs.join(format!("{name}-{size}.webp"));
                    fs::write(file, browser.small_picture(width, height * 3 / 2)).unwrap();
                }
            }
        }
    }
    println!("pictures are in {}", folder.display());
}

/// Pages as they come out of a printer, by night too, when paper must be as white.
#[test]
#[ignore = "makes pictures for a person"]
fn what_one_prints() {
    let (folder, sights, browser) = (sights_folder(), Sights::start(), Browser::open(1280, 900));
    for scheme in ["light", "dark"] {
        browser.prefers(scheme, "no-preference");
        for (name, address) in &sights.pages() {
            see(&browser, name, address);
            fs::write(folder.join(format!("{name}-print-{scheme}.pdf")), browser.printed())
                .unwrap();
        }
    }
    println!("papers are in {}", folder.display());
}

/// From the start of the program to the first page.
#[test]
#[ignore = "measures for a person"]
fn how_soon_the_first_page_is_there() {
    let mut server = Server::start();
    for path in ["/".to_owned(), format!("/job/{JOB}")] {
        let mut times: Vec<f64> = (0..20)
            .map(|_| {
                server.stop();
                let begin = std::time::Instant::now();
                server.again();
                assert_eq!(server.get(&path).code, 200);
                begin.elapsed().as_secs_f64() * 1000.0
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!("start to {path}, ms: half {:.1}, worst of 20 {:.1}", times[10], times[19]);
    }
}

/// From a key press to every answer updated, and frames of the playback. Figures only: how fast a machine is
/// no test can ask.
#[test]
#[ignore = "measures for a person"]
fn how_fast_a_page_is() {
    let (server, browser) = (Server::start(), Browser::open(1366, 900));
    browser.go(&server.address(&format!("/job/{JOB}")));
    browser.until_says("#many", "30 parts");
    for (how, pause) in
        [("at once after the last answer", 0), ("100 ms after the last answer", 100)]
    {
        println!("{how}:");
        figures_typed(&browser, pause);
    }
    browser.go(&server.address(&format!("/program/{JOB}")));
    browser
        .until("the playback", "return document.querySelector('.viewer')?.dataset.ready === 'yes'");
    let frames = browser.run_until_done(
        "const p = document.querySelector('.viewer').player; document.querySelector('#pace').value = '4'; p.seek(p.begin); \
         const marks = []; let spent = 0; const draw = p.section.draw.bind(p.section); \
         p.section.draw = (...a) => { const b = performance.now(); draw(...a); spent += performance.now() - b; marks.push(b); }; \
         p.play(true); setTimeout(() => { p.play(false); done({ frames: marks.length, spent: spent / marks.length, seconds: (marks.at(-1) - marks[0]) / 1000 }); }, 6000)",
    );
    println!("playback at four times the pace: {frames}");
}

/// Types 200 bar lengths, so many milliseconds after the answer to the one before, and says how long all answers took.
fn figures_typed(browser: &Browser, pause: u32) {
    let script = "const entry = document.getElementById('job:bar.length'); entry.focus(); const times = []; \
         performance.setResourceTimingBufferSize(1000); performance.clearResourceTimings(); \
         const settle = (want) => new Promise((ready) => { const many = document.querySelector('#many'); const look = () => { if (many.textContent.includes(want)) { seen.disconnect(); ready(); } }; const seen = new MutationObserver(look); seen.observe(many, { childList: true, subtree: true }); look(); }); \
         const parts = (l) => Math.floor((l - 1.5 - 2 - 43 - 30) / 31) + 1; \
         (async () => { for (let i = 0; i < 200; i++) { const l = 400 + (i * 37) % 600; await new Promise((on) => { setTimeout(on, PAUSE); }); const before = performance.now(); entry.value = l; entry.dispatchEvent(new InputEvent('input', { bubbles: true })); \
         await settle(`${parts(l)} parts from each`); times.push(performance.now() - before); } \
         const asked = performance.getEntriesByType('resource').filter((one) => one.name.includes('/change/')); \
         done({ whole: times, server: asked.map((one) => one.responseStart - one.requestStart), \
         bytes: asked.map((one) => one.encodedBodySize) }); })()";
    let times = browser.run_until_done(&script.replace("PAUSE", &pause.to_string()));
    for (what, name, unit) in [
        ("whole", "key press to all answers", "ms"),
        ("server", "of it until the server answers", "ms"),
        ("bytes", "what it answers", "bytes"),
    ] {
        let figures = times[what].as_array().unwrap().iter();
        let mut figures: Vec<f64> = figures.filter_map(serde_json::Value::as_f64).collect();
        figures.sort_by(f64::total_cmp);
        assert_eq!(figures.len(), 200, "{what}");
        let [half, most, worst] = [100, 198, 199].map(|at: usize| figures[at]);
        println!("{name}, {unit}: half {half:.1}, 99 of 100 {most:.1}, worst {worst:.1}");
    }
}
