//! Fonts, and shaping of text into lines of glyphs.

use std::borrow::Cow;
use std::sync::Arc;

use parley::fontique::{Blob, Collection, CollectionOptions, SourceCache};
use parley::style::TextWrapMode;
use parley::style::{FontFamily, FontFamilyName, FontStyle, FontWeight, LineHeight, StyleProperty};
use parley::{Alignment, AlignmentOptions, BaseDirection, FontContext, Layout, LayoutContext};

use crate::node::{Ink, PageAlign, PageText};

/// Its own family name: which of its widths is meant is settled by the files that are registered.
const FAMILY: &str = "DejaVu Sans";

/// The brush of a run of glyphs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Brush(pub Ink);

/// Fonts and scratch space; made once a document.
pub struct Letters {
    fonts: FontContext,
    scratch: LayoutContext<Brush>,
    families: Vec<FontFamilyName<'static>>,
    direction: BaseDirection,
}

/// A text with its lines; broken again for every width that is asked.
pub struct Set {
    pub text: String,
    pub layout: Layout<Brush>,
    align: PageAlign,
    one_line: bool,
}

impl Letters {
    /// `more` are font files of the practice, for scripts that the built-in typeface lacks.
    pub fn new(more: &[Vec<u8>]) -> Letters {
        let options = CollectionOptions { shared: false, system_fonts: false };
        let mut collection = Collection::new(options);
        let mut families = vec![];
        let own = [
            dejavu::sans_condensed::regular(),
            dejavu::sans_condensed::bold(),
            dejavu::sans_condensed::oblique(),
        ];
        for font in own {
            collection.register_fonts(Blob::new(Arc::new(font)), None);
        }
        families.push(FontFamilyName::Named(Cow::Borrowed(FAMILY)));
        for font in more {
            for (id, _) in collection.register_fonts(Blob::new(Arc::new(font.clone())), None) {
                if let Some(name) = collection.family_name(id) {
                    families.push(FontFamilyName::Named(Cow::Owned(name.to_owned())));
                }
            }
        }
        Letters {
            fonts: FontContext { collection, source_cache: SourceCache::default() },
            scratch: LayoutContext::new(),
            families,
            direction: BaseDirection::Auto,
        }
    }

    /// Which way lines run; words of the other way inside them are turned by themselves.
    pub fn run(&mut self, right_to_left: bool) {
        self.direction = if right_to_left { BaseDirection::Rtl } else { BaseDirection::Ltr };
    }

    pub fn right_to_left(&self) -> bool {
        self.direction == BaseDirection::Rtl
    }

    pub fn set(&mut self, text: &PageText) -> Set {
        let whole: String = text.spans.iter().map(|s| s.text.as_str()).collect();
        let mut builder = self.scratch.ranged_builder(&mut self.fonts, &whole, 1.0, false);
        builder.set_base_direction(self.direction);
        let families = FontFamily::List(Cow::Borrowed(&self.families));
        builder.push_default(StyleProperty::FontFamily(families));
        builder.push_default(StyleProperty::FontSize(text.size));
        builder.push_default(StyleProperty::LineHeight(LineHeight::FontSizeRelative(text.leading)));
        builder.push_default(StyleProperty::LetterSpacing(text.tracking));
        if text.one_line {
            builder.push_default(StyleProperty::TextWrapMode(TextWrapMode::NoWrap));
        }
        let mut at = 0;
        for span in &text.spans {
            let range = at..at + span.text.len();
            at = range.end;
            builder.push(StyleProperty::Brush(Brush(span.ink)), range.clone());
            if span.bold {
                builder.push(StyleProperty::FontWeight(FontWeight::BOLD), range.clone());
            }
            if span.italic {
                builder.push(StyleProperty::FontStyle(FontStyle::Italic), range);
            }
        }
        let layout = builder.build(&whole);
        Set { text: whole, layout, align: text.align, one_line: text.one_line }
    }
}

impl Set {
    /// Width and height when lines may be that wide.
    pub fn measure(&mut self, width: Option<f32>) -> (f32, f32) {
        let width = if self.one_line { None } else { width };
        self.layout.break_all_lines(width);
        // A hair more: the same width asked again must not break a line that just fitted.
        (self.layout.width() + 0.05, self.layout.height())
    }

    pub fn narrowest(&self) -> f32 {
        let widths = self.layout.calculate_content_widths();
        if self.one_line { widths.max } else { widths.min }
    }

    pub fn ends_right(&self) -> bool {
        // Where lines run from the right, they also begin there.
        (self.align == PageAlign::End) != self.layout.is_rtl()
    }

    /// Lines for good, in a box of that width.
    pub fn break_lines(&mut self, width: f32) {
        self.layout.break_all_lines(if self.one_line { None } else { Some(width + 0.1) });
        let alignment = match self.align {
            PageAlign::Start => Alignment::Start,
            PageAlign::End => Alignment::End,
        };
        self.layout.align(alignment, AlignmentOptions::default());
    }
}
