//! What the text alone shows, before anything moves.

mod blocks;

use crate::checks;
use crate::event::{Spot, What};
use crate::lathe::Lathe;
use crate::report::Report;
use model::Span;
use model::files::control::{Code, Semicolon, WithoutPoint};
use nc::codes::{Codes, GCode};
use nc::expression::refused;
use nc::program::{Library, fraction_steps};
use nc::tree::{Item, ItemKind, Tree, TroubleKind, Value, Word};

/// Tells every trouble of the text, each once.
pub(crate) fn moments(library: &Library, lathe: &Lathe<'_>, report: &mut Report) {
    let control = &lathe.setup.control;
    // Where it ends a block, nothing behind it is left in a comment, unless the text was read for
    // another control.
    let semicolon_is_known =
        lathe.setup.control_named && control.semicolon == Some(Semicolon::Comment);
    let fractions = fraction_steps(library, control.terms.jump_search);
    let drills = library.trees().iter().any(|tree| blocks::drills(tree, control));
    for (index, tree) in library.trees().iter().enumerate() {
        if !semicolon_is_known && tree.items.iter().any(|item| hides_words(tree, item)) {
            report.unproven(
                format!("words behind a semicolon in {}", tree.source.name()),
                "they are taken as a comment; some controls end a block there and go on; \
                 `semicolon` in the control file says which",
            );
        }
        let mut tell = |what: What, span: Span| {
            let block = tree.blocks.partition_point(|block| block.span.start <= span.start);
            let spot = Spot { tree: index as u32, block: block.saturating_sub(1) as u32, span };
            lathe.tell(what, spot, &lathe.state, &mut |moment| checks::watch(moment, report));
        };
        for trouble in &tree.troubles {
            tell(What::Unreadable(trouble.kind), trouble.span);
        }
        for span in beyond_any_lathe(tree, lathe) {
            tell(What::Unreadable(TroubleKind::BadNumber), span);
        }
        for trouble in library.troubles().iter().filter(|trouble| trouble.tree == index) {
            tell(What::Flow(trouble.kind), trouble.span);
        }
        for one in refused(tree, &control.terms) {
            tell(What::TermRefused(one.why), one.span);
        }
        // Decimal digits add up to what is written.
        let binary = control.terms.significant_digits.is_none();
        for step in fractions.iter().filter(|step| binary && step.tree == index) {
            tell(What::FractionStep(step.variable), step.span);
        }
        if control.numbers.without_point == WithoutPoint::LeastIncrement {
            for span in pointless(tree, Codes::of(control)) {
                tell(What::NoPoint, span);
            }
        }
        blocks::troubles(tree, control, drills, &mut |kind, span| tell(What::Text(kind), span));
    }
}

/// Whether a comment that a semicolon starts holds what could be words of a block.
fn hides_words(tree: &Tree, item: &Item) -> bool {
    let text = tree.source.slice(item.span);
    let word = |pair: &[u8]| {
        pair[0].is_ascii_alphabetic() && (pair[1].is_ascii_digit() || b"-+.#[".contains(&pair[1]))
    };
    item.kind == ItemKind::Comment && text.starts_with(b";") && text.windows(2).any(word)
}

/// Places too large to be counted, in the units of the job; a move to them would be left out.
fn beyond_any_lathe(tree: &Tree, lathe: &Lathe<'_>) -> Vec<Span> {
    let (control, units) = (&lathe.setup.control, lathe.setup.units);
    let beyond = tree.items.iter().filter(|item| match item.kind {
        ItemKind::Word(Word {
            letter: b'X' | b'Z' | b'U' | b'W',
            value: Value::Number(number),
            comma: false,
        }) => nc::decimal::length(number, units, control).is_none(),
        _ => false,
    });
    beyond.map(|item| item.span).collect()
}

/// Places that are written without a point in a file where others have one.
fn pointless(tree: &Tree, codes: Codes) -> Vec<Span> {
    let places = tree.blocks.iter().flat_map(|block| {
        let items = tree.items_of(block);
        let counts_passes = items.iter().any(|item| calls_pattern(item, codes));
        items.iter().filter_map(move |item| match item.kind {
            // The passes of a pattern are a count, which has no point.
            ItemKind::Word(Word { letter: b'R', .. }) if counts_passes => None,
            ItemKind::Word(Word {
                letter: b'X' | b'Z' | b'U' | b'W' | b'I' | b'K' | b'R',
                value: Value::Number(number),
                comma: false,
            }) => Some((item.span, number)),
            _ => None,
        })
    });
    let places: Vec<_> = places.collect();
    if !places.iter().any(|(_, number)| number.point) {
        return Vec::new();
    }
    let bare = places.into_iter().filter(|(_, number)| !number.point && number.digits != 0);
    bare.map(|(span, _)| span).collect()
}

/// Whether an item is the word of the pattern cycle.
fn calls_pattern(item: &Item, codes: Codes) -> bool {
    let ItemKind::Word(Word { letter: b'G', value: Value::Number(number), .. }) = item.kind else {
        return false;
    };
    let code = number.whole().map(|number| Code::new('G', number));
    code.and_then(|code| codes.meaning(code)) == Some(GCode::PatternRepeat)
}
