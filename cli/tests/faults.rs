//! What can go wrong with files and folders: a message that says so, and nothing lost.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const SPRINGLINE: &str = env!("CARGO_BIN_EXE_springline");
const CASE: &str = include_str!("../../examples/cases/sm-0410-both-arches.spring");
const HOUSE: &str = include_str!("../../examples/saltmarsh.spring");
const VISIT: [&str; 5] = ["seen", "--date=2026-11-23", "--by=MT", "--upper=kept", "--lower=kept"];

fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let case = fill(folder.path(), CASE);
    (folder, case)
}

fn fill(folder: &Path, text: &str) -> PathBuf {
    std::fs::write(folder.join("saltmarsh.spring"), HOUSE).unwrap();
    std::fs::write(folder.join("case.spring"), text).unwrap();
    folder.join("case.spring")
}

fn run(arguments: &[&str], at: &Path) -> Output {
    of(Command::new(SPRINGLINE).args(arguments).arg(at))
}

fn of(command: &mut Command) -> Output {
    command.env("SPRINGLINE_TODAY", "2026-11-24").stdin(Stdio::null()).output().unwrap()
}

fn said(output: &Output) -> String {
    let out = String::from_utf8_lossy(&output.stdout);
    let err = String::from_utf8_lossy(&output.stderr);
    // A terminal's width breaks messages where it likes.
    let text = format!("{out}{err}").replace('\u{2502}', " ");
    assert!(!text.contains("panicked"), "{text}");
    text.split_whitespace().collect::<Vec<_>>().join(" ").replace("- ", "-")
}

fn left_over(folder: &Path) -> Vec<String> {
    let names = std::fs::read_dir(folder).unwrap().flatten();
    let names = names.map(|e| e.file_name().to_string_lossy().into_owned());
    names.filter(|n| n.starts_with('.')).collect()
}

/// A link is followed: what it points to is written, and it stays a link.
#[cfg(unix)]
#[test]
fn a_link_stays_a_link() {
    let (folder, case) = folder();
    let real = folder.path().join("real.txt");
    std::fs::rename(&case, &real).unwrap();
    std::os::unix::fs::symlink(&real, &case).unwrap();
    assert!(run(&VISIT, &case).status.success());
    assert!(std::fs::symlink_metadata(&case).unwrap().is_symlink());
    assert!(std::fs::read_to_string(&real).unwrap().contains("seen 2026-11-23"));
    std::fs::remove_file(&real).unwrap();
    let output = run(&VISIT, &case);
    assert!(
        said(&output).contains("There is no file or folder")
            || said(&output).contains("does not exist")
    );
    assert_eq!(output.status.code(), Some(2));
}

/// A folder is checked as far as it goes: what a link in it points to elsewhere is not read.
#[cfg(unix)]
#[test]
fn a_link_out_of_the_folder_is_not_read() {
    let (folder, _) = folder();
    let elsewhere = tempfile::tempdir().unwrap();
    let secret = elsewhere.path().join("secret.txt");
    std::fs::write(&secret, "springline 1\ncase \"TOP-SECRET\"\nuse nothing\n").unwrap();
    std::os::unix::fs::symlink(&secret, folder.path().join("linked.spring")).unwrap();
    let output = run(&["check"], folder.path());
    let text = said(&output);
    assert_eq!(output.status.code(), Some(2), "{text}");
    assert!(text.contains("is a link that leaves") && !text.contains("SECRET"), "{text}");
    // A link inside the folder is as good as a file, and a folder behind a link is not walked.
    std::fs::remove_file(folder.path().join("linked.spring")).unwrap();
    let inside = folder.path().join("again.spring");
    std::os::unix::fs::symlink(folder.path().join("case.spring"), inside).unwrap();
    std::os::unix::fs::symlink(elsewhere.path(), folder.path().join("more")).unwrap();
    std::fs::rename(&secret, elsewhere.path().join("secret.spring")).unwrap();
    let text = said(&run(&["check"], folder.path()));
    assert!(text.contains("3 files") && !text.contains("SECRET"), "{text}");
}

