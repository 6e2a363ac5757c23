//! The grid-levelling check: a reading against the mean of its two neighbours.

use super::Placement;
use crate::geometry::{BoxGrid, Point, PointGrid, Region, Segment};
use crate::surface::{Floor, Source};
use std::cmp::Ordering;

/// Readings may stray this share of the spacing from their place on the grid.
const STRAY: f64 = 0.02;
/// A way this near to a wall runs along it, metres: what rounding makes of readings that stand on it.
const ALONG_M: f64 = 1e-6;

/// A reading: which one, where, how high.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Spot {
    reading: u32,
    at: Point,
    z: f64,
}

/// Neighbours point along the rows of a grid where their directions, a quarter turn counting as none, agree so well: the length
/// of the mean of unit vectors turned four times as far (a grid whose places stray as much as they may has 0.98).
const ALIGNED: f64 = 0.9;
/// A way is along a row where it leaves it by no more than this share of itself: as much as both its ends may stray.
const ASKEW: f64 = 2.0 * STRAY;

/// Readings found by place, in plan order: the result does not depend on the order of the sheet.
struct Places {
    spots: Vec<Spot>,
    grid: PointGrid,
    /// Along the rows of the grid that the readings stand on, a unit vector; `None` where they stand on none.
    rows: Option<Point>,
}

impl Places {
    /// All readings on the floor but those named.
    fn new(floor: &Floor, without: &[u32]) -> Self {
        let mut spots: Vec<Spot> = floor
            .vertices()
            .iter()
            .filter_map(|v| match v.source {
                Source::Reading(reading) if !without.contains(&reading) => Some(Spot {
                    reading,
                    at: v.at,
                    z: v.z,
                }),
                _ => None,
            })
            .collect();
        spots.sort_by(|a, b| {
            (a.at.x.total_cmp(&b.at.x))
                .then(a.at.y.total_cmp(&b.at.y))
                .then(a.reading.cmp(&b.reading))
        });
        // A reading on a joint has a vertex on either side, and is one reading.
        spots.dedup_by_key(|s| s.reading);
        let grid = PointGrid::new(spots.iter().map(|s| s.at).collect());
        let rows = rows_of(&spots, &grid);
        Self { spots, grid, rows }
    }

    /// Readings no farther than `reach` from `p`, in plan order.
    fn near(&self, p: Point, reach: f64) -> Vec<Spot> {
        let half = Point::new(reach, reach);
        let mut found: Vec<u32> = self
            .grid
            .in_box(p - half, p + half)
            .filter(|&i| self.spots[i as usize].at.distance(p) <= reach)
            .collect();
        found.sort_unstable();
        found.into_iter().map(|i| self.spots[i as usize]).collect()
    }

    /// Readings at a spacing from `m`, give or take what readings may stray. On a grid, neighbours of a grid are those along its rows
    /// and columns: that two of its nodes happen to stand so far apart askew makes none.
    fn beside(&self, m: Point, spacing_m: f64) -> Vec<Spot> {
        let stray = spacing_m * STRAY;
        let mut list = self.near(m, spacing_m + stray);
        list.retain(|a| {
            let d = a.at - m;
            let along =
                |rows: Point| d.cross(rows).abs().min(d.dot(rows).abs()) <= ASKEW * spacing_m;
            (d.norm() - spacing_m).abs() <= stray && self.rows.is_none_or(along)
        });
        list
    }

    /// The reading nearest to a place, if one is within `reach`.
    fn nearest(&self, p: Point, reach: f64) -> Option<Spot> {
        self.near(p, reach)
            .into_iter()
            .min_by(|a, b| a.at.distance(p).total_cmp(&b.at.distance(p)))
    }
}

