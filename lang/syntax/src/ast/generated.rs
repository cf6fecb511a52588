//! Written from the vocabulary; do not edit. To write it anew:
//! `UPDATE_DOCS=1 cargo test -p springline-syntax --test typed_tree`.

// These live only while a statement is read.
#![allow(clippy::large_enum_variant)]

use super::found::{
    ChoiceList, FieldList, Lead, MatchScope, PartList, ReadChoice, ReadFragment, ReadWord,
};
use super::*;
use crate::tree::FragmentMatch;

/// A statement of the language: a row of the vocabulary.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StatementKind {
    /// `springline COUNT:edition`
    Springline,
    /// `practice STRING:title`
    Practice,
    /// `case STRING:chart`
    Case,
    /// `defaults COUNT:edition`
    Defaults,
    /// `notation (iso | quadrant | universal)`
    Notation,
    /// `telephone STRING:number`
    Telephone,
    /// `language NAME:language`
    Language,
    /// `chart STRING:form`
    Chart,
    /// `clinic DAY {+, DAY}`
    Clinic,
    /// `closed DATES {+, DATES}`
    Closed,
    /// `interval TIMES`
    Interval,
    /// `task (bond-up | wire-change | review | repair | emergency | reposition | coil | elastics | debond | retainer-check) TIME`
    Task,
    /// `chair-time TIME [on DAY {+, DAY}]`
    ChairTime,
    /// `limit (bench | sustained | sustained-ratio | delivered | peak | intrusion | extrusion | bodily | tipping | couple | torque | misfit | rotation | strain | deflection | coil | elastic | span | first-round | misfit-light | rotation-light | misfit-full | rotation-full | levelling | coil-wire | coil-light | takes-in | left-out | left-out-rotation) ANY:warn [to ANY:stop] [over LENGTH:span span] [on TEETH]`
    Limit,
    /// `passive-when (quarter-left | no-bend)`
    PassiveWhen,
    /// `book-on (forecast | rule-of-thumb) [at PERCENT]`
    BookOn,
    /// `mouth-temperature TEMPERATURE:mouth`
    MouthTemperature,
    /// `prominence TEETH LENGTH`
    Prominence,
    /// `slot-height TEETH LENGTH`
    SlotHeight,
    /// `friction (steel | cobalt-chromium | niti | beta-titanium) RATIO:coefficient [, between RATIO:low and RATIO:high]`
    Friction,
    /// `form NAME:form! (catenary LENGTH | circle LENGTH | width LENGTH:canine-width depth LENGTH:canine-depth, width LENGTH:molar-width depth LENGTH:molar-depth)`
    HouseForm,
    /// `bracket NAME:bracket!`
    Bracket,
    /// `tube NAME:bracket!`
    Tube,
    /// `wire NAME:wire! (steel | multistrand-steel | cobalt-chromium | beta-titanium | superelastic-niti | thermal-niti), (round LENGTH | square LENGTH | rect DIMS) {+, @wire-detail}`
    Wire,
    /// `coil NAME:coil! (open | passive | closing-spring) {, @coil-detail}`
    Coil,
    /// `elastic NAME:elastic! [@elastic-detail {, @elastic-detail}] {+, @force-left}`
    Elastic,
    /// `chain NAME:chain! (closed | short | long) {, force FORCE} {+, @force-left}`
    HouseChain,
    /// `stop NAME:stop! [@stop-detail {, @stop-detail}]`
    HouseStop,
    /// `sequence NAME:sequence!`
    Sequence,
    /// `text (staff | patient) NAME:name STRING:words [in NAME:language]`
    Text,
    /// `learned DATE`
    Learned,
    /// `active (practice | NAME:wire) RATIO:factor, spread RATIO:spread, cases COUNT:cases`
    Active,
    /// `binds-from FORCE:limit, between FORCE:low and FORCE:high, spread RATIO:spread, visits COUNT:visits`
    BindsFrom,
    /// `slide passive`
    Slide,
    /// `clip active [seats LENGTH]`
    Clip,
    /// `ligated`
    Ligated,
    /// `band`
    Band,
    /// `slot DIMS [measured LENGTH]`
    Slot,
    /// `width LENGTH [on TEETH]`
    Width,
    /// `torque ANGLE @crown [on TEETH]`
    FitTorque,
    /// `tipped ANGLE (mesial | distal) [on TEETH]`
    Tipped,
    /// `hook on TEETH`
    FitHook,
    /// `variant NAME:variant! torque ANGLE @crown [on TEETH]`
    Variant,
    /// `use NAME:house`
    Use,
    /// `doctor NAME:person`
    Doctor,
    /// `start DATE`
    CaseStart,
    /// `in-place DATE`
    InPlace,
    /// `(upper | lower) NAME:wire since DATE`
    InPlaceArch,
    /// `patient (adult | growing) [, age COUNT:years]`
    Patient,
    /// `bite`
    Bite,
    /// `goal`
    Goal,
    /// `overjet LENGTH`
    Overjet,
    /// `reverse-overjet LENGTH`
    ReverseOverjet,
    /// `overbite LENGTH`
    Overbite,
    /// `open-bite LENGTH`
    OpenBite,
    /// `curve-of-spee LENGTH`
    CurveOfSpee,
    /// `molars @sided-class {+, @sided-class}`
    Molars,
    /// `canines @sided-class {+, @sided-class}`
    Canines,
    /// `crossbite TEETH`
    Crossbite,
    /// `(upper | lower) @midline`
    BiteArch,
    /// `crossbite-corrected TEETH`
    GoalCrossbiteCorrected,
    /// `extraction (none | planned)`
    Extraction,
    /// `incisors (forward | held)`
    Incisors,
    /// `spaces closed`
    Spaces,
    /// `tooth-size-ratio @ratio {+, @ratio}`
    ToothSizeRatio,
    /// `elastics (class-2 | class-3 | triangle | box | cross | diagonal | settling)`
    Elastics,
    /// `(right | left) @band-pair with NAME:elastic, wear TIME:hours`
    ElasticsSide,
    /// `from NAME:step [expressed]`
    From,
    /// `until (step NAME:step | @condition)`
    Until,
    /// `longest TIME`
    Longest,
    /// `debond [DATE] [because STRING]`
    Debond,
    /// `retain`
    Retain,
    /// `fixed TEETH [for TIME]`
    Fixed,
    /// `night-time (upper | lower | both) [for TIME]`
    NightTime,
    /// `check TIME`
    Check,
    /// `missed DATE`
    Missed,
    /// `upper`
    Upper,
    /// `lower`
    Lower,
    /// `bonded TEETH with NAME:bracket [(inverted | NAME:variant)]`
    Bonded,
    /// `banded TEETH with NAME:bracket`
    Banded,
    /// `tubes TEETH with NAME:bracket`
    Tubes,
    /// `bonded-elsewhere TEETH [slot DIMS] [on DATE]`
    BondedElsewhere,
    /// `hook TEETH`
    ArchHook,
    /// `button (labial | lingual) TEETH`
    Button,
    /// `missing TEETH`
    Missing,
    /// `extracted TEETH [on DATE]`
    Extracted,
    /// `extract TEETH (on | before) DATE`
    Extract,
    /// `unerupted TEETH`
    Unerupted,
    /// `expose TEETH [(open | closed)] [on DATE]`
    Expose,
    /// `implant TEETH`
    Implant,
    /// `ankylosed TEETH`
    Ankylosed,
    /// `caution TEETH because STRING`
    Caution,
    /// `tooth TEETH @positions`
    ArchTooth,
    /// `crowding LENGTH`
    Crowding,
    /// `measured DATE from (scan | photograph | cast) STRING:points as STRING:fingerprint, within LENGTH`
    Measured,
    /// `tooth TEETH @stands`
    MeasuredTooth,
    /// `gap LENGTH @between`
    Gap,
    /// `overlap LENGTH @between`
    Overlap,
    /// `@midline`
    Midline,
    /// `form NAME:form`
    ArchForm,
    /// `start DATE`
    ArchStart,
    /// `anchorage (maximum | moderate | minimum)`
    Anchorage,
    /// `palatal-arch TOOTH to TOOTH`
    PalatalArch,
    /// `expander TEETH [on DATE], width LENGTH, turns COUNT:turns a (day | week) [of LENGTH:turn], locked TIME`
    Expander,
    /// `mini-screw @between`
    MiniScrew,
    /// `follow NAME:sequence [from NAME:step]`
    Follow,
    /// `drafted DATE`
    Drafted,
    /// `step NAME:step! [as (align | level | work | finish)] [(after NAME:step | before NAME:step)], @clauses`
    Step,
    /// `change NAME:step, @clauses`
    Change,
    /// `skip NAME:step {+, NAME:step}`
    Skip,
    /// `bypass TEETH [unbonded] [until @condition]`
    Bypass,
    /// `engage TEETH [(mesial-wing | distal-wing)]`
    Engage,
    /// `pick-up TEETH with NAME:bracket [(inverted | NAME:variant)]`
    PickUp,
    /// `rebond TEETH [with NAME:bracket]`
    Rebond,
    /// `reposition TEETH [@stands]`
    Reposition,
    /// `piggyback NAME:wire in TEETH:in [, over TEETH:over]`
    Piggyback,
    /// `traction TEETH by (chain | gold-chain | elastic-thread) to @traction-anchor [, force FORCE] [, first (mesial | distal | labial | lingual | gingival | occlusal)] [until @condition]`
    Traction,
    /// `open-coil @between [with NAME:coil] {, (force FORCE | activated LENGTH [each visit] | passive)}`
    OpenCoil,
    /// `passive-coil @between [with NAME:coil] [, hold LENGTH]`
    PassiveCoil,
    /// `closing-spring @pull {+, @pull} [with NAME:coil] [, force FORCE]`
    ClosingSpring,
    /// `chain TEETH [with NAME:chain] [, force FORCE]`
    StepChain,
    /// `tie TEETH [figure-eight]`
    Tie,
    /// `laceback TOOTH to TOOTH {+, TOOTH to TOOTH}`
    Laceback,
    /// `sleeve @between {+, @between}`
    Sleeve,
    /// `bite-raisers TEETH [until @condition]`
    BiteRaisers,
    /// `ipr LENGTH [each] @between`
    Ipr,
    /// `stop @place {+, @place}`
    StepStop,
    /// `post @place {+, @place}`
    Post,
    /// `power-arm TEETH LENGTH`
    PowerArm,
    /// `reverse-curve LENGTH`
    ReverseCurve,
    /// `bend TEETH @stands`
    Bend,
    /// `torque TEETH ANGLE @crown`
    StepTorque,
    /// `coordinated`
    Coordinated,
    /// `trim TEETH`
    Trim,
    /// `halt-if (overjet | reverse-overjet | overbite) (under | over) LENGTH`
    HaltIf,
    /// `no (wire | bypass | engage | traction | open-coil | passive-coil | closing-spring | chain | tie | laceback | sleeve | bite-raisers | ipr | stop | post | reverse-curve | bend | torque) [TEETH]`
    No,
    /// `sectional TEETH`
    Sectional,
    /// `records (panoramic | photographs | scan) [on DATE]`
    Records,
    /// `separators TEETH [on DATE]`
    Separators,
    /// `hold TEETH LENGTH`
    Hold,
    /// `seen DATE [by NAME:person] [as (bond-up | wire-change | review | repair | emergency | debond | retainer-check)]`
    Seen,
    /// `(upper | lower) (@found [, @done] | @done | @midline)`
    SeenArch,
    /// `done as-planned`
    Done,
    /// `tooth TEETH @positions`
    SeenTooth,
    /// `loose TEETH`
    Loose,
    /// `lost stop @place {+, @place}`
    Lost,
    /// `out TEETH`
    Out,
    /// `poking TEETH`
    Poking,
    /// `slide-open TEETH`
    SlideOpen,
    /// `pain COUNT:score of COUNT:scale`
    Pain,
    /// `wear (@worn {+, @worn})`
    Wear,
    /// `hygiene (good | fair | poor)`
    Hygiene,
    /// `expanded TEETH LENGTH`
    Expanded,
    /// `bite-raisers-off TEETH`
    BiteRaisersOff,
    /// `crossbite-corrected TEETH`
    SeenCrossbiteCorrected,
    /// `accept RULE [on TEETH] [up to ANY:figure] [until (DATE | NAME:step)] because STRING by NAME:person`
    Accept,
    /// `note STRING`
    Note,
    /// `scan STRING`
    Scan,
}

impl StatementKind {
    /// In the order of the vocabulary.
    pub(super) const ALL: [StatementKind; 158] = [
        StatementKind::Springline,
        StatementKind::Practice,
        StatementKind::Case,
        StatementKind::Defaults,
        StatementKind::Notation,
        StatementKind::Telephone,
        StatementKind::Language,
        StatementKind::Chart,
        StatementKind::Clinic,
        StatementKind::Closed,
        StatementKind::Interval,
        StatementKind::Task,
        StatementKind::ChairTime,
        StatementKind::Limit,
        StatementKind::PassiveWhen,
        StatementKind::BookOn,
        StatementKind::MouthTemperature,
        StatementKind::Prominence,
        StatementKind::SlotHeight,
        StatementKind::Friction,
        StatementKind::HouseForm,
        StatementKind::Bracket,
        StatementKind::Tube,
        StatementKind::Wire,
        StatementKind::Coil,
        StatementKind::Elastic,
        StatementKind::HouseChain,
        StatementKind::HouseStop,
        StatementKind::Sequence,
        StatementKind::Text,
        StatementKind::Learned,
        StatementKind::Active,
        StatementKind::BindsFrom,
        StatementKind::Slide,
        StatementKind::Clip,
        StatementKind::Ligated,
        StatementKind::Band,
        StatementKind::Slot,
        StatementKind::Width,
        StatementKind::FitTorque,
        StatementKind::Tipped,
        StatementKind::FitHook,
        StatementKind::Variant,
        StatementKind::Use,
        StatementKind::Doctor,
        StatementKind::CaseStart,
        StatementKind::InPlace,
        StatementKind::InPlaceArch,
        StatementKind::Patient,
        StatementKind::Bite,
        StatementKind::Goal,
        StatementKind::Overjet,
        StatementKind::ReverseOverjet,
        StatementKind::Overbite,
        StatementKind::OpenBite,
        StatementKind::CurveOfSpee,
        StatementKind::Molars,
        StatementKind::Canines,
        StatementKind::Crossbite,
        StatementKind::BiteArch,
        StatementKind::GoalCrossbiteCorrected,
        StatementKind::Extraction,
        StatementKind::Incisors,
        StatementKind::Spaces,
        StatementKind::ToothSizeRatio,
        StatementKind::Elastics,
        StatementKind::ElasticsSide,
        StatementKind::From,
        StatementKind::Until,
        StatementKind::Longest,
        StatementKind::Debond,
        StatementKind::Retain,
        StatementKind::Fixed,
        StatementKind::NightTime,
        StatementKind::Check,
        StatementKind::Missed,
        StatementKind::Upper,
        StatementKind::Lower,
        StatementKind::Bonded,
        StatementKind::Banded,
        StatementKind::Tubes,
        StatementKind::BondedElsewhere,
        StatementKind::ArchHook,
        StatementKind::Button,
        StatementKind::Missing,
        StatementKind::Extracted,
        StatementKind::Extract,
        StatementKind::Unerupted,
        StatementKind::Expose,
        StatementKind::Implant,
        StatementKind::Ankylosed,
        StatementKind::Caution,
        StatementKind::ArchTooth,
        StatementKind::Crowding,
        StatementKind::Measured,
        StatementKind::MeasuredTooth,
        StatementKind::Gap,
        StatementKind::Overlap,
        StatementKind::Midline,
        StatementKind::ArchForm,
        StatementKind::ArchStart,
        StatementKind::Anchorage,
        StatementKind::PalatalArch,
        StatementKind::Expander,
        StatementKind::MiniScrew,
        StatementKind::Follow,
        StatementKind::Drafted,
        StatementKind::Step,
        StatementKind::Change,
        StatementKind::Skip,
        StatementKind::Bypass,
        StatementKind::Engage,
        StatementKind::PickUp,
        StatementKind::Rebond,
        StatementKind::Reposition,
        StatementKind::Piggyback,
        StatementKind::Traction,
        StatementKind::OpenCoil,
        StatementKind::PassiveCoil,
        StatementKind::ClosingSpring,
        StatementKind::StepChain,
        StatementKind::Tie,
        StatementKind::Laceback,
        StatementKind::Sleeve,
        StatementKind::BiteRaisers,
        StatementKind::Ipr,
        StatementKind::StepStop,
        StatementKind::Post,
        StatementKind::PowerArm,
        StatementKind::ReverseCurve,
        StatementKind::Bend,
        StatementKind::StepTorque,
        StatementKind::Coordinated,
        StatementKind::Trim,
        StatementKind::HaltIf,
        StatementKind::No,
        StatementKind::Sectional,
        StatementKind::Records,
        StatementKind::Separators,
        StatementKind::Hold,
        StatementKind::Seen,
        StatementKind::SeenArch,
        StatementKind::Done,
        StatementKind::SeenTooth,
        StatementKind::Loose,
        StatementKind::Lost,
        StatementKind::Out,
        StatementKind::Poking,
        StatementKind::SlideOpen,
        StatementKind::Pain,
        StatementKind::Wear,
        StatementKind::Hygiene,
        StatementKind::Expanded,
        StatementKind::BiteRaisersOff,
        StatementKind::SeenCrossbiteCorrected,
        StatementKind::Accept,
        StatementKind::Note,
        StatementKind::Scan,
    ];
}

