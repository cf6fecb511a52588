//! Whether teeth that were measured may read as out of line because the arch has another form.

use super::read::LoweringContext;
use springline_finding::{Finding, Severity};
use springline_model::case::ArchCase;
use springline_model::provenance::Origin;
use springline_model::stand::StandAxis;
use springline_units::quantity::{mm, plain};
use springline_units::tooth::Tooth;

/// Canines of both sides out, or in, by more: real arches lie so far from a form of one number there (median of 60
/// arches 1.8 mm in the lower).
const BOTH_MM: f64 = 1.0;
/// A canine that lacks room overlaps a neighbour by more.
const OVERLAP_MM: f64 = 0.5;

impl LoweringContext<'_> {
    /// Advice where canines of both sides stand out alike and overlap nothing. A line of the doctor's own on one of them
    /// says that it is so.
    pub fn doubt_form(&mut self, arch: &ArchCase) {
        let Some(reading) = &arch.reading else { return };
        let measured =
            arch.stands.iter().filter(|(t, s)| is_canine(**t) && s.origin == Origin::Points);
        let canines: Vec<(Tooth, f64)> =
            measured.filter_map(|(t, s)| Some((*t, s.value.figure(StandAxis::InOut)?))).collect();
        let [(right, x), (left, y)] = canines[..] else { return };
        let is_alike = x * y > 0.0 && x.abs().min(y.abs()) >= BOTH_MM;
        let overlaps = |t: Tooth| {
            let own = arch.overlaps.iter().filter(|o| o.first == t || o.second == t);
            own.map(|o| mm(o.length)).any(|length| length > OVERLAP_MM)
        };
        if !is_alike || overlaps(right) || overlaps(left) {
            return;
        }
        let [a, b] = [right, left].map(|t| t.write(self.notation));
        let text = format!(
            "{a} and {b} read as {} and {} mm {} of the line of `{}`, and overlap no neighbour.",
            plain(x.abs()),
            plain(y.abs()),
            if x < 0.0 { "outside" } else { "inside" },
            arch.form.value.name
        );
        let finding = Finding::new("points/form", Severity::Advice, reading.place, text)
            .why("The arch may have another form: wires made to this one would then move canines that stand well.")
            .note("`springline measure` with `--form fitted` shows a form that fits. If they stand so, write it in a line of your own.")
            .teeth([right, left]);
        self.report(finding);
    }
}

fn is_canine(tooth: Tooth) -> bool {
    tooth.position() == 3 && !tooth.is_deciduous()
}
