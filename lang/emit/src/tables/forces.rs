//! The force table: force and couple on every tooth, step by step.

use serde::Serialize;

use super::grid::grid;
use super::two_digits;
use crate::spreadsheet::{Cell, Table};
use crate::{Plan, wording};
use springline_course::on_demand::{Band, Fit, PhaseFigures, ToothBand};
use springline_course::torque::{Torque, torque};
use springline_course::{
    ArchForecast, Forecast, InsertionBands, LoadedTie, Phase, Refusal, SlidCanine, ToothPull,
    chain_pull, closing_force_n, elastic_pull,
};
use springline_model::Case;
use springline_model::step::{ActKind, Anchor};
use springline_model::stock::printed;
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::{Arch, Notation, Side, Tooth};

/// Version of the JSON form; see `lang/docs/schemas/forces.json`.
pub const SCHEMA: &str = "springline.forces/1";

/// A figure with its band, in g or N mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BandedFigure {
    pub value: f64,
    pub low: Option<f64>,
    pub high: Option<f64>,
}

/// Pull on a tooth, g; signs as for the wire.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PulledFigure {
    pub lingual: f64,
    pub gingival: f64,
    pub along: f64,
}

/// What the wire of one step does to one tooth when it goes in and afterwards.
///
/// Forces in grams-force: lingual, gingival and towards the patient's left are positive. Couples in
/// N mm: mesial-in by the edge that lies further left, gingival by the same edge, crown-lingual.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToothRow {
    pub tooth: Tooth,
    pub lingual_g: BandedFigure,
    pub gingival_g: BandedFigure,
    pub along_g: BandedFigure,
    /// Resultant when the wire goes in.
    pub peak_g: BandedFigure,
    /// After 0.2 mm of tooth movement.
    pub delivered_g: BandedFigure,
    /// After 0.5 mm of tooth movement.
    pub sustained_g: BandedFigure,
    pub rotation_nmm: BandedFigure,
    pub tip_nmm: BandedFigure,
    /// Left after the play of the wire in the slot and in its neighbours'.
    pub torque_nmm: BandedFigure,
    /// The slot against the flat wire, degrees, the crown towards the lip positive: the bracket's torque, what
    /// the plan asks and how the tooth stands; `None` where they come to nothing.
    pub torque_asked_deg: Option<f64>,
    /// What of it arrives at the tooth by the time that couple is spent.
    pub torque_left_deg: Option<f64>,
    /// Largest fibre strain beside the tooth, percent.
    pub strain_percent: f64,
    pub passive: bool,
    /// What coils, springs, chains, elastics and ties pull on it besides, g; not there where nothing does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pulled_g: Option<PulledFigure>,
}

/// One step of one arch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepRows {
    pub arch: Arch,
    pub step: String,
    pub wire: String,
    pub teeth: Vec<ToothRow>,
    /// Basis of the bands; `None` where none were requested, or the wire has no figures.
    pub bands: Option<Variants>,
    /// What was fitted to the house's own bending curve of the wire, and how well.
    pub law: Option<String>,
    /// Why there are no figures.
    pub refused: Option<String>,
    /// What loses force in this step: chains and elastics, with what they pull. For a person.
    #[serde(skip)]
    pub pulls: Vec<String>,
    /// Of canines that are slid along the wire, what of the force reaches them; for readers.
    #[serde(skip)]
    pub slid: Vec<SlidCanine>,
    /// What pulls on each tooth, for readers.
    #[serde(skip)]
    pub pulled: Vec<ToothPull>,
}

/// Variants of the wire, its slots and the entered stands that the bands are read from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Variants {
    pub computed: usize,
    /// Those without figures, because the wire cannot be inserted.
    pub refused: usize,
    /// False where too few are left for a band.
    pub known: bool,
}

/// The whole table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forces {
    pub schema: &'static str,
    pub chart: String,
    pub steps: Vec<StepRows>,
    pub note: String,
}

const NOTE: &str = concat!(
    "Tooth mobility is included. Each figure is for teeth exactly as recorded; ranges cover the tolerance of \
     wire and slot, scatter between lots and the error of the recorded positions (about 10th to 90th \
     percentile, and the figure itself). Recording errors mostly add force, so a figure is often at the low end \
     of its range. ",
    crate::caution::caution!()
);

/// The table; `figures_of` says what was computed of each phase beyond its own figures.
pub fn forces(plan: &Plan<'_>, figures_of: impl Fn(&Phase) -> PhaseFigures) -> Forces {
    let note = super::course::note(plan, NOTE);
    let steps = plan
        .forecast
        .arches
        .iter()
        .flat_map(|a: &ArchForecast| {
            let rows = |p| step_rows(plan.case, plan.forecast, p, figures_of(p));
            a.phases.iter().map(rows)
        })
        .collect();
    Forces { schema: SCHEMA, chart: crate::masked(&plan.case.chart), steps, note }
}

