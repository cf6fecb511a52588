//! What the findings about the text itself mean: families syntax, name and unit.
//!
//! Rules of the trade document themselves in their own files; these are too many and too small for
//! that, so they stand here in one table, which `explain` and the reference page read. A test finds
//! every code that the sources report and this table lacks.

/// A finding about what was written.
#[derive(Debug, Clone, Copy)]
pub struct LanguageFinding {
    pub code: &'static str,
    /// The fault in one line.
    pub title: &'static str,
    pub what_to_do: &'static str,
}

const fn f(code: &'static str, title: &'static str, what_to_do: &'static str) -> LanguageFinding {
    LanguageFinding { code, title, what_to_do }
}

/// Every one, by family and name.
pub const LANGUAGE_FINDINGS: &[LanguageFinding] = &[
    f(
        "name/absent-tooth-bonded",
        "a tooth that is not there is bonded",
        "Take the tooth out of the line, or correct what is said of it.",
    ),
    f(
        "name/accept-without-reason",
        "a finding is accepted without a reason",
        "Write why, in quotes: the reason is printed.",
    ),
    f(
        "name/bracket-without-slot",
        "a bracket or tube has no slot",
        "Add a line such as `slot 0.022 x 0.028 in`.",
    ),
    f(
        "name/cannot-accept",
        "a finding about the text is accepted",
        "Mend the text; only clinical findings can be accepted.",
    ),
    f(
        "name/change-of-own-step",
        "a step of the case itself is changed",
        "Write what you want in the step's own line.",
    ),
    f(
        "name/change-without-effect",
        "a change that changes nothing",
        "Take the line out, or say what should be different.",
    ),
    f(
        "name/chart-twice",
        "two files are the plan of one chart",
        "Keep one; give the other its own chart reference, or put it where no plans are looked for.",
    ),
    f(
        "name/chart-without-span",
        "a chart ceiling without its bench span",
        "Add the span, such as `over 14 mm span`.",
    ),
    f(
        "name/crosses-the-mouth",
        "an elastic line names a tooth of the other side",
        "Name the tooth of this side.",
    ),
    f("name/doubled", "a name is defined twice", "Rename or remove one of the two."),
    f(
        "name/elastic-without-force",
        "an elastic has no force",
        "Add its force as bought, such as `force 3.5 oz`.",
    ),
    f(
        "name/house-cycle",
        "house files use each other in a circle",
        "Take one `use` out of the circle.",
    ),
    f(
        "name/house-has-errors",
        "the house file has errors",
        "Open the house file and mend it first.",
    ),
    f(
        "name/house-not-found",
        "the house file is not there",
        "Correct the name, or put the file beside the case or in a folder above.",
    ),
    f(
        "name/house-unreadable",
        "the house file cannot be read",
        "Check its permissions, its size, and that it is UTF-8 text.",
    ),
    f(
        "name/looks-like-identity",
        "text that looks like a patient's identity",
        "Use the chart reference; names and birth dates do not belong in a plan.",
    ),
    f(
        "name/measured-without-span",
        "measured points without the span they were measured over",
        "Add `measured over 10 mm span`.",
    ),
    f(
        "name/no-house",
        "a plan names things of the drawer and no house",
        "Add a line such as `use saltmarsh`, the name of the house file without `.spring`.",
    ),
    f(
        "name/no-such-tooth",
        "a number that is no tooth",
        "Write an ISO number such as 13, UR3, or #6.",
    ),
    f("name/not-a-house", "a file is used as a house and is none", "Use a file that says `house`."),
    f(
        "name/not-between",
        "`between` names teeth with nothing between them",
        "Name two different teeth of one arch.",
    ),
    f(
        "name/nothing-to-change",
        "`change` where no sequence is followed",
        "Follow a sequence first, or write `step`.",
    ),
    f("name/nothing-to-keep", "`wire keep` with no wire before it", "Name the wire."),
    f(
        "name/said-twice",
        "something is said twice that can be so only once",
        "Take one of the two out.",
    ),
    f(
        "name/step-taken",
        "a step has a name that the sequence already has",
        "Change the step of the sequence, or give the new one another name.",
    ),
    f(
        "name/step-without-end",
        "a step does not say until when",
        "Add `until passive`, a time, or `until decided`.",
    ),
    f(
        "name/step-without-kind",
        "it cannot be told what a step is for",
        "Add `as align`, `as level`, `as work` or `as finish`.",
    ),
    f(
        "name/step-without-place",
        "a step added to a sequence has no place in it",
        "Add `after NAME` or `before NAME`.",
    ),
    f("name/step-without-wire", "a step has no wire", "Add `wire NAME`, or `wire keep`."),
    f(
        "name/stretch-leaves-arch",
        "a stretch of teeth runs into the other jaw",
        "Name two teeth of one arch.",
    ),
    f(
        "name/tooth-read-two-ways",
        "a bare number in a house that does not write ISO numbers",
        "Write the tooth in the house's notation.",
    ),
    f("name/tooth-twice", "a tooth is named twice in one list", "Take one out."),
    f(
        "name/unknown-bracket",
        "a bracket or tube that is not in the drawer",
        "Correct the name, or add it to the house file.",
    ),
    f(
        "name/unknown-chain",
        "a chain that is not in the drawer",
        "Correct the name, or add it to the house file.",
    ),
    f(
        "name/unknown-coil",
        "a coil that is not in the drawer",
        "Correct the name, or add it to the house file.",
    ),
    f(
        "name/unknown-elastic",
        "an elastic that is not in the drawer",
        "Correct the name, or add it to the house file.",
    ),
    f(
        "name/unknown-finding",
        "a finding that does not exist is accepted",
        "Correct the name; `springline explain` lists them.",
    ),
    f(
        "name/unknown-form",
        "an arch form that the house does not have",
        "Correct the name, or add it to the house file.",
    ),
    f(
        "name/unknown-sequence",
        "a sequence that the house does not have",
        "Correct the name, or add it to the house file.",
    ),
    f("name/unknown-step", "a step that is not there", "Correct the name."),
    f(
        "name/unknown-variant",
        "a variant that the bracket does not come in",
        "Correct the name, or add it to the bracket.",
    ),
    f(
        "name/unknown-wire",
        "a wire that is not in the drawer",
        "Correct the name, or add it to the house file.",
    ),
    f(
        "name/which-contact",
        "enamel is reduced over several contacts at once",
        "Write `each`, or name two neighbours.",
    ),
    f(
        "name/wrong-arch",
        "a tooth of the other jaw",
        "Name the tooth of this arch, or move the line.",
    ),
    f(
        "name/wrong-coil",
        "a coil of another kind than the line needs",
        "Name a coil that makes, keeps or closes space, as the line says.",
    ),
    f(
        "syntax/accept-without-reason",
        "`accept` without reason or initials",
        "Add `because \"...\" by INITIALS`.",
    ),
    f(
        "syntax/and-with-or",
        "`and` and `or` together can be read two ways",
        "Use only one of them.",
    ),
    f(
        "syntax/braces-alone",
        "braces without a statement before them",
        "Write what the block is, or take the braces out.",
    ),
    f("syntax/braces-not-here", "a statement that has no block", "Take the braces out."),
    f("syntax/comma", "a comma is missing or too many", "Put it right as the fix shows."),
    f(
        "syntax/comma-at-line-end",
        "a comma at the end of a line with nothing after it",
        "Take it out, or go on in the next line.",
    ),
    f("syntax/dash-range", "a range written with a dash", "Write two points: `8..10 wk`."),
    f("syntax/date-form", "a date in another order", "Write year-month-day: `2026-09-14`."),
    f("syntax/decimal-comma", "a decimal comma", "Write a point: `2.4 mm`."),
    f("syntax/edition-not-first", "`springline 1` is not the first line", "Move it to the top."),
    f("syntax/edition-twice", "the edition is said twice", "Take one out."),
    f("syntax/extra-brace", "a closing brace too many", "Take it out."),
    f("syntax/hash-comment", "a comment that begins with #", "Write `//`; # is a tooth number."),
    f(
        "syntax/hidden-character",
        "a text holds characters that do not show, or turn its direction",
        "Take them out: the text reads otherwise than it is.",
    ),
    f("syntax/inch-mark", "an inch mark", "Write `in`."),
    f("syntax/line-too-long", "a line too long to be read", "Break it after a comma."),
    f("syntax/list-with-and", "a list joined with `and`", "Put a comma."),
    f("syntax/minus", "a minus sign", "Say the direction in a word."),
    f(
        "syntax/newer-edition",
        "the file is written for a newer edition",
        "Use a newer springline; the file is left untouched.",
    ),
    f(
        "syntax/no-braces",
        "a statement whose block is missing",
        "Add the braces and what stands in them.",
    ),
    f(
        "syntax/no-keyword",
        "a line that begins with no statement",
        "Begin it with a word of the language.",
    ),
    f("syntax/no-opening", "the file says neither `house` nor `case`", "Add the opening line."),
    f("syntax/no-such-day", "a date that the calendar does not have", "Correct the date."),
    f(
        "syntax/not-judged",
        "a step or an arch is not judged because a line of it cannot be read",
        "Mend the line; then it is judged.",
    ),
    f(
        "syntax/not-utf-8",
        "the file is not UTF-8 text",
        "Save it as UTF-8 in the editor; it has not been changed.",
    ),
    f(
        "syntax/not-yet",
        "a word that version 1 knows and cannot use yet",
        "Write it in a `note` for now.",
    ),
    f("syntax/nul", "a NUL byte", "Take it out; it is no text."),
    f("syntax/open-text", "a text without its closing quote", "Add the quote."),
    f("syntax/quotes", "typographic quotes", "Write straight ones."),
    f("syntax/said-twice", "a detail is said twice in one line", "Take one out."),
    f(
        "syntax/second-opening",
        "a second `house` or `case` in one file",
        "One file, one case: move it to its own file.",
    ),
    f("syntax/three-sizes", "a section with three sizes", "Write two: height x depth."),
    f(
        "syntax/too-deep",
        "blocks nested too deeply",
        "No plan needs that; look for braces left over.",
    ),
    f("syntax/too-large", "the file is too large to be a plan", "One file, one case."),
    f("syntax/too-many", "more findings than can be listed", "Mend the first ones."),
    f("syntax/two-on-a-line", "two statements on one line", "One line each."),
    f("syntax/unclosed-brace", "a block that is not closed", "Add the closing brace."),
    f(
        "syntax/unexpected",
        "something that does not belong in the statement",
        "Take it out or correct it.",
    ),
    f("syntax/unexpected-sign", "a sign that is no part of the language", "Take it out."),
    f("syntax/unfinished", "a statement that stops too early", "Add what is missing."),
    f("syntax/unit-case", "a unit in the wrong letters", "Write it as the fix shows: `N`, `mm`."),
    f(
        "syntax/unknown-statement",
        "a statement that the language does not have",
        "Correct the word.",
    ),
    f(
        "syntax/unknown-unit",
        "a unit that the language does not have",
        "Use one of the units the fix offers.",
    ),
    f("syntax/unknown-word", "a word that does not belong in the statement", "Correct the word."),
    f("syntax/which-way", "a direction or a side is missing", "Say which way."),
    f("syntax/wrong-block", "a statement in the wrong block", "Move it where it belongs."),
    f("unit/dates-backwards", "a range of dates that ends before it begins", "Swap the two."),
    f(
        "unit/implausible",
        "a figure that cannot be",
        "Check unit and decimal point; the fix shows what fits.",
    ),
    f("unit/implausible-date", "a date no treatment has", "Correct the year."),
    f("unit/missing", "a figure without a unit", "Add the unit."),
    f("unit/range-backwards", "a range from larger to smaller", "Swap the two."),
    f("unit/score-over-scale", "a score larger than its scale", "Correct the score."),
    f("unit/section-turned", "a section with the larger side first", "Swap the two sides."),
    f(
        "unit/slot-unlike-its-name",
        "a slot measured smaller than its name, or more than a quarter larger",
        "Measure the slot's height again, or correct its name.",
    ),
    f("unit/unusual", "a figure that is possible and unusual", "Check unit and decimal point."),
    f("unit/wrong", "a unit of another kind than the place needs", "Use a unit of the right kind."),
];

/// The entry of that code.
pub fn language_finding(code: &str) -> Option<&'static LanguageFinding> {
    LANGUAGE_FINDINGS.iter().find(|f| f.code == code)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    /// Every `family/name` in quotes in the sources of a folder.
    fn codes(folder: &Path, out: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).unwrap().flatten() {
            let path = entry.path();
            if path.is_dir() {
                codes(&path, out);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                for family in ["syntax", "name", "unit"] {
                    for part in text.split(&format!("\"{family}/")).skip(1) {
                        let name = part.split('"').next().unwrap_or("");
                        if !name.is_empty() && !name.ends_with('-') {
                            out.push(format!("{family}/{name}"));
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn every_code_that_is_reported_is_explained() {
        let mut found = Vec::new();
        codes(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut found);
        let missing: Vec<&String> =
            found.iter().filter(|c| language_finding(c).is_none()).collect();
        assert!(missing.is_empty(), "not explained: {missing:?}");
    }

    #[test]
    fn the_table_is_in_order() {
        assert!(LANGUAGE_FINDINGS.windows(2).all(|w| w[0].code < w[1].code));
    }
}