/// The direction of the rows of a grid, from the ways between nearest readings; `None` where these agree in none.
fn rows_of(spots: &[Spot], grid: &PointGrid) -> Option<Point> {
    let nearest = |p: Point| {
        let mut reach = grid.cell_size();
        // Ways double until they reach across the plan.
        for _ in 0..64 {
            let half = Point::new(reach, reach);
            let found = grid
                .in_box(p - half, p + half)
                .map(|i| grid.points()[i as usize] - p)
                .filter(|d| d.norm() > 0.0 && d.norm() <= reach)
                .min_by(|a, b| {
                    (a.norm(), a.x, a.y)
                        .partial_cmp(&(b.norm(), b.x, b.y))
                        .unwrap_or(Ordering::Equal)
                });
            if found.is_some() || spots.len() < 2 {
                return found;
            }
            reach *= 2.0;
        }
        None
    };
    let (mut sum, mut count) = (Point::default(), 0.0);
    for d in spots.iter().filter_map(|s| nearest(s.at)) {
        // Four times the angle, so that quarter turns are none.
        let turned = 4.0 * d.y.atan2(d.x);
        sum = sum + Point::new(turned.cos(), turned.sin());
        count += 1.0;
    }
    (count > 0.0 && sum.norm() >= ALIGNED * count).then(|| {
        let angle = sum.y.atan2(sum.x) / 4.0;
        Point::new(angle.cos(), angle.sin())
    })
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

    fn of(placements: Vec<Placement>, mut part: Vec<u32>) -> Self {
        part.sort_unstable();
        part.dedup();
        Self { placements, part }
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
/// Every reading with two others opposite each other at `spacing_m`, to 2 % of it, along the rows or columns of the grid that they
/// stand on (in whatever direction where they stand on none), the whole way between them on the floor. With a 1 m grid the measuring distance is 2 m. Exact: there
/// is nothing between readings to search. `without` names readings that are not to take part.
pub fn midpoint(floor: &Floor, spacing_m: f64, without: &[u32]) -> OnGrid {
    let places = Places::new(floor, without);
    let ways = Ways::new(floor.region());
    let (mut found, mut part) = (Vec::new(), Vec::new());
    for m in &places.spots {
        // Of the two either may come first, by rounding of their places; together they are one comparison.
        let mut known: Vec<(u32, u32)> = Vec::new();
        for a in places.beside(m.at, spacing_m) {
            let opposite = m.at - (a.at - m.at);
            if let Some(b) = places.nearest(opposite, spacing_m * STRAY)
                && is_new(&mut known, (a.reading, b.reading))
                && ways.clear(m.at, a.at)
                && ways.clear(m.at, b.at)
            {
                found.push(Placement {
                    from: b.at,
                    to: a.at,
                    at: m.at,
                    gap_m: ((a.z + b.z) / 2.0 - m.z).abs(),
                });
                part.extend([a.reading, b.reading, m.reading]);
            }
        }
    }
    OnGrid::of(found, part)
}

/// Whether two readings were not met yet as the two of a comparison, whichever came first; they are then.
fn is_new(known: &mut Vec<(u32, u32)>, (a, b): (u32, u32)) -> bool {
    let pair = (a.min(b), a.max(b));
    let new = !known.contains(&pair);
    if new {
        known.push(pair);
    }
    new
}

/// Height differences between neighbouring readings `spacing_m` apart along the rows or columns of their grid (in whatever
/// direction where they stand on none), with their places; the way between them lies on the floor. `without` names readings that are not to take part.
pub fn neighbours(floor: &Floor, spacing_m: f64, without: &[u32]) -> OnGrid {
    let places = Places::new(floor, without);
    let ways = Ways::new(floor.region());
    let (mut found, mut part) = (Vec::new(), Vec::new());
    for m in &places.spots {
        for a in places.beside(m.at, spacing_m) {
            if m.reading < a.reading && ways.clear(m.at, a.at) {
                let low = if m.z <= a.z { m.at } else { a.at };
                found.push(Placement {
                    from: m.at,
                    to: a.at,
                    at: low,
                    gap_m: (a.z - m.z).abs(),
                });
                part.extend([m.reading, a.reading]);
            }
        }
    }
    OnGrid::of(found, part)
}
