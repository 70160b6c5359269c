//! Which data items of which device are watched.

use crate::document::{Device, Devices, Item};
use std::fmt;

/// The data items that are watched; other observations are passed over.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Watch {
    /// The count of parts.
    pub parts: Option<String>,
    /// What the control does.
    pub execution: Option<String>,
    /// Whether the bar has ended.
    pub bar_end: Option<String>,
}

/// Why it is not clear what to watch; each tells what there is to choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unclear {
    /// The agent tells of several devices, or of none of that name.
    Device(Vec<String>),
    /// Several items of this type are as likely: their ids.
    Item(&'static str, Vec<String>),
    /// It tells neither parts nor execution.
    Nothing,
}

impl fmt::Display for Unclear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unclear::Device(names) => {
                write!(f, "name one of the agent's devices: {}", names.join(", "))
            }
            Unclear::Item(kind, ids) => {
                write!(f, "several items are {kind}; name one: {}", ids.join(", "))
            }
            Unclear::Nothing => f.write_str("the device tells neither PART_COUNT nor EXECUTION"),
        }
    }
}

impl std::error::Error for Unclear {}

impl Watch {
    /// What to watch of the device of this name or uuid; of the only one where none is named. Of
    /// several counts that of all parts comes first, then one without subtype, then that of good
    /// ones.
    ///
    /// # Errors
    /// What is not clear, with the choices.
    pub fn of(found: &Devices, device: Option<&str>) -> Result<Watch, Unclear> {
        let device = chosen(found, device)?;
        let parts = [Some("ALL"), None, Some("GOOD")]
            .into_iter()
            .map(|subtype| only(device, "PART_COUNT", &|it| it.subtype.as_deref() == subtype))
            .find(|it| !matches!(it, Ok(None)))
            .unwrap_or(Ok(None))?;
        let execution = only(device, "EXECUTION", &|_| true)?;
        let bar_end = only(device, "END_OF_BAR", &|it| it.subtype.as_deref() != Some("AUXILIARY"))?;
        if parts.is_none() && execution.is_none() {
            return Err(Unclear::Nothing);
        }
        Ok(Watch { parts, execution, bar_end })
    }

    pub(crate) fn sees(&self, item: &str) -> bool {
        [&self.parts, &self.execution, &self.bar_end].into_iter().flatten().any(|it| it == item)
    }
}

fn chosen<'a>(found: &'a Devices, wanted: Option<&str>) -> Result<&'a Device, Unclear> {
    let fits = |it: &&Device| wanted.is_none_or(|wanted| it.name == wanted || it.uuid == wanted);
    let fitting: Vec<&Device> = found.devices.iter().filter(fits).collect();
    match fitting.as_slice() {
        [device] => Ok(device),
        _ => Err(Unclear::Device(found.devices.iter().map(|it| it.name.clone()).collect())),
    }
}

/// The only item of a type, none where there is none.
fn only(
    device: &Device,
    kind: &'static str,
    fits: &dyn Fn(&Item) -> bool,
) -> Result<Option<String>, Unclear> {
    let items = device.items.iter().filter(|it| it.kind == kind && fits(it));
    let mut ids: Vec<String> = items.map(|it| it.id.clone()).collect();
    match ids.len() {
        0 => Ok(None),
        1 => Ok(ids.pop()),
        _ => Err(Unclear::Item(kind, ids)),
    }
}
