//! Validation of a set-up: everything that is not finite or not physically possible is refused before a
//! solve.

use super::slot_edges::wire_size;
use super::{
    BendKind, Flag, Law, LengthBound, LengthLimit, Linear, Refusal, SectionShape, Setup, Stages,
    Stock, ToothTie, WireSection,
};

type InputCheck = Result<(), Refusal>;

fn must(ok: bool, id: Option<u16>, what: &'static str, value: f64) -> InputCheck {
    if ok { Ok(()) } else { Err(Refusal::Input { id, what, value }) }
}

fn positive(id: Option<u16>, what: &'static str, value: f64) -> InputCheck {
    must(value.is_finite() && value > 0.0, id, what, value)
}

fn within(id: Option<u16>, what: &'static str, value: f64, most: f64) -> InputCheck {
    must(value.abs() <= most, id, what, value)
}

/// Refuses what is not finite or not possible; also a tooth turned too far, and an arch with fewer
/// than two teeth in the wire.
pub(crate) fn setup(setup: &Setup) -> InputCheck {
    let s = &setup.settings;
    for size in setup.arch.sizes_mm().into_iter().flatten() {
        must(
            size.is_finite() && (5.0..=1.0e6).contains(&size),
            None,
            "the size of the arch",
            size,
        )?;
    }
    stock(&setup.wire.stock)?;
    if let Some(second) = &setup.wire.tandem {
        stock(second)?;
    }
    let (height, depth) = wire_size(&setup.wire);
    positive(None, "the height of the wire", height)?;
    positive(None, "the depth of the wire", depth)?;
    for bend in &setup.wire.bends {
        within(None, "the place of a bend", bend.station_mm, 1.0e3)?;
        match bend.kind {
            BendKind::Step { gingival_mm: mm } | BendKind::InOut { lingual_mm: mm } => {
                within(None, "the offset of a bend", mm, 5.0)?;
            }
            BendKind::Tip { rad } | BendKind::Rotation { rad } | BendKind::Torque { rad } => {
                within(None, "the angle of a bend", rad, 1.6)?;
            }
        }
    }
    if let Some(curve) = setup.wire.reverse_curve {
        within(None, "the depth of the curve", curve.depth_mm, 20.0)?;
    }
    positive(None, "the force tolerance", s.force_tolerance_n)?;
    positive(None, "the contact barrier", s.barrier_nmm)?;
    positive(None, "the limit of turn", s.turn_limit_rad)?;
    positive(None, "the limit of turn of the wire", s.wire_turn_limit_rad)?;
    must(s.fibres_across <= 400, None, "the number of fibres", s.fibres_across as f64)?;
    must(s.refinement <= 64, None, "the refinement", s.refinement as f64)?;

    for slot in &setup.slots {
        let id = Some(slot.id);
        within(id, "the station", slot.station_mm, 1.0e3)?;
        must(
            slot.width_mm >= 0.0 && slot.width_mm <= 20.0,
            id,
            "the width of the slot",
            slot.width_mm,
        )?;
        positive(id, "the height of the slot", slot.height_mm)?;
        positive(id, "the depth of the slot", slot.depth_mm)?;
        let [least, most] = slot.height_range;
        must(least > 0.0 && least <= 1.0, id, "the least height of the slot, as a share", least)?;
        must((1.0..=2.0).contains(&most), id, "the largest height of the slot, as a share", most)?;
        let stand = &slot.stand;
        for (what, mm) in [
            ("the lingual position", stand.lingual_mm),
            ("the gingival position", stand.gingival_mm),
            ("the position along the arch", stand.along_mm),
        ] {
            within(id, what, mm, 100.0)?;
        }
        within(id, "the torque", stand.torque_rad, 1.6)?;
        within(id, "the torque prescription", slot.prescription_rad, 1.6)?;
        for turn_rad in [stand.rotated_rad, stand.tipped_rad] {
            must(turn_rad.is_finite(), id, "the turn", turn_rad)?;
            if turn_rad.abs() > s.turn_limit_rad {
                let limit_rad = s.turn_limit_rad;
                return Err(Refusal::Turn { id: slot.id, turn_rad, limit_rad });
            }
        }
        if let super::Clip::Active { depth_left_mm } = slot.clip {
            must(depth_left_mm >= 0.0, id, "the depth left by the clip", depth_left_mm)?;
        }
        let give = &slot.support;
        for c in [
            give.lingual_mm_per_n,
            give.gingival_mm_per_n,
            give.rotation_rad_per_nmm,
            give.tip_rad_per_nmm,
            give.torque_rad_per_nmm,
            give.along_mm_per_n,
            give.march_gingival_mm_per_n,
        ] {
            must((0.0..=1.0e6).contains(&c), id, "the mobility of the tooth", c)?;
        }
        for mm in give.centre_mm {
            within(id, "the place of the centre of resistance", mm, 100.0)?;
        }
        if let Stages::Two { meet_n, stiffer } = give.stages {
            must(
                (1.0e-3..=1.0e6).contains(&meet_n),
                id,
                "where the stages of the give meet",
                meet_n,
            )?;
            must((1.0..=1.0e3).contains(&stiffer), id, "the second stage of the give", stiffer)?;
        }
    }
    let mut ids: Vec<u16> = setup.slots.iter().map(|s| s.id).collect();
    ids.sort_unstable();
    if let Some(twice) = ids.windows(2).find(|w| w[0] == w[1]) {
        return must(false, Some(twice[0]), "a second slot of the same name", f64::from(twice[0]));
    }
    for load in &setup.loads {
        let id = Some(load.id);
        must(
            ids.binary_search(&load.id).is_ok(),
            id,
            "a load on a tooth out of the wire",
            f64::NAN,
        )?;
        for n in [load.lingual_n, load.gingival_n, load.along_n] {
            within(id, "the load", n, 100.0)?;
        }
        for mm in load.at_mm {
            within(id, "the place of the load", mm, 100.0)?;
        }
    }
    for ToothTie { from, to, length_mm } in &setup.ties {
        for id in [from, to] {
            let known = ids.binary_search(id).is_ok();
            must(known, Some(*id), "a tie at a tooth out of the wire", f64::NAN)?;
        }
        must(from != to, Some(*from), "a tie to the same tooth", f64::from(*to))?;
        if let Some(mm) = length_mm {
            positive(Some(*from), "the length of a tie", *mm)?;
        }
    }
    for LengthBound { from, to, length } in &setup.wire.bounds {
        for edge in [from, to] {
            let known = ids.binary_search(&edge.id).is_ok();
            must(known, Some(edge.id), "a bound at a tooth out of the wire", f64::NAN)?;
        }
        let (LengthLimit::AtLeast(mm) | LengthLimit::AtMost(mm)) = *length;
        positive(Some(from.id), "the bound on a length of wire", mm)?;
        must(from != to, Some(from.id), "a bound from an edge to itself", mm)?;
    }
    match setup.slots.len() {
        engaged @ 0..=1 => Err(Refusal::TooFewTeeth { engaged }),
        _ => Ok(()),
    }
}

