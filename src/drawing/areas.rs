//! Numbered areas on a plan: batches of a pour, patches, spots to grind.

use super::font::{Typeface, Weight};
use super::map::Map;
use super::plan::Extent;
use super::ramp::Ink;
use super::scene::{Dash, PaperPoint, Rect, Role, Text, corners};
use super::sheet::{Block, notes_block};
use crate::geometry::Point;

/// An area with its number.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Area {
    /// Number on the sheet.
    pub number: u32,
    /// Outer lines and holes; a point is inside when an odd number of them enclose it.
    pub loops: Vec<Vec<Point>>,
    /// A point inside it.
    pub label_at: Point,
    /// A few words under the number, where they fit.
    pub words: String,
}

const EDGE_MM: f64 = 0.3;
const CAP: f64 = 3.0;
const SMALL_CAP: f64 = 2.0;
/// How finely an area is searched for room for its number, each way.
const STEPS: u32 = 9;

impl Area {
    /// Whether a plan point lies inside.
    pub fn covers(&self, p: Point) -> bool {
        let sides = self
            .loops
            .iter()
            .flat_map(|ring| (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])));
        let hits = sides
            .filter(|(a, b)| {
                (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x
            })
            .count();
        hits % 2 == 1
    }

    /// Places to try for the number, nearest to its label point first.
    fn spots(&self, map: &Map<'_>) -> Vec<PaperPoint> {
        let home = map.view.at(self.label_at);
        let mut out = vec![home];
        if let Some(e) = Extent::around(self.loops.iter().flatten().copied()) {
            let (w, h) = e.size_m();
            let share = |k: u32| (f64::from(k) + 0.5) / f64::from(STEPS);
            for i in 0..STEPS {
                for j in 0..STEPS {
                    let p = Point::new(e.low.x + w * share(i), e.low.y + h * share(j));
                    if self.covers(p) {
                        out.push(map.view.at(p));
                    }
                }
            }
        }
        out.sort_by(|a, b| a.distance(home).total_cmp(&b.distance(home)));
        out
    }
}

/// Fills areas with a tint each, largest loop first; what is a hole shows paper.
pub(super) fn tint(map: &mut Map<'_>, areas: &[Area], ink: &dyn Fn(u32) -> Ink) {
    let mut loops: Vec<(f64, Ink, &[Point])> = Vec::new();
    for area in areas {
        for points in &area.loops {
            let twice: f64 = (0..points.len())
                .map(|i| points[i].cross(points[(i + 1) % points.len()]))
                .sum();
            let ink = if twice > 0.0 {
                ink(area.number)
            } else {
                Ink::WHITE
            };
            loops.push((twice, ink, points));
        }
    }
    // A hole and the area that fills it tie but for rounding: the hole first.
    loops.sort_by(|a, b| {
        (b.0.abs() as f32)
            .total_cmp(&(a.0.abs() as f32))
            .then(a.0.total_cmp(&b.0))
    });
    for (_, ink, points) in loops {
        let ring = map.view.ring(points);
        map.shade.fill(ring, ink);
    }
}

/// Draws the outlines.
pub(super) fn edges(map: &mut Map<'_>, areas: &[Area]) {
    for points in areas.iter().flat_map(|a| &a.loops) {
        let mut line = map.view.ring(points);
        line.extend(line.first().copied());
        map.lines.line(line, EDGE_MM, Ink::DARK, Dash::Solid);
    }
}

/// Numbers each area inside itself: in a ring with its words under it; where that is too large, the
/// ring alone; else a small figure. Returns the numbers of areas too small even for that.
pub(super) fn number(map: &mut Map<'_>, areas: &[Area]) -> Vec<u32> {
    let mut unnumbered = Vec::new();
    for area in areas {
        let figure = area.number.to_string();
        let (w, _) = map.size_of(&figure, CAP, Weight::Bold);
        let (words_w, _) = map.size_of(&area.words, SMALL_CAP, Weight::Regular);
        let (small_w, _) = map.size_of(&figure, SMALL_CAP, Weight::Bold);
        let r = w.max(CAP) / 2.0 + 1.2;
        let spots = area.spots(map);
        let mut try_size = |wide: f64, high: f64| {
            let view = map.view;
            let fits: Vec<Rect> = spots
                .iter()
                .map(|p| {
                    Rect::new(
                        p.shifted(-wide / 2.0, -high / 2.0),
                        p.shifted(wide / 2.0, high / 2.0),
                    )
                })
                .filter(|b| {
                    corners(b.grown(-0.3))
                        .into_iter()
                        .all(|c| area.covers(view.plan(c)))
                })
                .collect();
            map.placer.place(fits).map(|(_, b)| b)
        };
        let with_words = try_size((2.0 * r).max(words_w), 2.0 * r + SMALL_CAP * 1.9);
        let ringed = with_words.or_else(|| try_size(2.0 * r, 2.0 * r));
        if let Some(b) = ringed {
            let m = PaperPoint::new(b.middle().x, b.top + r);
            map.signs.disc(m, r, Ink::WHITE);
            map.signs.circle(m, r, 0.5, Ink::BLACK);
            let at = PaperPoint::new(m.x - w / 2.0, m.y + CAP / 2.0);
            map.labels
                .text(Text::new(at, figure, CAP, Role::Number).bold());
            if with_words.is_some() {
                let at = PaperPoint::new(m.x - words_w / 2.0, m.y + r + SMALL_CAP * 1.45);
                let text = Text::new(at, &area.words, SMALL_CAP, Role::Thing);
                map.labels.text(text);
            }
        } else if let Some(b) = try_size(small_w + 0.4, SMALL_CAP + 0.4) {
            let at = PaperPoint::new(b.left + 0.2, b.bottom - 0.2);
            map.labels
                .text(Text::new(at, figure, SMALL_CAP, Role::Number).bold());
        } else {
            unnumbered.push(area.number);
        }
    }
    unnumbered
}

/// The note that names areas without a number; `None` when all have theirs.
pub(super) fn too_small(kind: &str, numbers: &[u32]) -> Option<String> {
    const MOST_NAMED: usize = 8;
    let named: Vec<String> = numbers
        .iter()
        .take(MOST_NAMED)
        .map(ToString::to_string)
        .collect();
    let more = if numbers.len() > MOST_NAMED {
        format!(" and {} more", numbers.len() - MOST_NAMED)
    } else {
        String::new()
    };
    (!numbers.is_empty()).then(|| {
        format!(
            "{kind} too small to be numbered at this scale: {}{more}.",
            named.join(", ")
        )
    })
}

/// Room for that note.
pub(super) fn reserve(face: &Typeface, kind: &str, count: usize, width: f64) -> Block {
    let all: Vec<u32> = (0..count.min(99) as u32).map(|i| 100 + i).collect();
    let note: Vec<String> = too_small(kind, &all).into_iter().collect();
    let mut block = notes_block(face, &note, width);
    block.is_reserve = true;
    block
}
