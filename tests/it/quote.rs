//! Journeys of a quote: prices and pages of the demo, what a customer must not see, what is refused.

use crate::expect::{differs, root};
use crate::ran::run;
use barwright::files::Disk;
use cost::Asked;
use model::files::Shop;
use model::files::job::Job;
use serde_json::Value;
use std::fs;
use std::path::Path;
use view::quote::Letter;

pub(crate) const JOB: &str = "demo/detent-pin/detent-pin.job.toml";
pub(crate) const SHOP: &str = "demo/week-48/shop.toml";

/// The demo with its plan.
pub(crate) fn demo() -> (Job, plan::Answer, Shop) {
    let source = Disk::text(&root(JOB)).unwrap();
    let job = Job::read(&source, &Disk::beside(&root(JOB))).value.unwrap();
    let shop = Shop::read(&Disk::text(&root(SHOP)).unwrap()).value.unwrap();
    let answer = plan::plan(&job);
    (job, answer, shop)
}

/// What a command shows before it lists its files.
pub(crate) fn before_files(text: &str) -> String {
    text.split("\nwrote ").next().unwrap_or_default().to_owned()
}

fn letter() -> Letter {
    Letter {
        customer: Some("Lamp Works, Mr. Ives".to_owned()),
        number: Some("Q-0417".to_owned()),
        date: Some("2026-11-26".to_owned()),
    }
}

#[test]
fn the_demo_is_quoted_as_the_docs_show() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("q").display().to_string();
    let arguments = ["quote", JOB, "--shop", SHOP, "--out", &out];
    let (code, text, err) = run(&arguments);
    assert_eq!((code, err.as_str()), (0, ""));
    let mut wrong = Vec::new();
    wrong.extend(differs(&root("docs/quote/quote.txt"), &before_files(&text)));
    for name in ["prices", "account", "amounts", "rates", "certainty"] {
        let file = fs::read_to_string(folder.path().join("q").join(format!("{name}.csv"))).unwrap();
        let rows: Vec<usize> = file.lines().map(fields).collect();
        assert!(rows.len() > 1 && rows.iter().all(|row| *row == rows[0]), "{name}: {file}");
        wrong.extend(differs(&root(&format!("docs/quote/{name}.csv")), &file));
    }
    let (job, answer, shop) = demo();
    let quote = cost::quote(&job, &answer, &shop, &Asked::default()).unwrap();
    let rates = shop.rates.clone().unwrap();
    let customer = view::quote::customer(&job, &shop, &quote, &letter());
    let inner = view::quote::inner(&job, &answer, &shop, &rates, &quote);
    wrong.extend(differs(&root("docs/quote/customer.txt"), &view::sheet::text(&customer)));
    wrong.extend(differs(&root("docs/quote/inner.txt"), &view::sheet::text(&inner)));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // A second run finds the same files and is no trouble; one changed by hand is kept.
    assert_eq!(run(&arguments).0, 0);
    fs::write(folder.path().join("q/prices.csv"), "by hand").unwrap();
    assert_eq!(run(&arguments).0, 2);
    assert_eq!(fs::read_to_string(folder.path().join("q/prices.csv")).unwrap(), "by hand");
    let mut forced = arguments.to_vec();
    forced.push("--force");
    assert_eq!(run(&forced).0, 0);
}

