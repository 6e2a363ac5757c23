//! Exact volume between the floor and a finish plane.

use super::prism::positive_part;
use super::result::{DepthBand, Fill, Known, Plane, PlaneRule};
use super::sum::Sum;
use crate::geometry::Point;
use crate::surface::{Cover, Floor, Source};
use rayon::prelude::*;

/// Depth bands a crew working in inches talks in: to 1/8, 1/4, 1/2, 1 in, and over (metres).
pub const BANDS_US_M: [f64; 4] = [0.003_175, 0.006_35, 0.012_7, 0.025_4];
/// Depth bands a crew working in millimetres talks in: to 3, 6, 12, 25 mm, and over (metres).
pub const BANDS_METRIC_M: [f64; 4] = [0.003, 0.006, 0.012, 0.025];

/// Volume, areas and depths between the floor and its finish plane.
///
/// # Units, datum, sign
/// `high_point_z_m` is the elevation of the high point, metres above the survey datum; the gauge
/// depth counts from it. `band_edges_m` are depths in metres: the bands run from 0 to the first,
/// between neighbours, and from the last on. Edges that are not finite, not positive or not rising
/// are left out.
/// # Method
/// Depth is linear on every triangle, so each triangle is a prism cut by the finish plane (see
/// [`positive_part`]); depth bands are differences of such cuts with the plane lowered. Sums carry
/// their rounding error. docs/methods.md, Fill.
/// # Edge cases
/// Floor exactly at the plane has no material: it counts as dry. A floor without triangles gives
/// zeros. Equal depths: the place named is the one that is known best, of those the one least in x, then in y.
/// # Accuracy
/// Exact for the triangulated floor up to rounding (relative 1e-12). The floor between readings is
/// assumed flat on each triangle; `diagonal_spread_m3` tells what the choice of diagonals is worth.
pub fn compute(floor: &Floor, high_point_z_m: f64, rule: &PlaneRule, band_edges_m: &[f64]) -> Fill {
    let plane = plane_of(floor, high_point_z_m, rule);
    let shape = tally(floor, &plane);
    let (down, up) = diagonal_change(floor, &plane);
    Fill {
        rule: rule.clone(),
        gauge_from: None,
        plane,
        gauge_depth_m: gauge_depth(floor, &plane, high_point_z_m),
        volume_m3: shape.volume_m3,
        diagonal_spread_m3: down + up,
        least_volume_m3: shape.volume_m3 - down,
        most_volume_m3: shape.volume_m3 + up,
        extended_volume_m3: shape.extended_volume_m3,
        wet_area_m2: shape.wet_area_m2,
        dry_area_m2: (shape.area_m2 - shape.wet_area_m2).max(0.0),
        above_area_m2: shape.above_area_m2,
        above_m3: shape.above_m3,
        highest_above_m: (-shape.least_m).max(0.0),
        mean_depth_m: if shape.wet_area_m2 > 0.0 {
            shape.volume_m3 / shape.wet_area_m2
        } else {
            0.0
        },
        deepest_m: shape.deepest_m,
        deepest_at: shape.deepest_at,
        deepest_on: shape.deepest_on,
        least_m: shape.least_m,
        least_at: shape.least_at,
        least_on: shape.least_on,
        bands: bands(floor, &plane, band_edges_m),
    }
}

/// The plane that a rule means on this floor.
pub fn plane_of(floor: &Floor, high_point_z_m: f64, rule: &PlaneRule) -> Plane {
    match rule {
        PlaneRule::OverHighPoint { gauge_m } => Plane::level(high_point_z_m + gauge_m),
        PlaneRule::AtLevel { elevation_m } => Plane::level(*elevation_m),
        PlaneRule::Fall { plane } => *plane,
        PlaneRule::LeastFill => super::tilt::least_fill(floor),
    }
}

/// Depth over the high point; on a tilted plane, over the highest corner of the mesh.
fn gauge_depth(floor: &Floor, plane: &Plane, high_point_z_m: f64) -> f64 {
    if plane.is_level() {
        return plane.z0 - high_point_z_m;
    }
    floor
        .vertices()
        .iter()
        .max_by(|a, b| {
            (a.z.total_cmp(&b.z))
                .then(b.at.x.total_cmp(&a.at.x))
                .then(b.at.y.total_cmp(&a.at.y))
        })
        .map_or(0.0, |v| plane.at(v.at) - high_point_z_m.max(v.z))
}

