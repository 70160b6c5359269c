//! The folder of a demo job, some keys of its files changed.

use model::{Files, Source};
use std::path::{Path, PathBuf};
use toml::{Table, Value};

/// A demo's folder; the files are read with the changes laid over them.
pub(crate) struct Folder {
    folder: PathBuf,
    /// Changes by file: `job`, `lathe`, `gripper`, `tools`, `control`, `material`. The text
    /// `absent` takes a key away. A list of tables is changed by the `number` of an entry, or by
    /// its place from 1.
    change: Table,
}

fn repository() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

impl Folder {
    pub(crate) fn changed(demo: &str, change: Table) -> Folder {
        Folder { folder: repository().join("demo").join(demo), change }
    }

    fn read(&self, path: &Path, key: &str) -> Result<Source, String> {
        let bytes = std::fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
        let name = path.display().to_string();
        let Some(Value::Table(change)) = self.change.get(key) else {
            return Ok(Source::new(name, bytes));
        };
        let text = String::from_utf8(bytes).map_err(|error| error.to_string())?;
        let mut table: Table = text.parse().map_err(|error| format!("{error}"))?;
        lay_over(&mut table, change);
        Ok(Source::new(name, table.to_string()))
    }
}

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Source, String> {
        let key = if path.ends_with(".job.toml") { "job" } else { path.trim_end_matches(".toml") };
        self.read(&self.folder.join(path), key)
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        self.read(&repository().join("data").join(path), "material")
    }
}

fn lay_over(base: &mut Table, change: &Table) {
    for (key, value) in change {
        match (base.get_mut(key), value) {
            (_, Value::String(word)) if word == "absent" => {
                base.remove(key);
            }
            (Some(Value::Table(inner)), Value::Table(change)) => lay_over(inner, change),
            (Some(Value::Array(list)), Value::Table(change)) => {
                for (key, change) in change {
                    let number: i64 = key.parse().unwrap();
                    let named = |entry: &Value| {
                        entry.get("number").and_then(Value::as_integer) == Some(number)
                    };
                    let index = list.iter().position(named).unwrap_or(number as usize - 1);
                    lay_over(list[index].as_table_mut().unwrap(), change.as_table().unwrap());
                }
            }
            _ => {
                base.insert(key.clone(), value.clone());
            }
        }
    }
}
