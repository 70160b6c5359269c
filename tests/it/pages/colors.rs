//! Contrast of every color of the pages, computed from the very style sheet by WCAG 2.2: words need 4.5 : 1
//! (1.4.3), marks and lines that carry meaning 3 : 1 (1.4.11). The formula of relative luminance is that
//! of WCAG 2.2, "Dfn relative luminance". Docs hold the same table.

use std::collections::BTreeMap;
use std::fs;

/// Colors of words and marks that are read as words: 4.5 : 1.
const WORDS: [&str; 8] = ["ink", "quiet", "touch", "stop", "caution", "clear", "unproven", "kerf"];
/// Colors of shapes and lines that carry meaning: 3 : 1.
const SHAPES: [&str; 7] = ["line", "part", "next", "kerf", "face", "remnant", "jaws"];
/// What they stand on.
const GROUNDS: [&str; 3] = ["ground", "sheet", "tint"];

type Set = BTreeMap<String, [u8; 3]>;

fn style() -> &'static str {
    view::pages::assets::named("style.css").expect("there is a style").text
}

/// The two sets: every `--name: #rrggbb` of the first two `:root` blocks.
fn sets() -> [Set; 2] {
    let mut blocks = style().split(":root {").skip(1).map(|rest| {
        let block = rest.split('}').next().unwrap_or_default();
        block.split(';').filter_map(color).collect::<Set>()
    });
    [blocks.next().expect("day"), blocks.next().expect("night")]
}

fn color(line: &str) -> Option<(String, [u8; 3])> {
    let (name, value) = line.trim().strip_prefix("--")?.split_once(": #")?;
    let channel = |at: usize| u8::from_str_radix(value.get(at..at + 2)?, 16).ok();
    (value.len() == 6).then_some(())?;
    Some((name.to_owned(), [channel(0)?, channel(2)?, channel(4)?]))
}

fn luminance(color: [u8; 3]) -> f64 {
    let [r, g, b] = color.map(|channel| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[test]
fn the_formula_gives_the_published_values() {
    // Black on white is 21 : 1 by definition; #777777 on white is the well-known near miss of 4.48 : 1 (from
    // memory of WCAG's own explanations).
    assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
    assert!((contrast([0x77; 3], [255; 3]) - 4.48).abs() < 0.005);
}

#[test]
fn both_sets_have_the_same_names_and_enough_contrast() {
    let [day, night] = sets();
    assert!(day.keys().eq(night.keys()), "day and night have the same names");
    for (which, set) in [("day", &day), ("night", &night)] {
        for (names, least) in [(&WORDS[..], 4.5), (&SHAPES[..], 3.0)] {
            for name in names {
                // The tint lies under words and blanks only, never under the ruler.
                let grounds =
                    if least > 4.0 && *name != "kerf" { &GROUNDS[..] } else { &GROUNDS[..2] };
                for ground in grounds {
                    let has = contrast(set[*name], set[*ground]);
                    assert!(
                        has >= least,
                        "{which}: {name} on {ground} has {has:.2} : 1, less than {least}"
                    );
                }
            }
        }
        assert!(
            contrast(set["on-touch"], set["touch"]) >= 4.5,
            "{which}: words on a pressed button"
        );
    }
}

#[test]
fn the_docs_hold_these_very_figures() {
    let [day, night] = sets();
    let mut table = String::from(
        "| name | day | on ground | on sheet | night | on ground | on sheet | used for |\n|---|---|---|---|---|---|---|---|\n",
    );
    let uses = [
        ("ink", "words"),
        ("quiet", "limits, sources, remarks"),
        ("touch", "what can be touched: links, figures of blanks, focus"),
        ("stop", "stop, refused"),
        ("caution", "caution"),
        ("clear", "clear"),
        ("unproven", "unproven"),
        ("line", "lines of blanks and of the ruler"),
        ("part", "parts, cutting edges, time spent cutting"),
        ("next", "every other part, gripper, time spent moving"),
        ("kerf", "parting kerf"),
        ("face", "face stock"),
        ("remnant", "remnant"),
        ("jaws", "jaws and chuck"),
    ];
    let hex = |[r, g, b]: [u8; 3]| format!("`#{r:02x}{g:02x}{b:02x}`");
    for (name, used) in uses {
        let on = |set: &Set, ground: &str| format!("{:.1}", contrast(set[name], set[ground]));
        table += &format!(
            "| {name} | {} | {} | {} | {} | {} | {} | {used} |\n",
            hex(day[name]),
            on(&day, "ground"),
            on(&day, "sheet"),
            hex(night[name]),
            on(&night, "ground"),
            on(&night, "sheet"),
        );
    }
    let path = crate::expect::root("docs/design-language.md");
    let text = fs::read_to_string(&path).unwrap();
    let (before, rest) = text.split_once("<!-- contrasts -->\n").expect("a place for the table");
    let (known, after) = rest.split_once("<!-- end of contrasts -->\n").expect("its end");
    if crate::expect::updating() {
        fs::write(
            &path,
            format!("{before}<!-- contrasts -->\n{table}<!-- end of contrasts -->\n{after}"),
        )
        .unwrap();
    } else {
        assert_eq!(known, table, "run with UPDATE_EXPECT=1");
    }
}
