//! The arches: twelve teeth from molar to molar, drawn by seed.

use fastrand::Rng;
use springline_lang::course::geometry::{arch_line, put_on_slot_line};
use springline_lang::course::setup::root_support;
use springline_lang::course::{BracketPosition, Crown, contact_displacement_mm, index_mm};
use springline_lang::mechanics::{
    ArchWire, Law, Setup, Slot, SlotPose, SolverSettings, WireSection,
};
use springline_lang::model::builtin;
use springline_lang::model::stock::TrueHeight;
use springline_lang::units::anatomy::crown_width_mm;
use springline_lang::units::quantity::from_mm;
use springline_lang::units::tooth::{Arch, Tooth};

/// What practice says of a wire in an arch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Label {
    Accepted,
    Heavy,
}

impl Label {
    pub fn word(self) -> &'static str {
        match self {
            Label::Accepted => "accepted",
            Label::Heavy => "heavy",
        }
    }
}

/// One wire in one arch.
pub struct Pair {
    pub family: &'static str,
    pub arch: Arch,
    /// Of a crowded arch, mm.
    pub irregularity_mm: Option<f64>,
    pub label: Label,
    pub setup: Setup,
    pub wire: &'static Stock,
}

/// A wire of the trade.
pub struct Stock {
    pub rigid: bool,
    /// Heavier than 0.014 superelastic.
    pub heavy: bool,
    inches: &'static [f64],
    alloy: Alloy,
}

#[derive(Clone, Copy)]
enum Alloy {
    Niti,
    Steel,
    BetaTitanium,
}

const fn niti(inches: &'static [f64], heavy: bool) -> Stock {
    Stock { rigid: false, heavy, inches, alloy: Alloy::Niti }
}

const fn stiff(inches: &'static [f64], alloy: Alloy) -> Stock {
    Stock { rigid: true, heavy: true, inches, alloy }
}

static N12: Stock = niti(&[0.012], false);
static N14: Stock = niti(&[0.014], false);
static N16: Stock = niti(&[0.016], true);
static N18: Stock = niti(&[0.018], true);
static N14X25: Stock = niti(&[0.014, 0.025], true);
static N16X22: Stock = niti(&[0.016, 0.022], true);
static N18X25: Stock = niti(&[0.018, 0.025], true);
static N19X25: Stock = niti(&[0.019, 0.025], true);
static BETA: Stock = stiff(&[0.019, 0.025], Alloy::BetaTitanium);
static BETA17: Stock = stiff(&[0.017, 0.025], Alloy::BetaTitanium);
static S14: Stock = stiff(&[0.014], Alloy::Steel);
static S16: Stock = stiff(&[0.016], Alloy::Steel);
static S18: Stock = stiff(&[0.018], Alloy::Steel);
static S19X25: Stock = stiff(&[0.019, 0.025], Alloy::Steel);

impl Stock {
    /// "NiTi 0.019x0.025".
    pub fn name(&self) -> String {
        let alloy = match self.alloy {
            Alloy::Niti => "NiTi",
            Alloy::Steel => "steel",
            Alloy::BetaTitanium => "beta-titanium",
        };
        let sizes: Vec<String> = self.inches.iter().map(f64::to_string).collect();
        format!("{alloy} {}", sizes.join("x"))
    }

    pub fn is_steel(&self) -> bool {
        matches!(self.alloy, Alloy::Steel)
    }

    pub fn wire(&self) -> ArchWire {
        let section = match self.inches {
            [d] => WireSection::round(25.4 * d),
            [h, d, ..] => WireSection::rectangular(25.4 * h, 25.4 * d, 0.0),
            [] => WireSection::round(0.0),
        };
        let law = match self.alloy {
            Alloy::Niti => Law::superelastic(),
            Alloy::Steel => Law::steel(),
            Alloy::BetaTitanium => Law::beta_titanium(),
        };
        ArchWire::new(section, law)
    }
}

/// The reference of every arch.
pub fn lightest() -> ArchWire {
    N14.wire()
}

/// Wires that are bent in the end.
pub fn finishing_wires() -> [&'static Stock; 3] {
    [&BETA17, &BETA, &S19X25]
}

/// An arch after alignment, a tenth of a millimetre and a degree left, and one tooth of it, from premolar to premolar,
/// set as a bend does. With the tooth's number.
pub fn bent_arch(
    arch: Arch,
    wire: ArchWire,
    set: &dyn Fn(&mut SlotPose),
    rng: &mut Rng,
) -> (Setup, u16) {
    let mut teeth = residual(arch, 0.1, 1.0, rng);
    let at = rng.usize(1..11);
    teeth[at].stand = SlotPose::default();
    set(&mut teeth[at].stand);
    (setup(arch, &teeth, wire), teeth[at].tooth.code() as u16)
}

