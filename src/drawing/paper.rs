//! Paper sizes and the standard scales that drawings are made at.

use super::DrawingError;
use crate::units::Habit;

/// A paper size. Letter and Tabloid are ANSI A and B (ASME Y14.1); A4 and A3 are ISO 216.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Paper {
    /// 8 1/2 by 11 in.
    #[default]
    Letter,
    /// 11 by 17 in.
    Tabloid,
    /// 210 by 297 mm.
    A4,
    /// 297 by 420 mm.
    A3,
}

impl Paper {
    /// Name as printed.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
            Self::A4 => "A4",
            Self::A3 => "A3",
        }
    }

    /// Short side and long side, millimetres.
    pub const fn sides_mm(self) -> (f64, f64) {
        match self {
            Self::Letter => (215.9, 279.4),
            Self::Tabloid => (279.4, 431.8),
            Self::A4 => (210.0, 297.0),
            Self::A3 => (297.0, 420.0),
        }
    }
}

/// A standard scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scale {
    /// How many times smaller than the floor the drawing is.
    pub ratio: u32,
    /// How a drawing states it.
    pub words: &'static str,
}

impl Scale {
    /// Millimetres of paper for a metre of floor.
    pub fn mm_per_m(self) -> f64 {
        1000.0 / f64::from(self.ratio)
    }
}

macro_rules! scales {
    ($($ratio:literal $words:literal),* $(,)?) => { &[$(Scale { ratio: $ratio, words: $words }),*] };
}

/// Architects' scales, then engineers', largest first.
const US: &[Scale] = scales![
    12 "1 in = 1 ft", 16 "3/4 in = 1 ft", 24 "1/2 in = 1 ft", 32 "3/8 in = 1 ft", 48 "1/4 in = 1 ft",
    64 "3/16 in = 1 ft", 96 "1/8 in = 1 ft", 128 "3/32 in = 1 ft", 192 "1/16 in = 1 ft",
    240 "1 in = 20 ft", 360 "1 in = 30 ft", 480 "1 in = 40 ft", 600 "1 in = 50 ft", 720 "1 in = 60 ft",
    1200 "1 in = 100 ft", 2400 "1 in = 200 ft", 6000 "1 in = 500 ft", 12000 "1 in = 1000 ft",
];

/// ISO 5455 scales and the two between that building plans use (1:25, 1:250), largest first.
const METRIC: &[Scale] = scales![
    10 "1:10", 20 "1:20", 25 "1:25", 50 "1:50", 100 "1:100", 200 "1:200", 250 "1:250", 500 "1:500",
    1000 "1:1000", 2000 "1:2000", 5000 "1:5000", 10000 "1:10000",
];

/// Standard scales of a habit, largest first.
pub const fn standard_scales(habit: Habit) -> &'static [Scale] {
    match habit {
        Habit::Us => US,
        Habit::Metric => METRIC,
    }
}

/// The largest standard scale at which a plan fits a space.
///
/// # Units
/// The plan in metres, the space in millimetres of paper. A plan that just fills the space fits.
/// # Errors
/// [`DrawingError::TooLarge`] when even the smallest does not fit.
pub fn largest_scale(
    habit: Habit,
    plan_m: (f64, f64),
    space_mm: (f64, f64),
    paper: Paper,
) -> Result<Scale, DrawingError> {
    let scales = standard_scales(habit);
    scales
        .iter()
        .copied()
        .find(|s| {
            plan_m.0 * s.mm_per_m() <= space_mm.0 + 1e-9
                && plan_m.1 * s.mm_per_m() <= space_mm.1 + 1e-9
        })
        .ok_or(DrawingError::TooLarge {
            width_m: plan_m.0,
            height_m: plan_m.1,
            paper: paper.name(),
            smallest: scales.last().map_or(0, |s| s.ratio),
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand: 40 ft at 1/4 in = 1 ft is 10 in = 254 mm; 40.01 ft is over, the next is 3/16 in
    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        let ft = 0.3048;
        let pick = |w: f64| {
            largest_scale(Habit::Us, (w, 1.0), (254.0, 150.0), Paper::Letter).map(|s| s.words)
        };
        assert_eq!(pick(40.0 * ft), Ok("1/4 in = 1 ft"));
        assert_eq!(pick(40.01 * ft), Ok("3/16 in = 1 ft"));
        assert!(pick(1e6).is_err());
    }
}
