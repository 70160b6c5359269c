//! `barwright quote JOB`.

use super::paper::{self, Paper};
use super::plan::{named_beside, write_unless_changed};
use super::priced::Priced;
use super::{Ended, Outcome, Trouble, print};
use crate::files::NewFile;
use crate::json;
use crate::term;
use clap::Args;
use cost::Asked;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use view::quote::Letter;

/// Price a job by quantity: setting up, material, lathe, edges, a person's time, overhead and margin.
///
/// The job is planned and proven first; where a stop stands, nothing is quoted. Rates, scrap prices and
/// quantity breaks stand in the shop file. Writes the customer's page, which shows no figure of the shop's
/// own, and an inner page with all of them, as PDF, tables for a spreadsheet and JSON.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright quote demo/detent-pin/detent-pin.job.toml --shop demo/week-48/shop.toml"
)]
pub(super) struct Quote {
    /// The job file.
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// The shop file; left out, shop.toml beside the job.
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,
    /// Quantities to quote beside the order's own, instead of the shop's breaks.
    #[arg(long, value_name = "PARTS", value_delimiter = ',', value_parser = clap::value_parser!(u32).range(1..=10_000_000))]
    quantities: Vec<u32>,
    /// The part was made before: its program is there.
    #[arg(long)]
    made_before: bool,
    /// Who the quote is for; left out, a line to write on.
    #[arg(long = "for", value_name = "CUSTOMER")]
    customer: Option<String>,
    /// The quote's number.
    #[arg(long, value_name = "NUMBER")]
    number: Option<String>,
    /// The quote's date, as it shall stand on it.
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// The folder for pages, tables and answer; left out, NAME.quote beside the job.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Overwrite what stands in that folder.
    #[arg(long)]
    force: bool,
    /// The paper; left out, letter for a job in inches, A4 for others.
    #[arg(long, value_enum)]
    paper: Option<Paper>,
    /// Print the answer as JSON.
    #[arg(long)]
    json: bool,
}

impl Quote {
    pub(super) fn run(self) -> Ended {
        let priced = Priced::read(&self.job, self.shop.as_ref())?;
        let Priced { job, answer, shop } = &priced;
        let asked = Asked { quantities: self.quantities.clone(), made_before: self.made_before };
        let quote = match cost::quote(job, answer, shop, &asked) {
            Ok(quote) => quote,
            Err(refusal) => return priced.refuse(refusal, "no quote", self.json),
        };
        let folder = self.out.clone().unwrap_or_else(|| named_beside(&self.job, "quote"));
        let value = json::quote(job, answer, shop, &quote);
        let files = self.files(&priced, &quote, &folder, &json::text(&value))?;
        write_unless_changed(&files, self.force)?;
        if self.json {
            return print(json::text(&value).as_bytes());
        }
        let mut text = term::quote(job, answer, shop, &quote);
        text += &term::learned(answer);
        text.push('\n');
        for file in &files {
            let _ = writeln!(text, "wrote {}", file.path.display());
        }
        print(text.as_bytes())?;
        Ok(Outcome::Fine)
    }

    fn files(
        &self,
        priced: &Priced,
        quote: &cost::Quote,
        folder: &Path,
        value: &str,
    ) -> Result<Vec<NewFile>, Trouble> {
        let Priced { job, answer, shop } = priced;
        let letter = Letter {
            customer: self.customer.clone(),
            number: self.number.clone(),
            date: self.date.clone(),
        };
        let paper = self.paper.unwrap_or(Paper::of(job.file.units));
        let instead = "tell us of this message; --json prints the answer without pages";
        let customer = view::quote::customer(job, shop, quote, &letter);
        let mut files = paper::pdf(&customer, folder.join("customer.pdf"), paper, instead)?;
        if let Some(rates) = &shop.rates {
            let inner = view::quote::inner(job, answer, shop, rates, quote);
            files.extend(paper::pdf(&inner, folder.join("inner.pdf"), paper, instead)?);
            for (name, table) in view::sheet::csv(&inner) {
                let path = folder.join(format!("{name}.csv"));
                files.push(NewFile { path, bytes: table.into_bytes() });
            }
        }
        let path = folder.join("quote.json");
        files.push(NewFile { path, bytes: value.as_bytes().to_vec() });
        Ok(files)
    }
}
