//! High point, low point, overall deviation, and the peaks that come after the high point.

use crate::geometry::{Point, SAME_LINE_M};
use crate::surface::{Floor, ReadingSpot};
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
    /// How many readings of this mark that height is the mean of; 1 for a mark read once.
    pub of_mean: usize,
    /// Other readings at the same height, within half the reading step: their indices in the survey.
    pub ties: Vec<usize>,
}

/// A reading that no neighbour stands above.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelPeak {
    /// Its label.
    pub label: String,
    /// Where it is.
    pub at: Point,
    /// How far it lies below the high point, metres.
    pub below_high_m: f64,
    /// How far it stands above the plane of its neighbours, metres: what grinding it off gains. `None`
    /// with too few neighbours.
    pub above_neighbours_m: Option<f64>,
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
    /// The high point and the peaks after it, highest first.
    pub peaks: Vec<LevelPeak>,
    /// Where floor that was carried out to a wall stands above the high point, and by how much, metres.
    pub extended_above: Option<(Point, f64)>,
}

/// Peaks kept: the high point and the three after it.
const PEAKS: usize = 4;

impl Levels {
    /// Extremes over the readings that stand on the floor; `None` when none does.
    pub fn of(survey: &Survey, floor: &Floor) -> Option<Self> {
        let near = survey.resolution_m.map_or(1e-9, |step| step / 2.0);
        let found = floor.extremes(near, PEAKS)?;
        let label = |spot: &ReadingSpot| {
            survey
                .readings
                .get(spot.reading as usize)
                .map_or_else(String::new, |r| r.label.to_string())
        };
        let of_mark = |spot: &ReadingSpot| {
            let (own, at) = (spot.reading as usize, spot.at);
            (0..survey.readings.len())
                .filter(move |&i| i == own || survey.readings[i].at.distance(at) <= SAME_LINE_M)
        };
        // Of several readings of one mark, which share its height, the one that stands farthest out is told.
        let told = |spot: &ReadingSpot, sign: f64| {
            let height = |i: usize| sign * survey.readings[i].elevation.m();
            of_mark(spot)
                .max_by(|&a, &b| height(a).total_cmp(&height(b)).then(b.cmp(&a)))
                .unwrap_or(spot.reading as usize)
        };
        let whole = |spots: &[ReadingSpot], sign: f64| {
            let (first, ties) = spots.split_first()?;
            Some(LevelSpot {
                reading: told(first, sign),
                label: label(first),
                at: first.at,
                elevation_m: first.z_m,
                of_mean: of_mark(first).count(),
                ties: ties.iter().map(|s| s.reading as usize).collect(),
            })
        };
        let high = whole(&found.high, 1.0)?;
        Some(Self {
            peaks: found
                .peaks
                .iter()
                .map(|p| LevelPeak {
                    label: label(&p.spot),
                    at: p.spot.at,
                    below_high_m: high.elevation_m - p.spot.z_m,
                    above_neighbours_m: p.above_neighbours_m,
                })
                .collect(),
            low: whole(&found.low, -1.0)?,
            overall_m: found.overall_m,
            extended_above: found.extended_above,
            high,
        })
    }
}