/// The rows of one phase.
pub(crate) fn step_rows(
    case: &Case,
    forecast: &Forecast,
    phase: &Phase,
    figures: PhaseFigures,
) -> StepRows {
    let banded = figures.bands;
    let all_pulls = phase.tooth_pulls();
    let teeth = phase
        .insertion
        .teeth
        .iter()
        .map(|load| {
            let band = banded.as_ref().and_then(|b| b.tooth(load.tooth));
            let pull = all_pulls.iter().find(|p| p.tooth == load.tooth);
            row(load, band, torque(phase, load.tooth), pull)
        })
        .collect();
    StepRows {
        arch: phase.arch,
        step: phase.name.to_string(),
        wire: phase.wire.typed_label(),
        teeth,
        bands: banded.map(|b| Variants::of(&b)),
        law: figures.fit.map(law),
        refused: phase.insertion.refused.as_ref().map(|r| r.why.clone()),
        pulls: pulls(case, forecast, phase),
        slid: phase.slid.clone(),
        pulled: all_pulls,
    }
}

/// Why a row may grow from the first column to the third.
const HELD_BACK: &str =
    "as teeth go with a pull the wire holds them back, so its force on them may grow";

/// Springs and chains of the phase, and the elastics that the plan has worn in it.
fn pulls(case: &Case, forecast: &Forecast, phase: &Phase) -> Vec<String> {
    let n = case.house.notation.value;
    let chains = phase.state.acts.iter().filter_map(|act| match &act.kind {
        ActKind::Chain { teeth, chain, force } => {
            let pull = chain_pull(chain.as_deref(), *force);
            Some(format!("chain on {}: {}", wording::list(teeth, n), wording::pull(&pull)))
        }
        _ => None,
    });
    let worn = forecast.timeline.elastics_in(phase.arch, phase.step).iter();
    let runs = worn.filter_map(|i| case.elastics.get(*i)).flat_map(|e| &e.runs);
    let elastics = runs.map(|run| {
        let teeth: Vec<String> = run.teeth.iter().map(|t| t.write(n)).collect();
        format!("elastic {}: {}", teeth.join(" to "), wording::pull(&elastic_pull(run)))
    });
    let mut out: Vec<String> =
        springs(phase, n).into_iter().chain(chains).chain(elastics).collect();
    if !out.is_empty() {
        out.push(HELD_BACK.to_owned());
    }
    out.extend(loaded_ties(phase, n));
    out
}

/// What ties carry as the wire goes in; nothing where all hang slack.
fn loaded_ties(phase: &Phase, n: Notation) -> Option<String> {
    let one = |tie: &LoadedTie| {
        let grams = newtons_to_grams(tie.tension_n);
        format!("{grams:.0} g between {} and {}", tie.right.write(n), tie.left.write(n))
    };
    let all: Vec<String> = phase.insertion.ties.iter().map(one).collect();
    (!all.is_empty()).then(|| format!("ties carry {}", all.join(", ")))
}

/// Closing springs; one on a post pulls on the wire, and so on no tooth by itself.
fn springs(phase: &Phase, n: Notation) -> Vec<String> {
    let on_post = |a: &Anchor| matches!(a, Anchor::Post(_));
    let each = phase.state.acts.iter().filter_map(|act| match &act.kind {
        ActKind::ClosingCoil { pulls, coil, force } => {
            Some((pulls, closing_force_n(coil.as_deref(), *force)))
        }
        _ => None,
    });
    each.flat_map(|(pulls, force_n)| pulls.iter().map(move |pull| (pull, force_n)))
        .map(|((a, b), force_n)| {
            let (from, to) = (wording::anchor(*a, n), wording::anchor(*b, n));
            let grams = newtons_to_grams(force_n);
            let through = match on_post(a) || on_post(b) {
                true => "; the post passes it to all front teeth by the wire, so it is not in their rows",
                false => "",
            };
            format!("closing spring from {from} to {to}: {grams:.0} g{through}")
        })
        .collect()
}

impl Variants {
    fn of(bands: &InsertionBands) -> Variants {
        Variants {
            computed: bands.variants,
            refused: bands.refused,
            known: !bands.teeth.is_empty(),
        }
    }