/// `use` takes a name, not a path, and a house that is a link out of its folder is refused.
#[cfg(unix)]
#[test]
fn a_case_cannot_reach_out_of_its_folder() {
    let outer = tempfile::tempdir().unwrap();
    std::fs::write(outer.path().join("secret.spring"), "springline 1\nhouse \"TOP-SECRET\"\n")
        .unwrap();
    let deep = outer.path().join("a/b/c");
    std::fs::create_dir_all(&deep).unwrap();
    for using in
        ["../../../secret", "\"../../../secret\"", "/etc/passwd", "~/secret", "secret", "$HOME"]
    {
        let case = fill(&deep, &CASE.replace("use saltmarsh", &format!("use {using}")));
        let output = run(&["check"], &case);
        let text = said(&output);
        assert_eq!(output.status.code(), Some(1), "{using}: {text}");
        assert!(!text.contains("TOP-SECRET") && !text.contains("root:"), "{using}: {text}");
    }
    let case = fill(&deep, CASE);
    std::fs::remove_file(deep.join("saltmarsh.spring")).unwrap();
    std::os::unix::fs::symlink(outer.path().join("secret.spring"), deep.join("saltmarsh.spring"))
        .unwrap();
    let text = said(&run(&["check"], &case));
    assert!(text.contains("link that leaves the folder") && !text.contains("TOP-SECRET"), "{text}");
}

/// No room: the old text stays, the reason is told, and nothing is left lying about. The bound on the
/// size of files that a shell can set refuses a write as a full disk does.
#[cfg(target_os = "linux")]
#[test]
fn no_room_leaves_the_old_file() {
    let (folder, case) = folder();
    for arguments in [&VISIT[..], &["fmt"], &["print", "--to", "out"]] {
        let text = CASE.replace("  ", " ");
        std::fs::write(&case, &text).unwrap();
        let mut command = Command::new("sh");
        command.current_dir(folder.path());
        command.arg("-c").arg("trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\"").arg(SPRINGLINE);
        let output = of(command.args(arguments).arg(&case));
        let told = said(&output);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {told}");
        assert!(
            told.contains("cannot be written") && told.contains("Nothing was changed"),
            "{told}"
        );
        assert_eq!(std::fs::read_to_string(&case).unwrap(), text);
        assert!(left_over(folder.path()).is_empty(), "{:?}", left_over(folder.path()));
    }
}

/// A file system of its own, of so many kilobytes; `None` where that is not allowed.
#[cfg(target_os = "linux")]
struct Mounted(tempfile::TempDir);

#[cfg(target_os = "linux")]
impl Mounted {
    fn new(kilobytes: u32) -> Option<Mounted> {
        let folder = tempfile::tempdir().ok()?;
        let size = format!("size={kilobytes}k");
        let mut mount = Command::new("mount");
        mount.args(["-t", "tmpfs", "-o", &size, "tmpfs"]).arg(folder.path());
        let done = mount.stderr(Stdio::null()).status().is_ok_and(|s| s.success());
        if !done {
            eprintln!("skipped: no file system can be mounted here");
        }
        done.then_some(Mounted(folder))
    }

    fn protect(&self) -> bool {
        let mut mount = Command::new("mount");
        mount.args(["-o", "remount,ro"]).arg(self.0.path()).status().is_ok_and(|s| s.success())
    }
}

#[cfg(target_os = "linux")]
impl Drop for Mounted {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.0.path()).status();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_file() {
    let Some(disk) = Mounted::new(48) else { return };
    let folder = disk.0.path();
    let case = fill(folder, CASE);
    // What is left after this is less than the case needs.
    let mut filler = Vec::new();
    while std::fs::write(folder.join("filler"), &filler).is_ok() {
        filler.resize(filler.len() + 1024, 0);
    }
    let output = run(&VISIT, &case);
    let told = said(&output);
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(told.contains("the disk is full") && told.contains("Nothing was changed"), "{told}");
    assert_eq!(std::fs::read_to_string(&case).unwrap(), CASE);
    assert!(left_over(folder).is_empty());
}