/// Sums over all triangles for one plane.
pub(crate) struct Tally {
    pub(crate) area_m2: f64,
    pub(crate) volume_m3: f64,
    pub(crate) extended_volume_m3: f64,
    pub(crate) wet_area_m2: f64,
    pub(crate) above_area_m2: f64,
    pub(crate) above_m3: f64,
    pub(crate) deepest_m: f64,
    pub(crate) deepest_at: Point,
    pub(crate) deepest_on: Known,
    pub(crate) least_m: f64,
    pub(crate) least_at: Point,
    pub(crate) least_on: Known,
}

/// Depths of a triangle's corners under a plane, metres; negative where the floor stands higher.
pub(crate) fn depths(floor: &Floor, t: u32, plane: &Plane) -> [f64; 3] {
    floor.corners(t).map(|v| plane.at(v.at) - v.z)
}

pub(crate) fn tally(floor: &Floor, plane: &Plane) -> Tally {
    let parts: Vec<Part> = floor
        .triangles()
        .par_chunks(RUN)
        .enumerate()
        .map(|(run, triangles)| {
            let mut part = Part::default();
            for t in (run * RUN..).take(triangles.len()) {
                part.add(floor, t as u32, plane);
            }
            part
        })
        .collect();
    let all = parts.into_iter().fold(Part::default(), Part::joined);
    let deepest = all.deepest.unwrap_or_default();
    let least = all.least.unwrap_or_default();
    Tally {
        area_m2: all.area.value(),
        volume_m3: all.volume.value(),
        extended_volume_m3: all.extended.value(),
        wet_area_m2: all.wet.value(),
        above_area_m2: all.above_area.value(),
        above_m3: all.above.value(),
        deepest_m: deepest.depth_m.max(0.0),
        deepest_at: deepest.at,
        deepest_on: known_at(floor, deepest),
        least_m: least.depth_m,
        least_at: least.at,
        least_on: known_at(floor, least),
    }
}

/// Marks this near to each other are one place, metres.
const SAME_PLACE_M: f64 = 1e-3;

/// How the depth at an extreme is known: a corner at a wall beside a reading is as well known as the reading.
fn known_at(floor: &Floor, extreme: Extreme) -> Known {
    if extreme.on != Known::Extended {
        return extreme.on;
    }
    let read = floor.vertices().iter().any(|v| {
        matches!(v.source, Source::Reading(_)) && v.at.distance(extreme.at) <= SAME_PLACE_M
    });
    if read { Known::Reading } else { extreme.on }
}

/// Depth at a corner of the mesh.
#[derive(Debug, Clone, Copy, Default)]
struct Extreme {
    depth_m: f64,
    at: Point,
    on: Known,
}

/// A tally of some of the triangles.
#[derive(Default)]
struct Part {
    area: Sum,
    volume: Sum,
    extended: Sum,
    wet: Sum,
    above_area: Sum,
    above: Sum,
    deepest: Option<Extreme>,
    least: Option<Extreme>,
}

impl Part {
    fn add(&mut self, floor: &Floor, t: u32, plane: &Plane) {
        let area = floor.triangle_area(t);
        let d = depths(floor, t, plane);
        let below = positive_part(area, d);
        let over = positive_part(area, d.map(|v| -v));
        self.area.add(area);
        self.wet.add(below.area_m2);
        self.volume.add(below.volume_m3);
        self.above_area.add(over.area_m2);
        self.above.add(over.volume_m3);
        let cover = floor.cover(t);
        if cover == Cover::Extended {
            self.extended.add(below.volume_m3);
        }
        for (corner, depth_m) in floor.corners(t).into_iter().zip(d) {
            let corner = Extreme {
                depth_m,
                at: corner.at,
                on: match (corner.source, cover) {
                    (Source::Reading(_), _) => Known::Reading,
                    (_, Cover::Extended) => Known::Extended,
                    _ => Known::Between,
                },
            };
            self.deepest = Some(keep(self.deepest, corner, depth_rises));
            self.least = Some(keep(self.least, corner, depth_falls));
        }
    }

    fn joined(self, other: Self) -> Self {
        let further = |old, new: Option<_>, order| match new {
            Some(new) => Some(keep(old, new, order)),
            None => old,
        };
        Self {
            area: self.area.plus(other.area),
            volume: self.volume.plus(other.volume),
            extended: self.extended.plus(other.extended),
            wet: self.wet.plus(other.wet),
            above_area: self.above_area.plus(other.above_area),
            above: self.above.plus(other.above),
            deepest: further(self.deepest, other.deepest, depth_rises),
            least: further(self.least, other.least, depth_falls),
        }
    }
}

