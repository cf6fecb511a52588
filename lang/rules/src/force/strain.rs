//! A wire bent beyond its elastic limit.

use super::verdict::{Past, insertion, is_said, passes, worst_first};
use crate::model::limits::SUPERELASTIC_STRAIN;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/strain",
    severity: Severity::Error,
    title: "wire takes a permanent set",
    finds: "The largest strain of the wire beside a tooth on insertion, as a share of its elastic limit (1 % \
           for steel, 0.65 % for cobalt-chromium, 1.1 % for beta-titanium), and for nickel-titanium of 16 %, \
           which is twice the 6 to 8 % from which it is published to recover. A warning above 80 % of it, an \
           error above all of it (the practice limit for strain).",
    why: "Beyond its elastic limit a wire takes a permanent bend: it no longer moves the tooth, and may break.",
    what_to_do: "A thinner wire, a longer span, or the tooth left out for now.",
    source: "values from memory: Brantley WA, Eliades T (eds). Orthodontic Materials. Thieme 2001, ch. 4 (steel \
            0.60 to 0.94 % as received, 0.65 to 0.99 % after stress relief; cobalt-chromium 0.45 to 0.65 %; \
            beta-titanium 0.94 to 1.1 %), and Otsuka K, Ren X. Prog Mater Sci 2005;50:511-678 (nickel-titanium \
            6 to 8 %). That nickel-titanium is refused from twice that: our own simulation, computer-drawn \
            arches, no patients (lang/docs/limits.md), in which 8 % would refuse a fifth of what is accepted",
    accept_when: "The wire is changed at the next visit anyway.",
    failing: r#"springline 1
case "SM-9105"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 2.5 mm, rotated 20 deg mesial-in
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed // <- here
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9105"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 1 mm
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed
}
retain {
  fixed 43..33
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    let limits = &judged.case.house.limits;
    for view in judged.views() {
        let Some(insertion) = insertion(&view).filter(|_| !view.follows_done_work()) else {
            continue;
        };
        let niti = view.wire().wire.alloy.is_niti();
        let mut bent: Vec<Past> = insertion
            .teeth
            .iter()
            .filter_map(|t| {
                let share =
                    if niti { t.strain / SUPERELASTIC_STRAIN } else { t.strain_fraction } * 100.0;
                let figures = limits.for_tooth(Limit::Strain, t.tooth).value;
                let (severity, limit) = passes(share, figures)?;
                Some(Past { severity, tooth: t.tooth, value: share, limit })
            })
            .collect();
        worst_first(&mut bent);
        let Some(worst) = bent.first() else { continue };
        if is_said(&view, worst.severity) {
            continue;
        }
        let strain = insertion.tooth(worst.tooth).map_or(0.0, |t| t.strain * 100.0);
        let (of, why) = if niti {
            (
                format!("the {} % at which it is refused", plain(SUPERELASTIC_STRAIN * 100.0)),
                "It is published to recover from 6 to 8 %; any strain beyond that may be permanent.",
            )
        } else {
            (
                "its elastic limit".to_owned(),
                "Beyond its elastic limit the wire takes a permanent bend and no longer moves the tooth.",
            )
        };
        let mut finding = view
            .finding(
                RULE.code,
                worst.severity,
                view.case_place(),
                format!(
                    "{} is strained {} % beside {} in {}, {} % of {of}.",
                    view.wire().label(),
                    plain(tenth(strain)),
                    words.tooth(worst.tooth),
                    view.step.name,
                    plain(worst.value.round())
                ),
            )
            .why(why)
            .figure(worst.value.round(), worst.limit, "%")
            .teeth(bent.iter().map(|p| p.tooth));
        finding.fixes.extend(gentler(judged, &view));
        finding.fixes.extend(lighter_wire::one_wing(judged, &view, worst.tooth));
        list.push(Candidate::new(view.side(), worst.value / worst.limit, finding));
    }
    settle(words, list, out);
}
