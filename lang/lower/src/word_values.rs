//! The model's values for the words of the vocabulary. Each choice is matched exhaustively: a word added
//! to the vocabulary does not compile until it has a meaning.

use springline_model::case::{Anchorage, BiteClass, ElasticsKind, Growth, Hygiene, Wear};
use springline_model::house::{BookOn, PassiveRule, SlidingAlloy, Task};
use springline_model::limits::Limit;
use springline_model::measured_block::PointsSource;
use springline_model::stand::{Grade, InOut, Turn, TurnGrade};
use springline_model::step::{BiteMeasure, EndKind, MidlineReference, StepKind, Wing};
use springline_model::stock::{Alloy, Along, ChainKind, CoilKind, CrownTurn};
use springline_model::traction::{TractionBy, TractionFirst};
use springline_syntax::ast::{
    AlloyWord, AlongWord, AnchorageWord, ArchWord, BiteClassWord, BookingWord, ChainKindWord,
    CoilKindWord, CrownWord, ElasticsKindWord, EndKindWord, GradeWord, GrowthWord, HygieneWord,
    LimitWord, MeasureWord, MidlineReferenceWord, NotationWord, PassiveRuleWord, PatientSideWord,
    PointsSourceWord, RetainedWord, SideWord, SlidingAlloyWord, StepKindWord, SurfaceWord,
    TaskWord, TractionByWord, TractionFirstWord, TurnGradeWord, TurnWord, VisitTaskWord, WearWord,
    WingWord,
};
use springline_units::tooth::{Arch, Notation, Side};

pub fn arch(word: ArchWord) -> Arch {
    match word {
        ArchWord::Upper => Arch::Upper,
        ArchWord::Lower => Arch::Lower,
    }
}

pub fn side(word: SideWord) -> Side {
    match word {
        SideWord::Right => Side::Right,
        SideWord::Left => Side::Left,
    }
}

pub fn patient_side(word: PatientSideWord) -> Side {
    match word {
        PatientSideWord::PatientRight => Side::Right,
        PatientSideWord::PatientLeft => Side::Left,
    }
}

pub fn midline_reference(word: MidlineReferenceWord) -> MidlineReference {
    match word {
        MidlineReferenceWord::Face => MidlineReference::Face,
        MidlineReferenceWord::Upper => MidlineReference::Upper,
        MidlineReferenceWord::Lower => MidlineReference::Lower,
    }
}

pub fn along(word: AlongWord) -> Along {
    match word {
        AlongWord::Mesial => Along::Mesial,
        AlongWord::Distal => Along::Distal,
    }
}

pub fn turn(word: TurnWord) -> Turn {
    match word {
        TurnWord::MesialIn => Turn::MesialIn,
        TurnWord::MesialOut => Turn::MesialOut,
    }
}

pub fn grade(word: GradeWord) -> Grade {
    match word {
        GradeWord::Slightly => Grade::Slightly,
        GradeWord::Clearly => Grade::Clearly,
        GradeWord::Fully => Grade::Fully,
    }
}

pub fn points_source(word: PointsSourceWord) -> PointsSource {
    match word {
        PointsSourceWord::Scan => PointsSource::Scan,
        PointsSourceWord::Photograph => PointsSource::Photograph,
        PointsSourceWord::Cast => PointsSource::Cast,
    }
}

pub fn turn_grade(word: TurnGradeWord) -> TurnGrade {
    match word {
        TurnGradeWord::Slightly => TurnGrade::Slightly,
        TurnGradeWord::Half => TurnGrade::Half,
        TurnGradeWord::Across => TurnGrade::Across,
    }
}

/// Root to the tongue is crown to the lip.
pub fn crown_turn(word: CrownWord) -> CrownTurn {
    match word {
        CrownWord::CrownLabial | CrownWord::RootLingual => CrownTurn::CrownLabial,
        CrownWord::CrownLingual | CrownWord::RootLabial => CrownTurn::CrownLingual,
    }
}

pub fn sliding_alloy(word: SlidingAlloyWord) -> SlidingAlloy {
    match word {
        SlidingAlloyWord::Steel => SlidingAlloy::Steel,
        SlidingAlloyWord::CobaltChromium => SlidingAlloy::CobaltChromium,
        SlidingAlloyWord::Niti => SlidingAlloy::Niti,
        SlidingAlloyWord::BetaTitanium => SlidingAlloy::BetaTitanium,
    }
}

