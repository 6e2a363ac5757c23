//! What is believed of a depth or a value of the material sheet. Beyond it a number or its unit is more likely wrong
//! than meant, and the user is asked.

use super::amount::POUND_KG;
use super::material::Material;
use crate::units::CUBIC_FOOT_M3;

/// Greatest depth that is taken without asking, metres: 12 in. Our own choice, no published source; single lifts of
/// levelling materials end far below it.
pub const MOST_DEPTH_M: f64 = 0.3048;
/// Greatest depth that is taken at all, metres.
pub const MOST_DEEP_M: f64 = 10.0;
/// How to say that a depth beyond [`MOST_DEPTH_M`] is meant.
pub const SAY_DEEP: &str = "more than 12 in (305 mm) is rarely meant: check the number and its unit, and if it is meant, say deep = true under [fill], --deep, or tick it on the page";

/// Values that are believed, in the unit of the amount's kind, and the same in words.
pub(super) struct Believed {
    pub low: f64,
    pub high: f64,
    pub words: &'static str,
}

const fn believed(low: f64, high: f64, words: &'static str) -> Believed {
    Believed { low, high, words }
}

/// Bounds of the sheet's amounts. Common practice, no published source: each leaves out no material that we know of
/// and catches a wrong unit.
pub(super) fn believed_of(key: &str) -> Believed {
    const DAY: f64 = 1_440.0;
    match key {
        "bag_weight" => believed(0.5, 2_000.0, "0.5 to 2000 kg (1 to 4400 lb)"),
        "yield_per_bag" => believed(1e-4, 2.0, "0.1 to 2000 l (0.004 to 70 cu ft)"),
        "consumption" | "density" => believed(
            LIGHTEST_KG_M3,
            HEAVIEST_KG_M3,
            "0.8 to 3 kg per litre (1.7 kg/m2/mm, 50 to 187 lb/cu ft)",
        ),
        "min_depth" => believed(1e-4, MOST_DEPTH_M, "0.1 to 305 mm (12 in)"),
        "max_lift" => believed(1e-3, 1.0, "1 mm to 1 m (1/16 in to 3 ft)"),
        "water" | "water_per_bag" => believed(1e-5, 2.0, "0.01 to 2000 l"),
        "mixing_time" => believed(0.1, 60.0, "6 s to 60 min"),
        "working_time" | "open_time" => believed(1.0, DAY, "1 min to 24 h"),
        "walk_after" | "next_lift_after" => believed(1.0, 60.0 * DAY, "1 min to 60 days"),
        "min_temperature" => believed(-10.0, 30.0, "-10 to 30 C (14 to 86 F)"),
        "max_temperature" => believed(10.0, 60.0, "10 to 60 C (50 to 140 F)"),
        "primer.coverage" => believed(500.0, 50_000.0, "0.5 to 50 m2/l (20 to 2000 sq ft/gal)"),
        "primer.drying" => believed(1.0, 30.0 * DAY, "1 min to 30 days"),
        _ => believed(f64::MIN, f64::MAX, "any amount"),
    }
}

/// Lightest and heaviest mix that is believed, kilograms per cubic metre. Common practice, no published source:
/// foamed fillers lie above the one, mixes with heavy aggregate below the other.
const LIGHTEST_KG_M3: f64 = 800.0;
const HEAVIEST_KG_M3: f64 = 3_000.0;
/// Least and most water to a weight of powder. Common practice, no published source.
const LEAST_WATER: f64 = 0.05;
const MOST_WATER: f64 = 0.60;
/// A stated density and the weight of the mix may differ by this factor: a mix loses water as it dries, and may take
/// up or lose air. Generous on purpose: it is to catch a wrong unit, not to correct a maker.
const DENSITY_FACTOR: f64 = 1.5;
/// Water weighs so much, kilograms per cubic metre.
const WATER_KG_M3: f64 = 1_000.0;

/// What in a sheet does not go together: key and what is wrong.
pub(super) fn disagreements(m: &Material) -> Vec<(&'static str, String)> {
    let mut list = Vec::new();
    water(m, &mut list);
    mix(m, &mut list);
    if let (Some(least), Some(most)) = (m.min_temperature_c, m.max_temperature_c)
        && least >= most
    {
        list.push((
            "min_temperature",
            format!(
                "{least:.0} C is not below max_temperature, {most:.0} C; check both and their units"
            ),
        ));
    }
    if let (Some(least), Some(most)) = (m.min_depth_m, m.max_lift_m)
        && least > most
    {
        list.push((
            "min_depth",
            "is more than max_lift; check which is which".to_owned(),
        ));
    }
    list
}

