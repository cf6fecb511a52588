//! A phase being simulated, before the schedule has given it dates.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Date;

use crate::geometry::crown;
use crate::law::condition_time::ConditionTime;
use crate::law::irregularity::{Crown, index_mm};
use crate::law::rates::LENGTH_PER_FORWARD;
use crate::law::rules_of_thumb::{SETTLE_DAYS, crowding_mm, rule_of_thumb};
use crate::law::spread::{ROUNDING_MM, SIGMA_WIRE, Time, WireTimeFactor, sigma_entry};
use crate::law::traction_rates::traction_sigma;
use crate::mouth::bite_figures::BiteFigure;
use crate::mouth::bite_moves::BiteMoves;
use crate::mouth::carried::CarriedState;
use crate::mouth::drawn_tooth::DrawnTooth;
use crate::mouth::pose::ToothPose;
use crate::mouth::positions::Mouth;
use crate::plan::history::RecordedEvent;
use crate::plan::history::still_active;
use crate::plan::input::ArchInput;
use crate::plan::state::{ArchState, ToothStatus};
use crate::room::bite_acts::{OnSince, bite_moves};
use crate::room::closing::{ClosingGap, closing_moves};
use crate::room::coil::CoilAtWork;
use crate::room::room_account::RoomSource;
use crate::room::supplies::{SpaceSite, open_gaps};
use crate::room::supply_and_demand::{Account, RoomLimitedTime, made_mm};
use crate::run::chair::FrictionRange;
use crate::run::chair_reading::ChairReading;
use crate::run::drive::MovingTooth;
use crate::run::trace::{PhaseTrace, crossing};
use crate::setup::arch_setup::ArchSetup;
use crate::setup::held_within::hold_within;
use crate::simulate::cross_pull::CrossPull;
use crate::simulate::due::BookingWindow;
use crate::simulate::movers::poses;
use crate::simulate::outcome::{EndReason, SeenWire};
use springline_mechanics::closed::third_order_play;
use springline_model::case::{Found, Visit};
use springline_model::house::PassiveRule;
use springline_model::provenance::Origin;
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;

/// A segment of a phase between measurements: one run and its room account.
#[derive(Debug, Clone)]
pub(crate) struct PhaseSegment {
    /// Days since the wire went in.
    pub start_days: f64,
    pub run: Arc<PhaseTrace>,
    pub gated: RoomLimitedTime,
    pub account: Account,
    pub sites: Vec<SpaceSite>,
    pub coils: Vec<CoilAtWork>,
    pub drawn: Vec<DrawnTooth>,
    pub setup: Arc<ArchSetup>,
    pub movers: Vec<MovingTooth>,
    /// Of the base wire in its slots.
    pub friction: FrictionRange,
    pub bent: BTreeMap<Tooth, ToothPose>,
}

