//! A stub that is too short for the gripper; the page is the prover's.

use super::{Limit, Line, Out, Planned};
use crate::acts::Acts;
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, bar) = (planned.job, planned.bar);
    let front = bar.jaw_face + bar.division.jaw_clearance;
    let engaged = (front - Acts::new(job, bar).grip_z()).min(job.gripper.fingers);
    out.line(Line {
        value: Spread::exact(engaged.mm()),
        limit: Limit::Least(job.gripper.least_engagement.mm()),
        unit: "mm",
        source: "least engagement of the gripper (gripper file)",
        message: "The stub is too short for the gripper, with its gap to the jaws.".to_owned(),
        remedy: "Raise the jaw clearance, or leave it out to have it chosen.",
        key: "advance.jaw_clearance",
    });
}
