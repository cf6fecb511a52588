//! Turns a simulated phase and its dates into the published phase.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::geometry::ArchLayout;
use crate::law::chair::PassiveBy;
use crate::law::movement::MONTH_DAYS;
use crate::law::spread::{Time, default_sigma};
use crate::law::time_band::TimeBand;
use crate::mouth::pose::ToothPose;
use crate::mouth::positions::Mouth;
use crate::plan::input::Booking;
use crate::plan::input::PhaseDates;
use crate::plan::state::ToothInState;
use crate::room::room_account::{RoomAccount, RoomMade, SiteAccount};
use crate::room::supplies::SpaceSite;
use crate::room::supply_and_demand::{Supply, made_mm, time_to_make};
use crate::run::chair_reading::ChairReading;
use crate::simulate::movers::poses;
use crate::simulate::outcome::EndReason;
use crate::simulate::phase_in_progress::PhaseInProgress;
use crate::timeline::moment::SpaceAt;
use crate::timeline::phase::{
    CoilCourse, PassiveTimes, Phase, PhaseEnd, PhaseWay, SpaceCourse, ToothCourse,
};
use crate::timeline::sliding_canines::slid_canines;
use springline_model::case::ArchCase;
use springline_model::house::PassiveRule;
use springline_units::tooth::Arch;

pub(crate) fn finish(
    draft: PhaseInProgress,
    case: &ArchCase,
    days: PhaseDates,
    booking: Booking,
) -> Phase {
    let teeth = teeth(&draft);
    let passive = passive_times(&draft, days.date_in, booking);
    let room = room(&draft, days.date_in);
    let path = path(&draft);
    let way = way(&draft, case.arch);
    let chair = chair(&draft);
    let layout = ArchLayout::of(case, &draft.state, &draft.entry);
    let slid = slid_canines(&draft, &layout);
    let predicted = draft.when.as_ref().map(|w| w.band(days.date_in));
    let reason = match draft.recorded_end {
        Some((visit, _)) => EndReason::Recorded { visit },
        None => draft.reason.clone(),
    };
    let first = &draft.segments[0];
    Phase {
        arch: case.arch,
        step: draft.step,
        name: draft.state.name.clone(),
        kind: draft.state.kind,
        wire: draft.state.wire.clone(),
        date_in: days.date_in,
        begun: days.begun,
        teeth,
        insertion: first.run.insertion.clone(),
        insertion_since: draft
            .segments
            .get(1)
            .and(draft.segments.last())
            .map(|leg| leg.run.insertion.clone()),
        passive,
        room,
        end: PhaseEnd { reason, predicted, date: days.date_out },
        coils: coils(&draft),
        look_days: draft.due.look_days,
        supervised: draft.due.supervises,
        booked_days: draft.due.ready_days,
        booked_share: draft.due.chance,
        seen: draft.seen.clone(),
        setup: first.setup.clone(),
        path,
        layout,
        entry: draft.entry,
        chair,
        slid,
        way,
        state: draft.state,
    }
}

fn teeth(draft: &PhaseInProgress) -> Vec<ToothCourse> {
    let leg = draft.segment();
    let left = poses(&leg.movers, &leg.bent, &leg.run.left, &draft.leg_mouth);
    let held = |t| leg.movers.iter().any(|m| m.watched.tooth == t);
    draft
        .state
        .teeth
        .iter()
        .map(|t| {
            let exit = draft.exit.pose(t.tooth);
            ToothCourse {
                tooth: t.tooth,
                status: t.status,
                fixed: t.fixed,
                origin: draft.entry.origin(t.tooth),
                entry: draft.entry.pose(t.tooth),
                entry_error: draft.entry.entry_error(t.tooth),
                exit,
                left_by_play: match left.get(&t.tooth) {
                    Some(pose) if held(t.tooth) => *pose,
                    _ => exit,
                },
            }
        })
        .collect()
}

/// The open coils of the first segment: as inserted, and at the next visit.
fn coils(draft: &PhaseInProgress) -> Vec<CoilCourse> {
    let next = draft.due.look_days.min(draft.exit_days.max(1.0)) * draft.growth;
    let coils = draft.segments[0].coils.iter();
    coils
        .map(|c| {
            let (first, second, place) = c.key;
            CoilCourse {
                first,
                second,
                place,
                pressed_mm: c.spring.pressed_mm,
                force_n: c.spring.force_n(),
                force_next_n: c.after(next).force_n(),
                next_days: next / draft.growth,
                each_visit: c.every_days.is_some(),
                room_mm: c.supply.most_mm(),
            }
        })
        .collect()
}

