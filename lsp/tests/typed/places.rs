//! Places at which a menu once had nothing, or the wrong thing first: each with what is wanted there.

/// A place, marked `¦`, and what should be among the first three.
pub struct Place {
    pub text: String,
    pub wanted: &'static str,
}

const HEAD: &str =
    "springline 1\ncase \"SM-9999\"\nuse saltmarsh\ndoctor RB\nstart 2026-09-14\npatient adult\n";

fn place(text: String, wanted: &'static str) -> Place {
    Place { text, wanted }
}

fn top(line: &str, wanted: &'static str) -> Place {
    place(format!("{HEAD}{line}\n"), wanted)
}

fn fresh(line: &str, wanted: &'static str) -> Place {
    place(format!("springline 1\ncase \"SM-9999\"\n{line}\n"), wanted)
}

fn upper(line: &str, wanted: &'static str) -> Place {
    place(
        format!(
            "{HEAD}upper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  follow usual\n  {line}\n}}\n"
        ),
        wanted,
    )
}

fn empty_arch(line: &str, wanted: &'static str) -> Place {
    place(format!("{HEAD}upper {{\n  {line}\n}}\n"), wanted)
}

fn step(line: &str, wanted: &'static str) -> Place {
    upper(&format!("change align {{\n    {line}\n  }}"), wanted)
}

fn block(block: &str, line: &str, wanted: &'static str) -> Place {
    place(
        format!(
            "{HEAD}upper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  follow usual\n}}\n{block} {{\n  {line}\n}}\n"
        ),
        wanted,
    )
}

pub fn places() -> Vec<Place> {
    vec![
        fresh("use ¦", "saltmarsh"),
        fresh("use sal¦", "saltmarsh"),
        fresh("use saltmarsh\ndoctor ¦", "RB"),
        fresh("use saltmarsh\nstart ¦", "2026-11-24"),
        fresh("use saltmarsh\nstart 2026-¦", "2026-11-24"),
        fresh("¦", "use"),
        top("upper ¦", "{"),
        top("¦", "upper"),
        top("seen ¦", "2026-11-24"),
        top("missed ¦", "2026-11-24"),
        top("seen 2026-11-24 by ¦", "KM"),
        top("seen 2026-11-24 by KM as ¦", "wire-change"),
        empty_arch("follow usual from ¦", "level"),
        empty_arch("bonded ¦", "15"),
        empty_arch("bonded 15..¦", "25"),
        empty_arch("bonded 15..25 with ¦", "twin"),
        empty_arch("tubes 16, ¦", "26"),
        empty_arch("tubes 16, 26 with ¦", "molar"),
        upper("tooth 22 ¦", "palatal"),
        upper("tooth 22 pal¦", "palatal"),
        upper("tooth 22 palatal ¦", "1.5"),
        upper("tooth 22 rotated ¦", "15"),
        upper("tooth 22 rotated 15 ¦", "deg"),
        upper("change ¦", "align"),
        upper("change align, ¦", "next"),
        upper("change align, next ¦", "6"),
        upper("change align, wire niti-14, ¦", "until"),
        upper("step more as align after ¦", "finish"),
        upper("step more as align after align, wire ¦", "niti-14"),
        upper("step more as align after align, wire niti-¦", "niti-14"),
        upper("step more as align after align, wire niti-14, until ¦", "passive"),
        step("open-coil between 13 and 11 with ¦", "open-100"),
        step("open-coil between 13 and 11 with open-¦", "open-100"),
        step("closing-coil 16 to post 12 with ¦", "closing-150"),
        step("closing-coil 16 to post 12 with closing-¦", "closing-150"),
        step("laceback 16 to 13, ¦", "26"),
        step("stop mesial of 11, mesial of ¦", "21"),
        block("bite", "¦", "overjet"),
        block("bite", "molars class-¦", "class-1"),
        block("bite", "overjet ¦", "2.5"),
        block("elastics class-2", "right 13 to 46 with light, wear ¦", "14"),
        block("elastics class-2", "right 13 to 46 with light, wear 10 ¦", "h"),
        block("elastics class-2", "from ¦", "work"),
        block("seen 2026-11-23 by KM as wire-change", "¦", "upper"),
        block("seen 2026-11-23 by KM as wire-change", "upper ¦", "passive"),
        block("seen 2026-11-23 by KM as wire-change", "upper passive, ¦", "now"),
        block("seen 2026-11-23 by KM as wire-change", "upper passive, now ¦", "level"),
        block(
            "seen 2026-11-23 by KM as wire-change",
            "upper passive, now level with ¦",
            "niti-14x25",
        ),
        block(
            "seen 2026-11-23 by KM as wire-change",
            "upper passive, kept\n  lower passive, kept\n  ¦",
            "done",
        ),
        block("retain", "¦", "fixed"),
        block("retain", "fixed 13..¦", "23"),
    ]
}

/// What is wrong where it stands: a day to come that was seen, a unit that cannot be.
pub const NEVER: [(&str, &str); 3] =
    [("wear 10 ", "wk"), ("tooth 22 ", "lingual"), ("wire niti-14, ", "wire")];
