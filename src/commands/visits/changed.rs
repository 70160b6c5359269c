//! What if: the shop with one thing otherwise.

use super::gather::{Gathered, nobody};
use crate::commands::Trouble;
use clap::Args;
use model::Length;
use model::files::shop::{Person, Runs};

/// What would be otherwise.
#[derive(Debug, Args)]
pub(super) struct WhatIf {
    /// What if there were one more person, with the hours of this name?
    #[arg(long, value_name = "HOURS")]
    one_more: Option<String>,
    /// What if this person were away?
    #[arg(long, value_name = "NAME")]
    without: Option<String>,
    /// What if this lathe had bars of another length, as "Lathe 1=1200mm"? Its job is planned anew.
    #[arg(long, value_name = "LATHE=LENGTH")]
    bar: Option<String>,
}

impl WhatIf {
    /// The changed shop, and in words what is otherwise; none where nothing is.
    pub(super) fn change(
        &self,
        gathered: &Gathered,
    ) -> Result<Option<(String, Gathered)>, Trouble> {
        let mut changed = gathered.clone();
        let mut words = Vec::new();
        if let Some(hours) = &self.one_more {
            let names = || gathered.shop.hours.iter().map(|it| it.name.as_str());
            if !names().any(|name| name == hours) {
                return Err(nobody("[[hours]]", hours, &names().collect::<Vec<_>>()));
            }
            changed.shop.people.push(one_more(gathered, hours));
            words.push(format!("one more person, with the hours \"{hours}\""));
        }
        if let Some(name) = &self.without {
            let names = || gathered.shop.people.iter().map(|it| it.name.as_str());
            if !names().any(|it| it == name) {
                return Err(nobody("person", name, &names().collect::<Vec<_>>()));
            }
            changed.shop.people.retain(|person| person.name != *name);
            words.push(format!("without {name}"));
        }
        if let Some(text) = &self.bar {
            words.push(longer(&mut changed, text)?);
        }
        Ok((!words.is_empty()).then(|| (words.join(" and "), changed)))
    }
}

fn one_more(gathered: &Gathered, hours: &str) -> Person {
    let taken = |name: &str| gathered.shop.people.iter().any(|person| person.name == name);
    let mut name = "One more".to_owned();
    while taken(&name) {
        name.push('*');
    }
    Person { name, hours: hours.to_owned(), lathes: Vec::new(), away: Vec::new() }
}

fn longer(changed: &mut Gathered, text: &str) -> Result<String, Trouble> {
    let help = "write a lathe and a length, as --bar \"Lathe 1=1200mm\"";
    let wrong = || Trouble::outside(format!("\"{text}\" is no lathe with a length"), help);
    let (name, length) = text.rsplit_once('=').ok_or_else(wrong)?;
    let index = changed.lathe(name)?;
    let length = Length::parse_with_unit(length, changed.shop.units).map_err(|_| wrong())?;
    if !length.is_positive() {
        return Err(wrong());
    }
    if !matches!(changed.shop.lathes[index].runs, Runs::Job(_)) {
        let message = format!("{name} names no job that could be planned with another bar");
        return Err(Trouble::outside(message, "give the lathe its `job` in the shop file"));
    }
    changed.not_known.retain(|it| it.lathe != name);
    changed.learned.retain(|it| it.lathe != name);
    changed.courses[index] = changed.course(index, Some(length))?;
    let units = changed.shop.units;
    let shown = format!("{} {}", length.shortest(units), units.symbol());
    Ok(format!("bars of {shown} at {name}"))
}
