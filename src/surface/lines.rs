//! Walls, voids and joints as one set of straight pieces that meet only at their ends.

use crate::geometry::{BoxGrid, Point, Region, SAME_LINE_M, Segment, bounds};
use crate::survey::Joint;
use std::collections::{BTreeMap, HashMap};

/// Mark of a wall or void edge in the mesh.
pub(super) const WALL: u8 = 1;
/// Mark of a joint edge in the mesh.
pub(super) const JOINT: u8 = 2;

/// A joint that ends this near to a wall is meant to reach it, metres.
pub(super) const REACH_M: f64 = 0.025;

/// A straight piece between two nodes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub(super) a: u32,
    pub(super) b: u32,
    pub(super) mark: u8,
}

/// All pieces, and an index to find them.
#[derive(Debug)]
pub(super) struct Lines {
    pub(super) nodes: Vec<Point>,
    pub(super) pieces: Vec<Piece>,
    grid: BoxGrid,
    /// Pieces cut short for the grid: (segment, piece).
    short: Vec<(Segment, u32)>,
    has_joints: bool,
    region: Region,
}

impl Lines {
    /// Every side of the region and every joint, cut where they cross or touch.
    pub(super) fn new(region: &Region, joints: &[Joint]) -> Self {
        // A corner on a straight wall would put points where readings need none.
        let mut raw: Vec<(Segment, u8)> = std::iter::once(&region.outline)
            .chain(&region.voids)
            .flat_map(|ring| {
                let sides: Vec<_> = ring.straight().sides().collect();
                sides
            })
            .map(|(a, b)| (Segment::new(a, b), WALL))
            .collect();
        let walls = raw.len();
        for joint in joints {
            for w in joint.line.windows(2) {
                raw.push((Segment::new(w[0], w[1]), JOINT));
            }
            for &end in joint.line.first().into_iter().chain(joint.line.last()) {
                let wall = to_wall(end, &raw[..walls]);
                if wall.distance(end) > SAME_LINE_M {
                    raw.push((Segment::new(end, wall), JOINT));
                }
            }
        }
        let mut nodes = Nodes::default();
        let ends: Vec<(u32, u32)> = raw
            .iter()
            .map(|(s, _)| (nodes.at(s.a), nodes.at(s.b)))
            .collect();
        let segment = |nodes: &Nodes, i: usize| {
            Segment::new(
                nodes.points[ends[i].0 as usize],
                nodes.points[ends[i].1 as usize],
            )
        };
        // Crossings become nodes.
        let grid = BoxGrid::new(raw.len(), |i| segment(&nodes, i as usize).bounds());
        let mut crossings = Vec::new();
        for i in 0..raw.len() {
            let s = segment(&nodes, i);
            let (lo, hi) = s.bounds();
            grid.any_in(lo, hi, |j| {
                let j = j as usize;
                if j > i {
                    let t = segment(&nodes, j);
                    if s.crosses(&t)
                        && let Some((at, _)) = s.meeting(&t)
                    {
                        crossings.push(at);
                    }
                }
                false
            });
        }
        crossings.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        for at in crossings {
            nodes.at(at);
        }
        // Every segment is cut at the nodes that lie on it.
        let by_x = nodes.sorted();
        let mut marks: BTreeMap<(u32, u32), Piece> = BTreeMap::new();
        for (i, (_, mark)) in raw.iter().enumerate() {
            let s = segment(&nodes, i);
            let (lo, hi) = s.bounds();
            let mut on: Vec<(f64, u32)> = vec![(0.0, ends[i].0), (1.0, ends[i].1)];
            let from = by_x.partition_point(|&(x, _)| x < lo.x - SAME_LINE_M);
            for &(x, n) in &by_x[from..] {
                if x > hi.x + SAME_LINE_M {
                    break;
                }
                let p = nodes.points[n as usize];
                if n != ends[i].0 && n != ends[i].1 && s.distance(p) <= SAME_LINE_M {
                    on.push((s.nearest_share(p), n));
                }
            }
            on.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            for w in on.windows(2) {
                let (u, v) = (w[0].1, w[1].1);
                if u != v {
                    // A piece runs the way it was drawn, so that its points do not depend on how
                    // the sheet is turned.
                    let piece = marks.entry((u.min(v), u.max(v))).or_insert(Piece {
                        a: u,
                        b: v,
                        mark: *mark,
                    });
                    piece.mark |= mark;
                }
            }
        }
        let pieces: Vec<Piece> = marks
            .into_values()
            // A joint along a wall is the wall.
            .map(|p| Piece {
                mark: if p.mark & WALL != 0 { WALL } else { JOINT },
                ..p
            })
            .collect();
        Self::index(region.clone(), nodes.points, pieces)
    }

