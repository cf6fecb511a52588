//! The drawer: brackets, wires, coils, elastics, chains, stops, arch forms.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::plausible as p;
use super::read::LoweringContext;
use super::stand::crown_turn;
use springline_finding::Finding;
use springline_model::house::House;
use springline_model::stock::{
    Alloy, Along, BendPoint, Bracket, ByTooth, Chain, ChainKind, Closure, Coil, CoilKind, Elastic,
    Form, FormCurve, MeasuredBend, Name, Section, Stop, Wire,
};
use springline_syntax::tree::{FieldValue, FragmentMatch, StatementRef};
use springline_text::{Place, Span};
use springline_units::quantity::mm;

impl LoweringContext<'_> {
    /// Puts a thing into the drawer; a second one of the same name is a finding.
    fn add_to_stock<T>(
        &mut self,
        what: &str,
        stock: &mut BTreeMap<Name, Arc<T>>,
        name: Name,
        thing: T,
        place: Place,
        first: impl Fn(&T) -> Option<Place>,
    ) {
        if let Some(old) = stock.get(&name) {
            // A house that builds on another may say a thing anew; within one file it is a mistake.
            let old_place = first(old);
            if old_place.is_some_and(|p| p.file == place.file) {
                self.doubled(what, &name, place, old_place);
                return;
            }
        }
        stock.insert(name, Arc::new(thing));
    }

    pub fn form(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(name) = line.hole("form").map(|h| Name::from(h.text())) else { return };
        let Some(length) = line.hole("length").and_then(|h| self.length(h, p::ARCH_FORM)) else {
            return;
        };
        let curve = if line.has("circle") {
            FormCurve::Circle { radius: length }
        } else {
            FormCurve::Catenary { a: length }
        };
        let form = Form { name: name.clone(), curve, place: Some(line.place()) };
        self.add_to_stock("arch form", &mut house.forms, name, form, line.place(), |f| f.place);
    }

    pub fn bracket_stock(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("bracket") else { return };
        let name = Name::from(hole.text());
        let is_tube = line.keyword() == Some("tube");
        let mut fit = BracketValues::default();
        for child in line.children().filter(|c| c.is_read()) {
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

    fn fit(&mut self, line: StatementRef<'_>, fit: &mut BracketValues) {
        let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
        match line.keyword() {
            Some("slide") => self.closure(line, Closure::Passive, fit),
            Some("clip") => {
                let seats = line.hole("length").and_then(|h| self.length(h, p::WIRE_SIZE));
                self.closure(line, Closure::Active { seats }, fit);
            }
            Some("ligated") => self.closure(line, Closure::Ligated, fit),
            Some("band") => fit.band = true,
            Some("slot") => {
                let Some(hole) = line.hole("dims") else { return };
                let Some((height, depth)) = self.figures(hole, p::SLOT_SIZE) else { return };
                let (Some(height), Some(depth)) = (height.length(), depth.length()) else { return };
                if fit.slot.is_some() {
                    self.said_twice("The slot", line.place(), None);
                }
                let measured = line.hole("length").and_then(|h| self.slot_measured(h, height));
                fit.slot = Some(FitSlot { height, depth, measured, text: hole.text().to_owned() });
            }
            Some("width") => {
                if let Some(w) = line.hole("length").and_then(|h| self.length(h, p::BRACKET_WIDTH))
                {
                    fit.width.set(&teeth, w);
                }
            }
            Some("torque") => {
                if let Some(angle) = self.angle(line.group(), p::TORQUE_ANGLE) {
                    fit.torque.set(&teeth, (angle, crown_turn(line.group())));
                }
            }
            Some("tipped") => {
                let along = if line.has("mesial") { Along::Mesial } else { Along::Distal };
                if let Some(angle) = self.angle(line.group(), p::TIP) {
                    fit.tip.set(&teeth, (angle, along));
                }
            }
            Some("hook") => fit.hooks.extend(teeth),
            Some("variant") => {
                let Some(name) = line.hole("variant").map(|h| Name::from(h.text())) else { return };
                if let Some(angle) = self.angle(line.group(), p::TORQUE_ANGLE) {
                    let entry = fit.variants.entry(name).or_default();
                    entry.set(&teeth, (angle, crown_turn(line.group())));
                }
            }
            _ => {}
        }
    }

    /// A measured height that no slot of that name has is said to be so, and taken.
    fn slot_measured(
        &mut self,
        hole: FieldValue<'_>,
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

    pub fn wire_stock(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("wire") else { return };
        let name = Name::from(hole.text());
        let Some(alloy) = line.group().words().find_map(Alloy::from_word) else { return };
        let Some((section, section_text)) = self.section(line) else { return };
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
            place: hole.place(),
        };
        self.wire_details(line, &mut wire);
        self.add_to_stock("wire", &mut house.wires, name, wire, hole.place(), |w| Some(w.place));
    }

    /// The section with the text it was written in; smaller side first.
    fn section(&mut self, line: StatementRef<'_>) -> Option<(Section, String)> {
        if let Some(hole) = line.hole("dims") {
            let (height, depth) = self.figures(hole, p::WIRE_SIZE)?;
            let (height, depth) = (height.length()?, depth.length()?);
            if height > depth {
                self.section_turned(hole);
                return None;
            }
            return Some((Section::Rect { height, depth }, hole.text().to_owned()));
        }
        let hole = line.hole("length")?;
        let size = self.length(hole, p::WIRE_SIZE)?;
        let section = if line.has("square") {
            Section::Square { side: size }
        } else {
            Section::Round { diameter: size }
        };
        Some((section, hole.text().to_owned()))
    }

    fn section_turned(&mut self, hole: FieldValue<'_>) {
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

    fn wire_details(&mut self, line: StatementRef<'_>, wire: &mut Wire) {
        let details: Vec<FragmentMatch<'_>> = line.groups("wire-detail").collect();
        let mut span = None;
        let mut points = Vec::new();
        for d in details {
            match d.word() {
                Some("edge") => wire.edge = d.hole("length").and_then(|h| self.length(h, p::EDGE)),
                Some("strands") => wire.strands = d.hole("count").and_then(FieldValue::count),
                Some("modulus") => {
                    wire.modulus =
                        d.hole("stress").and_then(|h| self.figure(h, p::MODULUS)?.stress());
                }
                Some("yield") => {
                    wire.yield_stress =
                        d.hole("stress").and_then(|h| self.figure(h, p::STRENGTH)?.stress());
                }
                Some("tolerance") => {
                    wire.tolerance =
                        d.hole("length").and_then(|h| self.length(h, p::SIZE_TOLERANCE));
                }
                Some(word @ ("loading-plateau" | "unloading-plateau")) => {
                    let pair = d.hole("stresses").and_then(|h| self.figures(h, p::STRENGTH));
                    let pair = pair.and_then(|(a, b)| Some((a.stress()?, b.stress()?)));
                    if word == "loading-plateau" {
                        wire.loading_plateau = pair;
                    } else {
                        wire.unloading_plateau = pair;
                    }
                }
                Some("measured") => {
                    span = d.hole("span").and_then(|h| self.length(h, p::CHART_SPAN));
                }
                Some(word @ ("loading" | "unloading")) => {
                    let force =
                        d.hole("force").and_then(|h| self.figure(h, p::BEND_FORCE)?.force());
                    let deflection = d.hole("length").and_then(|h| self.length(h, p::DEFLECTION));
                    if let (Some(force), Some(deflection)) = (force, deflection) {
                        points.push(BendPoint {
                            deflection,
                            force,
                            unloading: word == "unloading",
                        });
                    }
                }
                _ => {}
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

    pub fn coil_stock(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("coil") else { return };
        let kind = match () {
            () if line.has("closing-spring") => CoilKind::Closing,
            () if line.has("passive") => CoilKind::Closed,
            () => CoilKind::Open,
        };
        let mut coil = Coil {
            name: hole.text().into(),
            kind,
            force: line.hole("force").and_then(|h| self.figure(h, p::COIL_FORCE)?.force()),
            force_at: None,
            stroke: None,
            length: None,
            lumen: None,
            place: hole.place(),
        };
        for d in line.groups("coil-detail").collect::<Vec<_>>() {
            let length = d.hole("length");
            match d.word() {
                Some("force") => {
                    coil.force_at = d.hole("at").and_then(|h| self.length(h, p::STROKE));
                }
                Some("stroke") => coil.stroke = length.and_then(|h| self.length(h, p::STROKE)),
                Some("length") => coil.length = length.and_then(|h| self.length(h, p::COIL_LENGTH)),
                Some("lumen") => coil.lumen = length.and_then(|h| self.length(h, p::WIRE_SIZE)),
                _ => {}
            }
        }
        if kind == CoilKind::Closed && coil.force.is_some() {
            self.passive_coil_with_force(line, hole);
        }
        self.add_to_stock("coil", &mut house.coils, hole.text().into(), coil, hole.place(), |c| {
            Some(c.place)
        });
    }

    /// Suppliers sell closing springs as "closed coil", and `closed` is read as the passive kind: a force
    /// says that it may be the other one. Which it is stands on the packet, so both readings are offered.
    fn passive_coil_with_force(&mut self, line: StatementRef<'_>, name: FieldValue<'_>) {
        let Some(force) = line.hole("force") else { return };
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

    pub fn elastic_stock(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("elastic") else { return };
        let size = line.hole("length");
        let force = line.hole("force");
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
        let Some(force) = self.figure(force_hole, p::ELASTIC_FORCE).and_then(|q| q.force()) else {
            return;
        };
        let elastic = Elastic {
            name: hole.text().into(),
            size: size.and_then(|h| self.length(h, p::ELASTIC_SIZE)),
            size_text: size.map(|h| h.text().to_owned()),
            force,
            force_text: force_hole.text().to_owned(),
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

    pub fn chain_stock(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("chain") else { return };
        let kind = match () {
            () if line.has("short") => ChainKind::Short,
            () if line.has("long") => ChainKind::Long,
            () => ChainKind::Closed,
        };
        let force = line.hole("force").and_then(|h| self.figure(h, p::CHAIN_FORCE)?.force());
        let chain = Chain { name: hole.text().into(), kind, force, place: hole.place() };
        self.add_to_stock(
            "chain",
            &mut house.chains,
            hole.text().into(),
            chain,
            hole.place(),
            |c| Some(c.place),
        );
    }

    pub fn stop_stock(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("stop") else { return };
        // A crimped tube of 1.5 to 2 mm where nothing is said (common practice, no source).
        let length = match line.hole("length") {
            Some(h) => match self.length(h, p::STOP_LENGTH) {
                Some(length) => length,
                None => return,
            },
            None => springline_units::quantity::from_mm(1.5),
        };
        let for_round = match () {
            () if line.has("round") => Some(true),
            () if line.has("rectangular") => Some(false),
            () => None,
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
