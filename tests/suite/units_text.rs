//! Written lengths, both ways.

use birdbath::units::{
    Area, Comma, FractionStyle, Habit, Length, LengthError, LengthFormat, LengthUnit, Volume,
    area_text, bags_text, depth_text, feet_inches_text, inches_text, length_text,
    liquid_to_bring_text, load_text, mass_text, mm_text, number_text, parse_length, read_length,
    share_text, volume_text, water_text,
};
use proptest::prelude::*;

/// Reads in inches, to the last bit that matters: a nanometre.
fn inches(text: &str, unit: LengthUnit) -> f64 {
    match parse_length(text, unit) {
        Ok(length) => (length.inches() * 1e7).round() / 1e7,
        Err(error) => panic!("{text}: {error}"),
    }
}

#[test]
fn every_written_form_reads_to_the_same_length() {
    // ORACLE: hand; each form of one length.
    let forms: &[(&str, f64)] = &[
        ("3 7/8", 3.875),
        ("3-7/8\"", 3.875),
        ("3⅞", 3.875),
        ("3 ⅞ in", 3.875),
        ("3⁷⁄₈", 3.875),
        ("3³⁄₁₆", 3.1875),
        ("3 7\u{2044}8\u{2033}", 3.875),
        ("0'-3 7/8\"", 3.875),
        ("0' 3 7/8''", 3.875),
        ("0\u{2019}-3 7/8\u{201d}", 3.875),
        ("0\u{2032}-3 7/8\u{2033}", 3.875),
        ("3 7/8\"\"", 3.875),
        ("'3 7/8", 3.875),
        ("3.875", 3.875),
        ("3,875 in", f64::NAN), // Refused below: thousands or decimals.
        ("3,88", 3.88),
        ("7/8", 0.875),
        ("⅞", 0.875),
        ("5' 3/4\"", 60.75),
        ("5'-3/4", 60.75),
        ("5' 3/4", 60.75),
        ("4'-7 1/4", 55.25),
        ("4' - 7 1/4\"", 55.25),
        ("4'7¼\"", 55.25),
        ("4 ft 7 1/4 in", 55.25),
        ("4ft 7.25in.", 55.25),
        ("4 feet, 7 1/4 inches", 55.25),
        ("4'", 48.0),
        ("4.5 ft", 54.0),
        ("98 mm", 98.0 / 25.4),
        ("9,8 cm", 98.0 / 25.4),
        ("0,098 m", 98.0 / 25.4),
        ("-3 7/8", -3.875),
        ("\u{2212}4'-7 1/4\"", -55.25),
        ("+3", 3.0),
        ("1,234.5", 1234.5),
        ("1e1", 10.0),
        (".5", 0.5),
        ("\u{a0}3\u{a0}7/8\u{a0}", 3.875),
    ];
    for &(text, want) in forms {
        if want.is_nan() {
            assert!(parse_length(text, LengthUnit::Inch).is_err(), "{text}");
        } else {
            let want = (want * 1e7).round() / 1e7;
            assert_eq!(inches(text, LengthUnit::Inch), want, "{text}");
        }
    }
}

#[test]
fn the_default_unit_applies_only_to_bare_numbers() {
    // ORACLE: hand. 0.8 ft is 9 5/8 in to the nearest eighth, not 8 in.
    assert_eq!(inches("0.8", LengthUnit::Foot), 9.6);
    assert_eq!(
        inches_text(Length::from_in(inches("0.8", LengthUnit::Foot)), 8),
        "9 5/8 in"
    );
    assert_eq!(
        parse_length("98", LengthUnit::Millimetre).unwrap().mm(),
        98.0
    );
    assert_eq!(
        parse_length("9,8", LengthUnit::Centimetre).unwrap().mm(),
        98.0
    );
    assert_eq!(parse_length("0.098", LengthUnit::Metre).unwrap().m(), 0.098);
    assert_eq!(inches("5 1/2", LengthUnit::Foot), 66.0);
    assert_eq!(inches("4-7 1/4", LengthUnit::FeetInches), 55.25);
    assert_eq!(inches("4 7", LengthUnit::FeetInches), 55.0);
    assert_eq!(inches("7/8", LengthUnit::FeetInches), 0.875);
    assert_eq!(inches("0", LengthUnit::FeetInches), 0.0);
    let written = read_length("3 7/8\"", None, Comma::Auto).unwrap();
    assert_eq!(written.unit, Some(LengthUnit::Inch));
    assert_eq!(written.fraction, Some((7, 8)));
}

