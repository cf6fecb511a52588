//! Errors about files and arguments, as opposed to findings in a plan: what happened, and what to do.
//! Rendered by miette.

use std::io;
use std::path::Path;

use miette::Diagnostic;
use springline_lang::text::visible;
use thiserror::Error;

use crate::args::{Args, Colour};
use crate::near;

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
    #[diagnostic(code(file::missing), help("{help}"))]
    Missing { path: String, help: String },

    #[error("{path} cannot be read: {reason}.")]
    #[diagnostic(code(file::unreadable), help("{help}"))]
    Unreadable { path: String, reason: String, help: String },

    #[error("{path} cannot be written: {reason}. Nothing was changed.")]
    #[diagnostic(code(file::unwritable), help("{help}"))]
    Unwritable { path: String, reason: String, help: String },

    #[error("{name} is not UTF-8 text: its first invalid byte is at {byte} (line {line}).")]
    #[diagnostic(
        code(file::not_utf8),
        help("Open it in an editor and save it as UTF-8. It has not been changed.")
    )]
    NotUtf8 { name: String, byte: usize, line: usize },

    #[error("The page cannot be served: {reason}.")]
    #[diagnostic(code(page::serving), help("Omit `--port` to use a free one."))]
    Serving { reason: String },

    #[error("{message}")]
    #[diagnostic(code(usage), help("{help}"))]
    Usage { message: String, help: String },
}

/// A name for a message: whatever it holds, it stays on its line and a terminal obeys none of it.
fn shown(path: &Path) -> String {
    visible::line(&path.display().to_string()).into_owned()
}

impl Problem {
    /// To standard error, with what to do about it.
    pub fn show(self) {
        crate::output::show_as_is(&format!("{:?}\n", miette::Report::new(self)));
    }

    /// A name that leads to nothing, or cannot be followed.
    pub fn not_found(path: &Path, error: &io::Error) -> Problem {
        match error.kind() {
            io::ErrorKind::NotFound if path.is_symlink() => Problem::Unreadable {
                path: shown(path),
                reason: "it is a link to something that does not exist".to_owned(),
                help: "Remove the link, or restore what it pointed to.".to_owned(),
            },
            io::ErrorKind::NotFound => {
                let help = near::meant(path).map(|text| visible::line(&text).into_owned());
                let spelling = "Check the spelling, or name the folder that holds your cases.";
                Problem::Missing { path: shown(path), help: help.unwrap_or(spelling.to_owned()) }
            }
            _ => Problem::unreadable(path, error),
        }
    }

    /// Something that is there and is no file: it may never end, so it is not read.
    pub fn no_file(path: &Path, kind: &str) -> Problem {
        Problem::Unreadable {
            path: shown(path),
            reason: format!("it is {kind}, not a file"),
            help: "Only files are read; `-` is standard input.".to_owned(),
        }
    }

    pub fn serving(error: &io::Error) -> Problem {
        Problem::Serving { reason: reason(error) }
    }

    /// The user's own folder for what a program keeps.
    pub fn no_state(error: &io::Error) -> Problem {
        Problem::Usage {
            message: format!("Your folder for unsaved text cannot be used: {}.", reason(error)),
            help: "Set XDG_STATE_HOME to a folder that you can write to.".to_owned(),
        }
    }

    /// What happened and what to do, as running text.
    pub fn in_words(&self) -> String {
        let help = self.help().map(|help| format!(" {help}")).unwrap_or_default();
        format!("{self}{help}")
    }

    pub fn unreadable(path: &Path, error: &io::Error) -> Problem {
        if error.kind() == io::ErrorKind::NotFound && path.is_symlink() {
            return Problem::not_found(path, error);
        }
        Problem::Unreadable { path: shown(path), reason: reason(error), help: help(error) }
    }

    pub fn unwritable(path: &Path, error: &io::Error) -> Problem {
        Problem::Unwritable { path: shown(path), reason: reason(error), help: help(error) }
    }

    pub fn read_only(path: &Path) -> Problem {
        Problem::Unwritable {
            path: shown(path),
            reason: "it is write-protected".to_owned(),
            help: "Remove the protection first, if you want the file changed.".to_owned(),
        }
    }

    pub fn not_written(path: &Path, reason: String) -> Problem {
        let help = "Choose another place.".to_owned();
        Problem::Unwritable { path: shown(path), reason, help }
    }

    pub fn changed(path: &Path) -> Problem {
        Problem::Unwritable {
            path: shown(path),
            reason: "someone else has changed it since it was read".to_owned(),
            help: "Run the command again: it starts from the current text.".to_owned(),
        }
    }

    /// A link in a folder to what is not in it.
    pub fn leaves(path: &Path, folder: &Path) -> Problem {
        Problem::Usage {
            message: format!("{} is a link that leaves {}.", shown(path), shown(folder)),
            help:
                "Its target is not read. Name that file itself if you mean it, or remove the link."
                    .to_owned(),
        }
    }

    /// A part of a folder that cannot be looked into.
    pub fn walk(folder: &Path, error: &walkdir::Error) -> Problem {
        let path = error.path().unwrap_or(folder);
        match error.io_error() {
            Some(error) => Problem::unreadable(path, error),
            None => Problem::Unreadable {
                path: shown(path),
                reason: "it points back to itself".to_owned(),
                help: "Remove the link that closes the circle.".to_owned(),
            },
        }
    }

    pub fn not_utf8(name: &str, error: &std::string::FromUtf8Error) -> Problem {
        let byte = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes().iter().take(byte).filter(|b| **b == b'\n').count();
        Problem::NotUtf8 { name: visible::line(name).into_owned(), byte, line }
    }

    pub fn usage(message: impl Into<String>, help: impl Into<String>) -> Problem {
        let shown = |text: String| visible::text(&text).into_owned();
        Problem::Usage { message: shown(message.into()), help: shown(help.into()) }
    }
}

fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "it does not exist".to_owned(),
        io::ErrorKind::PermissionDenied => "you have no permission".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::InvalidFilename => "its name, or its path, is too long".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is write-protected".to_owned(),
        _ => error.to_string(),
    }
}

fn help(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "Check the spelling.",
        io::ErrorKind::PermissionDenied => "Ask whoever owns the folder for access.",
        io::ErrorKind::InvalidFilename => "Move it up, or give its folders shorter names.",
        io::ErrorKind::StorageFull => "Make room and try again.",
        _ => "Check the file and the folder it is in.",
    }
    .to_owned()
}
