//! Whole journeys through the pages in a real browser.

mod access;

use super::browser::{Browser, TOOLS};
use super::rack::put;
use super::record::at_work;
use super::server::{JOB, Server};
use super::shop::{FROM, shop};
use super::sizes::{OF, WORN, gauged};
use serde_json::Value;
use std::fs;

const LENGTH: &str = "[id='job:bar.length']";
const ENTER: &str = "\u{e007}";
const ESCAPE: &str = "\u{e00c}";
const CONTROL: &str = "\u{e009}";
const TAB: &str = "\u{e004}";

fn at_job(server: &Server, browser: &Browser) {
    browser.go(&server.address(&format!("/job/{JOB}")));
    browser.until_says("#many", "30 parts from each bar");
}

#[test]
fn a_figure_is_tried_while_it_is_typed_saved_and_undone() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    let file = server.file("detent-pin.job.toml");
    let text = fs::read_to_string(&file).unwrap();
    at_job(&server, &browser);
    browser.type_over(LENGTH, "900");
    browser.until_says("#many", "27 parts from each bar");
    browser.until("the word trial", "return !document.querySelector('.trial-word').hidden");
    assert!(
        browser.text(".ruler figcaption").contains("gives 27 parts"),
        "the ruler says the same"
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), text, "nothing is saved yet");
    browser.keys(LENGTH, ESCAPE);
    browser.until_says("#many", "30 parts from each bar");
    browser.type_over(LENGTH, "9");
    browser.until_says(&format!("form:has({LENGTH}) .refused"), "cannot be 9 mm");
    browser.type_over(LENGTH, &format!("900{ENTER}"));
    let saved = format!("return document.querySelector(\"{LENGTH}\").dataset.saved === '900'");
    browser.until("saved", &saved);
    browser.until("no trial any more", "return document.querySelector('.trial-word').hidden");
    browser.until_says("#many", "27 parts from each bar");
    assert_eq!(fs::read_to_string(&file).unwrap(), text.replace("length = 1000 ", "length = 900 "));
    browser.click("#many-asked");
    browser.run("document.activeElement.blur()");
    browser.press(&[CONTROL, "z"]);
    browser.until_says("#many", "30 parts from each bar");
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
    browser.click("[data-turn=redo]");
    browser.until_says("#many", "27 parts from each bar");
}

#[test]
fn two_browsers_and_the_disk_see_each_others_changes() {
    let (server, one, other) = (Server::start(), Browser::open(1280, 900), Browser::open(420, 900));
    let file = server.file("detent-pin.job.toml");
    at_job(&server, &one);
    at_job(&server, &other);
    one.type_over(LENGTH, &format!("900{ENTER}"));
    other.until_says("#many", "27 parts from each bar");
    other.until(
        "the blank follows",
        &format!("return document.querySelector(\"{LENGTH}\").value === '900'"),
    );
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("length = 900 ", "length = 800 ")).unwrap();
    one.until_says("#many", "24 parts from each bar");
    other.until_says("#many", "24 parts from each bar");
    // One is typing what the disk changes under it: both values are shown, and a person decides.
    one.type_over(LENGTH, "700");
    one.until_says("#many", "21 parts from each bar");
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("length = 800 ", "length = 850 ")).unwrap();
    other.until_says("#many", "25 parts from each bar");
    one.keys(LENGTH, ENTER);
    let refused = format!("form:has({LENGTH}) .refused");
    one.until_says(&refused, "It says 850 now; you wrote 700.");
    assert!(
        fs::read_to_string(&file).unwrap().contains("length = 850 "),
        "nothing is written over it"
    );
    one.click(&format!("{refused} button:last-child"));
    one.until(
        "settled",
        &format!("return document.querySelector(\"{refused}\").textContent === ''"),
    );
    other.until_says("#many", "21 parts from each bar");
    assert!(fs::read_to_string(&file).unwrap().contains("length = 700 "));
}

#[test]
fn from_the_folder_to_a_new_job_to_its_program_by_keyboard_alone() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    browser.go(&server.address("/"));
    browser.until_says("h1", "Jobs in shop");
    let to = |selector: &str| {
        let here = format!("return document.activeElement.matches({selector:?})");
        for _ in 0..60 {
            if browser.run(&here) == Value::Bool(true) {
                return;
            }
            browser.press(&[TAB]);
        }
        panic!("{selector} is not reached by the keyboard");
    };
    to("#new-name");
    for key in ["b", "u", "s", "h", ENTER] {
        browser.press(&[key]);
    }
    browser.until_says("h1", "bush");
    browser.until_says("main h2", "The part");
    to(".ways a[href^='/job/']");
    browser.press(&[ENTER]);
    browser.until_says("#does-it", "Run for a whole bar");
    assert!(server.file("../bush/bush.job.toml").is_file());
    to(".ways a[href^='/program/']");
    browser.press(&[ENTER]);
    browser
        .until("the playback", "return document.querySelector('.viewer')?.dataset.ready === 'yes'");
    to("#section");
    let first = browser.text("#now");
    browser.press(&["\u{e014}"]);
    assert_ne!(browser.text("#now"), first, "the arrow goes a step on");
}

