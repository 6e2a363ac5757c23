//! Readings of which a part is so many times the others as one unit is of another: centimetres among millimetres, feet among inches.

use super::error::{Fault, Faults, quoted};
use super::options::Meaning;
use super::room::RawRoom;
use crate::geometry::{Point, bounds};
use crate::survey::{Notice, Reading, Severity};

/// Two groups of readings are held to be apart where nothing lies between one and so many times it.
const APART: f64 = 5.0;
/// How near the middle of one is to so many times that of the other: floors are no rougher beside what a line stands above them.
const NEAR: f64 = 0.06;
/// Units beside one another: mm and cm, in and ft, mm and in, cm and m.
const TIMES: [f64; 4] = [10.0, 12.0, 25.4, 100.0];

/// Refuses them where they lie among one another, and tells of them where they lie apart: a stage may stand so high.
pub(super) fn hold(room: &mut RawRoom, faults: &mut Faults) {
    if room.about.meaning == Meaning::Elevation {
        return;
    }
    let length = |r: &Reading| (room.about.line - r.elevation).m();
    let mut sorted: Vec<&Reading> = room.readings.iter().collect();
    sorted.sort_by(|a, b| length(a).total_cmp(&length(b)));
    let Some(at) = sorted
        .windows(2)
        .position(|w| length(w[0]) > 0.0 && length(w[1]) > APART * length(w[0]))
    else {
        return;
    };
    let (small, large) = sorted.split_at(at + 1);
    let middle = |group: &[&Reading]| group.get(group.len() / 2).map_or(0.0, |r| length(r));
    let times = middle(large) / middle(small);
    let Some(times) = TIMES.into_iter().find(|t| (times / t - 1.0).abs() < NEAR) else {
        return;
    };
    let fewer = small.len() <= large.len();
    let mut few: Vec<&Reading> = if fewer { small } else { large }.to_vec();
    few.sort_by_key(|r| (r.raw.place.row, r.raw.place.column));
    // One alone is a sump or a slip, and looked for as that.
    let Some(first) = few.first().filter(|_| few.len() > 1) else {
        return;
    };
    let named: Vec<String> = few
        .iter()
        .take(3)
        .map(|r| format!("{} {}", r.raw.place.cell(), quoted(&r.raw.text)))
        .collect();
    let more = few.len().saturating_sub(named.len());
    let more = if more > 0 {
        format!(" and {more} more")
    } else {
        String::new()
    };
    let found = match fewer {
        true => format!(
            "{}{more}, about 1/{times} of the other readings",
            named.join(", ")
        ),
        false => format!(
            "{}{more}, about {times} times the other readings",
            named.join(", ")
        ),
    };
    let place = first.raw.place.clone();
    let box_of = |group: &[&Reading]| bounds(group.iter().map(|r| r.at));
    let among = box_of(small).zip(box_of(large));
    if among.is_some_and(|(a, b)| lie_among(a, b)) {
        faults.add(
            Fault::MixedUnits,
            place,
            found,
            "readings in one unit",
            "Is another unit meant there, such as cm among mm, or was a point lost? Write them in the unit of the others, or each with its own unit.",
        );
    } else {
        room.notices.push(Notice::new(
            "other-unit-there",
            Severity::Warning,
            place.to_string(),
            format!(
                "{found}, and apart from them: was another unit meant there? Nothing was changed."
            ),
        ));
    }
}

/// Whether two boxes share some of their middle, both ways.
fn lie_among(a: (Point, Point), b: (Point, Point)) -> bool {
    let shares = |of: fn(Point) -> f64| {
        let (low, high) = (of(a.0).max(of(b.0)), of(a.1).min(of(b.1)));
        high - low >= -1e-6
    };
    shares(|p| p.x) && shares(|p| p.y)
}
