//! One-dimensional model of a sliding wire: what stops it in each direction, and at which end the length
//! released by aligning teeth can exit.
//!
//! Stations run from the patient's right to the patient's left. A stop touches the bracket it is written
//! beside; moving away from it, it slides until it meets the next bracket. A turned-in end lets wire in
//! by its slack; nothing keeps wire from coming out behind a tube.

use super::brackets::BracketPosition;
use super::layout::ArchLayout;
use crate::mouth::positions::Mouth;
use crate::plan::state::ArchState;
use springline_model::House;
use springline_model::step::{EndKind, Spot};
use springline_model::stock::Along;
use springline_text::Place;
use springline_units::quantity::mm;
use springline_units::tooth::{Side, Tooth};

/// Length of a stop where the drawer has none, mm (common practice, no source).
const STOP_MM: f64 = 1.5;
/// Less length than this is not worth a stop or a finding, mm.
pub const LITTLE_MM: f64 = 0.3;

/// Share of the wire passing the midline by which the front teeth go along: least, median and most. They ride on
/// a wire that slides through their brackets, so none or all of it is possible (no source).
pub const GOES_ALONG: [f64; 3] = [0.0, 0.5, 1.0];

/// A stop on the wire, and where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedStop {
    pub spot: Spot,
    pub place: Place,
    pub centre_mm: f64,
}

/// A tooth out of line: once it comes in, the wire it bent is too long by this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireSurplus {
    pub tooth: Tooth,
    pub centre_mm: f64,
    pub gives_mm: f64,
}

/// What ends a slide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SlideLimit {
    /// A stop runs into the bracket of this tooth.
    Stop { stop: PlacedStop, against: Tooth },
    /// The turned end at the other side is drawn against its tube.
    End { slack_mm: f64 },
    /// The other end comes out of its tube.
    Nothing,
}

/// How far something can go, and what then stops it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlideTravel {
    pub travel_mm: f64,
    pub met: SlideLimit,
}

/// Where the length goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SurplusExit {
    /// No tooth gives out any.
    Nothing,
    Both,
    Only(Side),
    /// Some of it can leave on neither side.
    Locked(Tooth),
}

/// One wire in its brackets.
#[derive(Debug, Clone)]
pub struct Sliding {
    pub brackets: Vec<BracketPosition>,
    pub stops: Vec<PlacedStop>,
    pub sources: Vec<WireSurplus>,
    /// Right end, left end.
    pub ends: [(EndKind, f64); 2],
    /// Length of a stop.
    pub stop_mm: f64,
}

/// Wire between two stops that what aligning teeth release cannot leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockedWire {
    /// The teeth whose brackets the stops run into: the right one by its left edge, the left one by its right.
    pub right: Tooth,
    pub left: Tooth,
    /// Wire too much between them once the teeth there are in line, mm.
    pub excess_mm: f64,
    /// How far both stops together run before they meet their brackets, mm.
    pub play_mm: f64,
}

/// What a set of stops does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StopUse {
    /// Two stops in one gap, one against each neighbour: those teeth stay together and both ends
    /// lengthen distally.
    KeepsTogether(Tooth, Tooth),
    /// Two stops about one bracket: the wire is fixed there.
    FixesAt(Tooth),
    /// Two stops on neighbouring teeth, facing outwards: the wire travels no more than this.
    Measured(Tooth, Tooth, f64),
    /// A stop on one side only: length leaves the other way.
    SendsTo(Spot, Side),
}

/// Length of the shortest stop of the drawer that goes on such a wire, mm.
fn stop_mm(house: &House, round: bool) -> f64 {
    let fits = house.stops.values().filter(|s| s.for_round.is_none_or(|r| r == round));
    fits.map(|s| mm(s.length)).min_by(f64::total_cmp).unwrap_or(STOP_MM)
}

/// The side of its bracket a spot lies on.
pub fn side_of(spot: Spot) -> Side {
    match (spot.along, spot.tooth.side()) {
        (Along::Mesial, Side::Right) | (Along::Distal, Side::Left) => Side::Left,
        (Along::Mesial, Side::Left) | (Along::Distal, Side::Right) => Side::Right,
    }
}

pub fn other(side: Side) -> Side {
    match side {
        Side::Right => Side::Left,
        Side::Left => Side::Right,
    }
}