/// Fields of one line of CSV: commas outside of quotes, and one.
fn fields(line: &str) -> usize {
    let mut quoted = false;
    let commas = line.chars().filter(|letter| {
        quoted ^= *letter == '"';
        *letter == ',' && !quoted
    });
    commas.count() + 1
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[test]
fn the_answer_adds_up_in_whole_cents() {
    for (job, more) in [(JOB, "33,2000"), ("demo/lamp-spacer/lamp-spacer.job.toml", "10,77,500")] {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().display().to_string();
        let (code, text, err) =
            run(&["quote", job, "--shop", SHOP, "--json", "--quantities", more, "--out", &out]);
        assert_eq!((code, err.as_str()), (0, ""));
        let answer: Value = serde_json::from_str(&text).unwrap();
        let written = fs::read_to_string(folder.path().join("quote.json")).unwrap();
        assert_eq!(written, text);
        assert_eq!(
            (answer["verdict"].as_str(), answer["currency"].as_str()),
            (Some("clear"), Some("EUR"))
        );
        let quantities = answer["quantities"].as_array().unwrap();
        assert_eq!(quantities.len(), more.split(',').count() + 1);
        assert_eq!(quantities.iter().filter(|it| it["ordered"] == true).count(), 1);
        let cents = |value: &Value| (number(value) * 100.0).round() as i64;
        for it in quantities {
            let lines: i64 = it["lines"].as_object().unwrap().values().map(cents).sum();
            assert_eq!(lines, cents(&it["cost"]), "{it}");
            assert_eq!(cents(&it["cost"]) + cents(&it["margin"]), cents(&it["price"]), "{it}");
            let each = number(&it["price"]) / number(&it["parts"]);
            assert!((each - number(&it["price_each"])).abs() <= 0.000_05 + 1e-9);
            assert_eq!(it["cut_list_proven"], true);
        }
        let prices: Vec<i64> = quantities.iter().map(|it| cents(&it["price"])).collect();
        assert!(prices.is_sorted(), "{prices:?}");
    }
}

#[test]
fn a_plan_tells_what_a_part_costs_where_a_shop_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let out = |name: &str| folder.path().join(name).display().to_string();
    let json = |arguments: &[&str]| -> Value {
        let (code, text, err) = run(arguments);
        assert_eq!((code, err.as_str()), (0, ""));
        serde_json::from_str(&text).unwrap()
    };
    let plan = ["plan", JOB, "--json", "--no-sheet", "--out"];
    let with = json(&[&plan[..], &[&out("a"), "--shop", SHOP]].concat());
    let without = json(&[&plan[..], &[&out("b")]].concat());
    let quote = json(&["quote", JOB, "--shop", SHOP, "--json", "--out", &out("c")]);
    let ordered = quote["quantities"].as_array().unwrap().iter().find(|it| it["ordered"] == true);
    let ordered = ordered.unwrap();
    let cost = &with["cost"];
    let each = number(&ordered["cost"]) / number(&ordered["parts"]);
    assert!((number(&cost["per_part"]) - each).abs() < 0.000_051, "{cost}");
    let lines = ["material", "machine", "edges", "attention", "setup", "overhead"];
    let sum: f64 = lines.iter().map(|line| number(&cost[*line])).sum();
    assert!((sum - each).abs() < 0.000_4 && cost["currency"] == "EUR", "{cost}");
    let unproven = |answer: &Value| {
        answer["unproven"].as_array().unwrap().iter().any(|it| it["what"] == "cost")
    };
    assert!(without["cost"].is_null() && unproven(&without) && !unproven(&with));
    let (_, text, _) = run(&["plan", JOB, "--no-sheet", "--out", &out("d"), "--shop", SHOP]);
    assert!(text.contains(&format!("{each:.4} EUR a part")), "{text}");
}

/// Every figure and word of the account that the customer's page must not have.
fn inner_figures(quote: &cost::Quote, shop: &Shop) -> Vec<String> {
    let rates = shop.rates.as_ref().unwrap();
    let mut figures = vec![
        rates.lathe_hour.to_string(),
        rates.person_hour.to_string(),
        rates.programming_hour.to_string(),
        rates.minimum.to_string(),
    ];
    for it in &quote.priced {
        figures.extend(
            [it.cost, it.margin(), it.certainty.low, it.certainty.high].map(|it| it.to_string()),
        );
        figures.extend(it.lines.iter().map(|line| line.money.to_string()));
    }
    figures.retain(|figure| figure != "0.00");
    let words =
        ["margin", "overhead", "attention", "scrap", "an hour", "cost", "loss", "edges", "cycle"];
    figures.extend(words.map(str::to_owned));
    figures
}

