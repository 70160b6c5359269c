//! Pieces for a page that has some of them: only those that differ are sent.

use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use view::pages::job::Piece;

/// Pieces by their ids with what tells them apart. `has` is what the page holds, as `id=digest id=digest …`; without it
/// all are told.
pub(super) fn told<'p>(pieces: impl Iterator<Item = &'p Piece>, has: Option<&str>) -> Value {
    let held: Option<BTreeMap<&str, &str>> = has.map(|has| {
        has.split_ascii_whitespace().filter_map(|piece| piece.split_once('=')).collect()
    });
    let (mut differ, mut digests) = (Map::new(), Map::new());
    for piece in pieces {
        let digest = piece.digest();
        let known = held.as_ref().map(|held| held.get(piece.id.as_str()));
        // A page that has no place for it needs it not.
        if known == Some(None) {
            continue;
        }
        if known.flatten() != Some(&digest.as_str()) {
            differ.insert(piece.id.clone(), piece.html.as_str().into());
        }
        digests.insert(piece.id.clone(), digest.into());
    }
    json!({ "pieces": differ, "digests": digests })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_page_has_or_has_no_place_for_is_not_sent() {
        let piece = |id: &str, html: &str| Piece { id: id.to_owned(), html: html.to_owned() };
        let pieces = [piece("same", "<p>1</p>"), piece("other", "<p>2</p>"), piece("none", "3")];
        let all = told(pieces.iter(), None);
        assert_eq!(all["pieces"].as_object().unwrap().len(), 3);
        let digest = |id: &str| all["digests"][id].as_str().unwrap().to_owned();
        let has = format!("same={} other={} nonsense gone=0", digest("same"), digest("none"));
        let some = told(pieces.iter(), Some(&has));
        assert_eq!(some["pieces"], json!({ "other": "<p>2</p>" }));
        assert_eq!(some["digests"], json!({ "same": digest("same"), "other": digest("other") }));
    }
}
