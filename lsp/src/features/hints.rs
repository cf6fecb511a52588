//! Inlay hints: when a step's wire becomes passive, the force on a displaced tooth, the space that a
//! bypassed tooth still lacks. All of them are predicted.

use springline_emit::caution::CAUTION;
use springline_lang::course::{Phase, weeks};
use springline_lang::model::step::StepSource;
use springline_lang::syntax::ast::StatementKind;
use springline_lang::syntax::tree::StatementRef;
use springline_lang::syntax::{ItemKind, PlaceholderKind};

use super::text;
use crate::analysed_file::AnalysedFile;

/// Which hints are wanted.
#[derive(Debug, Clone, Copy)]
pub struct HintSelection {
    pub passive: bool,
    pub force: bool,
    pub space: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hint {
    /// Shown here, before whatever follows.
    pub at: usize,
    pub label: String,
    pub tooltip: String,
}

pub fn hints(analysed: AnalysedFile<'_>, wanted: HintSelection) -> Vec<Hint> {
    let mut out = Vec::new();
    for line in analysed.parse().all_lines().filter(|l| l.is_read()) {
        match line.kind() {
            Some(StatementKind::Step | StatementKind::Change) if wanted.passive => {
                out.extend(passive(analysed, line))
            }
            Some(StatementKind::Follow) if wanted.passive => out.extend(follow(analysed, line)),
            Some(StatementKind::ArchTooth) if wanted.force => forces(analysed, line, &mut out),
            Some(StatementKind::Bypass) if wanted.space => spaces(analysed, line, &mut out),
            _ => {}
        }
    }
    out.sort_by_key(|hint| hint.at);
    out
}

fn passive(analysed: AnalysedFile<'_>, line: StatementRef<'_>) -> Option<Hint> {
    let (arch, step) = analysed.step_of(line)?;
    let phase = analysed.phase(arch, step)?;
    Some(Hint {
        at: line.span().end as usize,
        label: short(phase)?,
        tooltip: format!(
            "Forecast: 8 in 10 wires become passive within the range in brackets. {CAUTION}"
        ),
    })
}

/// The steps that come from the house and have no line here: their times in order, as one sum; what each
/// is for says the tooltip. Editors cut a hint of more than some forty letters.
fn follow(analysed: AnalysedFile<'_>, line: StatementRef<'_>) -> Option<Hint> {
    let arch = analysed.arch_at(line.span().start as usize)?;
    let case = analysed.case()?.arch(arch)?;
    let (mut times, mut parts) = (Vec::new(), Vec::new());
    for (i, step) in case.steps.iter().enumerate() {
        if !matches!(step.source, StepSource::Sequence { .. }) {
            continue;
        }
        let Some(band) = analysed.phase(arch, i).and_then(|phase| phase.passive.by_rule()) else {
            continue;
        };
        times.push(weeks(band.median_days));
        parts.push(format!("{}: passive in {}", step.name, text::band(band)));
    }
    (!times.is_empty()).then(|| Hint {
        at: line.span().end as usize,
        label: format!("passive in {} wk", times.join(" + ")),
        tooltip: format!(
            "Forecast, for the steps of the practice's sequence.\n{}\n{CAUTION}",
            parts.join("\n")
        ),
    })
}

/// "passive in 9 wk (6 to 14), 2026-11-16".
fn short(phase: &Phase) -> Option<String> {
    let band = phase.passive.by_rule()?;
    if band.is_at_once() {
        return Some("passive at once".to_owned());
    }
    let date = band.dates.map(|[_, date, _]| format!(", {date}")).unwrap_or_default();
    Some(format!("passive in {}{date}", band.weeks()))
}

/// On every tooth of a `tooth` line, what the first wire that holds it does.
fn forces(analysed: AnalysedFile<'_>, line: StatementRef<'_>, out: &mut Vec<Hint>) {
    for hole in line.holes(PlaceholderKind::Teeth) {
        for item in hole.items {
            let Some(typed) = item.teeth() else { continue };
            let teeth = analysed.teeth_of(typed);
            let [tooth] = teeth.as_slice() else { continue };
            let Some(forecast) = analysed.arch_forecast(tooth.arch()) else { continue };
            let held = forecast.phases.iter().find_map(|phase| {
                let load = phase.insertion.tooth(*tooth)?;
                (!load.passive).then_some((phase, load))
            });
            let Some((phase, load)) = held else { continue };
            out.push(Hint {
                at: item.span.end as usize,
                label: text::grams(load.sustained_n),
                tooltip: format!(
                    "Forecast force on {} in `{}` after 0.5 mm of movement; {} on insertion. {CAUTION}",
                    tooth.write(analysed.notation()),
                    phase.name,
                    text::grams(load.peak_n)
                ),
            });
        }
    }
}

fn spaces(analysed: AnalysedFile<'_>, line: StatementRef<'_>, out: &mut Vec<Hint>) {
    let Some((arch, step)) = line.parent().and_then(|parent| analysed.step_of(parent)) else {
        return;
    };
    let Some(phase) = analysed.phase(arch, step) else { return };
    for item in line.holes(PlaceholderKind::Teeth).flat_map(|hole| hole.items) {
        if matches!(item.kind, ItemKind::Comma) {
            continue;
        }
        let Some(typed) = item.teeth() else { continue };
        for tooth in analysed.teeth_of(typed) {
            let Some(site) = phase.room.site(tooth) else { continue };
            let missing = site.wanted_mm - site.space_in_mm;
            let label = if missing > 0.05 {
                format!("{missing:.1} mm short")
            } else {
                "space is there".to_owned()
            };
            let tooltip = match &site.ready {
                Some(band) => {
                    format!("Forecast to be available after {}. {CAUTION}", text::band(band))
                }
                None => format!("Nothing in this step makes the space. {CAUTION}"),
            };
            out.push(Hint { at: item.span.end as usize, label, tooltip });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    const ALL: HintSelection = HintSelection { passive: true, force: true, space: true };

    fn labels(sample: &Sample, wanted: HintSelection) -> Vec<(String, String)> {
        let text = sample.analysed().text();
        let line = |at: usize| {
            let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
            text[start..at].trim().to_owned()
        };
        hints(sample.analysed(), wanted).into_iter().map(|h| (line(h.at), h.label)).collect()
    }

    #[test]
    fn steps_have_dates_teeth_have_forces_and_bypassed_teeth_lack_space() {
        let sample = Sample::upper(
            "  change align {\n    bypass 13 until space 8 mm\n  }\n  tooth 13 labial 2 mm, width 8 mm, space 5 mm",
        );
        let found = labels(&sample, ALL);
        let at = |what: &str| {
            found
                .iter()
                .find(|(line, _)| line == what)
                .unwrap_or_else(|| panic!("{what}: {found:?}"))
        };
        assert!(at("change align").1.contains(" wk"), "{found:?}");
        assert!(at("follow usual").1.contains(" + "), "{found:?}");
        // What VS Code shows of a line's hints before it cuts them.
        assert!(found.iter().all(|(_, label)| label.len() <= 43), "{found:?}");
        assert!(at("tooth 12").1.ends_with(" g"), "{found:?}");
        assert_eq!(at("bypass 13").1, "3.0 mm short");
        let none = HintSelection { passive: false, force: false, space: false };
        assert_eq!(labels(&sample, none), []);
    }
}