/// A statement of the top of the file.
#[derive(Debug, Clone, Copy)]
pub enum FileStatement<'a> {
    Springline(SpringlineLine<'a>),
    Practice(PracticeLine<'a>),
    Case(CaseLine<'a>),
}

impl<'a> FileStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Springline => Self::Springline(SpringlineLine::cast(statement)?),
            StatementKind::Practice => Self::Practice(PracticeLine::cast(statement)?),
            StatementKind::Case => Self::Case(CaseLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of a practice file.
#[derive(Debug, Clone, Copy)]
pub enum HouseStatement<'a> {
    Defaults(DefaultsLine<'a>),
    Notation(NotationLine<'a>),
    Telephone(TelephoneLine<'a>),
    Language(LanguageLine<'a>),
    Chart(ChartLine<'a>),
    Clinic(ClinicLine<'a>),
    Closed(ClosedLine<'a>),
    Interval(IntervalLine<'a>),
    Task(TaskLine<'a>),
    ChairTime(ChairTimeLine<'a>),
    Limit(LimitLine<'a>),
    PassiveWhen(PassiveWhenLine<'a>),
    BookOn(BookOnLine<'a>),
    MouthTemperature(MouthTemperatureLine<'a>),
    Prominence(ProminenceLine<'a>),
    SlotHeight(SlotHeightLine<'a>),
    Friction(FrictionLine<'a>),
    HouseForm(HouseFormLine<'a>),
    Bracket(BracketLine<'a>),
    Tube(TubeLine<'a>),
    Wire(WireLine<'a>),
    Coil(CoilLine<'a>),
    Elastic(ElasticLine<'a>),
    HouseChain(HouseChainLine<'a>),
    HouseStop(HouseStopLine<'a>),
    Sequence(SequenceLine<'a>),
    Text(TextLine<'a>),
    Learned(LearnedLine<'a>),
    Use(UseLine<'a>),
    Doctor(DoctorLine<'a>),
    Note(NoteLine<'a>),
}

impl<'a> HouseStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Defaults => Self::Defaults(DefaultsLine::cast(statement)?),
            StatementKind::Notation => Self::Notation(NotationLine::cast(statement)?),
            StatementKind::Telephone => Self::Telephone(TelephoneLine::cast(statement)?),
            StatementKind::Language => Self::Language(LanguageLine::cast(statement)?),
            StatementKind::Chart => Self::Chart(ChartLine::cast(statement)?),
            StatementKind::Clinic => Self::Clinic(ClinicLine::cast(statement)?),
            StatementKind::Closed => Self::Closed(ClosedLine::cast(statement)?),
            StatementKind::Interval => Self::Interval(IntervalLine::cast(statement)?),
            StatementKind::Task => Self::Task(TaskLine::cast(statement)?),
            StatementKind::ChairTime => Self::ChairTime(ChairTimeLine::cast(statement)?),
            StatementKind::Limit => Self::Limit(LimitLine::cast(statement)?),
            StatementKind::PassiveWhen => Self::PassiveWhen(PassiveWhenLine::cast(statement)?),
            StatementKind::BookOn => Self::BookOn(BookOnLine::cast(statement)?),
            StatementKind::MouthTemperature => {
                Self::MouthTemperature(MouthTemperatureLine::cast(statement)?)
            }
            StatementKind::Prominence => Self::Prominence(ProminenceLine::cast(statement)?),
            StatementKind::SlotHeight => Self::SlotHeight(SlotHeightLine::cast(statement)?),
            StatementKind::Friction => Self::Friction(FrictionLine::cast(statement)?),
            StatementKind::HouseForm => Self::HouseForm(HouseFormLine::cast(statement)?),
            StatementKind::Bracket => Self::Bracket(BracketLine::cast(statement)?),
            StatementKind::Tube => Self::Tube(TubeLine::cast(statement)?),
            StatementKind::Wire => Self::Wire(WireLine::cast(statement)?),
            StatementKind::Coil => Self::Coil(CoilLine::cast(statement)?),
            StatementKind::Elastic => Self::Elastic(ElasticLine::cast(statement)?),
            StatementKind::HouseChain => Self::HouseChain(HouseChainLine::cast(statement)?),
            StatementKind::HouseStop => Self::HouseStop(HouseStopLine::cast(statement)?),
            StatementKind::Sequence => Self::Sequence(SequenceLine::cast(statement)?),
            StatementKind::Text => Self::Text(TextLine::cast(statement)?),
            StatementKind::Learned => Self::Learned(LearnedLine::cast(statement)?),
            StatementKind::Use => Self::Use(UseLine::cast(statement)?),
            StatementKind::Doctor => Self::Doctor(DoctorLine::cast(statement)?),
            StatementKind::Note => Self::Note(NoteLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of a bracket or tube.
#[derive(Debug, Clone, Copy)]
pub enum FitStatement<'a> {
    Slide(SlideLine<'a>),
    Clip(ClipLine<'a>),
    Ligated(LigatedLine<'a>),
    Band(BandLine<'a>),
    Slot(SlotLine<'a>),
    Width(WidthLine<'a>),
    FitTorque(FitTorqueLine<'a>),
    Tipped(TippedLine<'a>),
    FitHook(FitHookLine<'a>),
    Variant(VariantLine<'a>),
}

impl<'a> FitStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Slide => Self::Slide(SlideLine::cast(statement)?),
            StatementKind::Clip => Self::Clip(ClipLine::cast(statement)?),
            StatementKind::Ligated => Self::Ligated(LigatedLine::cast(statement)?),
            StatementKind::Band => Self::Band(BandLine::cast(statement)?),
            StatementKind::Slot => Self::Slot(SlotLine::cast(statement)?),
            StatementKind::Width => Self::Width(WidthLine::cast(statement)?),
            StatementKind::FitTorque => Self::FitTorque(FitTorqueLine::cast(statement)?),
            StatementKind::Tipped => Self::Tipped(TippedLine::cast(statement)?),
            StatementKind::FitHook => Self::FitHook(FitHookLine::cast(statement)?),
            StatementKind::Variant => Self::Variant(VariantLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of `learned`.
#[derive(Debug, Clone, Copy)]
pub enum LearnedStatement<'a> {
    Active(ActiveLine<'a>),
    BindsFrom(BindsFromLine<'a>),
}

impl<'a> LearnedStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Active => Self::Active(ActiveLine::cast(statement)?),
            StatementKind::BindsFrom => Self::BindsFrom(BindsFromLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of a sequence.
#[derive(Debug, Clone, Copy)]
pub enum SequenceStatement<'a> {
    Step(StepLine<'a>),
}

impl<'a> SequenceStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Step => Self::Step(StepLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of a case.
#[derive(Debug, Clone, Copy)]
pub enum CaseStatement<'a> {
    Use(UseLine<'a>),
    Doctor(DoctorLine<'a>),
    CaseStart(CaseStartLine<'a>),
    InPlace(InPlaceLine<'a>),
    Patient(PatientLine<'a>),
    Bite(BiteLine<'a>),
    Goal(GoalLine<'a>),
    ToothSizeRatio(ToothSizeRatioLine<'a>),
    Elastics(ElasticsLine<'a>),
    Debond(DebondLine<'a>),
    Retain(RetainLine<'a>),
    Missed(MissedLine<'a>),
    Upper(UpperLine<'a>),
    Lower(LowerLine<'a>),
    Records(RecordsLine<'a>),
    Seen(SeenLine<'a>),
    Accept(AcceptLine<'a>),
    Note(NoteLine<'a>),
}

impl<'a> CaseStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Use => Self::Use(UseLine::cast(statement)?),
            StatementKind::Doctor => Self::Doctor(DoctorLine::cast(statement)?),
            StatementKind::CaseStart => Self::CaseStart(CaseStartLine::cast(statement)?),
            StatementKind::InPlace => Self::InPlace(InPlaceLine::cast(statement)?),
            StatementKind::Patient => Self::Patient(PatientLine::cast(statement)?),
            StatementKind::Bite => Self::Bite(BiteLine::cast(statement)?),
            StatementKind::Goal => Self::Goal(GoalLine::cast(statement)?),
            StatementKind::ToothSizeRatio => {
                Self::ToothSizeRatio(ToothSizeRatioLine::cast(statement)?)
            }
            StatementKind::Elastics => Self::Elastics(ElasticsLine::cast(statement)?),
            StatementKind::Debond => Self::Debond(DebondLine::cast(statement)?),
            StatementKind::Retain => Self::Retain(RetainLine::cast(statement)?),
            StatementKind::Missed => Self::Missed(MissedLine::cast(statement)?),
            StatementKind::Upper => Self::Upper(UpperLine::cast(statement)?),
            StatementKind::Lower => Self::Lower(LowerLine::cast(statement)?),
            StatementKind::Records => Self::Records(RecordsLine::cast(statement)?),
            StatementKind::Seen => Self::Seen(SeenLine::cast(statement)?),
            StatementKind::Accept => Self::Accept(AcceptLine::cast(statement)?),
            StatementKind::Note => Self::Note(NoteLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of `in-place`.
#[derive(Debug, Clone, Copy)]
pub enum InPlaceStatement<'a> {
    InPlaceArch(InPlaceArchLine<'a>),
}

impl<'a> InPlaceStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::InPlaceArch => Self::InPlaceArch(InPlaceArchLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of `bite`.
#[derive(Debug, Clone, Copy)]
pub enum BiteStatement<'a> {
    Overjet(OverjetLine<'a>),
    ReverseOverjet(ReverseOverjetLine<'a>),
    Overbite(OverbiteLine<'a>),
    OpenBite(OpenBiteLine<'a>),
    CurveOfSpee(CurveOfSpeeLine<'a>),
    Molars(MolarsLine<'a>),
    Canines(CaninesLine<'a>),
    Crossbite(CrossbiteLine<'a>),
    BiteArch(BiteArchLine<'a>),
}

impl<'a> BiteStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Overjet => Self::Overjet(OverjetLine::cast(statement)?),
            StatementKind::ReverseOverjet => {
                Self::ReverseOverjet(ReverseOverjetLine::cast(statement)?)
            }
            StatementKind::Overbite => Self::Overbite(OverbiteLine::cast(statement)?),
            StatementKind::OpenBite => Self::OpenBite(OpenBiteLine::cast(statement)?),
            StatementKind::CurveOfSpee => Self::CurveOfSpee(CurveOfSpeeLine::cast(statement)?),
            StatementKind::Molars => Self::Molars(MolarsLine::cast(statement)?),
            StatementKind::Canines => Self::Canines(CaninesLine::cast(statement)?),
            StatementKind::Crossbite => Self::Crossbite(CrossbiteLine::cast(statement)?),
            StatementKind::BiteArch => Self::BiteArch(BiteArchLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of `goal`.
#[derive(Debug, Clone, Copy)]
pub enum GoalStatement<'a> {
    Overjet(OverjetLine<'a>),
    ReverseOverjet(ReverseOverjetLine<'a>),
    Overbite(OverbiteLine<'a>),
    OpenBite(OpenBiteLine<'a>),
    Molars(MolarsLine<'a>),
    Canines(CaninesLine<'a>),
    BiteArch(BiteArchLine<'a>),
    GoalCrossbiteCorrected(GoalCrossbiteCorrectedLine<'a>),
    Extraction(ExtractionLine<'a>),
    Incisors(IncisorsLine<'a>),
    Spaces(SpacesLine<'a>),
}

impl<'a> GoalStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Overjet => Self::Overjet(OverjetLine::cast(statement)?),
            StatementKind::ReverseOverjet => {
                Self::ReverseOverjet(ReverseOverjetLine::cast(statement)?)
            }
            StatementKind::Overbite => Self::Overbite(OverbiteLine::cast(statement)?),
            StatementKind::OpenBite => Self::OpenBite(OpenBiteLine::cast(statement)?),
            StatementKind::Molars => Self::Molars(MolarsLine::cast(statement)?),
            StatementKind::Canines => Self::Canines(CaninesLine::cast(statement)?),
            StatementKind::BiteArch => Self::BiteArch(BiteArchLine::cast(statement)?),
            StatementKind::GoalCrossbiteCorrected => {
                Self::GoalCrossbiteCorrected(GoalCrossbiteCorrectedLine::cast(statement)?)
            }
            StatementKind::Extraction => Self::Extraction(ExtractionLine::cast(statement)?),
            StatementKind::Incisors => Self::Incisors(IncisorsLine::cast(statement)?),
            StatementKind::Spaces => Self::Spaces(SpacesLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of `elastics`.
#[derive(Debug, Clone, Copy)]
pub enum ElasticsStatement<'a> {
    ElasticsSide(ElasticsSideLine<'a>),
    From(FromLine<'a>),
    Until(UntilLine<'a>),
    Longest(LongestLine<'a>),
    Accept(AcceptLine<'a>),
    Note(NoteLine<'a>),
}

impl<'a> ElasticsStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::ElasticsSide => Self::ElasticsSide(ElasticsSideLine::cast(statement)?),
            StatementKind::From => Self::From(FromLine::cast(statement)?),
            StatementKind::Until => Self::Until(UntilLine::cast(statement)?),
            StatementKind::Longest => Self::Longest(LongestLine::cast(statement)?),
            StatementKind::Accept => Self::Accept(AcceptLine::cast(statement)?),
            StatementKind::Note => Self::Note(NoteLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of `retain`.
#[derive(Debug, Clone, Copy)]
pub enum RetainStatement<'a> {
    Fixed(FixedLine<'a>),
    NightTime(NightTimeLine<'a>),
    Check(CheckLine<'a>),
}

impl<'a> RetainStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Fixed => Self::Fixed(FixedLine::cast(statement)?),
            StatementKind::NightTime => Self::NightTime(NightTimeLine::cast(statement)?),
            StatementKind::Check => Self::Check(CheckLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of an arch.
#[derive(Debug, Clone, Copy)]
pub enum ArchStatement<'a> {
    Bonded(BondedLine<'a>),
    Banded(BandedLine<'a>),
    Tubes(TubesLine<'a>),
    BondedElsewhere(BondedElsewhereLine<'a>),
    ArchHook(ArchHookLine<'a>),
    Button(ButtonLine<'a>),
    Missing(MissingLine<'a>),
    Extracted(ExtractedLine<'a>),
    Extract(ExtractLine<'a>),
    Unerupted(UneruptedLine<'a>),
    Expose(ExposeLine<'a>),
    Implant(ImplantLine<'a>),
    Ankylosed(AnkylosedLine<'a>),
    Caution(CautionLine<'a>),
    ArchTooth(ArchToothLine<'a>),
    Crowding(CrowdingLine<'a>),
    Measured(MeasuredLine<'a>),
    Gap(GapLine<'a>),
    Overlap(OverlapLine<'a>),
    Midline(MidlineLine<'a>),
    ArchForm(ArchFormLine<'a>),
    ArchStart(ArchStartLine<'a>),
    Anchorage(AnchorageLine<'a>),
    PalatalArch(PalatalArchLine<'a>),
    Expander(ExpanderLine<'a>),
    MiniScrew(MiniScrewLine<'a>),
    Follow(FollowLine<'a>),
    Drafted(DraftedLine<'a>),
    Step(StepLine<'a>),
    Change(ChangeLine<'a>),
    Skip(SkipLine<'a>),
    Separators(SeparatorsLine<'a>),
    Hold(HoldLine<'a>),
    Accept(AcceptLine<'a>),
    Note(NoteLine<'a>),
}

impl<'a> ArchStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Bonded => Self::Bonded(BondedLine::cast(statement)?),
            StatementKind::Banded => Self::Banded(BandedLine::cast(statement)?),
            StatementKind::Tubes => Self::Tubes(TubesLine::cast(statement)?),
            StatementKind::BondedElsewhere => {
                Self::BondedElsewhere(BondedElsewhereLine::cast(statement)?)
            }
            StatementKind::ArchHook => Self::ArchHook(ArchHookLine::cast(statement)?),
            StatementKind::Button => Self::Button(ButtonLine::cast(statement)?),
            StatementKind::Missing => Self::Missing(MissingLine::cast(statement)?),
            StatementKind::Extracted => Self::Extracted(ExtractedLine::cast(statement)?),
            StatementKind::Extract => Self::Extract(ExtractLine::cast(statement)?),
            StatementKind::Unerupted => Self::Unerupted(UneruptedLine::cast(statement)?),
            StatementKind::Expose => Self::Expose(ExposeLine::cast(statement)?),
            StatementKind::Implant => Self::Implant(ImplantLine::cast(statement)?),
            StatementKind::Ankylosed => Self::Ankylosed(AnkylosedLine::cast(statement)?),
            StatementKind::Caution => Self::Caution(CautionLine::cast(statement)?),
            StatementKind::ArchTooth => Self::ArchTooth(ArchToothLine::cast(statement)?),
            StatementKind::Crowding => Self::Crowding(CrowdingLine::cast(statement)?),
            StatementKind::Measured => Self::Measured(MeasuredLine::cast(statement)?),
            StatementKind::Gap => Self::Gap(GapLine::cast(statement)?),
            StatementKind::Overlap => Self::Overlap(OverlapLine::cast(statement)?),
            StatementKind::Midline => Self::Midline(MidlineLine::cast(statement)?),
            StatementKind::ArchForm => Self::ArchForm(ArchFormLine::cast(statement)?),
            StatementKind::ArchStart => Self::ArchStart(ArchStartLine::cast(statement)?),
            StatementKind::Anchorage => Self::Anchorage(AnchorageLine::cast(statement)?),
            StatementKind::PalatalArch => Self::PalatalArch(PalatalArchLine::cast(statement)?),
            StatementKind::Expander => Self::Expander(ExpanderLine::cast(statement)?),
            StatementKind::MiniScrew => Self::MiniScrew(MiniScrewLine::cast(statement)?),
            StatementKind::Follow => Self::Follow(FollowLine::cast(statement)?),
            StatementKind::Drafted => Self::Drafted(DraftedLine::cast(statement)?),
            StatementKind::Step => Self::Step(StepLine::cast(statement)?),
            StatementKind::Change => Self::Change(ChangeLine::cast(statement)?),
            StatementKind::Skip => Self::Skip(SkipLine::cast(statement)?),
            StatementKind::Separators => Self::Separators(SeparatorsLine::cast(statement)?),
            StatementKind::Hold => Self::Hold(HoldLine::cast(statement)?),
            StatementKind::Accept => Self::Accept(AcceptLine::cast(statement)?),
            StatementKind::Note => Self::Note(NoteLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of `measured`.
#[derive(Debug, Clone, Copy)]
pub enum MeasuredStatement<'a> {
    MeasuredTooth(MeasuredToothLine<'a>),
    Gap(GapLine<'a>),
    Overlap(OverlapLine<'a>),
}

impl<'a> MeasuredStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::MeasuredTooth => {
                Self::MeasuredTooth(MeasuredToothLine::cast(statement)?)
            }
            StatementKind::Gap => Self::Gap(GapLine::cast(statement)?),
            StatementKind::Overlap => Self::Overlap(OverlapLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of a step.
#[derive(Debug, Clone, Copy)]
pub enum StepStatement<'a> {
    Bypass(BypassLine<'a>),
    Engage(EngageLine<'a>),
    PickUp(PickUpLine<'a>),
    Rebond(RebondLine<'a>),
    Reposition(RepositionLine<'a>),
    Piggyback(PiggybackLine<'a>),
    Traction(TractionLine<'a>),
    OpenCoil(OpenCoilLine<'a>),
    PassiveCoil(PassiveCoilLine<'a>),
    ClosingSpring(ClosingSpringLine<'a>),
    StepChain(StepChainLine<'a>),
    Tie(TieLine<'a>),
    Laceback(LacebackLine<'a>),
    Sleeve(SleeveLine<'a>),
    BiteRaisers(BiteRaisersLine<'a>),
    Ipr(IprLine<'a>),
    StepStop(StepStopLine<'a>),
    Post(PostLine<'a>),
    PowerArm(PowerArmLine<'a>),
    ReverseCurve(ReverseCurveLine<'a>),
    Bend(BendLine<'a>),
    StepTorque(StepTorqueLine<'a>),
    Coordinated(CoordinatedLine<'a>),
    Trim(TrimLine<'a>),
    HaltIf(HaltIfLine<'a>),
    No(NoLine<'a>),
    Sectional(SectionalLine<'a>),
    Records(RecordsLine<'a>),
    Separators(SeparatorsLine<'a>),
    Hold(HoldLine<'a>),
    Accept(AcceptLine<'a>),
    Note(NoteLine<'a>),
}

impl<'a> StepStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Bypass => Self::Bypass(BypassLine::cast(statement)?),
            StatementKind::Engage => Self::Engage(EngageLine::cast(statement)?),
            StatementKind::PickUp => Self::PickUp(PickUpLine::cast(statement)?),
            StatementKind::Rebond => Self::Rebond(RebondLine::cast(statement)?),
            StatementKind::Reposition => Self::Reposition(RepositionLine::cast(statement)?),
            StatementKind::Piggyback => Self::Piggyback(PiggybackLine::cast(statement)?),
            StatementKind::Traction => Self::Traction(TractionLine::cast(statement)?),
            StatementKind::OpenCoil => Self::OpenCoil(OpenCoilLine::cast(statement)?),
            StatementKind::PassiveCoil => Self::PassiveCoil(PassiveCoilLine::cast(statement)?),
            StatementKind::ClosingSpring => {
                Self::ClosingSpring(ClosingSpringLine::cast(statement)?)
            }
            StatementKind::StepChain => Self::StepChain(StepChainLine::cast(statement)?),
            StatementKind::Tie => Self::Tie(TieLine::cast(statement)?),
            StatementKind::Laceback => Self::Laceback(LacebackLine::cast(statement)?),
            StatementKind::Sleeve => Self::Sleeve(SleeveLine::cast(statement)?),
            StatementKind::BiteRaisers => Self::BiteRaisers(BiteRaisersLine::cast(statement)?),
            StatementKind::Ipr => Self::Ipr(IprLine::cast(statement)?),
            StatementKind::StepStop => Self::StepStop(StepStopLine::cast(statement)?),
            StatementKind::Post => Self::Post(PostLine::cast(statement)?),
            StatementKind::PowerArm => Self::PowerArm(PowerArmLine::cast(statement)?),
            StatementKind::ReverseCurve => Self::ReverseCurve(ReverseCurveLine::cast(statement)?),
            StatementKind::Bend => Self::Bend(BendLine::cast(statement)?),
            StatementKind::StepTorque => Self::StepTorque(StepTorqueLine::cast(statement)?),
            StatementKind::Coordinated => Self::Coordinated(CoordinatedLine::cast(statement)?),
            StatementKind::Trim => Self::Trim(TrimLine::cast(statement)?),
            StatementKind::HaltIf => Self::HaltIf(HaltIfLine::cast(statement)?),
            StatementKind::No => Self::No(NoLine::cast(statement)?),
            StatementKind::Sectional => Self::Sectional(SectionalLine::cast(statement)?),
            StatementKind::Records => Self::Records(RecordsLine::cast(statement)?),
            StatementKind::Separators => Self::Separators(SeparatorsLine::cast(statement)?),
            StatementKind::Hold => Self::Hold(HoldLine::cast(statement)?),
            StatementKind::Accept => Self::Accept(AcceptLine::cast(statement)?),
            StatementKind::Note => Self::Note(NoteLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of a visit.
#[derive(Debug, Clone, Copy)]
pub enum SeenStatement<'a> {
    Overjet(OverjetLine<'a>),
    ReverseOverjet(ReverseOverjetLine<'a>),
    Overbite(OverbiteLine<'a>),
    OpenBite(OpenBiteLine<'a>),
    CurveOfSpee(CurveOfSpeeLine<'a>),
    Molars(MolarsLine<'a>),
    Canines(CaninesLine<'a>),
    Crossbite(CrossbiteLine<'a>),
    Measured(MeasuredLine<'a>),
    Gap(GapLine<'a>),
    Overlap(OverlapLine<'a>),
    SeenArch(SeenArchLine<'a>),
    Done(DoneLine<'a>),
    SeenTooth(SeenToothLine<'a>),
    Loose(LooseLine<'a>),
    Lost(LostLine<'a>),
    Out(OutLine<'a>),
    Poking(PokingLine<'a>),
    SlideOpen(SlideOpenLine<'a>),
    Pain(PainLine<'a>),
    Wear(WearLine<'a>),
    Hygiene(HygieneLine<'a>),
    Expanded(ExpandedLine<'a>),
    BiteRaisersOff(BiteRaisersOffLine<'a>),
    SeenCrossbiteCorrected(SeenCrossbiteCorrectedLine<'a>),
    Note(NoteLine<'a>),
}

impl<'a> SeenStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Overjet => Self::Overjet(OverjetLine::cast(statement)?),
            StatementKind::ReverseOverjet => {
                Self::ReverseOverjet(ReverseOverjetLine::cast(statement)?)
            }
            StatementKind::Overbite => Self::Overbite(OverbiteLine::cast(statement)?),
            StatementKind::OpenBite => Self::OpenBite(OpenBiteLine::cast(statement)?),
            StatementKind::CurveOfSpee => Self::CurveOfSpee(CurveOfSpeeLine::cast(statement)?),
            StatementKind::Molars => Self::Molars(MolarsLine::cast(statement)?),
            StatementKind::Canines => Self::Canines(CaninesLine::cast(statement)?),
            StatementKind::Crossbite => Self::Crossbite(CrossbiteLine::cast(statement)?),
            StatementKind::Measured => Self::Measured(MeasuredLine::cast(statement)?),
            StatementKind::Gap => Self::Gap(GapLine::cast(statement)?),
            StatementKind::Overlap => Self::Overlap(OverlapLine::cast(statement)?),
            StatementKind::SeenArch => Self::SeenArch(SeenArchLine::cast(statement)?),
            StatementKind::Done => Self::Done(DoneLine::cast(statement)?),
            StatementKind::SeenTooth => Self::SeenTooth(SeenToothLine::cast(statement)?),
            StatementKind::Loose => Self::Loose(LooseLine::cast(statement)?),
            StatementKind::Lost => Self::Lost(LostLine::cast(statement)?),
            StatementKind::Out => Self::Out(OutLine::cast(statement)?),
            StatementKind::Poking => Self::Poking(PokingLine::cast(statement)?),
            StatementKind::SlideOpen => Self::SlideOpen(SlideOpenLine::cast(statement)?),
            StatementKind::Pain => Self::Pain(PainLine::cast(statement)?),
            StatementKind::Wear => Self::Wear(WearLine::cast(statement)?),
            StatementKind::Hygiene => Self::Hygiene(HygieneLine::cast(statement)?),
            StatementKind::Expanded => Self::Expanded(ExpandedLine::cast(statement)?),
            StatementKind::BiteRaisersOff => {
                Self::BiteRaisersOff(BiteRaisersOffLine::cast(statement)?)
            }
            StatementKind::SeenCrossbiteCorrected => {
                Self::SeenCrossbiteCorrected(SeenCrossbiteCorrectedLine::cast(statement)?)
            }
            StatementKind::Note => Self::Note(NoteLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// A statement of an arch of a visit.
#[derive(Debug, Clone, Copy)]
pub enum SeenArchStatement<'a> {
    Bypass(BypassLine<'a>),
    Engage(EngageLine<'a>),
    PickUp(PickUpLine<'a>),
    Rebond(RebondLine<'a>),
    Reposition(RepositionLine<'a>),
    Piggyback(PiggybackLine<'a>),
    Traction(TractionLine<'a>),
    OpenCoil(OpenCoilLine<'a>),
    PassiveCoil(PassiveCoilLine<'a>),
    ClosingSpring(ClosingSpringLine<'a>),
    StepChain(StepChainLine<'a>),
    Tie(TieLine<'a>),
    Laceback(LacebackLine<'a>),
    Sleeve(SleeveLine<'a>),
    BiteRaisers(BiteRaisersLine<'a>),
    Ipr(IprLine<'a>),
    StepStop(StepStopLine<'a>),
    Post(PostLine<'a>),
    PowerArm(PowerArmLine<'a>),
    ReverseCurve(ReverseCurveLine<'a>),
    Bend(BendLine<'a>),
    StepTorque(StepTorqueLine<'a>),
    Trim(TrimLine<'a>),
    Note(NoteLine<'a>),
}

impl<'a> SeenArchStatement<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        Some(match statement.kind()? {
            StatementKind::Bypass => Self::Bypass(BypassLine::cast(statement)?),
            StatementKind::Engage => Self::Engage(EngageLine::cast(statement)?),
            StatementKind::PickUp => Self::PickUp(PickUpLine::cast(statement)?),
            StatementKind::Rebond => Self::Rebond(RebondLine::cast(statement)?),
            StatementKind::Reposition => Self::Reposition(RepositionLine::cast(statement)?),
            StatementKind::Piggyback => Self::Piggyback(PiggybackLine::cast(statement)?),
            StatementKind::Traction => Self::Traction(TractionLine::cast(statement)?),
            StatementKind::OpenCoil => Self::OpenCoil(OpenCoilLine::cast(statement)?),
            StatementKind::PassiveCoil => Self::PassiveCoil(PassiveCoilLine::cast(statement)?),
            StatementKind::ClosingSpring => {
                Self::ClosingSpring(ClosingSpringLine::cast(statement)?)
            }
            StatementKind::StepChain => Self::StepChain(StepChainLine::cast(statement)?),
            StatementKind::Tie => Self::Tie(TieLine::cast(statement)?),
            StatementKind::Laceback => Self::Laceback(LacebackLine::cast(statement)?),
            StatementKind::Sleeve => Self::Sleeve(SleeveLine::cast(statement)?),
            StatementKind::BiteRaisers => Self::BiteRaisers(BiteRaisersLine::cast(statement)?),
            StatementKind::Ipr => Self::Ipr(IprLine::cast(statement)?),
            StatementKind::StepStop => Self::StepStop(StepStopLine::cast(statement)?),
            StatementKind::Post => Self::Post(PostLine::cast(statement)?),
            StatementKind::PowerArm => Self::PowerArm(PowerArmLine::cast(statement)?),
            StatementKind::ReverseCurve => Self::ReverseCurve(ReverseCurveLine::cast(statement)?),
            StatementKind::Bend => Self::Bend(BendLine::cast(statement)?),
            StatementKind::StepTorque => Self::StepTorque(StepTorqueLine::cast(statement)?),
            StatementKind::Trim => Self::Trim(TrimLine::cast(statement)?),
            StatementKind::Note => Self::Note(NoteLine::cast(statement)?),
            _ => return None,
        })
    }
}

/// `springline COUNT:edition`
#[derive(Debug, Clone, Copy)]
pub struct SpringlineLine<'a> {
    pub statement: StatementRef<'a>,
    pub edition: CountField<'a>,
}

impl<'a> SpringlineLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Springline)?;
        Some(Self { statement, edition: found.field("edition")? })
    }
}

/// `practice STRING:title`
#[derive(Debug, Clone, Copy)]
pub struct PracticeLine<'a> {
    pub statement: StatementRef<'a>,
    pub title: TextField<'a>,
}

impl<'a> PracticeLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Practice)?;
        Some(Self { statement, title: found.field("title")? })
    }
}

/// `case STRING:chart`
#[derive(Debug, Clone, Copy)]
pub struct CaseLine<'a> {
    pub statement: StatementRef<'a>,
    pub chart: TextField<'a>,
}

impl<'a> CaseLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Case)?;
        Some(Self { statement, chart: found.field("chart")? })
    }
}

/// `defaults COUNT:edition`
#[derive(Debug, Clone, Copy)]
pub struct DefaultsLine<'a> {
    pub statement: StatementRef<'a>,
    pub edition: CountField<'a>,
}

impl<'a> DefaultsLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Defaults)?;
        Some(Self { statement, edition: found.field("edition")? })
    }
}

/// `notation (iso | quadrant | universal)`
#[derive(Debug, Clone, Copy)]
pub struct NotationLine<'a> {
    pub statement: StatementRef<'a>,
    pub notation: NotationWord,
}

impl<'a> NotationLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Notation)?;
        Some(Self { statement, notation: found.word()? })
    }
}

/// `telephone STRING:number`
#[derive(Debug, Clone, Copy)]
pub struct TelephoneLine<'a> {
    pub statement: StatementRef<'a>,
    pub number: TextField<'a>,
}

impl<'a> TelephoneLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Telephone)?;
        Some(Self { statement, number: found.field("number")? })
    }
}

/// `language NAME:language`
#[derive(Debug, Clone, Copy)]
pub struct LanguageLine<'a> {
    pub statement: StatementRef<'a>,
    pub language: NameField<'a>,
}

impl<'a> LanguageLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Language)?;
        Some(Self { statement, language: found.field("language")? })
    }
}

/// `chart STRING:form`
#[derive(Debug, Clone, Copy)]
pub struct ChartLine<'a> {
    pub statement: StatementRef<'a>,
    pub form: TextField<'a>,
}

impl<'a> ChartLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Chart)?;
        Some(Self { statement, form: found.field("form")? })
    }
}

/// `clinic DAY {+, DAY}`
#[derive(Debug, Clone, Copy)]
pub struct ClinicLine<'a> {
    pub statement: StatementRef<'a>,
    pub days: FieldList<'a, kind::Day>,
}

impl<'a> ClinicLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Clinic)?;
        Some(Self { statement, days: found.fields("day") })
    }
}

/// `closed DATES {+, DATES}`
#[derive(Debug, Clone, Copy)]
pub struct ClosedLine<'a> {
    pub statement: StatementRef<'a>,
    pub dates: FieldList<'a, kind::Dates>,
}

impl<'a> ClosedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Closed)?;
        Some(Self { statement, dates: found.fields("dates") })
    }
}

/// `interval TIMES`
#[derive(Debug, Clone, Copy)]
pub struct IntervalLine<'a> {
    pub statement: StatementRef<'a>,
    pub times: TimesField<'a>,
}

impl<'a> IntervalLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Interval)?;
        Some(Self { statement, times: found.field("times")? })
    }
}

/// `task (bond-up | wire-change | review | repair | emergency | reposition | coil | elastics | debond | retainer-check) TIME`
#[derive(Debug, Clone, Copy)]
pub struct TaskLine<'a> {
    pub statement: StatementRef<'a>,
    pub task: TaskWord,
    pub time: TimeField<'a>,
}

impl<'a> TaskLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Task)?;
        Some(Self { statement, task: found.word()?, time: found.field("time")? })
    }
}

/// `chair-time TIME [on DAY {+, DAY}]`
#[derive(Debug, Clone, Copy)]
pub struct ChairTimeLine<'a> {
    pub statement: StatementRef<'a>,
    pub time: TimeField<'a>,
    pub days: FieldList<'a, kind::Day>,
}

impl<'a> ChairTimeLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ChairTime)?;
        Some(Self { statement, time: found.field("time")?, days: found.fields("day") })
    }
}

/// `limit (bench | sustained | sustained-ratio | delivered | peak | intrusion | extrusion | bodily | tipping | couple | torque | misfit | rotation | strain | deflection | coil | elastic | span | first-round | misfit-light | rotation-light | misfit-full | rotation-full | levelling | coil-wire | coil-light | takes-in | left-out | left-out-rotation) ANY:warn [to ANY:stop] [over LENGTH:span span] [on TEETH]`
#[derive(Debug, Clone, Copy)]
pub struct LimitLine<'a> {
    pub statement: StatementRef<'a>,
    pub limit: LimitWord,
    pub warn: AnyField<'a>,
    pub stop: Option<AnyField<'a>>,
    pub span: Option<LengthField<'a>>,
    pub teeth: Option<TeethField<'a>>,
}

impl<'a> LimitLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Limit)?;
        Some(Self {
            statement,
            limit: found.word()?,
            warn: found.field("warn")?,
            stop: found.field("stop"),
            span: found.field("span"),
            teeth: found.field("teeth"),
        })
    }
}

/// `passive-when (quarter-left | no-bend)`
#[derive(Debug, Clone, Copy)]
pub struct PassiveWhenLine<'a> {
    pub statement: StatementRef<'a>,
    pub passive_rule: PassiveRuleWord,
}

impl<'a> PassiveWhenLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::PassiveWhen)?;
        Some(Self { statement, passive_rule: found.word()? })
    }
}

/// `book-on (forecast | rule-of-thumb) [at PERCENT]`
#[derive(Debug, Clone, Copy)]
pub struct BookOnLine<'a> {
    pub statement: StatementRef<'a>,
    pub booking: BookingWord,
    pub percent: Option<PercentField<'a>>,
}

impl<'a> BookOnLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::BookOn)?;
        Some(Self { statement, booking: found.word()?, percent: found.field("percent") })
    }
}

/// `mouth-temperature TEMPERATURE:mouth`
#[derive(Debug, Clone, Copy)]
pub struct MouthTemperatureLine<'a> {
    pub statement: StatementRef<'a>,
    pub mouth: TemperatureField<'a>,
}

impl<'a> MouthTemperatureLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::MouthTemperature)?;
        Some(Self { statement, mouth: found.field("mouth")? })
    }
}

/// `prominence TEETH LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct ProminenceLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub length: LengthField<'a>,
}

impl<'a> ProminenceLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Prominence)?;
        Some(Self { statement, teeth: found.field("teeth")?, length: found.field("length")? })
    }
}

/// `slot-height TEETH LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct SlotHeightLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub length: LengthField<'a>,
}

impl<'a> SlotHeightLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::SlotHeight)?;
        Some(Self { statement, teeth: found.field("teeth")?, length: found.field("length")? })
    }
}

/// `friction (steel | cobalt-chromium | niti | beta-titanium) RATIO:coefficient [, between RATIO:low and RATIO:high]`
#[derive(Debug, Clone, Copy)]
pub struct FrictionLine<'a> {
    pub statement: StatementRef<'a>,
    pub sliding_alloy: SlidingAlloyWord,
    pub coefficient: RatioField<'a>,
    pub low: Option<RatioField<'a>>,
    pub high: Option<RatioField<'a>>,
}

impl<'a> FrictionLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Friction)?;
        Some(Self {
            statement,
            sliding_alloy: found.word()?,
            coefficient: found.field("coefficient")?,
            low: found.field("low"),
            high: found.field("high"),
        })
    }
}

/// `form NAME:form! (catenary LENGTH | circle LENGTH | width LENGTH:canine-width depth LENGTH:canine-depth, width LENGTH:molar-width depth LENGTH:molar-depth)`
#[derive(Debug, Clone, Copy)]
pub struct HouseFormLine<'a> {
    pub statement: StatementRef<'a>,
    pub form: NameField<'a>,
    pub curve: CurvePart<'a>,
}

impl<'a> HouseFormLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::HouseForm)?;
        Some(Self { statement, form: found.field("form")?, curve: found.choice()? })
    }
}

/// `bracket NAME:bracket!`
#[derive(Debug, Clone, Copy)]
pub struct BracketLine<'a> {
    pub statement: StatementRef<'a>,
    pub bracket: NameField<'a>,
}

impl<'a> BracketLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Bracket)?;
        Some(Self { statement, bracket: found.field("bracket")? })
    }
}

/// `tube NAME:bracket!`
#[derive(Debug, Clone, Copy)]
pub struct TubeLine<'a> {
    pub statement: StatementRef<'a>,
    pub bracket: NameField<'a>,
}

impl<'a> TubeLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Tube)?;
        Some(Self { statement, bracket: found.field("bracket")? })
    }
}

/// `wire NAME:wire! (steel | multistrand-steel | cobalt-chromium | beta-titanium | superelastic-niti | thermal-niti), (round LENGTH | square LENGTH | rect DIMS) {+, @wire-detail}`
#[derive(Debug, Clone, Copy)]
pub struct WireLine<'a> {
    pub statement: StatementRef<'a>,
    pub wire: NameField<'a>,
    pub alloy: AlloyWord,
    pub section: SectionPart<'a>,
    pub wire_details: PartList<'a, WireDetailPart<'a>>,
}

impl<'a> WireLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Wire)?;
        Some(Self {
            statement,
            wire: found.field("wire")?,
            alloy: found.word()?,
            section: found.choice()?,
            wire_details: found.parts(),
        })
    }
}

/// `coil NAME:coil! (open | passive | closing-spring) {, @coil-detail}`
#[derive(Debug, Clone, Copy)]
pub struct CoilLine<'a> {
    pub statement: StatementRef<'a>,
    pub coil: NameField<'a>,
    pub coil_kind: CoilKindWord,
    pub coil_details: PartList<'a, CoilDetailPart<'a>>,
}

impl<'a> CoilLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Coil)?;
        Some(Self {
            statement,
            coil: found.field("coil")?,
            coil_kind: found.word()?,
            coil_details: found.parts(),
        })
    }
}

/// `elastic NAME:elastic! [@elastic-detail {, @elastic-detail}] {+, @force-left}`
#[derive(Debug, Clone, Copy)]
pub struct ElasticLine<'a> {
    pub statement: StatementRef<'a>,
    pub elastic: NameField<'a>,
    pub elastic_details: PartList<'a, ElasticDetailPart<'a>>,
    pub force_lefts: PartList<'a, ForceLeftPart<'a>>,
}

impl<'a> ElasticLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Elastic)?;
        Some(Self {
            statement,
            elastic: found.field("elastic")?,
            elastic_details: found.parts(),
            force_lefts: found.parts(),
        })
    }
}

/// `chain NAME:chain! (closed | short | long) {, force FORCE} {+, @force-left}`
#[derive(Debug, Clone, Copy)]
pub struct HouseChainLine<'a> {
    pub statement: StatementRef<'a>,
    pub chain: NameField<'a>,
    pub chain_kind: ChainKindWord,
    pub forces: FieldList<'a, kind::Force>,
    pub force_lefts: PartList<'a, ForceLeftPart<'a>>,
}

impl<'a> HouseChainLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::HouseChain)?;
        Some(Self {
            statement,
            chain: found.field("chain")?,
            chain_kind: found.word()?,
            forces: found.fields("force"),
            force_lefts: found.parts(),
        })
    }
}

/// `stop NAME:stop! [@stop-detail {, @stop-detail}]`
#[derive(Debug, Clone, Copy)]
pub struct HouseStopLine<'a> {
    pub statement: StatementRef<'a>,
    pub stop: NameField<'a>,
    pub stop_details: PartList<'a, StopDetailPart<'a>>,
}

impl<'a> HouseStopLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::HouseStop)?;
        Some(Self { statement, stop: found.field("stop")?, stop_details: found.parts() })
    }
}

/// `sequence NAME:sequence!`
#[derive(Debug, Clone, Copy)]
pub struct SequenceLine<'a> {
    pub statement: StatementRef<'a>,
    pub sequence: NameField<'a>,
}

impl<'a> SequenceLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Sequence)?;
        Some(Self { statement, sequence: found.field("sequence")? })
    }
}

/// `text (staff | patient) NAME:name STRING:words [in NAME:language]`
#[derive(Debug, Clone, Copy)]
pub struct TextLine<'a> {
    pub statement: StatementRef<'a>,
    pub reader: ReaderWord,
    pub name: NameField<'a>,
    pub words: TextField<'a>,
    pub language: Option<NameField<'a>>,
}

impl<'a> TextLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Text)?;
        Some(Self {
            statement,
            reader: found.word()?,
            name: found.field("name")?,
            words: found.field("words")?,
            language: found.field("language"),
        })
    }
}

/// `learned DATE`
#[derive(Debug, Clone, Copy)]
pub struct LearnedLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
}

impl<'a> LearnedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Learned)?;
        Some(Self { statement, date: found.field("date")? })
    }
}

/// `active (practice | NAME:wire) RATIO:factor, spread RATIO:spread, cases COUNT:cases`
#[derive(Debug, Clone, Copy)]
pub struct ActiveLine<'a> {
    pub statement: StatementRef<'a>,
    pub learned_of: LearnedOfPart<'a>,
    pub factor: RatioField<'a>,
    pub spread: RatioField<'a>,
    pub cases: CountField<'a>,
}

impl<'a> ActiveLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Active)?;
        Some(Self {
            statement,
            learned_of: found.choice()?,
            factor: found.field("factor")?,
            spread: found.field("spread")?,
            cases: found.field("cases")?,
        })
    }
}

/// `binds-from FORCE:limit, between FORCE:low and FORCE:high, spread RATIO:spread, visits COUNT:visits`
#[derive(Debug, Clone, Copy)]
pub struct BindsFromLine<'a> {
    pub statement: StatementRef<'a>,
    pub limit: ForceField<'a>,
    pub low: ForceField<'a>,
    pub high: ForceField<'a>,
    pub spread: RatioField<'a>,
    pub visits: CountField<'a>,
}

impl<'a> BindsFromLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::BindsFrom)?;
        Some(Self {
            statement,
            limit: found.field("limit")?,
            low: found.field("low")?,
            high: found.field("high")?,
            spread: found.field("spread")?,
            visits: found.field("visits")?,
        })
    }
}

/// `slide passive`
#[derive(Debug, Clone, Copy)]
pub struct SlideLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> SlideLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Slide)?;
        Some(Self { statement })
    }
}

/// `clip active [seats LENGTH]`
#[derive(Debug, Clone, Copy)]
pub struct ClipLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: Option<LengthField<'a>>,
}

impl<'a> ClipLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Clip)?;
        Some(Self { statement, length: found.field("length") })
    }
}

/// `ligated`
#[derive(Debug, Clone, Copy)]
pub struct LigatedLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> LigatedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Ligated)?;
        Some(Self { statement })
    }
}

/// `band`
#[derive(Debug, Clone, Copy)]
pub struct BandLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> BandLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Band)?;
        Some(Self { statement })
    }
}

/// `slot DIMS [measured LENGTH]`
#[derive(Debug, Clone, Copy)]
pub struct SlotLine<'a> {
    pub statement: StatementRef<'a>,
    pub dims: DimsField<'a>,
    pub length: Option<LengthField<'a>>,
}

impl<'a> SlotLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Slot)?;
        Some(Self { statement, dims: found.field("dims")?, length: found.field("length") })
    }
}

/// `width LENGTH [on TEETH]`
#[derive(Debug, Clone, Copy)]
pub struct WidthLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
    pub teeth: Option<TeethField<'a>>,
}

impl<'a> WidthLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Width)?;
        Some(Self { statement, length: found.field("length")?, teeth: found.field("teeth") })
    }
}

/// `torque ANGLE @crown [on TEETH]`
#[derive(Debug, Clone, Copy)]
pub struct FitTorqueLine<'a> {
    pub statement: StatementRef<'a>,
    pub angle: AngleField<'a>,
    pub crown: CrownWord,
    pub teeth: Option<TeethField<'a>>,
}

impl<'a> FitTorqueLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::FitTorque)?;
        Some(Self {
            statement,
            angle: found.field("angle")?,
            crown: found.part()?,
            teeth: found.field("teeth"),
        })
    }
}

/// `tipped ANGLE (mesial | distal) [on TEETH]`
#[derive(Debug, Clone, Copy)]
pub struct TippedLine<'a> {
    pub statement: StatementRef<'a>,
    pub angle: AngleField<'a>,
    pub along: AlongWord,
    pub teeth: Option<TeethField<'a>>,
}

impl<'a> TippedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Tipped)?;
        Some(Self {
            statement,
            angle: found.field("angle")?,
            along: found.word()?,
            teeth: found.field("teeth"),
        })
    }
}

/// `hook on TEETH`
#[derive(Debug, Clone, Copy)]
pub struct FitHookLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> FitHookLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::FitHook)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `variant NAME:variant! torque ANGLE @crown [on TEETH]`
#[derive(Debug, Clone, Copy)]
pub struct VariantLine<'a> {
    pub statement: StatementRef<'a>,
    pub variant: NameField<'a>,
    pub angle: AngleField<'a>,
    pub crown: CrownWord,
    pub teeth: Option<TeethField<'a>>,
}

impl<'a> VariantLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Variant)?;
        Some(Self {
            statement,
            variant: found.field("variant")?,
            angle: found.field("angle")?,
            crown: found.part()?,
            teeth: found.field("teeth"),
        })
    }
}

/// `use NAME:house`
#[derive(Debug, Clone, Copy)]
pub struct UseLine<'a> {
    pub statement: StatementRef<'a>,
    pub house: NameField<'a>,
}

impl<'a> UseLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Use)?;
        Some(Self { statement, house: found.field("house")? })
    }
}

/// `doctor NAME:person`
#[derive(Debug, Clone, Copy)]
pub struct DoctorLine<'a> {
    pub statement: StatementRef<'a>,
    pub person: NameField<'a>,
}

impl<'a> DoctorLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Doctor)?;
        Some(Self { statement, person: found.field("person")? })
    }
}

/// `start DATE`
#[derive(Debug, Clone, Copy)]
pub struct CaseStartLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
}

impl<'a> CaseStartLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::CaseStart)?;
        Some(Self { statement, date: found.field("date")? })
    }
}

/// `in-place DATE`
#[derive(Debug, Clone, Copy)]
pub struct InPlaceLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
}

impl<'a> InPlaceLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::InPlace)?;
        Some(Self { statement, date: found.field("date")? })
    }
}

/// `(upper | lower) NAME:wire since DATE`
#[derive(Debug, Clone, Copy)]
pub struct InPlaceArchLine<'a> {
    pub statement: StatementRef<'a>,
    pub arch: ArchWord,
    pub wire: NameField<'a>,
    pub date: DateField<'a>,
}

impl<'a> InPlaceArchLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::InPlaceArch)?;
        Some(Self {
            statement,
            arch: found.word()?,
            wire: found.field("wire")?,
            date: found.field("date")?,
        })
    }
}

/// `patient (adult | growing) [, age COUNT:years]`
#[derive(Debug, Clone, Copy)]
pub struct PatientLine<'a> {
    pub statement: StatementRef<'a>,
    pub growth: GrowthWord,
    pub years: Option<CountField<'a>>,
}

impl<'a> PatientLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Patient)?;
        Some(Self { statement, growth: found.word()?, years: found.field("years") })
    }
}

/// `bite`
#[derive(Debug, Clone, Copy)]
pub struct BiteLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> BiteLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Bite)?;
        Some(Self { statement })
    }
}

/// `goal`
#[derive(Debug, Clone, Copy)]
pub struct GoalLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> GoalLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Goal)?;
        Some(Self { statement })
    }
}

/// `overjet LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct OverjetLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
}

impl<'a> OverjetLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Overjet)?;
        Some(Self { statement, length: found.field("length")? })
    }
}

/// `reverse-overjet LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct ReverseOverjetLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
}

impl<'a> ReverseOverjetLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ReverseOverjet)?;
        Some(Self { statement, length: found.field("length")? })
    }
}

/// `overbite LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct OverbiteLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
}

impl<'a> OverbiteLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Overbite)?;
        Some(Self { statement, length: found.field("length")? })
    }
}

/// `open-bite LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct OpenBiteLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
}

impl<'a> OpenBiteLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::OpenBite)?;
        Some(Self { statement, length: found.field("length")? })
    }
}

/// `curve-of-spee LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct CurveOfSpeeLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
}

impl<'a> CurveOfSpeeLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::CurveOfSpee)?;
        Some(Self { statement, length: found.field("length")? })
    }
}

/// `molars @sided-class {+, @sided-class}`
#[derive(Debug, Clone, Copy)]
pub struct MolarsLine<'a> {
    pub statement: StatementRef<'a>,
    pub sided_class: PartList<'a, SidedClassPart<'a>>,
}

impl<'a> MolarsLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Molars)?;
        Some(Self { statement, sided_class: found.parts() })
    }
}

/// `canines @sided-class {+, @sided-class}`
#[derive(Debug, Clone, Copy)]
pub struct CaninesLine<'a> {
    pub statement: StatementRef<'a>,
    pub sided_class: PartList<'a, SidedClassPart<'a>>,
}

impl<'a> CaninesLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Canines)?;
        Some(Self { statement, sided_class: found.parts() })
    }
}

/// `crossbite TEETH`
#[derive(Debug, Clone, Copy)]
pub struct CrossbiteLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> CrossbiteLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Crossbite)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `(upper | lower) @midline`
#[derive(Debug, Clone, Copy)]
pub struct BiteArchLine<'a> {
    pub statement: StatementRef<'a>,
    pub arch: ArchWord,
    pub midline: MidlinePart<'a>,
}

impl<'a> BiteArchLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::BiteArch)?;
        Some(Self { statement, arch: found.word()?, midline: found.part()? })
    }
}

/// `crossbite-corrected TEETH`
#[derive(Debug, Clone, Copy)]
pub struct GoalCrossbiteCorrectedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> GoalCrossbiteCorrectedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::GoalCrossbiteCorrected)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `extraction (none | planned)`
#[derive(Debug, Clone, Copy)]
pub struct ExtractionLine<'a> {
    pub statement: StatementRef<'a>,
    pub extraction: ExtractionWord,
}

impl<'a> ExtractionLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Extraction)?;
        Some(Self { statement, extraction: found.word()? })
    }
}

/// `incisors (forward | held)`
#[derive(Debug, Clone, Copy)]
pub struct IncisorsLine<'a> {
    pub statement: StatementRef<'a>,
    pub incisors: IncisorsWord,
}

impl<'a> IncisorsLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Incisors)?;
        Some(Self { statement, incisors: found.word()? })
    }
}

/// `spaces closed`
#[derive(Debug, Clone, Copy)]
pub struct SpacesLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> SpacesLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Spaces)?;
        Some(Self { statement })
    }
}

/// `tooth-size-ratio @ratio {+, @ratio}`
#[derive(Debug, Clone, Copy)]
pub struct ToothSizeRatioLine<'a> {
    pub statement: StatementRef<'a>,
    pub ratios: PartList<'a, RatioPart<'a>>,
}

impl<'a> ToothSizeRatioLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ToothSizeRatio)?;
        Some(Self { statement, ratios: found.parts() })
    }
}

/// `elastics (class-2 | class-3 | triangle | box | cross | diagonal | settling)`
#[derive(Debug, Clone, Copy)]
pub struct ElasticsLine<'a> {
    pub statement: StatementRef<'a>,
    pub elastics_kind: ElasticsKindWord,
}

impl<'a> ElasticsLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Elastics)?;
        Some(Self { statement, elastics_kind: found.word()? })
    }
}

/// `(right | left) @band-pair with NAME:elastic, wear TIME:hours`
#[derive(Debug, Clone, Copy)]
pub struct ElasticsSideLine<'a> {
    pub statement: StatementRef<'a>,
    pub side: SideWord,
    pub band_pair: BandPairPart<'a>,
    pub elastic: NameField<'a>,
    pub hours: TimeField<'a>,
}

impl<'a> ElasticsSideLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ElasticsSide)?;
        Some(Self {
            statement,
            side: found.word()?,
            band_pair: found.part()?,
            elastic: found.field("elastic")?,
            hours: found.field("hours")?,
        })
    }
}

/// `from NAME:step [expressed]`
#[derive(Debug, Clone, Copy)]
pub struct FromLine<'a> {
    pub statement: StatementRef<'a>,
    pub step: NameField<'a>,
    pub expressed: bool,
}

impl<'a> FromLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::From)?;
        Some(Self { statement, step: found.field("step")?, expressed: found.says("expressed") })
    }
}

/// `until (step NAME:step | @condition)`
#[derive(Debug, Clone, Copy)]
pub struct UntilLine<'a> {
    pub statement: StatementRef<'a>,
    pub elastics_end: ElasticsEndPart<'a>,
}

impl<'a> UntilLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Until)?;
        Some(Self { statement, elastics_end: found.choice()? })
    }
}

/// `longest TIME`
#[derive(Debug, Clone, Copy)]
pub struct LongestLine<'a> {
    pub statement: StatementRef<'a>,
    pub time: TimeField<'a>,
}

impl<'a> LongestLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Longest)?;
        Some(Self { statement, time: found.field("time")? })
    }
}

/// `debond [DATE] [because STRING]`
#[derive(Debug, Clone, Copy)]
pub struct DebondLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: Option<DateField<'a>>,
    pub text: Option<TextField<'a>>,
}

impl<'a> DebondLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Debond)?;
        Some(Self { statement, date: found.field("date"), text: found.field("text") })
    }
}

