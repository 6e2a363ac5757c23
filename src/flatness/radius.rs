//! Highest minus lowest within a radius of any point.

use super::net::{Ground, usable};
use super::{EdgeResult, Placement};
use crate::flatness::Departure;
use crate::geometry::Point;
use crate::surface::{Across, Floor};
use std::collections::VecDeque;

/// Distances nearer to one another than this are one, metres: a grid in feet is no whole number of millimetres.
pub(super) const SAME_PLACE_M: f64 = 1e-6;

/// Part of a mesh edge whose points are tried as one of the two spots.
#[derive(Clone, Copy)]
struct Piece {
    /// Nothing found from here exceeds this.
    most: f64,
    ends: [(Point, f64); 2],
    /// Slope of its triangle.
    slope: Point,
}

/// Exact lowest heights within a distance, by buckets of triangles.
struct Lows<'a> {
    floor: &'a Floor,
    /// -1 to take all heights upside down.
    sign: f64,
    lo: Point,
    size: f64,
    columns: usize,
    rows: usize,
    start: Vec<u32>,
    triangles: Vec<u32>,
    least: Vec<f64>,
}

/// The largest difference in height between two spots of floor that lie within `radius_m` of one
/// point, that is, no more than `2 * radius_m` apart.
///
/// # Units, datum, sign
/// Metres, never negative. The placement runs from the highest spot to the lowest, which is also
/// its `at`.
/// # Method
/// One of the two spots lies on a mesh edge: where both lie within triangles and a whole reach apart, either the
/// slopes differ and a small turn gains, or they are equal and both spots can be slid along until one meets an edge.
/// For a fixed spot the lowest (highest) floor within reach is exact: on each triangle a linear height over a disc
/// is least at a corner, where an edge meets the circle, or straight down the slope on the circle. The edges are
/// bounded, `highest end - lowest within reach of any point`, and halved until the bound is met; once for the high
/// spot and once, upside down, for the low. Walls between the two spots are not looked at.
/// # Accuracy
/// `bound_m - gap_m() <= tolerance_m` when `complete`; a span of `2 * radius_m` is reported.
pub fn radius(
    floor: &Floor,
    radius_m: f64,
    ground: Ground,
    tolerance_m: f64,
    work_limit: u64,
) -> EdgeResult {
    let usable = usable(floor, ground);
    // Readings that stand just two radii apart are within it, whatever rounding of their places makes of that.
    let reach = 2.0 * radius_m + SAME_PLACE_M;
    let mut found = Found {
        best: None,
        bound: 0.0,
        tolerance: tolerance_m.max(1e-9),
        work_left: work_limit,
        complete: true,
    };
    for upside_down in [false, true] {
        let lows = Lows::new(floor, &usable, reach / 6.0, upside_down);
        found.look_from_edges(floor, &usable, &lows, reach);
    }
    let gap = found.gap_m();
    EdgeResult {
        departure: Departure::Hump,
        span_m: 2.0 * radius_m,
        worst: found.best,
        bound_m: found.bound.max(gap) + 1e-9,
        full_span_laid: true,
        complete: found.complete,
    }
}

/// What is known so far.
struct Found {
    best: Option<Placement>,
    bound: f64,
    tolerance: f64,
    work_left: u64,
    complete: bool,
}

impl Found {
    fn gap_m(&self) -> f64 {
        self.best.map_or(0.0, |b| b.gap_m)
    }

    fn enough(&self, most: f64) -> bool {
        most <= self.gap_m() + self.tolerance
    }

    /// Every spot on a mesh edge as the high spot of `lows`.
    fn look_from_edges(&mut self, floor: &Floor, usable: &[bool], lows: &Lows<'_>, reach: f64) {
        let mut open: Vec<Piece> = Vec::new();
        for t in (0..floor.triangles().len() as u32).filter(|&t| usable[t as usize]) {
            let corners = floor.corners(t).map(|v| (v.at, v.z * lows.sign));
            for e in 0..3 {
                let seen =
                    matches!(floor.across(t, e), Across::Floor(o) if o < t && usable[o as usize]);
                if !seen {
                    let ends = [corners[e], corners[(e + 1) % 3]];
                    open.push(Piece {
                        most: lows.rough(&ends, reach),
                        ends,
                        slope: floor.gradient(t) * lows.sign,
                    });
                }
            }
        }
        // Highest promise first; the sort is stable, so ties keep the order of the mesh.
        open.sort_by(|a, b| b.most.total_cmp(&a.most));
        let mut open = VecDeque::from(open);
        while let Some(piece) = open.pop_front() {
            if self.enough(piece.most) {
                self.bound = self.bound.max(piece.most);
            } else if self.work_left == 0 {
                self.bound = self.bound.max(piece.most);
                self.complete = false;
            } else {
                self.work_left -= 1;
                open.extend(self.halves(lows, &piece, reach).into_iter().flatten());
            }
        }
    }

