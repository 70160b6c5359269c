//! The documents of an agent: devices, streams of observations, errors.
//!
//! Names are read whatever their namespace, so that every version of the standard is understood that
//! has these elements; `MTConnectStreams_1.4.xsd` and its like say which attributes must be there.

use roxmltree::{Document as Xml, Node, ParsingOptions};
use std::fmt;

/// What an agent answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Document {
    /// To `probe`: what there is.
    Devices(Devices),
    /// To `current` or `sample`.
    Streams(Streams),
    /// What was wrong with the request.
    Errors(Vec<AgentError>),
}

/// The devices of an agent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Devices {
    /// Which run of the agent it is.
    pub instance: u64,
    /// Each device.
    pub devices: Vec<Device>,
}

/// One device: a machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Its short name.
    pub name: String,
    /// What it is called for all its life.
    pub uuid: String,
    /// What it tells.
    pub items: Vec<Item>,
}

/// One data item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// What observations call it.
    pub id: String,
    /// Its type, such as `PART_COUNT`.
    pub kind: String,
    /// Its subtype, such as `ALL`.
    pub subtype: Option<String>,
}

/// Observations, with where they stand in the agent's buffer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Streams {
    /// Which run of the agent it is.
    pub instance: u64,
    /// Oldest number that the buffer still holds.
    pub first: u64,
    /// The number to ask from next.
    pub next: u64,
    /// What the agent's clock showed when it answered (xs:dateTime); empty where it does not say.
    pub created: String,
    /// In the order in which they stand.
    pub observations: Vec<Observation>,
}

/// One observation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Observation {
    /// Its number in this run of the agent.
    pub sequence: u64,
    /// The data item.
    pub item: String,
    /// When it was, as the agent writes it (xs:dateTime).
    pub time: String,
    /// What was observed; `UNAVAILABLE` where it is not known.
    pub value: String,
}

/// One thing that an agent finds wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AgentError {
    /// Its code, such as `OUT_OF_RANGE`.
    pub code: String,
    /// What it says.
    pub words: String,
}

/// Why a text is no document of an agent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BadDocument {
    /// It is no UTF-8 text.
    NotText,
    /// It is no XML, or larger than an agent's documents are; where, and why.
    NotXml(String),
    /// Its root is of no kind that is known.
    Unknown(String),
    /// An attribute is missing or unreadable: the element and the attribute.
    Attribute(&'static str, &'static str),
}

impl fmt::Display for BadDocument {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BadDocument::NotText => f.write_str("the agent's answer is no UTF-8 text"),
            BadDocument::NotXml(why) => write!(f, "the agent's answer is no XML: {why}"),
            BadDocument::Unknown(root) => write!(f, "`{root}` is no document of MTConnect"),
            BadDocument::Attribute(element, attribute) => {
                write!(f, "`{element}` lacks a good `{attribute}`")
            }
        }
    }
}

impl std::error::Error for BadDocument {}

/// Most elements, attributes and texts of one document.
const MOST_NODES: u32 = 1_000_000;
/// Longest word that is kept.
const LONGEST: usize = 500;

impl Document {
    /// Reads a document.
    ///
    /// # Errors
    /// Anything that is none; observations of a kind that is not known are no error.
    pub fn read(bytes: &[u8]) -> Result<Document, BadDocument> {
        let text = std::str::from_utf8(bytes).map_err(|_| BadDocument::NotText)?;
        let options = ParsingOptions { nodes_limit: MOST_NODES, ..ParsingOptions::default() };
        let xml = Xml::parse_with_options(text.trim_start_matches('\u{feff}'), options)
            .map_err(|error| BadDocument::NotXml(short(&error.to_string())))?;
        let root = xml.root_element();
        match root.tag_name().name() {
            "MTConnectDevices" => devices(root).map(Document::Devices),
            "MTConnectStreams" => streams(root).map(Document::Streams),
            "MTConnectError" => Ok(Document::Errors(errors(root))),
            other => Err(BadDocument::Unknown(short(other))),
        }
    }
}

fn devices(root: Node<'_, '_>) -> Result<Devices, BadDocument> {
    let instance = header(root, "instanceId")?;
    let device = |node: Node<'_, '_>| {
        let items = named(node, "DataItem").filter_map(|item| {
            Some(Item {
                id: short(item.attribute("id")?),
                kind: short(item.attribute("type")?),
                subtype: item.attribute("subType").map(short),
            })
        });
        Device {
            name: short(node.attribute("name").unwrap_or_default()),
            uuid: short(node.attribute("uuid").unwrap_or_default()),
            items: items.collect(),
        }
    };
    Ok(Devices { instance, devices: named(root, "Device").map(device).collect() })
}

fn streams(root: Node<'_, '_>) -> Result<Streams, BadDocument> {
    let mut observations = Vec::new();
    for node in root.descendants() {
        // Samples, events and conditions all have these two, and nothing else has.
        let (Some(item), Some(sequence)) =
            (node.attribute("dataItemId"), node.attribute("sequence"))
        else {
            continue;
        };
        observations.push(Observation {
            sequence: whole(sequence)
                .ok_or(BadDocument::Attribute("an observation", "sequence"))?,
            item: short(item),
            time: short(node.attribute("timestamp").unwrap_or_default()),
            value: short(node.text().unwrap_or_default().trim()),
        });
    }
    Ok(Streams {
        instance: header(root, "instanceId")?,
        first: header(root, "firstSequence")?,
        next: header(root, "nextSequence")?,
        created: said(root, "creationTime").map(short).unwrap_or_default(),
        observations,
    })
}

fn errors(root: Node<'_, '_>) -> Vec<AgentError> {
    let error = |node: Node<'_, '_>| AgentError {
        code: short(node.attribute("errorCode").unwrap_or_default()),
        words: short(node.text().unwrap_or_default().trim()),
    };
    named(root, "Error").map(error).collect()
}

fn named<'a, 'i: 'a>(node: Node<'a, 'i>, name: &'static str) -> impl Iterator<Item = Node<'a, 'i>> {
    node.descendants().filter(move |it| it.is_element() && it.tag_name().name() == name)
}

/// An attribute of the header.
fn said<'a>(root: Node<'a, '_>, attribute: &str) -> Option<&'a str> {
    let header = root.children().find(|it| it.tag_name().name() == "Header");
    header.and_then(|header| header.attribute(attribute))
}

/// A whole number of the header.
fn header(root: Node<'_, '_>, attribute: &'static str) -> Result<u64, BadDocument> {
    said(root, attribute).and_then(whole).ok_or(BadDocument::Attribute("Header", attribute))
}

/// A number as the schema allows it: from 1 to 2⁶⁴ − 2. An agent that has observed nothing yet may
/// write 0.
fn whole(text: &str) -> Option<u64> {
    text.trim().parse().ok().filter(|number| *number < u64::MAX)
}

fn short(text: &str) -> String {
    text.chars().take(LONGEST).collect()
}