/// `retain`
#[derive(Debug, Clone, Copy)]
pub struct RetainLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> RetainLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Retain)?;
        Some(Self { statement })
    }
}

/// `fixed TEETH [for TIME]`
#[derive(Debug, Clone, Copy)]
pub struct FixedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub time: Option<TimeField<'a>>,
}

impl<'a> FixedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Fixed)?;
        Some(Self { statement, teeth: found.field("teeth")?, time: found.field("time") })
    }
}

/// `night-time (upper | lower | both) [for TIME]`
#[derive(Debug, Clone, Copy)]
pub struct NightTimeLine<'a> {
    pub statement: StatementRef<'a>,
    pub retained: RetainedWord,
    pub time: Option<TimeField<'a>>,
}

impl<'a> NightTimeLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::NightTime)?;
        Some(Self { statement, retained: found.word()?, time: found.field("time") })
    }
}

/// `check TIME`
#[derive(Debug, Clone, Copy)]
pub struct CheckLine<'a> {
    pub statement: StatementRef<'a>,
    pub time: TimeField<'a>,
}

impl<'a> CheckLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Check)?;
        Some(Self { statement, time: found.field("time")? })
    }
}

/// `missed DATE`
#[derive(Debug, Clone, Copy)]
pub struct MissedLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
}

