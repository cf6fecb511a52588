//! Teeth tied together: a bound on the distance between two brackets, one-sided, with its tension as
//! multiplier. Solved without, and where a tie would be stretched again with the pull that keeps its length.

use super::slot_line::{Vector, WireFrame, dot, plus, unit};
use super::solve::solve_loose;
use super::support::{Give, SixForces, SupportWay};
use super::{History, Load, Refusal, Setup, Slot, SlotPose, Solution, Start, ToothTie, check};

impl Setup {
    /// Its ties with the lengths that they have here, for when the teeth have moved.
    pub fn ties_as_tied(&self) -> Vec<ToothTie> {
        let tied = |tie: &ToothTie| {
            let here = TiePlace::of(self, tie).map(|place| place.apart_mm);
            ToothTie { length_mm: tie.length_mm.or(here), ..*tie }
        };
        self.ties.iter().map(tied).collect()
    }

    /// What ties draw their teeth with under these tensions, N, of every tie.
    pub fn tie_loads(&self, tensions_n: &[f64]) -> Vec<Load> {
        let drawn = self.ties.iter().zip(tensions_n).filter(|(_, tension)| **tension > 0.0);
        let places = drawn.filter_map(|(tie, n)| Some((TiePlace::of(self, tie)?, *n)));
        places.flat_map(|(place, tension)| place.ends.map(|end| end.load(tension))).collect()
    }
}

/// Searches before ties are given up. A whole arch tied tooth to tooth takes four to eight.
const SEARCHES: usize = 40;
/// Tensions stand within so many times the tolerance of forces: a gram in a plan.
const TOLERANCES: f64 = 10.0;
/// No load on a tooth may be more, N; a ligature of 0.010 in soft steel breaks at some 30 N (0.05 mm2 at 600 MPa; value
/// from memory).
const MOST_N: f64 = 100.0;
/// Sweeps over the tensions of one search.
const SWEEPS: usize = 200;
/// Compliance below which a tie has nothing to draw, mm/N.
const RIGID_MM_PER_N: f64 = 1.0e-9;
/// What is learnt of a give is not believed below this share of what was thought before.
const LEAST_LEARNT: f64 = 0.02;

/// One end of a tie.
#[derive(Clone, Copy)]
struct TieEnd<'s> {
    slot: &'s Slot,
    /// Where a newton in the tie draws the bracket: along, lingual, gingival, a unit vector.
    towards: Vector,
}

impl TieEnd<'_> {
    fn load(&self, tension_n: f64) -> Load {
        let [along_n, lingual_n, gingival_n] = self.towards.map(|x| x * tension_n);
        Load { id: self.slot.id, lingual_n, gingival_n, along_n, at_mm: [0.0; 3] }
    }

    fn six(&self) -> SixForces {
        let [along, lingual, gingival] = self.towards;
        [lingual, gingival, 0.0, 0.0, 0.0, along]
    }

    /// How far the bracket has gone towards the other end, mm.
    fn nearer_mm(&self, solution: &Solution) -> f64 {
        let gave = solution.tooth(self.slot.id).map(|t| t.gave).unwrap_or_default();
        dot(&self.towards, &[gave.along_mm, gave.lingual_mm, gave.gingival_mm])
    }
}

/// Where a tie runs.
#[derive(Clone, Copy)]
struct TiePlace<'s> {
    ends: [TieEnd<'s>; 2],
    apart_mm: f64,
    /// Less than that by what the tie is slack.
    slack_mm: f64,
}

