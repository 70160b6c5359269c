//! From a job's files to its bar in the spindle.

use calc::whirl::{Between, Bow, Holds, JawHold, Life, Way};
use model::files::job::Job;
use model::quantity::{Density, Force, Modulus, SpindleSpeed};
use model::{Files, Length, Source};
use std::path::{Path, PathBuf};

/// A demo folder with more keys at the end of two files, and without the rings of its lathe and the
/// condition of its bar.
struct Folder {
    demo: PathBuf,
    lathe: &'static str,
    job: &'static str,
}

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Source, String> {
        let text = std::fs::read_to_string(self.demo.join(path)).map_err(|e| e.to_string())?;
        let rings = |text: &str| {
            let (before, rest) = text.split_once("[[bar_way")?;
            let (_, behind) = rest.split_once("[chuck]")?;
            Some(format!("{before}[chuck]{behind}"))
        };
        let text = rings(&text).unwrap_or(text);
        let condition = |text: &str| {
            let (before, rest) = text.split_once("[bar.condition]")?;
            let (_, behind) = rest.split_once("[part]")?;
            Some(format!("{before}[part]{behind}"))
        };
        let text = condition(&text).unwrap_or(text);
        let more = match path {
            "lathe.toml" => self.lathe,
            path if path.ends_with(".job.toml") => self.job,
            _ => "",
        };
        Ok(Source::new(path, format!("{text}\n{more}\n")))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data");
        let bytes = std::fs::read(data.join(path)).map_err(|error| error.to_string())?;
        Ok(Source::new(path, bytes))
    }
}

fn read(lathe: &'static str, job: &'static str) -> Job {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/detent-pin");
    let folder = Folder { demo, lathe, job };
    let read = Job::read(&folder.read("detent-pin.job.toml").unwrap(), &folder);
    read.value.unwrap_or_else(|| panic!("{:?}", read.diagnostics))
}

fn life(job: &Job) -> Life {
    let modulus = Modulus::from_gpa(200.0);
    let density = Density::from_kg_per_m3(7850.0);
    let bar = plan::bar::divide(job);
    plan::spindle::life(job, &bar, Between::exactly(modulus), Between::exactly(density))
}

#[test]
fn without_a_word_only_the_jaws_hold_a_bar_as_drawn() {
    let job = read("", "");
    let life = life(&job);
    let bare = Way::of_jaws(job.lathe.chuck.jaw_length, job.lathe.spindle.jaw_face_to_rear);
    assert_eq!(life.way, Way { bore: Some(job.lathe.spindle.bore), ..bare });
    assert_eq!(life.stock.bow, Bow::AS_DRAWN);
    assert_eq!((life.separation, life.most_side_force), (0.7, None));
    let bar = plan::bar::divide(&job);
    let curve = life.curve(bar.parts_per_bar).unwrap();
    assert_eq!(curve.limits.len(), bar.parts_per_bar as usize);
    assert!(plan::spindle::too_narrow(&job).is_empty());
}

#[test]
fn every_key_of_the_way_reaches_the_reckoning() {
    let job = read(
        "[bar_way]\njaw_stiffness = 60000\njaw_tilt_stiffness = 50000\nseparation = 0.6\n\
         most_side_force = 400\nmost_play = 0.8\n\
         [[bar_way.guide]]\nkind = \"ring\"\nat = 300\nplay = 0.25\n\
         [[bar_way.guide]]\nkind = \"ring\"\nat = 350\nbore = 1\n\
         [[bar_way.guide]]\nkind = \"liner\"\nat = 400\nto = 700\nbed_stiffness = 5\nbore = 40\n\
         [[bar_way.guide]]\nkind = \"liner\"\nat = 720\nto = 800\n\
         [[bar_way.guide]]\nkind = \"bushing\"\nat = 980\nstiffness = 9000\n",
        "[bar.condition]\nbow = 0.4\nover = 500\nends = \"sawn\"\nchamfered = true\n",
    );
    let life = life(&job);
    let mm = Length::from_mm;
    assert!(matches!(life.way.jaws, JawHold::Springs { lateral, tilt }
        if lateral.n_per_mm() == 60_000.0 && tilt.nm_per_rad() == 50_000.0));
    assert_eq!((life.separation, life.most_side_force), (0.6, Some(Force::from_n(400.0))));
    assert_eq!(life.way.most_play, Length::from_um(800));
    assert_eq!(life.stock.bow, Bow { rise: Length::from_um(400), over: mm(500) });
    // The bar does not pass through the ring of 1 mm.
    assert_eq!(plan::spindle::too_narrow(&job), [1]);
    let told: Vec<_> = life.way.supports.iter().map(|s| (s.at, s.play)).collect();
    let loose = mm(20) - job.file.bar.reach();
    assert_eq!(
        told,
        [
            (mm(300), Length::from_um(250)),
            (mm(400), loose),
            (mm(720), Length::ZERO),
            (mm(980), Length::ZERO)
        ]
    );
    let holds: Vec<_> = life.way.supports.iter().map(|support| support.holds).collect();
    assert_eq!(holds[0], Holds::Pin);
    assert!(matches!(holds[1], Holds::Bed { to, stiffness }
        if to == mm(700) && stiffness.n_per_mm2() == 5.0));
    assert_eq!(holds[2], Holds::Liner { to: mm(800) });
    assert!(matches!(holds[3], Holds::Spring { lateral, tilt }
        if lateral.n_per_mm() == 9000.0 && tilt.nm_per_rad() == 0.0));
    let limit = life.limit(1).unwrap();
    assert!(limit.allowed.low > SpindleSpeed::from_rpm(0.0));
    assert!(limit.allowed.low < limit.allowed.likely && limit.allowed.likely < limit.allowed.high);
}

/// A bar that one ring guides swings out long before the job's speed; a liner whose stiffness nobody
/// gives proves nothing.
#[test]
fn a_bar_that_swings_out_is_a_stop_and_a_liner_of_unknown_stiffness_proves_nothing() {
    let loose = read("[[bar_way.guide]]\nkind = \"ring\"\nat = 300\nbore = 12.4\n", "");
    let answer = plan::answer::plan(&loose);
    let swings = answer.findings.iter().find(|finding| finding.id == "bar-swings-out");
    assert_eq!(swings.map(|finding| finding.level), Some(model::Level::Stop));
    let liner = read("[[bar_way.guide]]\nkind = \"liner\"\nat = 70\nto = 985\nbore = 13\n", "");
    let answer = plan::answer::plan(&liner);
    assert!(answer.findings.iter().all(|finding| finding.id != "bar-swings-out"));
    let open = |what: &str| answer.unproven.iter().any(|unproven| unproven.what == what);
    assert!(open("whether the bar swings out in the spindle"), "{:?}", answer.unproven);
}
