//! A draft for which nobody waits any more.

use super::*;
use springline_course::StopSignal;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

const WIRES: [&str; 4] = ["niti-12", "niti-14", "niti-14x25", "niti-16x22"];

/// Both arches, one of them without room at a lateral, one with an incisor far out of line: wires that take long to
/// compute.
fn long_case() -> SourceText {
    let text = "springline 1\ncase \"SM-9804\"\nuse saltmarsh\nstart 2026-11-23\npatient adult\n\
                goal {\n  incisors forward\n}\nupper {\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  \
                tooth 12 palatal 2.5 mm, width 6.5 mm, space 4 mm\n  tooth 21 labial 2.5 mm, rotated 30 deg mesial-in\n  \
                follow usual\n}\nlower {\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n  \
                tooth 41 lingual 3 mm, rotated 25 deg mesial-in\n  tooth 33 labial 2 mm\n  follow usual\n}\n";
    SourceText { name: "case.spring".to_owned(), text: text.into() }
}

fn ask(checker: &mut Checker, source: &SourceText) -> Result<ArchDraft, NotDrafted> {
    let library = Practices::of(practice(&WIRES));
    let request = DraftRequest::of(Arch::Lower);
    checker.draft_as(source, &request, &library, &options(), &mut |_, _| true)
}

#[test]
fn what_is_cut_short_says_so_and_is_not_remembered() {
    let source = case(Arch::Lower, CROWDED);
    let whole = ask(&mut Checker::new(), &source).expect("a draft");
    let mut checker = Checker::new();
    for most in [0, 3, 40, 400] {
        let asked = Arc::new(AtomicUsize::new(0));
        let seen = asked.clone();
        let stop = StopSignal::new(move || seen.fetch_add(1, Ordering::SeqCst) >= most);
        checker.judgements.stop_drafts_on(stop);
        let answer = ask(&mut checker, &source).map(|d| d.text);
        assert_eq!(answer.unwrap_err(), NotDrafted::Stopped, "after {most}");
        assert!(asked.load(Ordering::SeqCst) > most);
    }
    checker.judgements.stop_drafts_on(StopSignal::default());
    let again = ask(&mut checker, &source).expect("a draft");
    assert_eq!((again.text, again.drafted.cost), (whole.text, whole.drafted.cost));
    assert_eq!(again.rejected, whole.rejected);
}

/// Time from a cancel to the end of the draft, ms.
fn cancelled_after(pause: Duration) -> Option<f64> {
    let cancelled = Arc::new(AtomicBool::new(false));
    let flag = cancelled.clone();
    let work = std::thread::spawn(move || {
        let mut checker = Checker::new();
        let stop = StopSignal::new(move || flag.load(Ordering::SeqCst));
        checker.judgements.stop_drafts_on(stop);
        let request = CaseDraftRequest { arches: vec![Arch::Upper, Arch::Lower], with: None };
        let library = Practices::saltmarsh();
        let answer =
            checker.draft_case(&long_case(), &request, &library, &options(), &mut |_, _| true);
        (Instant::now(), answer.arches.iter().all(|(_, a)| matches!(a, Err(NotDrafted::Stopped))))
    });
    std::thread::sleep(pause);
    let at = Instant::now();
    cancelled.store(true, Ordering::SeqCst);
    let (ended, stopped) = work.join().expect("an answer");
    // It was there before anybody cancelled.
    let late = ended.checked_duration_since(at).filter(|_| stopped)?;
    Some(late.as_secs_f64() * 1000.0)
}

#[test]
#[ignore = "by the clock: on an idle machine, run optimised"]
fn a_cancelled_draft_ends_within_twenty_milliseconds() {
    let mut rng = fastrand::Rng::with_seed(20);
    let pauses = (0..50).map(|_| Duration::from_micros(rng.u64(1_000..4_000_000)));
    let mut late: Vec<f64> = pauses.filter_map(cancelled_after).collect();
    late.sort_by(f64::total_cmp);
    let (median, worst) = (late[late.len() / 2], late[late.len() - 1]);
    eprintln!("{} cancels: median {median:.2} ms, worst {worst:.2} ms, {late:.1?}", late.len());
    assert!(late.len() >= 40 && worst < 20.0, "median {median:.2} ms, worst {worst:.2} ms");
}