    /// What a reader must know of the bands; nothing where every variant gave an answer.
    fn caution(&self) -> Option<String> {
        let Variants { computed, refused, known } = self;
        let beyond = "this wire is near the limit of what can be engaged";
        match (refused, known) {
            (0, _) => None,
            (_, true) => Some(format!(
                "{refused} of {computed} variants within the tolerances have no figures: {beyond}"
            )),
            (_, false) => Some(format!(
                "ranges unknown: {refused} of {computed} variants within the tolerances have no figures; {beyond}"
            )),
        }
    }
}

fn law(fit: Result<Fit, Refusal>) -> String {
    match fit {
        Ok(fit) => format!(
            "curve fitted to {} measured points, largest deviation {:.0} %",
            fit.points.len(),
            100.0 * fit.worst_share
        ),
        Err(why) => format!(
            "its measured curve could not be fitted ({why}); the default figures of the alloy are used"
        ),
    }
}

fn row(
    load: &springline_course::ToothLoad,
    band: Option<&ToothBand>,
    torque: Option<Torque>,
    pull: Option<&ToothPull>,
) -> ToothRow {
    type Pick = fn(&ToothBand) -> Band;
    let g = newtons_to_grams;
    let force = |value: f64, pick: Pick| BandedFigure {
        value: g(value),
        low: band.map(|b| g(pick(b).low)),
        high: band.map(|b| g(pick(b).high)),
    };
    let couple = |value: f64, pick: Pick| BandedFigure {
        value,
        low: band.map(|b| pick(b).low),
        high: band.map(|b| pick(b).high),
    };
    let at = &load.at_insertion;
    ToothRow {
        tooth: load.tooth,
        lingual_g: force(at.lingual_n, |b| b.lingual_n),
        gingival_g: force(at.gingival_n, |b| b.gingival_n),
        along_g: force(at.along_n, |b| b.along_n),
        peak_g: force(load.peak_n, |b| b.peak_n),
        delivered_g: force(load.delivered_n, |b| b.delivered_n),
        sustained_g: force(load.sustained_n, |b| b.sustained_n),
        rotation_nmm: couple(at.rotation_nmm, |b| b.rotation_nmm),
        tip_nmm: couple(at.tip_nmm, |b| b.tip_nmm),
        torque_nmm: couple(at.torque_nmm, |b| b.torque_nmm),
        torque_asked_deg: torque.map(|t| t.asked_deg),
        torque_left_deg: torque.map(|t| t.arrives_deg),
        strain_percent: load.strain * 100.0,
        passive: load.passive,
        pulled_g: pull.map(|p| PulledFigure {
            lingual: g(p.lingual_n),
            gingival: g(p.gingival_n),
            along: g(p.along_n),
        }),
    }
}

impl BandedFigure {
    /// "41 (28-60)": whole grams, as every finding and hover has them.
    fn text(&self) -> String {
        match (self.low, self.high) {
            (Some(low), Some(high)) => format!("{:.0} ({low:.0}-{high:.0})", self.value),
            _ => format!("{:.0}", self.value),
        }
    }

    /// Towards the patient's left is mesial on the right side of the mouth and distal on the left.
    fn seen_from(&self, tooth: Tooth) -> BandedFigure {
        let sign = if tooth.side() == Side::Right { 1.0 } else { -1.0 };
        BandedFigure { value: sign * self.value, low: None, high: None }
    }

    /// The amount with the word of its direction; nothing where it rounds to nothing.
    fn directed(&self, positive: &str, negative: &str) -> String {
        let text = format!("{:.0}", self.value.abs());
        match text.as_str() {
            "0" => "-".to_owned(),
            _ if self.value > 0.0 => format!("{text} {positive}"),
            _ => format!("{text} {negative}"),
        }
    }
}

