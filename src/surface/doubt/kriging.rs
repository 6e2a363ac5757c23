//! Kriging: the floor between readings, with how sure it is.

use super::variation::{Variation, matern};
use crate::geometry::Point;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, Matrix3, Vector3};

/// A height, or a sum of heights, with its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Expected value.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// Readings with a variation: universal kriging with a plane as trend.
///
/// # Method
/// Heights are a plane, plus a Gaussian field of the given covariance, plus each reading's own noise. The
/// plane's three numbers are unknown and have no bounds, so their doubt is in every answer, and a tilt of
/// all readings tilts the answers and changes no standard deviation.
/// # Source
/// Cressie, Statistics for Spatial Data (1993), section 3.4.
#[derive(Debug, Clone)]
pub struct Kriging {
    pub(super) at: Vec<Point>,
    /// Middle of the readings and their reach: the trend is taken in these to keep its numbers near one.
    middle: Point,
    reach: f64,
    pub(super) variation: Variation,
    /// Factor of the readings' covariance, as a share of the variance.
    pub(super) covariance: Cholesky<f64, Dyn>,
    /// Covariance undone on the trend's columns.
    undone: DMatrix<f64>,
    /// Doubt of the trend's numbers, as a share of the variance.
    trend_doubt: Matrix3<f64>,
    trend: Vector3<f64>,
    /// Covariance undone on what the trend leaves of the heights.
    weights: DVector<f64>,
    /// The heights that the trend leaves, and the projection's inner terms for leaving one out.
    residual: DVector<f64>,
}

impl Kriging {
    /// Kriging of heights `z` at places `at` with a given variation.
    ///
    /// # Units, datum, sign
    /// Metres; `z` elevations, one a place.
    /// # Edge cases
    /// `None` when the lists differ in length, hold fewer than four places or one line of them, or a number
    /// is not finite, or the variation has no spread.
    pub fn new(at: &[Point], z: &[f64], variation: Variation) -> Option<Self> {
        let n = at.len();
        let sound = variation.sd_m > 0.0 && variation.range_m > 0.0 && variation.noise_m >= 0.0;
        if n != z.len() || n < 4 || !sound || z.iter().any(|z| !z.is_finite()) {
            return None;
        }
        let middle = at.iter().fold(Point::default(), |s, p| s + *p) * (1.0 / n as f64);
        let reach = at
            .iter()
            .map(|p| p.distance(middle))
            .fold(0.0, f64::max)
            .max(f64::MIN_POSITIVE);
        let noise = (variation.noise_m / variation.sd_m).powi(2);
        let covariance = DMatrix::from_fn(n, n, |i, j| {
            let own = if i == j { noise } else { 0.0 };
            matern(at[i].distance(at[j]), variation.range_m) + own
        });
        let covariance = Cholesky::new(covariance)?;
        let columns = DMatrix::from_fn(n, 3, |i, c| trend_row(at[i], middle, reach)[c]);
        let undone = covariance.solve(&columns);
        let inner: Matrix3<f64> = (columns.transpose() * &undone)
            .fixed_view::<3, 3>(0, 0)
            .into();
        let trend_doubt = inner.try_inverse()?;
        let heights = DVector::from_column_slice(z);
        let right: Vector3<f64> = (undone.transpose() * &heights)
            .fixed_view::<3, 1>(0, 0)
            .into();
        let trend = trend_doubt * right;
        let residual = &heights - &columns * trend;
        let weights = covariance.solve(&residual);
        let all = weights.iter().chain(trend.iter()).all(|v| v.is_finite());
        all.then(|| Self {
            at: at.to_vec(),
            middle,
            reach,
            variation,
            covariance,
            undone,
            trend_doubt,
            trend,
            weights,
            residual,
        })
    }

    /// The variation it was made with.
    pub fn variation(&self) -> Variation {
        self.variation
    }

    /// The floor's height at a place, without the noise of a reading.
    pub fn at(&self, p: Point) -> Estimate {
        self.sum(&[(p, 1.0)])
    }

    /// A weighted sum of the floor's heights, such as a volume under it.
    ///
    /// # Method
    /// The sum is linear in the heights, so its distribution is normal and known exactly: covariances of
    /// the sum with the readings and with itself are sums of covariances.
    pub fn sum(&self, weights: &[(Point, f64)]) -> Estimate {
        let range = self.variation.range_m;
        let n = self.at.len();
        let with_readings = DVector::from_fn(n, |i, _| {
            weights
                .iter()
                .map(|(p, w)| w * matern(self.at[i].distance(*p), range))
                .sum()
        });
        let mut with_itself = 0.0;
        for (i, (p, w)) in weights.iter().enumerate() {
            let later: f64 = weights[i + 1..]
                .iter()
                .map(|(q, v)| v * matern(p.distance(*q), range))
                .sum();
            with_itself += w * w + 2.0 * w * later;
        }
        let row = weights.iter().fold(Vector3::zeros(), |s, (p, w)| {
            s + trend_row(*p, self.middle, self.reach) * *w
        });
        let mean = row.dot(&self.trend) + with_readings.dot(&self.weights);
        let variance =
            with_itself - self.told(&with_readings) + self.trend_part(&row, &with_readings);
        Estimate {
            mean,
            sd: self.variation.sd_m * variance.max(0.0).sqrt(),
        }
    }

