//! What does it cost?

use super::{Question, Shown, said};
use crate::pages::frame::address;
use crate::pages::marks::State;
use crate::pages::price::{self, Price};
use crate::pages::say::{clock, counted, figure, sentence, words};
use crate::pages::working::{Line, lines};
use crate::quote::{ITEMS, raised_words};
use cost::account::{self, Item};
use cost::quote::Priced;
use cost::{Quote, Refusal};
use maud::{Markup, html};
use model::Money;
use model::files::shop::{Rates, Shop};

pub(super) const QUESTION: Question = Question {
    id: "cost",
    asked: "What does it cost?",
    blanks: &[
        ("shop", "rates.lathe_hour", "an hour of the lathe"),
        ("shop", "rates.person_hour", "an hour of a person"),
        ("shop", "rates.set_up", "setting up"),
        ("shop", "rates.attention", "attention"),
        ("shop", "rates.margin", "margin on the price"),
        ("tools", "station[turning].edge_price", "turning: an edge"),
        ("tools", "station[parting].edge_price", "parting: an edge"),
        ("job", "cutting.hour_rate", "for choosing speeds: an hour"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    match shown.price {
        Price::Known(it) => priced(shown, &it.0, &it.1),
        other => html! {
            (other.why_not("priced"))
            @if !matches!(other, Price::Refused(Refusal::Stop)) { (goods(shown)) }
        },
    }
}

/// What the order takes, where no money can be told.
fn goods(shown: &Shown<'_>) -> Markup {
    let edges: Option<u32> = shown.answer.edges.iter().map(|edge| edge.edges).sum();
    let edges = edges.map_or(String::new(), |edges| format!(" and {}", counted(edges, "edge")));
    html! {
        p {
            "In goods the order takes " (clock(shown.answer.times.order.s())) " of running, "
            (format!("{:.1}", shown.answer.bar.mass.kg())) " kg of bar" (edges) "."
        }
    }
}

fn priced(shown: &Shown<'_>, shop: &Shop, quote: &Quote<()>) -> Markup {
    let Some(it) = quote.priced.iter().find(|it| it.ordered) else { return goods(shown) };
    let open = quote.left_out.len() > 1;
    let name = address(shown.name);
    html! {
        (said(State::Note, &format!(
            "{:.4} {currency} a part: {} {currency} for the {} ordered, of which {} {currency} are margin.",
            it.each(), it.price, it.quantity, it.margin(), currency = shop.currency,
        )))
        @if let Some(why) = it.raised { p class="more" { (raised_words(it.quantity, why)) } }
        (by_quantity(quote, &shop.currency))
        @if open {
            p class="more" { "Not in the price: " (words(&quote.left_out.join("; "))) "." }
        }
        p class="take" {
            a href={ "/price/" (name) } { "How far the price holds, and its papers" }
            a href={ "/loading/" (name) } { "Other ways of loading" }
        }
    }
}

fn by_quantity(quote: &Quote<()>, currency: &str) -> Markup {
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Prices by quantity" {
            table class="prices" {
                caption { "Prices by quantity, " (currency) }
                thead { tr {
                    @for head in ["Parts", "Each", "All of them", "Cost", "Margin", "of the price"] {
                        th scope="col" class="ends" { (head) }
                    }
                } }
                tbody { @for it in &quote.priced {
                    tr class=[it.ordered.then_some("ordered")] {
                        th scope="row" class="figures ends" { @if it.ordered { "ordered: " } (it.quantity) }
                        td class="figures ends" { (format!("{:.4}", it.each())) }
                        @for money in [it.price, it.cost, it.margin()] { td class="figures ends" { (money) } }
                        td class="figures ends" { (percent_of(it.margin(), it.price)) }
                    }
                } }
            }
        }
    }
}

fn percent_of(share: Money, of: Money) -> String {
    format!("{:.1} %", 100.0 * share.amount() / of.amount().max(0.01))
}

fn working(shown: &Shown<'_>) -> Markup {
    let Price::Known(it) = shown.price else {
        return html! {
            @if matches!(shown.price, Price::NoShop) { (price::without_shop()) }
            (running(shown))
        };
    };
    let (shop, quote) = &**it;
    let ordered = quote.priced.iter().find(|it| it.ordered);
    let (Some(it), Some(rates)) = (ordered, &shop.rates) else { return running(shown) };
    html! {
        p { "Where it comes from, for the " (it.quantity) " ordered; " (it.work.parts) " are made, the others are lost in setting up and running." }
        div class="scroll" tabindex="0" role="region" aria-label="Where the price comes from" {
            table class="account" {
                thead { tr {
                    th scope="col" { "For" } th scope="col" class="ends" { "A part, " (shop.currency) }
                    th scope="col" class="ends" { "All of them" } th scope="col" { "Share of the price" }
                } }
                tbody {
                    @for item in ITEMS { (line(item, it, rates, quote)) }
                    (row("cost", it.cost, it, &html! { p { "The sum of the lines above." } }))
                    (row("margin", it.margin(), it, &html! {
                        p { "Price = cost / (1 − margin), never below the least that an order is charged, and never below the price of a smaller quantity." }
                    }))
                    (row("price", it.price, it, &html! { p { "Cost and margin. The price of a part is that of the whole quantity, divided." } }))
                }
            }
        }
    }
}

