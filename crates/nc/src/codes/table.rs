//! The table of G words: one row for each meaning.

use super::{Extent, Group, Numbers};
use Extent::{Followed, ReadOnly};
use model::files::control::Drilling;

/// All that is known of one meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// The meaning.
    pub meaning: GCode,
    /// Its numbers.
    pub numbers: Numbers,
    /// The group whose words replace each other.
    pub group: Group,
    /// How far the prover follows it.
    pub extent: Extent,
    /// What it does, in one sentence.
    pub does: &'static str,
}

macro_rules! meanings {
    ($($group:ident { $($name:ident = $numbers:expr, $extent:expr, $does:literal;)* })*) => {
        /// The meaning of a G word.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum GCode {
            $($(#[doc = $does] $name,)*)*
            /// Takes coordinates from one of the six work offsets; G54 is 1.
            WorkOffset(u8),
        }

        /// The rows of the table, in its order.
        #[derive(Clone, Copy)]
        enum Place {
            $($($name,)*)*
            FirstOffset,
        }

        impl GCode {
            const fn place(self) -> usize {
                match self {
                    $($(GCode::$name => Place::$name as usize,)*)*
                    // An offset that there is none of counts as the last.
                    GCode::WorkOffset(number @ 0..=5) => {
                        Place::FirstOffset as usize + number.saturating_sub(1) as usize
                    }
                    GCode::WorkOffset(_) => Place::FirstOffset as usize + 5,
                }
            }
        }

        /// Every meaning.
        pub static ROWS: &[Row] = &TABLE;

        pub(super) const TABLE: [Row; Place::FirstOffset as usize + 6] = [
            $($(Row {
                meaning: GCode::$name,
                numbers: $numbers,
                group: Group::$group,
                extent: $extent,
                does: $does,
            },)*)*
            work_offset(1, Followed, "Takes coordinates from the first work offset."),
            work_offset(2, Followed, "Takes coordinates from the second work offset."),
            work_offset(3, Followed, "Takes coordinates from the third work offset."),
            work_offset(4, Followed, "Takes coordinates from the fourth work offset."),
            work_offset(5, Followed, "Takes coordinates from the fifth work offset."),
            work_offset(6, Followed, "Takes coordinates from the sixth work offset."),
        ];
    };
}

impl GCode {
    /// Its row of the table.
    pub fn row(self) -> &'static Row {
        &ROWS[self.place()]
    }
}

const OFFSETS: &str = "work offsets other than the first";
const SIDE: &str = "drilling from the side";
const OTHER_PLANE: &str = "moves in another plane than that of X and Z";
const SPINDLE_AS_AXIS: &str = "the spindle as an axis";

const fn work_offset(number: u8, extent: Extent, does: &'static str) -> Row {
    let numbers = all(53 + number as u16);
    Row { meaning: GCode::WorkOffset(number), numbers, group: Group::WorkOffset, extent, does }
}

/// The same number in every system.
const fn all(number: u16) -> Numbers {
    abc(number, number, number)
}

/// Numbers in systems A, B and C.
const fn abc(a: u16, b: u16, c: u16) -> Numbers {
    Numbers { tenths: [Some(a * 10), Some(b * 10), Some(c * 10)], drilling: None }
}

/// The same number in systems B and C; system A has no such word.
const fn bc(number: u16) -> Numbers {
    Numbers { tenths: [None, Some(number * 10), Some(number * 10)], drilling: None }
}

/// The same number in every system, with one digit behind a point: `54.1` is 541.
const fn tenths(tenths: u16) -> Numbers {
    Numbers { tenths: [Some(tenths); 3], drilling: None }
}

/// The same number in every system, on controls with the lathe's drilling cycles.
const fn lathe(number: u16) -> Numbers {
    Numbers { drilling: Some(Drilling::Lathe), ..all(number) }
}

/// The same number in every system, on controls with the plain drilling cycles.
const fn plain(number: u16) -> Numbers {
    Numbers { drilling: Some(Drilling::Plain), ..all(number) }
}

