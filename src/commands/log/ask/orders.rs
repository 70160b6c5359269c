//! What orders have used and given, and what that cost.

use super::super::given::{Shop, job};
use crate::commands::prove::job as job_of;
use crate::commands::{Ended, Trouble, priced, print};
use crate::json::{self, log as json_log};
use crate::term::log as term_log;
use clap::Args;
use cost::spent::Spent;
use model::record::{Name, State, Tally};
use serde_json::Value;
use std::path::{Path, PathBuf};

/// What orders have used and given, beside what was planned; with --shop, what that cost.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright log orders\n  barwright log orders detent-pin\n  \
        barwright log orders detent-pin --shop demo/week-48/shop.toml")]
pub(in super::super) struct Orders {
    /// Only this one, with all its quantities.
    #[arg(value_name = "JOB")]
    job: Option<String>,
    /// Those that are closed too.
    #[arg(long)]
    all: bool,
    /// The shop file: by its rates, what the order cost so far beside its plan.
    #[arg(long, value_name = "FILE", requires = "job")]
    shop: Option<PathBuf>,
    /// The job file for that; left out, the one that a lathe is set up by for this job.
    #[arg(long, value_name = "FILE", requires = "shop")]
    plan: Option<PathBuf>,
}

impl Orders {
    pub(in super::super) fn run(self, shop: &Shop) -> Ended {
        let (_, live) = shop.live()?;
        let state = live.state();
        let only = self.job.as_ref().map(|text| job(state, text)).transpose()?;
        let all: Vec<_> = state
            .orders
            .iter()
            .filter(|(name, _)| only.as_ref().is_none_or(|it| it == *name))
            .flat_map(|(name, orders)| orders.iter().map(move |order| (name, order)))
            .filter(|(_, order)| self.all || only.is_some() || order.closed.is_none())
            .collect();
        let costs = self.costs(state, &all)?;
        let cost = |place: usize| costs.as_ref().map(|(all, coin)| (&all[place], coin.as_str()));
        let text = if shop.json {
            let orders = all.iter().enumerate().map(|(place, (name, order))| {
                let mut value = json_log::order(name, order);
                if let Some((spent, coin)) = cost(place) {
                    value["cost"] = json_log::spent(spent, coin);
                }
                value
            });
            json::text(&Value::Array(orders.collect()))
        } else if only.is_some() {
            let orders = all.iter().enumerate().map(|(place, (name, order))| {
                let cost = cost(place).map(|(spent, coin)| term_log::spent(spent, coin));
                term_log::order(name, order, shop.units()) + &cost.unwrap_or_default()
            });
            orders.collect()
        } else {
            term_log::orders(&all)
        };
        print(text.as_bytes())
    }

    /// What each of these orders cost, and the name of the coin; none where no shop is named.
    fn costs(
        &self,
        state: &State,
        all: &[(&Name, &Tally)],
    ) -> Result<Option<(Vec<Spent>, String)>, Trouble> {
        let (Some(path), Some((name, _))) = (&self.shop, all.first()) else { return Ok(None) };
        let shop = priced::shop(path, "check the path")?;
        let job = job_of(&self.job_file(state, name)?)?;
        let answer = plan::plan(&job);
        let spent = all.iter().map(|(_, tally)| {
            cost::spent::spent(&job, &answer, &shop, tally).map_err(|refusal| {
                priced::trouble(&job, &shop, refusal).unwrap_or_else(|| {
                    Trouble::outside(
                        format!("{}: a stop stands against its plan", job.file.name),
                        "see it with `barwright plan`, and mend it first",
                    )
                })
            })
        });
        Ok(Some((spent.collect::<Result<_, Trouble>>()?, shop.currency.clone())))
    }

    fn job_file(&self, state: &State, name: &Name) -> Result<PathBuf, Trouble> {
        if let Some(path) = &self.plan {
            return Ok(path.clone());
        }
        let mut set_up = state.lathes.values().filter(|lathe| lathe.job.as_ref() == Some(name));
        let file = set_up.find_map(|lathe| lathe.set_up.job_file.as_ref());
        file.map(|file| Path::new(file.text()).to_owned()).ok_or_else(|| {
            Trouble::outside(
                format!("the log does not know the job file of {name}"),
                "give it with --plan FILE",
            )
        })
    }
}
