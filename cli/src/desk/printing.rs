//! Prints what a page asks for: this visit, this day, the patient's sheet.

use std::path::PathBuf;

use super::messages::{PrintParams, PrintedAt};
use super::papers::SentFile;
use super::state::Desk;
use crate::args::{PageFormat, PageKind, PaperSize, PrintArgs};
use crate::commands::print::document;

/// Prints what the files hold. A page ties its plan to the text it was made from, so unsaved text is not
/// printed.
pub fn print(desk: &Desk, params: &PrintParams) -> Result<PrintedAt, String> {
    let (paths, visit, day, only) = match params {
        PrintParams::Visit { doc, visit } => {
            let visit = visit.clone().unwrap_or_else(|| "next".to_owned());
            (vec![saved(desk, doc)?], Some(visit), None, Vec::new())
        }
        PrintParams::Sheet { doc } => (vec![saved(desk, doc)?], None, None, vec![PageKind::Sheet]),
        PrintParams::Day { day } => {
            (vec![desk.folder.root().to_path_buf()], None, Some(day.to_string()), Vec::new())
        }
    };
    let wanted = PrintArgs {
        paths,
        visit,
        day,
        only,
        to: PathBuf::new(),
        format: PageFormat::Pdf,
        paper: PaperSize::A4,
        words: None,
        font: Vec::new(),
    };
    let document = document(&wanted).map_err(|problem| problem.in_words())?;
    let (name, held) = (document.name.clone(), document.held);
    let sent =
        SentFile { name: document.name, media_type: "application/pdf", bytes: document.bytes };
    let address = desk.pages.put(sent).map_err(|e| e.to_string())?;
    Ok(PrintedAt { address, name, held })
}

fn saved(desk: &Desk, doc: &str) -> Result<PathBuf, String> {
    if desk.buffers().is_unsaved(doc) {
        return Err("The plan is not saved; save it, then print it.".to_owned());
    }
    desk.folder.plan(doc)
}
