//! F-numbers by ASTM E1155 / E1155M, from sample lines only.
//!
//! They are a different quantity from a gap under a straight edge and are never converted to one.

use crate::geometry::Point;
use crate::units::{FOOT_M, INCH_M};

/// One line of readings at an even interval.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleLine {
    /// Its name on the sheet.
    pub name: String,
    /// Distance between successive readings, metres: 12 in or 300 mm.
    pub interval_m: f64,
    /// Elevations in order, metres, up positive.
    pub elevations_m: Vec<f64>,
    /// Where the first reading lies, if told.
    pub start: Option<Point>,
    /// Where the last reading lies, if told.
    pub end: Option<Point>,
}

/// Which constants stand over the spread: the inch method's, or a choice for metric lines.
///
/// Whether the metric edition rounds the exact equivalents or rescales them for a 300 mm interval
/// could not be read in the standard; the choice is named in every result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Constants {
    /// 4.57 in and 12.5 in as they stand (116.08 mm and 317.5 mm), whatever the interval.
    #[default]
    Exact,
    /// Rescaled for 300 mm in place of 12 in: 112.45 mm (curvature goes with the interval squared)
    /// and 312.5 mm (difference goes with the interval).
    Rescaled,
}

impl Constants {
    /// The flatness constant, metres.
    pub fn flatness_m(self) -> f64 {
        match self {
            Self::Exact => 4.57 * INCH_M,
            Self::Rescaled => 4.57 * INCH_M * (300.0f64 / 304.8).powi(2),
        }
    }

    /// The levelness constant, metres.
    pub fn levelness_m(self) -> f64 {
        match self {
            Self::Exact => 12.5 * INCH_M,
            Self::Rescaled => 12.5 * INCH_M * 300.0 / 304.8,
        }
    }
}

/// An F-number, or why there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FNumber {
    /// The number; twice the number is twice as flat.
    Value(f64),
    /// No spread at all: the number has no upper end.
    Unbounded,
    /// Fewer than two values: no spread can be told.
    TooFew,
    /// Read at another interval than 12 in or 300 mm, which the constants stand for.
    OtherInterval,
}

impl FNumber {
    /// The number, where there is one.
    pub fn value(self) -> Option<f64> {
        match self {
            Self::Value(v) => Some(v),
            Self::Unbounded | Self::TooFew | Self::OtherInterval => None,
        }
    }

    /// In words for a report: one decimal, or what was found instead. `what` is the quantity, such
    /// as "curvature".
    pub fn words(self, what: &str) -> String {
        match self {
            Self::Value(v) => format!("{v:.1}"),
            Self::Unbounded => format!("no {what} found: the number has no upper end"),
            Self::TooFew => "too few readings".to_owned(),
            Self::OtherInterval => "none: not every line was read every 12 in (300 mm)".to_owned(),
        }
    }
}

/// Whether readings lie 12 in or 300 mm apart, to half a hundredth: a tape stretched along the floor.
pub(super) fn is_standard(interval_m: f64) -> bool {
    let near = |of: f64| (interval_m - of).abs() <= 0.005 * of;
    near(FOOT_M) || near(0.3)
}

/// Count, mean and spread of one quantity along one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// The values, metres, in order.
    pub values_m: Vec<f64>,
    /// Their mean.
    pub mean_m: f64,
    /// Their standard deviation, divisor n - 1.
    pub deviation_m: f64,
    /// The F-number.
    pub f: FNumber,
}

