//! The support of a tooth: its ligament, which holds it at its centre of resistance and gives in two stages.

/// Forces on a tooth at its bracket's centre, or displacements there: lingual, gingival, rotation, tip, torque, along.
pub(crate) type SixForces = [f64; 6];

/// Compliances of a tooth's support about its centre of resistance, in the first stage of its give. Zero is
/// rigid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Support {
    /// Labiolingual compliance, mm/N.
    pub lingual_mm_per_n: f64,
    /// Vertical compliance, mm/N.
    pub gingival_mm_per_n: f64,
    /// Compliance along the arch, mm/N. The tooth gives that way, but the stations of its slot's edges stay.
    pub along_mm_per_n: f64,
    /// Turn about the long axis, rad/(N mm).
    pub rotation_rad_per_nmm: f64,
    /// Tip, rad/(N mm).
    pub tip_rad_per_nmm: f64,
    /// Torque, rad/(N mm).
    pub torque_rad_per_nmm: f64,
    /// The centre of resistance from the bracket's centre: lingual, gingival, along, mm.
    pub centre_mm: [f64; 3],
    /// What the give does under more force.
    pub stages: Stages,
    /// What a march adds to the vertical compliance, mm/N: a root is held as by a sleeve and gives little along itself, but
    /// moves that way as readily as the crown tips.
    pub march_gingival_mm_per_n: f64,
}

/// Whether a support stiffens.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Stages {
    /// As soft under a large force as under a small one.
    #[default]
    One,
    /// Soft at first, stiffer after, smoothly. With a give `p` counted as the labiolingual force at the bracket
    /// that would cause it in the first stage, the force is `n p - (n - 1) p1 tanh(p / p1)`.
    Two {
        /// Give at which the stages meet, N of the first stage (`p1`).
        meet_n: f64,
        /// How much stiffer the second stage is (`n`).
        stiffer: f64,
    },
}

impl Stages {
    /// Soft for the first newton, five times stiffer after. A ligament in tension has a bilinear law of 0.05 MPa up to a strain of
    /// 7 % and 0.22 to 0.28 MPa beyond, 4.4 to 5.6 times as much (Poppe M, Bourauel C, Jäger A. J Orofac Orthop
    /// 2002;63:358-370). An incisor of 0.07 mm/N gives 0.05 mm under 1 N and 0.12 mm under 5 N (Muehlemann HR. J Periodontol
    /// 1960;31:110-122: 0.05 to 0.10 and 0.10 to 0.12 mm). All values from memory. 4 to 10 is possible: ten
    /// times and 0.09 mm/N meet Muehlemann as well, and read a fifth more force off a stiff wire half a millimetre off.
    pub const LIGAMENT: Stages = Stages::Two { meet_n: 1.0, stiffer: 5.0 };
}

impl Support {
    /// A rigid support, for bench comparisons.
    pub const RIGID: Support = Support::mobility(0.0);

    /// A tooth with `c` mm/N of give about its bracket; turn `c/50`, tip and torque `c/125` rad/(N mm), each
    /// by its own force alone and the same under any force: the convention of the reference cases.
    pub const fn mobility(c_mm_per_n: f64) -> Support {
        Support {
            lingual_mm_per_n: c_mm_per_n,
            gingival_mm_per_n: c_mm_per_n,
            along_mm_per_n: 0.0,
            rotation_rad_per_nmm: c_mm_per_n / 50.0,
            tip_rad_per_nmm: c_mm_per_n / 125.0,
            torque_rad_per_nmm: c_mm_per_n / 125.0,
            centre_mm: [0.0; 3],
            stages: Stages::One,
            march_gingival_mm_per_n: 0.0,
        }
    }

