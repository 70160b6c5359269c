//! `barwright log sizes JOB`.

use super::super::given::{Shop, clock_caution, job, lathe, told};
use super::gauged::{Judging, Series, gather};
use crate::commands::{Ended, Trouble, print};
use crate::files::{NewFile, write_all};
use crate::json;
use crate::json::log as json_log;
use crate::term::log as term_log;
use calc::figure::BadFigure;
use calc::sizes::faults::FaultReview;
use calc::sizes::review::Review;
use calc::sizes::summary::SizeSummary;
use clap::Args;
use model::record::event::Measured;
use model::record::{Name, Recorded, What};
use model::{Length, Units};
use runlog::Query;
use serde_json::json;
use std::collections::BTreeMap;
use std::path::PathBuf;
use view::pictures::good_runs::{self, GoodRuns};
use view::pictures::size_chart;
use view::pictures::size_spread::{self, SizeSpread};

/// The sizes gauged of a job, newest last, and what they say: chance, drift, next offset move, next part to gauge.
///
/// All readings since the edge was changed, or since the set-up, are judged, however many are listed. Moves of X are
/// taken as moves of the size. Parts count from the set-up.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log sizes detent-pin\n  barwright log sizes detent-pin 3 --station 1 --picture sizes.svg\n  barwright log sizes detent-pin 3 --group 5"
)]
pub(in super::super) struct Sizes {
    /// The job.
    #[arg(value_name = "JOB")]
    job: String,
    /// Only this feature.
    #[arg(value_name = "FEATURE")]
    feature: Option<String>,
    /// Only at this lathe.
    #[arg(long, value_name = "LATHE")]
    lathe: Option<String>,
    /// The station that turns it: edge changes and offset moves of no other count.
    #[arg(long, value_name = "NUMBER", requires = "feature")]
    station: Option<u32>,
    /// Chart means and ranges of groups of so many readings, 2 to 25; 1 charts each by itself.
    ///
    /// A group is of parts gauged close together, with no offset move in between. It changes the chart and its run
    /// rules; offset, gauge limit and fit are of single parts.
    #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=25))]
    group: u32,
    /// List the newest so many.
    #[arg(long, value_name = "NUMBER", default_value_t = 25)]
    last: u32,
    /// Draw the chart of the feature's sizes, as SVG.
    #[arg(long, value_name = "FILE", requires = "feature")]
    picture: Option<PathBuf>,
    /// Draw how the feature's sizes lie between their limits, as SVG.
    #[arg(long, value_name = "FILE", requires = "feature")]
    spread: Option<PathBuf>,
    /// Overwrite these files.
    #[arg(long)]
    force: bool,
}

/// A series with what its sizes say, and what its good and bad parts do.
struct Reviewed {
    series: Series,
    review: Option<Review>,
    faults: Option<FaultReview>,
}