impl<'s> TiePlace<'s> {
    fn of(setup: &'s Setup, tie: &ToothTie) -> Option<TiePlace<'s>> {
        let slot = |id: u16| setup.slots.iter().find(|s| s.id == id);
        let slots = [slot(tie.from)?, slot(tie.to)?];
        let [a, b] = slots.map(|slot| {
            let SlotPose { lingual_mm, gingival_mm, along_mm, .. } = slot.stand;
            let frame = WireFrame::of_arch(&setup.arch, slot.station_mm + along_mm);
            (plus(&frame.at, 1.0, &frame.compose(&[0.0, lingual_mm, gingival_mm])), frame)
        });
        let way = plus(&b.0, -1.0, &a.0);
        let apart_mm = dot(&way, &way).sqrt();
        if apart_mm <= 0.0 {
            return None;
        }
        let to_b = unit(&way);
        let ends = [
            TieEnd { slot: slots[0], towards: a.1.resolve(&to_b) },
            TieEnd { slot: slots[1], towards: b.1.resolve(&to_b.map(|x| -x)) },
        ];
        let slack_mm = tie.length_mm.map_or(0.0, |length| length - apart_mm);
        Some(TiePlace { ends, apart_mm, slack_mm })
    }

    /// By how much it is longer than it can be, mm; negative where it hangs slack.
    fn stretched_mm(&self, solution: &Solution) -> f64 {
        -self.ends.iter().map(|end| end.nearer_mm(solution)).sum::<f64>() - self.slack_mm
    }
}

/// Solves with the ties that the teeth would stretch without.
pub(crate) fn solve_tied(
    setup: &Setup,
    start: Start<'_>,
    way: SupportWay<'_>,
) -> Result<Solution, Refusal> {
    check::setup(setup)?;
    let mut search = TieSearch::new(setup, start, way);
    let mut under = setup.clone();
    under.ties.clear();
    let mut last: Option<Solution> = None;
    let mut spent = 0;
    for _ in 0..SEARCHES {
        let drawn = setup.tie_loads(&search.tensions);
        under.loads.truncate(setup.loads.len());
        under.loads.extend_from_slice(&drawn);
        let way = way.under_ties(&drawn);
        let mut solution = match &last {
            None => solve_loose(&under, start, way)?,
            Some(like) => solve_loose(&under, goes_on(start, like), way)?,
        };
        spent += solution.iterations;
        if search.stand(&solution) {
            solution.ties_n = search.tensions;
            solution.iterations = spent;
            return Ok(solution);
        }
        if let Some(id) = search.torn() {
            return Err(Refusal::Input {
                id: Some(id),
                what: "the tension of a tie",
                value: MOST_N,
            });
        }
        // The next search begins from this shape, and from the wire as it was before this solve.
        if let Some(before) = material(start) {
            solution.history = before.clone();
        }
        last = Some(solution);
    }
    Err(Refusal::NotConverged {
        id: search.worst.0,
        residual_n: search.worst.1,
        limit_n: search.tolerance_n,
        iterations: spent,
    })
}

/// The material as a solve finds it; nothing for a fresh wire.
fn material<'a>(start: Start<'a>) -> Option<&'a History> {
    match start {
        Start::Carry(before) => Some(&before.history),
        Start::History(history) => Some(history),
        Start::Cold | Start::Warm(_) => None,
    }
}

/// The same start, from a shape already found.
fn goes_on<'a>(start: Start<'_>, like: &'a Solution) -> Start<'a> {
    match start {
        Start::Carry(_) | Start::History(_) => Start::Carry(like),
        Start::Cold | Start::Warm(_) => Start::Warm(like),
    }
}

/// The search for the tensions: how far each link is stretched, as a function of all tensions, is learnt from solve to
/// solve, beginning with what the teeth give without any wire.
struct TieSearch<'s> {
    /// Of each tie; nothing for one between two brackets in one place.
    places: Vec<Option<TiePlace<'s>>>,
    tensions: Vec<f64>,
    /// What a newton in one tie takes off the stretch of another, mm/N. Symmetric.
    gives: Vec<Vec<f64>>,
    /// Tensions and stretches of the last solve.
    before: Option<(Vec<f64>, Vec<f64>)>,
    tolerance_n: f64,
    /// The tie farthest from rest, by one of its teeth, and how far, N.
    worst: (u16, f64),
}

