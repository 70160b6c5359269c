//! One shop file for every question of a shop: `docs/shop.md` and `docs/shop/` are the answers for five lathes.

use crate::expect::{differs, differs_but_for_roles, root};
use crate::quote::before_files;
use crate::ran::run;
use barwright::files::Disk;
use cost::Asked;
use model::Level;
use model::files::Shop;
use model::files::job::Job;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use view::quote::Letter;

const SHOP: &str = "demo/five-lathes/shop.toml";
const WEEK: &str = "demo/five-lathes/week-49.stock.toml";
const JOB: &str = "demo/gallery/mm/nozzle.job.toml";
const FROM: &str = "2026-12-01T06:00";
const CUSTOMER: [&str; 3] = ["Orchard Sprayers", "Q-0533", "2026-11-30"];

const HEAD: &str = "\
<!-- made from demo/five-lathes by tests/it/shop.rs -->
# A shop's week

*Mill Race Turning* has five lathes, a band saw, a rack and two people. Shop, people, orders and all figures are
invented. One file tells it all, [shop.toml](../demo/five-lathes/shop.toml); this page asks it four questions in the
week from Monday 30 November 2026. Below each command stands what it answers. A test runs the commands and holds the
page to them; `UPDATE_EXPECT=1 cargo test --test it shop` writes the page anew.

| question | command | how it is reckoned |
|---|---|---|
| What do we buy, and what do we saw? | `barwright stock` | [README](../README.md) |
| What do we charge? | `barwright quote` | [quote.md](quote.md) |
| Is another way of loading worth it? | `barwright loading` | [loading.md](loading.md) |
| Who goes to which lathe, and when? | `barwright visits` | [visits.md](visits.md) |
";

/// A command as one types it.
fn typed(arguments: &[&str]) -> String {
    let quoted = |word: &&str| {
        let plain = word.bytes().all(|byte| byte.is_ascii_graphic());
        if plain { (*word).to_owned() } else { format!("\"{word}\"") }
    };
    let words: Vec<String> = arguments.iter().map(quoted).collect();
    format!("\n```sh\nbarwright {}\n```\n", words.join(" "))
}

fn shown(text: &str) -> String {
    format!("\n```text\n{}\n```\n", text.trim_end())
}

/// What a command says; its files go into the folder.
fn said(arguments: &[&str], out: &Path) -> String {
    let out = out.display().to_string();
    let (code, text, err) = run(&[arguments, &["--out", &out]].concat());
    assert_eq!((code, err.as_str()), (0, ""), "{arguments:?}");
    text
}

