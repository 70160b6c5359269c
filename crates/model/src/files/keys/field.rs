//! One key: its value read, checked against its range, or its absence reported.

use super::table::{Keys, near};
use super::{KeyKind, Presence};
use crate::length::LengthError;
use crate::source::Span;
use crate::{Length, Units};
use std::fmt::Write as _;
use toml::de::DeValue;

/// A closed set of words that a key may hold.
pub trait Choice: Copy + 'static {
    /// Each word, what it stands for, and its meaning.
    fn words() -> &'static [(&'static str, Self, &'static str)];

    /// The word of a value.
    fn word(self) -> &'static str
    where
        Self: PartialEq,
    {
        Self::words().iter().find(|(_, value, _)| *value == self).map_or("", |(word, _, _)| word)
    }
}

/// Declares an enum whose variants are the words of a key.
#[macro_export]
#[doc(hidden)]
macro_rules! choices {
    ($(#[$doc:meta])* $name:ident { $($variant:ident = $word:literal: $meaning:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name { $(#[doc = $meaning] $variant,)+ }

        impl $crate::files::keys::Choice for $name {
            fn words() -> &'static [(&'static str, Self, &'static str)] {
                &[$(($word, $name::$variant, $meaning),)+]
            }
        }
    };
}

/// How a value is taken from TOML, where its type alone does not say it.
pub(super) enum Wanted<T: 'static> {
    Plain,
    Date,
    Choice(&'static [(&'static str, T, &'static str)]),
}

/// One key that was asked for; say what its absence means to get the value.
#[must_use = "say whether the key is required"]
pub struct Field<'k, T: 'static> {
    pub(super) keys: &'k Keys<'k>,
    pub(super) key: &'static str,
    pub(super) meaning: &'static str,
    pub(super) kind: KeyKind,
    pub(super) wanted: Wanted<T>,
}

/// A kind of value that a key can hold.
pub trait Value: Sized + 'static {
    #[doc(hidden)]
    fn take(field: &Field<'_, Self>, span: Span, value: &DeValue<'_>) -> Option<Self>;
    #[doc(hidden)]
    fn stand_in(field: &Field<'_, Self>) -> Self;
    #[doc(hidden)]
    fn shown(&self) -> String;
}

impl<T: Value> Field<'_, T> {
    /// The value; its absence is reported, and a harmless stand-in given.
    pub fn required(self) -> T {
        self.note(Presence::Required);
        if let Some(value) = self.read() {
            return value;
        }
        if self.keys.is_there() && self.keys.find(self.key).is_none() {
            let message = format!("the key `{}` is missing", self.keys.shown(self.key));
            let help = format!("add `{} = …`: {}{}", self.key, self.meaning, self.hint());
            self.keys.miss(self.key, message, help);
        }
        T::stand_in(&self)
    }

    /// The value where the key is there.
    pub fn optional(self) -> Option<T> {
        self.note(Presence::Optional);
        self.read()
    }

    /// The value, or this.
    pub fn or(self, default: T) -> T {
        self.note(Presence::Default(default.shown()));
        self.read().unwrap_or(default)
    }

    fn note(&self, presence: Presence) {
        self.keys.note(self.key, self.meaning, self.kind.clone(), presence);
    }

    fn read(&self) -> Option<T> {
        let (span, value) = self.keys.find(self.key)?;
        let value = T::take(self, span, value);
        if value.is_none() {
            self.keys.fail(self.key);
        }
        value
    }

    fn hint(&self) -> String {
        match &self.kind {
            KeyKind::Choice(words) => format!(" ({})", one_of(words)),
            KeyKind::Number { unit, .. } if !unit.is_empty() => format!(", in {unit}"),
            KeyKind::Length { .. } => format!(", in {}", self.keys.units().symbol()),
            _ => String::new(),
        }
    }

    fn wrong_type<R>(&self, span: Span, value: &DeValue<'_>, wanted: &str, how: &str) -> Option<R> {
        self.keys.wrong_type(span, value, wanted, how);
        None
    }

    fn outside<R>(&self, span: Span, shown: &str, range: &str) -> Option<R> {
        let message = format!("`{}` cannot be {shown}", self.keys.shown(self.key));
        self.keys.say(span, message, format!("{}: {range}", self.meaning));
        None
    }
}

fn one_of(words: &[(&str, &str)]) -> String {
    let mut text = String::new();
    for (index, (word, _)) in words.iter().enumerate() {
        let joint = if index == 0 {
            ""
        } else if index + 1 == words.len() {
            " or "
        } else {
            ", "
        };
        let _ = write!(text, "{joint}\"{word}\"");
    }
    text
}

