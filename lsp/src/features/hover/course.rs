//! Hover: the predicted course at a step, and of an arch.

use springline_lang::course::{EndReason, Phase};
use springline_lang::model::step::{Step, StepSource};
use springline_lang::units::tooth::{Arch, Notation};

use crate::analysed_file::AnalysedFile;
use crate::features::text;

/// A step by its name: its kind, its departures, and its prediction.
pub fn step(analysed: AnalysedFile<'_>, name: &str, offset: usize) -> Option<String> {
    let arches = match analysed.arch_at(offset) {
        Some(arch) => vec![arch],
        None => Arch::BOTH.to_vec(),
    };
    let mut parts = Vec::new();
    for arch in arches {
        let found = analysed.case().and_then(|c| c.arch(arch)).and_then(|case| {
            let index = case.steps.iter().position(|s| *s.name == *name)?;
            Some((index, case.steps.get(index)?))
        });
        if let Some((index, step)) = found {
            let mut part = plan(arch, step);
            if let Some(phase) = analysed.phase(arch, index) {
                part.push_str(&predicted(phase, analysed.notation()));
                part.push_str(&chair(phase, analysed));
                for canine in &phase.slid {
                    part.push_str(&format!("  \n{}", canine.say(analysed.notation())));
                }
                let pulls = phase.tooth_pulls();
                for pull in pulls.iter().filter_map(|p| p.say(analysed.notation())) {
                    part.push_str(&format!("  \n{pull}"));
                }
            }
            part.push_str(&slides(analysed, arch, index));
            parts.push(part);
        }
    }
    if !parts.is_empty() {
        return Some(super::estimated(parts.join("\n\n")));
    }
    of_house(analysed, name)
}

/// What the stops of a step do, how far its wire can slide, and where it comes out as teeth align.
pub fn slides(analysed: AnalysedFile<'_>, arch: Arch, step: usize) -> String {
    let (Some(case), Some(phase)) = (analysed.case(), analysed.phase(arch, step)) else {
        return String::new();
    };
    let wire = phase.sliding(&case.house);
    let (stops, ways) = (wire.stops_say(analysed.notation()), wire.slide_says(analysed.notation()));
    let does = phase.stops_do(&case.house);
    stops.into_iter().chain(ways).chain(does).map(|s| format!("  \n{s}")).collect()
}

/// The chair test on the day the wire is to come out.
fn chair(phase: &Phase, analysed: AnalysedFile<'_>) -> String {
    let said = analysed.case().zip(phase.end.date).and_then(|(case, on)| {
        Some(format!(
            "  \nchair test on {on}: {}",
            phase.chair_says(&case.house, on, &phase.state.acts)?
        ))
    });
    said.unwrap_or_default()
}

fn plan(arch: Arch, step: &Step) -> String {
    let from = match &step.source {
        StepSource::Sequence { sequence } => format!(", from the practice's sequence `{sequence}`"),
        StepSource::Changed { sequence } => {
            format!(", changed from the practice's sequence `{sequence}`")
        }
        StepSource::Added => String::new(),
    };
    let mut out = format!(
        "**{}**, {arch}, {}{from}  \nwire {} ({})",
        step.name,
        step.kind.word(),
        step.wire.value.label(),
        step.wire.origin.describe()
    );
    for departure in &step.departures {
        let side = |text: &Option<String>| text.clone().unwrap_or_else(|| "nothing".to_owned());
        out.push_str(&format!(
            "  \n{}: usual here {}, this case {}",
            departure.what,
            side(&departure.house),
            side(&departure.here)
        ));
    }
    out
}

fn predicted(phase: &Phase, notation: Notation) -> String {
    let mut out = String::new();
    if let Some(date) = phase.date_in {
        let verb = if phase.begun { "in place since" } else { "to be placed about" };
        out.push_str(&format!("  \n{verb} {date}"));
    }
    match (phase.passive.by_rule(), &phase.passive.never) {
        (Some(band), _) if band.is_at_once() => out.push_str("  \npassive at once"),
        (Some(band), _) => out.push_str(&format!("  \npassive after {}", text::band(band))),
        (None, Some(why)) => out.push_str(&format!("  \npassive: no date, {why}")),
        (None, None) => {}
    }
    if let Some(cases) = phase.passive.learned_cases {
        out.push_str(&format!(" (learned from {cases} cases)"));
    }
    if let EndReason::Never { why } = &phase.end.reason {
        out.push_str(&format!(
            "  \nits end condition is not reached in anything that can be forecast: {why}"
        ));
    }
    match (&phase.insertion.refused, phase.insertion.worst_sustained()) {
        (Some(refused), _) => {
            out.push_str(&format!("  \nforces are not computed: {}", refused.why))
        }
        (None, Some(worst)) => out.push_str(&format!(
            "  \nhighest on {}: {} on insertion, {} after 0.5 mm",
            worst.tooth.write(notation),
            text::grams(worst.peak_n),
            text::grams(worst.sustained_n)
        )),
        (None, None) => {}
    }
    for site in &phase.room.sites {
        out.push_str(&format!(
            "  \nspace for {}: {:.1} mm, needed {:.1} mm",
            site.tooth.write(notation),
            site.space_in_mm,
            site.wanted_mm
        ));
        match &site.ready {
            Some(band) => out.push_str(&format!(", available after {}", text::band(band))),
            None => out.push_str(", and nothing makes it"),
        }
    }
    out
}

/// A step of a practice sequence.
fn of_house(analysed: AnalysedFile<'_>, name: &str) -> Option<String> {
    let house = analysed.house()?;
    let steps = house.sequences.values().flat_map(|s| s.steps.iter().map(move |step| (s, step)));
    let lines: Vec<String> = steps
        .filter(|(_, step)| *step.name == *name)
        .map(|(sequence, step)| {
            format!(
                "**{}** of `{}`, {}: wire {}",
                step.name,
                sequence.name,
                step.kind.word(),
                step.wire.value.label()
            )
        })
        .collect();
    (!lines.is_empty()).then(|| lines.join("\n\n"))
}

/// All steps of an arch, one a line.
pub fn arch(analysed: AnalysedFile<'_>, word: &str) -> Option<String> {
    let arch = Arch::BOTH.into_iter().find(|a| a.word() == word)?;
    let forecast = analysed.arch_forecast(arch)?;
    let lines: Vec<String> = forecast.phases.iter().map(one_line).collect();
    (!lines.is_empty()).then(|| super::estimated(lines.join("  \n")))
}

fn one_line(phase: &Phase) -> String {
    let date = phase.date_in.map(|d| format!("{d}: ")).unwrap_or_default();
    let passive = phase
        .passive
        .by_rule()
        .map(|band| format!(", passive after {}", text::band(band)))
        .unwrap_or_default();
    format!("{date}`{}`, {}{passive}", phase.name, phase.wire.names())
}