    /// A tooth on its root: `c` mm/N of give at the bracket under a labiolingual force there, by translation and
    /// torque together. In a march it goes as far vertically under as much force: textbooks ask 35 to 60 g for tipping
    /// and for extrusion alike (Proffit WR, Fields HW, Sarver DM. Contemporary Orthodontics; value from memory). That intrusion is slower
    /// is left out.
    pub fn root(c_mm_per_n: f64, root: &Root) -> Support {
        let Root { centre_mm, tip_lever_mm, torque_lever_mm, turn_lever_mm } = *root;
        let [lingual, gingival, along] = centre_mm;
        let share = 1.0 + (gingival / torque_lever_mm).powi(2) + (along / turn_lever_mm).powi(2);
        let translation = c_mm_per_n / share;
        let upright = 1.0 + (lingual / torque_lever_mm).powi(2) + (along / tip_lever_mm).powi(2);
        Support {
            lingual_mm_per_n: translation,
            gingival_mm_per_n: translation,
            along_mm_per_n: translation,
            rotation_rad_per_nmm: translation / turn_lever_mm.powi(2),
            tip_rad_per_nmm: translation / tip_lever_mm.powi(2),
            torque_rad_per_nmm: translation / torque_lever_mm.powi(2),
            centre_mm,
            stages: Stages::LIGAMENT,
            march_gingival_mm_per_n: (c_mm_per_n - translation * upright).max(0.0),
        }
    }

    /// No support but the wire: to compute the wire's deflection under a [`Load`](super::Load).
    pub const RELEASED: Support = Support::mobility(1.0e4);

    /// Whether the tooth gives at all.
    pub(crate) fn is_compliant(&self) -> bool {
        self.own().iter().any(|&c| c > 0.0)
    }

    /// Give along the arch at the bracket, mm/N: of a tooth held by its bracket alone as much as across it.
    pub(crate) fn along_at_bracket(&self) -> f64 {
        let [lingual, gingival, _] = self.centre_mm;
        if self.along_mm_per_n == 0.0 {
            return self.lingual_mm_per_n;
        }
        self.along_mm_per_n
            + lingual.powi(2) * self.rotation_rad_per_nmm
            + gingival.powi(2) * self.tip_rad_per_nmm
    }

    /// How far the bracket gives along the arch under a force along it alone, mm, and how fast it gives there, mm/N:
    /// by the stages of the give, each in proportion to how far it is given.
    pub(crate) fn gave_along(&self, force_n: f64) -> (f64, f64) {
        let along = self.along_at_bracket();
        let Stages::Two { meet_n, stiffer } = self.stages else { return (along * force_n, along) };
        let [lingual, ..] = self.own();
        let [_, gingival, ahead] = self.centre_mm;
        let across = lingual
            + gingival.powi(2) * self.torque_rad_per_nmm
            + ahead.powi(2) * self.rotation_rad_per_nmm;
        if along <= 0.0 || across <= 0.0 {
            return (along * force_n, along);
        }
        // As a labiolingual force at the bracket counts it.
        let share = (along / across).sqrt();
        let felt = force_n.abs() * share;
        // From the second stage drawn straight the law lies above, so Newton's method comes from below.
        let mut p = felt / stiffer;
        let mut slope = stiffer;
        for _ in 0..60 {
            let t = (p / meet_n).tanh();
            slope = stiffer - (stiffer - 1.0) * (1.0 - t * t);
            let over = stiffer * p - (stiffer - 1.0) * meet_n * t - felt;
            p -= over / slope;
            if over.abs() <= 1e-12 * (1.0 + felt) {
                break;
            }
        }
        (p * (along * across).sqrt() * force_n.signum(), along / slope)
    }

    /// Compliances at the centre of resistance, in the order of [`SixForces`].
    pub(crate) fn own(&self) -> SixForces {
        [
            self.lingual_mm_per_n,
            self.gingival_mm_per_n,
            self.rotation_rad_per_nmm,
            self.tip_rad_per_nmm,
            self.torque_rad_per_nmm,
            self.along_mm_per_n,
        ]
    }
}

impl Default for Support {
    /// 0.1 mm/N, the value for judging a plan (band 0.05 to 0.2).
    fn default() -> Self {
        Support::mobility(0.1)
    }
}