fn line(item: Item, it: &Priced<()>, rates: &Rates, quote: &Quote<()>) -> Markup {
    let Line { formula, numbers, source, .. } = how(item, it, rates, quote);
    row(
        item.name(),
        it.of(item),
        it,
        &html! {
            p class="formula" { (formula) }
            p class="numbers" { (numbers) " = " (it.of(item)) }
            p { (words(source)) }
        },
    )
}

/// A row whose name opens to how it is reckoned.
fn row(name: &str, money: Money, it: &Priced<()>, why: &Markup) -> Markup {
    const WIDTH: f64 = 120.0;
    let each = money.amount() / f64::from(it.quantity);
    let share = (money.amount() / it.price.amount().max(0.01)).clamp(-1.0, 1.0);
    html! {
        tr class=[(name == "price" || name == "cost").then_some("sum")] {
            th scope="row" { details class="why" id={ "cost-of-" (name.replace(' ', "-")) } { summary { (sentence(name)) } (why) } }
            td class="figures ends" { (format!("{each:.4}")) }
            td class="figures ends" { (money) }
            td {
                svg class="share" viewBox="0 0 120 10" aria-hidden="true" {
                    rect class=[(share < 0.0).then_some("less")] width=(format!("{:.1}", WIDTH * share.abs())) height="10" {}
                }
                " " span class="figures" { (format!("{:.1} %", 100.0 * share)) }
            }
        }
    }
}

/// How a line is reckoned: the formula, the same with its numbers, and where those come from.
fn how(item: Item, it: &Priced<()>, rates: &Rates, quote: &Quote<()>) -> Line {
    let (course, work, wear, bought) = (&quote.course, &it.work, &quote.wear, &it.bought);
    let both = rates.lathe_hour + rates.person_hour;
    let (formula, numbers, source) = match item {
        Item::Programming => (
            "hour at the desk · time",
            format!("{} · {}", rates.programming_hour, clock(rates.programming.s())),
            "once for a part; `programming_hour` and `programming` of the shop file",
        ),
        Item::SetUp => (
            "(hour of the lathe + hour of a person) · time",
            format!("{both} · {}", clock(course.set_up.s())),
            "`set_up` of the shop file",
        ),
        Item::Material => (
            "bars − rests that go back to the rack",
            format!("{} − {}, {}", bought.bars, bought.rests, counted(bought.stock_bars, "bar")),
            if bought.proven {
                "the cheapest cut list, proven so; remnants are not used: next week's order is cut from new bars"
            } else {
                "a cut list that is not proven to be the cheapest; remnants are not used"
            },
        ),
        Item::Scrap => (
            "chips and solid pieces, by weight",
            format!("{:.2} kg of chips, {:.2} kg solid", bought.chips.kg(), bought.solid.kg()),
            if bought.scrap.is_some() {
                "`[[rates.scrap_price]]` of the shop file"
            } else {
                "the shop file has no price for this material's scrap, so nothing is taken off"
            },
        ),
        Item::Run => (
            "hour of the lathe · (the plan's time · the shop's factor + standing for bars and edges)",
            format!("{} · {}", rates.lathe_hour, clock(account::taken(work, wear, rates).s())),
            "`lathe_hour`, `time_factor`, `load_bar`; `edge_change` of the tools",
        ),
        Item::Edges => (
            "what a part uses up · parts made",
            format!("{} · {}", figure(wear.price), work.parts),
            "each edge to the low end of its life; `edge_price` of the tools",
        ),
        Item::Attention => (
            "hour of a person · (share while the lathe works + loading + changing edges)",
            format!(
                "{} · {}",
                rates.person_hour,
                clock(account::attended(course, work, wear, rates).s())
            ),
            "`person_hour`, `attention`, `load_bar`",
        ),
        Item::Gauging => (
            "hour of a person · time · parts gauged",
            format!(
                "{} · {}",
                rates.person_hour,
                clock(account::gauged(work, rates).unwrap_or_default().s())
            ),
            if rates.gauging.is_some() {
                "`gauge_every` and `gauge` of the shop file"
            } else {
                "the shop file does not say how often and how long, so nothing is reckoned"
            },
        ),
        Item::Overhead => (
            "share of work + share of material",
            format!(
                "{:.1} % of work, {:.1} % of material less scrap",
                100.0 * rates.overhead,
                100.0 * rates.material_overhead
            ),
            "`overhead` and `material_overhead` of the shop file",
        ),
    };
    Line { name: "", formula, numbers, source }
}

/// What running takes, without a shop.
fn running(shown: &Shown<'_>) -> Markup {
    let (job, answer) = (shown.job, shown.answer);
    let quantity = f64::from(job.file.order.quantity.max(1));
    let hours = answer.times.order.s() / 3600.0;
    let mut known = vec![Line {
        name: "Running",
        formula: "all bars of the order",
        numbers: format!(
            "{} = {} s a part",
            clock(answer.times.order.s()),
            figure(answer.times.order.s() / quantity)
        ),
        source: "without loading, set-up and gauging",
    }];
    if let Some(rate) = job.file.cutting.hour_rate {
        known.push(Line {
            name: "Of that, lathe and person",
            formula: "hours · rate",
            numbers: format!("{hours:.2} · {} = {:.2}", figure(rate), hours * rate),
            source: "in the money of the files; not the price of the order",
        });
    }
    lines(&known)
}
