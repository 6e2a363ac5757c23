//! High point, low point, overall deviation.

use crate::geometry::Point;
use crate::surface::{Floor, Source};
use crate::survey::Survey;

/// The highest or lowest reading, with the others that share its height.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelSpot {
    /// Index of the reading in the survey.
    pub reading: usize,
    /// Its label.
    pub label: String,
    /// Where it is.
    pub at: Point,
    /// Elevation, metres.
    pub elevation_m: f64,
    /// Labels of other readings at the same height, within half the reading step.
    pub ties: Vec<String>,
}

/// Levelness of the floor. Not flatness: a tilted plane has a large overall deviation and no gap.
#[derive(Debug, Clone)]
pub struct Levels {
    /// Highest reading.
    pub high: LevelSpot,
    /// Lowest reading.
    pub low: LevelSpot,
    /// Highest less lowest, metres.
    pub overall_m: f64,
}

impl Levels {
    /// Extremes over the readings that stand on the floor; `None` when none does.
    pub fn of(survey: &Survey, floor: &Floor) -> Option<Self> {
        let near = survey.resolution_m.map_or(1e-9, |step| step / 2.0);
        let high = extreme(survey, floor, near, 1.0)?;
        let low = extreme(survey, floor, near, -1.0)?;
        let overall_m = high.elevation_m - low.elevation_m;
        Some(Self {
            high,
            low,
            overall_m,
        })
    }
}

/// Highest reading for `sign` 1, lowest for -1. Of several at one height, the first in plan order
/// (x, then y), so that the order of rows does not matter.
fn extreme(survey: &Survey, floor: &Floor, near_m: f64, sign: f64) -> Option<LevelSpot> {
    let mut on_floor: Vec<(usize, Point, f64)> = floor
        .vertices()
        .iter()
        .filter_map(|v| match v.source {
            Source::Reading(i) => Some((i as usize, v.at, v.z)),
            Source::Extended => None,
        })
        .collect();
    on_floor.sort_by(|a, b| {
        (sign * b.2)
            .total_cmp(&(sign * a.2))
            .then(a.1.x.total_cmp(&b.1.x))
            .then(a.1.y.total_cmp(&b.1.y))
    });
    on_floor.dedup_by_key(|v| v.0);
    let &(reading, at, elevation_m) = on_floor.first()?;
    let label = |i: usize| {
        survey
            .readings
            .get(i)
            .map_or_else(String::new, |r| r.label.to_string())
    };
    Some(LevelSpot {
        reading,
        label: label(reading),
        at,
        elevation_m,
        ties: on_floor[1..]
            .iter()
            .take_while(|v| (v.2 - elevation_m).abs() <= near_m)
            .map(|v| label(v.0))
            .collect(),
    })
}
