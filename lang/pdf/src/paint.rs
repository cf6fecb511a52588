//! Painting: draws positioned boxes, glyphs and drawings on a krilla surface, each tagged with its role.

use std::collections::HashMap;
use std::num::NonZeroU16;

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, ListNumbering, Node as TagNode, SpanTag, TableHeaderScope,
    Tag, TagGroup,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use springline_emit::draw::Drawing;
use springline_emit::draw::list::{Align as Anchor, Dash, DrawItem, DrawnText, Segment, Shade};

use crate::lay_out::PlacedNode;
use crate::letters::{Letters, Set};
use crate::node::{Ink, PageArea, PageFrame, PageFrameKind, PageNode, PageText, Role, span};

/// Fonts already handed to the document.
pub type Fonts = HashMap<u64, Font>;

pub struct Painter<'s, 'd> {
    pub surface: &'s mut Surface<'d>,
    pub fonts: &'s mut Fonts,
    pub letters: &'s mut Letters,
}

impl Painter<'_, '_> {
    /// Paints a part; gives its place in the reading order.
    pub fn paint(&mut self, placed: &mut PlacedNode<'_>, out: &mut Vec<TagNode>) {
        match placed.node {
            PageNode::Text(text) => self.text(text, placed, out),
            PageNode::Picture { drawing, share } => self.picture(drawing, *share, placed, out),
            PageNode::Area(area) => self.area(area, placed, out),
        }
    }

    fn area(&mut self, area: &PageArea, placed: &mut PlacedNode<'_>, out: &mut Vec<TagNode>) {
        self.decorate(area, placed);
        let mut inner = Vec::new();
        for child in &mut placed.children {
            self.paint(child, &mut inner);
        }
        put(area.role, "", inner, out);
    }

    /// Lines and fills are decorative.
    fn decorate(&mut self, area: &PageArea, placed: &PlacedNode<'_>) {
        if area.fill.is_none() && area.frame.is_none() {
            return;
        }
        let artifact = Artifact::with_kind(ArtifactType::Layout);
        self.surface.start_tagged(ContentTag::Artifact(artifact));
        let radius = area.frame.map_or(0.0, |f| f.radius);
        let sides = [placed.x, placed.y, placed.width, placed.height];
        if let Some(ink) = area.fill
            && let Some(path) = rounded(sides, 0.0, radius)
        {
            self.surface.set_stroke(None);
            self.surface.set_fill(Some(fill(colour(ink))));
            self.surface.draw_path(&path);
        }
        if let Some(frame) = area.frame {
            self.frame(frame, sides);
        }
        self.surface.end_tagged();
    }

    fn frame(&mut self, frame: PageFrame, sides: [f32; 4]) {
        let [x, y, w, h] = sides;
        let mut paths = Vec::new();
        let mut width = frame.width;
        let half = frame.width / 2.0;
        match frame.kind {
            PageFrameKind::Solid | PageFrameKind::Dashed => {
                paths.push(rounded(sides, half, frame.radius))
            }
            PageFrameKind::Double => {
                width = frame.width / 3.0;
                paths.push(rounded(sides, width / 2.0, 1.0));
                paths.push(rounded(sides, frame.width - width / 2.0, 0.5));
            }
            PageFrameKind::Edge => paths.push(line(x + half, y, x + half, y + h)),
            PageFrameKind::Above => paths.push(line(x, y, x + w, y)),
            PageFrameKind::Below => paths.push(line(x, y + h, x + w, y + h)),
            PageFrameKind::AboveAndBelow => {
                paths.push(line(x, y, x + w, y));
                paths.push(line(x, y + h, x + w, y + h));
            }
        }
        let dash = (frame.kind == PageFrameKind::Dashed)
            .then(|| StrokeDash { array: vec![3.0, 2.2], offset: 0.0 });
        self.surface.set_fill(None);
        self.surface.set_stroke(Some(stroke(colour(frame.ink), width, dash)));
        for path in paths.into_iter().flatten() {
            self.surface.draw_path(&path);
        }
        self.surface.set_stroke(None);
    }

    fn text(&mut self, text: &PageText, placed: &mut PlacedNode<'_>, out: &mut Vec<TagNode>) {
        let Some(set) = placed.set.take() else { return };
        if set.text.trim().is_empty() {
            return;
        }
        let id = self.surface.start_tagged(ContentTag::Span(SpanTag::empty()));
        self.glyphs(&set, placed.x, placed.y);
        self.surface.end_tagged();
        put(text.role, &set.text, vec![id.into()], out);
    }

