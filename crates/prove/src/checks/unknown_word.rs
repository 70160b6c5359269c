#![doc = include_str!("unknown_word.md")]

use crate::event::{Moment, TextTrouble, What};
use crate::report::Out;
use model::Level;
use model::files::control::Code;
use nc::codes::Codes;
use nc::likely::{self, LikelyG};
use nc::tree::TroubleKind;

/// From this number on, many controls let a builder choose what a G word does.
const BUILDERS: u32 = 1000;

const UNKNOWN: &str = "Take it out, or write the word that this control has for it.";

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    match moment.what {
        What::UnknownWord(code) if code.letter == 'G' => g_word(code, moment, out),
        What::UnknownWord(code) if code.letter == 'M' => {
            if let Some(meant) = likely::m_word(&moment.setup.control, code) {
                let message = format!("The control file has no {code}; {meant} was likely meant.");
                let remedy = format!("Write {meant}, or give {code} its meaning in the control file.");
                out.lesser(Level::Caution, message, remedy);
            }
        }
        What::Unreadable(TroubleKind::UnknownName) => name(out),
        What::Text(TextTrouble::NextKey(meant)) => {
            let message = format!("This letter lies beside another on a keyboard: {meant} was likely meant.");
            out.lesser(Level::Caution, message, format!("Write {meant} if that is meant."));
        }
        What::Text(TextTrouble::DigitTwice { read, meant }) => {
            let message = format!("The control reads this as {read}; {meant} was likely meant.");
            out.lesser(Level::Caution, message, format!("Write {meant}, or {read} without the zero."));
        }
        _ => {}
    }
}

fn g_word(code: Code, moment: &Moment<'_>, out: &mut Out<'_>) {
    // A number with a point is told as such.
    if !code.tenths.is_multiple_of(10) {
        return;
    }
    let codes = Codes::of(&moment.setup.control);
    let (likely, remedy) = match likely::g_word(codes, code) {
        Some(LikelyG::Elsewhere { codes: there, meaning, here }) => {
            let does = meaning.row().does;
            let place = if there.drilling == codes.drilling {
                format!("In code system {}", there.system.shown())
            } else {
                "With the other drilling cycles that a control file can choose".to_owned()
            };
            match here {
                Some(here) => {
                    (format!(" {place} it means: {does} Here that is {here}."), format!("Write {here}."))
                }
                None => (format!(" {place} it means: {does}"), UNKNOWN.to_owned()),
            }
        }
        Some(LikelyG::Slip(meant)) => {
            (format!(" {meant} was likely meant."), format!("Write {meant}."))
        }
        None => (String::new(), UNKNOWN.to_owned()),
    };
    let message = format!("Code system {} has no {code}.{likely}", codes.system.shown());
    let level = if code.tenths < BUILDERS { Level::Stop } else { Level::Caution };
    out.lesser(level, message, remedy);
}

fn name(out: &mut Out<'_>) {
    let written = out.written();
    let message = "These letters are no word of the language.";
    let meant = likely::name(&written).map(str::to_owned).or_else(|| digits_as_letters(&written));
    match meant {
        Some(meant) => {
            out.found(format!("{message} {meant} was likely meant."), format!("Write {meant}."));
        }
        None => out.found(message, "Check the spelling, or put the text in a comment."),
    }
}

/// `GI` for G1.
fn digits_as_letters(written: &str) -> Option<String> {
    let written = written.to_ascii_uppercase();
    let rest = written.strip_prefix(['G', 'M'])?;
    let like_digits = !rest.is_empty() && rest.chars().all(|letter| matches!(letter, 'I' | 'O'));
    like_digits.then(|| format!("{}{}", &written[..1], rest.replace('I', "1").replace('O', "0")))
}
