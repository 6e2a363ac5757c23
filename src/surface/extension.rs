//! Heights at walls and joints, carried out from the readings that can be seen from there.

use super::lines::Lines;
use super::readings::Used;
use super::sampling::spacing_near;
use crate::geometry::{Point, PointGrid};
use nalgebra::{Matrix2, Vector2};

/// The part of the floor round one wall or joint point, between two lines.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sector {
    /// Where the point lies.
    pub(super) at: Point,
    /// Direction of the line on its right, looking out from the point; the floor turns counter-clockwise
    /// from here to `to`.
    pub(super) from: Point,
    /// Direction of the line on its left.
    pub(super) to: Point,
    /// The two are one and the same line: the end of a joint within the floor.
    pub(super) full: bool,
}

impl Sector {
    /// Whether a point lies in the sector, its lines included.
    fn holds(&self, p: Point) -> bool {
        if self.full {
            return true;
        }
        let d = p - self.at;
        let hair = 1e-6 * d.norm();
        let left_of_from = self.from.cross(d) >= -hair * self.from.norm();
        let right_of_to = d.cross(self.to) >= -hair * self.to.norm();
        if self.from.cross(self.to) >= 0.0 {
            left_of_from && right_of_to
        } else {
            left_of_from || right_of_to
        }
    }

    /// The direction of the wall where it runs straight on; `None` at a corner.
    fn straight(&self) -> Option<Point> {
        let (f, t) = (self.from, self.to);
        let size = f.norm() * t.norm();
        (!self.full && f.dot(t) < 0.0 && f.cross(t).abs() < 0.1 * size)
            .then(|| f * (1.0 / f.norm()))
    }
}

/// How far a height may be carried square to a wall, in reading spacings; a little over one, so that
/// rounding and a hand-held tape do not decide.
const SQUARE_REACH: f64 = 1.05;
/// The same in any direction: across the corner of a square of the grid.
const CORNER_REACH: f64 = 1.45;
/// How far readings for the local plane are looked for, in spacings. An odd number, so that a regular grid
/// does not fall on it.
const WIDEST: f64 = 5.137;
/// Readings in the local plane; equally near ones beyond this count are taken too, so that the
/// choice does not depend on their order.
const IN_PLANE: usize = 9;
/// Readings in the plane when nine stand nearly in line.
const IN_WIDER_PLANE: usize = 25;

/// A slope is carried out at most this many times the spread (root mean square) of the readings it comes
/// from: a reading's own error grows about as many times. Beyond, that direction gets no slope.
const MOST_LEVERAGE: f64 = 10.0;
/// Beyond this leverage more readings are taken into the plane.
const WIDEN_LEVERAGE: f64 = 3.0;

/// What was carried to a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Carried {
    /// Elevation, metres.
    pub(super) z: f64,
    /// Reading spacing at the nearest reading, metres.
    pub(super) spacing: f64,
}

/// The readings with what is known of them.
pub(super) struct Known<'a> {
    pub(super) lines: &'a Lines,
    pub(super) used: &'a [Used],
    pub(super) z: &'a [f64],
    pub(super) spacings: &'a [f64],
    pub(super) grid: &'a PointGrid,
}

