//! The floor in tiles: over each square tile a plane that no part of the floor in it rises above.
//!
//! A wide sheaf of chords is bounded over tiles in place of triangles: on a dense scan that is
//! hundreds of times less to look at. Tiles know no walls, so what they prove holds the more with
//! walls in the way.

use super::net::Net;
use super::side::{Frame, Piece, Side};

/// Tiles of one size.
struct Level {
    lo: [f64; 2],
    size: f64,
    columns: usize,
    rows: usize,
    tiles: Vec<Tile>,
}

/// The plane over one tile: height at the tile's middle, and slope. A tile without floor has its
/// plane at minus infinity.
#[derive(Clone, Copy)]
struct Tile {
    top: f64,
    slope: [f64; 2],
}

const BARE: Tile = Tile {
    top: f64::NEG_INFINITY,
    slope: [0.0; 2],
};

/// Tiles of the floor in several sizes, each twice the one before.
pub(super) struct Tiles {
    levels: Vec<Level>,
}

/// Floors with fewer corners are searched triangle by triangle from the start.
const WORTH_IT: usize = 2000;

/// Corners to a tile of the smallest size, about.
const CORNERS: f64 = 4.0;

/// More tiles than this are never laid.
const MOST: f64 = 4e6;

impl Tiles {
    /// Lay tiles over the solid triangles.
    pub fn new(net: &Net) -> Self {
        let mut out = Self { levels: Vec::new() };
        let used = (0..net.at.len() as u32).filter(|&v| net.used(v)).count();
        if used < WORTH_IT {
            return out;
        }
        let area: f64 = (0..net.tri.len())
            .filter(|&t| net.solid[t])
            .map(|t| net.area(t))
            .sum();
        let size = (area / used as f64 * CORNERS).sqrt();
        let Some(first) = Level::first(net, size) else {
            return out;
        };
        out.levels.push(first);
        while let Some(last) = out.levels.last()
            && last.columns.max(last.rows) > 8
        {
            out.levels.push(last.coarser());
        }
        out
    }

    /// The level whose tiles are at most `size` wide and wide enough to be worth it.
    pub fn level(&self, size: f64) -> Option<usize> {
        self.levels.iter().rposition(|l| l.size <= size)
    }

    /// Add the floor of one side of a sheaf, tile by tile; returns its steepest rise.
    pub fn gather(
        &self,
        level: usize,
        frame: &Frame,
        side: &Side,
        least: f64,
        out: &mut Vec<Piece>,
    ) -> f64 {
        out.clear();
        let level = &self.levels[level];
        let half = level.size / 2.0;
        let across = [-side.axis[1], side.axis[0]];
        let reach = half * (side.axis[0].abs() + side.axis[1].abs());
        let corners = side.corners(frame);
        let mut most = f64::NEG_INFINITY;
        let (y0, y1) = corners
            .iter()
            .fold((f64::MAX, f64::MIN), |(a, b), c| (a.min(c[1]), b.max(c[1])));
        let end = side.far + side.reach;
        for row in level.row(y0)..=level.row(y1) {
            let bottom = level.lo[1] + row as f64 * level.size;
            let Some((x0, x1)) = strip(&corners, bottom, bottom + level.size) else {
                continue;
            };
            for column in level.column(x0)..=level.column(x1) {
                let tile = &level.tiles[row * level.columns + column];
                if tile.top == f64::NEG_INFINITY {
                    continue;
                }
                let v = [
                    level.lo[0] + column as f64 * level.size + half - frame.middle[0],
                    bottom + half - frame.middle[1],
                ];
                let x = side.axis[0] * v[0] + side.axis[1] * v[1];
                let (from, to) = ((x - reach).max(side.near), (x + reach).min(end));
                if from > to {
                    continue;
                }
                let slope = [
                    tile.slope[0] - frame.slope[0],
                    tile.slope[1] - frame.slope[1],
                ];
                let run = slope[0] * side.axis[0] + slope[1] * side.axis[1];
                let over = slope[0] * across[0] + slope[1] * across[1];
                let r = tile.top - frame.slope[0] * v[0] - frame.slope[1] * v[1] - frame.zero
                    + over.abs() * reach;
                let (r0, r1) = (r + run * (from - x), r + run * (to - x));
                let piece = side.piece(from, to, r0, r1);
                let k = side.steepest(&piece, end);
                if k >= least {
                    out.push(piece);
                    most = most.max(k);
                }
            }
        }
        most
    }
}

