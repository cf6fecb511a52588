//! Changes of the text that leave the plan as it is: no finding may be new.

use fastrand::Rng;
use springline_lang::syntax::ast::CaseLine;
use springline_lang::syntax::{self, Context, ItemKind, ItemShape, PlaceholderKind, StatementRef};
use springline_lang::text::{Edit, FileId, Span};
use springline_lang::units::quantity::{Unit, plain};
use springline_lang::units::tooth::Notation;
use springline_lang::units::tooth::Tooth;

use super::one;
use crate::faults::edit::put;
use crate::faults::sound_case::SoundCase;
use crate::faults::{Mutant, Operator};

const fn harmless(
    name: &'static str,
    criterion: &'static str,
    make: fn(&SoundCase, &mut Rng) -> Vec<Mutant>,
) -> Operator {
    Operator { name, families: &[], criterion, place: "", make, known: "" }
}

pub const OPERATORS: &[Operator] = &[
    harmless(
        "comment lines",
        "comments on lines of their own are not part of the plan",
        comment_lines,
    ),
    harmless("comments at line ends", "nor are comments after a statement", comment_ends),
    harmless("blank lines", "blank lines mean nothing", blank_lines),
    harmless("indentation", "leading blanks mean nothing", indentation),
    harmless("blanks between words", "one blank is as good as three, or one at the end", blanks),
    harmless("line ends of another system", "a line may end with CR LF", line_ends),
    harmless(
        "statement broken over lines",
        "a statement goes on where a comma ends its line",
        broken_lines,
    ),
    harmless("teeth by quadrant letters", "UR2 is 12", quadrant),
    harmless("teeth by universal numbers", "#7 is 12", universal),
    harmless("equal lengths", "1500 um are 1.5 mm", equal_lengths),
    harmless("equal times", "42 d are 6 wk, 1320 min are 22 h", equal_times),
    harmless("figures written otherwise", "1.50 is 1.5, and .5 is 0.5", figures),
    harmless("lines of an arch reordered", "what is said of teeth has no order", arch_order),
    harmless("lines of a step reordered", "what is done in a step has no order", step_order),
    harmless(
        "blocks reordered",
        "bite, goal, arches, elastics and retainers have no order",
        block_order,
    ),
    harmless("lines of bite and goal reordered", "neither have their lines", bite_order),
    harmless("step renamed", "a step's name is a name, wherever it is used", rename_step),
    harmless("wire renamed in house and case", "so is a wire's", rename_wire),
    harmless(
        "other initials and chart number",
        "who writes and under which number changes no plan",
        initials,
    ),
    harmless(
        "description split over two lines",
        "two lines of one tooth with different words join",
        split_tooth,
    ),
    harmless(
        "list split over two lines",
        "`bonded 16, 26` is two lines of one tooth each",
        split_list,
    ),
    harmless("capital letters", "keywords may be written in any case", capitals),
    harmless(
        "words of the trade",
        "lingual of an upper tooth is palatal; distal-out is mesial-in",
        synonyms,
    ),
    harmless("a note", "notes are printed, not judged", note),
    harmless(
        "left and right exchanged throughout",
        "the mirror image of a sound plan is as sound",
        mirrored,
    ),
];

fn insert(at: usize, text: &str) -> Edit {
    put(Span::new(at, at), text)
}

/// Ends of lines at which a statement ends, so that something may follow.
fn ends(g: &SoundCase) -> Vec<usize> {
    let text = g.text();
    text.match_indices('\n')
        .map(|(at, _)| at)
        .filter(|at| !text[..*at].trim_end().ends_with(','))
        .collect()
}

fn some(rng: &mut Rng, mut of: Vec<usize>, most: usize) -> Vec<usize> {
    rng.shuffle(&mut of);
    of.truncate(most.max(1));
    of
}

fn times(rng: &mut Rng, n: usize, mut make: impl FnMut(&mut Rng) -> Option<Mutant>) -> Vec<Mutant> {
    (0..n).filter_map(|_| make(rng)).collect()
}

