//! What can go wrong between the numbers and the paper.

use crate::survey::Place;
use thiserror::Error;

/// The reading whose words are meant, before what is said of them; its name and its note stand in cells of their own.
fn beside(place: Option<&Place>) -> String {
    place.map_or_else(String::new, |p| format!("{p} or beside it: "))
}

/// A report that could not be made.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ReportError {
    /// Text holds a character that the embedded fonts cannot draw.
    #[error(
        "{}the text \"{text}\" holds the character \"{character}\", which the fonts built into this program \
         cannot draw; write it in Latin, Greek or Cyrillic letters",
        beside(place.as_ref())
    )]
    MissingGlyph {
        /// The whole text.
        text: String,
        /// The first character without a glyph.
        character: char,
        /// Row or cell of the reading that it stands beside; `None` for what no readings file holds.
        place: Option<Place>,
    },
    /// The page setter refused the document.
    #[error("the page setter refused {document}: {}", problems.join("; "))]
    Typesetting {
        /// Title of the document.
        document: String,
        /// Each problem with its template, line and hint.
        problems: Vec<String>,
    },
    /// A picture given by the user (a logo) is of no known kind.
    #[error(
        "company.logo, \"{name}\", is neither PNG, JPEG, GIF, WebP nor SVG: its first bytes are {found}; save it as PNG or SVG"
    )]
    Picture {
        /// File name.
        name: String,
        /// The first bytes, as hexadecimal.
        found: String,
    },
    /// An SVG logo asks for more work than any sign needs.
    #[error("company.logo, \"{name}\", holds {what}; save it as PNG, or without them")]
    Costly {
        /// File name.
        name: String,
        /// What of it.
        what: &'static str,
    },
    /// A drawing does not fit the sheet it is asked on.
    #[error(
        "the drawing \"{name}\" is {width_mm:.0} x {height_mm:.0} mm and does not fit the {paper} sheet; \
         choose larger paper or a smaller scale"
    )]
    TooLarge {
        /// What was to be drawn.
        name: String,
        /// Its width, millimetres.
        width_mm: f64,
        /// Its height, millimetres.
        height_mm: f64,
        /// Name of the paper.
        paper: &'static str,
    },
    /// A drawing could not be made.
    #[error(transparent)]
    Drawing(crate::drawing::DrawingError),
    /// The workbook writer refused.
    #[error("the workbook could not be written: {0}")]
    Workbook(String),
    /// A value asked for is out of its range.
    #[error("{what} is {found}; it must be {wanted}")]
    Range {
        /// The value's name.
        what: &'static str,
        /// What was given.
        found: String,
        /// What is allowed.
        wanted: &'static str,
    },
    /// Results that cannot be written as JSON.
    #[error("the data for the page could not be written: {0}")]
    Json(String),
}
