//! Hover on a tooth: its names, its position with provenance, and the action of the wire on it.

use springline_emit::wording;
use springline_lang::course::{Phase, ToothStatus};
use springline_lang::model::case::{ArchCase, ToothState};
use springline_lang::model::measured_block::MeasuredBlock;
use springline_lang::model::provenance::Origin;
use springline_lang::model::stand::Stand;
use springline_lang::syntax::ItemAt;
use springline_lang::text::Span;
use springline_lang::units::quantity::{mm, newtons_to_grams, plain};
use springline_lang::units::tooth::{Notation, Tooth};

use crate::analysed_file::AnalysedFile;
use crate::features::text;

pub fn hover(analysed: AnalysedFile<'_>, at: &ItemAt<'_>, offset: usize) -> Option<(Span, String)> {
    let typed = at.item.teeth()?;
    let span = match typed.last {
        Some(last) if last.contains(offset) => last,
        _ => typed.first,
    };
    let tooth = Tooth::parse(analysed.parse().text(span))?;
    let mut parts = vec![names(tooth)];
    if typed.last.is_some() {
        let all = analysed.teeth_of(typed);
        let absent = |t: &Tooth| {
            arch_case(analysed, *t)
                .is_some_and(|a| a.states.get(t).is_some_and(|(s, _)| s.is_absent()))
        };
        let there: Vec<Tooth> = all.into_iter().filter(|t| !absent(t)).collect();
        parts.push(format!("the range is {}", text::teeth(&there, analysed.notation())));
    }
    if let Some(arch) = arch_case(analysed, tooth) {
        parts.extend(as_entered(arch, tooth));
    }
    let force = at_a_step(analysed, tooth, offset);
    parts.extend(force.as_ref().map(|force| format!("\n---\n\n{force}")));
    let text = parts.join("  \n");
    Some((span, if force.is_some() { super::estimated(text) } else { text }))
}

/// In all three notations and in words.
fn names(tooth: Tooth) -> String {
    let [iso, quadrant, universal] =
        [Notation::Iso, Notation::Quadrant, Notation::Universal].map(|n| tooth.write(n));
    format!("**{iso}** = {quadrant} = {universal}: {}", tooth.words())
}

fn arch_case<'a>(analysed: AnalysedFile<'a>, tooth: Tooth) -> Option<&'a ArchCase> {
    analysed.case()?.arch(tooth.arch())
}

fn as_entered(arch: &ArchCase, tooth: Tooth) -> Vec<String> {
    let mut out = Vec::new();
    if let Some((state, _)) = arch.states.get(&tooth) {
        let stays = match state {
            ToothState::Implant | ToothState::Ankylosed => ": it does not move",
            _ => "",
        };
        out.push(format!("{}{stays}", wording::tooth_state(*state)));
    }
    if let Some(bonding) = arch.bonded.get(&tooth) {
        let turned = if bonding.inverted { ", inverted" } else { "" };
        out.push(format!("carries {}{turned}", bonding.bracket.name));
    }
    match arch.stands.get(&tooth) {
        Some(stand) => {
            let from = match (stand.origin, &arch.reading) {
                (Origin::Points, Some(reading)) => measured_from(reading),
                (origin, _) => origin.describe().to_owned(),
            };
            let said = entered(&stand.value, tooth);
            let said = if said.is_empty() { "in line".to_owned() } else { said };
            out.push(format!("{said} ({from})"))
        }
        None if arch.bonded.contains_key(&tooth) => {
            out.push(Origin::Assumed.describe().to_owned());
        }
        None => {}
    }
    if let Some(caution) = arch.cautions.iter().find(|c| c.tooth == tooth) {
        out.push(format!("caution: {}", caution.why));
    }
    out
}

/// "measured from points of sm-0392-upper.csv, 2026-11-25, each within 0.2 mm".
fn measured_from(reading: &MeasuredBlock) -> String {
    format!(
        "{} of {}, {}, each within {} mm",
        Origin::Points.describe(),
        springline_lang::text::visible::line(&reading.file),
        reading.on,
        plain(mm(reading.error))
    )
}

