//! The step a rule was read to, from the numbers alone.

use crate::units::{FOOT_M, INCH_M, LengthUnit};

/// Steps of a rule in inches: fractions, and tenths as decimal rules have them; coarse to fine, in inches.
const INCHES: [f64; 12] = [
    1.0,
    0.5,
    0.25,
    0.125,
    0.1,
    1.0 / 16.0,
    0.05,
    1.0 / 32.0,
    0.02,
    1.0 / 64.0,
    0.01,
    0.005,
];
/// No step is taken to be finer than this, metres: what a reading computed with more decimals than anyone reads
/// counts as.
const FINEST_M: f64 = 1e-6;

/// Steps of a rule in fractions of an inch, which decimals show rounded.
const FRACTIONS: [f64; 7] = [1.0, 0.5, 0.25, 0.125, 1.0 / 16.0, 1.0 / 32.0, 1.0 / 64.0];
/// Whether a step, metres, is a fraction of an inch.
fn is_fraction(step_m: f64) -> bool {
    let near = |f: &f64| (f * INCH_M - step_m).abs() < 1e-12;
    FRACTIONS.iter().any(near)
}

/// A step that was rounded to decimals is told from them where it is so many times as coarse.
const COARSER: f64 = 3.0;
/// Readings that share a step by chance less often than this do so for a reason.
const HARDLY: f64 = 0.01;

/// 1, 0.5, 0.2 times falling powers of ten, coarse to fine, from `first` down to [`FINEST_M`]; metres.
fn decimals(first_m: f64) -> Vec<f64> {
    let mut list = Vec::new();
    for tenth in 0.. {
        for share in [1.0, 2.0, 5.0] {
            // Dividing keeps whole decimals the floats that a reader makes of them.
            let step = first_m / (share * 10f64.powi(tenth));
            if step < FINEST_M * (1.0 - 1e-9) {
                return list;
            }
            list.push(step);
        }
    }
    list
}

/// Steps in use on rules and instruments that read in `unit`, metres, coarse to fine; of every unit where each
/// reading carries its own.
fn ladder(unit: Option<LengthUnit>) -> Vec<f64> {
    let inches = || {
        let mut list: Vec<f64> = INCHES.iter().map(|i| i * INCH_M).collect();
        let finest = INCHES[INCHES.len() - 1] * INCH_M;
        list.extend(decimals(INCH_M).into_iter().filter(|s| *s < finest * 0.99));
        list
    };
    match unit {
        Some(LengthUnit::Inch | LengthUnit::FeetInches) => inches(),
        Some(LengthUnit::Foot) => decimals(FOOT_M / 10.0),
        Some(LengthUnit::Millimetre | LengthUnit::Centimetre | LengthUnit::Metre) => decimals(0.01),
        None => {
            let mut all = inches();
            all.extend(decimals(FOOT_M / 10.0));
            all.extend(decimals(0.01));
            all.sort_by(|a, b| b.total_cmp(a));
            all
        }
    }
}

/// The coarsest step of the ladder that every length is a whole number of.
fn fitting(lengths_m: &[f64], unit: Option<LengthUnit>) -> Option<f64> {
    ladder(unit)
        .into_iter()
        .find(|step| are_whole(lengths_m, *step))
}

/// Whether every length is a whole number of steps, but for what rounding in a file makes of it.
fn are_whole(lengths_m: &[f64], step_m: f64) -> bool {
    lengths_m.iter().all(|length| {
        let off = (length - (length / step_m).round() * step_m).abs();
        off <= (step_m * 1e-6).max(1e-8)
    })
}