impl Sizes {
    pub(in super::super) fn run(self, shop: &Shop) -> Ended {
        let (log, live) = shop.live()?;
        let job = job(live.state(), &self.job)?;
        let only = self.lathe.as_ref().map(|text| lathe(live.state(), text)).transpose()?;
        let of = |kind| Query {
            job: Some(job.clone()),
            lathe: only.clone(),
            kind: Some(kind),
            ..Query::default()
        };
        // What was before the last set-up of each lathe is not judged: it need not be read.
        let mut set_up = log.events(&of("set-up")).map_err(told)?;
        set_up.retain(|it| live.corrections().effective(it).is_some());
        let last: BTreeMap<_, _> =
            set_up.iter().map(|it| (&it.event.lathe, it.order.time)).collect();
        let since = last.into_values().min();
        let query = Query { lathe: only.clone(), since, ..Query::default() };
        let all = log.events(&query).map_err(told)?;
        let wanted = |feature: &Name| self.feature.as_ref().is_none_or(|it| *it == **feature);
        let by = Judging { station: self.station, group: self.group, units: shop.units() };
        let mut series = gather(&all, live.corrections(), &job, by);
        series.retain(|it| wanted(&it.feature));
        let mut sizes: Vec<(Recorded, Measured)> = Vec::new();
        for recorded in log.events(&of("size-measured")).map_err(told)? {
            let counts = live.corrections().effective(&recorded).map(|it| it.event.what.clone());
            if let Some(What::SizeMeasured(measured)) = counts
                && wanted(&measured.feature)
            {
                sizes.push((recorded, *measured));
            }
        }
        let sizes = sizes.split_off(sizes.len().saturating_sub(self.last as usize));
        let reviewed = series
            .into_iter()
            .map(|it| Ok((it.review()?, it.faults()?, it)))
            .map(|it| it.map(|(review, faults, series)| Reviewed { series, review, faults }))
            .collect::<Result<Vec<_>, BadFigure>>()
            .map_err(|why| Trouble::outside(why.to_string(), "correct the readings"))?;
        let files = self.pictures(&job, &reviewed, shop.units())?;
        write_all(&files, self.force)?;
        if shop.json {
            let features: Vec<_> = reviewed
                .iter()
                .map(|it| json_log::reviewed(&it.series, it.review.as_ref(), it.faults.as_ref()))
                .collect();
            let answer = json!({ "sizes": json_log::sizes(&sizes), "features": features });
            return print(json::text(&answer).as_bytes());
        }
        let mut text = term_log::sizes(&job, &sizes, shop.units());
        for it in &reviewed {
            let Reviewed { series, review, faults } = it;
            text += &term_log::reviewed(series, review.as_ref(), faults.as_ref(), shop.units());
        }
        for file in &files {
            text += &format!("wrote {}\n", file.path.display());
        }
        print((text + &clock_caution(&log)?).as_bytes())
    }

    /// The pictures that are asked for.
    fn pictures(
        &self,
        job: &Name,
        reviewed: &[Reviewed],
        units: Units,
    ) -> Result<Vec<NewFile>, Trouble> {
        if self.picture.is_none() && self.spread.is_none() {
            return Ok(Vec::new());
        }
        let (series, review) = match reviewed {
            [Reviewed { series, review: Some(review), .. }] => (series, review),
            [Reviewed { series, faults: Some(faults), .. }] if self.spread.is_none() => {
                return Ok(self.good_runs(job, series, faults));
            }
            [Reviewed { series, .. }] => {
                let why = term_log::why_nothing(series);
                return Err(Trouble::outside("there is nothing to draw", why));
            }
            [] => {
                return Err(Trouble::outside("no such size was gauged", "name another feature"));
            }
            _ => {
                let message = "several lathes made this feature";
                return Err(Trouble::outside(message, "name one with --lathe"));
            }
        };
        let name = format!("feature {} of {job}, {}", series.feature, series.lathe);
        let mut files = Vec::new();
        if let Some(path) = &self.picture {
            let scene = size_chart::scene(&series.chart(&name, review));
            let bytes = view::svg::write(&scene).into_bytes();
            files.push(NewFile { path: path.clone(), bytes });
        }
        if let Some(path) = &self.spread {
            let sizes: Vec<Length> = review.kept.iter().map(|it| it.size).collect();
            let summary = SizeSummary::of(&sizes)
                .map_err(|why| Trouble::outside(why.to_string(), "gauge more"))?;
            let fit = series.band.zip(review.fit);
            let shown = SizeSpread { name: &name, sizes: &sizes, summary, fit, units };
            let bytes = view::svg::write(&size_spread::scene(&shown)).into_bytes();
            files.push(NewFile { path: path.clone(), bytes });
        }
        Ok(files)
    }
}

impl Sizes {
    /// The picture of good and bad parts, where no size was gauged.
    fn good_runs(&self, job: &Name, series: &Series, faults: &FaultReview) -> Vec<NewFile> {
        let name = format!("feature {} of {job}, {}", series.feature, series.lathe);
        let scene =
            good_runs::scene(&GoodRuns { name: &name, parts: &series.judged, review: faults });
        let bytes = view::svg::write(&scene).into_bytes();
        self.picture
            .iter()
            .map(|path| NewFile { path: path.clone(), bytes: bytes.clone() })
            .collect()
    }
}
