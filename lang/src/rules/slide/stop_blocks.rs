//! A stop that sends the wire, and the midline with it, the wrong way.

use crate::rules::prelude::*;
use crate::rules::slide::midline::{Wanted, say, wanted};
use crate::rules::slide::travel::{Expression, Sliding, other};

pub const RULE: Rule = Rule {
    code: "slide/stop-blocks",
    severity: Severity::Error,
    title: "stop blocks the way the wire should go",
    finds: "A one-sided stop that closes the way to the side the midline has to go to, so that the length \
            which aligning teeth give out leaves on the other side. An error where the midline is off by \
            1 mm or more, a warning where it stands right and would be carried off.",
    why: "All length leaves on the open side and the front teeth go with it: the midline gets worse with \
          every week the wire works.",
    what_to_do: "Put the stop on the other side, or pair it with one facing it, or leave it away.",
    source: "geometry; see `slide/travel`. Common practice, no source",
    accept_when: "The midline is to be given up on purpose.",
    failing: r#"springline 1
case "SM-9302"
use saltmarsh
start 2026-11-23
goal {
  upper midline on face
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 1.5 mm, rotated 15 deg mesial-in
  midline 2 mm to patient-right of face
  follow usual
  change align {
    stop mesial of 26 // <- here
  }
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9302"
use saltmarsh
start 2026-11-23
goal {
  upper midline on face
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 1.5 mm, rotated 15 deg mesial-in
  midline 2 mm to patient-right of face
  follow usual
  change align {
    stop mesial of 16
  }
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        let wire = Sliding::of(&view);
        let Expression::Only(goes) = wire.expression() else { continue };
        let (severity, midline) = match wanted(judged.case, view.arch) {
            Wanted::Go(way, _) if way != goes => {
                (Severity::Error, format!("stands {}", say(judged.case, view.arch)))
            }
            Wanted::Stay => (Severity::Warning, "stands where it should".to_owned()),
            _ => continue,
        };
        let Some((stop, tooth)) = wire.closes(other(goes)) else { continue };
        // A pair that faces holds the incisors where they are; only a lone stop carries them.
        let lone = wire.uses().iter().any(|u| {
            matches!(u, crate::rules::slide::travel::StopUse::SendsTo(spot, _) if *spot == stop.spot)
        });
        if !lone {
            continue;
        }
        let Some(gives) = wire.sources.iter().find(|s| s.tooth == tooth) else { continue };
        if gives.gives_mm < crate::rules::slide::travel::LITTLE_MM {
            continue;
        }
        let spot = words.spot(stop.spot.along, stop.spot.tooth);
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                stop.place,
                format!(
                    "The stop {spot} closes the {} side in {}: the {} that {} gives out leaves to the \
                     patient's {goes}, and the {} midline {midline}.",
                    other(goes),
                    view.step.name,
                    say_mm(gives.gives_mm),
                    words.tooth(tooth),
                    view.side(),
                ),
            )
            .why("Length that can leave on one side only carries the front teeth to that side.")
            .figure(tenth(gives.gives_mm), 0.0, "mm")
            .teeth([stop.spot.tooth]);
        for used in wire.uses() {
            finding = finding.note(format!("What the stops do: {}.", used.say(words)));
        }
        let mirrored = stop.spot.tooth.mirror();
        if severity == Severity::Error
            && view.is_in_wire(mirrored)
            && let Some(fix) = judged.texts.clinical(
                format!("put the stop {}", words.spot(stop.spot.along, mirrored)),
                judged.texts.replace_in(stop.place, &spot, &words.spot(stop.spot.along, mirrored)),
            )
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), gives.gives_mm, finding));
    }
    settle(words, list, out);
}
