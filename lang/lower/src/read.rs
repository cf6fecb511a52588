//! Lowers field values: from the typed text of a placeholder to a typed value, with a finding where that
//! is impossible.

use jiff::civil::Date;

use super::plausible::{Plausible, Verdict};
use springline_finding::{Finding, Fix, FixKind};
use springline_syntax::ast::{
    AngleField, AnyField, DateField, DatesField, DimsField, Field, FieldList, FigureKind,
    ForceField, LengthField, PercentField, RatioField, StressField, StressesField, TeethField,
    TemperatureField, TimeField, TimesField, ToothField, kind,
};
use springline_syntax::item::{Amount, DateMark, Measure, ToothSpan};
use springline_syntax::tree::{FieldValue, Parse};
use springline_text::capital;
use springline_text::{Place, Span};
use springline_units::quantity::{
    Angle, Dimension, Force, Length, Period, Quantity, Ratio, Stress, Unit,
};
use springline_units::tooth::{Arch, Notation, Tooth};

/// Context of lowering one file; collects its findings.
pub struct LoweringContext<'a> {
    pub parse: &'a Parse,
    pub notation: Notation,
    /// The jaw whose block is being read: other teeth do not belong in it.
    pub arch: Option<Arch>,
    pub findings: Vec<Finding>,
}

impl<'a> LoweringContext<'a> {
    pub fn new(parse: &'a Parse, notation: Notation) -> Self {
        LoweringContext { parse, notation, arch: None, findings: Vec::new() }
    }

