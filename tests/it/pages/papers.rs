//! The papers that pages offer, set by the typesetter and read again: what stands on them is what the pages say.

use super::server::{JOB, Server};
use lopdf::Document;
use std::fs;

/// Every address of a paper on a page, from its links and forms.
fn offered(page: &str) -> Vec<String> {
    let of = |mark: &str| -> Vec<String> {
        let rests = page.split(mark).skip(1);
        rests.filter_map(|rest| rest.split('"').next()).map(str::to_owned).collect()
    };
    let is_paper = |way: &String| way.starts_with("/paper/") || way.ends_with(".pdf");
    [of("href=\""), of("action=\"")].concat().into_iter().filter(is_paper).collect()
}

/// The text of a paper with one blank between words, and its pages.
fn read(server: &Server, way: &str) -> (String, usize) {
    let (head, body) = server.file_of(way);
    assert!(head.starts_with("HTTP/1.1 200") && head.contains("application/pdf"), "{way}: {head}");
    assert!(head.contains("attachment") || way.starts_with("/paper/"), "{way}: {head}");
    let paper = Document::load_mem(&body).unwrap_or_else(|error| panic!("{way}: {error}"));
    let pages: Vec<u32> = paper.get_pages().keys().copied().collect();
    let text = paper.extract_text(&pages).unwrap().replace('\u{200b}', "");
    if let Some(folder) = std::env::var_os("BARWRIGHT_SIGHTS") {
        let name = way.split('?').next().unwrap().replace('/', "-");
        let name = format!("paper{}.pdf", name.trim_end_matches(".pdf"));
        fs::write(std::path::Path::new(&folder).join(name), &body).unwrap();
    }
    (text.split_whitespace().collect::<Vec<_>>().join(" "), pages.len())
}

/// The figures of a cell class on a page.
fn cells(page: &str, table: &str) -> Vec<String> {
    let rest = page.split(&format!("<caption>{table}")).nth(1).unwrap_or_else(|| panic!("{table}"));
    let body = rest.split("</table>").next().unwrap();
    let cells = body.split("figures ends\">").skip(1);
    cells.map(|rest| rest.split('<').next().unwrap().trim().to_owned()).collect()
}

#[test]
fn every_paper_of_a_page_is_set_and_says_what_the_page_says() {
    let server = Server::start();
    fs::copy(crate::expect::root("demo/week-48/shop.toml"), server.file("shop.toml")).unwrap();
    let page = |way: &str| server.get(&format!("/{way}/{JOB}")).body;
    let (job, price, loading) = (page("job"), page("price"), page("loading"));
    let all = [offered(&job), offered(&price), offered(&loading)].concat();
    let of = |part: &str| {
        let found: Vec<&String> = all.iter().filter(|way| way.contains(part)).collect();
        assert_eq!(found.len(), 1, "{part} of {all:?}");
        found[0].clone()
    };
    assert_eq!(all.len(), 4, "{all:?}");

    let (sheet, _) = read(&server, &of("sheet.pdf"));
    for words in ["Detent pin", "12.000 mm", "1000.000 mm", "30 parts", "6 min 41 s"] {
        assert!(sheet.contains(words), "{words} of the sheet: {sheet}");
    }
    // As many things are open on paper as on the page.
    let open = job
        .split("id=\"trouble-open\"")
        .nth(1)
        .and_then(|it| it.split(" things not proven").next());
    let open = open.and_then(|it| it.rsplit(' ').next()).unwrap();
    assert!(sheet.contains(&format!("; {open} things are unproven")), "{open}: {sheet}");

    let letter = "?for=Lamp%20Works%20%3Cb%3E&number=Q-0417&date=2026-11-26";
    let (customer, pages) = read(&server, &(of("/paper/customer/") + letter));
    assert_eq!(pages, 1, "{customer}");
    for words in ["Lamp Works <b>", "Q-0417", "2026-11-26", "Detent pin", "694.79", "1.7370"] {
        assert!(customer.contains(words), "{words} for the customer: {customer}");
    }
    assert!(!customer.contains("597.52") && !customer.contains("margin"), "{customer}");

    let (inner, _) = read(&server, &of("/paper/inner/"));
    let prices = cells(&price, "Prices by quantity");
    assert!(prices.len() > 20, "{prices:?}");
    for figure in prices {
        assert!(inner.contains(&figure), "{figure} of the inner page: {inner}");
    }

    let (ways, _) = read(&server, &of("/paper/loading/"));
    let costs = cells(&loading, "A part, and a year");
    assert!(costs.len() > 20, "{costs:?}");
    for figure in costs {
        assert!(ways.contains(&figure), "{figure} of the ways: {ways}");
    }
}

#[test]
fn no_paper_is_set_against_a_stop() {
    let server = Server::start();
    fs::copy(crate::expect::root("demo/week-48/shop.toml"), server.file("shop.toml")).unwrap();
    server.change("job", "advance.parts", "5", true);
    for way in ["customer", "inner", "loading"] {
        assert_eq!(server.get(&format!("/paper/{way}/{JOB}")).code, 404, "{way}");
    }
    assert_eq!(server.get(&format!("/file/{JOB}/sheet.pdf")).code, 404);
}
