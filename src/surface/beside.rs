//! Floor beside read floor that is read as closely: where lanes end at the mouth of a wing, and in the corners there.

use crate::geometry::{Mesh, NONE, prev};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// A triangle stands before a side of read floor when none of its own sides is longer than this many times that one. The half of a grid
/// cell that lanes make does, whichever way it is cut: beyond two and a half to one its diagonal is at most 1.077 times its long side.
const BEFORE: f64 = 1.1;

/// Adds triangles of readings that stand before a side of read floor; whether there are any.
///
/// `open` are the triangles that may be added, and `leads` tells whether floor leads over a side to a triangle of readings.
///
/// # Method
/// The spacing of a reading cannot tell how far rows are apart where they end at closely read floor: its nearest neighbours stand in
/// that. A triangle before a side that joins the ends of two rows, with no other side much longer, is read as closely as the floor
/// between the rows; so is what stands before its other sides in turn, where nothing is much longer than the side that it began at. The
/// way leads through nothing that counted as read before. The longest sides go first, so that no order of triangles decides.
pub(super) fn add_before(
    mesh: &Mesh,
    is_read: &mut [bool],
    open: &[bool],
    leads: impl Fn(u32) -> bool,
) -> bool {
    let long_m = |h: u32| {
        mesh.point(mesh.origin(h))
            .distance(mesh.point(mesh.target(h)))
    };
    let sides = |t: u32| (t * 3..t * 3 + 3).filter(|&h| mesh.twin(h) != NONE && leads(h));
    let is_open = |h: &u32| open[(mesh.twin(*h) / 3) as usize];
    let mut ahead: BinaryHeap<Reach> = (0..mesh.triangle_count())
        .filter(|&t| is_read[t as usize])
        .flat_map(|t| sides(t).filter(is_open).filter(|&h| ends_rows(mesh, h)))
        .map(|over| Reach {
            widest_m: BEFORE * long_m(over),
            over,
        })
        .collect();
    let mut found = false;
    while let Some(Reach { widest_m, over }) = ahead.pop() {
        let t = mesh.twin(over) / 3;
        let longest_m = (t * 3..t * 3 + 3).map(long_m).fold(0.0, f64::max);
        if is_read[t as usize] || longest_m > widest_m.min(BEFORE * long_m(over)) {
            continue;
        }
        is_read[t as usize] = true;
        found = true;
        ahead.extend(
            sides(t)
                .filter(is_open)
                .map(|over| Reach { widest_m, over }),
        );
    }
    found
}

/// Two rows lie at least so many times as far apart as their readings stand in them.
const ROWS: f64 = 1.4;

/// Whether a side of a triangle of read floor joins two rows: the third corner stands near one of its ends, in a row across it.
fn ends_rows(mesh: &Mesh, over: u32) -> bool {
    let [p, q, r] = [
        mesh.origin(over),
        mesh.target(over),
        mesh.origin(prev(over)),
    ]
    .map(|v| mesh.point(v));
    let (p, q) = if r.distance(p) <= r.distance(q) {
        (p, q)
    } else {
        (q, p)
    };
    let (row, side) = (r - p, q - p);
    ROWS * row.norm() <= side.norm() && row.dot(side).abs() <= 0.5 * row.norm() * side.norm()
}

/// A side of read floor, and how long the sides of what stands before it may be.
struct Reach {
    widest_m: f64,
    over: u32,
}

impl Ord for Reach {
    fn cmp(&self, other: &Self) -> Ordering {
        let wider = self.widest_m.total_cmp(&other.widest_m);
        wider.then(other.over.cmp(&self.over))
    }
}

impl PartialOrd for Reach {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Reach {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Reach {}
