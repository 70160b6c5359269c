//! What `stock` writes: a picture of each cut list, labels, a table, the answer.

use super::Cut;
use super::gather::Gathered;
use crate::files::NewFile;
use ::stock::Group;
use ::stock::cut_list::{Blank, SawnBar};
use ::stock::group::From;
use model::Units;
use model::files::keys::Choice as _;
use std::path::Path;
use view::pictures::cut_list;
use view::pictures::labels::{self, Label};

/// All files.
pub(super) fn files(
    cuts: &[Cut],
    gathered: &Gathered,
    folder: &Path,
    answer: &str,
) -> Vec<NewFile> {
    let mut files = Vec::new();
    let mut add =
        |name: String, bytes: Vec<u8>| files.push(NewFile { path: folder.join(name), bytes });
    let mut first = 1;
    for (index, (group, list)) in cuts.iter().enumerate() {
        let picture = view::svg::write(&cut_list::scene(group, list, first, gathered.units));
        first += list.bars.iter().map(|bar| bar.times).sum::<u32>();
        add(format!("cut-list-{}.svg", index + 1), picture.into_bytes());
    }
    let all: Vec<Label> = every_bar(cuts).flat_map(|it| of_bar(&it, gathered.units)).collect();
    for (index, page) in labels::scenes(&all).iter().enumerate() {
        add(format!("labels-{}.svg", index + 1), view::svg::write(page).into_bytes());
    }
    add("cut-list.csv".to_owned(), table(cuts).into_bytes());
    add("cut-list.json".to_owned(), answer.as_bytes().to_vec());
    files
}

/// One bar of the saw's work, counted from 1 through all groups.
struct OneBar<'c> {
    number: usize,
    group: &'c Group,
    bar: &'c SawnBar,
}

impl OneBar<'_> {
    fn from(&self) -> &From {
        &self.group.from[self.bar.from]
    }

    /// Section and size as the shop says it.
    fn size(&self, units: Units) -> String {
        let section = &self.group.section;
        format!("{} {} {}", section.shape.word(), section.size.shortest(units), units.symbol())
    }
}

fn every_bar(cuts: &[Cut]) -> impl Iterator<Item = OneBar<'_>> {
    let bars = cuts.iter().flat_map(|(group, list)| list.bars.iter().map(move |bar| (group, bar)));
    let each = bars.flat_map(|(group, bar)| (0..bar.times).map(move |_| (group, bar)));
    each.enumerate().map(|(index, (group, bar))| OneBar { number: index + 1, group, bar })
}

/// A label for every blank, and one for a rest that is kept.
fn of_bar(one: &OneBar<'_>, units: Units) -> Vec<Label> {
    let heat = one.from().heat.clone();
    // What nobody knows yet is written on by hand.
    let heat_line = format!("heat {}", heat.as_deref().unwrap_or("____________"));
    let (material, size) = (one.group.section.material.clone(), one.size(units));
    let label = |title: &str, length: String, parts: Option<String>| {
        let lines: Vec<String> = [material.clone(), size.clone(), length.clone()]
            .into_iter()
            .chain(parts.clone())
            .chain([heat_line.clone(), format!("bar {}", one.number)])
            .collect();
        let code = [title.to_owned(), material.clone(), size.clone(), length]
            .into_iter()
            .chain(parts)
            .chain(heat.iter().map(|it| format!("heat {it}")))
            .collect::<Vec<_>>()
            .join("; ");
        Label { title: title.to_owned(), lines, code }
    };
    let blank = |blank: &Blank| {
        let parts = blank.parts.map(|parts| format!("{parts} parts"));
        label(&one.group.lots[blank.lot].name, blank.length.shown(units), parts)
    };
    let mut labels: Vec<Label> = one.bar.blanks.iter().map(blank).collect();
    if one.bar.kept {
        labels.push(label("Remnant, to the rack", one.bar.rest.shown(units), None));
    }
    labels
}

/// A table for a spreadsheet (RFC 4180), one row a blank and one a rest; lengths in mm.
fn table(cuts: &[Cut]) -> String {
    let mut text =
        "bar,from,bar_length_mm,heat,place,material,shape,size_mm,piece,for,length_mm,parts\r\n"
            .to_owned();
    for one in every_bar(cuts) {
        let from = one.from();
        let section = &one.group.section;
        let start = [
            one.number.to_string(),
            if from.remnant { "remnant" } else { "stock" }.to_owned(),
            from.length.shortest(Units::Mm),
            from.heat.clone().unwrap_or_default(),
            from.place.clone().unwrap_or_default(),
            section.material.clone(),
            section.shape.word().to_owned(),
            section.size.shortest(Units::Mm),
        ];
        let mut row = |piece: &str, name: &str, length: String, parts: String| {
            let rest = [piece.to_owned(), name.to_owned(), length, parts];
            let fields: Vec<String> = start.iter().chain(&rest).map(|it| field(it)).collect();
            text += &(fields.join(",") + "\r\n");
        };
        for blank in &one.bar.blanks {
            let parts = blank.parts.map(|parts| parts.to_string()).unwrap_or_default();
            row("blank", &one.group.lots[blank.lot].name, blank.length.shortest(Units::Mm), parts);
        }
        let kind = if one.bar.kept { "remnant" } else { "scrap" };
        if one.bar.rest.is_positive() {
            row(kind, "", one.bar.rest.shortest(Units::Mm), String::new());
        }
    }
    text
}

/// A field of the table. What a spreadsheet would take for a formula is kept from being one.
fn field(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '@', '\t', '\r'])
        || (text.starts_with('-') && text.parse::<f64>().is_err());
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}
