//! The demo jobs, planned and proven.

use model::files::job::{CountBy, Job};
use model::finding::Verdict;
use model::{Files, Source};
use std::path::{Path, PathBuf};

struct Disk(PathBuf);

impl Files for Disk {
    fn read(&self, path: &str) -> Result<Source, String> {
        let bytes = std::fs::read(self.0.join(path)).map_err(|error| error.to_string())?;
        Ok(Source::new(path, bytes))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data");
        let bytes = std::fs::read(data.join(path)).map_err(|error| error.to_string())?;
        Ok(Source::new(path, bytes))
    }
}

fn demo(name: &str) -> Job {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(name);
    let disk = Disk(folder);
    let read = Job::read(&disk.read(&format!("{name}.job.toml")).unwrap(), &disk);
    let messages: Vec<_> =
        read.diagnostics.iter().map(|one| (&one.message, &one.help, one.source.name())).collect();
    assert!(messages.is_empty(), "{messages:#?}");
    read.value.unwrap()
}

#[test]
fn both_demos_are_clear_in_every_counting_family() {
    for name in ["detent-pin", "lamp-spacer"] {
        for by in [CountBy::Variable, CountBy::Counter, CountBy::Repeat] {
            let mut job = demo(name);
            if by == CountBy::Counter
                && job.control.that(model::files::control::Does::PartCount).is_none()
            {
                continue;
            }
            job.file.count.by = by;
            let answer = plan::plan(&job);
            if std::env::var("SHOW").is_ok() {
                for program in &answer.programs {
                    eprintln!("{}", program.text);
                }
            }
            let findings: Vec<_> = answer
                .findings
                .iter()
                .map(|one| {
                    format!(
                        "{} {} line {}: {}",
                        one.level.word(),
                        one.id,
                        one.place.start().line,
                        one.message
                    )
                })
                .collect();
            let proof = answer.proof.as_ref().unwrap();
            eprintln!(
                "{name} {by:?}: plan {} parts, {:.3} s bar {:.3} s cycle; proof {} parts {:?} {:.3} s {:.3} cycle {:?} {:?} {findings:#?}",
                answer.bar.parts_per_bar,
                answer.times.bar.s(),
                answer.times.cycle.s(),
                proof.parts,
                proof.ended_by,
                proof.time.s(),
                proof.cycle.s(),
                proof.remnant,
                proof.count
            );
            let wanted = if by == CountBy::Repeat { Verdict::Caution } else { Verdict::Clear };
            assert_eq!(answer.verdict, wanted, "{name} {by:?} {findings:#?}");
            assert_eq!(proof.parts, answer.bar.parts_per_bar.min(job.file.order.quantity));
            assert_eq!(proof.remnant, Some(answer.bar.remnant));
            assert!(
                (proof.time.s() - answer.times.bar.s()).abs() < 0.01,
                "{} {}",
                proof.time.s(),
                answer.times.bar.s()
            );
            assert!((proof.cycle.s() - answer.times.cycle.s()).abs() < 0.01);
        }
    }
}