#[test]
fn what_is_no_length_is_refused_with_a_reason() {
    let kind = |text: &str, unit: LengthUnit| parse_length(text, unit).unwrap_err();
    use LengthUnit::{FeetInches, Inch, Millimetre};
    assert!(matches!(kind("", Inch), LengthError::Empty));
    assert!(matches!(kind("  ", Inch), LengthError::Empty));
    for text in [
        "x",
        "8-Mar",
        "3 7/8 1/2",
        "3 7",
        "3-7",
        "3..5",
        "8.3.24",
        "3 7/8 mmm",
        "NaN",
        "inf",
        "--3",
        "3.5 1/2",
        "5' 3' 2",
        "7/",
        "/8",
        "3,4,5",
        "12/31/2024",
        "\"3",
        "4' 7 mm",
    ] {
        assert!(
            matches!(kind(text, Inch), LengthError::NotALength { .. }),
            "{text}: {:?}",
            kind(text, Inch)
        );
    }
    assert!(matches!(
        kind("9/8", Inch),
        LengthError::ImproperFraction {
            top: 9,
            bottom: 8,
            ..
        }
    ));
    assert!(matches!(
        kind("3 7/0", Inch),
        LengthError::ImproperFraction { .. }
    ));
    assert!(matches!(
        kind("37/8", Inch),
        LengthError::ImproperFraction { .. }
    ));
    // A thousands apostrophe is not a foot mark.
    assert!(matches!(
        kind("1'250", Millimetre),
        LengthError::InchesOverTwelve { .. }
    ));
    assert!(matches!(
        kind("4' 12\"", Inch),
        LengthError::InchesOverTwelve { .. }
    ));
    assert!(matches!(
        kind("1,234", Millimetre),
        LengthError::AmbiguousComma { .. }
    ));
    assert!(matches!(
        kind("3 7/8", Millimetre),
        LengthError::MetricFraction { .. }
    ));
    assert!(matches!(
        kind("3 7/8 mm", Inch),
        LengthError::MetricFraction { .. }
    ));
    assert!(matches!(
        kind("5", FeetInches),
        LengthError::UnmarkedFeetInches { .. }
    ));
    assert!(matches!(
        kind("3 7/8", FeetInches),
        LengthError::UnmarkedFeetInches { .. }
    ));
    assert!(matches!(kind("1e999", Inch), LengthError::NotFinite { .. }));
    assert!(matches!(
        read_length("98", None, Comma::Auto),
        Err(LengthError::MissingUnit { .. })
    ));
    let text = kind("4' 12\"", Inch).to_string();
    assert!(
        text.contains("4' 12") && text.contains("less than 12"),
        "{text}"
    );
}

#[test]
fn a_comma_is_decimal_where_the_file_says_so() {
    let read =
        |text| read_length(text, Some(LengthUnit::Metre), Comma::Decimal).map(|w| w.length.m());
    assert_eq!(read("1,234").unwrap(), 1.234);
    assert_eq!(read("1.234,5").unwrap(), 1234.5);
    assert_eq!(read("1.234.567,5").unwrap(), 1_234_567.5);
    assert_eq!(read("22.5").unwrap(), 22.5);
    assert!(matches!(
        read("1.234"),
        Err(LengthError::AmbiguousComma { .. })
    ));
}