impl Sliding {
    /// The wire of a state in its slots. `taken_in_mm` is what it takes in at its ends as it goes in, where the
    /// mechanics has an answer.
    pub fn of(
        house: &House,
        layout: &ArchLayout,
        state: &ArchState,
        mouth: &Mouth,
        taken_in_mm: Option<f64>,
    ) -> Sliding {
        let stop_mm = stop_mm(house, state.wire.wire.section.is_round());
        let brackets: Vec<BracketPosition> = layout.in_wire().copied().collect();
        let stops = state
            .stops()
            .filter_map(|(spot, act)| {
                let at = brackets.iter().find(|b| b.tooth == spot.tooth)?;
                let centre_mm = match side_of(spot) {
                    Side::Right => at.right_edge() - stop_mm / 2.0,
                    Side::Left => at.left_edge() + stop_mm / 2.0,
                };
                Some(PlacedStop { spot, place: act.place, centre_mm })
            })
            .collect();
        let end = |side| {
            let end = state.ends.of(side);
            (end.kind, end.slack.map_or(0.0, mm))
        };
        let sources = sources(mouth, &brackets, taken_in_mm);
        Sliding { brackets, stops, sources, ends: [end(Side::Right), end(Side::Left)], stop_mm }
    }

    pub fn end(&self, side: Side) -> (EndKind, f64) {
        match side {
            Side::Right => self.ends[0],
            Side::Left => self.ends[1],
        }
    }

    /// Towards which bracket a stop runs, and how far until it meets it.
    pub fn run(&self, stop: &PlacedStop, way: Side) -> Option<(Tooth, f64)> {
        match way {
            Side::Right => {
                let bracket = self.brackets.iter().rfind(|b| b.centre_mm < stop.centre_mm)?;
                Some((bracket.tooth, stop.centre_mm - self.stop_mm / 2.0 - bracket.left_edge()))
            }
            Side::Left => {
                let bracket = self.brackets.iter().find(|b| b.centre_mm > stop.centre_mm)?;
                Some((bracket.tooth, bracket.right_edge() - stop.centre_mm - self.stop_mm / 2.0))
            }
        }
    }

