//! Why no steps are drafted, in a sentence for the doctor.

use std::fmt;

use super::room::NoCoilHere;
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
    /// A line of the arch has an error, so that a step of it may be missing: what the error says.
    UnreadLine(Arch, String),
    /// No tooth of the arch carries a bracket.
    NotBonded(Arch),
    /// There is no sequence to depart from.
    NoSequence(Arch),
    /// The sequence has no working wire that the draft could lead up to.
    NoWorkingWire(Arch),
    /// The drawer is too small: these are missing.
    DrawerLacks(&'static str),
    /// The arch lacks room and no plan says where it comes from: tenths of a millimetre, and the teeth that are short
    /// of it.
    ChoiceOfRoom {
        arch: Arch,
        tenths: u32,
        teeth: Vec<String>,
    },
    /// These teeth lack room, and no coil can be put beside them.
    NoPlaceForCoil {
        arch: Arch,
        teeth: Vec<String>,
        why: NoCoilHere,
    },
    /// The choice that was said cannot be read as a line of the plan.
    ChoiceUnread,
    /// The choice that was said is against this line of the goal.
    AgainstGoal(&'static str),
    /// A figure is outside what can be.
    Implausible(String),
    /// Deciduous teeth carry brackets.
    Deciduous(Arch),
    /// A list of sequences has none.
    NoneListed,
    /// A listed sequence has the name of one of the practice.
    NameTaken(String),
    /// Wires of the arch are recorded already.
    Begun(Arch),
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
    /// Every wire that could go in has no figures there: each with the reason.
    Refused(Arch, Vec<String>),
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
            NotDrafted::UnreadLine(arch, said) => write!(
                f,
                "A line of the {arch} arch cannot be read, and a step may be missing with it: {said}"
            ),
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
            NotDrafted::ChoiceOfRoom { arch, tenths, teeth } => {
                let missing = f64::from(*tenths) / 10.0;
                let at = match teeth.as_slice() {
                    [] => String::new(),
                    teeth => format!(", at {}", teeth.join(", ")),
                };
                write!(
                    f,
                    "{missing} mm missing in the {arch} arch{at}, and nothing says where it comes from: enamel, an \
                     extraction or a coil is the doctor's choice; say which (`coil`, `enamel 0.3 mm each between 13 and \
                     23`, `extraction 14, 24`)."
                )
            }
            NotDrafted::NoPlaceForCoil { arch, teeth, why } => {
                let (teeth, why, first) = (teeth.join(", "), why, why.what_first());
                write!(
                    f,
                    "{teeth}: no room in the {arch} arch, and no coil is drafted, because {why}. That is the doctor's \
                     choice: {first}, or take room from elsewhere and say which (`enamel 0.3 mm each between 13 and 23`, \
                     `extraction 14, 24`)."
                )
            }
            NotDrafted::ChoiceUnread => write!(
                f,
                "What was chosen cannot be written into the plan: `coil`, `enamel 0.3 mm each between 13 and 23` or \
                 `extraction 14, 24` can."
            ),
            NotDrafted::AgainstGoal(line) => {
                write!(f, "The goal says `{line}`: change it first.")
            }
            NotDrafted::Implausible(said) => {
                write!(f, "Nothing is drafted from a figure that cannot be meant: {said}")
            }
            NotDrafted::Deciduous(arch) => write!(
                f,
                "Deciduous teeth of the {arch} arch carry brackets: how they move is not in the model, and nothing is \
                 drafted."
            ),
            NotDrafted::NoneListed => write!(
                f,
                "The list has no sequence: write each as in a practice file, `sequence NAME {{` with its steps."
            ),
            NotDrafted::NameTaken(name) => write!(
                f,
                "The practice has a sequence {name} already: give the listed one another name."
            ),
            NotDrafted::Begun(arch) => write!(
                f,
                "Wires of the {arch} arch are recorded already: whole sequences are compared before the first wire."
            ),
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
            NotDrafted::Refused(arch, wires) => write!(
                f,
                "No sequence of the drawer can be computed for the {arch} arch: {}",
                wires.join("; ")
            ),
            NotDrafted::Nothing(arch) => write!(
                f,
                "No sequence that the order of the trade allows could be judged for the {arch} arch."
            ),
        }
    }
}

impl fmt::Display for NoCoilHere {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            NoCoilHere::NoNeighbour => {
                "one of them has no tooth in the wire on one side for a coil to push against"
            }
            NoCoilHere::TooManyBeside => "more than two of them stand beside each other",
        })
    }
}

impl NoCoilHere {
    /// What the doctor may do first, after which a draft is possible.
    fn what_first(self) -> &'static str {
        match self {
            NoCoilHere::NoNeighbour => "bond the tooth beside it",
            NoCoilHere::TooManyBeside => {
                "widen the arch, or plan by hand which of them comes in first"
            }
        }
    }
}
