//! The worst gap on one profile: a straight line of heights.

use super::ray::Line;

/// The worst chord on a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfileGap {
    /// Depth below the chord, metres.
    pub gap_m: f64,
    /// Left end of the chord, distance along the profile.
    pub left_m: f64,
    /// Right end of the chord.
    pub right_m: f64,
    /// The deepest point.
    pub low_m: f64,
}

/// As [`profile_gap`], with the ends of the chord at the given points only.
///
/// For readings along a line this is the depth below the upper hull within a sliding window of readings; ends
/// between readings can find a little more.
pub fn reading_gap(points: &[(f64, f64)], span_m: f64) -> Option<ProfileGap> {
    let mut best: Option<ProfileGap> = None;
    for (i, a) in points.iter().enumerate() {
        // A thousandth of a millimetre lets a whole number of steps fill the span exactly.
        let reach = points[i..]
            .iter()
            .take_while(|p| p.0 - a.0 <= span_m + 1e-6)
            .count();
        for (j, b) in points[..i + reach].iter().enumerate().skip(i + 2) {
            for m in &points[i + 1..j] {
                let gap = a.1 + (b.1 - a.1) * (m.0 - a.0) / (b.0 - a.0) - m.1;
                if gap > best.map_or(0.0, |b| b.gap_m) {
                    best = Some(ProfileGap {
                        gap_m: gap,
                        left_m: a.0,
                        right_m: b.0,
                        low_m: m.0,
                    });
                }
            }
        }
    }
    best
}

/// The deepest point of a profile below a chord of at most `span_m` between two of its points.
///
/// # Units, datum, sign
/// `points` are `(distance, height)` with distances rising, straight between them; metres. Negate the
/// heights to find humps.
/// # Method
/// Exact: for each point, the steepest rises to either side within the span (see docs/methods.md).
/// # Edge cases
/// `None` where the profile is nowhere below a chord.
pub fn profile_gap(points: &[(f64, f64)], span_m: f64) -> Option<ProfileGap> {
    let mut line = Line::default();
    let mut best: Option<ProfileGap> = None;
    for (i, m) in points.iter().enumerate() {
        let back = points[..i].iter().rev().map(|p| (m.0 - p.0, p.1 - m.1));
        let ahead = points[i + 1..].iter().map(|p| (p.0 - m.0, p.1 - m.1));
        let least = best.map_or(0.0, |b| b.gap_m);
        if let Some(c) = line.over(back, ahead, span_m, least) {
            best = Some(ProfileGap {
                gap_m: c.gap,
                left_m: m.0 - c.back,
                right_m: m.0 + c.ahead,
                low_m: m.0,
            });
        }
    }
    best
}