    /// The first stop among these to meet a bracket going that way.
    fn first_stop<'s>(
        &self,
        stops: impl Iterator<Item = &'s PlacedStop>,
        way: Side,
    ) -> Option<SlideTravel> {
        stops
            .filter_map(|stop| {
                let (against, travel) = self.run(stop, way)?;
                let travel_mm = travel.max(0.0);
                Some(SlideTravel { travel_mm, met: SlideLimit::Stop { stop: *stop, against } })
            })
            .min_by(|a, b| a.travel_mm.total_cmp(&b.travel_mm))
    }

    /// How far the whole wire can shift that way before something meets.
    pub fn shift(&self, way: Side) -> SlideTravel {
        let trailing = self.end(other(way));
        let by_end = match trailing.0 {
            EndKind::TurnedIn | EndKind::Cinched => {
                SlideTravel { travel_mm: trailing.1, met: SlideLimit::End { slack_mm: trailing.1 } }
            }
            EndKind::Free | EndKind::Flush => {
                SlideTravel { travel_mm: trailing.1, met: SlideLimit::Nothing }
            }
        };
        match self.first_stop(self.stops.iter(), way) {
            // A stop holds the wire wherever an open end would let it go.
            Some(stop)
                if by_end.met == SlideLimit::Nothing || stop.travel_mm <= by_end.travel_mm =>
            {
                stop
            }
            _ => by_end,
        }
    }

    /// How much of a source's length can leave that way, past the stops that lie there.
    pub fn way_out(&self, source: &WireSurplus, way: Side) -> Option<SlideTravel> {
        let there = self.stops.iter().filter(|s| match way {
            Side::Right => s.centre_mm < source.centre_mm,
            Side::Left => s.centre_mm > source.centre_mm,
        });
        self.first_stop(there, way)
    }

    fn leaves(&self, source: &WireSurplus, way: Side) -> bool {
        self.way_out(source, way).is_none_or(|w| w.travel_mm + 1e-6 >= source.gives_mm)
    }

    /// Which way the length of aligning teeth leaves.
    pub fn expression(&self) -> SurplusExit {
        let (mut right, mut left) = (false, false);
        let mut locked: Option<&WireSurplus> = None;
        for source in &self.sources {
            match (self.leaves(source, Side::Right), self.leaves(source, Side::Left)) {
                (false, false) => {
                    // Named is the tooth that gives out most.
                    if locked.is_none_or(|l| source.gives_mm > l.gives_mm) {
                        locked = Some(source);
                    }
                }
                (true, false) => right = true,
                (false, true) => left = true,
                // Free both ways: it takes the shorter way out, round its own side.
                (true, true) => match source.tooth.side() {
                    Side::Right => right = true,
                    Side::Left => left = true,
                },
            }
        }
        if let Some(locked) = locked {
            return SurplusExit::Locked(locked.tooth);
        }
        let closed = |way| self.sources.iter().any(|s| !self.leaves(s, way));
        match (right, left) {
            (false, false) => SurplusExit::Nothing,
            (true, true) => SurplusExit::Both,
            (true, false) if closed(Side::Left) => SurplusExit::Only(Side::Right),
            (false, true) if closed(Side::Right) => SurplusExit::Only(Side::Left),
            _ => SurplusExit::Both,
        }
    }

    /// Length that the teeth release from other positions, by geometry alone.
    pub(crate) fn of_mouth(&self, mouth: &Mouth) -> Vec<WireSurplus> {
        sources(mouth, &self.brackets, None)
    }

    /// The wire that cannot leave, where it can leave on neither side.
    pub fn blocked(&self) -> Option<BlockedWire> {
        let SurplusExit::Locked(tooth) = self.expression() else { return None };
        let locked = self.sources.iter().find(|s| s.tooth == tooth)?;
        let (to_right, to_left) =
            (self.way_out(locked, Side::Right)?, self.way_out(locked, Side::Left)?);
        let (
            SlideLimit::Stop { stop: r, against: right },
            SlideLimit::Stop { stop: l, against: left },
        ) = (to_right.met, to_left.met)
        else {
            return None;
        };
        let between = |s: &&WireSurplus| s.centre_mm > r.centre_mm && s.centre_mm < l.centre_mm;
        let released: f64 = self.sources.iter().filter(between).map(|s| s.gives_mm).sum();
        let play_mm = to_right.travel_mm + to_left.travel_mm;
        let excess_mm = released - play_mm;
        (excess_mm > 0.0).then_some(BlockedWire { right, left, excess_mm, play_mm })
    }

    /// Wire that passes the midline as teeth align, mm; to the patient's left is positive. What may leave on both
    /// sides takes its own.
    pub fn across_midline_mm(&self) -> f64 {
        let across =
            |s: &WireSurplus| match (self.leaves(s, Side::Right), self.leaves(s, Side::Left)) {
                (false, true) if s.tooth.side() == Side::Right => s.gives_mm,
                (true, false) if s.tooth.side() == Side::Left => -s.gives_mm,
                _ => 0.0,
            };
        self.sources.iter().map(across).sum()
    }

    /// The stop that closes one way to the length of some tooth: the one that gives out most.
    pub fn closes(&self, way: Side) -> Option<(PlacedStop, Tooth)> {
        let closed = self.sources.iter().filter(|s| !self.leaves(s, way));
        closed
            .filter_map(|source| match self.way_out(source, way)?.met {
                SlideLimit::Stop { stop, .. } => Some((source, stop)),
                _ => None,
            })
            .max_by(|a, b| a.0.gives_mm.total_cmp(&b.0.gives_mm))
            .map(|(source, stop)| (stop, source.tooth))
    }

    /// What the stops do.
    pub fn uses(&self) -> Vec<StopUse> {
        let mut out = Vec::new();
        let mut taken = vec![false; self.stops.len()];
        for (i, a) in self.stops.iter().enumerate() {
            for (j, b) in self.stops.iter().enumerate().skip(i + 1) {
                if taken[i] || taken[j] {
                    continue;
                }
                if let Some(pair) = self.pair(a, b) {
                    taken[i] = true;
                    taken[j] = true;
                    out.push(pair);
                }
            }
        }
        for (stop, taken) in self.stops.iter().zip(taken) {
            if !taken {
                // It touches the bracket on the far side of its own side, so it closes that way.
                out.push(StopUse::SendsTo(stop.spot, side_of(stop.spot)));
            }
        }
        out
    }

    fn pair(&self, a: &PlacedStop, b: &PlacedStop) -> Option<StopUse> {
        let (right, left) = if a.centre_mm <= b.centre_mm { (a, b) } else { (b, a) };
        let (r, l) = (right.spot.tooth, left.spot.tooth);
        if r == l {
            return Some(StopUse::FixesAt(r));
        }
        let neighbours = self.brackets.windows(2).any(|w| w[0].tooth == r && w[1].tooth == l);
        if !neighbours {
            return None;
        }
        match (side_of(right.spot), side_of(left.spot)) {
            (Side::Left, Side::Right) => Some(StopUse::KeepsTogether(r, l)),
            (Side::Right, Side::Left) => {
                let travel = |s, way| self.run(s, way).map_or(0.0, |(_, t)| t.max(0.0));
                Some(StopUse::Measured(
                    r,
                    l,
                    travel(right, Side::Right).min(travel(left, Side::Left)),
                ))
            }
            _ => None,
        }
    }
}

