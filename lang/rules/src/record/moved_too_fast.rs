//! Two measurements between which more has happened than teeth and jaws can do.

use jiff::civil::Date;

use crate::prelude::*;
use springline_course::Standing;
use springline_model::case::{Bite, Gap, Relation, Visit, say_overjet};
use springline_model::step::{Midline, MidlineReference};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "record/moved-too-fast",
    severity: Severity::Warning,
    page: include_str!("moved_too_fast.md"),
    check,
    ..Rule::PLAIN
};

/// What two people measure apart and what comes of itself as the front lines up, and what treatment brings in a month
/// at the most (common practice, no source; class II elastics 6.6 mm of overjet in six months, AJODO 1999, abstract), mm.
const AT_ONCE_MM: f64 = 2.0;
const MONTH_MM: f64 = 1.5;
/// The same of a midline, which nothing moves by more than half a millimetre a month (common practice, no source).
const MIDLINE_AT_ONCE_MM: f64 = 1.0;
const MIDLINE_MONTH_MM: f64 = 0.5;
const MONTH_DAYS: f64 = 30.4;

/// One measurement of one thing.
struct Measurement {
    on: Option<Date>,
    mm: f64,
    place: Place,
}

/// A thing that is measured again and again.
struct Series {
    name: String,
    teeth: Vec<Tooth>,
    at_once_mm: f64,
    month_mm: f64,
    /// Only elastics move it.
    needs_elastics: bool,
    say: fn(f64) -> String,
    measured: Vec<Measurement>,
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for series in all(context) {
        let pairs = series.measured.windows(2);
        out.extend(pairs.filter_map(|two| too_fast(context, &series, &two[0], &two[1])));
    }
}

fn too_fast(
    context: &RuleContext<'_>,
    series: &Series,
    was: &Measurement,
    now: &Measurement,
) -> Option<Finding> {
    let (from, to) = (was.on?, now.on?);
    let months = springline_course::calendar::days_between(from, to).max(0.0) / MONTH_DAYS;
    let idle = series.needs_elastics && !worn_between(context, from, to);
    let month_mm = if idle { 0.0 } else { series.month_mm };
    let most = series.at_once_mm + month_mm * months;
    let by = (now.mm - was.mm).abs();
    if by <= most + 1e-9 {
        return None;
    }
    let say = |mm: f64| (series.say)(tenth(mm));
    let message = format!(
        "{} was {} on {from} and is {} on {to}: {} in {}.",
        series.name,
        say(was.mm),
        say(now.mm),
        say_mm(by),
        say_weeks(months * MONTH_DAYS)
    );
    let finding = Finding::new(RULE.code, RULE.severity, now.place, message)
        .why("Nothing in a mouth goes so far in that time: one of the two figures is a slip.")
        .figure(tenth(by), tenth(most), Unit::Mm)
        .related(was.place, "the other figure")
        .note("Measure again, and correct the one that is wrong: every forecast since starts from it.");
    Some(finding.teeth(series.teeth.iter().copied()))
}

fn all(context: &RuleContext<'_>) -> Vec<Series> {
    let case = context.case;
    let mut visits: Vec<&Visit> = case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    let mut out = vec![overjet(context, &visits), overbite(context, &visits)];
    for side in [Side::Right, Side::Left] {
        out.push(relation(context, &visits, format!("The {side} molar relation"), side, |b, s| {
            b.molars.get(&s)
        }));
        out.push(relation(
            context,
            &visits,
            format!("The {side} canine relation"),
            side,
            |b, s| b.canines.get(&s),
        ));
    }
    out.extend(case.arches.iter().map(|a| midline(context, &visits, a.arch)));
    out.extend(gaps(context, &visits));
    out
}

/// The day on which the case was entered.
fn entered(context: &RuleContext<'_>) -> Option<Date> {
    let case = context.case;
    case.in_place.as_ref().map(|p| p.on).or(case.start.as_ref().map(|(on, _)| *on))
}

fn of_bite(
    context: &RuleContext<'_>,
    visits: &[&Visit],
    of: impl Fn(&Bite) -> Option<(f64, Place)>,
) -> Vec<Measurement> {
    let first = of(&context.case.bite).map(|(mm, place)| (entered(context), mm, place));
    let seen = visits.iter().filter_map(|v| of(&v.bite).map(|(mm, at)| (Some(v.on), mm, at)));
    let all = first.into_iter().chain(seen);
    all.map(|(on, mm, place)| Measurement { on, mm, place }).collect()
}

/// Where nothing works on the overjet, only its being lined up does.
fn overjet(context: &RuleContext<'_>, visits: &[&Visit]) -> Series {
    let measured =
        of_bite(context, visits, |b| b.overjet.as_ref().map(|(jet, at)| (jet.mm(), *at)));
    Series {
        name: "The overjet".to_owned(),
        teeth: Vec::new(),
        at_once_mm: AT_ONCE_MM,
        month_mm: MONTH_MM,
        needs_elastics: !(context.case.is_reverse() || closes(context)),
        say: say_overjet,
        measured,
    }
}