#[derive(Debug, Clone)]
pub(crate) struct PhaseInProgress {
    pub step: usize,
    pub date_in: Option<Date>,
    /// The wire is in by record: `date_in` is a fact.
    pub begun: bool,
    pub state: ArchState,
    pub elastics: Vec<usize>,
    /// Days after insertion on which each of them is worn.
    pub worn_days: Vec<(f64, f64)>,
    /// Teeth that elastics carry across.
    pub across: Vec<CrossPull>,
    /// The day it begins, as recorded or as the first pass found it.
    pub begins: Option<Date>,
    /// The day up to which the carried bite has been computed.
    pub bite_days: f64,
    pub learnt: WireTimeFactor,
    /// g.
    pub growth: f64,
    pub thumb: (f64, &'static str),
    pub entry: Mouth,
    /// At the exit, once left.
    pub exit: Mouth,
    pub exit_days: f64,
    pub segments: Vec<PhaseSegment>,
    /// Positions at the start of the last segment.
    pub leg_mouth: Mouth,
    pub seen: Vec<SeenWire>,
    pub seen_events: usize,
    pub last_active: f64,
    pub first_passive: Option<f64>,
    /// Days that the step asks for after its condition holds.
    pub settle_days: f64,
    pub reason: EndReason,
    pub when: Option<ConditionTime>,
    pub due: BookingWindow,
    /// As booked at insertion, before any visit.
    pub first_due: BookingWindow,
    pub first_predicted: Option<f64>,
    pub recorded_end: Option<(usize, Date)>,
    pub missing_out: f64,
    pub missing_in: (f64, bool),
    pub forward_mm: f64,
    /// What acts on the bite from this arch, and from the other one meanwhile.
    pub acting: BiteMoves,
    pub beside: BiteMoves,
    /// Days and mouth at every measurement within the phase.
    pub measured: Vec<(f64, Mouth)>,
}

/// A wire with less play than this in twist counts as full: 0.019 x 0.025 has 12 degrees in a slot named
/// 0.022, 0.018 x 0.025 about 16.
const FULL_PLAY_RAD: f64 = 20.0 * std::f64::consts::PI / 180.0;

fn rule_of_thumb_days(state: &ArchState, mouth: &Mouth) -> (f64, &'static str) {
    let crowns: Vec<Crown> = state.in_wire().map(|t| crown(t.tooth, mouth)).collect();
    let farthest = state.in_wire().map(|t| mouth.pose(t.tooth).off_mm()).fold(0.0, f64::max);
    rule_of_thumb(state.kind, &state.wire.wire, crowding_mm(index_mm(&crowns), farthest))
}

impl PhaseInProgress {
    #[allow(clippy::too_many_arguments)]
    pub fn new(
        world: &ArchInput<'_>,
        step: usize,
        date_in: Option<Date>,
        state: ArchState,
        entry: Mouth,
        learnt: WireTimeFactor,
        growth: f64,
        leg: PhaseSegment,
    ) -> PhaseInProgress {
        let thumb = rule_of_thumb_days(&state, &entry);
        let settle = world.arch.steps.get(step).and_then(|s| s.settle.as_ref());
        let missing_in = (leg.account.demanded_mm, leg.account.assumed);
        PhaseInProgress {
            step,
            date_in,
            begun: false,
            state,
            elastics: Vec::new(),
            worn_days: Vec::new(),
            across: Vec::new(),
            begins: date_in,
            bite_days: 0.0,
            learnt,
            growth,
            thumb,
            exit: entry.clone(),
            leg_mouth: entry.clone(),
            entry,
            exit_days: 0.0,
            segments: vec![leg],
            seen: Vec::new(),
            seen_events: 0,
            last_active: 0.0,
            first_passive: None,
            settle_days: settle.map_or(0.0, |s| s.value.days()),
            reason: EndReason::Decided,
            when: None,
            due: BookingWindow::default(),
            first_due: BookingWindow::default(),
            first_predicted: None,
            recorded_end: None,
            missing_out: missing_in.0,
            missing_in,
            forward_mm: 0.0,
            acting: BiteMoves::default(),
            beside: BiteMoves::default(),
            measured: Vec::new(),
        }
    }

    pub fn segment(&self) -> &PhaseSegment {
        // A phase is created with one segment and never loses it.
        &self.segments[self.segments.len() - 1]
    }

    pub fn segment_start(&self) -> f64 {
        self.segment().start_days
    }

    /// Calendar days of a median patient for a day at unit rate.
    fn stretch(&self) -> f64 {
        self.learnt.factor / self.growth
    }

    /// The largest error of entry among the teeth in the wire, mm.
    fn entry_error_mm(&self) -> f64 {
        let of = |tooth| self.entry.place_error_mm(tooth, ROUNDING_MM);
        self.state.in_wire().map(|t| of(t.tooth)).fold(0.0, f64::max)
    }

