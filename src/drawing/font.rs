//! The one typeface of every drawing, embedded; its widths, and the check that every sign exists.

use super::DrawingError;
use ab_glyph::{Font, FontRef};
use std::borrow::Cow;

/// Regular weight, whole file; licence and origin stand beside it in `font/`.
pub const REGULAR: &[u8] = include_bytes!("font/Inter-Regular.otf");
/// Bold weight.
pub const BOLD: &[u8] = include_bytes!("font/Inter-Bold.otf");
/// Family name inside the font files, and in the SVG.
pub const FAMILY: &str = "Inter";
/// What the SVG names: viewers without the family fall back to a narrower sans serif.
pub(super) const FAMILY_LIST: &str = "Inter, Arial, sans-serif";

/// Height of capitals and digits as a share of the font size (2048 of 2816 units in both weights).
pub const CAP_SHARE: f64 = 2048.0 / 2816.0;
/// How far letters such as g and y, and the fraction bar, reach below the baseline, share of the size.
const DESCENT_SHARE: f64 = 0.21;
/// How far letters such as d and k, and brackets, reach above the baseline, share of the size.
const ASCENT_SHARE: f64 = 0.80;
/// Shaping moves pairs a little; widths are given this much slack.
const WIDTH_SLACK: f64 = 1.02;

/// Weight of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Notes, contour values, names.
    Regular,
    /// Numbers to work by, titles.
    Bold,
}

/// Both weights, ready to measure.
#[derive(Debug, Clone)]
pub struct Typeface {
    regular: FontRef<'static>,
    bold: FontRef<'static>,
}

impl Typeface {
    /// Parses the embedded files.
    ///
    /// # Errors
    /// Only if the embedded files were damaged when the program was built.
    pub fn embedded() -> Result<Self, DrawingError> {
        let open = |bytes| {
            FontRef::try_from_slice(bytes).map_err(|e| DrawingError::Backend {
                reason: format!("the embedded font is damaged: {e}"),
            })
        };
        Ok(Self {
            regular: open(REGULAR)?,
            bold: open(BOLD)?,
        })
    }

    fn of(&self, weight: Weight) -> &FontRef<'static> {
        match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        }
    }

    /// That both weights can draw every sign of `text`.
    ///
    /// # Errors
    /// [`DrawingError::MissingGlyph`] names the first sign that cannot be drawn.
    pub fn check(&self, text: &str) -> Result<(), DrawingError> {
        for sign in text.chars() {
            if self.regular.glyph_id(sign).0 == 0 || self.bold.glyph_id(sign).0 == 0 {
                return Err(DrawingError::MissingGlyph {
                    sign,
                    code: sign as u32,
                    text: text.to_owned(),
                });
            }
        }
        Ok(())
    }

    /// A text with `?` for every sign that cannot be drawn.
    pub fn drawable<'a>(&self, text: &'a str) -> Cow<'a, str> {
        if self.check(text).is_ok() {
            return Cow::Borrowed(text);
        }
        let sign = |c: char| match self.check(c.encode_utf8(&mut [0; 4])) {
            Ok(()) => c,
            Err(_) => '?',
        };
        Cow::Owned(text.chars().map(sign).collect())
    }

    /// Width of a line of text, millimetres, for capitals `cap_mm` high. Sum of the advances with a
    /// little slack for pairs that shaping moves.
    pub fn width_mm(&self, text: &str, cap_mm: f64, weight: Weight) -> f64 {
        let font = self.of(weight);
        let units: f32 = text
            .chars()
            .map(|c| font.h_advance_unscaled(font.glyph_id(c)))
            .sum();
        let em = f64::from(font.units_per_em().unwrap_or(2816.0));
        f64::from(units) / em * font_size_mm(cap_mm) * WIDTH_SLACK
    }

    /// Breaks `text` at spaces into lines no wider than `width_mm`; a word wider than a whole line is
    /// broken inside.
    pub fn wrap(&self, text: &str, width_mm: f64, cap_mm: f64, weight: Weight) -> Vec<String> {
        let fits = |s: &str| self.width_mm(s, cap_mm, weight) <= width_mm;
        let mut lines = Vec::new();
        let mut line = String::new();
        for word in text.split_whitespace() {
            let joined = if line.is_empty() {
                word.to_owned()
            } else {
                format!("{line} {word}")
            };
            if fits(&joined) {
                line = joined;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for sign in word.chars() {
                line.push(sign);
                if line.chars().count() > 1 && !fits(&line) {
                    line.pop();
                    lines.push(std::mem::take(&mut line));
                    line.push(sign);
                }
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }
}

/// Font size for capitals of a given height, millimetres.
pub fn font_size_mm(cap_mm: f64) -> f64 {
    cap_mm / CAP_SHARE
}

/// How far `text` reaches above and below its baseline, millimetres.
pub(super) fn reach_mm(text: &str, cap_mm: f64) -> (f64, f64) {
    let size = font_size_mm(cap_mm);
    let low = text
        .chars()
        .any(|c| "gjpqyQ,;()[]/\u{2044}₀₁₂₃₄₅₆₇₈₉".contains(c));
    let high = text.chars().any(|c| "bdfhkl()[]/\u{2044}'\"".contains(c));
    (
        if high { ASCENT_SHARE * size } else { cap_mm },
        if low {
            DESCENT_SHARE * size
        } else {
            0.02 * size
        },
    )
}
