//! The course at a glance, and the page of a case that has no visit to come.

use springline_lang::emit::pages::{CoursePage, NothingPage};

use super::Size;
use crate::node::{MM, Node, Role, Track, soft};

pub fn course(page: &CoursePage, size: Size) -> Node {
    let tracks = [
        Track::Fixed(17.0 * MM),
        Track::Fixed(36.0 * MM),
        Track::Share(1.0),
        Track::Share(1.0),
        Track::Fixed(17.0 * MM),
    ];
    let cells = |row: &[String; 5]| {
        let mut cells = vec![size.row_head(row[0].as_str())];
        cells.extend(row[1..].iter().map(|c| size.cell(c.as_str())));
        cells
    };
    let drawing = Node::Picture { drawing: Box::new(page.drawing.clone()), share: size.picture };
    let mut parts = vec![
        size.title(&page.chart, page.title),
        size.p(page.how_to_read),
        drawing,
        size.table(&tracks, &page.head, page.rows.iter().map(cells).collect()),
    ];
    if let Some(note) = &page.note {
        parts.push(size.text(vec![soft(note.as_str())]).role(Role::Paragraph).node());
    }
    size.sheet(parts, &page.stamp)
}

pub fn nothing(page: &NothingPage, size: Size) -> Node {
    size.sheet(vec![size.title(&page.chart, page.title), size.p(page.text.as_str())], &page.stamp)
}
