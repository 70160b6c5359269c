#![doc = include_str!("word_of_another_system.md")]

use crate::event::{Moment, TextTrouble, What};
use crate::report::Out;
use nc::codes::Codes;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Text(TextTrouble::AnotherSystem { code, here, there, meant }) = moment.what else {
        return;
    };
    let codes = Codes::of(&moment.setup.control);
    let message = format!(
        "In code system {}, that of this control, {code} means: {} This block fits what it means in code system {}: {}",
        codes.system.shown(),
        here.row().does,
        there.shown(),
        meant.row().does
    );
    let remedy = match codes.word(meant) {
        Some(word) => format!("Write {word} if that is meant."),
        None => "Take it out if that is meant: this control has no word for it.".to_owned(),
    };
    out.found(message, remedy);
}
