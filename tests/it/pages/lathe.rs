//! Journeys at a lathe: on a phone, with a network that comes and goes.

use super::browser::Browser;
use super::server::{JOB, Server};
use serde_json::{Value, json};

const AT: &str = "/lathe/Lathe%201";

fn open(server: &Server, browser: &Browser) {
    browser.go(&server.address(AT));
    browser.until("the script", "return document.querySelector('#keeps').dataset.ready === 'yes'");
}

/// A tap in the middle of the screen, where nothing lies above it.
fn press(browser: &Browser, selector: &str) {
    let middle = format!(
        "document.querySelector({}).scrollIntoView({{ block: 'center' }})",
        json!(selector)
    );
    browser.run(&middle);
    browser.click(selector);
}

/// Opens a sentence of the page and fills in its blanks.
fn fill(browser: &Browser, event: &str, blanks: &[(&str, &str)]) {
    press(browser, &format!("#tell-{event} > summary"));
    for (key, value) in blanks {
        browser.type_over(&format!("#{event}-{key}"), value);
    }
}

fn record(browser: &Browser, event: &str) {
    press(browser, &format!("#tell-{event} .record"));
}

fn says(browser: &Browser, piece: &str, words: &str) {
    browser.until_says(&format!("[data-piece={piece}]"), words);
}

/// How much of the bar is off, as who does not see it is told.
fn made(browser: &Browser, words: &str) {
    let says = format!(
        "return document.querySelector('.used')?.getAttribute('aria-label').includes('{words}') ?? false"
    );
    browser.until(words, &says);
}

/// A tap, whatever is put in anew meanwhile.
fn tap(browser: &Browser, selector: &str) {
    browser.run(&format!("document.querySelector({}).click()", json!(selector)));
}

