//! From pieces to batches: outlines, quantities, and the edges where batches meet.

use super::piece::{Corner, Piece};
use super::result::Loop;
use crate::geometry::Point;
use std::collections::{BTreeMap, HashMap};
use std::hash::{BuildHasherDefault, Hasher};

/// Bits of a plan place; equal places have equal bits (minus zero is made plain zero).
pub(super) type Key = (u64, u64);

pub(super) fn key(p: Point) -> Key {
    ((p.x + 0.0).to_bits(), (p.y + 0.0).to_bits())
}

/// A quick hash of coordinate bits. They are the program's own numbers, not an adversary's.
#[derive(Default)]
struct Folded(u64);

impl Hasher for Folded {
    fn finish(&self) -> u64 {
        // The table looks at the top bits; coordinates differ in the lower ones.
        self.0 ^ (self.0 >> 32)
    }

    fn write(&mut self, bytes: &[u8]) {
        for &b in bytes {
            self.write_u64(u64::from(b));
        }
    }

    fn write_u64(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(23) ^ word).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
}

/// What a batch covers.
#[derive(Debug, Clone, Default)]
pub(super) struct Patch {
    pub outline: Vec<Loop>,
    pub label_at: Point,
    pub area_m2: f64,
    pub volume_m3: f64,
    /// Length shared with each earlier batch (by index), metres.
    pub ties: BTreeMap<usize, f64>,
    pub tie_lines: Vec<[Point; 2]>,
    /// The same by the earlier batch.
    pub lines_to: BTreeMap<usize, Vec<[Point; 2]>>,
}

/// A directed side of a piece, the batch on its left.
#[derive(Clone, Copy)]
struct Side {
    from: Corner,
    to: Corner,
    batch: usize,
    section: u32,
}

/// Outlines, quantities and tie-ins of parts in the order of pouring.
///
/// # Method
/// Sides that two pieces share have the same end points to the last bit and run opposite ways:
/// inside one batch they cancel, between two they are a tie-in of the later to the earlier. Along
/// the line between two strips or passes the cuts of the two sides differ: each is cut where the other is, and of what rounding leaves the
/// overlaps are measured.
/// Batches of different bays (`bays`, one a part) meet at a dam, which is no tie-in, and sections at a joint where the pour stops.
pub(super) fn patches(parts: &[Vec<Piece>], bays: &[u32]) -> Vec<Patch> {
    let sides = cut_at_each_other(sides_of(parts));
    let by_ends = by_ends(&sides);
    let mut patches: Vec<Patch> = parts.iter().map(|p| measure(p)).collect();
    let mut bounds: Vec<Vec<Side>> = vec![Vec::new(); parts.len()];
    let mut open: Vec<Side> = Vec::new();
    // In the order of the pieces, not of the map, so that the result is always the same.
    for &side in &sides {
        let back = by_ends.get(&back(&side));
        match back.map(|&i| (sides[i as usize].batch, sides[i as usize].section)) {
            Some((other, _)) if other == side.batch => {}
            Some((other, section)) => {
                bounds[side.batch].push(side);
                // Where the pour stops at a joint, nothing is tied across it.
                let one_pour = bays[side.batch] == bays[other] && section == side.section;
                if other < side.batch && one_pour {
                    tie(&mut patches[side.batch], other, side.from.at, side.to.at);
                }
            }
            None => {
                bounds[side.batch].push(side);
                open.push(side);
            }
        }
    }
    tie_strips(&open, bays, &mut patches);
    for (patch, sides) in patches.iter_mut().zip(bounds) {
        patch.outline = loops(&sides);
    }
    patches
}

fn measure(part: &[Piece]) -> Patch {
    let mut patch = Patch::default();
    let mut largest = -1.0;
    for piece in part {
        let area = piece.area();
        patch.area_m2 += area;
        patch.volume_m3 += piece.volume();
        if area > largest {
            largest = area;
            patch.label_at = piece.middle();
        }
    }
    patch
}

fn tie(patch: &mut Patch, earlier: usize, a: Point, b: Point) {
    *patch.ties.entry(earlier).or_default() += a.distance(b);
    patch.tie_lines.push([a, b]);
    patch.lines_to.entry(earlier).or_default().push([a, b]);
}

