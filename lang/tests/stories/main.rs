//! Treatments told visit by visit: what the next card says at every step of the way, recorded as it went.
//!
//! Four stories: four premolars out, both upper laterals missing, a palatal canine, an open bite. Each is an example
//! (`examples/cases`) with the visits that are still to come there. A card must take off what has done its work, put
//! on nothing before its time and ask for what decides; the snapshots are read in order, as a chairside assistant
//! would. Figures in the records are what such treatments commonly give (common practice, no source).

mod cards;
mod told;

use told::{FOUR_PREMOLARS, LATERALS_MISSING, OPEN_BITE, PALATAL_CANINE, Story};

fn tell(story: &Story) {
    insta::assert_snapshot!(story.plan, cards::told(story));
}

#[test]
fn four_premolars() {
    tell(&FOUR_PREMOLARS);
}

#[test]
fn both_laterals_missing() {
    tell(&LATERALS_MISSING);
}

#[test]
fn a_palatal_canine() {
    tell(&PALATAL_CANINE);
}

#[test]
fn an_open_bite() {
    tell(&OPEN_BITE);
}
