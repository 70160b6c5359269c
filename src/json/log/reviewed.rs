//! What gauged sizes say.

use crate::commands::{CONFIDENCE, RISK, Series};
use crate::json::prove::mm;
use crate::term::log::why_nothing;
use calc::sizes::chart::Chart;
use calc::sizes::faults::{CLAIMS, FaultReview};
use calc::sizes::offset::Advice;
use calc::sizes::review::Review;
use calc::spread::Spread;
use serde_json::{Value, json};

/// What a series says, or why nothing.
pub(crate) fn reviewed(
    series: &Series,
    review: Option<&Review>,
    faults: Option<&FaultReview>,
) -> Value {
    json!({
        "feature": series.feature.text(),
        "lathe": series.lathe.text(),
        "station": series.station,
        "readings": series.readings.len(),
        "edge_from": series.edge_from,
        "moves": series.moves.iter().map(|it| json!({ "before": it.before, "by_mm": mm(it.by) })).collect::<Vec<_>>(),
        "moves_along_not_reckoned": series.along,
        "gauged_again": series.again,
        "left_out": series.left_out,
        "none_because": review.is_none().then(|| why_nothing(series)),
        "review": review.map(|it| said(series, it)),
        "good_and_bad": faults.map(|it| good_and_bad(series, it)),
    })
}

/// What a gauge without a scale said.
fn good_and_bad(series: &Series, review: &FaultReview) -> Value {
    let last = series.judged.last().map_or(0, |it| it.part);
    json!({
        "confidence": CONFIDENCE.ratio(),
        "gauged": review.gauged,
        "bad": review.bad,
        "share": {
            "value": review.share.nominal.ratio(),
            "low": review.share.low.ratio(),
            "high": review.share.high.ratio(),
        },
        "at_most": review.at_most.ratio(),
        "good_in_a_row": review.good_in_a_row,
        "good_between_bad": review.between,
        "seen": review.seen.iter().map(|it| json!({
            "rule": it.rule.word(), "from": it.from, "part": it.at, "chance": it.chance.ratio(),
        })).collect::<Vec<_>>(),
        "claims": CLAIMS.iter().zip(review.more_good).map(|(share, more)| json!({
            "at_most": share, "more_good": more,
        })).collect::<Vec<_>>(),
        "gauge": {
            "risk": RISK.ratio(),
            "gauge_within": (review.within > 0).then_some(review.within),
            "by_part": last.saturating_add(review.within),
        },
    })
}

fn said(series: &Series, review: &Review) -> Value {
    let chart = &review.chart;
    let part = |at: usize| chart.points.get(at).map(|it| it.part);
    let drift = review.trend.and_then(|it| it.drift(100, CONFIDENCE).ok());
    json!({
        "confidence": CONFIDENCE.ratio(),
        "low_mm": mm(chart.sizes.low),
        "center_mm": mm(chart.sizes.center),
        "high_mm": mm(chart.sizes.high),
        "chart": charted(chart),
        "sigma_mm": mm(review.sigma),
        "seen": review.seen.iter().map(|it| json!({ "part": part(it.at), "rule": it.rule.word() })).collect::<Vec<_>>(),
        "set_apart": review.outliers.iter().map(|it| json!({
            "part": it.reading.part, "size_mm": mm(it.reading.size), "expected_mm": mm(it.expected),
        })).collect::<Vec<_>>(),
        "drifts": review.drifts,
        "drift_in_100_parts_mm": drift.map(|it| range(it.map(mm))),
        "offset": review.advice.map(|it| offset(&it)),
        "cpk": review.fit.map(|it| range(it.cpk)),
        "cp": review.fit.and_then(|it| it.cp).map(range),
        "outside": review.fit.map(|it| it.outside.ratio()),
        "gauge": review.limit.map(|it| json!({
            "gauge_within": (it.parts > 0).then_some(it.parts),
            "by_part": series.last().saturating_add(it.parts.max(1)),
            "chance": it.chance.ratio(),
            "risk": RISK.ratio(),
            "by_drift": it.by_drift,
        })),
    })
}

/// The points of a chart, each with its range: of a group from least to most, of a single size from the one before.
fn charted(chart: &Chart) -> Value {
    json!({
        "group": chart.group,
        "sigma_mm": mm(chart.sigma),
        "range_low_mm": mm(chart.ranges.low),
        "range_center_mm": mm(chart.ranges.center),
        "range_high_mm": mm(chart.ranges.high),
        "points": chart.points.iter().map(|it| json!({
            "first_part": it.first, "part": it.part, "size_mm": mm(it.size), "range_mm": it.range.map(mm),
        })).collect::<Vec<_>>(),
    })
}

fn range(of: Spread<f64>) -> Value {
    json!({ "low": of.low, "nominal": of.nominal, "high": of.high })
}

fn offset(advice: &Advice) -> Value {
    match advice {
        Advice::TooFew { have, need } => json!({ "do": "gauge-first", "have": have, "need": need }),
        Advice::Leave { off, deadband } => {
            json!({ "do": "leave", "off_mm": mm(*off), "deadband_mm": mm(*deadband) })
        }
        Advice::Move { by, off, deadband, drifts } => json!({
            "do": "move", "by_mm": mm(*by), "off_mm": mm(*off), "deadband_mm": mm(*deadband),
            "for_drift": drifts,
        }),
    }
}
