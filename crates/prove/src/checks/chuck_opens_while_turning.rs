#![doc = include_str!("chuck_opens_while_turning.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::ChuckOpened {
        return;
    }
    let (before, setup) = (moment.before, moment.setup);
    let speed = turning(before, setup).rpm();
    let remedy = "Stop the spindle (M5) and wait until it stands: a dwell of the run-down time, or a stop that the machine confirms.";
    if before.spindle.told.is_some() {
        out.found(
            format!("The chuck opens while the spindle is told to turn ({speed:.0} rev/min): the bar is let go in rotation."),
            remedy,
        );
    } else if speed > 0.5 {
        out.found(
            format!("The chuck opens while the spindle still runs down, at about {speed:.0} rev/min."),
            remedy,
        );
    } else if setup.lathe.is_none() && before.spindle.speed.is_some() && !setup.stop_is_confirmed() {
        out.unproven("whether the spindle stands when the chuck opens", "the lathe file, with its run-down time, is not given");
    }
}
