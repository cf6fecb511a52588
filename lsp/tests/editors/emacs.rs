//! A real Emacs with eglot, where both are installed.

use std::process::Command;

use crate::project;
use crate::session::{Session, find, script, skip};

fn has_eglot(emacs: &std::path::Path) -> bool {
    let mut probe = Command::new(emacs);
    probe.args(["--batch", "--eval", "(progn (package-initialize) (require 'eglot))"]);
    probe.output().is_ok_and(|out| out.status.success())
}

#[test]
fn a_session_in_emacs() {
    let Some(emacs) = find("emacs").filter(|e| has_eglot(e)) else {
        return skip("emacs with eglot");
    };
    let session = Session::new();
    let mut command = Command::new(emacs);
    command
        .args(["--batch", "--eval", "(package-initialize)", "-L"])
        .arg(project().join("editors/emacs"))
        .arg("-l")
        .arg(script("emacs.el"));
    session.run(command);
    let found = session.read("found.txt");
    assert!(found.contains("mode springline-mode"), "{found}");
    assert!(found.contains("broken usee"), "{found}");
    assert!(found.contains("hover upper right lateral incisor"), "{found}");
    session.texts_agree();
}
