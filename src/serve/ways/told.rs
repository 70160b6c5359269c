//! Tells a page, as it happens, that its job or the shop's log was changed: by another browser, or on the disk.

use super::Shared;
use axum::extract::{Path, State};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse as _, Response};
use futures_util::stream;
use std::convert::Infallible;
use std::sync::Arc;
use tokio::sync::broadcast::error::RecvError;

pub(super) async fn events(
    State(shared): State<Arc<Shared>>,
    Path(name): Path<String>,
) -> Response {
    let heard = shared.told.subscribe();
    let events = stream::unfold((heard, name), |(mut heard, name)| async move {
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
    Sse::new(events).keep_alive(KeepAlive::default()).into_response()
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
