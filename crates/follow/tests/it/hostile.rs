//! What no agent should send: nothing of it panics, hangs or fills the memory.

use follow::document::{BadDocument, Document};
use follow::follower::{Follower, Place};
use follow::happening::State;
use follow::http::{NoAnswer, answer};
use follow::{Address, Watch};
use proptest::prelude::*;
use std::fmt::Write as _;

const MOST: usize = 100_000;

fn read(bytes: &[u8]) -> Result<Vec<u8>, NoAnswer> {
    answer(&mut &*bytes, MOST)
}

#[test]
fn an_answer_is_read_in_all_three_ways_of_its_length() {
    let all = b"HTTP/1.1 200 OK\r\nContent-Length: 5\r\n\r\nhello and more";
    assert_eq!(read(all).unwrap(), b"hello");
    let chunked = b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n3;x=1\r\nhel\r\n2\r\nlo\r\n0\r\n\r\n";
    assert_eq!(read(chunked).unwrap(), b"hello");
    assert_eq!(read(b"HTTP/1.0 200 OK\r\n\r\nhello").unwrap(), b"hello");
    assert_eq!(read(b"HTTP/1.1 404 No\r\n\r\nwhy").unwrap(), b"why");
    assert!(matches!(read(b"HTTP/1.1 404 No\r\n\r\n"), Err(NoAnswer::Status(404))));
}

#[test]
fn what_has_no_end_or_is_too_large_is_refused() {
    let mut endless = b"HTTP/1.1 200 OK\r\n".to_vec();
    while endless.len() < 100_000 {
        endless.extend_from_slice(b"X: y\r\n");
    }
    assert!(matches!(read(&endless), Err(NoAnswer::NotHttp(_))));
    assert!(matches!(read(&vec![b'H'; 100_000]), Err(NoAnswer::NotHttp(_))));
    for head in [
        "Content-Length: 99999999999\r\n\r\n",
        "Transfer-Encoding: chunked\r\n\r\nffffffffffff\r\n",
    ] {
        let text = format!("HTTP/1.1 200 OK\r\n{head}");
        assert!(matches!(read(text.as_bytes()), Err(NoAnswer::TooLarge)), "{head}");
    }
    let mut long = b"HTTP/1.1 200 OK\r\n\r\n".to_vec();
    long.extend(std::iter::repeat_n(b'x', 2 * MOST));
    assert!(matches!(read(&long), Err(NoAnswer::TooLarge)));
    // Many small parts that are together too much.
    let mut parts = b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n".to_vec();
    for _ in 0..MOST {
        parts.extend_from_slice(b"4\r\nabcd\r\n");
    }
    assert!(matches!(read(&parts), Err(NoAnswer::TooLarge)));
}

#[test]
fn documents_that_are_bombs_are_refused() {
    let entities = "<!DOCTYPE x [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;\">]>\
        <MTConnectStreams>&b;</MTConnectStreams>";
    assert!(matches!(Document::read(entities.as_bytes()), Err(BadDocument::NotXml(_))));
    let deep = "<a>".repeat(200_000) + &"</a>".repeat(200_000);
    assert!(Document::read(deep.as_bytes()).is_err());
    let mut wide = String::from("<MTConnectStreams>");
    for _ in 0..1_200_000 {
        wide.push_str("<a/>");
    }
    wide.push_str("</MTConnectStreams>");
    assert!(matches!(Document::read(wide.as_bytes()), Err(BadDocument::NotXml(_))));
    assert_eq!(Document::read(b"\xff\xfe"), Err(BadDocument::NotText));
    assert!(matches!(Document::read(b"<html/>"), Err(BadDocument::Unknown(_))));
    let zero = "<MTConnectStreams><Header instanceId=\"-1\" firstSequence=\"1\" nextSequence=\"2\"/></MTConnectStreams>";
    assert_eq!(
        Document::read(zero.as_bytes()),
        Err(BadDocument::Attribute("Header", "instanceId"))
    );
}

#[test]
fn addresses_are_read_or_refused() {
    for good in ["http://10.0.0.5:5000", "10.0.0.5", "shop-agent:5001/lathe-1/", "[::1]:5000"] {
        assert!(Address::read(good).is_some(), "{good}");
    }
    for bad in
        ["", "http://", "http://host:x", "https://host", "a b", "host/a\r\nX: y", "host:70000"]
    {
        assert!(Address::read(bad).is_none(), "{bad:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_bytes_make_the_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = read(&bytes);
        let _ = Document::read(&bytes);
    }

    #[test]
    fn no_head_makes_it_panic(
        head in "(HTTP/1\\.[01] [0-9]{3} [a-zA-Z ]{0,9}\r\n)?((Content-Length|Transfer-Encoding|X): [-a-z0-9]{0,22}\r\n){0,4}\r\n[0-9a-f\r\n]{0,60}",
    ) {
        if let Ok(body) = read(head.as_bytes()) {
            prop_assert!(body.len() <= head.len());
        }
    }

    /// Any observations with any numbers: never a panic, and the place never goes back within a run.
    #[test]
    fn no_stream_makes_the_follower_panic(
        answers in prop::collection::vec(
            (any::<u64>(), any::<u64>(), any::<u64>(),
             prop::collection::vec((any::<u64>(), 0_usize..3, "[0-9]{0,22}|READY|ACTIVE|YES|UNAVAILABLE|-1|1\\.0|1e3"), 0..5)),
            1..8,
        ),
        same_run in any::<bool>(),
        place in prop::option::of((any::<u64>(), any::<u64>(), prop::option::of(any::<u64>()))),
    ) {
        let place = place.map(|(instance, next, total)| Place { instance, next, total, state: State::Ready });
        let item = |at: usize| ["parts", "execution", "bar"][at].to_owned();
        let watch = Watch { parts: Some(item(0)), execution: Some(item(1)), bar_end: Some(item(2)) };
        let mut follower = Follower::new(watch, place);
        for (instance, first, next, told) in answers {
            let mut text = String::new();
            let instance = if same_run { 7 } else { instance };
            let _ = write!(text, "<MTConnectStreams><Header instanceId=\"{instance}\" \
                firstSequence=\"{first}\" nextSequence=\"{next}\"/>");
            for (sequence, at, value) in &told {
                let _ = write!(text, "<E dataItemId=\"{}\" sequence=\"{sequence}\">{value}</E>", item(*at));
            }
            text.push_str("</MTConnectStreams>");
            let Ok(document) = Document::read(text.as_bytes()) else { continue };
            let before = follower.place();
            let _ = follower.take(document);
            if let (Some(before), Some(after)) = (before, follower.place()) {
                prop_assert!(before.instance != after.instance || before.next <= after.next);
            }
            let _ = (follower.request().query(), follower.wait());
        }
    }
}