impl Spread {
    fn new(values_m: Vec<f64>, constant_m: f64, interval_m: f64) -> Self {
        let n = values_m.len() as f64;
        if values_m.len() < 2 {
            let mean_m = values_m.first().copied().unwrap_or(0.0);
            return Self {
                values_m,
                mean_m,
                deviation_m: 0.0,
                f: if is_standard(interval_m) {
                    FNumber::TooFew
                } else {
                    FNumber::OtherInterval
                },
            };
        }
        let mean_m = values_m.iter().sum::<f64>() / n;
        let deviation_m =
            (values_m.iter().map(|v| (v - mean_m).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
        let under = 3.0 * deviation_m + mean_m.abs();
        // A hundredth of a micrometre: far below any reading, far above rounding.
        let f = if !is_standard(interval_m) {
            FNumber::OtherInterval
        } else if under < 1e-8 {
            FNumber::Unbounded
        } else {
            FNumber::Value(constant_m / under)
        };
        Self {
            values_m,
            mean_m,
            deviation_m,
            f,
        }
    }
}

/// One line's results.
#[derive(Debug, Clone, PartialEq)]
pub struct LineF {
    /// Its name.
    pub name: String,
    /// Curvatures over two intervals, `h(i) - 2 h(i-1) + h(i-2)`: positive in a trough.
    pub q: Spread,
    /// Differences over ten intervals.
    pub z: Spread,
}

/// One line's F-numbers.
///
/// # Method
/// `FF = C / (3 s + |mean|)` over the curvatures and `FL` likewise over the ten-interval
/// differences, standard deviation with n - 1 (ASTM E1155-96(2001), section 9; constants and
/// divisor from memory of the standard).
pub fn line(line: &SampleLine, constants: Constants) -> LineF {
    let h = &line.elevations_m;
    let q = h.windows(3).map(|w| w[2] - 2.0 * w[1] + w[0]).collect();
    let z = h.windows(11).map(|w| w[10] - w[0]).collect();
    LineF {
        name: line.name.clone(),
        q: Spread::new(q, constants.flatness_m(), line.interval_m),
        z: Spread::new(z, constants.levelness_m(), line.interval_m),
    }
}

/// Combine F-numbers, each with its weight: reading counts within a section, areas over sections.
///
/// # Method
/// `1 / F^2` is the weighted mean of the parts' `1 / F^2`; combining two at a time by the
/// standard's formula gives the same in any order. A part without any spread counts as zero.
pub fn combine(parts: impl IntoIterator<Item = (f64, FNumber)>) -> FNumber {
    let (mut weight, mut sum) = (0.0, 0.0);
    for (w, f) in parts {
        match f {
            FNumber::OtherInterval => return FNumber::OtherInterval,
            FNumber::Value(v) if v > 0.0 => sum += w / (v * v),
            FNumber::Unbounded => {}
            FNumber::Value(_) | FNumber::TooFew => continue,
        }
        weight += w;
    }
    if weight <= 0.0 {
        FNumber::TooFew
    } else if sum <= 0.0 {
        FNumber::Unbounded
    } else {
        FNumber::Value((weight / sum).sqrt())
    }
}

/// Highest FF and FL that a perfectly flat and level floor shows when read to the nearest `step_m`.
///
/// # Method
/// Rounding alone spreads a curvature by `sqrt(6)` and a difference by `sqrt(2)` times
/// `step / sqrt(12)`; the mean is zero. 1/16 in gives about 34 and 163.
pub fn ceilings(step_m: f64, constants: Constants) -> (f64, f64) {
    let u = step_m / 12f64.sqrt();
    (
        constants.flatness_m() / (3.0 * 6f64.sqrt() * u),
        constants.levelness_m() / (3.0 * 2f64.sqrt() * u),
    )
}

/// A class of floor by its specified overall F-numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FClass {
    /// Name of the class.
    pub name: &'static str,
    /// Specified overall flatness.
    pub ff: f64,
    /// Specified overall levelness.
    pub fl: f64,
}

impl FClass {
    /// Minimum local values: three fifths of the overall ones (ACI 117-10, 4.8.5.3).
    pub fn local(&self) -> (f64, f64) {
        (self.ff * 0.6, self.fl * 0.6)
    }
}

/// Classes of ACI 117-10, table 4.8.5.1.
pub const ACI_CLASSES: [FClass; 5] = [
    FClass {
        name: "conventional",
        ff: 20.0,
        fl: 15.0,
    },
    FClass {
        name: "moderately flat",
        ff: 25.0,
        fl: 20.0,
    },
    FClass {
        name: "flat",
        ff: 35.0,
        fl: 25.0,
    },
    FClass {
        name: "very flat",
        ff: 45.0,
        fl: 35.0,
    },
    FClass {
        name: "superflat",
        ff: 60.0,
        fl: 40.0,
    },
];
