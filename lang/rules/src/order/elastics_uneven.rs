//! Elastics that pull harder on one side.

use super::bands::OUNCE_G;
use super::elastics_too_early::capital;
use crate::model::case::{ElasticRun, ElasticsKind};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/elastics-uneven",
    severity: Severity::Warning,
    title: "elastics asymmetric",
    finds: "Right and left class II, class III, triangle or box elastics that differ by more than 4 h per day \
           or 2 oz, or that are worn on one side only.",
    why: "Pulling harder on one side shifts the midlines and cants the occlusal plane.",
    what_to_do: "Make both sides equal, or accept it with the reason and a date.",
    source: "common practice, no source",
    accept_when: "The midline has to shift, this is recorded, and the cant is checked at every visit.",
    failing: r#"springline 1
case "SM-9409"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm
  change work {
    tie 13..23 figure-eight
  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow firm
}
elastics class-2 { // <- here
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 12 h
  from work expressed
  longest 26 wk
}
retain {
  fixed 43..33
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9409"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm
  change work {
    tie 13..23 figure-eight
  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow firm
}
elastics class-2 {
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 20 h
  from work expressed
  longest 26 wk
}
retain {
  fixed 43..33
  night-time upper
}
"#,
    check,
};

const HOURS: f64 = 4.0;
const FORCE_G: f64 = 2.0 * OUNCE_G;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    for elastics in &judged.case.elastics {
        let paired = matches!(
            elastics.kind,
            ElasticsKind::Class2
                | ElasticsKind::Class3
                | ElasticsKind::Triangle
                | ElasticsKind::Box
        );
        if !paired {
            continue;
        }
        let on = |side| super::bands::run_on(elastics, side);
        let hours = |run: Option<&ElasticRun>| run.map_or(0.0, |r| r.hours_a_day);
        let force = |run: Option<&ElasticRun>| run.map_or(0.0, |r| grams(r.elastic.force));
        let (right, left) = (on(Side::Right), on(Side::Left));
        let kind = capital(elastics.kind.word());
        let by_hours = (hours(right) - hours(left)).abs();
        let by_force = (force(right) - force(left)).abs();
        let (message, value, limit, unit) = match (right, left) {
            (Some(one), None) | (None, Some(one)) => (
                format!(
                    "{kind} elastics are worn on the {} only, {} h per day.",
                    one.side,
                    plain(one.hours_a_day)
                ),
                one.hours_a_day,
                HOURS,
                "h",
            ),
            _ if by_hours > HOURS + 1e-9 => (
                format!(
                    "{kind} elastics are worn {} h on the right and {} h on the left.",
                    plain(hours(right)),
                    plain(hours(left))
                ),
                by_hours,
                HOURS,
                "h",
            ),
            _ if by_force > FORCE_G + 0.5 => (
                format!(
                    "{kind} elastics deliver {} g on the right and {} g on the left.",
                    plain(force(right).round()),
                    plain(force(left).round())
                ),
                by_force.round(),
                FORCE_G.round(),
                "g",
            ),
            _ => continue,
        };
        let mut finding = Finding::new(RULE.code, RULE.severity, elastics.place, message)
            .why("Pulling harder on one side shifts the midlines and cants the occlusal plane.")
            .figure(value, limit, unit);
        if let Some((from, ..)) = &elastics.from {
            finding = finding.step(from.clone());
        }
        if let (Some(right), Some(left)) = (right, left)
            && unit == "h"
        {
            let (more, less) =
                if right.hours_a_day > left.hours_a_day { (right, left) } else { (left, right) };
            let (from, to) = (
                format!("wear {} h", plain(less.hours_a_day)),
                format!("wear {} h", plain(more.hours_a_day)),
            );
            if let Some(fix) = judged.texts.clinical(
                format!("both sides {} h", plain(more.hours_a_day)),
                judged.texts.replace_in(less.place, &from, &to),
            ) {
                finding = finding.fix(fix);
            }
        }
        out.push(finding);
    }
}