    fn index(region: Region, nodes: Vec<Point>, pieces: Vec<Piece>) -> Self {
        let total: f64 = pieces
            .iter()
            .map(|p| nodes[p.a as usize].distance(nodes[p.b as usize]))
            .sum();
        let step = (total / 4096.0).max(total / (16.0 * pieces.len().max(1) as f64));
        let mut short = Vec::new();
        for (i, p) in pieces.iter().enumerate() {
            let s = Segment::new(nodes[p.a as usize], nodes[p.b as usize]);
            let n = ((s.length() / step.max(1e-9)).ceil() as usize).clamp(1, 8192);
            for k in 0..n {
                let cut = |k: usize| s.at(k as f64 / n as f64);
                short.push((Segment::new(cut(k), cut(k + 1)), i as u32));
            }
        }
        let grid = BoxGrid::new(short.len(), |i| {
            // A hair wider than the box itself, so that a touch is never missed by rounding.
            let (lo, hi) = short[i as usize].0.bounds();
            let hair = Point::new(1e-6, 1e-6);
            (lo - hair, hi + hair)
        });
        Self {
            region,
            has_joints: pieces.iter().any(|p| p.mark & JOINT != 0),
            nodes,
            pieces,
            grid,
            short,
        }
    }

    /// Piece `i` as a segment.
    pub(super) fn segment(&self, i: u32) -> Segment {
        let p = self.pieces[i as usize];
        Segment::new(self.nodes[p.a as usize], self.nodes[p.b as usize])
    }

    /// The nearest piece that bears one of the marks, within `reach`, with its distance.
    pub(super) fn nearest(&self, p: Point, reach: f64, marks: u8) -> Option<(u32, f64)> {
        let r = Point::new(reach, reach);
        let mut best: Option<(u32, f64)> = None;
        self.grid.any_in(p - r, p + r, |i| {
            let (s, piece) = &self.short[i as usize];
            if self.pieces[*piece as usize].mark & marks != 0 {
                let d = s.distance(p);
                let better = match best {
                    None => d <= reach,
                    Some((q, e)) => d < e || (d == e && *piece < q),
                };
                if better {
                    best = Some((*piece, d));
                }
            }
            false
        });
        best
    }

    /// How much pieces stand in a straight way: how many cross it, those far from its middle counting a little more.
    pub(super) fn hindrance(&self, way: &Segment) -> f64 {
        const FAR: f64 = 1e-3;
        let along = way.b - way.a;
        let sum = self.crossing(way).into_iter().map(|piece| {
            let s = self.segment(piece);
            let across = s.b - s.a;
            let det = along.cross(across);
            let share = if det == 0.0 {
                0.5
            } else {
                ((s.a - way.a).cross(across) / det).clamp(0.0, 1.0)
            };
            1.0 + FAR * (2.0 * share - 1.0).abs()
        });
        sum.sum()
    }

    /// Whether there are any joints.
    pub(super) fn has_joints(&self) -> bool {
        self.has_joints
    }

    /// Whether a straight way runs over floor: nothing crosses it, and it does not lie within a void.
    pub(super) fn is_over_floor(&self, a: Point, b: Point) -> bool {
        self.sees(a, b) && self.region.contains((a + b) * 0.5)
    }

    /// Whether a wall may stand among some points: one stands in their box.
    pub(super) fn stand_in(&self, points: &[Point]) -> bool {
        bounds(points.iter().copied()).is_some_and(|(lo, hi)| {
            let is_wall = |i: u32| self.pieces[self.short[i as usize].1 as usize].mark & WALL != 0;
            self.grid.any_in(lo, hi, is_wall)
        })
    }

    /// Whether a piece that bears one of the marks runs within a triangle, and not only along its sides.
    pub(super) fn runs_in(&self, corners: [Point; 3], marks: u8) -> bool {
        const HAIR_M: f64 = 1e-6;
        let [a, b, c] = corners;
        let (lo, hi) = (
            Point::new(a.x.min(b.x).min(c.x), a.y.min(b.y).min(c.y)),
            Point::new(a.x.max(b.x).max(c.x), a.y.max(b.y).max(c.y)),
        );
        let turn = if (b - a).cross(c - a) < 0.0 {
            -1.0
        } else {
            1.0
        };
        self.grid.any_in(lo, hi, |i| {
            let (s, piece) = &self.short[i as usize];
            if self.pieces[*piece as usize].mark & marks == 0 {
                return false;
            }
            let way = s.b - s.a;
            let (mut from, mut to) = (0.0f64, 1.0f64);
            for (p, q) in [(a, b), (b, c), (c, a)] {
                let side = q - p;
                // How far inside of the side the way begins, and how fast it comes nearer, in metres.
                let begins = turn * side.cross(s.a - p) / side.norm() - HAIR_M;
                let gains = turn * side.cross(way) / side.norm();
                if gains.abs() < 1e-12 {
                    if begins < 0.0 {
                        return false;
                    }
                } else if gains > 0.0 {
                    from = from.max(-begins / gains);
                } else {
                    to = to.min(-begins / gains);
                }
            }
            (to - from) * way.norm() > HAIR_M
        })
    }

