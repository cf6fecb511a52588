//! Files that a shared folder may hold by mistake or by malice: nothing is hidden, overwritten or obeyed,
//! nothing stops the work, and what is left out is said.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

const SPRINGLINE: &str = env!("CARGO_BIN_EXE_springline");
const CASE: &str = include_str!("../../examples/cases/sm-0392-mild-crowding.spring");
const UNSAFE: &str = include_str!("../../examples/unsafe/engaged-without-space.spring");
const HOUSE: &str = include_str!("../../examples/saltmarsh.spring");

/// Longer than any of this takes; without an end a test would never fail.
const PATIENCE: Duration = Duration::from_secs(60);

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Folder {
        let folder = Folder(tempfile::tempdir().unwrap());
        folder.write("saltmarsh.spring", HOUSE);
        folder
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
        path
    }

    /// The example under another chart.
    fn case(&self, name: &str, chart: &str) -> PathBuf {
        self.write(name, &CASE.replace("SM-0392", chart))
    }

    fn run(&self, arguments: &[&str]) -> Output {
        ended(Command::new(SPRINGLINE).current_dir(self.path()).args(arguments))
    }

    #[cfg(unix)]
    fn pipe(&self, name: &str) {
        assert!(Command::new("mkfifo").arg(self.path().join(name)).status().unwrap().success());
    }

    #[cfg(unix)]
    fn link(&self, to: impl AsRef<Path>, name: &str) {
        std::os::unix::fs::symlink(to, self.path().join(name)).unwrap();
    }
}

/// What a command gave; one that does not end fails the test.
fn ended(command: &mut Command) -> Output {
    command.env("SPRINGLINE_TODAY", "2026-11-24").stdin(Stdio::null());
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let reads = |mut from: Box<dyn std::io::Read + Send>| {
        std::thread::spawn(move || {
            let mut bytes = Vec::new();
            from.read_to_end(&mut bytes).unwrap();
            bytes
        })
    };
    let (out, err) = {
        let _ = (&mut out, &mut err);
        (reads(Box::new(out)), reads(Box::new(err)))
    };
    let begun = Instant::now();
    let status = loop {
        match child.try_wait().unwrap() {
            Some(status) => break status,
            None if begun.elapsed() > PATIENCE => {
                let _ = child.kill();
                panic!("{command:?} does not end");
            }
            None => std::thread::sleep(Duration::from_millis(5)),
        }
    };
    Output { status, stdout: out.join().unwrap(), stderr: err.join().unwrap() }
}

fn stdout(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// Both streams on one line, as a terminal's width may break them anywhere.
fn said(output: &Output) -> String {
    let text = String::from_utf8_lossy(&[&output.stdout[..], &output.stderr[..]].concat())
        .replace('\u{2502}', " ");
    assert!(!text.contains("panicked"), "{text}");
    text.split_whitespace().collect::<Vec<_>>().join(" ").replace("- ", "-")
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("{}", said(output)))
}

#[test]
fn cards_of_two_cases_with_one_name_are_two_files() {
    let folder = Folder::new();
    folder.case("cases/x.spring", "SM-1");
    folder.case("old/x.spring", "SM-2");
    for command in ["compile", "print"] {
        let output = folder.run(&[command, ".", "--to", command]);
        assert_eq!(code(&output), 0, "{}", said(&output));
        for (place, chart) in [("cases/x.html", "SM-1"), ("old/x.html", "SM-2")] {
            let page = fs::read_to_string(folder.path().join(command).join(place)).unwrap();
            assert!(page.contains(chart), "{command} {place}");
        }
    }
    assert!(folder.path().join("compile/old/x.ics").exists());
    assert!(folder.path().join("compile/cases/x.txt").exists());
    // Named one by one they have no folders; then neither is printed, and the third is.
    folder.case("y.spring", "SM-3");
    let named = ["print", "cases/x.spring", "old/x.spring", "y.spring", "--to", "named"];
    let output = folder.run(&named);
    let told = said(&output);
    assert_eq!(code(&output), 2, "{told}");
    assert!(told.contains("cases/x.spring and old/x.spring"), "{told}");
    let printed: Vec<_> = fs::read_dir(folder.path().join("named")).unwrap().flatten().collect();
    assert_eq!(printed.len(), 1, "{printed:?}");
    assert_eq!(printed[0].file_name(), "y.html");
}

