//! Wet floor as pieces in pouring order: harmonic, or in strips.

use super::piece::{By, Layer, Piece};
use super::potential::Graph;
use crate::geometry::Point;
use crate::surface::{Across, Floor, Vertex};
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

/// Most strips a floor is cut into; wider strips are used beyond.
const MOST_STRIPS: f64 = 2_000.0;

/// A place this near to the line between two strips lies on it, as a share of a strip's width.
const ON_THE_LINE: f64 = 1e-6;

/// Triangles that carry material and hang together by edges.
pub(super) struct Section {
    /// Triangles of the floor.
    pub triangles: Vec<u32>,
}

fn is_wet(floor: &Floor, layer: &Layer, t: u32) -> bool {
    floor.corners(t).iter().any(|&v| layer.depth(v) > 0.0)
}

/// Length of the shortest way along edges of the floor's mesh from each vertex to a place, metres; endless where no way leads there.
fn ways_to(floor: &Floor, place: Point) -> Vec<f64> {
    let vertices = floor.vertices();
    // Sides of a joint and parts that touch in a point stand at one place.
    let mut at: HashMap<(u64, u64), u32> = HashMap::new();
    let node: Vec<u32> = (0u32..)
        .zip(vertices)
        .map(|(i, v)| *at.entry((v.at.x.to_bits(), v.at.y.to_bits())).or_insert(i))
        .collect();
    let places: Vec<Point> = vertices.iter().map(|v| v.at).collect();
    let from = nearest(&places, place, None).map_or(0, |i| node[i as usize]);
    let triangles = floor.triangles().iter();
    let triangles = triangles.map(|corners| corners.map(|c| node[c as usize]));
    let way = shortest_ways(&places, triangles, from);
    node.into_iter().map(|i| way[i as usize]).collect()
}

/// Lengths of the shortest ways along the triangles' sides from one node to each (Dijkstra), metres.
fn shortest_ways(at: &[Point], triangles: impl Iterator<Item = [u32; 3]>, from: u32) -> Vec<f64> {
    let mut near: Vec<Vec<u32>> = vec![Vec::new(); at.len()];
    for ids in triangles {
        for k in 0..3 {
            let (i, j) = (ids[k], ids[(k + 1) % 3]);
            near[i as usize].push(j);
            near[j as usize].push(i);
        }
    }
    let mut way = vec![f64::INFINITY; at.len()];
    if at.is_empty() {
        return way;
    }
    way[from as usize] = 0.0;
    // Nodes to go on from, the nearest first; lengths of ways are not negative, and such numbers order as their bits do.
    let mut open = BinaryHeap::from([(Reverse(0u64), from)]);
    while let Some((Reverse(bits), i)) = open.pop() {
        let so_far = f64::from_bits(bits);
        if so_far > way[i as usize] {
            continue;
        }
        for &j in &near[i as usize] {
            let longer = so_far + at[i as usize].distance(at[j as usize]);
            if longer < way[j as usize] {
                way[j as usize] = longer;
                open.push((Reverse(longer.to_bits()), j));
            }
        }
    }
    way
}

/// The wet floor's sections, the one from which the way out is longest first: nobody walks to it over another.
pub(super) fn sections(
    floor: &Floor,
    layer: &Layer,
    stop_at_joints: bool,
    exit: Point,
) -> Vec<Section> {
    let count = floor.triangles().len();
    let ways = ways_to(floor, exit);
    let mut seen = vec![false; count];
    let mut found: Vec<(f64, Section)> = Vec::new();
    for start in 0..count as u32 {
        if seen[start as usize] || !is_wet(floor, layer, start) {
            continue;
        }
        seen[start as usize] = true;
        let mut triangles = vec![start];
        let mut next = 0;
        let mut nearest = f64::INFINITY;
        while let Some(&t) = triangles.get(next) {
            next += 1;
            for &v in &floor.triangles()[t as usize] {
                nearest = nearest.min(ways[v as usize]);
            }
            for edge in 0..3 {
                let other = match floor.across(t, edge) {
                    Across::Floor(other) => other,
                    Across::Joint(other) if !stop_at_joints => other,
                    _ => continue,
                };
                if !seen[other as usize] && is_wet(floor, layer, other) {
                    seen[other as usize] = true;
                    triangles.push(other);
                }
            }
        }
        triangles.sort_unstable();
        found.push((nearest, Section { triangles }));
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|f| f.1).collect()
}