/// Where a root is held, and how well against turning: a couple gives as much as its force at the lever.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    /// The centre of resistance from the bracket's centre: lingual, gingival, along, mm.
    pub centre_mm: [f64; 3],
    /// Lever of the ligament against tip, mm.
    pub tip_lever_mm: f64,
    /// Against torque, mm.
    pub torque_lever_mm: f64,
    /// Against turning about the long axis, mm.
    pub turn_lever_mm: f64,
}

/// First-stage compliance of a tooth that moves in a march as far as the march says, mm/N; one that is held twice as
/// stiffly goes half as far.
pub(crate) const MARCH_MM_PER_N: f64 = 0.1;

/// What the ligament makes of forces at the bracket: displacements in the same places, `u = C0 w`. The variable `w`
/// is the force that would displace the tooth so far in the first stage; the true force is `h w` with `h >= 1`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Give {
    /// `C0`, symmetric.
    pub matrix: [SixForces; 6],
    /// Each displacement by its own force alone, at any force.
    pub diagonal: bool,
    stages: Stages,
    /// Further give in series, as a multiple of the first stage: the way of a march.
    series: f64,
    /// Labiolingual compliance at the bracket: makes a force of a give.
    norm: f64,
    /// Compliances at the centre of resistance, the way of a march counted where `C0` has it, and that centre.
    own: SixForces,
    centre_mm: [f64; 3],
    /// Compliance beside all that, under the true force: what the tooth travels beyond the multiple. Symmetric.
    pub travel: Option<[SixForces; 6]>,
    /// `C0` has a travel in it.
    whole: bool,
}

/// A give at one displacement.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct GiveState {
    /// Of the bracket.
    pub displaced: SixForces,
    /// `C0 w`, which is all of it but for what a march adds vertically.
    pub first_stage: SixForces,
    /// True force over `w`.
    pub ratio: f64,
    /// `h'(p) / (c p)`.
    rise: f64,
    /// `h + h' p`.
    along: f64,
    /// What is stored, N mm.
    pub energy: f64,
}

/// The ligament where it has given so much in series with a march.
struct LigamentShare {
    /// Of the give.
    own: f64,
    force: f64,
    slope: f64,
    /// `exp(-2 own / meet) - 1`: of it tanh and the logarithm of cosh are made.
    fall: f64,
}

impl Give {
    pub fn new(support: &Support, travel_mm_per_n: f64) -> Give {
        let mut own = support.own();
        let centre_mm = support.centre_mm;
        let series = travel_mm_per_n / MARCH_MM_PER_N;
        let linear = support.stages == Stages::One;
        let diagonal = linear && centre_mm == [0.0; 3];
        if linear {
            for c in &mut own {
                *c += series * *c;
            }
        }
        let mut matrix = [[0.0; 6]; 6];
        if diagonal {
            for k in 0..6 {
                matrix[k][k] = own[k];
            }
        } else {
            let carried = carry(&centre_mm);
            for i in 0..6 {
                for j in i..6 {
                    let mut sum = 0.0;
                    for k in 0..6 {
                        sum += carried[i][k] * own[k] * carried[j][k];
                    }
                    matrix[i][j] = sum;
                    matrix[j][i] = sum;
                }
            }
        }
        let norm = matrix[0][0];
        let vertical = series * support.march_gingival_mm_per_n;
        let mut travel = None;
        if linear {
            matrix[1][1] += vertical;
        } else if vertical > 0.0 {
            let mut beside = [[0.0; 6]; 6];
            beside[1][1] = vertical;
            travel = Some(beside);
        }
        let stages = support.stages;
        Give { diagonal, stages, series, norm, own, centre_mm, travel, matrix, whole: false }
    }

