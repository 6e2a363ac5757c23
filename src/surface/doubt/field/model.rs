//! A Gaussian field on the floor's mesh, given the readings: its likelihood, its mean, draws from it.

use super::elements::Elements;
use super::sparse::{Factors, Order};
use nalgebra::{DMatrix, DVector};
use nalgebra_sparse::{CooMatrix, CscMatrix};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A reading of the field.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    /// The vertex that it stands on.
    pub(super) vertex: u32,
    /// Index of the reading in the survey. A reading on a joint stands on a vertex of each side.
    pub(super) reading: u32,
    /// Height, metres, less the floor's mean plane.
    pub(super) height_m: f64,
}

/// What the field is made of and what was seen of it.
pub(super) struct Given {
    pub(super) elements: Elements,
    pub(super) seen: Vec<Seen>,
    /// The trend's columns at the vertices: one for each plate that was read, and the two slopes.
    pub(super) trend: DMatrix<f64>,
}

/// How smooth a field is: its order, by which its correlation falls off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Smoothness {
    /// Order 1: it has slopes nearly everywhere, and no curvature.
    Rough,
    /// Order 3: slopes and curvatures, as of a floor that was floated, or that curled and sagged.
    Smooth,
}

impl Smoothness {
    const fn nu(self) -> f64 {
        match self {
            Self::Rough => 1.0,
            Self::Smooth => 3.0,
        }
    }
}

/// How the field varies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// How smooth it is.
    pub smoothness: Smoothness,
    /// Standard deviation of the floor about its trend, metres.
    pub sd_m: f64,
    /// Distance at which heights go together by about an eighth, metres.
    pub range_m: f64,
    /// Standard deviation of one reading, metres.
    pub noise_m: f64,
}

/// A field of order nu has a correlation of about 0.14 at `sqrt(8 nu)` lengths of its operator.
///
/// SOURCE: Lindgren, Rue and Lindstrom, J. R. Statist. Soc. B 73 (2011), section 2.1: range = sqrt(8 nu) / kappa.
fn kappa(sizes: Sizes) -> f64 {
    (8.0 * sizes.smoothness.nu()).sqrt() / sizes.range_m
}

/// What the operator makes of a field of one size: the precision of that white noise.
///
/// SOURCE: the same, section 2.1, for the plane: variance = Gamma(nu) / (Gamma(nu + 1) 4 pi kappa^(2 nu)) over that precision.
fn precision_of_noise(sizes: Sizes) -> f64 {
    let nu = sizes.smoothness.nu();
    1.0 / (nu * 4.0 * std::f64::consts::PI * kappa(sizes).powf(2.0 * nu) * sizes.sd_m.powi(2))
}

/// The field of given sizes, given the readings.
pub(super) struct Posterior {
    given: Arc<Given>,
    noise_m: f64,
    /// The operator, `kappa^2 C + G` or that twice over, and the precision of what it makes of the field, vertex by vertex.
    operator: CscMatrix<f64>,
    innovation: Vec<f64>,
    factors: Factors,
    /// Trend's columns at the readings, and those undone by the readings' precision.
    columns: DMatrix<f64>,
    /// `M^-1 A' B / n^2`, a column a trend.
    undone: DMatrix<f64>,
    inner: DMatrix<f64>,
    half_log: f64,
}