    /// Lines of glyphs from the upper left corner of their box.
    fn glyphs(&mut self, set: &Set, left: f32, top: f32) {
        self.surface.set_stroke(None);
        for line in set.layout.lines() {
            let metrics = line.metrics();
            let y = top + metrics.baseline;
            let mut x = left + metrics.offset;
            for run in line.runs() {
                let data = run.font().clone();
                let size = run.font_size();
                let index = data.index;
                let (blob, id) = data.data.into_raw_parts();
                let font = match self.fonts.get(&id) {
                    Some(font) => font.clone(),
                    None => {
                        let Some(font) = Font::new(blob.into(), index) else { continue };
                        self.fonts.entry(id).or_insert(font).clone()
                    }
                };
                // Glyphs of one brush are written together, so that words stay whole when copied.
                let mut pending: Vec<KrillaGlyph> = Vec::new();
                let mut brush = None;
                let mut start = x;
                for cluster in run.visual_clusters() {
                    if cluster.is_ligature_continuation() {
                        if let Some(glyph) = pending.last_mut() {
                            glyph.text_range.end = cluster.text_range().end;
                        }
                        continue;
                    }
                    let ink = Some(cluster.style().brush.0);
                    for glyph in cluster.glyphs() {
                        if brush != ink {
                            self.flush(&mut pending, brush, (start, y), &font, &set.text, size);
                            (brush, start) = (ink, x);
                        }
                        pending.push(KrillaGlyph::new(
                            GlyphId::new(glyph.id),
                            glyph.advance / size,
                            glyph.x / size,
                            -glyph.y / size,
                            0.0,
                            cluster.text_range(),
                            None,
                        ));
                        x += glyph.advance;
                    }
                }
                self.flush(&mut pending, brush, (start, y), &font, &set.text, size);
            }
        }
    }

    fn flush(
        &mut self,
        glyphs: &mut Vec<KrillaGlyph>,
        ink: Option<Ink>,
        (x, y): (f32, f32),
        font: &Font,
        text: &str,
        size: f32,
    ) {
        if !glyphs.is_empty() {
            self.surface.set_fill(Some(fill(colour(ink.unwrap_or_default()))));
            self.surface.draw_glyphs(Point::from_xy(x, y), glyphs, font.clone(), text, size, false);
            glyphs.clear();
        }
    }

    /// A drawing is one figure, with its text alternative.
    fn picture(
        &mut self,
        drawing: &Drawing,
        share: f32,
        placed: &PlacedNode<'_>,
        out: &mut Vec<TagNode>,
    ) {
        let scale = placed.width * share / drawing.width.max(1.0) as f32;
        let left = placed.x + placed.width * (1.0 - share) / 2.0;
        let id = self.surface.start_tagged(ContentTag::Other);
        self.surface.push_transform(&Transform::from_row(scale, 0.0, 0.0, scale, left, placed.y));
        for item in &drawing.items {
            self.item(item);
        }
        self.surface.pop();
        self.surface.end_tagged();
        let alt = format!("{}. {}", drawing.title, drawing.description);
        out.push(TagGroup::with_children(Tag::Figure(Some(alt)), vec![id.into()]).into());
    }

    fn item(&mut self, item: &DrawItem) {
        match item {
            DrawItem::Group { items, .. } => items.iter().for_each(|i| self.item(i)),
            DrawItem::Words(words) => self.words(words),
            DrawItem::Path { segments, pen, fill: shade } => {
                let Some(path) = path(segments) else { return };
                self.surface.set_fill(shade.map(|s| fill(grey(s))));
                self.surface.set_stroke(pen.map(|pen| {
                    let width = pen.width as f32;
                    let dash = match pen.dash {
                        Dash::Solid => None,
                        Dash::Dashed => Some(vec![1.6, 1.0]),
                        Dash::Dotted => Some(vec![0.4, 0.8]),
                    };
                    let dash = dash.map(|array| StrokeDash { array, offset: 0.0 });
                    stroke(grey(pen.shade), width, dash)
                }));
                if shade.is_some() || pen.is_some() {
                    self.surface.draw_path(&path);
                }
                self.surface.set_stroke(None);
            }
        }
    }