    /// Of a tooth that travels by `way` under the forces it has in the end, beside what its support gives.
    pub fn travelling(support: &Support, way: &ToothTravel) -> Give {
        let mut give = Give::new(support, 0.0);
        let travel = way.matrix();
        match give.stages {
            Stages::Two { .. } => give.travel = Some(travel),
            Stages::One => {
                for i in 0..6 {
                    for j in 0..6 {
                        give.matrix[i][j] += travel[i][j];
                        give.diagonal &= i == j || travel[i][j] == 0.0;
                    }
                }
                give.norm = give.matrix[0][0];
                give.whole = true;
            }
        }
        give
    }

    /// Force at the bracket to the same at the centre, and the displacement of the bracket by one of the centre
    /// (transposed).
    #[inline]
    pub fn times(&self, w: &SixForces) -> SixForces {
        let mut u = [0.0; 6];
        if self.diagonal {
            for k in 0..6 {
                u[k] = self.matrix[k][k] * w[k];
            }
            return u;
        }
        // By columns, which the symmetric matrix has as rows: six sums side by side.
        for j in 0..6 {
            for i in 0..6 {
                u[i] += self.matrix[j][i] * w[j];
            }
        }
        u
    }

    /// The `w` of a displacement; none in a direction in which the tooth does not give.
    pub fn held_by(&self, displaced: &SixForces) -> SixForces {
        if self.travel.is_some() || self.whole {
            // As of the first stage, which is near enough to begin from.
            let mut all = self.matrix;
            let more = self.travel.iter().flatten();
            for (row, more) in all.iter_mut().zip(more) {
                for k in 0..6 {
                    row[k] += more[k];
                }
            }
            return solved_by(&all, displaced);
        }
        let carried = carry(&self.centre_mm);
        // The carrying matrix is one and a part that is nothing when applied twice.
        let mut at_centre = [0.0; 6];
        for i in 0..6 {
            let mut here = 2.0 * displaced[i];
            for j in 0..6 {
                here -= carried[i][j] * displaced[j];
            }
            at_centre[i] = if self.own[i] > 0.0 { here / self.own[i] } else { 0.0 };
        }
        let mut w = [0.0; 6];
        for j in 0..6 {
            w[j] = 2.0 * at_centre[j];
            for i in 0..6 {
                w[j] -= carried[i][j] * at_centre[i];
            }
        }
        w
    }

    /// Displacement, how the true force goes with it, and the energy.
    #[inline]
    pub fn at(&self, w: &SixForces) -> GiveState {
        let first_stage = self.times(w);
        let square = dot(w, &first_stage);
        let mut state = GiveState {
            displaced: first_stage,
            first_stage,
            ratio: 1.0,
            rise: 0.0,
            along: 1.0,
            energy: 0.5 * square,
        };
        if let Stages::Two { meet_n, stiffer } = self.stages {
            self.in_two(&mut state, square, meet_n, stiffer);
            if let Some(travel) = &self.travel {
                let mut force = *w;
                for own in &mut force {
                    *own *= state.ratio;
                }
                for k in 0..6 {
                    let way = dot(&travel[k], &force);
                    state.displaced[k] += way;
                    state.energy += 0.5 * way * force[k];
                }
            }
        }
        state
    }

    fn in_two(&self, state: &mut GiveState, square: f64, meet_n: f64, stiffer: f64) {
        let p = if self.norm > 0.0 { (square.max(0.0) / self.norm).sqrt() } else { 0.0 };
        if p <= 1e-9 * meet_n {
            state.ratio = 1.0 / (1.0 + self.series);
            state.along = state.ratio;
            state.energy *= state.ratio;
            return;
        }
        let LigamentShare { own, force, slope, fall } = self.in_series(p, meet_n, stiffer);
        state.along = slope / (1.0 + self.series * slope);
        state.ratio = force / p;
        state.rise = (state.along - state.ratio) / (self.norm * p * p);
        let x = own / meet_n;
        // ln cosh without overflow.
        let bend = x + (1.0 + fall).ln_1p() - std::f64::consts::LN_2;
        let ligament = 0.5 * stiffer * own * own - (stiffer - 1.0) * meet_n * meet_n * bend;
        state.energy = self.norm * (ligament + 0.5 * self.series * force * force);
    }

