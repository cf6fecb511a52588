//! Hover on names of stock items and other definitions.

use springline_emit::wording::force_left;
use springline_lang::course::label_mm;
use springline_lang::course::on_demand::standard_test;
use springline_lang::course::setup::stock;
use springline_lang::course::torque::play_in_deg;
use springline_lang::mechanics::Law;
use springline_lang::model::House;
use springline_lang::model::force_left::ForceLeft;
use springline_lang::model::form::{Form, FormCurve, TwoWidths};
use springline_lang::model::stock::{
    BENCH_C, Bracket, ChainKind, Closure, Coil, CoilKind, CrownTurn, Wire, printed,
};
use springline_lang::text::Place;
use springline_lang::units::quantity::{degrees, grams, megapascals, mm, newtons_to_grams, plain};

use crate::analysed_file::AnalysedFile;
use crate::features::text;

/// A name by its namespace.
pub fn hover(analysed: AnalysedFile<'_>, label: &str, name: &str) -> Option<String> {
    let house = analysed.house()?;
    let (text, place) = match label {
        "wire" => house.wires.get(name).map(|w| (wire(w, house), Some(w.place)))?,
        "bracket" => house.brackets.get(name).map(|b| (bracket(b), Some(b.place)))?,
        "coil" => house.coils.get(name).map(|c| (coil(c), Some(c.place)))?,
        "elastic" => house.elastics.get(name).map(|e| {
            let size = e.size_text.as_deref().unwrap_or("size not given");
            let grams = plain(grams(e.force).round());
            let stretched = e.size.map_or(String::new(), |size| {
                // Labels hold at three times the inner diameter, by convention of the trade.
                format!(" stretched to {} mm", plain((3.0 * mm(size)).round()))
            });
            let left = left(&e.force_left(), e.left.is_some());
            (
                format!(
                    "**{}**: elastic, {size}, {} ({grams} g){stretched}{left}",
                    e.name, e.force_text
                ),
                Some(e.place),
            )
        })?,
        "chain" => house.chains.get(name).map(|c| {
            let kind = match c.kind {
                ChainKind::Closed => "closed",
                ChainKind::Short => "short",
                ChainKind::Long => "long",
            };
            let force = c.force.map(|f| format!(", {} g", plain(grams(f).round())));
            let left = left(&c.force_left(), c.left.is_some());
            (
                format!("**{}**: {kind} chain{}{left}", c.name, force.unwrap_or_default()),
                Some(c.place),
            )
        })?,
        "stop" => house.stops.get(name).map(|s| {
            let wires = match s.for_round {
                Some(true) => ", for round wires",
                Some(false) => ", for rectangular wires",
                None => "",
            };
            (format!("**{}**: stop, {} mm long{wires}", s.name, plain(mm(s.length))), Some(s.place))
        })?,
        "form" => house.forms.get(name).map(|f| (form(f), f.place))?,
        "sequence" => house.sequences.get(name).map(|s| {
            let steps: Vec<String> = s
                .steps
                .iter()
                .map(|step| format!("`{}`: {}", step.name, step.wire.value.label()))
                .collect();
            (format!("**{}**  \n{}", s.name, steps.join("  \n")), Some(s.place))
        })?,
        "house" => return Some(format!("**{}**, the practice file `{name}.spring`", house.title)),
        _ => return None,
    };
    Some(match place.and_then(|p| written_in(analysed, p)) {
        Some(file) => format!("{text}\n\nfrom {file}"),
        None => text,
    })
}

/// What is left of a force, by whose figures.
fn left(left: &ForceLeft, own: bool) -> String {
    let whose = if own { "measured by the practice" } else { "as published" };
    format!("  \nleft of it: {} ({whose})", force_left(left))
}

/// The file a thing is written in, where that is another one.
fn written_in<'a>(analysed: AnalysedFile<'a>, place: Place) -> Option<&'a str> {
    (place.file != analysed.parse().file).then(|| analysed.name_of(place.file))?
}

