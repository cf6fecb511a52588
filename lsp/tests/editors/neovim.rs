//! A real Neovim, its own client, and the folder that a user would put on the runtime path.

use std::path::Path;
use std::process::Command;

use crate::project;
use crate::session::{Session, find, script, skip};

fn session_in(nvim: &Path) {
    let session = Session::new();
    let mut command = Command::new(nvim);
    command
        .args(["--headless", "-u", "NONE", "-n"])
        .arg("--cmd")
        .arg(format!("set runtimepath+={}", project().join("editors/neovim").display()))
        .args(["-c", &format!("luafile {}", script("neovim.lua").display())]);
    session.run(command);
    let found = session.read("found.txt");
    assert!(found.contains("attached"), "{found}");
    assert!(found.contains("filetype springline"), "{found}");
    assert!(found.contains("first 0"), "a sound case has no errors: {found}");
    assert!(found.contains("broken 3"), "the misspelt word is found on its line: {found}");
    assert!(found.contains("hover upper right lateral incisor"), "{found}");
    assert!(found.contains("offered niti-14"), "{found}");
    assert!(found.contains("drafted "), "a draft is offered and worked out: {found}");
    assert!(found.contains("coloured springlineStatement"), "{found}");
    session.texts_agree();
}

#[test]
fn a_session_in_neovim() {
    // More than one release can be named, as `SPRINGLINE_NVIM=/a/nvim:/b/nvim`.
    let named = std::env::var_os("SPRINGLINE_NVIM").unwrap_or_default();
    let mut all: Vec<_> = std::env::split_paths(&named).filter(|p| p.is_file()).collect();
    all.extend(find("nvim"));
    if all.is_empty() {
        return skip("nvim");
    }
    for nvim in all {
        session_in(&nvim);
    }
}