pub fn surface(word: SurfaceWord) -> InOut {
    match word {
        SurfaceWord::Labial => InOut::Labial,
        SurfaceWord::Lingual => InOut::Lingual,
    }
}

pub fn wing(word: Option<WingWord>) -> Wing {
    match word {
        Some(WingWord::MesialWing) => Wing::Mesial,
        Some(WingWord::DistalWing) => Wing::Distal,
        None => Wing::Both,
    }
}

pub fn measure(word: MeasureWord) -> BiteMeasure {
    match word {
        MeasureWord::Overjet => BiteMeasure::Overjet,
        MeasureWord::ReverseOverjet => BiteMeasure::ReverseOverjet,
        MeasureWord::Overbite => BiteMeasure::Overbite,
    }
}

pub fn end_kind(word: EndKindWord) -> EndKind {
    match word {
        EndKindWord::Free => EndKind::Free,
        EndKindWord::Flush => EndKind::Flush,
        EndKindWord::TurnedIn => EndKind::TurnedIn,
        EndKindWord::Cinched => EndKind::Cinched,
    }
}

pub fn step_kind(word: StepKindWord) -> StepKind {
    match word {
        StepKindWord::Align => StepKind::Align,
        StepKindWord::Level => StepKind::Level,
        StepKindWord::Work => StepKind::Work,
        StepKindWord::Finish => StepKind::Finish,
    }
}

pub fn anchorage(word: AnchorageWord) -> Anchorage {
    match word {
        AnchorageWord::Maximum => Anchorage::Maximum,
        AnchorageWord::Moderate => Anchorage::Moderate,
        AnchorageWord::Minimum => Anchorage::Minimum,
    }
}

pub fn bite_class(word: BiteClassWord) -> BiteClass {
    match word {
        BiteClassWord::Class1 => BiteClass::Class1,
        BiteClassWord::Class2 => BiteClass::Class2,
        BiteClassWord::Class3 => BiteClass::Class3,
    }
}

pub fn elastics_kind(word: ElasticsKindWord) -> ElasticsKind {
    match word {
        ElasticsKindWord::Class2 => ElasticsKind::Class2,
        ElasticsKindWord::Class3 => ElasticsKind::Class3,
        ElasticsKindWord::Triangle => ElasticsKind::Triangle,
        ElasticsKindWord::Box => ElasticsKind::Box,
        ElasticsKindWord::Cross => ElasticsKind::Cross,
        ElasticsKindWord::Diagonal => ElasticsKind::Diagonal,
        ElasticsKindWord::Settling => ElasticsKind::Settling,
    }
}

pub fn growth(word: GrowthWord) -> Growth {
    match word {
        GrowthWord::Adult => Growth::Adult,
        GrowthWord::Growing => Growth::Growing,
    }
}

pub fn retained(word: RetainedWord) -> &'static [Arch] {
    match word {
        RetainedWord::Upper => &[Arch::Upper],
        RetainedWord::Lower => &[Arch::Lower],
        RetainedWord::Both => &Arch::BOTH,
    }
}

pub fn hygiene(word: HygieneWord) -> Hygiene {
    match word {
        HygieneWord::Good => Hygiene::Good,
        HygieneWord::Fair => Hygiene::Fair,
        HygieneWord::Poor => Hygiene::Poor,
    }
}

pub fn wear(word: WearWord) -> Wear {
    match word {
        WearWord::Good => Wear::Good,
        WearWord::Partly => Wear::Partly,
        WearWord::None => Wear::Nothing,
    }
}

pub fn visit_task(word: VisitTaskWord) -> Task {
    match word {
        VisitTaskWord::BondUp => Task::BondUp,
        VisitTaskWord::WireChange => Task::WireChange,
        VisitTaskWord::Review => Task::Review,
        VisitTaskWord::Repair => Task::Repair,
        VisitTaskWord::Emergency => Task::Emergency,
        VisitTaskWord::Debond => Task::Debond,
        VisitTaskWord::RetainerCheck => Task::RetainerCheck,
    }
}

// ------------------------------------------------------------------ the practice file

pub fn notation(word: NotationWord) -> Notation {
    match word {
        NotationWord::Iso => Notation::Iso,
        NotationWord::Quadrant => Notation::Quadrant,
        NotationWord::Universal => Notation::Universal,
    }
}

