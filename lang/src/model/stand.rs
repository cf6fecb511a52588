//! Where a tooth stands against the place it should have on the arch line.

use serde::Serialize;

use super::quantity::{Angle, Length};
use super::stock::{Along, CrownTurn};

/// Towards lip or tongue, with words that depend on jaw and tooth only in print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum InOut {
    Labial,
    Lingual,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum UpDown {
    /// Towards the gum: a high tooth in either jaw.
    Gingival,
    Occlusal,
}

/// Which edge of the tooth is turned in. `MesialIn` is the same as distal-out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    MesialIn,
    MesialOut,
}

/// Amounts are never negative: the direction is a word.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Stand {
    pub in_out: Option<(Length, InOut)>,
    pub up_down: Option<(Length, UpDown)>,
    pub rotated: Option<(Angle, Turn)>,
    pub tipped: Option<(Angle, Along)>,
    pub torque: Option<(Angle, CrownTurn)>,
    /// Mesiodistal crown width.
    pub width: Option<Length>,
    /// Space there is for it between its neighbours.
    pub space: Option<Length>,
}

impl Stand {
    pub fn is_empty(&self) -> bool {
        *self == Stand::default()
    }

    /// The later values where they are given, the earlier ones elsewhere.
    pub fn updated(self, later: Stand) -> Stand {
        Stand {
            in_out: later.in_out.or(self.in_out),
            up_down: later.up_down.or(self.up_down),
            rotated: later.rotated.or(self.rotated),
            tipped: later.tipped.or(self.tipped),
            torque: later.torque.or(self.torque),
            width: later.width.or(self.width),
            space: later.space.or(self.space),
        }
    }
}
