//! Doors, fixtures and marks by name, and the floor under them.

use super::error::AnalysisError;
use crate::fill::{FloorPlace, place_on};
use crate::geometry::Point;
use crate::surface::Floor;
use crate::survey::Survey;

/// Readings of one name within this distance are one mark read from several set-ups, metres: the distance within
/// which set-ups are tied by a name.
const ONE_MARK_M: f64 = 0.075;

/// A door, a fixture or a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Named {
    /// Where it is.
    pub at: Point,
    /// Height of the floor beyond it, where it is a door and that is stated.
    pub adjoining_m: Option<f64>,
    /// Whether it stands in a wall.
    pub in_wall: bool,
}

/// What a name means; of one name the door comes first, then the fixture, then the mark.
///
/// # Errors
/// No such name, or several things of one kind that bear it.
pub(super) fn named(survey: &Survey, key: &str, name: &str) -> Result<Named, AnalysisError> {
    let room = survey.room.iter();
    let doors = room.clone().flat_map(|r| &r.doors).map(|d| {
        let door = Named {
            at: d.at,
            adjoining_m: d.adjoining_m,
            in_wall: true,
        };
        (d.name.as_str(), door)
    });
    let plain = |at: Point| Named {
        at,
        adjoining_m: None,
        in_wall: false,
    };
    let fixtures = room
        .flat_map(|r| &r.fixtures)
        .map(|f| (f.name.as_str(), plain(f.at)));
    let marks = survey
        .readings
        .iter()
        .map(|r| (r.label.as_str(), plain(r.at)));
    let kinds: [Vec<(&str, Named)>; 3] = [doors.collect(), fixtures.collect(), marks.collect()];
    // A name as it is written stands before one that differs in capitals only.
    let same: [fn(&str, &str) -> bool; 2] = [|a, b| a == b, |a, b| a.eq_ignore_ascii_case(b)];
    for same in same {
        for kind in &kinds {
            let bear: Vec<Named> = kind
                .iter()
                .filter(|(n, _)| same(n, name))
                .map(|(_, place)| *place)
                .collect();
            let Some(first) = bear.first() else { continue };
            let apart = bear.iter().filter(|p| p.at.distance(first.at) > ONE_MARK_M);
            let others = apart.count();
            if others > 0 {
                return Err(AnalysisError::OneOfSeveral {
                    key: key.to_owned(),
                    found: name.to_owned(),
                    count: others + 1,
                });
            }
            return Ok(*first);
        }
    }
    let [doors, fixtures, _] = &kinds;
    let known: Vec<&str> = doors.iter().chain(fixtures).map(|(n, _)| *n).collect();
    Err(AnalysisError::UnknownPoint {
        key: key.to_owned(),
        found: name.to_owned(),
        known: if known.is_empty() {
            "there are none".to_owned()
        } else {
            known.join(", ")
        },
    })
}

/// Place and height that a finish goes by at a named point: the adjoining floor's height at a door where it is
/// stated, else the surface's height there.
///
/// # Errors
/// As [`named`]; and a point that no surveyed floor lies under.
pub(super) fn named_height(
    survey: &Survey,
    floor: &Floor,
    key: &str,
    name: &str,
) -> Result<FloorPlace, AnalysisError> {
    let point = named(survey, key, name)?;
    if let Some(z_m) = point.adjoining_m {
        return Ok(FloorPlace { at: point.at, z_m });
    }
    place_on(floor, survey.room.as_ref(), point.at, point.in_wall).map_err(|why| {
        AnalysisError::OffFloor {
            key: key.to_owned(),
            found: name.to_owned(),
            why,
        }
    })
}