/// Extent in x of a convex polygon between two heights of y; `None` where it is not.
fn strip(corners: &[[f64; 2]; 4], y0: f64, y1: f64) -> Option<(f64, f64)> {
    let (mut lo, mut hi) = (f64::MAX, f64::MIN);
    for i in 0..4 {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        let (a, b) = if a[1] <= b[1] { (a, b) } else { (b, a) };
        if b[1] < y0 || a[1] > y1 {
            continue;
        }
        let at = |y: f64| {
            let rise = b[1] - a[1];
            if rise <= 0.0 {
                return a[0];
            }
            a[0] + (b[0] - a[0]) * ((y - a[1]) / rise).clamp(0.0, 1.0)
        };
        let ends = if b[1] - a[1] > 0.0 {
            [at(y0.max(a[1])), at(y1.min(b[1]))]
        } else {
            [a[0], b[0]]
        };
        for x in ends {
            lo = lo.min(x);
            hi = hi.max(x);
        }
    }
    (lo <= hi).then_some((lo, hi))
}

impl Level {
    fn row(&self, y: f64) -> usize {
        (((y - self.lo[1]) / self.size).max(0.0) as usize).min(self.rows - 1)
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.lo[0]) / self.size).max(0.0) as usize).min(self.columns - 1)
    }

    fn first(net: &Net, size: f64) -> Option<Self> {
        let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
        for v in (0..net.at.len() as u32).filter(|&v| net.used(v)) {
            let p = net.at[v as usize];
            for i in 0..2 {
                lo[i] = lo[i].min(p[i]);
                hi[i] = hi[i].max(p[i]);
            }
        }
        if lo[0] > hi[0] || size.is_nan() || size <= 0.0 {
            return None;
        }
        let (wide, high) = ((hi[0] - lo[0]) / size, (hi[1] - lo[1]) / size);
        if (wide + 1.0) * (high + 1.0) > MOST {
            return None;
        }
        let (columns, rows) = (wide as usize + 1, high as usize + 1);
        let mut level = Self {
            lo,
            size,
            columns,
            rows,
            tiles: vec![BARE; columns * rows],
        };
        level.tilt(net);
        for (t, tri) in net.tri.iter().enumerate() {
            if net.solid[t] {
                level.cover(tri.map(|v| net.at[v as usize]));
            }
        }
        Some(level)
    }

    fn middle(&self, row: usize, column: usize) -> [f64; 2] {
        [
            self.lo[0] + (column as f64 + 0.5) * self.size,
            self.lo[1] + (row as f64 + 0.5) * self.size,
        ]
    }

    /// Give each tile the mean slope of the floor around it. Any slope keeps the bound true.
    fn tilt(&mut self, net: &Net) {
        let around = super::group::Buckets::new(net, self.size);
        for row in 0..self.rows {
            for column in 0..self.columns {
                let middle = self.middle(row, column);
                self.tiles[row * self.columns + column].slope = around.slope(middle);
            }
        }
    }

    /// Raise the planes of the tiles that a triangle touches over its part in each.
    fn cover(&mut self, corners: [[f64; 3]; 3]) {
        let span = |axis: usize| {
            let c = corners.map(|c| c[axis]);
            (c[0].min(c[1]).min(c[2]), c[0].max(c[1]).max(c[2]))
        };
        let (y0, y1) = span(1);
        let (x0, x1) = span(0);
        let (r0, r1) = (self.row(y0), self.row(y1));
        if r0 == r1 && self.column(x0) == self.column(x1) {
            self.raise(r0, self.column(x0), &corners);
            return;
        }
        let mut strip = Vec::with_capacity(8);
        let mut part = Vec::with_capacity(8);
        let mut spare = Vec::with_capacity(8);
        for row in r0..=r1 {
            let bottom = self.lo[1] + row as f64 * self.size;
            keep_between(
                &corners,
                1,
                bottom,
                bottom + self.size,
                &mut spare,
                &mut strip,
            );
            let (a, b) = strip
                .iter()
                .fold((f64::MAX, f64::MIN), |(a, b), c| (a.min(c[0]), b.max(c[0])));
            if a > b {
                continue;
            }
            for column in self.column(a)..=self.column(b) {
                let left = self.lo[0] + column as f64 * self.size;
                keep_between(&strip, 0, left, left + self.size, &mut spare, &mut part);
                self.raise(row, column, &part);
            }
        }
    }

    fn raise(&mut self, row: usize, column: usize, part: &[[f64; 3]]) {
        let m = self.middle(row, column);
        let tile = &mut self.tiles[row * self.columns + column];
        for p in part {
            let over = p[2] - tile.slope[0] * (p[0] - m[0]) - tile.slope[1] * (p[1] - m[1]);
            tile.top = tile.top.max(over);
        }
    }

    fn coarser(&self) -> Self {
        let (columns, rows) = (self.columns.div_ceil(2), self.rows.div_ceil(2));
        let mut out = Self {
            lo: self.lo,
            size: self.size * 2.0,
            columns,
            rows,
            tiles: vec![BARE; columns * rows],
        };
        for row in 0..rows {
            for column in 0..columns {
                out.tiles[row * columns + column] = self.joined(&out, row, column);
            }
        }
        out
    }

    /// One plane over the four tiles that make up a tile of the next size.
    fn joined(&self, coarse: &Self, row: usize, column: usize) -> Tile {
        let m = coarse.middle(row, column);
        let four = [(0, 0), (0, 1), (1, 0), (1, 1)]
            .map(|(r, c)| (2 * row + r, 2 * column + c))
            .map(|(r, c)| {
                (r < self.rows && c < self.columns)
                    .then(|| (self.middle(r, c), self.tiles[r * self.columns + c]))
                    .filter(|t| t.1.top > f64::NEG_INFINITY)
            });
        let mut slope = [0.0; 2];
        let mut n = 0.0;
        for (_, t) in four.iter().flatten() {
            slope = [slope[0] + t.slope[0], slope[1] + t.slope[1]];
            n += 1.0;
        }
        if n == 0.0 {
            return BARE;
        }
        let slope = slope.map(|s| s / n);
        let half = self.size / 2.0;
        let mut top = f64::NEG_INFINITY;
        for (p, t) in four.iter().flatten() {
            let level = t.top - slope[0] * (p[0] - m[0]) - slope[1] * (p[1] - m[1]);
            let tilt = (t.slope[0] - slope[0]).abs() + (t.slope[1] - slope[1]).abs();
            top = top.max(level + half * tilt);
        }
        Tile { top, slope }
    }
}

