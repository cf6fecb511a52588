//! Pages for the course overview, for a case without coming visits, and for practice lists.

use springline_emit::pages::{CoursePage, ListPage, NothingPage};

use super::PageTypeSize;
use crate::node::{MM, PageNode, Role, Track, soft};

pub fn course(page: &CoursePage, size: PageTypeSize) -> PageNode {
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
    let drawing = PageNode::Picture { drawing: Box::new(page.drawing.clone()), share: 1.0 };
    let mut parts = vec![
        size.title(&page.chart, page.title),
        size.p(page.how_to_read),
        drawing,
        size.text(vec![soft(page.entered.title.as_str())]).role(Role::Paragraph).node(),
        PageNode::Picture { drawing: Box::new(page.entered.clone()), share: 1.0 },
        size.table(&tracks, &page.head, page.rows.iter().map(cells).collect()),
    ];
    if let Some(note) = &page.note {
        parts.push(size.text(vec![soft(note.as_str())]).role(Role::Paragraph).node());
    }
    size.sheet(parts, &page.stamp)
}

pub fn nothing(page: &NothingPage, size: PageTypeSize) -> PageNode {
    size.sheet(vec![size.title(&page.chart, page.title), size.p(page.text.as_str())], &page.stamp)
}

pub fn list(page: &ListPage, size: PageTypeSize) -> PageNode {
    let listing = &page.listing;
    let widest = |i: usize| {
        let cells = listing.rows.iter().filter_map(|r| r.get(i)).map(|c| c.chars().count());
        cells.chain(listing.head.get(i).map(|h| h.chars().count())).max().unwrap_or(1)
    };
    // By what stands in them, no column so wide that the others starve.
    let tracks: Vec<Track> =
        (0..listing.head.len()).map(|i| Track::Share(widest(i).clamp(6, 60) as f32)).collect();
    let cells = |row: &Vec<String>| {
        let mut cells = vec![size.row_head(row.first().map_or("", String::as_str))];
        cells.extend(row.iter().skip(1).map(|c| size.cell(c.as_str())));
        cells
    };
    let mut parts = vec![size.title("Day list", ""), size.strong(listing.title.as_str())];
    parts.push(match listing.rows.is_empty() {
        true => size.p(listing.none.as_str()),
        false => size.table(&tracks, &listing.head, listing.rows.iter().map(cells).collect()),
    });
    size.sheet(parts, &page.stamp)
}
