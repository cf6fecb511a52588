//! How fast a text is read and laid out: `cargo bench -p springline-lang --bench parse`.

use divan::{Bencher, counter::BytesCount};
use springline_lang::syntax::token::lex;
use springline_lang::syntax::{FormatOptions, expected, format, parse};
use springline_lang::text::FileId;

fn main() {
    divan::main();
}

/// A case of about so many lines, as a practice would write it.
fn case(lines: usize) -> String {
    let mut text =
        String::from("springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-09-14\n");
    let block = "upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 2.4 mm, rotated 25 deg mesial-in, space 4.1 mm  // the lateral
  tooth 13 labial 1.8 mm, gingival 2.2 mm
  follow usual
  change align, ends turned-in slack 2 mm, until passive and 6 wk, next 8..10 wk {
    bypass 12 until space 6.6 mm
    open-coil between 11 and 13 with open-100, activated 2 mm
    stop mesial of 11, mesial of 21
  }
}
seen 2026-11-16 by MT {
  upper binds at 13, kept
  tooth 12 space 4.6 mm
}
";
    while text.matches('\n').count() < lines {
        text.push_str(block);
    }
    text
}

/// The same with one fault in each block.
fn faulty(lines: usize) -> String {
    case(lines).replace("stop mesial of 11, mesial of 21", "stop 11").replace("follow", "folow")
}

#[divan::bench(args = [300, 10_000])]
fn tokens(bencher: Bencher, lines: usize) {
    let text = case(lines);
    bencher.counter(BytesCount::of_str(&text)).bench(|| lex(&text));
}

#[divan::bench(args = [300, 10_000])]
fn reading(bencher: Bencher, lines: usize) {
    let text = case(lines);
    bencher.counter(BytesCount::of_str(&text)).bench(|| parse(FileId(0), &text));
}

#[divan::bench(args = [300, 10_000])]
fn reading_with_faults(bencher: Bencher, lines: usize) {
    let text = faulty(lines);
    bencher.counter(BytesCount::of_str(&text)).bench(|| parse(FileId(0), &text));
}

#[divan::bench(args = [300, 10_000])]
fn formatting(bencher: Bencher, lines: usize) {
    let text = case(lines);
    let read = parse(FileId(0), &text);
    bencher
        .counter(BytesCount::of_str(&text))
        .bench(|| format(&read, &FormatOptions::default()).is_ok());
}

#[divan::bench(args = [300, 10_000])]
fn completing(bencher: Bencher, lines: usize) {
    let text = case(lines);
    let read = parse(FileId(0), &text);
    bencher.bench(|| expected(&read, text.len() / 2));
}
