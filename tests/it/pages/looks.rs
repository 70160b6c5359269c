//! How pages look where no person looks at them: from afar on a wall, on paper, on a narrow screen, by keyboard
//! alone, in the colors of the system.

use super::browser::Browser;
use super::server::Server;
use super::sights::{Sights, see};
use lopdf::Document;
use serde_json::{Value, json};
use std::fs;

/// What is read first on each page, by its name among the sights.
const FIRST: [(&str, &str); 14] = [
    ("folder", ".jobs > li > a"),
    ("job", ".firsts .leave dd"),
    ("loading", ".firsts .leave dd"),
    ("part", ".firsts .leave dd"),
    ("program", ".firsts .leave dd"),
    ("tools", ".firsts .leave dd"),
    ("price", ".firsts .leave dd"),
    ("rack", ".question .answer"),
    ("sizes", ".question .answer"),
    ("shop", ".goes .said"),
    ("visits", ".firsts .leave dd"),
    ("lathe", ".state"),
    ("lathes", ".lathes a span"),
    ("devices", ".code-letters"),
];

/// How high capitals are in pixels, and whether they are on the screen.
const CAPITALS: &str = "const of = (selector) => { const all = [...document.querySelectorAll(selector)]; \
    if (!all.length) return null; \
    const pen = document.createElement('canvas').getContext('2d'); \
    return Math.min(...all.map((one) => { const style = getComputedStyle(one); \
      pen.font = `${style.fontStyle} ${style.fontWeight} ${style.fontSize} ${style.fontFamily}`; \
      return pen.measureText('H').actualBoundingBoxAscent; })); };";

#[test]
fn what_is_read_first_is_read_from_four_meters_on_a_wall() {
    // Capitals of 16 minutes of arc (ISO 9241-303, from memory), 4 m away, on a screen of 1.2 m: 18.6 mm.
    const WIDE_MM: f64 = 1200.0;
    let needed_mm = 2.0 * 4000.0 * (8.0_f64 / 60.0).to_radians().tan();
    let sights = Sights::start();
    let browser = Browser::open(1920, 1080);
    for wide in [1920, 3840] {
        for (name, address) in sights.pages() {
            let Some((_, selector)) = FIRST.iter().find(|(page, _)| *page == name) else {
                continue;
            };
            see(&browser, name, &address);
            browser.fills_the_screen(wide, wide * 9 / 16);
            let high = browser.run(&format!("{CAPITALS} return of({})", json!(selector)));
            let high_mm = high.as_f64().unwrap_or_else(|| panic!("{name} has no {selector}"))
                * WIDE_MM
                / f64::from(wide);
            assert!(
                high_mm >= needed_mm,
                "{name}: {selector} is {high_mm:.1} mm of {needed_mm:.1}"
            );
        }
    }
}

#[test]
fn paper_has_dark_words_no_buttons_and_no_figure_is_cut() {
    let (sights, browser) = (Sights::start(), Browser::open(1280, 900));
    // As wide as A4 less its margins, in CSS pixels.
    browser.is_as_large_as(703, 1000);
    for (name, address) in sights.pages() {
        if name == "labels" {
            continue;
        }
        browser.asks_for("print", &[("prefers-color-scheme", "dark")]);
        see(&browser, name, &address);
        browser.run("dispatchEvent(new Event('beforeprint'))");
        let seen = browser.run(
            "const shown = (one) => one.checkVisibility(); \
             const all = (selector) => [...document.querySelectorAll(selector)]; \
             return { \
               date: all('.printed').filter(shown).map((one) => one.textContent), \
               title: all('h1').filter(shown).length, \
               ink: getComputedStyle(document.body).color, \
               tapped: all('button, .head a, input[type=file]').filter(shown).length, \
               open: all('.unproven-list').filter((one) => !shown(one.querySelector('ul, li, p'))).length, \
               cut: all('table, .drawn, .lines-of').filter(shown).filter((one) => one.getBoundingClientRect().right > innerWidth + 1).map((one) => one.outerHTML.slice(0, 90)) }",
        );
        assert!(
            seen["date"][0].as_str().is_some_and(|it| it.contains("printed 2")),
            "{name}: {seen}"
        );
        assert_eq!(seen["title"], 1, "{name}: {seen}");
        assert_eq!(seen["ink"], "rgb(34, 33, 29)", "{name}: the ink of the day");
        assert_eq!(seen["tapped"], 0, "{name}: {seen}");
        assert_eq!(seen["open"], 0, "{name}: what is not proven stands on paper: {seen}");
        assert_eq!(seen["cut"], json!([]), "{name}");
    }
}

