//! Journeys from a drawing to a job.

use crate::expect::root;
use crate::ran::run_in;
use barwright::files::Disk;
use model::files::Job;
use model::{Length, Units};
use std::fs;
use std::path::Path;

/// A run beside the drawings.
fn run(arguments: &[&str]) -> (i32, String, String) {
    run_in(&root("crates/outline/tests/drawings"), arguments)
}

/// The job of a new folder, which must read without a message.
fn job(folder: &Path, name: &str) -> Job {
    let path = folder.join(name).join(format!("{name}.job.toml"));
    let read = Job::read(&Disk::text(&path).unwrap(), &Disk::beside(&path));
    let said: Vec<_> = read.diagnostics.iter().map(|it| it.message.clone()).collect();
    assert_eq!(said, Vec::<String>::new(), "{}", fs::read_to_string(&path).unwrap());
    read.value.expect("the job is read")
}

#[test]
fn a_drawing_becomes_a_job() {
    let folder = tempfile::tempdir().unwrap();
    let pin = folder.path().join("pin").display().to_string();
    let from = ["new", &pin, "--from", "r2010-blocks.dxf", "--front", "left"];
    let (code, out, err) = run(&from);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.contains("note: passed over on this layer: 1 INSERT (a block, which is not followed)"),
        "{out}"
    );
    let read = job(folder.path(), "pin");
    assert_eq!(read.file.part.length, Length::from_mm(28));
    assert_eq!(read.file.bar.size, Length::from_mm(12));
    // The same features stand in the answer of `outline`.
    let (code, text, _) = run(&["outline", "r2010-blocks.dxf", "--front", "left"]);
    assert_eq!(code, 0);
    let part = text.split_once("[part]\n").unwrap().1;
    let written = fs::read_to_string(folder.path().join("pin/pin.job.toml")).unwrap();
    assert!(written.contains(part.trim_end()), "{written}\n{part}");
}

#[test]
fn a_drawing_in_inches_becomes_a_job_in_inches() {
    let folder = tempfile::tempdir().unwrap();
    let pin = folder.path().join("pin").display().to_string();
    let told = ["--front", "left", "--drawn", "full"];
    let (code, _, err) =
        run(&[&["new", &pin, "--from", "r2000-full-inch.dxf"], &told[..]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    let read = job(folder.path(), "pin");
    assert_eq!(read.file.units, Units::Inch);
    assert_eq!(read.file.part.length, Length::parse("1.75", Units::Inch).unwrap());
    assert_eq!(read.file.bar.size, Length::parse("0.75", Units::Inch).unwrap());
    // What the template says in millimeters is still that.
    assert_eq!(read.file.bar.length, Length::from_mm(600));
    assert_eq!(read.file.advance.face_stock, Length::from_um(500));
}

#[test]
fn what_a_drawing_leaves_open_is_asked_with_its_answers() {
    let (code, out, err) = run(&["outline", "r12-lines.dxf"]);
    assert_eq!((code, out.as_str()), (2, ""));
    let expected = "\
error: r12-lines.dxf: the drawing does not say its units
  --units mm    its figures are millimeters
  --units inch  its figures are inches

error: r12-lines.dxf: the outline may stand on any of several layers
  --layer OUTLINE  13 lines, arcs or paths, and 1 CIRCLE
  --layer CENTER   1 line, arc or path

";
    assert_eq!(err, expected);
    let (_, _, err) = run(&["outline", "r12-lines.dxf", "--units", "mm", "--layer", "OUTLINE"]);
    let expected = "\
error: r12-lines.dxf: the outline can be read in more than one way: say which
  --front left   half of the section: largest diameter 11.000 mm, 28.000 mm long, front
                 end 7.000 mm
  --front right  half of the section: largest diameter 11.000 mm, 28.000 mm long, front
                 end 9.500 mm

";
    assert_eq!(err, expected);
    // Each answer that is offered is enough.
    for front in ["left", "right"] {
        let told =
            ["outline", "r12-lines.dxf", "--units", "mm", "--layer", "OUTLINE", "--front", front];
        let (code, out, err) = run(&told);
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(out.contains("# Note: passed over on this layer: 1 CIRCLE."), "{out}");
    }
}

#[test]
fn an_outline_is_told_as_json() {
    let told = ["outline", "r2010-behind.dxf", "--front", "right", "--json"];
    let (code, out, _) = run(&told);
    assert_eq!(code, 0);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(json["length_mm"], 28.0);
    assert_eq!(json["largest_diameter_mm"], 11.0);
    let first = &json["features"][0];
    assert_eq!((first["kind"].as_str(), first["start_mm"].as_f64()), (Some("taper"), Some(9.5)));
}

#[test]
fn a_drawing_that_is_none_is_refused() {
    let (code, _, err) = run(&["outline", "made_by.py"]);
    assert_eq!(code, 2);
    assert!(err.contains("ends neither in .dxf nor in .svg"), "{err}");
    let (code, _, err) = run(&["outline", "r12-line.dxf"]);
    assert_eq!(code, 2);
    assert!(err.contains("but there is r12-lines.dxf"), "{err}");
    let (code, _, err) = run(&["outline", "r12-lines.dxf", "--layer", "CENTRE"]);
    assert_eq!(code, 2);
    assert!(err.contains("the layers with lines are `OUTLINE` (13), `CENTER` (1)"), "{err}");
    let folder = tempfile::tempdir().unwrap();
    let new = folder.path().join("pin").display().to_string();
    let (code, _, err) = run(&["new", &new, "--front", "left"]);
    assert_eq!(code, 2);
    assert!(err.contains("--from"), "{err}");
}
