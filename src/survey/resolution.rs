//! The step a rule was read to, from the numbers alone.

use crate::units::{FOOT_M, INCH_M};

/// Steps in use on rules and instruments, metres, coarse to fine.
const STEPS_M: [f64; 19] = [
    INCH_M,
    INCH_M / 2.0,
    0.01,
    INCH_M / 4.0,
    0.005,
    INCH_M / 8.0,
    0.01 * FOOT_M,
    INCH_M / 10.0,
    0.002,
    INCH_M / 16.0,
    0.005 * FOOT_M,
    0.001,
    INCH_M / 32.0,
    0.0005,
    INCH_M / 64.0,
    0.001 * FOOT_M,
    INCH_M / 100.0,
    0.0001,
    INCH_M / 1000.0,
];

/// The coarsest step of the rule that every reading is a whole number of.
///
/// # Units, datum, sign
/// Lengths and result in metres, measured from the line or the datum as they were read.
/// # Method
/// Steps of rules and instruments in use (1 to 1/64 in, tenths to thousandths of an inch, 0.01 to
/// 0.001 ft, 10 to 0.1 mm) are tried from coarse to fine; a step fits when no length is farther than
/// a millionth of it, or 10 nm, from a whole number of steps.
/// # Edge cases
/// `None` with fewer than five lengths or three different ones (nothing is evident), and when no step
/// fits: a scan's computed heights show none.
pub fn evident_resolution(lengths_m: &[f64]) -> Option<f64> {
    let mut different: Vec<f64> = Vec::with_capacity(3);
    for &length in lengths_m {
        if !different.contains(&length) {
            different.push(length);
            if different.len() == 3 {
                break;
            }
        }
    }
    if lengths_m.len() < 5 || different.len() < 3 {
        return None;
    }
    STEPS_M.into_iter().find(|step| {
        lengths_m.iter().all(|length| {
            let off = (length - (length / step).round() * step).abs();
            off <= (step * 1e-6).max(1e-8)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_step_shows_in_the_numbers() {
        // ORACLE: hand. Multiples of each step, none of them all multiples of a coarser one.
        let inches = |v: &[f64]| v.iter().map(|i| i * INCH_M).collect::<Vec<_>>();
        let near = |got: Option<f64>, want: f64| got.is_some_and(|g| (g - want).abs() < 1e-12);
        assert!(near(
            evident_resolution(&inches(&[31.25, 31.1875, 31.125, 31.5, 31.8125])),
            INCH_M / 16.0
        ));
        assert!(near(
            evident_resolution(&[0.798, 0.801, 0.803, 0.8, 0.795]),
            0.001
        ));
        assert!(near(
            evident_resolution(&[3.42, 3.4, 3.43, 3.5, 3.39].map(|f| f * FOOT_M)),
            0.01 * FOOT_M
        ));
        assert_eq!(evident_resolution(&[0.8, 0.8, 0.8, 0.8, 0.8]), None);
        assert_eq!(evident_resolution(&[0.1, 0.2]), None);
        let irrational: Vec<f64> = (1..20).map(|i| f64::from(i).sqrt()).collect();
        assert_eq!(evident_resolution(&irrational), None);
    }
}