#[test]
fn a_cycle_is_played_scrubbed_stepped_and_led_to_from_the_bar() {
    let (server, browser) = (Server::start(), Browser::open(1280, 1000));
    at_job(&server, &browser);
    browser.run("document.querySelector('.ruler [data-part=\"7\"]').dispatchEvent(new MouseEvent('click', { bubbles: true }))");
    browser
        .until("the playback", "return document.querySelector('.viewer')?.dataset.ready === 'yes'");
    assert_eq!(browser.run("return document.querySelector('#cycle').value"), "7");
    let shown = || {
        browser.run("return document.querySelector('#section').toDataURL().length + document.querySelector('#section').toDataURL()")
    };
    // Every step can be drawn, at its beginning, inside and at its end.
    let drawn = browser.run(
        "const p = document.querySelector('.viewer').player; let n = 0; \
         for (let i = 0; i < p.steps.length; i++) for (const s of [0, 0.4, 1]) { p.section.draw(i, s); n++; } return n",
    );
    assert!(drawn.as_u64().unwrap() > 100, "{drawn}");
    browser.click("[data-do=on]");
    let (words, picture) = (browser.text("#now"), shown());
    browser.run("const s = document.querySelector('#scrub'); s.value = 500; s.dispatchEvent(new Event('input'))");
    assert!(browser.text("#now") != words && shown() != picture, "scrubbed");
    let picture = shown();
    browser.click("[data-do=nearer]");
    assert_ne!(shown(), picture, "nearer");
    browser.click("[data-do=whole]");
    // From a line of the text to its step.
    browser.run("document.querySelector('.lines-of li.plays').click()");
    assert!(
        browser
            .run("return document.querySelector('.lines-of li.here').classList.contains('plays')")
            == true
    );
    browser.run("document.querySelector('#pace').value = '16'");
    browser.click("[data-do=play]");
    browser
        .until("the end of the cycle", "return document.querySelector('#scrub').value === '1000'");
    browser.prefers("light", "reduce");
    browser.click("[data-do=back]");
    browser.click("[data-do=play]");
    assert_eq!(
        browser.run("return document.querySelector('[data-do=play]').getAttribute('aria-pressed')"),
        "false",
        "no motion where less is asked for: a step"
    );
}

#[test]
fn a_dropped_drawing_becomes_a_job_after_its_questions_are_answered() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    browser.go(&server.address("/"));
    let drawing =
        fs::read_to_string(crate::expect::root("crates/outline/tests/drawings/r12-lines.dxf"))
            .unwrap();
    browser.run(&format!(
        "const data = new DataTransfer(); data.items.add(new File([{}], 'flanged <pin>.dxf')); \
         dispatchEvent(new DragEvent('drop', {{ dataTransfer: data, cancelable: true }}))",
        serde_json::json!(drawing)
    ));
    browser.until("the text", "return document.querySelector('#drawing-text').value.length > 100");
    browser.type_over("#new-name", &format!("flanged{ENTER}"));
    browser.until_says(".answer", "does not say its units");
    browser.click(".jobs li:first-child button");
    browser.until_says(".answer", "may stand on any of several layers");
    browser.click(".jobs li:first-child button");
    browser.until_says(".answer", "can be read in more than one way");
    browser.click(".jobs li:first-child button");
    browser.until_says("h1", "flanged");
    let text = fs::read_to_string(server.file("../flanged/flanged.job.toml")).unwrap();
    assert!(text.contains("read from flanged <pin>.dxf"), "{text}");
    let mut outline = assert_cmd::Command::cargo_bin("barwright").unwrap();
    let path = crate::expect::root("crates/outline/tests/drawings/r12-lines.dxf");
    outline
        .arg("outline")
        .arg(path)
        .args(["--units", "mm", "--layer", "OUTLINE", "--front", "left"]);
    let said = String::from_utf8(outline.output().unwrap().stdout).unwrap();
    let (_, part) = said.split_once("[part]").expect("the part");
    assert!(text.contains(part.trim()), "the part is that of the command line: {part}");
}

#[test]
fn a_dropped_program_is_proven() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    browser.go(&server.address(&format!("/program/{JOB}")));
    browser
        .until("the script", "return document.querySelector('.viewer')?.dataset.ready === 'yes'");
    browser.run(
        "const data = new DataTransfer(); \
         data.items.add(new File(['O1\\nT0101\\nG96 S100 M3\\nM11\\nG0 X10. Z2.\\nM30\\n'], 'old.nc')); \
         dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }))",
    );
    browser.until_says(".answer", "Your program makes no part");
    browser.until_says("#L0-4 .found", "chuck opens while turning");
}

/// A shop with a price list, a log, gauged sizes and a rack, and the addresses of its pages.
fn with_log() -> (Server, Vec<String>) {
    let server = Server::start();
    fs::copy(crate::expect::root("demo/week-48/shop.toml"), server.file("shop.toml")).unwrap();
    server.set_up();
    gauged(&server, &WORN);
    put(&server);
    let of_job = ["job", "loading", "price", "given/shop"].map(|way| format!("/{way}/{JOB}"));
    let of_shop = ["/sizes", "/rack?heat=A+7712", "/rack/labels", "/lathe/Lathe%201"];
    let of_shop = of_shop.map(str::to_owned).into_iter().chain([format!("/sizes?{OF}")]);
    let all = of_job.into_iter().chain(of_shop).map(|path| server.address(&path)).collect();
    (server, all)
}

