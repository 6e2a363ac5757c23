//! A drawing before any file format: shapes and text in millimetres of paper.

use super::font::{Typeface, Weight, reach_mm};
use super::{DrawingError, ramp::Ink};

/// A place on the sheet, millimetres from its top left corner, y down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PaperPoint {
    /// Millimetres to the right.
    pub x: f64,
    /// Millimetres down.
    pub y: f64,
}

impl PaperPoint {
    /// A place from its two distances.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Distance to another place, millimetres.
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// Distance to the nearest place of the segment ab, millimetres.
    pub fn distance_to_line(self, a: Self, b: Self) -> f64 {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let long2 = dx * dx + dy * dy;
        let along = (self.x - a.x) * dx + (self.y - a.y) * dy;
        let t = if long2 > 0.0 { along / long2 } else { 0.0 };
        self.distance(a.lerp(b, t.clamp(0.0, 1.0)))
    }

    /// The place a share `t` of the way to `other`.
    pub fn lerp(self, other: Self, t: f64) -> Self {
        Self::new(
            self.x + (other.x - self.x) * t,
            self.y + (other.y - self.y) * t,
        )
    }

    /// Moved by so much.
    pub const fn shifted(self, dx: f64, dy: f64) -> Self {
        Self::new(self.x + dx, self.y + dy)
    }
}

/// An upright rectangle on the sheet, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left side.
    pub left: f64,
    /// Top side.
    pub top: f64,
    /// Right side.
    pub right: f64,
    /// Bottom side.
    pub bottom: f64,
}

impl Rect {
    /// From two corners, in any order.
    pub fn new(a: PaperPoint, b: PaperPoint) -> Self {
        Self {
            left: a.x.min(b.x),
            top: a.y.min(b.y),
            right: a.x.max(b.x),
            bottom: a.y.max(b.y),
        }
    }

    /// Width, millimetres.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height, millimetres.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Middle.
    pub fn middle(&self) -> PaperPoint {
        PaperPoint::new(
            (self.left + self.right) / 2.0,
            (self.top + self.bottom) / 2.0,
        )
    }

    /// Grown by `by` on every side.
    pub fn grown(&self, by: f64) -> Self {
        Self {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    /// Whether the insides share more than a hair (0.01 mm).
    pub fn overlaps(&self, other: &Self) -> bool {
        const HAIR: f64 = 0.01;
        self.left + HAIR < other.right
            && other.left + HAIR < self.right
            && self.top + HAIR < other.bottom
            && other.top + HAIR < self.bottom
    }

    /// Whether `other` lies wholly inside.
    pub fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    /// Whether the point lies inside.
    pub fn contains(&self, p: PaperPoint) -> bool {
        p.x > self.left && p.x < self.right && p.y > self.top && p.y < self.bottom
    }

    /// The share of segment ab inside, as two parameters, or `None`.
    pub fn clip(&self, a: PaperPoint, b: PaperPoint) -> Option<(f64, f64)> {
        let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        for (p, q) in [
            (-dx, a.x - self.left),
            (dx, self.right - a.x),
            (-dy, a.y - self.top),
            (dy, self.bottom - a.y),
        ] {
            if p == 0.0 {
                if q <= 0.0 {
                    return None;
                }
            } else if p < 0.0 {
                t0 = t0.max(q / p);
            } else {
                t1 = t1.min(q / p);
            }
        }
        (t0 < t1).then_some((t0, t1))
    }
}

/// How a line is broken up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// So many millimetres drawn, so many left out.
    Broken(f64, f64),
    /// Long, gap, dot, gap.
    DashDot,
}

/// Which end of a text its place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The left end.
    Start,
    /// The middle.
    Middle,
    /// The right end.
    End,
}