    /// Spread of the time to passive: patients and practice (or what is learned), wire and slot, entry.
    pub fn sigma(&self) -> f64 {
        let run = &self.segment().run;
        let entry = sigma_entry(run.index_in_mm - run.index_left_mm, self.entry_error_mm());
        (self.learnt.sigma.powi(2) + SIGMA_WIRE.powi(2) + entry.powi(2)).sqrt()
    }

    fn time(&self, unit_days: f64) -> Time {
        let leg = self.segment();
        let mut time = Time::scaled(leg.start_days, unit_days * self.stretch(), self.sigma());
        time.after = self.last_active;
        time
    }

    /// The time to passive by a rule; `None` where it never is.
    pub fn passive(&self, rule: PassiveRule) -> Option<Time> {
        match self.first_passive {
            Some(days) => Some(Time::calendar(days)),
            None => self.predicted_passive(rule),
        }
    }

    /// What a full rectangular wire needs at least, at unit rate from this segment on: what it does to torque
    /// within and about its play is not seen in in-out positions, and roots follow slowly.
    fn torque_days(&self) -> f64 {
        let leg = self.segment();
        let base = &leg.setup.base;
        let play = |s: &springline_mechanics::Slot| {
            third_order_play(&base.wire.stock.section, s.height_mm)
        };
        let least = base.slots.iter().filter_map(play).fold(f64::INFINITY, f64::min);
        if least < FULL_PLAY_RAD {
            (SETTLE_DAYS - leg.start_days / self.stretch()).max(0.0)
        } else {
            0.0
        }
    }

    /// The same, whatever a visit has found since.
    pub fn predicted_passive(&self, rule: PassiveRule) -> Option<Time> {
        let leg = self.segment();
        let ungated = match rule {
            PassiveRule::QuarterLeft => leg.run.quarter,
            PassiveRule::NoBend => leg.run.strict,
        }?;
        leg.gated.day(&leg.run, ungated).map(|d| self.time(d.max(self.torque_days())))
    }

    /// When this part of what the wire corrects is done.
    pub fn corrected(&self, part: f64) -> Option<Time> {
        let leg = self.segment();
        let ungated = crossing(&leg.run.samples, 1.0 - part)?;
        leg.gated.day(&leg.run, ungated).map(|d| self.time(d))
    }

    /// Why there is no time to passive; `None` where there is one.
    pub fn never_passive(&self) -> Option<String> {
        self.segment().run.never_at_rest().or_else(|| {
            let gated = self.passive(PassiveRule::QuarterLeft).is_none();
            gated.then(|| "space is short and nothing in the plan makes it".to_owned())
        })
    }

    /// Whether the room account, not the wire, determines the time.
    pub fn limited_by_room(&self) -> bool {
        let leg = self.segment();
        leg.run
            .quarter
            .is_some_and(|q| leg.gated.day(&leg.run, q).is_none_or(|d| d > 1.001 * q + 0.01))
    }

    /// When teeth under traction are all so near to their places; `None` where one of these is not pulled.
    pub fn drawn_within(&self, teeth: &[Tooth], within_mm: f64) -> Option<Time> {
        let leg = self.segment();
        let days = teeth.iter().map(|t| {
            let drawn = leg.drawn.iter().find(|d| d.tooth == *t)?;
            Some(drawn.days_to(within_mm))
        });
        let days = days.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::max)?;
        Some(Time::scaled(leg.start_days, days, traction_sigma()))
    }

    /// When all these teeth have reached the requested position.
    pub fn teeth_reach(&self, teeth: &[Tooth], there: impl Fn(&ToothPose) -> bool) -> Option<Time> {
        let leg = self.segment();
        for (sample, day) in leg.run.samples.iter().zip(&leg.gated.days) {
            let now = poses(&leg.movers, &leg.bent, &sample.poses, &self.leg_mouth);
            let pose = |t: &Tooth| now.get(t).copied().unwrap_or_default();
            if teeth.iter().all(|t| there(&pose(t))) {
                return day.map(|d| self.time(d));
            }
        }
        None
    }