fn comment_lines(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 6, |rng| {
        let n = rng.usize(1..6);
        let words = one(
            rng,
            &[
                "\n// looked at again",
                "\n  // 14 and 24 \"extracted\"?",
                "\n// }",
                "\n  // tooth 13 labial 9 mm",
            ],
        );
        let edits = some(rng, ends(g), n).into_iter().map(|at| insert(at, words)).collect();
        g.mutant("comment lines", Some(edits), &[])
    })
}

fn comment_ends(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 6, |rng| {
        let bare: Vec<usize> = ends(g)
            .into_iter()
            .filter(|at| {
                let line = g.text()[..*at].rsplit('\n').next().unwrap_or_default();
                !line.contains("//") && !line.trim().is_empty()
            })
            .collect();
        let n = rng.usize(1..6);
        let words = one(rng, &[" // as agreed", " // {", " // until 12 wk", " // \""]);
        let edits = some(rng, bare, n).into_iter().map(|at| insert(at, words)).collect();
        g.mutant("comments at line ends", Some(edits), &[])
    })
}

fn blank_lines(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 4, |rng| {
        let n = rng.usize(1..12);
        let edits = some(rng, ends(g), n).into_iter().map(|at| insert(at, "\n\n")).collect();
        g.mutant("blank lines", Some(edits), &[])
    })
}

fn indentation(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 4, |rng| {
        let mut text = String::new();
        let style = rng.u32(0..3);
        for line in g.text().lines() {
            match style {
                0 => text.push_str(line.trim_start()),
                1 => text.push_str(&line.replace("  ", "\t")),
                _ => text.push_str(&format!("{}{line}", " ".repeat(rng.usize(0..7)))),
            }
            text.push('\n');
        }
        whole(g, "indented otherwise", text)
    })
}

fn whole(g: &SoundCase, what: &str, text: String) -> Option<Mutant> {
    let all = Span::new(0, g.text().len());
    g.mutant(what, Some(vec![put(all, &text)]), &[])
}

fn blanks(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 4, |rng| {
        let mut edits = Vec::new();
        for line in g.lines() {
            for pair in line.items().windows(2) {
                let between = Span { start: pair[0].span.end, end: pair[1].span.start };
                if g.checked.parse.text(between) == " " && rng.u32(0..4) == 0 {
                    edits.push(put(between, "   "));
                }
            }
            if rng.u32(0..4) == 0 {
                edits.push(insert(line.whole_span().end as usize, "  "));
            }
        }
        edits.dedup_by_key(|e| e.place.span);
        g.mutant("blanks", Some(edits), &[])
    })
}

fn line_ends(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    whole(g, "CR LF", g.text().replace('\n', "\r\n")).into_iter().collect()
}

fn broken_lines(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 4, |rng| {
        let mut text = String::new();
        for line in g.text().lines() {
            let plain = !line.contains('"') && !line.contains("//");
            match line.rsplit_once(", ") {
                Some((head, tail)) if plain && rng.u32(0..3) == 0 => {
                    text.push_str(&format!("{head},\n        {tail}"));
                }
                _ => text.push_str(line),
            }
            text.push('\n');
        }
        whole(g, "broken over lines", text)
    })
}

/// Teeth as they are written, one by one, with the span of each.
fn teeth(g: &SoundCase) -> Vec<(Span, Tooth)> {
    g.lines()
        .filter(|l| l.is_read())
        .flat_map(|l| {
            l.holes(PlaceholderKind::Tooth)
                .chain(l.holes(PlaceholderKind::Teeth))
                .collect::<Vec<_>>()
        })
        .flat_map(|c| c.teeth().collect::<Vec<_>>())
        .filter(|t| t.last.is_none())
        .filter_map(|t| Some((t.first, Tooth::parse(g.checked.parse.text(t.first))?)))
        .collect()
}

