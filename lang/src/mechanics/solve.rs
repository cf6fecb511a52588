//! Equilibrium of one wire in its slots.

use super::bending::Bending;
use super::contact::{Contact, Room, Tooth, Touch};
use super::crease::creases;
use super::equilibrium::{Iterate, Outcome, Problem};
use super::mesh::{Mesh, Node};
use super::seat::{Seat, contacts, seats};
use super::solution::{ContactKey, Shape};
use super::{
    History, Kinematics, Law, Refusal, Section, Settings, Setup, Shear, Solution, Stock, check,
    closed, report,
};

/// What a solve starts from.
#[derive(Debug, Clone, Copy, Default)]
pub enum Start<'a> {
    /// A fresh wire, put in.
    #[default]
    Cold,
    /// A fresh wire, but the solver may begin from the shape of a like one: same answer, faster.
    Warm(&'a Solution),
    /// The same wire after the teeth have moved: material history and shape carried on.
    Carry(&'a Solution),
    /// The same wire, its history known but no shape.
    History(&'a History),
}

/// Barrier at the start of a search, N mm: about a force times a clearance.
const COLD_BARRIER: f64 = 1.0e-1;
const WARM_BARRIER: f64 = 1.0e-3;
/// Slope of the wire from which it may have let go on the way. Every jump found by moving one tooth away
/// step by step lay beyond it (tests/invariants.rs).
const STEEP: f64 = 1.5;
/// How much more energy on the way says that it has: jumps lose two fifths and more.
const LOSES: f64 = 1.5;
/// Shares of the stands at which the wire is looked at again.
const ON_THE_WAY: [f64; 3] = [0.7, 0.8, 0.9];
/// Shares of the stands tried in turn when a set-up does not converge at once.
const STAGES: [usize; 2] = [4, 12];

/// A solved set-up with what was needed to solve it.
pub(crate) struct Solved<'a> {
    pub setup: &'a Setup,
    pub seats: &'a [Seat],
    pub mesh: &'a Mesh,
    pub bending: &'a Bending,
    pub contacts: &'a [Contact],
    pub teeth: &'a [Tooth],
    pub iterate: &'a Iterate,
    pub curvatures: &'a [[f64; 2]],
    pub outcome: Outcome,
}

/// Solves for the forces on every tooth.
///
/// # Errors
/// A [`Refusal`] where the input is impossible, the wire cannot reach a tooth, or no equilibrium is found.
pub fn solve(setup: &Setup, start: Start<'_>) -> Result<Solution, Refusal> {
    check::setup(setup)?;
    let settings = &setup.settings;
    let stocks: Vec<Stock> = std::iter::once(setup.wire.stock).chain(setup.wire.tandem).collect();
    let bending = Bending::new(&stocks, settings.fibres_across.max(4)).ok_or(Refusal::Input {
        id: None,
        what: "the stiffness of the wire",
        value: f64::NAN,
    })?;
    let seats = seats(setup)?;
    let spans: Vec<(f64, f64)> = seats
        .iter()
        .filter_map(|s| Some((s.edges.first()?.station_mm, s.edges.last()?.station_mm)))
        .collect();
    let linear = stocks.iter().all(|s| matches!(s.law, Law::Linear(_)));
    let refinement = match settings.refinement {
        0 if linear => 2,
        0 => 1,
        set => set,
    };
    let mesh = Mesh::new(
        &setup.arch,
        &spans,
        &creases(&setup.wire, &seats),
        shear_lengths(setup, &stocks),
        refinement,
    );
    let (contacts, teeth) = contacts(setup, &seats, &mesh)?;
    let before = match start {
        Start::Carry(s) => Some(&s.history),
        Start::History(h) => Some(h),
        Start::Cold | Start::Warm(_) => None,
    };
    let state = before.map_or_else(Vec::new, |h| h.at(&mesh, bending.fibres()));
    let ready = bending.ready(&state);
    let problem = Problem::new(&mesh, &bending, settings.kinematics, &ready, &contacts, &teeth);

    let shape = match start {
        Start::Warm(s) | Start::Carry(s) => Some(&s.shape),
        Start::Cold | Start::History(_) => None,
    };
    let warm = shape.and_then(|s| warm_start(s, &seats, &problem, settings));
    let mut found = warm.filter(|(_, outcome)| outcome.converged);
    let mut spent = 0;
    if found.is_none() {
        let (iterate, outcome) = cold_start(&problem, settings);
        spent += outcome.iterations;
        found = Some((iterate, outcome));
    }
    for stages in STAGES {
        let Some((_, outcome)) = &found else { break };
        if outcome.converged {
            break;
        }
        let staged = in_stages(&problem, settings, stages);
        spent += staged.1.iterations;
        found = Some(staged);
    }
    let Some((iterate, outcome)) = found else {
        return Err(Refusal::TooFewTeeth { engaged: 0 });
    };
    let outcome = Outcome { iterations: outcome.iterations.max(spent), ..outcome };

    let solved = Solved {
        setup,
        seats: &seats,
        mesh: &mesh,
        bending: &bending,
        contacts: &contacts,
        teeth: &teeth,
        iterate: &iterate,
        curvatures: &iterate.curvatures,
        outcome,
    };
    report::refuse(&solved)?;
    if before.is_none() && settings.kinematics == Kinematics::Exact {
        let (slope, node) = report::steepest(&solved);
        if slope > STEEP && lets_go(&problem, settings, solved.outcome.energy_nmm) {
            let id = report::nearest(&solved, node);
            return Err(Refusal::LetsGo { id, turn_rad: slope.atan() });
        }
    }
    let history = History::after(&mesh, &bending, &state, &iterate.curvatures);
    Ok(report::solution(&solved, history))
}

/// True when the wire stores more on the way to this shape than in it: it has run through its slots.
fn lets_go(problem: &Problem<'_>, settings: &Settings, energy_nmm: f64) -> bool {
    ON_THE_WAY.iter().any(|&share| {
        let part = shared(problem.contacts, share);
        let here = problem.with_contacts(&part);
        let (_, outcome) = cold_start(&here, settings);
        outcome.converged && outcome.energy_nmm > LOSES * energy_nmm
    })
}

/// The contacts with a share of the stands.
fn shared(contacts: &[Contact], share: f64) -> Vec<Contact> {
    contacts.iter().map(|c| Contact { target: share * c.target, ..*c }).collect()
}

/// `12 EI / (k G A)` for the two planes, mm^2, where shear counts.
fn shear_lengths(setup: &Setup, stocks: &[Stock]) -> [f64; 2] {
    let on = match setup.wire.shear {
        Shear::On => true,
        Shear::Off => false,
        Shear::WhereStiff => stocks.iter().all(|s| {
            let solid = s.section.stiffness_ratio == 1.0;
            let flat = matches!(s.section.shape, super::Shape::Rectangular { .. });
            solid && flat && matches!(s.law, Law::Linear(_))
        }),
    };
    if !on || setup.settings.kinematics == Kinematics::SmallSlope && setup.wire.shear != Shear::On {
        return [0.0; 2];
    }
    let (mut shear, mut bend) = (0.0, [0.0; 2]);
    for Stock { section, law } in stocks {
        let (area, factor) = area_and_shear_factor(section);
        shear += factor * law.shear_modulus_mpa() * area * section.stiffness_ratio;
        if let Some((vertical, horizontal)) = closed::flexural_rigidity(section, law) {
            bend[0] += horizontal;
            bend[1] += vertical;
        }
    }
    bend.map(|ei| 12.0 * ei / shear)
}

fn area_and_shear_factor(section: &Section) -> (f64, f64) {
    match section.shape {
        super::Shape::Round { diameter_mm } => {
            (std::f64::consts::PI * diameter_mm * diameter_mm / 4.0, 0.9)
        }
        super::Shape::Rectangular { height_mm, depth_mm, .. } => (height_mm * depth_mm, 5.0 / 6.0),
    }
}

fn cold_start(problem: &Problem<'_>, settings: &Settings) -> (Iterate, Outcome) {
    let mut iterate = problem.first_shape().unwrap_or_else(|| flat(problem));
    imperfect(problem, &mut iterate);
    enter(problem, &mut iterate, COLD_BARRIER);
    let outcome = problem.minimise(&mut iterate, settings, COLD_BARRIER);
    (iterate, outcome)
}

fn flat(problem: &Problem<'_>) -> Iterate {
    Iterate {
        nodes: vec![Node::default(); problem.mesh.nodes()],
        touches: vec![Touch::default(); problem.contacts.len()],
        carried: problem.teeth.iter().map(|t| t.load).collect(),
        ..Iterate::default()
    }
}

/// A wire squeezed by its own thrust may stand on a saddle inside its play; a thousandth of a
/// millimetre off lets it choose a side, always the same.
fn imperfect(problem: &Problem<'_>, iterate: &mut Iterate) {
    for (i, node) in iterate.nodes.iter_mut().enumerate() {
        let free = !problem.contacts.iter().any(|c| c.node == i && c.room == Room::Held);
        if free {
            node[2] += 1e-3 * (0.9 * problem.mesh.x[i] + 0.3).sin();
        }
    }
}

/// Slacks and forces for the barrier at the present shape.
fn enter(problem: &Problem<'_>, iterate: &mut Iterate, barrier: f64) {
    let gaps = problem.gaps(&iterate.nodes, &iterate.carried);
    iterate.touches = problem
        .contacts
        .iter()
        .zip(&gaps)
        .map(|(c, &g)| Touch::inside(c.room, g, barrier))
        .collect();
}

/// Brings the stands in by shares, each share from the last.
fn in_stages(problem: &Problem<'_>, settings: &Settings, stages: usize) -> (Iterate, Outcome) {
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
        last = Some(outcome);
    }
    let outcome = last.unwrap_or(Outcome {
        converged: false,
        iterations: 0,
        residual_n: f64::INFINITY,
        node: 0,
        energy_nmm: f64::NAN,
    });
    (iterate, Outcome { iterations: spent, ..outcome })
}

