//! Spots that were read again from the same line: taken where both readings agree, refused where they do not.

use super::error::{Fault, Faults};
use super::room::RawRoom;
use crate::survey::slip::Rule;
use crate::survey::{FEWEST_PAIRS, Notice, Reading, Severity};
use crate::units::{FractionStyle, Length, LengthFormat};
use std::collections::HashMap;

/// Two readings of one spot may differ by this, metres: 1/8 in, which honest rules and eyes come to now and then.
/// Common practice, no published source; so are the two below.
const HONEST_M: f64 = 0.003_175;
/// Where many spots were read twice: by so many times their middle difference, and by no more than half an inch.
const TIMES_MIDDLE: f64 = 6.0;
const MOST_APART_M: f64 = 0.0127;

/// By how much two readings of one spot may differ before one of them is a slip, metres. Where enough were read twice they say it
/// themselves: to refuse the pairs that differ most would leave those that show a better rule than it is.
fn honest_m(mut differences_m: Vec<f64>) -> f64 {
    if differences_m.len() < FEWEST_PAIRS {
        return HONEST_M;
    }
    differences_m.sort_by(f64::total_cmp);
    let middle = differences_m[differences_m.len() / 2];
    (TIMES_MIDDLE * middle).clamp(HONEST_M, MOST_APART_M)
}

/// One spot read twice from one set-up: told when it agrees, refused when it does not.
pub(super) fn take_doubles(room: &mut RawRoom, format: LengthFormat, faults: &mut Faults) {
    let mut seen: HashMap<(u64, u64, usize), u32> = HashMap::with_capacity(room.readings.len());
    let mut again: Vec<(usize, usize)> = Vec::new();
    for (i, reading) in room.readings.iter().enumerate() {
        // Adding zero makes -0 and 0 one place.
        let spot = (
            (reading.at.x + 0.0).to_bits(),
            (reading.at.y + 0.0).to_bits(),
            reading.set_up,
        );
        match seen.get(&spot) {
            Some(&earlier) => again.push((i, earlier as usize)),
            None => {
                seen.insert(spot, i as u32);
            }
        }
    }
    let apart = |&(i, earlier): &(usize, usize)| {
        (room.readings[i].elevation - room.readings[earlier].elevation).abs()
    };
    if again.len() >= FEWEST_TO_SHIFT
        && let Some(shift_m) = shift_m(&room.readings, &again)
    {
        refuse_shift(&room.readings, (&again, shift_m), format, faults);
        return;
    }
    let rule = match room.about.reading_unit {
        Some(unit) if !unit.is_us() => Rule::Metric,
        _ => Rule::Inches,
    };
    let limit_m = honest_m(again.iter().map(|pair| apart(pair).m()).collect());
    let (mut agreeing, mut first, mut most_m) = (0usize, None, 0.0f64);
    for pair in &again {
        let (reading, other) = (&room.readings[pair.0], &room.readings[pair.1]);
        let between = apart(pair);
        if between.m() > limit_m + 1e-9 {
            faults.add(
                Fault::Disagree,
                reading.raw.place.clone(),
                format!(
                    "{} read again as \u{201c}{}\u{201d}, after \u{201c}{}\u{201d} at {}: {} apart",
                    reading.label,
                    reading.raw.text,
                    other.raw.text,
                    other.raw.place,
                    format.styled(between, FractionStyle::Plain)
                ),
                format!(
                    "one height for one spot, within {}",
                    rule.both(Length::from_m(limit_m))
                ),
                "Delete the wrong one, or give the later one its own set-up.",
            );
        } else {
            agreeing += 1;
            most_m = most_m.max(between.m());
            first.get_or_insert_with(|| reading.raw.place.to_string());
        }
    }
    if let Some(place) = first {
        room.notices.push(Notice::new(
            "read-twice",
            Severity::Note,
            place,
            format!(
                "{agreeing} {} of a spot read before; {} and are kept.",
                if agreeing == 1 {
                    "reading is"
                } else {
                    "readings are"
                },
                if most_m > 0.0 {
                    format!("they agree within {}", rule.both(Length::from_m(most_m)))
                } else {
                    "they agree".to_owned()
                }
            ),
        ));
    }
}

/// Fewer spots read twice show no shift between the first and the second round.
const FEWEST_TO_SHIFT: usize = 3;

/// By how much later readings stand above the earlier ones of their spots where nearly all of them are off one way by more than readings of one line
/// come to, metres.
fn shift_m(readings: &[Reading], again: &[(usize, usize)]) -> Option<f64> {
    let up =
        |&(i, earlier): &(usize, usize)| (readings[i].elevation - readings[earlier].elevation).m();
    let mut up_m: Vec<f64> = again.iter().map(up).collect();
    up_m.sort_by(f64::total_cmp);
    let middle = up_m[up_m.len() / 2];
    let off = |d: &&f64| **d * middle.signum() > HONEST_M + 1e-9;
    let most = 4 * up_m.iter().filter(off).count() >= 3 * up_m.len();
    most.then_some(middle)
}

/// Refuses readings that a second round found higher or lower all over: another line, or another floor.
fn refuse_shift(
    readings: &[Reading],
    (again, shift_m): (&[(usize, usize)], f64),
    format: LengthFormat,
    faults: &mut Faults,
) {
    let Some(&(i, earlier)) = again.first() else {
        return;
    };
    faults.add(
        Fault::Disagree,
        readings[i].raw.place.clone(),
        format!(
            "{} readings of spots read before, which show the floor {} {} than the first did, beginning with \u{201c}{}\u{201d} after \u{201c}{}\u{201d} at {}",
            again.len(),
            format.styled(Length::from_m(shift_m.abs()), FractionStyle::Plain),
            if shift_m > 0.0 { "higher" } else { "lower" },
            readings[i].raw.text,
            readings[earlier].raw.text,
            readings[earlier].raw.place,
        ),
        "readings of one floor from one line",
        "Taken from another set-up, they need rows of their own, with a column that names the set-up in every row. Taken after work on the floor, they belong in a file of their own, for the recheck command. If they are to be left out, head their column other.",
    );
}