/// The part of a convex polygon between two values of one axis.
fn keep_between(
    polygon: &[[f64; 3]],
    axis: usize,
    lo: f64,
    hi: f64,
    spare: &mut Vec<[f64; 3]>,
    out: &mut Vec<[f64; 3]>,
) {
    let cut = |from: &[[f64; 3]], to: &mut Vec<[f64; 3]>, inside: &dyn Fn(f64) -> f64| {
        to.clear();
        for (i, a) in from.iter().enumerate() {
            let b = &from[(i + 1) % from.len()];
            let (u, v) = (inside(a[axis]), inside(b[axis]));
            if u >= 0.0 {
                to.push(*a);
            }
            if (u >= 0.0) != (v >= 0.0) {
                let t = u / (u - v);
                to.push([0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * t));
            }
        }
    };
    // A hair wider than the tile, so that rounding leaves no strip of floor to neither neighbour.
    let slack = 1e-9;
    cut(polygon, spare, &|x| x - lo + slack);
    cut(spare, out, &|x| hi + slack - x);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flatness::{Departure, Joints};
    use crate::geometry::{Point, Region, Ring};
    use crate::surface::{Floor, Source, Vertex};

    // ORACLE: closed form. A square of side 2 cut to 0.5 <= x <= 1.25.
    #[test]
    fn a_square_is_cut_to_a_strip() {
        let square = [
            [0.0, 0.0, 0.0],
            [2.0, 0.0, 2.0],
            [2.0, 2.0, 2.0],
            [0.0, 2.0, 0.0],
        ];
        let (mut spare, mut out) = (Vec::new(), Vec::new());
        keep_between(&square, 0, 0.5, 1.25, &mut spare, &mut out);
        let (lo, hi) = out
            .iter()
            .fold((f64::MAX, f64::MIN), |(a, b), p| (a.min(p[0]), b.max(p[0])));
        assert!((lo - 0.5).abs() < 1e-8 && (hi - 1.25).abs() < 1e-8);
        // Height goes with x.
        assert!(out.iter().all(|p| (p[2] - p[0]).abs() < 1e-9));
    }

    // ORACLE: property. The plane over a tile is nowhere under the floor in it, at every size.
    #[test]
    fn no_floor_stands_above_its_tile() {
        let n = 60;
        let points: Vec<Point> = (0..n * n)
            .map(|k| Point::new(f64::from(k % n) * 0.11, f64::from(k / n) * 0.07))
            .collect();
        let height = |k: usize| 0.01 * ((k * k % 101) as f64 / 101.0) + 0.02 * points[k].x;
        let vertices = points
            .iter()
            .enumerate()
            .map(|(k, &at)| Vertex {
                at,
                z: height(k),
                source: Source::Reading(k as u32),
            })
            .collect();
        let triangles = (0..(n - 1) * (n - 1))
            .map(|k| k / (n - 1) * n + k % (n - 1))
            .flat_map(|a| [[a, a + 1, a + n + 1], [a, a + n + 1, a + n]])
            .collect();
        let last = n * n - 1;
        let outline = [0, n - 1, last, last + 1 - n].map(|k| points[k as usize]);
        let region = Region {
            outline: Ring::new(outline.to_vec()),
            voids: vec![],
        };
        let floor = Floor::from_parts(vertices, triangles, region).unwrap();
        let usable = vec![true; floor.triangles().len()];
        let net = Net::new(&floor, Departure::Dip, &usable, Joints::Cross);
        let tiles = Tiles::new(&net);
        assert!(tiles.levels.len() > 1);
        for level in &tiles.levels {
            for tri in &net.tri {
                let [a, b, c] = tri.map(|v| net.at[v as usize]);
                for i in 0..=6 {
                    for j in 0..=6 - i {
                        let (u, v) = (f64::from(i) / 6.0, f64::from(j) / 6.0);
                        let p = [0, 1, 2].map(|k| a[k] + u * (b[k] - a[k]) + v * (c[k] - a[k]));
                        let (row, column) = (level.row(p[1]), level.column(p[0]));
                        let (m, t) = (
                            level.middle(row, column),
                            level.tiles[row * level.columns + column],
                        );
                        let over =
                            t.top + t.slope[0] * (p[0] - m[0]) + t.slope[1] * (p[1] - m[1]) - p[2];
                        assert!(over > -1e-12, "{over} at {p:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_strip_of_a_trapezium() {
        let corners = [[0.0, 0.0], [4.0, 0.0], [3.0, 2.0], [1.0, 2.0]];
        assert_eq!(strip(&corners, 1.0, 1.0), Some((0.5, 3.5)));
        assert_eq!(strip(&corners, -1.0, 3.0), Some((0.0, 4.0)));
        assert_eq!(strip(&corners, 2.5, 3.0), None);
    }
}