/// Every labelled pair, so many draws of each setting.
pub fn draw(draws: usize) -> Vec<Pair> {
    use Label::{Accepted, Heavy};
    let mut out = Vec::new();
    for arch in Arch::BOTH {
        for n in 0..draws {
            let mut rng = Rng::with_seed(7_919 * n as u64 + arch as u64);
            let mut add = |family, teeth: &[Drawn], label, wires: &[&'static Stock]| {
                let irregularity_mm = (family == "crowded").then(|| index(teeth).round());
                for wire in wires {
                    let setup = setup(arch, teeth, wire.wire());
                    out.push(Pair { family, arch, irregularity_mm, label, setup, wire });
                }
            };
            for irregularity in [2.0, 4.0, 6.0, 8.0] {
                let teeth = crowded(arch, irregularity, &mut rng);
                add("crowded", &teeth, Accepted, &[&N14]);
                if irregularity >= 4.0 {
                    add("crowded", &teeth, Heavy, &[&N16, &N18, &N16X22, &N19X25]);
                }
            }
            for deg in [15.0, 30.0, 45.0] {
                let mut teeth = residual(arch, 0.2, 2.0, &mut rng);
                let at = rng.usize(2..10);
                teeth[at].stand.rotated_rad = sign(&mut rng) * f64::to_radians(deg);
                let lightest: [&'static Stock; 1] = if deg <= 30.0 { [&N14] } else { [&N12] };
                add("rotated", &teeth, Accepted, &lightest);
            }
            for high in [2.0, 2.5, 3.0, 4.0] {
                let mut teeth = residual(arch, 0.2, 2.0, &mut rng);
                let at = if rng.bool() { 3 } else { 8 };
                teeth[at].stand.gingival_mm = high;
                match high {
                    h if h <= 2.5 => add("high canine", &teeth, Accepted, &[&N14, &N12]),
                    h if h <= 3.0 => add("high canine", &teeth, Accepted, &[&N12]),
                    _ => {}
                }
                if high >= 3.0 {
                    add("high canine", &teeth, Heavy, &[&N16, &N18, &N16X22, &N19X25]);
                }
            }
            for (mm, deg) in
                [(0.2, 2.0), (0.3, 5.0), (0.5, 5.0), (0.5, 8.0), (1.0, 8.0), (1.0, 10.0)]
            {
                let teeth = residual(arch, mm, deg, &mut rng);
                if deg <= 8.0 {
                    add("after alignment", &teeth, Accepted, &[&N16, &N18, &N14X25, &N16X22]);
                }
                if mm <= 0.5 && deg <= 5.0 {
                    add("after alignment", &teeth, Accepted, &[&N18X25, &N19X25]);
                }
                if mm <= 0.3 && deg <= 5.0 {
                    add("after alignment", &teeth, Accepted, &[&BETA, &S19X25]);
                }
                if mm >= 0.5 || deg >= 8.0 {
                    add("after alignment", &teeth, Heavy, &[&BETA, &S19X25]);
                }
            }
            for out_by in [3.0, 3.5, 4.0] {
                let mut teeth = residual(arch, 0.2, 2.0, &mut rng);
                let at = rng.usize(3..9);
                teeth[at].stand.lingual_mm = sign(&mut rng) * out_by;
                add("blocked", &teeth, Heavy, &[&N16, &N18, &N16X22, &N19X25]);
            }
            for out_by in [1.0, 1.5, 2.0] {
                let mut teeth = residual(arch, 0.2, 2.0, &mut rng);
                let at = rng.usize(2..10);
                teeth[at].stand.lingual_mm = sign(&mut rng) * out_by;
                add("single", &teeth, Heavy, &[&S14, &S16, &S18, &S19X25]);
            }
        }
    }
    out
}

/// A tooth where it is drawn.
#[derive(Clone)]
struct Drawn {
    tooth: Tooth,
    /// Middle of the crown on the contact line.
    crown_at_mm: f64,
    bracket_mm: f64,
    crown_mm: f64,
    stand: SlotPose,
}

fn sign(rng: &mut Rng) -> f64 {
    if rng.bool() { 1.0 } else { -1.0 }
}

/// Between minus this and this.
fn within(rng: &mut Rng, by: f64) -> f64 {
    by * (2.0 * rng.f64() - 1.0)
}

/// Sixes to sixes, crown beside crown, nothing out of line.
fn aligned(arch: Arch) -> Vec<Drawn> {
    let teeth: Vec<Tooth> = (2..14).filter_map(|place| Tooth::at(arch, place)).collect();
    let crowns: Vec<f64> = teeth.iter().map(|t| crown_width_mm(*t)).collect();
    let right: f64 = crowns.iter().take(6).sum();
    let mut at = -right;
    teeth
        .into_iter()
        .zip(crowns)
        .map(|(tooth, crown_mm)| {
            let crown_at_mm = at + crown_mm / 2.0;
            at += crown_mm;
            let lower_incisor = arch == Arch::Lower && tooth.is_incisor();
            let bracket_mm = match tooth.position() {
                6 => 4.0,
                _ if lower_incisor => 2.5,
                _ => 3.0,
            };
            Drawn { tooth, crown_at_mm, bracket_mm, crown_mm, stand: SlotPose::default() }
        })
        .collect()
}

/// One tooth off by so much, one turned by so much, the others within four tenths of it.
fn residual(arch: Arch, mm: f64, deg: f64, rng: &mut Rng) -> Vec<Drawn> {
    let mut teeth = aligned(arch);
    let rad = deg.to_radians();
    for t in teeth.iter_mut().skip(1).take(10) {
        t.stand.lingual_mm = within(rng, 0.4 * mm);
        t.stand.gingival_mm = within(rng, 0.4 * mm);
        t.stand.rotated_rad = within(rng, 0.4 * rad);
        t.stand.tipped_rad = within(rng, 0.4 * rad);
    }
    let (off, turned) = (rng.usize(2..10), rng.usize(2..10));
    let way = sign(rng) * mm;
    if rng.bool() {
        teeth[off].stand.lingual_mm = way;
    } else {
        teeth[off].stand.gingival_mm = way;
    }
    teeth[turned].stand.rotated_rad = sign(rng) * rad;
    teeth
}

/// Crowded to an irregularity of the front six; no tooth beyond 25 deg or 2.2 mm from its neighbours.
fn crowded(arch: Arch, irregularity_mm: f64, rng: &mut Rng) -> Vec<Drawn> {
    let mut last = aligned(arch);
    for _ in 0..400 {
        let mut teeth = aligned(arch);
        for (i, t) in teeth.iter_mut().enumerate().skip(1).take(10) {
            let front = (3..9).contains(&i);
            let (by, turn) = if front { (1.0, 15.0) } else { (0.3, 4.0) };
            t.stand.lingual_mm = within(rng, by);
            t.stand.gingival_mm = within(rng, 0.5 * by);
            t.stand.rotated_rad = within(rng, f64::to_radians(turn));
            t.stand.tipped_rad = within(rng, f64::to_radians(0.4 * turn));
        }
        // The index is not quite in proportion to the turns.
        for _ in 0..4 {
            let factor = irregularity_mm / index(&teeth).max(1e-6);
            for t in &mut teeth {
                t.stand.lingual_mm *= factor;
                t.stand.gingival_mm *= factor;
                t.stand.rotated_rad *= factor;
                t.stand.tipped_rad *= factor;
            }
        }
        let turned = teeth.iter().any(|t| t.stand.rotated_rad.abs() > f64::to_radians(25.0));
        let apart = teeth.windows(2).any(|w| {
            let (a, b) = (&w[0].stand, &w[1].stand);
            (a.lingual_mm - b.lingual_mm).hypot(a.gingival_mm - b.gingival_mm) > 2.2
        });
        last = teeth;
        if !turned && !apart {
            break;
        }
    }
    close_up(&mut last);
    last
}

fn crown(t: &Drawn) -> Crown {
    let SlotPose { lingual_mm, rotated_rad, .. } = t.stand;
    Crown { tooth: t.tooth, width_mm: t.crown_mm, lingual_mm, rotated_rad }
}

/// Sum over the five contacts of the front six.
fn index(teeth: &[Drawn]) -> f64 {
    index_mm(&teeth.iter().map(crown).collect::<Vec<_>>())
}

/// Crowded crowns lie over each other: centres come together by 0.35 of each contact displacement, 1.2 mm at
/// most.
fn close_up(teeth: &mut [Drawn]) {
    for right in [true, false] {
        // From the midline outwards, each pulls all that lie behind it along.
        for step in 0..5 {
            let (inner, outer) = if right { (5 - step, 4 - step) } else { (6 + step, 7 + step) };
            let (a, b) = if right { (outer, inner) } else { (inner, outer) };
            let by =
                (0.35 * contact_displacement_mm(&crown(&teeth[a]), &crown(&teeth[b]))).min(1.2);
            let behind: Vec<usize> =
                if right { (0..=outer).collect() } else { (outer..teeth.len()).collect() };
            for i in behind {
                teeth[i].crown_at_mm += if right { by } else { -by };
            }
        }
    }
}

fn setup(arch: Arch, teeth: &[Drawn], wire: ArchWire) -> Setup {
    let line = arch_line(builtin::form(arch).curve);
    let mut places: Vec<BracketPosition> = teeth
        .iter()
        .map(|t| BracketPosition {
            tooth: t.tooth,
            centre_mm: 0.0,
            crown_centre_mm: t.crown_at_mm,
            crown_mm: t.crown_mm,
            width_mm: t.bracket_mm,
            in_wire: true,
        })
        .collect();
    let turned: Vec<f64> = teeth.iter().map(|t| t.stand.rotated_rad).collect();
    put_on_slot_line(&mut places, &turned, &vec![true; teeth.len()], &line);
    let slots = teeth
        .iter()
        .zip(&places)
        .map(|(t, at)| {
            let named = Slot::bracket(t.tooth.code() as u16, at.centre_mm, t.bracket_mm);
            // As high as a plan's slots are taken.
            let height_mm = TrueHeight::by_name(from_mm(named.height_mm)).taken_mm;
            Slot { stand: t.stand, height_mm, support: root_support(t.tooth), ..named }
        })
        .collect();
    Setup {
        arch: line,
        slots,
        wire,
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}