fn wire(wire: &Wire, house: &House) -> String {
    let mut out = format!("**{}**: {}, {}", wire.name, wire.alloy.word(), text::section(wire));
    let mut own = Vec::new();
    if let Some(edge) = wire.edge {
        own.push(format!("edge {} mm", plain(mm(edge))));
    }
    if let Some(modulus) = wire.modulus {
        own.push(format!("modulus {} GPa", plain(megapascals(modulus) / 1000.0)));
    }
    if let Some(af) = wire.af_c {
        own.push(format!("Af {} C", plain(af)));
    }
    if wire.measured.is_some() {
        own.push("measured by the practice".to_owned());
    }
    if !own.is_empty() {
        out.push_str(&format!(", {}", own.join(", ")));
    }
    if let Some(plateaus) = plateaus(wire) {
        out.push_str(&format!("  \n{plateaus}"));
    }
    for bracket in house.brackets.values() {
        out.push_str(&format!("  \n{}", play(wire, bracket)));
    }
    if let Some(table) = table(wire) {
        out = super::estimated(format!("{out}\n\n{table}"));
    }
    out
}

/// The plateaus of nickel-titanium where they are not those of its alloy in a bending test.
fn plateaus(wire: &Wire) -> Option<String> {
    let law = stock(wire).law;
    let Law::Flag(flag) = law else { return None };
    if wire.af_c.is_none() && wire.mouth_c == BENCH_C {
        return None;
    }
    let mpa = |stress: f64| plain(stress.max(0.0).round());
    let soft = match wire.soft_in_mouth() {
        Some(_) => "; its Af lies above that: soft, not superelastic",
        None => "",
    };
    Some(format!(
        "in the mouth at {} C: loading {}..{} MPa, unloading {}..{} MPa{soft}",
        plain(wire.mouth_c),
        mpa(flag.loading_start_mpa),
        mpa(flag.loading_end_mpa),
        mpa(flag.unloading_start_mpa),
        mpa(flag.unloading_end_mpa)
    ))
}

/// How much smaller than the slot it is.
fn play(wire: &Wire, bracket: &Bracket) -> String {
    let named = mm(bracket.slot_height) - mm(wire.section.height());
    let depth = mm(bracket.slot_depth) - mm(wire.section.depth());
    // Less than this is rounding, not metal.
    const SNUG_MM: f64 = -0.001;
    if named < SNUG_MM || depth < SNUG_MM {
        return format!("does not fit `{}` ({})", bracket.name, printed(&bracket.slot_text));
    }
    format!(
        "play in `{}` ({}): {:.2} mm in height, {:.2} mm in depth{}",
        bracket.name,
        printed(&bracket.slot_text),
        (bracket.true_height_mm().taken_mm - mm(wire.section.height())).max(0.0),
        depth.max(0.0),
        twist(wire, bracket)
    )
}

/// How far it turns in the slot before it touches, over what the slot may be.
fn twist(wire: &Wire, bracket: &Bracket) -> String {
    let height = bracket.true_height_mm();
    let deg = |slot: f64| play_in_deg(wire, slot).map(f64::round);
    match (deg(height.least_mm), deg(height.taken_mm), deg(height.most_mm)) {
        (Some(least), Some(taken), Some(most)) => {
            format!(", {taken} deg ({least}-{most}) of rotation")
        }
        _ => String::new(),
    }
}

/// Forces of the standard's bending test.
fn table(wire: &Wire) -> Option<String> {
    let (test, curve) = standard_test(wire)?;
    let mut out = "| deflection | loading | unloading |\n| --- | --- | --- |\n".to_owned();
    for deflection in [0.5, 1.0, 2.0, 3.0] {
        let cell = |force: Option<f64>| {
            force.map_or("-".to_owned(), |n| format!("{:.0} g", newtons_to_grams(n).max(0.0)))
        };
        out.push_str(&format!(
            "| {deflection} mm | {} | {} |\n",
            cell(curve.loading_at(deflection)),
            cell(curve.unloading_at(deflection))
        ));
    }
    out.push_str(&format!(
        "\nthree-point test, {} mm span, to {} mm and back (ISO 15841), computed",
        plain(test.span_mm),
        plain(test.to_mm)
    ));
    if curve.permanent_set_mm > 0.05 {
        out.push_str(&format!("; permanent set {:.1} mm", curve.permanent_set_mm));
    }
    Some(out)
}