/// Files that a command wrote, held to those of docs/shop.
fn kept(folder: &Path, names: &[&str]) -> Vec<String> {
    let wrong = names.iter().filter_map(|name| {
        let text = fs::read_to_string(folder.join(name)).unwrap();
        differs_but_for_roles(&root(&format!("docs/shop/{name}")), &text)
    });
    wrong.collect()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// What is bought, taken from the rack and put back, for each material.
fn shopping(answer: &Value) -> String {
    let mut text = String::from(
        "\n| material | to buy | they cost | from the rack | back to the rack |\n|---|---|---|---|---|\n",
    );
    let mut sum = 0.0;
    for list in answer["cut_lists"].as_array().unwrap() {
        let (mut buy, mut cost) = (Vec::new(), 0.0);
        let (mut taken, mut back) = (Vec::new(), Vec::new());
        let mut new: Vec<(f64, u64)> = Vec::new();
        for bar in list["bars"].as_array().unwrap() {
            let (length, times) = (number(&bar["length_mm"]), bar["times"].as_u64().unwrap());
            if bar["from"] == "stock" {
                cost += number(&bar["price"]) * times as f64;
                match new.iter_mut().find(|it| (it.0 - length).abs() < 1e-6) {
                    Some(same) => same.1 += times,
                    None => new.push((length, times)),
                }
            } else {
                taken.push(format!("{times} of {length} mm, {}", bar["place"].as_str().unwrap()));
            }
            if bar["kept"] == true {
                back.push(format!("{times} of {:.0} mm", number(&bar["rest_mm"]).floor()));
            }
        }
        buy.extend(new.iter().map(|(length, times)| format!("{times} of {length} mm")));
        sum += cost;
        let of = |list: &[String]| if list.is_empty() { "–".to_owned() } else { list.join("; ") };
        let _ = writeln!(
            text,
            "| {}, {} {} mm | {} | {cost:.2} EUR | {} | {} |",
            list["material"].as_str().unwrap(),
            list["shape"].as_str().unwrap(),
            number(&list["size_mm"]),
            of(&buy),
            of(&taken),
            of(&back)
        );
    }
    let _ = writeln!(text, "\nAll that is bought costs {sum:.2} EUR.");
    text
}

/// The longest blank of a lot, with its parts.
fn longest(answer: &Value, lot: &str) -> (f64, u64) {
    let lists = answer["cut_lists"].as_array().unwrap().iter();
    let bars = lists.flat_map(|list| list["bars"].as_array().unwrap());
    let blanks = bars.flat_map(|bar| bar["blanks"].as_array().unwrap());
    let of_lot = blanks.filter(|blank| blank["for"] == lot);
    of_lot
        .map(|blank| (number(&blank["length_mm"]), blank["parts"].as_u64().unwrap()))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap()
}

fn sawing(folder: &Path, wrong: &mut Vec<String>) -> (String, Value) {
    let asked = ["stock", WEEK];
    let list = said(&asked, folder);
    let json = fs::read_to_string(folder.join("cut-list.json")).unwrap();
    let answer: Value = serde_json::from_str(&json).unwrap();
    let lists = answer["cut_lists"].as_array().unwrap();
    assert!(lists.iter().all(|list| list["proven"] == true), "{list}");
    let pictures: Vec<String> = (1..=lists.len()).map(|at| format!("cut-list-{at}.svg")).collect();
    let mut names: Vec<&str> = pictures.iter().map(String::as_str).collect();
    names.extend(["labels-1.svg", "cut-list.csv"]);
    wrong.extend(kept(folder, &names));
    let mut text = String::from(
        "\n## What to buy and saw\n\nThe week's orders stand in [week-49.stock.toml](../demo/five-lathes/week-49.stock.toml). \
         A blank is what is sawn\nfrom a bar to go into a lathe. How long the blanks of an order are is chosen, so that bars \
         and loading together cost\nleast; those of lathe 5 have a given length, and their loading is not counted.\n",
    );
    text += &typed(&asked);
    text += &shopping(&answer);
    text +=
        "\nHow each bar is sawn; gold is the end that is trimmed off first, light is the rest:\n";
    for (list, picture) in lists.iter().zip(&pictures) {
        let material = list["material"].as_str().unwrap();
        let _ = writeln!(text, "\n{material}:\n\n![Bars of {material}](shop/{picture})");
    }
    text += &shown(&before_files(&list));
    text += "\nFor the saw: [labels to stick on](shop/labels-1.svg), the first page of them, and the \
             [table](shop/cut-list.csv).\n";
    (text, answer)
}

/// The customer's page of the nozzle as text; the command sets the same page as PDF.
fn customers_page() -> (String, BTreeSet<&'static str>) {
    let source = Disk::text(&root(JOB)).unwrap();
    let job = Job::read(&source, &Disk::beside(&root(JOB))).value.unwrap();
    let job = plan::alternatives::settled(job);
    let shop = Shop::read(&Disk::text(&root(SHOP)).unwrap()).value.unwrap();
    let answer = plan::plan(&job);
    let quote = cost::quote(&job, &answer, &shop, &Asked::default()).unwrap();
    let [customer, number, date] = CUSTOMER.map(|it| Some(it.to_owned()));
    let letter = Letter { customer, number, date };
    let page = view::sheet::text(&view::quote::customer(&job, &shop, &quote, &letter));
    let cautions = answer.findings.iter().filter(|it| it.level == Level::Caution);
    (page, cautions.map(|it| it.id).collect())
}

fn charging(folder: &Path, wrong: &mut Vec<String>) -> String {
    let [customer, number, date] = CUSTOMER;
    let asked =
        ["quote", JOB, "--shop", SHOP, "--for", customer, "--number", number, "--date", date];
    let account = before_files(&said(&asked, folder));
    wrong.extend(kept(folder, &["prices.csv", "account.csv"]));
    let (page, cautions) = customers_page();
    let mut text = String::from(
        "\n## What to charge\n\nA customer asks for 200 of the spray nozzle, and what more or fewer would cost.\n",
    );
    text += &typed(&asked);
    text += &shown(&account);
    if !cautions.is_empty() {
        let words: Vec<&str> = cautions.into_iter().collect();
        let _ = writeln!(
            text,
            "\nIts cautions: `{}`; `barwright explain NAME` tells what one means. A price does not mend them: they are \
             looked\ninto before the first part is run.",
            words.join("`, `")
        );
    }
    text += "\nAn edge is a cutting edge that is used up. Attention is the part of a person's hours that the lathe takes \
             while it works.\n\
             \nTables: [prices](shop/prices.csv), [every line](shop/account.csv).\n\
             \nThe customer gets this page as PDF; nothing of the account stands on it:\n";
    text + &shown(&page)
}

fn way_of_loading(folder: &Path, wrong: &mut Vec<String>) -> String {
    let asked = ["loading", JOB, "--shop", SHOP];
    let compared = before_files(&said(&asked, folder));
    wrong.extend(kept(folder, &["loading-cost.svg", "loading-worth.svg"]));
    let mut text = String::from(
        "\n## Which way of loading\n\nThe shop loads with grippers and has been offered a magazine for lathe 3. It looks at its \
         nozzles and their like.\n",
    );
    text += &typed(&asked);
    text += &shown(&compared);
    text += "\n\"With capital\" is a part's cost with its share of what was bought for it. Present worth is what buying is \
             worth in\ntoday's money: below nothing, the money is better left in the bank.\n\
             \n![What a part costs with each way](shop/loading-cost.svg)\n\
             \n![What moves the worth of the dearest way](shop/loading-worth.svg)\n";
    text
}

/// Part of an answer, from one of its lines up to another.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let start = text.find(from).unwrap_or_else(|| panic!("no {from:?} in\n{text}"));
    let rest = &text[start..];
    &rest[..rest.find(to).unwrap_or_else(|| panic!("no {to:?} in\n{rest}"))]
}