#[test]
fn two_files_of_one_chart_are_told() {
    let folder = Folder::new();
    folder.case("cases/x.spring", "SM-1");
    folder.case("old/x.spring", "sm-1");
    folder.case("other.spring", "SM-2");
    let output = folder.run(&["check", ".", "--format", "one-line"]);
    let told = stdout(&output);
    assert_eq!(told.matches("name/chart-twice").count(), 2, "{told}");
    assert!(told.contains("SM-1 is also the chart of ./old/x.spring."), "{told}");
    let findings = said(&folder.run(&["practice", "findings", "."]));
    assert_eq!(findings.matches("name/chart-twice").count(), 2, "{findings}");
    // Put away and taken out again it is told all the same, and no longer once it is mended.
    let cached = ["check", ".", "--cache", "kept", "--format", "one-line"];
    for _ in 0..2 {
        assert_eq!(stdout(&folder.run(&cached)).matches("name/chart-twice").count(), 2);
    }
    folder.case("old/x.spring", "SM-9");
    assert!(!stdout(&folder.run(&cached)).contains("name/chart-twice"));
}

/// One file under two names is one plan.
#[cfg(unix)]
#[test]
fn a_link_to_a_case_beside_it_is_no_second_plan() {
    let folder = Folder::new();
    folder.case("x.spring", "SM-1");
    folder.link("x.spring", "y.spring");
    let told = stdout(&folder.run(&["check", ".", "--format", "one-line"]));
    assert!(!told.contains("name/chart-twice"), "{told}");
}

#[test]
fn no_list_of_ignored_names_hides_a_case() {
    for (list, at) in
        [(".ignore", "."), (".gitignore", "."), (".ignore", ".."), (".git/info/exclude", ".")]
    {
        let folder = Folder::new();
        folder.write("cases/.git/HEAD", "ref: refs/heads/main\n");
        folder.write("cases/saltmarsh.spring", HOUSE);
        folder.write("cases/a.spring", UNSAFE);
        folder.write(&format!("cases/{at}/{list}"), "a.spring\n*.spring\n");
        let config = folder.path().join("config");
        fs::create_dir_all(config.join("git")).unwrap();
        fs::write(config.join("git/ignore"), "a.spring\n").unwrap();
        for arguments in [["check", "cases"], ["practice", "findings"]] {
            let mut command = Command::new(SPRINGLINE);
            command.current_dir(folder.path()).env("XDG_CONFIG_HOME", &config).args(arguments);
            if arguments[0] == "practice" {
                command.arg("cases");
            }
            let output = ended(&mut command);
            let told = said(&output);
            assert_eq!(code(&output), 1, "{list}: {told}");
            assert!(told.contains("space/engaged-without-space"), "{list}: {told}");
            assert!(!told.contains("every case may be printed"), "{list}: {told}");
        }
    }
}

#[test]
fn what_is_passed_over_is_said_with_its_number() {
    let folder = Folder::new();
    folder.case("a.spring", "SM-0001");
    folder.write(".old/b.spring", UNSAFE);
    folder.write(".old/deep/c.spring", UNSAFE);
    folder.write(".d.spring", UNSAFE);
    folder.write(".git/refs/heads/e.spring", "0000\n");
    let output = folder.run(&["check", "."]);
    let told = said(&output);
    assert_eq!(code(&output), 0, "{told}");
    assert!(told.contains("3 hidden .spring files") && told.contains("3 not checked"), "{told}");
    let told = said(&folder.run(&["practice", "all", "."]));
    assert!(told.contains("3 hidden .spring files"), "{told}");
    assert!(told.contains("(3 not checked)") && !told.contains("every case may be"), "{told}");
    // Named, they are looked at.
    assert_eq!(code(&folder.run(&["check", ".old"])), 1);
    assert_eq!(code(&folder.run(&["check", ".d.spring"])), 1);
    // Nothing passed over, nothing said.
    let told = said(&folder.run(&["practice", "all", "a.spring"]));
    assert!(told.contains("every case may be printed") && !told.contains("looked at"), "{told}");
}