fn passive_times(draft: &PhaseInProgress, start: Option<Date>, booking: Booking) -> PassiveTimes {
    let band = |rule| draft.predicted_passive(rule).map(|t: Time| t.band(start));
    let run = &draft.segments[0].run;
    let at_quarter = run.quarter.map(|q| {
        let stands = run.poses_at(q);
        let watched: Vec<_> = draft.segments[0].movers.iter().map(|m| m.watched.clone()).collect();
        crate::law::passive::irregularity(&watched, &stands)
    });
    PassiveTimes {
        rule: booking.rule,
        quarter: band(PassiveRule::QuarterLeft),
        no_bend: band(PassiveRule::NoBend),
        decided_by: match (booking.rule, run.by_floor) {
            (PassiveRule::NoBend, _) => PassiveBy::NoBend,
            (PassiveRule::QuarterLeft, true) => PassiveBy::Floor,
            (PassiveRule::QuarterLeft, false) => PassiveBy::Quarter,
        },
        predicted_at_insertion_days: draft.first_predicted,
        rule_of_thumb_days: draft.thumb.0,
        rule_of_thumb: draft.thumb.1,
        spread_ln: draft.sigma(),
        factor: draft.learnt.factor,
        learned_cases: draft.learnt.cases,
        index_in_mm: run.index_in_mm,
        index_passive_mm: at_quarter.unwrap_or(run.index_in_mm),
        index_left_mm: run.index_left_mm,
        held_by_room: draft.limited_by_room(),
        never: draft.never_passive(),
    }
}

fn made(supplies: &[Supply], days: f64, growth: f64, cap_mm: f64) -> Vec<RoomMade> {
    supplies
        .iter()
        .map(|s| RoomMade {
            source: s.source,
            teeth: s.teeth.clone(),
            made_mm: s.made_mm(days).min(cap_mm),
            at_most_mm: s.most_mm(),
            mm_per_month: s.mm_per_day * growth * MONTH_DAYS,
        })
        .collect()
}

fn room(draft: &PhaseInProgress, start: Option<Date>) -> RoomAccount {
    let leg = draft.segment();
    let unit = (draft.exit_days - leg.start_days).max(0.0) * draft.growth;
    RoomAccount {
        demanded_mm: draft.missing_in.0,
        assumed: draft.missing_in.1,
        made: made(&leg.account.supplies, unit, draft.growth, leg.account.demanded_mm),
        missing_out_mm: draft.missing_out,
        uncovered_mm: leg.account.uncovered_mm(),
        incisors_forward_mm: draft.forward_mm,
        sites: leg.sites.iter().map(|s| site(draft, s, unit, start)).collect(),
    }
}

fn site(draft: &PhaseInProgress, site: &SpaceSite, unit: f64, start: Option<Date>) -> SiteAccount {
    let space_in = draft.entry.spaces.get(&site.tooth).copied().unwrap_or(site.width_mm);
    let days = time_to_make(&site.supplies, site.wanted_mm - site.space_mm);
    let ready: Option<TimeBand> = days.map(|d| {
        Time::scaled(draft.segment_start(), d / draft.growth, default_sigma()).band(start)
    });
    SiteAccount {
        tooth: site.tooth,
        width_mm: site.width_mm,
        space_in_mm: space_in,
        space_out_mm: site.space_mm + made_mm(&site.supplies, unit),
        assumed: site.assumed,
        wanted_mm: site.wanted_mm,
        ends_by_itself: site.ends_by_itself,
        ready,
        made: made(&site.supplies, unit, draft.growth, f64::INFINITY),
    }
}

/// The path of the median patient, segment by segment, up to the exit.
fn path(draft: &PhaseInProgress) -> Vec<(f64, Vec<ToothPose>)> {
    let stretch = draft.learnt.factor / draft.growth;
    let mut out: Vec<(f64, Vec<ToothPose>)> = Vec::new();
    for (i, leg) in draft.segments.iter().enumerate() {
        let end = draft.segments.get(i + 1).map_or(draft.exit_days, |next| next.start_days);
        let mouth = if i == 0 { &draft.entry } else { &draft.leg_mouth };
        for (sample, day) in leg.run.samples.iter().zip(&leg.gated.days) {
            let Some(day) = day.map(|d| leg.start_days + d * stretch) else { break };
            if day > end {
                break;
            }
            let now = poses(&leg.movers, &leg.bent, &sample.poses, mouth);
            let row = |t: &ToothInState| {
                let drawn = leg.drawn.iter().find(|d| d.tooth == t.tooth);
                let drawn = drawn.map(|d| d.after(day - leg.start_days));
                drawn.or_else(|| now.get(&t.tooth).copied()).unwrap_or_default()
            };
            out.push((day, draft.state.teeth.iter().map(row).collect()));
        }
    }
    let last = draft.state.teeth.iter().map(|t| draft.exit.pose(t.tooth)).collect();
    out.push((draft.exit_days, last));
    out
}

