//! The gallery: every invented part is planned and its programs are proven; `docs/gallery.md`, its drawings,
//! bar rulers and programs are made from the same answers.

use crate::expect::{differs, files_under, root};
use barwright::files::Disk;
use barwright::term::{self, Color};
use model::Level;
use model::files::Job;
use model::files::job::{CountBy, FeatureKind, NoseIn};
use model::files::keys::Choice as _;
use model::finding::Verdict;
use model::quantity::Seconds;
use plan::Answer;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use view::pictures::bar_ruler;
use view::sheet::Block;

const HEAD: &str = "\
<!-- made from demo/gallery by tests/it/gallery.rs -->
# The gallery

Invented parts of invented shops, of as many kinds as there are features. Every one is planned, its programs are
written and proven, and each piece that falls is compared with its drawing; a test does so and holds this page to
it. No part stops; where a caution stands, it is named, and `barwright explain NAME` tells what it means.

Drawings, bar rulers, programs and set-up sheets are in `docs/gallery/`. The sheet, the
tables and all else of a part is made by

```sh
barwright plan demo/gallery/mm/knob.job.toml
```

and a cross-section of what a block of its program does by

```sh
barwright prove docs/gallery/O3100.nc --job demo/gallery/mm/knob.job.toml --picture 47
```

`UPDATE_EXPECT=1 cargo test --test it gallery` writes this page anew.
";

/// One part of the gallery with its answer.
struct Shown {
    /// Its name in files.
    name: String,
    /// Its file from the root of the repository.
    path: PathBuf,
    /// What the first line of the file says of it.
    about: String,
    job: Job,
    answer: Answer,
}

fn shown(path: &Path) -> Shown {
    let source = Disk::text(path).unwrap();
    let text = fs::read_to_string(path).unwrap();
    let read = Job::read(&source, &Disk::beside(path));
    let said = term::diagnostics(&read.diagnostics, Color::Plain);
    assert!(said.is_empty(), "{}\n{said}", path.display());
    let job = read.value.unwrap();
    let about = text.lines().next().unwrap_or_default();
    let (_, about) = about.split_once(": ").expect("the first line tells what the part shows");
    let name = path.file_name().unwrap().to_string_lossy().replace(".job.toml", "");
    Shown {
        name,
        path: path.strip_prefix(root("")).unwrap().to_path_buf(),
        about: about.replace(" Invented.", ""),
        answer: plan::plan(&job),
        job,
    }
}

/// All parts, those in millimeters first, planned by as many hands as the machine has.
fn gallery() -> Vec<Shown> {
    let mut paths = files_under(&root("demo/gallery/mm"), ".job.toml");
    paths.extend(files_under(&root("demo/gallery/inch"), ".job.toml"));
    let hands = std::thread::available_parallelism().map_or(2, usize::from);
    let share = paths.len().div_ceil(hands);
    std::thread::scope(|scope| {
        let work = |paths: Vec<PathBuf>| {
            scope.spawn(move || paths.iter().map(|it| shown(it)).collect::<Vec<_>>())
        };
        let at_work: Vec<_> = paths.chunks(share).map(|paths| work(paths.to_vec())).collect();
        at_work.into_iter().flat_map(|one| one.join().expect("no part panics")).collect()
    })
}

