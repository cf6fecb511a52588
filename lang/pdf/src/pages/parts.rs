//! Parts that several pages share.

use springline_emit::card::{RecordLine, RecordPart};
use springline_emit::caution::CAUTION_IN_FULL;

use super::{CAUTION, PageTypeSize, SMALLEST};
use crate::node::{
    Ink, MM, PageArea, PageFrameKind, PageNode, PageSpan, PageText, Role, Track, across, bold,
    columns, down, soft, span,
};

impl PageTypeSize {
    pub fn text(self, spans: Vec<PageSpan>) -> PageText {
        PageText { spans, size: self.points, leading: self.leading, ..PageText::default() }
    }

    /// A paragraph.
    pub fn p(self, text: impl Into<String>) -> PageNode {
        self.text(vec![span(text)]).role(Role::Paragraph).node()
    }

    pub fn strong(self, text: impl Into<String>) -> PageNode {
        self.text(vec![bold(text)]).role(Role::Paragraph).node()
    }

    /// A heading of a part of the page.
    pub fn h(self, text: &str) -> PageNode {
        PageText { tracking: 0.35, ..self.text(vec![self.heading(text)]) }
            .scaled(0.88)
            .role(Role::Heading(2))
            .node()
    }

    fn heading(self, text: &str) -> PageSpan {
        PageSpan { text: text.to_uppercase(), bold: true, ink: Ink::Accent, ..PageSpan::default() }
    }

    /// A heading with its content.
    pub fn part(self, heading: &str, mut under: Vec<PageNode>) -> PageNode {
        under.insert(0, self.h(heading));
        down(0.5 * MM, under).node()
    }

    pub fn bullets(self, items: &[String]) -> PageNode {
        let rows = items.iter().map(|item| {
            let dot = self.text(vec![span("\u{2022}")]).role(Role::Label).node();
            let body = self.text(vec![span(item.as_str())]).role(Role::Body).node();
            columns(&[Track::Fixed(self.points), Track::Share(1.0)], 0.0, vec![dot, body])
                .role(Role::Item)
                .node()
        });
        down(0.2 * MM, rows.collect()).role(Role::List).node()
    }

    /// A line of the form: words, boxes to tick, room to write.
    pub fn record(self, line: &RecordLine) -> PageNode {
        if let [RecordPart::Key(words)] = line.0.as_slice() {
            return self.text(vec![span(words.as_str())]).at(SMALLEST).role(Role::Paragraph).node();
        }
        let parts = line.0.iter().map(|part| match part {
            RecordPart::Word(word) => self.text(vec![span(word.as_str())]).one_line().node(),
            RecordPart::Tick(word) => self.tick(word),
            RecordPart::Write("long") => {
                let rule = PageArea { min_height: self.points * 1.2, ..down(0.0, Vec::new()) };
                PageArea { grow: true, width: Some(20.0 * MM), ..rule }
                    .frame(0.6, Ink::Black, PageFrameKind::Below)
                    .node()
            }
            RecordPart::Write(unit) => self.blank(unit),
            RecordPart::Key(words) => self.p(words.as_str()),
        });
        across(1.5 * MM, parts.collect()).role(Role::Paragraph).node()
    }

    fn tick(self, word: &str) -> PageNode {
        let side = self.points * 0.86;
        let mark = PageArea { width: Some(side), min_height: side, ..down(0.0, Vec::new()) };
        let mark = mark.frame(0.85, Ink::Black, PageFrameKind::Solid).node();
        let word = self.text(vec![span(word)]).one_line().node();
        PageArea { gap: [0.0, 1.0 * MM], whole: true, ..across(1.0 * MM, vec![mark, word]) }.node()
    }

    /// A rule to write on, with what is to be written.
    fn blank(self, what: &str) -> PageNode {
        let word = self.text(vec![soft(what)]).scaled(0.82).end().one_line().node();
        let wide = (what.chars().count() as f32 * self.points * 0.52 + 3.0 * MM).max(11.0 * MM);
        PageArea { width: Some(wide), min_height: self.points * 1.2, ..down(0.0, vec![word]) }
            .frame(0.85, Ink::Black, PageFrameKind::Below)
            .node()
    }

    /// What is framed because it must not be overlooked.
    pub fn call(self, heading: &str, text: &str) -> PageNode {
        let words = vec![bold(format!("{} ", heading.to_uppercase())), span(text)];
        down(0.0, vec![self.text(words).role(Role::Paragraph).node()])
            .pad([0.4 * MM, 0.0, 0.4 * MM, 3.6 * MM])
            .frame(1.6 * MM, Ink::Black, PageFrameKind::Edge)
            .node()
    }

