//! What happens on the lathe, one moment at a time.

use crate::action::Arc;
use crate::count::Whole;
use crate::lathe::State;
use crate::setup::Setup;
use model::files::control::{Code, CodeSystem, Does};
use model::quantity::{Seconds, SpindleSpeed};
use model::{Length, Span};
use nc::codes::GCode;
use nc::expression::{FaultKind, Refusal};
use nc::program::FlowTroubleKind;
use nc::tree::TroubleKind;

/// The word of a program that makes something happen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Spot {
    /// Which file.
    pub tree: u32,
    /// Which block of it.
    pub block: u32,
    /// The word.
    pub span: Span,
}

/// A point of the half-plane: signed radius and distance from the finished face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Point {
    /// Radius; negative on the far side of the axis.
    pub r: Length,
    /// Along the spindle axis, positive away from the chuck.
    pub z: Length,
}

/// How a tool moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Start.
    pub from: Point,
    /// End.
    pub to: Point,
    /// Whether at rapid.
    pub rapid: bool,
    /// Speed along the path in mm/min; none at rapid, or where the feed hangs on the spindle.
    pub speed: Option<f64>,
    /// The arc it runs on; otherwise it runs straight.
    pub arc: Option<Arc>,
    /// Where a rapid move bends when each axis runs at its own speed.
    pub bend: Option<Point>,
    /// Its lead at the start, in mm a revolution, where it follows the spindle as threads do.
    pub lead: Option<f64>,
    /// Its feed in mm a revolution where the spindle turns slowest; none in a thread, at rapid, or
    /// where the spindle stands.
    pub per_turn: Option<f64>,
}

/// What a cycle lacks, so that the control cannot run it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CycleTrouble {
    /// P or Q, which name the first and last block of the contour.
    NoContour,
    /// The contour's last block stands before its first.
    ContourBackward,
    /// A block of the contour does something else than move.
    ContourBlock,
    /// The depth of a layer or of the first pass.
    NoDepth,
    /// How many passes a pattern has.
    NoPasses,
    /// The depth of a peck.
    NoPeck,
    /// The height of the thread.
    NoHeight,
    /// It would make more moves than any part needs: a step is far too small.
    TooManyMoves,
}

/// Which way the gripper goes onto or off the stub.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// In X, across the bar.
    Across,
    /// In Z, along the bar.
    Along,
    /// In both at once.
    Slanting,
}

/// What ended a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EndedBy {
    /// The program came to its end by itself.
    Count,
    /// The bar was used up while the program went on.
    Bar,
    /// Nothing: the program would run on without end.
    Never,
    /// The control would stop with an alarm.
    Fault,
}

impl EndedBy {
    /// The word that reports and scripts show.
    pub const fn word(self) -> &'static str {
        match self {
            EndedBy::Count => "count",
            EndedBy::Bar => "bar",
            EndedBy::Never => "never",
            EndedBy::Fault => "fault",
        }
    }
}

