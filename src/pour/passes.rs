//! A pour in passes: each runs wall to wall across the way out and is cut straight across into batches, from the same side every time.

use super::piece::Piece;
use super::split::split;
use crate::geometry::Point;

/// Which way the batches of a pass follow one another.
#[derive(Debug, Clone, Copy)]
pub(super) enum Across {
    /// This way, in every pass: for passes that lie straight across the room.
    Along(Point),
    /// The way that the pass itself is long, beginning on the side where the one before began: for passes that turn with the room. The first goes
    /// this way.
    Turning(Point),
}

/// Cuts ordered pieces into batches of these shares, so many of them to a pass at the most.
///
/// # Method
/// The batches are shared out over as few passes as hold them, all but even; the passes are cut by the pieces' order, and each of them sideways.
/// Each corner keeps in `across` how far it lies between the beginning of its pass, a whole number, and its end, the next one.
pub(super) fn cut(
    pieces: Vec<Piece>,
    shares: &[f64],
    to_a_pass: usize,
    across: Across,
) -> Vec<Vec<Piece>> {
    let passes = shares.len().div_ceil(to_a_pass.max(1)).max(1);
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
    let mut way = match across {
        Across::Along(way) | Across::Turning(way) => way,
    };
    let mut from = 0;
    for ((number, mut pass), size) in (1u32..).zip(split(pieces, &of_passes)).zip(sizes) {
        let (low, high) = (pass.iter().map(Piece::range))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), (a, b)| {
                (l.min(a), h.max(b))
            });
        if let Across::Turning(_) = across {
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
        out.extend(split(pass, &shares[from..from + size]));
        from += size;
    }
    out
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
