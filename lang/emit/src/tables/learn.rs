//! The table of learned wire times: estimates per wire, with the observations they rest on.

use jiff::civil::Date;
use serde::Serialize;

use super::grid::grid;
use springline_course::learn::{
    ChairEstimate, Estimate, FEWEST_OF_EACH, FEWEST_TESTS, FewTests, Learning, LeftOut, TooLittle,
    WireTimeObservation,
};
use springline_course::spread::Z90;
use springline_model::House;

pub const SCHEMA: &str = "springline.learn/1";

/// One estimate. Factors are on the time that was predicted before anything was learned.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figures {
    /// The median patient's, and the interval that holds the true one nine times in ten.
    pub factor: f64,
    pub factor_from: f64,
    pub factor_to: f64,
    /// Geometric standard deviation to plan with, and between which factors eight patients in ten lie.
    pub spread: f64,
    pub early: f64,
    pub late: f64,
    /// False: too few brackets, the spread is the one assumed between patients.
    pub spread_from_data: bool,
    /// Seen active and later passive; never seen active; never seen passive.
    pub bracketed: usize,
    pub never_seen_active: usize,
    pub never_seen_passive: usize,
    /// Standard error of the factor's logarithm.
    pub se_ln_factor: f64,
    /// Second opinion: the median of a Weibull; none where the data do not hold one.
    pub weibull_factor: Option<f64>,
    pub weibull_fits_better: bool,
}

/// The practice, or one of its wires.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnRow {
    /// `None`: the whole practice.
    pub wire: Option<String>,
    pub cases: usize,
    pub wires: usize,
    pub figures: Option<Figures>,
    /// Why there are none.
    pub refused: Option<String>,
}

/// One wire in one patient.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeenWireRow {
    pub case: String,
    pub wire: String,
    pub predicted_days: f64,
    pub active_at_days: f64,
    pub passive_by_days: Option<f64>,
}

/// A wire without information about its time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftOutRow {
    pub case: String,
    pub wire: String,
    pub why: &'static str,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnReport {
    pub schema: &'static str,
    pub house: String,
    pub on: Date,
    /// Cases that use this practice file, and those of them with a visit.
    pub cases_read: usize,
    pub cases_with_visits: usize,
    /// The practice first.
    pub rows: Vec<LearnRow>,
    pub seen: Vec<SeenWireRow>,
    pub left_out: Vec<LeftOutRow>,
    /// Where the practice draws the line in the chair test; for readers.
    #[serde(skip)]
    pub chair: String,
    pub note: &'static str,
}

const NOTE: &str = concat!(
    "A factor of 1.2: wires stay active a fifth longer than forecast. The day a wire becomes passive lies \
     between two visits; the estimate allows for that. Figures of one practice: examine the patient. ",
    crate::caution::caution!()
);

/// How many cases were read, and how many of them hold a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CaseCounts {
    pub cases: usize,
    pub with_visits: usize,
}

pub fn learn(learning: &Learning, house: &House, read: CaseCounts, on: Date) -> LearnReport {
    let wires = learning.wires.iter().map(|(name, e)| row(Some(name), e, learning));
    let rows = std::iter::once(row(None, &learning.house, learning)).chain(wires).collect();
    LearnReport {
        schema: SCHEMA,
        house: crate::masked(&house.title),
        on,
        cases_read: read.cases,
        cases_with_visits: read.with_visits,
        rows,
        seen: learning.observations.iter().map(seen).collect(),
        left_out: learning.left_out.iter().map(left).collect(),
        chair: chair(&learning.chair),
        note: NOTE,
    }
}

/// Where the practice draws the line, in a sentence.
fn chair(line: &Result<ChairEstimate, FewTests>) -> String {
    match line {
        Ok(e) => format!(
            "Chair test: half of the visits say that a wire binds where {:.0} g are forecast (90 % interval {:.0} to \
             {:.0} g; {} visits, {} with a wire that bound). Nine in ten say so at {:.1} times as much.",
            e.half_g, e.half_90_g.0, e.half_90_g.1, e.visits, e.bound, e.spread
        ),
        Err(few) => format!(
            "Chair test: no estimate of where a wire binds: {} visits say `passive` and {} `binds at`; at least \
             {FEWEST_TESTS} are needed, {FEWEST_OF_EACH} of each.",
            few.passive, few.bound
        ),
    }
}

fn seen(o: &WireTimeObservation) -> SeenWireRow {
    SeenWireRow {
        case: crate::masked(&o.case),
        wire: o.wire.to_string(),
        predicted_days: o.predicted_days,
        active_at_days: o.active_at_days,
        passive_by_days: o.passive_by_days,
    }
}

fn left(l: &LeftOut) -> LeftOutRow {
    LeftOutRow { case: crate::masked(&l.case), wire: l.wire.to_string(), why: l.why }
}

fn row(wire: Option<&str>, found: &Result<Estimate, TooLittle>, learning: &Learning) -> LearnRow {
    let own: Vec<&WireTimeObservation> =
        learning.observations.iter().filter(|o| wire.is_none_or(|w| *o.wire == *w)).collect();
    let cases: std::collections::BTreeSet<&str> = own.iter().map(|o| &*o.case).collect();
    LearnRow {
        wire: wire.map(str::to_owned),
        cases: cases.len(),
        wires: own.len(),
        figures: found.as_ref().ok().map(figures),
        refused: found.as_ref().err().map(refused),
    }
}

