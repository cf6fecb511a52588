//! Teeth without room, and whose choice it is where that comes from.

use super::*;

/// An upper arch with a goal and teeth.
fn upper(goal: &str, teeth: &str) -> SourceText {
    let text = format!(
        "springline 1\ncase \"SM-9802\"\nuse saltmarsh\nstart 2026-11-23\npatient growing\n{goal}upper {{\n  \
         bonded 15..25 with twin\n  tubes 16, 26 with molar\n{teeth}  follow usual\n}}\n"
    );
    SourceText { name: "case.spring".to_owned(), text: text.into() }
}

/// An upper lateral behind the others with 4 mm of space.
fn blocked_out(goal: &str) -> SourceText {
    let lateral = "  tooth 12 palatal 2.5 mm, rotated 20 deg mesial-in, width 6.5 mm, space 4 mm\n";
    upper(goal, &format!("{lateral}  tooth 22 rotated 15 deg mesial-out\n"))
}

const FORWARD: &str = "goal {\n  incisors forward\n}\n";

const FEW: [&str; 3] = ["niti-14", "niti-18", "niti-14x25"];

fn with(source: &SourceText, choice: &str) -> Result<ArchDraft, NotDrafted> {
    let with = Some(DoctorChoice::parse(choice).expect("a choice"));
    let request = DraftRequest { arch: Arch::Upper, with };
    let library = Practices::of(practice(&FEW));
    Checker::new().draft_as(source, &request, &library, &options(), &mut |_, _| true)
}

#[test]
fn room_is_made_and_the_tooth_taken_in_as_brute_force_would() {
    let source = blocked_out(FORWARD);
    let house = practice(&FEW);
    let [best, all] = both(&source, Arch::Upper, &house);
    assert!(best.len() >= 8, "{best:?}");
    assert_eq!(best, all);
    let draft = drafted(&source, Arch::Upper, &house).expect("a draft");
    let text = &draft.text;
    for words in [
        "bypass 12 until space 7 mm",
        "open-coil between 13 and 11 with open-",
        "tie 11..22 figure-eight",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let written = SourceText { name: source.name.clone(), text: text.clone().into() };
    let checked = crate::check(&written, &Practices::of(house), &options());
    let errors = checked.findings.iter().filter(|f| f.severity == Severity::Error);
    let codes: Vec<&str> = errors.map(|f| f.code.as_str()).collect();
    assert_eq!(codes, ["order/draft-not-taken-on"], "{text}");
    // While it stands, the same steps are told, with why not others.
    let library = Practices::of(practice(&FEW));
    let why =
        Checker::new().why_drafted(&written, Arch::Upper, &library, &options(), &mut |_| true);
    let why = why.expect("it is read").expect("a draft");
    let steps = draft_step::say_steps(&draft.drafted.steps);
    assert_eq!(why.says[0], format!("{steps}, then the working wire."));
    assert!(why.why.iter().any(|l| l.starts_with("Another coil")), "{:?}", why.why);
}

#[test]
fn where_room_comes_from_is_the_doctors_choice() {
    let source = blocked_out("");
    let house = practice(&FEW);
    let refusal = drafted(&source, Arch::Upper, &house).map(|d| d.text).unwrap_err();
    let NotDrafted::ChoiceOfRoom { tenths, ref teeth, .. } = refusal else { panic!("{refusal}") };
    assert_eq!((tenths, teeth.as_slice()), (25, ["12".to_owned()].as_slice()));
    assert!(refusal.to_string().starts_with("2.5 mm missing"), "{refusal}");
    let coil = with(&source, "coil").expect("a draft").text;
    assert!(coil.contains("incisors forward") && coil.contains("open-coil"), "{coil}");
    let enamel = with(&source, "enamel 0.3 mm each between 13 and 23").expect("a draft").text;
    assert!(enamel.contains("ipr 0.3 mm each between 13 and 23"), "{enamel}");
    assert!(!enamel.contains("open-coil") && !enamel.contains("bypass"), "{enamel}");
    let out = with(&source, "extraction 14, 24").expect("a draft").text;
    assert!(out.contains("extract 14, 24 before 2026-11-25"), "{out}");
    let none = blocked_out("goal {\n  extraction none\n}\n");
    let refusal = with(&none, "extraction 14, 24").map(|d| d.text).unwrap_err();
    assert_eq!(refusal, NotDrafted::AgainstGoal("extraction none"));
    for unclear in ["enamel", "extraction", "extraction 1, x", "patience"] {
        assert!(DoctorChoice::parse(unclear).is_err(), "{unclear}");
    }
    let unread = with(&source, "enamel much between 13 and 23").map(|d| d.text).unwrap_err();
    assert_eq!(unread, NotDrafted::ChoiceUnread);
}

#[test]
fn a_tooth_without_a_neighbour_in_the_wire_is_left_to_the_doctor() {
    let source = blocked_out(FORWARD);
    let text =
        source.text.replace("bonded 15..25", "bonded 12..25").replace("tubes 16, 26", "tubes 26");
    let source = SourceText { text: text.into(), ..source };
    let refusal = drafted(&source, Arch::Upper, &practice(&FEW)).map(|d| d.text).unwrap_err();
    assert!(matches!(refusal, NotDrafted::NoPlaceForCoil(..)), "{refusal}");
}

/// One or two upper teeth without room from a seed.
fn seeded_room(seed: u64) -> SourceText {
    let mut rng = fastrand::Rng::with_seed(seed);
    let mut teeth = [12, 22, 13, 23];
    rng.shuffle(&mut teeth);
    let lines: String = teeth[..rng.usize(1..=2)]
        .iter()
        .map(|tooth| {
            let (off, space) =
                (f64::from(rng.u32(2..=5)) / 2.0, 4.0 + f64::from(rng.u32(0..=2)) / 2.0);
            format!("  tooth {tooth} palatal {off} mm, width 7 mm, space {space} mm\n")
        })
        .collect();
    upper(FORWARD, &lines)
}

#[test]
#[ignore = "minutes: run optimised"]
fn room_is_made_as_brute_force_would_in_forty_arches() {
    for seed in 0..40 {
        let source = seeded_room(seed);
        let refusal = drafted(&source, Arch::Upper, &practice(&FEW)).err();
        if let Some(NotDrafted::NoPlaceForCoil(..)) = refusal {
            continue;
        }
        let [best, all] = both(&source, Arch::Upper, &practice(&FEW));
        assert_eq!(best, all, "seed {seed}: {}", source.text);
        eprintln!("seed {seed}: {} sequences, the same", all.len());
    }
}