fn closes(context: &RuleContext<'_>) -> bool {
    let mut acts = context.case.arches.iter().flat_map(|a| &a.steps).flat_map(|s| &s.acts);
    acts.any(|a| matches!(a.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }))
}

/// Elastics were worn when the patient came to a visit between two days, the later included.
fn worn_between(context: &RuleContext<'_>, from: Date, to: Date) -> bool {
    let mut visits = context.forecast.timeline.visits().iter();
    visits.any(|v| {
        let recorded = matches!(v.standing, Standing::Recorded(_));
        recorded && from < v.date && v.date <= to && !v.elastics_on_arrival.is_empty()
    })
}

fn overbite(context: &RuleContext<'_>, visits: &[&Visit]) -> Series {
    let measured = of_bite(context, visits, |b| {
        let open = b.open_bite.map(|(length, place)| (-mm(length), place));
        b.overbite.map(|(length, place)| (mm(length), place)).or(open)
    });
    let say = |value: f64| match value < 0.0 {
        true => format!("open by {}", say_mm(-value)),
        false => say_mm(value),
    };
    series("The overbite".to_owned(), say, measured)
}

fn series(name: String, say: fn(f64) -> String, measured: Vec<Measurement>) -> Series {
    let (at_once_mm, month_mm) = (AT_ONCE_MM, MONTH_MM);
    Series { name, teeth: Vec::new(), at_once_mm, month_mm, needs_elastics: false, say, measured }
}

fn relation(
    context: &RuleContext<'_>,
    visits: &[&Visit],
    name: String,
    side: Side,
    of: fn(&Bite, Side) -> Option<&Relation>,
) -> Series {
    let mm_of = |b: &Bite| of(b, side)?.mm();
    let place = context.case.chart_place;
    let first = mm_of(&context.case.bite).map(|mm| (entered(context), mm, place));
    let seen = visits.iter().filter_map(|v| Some((Some(v.on), mm_of(&v.bite)?, v.place)));
    let measured = first.into_iter().chain(seen);
    let measured = measured.map(|(on, mm, place)| Measurement { on, mm, place }).collect();
    let say = |value: f64| match tenth(value) {
        0.0 => "Class I".to_owned(),
        mm if mm > 0.0 => format!("Class II by {}", say_mm(mm)),
        mm => format!("Class III by {}", say_mm(-mm)),
    };
    series(name, say, measured)
}

fn midline(context: &RuleContext<'_>, visits: &[&Visit], arch: Arch) -> Series {
    let case = context.case;
    let own = case.arch(arch).and_then(|a| a.midline.as_ref());
    let first = own.or(case.bite.midlines.get(&arch));
    let first = first.and_then(|(m, at)| Some((entered(context), off_mm(m)?, *at)));
    let seen = visits.iter().flat_map(|v| v.arches.iter().map(move |a| (v.on, a)));
    let seen = seen.filter(|(_, a)| a.arch == arch);
    let seen = seen.filter_map(|(on, a)| Some((Some(on), off_mm(a.midline.as_ref()?)?, a.place)));
    let measured = first.into_iter().chain(seen);
    let measured = measured.map(|(on, mm, place)| Measurement { on, mm, place }).collect();
    let say = |value: f64| match tenth(value) {
        0.0 => "on the face".to_owned(),
        mm if mm > 0.0 => format!("{} to the patient's left", say_mm(mm)),
        mm => format!("{} to the patient's right", say_mm(-mm)),
    };
    Series {
        at_once_mm: MIDLINE_AT_ONCE_MM,
        month_mm: MIDLINE_MONTH_MM,
        ..series(format!("The {arch} midline"), say, measured)
    }
}

/// To the patient's left of the face is positive.
fn off_mm(midline: &Midline) -> Option<f64> {
    let on_face = midline.reference == MidlineReference::Face;
    on_face.then(|| if midline.side == Side::Left { mm(midline.off) } else { -mm(midline.off) })
}

fn gaps(context: &RuleContext<'_>, visits: &[&Visit]) -> Vec<Series> {
    let pair = |g: &Gap| (g.first.min(g.second), g.first.max(g.second));
    let entered_gaps = context.case.arches.iter().flat_map(|a| &a.gaps);
    let entered_gaps = entered_gaps.map(|g| (entered(context), g));
    let seen = visits.iter().flat_map(|v| v.gaps.iter().map(move |g| (Some(v.on), g)));
    let all: Vec<(Option<Date>, &Gap)> = entered_gaps.chain(seen).collect();
    let mut pairs: Vec<(Tooth, Tooth)> = all.iter().map(|(_, g)| pair(g)).collect();
    pairs.sort_unstable();
    pairs.dedup();
    let words = context.words();
    let of = |here: (Tooth, Tooth)| {
        let same = all.iter().filter(|(_, g)| pair(g) == here);
        let measured =
            same.map(|(on, g)| Measurement { on: *on, mm: mm(g.length), place: g.place });
        let name = format!("The space between {} and {}", words.tooth(here.0), words.tooth(here.1));
        let of = series(name, say_mm, measured.collect());
        Series { teeth: vec![here.0, here.1], ..of }
    };
    pairs.into_iter().map(of).collect()
}