/// For a person: grams, directions in words.
pub fn human(forces: &Forces, plan: &Plan<'_>) -> String {
    let notation = plan.notation();
    let mut out = format!("{}: force on every tooth\n{}", forces.chart, plan.left_out());
    for step in &forces.steps {
        out.push_str(&format!("\n{} {}, {}\n", step.arch, step.step, printed(&step.wire)));
        if let Some(law) = &step.law {
            out.push_str(&format!("  {law}\n"));
        }
        if let Some(caution) = step.bands.and_then(|b| b.caution()) {
            out.push_str(&format!("  {caution}\n"));
        }
        if let Some(why) = &step.refused {
            out.push_str(&format!("  no figures: {why}\n"));
            continue;
        }
        let rows: Vec<Vec<String>> = step
            .teeth
            .iter()
            .map(|t| {
                vec![
                    t.tooth.write(notation),
                    t.peak_g.text(),
                    t.delivered_g.text(),
                    t.sustained_g.text(),
                    t.lingual_g.directed("lingual", "labial"),
                    t.gingival_g.directed("gingival", "occlusal"),
                    t.along_g.seen_from(t.tooth).directed("mesial", "distal"),
                    pulled(step, t.tooth),
                    t.rotation_nmm.seen_from(t.tooth).directed("mesial-in", "mesial-out"),
                    t.tip_nmm
                        .seen_from(t.tooth)
                        .directed("mesial edge gingival", "mesial edge occlusal"),
                    t.torque_nmm.directed("crown lingual", "crown labial"),
                    format!("{:.1}", t.strain_percent),
                ]
            })
            .collect();
        out.push_str(&grid(
            &[
                "tooth",
                "at insertion",
                "after 0.2 mm",
                "after 0.5 mm",
                "labiolingual",
                "vertical",
                "mesiodistal",
                "pulled besides",
                "rotation",
                "tip",
                "torque",
                "strain, %",
            ],
            &rows,
        ));
        out.push_str(&torques(step, notation));
        for pull in &step.pulls {
            out.push_str(&format!("  {pull}\n"));
        }
        for canine in &step.slid {
            out.push_str(&format!("  {}\n", canine.say(notation)));
        }
        for pull in step.pulled.iter().filter_map(|p| p.say(notation)) {
            out.push_str(&format!("  {pull}\n"));
        }
    }
    out.push_str(
        "\nForces in g on the tooth from the wire; \"pulled besides\" is what coils, springs, chains, elastics and ties add. \
         Rotation, tip and torque in N·mm; the range of each figure in brackets.\n",
    );
    out.push_str(&forces.note);
    out.push('\n');
    out
}

/// What else pulls on a tooth.
fn pulled(step: &StepRows, tooth: Tooth) -> String {
    let pull = step.pulled.iter().find(|p| p.tooth == tooth);
    pull.map_or_else(|| "-".to_owned(), ToothPull::grams)
}

/// Requested torque, and the part that arrives, tooth by tooth.
fn torques(step: &StepRows, notation: Notation) -> String {
    let asked: Vec<String> = step
        .teeth
        .iter()
        .filter_map(|t| {
            let (asked, left) = (t.torque_asked_deg?, t.torque_left_deg?);
            Some(format!(
                "{} {} of {} crown {}",
                t.tooth.write(notation),
                two_digits((left * asked.signum()).max(0.0)),
                two_digits(asked.abs()),
                if asked > 0.0 { "labial" } else { "lingual" }
            ))
        })
        .collect();
    if asked.is_empty() {
        return String::new();
    }
    format!("  torque expressed, in deg, of the torque asked for: {}\n", asked.join(", "))
}

/// One row a tooth and step; figures in full.
impl Table for Forces {
    const HEAD: &'static [&'static str] =
        &["chart", "arch", "step", "wire", "tooth", "quantity", "unit", "value", "low", "high"];

    fn rows(&self) -> Vec<Vec<Cell>> {
        let mut out = Vec::new();
        for (step, t) in self.steps.iter().flat_map(|s| s.teeth.iter().map(move |t| (s, t))) {
            let mut add = |name, unit, figure: BandedFigure| {
                out.push(vec![
                    Cell::words(&self.chart),
                    Cell::plain(step.arch),
                    Cell::words(&step.step),
                    Cell::words(&step.wire),
                    Cell::plain(t.tooth),
                    Cell::words(name),
                    Cell::words(unit),
                    Cell::figure(figure.value, 2),
                    Cell::maybe(figure.low, 2),
                    Cell::maybe(figure.high, 2),
                ]);
            };
            add("lingual", "g", t.lingual_g);
            add("gingival", "g", t.gingival_g);
            add("along", "g", t.along_g);
            add("peak", "g", t.peak_g);
            add("delivered", "g", t.delivered_g);
            add("sustained", "g", t.sustained_g);
            add("rotation", "Nmm", t.rotation_nmm);
            add("tip", "Nmm", t.tip_nmm);
            add("torque", "Nmm", t.torque_nmm);
            let exactly = |value: f64| BandedFigure { value, low: None, high: None };
            if let Some(p) = &t.pulled_g {
                add("pulled-lingual", "g", exactly(p.lingual));
                add("pulled-gingival", "g", exactly(p.gingival));
                add("pulled-along", "g", exactly(p.along));
            }
            let torques =
                [("torque-asked", t.torque_asked_deg), ("torque-left", t.torque_left_deg)];
            for (name, value) in torques {
                let Some(value) = value else { continue };
                add(name, "deg", BandedFigure { value, low: None, high: None });
            }
        }
        out
    }
}