#[test]
fn nothing_on_any_page_is_inaccessible_to_axe() {
    let (server, browser) = (shop(), Browser::open(1280, 900));
    let axe = fs::read_to_string(TOOLS.join("node_modules/axe-core/axe.min.js")).unwrap();
    let (_logged, more) = with_log();
    let lathes = at_work();
    let job = [
        format!("/job/{JOB}"),
        format!("/part/{JOB}?at=1&kind=groove"),
        format!("/program/{JOB}"),
        format!("/given/job/{JOB}"),
        format!("/given/lathe/{JOB}"),
        format!("/given/gripper/{JOB}"),
        format!("/given/tools/{JOB}"),
        format!("/given/control/{JOB}"),
        format!("/shop?from={FROM}"),
        format!("/visits?from={FROM}&one_more=late"),
    ];
    let alone = ["/", "/tour", "/finding/bar-swings-out"].map(str::to_owned);
    let at_lathes = ["/lathe", "/lathe/Lathe%201", "/lathe/Lathe%202"];
    let known = alone.iter().chain(&job).map(|path| server.address(path));
    let known = known.chain(at_lathes.map(|path| lathes.address(path)));
    for path in known.chain(more) {
        for scheme in ["light", "dark"] {
            browser.prefers(scheme, "reduce");
            browser.go(&path);
            browser.until("what is looked for", "return !document.querySelector('.looks')");
            browser.run("for (const d of document.querySelectorAll('details')) d.open = true");
            browser.run(&format!("{axe}; return true"));
            let found = browser.run_until_done(
                "axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }) \
                 .then((r) => done({ checked: r.passes.length, found: r.violations.map((v) => v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(' | ')) }))",
            );
            assert!(found["checked"].as_u64().unwrap() > 15, "{path}: {found}");
            assert_eq!(found["found"], serde_json::json!([]), "{path} {scheme}");
        }
    }
}

#[test]
fn no_page_scrolls_sideways_and_every_target_is_large_enough() {
    let server = shop();
    let (_logged, more) = with_log();
    let lathes = at_work();
    for width in [360, 820, 1280, 2560] {
        let browser = Browser::open(width, 900);
        let known = [
            "/".to_owned(),
            format!("/job/{JOB}"),
            format!("/part/{JOB}?at=1&kind=groove"),
            format!("/program/{JOB}"),
            format!("/given/lathe/{JOB}"),
            "/lathe".to_owned(),
            "/lathe/Lathe%201".to_owned(),
            "/lathe/Lathe%202".to_owned(),
            format!("/shop?from={FROM}"),
            format!("/visits?from={FROM}&one_more=late"),
        ];
        let known = known.map(|path| {
            if path.starts_with("/lathe") { lathes.address(&path) } else { server.address(&path) }
        });
        for path in known.iter().chain(&more) {
            browser.go(path);
            browser.until("what is looked for", "return !document.querySelector('.looks')");
            // Once its looks are there: before that any page is as wide as its longest line.
            browser.until(
                &format!("{path} to be no wider than {width}"),
                "return document.readyState === 'complete' && document.documentElement.scrollWidth <= innerWidth",
            );
            // WCAG 2.2, 2.5.8: 24 by 24 CSS pixels; links inside sentences and hidden things aside.
            let small = browser.run(
                "return [...document.querySelectorAll('button, input, select, textarea, summary, .ways a')].filter((e) => e.checkVisibility() && e.type !== 'hidden') \
                 .filter((e) => { const b = e.getBoundingClientRect(); return b.height < 24 || b.width < 24; }).map((e) => e.outerHTML.slice(0, 120))",
            );
            assert_eq!(small, serde_json::json!([]), "{path} at {width}");
        }
    }
}

#[test]
fn the_first_way_leads_through_the_pages_step_by_step() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    browser.go(&server.address("/"));
    browser.click("a[href='/tour']");
    browser.click("[data-tour=begin]");
    browser.until_says(".tour h2", "1 of 7");
    browser.until_says("h1", "Detent pin");
    for step in 2..=7 {
        browser.until("the way on", "return [...document.querySelectorAll('.tour button')].some((b) => b.textContent === 'Next')");
        browser.run("[...document.querySelectorAll('.tour button')].find((b) => b.textContent === 'Next').click()");
        browser.until_says(".tour h2", &format!("{step} of 7"));
    }
    browser.until_says("h2", "What");
    browser.run("[...document.querySelectorAll('.tour button')].find((b) => b.textContent === 'Done').click()");
    browser.go(&server.address(&format!("/job/{JOB}")));
    browser.until_says("#many", "30 parts from each bar");
    assert_eq!(browser.run("return !!document.querySelector('.tour')"), Value::Bool(false));
}
