//! Contexts: the kinds of block in which a statement may occur.

/// The block a statement is in. `File` holds only the opening lines; everything after `practice` or
/// `case` is in that context without braces of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Context {
    File,
    House,
    Fit,
    Learned,
    Sequence,
    Case,
    InPlace,
    Bite,
    Goal,
    Elastics,
    Retain,
    Arch,
    Measured,
    Step,
    Seen,
    SeenArch,
}

impl Context {
    /// The block's name in a sentence: "in `upper { }`".
    pub fn describe(self) -> &'static str {
        match self {
            Context::File => "the top of the file",
            Context::House => "a practice file",
            Context::Fit => "a bracket or tube",
            Context::Learned => "`learned`",
            Context::Sequence => "a sequence",
            Context::Case => "a case",
            Context::InPlace => "`in-place`",
            Context::Bite => "`bite`",
            Context::Goal => "`goal`",
            Context::Elastics => "`elastics`",
            Context::Retain => "`retain`",
            Context::Arch => "an arch",
            Context::Measured => "`measured`",
            Context::Step => "a step",
            Context::Seen => "a visit",
            Context::SeenArch => "an arch of a visit",
        }
    }

    /// Where a statement of this context belongs: "belongs in `upper { }` or `lower { }`".
    pub fn homes(self) -> &'static [&'static str] {
        match self {
            Context::File => &["the first lines of a file"],
            Context::House => &["the practice file"],
            Context::Fit => &["`bracket { }`", "`tube { }`"],
            Context::Learned => &["`learned { }`"],
            Context::Sequence => &["`sequence { }`"],
            Context::Case => &["the case itself, outside all braces"],
            Context::InPlace => &["`in-place { }`"],
            Context::Bite => &["`bite { }`"],
            Context::Goal => &["`goal { }`"],
            Context::Elastics => &["`elastics { }`"],
            Context::Retain => &["`retain { }`"],
            Context::Arch => &["`upper { }`", "`lower { }`"],
            // A tool writes there; what it holds is written elsewhere by hand.
            Context::Measured => &[],
            Context::Step => &["the braces of a `step` or `change`"],
            Context::Seen => &["`seen { }`"],
            Context::SeenArch => &["the braces of an arch in `seen { }`"],
        }
    }
}
