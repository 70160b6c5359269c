//! The pages of the shop and of its visits, in a browser and over HTTP.

use super::browser::Browser;
use super::server::{JOB, Server};
use assert_cmd::Command;
use serde_json::Value;
use std::fs;
use std::time::{Duration, Instant};

pub(super) const FROM: &str = "2026-12-01T06:00";
const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";
const RIGHT: &str = "\u{e014}";
const DOWN: &str = "\u{e015}";

/// A shop around the job that the tests look at, with names that somebody wants to be scripts. All of it is invented.
pub(super) const SHOP: &str = r#"
units = "mm"
name = "Back <b>yard</b> & sons"
time_zone = "Europe/Berlin"
[[hours]]
name = "early"
days = ["mon", "tue", "wed", "thu", "fri"]
spans = ["06:00-09:00", "09:15-12:00"]
[[hours]]
name = "late"
days = ["mon", "tue", "wed", "thu", "fri"]
spans = ["12:00-20:00"]
[[person]]
name = "Ana"
hours = "early"
[[person]]
name = "=Bo</title><script>alert('bo')</script>"
hours = "early"
lathes = ["Long"]
[[lathe]]
name = "<script>alert('lathe')</script>"
job = "detent-pin/detent-pin.job.toml"
stands_in = 20
run_scatter = 0.02
stops_every = 15
[[lathe]]
name = "Long"
runs = 155
bars = 9
stands_in = 12
"#;

/// A server whose folder has a shop file.
pub(super) fn shop() -> Server {
    let server = Server::start();
    fs::write(server.file("../shop.toml"), SHOP).unwrap();
    server
}

fn at(page: &str, more: &str) -> String {
    format!("{page}?from={FROM}{more}")
}

