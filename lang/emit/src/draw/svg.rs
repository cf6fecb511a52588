//! SVG back end of the drawing list. Text stays text: it can be searched, selected and read aloud.

use maud::{Markup, PreEscaped, html};

use super::list::{
    Align, Dash, DrawItem, Drawing, DrawnText, Pen, Point, Segment, Shade, at, words_width,
};
use crate::caution::CAUTION;

/// Inline SVG for an HTML page. `id` must be unique on the page: the title and description hang
/// on it for screen readers.
pub fn inline(drawing: &Drawing, id: &str) -> Markup {
    let title_id = format!("{id}-t");
    let words_id = format!("{id}-d");
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(view_box(drawing)) role="img"
            aria-labelledby={ (title_id) " " (words_id) } class="drawing"
        {
            title id=(title_id) { (drawing.title) }
            desc id=(words_id) { (drawing.description) }
            @for item in &drawing.items { (one(item)) }
        }
    }
}

/// The same for a page on which teeth can be taken hold of: what moves with a tooth has its ISO number as
/// `data-tooth`, and the parts can be reached one by one.
pub fn interactive(drawing: &Drawing, id: &str) -> String {
    let title_id = format!("{id}-t");
    let words_id = format!("{id}-d");
    let body = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(view_box(drawing)) role="group"
            aria-labelledby=(title_id) aria-describedby=(words_id) class="drawing"
        {
            title id=(title_id) { (drawing.title) }
            desc id=(words_id) { (drawing.description) }
            @for item in &drawing.items { (part(item, Marks::Teeth)) }
        }
    };
    body.into_string()
}

/// Whether groups say which tooth they move with.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Marks {
    None,
    Teeth,
}

/// A file of its own, with the caution below: there is no page around it that has one.
pub fn file(drawing: &Drawing) -> String {
    const SIZE: f64 = 2.4;
    let (width, height) = (drawing.width, drawing.height + 2.0 * SIZE);
    let size = SIZE * (width / words_width(CAUTION, SIZE, false)).min(1.0);
    let caution = DrawItem::words(at(0.0, height - 0.6 * SIZE), size, Align::Start, CAUTION);
    let body = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox={ "0 0 " (num(width)) " " (num(height)) }
            width={ (num(width)) "mm" } height={ (num(height)) "mm" } role="img"
            aria-labelledby="t d" font-family=(FONTS)
        {
            title id="t" { (drawing.title) }
            desc id="d" { (drawing.description) " " (CAUTION) }
            rect width=(num(width)) height=(num(height)) fill=(hex(Shade::Paper)) {}
            @for item in &drawing.items { (one(item)) }
            (one(&caution))
        }
    };
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n", body.into_string())
}

pub const FONTS: &str =
    "'Source Sans 3','Segoe UI','Helvetica Neue',Arial,'Liberation Sans',sans-serif";

fn view_box(drawing: &Drawing) -> String {
    format!("0 0 {} {}", num(drawing.width), num(drawing.height))
}

fn one(item: &DrawItem) -> Markup {
    part(item, Marks::None)
}

fn part(item: &DrawItem, marks: Marks) -> Markup {
    match item {
        DrawItem::Group { name, says, tooth, items } => html! {
            g data-part=(name) data-tooth=[tooth.filter(|_| marks == Marks::Teeth).map(|t| t.code())] {
                @if let Some(says) = says { title { (says) } }
                @for item in items { (part(item, marks)) }
            }
        },
        DrawItem::Path { segments, pen, fill } => {
            let fill = fill.map_or_else(|| "none".to_owned(), hex);
            match pen {
                None => html! { path d=(route(segments)) fill=(fill) {} },
                Some(pen) => html! {
                    path d=(route(segments)) fill=(fill) stroke=(hex(pen.shade))
                        stroke-width=(num(pen.width)) stroke-dasharray=[dashes(*pen)]
                        stroke-linecap=(if pen.dash == Dash::Dotted { "round" } else { "butt" })
                        stroke-linejoin="round" {}
                },
            }
        }
        DrawItem::Words(words) => text(words),
    }
}

fn text(words: &DrawnText) -> Markup {
    let anchor = match words.align {
        Align::Start => "start",
        Align::Middle => "middle",
        Align::End => "end",
    };
    html! {
        text x=(num(words.at.x)) y=(num(words.at.y)) font-size=(num(words.size))
            text-anchor=(anchor) font-weight=[words.bold.then_some("700")] fill=(hex(words.shade))
            { (words.text) }
    }
}

fn route(segments: &[Segment]) -> PreEscaped<String> {
    let mut d = String::with_capacity(segments.len() * 12);
    let put = |d: &mut String, p: &Point| {
        d.push_str(&num(p.x));
        d.push(' ');
        d.push_str(&num(p.y));
    };
    for segment in segments {
        match segment {
            Segment::Move(p) => {
                d.push('M');
                put(&mut d, p);
            }
            Segment::Line(p) => {
                d.push('L');
                put(&mut d, p);
            }
            Segment::Curve(a, b, p) => {
                d.push('C');
                put(&mut d, a);
                d.push(' ');
                put(&mut d, b);
                d.push(' ');
                put(&mut d, p);
            }
            Segment::Close => d.push('Z'),
        }
    }
    PreEscaped(d)
}

fn dashes(pen: Pen) -> Option<String> {
    match pen.dash {
        Dash::Solid => None,
        Dash::Dashed => Some(format!("{} {}", num(pen.width * 3.5), num(pen.width * 2.5))),
        Dash::Dotted => Some(format!("0 {}", num(pen.width * 2.4))),
    }
}

fn hex(shade: Shade) -> String {
    let g = shade.grey();
    format!("#{g:02x}{g:02x}{g:02x}")
}

/// Hundredths of a millimetre are finer than any printer, and keep files small and stable.
fn num(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0;
    springline_units::quantity::plain(if rounded.is_finite() { rounded } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::super::list::at;
    use super::*;

    #[test]
    fn words_are_escaped_and_kept_as_words() {
        let drawing = Drawing {
            width: 10.0,
            height: 5.0,
            title: "<b>".into(),
            description: "\"&".into(),
            items: vec![DrawItem::words(at(1.0, 2.0), 3.0, Align::Middle, "a<b & c")],
        };
        let svg = file(&drawing);
        assert!(svg.contains("a&lt;b &amp; c"), "{svg}");
        assert!(svg.contains("<title id=\"t\">&lt;b&gt;</title>"), "{svg}");
        assert!(!svg.contains("<b>"), "{svg}");
    }

    #[test]
    fn numbers_that_are_no_numbers_draw_nothing_odd() {
        assert_eq!(num(f64::NAN), "0");
        assert_eq!(num(-0.001), "0");
    }
}
