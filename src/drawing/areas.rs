//! Numbered areas on a plan: batches of a pour, patches, spots to grind.

use super::font::{Typeface, Weight};
use super::map::Map;
use super::plan::Extent;
use super::ramp::Ink;
use super::scene::{Dash, PaperPoint, Rect, Role, Text, corners};
use super::sheet::{Block, notes_block};
use crate::geometry::{Point, twice_area};

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
const LESS_CAP: f64 = 2.5;
const SMALL_CAP: f64 = 2.0;
/// What stays free between a number and the outline of its area, millimetres: a tie-in is 0.7 wide.
const CLEAR_MM: f64 = 0.45;
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
            let twice = twice_area(points);
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

/// How a number stands in its area: the size of its figure, whether a ring goes round it, and whether its
/// words stand under it, lying or turned upright.
#[derive(Debug, Clone, Copy)]
struct Stand {
    cap_mm: f64,
    ring: bool,
    words: Option<bool>,
}

/// Ways to try, the best first. Words are worth more than a ring: a narrow batch still says its bags.
const STANDS: [Stand; 6] = [
    Stand {
        cap_mm: CAP,
        ring: true,
        words: Some(false),
    },
    Stand {
        cap_mm: CAP,
        ring: true,
        words: Some(true),
    },
    Stand {
        cap_mm: LESS_CAP,
        ring: true,
        words: Some(true),
    },
    Stand {
        cap_mm: LESS_CAP,
        ring: false,
        words: Some(true),
    },
    Stand {
        cap_mm: LESS_CAP,
        ring: true,
        words: None,
    },
    Stand {
        cap_mm: SMALL_CAP,
        ring: false,
        words: None,
    },
];

/// Ways where other numbers stand in the areas as well, which one without a ring would be taken for.
const IN_RINGS: [Stand; 2] = [
    Stand {
        cap_mm: CAP,
        ring: true,
        words: None,
    },
    Stand {
        cap_mm: LESS_CAP,
        ring: true,
        words: None,
    },
];

/// Numbers each area inside itself, in the first way of [`STANDS`] that has room. Returns the numbers of
/// areas too small for any.
pub(super) fn number(map: &mut Map<'_>, areas: &[Area]) -> Vec<u32> {
    number_in(map, areas, &STANDS)
}

/// The same among other numbers: always in a ring, and without words.
pub(super) fn number_in_rings(map: &mut Map<'_>, areas: &[Area]) -> Vec<u32> {
    number_in(map, areas, &IN_RINGS)
}

fn number_in(map: &mut Map<'_>, areas: &[Area], ways: &[Stand]) -> Vec<u32> {
    let mut unnumbered = Vec::new();
    for area in areas {
        let spots = area.spots(map);
        let placed = ways.iter().any(|stand| stand_in(map, area, &spots, *stand));
        if !placed {
            unnumbered.push(area.number);
        }
    }
    unnumbered
}

/// Writes the number in one way, where there is room for it.
fn stand_in(map: &mut Map<'_>, area: &Area, spots: &[PaperPoint], stand: Stand) -> bool {
    let figure = area.number.to_string();
    let cap = stand.cap_mm;
    let (w, _) = map.size_of(&figure, cap, Weight::Bold);
    let (words_w, _) = map.size_of(&area.words, SMALL_CAP, Weight::Regular);
    // Half the figure's box: a ring's radius, or the figure alone.
    let half = if stand.ring {
        let r = w.max(cap) / 2.0 + 1.2;
        (r, r)
    } else {
        (w / 2.0 + 0.2, cap / 2.0 + 0.2)
    };
    let (wide, high) = match stand.words {
        None => (2.0 * half.0, 2.0 * half.1),
        Some(false) => ((2.0 * half.0).max(words_w), 2.0 * half.1 + SMALL_CAP * 1.9),
        Some(true) => (
            (2.0 * half.0).max(SMALL_CAP * 1.3),
            2.0 * half.1 + words_w + 1.6,
        ),
    };
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
            corners(b.grown(CLEAR_MM))
                .into_iter()
                .all(|c| area.covers(view.plan(c)))
        })
        .collect();
    let Some((_, b)) = map.placer.place(fits) else {
        return false;
    };
    let m = PaperPoint::new(b.middle().x, b.top + half.1);
    if stand.ring {
        map.signs.disc(m, half.0, Ink::WHITE);
        map.signs.circle(m, half.0, 0.5, Ink::BLACK);
    }
    let at = PaperPoint::new(m.x - w / 2.0, m.y + cap / 2.0);
    map.labels
        .text(Text::new(at, figure, cap, Role::Number).bold());
    let under = m.y + half.1;
    match stand.words {
        None => {}
        Some(false) => {
            let at = PaperPoint::new(m.x - words_w / 2.0, under + SMALL_CAP * 1.45);
            map.labels
                .text(Text::new(at, &area.words, SMALL_CAP, Role::Thing));
        }
        Some(true) => {
            let at = PaperPoint::new(m.x + SMALL_CAP / 2.0, under + 0.8 + words_w);
            map.labels
                .text(Text::new(at, &area.words, SMALL_CAP, Role::Thing).turned(true));
        }
    }
    true
}

/// The note that names areas without a number; `None` when all have theirs.
pub(super) fn too_small(kind: &str, numbers: &[u32]) -> Option<String> {
    const MOST_NAMED: usize = 8;
    let named: Vec<String> = numbers
        .iter()
        .take(MOST_NAMED)
        .map(ToString::to_string)
        .collect();
    let more = numbers.len().saturating_sub(MOST_NAMED);
    (!numbers.is_empty()).then(|| super::words::too_small(kind, &named.join(", "), more))
}

/// Room for that note.
pub(super) fn reserve(face: &Typeface, kind: &str, count: usize, width: f64) -> Block {
    let all: Vec<u32> = (0..count.min(99) as u32).map(|i| 100 + i).collect();
    let note: Vec<String> = too_small(kind, &all).into_iter().collect();
    let mut block = notes_block(face, &note, width);
    block.is_reserve = true;
    block
}