fn holds(text: &str, figure: &str) -> bool {
    // A figure inside of a longer one is another one.
    let digit = |letter: Option<char>| letter.is_some_and(|it| it.is_ascii_digit() || it == '.');
    text.match_indices(figure).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + figure.len()..].chars().next();
        !figure.starts_with(|it: char| it.is_ascii_digit()) || !(digit(before) || digit(after))
    })
}

#[test]
fn the_customers_page_has_no_figure_of_the_shops_own() {
    let (job, answer, shop) = demo();
    let quote = cost::quote(&job, &answer, &shop, &Asked::default()).unwrap();
    let customer = view::sheet::text(&view::quote::customer(&job, &shop, &quote, &letter()));
    let rates = shop.rates.clone().unwrap();
    let inner = view::sheet::text(&view::quote::inner(&job, &answer, &shop, &rates, &quote));
    for figure in inner_figures(&quote, &shop) {
        assert!(!holds(&customer.to_lowercase(), &figure), "{figure} stands on it:\n{customer}");
    }
    // The inner page has them, so that the look-up above finds what is there.
    for it in &quote.priced {
        for money in [it.cost, it.margin(), it.price] {
            assert!(holds(&inner, &money.to_string()), "{money}:\n{inner}");
            assert!(
                money != it.price || holds(&customer, &money.to_string()),
                "{money}:\n{customer}"
            );
        }
    }
    for words in [
        "Lamp Works, Mr. Ives",
        "Q-0417",
        "2026-11-26",
        "30 days from its date",
        "Harbor Lane Turning",
    ] {
        assert!(customer.contains(words), "{words}\n{customer}");
    }
    // What is not said stays a line to write on.
    let open = view::sheet::text(&view::quote::customer(&job, &shop, &quote, &Letter::default()));
    assert_eq!(open.matches("______").count(), 3 * 5, "{open}");
}

