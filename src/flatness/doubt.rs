//! Doubt of a gap that comes from the readings themselves.

use super::Placement;
use crate::geometry::Point;
use crate::surface::Floor;
use serde::{Deserialize, Serialize};

/// What makes one reading uncertain.
///
/// A tilt of the line cancels out of every gap, so an instrument's error that grows evenly with
/// distance does not belong here; only what differs from reading to reading does.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct ReadingDoubt {
    /// Smallest step that was read, metres; `None` when not known.
    pub step_m: Option<f64>,
    /// Standard deviation of a repeated reading at one spot, metres; 0 when not known.
    pub repeatability_m: f64,
    /// Standard uncertainty of the line's own height from spot to spot, metres; 0 when not known.
    pub instrument_m: f64,
}

impl ReadingDoubt {
    /// Standard uncertainty of one reading, metres.
    ///
    /// # Method
    /// A step of `s` read to the nearest is uniform over `s`, so `u = s / sqrt(12)` (JCGM 100:2008,
    /// 4.3.7); the parts are independent and add in squares (5.1.2).
    pub fn reading_m(&self) -> f64 {
        let step = self.step_m.unwrap_or(0.0) / 12f64.sqrt();
        (step * step + self.repeatability_m.powi(2) + self.instrument_m.powi(2)).sqrt()
    }
}

/// Expanded uncertainty (k = 2) of a placement's gap, metres.
///
/// # Method
/// The gap is `(1 - k) a + k b - m`, and each of the three heights is a mean of the readings at its
/// triangle's corners; the weight of each reading is gathered over all three and the squares are
/// summed. Three readings with the lowest in the middle give `sqrt(1.5)` times one reading's doubt.
/// # Edge cases
/// Without a placement the doubt is that of three readings with the lowest in the middle.
pub fn gap_doubt_m(floor: &Floor, placement: Option<&Placement>, reading: &ReadingDoubt) -> f64 {
    let u = reading.reading_m();
    let Some(p) = placement else {
        return 2.0 * 1.5f64.sqrt() * u;
    };
    let chord = p.chord_m();
    let k = if chord > 0.0 {
        p.from.distance(p.at) / chord
    } else {
        0.5
    };
    let mut weights: Vec<(u32, f64)> = Vec::with_capacity(9);
    for (at, share) in [(p.from, 1.0 - k), (p.to, k), (p.at, -1.0)] {
        for (v, w) in corner_weights(floor, at) {
            match weights.iter_mut().find(|x| x.0 == v) {
                Some(x) => x.1 += w * share,
                None => weights.push((v, w * share)),
            }
        }
    }
    2.0 * u * weights.iter().map(|w| w.1 * w.1).sum::<f64>().sqrt()
}

/// The corners of the triangle at (or nearest to) a place, with their shares of its height.
fn corner_weights(floor: &Floor, at: Point) -> [(u32, f64); 3] {
    let mut best = (f64::MIN, [(0, 0.0); 3]);
    for (t, tri) in floor.triangles().iter().enumerate() {
        let [a, b, c] = floor.corners(t as u32).map(|v| v.at);
        let det = (b - a).cross(c - a);
        if det <= 0.0 {
            continue;
        }
        let w = [
            (b - at).cross(c - at) / det,
            (c - at).cross(a - at) / det,
            (a - at).cross(b - at) / det,
        ];
        let least = w[0].min(w[1]).min(w[2]);
        if least > best.0 {
            best = (least, [(tri[0], w[0]), (tri[1], w[1]), (tri[2], w[2])]);
            if least >= 0.0 {
                break;
            }
        }
    }
    // Just outside by rounding: the nearest triangle's corners, shares kept between 0 and 1.
    best.1.map(|(v, w)| (v, w.clamp(0.0, 1.0)))
}
