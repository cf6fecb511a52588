//! What a set-up determines before the mesh is chosen.

use super::bending::Bending;
use super::contact::{Contact, ElasticTooth};
use super::mesh::{Mesh, MeshDensity, RestCurvature};
use super::rest_curvature::creases;
use super::slot_edges::{SlotEdges, place_slots};
use super::slot_line::BaseLine;
use super::support::{SixForces, SupportWay};
use super::{
    Kinematics, Law, Refusal, Setup, Shear, Stock, WireSection, check, closed, slot_edges,
};

/// Everything derived from a set-up before the mesh is chosen.
pub(crate) struct PreparedSetup<'a> {
    pub setup: &'a Setup,
    /// What the supports are softer by.
    pub way: SupportWay<'a>,
    pub seats: Vec<SlotEdges>,
    pub bending: Bending,
    pub line: BaseLine,
    /// Where the edges of each slot lie along the base line: first and last.
    pub spans: Vec<(f64, f64)>,
    pub creases: Vec<RestCurvature>,
    pub shear: [f64; 2],
    pub linear: bool,
    /// How far each tooth, in order of station, stands in the set-up from where it belongs to: what the slot line
    /// counts as given already. Empty where that is nothing.
    counted: Vec<SixForces>,
}

impl<'a> PreparedSetup<'a> {
    pub fn new(setup: &'a Setup, way: SupportWay<'a>) -> Result<PreparedSetup<'a>, Refusal> {
        check::setup(setup)?;
        let stocks: Vec<Stock> =
            std::iter::once(setup.wire.stock).chain(setup.wire.tandem).collect();
        let bending =
            Bending::new(&stocks, setup.settings.fibres_across.max(4)).ok_or(Refusal::Input {
                id: None,
                what: "the stiffness of the wire",
                value: f64::NAN,
            })?;
        let (seats, line) = place_slots(setup)?;
        let stations: Vec<(f64, f64)> = seats
            .iter()
            .filter_map(|s| Some((s.edges.first()?.station_mm, s.edges.last()?.station_mm)))
            .collect();
        let spans = line.slots().map_or_else(|| stations.clone(), |line| line.at_mm.clone());
        let creases = creases(&setup.wire, &stations, &spans);
        let shear = shear_lengths(setup, &stocks);
        let linear = stocks.iter().all(|s| matches!(s.law, Law::Linear(_)));
        Ok(PreparedSetup {
            setup,
            way,
            seats,
            bending,
            line,
            spans,
            creases,
            shear,
            linear,
            counted: Vec::new(),
        })
    }

    /// Counts the teeth as that far from their places in the set-up.
    pub fn counting(self, counted: Vec<SixForces>) -> PreparedSetup<'a> {
        PreparedSetup { counted, ..self }
    }

    pub fn mesh(&self, grain: &MeshDensity) -> Mesh {
        Mesh::new(&self.line, &self.spans, &self.creases, self.shear, grain)
    }

    pub fn contacts(&self, mesh: &Mesh) -> Result<(Vec<Contact>, Vec<ElasticTooth>), Refusal> {
        let (contacts, mut teeth) = slot_edges::contacts(self.setup, &self.seats, mesh, self.way)?;
        for (tooth, counted) in teeth.iter_mut().zip(&self.counted) {
            tooth.counted = *counted;
            for k in 0..6 {
                tooth.back[k] += counted[k];
            }
        }
        Ok((contacts, teeth))
    }
}

/// `12 EI / (k G A)` for the two planes, mm^2, where shear counts.
fn shear_lengths(setup: &Setup, stocks: &[Stock]) -> [f64; 2] {
    let on = match setup.wire.shear {
        Shear::On => true,
        Shear::Off => false,
        Shear::WhereStiff => stocks.iter().all(|s| {
            let solid = s.section.stiffness_ratio == 1.0;
            let flat = matches!(s.section.shape, super::SectionShape::Rectangular { .. });
            solid && flat && matches!(s.law, Law::Linear(_))
        }),
    };
    if !on || setup.settings.kinematics == Kinematics::SmallSlope && setup.wire.shear != Shear::On {
        return [0.0; 2];
    }
    let (mut shear, mut bend) = (0.0, [0.0; 2]);
    for Stock { section, law } in stocks {
        let area = closed::area(section) * section.stiffness_ratio;
        shear += shear_factor(section) * law.shear_modulus_mpa() * area;
        if let Some((vertical, horizontal)) = closed::flexural_rigidity(section, law) {
            bend[0] += horizontal;
            bend[1] += vertical;
        }
    }
    bend.map(|ei| 12.0 * ei / shear)
}

/// Share of the area that carries shear.
fn shear_factor(section: &WireSection) -> f64 {
    match section.shape {
        super::SectionShape::Round { .. } => 0.9,
        super::SectionShape::Rectangular { .. } => 5.0 / 6.0,
    }
}
