//! Every feature at every place of every example and of careless edits of each: no panic, and no span
//! outside its text. Without the protocol, so that all of it can be run; the same over the wire, at some
//! of the places, is in `tests/protocol/everywhere.rs`.

#[path = "../protocol/mutants.rs"]
mod mutants;

use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};

use springline_lang::check::SourceText;
use springline_lang::text::LineIndex;
use springline_lang::text::{FileId, Span};
use springline_lang::{CheckOptions, Checker};
use springline_lsp::AnalysedFile;
use springline_lsp::features::{
    actions, complete, edits, hints, hover, lens, links, names, select, signature, symbols,
};
use springline_lsp::position::{Encoding, Positions};
use springline_test_support::{Practices, examples_in};

fn examples() -> Vec<(String, String)> {
    let mut out = Vec::new();
    for folder in ["", "cases", "unsafe"] {
        out.extend(examples_in(folder).into_iter().map(|(n, t)| (format!("{folder}/{n}"), t)));
    }
    assert!(out.len() > 40);
    out
}

/// Line ends and characters take turns: as it is, CRLF, wide characters in comments and texts, both.
fn dressed(text: &str, turn: u64) -> String {
    let wide = |t: String| t.replace("// ", "// 😀e\u{301}漢 ").replace(" \"", " \"😀");
    match turn % 4 {
        0 => text.to_owned(),
        1 => text.replace('\n', "\r\n"),
        2 => wide(text.to_owned()),
        _ => wide(text.to_owned()).replace('\n', "\r\n"),
    }
}

/// One text with what an answer may say of it.
struct Text<'a> {
    text: &'a str,
    index: LineIndex,
    /// Lengths of the lines in UTF-8 and UTF-16.
    lines: Vec<(usize, usize)>,
}

impl Text<'_> {
    fn new(text: &str) -> Text<'_> {
        let line = |line: &str| {
            let line = line.strip_suffix('\r').unwrap_or(line);
            (line.len(), line.encode_utf16().count())
        };
        let lines = text.split('\n').map(line).collect();
        Text { text, index: LineIndex::new(text), lines }
    }

    fn holds(&self, span: Span, what: &str) {
        let inside = self.text.get(span.range()).is_some();
        assert!(inside, "{what}: {span:?} is no stretch of the text");
        for (encoding, of) in [
            (Encoding::Utf8, (|l| l.0) as fn(&(usize, usize)) -> usize),
            (Encoding::Utf16, |l| l.1),
        ] {
            let range = Positions::new(self.text, &self.index, encoding).range(span);
            for position in [range.start, range.end] {
                let length = self.lines.get(position.line as usize).map(of);
                let fits = length.is_some_and(|length| position.character as usize <= length);
                assert!(fits, "{what}: {position:?} is outside");
            }
        }
    }

    /// Where a client's cursor may be, and back again.
    fn turns_round(&self, offset: usize) {
        for encoding in [Encoding::Utf8, Encoding::Utf16] {
            let positions = Positions::new(self.text, &self.index, encoding);
            let back = positions.offset(positions.at(offset));
            // Between the two halves of a line's end there is no place.
            let between = self.text.get(..offset).is_some_and(|t| t.ends_with('\r'));
            assert!(back == offset || between, "{offset} became {back}");
        }
    }
}

#[derive(Default)]
struct Count {
    texts: AtomicU64,
    places: AtomicU64,
    answers: AtomicU64,
}

/// Asks everything of one text, and at every so many-th place of it, from one of the first on.
fn ask(name: &str, text: &str, step: usize, from: u64, count: &Count) {
    let mut checker = Checker::new();
    let source = SourceText { name: name.to_owned(), text: text.into() };
    let read = checker.read(&source, &Practices::saltmarsh());
    let today = Some(jiff::civil::date(2026, 11, 24));
    let checked = checker.judge(read.clone(), &CheckOptions { today });
    let analysed = AnalysedFile { read: &read, checked: Some(&checked), habits: None };
    let about = Text::new(text);
    of_the_whole(analysed, &about);
    let mut answers = 0;
    let all = (0..=text.len()).filter(|at| text.is_char_boundary(*at));
    let places: Vec<usize> = all.skip(from as usize % step).step_by(step).collect();
    for at in &places {
        about.turns_round(*at);
        answers += at_a_place(analysed, &about, *at);
    }
    count.texts.fetch_add(1, Ordering::Relaxed);
    count.places.fetch_add(places.len() as u64, Ordering::Relaxed);
    count.answers.fetch_add(answers, Ordering::Relaxed);
}

