//! The examples on the pages of the checks are their tests: each is run in the small invented
//! shop beside this file, and what its comments name must be found at their lines and nowhere
//! else.

use crate::folder::Folder;
use model::files::Tools;
use model::files::gripper::Outline;
use model::files::job::Job;
use model::files::lathe::{ChuckStep, TravelEnds, TurretBody};
use model::files::tools::{Seat, Station, ToolKind, Turns};
use model::quantity::FeedPerRev;
use model::{Files, Length, Source, Units};
use nc::program::Library;
use prove::checks::{self, Check};
use prove::{Proof, Setup, prove};

fn shop() -> (Folder, Job) {
    let shop = Folder::of_tests("shop");
    let read = Job::read(&shop.read("pin.job.toml").unwrap(), &shop);
    let messages: Vec<_> = read.diagnostics.iter().map(|d| (&d.message, d.source.name())).collect();
    assert!(messages.is_empty(), "{messages:?}");
    (shop, read.value.unwrap())
}

/// One fenced example of a page.
struct Example {
    kind: String,
    change: Vec<String>,
    program: String,
}

fn examples(page: &str) -> Vec<Example> {
    let mut examples = Vec::new();
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        let Some(head) = line.strip_prefix("```nc ") else { continue };
        let mut words = head.split_whitespace().map(str::to_owned);
        let kind = words.next().expect("an example says what it shows");
        let program: String =
            lines.by_ref().take_while(|line| *line != "```").map(|l| format!("{l}\n")).collect();
        examples.push(Example { kind, change: words.collect(), program });
    }
    examples
}

fn at<'s>(setup: &'s mut Setup, number: &str) -> Option<&'s mut Station> {
    let stations = &mut setup.tools.as_mut()?.stations;
    stations.iter_mut().find(|it| it.number.to_string() == number)
}

/// One more tool: a drill of a diameter, or a boring bar of a shank.
fn add(setup: &mut Setup, kind: ToolKind, text: &str) {
    let (number, size) = text.split_once(',').unwrap();
    let key = if kind == ToolKind::Drill { "diameter" } else { "shank" };
    let word = if kind == ToolKind::Drill { "drill" } else { "boring" };
    let text = format!(
        "units = \"mm\"\n[[station]]\nnumber = {number}\nkind = \"{word}\"\nname = \"{word}\"\n{key} = {size}\n"
    );
    let tools = Tools::read(&Source::new("more.toml", text)).value.unwrap();
    setup.tools.as_mut().unwrap().stations.extend(tools.stations);
}

fn gripper_outline() -> Outline {
    let mm = Length::from_mm;
    Outline { finger_diameter: mm(30), throat: None, body_diameter: mm(40), length: mm(40) }
}

/// Chuck, turret and travel of the shop as shapes.
fn with_room(setup: &mut Setup) {
    let mm = Length::from_mm;
    let lathe = setup.lathe.as_mut().unwrap();
    lathe.chuck.steps = vec![
        ChuckStep { behind: mm(0), diameter: mm(70) },
        ChuckStep { behind: mm(40), diameter: mm(170) },
    ];
    lathe.turret.body = Some(TurretBody { diameter: mm(160), length: mm(80) });
    lathe.travel.ends = Some(TravelEnds { x: (mm(30), mm(330)), z: (mm(10), mm(300)) });
    setup.gripper.as_mut().unwrap().outline = Some(gripper_outline());
    for station in &mut setup.tools.as_mut().unwrap().stations {
        station.seat = Seat { beyond_rim: Some(mm(20)), beyond_face: Some(mm(10)) };
        station.shank = Some(mm(16));
    }
}

