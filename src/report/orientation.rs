//! The two walls that places are told from.

use super::{Pen, words};
use crate::geometry::Point;
use crate::survey::Survey;

/// The two walls that distances are told from.
#[derive(Debug, Clone, PartialEq)]
pub struct Orientation {
    /// Lower left corner of everything, in plan coordinates.
    pub origin: Point,
    /// Name of what stands on the left.
    pub left: String,
    /// Name of what stands along the bottom of the sheet.
    pub bottom: String,
}

impl Orientation {
    /// From the room's walls, or from the readings where no room is known.
    pub fn of(survey: &Survey) -> Self {
        let corner = |points: &mut dyn Iterator<Item = Point>| {
            points.fold(None, |low: Option<Point>, p| {
                Some(low.map_or(p, |l| Point::new(l.x.min(p.x), l.y.min(p.y))))
            })
        };
        let read = || corner(&mut survey.readings.iter().map(|r| r.at)).unwrap_or_default();
        let Some(room) = &survey.room else {
            return Self {
                origin: read(),
                left: words::LEFT_READING.to_owned(),
                bottom: words::BOTTOM_READING.to_owned(),
            };
        };
        let outline = room.outline.points();
        let origin = corner(&mut outline.iter().copied()).unwrap_or_default();
        let far = outline
            .iter()
            .fold(origin, |h, p| Point::new(h.x.max(p.x), h.y.max(p.y)));
        let size = far - origin;
        // A wall gives its name to a side only when it really stands there.
        let named = |along: fn(Point) -> f64, low: f64, extent: f64, otherwise: &str| {
            room.walls
                .iter()
                .filter(|w| (along(w.at) - low).abs() <= extent * 0.02)
                .min_by(|a, b| along(a.at).total_cmp(&along(b.at)))
                .map_or_else(|| otherwise.to_owned(), |w| w.name.clone())
        };
        Self {
            origin,
            left: named(|p| p.x, origin.x, size.x, words::LEFT_WALL),
            bottom: named(|p| p.y, origin.y, size.y, words::BOTTOM_WALL),
        }
    }

    /// Distance from the left, metres.
    pub fn from_left(&self, p: Point) -> f64 {
        p.x - self.origin.x
    }

    /// Distance from the bottom, metres.
    pub fn from_bottom(&self, p: Point) -> f64 {
        p.y - self.origin.y
    }

    /// A place in words: `12 ft from the north wall, at the door wall`.
    pub fn place(&self, pen: Pen, p: Point) -> String {
        let told = |distance: f64, wall: &str| {
            let text = pen.near(distance);
            if text == pen.near(0.0) {
                words::at_wall(wall)
            } else {
                words::off_wall(&text, wall)
            }
        };
        format!(
            "{}, {}",
            told(self.from_left(p), &self.left),
            told(self.from_bottom(p), &self.bottom)
        )
    }

    /// Which way an edge lies: `along the door wall`, `square to the door wall`, `at 40 degrees to the
    /// door wall`.
    pub fn direction(&self, from: Point, to: Point) -> String {
        let d = to - from;
        let degrees = d.y.abs().atan2(d.x.abs()).to_degrees();
        words::direction(degrees, &self.bottom)
    }

    /// The same for a narrow column whose caption names the walls: `12 ft; 4 ft`.
    pub fn pair(&self, pen: Pen, p: Point) -> String {
        format!(
            "{}; {}",
            pen.near(self.from_left(p)),
            pen.near(self.from_bottom(p))
        )
    }

    /// The two walls, in the order of [`Orientation::pair`].
    pub fn walls(&self) -> String {
        format!("{}; {}", self.left, self.bottom)
    }
}
