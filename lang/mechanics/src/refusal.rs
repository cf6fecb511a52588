//! Reasons for which a set-up has no solution.

use std::fmt;

/// A reasoned refusal: never a wrong number in silence. `id` is the tooth's [`Slot::id`](super::Slot).
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Refusal {
    /// The wire would have to strain beyond what can be believed at this tooth.
    Strain {
        /// The tooth's [`Slot::id`](super::Slot).
        id: u16,
        /// Strain of the worst fibre.
        strain: f64,
        /// The most that is believed.
        limit: f64,
    },
    /// The slot or the wire there turns too far against the arch line.
    Turn {
        /// The tooth's [`Slot::id`](super::Slot).
        id: u16,
        /// Angle against the arch line, rad.
        turn_rad: f64,
        /// The most that is believed, rad.
        limit_rad: f64,
    },
    /// The wire, free to slide, would run through its slots before it reached this tooth: brought in by
    /// shares it stores less at the end than on the way. The equilibrium that is left is a wide loop
    /// that holds almost nothing.
    SnapThrough {
        /// The tooth's [`Slot::id`](super::Slot).
        id: u16,
        /// Angle against the arch line, rad.
        turn_rad: f64,
    },
    /// No slot, or only one: nothing bends the wire.
    TooFewTeeth {
        /// Slots that hold the wire.
        engaged: usize,
    },
    /// The wire does not go into the slot.
    DoesNotFit {
        /// The tooth's [`Slot::id`](super::Slot).
        id: u16,
        /// The wire's size that is too large, mm.
        wire_mm: f64,
        /// The slot's size, mm.
        slot_mm: f64,
    },
    /// Two slots leave no free wire between them.
    Overlap {
        /// The tooth's [`Slot::id`](super::Slot).
        id: u16,
        /// The tooth beside it.
        next_id: u16,
        /// Free wire between the two, mm; not above zero.
        span_mm: f64,
    },
    /// Newton steps ran out.
    NotConverged {
        /// The tooth's [`Slot::id`](super::Slot).
        id: u16,
        /// Unbalanced force left, N.
        residual_n: f64,
        /// What would have been enough, N.
        limit_n: f64,
        /// Newton steps taken.
        iterations: usize,
    },
    /// The search ended in a state that should not be possible: a fault of this program, not of the plan.
    Unsolved {
        /// The state, in words.
        what: &'static str,
    },
    /// An input is not a finite number or not a possible one.
    Input {
        /// The tooth, if it is about one.
        id: Option<u16>,
        /// The input, in words.
        what: &'static str,
        /// Its value.
        value: f64,
    },
}

impl Refusal {
    /// The tooth it is about, if it is about one.
    pub fn id(&self) -> Option<u16> {
        match *self {
            Refusal::Strain { id, .. }
            | Refusal::Turn { id, .. }
            | Refusal::SnapThrough { id, .. }
            | Refusal::DoesNotFit { id, .. }
            | Refusal::Overlap { id, .. }
            | Refusal::NotConverged { id, .. } => Some(id),
            Refusal::Input { id, .. } => id,
            Refusal::TooFewTeeth { .. } | Refusal::Unsolved { .. } => None,
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Refusal::Strain { id, strain, limit } => write!(
                f,
                "the wire would be strained {:.0} % at {id}; limit {:.0} %: it cannot be engaged there",
                100.0 * strain,
                100.0 * limit
            ),
            Refusal::Turn { id, turn_rad, limit_rad } => write!(
                f,
                "the slot is rotated {:.0} deg to the wire at {id}; limit {:.0} deg: it cannot be engaged",
                turn_rad.to_degrees(),
                limit_rad.to_degrees()
            ),
            Refusal::SnapThrough { id, turn_rad } => write!(
                f,
                "the wire would slip through its slots before it reached {id} (it is {:.0} deg steep there): it \
                 cannot be engaged",
                turn_rad.to_degrees()
            ),
            Refusal::TooFewTeeth { engaged: 0 } => write!(f, "no tooth is in the wire"),
            Refusal::TooFewTeeth { engaged } => {
                write!(
                    f,
                    "{engaged} tooth in the wire: nothing bends it, so there is no force to compute"
                )
            }
            Refusal::DoesNotFit { id, wire_mm, slot_mm } => write!(
                f,
                "the wire ({wire_mm:.3} mm) does not fit the slot ({slot_mm:.3} mm) at {id}"
            ),
            Refusal::Overlap { id, next_id, span_mm } => write!(
                f,
                "the slots at {id} and {next_id} leave {span_mm:.2} mm of free wire between them, too little to compute"
            ),
            Refusal::NotConverged { id, residual_n, limit_n, iterations } => write!(
                f,
                "no equilibrium found in {iterations} steps: {residual_n:.2e} N left unbalanced near {id} (limit {limit_n:.0e} N)"
            ),
            Refusal::Unsolved { what } => {
                write!(
                    f,
                    "no equilibrium was found: {what} (an error in this program; please report it)"
                )
            }
            Refusal::Input { id: Some(id), what, value } => {
                write!(f, "{what} at {id} cannot be {value}")
            }
            Refusal::Input { id: None, what, value } => write!(f, "{what} cannot be {value}"),
        }
    }
}

impl std::error::Error for Refusal {}