    /// Look from the higher end of a piece; its halves if more may be found from within it.
    fn halves(&mut self, lows: &Lows<'_>, piece: &Piece, reach: f64) -> Option<[Piece; 2]> {
        let [a, b] = piece.ends;
        let (high, z) = if a.1 >= b.1 { a } else { b };
        if let Some((low, at)) = lows.lowest(high, reach, Point::default())
            && z - low > self.gap_m()
        {
            let (from, to) = if lows.sign > 0.0 {
                (high, at)
            } else {
                (at, high)
            };
            self.best = Some(Placement {
                from,
                to,
                at: to,
                gap_m: z - low,
            });
        }
        let middle = (a.0.lerp(b.0, 0.5), (a.1 + b.1) / 2.0);
        let extent = a.0.distance(b.0) / 2.0;
        let mut most = lows
            .lowest(middle.0, reach + extent, Point::default())
            .map_or(0.0, |l| z - l.0)
            .min(piece.most);
        let slope = piece.slope;
        if !self.enough(most) && slope.norm().is_finite() {
            // With the plane of its triangle taken off, height over a run of `reach` is what is left plus
            // at most what the plane climbs: exact where high and low spot lie on equal slopes.
            let off = |c: &(Point, f64)| c.1 - slope.dot(c.0 - middle.0);
            let top = off(&a).max(off(&b));
            if let Some((low, _)) = lows.lowest(middle.0, reach + extent, slope) {
                most = most.min(top - low + slope.norm() * reach);
            }
        }
        if self.enough(most) || extent < 1e-7 {
            self.bound = self.bound.max(most);
            return None;
        }
        Some([[a, middle], [middle, b]].map(|ends| Piece { most, ends, slope }))
    }
}

impl<'a> Lows<'a> {
    fn new(floor: &'a Floor, usable: &[bool], size: f64, upside_down: bool) -> Self {
        let sign = if upside_down { -1.0 } else { 1.0 };
        let (mut lo, mut hi) = (
            Point::new(f64::MAX, f64::MAX),
            Point::new(f64::MIN, f64::MIN),
        );
        for v in floor.vertices() {
            lo = Point::new(lo.x.min(v.at.x), lo.y.min(v.at.y));
            hi = Point::new(hi.x.max(v.at.x), hi.y.max(v.at.y));
        }
        if floor.vertices().is_empty() {
            (lo, hi) = (Point::default(), Point::default());
        }
        let area = (hi.x - lo.x).max(1e-9) * (hi.y - lo.y).max(1e-9);
        let size = size
            .max((area / (floor.triangles().len() + 1) as f64).sqrt())
            .max(1e-6);
        let columns = ((hi.x - lo.x) / size) as usize + 1;
        let rows = ((hi.y - lo.y) / size) as usize + 1;
        let mut out = Self {
            floor,
            sign,
            lo,
            size,
            columns,
            rows,
            start: vec![0; columns * rows + 1],
            triangles: Vec::new(),
            least: vec![f64::INFINITY; columns * rows],
        };
        let mut cells: Vec<(u32, u32)> = Vec::new();
        for t in 0..floor.triangles().len() as u32 {
            if !usable[t as usize] {
                continue;
            }
            let c = floor.corners(t);
            let low = c.iter().map(|v| sign * v.z).fold(f64::INFINITY, f64::min);
            let x = c.map(|v| v.at.x);
            let y = c.map(|v| v.at.y);
            let min = |v: [f64; 3]| v[0].min(v[1]).min(v[2]);
            let max = |v: [f64; 3]| v[0].max(v[1]).max(v[2]);
            out.cells(
                Point::new(min(x), min(y)),
                Point::new(max(x), max(y)),
                |b| {
                    cells.push((b as u32, t));
                },
            );
            for &(b, owner) in cells.iter().rev() {
                if owner != t {
                    break;
                }
                let least = &mut out.least[b as usize];
                *least = least.min(low);
            }
        }
        for &(b, _) in &cells {
            out.start[b as usize + 1] += 1;
        }
        for i in 1..out.start.len() {
            out.start[i] += out.start[i - 1];
        }
        let mut fill = out.start.clone();
        out.triangles = vec![0; cells.len()];
        for &(b, t) in &cells {
            out.triangles[fill[b as usize] as usize] = t;
            fill[b as usize] += 1;
        }
        out
    }

