//! Spreads the crowding of an arch over its front teeth, if none of them is described.

use super::read::LoweringContext;
use springline_finding::Finding;
use springline_model::case::ArchCase;
use springline_model::crowding::pattern;
use springline_model::provenance::{Origin, Sourced};
use springline_units::tooth::Tooth;

impl LoweringContext<'_> {
    /// Where single front teeth are described no pattern is spread, because it is unknown how much of the
    /// crowding those teeth already account for.
    pub fn spread_crowding(&mut self, out: &mut ArchCase) {
        let Some((by, place)) = out.crowding else { return };
        let described: Vec<Tooth> =
            out.stands.keys().copied().filter(|t| t.is_anterior()).collect();
        if let Some(first) = described.first() {
            out.crowding = None;
            let written = described.iter().map(|t| t.write(self.notation)).collect::<Vec<_>>();
            let mut finding = Finding::warning(
                "name/crowding-beside-teeth",
                place,
                format!(
                    "This crowding is not used: the position recorded for {} counts, and no pattern is added to it.",
                    written.join(", ")
                ),
            )
            .why("How much of the crowding those teeth already account for is unknown.")
            .teeth(described.iter().copied());
            if let Some(at) = out.stands.get(first).and_then(|s| s.place) {
                finding = finding.related(at, "given here");
            }
            self.report(
                finding.note("Describe the other anterior teeth too, or leave one of the two out."),
            );
            return;
        }
        let absent = |t: &Tooth| out.states.get(t).is_some_and(|(state, _)| state.is_absent());
        let spread = pattern(out.arch, by, |t| !absent(&t));
        for (tooth, stand) in spread {
            out.stands.insert(tooth, Sourced::written(stand, Origin::Pattern, place));
        }
    }
}