fn renoted(g: &SoundCase, rng: &mut Rng, notation: Notation) -> Vec<Mutant> {
    times(rng, 5, |rng| {
        let edits = teeth(g)
            .into_iter()
            .filter(|_| rng.bool())
            .map(|(span, tooth)| put(span, &tooth.write(notation)))
            .collect();
        g.mutant("another notation", Some(edits), &[])
    })
}

fn quadrant(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    renoted(g, rng, Notation::Quadrant)
}

fn universal(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    renoted(g, rng, Notation::Universal)
}

/// Single figures with their unit, on statements that are judged as figures and not as text.
fn amounts(g: &SoundCase) -> Vec<(Span, f64, Unit)> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read() && l.keyword() != Some("accept")) {
        for item in line.items() {
            let Some(m) =
                item.measure().filter(|m| m.shape == ItemShape::Single && !m.first.is_fraction)
            else {
                continue;
            };
            if let Some(unit) = m.first.unit {
                out.push((
                    Span { start: m.first.span.start, end: unit.span.end },
                    m.first.value,
                    unit.unit,
                ));
            }
        }
    }
    out
}

fn equal_lengths(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 4, |rng| {
        let edits = amounts(g)
            .into_iter()
            .filter(|a| a.2 == Unit::Mm && rng.bool())
            .map(|(span, value, _)| put(span, &format!("{} um", plain(value * 1000.0))))
            .collect();
        g.mutant("lengths in um", Some(edits), &[])
    })
}

fn equal_times(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 4, |rng| {
        let edits = amounts(g)
            .into_iter()
            .filter_map(|(span, value, unit)| match unit {
                Unit::Wk => Some(put(span, &format!("{} d", plain(value * 7.0)))),
                Unit::H => Some(put(span, &format!("{} min", plain(value * 60.0)))),
                _ => None,
            })
            .filter(|_| rng.bool())
            .collect();
        g.mutant("times in d and min", Some(edits), &[])
    })
}

fn figures(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 4, |rng| {
        let edits = amounts(g)
            .into_iter()
            .filter(|_| rng.bool())
            .filter_map(|(span, ..)| {
                let text = g.checked.parse.text(span);
                let (number, unit) = text.split_once(' ')?;
                let by = match number.strip_prefix("0.") {
                    Some(rest) => format!(".{rest}"),
                    None if number.contains('.') => format!("{number}0"),
                    None => format!("{number}.0"),
                };
                Some(put(span, &format!("{by} {unit}")))
            })
            .collect();
        g.mutant("1.50 for 1.5", Some(edits), &[])
    })
}

/// Whole lines of these statements exchanged, where each stands alone on its lines.
fn exchange(g: &SoundCase, a: StatementRef<'_>, b: StatementRef<'_>) -> Option<Mutant> {
    let (a, b) = (a.whole_span(), b.whole_span());
    let text = |s: Span| g.checked.parse.text(s).to_owned();
    let edits = vec![put(a, &text(b)), put(b, &text(a))];
    g.mutant("two exchanged", Some(edits), &[])
}

fn exchanges<'g>(
    g: &'g SoundCase,
    rng: &mut Rng,
    groups: Vec<Vec<StatementRef<'g>>>,
) -> Vec<Mutant> {
    let mut out = Vec::new();
    for group in groups.into_iter().filter(|l| l.len() >= 2) {
        for _ in 0..3 {
            let (a, b) = (rng.usize(..group.len()), rng.usize(..group.len()));
            if a < b {
                out.extend(exchange(g, group[a], group[b]));
            }
        }
    }
    out
}

fn children<'g>(
    g: &'g SoundCase,
    of: impl Fn(&StatementRef<'g>) -> bool,
    is: impl Fn(&StatementRef<'g>) -> bool,
) -> Vec<Vec<StatementRef<'g>>> {
    g.lines().filter(|l| of(l)).map(|l| l.children().filter(|c| is(c)).collect()).collect()
}

fn arch_order(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let said = [
        "tooth",
        "tubes",
        "bonded",
        "banded",
        "hook",
        "midline",
        "caution",
        "gap",
        "overlap",
        "missing",
        "follow",
        "anchorage",
    ];
    let of = |l: &StatementRef<'_>| {
        matches!(l.keyword(), Some("upper" | "lower")) && l.parent().is_none()
    };
    let is = |l: &StatementRef<'_>| l.keyword().is_some_and(|k| said.contains(&k));
    exchanges(g, rng, children(g, of, is))
}

