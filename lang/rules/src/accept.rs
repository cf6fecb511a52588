//! Applies `accept` lines: marks the findings that the doctor has accepted.
//!
//! An acceptance applies to findings of its code, on its teeth, in its arch and step, up to its figure,
//! until its date or step. It never hides a finding; the reason is shown with it. An acceptance that
//! applies to nothing any more is itself a finding.

use jiff::ToSpan;
use jiff::civil::Date;

use super::RuleContext;
use super::plan_fix::{amount, before, word};
use super::register::rule;
use springline_finding::{Acceptance, Figure, Finding, Fix, Severity};
use springline_model::case::{Accept, ArchCase};
use springline_syntax::StatementRef;
use springline_units::quantity::{Quantity, Unit, plain};
use springline_units::tooth::Arch;

/// The code of an accept that answers nothing.
pub const STALE: &str = "record/stale-accept";
/// The code of an accept that reaches far past what it answers.
pub const TOO_WIDE: &str = "record/accept-too-wide";
/// The code of an accept of what nobody may accept.
pub const NEVER: &str = "record/never-accepted";

/// How many times the finding's figure an accept may name, and how many months it may hold (common practice, no
/// source).
const MOST_TIMES: f64 = 1.25;
const MOST_MONTHS: i64 = 6;

/// Applies `case.accepts` to the findings and adds a warning for every acceptance that applies to none.
pub fn accept(context: &RuleContext<'_>, findings: &mut Vec<Finding>) {
    for accept in &context.case.accepts {
        // A record finding of another layer, such as identity, is not known here.
        let Some(rule) = rule(&accept.code) else { continue };
        let page = rule.page();
        if page.is_never_accepted() {
            findings.push(never(context, accept, page.what_to_do));
            continue;
        }
        match answer(context, accept, findings) {
            Ok(Answered { open_ended, largest }) => {
                findings.extend(open_ended.map(|f| without_figure(context, accept, &f)));
                findings.extend(largest.and_then(|f| beyond_figure(context, accept, &f)));
                findings.extend(beyond_months(context, accept));
                findings.extend(without_end(context, accept));
            }
            Err(why) => findings.push(stale(context, accept, why)),
        }
    }
}

/// What an accept answers.
struct Answered {
    /// The figure of a finding that was accepted without one.
    open_ended: Option<String>,
    /// The largest figure that it answers.
    largest: Option<Figure>,
}

/// Why an accept answers nothing.
enum Stale {
    /// Nothing of that code here.
    NoFinding,
    /// The finding has grown past the figure.
    Grown(String),
    DatePassed(Date),
    StepPassed,
    Language,
}

/// Marks accepted findings.
fn answer(
    context: &RuleContext<'_>,
    accept: &Accept,
    findings: &mut [Finding],
) -> Result<Answered, Stale> {
    if let (Some(until), Some(today)) = (accept.until_date, context.today)
        && until < today
    {
        return Err(Stale::DatePassed(until));
    }
    if step_is_passed(context, accept) {
        return Err(Stale::StepPassed);
    }
    let mut grown = None;
    let mut open_ended = None;
    let mut answered = false;
    let mut largest: Option<Figure> = None;
    for finding in findings.iter_mut() {
        if finding.code.as_str() != accept.code || !in_scope(context, accept, finding) {
            continue;
        }
        if finding.code.is_language() {
            return Err(Stale::Language);
        }
        if let (Some(limit), Some(figure)) = (accept.up_to, &finding.figure)
            && exceeds(figure.value, figure.unit, limit)
        {
            grown = Some(format!("{figure}"));
            continue;
        }
        if let (None, Some(figure)) = (accept.up_to, &finding.figure) {
            open_ended.get_or_insert(format!("{figure}"));
        }
        answered = true;
        if let Some(figure) = &finding.figure
            && largest.as_ref().is_none_or(|l| l.unit == figure.unit && l.value < figure.value)
        {
            largest = Some(figure.clone());
        }
        finding.accepted.get_or_insert_with(|| Acceptance {
            reason: accept.reason.clone(),
            by: accept.by.to_string(),
            up_to: accept.up_to.map(|q| q.to_string()),
            until: accept
                .until_date
                .map(|d| d.to_string())
                .or_else(|| accept.until_step.as_ref().map(|s| s.to_string())),
            place: accept.place,
        });
    }
    match (answered, grown) {
        (true, _) => Ok(Answered { open_ended, largest }),
        (false, Some(figure)) => Err(Stale::Grown(figure)),
        (false, None) => Err(Stale::NoFinding),
    }
}

