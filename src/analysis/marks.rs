//! The marks on the floor, in the order of the sheet and in the order one walks them from the door.

use super::analyse::Analysis;
use crate::fill::{Plane, mark_heights};
use crate::geometry::Point;
use crate::surface::Floor;
use crate::survey::{Elevation, Reading, Survey, marks_once, walking_order};

/// Work of less than this at a mark is rounding, metres.
const LEAST_WORK_M: f64 = 1e-6;

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

/// Every mark on the floor once, however often it was read, in walking order.
///
/// Heights are those of [`mark_heights`], which the fill is worked out from.
pub fn marks(survey: &Survey, floor: &Floor, plane: &Plane) -> Vec<Mark> {
    let marks = on_floor(survey, &mark_heights(floor, &survey.readings));
    let places: Vec<Point> = marks.iter().map(|r| r.at).collect();
    walking_order(&places, survey.room.as_ref(), floor.spacing())
        .into_iter()
        .filter_map(|i| marks.get(i))
        .map(|r| Mark {
            label: r.label.to_string(),
            at: r.at,
            reading: r.raw.text.to_string(),
            elevation_m: r.elevation.m(),
            depth_m: plane.at(r.at) - r.elevation.m(),
        })
        .collect()
}

/// Of marks that stand on the floor the first reading of each, by its name among all marks and with the height that the floor has there.
fn on_floor(survey: &Survey, heights_m: &[Option<f64>]) -> Vec<Reading> {
    let set_ups: Vec<String> = survey.set_ups.iter().map(|s| s.name.clone()).collect();
    let known = |(i, name): (usize, String)| {
        Some(Reading {
            label: name.into(),
            elevation: Elevation::from_m((*heights_m.get(i)?)?),
            ..survey.readings.get(i)?.clone()
        })
    };
    let once = marks_once(&survey.readings, &set_ups);
    once.into_iter().filter_map(known).collect()
}

impl Analysis {
    /// Height of the floor at each reading, metres, as [`mark_heights`] has it; `None` for those that do not stand on the
    /// floor: in a void, on a slope that is kept, or outside the walls.
    pub fn mark_heights_m(&self) -> Vec<Option<f64>> {
        mark_heights(&self.floor, &self.survey.readings)
    }

    /// What the patch plan lays at each of [`Analysis::readings_on_floor`], metres; negative where it grinds. Nothing without a plan.
    pub fn patch_work_m(&self) -> Vec<f64> {
        let before = self.readings_on_floor();
        let patched = self.patch.as_ref().and_then(|plan| {
            let z = self.floor.vertices().iter().zip(&plan.work_m);
            let heights: Vec<f64> = z.map(|(v, work)| v.z + work).collect();
            self.floor.with_heights(&heights)
        });
        let after = match &patched {
            Some(floor) => on_floor(&self.survey, &mark_heights(floor, &self.survey.readings)),
            None => before.clone(),
        };
        let pairs = before.iter().zip(&after);
        pairs
            .map(|(before, after)| after.elevation.m() - before.elevation.m())
            .collect()
    }

    /// The marks that the patch plan fills or grinds, in walking order; their depth is what is laid there, negative where it is ground.
    pub fn patch_marks(&self) -> Vec<Mark> {
        let readings = self.readings_on_floor();
        let work = self.patch_work_m();
        let places: Vec<Point> = readings.iter().map(|r| r.at).collect();
        walking_order(&places, self.survey.room.as_ref(), self.floor.spacing())
            .into_iter()
            .filter_map(|i| Some((readings.get(i)?, *work.get(i)?)))
            .filter(|(_, work)| work.abs() > LEAST_WORK_M)
            .map(|(r, work)| Mark {
                label: r.label.to_string(),
                at: r.at,
                reading: r.raw.text.to_string(),
                elevation_m: r.elevation.m(),
                depth_m: work,
            })
            .collect()
    }

    /// Marks that stand on the floor, the first reading of each with the height that the floor has there: of a mark read several times, what
    /// they make of it.
    pub fn readings_on_floor(&self) -> Vec<Reading> {
        on_floor(&self.survey, &self.mark_heights_m())
    }
}
