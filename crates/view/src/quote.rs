//! A quote as two papers: the customer's page, which has no figure of the shop's own, and the inner page,
//! which has all of them.

use crate::pictures::part_drawing;
use crate::sheet::{Block, Chapter, Column, Facts, Sheet, Table, WIDTH, clock, counted, facts};
use crate::sizes::sizes;
use cost::account::{Item, Line};
use cost::quote::{Priced, Quote, Raised};
use model::Money;
use model::files::job::Job;
use model::files::keys::Choice as _;
use model::files::shop::{Rates, Shop};
use plan::Answer;

/// What a person says for one quote; what is left out stays a line to write on.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Letter {
    /// Who it is for.
    pub customer: Option<String>,
    /// Its number.
    pub number: Option<String>,
    /// Its date, as the person writes it.
    pub date: Option<String>,
}

/// A line to write on.
const BLANK: &str = "______________________________";

/// The customer's page.
pub fn customer<C>(job: &Job, shop: &Shop, quote: &Quote<C>, letter: &Letter) -> Sheet {
    let file = &job.file;
    let written = |text: &Option<String>| text.clone().unwrap_or_else(|| BLANK.to_owned());
    let mut from = vec![("From", shop.name.clone())];
    from.extend(shop.terms.address.iter().map(|line| ("", line.clone())));
    from.push(("For", written(&letter.customer)));
    from.push(("Number", written(&letter.number)));
    from.push(("Date", written(&letter.date)));
    if let Some(days) = shop.terms.valid_days {
        from.push(("Valid", format!("{} from its date", counted(days, "day"))));
    }
    let bar = &file.bar;
    let mut part = vec![
        ("Part", file.name.clone()),
        (
            "Material",
            format!("{}, {} {}", bar.material, bar.shape.word(), bar.size.shown(file.units)),
        ),
        ("Length", file.part.length.shown(file.units)),
        ("Asked for", counted(file.order.quantity, "part")),
    ];
    if let Some(due) = &file.order.due {
        part.push(("Due", due.clone()));
    }
    let mut blocks = vec![
        Block::Facts(Facts { name: "letter", title: "From and for", rows: facts(from) }),
        Block::Facts(Facts { name: "part", title: "What is quoted", rows: facts(part) }),
    ];
    if let Some(scene) = part_drawing::scene(file, &sizes(file), WIDTH) {
        blocks.push(Block::Picture("part", scene));
    }
    blocks.push(Block::Table(customer_prices(quote, &shop.currency)));
    if job.file.part.features.iter().any(|feature| feature.later) {
        blocks.push(Block::Words(
            "What is drawn dashed is cut in another operation and is not in these prices."
                .to_owned(),
        ));
    }
    blocks.extend(shop.terms.terms.iter().map(|line| Block::Words(line.clone())));
    blocks.push(Block::Table(Table {
        name: "signed",
        title: "Signed",
        columns: vec![
            Column::to_fill("For the shop", 10),
            Column::to_fill("Quantity ordered", 6),
            Column::to_fill("For the customer", 10),
            Column::to_fill("Date", 6),
        ],
        rows: vec![vec![String::new(); 4]],
    }));
    Sheet {
        kind: "quote",
        foot: "",
        job: file.name.clone(),
        programs: letter.number.clone().unwrap_or_default(),
        units: file.units,
        chapters: vec![Chapter::new("Quote", blocks)],
    }
}

fn customer_prices<C>(quote: &Quote<C>, currency: &str) -> Table {
    let row = |it: &Priced<C>| {
        vec![it.quantity.to_string(), each(it), it.price.to_string(), currency.to_owned()]
    };
    Table {
        name: "offer",
        title: "Prices",
        columns: vec![
            Column::figures("Parts", 6),
            Column::figures("Each part", 8),
            Column::figures("All of them", 8),
            Column::words("", 6),
        ],
        rows: quote.priced.iter().map(row).collect(),
    }
}

/// Price of one part: parts in number cost parts of a cent.
fn each<C>(priced: &Priced<C>) -> String {
    format!("{:.4}", priced.each())
}