fn water(m: &Material, list: &mut Vec<(&'static str, String)>) {
    for (i, pair) in m.water_table_m3.windows(2).enumerate() {
        if pair[1] < pair[0] {
            list.push((
                "water",
                format!(
                    "{} bags take less water than {}; the list goes by bags in the batch: one, two, three",
                    i + 2,
                    i + 1
                ),
            ));
        }
    }
    let single = m.water_per_bag_m3.map(|w| ("water_per_bag", 1.0, w));
    let table = (1..).zip(&m.water_table_m3);
    let stated = table
        .map(|(bags, &w)| ("water", f64::from(bags), w))
        .chain(single);
    for (key, bags, litres) in stated {
        let Some(weight) = m.bag_weight_kg else {
            if let Some(y) = m.yield_m3.filter(|y| litres >= bags * y) {
                list.push((
                    key,
                    format!(
                        "{:.1} l of water for {bags:.0} x {:.1} l of mix leaves no room for powder; check both and their units",
                        litres * 1000.0,
                        y * 1000.0
                    ),
                ));
                return;
            }
            continue;
        };
        let share = litres * WATER_KG_M3 / (bags * weight);
        if !(LEAST_WATER..=MOST_WATER).contains(&share) {
            list.push((
                key,
                format!(
                    "{:.1} l of water for {bags:.0} x {} is {:.0} % of the powder's weight; expected {:.0} to {:.0} %. Check both and their units",
                    litres * 1000.0,
                    kg(weight),
                    share * 100.0,
                    LEAST_WATER * 100.0,
                    MOST_WATER * 100.0
                ),
            ));
            return;
        }
    }
}

/// Bag weight, water, yield and density against each other.
fn mix(m: &Material, list: &mut Vec<(&'static str, String)>) {
    let (Some(weight), Some(yield_m3)) = (m.bag_weight_kg, m.yield_m3) else {
        return;
    };
    let water = m.water_table_m3.first().copied().or(m.water_per_bag_m3);
    // Without a stated water the mix lies between what the least and the most of it would make.
    let (lightest, heaviest, with) = match water {
        Some(w) => {
            let mixed = (weight + w * WATER_KG_M3) / yield_m3;
            (mixed, mixed, format!(" and {:.1} l of water", w * 1000.0))
        }
        None => (
            weight * (1.0 + LEAST_WATER) / yield_m3,
            weight * (1.0 + MOST_WATER) / yield_m3,
            " with its water".to_owned(),
        ),
    };
    let gives = format!(
        "{} of powder{with} in {:.1} l make {}",
        kg(weight),
        yield_m3 * 1000.0,
        between(lightest, heaviest)
    );
    if heaviest < LIGHTEST_KG_M3 || lightest > HEAVIEST_KG_M3 {
        list.push((
            "bag_weight",
            format!(
                "does not go with the yield of a bag: {gives}; a mix weighs between {}. Check weight, yield and their units",
                between(LIGHTEST_KG_M3, HEAVIEST_KG_M3)
            ),
        ));
    } else if let Some(density) = m.density_kg_m3
        && (density * DENSITY_FACTOR < lightest || density > heaviest * DENSITY_FACTOR)
    {
        list.push((
            "density",
            format!(
                "{} is stated, but {gives}. Check density, bag weight, yield and their units",
                between(density, density)
            ),
        ));
    }
}

fn kg(weight: f64) -> String {
    format!("{weight:.1} kg ({:.1} lb)", weight / POUND_KG)
}

fn between(low: f64, high: f64) -> String {
    let us = CUBIC_FOOT_M3 / POUND_KG;
    if high > low {
        format!(
            "{:.1} and {:.1} kg per litre ({:.0} and {:.0} lb/cu ft)",
            low / 1000.0,
            high / 1000.0,
            low * us,
            high * us
        )
    } else {
        format!(
            "{:.1} kg per litre ({:.0} lb/cu ft)",
            low / 1000.0,
            low * us
        )
    }
}
