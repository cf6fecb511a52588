//! Elastics between teeth that their kind does not join.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_model::case::ElasticsKind;

pub const RULE: Rule = Rule {
    code: "order/elastics-not-as-named",
    severity: Severity::Error,
    page: include_str!("elastics_not_as_named.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for elastics in &context.case.elastics {
        let Some((run, joins)) =
            elastics.runs.iter().find_map(|r| Some((r, unlike(elastics.kind, &r.teeth)?)))
        else {
            continue;
        };
        let finding = Finding::new(
            RULE.code,
            RULE.severity,
            run.place,
            format!(
                "{} elastics join {joins}; this one joins {}.",
                sentence_name(elastics.kind),
                words.teeth(&run.teeth)
            ),
        )
        .why("It would pull another way than the word on the card says.")
        .note("Correct the teeth, or the kind of elastics.")
        .teeth(run.teeth.iter().copied());
        out.push(match &elastics.from {
            Some((from, ..)) => finding.step(from.clone()),
            None => finding,
        });
    }
}

/// What elastics of this kind join, where these teeth are something else. Classes are judged by their own rule.
fn unlike(kind: ElasticsKind, teeth: &[Tooth]) -> Option<&'static str> {
    let twice = (1..teeth.len()).any(|at| teeth[..at].contains(&teeth[at]));
    if twice {
        return Some("teeth that are not the same");
    }
    let both = Arch::BOTH.iter().all(|a| teeth.iter().any(|t| t.arch() == *a));
    let one_side = teeth.windows(2).all(|pair| pair[0].side() == pair[1].side());
    let beside = match teeth {
        [a, b] => a.position().abs_diff(b.position()) <= 1,
        _ => false,
    };
    let (fits, joins) = match kind {
        ElasticsKind::Class2 | ElasticsKind::Class3 => return None,
        ElasticsKind::Cross => {
            (both && one_side && beside, "an upper tooth with the lower one opposite")
        }
        ElasticsKind::Diagonal => {
            (both && !one_side, "an upper tooth of one side with a lower one of the other")
        }
        ElasticsKind::Triangle => (both && teeth.len() == 3, "three teeth of both arches"),
        ElasticsKind::Box => (both && teeth.len() == 4, "four teeth of both arches"),
        ElasticsKind::Settling => (both, "upper with lower teeth"),
    };
    (!fits).then_some(joins)
}
