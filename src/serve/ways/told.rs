//! Tells a page, as it happens, that its job or the shop's log was changed: by another browser, or on the disk.

use super::Shared;
use axum::extract::{Path, State};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse as _, Response};
use futures_util::{Stream, stream};
use std::convert::Infallible;
use std::sync::Arc;
use tokio::sync::broadcast::error::RecvError;
use view::pages::ruler::Bars;

pub(super) async fn events(
    State(shared): State<Arc<Shared>>,
    Path(name): Path<String>,
) -> Response {
    let moved = moved(Arc::clone(&shared), name.clone());
    let heard = shared.told.subscribe();
    let changed = stream::unfold((heard, name), |(mut heard, name)| async move {
        loop {
            match heard.recv().await {
                Ok(told) if told.name == name => {
                    let event = Event::default().event("changed").data(told.revision.to_string());
                    return Some((Ok::<_, Infallible>(event), (heard, name)));
                }
                // Another job; or so much happened that some was missed: the next change brings all of it.
                Ok(_) | Err(RecvError::Lagged(_)) => {}
                Err(RecvError::Closed) => return None,
            }
        }
    });
    Sse::new(stream::select(Box::pin(changed), Box::pin(moved)))
        .keep_alive(KeepAlive::default())
        .into_response()
}

/// That the log says something else of where the bars of a job are.
fn moved(shared: Arc<Shared>, name: String) -> impl Stream<Item = Result<Event, Infallible>> {
    let heard = shared.book.listen();
    let last: Option<Bars> = None;
    stream::unfold((shared, heard, name, last), |(shared, mut heard, name, mut last)| async move {
        loop {
            let (asks, of) = (Arc::clone(&shared), name.clone());
            let bars = tokio::task::spawn_blocking(move || asks.bars_of(&of)).await.ok()?;
            let before = last.replace(bars);
            if before.is_some() && before != last {
                let event = Event::default().event("moved").data("bars");
                return Some((Ok::<_, Infallible>(event), (shared, heard, name, last)));
            }
            if let Err(RecvError::Closed) = heard.recv().await {
                return None;
            }
        }
    })
}

/// The same of the shop's log: how many events it has now.
pub(super) async fn of_shop(State(shared): State<Arc<Shared>>) -> Response {
    let events = stream::unfold(shared.book.listen(), |mut heard| async move {
        loop {
            match heard.recv().await {
                Ok(count) => {
                    let event = Event::default().event("changed").data(count.to_string());
                    return Some((Ok::<_, Infallible>(event), heard));
                }
                // The next one brings all of it.
                Err(RecvError::Lagged(_)) => {}
                Err(RecvError::Closed) => return None,
            }
        }
    });
    Sse::new(events).keep_alive(KeepAlive::default()).into_response()
}
