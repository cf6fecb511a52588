//! Perturbations by method: every statement of the vocabulary, and every slot, optional part and choice of words in
//! it, changed in every way that its kind allows, over the sound examples and a hundred invented cases.
//!
//! Seeded faults (`faults`) are a list that somebody thought of. Here the vocabulary is the list: [`kinds`]
//! enumerates it, [`table`] holds for every kind whether such a change must be found, is harmless or is a matter
//! of opinion, with the reason, and a word that is added to the language has no rows there until somebody has
//! thought about it, which fails the tests.

pub mod change;
pub mod condition;
pub mod facts;
pub mod kinds;
pub mod mutants;
mod of_patient;
mod of_records;
mod of_steps;
pub mod run;
pub mod table;