meanings! {
    Motion {
        Rapid = all(0), Followed, "Moves at rapid.";
        Line = all(1), Followed, "Moves straight at the feed.";
        ArcClockwise = all(2), Followed,
            "Moves on an arc at the feed, clockwise with X up and Z to the right; R is the radius, or I and K lead to the center.";
        ArcCounterclockwise = all(3), Followed,
            "Moves on an arc at the feed, counterclockwise with X up and Z to the right; R is the radius, or I and K lead to the center.";
        Thread = abc(32, 33, 33), Followed,
            "Cuts one stretch of a thread, in step with the spindle; F is the lead.";
        ThreadVariableLead = all(34), Followed,
            "Cuts one stretch of a thread whose lead changes by K each turn.";
        TurningCycle = abc(90, 77, 20), Followed,
            "Turns one pass along Z and comes back to where it started; each further X is one more pass.";
        ThreadingCycle = abc(92, 78, 21), Followed,
            "Cuts one pass of a thread along Z and comes back to where it started; F is the lead, each further X is one more pass.";
        FacingCycle = abc(94, 79, 24), Followed,
            "Faces one pass along X and comes back to where it started; each further Z is one more pass.";
    }
    Once {
        Dwell = all(4), Followed,
            "Waits: X or U in seconds, P in thousandths of a second.";
        ExactStop = all(9), Followed,
            "Ends the move of this block in its place before the next one starts.";
        DataSetting = all(10), Followed,
            "Writes offsets from the program: L2 work offsets, P alone tool offsets.";
        DataSettingEnd = all(11), Followed, "Ends the writing of data that G10 began.";
        CheckHome = all(27), Followed,
            "Moves at rapid to the place given and alarms where that is not home.";
        ReturnHome = all(28), Followed,
            "Moves at rapid over the place given to home, in the axes named.";
        ReturnSecondHome = all(30), Followed,
            "Moves at rapid over the place given to the second home, or to the one that P2 to P4 names.";
        SkipMove = all(31), ReadOnly("moves that a signal ends"),
            "Moves straight at the feed until a signal comes.";
        SetCoordinatesOrClamp = abc(50, 92, 92), Followed,
            "With S clamps the spindle speed; with X and Z names the place where the tool stands; with U and W shifts the coordinates.";
        LocalShift = all(52), Followed,
            "Shifts all work offsets; G52 X0 Z0 ends it.";
        MachineCoordinates = all(53), Followed,
            "Takes the place of this block in the coordinates of the machine.";
        MacroCall = all(65), Followed,
            "Calls the program P once, or L times, with each letter as one of its variables.";
        FinishCycle = abc(70, 70, 72), Followed,
            "Cuts the contour from block P to block Q once.";
        RoughTurning = abc(71, 71, 73), Followed,
            "Roughs the contour from block P to block Q in passes along Z.";
        RoughFacing = abc(72, 72, 74), Followed,
            "Roughs the contour from block P to block Q in passes along X.";
        PatternRepeat = abc(73, 73, 75), Followed,
            "Cuts the contour from block P to block Q several times, each time nearer.";
        FacePeck = abc(74, 74, 76), Followed, "Pecks along Z: drills on the axis, or grooves the face.";
        RadialPeck = abc(75, 75, 77), Followed, "Pecks along X: grooves, or parts off.";
        MultipassThread = abc(76, 76, 78), Followed, "Cuts a whole thread in passes of equal chip area.";
    }
    Plane {
        PlaneXy = all(17), ReadOnly(OTHER_PLANE), "Chooses the plane of X and Y.";
        PlaneZx = all(18), Followed, "Chooses the plane of Z and X, in which a lathe turns.";
        PlaneYz = all(19), ReadOnly(OTHER_PLANE), "Chooses the plane of Y and Z.";
    }
    Units {
        Inch = abc(20, 20, 70), Followed, "Counts in inches.";
        Millimeter = abc(21, 21, 71), Followed, "Counts in millimeters.";
    }
    StrokeCheck {
        StrokeCheckOn = all(22), Followed,
            "Turns the control's own watch over forbidden space on; X Z I K say where that is.";
        StrokeCheckOff = all(23), Followed, "Turns the watch over forbidden space off.";
    }
    SpeedWatch {
        SpeedWatchOff = all(25), Followed, "Turns the watch over an uneven spindle speed off.";
        SpeedWatchOn = all(26), Followed, "Turns the watch over an uneven spindle speed on.";
    }
    NoseRadius {
        NoseOff = all(40), Followed, "Ends the offset of the tool's nose radius.";
        NoseLeft = all(41), Followed,
            "Keeps the tool's nose radius to the left of the path, as seen along it.";
        NoseRight = all(42), Followed,
            "Keeps the tool's nose radius to the right of the path, as seen along it.";
    }
    WorkOffset {
        MoreWorkOffsets = tenths(541), ReadOnly(OFFSETS),
            "Takes coordinates from one more work offset, the one that P names.";
    }
    PathMode {
        ExactStopMode = all(61), Followed,
            "Ends each move in its place before the next one starts.";
        TappingMode = all(63), Followed, "Holds the feed override at its full value, for tapping.";
        CuttingMode = all(64), Followed, "Runs from one feed move into the next.";
    }
    MacroCall {
        ModalMacroCall = all(66), Followed,
            "Calls the program P after each move that follows, with each letter as one of its variables.";
        ModalMacroCallEnd = all(67), Followed, "Ends the calls of G66.";
    }
    DrillingCycle {
        DrillingCycleEnd = all(80), Followed, "Ends a drilling cycle.";
        FaceDrill = lathe(83), Followed, "Drills along Z; Q is the peck.";
        FaceTap = lathe(84), Followed, "Taps along Z and turns back at the bottom.";
        FaceBore = lathe(85), Followed, "Bores along Z and feeds back out.";
        SideDrill = lathe(87), ReadOnly(SIDE), "Drills along X, into the side of the part.";
        SideTap = lathe(88), ReadOnly(SIDE), "Taps along X, into the side of the part.";
        SideBore = lathe(89), ReadOnly(SIDE), "Bores along X, into the side of the part.";
        PlainDrill = plain(81), Followed, "Drills along Z in one stroke and moves out at rapid.";
        PlainDrillDwell = plain(82), Followed,
            "Drills along Z, waits P at the bottom and moves out at rapid.";
        PlainPeck = plain(83), Followed,
            "Drills along Z in pecks of Q and moves out at rapid after each.";
        PlainTap = plain(84), Followed, "Taps along Z, turns back at the bottom and feeds out.";
        PlainBore = plain(85), Followed, "Bores along Z and feeds back out.";
        PlainBoreStop = plain(86), Followed,
            "Bores along Z, waits P, stops the spindle and moves out at rapid.";
        PlainBoreDwell = plain(89), Followed, "Bores along Z, waits P and feeds back out.";
    }
    Distance {
        Absolute = bc(90), Followed, "Takes X and Z as places.";
        Incremental = bc(91), Followed, "Takes X and Z as distances from where the tool stands.";
    }
    Feed {
        FeedPerMinute = abc(98, 94, 94), Followed, "Takes F as feed per minute.";
        FeedPerRevolution = abc(99, 95, 95), Followed, "Takes F as feed per revolution.";
    }
    CycleReturn {
        ReturnToInitial = bc(98), Followed,
            "Goes back to the level where a drilling cycle began, after each hole.";
        ReturnToClearance = bc(99), Followed, "Goes back to level R only, after each hole.";
    }
    SurfaceSpeed {
        SurfaceSpeed = all(96), Followed,
            "Takes S as surface speed: the spindle turns faster as X gets smaller.";
        FixedSpeed = all(97), Followed, "Takes S as turns per minute.";
    }
    Polar {
        PolarOn = tenths(121), ReadOnly(SPINDLE_AS_AXIS), "Takes C as a straight axis across the face.";
        PolarOff = tenths(131), Followed, "Ends straight coordinates across the face.";
    }
    Polygon {
        PolygonOn = tenths(512), ReadOnly("polygon turning"), "Couples a tool spindle to the work spindle, to cut flats.";
        PolygonOff = tenths(502), Followed, "Ends polygon turning.";
    }
    Mirror {
        MirrorOn = all(68), ReadOnly("mirrored coordinates of a second turret"),
            "Mirrors X for a turret on the other side of the axis.";
        MirrorOff = all(69), Followed, "Ends mirrored coordinates.";
    }
}
