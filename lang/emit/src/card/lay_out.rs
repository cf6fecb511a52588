//! Staff card: the tray set-up.

use super::Tray;
use super::action::Chair;
use super::wire_out::out_and_in;
use crate::plan::{ArchToday, InMouth, Plan, VisitToday};
use crate::{measures, wording};
use springline_model::house::Task;
use springline_model::step::{Act, ActKind, EndKind};
use springline_model::stock::Section;
use springline_units::quantity::{mm, plain};
use springline_units::tooth::{Side, Tooth};

pub fn list(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<Tray> {
    if today.visit.kind == Task::Debond {
        return vec![Tray { heading: String::new(), items: debond(plan, today) }];
    }
    let mut out: Vec<Tray> = Vec::new();
    let mut tools: Vec<&'static str> = Vec::new();
    for arch in &today.arches {
        let left_in = super::wire_left_in::tray(plan, arch);
        let Some(next) = arch.next else {
            out.extend(left_in);
            continue;
        };
        let mut tray = Filling::default();
        tray.arch(plan, arch, next);
        let name = wording::arch(arch.arch.arch);
        let heading = if arch.now.is_some() && !arch.expected() {
            // Optional items are listed separately, with their own tools.
            tray.lines.extend(tray.tools.drain(..).map(springline_text::capital));
            format!("{name}, {}", super::test::only_if(plan, arch))
        } else {
            name.to_owned()
        };
        tools.extend(tray.tools.iter().filter(|t| !tools.contains(t)).collect::<Vec<_>>());
        out.push(Tray { heading, items: tray.lines });
        out.extend(left_in);
    }
    let mut items = Vec::new();
    let worn = today.elastics_today(plan);
    if !worn.is_empty() {
        let mut kinds: Vec<String> = Vec::new();
        let blocks = worn.iter().filter_map(|e| plan.case.elastics.get(e.index));
        for run in blocks.flat_map(|e| &e.runs) {
            let words = wording::elastic(&run.elastic);
            if !kinds.contains(&words) {
                kinds.push(words);
            }
        }
        items.push(format!("Elastics to hand out: {}", wording::and(&kinds)));
    }
    if !tools.is_empty() {
        items.push(springline_text::capital(&tools.join(", ")));
    }
    if out.is_empty() && items.is_empty() {
        items.push("Mirror, probe, director. No new wire today.".to_owned());
    }
    if !items.is_empty() {
        let heading = if out.is_empty() { String::new() } else { "Also".to_owned() };
        out.push(Tray { heading, items });
    }
    out
}

#[derive(Default)]
struct Filling {
    lines: Vec<String>,
    tools: Vec<&'static str>,
}

impl Filling {
    fn tool(&mut self, tool: &'static str) {
        if !self.tools.contains(&tool) {
            self.tools.push(tool);
        }
    }

    fn arch(&mut self, plan: &Plan<'_>, arch: &ArchToday<'_>, next: InMouth<'_>) {
        let wires = &next.state.wire;
        let same = arch.now.is_some_and(|now| now.state.wire.same_wires(wires)) || wires.kept;
        if arch.now.is_none() {
            self.bonding(plan, next);
        }
        if same {
            let name = wires.names();
            self.lines.push(match out_and_in(arch) {
                true => format!("No new wire, the {name} goes in again"),
                false => format!("No new wire, the {name} stays"),
            });
        } else {
            // A form that was not named is a computational default, not a stock item.
            let form = &next.state.form;
            let form = form.place.map(|_| format!(", form {}", form.name)).unwrap_or_default();
            self.lines.push(format!("{}{form}", wires.label()));
            if arch.is_ligated() {
                self.tool("ligatures");
            }
        }
        for act in arch.put_on() {
            self.act(plan, arch, next, &act.kind);
        }
        let niti = wires.wire.alloy.is_niti();
        let turned = [Side::Right, Side::Left]
            .iter()
            .any(|s| matches!(next.state.ends.of(*s).kind, EndKind::TurnedIn | EndKind::Cinched));
        if niti && turned && (!same || out_and_in(arch)) {
            self.tool("flame or cinch-back pliers for NiTi ends");
        }
    }

    fn bonding(&mut self, plan: &Plan<'_>, next: InMouth<'_>) {
        let n = plan.notation();
        let mut kinds: Vec<(String, Vec<Tooth>)> = Vec::new();
        for tooth in &next.state.teeth {
            let Some(bonding) = &tooth.bonding else { continue };
            let words =
                bracket_words(&bonding.bracket, bonding.inverted, bonding.variant.as_deref());
            match kinds.iter_mut().find(|(w, _)| *w == words) {
                Some((_, teeth)) => teeth.push(tooth.tooth),
                None => kinds.push((words, vec![tooth.tooth])),
            }
        }
        for (words, teeth) in kinds {
            self.lines.push(format!(
                "{} for {}",
                springline_text::capital(&words),
                wording::list(&teeth, n)
            ));
        }
        self.tool("bonding set");
    }

    fn act(&mut self, plan: &Plan<'_>, arch: &ArchToday<'_>, next: InMouth<'_>, act: &ActKind) {
        let n = plan.notation();
        match act {
            ActKind::OpenCoil { first, second, coil, activation } => {
                if carried_from_now(arch, *first, *second) {
                    if !activation_is_passive(activation) {
                        let name = coil.as_ref().map(|c| format!(" {}", c.name));
                        let name = name.unwrap_or_default();
                        self.lines.push(format!("Open coil{name}, to be cut at the chair; ruler"));
                    }
                    return;
                }
                let cut = measures::open_coil_cut_mm(
                    &next,
                    (*first, *second),
                    coil.as_deref(),
                    *activation,
                );
                let name = coil.as_ref().map(|c| format!(" {}", c.name)).unwrap_or_default();
                let cut = cut
                    .map_or_else(|| "cut to fit".to_owned(), |l| format!("cut to {} mm", plain(l)));
                let bond = if activation_is_passive(activation) { " (no pressure)" } else { "" };
                self.lines.push(format!("Open coil{name}, {cut}{bond}"));
            }
            ActKind::ClosedCoil { coil, hold, .. } => {
                let name = coil.as_ref().map(|c| format!(" {}", c.name)).unwrap_or_default();
                let cut = hold.map(|l| format!(", for {} mm of space", plain(mm(l))));
                self.lines.push(format!("Passive coil{name}{}", cut.unwrap_or_default()));
            }
            ActKind::ClosingCoil { pulls, coil, force } => {
                let name = coil.as_ref().map(|c| format!(" {}", c.name)).unwrap_or_default();
                self.lines.push(format!("Closing spring{name}, {}", pieces(pulls.len())));
                if force.or_else(|| coil.as_ref().and_then(|c| c.force)).is_some() {
                    self.tool("force gauge");
                }
            }
            ActKind::Traction { teeth, by, .. } => {
                let teeth = wording::list(teeth, n);
                self.lines.push(super::wire_left_in::traction_tray(*by, &teeth));
                self.tool("force gauge");
            }
            ActKind::Chain { teeth, chain, .. } => {
                let name = chain.as_ref().map(|c| format!(" {}", c.name)).unwrap_or_default();
                let links = teeth.len();
                self.lines.push(format!("Chain{name}, {links} links"));
            }
            ActKind::Stop { spots } => self.stops(plan, next, spots.len()),
            ActKind::Post { spots } => {
                self.lines.push(format!("Crimpable posts, {}", pieces(spots.len())));
                self.tool("crimping pliers");
            }
            ActKind::PowerArm { teeth, height } => {
                let (mm, pieces) = (plain(mm(*height)), pieces(teeth.len()));
                self.lines.push(format!("Power arms {mm} mm, {pieces}"));
            }
            ActKind::Sleeve { spans } => {
                for (a, b) in spans {
                    let cut = measures::sleeve_cut_mm(&next, *a, *b).map_or_else(
                        || "cut to fit".to_owned(),
                        |l| format!("cut to {} mm", plain(l)),
                    );
                    self.lines.push(format!("Sleeve {}, {cut}", wording::pair(*a, *b, n)));
                }
            }
            ActKind::Tie { teeth, .. } => {
                self.lines.push(format!("Long steel ligature for {}", wording::list(teeth, n)));
            }
            ActKind::Laceback { pairs } => {
                self.lines
                    .push(format!("Long steel ligatures for lacebacks, {}", pieces(pairs.len())));
            }
            ActKind::Engage { teeth, wing } if *wing != springline_model::step::Wing::Both => {
                self.lines.push(format!("Steel ligature for {}", wording::list(teeth, n)));
            }
            ActKind::PickUp { teeth, bracket, inverted, variant } => {
                let words = bracket_words(bracket, *inverted, variant.as_deref());
                self.lines.push(format!(
                    "{} for {}",
                    springline_text::capital(&words),
                    wording::list(teeth, n)
                ));
                self.tool("bonding set");
                let drawn = |a: &Act| matches!(&a.kind, ActKind::Traction { teeth: t, .. } if t.iter().any(|t| teeth.contains(t)));
                if arch.off_with_change().any(|(a, _)| drawn(a)) {
                    self.tool("bracket remover");
                }
            }
            ActKind::Rebond { teeth, bracket } => {
                let words = bracket.as_ref().map_or_else(
                    || "bracket as before".to_owned(),
                    |b| bracket_words(b, false, None),
                );
                self.lines.push(format!(
                    "{} for {}",
                    springline_text::capital(&words),
                    wording::list(teeth, n)
                ));
                self.tool("bonding set");
            }
            ActKind::Reposition { .. } => {
                self.tool("bonding set");
                self.tool("bracket remover");
            }
            ActKind::Piggyback { wire, within, over } => {
                let chair = Chair { arch: arch.arch, next, notation: n };
                let long = chair.piggyback_length(within, over);
                let long = long.unwrap_or_else(|| "cut to fit".to_owned());
                self.lines.push(format!("Piggyback: {}, {long}; ligatures", wire.label()));
            }
            ActKind::BiteRaisers { teeth, .. } => {
                self.lines.push(format!("Bite raiser material for {}", wording::list(teeth, n)));
            }
            ActKind::Reduce { .. } => self.tool("strips and gauge for IPR"),
            ActKind::Bend { .. } | ActKind::ReverseCurve { .. } | ActKind::Torque { .. } => {
                self.tool("bending pliers");
            }
            ActKind::Trim { .. } => self.tool("distal end cutter"),
            ActKind::Separators { teeth, .. } => {
                self.lines.push(format!("Separators for {}", wording::list(teeth, n)));
            }
            ActKind::Records { what, .. } => self.lines.push(format!("Records: {what}")),
            _ => {}
        }
    }

    fn stops(&mut self, plan: &Plan<'_>, next: InMouth<'_>, count: usize) {
        let round = matches!(next.state.wire.wire.section, Section::Round { .. });
        let fits = plan.house().stops.values().find(|s| s.for_round == Some(round));
        let size = fits.map_or_else(
            || {
                if round {
                    " for round wire".to_owned()
                } else {
                    " for rectangular wire".to_owned()
                }
            },
            |s| format!(" {}, {} mm long", s.name, plain(mm(s.length))),
        );
        self.lines.push(format!("{count} stop{}{size}", if count == 1 { "" } else { "s" }));
        self.tool("crimping pliers");
    }
}

/// The same coil is in already and stays.
fn carried_from_now(arch: &ArchToday<'_>, a: Tooth, b: Tooth) -> bool {
    arch.now.is_some_and(|now| {
        now.acts().any(
            |x| matches!(&x.kind, ActKind::OpenCoil { first, second, .. } if *first == a && *second == b),
        )
    })
}

fn activation_is_passive(activation: &springline_model::step::Activation) -> bool {
    *activation == springline_model::step::Activation::Passive
}

fn pieces(count: usize) -> String {
    if count == 1 { "1 piece".to_owned() } else { format!("{count} pieces") }
}

fn bracket_words(
    bracket: &springline_model::stock::Bracket,
    inverted: bool,
    variant: Option<&str>,
) -> String {
    let kind = match (bracket.on_band, bracket.is_tube) {
        (true, _) => "bands",
        (false, true) => "tubes",
        (false, false) => "brackets",
    };
    let variant = variant.map(|v| format!(", {v}")).unwrap_or_default();
    let turned = if inverted { super::action::INVERTED } else { "" };
    format!("{kind} {}{variant}{turned}", bracket.name)
}

fn debond(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let mut out = vec!["Debonding pliers, finishing burs, polish".to_owned()];
    let bands: Vec<Tooth> = today.arches.iter().flat_map(super::debond::bands).collect();
    if !bands.is_empty() {
        out.push(format!("Band remover, for {}", wording::list(&bands, n)));
    }
    if today.arches.iter().any(|a| !a.arch.screws.is_empty()) {
        out.push("Screw driver of the mini-screws".to_owned());
    }
    if let Some(retain) = &plan.case.retention {
        for (teeth, _) in &retain.fixed {
            out.push(format!("Bonded retainer {}, bonding set", wording::list(teeth, n)));
        }
        for (arch, _) in &retain.night {
            out.push(format!(
                "{} retainer for the night, if made beforehand",
                wording::arch(*arch)
            ));
        }
    }
    out.push("Scan or impressions; photographs".to_owned());
    out
}