#[cfg(unix)]
#[test]
fn what_never_ends_beside_a_case_is_not_read() {
    let folder = Folder::new();
    let case = CASE.replace("use saltmarsh", "use nowhere");
    folder.write("case.spring", &case);
    folder.pipe("pipe.spring");
    folder.link("/dev/zero", "zero.spring");
    let output = folder.run(&["check", "case.spring"]);
    let told = said(&output);
    assert_eq!(code(&output), 1, "{told}");
    assert!(told.contains("name/house-not-found") && told.contains("write `saltmarsh`"), "{told}");
    // Used as a house it is told what it is.
    folder.write("case.spring", &CASE.replace("use saltmarsh", "use pipe"));
    let told = said(&folder.run(&["check", "case.spring"]));
    assert!(told.contains("it is a named pipe"), "{told}");
    folder.write("case.spring", &CASE.replace("use saltmarsh", "use zero"));
    let told = said(&folder.run(&["check", "case.spring"]));
    assert!(told.contains("it is a device"), "{told}");
}

#[cfg(unix)]
#[test]
fn what_is_no_file_is_named_for_what_it_is() {
    let folder = Folder::new();
    folder.pipe("x.spring");
    for command in ["check", "preview", "schedule", "seen", "fmt"] {
        let output = folder.run(&[command, "x.spring"]);
        assert_eq!(code(&output), 2, "{command}");
        let told = said(&output);
        assert!(told.contains("x.spring cannot be read: it is a named pipe"), "{command}: {told}");
    }
    let told = said(&folder.run(&["check", "/dev/zero"]));
    assert!(told.contains("it is a device, not a file"), "{told}");
    let told = said(&folder.run(&["check", "nothing.spring"]));
    assert!(told.contains("There is no file or folder nothing.spring"), "{told}");
    folder.link("gone", "dangling.spring");
    let told = said(&folder.run(&["check", "dangling.spring"]));
    assert!(told.contains("a link to something that does not exist"), "{told}");
}

/// One that cannot be read is told, and the others are judged.
#[cfg(unix)]
#[test]
fn one_bad_file_does_not_stop_the_others() {
    let folder = Folder::new();
    folder.write("cases/a.spring", UNSAFE);
    folder.case("cases/b.spring", "SM-2");
    let elsewhere = tempfile::tempdir().unwrap();
    fs::write(elsewhere.path().join("secret.txt"), "springline 1\ncase \"SECRET\"\n").unwrap();
    folder.link(elsewhere.path().join("secret.txt"), "cases/out.spring");
    folder.link(elsewhere.path(), "cases/more");
    folder.link("nowhere", "cases/gone.spring");
    folder.link("round.spring", "cases/round.spring");
    folder.pipe("cases/pipe.spring");
    fs::write(folder.path().join("cases/latin.spring"), b"case \"\xe9\"").unwrap();
    // A case so deep that its path cannot be opened any more.
    let deep = "d".repeat(200);
    let upper = folder.path().join("cases").join(vec![deep.as_str(); 15].join("/"));
    fs::create_dir_all(&upper).unwrap();
    let lower = [deep.as_str(); 10].join("/");
    let script = "mkdir -p \"$0\" && echo 'case \"DEEP\"' > \"$0/deep.spring\"";
    let mut made = Command::new("sh");
    made.arg("-c").arg(script).arg(lower).current_dir(&upper);
    assert!(made.status().unwrap().success());
    for arguments in [&["check", "cases"][..], &["practice", "all", "cases"], &["compile", "cases"]]
    {
        let output = folder.run(arguments);
        let told = said(&output);
        assert_eq!(code(&output), 2, "{told}");
        let names = [
            "out.spring is a link that leaves",
            "gone.spring",
            "round.spring",
            "pipe.spring cannot be read: it is a named pipe",
            "latin.spring is not UTF-8",
            "1 linked folder",
            "too long",
        ];
        for name in names {
            assert!(told.contains(name), "{arguments:?}: {name}: {told}");
        }
        assert!(told.contains("space/engaged-without-space"), "{arguments:?}: {told}");
        assert!(!told.contains("SECRET"), "{arguments:?}: {told}");
        assert!(!told.contains("every case may be"), "{arguments:?}: {told}");
    }
    assert!(folder.path().join("out/b.html").exists());
    // Such a tree is too deep for the one that clears it away as well.
    let _ = Command::new("rm").arg("-rf").arg(folder.path().join("cases")).status();
}