impl<'a> MissedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Missed)?;
        Some(Self { statement, date: found.field("date")? })
    }
}

/// `upper`
#[derive(Debug, Clone, Copy)]
pub struct UpperLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> UpperLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Upper)?;
        Some(Self { statement })
    }
}

/// `lower`
#[derive(Debug, Clone, Copy)]
pub struct LowerLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> LowerLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Lower)?;
        Some(Self { statement })
    }
}

/// `bonded TEETH with NAME:bracket [(inverted | NAME:variant)]`
#[derive(Debug, Clone, Copy)]
pub struct BondedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub bracket: NameField<'a>,
    pub mounting: Option<MountingPart<'a>>,
}

impl<'a> BondedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Bonded)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            bracket: found.field("bracket")?,
            mounting: found.choice(),
        })
    }
}

/// `banded TEETH with NAME:bracket`
#[derive(Debug, Clone, Copy)]
pub struct BandedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub bracket: NameField<'a>,
}

impl<'a> BandedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Banded)?;
        Some(Self { statement, teeth: found.field("teeth")?, bracket: found.field("bracket")? })
    }
}

/// `tubes TEETH with NAME:bracket`
#[derive(Debug, Clone, Copy)]
pub struct TubesLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub bracket: NameField<'a>,
}