impl Value for Length {
    fn take(field: &Field<'_, Length>, span: Span, value: &DeValue<'_>) -> Option<Length> {
        let units = field.keys.units();
        let (text, own_unit) = match value {
            DeValue::Integer(number) if number.radix() == 10 => (number.as_str(), false),
            DeValue::Float(number) => (number.as_str(), false),
            DeValue::String(text) => (text.as_ref(), true),
            DeValue::Integer(_) => ("", false),
            _ => return field.wrong_type(span, value, "a length", LENGTH_HELP),
        };
        let read = match own_unit {
            true if text.contains(|c: char| c.is_ascii_digit()) => {
                Length::parse_with_unit(text, units)
            }
            true => Err(LengthError::NotANumber),
            false => Length::parse(&text.replace('_', ""), units),
        };
        let length = match read {
            Ok(length) => length,
            Err(error) => {
                let inch = text.contains(['i', 'I', '"']) || (units == Units::Inch && !own_unit);
                field.keys.say(span, error.to_string(), length_help(error, inch));
                return None;
            }
        };
        let KeyKind::Length { min, max } = field.kind else { return Some(length) };
        if length < min || length > max {
            let plain = text.ends_with(|c: char| !c.is_alphabetic() && c != '"');
            let shown = |length: Length| {
                format!("{} {}", length.round_to(units, 5).shortest(units), units.symbol())
            };
            let value = if plain { format!("{text} {}", units.symbol()) } else { text.to_owned() };
            let range = format!("from {} to {}", shown(min), shown(max));
            return field.outside(span, &value, &range);
        }
        Some(length)
    }

    fn stand_in(field: &Field<'_, Length>) -> Length {
        match field.kind {
            KeyKind::Length { min, .. } => min,
            _ => Length::ZERO,
        }
    }

    fn shown(&self) -> String {
        format!("{} mm", self.shortest(Units::Mm))
    }
}

const LENGTH_HELP: &str =
    "a number such as 12.5, or text with its unit such as \"12.5 mm\" or \"3/8 in\"";

fn length_help(error: LengthError, inch: bool) -> String {
    match error {
        LengthError::NotANumber => format!("write {LENGTH_HELP}"),
        LengthError::TooFine if inch => "write at most five decimals of an inch".to_owned(),
        LengthError::TooFine => "write at most six decimals of a millimeter".to_owned(),
        LengthError::TooLarge => "check the number and its unit".to_owned(),
        LengthError::UnknownUnit => "write mm or in after the number".to_owned(),
    }
}

impl Value for Vec<Length> {
    fn take(field: &Field<'_, Self>, span: Span, value: &DeValue<'_>) -> Option<Self> {
        let KeyKind::Lengths { min, max } = field.kind else { return None };
        let Some(array) = value.as_array() else {
            return field.wrong_type(span, value, "a list of lengths", "[12, 14, \"5/8 in\"]");
        };
        let one = Field {
            keys: field.keys,
            key: field.key,
            meaning: field.meaning,
            kind: KeyKind::Length { min, max },
            wanted: Wanted::Plain,
        };
        let length = |item: &toml::Spanned<DeValue<'_>>| {
            let span = Span::new(item.span().start, item.span().end);
            Length::take(&one, span, item.get_ref())
        };
        array.iter().map(length).collect()
    }

    fn stand_in(_: &Field<'_, Self>) -> Self {
        Vec::new()
    }

    fn shown(&self) -> String {
        let each: Vec<String> = self.iter().map(Value::shown).collect();
        each.join(", ")
    }
}

impl Value for f64 {
    fn take(field: &Field<'_, f64>, span: Span, value: &DeValue<'_>) -> Option<f64> {
        let KeyKind::Number { unit, min, max } = field.kind else { return None };
        let text = match value {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
            DeValue::Float(number) => number.as_str(),
            _ => {
                let unit = if unit.is_empty() { String::new() } else { format!(", in {unit}") };
                let how = format!("a decimal number without quotes{unit}");
                return field.wrong_type(span, value, "a decimal number", &how);
            }
        };
        // TOML has checked the form of the number, so that this stands for one it cannot hold.
        let number: f64 = text.replace('_', "").parse().unwrap_or(f64::NAN);
        if !(min..=max).contains(&number) {
            let shown =
                |number: &dyn std::fmt::Display| format!("{number} {unit}").trim_end().to_owned();
            let range = format!("from {min} to {}", shown(&max));
            return field.outside(span, &shown(&text), &range);
        }
        Some(number)
    }