impl Known<'_> {
    /// Height at a wall or joint point; `None` when no reading that can be seen is near enough.
    ///
    /// # Method
    /// Slope: least squares through the nearest readings in sight, weights `1 / (d² + h²/4)`. Where they
    /// stand nearly in line more are taken, and a direction that stays unknown gets no slope (least
    /// norm). Height: the readings carried along that slope to the point, mean by weights `1 / d²`. Exact for
    /// a plane, and runs into a reading's own height as the point nears it.
    pub(super) fn carry(&self, sector: &Sector) -> Option<Carried> {
        let p = sector.at;
        let (h0, d0) = spacing_near(self.grid, self.spacings, p)?;
        if d0 > 4.0 * CORNER_REACH * h0 {
            return None;
        }
        let widest = WIDEST * h0.max(d0);
        let mut reach = 1.537 * h0.max(d0);
        let mut seen = self.in_sight(sector, reach);
        // Grown by half until there are enough; from 1.5 to about 5 is three steps.
        while reach < widest && take(&seen, IN_PLANE).len() < IN_PLANE {
            reach = (reach * 1.493).min(widest);
            seen = self.in_sight(sector, reach);
        }
        let near = take(&seen, IN_PLANE);
        // One reading near enough will do, whichever of them it is.
        let reaches = |&(i, d): &(u32, f64)| {
            let h = self.spacings[i as usize];
            let square = sector
                .straight()
                .map_or(0.0, |along| along.cross(self.used[i as usize].at - p).abs());
            d <= CORNER_REACH * h && square <= SQUARE_REACH * h
        };
        if !near.iter().any(reaches) {
            return None;
        }
        // Of several equally near the widest spacing counts.
        let h = take(&seen, 1)
            .iter()
            .map(|s| self.spacings[s.0 as usize])
            .fold(0.0, f64::max);
        let slope = match self.slope(p, near, h, WIDEN_LEVERAGE) {
            Some(slope) => slope,
            None => {
                if seen.len() < IN_WIDER_PLANE {
                    seen = self.in_sight(sector, widest);
                }
                let wider = take(&seen, IN_WIDER_PLANE);
                self.slope(p, wider, h, MOST_LEVERAGE).unwrap_or_default()
            }
        };
        let near = take(&seen, IN_PLANE);
        let (mut sum, mut weights) = (0.0, 0.0);
        for &(i, d) in near {
            let w = 1.0 / (d * d).max(1e-12);
            sum += w * (self.z[i as usize] + slope.dot(p - self.used[i as usize].at));
            weights += w;
        }
        Some(Carried {
            z: sum / weights,
            spacing: h,
        })
    }

    /// Readings in sight within a distance, nearest first.
    fn in_sight(&self, sector: &Sector, reach: f64) -> Vec<(u32, f64)> {
        let p = sector.at;
        let r = Point::new(reach, reach);
        let mut near: Vec<(u32, f64)> = self
            .grid
            .in_box(p - r, p + r)
            .map(|i| (i, self.used[i as usize].at.distance(p)))
            .filter(|&(_, d)| d <= reach)
            .collect();
        near.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        // Looking past walls costs time; a plane needs a few dozen at most.
        let mut seen = Vec::new();
        for (i, d) in near {
            let enough = seen.len() > IN_WIDER_PLANE
                && seen
                    .last()
                    .is_some_and(|l: &(u32, f64)| d > l.1 * (1.0 + 1e-6));
            if enough {
                break;
            }
            let at = self.used[i as usize].at;
            if sector.holds(at) && self.lines.sees(p, at) {
                seen.push((i, d));
            }
        }
        seen
    }

    /// Slope of the local plane. `None` when it would have to be carried farther than `widen` times the
    /// spread of the readings in some direction.
    fn slope(&self, p: Point, near: &[(u32, f64)], h: f64, widen: f64) -> Option<Point> {
        let mut total = 0.0;
        let (mut mean, mut mean_z) = (Point::default(), 0.0);
        let weight = |d: f64| 1.0 / (d * d + h * h / 4.0);
        for &(i, d) in near {
            let w = weight(d);
            total += w;
            mean = mean + (self.used[i as usize].at - p) * w;
            mean_z += self.z[i as usize] * w;
        }
        if total <= 0.0 {
            return None;
        }
        (mean, mean_z) = (mean * (1.0 / total), mean_z / total);
        let mut spread = Matrix2::zeros();
        let mut rise = Vector2::zeros();
        for &(i, d) in near {
            let w = weight(d) / total;
            let q = self.used[i as usize].at - p - mean;
            let v = Vector2::new(q.x, q.y);
            spread += v * v.transpose() * w;
            rise += v * (w * (self.z[i as usize] - mean_z));
        }
        let eigen = spread.symmetric_eigen();
        let mut slope = Vector2::zeros();
        for k in 0..2 {
            let v = eigen.eigenvectors.column(k);
            let spread = eigen.eigenvalues[k].max(0.0).sqrt();
            let out = (mean.x * v[0] + mean.y * v[1]).abs();
            if out > widen * spread && widen < MOST_LEVERAGE {
                return None;
            }
            // A side to which the readings hardly spread tells nothing of the slope that way.
            if out <= MOST_LEVERAGE * spread && spread > 1e-9 {
                slope += v * (v.dot(&rise) / eigen.eigenvalues[k]);
            }
        }
        Some(Point::new(slope.x, slope.y))
    }
}

/// The first `count`, and those as near as the last of them.
fn take(seen: &[(u32, f64)], count: usize) -> &[(u32, f64)] {
    if seen.len() <= count {
        return seen;
    }
    let limit = seen[count - 1].1 * (1.0 + 1e-6);
    let end = seen.partition_point(|s| s.1 <= limit);
    &seen[..end]
}