/// Nodes of a section: one for each place where triangles hang together by edges. The two sides of a
/// joint are one node; two parts of the floor that touch in a single point have a node each, since
/// material does not flow through a point.
struct Nodes {
    at: Vec<Point>,
    /// Highest floor at the node, elevation in metres.
    z: Vec<f64>,
    triangles: Vec<([u32; 3], [Point; 3])>,
}

/// The representative of what `i` was joined with.
pub(super) fn root(parent: &mut [u32], mut i: u32) -> u32 {
    while parent[i as usize] != i {
        parent[i as usize] = parent[parent[i as usize] as usize];
        i = parent[i as usize];
    }
    i
}

fn nodes(floor: &Floor, section: &Section, stop_at_joints: bool) -> Nodes {
    let place: HashMap<u32, u32> = (0u32..)
        .zip(&section.triangles)
        .map(|(i, &t)| (t, i))
        .collect();
    let corners: Vec<[Vertex; 3]> = section
        .triangles
        .iter()
        .map(|&t| floor.corners(t))
        .collect();
    // Each corner of each triangle, joined with the same place in the triangle across an edge.
    let mut parent: Vec<u32> = (0..3 * corners.len() as u32).collect();
    for (i, &t) in section.triangles.iter().enumerate() {
        for edge in 0..3 {
            let other = match floor.across(t, edge) {
                Across::Floor(other) => other,
                Across::Joint(other) if !stop_at_joints => other,
                _ => continue,
            };
            let Some(&j) = place.get(&other) else {
                continue;
            };
            for k in [edge, (edge + 1) % 3] {
                let same = (0..3).find(|&m| corners[j as usize][m].at == corners[i][k].at);
                if let Some(m) = same {
                    let a = root(&mut parent, 3 * i as u32 + k as u32);
                    let b = root(&mut parent, 3 * j + m as u32);
                    parent[a.max(b) as usize] = a.min(b);
                }
            }
        }
    }
    let mut ids = vec![u32::MAX; parent.len()];
    let (mut at, mut z): (Vec<Point>, Vec<f64>) = (Vec::new(), Vec::new());
    let mut triangles = Vec::with_capacity(corners.len());
    for (i, corner) in corners.iter().enumerate() {
        let node = [0, 1, 2].map(|k| {
            let slot = root(&mut parent, 3 * i as u32 + k as u32) as usize;
            if ids[slot] == u32::MAX {
                ids[slot] = at.len() as u32;
                at.push(corner[k].at);
                z.push(corner[k].z);
            }
            let id = ids[slot];
            z[id as usize] = z[id as usize].max(corner[k].z);
            id
        });
        triangles.push((node, corner.map(|v| v.at)));
    }
    Nodes { at, z, triangles }
}

/// The node nearest to a place; of equal ones the least in x, then in y.
fn nearest(at: &[Point], place: Point, not: Option<u32>) -> Option<u32> {
    best(at, not, |p| -p.distance(place))
}

/// The node with the greatest value; of equal ones the least in x, then in y.
fn best(at: &[Point], not: Option<u32>, value: impl Fn(Point) -> f64) -> Option<u32> {
    (0..at.len() as u32)
        .filter(|&i| Some(i) != not)
        .max_by(|&i, &j| {
            let (p, q) = (at[i as usize], at[j as usize]);
            value(p)
                .total_cmp(&value(q))
                .then(q.x.total_cmp(&p.x))
                .then(q.y.total_cmp(&p.y))
        })
}

/// Where the pour starts when the crew does not say: the highest floor; of equal places the one
/// farthest from the exit, then the least in x, then in y.
pub(super) fn highest_place(floor: &Floor, exit: Option<Point>) -> Option<Point> {
    let far = |p: Point| exit.map_or(0.0, |e| p.distance(e));
    floor
        .vertices()
        .iter()
        .max_by(|a, b| {
            (a.z.total_cmp(&b.z))
                .then(far(a.at).total_cmp(&far(b.at)))
                .then(b.at.x.total_cmp(&a.at.x))
                .then(b.at.y.total_cmp(&a.at.y))
        })
        .map(|v| v.at)
}

