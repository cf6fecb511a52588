//! The page of the desk in a browser, as a doctor and an assistant use it: `editors/desk/test`, by Node.

use std::path::{Path, PathBuf};
use std::process::Command;

/// Says that a tool is not there; fails where it has to be.
fn skip(what: &str) {
    assert!(
        std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_none(),
        "{what} is missing, and SPRINGLINE_DEMAND_TOOLS says that it must be there"
    );
    eprintln!("skipped: {what} is missing");
}

fn find(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|dir| dir.join(program)).find(|p| p.is_file())
}

/// The program beside this test, as cargo builds it.
fn springline(root: &Path) -> PathBuf {
    let cargo = std::env::var_os("CARGO").unwrap_or("cargo".into());
    let built = Command::new(cargo)
        .current_dir(root)
        .args(["build", "--quiet", "--locked", "-p", "springline-cli", "--bin", "springline"])
        .status()
        .expect("cargo runs");
    assert!(built.success());
    // target/debug/deps/whole-0123
    let test = std::env::current_exe().expect("this test");
    let folder = test.parent().and_then(Path::parent).expect("the folder of what is built");
    folder.join(format!("springline{}", std::env::consts::EXE_SUFFIX))
}

#[test]
fn the_page_in_a_browser() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").canonicalize().expect("the root");
    let desk = root.join("editors/desk");
    let Some(node) = find("node") else { return skip("Node") };
    let chromium = std::env::var_os("SPRINGLINE_CHROMIUM").map(PathBuf::from);
    let chromium = chromium
        .or_else(|| ["chromium", "chromium-browser", "google-chrome"].into_iter().find_map(find));
    let Some(chromium) = chromium else { return skip("Chromium") };
    if !desk.join("node_modules/playwright-core").exists() {
        return skip("what `npm ci` in editors/desk installs");
    }
    let program = springline(&root);
    let ran = Command::new(node)
        .current_dir(&desk)
        .args([
            "--test",
            "--test-reporter=spec",
            "--test-timeout=300000",
            "test/desk.test.mjs",
            "test/pick.test.mjs",
            "test/sitting.test.mjs",
        ])
        .env("SPRINGLINE", program)
        .env("SPRINGLINE_CHROMIUM", chromium)
        .env("SPRINGLINE_EXAMPLES", root.join("examples"))
        .output()
        .expect("node runs");
    let said = String::from_utf8_lossy(&ran.stdout);
    assert!(ran.status.success(), "{said}{}", String::from_utf8_lossy(&ran.stderr));
    println!("{said}");
}
