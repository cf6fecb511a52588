//! The usual sequence for the chosen wires: align, level, work, finish.

use super::menu::{PlainWire, SlotSize};
use springline_model::stock::Alloy;

/// How the choice is made; the file says it.
pub const CHOSEN: &str = "Chosen from the wires above: align on the thinnest round nickel-titanium wire; \
    level on the thinnest rectangular one, then on the thickest that is no thicker than the working wire; \
    work on the thickest rectangular steel wire, else beta-titanium, else nickel-titanium, that leaves \
    0.002 in of the slot's height; finish on beta-titanium where there is some, else on the working wire. \
    Change what you do otherwise.";

/// One wire a step; `None` for a finish on the working wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Usual {
    pub align: PlainWire,
    pub level: PlainWire,
    pub level_2: Option<PlainWire>,
    pub work: PlainWire,
    pub finish: Option<PlainWire>,
}

/// The sequence, or the wires that are missing for one.
pub fn usual(wires: &[PlainWire], slot: SlotSize) -> Result<Usual, Vec<&'static str>> {
    let all = || wires.iter().copied().filter(|w| w.fits(slot));
    // Of one size thermal wire is the gentler.
    let light = |w: &PlainWire| (w.size.height(), w.size.depth(), w.alloy != Alloy::ThermalNiti);
    let align = all().filter(|w| w.alloy.is_niti() && w.size.is_round()).min_by_key(light);
    let level = all().filter(|w| w.is_rectangular_niti()).min_by_key(light);
    let mut missing = Vec::new();
    if align.is_none() {
        missing.push("a round nickel-titanium wire to align on, such as thermal-14");
    }
    if level.is_none() {
        missing.push("a rectangular nickel-titanium wire to level on, such as thermal-14x25");
    }
    let least = level.map_or(0, |w| w.size.height());
    let most = slot.height.saturating_sub(2);
    let full = |w: &PlainWire| (w.size.height(), w.size.depth());
    let between = |w: &PlainWire| !w.size.is_round() && (least..=most).contains(&w.size.height());
    let of =
        |alloy: Alloy| all().filter(move |w| w.alloy == alloy).filter(between).max_by_key(full);
    let work = of(Alloy::Steel).or_else(|| of(Alloy::BetaTitanium)).or_else(|| {
        let niti = all().filter(|w| w.is_rectangular_niti() && Some(*w) != level).filter(between);
        niti.filter(|w| w.size.height() >= most.saturating_sub(2)).max_by_key(full)
    });
    if work.is_none() {
        missing.push(
            "a rectangular wire of steel or beta-titanium to work on, no thinner than the levelling wire and \
             0.002 in under the slot",
        );
    }
    let (Some(align), Some(level), Some(work)) = (align, level, work) else { return Err(missing) };
    let level_2 = all()
        .filter(|w| w.is_rectangular_niti() && *w != work)
        .filter(|w| (least + 2..=work.size.height()).contains(&w.size.height()))
        .filter(|w| w.size.depth() >= level.size.depth())
        .max_by_key(|w| (full(w), w.alloy == Alloy::ThermalNiti));
    let finish = of(Alloy::BetaTitanium).filter(|w| *w != work && w.size <= work.size);
    Ok(Usual { align, level, level_2, work, finish })
}

impl Usual {
    /// The block in the practice file; its clauses are those of an ordinary treatment.
    pub fn lines(&self) -> Vec<String> {
        let mut out = vec!["sequence usual {".to_owned()];
        let step = |name: &str, wire: &str, ends: &str, rest: &str| {
            format!("step {name}, wire {wire}, ends turned-in slack {ends}, {rest}")
        };
        let passive = "until passive, next computed";
        out.push(step("align", &self.align.name(), "2 mm", passive));
        out.push(step("level", &self.level.name(), "2 mm", passive));
        if let Some(wire) = self.level_2 {
            out.push(step("level-2 as level", &wire.name(), "1 mm", passive));
        }
        let work = "express 4 wk, until doctor-decides, next 6 wk";
        out.push(step("work", &self.work.name(), "1 mm", work));
        let finish = self.finish.map_or_else(|| "keep".to_owned(), PlainWire::name);
        out.push(step("finish", &finish, "1 mm", "until 12 wk, next 6 wk"));
        out.push("}".to_owned());
        out
    }

    /// In one line, to be shown when the wires are ticked.
    pub fn shown(&self) -> String {
        let mut steps = vec![format!("align {}", self.align.name())];
        steps.push(format!("level {}", self.level.name()));
        steps.extend(self.level_2.map(|w| format!("level-2 {}", w.name())));
        steps.push(format!("work {}", self.work.name()));
        steps.push(match self.finish {
            Some(wire) => format!("finish {}", wire.name()),
            None => "finish on the working wire".to_owned(),
        });
        steps.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(names: &[&str], slot: &str) -> Result<String, Vec<&'static str>> {
        let wires: Vec<PlainWire> =
            names.iter().map(|n| PlainWire::parse(n).expect("a wire")).collect();
        usual(&wires, SlotSize::parse(slot).expect("a slot")).map(|u| u.shown())
    }

    #[test]
    fn the_usual_sequence_follows_from_the_wires() {
        let all = [
            "steel-19x25",
            "superelastic-14",
            "thermal-14",
            "thermal-14x25",
            "thermal-18x25",
            "beta-19x25",
        ];
        assert_eq!(
            of(&all, "0.022").as_deref(),
            Ok(
                "align thermal-14, level thermal-14x25, level-2 thermal-18x25, work steel-19x25, finish beta-19x25"
            )
        );
        let few = ["thermal-16", "superelastic-16x22", "beta-18x25"];
        assert_eq!(
            of(&few, "0.022").as_deref(),
            Ok(
                "align thermal-16, level superelastic-16x22, work beta-18x25, finish on the working wire"
            )
        );
        let small = ["superelastic-12", "superelastic-16x22", "steel-16x22", "steel-17x25"];
        assert_eq!(
            of(&small, "0.018").as_deref(),
            Ok(
                "align superelastic-12, level superelastic-16x22, work steel-16x22, finish on the working wire"
            )
        );
    }

    #[test]
    fn what_is_missing_for_one_is_said() {
        assert_eq!(of(&[], "0.022").map_err(|m| m.len()), Err(3));
        assert_eq!(of(&["thermal-14", "steel-19x25"], "0.022").map_err(|m| m.len()), Err(1));
        assert_eq!(
            of(&["thermal-14", "thermal-18x25", "steel-16x22"], "0.022").map_err(|m| m.len()),
            Err(1)
        );
    }
}