/// What a text is for. Tests and the reader of a scene find labels by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Number at a reading.
    Mark,
    /// Number at the high point.
    High,
    /// Number at the low point.
    Low,
    /// Value on a contour line.
    Contour,
    /// Name of a grid line.
    Grid,
    /// Distance from a wall.
    Dimension,
    /// Name of a wall or a door.
    Wall,
    /// Name of a fixture, void, joint or area.
    Thing,
    /// Number of a placed edge, or of a batch.
    Number,
    /// Figure or word on an axis.
    Axis,
    /// Name of a curve or a limit.
    Curve,
    /// Title and facts of the sheet.
    Title,
    /// Key to shades and signs.
    Legend,
    /// Everything else in words.
    Note,
}

/// One line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Its anchor, on the baseline.
    pub at: PaperPoint,
    /// The words.
    pub words: String,
    /// Height of its capitals, millimetres.
    pub cap_mm: f64,
    /// Weight.
    pub weight: Weight,
    /// Which end `at` is.
    pub anchor: Anchor,
    /// Colour.
    pub ink: Ink,
    /// Turned to read upwards.
    pub upward: bool,
    /// What it is for.
    pub role: Role,
}

impl Text {
    /// Regular black text starting at `at`.
    pub fn new(at: PaperPoint, words: impl Into<String>, cap_mm: f64, role: Role) -> Self {
        Self {
            at,
            words: words.into(),
            cap_mm,
            weight: Weight::Regular,
            anchor: Anchor::Start,
            ink: Ink::BLACK,
            upward: false,
            role,
        }
    }

    /// In bold.
    pub fn bold(mut self) -> Self {
        self.weight = Weight::Bold;
        self
    }

    /// Anchored elsewhere.
    pub fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// In another colour.
    pub fn inked(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }

    /// Reading upwards.
    pub fn turned(mut self, upward: bool) -> Self {
        self.upward = upward;
        self
    }

    /// The rectangle that the text covers.
    pub fn rect(&self, face: &Typeface) -> Rect {
        let width = face.width_mm(&self.words, self.cap_mm, self.weight);
        let (up, down) = reach_mm(&self.words, self.cap_mm);
        let before = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let (x, y) = (self.at.x, self.at.y);
        if self.upward {
            Rect {
                left: x - up,
                right: x + down,
                top: y + before - width,
                bottom: y + before,
            }
        } else {
            Rect {
                left: x - before,
                right: x - before + width,
                top: y - up,
                bottom: y + down,
            }
        }
    }
}

/// One thing on the sheet, drawn over all before it.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A filled closed ring.
    Fill {
        /// Its corners; the last joins the first.
        ring: Vec<PaperPoint>,
        /// Colour.
        ink: Ink,
    },
    /// A line.
    Line {
        /// Its points.
        points: Vec<PaperPoint>,
        /// Width, millimetres.
        width_mm: f64,
        /// Colour.
        ink: Ink,
        /// Broken or not.
        dash: Dash,
    },
    /// A circle, filled or as a line.
    Circle {
        /// Middle.
        at: PaperPoint,
        /// Radius, millimetres.
        radius_mm: f64,
        /// `None`: filled; else width of the line, millimetres.
        width_mm: Option<f64>,
        /// Colour.
        ink: Ink,
    },
    /// Words.
    Text(Text),
    /// What follows belongs together, up to the [`Shape::Close`] that goes with it.
    Open {
        /// Of what kind it is; a page's style sheet finds it by this.
        class: &'static str,
        /// What it is called, if it has a name.
        title: Option<String>,
    },
    /// Ends what was begun last.
    Close,
}

/// A whole sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// What the sheet is called; the SVG's own title.
    pub title: String,
    /// Width, millimetres.
    pub width_mm: f64,
    /// Height, millimetres.
    pub height_mm: f64,
    /// What is on it, bottom first.
    pub shapes: Vec<Shape>,
}

impl Scene {
    /// An empty sheet.
    pub fn new(title: impl Into<String>, width_mm: f64, height_mm: f64) -> Self {
        Self {
            title: title.into(),
            width_mm,
            height_mm,
            shapes: Vec::new(),
        }
    }

    /// Adds a filled ring.
    pub fn fill(&mut self, ring: Vec<PaperPoint>, ink: Ink) {
        self.shapes.push(Shape::Fill { ring, ink });
    }

