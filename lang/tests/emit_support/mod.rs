//! Cases of the invented practice Saltmarsh, built in Rust, with a course that a test can foresee
//! (every wire is passive in time, visits lie eight weeks apart). What the real course says is
//! tested elsewhere; here it is what documents make of a course.
#![allow(dead_code)]

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex};

use jiff::ToSpan;
use jiff::civil::{Date, Weekday, date};
use springline_lang::course::{
    EndReason, Forecast, Memory, PlannedVisit, TimeBand, ToothLoad, VisitReason,
};
use springline_lang::finding::{FileId, Place, Span};
use springline_lang::model::case::*;
use springline_lang::model::house::{BookOn, House, PassiveRule, Task};
use springline_lang::model::limits::Limits;
use springline_lang::model::quantity::{Period, Quantity, Unit, from_degrees, from_grams, from_mm};
use springline_lang::model::stand::{InOut, Stand, Turn};
use springline_lang::model::step::*;
use springline_lang::model::stock::*;
use springline_lang::model::tooth::{Arch, Notation, Side, Tooth};
use springline_lang::model::{Case, Origin, Sourced};

pub fn nowhere() -> Place {
    Place { file: FileId(0), span: Span::default() }
}

pub fn t(code: u32) -> Tooth {
    Tooth::iso(code).expect("a tooth")
}

pub fn teeth(codes: &[u32]) -> Vec<Tooth> {
    codes.iter().map(|c| t(*c)).collect()
}

fn written<T>(value: T) -> Sourced<T> {
    Sourced::written(value, Origin::House, nowhere())
}

fn inch(value: f64) -> springline_lang::model::Length {
    Quantity::new(value, Unit::In).length().expect("a length")
}

pub fn wire(name: &str, alloy: Alloy, section: &[f64]) -> Arc<Wire> {
    let text: Vec<String> = section.iter().map(|s| format!("{s:.3}")).collect();
    let section = match section {
        [d] => Section::Round { diameter: inch(*d) },
        [h, d] => Section::Rect { height: inch(*h), depth: inch(*d) },
        _ => panic!("one or two sides"),
    };
    Arc::new(Wire {
        name: name.into(),
        alloy,
        section,
        section_text: format!("{} in", text.join(" x ")),
        edge: None,
        strands: None,
        modulus: None,
        yield_stress: None,
        tolerance: None,
        loading_plateau: None,
        unloading_plateau: None,
        measured: None,
        place: nowhere(),
    })
}