/// "is 2.4 mm palatal, rotated 25 deg, mesial edge in; width 6.5 mm".
fn entered(stand: &Stand, tooth: Tooth) -> String {
    let mut parts = Vec::new();
    let way = wording::stand(stand, tooth);
    if !way.is_empty() {
        parts.push(format!("is {way}"));
    }
    for (what, length) in [("width", stand.width), ("space", stand.space)] {
        parts.extend(length.map(|l| format!("{what} {} mm", plain(mm(l)))));
    }
    parts.join("; ")
}

/// What the wire of the step around the cursor does to the tooth; the first step's elsewhere.
fn at_a_step(analysed: AnalysedFile<'_>, tooth: Tooth, offset: usize) -> Option<String> {
    let inside = analysed.step_line_at(offset).and_then(|line| analysed.step_of(line));
    let (arch, step) =
        inside.filter(|(arch, _)| *arch == tooth.arch()).unwrap_or((tooth.arch(), 0));
    let phase = analysed.phase(arch, step)?;
    Some(in_phase(phase, tooth))
}

fn in_phase(phase: &Phase, tooth: Tooth) -> String {
    let head = format!("in `{}`, {}", phase.name, phase.wire.label());
    match phase.state.status(tooth) {
        ToothStatus::Bypassed => return format!("{head}: left out of the wire"),
        ToothStatus::NotBonded => return format!("{head}: no bracket"),
        ToothStatus::Absent => return format!("{head}: not present"),
        _ => {}
    }
    if let Some(refused) = &phase.insertion.refused {
        return format!("{head}: not computed. {}", refused.why);
    }
    let Some(load) = phase.insertion.tooth(tooth) else { return head };
    if load.passive {
        return format!("{head}: the wire does not load it");
    }
    let action = &load.delivered;
    let components = [
        direction(action.lingual_n, "lingual", "labial"),
        direction(action.gingival_n, "gingival", "occlusal"),
        direction(action.along_n, "to the patient's left", "to the patient's right"),
    ];
    let components: Vec<String> = components.into_iter().flatten().collect();
    let mut out = format!(
        "{head}:  \n**{}** on insertion, {} after 0.2 mm, {} after 0.5 mm",
        text::grams(load.peak_n),
        text::grams(load.delivered_n),
        text::grams(load.sustained_n)
    );
    if !components.is_empty() {
        out.push_str(&format!("  \nafter 0.2 mm: {}", components.join(", ")));
    }
    if action.rotation_nmm.abs() >= 0.5 {
        out.push_str(&format!(
            "  \nrotation moment {} N·mm",
            plain((action.rotation_nmm.abs() * 10.0).round() / 10.0)
        ));
    }
    if let Some(torque) = springline_lang::course::torque::torque(phase, tooth) {
        let whole = |figure: f64| plain(figure.abs().round());
        let play = torque.play_deg.map_or("rotates freely in its slot".to_owned(), |p| {
            format!("has {} deg of play in its slot", whole(p))
        });
        out.push_str(&format!(
            "  \ntorque asked for {} deg; the wire {play}, its moment is {} N·mm, and {} deg is expressed",
            whole(torque.asked_deg),
            whole(torque.couple_nmm),
            whole((torque.arrives_deg * torque.asked_deg.signum()).max(0.0))
        ));
    }
    if let Some(course) = phase.tooth(tooth) {
        let way = |mm: f64, deg: f64| format!("{mm:.1} mm, {deg:.0} deg");
        out.push_str(&format!(
            "  \nout of line: {} at the start, {} when the wire is removed",
            way(course.entry.off_mm(), course.entry.off_deg()),
            way(course.exit.off_mm(), course.exit.off_deg())
        ));
    }
    out
}

/// "38 g lingual"; nothing below what anyone could feel.
fn direction(newtons: f64, plus: &str, minus: &str) -> Option<String> {
    let grams = newtons_to_grams(newtons);
    (grams.abs() >= 1.0).then(|| {
        let way = if grams > 0.0 { plus } else { minus };
        format!("{:.0} g {way}", grams.abs())
    })
}