#[test]
fn every_part_of_the_gallery_is_made_as_planned() {
    let parts = gallery();
    assert!(parts.len() >= 24, "{} parts", parts.len());
    for part in &parts {
        let (name, answer) = (&part.name, &part.answer);
        let stops: Vec<_> = answer.findings.iter().filter(|it| it.level == Level::Stop).collect();
        assert!(stops.is_empty() && answer.verdict != Verdict::Stop, "{name}: {stops:#?}");
        assert!(answer.process.missing.is_empty(), "{name}: {:?}", answer.process.missing);
        let proof = answer.proof.as_ref().unwrap_or_else(|| panic!("{name} has programs"));
        assert_eq!(proof.parts, answer.bar.parts_per_bar, "{name}");
        assert_eq!(proof.remnant, Some(answer.bar.remnant), "{name}");
        // The plan goes along arcs in other chords than the proof, and it knows only nearly how a control that
        // reckons the nose in goes on and off.
        let by_control = part.job.file.cutting.nose_in == NoseIn::Control;
        let apart = if by_control { 3e-3 } else { 5e-5 };
        let near = |one: Seconds, other: Seconds| (one.s() / other.s() - 1.0).abs() <= apart;
        let times = (answer.times.cycle, answer.times.bar);
        assert!(
            near(proof.cycle, times.0) && near(proof.time, times.1),
            "{name}: {times:?}, {:?}",
            proof.time
        );
    }
    together_they_use_everything(&parts);
    let failures = page(&parts);
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// No kind of feature, no way of counting, no way of writing and no choice of data is left out.
fn together_they_use_everything(parts: &[Shown]) {
    let features = || parts.iter().flat_map(|part| &part.job.file.part.features);
    for (word, kind, _) in FeatureKind::words() {
        assert!(features().any(|it| it.kind == *kind), "no part has a {word}");
    }
    let has = |what: &str, there: bool| assert!(there, "no part has {what}");
    has("a ring groove", features().any(|it| it.ring.is_some()));
    has("an inside groove", features().any(|it| it.kind == FeatureKind::Groove && it.inside));
    has("a reamed hole", features().any(|it| it.reamed));
    has("a back edge", features().any(|it| it.back));
    for by in [CountBy::Variable, CountBy::Counter, CountBy::Repeat] {
        has("each way of counting", parts.iter().any(|part| part.job.file.count.by == by));
    }
    let texts: Vec<String> = parts
        .iter()
        .flat_map(|part| {
            let tools = part.job.tools.stations.iter().map(|it| it.kind.word().to_owned());
            tools.chain([fs::read_to_string(root("").join(&part.path)).unwrap()])
        })
        .collect();
    for text in [
        "choose = \"least-cost\"",
        "choose = \"most-output\"",
        "choose = \"most-alone\"",
        "nose_in = \"control\"",
        "catch_parts = true",
        "warm_up = ",
        "shape = \"hexagon\"",
        "parts = 2",
        "parts = 3",
    ] {
        has(text, texts.iter().any(|it| it.contains(text)));
    }
    for kind in ["reamer", "tap", "knurling", "spot-drill", "boring", "threading"] {
        has(kind, texts.iter().any(|it| it == kind));
    }
}

/// The page with its pictures and programs, held to what stands in `docs`.
fn page(parts: &[Shown]) -> Vec<String> {
    let folder = root("docs/gallery");
    fs::create_dir_all(&folder).unwrap();
    let mut failures = Vec::new();
    let mut page = HEAD.to_owned();
    page.push_str("\n| part | bar | parts a bar | cycle | one may leave for | findings |\n|---|---|--:|--:|---|---|\n");
    for part in parts {
        page.push_str(&row(part));
    }
    for part in parts {
        let sheet = view::sheet::sheet(&part.job, &part.answer);
        let drawing = sheet.blocks().find_map(|block| match block {
            Block::Picture("part", scene) => Some(view::svg::write(scene)),
            _ => None,
        });
        let drawing = drawing.unwrap_or_else(|| panic!("{} has a drawing", part.name));
        failures.extend(differs(&folder.join(format!("{}.svg", part.name)), &drawing));
        let ruler = view::svg::write(&bar_ruler::scene(&part.job, &part.answer));
        failures.extend(differs(&folder.join(format!("{}.bar.svg", part.name)), &ruler));
        page.push_str(&of_part(part));
        for program in &part.answer.programs {
            let file = file_of(part, program.number);
            failures.extend(differs(&folder.join(&file), &program.text));
        }
    }
    failures.extend(differs(&root("docs/gallery.md"), &page));
    failures
}

fn file_of(part: &Shown, number: u32) -> String {
    format!("O{number:0digits$}.nc", digits = part.job.control.writing.program_digits)
}

fn row(part: &Shown) -> String {
    let (answer, bar) = (&part.answer, &part.job.file.bar);
    let units = part.job.file.units;
    let leave = answer.walk_away.first().map_or("not known".to_owned(), |first| {
        format!("{:.0} min, {} parts: {}", first.at.s() / 60.0, first.parts, first.name)
    });
    let mut found: Vec<&str> =
        answer.findings.iter().filter(|it| it.level == Level::Caution).map(|it| it.id).collect();
    found.sort_unstable();
    found.dedup();
    let found = if found.is_empty() { "clear".to_owned() } else { found.join(", ") };
    let material = part.job.material.name.as_str();
    format!(
        "| [{}](#{}) | {} {}, {material} | {} | {:.1} s | {leave} | {found} |\n",
        part.job.file.name,
        part.name,
        bar.shape.word(),
        bar.size.shown(units),
        answer.bar.parts_per_bar,
        answer.times.cycle.s()
    )
}

fn of_part(part: &Shown) -> String {
    let (name, path) = (&part.name, part.path.display());
    let mut text = format!("\n## {name}\n\n");
    let about = &part.about;
    let (first, rest) = about.split_at(1);
    let _ = writeln!(text, "{}{rest}\n", first.to_uppercase());
    let _ = writeln!(text, "![Drawing of the part](gallery/{name}.svg)\n");
    let _ = writeln!(text, "![How the bar is divided](gallery/{name}.bar.svg)\n");
    let programs: Vec<String> = part
        .answer
        .programs
        .iter()
        .map(|it| {
            let file = file_of(part, it.number);
            format!("[{file}](gallery/{file})")
        })
        .collect();
    let per = part.answer.bar.division.parts_per_advance;
    let advance = if per == 1 { "1 part".to_owned() } else { format!("{per} parts") };
    let _ = writeln!(
        text,
        "Job [{path}](../{path}); {advance} to an advance, {} to an order; programs {}.",
        part.job.file.order.quantity,
        programs.join(", ")
    );
    let sheet = format!("{name}.sheet.pdf");
    assert!(root("docs/gallery").join(&sheet).exists(), "make {sheet} with `barwright plan`");
    let _ = writeln!(text, "\nIts [set-up sheet](gallery/{sheet}).");
    text
}