/// Escapes and marks of direction, in a text and in a name.
const ESCAPES: &str = "SM-1\u{1b}]8;;http://evil.example/\u{7}x\u{202e}y\u{2066}";

fn is_clean(bytes: &[u8], what: &str) {
    let text = String::from_utf8_lossy(bytes);
    // What colours the program itself puts around words is no concern here: none are asked for.
    let bad = text.chars().find(|c| springline_lang::text::visible::hidden(*c).is_some());
    assert!(bad.is_none(), "{what}: {bad:?} in {text:?}");
}

fn without_colours(text: &str) -> String {
    let mut parts = text.split("\u{1b}[");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |out, part| match part.split_once('m') {
        Some((code, rest)) if code.chars().all(|c| c.is_ascii_digit() || c == ';') => out + rest,
        _ => out + "\u{1b}[" + part,
    })
}

#[cfg(unix)]
#[test]
fn no_escape_reaches_the_terminal() {
    let folder = Folder::new();
    let text = UNSAFE.replacen("case \"SM-", &format!("case \"{ESCAPES}SM-"), 1);
    assert_ne!(text, UNSAFE);
    let text = format!("{text}note \"a\u{1b}[8mb\u{2067}\"\n");
    let name = "a\u{1b}]0;pwned\u{7}\nforged.spring:1:1: error: x.spring";
    let case = folder.write(name, &text);
    let sound = folder.write("b.spring", &CASE.replace("SM-0392", ESCAPES));
    let (case, sound) = (case.to_str().unwrap(), sound.to_str().unwrap());
    let commands: Vec<Vec<&str>> = vec![
        vec!["check", "."],
        vec!["check", ".", "--format", "one-line"],
        vec!["check", ".", "--format", "json"],
        vec!["check", ".", "--format", "jsonl"],
        vec!["check", ".", "--format", "junit"],
        vec!["check", ".", "--format", "sarif"],
        vec!["practice", "all", "."],
        vec!["practice", "steps", "."],
        vec!["practice", "findings", ".", "--format", "csv"],
        vec!["practice", "all", ".", "--format", "html"],
        vec!["schedule", "."],
        vec!["schedule", ".", "--format", "csv"],
        vec!["schedule", ".", "--format", "ics"],
        vec!["schedule", ".", "--format", "fhir"],
        vec!["course", "."],
        vec!["forces", ".", "--no-bands"],
        vec!["print", "."],
        vec!["compile", "."],
        vec!["diff", case, sound],
        vec!["fmt", "--diff", "."],
        vec!["verify-print", "0123456789ab", case],
        vec!["new", "x", "--folder", "a\u{1b}c"],
        vec!["learn", "."],
        vec!["check", "\u{1b}[8m"],
    ];
    for arguments in commands {
        let output = folder.run(&arguments);
        is_clean(&output.stdout, &format!("{arguments:?}"));
        is_clean(&output.stderr, &format!("{arguments:?}"));
    }
    // In colour too, where escapes are the program's own.
    let output = folder.run(&["check", ".", "--color", "always"]);
    let told = stdout(&output);
    assert!(!told.contains("\u{1b}]") && !told.contains("\u{1b}[8m"), "{told:?}");
    let plain = without_colours(&told);
    is_clean(plain.as_bytes(), "without its colours");
    assert!(plain.len() < told.len() && plain.contains("aU+001B[8mbU+2067"), "{plain}");
    // One finding, one line, whatever the file is called.
    let lines = stdout(&folder.run(&["check", ".", "--format", "one-line"]));
    assert!(lines.lines().all(|l| !l.starts_with("forged")), "{lines}");
    assert!(lines.contains("U+000Aforged"), "{lines}");
    // And they are findings of the plan.
    assert!(lines.contains("error[syntax/hidden-character]"), "{lines}");
    // JUnit keeps the text around them.
    let junit = stdout(&folder.run(&["check", ".", "--format", "junit"]));
    assert!(junit.contains("U+001B"), "{junit}");
    // Neither pages nor calendars hold any.
    for page in fs::read_dir(folder.path().join("out")).unwrap().flatten() {
        is_clean(&fs::read(page.path()).unwrap(), &format!("{page:?}"));
    }
    // A filter gives the text as it is.
    let mut command = Command::new(SPRINGLINE);
    let plan = fs::File::open(sound).unwrap();
    let output =
        command.args(["fmt", "-"]).current_dir(folder.path()).stdin(plan).output().unwrap();
    assert!(stdout(&output).contains(ESCAPES), "{}", said(&output));
}