/// The directed sides of all pieces, but of those without width along the line between two strips: rounding leaves such, and they would lie
/// between batches that meet there.
fn sides_of(parts: &[Vec<Piece>]) -> Vec<Side> {
    let mut sides: Vec<Side> = Vec::new();
    for (batch, part) in parts.iter().enumerate() {
        for piece in part {
            let n = piece.corners.len();
            let of_piece = (0..n).map(|i| Side {
                from: piece.corners[i],
                to: piece.corners[(i + 1) % n],
                batch,
                section: piece.section,
            });
            let line = piece.corners.first().map(|c| c.across);
            if !of_piece
                .clone()
                .all(|s| strip_line(&s).is_some() && Some(s.from.across) == line)
            {
                sides.extend(of_piece);
            }
        }
    }
    sides
}

/// Sides by their two ends.
type ByEnds = HashMap<(Key, Key), u32, BuildHasherDefault<Folded>>;

fn by_ends(sides: &[Side]) -> ByEnds {
    let mut by_ends = HashMap::with_capacity_and_hasher(sides.len(), BuildHasherDefault::default());
    for (i, side) in (0u32..).zip(sides) {
        by_ends.insert((key(side.from.at), key(side.to.at)), i);
    }
    by_ends
}

/// The ends of the side that lies against a side.
fn back(side: &Side) -> (Key, Key) {
    (key(side.to.at), key(side.from.at))
}

/// The strip or pass line that a side lies on: whole-number `across`, the same at both ends.
fn strip_line(side: &Side) -> Option<i64> {
    let line = side.from.across;
    let on_it = line > 0.0 && line == side.to.across && line.fract() == 0.0;
    on_it.then_some(line as i64)
}

/// Sides along the lines between strips and passes that no other lies against as it is, cut where those on the other hand end; all in the same
/// order.
fn cut_at_each_other(sides: Vec<Side>) -> Vec<Side> {
    let mut lines: BTreeMap<(u32, i64), Vec<usize>> = BTreeMap::new();
    let met = by_ends(&sides);
    for (i, side) in sides.iter().enumerate() {
        if let Some(line) = strip_line(side).filter(|_| !met.contains_key(&back(side))) {
            lines.entry((side.section, line)).or_default().push(i);
        }
    }
    let mut cuts: BTreeMap<usize, Vec<Corner>> = BTreeMap::new();
    for of_line in lines.values_mut() {
        // By the longer of their two spans: a line may run straight up.
        let wide = |across: fn(Point) -> f64| {
            let places = of_line.iter().map(|&i| across(sides[i].from.at));
            let (low, high) = places.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
                (l.min(v), h.max(v))
            });
            high - low
        };
        let by: fn(Point) -> f64 = if wide(|p| p.x) >= wide(|p| p.y) {
            |p| p.x
        } else {
            |p| p.y
        };
        let span = |i: usize| {
            let (a, b) = (by(sides[i].from.at), by(sides[i].to.at));
            (a.min(b), a.max(b))
        };
        of_line.sort_by(|&i, &j| span(i).0.total_cmp(&span(j).0).then(i.cmp(&j)));
        for (k, &i) in of_line.iter().enumerate() {
            let end = span(i).1;
            let near = of_line[k + 1..]
                .iter()
                .take_while(|&&j| span(j).0 <= end + ON_LINE_M);
            for &j in near {
                for (one, other) in [(i, j), (j, i)] {
                    let inside = ends_inside(&sides[one], &sides[other]);
                    if !inside.is_empty() {
                        cuts.entry(one).or_default().extend(inside);
                    }
                }
            }
        }
    }
    let mut out = Vec::with_capacity(sides.len());
    for (i, side) in sides.into_iter().enumerate() {
        let mut at = cuts.remove(&i).unwrap_or_default();
        let off = |c: &Corner| c.at.distance(side.from.at);
        at.sort_by(|a, b| off(a).total_cmp(&off(b)));
        let mut from = side.from;
        for to in at.into_iter().chain([side.to]) {
            if key(from.at) != key(to.at) {
                out.push(Side { from, to, ..side });
            }
            from = to;
        }
    }
    out
}

/// Ends of a side that lie within another that runs the opposite way on the same straight line.
fn ends_inside(side: &Side, other: &Side) -> Vec<Corner> {
    let (origin, run) = (side.from.at, side.to.at - side.from.at);
    let length = run.norm();
    if length <= 0.0 || (other.to.at - other.from.at).dot(run) >= 0.0 {
        return Vec::new();
    }
    let along = run * (1.0 / length);
    let off = |c: &Corner| along.cross(c.at - origin).abs();
    let ends = [other.from, other.to];
    if ends.iter().any(|c| off(c) > ON_LINE_M) {
        return Vec::new();
    }
    let inside = |c: &Corner| {
        let t = along.dot(c.at - origin);
        t > ON_LINE_M && t < length - ON_LINE_M
    };
    ends.into_iter().filter(inside).collect()
}

