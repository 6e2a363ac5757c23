//! A sparse, symmetric, positive definite matrix taken apart, for solving and for its determinant and inverse.

use clarabel::algebra::CscMatrix as Upper;
use clarabel::qdldl::{QDLDLFactorisation, QDLDLSettingsBuilder};
use nalgebra_sparse::CscMatrix;

/// Order in which to take a matrix apart: one order serves all matrices of one pattern.
pub(super) type Order = Option<Vec<usize>>;

/// Factors of a symmetric positive definite matrix.
pub(super) struct Factors {
    inner: QDLDLFactorisation<f64>,
}

impl Factors {
    /// `None` where the matrix is not positive definite. `matrix` holds both halves.
    pub(super) fn new(matrix: &CscMatrix<f64>, order: &Order) -> Option<Self> {
        let n = matrix.ncols();
        let (mut starts, mut rows, mut values) = (vec![0], Vec::new(), Vec::new());
        for (j, column) in matrix.col_iter().enumerate() {
            for (&i, &v) in column.row_indices().iter().zip(column.values()) {
                if i <= j {
                    rows.push(i);
                    values.push(v);
                }
            }
            starts.push(rows.len());
        }
        if values.iter().any(|v| !v.is_finite()) {
            return None;
        }
        let mut settings = QDLDLSettingsBuilder::default();
        settings.regularize_enable(false);
        if let Some(order) = order {
            settings.perm(order.clone());
        }
        let upper = Upper::new(n, n, starts, rows, values);
        let inner = QDLDLFactorisation::new(&upper, settings.build().ok()).ok()?;
        (inner.positive_inertia() == n && inner.D.iter().all(|d| d.is_finite() && *d > 0.0))
            .then_some(Self { inner })
    }

    pub(super) fn order(&self) -> Order {
        Some(self.inner.perm.clone())
    }

    pub(super) fn solve(&mut self, right: &[f64]) -> Vec<f64> {
        let mut x = right.to_vec();
        self.inner.solve(&mut x);
        x
    }

    /// Logarithm of the determinant.
    pub(super) fn log_determinant(&self) -> f64 {
        self.inner.D.iter().map(|d| d.ln()).sum()
    }

    /// Diagonal of the inverse.
    ///
    /// # Source
    /// Takahashi, Fagan and Chin, Formation of a sparse bus impedance matrix (1973): the inverse on the pattern of the
    /// factor, from the last column to the first.
    pub(super) fn inverse_diagonal(&self) -> Vec<f64> {
        let (l, n) = (&self.inner.L, self.inner.D.len());
        // Entries of the inverse under the diagonal, on the factor's own pattern, and its diagonal.
        let mut below = vec![0.0; l.nzval.len()];
        let mut diagonal = vec![0.0; n];
        let mut place = vec![usize::MAX; n];
        let mut sums: Vec<f64> = Vec::new();
        for j in (0..n).rev() {
            let (from, to) = (l.colptr[j], l.colptr[j + 1]);
            let rows = &l.rowval[from..to];
            for (k, &row) in rows.iter().enumerate() {
                place[row] = k;
            }
            sums.clear();
            sums.resize(rows.len(), 0.0);
            for (k, &row) in rows.iter().enumerate() {
                let own = l.nzval[from + k];
                sums[k] -= own * diagonal[row];
                for at in l.colptr[row]..l.colptr[row + 1] {
                    let i = place[l.rowval[at]];
                    if i != usize::MAX {
                        sums[i] -= own * below[at];
                        sums[k] -= l.nzval[from + i] * below[at];
                    }
                }
            }
            let mut own = self.inner.Dinv[j];
            for (k, &row) in rows.iter().enumerate() {
                own -= l.nzval[from + k] * sums[k];
                place[row] = usize::MAX;
            }
            below[from..to].copy_from_slice(&sums);
            diagonal[j] = own;
        }
        let mut out = vec![0.0; n];
        for (k, &original) in self.inner.perm.iter().enumerate() {
            out[original] = diagonal[k];
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::DMatrix;
    use nalgebra_sparse::CooMatrix;
    use proptest::prelude::*;

    proptest! {
        // ORACLE: independent route: nalgebra's dense LU of the same matrix.
        #[test]
        fn agrees_with_a_dense_inverse(
            links in proptest::collection::vec((0usize..14, 0usize..14, -1.0..1.0f64), 0..40),
            right in proptest::collection::vec(-3.0..3.0f64, 14),
        ) {
            let mut dense = DMatrix::<f64>::zeros(14, 14);
            for (i, j, v) in links {
                if i != j {
                    dense[(i, j)] += v;
                    dense[(j, i)] += v;
                }
            }
            for i in 0..14 {
                dense[(i, i)] = 0.3 + (0..14).filter(|&j| j != i).map(|j| dense[(i, j)].abs()).sum::<f64>();
            }
            let mut coo = CooMatrix::new(14, 14);
            for i in 0..14 {
                for j in 0..14 {
                    if dense[(i, j)] != 0.0 {
                        coo.push(i, j, dense[(i, j)]);
                    }
                }
            }
            let mut factors = Factors::new(&CscMatrix::from(&coo), &None).unwrap();
            let inverse = dense.clone().try_inverse().unwrap();
            for (i, own) in factors.inverse_diagonal().into_iter().enumerate() {
                prop_assert!((own - inverse[(i, i)]).abs() < 1e-9 * inverse[(i, i)].abs().max(1.0));
            }
            prop_assert!((factors.log_determinant() - dense.determinant().ln()).abs() < 1e-8);
            let x = factors.solve(&right);
            let expected = &inverse * nalgebra::DVector::from_vec(right);
            for (a, b) in x.iter().zip(expected.iter()) {
                prop_assert!((a - b).abs() < 1e-8);
            }
        }
    }

    // ORACLE: closed form: a matrix with a negative eigenvalue is none of these.
    #[test]
    fn refuses_what_is_not_positive_definite() {
        let mut coo = CooMatrix::new(2, 2);
        for (i, j, v) in [(0, 0, 1.0), (1, 1, 1.0), (0, 1, 2.0), (1, 0, 2.0)] {
            coo.push(i, j, v);
        }
        assert!(Factors::new(&CscMatrix::from(&coo), &None).is_none());
    }
}
