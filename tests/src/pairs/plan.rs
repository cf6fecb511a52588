//! Small plans that two statements are put into.

/// Two statements and the plan that they go into.
#[derive(Debug, Clone)]
pub struct Recipe {
    pub base: String,
    pub parts: [Part; 2],
}

/// A statement and where it goes: `case`, `bite`, `goal`, `upper`, `retain`, or a step of the upper arch.
#[derive(Debug, Clone)]
pub struct Part {
    pub place: String,
    pub lines: Vec<String>,
}

/// The recipes of a cell: `whole: \`work: bypass 12\` \`work: engage 12\`; late: ...`.
///
/// # Errors
/// What is not written like that.
pub fn recipes(cell: &str) -> Result<Vec<Recipe>, String> {
    let mut out = Vec::new();
    let mut pieces = cell.split('`');
    while let Some(base) = pieces.next() {
        let base = base.trim_start_matches(';').trim().trim_end_matches(':');
        if base.is_empty() {
            break;
        }
        let mut part = || {
            let text = pieces.next().ok_or("a recipe without its statements")?;
            let (place, text) = text.split_once(": ").ok_or("a statement without its place")?;
            let lines = text.split(" / ").map(str::to_owned).collect();
            Ok::<Part, String>(Part { place: place.to_owned(), lines })
        };
        let first = part()?;
        let between = pieces.next();
        let mut part = || {
            let text = pieces.next().ok_or("a recipe without its second statement")?;
            let (place, text) = text.split_once(": ").ok_or("a statement without its place")?;
            let lines = text.split(" / ").map(str::to_owned).collect();
            Ok::<Part, String>(Part { place: place.to_owned(), lines })
        };
        let second = part()?;
        between.filter(|b| b.trim().is_empty()).ok_or("something between two statements")?;
        out.push(Recipe { base: base.to_owned(), parts: [first, second] });
    }
    if out.is_empty() { Err("no recipe".to_owned()) } else { Ok(out) }
}

/// The upper arch before the statements, by the name of its plan.
fn upper(base: &str) -> Option<[&'static str; 3]> {
    let tubes = "tubes 16, 26 with molar";
    Some(match base {
        "whole" => ["bonded 15..25 with twin", tubes, ""],
        "late" => ["bonded 15..13, 11..25 with twin", tubes, ""],
        "lateral" => {
            ["bonded 15..13, 11..25 with twin", tubes, "missing 12\n  gap 5 mm between 13 and 11"]
        }
        "sites" => [
            "bonded 15, 13..23, 25 with twin",
            tubes,
            "extracted 14, 24\n  gap 6 mm between 15 and 13\n  gap 6 mm between 23 and 25\n  palatal-arch 16 to 26",
        ],
        "banded" => ["bonded 15..25 with twin", "banded 16, 26 with molar", ""],
        _ => return None,
    })
}

/// The plan with those of its statements, mirrored or not.
pub fn text(base: &str, parts: &[&Part], mirrored: bool) -> Option<String> {
    let [bonded, tubes, setup] = upper(base)?;
    let at = |place: &str| -> Vec<&str> {
        let here = parts.iter().filter(|p| p.place == place);
        here.flat_map(|p| p.lines.iter().map(String::as_str)).collect()
    };
    let block = |name: &str| match at(name).as_slice() {
        [] => String::new(),
        lines => format!("{name} {{\n  {}\n}}\n", lines.join("\n  ")),
    };
    let steps = ["align", "level", "level-2", "work", "finish"];
    let changed = steps.iter().filter_map(|step| match at(step).as_slice() {
        [] => None,
        lines => Some(format!("  change {step} {{\n    {}\n  }}\n", lines.join("\n    "))),
    });
    let (blocks, head): (Vec<&Part>, Vec<&Part>) =
        parts.iter().filter(|p| p.place == "case").partition(|p| p.lines.len() > 1);
    let joined = |parts: Vec<&Part>| {
        let lines = parts.into_iter().flat_map(|p| &p.lines);
        lines.map(|l| format!("{l}\n")).collect::<String>()
    };
    let retain = at("retain").iter().map(|l| format!("  {l}\n")).collect::<String>();
    let plan = format!(
        "springline 1\ncase \"SM-9952\"\nuse saltmarsh\nstart 2026-11-23\n{}{}{}upper {{\n  {bonded}\n  {tubes}\n  {setup}\n\
         {}  follow firm\n{}}}\nlower {{\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n  hook 44, 34\n  follow \
         firm\n}}\n{}retain {{\n{retain}  night-time both\n}}\n",
        joined(head),
        block("bite"),
        block("goal"),
        at("upper").iter().map(|l| format!("  {l}\n")).collect::<String>(),
        changed.collect::<String>(),
        joined(blocks),
    );
    Some(if mirrored { mirror(&plan) } else { plan })
}

/// Lines of a text that are those of the parts, or open the block that one of them stands in.
pub fn own_lines(text: &str, parts: &[Part], mirrored: bool) -> Vec<usize> {
    let own: Vec<String> = parts
        .iter()
        .flat_map(|p| &p.lines)
        .map(|l| if mirrored { mirror(l) } else { l.clone() })
        .collect();
    let opens: Vec<String> = parts
        .iter()
        .flat_map(|p| [format!("{} {{", p.place), format!("change {} {{", p.place)])
        .collect();
    let lines = text.lines().enumerate();
    lines
        .filter(|(_, l)| own.iter().chain(&opens).any(|o| o == l.trim()))
        .map(|(n, _)| n + 1)
        .collect()
}

/// The plan of the mirror image: teeth and sides exchanged, and the ends of ranges with them.
fn mirror(text: &str) -> String {
    text.split_inclusive('\n')
        .map(|line| {
            let words: Vec<&str> = line.split(' ').collect();
            let turned = words.iter().enumerate().map(|(at, word)| {
                let unit = words.get(at + 1).map(|w| w.trim_end_matches([',', '\n']));
                let counted =
                    unit.is_some_and(|u| ["h", "wk", "mo", "mm", "deg", "a"].contains(&u));
                if counted { (*word).to_owned() } else { mirror_word(word) }
            });
            turned.collect::<Vec<_>>().join(" ")
        })
        .collect()
}

fn mirror_word(word: &str) -> String {
    let bare = word.trim_end_matches([',', '\n']);
    let rest = &word[bare.len()..];
    let turned = match bare {
        "right" => "left".to_owned(),
        "left" => "right".to_owned(),
        _ => match bare.split_once("..") {
            Some((a, b)) => match (tooth(a), tooth(b)) {
                (Some(a), Some(b)) => format!("{b}..{a}"),
                _ => bare.to_owned(),
            },
            None => tooth(bare).unwrap_or_else(|| bare.to_owned()),
        },
    };
    turned + rest
}

/// The tooth across the midline, of a word that is one.
fn tooth(word: &str) -> Option<String> {
    let mut digits = word.chars();
    let (quadrant, position) = (digits.next()?, digits.next()?);
    let across = ['2', '1', '4', '3'].get("1234".find(quadrant)?)?;
    let is_tooth = digits.next().is_none() && ('1'..='8').contains(&position);
    is_tooth.then(|| format!("{across}{position}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plan_is_mirrored_and_its_figures_are_not() {
        let line = "  right 13 to 46 with medium, wear 22 h\n";
        assert_eq!(mirror(line), "  left 23 to 36 with medium, wear 22 h\n");
        assert_eq!(mirror("bonded 15..13, 11..25 with twin"), "bonded 23..25, 15..21 with twin");
        assert_eq!(mirror("start 2026-11-23"), "start 2026-11-23");
    }
}
