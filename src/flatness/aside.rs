//! The strip along walls, voids and columns that carries no reading and is left aside.

use crate::geometry::{BoxGrid, Point, PointGrid, Segment, bounds};
use crate::surface::{Beyond, Floor, Source};

/// The strip is never wider than this, metres: 2 ft, as ASTM E1155 and ACI 117 leave it.
const WIDEST_M: f64 = 0.6096;
/// Pieces of floor are halved until they are this share of the strip's width across; in these the distance to
/// the wall is taken as linear, which it is along a straight wall.
const FINE: f64 = 1.0 / 16.0;

/// Floor that no edge can lie on, what of it is left aside, and where the rest lies.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Aside {
    /// Area left aside, square metres.
    pub area_m2: f64,
    /// Width of the strip where it is widest, metres.
    pub width_m: f64,
    /// Unread pieces that are not (or not wholly) left aside: the area that is not, square metres, and their middle.
    pub lacking: Vec<(f64, Point)>,
    /// The largest piece of floor in one that nobody read and that is not left aside, square metres.
    pub hole_m2: f64,
}

impl Aside {
    /// Of a floor and the triangles that an edge may lie on.
    ///
    /// # Method
    /// Every piece of floor that no edge may lie on (carried out to a wall, or not surveyed) is cut at the
    /// distance of one spacing from the nearest wall or void: that of its own corners, or of the reading nearest to
    /// it, at most 2 ft. What lies nearer is left aside, as long as it lies within twice as far of a reading. Read
    /// floor always counts as read.
    pub fn new(floor: &Floor, usable: &[bool]) -> Self {
        let mut pieces: Vec<([Point; 3], f64, Option<u32>)> = (0..floor.triangles().len() as u32)
            .filter(|&t| !usable[t as usize])
            .map(|t| {
                let width = floor.triangles()[t as usize]
                    .iter()
                    .map(|&v| floor.spacing_at(v))
                    .fold(0.0, f64::max);
                (floor.corners(t).map(|v| v.at), width, None)
            })
            .collect();
        pieces.extend(unsurveyed(floor));
        let walls: Vec<Segment> = floor
            .region()
            .sides()
            .map(|(a, b)| Segment::new(a, b))
            .collect();
        let index = BoxGrid::new(walls.len(), |i| walls[i as usize].bounds());
        let mut out = Self::default();
        let holes = holes(floor);
        let mut of_hole = vec![0.0; holes.len()];
        for (corners, spacing, blank) in pieces {
            let width = spacing.min(WIDEST_M);
            let whole = area(corners);
            let near = if width > 0.0 {
                let near = walls_near(&walls, &index, corners, width);
                cut(corners, &near, width)
            } else {
                0.0
            };
            if near > 0.0 {
                out.area_m2 += near;
                out.width_m = out.width_m.max(width);
            }
            if whole > near {
                out.lacking.push((whole - near, middle(corners)));
                if let Some(blank) = blank {
                    of_hole[holes[blank as usize] as usize] += whole - near;
                }
            }
        }
        out.hole_m2 = of_hole.into_iter().fold(0.0, f64::max);
        out
    }
}

/// For each blank piece the first of those that it hangs together with.
fn holes(floor: &Floor) -> Vec<u32> {
    let blanks = floor.blanks();
    let mut first = vec![u32::MAX; blanks.len()];
    for start in 0..blanks.len() as u32 {
        let mut open = vec![start];
        while let Some(b) = open.pop() {
            if first[b as usize] == u32::MAX {
                first[b as usize] = start;
                open.extend(blanks[b as usize].across.iter().filter_map(|a| match a {
                    Beyond::Blank(o) => Some(*o),
                    _ => None,
                }));
            }
        }
    }
    first
}

/// Pieces that no reading speaks for, each with the spacing at the reading nearest to it and the blank piece that it
/// is part of.
fn unsurveyed(floor: &Floor) -> Vec<([Point; 3], f64, Option<u32>)> {
    if floor.blanks().is_empty() {
        return Vec::new();
    }
    let read: Vec<u32> = (0..floor.vertices().len() as u32)
        .filter(|&v| matches!(floor.vertices()[v as usize].source, Source::Reading(_)))
        .collect();
    let grid = PointGrid::new(
        read.iter()
            .map(|&v| floor.vertices()[v as usize].at)
            .collect(),
    );
    let mut pieces = Vec::new();
    let mut open: Vec<([Point; 3], u32)> = floor.unsurveyed().zip(0..).collect();
    while let Some((corners, blank)) = open.pop() {
        let center = middle(corners);
        let size = corners
            .iter()
            .map(|c| c.distance(center))
            .fold(0.0, f64::max);
        let Some((i, off)) = grid.nearest(center) else {
            pieces.push((corners, 0.0, Some(blank)));
            continue;
        };
        let spacing = floor.spacing_at(read[i as usize]);
        // The strip belongs to the readings beside it: they stand a spacing off its inner edge at most. A corridor
        // that nobody went into is no strip along walls, however narrow it is.
        let reach = 2.0 * spacing.min(WIDEST_M);
        // About a reading that stands alone, with no strip of its own, the pieces still end somewhere.
        let small = if reach > 0.0 { reach } else { WIDEST_M } * FINE;
        if off - size > reach || size <= small || off + size <= reach {
            let width = if off <= reach { spacing } else { 0.0 };
            pieces.push((corners, width, Some(blank)));
        } else {
            open.extend(halves(corners).map(|half| (half, blank)));
        }
    }
    pieces
}

