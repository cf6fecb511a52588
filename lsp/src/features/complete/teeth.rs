//! Completion of teeth: those of the arch that are not used yet.

use springline_lang::syntax::token::TokenKind;
use springline_lang::syntax::{Context, Expected, PlaceholderKind, expected};
use springline_lang::text::Span;
use springline_lang::units::tooth::{Arch, Tooth};

use super::{Offer, OfferKind, OfferSubject};
use crate::analysed_file::AnalysedFile;

pub fn offers(analysed: AnalysedFile<'_>, place: &Expected, offset: usize, out: &mut Vec<Offer>) {
    // An observation at a visit may concern a tooth whatever the plan says about it.
    let found = place.context == Some(Context::Seen) && place.keyword == Some("tooth");
    let keyword = if found { Some("hook") } else { place.keyword };
    push(analysed, keyword, offset, place.replace, "", out);
}

/// Completes a tooth whose first digit is typed: to the lexer that digit is a number of its own.
pub fn second_digits(analysed: AnalysedFile<'_>, offset: usize, out: &mut Vec<Offer>) {
    let tokens = &analysed.parse().tokens;
    let before = tokens.partition_point(|t| (t.span.end as usize) < offset);
    let Some(token) = tokens.get(before) else { return };
    let is_begun =
        matches!(token.kind, TokenKind::Number | TokenKind::ToothMark | TokenKind::HashComment);
    if !is_begun || token.span.end as usize != offset {
        return;
    }
    let earlier = expected(analysed.parse(), token.span.start as usize);
    if earlier
        .slots
        .iter()
        .any(|s| matches!(s.hole, PlaceholderKind::Teeth | PlaceholderKind::Tooth))
    {
        let typed = analysed.parse().text(token.span);
        push(analysed, earlier.keyword, offset, token.span, typed, out);
    }
}

/// The other end of a range whose first end is typed: the teeth of its arch.
pub fn ends(
    analysed: AnalysedFile<'_>,
    place: &Expected,
    offset: usize,
    typed: &str,
    out: &mut Vec<Offer>,
) {
    let Some((first, begun)) = typed.rsplit_once("..") else { return };
    let Some(first) = Tooth::parse(first) else { return };
    if !place
        .slots
        .iter()
        .any(|s| matches!(s.hole, PlaceholderKind::Teeth | PlaceholderKind::Tooth))
    {
        return;
    }
    let replace = Span::new(offset - begun.len(), offset);
    let from = out.len();
    push(analysed, None, offset, replace, begun, out);
    let notation = analysed.notation();
    let same = |o: &Offer| {
        let other = Tooth::parse(&o.label);
        other
            .is_some_and(|t| t.arch() == first.arch() && t.write(notation) != first.write(notation))
    };
    let kept: Vec<Offer> = out.drain(from..).filter(same).collect();
    out.extend(kept);
}

fn push(
    analysed: AnalysedFile<'_>,
    keyword: Option<&str>,
    offset: usize,
    replace: Span,
    typed: &str,
    out: &mut Vec<Offer>,
) {
    let notation = analysed.notation();
    for tooth in candidates(analysed, keyword, offset) {
        let label = tooth.write(notation);
        if !label.starts_with(typed) || out.iter().any(|o| o.label == label) {
            continue;
        }
        out.push(Offer {
            label: label.clone(),
            kind: OfferKind::Tooth,
            detail: tooth.words(),
            insert: label,
            is_snippet: false,
            replace,
            about: OfferSubject::Nothing,
        });
    }
}

/// The teeth of the arch around the cursor from right to left; of both outside it. For a statement that
/// occurs once per tooth, teeth already used are left out.
fn candidates(analysed: AnalysedFile<'_>, keyword: Option<&str>, offset: usize) -> Vec<Tooth> {
    // What keeps the bite off one arch is bonded in the other.
    let within = analysed.arch_at(offset).filter(|_| keyword != Some("bite-raisers"));
    let arches = Arch::BOTH.into_iter().filter(|a| within.is_none_or(|w| w == *a));
    let line = analysed.line_at(offset).map(|l| l.span());
    let case = analysed.case();
    arches
        .flat_map(|arch| (0..16).filter_map(move |place| Tooth::at(arch, place)))
        .filter(|tooth| tooth.position() < 8)
        .filter(|tooth| {
            let Some(arch) = case.and_then(|c| c.arch(tooth.arch())) else { return true };
            // The line under the cursor itself does not count as used.
            let elsewhere = |span: Span| Some(span) != line;
            match keyword {
                Some("tooth") => {
                    let said = arch.stands.get(tooth).and_then(|s| s.place);
                    !said.is_some_and(|p| elsewhere(p.span) && !touches(line, p.span))
                        && !arch.states.get(tooth).is_some_and(|(s, _)| s.is_absent())
                }
                Some("bonded" | "banded" | "tubes") => {
                    let said = arch.bonded.get(tooth).map(|b| b.place.span);
                    !said.is_some_and(|span| elsewhere(span) && !touches(line, span))
                }
                Some("missing" | "extracted" | "unerupted" | "implant" | "ankylosed") => true,
                Some("hook" | "button" | "caution") | None => true,
                _ => !arch.states.get(tooth).is_some_and(|(s, _)| s.is_absent()),
            }
        })
        .collect()
}

fn touches(line: Option<Span>, span: Span) -> bool {
    line.is_some_and(|line| line.start <= span.start && span.end <= line.end)
}
