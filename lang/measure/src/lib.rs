//! From landmark points of a scan or photograph to where the teeth of an arch stand.
//!
//! Points of each crown are picked where they can be seen: its mesial and distal contacts, the middle of its face, its
//! edge or cusps, the gum. The line of an arch form is laid through the slots that such crowns would carry, and every
//! tooth is read against it: in or out, height, turn, tip, width, the room between its neighbours; then what
//! orthodontists read from casts: irregularity, arch-length discrepancy, tooth-size ratios, arch widths, curve of Spee.
//! Every figure has the standard deviation that the error of picking gives it.
//!
//! The crate is pure: it reads text that the caller has. It must not know files, the language of plans, or what is done
//! with the figures.

mod along_line;
mod anatomy;
mod arch_frame;
mod bands;
mod bite;
mod contacts;
mod deal_out;
mod figure_key;
mod form_by_widths;
mod heights;
mod indices;
mod laid_line;
mod line_fit;
mod marked_points;
mod measured;
mod picks;
mod plane;
mod point_checks;
mod point_findings;
mod point_table;
mod read_csv;
mod read_landmarks;
mod read_markups;
mod read_picked_points;
mod reading;
mod results;
mod slots;

pub use anatomy::MeasureAnatomy;
pub use figure_key::FigureKey;
pub use form_by_widths::FormByWidths;
pub use line_fit::{FitLoss, FormToLay};
pub use measured::measure_points;
pub use point_table::{PickedPoint, PickedTooth, PointTable};
pub use read_csv::read_csv;
pub use read_landmarks::read_landmarks;
pub use read_markups::read_markups;
pub use read_picked_points::read_picked_points;
pub use reading::MeasureOptions;
pub use results::{MeasuredArch, MeasuredFigure, MeasuredTeeth};