/// What is wrong with words that can be read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TextTrouble {
    /// A block sets a variable and has words too, which the control does not take.
    Mixed,
    /// A letter stands in its block once more: the earlier word is dropped.
    LetterTwice(char),
    /// A G word takes the place of another one of its block.
    Replaced {
        /// The one that does not act.
        first: Code,
        /// The one that acts.
        last: Code,
    },
    /// A point in a word of this letter, which holds whole numbers.
    PointInWhole(char),
    /// A letter behind a comma that has no meaning there.
    CommaWord(char),
    /// A word that fits its block only with its meaning in another code system.
    AnotherSystem {
        /// The word.
        code: Code,
        /// What it means on this control.
        here: GCode,
        /// The code system in which it fits.
        there: CodeSystem,
        /// What it means in that system.
        meant: GCode,
    },
    /// A letter that lies beside that of the word likely meant on a keyboard.
    NextKey(Code),
    /// A zero before two digits: a digit was likely written twice.
    DigitTwice {
        /// The word as it is read.
        read: Code,
        /// The word as it was likely meant.
        meant: Code,
    },
}

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// The program is started.
    Start,
    /// A tool moved without anything that has a name of its own here.
    Move(Motion),
    /// A move that cuts, or could: at feed with something else than the gripper.
    Cut(Motion),
    /// A feed per revolution while the spindle stands: the block never ends.
    Stuck(Motion),
    /// A tool went through to the axis and shortened the bar's front by this.
    Faced(Length),
    /// A piece of this length fell; none where the blade's width is not known.
    PartedOff(Option<Length>),
    /// A tool went into what it must not touch.
    Struck {
        /// What, where and how deep.
        strike: crate::metal::Strike,
        /// Whether at rapid.
        rapid: bool,
    },
    /// A cut asks more than drive, chuck or bar give.
    Overload(crate::loads::Overload),
    /// A cut by a tool with a limit of depth was so deep, square to its way.
    Deep(Length),
    /// A boring tool went into metal that is solid to the axis, there.
    BoredSolid(Point),
    /// The piece that fell, as a shape; what stays of the bar is the shape of the state behind.
    Fell {
        /// The piece where it fell; the lathe's [`Metal`](crate::metal::Metal) has its region.
        piece: shape::Placed,
        /// Whether it lies within the limits of the drawing; none where there are none, or where a
        /// word that no file explains may have drawn the bar.
        right: Option<bool>,
    },
    /// The piece that just fell lacks metal: here most.
    Gouged(crate::form::Deviation),
    /// The piece that just fell has metal left over: here most.
    LeftOver(crate::form::Deviation),
    /// On the piece that just fell the nose radius was not followed.
    NoseNotFollowed(crate::form::NoseLeft),
    /// The piece that just fell lacks depth of a thread.
    ThreadShallow(crate::form::ThreadOff),
    /// The piece that just fell has a groove of another width than the drawing.
    GrooveOff(crate::form::GrooveOff),
    /// A parting cut left the piece hanging on the bar by a core of this radius.
    NotParted {
        /// What is left around the axis.
        core: Length,
        /// Whether the blade came so near to the axis that the piece is taken to break off.
        breaks: bool,
    },
    /// A tool cut of which no file gives the shape: that of the bar is not known from here on.
    ShapeLost {
        /// Its station.
        station: u32,
        /// Whether it is a blade that goes into the face, with an edge that no file describes.
        into_face: bool,
    },
    /// The parting tool went to the axis where no bar stands.
    PartedAir,
    /// The gripper went onto the stub.
    GripperOn {
        /// The way it went.
        way: Way,
        /// Length of stub between its fingers.
        engaged: Length,
        /// Whether at rapid.
        rapid: bool,
        /// The least and the largest diameter of the stub between its fingers, where the bar is
        /// known as a shape.
        stub: Option<(Length, Length)>,
    },
    /// The gripper left the stub.
    GripperOff {
        /// The way it went.
        way: Way,
    },
    /// The gripper moved the bar by this, the chuck being open.
    Pulled {
        /// How far; negative back into the chuck.
        by: Length,
        /// How.
        motion: Motion,
    },
    /// The gripper slid along the bar by this, the chuck being closed.
    Slid(Length),
    /// A dwell.
    Dwell(Seconds),
    /// The spindle was started.
    SpindleStarted,
    /// The spindle was told to stop.
    SpindleStopped,
    /// A fixed or a clamped speed was called for.
    SpeedCalled(SpindleSpeed),
    /// A surface speed was called for, with a clamp in force.
    SurfaceSpeed,
    /// A surface speed was called for, with no clamp in force.
    SurfaceSpeedUnclamped,
    /// The chuck was told to open.
    ChuckOpened,
    /// The chuck was told to close.
    ChuckClosed,
    /// A tool offset was called with a station; 0 takes the offset away.
    OffsetCalled {
        /// The station.
        station: u32,
        /// The offset.
        offset: u32,
    },
    /// Another station was called.
    Indexed {
        /// The station before.
        from: Option<u32>,
        /// The station now.
        to: u32,
    },
    /// Another function of the builder.
    Function(Does),
    /// A word that no file says anything about.
    UnknownWord(Code),
    /// A word that is read but whose motion is not modelled.
    NotModelled(&'static str),
    /// Something that hangs on what no file says.
    NotKnown(&'static str),
    /// A stop by M0, or an optional one by M1.
    Halted,
    /// A text that could not be read as it stands.
    Unreadable(TroubleKind),
    /// Numbers, jumps or loops that do not go together.
    Flow(FlowTroubleKind),
    /// A number without a point where others of the program have one.
    NoPoint,
    /// Words that can be read, yet say something else than they seem to.
    Text(TextTrouble),
    /// A term that the control cannot work out.
    TermFault(FaultKind),
    /// A part of a term that the control does not take.
    TermRefused(Refusal),
    /// A loop that looks at this variable steps it by a fraction.
    FractionStep(u32),
    /// This variable was asked whether it is larger or smaller, and was empty; 0 where its number
    /// is worked out.
    NullCompared(u32),
    /// A jump to a block number that is not there.
    NoTarget(u32),
    /// A call of a program that is not there.
    NoProgram(u32),
    /// Calls nested too deep.
    TooDeep,
    /// An arc that the control cannot make.
    NoArc,
    /// A cycle that lacks something.
    Cycle(CycleTrouble),
    /// A feed that was given per revolution and would now be taken per minute, or the other way
    /// round.
    FeedOfOtherMode,
    /// What the offset of the nose radius cannot follow.
    Nose(crate::nose::Trouble),
    /// More blocks without a move than a control sees across while the nose goes beside its path.
    NoseSeesNothing,
    /// The place of a home check is not the home position.
    NotHome,
    /// A corner word that no corner can be cut for.
    NoCorner,
    /// A system variable that the control file says nothing about.
    UnknownVariable(u32),
    /// An alarm or message that the program itself raises.
    Message,
    /// A pass of a loop is over that made parts.
    PassOver,
    /// So many passes follow that are like the last one in everything that is told of them.
    PassesLeftOut {
        /// How many.
        passes: u32,
        /// Advances in all of them.
        advances: u32,
    },
    /// The run ended.
    Ended(EndedBy),
}

impl What {
    /// Whether the text alone shows it, before anything runs.
    pub const fn is_text_alone(self) -> bool {
        matches!(
            self,
            What::Unreadable(_)
                | What::Flow(_)
                | What::NoPoint
                | What::Text(_)
                | What::TermRefused(_)
                | What::FractionStep(_)
        )
    }
}

/// One moment: what happened, with the lathe before and after.
#[derive(Debug, Clone, Copy)]
pub struct Moment<'a> {
    /// What happened.
    pub what: What,
    /// The word that made it.
    pub spot: Spot,
    /// The lathe before.
    pub before: &'a State,
    /// The lathe after.
    pub after: &'a State,
    /// What is known.
    pub setup: &'a Setup,
    /// What the whole run came to; only with [`What::Ended`].
    pub whole: Option<&'a Whole>,
}

impl Moment<'_> {
    /// Whether metal was cut; none where the bar or the tool is not known as a shape.
    pub fn cuts_metal(&self) -> Option<bool> {
        let (before, after) = (self.before.shape?, self.after.shape?);
        Some(before != after)
    }
}
