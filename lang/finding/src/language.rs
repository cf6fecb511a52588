//! Documentation of the language findings: families `syntax`, `name` and `unit`, and `points` of measured points.
//!
//! Clinical rules document themselves in their own files. Language findings are too many and too small
//! for that, so they share one table, which `explain` and the reference page read. A test finds every
//! code that the sources report and this table lacks.

/// Documentation of one language finding.
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
        "a tooth that is not present is bonded",
        "Remove the tooth from the line, or correct its condition.",
    ),
    f(
        "name/accept-without-reason",
        "a finding is accepted without a reason",
        "Write why, in quotes: the reason is printed.",
    ),
    f(
        "name/af-of-no-niti",
        "a wire that is not nickel-titanium has an Af",
        "Remove it, or correct the alloy.",
    ),
    f(
        "name/bracket-without-slot",
        "a bracket or tube has no slot",
        "Add a line such as `slot 0.022 x 0.028 in`.",
    ),
    f(
        "name/cannot-accept",
        "a finding about the text is accepted",
        "Correct the text; only clinical findings can be accepted.",
    ),
    f(
        "name/change-of-own-step",
        "a step of the case itself is changed",
        "Write the change in the step's own line.",
    ),
    f(
        "name/change-without-effect",
        "a change that changes nothing",
        "Remove the line, or say what should be different.",
    ),
    f(
        "name/chart-form",
        "a chart reference is not written as the practice writes them",
        "Write it in the form that the practice file says; never a patient's name.",
    ),
    f(
        "name/chart-twice",
        "two files are the plan of one chart",
        "Keep one; give the other its own chart reference, or move it to a folder that is not checked.",
    ),
    f(
        "name/chart-without-span",
        "a bench ceiling without its span",
        "Add the span, such as `over 14 mm span`.",
    ),
    f(
        "name/crosses-the-mouth",
        "an elastic line names a tooth of the other side",
        "Name the tooth on this side.",
    ),
    f(
        "name/crowding-beside-teeth",
        "the crowding of an arch whose anterior teeth are described one by one",
        "Remove one of the two, or describe the other anterior teeth too.",
    ),
    f("name/doubled", "a name is defined twice", "Rename or remove one of the two."),
    f(
        "name/elastic-without-force",
        "an elastic has no force",
        "Add its force as bought, such as `force 3.5 oz`.",
    ),
    f(
        "name/except-not-listed",
        "a tooth excepted from teeth that do not include it",
        "Remove it after `except`, or correct the teeth before it.",
    ),
    f(
        "name/house-cycle",
        "practice files use each other in a circle",
        "Remove one `use` from the circle.",
    ),
    f(
        "name/house-has-errors",
        "the practice file has errors",
        "Open the practice file and correct it first.",
    ),
    f(
        "name/house-not-found",
        "the practice file is not found",
        "Correct the name, or put the file beside the case or in a folder above.",
    ),
    f(
        "name/house-unreadable",
        "the practice file cannot be read",
        "Check its permissions, its size, and that it is UTF-8 text.",
    ),
    f(
        "name/limit-says-too-much",
        "a limit of the order of wires with an error limit, or one of a wire with teeth",
        "Leave the one figure; where teeth are to have another, set a limit that is read tooth by tooth.",
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
        "a plan names items of a practice file but uses none",
        "Add a line such as `use saltmarsh`, the name of the practice file without `.spring`.",
    ),
    f(
        "name/no-such-tooth",
        "a number that is not a tooth",
        "Write an ISO number such as 13, UR3, or #6.",
    ),
    f(
        "name/not-a-house",
        "a file is used as a practice file and is not one",
        "Use a file that begins with `practice`.",
    ),
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
        "name/passive-coil-with-force",
        "a passive coil has a force",
        "Write `closing-spring` if it pulls; without a force if it only keeps a space.",
    ),
    f(
        "name/said-twice",
        "something is said twice that can be true only once",
        "Remove one of the two.",
    ),
    f(
        "name/step-taken",
        "a step has a name that the sequence already has",
        "Change the step of the sequence, or give the new one another name.",
    ),
    f(
        "name/step-without-end",
        "a step without an end condition",
        "Add `until passive`, a time, or `until doctor-decides`.",
    ),
    f(
        "name/step-without-kind",
        "the purpose of a step is unclear",
        "Add `as align`, `as level`, `as work` or `as finish`.",
    ),
    f(
        "name/step-without-place",
        "a step added to a sequence without its place",
        "Add `after NAME` or `before NAME`.",
    ),
    f("name/step-without-wire", "a step has no wire", "Add `wire NAME`, or `wire keep`."),
    f(
        "name/stretch-leaves-arch",
        "a range of teeth runs into the other arch",
        "Name two teeth of one arch.",
    ),
    f(
        "name/tooth-read-two-ways",
        "a bare number in a practice that does not write ISO numbers",
        "Write the tooth in the practice's notation.",
    ),
    f("name/tooth-twice", "a tooth is named twice in one list", "Remove one."),
    f(
        "name/unknown-bracket",
        "a bracket or tube that is not in the practice file",
        "Correct the name, or add it to the practice file.",
    ),
    f(
        "name/unknown-chain",
        "a chain that is not in the practice file",
        "Correct the name, or add it to the practice file.",
    ),
    f(
        "name/unknown-coil",
        "a coil that is not in the practice file",
        "Correct the name, or add it to the practice file.",
    ),
    f(
        "name/unknown-elastic",
        "an elastic that is not in the practice file",
        "Correct the name, or add it to the practice file.",
    ),
    f(
        "name/unknown-finding",
        "a finding that does not exist is accepted",
        "Correct the name; `springline explain` lists them.",
    ),
    f(
        "name/unknown-form",
        "an arch form that is not in the practice file",
        "Correct the name, or add it to the practice file.",
    ),
    f(
        "name/unknown-language",
        "a language whose words for patients do not come with the program",
        "Write `en` or `es`, or print with `--words FILE`.",
    ),
    f(
        "name/unknown-sequence",
        "a sequence that is not in the practice file",
        "Correct the name, or add it to the practice file.",
    ),
    f("name/unknown-step", "a step that does not exist", "Correct the name."),
    f(
        "name/unknown-text",
        "a text that no page has",
        "Write the name of a text that can be worded; `springline explain text` lists them.",
    ),
    f(
        "name/unknown-variant",
        "a variant that is not listed for the bracket",
        "Correct the name, or add it to the bracket.",
    ),
    f(
        "name/unknown-wire",
        "a wire that is not in the practice file",
        "Correct the name, or add it to the practice file.",
    ),
    f(
        "name/unsaid-wire",
        "a record of a new step without its wire",
        "Add `with` and the wire that was placed.",
    ),
    f(
        "name/which-contact",
        "IPR over several contacts at once",
        "Write `each`, or name two neighbours.",
    ),
    f(
        "name/wrong-arch",
        "a tooth of the other arch",
        "Name the tooth of this arch, or move the line.",
    ),
    f(
        "name/wrong-attachment",
        "a bracket where the line says tubes, or tubes on front teeth",
        "Name a tube for molars and a bracket for the teeth in front of them.",
    ),
    f(
        "name/wrong-coil",
        "a coil of another kind than the line needs",
        "Name a coil that makes, holds or closes space, as the line says.",
    ),
    f(
        "points/changed",
        "the points are others than those that were measured",
        "Measure again, or put the file back that was measured.",
    ),
    f(
        "points/facial",
        "a facial point that is not on the face of its crown",
        "Look whether it belongs to a neighbour.",
    ),
    f(
        "points/far",
        "a tooth farther from the line than any tooth stands",
        "Look whether its points are its own.",
    ),
    f(
        "points/few",
        "too few teeth for the line of an arch",
        "Pick at least four teeth, on both sides.",
    ),
    f(
        "points/form",
        "a form that is not that of the arch",
        "Give the form of this arch, or one by its widths at canines and molars.",
    ),
    f(
        "points/handed",
        "points that are mirrored, or of the other jaw",
        "Look at the numbers of the teeth, or at the axes of the export.",
    ),
    f(
        "points/header",
        "a table of points without the names of its columns",
        "Begin with `tooth,point,x,y,z`.",
    ),
    f(
        "points/in-line",
        "teeth through which no line can be laid",
        "Name four teeth or more that were picked, of both sides.",
    ),
    f(
        "points/incomplete",
        "a tooth without one of its contacts",
        "Pick it, or leave the tooth out.",
    ),
    f("points/jaw", "teeth of the other jaw", "Look at the numbers of the teeth."),
    f(
        "points/labels",
        "landmarks or marked points that cannot be given to their teeth",
        "Give labels and scan of the same patient; label points as `12 mesial`.",
    ),
    f(
        "points/line-weak",
        "a line that the error of picking shifts by more than half a millimetre",
        "Give the form, pick more teeth, or name those in line.",
    ),
    f("points/mesial-distal", "mesial and distal of a tooth exchanged", "Exchange the two words."),
    f(
        "points/missing",
        "the file of the points that were measured is not beside the case",
        "Put it beside the case, or measure again.",
    ),
    f("points/number", "a coordinate that is no number", "Write it as a number."),
    f("points/one-side", "teeth of one side only", "Pick the teeth of the other side too."),
    f("points/order", "teeth in the wrong order", "Exchange their numbers."),
    f(
        "points/row",
        "a line of points that cannot be read",
        "Name the point: mesial, distal, contact, facial, cusp or gum.",
    ),
    f("points/same", "two points of a crown in one place", "Pick one of them again."),
    f(
        "points/scale",
        "a picture without a scale that can be used",
        "Mark both ends of a ruler: twice `scale,30 mm,x,y`.",
    ),
    f(
        "points/sides",
        "mesial and distal of most teeth exchanged",
        "Exchange the two words in the whole file.",
    ),
    f("points/size", "a file too large for points", "Give the points alone, not the mesh."),
    f(
        "points/tooth",
        "what is written is no tooth",
        "Write it as 12, UR2 or #7; a contact as 12-11.",
    ),
    f("points/twice", "a point given twice", "Take out the wrong one."),
    f(
        "points/unit",
        "points in another unit than is said",
        "Say the unit at the top: `# unit mm`.",
    ),
    f(
        "points/width",
        "a crown much narrower or wider than such crowns are",
        "Look whether both contacts are of this tooth.",
    ),
    f(
        "points/width-pair",
        "crowns of a pair that differ in width",
        "Look at the contacts of both.",
    ),
    f(
        "syntax/accept-without-reason",
        "`accept` without reason or initials",
        "Add `because \"...\" by INITIALS`.",
    ),
    f(
        "syntax/age",
        "an age instead of growth",
        "Write `growing` or `adult`, as the doctor judges.",
    ),
    f("syntax/and-with-or", "`and` and `or` together are ambiguous", "Use only one of them."),
    f(
        "syntax/bare-temperature",
        "a temperature of a wire without a word that says which",
        "Write `af` before it: the temperature at which the wire is austenite throughout.",
    ),
    f("syntax/blank-for-hyphen", "a blank instead of a hyphen", "Join the words."),
    f(
        "syntax/braces-alone",
        "braces without a statement before them",
        "Write what the block is, or remove the braces.",
    ),
    f("syntax/braces-not-here", "a statement that takes no block", "Remove the braces."),
    f("syntax/comma", "a missing or extra comma", "Correct it as the fix shows."),
    f(
        "syntax/comma-at-line-end",
        "a comma at the end of a line with nothing after it",
        "Remove it, or continue on the next line.",
    ),
    f("syntax/dash-range", "a range written with a dash", "Write two points: `8..10 wk`."),
    f("syntax/date-form", "a date in another order", "Write year-month-day: `2026-09-14`."),
    f("syntax/decimal-comma", "a decimal comma", "Write a point: `2.4 mm`."),
    f("syntax/edition-not-first", "`springline 1` is not the first line", "Move it to the top."),
    f("syntax/edition-twice", "the edition is said twice", "Remove one."),
    f("syntax/extra-brace", "an extra closing brace", "Remove it."),
    f("syntax/hash-comment", "a comment that begins with #", "Write `//`; # is a tooth number."),
    f(
        "syntax/hidden-character",
        "text with invisible characters, or characters that change its direction",
        "Remove them: the text does not read as it is.",
    ),
    f("syntax/inch-mark", "an inch mark", "Write `in`."),
    f("syntax/line-too-long", "a line too long to be read", "Break it after a comma."),
    f("syntax/list-with-and", "a list joined with `and`", "Use a comma."),
    f("syntax/minus", "a minus sign", "Write the direction as a word."),
    f(
        "syntax/month",
        "a month where a day is needed",
        "Write the day; if nobody knows it, the middle of the month.",
    ),
    f(
        "syntax/newer-edition",
        "the file is written for a newer edition",
        "Use a newer springline; the file is left untouched.",
    ),
    f(
        "syntax/no-braces",
        "a statement whose block is missing",
        "Add the braces and their contents.",
    ),
    f(
        "syntax/no-keyword",
        "a line that does not begin with a statement",
        "Begin it with a word of the language.",
    ),
    f(
        "syntax/no-opening",
        "the file begins with neither `practice` nor `case`",
        "Add the opening line.",
    ),
    f("syntax/no-such-day", "a date that does not exist", "Correct the date."),
    f(
        "syntax/not-judged",
        "a step or an arch is not checked because one of its lines cannot be read",
        "Correct the line; then it is checked.",
    ),
    f(
        "syntax/not-utf-8",
        "the file is not UTF-8 text",
        "Save it as UTF-8 in the editor; it has not been changed.",
    ),
    f(
        "syntax/not-yet",
        "a word that version 1 knows but cannot use yet",
        "Write it in a `note` for now.",
    ),
    f("syntax/nul", "a NUL byte", "Remove it; it is not text."),
    f("syntax/number-in-words", "a number in words", "Write it in figures."),
    f("syntax/open-text", "text without a closing quote", "Add the quote."),
    f(
        "syntax/other-word",
        "another word for a word of the language",
        "Use the word of the language.",
    ),
    f("syntax/quotes", "typographic quotes", "Write straight ones."),
    f("syntax/said-twice", "a detail given twice in one line", "Remove one."),
    f(
        "syntax/second-opening",
        "a second `practice` or `case` in one file",
        "One file, one case: move it to its own file.",
    ),
    f("syntax/side-first", "a side after its class", "Write the side before the class."),
    f("syntax/three-sizes", "a section with three sizes", "Write two: height x depth."),
    f("syntax/too-deep", "blocks nested too deeply", "No plan needs that; look for extra braces."),
    f("syntax/too-large", "the file is too large to be a plan", "One file, one case."),
    f("syntax/too-many", "more findings than can be listed", "Correct the first ones."),
    f("syntax/two-on-a-line", "two statements on one line", "Write one on each line."),
    f("syntax/unclosed-brace", "an unclosed block", "Add the closing brace."),
    f(
        "syntax/unexpected",
        "something that does not belong in the statement",
        "Remove it or correct it.",
    ),
    f("syntax/unexpected-sign", "an unexpected sign", "Remove it."),
    f("syntax/unfinished", "an incomplete statement", "Add what is missing."),
    f("syntax/unit-case", "a unit in the wrong case", "Write it as the fix shows: `N`, `mm`."),
    f("syntax/unknown-statement", "an unknown statement", "Correct the word."),
    f("syntax/unknown-unit", "an unknown unit", "Use one of the units the fix offers."),
    f("syntax/unknown-word", "an unknown word in the statement", "Correct the word."),
    f(
        "syntax/which-alloy",
        "nickel-titanium without its kind",
        "Write `superelastic-niti` or `thermal-niti`.",
    ),
    f("syntax/which-way", "a direction or a side is missing", "Write the direction or side."),
    f("syntax/wrong-block", "a statement in the wrong block", "Move it to the right block."),
    f(
        "unit/af-above-mouth",
        "a wire of the drawer is not superelastic at the temperature of the mouth",
        "Correct the Af or the `mouth-temperature`, or do without the wire.",
    ),
    f(
        "unit/arch-form",
        "two widths through which no arch form passes",
        "Measure width and depth again, canines first, both depths from the foremost point of the wire.",
    ),
    f("unit/dates-backwards", "a range of dates that ends before it begins", "Swap the two."),
    f(
        "unit/force-grows",
        "more of a force is left later than before",
        "Exchange the figures back if they were exchanged; else leave it, it is used as written.",
    ),
    f(
        "unit/implausible",
        "an impossible figure",
        "Check unit and decimal point; the fix shows what fits.",
    ),
    f("unit/implausible-date", "a date outside any treatment", "Correct the year."),
    f(
        "unit/impossible-age",
        "an age that no wearer of a fixed appliance has",
        "Write whole years at the start, never a day of birth.",
    ),
    f("unit/missing", "a figure without a unit", "Add the unit."),
    f(
        "unit/outside-its-range",
        "a figure that its own range does not hold",
        "Correct the figure or its range.",
    ),
    f("unit/range-backwards", "a range from larger to smaller", "Swap the two."),
    f("unit/score-over-scale", "a score larger than its scale", "Correct the score."),
    f("unit/section-turned", "a section with the larger side first", "Swap the two sides."),
    f(
        "unit/slot-unlike-its-name",
        "a slot measured smaller than its name, or more than a quarter larger",
        "Measure the slot's height again, or correct its name.",
    ),
    f("unit/unusual", "a possible but unusual figure", "Check unit and decimal point."),
    f("unit/wrong", "a unit of the wrong kind", "Use a unit of the right kind."),
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
                for family in ["syntax", "name", "unit", "points"] {
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
        for folder in ["../src", "../syntax/src", "../lower/src", "../rules/src", "../measure/src"]
        {
            codes(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut found);
        }
        let missing: Vec<&String> =
            found.iter().filter(|c| language_finding(c).is_none()).collect();
        assert!(missing.is_empty(), "not explained: {missing:?}");
    }

    #[test]
    fn the_table_is_in_order() {
        assert!(LANGUAGE_FINDINGS.windows(2).all(|w| w[0].code < w[1].code));
    }
}