fn depth_rises(new: f64, old: f64) -> std::cmp::Ordering {
    new.total_cmp(&old)
}

fn depth_falls(new: f64, old: f64) -> std::cmp::Ordering {
    old.total_cmp(&new)
}

/// A depth without the rounding of its arithmetic: a tenth of a micrometre decides nothing.
fn told(depth_m: f64) -> f64 {
    (depth_m * 1e7).round()
}

/// The more extreme of two depths; of equal ones the better known, then the place least in x, then in y, so
/// that the order of the triangles does not matter.
fn keep(old: Option<Extreme>, new: Extreme, order: fn(f64, f64) -> std::cmp::Ordering) -> Extreme {
    let Some(old) = old else { return new };
    let place = |p: Point, q: Point| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y));
    let better = order(told(new.depth_m), told(old.depth_m))
        .then(old.on.cmp(&new.on))
        .then(place(old.at, new.at));
    match better {
        std::cmp::Ordering::Greater => new,
        _ => old,
    }
}

/// Triangles that one thread sums at a time. Fixed, so that the sums do not depend on the threads.
const RUN: usize = 8_192;

/// Area and volume over all triangles with the plane lowered by `lower_m`.
pub(crate) fn cut_at(floor: &Floor, plane: &Plane, lower_m: f64) -> (f64, f64) {
    let parts: Vec<(Sum, Sum)> = floor
        .triangles()
        .par_chunks(RUN)
        .enumerate()
        .map(|(run, triangles)| {
            let (mut area, mut volume) = (Sum::default(), Sum::default());
            for t in (run * RUN..).take(triangles.len()) {
                let t = t as u32;
                let d = depths(floor, t, plane).map(|v| v - lower_m);
                let cut = positive_part(floor.triangle_area(t), d);
                area.add(cut.area_m2);
                volume.add(cut.volume_m3);
            }
            (area, volume)
        })
        .collect();
    let (area, volume) = parts.into_iter().fold(
        (Sum::default(), Sum::default()),
        |(a, v), (area, volume)| (a.plus(area), v.plus(volume)),
    );
    (area.value(), volume.value())
}

/// So little floor is a rounding of sums, square metres.
const NO_AREA_M2: f64 = 1e-9;

/// Plan area and material of every depth band, over the whole floor.
///
/// A depth exactly on an edge belongs to the shallower band.
pub fn bands(floor: &Floor, plane: &Plane, edges_m: &[f64]) -> Vec<DepthBand> {
    let mut edges = vec![0.0];
    for &edge in edges_m {
        if edge.is_finite() && edges.last().is_some_and(|&last| edge > last) {
            edges.push(edge);
        }
    }
    // Material standing over the part deeper than the edge: what lies below the edge too.
    let over: Vec<(f64, f64)> = edges
        .iter()
        .map(|&edge| {
            let (area, volume) = cut_at(floor, plane, edge);
            (area, volume + edge * area)
        })
        .collect();
    (0..edges.len())
        .map(|i| {
            let (area, volume) = over[i];
            let (next_area, next_volume) = over.get(i + 1).copied().unwrap_or_default();
            // What rounding leaves of the difference of two sums is no floor, and holds nothing.
            let empty = area - next_area <= NO_AREA_M2;
            DepthBand {
                from_m: edges[i],
                to_m: edges.get(i + 1).copied(),
                area_m2: if empty { 0.0 } else { area - next_area },
                volume_m3: if empty {
                    0.0
                } else {
                    (volume - next_volume).max(0.0)
                },
            }
        })
        .collect()
}

/// What the other diagonal of every ambiguous square would take away and add, cubic metres, both
/// as positive numbers.
fn diagonal_change(floor: &Floor, plane: &Plane) -> (f64, f64) {
    let (mut down, mut up) = (Sum::default(), Sum::default());
    for square in floor.ambiguous() {
        let corners = square.corners.map(|v| floor.vertices()[v as usize]);
        let fill = |a: usize, b: usize, c: usize| {
            let (p, q, r) = (corners[a], corners[b], corners[c]);
            let area = (q.at - p.at).cross(r.at - p.at) / 2.0;
            positive_part(area, [p, q, r].map(|v| plane.at(v.at) - v.z)).volume_m3
        };
        let now = fill(0, 1, 2) + fill(0, 2, 3);
        let other = fill(0, 1, 3) + fill(1, 2, 3);
        if other < now {
            down.add(now - other);
        } else {
            up.add(other - now);
        }
    }
    (down.value(), up.value())
}