/// The length each tooth out of line will give out as it comes in. Shared out by geometry: the way round
/// each tooth less the straight way. How much it is in all, the mechanics says: what the wire takes in at
/// its ends as it goes into the slots.
fn sources(
    mouth: &Mouth,
    brackets: &[BracketPosition],
    taken_in_mm: Option<f64>,
) -> Vec<WireSurplus> {
    let poses: Vec<_> = brackets.iter().map(|b| mouth.pose(b.tooth)).collect();
    let mut gives: Vec<f64> = brackets
        .iter()
        .zip(&poses)
        .map(|(at, pose)| at.width_mm * (1.0 - pose.rotated_rad.abs().min(1.5).cos()))
        .collect();
    for i in 1..brackets.len() {
        let (a, b) = (i - 1, i);
        let apart = (brackets[b].centre_mm - brackets[a].centre_mm).abs();
        let span = (apart - (brackets[a].width_mm + brackets[b].width_mm) / 2.0).max(1.0);
        let step = (poses[a].lingual_mm - poses[b].lingual_mm)
            .hypot(poses[a].gingival_mm - poses[b].gingival_mm);
        let longer = span.hypot(step) - span;
        // To the tooth that stands out, or to both by how far each does.
        let (off_a, off_b) = (poses[a].off_mm(), poses[b].off_mm());
        let share = if off_a + off_b > 0.0 { off_a / (off_a + off_b) } else { 0.5 };
        gives[a] += longer * share;
        gives[b] += longer * (1.0 - share);
    }
    let all: f64 = gives.iter().sum();
    let factor = taken_in_mm
        .filter(|taken| *taken > 0.05 && all > 0.05)
        .map_or(1.0, |mm| (mm / all).clamp(0.5, 2.0));
    let mut out = Vec::new();
    for ((at, pose), gives) in brackets.iter().zip(&poses).zip(gives) {
        let own = pose.off_mm() > 0.3 || pose.rotated_rad.abs() > 0.09;
        let gives_mm = gives * factor;
        if own && gives_mm >= 0.05 {
            out.push(WireSurplus { tooth: at.tooth, centre_mm: at.centre_mm, gives_mm });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_text::{FileId, Span};

    fn tooth(code: u32) -> Tooth {
        Tooth::iso(code).unwrap()
    }

    /// Ten upper brackets 3 mm wide, 7 mm apart, the midline between 11 and 21.
    fn arch(stops: &[(Along, u32)], out_of_line: &[u32]) -> Sliding {
        let codes = [15, 14, 13, 12, 11, 21, 22, 23, 24, 25];
        let brackets: Vec<BracketPosition> = codes
            .iter()
            .enumerate()
            .map(|(i, c)| BracketPosition {
                tooth: tooth(*c),
                centre_mm: 7.0 * (i as f64) - 31.5,
                crown_centre_mm: 7.0 * (i as f64) - 31.5,
                crown_mm: 7.0,
                width_mm: 3.0,
                in_wire: true,
            })
            .collect();
        let place = Place { file: FileId(0), span: Span::new(0, 0) };
        let at = |c: u32| *brackets.iter().find(|b| b.tooth == tooth(c)).unwrap();
        let stops = stops
            .iter()
            .map(|(along, c)| {
                let spot = Spot { along: *along, tooth: tooth(*c) };
                let centre_mm = match side_of(spot) {
                    Side::Right => at(*c).right_edge() - 0.75,
                    Side::Left => at(*c).left_edge() + 0.75,
                };
                PlacedStop { spot, place, centre_mm }
            })
            .collect();
        let sources = out_of_line
            .iter()
            .map(|c| WireSurplus { tooth: tooth(*c), centre_mm: at(*c).centre_mm, gives_mm: 0.8 })
            .collect();
        Sliding { brackets, stops, sources, ends: [(EndKind::TurnedIn, 2.0); 2], stop_mm: 1.5 }
    }

    use Along::{Distal, Mesial};

    #[test]
    fn a_pair_in_the_midline_keeps_the_incisors_together_and_lets_both_ends_go() {
        let wire = arch(&[(Mesial, 11), (Mesial, 21)], &[12, 22]);
        assert_eq!(wire.uses(), [StopUse::KeepsTogether(tooth(11), tooth(21))]);
        assert_eq!(wire.expression(), SurplusExit::Both);
        assert_eq!(wire.shift(Side::Right).travel_mm, 0.0);
        assert_eq!(wire.shift(Side::Left).travel_mm, 0.0);
    }

    #[test]
    fn a_stop_on_one_side_sends_all_length_to_the_other() {
        let wire = arch(&[(Mesial, 15)], &[12, 13]);
        assert_eq!(wire.expression(), SurplusExit::Only(Side::Left));
        let wire = arch(&[(Mesial, 25)], &[12, 13]);
        assert_eq!(wire.expression(), SurplusExit::Only(Side::Right));
    }

    #[test]
    fn two_stops_about_one_bracket_fix_the_wire_there() {
        let wire = arch(&[(Mesial, 14), (Distal, 14)], &[12]);
        assert_eq!(wire.uses(), [StopUse::FixesAt(tooth(14))]);
        assert_eq!(wire.expression(), SurplusExit::Only(Side::Left));
    }

    #[test]
    fn stops_on_neighbouring_teeth_leave_a_measured_travel() {
        let wire = arch(&[(Distal, 11), (Distal, 21)], &[]);
        // Free wire 4 mm, less the stop's own 1.5.
        assert_eq!(wire.uses(), [StopUse::Measured(tooth(11), tooth(21), 2.5)]);
    }

    #[test]
    fn a_tooth_between_two_closed_ways_locks_the_wire() {
        let wire = arch(&[(Mesial, 14), (Mesial, 11)], &[12]);
        // Right: stop mesial of 14 meets 14 at once. Left: stop mesial of 11 may run 2.5 mm to 21.
        assert_eq!(wire.expression(), SurplusExit::Only(Side::Left));
        let wire = arch(&[(Mesial, 14), (Mesial, 21)], &[12]);
        assert_eq!(wire.expression(), SurplusExit::Locked(tooth(12)));
    }

    #[test]
    fn wire_between_two_stops_is_too_long_by_what_cannot_leave() {
        let wire = arch(&[(Mesial, 14), (Mesial, 21)], &[12, 13, 23]);
        let blocked = wire.blocked().unwrap();
        assert_eq!((blocked.right, blocked.left), (tooth(14), tooth(21)));
        assert!((blocked.excess_mm - 1.6).abs() < 1e-9);
        assert_eq!(arch(&[(Mesial, 14)], &[12]).blocked(), None);
    }

    #[test]
    fn length_passes_the_midline_only_where_its_own_side_is_closed() {
        let across = |stops: &[(Along, u32)], out: &[u32]| arch(stops, out).across_midline_mm();
        assert!((across(&[(Mesial, 15)], &[12, 13, 22]) - 1.6).abs() < 1e-9);
        assert!((across(&[(Mesial, 25)], &[12, 22]) + 0.8).abs() < 1e-9);
        assert_eq!(across(&[], &[12, 13]), 0.0);
        assert_eq!(across(&[(Mesial, 11), (Mesial, 21)], &[12, 22]), 0.0);
    }

    #[test]
    fn the_tooth_that_gives_out_most_is_the_one_named() {
        let mut wire = arch(&[(Mesial, 14), (Mesial, 21)], &[13, 12]);
        wire.sources[0].gives_mm = 0.2;
        assert_eq!(wire.expression(), SurplusExit::Locked(tooth(12)));
        let mut wire = arch(&[(Mesial, 15)], &[13, 12]);
        wire.sources[0].gives_mm = 0.2;
        assert_eq!(wire.closes(Side::Right).map(|c| c.1), Some(tooth(12)));
    }

    /// The practice has a stop of 1.5 mm for round wires and one of 2 mm for rectangular ones.
    #[test]
    fn a_stop_is_as_long_as_the_one_that_fits_the_wire() {
        let house = crate::testing::in_line().house;
        assert_eq!([true, false].map(|round| stop_mm(&house, round)), [1.5, 2.0]);
    }

    #[test]
    fn an_open_end_holds_nothing() {
        let mut wire = arch(&[], &[12]);
        wire.ends = [(EndKind::TurnedIn, 2.0), (EndKind::Free, 0.0)];
        assert_eq!(wire.shift(Side::Right).met, SlideLimit::Nothing);
        assert_eq!(wire.shift(Side::Left).met, SlideLimit::End { slack_mm: 2.0 });
    }
}
