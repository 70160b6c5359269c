//! From the texts of a job to the pieces of its pages.

use super::shelf::Around;
use cost::{Asked, Quote};
use model::files::job::JobFile;
use model::files::{Job, Shop};
use model::{Diagnostic, Source};
use plan::Answer;
use plan::alternatives::{self, Alternative};
use plan::program::ProgramText;
use std::sync::Arc;
use view::pages::job::{self, Piece};
use view::pages::loading;
use view::pages::marks::State;
use view::pages::part;
use view::pages::price::{Price, Reckoned};
use view::pages::questions::Shown;
use view::pages::ruler::Bars;

/// What a page shows of a job.
#[derive(Debug, Clone)]
pub(super) struct Laid {
    /// What the part is called; the job's name where its file cannot be read.
    pub(super) title: String,
    /// The verdict, where there is an answer.
    pub(super) state: Option<State>,
    /// All but the ruler, which goes by the log too.
    pub(super) pieces: Vec<Piece>,
    pub(super) advances: Vec<Alternative>,
    /// What further pages are reckoned from; none where the files cannot be used.
    pub(super) known: Option<Arc<Known>>,
}

/// A shop file as it was read, where there is one.
pub(super) type ShopRead = Option<Result<Shop, Vec<Diagnostic>>>;

/// A job with its answer and its shop.
#[derive(Debug)]
pub(super) struct Known {
    pub(super) job: Job,
    pub(super) answer: Answer,
    pub(super) shop: ShopRead,
}

impl Laid {
    /// The ruler with what the log says of the bars of the job now.
    pub(super) fn ruler(&self, name: &str, bars: &Bars) -> Piece {
        let known = self.known.as_ref();
        known.map_or_else(job::no_ruler, |it| job::ruler(name, &it.job, &it.answer, bars))
    }

    /// The pieces that a page has beside those of every page of a job. `here` is the first part of its address.
    pub(super) fn beside(&self, name: &str, here: &str) -> Vec<Piece> {
        match (here, &self.known) {
            ("loading", Some(known)) => loading::pieces(name, &known.ways()),
            ("loading", None) => loading::without_answer(),
            ("part", Some(known)) => part::pieces(&known.job.file),
            _ => Vec::new(),
        }
    }
}

impl Known {
    /// The ways of loading of the shop, compared for this job.
    pub(super) fn ways(&self) -> loading::Ways {
        let Known { job, answer, shop } = self;
        Reckoned::by(shop.as_ref(), |shop| cost::loading(job, answer, shop, None))
    }

    /// The prices with how far they hold.
    pub(super) fn quote(&self) -> Reckoned<Quote> {
        let Known { job, answer, shop } = self;
        Reckoned::by(shop.as_ref(), |shop| cost::quote(job, answer, shop, &Asked::default()))
    }
}

/// Reads a job from its texts.
pub(super) fn read(
    job_text: &str,
    file: &str,
    around: &Around<'_>,
) -> Result<Job, Vec<Diagnostic>> {
    let read = Job::read(&Source::new(file, job_text.as_bytes()), around);
    read.value.map(alternatives::settled).ok_or(read.diagnostics)
}

/// Reads a shop file from its text.
pub(super) fn read_shop(text: &str, file: &str) -> Result<Shop, Vec<Diagnostic>> {
    let read = Shop::read(&Source::new(file, text.as_bytes()));
    read.value.ok_or(read.diagnostics)
}

/// The pieces of a job with its answer. Parts to an advance are compared anew only where no earlier
/// comparison is given: that takes as long as the plan itself.
pub(super) fn answered(
    name: &str,
    job: Job,
    shop: ShopRead,
    earlier: Option<&[Alternative]>,
) -> Laid {
    let mut answer = plan::plan(&job);
    let advances =
        earlier.map_or_else(|| alternatives::compare(&job, &answer), <[Alternative]>::to_vec);
    let asked = Asked::default();
    let price = Price::by(shop.as_ref(), |shop| cost::prices(&job, &answer, shop, &asked));
    if matches!(price, Price::Known(_)) {
        answer.unproven.retain(|it| it.what != "cost");
    }
    let shown = Shown { name, job: &job, answer: &answer, advances: &advances, price: &price };
    Laid {
        title: title(&job.file),
        state: Some(State::from(answer.verdict)),
        pieces: job::pieces(&shown),
        advances,
        known: Some(Arc::new(Known { job, answer, shop })),
    }
}

/// The pieces where the files cannot be used.
pub(super) fn refused(name: &str, diagnostics: &[Diagnostic]) -> Laid {
    Laid {
        title: name.to_owned(),
        state: None,
        pieces: job::without_answer(diagnostics),
        advances: Vec::new(),
        known: None,
    }
}

fn title(file: &JobFile) -> String {
    file.name.clone()
}

/// The programs of a plan as texts with names.
pub(super) fn sources(job: &Job, programs: &[ProgramText]) -> Vec<Source> {
    programs
        .iter()
        .map(|program| Source::new(program.file_name(job), program.text.as_bytes()))
        .collect()
}