impl<'a> TubesLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Tubes)?;
        Some(Self { statement, teeth: found.field("teeth")?, bracket: found.field("bracket")? })
    }
}

/// `bonded-elsewhere TEETH [slot DIMS] [on DATE]`
#[derive(Debug, Clone, Copy)]
pub struct BondedElsewhereLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub dims: Option<DimsField<'a>>,
    pub date: Option<DateField<'a>>,
}

impl<'a> BondedElsewhereLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::BondedElsewhere)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            dims: found.field("dims"),
            date: found.field("date"),
        })
    }
}

/// `hook TEETH`
#[derive(Debug, Clone, Copy)]
pub struct ArchHookLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> ArchHookLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ArchHook)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `button (labial | lingual) TEETH`
#[derive(Debug, Clone, Copy)]
pub struct ButtonLine<'a> {
    pub statement: StatementRef<'a>,
    pub surface: SurfaceWord,
    pub teeth: TeethField<'a>,
}

impl<'a> ButtonLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Button)?;
        Some(Self { statement, surface: found.word()?, teeth: found.field("teeth")? })
    }
}

/// `missing TEETH`
#[derive(Debug, Clone, Copy)]
pub struct MissingLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> MissingLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Missing)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `extracted TEETH [on DATE]`
#[derive(Debug, Clone, Copy)]
pub struct ExtractedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub date: Option<DateField<'a>>,
}

impl<'a> ExtractedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Extracted)?;
        Some(Self { statement, teeth: found.field("teeth")?, date: found.field("date") })
    }
}

/// `extract TEETH (on | before) DATE`
#[derive(Debug, Clone, Copy)]
pub struct ExtractLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub when: WhenWord,
    pub date: DateField<'a>,
}

impl<'a> ExtractLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Extract)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            when: found.word()?,
            date: found.field("date")?,
        })
    }
}

/// `unerupted TEETH`
#[derive(Debug, Clone, Copy)]
pub struct UneruptedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> UneruptedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Unerupted)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `expose TEETH [(open | closed)] [on DATE]`
#[derive(Debug, Clone, Copy)]
pub struct ExposeLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub exposure: Option<ExposureWord>,
    pub date: Option<DateField<'a>>,
}

impl<'a> ExposeLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Expose)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            exposure: found.word(),
            date: found.field("date"),
        })
    }
}

/// `implant TEETH`
#[derive(Debug, Clone, Copy)]
pub struct ImplantLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> ImplantLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Implant)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `ankylosed TEETH`
#[derive(Debug, Clone, Copy)]
pub struct AnkylosedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> AnkylosedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Ankylosed)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `caution TEETH because STRING`
#[derive(Debug, Clone, Copy)]
pub struct CautionLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub text: TextField<'a>,
}

impl<'a> CautionLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Caution)?;
        Some(Self { statement, teeth: found.field("teeth")?, text: found.field("text")? })
    }
}

/// `tooth TEETH @positions`
#[derive(Debug, Clone, Copy)]
pub struct ArchToothLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub positions: PartList<'a, PositionPart<'a>>,
}

impl<'a> ArchToothLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ArchTooth)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            positions: found.list("positions").parts(),
        })
    }
}

/// `crowding LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct CrowdingLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
}

impl<'a> CrowdingLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Crowding)?;
        Some(Self { statement, length: found.field("length")? })
    }
}

/// `measured DATE from (scan | photograph | cast) STRING:points as STRING:fingerprint, within LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct MeasuredLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
    pub points_source: PointsSourceWord,
    pub points: TextField<'a>,
    pub fingerprint: TextField<'a>,
    pub length: LengthField<'a>,
}

impl<'a> MeasuredLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Measured)?;
        Some(Self {
            statement,
            date: found.field("date")?,
            points_source: found.word()?,
            points: found.field("points")?,
            fingerprint: found.field("fingerprint")?,
            length: found.field("length")?,
        })
    }
}

/// `tooth TEETH @stands`
#[derive(Debug, Clone, Copy)]
pub struct MeasuredToothLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub stands: PartList<'a, StandPart<'a>>,
}

impl<'a> MeasuredToothLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::MeasuredTooth)?;
        Some(Self { statement, teeth: found.field("teeth")?, stands: found.list("stands").parts() })
    }
}

/// `gap LENGTH @between`
#[derive(Debug, Clone, Copy)]
pub struct GapLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
    pub between: BetweenPart<'a>,
}

impl<'a> GapLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Gap)?;
        Some(Self { statement, length: found.field("length")?, between: found.part()? })
    }
}

/// `overlap LENGTH @between`
#[derive(Debug, Clone, Copy)]
pub struct OverlapLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
    pub between: BetweenPart<'a>,
}

impl<'a> OverlapLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Overlap)?;
        Some(Self { statement, length: found.field("length")?, between: found.part()? })
    }
}

/// `@midline`
#[derive(Debug, Clone, Copy)]
pub struct MidlineLine<'a> {
    pub statement: StatementRef<'a>,
    pub midline: MidlinePart<'a>,
}

impl<'a> MidlineLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Midline)?;
        Some(Self { statement, midline: found.part()? })
    }
}

/// `form NAME:form`
#[derive(Debug, Clone, Copy)]
pub struct ArchFormLine<'a> {
    pub statement: StatementRef<'a>,
    pub form: NameField<'a>,
}

impl<'a> ArchFormLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ArchForm)?;
        Some(Self { statement, form: found.field("form")? })
    }
}

/// `start DATE`
#[derive(Debug, Clone, Copy)]
pub struct ArchStartLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
}

impl<'a> ArchStartLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ArchStart)?;
        Some(Self { statement, date: found.field("date")? })
    }
}

/// `anchorage (maximum | moderate | minimum)`
#[derive(Debug, Clone, Copy)]
pub struct AnchorageLine<'a> {
    pub statement: StatementRef<'a>,
    pub anchorage: AnchorageWord,
}

impl<'a> AnchorageLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Anchorage)?;
        Some(Self { statement, anchorage: found.word()? })
    }
}

/// `palatal-arch TOOTH to TOOTH`
#[derive(Debug, Clone, Copy)]
pub struct PalatalArchLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: FieldList<'a, kind::Tooth>,
}

impl<'a> PalatalArchLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::PalatalArch)?;
        Some(Self { statement, teeth: found.fields("tooth") })
    }
}

/// `expander TEETH [on DATE], width LENGTH, turns COUNT:turns a (day | week) [of LENGTH:turn], locked TIME`
#[derive(Debug, Clone, Copy)]
pub struct ExpanderLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub date: Option<DateField<'a>>,
    pub length: LengthField<'a>,
    pub turns: CountField<'a>,
    pub every: EveryWord,
    pub turn: Option<LengthField<'a>>,
    pub time: TimeField<'a>,
}

impl<'a> ExpanderLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Expander)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            date: found.field("date"),
            length: found.field("length")?,
            turns: found.field("turns")?,
            every: found.word()?,
            turn: found.field("turn"),
            time: found.field("time")?,
        })
    }
}

/// `mini-screw @between`
#[derive(Debug, Clone, Copy)]
pub struct MiniScrewLine<'a> {
    pub statement: StatementRef<'a>,
    pub between: BetweenPart<'a>,
}

impl<'a> MiniScrewLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::MiniScrew)?;
        Some(Self { statement, between: found.part()? })
    }
}

/// `follow NAME:sequence [from NAME:step]`
#[derive(Debug, Clone, Copy)]
pub struct FollowLine<'a> {
    pub statement: StatementRef<'a>,
    pub sequence: NameField<'a>,
    pub step: Option<NameField<'a>>,
}

impl<'a> FollowLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Follow)?;
        Some(Self { statement, sequence: found.field("sequence")?, step: found.field("step") })
    }
}

/// `drafted DATE`
#[derive(Debug, Clone, Copy)]
pub struct DraftedLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
}

impl<'a> DraftedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Drafted)?;
        Some(Self { statement, date: found.field("date")? })
    }
}

/// `step NAME:step! [as (align | level | work | finish)] [(after NAME:step | before NAME:step)], @clauses`
#[derive(Debug, Clone, Copy)]
pub struct StepLine<'a> {
    pub statement: StatementRef<'a>,
    pub step: NameField<'a>,
    pub step_kind: Option<StepKindWord>,
    pub step_position: Option<StepPositionPart<'a>>,
    pub clauses: PartList<'a, ClausePart<'a>>,
}

impl<'a> StepLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Step)?;
        Some(Self {
            statement,
            step: found.field("step")?,
            step_kind: found.word(),
            step_position: found.choice(),
            clauses: found.list("clauses").parts(),
        })
    }
}

/// `change NAME:step, @clauses`
#[derive(Debug, Clone, Copy)]
pub struct ChangeLine<'a> {
    pub statement: StatementRef<'a>,
    pub step: NameField<'a>,
    pub clauses: PartList<'a, ClausePart<'a>>,
}

impl<'a> ChangeLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Change)?;
        Some(Self { statement, step: found.field("step")?, clauses: found.list("clauses").parts() })
    }
}

/// `skip NAME:step {+, NAME:step}`
#[derive(Debug, Clone, Copy)]
pub struct SkipLine<'a> {
    pub statement: StatementRef<'a>,
    pub steps: FieldList<'a, kind::Name>,
}

impl<'a> SkipLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Skip)?;
        Some(Self { statement, steps: found.fields("step") })
    }
}

/// `bypass TEETH [unbonded] [until @condition]`
#[derive(Debug, Clone, Copy)]
pub struct BypassLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub unbonded: bool,
    pub condition: Option<ConditionPart<'a>>,
}

impl<'a> BypassLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Bypass)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            unbonded: found.says("unbonded"),
            condition: found.part(),
        })
    }
}

/// `engage TEETH [(mesial-wing | distal-wing)]`
#[derive(Debug, Clone, Copy)]
pub struct EngageLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub wing: Option<WingWord>,
}

impl<'a> EngageLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Engage)?;
        Some(Self { statement, teeth: found.field("teeth")?, wing: found.word() })
    }
}

/// `pick-up TEETH with NAME:bracket [(inverted | NAME:variant)]`
#[derive(Debug, Clone, Copy)]
pub struct PickUpLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub bracket: NameField<'a>,
    pub mounting: Option<MountingPart<'a>>,
}

impl<'a> PickUpLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::PickUp)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            bracket: found.field("bracket")?,
            mounting: found.choice(),
        })
    }
}

/// `rebond TEETH [with NAME:bracket]`
#[derive(Debug, Clone, Copy)]
pub struct RebondLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub bracket: Option<NameField<'a>>,
}

impl<'a> RebondLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Rebond)?;
        Some(Self { statement, teeth: found.field("teeth")?, bracket: found.field("bracket") })
    }
}

/// `reposition TEETH [@stands]`
#[derive(Debug, Clone, Copy)]
pub struct RepositionLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub stands: PartList<'a, StandPart<'a>>,
}

impl<'a> RepositionLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Reposition)?;
        Some(Self { statement, teeth: found.field("teeth")?, stands: found.list("stands").parts() })
    }
}

/// `piggyback NAME:wire in TEETH:in [, over TEETH:over]`
#[derive(Debug, Clone, Copy)]
pub struct PiggybackLine<'a> {
    pub statement: StatementRef<'a>,
    pub wire: NameField<'a>,
    pub in_teeth: TeethField<'a>,
    pub over: Option<TeethField<'a>>,
}

impl<'a> PiggybackLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Piggyback)?;
        Some(Self {
            statement,
            wire: found.field("wire")?,
            in_teeth: found.field("in")?,
            over: found.field("over"),
        })
    }
}

/// `traction TEETH by (chain | gold-chain | elastic-thread) to @traction-anchor [, force FORCE] [, first (mesial | distal | labial | lingual | gingival | occlusal)] [until @condition]`
#[derive(Debug, Clone, Copy)]
pub struct TractionLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub traction_by: TractionByWord,
    pub traction_anchor: TractionAnchorPart<'a>,
    pub force: Option<ForceField<'a>>,
    pub traction_first: Option<TractionFirstWord>,
    pub condition: Option<ConditionPart<'a>>,
}

impl<'a> TractionLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Traction)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            traction_by: found.word()?,
            traction_anchor: found.part()?,
            force: found.field("force"),
            traction_first: found.word(),
            condition: found.part(),
        })
    }
}

/// `open-coil @between [with NAME:coil] {, (force FORCE | activated LENGTH [each visit] | passive)}`
#[derive(Debug, Clone, Copy)]
pub struct OpenCoilLine<'a> {
    pub statement: StatementRef<'a>,
    pub between: BetweenPart<'a>,
    pub coil: Option<NameField<'a>>,
    pub activations: ChoiceList<'a, ActivationPart<'a>>,
}

impl<'a> OpenCoilLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::OpenCoil)?;
        Some(Self {
            statement,
            between: found.part()?,
            coil: found.field("coil"),
            activations: found.choices(),
        })
    }
}

/// `passive-coil @between [with NAME:coil] [, hold LENGTH]`
#[derive(Debug, Clone, Copy)]
pub struct PassiveCoilLine<'a> {
    pub statement: StatementRef<'a>,
    pub between: BetweenPart<'a>,
    pub coil: Option<NameField<'a>>,
    pub length: Option<LengthField<'a>>,
}

impl<'a> PassiveCoilLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::PassiveCoil)?;
        Some(Self {
            statement,
            between: found.part()?,
            coil: found.field("coil"),
            length: found.field("length"),
        })
    }
}

/// `closing-spring @pull {+, @pull} [with NAME:coil] [, force FORCE]`
#[derive(Debug, Clone, Copy)]
pub struct ClosingSpringLine<'a> {
    pub statement: StatementRef<'a>,
    pub pulls: PartList<'a, PullPart<'a>>,
    pub coil: Option<NameField<'a>>,
    pub force: Option<ForceField<'a>>,
}

impl<'a> ClosingSpringLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ClosingSpring)?;
        Some(Self {
            statement,
            pulls: found.parts(),
            coil: found.field("coil"),
            force: found.field("force"),
        })
    }
}

/// `chain TEETH [with NAME:chain] [, force FORCE]`
#[derive(Debug, Clone, Copy)]
pub struct StepChainLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub chain: Option<NameField<'a>>,
    pub force: Option<ForceField<'a>>,
}

impl<'a> StepChainLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::StepChain)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            chain: found.field("chain"),
            force: found.field("force"),
        })
    }
}

/// `tie TEETH [figure-eight]`
#[derive(Debug, Clone, Copy)]
pub struct TieLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub figure_eight: bool,
}

impl<'a> TieLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Tie)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            figure_eight: found.says("figure-eight"),
        })
    }
}

/// `laceback TOOTH to TOOTH {+, TOOTH to TOOTH}`
#[derive(Debug, Clone, Copy)]
pub struct LacebackLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: FieldList<'a, kind::Tooth>,
}

impl<'a> LacebackLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Laceback)?;
        Some(Self { statement, teeth: found.fields("tooth") })
    }
}

/// `sleeve @between {+, @between}`
#[derive(Debug, Clone, Copy)]
pub struct SleeveLine<'a> {
    pub statement: StatementRef<'a>,
    pub stretches: PartList<'a, BetweenPart<'a>>,
}

impl<'a> SleeveLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Sleeve)?;
        Some(Self { statement, stretches: found.parts() })
    }
}

/// `bite-raisers TEETH [until @condition]`
#[derive(Debug, Clone, Copy)]
pub struct BiteRaisersLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub condition: Option<ConditionPart<'a>>,
}

impl<'a> BiteRaisersLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::BiteRaisers)?;
        Some(Self { statement, teeth: found.field("teeth")?, condition: found.part() })
    }
}

/// `ipr LENGTH [each] @between`
#[derive(Debug, Clone, Copy)]
pub struct IprLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
    pub each: bool,
    pub between: BetweenPart<'a>,
}

impl<'a> IprLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Ipr)?;
        Some(Self {
            statement,
            length: found.field("length")?,
            each: found.says("each"),
            between: found.part()?,
        })
    }
}

/// `stop @place {+, @place}`
#[derive(Debug, Clone, Copy)]
pub struct StepStopLine<'a> {
    pub statement: StatementRef<'a>,
    pub places: PartList<'a, PlacePart<'a>>,
}

impl<'a> StepStopLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::StepStop)?;
        Some(Self { statement, places: found.parts() })
    }
}

/// `post @place {+, @place}`
#[derive(Debug, Clone, Copy)]
pub struct PostLine<'a> {
    pub statement: StatementRef<'a>,
    pub places: PartList<'a, PlacePart<'a>>,
}

impl<'a> PostLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Post)?;
        Some(Self { statement, places: found.parts() })
    }
}

/// `power-arm TEETH LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct PowerArmLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub length: LengthField<'a>,
}

impl<'a> PowerArmLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::PowerArm)?;
        Some(Self { statement, teeth: found.field("teeth")?, length: found.field("length")? })
    }
}

/// `reverse-curve LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct ReverseCurveLine<'a> {
    pub statement: StatementRef<'a>,
    pub length: LengthField<'a>,
}

impl<'a> ReverseCurveLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::ReverseCurve)?;
        Some(Self { statement, length: found.field("length")? })
    }
}

/// `bend TEETH @stands`
#[derive(Debug, Clone, Copy)]
pub struct BendLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub stands: PartList<'a, StandPart<'a>>,
}

impl<'a> BendLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Bend)?;
        Some(Self { statement, teeth: found.field("teeth")?, stands: found.list("stands").parts() })
    }
}

/// `torque TEETH ANGLE @crown`
#[derive(Debug, Clone, Copy)]
pub struct StepTorqueLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub angle: AngleField<'a>,
    pub crown: CrownWord,
}

impl<'a> StepTorqueLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::StepTorque)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            angle: found.field("angle")?,
            crown: found.part()?,
        })
    }
}

/// `coordinated`
#[derive(Debug, Clone, Copy)]
pub struct CoordinatedLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> CoordinatedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Coordinated)?;
        Some(Self { statement })
    }
}