    /// How the displacement changes with `w`.
    #[inline]
    pub fn moved(&self, state: &GiveState, w: &SixForces, change: &SixForces) -> SixForces {
        let mut u = self.times(change);
        if let Some(travel) = &self.travel {
            let GiveState { first_stage, ratio, rise, .. } = state;
            let rises = rise * dot(first_stage, change);
            let mut force = [0.0; 6];
            for k in 0..6 {
                force[k] = ratio * change[k] + w[k] * rises;
            }
            for k in 0..6 {
                u[k] += dot(&travel[k], &force);
            }
        }
        u
    }

    /// The ligament's share of a give `p` that it has in series with the march, and its force and stiffness there.
    fn in_series(&self, p: f64, meet_n: f64, stiffer: f64) -> LigamentShare {
        let law = |own: f64| {
            let fall = (-2.0 * own / meet_n).exp_m1();
            let t = -fall / (2.0 + fall);
            let force = stiffer * own - (stiffer - 1.0) * meet_n * t;
            LigamentShare { own, force, slope: stiffer - (stiffer - 1.0) * (1.0 - t * t), fall }
        };
        if self.series == 0.0 {
            return law(p);
        }
        // The force is over both of its stages drawn as straight lines, and rises faster than the give: from where
        // those leave the ligament Newton's method never passes the root.
        let soft = p / (1.0 + self.series);
        let stiff = (p + self.series * (stiffer - 1.0) * meet_n) / (1.0 + self.series * stiffer);
        let mut now = law(soft.min(stiff));
        for _ in 0..60 {
            let over = now.own + self.series * now.force - p;
            if over <= 1e-13 * p {
                break;
            }
            now = law(now.own - over / (1.0 + self.series * now.slope));
        }
        now
    }
}

impl GiveState {
    /// What is further given is that of the first stage, less the second figure times the product of
    /// [`GiveState::first_stage`] with itself, times the first figure.
    #[inline]
    pub fn tangent(&self) -> (f64, f64) {
        (1.0 / self.ratio, self.rise / self.along)
    }

    /// The change of `w` by a change of the true force.
    #[inline]
    pub fn back(&self, w: &SixForces, force: &SixForces) -> SixForces {
        let (ease, less) = self.tangent();
        let lost = less * dot(&self.first_stage, force);
        let mut change = [0.0; 6];
        for k in 0..6 {
            change[k] = (force[k] - lost * w[k]) * ease;
        }
        change
    }
}

/// By what supports are softer than they are.
#[derive(Debug, Clone, Copy)]
pub(crate) enum SupportWay<'a> {
    /// All by the way of a march, mm/N; loads stay where they have brought their teeth, but for what ties draw: they
    /// follow what the wire does.
    March { mm_per_n: f64, ties: &'a [super::Load] },
    /// Each tooth by its own way, loads and all; a tooth without one by nothing.
    Each(&'a [ToothTravel]),
}

impl<'a> SupportWay<'a> {
    pub const NONE: SupportWay<'static> = SupportWay::March { mm_per_n: 0.0, ties: &[] };

    /// The same with what ties draw.
    pub fn under_ties<'b>(self, ties: &'b [super::Load]) -> SupportWay<'b>
    where
        'a: 'b,
    {
        match self {
            SupportWay::March { mm_per_n, .. } => SupportWay::March { mm_per_n, ties },
            each => each,
        }
    }

    /// How far it takes the bracket of a tooth under these forces there.
    pub fn takes(&self, id: u16, support: &Support, forces: &SixForces) -> SixForces {
        match self {
            SupportWay::March { mm_per_n, .. } => marched(support, *mm_per_n, forces),
            SupportWay::Each(teeth) => {
                let own = teeth.iter().find(|t| t.id == id);
                own.map_or([0.0; 6], |own| own.six(forces))
            }
        }
    }
}