pub fn task(word: TaskWord) -> Task {
    match word {
        TaskWord::BondUp => Task::BondUp,
        TaskWord::WireChange => Task::WireChange,
        TaskWord::Review => Task::Review,
        TaskWord::Repair => Task::Repair,
        TaskWord::Emergency => Task::Emergency,
        TaskWord::Reposition => Task::Reposition,
        TaskWord::Coil => Task::Coil,
        TaskWord::Elastics => Task::Elastics,
        TaskWord::Debond => Task::Debond,
        TaskWord::RetainerCheck => Task::RetainerCheck,
    }
}

pub fn limit(word: LimitWord) -> Limit {
    match word {
        LimitWord::Bench => Limit::Chart,
        LimitWord::Sustained => Limit::Sustained,
        LimitWord::SustainedRatio => Limit::SustainedRatio,
        LimitWord::Delivered => Limit::Delivered,
        LimitWord::Peak => Limit::Peak,
        LimitWord::Intrusion => Limit::Intrusion,
        LimitWord::Extrusion => Limit::Extrusion,
        LimitWord::Bodily => Limit::Bodily,
        LimitWord::Tipping => Limit::Tipping,
        LimitWord::Couple => Limit::Couple,
        LimitWord::Torque => Limit::Torque,
        LimitWord::Misfit => Limit::Misfit,
        LimitWord::Rotation => Limit::Turn,
        LimitWord::Strain => Limit::Strain,
        LimitWord::Deflection => Limit::Give,
        LimitWord::Coil => Limit::Coil,
        LimitWord::Elastic => Limit::Elastic,
        LimitWord::Span => Limit::Span,
        LimitWord::FirstRound => Limit::FirstRound,
        LimitWord::MisfitLight => Limit::LightMisfit,
        LimitWord::RotationLight => Limit::LightTurn,
        LimitWord::MisfitFull => Limit::FullMisfit,
        LimitWord::RotationFull => Limit::FullTurn,
        LimitWord::Levelling => Limit::Levelling,
        LimitWord::CoilWire => Limit::CoilWire,
        LimitWord::CoilLight => Limit::LightCoil,
        LimitWord::TakesIn => Limit::TakesIn,
        LimitWord::LeftOut => Limit::LeftOut,
        LimitWord::LeftOutRotation => Limit::LeftOutTurn,
    }
}

pub fn passive_rule(word: PassiveRuleWord) -> PassiveRule {
    match word {
        PassiveRuleWord::QuarterLeft => PassiveRule::QuarterLeft,
        PassiveRuleWord::NoBend => PassiveRule::NoBend,
    }
}

pub fn booking(word: BookingWord) -> BookOn {
    match word {
        BookingWord::Forecast => BookOn::Prediction,
        BookingWord::RuleOfThumb => BookOn::RuleOfThumb,
    }
}

pub fn alloy(word: AlloyWord) -> Alloy {
    match word {
        AlloyWord::Steel => Alloy::Steel,
        AlloyWord::MultistrandSteel => Alloy::MultistrandSteel,
        AlloyWord::CobaltChromium => Alloy::CobaltChromium,
        AlloyWord::BetaTitanium => Alloy::BetaTitanium,
        AlloyWord::SuperelasticNiti => Alloy::SuperelasticNiti,
        AlloyWord::ThermalNiti => Alloy::ThermalNiti,
    }
}

pub fn coil_kind(word: CoilKindWord) -> CoilKind {
    match word {
        CoilKindWord::Open => CoilKind::Open,
        CoilKindWord::Passive => CoilKind::Closed,
        CoilKindWord::ClosingSpring => CoilKind::Closing,
    }
}

pub fn chain_kind(word: ChainKindWord) -> ChainKind {
    match word {
        ChainKindWord::Closed => ChainKind::Closed,
        ChainKindWord::Short => ChainKind::Short,
        ChainKindWord::Long => ChainKind::Long,
    }
}

pub fn traction_by(word: TractionByWord) -> TractionBy {
    match word {
        TractionByWord::Chain => TractionBy::Chain,
        TractionByWord::GoldChain => TractionBy::GoldChain,
        TractionByWord::ElasticThread => TractionBy::ElasticThread,
    }
}

pub fn traction_first(word: TractionFirstWord) -> TractionFirst {
    match word {
        TractionFirstWord::Mesial => TractionFirst::Mesial,
        TractionFirstWord::Distal => TractionFirst::Distal,
        TractionFirstWord::Labial => TractionFirst::Labial,
        TractionFirstWord::Lingual => TractionFirst::Lingual,
        TractionFirstWord::Gingival => TractionFirst::Gingival,
        TractionFirstWord::Occlusal => TractionFirst::Occlusal,
    }
}
