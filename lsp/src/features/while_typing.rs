//! Which findings to publish while the user types. Findings on the line being typed are held back until
//! the cursor leaves it or typing pauses, except errors that no further word can repair. Elsewhere no new
//! findings appear meanwhile, and the last clinical findings stay.

use springline_lang::syntax::ast::StatementKind;
use std::borrow::Cow;

use springline_lang::Checked;
use springline_lang::finding::{Finding, Severity};
use springline_lang::syntax::tree::Parse;
use springline_lang::syntax::{expected, statement_path_at};
use springline_lang::text::{FileId, Place, Span, common_prefix, common_suffix};

/// Where the user is typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Typing {
    /// Not here, or the change was not typing: a file opened, a paste, a fix.
    Away,
    /// At this offset.
    At(usize),
    /// In the practice file that this text uses.
    Elsewhere,
}

/// The last complete check that was published.
#[derive(Debug, Clone, Copy)]
pub struct LastPublished<'a> {
    pub checked: &'a Checked,
    /// Of its findings, those that a text since then no longer had.
    pub gone: &'a [bool],
}

/// The current findings.
#[derive(Debug, Clone, Copy)]
pub struct CurrentFindings<'a> {
    pub parse: &'a Parse,
    pub findings: &'a [Finding],
    /// The mechanics are among them.
    pub is_whole: bool,
}

/// One published finding.
#[derive(Debug, Clone)]
pub struct ShownFinding<'a> {
    pub finding: Cow<'a, Finding>,
    /// It comes from an earlier text; whether it still applies is not known yet.
    pub is_past: bool,
}

#[derive(Debug, Default)]
pub struct Publication<'a> {
    pub shown: Vec<ShownFinding<'a>>,
    /// Something is held back or out of date.
    pub holds_back: bool,
    /// Indices of findings of the last published check that are gone.
    pub gone: Vec<usize>,
}

/// Everything, as it is.
pub fn all(now: CurrentFindings<'_>) -> Publication<'_> {
    let shown = |f| ShownFinding { finding: Cow::Borrowed(f), is_past: false };
    Publication { shown: now.findings.iter().map(shown).collect(), ..Publication::default() }
}

/// What to publish while the user types at that place. Without an earlier publication only the line
/// itself is held back.
pub fn publication<'a>(
    now: CurrentFindings<'a>,
    typing: Typing,
    published: Option<LastPublished<'a>>,
) -> Publication<'a> {
    let held = match typing {
        Typing::At(at) => line_of(&now.parse.source, at),
        Typing::Away | Typing::Elsewhere => None,
    };
    let step = match typing {
        Typing::At(at) if held.is_none() => step_at(now.parse, at),
        _ => None,
    };
    let is_free = held.is_none() && step.is_none() && typing != Typing::Elsewhere;
    if is_free && (now.is_whole || published.is_none()) {
        return all(now);
    }
    let at = match typing {
        Typing::At(at) => at,
        _ => now.parse.source.len(),
    };
    let shift = published
        .map(|published| ChangedRange::between(&published.checked.parse.source, &now.parse.source));
    let is_frozen = typing != Typing::Away && step.is_none();
    let scene = TypingState { now, held, step, at, published, shift, is_frozen };
    scene.publication()
}

struct TypingState<'a> {
    now: CurrentFindings<'a>,
    held: Option<Span>,
    /// A step whose next line is about to be written: it is judged again when the cursor leaves it.
    step: Option<&'a str>,
    at: usize,
    published: Option<LastPublished<'a>>,
    shift: Option<ChangedRange>,
    /// No new findings appear elsewhere.
    is_frozen: bool,
}

