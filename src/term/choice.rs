//! Speeds, feeds and depths in words, how they were chosen, and whether the lathe goes on until someone is
//! back.

use super::counted;
use super::proof::clock;
use model::files::job::{Choose, Job};
use model::quantity::{FeedPerRev, SurfaceSpeed};
use model::{Length, Units};
use plan::choice::{Choice, Chosen, Held, Told};
use plan::cuts::Speed;
use plan::walk_away::{Back, Reach};
use std::fmt::Write as _;

/// What was wanted and what it brings, and what is lacking for more; nothing where all is as given.
pub(super) fn choice(choice: &Choice) -> Vec<String> {
    if choice.choose == Choose::AsGiven {
        return Vec::new();
    }
    let goal = match choice.choose {
        Choose::AsGiven => "as given",
        Choose::LeastCost => "least cost",
        Choose::MostOutput => "most output",
        Choose::MostAlone => "most parts alone",
    };
    let gain = match (choice.gain, choice.choose) {
        (None, _) => "all stays as given".to_owned(),
        (Some(gain), Choose::MostAlone) => {
            format!("{:.0} parts before someone must come; {:.0} as given", gain.chosen, gain.given)
        }
        (Some(gain), Choose::LeastCost) => format!(
            "{:.3} a part for lathe, person and edges; {:.3} as given",
            gain.chosen, gain.given
        ),
        (Some(gain), _) => format!(
            "{:.1} s a part, edge changes with it; {:.1} s as given",
            gain.chosen, gain.given
        ),
    };
    let lacks = choice.lacks.iter().map(|lack| format!("lacking: {lack}"));
    std::iter::once(format!("{goal}: {gain}")).chain(lacks).collect()
}

/// One work with its data, and in a line of its own how they were chosen.
pub(super) fn told(told: &Told, units: Units) -> Vec<String> {
    let mut words =
        format!("{} (station {}): {}", told.name, told.station, speed(told.speed, units));
    if let Some(given) = told.feed {
        let _ = write!(words, ", {}", feed(given, units));
    }
    if let Some(depth) = told.depth {
        let _ = write!(words, ", layers up to {}", depth.shown(units));
    }
    if let Some(nearest) = told.nearest.filter(|nearest| nearest.used.is_finite()) {
        let percent = 100.0 * nearest.used;
        let _ = write!(words, "; nearest {}, {percent:.0} %", nearest.limit.words());
    }
    let chosen = told.chosen.as_ref().map(|chosen| match chosen {
        Ok(chosen) => of_chosen(chosen, units),
        Err(lack) => format!("  as given, since {lack}"),
    });
    std::iter::once(words).chain(chosen).collect()
}

fn of_chosen(chosen: &Chosen, units: Units) -> String {
    let given = &chosen.given;
    let mut words = format!("  given {}, {}", speed(given.speed, units), feed(given.feed, units));
    if chosen.depth.is_some() {
        let _ = write!(words, ", layers up to {}", given.depth.shown(units));
    }
    let _ = write!(words, "; held by: speed {}, feed {}", held(chosen.speed), held(chosen.feed));
    if let Some(depth) = chosen.depth {
        let _ = write!(words, ", depth {}", held(depth));
    }
    if !chosen.keeps_all {
        words.push_str("; nothing on the grid keeps every limit, so none is broken further");
    }
    words
}

fn held(held: Held) -> &'static str {
    match held {
        Held::Goal => "the edge's wear",
        Held::Whole => "nothing more to take off",
        Held::NotKnown => "what is not known",
        Held::Limit(limit) | Held::End(limit) => limit.words(),
    }
}

/// Surface speed in m/min or ft/min, as shops say it.
fn speed(speed: Speed, units: Units) -> String {
    match (speed, units) {
        (Speed::Surface(speed), Units::Mm) => format!("{:.0} m/min", speed.m_per_min()),
        (Speed::Surface(speed), Units::Inch) => format!("{:.0} ft/min", feet(speed)),
        (Speed::Spindle(speed), _) => format!("{:.0} rev/min", speed.rpm()),
    }
}

fn feet(speed: SurfaceSpeed) -> f64 {
    speed.m_per_min() / 0.3048
}

fn feed(feed: FeedPerRev, units: Units) -> String {
    format!("{} a turn", Length::nearest_mm(feed.mm()).shown(units))
}

/// Whether the lathe makes parts until someone is back.
pub(super) fn back(job: &Job, back: &Back) -> String {
    let at = clock(back.at.s());
    if back.reached {
        return format!("after {at}: {} are made by then", counted(back.made, "part"));
    }
    let mut words = format!(
        "after {at}: {} of the {} parts are made that there is time for",
        back.made, back.wanted
    );
    let needs: Vec<String> = back.reach.iter().map(|reach| needs(job, reach)).collect();
    if !needs.is_empty() {
        let _ = write!(words, "; for all of them it takes {}", needs.join(", and "));
    }
    words
}

fn needs(job: &Job, reach: &Reach) -> String {
    let units = job.file.units;
    match reach {
        Reach::Blank(length) => format!("a blank of {}", length.shown(units)),
        Reach::NoBlank { parts, at } => format!(
            "more bar than the spindle holds (the longest blank gives {}, made after {})",
            counted(*parts, "part"),
            clock(at.s())
        ),
        Reach::Edges { station, count } => {
            format!("{count} edges like that of station {station}, each on a station of its own")
        }
        Reach::Catcher(parts) => format!("a catcher for {}", counted(*parts, "part")),
        Reach::Chips(liters) => format!("room for {liters:.0} liters of chips"),
        Reach::Gauge => {
            "more parts between two that are gauged (gauge_every under [walk_away])".to_owned()
        }
        Reach::NeverLonger => "a longer never_longer under [walk_away]".to_owned(),
    }
}
