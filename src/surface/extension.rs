//! Heights at walls and joints, carried out from the readings that can be seen from there.

use super::lines::Lines;
use super::readings::Used;
use super::sampling::spacing_near;
use crate::geometry::{Point, PointGrid, SAME_LINE_M};
use nalgebra::{Matrix2, Vector2};
use rayon::prelude::*;
use std::collections::HashMap;

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
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Carried {
    /// Elevation, metres.
    pub(super) z: f64,
    /// Reading spacing at the nearest reading, metres.
    pub(super) spacing: f64,
    /// The largest of how close readings stand round those that are near enough to carry a height here, metres.
    pub(super) close: f64,
    /// The readings it leans on, with their shares; the shares add up to 1.
    pub(super) leans: Vec<(u32, f64)>,
    /// By how much the floor may well stand off this, bent as it is nearby, metres.
    pub(super) bend_m: f64,
}

/// The plane of all readings, least squares: what is carried where the readings near a point tell no slope.
#[derive(Debug, Clone, Copy)]
pub(super) struct MeanPlane {
    at: Point,
    z: f64,
    slope: Point,
}

impl MeanPlane {
    /// Of readings on several plates: their common slope, each plate held against its own mean, since a step between two is no fall
    /// of either; in a direction of which no plate tells, that of all readings. `plates` names that of each reading; empty where
    /// there is only one.
    pub(super) fn within(at: &[Point], z: &[f64], plates: &[u32], reach: &[Point]) -> Self {
        let whole = Self::through(at, z, reach);
        if plates.windows(2).all(|p| p[0] == p[1]) {
            return whole;
        }
        let mut sums: HashMap<u32, (Point, f64, f64)> = HashMap::new();
        for ((&p, &z), &plate) in at.iter().zip(z).zip(plates) {
            let sum = sums.entry(plate).or_default();
            *sum = (sum.0 + p, sum.1 + z, sum.2 + 1.0);
        }
        let (mut own_at, mut own_z) = (Vec::new(), Vec::new());
        for ((&p, &z), plate) in at.iter().zip(z).zip(plates) {
            let (place, height, n) = sums[plate];
            // A reading by itself tells no slope.
            if n > 1.0 {
                own_at.push(p - place * (1.0 / n));
                own_z.push(z - height / n);
            }
        }
        let about: Vec<Point> = reach.iter().map(|&p| p - whole.at).collect();
        Self {
            slope: slope(&own_at, &own_z, &about, whole.slope),
            ..whole
        }
    }

    /// Through these places and heights. Where `reach` lies ten times as far across the row that they stand in as they
    /// scatter about it, what they tell of a fall across is chance: across it the plane is level.
    pub(super) fn through(at: &[Point], z: &[f64], reach: &[Point]) -> Self {
        let n = at.len().max(1) as f64;
        let mean = at.iter().fold(Point::default(), |s, &p| s + p) * (1.0 / n);
        let mean_z = z.iter().sum::<f64>() / n;
        let off: Vec<Point> = at.iter().map(|&p| p - mean).collect();
        let rise: Vec<f64> = z.iter().map(|z| z - mean_z).collect();
        let about: Vec<Point> = reach.iter().map(|&p| p - mean).collect();
        Self {
            at: mean,
            z: mean_z,
            slope: slope(&off, &rise, &about, Point::default()),
        }
    }

    /// Elevation at a place, metres.
    fn height(&self, p: Point) -> f64 {
        self.z + self.slope.dot(p - self.at)
    }
}

/// The least-squares slope of heights over places, both taken from their means. Where `reach` lies ten times as far in a direction
/// as the places scatter, what they tell of a fall that way is chance: that way it is `otherwise`.
fn slope(off: &[Point], rise: &[f64], reach: &[Point], otherwise: Point) -> Point {
    let mut spread = Matrix2::zeros();
    let mut sum = Vector2::zeros();
    for (p, z) in off.iter().zip(rise) {
        let v = Vector2::new(p.x, p.y);
        spread += v * v.transpose();
        sum += v * *z;
    }
    let axes = spread.symmetric_eigen();
    let slope = (0..2).fold(Vector2::zeros(), |slope, k| {
        let (axis, weight) = (axes.eigenvectors.column(k), axes.eigenvalues[k]);
        let along = |p: &Point| (axis[0] * p.x + axis[1] * p.y).abs();
        let farthest = reach.iter().map(along).fold(0.0, f64::max);
        let scatter = (weight.max(0.0) / off.len().max(1) as f64).sqrt();
        if scatter <= SAME_LINE_M || farthest > MOST_LEVERAGE * scatter {
            return slope + axis * (axis[0] * otherwise.x + axis[1] * otherwise.y);
        }
        slope + axis * (axis.dot(&sum) / weight)
    });
    Point::new(slope.x, slope.y)
}