#[cfg(unix)]
#[test]
fn new_files_are_as_private_as_the_account_wants_them() {
    use std::os::unix::fs::PermissionsExt as _;
    for (mask, mode) in [("077", 0o600), ("022", 0o644), ("027", 0o640)] {
        let folder = Folder::new();
        folder.case("case.spring", "SM-0001");
        let script = format!(
            "umask {mask}; cd \"$1\"; \"$0\" print case.spring && \"$0\" compile case.spring --to c \
             && \"$0\" new SM-0007 && \"$0\" man --to man && \"$0\" new --demo 1 --folder demo"
        );
        let output =
            ended(Command::new("sh").arg("-c").arg(script).arg(SPRINGLINE).arg(folder.path()));
        assert!(output.status.success(), "{}", said(&output));
        let made = [
            "out/case.html",
            "c/case.html",
            "c/case.ics",
            "c/case.txt",
            "SM-0007.spring",
            "man/springline.1",
            "demo/cases",
        ];
        for name in made {
            let meta = fs::metadata(folder.path().join(name)).unwrap();
            let wanted = if meta.is_dir() { mode | (mode & 0o444) >> 2 } else { mode };
            assert_eq!(meta.permissions().mode() & 0o777, wanted, "umask {mask}: {name}");
        }
        // A file that is there keeps what it has.
        let case = folder.path().join("SM-0007.spring");
        fs::set_permissions(&case, fs::Permissions::from_mode(0o604)).unwrap();
        let spoilt = fs::read_to_string(&case).unwrap().replacen(' ', "  ", 1);
        fs::write(&case, spoilt).unwrap();
        let output = folder.run(&["fmt", "SM-0007.spring"]);
        assert!(output.status.success(), "{}", said(&output));
        assert_eq!(fs::metadata(&case).unwrap().permissions().mode() & 0o777, 0o604);
    }
}

#[test]
fn a_chart_is_no_formula_and_many_cases_are_one_table() {
    let folder = Folder::new();
    folder.case("a.spring", "=HYPERLINK(1,2)");
    folder.case("b.spring", "@SUM(A1)");
    let commands: [&[&str]; 5] = [
        &["schedule", "."],
        &["course", "."],
        &["forces", ".", "--no-bands"],
        &["practice", "steps", "."],
        &["practice", "day", ".", "--date", "2026-12-01"],
    ];
    for command in commands {
        let table = stdout(&folder.run(&[command, &["--format", "csv"]].concat()));
        let heads = table.lines().filter(|l| l.to_lowercase().starts_with("chart,")).count();
        assert_eq!(heads, 1, "{command:?}: {table}");
        let bare = table.lines().find(|l| l.trim_start_matches('"').starts_with(['=', '@', '+']));
        assert_eq!(bare, None, "{command:?}");
        if !command.contains(&"day") {
            assert!(table.contains("\"'=HYPERLINK(1,2)\"") && table.contains("'@SUM"), "{table}");
        }
    }
    // Figures stay figures.
    let forces = stdout(&folder.run(&["forces", "a.spring", "--no-bands", "--format", "csv"]));
    assert!(forces.contains(",-") && !forces.contains("'-"), "{forces}");
}