    /// The chair test as predicted for a day of the last segment; `None` where the wire has no figures.
    fn chair_on(&self, days: f64) -> Option<ChairReading> {
        let leg = self.segment();
        let unit = (days - leg.start_days).max(0.0) / self.stretch();
        let shift = leg.run.shift_at(leg.gated.progress(&leg.run, unit));
        leg.run.chair_test(&shift)
    }

    /// Restarts with another wire on the same day.
    pub fn restart(&mut self, leg: PhaseSegment, state: ArchState) {
        self.thumb = rule_of_thumb_days(&state, &self.entry);
        self.segments = vec![leg];
        self.state = state;
    }

    /// Continues with a new segment after a measurement.
    pub fn resume(&mut self, leg: PhaseSegment, state: ArchState) {
        self.state = state;
        self.measured.push((self.exit_days, self.exit.clone()));
        self.leg_mouth = self.exit.clone();
        self.segments.push(leg);
    }

    /// By tooth; those that the wire held then.
    pub fn poses_at_insertion(&self) -> BTreeMap<u16, [f64; 6]> {
        let Some(first) = self.segments.first() else { return BTreeMap::new() };
        let poses = first.run.samples.first().into_iter().flat_map(|s| &s.poses);
        first.movers.iter().map(|m| m.id).zip(poses.copied()).collect()
    }

    /// Applies the observations of a visit.
    pub fn see(&mut self, world: &ArchInput<'_>, event: &RecordedEvent, days: f64) {
        let expected = self.passive(world.booking.rule).map(|t| t.share_ever_by(days));
        self.seen.push(SeenWire {
            visit: event.visit,
            on: event.on,
            found: event.found.clone(),
            expected_passive: expected,
            chair: self.chair_on(days),
            replaced: Vec::new(),
        });
        if still_active(event.found.as_ref()) {
            self.last_active = self.last_active.max(days);
            self.first_passive = None;
        } else if event.found == Some(Found::Passive) && self.first_passive.is_none() {
            self.first_passive = Some(days);
        }
    }

    /// Progress of the run that many days after insertion, at unit rate.
    fn unit_day(&self, days: f64) -> f64 {
        let leg = self.segment();
        let mut unit = (days - leg.start_days).max(0.0) / self.stretch();
        let quarter = leg.run.quarter.and_then(|q| leg.gated.day(&leg.run, q));
        if let Some(quarter) = quarter {
            // The observation takes precedence: a wire found passive has reached that state, one found
            // active has not.
            if self.first_passive.is_some_and(|p| days >= p) {
                unit = unit.max(quarter);
            } else if self.last_active > 0.0 && days <= self.last_active {
                unit = unit.min(0.9 * quarter);
            }
        }
        unit
    }

