//! What can keep a drawing from being made.

/// Why no drawing came out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DrawingError {
    /// A text holds a sign that the embedded font cannot draw.
    #[error(
        "the drawing font has no sign \"{sign}\" (U+{code:04X}), found in \"{text}\"; write it with letters, digits or common signs"
    )]
    MissingGlyph {
        /// The sign.
        sign: char,
        /// Its code point.
        code: u32,
        /// The whole text it stands in.
        text: String,
    },
    /// Even the smallest standard scale leaves the plan larger than the sheet.
    #[error(
        "a plan of {width_m:.1} m by {height_m:.1} m does not fit {paper} at 1:{smallest}; choose larger paper, or draw the floor in parts"
    )]
    TooLarge {
        /// Extent of the plan to the right, metres.
        width_m: f64,
        /// Extent of the plan up the sheet, metres.
        height_m: f64,
        /// The paper asked for.
        paper: &'static str,
        /// Last scale tried.
        smallest: u32,
    },
    /// Title, facts, legend and notes leave no room for the map.
    #[error(
        "the title and notes are too long to stand beside a map on {paper}; shorten them or choose larger paper"
    )]
    TooMuchText {
        /// The paper asked for.
        paper: &'static str,
    },
    /// A number that is to be drawn is not finite.
    #[error("{what} is not a finite number; check the readings and settings it was made from")]
    NotFinite {
        /// Which number.
        what: &'static str,
    },
    /// Nothing was given that could be drawn.
    #[error("nothing to draw: {what}")]
    Empty {
        /// What is missing.
        what: &'static str,
    },
    /// The drawing library refused.
    #[error("the drawing could not be written: {reason}")]
    Backend {
        /// Its own words.
        reason: String,
    },
    /// The picture is too large for memory or of no size.
    #[error(
        "a picture of {width_px} by {height_px} dots cannot be made; ask for fewer dots per inch"
    )]
    PictureSize {
        /// Dots across.
        width_px: u32,
        /// Dots down.
        height_px: u32,
    },
}
