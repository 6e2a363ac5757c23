//! How heights of a floor vary with distance.

/// A variation of heights: how much, over what distance, and how much of it is the reading's own noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variation {
    /// Standard deviation of the floor about its trend, metres.
    pub sd_m: f64,
    /// Distance over which heights go together, metres: the length of a Matérn covariance of order 3/2.
    pub range_m: f64,
    /// Standard deviation of one reading about the floor, metres.
    pub noise_m: f64,
}

/// Covariance at a distance, as a share of the variance.
///
/// # Source
/// Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), equation 4.17: a floor that has
/// slopes but may change them within a short way, as troweled and patched floors do.
pub fn matern(distance_m: f64, range_m: f64) -> f64 {
    let r = 3f64.sqrt() * distance_m / range_m;
    (1.0 + r) * (-r).exp()
}

#[cfg(test)]
mod tests {
    use super::matern;

    // ORACLE: closed form: 1 at no distance; at the range (1 + sqrt 3) exp(-sqrt 3) = 0.4834.
    #[test]
    fn falls_from_one() {
        assert_eq!(matern(0.0, 2.0), 1.0);
        assert!((matern(2.0, 2.0) - 0.483_357_7).abs() < 1e-7);
        assert!(matern(40.0, 2.0) < 1e-12);
    }
}
