//! Writes learned wire times into the practice file as a block of its own; all other text is unchanged.

use jiff::civil::Date;
use springline_syntax::ast::StatementKind;

use springline_course::learn::{ChairEstimate, Estimate, Learning};
use springline_model::House;
use springline_syntax::{FileKind, InsertAt, Parse, StatementRef, TreeEditor, parse};
use springline_text::{Edit, FileId};
use springline_units::quantity::plain;

use super::Refused;
use super::measured::remarks;

/// The lines of the block, the house first; none where the house's own estimate was refused.
/// Wires that are not in the drawer (a patient who came from elsewhere) are left out: the house's
/// estimate serves them.
pub fn learned_lines(learning: &Learning, house: &House) -> Vec<String> {
    let Ok(whole) = &learning.house else { return Vec::new() };
    let own = learning.wires.iter().filter_map(|(name, e)| Some((name, e.as_ref().ok()?)));
    let known = own.filter(|(name, _)| house.wires.contains_key(*name));
    let times = std::iter::once(line("practice", whole));
    let times = times.chain(known.map(|(name, e)| line(name, e)));
    times.chain(learning.chair.ok().map(|e| chair_line(&e))).collect()
}

/// Forces to a tenth of a gram, within what the file may say.
fn chair_line(e: &ChairEstimate) -> String {
    let grams = |g: f64| plain((10.0 * g.clamp(0.5, 2000.0)).round() / 10.0);
    format!(
        "binds-from {} g, between {} g and {} g, spread {:.2} times, visits {}",
        grams(e.half_g),
        grams(e.half_90_g.0),
        grams(e.half_90_g.1),
        e.spread.clamp(1.0, 10.0),
        e.visits
    )
}

fn line(of: &str, e: &Estimate) -> String {
    format!(
        "active {of} {:.2} times, spread {:.2} times, cases {}",
        e.factor.clamp(0.1, 10.0),
        e.spread.clamp(1.0, 10.0),
        e.cases
    )
}

/// The house's text with this block in the place of the one that was there, else at the end.
/// Comments in the old block are kept.
pub fn write_learned(source: &str, on: Date, lines: &[String]) -> Result<String, Refused> {
    let before = parse(FileId(0), source);
    if before.unread.is_some() || before.braces_guessed {
        return Err(Refused::Unreadable);
    }
    if before.kind != FileKind::House {
        return Err(Refused::NotAHouse);
    }
    if lines.is_empty() {
        return Err(Refused::Empty);
    }
    let old: Vec<StatementRef<'_>> =
        before.lines().filter(|l| l.is(StatementKind::Learned)).collect();
    let mut editor = TreeEditor::new(&before);
    match old.split_first() {
        Some((first, more)) => {
            more.iter().for_each(|line| editor.remove_but_remark(line.id));
            let remarks = remarks(&before, first.whole_span());
            let newline = if source.contains("\r\n") { "\r\n" } else { "\n" };
            editor.replace(first.whole_span(), &block(on, &remarks, lines, newline));
        }
        None => editor.insert(InsertAt::End, &format!("\n{}", block(on, &[], lines, "\n"))),
    }
    let edits = editor.finish().ok_or(Refused::Unreadable)?;
    let text = Edit::all_in(&edits, source);
    let after = parse(FileId(0), &text);
    let only_this = statements(&before) == statements(&after);
    if after.braces_guessed || !only_this {
        return Err(Refused::Unreadable);
    }
    Ok(text)
}

/// Everything but the block, as written.
fn statements(parse: &Parse) -> Vec<&str> {
    let top = parse.top.iter().filter_map(|id| parse.line(*id));
    top.filter(|l| !l.is(StatementKind::Learned)).map(|l| parse.text(l.whole_span())).collect()
}

fn block(on: Date, remarks: &[&str], lines: &[String], newline: &str) -> String {
    let all = remarks.iter().copied().chain(lines.iter().map(String::as_str));
    let body: String = all.map(|line| format!("  {line}{newline}")).collect();
    format!("learned {on} {{{newline}{body}}}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const ON: Date = date(2026, 11, 24);

    fn lines() -> Vec<String> {
        vec!["active practice 1.12 times, spread 1.43 times, cases 16".to_owned()]
    }

    #[test]
    fn the_first_block_goes_to_the_end() {
        let house = "springline 1\nhouse \"Saltmarsh\"\nclinic mon // and no other day";
        let text = write_learned(house, ON, &lines()).unwrap();
        assert!(text.starts_with(house));
        assert!(text.ends_with(
            "\n\nlearned 2026-11-24 {\n  active practice 1.12 times, spread 1.43 times, cases 16\n}\n"
        ));
    }

    #[test]
    fn a_later_block_takes_the_place_of_the_earlier_and_nothing_else_changes() {
        let house = "springline 1\nhouse \"Saltmarsh\"\nlearned 2025-11-20 { // first year\n  active practice 1.4 times, spread 1.5 times, cases 9\n} // ours\nclinic   mon\n\nlearned 2024-01-01 {\n  active practice 2 times, spread 1.5 times, cases 9\n}\ntext staff a \"b\"\n";
        let text = write_learned(house, ON, &lines()).unwrap();
        assert_eq!(
            text,
            "springline 1\nhouse \"Saltmarsh\"\nlearned 2026-11-24 {\n  // first year\n  active practice 1.12 times, spread 1.43 times, cases 16\n} // ours\nclinic   mon\n\ntext staff a \"b\"\n"
        );
        assert_eq!(write_learned(&text, ON, &lines()).unwrap(), text, "twice is once");
    }

    #[test]
    fn what_cannot_be_written_is_refused() {
        assert_eq!(write_learned("case \"SM-1\"\n", ON, &lines()), Err(Refused::NotAHouse));
        assert_eq!(write_learned("practice \"S\"\n", ON, &[]), Err(Refused::Empty));
        let open = "practice \"S\"\nsequence usual {\n";
        assert_eq!(write_learned(open, ON, &lines()), Err(Refused::Unreadable));
    }

    #[test]
    fn line_ends_stay_as_they_are() {
        let text = write_learned("practice \"S\"\r\nclinic mon\r\n", ON, &lines()).unwrap();
        assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    }
}
