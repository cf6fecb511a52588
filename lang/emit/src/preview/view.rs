//! Preview: the content of the page for one moment of a case.

use maud::{Markup, html};

use super::moment::{Moment, at_day, moments, of_phase};
use super::{force, look};
use crate::draw::svg;
use crate::{dates, masked, wording};
use springline_course::{Forecast, Phase};
use springline_finding::{Finding, Severity};
use springline_model::Case;
use springline_units::tooth::Arch;

/// Which moment is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PreviewChoice {
    /// What is in the mouth today.
    Today,
    /// By its place in the row of moments.
    Moment(usize),
    /// A step of an arch, by its place in the plan.
    Step(Arch, usize),
}

impl From<Option<(Arch, usize)>> for PreviewChoice {
    /// The step of a place in the text; elsewhere today's.
    fn from(step: Option<(Arch, usize)>) -> PreviewChoice {
        step.map_or(PreviewChoice::Today, |(arch, step)| PreviewChoice::Step(arch, step))
    }
}

/// What of a checked text the page is made of.
#[derive(Debug, Clone, Copy)]
pub struct Previewed<'a> {
    /// `None` where the text could not be read as far as a forecast.
    pub course: Option<(&'a Case, &'a Forecast)>,
    pub findings: &'a [Finding],
    pub is_practice_file: bool,
}

/// The inside of the page: moments to choose from, drawing, forces. Says why there is none where the
/// text cannot be read as far as a course.
pub fn view(shown: &Previewed<'_>, choice: PreviewChoice) -> String {
    let Some((case, forecast)) = shown.course else {
        return unread(shown).into_string();
    };
    let all = moments(forecast);
    let Some((at, here)) = chosen(&all, forecast, choice) else {
        return no_step(case).into_string();
    };
    let phase = |arch: Arch| forecast.arch(arch)?.phases.get(here.phase(arch)?);
    html! {
        h1 { (masked(&case.chart)) " " small { (when(here)) } }
        (standing(shown))
        (choose(&all, forecast, at))
        figure { (svg::inline(&look::from_the_front(case, forecast, here), "mouth")) }
        figure {
            (svg::inline(&look::from_the_bite(case, forecast, here, before(&all, at)), "bite"))
            figcaption { "Dotted: where a tooth was at the wire before. Dashed: the range of the forecast." }
        }
        @for arch in Arch::BOTH {
            @if let Some(phase) = phase(arch) { (forces(case, phase)) }
        }
    }
    .into_string()
}

fn chosen(all: &[Moment], forecast: &Forecast, choice: PreviewChoice) -> Option<(usize, Moment)> {
    let at = match choice {
        PreviewChoice::Today => at_day(all, forecast.today),
        PreviewChoice::Moment(at) => at.min(all.len().saturating_sub(1)),
        PreviewChoice::Step(arch, step) => forecast
            .arch(arch)
            .and_then(|a| a.phases.iter().position(|p| p.step == step))
            .and_then(|phase| of_phase(all, arch, phase))
            .unwrap_or_else(|| at_day(all, forecast.today)),
    };
    all.get(at).map(|moment| (at, *moment))
}

/// The moment before, of which what has moved is shown.
fn before(all: &[Moment], at: usize) -> Option<Moment> {
    at.checked_sub(1).and_then(|before| all.get(before)).copied()
}

fn when(moment: Moment) -> String {
    moment.date.map_or_else(|| "no date yet".to_owned(), |d| format!("from {}", dates::long(d)))
}

/// What the checker has against the plan, in one line; the editor has the rest.
fn standing(shown: &Previewed<'_>) -> Markup {
    let open = shown.findings.iter().filter(|f| f.accepted.is_none());
    let count = |severity| open.clone().filter(|f| f.severity == severity).count();
    let (errors, warnings) = (count(Severity::Error), count(Severity::Warning));
    let many = |n: usize, what: &str| match n {
        0 => None,
        1 => Some(format!("1 {what}")),
        n => Some(format!("{n} {what}s")),
    };
    let parts: Vec<String> =
        [many(errors, "error"), many(warnings, "warning")].into_iter().flatten().collect();
    html! {
        @if !parts.is_empty() {
            p.standing {
                (wording::and(&parts))
                "."
                @if errors > 0 { " Only a hold card would be printed." }
            }
        }
    }
}

fn choose(all: &[Moment], forecast: &Forecast, at: usize) -> Markup {
    html! {
        nav aria-label="Timeline" {
            ol {
                @for (i, moment) in all.iter().enumerate() {
                    li { button #{ "m" (i) } type="button" data-at=(i)
                        aria-current=[(i == at).then_some("step")]
                    {
                        b { (moment.date.map_or_else(|| "-".to_owned(), |d| d.to_string())) }
                        @for arch in Arch::BOTH {
                            @if let Some(phase) = moment.phase(arch)
                                .and_then(|p| forecast.arch(arch)?.phases.get(p))
                            { span { (arch.word()) " " (phase.name) } }
                        }
                    } }
                }
            }
        }
    }
}

fn forces(case: &Case, phase: &Phase) -> Markup {
    let notation = case.house.notation.value;
    let caption = format!(
        "{}, {}: forecast force of {} on each tooth",
        wording::arch(phase.arch),
        phase.name,
        phase.wire.names()
    );
    html! {
        section {
            @match force::table(phase, notation, &caption) {
                Some(table) => (table),
                None => p { (caption) ": no figures. "
                    @if let Some(why) = &phase.insertion.refused { (springline_text::capital(&why.why)) "." } },
            }
        }
    }
}

fn no_step(case: &Case) -> Markup {
    html! {
        h1 { (masked(&case.chart)) }
        p { "No arch has a step yet: there is no wire to draw." }
    }
}

fn unread(shown: &Previewed<'_>) -> Markup {
    let first = shown.findings.iter().find(|f| f.severity == Severity::Error);
    html! {
        h1 { "Nothing to draw" }
        @if shown.is_practice_file {
            p { "This is a practice file; the preview shows cases." }
        } @else {
            p { "The text cannot be read far enough for a forecast." }
            @if let Some(first) = first { p { (masked(&first.message)) } }
        }
    }
}
