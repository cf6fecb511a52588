//! Traction of a tooth that cannot come, from what cannot hold it, or with a force that does harm.

use crate::prelude::*;
use crate::support::traction::Pull;
use springline_course::traction_rates::{TRACTION_RANGE_G, USUAL_TRACTION_G};
use springline_model::case::ToothState;
use springline_model::traction::TractionTo;

pub const RULE: Rule = Rule {
    code: "order/traction-cannot-act",
    severity: Severity::Error,
    page: include_str!("traction_cannot_act.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        for pull in Pull::in_step(&view) {
            let fault = tooth_fault(&pull).or_else(|| anchor_fault(&pull));
            let (severity, what, why) = match (fault, force_fault(&pull)) {
                (Some((what, why)), _) => (RULE.severity, what, why),
                (None, Some((what, why))) => (Severity::Warning, what, why),
                (None, None) => continue,
            };
            let tooth = words.tooth(pull.tooth);
            let message = format!("Traction on {tooth} in {}: {what}.", view.step.name);
            let mut finding = view
                .finding(RULE.code, severity, view.act_place(pull.act), message)
                .why(why)
                .teeth([pull.tooth]);
            finding.fixes.extend(fixes(context, &pull));
            out.push(finding);
        }
    }
}

type PullFault = (String, &'static str);

fn tooth_fault(pull: &Pull<'_>) -> Option<PullFault> {
    let (tooth, arch) = (pull.tooth, pull.view.arch);
    let state = arch.states.get(&tooth).map(|(state, _)| *state);
    let gone =
        |what: &str| Some((format!("the tooth {what}"), "There is nothing that could come."));
    match state {
        Some(ToothState::Missing) => gone("is missing"),
        Some(ToothState::Extracted { .. } | ToothState::Extract { .. }) => gone("is extracted"),
        Some(ToothState::Implant) => gone("is an implant"),
        Some(ToothState::Ankylosed) => Some((
            "the tooth is fused to the bone".to_owned(),
            "A fused tooth stays, and its neighbours are pulled down to it instead.",
        )),
        Some(ToothState::Unerupted) if !arch.exposures.contains_key(&tooth) => Some((
            "nobody lays the tooth open".to_owned(),
            "Traction takes hold of what the surgeon bonds on the crown.",
        )),
        Some(ToothState::Unerupted) => None,
        None if pull.view.is_in_wire(tooth) => Some((
            "the tooth is in the wire already".to_owned(),
            "Wire and traction would pull it two ways.",
        )),
        None => None,
    }
}

fn anchor_fault(pull: &Pull<'_>) -> Option<PullFault> {
    let view = pull.view;
    let words = view.words();
    match pull.to {
        TractionTo::Wire if pull.is_on_soft_wire() => Some((
            format!("{} bends towards the tooth", view.wire().label()),
            "On an aligning wire the neighbours go to the tooth, not the tooth to its place.",
        )),
        TractionTo::Wire => None,
        TractionTo::PalatalArch if view.arch.bars.is_empty() => Some((
            "there is no palatal arch".to_owned(),
            "What it is hooked to is not in the mouth.",
        )),
        TractionTo::PalatalArch => None,
        TractionTo::Screw(by) => {
            let there = view.arch.screws.iter().any(|(a, b, _)| *a == by || *b == by);
            (!there).then(|| {
                let tooth = words.tooth(by);
                (
                    format!("{tooth} has no mini-screw beside it"),
                    "What it is hooked to is not in the mouth.",
                )
            })
        }
        TractionTo::Tooth(by) => {
            let held = by.arch() != view.side() || view.is_in_wire(by);
            (!held).then(|| {
                let tooth = words.tooth(by);
                (
                    format!("{tooth} is not in the wire"),
                    "A tooth alone gives way before the buried one comes.",
                )
            })
        }
    }
}

fn force_fault(pull: &Pull<'_>) -> Option<PullFault> {
    let grams = pull.grams?;
    let (least, most) = TRACTION_RANGE_G;
    let said = plain(grams.round());
    if grams > most + 1e-9 {
        let what = format!("{said} g is more than {} g", plain(most));
        return Some((
            what,
            "More force moves the anchor teeth and their roots, not the buried tooth faster.",
        ));
    }
    (grams < least - 1e-9).then(|| {
        (
            format!("{said} g is less than {} g", plain(least)),
            "Thread and gum take that much up by themselves.",
        )
    })
}

/// The usual force in place of one that is not; without the pull where it can do nothing.
fn fixes(context: &RuleContext<'_>, pull: &Pull<'_>) -> Vec<springline_finding::Fix> {
    if pull.act.place.file != pull.view.arch.place.file {
        return Vec::new();
    }
    let mut out = Vec::new();
    if force_fault(pull).is_some() && tooth_fault(pull).or_else(|| anchor_fault(pull)).is_none() {
        let line = pull.line_with_force(USUAL_TRACTION_G);
        let title = format!("pull with {} g", plain(USUAL_TRACTION_G));
        out.extend(context.fix(title).replace_statement(pull.act.place, &[line]).done());
    }
    out
}
