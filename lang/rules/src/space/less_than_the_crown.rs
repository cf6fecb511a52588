//! A space waited for that does not hold the crown of its tooth.

use crate::prelude::*;
use springline_model::step::{Condition, Term};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "space/less-than-the-crown",
    severity: Severity::Warning,
    page: include_str!("less_than_the_crown.md"),
    check,
    ..Rule::PLAIN
};

/// A tooth may come in with this much less than its width: its neighbours give so much way (common practice, no
/// source), mm.
const GIVES_MM: f64 = 1.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let own = (&view.step.until.value, view.clause_place(view.step.until.place), Vec::new());
        let bypassed = view.step.acts.iter().filter_map(|act| match &act.kind {
            ActKind::Bypass { teeth, until: Some(until), .. } => {
                Some((until, view.act_place(act), teeth.clone()))
            }
            _ => None,
        });
        let waits = std::iter::once(own).chain(bypassed);
        let Some((tooth, mm, width, place)) = waits
            .into_iter()
            .find_map(|(until, place, about)| too_little(&view, until, place, &about))
        else {
            continue;
        };
        let message = format!(
            "{} waits for a space of {} at {}, and its crown is {} wide.",
            view.step.name,
            say_mm(mm),
            words.tooth(tooth),
            say_mm(width)
        );
        let finding = view
            .finding(RULE.code, RULE.severity, place, message)
            .why("It is taken in before it has room, and pushes its neighbours out of line.")
            .figure(tenth(mm), tenth(width), Unit::Mm)
            .note(format!("The crown and half a millimetre: {}.", say_mm(width + 0.5)))
            .teeth([tooth]);
        list.push(Candidate::new(view.side(), width / mm.max(0.1), finding));
    }
    merge_per_arch(words, list, out);
}

/// The tooth, the space waited for, the width of its crown, and where that is written.
fn too_little(
    view: &StepView<'_>,
    until: &Condition,
    place: Place,
    about: &[Tooth],
) -> Option<(Tooth, f64, f64, Place)> {
    until.terms.iter().find_map(|term| {
        let Term::Space { length, teeth } = term else { return None };
        let named = if teeth.is_empty() { about } else { teeth };
        let tight = named.iter().find_map(|tooth| {
            // Of an absent tooth the space is closed, not made.
            let absent = view.arch.states.get(tooth).is_some_and(|(s, _)| s.is_absent());
            let width = width_mm(view.arch, *tooth);
            (!absent && mm(*length) < width - GIVES_MM - 1e-9).then_some((*tooth, width))
        })?;
        Some((tight.0, mm(*length), tight.1, place))
    })
}
