//! Lines above a table that say in plain words in which units it is: `Grid in feet, readings in inches`, `All dimensions in mm`, `mm throughout`.
//! A heading, a corner, a setting or a flag stands over them.

use super::headers::{Field, split_unit, tidy};
use super::heading::heading;
use super::meanings::{Sure, said};
use crate::units::LengthUnit;

/// The units that a line names.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct LineUnits {
    pub plan: Option<LengthUnit>,
    pub reading: Option<LengthUnit>,
}

/// What a piece of such a line speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Plan,
    Readings,
    /// Of either, where the line names only one unit.
    Numbers,
    Both,
}

const PLAN: [&str; 13] = [
    "grid",
    "plan",
    "spacing",
    "distances",
    "layout",
    "locations",
    "positions",
    "x",
    "y",
    "coordinates",
    "stations",
    "places",
    "rows",
];
const READINGS: [&str; 12] = [
    "reading", "readings", "rdg", "rdgs", "rod", "staff", "shot", "shots", "rods", "drops",
    "laser", "drop",
];
const NUMBERS: [&str; 9] = [
    "dims",
    "dimensions",
    "measurements",
    "numbers",
    "figures",
    "values",
    "units",
    "everything",
    "lengths",
];
const BESIDE: [&str; 22] = [
    "in",
    "are",
    "is",
    "all",
    "and",
    "the",
    "given",
    "taken",
    "measured",
    "read",
    "shown",
    "written",
    "throughout",
    "only",
    "were",
    "was",
    "everywhere",
    "both",
    "to",
    "as",
    "on",
    "sheet",
];

/// The units that the cells of a row name, where it does nothing else; `None` for any other row.
///
/// Headings of a list say as much, each over its column (`x in ft`, `readings in inches`): a row with a column for x or y is theirs.
pub(super) fn line_units(cells: &[&str]) -> Option<LineUnits> {
    let of_list = |text: &&str| matches!(heading(text).field, Field::X | Field::Y);
    if cells.iter().any(of_list) {
        return None;
    }
    let mut told: Vec<(Of, LengthUnit)> = Vec::new();
    let mut of_readings = false;
    let pieces = cells
        .iter()
        .flat_map(|text| text.split([',', ';', '/', '|', '\n']));
    for piece in pieces.map(str::trim).filter(|p| !p.is_empty()) {
        if let Some((of, unit)) = piece_of(piece) {
            // `Measured down from the laser, in inches`.
            let of = of.or_else(|| of_readings.then_some(Of::Readings))?;
            told.push((of, unit));
        } else if said(piece, false).down >= Some(Sure::Spoken)
            || piece.to_lowercase().starts_with("down from")
        {
            of_readings = true;
        } else {
            return None;
        }
    }
    let mut units = LineUnits::default();
    let named = |of: Of| told.iter().any(|t| t.0 == of);
    for &(of, unit) in &told {
        let (plan, reading) = match of {
            Of::Plan => (true, false),
            Of::Readings => (false, true),
            Of::Both => (true, true),
            // `Dims in ft, rod in inches`: one of two; by itself it speaks of all.
            Of::Numbers => (!named(Of::Plan), !named(Of::Readings)),
        };
        for (slot, of_this) in [(&mut units.plan, plan), (&mut units.reading, reading)] {
            if of_this && slot.is_some_and(|before| before != unit) {
                return None;
            }
            if of_this {
                *slot = Some(unit);
            }
        }
    }
    (!told.is_empty()).then_some(units)
}

/// What a piece speaks of, and its unit: `Of` is `None` for a unit by itself, `in inches`.
fn piece_of(piece: &str) -> Option<(Option<Of>, LengthUnit)> {
    let lower = tidy(&piece.to_lowercase().replace(['=', '"'], " "));
    let throughout = |w: &str| matches!(w, "throughout" | "everywhere");
    let words: Vec<&str> = lower.split(' ').collect();
    // `mm throughout`.
    let body: Vec<&str> = words.iter().copied().filter(|w| !throughout(w)).collect();
    let all = body.len() < words.len() || matches!(words[..], ["all" | "everything", ..]);
    let joined = body.join(" ");
    let (rest, unit) = match LengthUnit::from_word(&joined) {
        Some(unit) => (String::new(), unit),
        None => {
            let (rest, unit) = split_unit(&joined);
            (rest, unit?)
        }
    };
    let list: Vec<&str> = rest.split(' ').filter(|w| !w.is_empty()).collect();
    let has = |of: &[&str]| list.iter().any(|w| of.contains(w));
    let known = |w: &&str| {
        [&PLAN[..], &READINGS, &NUMBERS, &BESIDE]
            .iter()
            .any(|of| of.contains(w))
    };
    if !list.iter().all(known) {
        return None;
    }
    let of = match (has(&READINGS), has(&NUMBERS), has(&PLAN)) {
        (true, _, false) => Some(Of::Readings),
        (true, ..) => Some(Of::Both),
        (false, true, _) if all || has(&["everything", "units"]) => Some(Of::Both),
        (false, true, _) => Some(Of::Numbers),
        (false, false, true) => Some(Of::Plan),
        (false, false, false) => all.then_some(Of::Both),
    };
    Some((of, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use LengthUnit::{Foot, Inch, Millimetre};

    fn units(line: &str) -> Option<LineUnits> {
        line_units(&[line])
    }

    // ORACLE: what a person takes from these lines.
    #[test]
    fn units_in_plain_words_are_read() {
        for (line, plan, reading) in [
            ("Grid in feet, readings in inches", Some(Foot), Some(Inch)),
            ("readings in inches, grid in feet", Some(Foot), Some(Inch)),
            ("plan in feet; readings in inches", Some(Foot), Some(Inch)),
            ("dims in ft, rod in inches", Some(Foot), Some(Inch)),
            ("grid ft, readings in", Some(Foot), Some(Inch)),
            ("mm throughout", Some(Millimetre), Some(Millimetre)),
            ("All in mm", Some(Millimetre), Some(Millimetre)),
            ("All dimensions in inches", Some(Inch), Some(Inch)),
            ("Everything in inches", Some(Inch), Some(Inch)),
            ("measurements in mm", Some(Millimetre), Some(Millimetre)),
            ("all readings in inches", None, Some(Inch)),
            ("Readings are in mm", None, Some(Millimetre)),
            ("Readings in inches, down from laser", None, Some(Inch)),
            ("Measured down from the laser, in inches", None, Some(Inch)),
        ] {
            assert_eq!(units(line), Some(LineUnits { plan, reading }), "{line}");
        }
        for line in [
            "Kitchen",
            "inches",
            "feet and inches",
            "Readings in inches or mm",
            "gaps in mm at door",
            "Grid in feet, grid in inches",
            "Living room",
            "readings to 1/16 in",
            "all readings in 16ths",
        ] {
            assert_eq!(units(line), None, "{line}");
        }
        // Each over its column.
        let headings = ["x in ft", "y in ft", "readings in inches"];
        assert_eq!(line_units(&headings), None);
        let parted = ["Grid in feet", "readings in inches"];
        assert_eq!(
            line_units(&parted),
            units("Grid in feet, readings in inches")
        );
    }
}
