//! What if: the shop with one thing otherwise.

use super::gather::{Gathered, nobody};
use crate::commands::Trouble;
use model::files::shop::{DaySpan, Person, Runs};
use model::{Files, Length};

/// What would be otherwise; nothing where all is left out.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct WhatIf {
    /// One more person, with the hours of this name.
    pub(crate) one_more: Option<String>,
    /// This person is away.
    pub(crate) without: Option<String>,
    /// A lathe with bars of another length, with its unit or in the shop's.
    pub(crate) bar: Option<(String, String)>,
    /// Hours with other spans, as `06:00-12:00, 12:30-14:30`.
    pub(crate) hours: Option<(String, String)>,
}

impl WhatIf {
    /// The changed shop, and in words what is otherwise; none where nothing is.
    pub(crate) fn change(
        &self,
        files: &dyn Files,
        gathered: &Gathered,
    ) -> Result<Option<(String, Gathered)>, Trouble> {
        let mut changed = gathered.clone();
        let mut words = Vec::new();
        if let Some((name, spans)) = &self.hours {
            words.push(other_hours(&mut changed, name, spans)?);
        }
        if let Some(hours) = &self.one_more {
            known(gathered.shop.hours.iter().map(|it| it.name.as_str()), "[[hours]]", hours)?;
            changed.shop.people.push(one_more(gathered, hours));
            words.push(format!("one more person, with the hours \"{hours}\""));
        }
        if let Some(name) = &self.without {
            known(gathered.shop.people.iter().map(|it| it.name.as_str()), "person", name)?;
            changed.shop.people.retain(|person| person.name != *name);
            words.push(format!("without {name}"));
        }
        if let Some((lathe, length)) = &self.bar {
            words.push(other_bar(files, &mut changed, lathe, length)?);
        }
        Ok((!words.is_empty()).then(|| (words.join(" and "), changed)))
    }
}

fn known<'n>(names: impl Iterator<Item = &'n str>, what: &str, name: &str) -> Result<(), Trouble> {
    let names: Vec<&str> = names.collect();
    if names.contains(&name) { Ok(()) } else { Err(nobody(what, name, &names)) }
}

fn one_more(gathered: &Gathered, hours: &str) -> Person {
    let taken = |name: &str| gathered.shop.people.iter().any(|person| person.name == name);
    let mut name = "One more".to_owned();
    while taken(&name) {
        name.push('*');
    }
    Person { name, hours: hours.to_owned(), lathes: Vec::new(), away: Vec::new() }
}

fn other_hours(changed: &mut Gathered, name: &str, text: &str) -> Result<String, Trouble> {
    known(changed.shop.hours.iter().map(|it| it.name.as_str()), "[[hours]]", name)?;
    let help = "write spans in the order of the day, as 06:00-12:00, 12:30-14:30";
    let wrong = |message: String| Trouble::outside(message, help);
    let mut spans = Vec::new();
    for one in text.split([',', ';']).map(str::trim).filter(|one| !one.is_empty()) {
        let span = DaySpan::parse(one);
        spans.push(span.ok_or_else(|| wrong(format!("\"{one}\" is no span of a day")))?);
    }
    if spans.is_empty() || !DaySpan::follow(&spans) {
        return Err(wrong(format!("\"{text}\" overlaps, is out of order or is empty")));
    }
    let shown: Vec<String> = spans.iter().map(DaySpan::to_string).collect();
    for hours in changed.shop.hours.iter_mut().filter(|hours| hours.name == name) {
        hours.spans.clone_from(&spans);
    }
    Ok(format!("the hours \"{name}\" being {}", shown.join(", ")))
}

fn other_bar(
    files: &dyn Files,
    changed: &mut Gathered,
    name: &str,
    text: &str,
) -> Result<String, Trouble> {
    let help = "write a lathe and a length, as --bar \"Lathe 1=1200mm\"";
    let wrong = || Trouble::outside(format!("\"{text}\" is no length of a bar"), help);
    let index = changed.lathe(name)?;
    let length = Length::parse_with_unit(text, changed.shop.units).map_err(|_| wrong())?;
    if !length.is_positive() {
        return Err(wrong());
    }
    if !matches!(changed.shop.lathes[index].runs, Runs::Job(_)) {
        let message = format!("{name} names no job that could be planned with another bar");
        return Err(Trouble::outside(message, "give the lathe its `job` in the shop file"));
    }
    changed.not_known.retain(|it| it.lathe != name);
    changed.learned.retain(|it| it.lathe != name);
    changed.courses[index] = changed.course(files, index, Some(length))?;
    let units = changed.shop.units;
    let shown = format!("{} {}", length.shortest(units), units.symbol());
    Ok(format!("bars of {shown} at {name}"))
}