impl<'a> TypingState<'a> {
    fn publication(&self) -> Publication<'a> {
        let mut out = Publication::default();
        // An arch with a line that cannot be read is not judged: then nothing is known of what was.
        let mut is_sure = self.now.is_whole;
        for finding in self.now.findings.iter().filter(|f| f.code.is_language()) {
            let under = self.held.is_some_and(|held| self.is_in(finding.place, held));
            is_sure &= !(under && finding.severity == Severity::Error);
            let tell =
                if under { self.may_publish_on_line(finding) } else { self.may_publish(finding) };
            if tell {
                out.shown.push(ShownFinding { finding: Cow::Borrowed(finding), is_past: false });
            } else {
                out.holds_back = true;
            }
        }
        self.verdict(is_sure, &mut out);
        out
    }

    /// The clinical findings: those published last, unless they are known to be gone.
    fn verdict(&self, is_sure: bool, out: &mut Publication<'a>) {
        let mut now: Vec<&Finding> =
            self.now.findings.iter().filter(|f| !f.code.is_language()).collect();
        let (Some(published), Some(shift)) = (self.published, self.shift) else {
            out.shown.extend(
                now.into_iter().map(|f| ShownFinding { finding: Cow::Borrowed(f), is_past: false }),
            );
            return;
        };
        let clinical = |(_, f): &(usize, &Finding)| !f.code.is_language();
        for (index, before) in published.checked.findings.iter().enumerate().filter(clinical) {
            if published.gone.get(index) == Some(&true) {
                continue;
            }
            let place = shift.place(before.place);
            let same = |f: &&Finding| {
                f.code == before.code
                    && f.teeth == before.teeth
                    && f.step == before.step
                    && place.is_none_or(|place| f.place == place)
            };
            if let Some(found) = now.iter().position(same) {
                let finding = Cow::Borrowed(now.swap_remove(found));
                out.shown.push(ShownFinding { finding, is_past: false });
            } else if is_sure {
                out.gone.push(index);
            } else if let Some(moved) = shift.finding(before) {
                out.holds_back = true;
                out.shown.push(ShownFinding { finding: Cow::Owned(moved), is_past: true });
            }
        }
        if self.is_frozen {
            out.holds_back |= !now.is_empty();
        } else {
            let (of_step, others): (Vec<&Finding>, Vec<&Finding>) = now
                .into_iter()
                .partition(|f| self.step.is_some() && f.step.as_deref() == self.step);
            out.holds_back |= !of_step.is_empty();
            let shown = |f| ShownFinding { finding: Cow::Borrowed(f), is_past: false };
            out.shown.extend(others.into_iter().map(shown));
        }
    }

    fn is_in(&self, place: Place, held: Span) -> bool {
        place.file == self.now.parse.file
            && place.span.start <= held.end
            && held.start <= place.span.end
    }

    /// Elsewhere: published findings stay, and findings in lines written since may appear.
    fn may_publish(&self, finding: &Finding) -> bool {
        let (Some(_), Some(shift)) = (self.published, self.shift) else { return true };
        let own = finding.place.file == self.now.parse.file;
        !self.is_frozen || (own && shift.is_new(finding.place.span)) || self.was_published(finding)
    }

    fn was_published(&self, finding: &Finding) -> bool {
        let (Some(published), Some(shift)) = (self.published, self.shift) else { return false };
        let same =
            |f: &Finding| f.code == finding.code && shift.place(f.place) == Some(finding.place);
        published.checked.findings.iter().any(same)
    }

    /// On the line being typed: findings already published, and errors that no further typing can repair.
    fn may_publish_on_line(&self, finding: &Finding) -> bool {
        if finding.code.as_str() == "syntax/not-judged" {
            return false;
        }
        self.was_published(finding) || self.is_beyond_mending(finding)
    }

    /// Whether it is in the words before the one being typed, and no further word can resolve it.
    fn is_beyond_mending(&self, finding: &Finding) -> bool {
        let begun = word_start(&self.now.parse.source, self.at);
        if finding.place.file != self.now.parse.file || finding.place.span.end as usize >= begun {
            return false;
        }
        match finding.code.as_str() {
            code if code.starts_with("name/unknown-") => true,
            "name/no-such-tooth"
            | "name/wrong-arch"
            | "name/stretch-leaves-arch"
            | "name/tooth-twice"
            | "unit/implausible"
            | "unit/wrong"
            | "unit/range-backwards"
            | "syntax/no-such-day" => true,
            code if code.starts_with("syntax/") => {
                let place = expected(self.now.parse, begun);
                place.words.is_empty()
                    && place.slots.is_empty()
                    && place.units.is_empty()
                    && !place.may_end
            }
            _ => false,
        }
    }
}

