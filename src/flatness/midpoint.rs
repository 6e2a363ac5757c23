//! The grid-levelling check: a reading against the mean of its two neighbours.

use super::Placement;
use crate::geometry::{BoxGrid, Point, Region, Segment};
use crate::surface::{Floor, Source};
use std::collections::BTreeMap;

/// Readings may stray this share of the spacing from their place on the grid.
const STRAY: f64 = 0.02;
/// A way this near to a wall runs along it, metres: what rounding makes of readings that stand on it.
const ALONG_M: f64 = 1e-6;

/// A reading: which one, where, how high.
#[derive(Debug, Clone, Copy)]
struct Spot {
    reading: u32,
    at: Point,
    z: f64,
}

/// Readings found by place.
struct Places {
    size: f64,
    cells: BTreeMap<(i64, i64), Vec<Spot>>,
}

impl Places {
    fn new(floor: &Floor, size: f64) -> Self {
        let mut cells: BTreeMap<(i64, i64), Vec<Spot>> = BTreeMap::new();
        let mut seen = std::collections::BTreeSet::new();
        for v in floor.vertices() {
            // A reading on a joint has a vertex on either side, and is one reading.
            if let Source::Reading(reading) = v.source
                && seen.insert(reading)
            {
                cells.entry(Self::cell(v.at, size)).or_default().push(Spot {
                    reading,
                    at: v.at,
                    z: v.z,
                });
            }
        }
        Self { size, cells }
    }

    fn cell(p: Point, size: f64) -> (i64, i64) {
        ((p.x / size).floor() as i64, (p.y / size).floor() as i64)
    }

    /// All readings, in a fixed order.
    fn all(&self) -> impl Iterator<Item = Spot> + '_ {
        self.cells.values().flatten().copied()
    }

    /// Readings no farther than `reach` (at most one cell) from `p`.
    fn near(&self, p: Point, reach: f64) -> impl Iterator<Item = Spot> + '_ {
        let (cx, cy) = Self::cell(p, self.size);
        (-1..=1)
            .flat_map(move |i| (-1..=1).map(move |j| (cx + i, cy + j)))
            .filter_map(|c| self.cells.get(&c))
            .flatten()
            .copied()
            .filter(move |q| q.at.distance(p) <= reach)
    }
}

/// Walls and voids, to ask whether a straight way lies on the floor.
struct Ways<'a> {
    region: &'a Region,
    walls: Vec<Segment>,
    index: BoxGrid,
}

impl<'a> Ways<'a> {
    fn new(region: &'a Region) -> Self {
        let walls: Vec<Segment> = region.sides().map(|(a, b)| Segment::new(a, b)).collect();
        Self {
            index: BoxGrid::new(walls.len(), |i| walls[i as usize].bounds()),
            region,
            walls,
        }
    }