pub fn house() -> House {
    use Alloy::*;
    let wires = [
        wire("niti-12", SuperelasticNiti, &[0.012]),
        wire("niti-14", SuperelasticNiti, &[0.014]),
        wire("niti-18", SuperelasticNiti, &[0.018]),
        wire("niti-14x25", SuperelasticNiti, &[0.014, 0.025]),
        wire("niti-19x25", SuperelasticNiti, &[0.019, 0.025]),
        wire("beta-19x25", BetaTitanium, &[0.019, 0.025]),
        wire("steel-19x25", Steel, &[0.019, 0.025]),
    ];
    let bracket = |name: &str, tube: bool, mm: f64, hooks: &[u32]| {
        let mut width = ByTooth::default();
        width.set(&[], from_mm(mm));
        if !tube {
            width.set(&teeth(&[42, 41, 31, 32]), from_mm(2.5));
        }
        Arc::new(Bracket {
            name: name.into(),
            is_tube: tube,
            on_band: false,
            closure: Closure::Passive,
            slot_height: inch(0.022),
            slot_depth: inch(0.028),
            slot_measured: None,
            slot_text: "0.022 x 0.028 in".into(),
            width,
            torque: ByTooth::default(),
            tip: ByTooth::default(),
            hooks: teeth(hooks),
            variants: BTreeMap::new(),
            place: nowhere(),
        })
    };
    let coil = |name: &str, kind: CoilKind, g: f64, length: f64| {
        Arc::new(Coil {
            name: name.into(),
            kind,
            force: Some(from_grams(g)),
            force_at: None,
            stroke: Some(from_mm(4.0)),
            length: Some(from_mm(length)),
            lumen: None,
            place: nowhere(),
        })
    };
    let elastic = |name: &str, size: &str, oz: f64| {
        Arc::new(Elastic {
            name: name.into(),
            size: None,
            size_text: Some(size.into()),
            force: from_grams(oz * 28.35),
            force_text: format!("{oz} oz"),
            place: nowhere(),
        })
    };
    let form = |name: &str, a: f64| {
        Arc::new(Form {
            name: name.into(),
            curve: FormCurve::Catenary { a: from_mm(a) },
            place: Some(nowhere()),
        })
    };
    let stop = Arc::new(Stop {
        name: "tube-stop".into(),
        length: from_mm(1.5),
        for_round: Some(true),
        place: nowhere(),
    });
    fn by_name<T>(all: impl IntoIterator<Item = (Name, Arc<T>)>) -> BTreeMap<Name, Arc<T>> {
        all.into_iter().collect()
    }
    House {
        title: "Saltmarsh".into(),
        notation: written(Notation::Iso),
        language: written("en".into()),
        chart_form: Some(written("SM-####".into())),
        doctor: None,
        chair_time: Vec::new(),
        clinic: written(vec![Weekday::Monday, Weekday::Tuesday, Weekday::Thursday]),
        closed: vec![(date(2026, 12, 24), date(2027, 1, 2))],
        shortest: written(Period::weeks(4.0)),
        longest: written(Period::weeks(12.0)),
        minutes: BTreeMap::new(),
        limits: Limits::default(),
        passive_when: written(PassiveRule::QuarterLeft),
        book_on: written(BookOn::Prediction),
        book_at: written(Quantity::new(50.0, Unit::Percent).percent().expect("a share")),
        forms: by_name([("ovoid".into(), form("ovoid", 18.0))]),
        brackets: by_name([
            ("twin".into(), bracket("twin", false, 3.0, &[13, 23, 33, 43])),
            ("molar".into(), bracket("molar", true, 4.0, &[16, 26, 36, 46])),
        ]),
        wires: wires.into_iter().map(|w| (w.name.clone(), w)).collect(),
        coils: by_name([
            ("open-100".into(), coil("open-100", CoilKind::Open, 100.0, 15.0)),
            ("closing-150".into(), coil("closing-150", CoilKind::Closing, 150.0, 12.0)),
        ]),
        elastics: by_name([
            ("medium".into(), elastic("medium", "3/16 in", 4.5)),
            ("small".into(), elastic("small", "3/16 in", 3.5)),
        ]),
        chains: BTreeMap::new(),
        stops: by_name([("tube-stop".into(), stop)]),
        sequences: BTreeMap::new(),
        telephone: None,
        staff_texts: BTreeMap::new(),
        patient_texts: BTreeMap::new(),
        learned: Vec::new(),
        notes: Vec::new(),
    }
}

pub fn act(kind: ActKind) -> Act {
    Act { text: kind.keyword().into(), kind, origin: Origin::Case, place: nowhere() }
}

pub fn until(term: Term, text: &str) -> Condition {
    Condition { terms: vec![term], all: true, text: text.into() }
}

pub fn end(kind: EndKind, slack: f64) -> End {
    let slack = (slack > 0.0).then(|| from_mm(slack));
    End { kind, slack, trimmed: false }
}

pub fn step(house: &House, name: &str, kind: StepKind, wire: &str, acts: Vec<ActKind>) -> Step {
    let turned = || written(end(EndKind::TurnedIn, 2.0));
    Step {
        name: name.into(),
        kind,
        source: StepSource::Sequence { sequence: "usual".into() },
        place: nowhere(),
        house_place: None,
        wire: written(WireUse { wire: house.wires[wire].clone(), tandem: None, kept: false }),
        form: None,
        ends: Ends { right: turned(), left: turned() },
        until: written(until(Term::Passive, "passive")),
        next: written(NextVisit::Computed),
        settle: None,
        acts: acts.into_iter().map(act).collect(),
        carried: Vec::new(),
        departures: Vec::new(),
        incomplete: None,
    }
}

pub fn departure(what: &str, house: Option<&str>, here: Option<&str>) -> Departure {
    Departure {
        what: what.into(),
        house: house.map(str::to_owned),
        here: here.map(str::to_owned),
        place: nowhere(),
    }
}