/// A triangle cut in two across its longest side.
fn halves(corners: [Point; 3]) -> [[Point; 3]; 2] {
    let k = (0..3)
        .max_by(|&a, &b| {
            let side = |k: usize| corners[k].distance(corners[(k + 1) % 3]);
            side(a).total_cmp(&side(b))
        })
        .unwrap_or(0);
    let (a, b, c) = (corners[k], corners[(k + 1) % 3], corners[(k + 2) % 3]);
    let m = a.lerp(b, 0.5);
    [[a, m, c], [m, b, c]]
}

fn area([a, b, c]: [Point; 3]) -> f64 {
    (b - a).cross(c - a).abs() / 2.0
}

fn middle([a, b, c]: [Point; 3]) -> Point {
    (a + b + c) * (1.0 / 3.0)
}

/// Walls that may lie within `width` of a triangle.
fn walls_near(walls: &[Segment], index: &BoxGrid, corners: [Point; 3], width: f64) -> Vec<Segment> {
    let Some((lo, hi)) = bounds(corners) else {
        return Vec::new();
    };
    let hair = Point::new(width, width);
    let mut found: Vec<u32> = Vec::new();
    index.any_in(lo - hair, hi + hair, |i| {
        found.push(i);
        false
    });
    found.sort_unstable();
    found.dedup();
    found.into_iter().map(|i| walls[i as usize]).collect()
}

/// Area of the part of a triangle that lies within `width` of any of the walls.
fn cut(corners: [Point; 3], walls: &[Segment], width: f64) -> f64 {
    let center = middle(corners);
    let reach = corners
        .iter()
        .map(|c| c.distance(center))
        .fold(0.0, f64::max);
    let near: Vec<Segment> = walls
        .iter()
        .copied()
        .filter(|w| w.distance(center) <= width + reach)
        .collect();
    let off = |p: Point| {
        near.iter()
            .map(|w| w.distance(p))
            .fold(f64::INFINITY, f64::min)
    };
    if near.is_empty() {
        return 0.0;
    }
    if off(center) + reach <= width {
        return area(corners);
    }
    if reach <= width * FINE {
        return below(corners, corners.map(|c| off(c) - width));
    }
    let [a, b, c] = corners;
    let (ab, bc, ca) = (a.lerp(b, 0.5), b.lerp(c, 0.5), c.lerp(a, 0.5));
    [[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]
        .into_iter()
        .map(|part| cut(part, &near, width))
        .sum()
}

/// Area of the part of a triangle where a linear function with these values at its corners is not above zero.
fn below(corners: [Point; 3], values: [f64; 3]) -> f64 {
    let whole = area(corners);
    let under = values.iter().filter(|v| **v <= 0.0).count();
    if under == 0 || under == 3 {
        return if under == 3 { whole } else { 0.0 };
    }
    // The corner that stands alone on its side cuts off a triangle of its own.
    let lone = (0..3)
        .find(|&i| (values[i] <= 0.0) == (under == 1))
        .unwrap_or(0);
    let share = |j: usize| values[lone] / (values[lone] - values[j]);
    let corner = whole * share((lone + 1) % 3) * share((lone + 2) % 3);
    if under == 1 { corner } else { whole - corner }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> [[Point; 3]; 2] {
        let p = |x: f64, y: f64| Point::new(x * side, y * side);
        [
            [p(0., 0.), p(1., 0.), p(1., 1.)],
            [p(0., 0.), p(1., 1.), p(0., 1.)],
        ]
    }

    // ORACLE: closed form. Within d of one side of a square of 5 m lie 5 d; within d of all four
    //         4 d (5 - d); within d of one corner a quarter of a circle. The last to the accuracy of a circle of
    //         pieces a sixteenth of d across: a few thousandths.
    #[test]
    fn the_strip_has_the_area_of_a_strip() {
        let (side, d) = (5.0, 0.6);
        let p = |x: f64, y: f64| Point::new(x, y);
        let ring = [p(0., 0.), p(side, 0.), p(side, side), p(0., side)];
        let walls: Vec<Segment> = (0..4)
            .map(|i| Segment::new(ring[i], ring[(i + 1) % 4]))
            .collect();
        let of = |walls: &[Segment]| square(side).map(|t| cut(t, walls, d)).iter().sum::<f64>();
        assert!((of(&walls[..1]) - side * d).abs() < 1e-9);
        assert!((of(&walls) - 4.0 * d * (side - d)).abs() < 1e-3);
        let column = [Segment::new(ring[0], ring[0])];
        let quarter = std::f64::consts::PI * d * d / 4.0;
        assert!(
            (of(&column) / quarter - 1.0).abs() < 0.005,
            "{}",
            of(&column)
        );
        assert_eq!(of(&[]), 0.0);
    }
}