    /// Whether the whole way from `a` to `b` lies on the floor; along a wall is on the floor.
    ///
    /// The way is cut where it meets a wall, and the middle of each piece is looked at: between two walls a
    /// piece lies wholly on one side.
    fn clear(&self, a: Point, b: Point) -> bool {
        let way = Segment::new(a, b);
        let (lo, hi) = way.bounds();
        let hair = Point::new(ALONG_M, ALONG_M);
        let mut near: Vec<u32> = Vec::new();
        self.index.any_in(lo - hair, hi + hair, |i| {
            near.push(i);
            false
        });
        let mut cuts = vec![0.0, 1.0];
        for wall in near.iter().map(|&i| &self.walls[i as usize]) {
            if let Some((at, share)) = way.meeting(wall)
                && wall.distance(at) <= ALONG_M
            {
                cuts.push(share.clamp(0.0, 1.0));
            }
            for end in [wall.a, wall.b] {
                if way.distance(end) <= ALONG_M {
                    cuts.push(way.nearest_share(end));
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        cuts.windows(2).all(|w| {
            let p = way.at((w[0] + w[1]) / 2.0);
            (w[1] - w[0]) * way.length() <= ALONG_M
                || self.region.contains(p)
                || near
                    .iter()
                    .any(|&i| self.walls[i as usize].distance(p) <= ALONG_M)
        })
    }
}

/// Readings held against others on a stated grid.
#[derive(Debug, Clone, PartialEq)]
pub struct OnGrid {
    /// Each comparison: `gap_m` without sign.
    pub placements: Vec<Placement>,
    /// Readings that take part in any, by index, rising.
    pub part: Vec<u32>,
}

impl OnGrid {
    /// The largest.
    pub fn worst(&self) -> Option<Placement> {
        self.placements
            .iter()
            .copied()
            .reduce(|a, b| if b.gap_m > a.gap_m { b } else { a })
    }

    /// Whether a reading takes part.
    pub fn has(&self, reading: u32) -> bool {
        self.part.binary_search(&reading).is_ok()
    }

    fn of(found: Vec<(Placement, Vec<u32>)>) -> Self {
        let mut part: Vec<u32> = found.iter().flat_map(|f| &f.1).copied().collect();
        part.sort_unstable();
        part.dedup();
        Self {
            placements: found.into_iter().map(|f| f.0).collect(),
            part,
        }
    }
}

/// Whether a triangle's readings stand as close as a grid of this spacing has them.
pub(super) fn stands_on_grid(spacing_here_m: f64, spacing_m: f64) -> bool {
    spacing_here_m <= spacing_m * (1.0 + 2.0 * STRAY)
}

/// Distances of readings from the mean of two neighbours `spacing_m` to either side.
///
/// # Units, datum, sign
/// Metres, without sign; `from` and `to` are the neighbours, `at` the reading between.
/// # Method
/// Every reading with two others opposite each other at `spacing_m`, to 2 % of it, in whatever
/// direction, the whole way between them on the floor. With a 1 m grid the measuring distance is 2 m. Exact: there
/// is nothing between readings to search. `without` names readings that are not to take part.
pub fn midpoint(floor: &Floor, spacing_m: f64, without: &[u32]) -> OnGrid {
    let stray = spacing_m * STRAY;
    let places = Places::new(floor, spacing_m * (1.0 + 2.0 * STRAY));
    let ways = Ways::new(floor.region());
    let near = |p: Point| {
        places
            .near(p, spacing_m + stray)
            .filter(|s| !without.contains(&s.reading))
    };
    let mut found = Vec::new();
    for m in places.all().filter(|m| !without.contains(&m.reading)) {
        for a in near(m.at) {
            let d = a.at - m.at;
            // Each pair once: the neighbour that lies ahead in plan order leads.
            if (d.norm() - spacing_m).abs() > stray || (d.x, d.y) <= (0.0, 0.0) {
                continue;
            }
            let opposite = m.at - d;
            let partner = near(m.at)
                .filter(|q| q.at.distance(opposite) <= stray)
                .min_by(|p, q| p.at.distance(opposite).total_cmp(&q.at.distance(opposite)));
            if let Some(b) = partner
                && ways.clear(m.at, a.at)
                && ways.clear(m.at, b.at)
            {
                let placement = Placement {
                    from: b.at,
                    to: a.at,
                    at: m.at,
                    gap_m: ((a.z + b.z) / 2.0 - m.z).abs(),
                };
                found.push((placement, vec![a.reading, b.reading, m.reading]));
            }
        }
    }
    OnGrid::of(found)
}

/// Height differences between neighbouring readings `spacing_m` apart, with their places; the way between them lies
/// on the floor. `without` names readings that are not to take part.
pub fn neighbours(floor: &Floor, spacing_m: f64, without: &[u32]) -> OnGrid {
    let stray = spacing_m * STRAY;
    let places = Places::new(floor, spacing_m * (1.0 + 2.0 * STRAY));
    let ways = Ways::new(floor.region());
    let mut found = Vec::new();
    for m in places.all() {
        for a in places.near(m.at, spacing_m + stray) {
            let d = a.at - m.at;
            let apart = (d.norm() - spacing_m).abs() <= stray && (d.x, d.y) > (0.0, 0.0);
            let counts = !without.contains(&m.reading) && !without.contains(&a.reading);
            if apart && counts && ways.clear(m.at, a.at) {
                let low = if m.z <= a.z { m.at } else { a.at };
                let placement = Placement {
                    from: m.at,
                    to: a.at,
                    at: low,
                    gap_m: (a.z - m.z).abs(),
                };
                found.push((placement, vec![m.reading, a.reading]));
            }
        }
    }
    OnGrid::of(found)
}
