//! What an order costs, as pages know it: the price with all that it rests on, or why there is none. And the
//! page that says how far it holds, with the papers to take along.

use super::field::Fields;
use super::frame::{Frame, address};
use super::job::{self, Piece};
use super::marks::State;
use super::questions::said;
use super::say::words;
use super::sheets;
use crate::quote;
use cost::refusal::In;
use cost::{Quote, Refusal};
use maud::{Markup, html};
use model::Diagnostic;
use model::files::job::Job;
use model::files::shop::Shop;
use plan::Answer;

/// What is reckoned by the shop's rates, or why it is not.
#[derive(Debug, Clone)]
pub enum Reckoned<T> {
    /// No shop file says what an hour costs.
    NoShop,
    /// It cannot be read.
    Unread(Vec<Diagnostic>),
    /// There is no answer, and why.
    Refused(Refusal),
    /// The shop, and what was reckoned.
    Known(Box<(Shop, T)>),
}

/// Prices by quantity, without how far they hold.
pub type Price = Reckoned<Quote<()>>;

impl<T> Reckoned<T> {
    /// By this shop file, where there is one.
    pub fn by(
        shop: Option<&Result<Shop, Vec<Diagnostic>>>,
        reckon: impl FnOnce(&Shop) -> Result<T, Refusal>,
    ) -> Reckoned<T> {
        match shop {
            None => Reckoned::NoShop,
            Some(Err(diagnostics)) => Reckoned::Unread(diagnostics.clone()),
            Some(Ok(shop)) => match reckon(shop) {
                Ok(known) => Reckoned::Known(Box::new((shop.clone(), known))),
                Err(refusal) => Reckoned::Refused(refusal),
            },
        }
    }

    /// Why there is no answer; `what` is to be reckoned, as the end of a sentence that begins with *nothing is*.
    pub(super) fn why_not(&self, what: &str) -> Markup {
        html! {
            @match self {
                Reckoned::NoShop => { (said(State::Unproven, "no shop file says what an hour and a bar cost.")) }
                Reckoned::Unread(diagnostics) => {
                    (said(State::Unproven, "the shop file cannot be used as it stands."))
                    @for one in diagnostics {
                        p { (one.source.name()) ":" (one.source.locate(one.span.start).line) ": " (words(&one.message)) }
                        @if !one.help.is_empty() { p class="mend" { (words(&one.help)) } }
                    }
                }
                Reckoned::Refused(Refusal::Stop) => {
                    (said(State::Stop, &format!("nothing is {what} while a stop stands.")))
                    p class="more" { "What stops it stands in the questions of the job; mend that first." }
                }
                Reckoned::Refused(refusal) => {
                    (said(State::Unproven, &format!("it cannot be {what} as the files stand.")))
                    (lacks(refusal))
                }
                Reckoned::Known(_) => {}
            }
        }
    }
}

/// The least that a shop file says for a price and for ways of loading.
const LEAST: &str = "units = \"mm\"\nname = \"Our shop\"\ncurrency = \"EUR\"\n\n[rates]\nlathe_hour = 30      # all figures: your own\nperson_hour = 38\nset_up = 60          # minutes\nload_bar = 2\nattention = 0.1      # share of a person while the lathe works\n\n[[rack.stock]]\nmaterial = \"steel-12l14\"\nsize = 12\nlength = 3000\nprice = 8            # a bar\n";

/// What to do where there is no shop file.
pub(super) fn without_shop() -> Markup {
    html! {
        p {
            "Write a file " code { "shop.toml" } " beside the job or into the folder that is served, or start "
            code { "barwright serve" } " with " code { "--shop FILE" } ". It says what an hour costs and what bars cost; "
            "the least of it is this:"
        }
        pre { (LEAST) }
    }
}

/// What a file lacks.
fn lacks(refusal: &Refusal) -> Markup {
    let Refusal::File { file, key, message, help } = refusal else { return html! {} };
    let file = match file {
        In::Job => "The job file",
        In::Shop => "The shop file",
    };
    html! {
        p { (file) ", " code { (key) } ": " (words(message)) "." }
        p class="mend" { (words(help)) }
    }
}

/// A price with all that it rests on, or why there is none.
pub type Known<'a> = Result<(&'a Job, &'a Answer, &'a Shop, &'a Quote), &'a Reckoned<Quote>>;

/// The page of a price: everything that its inner paper has, and what may be taken along. `papers` says
/// whether this program sets papers.
pub fn page(
    frame: &Frame<'_>,
    name: &str,
    pieces: &[Piece],
    fields: &Fields,
    known: Known<'_>,
    papers: bool,
) -> String {
    let inside = match known {
        Ok((job, answer, shop, quote)) => holds(name, (job, answer, shop, quote), papers),
        Err(why) => why.why_not("priced"),
    };
    let body = html! {
        (job::head(name, frame.title, pieces, fields))
        main id="content" class="sheets" {
            p class="back" { a href={ "/job/" (address(name)) "#cost" } { "Back to what it costs" } }
            (inside)
        }
    };
    frame.page(&["job.js", "chart.js"], &body)
}

fn holds(
    name: &str,
    (job, answer, shop, quote): (&Job, &Answer, &Shop, &Quote),
    papers: bool,
) -> Markup {
    let Some(rates) = &shop.rates else { return html! {} };
    let inner = quote::inner(job, answer, shop, rates, quote);
    let address = address(name);
    html! {
        h2 { "How far the price holds" }
        p class="more" { "For the shop only: the customer's page has no figure of the shop's own." }
        @if papers {
            form class="letter" method="get" action={ "/paper/customer/" (address) } {
                label for="letter-for" { "For" }
                input id="letter-for" name="for" size="24" maxlength="80" autocomplete="off";
                label for="letter-number" { "Number" }
                input id="letter-number" name="number" size="10" maxlength="40" autocomplete="off";
                label for="letter-date" { "Date" }
                input id="letter-date" name="date" size="12" maxlength="40" autocomplete="off";
                button type="submit" { "The customer's page, PDF" }
                small { "What is left empty becomes a line to write on." }
            }
            p class="take" { a download="inner.pdf" href={ "/paper/inner/" (address) } { "The inner page, PDF" } }
        } @else {
            p class="more" { "This program was built without the typesetter: there are no PDFs, but every table as CSV." }
        }
        (sheets::chapters(&inner, &format!("/table/price/{address}")))
    }
}