    fn stand_in(field: &Field<'_, f64>) -> f64 {
        match field.kind {
            KeyKind::Number { min, .. } => min,
            _ => 0.0,
        }
    }

    fn shown(&self) -> String {
        self.to_string()
    }
}

impl Value for i64 {
    fn take(field: &Field<'_, i64>, span: Span, value: &DeValue<'_>) -> Option<i64> {
        let number = match value {
            DeValue::Integer(number) => number,
            DeValue::Float(_) => {
                let help = "write it without a decimal point".to_owned();
                field.keys.say(span, "this is not a whole number".to_owned(), help);
                return None;
            }
            _ => {
                let how = "a whole number without quotes";
                return field.wrong_type(span, value, "a whole number", how);
            }
        };
        let text = number.as_str().replace('_', "");
        let read = i64::from_str_radix(&text, number.radix());
        let KeyKind::Count { min, max } = field.kind else { return read.ok() };
        match read {
            Ok(number) if (min..=max).contains(&number) => Some(number),
            _ => field.outside(span, &text, &format!("from {min} to {max}")),
        }
    }

    fn stand_in(field: &Field<'_, i64>) -> i64 {
        match field.kind {
            KeyKind::Count { min, .. } => min,
            _ => 0,
        }
    }

    fn shown(&self) -> String {
        self.to_string()
    }
}

impl Value for String {
    fn take(field: &Field<'_, String>, span: Span, value: &DeValue<'_>) -> Option<String> {
        match (&field.wanted, value) {
            (Wanted::Date, DeValue::Datetime(date)) if date.time.is_none() => {
                Some(date.to_string())
            }
            (Wanted::Date, _) => {
                let how = "a date such as 2026-12-18, without quotes and time";
                field.wrong_type(span, value, "a plain date", how)
            }
            (_, DeValue::String(text)) if text.trim().is_empty() => {
                let message = format!("`{}` is empty", field.keys.shown(field.key));
                field.keys.say(span, message, format!("write {}", field.meaning));
                None
            }
            (_, DeValue::String(text)) => Some(text.to_string()),
            _ => field.wrong_type(span, value, "text", "it in \"quotes\""),
        }
    }

    fn stand_in(_: &Field<'_, String>) -> String {
        String::new()
    }

    fn shown(&self) -> String {
        self.clone()
    }
}

impl Value for Vec<String> {
    fn take(field: &Field<'_, Self>, span: Span, value: &DeValue<'_>) -> Option<Self> {
        let Some(array) = value.as_array() else {
            return field.wrong_type(span, value, "a list of texts", "[\"…\", \"…\"]");
        };
        let mut texts = Vec::new();
        for item in array {
            let Some(text) = item.get_ref().as_str() else {
                let span = Span::new(item.span().start, item.span().end);
                return field.wrong_type(span, item.get_ref(), "text", "it in \"quotes\"");
            };
            texts.push(text.to_owned());
        }
        Some(texts)
    }

    fn stand_in(_: &Field<'_, Self>) -> Self {
        Vec::new()
    }

    fn shown(&self) -> String {
        self.join(", ")
    }
}

impl Value for bool {
    fn take(field: &Field<'_, bool>, span: Span, value: &DeValue<'_>) -> Option<bool> {
        match value.as_bool() {
            Some(flag) => Some(flag),
            None => field.wrong_type(span, value, "true or false", "true or false, without quotes"),
        }
    }

    fn stand_in(_: &Field<'_, bool>) -> bool {
        false
    }

    fn shown(&self) -> String {
        self.to_string()
    }
}

impl<T: Choice + PartialEq> Value for T {
    fn take(field: &Field<'_, T>, span: Span, value: &DeValue<'_>) -> Option<T> {
        let Wanted::Choice(words) = field.wanted else { return None };
        let list: Vec<_> = words.iter().map(|(word, _, meaning)| (*word, *meaning)).collect();
        let Some(text) = value.as_str() else {
            return field.wrong_type(span, value, "a word", &one_of(&list));
        };
        let found = words.iter().find(|(word, _, _)| *word == text);
        if found.is_none() {
            let message = format!("`{}` cannot be \"{text}\"", field.keys.shown(field.key));
            let help = match near(text, list.iter().map(|(word, _)| *word)) {
                Some(word) => format!("did you mean \"{word}\"? It can be {}", one_of(&list)),
                None => format!("write {}", one_of(&list)),
            };
            field.keys.say(span, message, help);
        }
        found.map(|(_, value, _)| *value)
    }

    fn stand_in(_: &Field<'_, T>) -> T {
        T::words()[0].1
    }

    fn shown(&self) -> String {
        self.word().to_owned()
    }
}