/// The readings with what is known of them.
pub(super) struct Known<'a> {
    pub(super) lines: &'a Lines,
    pub(super) used: &'a [Used],
    pub(super) z: &'a [f64],
    pub(super) spacings: &'a [f64],
    /// By what the closest readings round each tell; see [`super::spacing::Spacings`].
    pub(super) close: &'a [f64],
    pub(super) grid: &'a PointGrid,
    pub(super) plane: MeanPlane,
    /// How far readings stand off the plane of their neighbourhood at nine in ten places of the floor, metres.
    pub(super) roughness_m: f64,
}

/// Share of the places of a floor that its roughness covers.
const ROUGH_SHARE: f64 = 0.9;
/// Readings looked at for the roughness of a floor.
const ROUGH_SAMPLES: usize = 20_000;
/// Fewest readings whose plane tells anything of how they bend.
const FEWEST_BENT: usize = 6;

impl Known<'_> {
    /// Height at a wall or joint point; `None` when no reading that can be seen is near enough.
    ///
    /// # Method
    /// Slope: least squares through the nearest readings in sight, weights `1 / (d² + h²/4)`. Where they
    /// stand nearly in line more are taken, and in a direction that stays unknown the slope is that of
    /// the plane of all readings, so that a tilt of the line comes out as that tilt. Height: the readings carried
    /// along that slope to the point, mean by weights `1 / d²`. Exact for a plane, and runs into a reading's
    /// own height as the point nears it.
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
        let square = |i: u32| {
            let along = sector.straight()?;
            Some(along.cross(self.used[i as usize].at - p).abs())
        };
        let reaches = |&(i, d): &(u32, f64)| {
            let h = self.spacings[i as usize];
            d <= CORNER_REACH * h && square(i).is_none_or(|s| s <= SQUARE_REACH * h)
        };
        let close = near
            .iter()
            .filter(|n| reaches(n))
            .map(|n| self.close[n.0 as usize])
            .reduce(f64::max)?;
        let wide = self.in_sight(sector, widest);
        let unevenness = self
            .unevenness(near)
            .max(self.unevenness(take(&wide, IN_WIDER_PLANE)) / FIVE_ROWS)
            .max(self.roughness_m);
        // Of several equally near the widest spacing counts.
        let h = take(&seen, 1)
            .iter()
            .map(|s| self.spacings[s.0 as usize])
            .fold(0.0, f64::max);
        // Between two readings along a wall nothing is carried out but square to it.
        let out = take(&seen, 1)
            .iter()
            .map(|&(i, d)| square(i).unwrap_or(d))
            .fold(f64::INFINITY, f64::min);
        let bend_m = unevenness * carried_bend(out, h);
        let mut leans: Vec<(u32, f64)> = Vec::with_capacity(IN_PLANE);
        let mut run = Point::default();
        let weights: f64 = near.iter().map(|&(_, d)| nearness(d)).sum();
        for &(i, d) in near {
            let share = nearness(d) / weights;
            leans.push((i, share));
            run = run + (p - self.used[i as usize].at) * share;
        }
        // What is carried is what stands off the mean plane.
        let tilt = match self.tilt(p, near, h, WIDEN_LEVERAGE, run) {
            Some(tilt) => tilt,
            None => {
                let wider = take(&wide, IN_WIDER_PLANE);
                self.tilt(p, wider, h, MOST_LEVERAGE, run)
                    .unwrap_or_default()
            }
        };
        for (i, share) in tilt {
            match leans.iter_mut().find(|l| l.0 == i) {
                Some(lean) => lean.1 += share,
                None => leans.push((i, share)),
            }
        }
        let off = |i: u32| self.z[i as usize] - self.plane.height(self.used[i as usize].at);
        Some(Carried {
            bend_m,
            z: self.plane.height(p) + leans.iter().map(|&(i, share)| share * off(i)).sum::<f64>(),
            spacing: h,
            close,
            leans,
        })
    }

    /// How far the nine readings round a reading stand off their plane, root mean square, at nine in ten of the readings:
    /// where a floor runs straight beside a joint it may yet bend as it does elsewhere. Metres.
    pub(super) fn roughness(&self) -> f64 {
        let mut order: Vec<usize> = (0..self.used.len()).collect();
        if order.len() > ROUGH_SAMPLES {
            // By place, so that the order of the rows decides nothing.
            let at = |i: usize| self.used[i].at;
            order.sort_by(|&a, &b| {
                let (a, b) = (at(a), at(b));
                a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y))
            });
        }
        let every = order.len().div_ceil(ROUGH_SAMPLES).max(1);
        let mut list: Vec<f64> = order
            .par_iter()
            .step_by(every)
            .filter_map(|&i| {
                let around = Sector {
                    at: self.used[i].at,
                    from: Point::default(),
                    to: Point::default(),
                    full: true,
                };
                let seen = self.in_sight(&around, 1.537 * self.spacings[i]);
                let near = take(&seen, IN_PLANE);
                (near.len() >= FEWEST_BENT).then(|| self.unevenness(near))
            })
            .collect();
        if list.is_empty() {
            return 0.0;
        }
        let k = ((list.len() as f64 * ROUGH_SHARE) as usize).min(list.len() - 1);
        *list.select_nth_unstable_by(k, f64::total_cmp).1
    }

    /// How far readings stand off their own least-squares plane, root mean square, metres.
    fn unevenness(&self, near: &[(u32, f64)]) -> f64 {
        let at: Vec<Point> = near.iter().map(|n| self.used[n.0 as usize].at).collect();
        let z: Vec<f64> = near.iter().map(|n| self.z[n.0 as usize]).collect();
        let plane = MeanPlane::through(&at, &z, &[]);
        let squares = at
            .iter()
            .zip(&z)
            .map(|(&p, z)| (z - plane.height(p)).powi(2));
        (squares.sum::<f64>() / near.len().max(1) as f64).sqrt()
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
                && seen.last().is_some_and(|l: &(u32, f64)| d > l.1 * AS_NEAR);
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

    /// What the slope of the local plane adds over a run, as a share of each reading's height; the shares
    /// add up to 0. `None` when the slope would have to be carried farther than `widen` times the
    /// spread of the readings in some direction.
    fn tilt(
        &self,
        p: Point,
        near: &[(u32, f64)],
        h: f64,
        widen: f64,
        run: Point,
    ) -> Option<Vec<(u32, f64)>> {
        let weight = |d: f64| 1.0 / (d * d + h * h / 4.0);
        let total: f64 = near.iter().map(|&(_, d)| weight(d)).sum();
        if total <= 0.0 {
            return None;
        }
        let from = |i: u32| self.used[i as usize].at - p;
        let mean = near.iter().fold(Point::default(), |m, &(i, d)| {
            m + from(i) * (weight(d) / total)
        });
        let mut spread = Matrix2::zeros();
        for &(i, d) in near {
            let q = from(i) - mean;
            let v = Vector2::new(q.x, q.y);
            spread += v * v.transpose() * (weight(d) / total);
        }
        let eigen = spread.symmetric_eigen();
        let mut along = Vector2::zeros();
        for k in 0..2 {
            let v = eigen.eigenvectors.column(k);
            let spread = eigen.eigenvalues[k].max(0.0).sqrt();
            let out = (mean.x * v[0] + mean.y * v[1]).abs();
            if out > widen * spread && widen < MOST_LEVERAGE {
                return None;
            }
            // A side to which the readings hardly spread tells nothing of the slope that way.
            if out <= MOST_LEVERAGE * spread && spread > 1e-9 {
                along += v * ((v[0] * run.x + v[1] * run.y) / eigen.eigenvalues[k]);
            }
        }
        let share = |i: u32, d: f64| {
            let q = from(i) - mean;
            weight(d) / total * (along[0] * q.x + along[1] * q.y)
        };
        Some(near.iter().map(|&(i, d)| (i, share(i, d))).collect())
    }
}