/// Where an order by level lines begins.
#[derive(Debug, Clone, Copy)]
pub(super) enum Begin {
    /// At a place, where it lies in a section; else at the section's highest floor.
    At(Point),
    /// Where the way out is longest: at the end of the farther wing of a room.
    Farthest,
}

/// The node that is farthest from another by ways along edges of the mesh; of equal ones the least in x, then in y.
fn farthest_by_way(nodes: &Nodes, from: u32) -> Option<u32> {
    let triangles = nodes.triangles.iter().map(|(ids, _)| *ids);
    let way = shortest_ways(&nodes.at, triangles, from);
    (0..way.len() as u32)
        .filter(|&i| i != from && way[i as usize].is_finite())
        .max_by(|&i, &j| {
            let (p, q) = (nodes.at[i as usize], nodes.at[j as usize]);
            (way[i as usize].total_cmp(&way[j as usize]))
                .then(q.x.total_cmp(&p.x))
                .then(q.y.total_cmp(&p.y))
        })
}

/// The pieces of each section in harmonic order, from its start to its exit.
pub(super) fn harmonic(
    floor: &Floor,
    layer: &Layer,
    sections: &[Section],
    stop_at_joints: bool,
    (begin, exit): (Begin, Point),
) -> Vec<Vec<Piece>> {
    let mut all = Vec::with_capacity(sections.len());
    for (number, section) in (0u32..).zip(sections) {
        let nodes = nodes(floor, section, stop_at_joints);
        let Some(out) = nearest(&nodes.at, exit, None) else {
            continue;
        };
        let mut pieces = Vec::with_capacity(section.triangles.len());
        let highest = || {
            let others = (0..nodes.at.len()).filter(|&i| i as u32 != out);
            let top = others.max_by(|&i, &j| nodes.z[i].total_cmp(&nodes.z[j]).then(j.cmp(&i)));
            top.map(|i| i as u32)
        };
        let first = match begin {
            Begin::Farthest => farthest_by_way(&nodes, out),
            Begin::At(start) => {
                let inside = nodes.at.iter().any(|p| p.distance(start) < 1e-6);
                if sections.len() == 1 || inside {
                    nearest(&nodes.at, start, Some(out))
                } else {
                    highest()
                }
            }
        };
        let Some(first) = first else { continue };
        let graph = Graph::new(nodes.at.len(), &nodes.triangles);
        let potential = graph.potential(first, out);
        for (&t, (ids, _)) in section.triangles.iter().zip(&nodes.triangles) {
            let corners = floor.corners(t);
            let corners = [0, 1, 2].map(|k| (corners[k], potential[ids[k] as usize]));
            pieces.extend(layer.pieces(corners, number));
        }
        all.push(pieces);
    }
    all
}

/// Direction from the far wall towards the door, and the strips' width that is used.
#[derive(Clone, Copy)]
pub(super) struct Sweep {
    /// Where the crew leaves.
    pub exit: Point,
    /// The ends of the opening that it leaves by; both the exit where it has no width.
    pub opening: [Point; 2],
    /// Unit vector across the strips, towards the door.
    pub towards_door: Point,
    /// Width of a strip, metres.
    pub width_m: f64,
    /// Whether the strips run to and fro the other way round than the way out has it.
    pub turned: bool,
}

