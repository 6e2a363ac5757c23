//! The quantities of `result.json`: one unit a type, rounded once, never minus zero.

use serde::Serialize;

use crate::geometry::Point;

/// Fixed decimals, so that the last bit of a sum never shows; never minus zero.
fn rounded(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps + 0.0
}

/// A number of one unit, made from metres, cubic metres or the like.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $make:ident, $scale:expr, $steps:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
        #[cfg_attr(test, derive(schemars::JsonSchema))]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// From the unit that the program counts in.
            pub fn $make(value: f64) -> Self {
                Self(rounded(value * $scale, $steps))
            }
        }
    };
}

quantity!(
    /// Millimetres, to the thousandth: heights, depths, gaps and spans.
    Mm, of_m, 1000.0, 1e3
);
quantity!(
    /// Millimetres, to the millionth: a reading's step, which is never nothing.
    StepMm, of_m, 1000.0, 1e6
);
quantity!(
    /// Metres, to the hundredth of a millimetre: places and lengths on the plan.
    Metres, of_m, 1.0, 1e5
);
quantity!(
    /// Square metres, to the millionth.
    SquareMetres, of_m2, 1.0, 1e6
);
quantity!(
    /// Litres, to the thousandth.
    Litres, of_m3, 1000.0, 1e3
);
quantity!(
    /// Kilograms, to the gram.
    Kilograms, of_kg, 1.0, 1e3
);
quantity!(
    /// Kilograms over a square metre, to the thousandth.
    KgPerM2, of_kg_m2, 1.0, 1e3
);
quantity!(
    /// Kilograms in a litre, to the millionth.
    KgPerLitre, of_kg_m3, 0.001, 1e6
);
quantity!(
    /// Minutes, to the thousandth.
    Minutes, of_min, 1.0, 1e3
);
quantity!(
    /// A share from 0 to 1, to the millionth.
    Share, of, 1.0, 1e6
);
quantity!(
    /// A rise over a run, to the billionth.
    Slope, of, 1.0, 1e9
);
quantity!(
    /// A count before it is rounded up to whole ones, to the millionth.
    Exact, of, 1.0, 1e6
);
quantity!(
    /// An F-number, to the tenth.
    FNumber, of, 1.0, 1e1
);
quantity!(
    /// Money in the job's currency, to the hundredth.
    Money, of, 1.0, 1e2
);

/// A place on the plan, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Place {
    /// To the right.
    x_m: Metres,
    /// Up.
    y_m: Metres,
}

impl From<Point> for Place {
    fn from(p: Point) -> Self {
        Self {
            x_m: Metres::of_m(p.x),
            y_m: Metres::of_m(p.y),
        }
    }
}

/// The places of a closed line.
pub(super) fn outline(points: &[Point]) -> Vec<Place> {
    points.iter().map(|&p| p.into()).collect()
}

/// The places of several closed lines.
pub(super) fn outlines<'a>(lines: impl IntoIterator<Item = &'a [Point]>) -> Vec<Vec<Place>> {
    lines.into_iter().map(outline).collect()
}