fn setup(shop: &Folder, job: &Job, change: &[String]) -> Setup {
    let mut setup = Setup::of(job);
    let mm = |text: &str| Length::parse(text, Units::Mm).unwrap();
    for change in change {
        match change.split_once(':').unwrap_or((change, "")) {
            ("lathe", _) => setup.lathe = None,
            ("shank", shank) => {
                let (number, width) = shank.split_once(',').unwrap();
                let stations = &mut setup.tools.as_mut().unwrap().stations;
                let station = stations.iter_mut().find(|it| it.number.to_string() == number);
                let station = station.unwrap();
                (station.shank, station.overhang) = (Some(mm(width)), Some(mm("60")));
            }
            ("nose", nose) => {
                let (number, radius) = nose.split_once(',').unwrap();
                let stations = &mut setup.tools.as_mut().unwrap().stations;
                let station = stations.iter_mut().find(|it| it.number.to_string() == number);
                station.unwrap().nose_radius = mm(radius);
            }
            ("wheel", wheel) => {
                let (number, width) = wheel.split_once(',').unwrap();
                let text = format!(
                    "units = \"mm\"\n[[station]]\nnumber = {number}\nkind = \"knurling\"\n\
                     name = \"wheel\"\nwidth = {width}\nknurl = \"RAA 0.8\"\n"
                );
                let tools = Tools::read(&Source::new("more.toml", text)).value.unwrap();
                setup.tools.as_mut().unwrap().stations.extend(tools.stations);
            }
            ("home", place) => {
                let (x, z) = place.split_once(',').unwrap();
                let home = model::files::lathe::Home { number: 1, x: mm(x), z: mm(z) };
                setup.lathe.as_mut().unwrap().homes.push(home);
            }
            ("turns", turns) => {
                let (number, way) = turns.split_once(',').unwrap();
                let way = if way == "forward" { Turns::Forward } else { Turns::Reverse };
                if let Some(station) = at(&mut setup, number) {
                    station.takes.turns = Some(way);
                }
            }
            ("most-depth", depth) => {
                let (number, depth) = depth.split_once(',').unwrap();
                at(&mut setup, number).unwrap().takes.most_depth = Some(mm(depth));
            }
            ("most-feed", feed) => {
                let (number, feed) = feed.split_once(',').unwrap();
                let feed = FeedPerRev::from_mm(mm(feed).mm());
                at(&mut setup, number).unwrap().takes.most_feed = Some(feed);
            }
            ("no-wait", _) => setup.lathe.as_mut().unwrap().spindle.waits_for_speed = false,
            ("drill", drill) => add(&mut setup, ToolKind::Drill, drill),
            ("boring", bar) => add(&mut setup, ToolKind::Boring, bar),
            ("throat", throat) => {
                let outline = Outline { throat: Some(mm(throat)), ..gripper_outline() };
                setup.gripper.as_mut().unwrap().outline = Some(outline);
            }
            ("room", _) => with_room(&mut setup),
            ("beyond", place) => {
                let mut place = place.split(',');
                let number = place.next().unwrap();
                let station = at(&mut setup, number).unwrap();
                let (beyond_rim, beyond_face) = (place.next().map(mm), place.next().map(mm));
                station.seat = Seat { beyond_rim, beyond_face };
            }
            ("gripper", _) => setup.gripper = None,
            ("tools", _) => setup.tools = None,
            ("bar", "") => setup.bar = None,
            ("job", _) => (setup.part, setup.drawing) = (None, None),
            ("part", name) => {
                let other = Job::read(&shop.read(&format!("{name}.job.toml")).unwrap(), shop);
                let messages: Vec<_> = other.diagnostics.iter().map(|one| &one.message).collect();
                assert!(messages.is_empty(), "{name}: {messages:?}");
                let other = Setup::of(&other.value.unwrap());
                (setup.part, setup.drawing) = (other.part, other.drawing);
            }
            ("control", _) => setup.control_named = false,
            ("axial", _) => {
                let source = shop.read("axial.toml").unwrap();
                setup.gripper = model::files::Gripper::read(&source).value;
            }
            ("jaws", length) => setup.lathe.as_mut().unwrap().chuck.jaw_length = mm(length),
            ("bar", length) => setup.bar.as_mut().unwrap().length = mm(length),
            ("size", size) => setup.bar.as_mut().unwrap().size = mm(size),
            ("quantity", quantity) => {
                setup.part.as_mut().unwrap().quantity = quantity.parse().unwrap();
            }
            (other, _) => panic!("no example changes {other}"),
        }
    }
    setup
}

