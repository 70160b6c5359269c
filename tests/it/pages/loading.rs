//! The price on the job page, the page that says how far it holds, and the ways of loading compared.

use super::browser::Browser;
use super::server::{JOB, Server};
use std::fs;

const ENTER: &str = "\u{e007}";
const ESCAPE: &str = "\u{e00c}";
const RIGHT: &str = "\u{e014}";
const TAB: &str = "\u{e004}";

/// A server whose job has the shop of week 48 beside it.
fn with_shop() -> Server {
    let server = Server::start();
    fs::copy(crate::expect::root("demo/week-48/shop.toml"), server.file("shop.toml")).unwrap();
    // It is on the disk before the job is opened.
    server
}

fn expected(name: &str) -> String {
    fs::read_to_string(crate::expect::root(name)).unwrap()
}

#[test]
fn the_price_follows_a_rate_that_is_tried_and_saved() {
    let (server, browser) = (with_shop(), Browser::open(1280, 900));
    let file = server.file("shop.toml");
    let text = fs::read_to_string(&file).unwrap();
    browser.go(&server.address(&format!("/job/{JOB}")));
    browser.until_says("#cost", "EUR a part");
    // The price that the command line writes for this very job and shop.
    let prices = expected("docs/quote/prices.csv");
    let row = prices.lines().find(|line| line.starts_with("400,")).unwrap();
    let fields: Vec<&str> = row.split(',').collect();
    for figure in [fields[1], fields[4], fields[5]] {
        assert!(browser.text("#cost .prices tr.ordered").contains(figure), "{figure} of {row}");
    }
    let before = browser.text("#cost .answer");
    let rate = "[id='shop:rates.lathe_hour']";
    browser.type_over(rate, "62");
    browser.until(
        "another price",
        &format!("return document.querySelector('#cost .answer').textContent !== {before:?}"),
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), text, "a trial writes nothing");
    browser.keys(rate, ESCAPE);
    browser.until_says("#cost .answer", before.trim());
    browser.type_over(rate, "many");
    browser.until_says(&format!("form:has({rate}) .refused"), "not a decimal number");
    browser.type_over(rate, &format!("62{ENTER}"));
    let saved = format!("return document.querySelector(\"{rate}\").dataset.saved === '62'");
    browser.until("saved", &saved);
    assert_eq!(
        fs::read_to_string(&file).unwrap(),
        text.replace("lathe_hour = 31 ", "lathe_hour = 62 ")
    );
    browser.click("[data-turn=undo]");
    browser.until_says("#cost .answer", before.trim());
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
}

#[test]
fn lines_of_the_price_add_up_and_each_opens_to_its_working() {
    let server = with_shop();
    let page = server.get(&format!("/job/{JOB}")).body;
    let account = page.split("class=\"account\"").nth(1).unwrap().split("</table>").next().unwrap();
    let amount = |row: &str| {
        let cell = row.split("class=\"figures ends\">").nth(2).unwrap().split('<').next().unwrap();
        (cell.trim().parse::<f64>().unwrap_or_else(|_| panic!("{cell}")) * 100.0).round() as i64
    };
    let rows: Vec<&str> = account.split("<tr").skip(2).collect();
    assert_eq!(rows.len(), 12, "nine lines, cost, margin, price");
    let amounts: Vec<i64> = rows.iter().map(|row| amount(row)).collect();
    assert_eq!(amounts[..9].iter().sum::<i64>(), amounts[9], "lines are the cost");
    assert_eq!(amounts[9] + amounts[10], amounts[11], "cost and margin are the price");
    assert!(rows.iter().all(|row| row.contains("<summary>") && row.contains("<p")));
}

#[test]
fn without_a_shop_file_it_is_said_what_to_write() {
    let server = Server::start();
    let page = server.get(&format!("/job/{JOB}")).body;
    assert!(page.contains("No shop file says what an hour and a bar cost"), "{page}");
    let page = server.get(&format!("/loading/{JOB}")).body;
    assert!(page.contains("No shop file says") && page.contains("[[way]]"), "{page}");
    // What a page says to write is taken as it stands.
    let texts: Vec<String> = page
        .split("<pre>")
        .skip(1)
        .map(|rest| rest.split("</pre>").next().unwrap().replace("&quot;", "\""))
        .collect();
    fs::write(server.file("shop.toml"), texts.concat()).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let page = server.get(&format!("/job/{JOB}")).body;
    assert!(page.contains(" EUR a part"), "{page}");
    let page = server.get(&format!("/loading/{JOB}")).body;
    assert!(page.contains("parts a year in orders of 400 the cheapest is"), "{page}");
    // A shop file that cannot be read leaves all else answered.
    fs::write(server.file("shop.toml"), "units = \"mm\"\nname = 3\n[rates]\n").unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let page = server.get(&format!("/job/{JOB}")).body;
    assert!(
        page.contains("The shop file cannot be used") && page.contains("30 parts from each bar")
    );
}

