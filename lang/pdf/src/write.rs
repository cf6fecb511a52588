//! Writes documents to a file: chooses the type size of each page, then paints, tags and outlines it.

use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::{Point, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::tagging::{Tag, TagGroup, TagTree};
use krilla::{Document, SerializeSettings};
use springline_emit::pages::{Body, Page, Papers};
use thiserror::Error;

use crate::Paper;
use crate::lay_out::{self, PlacedNode};
use crate::letters::Letters;
use crate::node::{MM, PageNode};
use crate::pages::{self, PageTypeSize};
use crate::paint::{Fonts, Painter};

/// What a printer cannot reach on most sheets: left and right, top and bottom.
const MARGIN: (f32, f32) = (10.0 * MM, 8.0 * MM);

#[derive(Debug, Error)]
pub enum PdfError {
    #[error("the PDF could not be written: {0}")]
    Writer(String),
}

/// A file, and what a reader of it should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    pub bytes: Vec<u8>,
    /// Why it does not keep to PDF/UA-1; empty where it does.
    pub not_accessible: Vec<String>,
}

/// `day` is the day of printing; `fonts` are font files for scripts the built-in typeface lacks.
pub fn write(
    papers: &Papers,
    paper: Paper,
    day: (u16, u8, u8),
    fonts: &[Vec<u8>],
) -> Result<Written, PdfError> {
    match document(papers, paper, day, fonts, true) {
        Ok(bytes) => Ok(Written { bytes, not_accessible: Vec::new() }),
        // A page that a screen reader cannot take must still print: the patient is in the chair.
        Err(KrillaError::Validation(faults)) => {
            let mut told: Vec<String> =
                faults.iter().map(|(f, _)| short(&format!("{f:?}"))).collect();
            told.dedup();
            let bytes = document(papers, paper, day, fonts, false).map_err(fault)?;
            Ok(Written { bytes, not_accessible: told })
        }
        Err(error) => Err(fault(error)),
    }
}

fn fault(error: KrillaError) -> PdfError {
    PdfError::Writer(short(&format!("{error:?}")))
}

fn short(text: &str) -> String {
    text.chars().take(120).collect()
}

fn document(
    papers: &Papers,
    paper: Paper,
    day: (u16, u8, u8),
    fonts: &[Vec<u8>],
    accessible: bool,
) -> Result<Vec<u8>, KrillaError> {
    let mut settings = SerializeSettings { enable_tagging: true, ..SerializeSettings::default() };
    if accessible {
        let builder = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
        if let Ok(configuration) = builder.finish() {
            settings.configuration = configuration;
        }
    }
    let mut document = Document::new_with(settings);
    let mut letters = Letters::new(fonts);
    let mut known = Fonts::new();
    let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
    let mut outline = Outline::new();
    let (width, height) = paper.size();
    let mut sheets = 0;
    for page in &papers.pages {
        let (language, right_to_left) = language(page);
        letters.run(right_to_left);
        let inner = (width - 2.0 * MARGIN.0, height - 2.0 * MARGIN.1);
        let mut read = Vec::new();
        let first = sheets;
        for fitted in &fit(page, &mut letters, inner) {
            let Some(settings) = PageSettings::from_wh(width, height) else { continue };
            let mut placed = place(fitted, &mut letters, inner);
            let mut sheet = document.start_page_with(settings);
            let mut surface = sheet.surface();
            surface.push_transform(&Transform::from_row(
                fitted.shrink,
                0.0,
                0.0,
                fitted.shrink,
                MARGIN.0,
                MARGIN.1,
            ));
            let mut painter =
                Painter { surface: &mut surface, fonts: &mut known, letters: &mut letters };
            painter.paint(&mut placed, &mut read);
            surface.pop();
            surface.finish();
            sheet.finish();
            sheets += 1;
        }
        let section = Tag::Section.with_lang(Some(language));
        tree.push(TagGroup::with_children(section, read));
        let top = XyzDestination::new(first, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(page.name.clone(), top));
    }
    document.set_tag_tree(tree);
    document.set_outline(outline);
    let (year, month, date) = day;
    document.set_metadata(
        Metadata::new()
            .title(papers.title.clone())
            .language("en".to_owned())
            .creator("Springline".to_owned())
            .creation_date(DateTime::new(year).month(month).day(date)),
    );
    document.finish()
}

fn language(page: &Page) -> (String, bool) {
    match &page.body {
        Body::Patient(sheet) => (sheet.language.clone(), sheet.direction == "rtl"),
        _ => ("en".to_owned(), false),
    }
}

/// One sheet of paper.
struct FittedPage {
    node: PageNode,
    points: f32,
    /// Below 1 only where even the smallest type is too much: nothing is ever cut.
    shrink: f32,
}