fn true_height(bracket: &Bracket) -> String {
    let height = bracket.true_height_mm();
    match bracket.slot_measured {
        Some(_) => format!("measured {:.3} mm high", height.taken_mm),
        None => format!(
            "computed {:.3} mm high, as slots of that nominal size are {:.3} to {:.3} mm",
            height.taken_mm, height.least_mm, height.most_mm
        ),
    }
}

fn bracket(bracket: &Bracket) -> String {
    let kind = match (bracket.is_tube, bracket.closure) {
        (true, _) => "tube".to_owned(),
        (false, Closure::Passive) => "self-ligating bracket, passive slide".to_owned(),
        (false, Closure::Active { seats: None }) => "self-ligating bracket, active clip".to_owned(),
        (false, Closure::Active { seats: Some(seats) }) => {
            format!("self-ligating bracket, clip active from {:.3} in", mm(seats) / 25.4)
        }
        (false, Closure::Ligated) => "bracket closed by ligatures".to_owned(),
    };
    let band = if bracket.on_band { " on a band" } else { "" };
    let mut out = format!(
        "**{}**: {kind}{band}, slot {} ({:.2} \u{d7} {:.2} mm; {})",
        bracket.name,
        printed(&bracket.slot_text),
        mm(bracket.slot_height),
        mm(bracket.slot_depth),
        true_height(bracket)
    );
    if let Some(width) = bracket.width.general {
        out.push_str(&format!(", {} mm wide", plain(mm(width))));
    }
    for (tooth, (angle, turn)) in &bracket.torque.special {
        let turn = match turn {
            CrownTurn::CrownLabial => "crown-labial",
            CrownTurn::CrownLingual => "crown-lingual",
        };
        out.push_str(&format!("  \ntorque on {tooth}: {} deg {turn}", plain(degrees(*angle))));
    }
    if !bracket.variants.is_empty() {
        let names: Vec<&str> = bracket.variants.keys().map(AsRef::as_ref).collect();
        out.push_str(&format!("  \nvariants: {}", names.join(", ")));
    }
    out
}

fn coil(coil: &Coil) -> String {
    let kind = match coil.kind {
        CoilKind::Open => "open coil: makes space",
        CoilKind::Closed => "passive coil: holds space",
        CoilKind::Closing => "closing spring: closes space",
    };
    let mut out = format!("**{}**: {kind}", coil.name);
    if let Some(force) = coil.force {
        out.push_str(&format!(", {} g", plain(grams(force).round())));
    }
    if coil.kind == CoilKind::Open {
        out.push_str(&format!(" compressed by {} mm", plain(label_mm(Some(coil)))));
    }
    if let Some(stroke) = coil.stroke {
        out.push_str(&format!(", stroke {} mm", plain(mm(stroke))));
    }
    if let Some(length) = coil.length {
        out.push_str(&format!(", {} mm long", plain(mm(length))));
    }
    out
}

fn form(form: &Form) -> String {
    match form.curve {
        FormCurve::Catenary { a } => {
            format!("**{}**: catenary, {} mm radius at the midline", form.name, plain(mm(a)))
        }
        FormCurve::Circle { radius } => {
            format!("**{}**: circle of {} mm radius", form.name, plain(mm(radius)))
        }
        FormCurve::TwoWidths(TwoWidths { canines, molars, front_per_mm, .. }) => format!(
            "**{}**: {} mm wide at the canines, {} mm behind the front; {} mm at the first molars, {} mm behind; \
             {} mm radius at the midline",
            form.name,
            plain(mm(canines.width)),
            plain(mm(canines.depth)),
            plain(mm(molars.width)),
            plain(mm(molars.depth)),
            plain((10.0 / front_per_mm).round() / 10.0),
        ),
    }
}