pub fn arch_case(house: &House, arch: Arch, steps: Vec<Step>) -> ArchCase {
    let bonding = |name: &str| Bonding {
        bracket: house.brackets[name].clone(),
        inverted: false,
        variant: None,
        place: nowhere(),
    };
    let (right, left) = if arch == Arch::Upper { (10, 20) } else { (40, 30) };
    let mut bonded = BTreeMap::new();
    for quadrant in [right, left] {
        for position in 1..=5 {
            bonded.insert(t(quadrant + position), bonding("twin"));
        }
        bonded.insert(t(quadrant + 6), bonding("molar"));
    }
    ArchCase {
        arch,
        place: nowhere(),
        bonded,
        states: BTreeMap::new(),
        stands: BTreeMap::new(),
        hooks: BTreeSet::new(),
        buttons: Vec::new(),
        cautions: Vec::new(),
        gaps: Vec::new(),
        midline: None,
        crowding: None,
        form: written(house.forms["ovoid"].clone()),
        start: None,
        anchorage: None,
        bars: Vec::new(),
        screws: Vec::new(),
        extras: Vec::new(),
        follows: Some(("usual".into(), nowhere())),
        skipped: Vec::new(),
        steps,
        notes: Vec::new(),
        unread: None,
    }
}

pub fn usual(house: &House) -> Vec<Step> {
    vec![
        step(house, "align", StepKind::Align, "niti-14", vec![]),
        step(house, "level", StepKind::Level, "niti-14x25", vec![]),
        step(house, "work", StepKind::Work, "niti-19x25", vec![]),
        step(house, "finish", StepKind::Finish, "beta-19x25", vec![]),
    ]
}

pub fn case(house: House, arches: Vec<ArchCase>) -> Case {
    Case {
        chart: "SM-0417".into(),
        chart_place: nowhere(),
        house: Arc::new(house),
        doctor: Some("RB".into()),
        start: Some((date(2026, 9, 14), nowhere())),
        in_place: None,
        growth: Growth::Growing,
        bite: Bite {
            overjet: Some((
                springline_lang::model::case::Overjet::forward(from_mm(3.0)),
                nowhere(),
            )),
            overbite: Some((from_mm(3.5), nowhere())),
            ..Bite::default()
        },
        goal: None,
        arches,
        elastics: Vec::new(),
        debond: None,
        retention: None,
        visits: Vec::new(),
        missed: Vec::new(),
        accepts: Vec::new(),
        extras: Vec::new(),
        notes: Vec::new(),
    }
}

fn stand_of_12() -> Stand {
    Stand {
        in_out: Some((from_mm(2.5).into(), InOut::Lingual)),
        rotated: Some((from_degrees(20.0).into(), Turn::MesialIn)),
        width: Some(from_mm(6.5)),
        space: Some(from_mm(4.0)),
        ..Stand::default()
    }
}

/// The upper right lateral blocked out: space first, then in by an overlay, then in the arch wire.
pub fn lateral_blocked_out() -> Case {
    let house = house();
    let stops = || ActKind::Stop {
        spots: vec![
            Spot { along: Along::Mesial, tooth: t(11) },
            Spot { along: Along::Mesial, tooth: t(21) },
        ],
    };
    let bypass = || ActKind::Bypass { teeth: teeth(&[12]), unbonded: true, until: None };
    let coil = |activation| ActKind::OpenCoil {
        first: t(13),
        second: t(11),
        coil: Some(house.coils["open-100"].clone()),
        activation,
    };
    let mut align = step(
        &house,
        "align",
        StepKind::Align,
        "niti-14",
        vec![bypass(), ActKind::Sleeve { spans: vec![(t(13), t(11))] }, stops()],
    );
    align.source = StepSource::Changed { sequence: "usual".into() };
    align.departures = vec![
        departure("bypass", None, Some("bypass 12 unbonded")),
        departure("sleeve", None, Some("sleeve between 13 and 11")),
        departure("stop", None, Some("stop mesial of 11, mesial of 21")),
    ];
    let mut space = step(
        &house,
        "make-space",
        StepKind::Align,
        "niti-18",
        vec![
            bypass(),
            stops(),
            ActKind::Tie { teeth: teeth(&[11, 21, 22]), figure_eight: true },
            coil(Activation::Pressed { by: from_mm(3.0), each_visit: true }),
        ],
    );
    space.source = StepSource::Added;
    space.until = written(until(
        Term::Space { length: from_mm(7.0), teeth: teeth(&[12]) },
        "space 7 mm at 12",
    ));
    let mut bring = step(
        &house,
        "bring-in",
        StepKind::Align,
        "niti-18",
        vec![
            coil(Activation::Passive),
            ActKind::PickUp {
                teeth: teeth(&[12]),
                bracket: house.brackets["twin"].clone(),
                inverted: true,
                variant: None,
            },
            ActKind::Piggyback {
                wire: house.wires["niti-12"].clone(),
                within: teeth(&[12]),
                over: teeth(&[13, 11]),
            },
            ActKind::BiteRaisers { teeth: teeth(&[36, 46]), until: None },
        ],
    );
    bring.source = StepSource::Added;
    bring.wire.value.kept = true;
    bring.carried = vec![act(stops())];
    let mut steps = vec![align, space, bring];
    steps.extend(usual(&house).split_off(1));
    let mut upper = arch_case(&house, Arch::Upper, steps);
    upper.bonded.remove(&t(12));
    upper.stands.insert(t(12), written(stand_of_12()));
    let mut lower = arch_case(&house, Arch::Lower, usual(&house));
    lower.stands.insert(
        t(42),
        written(Stand {
            rotated: Some((from_degrees(15.0).into(), Turn::MesialIn)),
            ..Stand::default()
        }),
    );
    let mut case = case(house, vec![upper, lower]);
    case.bite.crossbite = teeth(&[12]);
    case
}

