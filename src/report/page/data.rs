//! What the script computes from: the floor's own triangles, to the last digit.

use super::input::PageInput;
use super::map::Map;
use crate::flatness::{Placement, Procedure};
use crate::report::Pen;
use crate::report::words::page as words;
use crate::surface::Cover;
use crate::units::Habit;
use serde_json::{Value, json};

/// Everything the script needs, metres.
///
/// Corners are written with as many digits as make the same number again, so that the page and the
/// program compute from the same floor.
pub(super) fn data(input: &PageInput, picture: &Map, lays: &[Placement]) -> Value {
    let floor = input.floor;
    let corners: Vec<f64> = floor
        .vertices()
        .iter()
        .flat_map(|v| [v.at.x, v.at.y, v.z])
        .collect();
    let triangles: Vec<u32> = floor.triangles().iter().flatten().copied().collect();
    let carried: String = (0..floor.triangles().len() as u32)
        .map(|t| match floor.cover(t) {
            Cover::Extended => '1',
            Cover::Surveyed => '0',
        })
        .collect();
    let marks: Vec<Value> = input
        .marks
        .iter()
        .map(|m| json!([m.label, m.at.x, m.at.y, m.elevation_m, m.reading]))
        .collect();
    let pen = Pen::new(input.habit);
    let limits: Vec<Value> = input
        .checks
        .iter()
        .flat_map(|c| c.parts.iter().map(move |p| (c, p)))
        .filter(|(_, p)| p.procedure == Procedure::Resting)
        .map(|(c, p)| json!([c.title, p.span_m, p.allowance_m, pen.limit(p.allowance_m)]))
        .collect();
    json!({
        "habit": habit_word(input.habit),
        "view": { "x0": picture.corner.x, "y1": picture.corner.y, "k": picture.units_per_m },
        "corners": corners,
        "triangles": triangles,
        "carried": carried,
        "plane": input.plane.map(|p| [p.z0, p.sx, p.sy]),
        "high": [input.high.at.x, input.high.at.y, input.high.elevation_m],
        "marks": marks,
        "spacing": floor.spacing(),
        "spans": input.spans_m,
        "limits": limits,
        "lays": lays.iter().map(|l| [l.from.x, l.from.y, l.to.x, l.to.y]).collect::<Vec<_>>(),
        "origin": [input.orientation.origin.x, input.orientation.origin.y],
        "words": words::script(&input.orientation.left, &input.orientation.bottom),
    })
}

/// The word that the page's script knows a habit by.
const fn habit_word(habit: Habit) -> &'static str {
    match habit {
        Habit::Us => "us",
        Habit::Metric => "metric",
    }
}
