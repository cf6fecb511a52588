//! What was written down at visits, and answers to findings.

use fastrand::Rng;
use jiff::ToSpan;
use springline_lang::model::case::Done;
use springline_lang::rules::register::RULES;
use springline_lang::text::Span;

use super::one;
use crate::faults::edit::put;
use crate::faults::sound_case::SoundCase;
use crate::faults::{Mutant, Operator};

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "visits out of order",
        families: &["record"],
        criterion: "the dates of two visits are exchanged",
        place: "the lines of both visits",
        make: exchanged,
        known: "",
    },
    Operator {
        name: "visit in the future",
        families: &["record"],
        criterion: "the last visit is dated after today",
        place: "the changed line",
        make: future,
        known: "",
    },
    Operator {
        name: "year of a visit mistyped",
        families: &["record", "time"],
        criterion: "a visit is dated a year or ten before it was, so before the start or before an earlier visit",
        place: "the lines of the visits, which no longer follow one another",
        make: wrong_year,
        known: "",
    },
    Operator {
        name: "another wire recorded than planned",
        families: &["record", "order", "force"],
        criterion: "the last record puts in a wire that the plan does not have in that step",
        place: "the changed line, the lines of the visit, the steps from that one on",
        make: other_wire,
        known: "",
    },
    Operator {
        name: "step recorded that the plan has not",
        families: &["record", "name"],
        criterion: "the last record names a step that the arch does not have",
        place: "the changed line",
        make: other_step,
        known: "",
    },
    Operator {
        name: "bracket off and not put back",
        families: &["record"],
        criterion: "the last visit found a bracket off; nothing in it or in the plan puts it back",
        place: "the changed line and the lines of the visit",
        make: loose,
        known: "",
    },
    Operator {
        name: "tooth recorded that is out of the wire",
        families: &["record", "name"],
        criterion: "the last record has the wire binding at a tooth that is not in it",
        place: "the changed line",
        make: binds_outside,
        known: "",
    },
    Operator {
        name: "accept left behind",
        families: &["record"],
        criterion: "an accept stands for a finding that the plan does not give",
        place: "the accept's line",
        make: accept_left,
        known: "",
    },
    Operator {
        name: "accept past its day",
        families: &["record", "order"],
        criterion: "an accept was good until a day that has passed",
        place: "the accept's line, and the lines of what it answered",
        make: accept_past,
        known: "",
    },
    Operator {
        name: "accept of a slip of the pen",
        families: &["name"],
        criterion: "a finding about the text is accepted instead of mended",
        place: "the accept's line",
        make: accept_language,
        known: "",
    },
    Operator {
        name: "accept without a reason",
        families: &["name", "syntax"],
        criterion: "an accept says no reason, or nobody stands for it",
        place: "the accept's line",
        make: accept_bare,
        known: "",
    },
    Operator {
        name: "a person named",
        families: &["name"],
        criterion: "a note holds what looks like a person's name, telephone number or e-mail address",
        place: "the changed line",
        make: person,
        known: "",
    },
];

fn dates(g: &SoundCase) -> Vec<(Span, jiff::civil::Date)> {
    let visits = g.case().map_or(&[][..], |c| &c.visits);
    visits
        .iter()
        .filter_map(|v| {
            let at = g.text().get(v.place.span.range())?.find(&v.on.to_string())?;
            let start = v.place.span.start as usize + at;
            Some((Span::new(start, start + 10), v.on))
        })
        .collect()
}

fn exchanged(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let dates = dates(g);
    let mut out = Vec::new();
    for (i, (a, on)) in dates.iter().enumerate() {
        for (b, other) in &dates[i + 1..] {
            let edits = vec![put(*a, &other.to_string()), put(*b, &on.to_string())];
            out.extend(g.mutant(format!("{on} and {other} exchanged"), Some(edits), &g.visits()));
        }
    }
    out
}

fn future(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some((span, on)) = dates(g).last().copied() else { return out };
    for days in [30, 60, rng.i64(100..=300), 366] {
        if let Ok(day) = on.checked_add(days.days())
            && day > g.base.today
        {
            out.extend(g.replace(span, &day.to_string(), &[]));
        }
    }
    out
}

fn wrong_year(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for (span, on) in dates(g) {
        for years in [1, 10] {
            if let Ok(day) = on.checked_sub(jiff::Span::new().years(years)) {
                out.extend(g.replace(span, &day.to_string(), &g.visits()));
            }
        }
    }
    out
}

fn other_wire(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let Some(visit) = case.visits.last() else { return out };
    for seen in &visit.arches {
        let Some(Done::Now { step, wire, .. }) = &seen.done else { continue };
        let names: Vec<&str> = case
            .house
            .wires
            .keys()
            .map(|n| n.as_ref())
            .filter(|n| *n != wire.name.as_ref())
            .collect();
        let mut also = g.visits();
        for at in g.open.iter().filter(|at| at.arch == seen.arch) {
            also.extend(g.lines_of(*at));
        }
        for _ in 0..3 {
            let by = one(rng, &names);
            let edits = g.texts.replace_in(
                seen.place,
                &format!("with {}", wire.name),
                &format!("with {by}"),
            );
            out.extend(g.mutant(format!("{step} with {by}, not {}", wire.name), edits, &also));
        }
    }
    out
}