fn of_the_whole(analysed: AnalysedFile<'_>, about: &Text<'_>) {
    let wanted = hints::HintSelection { passive: true, force: true, space: true };
    for hint in hints::hints(analysed, wanted) {
        about.holds(Span::new(hint.at, hint.at), "hint");
    }
    lens::lenses(analysed).iter().for_each(|lens| about.holds(lens.span, "lens"));
    links::links(analysed).iter().for_each(|link| about.holds(link.span, "link"));
    for edit in edits::formatting(analysed).unwrap_or_default() {
        about.holds(edit.span, "formatting");
    }
    let mut outline = symbols::symbols(analysed);
    while let Some(symbol) = outline.pop() {
        about.holds(symbol.span, "symbol");
        about.holds(symbol.name_span, "symbol's name");
        outline.extend(symbol.children);
    }
    for fold in springline_lang::syntax::folds(analysed.parse()) {
        about.holds(fold.span, "fold");
    }
    for (span, _) in springline_lang::syntax::classify(analysed.parse()) {
        about.holds(span, "colour");
    }
    for finding in analysed.findings().iter().filter(|f| f.place.file == FileId(0)) {
        about.holds(finding.place.span, finding.code.as_str());
    }
}

/// The number of requests made.
fn at_a_place(analysed: AnalysedFile<'_>, about: &Text<'_>, at: usize) -> u64 {
    if let Some(hover) = hover::hover(analysed, at) {
        about.holds(hover.span, "hover");
    }
    for offer in complete::complete(analysed, at) {
        about.holds(offer.replace, "completion");
    }
    signature::shapes(analysed, at);
    for span in select::selections(analysed, at) {
        about.holds(span, "selection");
    }
    if let Some(here) = names::at(analysed.parse(), at) {
        about.holds(here.span, "name");
        let scope = names::Scope { parse: analysed.parse() };
        let name = names::meaning(scope, &here);
        names::find(scope, &name).iter().for_each(|used| about.holds(used.span, "reference"));
    }
    let anchor = |finding: &springline_lang::finding::Finding| match finding.place.file {
        FileId(0) => finding.place.span,
        _ => Span::default(),
    };
    let found = actions::actions(analysed, Span::new(at, at), anchor, |_, f| f.fixes.clone());
    for (file, edit) in found.iter().flat_map(|action| &action.edits) {
        if *file == FileId(0) {
            about.holds(edit.span, "action");
        }
    }
    // Where a line or a block has just been ended.
    for typed in ["\n", "}"] {
        if about.text.get(..at).is_some_and(|before| before.ends_with(typed)) {
            for edit in edits::on_type(analysed, at, typed).unwrap_or_default() {
                about.holds(edit.span, "on type");
            }
        }
    }
    // Hover, completion, signature, selection, definition with references, highlight and rename,
    // actions.
    9
}

/// One place of so many is asked: 1 is every place.
#[derive(Clone, Copy)]
struct Steps {
    examples: usize,
    mutants: usize,
}

/// Every example in its four dresses, the latter of them first, and so many mutants of each, on two
/// threads. Where places are left out, they are others in every mutant.
fn everything(dresses: u64, mutants: u64, steps: Steps) {
    let examples = examples();
    let (next, count) = (AtomicUsize::new(0), Count::default());
    let begun = std::time::Instant::now();
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some((name, text)) = examples.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let turns = (0..4).rev().take(dresses as usize);
                    turns.for_each(|turn| {
                        ask(name, &dressed(text, turn), steps.examples, 0, &count)
                    });
                    for seed in 0..mutants {
                        let text = dressed(&mutants::mutant(text, seed), seed);
                        let name = format!("{name}, mutant {seed}");
                        ask(&name, &text, steps.mutants, seed, &count);
                    }
                }
            });
        }
    });
    let of = |number: &AtomicU64| number.load(Ordering::Relaxed);
    println!(
        "{} texts, {} places, {} answers, {:.0?}",
        of(&count.texts),
        of(&count.places),
        of(&count.answers),
        begun.elapsed()
    );
}

#[test]
fn some_places_of_some_mutants() {
    everything(1, 1, Steps { examples: 61, mutants: 61 });
}

/// `cargo test --release -p springline-lsp --test places -- --ignored --nocapture` says how many they
/// are and how long it took; `SPRINGLINE_MUTANTS` sets another number, `SPRINGLINE_STEP=7` asks each mutant
/// at a seventh of its places only.
#[test]
#[ignore = "takes long"]
fn every_place_of_200_mutants_of_every_example() {
    let said = |name: &str| std::env::var(name).ok().and_then(|n| n.parse().ok());
    let steps = Steps { examples: 1, mutants: said("SPRINGLINE_STEP").unwrap_or(1).max(1) };
    everything(4, said("SPRINGLINE_MUTANTS").unwrap_or(200) as u64, steps);
}