/// The line of the statement around an offset, with the lines that commas join to it; `None` where
/// nothing is written on it.
fn line_of(text: &str, at: usize) -> Option<Span> {
    let at = text.floor_char_boundary(at);
    let mut start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let line_end = |from: usize| text[from..].find('\n').map_or(text.len(), |i| from + i);
    let mut end = line_end(at);
    while start > 0 && text[..start].trim_end().ends_with(',') {
        let before = text[..start].trim_end().len();
        start = text[..before].rfind('\n').map_or(0, |i| i + 1);
    }
    while end < text.len() && text[..end].trim_end().ends_with(',') {
        end = line_end(end + 1);
    }
    let is_written = text[start..end].contains(|c: char| c.is_alphanumeric() || c == '"');
    is_written.then(|| Span::new(start, end))
}

/// The step whose block encloses an offset.
fn step_at(parse: &Parse, at: usize) -> Option<&str> {
    let path = statement_path_at(parse, at);
    let step = path
        .into_iter()
        .rev()
        .find(|l| matches!(l.kind(), Some(StatementKind::Step | StatementKind::Change)))?;
    let inside = step.block().is_some_and(|b| b.open.end as usize <= at);
    step.step_name().filter(|_| inside).map(|hole| hole.text())
}

/// Where the word begins that an offset is in or behind.
fn word_start(text: &str, at: usize) -> usize {
    let before = &text[..text.floor_char_boundary(at)];
    let word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '.' | '/' | '#' | '"');
    before.trim_end_matches(word).len()
}

/// The differing range of two texts with a common prefix and suffix.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct ChangedRange {
    /// As far both begin alike.
    head: usize,
    /// From here on they end alike: in the old text, and in the new one.
    old: usize,
    new: usize,
}

impl ChangedRange {
    fn between(old: &str, new: &str) -> ChangedRange {
        let (a, b) = (old.as_bytes(), new.as_bytes());
        let head = common_prefix(a, b);
        let tail = common_suffix(&a[head..], &b[head..]);
        ChangedRange { head, old: a.len() - tail, new: b.len() - tail }
    }

    /// Maps a range of the old text to the new one; `None` where it was overwritten.
    fn span(self, span: Span) -> Option<Span> {
        let (start, end) = (span.start as usize, span.end as usize);
        let moved = |at: usize| at - self.old + self.new;
        if end <= self.head {
            Some(span)
        } else if start >= self.old {
            Some(Span::new(moved(start), moved(end)))
        } else if start <= self.head && end >= self.old {
            Some(Span::new(start, moved(end)))
        } else {
            None
        }
    }

    fn place(self, place: Place) -> Option<Place> {
        if place.file != FileId(0) {
            return Some(place);
        }
        Some(Place { span: self.span(place.span)?, ..place })
    }

    /// It touches what was written since.
    fn is_new(self, span: Span) -> bool {
        self.head < self.new.max(self.head + 1)
            && span.start as usize <= self.new
            && self.head <= span.end as usize
    }

