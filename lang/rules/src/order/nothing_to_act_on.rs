//! An order for a tooth, bracket, hook or wire end that is not there.

use crate::prelude::*;
use crate::support::named::named_teeth;
use springline_course::ToothStatus;
use springline_model::case::ToothState;
use springline_model::step::{Anchor, Wing};

pub const RULE: Rule = Rule {
    code: "order/nothing-to-act-on",
    severity: Severity::Error,
    page: include_str!("nothing_to_act_on.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let Some((tooth, why)) = lacking(context, &view, act) else { continue };
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!("`{}` in {}: {} {why}.", act.text, view.step.name, words.tooth(tooth)),
                )
                .why("The card would ask for what nobody can do.")
                .teeth([tooth]);
            finding.fixes.extend(fixes(context, &view, act, tooth));
            out.push(finding);
        }
    }
}

/// What an order needs of a tooth that it names.
#[derive(Clone, Copy, PartialEq)]
enum Need {
    Tooth,
    Bracket,
    /// A bracket: no hook or button does instead.
    OwnBracket,
    /// A bracket with the wire in it.
    Wire,
}

fn need(kind: &ActKind) -> Option<Need> {
    use ActKind as K;
    Some(match kind {
        K::Bypass { .. }
        | K::PickUp { .. }
        | K::Stop { .. }
        | K::Post { .. }
        | K::Reduce { .. }
        | K::BiteRaisers { .. }
        | K::Separators { .. }
        | K::Sectional { .. } => Need::Tooth,
        K::Engage { .. }
        | K::Rebond { .. }
        | K::Reposition { .. }
        | K::Piggyback { .. }
        | K::Chain { .. }
        | K::Laceback { .. }
        | K::ClosingCoil { .. } => Need::Bracket,
        K::PowerArm { .. } => Need::OwnBracket,
        K::Bend { .. } | K::Torque { .. } | K::Trim { .. } => Need::Wire,
        // A tie holds teeth without brackets too; a coil without abutment has a rule of its own.
        K::Tie { .. } => Need::Tooth,
        _ => return None,
    })
}

/// The first tooth that an act needs and that is not as it needs it.
fn lacking(context: &RuleContext<'_>, view: &StepView<'_>, act: &Act) -> Option<(Tooth, String)> {
    let need = need(&act.kind)?;
    let named = named_teeth(context, act);
    let anchor = |t: Tooth| match &act.kind {
        ActKind::ClosingCoil { pulls, .. } => {
            pulls.iter().flat_map(|(a, b)| [*a, *b]).find(|a| a.tooth() == t)
        }
        _ => None,
    };
    for tooth in named {
        let fault = match anchor(tooth) {
            Some(Anchor::Post(t)) => no_post(view, t),
            Some(Anchor::Screw(t)) => no_screw(view, t),
            _ => absent(context, view, act, tooth).or_else(|| match need {
                Need::Tooth => None,
                Need::Bracket => without_bracket(view, tooth, true),
                Need::OwnBracket => without_bracket(view, tooth, false),
                Need::Wire => {
                    without_bracket(view, tooth, true).or_else(|| without_wire(view, act, tooth))
                }
            }),
        };
        if let Some(fault) = fault {
            return Some((tooth, fault));
        }
    }
    None
}

/// Why there is no crown.
fn absent(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    act: &Act,
    tooth: Tooth,
) -> Option<String> {
    let arch = context.case.arch(tooth.arch())?;
    let (state, _) = arch.states.get(&tooth)?;
    let prepared = |kind: &ActKind| match kind {
        // Space is made for it, or it is led through: it is expected.
        ActKind::Bypass { teeth, .. }
        | ActKind::Hold { teeth, .. }
        | ActKind::Traction { teeth, .. } => teeth.contains(&tooth),
        _ => false,
    };
    let expected = view.arch.steps[..=view.index].iter().flat_map(|s| s.in_force());
    Some(match state {
        ToothState::Missing => "is missing".to_owned(),
        ToothState::Extracted { .. } => "has been extracted".to_owned(),
        // Until it is out it may be in the wire.
        ToothState::Extract { date, .. } => {
            let begins = view.phase.and_then(|p| p.date_in)?;
            if begins < *date {
                return None;
            }
            format!("is extracted on {date}, before this step")
        }
        ToothState::Unerupted => match &act.kind {
            ActKind::Bypass { .. } => return None,
            ActKind::PickUp { .. } if expected.into_iter().any(|a| prepared(&a.kind)) => {
                return None;
            }
            ActKind::PickUp { .. } => "has not erupted".to_owned(),
            // It has come through and was bonded.
            _ if view.state.status(tooth) != ToothStatus::Absent => return None,
            _ => "has not erupted".to_owned(),
        },
        ToothState::Implant | ToothState::Ankylosed => return None,
    })
}

/// `instead`: a hook or button bonded to the tooth does as well.
fn without_bracket(view: &StepView<'_>, tooth: Tooth, instead: bool) -> Option<String> {
    if tooth.arch() != view.side() || view.state.tooth(tooth)?.bonding.is_some() {
        return None;
    }
    let loosely =
        view.arch.hooks.contains(&tooth) || view.arch.buttons.iter().any(|(t, ..)| *t == tooth);
    (!(instead && loosely)).then(|| "has no bracket".to_owned())
}

fn without_wire(view: &StepView<'_>, act: &Act, tooth: Tooth) -> Option<String> {
    let status = view.state.status(tooth);
    let held = status.is_in_wire() || status == ToothStatus::Piggyback;
    if !held {
        return Some("is not in the wire".to_owned());
    }
    if let ActKind::Trim { .. } = &act.kind {
        let behind = view.next_in_wire(tooth, tooth.side())?;
        return Some(format!(
            "is not the last tooth in the wire: {} is behind it",
            view.words().tooth(behind)
        ));
    }
    None
}

fn no_post(view: &StepView<'_>, tooth: Tooth) -> Option<String> {
    let here = view.acts().any(|a| match &a.kind {
        ActKind::Post { spots } => spots.iter().any(|s| s.tooth == tooth),
        _ => false,
    });
    (!here).then(|| "has no post beside it on this wire".to_owned())
}

fn no_screw(view: &StepView<'_>, tooth: Tooth) -> Option<String> {
    let here = view.arch.screws.iter().any(|(a, b, _)| *a == tooth || *b == tooth);
    (!here).then(|| "has no mini-screw beside it".to_owned())
}

/// The tooth is bonded with it, or the order goes.
fn fixes(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    act: &Act,
    tooth: Tooth,
) -> Vec<springline_finding::Fix> {
    if act.place.file != view.arch.place.file {
        return Vec::new();
    }
    let words = context.words();
    let alone = act.kind.teeth() == [tooth];
    let bonds = match &act.kind {
        ActKind::Engage { wing: Wing::Both, .. } if alone => {
            context.case.house.first_bracket(false).and_then(|bracket| {
                let line = format!("pick-up {} with {}", words.tooth(tooth), bracket.name);
                context.fix(line.clone()).replace_statement(act.place, &[line]).done()
            })
        }
        _ => None,
    };
    let without = context.fix(format!("without `{}`", act.text)).remove(act.place).done();
    bonds.into_iter().chain(without.filter(|_| alone)).collect()
}