/// A step of some rule that the readings were taken to before somebody wrote them with fewer decimals than it needs, or in
/// another unit: 38 1/16 in as 38.063 or 38.06, 1/16 in as 966.8 mm. `written_m` is the place of the last decimal.
///
/// All lengths lie within those decimals of whole steps, rounded or cut off. Few different ones may do so by chance: for fractions of
/// the readings' own inch that is the safe side to err on, for another unit there must be so many that it would hardly happen (each
/// with a chance of the two steps' ratio).
fn before_rounding(lengths_m: &[f64], written_m: f64, unit: Option<LengthUnit>) -> Option<f64> {
    let mut different: Vec<i64> = lengths_m
        .iter()
        .map(|l| (l.abs() / written_m).round() as i64)
        .collect();
    different.sort_unstable();
    different.dedup();
    let count = different.len() as i32;
    let inches = matches!(unit, Some(LengthUnit::Inch | LengthUnit::FeetInches));
    let own = |step: f64| inches && is_fraction(step);
    ladder(None)
        .into_iter()
        .take_while(|step| *step >= COARSER * written_m)
        .filter(|step| own(*step) || (written_m / step).powi(count) < HARDLY)
        .find(|step| {
            let off = |n: i64| {
                let length = n as f64 * written_m;
                (length / step).round() * step - length
            };
            // Half-way is rounded either way.
            let rounded = |n: &i64| off(*n).abs() <= written_m * (0.5 + 1e-6);
            let cut = |n: &i64| (-1e-6..1.0 - 1e-6).contains(&(off(*n) / written_m));
            different.iter().all(rounded) || different.iter().all(cut)
        })
}

/// The step that readings have to be taken for where none is stated: the coarsest that all of them allow.
///
/// # Units, datum, sign
/// Lengths and result in metres, measured from the line or the datum as they were read; `unit` is the unit that they
/// were read in, `None` where each carries its own.
/// # Method
/// Steps of rules and instruments in use are tried from coarse to fine (1 to 1/64 in and decimals of an inch; decimals
/// of a foot; 10, 5, 2, 1, 0.5 ... mm); a step fits when no length is farther than a millionth of it, or 10 nm, from a
/// whole number of steps. Where only the decimals fit, or not even those, a coarser step of any unit that all lengths are whole
/// numbers of but for those decimals stands in, three times as coarse as their last place at least, unless that may be chance (1
/// in 100). So only readings that were computed from others come out with the finest of their decimals.
/// # Edge cases
/// Few or equal readings allow a coarse step, and get it. Never 0: finer than a thousandth of a millimetre counts as
/// that.
pub fn coarsest_step(lengths_m: &[f64], unit: Option<LengthUnit>) -> f64 {
    let step_m = fitting(lengths_m, unit);
    // A fraction that all of them are whole numbers of was written out.
    if let Some(step_m) = step_m.filter(|s| is_fraction(*s)) {
        return step_m;
    }
    let step_m = step_m.unwrap_or(FINEST_M);
    let written_m = written_decimals(lengths_m, unit).unwrap_or(step_m);
    before_rounding(lengths_m, written_m, unit)
        .filter(|coarser| *coarser > step_m)
        .unwrap_or(step_m)
}

/// The place of the last decimal that the lengths need in their unit, metres; the finest that is looked at where they have
/// more, as a spreadsheet writes what it computed.
fn written_decimals(lengths_m: &[f64], unit: Option<LengthUnit>) -> Option<f64> {
    let unit_m = match unit? {
        LengthUnit::FeetInches => INCH_M,
        other => other.length(1.0).m(),
    };
    let place = (0..)
        .map(|decimals| unit_m / 10f64.powi(decimals))
        .take_while(|place| *place >= FINEST_M)
        .find(|place| are_whole(lengths_m, *place));
    Some(place.unwrap_or(FINEST_M))
}

/// Whether so many different lengths share a step hardly by chance: five at least, three of them different.
pub fn step_is_evident(lengths_m: impl IntoIterator<Item = f64>) -> bool {
    let (mut count, mut different) = (0usize, Vec::with_capacity(3));
    for length in lengths_m {
        count += 1;
        if different.len() < 3 && !different.contains(&length) {
            different.push(length);
        }
        if count >= 5 && different.len() >= 3 {
            return true;
        }
    }
    false
}

