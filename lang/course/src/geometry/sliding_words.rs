//! What stops do and how far a wire slides, as sentences: findings, cards and hovers say the same.

use super::sliding::{
    BlockedWire, GOES_ALONG, LITTLE_MM, SlideLimit, Sliding, StopUse, SurplusExit, other,
};
use springline_model::step::Spot;
use springline_units::quantity::{newtons_to_grams, plain};
use springline_units::tooth::{Notation, Side, Tooth};

/// "2.5 mm".
fn say_mm(value: f64) -> String {
    format!("{} mm", plain((value * 10.0).round() / 10.0 + 0.0))
}

/// "mesial of 11".
fn say_spot(spot: Spot, notation: Notation) -> String {
    format!("{} of {}", spot.along.word(), spot.tooth.write(notation))
}

/// "13", "13 and 12", "13, 12 and 22".
fn say_teeth(teeth: &[Tooth], notation: Notation) -> String {
    let parts: Vec<String> = teeth.iter().map(|t| t.write(notation)).collect();
    match parts.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

impl StopUse {
    pub fn say(self, notation: Notation) -> String {
        let tooth = |t: Tooth| t.write(notation);
        match self {
            StopUse::KeepsTogether(a, b) => format!(
                "two stops facing each other between {} and {}: the two teeth stay together, and released wire \
                 exits at both ends",
                tooth(a),
                tooth(b)
            ),
            StopUse::FixesAt(t) => {
                format!("two stops around {}: the wire is fixed there and cannot slide", tooth(t))
            }
            StopUse::Measured(a, b, travel) => format!(
                "stops around {} and {}, back to back: the wire can travel {} there and no more",
                tooth(a),
                tooth(b),
                say_mm(travel)
            ),
            StopUse::SendsTo(spot, side) => format!(
                "one stop, {}: no wire exits on the patient's {}, all of it exits on the {side}",
                say_spot(spot, notation),
                other(side)
            ),
        }
    }
}

impl BlockedWire {
    /// "0.7 mm of wire too much between 14 and 21 presses them apart with about 210 g". Where the two are tied
    /// together, the tie takes it.
    pub fn say(&self, force_n: Option<f64>, tied: bool, notation: Notation) -> String {
        let with = force_n.map_or(String::new(), |n| {
            format!(" with about {} g", plain(newtons_to_grams(n).round()))
        });
        let tie = if tied { ", which the tie between them takes" } else { "" };
        format!(
            "{} of wire too much between {} and {} presses them apart{with}{tie}",
            say_mm(self.excess_mm),
            self.right.write(notation),
            self.left.write(notation)
        )
    }
}

impl Sliding {
    /// What the stops do; nothing where there is no wire in two brackets.
    pub fn stops_say(&self, notation: Notation) -> Vec<String> {
        if self.brackets.len() < 2 {
            return Vec::new();
        }
        self.uses().into_iter().map(|u| u.say(notation)).collect()
    }

    /// How far the wire can shift to each side and what ends that; and which way it comes out as teeth align.
    pub fn slide_says(&self, notation: Notation) -> Vec<String> {
        if self.brackets.len() < 2 {
            return Vec::new();
        }
        let mut out: Vec<String> =
            [Side::Right, Side::Left].into_iter().map(|way| self.shifts(way, notation)).collect();
        out.extend(self.comes_out(notation));
        out
    }

    /// What the wire that passes the midline does to it.
    pub fn midline_says(&self) -> Option<String> {
        let across = self.across_midline_mm();
        if across.abs() < LITTLE_MM {
            return None;
        }
        let side = if across > 0.0 { Side::Left } else { Side::Right };
        let [least, median, most] = GOES_ALONG.map(|share| say_mm(share * across.abs()));
        Some(format!(
            "the wire that passes the midline carries it about {median} to the patient's {side} ({least} to {most})"
        ))
    }

    fn shifts(&self, way: Side, notation: Notation) -> String {
        let shift = self.shift(way);
        let far = say_mm(shift.travel_mm);
        match shift.met {
            SlideLimit::Stop { stop, against } => format!(
                "to the patient's {way} it can shift {far}, until the stop {} meets {}",
                say_spot(stop.spot, notation),
                against.write(notation)
            ),
            SlideLimit::End { .. } => format!(
                "to the patient's {way} it can shift {far}, until its {} end lies against the tube",
                other(way)
            ),
            SlideLimit::Nothing => format!(
                "to the patient's {way} nothing stops it before its {} end leaves the tube",
                other(way)
            ),
        }
    }

    fn comes_out(&self, notation: Notation) -> Option<String> {
        let all: f64 = self.sources.iter().map(|s| s.gives_mm).sum();
        if all < LITTLE_MM {
            return None;
        }
        let teeth: Vec<_> = self.sources.iter().map(|s| s.tooth).collect();
        let from =
            format!("aligning {} releases {} of wire", say_teeth(&teeth, notation), say_mm(all));
        Some(match self.expression() {
            SurplusExit::Nothing => return None,
            SurplusExit::Both => format!("{from}, at both ends"),
            SurplusExit::Only(side) => format!("{from}, all of it on the patient's {side}"),
            SurplusExit::Locked(tooth) => {
                format!("{from}, and what {} releases cannot exit", tooth.write(notation))
            }
        })
    }
}