fn figures(e: &Estimate) -> Figures {
    let reach = Z90 * e.spread.ln();
    Figures {
        factor: e.factor,
        factor_from: e.factor_90.0,
        factor_to: e.factor_90.1,
        spread: e.spread,
        early: e.factor * (-reach).exp(),
        late: e.factor * reach.exp(),
        spread_from_data: e.spread_from_data,
        bracketed: e.bracketed,
        never_seen_active: e.open_left,
        never_seen_passive: e.open_right,
        se_ln_factor: e.se_mu,
        weibull_factor: e.weibull.map(|w| w.lambda * std::f64::consts::LN_2.powf(1.0 / w.rho)),
        weibull_fits_better: e.weibull_preferred,
    }
}

fn refused(why: &TooLittle) -> String {
    match why {
        TooLittle::NoCases => "no record shows when a wire became passive".to_owned(),
        TooLittle::TooFew { cases, needed } => format!("{cases} of at least {needed} cases"),
        TooLittle::Contradictory => "no estimate fits the records".to_owned(),
    }
}

impl LearnRow {
    pub fn name(&self) -> &str {
        self.wire.as_deref().unwrap_or("practice")
    }
}

/// The scale of the bars: factors from 0.4 to 2.5, in logarithms.
pub(crate) const SCALE: (f64, f64) = (0.4, 2.5);

/// Where a factor lies on the scale, 0 to 1.
pub(crate) fn along(factor: f64) -> f64 {
    let (from, to) = (SCALE.0.ln(), SCALE.1.ln());
    ((factor.max(1e-6).ln() - from) / (to - from)).clamp(0.0, 1.0)
}

/// Cells of a bar in the terminal.
const CELLS: usize = 41;

/// `-` eight in ten patients, `=` nine in ten for the factor, `o` the factor, `|` as predicted.
fn bar(f: &Figures) -> String {
    let cell = |factor: f64| (along(factor) * (CELLS - 1) as f64).round() as usize;
    let mut out = vec![' '; CELLS];
    let mut fill = |from: f64, to: f64, mark: char| {
        out[cell(from)..=cell(to).max(cell(from))].fill(mark);
    };
    fill(f.early, f.late, '-');
    fill(f.factor_from, f.factor_to, '=');
    fill(1.0, 1.0, '|');
    fill(f.factor, f.factor, 'o');
    out.into_iter().collect()
}

/// The line above the bars.
fn scale() -> String {
    let mut out = vec![' '; CELLS];
    for (factor, text) in [(0.4, "0.4"), (0.6, "0.6"), (1.0, "1"), (1.5, "1.5"), (2.5, "2.5")] {
        let at = (along(factor) * (CELLS - 1) as f64).round() as usize;
        let from = at.saturating_sub(text.len() / 2).min(CELLS - text.len());
        for (i, c) in text.chars().enumerate() {
            out[from + i] = c;
        }
    }
    out.into_iter().collect()
}

pub fn human(table: &LearnReport) -> String {
    let mut out = format!(
        "{}: how long wires stay active here, compared with the forecast\n{} wires of {} cases; {} cases read, \
         {} with a visit\n\n",
        table.house,
        table.seen.len(),
        table.rows.first().map_or(0, |r| r.cases),
        table.cases_read,
        table.cases_with_visits
    );
    let scale = scale();
    let head = ["wire", "factor", "90 % interval", "spread", "wires", "cases", &scale];
    let rows: Vec<Vec<String>> = table.rows.iter().map(cells).collect();
    out.push_str(&grid(&head, &rows));
    for row in &table.rows {
        if let Some(why) = &row.refused {
            out.push_str(&format!("  {}: no estimate: {why}\n", row.name()));
        }
        if row.figures.as_ref().is_some_and(|f| !f.spread_from_data) {
            out.push_str(&format!(
                "  {}: too few wires seen both active and passive to estimate a spread\n",
                row.name()
            ));
        }
    }
    if let Some(opinion) = table.rows.first().and_then(|r| second_opinion(r.figures.as_ref()?)) {
        out.push_str(&format!("\n{opinion}\n"));
    }
    out.push_str(&format!("\n{}\n", table.chair));
    out.push_str(&left_out(table));
    if table.rows.iter().any(|r| r.figures.is_some()) {
        out.push_str(
            "\no factor   = 90 % interval of the factor   - 8 in 10 patients   | as forecast\n",
        );
    }
    out.push_str(&format!("\n{}\n", table.note));
    out
}

fn cells(row: &LearnRow) -> Vec<String> {
    let dash = || "-".to_owned();
    let (factor, interval, spread, bar) = match &row.figures {
        Some(f) => (
            format!("{:.2}", f.factor),
            format!("{:.2}-{:.2}", f.factor_from, f.factor_to),
            format!("{:.2}", f.spread),
            bar(f),
        ),
        None => (dash(), dash(), dash(), " ".repeat(CELLS)),
    };
    let (wires, cases) = (row.wires.to_string(), row.cases.to_string());
    vec![row.name().to_owned(), factor, interval, spread, wires, cases, bar]
}

fn second_opinion(f: &Figures) -> Option<String> {
    let weibull = f.weibull_factor?;
    let verdict = if f.weibull_fits_better {
        "It fits better: be careful at both ends of the range."
    } else {
        "It does not fit better."
    };
    Some(format!("Second opinion (Weibull): a median of {weibull:.2} times. {verdict}"))
}

/// Wires left out, by reason.
fn left_out(table: &LearnReport) -> String {
    let mut by_reason: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for left in &table.left_out {
        *by_reason.entry(left.why).or_default() += 1;
    }
    if by_reason.is_empty() {
        return String::new();
    }
    let parts: Vec<String> = by_reason.iter().map(|(why, n)| format!("{n}: {why}")).collect();
    format!("\nLeft out, {} wires: {}\n", table.left_out.len(), parts.join("; "))
}