impl Posterior {
    /// `scale`: by how much more the field varies at each vertex than its size says, in squares.
    pub(super) fn new(
        given: &Arc<Given>,
        sizes: Sizes,
        scale: Option<&[f64]>,
        order: &mut Option<(Order, Order)>,
    ) -> Option<Self> {
        let n = given.elements.mass.len();
        let square = kappa(sizes).powi(2);
        let mut operator = given.elements.stiffness.clone();
        for (i, j, v) in operator.triplet_iter_mut() {
            if i == j {
                *v += square * given.elements.mass[i];
            }
        }
        let once = operator.clone();
        if sizes.smoothness == Smoothness::Smooth {
            let mut weighted = operator.clone();
            for (i, _, v) in weighted.triplet_iter_mut() {
                *v /= given.elements.mass[i];
            }
            operator = &once * &weighted;
        }
        let size = precision_of_noise(sizes);
        let innovation: Vec<f64> = (0..n)
            .map(|v| size / (given.elements.mass[v] * scale.map_or(1.0, |s| s[v])))
            .collect();
        let mut weighted = operator.clone();
        for (i, _, v) in weighted.triplet_iter_mut() {
            *v *= innovation[i];
        }
        let mut precision = &operator * &weighted;
        let seen_precision = sizes.noise_m.powi(-2);
        let mut readings = CooMatrix::new(n, n);
        for s in &given.seen {
            readings.push(s.vertex as usize, s.vertex as usize, seen_precision);
        }
        precision = &precision + &CscMatrix::from(&readings);
        let (first, second) = order.take().unwrap_or_default();
        let mut factors = Factors::new(&precision, &first)?;
        let of_operator = Factors::new(&once, &second)?;
        *order = Some((factors.order(), of_operator.order()));

        let columns = DMatrix::from_fn(given.seen.len(), given.trend.ncols(), |i, c| {
            given.trend[(given.seen[i].vertex as usize, c)]
        });
        let mut undone = DMatrix::zeros(n, columns.ncols());
        for c in 0..columns.ncols() {
            let right = given.onto_vertices(columns.column(c).iter().map(|v| v * seen_precision));
            undone.set_column(c, &DVector::from_vec(factors.solve(&right)));
        }
        let at_readings = given.at_readings_all(&undone);
        let inner =
            (columns.transpose() * &columns - columns.transpose() * at_readings) * seen_precision;
        let log_operator = match sizes.smoothness {
            Smoothness::Rough => of_operator.log_determinant(),
            Smoothness::Smooth => {
                let masses: f64 = given.elements.mass.iter().map(|m| m.ln()).sum();
                2.0 * of_operator.log_determinant() - masses
            }
        };
        let log_prior: f64 = 2.0 * log_operator + innovation.iter().map(|d| d.ln()).sum::<f64>();
        let count = given.seen.len() as f64;
        // A determinant of many plates' columns overflows; its logarithm does not.
        let inner = inner.cholesky()?;
        let log_inner: f64 = 2.0 * inner.l_dirty().diagonal().map(f64::ln).sum();
        let half_log = -0.5
            * (2.0 * count * sizes.noise_m.ln() + factors.log_determinant() - log_prior
                + log_inner);
        Some(Self {
            given: given.clone(),
            noise_m: sizes.noise_m,
            operator,
            innovation,
            factors,
            columns,
            undone,
            inner: inner.inverse(),
            half_log,
        })
    }

    /// The readings' squares against what the sizes say, and how many of them are free: about as many where the sizes suit.
    pub(super) fn scatter(&mut self) -> (f64, f64) {
        let free = self.given.seen.len().saturating_sub(self.columns.ncols());
        (self.squares(), free as f64)
    }

    /// Logarithm of the restricted likelihood of the readings, less a constant that is the same for all sizes.
    pub(super) fn log_likelihood(&mut self) -> f64 {
        self.half_log - 0.5 * self.squares()
    }

    /// The readings' squares, less what field and trend explain.
    fn squares(&mut self) -> f64 {
        let heights: Vec<f64> = self.given.seen.iter().map(|s| s.height_m).collect();
        let w = self.noise_m.powi(-2);
        let right = self.given.onto_vertices(heights.iter().map(|h| h * w));
        let x = self.factors.solve(&right);
        let explained: f64 = self
            .given
            .seen
            .iter()
            .map(|s| x[s.vertex as usize] * s.height_m * w)
            .sum();
        let whole: f64 = heights.iter().map(|h| h * h * w).sum();
        let g = self.trend_right(&heights, &x);
        whole - explained - g.dot(&(&self.inner * &g))
    }

    fn trend_right(&self, heights: &[f64], x: &[f64]) -> DVector<f64> {
        let w = self.noise_m.powi(-2);
        let left = DVector::from_fn(heights.len(), |i, _| {
            (heights[i] - x[self.given.seen[i].vertex as usize]) * w
        });
        self.columns.transpose() * left
    }

