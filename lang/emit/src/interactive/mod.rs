//! Pictures of one moment of the course on which teeth can be taken hold of: the drawing, where each tooth lies on
//! it, and where the text says how it stands. For a page beside the text; the page computes nothing itself.

mod forces;
mod moments;
mod picture;

pub use forces::{ArchForces, ToothForcesRow, forces_at, forces_note};
pub use moments::{
    CourseMoment, MomentArch, MomentKind, MomentStanding, course_moments, moment_of, now,
};
pub use picture::{
    InteractivePicture, PictureFrom, PictureTooth, StandSource, interactive_picture,
};

#[cfg(test)]
mod tests;
