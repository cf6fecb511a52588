//! Lowers the stock: brackets, wires, coils, elastics, chains, stops, arch forms.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::Finding;
use springline_model::force_left::ForceLeft;
use springline_model::house::House;
use springline_model::stock::{
    Along, BendPoint, Bracket, ByTooth, Chain, Closure, Coil, CoilKind, Elastic, MeasuredBend,
    Name, Section, Stop, Wire,
};
use springline_syntax::ast::{
    CoilDetailPart, CoilLine, DimsField, ElasticDetailPart, ElasticLine, FitStatement, ForceField,
    ForceLeftPart, HouseChainLine, HouseStopLine, LengthField, NameField, PartList, SectionPart,
    SlotLine, StopDetailPart, TemperatureField, WireDetailPart, WireLine, WireShapeWord,
};
use springline_syntax::tree::StatementRef;
use springline_text::{Place, Span};
use springline_units::quantity::{Period, factor, mm};

impl LoweringContext<'_> {
    /// Adds an item to the stock; a second one of the same name is a finding.
    pub(super) fn add_to_stock<T>(
        &mut self,
        what: &str,
        stock: &mut BTreeMap<Name, Arc<T>>,
        name: Name,
        thing: T,
        place: Place,
        first: impl Fn(&T) -> Option<Place>,
    ) {
        if let Some(old) = stock.get(&name) {
            // A practice file may redefine an item of the one it builds on; within one file that is a
            // mistake.
            let old_place = first(old);
            if old_place.is_some_and(|p| p.file == place.file) {
                self.doubled(what, &name, place, old_place);
                return;
            }
        }
        stock.insert(name, Arc::new(thing));
    }

    pub fn bracket_stock(
        &mut self,
        line: StatementRef<'_>,
        hole: NameField<'_>,
        is_tube: bool,
        house: &mut House,
    ) {
        let name = Name::from(hole.text());
        let mut fit = BracketValues::default();
        for child in line.children().filter_map(FitStatement::cast) {
            self.fit(child, &mut fit);
        }
        let Some(FitSlot { height, depth, measured, text: slot_text }) = fit.slot else {
            if line.children().all(|c| c.is_read()) {
                self.report(
                    Finding::error(
                        "name/bracket-without-slot",
                        hole.place(),
                        format!("Which slot does `{name}` have?"),
                    )
                    .note("Write a line such as `slot 0.022 x 0.028 in`.")
                    .why("Which wires fit, and their play, depends on the slot."),
                );
            }
            return;
        };
        let closure = fit.closure.map_or(Closure::Passive, |(c, _)| c);
        let bracket = Bracket {
            name: name.clone(),
            is_tube,
            on_band: fit.band,
            closure,
            slot_height: height,
            slot_depth: depth,
            slot_measured: measured,
            slot_text,
            width: fit.width,
            torque: fit.torque,
            tip: fit.tip,
            hooks: fit.hooks,
            variants: fit.variants,
            place: hole.place(),
        };
        self.add_to_stock(
            "bracket or tube",
            &mut house.brackets,
            name,
            bracket,
            hole.place(),
            |b| Some(b.place),
        );
    }

    fn fit(&mut self, line: FitStatement<'_>, fit: &mut BracketValues) {
        match line {
            FitStatement::Slide(line) => self.closure(line.statement, Closure::Passive, fit),
            FitStatement::Clip(line) => {
                let seats = line.length.and_then(|field| self.length(field, p::WIRE_SIZE));
                self.closure(line.statement, Closure::Active { seats }, fit);
            }
            FitStatement::Ligated(line) => self.closure(line.statement, Closure::Ligated, fit),
            FitStatement::Band(_) => fit.band = true,
            FitStatement::Slot(line) => self.slot(line, fit),
            FitStatement::Width(line) => {
                let teeth = self.teeth_if_said(line.teeth);
                if let Some(width) = self.length(line.length, p::BRACKET_WIDTH) {
                    fit.width.set(&teeth, width);
                }
            }
            FitStatement::FitTorque(line) => {
                let teeth = self.teeth_if_said(line.teeth);
                if let Some(angle) = self.angle(line.angle, p::TORQUE_ANGLE) {
                    fit.torque.set(&teeth, (angle, word_values::crown_turn(line.crown)));
                }
            }
            FitStatement::Tipped(line) => {
                let teeth = self.teeth_if_said(line.teeth);
                if let Some(angle) = self.angle(line.angle, p::TIP) {
                    fit.tip.set(&teeth, (angle, word_values::along(line.along)));
                }
            }
            FitStatement::FitHook(line) => fit.hooks.extend(self.teeth(line.teeth)),
            FitStatement::Variant(line) => {
                let teeth = self.teeth_if_said(line.teeth);
                if let Some(angle) = self.angle(line.angle, p::TORQUE_ANGLE) {
                    let entry = fit.variants.entry(line.variant.text().into()).or_default();
                    entry.set(&teeth, (angle, word_values::crown_turn(line.crown)));
                }
            }
        }
    }

    fn slot(&mut self, line: SlotLine<'_>, fit: &mut BracketValues) {
        let Some((height, depth)) = self.sizes(line.dims, p::SLOT_SIZE) else { return };
        if fit.slot.is_some() {
            self.said_twice("The slot", line.statement.place(), None);
        }
        let measured = line.length.and_then(|field| self.slot_measured(field, height));
        fit.slot = Some(FitSlot { height, depth, measured, text: line.dims.text().to_owned() });
    }

    /// A measured height that is implausible for a slot of that name is reported, and used.
    fn slot_measured(
        &mut self,
        hole: LengthField<'_>,
        name: springline_units::quantity::Length,
    ) -> Option<springline_units::quantity::Length> {
        let measured = self.length(hole, p::SLOT_SIZE)?;
        let over = mm(measured) / mm(name) - 1.0;
        // Nine types 0.7 to 9.7 %, eleven others up to 24 % (Cash AC et al. Angle Orthod 2004;74(4):450-453;
        // value from memory); a slot smaller than its name by more than a hundredth is a slip of the pen.
        if !(-0.01..=0.25).contains(&over) {
            self.report(
                Finding::warning(
                    "unit/slot-unlike-its-name",
                    hole.place(),
                    format!(
                        "A slot measured as {} is {:.0} % {} than its name; measured slots are up to 25 % larger.",
                        hole.text(),
                        100.0 * over.abs(),
                        if over < 0.0 { "smaller" } else { "larger" }
                    ),
                )
                .note("Measure the height, which the wire's smaller side lies in.")
                .why("How much torque and tip is expressed depends on the play of the wire in the slot."),
            );
        }
        Some(measured)
    }

    fn closure(&mut self, line: StatementRef<'_>, closure: Closure, fit: &mut BracketValues) {
        if let Some((_, first)) = fit.closure {
            self.said_twice("How the bracket closes", line.place(), Some(first));
        } else {
            fit.closure = Some((closure, line.place()));
        }
    }

    pub fn wire_stock(&mut self, line: WireLine<'_>, house: &mut House) {
        let hole = line.wire;
        let name = Name::from(hole.text());
        let alloy = word_values::alloy(line.alloy);
        let Some((section, section_text)) = self.section(line.section) else { return };
        let mut wire = Wire {
            name: name.clone(),
            alloy,
            section,
            section_text,
            edge: None,
            strands: None,
            modulus: None,
            yield_stress: None,
            tolerance: None,
            loading_plateau: None,
            unloading_plateau: None,
            measured: None,
            af_c: None,
            mouth_c: house.mouth_c.value,
            place: hole.place(),
        };
        self.wire_details(line.statement, line.wire_details, &mut wire);
        self.add_to_stock("wire", &mut house.wires, name, wire, hole.place(), |w| Some(w.place));
    }

    /// The section with its source text; smaller side first.
    fn section(&mut self, part: SectionPart<'_>) -> Option<(Section, String)> {
        Some(match part {
            SectionPart::Rect(dims) => {
                let (height, depth) = self.sizes(dims, p::WIRE_SIZE)?;
                if height > depth {
                    self.section_turned(dims);
                    return None;
                }
                (Section::Rect { height, depth }, dims.text().to_owned())
            }
            SectionPart::Square(length) => {
                let side = self.length(length, p::WIRE_SIZE)?;
                (Section::Square { side }, length.text().to_owned())
            }
            SectionPart::Round(length) => {
                let diameter = self.length(length, p::WIRE_SIZE)?;
                (Section::Round { diameter }, length.text().to_owned())
            }
        })
    }

    fn section_turned(&mut self, hole: DimsField<'_>) {
        let mut finding = Finding::error(
            "unit/section-turned",
            hole.place(),
            format!("{}: the smaller side comes first; it is the height in the slot.", hole.text()),
        );
        if let Some(measure) = hole.measure()
            && let (Some(a), Some(b)) = (measure.first_quantity(), measure.second_quantity())
        {
            let text = format!(
                "{} x {}",
                springline_units::quantity::plain(b.value),
                if a.unit == b.unit {
                    a.to_string()
                } else {
                    format!("{} {}", springline_units::quantity::plain(a.value), a.unit)
                }
            );
            finding = finding.clinical_fix(format!("write `{text}`"), hole.place(), text.clone());
        }
        self.report(finding);
    }

    fn wire_details(
        &mut self,
        line: StatementRef<'_>,
        details: PartList<'_, WireDetailPart<'_>>,
        wire: &mut Wire,
    ) {
        let mut span = None;
        let mut points = Vec::new();
        for detail in details {
            match detail {
                WireDetailPart::Edge(length) => wire.edge = self.length(length, p::EDGE),
                WireDetailPart::Strands(count) => wire.strands = count.count(),
                WireDetailPart::Af(field) => self.austenite_finish(field, wire),
                WireDetailPart::Modulus(stress) => {
                    wire.modulus = self.stress(stress, p::MODULUS);
                }
                WireDetailPart::Yield(stress) => {
                    wire.yield_stress = self.stress(stress, p::STRENGTH);
                }
                WireDetailPart::Tolerance(length) => {
                    wire.tolerance = self.length(length, p::SIZE_TOLERANCE);
                }
                WireDetailPart::LoadingPlateau(stresses) => {
                    wire.loading_plateau = self.stresses(stresses, p::STRENGTH);
                }
                WireDetailPart::UnloadingPlateau(stresses) => {
                    wire.unloading_plateau = self.stresses(stresses, p::STRENGTH);
                }
                WireDetailPart::Measured(length) => span = self.length(length, p::CHART_SPAN),
                WireDetailPart::Loading { force, length } => {
                    points.extend(self.bend_point(force, length, false));
                }
                WireDetailPart::Unloading { force, length } => {
                    points.extend(self.bend_point(force, length, true));
                }
            }
        }
        match (span, points.is_empty()) {
            (Some(span), false) => wire.measured = Some(MeasuredBend { span, points }),
            (None, false) => self.report(
                Finding::error(
                    "name/measured-without-span",
                    line.place(),
                    format!("Over which span was `{}` measured?", wire.name),
                )
                .note("Add `measured over 10 mm span` before the measured points."),
            ),
            _ => {}
        }
    }

    /// The temperature above which nickel-titanium is superelastic; other alloys have none.
    fn austenite_finish(&mut self, field: TemperatureField<'_>, wire: &mut Wire) {
        let Some(af_c) = self.celsius(field, p::AF) else { return };
        if wire.alloy.is_niti() {
            wire.af_c = Some(af_c);
            return;
        }
        let source = &self.parse.source;
        let from =
            source[..field.span().range().start].rfind(',').unwrap_or(field.span().range().start);
        let detail = self.place(Span::new(from, field.span().range().end));
        self.report(
            Finding::error(
                "name/af-of-no-niti",
                field.place(),
                format!("`{}` is of {}, which has no Af.", wire.name, wire.alloy.short()),
            )
            .why("Only nickel-titanium changes between martensite and austenite; the force of other alloys hardly depends on temperature.")
            .clinical_fix("without the Af", detail, ""),
        );
    }

    /// A practice's own curve of what is left of a force; `None` where it gives no point.
    fn force_left(&mut self, parts: PartList<'_, ForceLeftPart<'_>>) -> Option<ForceLeft> {
        let mut points: Vec<(f64, f64, Place)> = Vec::new();
        for part in parts {
            let share = self.percent(part.left, p::FORCE_LEFT).map(factor);
            let hours = self.period(part.time, p::FORCE_TIME).map(Period::hours);
            let (Some(share), Some(hours)) = (share, hours) else { continue };
            let place = self.place(part.left.span().to(part.time.span()));
            if let Some((.., first)) = points.iter().find(|(h, ..)| *h == hours) {
                self.said_twice("What is left of the force after that time", place, Some(*first));
                continue;
            }
            points.push((hours, share, place));
        }
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in points.windows(2) {
            let [(_, before, first), (_, after, place)] = pair else { continue };
            if after > before {
                self.report(
                    Finding::warning(
                        "unit/force-grows",
                        *place,
                        "More of the force is left later than before.",
                    )
                    .related(*first, "less is left here")
                    .note(
                        "If two figures were exchanged, exchange them back; it is used as written.",
                    )
                    .why("Elastics and chains lose force with time."),
                );
            }
        }
        ForceLeft::new(points.into_iter().map(|(hours, share, _)| (hours, share)).collect())
    }

    fn bend_point(
        &mut self,
        force: ForceField<'_>,
        length: LengthField<'_>,
        unloading: bool,
    ) -> Option<BendPoint> {
        let force = self.force(force, p::BEND_FORCE);
        let deflection = self.length(length, p::DEFLECTION);
        Some(BendPoint { deflection: deflection?, force: force?, unloading })
    }

    pub fn coil_stock(&mut self, line: CoilLine<'_>, house: &mut House) {
        let hole = line.coil;
        let kind = word_values::coil_kind(line.coil_kind);
        let mut coil = Coil {
            name: hole.text().into(),
            kind,
            force: None,
            force_at: None,
            stroke: None,
            length: None,
            lumen: None,
            place: hole.place(),
        };
        let mut force_said = None;
        for detail in line.coil_details {
            match detail {
                CoilDetailPart::Force { force, at } => {
                    if force_said.is_none() {
                        force_said = Some(force);
                        coil.force = self.force(force, p::COIL_FORCE);
                    }
                    coil.force_at = at.and_then(|field| self.length(field, p::STROKE));
                }
                CoilDetailPart::Stroke(length) => coil.stroke = self.length(length, p::STROKE),
                CoilDetailPart::Length(length) => coil.length = self.length(length, p::COIL_LENGTH),
                CoilDetailPart::Lumen(length) => coil.lumen = self.length(length, p::WIRE_SIZE),
            }
        }
        if kind == CoilKind::Closed
            && coil.force.is_some()
            && let Some(force) = force_said
        {
            self.passive_coil_with_force(line.statement, hole, force);
        }
        self.add_to_stock("coil", &mut house.coils, hole.text().into(), coil, hole.place(), |c| {
            Some(c.place)
        });
    }

    /// Suppliers sell closing springs as "closed coil", while `closed` is read as the passive kind. A
    /// force suggests a closing spring. The packet tells which it is, so both readings are offered.
    fn passive_coil_with_force(
        &mut self,
        line: StatementRef<'_>,
        name: NameField<'_>,
        force: ForceField<'_>,
    ) {
        let source = &line.parse.source;
        let after = name.span().range().end;
        let rest = &source[after..line.whole_span().range().end];
        let start = after + (rest.len() - rest.trim_start().len());
        let end = rest.trim_start().find([',', ' ']).map_or(start, |i| start + i);
        let kind = line.parse.place(Span::new(start, end));
        let force_end = force.span().range().end;
        let detail = source[..force_end].rfind(',').unwrap_or(force_end);
        self.report(
            Finding::warning(
                "name/passive-coil-with-force",
                force.place(),
                format!("`{}` is a passive coil and has a force.", name.text()),
            )
            .related(kind, "passive: it only keeps a space")
            .why("A passive coil pulls nothing. What suppliers sell as a \"closed coil\" is often a closing spring.")
            .clinical_fix("it pulls: `closing-spring`", kind, "closing-spring")
            .clinical_fix(
                "it only keeps a space: without the force",
                line.parse.place(Span::new(detail, force_end)),
                "",
            ),
        );
    }

    pub fn elastic_stock(&mut self, line: ElasticLine<'_>, house: &mut House) {
        let hole = line.elastic;
        let (mut size, mut force) = (None, None);
        for detail in line.elastic_details {
            match detail {
                ElasticDetailPart::Size(length) => size = size.or(Some(length)),
                ElasticDetailPart::Force(field) => force = force.or(Some(field)),
            }
        }
        let Some(force_hole) = force else {
            self.report(
                Finding::error(
                    "name/elastic-without-force",
                    hole.place(),
                    format!("How strong is `{}`?", hole.text()),
                )
                .note("Add its force as bought, such as `force 3.5 oz`."),
            );
            return;
        };
        let Some(force) = self.force(force_hole, p::ELASTIC_FORCE) else { return };
        let elastic = Elastic {
            name: hole.text().into(),
            size: size.and_then(|h| self.length(h, p::ELASTIC_SIZE)),
            size_text: size.map(|h| h.text().to_owned()),
            force,
            force_text: force_hole.text().to_owned(),
            left: self.force_left(line.force_lefts),
            place: hole.place(),
        };
        self.add_to_stock(
            "elastic",
            &mut house.elastics,
            hole.text().into(),
            elastic,
            hole.place(),
            |e| Some(e.place),
        );
    }

    pub fn chain_stock(&mut self, line: HouseChainLine<'_>, house: &mut House) {
        let hole = line.chain;
        let kind = word_values::chain_kind(line.chain_kind);
        let force = line.forces.iter().next().and_then(|field| self.force(field, p::CHAIN_FORCE));
        let left = self.force_left(line.force_lefts);
        let chain = Chain { name: hole.text().into(), kind, force, left, place: hole.place() };
        self.add_to_stock(
            "chain",
            &mut house.chains,
            hole.text().into(),
            chain,
            hole.place(),
            |c| Some(c.place),
        );
    }

    pub fn stop_stock(&mut self, line: HouseStopLine<'_>, house: &mut House) {
        let hole = line.stop;
        let (mut length, mut for_round) = (None, None);
        for detail in line.stop_details {
            match detail {
                StopDetailPart::Length(field) => length = length.or(Some(field)),
                StopDetailPart::For(WireShapeWord::Round) => for_round = Some(true),
                StopDetailPart::For(WireShapeWord::Rectangular) => {
                    for_round = for_round.or(Some(false));
                }
            }
        }
        // A crimped tube of 1.5 to 2 mm where nothing is given (common practice, no source).
        let length = match length {
            Some(field) => match self.length(field, p::STOP_LENGTH) {
                Some(length) => length,
                None => return,
            },
            None => springline_units::quantity::from_mm(1.5),
        };
        let stop = Stop { name: hole.text().into(), length, for_round, place: hole.place() };
        self.add_to_stock("stop", &mut house.stops, hole.text().into(), stop, hole.place(), |s| {
            Some(s.place)
        });
    }
}

struct FitSlot {
    height: springline_units::quantity::Length,
    depth: springline_units::quantity::Length,
    measured: Option<springline_units::quantity::Length>,
    text: String,
}

#[derive(Default)]
struct BracketValues {
    slot: Option<FitSlot>,
    closure: Option<(Closure, Place)>,
    band: bool,
    width: ByTooth<springline_units::quantity::Length>,
    torque: ByTooth<(springline_units::quantity::Angle, springline_model::stock::CrownTurn)>,
    tip: ByTooth<(springline_units::quantity::Angle, Along)>,
    hooks: Vec<springline_units::tooth::Tooth>,
    variants: BTreeMap<
        Name,
        ByTooth<(springline_units::quantity::Angle, springline_model::stock::CrownTurn)>,
    >,
}