/// The acceptance must name all teeth of the finding, and its block must contain the finding.
fn in_scope(context: &RuleContext<'_>, accept: &Accept, finding: &Finding) -> bool {
    let teeth = accept.teeth.is_empty() || finding.teeth.iter().all(|t| accept.teeth.contains(t));
    let step = accept.step.as_ref().is_none_or(|s| finding.step.as_ref() == Some(s));
    let arch = accept.arch.is_none_or(|a| arch_of(context, finding).is_none_or(|f| f == a));
    teeth && step && arch
}

/// The arch of a finding, from its teeth or from its place.
fn arch_of(context: &RuleContext<'_>, finding: &Finding) -> Option<Arch> {
    if let Some(tooth) = finding.teeth.first() {
        return Some(tooth.arch());
    }
    let inside = |a: &&ArchCase| {
        a.steps.iter().any(|s| s.place == finding.place) || a.place == finding.place
    };
    context.case.arches.iter().find(inside).map(|a| a.arch)
}

/// The figure is beyond what was accepted, in whatever unit either is written.
fn exceeds(value: f64, unit: Unit, limit: Quantity) -> bool {
    let limit = limit.in_unit(unit).unwrap_or(limit.value);
    value > limit + 1e-9
}

fn step_is_passed(context: &RuleContext<'_>, accept: &Accept) -> bool {
    let Some(until) = &accept.until_step else { return false };
    context.case.arches.iter().filter(|a| accept.arch.is_none_or(|x| x == a.arch)).any(|arch| {
        let at = arch.steps.iter().position(|s| s.name == *until);
        matches!((at, context.now_step(arch)), (Some(at), Some(now)) if now >= at)
    })
}

/// What is wrong with an accept itself.
fn of_accept(code: &'static str, accept: &Accept, message: String) -> Finding {
    let finding = Finding::new(code, Severity::Warning, accept.place, message);
    finding.teeth(accept.teeth.iter().copied())
}

/// The accept has no figure, and the finding has one: it would cover whatever that becomes.
fn without_figure(context: &RuleContext<'_>, accept: &Accept, figure: &str) -> Finding {
    let code = &accept.code;
    let message =
        format!("`{code}` is accepted without a figure; it is {figure} now, and may grow unseen.");
    let finding = of_accept(STALE, accept, message)
        .why("An acceptance without a figure would cover whatever the finding becomes.");
    let rest = |line| word(line, "until").or(word(line, "because")).map(before);
    let fix = context.fix(format!("accept it up to {figure}")).set_field(
        accept.place,
        rest,
        &format!("up to {figure} "),
    );
    with_fix(finding, fix.done())
}

fn with_fix(finding: Finding, fix: Option<Fix>) -> Finding {
    match fix {
        Some(fix) => finding.fix(fix),
        None => finding,
    }
}

/// The accept reaches far past the finding: what it becomes would be covered unseen. A figure that is too small
/// is accepted down to anything.
fn beyond_figure(context: &RuleContext<'_>, accept: &Accept, figure: &Figure) -> Option<Finding> {
    let limit = accept.up_to?.in_unit(figure.unit)?;
    if figure.value <= figure.limit || limit <= MOST_TIMES * figure.value + 1e-9 {
        return None;
    }
    let code = &accept.code;
    let written = accept.up_to.map_or(String::new(), |q| q.to_string());
    let message = format!(
        "`{code}` is {figure} now and accepted up to {written}: it could grow to that unseen."
    );
    let finding = of_accept(TOO_WIDE, accept, message)
        .figure(limit, MOST_TIMES * figure.value, figure.unit)
        .why("An acceptance is for what was looked at, with a little room.");
    let typed = |line| accept.up_to.and_then(|q| amount(line, q.value, q.unit));
    let fix = context.fix(format!("accept it up to {figure}"));
    let fix = fix.set_field(accept.place, typed, &figure.to_string());
    Some(with_fix(finding, fix.done()))
}

