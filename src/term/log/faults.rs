//! What good and bad parts say, in words.

use super::reviewed::percent;
use crate::commands::RISK;
use crate::term::counted;
use calc::sizes::faults::{CLAIMS, FEWEST_BAD, FaultReview, FaultRule, SeenFaults};
use model::quantity::Probability;

/// The lines of a review, each with its heading.
pub(crate) fn lines(review: &FaultReview, last: u32) -> Vec<(&'static str, String)> {
    let mut lines = vec![
        (
            "good and bad",
            format!(
                "{} of {} bad, {} (from {} to {}, 95 % sure); at most {}, of one side; {} good in a row",
                review.bad,
                review.gauged,
                percent(review.share.nominal),
                percent(review.share.low),
                percent(review.share.high),
                percent(review.at_most),
                review.good_in_a_row
            ),
        ),
        ("bad by chance", chance(review)),
    ];
    for (claim, more) in CLAIMS.iter().zip(review.more_good) {
        let claim = percent(Probability::from_ratio(*claim));
        let words = match more {
            0 => format!("at most {claim} are bad: it can be said, 95 % sure"),
            more => format!("at most {claim} are bad: {more} more must be good to say so"),
        };
        lines.push(("claim", words));
    }
    lines.push(("gauge next", next(review, last)));
    lines
}

fn chance(review: &FaultReview) -> String {
    if (review.bad as usize) < FEWEST_BAD {
        return format!("not asked: {FEWEST_BAD} bad ones or more are needed to tell");
    }
    let Some(last) = review.seen.last() else {
        return "the parts between bad ones are as chance has them".to_owned();
    };
    let times = counted(review.seen.len() as u32, "time");
    format!("no, seen {times}, last: {}", sees(last))
}

fn sees(seen: &SeenFaults) -> String {
    let often = 1.0 / seen.chance.ratio().max(1e-12);
    let often = if often > 1e6 { "a million".to_owned() } else { format!("{often:.0}") };
    match seen.rule {
        FaultRule::Close(many) => format!(
            "{many} bad ones from part {} to {}, by chance once in {often} bad ones",
            seen.from, seen.at
        ),
        FaultRule::LongGood => format!(
            "none bad from part {} to {}, by chance once in {often} bad ones: better than before, or a gauge that passes everything",
            seen.from, seen.at
        ),
    }
}

fn next(review: &FaultReview, last: u32) -> String {
    match review.within {
        0 => format!(
            "the next part: what is known keeps no risk below {}; more good ones in a row do",
            percent(RISK)
        ),
        parts => format!(
            "by part {}, with a risk of {} as long as bad ones come singly; in the job, under [walk_away]: gauge_within = {parts}",
            last.saturating_add(parts),
            percent(RISK)
        ),
    }
}
