//! A pour in passes: each runs wall to wall across the way out and is cut straight across into batches, from the same side every time.

use super::piece::{Piece, nearest};
use super::split::split;
use crate::geometry::Point;

/// How passes lie in the room.
#[derive(Debug, Clone, Copy)]
pub(super) enum Across {
    /// Straight across: the batches of every pass follow one another this way.
    Straight(Point),
    /// Along level lines: the way that each pass is long, beginning on the side where the one before began; the first goes this way.
    Turning(Point),
}

/// How a section is poured in passes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Passes {
    /// Batches to a pass, at the most.
    pub count: u32,
    pub across: Across,
    /// Where the crew leaves: passes run towards it.
    pub exit: Point,
    /// Whether the last pass is poured from both ends, so that it ends there where that is between them.
    pub from_both_ends: bool,
}

/// Cuts ordered pieces into batches of these shares, so many of them to a pass at the most.
///
/// # Method
/// The batches are shared out over as few passes as hold them, all but even; the passes are cut by the pieces' order, and each of them sideways.
/// Each corner keeps in `across` how far it lies between the beginning of its pass, a whole number, and its end, the next one.
pub(super) fn cut(pieces: Vec<Piece>, shares: &[f64], how: Passes) -> Vec<Vec<Piece>> {
    let passes = shares.len().div_ceil(how.count.max(1) as usize).max(1);
    let (least, more) = (shares.len() / passes, shares.len() % passes);
    let sizes: Vec<usize> = (0..passes).map(|p| least + usize::from(p < more)).collect();
    let mut from = 0;
    let of_passes: Vec<f64> = sizes
        .iter()
        .map(|size| {
            from += size;
            shares[from - size..from].iter().sum()
        })
        .collect();
    let mut out = Vec::with_capacity(shares.len());
    let way = match how.across {
        Across::Straight(way) | Across::Turning(way) => way,
    };
    let mut way = towards(how.exit, way, &pieces);
    let mut from = 0;
    for ((number, mut pass), size) in (1u32..).zip(split(pieces, &of_passes)).zip(sizes) {
        let (low, high) = (pass.iter().map(Piece::range))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), (a, b)| {
                (l.min(a), h.max(b))
            });
        if let Across::Turning(_) = how.across {
            way = longest_way(&pass, way);
        }
        for c in pass.iter_mut().flat_map(|p| &mut p.corners) {
            let share = if high > low {
                (c.order - low) / (high - low)
            } else {
                0.0
            };
            c.across = f64::from(number) + share;
            c.order = c.at.dot(way);
        }
        let own = &shares[from..from + size];
        if how.from_both_ends && number as usize == passes {
            out.extend(ending_at(how.exit, pass, own));
        } else {
            out.extend(split(pass, own));
        }
        from += size;
    }
    out
}

/// The one of two ways that leads to a place from the middle of some floor.
fn towards(place: Point, way: Point, pieces: &[Piece]) -> Point {
    let ahead = |p: Point| p.dot(way);
    let (low, high) = (pieces.iter().flat_map(|p| &p.corners))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), c| {
            (l.min(ahead(c.at)), h.max(ahead(c.at)))
        });
    if ahead(place) < (low + high) / 2.0 {
        way * -1.0
    } else {
        way
    }
}

/// A pass cut into batches in such an order that the one nearest to a place is the last: from the one end up to it, then from the other.
fn ending_at(place: Point, pass: Vec<Piece>, shares: &[f64]) -> Vec<Vec<Piece>> {
    let even = split(pass.clone(), shares);
    let nearest = nearest(place, &even, |b| b.iter().collect()).unwrap_or_default();
    // Shares go with the order of pouring, and pieces with where they lie.
    let mut lying = shares.to_vec();
    lying[nearest..].reverse();
    let mut batches = split(pass, &lying);
    batches[nearest..].reverse();
    batches
}

/// The direction in which pieces lie farthest apart, the one of its two ends that goes more nearly the way given.
fn longest_way(pieces: &[Piece], way: Point) -> Point {
    let weighed = || pieces.iter().map(|p| (p.area(), p.middle()));
    let area: f64 = weighed().map(|(a, _)| a).sum();
    if area <= 0.0 {
        return way;
    }
    let middle = weighed().fold(Point::default(), |s, (a, p)| s + p * a) * (1.0 / area);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (a, p) in weighed() {
        let d = p - middle;
        xx += a * d.x * d.x;
        xy += a * d.x * d.y;
        yy += a * d.y * d.y;
    }
    // The first axis of the spread.
    let turn = (2.0 * xy).atan2(xx - yy) / 2.0;
    let axis = Point::new(turn.cos(), turn.sin());
    if axis.dot(way) < 0.0 {
        axis * -1.0
    } else {
        axis
    }
}
