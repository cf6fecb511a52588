//! State that one phase passes to the next.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::mouth::bite_figures::BiteFigures;
use crate::mouth::kept_short::KeptShort;
use crate::mouth::positions::Mouth;
use springline_model::step::Act;
use springline_text::Place;
use springline_units::tooth::Tooth;

/// State carried from one phase into the next.
#[derive(Debug, Clone)]
pub(crate) struct CarriedState {
    pub mouth: Mouth,
    /// Room still missing for the engaged teeth, once computed; and whether it was assumed.
    pub missing: Option<(f64, bool)>,
    /// Of the wire in the mouth, by its stops and the ends bent tight.
    pub kept_short: Vec<KeptShort>,
    pub released: BTreeSet<Tooth>,
    pub over_the_bite: BTreeSet<Tooth>,
    /// Teeth whose bracket came off and is not on again.
    pub off: BTreeSet<Tooth>,
    pub bite: BiteFigures,
    /// Since when devices are on, by where their acts were written.
    pub on_since: BTreeMap<Place, Date>,
}

impl CarriedState {
    /// Devices go on that are not on yet.
    pub fn put_on(&mut self, acts: &[Act], on: Option<Date>) {
        let Some(on) = on else { return };
        for act in acts {
            self.on_since.entry(act.place).or_insert(on);
        }
    }
}
