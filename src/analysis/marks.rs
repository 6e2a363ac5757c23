//! The marks on the floor, in the order of the sheet and in the order one walks them from the door.

use super::analyse::Analysis;
use crate::fill::{Plane, mark_heights};
use crate::geometry::Point;
use crate::surface::Floor;
use crate::survey::{Elevation, Reading, Survey, walking_order};

/// One mark on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Point name.
    pub label: String,
    /// Plan position.
    pub at: Point,
    /// The reading as it was written.
    pub reading: String,
    /// Elevation of the floor, metres.
    pub elevation_m: f64,
    /// Depth from the floor up to the finish, metres; negative where the floor stands above it.
    pub depth_m: f64,
}

/// Every reading on the floor as a mark, in walking order.
///
/// Heights are those of [`mark_heights`], which the fill is worked out from.
pub fn marks(survey: &Survey, floor: &Floor, plane: &Plane) -> Vec<Mark> {
    let heights = mark_heights(floor, &survey.readings);
    let places: Vec<Point> = survey.readings.iter().map(|r| r.at).collect();
    walking_order(&places, survey.room.as_ref(), floor.spacing())
        .into_iter()
        .filter_map(|i| Some((survey.readings.get(i)?, (*heights.get(i)?)?)))
        .map(|(r, elevation_m)| Mark {
            label: r.label.to_string(),
            at: r.at,
            reading: r.raw.text.to_string(),
            elevation_m,
            depth_m: plane.at(r.at) - elevation_m,
        })
        .collect()
}

impl Analysis {
    /// Height of the floor at each reading, metres, as [`mark_heights`] has it; `None` for those that do not stand on the
    /// floor: in a void, on a slope that is kept, or outside the walls.
    pub fn mark_heights_m(&self) -> Vec<Option<f64>> {
        mark_heights(&self.floor, &self.survey.readings)
    }

    /// Readings that stand on the floor, each with the height that the floor has there: of a mark read several times, what they make of it.
    pub fn readings_on_floor(&self) -> Vec<Reading> {
        let heights = self.mark_heights_m();
        let readings = self.survey.readings.iter().zip(heights);
        let on_floor = readings.filter_map(|(r, height_m)| {
            Some(Reading {
                elevation: Elevation::from_m(height_m?),
                ..r.clone()
            })
        });
        on_floor.collect()
    }
}