/// The inner page.
pub fn inner(job: &Job, answer: &Answer, shop: &Shop, rates: &Rates, quote: &Quote) -> Sheet {
    let mut chapters = vec![
        Chapter::new("1  Prices", prices(shop, quote)),
        Chapter::new("2  What it costs", account(shop, rates, quote)),
        Chapter::new("3  How far that holds", certainty(shop, quote)),
    ];
    let mut open = vec![Block::List("Not in the price", quote.left_out.clone())];
    let cautions: Vec<String> = answer
        .findings
        .iter()
        .map(|finding| format!("{}: {}", finding.id, finding.message))
        .collect();
    if !cautions.is_empty() {
        open.push(Block::List("Found in the plan", cautions));
    }
    open.push(Block::Words(format!(
        "Of the plan {} unproven; `barwright plan` lists them. The part's cycle is {}, bars of {} give {} each.",
        match answer.unproven.len() {
            1 => "1 thing is".to_owned(),
            count => format!("{count} things are"),
        },
        clock(answer.times.cycle.s()),
        answer.bar.blank.shown(job.file.units),
        counted(answer.bar.parts_per_bar, "part"),
    )));
    chapters.push(Chapter::new("4  What is open", open));
    Sheet {
        kind: "quote, inner page",
        foot: "For the shop only: not for the customer.",
        job: job.file.name.clone(),
        programs: String::new(),
        units: job.file.units,
        chapters,
    }
}

fn prices(shop: &Shop, quote: &Quote) -> Vec<Block> {
    let row = |it: &Priced| {
        let percent = 100.0 * it.margin().amount() / it.price.amount().max(0.01);
        vec![
            it.quantity.to_string(),
            it.cost.to_string(),
            it.margin().to_string(),
            format!("{percent:.1} %"),
            it.price.to_string(),
            each(it),
            format!("{} to {}", it.certainty.low, it.certainty.high),
            format!("{:.1} %", 100.0 * it.certainty.loss),
        ]
    };
    let mut blocks = vec![Block::Table(Table {
        name: "prices",
        title: "Prices by quantity",
        columns: vec![
            Column::figures("Parts", 5),
            Column::figures("Cost", 7),
            Column::figures("Margin", 6),
            Column::figures("of the price", 6),
            Column::figures("Price", 7),
            Column::figures("Each part", 7),
            Column::figures("Cost, nine times of ten", 12),
            Column::figures("Chance of a loss", 7),
        ],
        rows: quote.priced.iter().map(row).collect(),
    })];
    let raised = quote.priced.iter().filter_map(|it| Some((it.quantity, it.raised?)));
    let raised: Vec<String> = raised.map(|(quantity, why)| raised_words(quantity, why)).collect();
    let mut words = format!("All amounts in {}.", coin(&shop.currency));
    for sentence in raised {
        words += " ";
        words += &sentence;
    }
    blocks.push(Block::Words(words));
    blocks
}

/// Why a price is not what its margin gives.
pub fn raised_words(quantity: u32, why: Raised) -> String {
    match why {
        Raised::Minimum => {
            format!("{quantity} parts are charged the least that an order is charged.")
        }
        Raised::SmallerQuantity => {
            format!("{quantity} parts are charged as much as the smaller quantity before them.")
        }
    }
}

fn coin(currency: &str) -> &str {
    if currency.is_empty() { "the shop's coin" } else { currency }
}

/// The order of lines in every account.
pub const ITEMS: [Item; 9] = [
    Item::Programming,
    Item::SetUp,
    Item::Material,
    Item::Scrap,
    Item::Run,
    Item::Edges,
    Item::Attention,
    Item::Gauging,
    Item::Overhead,
];

fn account(shop: &Shop, rates: &Rates, quote: &Quote) -> Vec<Block> {
    let row = |it: &Priced| {
        let lines = ITEMS.iter().map(|item| it.of(*item).to_string());
        std::iter::once(it.quantity.to_string()).chain(lines).chain([it.cost.to_string()]).collect()
    };
    let mut columns = vec![Column::figures("Parts", 5)];
    let heads = [
        "Program",
        "Set-up",
        "Material",
        "Scrap",
        "Lathe",
        "Edges",
        "Attention",
        "Gauging",
        "Overhead",
    ];
    columns.extend(heads.map(|head| Column::figures(head, 7)));
    columns.push(Column::figures("Cost", 8));
    let account = Table {
        name: "account",
        title: "Line by line",
        columns,
        rows: quote.priced.iter().map(row).collect(),
    };
    let amounts = Table {
        name: "amounts",
        title: "What lathe, person and saw do for it",
        columns: vec![
            Column::figures("Parts", 5),
            Column::figures("Made", 5),
            Column::figures("Lathe", 8),
            Column::figures("Person", 8),
            Column::figures("Bars", 4),
            Column::figures("Stock bars", 5),
            Column::figures("Chips, kg", 6),
            Column::figures("Solid scrap, kg", 6),
            Column::words("Cut list", 8),
        ],
        rows: quote.priced.iter().map(amounts_row).collect(),
    };
    vec![
        Block::Table(account),
        Block::Table(amounts),
        Block::Facts(Facts {
            name: "rates",
            title: "Reckoned with",
            rows: facts(rate_rows(shop, rates, quote)),
        }),
    ]
}

