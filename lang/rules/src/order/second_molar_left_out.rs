//! Second molars that should be in and are not.

use super::bands::{pulls_along, strongest_g};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/second-molar-left-out",
    severity: Severity::Warning,
    title: "second molars left out",
    finds: "An adult's lower arch that ends at the first molars while a bite deeper than 4 mm is to be \
           levelled, or an arch that ends there under class II or class III elastics of more than 3 oz. Not \
           reported where the second molars are missing, extracted or unerupted, or in growing patients, whose \
           second molars may not be there yet.",
    why: "The first molar alone carries the load of two: it tips, extrudes and rolls in, and a curve is \
         not levelled past the last tooth in the wire.",
    what_to_do: "Tubes on the second molars before the working wire; `unerupted 37, 47` where they have not \
                erupted.",
    source: "common practice, no source",
    accept_when: "The second molars are small, far from erupted, or soon to be extracted.",
    failing: r#"springline 1
case "SM-9425"
use saltmarsh
start 2026-11-23
patient adult
bite {
  overjet 5 mm
  overbite 3 mm
  molars class-2 3 mm
}
upper {
  bonded 15..25 with twin
  tubes 17, 16, 26, 27 with molar
  follow firm
  change work {
    tie 13..23 figure-eight
  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar // <- here
  follow firm
}
elastics class-2 {
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 22 h
  from work expressed
  until overjet 2.5 mm
  longest 26 wk
}
retain {
  night-time both
}
"#,
    passing: r#"springline 1
case "SM-9425"
use saltmarsh
start 2026-11-23
patient adult
bite {
  overjet 5 mm
  overbite 3 mm
  molars class-2 3 mm
}
upper {
  bonded 15..25 with twin
  tubes 17, 16, 26, 27 with molar
  follow firm
  change work {
    tie 13..23 figure-eight
  }
}
lower {
  bonded 45..35 with twin
  tubes 47, 46, 36, 37 with molar
  follow firm
}
elastics class-2 {
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 22 h
  from work expressed
  until overjet 2.5 mm
  longest 26 wk
}
retain {
  night-time both
}
"#,
    check,
};

const DEEP_MM: f64 = 4.0;
/// 3 oz.
const LIGHT_G: f64 = 85.5;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    use crate::model::case::Growth;
    let case = judged.case;
    let words = judged.words();
    if case.growth != Growth::Adult {
        return;
    }
    let overbite = case
        .visits
        .iter()
        .rev()
        .find_map(|v| v.bite.overbite.as_ref())
        .or(case.bite.overbite.as_ref())
        .map(|(l, _)| mm(*l));
    for arch in &case.arches {
        let pulled = case.elastics.iter().any(|e| {
            pulls_along(e.kind)
                && strongest_g(e) > LIGHT_G
                && e.runs
                    .iter()
                    .flat_map(|r| &r.teeth)
                    .any(|t| t.arch() == arch.arch && t.is_molar())
        });
        let levelled = arch.arch == Arch::Lower && overbite.is_some_and(|o| o > DEEP_MM + 1e-9);
        let still_to_come = judged.views().iter().any(|v| v.side() == arch.arch && !v.begun());
        if !(pulled || levelled) || !still_to_come {
            continue;
        }
        let bare: Vec<Tooth> = arch
            .bonded
            .keys()
            .filter(|t| t.position() == 6)
            .filter_map(|t| Tooth::iso(t.code() + 1))
            .filter(|t| !arch.bonded.contains_key(t) && !arch.states.contains_key(t))
            .collect();
        let six = bare.first().and_then(|t| Tooth::iso(t.code() - 1));
        let Some(bonding) = six.and_then(|t| arch.bonded.get(&t)) else { continue };
        let why = if pulled {
            "elastics pull on the last tooth"
        } else {
            "the bite is to be opened beyond it"
        };
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            bonding.place,
            format!("The {} arch ends at the first molars, and {why}.", arch.arch),
        )
        .why("The first molar alone tips and extrudes, and the curve is not levelled behind it.")
        .teeth(bare.iter().copied());
        if let Some(fix) = judged.texts.clinical(
            format!("tubes on {}", words.teeth(&bare)),
            judged.texts.add_to_arch(
                arch,
                &format!("tubes {} with {}", words.list(&bare), bonding.bracket.name),
            ),
        ) {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
}