    /// How many pieces a straight way crosses.
    pub(super) fn crossed(&self, way: &Segment) -> usize {
        self.crossing(way).len()
    }

    /// The pieces that a straight way crosses, ascending.
    fn crossing(&self, way: &Segment) -> Vec<u32> {
        let (lo, hi) = way.bounds();
        let mut found = Vec::new();
        self.grid.any_in(lo, hi, |i| {
            let (short, piece) = &self.short[i as usize];
            if short.crosses(way) {
                found.push(*piece);
            }
            false
        });
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Pieces within `reach` of a point, ascending.
    pub(super) fn within(&self, p: Point, reach: f64) -> Vec<u32> {
        let r = Point::new(reach, reach);
        let mut found = Vec::new();
        self.grid.any_in(p - r, p + r, |i| {
            let (s, piece) = &self.short[i as usize];
            if s.distance(p) <= reach && !found.contains(piece) {
                found.push(*piece);
            }
            false
        });
        found.sort_unstable();
        found
    }

    /// Whether one can see from `a` to `b` past walls, voids and joints.
    ///
    /// # Method
    /// The line of sight is cut short a hair at both ends, since either may stand on a wall, and shifted
    /// by less to either side; it is free when one of the two meets no piece. So a look along a wall is
    /// free, and one through two opposite corners of a column is not, nor one at a reading close behind a joint.
    pub(super) fn sees(&self, a: Point, b: Point) -> bool {
        let d = b - a;
        let len = d.norm();
        if len < 1e-6 {
            return true;
        }
        let along = d * 2e-4;
        // Less than that, or a look out of a corner would begin behind one of its walls on either side.
        let aside = Point::new(-d.y, d.x) * 2e-5;
        [1.0, -1.0].into_iter().any(|side| {
            let shift = aside * side;
            !self.is_cut(Segment::new(a + along + shift, b - along + shift))
        })
    }

    fn is_cut(&self, sight: Segment) -> bool {
        // Long looks are taken in steps, so that the boxes searched stay small.
        let steps = ((sight.length() / 2.0).ceil() as usize).clamp(1, 64);
        (0..steps).any(|k| {
            let part = Segment::new(
                sight.at(k as f64 / steps as f64),
                sight.at((k + 1) as f64 / steps as f64),
            );
            let (lo, hi) = part.bounds();
            self.grid.any_in(lo, hi, |i| {
                let piece = self.segment(self.short[i as usize].1);
                piece.crosses(&sight)
            })
        })
    }
}

/// The nearest wall point, where a joint's end is meant to reach it.
fn to_wall(p: Point, walls: &[(Segment, u8)]) -> Point {
    walls
        .iter()
        .map(|(s, _)| s.nearest(p))
        .min_by(|a, b| a.distance(p).total_cmp(&b.distance(p)))
        .filter(|q| q.distance(p) <= REACH_M)
        .unwrap_or(p)
}

/// Points, those within [`SAME_LINE_M`] of an earlier one taken for it.
#[derive(Debug, Default)]
struct Nodes {
    points: Vec<Point>,
    cells: HashMap<(i64, i64), Vec<u32>>,
}

impl Nodes {
    fn at(&mut self, p: Point) -> u32 {
        let cell = |v: f64| (v / (2.0 * SAME_LINE_M)).floor() as i64;
        let (cx, cy) = (cell(p.x), cell(p.y));
        let mut best: Option<(f64, u32)> = None;
        for x in cx - 1..=cx + 1 {
            for y in cy - 1..=cy + 1 {
                for &n in self.cells.get(&(x, y)).into_iter().flatten() {
                    let d = self.points[n as usize].distance(p);
                    if d <= SAME_LINE_M && best.is_none_or(|b| (d, n) < b) {
                        best = Some((d, n));
                    }
                }
            }
        }
        if let Some((_, n)) = best {
            return n;
        }
        let n = self.points.len() as u32;
        self.points.push(p);
        self.cells.entry((cx, cy)).or_default().push(n);
        n
    }

    fn sorted(&self) -> Vec<(f64, u32)> {
        let mut by_x: Vec<(f64, u32)> = self
            .points
            .iter()
            .enumerate()
            .map(|(i, p)| (p.x, i as u32))
            .collect();
        by_x.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        by_x
    }
}