#[test]
fn many_cases_are_one_document() {
    let folder = Folder::new();
    folder.case("cases/a.spring", "SM-1");
    let json = |arguments: &[&str]| -> serde_json::Value {
        let text = stdout(&folder.run(arguments));
        serde_json::from_str(&text).unwrap_or_else(|e| panic!("{arguments:?}: {e}: {text}"))
    };
    let kinds = [
        (&["forces", "--no-bands"][..], "springline.forces/1"),
        (&["course"], "springline.course/1"),
        (&["schedule"], "springline.schedule/1"),
    ];
    for count in [1, 2] {
        if count == 2 {
            folder.case("cases/b.spring", "SM-2");
        }
        for (command, schema) in kinds {
            // A file is its document; a folder is one of all, however many there are.
            let one = json(&[command, &["cases/a.spring", "--format", "json"]].concat());
            assert_eq!(one["schema"], schema);
            let all = json(&[command, &["cases", "--format", "json"]].concat());
            assert_eq!(all["schema"], "springline.documents/1");
            let documents = all["documents"].as_array().unwrap();
            assert_eq!(documents.len(), count);
            assert!(documents.iter().all(|d| d["schema"] == schema), "{all}");
            let lines = stdout(&folder.run(&[command, &["cases", "--format", "jsonl"]].concat()));
            assert_eq!(lines.lines().count(), count);
        }
        let bundle = json(&["schedule", "cases", "--format", "fhir"]);
        let plans = bundle["entry"].as_array().unwrap().iter();
        let plans = plans.filter(|e| e["resource"]["resourceType"] == "CarePlan").count();
        assert_eq!(plans, count);
        let calendar = stdout(&folder.run(&["schedule", "cases", "--format", "ics"]));
        assert_eq!(calendar.matches("BEGIN:VCALENDAR").count(), 1);
        assert_eq!(calendar.contains("SM-2"), count == 2);
    }
}

