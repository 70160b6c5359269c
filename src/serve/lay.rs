//! From the texts of a job to the pieces of its pages.

use super::shelf::Around;
use model::files::Job;
use model::files::job::JobFile;
use model::{Diagnostic, Source};
use plan::alternatives::{self, Alternative};
use plan::program::ProgramText;
use view::pages::job::{self, Piece};
use view::pages::marks::State;
use view::pages::questions::Shown;

/// What a page shows of a job.
#[derive(Debug, Clone)]
pub(super) struct Laid {
    /// What the part is called; the job's name where its file cannot be read.
    pub(super) title: String,
    /// The verdict, where there is an answer.
    pub(super) state: Option<State>,
    pub(super) pieces: Vec<Piece>,
    pub(super) advances: Vec<Alternative>,
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

/// The pieces of a job with its answer. Parts to an advance are compared anew only where no earlier
/// comparison is given: that takes as long as the plan itself.
pub(super) fn answered(name: &str, job: &Job, earlier: Option<&[Alternative]>) -> Laid {
    let answer = plan::plan(job);
    let advances =
        earlier.map_or_else(|| alternatives::compare(job, &answer), <[Alternative]>::to_vec);
    let shown = Shown { name, job, answer: &answer, advances: &advances };
    Laid {
        title: title(&job.file),
        state: Some(State::from(answer.verdict)),
        pieces: job::pieces(&shown),
        advances,
    }
}

/// The pieces where the files cannot be used.
pub(super) fn refused(name: &str, diagnostics: &[Diagnostic]) -> Laid {
    Laid {
        title: name.to_owned(),
        state: None,
        pieces: job::without_answer(diagnostics),
        advances: Vec::new(),
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
