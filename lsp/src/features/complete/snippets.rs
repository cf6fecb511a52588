//! Snippets: a step, a visit, elastics, an arch.

use springline_lang::syntax::{Context, Expected};

use super::{CompletionSite, Offer, OfferKind, OfferSubject};
use crate::analysed_file::AnalysedFile;

/// A snippet. `$wire`, `$date` and similar variables are filled from the practice file and the case.
#[derive(Debug, Clone, Copy)]
pub struct Snippet {
    pub inside: &'static [Context],
    pub label: &'static str,
    pub detail: &'static str,
    pub body: &'static str,
}

/// Every snippet; the editors' own files are tested against this list.
pub const SNIPPETS: &[Snippet] = &[
    Snippet {
        inside: &[Context::File],
        label: "case ...",
        detail: "a new case",
        body: "springline 1\ncase \"${1:SM-0000}\"\nuse ${2:saltmarsh}\ndoctor ${3:KL}\nstart ${4:$date}\npatient ${5|adult,growing|}\n$0",
    },
    Snippet {
        inside: &[Context::Case],
        label: "upper ...",
        detail: "the upper arch on the practice's sequence",
        body: "upper {\n  bonded ${1:15..25} with ${2:$bracket}\n  tubes ${3:16, 26} with ${4:$tube}\n  tooth ${5:12} ${6|palatal,labial,gingival|} ${7:1 mm}\n  follow ${8:$sequence}\n}",
    },
    Snippet {
        inside: &[Context::Case],
        label: "lower ...",
        detail: "the lower arch on the practice's sequence",
        body: "lower {\n  bonded ${1:45..35} with ${2:$bracket}\n  tubes ${3:46, 36} with ${4:$tube}\n  tooth ${5:42} ${6|lingual,labial,gingival|} ${7:1 mm}\n  follow ${8:$sequence}\n}",
    },
    Snippet {
        inside: &[Context::Case],
        label: "seen ...",
        detail: "a visit: what was found and what was done",
        body: "seen ${1:$date} by ${2:$doctor} as ${3|wire-change,review,repair,emergency|} {\n  upper ${4|passive,nearly-passive,active,not-tested|}, ${5:kept}\n  lower ${6|passive,nearly-passive,active,not-tested|}, ${7:kept}\n  done as-planned\n}",
    },
    Snippet {
        inside: &[Context::Case],
        label: "elastics ...",
        detail: "elastics between the arches",
        body: "elastics ${1|class-2,class-3,triangle,box,cross,diagonal,settling|} {\n  from ${2:work} expressed\n  right ${3:13} to ${4:46} with ${5:$elastic}, wear ${6:22 h}\n  left ${7:23} to ${8:36} with ${5:$elastic}, wear ${6:22 h}\n  until ${9:overjet 2.5 mm}\n  longest ${10:26 wk}\n}",
    },
    Snippet {
        inside: &[Context::Case],
        label: "retain ...",
        detail: "what holds the result",
        body: "retain {\n  fixed ${1:33..43}\n  night-time ${2|upper,lower,both|}\n}",
    },
    Snippet {
        inside: &[Context::Arch, Context::Sequence],
        label: "step ...",
        detail: "one wire, what is done with it, and until when",
        body: "step ${1:realign} as ${2|align,level,work,finish|}, wire ${3:$wire}, until ${4|passive,doctor-decides|}, next ${5:computed}",
    },
    Snippet {
        inside: &[Context::Arch],
        label: "change ...",
        detail: "alters a step of the practice's sequence",
        body: "change ${1:align} {\n  $0\n}",
    },
    Snippet {
        inside: &[Context::Step],
        label: "open-coil ...",
        detail: "space for a tooth, with the matching bypass",
        body: "bypass ${1:12} until space ${2:7 mm}\nopen-coil between ${3:13} and ${4:11} with ${5:$open-coil}, activated ${6:2 mm} each visit",
    },
];

pub fn offers(scene: &CompletionSite<'_>, place: &Expected, out: &mut Vec<Offer>) {
    let analysed = scene.analysed;
    let Some(context) = place.context else { return };
    let empty = analysed.parse().statements.is_empty();
    for snippet in SNIPPETS {
        let fits =
            snippet.inside.contains(&context) || (snippet.inside.contains(&Context::File) && empty);
        let stands =
            snippet.label.strip_suffix(" ...").is_some_and(|w| scene.said_already(w) > 0.0);
        if !fits || stands {
            continue;
        }
        out.push(Offer {
            label: snippet.label.to_owned(),
            kind: OfferKind::Snippet,
            detail: snippet.detail.to_owned(),
            insert: fill(snippet.body, analysed),
            is_snippet: true,
            replace: place.replace,
            about: OfferSubject::Nothing,
        });
    }
}

/// Fills in the practice's names and today's date.
fn fill(body: &str, analysed: AnalysedFile<'_>) -> String {
    let house = analysed.house();
    let first = |tube: bool| {
        let brackets = house.map(|h| h.brackets.values());
        brackets.and_then(|mut all| all.find(|b| b.is_tube == tube)).map(|b| b.name.to_string())
    };
    let today = analysed.forecast().and_then(|f| f.today).or(analysed.habits.and_then(|h| h.today));
    let today = today.map(|d| d.to_string());
    let doctor = analysed.case().and_then(|c| c.doctor.as_ref()).map(|d| d.to_string());
    let key = |name: Option<&springline_lang::model::stock::Name>| name.map(|n| n.to_string());
    let wire = house.and_then(|h| h.wires.values().min_by_key(|w| w.place.span.start));
    let open = house.and_then(|h| {
        use springline_lang::model::stock::CoilKind;
        h.coils.values().find(|c| c.kind == CoilKind::Open).map(|c| c.name.to_string())
    });
    let elastic = house.and_then(|h| h.elastics.values().min_by_key(|e| e.place.span.start));
    let elastic = elastic.map(|e| e.name.to_string());
    let values = [
        ("$date", today, "2026-09-14"),
        ("$doctor", doctor, "KL"),
        ("$bracket", first(false), "twin"),
        ("$tube", first(true), "molar"),
        ("$sequence", key(house.and_then(|h| h.sequences.keys().next_back())), "usual"),
        ("$elastic", elastic, "light"),
        ("$open-coil", open, "open-100"),
        ("$wire", wire.map(|w| w.name.to_string()), "niti-14"),
    ];
    let mut out = body.to_owned();
    for (mark, value, otherwise) in values {
        out = out.replace(mark, value.as_deref().unwrap_or(otherwise));
    }
    out
}
