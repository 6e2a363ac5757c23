//! The finish and the prices of a job, from words to numbers.

use super::error::JobError;
use super::file::{FillEntry, PricesEntry};
use super::words::{bad, depth, length, number, point_and_offset};
use crate::analysis::{FallHeight, PlaneAsk};
use crate::fill::{Kind, Prices, parse_amount};

/// Steepest fall that is believed: 1 in 2. Steeper is a slip of the pen, not a floor.
const STEEPEST: f64 = 0.5;
/// Least fall that is one: 1 mm in 10 m. Common practice, no published source; less is not built, and is level on paper.
const LEAST_FALL: f64 = 1e-4;

/// The finish that a job asks for; `None` when it names none.
///
/// # Errors
/// Two finishes at once, or a fall without its two points.
pub fn finish(fill: &FillEntry) -> Result<Option<PlaneAsk>, JobError> {
    if let (Some(_), Some(text)) = (&fill.gauge, &fill.level_at) {
        return Err(bad(
            "fill.level_at",
            text,
            "a gauge is given too; keep one of the two",
        ));
    }
    let gauge_m = match &fill.gauge {
        Some(text) => Some(depth("fill.gauge", text, fill.deep)?),
        None => None,
    };
    let level_at = match &fill.level_at {
        Some(text) => Some(point_and_offset("fill.level_at", text, fill.deep)?),
        None => None,
    };
    if fill.least_fill {
        let other = [
            ("fill.gauge", &fill.gauge),
            ("fill.level_at", &fill.level_at),
            ("fill.fall", &fill.fall),
        ];
        for (key, text) in other {
            if let Some(text) = text {
                return Err(bad(
                    key,
                    text,
                    "least_fill is given too; it lies where it lies, keep one of the two",
                ));
            }
        }
        return Ok(Some(PlaneAsk::LeastFill));
    }
    let ends = (&fill.fall_from, &fill.fall_to);
    if let Some(text) = &fill.fall {
        let (Some(from), Some(to)) = ends else {
            return Err(bad(
                "fill.fall",
                text,
                "a fall needs fall_from and fall_to, two doors, fixtures or marks by name: it runs from one towards the other",
            ));
        };
        let height = match (gauge_m, level_at) {
            (Some(cover_m), _) => FallHeight::Cover(cover_m),
            (None, Some((name, offset_m))) => FallHeight::At { name, offset_m },
            (None, None) => FallHeight::Usual,
        };
        return Ok(Some(PlaneAsk::Fall {
            fall: fall("fill.fall", text)?,
            from: from.clone(),
            to: to.clone(),
            height,
        }));
    }
    for (key, end) in [("fill.fall_from", ends.0), ("fill.fall_to", ends.1)] {
        if let Some(text) = end {
            return Err(bad(
                key,
                text,
                "no fall is given; write fall = \"1/4 in per ft\" or take this line out",
            ));
        }
    }
    Ok(match (gauge_m, level_at) {
        (Some(gauge_m), _) => Some(PlaneAsk::Gauge(gauge_m)),
        (None, Some((name, offset_m))) => Some(PlaneAsk::LevelAt { name, offset_m }),
        (None, None) => None,
    })
}

/// A fall as metres down for each metre of plan: "1/4 in per ft", "1:48", "2 %".
fn fall(key: &str, text: &str) -> Result<f64, JobError> {
    let why = "expected a fall such as \"1/4 in per ft\", \"1:48\" or \"2 %\"";
    let (minus, plain) = match text.trim().strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim()),
        None => (false, text.trim()),
    };
    let plain_number = |t: &str| t.trim().parse::<f64>().ok();
    let value = if let Some(percent) = plain.strip_suffix('%') {
        plain_number(percent).map(|p| p / 100.0)
    } else if let Some((down, along)) = plain.split_once(':') {
        plain_number(down)
            .zip(plain_number(along))
            .map(|(d, a)| d / a)
    } else if let Some((down, along)) = plain.split_once(" per ") {
        let along = along.trim();
        // "per ft" stands for "per 1 ft".
        let along = if along.starts_with(|c: char| c.is_ascii_digit()) {
            along.to_owned()
        } else {
            format!("1 {along}")
        };
        Some(length(key, down.trim())?.m() / length(key, &along)?.m())
    } else {
        None
    };
    let value = value
        .filter(|v| v.is_finite() && *v >= 0.0)
        .ok_or_else(|| bad(key, text, why))?;
    // Which way it runs is told by its ends, once.
    if minus && value > 0.0 {
        return Err(bad(
            key,
            text,
            "a fall runs down from fall_from to fall_to; expected more than 0; swap the two points for the other way",
        ));
    }
    // Exactly the bound keeps it, however it is written.
    if !(LEAST_FALL - 1e-12..=STEEPEST + 1e-12).contains(&value) {
        return Err(bad(
            key,
            text,
            "expected from 0.01 % (1 mm in 10 m) to 50 % (1:2); a finish with less is level: give it by its gauge or level_at",
        ));
    }
    Ok(value)
}