    /// Adds a filled rectangle.
    pub fn fill_rect(&mut self, r: Rect, ink: Ink) {
        self.fill(corners(r), ink);
    }

    /// Adds a line.
    pub fn line(&mut self, points: Vec<PaperPoint>, width_mm: f64, ink: Ink, dash: Dash) {
        self.shapes.push(Shape::Line {
            points,
            width_mm,
            ink,
            dash,
        });
    }

    /// Adds an unbroken line between two places.
    pub fn segment(&mut self, a: PaperPoint, b: PaperPoint, width_mm: f64, ink: Ink) {
        self.line(vec![a, b], width_mm, ink, Dash::Solid);
    }

    /// Adds the outline of a rectangle.
    pub fn frame(&mut self, r: Rect, width_mm: f64, ink: Ink) {
        let mut points = corners(r);
        points.push(points[0]);
        self.line(points, width_mm, ink, Dash::Solid);
    }

    /// Adds a filled circle.
    pub fn disc(&mut self, at: PaperPoint, radius_mm: f64, ink: Ink) {
        self.shapes.push(Shape::Circle {
            at,
            radius_mm,
            width_mm: None,
            ink,
        });
    }

    /// Adds a circle line.
    pub fn circle(&mut self, at: PaperPoint, radius_mm: f64, width_mm: f64, ink: Ink) {
        self.shapes.push(Shape::Circle {
            at,
            radius_mm,
            width_mm: Some(width_mm),
            ink,
        });
    }

    /// Adds what `draw` adds as one thing of a kind, with its name; nothing where that adds nothing.
    pub fn group(
        &mut self,
        class: &'static str,
        title: Option<&str>,
        draw: impl FnOnce(&mut Self),
    ) {
        let title = title.filter(|t| !t.is_empty()).map(str::to_owned);
        let before = self.shapes.len();
        self.shapes.push(Shape::Open { class, title });
        draw(self);
        if self.shapes.len() == before + 1 {
            self.shapes.pop();
        } else {
            self.shapes.push(Shape::Close);
        }
    }

    /// Adds a text.
    pub fn text(&mut self, text: Text) {
        self.shapes.push(Shape::Text(text));
    }

    /// Every text, in drawing order.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.shapes.iter().filter_map(|s| match s {
            Shape::Text(t) => Some(t),
            _ => None,
        })
    }

    /// Pairs of texts that cover one another. A good drawing has none.
    ///
    /// # Errors
    /// As [`Typeface::embedded`].
    pub fn overlaps(&self) -> Result<Vec<(String, String)>, DrawingError> {
        let face = Typeface::embedded()?;
        let mut boxes: Vec<(Rect, &str)> = self
            .texts()
            .map(|t| (t.rect(&face), t.words.as_str()))
            .collect();
        boxes.sort_by(|a, b| a.0.left.total_cmp(&b.0.left));
        let mut found = Vec::new();
        for (i, (a, words)) in boxes.iter().enumerate() {
            for (b, others) in boxes[i + 1..].iter().take_while(|(b, _)| b.left < a.right) {
                if a.overlaps(b) {
                    found.push(((*words).to_owned(), (*others).to_owned()));
                }
            }
        }
        Ok(found)
    }

    /// Texts that reach over the edge of the sheet. A good drawing has none.
    ///
    /// # Errors
    /// As [`Typeface::embedded`].
    pub fn clipped(&self) -> Result<Vec<String>, DrawingError> {
        let face = Typeface::embedded()?;
        let sheet = Rect {
            left: 0.0,
            top: 0.0,
            right: self.width_mm,
            bottom: self.height_mm,
        };
        Ok(self
            .texts()
            .filter(|t| !sheet.holds(&t.rect(&face)))
            .map(|t| t.words.clone())
            .collect())
    }
}

/// The four corners of a rectangle, in order.
pub(super) fn corners(r: Rect) -> Vec<PaperPoint> {
    vec![
        PaperPoint::new(r.left, r.top),
        PaperPoint::new(r.right, r.top),
        PaperPoint::new(r.right, r.bottom),
        PaperPoint::new(r.left, r.bottom),
    ]
}
