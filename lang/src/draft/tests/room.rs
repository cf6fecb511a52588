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
    assert!(matches!(refusal, NotDrafted::NoPlaceForCoil { .. }), "{refusal}");
    assert!(refusal.to_string().contains("bond the tooth beside it"), "{refusal}");
}

/// 3 and 3 mm are missing at a lateral and its canine.
const TWO_BESIDE: &str = "  tooth 13 labial 2 mm, width 7.5 mm, space 5 mm\n  \
                          tooth 12 palatal 2 mm, width 6.5 mm, space 4 mm\n";

#[test]
fn two_beside_each_other_get_one_coil_and_are_taken_in_together() {
    let source = upper(FORWARD, TWO_BESIDE);
    let draft = drafted(&source, Arch::Upper, &practice(&FEW)).expect("a draft");
    let text = &draft.text;
    for words in [
        "bypass 13 until space 8 mm",
        "bypass 12 until space 7 mm",
        "until space 8 mm at 13 and space 7 mm at 12",
        "open-coil between 14 and 11 with open-",
        "activated 4 mm each visit",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert_eq!(text.matches("open-coil between 14 and 11 with").count(), 1, "{text}");
    let in_one =
        text.contains("engage 13\n    engage 12") || text.contains("in 13, 12, over 14, 11");
    assert!(in_one, "{text}");
    let kept = |f: &Finding| f.code.as_str() == "space/opened-not-held";
    assert!(!draft.drafted.findings.iter().any(kept), "{:?}", draft.drafted.findings);
    let written = SourceText { name: source.name.clone(), text: text.clone().into() };
    let checked = crate::check(&written, &Practices::of(practice(&FEW)), &options());
    let errors = checked.findings.iter().filter(|f| f.severity == Severity::Error);
    let codes: Vec<&str> = errors.map(|f| f.code.as_str()).collect();
    assert_eq!(codes, ["order/draft-not-taken-on"], "{text}");
}

/// Of several pieces of light wire in a step only one would move its teeth.
#[test]
fn one_light_wire_goes_over_teeth_on_both_sides() {
    let two = "  tooth 12 palatal 2 mm, width 6.5 mm, space 4 mm\n  \
               tooth 22 palatal 2 mm, width 6.5 mm, space 4 mm\n";
    let source = upper(FORWARD, two);
    firm::with_frame(&source, Arch::Upper, &practice(&FEW), |judge| {
        let frame = judge.frame;
        let acts: Vec<_> = frame.drawer.acts().cloned().collect();
        let opens = acts.iter().find(|a| !a.takes_in()).expect("a coil").clone();
        let over = acts.iter().find(|a| matches!(a.act, draft_step::DraftAct::Overlay));
        let over = over.expect("a light wire").clone();
        let wires: Vec<_> = frame.drawer.wires().cloned().collect();
        let [first, last] = [&wires[0], &wires[wires.len() - 1]].map(Clone::clone);
        let steps = [first, opens, over, last];
        let lines = frame.lines(&steps);
        let light: Vec<&String> = lines[2].iter().filter(|l| l.starts_with("piggyback")).collect();
        assert_eq!(light.len(), 1, "{light:?}");
        assert!(light[0].ends_with(" in 12, 22, over 13, 11, 21, 23"), "{light:?}");
        let plan = judge.whole(&steps).expect("a plan");
        let left = plan.poor_fits.iter().filter(|f| f.tooth.is_incisor() && f.off > 1.0);
        assert_eq!(left.count(), 0, "{:?}", plan.poor_fits);
    });
}

#[test]
fn of_three_beside_each_other_the_choice_is_said() {
    let three = format!("{TWO_BESIDE}  tooth 11 palatal 2 mm, width 8.5 mm, space 6 mm\n");
    let source = upper(FORWARD, &three);
    let refusal = drafted(&source, Arch::Upper, &practice(&FEW)).map(|d| d.text).unwrap_err();
    let NotDrafted::NoPlaceForCoil { ref teeth, why, .. } = refusal else { panic!("{refusal}") };
    assert_eq!(
        (teeth.join(" "), why),
        ("13 12 11".to_owned(), crate::draft::room::NoCoilHere::TooManyBeside)
    );
    for words in ["13, 12, 11", "more than two", "doctor's choice", "extraction 14, 24"] {
        assert!(refusal.to_string().contains(words), "{refusal}");
    }
}

#[test]
fn spaces_of_chosen_extractions_have_sleeves() {
    let draft = with(&blocked_out(""), "extraction 14, 24").expect("a draft");
    for sleeve in ["sleeve between 15 and 13\n", "sleeve between 23 and 25\n"] {
        let number = draft.text.matches(sleeve).count();
        assert_eq!(number, draft.drafted.steps.len(), "{}", draft.text);
    }
    let bare = draft.drafted.findings.iter().filter(|f| f.code.as_str() == "order/bare-span");
    let steps: Vec<&str> = bare.filter_map(|f| f.step.as_deref()).collect();
    assert!(steps.iter().all(|s| *s == "work"), "{steps:?}");
}

/// A lateral without a bracket: the practice's sequence takes 12 weeks and leaves it where it is.
#[test]
fn a_sequence_that_makes_no_room_is_told_and_never_stands() {
    let source = blocked_out(FORWARD);
    let text = source.text.replace("bonded 15..25", "bonded 15..13, 11..25");
    let source = SourceText { text: text.into(), ..source };
    // So that not even its bare wire speaks against it.
    let house = practice(&FEW).replace("limit bench", "limit span 20 mm\nlimit bench");
    let draft = drafted(&source, Arch::Upper, &house).expect("a draft");
    assert!(!draft.stands && draft.text.contains("open-coil"), "{}", draft.text);
    let said = draft.headline().join("\n");
    assert!(said.contains("12 never comes in there."), "{said}");
    assert!(!said.contains("comes out before it"), "{said}");
    let usual = draft.rejected.iter().find(|r| r.neighbour == Neighbour::Usual).expect("the usual");
    assert_eq!(usual.because, "makes no room for 12, and never takes it in");
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
        let [best, all] = both(&source, Arch::Upper, &practice(&FEW));
        assert_eq!(best, all, "seed {seed}: {}", source.text);
        eprintln!("seed {seed}: {} sequences, the same", all.len());
    }
}
