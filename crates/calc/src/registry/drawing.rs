//! What the short words of a drawing stand for, so that the handbook can hold the tables of
//! `model::standards` to published values.

use super::figures::Figures;
use super::{Calculation, CaseError};
use model::Length;
use model::standards::fit::Class;
use model::standards::knurl::Knurl;
use model::standards::ring::{RingGroove, RingStandard};
use model::standards::thread::{ThreadForm, ThreadLimits};
use model::standards::undercut::{Undercut, UndercutForm};
use model::standards::{Limits, Refusal, drill};

type Result<T> = std::result::Result<T, CaseError>;

/// The tables behind a drawing's words.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "fit.upper", unit: "µm", run: |g| Ok(um(deviations(g)?.0)) },
    Calculation { name: "fit.lower", unit: "µm", run: |g| Ok(um(deviations(g)?.1)) },
    Calculation { name: "thread.major_most", unit: "mm", run: |g| most(g, |it| it.major) },
    Calculation { name: "thread.major_least", unit: "mm", run: |g| least(g, |it| it.major) },
    Calculation { name: "thread.pitch_most", unit: "mm", run: |g| most(g, |it| it.pitch) },
    Calculation { name: "thread.pitch_least", unit: "mm", run: |g| least(g, |it| it.pitch) },
    Calculation { name: "thread.minor_most", unit: "mm", run: |g| most(g, |it| it.minor) },
    Calculation { name: "thread.minor_least", unit: "mm", run: |g| least(g, |it| it.minor) },
    Calculation { name: "thread.tap_drill", unit: "mm", run: tap_drill },
    Calculation { name: "ring.groove", unit: "mm", run: |g| Ok(ring(g)?.diameter.mm()) },
    Calculation { name: "ring.groove_upper", unit: "mm", run: |g| Ok(ring(g)?.deviations.0.mm()) },
    Calculation { name: "ring.groove_lower", unit: "mm", run: |g| Ok(ring(g)?.deviations.1.mm()) },
    Calculation { name: "ring.width", unit: "mm", run: |g| Ok(ring(g)?.width.mm()) },
    Calculation { name: "undercut.width", unit: "mm", run: |g| Ok(undercut(g)?.width.mm()) },
    Calculation { name: "undercut.in_face", unit: "mm", run: |g| Ok(undercut(g)?.face_depth.mm()) },
    Calculation {
        name: "undercut.up_face",
        unit: "mm",
        run: |g| Ok(undercut(g)?.face_height().mm()),
    },
    Calculation { name: "undercut.thread_depth", unit: "mm", run: |g| Ok(behind(g)?.depth.mm()) },
    Calculation { name: "undercut.thread_width", unit: "mm", run: |g| Ok(behind(g)?.width.mm()) },
    Calculation { name: "undercut.thread_radius", unit: "mm", run: |g| Ok(behind(g)?.radius.mm()) },
    Calculation { name: "knurl.before", unit: "mm", run: before_knurling },
    Calculation { name: "drill.diameter", unit: "mm", run: drilled },
];

fn um(length: Length) -> f64 {
    length.nm() as f64 / 1000.0
}

fn taken<T>(read: std::result::Result<T, Refusal>) -> Result<T> {
    read.map_err(|_| CaseError::OutOfRange)
}

fn deviations(given: &Figures<'_>) -> Result<(Length, Length)> {
    let class = taken(Class::read(given.text("class")?))?;
    taken(class.deviations(given.length("size")?))
}

/// A thread; inside where its class has a capital, as `6H`, or a B, as `2B`.
fn thread(given: &Figures<'_>) -> Result<ThreadForm> {
    let text = given.text("thread")?;
    let inside = text.ends_with(['H', 'G', 'B']);
    taken(ThreadForm::read(text, inside))
}

fn limits(given: &Figures<'_>) -> Result<ThreadLimits> {
    thread(given)?.limits.ok_or(CaseError::OutOfRange)
}

fn most(given: &Figures<'_>, of: fn(&ThreadLimits) -> Limits) -> Result<f64> {
    Ok(of(&limits(given)?).most.mm())
}

fn least(given: &Figures<'_>, of: fn(&ThreadLimits) -> Limits) -> Result<f64> {
    Ok(of(&limits(given)?).least.mm())
}

fn tap_drill(given: &Figures<'_>) -> Result<f64> {
    thread(given)?.tap_drill.map(Length::mm).ok_or(CaseError::OutOfRange)
}

fn ring(given: &Figures<'_>) -> Result<RingGroove> {
    let standard = taken(RingStandard::read(given.text("ring")?))?;
    taken(standard.groove(given.length("size")?))
}

fn undercut(given: &Figures<'_>) -> Result<Undercut> {
    let (form, size) = taken(UndercutForm::read(given.text("undercut")?, false))?;
    taken(Undercut::din_509(form, &size))
}

fn behind(given: &Figures<'_>) -> Result<Undercut> {
    let text = given.text("undercut")?;
    let inside = text.ends_with(['C', 'D']);
    let (form, _) = taken(UndercutForm::read(text, inside))?;
    let nominal = given.length("nominal")?;
    taken(Undercut::din_76(form, (given.length("pitch")?, nominal, nominal), inside))
}

fn before_knurling(given: &Figures<'_>) -> Result<f64> {
    let knurl = taken(Knurl::read(given.text("knurl")?))?;
    Ok(knurl.before(given.length("size")?).mm())
}

fn drilled(given: &Figures<'_>) -> Result<f64> {
    Ok(taken(drill::diameter(given.text("drill")?))?.mm())
}