    /// Advances everything to a day, and hands over the state.
    pub fn leave(&mut self, world: &ArchInput<'_>, days: f64, carried: &mut CarriedState) {
        let unit = self.unit_day(days);
        let leg = self.segments[self.segments.len() - 1].clone();
        let since = (days - leg.start_days).max(0.0) * self.growth;
        let progress = leg.gated.progress(&leg.run, unit);
        let stands = leg.run.poses_at(progress);
        carried.mouth.move_to(poses(&leg.movers, &leg.bent, &stands, &self.leg_mouth));
        for pull in &self.across {
            let by_mm = pull.done_mm(leg.start_days, days);
            let pose = pull.carried(carried.mouth.pose(pull.tooth), by_mm);
            carried.mouth.poses.insert(pull.tooth, pose);
        }
        if leg.run.insertion.refused.is_none() {
            hold_within(&mut carried.mouth, &leg.setup.base, leg.run.share_at(progress));
        }
        let came = leg.drawn.iter().map(|d| (d.tooth, d.after(days - leg.start_days)));
        carried.mouth.move_to(came.collect());
        self.settle_room_account(&leg, unit, since, carried);
        let open = open_gaps(world.arch, &self.state, carried);
        for coil in &leg.coils {
            // A coil between neighbours opens a gap, whether one was there or not.
            let (a, b, _) = coil.key;
            let pair = crate::mouth::pair::pair(a, b);
            let beside = self.stands_between(pair).is_none();
            if beside || open.iter().any(|(p, _)| *p == pair) {
                let was = open.iter().find(|(p, _)| *p == pair).map_or(0.0, |(_, l)| *l);
                carried.mouth.gaps.insert(pair, was + coil.supply.made_mm(since));
            }
        }
        for (pair, length) in open {
            if leg.coils.iter().any(|c| c.between(pair.0, pair.1)) {
                continue;
            }
            let (gap, mouth, begun) = ((pair, length), &self.leg_mouth, self.date_in);
            if let Some(closing) =
                ClosingGap::of(world.arch, &self.state, mouth, gap, begun, self.growth)
            {
                carried.mouth.gaps.insert(pair, closing.after(since));
            }
        }
        self.leave_bite(days, carried);
        let line = BiteFigure::Midline(world.arch.arch);
        carried.bite.add(line, self.midline_gone_mm(world, progress));
        self.exit_days = days;
        self.exit = carried.mouth.clone();
    }

    /// A tooth with a crown between two others.
    fn stands_between(&self, (a, b): (Tooth, Tooth)) -> Option<Tooth> {
        let crowns = self.state.teeth.iter().filter(|t| t.status != ToothStatus::Absent);
        crowns.map(|t| t.tooth).find(|t| a < *t && *t < b)
    }

    fn settle_room_account(
        &mut self,
        leg: &PhaseSegment,
        unit: f64,
        since: f64,
        carried: &mut CarriedState,
    ) {
        let missing = leg.account.missing_mm(unit);
        let share =
            if leg.account.demanded_mm > 0.0 { missing / leg.account.demanded_mm } else { 0.0 };
        for t in self.state.in_wire().map(|t| t.tooth) {
            let width = carried.mouth.width_mm(t);
            if let Some(space) = carried.mouth.spaces.get_mut(&t)
                && *space < width
            {
                *space = width - share * (width - *space);
            }
        }
        carried.missing = Some((missing, leg.account.assumed));
        self.missing_out = missing;
        // The front need not give what the wider arch has given.
        let widened = leg.account.supplies.iter().filter(|s| s.source == RoomSource::Expansion);
        let widened: f64 = widened.map(|s| s.made_mm(unit)).sum();
        for supply in &leg.account.supplies {
            let most = match supply.source {
                RoomSource::Forward => (leg.account.demanded_mm - widened).max(0.0),
                _ => leg.account.demanded_mm,
            };
            let made = supply.made_mm(unit).min(most);
            match supply.source {
                RoomSource::Forward => self.forward_mm += made / LENGTH_PER_FORWARD,
                RoomSource::Gap => {
                    if let [a, b] = supply.teeth[..] {
                        let left = (supply.most_mm() - made).max(0.0);
                        carried.mouth.gaps.insert((a, b), left);
                    }
                }
                _ => {}
            }
        }
        for site in &leg.sites {
            let made = made_mm(&site.supplies, since);
            carried.mouth.spaces.insert(site.tooth, site.space_mm + made);
        }
        for coil in &leg.coils {
            carried.mouth.coils.insert(coil.key, coil.after(since).pressed_mm);
        }
    }