impl<'s> TieSearch<'s> {
    fn new(setup: &'s Setup, start: Start<'_>, way: SupportWay<'_>) -> TieSearch<'s> {
        let count = setup.ties.len();
        let tensions = match start {
            Start::Warm(like) | Start::Carry(like) if like.ties_n.len() == count => {
                like.ties_n.clone()
            }
            _ => vec![0.0; count],
        };
        let places: Vec<Option<TiePlace<'s>>> =
            setup.ties.iter().map(|tie| TiePlace::of(setup, tie)).collect();
        // A tooth between two links takes from the one what it gives the other.
        let both = |a: &Option<TiePlace<'s>>, b: &Option<TiePlace<'s>>| -> f64 {
            let (Some(a), Some(b)) = (a, b) else { return 0.0 };
            let pairs = a.ends.iter().flat_map(|x| b.ends.iter().map(move |y| (x, y)));
            let shared = pairs.filter(|(x, y)| x.slot.id == y.slot.id);
            shared.map(|(x, y)| product(&goes(x, way), &y.six())).sum()
        };
        let gives = places.iter().map(|a| places.iter().map(|b| both(a, b)).collect()).collect();
        let tolerance_n = TOLERANCES * setup.settings.force_tolerance_n;
        TieSearch { places, tensions, gives, before: None, tolerance_n, worst: (0, 0.0) }
    }

    /// Whether the tensions of this solve are those that the ties have; else lays out the next.
    fn stand(&mut self, solution: &Solution) -> bool {
        let longer = |place: &Option<TiePlace<'s>>| {
            place.as_ref().map_or(0.0, |place| place.stretched_mm(solution))
        };
        let stretched: Vec<f64> = self.places.iter().map(longer).collect();
        self.learn(&stretched);
        self.worst = (0, 0.0);
        for (k, place) in self.places.iter().enumerate() {
            let (Some(place), give) = (place, self.gives[k][k]) else { continue };
            if give <= RIGID_MM_PER_N {
                continue;
            }
            let wanted = (self.tensions[k] + stretched[k] / give).max(0.0);
            let off = (wanted - self.tensions[k]).abs();
            if off > self.worst.1 {
                self.worst = (place.ends[0].slot.id, off);
            }
        }
        if self.worst.1 <= self.tolerance_n {
            return true;
        }
        let next = self.complementary(&stretched);
        self.before = Some((std::mem::replace(&mut self.tensions, next), stretched));
        false
    }

    /// A tooth whose tie carries all that one may, and is stretched nevertheless.
    fn torn(&self) -> Option<u16> {
        let (tensions, stretched) = self.before.as_ref()?;
        let all = self.places.iter().zip(tensions).zip(stretched);
        let mut torn = all.filter(|((_, tension), longer)| **tension >= MOST_N && **longer > 0.0);
        torn.find_map(|((place, _), _)| place.map(|place| place.ends[0].slot.id))
    }

    /// The give as the last two solves had it, by the update of Broyden, Fletcher, Goldfarb and Shanno, which keeps it
    /// positive definite as it is for any wire on teeth.
    fn learn(&mut self, stretched: &[f64]) {
        let Some((tensions, stretches)) = &self.before else { return };
        let count = self.tensions.len();
        let drawn: Vec<f64> = (0..count).map(|k| self.tensions[k] - tensions[k]).collect();
        let shorter: Vec<f64> = (0..count).map(|k| stretches[k] - stretched[k]).collect();
        let told: Vec<f64> = self.gives.iter().map(|row| product(row, &drawn)).collect();
        let (work, thought) = (product(&shorter, &drawn), product(&told, &drawn));
        if thought <= 0.0 || work < LEAST_LEARNT * thought {
            return;
        }
        for i in 0..count {
            for j in 0..count {
                self.gives[i][j] += shorter[i] * shorter[j] / work - told[i] * told[j] / thought;
            }
        }
    }

    /// Tensions, none negative, under which no tie is longer than it is and a slack one carries nothing.
    fn complementary(&self, stretched: &[f64]) -> Vec<f64> {
        let count = self.tensions.len();
        let mut next = self.tensions.clone();
        for _ in 0..SWEEPS {
            let mut moved: f64 = 0.0;
            for k in 0..count {
                let give = self.gives[k][k];
                if give <= RIGID_MM_PER_N {
                    continue;
                }
                let drawn: Vec<f64> = next.iter().zip(&self.tensions).map(|(a, b)| a - b).collect();
                let taken = product(&self.gives[k], &drawn);
                let own = (next[k] + (stretched[k] - taken) / give).clamp(0.0, MOST_N);
                moved = moved.max((own - next[k]).abs());
                next[k] = own;
            }
            if moved < 1e-3 * self.tolerance_n {
                break;
            }
        }
        next
    }
}

fn product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Where the tie's pull of a newton takes its tooth: the first stage of its give, and the way beside it.
fn goes(end: &TieEnd<'_>, way: SupportWay<'_>) -> SixForces {
    let force = end.six();
    let gave = Give::new(&end.slot.support, 0.0).times(&force);
    let gone = way.takes(end.slot.id, &end.slot.support, &force);
    std::array::from_fn(|k| gave[k] + gone[k])
}
