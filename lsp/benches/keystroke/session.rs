//! A doctor at work on a case for some minutes: what is typed, key by key, slips and mendings included.

use std::time::{Duration, Instant};

use crate::server::Server;

/// What a stretch of typing is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Note,
    Stand,
    Phase,
    Slip,
    Visit,
}

impl Kind {
    pub const ALL: [Kind; 5] = [Kind::Note, Kind::Stand, Kind::Phase, Kind::Slip, Kind::Visit];

    pub fn says(self) -> &'static str {
        match self {
            Kind::Note => "  adding notes and comments",
            Kind::Stand => "  entering and changing teeth's stands",
            Kind::Phase => "  writing a new phase",
            Kind::Slip => "  misspelling and mending it",
            Kind::Visit => "  writing down a visit",
        }
    }
}

/// A stretch of typing: where the cursor is put, and what the keys are. `<` deletes a character.
struct Stretch {
    kind: Kind,
    /// The cursor goes behind this text's first occurrence.
    after: &'static str,
    keys: &'static str,
}

const fn at(kind: Kind, after: &'static str, keys: &'static str) -> Stretch {
    Stretch { kind, after, keys }
}

/// In the order of a visit to the desk: read, correct, plan, write down.
const SESSION: &[Stretch] = &[
    at(Kind::Note, "patient growing", " // tall for his age"),
    at(Kind::Stand, "tooth 22 rotated 20", "<5"),
    at(Kind::Stand, "tooth 23 labial 1.5", "<<<2"),
    // A point forgotten: a tooth 12 mm off for one key, which takes the wire over the slots in many steps.
    at(Kind::Slip, "tooth 23 labial 2", "<12<<2"),
    at(Kind::Stand, "tooth 22 rotated 25", "<<20"),
    at(Kind::Stand, "gingival 1.5 mm\n", "  tooth 11 rotated 10 deg mesial-out, labial 0.5 mm\n"),
    at(Kind::Slip, "  midline on face", "\n  tooth 13 labail<<<ial 1 mm"),
    at(Kind::Slip, "tooth 13 labial 1 mm", "<<<.5 mm"),
    at(Kind::Slip, "doctor RB", "\ncaution 21 \"root-filled\"<<<<<<<<<<<<<<<<<<<<<<<<"),
    at(
        Kind::Phase,
        "next 10..12 wk\n",
        "  step detail as finish after work, wire niti-16x22, ends turned-in slack 1 mm, until passive, next 6 wk {\n    bend 42 labial 0.3 mm\n  }\n",
    ),
    at(Kind::Phase, "wire niti-16x22", "<<<<<8x25"),
    at(Kind::Note, "retain {", "\n  // asked for a copy of the model"),
    at(
        Kind::Visit,
        "lower nearly-passive, kept\n  overjet 3.5 mm\n}\n",
        "seen 2026-12-07 by KM as wire-change {\n  upper active, kept\n  lower passive, now work with niti-19x25\n  tooth 42 lingual 0.5 mm\n  overjet 3 mm\n  done as-planned\n}\n",
    ),
    at(
        Kind::Note,
        "done as-planned\n}\n",
        "note \"mother asks for appointments on Thursdays only\"\n",
    ),
];

/// A key of the session.
pub struct Key {
    pub kind: Kind,
    pub took: Duration,
    /// The line it was typed in, as it was then.
    pub line: String,
}

/// Types it all.
pub fn typed(server: &mut Server, text: &mut String) -> Vec<Key> {
    let mut times = Vec::new();
    for stretch in SESSION {
        let found = text.find(stretch.after);
        let Some(mut cursor) = found.map(|at| at + stretch.after.len()) else {
            panic!("no `{}` in the text", stretch.after)
        };
        for key in stretch.keys.chars() {
            let start = text[..cursor].rfind('\n').map_or(0, |i| i + 1);
            let (line, character) = (text[..cursor].matches('\n').count(), cursor - start);
            let typed = if key == '<' { String::new() } else { key.to_string() };
            let back = usize::from(key == '<');
            let begun = Instant::now();
            server.key(line, character, back, &typed);
            let (took, _) = server.findings(begun);
            text.replace_range(cursor - back..cursor, &typed);
            cursor = cursor - back + typed.len();
            let line = text.lines().nth(line).unwrap_or_default().trim().to_owned();
            times.push(Key { kind: stretch.kind, took, line });
        }
    }
    times
}