    fn cells(&self, lo: Point, hi: Point, mut f: impl FnMut(usize)) {
        let at = |v: f64, n: usize| ((v.max(0.0) / self.size) as usize).min(n - 1);
        for r in at(lo.y - self.lo.y, self.rows)..=at(hi.y - self.lo.y, self.rows) {
            for c in at(lo.x - self.lo.x, self.columns)..=at(hi.x - self.lo.x, self.columns) {
                f(r * self.columns + c);
            }
        }
    }

    /// A quick bound: highest end less the lowest of all buckets in reach.
    fn rough(&self, ends: &[(Point, f64); 2], reach: f64) -> f64 {
        let [a, b] = *ends;
        let lo = Point::new(a.0.x.min(b.0.x) - reach, a.0.y.min(b.0.y) - reach);
        let hi = Point::new(a.0.x.max(b.0.x) + reach, a.0.y.max(b.0.y) + reach);
        let mut least = f64::INFINITY;
        self.cells(lo, hi, |b| least = least.min(self.least[b]));
        (a.1.max(b.1) - least).max(0.0)
    }

    /// The lowest floor within `reach` of `p`, and where, with a plane of that slope through `p`
    /// taken off all heights.
    fn lowest(&self, p: Point, reach: f64, slope: Point) -> Option<(f64, Point)> {
        let mut best: Option<(f64, Point)> = None;
        let level = slope == Point::default();
        let box_lo = Point::new(p.x - reach, p.y - reach);
        let box_hi = Point::new(p.x + reach, p.y + reach);
        let r2 = reach * reach * (1.0 + 1e-12);
        self.cells(box_lo, box_hi, |b| {
            if level && best.is_some_and(|found| self.least[b] >= found.0) {
                return;
            }
            for &t in &self.triangles[self.start[b] as usize..self.start[b + 1] as usize] {
                let mut c = self.floor.corners(t);
                for v in &mut c {
                    v.z = self.sign * v.z - slope.dot(v.at - p);
                }
                if best.is_some_and(|found| c.iter().all(|v| v.z >= found.0)) {
                    continue;
                }
                let mut take = |z: f64, at: Point| {
                    if best.is_none_or(|b| z < b.0) {
                        best = Some((z, at));
                    }
                };
                let inside = c.map(|v| {
                    let d = v.at - p;
                    d.dot(d) <= r2
                });
                for i in 0..3 {
                    if inside[i] {
                        take(c[i].z, c[i].at);
                    }
                }
                if inside == [true; 3] {
                    continue;
                }
                for i in 0..3 {
                    let (a, b) = (c[i], c[(i + 1) % 3]);
                    let (d, f) = (b.at - a.at, a.at - p);
                    let (qa, qb, qc) = (d.dot(d), 2.0 * f.dot(d), f.dot(f) - reach * reach);
                    let disc = qb * qb - 4.0 * qa * qc;
                    if qa <= 0.0 || disc < 0.0 {
                        continue;
                    }
                    for s in [-1.0, 1.0] {
                        let share = (-qb + s * disc.sqrt()) / (2.0 * qa);
                        if (0.0..=1.0).contains(&share) {
                            take(a.z + (b.z - a.z) * share, a.at.lerp(b.at, share));
                        }
                    }
                }
                let g = self.floor.gradient(t) * self.sign - slope;
                let n = g.norm();
                if n > 0.0 && n.is_finite() {
                    let x = p - g * (reach / n);
                    let cross = |i: usize| (c[(i + 1) % 3].at - c[i].at).cross(x - c[i].at);
                    if (0..3).all(|i| cross(i) >= 0.0) {
                        take(c[0].z + g.dot(x - c[0].at), x);
                    }
                }
            }
        });
        best
    }
}