    /// The field that fits these heights at the readings and this push on the vertices best.
    fn fit(&mut self, heights: &[f64], push: Option<&[f64]>) -> Vec<f64> {
        let w = self.noise_m.powi(-2);
        let mut right = self.given.onto_vertices(heights.iter().map(|h| h * w));
        if let Some(push) = push {
            right.iter_mut().zip(push).for_each(|(r, p)| *r += p);
        }
        let x = self.factors.solve(&right);
        let trend = &self.inner * self.trend_right(heights, &x);
        let rest = &self.undone * &trend;
        let plane = &self.given.trend * &trend;
        (0..x.len()).map(|v| x[v] - rest[v] + plane[v]).collect()
    }

    /// Expected heights at the vertices, less the floor's mean plane.
    pub(super) fn mean(&mut self) -> Vec<f64> {
        let heights: Vec<f64> = self.given.seen.iter().map(|s| s.height_m).collect();
        self.fit(&heights, None)
    }

    /// One floor that may be the true one. `normal` gives independent standard normal numbers; `apart` is added to
    /// each reading, by its index in the survey.
    pub(super) fn draw(
        &mut self,
        apart: impl Fn(u32) -> f64,
        mut normal: impl FnMut() -> f64,
    ) -> Vec<f64> {
        let free: Vec<f64> = self
            .innovation
            .iter()
            .map(|d| d.sqrt() * normal())
            .collect();
        let mut push = vec![0.0; free.len()];
        for (i, j, v) in self.operator.triplet_iter() {
            push[i] += v * free[j];
        }
        // One error a reading: at a joint both of its heights share it.
        let mut errors: BTreeMap<u32, f64> = BTreeMap::new();
        let heights: Vec<f64> = self
            .given
            .seen
            .iter()
            .map(|s| {
                let e = *errors.entry(s.reading).or_insert_with(&mut normal);
                s.height_m + e * self.noise_m + apart(s.reading)
            })
            .collect();
        self.fit(&heights, Some(&push))
    }

    /// Variance of the floor at each vertex, square metres.
    pub(super) fn variance(&self) -> Vec<f64> {
        let mut own = self.factors.inverse_diagonal();
        let off = &self.given.trend - &self.undone;
        let spread = &off * &self.inner;
        for (v, own) in own.iter_mut().enumerate() {
            *own += spread.row(v).dot(&off.row(v));
            if self.given.elements.plate[v].is_none() {
                *own = 0.0;
            }
        }
        own
    }

    /// Covariance of the floor at each vertex with a sum of heights, vertices and their weights, square metres.
    pub(super) fn covariance(&mut self, weights: &[(usize, f64)]) -> Vec<f64> {
        let mut sum = vec![0.0; self.innovation.len()];
        let off = &self.given.trend - &self.undone;
        let mut columns = DVector::zeros(off.ncols());
        for &(vertex, weight) in weights {
            sum[vertex] += weight;
            columns += off.row(vertex).transpose() * weight;
        }
        let own = self.factors.solve(&sum);
        let with = &self.inner * columns;
        own.iter()
            .enumerate()
            .map(|(v, own)| own + (off.row(v) * &with)[(0, 0)])
            .collect()
    }

    /// What each reading says against all the others, in standard deviations of that.
    pub(super) fn left_out(&mut self) -> Vec<f64> {
        let mean = self.mean();
        let variance = self.variance();
        let w = self.noise_m.powi(-2);
        self.given
            .seen
            .iter()
            .map(|s| {
                let v = s.vertex as usize;
                let own = (1.0 - variance[v] * w).max(1e-9);
                (s.height_m - mean[v]) / (self.noise_m * own.sqrt())
            })
            .collect()
    }
}

impl Given {
    /// Whether nothing was read of the plate that a vertex lies on.
    pub(super) fn is_unread(&self, vertex: usize) -> bool {
        let plate = self.elements.plate[vertex];
        let own = |s: &Seen| self.elements.plate[s.vertex as usize] == plate;
        plate.is_none() || !self.seen.iter().any(own)
    }

    fn onto_vertices(&self, at_readings: impl Iterator<Item = f64>) -> Vec<f64> {
        let mut out = vec![0.0; self.elements.mass.len()];
        for (s, v) in self.seen.iter().zip(at_readings) {
            out[s.vertex as usize] += v;
        }
        out
    }

    fn at_readings_all(&self, at_vertices: &DMatrix<f64>) -> DMatrix<f64> {
        DMatrix::from_fn(self.seen.len(), at_vertices.ncols(), |i, c| {
            at_vertices[(self.seen[i].vertex as usize, c)]
        })
    }
}
