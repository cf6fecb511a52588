//! Practice files of one run, each loaded once: all cases of a folder are checked against the same text,
//! whatever happens to the file meanwhile, and thousands of cases do not search for it again.

use std::cell::RefCell;
use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use springline_lang::lower::{Library, NotLoaded, PointsFile};

use crate::files::{Folders, Input};

/// What a name was answered with.
pub type HouseAnswer = Result<(String, Arc<str>), NotLoaded>;

/// By the folder asked from, and the name.
#[derive(Debug, Default)]
pub struct HouseCache {
    answers: Mutex<HashMap<(PathBuf, String), HouseAnswer>>,
}

impl HouseCache {
    /// The library for one file.
    pub fn library(&self, input: &Input) -> CaseLibrary<'_> {
        CaseLibrary {
            shelf: self,
            folders: input.library(),
            asked: RefCell::default(),
            asked_points: RefCell::default(),
        }
    }

    fn answer(&self, folders: &Folders, name: &str) -> HouseAnswer {
        let key = (folders.start().to_path_buf(), name.to_owned());
        let mut answers = self.answers.lock().unwrap_or_else(PoisonError::into_inner);
        // Held during the search, so that a second thread with the same request waits for the result.
        answers.entry(key).or_insert_with(|| folders.house(name)).clone()
    }
}

/// The library of one file, with its requests and their answers.
#[derive(Debug)]
pub struct CaseLibrary<'a> {
    shelf: &'a HouseCache,
    folders: Folders,
    asked: RefCell<Vec<(String, HouseAnswer)>>,
    asked_points: RefCell<Vec<(String, PointsFile)>>,
}

impl CaseLibrary<'_> {
    /// Every requested name, once.
    pub fn asked(&self) -> Vec<(String, HouseAnswer)> {
        self.asked.borrow().clone()
    }

    /// Every file of points that was asked for, once.
    pub fn asked_points(&self) -> Vec<(String, PointsFile)> {
        self.asked_points.borrow().clone()
    }
}

impl Library for CaseLibrary<'_> {
    fn house(&self, name: &str) -> HouseAnswer {
        let answer = self.shelf.answer(&self.folders, name);
        let mut asked = self.asked.borrow_mut();
        if !asked.iter().any(|(n, _)| n == name) {
            asked.push((name.to_owned(), answer.clone()));
        }
        answer
    }

    fn points(&self, name: &str) -> PointsFile {
        let answer = self.folders.points(name);
        let mut asked = self.asked_points.borrow_mut();
        if !asked.iter().any(|(n, _)| n == name) {
            asked.push((name.to_owned(), answer.clone()));
        }
        answer
    }
}
