//! Heat and chips of a cut: what must be cooled, and what must be carried off.

use crate::OutOfRange;
use crate::cutting::{above_zero, finite};
use crate::spread::Spread;
use model::quantity::{Power, RemovalRate, Seconds, Volume};

/// Power that goes off with the chips; all power of a cut becomes heat.
///
/// 0.6 to 0.95 of it, mostly 0.8; the rest warms part, tool and coolant.
/// Valid: power not negative.
/// Source: common practice; textbooks say about 0.8 at usual speeds of carbide, from memory.
/// Held to: `handbook/chips.toml`.
///
/// # Errors
/// A power below zero or not finite.
pub fn heat_in_chips(power: Power) -> Result<Spread<Power>, OutOfRange> {
    if power.w() < 0.0 {
        return Err(OutOfRange);
    }
    let share = Spread { low: 0.6, nominal: 0.8, high: 0.95 };
    Ok(Spread::exact(finite(power.w())?).times(share).map(Power::from_w))
}

/// Room that the chips of a cut take, loose.
///
/// `Q·t·bulk`: Q the removal rate, t the time, bulk how many times more room loose chips take.
/// Valid: rate and time not negative, bulk at least 1.
/// Source: the definition of the bulk ratio.
/// Held to: `handbook/chips.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn loose_chips(rate: RemovalRate, time: Seconds, bulk: f64) -> Result<Volume, OutOfRange> {
    let (rate, time) = (rate.cm3_per_min() * 1000.0 / 60.0, time.s());
    if rate >= 0.0 && time >= 0.0 && bulk >= 1.0 {
        Ok(Volume::from_mm3(finite(rate * time * bulk)?))
    } else {
        Err(OutOfRange)
    }
}

/// Whole parts until the room for chips is full.
///
/// `floor(room / loose chips of one part)`; a part in a hundred million is given for the rounding
/// of binary figures.
/// Valid: room not negative, chips above zero; at most `u32::MAX` parts are counted.
/// Source: arithmetic.
/// Held to: `handbook/chips.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn parts_until_full(room: Volume, chips_of_part: Volume) -> Result<u32, OutOfRange> {
    let parts = room.mm3() / above_zero(chips_of_part.mm3())?;
    if parts >= 0.0 { Ok((parts * (1.0 + 1e-8)).floor() as u32) } else { Err(OutOfRange) }
}
