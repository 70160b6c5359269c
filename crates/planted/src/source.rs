//! Mistakes that are planted into the project's own source, to see whether its tests find them.

use std::path::Path;
use toml::{Table, Value};

/// One mistake, as `access.toml` has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// What is wrong then, in plain words.
    pub name: String,
    /// The file, from the top of the repository.
    pub file: String,
    /// The text that is replaced; it stands in the file once.
    pub was: String,
    /// What is put in its place.
    pub is: String,
    /// Parts of the names of tests that are run.
    pub tests: Vec<String>,
    /// Why it makes no difference, where no test is to find it.
    pub harmless: Option<String>,
}

impl Mistake {
    /// The text of the file with the mistake in it.
    ///
    /// # Errors
    /// Where the text that is to be replaced does not stand there once.
    pub fn planted(&self, text: &str) -> Result<String, String> {
        match text.matches(&self.was).count() {
            1 => Ok(text.replacen(&self.was, &self.is, 1)),
            count => {
                let (name, file) = (&self.name, &self.file);
                Err(format!("{name}: its text stands {count} times in {file}, not once"))
            }
        }
    }
}

/// Every mistake of the server's access below this folder.
///
/// # Errors
/// Where the file cannot be read, or a mistake lacks something.
#[allow(clippy::disallowed_methods, reason = "for developers: reads the project's own files")]
pub fn access(repository: &Path) -> Result<Vec<Mistake>, String> {
    let path = repository.join("crates/planted/access.toml");
    let text = std::fs::read_to_string(&path).map_err(|error| error.to_string())?;
    let table: Table = text.parse().map_err(|error: toml::de::Error| error.to_string())?;
    let list = table.get("mistake").and_then(Value::as_array).ok_or("there is no mistake")?;
    list.iter().map(mistake).collect()
}

fn mistake(value: &Value) -> Result<Mistake, String> {
    let text = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
    let name = text("name").ok_or("a mistake has no name")?;
    let needed = |key: &str| text(key).ok_or(format!("{name}: there is no `{key}`"));
    let tests = value.get("tests").and_then(Value::as_array).into_iter().flatten();
    let tests: Vec<String> = tests.filter_map(Value::as_str).map(str::to_owned).collect();
    if tests.is_empty() {
        return Err(format!("{name}: it says no `tests`"));
    }
    Ok(Mistake {
        file: needed("file")?,
        was: needed("was")?,
        is: needed("is")?,
        harmless: text("harmless"),
        name,
        tests,
    })
}