/// The accept holds for longer than anybody foresees.
fn beyond_months(context: &RuleContext<'_>, accept: &Accept) -> Option<Finding> {
    let (until, last) = (accept.until_date?, last_day(context)?);
    if until <= last {
        return None;
    }
    let code = &accept.code;
    let message =
        format!("`{code}` is accepted until {until}, more than {MOST_MONTHS} months from today.");
    let finding = too_long(accept, message).note("Accept it until a nearer day, or until a step.");
    let typed = |line: StatementRef<'_>| {
        let mut fields = line.group().field_values();
        fields.find(|f| f.date().is_some()).map(|f| f.span())
    };
    let fix = context.fix(format!("accept it until {last}"));
    let fix = fix.set_field(accept.place, typed, &last.to_string());
    Some(with_fix(finding, fix.done()))
}

fn too_long(accept: &Accept, message: String) -> Finding {
    of_accept(TOO_WIDE, accept, message)
        .why("Teeth and plan will have changed by then; somebody has to look again.")
}

/// The last day that an accept of today may name.
fn last_day(context: &RuleContext<'_>) -> Option<Date> {
    context.today?.checked_add(MOST_MONTHS.months()).ok()
}

/// What is given up of a goal, and a goal that is meant, is so for good.
const FOR_GOOD: [&str; 4] = [
    "order/goal-unmet",
    "order/goal-not-reached",
    "order/unusual-goal",
    "order/ends-short-of-goal",
];

/// The accept holds for good: neither a day nor a step ends it, and it stands in no step. A goal that is given up is
/// given up for good.
fn without_end(context: &RuleContext<'_>, accept: &Accept) -> Option<Finding> {
    let ends = accept.until_date.is_some() || accept.until_step.is_some() || accept.step.is_some();
    if ends || FOR_GOOD.contains(&accept.code.as_str()) {
        return None;
    }
    let code = &accept.code;
    let finding = too_long(accept, format!("`{code}` is accepted, and nothing says until when."))
        .note("Accept it until a day or a step, or inside the step that it is about.");
    let fix = last_day(context).and_then(|last| {
        let end = |line| word(line, "because").map(before);
        let fix = context.fix(format!("accept it until {last}"));
        fix.set_field(accept.place, end, &format!("until {last} ")).done()
    });
    Some(with_fix(finding, fix))
}

/// What nobody may accept stays a finding.
fn never(context: &RuleContext<'_>, accept: &Accept, what_to_do: &str) -> Finding {
    let message = format!("`{}` is never accepted: this line has no effect.", accept.code);
    let finding = of_accept(NEVER, accept, message)
        .why("It would harm or cannot be done, whatever the reason.")
        .note(what_to_do);
    with_fix(finding, context.fix("remove this accept").remove(accept.place).done())
}

fn stale(context: &RuleContext<'_>, accept: &Accept, why: Stale) -> Finding {
    let code = &accept.code;
    let message = match &why {
        Stale::NoFinding => {
            format!("`{code}` is accepted here, but the plan no longer gives that finding.")
        }
        Stale::Grown(figure) => format!(
            "`{code}` is accepted up to {}; it is {figure} now, so it is reported again.",
            accept.up_to.map_or("its figure".to_owned(), |q| q.to_string())
        ),
        Stale::DatePassed(date) => {
            format!("`{code}` was accepted until {date}; that day has passed.")
        }
        Stale::StepPassed => format!(
            "`{code}` was accepted until {}; that step has begun.",
            accept.until_step.as_ref().map_or("a step".to_owned(), |s| s.to_string())
        ),
        Stale::Language => {
            format!("`{code}` is about the text; it can be corrected, not accepted.")
        }
    };
    let mut finding = of_accept(STALE, accept, message)
        .why("A stale acceptance could hide a finding that nobody has looked at.");
    if let Some(step) = &accept.step {
        finding = finding.step(step.clone());
    }
    if let (Stale::Grown(_), Some(limit)) = (&why, accept.up_to) {
        finding = finding.note(format!(
            "Written by {} for no more than {} {}.",
            accept.by,
            plain(limit.value),
            limit.unit
        ));
        return finding;
    }
    with_fix(finding, context.fix("remove this accept").remove(accept.place).done())
}
