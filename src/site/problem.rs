//! What is wrong with a site file, where, and what to write instead.

use std::ops::Range;

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The file can be used all the same.
    Warning,
    /// The file cannot be used.
    Error,
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident = $id:literal;)*) => {
        /// What kind of problem, with a stable identifier in words.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum ProblemKind {
            $($(#[$doc])* $name,)*
        }

        impl ProblemKind {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$name),*];
            /// The stable identifier: `unknown-key`.
            pub const fn id(self) -> &'static str {
                match self {
                    $(Self::$name => $id,)*
                }
            }
        }
    };
}

kinds! {
    /// Not a site file at all: empty, binary, some other format.
    NotASiteFile = "not-a-site-file";
    /// A line that TOML does not allow.
    Syntax = "syntax";
    /// The same key or table twice.
    DuplicateKey = "duplicate-key";
    /// A key that does not exist.
    UnknownKey = "unknown-key";
    /// A key that cannot be left out.
    MissingKey = "missing-key";
    /// A value of the wrong sort: a list where a text belongs, `[pump]` where `[[pump]]` belongs.
    WrongType = "wrong-type";
    /// A value that somebody still has to find out.
    ToBeMeasured = "to-be-measured";
    /// A number without its unit.
    BareNumber = "bare-number";
    /// A text that is not the quantity wanted.
    BadQuantity = "bad-quantity";
    /// A word that is not among those allowed.
    UnknownChoice = "unknown-choice";
    /// A value that cannot be meant.
    OutOfRange = "out-of-range";
    /// A value that may be meant, but is odd.
    OddValue = "odd-value";
    /// A version of the file format that this program does not read.
    Format = "format";
    /// A name that nothing in the file has.
    UnknownName = "unknown-name";
    /// Two things of a kind with one name.
    DuplicateName = "duplicate-name";
    /// Drains that run in a circle.
    DrainCycle = "drain-cycle";
    /// A part of the yard that water does not get into or out of.
    Orphan = "orphan";
    /// A pipe kind or size that is not made, or not in the tables.
    UnknownPipe = "unknown-pipe";
    /// A fitting that is not in the tables.
    UnknownFitting = "unknown-fitting";
    /// A surface that is not in the tables.
    UnknownSurface = "unknown-surface";
    /// A soil texture that is not in the tables.
    UnknownSoil = "unknown-soil";
    /// A rod reading without a setup to take it from.
    RodReading = "rod-reading";
    /// Keys that exclude one another.
    Conflict = "conflict";
    /// What the rain table says cannot be.
    BadRain = "bad-rain";
    /// The rain is not known for the short bursts that matter.
    RainTooLong = "rain-too-long";
    /// The return period of the goal is not among those entered.
    UnknownReturnPeriod = "unknown-return-period";
    /// A file named in the site file cannot be used.
    RainFile = "rain-file";
    /// Points that do not make a pump curve.
    BadCurve = "bad-curve";
    /// Float heights that cannot work.
    FloatOrder = "float-order";
    /// Levels that contradict one another.
    LevelOrder = "level-order";
    /// The outlet lies below the water level at which the pump stops.
    OutletBelowOff = "outlet-below-off";
    /// The profile does not fit the runs.
    ProfileMismatch = "profile-mismatch";
    /// The nominal size given as the bore.
    NominalBore = "nominal-bore";
    /// One level far from all others.
    OddLevel = "odd-level";
    /// A fault of this program.
    Internal = "internal";
}

/// One problem of a site file.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// What kind.
    pub kind: ProblemKind,
    /// Whether the file can be used all the same.
    pub severity: Severity,
    /// What is wrong, in a sentence.
    pub message: String,
    /// Where in the text, in bytes; none where it is about the file as a whole.
    pub span: Option<Range<usize>>,
    /// A few words at the place.
    pub label: String,
    /// Other places that have to do with it.
    pub also: Vec<(Range<usize>, String)>,
    /// What to write.
    pub help: Option<String>,
    /// The text that, put in place of `span`, makes it right; none where that is not certain.
    pub replacement: Option<String>,
}

impl Problem {
    /// An error at a place.
    pub fn error(kind: ProblemKind, span: impl Into<Option<Range<usize>>>, message: impl Into<String>) -> Self {
        Self {
            kind,
            severity: Severity::Error,
            message: message.into(),
            span: span.into(),
            label: String::new(),
            also: Vec::new(),
            help: None,
            replacement: None,
        }
    }
    /// A warning at a place.
    pub fn warning(kind: ProblemKind, span: impl Into<Option<Range<usize>>>, message: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, ..Self::error(kind, span, message) }
    }
    /// With words at the place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }
    /// With advice.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
    /// With another place.
    #[must_use]
    pub fn also(mut self, span: impl Into<Option<Range<usize>>>, label: impl Into<String>) -> Self {
        if let Some(span) = span.into() {
            self.also.push((span, label.into()));
        }
        self
    }
    /// With the text that makes it right.
    #[must_use]
    pub fn replacement(mut self, text: impl Into<String>) -> Self {
        self.replacement = Some(text.into());
        self
    }
    /// Whether the file cannot be used because of it.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}