/// First premolars out, spaces closed from the molars to posts, triangle elastics to finish.
pub fn premolars_out() -> Case {
    let house = house();
    let mut work = step(
        &house,
        "work",
        StepKind::Work,
        "steel-19x25",
        vec![
            ActKind::Post {
                spots: vec![
                    Spot { along: Along::Distal, tooth: t(12) },
                    Spot { along: Along::Distal, tooth: t(22) },
                ],
            },
            ActKind::ClosingCoil {
                pulls: vec![
                    (Anchor::Tooth(t(16)), Anchor::Post(t(12))),
                    (Anchor::Tooth(t(26)), Anchor::Post(t(22))),
                ],
                coil: Some(house.coils["closing-150"].clone()),
                force: None,
            },
            ActKind::Trim { teeth: teeth(&[16, 26]) },
        ],
    );
    work.ends.left.value = end(EndKind::Free, 1.0);
    work.ends.right.value = end(EndKind::Cinched, 0.0);
    let align = step(
        &house,
        "align",
        StepKind::Align,
        "niti-14",
        vec![
            ActKind::Laceback { pairs: vec![(t(16), t(13)), (t(26), t(23))] },
            ActKind::Sleeve { spans: vec![(t(15), t(13)), (t(23), t(25))] },
            ActKind::Engage { teeth: teeth(&[15]), wing: Wing::Mesial },
        ],
    );
    let mut upper = arch_case(&house, Arch::Upper, vec![align, work]);
    for code in [14, 24] {
        upper.bonded.remove(&t(code));
        let date = date(2026, 9, 10);
        upper.states.insert(t(code), (ToothState::Extract { date, before: true }, nowhere()));
    }
    for code in [16, 26] {
        let mut band = (*house.brackets["molar"]).clone();
        band.on_band = true;
        upper.bonded.get_mut(&t(code)).expect("bonded").bracket = Arc::new(band);
    }
    upper.bars = vec![(t(16), t(26), nowhere())];
    let mut lower_work = step(&house, "work", StepKind::Work, "niti-19x25", vec![]);
    lower_work.acts = vec![
        act(ActKind::Reduce {
            amount: from_mm(0.2),
            contacts: vec![(t(42), t(41)), (t(41), t(31)), (t(31), t(32))],
        }),
        act(ActKind::Chain { teeth: teeth(&[43, 42, 41, 31, 32, 33]), chain: None, force: None }),
        act(ActKind::Bypass { teeth: teeth(&[35]), unbonded: false, until: None }),
    ];
    let lower = arch_case(&house, Arch::Lower, vec![usual(&house).remove(0), lower_work]);
    let elastic = house.elastics["small"].clone();
    let run = |side, codes: &[u32]| ElasticRun {
        side,
        teeth: teeth(codes),
        elastic: elastic.clone(),
        hours_a_day: 12.0,
        place: nowhere(),
    };
    let mut case = case(house, vec![upper, lower]);
    case.chart = "SM-0451".into();
    case.elastics = vec![Elastics {
        kind: ElasticsKind::Triangle,
        runs: vec![run(Side::Right, &[13, 43, 44]), run(Side::Left, &[23, 33, 34])],
        from: Some(("work".into(), false, nowhere())),
        until: None,
        longest: Some((Period::weeks(8.0), nowhere())),
        notes: Vec::new(),
        place: nowhere(),
    }];
    case
}

