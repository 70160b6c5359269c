//! A drawing in its own units, before anyone says how it is shown: shapes with a role, in the
//! order in which they are painted. x runs to the right, y down.

/// What a shape stands for; how it looks is decided where the scene is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// A part.
    Part,
    /// Every other part, so that neighbors are told apart.
    NextPart,
    /// What the parting tool turns to chips.
    Kerf,
    /// Stock that is faced off.
    Face,
    /// What is left of the bar.
    Remnant,
    /// The spindle and its liner.
    Spindle,
    /// The jaws.
    Jaws,
    /// A line that measures.
    Measure,
    /// A place where something is to be done.
    Mark,
    /// Where the lathe is now.
    Now,
    /// The highest that something can.
    Ceiling,
    /// A speed that is allowed.
    Allowed,
    /// What may or may not be allowed.
    Uncertain,
    /// A speed that is allowed, but below that of the job.
    TooFast,
    /// The bar cut open.
    Bar,
    /// What is taken off it.
    Taken,
    /// The part of a tool that cuts.
    Edge,
    /// What holds it.
    Holder,
    /// The gripper.
    Gripper,
    /// A way at feed.
    Feed,
    /// A way at rapid.
    Rapid,
    /// The axis of the spindle.
    Axis,
    /// The outline of a part that is not cut open, and its edges.
    Outline,
    /// Metal that is cut open.
    Hatch,
    /// The ground of an outside thread, the crest of one inside.
    Thread,
    /// What another operation cuts.
    Later,
    /// The end of a measure.
    Arrow,
    /// Bare paper over what reaches too far.
    Paper,
    /// Where sizes are good.
    Good,
    /// Where further sizes are expected.
    Expected,
    /// A gauged size, or the mean of a group.
    Reading,
    /// A gauged size behind a mean.
    Single,
    /// A gauged size that does not belong to the rest.
    Odd,
    /// The line through sizes.
    Trend,
    /// A limit that chance seldom passes.
    Chance,
    /// The dark squares of a code that a camera reads.
    Code,
    /// Hours in which someone is there.
    Staffed,
    /// Someone is at the lathe.
    Attended,
    /// A stretch that is not painted and says something when pointed at.
    Slice,
    /// Words.
    Words,
}

impl Role {
    /// The class name of the role.
    pub const fn class(self) -> &'static str {
        match self {
            Role::Part => "part",
            Role::NextPart => "next-part",
            Role::Kerf => "kerf",
            Role::Face => "face",
            Role::Remnant => "remnant",
            Role::Spindle => "spindle",
            Role::Jaws => "jaws",
            Role::Measure => "measure",
            Role::Mark => "mark",
            Role::Now => "now",
            Role::Ceiling => "ceiling",
            Role::Allowed => "allowed",
            Role::Uncertain => "uncertain",
            Role::TooFast => "too-fast",
            Role::Bar => "bar",
            Role::Taken => "taken",
            Role::Edge => "edge",
            Role::Holder => "holder",
            Role::Gripper => "gripper",
            Role::Feed => "feed",
            Role::Rapid => "rapid",
            Role::Axis => "axis",
            Role::Outline => "outline",
            Role::Hatch => "hatch",
            Role::Thread => "thread",
            Role::Later => "later",
            Role::Arrow => "arrow",
            Role::Paper => "paper",
            Role::Good => "good",
            Role::Expected => "expected",
            Role::Reading => "reading",
            Role::Single => "single",
            Role::Odd => "odd",
            Role::Trend => "trend",
            Role::Chance => "chance",
            Role::Code => "code",
            Role::Staffed => "staffed",
            Role::Attended => "attended",
            Role::Slice => "slice",
            Role::Words => "words",
        }
    }
}

impl Role {
    /// Whether only charts of sizes have it.
    pub const fn is_of_sizes(self) -> bool {
        matches!(
            self,
            Role::Good
                | Role::Expected
                | Role::Reading
                | Role::Single
                | Role::Odd
                | Role::Trend
                | Role::Chance
        )
    }
}

/// Where a text is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// At its left end.
    Start,
    /// In its middle.
    Middle,
    /// At its right end.
    End,
}

/// One shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A box.
    Box {
        /// Left, top, width, height.
        at: [f64; 4],
        /// What it stands for.
        role: Role,
        /// What it says when pointed at or read aloud.
        title: String,
    },
    /// An area within closed loops; where they lie in each other, every other one is a hole.
    Area {
        /// Corners of each loop.
        loops: Vec<Vec<[f64; 2]>>,
        /// What it stands for.
        role: Role,
        /// What it says when pointed at or read aloud.
        title: String,
    },
    /// A line through points.
    Way {
        /// The points.
        points: Vec<[f64; 2]>,
        /// What it stands for.
        role: Role,
    },
    /// A straight line.
    Line {
        /// From x, y to x, y.
        at: [f64; 4],
        /// What it stands for.
        role: Role,
    },
    /// Words.
    Text {
        /// x and baseline.
        at: [f64; 2],
        /// Where it is held.
        anchor: Anchor,
        /// The words.
        words: String,
    },
}

impl Shape {
    /// What it stands for.
    pub const fn role(&self) -> Role {
        match self {
            Shape::Box { role, .. }
            | Shape::Area { role, .. }
            | Shape::Way { role, .. }
            | Shape::Line { role, .. } => *role,
            Shape::Text { .. } => Role::Words,
        }
    }
}

/// A drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// What it shows, one sentence.
    pub title: String,
    /// The same in words, for those who do not see it.
    pub description: String,
    /// The shapes, painted in this order.
    pub shapes: Vec<Shape>,
}