    pub fn form(self, heading: &str, lines: &[RecordLine]) -> PageNode {
        let mut children = vec![self.h(heading)];
        children.extend(lines.iter().map(|l| self.record(l)));
        let gap = (self.gap * 0.3).clamp(0.3, 0.9) * MM;
        let form = down(gap, children).pad([0.8 * MM, 2.0 * MM, 1.2 * MM, 2.0 * MM]).frame(
            0.9,
            Ink::Black,
            PageFrameKind::Solid,
        );
        PageArea { fill: Some(Ink::Pale), ..form }.node()
    }

    /// A table: its head, then rows; the first cell of a row names it.
    pub fn table(self, tracks: &[Track], head: &[&str], rows: Vec<Vec<PageNode>>) -> PageNode {
        let line = |cells: Vec<PageNode>, kind| {
            columns(tracks, 2.0 * MM, cells)
                .role(Role::Row)
                .pad([0.35 * MM, 0.5 * MM, 0.35 * MM, 0.5 * MM])
                .frame(0.5, Ink::Line, kind)
                .node()
        };
        let name =
            |text: &&str| self.text(vec![soft(*text)]).scaled(0.86).role(Role::ColumnHead).node();
        let mut lines = vec![line(head.iter().map(name).collect(), PageFrameKind::AboveAndBelow)];
        lines.extend(rows.into_iter().map(|cells| line(cells, PageFrameKind::Below)));
        down(0.0, lines).role(Role::Table).node()
    }

    pub fn cell(self, text: impl Into<String>) -> PageNode {
        self.text(vec![span(text)]).role(Role::Cell).node()
    }

    pub fn row_head(self, text: impl Into<String>) -> PageNode {
        self.text(vec![bold(text)]).role(Role::RowHead).node()
    }

    /// Chart and kind over a rule, facts under it, beside the room for the practice's own label.
    pub fn head(
        self,
        chart: &str,
        kind: &str,
        facts: &[(&str, String)],
        under: Option<PageNode>,
    ) -> PageNode {
        let note = "Patient label here. Check it against the chart reference.";
        let label = self.text(vec![soft(note)]).at(SMALLEST).role(Role::Paragraph).node();
        let label = PageArea { min_height: 16.0 * MM, ..down(0.0, vec![label]) }
            .pad([1.2 * MM, 2.0 * MM, 1.0 * MM, 2.0 * MM])
            .frame(1.1, Ink::Soft, PageFrameKind::Dashed)
            .node();
        let facts = facts.iter().map(|(name, value)| {
            let name = if name.is_empty() { String::new() } else { format!("{name} ") };
            self.text(vec![soft(name), bold(value.as_str())]).at(8.8).role(Role::Paragraph).node()
        });
        let mut right = vec![self.title(chart, kind), across(5.0 * MM, facts.collect()).node()];
        right.extend(under);
        let right = down(1.0 * MM, right);
        let sides = [Track::Fixed(58.0 * MM), Track::Share(1.0)];
        columns(&sides, 4.0 * MM, vec![label, right.node()]).node()
    }

    /// The page's own heading and what kind of page it is.
    pub fn title(self, chart: &str, kind: &str) -> PageNode {
        let title = self.text(vec![bold(chart)]).at(15.5).role(Role::Heading(1)).node();
        let kind = PageSpan { ink: Ink::Accent, ..bold(kind) };
        let kind = self.text(vec![kind]).at(10.5).end().role(Role::Paragraph).node();
        let both = columns(&[Track::Share(1.0), Track::Share(1.0)], 4.0 * MM, vec![title, kind]);
        PageArea { centred: true, ..both }
            .pad([0.0, 0.0, 0.8 * MM, 0.0])
            .frame(1.4, Ink::Accent, PageFrameKind::Below)
            .node()
    }

    /// Safety words and where the page comes from, on every page.
    pub fn foot(self, safety: &str, points: f32, stamp: &str) -> PageNode {
        // On a line of its own: a stamp broken in two is read wrongly.
        let line =
            |text: PageSpan, points| self.text(vec![text]).at(points).role(Role::Paragraph).node();
        let foot = down(0.0, vec![line(soft(safety), points), line(span(stamp), SMALLEST)])
            .pad([0.7 * MM, 0.0, 0.0, 0.0])
            .frame(0.6, Ink::Line, PageFrameKind::Above);
        PageArea { at_foot: true, ..foot }.node()
    }

    /// The whole page: its parts with the foot as far down as it goes.
    pub fn sheet(self, mut parts: Vec<PageNode>, stamp: &str) -> PageNode {
        parts.push(self.foot(CAUTION_IN_FULL, CAUTION, stamp));
        down(self.gap * MM, parts).node()
    }
}

impl PageText {
    /// Larger, or smaller where that can still be read.
    pub fn scaled(self, by: f32) -> PageText {
        PageText { size: (self.size * by).max(SMALLEST), ..self }
    }

    pub fn at(self, points: f32) -> PageText {
        PageText { size: points, leading: 1.2, ..self }
    }
}