fn step_order(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let of = |l: &StatementRef<'_>| matches!(l.keyword(), Some("step" | "change"));
    exchanges(g, rng, children(g, of, |_| true))
}

fn block_order(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let blocks =
        ["bite", "goal", "upper", "lower", "retain", "elastics", "patient", "doctor", "start"];
    let group = g
        .lines()
        .filter(|l| l.parent().is_none() && l.keyword().is_some_and(|k| blocks.contains(&k)))
        .collect();
    exchanges(g, rng, vec![group])
}

fn bite_order(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let of =
        |l: &StatementRef<'_>| matches!(l.keyword(), Some("bite" | "goal" | "retain" | "elastics"));
    exchanges(g, rng, children(g, of, |_| true))
}

/// Every place of the text where this name stands as a name of these kinds.
fn uses(g: &SoundCase, labels: &[&str], name: &str) -> Vec<Edit> {
    g.lines()
        .filter(|l| l.is_read())
        .flat_map(|l| l.holes(PlaceholderKind::Name).collect::<Vec<_>>())
        .filter(|c| labels.contains(&c.slot.label) && c.text() == name)
        .map(|c| put(c.span(), ""))
        .collect()
}

fn rename_step(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for arch in g.arches() {
        let added = arch
            .steps
            .iter()
            .filter(|s| s.source == springline_lang::model::step::StepSource::Added);
        for step in added {
            let new = one(rng, &["phase-a", "second-round", "next-one"]);
            let mut edits = uses(g, &["step"], &step.name);
            // The kind is read off the name where it is not said.
            let says_kind = g.checked.parse.text(step.place.span).contains(" as ");
            edits.iter_mut().for_each(|e| e.text = new.to_owned());
            if says_kind {
                out.extend(g.mutant(format!("{} is {new}", step.name), Some(edits), &[]));
            }
        }
    }
    out
}

fn rename_wire(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let house = syntax::parse(FileId(1), &g.house);
    for name in case.house.wires.keys() {
        let new = one(rng, &["drawer-a", "blue-12", "thin"]);
        let mut text = g.house.to_string();
        let mut spans: Vec<Span> = house
            .all_lines()
            .flat_map(|l| l.holes(PlaceholderKind::Name).collect::<Vec<_>>())
            .filter(|c| c.slot.label == "wire" && c.text() == name.as_ref())
            .map(|c| c.span())
            .collect();
        spans.sort();
        for span in spans.iter().rev() {
            text.replace_range(span.range(), new);
        }
        let mut edits = uses(g, &["wire"], name);
        edits.iter_mut().for_each(|e| e.text = new.to_owned());
        // A comment, so that the text differs where the case does not name the wire.
        edits.push(insert(g.text().len(), "// renamed\n"));
        if let Some(mut m) = g.mutant(format!("{name} is {new}"), Some(edits), &[]) {
            m.house = Some(text);
            out.push(m);
        }
    }
    out
}

fn initials(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 3, |rng| {
        let mut edits = Vec::new();
        for line in g.lines().filter(|l| l.is_read()) {
            for c in line.holes(PlaceholderKind::Name).filter(|c| c.slot.label == "person") {
                edits.push(put(c.span(), one(rng, &["AB", "ZQ"])));
            }
            if line.context() == Some(Context::File)
                && let Some(chart) = CaseLine::cast(line).map(|line| line.chart)
            {
                edits.push(put(chart.span(), &format!("\"SM-{}\"", rng.u32(1000..9999))));
            }
        }
        g.mutant("other initials and number", Some(edits), &[])
    })
}