/// Highest price that is believed, in any currency.
const MOST_PRICE: f64 = 1e6;

/// The user's own prices; `None` when the job names none.
///
/// # Errors
/// A price that is not "number per unit", is negative, or is beyond any price.
pub fn prices(entry: &PricesEntry) -> Result<Option<Prices>, JobError> {
    let per_bag = number(
        "prices.bag",
        entry.bag,
        |v| (0.0..=MOST_PRICE).contains(&v),
        "a price from 0 to 1,000,000",
    )?;
    let per = |key: &str, text: &Option<String>, kind: Kind, in_si: f64| match text {
        None => Ok(None),
        Some(text) => price(key, text, kind).map(|p| Some(p * in_si)),
    };
    let litre = 0.001;
    let prices = Prices {
        currency: entry.currency.clone(),
        per_bag,
        per_primer_l: per("prices.primer", &entry.primer, Kind::Volume, litre)?,
        per_foam_m: per("prices.foam", &entry.foam, Kind::Length, 1.0)?,
        per_dam_m: per("prices.dam", &entry.dam, Kind::Length, 1.0)?,
        per_grind_m2: per("prices.grind", &entry.grind, Kind::Area, 1.0)?,
        per_grind_l: per(
            "prices.grind_volume",
            &entry.grind_volume,
            Kind::Volume,
            litre,
        )?,
    };
    let none = Prices {
        currency: prices.currency.clone(),
        ..Prices::default()
    };
    Ok((prices != none).then_some(prices))
}

/// "30 per gal" as a price for one metre, square metre or cubic metre.
fn price(key: &str, text: &str, kind: Kind) -> Result<f64, JobError> {
    let why = format!(
        "expected a price from 0 to 1,000,000 and what it is for, such as {}",
        match kind {
            Kind::Area => "\"1.50 per sq ft\"",
            Kind::Volume => "\"30 per gal\"",
            _ => "\"0.25 per ft\"",
        }
    );
    text.split_once(" per ")
        .and_then(|(price, unit)| {
            let price = price.trim().parse::<f64>().ok()?;
            let size = parse_amount(&format!("1 {}", unit.trim()), kind)?;
            (0.0..=MOST_PRICE).contains(&price).then_some(price / size)
        })
        .ok_or_else(|| bad(key, text, &why))
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand: 1/4 in in 12 in is 1 in 48.
    #[test]
    fn falls_as_they_are_spoken() {
        for text in ["1/4 in per ft", "1:48", "1/4 in per 12 in"] {
            let got = fall("fill.fall", text).unwrap();
            assert!((got - 1.0 / 48.0).abs() < 1e-12, "{text}: {got}");
        }
        assert!((fall("fill.fall", "2 %").unwrap() - 0.02).abs() < 1e-12);
        assert!((fall("fill.fall", "0.01 %").unwrap() - 1e-4).abs() < 1e-12);
        assert!((fall("fill.fall", "1:2").unwrap() - 0.5).abs() < 1e-12);
        for (text, why) in [
            ("-2 %", "swap the two points"),
            ("-1:48", "swap the two points"),
            ("\u{2212}10 mm per m", "swap the two points"),
            ("90 %", "50 %"),
            ("1:1000000000000", "0.01 %"),
            ("1e-9 %", "0.01 %"),
            ("0 %", "0.01 %"),
        ] {
            let error = fall("fill.fall", text).unwrap_err().to_string();
            assert!(
                error.contains(why) && error.contains("fill.fall"),
                "{error}"
            );
        }
        for text in ["1/4 in", "0:48", "1:0", "2", "3:1", "1/4 per ft", ""] {
            assert!(fall("fill.fall", text).is_err(), "{text}");
        }
    }

    // ORACLE: hand, by the exact definitions: 1 gal is 3.785411784 l, 1 ft is 0.3048 m.
    #[test]
    fn prices_as_they_are_spoken() {
        let entry = PricesEntry {
            currency: "USD".to_owned(),
            bag: Some(40.0),
            primer: Some("37.85411784 per gal".to_owned()),
            foam: Some("0.3048 per ft".to_owned()),
            grind: Some("2 per m2".to_owned()),
            ..PricesEntry::default()
        };
        let got = prices(&entry).unwrap().unwrap();
        assert_eq!(got.per_bag, Some(40.0));
        assert!((got.per_primer_l.unwrap() - 10.0).abs() < 1e-9);
        assert!((got.per_foam_m.unwrap() - 1.0).abs() < 1e-12);
        assert!((got.per_grind_m2.unwrap() - 2.0).abs() < 1e-12);
        assert_eq!(got.per_dam_m, None);
        assert_eq!(prices(&PricesEntry::default()).unwrap(), None);
        for text in ["2", "2 per l", "-1 per ft", "x per ft"] {
            let entry = PricesEntry {
                foam: Some(text.to_owned()),
                ..PricesEntry::default()
            };
            assert!(prices(&entry).is_err(), "{text}");
        }
    }
}
