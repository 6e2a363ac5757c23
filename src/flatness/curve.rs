//! A limit that follows the distance between the contact points.

/// Allowance by contact distance, as DIN 18202 tables it.
///
/// # Method
/// Straight lines between the table's points; the result to the nearest whole millimetre, halves up.
/// Below the first point nothing is defined; beyond the last its value stands. Of the published
/// interpolated table (13 distances, 7 lines) 89 of 91 cells follow this; the two that do not are
/// line 2 at 3.5 m (11.33, printed 12) and line 7 at 0.6 m (2.56, printed 2), taken as misprints.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitCurve {
    points: Vec<(f64, f64)>,
}

impl LimitCurve {
    /// A curve through `(distance_m, limit_m)` points: at least two, distances rising, limits not
    /// falling; otherwise `None`.
    pub fn new(points: Vec<(f64, f64)>) -> Option<Self> {
        let rising = points
            .windows(2)
            .all(|w| w[0].0 < w[1].0 && w[0].1 <= w[1].1);
        let good = points
            .iter()
            .all(|p| p.0 > 0.0 && p.1 > 0.0 && p.0.is_finite() && p.1.is_finite());
        (points.len() >= 2 && rising && good).then_some(Self { points })
    }

    /// The shortest distance it is defined for, metres.
    pub fn shortest_m(&self) -> f64 {
        self.points[0].0
    }

    /// The distance from which on it stays level, metres.
    pub fn longest_m(&self) -> f64 {
        self.points[self.points.len() - 1].0
    }

    /// The straight-line value before rounding, metres; `None` below the shortest distance.
    pub fn raw_m(&self, distance_m: f64) -> Option<f64> {
        if distance_m < self.shortest_m() {
            return None;
        }
        let last = self.points[self.points.len() - 1];
        let value = self
            .points
            .windows(2)
            .find(|w| distance_m <= w[1].0)
            .map_or(last.1, |w| {
                w[0].1 + (w[1].1 - w[0].1) * (distance_m - w[0].0) / (w[1].0 - w[0].0)
            });
        Some(value)
    }

    /// The limit at a distance, whole millimetres as metres; `None` below the shortest distance.
    pub fn limit_m(&self, distance_m: f64) -> Option<f64> {
        // A nanometre keeps an exact half from falling to the wrong side in binary.
        self.raw_m(distance_m)
            .map(|v| ((v * 1000.0 + 0.5 + 1e-6).floor()) / 1000.0)
    }

    /// The limit as a staircase: `(up to this distance, limit)` from the shortest distance on; the
    /// last step has no end.
    pub fn steps(&self) -> Vec<(f64, f64)> {
        let whole = |v: f64| (v * 1000.0 + 0.5 + 1e-6).floor() as i64;
        let (first, last) = (
            whole(self.points[0].1),
            whole(self.points[self.points.len() - 1].1),
        );
        let mut out = Vec::new();
        for mm in first..=last {
            let edge = (mm as f64 + 0.5) / 1000.0;
            let until = self
                .points
                .windows(2)
                .find(|w| w[1].1 >= edge)
                .map_or(f64::INFINITY, |w| {
                    w[0].0 + (w[1].0 - w[0].0) * ((edge - w[0].1) / (w[1].1 - w[0].1)).max(0.0)
                });
            out.push((until, mm as f64 / 1000.0));
        }
        out
    }
}
