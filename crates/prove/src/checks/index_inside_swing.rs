#![doc = include_str!("index_inside_swing.md")]

use crate::event::{Moment, What};
use crate::metal::{Against, Part};
use crate::report::Out;
use model::Level;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (setup, at) = (moment.setup, moment.before.position);
    let remedy = "Go to the place where the turret may swing before the next tool is called.";
    if let What::Struck { strike, .. } = moment.what
        && let Part::Swinging(station) = strike.part
    {
        let into = match strike.against {
            Against::Bar => "the bar",
            Against::Jaws => "the jaws or the chuck",
        };
        let message = format!("The turret swings here: the tool on station {station} goes into {into}.");
        return out.found(message, remedy);
    }
    let What::Indexed { from: Some(_), .. } = moment.what else { return };
    let what = "whether the turret swings clear";
    let Some(lathe) = out.known(setup.lathe.as_ref(), what, "the lathe file") else { return };
    let turret = &lathe.turret;
    if setup.swing_is_known() || at.r.abs() >= turret.index_x.half() || at.z >= turret.index_z {
        return;
    }
    out.lesser(
        Level::Caution,
        format!(
            "The turret swings at X{} Z{}, nearer than the lathe file allows: X{} or Z{}.",
            (at.r * 2).text(setup.units, setup.units.decimals()),
            at.z.text(setup.units, setup.units.decimals()),
            turret.index_x.text(setup.units, setup.units.decimals()),
            turret.index_z.text(setup.units, setup.units.decimals()),
        ),
        remedy,
    );
}