    /// An old finding at its new place, without its fixes, which were for the old text.
    fn finding(self, finding: &Finding) -> Option<Finding> {
        let place = self.place(finding.place)?;
        let mut moved = Finding { place, fixes: Vec::new(), ..finding.clone() };
        moved.related.retain_mut(|related| match self.place(related.place) {
            Some(place) => {
                related.place = place;
                true
            }
            None => false,
        });
        Some(moved)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    fn codes<'p>(publication: &'p Publication<'_>) -> Vec<&'p str> {
        publication.shown.iter().map(|s| s.finding.code.as_str()).collect()
    }

    fn now(sample: &Sample) -> CurrentFindings<'_> {
        let analysed = sample.analysed();
        CurrentFindings { parse: analysed.parse(), findings: analysed.findings(), is_whole: true }
    }

    fn typed<'a>(sample: &'a Sample, before: Option<&'a Sample>) -> Publication<'a> {
        let published =
            before.map(|b| LastPublished { checked: b.analysed().checked.unwrap(), gone: &[] });
        publication(now(sample), Typing::At(sample.offset), published)
    }

    #[test]
    fn the_line_under_the_hand_is_not_told_of_until_no_word_can_mend_it() {
        for (line, published) in [
            ("  tooth 13 labial 2¦", None),
            ("  tooth 13 labial 2 ¦", None),
            ("  tooth 13 lab¦", None),
            ("  too¦", None),
            ("  tooht ¦", Some("syntax/unknown-statement")),
            ("  tooth 13 labail ¦", Some("syntax/unknown-word")),
            ("  step more as align after align, wire niti-99 ¦", Some("name/unknown-wire")),
            ("  step more as align after align, wire ni¦", None),
            ("  step more as align after align,\n   ¦", None),
        ] {
            let sample = Sample::upper(line);
            let publication = typed(&sample, None);
            let of_text: Vec<_> = publication
                .shown
                .iter()
                .filter(|s| s.finding.code.is_language())
                .map(|s| s.finding.code.as_str())
                .collect();
            assert_eq!(of_text, published.into_iter().collect::<Vec<_>>(), "{line}");
        }
    }

    #[test]
    fn the_last_verdict_stays_while_a_line_is_unfinished_and_nothing_new_is_said() {
        let clinical = |f: &&Finding| !f.code.is_language();
        let has = |text: &str| Sample::new(text).analysed().findings().iter().any(|f| clinical(&f));
        let all = crate::features::testing::unsafe_examples().into_iter().map(|(_, text)| text);
        let text = all.into_iter().find(|t| t.contains("  follow") && has(t)).unwrap();
        let before = Sample::new(&text);
        let place = text.find("  follow").unwrap();
        let broken = format!("{}  tooth ¦\n{}", &text[..place], &text[place..]);
        let sample = Sample::new(&broken);
        let publication = typed(&sample, Some(&before));
        assert!(publication.holds_back);
        let codes_now = codes(&publication);
        for finding in before.analysed().findings().iter().filter(clinical) {
            assert!(
                codes_now.contains(&finding.code.as_str()),
                "{} not in {codes_now:?}",
                finding.code
            );
        }
        for shown in publication.shown.iter().filter(|s| s.is_past) {
            let span = shown.finding.place.span.range();
            assert!(broken.replace('¦', "").get(span).is_some());
        }
        // With the line whole again the verdict is of now.
        let whole = Sample::new(&text.replacen("  follow", "  ¦follow", 1));
        assert!(typed(&whole, Some(&before)).shown.iter().all(|s| !s.is_past));
    }

    #[test]
    fn places_move_with_the_text() {
        let shift = ChangedRange::between("one two three", "one 22 three");
        assert_eq!(shift.span(Span::new(0, 3)), Some(Span::new(0, 3)));
        assert_eq!(shift.span(Span::new(8, 13)), Some(Span::new(7, 12)));
        assert_eq!(shift.span(Span::new(5, 6)), None);
        assert_eq!(shift.span(Span::new(0, 13)), Some(Span::new(0, 12)));
        let long = "x".repeat(5000);
        let both = ChangedRange::between(&long, &format!("{long}y"));
        assert_eq!((both.head, both.old, both.new), (5000, 5000, 5001));
    }
}
