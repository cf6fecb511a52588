//! A session in a real editor: a folder with a case and its house, and what the editor left there.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use springline_lang::syntax::{FormatOptions, format, parse};
use springline_lang::text::FileId;

use crate::project;

/// An editor that does not come to an end by itself is ended.
const PATIENCE: Duration = Duration::from_secs(120);

/// Says that an editor is not there; fails where it has to be.
pub fn skip(what: &str) {
    assert!(
        std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_none(),
        "{what} is not installed, and SPRINGLINE_DEMAND_TOOLS says that it must be"
    );
    eprintln!("skipped: {what} is not installed");
}

/// The path of a program, if it can be run.
pub fn find(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|dir| dir.join(program)).find(|p| p.is_file())
}

pub struct Session {
    pub folder: tempfile::TempDir,
}

impl Session {
    /// A case of the examples with its house, in a folder of its own.
    pub fn new() -> Session {
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir(folder.path().join(".git")).unwrap();
        for (from, to) in [
            ("examples/saltmarsh.spring", "saltmarsh.spring"),
            ("examples/cases/sm-0392-mild-crowding.spring", "case.spring"),
        ] {
            std::fs::copy(project().join(from), folder.path().join(to)).unwrap();
        }
        Session { folder }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Runs an editor to its end; its output is shown if it fails.
    pub fn run(&self, mut command: Command) {
        let log = self.path("editor.log");
        let out = std::fs::File::create(&log).unwrap();
        command
            .current_dir(self.folder.path())
            .env("SPRINGLINE_LSP", env!("CARGO_BIN_EXE_springline-lsp"))
            .env("SPRINGLINE_TODAY", "2026-11-24")
            .env("HOME", self.folder.path())
            .env("XDG_STATE_HOME", self.folder.path())
            .stdin(Stdio::null())
            .stdout(out.try_clone().unwrap())
            .stderr(out);
        let mut child = command.spawn().unwrap();
        let begun = Instant::now();
        let status = loop {
            if let Some(status) = child.try_wait().unwrap() {
                break Some(status);
            }
            if begun.elapsed() > PATIENCE {
                let _ = child.kill();
                let _ = child.wait();
                break None;
            }
            std::thread::sleep(Duration::from_millis(20));
        };
        let said = std::fs::read_to_string(&log).unwrap_or_default();
        assert!(status.is_some_and(|s| s.success()), "{status:?}\n{said}");
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    /// The editor's text and the server's were the same: what came back is the settled layout of
    /// exactly the text that the editor had.
    pub fn texts_agree(&self) {
        let (before, after) = (self.read("before.txt"), self.read("after.txt"));
        assert!(before.contains("😀"), "{before}");
        let notation = Some(springline_lang::units::tooth::Notation::Iso);
        let settled = format(&parse(FileId(0), &before), &FormatOptions { notation }).unwrap();
        assert_ne!(before, after, "there was something to settle");
        assert_eq!(after, settled);
    }
}

/// Where the test's own scripts lie.
pub fn script(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/editors").join(name)
}