#[test]
fn a_name_that_begins_with_a_dash_is_a_name() {
    let folder = Folder::new();
    let text = CASE.replace("SM-0392", "SM-1");
    folder.write("-x.spring", &text);
    folder.write("-y.spring", &text.replace("palatal 1 mm", "palatal 1.5 mm"));
    let hash = "0123456789012345678901234567890123456789";
    // As git hands them over.
    let by_git = ["diff", "-x.spring", "-x.spring", hash, "100644", "-y.spring", hash, "100644"];
    let output = folder.run(&by_git);
    let told = said(&output);
    assert_eq!(code(&output), 0, "{told}");
    assert!(told.contains("1.5 mm palatal"), "{told}");
    // A path that is not merged comes alone; a copy that is no text is told, and the rest goes on.
    let mut command = Command::new(SPRINGLINE);
    command.current_dir(folder.path()).args(["diff", "-x.spring"]).env("GIT_DIFF_PATH_TOTAL", "1");
    let output = ended(&mut command);
    assert_eq!(code(&output), 0, "{}", said(&output));
    fs::write(folder.path().join("copy"), b"case \"\xff\"").unwrap();
    let by_git = ["diff", "-x.spring", "copy", hash, "100644", "-y.spring", hash, "100644"];
    let output = folder.run(&by_git);
    assert!(code(&output) == 0 && said(&output).contains("UTF-8"), "{}", said(&output));
    assert_eq!(code(&folder.run(&["check", "--", "-x.spring", "-y.spring"])), 0);
    // A practice that says no form of its chart references takes any.
    let house = folder.path().join("saltmarsh.spring");
    let free = fs::read_to_string(&house).unwrap().replace("chart \"SM-####\"\n", "");
    fs::write(house, free).unwrap();
    let output = folder.run(&["new", "../../zz"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    assert!(folder.path().join("zz.spring").exists(), "{}", said(&output));
}

#[test]
fn a_day_that_is_set_is_said() {
    let folder = Folder::new();
    folder.case("a.spring", "SM-1");
    let told = said(&folder.run(&["check", "a.spring"]));
    assert!(told.contains("SPRINGLINE_TODAY") && told.contains("2026-11-24"), "{told}");
    let mut command = Command::new(SPRINGLINE);
    command.current_dir(folder.path()).args(["check", "a.spring"]).env_remove("SPRINGLINE_TODAY");
    let output = command.stdin(Stdio::null()).output().unwrap();
    assert!(!said(&output).contains("SPRINGLINE_TODAY"), "{}", said(&output));
}

/// Every trick of this file in one folder: each command ends, says what it left out, and judges the rest.
#[cfg(unix)]
#[test]
fn a_folder_with_every_trick_is_judged_all_the_same() {
    use std::io::{BufRead as _, Read as _, Write as _};
    let folder = Folder::new();
    folder.case("cases/x.spring", "SM-1");
    folder.case("old/x.spring", "SM-1");
    folder.write("a.spring", UNSAFE);
    folder.write(".ignore", "*.spring\n");
    folder.write(".gitignore", "*\n");
    folder.write(".old/hidden.spring", UNSAFE);
    folder.write("lost.spring", &CASE.replace("use saltmarsh", "use nowhere"));
    folder.write("-dash.spring", &CASE.replace("SM-0392", "=1+1"));
    folder.write("n\nl\u{1b}[8m.spring", &CASE.replace("SM-0392", ESCAPES));
    folder.pipe("pipe.spring");
    folder.link("/dev/zero", "zero.spring");
    folder.link("gone", "gone.spring");
    folder.link("/tmp", "elsewhere");
    folder.link("loop.spring", "loop.spring");
    fs::write(folder.path().join("binary.spring"), b"\x00\xff\xfe").unwrap();
    fs::create_dir(folder.path().join("folder.spring")).unwrap();
    let commands: [&[&str]; 6] = [
        &["check", "."],
        &["practice", "all", "."],
        &["compile", "."],
        &["print", "."],
        &["schedule", ".", "--format", "csv"],
        &["forces", ".", "--no-bands", "--format", "json"],
    ];
    for arguments in commands {
        let output = folder.run(arguments);
        let told = said(&output);
        assert_eq!(code(&output), 2, "{arguments:?}: {told}");
        is_clean(&output.stdout, &format!("{arguments:?}"));
        is_clean(&output.stderr, &format!("{arguments:?}"));
        for name in [
            "pipe.spring",
            "zero.spring",
            "gone.spring",
            "loop.spring",
            "binary.spring",
            "1 hidden .spring file and 1 linked folder",
        ] {
            assert!(told.contains(name), "{arguments:?}: {name}: {told}");
        }
        assert!(!told.contains("every case may be printed"), "{arguments:?}: {told}");
    }
    let told = said(&folder.run(&["check", "."]));
    for code in [
        "space/engaged-without-space",
        "name/chart-twice",
        "name/house-not-found",
        "syntax/hidden-character",
    ] {
        assert!(told.contains(code), "{code}: {told}");
    }
    for page in ["cases/x.html", "old/x.html", "a.html", "-dash.html"] {
        assert!(folder.path().join("out").join(page).exists(), "{page}");
    }
    // The preview of one of them answers, to whoever knows its address only.
    let mut preview = Command::new(SPRINGLINE)
        .current_dir(folder.path())
        .args(["preview", "lost.spring"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    std::io::BufReader::new(preview.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let address = line.split_whitespace().next().unwrap().strip_prefix("http://").unwrap();
    let (host, path) = address.split_once('/').unwrap();
    let ask = |path: &str| {
        let mut stream = std::net::TcpStream::connect(host).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        write!(stream, "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    };
    assert!(ask("/").starts_with("HTTP/1.1 404"));
    assert!(ask(&format!("/{path}")).starts_with("HTTP/1.1 200"));
    let _ = preview.kill();
    let _ = preview.wait();
}
