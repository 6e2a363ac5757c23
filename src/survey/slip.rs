//! Slips of the hand and eye that a difference may come from.

use crate::units::{FractionStyle, INCH_M, Length, LengthFormat, LengthUnit};

/// A difference of height that a known slip makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// Size of the slip, metres.
    pub size_m: f64,
    /// What happens, in a few words.
    pub words: &'static str,
    /// Whether it happens on a rule in inches; else on a metric one.
    pub in_inches: bool,
}

/// Slips in the order of preference where two are equally near.
const SLIPS: [Slip; 6] = [
    Slip {
        size_m: INCH_M,
        words: "a slip of 1 in, such as a rule held at its 1 in mark",
        in_inches: true,
    },
    Slip {
        size_m: INCH_M / 2.0,
        words: "a slip of 1/2 in, such as a mark read from the wrong side of its numeral",
        in_inches: true,
    },
    Slip {
        size_m: 12.0 * INCH_M,
        words: "a slip of 1 ft",
        in_inches: true,
    },
    Slip {
        size_m: 0.01,
        words: "a slip of 10 mm, such as a mark read from the wrong side of its numeral",
        in_inches: false,
    },
    Slip {
        size_m: 0.1,
        words: "a slip of 100 mm, such as a rule held at its 100 mm mark",
        in_inches: false,
    },
    Slip {
        size_m: 10.0 * INCH_M,
        words: "a slip of 10 in",
        in_inches: true,
    },
];

/// The slip that a difference is nearest to, when it is within the tolerance of one. `unit` is that of the readings; without
/// it the rule may be of either kind.
pub fn likely_slip(difference_m: f64, tolerance_m: f64, unit: Option<LengthUnit>) -> Option<Slip> {
    let off = |slip: &Slip| (difference_m.abs() - slip.size_m).abs();
    SLIPS
        .into_iter()
        .filter(|s| off(s) <= tolerance_m && unit.is_none_or(|u| u.is_us() == s.in_inches))
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// Which kind of rule readings were taken with, by the step that they show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// In inches.
    Inches,
    /// In millimetres.
    Metric,
}

impl Rule {
    /// By the coarsest step that all readings allow, metres: whole tenths of a millimetre that are no whole 64ths of an
    /// inch are metric.
    pub fn of_step(step_m: Option<f64>) -> Self {
        let whole = |of_m: f64| {
            step_m.is_some_and(|step| {
                let times = step / of_m;
                times > 0.5 && (times - times.round()).abs() < 1e-6
            })
        };
        if whole(1e-4) && !whole(INCH_M / 64.0) {
            Self::Metric
        } else {
            Self::Inches
        }
    }

    /// A height difference in both habits, since a slip shows in the one it was made in, this rule's own first:
    /// `15/16 in (23.8 mm)`, `23.8 mm (15/16 in)`.
    pub(crate) fn both(self, length: Length) -> String {
        let sixteenths = LengthFormat::Inches { denominator: 16 };
        let millimetres = LengthFormat::Millimetres { decimals: 1 }.text(length);
        let inches = sixteenths.styled(length, FractionStyle::Plain);
        let nothing = sixteenths.styled(Length::default(), FractionStyle::Plain);
        // Less than any rule shows is told in the one unit that has a figure for it.
        if length.m() >= 5e-5 && inches == nothing {
            return millimetres;
        }
        match self {
            Self::Inches => format!("{inches} ({millimetres})"),
            Self::Metric => format!("{millimetres} ({inches})"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_is_told_as_the_nearest_slip() {
        // ORACLE: hand. 15/16 in is 1/16 from an inch; 11 mm is nearer to 10 mm than to 1/2 in.
        let name = |mm: f64| likely_slip(mm / 1000.0, 0.0025, None).map(|s| s.size_m);
        assert_eq!(name(15.0 / 16.0 * 25.4), Some(INCH_M));
        assert_eq!(name(11.0), Some(0.01));
        assert_eq!(name(-304.0), Some(12.0 * INCH_M));
        assert_eq!(name(60.0), None);
        let inches = likely_slip(0.0105, 0.004, Some(LengthUnit::Inch)).map(|s| s.size_m);
        assert_eq!(inches, Some(INCH_M / 2.0));
    }
}