fn other_step(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for seen in case.visits.last().into_iter().flat_map(|v| &v.arches) {
        let Some(Done::Now { step, .. }) = &seen.done else { continue };
        for _ in 0..2 {
            let by = one(rng, &["settle-in", "space-close", "level-9", "detailing"]);
            let edits =
                g.texts.replace_in(seen.place, &format!("now {step}"), &format!("now {by}"));
            out.extend(g.mutant(format!("now {by}, not {step}"), edits, &[]));
        }
    }
    out
}

fn loose(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let Some(visit) = case.visits.last() else { return out };
    let also: Vec<Span> = g.whole(visit.place).into_iter().collect();
    for arch in &case.arches {
        let mended: Vec<_> = arch
            .steps
            .iter()
            .flat_map(|s| &s.acts)
            .chain(visit.arches.iter().flat_map(|a| &a.acts))
            .flat_map(|a| a.kind.teeth())
            .collect();
        for tooth in arch.bonded.keys().filter(|t| t.position() <= 5 && !mended.contains(t)) {
            let line = format!("loose {}", tooth.code());
            let edits = g.texts.add_inside(visit.place, std::slice::from_ref(&line));
            out.extend(g.mutant(line, edits, &also));
        }
    }
    out
}

fn binds_outside(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let Some(visit) = case.visits.last() else { return out };
    for seen in &visit.arches {
        let Some(arch) = case.arch(seen.arch) else { continue };
        let text = g.checked.parse.text(seen.place.span);
        let Some((head, tail)) = text.split_once(' ') else { continue };
        // A tooth that is in this jaw and not in the appliance: a wisdom tooth.
        let eight = springline_lang::units::tooth::Tooth::at(seen.arch, 0).map_or(18, |t| t.code());
        if arch.bonded.keys().any(|t| t.code() == eight) {
            continue;
        }
        let rest = tail
            .strip_prefix("passive, ")
            .or(tail.strip_prefix("nearly-passive, "))
            .or((tail == "kept").then_some("kept"));
        if let Some(rest) = rest {
            out.extend(g.replace(
                seen.place.span,
                &format!("{head} binds at {eight}, {rest}"),
                &[],
            ));
        }
    }
    out
}

fn accept_line(rule: &str) -> String {
    format!("accept {rule} because \"looked at\" by KL")
}

fn accept_left(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for arch in &case.arches {
        for _ in 0..3 {
            let rule = RULES[rng.usize(..RULES.len())];
            let given = g.checked.findings.iter().any(|f| f.code.as_str() == rule.code);
            if !given && rule.code != "record/stale-accept" {
                out.extend(g.add_to_arch(arch, &accept_line(rule.code), &[]));
            }
        }
    }
    out
}

fn accept_past(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let passed = |rng: &mut Rng| g.base.today.checked_sub(rng.i64(1..=200).days()).ok();
    for accept in &case.accepts {
        let Some(until) = accept.until_date else { continue };
        for _ in 0..3 {
            let Some(day) = passed(rng) else { continue };
            let edits = g.texts.replace_in(accept.place, &until.to_string(), &day.to_string());
            let mut also = g.elastics();
            also.extend(g.open.iter().flat_map(|at| g.lines_of(*at)));
            out.extend(g.mutant(format!("until {day}"), edits, &also));
        }
    }
    // A standing warning answered, and the answer is past.
    for finding in
        g.checked.findings.iter().filter(|f| f.accepted.is_none() && !f.code.is_language())
    {
        let Some(day) = passed(rng) else { continue };
        let Some(arch) = case.arches.first() else { continue };
        let line = format!("accept {} until {day} because \"looked at\" by KL", finding.code);
        out.extend(g.mutant(line.clone(), g.texts.before(arch.place, &line), &[]));
    }
    out
}

fn accept_language(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    use springline_lang::finding::language::LANGUAGE_FINDINGS;
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for arch in &case.arches {
        let code = LANGUAGE_FINDINGS[rng.usize(..LANGUAGE_FINDINGS.len())].code;
        if !code.starts_with("record/") {
            out.extend(g.add_to_arch(arch, &accept_line(code), &[]));
        }
    }
    out
}

fn accept_bare(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for arch in &case.arches {
        let rule = RULES[rng.usize(..RULES.len())].code;
        for line in [
            format!("accept {rule}"),
            format!("accept {rule} because \"\" by KL"),
            format!("accept {rule} because \"looked at\""),
        ] {
            out.extend(g.add_to_arch(arch, &line, &[]));
        }
    }
    out
}

fn person(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for arch in &case.arches {
        let note = one(
            rng,
            &[
                "note \"Mrs Alderton asked for clear brackets\"",
                "note \"call 01632 960123 about the retainer\"",
                "note \"write to ada@example.com\"",
                "note \"born 2011-05-03\"",
            ],
        );
        out.extend(g.add_to_arch(arch, note, &[]));
    }
    out
}
