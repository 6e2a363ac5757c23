//! Where plan points fall in the picture of the page, and words on it.

use super::escape::escaped;
use super::input::PageInput;
use crate::geometry::Point;
use std::fmt::Write;

/// Picture units along the longer side.
const SIZE: f64 = 1000.0;
/// Room around the floor for wall and door names.
pub(super) const MARGIN: f64 = 62.0;

/// Where plan points fall in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct View {
    /// Plan x of the picture's left side, metres.
    pub(super) x0: f64,
    /// Plan y of the lower side, metres.
    pub(super) y0: f64,
    /// Plan y of the upper side, metres.
    pub(super) y1: f64,
    /// Width and height of the floor in the picture.
    pub(super) size: (f64, f64),
    /// Picture units in a metre.
    pub(super) k: f64,
}

impl View {
    /// Fits the floor's outline and its marks.
    pub(super) fn of(input: &PageInput) -> Self {
        let outline = input.floor.region().outline.points().iter().copied();
        let all = outline.chain(input.floor.vertices().iter().map(|v| v.at));
        let (mut low, mut high) = (
            Point::new(f64::INFINITY, f64::INFINITY),
            Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
        );
        for p in all {
            low = Point::new(low.x.min(p.x), low.y.min(p.y));
            high = Point::new(high.x.max(p.x), high.y.max(p.y));
        }
        if low.x > high.x {
            (low, high) = (Point::default(), Point::default());
        }
        let (w, h) = (high.x - low.x, high.y - low.y);
        // A tall narrow floor may be a little higher than it would be wide: paper and phones are.
        let k = SIZE / w.max(h * 0.8).max(1e-3);
        Self {
            x0: low.x,
            y0: low.y,
            y1: high.y,
            size: (w * k, h * k),
            k,
        }
    }

    /// A plan point in the picture.
    pub(super) fn at(&self, p: Point) -> (f64, f64) {
        ((p.x - self.x0) * self.k, (self.y1 - p.y) * self.k)
    }
}

/// Words in the picture, their middle at a place.
pub(super) fn centred(out: &mut String, class: &str, (x, y): (f64, f64), size: f64, words: &str) {
    let _ = write!(
        out,
        "<text class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{size:.0}\" text-anchor=\"middle\" \
         dy=\".35em\">{}</text>",
        escaped(words)
    );
}