#[test]
fn paper_is_not_wasted() {
    // Sheets at most for the demo: what one takes to the lathe is a few.
    const MOST: [(&str, usize); 9] = [
        ("job", 5),
        ("program", 3),
        ("price", 3),
        ("loading", 4),
        ("shop", 2),
        ("sizes", 2),
        ("rack", 1),
        ("lathe", 2),
        ("labels", 1),
    ];
    let (sights, browser) = (Sights::start(), Browser::open(1280, 900));
    for (name, address) in sights.pages() {
        see(&browser, name, &address);
        let paper = Document::load_mem(&browser.printed()).unwrap();
        let sheets = paper.get_pages().len();
        let drawn: usize = paper
            .objects
            .values()
            .filter_map(|one| one.as_stream().ok())
            .map(|stream| stream.content.len())
            .sum();
        assert!(drawn > 4000, "{name} is an empty sheet: {drawn} bytes");
        let most = MOST.iter().find(|(page, _)| *page == name).map(|(_, most)| *most);
        assert!(most.is_none_or(|most| sheets <= most), "{name} takes {sheets} sheets");
    }
}

#[test]
fn no_page_scrolls_sideways_where_it_is_enlarged_four_times() {
    // WCAG 2.2, 1.4.10: 1280 pixels at 400 % are 320 wide.
    let (sights, browser) = (Sights::start(), Browser::open(640, 600));
    for wide in [320, 640] {
        browser.is_as_large_as(wide, 600);
        for (name, address) in sights.pages() {
            see(&browser, name, &address);
            browser.run("for (const one of document.querySelectorAll('details')) one.open = true");
            let wider = browser.run("return document.documentElement.scrollWidth - innerWidth");
            assert!(
                wider.as_i64().is_some_and(|it| it <= 0),
                "{name} at {wide} is {wider} too wide"
            );
        }
    }
}

#[test]
fn the_tab_key_goes_through_every_page_and_is_seen_where_it_is() {
    let (sights, browser) = (Sights::start(), Browser::open(1280, 900));
    browser.prefers("light", "reduce");
    for (name, address) in sights.pages() {
        see(&browser, name, &address);
        let (mut told, mut places) = (Vec::new(), 0);
        loop {
            browser.press(&["\u{e004}"]);
            let at = browser.run(
                "const one = document.activeElement; if (!one || one === document.body) return null; \
                 const inside = one.type === 'datetime-local' && window.wasAt === one; window.wasAt = one; \
                 const again = one.dataset.wasHere && !inside; one.dataset.wasHere = 'yes'; \
                 const box = one.getBoundingClientRect(), style = getComputedStyle(one); \
                 const marks = [one, ...one.querySelectorAll('.reach, rect')].map((it) => getComputedStyle(it)); \
                 const ring = inside || marks.some((it) => (it.outlineStyle !== 'none' && parseFloat(it.outlineWidth) >= 2) || (it.stroke !== 'none' && parseFloat(it.strokeWidth) >= 1.5 && it.stroke === getComputedStyle(document.querySelector('a')).color)); \
                 const within = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth; \
                 return { again: !!again, ring, within, what: one.outerHTML.slice(0, 120), named: !!(one.textContent.trim() || one.ariaLabel || one.labels?.length || one.getAttribute('aria-labelledby')) }",
            );
            if at.is_null() || at["again"] == Value::Bool(true) {
                break;
            }
            places += 1;
            assert!(places < 600, "{name} does not come to an end");
            for must in ["ring", "within", "named"] {
                if at[must] != Value::Bool(true) {
                    told.push(format!("{must}: {}", at["what"]));
                }
            }
        }
        assert_eq!(told, Vec::<String>::new(), "{name}");
        let missed = browser.run(
            "return [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex=\"0\"]')] \
             .filter((one) => one.checkVisibility({ contentVisibilityAuto: false }) && one.tabIndex >= 0 && !one.disabled && one.type !== 'hidden' && !one.dataset.wasHere) \
             .map((one) => one.outerHTML.slice(0, 120))",
        );
        assert_eq!(missed, json!([]), "{name}: not reached by the tab key, of {places}");
    }
}

