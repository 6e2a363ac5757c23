//! Floor past the last readings: where chords are judged there, and what may be laid.

use super::chord::{Chord, Follows};
use super::programme::Row;
use super::request::PatchRequest;
use crate::flatness::Ground;
use crate::surface::{Across, Floor};

/// For each vertex whether chords are judged on floor that was carried out to it: at joints, or where all such floor counts.
pub(super) fn judged_past_readings(floor: &Floor, ground: Ground) -> Vec<bool> {
    let mut judged = vec![ground == Ground::WithExtended; floor.vertices().len()];
    for (t, corners) in (0u32..).zip(floor.triangles()) {
        if (0..3).any(|e| matches!(floor.across(t, e), Across::Joint(_))) {
            for &v in corners {
                judged[v as usize] = true;
            }
        }
    }
    judged
}

/// Rows that keep what comes to be laid past the marks to what may be laid and ground at them.
pub(super) fn depths_past_readings(
    request: &PatchRequest<'_>,
    judged: &[bool],
    follows: &Follows,
    z: &[f64],
) -> Vec<Row> {
    let mut rows = Vec::new();
    for (list, _) in follows
        .iter()
        .zip(judged)
        .filter(|(list, judged)| **judged && list.len() > 1)
    {
        let chord = Chord::of(list.clone());
        let offset_m = -chord.gap(z);
        let mut row = |sign, most_m| {
            rows.push(Row {
                chord: chord.clone(),
                sign,
                most_m,
                offset_m,
            });
        };
        row(-1.0, request.max_grind_m);
        if let Some(most) = request.max_fill_m {
            row(1.0, most);
        }
    }
    rows
}