fn amounts_row(it: &Priced) -> Vec<String> {
    let bought = &it.bought;
    vec![
        it.quantity.to_string(),
        it.work.parts.to_string(),
        clock(it.lathe.s()),
        clock(it.person.s()),
        it.work.bars.to_string(),
        bought.stock_bars.to_string(),
        format!("{:.2}", bought.chips.kg()),
        format!("{:.2}", bought.solid.kg()),
        if bought.proven { "cheapest" } else { "not proven cheapest" }.to_owned(),
    ]
}

fn rate_rows(shop: &Shop, rates: &Rates, quote: &Quote) -> Vec<(&'static str, String)> {
    let currency = &shop.currency;
    let hour = |money: Money| format!("{money} {currency} an hour");
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let mut rows = vec![
        ("Lathe", hour(rates.lathe_hour)),
        ("Person", hour(rates.person_hour)),
        ("Program", format!("{}, {}", clock(rates.programming.s()), hour(rates.programming_hour))),
        (
            "Setting up",
            format!(
                "{} of lathe and person; {} lost with it",
                clock(quote.course.set_up.s()),
                counted(rates.set_up_parts, "part")
            ),
        ),
        ("New bar", format!("{} of lathe and person", clock(rates.load_bar.s()))),
        (
            "Looking after it",
            format!("{} of a person while the lathe works", percent(rates.attention.ratio())),
        ),
        (
            "Edges",
            format!(
                "{:.4} {currency} a part, each up to the low end of its life",
                quote.wear.price
            ),
        ),
        ("Parts lost", format!("{} of those made", percent(rates.scrap.ratio()))),
        ("Lathe's time", format!("{:.2} times the plan's", rates.time_factor)),
        (
            "Overhead",
            format!(
                "{} on work, {} on material",
                percent(rates.overhead),
                percent(rates.material_overhead)
            ),
        ),
        ("Least charge", format!("{} {currency}", rates.minimum)),
    ];
    if let Some(gauging) = rates.gauging {
        let words = format!("1 part of {}, {} each", gauging.every, clock(gauging.time.s()));
        rows.insert(8, ("Gauging", words));
    }
    rows
}

fn certainty(shop: &Shop, quote: &Quote) -> Vec<Block> {
    let Some(it) = quote.priced.iter().find(|it| it.ordered).or(quote.priced.last()) else {
        return Vec::new();
    };
    let row = |alone: &cost::certainty::Alone| {
        vec![
            alone.varies.name().to_owned(),
            format!("divided or times {:.2}", alone.scatter),
            alone.low.to_string(),
            alone.high.to_string(),
            (alone.high - alone.low).to_string(),
        ]
    };
    let certainty = &it.certainty;
    vec![
        Block::Words(format!(
            "For {}: the cost is {} {currency}; nine times of ten it lies between {} and {}, half of the time below {}. \
             At the price of {} it is a loss in {:.1} % of the cases. Each figure below is drawn by chance, {} times, \
             so that nine of ten drawings lie within its own scatter (log-normal, independent of each other).",
            counted(it.quantity, "part"),
            it.cost,
            certainty.low,
            certainty.high,
            certainty.middle,
            it.price,
            100.0 * certainty.loss,
            cost::certainty::RUNS,
            currency = coin(&shop.currency),
        )),
        Block::Table(Table {
            name: "certainty",
            title: "The cost when one figure alone is at an end of its scatter",
            columns: vec![
                Column::words("Figure", 9),
                Column::words("Nine of ten within", 10),
                Column::figures("Lowest cost", 7),
                Column::figures("Highest cost", 7),
                Column::figures("Between them", 7),
            ],
            rows: certainty.alone.iter().map(row).collect(),
        }),
    ]
}

/// The amount of an item in lines.
pub fn amount(lines: &[Line], item: Item) -> Money {
    lines.iter().filter(|line| line.item == item).map(|line| line.money).sum()
}