fn run(example: &Example) -> Proof {
    let (shop, job) = shop();
    let source = Source::new("example.nc", example.program.clone());
    let library = Library::new(vec![nc::read::read(&source)]);
    prove(&library, &setup(&shop, &job, &example.change))
}

/// `(level: id)` at the end of a line; `(level: id at key)` for an input's key.
fn wanted(program: &str, id: &str) -> Vec<(Option<u32>, String)> {
    let mut wanted = Vec::new();
    for (index, line) in program.lines().enumerate() {
        for comment in line.split('(').skip(1) {
            let comment = comment.split(')').next().unwrap_or_default();
            let Some((level, rest)) = comment.split_once(": ") else { continue };
            let (named, place) = rest.split_once(" at ").unwrap_or((rest, ""));
            if named == id {
                let line = if place.is_empty() { Some(index as u32 + 1) } else { None };
                wanted.push((line, level.to_owned()));
            }
        }
    }
    wanted
}

fn found(proof: &Proof, id: &str) -> Vec<(Option<u32>, String)> {
    let mut found: Vec<_> = proof
        .findings
        .iter()
        .filter(|finding| finding.id == id)
        .map(|finding| {
            let here = finding.place.source.name() == "example.nc";
            (here.then(|| finding.place.start().line), finding.level.word().to_owned())
        })
        .collect();
    found.sort();
    found
}

fn holds(check: &Check, index: usize, example: &Example) -> Result<(), String> {
    let proof = run(example);
    let mut wanted = wanted(&example.program, check.id);
    wanted.sort();
    let found = found(&proof, check.id);
    let all: Vec<_> = proof
        .findings
        .iter()
        .map(|f| format!("{}: {} {}", f.place.start().line, f.id, f.message))
        .collect();
    let fail = |why: &str| {
        Err(format!(
            "{} example {}: {why}\n  wanted {wanted:?}\n  found {found:?}\n  all {all:#?}\n  ended by {:?} after {} parts, unproven {:#?}",
            check.id,
            index + 1,
            proof.ended_by,
            proof.parts,
            proof.unproven
        ))
    };
    match example.kind.as_str() {
        "fires" if wanted.is_empty() => fail("names nothing that must be found"),
        "quiet" | "unproven" if !wanted.is_empty() => fail("names something, yet is to be quiet"),
        _ if wanted != found => fail("differs"),
        "unproven" => {
            let whole = {
                let mut whole = Example {
                    kind: String::new(),
                    change: Vec::new(),
                    program: example.program.clone(),
                };
                whole.kind.push_str("quiet");
                run(&whole)
            };
            let more = proof.unproven.iter().filter(|one| !whole.unproven.contains(one)).count();
            if more == 0 {
                fail("files nothing as unproven that the whole shop would prove")
            } else {
                Ok(())
            }
        }
        _ => Ok(()),
    }
}

#[test]
fn every_example_shows_what_it_says() {
    let mut failures = Vec::new();
    for check in checks::own() {
        for (index, example) in examples(check.page).iter().enumerate() {
            if let Err(why) = holds(check, index, example) {
                failures.push(why);
            }
        }
    }
    assert!(failures.is_empty(), "{} examples fail:\n{}", failures.len(), failures.join("\n\n"));
}

#[test]
fn every_page_has_its_headings_and_both_kinds_of_example() {
    for check in checks::own() {
        for heading in ["What it sees", "Why it hurts", "Limit", "Remedy", "Source", "Examples"] {
            assert!(
                check.page.contains(&format!("\n## {heading}\n")),
                "{} lacks {heading}",
                check.id
            );
        }
        let kinds: Vec<_> = examples(check.page).into_iter().map(|example| example.kind).collect();
        assert!(kinds.iter().any(|kind| kind == "fires"), "{} never fires", check.id);
        assert!(kinds.iter().any(|kind| kind == "quiet"), "{} is never quiet", check.id);
    }
}
