//! Drawings that fill sheets of paper of their own.

use super::{Block, Document, Picture};

/// A drawing that fills a sheet of paper at its true scale.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetDrawing {
    /// The drawing.
    pub svg: String,
    /// Its width, millimetres.
    pub width_mm: f64,
    /// Its height, millimetres.
    pub height_mm: f64,
}

impl SheetDrawing {
    fn lies(&self) -> bool {
        self.width_mm > self.height_mm
    }
}

/// Puts each drawing on a page of its own.
pub(crate) fn push_sheets(
    d: &mut Document,
    name: &str,
    alt: &str,
    heading: &str,
    sheets: &[SheetDrawing],
) {
    for (i, sheet) in sheets.iter().enumerate() {
        let drawing = d.draw(format!("{name}-{}.svg", i + 1), sheet.svg.as_bytes());
        let landscape = sheet.lies();
        d.push(Block::Sheet {
            picture: Picture {
                drawing,
                alt: alt.to_owned(),
                caption: String::new(),
                width_mm: sheet.width_mm,
                height_mm: sheet.height_mm,
            },
            landscape,
            heading: if i == 0 {
                heading.to_owned()
            } else {
                String::new()
            },
        });
    }
}
