//! Staff card: one act of a step as an instruction.

use crate::plan::InMouth;
use crate::{masked, wording};
use springline_course::chain_pull;
use springline_model::case::ArchCase;
use springline_model::step::{ActKind, Activation, Anchor, Spot, Wing};
use springline_model::traction::TractionBy;
use springline_units::quantity::{Force, degrees, from_newtons, grams, mm, plain};
use springline_units::tooth::{Notation, Tooth};

/// The chair at one arch: what its sentences are about.
#[derive(Clone, Copy)]
pub struct Chair<'a> {
    pub arch: &'a ArchCase,
    pub next: InMouth<'a>,
    pub notation: Notation,
}

impl Chair<'_> {
    /// `None` for an act without work at the chair.
    pub fn action(self, kind: &ActKind) -> Option<String> {
        let n = self.notation;
        Some(match kind {
            ActKind::Bypass { teeth, unbonded: true, .. } => {
                format!("Leave {} without a bracket; the wire passes it.", wording::list(teeth, n))
            }
            ActKind::Bypass { teeth, .. } => {
                format!("Keep {} out of the wire.", wording::list(teeth, n))
            }
            ActKind::Engage { teeth, wing } => match wing {
                Wing::Both => format!("Take {} into the wire.", wording::list(teeth, n)),
                Wing::Mesial => half(teeth, "mesial", n),
                Wing::Distal => half(teeth, "distal", n),
            },
            ActKind::PickUp { teeth, bracket, inverted, .. } => {
                let over = if *inverted { INVERTED } else { "" };
                format!("Bond {} on {}{over}.", bracket.name, wording::list(teeth, n))
            }
            ActKind::Rebond { teeth, .. } => {
                format!("Rebond {}, same place as before.", wording::list(teeth, n))
            }
            ActKind::Reposition { teeth, to } => {
                let way = teeth.first().map(|t| wording::stand(to, *t)).filter(|w| !w.is_empty());
                let way = way.unwrap_or_else(|| "the doctor marks the place".to_owned());
                format!("Move the bracket on {}: {way}.", wording::list(teeth, n))
            }
            ActKind::Piggyback { wire, within, over } => {
                let over = if over.is_empty() {
                    String::new()
                } else {
                    format!("; tie it over {}", wording::and(&each(over, n)))
                };
                format!(
                    "Light wire {} into the slot of {}{over}. The base wire stays straight.",
                    wire.name,
                    wording::list(within, n)
                )
            }
            ActKind::Traction { teeth, by, to, force, first, .. } => {
                let pull = wording::traction_g(*force);
                let first = first.map(|way| {
                    let ways: Vec<&str> =
                        teeth.iter().map(|t| wording::first_way(way, *t)).collect();
                    let way = ways.first().copied().unwrap_or_default();
                    let then = teeth.first().map_or("down", |t| wording::onto_the_arch(*t));
                    format!(" Pull it {way} first, away from the root beside it; then {then}.")
                });
                let tied = match by {
                    // A chain that does not stretch gives no force on a stiff wire.
                    TractionBy::GoldChain => {
                        "elastic thread from the surgeon\u{2019}s gold chain".to_owned()
                    }
                    other => other.words().to_owned(),
                };
                format!(
                    "Traction on {}: {tied} to {}, {pull} on the gauge.{}",
                    wording::list(teeth, n),
                    wording::traction_to(*to, n),
                    first.unwrap_or_default()
                )
            }
            ActKind::OpenCoil { first, second, activation, .. } => {
                open_coil(*first, *second, *activation, n)
            }
            ActKind::ClosedCoil { first, second, hold, .. } => {
                let hold =
                    hold.map(|l| format!(", holding {} mm", plain(mm(l)))).unwrap_or_default();
                format!("Thread the passive coil {}{hold}.", wording::pair(*first, *second, n))
            }
            ActKind::ClosingCoil { pulls, coil, force } => {
                let force = force.or_else(|| coil.as_ref().and_then(|c| c.force));
                let pull = force.map(|f| {
                    let each = if pulls.len() > 1 { " for each" } else { "" };
                    format!("; about {} on the gauge{each}", whole_grams(f))
                });
                format!(
                    "Hang the closing springs: {}{}.",
                    self.pulled(pulls),
                    pull.unwrap_or_default()
                )
            }
            ActKind::Chain { teeth, chain, force } => {
                let pull = chain_pull(chain.as_deref(), *force);
                let said = force.or_else(|| chain.as_ref().and_then(|c| c.force));
                let weeks = plain((pull.hours / 168.0).round());
                let renew = match said {
                    Some(fresh) => format!(
                        ", {}. Some {} are left after {weeks} wk: a new one by then.",
                        whole_grams(fresh),
                        whole_grams(from_newtons(pull.last_n))
                    ),
                    None => format!(". A new one within {weeks} wk."),
                };
                format!(
                    "Chain over the wire on {}: {} links, one to a tooth{renew}",
                    wording::list(teeth, n),
                    teeth.len()
                )
            }
            ActKind::Tie { teeth, figure_eight } => {
                let how = if *figure_eight { " in a figure-eight" } else { "" };
                format!("Tie {} together{how}, under the wire.", wording::list(teeth, n))
            }
            ActKind::Laceback { pairs } => {
                let all: Vec<String> = pairs
                    .iter()
                    .map(|(a, b)| format!("{} to {}", a.write(n), b.write(n)))
                    .collect();
                format!("Laceback {}, under the wire.", wording::and(&all))
            }
            ActKind::Sleeve { spans } => {
                let all: Vec<String> =
                    spans.iter().map(|(a, b)| wording::pair(*a, *b, n)).collect();
                format!("Sleeve on the wire {}.", wording::and(&all))
            }
            ActKind::BiteRaisers { teeth, until } => {
                let until = until.as_ref().map(|c| super::condition::condition_text(c, n));
                let until = until.map(|u| format!(" They stay until {u}.")).unwrap_or_default();
                format!(
                    "Bite raisers on {}, just high enough that no bracket is bitten on.{until}",
                    wording::list(teeth, n)
                )
            }
            ActKind::Reduce { amount, contacts } => {
                let all: Vec<String> = contacts
                    .iter()
                    .map(|(a, b)| format!("{}/{}", a.write(n), b.write(n)))
                    .collect();
                format!(
                    "Interproximal reduction (IPR) {} mm at {}. Measure with the gauge.",
                    plain(mm(*amount)),
                    wording::and(&all)
                )
            }
            ActKind::Stop { spots } => {
                let word = stops(spots);
                format!("{word} on the wire {}: put on, not crimped yet.", wording::spots(spots, n))
            }
            ActKind::Post { spots } => {
                let word = if spots.len() == 1 { "post" } else { "posts" };
                format!("Crimp the {word} on the wire {}.", wording::spots(spots, n))
            }
            ActKind::PowerArm { teeth, height } => {
                let word = if teeth.len() == 1 { "Power arm" } else { "Power arms" };
                format!(
                    "{word} on {}, {} mm towards the gum: bent clear of gum and cheek.",
                    wording::list(teeth, n),
                    plain(mm(*height))
                )
            }
            ActKind::ReverseCurve { depth } => format!(
                "Bend a reverse curve into the wire, {} mm deep at the premolars over 30 mm of wire; it brings the \
                 premolars towards the bite.",
                plain(mm(*depth))
            ),
            ActKind::Bend { teeth, by } => {
                let way = teeth.first().map(|t| wording::stand(by, *t)).unwrap_or_default();
                format!("Bend at {}: {way}.", wording::list(teeth, n))
            }
            ActKind::Torque { teeth, angle, turn } => {
                let way = teeth.first().map(|t| wording::crown(*turn, *t)).unwrap_or_default();
                format!(
                    "Torque at {}: {} deg, {way}.",
                    wording::list(teeth, n),
                    plain(degrees(*angle))
                )
            }
            ActKind::Coordinated => "Shape the wire to the other arch.".to_owned(),
            ActKind::Trim { teeth } => {
                format!("Cut the wire so that 1 mm stands out behind {}.", wording::list(teeth, n))
            }
            ActKind::Sectional { teeth } => {
                format!("The wire runs over {} only.", wording::list(teeth, n))
            }
            ActKind::Separators { teeth, .. } => {
                format!("Separators at {}.", wording::list(teeth, n))
            }
            ActKind::Hold { teeth, length } => {
                format!("Keep {} mm for {}.", plain(mm(*length)), wording::list(teeth, n))
            }
            ActKind::Records { what, .. } => format!("Take records: {what}."),
            ActKind::Note { text } => masked(text),
            ActKind::HaltIf { .. } => return None,
        })
    }

    /// Once the wire is in: stops are crimped where they lie against their brackets.
    pub fn crimp(self, spots: &[Spot]) -> String {
        let word = stops(spots).to_lowercase();
        if let [a, b] = spots
            && a.tooth.position() == 1
            && b.tooth == a.tooth.mirror()
        {
            return format!("Crimp the {word} in the midline gap, one against each bracket.");
        }
        let against: Vec<String> = spots
            .iter()
            .map(|s| {
                format!("the {} of {}", self.attachment(s.tooth), s.tooth.write(self.notation))
            })
            .collect();
        format!("Crimp the {word} against {}.", wording::and(&against))
    }

    fn attachment(self, tooth: Tooth) -> &'static str {
        let bonding = self.next.state.tooth(tooth).and_then(|t| t.bonding.as_ref());
        if bonding.is_some_and(|b| b.bracket.is_tube) { "tube" } else { "bracket" }
    }

    /// "the hook of 16 to the post at 12 and the hook of 26 to the post at 22".
    pub fn pulled(self, pulls: &[(Anchor, Anchor)]) -> String {
        let all: Vec<String> = pulls
            .iter()
            .map(|(a, b)| format!("{} to {}", self.anchor(*a), self.anchor(*b)))
            .collect();
        wording::and(&all)
    }

    /// "the tip of the arm on 13", "the hook of 16", where it has one.
    fn anchor(self, anchor: Anchor) -> String {
        let tooth = anchor.tooth();
        let bonding = self.next.state.tooth(tooth).and_then(|t| t.bonding.as_ref());
        let hook = self.arch.hooks.contains(&tooth)
            || bonding.is_some_and(|b| b.bracket.hooks.contains(&tooth));
        match anchor {
            Anchor::Tooth(_) if self.next.state.power_arm_mm(tooth) > 0.0 => {
                format!("the tip of the arm on {}", tooth.write(self.notation))
            }
            Anchor::Tooth(_) if hook => format!("the hook of {}", tooth.write(self.notation)),
            other => wording::anchor(other, self.notation),
        }
    }

    /// "about 24 mm", the light wire with 3 mm beyond its outer teeth.
    pub fn piggyback_length(self, within: &[Tooth], over: &[Tooth]) -> Option<String> {
        let all = || within.iter().chain(over).copied();
        let (first, last) = (all().min()?, all().max()?);
        let span = self.next.phase.layout.distance_mm(first, last)?;
        Some(format!("about {} mm", plain((span + 6.0).round())))
    }
}

/// After a bracket's name.
pub const INVERTED: &str = ", inverted (rotated 180 deg)";

fn half(teeth: &[Tooth], wing: &str, n: Notation) -> String {
    format!("{}: {wing} wing only, slide open, tie with a steel ligature.", wording::list(teeth, n))
}

fn open_coil(first: Tooth, second: Tooth, activation: Activation, n: Notation) -> String {
    let between = wording::pair(first, second, n);
    match activation {
        Activation::Passive => format!("Open coil stays {between}; do not press it."),
        Activation::Pressed { by, each_visit } => format!(
            "Thread the open coil on the wire {between}; it is pressed by {} mm{}.",
            plain(mm(by)),
            if each_visit { ", and again at each visit" } else { "" }
        ),
        _ => format!("Thread the open coil on the wire {between}."),
    }
}

fn stops(spots: &[Spot]) -> &'static str {
    if spots.len() == 1 { "Stop" } else { "Stops" }
}

/// Whole grams: what a gauge shows.
fn whole_grams(force: Force) -> String {
    format!("{} g", plain(grams(force).round()))
}

fn each(teeth: &[Tooth], n: Notation) -> Vec<String> {
    teeth.iter().map(|t| t.write(n)).collect()
}
