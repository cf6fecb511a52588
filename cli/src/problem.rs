//! Errors about files and arguments, as opposed to findings in a plan: what happened, and what to
//! do. Shown by miette.

use std::io;
use std::path::Path;

use miette::Diagnostic;
use thiserror::Error;

use crate::args::{Args, Colour};

/// Problems are shown in colour when standard error is a terminal, and as NO_COLOR and `--color` say.
pub fn colour(args: &Args) {
    let wanted = match args.color {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => anstream::AutoStream::choice(&io::stderr()) != anstream::ColorChoice::Never,
    };
    // Only a second call fails, and there is none.
    let _ = miette::set_hook(Box::new(move |_| {
        Box::new(miette::MietteHandlerOpts::new().color(wanted).build())
    }));
}

#[derive(Debug, Error, Diagnostic)]
pub enum Problem {
    #[error("There is no file or folder {path}.")]
    #[diagnostic(
        code(file::missing),
        help("Check the spelling, or name the folder that holds your cases.")
    )]
    Missing { path: String },

    #[error("{path} cannot be read: {reason}.")]
    #[diagnostic(code(file::unreadable), help("{help}"))]
    Unreadable { path: String, reason: String, help: String },

    #[error("{path} cannot be written: {reason}. Nothing was changed.")]
    #[diagnostic(code(file::unwritable), help("{help}"))]
    Unwritable { path: String, reason: String, help: String },

    #[error("{name} is not UTF-8 text: the first byte that is not lies at {byte} (line {line}).")]
    #[diagnostic(
        code(file::not_utf8),
        help("Open it in an editor and save it as UTF-8. It has not been changed.")
    )]
    NotUtf8 { name: String, byte: usize, line: usize },

    #[error("The preview cannot be served: {reason}.")]
    #[diagnostic(code(preview::serving), help("Leave `--port` out, and a free one is taken."))]
    Serving { reason: String },

    #[error("{message}")]
    #[diagnostic(code(usage), help("{help}"))]
    Usage { message: String, help: String },
}

impl Problem {
    /// To standard error, with what to do about it.
    pub fn show(self) {
        crate::tell!("{:?}", miette::Report::new(self));
    }

    pub fn missing(path: &Path) -> Problem {
        Problem::Missing { path: path.display().to_string() }
    }

    pub fn serving(error: &io::Error) -> Problem {
        Problem::Serving { reason: reason(error) }
    }

    pub fn unreadable(path: &Path, error: &io::Error) -> Problem {
        Problem::Unreadable {
            path: path.display().to_string(),
            reason: reason(error),
            help: help(error),
        }
    }

    pub fn unwritable(path: &Path, error: &io::Error) -> Problem {
        Problem::Unwritable {
            path: path.display().to_string(),
            reason: reason(error),
            help: help(error),
        }
    }

    pub fn read_only(path: &Path) -> Problem {
        Problem::Unwritable {
            path: path.display().to_string(),
            reason: "it is write-protected".to_owned(),
            help: "Remove the protection first, if it is meant to be changed.".to_owned(),
        }
    }

    pub fn changed(path: &Path) -> Problem {
        Problem::Unwritable {
            path: path.display().to_string(),
            reason: "somebody else has changed it since it was read".to_owned(),
            help: "Run the command again: it starts from the text as it is now.".to_owned(),
        }
    }

    /// A link in a folder to what is not in it.
    pub fn leaves(path: &Path, folder: &Path) -> Problem {
        Problem::Usage {
            message: format!("{} is a link that leaves {}.", path.display(), folder.display()),
            help: "What it points to is not read. Name that file itself if it is meant, or remove the \
                   link."
                .to_owned(),
        }
    }

    pub fn walk(folder: &Path, error: &ignore::Error) -> Problem {
        Problem::Unreadable {
            path: folder.display().to_string(),
            reason: error.to_string(),
            help: "Check that you may read this folder.".to_owned(),
        }
    }

    pub fn not_utf8(name: &str, error: &std::string::FromUtf8Error) -> Problem {
        let byte = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes().iter().take(byte).filter(|b| **b == b'\n').count();
        Problem::NotUtf8 { name: name.to_owned(), byte, line }
    }

    pub fn usage(message: impl Into<String>, help: impl Into<String>) -> Problem {
        Problem::Usage { message: message.into(), help: help.into() }
    }
}

fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "it is not there".to_owned(),
        io::ErrorKind::PermissionDenied => "you have no permission".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is write-protected".to_owned(),
        _ => error.to_string(),
    }
}

fn help(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "Check the spelling.",
        io::ErrorKind::PermissionDenied => "Ask whoever owns the folder for access.",
        io::ErrorKind::StorageFull => "Make room and try again.",
        _ => "Check the file and the folder it lies in.",
    }
    .to_owned()
}