    pub fn report(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    pub fn place(&self, span: Span) -> Place {
        self.parse.place(span)
    }

    // ------------------------------------------------------------------ quantities

    /// The figure of a field with its unit, judged for this place.
    fn figure<K: FigureKind>(&mut self, field: Field<'_, K>, place: Plausible) -> Option<Quantity> {
        let measure = *field.measure()?;
        self.amount(field.value(), &measure, &measure.first, place)
    }

    /// Both figures of a range or of two sizes; a single figure twice.
    fn figures<K: FigureKind>(
        &mut self,
        field: Field<'_, K>,
        place: Plausible,
    ) -> Option<(Quantity, Quantity)> {
        let (hole, measure) = (field.value(), *field.measure()?);
        let first = self.amount(hole, &measure, &measure.first, place)?;
        match &measure.second {
            Some(second) => Some((first, self.amount(hole, &measure, second, place)?)),
            None => Some((first, first)),
        }
    }

    fn amount(
        &mut self,
        hole: FieldValue<'_>,
        measure: &Measure,
        amount: &Amount,
        place: Plausible,
    ) -> Option<Quantity> {
        let Some(unit) = amount.unit.or(measure.unit()) else {
            // One figure, one finding: the second of a pair has no unit of its own.
            if amount.span == measure.first.span {
                self.missing_unit(hole, measure, place);
            }
            return None;
        };
        let quantity = Quantity::new(amount.value, unit.unit);
        if quantity.dimension() != place.dimension {
            self.wrong_dimension(hole, quantity, unit.span, place);
            return None;
        }
        match place.judge(quantity) {
            Verdict::Fine => Some(quantity),
            verdict => self.implausible(hole, quantity, amount, place, verdict),
        }
    }

    fn missing_unit(&mut self, hole: FieldValue<'_>, measure: &Measure, place: Plausible) {
        let text = hole.text();
        let mut finding = Finding::error(
            "unit/missing",
            hole.place(),
            format!("{text} of what? {} is {}.", capital(place.what), place.dimension.describe()),
        )
        .why("A bare number is read differently by different people.");
        let at = self.place(measure.unit_place());
        let mut units: Vec<(bool, Unit)> = place
            .dimension
            .units()
            .iter()
            .map(|u| {
                let fits = place.judge(Quantity::new(measure.first.value, *u)) == Verdict::Fine;
                (!fits, *u)
            })
            .collect();
        units.sort_by_key(|(implausible, _)| *implausible);
        let certain = units.iter().filter(|(implausible, _)| !implausible).count() == 1;
        for (implausible, unit) in units {
            if implausible && certain {
                continue;
            }
            finding = finding.fix(Fix::replace(
                format!("write `{text} {unit}`"),
                FixKind::Clinical,
                at,
                format!(" {unit}"),
            ));
        }
        self.report(finding);
    }

    fn wrong_dimension(
        &mut self,
        hole: FieldValue<'_>,
        quantity: Quantity,
        unit: Span,
        place: Plausible,
    ) {
        let mut finding = Finding::error(
            "unit/wrong",
            hole.place(),
            format!(
                "{} is {}, but {quantity} is {}.",
                capital(place.what),
                place.dimension.describe(),
                quantity.dimension().describe()
            ),
        );
        let at = self.place(unit);
        for likely in place.likely(quantity) {
            finding = finding.clinical_fix(format!("write `{likely}`"), at, likely.unit.symbol());
        }
        self.report(finding);
    }

    /// An impossible figure is not used; an unusual one is.
    fn implausible(
        &mut self,
        hole: FieldValue<'_>,
        quantity: Quantity,
        amount: &Amount,
        place: Plausible,
        verdict: Verdict,
    ) -> Option<Quantity> {
        let usual = place.range_text();
        let message = format!("{} cannot be {}: mostly {usual}.", with_base(quantity), place.what);
        let mut finding = match verdict {
            Verdict::Impossible => Finding::error("unit/implausible", hole.place(), message),
            _ => Finding::warning(
                "unit/unusual",
                hole.place(),
                format!("{} is unusual for {}: mostly {usual}.", with_base(quantity), place.what),
            ),
        };
        finding =
            finding.figure(quantity.value, limit_passed(quantity, place, verdict), quantity.unit);
        let (written, has_own_unit) = match amount.unit {
            Some(unit) => (amount.span.to(unit.span), true),
            None => (amount.span, false),
        };
        for likely in place.likely(quantity) {
            // Where two numbers share one unit, only the number can be replaced.
            if !has_own_unit && likely.unit != quantity.unit {
                continue;
            }
            let text = if has_own_unit {
                likely.to_string()
            } else {
                springline_units::quantity::plain(likely.value)
            };
            finding = finding.clinical_fix(format!("write `{likely}`"), self.place(written), text);
        }
        self.report(finding);
        (verdict == Verdict::Unusual).then_some(quantity)
    }

    pub fn length(&mut self, field: LengthField<'_>, place: Plausible) -> Option<Length> {
        self.figure(field, place)?.length()
    }

    /// Two sizes, in the order written.
    pub fn sizes(&mut self, field: DimsField<'_>, place: Plausible) -> Option<(Length, Length)> {
        let (first, second) = self.figures(field, place)?;
        Some((first.length()?, second.length()?))
    }

    pub fn angle(&mut self, field: AngleField<'_>, place: Plausible) -> Option<Angle> {
        self.figure(field, place)?.angle()
    }

    pub fn force(&mut self, field: ForceField<'_>, place: Plausible) -> Option<Force> {
        self.figure(field, place)?.force()
    }

    pub fn stress(&mut self, field: StressField<'_>, place: Plausible) -> Option<Stress> {
        self.figure(field, place)?.stress()
    }

    /// Both ends of a range; a single stress twice.
    pub fn stresses(
        &mut self,
        field: StressesField<'_>,
        place: Plausible,
    ) -> Option<(Stress, Stress)> {
        let (first, last) = self.figures(field, place)?;
        Some((first.stress()?, last.stress()?))
    }

    pub fn period(&mut self, field: TimeField<'_>, place: Plausible) -> Option<Period> {
        self.figure(field, place)?.period()
    }

    /// Both ends of a range; a single time twice.
    pub fn periods(&mut self, field: TimesField<'_>, place: Plausible) -> Option<(Period, Period)> {
        let (first, last) = self.figures(field, place)?;
        Some((first.period()?, last.period()?))
    }

    pub fn percent(&mut self, field: PercentField<'_>, place: Plausible) -> Option<Ratio> {
        self.figure(field, place)?.percent()
    }

    pub fn celsius(&mut self, field: TemperatureField<'_>, place: Plausible) -> Option<f64> {
        self.figure(field, place)?.in_unit(Unit::C)
    }

    pub fn factor(&mut self, field: RatioField<'_>, place: Plausible) -> Option<Ratio> {
        self.figure(field, place)?.factor()
    }

    /// A figure of the dimension that its place requires.
    pub fn figure_of_any(&mut self, field: AnyField<'_>, place: Plausible) -> Option<Quantity> {
        self.figure(field, place)
    }

    // ------------------------------------------------------------------ teeth

    /// One tooth, by its place in the text.
    pub fn tooth_at(&mut self, span: Span) -> Option<Tooth> {
        let text = self.parse.text(span);
        let Some(tooth) = Tooth::parse(text) else {
            self.no_such_tooth(text, span);
            return None;
        };
        let bare = text.chars().all(|c| c.is_ascii_digit());
        if bare && self.notation != Notation::Iso {
            self.ambiguous_tooth(tooth, text, span);
            return None;
        }
        if let Some(arch) = self.arch
            && tooth.arch() != arch
        {
            self.wrong_arch(tooth, arch, span);
            return None;
        }
        Some(tooth)
    }

    fn no_such_tooth(&mut self, text: &str, span: Span) {
        let mut finding = Finding::error(
            "name/no-such-tooth",
            self.place(span),
            format!("{text} is not a tooth in ISO 3950."),
        )
        .note("Teeth are written 13, UR3 or #6; deciduous teeth 53, URC or #C.");
        let universal = text.parse::<u32>().ok().and_then(Tooth::universal);
        if let Some(tooth) = universal {
            finding = finding.clinical_fix(
                format!("write `#{text}` (= {tooth})"),
                self.place(span),
                format!("#{text}"),
            );
        }
        if text.starts_with('#') && universal.is_none() {
            finding = finding.note(
                "A supernumerary tooth has no place in the arch: put it in a `note`, and enter the \
                 space it takes at its neighbours.",
            );
        }
        self.report(finding);
    }

    fn ambiguous_tooth(&mut self, tooth: Tooth, text: &str, span: Span) {
        let iso = tooth.write(self.notation);
        let mut finding = Finding::error(
            "name/tooth-read-two-ways",
            self.place(span),
            format!("{text} can be read two ways in this practice."),
        )
        .why("The practice does not write ISO numbers, so a bare number may mean another tooth.")
        .clinical_fix(
            format!("write `{iso}` (= {})", tooth.words()),
            self.place(span),
            iso.clone(),
        );
        if let Some(other) = text.parse::<u32>().ok().and_then(Tooth::universal) {
            let other_text = other.write(self.notation);
            finding = finding.clinical_fix(
                format!("write `{other_text}` (= {})", other.words()),
                self.place(span),
                other_text.clone(),
            );
        }
        self.report(finding);
    }

    fn wrong_arch(&mut self, tooth: Tooth, arch: Arch, span: Span) {
        let across = Tooth::at(arch, tooth.place());
        let mut finding = Finding::error(
            "name/wrong-arch",
            self.place(span),
            format!(
                "{tooth} is {} {} tooth; this is the {arch} arch.",
                article(tooth.arch()),
                tooth.arch()
            ),
        )
        .teeth([tooth]);
        if let Some(across) = across {
            let text = across.write(self.notation);
            finding =
                finding.clinical_fix(format!("write `{text}`"), self.place(span), text.clone());
        }
        self.report(finding);
    }

    /// All teeth of a field, ranges expanded, each once, in the order typed.
    pub fn teeth(&mut self, field: TeethField<'_>) -> Vec<Tooth> {
        let mut out: Vec<Tooth> = Vec::new();
        for span in field.teeth() {
            for tooth in self.span_of_teeth(span) {
                if out.contains(&tooth) {
                    self.report(
                        Finding::warning(
                            "name/tooth-twice",
                            self.place(span.span()),
                            format!("{tooth} is named twice here."),
                        )
                        .teeth([tooth]),
                    );
                } else {
                    out.push(tooth);
                }
            }
        }
        self.without(field, &mut out);
        out
    }

    /// The teeth of a field that may be left out.
    pub fn teeth_if_said(&mut self, field: Option<TeethField<'_>>) -> Vec<Tooth> {
        field.map(|field| self.teeth(field)).unwrap_or_default()
    }

    /// Removes the teeth after `except` from a list.
    fn without(&mut self, field: TeethField<'_>, out: &mut Vec<Tooth>) {
        for span in field.excepted() {
            for tooth in self.span_of_teeth(span) {
                let before = out.len();
                out.retain(|t| *t != tooth);
                if out.len() == before {
                    self.report(
                        Finding::error(
                            "name/except-not-listed",
                            self.place(span.span()),
                            format!("{tooth} is left out of teeth that it is not among."),
                        )
                        .teeth([tooth]),
                    );
                }
            }
        }
    }

    fn span_of_teeth(&mut self, span: ToothSpan) -> Vec<Tooth> {
        let Some(last) = span.last else {
            return self.tooth_at(span.first).into_iter().collect();
        };
        // A range that leaves the arch is one mistake, not a wrong tooth at its end.
        let (from, to) = (self.parse.text(span.first), self.parse.text(last));
        if let (Some(a), Some(b)) = (Tooth::parse(from), Tooth::parse(to))
            && a.arch() != b.arch()
        {
            self.leaves_arch(a, b, span);
            return Vec::new();
        }
        let (Some(first), Some(last)) = (self.tooth_at(span.first), self.tooth_at(last)) else {
            return Vec::new();
        };
        first.stretch(last).unwrap_or_default()
    }

    fn leaves_arch(&mut self, first: Tooth, last: Tooth, span: ToothSpan) {
        let place = self.place(span.span());
        let mut finding = Finding::error(
            "name/stretch-leaves-arch",
            place,
            format!("From {first} to {last} would leave the arch."),
        )
        .why("A range of teeth runs along one arch, from the patient's right to left.");
        let wanted = self.arch;
        for arch in Arch::BOTH.into_iter().filter(|a| wanted.is_none_or(|w| w == *a)) {
            let (Some(a), Some(b)) =
                (Tooth::at(arch, first.place()), Tooth::at(arch, last.place()))
            else {
                continue;
            };
            // 13..43 for 13..23 is a likely mistake, but it is unknown which end is wrong: no fix changes
            // the side.
            if a == b {
                finding = finding.note("For example 13..23 for all anterior teeth.");
                continue;
            }
            let text = format!("{}..{}", a.write(self.notation), b.write(self.notation));
            finding = finding.clinical_fix(format!("write `{text}`"), place, text.clone());
        }
        self.report(finding);
    }

    /// The one tooth of a field.
    pub fn tooth(&mut self, field: ToothField<'_>) -> Option<Tooth> {
        self.tooth_at(field.tooth()?)
    }

    /// The teeth of several fields; those that are none are left out.
    pub fn single_teeth(&mut self, fields: FieldList<'_, kind::Tooth>) -> Vec<Tooth> {
        fields.into_iter().filter_map(|field| self.tooth(field)).collect()
    }

    // ------------------------------------------------------------------ dates

    /// A day in a plausible year. Bad dates have a finding from the tree already.
    pub fn date(&mut self, field: DateField<'_>) -> Option<Date> {
        self.day(field.date()?)
    }

    pub fn dates(&mut self, field: DatesField<'_>) -> Option<(Date, Date)> {
        let (first, last) = field.dates()?;
        let (from, to) = (self.day(first)?, self.day(last)?);
        if from > to {
            self.report(
                Finding::error(
                    "unit/dates-backwards",
                    field.place(),
                    format!("{from} is after {to}."),
                )
                .clinical_fix(
                    format!("write `{to}..{from}`"),
                    field.place(),
                    format!("{to}..{from}"),
                ),
            );
            return None;
        }
        Some((from, to))
    }

    fn day(&mut self, mark: DateMark) -> Option<Date> {
        let date = mark.date?;
        if (1990..=2100).contains(&date.year()) {
            return Some(date);
        }
        self.report(Finding::error(
            "unit/implausible-date",
            self.place(mark.span),
            format!("{date} is not a date of a treatment: years run from 1990 to 2100 here."),
        ));
        None
    }
}

/// "1.5 in (38.1 mm)": adds the value in the base unit where another unit was typed.
fn with_base(quantity: Quantity) -> String {
    let unit = match quantity.dimension() {
        Dimension::Length => Unit::Mm,
        Dimension::Force => Unit::G,
        _ => return quantity.to_string(),
    };
    match quantity.in_unit(unit) {
        Some(value) if unit != quantity.unit => {
            let digits = if value.abs() < 1.0 { 1000.0 } else { 10.0 };
            format!(
                "{quantity} ({} {unit})",
                springline_units::quantity::plain((value * digits).round() / digits)
            )
        }
        _ => quantity.to_string(),
    }
}

fn article(arch: Arch) -> &'static str {
    match arch {
        Arch::Upper => "an",
        Arch::Lower => "a",
    }
}

/// The bound that the figure passed, in the figure's own unit.
fn limit_passed(quantity: Quantity, place: Plausible, verdict: Verdict) -> f64 {
    let (low, high) = match verdict {
        Verdict::Impossible => place.possible,
        _ => place.usual,
    };
    let unit = match place.dimension {
        Dimension::Length => Unit::Mm,
        Dimension::Force => Unit::G,
        Dimension::Couple => Unit::Nmm,
        Dimension::Stress => Unit::MPa,
        Dimension::Time => Unit::D,
        _ => quantity.unit,
    };
    let own = |v: f64| Quantity::new(v, unit).in_unit(quantity.unit).unwrap_or(v);
    if quantity.value > own(high) { own(high) } else { own(low) }
}