#[cfg(feature = "sheets")]
#[test]
fn both_pages_are_set_as_pdf() {
    use lopdf::Document;
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().display().to_string();
    let said = ["--for", "Lamp Works", "--number", "Q-0417", "--date", "2026-11-26"];
    let mut arguments = vec!["quote", JOB, "--shop", SHOP, "--out", &out];
    arguments.extend(said);
    assert_eq!(run(&arguments).0, 0);
    let text = |name: &str| {
        let pdf = Document::load(folder.path().join(name)).unwrap();
        let pages: Vec<u32> = pdf.get_pages().keys().copied().collect();
        let text = pdf.extract_text(&pages).unwrap().replace('\u{200b}', "");
        (pages.len(), text.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let (pages, customer) = text("customer.pdf");
    assert_eq!(pages, 1, "{customer}");
    let (_, inner) = text("inner.pdf");
    let (job, answer, shop) = demo();
    let quote = cost::quote(&job, &answer, &shop, &Asked::default()).unwrap();
    for figure in inner_figures(&quote, &shop) {
        assert!(!holds(&customer.to_lowercase(), &figure), "{figure} stands on it:\n{customer}");
    }
    for it in &quote.priced {
        assert!(holds(&customer, &it.price.to_string()) && holds(&inner, &it.price.to_string()));
        assert!(holds(&inner, &it.cost.to_string()), "{inner}");
    }
    assert!(inner.contains("For the shop only"), "{inner}");
    assert!(!customer.contains("set-up sheet"), "{customer}");
}

/// The demo's folder with a changed job.
fn changed(folder: &Path, find: &str, write: &str) -> String {
    for entry in fs::read_dir(root("demo/detent-pin")).unwrap().flatten() {
        if entry.path().is_file() {
            fs::copy(entry.path(), folder.join(entry.file_name())).unwrap();
        }
    }
    let job = folder.join("detent-pin.job.toml");
    let text = fs::read_to_string(&job).unwrap();
    assert_eq!(text.matches(find).count(), 1, "{find}");
    fs::write(&job, text.replace(find, write)).unwrap();
    job.display().to_string()
}

#[test]
fn nothing_is_quoted_or_compared_against_a_stop() {
    let folder = tempfile::tempdir().unwrap();
    let job = changed(folder.path(), "\nlength = 1000 ", "\nlength = 1400 ");
    for (command, words) in [("quote", "no quote"), ("loading", "no comparison")] {
        let (code, text, _) = run(&[command, &job, "--shop", SHOP]);
        assert_eq!(code, 1);
        assert!(text.contains(words) && text.contains("bar-behind-spindle"), "{text}");
        assert!(!text.contains("EUR"), "{text}");
        let (code, text, _) = run(&[command, &job, "--shop", SHOP, "--json"]);
        let answer: Value = serde_json::from_str(&text).unwrap();
        assert_eq!((code, answer["verdict"].as_str()), (1, Some("stop")));
        assert_eq!(answer["quantities"].as_array().map(Vec::len), Some(0));
        assert_eq!(answer["findings"][0]["id"], "bar-behind-spindle");
    }
    let written = fs::read_dir(folder.path()).unwrap().flatten();
    assert!(written.into_iter().all(|entry| entry.path().is_file()), "nothing is written");
}

#[test]
fn a_shop_file_is_found_beside_the_job_or_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let job = changed(folder.path(), "quantity = 400", "quantity = 40");
    let (code, out, err) = run(&["quote", &job]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("shop.toml") && err.contains("--shop FILE"), "{err}");
    fs::copy(root(SHOP), folder.path().join("shop.toml")).unwrap();
    let (code, out, err) = run(&["quote", &job, "--made-before"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("For the 40 ordered"), "{out}");
    assert!(folder.path().join("detent-pin.quote/quote.json").exists());
}

#[test]
fn what_is_wrong_with_a_shop_is_told_at_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let good = fs::read_to_string(root(SHOP)).unwrap();
    let shop = folder.path().join("shop.toml");
    let says = |command: &str, find: &str, write: &str, words: &[&str]| {
        assert!(good.contains(find), "{find}");
        fs::write(&shop, good.replacen(find, write, 1)).unwrap();
        let out = folder.path().join("out").display().to_string();
        let (code, text, err) =
            run(&[command, JOB, "--shop", &shop.display().to_string(), "--out", &out]);
        assert_eq!((code, text.as_str()), (2, ""), "{write}: {err}");
        for words in words {
            assert!(err.contains(words), "{words}\n{err}");
        }
        assert!(!folder.path().join("out").exists(), "nothing is written");
    };
    says("quote", "lathe_hour = 31  ", "# lathe_hour", &["the key `rates.lathe_hour` is missing"]);
    says(
        "quote",
        "lathe_hour = 31  ",
        "lathe_hour = 31.005",
        &["finer than a hundredth of the coin"],
    );
    says(
        "quote",
        "margin = 0.14 ",
        "margin = 14 ",
        &["`rates.margin` cannot be 14", "share of the price"],
    );
    says("quote", "gauge = 1.5 ", "# gauge", &["gauging needs the key `gauge`"]);
    says("quote", "quantity = 100\n", "quantity = 50\n", &["50 parts are quoted twice"]);
    says(
        "quote",
        "size = 12\nlength = 3050\n",
        "size = 13\nlength = 3050\n",
        &[
            "the stock of steel-12l14, round 12.000 mm that is there is not enough",
            "leave out `available`",
        ],
    );
    says(
        "quote",
        "[rates.scatter]",
        "[rates.scater]",
        &["there is no key", "did you mean `scatter`?"],
    );
    says("loading", "remnant = 185\n", "", &["this way of loading needs the key `remnant`"]);
    says("loading", "kind = \"magazine\"", "kind = \"feeder\"", &["feeder", "magazine"]);
    says("loading", "resale = 6000", "resale = 60000", &["worth more when the years are over"]);
    says(
        "loading",
        "bar_length = 3050 ",
        "bar_length = 6000 ",
        &["no stock of steel-12l14, round 12.000 mm is long enough for a bar of 6000.000 mm"],
    );
    says(
        "loading",
        "[investment]\ninterest = 0.07\nyears = 6\nparts_a_year = 30000        # pins and their like\norder = 600\n",
        "",
        &["the shop file does not say by what ways are judged"],
    );
}
