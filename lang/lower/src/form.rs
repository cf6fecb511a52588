//! Lowers arch forms.

use super::plausible as p;
use super::read::LoweringContext;
use springline_finding::Finding;
use springline_model::form::{Form, FormCurve, FormWidth, LEAST_RADIUS_MM, NoForm, TwoWidths};
use springline_model::house::House;
use springline_model::stock::Name;
use springline_syntax::ast::{CurvePart, HouseFormLine};
use springline_text::Place;
use springline_units::quantity::{mm, plain};

impl LoweringContext<'_> {
    pub fn form(&mut self, line: HouseFormLine<'_>, house: &mut House) {
        let (name, place) = (Name::from(line.form.text()), line.statement.place());
        let Some(curve) = self.curve(line.curve, place) else { return };
        let form = Form { name: name.clone(), curve, place: Some(place) };
        self.add_to_stock("arch form", &mut house.forms, name, form, place, |f| f.place);
    }

    fn curve(&mut self, curve: CurvePart<'_>, place: Place) -> Option<FormCurve> {
        match curve {
            CurvePart::Catenary(a) => {
                Some(FormCurve::Catenary { a: self.length(a, p::ARCH_FORM)? })
            }
            CurvePart::Circle(radius) => {
                Some(FormCurve::Circle { radius: self.length(radius, p::ARCH_FORM)? })
            }
            CurvePart::Width { canine_width, canine_depth, molar_width, molar_depth } => {
                let canines = FormWidth {
                    width: self.length(canine_width, p::CANINE_WIDTH)?,
                    depth: self.length(canine_depth, p::CANINE_DEPTH)?,
                };
                let molars = FormWidth {
                    width: self.length(molar_width, p::MOLAR_WIDTH)?,
                    depth: self.length(molar_depth, p::MOLAR_DEPTH)?,
                };
                match TwoWidths::through(canines, molars) {
                    Ok(form) => Some(FormCurve::TwoWidths(form)),
                    Err(no) => {
                        self.report(no_form(no, canines, molars, place));
                        None
                    }
                }
            }
        }
    }
}

/// Two widths through which no arch form passes.
fn no_form(no: NoForm, canines: FormWidth, molars: FormWidth, place: Place) -> Finding {
    let said =
        |w: FormWidth| format!("{} mm wide at {} mm", plain(mm(w.width)), plain(mm(w.depth)));
    let pair = format!("{} and {}", said(canines), said(molars));
    let (message, note) = match no {
        NoForm::NotBehind => (
            format!(
                "An arch form cannot be {pair}: the molars must be wider apart and farther back than the canines."
            ),
            "Canines first, then first molars; each depth is measured from the foremost point of the wire.",
        ),
        NoForm::Bend { radius_mm } if radius_mm > 0.0 => (
            format!(
                "An arch form {pair} would be bent to a radius of {} mm; the least is {} mm.",
                plain((radius_mm * 10.0).round() / 10.0),
                plain(LEAST_RADIUS_MM)
            ),
            "Measure both depths from the foremost point of the wire, along its midline.",
        ),
        NoForm::Bend { .. } | NoForm::None => (
            format!("No smooth arch form is {pair}."),
            "Measure both depths from the foremost point of the wire, along its midline.",
        ),
    };
    Finding::error("unit/arch-form", place, message)
        .note(note)
        .why("Stations, spans and forces follow from the curve through both widths.")
}