/// The step of the lengths where it is evident: [`coarsest_step`] in any unit, told only of enough different lengths
/// ([`step_is_evident`]) that fit one.
///
/// # Edge cases
/// `None` also when no step fits: a scan's computed heights show none.
pub fn evident_resolution(lengths_m: &[f64]) -> Option<f64> {
    step_is_evident(lengths_m.iter().copied())
        .then(|| fitting(lengths_m, None))
        .flatten()
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
        assert_eq!(evident_resolution(&[0.1; 4]), None);
        let irrational: Vec<f64> = (1..20).map(|i| f64::from(i).sqrt()).collect();
        assert_eq!(evident_resolution(&irrational), None);
    }
    // ORACLE: hand. The coarsest graduation of the readings' own unit that all of them lie on.
    #[test]
    fn an_unknown_step_is_the_coarsest_that_the_readings_allow() {
        use LengthUnit::{FeetInches, Foot, Inch, Metre, Millimetre};
        let cases: [(LengthUnit, &[f64], f64); 14] = [
            (Inch, &[40.0, 40.0, 40.0], INCH_M),
            (Inch, &[40.0, 40.25], INCH_M / 4.0),
            (Inch, &[40.25, 40.25, 40.25, 40.25, 40.25], INCH_M / 4.0),
            (FeetInches, &[40.5, 41.5], INCH_M / 2.0),
            (Inch, &[31.0625, 31.5], INCH_M / 16.0),
            (Inch, &[40.1, 40.3], INCH_M / 10.0),
            (Inch, &[40.015_625, 40.031_25], INCH_M / 64.0),
            (Inch, &[40.025, 40.05], INCH_M / 40.0 / 5.0),
            (Foot, &[3.42, 3.4], 0.02 * FOOT_M),
            (Foot, &[3.41, 3.4], 0.01 * FOOT_M),
            (Millimetre, &[600.0, 602.0, 601.0], 0.001),
            (Millimetre, &[610.0, 620.0], 0.01),
            (Millimetre, &[600.25, 601.75], 0.000_05),
            (Metre, &[0.812_34, 0.811_11], 0.000_01),
        ];
        for (unit, numbers, step) in cases {
            let lengths: Vec<f64> = numbers.iter().map(|n| unit.length(*n).m()).collect();
            let found = coarsest_step(&lengths, Some(unit));
            assert!(
                (found / step - 1.0).abs() < 1e-9,
                "{unit:?} {numbers:?}: {found}"
            );
        }
        // Equal readings of 40 1/4 in are no whole number of millimetres; without a unit the inch fits first.
        assert_eq!(coarsest_step(&[40.25 * INCH_M; 3], None), INCH_M / 4.0);
        let irrational: Vec<f64> = (2..20).map(|i| f64::from(i).sqrt().fract()).collect();
        assert_eq!(coarsest_step(&irrational, None), FINEST_M);
        assert!(coarsest_step(&[], None) > 0.0);
    }

    // ORACLE: hand. Sixteenths as people write them with decimals, or carry them over into another unit.
    #[test]
    fn decimals_that_stand_for_fractions_are_no_finer_step() {
        use LengthUnit::{Foot, Inch, Metre, Millimetre};
        let sixteenths = [609, 611, 614, 603, 616, 620, 607, 605];
        let inches = sixteenths.map(|n| f64::from(n) / 16.0);
        let written = |scale: f64, decimals: i32, cut: bool| -> Vec<f64> {
            let tens = 10f64.powi(decimals);
            let whole = |v: f64| if cut { v.floor() } else { v.round() };
            inches
                .iter()
                .map(|i| whole(i * scale * tens) / tens)
                .collect()
        };
        for (unit, numbers) in [
            (Inch, written(1.0, 2, false)),
            (Inch, written(1.0, 2, true)),
            (Inch, written(1.0, 3, false)),
            (Inch, written(1.0, 3, true)),
            (Foot, written(1.0 / 12.0, 3, false)),
            (Foot, written(1.0 / 12.0, 4, false)),
            (Millimetre, written(25.4, 1, false)),
            (Millimetre, written(25.4, 2, false)),
            // As a spreadsheet writes what it computed: more decimals than anyone looks at.
            (Millimetre, written(25.4, 4, false)),
            (Foot, written(1.0 / 12.0, 6, false)),
            (Foot, written(1.0 / 12.0, 12, false)),
            (Metre, written(0.0254, 7, false)),
        ] {
            let lengths: Vec<f64> = numbers.iter().map(|n| unit.length(*n).m()).collect();
            let found = coarsest_step(&lengths, Some(unit));
            assert!(
                (found / (INCH_M / 16.0) - 1.0).abs() < 1e-9,
                "{unit:?} {numbers:?}: {} in",
                found / INCH_M
            );
        }
        // Few different readings, as a flat floor has them, may be hundredths by chance; the coarser step is the safe one.
        for few in [&[40.06, 40.13][..], &[37.94, 38.0, 38.06, 38.12]] {
            let lengths: Vec<f64> = few.iter().map(|i| i * INCH_M).collect();
            assert!((coarsest_step(&lengths, Some(Inch)) / INCH_M - 0.0625).abs() < 1e-9);
        }
        let eighths = [38.0, 37.88].map(|i| i * INCH_M);
        assert!((coarsest_step(&eighths, Some(Inch)) / INCH_M - 0.125).abs() < 1e-9);
        // Hundredths of a foot in inches, two different ones: 38.04 and 37.92 are no twelfths by chance.
        let of_foot = [38.04, 37.92].map(|i| i * INCH_M);
        assert!((coarsest_step(&of_foot, Some(Inch)) / (0.01 * FOOT_M) - 1.0).abs() < 1e-9);
        // Whole millimetres in inches and feet, with all the decimals of a computed cell.
        let whole: Vec<f64> = [966.0, 967.0, 969.0, 971.0, 964.0]
            .iter()
            .map(|mm| mm / 25.4 * INCH_M)
            .collect();
        for unit in [Inch, Foot] {
            assert!((coarsest_step(&whole, Some(unit)) - 0.001).abs() < 1e-12);
        }
        // Hundredths that are no fractions stay hundredths, and whole millimetres millimetres.
        let hundredths = [40.07, 40.12, 40.16, 40.2, 40.31, 40.29].map(|i| i * INCH_M);
        assert!((coarsest_step(&hundredths, Some(Inch)) / INCH_M - 0.01).abs() < 1e-9);
        let whole: Vec<f64> = (960..980).map(|n| f64::from(n) / 1000.0).collect();
        assert!((coarsest_step(&whole, Some(Millimetre)) - 0.001).abs() < 1e-12);
    }

    proptest::proptest! {
        // ORACLE: property. Readings made on a graduation are never taken for finer ones, and never for nothing.
        #[test]
        fn no_step_is_taken_too_fine(
            counts in proptest::collection::vec(100i32..3000, 1..40), which in 0usize..5,
        ) {
            let (unit, step) = [
                (LengthUnit::Inch, INCH_M / 8.0),
                (LengthUnit::Inch, INCH_M / 16.0),
                (LengthUnit::Foot, 0.01 * FOOT_M),
                (LengthUnit::Millimetre, 0.001),
                (LengthUnit::Millimetre, 0.005),
            ][which];
            let lengths: Vec<f64> = counts.iter().map(|&c| f64::from(c) * step).collect();
            let found = coarsest_step(&lengths, Some(unit));
            proptest::prop_assert!(found >= step * (1.0 - 1e-9), "{found} for {step}");
        }
    }
}