#[cfg(target_os = "linux")]
#[test]
fn a_write_protected_disk_is_told() {
    let Some(disk) = Mounted::new(512) else { return };
    let case = fill(disk.0.path(), &CASE.replace("  ", " "));
    assert!(disk.protect());
    for arguments in [&VISIT[..], &["fmt"]] {
        let output = run(arguments, &case);
        let told = said(&output);
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(told.contains("the disk is write-protected"), "{told}");
    }
    // It can still be judged, and without a place to put results away: only slower.
    let mut check = Command::new(SPRINGLINE);
    let output = of(check.args(["check", "--cache"]).arg(disk.0.path().join("cache")).arg(&case));
    let told = said(&output);
    assert_eq!(output.status.code(), Some(0), "{told}");
    assert!(told.contains("cannot be cached") && told.contains("1 file"), "{told}");
}

/// A house file that comes and goes while a folder is judged: all cases see it, or none does.
#[test]
fn a_house_that_vanishes_is_told_for_all() {
    let folder = tempfile::tempdir().unwrap();
    let house = folder.path().join("saltmarsh.spring");
    std::fs::create_dir(folder.path().join("cases")).unwrap();
    for n in 0..24 {
        std::fs::write(folder.path().join(format!("cases/{n}.spring")), CASE).unwrap();
    }
    let (mut with, mut without) = (0, 0);
    for round in 0..6 {
        let mut check = Command::new(SPRINGLINE);
        check
            .args(["check", "--no-cache", "--format", "one-line"])
            .arg(folder.path().join("cases"));
        check.env("SPRINGLINE_TODAY", "2026-11-24").stdout(Stdio::piped()).stderr(Stdio::piped());
        std::fs::write(&house, HOUSE).unwrap();
        let child = check.spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(15 * round));
        std::fs::remove_file(&house).unwrap();
        let output = child.wait_with_output().unwrap();
        let _ = said(&output);
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        match text.matches("name/house-not-found").count() {
            0 => with += 1,
            24 => without += 1,
            n => panic!("{n} of 24 did not find the house:\n{text}"),
        }
    }
    println!("{with} runs judged with the house, {without} without");
}

/// Larger than any plan: refused as it is, and never written over.
#[test]
fn a_file_too_large_is_left_alone() {
    let (_folder, case) = folder();
    let mut text = CASE.to_owned();
    while text.len() <= 9 << 20 {
        text.push_str("// a line that says nothing, over and over, to make the file large\n");
    }
    std::fs::write(&case, &text).unwrap();
    let cases =
        [(&VISIT[..], 2, "springline check"), (&["fmt"], 1, "too large"), (&["check"], 1, "8 MB")];
    for (arguments, code, word) in cases {
        let output = run(arguments, &case);
        let told = said(&output);
        assert_eq!(output.status.code(), Some(code), "{arguments:?}: {told}");
        assert!(told.contains(word), "{arguments:?}: {told}");
        assert!(std::fs::read_to_string(&case).unwrap() == text, "{arguments:?} changed it");
    }
}

/// A reader who goes away is no error.
#[cfg(target_os = "linux")]
#[test]
fn output_that_nobody_takes_brings_nothing_down() {
    let full = Path::new("/dev/full");
    if !full.exists() {
        return;
    }
    let (_folder, case) = folder();
    for arguments in [["explain", "passive"], ["check", case.to_str().unwrap()]] {
        let full = std::fs::OpenOptions::new().write(true).open(full).unwrap();
        let output = Command::new(SPRINGLINE).args(arguments).stdout(full).output().unwrap();
        said(&output);
    }
}