/// Two rows of the house sequence, nothing else.
pub fn plain() -> Case {
    let house = house();
    let (upper, lower) = (usual(&house), usual(&house));
    let mut upper = arch_case(&house, Arch::Upper, upper);
    upper.stands.insert(t(12), written(Stand { space: None, ..stand_of_12() }));
    let lower = arch_case(&house, Arch::Lower, lower);
    let mut case = case(house, vec![upper, lower]);
    case.chart = "SM-0392".into();
    case
}

fn band(start: Date, weeks: [f64; 3]) -> TimeBand {
    let days = weeks.map(|w| w * 7.0);
    let date = |d: f64| start.saturating_add((d as i64).days());
    TimeBand {
        early_days: days[0],
        median_days: days[1],
        late_days: days[2],
        dates: Some(days.map(date)),
    }
}

/// The real course with its days smoothed: every wire is passive in eight weeks, both arches change
/// together, the same teeth are tested. So documents are tested without the arithmetic behind them.
pub fn forecast(case: &Case, today: Date) -> Forecast {
    static MEMORY: Mutex<Option<Memory>> = Mutex::new(None);
    let mut memory = MEMORY.lock().expect("not poisoned");
    let memory = memory.get_or_insert_default();
    let mut forecast = springline_lang::course::forecast_with(case, Some(today), memory);
    let start = case.start.map_or(today, |(d, _)| d);
    for arch in &mut forecast.arches {
        for (i, phase) in arch.phases.iter_mut().enumerate() {
            let date_in = start.saturating_add((56 * i as i64).days());
            let steady = |load: &mut ToothLoad, k: usize| {
                load.peak_n = 1.0 + 0.1 * k as f64;
                load.delivered_n = 0.6 + 0.05 * k as f64;
                load.sustained_n = 0.4;
                load.sustained_14_n = Some(0.4);
            };
            phase.insertion.teeth.iter_mut().enumerate().for_each(|(k, l)| steady(l, k));
            phase.date_in = Some(date_in);
            phase.begun = date_in <= today;
            phase.passive.quarter = Some(band(date_in, [4.0, 8.0, 15.0]));
            phase.passive.no_bend = Some(band(date_in, [6.0, 12.0, 22.0]));
            phase.end.reason = EndReason::Passive;
            phase.end.predicted = Some(band(date_in, [4.0, 8.0, 15.0]));
            phase.end.date = Some(date_in.saturating_add(56.days()));
            for site in &mut phase.room.sites {
                site.space_in_mm = 4.0;
            }
        }
    }
    let count = case.arches.iter().map(|a| a.steps.len()).max().unwrap_or(0);
    let model = forecast.visits.first().expect("a start").clone();
    forecast.visits = (0..=count).map(|i| visit(case, &model, start, i, count)).collect();
    forecast
}

fn visit(case: &Case, model: &PlannedVisit, start: Date, i: usize, count: usize) -> PlannedVisit {
    let date = start.saturating_add((56 * i as i64).days());
    let arches = case
        .arches
        .iter()
        .zip(model.arches.iter().cycle())
        .map(|(arch, model)| {
            let last = arch.steps.len() - 1;
            let now = (i > 0).then(|| (i - 1).min(last));
            let next = (i <= last).then_some(i);
            let mut visit = model.clone();
            visit.arch = arch.arch;
            visit.test = match (now, arch.arch) {
                (None, _) => Vec::new(),
                (_, Arch::Upper) => teeth(&[13, 11, 22]),
                (_, Arch::Lower) => teeth(&[42, 33]),
            };
            (visit.phase, visit.step) = (now, now);
            visit.name = now.map(|n| arch.steps[n].name.clone());
            (visit.next_phase, visit.next_step) = (next, next);
            visit.next_name = next.map(|n| arch.steps[n].name.clone());
            visit.change_expected = next.is_some();
            visit.chance = Some(0.5);
            visit.found = None;
            visit
        })
        .collect();
    let (kind, reason) = match i {
        0 => (Task::BondUp, VisitReason::Start),
        _ if i == count => (Task::Debond, VisitReason::Debond),
        _ => (Task::WireChange, VisitReason::Passive { arch: Arch::Upper }),
    };
    let mut visit = model.clone();
    visit.date = date;
    visit.window = (date, date.saturating_add(14.days()));
    visit.recorded = case.visits.iter().position(|v| v.on == date);
    visit.was_planned_for = None;
    visit.arches = arches;
    visit.kind = kind;
    visit.tasks = vec![(kind, kind.default_minutes())];
    visit.minutes = kind.default_minutes();
    visit.reason = reason;
    visit.quantile = Some(0.5);
    visit.key = format!("visit-{i}");
    visit
}
