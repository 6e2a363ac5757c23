//! Rings of equal height or depth over a floor, made to be filled: bands, not triangles.

use super::{Across, Floor};
use crate::geometry::Point;
use std::collections::HashMap;

/// A closed line round floor where a value is at least a level (or round the whole floor).
#[derive(Debug, Clone, PartialEq)]
pub struct LevelRing {
    /// Plan points, metres; floor lies to the left of the line. The last joins the first.
    pub points: Vec<Point>,
    /// Whether the side from point `i` to the next runs along a wall, a void or a joint rather than
    /// along the level itself.
    pub along_edge: Vec<bool>,
    /// Index of the level, counted from 1; 0 for the floor's own edge.
    pub band: usize,
    /// Area enclosed, square metres; negative when the ring goes round a hole.
    pub area_m2: f64,
}

/// A node of a ring: a mesh corner, or the place where a level crosses a mesh edge.
type Node = (u32, u32);

/// Rings of `{ value >= level }` for every level, and of the whole floor.
///
/// # Units
/// `values[v]` belongs to vertex `v` of the floor; levels ascend, in the same unit.
/// # Method
/// On each triangle the value is linear, so the part at or over a level is that triangle cut by a
/// straight line. The sides of all parts are strung together; sides that two parts share cancel.
/// Filled in order of falling area, each ring with the shade just inside it, the bands nest without
/// cracks (see docs/methods.md, "Drawings").
/// # Edge cases
/// A corner exactly at a level counts as over it. Rings of no area are left out.
pub fn level_rings(floor: &Floor, values: &[f64], levels: &[f64]) -> Vec<LevelRing> {
    let mut sides: Vec<Vec<Side>> = vec![Vec::new(); levels.len() + 1];
    for (t, tri) in floor.triangles().iter().enumerate() {
        let v = tri.map(|i| values[i as usize]);
        let edge: [bool; 3] =
            std::array::from_fn(|e| !matches!(floor.across(t as u32, e), Across::Floor(_)));
        for e in 0..3 {
            if edge[e] {
                let (a, b) = (tri[e], tri[(e + 1) % 3]);
                sides[0].push(Side {
                    from: (a, a),
                    to: (b, b),
                    along_edge: true,
                });
            }
        }
        let (low, high) = (v[0].min(v[1]).min(v[2]), v[0].max(v[1]).max(v[2]));
        let any_edge = edge.iter().any(|&e| e);
        let first = if any_edge {
            0
        } else {
            levels.partition_point(|&l| l <= low)
        };
        for (k, &level) in levels.iter().enumerate().skip(first) {
            if level > high {
                break;
            }
            cut(*tri, v, edge, level, &mut sides[k + 1]);
        }
    }
    let mut rings = Vec::new();
    for (band, sides) in sides.into_iter().enumerate() {
        let level = if band == 0 { 0.0 } else { levels[band - 1] };
        string(floor, values, level, band, &sides, &mut rings);
    }
    rings
}

#[derive(Debug, Clone, Copy)]
struct Side {
    from: Node,
    to: Node,
    along_edge: bool,
}

/// Sides of the part of a triangle at or over a level that are not shared with a neighbour's part.
fn cut(tri: [u32; 3], v: [f64; 3], edge: [bool; 3], level: f64, out: &mut Vec<Side>) {
    let over = v.map(|x| x >= level);
    let crossing = |i: usize| -> Node {
        let (a, b) = (tri[i], tri[(i + 1) % 3]);
        (a.min(b), a.max(b))
    };
    let corner = |i: usize| -> Node { (tri[i], tri[i]) };
    // Where the level leaves and enters the part, walking the triangle counter-clockwise.
    let (mut leaves, mut enters) = (None, None);
    for i in 0..3 {
        let j = (i + 1) % 3;
        let (from, to) = match (over[i], over[j]) {
            (true, true) => (corner(i), corner(j)),
            (true, false) => {
                leaves = Some(crossing(i));
                (corner(i), crossing(i))
            }
            (false, true) => {
                enters = Some(crossing(i));
                (crossing(i), corner(j))
            }
            (false, false) => continue,
        };
        if edge[i] {
            out.push(Side {
                from,
                to,
                along_edge: true,
            });
        }
    }
    if let (Some(from), Some(to)) = (leaves, enters) {
        out.push(Side {
            from,
            to,
            along_edge: false,
        });
    }
}

/// Strings sides into rings, in the order of the triangles.
fn string(
    floor: &Floor,
    values: &[f64],
    level: f64,
    band: usize,
    sides: &[Side],
    out: &mut Vec<LevelRing>,
) {
    let place = |(a, b): Node| -> Point {
        let pa = floor.vertices()[a as usize].at;
        if a == b {
            return pa;
        }
        let (va, vb) = (values[a as usize], values[b as usize]);
        pa.lerp(floor.vertices()[b as usize].at, (level - va) / (vb - va))
    };
    // Sides that start at a node, newest first; almost always one.
    let mut first: HashMap<Node, u32> = HashMap::with_capacity(sides.len());
    let mut next = vec![u32::MAX; sides.len()];
    for (i, side) in sides.iter().enumerate().rev() {
        if let Some(older) = first.insert(side.from, i as u32) {
            next[i] = older;
        }
    }
    let mut used = vec![false; sides.len()];
    for start in 0..sides.len() {
        if used[start] {
            continue;
        }
        let (mut points, mut along_edge) = (Vec::new(), Vec::new());
        let mut at = start;
        // Every step uses up a side, so this ends.
        loop {
            used[at] = true;
            let p = place(sides[at].from);
            if points.last() != Some(&p) {
                points.push(p);
                along_edge.push(sides[at].along_edge);
            } else if let Some(last) = along_edge.last_mut() {
                *last = sides[at].along_edge;
            }
            let mut following = first.get(&sides[at].to).copied().unwrap_or(u32::MAX);
            while following != u32::MAX && used[following as usize] {
                following = next[following as usize];
            }
            if following == u32::MAX {
                break;
            }
            at = following as usize;
        }
        let area_m2 = signed_area(&points);
        if points.len() > 2 && area_m2 != 0.0 {
            out.push(LevelRing {
                points,
                along_edge,
                band,
                area_m2,
            });
        }
    }
}

/// Shoelace sum about the first corner; positive counter-clockwise.
fn signed_area(points: &[Point]) -> f64 {
    let Some(&o) = points.first() else {
        return 0.0;
    };
    points
        .windows(2)
        .map(|w| (w[0] - o).cross(w[1] - o))
        .sum::<f64>()
        / 2.0
}
