//! The grid-levelling check: a reading against the mean of its two neighbours.

use super::Placement;
use crate::geometry::Point;
use crate::surface::{Floor, Source};
use std::collections::BTreeMap;

/// Readings may stray this share of the spacing from their place on the grid.
const STRAY: f64 = 0.02;

/// Readings found by place.
struct Places {
    size: f64,
    cells: BTreeMap<(i64, i64), Vec<(Point, f64)>>,
}

impl Places {
    fn new(floor: &Floor, size: f64) -> Self {
        let mut cells: BTreeMap<(i64, i64), Vec<(Point, f64)>> = BTreeMap::new();
        for v in floor.vertices() {
            if matches!(v.source, Source::Reading(_)) {
                cells
                    .entry(Self::cell(v.at, size))
                    .or_default()
                    .push((v.at, v.z));
            }
        }
        Self { size, cells }
    }

    fn cell(p: Point, size: f64) -> (i64, i64) {
        ((p.x / size).floor() as i64, (p.y / size).floor() as i64)
    }

    /// All readings, in a fixed order.
    fn all(&self) -> impl Iterator<Item = (Point, f64)> + '_ {
        self.cells.values().flatten().copied()
    }

    /// Readings no farther than `reach` (at most one cell) from `p`.
    fn near(&self, p: Point, reach: f64) -> impl Iterator<Item = (Point, f64)> + '_ {
        let (cx, cy) = Self::cell(p, self.size);
        (-1..=1)
            .flat_map(move |i| (-1..=1).map(move |j| (cx + i, cy + j)))
            .filter_map(|c| self.cells.get(&c))
            .flatten()
            .copied()
            .filter(move |q| q.0.distance(p) <= reach)
    }
}

/// The largest distance of a reading from the mean of two neighbours `spacing_m` to either side,
/// and how many such threes there are.
///
/// # Units, datum, sign
/// Metres, without sign; `from` and `to` are the neighbours, `at` the reading between.
/// # Method
/// Every reading with two others opposite each other at `spacing_m`, to 2 % of it, in whatever
/// direction. With a 1 m grid the measuring distance is 2 m. Exact: there is nothing between
/// readings to search.
pub fn midpoint(floor: &Floor, spacing_m: f64) -> (Option<Placement>, usize) {
    let (mut worst, mut count): (Option<Placement>, usize) = (None, 0);
    each_three(floor, spacing_m, |p| {
        count += 1;
        if worst.is_none_or(|w| p.gap_m > w.gap_m) {
            worst = Some(p);
        }
    });
    (worst, count)
}

fn each_three(floor: &Floor, spacing_m: f64, mut f: impl FnMut(Placement)) {
    let stray = spacing_m * STRAY;
    let places = Places::new(floor, spacing_m * (1.0 + 2.0 * STRAY));
    for (m, z) in places.all() {
        for (a, za) in places.near(m, spacing_m + stray) {
            let d = a - m;
            // Each pair once: the neighbour that lies ahead in plan order leads.
            if (d.norm() - spacing_m).abs() > stray || (d.x, d.y) <= (0.0, 0.0) {
                continue;
            }
            let opposite = m - d;
            let partner = places
                .near(m, spacing_m + stray)
                .filter(|q| q.0.distance(opposite) <= stray)
                .min_by(|p, q| p.0.distance(opposite).total_cmp(&q.0.distance(opposite)));
            let clear = |p: Point| floor.region().contains(m.lerp(p, 0.5));
            if let Some((b, zb)) = partner
                && clear(a)
                && clear(b)
            {
                f(Placement {
                    from: b,
                    to: a,
                    at: m,
                    gap_m: ((za + zb) / 2.0 - z).abs(),
                });
            }
        }
    }
}

/// Height differences between neighbouring readings `spacing_m` apart, with their places.
pub fn neighbours(floor: &Floor, spacing_m: f64) -> Vec<Placement> {
    let stray = spacing_m * STRAY;
    let places = Places::new(floor, spacing_m * (1.0 + 2.0 * STRAY));
    let mut out = Vec::new();
    for (m, z) in places.all() {
        for (a, za) in places.near(m, spacing_m + stray) {
            let d = a - m;
            let apart = (d.norm() - spacing_m).abs() <= stray && (d.x, d.y) > (0.0, 0.0);
            if apart && floor.region().contains(m.lerp(a, 0.5)) {
                let low = if z <= za { m } else { a };
                out.push(Placement {
                    from: m,
                    to: a,
                    at: low,
                    gap_m: (za - z).abs(),
                });
            }
        }
    }
    out
}
