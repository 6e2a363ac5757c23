//! What a PDF says, by a library that has nothing to do with the one that wrote it: text, pages, fonts, date.

use hayro_interpret::font::Glyph;
use hayro_interpret::hayro_cmap::BfString;
use hayro_interpret::hayro_syntax::Pdf;
use hayro_interpret::hayro_syntax::object::{Dict, Object};
use hayro_interpret::{
    BlendMode, ClipPath, Context, Device, GlyphDrawMode, Image, InterpreterCache,
    InterpreterSettings, Paint, PathDrawMode, SoftMask, interpret_page,
};
use kurbo::{Affine, BezPath, Point, Rect, Shape};

/// Thousandths of the letters' size that a gap is wide which parts two words.
const WORD_GAP: f64 = 300.0;
/// Thousandths of the letters' size that a letter lies off the line when it belongs to the next one.
const LINE_GAP: f64 = 300.0;

/// Writes down the letters as they are drawn.
#[derive(Default)]
struct Text {
    text: String,
    /// Where the letter before stands, and how far to the right its ink goes.
    last: Option<(Affine, f64)>,
}

impl Device<'_> for Text {
    fn set_soft_mask(&mut self, _: Option<SoftMask<'_>>) {}
    fn set_blend_mode(&mut self, _: BlendMode) {}
    fn draw_path(&mut self, _: &BezPath, _: Affine, _: &Paint<'_>, _: &PathDrawMode) {}
    fn push_clip_path(&mut self, _: &ClipPath) {}
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'_>>, _: BlendMode) {}
    fn draw_image(&mut self, _: Image<'_, '_>, _: Affine) {}
    fn pop_clip_path(&mut self) {}
    fn pop_transparency_group(&mut self) {}

    fn draw_glyph(
        &mut self,
        glyph: &Glyph<'_>,
        transform: Affine,
        glyph_transform: Affine,
        _: &Paint<'_>,
        _: &GlyphDrawMode,
    ) {
        let at = transform * glyph_transform;
        let right = match glyph {
            Glyph::Outline(g) => g.outline().bounding_box().x1,
            Glyph::Type3(_) => 0.0,
        };
        let letter = match glyph.as_unicode() {
            Some(BfString::Char(c)) => c.to_string(),
            Some(BfString::String(s)) => s,
            None => char::REPLACEMENT_CHARACTER.to_string(),
        };
        if let Some((before, ink)) = self.last {
            // In the letter's own frame: x along the line, y across it.
            let step = before.inverse() * (at * Point::ZERO);
            if step.y.abs() > LINE_GAP || step.x < -WORD_GAP {
                self.text.push('\n');
            } else if step.x - ink > WORD_GAP && !self.text.ends_with(' ') && letter != " " {
                self.text.push(' ');
            }
        }
        self.text.push_str(&letter);
        self.last = Some((at, right));
    }
}

fn open(bytes: &[u8]) -> Pdf {
    Pdf::new(bytes.to_vec()).unwrap_or_else(|e| panic!("not a PDF: {e:?}"))
}

/// Text of the pages in the order that it is drawn in, a form feed after each page.
pub fn raw_text(bytes: &[u8]) -> String {
    let pdf = open(bytes);
    let cache = InterpreterCache::new();
    let mut out = String::new();
    for page in pdf.pages().iter() {
        let settings = InterpreterSettings::default();
        let bounds = Rect::new(0.0, 0.0, 1.0, 1.0);
        let mut context = Context::new(Affine::IDENTITY, bounds, &cache, pdf.xref(), settings);
        let mut text = Text::default();
        interpret_page(page, &mut context, &mut text);
        out.push_str(&text.text);
        out.push('\u{c}');
    }
    out
}

/// The same, lines joined, runs of spaces made one.
pub fn words_of(bytes: &[u8]) -> String {
    raw_text(bytes)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// The same, page by page.
pub fn pages_of(bytes: &[u8]) -> Vec<String> {
    let words = |page: &str| page.split_whitespace().collect::<Vec<_>>().join(" ");
    raw_text(bytes)
        .split_terminator('\u{c}')
        .map(words)
        .collect()
}

/// Width and height of every page, points.
pub fn page_sizes(bytes: &[u8]) -> Vec<(f64, f64)> {
    let pdf = open(bytes);
    let sizes = pdf.pages().iter().map(|page| {
        let (wide, high) = page.render_dimensions();
        (f64::from(wide), f64::from(high))
    });
    sizes.collect()
}

/// A font as the file holds it.
#[derive(Debug)]
pub struct Font {
    /// Its name.
    pub name: String,
    /// Whether the letters come with the file.
    pub embedded: bool,
    /// Whether its letters can be read back as text.
    pub mapped: bool,
}

/// What the file says of itself.
#[derive(Debug)]
pub struct About {
    /// The title.
    pub title: String,
    /// Year, month and day of its making.
    pub made: (u16, u8, u8),
    /// Whether its parts are tagged for a reader aloud.
    pub tagged: bool,
    /// Whether it has bookmarks.
    pub bookmarks: bool,
    /// The fonts.
    pub fonts: Vec<Font>,
}

/// What the file says of itself.
pub fn about(bytes: &[u8]) -> About {
    let pdf = open(bytes);
    let dicts = || {
        pdf.objects().into_iter().filter_map(|o| match o {
            Object::Dict(d) => Some(d),
            _ => None,
        })
    };
    let name = |d: &Dict<'_>, key: &str| {
        d.get::<hayro_interpret::hayro_syntax::object::Name<'_>>(key)
            .map(|n| String::from_utf8_lossy(n.as_ref()).into_owned())
            .unwrap_or_default()
    };
    let root: Dict<'_> = pdf.xref().get(pdf.xref().root_id()).expect("a root");
    let marked = root.get::<Dict<'_>>("MarkInfo");
    let letters = dicts().filter(|d| name(d, "Type") == "FontDescriptor");
    let embedded: Vec<String> = letters
        .filter(|d| {
            ["FontFile", "FontFile2", "FontFile3"]
                .iter()
                .any(|k| d.contains_key(k))
        })
        .map(|d| name(&d, "FontName"))
        .collect();
    let fonts = dicts()
        .filter(|d| name(d, "Type") == "Font" && !name(d, "Subtype").starts_with("CIDFont"))
        .map(|d| {
            let name = name(&d, "BaseFont");
            Font {
                embedded: embedded.iter().any(|e| name.starts_with(e.as_str())),
                mapped: d.contains_key("ToUnicode"),
                name,
            }
        })
        .collect();
    let made = pdf.metadata().creation_date.expect("a date");
    let title = pdf.metadata().title.clone().unwrap_or_default();
    About {
        title: text_of(&title),
        made: (made.year, made.month, made.day),
        tagged: marked.is_some_and(|m| m.get::<bool>("Marked") == Some(true)),
        bookmarks: root.contains_key("Outlines"),
        fonts,
    }
}

/// A PDF's text string: UTF-16 with its mark in front, or one byte a letter.
fn text_of(bytes: &[u8]) -> String {
    match bytes.strip_prefix(&[0xfe, 0xff]) {
        Some(wide) => {
            let units: Vec<u16> = wide
                .chunks_exact(2)
                .map(|b| u16::from_be_bytes([b[0], b[1]]))
                .collect();
            String::from_utf16_lossy(&units)
        }
        None => bytes.iter().map(|&b| char::from(b)).collect(),
    }
}