/// How far one tooth travels under the forces that it has in the end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothTravel {
    /// The tooth's [`Slot::id`](super::Slot).
    pub id: u16,
    /// Its way for each newton and newton millimetre, about the centre that is named there, the same under any force.
    pub way: Support,
    /// What presses it along the arch passes to its neighbours, and does not move it.
    pub in_contact: bool,
}

impl ToothTravel {
    /// Where its bracket goes under these forces there.
    pub(crate) fn six(&self, forces: &SixForces) -> SixForces {
        let mut felt = *forces;
        if self.in_contact {
            felt[ALONG] = 0.0;
        }
        let mut gone = travelled(&self.way, &felt);
        if self.in_contact {
            gone[ALONG] = 0.0;
        }
        gone
    }

    /// The same as a matrix: what each force does.
    fn matrix(&self) -> [SixForces; 6] {
        std::array::from_fn(|j| self.six(&std::array::from_fn(|i| f64::from(u8::from(i == j)))))
    }
}

/// The place of the force along the arch among six.
const ALONG: usize = 5;

/// How far a march of so much travel takes a tooth under these forces.
pub(crate) fn marched(support: &Support, travel_mm_per_n: f64, forces: &SixForces) -> SixForces {
    let share = travel_mm_per_n / MARCH_MM_PER_N;
    travelled(support, forces).map(|way| share * way)
}

/// How far a tooth travels under these forces where its support is that of its way.
fn travelled(way: &Support, forces: &SixForces) -> SixForces {
    let own = way.own();
    let carried = carry(&way.centre_mm);
    let mut gone = [0.0; 6];
    gone[1] = way.march_gingival_mm_per_n * forces[1];
    for k in 0..6 {
        let mut at_centre = 0.0;
        for i in 0..6 {
            at_centre += carried[i][k] * forces[i];
        }
        for i in 0..6 {
            gone[i] += carried[i][k] * own[k] * at_centre;
        }
    }
    gone
}

/// Solves with a symmetric matrix that is nowhere negative; nothing in a direction in which it has nothing.
fn solved_by(matrix: &[SixForces; 6], right: &SixForces) -> SixForces {
    let largest = (0..6).map(|k| matrix[k][k]).fold(0.0, f64::max);
    let (mut l, mut pivots) = ([[0.0; 6]; 6], [0.0; 6]);
    for i in 0..6 {
        for j in 0..=i {
            let mut sum = matrix[i][j];
            for k in 0..j {
                sum -= l[i][k] * pivots[k] * l[j][k];
            }
            if i == j {
                pivots[i] = if sum > 1e-12 * largest { sum } else { 0.0 };
            } else {
                l[i][j] = if pivots[j] > 0.0 { sum / pivots[j] } else { 0.0 };
            }
        }
    }
    let mut out = [0.0; 6];
    for i in 0..6 {
        out[i] = right[i];
        for k in 0..i {
            out[i] -= l[i][k] * out[k];
        }
    }
    for i in 0..6 {
        out[i] = if pivots[i] > 0.0 { out[i] / pivots[i] } else { 0.0 };
    }
    for i in (0..6).rev() {
        for k in i + 1..6 {
            out[i] -= l[k][i] * out[k];
        }
    }
    out
}

#[inline(always)]
pub(crate) fn dot(a: &SixForces, b: &SixForces) -> f64 {
    let mut sum = 0.0;
    for k in 0..6 {
        sum += a[k] * b[k];
    }
    sum
}

/// Displacement of the bracket by that of the centre of resistance; transposed, forces at the centre by those at
/// the bracket.
pub(crate) fn carry(centre_mm: &[f64; 3]) -> [SixForces; 6] {
    let [lingual, gingival, along] = *centre_mm;
    let mut j = [[0.0; 6]; 6];
    for k in 0..6 {
        j[k][k] = 1.0;
    }
    // A rotation takes what lies ahead of the centre lingual, and what lies lingual of it back; tip and torque alike.
    (j[0][2], j[0][4]) = (-along, gingival);
    (j[1][3], j[1][4]) = (-along, -lingual);
    (j[5][2], j[5][3]) = (lingual, gingival);
    j
}
