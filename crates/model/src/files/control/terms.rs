//! How a control works out the terms of its parametric language, and where its jumps look first.

use crate::choices;
use crate::files::keys::Keys;

choices! {
    /// Where FIX and FUP take a fraction; both leave whole numbers alone.
    Rounding {
        TowardZero = "toward-zero": "FIX drops the fraction, FUP goes on to the next number away from zero",
        DownAndUp = "down-and-up": "FIX goes down to the next smaller number, FUP up to the next larger one",
    }
}

choices! {
    /// What an empty variable is in GT, GE, LT and LE.
    NullInOrder {
        Zero = "zero": "an empty variable counts as zero",
        AboveAll = "above-all": "an empty variable counts as more than every number, so that it is GT 0",
    }
}

choices! {
    /// Where the angles of ATAN with two terms lie.
    AtanRange {
        FullTurn = "0-to-360": "from 0 to 360 degrees",
        HalfTurns = "minus-180-to-180": "from -180 to 180 degrees",
    }
}

choices! {
    /// Where the angles of ASIN lie.
    AsinRange {
        AboutZero = "minus-90-to-90": "from -90 to 90 degrees",
        FullTurn = "270-to-90": "from 270 to 360 degrees below zero, from 0 to 90 above",
    }
}

choices! {
    /// How tightly AND binds.
    AndPlace {
        WithProducts = "with-products": "as tightly as * and /",
        WithSums = "with-sums": "as + and -, OR and XOR",
    }
}

choices! {
    /// What AND, OR and XOR join.
    Logic {
        Bitwise = "bitwise": "the bits of whole numbers",
        Logical = "logical": "true and false: every number but zero is true, and the result is 1 or 0",
    }
}

choices! {
    /// Where the control starts to look for the block that a jump names.
    JumpSearch {
        Forward = "forward": "behind the jump to the end of the program, then from its top",
        Top = "top": "always from the top of the program",
    }
}

choices! {
    /// What becomes of a block that sets a variable and has words too.
    MixedBlock {
        Refused = "refused": "the control stops with an alarm",
        VariableFirst = "variable-first": "the variable is set, then the words are worked out",
        WordsFirst = "words-first": "the words are worked out, then the variable is set",
    }
}

/// How a control works terms out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Terms {
    /// Where FIX and FUP take a fraction.
    pub rounding: Rounding,
    /// What an empty variable is in GT, GE, LT and LE.
    pub null_in_order: NullInOrder,
    /// Where the angles of ATAN with two terms lie.
    pub atan_range: AtanRange,
    /// Where the angles of ASIN lie.
    pub asin_range: AsinRange,
    /// How tightly AND binds.
    pub and_place: AndPlace,
    /// What AND, OR and XOR join.
    pub logic: Logic,
    /// Where the search for a jump's block starts.
    pub jump_search: JumpSearch,
    /// Deepest nesting of brackets that the control takes, 1 to 60.
    pub bracket_depth: u32,
    /// Whether the control takes the signs = <> > >= < <= for the letters EQ NE GT GE LT LE.
    pub comparison_signs: bool,
    /// Whether the control takes `##2` for `#[#2]`.
    pub double_sign: bool,
    /// How many decimal digits the control keeps of a sum, difference, product or quotient; none
    /// for one that counts in binary.
    pub significant_digits: Option<u32>,
    /// What becomes of a block that sets a variable and has words too.
    pub mixed_block: MixedBlock,
}

impl Terms {
    /// The terms of a control whose file says nothing about them. Source: common practice of the
    /// trade, from memory; every one of them is said to differ between builders.
    pub const COMMON: Terms = Terms {
        rounding: Rounding::TowardZero,
        null_in_order: NullInOrder::Zero,
        atan_range: AtanRange::FullTurn,
        asin_range: AsinRange::AboutZero,
        and_place: AndPlace::WithProducts,
        logic: Logic::Bitwise,
        jump_search: JumpSearch::Forward,
        bracket_depth: 5,
        comparison_signs: false,
        double_sign: true,
        significant_digits: None,
        mixed_block: MixedBlock::Refused,
    };
}

impl Default for Terms {
    fn default() -> Terms {
        Terms::COMMON
    }
}

/// Every key of the table `terms`.
pub(super) fn keys(keys: &Keys<'_>) -> Terms {
    let common = Terms::COMMON;
    Terms {
        rounding: keys.choice("rounding", "where FIX and FUP take a fraction").or(common.rounding),
        null_in_order: keys
            .choice("null_in_order", "what an empty variable is in GT, GE, LT and LE")
            .or(common.null_in_order),
        atan_range: keys
            .choice("atan_range", "where the angles of ATAN with two terms lie")
            .or(common.atan_range),
        asin_range: keys.choice("asin_range", "where the angles of ASIN lie").or(common.asin_range),
        and_place: keys.choice("and_place", "how tightly AND binds").or(common.and_place),
        logic: keys.choice("logic", "what AND, OR and XOR join").or(common.logic),
        jump_search: keys
            .choice("jump_search", "where the control starts to look for the block a jump names")
            .or(common.jump_search),
        bracket_depth: keys
            .count("bracket_depth", "deepest nesting of brackets that the control takes", 1..=60)
            .or(i64::from(common.bracket_depth)) as u32,
        comparison_signs: keys
            .flag(
                "comparison_signs",
                "whether the control takes = <> > >= < <= for EQ NE GT GE LT LE",
            )
            .or(common.comparison_signs),
        double_sign: keys
            .flag("double_sign", "whether the control takes ##2 for #[#2]")
            .or(common.double_sign),
        significant_digits: keys
            .count(
                "significant_digits",
                "decimal digits kept of sums and products; left out, it counts in binary",
                6..=15,
            )
            .optional()
            .map(|digits| digits as u32),
        mixed_block: keys
            .choice("mixed_block", "what becomes of a block that sets a variable and has words too")
            .or(common.mixed_block),
    }
}
