//! Documents to PDF: tagged, bookmarked, text as text, the same bytes every time.

use super::document::{Block, Document};
use super::paper::size_mm;
use super::{Paper, ReportError, picture};
use crate::drawing::font;
use serde_json::{Value, json};
use typst::World;
use typst::WorldExt;
use typst::diag::{SourceDiagnostic, Warned};
use typst::foundations::{Bytes, Smart};
use typst::text::Font;
use typst_as_lib::{TypstEngine, TypstWorld};
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

const MAIN: &str = "document.typ";
const SOURCES: [(&str, &str); 2] = [
    (MAIN, include_str!("templates/document.typ")),
    ("blocks.typ", include_str!("templates/blocks.typ")),
];
/// Name under which a template finds the document's data.
const DATA: &str = "data.json";

/// The page setter with its fonts. Make one and print every sheet of a job with it.
///
/// It reads no system font, no package and no network: fonts and templates are in the binary, data and
/// drawings are handed over in memory.
pub struct Press {
    fonts: Vec<Font>,
}

impl Press {
    /// A press with the embedded fonts.
    pub fn new() -> Self {
        let fonts = [font::REGULAR, font::BOLD]
            .into_iter()
            .flat_map(|bytes: &'static [u8]| Font::iter(Bytes::new(bytes)))
            .collect();
        Self { fonts }
    }

    /// Sets the document as PDF.
    ///
    /// The file is tagged to PDF/UA-1 (the page setter refuses a document that breaks its rules: a picture
    /// without a description, a heading level left out), carries bookmarks, title, language and the date
    /// that the document states, and no other date.
    ///
    /// # Errors
    /// [`ReportError::MissingGlyph`] for a character the fonts lack, [`ReportError::Picture`] for a picture
    /// of no known kind, [`ReportError::Typesetting`] for anything the page setter refuses.
    pub fn print(&self, document: &Document) -> Result<Vec<u8>, ReportError> {
        self.check_glyphs(document)?;
        for drawing in &document.drawings {
            let given = drawing.name == document.logo && !document.logo_file.is_empty();
            let name = if given {
                &document.logo_file
            } else {
                &drawing.name
            };
            picture::check_kind(name, &drawing.bytes)?;
            if given {
                picture::check_cost(name, &drawing.bytes)?;
            }
        }
        let failed = |problems| ReportError::Typesetting {
            document: document.title.clone(),
            problems,
        };
        let data = data(document)?;
        let files = document
            .drawings
            .iter()
            .map(|d| (d.name.as_str(), Bytes::new(d.bytes.clone())))
            .chain([(DATA, Bytes::new(data))]);
        let engine = TypstEngine::builder()
            .fonts(self.fonts.iter().cloned())
            .with_static_source_file_resolver(SOURCES)
            .with_static_file_resolver(files)
            .comemo_evict_max_age(Some(0))
            .build();
        let options = PdfOptions {
            // An identity made from title and data: two jobs differ, two runs do not.
            ident: Smart::Custom(document.title.clone()),
            creator: Smart::Custom(Some(super::words::PROGRAM.to_owned())),
            standards: PdfStandards::new(&[PdfStandard::Ua_1])
                .map_err(|e| failed(vec![e.message().to_string()]))?,
            ..PdfOptions::default()
        };
        engine
            .with_world(MAIN, |world| {
                let Warned { output, warnings } = typst::compile(world);
                let pages = output.map_err(|d| failed(words(world, &d)))?;
                // A warning means that paper would not show what was asked: an unknown font, a layout that
                // does not settle.
                if !warnings.is_empty() {
                    return Err(failed(words(world, &warnings)));
                }
                typst_pdf::pdf(&pages, &options).map_err(|d| failed(words(world, &d)))
            })
            .map_err(|e| failed(vec![e.to_string()]))?
    }

    /// Every character must have a glyph: an empty box on paper says nothing.
    fn check_glyphs(&self, document: &Document) -> Result<(), ReportError> {
        let blocks =
            serde_json::to_value(document).map_err(|e| ReportError::Json(e.to_string()))?;
        let covered = |c: char| {
            c.is_whitespace()
                || self
                    .fonts
                    .first()
                    .is_some_and(|f| f.info().coverage.contains(u32::from(c)))
        };
        let mut stack = vec![&blocks];
        while let Some(value) = stack.pop() {
            match value {
                Value::String(text) => {
                    if let Some(character) = text.chars().find(|&c| !covered(c)) {
                        return Err(ReportError::MissingGlyph {
                            text: text.clone(),
                            character,
                            place: None,
                        });
                    }
                }
                Value::Array(items) => stack.extend(items),
                Value::Object(fields) => stack.extend(fields.values()),
                _ => {}
            }
        }
        Ok(())
    }
}

impl Default for Press {
    fn default() -> Self {
        Self::new()
    }
}

/// What the templates read.
fn data(document: &Document) -> Result<Vec<u8>, ReportError> {
    let (width_mm, height_mm) = size_mm(document.paper, false);
    let mut value = serde_json::to_value(document).map_err(|e| ReportError::Json(e.to_string()))?;
    if let Value::Object(fields) = &mut value {
        fields.insert(
            "paper".to_owned(),
            json!({ "width_mm": width_mm, "height_mm": height_mm }),
        );
    }
    for block in &document.blocks {
        if let Block::Sheet {
            picture, landscape, ..
        } = block
        {
            let (w, h) = size_mm(document.paper, *landscape);
            if picture.width_mm > w || picture.height_mm > h {
                return Err(ReportError::TooLarge {
                    name: picture.drawing.clone(),
                    width_mm: picture.width_mm,
                    height_mm: picture.height_mm,
                    paper: document.paper.name(),
                });
            }
        }
    }
    serde_json::to_vec(&value).map_err(|e| ReportError::Json(e.to_string()))
}

/// Diagnostics as sentences: template and line, message, hints.
fn words(world: &TypstWorld<'_>, diagnostics: &[SourceDiagnostic]) -> Vec<String> {
    diagnostics
        .iter()
        .map(|d| {
            let place = d.span.id().map_or_else(String::new, |id| {
                let line = world
                    .range(d.span)
                    .zip(world.source(id).ok())
                    .and_then(|(range, source)| source.lines().byte_to_line(range.start));
                match line {
                    Some(line) => {
                        format!("{}, line {}: ", id.vpath().get_without_slash(), line + 1)
                    }
                    None => format!("{}: ", id.vpath().get_without_slash()),
                }
            });
            let hints: String = d.hints.iter().map(|h| format!(" ({})", h.v)).collect();
            format!("{place}{}{hints}", d.message)
        })
        .collect()
}

/// Paper that holds a drawing of this size with margins, the smallest of a family that does.
pub fn paper_for(family: &[Paper], width_mm: f64, height_mm: f64) -> Option<(Paper, bool)> {
    family.iter().find_map(|&paper| {
        [false, true].into_iter().find_map(|landscape| {
            let (w, h) = size_mm(paper, landscape);
            (width_mm <= w && height_mm <= h).then_some((paper, landscape))
        })
    })
}