/// What the command says of the same shop.
fn command(server: &Server, more: &[&str]) -> String {
    let mut command = Command::cargo_bin("barwright").unwrap();
    let output = command
        .arg("visits")
        .arg(server.file("../shop.toml"))
        .args(["--from", FROM])
        .args(more)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// A page or file, asked for again while its timetable is looked for.
pub(super) fn once_there(server: &Server, path: &str) -> super::server::Answer {
    let begin = Instant::now();
    loop {
        let answer = server.get(path);
        if answer.code != 503 && !answer.body.contains("class=\"looks\"") {
            return answer;
        }
        assert!(begin.elapsed() < Duration::from_secs(90), "{path}: {}", answer.head);
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// `3 h 05 min`, as both page and command say a span.
fn lost(text: &str) -> String {
    let (_, rest) = text.split_once("spindles lose ").unwrap();
    rest.split(" of ").next().unwrap().to_owned()
}

#[test]
fn what_if_is_tried_beside_what_is_and_nothing_is_saved() {
    let (server, browser) = (shop(), Browser::open(1280, 900));
    browser.go(&server.address(&at("/visits", "")));
    let is = lost(&command(&server, &[]));
    browser.until_says("#lost-asked .answer", &format!("Spindles lose {is} of 48 h 00 min"));
    browser.until_says("#scatter-asked", "simulated runs of 28 days");
    assert!(browser.text("#otherwise-asked").contains("Fill in a blank"));
    browser.run(
        "const blank = document.getElementById('ask-one_more'); blank.value = 'late'; \
         blank.dispatchEvent(new Event('change', { bubbles: true }))",
    );
    browser.until_says("#otherwise-asked .answer", "one more person, with the hours \"late\"");
    browser.until("the word trial", "return !document.querySelector('.trial-word').hidden");
    let told = command(&server, &["--one-more", "late"]);
    let would = lost(told.split_once("What if:").unwrap().1.split_once("\n\n").unwrap().1);
    let row = "return [...document.querySelectorAll('#otherwise-asked tr')].find((r) => r.textContent.startsWith('Spindles lose')).textContent";
    let row = browser.run(row);
    let row = row.as_str().unwrap();
    assert!(row.starts_with(&format!("Spindles lose{is}{would}")), "{row} beside {is} and {would}");
    // The address is that of what is tried, so that it can be sent on.
    assert!(browser.run("return location.search").as_str().unwrap().contains("one_more=late"));
    browser.until_says("#otherwise-asked", "Run in simulated runs");
    // A length that cannot be is told, and taken back with the blank.
    browser.run(
        "const set = (id, value) => { const blank = document.getElementById(id); blank.value = value; blank.dispatchEvent(new Event('change', { bubbles: true })); }; \
         set('ask-lathe', \"<script>alert('lathe')</script>\"); set('ask-bar', '12 parsec')",
    );
    browser.until_says(".trouble", "\"12 parsec\" is no length of a bar");
    browser.type_over("#ask-bar", &format!("700 mm{TAB}"));
    browser.until_says(
        "#otherwise-asked .answer",
        "bars of 700 mm at <script>alert('lathe')</script>",
    );
    assert_eq!(fs::read_to_string(server.file("../shop.toml")).unwrap(), SHOP);
    assert_eq!(browser.run("return document.querySelectorAll('script:not([src])').length"), 0);
}

#[test]
fn other_hours_and_another_start_are_tried_by_their_address_alone() {
    let server = shop();
    let page = once_there(&server, &at("/visits", "&hours=early&spans=05:00-09:00,%2009:15-13:00"));
    assert!(page.body.contains("the hours &quot;early&quot; being 05:00-09:00, 09:15-13:00"));
    let told = command(&server, &["--hours", "early=05:00-09:00, 09:15-13:00"]);
    let would = lost(told.split_once("What if:").unwrap().1.split_once("\n\n").unwrap().1);
    assert!(page.body.contains(&format!("<td class=\"figures\">{would}</td>")), "{would}");
    let page = once_there(&server, &at("/visits", "&start=2026-12-02T07:00"));
    assert!(page.body.contains("a start at 2026-12-02 07:00"));
    for (wrong, why) in [
        ("&hours=early&spans=9-5", "is no span of a day"),
        ("&hours=early&spans=09:00-12:00,08:00-09:30", "overlaps, is out of order or is empty"),
        ("&one_more=nights", "There is no [[hours]] called"),
        ("&without=Cy", "There is no person called"),
        ("&lathe=Long&bar=900mm", "names no job that could be planned"),
        ("&start=soon", "is no date with a time"),
    ] {
        let page = once_there(&server, &at("/visits", wrong));
        assert!(page.code == 200 && page.body.contains(why), "{wrong}: {why}");
    }
    for odd in ["&days=99", "&days=-1", "&hours=", "&person=7"] {
        assert_eq!(once_there(&server, &at("/visits", odd)).code, 200, "{odd}");
    }
    assert_eq!(once_there(&server, &at("/visits.ics", "&person=7")).code, 404);
    assert_eq!(once_there(&server, &at("/visits.ics", "&start=soon")).code, 422);
}

/// Lines of a calendar put together again (RFC 5545, 3.1), as name and value.
fn lines(calendar: &str) -> Vec<(String, String)> {
    let whole = calendar.replace("\r\n ", "");
    whole
        .lines()
        .filter_map(|line| line.split_once(':'))
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect()
}

#[test]
fn calendars_and_tables_are_those_of_the_command() {
    let server = shop();
    let page = once_there(&server, &at("/visits", "")).body;
    let folder = tempfile::tempdir().unwrap();
    let (file, picture) = (folder.path().join("ana.ics"), folder.path().join("lanes.svg"));
    let name = |path: &std::path::Path| path.display().to_string();
    command(&server, &["--ics", &name(&file), "--person", "Ana", "--picture", &name(&picture)]);
    let link = page.split("href=\"").find(|rest| rest.starts_with("/visits.ics?person=0")).unwrap();
    let link = link.split('"').next().unwrap().replace("&amp;", "&");
    let answer = server.get(&link);
    assert!(answer.head.contains("text/calendar"), "{}", answer.head);
    assert!(answer.head.contains("attachment; filename=\"visits-1.ics\""), "{}", answer.head);
    assert_eq!(answer.body, fs::read_to_string(file).unwrap());
    // Read: every event is Ana's, and the table has each of them.
    let lines = lines(&answer.body);
    let values = |name: &str| -> Vec<&str> {
        lines.iter().filter(|(it, _)| it == name).map(|(_, value)| value.as_str()).collect()
    };
    let starts = values("DTSTART");
    assert!(starts.len() > 5 && starts.iter().all(|start| start.ends_with('Z')), "{starts:?}");
    assert!(values("SUMMARY").iter().all(|summary| summary.starts_with("Ana: ")));
    let table = server.get(&at("/visits.csv", "&days=1"));
    assert!(table.head.contains("text/csv") && table.head.contains("visits.csv"), "{}", table.head);
    let of_ana: Vec<&str> =
        table.body.split("\r\n").filter(|row| row.starts_with("Ana,")).collect();
    assert_eq!(of_ana.len(), starts.len());
    for (row, start) in of_ana.iter().zip(&starts) {
        // Berlin is an hour ahead of UTC in December.
        let hour: u32 = start[9..11].parse().unwrap();
        assert!(
            row.contains(&format!("T{:02}:{}:{}", hour + 1, &start[11..13], &start[13..15])),
            "{row} {start}"
        );
    }
    let rows: Vec<&str> = table.body.split("\r\n").collect();
    assert!(rows.iter().any(|row| row.starts_with(" =Bo")), "{rows:?}");
    assert!(!rows.iter().any(|row| row.starts_with('=')), "no formula gets through");
    let svg = server.get(&at("/visits.svg", ""));
    assert!(svg.head.contains("image/svg+xml") && svg.head.contains("style-src 'unsafe-inline'"));
    assert_eq!(svg.body, fs::read_to_string(picture).unwrap());
}

#[test]
fn lanes_are_gone_along_by_keyboard_and_lead_to_the_lathe() {
    let (server, browser) = (shop(), Browser::open(1280, 900));
    browser.go(&server.address(&at("/shop", "&hours=24")));
    browser.until("the lanes", "return document.querySelectorAll('.lane .worn').length === 2");
    assert_eq!(
        browser.run("return document.querySelectorAll('.worn a[tabindex=\"0\"]').length"),
        2
    );
    let here = "return document.activeElement.matches('.worn a')";
    for _ in 0..40 {
        if browser.run(here) == Value::Bool(true) {
            break;
        }
        browser.press(&[TAB]);
    }
    assert_eq!(browser.run(here), true, "a lane is reached by the keyboard");
    let first = browser.text(".lane-says");
    assert!(first.contains("runs by itself from 06:00 to 06:20"), "{first}");
    browser.press(&[RIGHT]);
    let second = browser.text(".lane-says");
    assert!(second.starts_with("Ana is at <script>") && second != first, "{second}");
    browser.press(&[DOWN]);
    assert!(browser.text(".lane-says").contains("Long"), "{}", browser.text(".lane-says"));
    let colors =
        browser.run("return getComputedStyle(document.activeElement.querySelector('rect')).stroke");
    assert_ne!(colors, "none", "where the keyboard is can be seen");
    browser.press(&["\u{e013}"]);
    browser.press(&[ENTER]);
    browser.until("the job", &format!("return location.pathname === '/job/{JOB}'"));
}

#[test]
fn a_change_on_the_disk_is_shown_and_a_mistake_told_with_its_place() {
    let (server, browser) = (shop(), Browser::open(1280, 900));
    let file = server.file("../shop.toml");
    browser.go(&server.address(&at("/shop", "")));
    browser.until("the lanes", "return document.querySelectorAll('.lane .worn').length === 2");
    fs::write(&file, format!("{SHOP}\n[[lathe]]\nname = \"Third\"\nruns = 60\n")).unwrap();
    browser.until_says("#lathe-3", "Third");
    fs::write(&file, SHOP.replace("runs = 155", "runs = -1")).unwrap();
    browser.until_says(".trouble", "shop.toml:");
    assert!(browser.text(".trouble").contains("runs = -1"));
    fs::write(&file, SHOP.replace("Back <b>yard</b> & sons", "Front yard")).unwrap();
    browser.until_says("h1", "Front yard");
    browser.until("the lanes", "return document.querySelectorAll('.lane .worn').length === 2");
    // A job that a lathe runs was changed: its lane is reckoned anew.
    let job = server.file("detent-pin.job.toml");
    let before = browser.run("return document.querySelector('#lathe-1 .worn').innerHTML");
    let text = fs::read_to_string(&job).unwrap();
    fs::write(&job, text.replace("length = 1000 ", "length = 400 ")).unwrap();
    browser.until(
        "another lane",
        &format!(
            "return (document.querySelector('#lathe-1 .worn')?.innerHTML ?? {before}) !== {before}"
        ),
    );
}

#[test]
fn a_folder_without_a_shop_is_told_what_to_write_or_has_it_written() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    let file = server.file("../shop.toml");
    let kind = "Content-Type: application/x-www-form-urlencoded\r\n";
    assert_eq!(server.post("/shop/new", kind, "token=0").code, 403);
    assert!(!file.exists(), "nothing is written without the token");
    browser.go(&server.address("/visits"));
    browser.until_says("h1", "No shop file yet");
    assert!(browser.text(".example").contains("job = \"detent-pin/detent-pin.job.toml\""));
    browser.click("main button");
    browser.until_says(".trouble", "no time zone");
    browser.run(&format!(
        "document.querySelector('#begin-from').value = '{FROM}'; document.querySelector('.begin button').click()"
    ));
    browser.until_says("#lathe-1", "Lathe 1");
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("Every figure here is invented"));
    // It is there once: a second click writes nothing over it.
    fs::write(&file, SHOP).unwrap();
    let token = server.token();
    assert_eq!(server.post("/shop/new", kind, &format!("token={token}")).code, 303);
    assert_eq!(fs::read_to_string(&file).unwrap(), SHOP);
}

#[test]
fn names_are_only_names_and_pages_say_the_same_without_scripts() {
    let server = shop();
    for path in
        [at("/shop", ""), at("/visits", ""), at("/visits", "&without=Ana"), at("/visits.svg", "")]
    {
        let page = once_there(&server, &path);
        assert_eq!(page.code, 200, "{path}");
        assert!(!page.body.contains("<script>alert") && !page.body.contains("<b>yard"), "{path}");
        assert!(page.body.contains("&lt;script&gt;"), "{path} shows it as it is written");
    }
    let page = once_there(&server, &at("/shop", "")).body;
    assert!(page.contains("What lathes do now is not known"), "no log tells it");
    assert!(page.contains("the shop file says it, and no plan has checked it"));
    let calendar = once_there(&server, &at("/visits.ics", ""));
    assert!(calendar.head.lines().all(|line| !line.contains("alert")), "{}", calendar.head);
}

/// Below the picture stands every stretch of it, whole and in order.
#[test]
fn the_table_beside_the_picture_is_whole() {
    let server = shop();
    let visits = once_there(&server, &at("/visits", "")).body;
    let way = visits.split("href=\"").find(|rest| rest.starts_with("/visits/stretches?")).unwrap();
    let way = way.split('"').next().unwrap().replace("&amp;", "&");
    let page = once_there(&server, &way).body;
    let table = page
        .split("aria-label=\"Stretches of the lanes\"")
        .nth(1)
        .unwrap()
        .split("</table>")
        .next()
        .unwrap();
    let answer: Value = serde_json::from_str(&command(&server, &["--json"])).unwrap();
    let stretches: usize = answer["lathes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it["lane"].as_array().unwrap().len())
        .sum();
    assert_eq!(table.matches("<tr>").count(), stretches + 1, "and the head");
    let picture =
        visits.split("id=\"picture-asked\"").nth(1).unwrap().split("</section>").next().unwrap();
    assert_eq!(picture.matches("<rect").count(), stretches);
}
