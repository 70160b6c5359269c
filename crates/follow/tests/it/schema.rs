//! The stand-in's documents against what the published schema asks of them.
//!
//! The schemas `MTConnectStreams_1.4_1.0.xsd` and `MTConnectError_1.4_1.0.xsd` (github.com/mtconnect/schema)
//! were at hand only as pages to read, so that no validator could run over them. What they say of the
//! elements used here was read off them, and is checked here by hand: which attributes are required,
//! which elements follow which, and what values may be. Of the devices' schema nothing was seen.

use super::agent::Agent;
use roxmltree::{Document, Node};

/// Required attributes of an element, read off the schema.
fn required(element: &str) -> &'static [&'static str] {
    match element {
        "DeviceStream" => &["name", "uuid"],
        "ComponentStream" => &["componentId", "component"],
        "PartCount" | "Execution" | "Load" => &["sequence", "timestamp", "dataItemId"],
        "Error" => &["errorCode"],
        _ => &[],
    }
}

/// What may stand in an element, in this order, read off the schema.
fn inside(element: &str) -> &'static [&'static str] {
    match element {
        "MTConnectStreams" => &["Header", "Streams"],
        "MTConnectError" => &["Header", "Errors"],
        "Streams" => &["DeviceStream"],
        "DeviceStream" => &["ComponentStream"],
        "ComponentStream" => &["Samples", "Events", "Condition"],
        "Samples" => &["Load"],
        "Events" => &["PartCount", "Execution"],
        "Errors" => &["Error"],
        _ => &[],
    }
}

const STREAMS_HEADER: [&str; 8] = [
    "version",
    "creationTime",
    "nextSequence",
    "lastSequence",
    "firstSequence",
    "instanceId",
    "sender",
    "bufferSize",
];
const ERROR_HEADER: [&str; 5] = ["version", "creationTime", "instanceId", "sender", "bufferSize"];
const ERROR_CODES: [&str; 10] = [
    "UNAUTHORIZED",
    "NO_DEVICE",
    "OUT_OF_RANGE",
    "TOO_MANY",
    "INVALID_URI",
    "INVALID_REQUEST",
    "INTERNAL_ERROR",
    "INVALID_PATH",
    "UNSUPPORTED",
    "ASSET_NOT_FOUND",
];

fn check(node: Node<'_, '_>, header: &[&str]) {
    let name = node.tag_name().name();
    let asked = if name == "Header" { header } else { required(name) };
    for attribute in asked {
        assert!(node.has_attribute(*attribute), "{name} lacks {attribute}");
    }
    for number in ["sequence", "nextSequence", "firstSequence", "instanceId", "bufferSize"] {
        if let Some(text) = node.attribute(number) {
            assert!(text.parse::<u64>().unwrap() >= 1, "{name} {number}={text}");
        }
    }
    if let Some(code) = node.attribute("errorCode") {
        assert!(ERROR_CODES.contains(&code), "{code}");
    }
    let order: Vec<usize> = node
        .children()
        .filter(Node::is_element)
        .map(|child| {
            let child = child.tag_name().name();
            let at = inside(name).iter().position(|it| *it == child);
            at.unwrap_or_else(|| panic!("{child} may not stand in {name}"))
        })
        .collect();
    let free = ["Samples", "Events"].contains(&name);
    assert!(free || order.is_sorted(), "{name}: {order:?}");
    assert!(!free || !order.is_empty(), "{name} holds one at least");
    node.children().filter(Node::is_element).for_each(|child| check(child, header));
}

#[test]
fn the_stand_in_speaks_as_the_schema_asks() {
    let mut agent = Agent::new(7, 20);
    agent.state("ACTIVE");
    agent.make(30);
    for (query, header) in [
        ("current", &STREAMS_HEADER[..]),
        ("sample", &STREAMS_HEADER[..]),
        ("sample?from=50&count=3", &STREAMS_HEADER[..]),
        ("sample?from=1&count=3", &ERROR_HEADER[..]),
        ("nonsense", &ERROR_HEADER[..]),
    ] {
        let text = agent.answer(query);
        let document = Document::parse(&text).unwrap();
        let space = document.root_element().tag_name().namespace().unwrap_or_default();
        assert!(space.starts_with("urn:mtconnect.org:MTConnect") && space.ends_with(":1.4"));
        check(document.root_element(), header);
    }
}
