//! Plain values and objects as JSON, both ways.

use jiff::Timestamp;
use model::files::keys::Choice;
use model::record::event::{EdgeWhy, Fills, FollowWhy, OffsetAxis, StopWhy, Work};
use model::record::{Lapse, Name, RackedKind, Stamp};
use model::{Length, Money};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// What is wrong with a piece of JSON.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// The key it is about, with those around it; empty for the whole.
    pub key: String,
    /// What is wrong, without the key.
    pub message: String,
    /// What to write instead.
    pub mend: String,
}

impl Wrong {
    pub(crate) fn new(message: impl Into<String>, mend: impl Into<String>) -> Wrong {
        Wrong { key: String::new(), message: message.into(), mend: mend.into() }
    }

    pub(crate) fn at(mut self, key: &str) -> Wrong {
        self.key = if self.key.is_empty() { key.to_owned() } else { format!("{key}.{}", self.key) };
        self
    }
}

pub(crate) trait Wire: Sized {
    fn put(&self) -> Value;
    fn take(value: &Value) -> Result<Self, Wrong>;

    /// What the absence of the key means; none where it must be there.
    fn absent() -> Option<Self> {
        None
    }
}

impl<T: Wire> Wire for Option<T> {
    fn put(&self) -> Value {
        self.as_ref().map_or(Value::Null, T::put)
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        if value.is_null() { Ok(None) } else { T::take(value).map(Some) }
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

impl<T: Wire> Wire for Box<T> {
    fn put(&self) -> Value {
        T::put(self)
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        T::take(value).map(Box::new)
    }
}

impl<T: Wire> Wire for Vec<T> {
    fn put(&self) -> Value {
        Value::Array(self.iter().map(T::put).collect())
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        let list = value.as_array().ok_or_else(|| Wrong::new("is no list", "write a list"))?;
        list.iter().map(T::take).collect()
    }
}

fn whole(value: &Value) -> Result<i64, Wrong> {
    value.as_i64().ok_or_else(|| Wrong::new("is no whole number", "write a whole number"))
}

impl Wire for i64 {
    fn put(&self) -> Value {
        (*self).into()
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        whole(value)
    }
}

impl Wire for u32 {
    fn put(&self) -> Value {
        (*self).into()
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        let number = whole(value)?;
        let wrong = |_| Wrong::new("is out of range", "write a whole number from 0 to 4294967295");
        u32::try_from(number).map_err(wrong)
    }
}

impl Wire for u64 {
    fn put(&self) -> Value {
        (*self).into()
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        value.as_u64().ok_or_else(|| Wrong::new("is no count", "write a whole number from 0 on"))
    }
}

impl Wire for Name {
    fn put(&self) -> Value {
        Value::String(self.text().to_owned())
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        let text = value.as_str().ok_or_else(|| Wrong::new("is no text", "write it in quotes"))?;
        Name::parse(text).ok_or_else(|| {
            Wrong::new("is empty, longer than 100 characters or has several lines", "shorten it")
        })
    }
}

impl Wire for Length {
    fn put(&self) -> Value {
        self.nm().into()
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        let mend = "write whole nanometers: 12.5 mm are 12500000, 0.5 in are 12700000";
        let nm = value.as_i64().ok_or_else(|| Wrong::new("is no exact length", mend))?;
        let length = Length::from_nm(nm);
        if length.abs() > Length::LIMIT {
            return Err(Wrong::new("is longer than 1000 m", mend));
        }
        Ok(length)
    }
}

impl Wire for Money {
    fn put(&self) -> Value {
        self.cents().into()
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        whole(value).map(Money::from_cents)
    }
}

impl Wire for Lapse {
    fn put(&self) -> Value {
        self.ms().into()
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        let ms = whole(value)?;
        if ms < 0 {
            return Err(Wrong::new("is less than no time", "write whole milliseconds, 0 or more"));
        }
        Ok(Lapse::from_ms(ms))
    }
}

/// A time as it is written with an offset, as `2026-12-01T14:30:00Z`; without one it is taken for UTC.
pub fn stamp_of(text: &str) -> Option<Stamp> {
    let time = text.parse::<Timestamp>().or_else(|_| format!("{text}Z").parse());
    time.ok().map(|time| Stamp::from_ms(time.as_millisecond()))
}

/// A time as RFC 3339 in UTC, with milliseconds where it has them.
pub fn stamp_text(stamp: Stamp) -> String {
    // Times beyond the calendar's years are told as they are kept.
    Timestamp::from_millisecond(stamp.ms())
        .map_or_else(|_| format!("{} ms", stamp.ms()), |time| time.to_string())
}

impl Wire for Stamp {
    fn put(&self) -> Value {
        match Timestamp::from_millisecond(self.ms()) {
            Ok(time) => Value::String(time.to_string()),
            Err(_) => self.ms().into(),
        }
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        let mend = "write date, time and offset, such as 2026-12-01T14:30:00Z";
        if let Some(ms) = value.as_i64() {
            return Ok(Stamp::from_ms(ms));
        }
        let text = value.as_str().ok_or_else(|| Wrong::new("is no time", mend))?;
        let time: Timestamp = text.parse().map_err(|_| Wrong::new("is no time", mend))?;
        Ok(Stamp::from_ms(time.as_millisecond()))
    }
}

/// What can be the key of an object.
pub(crate) trait Key: Ord + Sized {
    fn text(&self) -> String;
    fn parse(text: &str) -> Result<Self, Wrong>;
}

impl Key for Name {
    fn text(&self) -> String {
        Name::text(self).to_owned()
    }

    fn parse(text: &str) -> Result<Self, Wrong> {
        Name::take(&Value::String(text.to_owned()))
    }
}

impl Key for u32 {
    fn text(&self) -> String {
        self.to_string()
    }

    fn parse(text: &str) -> Result<Self, Wrong> {
        text.parse().map_err(|_| Wrong::new("is no number", "write a whole number in quotes"))
    }
}

impl<K: Key, V: Wire> Wire for BTreeMap<K, V> {
    fn put(&self) -> Value {
        if self.is_empty() {
            return Value::Null;
        }
        Value::Object(self.iter().map(|(key, value)| (key.text(), value.put())).collect())
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        let map = value.as_object().ok_or_else(no_object)?;
        let pair = |(key, value): (&String, &Value)| {
            let parsed = K::parse(key).map_err(|wrong| wrong.at(key))?;
            Ok((parsed, V::take(value).map_err(|wrong| wrong.at(key))?))
        };
        map.iter().map(pair).collect()
    }

    fn absent() -> Option<Self> {
        Some(BTreeMap::new())
    }
}

fn word_of<C: Choice>(text: &str) -> Result<C, Wrong> {
    let known = C::words().iter().find(|(word, _, _)| *word == text);
    known.map(|(_, choice, _)| *choice).ok_or_else(|| {
        let words: Vec<&str> = C::words().iter().map(|(word, _, _)| *word).collect();
        Wrong::new("is not one of the words for it", format!("write one of {}", words.join(", ")))
    })
}

macro_rules! words {
    ($($type:ty),*) => {$(
        impl Wire for $type {
            fn put(&self) -> Value {
                Value::String(self.word().to_owned())
            }

            fn take(value: &Value) -> Result<Self, Wrong> {
                word_of(value.as_str().unwrap_or_default())
            }
        }

        impl Key for $type {
            fn text(&self) -> String {
                self.word().to_owned()
            }

            fn parse(text: &str) -> Result<Self, Wrong> {
                word_of(text)
            }
        }
    )*};
}

words!(StopWhy, EdgeWhy, OffsetAxis, Work, Fills, RackedKind, FollowWhy);

fn no_object() -> Wrong {
    Wrong::new("is no object", "write keys and values in braces")
}

/// An object of which only these keys are known.
pub(crate) fn object<'v>(
    value: &'v Value,
    known: &[&str],
) -> Result<&'v Map<String, Value>, Wrong> {
    let map = value.as_object().ok_or_else(no_object)?;
    match map.keys().find(|key| !known.contains(&key.as_str())) {
        None => Ok(map),
        Some(key) => {
            let mend = match known {
                [] => "take it out: there is nothing more to tell".to_owned(),
                known => format!("take it out, or write one of {}", known.join(", ")),
            };
            Err(Wrong::new("is not known", mend).at(key))
        }
    }
}

