//! `[[function]]` of a control file: the words that a lathe builder assigned.

use super::code::{Code, not_a_code};
use crate::choices;
use crate::files::keys::{Choice as _, Keys};

choices! {
    /// What a builder-assigned function does.
    Does {
        ChuckOpen = "chuck-open": "opens the chuck",
        ChuckClose = "chuck-close": "closes the chuck",
        SpindleForward = "spindle-forward": "starts the spindle forward",
        SpindleReverse = "spindle-reverse": "starts the spindle in reverse",
        SpindleStop = "spindle-stop": "stops the spindle",
        SpindleOrient = "spindle-orient": "stops the spindle at an angle and holds it",
        RigidTapping = "rigid-tapping": "keeps the next tapping cycle in step with the spindle",
        PartCount = "part-count": "steps the control's part counter",
        CatcherOut = "catcher-out": "brings the parts catcher under the part",
        CatcherHome = "catcher-home": "takes the parts catcher back",
        CoolantOn = "coolant-on": "turns coolant on",
        CoolantOff = "coolant-off": "turns coolant off",
        AirOn = "air-on": "turns the air blast on",
        AirOff = "air-off": "turns the air blast off",
        Nothing = "nothing": "moves nothing that this tool follows",
    }
}

/// One builder-assigned (or standard) function.
#[derive(Debug, Clone, PartialEq)]
pub struct Function {
    /// What it does.
    pub does: Does,
    /// The word for it.
    pub word: Code,
    /// Whether the control waits until the machine confirms that it is done.
    pub confirmed: bool,
}

/// Words that mean the same on nearly every lathe, unless the file gives the function another.
const STANDARD: [(Does, u32); 6] = [
    (Does::SpindleForward, 3),
    (Does::SpindleReverse, 4),
    (Does::SpindleStop, 5),
    (Does::SpindleOrient, 19),
    (Does::CoolantOn, 8),
    (Does::CoolantOff, 9),
];

/// Every `[[function]]`, and what is standard beside them.
pub(super) fn keys(keys: &Keys<'_>) -> Vec<Function> {
    let mut functions: Vec<Function> =
        keys.list("function", "one builder-assigned function", |keys| {
            let does = keys.choice("does", "what it does").required();
            let text = keys.text("word", "the word for it, such as \"M11\"").required();
            let word = Code::parse(&text);
            if word.is_none() && !text.is_empty() {
                not_a_code(keys, "word", &text);
            }
            let confirmed = keys
                .flag("confirmed", "whether the control waits until the machine confirms it")
                .or(false);
            Function { does, word: word.unwrap_or(Code::new('M', 0)), confirmed }
        });
    words_mean_one_thing(keys, &functions);
    for (does, number) in STANDARD {
        if !functions.iter().any(|function| function.does == does) {
            functions.push(Function { does, word: Code::new('M', number), confirmed: false });
        }
    }
    functions
}

fn words_mean_one_thing(keys: &Keys<'_>, functions: &[Function]) {
    let path = |index: usize| format!("function[{index}].word");
    for (index, function) in
        functions.iter().enumerate().filter(|(index, _)| keys.sound(&path(*index)))
    {
        let word = function.word;
        if (0..index).any(|other| functions[other].word == word && keys.sound(&path(other))) {
            keys.trouble(
                &path(index),
                format!("{word} stands twice"),
                "give each word one meaning",
            );
        }
        let standard = STANDARD.iter().find(|(_, number)| Code::new('M', *number) == word);
        if let Some((does, _)) = standard
            && !functions.iter().any(|function| function.does == *does)
        {
            let message = format!("{word} is the word for \"{}\" already", does.word());
            let help = "write the builder's word here, or give the other function its own";
            keys.trouble(&path(index), message, help);
        }
    }
}

impl Does {
    /// Whether a person, the bar or the turning spindle hangs on it.
    pub const fn concerns_the_bar(self) -> bool {
        !matches!(
            self,
            Does::CoolantOn | Does::CoolantOff | Does::AirOn | Does::AirOff | Does::Nothing
        )
    }

    /// The word for it in files and messages.
    pub fn shown(self) -> &'static str {
        self.word()
    }
}