/// Square to the outline's side nearest to the exit.
pub(super) fn sweep(floor: &Floor, (exit, exit_width_m): (Point, f64), width_m: f64) -> Sweep {
    let side = floor
        .region()
        .outline
        .sides()
        .filter(|(a, b)| a.distance(*b) > 0.0)
        .min_by(|a, b| {
            distance_to_side(exit, *a)
                .total_cmp(&distance_to_side(exit, *b))
                .then(b.0.distance(b.1).total_cmp(&a.0.distance(a.1)))
        });
    let towards_door = side.map_or(Point::new(0.0, -1.0), |(a, b)| {
        // The outline runs counter-clockwise: the right-hand normal points out of the room.
        let along = (b - a) * (1.0 / a.distance(b));
        Point::new(along.y, -along.x)
    });
    let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
    for v in floor.vertices() {
        lo = lo.min(v.at.dot(towards_door));
        hi = hi.max(v.at.dot(towards_door));
    }
    let depth = (hi - lo).max(0.0);
    // Strips of equal width: the last one is not left as a sliver.
    let count = (depth / width_m - 1e-9).ceil().clamp(1.0, MOST_STRIPS);
    let half = Point::new(-towards_door.y, towards_door.x) * (exit_width_m / 2.0);
    Sweep {
        exit,
        opening: [exit - half, exit + half],
        towards_door,
        width_m: (depth / count).max(1e-6),
        turned: false,
    }
}

fn distance_to_side(p: Point, (a, b): (Point, Point)) -> f64 {
    let d = b - a;
    let t = ((p - a).dot(d) / d.dot(d)).clamp(0.0, 1.0);
    p.distance(a.lerp(b, t))
}

/// Wet pieces of each section before any order is given to them.
pub(super) fn wet(floor: &Floor, layer: &Layer, sections: &[Section]) -> Vec<Vec<Piece>> {
    let pieces = |(number, section): (u32, &Section)| {
        let of = |&t: &u32| layer.pieces(floor.corners(t).map(|v| (v, 0.0)), number);
        section.triangles.iter().flat_map(of).collect()
    };
    (0u32..).zip(sections).map(pieces).collect()
}

/// Pieces in strips: strip by strip towards the door, to and fro along each.
///
/// Strips are numbered from `first` on; the number after the last comes back with the pieces.
pub(super) fn strips(pieces: Vec<Piece>, sweep: &Sweep, first: usize) -> (Vec<Piece>, usize) {
    let along = Point::new(-sweep.towards_door.y, sweep.towards_door.x);
    let (mut far, mut near) = (f64::INFINITY, f64::NEG_INFINITY);
    let (mut left, mut right) = (f64::INFINITY, f64::NEG_INFINITY);
    for c in pieces.iter().flat_map(|p| &p.corners) {
        far = far.min(c.at.dot(sweep.towards_door));
        near = near.max(c.at.dot(sweep.towards_door));
        left = left.min(c.at.dot(along));
        right = right.max(c.at.dot(along));
    }
    if near <= far || right <= left {
        return (pieces, first + 1);
    }
    let count = ((near - far) / sweep.width_m - 1e-9).ceil().max(1.0) as usize;
    let end = first + count;
    // The last strip runs towards the way out: a crew must not be shut in at its far end.
    let exit_ahead = sweep.exit.dot(along) >= (left + right) / 2.0;
    let begins_ahead = ((count % 2 == 1) == exit_ahead) != sweep.turned;
    let mut out = Vec::with_capacity(pieces.len() * 2);
    for mut piece in pieces {
        for c in &mut piece.corners {
            let across = first as f64 + (c.at.dot(sweep.towards_door) - far) / sweep.width_m;
            // A wall on the line between two strips would leave slivers without width beyond it, by rounding, and with them
            // tie-ins along the wall.
            let line = across.round();
            c.across = if (across - line).abs() < ON_THE_LINE {
                line
            } else {
                across
            };
        }
        let lowest = piece
            .corners
            .iter()
            .map(|c| c.across)
            .fold(f64::MAX, f64::min);
        let mut rest = Some(piece);
        for strip in (lowest.max(0.0) as usize).min(end - 1)..end {
            let Some(piece) = rest.take() else { break };
            let (mut here, beyond) = if strip + 1 == end {
                (Some(piece), None)
            } else {
                piece.cut(By::Across, (strip + 1) as f64)
            };
            if let Some(here) = &mut here {
                for c in &mut here.corners {
                    let share = (c.at.dot(along) - left) / (right - left);
                    let forth = (strip - first).is_multiple_of(2) == begins_ahead;
                    let share = if forth { share } else { 1.0 - share };
                    c.order = strip as f64 + share.clamp(0.0, 1.0);
                }
            }
            out.extend(here);
            rest = beyond;
        }
    }
    (out, end)
}