/// `trim TEETH`
#[derive(Debug, Clone, Copy)]
pub struct TrimLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> TrimLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Trim)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `halt-if (overjet | reverse-overjet | overbite) (under | over) LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct HaltIfLine<'a> {
    pub statement: StatementRef<'a>,
    pub measure: MeasureWord,
    pub bound: BoundWord,
    pub length: LengthField<'a>,
}

impl<'a> HaltIfLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::HaltIf)?;
        Some(Self {
            statement,
            measure: found.word()?,
            bound: found.word()?,
            length: found.field("length")?,
        })
    }
}

/// `no (wire | bypass | engage | traction | open-coil | passive-coil | closing-spring | chain | tie | laceback | sleeve | bite-raisers | ipr | stop | post | reverse-curve | bend | torque) [TEETH]`
#[derive(Debug, Clone, Copy)]
pub struct NoLine<'a> {
    pub statement: StatementRef<'a>,
    pub removable: RemovableWord,
    pub teeth: Option<TeethField<'a>>,
}

impl<'a> NoLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::No)?;
        Some(Self { statement, removable: found.word()?, teeth: found.field("teeth") })
    }
}

/// `sectional TEETH`
#[derive(Debug, Clone, Copy)]
pub struct SectionalLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> SectionalLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Sectional)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `records (panoramic | photographs | scan) [on DATE]`
#[derive(Debug, Clone, Copy)]
pub struct RecordsLine<'a> {
    pub statement: StatementRef<'a>,
    pub record_kind: RecordKindWord,
    pub date: Option<DateField<'a>>,
}

impl<'a> RecordsLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Records)?;
        Some(Self { statement, record_kind: found.word()?, date: found.field("date") })
    }
}

/// `separators TEETH [on DATE]`
#[derive(Debug, Clone, Copy)]
pub struct SeparatorsLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub date: Option<DateField<'a>>,
}

impl<'a> SeparatorsLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Separators)?;
        Some(Self { statement, teeth: found.field("teeth")?, date: found.field("date") })
    }
}

/// `hold TEETH LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct HoldLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub length: LengthField<'a>,
}

impl<'a> HoldLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Hold)?;
        Some(Self { statement, teeth: found.field("teeth")?, length: found.field("length")? })
    }
}

/// `seen DATE [by NAME:person] [as (bond-up | wire-change | review | repair | emergency | debond | retainer-check)]`
#[derive(Debug, Clone, Copy)]
pub struct SeenLine<'a> {
    pub statement: StatementRef<'a>,
    pub date: DateField<'a>,
    pub person: Option<NameField<'a>>,
    pub visit_task: Option<VisitTaskWord>,
}

impl<'a> SeenLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Seen)?;
        Some(Self {
            statement,
            date: found.field("date")?,
            person: found.field("person"),
            visit_task: found.word(),
        })
    }
}

/// `(upper | lower) (@found [, @done] | @done | @midline)`
#[derive(Debug, Clone, Copy)]
pub struct SeenArchLine<'a> {
    pub statement: StatementRef<'a>,
    pub arch: ArchWord,
    pub found: Option<FoundPart<'a>>,
    pub done: Option<DonePart<'a>>,
    pub midline: Option<MidlinePart<'a>>,
}

impl<'a> SeenArchLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::SeenArch)?;
        Some(Self {
            statement,
            arch: found.word()?,
            found: found.part(),
            done: found.part(),
            midline: found.part(),
        })
    }
}

/// `done as-planned`
#[derive(Debug, Clone, Copy)]
pub struct DoneLine<'a> {
    pub statement: StatementRef<'a>,
}

impl<'a> DoneLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        MatchScope::in_statement(statement, StatementKind::Done)?;
        Some(Self { statement })
    }
}

/// `tooth TEETH @positions`
#[derive(Debug, Clone, Copy)]
pub struct SeenToothLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub positions: PartList<'a, PositionPart<'a>>,
}

impl<'a> SeenToothLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::SeenTooth)?;
        Some(Self {
            statement,
            teeth: found.field("teeth")?,
            positions: found.list("positions").parts(),
        })
    }
}

/// `loose TEETH`
#[derive(Debug, Clone, Copy)]
pub struct LooseLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> LooseLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Loose)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `lost stop @place {+, @place}`
#[derive(Debug, Clone, Copy)]
pub struct LostLine<'a> {
    pub statement: StatementRef<'a>,
    pub places: PartList<'a, PlacePart<'a>>,
}

impl<'a> LostLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Lost)?;
        Some(Self { statement, places: found.parts() })
    }
}

/// `out TEETH`
#[derive(Debug, Clone, Copy)]
pub struct OutLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> OutLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Out)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `poking TEETH`
#[derive(Debug, Clone, Copy)]
pub struct PokingLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> PokingLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Poking)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `slide-open TEETH`
#[derive(Debug, Clone, Copy)]
pub struct SlideOpenLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> SlideOpenLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::SlideOpen)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `pain COUNT:score of COUNT:scale`
#[derive(Debug, Clone, Copy)]
pub struct PainLine<'a> {
    pub statement: StatementRef<'a>,
    pub score: CountField<'a>,
    pub scale: CountField<'a>,
}

impl<'a> PainLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Pain)?;
        Some(Self { statement, score: found.field("score")?, scale: found.field("scale")? })
    }
}

/// `wear (@worn {+, @worn})`
#[derive(Debug, Clone, Copy)]
pub struct WearLine<'a> {
    pub statement: StatementRef<'a>,
    pub told: PartList<'a, WornPart<'a>>,
}

impl<'a> WearLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Wear)?;
        Some(Self { statement, told: found.parts() })
    }
}

/// `hygiene (good | fair | poor)`
#[derive(Debug, Clone, Copy)]
pub struct HygieneLine<'a> {
    pub statement: StatementRef<'a>,
    pub hygiene: HygieneWord,
}

impl<'a> HygieneLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Hygiene)?;
        Some(Self { statement, hygiene: found.word()? })
    }
}

/// `expanded TEETH LENGTH`
#[derive(Debug, Clone, Copy)]
pub struct ExpandedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
    pub length: LengthField<'a>,
}

impl<'a> ExpandedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Expanded)?;
        Some(Self { statement, teeth: found.field("teeth")?, length: found.field("length")? })
    }
}

/// `bite-raisers-off TEETH`
#[derive(Debug, Clone, Copy)]
pub struct BiteRaisersOffLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> BiteRaisersOffLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::BiteRaisersOff)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `crossbite-corrected TEETH`
#[derive(Debug, Clone, Copy)]
pub struct SeenCrossbiteCorrectedLine<'a> {
    pub statement: StatementRef<'a>,
    pub teeth: TeethField<'a>,
}

impl<'a> SeenCrossbiteCorrectedLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::SeenCrossbiteCorrected)?;
        Some(Self { statement, teeth: found.field("teeth")? })
    }
}

/// `accept RULE [on TEETH] [up to ANY:figure] [until (DATE | NAME:step)] because STRING by NAME:person`
#[derive(Debug, Clone, Copy)]
pub struct AcceptLine<'a> {
    pub statement: StatementRef<'a>,
    pub rule: RuleField<'a>,
    pub teeth: Option<TeethField<'a>>,
    pub figure: Option<AnyField<'a>>,
    pub expiry: Option<ExpiryPart<'a>>,
    pub text: TextField<'a>,
    pub person: NameField<'a>,
}

impl<'a> AcceptLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Accept)?;
        Some(Self {
            statement,
            rule: found.field("rule")?,
            teeth: found.field("teeth"),
            figure: found.field("figure"),
            expiry: found.choice(),
            text: found.field("text")?,
            person: found.field("person")?,
        })
    }
}

/// `note STRING`
#[derive(Debug, Clone, Copy)]
pub struct NoteLine<'a> {
    pub statement: StatementRef<'a>,
    pub text: TextField<'a>,
}

impl<'a> NoteLine<'a> {
    /// `None` where it is another statement or could not be read.
    pub fn cast(statement: StatementRef<'a>) -> Option<Self> {
        let found = MatchScope::in_statement(statement, StatementKind::Note)?;
        Some(Self { statement, text: found.field("text")? })
    }
}

/// `(class-1 | class-2 | class-3) [LENGTH:by]`
#[derive(Debug, Clone, Copy)]
pub struct ClassPart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub bite_class: BiteClassWord,
    pub by: Option<LengthField<'a>>,
}

impl<'a> ReadFragment<'a> for ClassPart<'a> {
    const NAME: &'static str = "class";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self {
            fragment: found.group(Self::NAME),
            bite_class: found.word()?,
            by: found.field("by"),
        })
    }
}

/// `(right @class | left @class | @class)`
#[derive(Debug, Clone, Copy)]
pub enum SidedClassPart<'a> {
    Right(ClassPart<'a>),
    Left(ClassPart<'a>),
    Class(ClassPart<'a>),
}

impl<'a> ReadFragment<'a> for SidedClassPart<'a> {
    const NAME: &'static str = "sided-class";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("right") => Self::Right(found.part()?),
            Lead::Word("left") => Self::Left(found.part()?),
            Lead::Fragment("class") => Self::Class(found.part()?),
            _ => return None,
        })
    }
}

/// `(crown-labial | crown-lingual | root-labial | root-lingual)`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CrownWord {
    CrownLabial,
    CrownLingual,
    RootLabial,
    RootLingual,
}

impl CrownWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::CrownLabial => "crown-labial",
            Self::CrownLingual => "crown-lingual",
            Self::RootLabial => "root-labial",
            Self::RootLingual => "root-lingual",
        }
    }
}

impl ReadWord for CrownWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "crown-labial" => Self::CrownLabial,
            "crown-lingual" => Self::CrownLingual,
            "root-labial" => Self::RootLabial,
            "root-lingual" => Self::RootLingual,
            _ => return None,
        })
    }
}

impl<'a> ReadFragment<'a> for CrownWord {
    const NAME: &'static str = "crown";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        found.word()
    }
}

/// `(labial LENGTH | lingual LENGTH | gingival LENGTH | occlusal LENGTH | rotated ANGLE (mesial-in | mesial-out) | tipped ANGLE (mesial | distal) | torque ANGLE @crown | width LENGTH | space LENGTH)`
#[derive(Debug, Clone, Copy)]
pub enum StandPart<'a> {
    Labial(LengthField<'a>),
    Lingual(LengthField<'a>),
    Gingival(LengthField<'a>),
    Occlusal(LengthField<'a>),
    Rotated { angle: AngleField<'a>, turn: TurnWord },
    Tipped { angle: AngleField<'a>, along: AlongWord },
    Torque { angle: AngleField<'a>, crown: CrownWord },
    Width(LengthField<'a>),
    Space(LengthField<'a>),
}

impl<'a> ReadFragment<'a> for StandPart<'a> {
    const NAME: &'static str = "stand";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("labial") => Self::Labial(found.field("length")?),
            Lead::Word("lingual") => Self::Lingual(found.field("length")?),
            Lead::Word("gingival") => Self::Gingival(found.field("length")?),
            Lead::Word("occlusal") => Self::Occlusal(found.field("length")?),
            Lead::Word("rotated") => {
                Self::Rotated { angle: found.field("angle")?, turn: found.word()? }
            }
            Lead::Word("tipped") => {
                Self::Tipped { angle: found.field("angle")?, along: found.word()? }
            }
            Lead::Word("torque") => {
                Self::Torque { angle: found.field("angle")?, crown: found.part()? }
            }
            Lead::Word("width") => Self::Width(found.field("length")?),
            Lead::Word("space") => Self::Space(found.field("length")?),
            _ => return None,
        })
    }
}

/// `((slightly | clearly | fully) (labial | lingual | gingival | occlusal) | rotated (slightly | half | across) (mesial-in | mesial-out))`
#[derive(Debug, Clone, Copy)]
pub enum GradedPart {
    Grade { grade: GradeWord, direction: DirectionWord },
    Rotated { turn_grade: TurnGradeWord, turn: TurnWord },
}

impl<'a> ReadFragment<'a> for GradedPart {
    const NAME: &'static str = "graded";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("slightly") | Lead::Word("clearly") | Lead::Word("fully") => {
                Self::Grade { grade: found.word()?, direction: found.word()? }
            }
            Lead::Word("rotated") => {
                Self::Rotated { turn_grade: found.word()?, turn: found.word()? }
            }
            _ => return None,
        })
    }
}

/// `(@stand | @graded)`
#[derive(Debug, Clone, Copy)]
pub enum PositionPart<'a> {
    Stand(StandPart<'a>),
    Graded(GradedPart),
}

impl<'a> ReadFragment<'a> for PositionPart<'a> {
    const NAME: &'static str = "position";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Fragment("stand") => Self::Stand(found.part()?),
            Lead::Fragment("graded") => Self::Graded(found.part()?),
            _ => return None,
        })
    }
}

/// `(mesial | distal) of TOOTH`
#[derive(Debug, Clone, Copy)]
pub struct PlacePart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub along: AlongWord,
    pub tooth: ToothField<'a>,
}

impl<'a> ReadFragment<'a> for PlacePart<'a> {
    const NAME: &'static str = "place";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self {
            fragment: found.group(Self::NAME),
            along: found.word()?,
            tooth: found.field("tooth")?,
        })
    }
}

/// `between TOOTH:first and TOOTH:second`
#[derive(Debug, Clone, Copy)]
pub struct BetweenPart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub first: ToothField<'a>,
    pub second: ToothField<'a>,
}

impl<'a> ReadFragment<'a> for BetweenPart<'a> {
    const NAME: &'static str = "between";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self {
            fragment: found.group(Self::NAME),
            first: found.field("first")?,
            second: found.field("second")?,
        })
    }
}

/// `midline (on (face | upper | lower) | LENGTH to (patient-right | patient-left) of (face | upper | lower))`
#[derive(Debug, Clone, Copy)]
pub struct MidlinePart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub midline_reference: MidlineReferenceWord,
    pub length: Option<LengthField<'a>>,
    pub patient_side: Option<PatientSideWord>,
}

impl<'a> ReadFragment<'a> for MidlinePart<'a> {
    const NAME: &'static str = "midline";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self {
            fragment: found.group(Self::NAME),
            midline_reference: found.word()?,
            length: found.field("length"),
            patient_side: found.word(),
        })
    }
}

/// `(post TOOTH | screw TOOTH | TOOTH)`
#[derive(Debug, Clone, Copy)]
pub enum AnchorPart<'a> {
    Post(ToothField<'a>),
    Screw(ToothField<'a>),
    Tooth(ToothField<'a>),
}

impl<'a> ReadFragment<'a> for AnchorPart<'a> {
    const NAME: &'static str = "anchor";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("post") => Self::Post(found.field("tooth")?),
            Lead::Word("screw") => Self::Screw(found.field("tooth")?),
            Lead::Field("tooth") => Self::Tooth(found.field("tooth")?),
            _ => return None,
        })
    }
}

/// `(wire | palatal-arch | screw TOOTH | TOOTH)`
#[derive(Debug, Clone, Copy)]
pub enum TractionAnchorPart<'a> {
    Wire,
    PalatalArch,
    Screw(ToothField<'a>),
    Tooth(ToothField<'a>),
}

impl<'a> ReadFragment<'a> for TractionAnchorPart<'a> {
    const NAME: &'static str = "traction-anchor";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("wire") => Self::Wire,
            Lead::Word("palatal-arch") => Self::PalatalArch,
            Lead::Word("screw") => Self::Screw(found.field("tooth")?),
            Lead::Field("tooth") => Self::Tooth(found.field("tooth")?),
            _ => return None,
        })
    }
}

/// `(anterior PERCENT | overall PERCENT)`
#[derive(Debug, Clone, Copy)]
pub enum RatioPart<'a> {
    Anterior(PercentField<'a>),
    Overall(PercentField<'a>),
}

impl<'a> ReadFragment<'a> for RatioPart<'a> {
    const NAME: &'static str = "ratio";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("anterior") => Self::Anterior(found.field("percent")?),
            Lead::Word("overall") => Self::Overall(found.field("percent")?),
            _ => return None,
        })
    }
}

/// `@anchor to @anchor`
#[derive(Debug, Clone, Copy)]
pub struct PullPart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub anchors: PartList<'a, AnchorPart<'a>>,
}

impl<'a> ReadFragment<'a> for PullPart<'a> {
    const NAME: &'static str = "pull";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self { fragment: found.group(Self::NAME), anchors: found.parts() })
    }
}

/// `TOOTH to TOOTH [to TOOTH] [to TOOTH]`
#[derive(Debug, Clone, Copy)]
pub struct BandPairPart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub teeth: FieldList<'a, kind::Tooth>,
}

impl<'a> ReadFragment<'a> for BandPairPart<'a> {
    const NAME: &'static str = "band-pair";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self { fragment: found.group(Self::NAME), teeth: found.fields("tooth") })
    }
}

/// `(passive | doctor-decides | expressed | TIME | space LENGTH [at TEETH] | gap LENGTH @between | overjet LENGTH | reverse-overjet LENGTH | overbite LENGTH | (upper | lower) @midline | crossbite-corrected TEETH | within LENGTH at TEETH)`
#[derive(Debug, Clone, Copy)]
pub enum TermPart<'a> {
    Passive,
    DoctorDecides,
    Expressed,
    Time(TimeField<'a>),
    Space { length: LengthField<'a>, teeth: Option<TeethField<'a>> },
    Gap { length: LengthField<'a>, between: BetweenPart<'a> },
    Overjet(LengthField<'a>),
    ReverseOverjet(LengthField<'a>),
    Overbite(LengthField<'a>),
    Arch { arch: ArchWord, midline: MidlinePart<'a> },
    CrossbiteCorrected(TeethField<'a>),
    Within { length: LengthField<'a>, teeth: TeethField<'a> },
}

impl<'a> ReadFragment<'a> for TermPart<'a> {
    const NAME: &'static str = "term";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("passive") => Self::Passive,
            Lead::Word("doctor-decides") => Self::DoctorDecides,
            Lead::Word("expressed") => Self::Expressed,
            Lead::Field("time") => Self::Time(found.field("time")?),
            Lead::Word("space") => {
                Self::Space { length: found.field("length")?, teeth: found.field("teeth") }
            }
            Lead::Word("gap") => {
                Self::Gap { length: found.field("length")?, between: found.part()? }
            }
            Lead::Word("overjet") => Self::Overjet(found.field("length")?),
            Lead::Word("reverse-overjet") => Self::ReverseOverjet(found.field("length")?),
            Lead::Word("overbite") => Self::Overbite(found.field("length")?),
            Lead::Word("upper") | Lead::Word("lower") => {
                Self::Arch { arch: found.word()?, midline: found.part()? }
            }
            Lead::Word("crossbite-corrected") => Self::CrossbiteCorrected(found.field("teeth")?),
            Lead::Word("within") => {
                Self::Within { length: found.field("length")?, teeth: found.field("teeth")? }
            }
            _ => return None,
        })
    }
}

/// `@term [({+ and @term} | {+ or @term})]`
#[derive(Debug, Clone, Copy)]
pub struct ConditionPart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub term: TermPart<'a>,
    pub further: Option<FurtherPart<'a>>,
}