pub(crate) fn get<T: Wire>(map: &Map<String, Value>, key: &str) -> Result<T, Wrong> {
    match map.get(key) {
        Some(value) if !(value.is_null() && T::absent().is_some()) => {
            T::take(value).map_err(|wrong| wrong.at(key))
        }
        _ => T::absent().ok_or_else(|| Wrong::new("is missing", "add it").at(key)),
    }
}

pub(crate) fn add<T: Wire>(map: &mut Map<String, Value>, key: &str, value: &T) {
    let value = value.put();
    if !value.is_null() {
        map.insert(key.to_owned(), value);
    }
}

/// A struct as an object; keys that have nothing to say are left out.
macro_rules! fields {
    ($type:ty { $($field:ident: $key:literal),* $(,)? }) => {
        impl $crate::wire::value::Wire for $type {
            fn put(&self) -> serde_json::Value {
                let mut map = serde_json::Map::new();
                $($crate::wire::value::add(&mut map, $key, &self.$field);)*
                serde_json::Value::Object(map)
            }

            fn take(value: &serde_json::Value) -> Result<Self, $crate::wire::value::Wrong> {
                let map = $crate::wire::value::object(value, &[$($key),*])?;
                Ok(Self { $($field: $crate::wire::value::get(map, $key)?),* })
            }
        }
    };
}

pub(crate) use fields;