/// The chair test of the median patient, segment by segment, the wire left in beyond its exit too. Ligatures
/// hold a wire by what they press, which nobody has measured here; a curve bent in, which the run leaves out,
/// holds it too.
fn chair(draft: &PhaseInProgress) -> Vec<(f64, ChairReading)> {
    let curved = draft.segments[0].setup.base.wire.reverse_curve.is_some();
    if curved || draft.state.is_ligated() {
        return Vec::new();
    }
    let stretch = draft.learnt.factor / draft.growth;
    let mut out = Vec::new();
    for (i, leg) in draft.segments.iter().enumerate() {
        let end = draft.segments.get(i + 1).map_or(f64::INFINITY, |next| next.start_days);
        let days = leg.run.samples.iter().zip(&leg.gated.days);
        let days = days.map_while(|(s, day)| day.map(|d| (s, leg.start_days + d * stretch)));
        let tests = days.take_while(|(_, day)| *day < end);
        out.extend(tests.filter_map(|(s, day)| Some((day, leg.run.chair_test(&s.shift)?))));
    }
    out
}

fn way(draft: &PhaseInProgress, arch: Arch) -> PhaseWay {
    let stretch = draft.learnt.factor / draft.growth;
    let leg = draft.segment();
    let mouth = if draft.segments.len() == 1 { &draft.entry } else { &draft.leg_mouth };
    let days = leg.run.samples.iter().zip(&leg.gated.days);
    let days = days.map_while(|(s, day)| day.map(|d| (s, leg.start_days + d * stretch)));
    let exit = draft.state.teeth.iter().map(|t| draft.exit.pose(t.tooth)).collect();
    let beyond = days.filter(|(_, day)| *day > draft.exit_days).map(|(sample, day)| {
        let now = poses(&leg.movers, &leg.bent, &sample.poses, mouth);
        let row = |t: &ToothInState| {
            let drawn = leg.drawn.iter().find(|d| d.tooth == t.tooth);
            let drawn = drawn.map(|d| d.after(day - leg.start_days));
            drawn.or_else(|| now.get(&t.tooth).copied()).unwrap_or_default()
        };
        (day, draft.state.teeth.iter().map(row).collect())
    });
    PhaseWay {
        beyond: std::iter::once((draft.exit_days, exit)).chain(beyond).collect(),
        reckoned_from: draft.segments.iter().map(|leg| leg.start_days).collect(),
        exit_days: draft.exit_days,
        spaces: spaces(draft, arch),
        acting: draft.acting.clone(),
        across: draft.across.clone(),
    }
}

/// Gaps, and the places of teeth out of the wire: as the phase began, as measured in it, and at its exit.
fn spaces(draft: &PhaseInProgress, arch: Arch) -> Vec<SpaceCourse> {
    let ends = [(0.0, &draft.entry), (draft.exit_days, &draft.exit)];
    let [first, last] = ends;
    let measured = draft.measured.iter().map(|(day, mouth)| (*day, mouth));
    let mouths: Vec<(f64, &Mouth)> = [first].into_iter().chain(measured).chain([last]).collect();
    let pairs = mouths.iter().flat_map(|(_, m)| m.gaps.keys());
    let pairs: BTreeSet<_> = pairs.filter(|(a, _)| a.arch() == arch).copied().collect();
    let course = |at: SpaceAt, of: &dyn Fn(&Mouth) -> Option<f64>| {
        let path = mouths.iter().filter_map(|(day, m)| Some((*day, of(m)?))).collect();
        SpaceCourse { at, path }
    };
    let gaps = pairs.iter().map(|(a, b)| course(SpaceAt::Between(*a, *b), &|m| m.gap_mm(*a, *b)));
    let sites = draft.segment().sites.iter().map(|site| {
        let of = |m: &Mouth| Some(m.spaces.get(&site.tooth).copied().unwrap_or(site.width_mm));
        course(SpaceAt::Tooth(site.tooth), &of)
    });
    sites.chain(gaps).collect()
}