impl<'a> ReadFragment<'a> for ConditionPart<'a> {
    const NAME: &'static str = "condition";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self {
            fragment: found.group(Self::NAME),
            term: found.part()?,
            further: found.choice(),
        })
    }
}

/// `(free | flush | turned-in | cinched) [slack LENGTH] [on (right | left)] [trimmed]`
#[derive(Debug, Clone, Copy)]
pub struct EndPart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub end_kind: EndKindWord,
    pub length: Option<LengthField<'a>>,
    pub side: Option<SideWord>,
    pub trimmed: bool,
}

impl<'a> ReadFragment<'a> for EndPart<'a> {
    const NAME: &'static str = "end";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self {
            fragment: found.group(Self::NAME),
            end_kind: found.word()?,
            length: found.field("length"),
            side: found.word(),
            trimmed: found.says("trimmed"),
        })
    }
}

/// `(wire (keep | NAME:wire [tandem NAME:wire]) | form NAME:form | ends @end {+, @end} | express TIME | until @condition | next (computed | TIMES | DATE))`
#[derive(Debug, Clone, Copy)]
pub enum ClausePart<'a> {
    Wire(WireUsePart<'a>),
    Form(NameField<'a>),
    Ends(PartList<'a, EndPart<'a>>),
    Express(TimeField<'a>),
    Until(ConditionPart<'a>),
    Next(NextVisitPart<'a>),
}

impl<'a> ReadFragment<'a> for ClausePart<'a> {
    const NAME: &'static str = "clause";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("wire") => Self::Wire(found.choice()?),
            Lead::Word("form") => Self::Form(found.field("form")?),
            Lead::Word("ends") => Self::Ends(found.parts()),
            Lead::Word("express") => Self::Express(found.field("time")?),
            Lead::Word("until") => Self::Until(found.part()?),
            Lead::Word("next") => Self::Next(found.choice()?),
            _ => return None,
        })
    }
}

/// `(edge LENGTH | strands COUNT | af TEMPERATURE | modulus STRESS | yield STRESS | tolerance LENGTH | loading-plateau STRESSES | unloading-plateau STRESSES | measured over LENGTH:span span | loading FORCE at LENGTH | unloading FORCE at LENGTH)`
#[derive(Debug, Clone, Copy)]
pub enum WireDetailPart<'a> {
    Edge(LengthField<'a>),
    Strands(CountField<'a>),
    Af(TemperatureField<'a>),
    Modulus(StressField<'a>),
    Yield(StressField<'a>),
    Tolerance(LengthField<'a>),
    LoadingPlateau(StressesField<'a>),
    UnloadingPlateau(StressesField<'a>),
    Measured(LengthField<'a>),
    Loading { force: ForceField<'a>, length: LengthField<'a> },
    Unloading { force: ForceField<'a>, length: LengthField<'a> },
}

impl<'a> ReadFragment<'a> for WireDetailPart<'a> {
    const NAME: &'static str = "wire-detail";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("edge") => Self::Edge(found.field("length")?),
            Lead::Word("strands") => Self::Strands(found.field("count")?),
            Lead::Word("af") => Self::Af(found.field("temperature")?),
            Lead::Word("modulus") => Self::Modulus(found.field("stress")?),
            Lead::Word("yield") => Self::Yield(found.field("stress")?),
            Lead::Word("tolerance") => Self::Tolerance(found.field("length")?),
            Lead::Word("loading-plateau") => Self::LoadingPlateau(found.field("stresses")?),
            Lead::Word("unloading-plateau") => Self::UnloadingPlateau(found.field("stresses")?),
            Lead::Word("measured") => Self::Measured(found.field("span")?),
            Lead::Word("loading") => {
                Self::Loading { force: found.field("force")?, length: found.field("length")? }
            }
            Lead::Word("unloading") => {
                Self::Unloading { force: found.field("force")?, length: found.field("length")? }
            }
            _ => return None,
        })
    }
}

/// `(force FORCE [at LENGTH:at] | stroke LENGTH | length LENGTH | lumen LENGTH)`
#[derive(Debug, Clone, Copy)]
pub enum CoilDetailPart<'a> {
    Force { force: ForceField<'a>, at: Option<LengthField<'a>> },
    Stroke(LengthField<'a>),
    Length(LengthField<'a>),
    Lumen(LengthField<'a>),
}

impl<'a> ReadFragment<'a> for CoilDetailPart<'a> {
    const NAME: &'static str = "coil-detail";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("force") => {
                Self::Force { force: found.field("force")?, at: found.field("at") }
            }
            Lead::Word("stroke") => Self::Stroke(found.field("length")?),
            Lead::Word("length") => Self::Length(found.field("length")?),
            Lead::Word("lumen") => Self::Lumen(found.field("length")?),
            _ => return None,
        })
    }
}

/// `(passive | nearly-passive | active | binds at TEETH | not-tested)`
#[derive(Debug, Clone, Copy)]
pub enum FoundPart<'a> {
    Passive,
    NearlyPassive,
    Active,
    Binds(TeethField<'a>),
    NotTested,
}

impl<'a> ReadFragment<'a> for FoundPart<'a> {
    const NAME: &'static str = "found";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("passive") => Self::Passive,
            Lead::Word("nearly-passive") => Self::NearlyPassive,
            Lead::Word("active") => Self::Active,
            Lead::Word("binds") => Self::Binds(found.field("teeth")?),
            Lead::Word("not-tested") => Self::NotTested,
            _ => return None,
        })
    }
}

/// `(right (good | partly | none) | left (good | partly | none) | good | partly | none | TIME)`
#[derive(Debug, Clone, Copy)]
pub enum WornPart<'a> {
    Right(WearWord),
    Left(WearWord),
    Good,
    Partly,
    None,
    Time(TimeField<'a>),
}

impl<'a> ReadFragment<'a> for WornPart<'a> {
    const NAME: &'static str = "worn";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("right") => Self::Right(found.word()?),
            Lead::Word("left") => Self::Left(found.word()?),
            Lead::Word("good") => Self::Good,
            Lead::Word("partly") => Self::Partly,
            Lead::Word("none") => Self::None,
            Lead::Field("time") => Self::Time(found.field("time")?),
            _ => return None,
        })
    }
}

/// `(size LENGTH | force FORCE)`
#[derive(Debug, Clone, Copy)]
pub enum ElasticDetailPart<'a> {
    Size(LengthField<'a>),
    Force(ForceField<'a>),
}

impl<'a> ReadFragment<'a> for ElasticDetailPart<'a> {
    const NAME: &'static str = "elastic-detail";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("size") => Self::Size(found.field("length")?),
            Lead::Word("force") => Self::Force(found.field("force")?),
            _ => return None,
        })
    }
}

/// `remaining PERCENT:left after TIME`
#[derive(Debug, Clone, Copy)]
pub struct ForceLeftPart<'a> {
    pub fragment: FragmentMatch<'a>,
    pub left: PercentField<'a>,
    pub time: TimeField<'a>,
}

impl<'a> ReadFragment<'a> for ForceLeftPart<'a> {
    const NAME: &'static str = "force-left";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(Self {
            fragment: found.group(Self::NAME),
            left: found.field("left")?,
            time: found.field("time")?,
        })
    }
}

/// `(length LENGTH | for (round | rectangular))`
#[derive(Debug, Clone, Copy)]
pub enum StopDetailPart<'a> {
    Length(LengthField<'a>),
    For(WireShapeWord),
}

impl<'a> ReadFragment<'a> for StopDetailPart<'a> {
    const NAME: &'static str = "stop-detail";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("length") => Self::Length(found.field("length")?),
            Lead::Word("for") => Self::For(found.word()?),
            _ => return None,
        })
    }
}

/// `(kept | same-wire | out | now NAME:step [with NAME:wire [tandem NAME:wire]])`
#[derive(Debug, Clone, Copy)]
pub enum DonePart<'a> {
    Kept,
    SameWire,
    Out,
    Now { step: NameField<'a>, wire: Option<NameField<'a>>, tandem: Option<NameField<'a>> },
}

impl<'a> ReadFragment<'a> for DonePart<'a> {
    const NAME: &'static str = "done";

    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("kept") => Self::Kept,
            Lead::Word("same-wire") => Self::SameWire,
            Lead::Word("out") => Self::Out,
            Lead::Word("now") => Self::Now {
                step: found.field("step")?,
                wire: found.field("wire"),
                tandem: found.second_field("wire"),
            },
            _ => return None,
        })
    }
}

/// `class-1 | class-2 | class-3`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BiteClassWord {
    Class1,
    Class2,
    Class3,
}

impl BiteClassWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Class1 => "class-1",
            Self::Class2 => "class-2",
            Self::Class3 => "class-3",
        }
    }
}

impl ReadWord for BiteClassWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "class-1" => Self::Class1,
            "class-2" => Self::Class2,
            "class-3" => Self::Class3,
            _ => return None,
        })
    }
}

/// `right | left`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SideWord {
    Right,
    Left,
}

impl SideWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

impl ReadWord for SideWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "right" => Self::Right,
            "left" => Self::Left,
            _ => return None,
        })
    }
}

/// `upper | lower`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ArchWord {
    Upper,
    Lower,
}

impl ArchWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Upper => "upper",
            Self::Lower => "lower",
        }
    }
}

impl ReadWord for ArchWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "upper" => Self::Upper,
            "lower" => Self::Lower,
            _ => return None,
        })
    }
}

/// `mesial-in | mesial-out`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TurnWord {
    MesialIn,
    MesialOut,
}

impl TurnWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::MesialIn => "mesial-in",
            Self::MesialOut => "mesial-out",
        }
    }
}

impl ReadWord for TurnWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "mesial-in" => Self::MesialIn,
            "mesial-out" => Self::MesialOut,
            _ => return None,
        })
    }
}

/// `mesial | distal`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AlongWord {
    Mesial,
    Distal,
}

impl AlongWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mesial => "mesial",
            Self::Distal => "distal",
        }
    }
}

impl ReadWord for AlongWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "mesial" => Self::Mesial,
            "distal" => Self::Distal,
            _ => return None,
        })
    }
}

/// `slightly | clearly | fully`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GradeWord {
    Slightly,
    Clearly,
    Fully,
}

impl GradeWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Slightly => "slightly",
            Self::Clearly => "clearly",
            Self::Fully => "fully",
        }
    }
}

impl ReadWord for GradeWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "slightly" => Self::Slightly,
            "clearly" => Self::Clearly,
            "fully" => Self::Fully,
            _ => return None,
        })
    }
}

/// `slightly | half | across`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TurnGradeWord {
    Slightly,
    Half,
    Across,
}

impl TurnGradeWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Slightly => "slightly",
            Self::Half => "half",
            Self::Across => "across",
        }
    }
}

impl ReadWord for TurnGradeWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "slightly" => Self::Slightly,
            "half" => Self::Half,
            "across" => Self::Across,
            _ => return None,
        })
    }
}

/// `labial | lingual | gingival | occlusal`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DirectionWord {
    Labial,
    Lingual,
    Gingival,
    Occlusal,
}

impl DirectionWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Labial => "labial",
            Self::Lingual => "lingual",
            Self::Gingival => "gingival",
            Self::Occlusal => "occlusal",
        }
    }
}

impl ReadWord for DirectionWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "labial" => Self::Labial,
            "lingual" => Self::Lingual,
            "gingival" => Self::Gingival,
            "occlusal" => Self::Occlusal,
            _ => return None,
        })
    }
}

/// `face | upper | lower`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MidlineReferenceWord {
    Face,
    Upper,
    Lower,
}

impl MidlineReferenceWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Face => "face",
            Self::Upper => "upper",
            Self::Lower => "lower",
        }
    }
}

impl ReadWord for MidlineReferenceWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "face" => Self::Face,
            "upper" => Self::Upper,
            "lower" => Self::Lower,
            _ => return None,
        })
    }
}

/// `patient-right | patient-left`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PatientSideWord {
    PatientRight,
    PatientLeft,
}

impl PatientSideWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::PatientRight => "patient-right",
            Self::PatientLeft => "patient-left",
        }
    }
}

impl ReadWord for PatientSideWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "patient-right" => Self::PatientRight,
            "patient-left" => Self::PatientLeft,
            _ => return None,
        })
    }
}

/// `{+ and @term} | {+ or @term}`
#[derive(Debug, Clone, Copy)]
pub enum FurtherPart<'a> {
    And(PartList<'a, TermPart<'a>>),
    Or(PartList<'a, TermPart<'a>>),
}

impl<'a> ReadChoice<'a> for FurtherPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("and") => Self::And(found.parts()),
            Lead::Word("or") => Self::Or(found.parts()),
            _ => return None,
        })
    }
}

/// `free | flush | turned-in | cinched`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EndKindWord {
    Free,
    Flush,
    TurnedIn,
    Cinched,
}

impl EndKindWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Flush => "flush",
            Self::TurnedIn => "turned-in",
            Self::Cinched => "cinched",
        }
    }
}

impl ReadWord for EndKindWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "free" => Self::Free,
            "flush" => Self::Flush,
            "turned-in" => Self::TurnedIn,
            "cinched" => Self::Cinched,
            _ => return None,
        })
    }
}

/// `keep | NAME:wire [tandem NAME:wire]`
#[derive(Debug, Clone, Copy)]
pub enum WireUsePart<'a> {
    Keep,
    Wire { wire: NameField<'a>, tandem: Option<NameField<'a>> },
}

impl<'a> ReadChoice<'a> for WireUsePart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("keep") => Self::Keep,
            Lead::Field("wire") => {
                Self::Wire { wire: found.field("wire")?, tandem: found.second_field("wire") }
            }
            _ => return None,
        })
    }
}

/// `computed | TIMES | DATE`
#[derive(Debug, Clone, Copy)]
pub enum NextVisitPart<'a> {
    Computed,
    Times(TimesField<'a>),
    Date(DateField<'a>),
}

impl<'a> ReadChoice<'a> for NextVisitPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("computed") => Self::Computed,
            Lead::Field("times") => Self::Times(found.field("times")?),
            Lead::Field("date") => Self::Date(found.field("date")?),
            _ => return None,
        })
    }
}

/// `good | partly | none`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WearWord {
    Good,
    Partly,
    None,
}

impl WearWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Partly => "partly",
            Self::None => "none",
        }
    }
}

impl ReadWord for WearWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "good" => Self::Good,
            "partly" => Self::Partly,
            "none" => Self::None,
            _ => return None,
        })
    }
}

/// `round | rectangular`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WireShapeWord {
    Round,
    Rectangular,
}

impl WireShapeWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Round => "round",
            Self::Rectangular => "rectangular",
        }
    }
}

impl ReadWord for WireShapeWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "round" => Self::Round,
            "rectangular" => Self::Rectangular,
            _ => return None,
        })
    }
}

/// `iso | quadrant | universal`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NotationWord {
    Iso,
    Quadrant,
    Universal,
}

impl NotationWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Iso => "iso",
            Self::Quadrant => "quadrant",
            Self::Universal => "universal",
        }
    }
}

impl ReadWord for NotationWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "iso" => Self::Iso,
            "quadrant" => Self::Quadrant,
            "universal" => Self::Universal,
            _ => return None,
        })
    }
}

/// `bond-up | wire-change | review | repair | emergency | reposition | coil | elastics | debond | retainer-check`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TaskWord {
    BondUp,
    WireChange,
    Review,
    Repair,
    Emergency,
    Reposition,
    Coil,
    Elastics,
    Debond,
    RetainerCheck,
}

impl TaskWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::BondUp => "bond-up",
            Self::WireChange => "wire-change",
            Self::Review => "review",
            Self::Repair => "repair",
            Self::Emergency => "emergency",
            Self::Reposition => "reposition",
            Self::Coil => "coil",
            Self::Elastics => "elastics",
            Self::Debond => "debond",
            Self::RetainerCheck => "retainer-check",
        }
    }
}

impl ReadWord for TaskWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "bond-up" => Self::BondUp,
            "wire-change" => Self::WireChange,
            "review" => Self::Review,
            "repair" => Self::Repair,
            "emergency" => Self::Emergency,
            "reposition" => Self::Reposition,
            "coil" => Self::Coil,
            "elastics" => Self::Elastics,
            "debond" => Self::Debond,
            "retainer-check" => Self::RetainerCheck,
            _ => return None,
        })
    }
}

/// `bench | sustained | sustained-ratio | delivered | peak | intrusion | extrusion | bodily | tipping | couple | torque | misfit | rotation | strain | deflection | coil | elastic | span | first-round | misfit-light | rotation-light | misfit-full | rotation-full | levelling | coil-wire | coil-light | takes-in | left-out | left-out-rotation`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LimitWord {
    Bench,
    Sustained,
    SustainedRatio,
    Delivered,
    Peak,
    Intrusion,
    Extrusion,
    Bodily,
    Tipping,
    Couple,
    Torque,
    Misfit,
    Rotation,
    Strain,
    Deflection,
    Coil,
    Elastic,
    Span,
    FirstRound,
    MisfitLight,
    RotationLight,
    MisfitFull,
    RotationFull,
    Levelling,
    CoilWire,
    CoilLight,
    TakesIn,
    LeftOut,
    LeftOutRotation,
}

impl LimitWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Bench => "bench",
            Self::Sustained => "sustained",
            Self::SustainedRatio => "sustained-ratio",
            Self::Delivered => "delivered",
            Self::Peak => "peak",
            Self::Intrusion => "intrusion",
            Self::Extrusion => "extrusion",
            Self::Bodily => "bodily",
            Self::Tipping => "tipping",
            Self::Couple => "couple",
            Self::Torque => "torque",
            Self::Misfit => "misfit",
            Self::Rotation => "rotation",
            Self::Strain => "strain",
            Self::Deflection => "deflection",
            Self::Coil => "coil",
            Self::Elastic => "elastic",
            Self::Span => "span",
            Self::FirstRound => "first-round",
            Self::MisfitLight => "misfit-light",
            Self::RotationLight => "rotation-light",
            Self::MisfitFull => "misfit-full",
            Self::RotationFull => "rotation-full",
            Self::Levelling => "levelling",
            Self::CoilWire => "coil-wire",
            Self::CoilLight => "coil-light",
            Self::TakesIn => "takes-in",
            Self::LeftOut => "left-out",
            Self::LeftOutRotation => "left-out-rotation",
        }
    }
}

impl ReadWord for LimitWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "bench" => Self::Bench,
            "sustained" => Self::Sustained,
            "sustained-ratio" => Self::SustainedRatio,
            "delivered" => Self::Delivered,
            "peak" => Self::Peak,
            "intrusion" => Self::Intrusion,
            "extrusion" => Self::Extrusion,
            "bodily" => Self::Bodily,
            "tipping" => Self::Tipping,
            "couple" => Self::Couple,
            "torque" => Self::Torque,
            "misfit" => Self::Misfit,
            "rotation" => Self::Rotation,
            "strain" => Self::Strain,
            "deflection" => Self::Deflection,
            "coil" => Self::Coil,
            "elastic" => Self::Elastic,
            "span" => Self::Span,
            "first-round" => Self::FirstRound,
            "misfit-light" => Self::MisfitLight,
            "rotation-light" => Self::RotationLight,
            "misfit-full" => Self::MisfitFull,
            "rotation-full" => Self::RotationFull,
            "levelling" => Self::Levelling,
            "coil-wire" => Self::CoilWire,
            "coil-light" => Self::CoilLight,
            "takes-in" => Self::TakesIn,
            "left-out" => Self::LeftOut,
            "left-out-rotation" => Self::LeftOutRotation,
            _ => return None,
        })
    }
}

