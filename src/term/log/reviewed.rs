//! What gauged sizes say, in words.

use crate::commands::{FEWEST, RISK, SOUND, Series};
use crate::term::counted;
use calc::sizes::faults::FaultReview;
use calc::sizes::offset::Advice;
use calc::sizes::review::{FEWEST_GROUPS, Review};
use model::quantity::Probability;
use model::{Length, Units};
use std::fmt::Write as _;

/// What a series says, or why nothing.
pub(crate) fn reviewed(
    series: &Series,
    review: Option<&Review>,
    faults: Option<&FaultReview>,
    units: Units,
) -> String {
    let all = (series.readings.len() + series.judged.len()) as u32;
    let tool = match series.station {
        Some(station) => format!(", edge and offset of station {station}"),
        None => String::new(),
    };
    let mut text = format!(
        "\nfeature {} at {}: {} since part {}{tool}\n",
        series.feature,
        series.lathe,
        counted(all, "reading"),
        series.edge_from
    );
    for (what, words) in reviewed_lines(series, review, faults, units) {
        let _ = writeln!(text, "  {what:<14}{words}");
    }
    text
}

/// The same line by line: what it is about, and the words.
pub(crate) fn reviewed_lines(
    series: &Series,
    review: Option<&Review>,
    faults: Option<&FaultReview>,
    units: Units,
) -> Vec<(&'static str, String)> {
    let have = series.readings.len();
    let mut lines = left_out(series);
    if let Some(faults) = faults {
        let last = series.judged.last().map_or(0, |it| it.part);
        lines.extend(super::faults::lines(faults, last));
    }
    let Some(review) = review else {
        if faults.is_none() || have > 0 {
            lines.push(("nothing told", why_nothing(series)));
        }
        return lines;
    };
    lines.extend(few(series, review).map(|words| ("caution", words)));
    let told =
        |length: Length| format!("{} {}", length.text(units, units.decimals() + 1), units.symbol());
    lines.push(("chance", chance(review, told)));
    if review.chart.group > 1 {
        lines.push(("ranges", ranges(review, told)));
    }
    lines.push(("run rules", rules(review)));
    for odd in &review.outliers {
        let size = odd.reading.size.shown(units);
        let words = format!("part {} at {size}, expected {}", odd.reading.part, told(odd.expected));
        lines.push(("set apart", words));
    }
    if review.outliers.is_empty() {
        lines.push(("set apart", "nothing".to_owned()));
    }
    lines.push(("drift", drift(review, told)));
    lines.push(("offset", offset(review, units, told)));
    lines.push(("fit", fit(review, series)));
    lines.push(("gauge next", next(series, review)));
    lines
}

/// What is too few to be sound.
fn few(series: &Series, review: &Review) -> Option<String> {
    let (have, points) = (review.kept.len(), review.chart.points.len());
    let grouped = review.chart.group;
    if series.group > grouped {
        let group = series.group;
        return Some(format!(
            "{FEWEST_GROUPS} full groups of {group} or more are needed to chart them; each size stands by itself"
        ));
    }
    if grouped > 1 && points < SOUND {
        return Some(format!("{SOUND} groups or more make their limits sound; there are {points}"));
    }
    let have = have + review.outliers.len();
    (have < SOUND).then(|| format!("{SOUND} readings or more make sigma sound; there are {have}"))
}

/// Where chance keeps the sizes, or the means of groups.
fn chance(review: &Review, told: impl Fn(Length) -> String) -> String {
    let chart = &review.chart;
    let what = match chart.group {
        1 => "it".to_owned(),
        group => format!("the means of {} of {group}", counted(chart.points.len() as u32, "group")),
    };
    let within = match chart.group {
        1 => String::new(),
        _ => format!("sigma within a group {}; ", told(chart.sigma)),
    };
    format!(
        "keeps {what} from {} to {}, center {}; {within}sigma from part to part, wear and moves taken out, {}",
        told(chart.sizes.low),
        told(chart.sizes.high),
        told(chart.sizes.center),
        told(review.sigma)
    )
}

/// The ranges of groups, and those that chance seldom makes.
fn ranges(review: &Review, told: impl Fn(Length) -> String) -> String {
    let chart = &review.chart;
    let limits = chart.ranges;
    let beyond: Vec<String> =
        chart.ranges_beyond().map(|it| format!("parts {} to {}", it.first, it.part)).collect();
    let grouped: usize = chart.points.len() * chart.group as usize;
    let alone = review.kept.len().saturating_sub(grouped) as u32;
    let seen = if beyond.is_empty() {
        "none is beyond".to_owned()
    } else {
        format!("beyond: {}", beyond.join(", "))
    };
    let alone = match alone {
        0 => String::new(),
        alone => format!("; {} in no full group", counted(alone, "reading")),
    };
    format!(
        "of a group {} in the mean, by chance from {} to {}; {seen}{alone}",
        told(limits.center),
        told(limits.low),
        told(limits.high)
    )
}

