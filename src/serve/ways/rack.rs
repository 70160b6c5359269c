//! The rack: what lies on it by the shop's log.

use super::device::Device;
use super::job::svg;
use super::lathe::{new_id, shop_units, teller, times, units, who};
use super::price::csv;
use super::{Asker, Shared, at_log, no_log};
use crate::serve::book::Asked;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse as _, Response};
use model::Length;
use model::record::{BarRun, Name, Racked, What};
use std::collections::BTreeMap;
use std::sync::Arc;
use view::pages::Frame;
use view::pages::rack::{self as rack_page, Item, Put, Shown, Sought};
use view::pictures::{labels, rack_bars};

/// Entries that are shown of one label.
const LAST: usize = 3;

/// Everything on the rack, with the entries that brought it there.
fn items(asked: Asked<'_>) -> Result<Vec<Item<'_>>, runlog::Error> {
    let query = runlog::Query { kind: Some("put-on-rack"), ..runlog::Query::default() };
    let times = times(asked.now());
    let mut put: BTreeMap<Name, Vec<Put>> = BTreeMap::new();
    for recorded in asked.log.events(&query)?.into_iter().rev() {
        let Some(counts) = asked.corrections().effective(&recorded) else { continue };
        let What::PutOnRack(racked) = &counts.event.what else { continue };
        let all = put.entry(racked.item.clone()).or_default();
        if all.len() < LAST {
            let (id, when) = (recorded.event.id.to_string(), times.near(recorded.order.time));
            all.push(Put { id, when, racked: Racked::clone(racked) });
        }
    }
    let item = |racked| Item { racked, put: put.get(&racked.item).cloned().unwrap_or_default() };
    Ok(asked.state().rack.values().map(item).collect())
}

/// How short a remnant may be, where there is a file of the shop.
fn least_useful(shared: &Shared) -> Option<Length> {
    shared.shop().ok().map(|shop| shop.rack.least_useful)
}

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    device: Device,
    Query(query): Query<BTreeMap<String, String>>,
) -> Response {
    at_log(shared, by, move |shared, by, asked| {
        let id = new_id;
        let teller = teller(by, &device, shop_units(shared), &id);
        let heat = query.get("heat").and_then(|heat| Name::parse(heat));
        let runs = heat.as_ref().map_or(Ok(Vec::new()), |heat| asked.log.bars_of_heat(heat));
        let (items, runs): (Vec<Item<'_>>, Vec<BarRun>) = match (items(asked), runs) {
            (Ok(items), Ok(runs)) => (items, runs),
            (Err(error), _) | (_, Err(error)) => return no_log(shared, by, &error),
        };
        let page = page_of(&query, items.len());
        let sought = heat.as_ref().map(|heat| Sought { heat: heat.text(), runs: &runs });
        let shown = Shown {
            items: &items,
            page,
            open: query.get("item").map(String::as_str),
            least_useful: least_useful(shared),
            sought,
            times: times(asked.now()),
            teller,
        };
        let revision = asked.revision();
        let frame = Frame { here: "rack", revision, ..by.frame("Rack") };
        Html(rack_page::page(&frame, &shown, &who(shared, &teller))).into_response()
    })
    .await
}

/// The page that is asked for; the nearest one where there are fewer.
fn page_of(query: &BTreeMap<String, String>, labels: usize) -> usize {
    let page = query.get("page").and_then(|text| text.parse().ok()).unwrap_or(1);
    page.clamp(1, rack_page::pages_of(labels).max(1))
}

/// Everything on the rack, to print.
pub(super) async fn sheet(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    device: Device,
) -> Response {
    at_log(shared, by, move |shared, by, asked| {
        let items: Vec<Item<'_>> = bare(asked.state().rack.values());
        let (title, revision) = ("What lies on the rack", asked.revision());
        let frame = Frame { here: "rack", revision, ..by.frame(title) };
        let units = units(shared, &device);
        Html(rack_page::sheet(&frame, &items, least_useful(shared), units)).into_response()
    })
    .await
}

/// Items without the entries that brought them there.
fn bare<'a>(all: impl Iterator<Item = &'a Racked>) -> Vec<Item<'a>> {
    all.map(|racked| Item { racked, put: Vec::new() }).collect()
}

/// The items that labels are for: all, or the one of this name.
fn wanted<'a>(asked: Asked<'a>, query: &BTreeMap<String, String>) -> Vec<&'a Racked> {
    let item = query.get("item");
    asked.state().rack.values().filter(|it| item.is_none_or(|item| **item == *it.item)).collect()
}

/// The page of labels.
pub(super) async fn label_pages(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    device: Device,
    Query(query): Query<BTreeMap<String, String>>,
) -> Response {
    at_log(shared, by, move |shared, by, asked| {
        let units = units(shared, &device);
        let all = rack_page::labels(wanted(asked, &query).into_iter(), units);
        let (title, revision) = ("Labels of the rack", asked.revision());
        let frame = Frame { here: "rack", revision, ..by.frame(title) };
        let pages = all.len().div_ceil(labels::A_PAGE);
        let of = query.get("item").map(String::as_str);
        Html(rack_page::label_pages(&frame, pages, of)).into_response()
    })
    .await
}

/// The rack as a picture or as rows, or one page of its labels.
pub(super) async fn table(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    device: Device,
    Query(query): Query<BTreeMap<String, String>>,
) -> Response {
    at_log(shared, by, move |shared, _, asked| {
        let units = units(shared, &device);
        let all: Vec<&Racked> = asked.state().rack.values().collect();
        match query.get("of").map_or("", String::as_str) {
            "rack.svg" => {
                let page = query.get("page").map(|_| page_of(&query, all.len()));
                let drawn = match page {
                    Some(page) => rack_page::on_page(&all, page).copied().collect(),
                    None => all,
                };
                svg(&rack_bars::scene(&drawn, least_useful(shared), units))
            }
            "rack" => csv(view::sheet::rows(rack_page::rows(&bare(all.into_iter())).into_iter())),
            "labels.svg" => {
                let page =
                    query.get("page").and_then(|text| text.parse::<usize>().ok()).unwrap_or(1);
                let scenes =
                    labels::scenes(&rack_page::labels(wanted(asked, &query).into_iter(), units));
                match page.checked_sub(1).and_then(|page| scenes.get(page)) {
                    Some(scene) => svg(scene),
                    None => StatusCode::NOT_FOUND.into_response(),
                }
            }
            _ => StatusCode::NOT_FOUND.into_response(),
        }
    })
    .await
}
