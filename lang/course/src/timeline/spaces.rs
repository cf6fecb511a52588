//! Gaps and the spaces of bypassed teeth on one date.

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use crate::timeline::moment::{Basis, Known, SpaceAt, SpaceMoment};
use crate::timeline::phase::{Phase, SpaceCourse};
use springline_model::Case;
use springline_model::case::{ArchCase, Gap, Visit};

pub(crate) fn spaces(
    case: &Case,
    arch: &ArchCase,
    phase: &Phase,
    on: Option<Date>,
) -> Vec<SpaceMoment> {
    let days = on.zip(phase.date_in).map_or(0.0, |(on, from)| days_between(from, on).max(0.0));
    let space = |course: &SpaceCourse| {
        let (now, began) = course.on(days)?;
        let today = phase.seen.iter().filter(|s| on == Some(s.on));
        let measured = today
            .filter(|s| case.visits.get(s.visit).is_some_and(|v| measures(v, course.at)))
            .map(|s| Basis::Measured(s.visit))
            .next();
        let (written, account, wanted_mm) = match course.at {
            SpaceAt::Tooth(tooth) => {
                let site = phase.room.site(tooth)?;
                (!site.assumed, site.made.iter().collect(), Some(site.wanted_mm))
            }
            SpaceAt::Between(a, b) => {
                let made = phase.room.made.iter().filter(|m| m.teeth == [a, b]);
                (arch.gaps.iter().any(|g| is_at(g, course.at)), made.collect::<Vec<_>>(), None)
            }
        };
        let still = days <= 0.0 || (now - began).abs() < 1e-9;
        let basis = measured.unwrap_or(match (still, written) {
            (true, true) => Basis::Entered,
            (true, false) => Basis::Assumed,
            (false, _) => Basis::Predicted,
        });
        let length_mm = match basis {
            Basis::Predicted => {
                Known { value: now, low: now.min(began), high: now.max(began), basis }
            }
            _ => Known::exactly(now, basis),
        };
        let account = account.into_iter().map(|m| (m.source, m.made_mm)).collect();
        Some(SpaceMoment { at: course.at, length_mm, account, wanted_mm })
    };
    phase.way.spaces.iter().filter_map(space).collect()
}

fn measures(visit: &Visit, at: SpaceAt) -> bool {
    match at {
        SpaceAt::Tooth(tooth) => {
            visit.stands.get(&tooth).is_some_and(|(stand, _)| stand.space.is_some())
        }
        SpaceAt::Between(..) => visit.gaps.iter().any(|g| is_at(g, at)),
    }
}

fn is_at(gap: &Gap, at: SpaceAt) -> bool {
    let SpaceAt::Between(a, b) = at else { return false };
    (gap.first, gap.second) == (a, b) || (gap.first, gap.second) == (b, a)
}
