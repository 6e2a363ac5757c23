//! Points set along walls, voids and joints, about one reading spacing apart.

use super::lines::Lines;
use super::readings::Used;
use crate::geometry::{Point, PointGrid};
use rayon::prelude::*;

/// Points on one piece in order, ends included.
#[derive(Debug, Clone)]
pub(super) struct Chain {
    /// Index of the piece.
    pub(super) piece: u32,
    /// Stops from end to end.
    pub(super) stops: Vec<Stop>,
}

/// A point of a chain.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stop {
    /// Share of the way along the piece.
    pub(super) share: f64,
    /// Plan position.
    pub(super) at: Point,
    /// Index in the used readings when a reading lies here.
    pub(super) used: Option<u32>,
}

/// Readings nearer together along a wall than this share of the spacing share one foot point. An odd
/// number, so that a regular grid does not fall on it.
const CLOSE: f64 = 0.3137;
/// Between two readings on the wall that stand no farther apart than this many spacings the floor
/// along it is known, as it is across a triangle: nothing is carried there.
const KNOWN: f64 = 2.5;

/// Distances from a wall are the same within this, metres.
const EQUAL_M: f64 = 1e-6;

/// Chains for all pieces.
///
/// # Method
/// A wall point stands square across from every reading within about one spacing of the wall, so that
/// a grid is carried to the wall in rectangles. Of points that would stand too near together the one whose
/// reading is nearest to the wall stays: that does not depend on which way the wall was drawn.
pub(super) fn chains(
    lines: &Lines,
    used: &[Used],
    grid: &PointGrid,
    spacings: &[f64],
) -> Vec<Chain> {
    let mut on_piece: Vec<Vec<u32>> = vec![Vec::new(); lines.pieces.len()];
    for (i, u) in used.iter().enumerate() {
        if let Some(p) = u.piece {
            on_piece[p as usize].push(i as u32);
        }
    }
    let feet = feet(lines, used, spacings);
    let spaced = Spaced {
        used,
        grid,
        spacings,
    };
    (0..lines.pieces.len() as u32)
        .into_par_iter()
        .map(|i| {
            let (on, feet) = (&on_piece[i as usize], &feet[i as usize]);
            chain(i, lines, &spaced, on, feet)
        })
        .collect()
}

/// The readings, their places, and the spacing round each.
struct Spaced<'a> {
    used: &'a [Used],
    grid: &'a PointGrid,
    spacings: &'a [f64],
}

fn chain(
    piece: u32,
    lines: &Lines,
    spaced: &Spaced<'_>,
    readings: &[u32],
    feet: &[(f64, f64)],
) -> Chain {
    let Spaced {
        used,
        grid,
        spacings,
    } = *spaced;
    let s = lines.segment(piece);
    let len = s.length();
    let mut stops = vec![
        Stop {
            share: 0.0,
            at: s.a,
            used: None,
        },
        Stop {
            share: 1.0,
            at: s.b,
            used: None,
        },
    ];
    for &i in readings {
        let at = used[i as usize].at;
        // A reading in a corner stands for the corner.
        if at != s.a && at != s.b {
            stops.push(Stop {
                share: s.nearest_share(at),
                at,
                used: Some(i),
            });
        }
    }
    stops.sort_by(|a, b| a.share.total_cmp(&b.share).then(a.used.cmp(&b.used)));
    let size = |p: Point| match spacing_near(grid, spacings, p) {
        Some((h, d)) => h.max(d / 2.0),
        None => f64::INFINITY,
    };
    let read =
        |stop: &Stop| stop.used.is_some() || grid.nearest(stop.at).is_some_and(|(_, d)| d == 0.0);
    let known = |a: &Stop, b: &Stop| {
        let stretch = (b.share - a.share) * len;
        read(a) && read(b) && stretch <= KNOWN * size(a.at.lerp(b.at, 0.5))
    };
    let mut all: Vec<Stop> = stops.clone();
    for w in stops.windows(2).filter(|w| !known(&w[0], &w[1])) {
        let between: Vec<(f64, f64)> = feet
            .iter()
            .copied()
            .filter(|f| f.0 > w[0].share && f.0 < w[1].share)
            .collect();
        let mut kept = vec![w[0].share, w[1].share];
        // Of feet of readings equally far from the wall none is preferred: that would be the one met first.
        for equal in between.chunk_by(|a, b| b.1 - a.1 <= EQUAL_M) {
            let clear = |&(share, _): &(f64, f64)| {
                spacing_near(grid, spacings, s.at(share)).is_some_and(|(h, _)| {
                    kept.iter().all(|&k| (share - k).abs() * len >= CLOSE * h)
                })
            };
            let mut added: Vec<f64> = equal.iter().filter(|f| clear(f)).map(|f| f.0).collect();
            added.sort_by(f64::total_cmp);
            added.dedup_by(|a, b| (*a - *b).abs() * len <= EQUAL_M);
            all.extend(added.iter().map(|&share| Stop {
                share,
                at: s.at(share),
                used: None,
            }));
            kept.extend(added);
        }
    }
    all.sort_by(|a, b| a.share.total_cmp(&b.share).then(a.used.cmp(&b.used)));
    Chain { piece, stops: all }
}

/// For every piece the shares at which readings within about one spacing stand square to it, with their
/// distance from it, the nearest first.
fn feet(lines: &Lines, used: &[Used], spacings: &[f64]) -> Vec<Vec<(f64, f64)>> {
    let found: Vec<(u32, f64, f64)> = used
        .par_iter()
        .zip(spacings)
        .flat_map_iter(|(u, h)| {
            lines
                .within(u.at, 1.05 * h)
                .into_iter()
                .filter(|&piece| u.piece != Some(piece))
                .map(|piece| {
                    let s = lines.segment(piece);
                    (piece, s.nearest_share(u.at), s.distance(u.at))
                })
                .filter(|f| f.1 > 0.0 && f.1 < 1.0)
                // What stands beyond another wall is not read from here.
                .filter(|f| lines.sees(lines.segment(f.0).at(f.1), u.at))
        })
        .collect();
    let mut feet = vec![Vec::new(); lines.pieces.len()];
    for (piece, share, off) in found {
        feet[piece as usize].push((share, off));
    }
    for f in &mut feet {
        f.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.total_cmp(&b.0)));
    }
    feet
}

/// Spacing at the nearest reading and the distance to it; of several equally near the widest spacing,
/// so that none of them is preferred.
pub(super) fn spacing_near(grid: &PointGrid, spacings: &[f64], p: Point) -> Option<(f64, f64)> {
    let (_, d) = grid.nearest(p)?;
    let reach = d * (1.0 + 1e-6);
    let r = Point::new(reach, reach);
    let h = grid
        .in_box(p - r, p + r)
        .filter(|&i| grid.points()[i as usize].distance(p) <= reach)
        .map(|i| spacings[i as usize])
        .fold(0.0, f64::max);
    Some((h, d))
}