/// Begins from the shape of an earlier solve, matched by tooth and edge; `None` where the teeth differ.
fn warm_start(
    shape: &Shape,
    seats: &[Seat],
    problem: &Problem<'_>,
    settings: &Settings,
) -> Option<(Iterate, Outcome)> {
    if shape.dofs.len() != problem.mesh.nodes() || shape.keys != keys(seats, problem.contacts) {
        return None;
    }
    let mut iterate = Iterate {
        nodes: shape.dofs.clone(),
        touches: Vec::new(),
        carried: shape.carried.clone(),
        ..Iterate::default()
    };
    let gaps = problem.gaps(&iterate.nodes, &iterate.carried);
    iterate.touches = problem
        .contacts
        .iter()
        .zip(&gaps)
        .zip(&shape.touches)
        .map(|((contact, &gap), old)| match contact.room {
            Room::Held => *old,
            Room::Between { low, high } => {
                let floor = 0.02 * (high - low);
                let slack = [(gap - low).max(floor), (high - gap).max(floor)];
                let force = [0, 1].map(|k| old.force[k].max(WARM_BARRIER / slack[k]));
                Touch { slack, force }
            }
        })
        .collect();
    let outcome = problem.minimise(&mut iterate, settings, WARM_BARRIER);
    Some((iterate, outcome))
}

/// Names of the contacts, to recognise the same set-up again.
pub(crate) fn keys(seats: &[Seat], contacts: &[Contact]) -> Vec<ContactKey> {
    contacts
        .iter()
        .map(|c| ContactKey {
            id: seats[c.tooth].slot.id,
            node: c.node,
            dof: c.dof,
            held: c.room == Room::Held,
        })
        .collect()
}
