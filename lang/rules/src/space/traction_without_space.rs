//! Traction of a tooth into a space that is too small, or that nothing keeps.

use crate::prelude::*;
use crate::support::traction::Pull;

pub const RULE: Rule = Rule {
    code: "space/traction-without-space",
    severity: Severity::Warning,
    page: include_str!("traction_without_space.md"),
    check,
    ..Rule::PLAIN
};

/// What a caliper reads.
const READ_MM: f64 = 0.25;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        for pull in Pull::in_step(&view) {
            let Some((a, b)) = pull.neighbours() else { continue };
            let (needs, room) = (pull.needs_mm(), pull.room_mm());
            let (tooth, beside) =
                (words.tooth(pull.tooth), format!("{} and {}", words.tooth(a), words.tooth(b)));
            let short = room.filter(|room| room + READ_MM < needs);
            let message = match short {
                Some(room) => format!(
                    "Traction on {tooth} in {} with {} between {beside}; it needs {}.",
                    view.step.name,
                    say_mm(room),
                    say_mm(needs)
                ),
                None if !is_kept(&view, a, b) => format!(
                    "Traction on {tooth} in {}, and nothing keeps the space between {beside}.",
                    view.step.name
                ),
                None => continue,
            };
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(pull.act), message)
                .why("It comes down against its neighbours, and their roots pay for it.")
                .teeth([pull.tooth, a, b]);
            if short.is_none() {
                let hold = plain((10.0 * room.unwrap_or(needs)).round() / 10.0);
                let line = format!(
                    "passive-coil between {} and {}, hold {hold} mm",
                    words.tooth(a),
                    words.tooth(b)
                );
                let fix = context.fix(line.clone()).add_to_step(view.arch, view.step, &[line]);
                finding.fixes.extend(fix.done());
            }
            out.push(finding);
        }
    }
}

/// A coil of any kind stands between them.
fn is_kept(view: &StepView<'_>, a: Tooth, b: Tooth) -> bool {
    view.acts().any(|act| match &act.kind {
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            (*first, *second) == (a, b)
        }
        _ => false,
    })
}
