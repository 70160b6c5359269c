//! The page that compares ways of loading: what a part costs with each, how long each binds a person, from when
//! each is worth what it costs to buy, and what moves that.

use super::chart::chart;
use super::field::Fields;
use super::frame::{Frame, address};
use super::job::{self, Piece, piece};
use super::marks::State;
use super::price::{self, Reckoned};
use super::questions::said;
use super::sheets;
use super::working;
use crate::loading::{
    account_table, beside_words, by_quantity, parts_table, summary, swings, worth_table,
    worth_words,
};
use crate::pictures::{loading_cost, loading_worth};
use cost::Loading;
use cost::loading::WayCost;
use maud::{Markup, html};
use model::Money;
use model::files::shop::Shop;

/// Ways of loading compared, or why they are not.
pub type Ways = Reckoned<Loading>;

/// The comparison and what its pieces need beside it.
struct Compared<'a> {
    shop: &'a Shop,
    loading: &'a Loading,
    /// Where its tables and pictures are.
    files: String,
}

struct Question {
    id: &'static str,
    asked: &'static str,
    answer: fn(&Compared<'_>) -> Markup,
    working: fn(&Compared<'_>) -> Markup,
}

const QUESTIONS: [Question; 6] = [
    Question {
        id: "ways-least",
        asked: "Which way costs least?",
        answer: least,
        working: accounts,
    },
    Question {
        id: "ways-each",
        asked: "What does a part cost with each?",
        answer: each,
        working: costs,
    },
    Question {
        id: "ways-person",
        asked: "How long does each bind a person?",
        answer: person,
        working: person_known,
    },
    Question {
        id: "ways-worth",
        asked: "From when is each worth its price?",
        answer: worth,
        working: worth_known,
    },
    Question {
        id: "ways-moves",
        asked: "What moves that most?",
        answer: moves,
        working: moves_known,
    },
    Question { id: "ways-open", asked: "What is not in it?", answer: open, working: open_known },
];

/// Every piece of the page. `name` is the job as its address has it.
pub fn pieces(name: &str, ways: &Ways) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for (index, question) in QUESTIONS.iter().enumerate() {
        let (answer, working) = match ways {
            Ways::Known(it) => {
                let files = format!("/table/loading/{}", address(name));
                let shown = Compared { shop: &it.0, loading: &it.1, files };
                ((question.answer)(&shown), (question.working)(&shown))
            }
            why if index == 0 => (why.why_not("compared"), mend(why)),
            _ => (none("the ways can be compared"), html! {}),
        };
        pieces.push(piece(format!("{}-said", question.id), answer));
        pieces.push(piece(format!("{}-known", question.id), working));
    }
    pieces
}

/// The pieces where the files of the job cannot be used.
pub fn without_answer() -> Vec<Piece> {
    let said =
        QUESTIONS.iter().map(|question| (question.id, "said", none("the files can be used")));
    let known = QUESTIONS.iter().map(|question| (question.id, "known", html! {}));
    said.chain(known).map(|(id, which, inside)| piece(format!("{id}-{which}"), inside)).collect()
}

fn none(until: &str) -> Markup {
    html! { p class="none" { "No answer until " (until) "." } }
}

fn mend(why: &Ways) -> Markup {
    html! {
        @if matches!(why, Ways::NoShop) {
            (price::without_shop())
            p { "For ways of loading it says beside that, for each way, what it costs and takes, and by what they are judged:" }
            pre { (WAYS) }
        }
    }
}

/// The least that a shop file says to compare ways.
const WAYS: &str = "[[way]]\nname = \"Gripper\"\nkind = \"gripper\"       # or stop, slug, magazine\ncapital = 1500         # to buy\n\n[[way]]\nname = \"By hand to a stop\"\nkind = \"stop\"\nfeed = 15              # seconds that the lathe stands for an advance\nhand = 20              # seconds of a person for it\n\n[investment]\ninterest = 0.06\nyears = 5\nparts_a_year = 20000\n";

/// The page. Blanks are those of the shop file.
pub fn page(
    frame: &Frame<'_>,
    name: &str,
    pieces: &[Piece],
    fields: &Fields,
    papers: bool,
) -> String {
    let body = html! {
        (job::head(name, frame.title, pieces, fields))
        main id="content" class="questions plain" {
            @for question in &QUESTIONS {
                section class="question" id=(question.id) aria-labelledby={ (question.id) "-asked" } {
                    h2 id={ (question.id) "-asked" } { (question.asked) }
                    div class="told" {
                        (job::place(pieces, &format!("{}-said", question.id)))
                        (blanks(question.id, fields))
                        @if question.id == "ways-least" && papers {
                            p class="take" { a download="loading.pdf" href={ "/paper/loading/" (address(name)) } { "All of it as PDF" } }
                        }
                        (working::working(question.id, &job::place(pieces, &format!("{}-known", question.id))))
                    }
                }
            }
        }
    };
    frame.page(&["job.js", "chart.js"], &body)
}

/// The figures that bear on a question and may be tried.
fn blanks(question: &str, fields: &Fields) -> Markup {
    let of_all = |keys: &[(&str, &str)]| -> Vec<(String, String)> {
        keys.iter().map(|(key, name)| ((*key).to_owned(), (*name).to_owned())).collect()
    };
    let of_ways = |key: &str, what: &str| -> Vec<(String, String)> {
        let name = |index: usize| fields.get("shop", &format!("way[{index}].name"));
        (0..)
            .map_while(name)
            .enumerate()
            .filter_map(|(index, name)| Some((index, name.value.as_ref()?)))
            .map(|(index, name)| (format!("way[{index}].{key}"), format!("{name}: {what}")))
            .collect()
    };
    let rows = match question {
        "ways-least" => of_all(&[
            ("investment.parts_a_year", "parts a year"),
            ("investment.order", "parts of an order"),
        ]),
        "ways-person" => of_ways("attention", "attention"),
        "ways-worth" => {
            let mut rows = of_all(&[
                ("investment.interest", "interest a year"),
                ("investment.years", "years of use"),
            ]);
            rows.extend(of_ways("capital", "to buy"));
            rows
        }
        _ => Vec::new(),
    };
    let rows: Vec<(&str, &str, &str)> =
        rows.iter().map(|(key, name)| ("shop", key.as_str(), name.as_str())).collect();
    html! { @if !rows.is_empty() { (fields.row(&rows)) } }
}

fn least(shown: &Compared<'_>) -> Markup {
    html! {
        (said(State::Note, &summary(shown.shop, shown.loading)))
        (sheets::table(&parts_table(shown.loading)))
        (sheets::csv(&shown.files, "ways"))
        p class="warning" {
            "A bar behind the spindle belongs into a magazine that guards it along its whole length, never into the open."
        }
    }
}

fn accounts(shown: &Compared<'_>) -> Markup {
    html! {
        p {
            "Each way has the account of the price, line by line, without programming, overhead and margin, which no way "
            "changes. With capital: what it costs to buy, spread over the years at the interest, and upkeep, borne by the "
            "parts of a year. Cutting is the plan's whichever way stock comes."
        }
        (sheets::table(&account_table(shown.loading)))
        (sheets::csv(&shown.files, "way-accounts"))
    }
}

fn each(shown: &Compared<'_>) -> Markup {
    let scene = loading_cost::scene(shown.loading, &shown.shop.currency);
    html! { (chart("loading-cost", &scene, Some(&shown.files))) }
}

fn costs(shown: &Compared<'_>) -> Markup {
    let (heads, rows) = by_quantity(shown.loading);
    html! {
        p { "Cost of a part = account of an order / its good parts + (capital of a year + upkeep) / parts of a year." }
        div class="scroll" tabindex="0" role="region" aria-label="What a part costs by quantity" {
            table {
                caption { "What a part costs by parts a year, " (shown.shop.currency) }
                thead { tr { @for head in &heads { th scope="col" class="ends" { (head) } } } }
                tbody { @for row in &rows { tr {
                    @for (index, cell) in row.iter().enumerate() {
                        @if index == 0 { th scope="row" class="figures ends" { (cell) } } @else { td class="figures ends" { (cell) } }
                    }
                } } }
            }
        }
        (sheets::csv(&shown.files, "by-quantity"))
    }
}

fn a_year(way: &WayCost, loading: &Loading) -> f64 {
    way.person.s() * f64::from(loading.investment.parts_a_year) / 3600.0
}

fn person(shown: &Compared<'_>) -> Markup {
    let ways = &shown.loading.ways;
    let hours = |way: &WayCost| a_year(way, shown.loading);
    let most = ways.iter().map(hours).fold(0.1, f64::max);
    let fewest = ways.iter().min_by(|a, b| hours(a).total_cmp(&hours(b)));
    html! {
        @if let Some(way) = fewest {
            (said(State::Note, &format!(
                "shortest with {}: {:.1} s a part, {:.0} hours a year.", way.way.name, way.person.s(), hours(way)
            )))
        }
        ul class="binds" {
            @for way in ways {
                li {
                    (way.way.name) ": " (format!("{:.1} s a part, {:.0} hours a year", way.person.s(), hours(way)))
                    svg viewBox="0 0 460 10" width="100%" height="10" preserveAspectRatio="none" aria-hidden="true" {
                        rect class="rung" width=(format!("{:.1}", 460.0 * hours(way) / most)) height="10" {}
                    }
                }
            }
        }
    }
}

fn person_known(_: &Compared<'_>) -> Markup {
    html! {
        p {
            "Setting up, loading, sawing, advancing by hand, changing edges, gauging, and the share of a person that looks "
            "after the lathe while it works. Not in it: that a lathe stands until someone comes, which hangs on who is where when."
        }
    }
}

fn worth(shown: &Compared<'_>) -> Markup {
    let loading = shown.loading;
    let steps = loading.ways.iter().filter_map(|way| Some((way, way.beside?)));
    let steps: Vec<_> = steps.collect();
    let dear =
        loading.ways.iter().filter(|way| way.beside.is_some_and(|it| it.worth >= Money::ZERO));
    let worth: Vec<&str> = dear.map(|way| way.way.name.as_str()).collect();
    html! {
        @if steps.is_empty() {
            (said(State::Note, "there is only one way, so nothing is set beside it."))
        } @else if worth.is_empty() {
            (said(State::Note, "none pays for itself at this quantity."))
        } @else {
            (said(State::Note, &format!("worth it at this quantity: {}.", worth.join(", "))))
        }
        ul { @for (way, step) in &steps { li { (beside_words(loading, way, step, &shown.shop.currency)) } } }
        (sheets::table(&worth_table(loading)))
        (sheets::csv(&shown.files, "worth"))
    }
}

fn worth_known(_: &Compared<'_>) -> Markup {
    html! {
        p {
            "Each way stands beside the best of those with less capital and upkeep a year, step by step, so that a dear way "
            "does not look good beside a poor one. Saved a year: what a part costs less, times the parts, less upkeep. "
            "Payback: capital / saved, without interest. Present worth: what is saved each year and the resale at the end, "
            "discounted by the interest, less the capital. Break-even: parts a year at which both cost the same."
        }
    }
}

fn moves(shown: &Compared<'_>) -> Markup {
    html! {
        @if let Some(scene) = loading_worth::scene(shown.loading, &shown.shop.currency) {
            (said(State::Note, &worth_words(shown.shop, shown.loading)))
            (chart("loading-worth", &scene, Some(&shown.files)))
        } @else { p class="none" { "There is only one way: nothing to be set beside it." } }
    }
}

fn moves_known(shown: &Compared<'_>) -> Markup {
    html! {
        @if let Some(sensitivity) = &shown.loading.sensitivity {
            (sheets::table(&swings(&sensitivity.swings)))
            (sheets::csv(&shown.files, "moves"))
        }
    }
}

fn open(shown: &Compared<'_>) -> Markup {
    html! { ul { @for line in &shown.loading.left_out { li { (super::say::words(line)) } } } }
}

fn open_known(_: &Compared<'_>) -> Markup {
    html! { p { "Tax, and what room, silence and an evening without a walk to the lathe are worth, are not reckoned either." } }
}
