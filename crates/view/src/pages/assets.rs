//! Scripts, styles and pictures that pages refer to; they are inside the program.

/// One of them.
#[derive(Debug, Clone, Copy)]
pub struct Asset {
    /// Its name behind `/assets/`.
    pub name: &'static str,
    /// Its media type.
    pub kind: &'static str,
    /// Its text.
    pub text: &'static str,
}

const STYLE: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

macro_rules! asset {
    ($name:literal, $kind:expr) => {
        Asset { name: $name, kind: $kind, text: include_str!(concat!("../../assets/", $name)) }
    };
}

/// Every asset.
pub const ALL: &[Asset] = &[
    asset!("style.css", STYLE),
    asset!("shop.css", STYLE),
    asset!("paper.css", STYLE),
    asset!("mark.svg", "image/svg+xml"),
    asset!("folder.js", SCRIPT),
    asset!("job.js", SCRIPT),
    asset!("part.js", SCRIPT),
    asset!("pieces.js", SCRIPT),
    asset!("live.js", SCRIPT),
    asset!("lathe.js", SCRIPT),
    asset!("queue.js", SCRIPT),
    asset!("worker.js", SCRIPT),
    asset!("fields.js", SCRIPT),
    asset!("shop.js", SCRIPT),
    asset!("ruler.js", SCRIPT),
    asset!("chart.js", SCRIPT),
    asset!("sizes.js", SCRIPT),
    asset!("program.js", SCRIPT),
    asset!("section.js", SCRIPT),
    asset!("pair.js", SCRIPT),
    asset!("tour.js", SCRIPT),
    asset!("paper.js", SCRIPT),
];

/// The asset of this name.
pub fn named(name: &str) -> Option<&'static Asset> {
    ALL.iter().find(|asset| asset.name == name)
}
