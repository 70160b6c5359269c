//! Learned figures as keys of a job file, with comments, order and spaces of the rest kept.

use model::quantity::Seconds;
use model::{Length, Units};
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

/// The keys of one learned figure; of edges that of one station.
pub(crate) struct Keys {
    pub(crate) table: &'static str,
    pub(crate) station: Option<u32>,
    values: Vec<(&'static str, Value)>,
}

impl Keys {
    pub(crate) fn of(table: &'static str, station: Option<u32>) -> Keys {
        let mut keys = Keys { table, station, values: vec![("use", Value::from(true))] };
        if let Some(station) = station {
            keys.values.push(("station", Value::from(i64::from(station))));
        }
        keys
    }

    fn with(mut self, key: &'static str, value: Value) -> Keys {
        self.values.push((key, value));
        self
    }

    /// Six digits, as many as anybody can use.
    pub(crate) fn number(self, key: &'static str, value: f64) -> Keys {
        let decimals = if value.abs() >= 100.0 { 3 } else { 5 };
        let text = format!("{value:.decimals$}");
        let value = text.parse().unwrap_or_else(|_| Value::from(value));
        self.with(key, value)
    }

    pub(crate) fn minutes(self, key: &'static str, time: Seconds) -> Keys {
        self.number(key, time.s() / 60.0)
    }

    pub(crate) fn length(self, key: &'static str, length: Length, units: Units) -> Keys {
        let text = length.text(units, units.decimals() + 2);
        let value = text.parse().unwrap_or_else(|_| Value::from(text));
        self.with(key, value)
    }

    pub(crate) fn count(self, key: &'static str, count: u32) -> Keys {
        self.with(key, Value::from(i64::from(count)))
    }

    /// A day, as `2026-12-18`.
    pub(crate) fn day(self, key: &'static str, day: &str) -> Keys {
        let value = day.parse().unwrap_or_else(|_| Value::from(day));
        self.with(key, value)
    }

    /// The name of its table, as a person finds it.
    pub(crate) fn name(&self) -> String {
        match self.station {
            Some(station) => format!("[[learned.{}]] of station {station}", self.table),
            None => format!("[learned.{}]", self.table),
        }
    }
}

/// Why a text cannot be changed.
pub(crate) enum Refused {
    /// It is no TOML, or its tables are written in a way that only a hand can change.
    ByHand(String),
    /// This stands there already, and says something else.
    Stands(String),
}

/// The text with these figures in it; where they stand already, only with `force`.
pub(crate) fn write(text: &str, all: &[Keys], force: bool) -> Result<String, Refused> {
    let by_hand = |what: &str| {
        Refused::ByHand(format!("`{what}` is written in a way that only a hand can change"))
    };
    let mut document = text.parse::<DocumentMut>().map_err(|error| {
        Refused::ByHand(format!("the file is not TOML as it stands: {}", error.message()))
    })?;
    let root = document.as_table_mut();
    if !root.contains_key("learned") {
        let mut learned = Table::new();
        learned.set_implicit(true);
        root.insert("learned", Item::Table(learned));
    }
    let learned = root.get_mut("learned").and_then(Item::as_table_like_mut);
    let learned = learned.ok_or_else(|| by_hand("learned"))?;
    for keys in all {
        let (stood, table) = table(learned, keys).ok_or_else(|| by_hand(&keys.name()))?;
        if stood && !force && differs(table, keys) {
            return Err(Refused::Stands(keys.name()));
        }
        for (key, value) in &keys.values {
            let mut value = value.clone();
            match table.get_mut(key) {
                Some(Item::Value(old)) => {
                    *value.decor_mut() = old.decor().clone();
                    *old = value;
                }
                Some(_) => return Err(by_hand(key)),
                None => {
                    table.insert(key, Item::Value(value));
                }
            }
        }
    }
    Ok(document.to_string())
}

/// The table of a figure, made where it is not there; and whether it was.
fn table<'t>(learned: &'t mut dyn TableLike, keys: &Keys) -> Option<(bool, &'t mut dyn TableLike)> {
    let Some(station) = keys.station else {
        let stood = learned.contains_key(keys.table);
        if !stood {
            learned.insert(keys.table, Item::Table(Table::new()));
        }
        return Some((stood, learned.get_mut(keys.table)?.as_table_like_mut()?));
    };
    if !learned.contains_key(keys.table) {
        learned.insert(keys.table, Item::ArrayOfTables(ArrayOfTables::new()));
    }
    let list = learned.get_mut(keys.table)?.as_array_of_tables_mut()?;
    let is =
        |table: &Table| table.get("station").and_then(Item::as_integer) == Some(i64::from(station));
    let at = list.iter().position(is);
    if at.is_none() {
        list.push(Table::new());
    }
    let place = at.unwrap_or(list.len() - 1);
    Some((at.is_some(), list.get_mut(place)? as &mut dyn TableLike))
}

fn differs(table: &dyn TableLike, keys: &Keys) -> bool {
    let plain = |value: &Value| value.clone().decorated("", "").to_string();
    keys.values.iter().any(|(key, value)| {
        table.get(key).and_then(Item::as_value).map(plain) != Some(plain(value))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cycle(factor: f64) -> Keys {
        Keys::of("cycle", None).number("factor", factor).count("count", 40).day("on", "2026-12-01")
    }

    fn written(text: &str, keys: &[Keys], force: bool) -> String {
        write(text, keys, force).unwrap_or_else(|_| String::new())
    }

    #[test]
    fn what_stood_there_stays_and_the_new_table_comes_last() {
        let text = "# mine\nunits = \"mm\"\n\n[bar]\nsize   = 12   # drawn\n\n# end\n";
        let new = written(text, &[cycle(1.0262)], false);
        assert!(
            new.starts_with("# mine\nunits = \"mm\"\n\n[bar]\nsize   = 12   # drawn\n"),
            "{new}"
        );
        assert!(new.contains("# end"), "{new}");
        let keys = "[learned.cycle]\nuse = true\nfactor = 1.02620\ncount = 40\non = 2026-12-01\n";
        assert!(new.contains(keys), "{new}");
        assert!(!new.contains("[learned]\n"), "{new}");
        // Written again it is the same text, and needs no leave.
        assert_eq!(written(&new, &[cycle(1.0262)], false), new);
    }

    #[test]
    fn another_figure_is_written_over_only_with_leave() {
        let text = "[learned.cycle]\nuse = false # not yet\nfactor = 1.1   # by hand\ncount = 9\n";
        assert!(matches!(write(text, &[cycle(1.2)], false), Err(Refused::Stands(_))));
        let new = written(text, &[cycle(1.2)], true);
        assert!(
            new.starts_with(
                "[learned.cycle]\nuse = true # not yet\nfactor = 1.20000   # by hand\ncount = 40\n"
            ),
            "{new}"
        );
    }

    #[test]
    fn edges_are_found_by_their_station() {
        let edge = |station, life| {
            Keys::of("edge", Some(station)).minutes("life", Seconds::from_s(60.0 * life))
        };
        let text = "[[learned.edge]]\nstation = 1\nuse = true\nlife = 20.0 # old\n";
        let new = written(text, &[edge(3, 9.5), edge(1, 21.0)], true);
        assert_eq!(new.matches("[[learned.edge]]").count(), 2, "{new}");
        assert!(new.contains("life = 21.00000 # old") && new.contains("station = 3"), "{new}");
        assert!(matches!(write("learned = 5\n", &[edge(1, 2.0)], true), Err(Refused::ByHand(_))));
        assert!(matches!(write("a = = 1", &[edge(1, 2.0)], true), Err(Refused::ByHand(_))));
    }
}