#[test]
fn half_way_goes_to_the_even_graduation() {
    // ORACLE: published. SOURCE: NIST Handbook 44, clause 10.3. Midway between 3/16 and 4/16: 4/16.
    assert_eq!(inches_text(Length::from_in(3.5 / 16.0), 16), "1/4 in");
    assert_eq!(inches_text(Length::from_in(2.5 / 16.0), 16), "1/8 in");
    assert_eq!(inches_text(Length::from_in(-3.5 / 16.0), 16), "-1/4 in");
    assert_eq!(mm_text(Length::from_mm(2.5), 0), "2 mm");
    assert_eq!(mm_text(Length::from_mm(3.5), 0), "4 mm");
    assert_eq!(mm_text(Length::from_mm(0.25), 1), "0.2 mm");
    // Every half-graduation of every denominator, by integer arithmetic.
    for denominator in [1u32, 2, 4, 8, 16, 32, 64] {
        for odd in (1..2000i64).step_by(2) {
            let below = odd / 2;
            let even = if below % 2 == 0 { below } else { below + 1 };
            let at = Length::from_in(odd as f64 / 2.0 / f64::from(denominator));
            let want = Length::from_in(even as f64 / f64::from(denominator));
            assert_eq!(inches_text(at, denominator), inches_text(want, denominator));
        }
    }
}

#[test]
fn printed_forms() {
    // ORACLE: hand.
    let l = Length::from_in;
    assert_eq!(inches_text(l(3.875), 16), "3 7/8 in");
    assert_eq!(inches_text(l(15.999), 16), "16 in");
    assert_eq!(inches_text(l(0.01), 16), "0 in");
    assert_eq!(inches_text(l(-0.01), 16), "0 in");
    assert_eq!(feet_inches_text(l(55.25), 16), "4 ft 7 1/4 in");
    assert_eq!(feet_inches_text(l(48.0), 16), "4 ft");
    assert_eq!(feet_inches_text(l(47.99), 16), "4 ft");
    assert_eq!(feet_inches_text(l(48.25), 16), "4 ft 1/4 in");
    assert_eq!(feet_inches_text(l(0.0), 16), "0 in");
    assert_eq!(feet_inches_text(l(-55.25), 16), "-4 ft 7 1/4 in");
    assert_eq!(
        LengthFormat::FeetInches { denominator: 4 }.number(l(55.25)),
        "4'-7 1/4\""
    );
    assert_eq!(
        LengthFormat::FeetInches { denominator: 4 }.number(l(48.0)),
        "4'-0\""
    );
    let inch = LengthFormat::Inches { denominator: 16 };
    assert_eq!(inch.number_styled(l(3.1875), FractionStyle::Built), "3³⁄₁₆");
    assert_eq!(
        inch.number_styled(l(-0.1875), FractionStyle::Built),
        "\u{2212}³⁄₁₆"
    );
    assert_eq!(inch.signed(l(0.125)), "+1/8");
    assert_eq!(inch.signed(l(-0.125)), "-1/8");
    assert_eq!(inch.signed(l(0.001)), "0");
    assert_eq!(depth_text(l(3.9), Habit::Us), "3 7/8 in");
    assert_eq!(depth_text(Length::from_mm(98.4), Habit::Metric), "98 mm");
    assert_eq!(length_text(Length::from_m(1.403), Habit::Metric), "1.40 m");
    assert_eq!(length_text(l(55.2), Habit::Us), "4 ft 7 1/4 in");
    assert_eq!(area_text(Area::from_ft2(40.0), Habit::Us), "40.0 sq ft");
    assert_eq!(area_text(Area::from_ft2(1234.4), Habit::Us), "1234 sq ft");
    assert_eq!(
        volume_text(Volume::from_ft3(1.294), Habit::Us),
        "1.29 cu ft"
    );
    assert_eq!(
        volume_text(Volume::from_litres(36.64), Habit::Metric),
        "36.6 L"
    );
    // One quart is 0.946 352 946 L.
    assert_eq!(
        water_text(Volume::from_litres(0.946_352_946 * 7.0), Habit::Us),
        "7 qt"
    );
    assert_eq!(
        water_text(Volume::from_litres(0.946_352_946 * 7.4), Habit::Us),
        "7.5 qt"
    );
    assert_eq!(mass_text(0.453_592_37 * 36.0, Habit::Us), "36.0 lb");
    // 3/4 in at 120 lb per cubic foot is 7.5 psf: 36.62 kg per square metre.
    assert_eq!(load_text(36.618_2, Habit::Us), "7.5 psf");
    assert_eq!(number_text(-0.004, 2), "0.00");
    assert_eq!(number_text(-1.005, 1), "-1.0");
    assert_eq!(number_text(f64::NAN, 1), "?");
    assert_eq!(inches_text(Length::from_m(f64::INFINITY), 16), "? in");
    assert_eq!(share_text(0.999), "over 99 %");
    assert_eq!(share_text(0.95), "95 %");
    assert_eq!(share_text(0.001), "under 1 %");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn what_is_printed_reads_back(steps in -200_000i64..200_000, k in 0u32..7) {
        let denominator = 1u32 << k;
        let length = Length::from_in(steps as f64 / f64::from(denominator));
        for format in [
            LengthFormat::Inches { denominator },
            LengthFormat::FeetInches { denominator },
            LengthFormat::Millimetres { decimals: 6 },
            LengthFormat::Metres { decimals: 9 },
            LengthFormat::Feet { decimals: 9 },
        ] {
            for style in [FractionStyle::Plain, FractionStyle::Built] {
                let text = format.styled(length, style);
                let back = read_length(&text, None, Comma::Auto).unwrap().length;
                prop_assert!((back.mm() - length.mm()).abs() < 1e-5, "{text}");
                let number = format.number_styled(length, style);
                let unit = if format.unit() == "ft-in" { LengthUnit::Inch } else { format.unit().parse().unwrap() };
                let back = parse_length(&number, unit).unwrap();
                prop_assert!((back.mm() - length.mm()).abs() < 1e-5, "{number}");
            }
        }
    }

    #[test]
    fn printing_moves_a_length_by_half_a_step_at_most(metres in -50.0f64..50.0, k in 0u32..7) {
        let length = Length::from_m(metres);
        for format in [LengthFormat::Inches { denominator: 1 << k }, LengthFormat::Millimetres { decimals: k as usize }] {
            let back = read_length(&format.text(length), None, Comma::Auto).unwrap().length;
            let half = format.step().m() / 2.0;
            prop_assert!((back.m() - metres).abs() <= half * (1.0 + 1e-6) + 1e-15);
            prop_assert!(!format.text(length).starts_with("-0 "));
        }
    }

    #[test]
    fn any_text_is_answered_without_a_panic(text in "\\PC{0,24}") {
        for unit in LengthUnit::ALL {
            if let Ok(length) = parse_length(&text, unit) {
                prop_assert!(length.m().is_finite());
            }
        }
    }

    #[test]
    fn length_like_text_is_answered_without_a_panic(text in "[0-9'\"/,. \\-+⅞¼²₂inftmeE]{0,14}") {
        for unit in LengthUnit::ALL {
            for comma in [Comma::Auto, Comma::Decimal] {
                if let Ok(written) = read_length(&text, Some(unit), comma) {
                    prop_assert!(written.length.m().is_finite());
                }
            }
        }
    }
}

