//! Why no steps are drafted, in a sentence for the doctor.

use std::fmt;

use springline_units::tooth::Arch;

/// Why there is no draft of an arch. Each says what would have to be there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotDrafted {
    /// The text is no case, or is not read as far as a forecast.
    Unreadable,
    /// The practice file is missing, or has errors.
    NoPractice,
    NoArch(Arch),
    /// A line of the arch cannot be read.
    Unread(Arch),
    /// No tooth of the arch carries a bracket.
    NotBonded(Arch),
    /// There is no sequence to depart from.
    NoSequence(Arch),
    /// The sequence has no working wire that the draft could lead up to.
    NoWorkingWire(Arch),
    /// The drawer is too small: these are missing.
    DrawerLacks(&'static str),
    /// Steps that the doctor has written, which are not replaced.
    OwnSteps(Arch, Vec<String>),
    /// A draft stands already.
    AlreadyDrafted(Arch),
    /// The working wire is in, or comes next.
    NothingLeft(Arch),
    /// The day of the draft, which is written with it, is not known.
    NoDay,
    /// Nobody let the search begin.
    Stopped,
    /// No sequence that the trade's order allows could be judged.
    Nothing(Arch),
}

impl fmt::Display for NotDrafted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotDrafted::Unreadable => {
                write!(f, "The case cannot be read as far as a forecast; see `springline check`.")
            }
            NotDrafted::NoPractice => write!(
                f,
                "The practice file is missing or has errors: without drawer and sequences nothing can be drafted."
            ),
            NotDrafted::NoArch(arch) => write!(f, "The case has no {arch} arch."),
            NotDrafted::Unread(arch) => {
                write!(f, "A line of the {arch} arch cannot be read: no step of it can be judged.")
            }
            NotDrafted::NotBonded(arch) => {
                write!(f, "No tooth of the {arch} arch carries a bracket.")
            }
            NotDrafted::NoSequence(arch) => write!(
                f,
                "The {arch} arch follows no sequence of the practice, and the practice file has none to follow."
            ),
            NotDrafted::NoWorkingWire(arch) => write!(
                f,
                "The sequence of the {arch} arch has no working wire for a draft to lead up to."
            ),
            NotDrafted::DrawerLacks(what) => {
                write!(f, "The practice file has {what}: there is nothing to choose between.")
            }
            NotDrafted::OwnSteps(arch, names) => write!(
                f,
                "The {arch} arch has steps of the doctor's own before the working wire ({}): they stay as written, and \
                 nothing is drafted in their place.",
                names.join(", ")
            ),
            NotDrafted::AlreadyDrafted(arch) => write!(
                f,
                "The {arch} arch has a `drafted` line already: take the draft on, or take it out, before another."
            ),
            NotDrafted::NothingLeft(arch) => write!(
                f,
                "The working wire of the {arch} arch is in or comes next: no step before it is left to draft."
            ),
            NotDrafted::NoDay => write!(f, "The day is not known that a draft is dated with."),
            NotDrafted::Stopped => write!(f, "Stopped before any sequence was judged."),
            NotDrafted::Nothing(arch) => write!(
                f,
                "No sequence that the order of the trade allows could be judged for the {arch} arch."
            ),
        }
    }
}