/// `quarter-left | no-bend`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PassiveRuleWord {
    QuarterLeft,
    NoBend,
}

impl PassiveRuleWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::QuarterLeft => "quarter-left",
            Self::NoBend => "no-bend",
        }
    }
}

impl ReadWord for PassiveRuleWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "quarter-left" => Self::QuarterLeft,
            "no-bend" => Self::NoBend,
            _ => return None,
        })
    }
}

/// `forecast | rule-of-thumb`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BookingWord {
    Forecast,
    RuleOfThumb,
}

impl BookingWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Forecast => "forecast",
            Self::RuleOfThumb => "rule-of-thumb",
        }
    }
}

impl ReadWord for BookingWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "forecast" => Self::Forecast,
            "rule-of-thumb" => Self::RuleOfThumb,
            _ => return None,
        })
    }
}

/// `catenary LENGTH | circle LENGTH | width LENGTH:canine-width depth LENGTH:canine-depth , width LENGTH:molar-width depth LENGTH:molar-depth`
#[derive(Debug, Clone, Copy)]
pub enum CurvePart<'a> {
    Catenary(LengthField<'a>),
    Circle(LengthField<'a>),
    Width {
        canine_width: LengthField<'a>,
        canine_depth: LengthField<'a>,
        molar_width: LengthField<'a>,
        molar_depth: LengthField<'a>,
    },
}

impl<'a> ReadChoice<'a> for CurvePart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("catenary") => Self::Catenary(found.field("length")?),
            Lead::Word("circle") => Self::Circle(found.field("length")?),
            Lead::Word("width") => Self::Width {
                canine_width: found.field("canine-width")?,
                canine_depth: found.field("canine-depth")?,
                molar_width: found.field("molar-width")?,
                molar_depth: found.field("molar-depth")?,
            },
            _ => return None,
        })
    }
}

/// `steel | multistrand-steel | cobalt-chromium | beta-titanium | superelastic-niti | thermal-niti`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AlloyWord {
    Steel,
    MultistrandSteel,
    CobaltChromium,
    BetaTitanium,
    SuperelasticNiti,
    ThermalNiti,
}

impl AlloyWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Steel => "steel",
            Self::MultistrandSteel => "multistrand-steel",
            Self::CobaltChromium => "cobalt-chromium",
            Self::BetaTitanium => "beta-titanium",
            Self::SuperelasticNiti => "superelastic-niti",
            Self::ThermalNiti => "thermal-niti",
        }
    }
}

impl ReadWord for AlloyWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "steel" => Self::Steel,
            "multistrand-steel" => Self::MultistrandSteel,
            "cobalt-chromium" => Self::CobaltChromium,
            "beta-titanium" => Self::BetaTitanium,
            "superelastic-niti" => Self::SuperelasticNiti,
            "thermal-niti" => Self::ThermalNiti,
            _ => return None,
        })
    }
}

/// `steel | cobalt-chromium | niti | beta-titanium`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SlidingAlloyWord {
    Steel,
    CobaltChromium,
    Niti,
    BetaTitanium,
}

impl SlidingAlloyWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Steel => "steel",
            Self::CobaltChromium => "cobalt-chromium",
            Self::Niti => "niti",
            Self::BetaTitanium => "beta-titanium",
        }
    }
}

impl ReadWord for SlidingAlloyWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "steel" => Self::Steel,
            "cobalt-chromium" => Self::CobaltChromium,
            "niti" => Self::Niti,
            "beta-titanium" => Self::BetaTitanium,
            _ => return None,
        })
    }
}

/// `round LENGTH | square LENGTH | rect DIMS`
#[derive(Debug, Clone, Copy)]
pub enum SectionPart<'a> {
    Round(LengthField<'a>),
    Square(LengthField<'a>),
    Rect(DimsField<'a>),
}

impl<'a> ReadChoice<'a> for SectionPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("round") => Self::Round(found.field("length")?),
            Lead::Word("square") => Self::Square(found.field("length")?),
            Lead::Word("rect") => Self::Rect(found.field("dims")?),
            _ => return None,
        })
    }
}

/// `open | passive | closing-spring`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CoilKindWord {
    Open,
    Passive,
    ClosingSpring,
}

impl CoilKindWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Passive => "passive",
            Self::ClosingSpring => "closing-spring",
        }
    }
}

impl ReadWord for CoilKindWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "open" => Self::Open,
            "passive" => Self::Passive,
            "closing-spring" => Self::ClosingSpring,
            _ => return None,
        })
    }
}

/// `closed | short | long`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChainKindWord {
    Closed,
    Short,
    Long,
}

impl ChainKindWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Closed => "closed",
            Self::Short => "short",
            Self::Long => "long",
        }
    }
}

impl ReadWord for ChainKindWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "closed" => Self::Closed,
            "short" => Self::Short,
            "long" => Self::Long,
            _ => return None,
        })
    }
}

/// `staff | patient`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReaderWord {
    Staff,
    Patient,
}

impl ReaderWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Staff => "staff",
            Self::Patient => "patient",
        }
    }
}

impl ReadWord for ReaderWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "staff" => Self::Staff,
            "patient" => Self::Patient,
            _ => return None,
        })
    }
}

/// `practice | NAME:wire`
#[derive(Debug, Clone, Copy)]
pub enum LearnedOfPart<'a> {
    Practice,
    Wire(NameField<'a>),
}

impl<'a> ReadChoice<'a> for LearnedOfPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("practice") => Self::Practice,
            Lead::Field("wire") => Self::Wire(found.field("wire")?),
            _ => return None,
        })
    }
}

/// `scan | photograph | cast`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PointsSourceWord {
    Scan,
    Photograph,
    Cast,
}

impl PointsSourceWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Scan => "scan",
            Self::Photograph => "photograph",
            Self::Cast => "cast",
        }
    }
}

impl ReadWord for PointsSourceWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "scan" => Self::Scan,
            "photograph" => Self::Photograph,
            "cast" => Self::Cast,
            _ => return None,
        })
    }
}

/// `adult | growing`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GrowthWord {
    Adult,
    Growing,
}

impl GrowthWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Adult => "adult",
            Self::Growing => "growing",
        }
    }
}

impl ReadWord for GrowthWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "adult" => Self::Adult,
            "growing" => Self::Growing,
            _ => return None,
        })
    }
}

/// `none | planned`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExtractionWord {
    None,
    Planned,
}

impl ExtractionWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Planned => "planned",
        }
    }
}

impl ReadWord for ExtractionWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "none" => Self::None,
            "planned" => Self::Planned,
            _ => return None,
        })
    }
}

/// `forward | held`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum IncisorsWord {
    Forward,
    Held,
}

impl IncisorsWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Forward => "forward",
            Self::Held => "held",
        }
    }
}

impl ReadWord for IncisorsWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "forward" => Self::Forward,
            "held" => Self::Held,
            _ => return None,
        })
    }
}

/// `class-2 | class-3 | triangle | box | cross | diagonal | settling`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ElasticsKindWord {
    Class2,
    Class3,
    Triangle,
    Box,
    Cross,
    Diagonal,
    Settling,
}

impl ElasticsKindWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Class2 => "class-2",
            Self::Class3 => "class-3",
            Self::Triangle => "triangle",
            Self::Box => "box",
            Self::Cross => "cross",
            Self::Diagonal => "diagonal",
            Self::Settling => "settling",
        }
    }
}

impl ReadWord for ElasticsKindWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "class-2" => Self::Class2,
            "class-3" => Self::Class3,
            "triangle" => Self::Triangle,
            "box" => Self::Box,
            "cross" => Self::Cross,
            "diagonal" => Self::Diagonal,
            "settling" => Self::Settling,
            _ => return None,
        })
    }
}

/// `step NAME:step | @condition`
#[derive(Debug, Clone, Copy)]
pub enum ElasticsEndPart<'a> {
    Step(NameField<'a>),
    Condition(ConditionPart<'a>),
}

impl<'a> ReadChoice<'a> for ElasticsEndPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("step") => Self::Step(found.field("step")?),
            Lead::Fragment("condition") => Self::Condition(found.part()?),
            _ => return None,
        })
    }
}

/// `upper | lower | both`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RetainedWord {
    Upper,
    Lower,
    Both,
}

impl RetainedWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Upper => "upper",
            Self::Lower => "lower",
            Self::Both => "both",
        }
    }
}

impl ReadWord for RetainedWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "upper" => Self::Upper,
            "lower" => Self::Lower,
            "both" => Self::Both,
            _ => return None,
        })
    }
}

/// `inverted | NAME:variant`
#[derive(Debug, Clone, Copy)]
pub enum MountingPart<'a> {
    Inverted,
    Variant(NameField<'a>),
}

impl<'a> ReadChoice<'a> for MountingPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("inverted") => Self::Inverted,
            Lead::Field("variant") => Self::Variant(found.field("variant")?),
            _ => return None,
        })
    }
}

/// `labial | lingual`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SurfaceWord {
    Labial,
    Lingual,
}

impl SurfaceWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Labial => "labial",
            Self::Lingual => "lingual",
        }
    }
}

impl ReadWord for SurfaceWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "labial" => Self::Labial,
            "lingual" => Self::Lingual,
            _ => return None,
        })
    }
}

/// `open | closed`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExposureWord {
    Open,
    Closed,
}

impl ExposureWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Closed => "closed",
        }
    }
}

impl ReadWord for ExposureWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "open" => Self::Open,
            "closed" => Self::Closed,
            _ => return None,
        })
    }
}

/// `day | week`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EveryWord {
    Day,
    Week,
}

impl EveryWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Day => "day",
            Self::Week => "week",
        }
    }
}

impl ReadWord for EveryWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "day" => Self::Day,
            "week" => Self::Week,
            _ => return None,
        })
    }
}

/// `on | before`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WhenWord {
    On,
    Before,
}

impl WhenWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::On => "on",
            Self::Before => "before",
        }
    }
}

impl ReadWord for WhenWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "on" => Self::On,
            "before" => Self::Before,
            _ => return None,
        })
    }
}

/// `maximum | moderate | minimum`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AnchorageWord {
    Maximum,
    Moderate,
    Minimum,
}

impl AnchorageWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Maximum => "maximum",
            Self::Moderate => "moderate",
            Self::Minimum => "minimum",
        }
    }
}

impl ReadWord for AnchorageWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "maximum" => Self::Maximum,
            "moderate" => Self::Moderate,
            "minimum" => Self::Minimum,
            _ => return None,
        })
    }
}

/// `align | level | work | finish`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StepKindWord {
    Align,
    Level,
    Work,
    Finish,
}

impl StepKindWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Align => "align",
            Self::Level => "level",
            Self::Work => "work",
            Self::Finish => "finish",
        }
    }
}

impl ReadWord for StepKindWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "align" => Self::Align,
            "level" => Self::Level,
            "work" => Self::Work,
            "finish" => Self::Finish,
            _ => return None,
        })
    }
}

/// `after NAME:step | before NAME:step`
#[derive(Debug, Clone, Copy)]
pub enum StepPositionPart<'a> {
    After(NameField<'a>),
    Before(NameField<'a>),
}

impl<'a> ReadChoice<'a> for StepPositionPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("after") => Self::After(found.field("step")?),
            Lead::Word("before") => Self::Before(found.field("step")?),
            _ => return None,
        })
    }
}

/// `mesial-wing | distal-wing`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WingWord {
    MesialWing,
    DistalWing,
}

impl WingWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::MesialWing => "mesial-wing",
            Self::DistalWing => "distal-wing",
        }
    }
}

impl ReadWord for WingWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "mesial-wing" => Self::MesialWing,
            "distal-wing" => Self::DistalWing,
            _ => return None,
        })
    }
}

/// `chain | gold-chain | elastic-thread`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TractionByWord {
    Chain,
    GoldChain,
    ElasticThread,
}

impl TractionByWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Chain => "chain",
            Self::GoldChain => "gold-chain",
            Self::ElasticThread => "elastic-thread",
        }
    }
}

impl ReadWord for TractionByWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "chain" => Self::Chain,
            "gold-chain" => Self::GoldChain,
            "elastic-thread" => Self::ElasticThread,
            _ => return None,
        })
    }
}

/// `mesial | distal | labial | lingual | gingival | occlusal`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TractionFirstWord {
    Mesial,
    Distal,
    Labial,
    Lingual,
    Gingival,
    Occlusal,
}

impl TractionFirstWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mesial => "mesial",
            Self::Distal => "distal",
            Self::Labial => "labial",
            Self::Lingual => "lingual",
            Self::Gingival => "gingival",
            Self::Occlusal => "occlusal",
        }
    }
}

impl ReadWord for TractionFirstWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "mesial" => Self::Mesial,
            "distal" => Self::Distal,
            "labial" => Self::Labial,
            "lingual" => Self::Lingual,
            "gingival" => Self::Gingival,
            "occlusal" => Self::Occlusal,
            _ => return None,
        })
    }
}

/// `force FORCE | activated LENGTH [each visit] | passive`
#[derive(Debug, Clone, Copy)]
pub enum ActivationPart<'a> {
    Force(ForceField<'a>),
    Activated { length: LengthField<'a>, each: bool },
    Passive,
}

impl<'a> ReadChoice<'a> for ActivationPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Word("force") => Self::Force(found.field("force")?),
            Lead::Word("activated") => {
                Self::Activated { length: found.field("length")?, each: found.says("each") }
            }
            Lead::Word("passive") => Self::Passive,
            _ => return None,
        })
    }
}

/// `overjet | reverse-overjet | overbite`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeasureWord {
    Overjet,
    ReverseOverjet,
    Overbite,
}

impl MeasureWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Overjet => "overjet",
            Self::ReverseOverjet => "reverse-overjet",
            Self::Overbite => "overbite",
        }
    }
}

impl ReadWord for MeasureWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "overjet" => Self::Overjet,
            "reverse-overjet" => Self::ReverseOverjet,
            "overbite" => Self::Overbite,
            _ => return None,
        })
    }
}

/// `under | over`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BoundWord {
    Under,
    Over,
}

impl BoundWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Under => "under",
            Self::Over => "over",
        }
    }
}

impl ReadWord for BoundWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "under" => Self::Under,
            "over" => Self::Over,
            _ => return None,
        })
    }
}

/// `wire | bypass | engage | traction | open-coil | passive-coil | closing-spring | chain | tie | laceback | sleeve | bite-raisers | ipr | stop | post | reverse-curve | bend | torque`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RemovableWord {
    Wire,
    Bypass,
    Engage,
    Traction,
    OpenCoil,
    PassiveCoil,
    ClosingSpring,
    Chain,
    Tie,
    Laceback,
    Sleeve,
    BiteRaisers,
    Ipr,
    Stop,
    Post,
    ReverseCurve,
    Bend,
    Torque,
}

impl RemovableWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Wire => "wire",
            Self::Bypass => "bypass",
            Self::Engage => "engage",
            Self::Traction => "traction",
            Self::OpenCoil => "open-coil",
            Self::PassiveCoil => "passive-coil",
            Self::ClosingSpring => "closing-spring",
            Self::Chain => "chain",
            Self::Tie => "tie",
            Self::Laceback => "laceback",
            Self::Sleeve => "sleeve",
            Self::BiteRaisers => "bite-raisers",
            Self::Ipr => "ipr",
            Self::Stop => "stop",
            Self::Post => "post",
            Self::ReverseCurve => "reverse-curve",
            Self::Bend => "bend",
            Self::Torque => "torque",
        }
    }
}

impl ReadWord for RemovableWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "wire" => Self::Wire,
            "bypass" => Self::Bypass,
            "engage" => Self::Engage,
            "traction" => Self::Traction,
            "open-coil" => Self::OpenCoil,
            "passive-coil" => Self::PassiveCoil,
            "closing-spring" => Self::ClosingSpring,
            "chain" => Self::Chain,
            "tie" => Self::Tie,
            "laceback" => Self::Laceback,
            "sleeve" => Self::Sleeve,
            "bite-raisers" => Self::BiteRaisers,
            "ipr" => Self::Ipr,
            "stop" => Self::Stop,
            "post" => Self::Post,
            "reverse-curve" => Self::ReverseCurve,
            "bend" => Self::Bend,
            "torque" => Self::Torque,
            _ => return None,
        })
    }
}

/// `panoramic | photographs | scan`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RecordKindWord {
    Panoramic,
    Photographs,
    Scan,
}

impl RecordKindWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Panoramic => "panoramic",
            Self::Photographs => "photographs",
            Self::Scan => "scan",
        }
    }
}

impl ReadWord for RecordKindWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "panoramic" => Self::Panoramic,
            "photographs" => Self::Photographs,
            "scan" => Self::Scan,
            _ => return None,
        })
    }
}

/// `bond-up | wire-change | review | repair | emergency | debond | retainer-check`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum VisitTaskWord {
    BondUp,
    WireChange,
    Review,
    Repair,
    Emergency,
    Debond,
    RetainerCheck,
}

impl VisitTaskWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::BondUp => "bond-up",
            Self::WireChange => "wire-change",
            Self::Review => "review",
            Self::Repair => "repair",
            Self::Emergency => "emergency",
            Self::Debond => "debond",
            Self::RetainerCheck => "retainer-check",
        }
    }
}

impl ReadWord for VisitTaskWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "bond-up" => Self::BondUp,
            "wire-change" => Self::WireChange,
            "review" => Self::Review,
            "repair" => Self::Repair,
            "emergency" => Self::Emergency,
            "debond" => Self::Debond,
            "retainer-check" => Self::RetainerCheck,
            _ => return None,
        })
    }
}

/// `good | fair | poor`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HygieneWord {
    Good,
    Fair,
    Poor,
}

impl HygieneWord {
    /// As the formatter writes it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Fair => "fair",
            Self::Poor => "poor",
        }
    }
}

impl ReadWord for HygieneWord {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "good" => Self::Good,
            "fair" => Self::Fair,
            "poor" => Self::Poor,
            _ => return None,
        })
    }
}

/// `DATE | NAME:step`
#[derive(Debug, Clone, Copy)]
pub enum ExpiryPart<'a> {
    Date(DateField<'a>),
    Step(NameField<'a>),
}

impl<'a> ReadChoice<'a> for ExpiryPart<'a> {
    fn read(found: MatchScope<'a>) -> Option<Self> {
        Some(match found.lead()? {
            Lead::Field("date") => Self::Date(found.field("date")?),
            Lead::Field("step") => Self::Step(found.field("step")?),
            _ => return None,
        })
    }
}