fn visiting(sawn: &Value) -> String {
    let asked = ["visits", SHOP, "--from", FROM];
    let (code, answer, err) = run(&asked);
    assert_eq!((code, err.as_str()), (0, ""));
    let mut text = String::from(
        "\n## Who goes where\n\nTuesday, six o'clock: Mara opens the door. Joost comes at eight, and he has not learned lathe 5 \
         yet.\n",
    );
    text += &typed(&asked);
    text += &shown(between(&answer, "Mill Race", "\nVisits\n"));
    text += "\nLost is all time in which a lathe has work and does not run. Much of it is the night, when nobody is there to \
             load.\nThat a lathe may be left by the clock does not make it safe to leave: guards, the cautions of its plan and the rules of\nthe place come first.\n\
             \n![Five lathes along one clock, with who is at them](visits/lanes.svg)\n";
    text += &shown(between(&answer, "Lathes\n", "\nUnproven"));
    text += "\n[Every visit of the day](visits/timetable.txt), the same [as a calendar](visits/visits.ics), what \
             [one more person](visits/one-more.txt) would bring.\n";

    let (length, parts) = longest(sawn, "Spray nozzle");
    let source = Disk::text(&root(JOB)).unwrap();
    let job = Job::read(&source, &Disk::beside(&root(JOB))).value.unwrap();
    let bar = job.file.bar.length;
    let divided = plan::plan(&job).bar.division.parts_per_bar(bar);
    assert!(parts > u64::from(divided), "the list's blanks are the longer ones");
    let what_if = format!("Lathe 3={length}mm");
    let asked = [&asked[..], &["--bar", &what_if]].concat();
    let (code, other, _) = run(&asked);
    assert_eq!(code, 0);
    let _ = write!(
        text,
        "\nThe timetable takes bars as the job files have them: nozzles from {}, {divided} parts each. The cut list above \
         found\nthat blanks of {length} mm, {parts} parts each, cost less. Do they save walking too?\n",
        bar.shown(model::Units::Mm).replace(".000", "")
    );
    text += &typed(&asked);
    text += &shown(between(&other, "Mill Race", "\nWho goes"));
    text + "\nWhere the difference is less than what \"can be gained\", the two timetables do not tell which is better.\n"
}

#[test]
fn the_page_of_the_shop_shows_what_its_file_answers() {
    let folder = tempfile::tempdir().unwrap();
    let beside = |name: &str| folder.path().join(name);
    let mut wrong = Vec::new();
    let (saw, sawn) = sawing(&beside("saw"), &mut wrong);
    let page = [
        HEAD.to_owned(),
        saw,
        charging(&beside("quote"), &mut wrong),
        way_of_loading(&beside("loading"), &mut wrong),
        visiting(&sawn),
    ];
    wrong.extend(differs(&root("docs/shop.md"), &page.concat()));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The file is read without a word by every command, and its customer's page says whose it is.
#[test]
fn one_shop_stands_in_the_file() {
    let read = Shop::read(&Disk::text(&root(SHOP)).unwrap());
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    let shop = read.value.unwrap();
    let (page, _) = customers_page();
    for words in ["Mill Race Turning", "Mill Race 4", CUSTOMER[0], CUSTOMER[1], CUSTOMER[2]] {
        assert!(page.contains(words), "{words}\n{page}");
    }
    // What a blank costs to load is a person's time for it, in the list as in the timetable.
    let file: toml::Table = toml::from_str(&fs::read_to_string(root(SHOP)).unwrap()).unwrap();
    let minutes = file["attend"]["load"].as_integer().unwrap() as f64;
    let hour = file["rates"]["person_hour"].as_integer().unwrap() as f64;
    assert!((file["loading"].as_float().unwrap() - minutes * hour / 60.0).abs() < 0.005);
    assert_eq!(file["rates"]["load_bar"].as_integer(), file["attend"]["load"].as_integer());
    assert_eq!(shop.ways.len(), 4);
}
