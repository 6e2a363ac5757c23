//! Sum of many numbers without losing the small ones.

/// A running sum that keeps the digits an ordinary one drops.
///
/// # Method
/// Neumaier's variant of Kahan summation: the rounding error of every addition is carried in a
/// second number. The error of the total no longer grows with the count of terms.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Sum {
    total: f64,
    lost: f64,
}

impl Sum {
    /// Adds one term.
    pub(crate) fn add(&mut self, term: f64) {
        let next = self.total + term;
        self.lost += if self.total.abs() >= term.abs() {
            (self.total - next) + term
        } else {
            (term - next) + self.total
        };
        self.total = next;
    }

    /// This sum and another.
    pub(crate) fn plus(mut self, other: Self) -> Self {
        self.add(other.total);
        self.add(other.lost);
        self
    }

    /// This sum less another.
    pub(crate) fn minus(mut self, other: Self) -> Self {
        self.add(-other.total);
        self.add(-other.lost);
        self
    }

    /// This sum so many times, the product's rounding error kept.
    pub(crate) fn times(self, factor: f64) -> Self {
        let total = self.total * factor;
        Self {
            total,
            lost: self.total.mul_add(factor, -total) + self.lost * factor,
        }
    }

    /// The sum so far.
    pub(crate) fn value(self) -> f64 {
        self.total + self.lost
    }
}

impl FromIterator<f64> for Sum {
    fn from_iter<I: IntoIterator<Item = f64>>(terms: I) -> Self {
        let mut sum = Self::default();
        for term in terms {
            sum.add(term);
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::Sum;

    // ORACLE: closed form; an ordinary left-to-right sum gives 0 here.
    #[test]
    fn small_terms_survive_large_ones() {
        let sum: Sum = [1.0, 1e100, 1.0, -1e100].into_iter().collect();
        assert_eq!(sum.value(), 2.0);
    }
}