    /// Share of variance that the readings take away from something of these covariances with them.
    fn told(&self, with_readings: &DVector<f64>) -> f64 {
        self.covariance
            .l_dirty()
            .solve_lower_triangular(with_readings)
            .map_or(0.0, |v| v.norm_squared())
    }

    /// Share of variance that the doubt of the trend adds.
    fn trend_part(&self, row: &Vector3<f64>, with_readings: &DVector<f64>) -> f64 {
        let off = self.off(row, with_readings);
        off.dot(&(self.trend_doubt * off))
    }

    fn off(&self, row: &Vector3<f64>, with_readings: &DVector<f64>) -> Vector3<f64> {
        let through: Vector3<f64> = (self.undone.transpose() * with_readings)
            .fixed_view::<3, 1>(0, 0)
            .into();
        row - through
    }

    /// Covariances, as shares of the variance, of the floor at places given the readings.
    pub(super) fn left_open(&self, places: &[Point]) -> DMatrix<f64> {
        let (n, m) = (self.at.len(), places.len());
        let range = self.variation.range_m;
        let mut cross =
            DMatrix::from_fn(n, m, |i, j| matern(self.at[i].distance(places[j]), range));
        let rows = DMatrix::from_fn(3, m, |c, j| {
            trend_row(places[j], self.middle, self.reach)[c]
        });
        let off = rows - self.undone.transpose() * &cross;
        let trend = off.transpose() * (self.trend_doubt * &off);
        let mut open = DMatrix::from_fn(m, m, |i, j| matern(places[i].distance(places[j]), range));
        self.covariance
            .l_dirty()
            .solve_lower_triangular_mut(&mut cross);
        open.gemm_tr(-1.0, &cross, &cross, 1.0);
        open + trend
    }

    /// What each reading says against all the others: its height less the one they foretell, and the
    /// standard deviation of that difference, metres.
    ///
    /// # Source
    /// Dubrule, Cross validation of kriging in a unique neighborhood, Mathematical Geology 15 (1983): the
    /// readings left out one at a time, from one factorisation.
    pub fn left_out(&self) -> Vec<Estimate> {
        let inverse = self.covariance.inverse();
        let spread = &self.undone * self.trend_doubt * self.undone.transpose();
        (0..self.at.len())
            .map(|i| {
                let own = inverse[(i, i)] - spread[(i, i)];
                Estimate {
                    mean: self.weights[i] / own,
                    sd: self.variation.sd_m / own.sqrt(),
                }
            })
            .collect()
    }

    /// Logarithm of the restricted likelihood of the readings under this variation, less a constant that is
    /// the same for every variation of the same readings.
    ///
    /// # Source
    /// Cressie (1993), section 2.6: restricted maximum likelihood.
    pub fn log_likelihood(&self) -> f64 {
        let variance = self.variation.sd_m.powi(2);
        let squares = self.residual.dot(&self.weights);
        -0.5 * (self.free() * variance.ln() + squares / variance + self.log_size())
    }

    /// The same with the variance that suits the readings best, and that variance; the ratio of noise to
    /// spread is kept.
    pub(super) fn best_likelihood(&self) -> (f64, f64) {
        let variance = self.residual.dot(&self.weights) / self.free();
        let value = -0.5 * (self.free() * (variance.ln() + 1.0) + self.log_size());
        (value, variance)
    }

    /// Readings that the trend leaves free.
    fn free(&self) -> f64 {
        self.at.len() as f64 - 3.0
    }

    /// Logarithms of the determinants of covariance and trend, as shares of the variance.
    fn log_size(&self) -> f64 {
        let covariance: f64 = 2.0 * self.covariance.l_dirty().diagonal().map(f64::ln).sum();
        covariance - self.trend_doubt.determinant().ln()
    }
}

/// A place in the trend's terms: one, across, up.
fn trend_row(p: Point, middle: Point, reach: f64) -> Vector3<f64> {
    let d = (p - middle) * (1.0 / reach);
    Vector3::new(1.0, d.x, d.y)
}