    /// Replaces predicted values by those a visit measured.
    pub fn replace(&mut self, visit: &Visit, event: &RecordedEvent, carried: &mut CarriedState) {
        let mut replaced = Vec::new();
        for (tooth, (stand, _)) in &visit.stands {
            if tooth.arch() == self.state.arch {
                let before = carried.mouth.pose(*tooth);
                carried.mouth.measure(*tooth, stand, Origin::Visit);
                replaced.push((*tooth, before, carried.mouth.pose(*tooth)));
            }
        }
        for gap in visit.gaps.iter().filter(|g| g.first.arch() == self.state.arch) {
            carried.mouth.measure_gap(gap);
        }
        for overlap in visit.overlaps.iter().filter(|o| o.first.arch() == self.state.arch) {
            carried.mouth.measure_overlap(overlap);
        }
        carried.bite.replace(&visit.bite);
        for seen in &visit.arches {
            if let Some(line) = &seen.midline {
                carried.bite.midline(seen.arch, line);
            }
        }
        carried.over_the_bite.extend(visit.over_the_bite.iter().copied());
        self.recharge_coils(visit, carried);
        if let Some(seen) = self.seen.iter_mut().find(|s| s.visit == event.visit) {
            seen.replaced = replaced;
        }
        self.exit = carried.mouth.clone();
    }

    /// A coil whose space was measured is decompressed by the space gained since the segment began.
    fn recharge_coils(&self, visit: &Visit, carried: &mut CarriedState) {
        let leg = self.segment();
        for coil in &leg.coils {
            let sites: Vec<_> = leg.sites.iter().filter(|s| coil.spans(s.tooth)).collect();
            let measured = sites.iter().any(|s| visit.stands.contains_key(&s.tooth));
            // Over several teeth: of those that were not measured, what is predicted.
            let gained = |s: &&SpaceSite| {
                carried.mouth.spaces.get(&s.tooth).map_or(0.0, |now| now - s.space_mm)
            };
            let by_site = measured.then(|| sites.iter().map(gained).sum::<f64>());
            let gap = visit.gaps.iter().find(|g| coil.between(g.first, g.second));
            let by_gap = gap.and_then(|g| {
                let before = self.leg_mouth.gap_mm(g.first, g.second)?;
                Some(mm(g.length) - before)
            });
            if let Some(made) = by_site.or(by_gap) {
                let now = coil.spring.after(made.max(0.0));
                carried.mouth.coils.insert(coil.key, now.pressed_mm);
            }
        }
    }

    /// Bypassed teeth that have their space by now are engaged with the next wire.
    pub fn release(&self, carried: &mut CarriedState) {
        for site in self.segment().sites.iter().filter(|s| s.ends_by_itself) {
            let space = carried.mouth.spaces.get(&site.tooth).copied().unwrap_or(site.space_mm);
            if space >= site.wanted_mm - 1e-6 {
                carried.released.insert(site.tooth);
            }
        }
    }

    /// Gathers what acts on the bite from a measurement on.
    pub fn act_on_bite(&mut self, world: &ArchInput<'_>, carried: &CarriedState) {
        let since = OnSince { begins: self.begins, devices: &carried.on_since };
        self.acting = bite_moves(world.case, &self.state, &self.elastics, &self.worn_days, &since);
        let gaps: Vec<_> = open_gaps(world.arch, &self.state, carried)
            .into_iter()
            .filter_map(|gap| {
                let (mouth, begun) = (&carried.mouth, self.date_in);
                ClosingGap::of(world.arch, &self.state, mouth, gap, begun, self.growth)
            })
            .collect();
        let moves = closing_moves(world.arch, &self.state, &gaps, self.segment_start());
        self.acting.steady.extend(moves.into_iter().map(|m| m.at_pace(self.growth)));
    }

    /// Both arches together.
    pub fn on_bite(&self) -> BiteMoves {
        let mut all = self.acting.clone();
        all.join(self.beside.clone());
        all
    }

    /// Advances the bite to a day.
    pub fn leave_bite(&mut self, days: f64, carried: &mut CarriedState) {
        let from = self.bite_days;
        self.on_bite().advance(&mut carried.bite, (from, days), |_| {});
        self.bite_days = from.max(days);
    }
}