/// The largest type at which the page is one sheet, by laying it out; more sheets where type that can
/// be read does not go on one.
fn fit(page: &Page, letters: &mut Letters, (width, height): (f32, f32)) -> Vec<FittedPage> {
    let mut high =
        |node: &PageNode| lay_out::lay_out(node, letters, (0.0, 0.0), width, None).height;
    let mut tightest = None;
    for size in PageTypeSize::all(page) {
        let node = pages::page(page, *size);
        let tall = high(&node);
        if tall <= height {
            return vec![FittedPage { node, points: size.points, shrink: 1.0 }];
        }
        tightest = Some((node, *size, tall));
    }
    let Some((node, size, tall)) = tightest else { return Vec::new() };
    let one = FittedPage { node, points: size.points, shrink: height / tall };
    let mut on_more = |size: PageTypeSize| {
        let parts = pages::parts(page, size)?;
        let filled = fill(&parts, |number, more, taken| {
            pages::sheet(page, size, number, more, taken).filter(|n| high(n) <= height)
        })?;
        let sheet = |node| FittedPage { node, points: size.points, shrink: 1.0 };
        Some(filled.into_iter().map(sheet).collect::<Vec<FittedPage>>())
    };
    // On two sheets there is room for large type.
    let roomy =
        PageTypeSize::all(page).iter().filter_map(|s| on_more(*s)).find(|sheets| sheets.len() < 3);
    roomy.or_else(|| on_more(size)).unwrap_or_else(|| vec![one])
}

/// As many parts on each sheet as go on it; `None` where a part alone is too much for one.
fn fill(
    parts: &[PageNode],
    mut sheet: impl FnMut(usize, bool, &[PageNode]) -> Option<PageNode>,
) -> Option<Vec<PageNode>> {
    let mut out = Vec::new();
    let mut from = 0;
    while from < parts.len() {
        let number = out.len() + 1;
        let fits = (from + 1..=parts.len()).rev().find_map(|to| {
            let node = sheet(number, to < parts.len(), parts.get(from..to)?)?;
            Some((to, node))
        });
        let (to, node) = fits?;
        out.push(node);
        from = to;
    }
    Some(out)
}

fn place<'n>(
    fitted: &'n FittedPage,
    letters: &mut Letters,
    (width, height): (f32, f32),
) -> PlacedNode<'n> {
    let foot = Some(height / fitted.shrink);
    lay_out::lay_out(&fitted.node, letters, (0.0, 0.0), width, foot)
}

/// Where the words of a page stand, in points from the upper left corner of its printable part: for
/// tests, since a picture is judged by its structure.
#[derive(Debug, Clone, PartialEq)]
pub struct PageMeasurements {
    pub name: String,
    pub width: f32,
    pub height: f32,
    /// Size of type of a card's body.
    pub points: f32,
    /// 1, or less where even the smallest type was too much.
    pub shrink: f32,
    /// Left, top, right, bottom of each piece of text, with the text.
    pub words: Vec<([f32; 4], String)>,
    /// Size of type of each piece of text, those of drawings too, in points on paper.
    pub sizes: Vec<(f32, String)>,
}

pub fn measure(papers: &Papers, paper: Paper) -> Vec<PageMeasurements> {
    let mut letters = Letters::new(&[]);
    let (width, height) = paper.size();
    let inner = (width - 2.0 * MARGIN.0, height - 2.0 * MARGIN.1);
    let mut out = Vec::new();
    for page in &papers.pages {
        letters.run(language(page).1);
        for fitted in &fit(page, &mut letters, inner) {
            let placed = place(fitted, &mut letters, inner);
            let (mut words, mut sizes) = (Vec::new(), Vec::new());
            collect(&placed, fitted.shrink, &mut words, &mut sizes);
            out.push(PageMeasurements {
                name: page.name.clone(),
                width: inner.0,
                height: inner.1,
                points: fitted.points,
                shrink: fitted.shrink,
                words,
                sizes,
            });
        }
    }
    out
}

fn collect(
    placed: &PlacedNode<'_>,
    shrink: f32,
    out: &mut Vec<([f32; 4], String)>,
    sizes: &mut Vec<(f32, String)>,
) {
    if let Some(set) = &placed.set
        && !set.text.trim().is_empty()
    {
        // The lines themselves, not the box they were given.
        let wide = set.layout.width().max(0.0);
        let left = match placed.width > wide && set.ends_right() {
            true => placed.x + placed.width - wide,
            false => placed.x,
        };
        let place = [left, placed.y, left + wide, placed.y + set.layout.height()];
        out.push((place.map(|v| v * shrink), set.text.clone()));
        let points = set.layout.lines().flat_map(|l| l.runs().map(|r| r.font_size()));
        let smallest = points.fold(f32::MAX, f32::min);
        sizes.push((smallest * shrink, set.text.clone()));
    }
    if let PageNode::Picture { drawing, share } = placed.node {
        let scale = placed.width * share / drawing.width.max(1.0) as f32 * shrink;
        let words = drawing.words();
        sizes.extend(words.iter().map(|w| (w.size as f32 * scale, w.text.clone())));
    }
    placed.children.iter().for_each(|c| collect(c, shrink, out, sizes));
}