    fn words(&mut self, words: &DrawnText) {
        let ink = match words.shade {
            Shade::Ink => Ink::Black,
            Shade::Paper => Ink::Pale,
            Shade::Soft | Shade::Pale => Ink::Soft,
        };
        let mut one = span(words.text.as_str());
        (one.bold, one.ink) = (words.bold, ink);
        let text = PageText {
            spans: vec![one],
            size: words.size as f32,
            leading: 1.0,
            one_line: true,
            ..PageText::default()
        };
        let mut set = self.letters.set(&text);
        let (width, _) = set.measure(None);
        set.break_lines(width);
        let left = words.at.x as f32
            - match words.align {
                Anchor::Start => 0.0,
                Anchor::Middle => width / 2.0,
                Anchor::End => width,
            };
        let base = set.layout.lines().next().map_or(0.0, |l| l.metrics().baseline);
        self.glyphs(&set, left, words.at.y as f32 - base);
    }
}

/// Groups parts under their role; without a role they belong to the parent.
fn put(role: Role, words: &str, inner: Vec<TagNode>, out: &mut Vec<TagNode>) {
    if inner.is_empty() {
        return;
    }
    let mut group = match role {
        Role::None => {
            out.extend(inner);
            return;
        }
        Role::List => TagGroup::new(Tag::L(ListNumbering::None)),
        Role::Item => TagGroup::new(Tag::LI),
        Role::Label => TagGroup::new(Tag::Lbl),
        Role::Body => TagGroup::new(Tag::LBody),
        Role::Table => TagGroup::new(Tag::Table),
        Role::Row => TagGroup::new(Tag::TR),
        Role::ColumnHead => TagGroup::new(Tag::TH(TableHeaderScope::Column)),
        Role::RowHead => TagGroup::new(Tag::TH(TableHeaderScope::Row)),
        Role::Cell => TagGroup::new(Tag::TD),
        Role::Heading(level) => {
            let level = NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN);
            TagGroup::new(Tag::Hn(level, Some(words.to_owned())))
        }
        Role::Paragraph => TagGroup::new(Tag::P),
    };
    group.children.extend(inner);
    out.push(group.into());
}

fn path(segments: &[Segment]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for segment in segments {
        match *segment {
            Segment::Move(p) => builder.move_to(p.x as f32, p.y as f32),
            Segment::Line(p) => builder.line_to(p.x as f32, p.y as f32),
            Segment::Curve(a, b, p) => builder
                .cubic_to(a.x as f32, a.y as f32, b.x as f32, b.y as f32, p.x as f32, p.y as f32),
            Segment::Close => builder.close(),
        }
    }
    builder.finish()
}

fn line(x0: f32, y0: f32, x1: f32, y1: f32) -> Option<Path> {
    let mut builder = PathBuilder::new();
    builder.move_to(x0, y0);
    builder.line_to(x1, y1);
    builder.finish()
}

/// A box drawn inwards by `inset`, its corners rounded.
fn rounded([x, y, w, h]: [f32; 4], inset: f32, radius: f32) -> Option<Path> {
    let (x, y, w, h) = (x + inset, y + inset, w - 2.0 * inset, h - 2.0 * inset);
    if w <= 0.0 || h <= 0.0 {
        return None;
    }
    let r = (radius - inset).min(w / 2.0).min(h / 2.0).max(0.0);
    let c = r * 0.447_715_25;
    let mut b = PathBuilder::new();
    b.move_to(x + r, y);
    b.line_to(x + w - r, y);
    b.cubic_to(x + w - c, y, x + w, y + c, x + w, y + r);
    b.line_to(x + w, y + h - r);
    b.cubic_to(x + w, y + h - c, x + w - c, y + h, x + w - r, y + h);
    b.line_to(x + r, y + h);
    b.cubic_to(x + c, y + h, x, y + h - c, x, y + h - r);
    b.line_to(x, y + r);
    b.cubic_to(x, y + c, x + c, y, x + r, y);
    b.close();
    b.finish()
}

/// The same inks as the style sheet of the HTML.
fn colour(ink: Ink) -> rgb::Color {
    match ink {
        Ink::Black => rgb::Color::new(0x1c, 0x1c, 0x1c),
        Ink::Soft => rgb::Color::new(0x5f, 0x66, 0x6b),
        Ink::Line => rgb::Color::new(0xb9, 0xc0, 0xc4),
        Ink::Pale => rgb::Color::new(0xf1, 0xf4, 0xf4),
        Ink::Accent => rgb::Color::new(0x1f, 0x55, 0x60),
    }
}

fn grey(shade: Shade) -> rgb::Color {
    let value = shade.grey();
    rgb::Color::new(value, value, value)
}

fn fill(colour: rgb::Color) -> Fill {
    Fill { paint: colour.into(), opacity: NormalizedF32::ONE, rule: Default::default() }
}

fn stroke(colour: rgb::Color, width: f32, dash: Option<StrokeDash>) -> Stroke {
    Stroke { paint: colour.into(), width, dash, ..Stroke::default() }
}