fn left_out(series: &Series) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    if series.again > 0 {
        let words = format!("{}: the newer reading counts", counted(series.again, "part"));
        lines.push(("gauged again", words));
    }
    if series.left_out > 0 {
        let words = counted(series.left_out, "reading");
        lines.push(("left out", format!("{words} of no known part")));
    }
    if series.along > 0 {
        let words = counted(series.along, "offset move");
        let words = format!("{words} along the bar not reckoned with: good for diameters only");
        lines.push(("caution", words));
    }
    lines
}

/// Why nothing is told of a series.
pub(crate) fn why_nothing(series: &Series) -> String {
    if series.unclear.is_empty() {
        return format!("{FEWEST} readings of one edge or more are needed; gauge more");
    }
    let all: Vec<String> = series.unclear.iter().map(u32::to_string).collect();
    format!(
        "edges or offsets of stations {} were changed; say with --station which one turns this",
        all.join(", ")
    )
}

fn rules(review: &Review) -> String {
    let Some(last) = review.seen.last() else { return "see nothing".to_owned() };
    let seen = match review.seen.len() as u32 {
        1 => "seen at".to_owned(),
        many => format!("seen {}, last at", counted(many, "time")),
    };
    format!("{seen} {}: {}", parts_at(review, last.at), last.rule.sees())
}

/// The part of a point, or its parts.
pub(crate) fn parts_at(review: &Review, at: usize) -> String {
    match review.chart.points.get(at) {
        Some(it) if it.first < it.part => format!("parts {} to {}", it.first, it.part),
        Some(it) => format!("part {}", it.part),
        None => "no part".to_owned(),
    }
}

fn drift(review: &Review, told: impl Fn(Length) -> String) -> String {
    let drift = review.trend.and_then(|it| it.drift(100, crate::commands::CONFIDENCE).ok());
    let Some(drift) = drift else { return "not known".to_owned() };
    format!(
        "{} in 100 parts, from {} to {} (95 %); {}",
        told(drift.nominal),
        told(drift.low),
        told(drift.high),
        if review.drifts { "it surely drifts" } else { "chance may do that" }
    )
}

fn offset(review: &Review, units: Units, told: impl Fn(Length) -> String) -> String {
    match review.advice {
        None => "no move told: it takes both limits, and sizes that scatter".to_owned(),
        Some(Advice::TooFew { have, need }) => {
            format!("gauge first: {have} since the last move, {need} are needed")
        }
        Some(Advice::Leave { off, deadband }) => format!(
            "leave it: off the middle by {}, a move begins beyond {}",
            told(off),
            told(deadband)
        ),
        Some(Advice::Move { by, off, deadband, drifts }) => format!(
            "move the size by {}: off the middle by {}, more than {}{}",
            by.shown(units),
            told(off),
            told(deadband),
            if drifts { "; wear until the next look is in it" } else { "" }
        ),
    }
}

fn fit(review: &Review, series: &Series) -> String {
    let Some(fit) = review.fit else {
        let why = if series.band.is_none() {
            "no limits were recorded"
        } else if review.drifts {
            "sizes that drift have no Cpk"
        } else {
            "nothing scatters"
        };
        return format!("none: {why}");
    };
    let cp = fit.cp.map_or(String::new(), |cp| {
        format!(", Cp {:.2} ({:.2} to {:.2})", cp.nominal, cp.low, cp.high)
    });
    format!(
        "Cpk {:.2} ({:.2} to {:.2}){cp}, 95 % sure; {} outside",
        fit.cpk.nominal,
        fit.cpk.low,
        fit.cpk.high,
        percent(fit.outside)
    )
}

fn next(series: &Series, review: &Review) -> String {
    let Some(limit) = review.limit else {
        return "not known: no limits were recorded".to_owned();
    };
    if limit.parts == 0 {
        return format!("the next part: no gauge_within keeps the risk below {}", percent(RISK));
    }
    format!(
        "by part {} as the offset stands, with a risk of {}; in the job, under [walk_away]: gauge_within = {}{}",
        series.last().saturating_add(limit.parts),
        percent(limit.chance),
        limit.parts,
        if limit.by_drift { "" } else { " (the most that is told)" }
    )
}

pub(super) fn percent(chance: Probability) -> String {
    format!("{:.2} %", 100.0 * chance.ratio())
}