pub(crate) fn stock(stock: &Stock) -> InputCheck {
    section(&stock.section)?;
    match stock.law {
        Law::Linear(Linear { modulus_mpa, shear_modulus_mpa, yield_mpa, strain_limit }) => {
            positive(None, "the modulus", modulus_mpa)?;
            positive(None, "the shear modulus", shear_modulus_mpa)?;
            positive(None, "the strain limit", strain_limit)?;
            yield_mpa.map_or(Ok(()), |y| positive(None, "the yield stress", y))
        }
        Law::Flag(Flag {
            austenite_mpa,
            martensite_mpa,
            loading_start_mpa,
            loading_end_mpa,
            unloading_start_mpa,
            unloading_end_mpa,
            transformation_strain,
            shear_modulus_mpa,
            strain_limit,
            temperature_c,
            slope_mpa_per_c,
        }) => {
            positive(None, "the modulus of austenite", austenite_mpa)?;
            positive(None, "the modulus of martensite", martensite_mpa)?;
            positive(None, "the shear modulus", shear_modulus_mpa)?;
            positive(None, "the transformation strain", transformation_strain)?;
            positive(None, "the strain limit", strain_limit)?;
            must(
                martensite_mpa <= austenite_mpa,
                None,
                "a martensite stiffer than austenite",
                martensite_mpa,
            )?;
            for (what, mpa) in [
                ("the start of the loading plateau", loading_start_mpa),
                ("the end of the loading plateau", loading_end_mpa),
                ("the start of the unloading plateau", unloading_start_mpa),
                ("the end of the unloading plateau", unloading_end_mpa),
                ("the temperature", temperature_c),
                ("the rise per degree", slope_mpa_per_c),
            ] {
                must(mpa.is_finite(), None, what, mpa)?;
            }
            // At low temperature the plateau stresses may come out below zero; the least plateau is used
            // then.
            Ok(())
        }
    }
}

fn section(section: &WireSection) -> InputCheck {
    positive(None, "the stiffness ratio", section.stiffness_ratio)?;
    let size = |mm: f64| must((0.01..=5.0).contains(&mm), None, "the size of the wire", mm);
    match section.shape {
        SectionShape::Round { diameter_mm } => size(diameter_mm),
        SectionShape::Rectangular { height_mm, depth_mm, edge_radius_mm } => {
            size(height_mm)?;
            size(depth_mm)?;
            must(
                edge_radius_mm >= 0.0 && 2.0 * edge_radius_mm <= height_mm.min(depth_mm),
                None,
                "the edge radius",
                edge_radius_mm,
            )
        }
    }
}