/// Tie-ins across the lines between strips and between passes, where the two sides are cut at different places.
fn tie_strips(open: &[Side], bays: &[u32], patches: &mut [Patch]) {
    let mut lines: BTreeMap<(u32, u32, i64), Vec<Side>> = BTreeMap::new();
    for side in open {
        if let Some(line) = strip_line(side) {
            lines
                .entry((bays[side.batch], side.section, line))
                .or_default()
                .push(*side);
        }
    }
    for sides in lines.values() {
        tie_along(sides, bays, patches);
    }
}

/// Sides this near to one line lie on it, metres.
const ON_LINE_M: f64 = 1e-7;
/// Shorter tie-ins are rounding, metres.
const LEAST_TIE_M: f64 = 1e-9;

/// Tie-ins along one line, piece by piece of it: a level line turns where it enters another triangle. Sides that run opposite ways over each
/// other have a batch on either hand.
fn tie_along(sides: &[Side], bays: &[u32], patches: &mut [Patch]) {
    let span = |s: &Side| {
        let (a, b) = (s.from.at.x, s.to.at.x);
        (a.min(b), a.max(b))
    };
    let mut sides: Vec<&Side> = sides.iter().collect();
    sides.sort_by(|a, b| {
        (span(a).0.total_cmp(&span(b).0))
            .then(a.from.at.y.total_cmp(&b.from.at.y))
            .then(a.batch.cmp(&b.batch))
    });
    for (i, side) in sides.iter().enumerate() {
        let (origin, run) = (side.from.at, side.to.at - side.from.at);
        let length = run.norm();
        if length <= 0.0 {
            continue;
        }
        let along = run * (1.0 / length);
        let end = span(side).1;
        let near = sides[i + 1..]
            .iter()
            .take_while(|o| span(o).0 <= end + ON_LINE_M);
        for other in near {
            let ends = [other.from.at, other.to.at].map(|p| p - origin);
            let on_line = ends.iter().all(|d| along.cross(*d).abs() <= ON_LINE_M);
            let [from, to] = ends.map(|d| along.dot(d));
            let (low, high) = (to.max(0.0), from.min(length));
            let one_pour = side.batch != other.batch && bays[side.batch] == bays[other.batch];
            if on_line && from > to && high - low > LEAST_TIE_M && one_pour {
                let (later, earlier) = (side.batch.max(other.batch), side.batch.min(other.batch));
                let (p, q) = (origin + along * low, origin + along * high);
                tie(&mut patches[later], earlier, p, q);
            }
        }
    }
}

/// Closed lines from directed sides; corners in the middle of a straight run are dropped.
fn loops(sides: &[Side]) -> Vec<Loop> {
    let mut from: HashMap<Key, Vec<usize>> = HashMap::new();
    for (i, side) in sides.iter().enumerate() {
        from.entry(key(side.from.at)).or_default().push(i);
    }
    let mut used = vec![false; sides.len()];
    let mut out = Vec::new();
    for start in 0..sides.len() {
        if used[start] {
            continue;
        }
        let mut line = Vec::new();
        let mut at = start;
        // Every step uses up one side, so the walk ends.
        loop {
            used[at] = true;
            line.push(sides[at].from.at);
            let arriving = sides[at].to.at - sides[at].from.at;
            let next = from.get(&key(sides[at].to.at)).and_then(|list| {
                // Where several leave, the sharpest right turn keeps lines that touch in a point apart.
                list.iter().copied().filter(|&i| !used[i]).min_by(|&i, &j| {
                    turn(arriving, &sides[i]).total_cmp(&turn(arriving, &sides[j]))
                })
            });
            match next {
                Some(i) => at = i,
                None => break,
            }
        }
        let line = straightened(line);
        if line.len() >= 3 {
            out.push(line);
        }
    }
    out
}

/// Angle turned left when leaving along `side`, from -pi to pi.
fn turn(arriving: Point, side: &Side) -> f64 {
    let leaving = side.to.at - side.from.at;
    arriving.cross(leaving).atan2(arriving.dot(leaving))
}

fn straightened(line: Loop) -> Loop {
    let n = line.len();
    let kept: Loop = (0..n)
        .filter(|&i| {
            let (a, b, c) = (line[(i + n - 1) % n], line[i], line[(i + 1) % n]);
            let (u, v) = (b - a, c - b);
            u.cross(v).abs() > 1e-9 * u.norm() * v.norm() || u.dot(v) < 0.0
        })
        .map(|i| line[i])
        .collect();
    kept
}