/// A floor that bends one way stands off the plane of five rows this many times as far as off that of three: rows at
/// `2, 1/2, 0, 1/2, 2` times `k h²` are `sqrt(7/10) k h²` off their level. Three rows may just lie where a wavy floor
/// runs straight; five do not.
const FIVE_ROWS: f64 = 3.549_647_869_859_77;

/// How far a floor that bends one way stands off what was carried out a distance `d` from readings `h` apart, as a
/// multiple of how far three rows of these readings stand off their plane.
///
/// A bend of `k` puts three rows at `k h²/2`, 0 and `k h²/2`: `sqrt(2)/6 k h²` off their level in the mean square. Beyond
/// the last row it leaves the plane through them, on which the slope of the middle is carried, by `k d (h + d/2)`.
fn carried_bend(d: f64, h: f64) -> f64 {
    if h <= 0.0 {
        return 0.0;
    }
    let x = d / h;
    6.0 / 2f64.sqrt() * x * (1.0 + x / 2.0)
}

/// Weight of a reading's height at distance `d`.
fn nearness(d: f64) -> f64 {
    1.0 / (d * d).max(1e-12)
}

/// Readings no farther than this many times a distance are as near as it: what a grid of 0.6 m has whose places were written
/// to a few millimetres, so that a turn or a mirror does not choose among its corners.
const AS_NEAR: f64 = 1.01;

/// The first `count`, and those as near as the last of them.
fn take(seen: &[(u32, f64)], count: usize) -> &[(u32, f64)] {
    if seen.len() <= count {
        return seen;
    }
    let limit = seen[count - 1].1 * AS_NEAR;
    let end = seen.partition_point(|s| s.1 <= limit);
    &seen[..end]
}
