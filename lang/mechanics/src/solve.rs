//! Solves one set-up: chooses the mesh, the start and the load steps, and checks the equilibrium for
//! snap-through.

use std::f64::consts::FRAC_PI_2;

use super::axial::Axial;
use super::bending::MomentMemo;
use super::contact::{Contact, ContactState, ElasticTooth, Room};
use super::converged::{ConvergedState, keys};
use super::equilibrium::{EquilibriumProblem, Iterate, NewtonOutcome};
use super::length_bounds::bind;
use super::mesh::{Mesh, MeshDensity, NodeValues};
use super::mesh_density;
use super::prepared::PreparedSetup;
use super::report::StrainAlong;
use super::slot_edges::SlotEdges;
use super::slot_line::BaseLine;
use super::solution::{SolveStep, WireShape};
use super::support::{SixForces, SupportWay};
use super::{
    Edges, History, Kinematics, Refusal, Setup, Solution, SolverSettings, Steep, report, thrust,
};

#[cfg(test)]
#[path = "least_energy_tests.rs"]
mod least_energy_tests;

/// Initial state of a solve.
#[derive(Debug, Clone, Copy, Default)]
pub enum Start<'a> {
    /// A fresh wire without a known shape.
    #[default]
    Cold,
    /// A fresh wire, started from the shape of a similar solution: the same result, faster.
    Warm(&'a Solution),
    /// The same wire after the teeth have moved: material history and shape are continued.
    Carry(&'a Solution),
    /// The same wire, its history known but no shape.
    History(&'a History),
}

/// Barrier at the start of a search, N mm: about a force times a clearance.
const COLD_BARRIER: f64 = 1.0e-1;
const WARM_BARRIER: f64 = 1.0e-4;
/// Slope of the wire from which snap-through is possible. Every jump found by displacing one tooth step
/// by step lay beyond it (tests/invariants.rs).
const STEEP: f64 = 1.5;
/// Ratio of intermediate to final energy that indicates snap-through: jumps lose two fifths or more.
const LOSES: f64 = 1.5;
/// Fractions of the displacements at which the energy is compared.
const ON_THE_WAY: [f64; 4] = [0.5, 0.7, 0.8, 0.9];
/// Load steps, as fractions of the displacements, tried in turn when a set-up does not converge directly.
const STAGES: [usize; 2] = [4, 12];
/// How exactly the coarse mesh is solved: unbalanced force, N, and barrier, N mm.
const ROUGHLY_N: f64 = 3.0e-2;
const ROUGHLY_NMM: f64 = 1.0e-4;

/// Initial guess for a fresh wire: its shape, interpolated to the mesh of the solve, and the cost of
/// finding it.
struct InitialGuess {
    shape: WireShape,
    trace: Vec<SolveStep>,
    iterations: usize,
}

impl PreparedSetup<'_> {
    /// Chooses the mesh density, and returns the coarse solution where one was computed for the choice.
    fn choose_density(&self, start: Start<'_>) -> (MeshDensity, Option<InitialGuess>) {
        let settings = &self.setup.settings;
        if settings.refinement > 0 {
            return (MeshDensity::Even(settings.refinement), None);
        }
        if settings.kinematics == Kinematics::SmallSlope {
            return (MeshDensity::Even(if self.linear { 2 } else { 1 }), None);
        }
        match start {
            Start::Warm(s) | Start::Carry(s) => match &s.shape.mesh_density {
                MeshDensity::Each(parts) if parts.len() + 1 != 2 * self.seats.len() => {
                    (mesh_density::standard(self), None)
                }
                // Each line asks for its own.
                _ if s.shape.over_slots != self.line.slots().is_some() => {
                    (mesh_density::standard(self), None)
                }
                grain => (grain.clone(), None),
            },
            Start::Cold => {
                self.by_the_coarse_mesh().unwrap_or_else(|| (mesh_density::standard(self), None))
            }
            Start::History(_) => (mesh_density::standard(self), None),
        }
    }

    /// Thrust on every tooth at a shape; nothing where the one that the teeth are under stands.
    fn thrust(
        &self,
        (mesh, contacts, teeth): (&Mesh, &[Contact], &[ElasticTooth]),
        axial: &Axial,
        iterate: &Iterate,
    ) -> Option<Vec<SixForces>> {
        let now = thrust::of(&ConvergedState {
            setup: self.setup,
            slot_edges: &self.seats,
            mesh,
            bending: &self.bending,
            contacts,
            teeth,
            iterate,
            axial,
            outcome: NewtonOutcome::default(),
            grain: &MeshDensity::default(),
        });
        let stands = iterate.thrust.len() == now.len()
            && thrust::stands(&now, &iterate.thrust, &self.setup.settings);
        (!stands).then_some(now)
    }

    /// Solves a fresh wire approximately on the coarse mesh.
    fn by_the_coarse_mesh(&self) -> Option<(MeshDensity, Option<InitialGuess>)> {
        let settings = SolverSettings {
            force_tolerance_n: self.setup.settings.force_tolerance_n.max(ROUGHLY_N),
            barrier_nmm: self.setup.settings.barrier_nmm.max(ROUGHLY_NMM),
            ..self.setup.settings
        };
        let mesh = self.mesh(&MeshDensity::Each(mesh_density::least(self)));
        let (contacts, teeth) = self.contacts(&mesh).ok()?;
        let fresh = MomentMemo::default();
        let kinematics = settings.kinematics;
        let none = Axial::default();
        let follow = |iterate: &Iterate| self.thrust((&mesh, &contacts, &teeth), &none, iterate);
        let mut problem =
            EquilibriumProblem::new(&mesh, &self.bending, kinematics, &fresh, &contacts, &teeth);
        problem.follow = thrust::moves(&settings, &teeth).then_some(&follow);
        let (iterate, outcome) = cold_start(&problem, &settings);
        if !outcome.converged {
            return None;
        }
        let grain = MeshDensity::Each(mesh_density::wanted(self, &mesh, &iterate)?);
        let finer = self.mesh(&grain);
        let (contacts, _) = self.contacts(&finer).ok()?;
        let shape = WireShape {
            dofs: mesh_density::carried_over(&mesh, &iterate.nodes, &finer),
            stations_mm: finer.x,
            keys: keys(&self.seats, &contacts),
            contact_states: iterate.touches,
            stands: report::stands(&self.seats, &teeth, &iterate.carried),
            carried: iterate.carried,
            thrust: iterate.thrust,
            mesh_density: grain.clone(),
            over_slots: self.line.slots().is_some(),
        };
        let NewtonOutcome { iterations, .. } = outcome;
        Some((grain, Some(InitialGuess { shape, trace: iterate.trace, iterations })))
    }
}

/// Solves as if no teeth were tied together.
pub(crate) fn solve_loose(
    setup: &Setup,
    start: Start<'_>,
    way: SupportWay<'_>,
) -> Result<Solution, Refusal> {
    let SolverSettings { steep, edges, kinematics, .. } = setup.settings;
    let over_the_arch = edges == Edges::OnNormals && kinematics == Kinematics::Exact;
    if steep == Steep::Refused || !over_the_arch {
        return solve_over_its_line(setup, start, way);
    }
    let over_the_slots = || Setup { settings: setup.settings.over_the_slots(), ..setup.clone() };
    if goes_on_over_the_slots(start) {
        return solve_over_its_line(&over_the_slots(), start, way);
    }
    match solve_over_its_line(setup, start, way) {
        Err(steep @ (Refusal::SnapThrough { .. } | Refusal::Turn { .. })) => {
            let again = solve_over_its_line(&over_the_slots(), start, way);
            // A wire that would run back over the slot line says less of the plan than what the arch line says.
            again.map_err(|refusal| match refusal {
                Refusal::Strain { .. } => refusal,
                Refusal::Turn { turn_rad, .. } if turn_rad < FRAC_PI_2 => refusal,
                _ => steep,
            })
        }
        other => other,
    }
}

/// Whether a solve continues one that was made over the slot line.
fn goes_on_over_the_slots(start: Start<'_>) -> bool {
    match start {
        Start::Carry(solution) => solution.shape.over_slots,
        Start::History(history) => history.over_slots,
        Start::Cold | Start::Warm(_) => false,
    }
}

/// Solves over the line that the settings name. The slot line leads through slots where the wire would have them
/// stay; teeth give, and a stiff wire then lies far to the inside of its bends. Where it is refused for that, the
/// line is drawn through the slots where the teeth have gone.
fn solve_over_its_line(
    setup: &Setup,
    start: Start<'_>,
    way: SupportWay<'_>,
) -> Result<Solution, Refusal> {
    let first = solve_counting(setup, start, way, &[]);
    let Err(refusal @ Refusal::Turn { .. }) = first else { return first };
    if setup.settings.edges == Edges::OnNormals {
        return Err(refusal);
    }
    let any_turn = SolverSettings { wire_turn_limit_rad: ANY_TURN_RAD, ..setup.settings };
    let believed = Setup { settings: any_turn, ..setup.clone() };
    let mut gone: Vec<(u16, SixForces)> = Vec::new();
    for _ in 0..REDRAWN {
        let Ok(found) = solve_counting(&believed, start, way, &gone) else { break };
        gone = found.teeth.iter().map(|t| (t.id, t.gave.six())).collect();
        let again = solve_counting(setup, start, way, &gone);
        if again.is_ok() {
            return again;
        }
    }
    Err(refusal)
}

/// The slot line is drawn anew this often.
const REDRAWN: usize = 3;
/// Past any turn of a wire.
const ANY_TURN_RAD: f64 = 4.0;

/// Solves with the base line through the teeth where they have gone.
fn solve_counting(
    setup: &Setup,
    start: Start<'_>,
    way: SupportWay<'_>,
    gone: &[(u16, SixForces)],
) -> Result<Solution, Refusal> {
    let gave = |id: u16| {
        let found = gone.iter().find(|g| g.0 == id);
        // Along the arch the line counts by stations, which stay.
        found.map_or([0.0; 6], |(_, by)| [by[0], by[1], by[2], by[3], by[4], 0.0])
    };
    let mut moved;
    let mut at = setup;
    if !gone.is_empty() {
        moved = setup.clone();
        for slot in &mut moved.slots {
            slot.stand = slot.stand.moved_across(&gave(slot.id));
        }
        at = &moved;
    }
    let ground = PreparedSetup::new(at, way)?;
    let counted = match gone {
        [] => Vec::new(),
        _ => ground.seats.iter().map(|s| gave(s.slot.id)).collect(),
    };
    let ground = ground.counting(counted);
    let (mut grain, mut begun) = ground.choose_density(start);
    if !gone.is_empty() && setup.settings.refinement == 0 {
        // Drawn through teeth that have given, the line turns less than the wire does.
        let as_they_stand = PreparedSetup::new(setup, way)?;
        let finer =
            mesh_density::no_coarser(grain.clone(), &mesh_density::standard(&as_they_stand));
        if finer != grain {
            (grain, begun) = (finer, None);
        }
    }
    match solve_on(&ground, &grain, start, begun.as_ref(), None) {
        Ok(Some(solution)) => Ok(solution),
        // Where the coarse mesh proved insufficient, or no solution was found, the whole wire gets the
        // standard mesh.
        Ok(None) | Err(_) if grain.coarse() || begun.is_some() => {
            let grain = mesh_density::no_coarser(mesh_density::standard(&ground), &grain);
            let all = solve_on(&ground, &grain, start, None, None)?;
            all.ok_or(Refusal::Unsolved { what: "the standard mesh was called too coarse" })
        }
        Ok(None) => Err(Refusal::Unsolved { what: "an even mesh was called too coarse" }),
        Err(refusal) => Err(refusal),
    }
}

/// Given axial forces of a wire, compression positive, N: of each piece between two held edges, and beyond
/// both ends.
pub(crate) struct AxialForces {
    pub pieces_n: Vec<f64>,
    pub ends_n: [f64; 2],
}

/// Solves again under given axial forces, bounds on lengths left out of account.
pub(crate) fn solve_under(
    setup: &Setup,
    start: Start<'_>,
    axial: &AxialForces,
) -> Result<Solution, Refusal> {
    let ground = PreparedSetup::new(setup, SupportWay::NONE)?;
    let (grain, begun) = ground.choose_density(start);
    if let Some(solution) = solve_on(&ground, &grain, start, begun.as_ref(), Some(axial))? {
        return Ok(solution);
    }
    let all = solve_on(&ground, &mesh_density::standard(&ground), start, None, Some(axial))?;
    all.ok_or(Refusal::Unsolved { what: "an even mesh was called too coarse" })
}

/// Solves on one mesh; `None` where that mesh turned out too coarse.
fn solve_on(
    ground: &PreparedSetup<'_>,
    grain: &MeshDensity,
    start: Start<'_>,
    begun: Option<&InitialGuess>,
    given: Option<&AxialForces>,
) -> Result<Option<Solution>, Refusal> {
    let PreparedSetup { setup, seats, bending, .. } = ground;
    let settings = &setup.settings;
    let mesh = ground.mesh(grain);
    let (contacts, teeth) = ground.contacts(&mesh)?;
    let before = match start {
        Start::Carry(s) => Some(&s.history),
        Start::History(h) => Some(h),
        Start::Cold | Start::Warm(_) => None,
    };
    let state = before.map_or_else(Vec::new, |h| h.at(&mesh, seats, bending.fibres()));
    let ready = bending.ready(&state);
    let known = match start {
        Start::Warm(s) | Start::Carry(s) => Some(&s.shape),
        Start::Cold | Start::History(_) => begun.map(|b| &b.shape),
    };
    let given = given.map(|g| Axial::given(&g.pieces_n, g.ends_n, &mesh));
    let free = Axial::default();
    let ends = given.as_ref().unwrap_or(&free);
    let follow = |iterate: &Iterate| ground.thrust((&mesh, &contacts, &teeth), ends, iterate);
    let mut problem =
        EquilibriumProblem::new(&mesh, bending, settings.kinematics, &ready, &contacts, &teeth);
    problem.axial = given.as_ref();
    problem.follow = thrust::moves(settings, &teeth).then_some(&follow);
    let problem = &problem;

    let warm = known.and_then(|s| warm_start(s, seats, problem, settings));
    let mut spent = 0;
    let (mut iterate, mut outcome) = match warm.filter(|(_, outcome)| outcome.converged) {
        Some((mut iterate, mut outcome)) => {
            if let Some(begun) = begun {
                let own = std::mem::replace(&mut iterate.trace, begun.trace.clone());
                iterate.trace.extend(own);
                outcome.iterations += begun.iterations;
            }
            (iterate, outcome)
        }
        None => {
            let (iterate, outcome) = cold_start(problem, settings);
            spent += outcome.iterations;
            (iterate, outcome)
        }
    };
    for stages in STAGES {
        if outcome.converged {
            break;
        }
        (iterate, outcome) = match ground.line {
            BaseLine::Arch(_) => in_stages(problem, settings, stages),
            BaseLine::Slots(_) => turned_in(ground, grain, problem, stages),
        };
        spent += outcome.iterations;
    }
    outcome.iterations = outcome.iterations.max(spent);
    let mut axial = given.clone().unwrap_or_default();
    if given.is_none() && !setup.wire.bounds.is_empty() && settings.kinematics == Kinematics::Exact
    {
        let bounds = Axial::of(&setup.wire.bounds, seats, &mesh);
        axial = bind(problem, bounds, settings, (&mut iterate, &mut outcome));
    }
    if let MeshDensity::Each(parts) = grain
        && mesh_density::too_coarse(ground, parts, &mesh, &iterate.nodes, &iterate.curvatures)
    {
        return Ok(None);
    }

    let solved = ConvergedState {
        setup,
        slot_edges: seats,
        mesh: &mesh,
        bending,
        contacts: &contacts,
        teeth: &teeth,
        iterate: &iterate,
        axial: &axial,
        outcome,
        grain,
    };
    let strains = StrainAlong::of(&solved);
    report::refuse(&solved, &strains)?;
    if before.is_none() && settings.kinematics == Kinematics::Exact && !mesh.spatial() {
        let (slope, node) = report::steepest(&solved);
        if slope > STEEP && snaps_through(problem, settings, solved.outcome.energy_nmm) {
            let id = report::nearest(&solved, node);
            return Err(Refusal::SnapThrough { id, turn_rad: slope.atan() });
        }
    }
    let history = History::after(&mesh, seats, bending, &state, &iterate.curvatures);
    Ok(Some(report::solution(&solved, &strains, history)))
}

/// True when the wire stores more energy at an intermediate displacement than at the end: it has snapped
/// through its slots.
fn snaps_through(
    problem: &EquilibriumProblem<'_>,
    settings: &SolverSettings,
    energy_nmm: f64,
) -> bool {
    ON_THE_WAY.iter().any(|&share| {
        let part = shared(problem.contacts, share);
        let here = problem.with_contacts(&part);
        let (_, outcome) = cold_start(&here, settings);
        outcome.converged && outcome.energy_nmm > LOSES * energy_nmm
    })
}

/// The contacts with the displacements scaled by a load factor.
fn shared(contacts: &[Contact], share: f64) -> Vec<Contact> {
    contacts.iter().map(|c| Contact { target: share * c.target, ..*c }).collect()
}

fn cold_start(
    problem: &EquilibriumProblem<'_>,
    settings: &SolverSettings,
) -> (Iterate, NewtonOutcome) {
    // The slot line is a shape of the wire by itself, through every slot and nowhere steep.
    let first = if problem.mesh.spatial() { None } else { problem.first_shape() };
    let mut iterate = first.unwrap_or_else(|| flat(problem));
    imperfect(problem, &mut iterate);
    enter(problem, &mut iterate, COLD_BARRIER);
    let outcome = problem.minimise(&mut iterate, settings, COLD_BARRIER);
    (iterate, outcome)
}

fn flat(problem: &EquilibriumProblem<'_>) -> Iterate {
    Iterate {
        nodes: vec![NodeValues::default(); problem.mesh.nodes()],
        touches: vec![ContactState::default(); problem.contacts.len()],
        carried: problem.teeth.iter().map(|t| t.load).collect(),
        ..Iterate::default()
    }
}

/// A wire compressed by its own thrust may rest on a saddle point inside its clearance. A perturbation of
/// a thousandth of a millimetre makes it leave to one side, always the same, and in a mirrored arch to the mirrored one.
fn imperfect(problem: &EquilibriumProblem<'_>, iterate: &mut Iterate) {
    let sense = if leans_left(problem) { -1.0 } else { 1.0 };
    for (i, node) in iterate.nodes.iter_mut().enumerate() {
        let free = !problem.contacts.iter().any(|c| c.node == i && c.room == Room::Held);
        if free {
            node[2] += 1e-3 * (0.9 * sense * problem.mesh.x[i] + 0.3).sin();
        }
    }
}

/// Tells an arch from its mirror image: which half has more of what is written on it, by distance from the midline. A
/// symmetric arch, which is its own image, does not lean.
fn leans_left(problem: &EquilibriumProblem<'_>) -> bool {
    let (mut sum, mut size) = (0.0, 0.0);
    for contact in problem.contacts {
        let room_mm = match contact.room {
            Room::Held => 0.0,
            Room::Between { low, high } => high - low,
        };
        // Neither what lies across the arch nor a twist about it changes its sign in a mirror.
        let [lingual_n, gingival_n, ..] = problem.teeth[contact.tooth].load;
        let here = contact.target + room_mm + lingual_n + gingival_n;
        let moment = here * problem.mesh.x[contact.node];
        sum += moment;
        size += moment.abs();
    }
    sum > ROUNDING * size
}

/// What two sides of a symmetric arch differ by.
const ROUNDING: f64 = 1e-9;

/// Slacks and forces for the barrier at the present shape.
fn enter(problem: &EquilibriumProblem<'_>, iterate: &mut Iterate, barrier: f64) {
    let gaps = problem.gaps(&iterate.nodes, &iterate.carried);
    iterate.touches = problem
        .contacts
        .iter()
        .zip(&gaps)
        .map(|(c, &g)| ContactState::inside(c.room, g, barrier))
        .collect();
}

/// Applies the displacements in load steps, each starting from the last.
fn in_stages(
    problem: &EquilibriumProblem<'_>,
    settings: &SolverSettings,
    stages: usize,
) -> (Iterate, NewtonOutcome) {
    let mut iterate = flat(problem);
    imperfect(problem, &mut iterate);
    let mut spent = 0;
    let mut last = None;
    for stage in 1..=stages {
        let share = stage as f64 / stages as f64;
        let part = shared(problem.contacts, share);
        let here = problem.with_contacts(&part);
        enter(&here, &mut iterate, COLD_BARRIER);
        let outcome = here.minimise(&mut iterate, settings, COLD_BARRIER);
        spent += outcome.iterations;
        let is_lost = !outcome.converged;
        last = Some(outcome);
        if is_lost {
            break;
        }
    }
    let outcome = last.unwrap_or(NewtonOutcome {
        converged: false,
        iterations: 0,
        residual_n: f64::INFINITY,
        node: 0,
        energy_nmm: f64::NAN,
    });
    (iterate, NewtonOutcome { iterations: spent, ..outcome })
}

/// Lets the teeth take their stands in steps, each starting from the last: over the slot line, which moves with
/// them.
fn turned_in(
    ground: &PreparedSetup<'_>,
    grain: &MeshDensity,
    problem: &EquilibriumProblem<'_>,
    stages: usize,
) -> (Iterate, NewtonOutcome) {
    let settings = &ground.setup.settings;
    let mut spent = 0;
    let mut last: Option<(Mesh, Iterate)> = None;
    for stage in 1..stages {
        let mut setup = ground.setup.clone();
        let share = stage as f64 / stages as f64;
        for slot in &mut setup.slots {
            let stand = &mut slot.stand;
            for part in [
                &mut stand.lingual_mm,
                &mut stand.gingival_mm,
                &mut stand.along_mm,
                &mut stand.rotated_rad,
                &mut stand.tipped_rad,
                &mut stand.torque_rad,
                &mut slot.prescription_rad,
            ] {
                *part *= share;
            }
        }
        let Ok(part) = PreparedSetup::new(&setup, ground.way) else { continue };
        let mesh = part.mesh(grain);
        let Ok((contacts, teeth)) = part.contacts(&mesh) else { continue };
        let here = EquilibriumProblem::new(
            &mesh,
            &part.bending,
            settings.kinematics,
            problem.memory,
            &contacts,
            &teeth,
        );
        if contacts.len() != problem.contacts.len() {
            continue;
        }
        let (iterate, outcome) = search_from(last.take(), &here, settings);
        spent += outcome.iterations;
        // A wire lost on the way is not found again at the end of it, only later.
        if !outcome.converged {
            let here = SolverSettings { max_iterations: 0, ..*settings };
            let (iterate, outcome) = search_from(Some((mesh, iterate)), problem, &here);
            return (iterate, NewtonOutcome { iterations: spent, converged: false, ..outcome });
        }
        last = Some((mesh, iterate));
    }
    let (iterate, outcome) = search_from(last, problem, settings);
    (iterate, NewtonOutcome { iterations: spent + outcome.iterations, ..outcome })
}

/// Searches from the shape of the same teeth standing otherwise; from the base line where there is none.
fn search_from(
    last: Option<(Mesh, Iterate)>,
    problem: &EquilibriumProblem<'_>,
    settings: &SolverSettings,
) -> (Iterate, NewtonOutcome) {
    let mut iterate = flat(problem);
    if let Some((mesh, found)) = last {
        iterate.nodes = mesh_density::drawn_over(&mesh, &found.nodes, problem.mesh);
        iterate.carried = found.carried;
    } else {
        imperfect(problem, &mut iterate);
    }
    enter(problem, &mut iterate, COLD_BARRIER);
    let outcome = problem.minimise(&mut iterate, settings, COLD_BARRIER);
    (iterate, outcome)
}

/// Begins from the shape of an earlier solve, matched by tooth and edge; `None` where the teeth differ.
fn warm_start(
    shape: &WireShape,
    seats: &[SlotEdges],
    problem: &EquilibriumProblem<'_>,
    settings: &SolverSettings,
) -> Option<(Iterate, NewtonOutcome)> {
    let other_base = shape.over_slots != problem.mesh.spatial();
    if other_base
        || shape.dofs.len() != problem.mesh.nodes()
        || shape.keys != keys(seats, problem.contacts)
    {
        return None;
    }
    let mut iterate = Iterate {
        nodes: shape.dofs.clone(),
        touches: Vec::new(),
        carried: still_standing(shape, seats, problem),
        thrust: shape.thrust.clone(),
        ..Iterate::default()
    };
    let gaps = problem.gaps(&iterate.nodes, &iterate.carried);
    iterate.touches = problem
        .contacts
        .iter()
        .zip(&gaps)
        .zip(&shape.contact_states)
        .map(|((contact, &gap), old)| match contact.room {
            Room::Held => *old,
            Room::Between { low, high } => {
                let floor = 0.02 * (high - low);
                let slack = [(gap - low).max(floor), (high - gap).max(floor)];
                let force = [0, 1].map(|k| old.force[k].max(WARM_BARRIER / slack[k]));
                ContactState { slack, force }
            }
        })
        .collect();
    let outcome = problem.minimise(&mut iterate, settings, WARM_BARRIER);
    Some((iterate, outcome))
}

/// What the supports carry where every tooth is still where it was, though its place has moved or its support is
/// another.
fn still_standing(
    shape: &WireShape,
    seats: &[SlotEdges],
    problem: &EquilibriumProblem<'_>,
) -> Vec<SixForces> {
    let mut carried = shape.carried.clone();
    for (((own, stood), seat), tooth) in
        carried.iter_mut().zip(&shape.stands).zip(seats).zip(problem.teeth)
    {
        let stand = seat.slot.stand.six();
        let mut gave = [0.0; 6];
        for k in 0..6 {
            gave[k] = stood[k] - stand[k] + tooth.back[k];
        }
        let still = tooth.give.held_by(&gave);
        if still.iter().all(|w| w.is_finite()) {
            *own = still;
        }
    }
    carried
}