#[test]
fn liquid_to_bring_is_never_short() {
    // ORACLE: hand. Half quarts and tenths of a litre, upward; what is whole already stays.
    let quart = 57.75 * 0.0254 * 0.0254 * 0.0254;
    let qt = |q: f64| liquid_to_bring_text(Volume::from_si(q * quart), Habit::Us);
    assert_eq!(
        [qt(0.0), qt(0.01), qt(0.5), qt(7.5), qt(7.51)],
        ["0 qt", "0.5 qt", "0.5 qt", "7.5 qt", "8 qt"]
    );
    let litres = |l: f64| liquid_to_bring_text(Volume::from_si(l / 1000.0), Habit::Metric);
    assert_eq!(
        [litres(0.02), litres(1.3), litres(1.31)],
        ["0.1 L", "1.3 L", "1.4 L"]
    );
    assert_eq!(
        [bags_text(0), bags_text(1), bags_text(2)],
        ["0 bags", "1 bag", "2 bags"]
    );
}

#[test]
fn decimal_feet_take_no_inches_beside_them() {
    // ORACLE: hand: 3.5 ft is 3 ft 6 in, and 4 in more would be said twice.
    let of = |text: &str| {
        let written = read_length(text, None, Comma::Auto);
        written.ok().map(|w| w.length.inches())
    };
    assert!(of("3.5' 4\"").is_none());
    assert!((of("3' 4\"").unwrap() - 40.0).abs() < 1e-9);
    assert!((of("3.5'").unwrap() - 42.0).abs() < 1e-9);
}