fn kinds(server: &Server) -> Vec<String> {
    let all = server.log(&["list", "--last", "1000"]);
    all.as_array().unwrap().iter().map(|one| one["event"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn from_the_set_up_to_the_next_visit() {
    let (server, browser) = (Server::start(), Browser::open(390, 844));
    browser.go(&server.address("/lathe"));
    press(&browser, "main button");
    browser.until_says("h1", "At which lathe?");
    browser.type_over("#another", "Lathe 1\u{e007}");
    browser.until_says("h1", "Lathe 1");
    browser.until("the script", "return document.querySelector('#keeps').dataset.ready === 'yes'");
    says(&browser, "now", "no job recorded");
    browser.run(&format!(
        "document.querySelector('#set-up-plan').value = '{JOB}'; \
         document.querySelector('#set-up-program').value = 'detent-pin/expected/O2080.nc'"
    ));
    browser.type_over("#set-up-quantity", "400");
    record(&browser, "set-up");
    says(&browser, "next", "The order is complete in 400 parts");
    fill(&browser, "bar-loaded", &[("heat", "A 7712"), ("length", "1000")]);
    record(&browser, "bar-loaded");
    says(&browser, "now", "A 7712");
    press(&browser, ".at-once button");
    says(&browser, "now", "Runs since");
    says(&browser, "next", "The bar ends in 30 parts, about");
    fill(&browser, "parts-made", &[("parts", "12")]);
    record(&browser, "parts-made");
    made(&browser, "12 of 30 parts");
    // It stops in the middle of the advance, and is reset.
    fill(&browser, "stopped", &[("block", "93")]);
    press(&browser, "#tell-stopped button[value=alarm]");
    says(&browser, "now", "Stands since");
    says(&browser, "after", "A start from the top:");
    let after = browser.text("[data-piece=after]");
    let told = server.log(&["after", "Lathe 1"]);
    let advice = told["stop"]["advice"].as_str().unwrap();
    // As the command says it, with the count of the log.
    assert!(after.contains(advice.split(" The count").next().unwrap()), "{after}: {advice}");
    assert_eq!(told["stop"]["chuck_open"], after.contains("ly the gripper"), "{after}: {told}");
    press(&browser, "#tell-size-measured > summary");
    browser.type_over("#size-1-reading", "7.98");
    press(&browser, "#tell-size-measured form.gauged .record");
    says(&browser, "last", "feature 1 of part 12: 7.980 mm");
    fill(&browser, "size-measured", &[]);
    let thread = json!("thread");
    browser.run(&format!("document.querySelector('#size-other-feature').value = {thread}"));
    press(&browser, "#tell-size-measured button[value=bad]");
    says(&browser, "last", "feature thread of part 12: bad");
    press(&browser, ".at-once button");
    says(&browser, "next", "about");
    assert_eq!(
        kinds(&server),
        [
            "set-up",
            "order-opened",
            "bar-loaded",
            "started",
            "parts-made",
            "stopped",
            "size-measured",
            "size-measured",
            "started"
        ]
    );
    // What was tapped by mistake is taken back, and stays in the log.
    press(&browser, ".entries li:nth-child(1) button");
    says(&browser, "now", "Stands since");
    browser.until(
        "struck out",
        "return document.querySelector('.entries li').className === 'taken-back'",
    );
    press(&browser, ".entries li:nth-child(1) button");
    says(&browser, "now", "Runs since");
}

#[test]
fn what_is_tapped_without_a_network_arrives_once_and_in_its_order() {
    let (mut server, browser) = (Server::start(), Browser::open(390, 844));
    server.set_up();
    open(&server, &browser);
    server.stop();
    fill(&browser, "bar-loaded", &[("heat", "B 3391"), ("length", "-5")]);
    record(&browser, "bar-loaded");
    browser.until_says(".waiting li", "waits");
    press(&browser, ".at-once button");
    for _ in 0..3 {
        fill(&browser, "parts-made", &[("parts", "4")]);
        record(&browser, "parts-made");
    }
    browser
        .until("all of it waits", "return document.querySelectorAll('.waiting li').length === 5");
    browser.until_says(".news", "5 entries are kept on this device");
    // The page can be opened without the server, and says that it is not the present.
    browser.go(&server.address(AT));
    browser
        .until("all of it is kept", "return document.querySelectorAll('.waiting li').length === 5");
    browser.until(
        "it says so",
        "return document.querySelector('main').classList.contains('unreached')",
    );
    server.again();
    browser.until_says(".waiting li", "Refused: “length” cannot be -5");
    browser
        .until("the rest is there", "return document.querySelectorAll('.waiting li').length === 1");
    says(&browser, "now", "Runs since");
    says(&browser, "now", "12");

    assert_eq!(kinds(&server)[2..], ["started", "parts-made", "parts-made", "parts-made"]);
    // Refused entries wait for a person: mended, the bar has the time at which it went in.
    tap(&browser, ".waiting li button");
    browser.until("its blanks", "return document.querySelector('#tell-bar-loaded').open");
    assert_eq!(browser.run("return document.querySelector('#bar-loaded-heat').value"), "B 3391");
    browser.type_over("#bar-loaded-length", "1000");
    record(&browser, "bar-loaded");
    browser.until("nothing waits", "return document.querySelector('.waiting').hidden");
    says(&browser, "now", "B 3391");
    made(&browser, "12 of 30 parts");
    let all = server.log(&["list", "--last", "1000"]);
    let kinds: Vec<&str> =
        all.as_array().unwrap().iter().map(|one| one["event"].as_str().unwrap()).collect();
    assert_eq!(kinds[2..], ["bar-loaded", "started", "parts-made", "parts-made", "parts-made"]);
    let times: Vec<&str> =
        all.as_array().unwrap().iter().map(|one| one["at"].as_str().unwrap()).collect();
    assert!(times[2..].windows(2).all(|two| two[0] < two[1]), "each has its own time: {times:?}");
}

#[test]
fn a_refused_entry_is_taken_out_by_a_person_only() {
    let (server, browser) = (Server::start(), Browser::open(390, 844));
    server.set_up();
    open(&server, &browser);
    fill(&browser, "bar-loaded", &[("length", "99999")]);
    record(&browser, "bar-loaded");
    browser.until_says(".waiting li", "Refused: “length” cannot be 99999.000 mm");
    browser.until_says(".news", "Not everything was taken");
    browser.go(&server.address(AT));
    browser.until_says(".waiting li", "Refused");
    press(&browser, ".waiting li button:last-child");
    browser.until("taken out", "return document.querySelector('.waiting').hidden");
    assert_eq!(kinds(&server).len(), 2);
}

#[test]
fn two_browsers_and_two_tabs_tap_at_once() {
    let (server, one, other) = (Server::start(), Browser::open(390, 844), Browser::open(834, 1112));
    server.set_up();
    server.tell(&json!([{ "id": "go", "event": "started", "lathe": "Lathe 1" }]));
    open(&server, &one);
    open(&server, &other);
    for _ in 0..5 {
        tap(&one, ".at-once button");
        tap(&other, ".at-once button");
    }
    for browser in [&one, &other] {
        browser.until_says("[data-piece=now] .large", "10");
        browser.until("nothing waits", "return document.querySelector('.waiting').hidden");
    }
    // Two tabs of one browser find the same entry waiting and both send it.
    let sent = one.run_until_done(
        "(async () => { \
           const queue = await import('/assets/queue.js'); const again = await import('/assets/queue.js?2'); \
           queue.keep({ event: 'parts-made', lathe: 'Lathe 1', job: 'pin', parts: '1' }, 'tapped'); \
           done(await Promise.all([queue.send(document.body.dataset.token), again.send(document.body.dataset.token)])); })()",
    );
    assert_eq!(sent, json!(["sent", "sent"]));
    one.until_says("[data-piece=now] .large", "11");
    assert_eq!(kinds(&server).iter().filter(|kind| *kind == "parts-made").count(), 11);
}

#[test]
fn names_and_lengths_of_strangers_stay_text() {
    let (server, browser) = (Server::start(), Browser::open(390, 844));
    server.set_up();
    let script = "<img src=x onerror=\"document.title='taken'\">";
    let entries = json!([
        { "id": "x-1", "event": "bar-loaded", "lathe": "Lathe 1", "heat": script, "label": script, "person": script, "note": script },
        { "id": "x-2", "event": "stopped", "lathe": "Lathe 1", "why": "alarm", "block": script },
    ]);
    assert!(server.tell(&entries).iter().all(|it| it["became"] == "recorded"));
    open(&server, &browser);
    says(&browser, "now", script);
    says(&browser, "after", script);
    fill(&browser, "bar-loaded", &[("heat", script), ("length", "0")]);
    record(&browser, "bar-loaded");
    browser.until_says(".waiting li", script);
    assert_ne!(browser.run("return document.title"), "taken");
    assert_eq!(browser.run("return document.querySelectorAll('img').length"), 0);
}

#[test]
fn a_glove_finds_every_target_of_the_page() {
    let server = Server::start();
    server.set_up();
    for width in [360, 834, 1366] {
        let browser = Browser::open(width, 900);
        open(&server, &browser);
        browser.run("for (const d of document.querySelectorAll('details.tell')) { d.removeAttribute('name'); d.open = true }");
        let small = browser.run(
            "return [...document.querySelectorAll('main button, main input, main select, main summary')].filter((e) => e.checkVisibility() && e.type !== 'hidden') \
             .filter((e) => e.getBoundingClientRect().height < 56).map((e) => e.outerHTML.slice(0, 120))",
        );
        assert_eq!(small, json!([]), "at {width}");
        let wide = browser.run("return document.documentElement.scrollWidth <= innerWidth");
        assert_eq!(wide, Value::Bool(true), "no sideways scrolling at {width}");
    }
}