fn split_tooth(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read() && l.keyword() == Some("tooth")) {
        let Some(teeth) = line.holes(PlaceholderKind::Teeth).next() else { continue };
        let commas: Vec<Span> = line
            .items()
            .iter()
            .filter(|i| matches!(i.kind, ItemKind::Comma) && i.span.start > teeth.span().end)
            .map(|i| i.span)
            .collect();
        for comma in commas {
            out.extend(g.replace(comma, &format!("\n  tooth {}", teeth.text()), &[]));
        }
    }
    out
}

fn split_list(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| {
        l.is_read() && matches!(l.keyword(), Some("tubes" | "bonded" | "banded" | "hook" | "tooth"))
    }) {
        let Some(teeth) = line.holes(PlaceholderKind::Teeth).next() else { continue };
        let text = line.text();
        let parts: Vec<&str> = teeth.text().split(", ").collect();
        if parts.len() < 2 {
            continue;
        }
        let lines: Vec<String> = parts.iter().map(|p| text.replacen(teeth.text(), p, 1)).collect();
        out.extend(g.replace(line.span(), &lines.join("\n  "), &[]));
    }
    out
}

fn capitals(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    times(rng, 3, |rng| {
        let edits = g
            .lines()
            .filter(|l| l.is_read())
            .filter_map(|l| l.items().first())
            .filter(|_| rng.bool())
            .map(|i| {
                let word = g.checked.parse.text(i.span);
                let mut chars = word.chars();
                let first =
                    chars.next().map(|c| c.to_uppercase().collect::<String>()).unwrap_or_default();
                put(i.span, &format!("{first}{}", chars.as_str()))
            })
            .collect();
        g.mutant("capitals", Some(edits), &[])
    })
}

fn synonyms(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    const SAME: [(&str, &str); 7] = [
        ("palatal", "lingual"),
        ("lingual", "palatal"),
        ("mesial-in", "distal-out"),
        ("mesial-out", "distal-in"),
        ("occlusal", "incisal"),
        ("stop", "stops"),
        ("post", "posts"),
    ];
    times(rng, 3, |rng| {
        let mut edits = Vec::new();
        for item in g.lines().filter(|l| l.is_read()).flat_map(|l| l.items()) {
            let word = g.checked.parse.text(item.span);
            if !matches!(item.kind, ItemKind::Word(_)) || rng.bool() {
                continue;
            }
            if let Some((_, other)) = SAME.iter().find(|(w, _)| *w == word) {
                edits.push(put(item.span, other));
            }
        }
        g.mutant("words of the trade", Some(edits), &[])
    })
}

fn note(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let words = ["looks well", "check the gum at the next visit", "photographs taken"];
    g.arches()
        .iter()
        .filter_map(|arch| g.add_to_arch(arch, &format!("note \"{}\"", one(rng, &words)), &[]))
        .collect()
}

/// The whole case as in a mirror: every tooth and every side.
fn mirrored(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut edits = Vec::new();
    let write = |span: Span| {
        Tooth::parse(g.checked.parse.text(span)).map(|t| t.mirror().code().to_string())
    };
    for line in g.lines().filter(|l| l.is_read()) {
        let holes: Vec<_> =
            line.holes(PlaceholderKind::Tooth).chain(line.holes(PlaceholderKind::Teeth)).collect();
        for span in holes.iter().flat_map(|c| c.teeth().collect::<Vec<_>>()) {
            match (write(span.first), span.last.map(write)) {
                (Some(one), None) => edits.push(put(span.first, &one)),
                // A stretch stays written from the patient's right to left.
                (Some(first), Some(Some(last))) => {
                    edits.push(put(span.first, &last));
                    edits.extend(span.last.map(|s| put(s, &first)));
                }
                _ => return Vec::new(),
            }
        }
        for item in line.items() {
            let by = match g.checked.parse.text(item.span) {
                "right" => "left",
                "left" => "right",
                "patient-right" => "patient-left",
                "patient-left" => "patient-right",
                _ => continue,
            };
            edits.push(put(item.span, by));
        }
    }
    let is_case = g.case().is_some();
    is_case.then(|| g.mutant("mirrored", Some(edits), &[])).flatten().into_iter().collect()
}