#[test]
fn nothing_is_priced_against_a_stop() {
    let server = with_shop();
    let told = server.change("job", "advance.parts", "5", true);
    let page = server.get(&format!("/job/{JOB}")).body;
    assert!(page.contains("Nothing is priced while a stop stands"), "{told}");
    assert!(!page.contains(" EUR a part"));
    assert!(
        server.get(&format!("/loading/{JOB}")).body.contains("Nothing is compared while a stop")
    );
    assert!(server.get(&format!("/price/{JOB}")).body.contains("Nothing is priced while a stop"));
    for path in ["/table/price", "/table/loading", "/paper/customer", "/paper/inner"] {
        assert_eq!(server.get(&format!("{path}/{JOB}?of=prices")).code, 404, "{path}");
    }
}

#[test]
fn ways_are_compared_and_a_quantity_is_tried() {
    let (server, browser) = (with_shop(), Browser::open(1280, 900));
    browser.go(&server.address(&format!("/loading/{JOB}")));
    browser.until_says("#ways-least", "At 30000 parts a year in orders of 600");
    let before = browser.text("#ways-worth .answer");
    browser.type_over("[id='shop:investment.parts_a_year']", "900");
    browser.until_says("#ways-least", "At 900 parts a year");
    assert_ne!(
        browser.text("#ways-worth .answer"),
        before,
        "a dear way is not worth it for few parts"
    );
    browser.keys("[id='shop:investment.parts_a_year']", ESCAPE);
    browser.until_says("#ways-least", "At 30000 parts a year");
    // By keyboard through the picture: it says what the table says.
    browser.run("document.querySelector('#ways-each summary').click()");
    browser.run("document.querySelector('#ways-each .chart svg').focus()");
    let mut said = Vec::new();
    for _ in 0..4 {
        browser.press(&[RIGHT]);
        said.push(browser.text("#ways-each .shape-says"));
    }
    said.dedup();
    assert_eq!(said.len(), 4, "each arrow goes on: {said:?}");
    let table = browser.text("#ways-each table");
    let told = said.iter().find(|one| one.contains("parts a year, EUR a part: ")).unwrap();
    for figure in told.split(": ").nth(1).unwrap().split("; ") {
        let cost = figure.rsplit(' ').next().unwrap();
        assert!(table.contains(cost), "{cost} of {told} stands in the table");
    }
    browser.press(&[TAB]);
    assert_eq!(browser.run("return document.activeElement.tagName"), "A", "the keyboard goes on");
}

#[test]
fn tables_and_pictures_are_those_of_the_command_line() {
    let server = with_shop();
    for name in ["ways", "way-accounts", "worth", "moves"] {
        let answer = server.get(&format!("/table/loading/{JOB}?of={name}"));
        assert_eq!(answer.body, expected(&format!("docs/loading/{name}.csv")), "{name}");
    }
    for name in ["prices", "account", "amounts", "rates", "certainty"] {
        let answer = server.get(&format!("/table/price/{JOB}?of={name}"));
        assert_eq!(answer.body, expected(&format!("docs/quote/{name}.csv")), "{name}");
        assert!(answer.head.contains("text/csv"), "{}", answer.head);
    }
    for name in ["loading-cost", "loading-worth"] {
        let answer = server.get(&format!("/table/loading/{JOB}?of={name}"));
        assert_eq!(answer.body, expected(&format!("docs/loading/{name}.svg")), "{name}");
    }
    let table = server.get(&format!("/table/loading/{JOB}?of=by-quantity")).body;
    assert!(
        table.starts_with("Parts a year,By hand to a stop,") && table.lines().count() > 5,
        "{table}"
    );
    for odd in ["?of=", "?of=../secret", "?of=%3Cscript%3E", ""] {
        assert_eq!(server.get(&format!("/table/loading/{JOB}{odd}")).code, 404, "{odd}");
    }
}

#[test]
fn names_in_the_shop_file_are_only_names() {
    let server = with_shop();
    let file = server.file("shop.toml");
    let text = fs::read_to_string(&file).unwrap();
    let evil = "</text></title><script>alert('x')</script>";
    let text = text
        .replace("\"Magazine feeder\"", &format!("{evil:?}"))
        .replace("\"EUR\"", &format!("{evil:?}"));
    fs::write(&file, text).unwrap();
    let names = [format!("/job/{JOB}"), format!("/loading/{JOB}"), format!("/price/{JOB}")];
    let files = ["loading-cost", "loading-worth"].map(|of| format!("/table/loading/{JOB}?of={of}"));
    for path in names.iter().chain(&files) {
        let page = server.get(path).body;
        assert!(page.contains("&lt;script&gt;"), "{path} shows it as it is written");
        assert!(!page.contains("<script>alert"), "{path}");
    }
}
