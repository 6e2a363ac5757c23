//! Cutting the ordered floor into batches of given volume.

use super::piece::{By, Piece};

/// Most steps to find one level. Halving alone ends within about 60 on values between 0 and the
/// count of sections; the rest is room for the secant steps that did not help.
const STEP_LIMIT: usize = 200;

/// Cuts pieces by their order so that consecutive parts hold `shares` of the whole volume.
///
/// # Method
/// Divide and conquer: the level for the middle share is found on the pieces at hand, the pieces
/// are cut there, and each half is treated the same. Every piece is touched a number of times that
/// grows with the logarithm of the count of batches only. Each level is found by secant steps on
/// the exact volume, kept inside a bracket by halving.
/// # Accuracy
/// Each part holds its share of the volume to a relative 1e-9, except where a whole piece lies at
/// one level (then to that piece).
pub(super) fn split(pieces: Vec<Piece>, shares: &[f64]) -> Vec<Vec<Piece>> {
    let mut parts = vec![Vec::new(); shares.len()];
    let whole: f64 = shares.iter().sum();
    if shares.is_empty() || whole <= 0.0 {
        return parts;
    }
    let mut work = vec![(pieces, 0, shares.len())];
    while let Some((pieces, from, to)) = work.pop() {
        if to - from <= 1 {
            parts[from] = pieces;
            continue;
        }
        let middle = from + (to - from) / 2;
        let first: f64 = shares[from..middle].iter().sum();
        let all: f64 = shares[from..to].iter().sum();
        let level = level_at(&pieces, first / all);
        let (mut low, mut high) = (Vec::new(), Vec::new());
        for piece in pieces {
            let (least, most) = piece.range();
            if most <= level {
                low.push(piece);
            } else if least >= level {
                high.push(piece);
            } else {
                let (below, above) = piece.cut(By::Order, level);
                low.extend(below);
                high.extend(above);
            }
        }
        work.push((low, from, middle));
        work.push((high, middle, to));
    }
    parts
}

/// The order below which a share of the pieces' volume lies.
pub(super) fn level_at(pieces: &[Piece], share: f64) -> f64 {
    let (mut lo, mut hi) = pieces
        .iter()
        .map(Piece::range)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), (a, b)| {
            (l.min(a), h.max(b))
        });
    if hi <= lo {
        return hi;
    }
    let ranged: Vec<(f64, f64, f64, &Piece)> = pieces
        .iter()
        .map(|p| {
            let (least, most) = p.range();
            (least, most, p.volume(), p)
        })
        .collect();
    let whole: f64 = ranged.iter().map(|r| r.2).sum();
    let target = whole * share;
    // Only pieces that straddle the bracket are cut again; the others are counted once.
    let mut below = 0.0;
    let mut open = ranged;
    let (mut at_lo, mut at_hi) = (0.0, whole);
    let tolerance = 1e-12 * whole;
    let mut level = lo;
    for step in 0..STEP_LIMIT {
        let secant = lo + (hi - lo) * ((target - at_lo) / (at_hi - at_lo));
        let half = lo + (hi - lo) / 2.0;
        level = if step % 3 != 2 && secant > lo && secant < hi {
            secant
        } else {
            half
        };
        let volume = below
            + open
                .iter()
                .map(|&(least, most, v, p)| {
                    if most <= level {
                        v
                    } else if least >= level {
                        0.0
                    } else {
                        p.volume_before(level)
                    }
                })
                .sum::<f64>();
        if (volume - target).abs() <= tolerance {
            break;
        }
        if volume < target {
            lo = level;
            at_lo = volume;
        } else {
            hi = level;
            at_hi = volume;
        }
        below += open.iter().filter(|r| r.1 <= lo).map(|r| r.2).sum::<f64>();
        open.retain(|r| r.1 > lo && r.0 < hi);
        if hi - lo <= f64::EPSILON * hi.abs().max(1.0) {
            break;
        }
    }
    level
}