#[test]
fn in_the_colors_of_the_system_shapes_and_words_stay() {
    let (sights, browser) = (Sights::start(), Browser::open(1280, 900));
    for (name, address) in sights.pages() {
        browser.asks_for("", &[("forced-colors", "active"), ("prefers-color-scheme", "dark")]);
        see(&browser, name, &address);
        let lost = browser.run(
            "const ground = getComputedStyle(document.body).backgroundColor; \
             const same = (one, keys) => { const style = getComputedStyle(one); return keys.every((key) => style[key] === 'none' || style[key] === ground || style[key] === 'rgba(0, 0, 0, 0)' || style[key] === 'transparent'); }; \
             const marks = [...document.querySelectorAll('span.mark')].filter((one) => !one.textContent.trim()); \
             const shapes = [...document.querySelectorAll('.shape')].filter((one) => one.checkVisibility() && same(one, ['color'])); \
             const drawn = [...document.querySelectorAll('.ruler .part, .ruler .kerf, .ruler .face, .ruler .jaws, .rung, .worn .runs, .worn .stands, .lane .attended, .used .part')].filter((one) => one.checkVisibility() && same(one, ['fill', 'stroke'])); \
             const ways = [...document.querySelectorAll('.ways a')].filter((one) => (one.getAttribute('aria-current') === null) !== (getComputedStyle(one).borderBottomColor === ground)); \
             return [...marks, ...shapes, ...drawn, ...ways].map((one) => one.outerHTML.slice(0, 120))",
        );
        assert_eq!(lost, json!([]), "{name}");
    }
}

#[test]
fn every_picture_has_words_and_charts_are_read_by_arrows() {
    let (sights, browser) = (Sights::start(), Browser::open(1280, 900));
    browser.prefers("light", "reduce");
    let mut charts = 0;
    for (name, address) in sights.pages() {
        see(&browser, name, &address);
        let silent = browser.run(
            "return [...document.querySelectorAll('svg, img, canvas')].filter((one) => one.checkVisibility() && !one.parentElement.closest('svg')) \
             .filter((one) => !one.closest('[aria-hidden=true]') && !(one.getAttribute('aria-label') || one.getAttribute('aria-labelledby') || one.getAttribute('aria-describedby') || one.alt || one.querySelector('title'))) \
             .map((one) => one.outerHTML.slice(0, 120))",
        );
        assert_eq!(silent, json!([]), "{name}: pictures without words");
        let count = browser.run("return document.querySelectorAll('.chart svg').length");
        for at in 0..count.as_u64().unwrap_or(0) {
            let said = format!(
                "document.querySelectorAll('.chart')[{at}].querySelector('.shape-says')?.textContent ?? null"
            );
            if browser.run(&format!("return {said}")).is_null() {
                continue;
            }
            browser.run(&format!("document.querySelectorAll('.chart svg')[{at}].focus()"));
            browser.press(&["\u{e014}"]);
            let words = browser.run(&format!("return {said}"));
            assert!(words.as_str().is_some_and(|it| it.len() > 3), "{name}, chart {at}: {words}");
            charts += 1;
        }
    }
    assert!(charts >= 4, "{charts} charts were read");
}

#[test]
fn an_inch_job_is_told_in_inches() {
    let server = Server::start();
    let (from, to) = (crate::expect::root("demo/gallery/inch"), server.file("../inch"));
    fs::create_dir(&to).unwrap();
    for entry in fs::read_dir(from).unwrap().flatten() {
        fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
    }
    let browser = Browser::open(1280, 900);
    let mut inches = 0;
    for way in ["job", "part", "program", "given/job", "given/tools"] {
        browser.go(&server.address(&format!("/{way}/inch/bearing-spacer")));
        browser.run("for (const one of document.querySelectorAll('details')) one.open = true");
        // What keys mean names both units; figures have one.
        let text = browser.run(
            "for (const one of document.querySelectorAll('.means, option, .add, code')) one.remove(); \
             return document.querySelector('main').innerText.replace(/\\s+/g, ' ')",
        );
        let text = text.as_str().unwrap();
        let words: Vec<&str> = text.split([' ', '(', ')', ',', ';']).collect();
        let metric = words.windows(2).filter(|two| {
            two[0].ends_with(|last: char| last.is_ascii_digit())
                && ["mm", "µm", "m/min"].contains(&two[1])
        });
        assert_eq!(metric.collect::<Vec<_>>(), Vec::<&[&str]>::new(), "{way}");
        inches += words.iter().filter(|word| ["in", "ft/min", "µin"].contains(word)).count();
    }
    assert!(inches > 60, "{inches} figures in inches");
}
