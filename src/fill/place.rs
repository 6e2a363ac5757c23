//! The floor under a named point: the surface's own height there, or why it has none.

use crate::geometry::{Point, Segment};
use crate::surface::{Across, Floor, Source};
use crate::survey::{NamedRing, Reading, Room};

/// A point this far off the floor is meant to be on its edge, metres: the distance by which readings beyond a wall
/// are taken to the wall.
const NEAR_M: f64 = 0.025;

/// A place on the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorPlace {
    /// Where, plan metres.
    pub at: Point,
    /// How high the floor is there, elevation in metres.
    pub z_m: f64,
}

/// Why a point has no floor under it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum OffFloor {
    /// It stands in a void.
    #[error("{name} stands there, and there is no floor")]
    Void {
        /// The void.
        name: String,
    },
    /// It lies in an area that keeps its slope.
    #[error("it lies in {name}, which keeps its slope and is left out of the fill")]
    Slope {
        /// The area.
        name: String,
    },
    /// It lies beyond the walls.
    #[error("it lies outside the walls")]
    Outside,
    /// It lies beyond the outermost readings, and no walls are drawn.
    #[error("it lies outside the readings")]
    OutsideReadings,
    /// The floor there was not surveyed.
    #[error("the floor there was not surveyed")]
    NotSurveyed,
}

/// The floor at a point.
///
/// # Units, datum, sign
/// Metres; elevation above the survey datum.
/// # Method
/// The surface's height at the point itself ([`Floor::height_at`]). A point just off the floor (25 mm), and one that
/// stands in a wall as a door's middle does (up to one grid spacing), is taken at the nearest place of the floor's edge.
/// # Errors
/// [`OffFloor`] says why there is no floor: never another place's height instead.
pub fn place_on(
    floor: &Floor,
    room: Option<&Room>,
    at: Point,
    in_wall: bool,
) -> Result<FloorPlace, OffFloor> {
    if let Some(z_m) = floor.height_at(at) {
        return Ok(FloorPlace { at, z_m });
    }
    let reach_m = if in_wall {
        floor.spacing().max(NEAR_M)
    } else {
        NEAR_M
    };
    nearest_edge(floor, at)
        .filter(|place| place.at.distance(at) <= reach_m)
        .ok_or_else(|| why_off(floor, room, at, reach_m))
}

/// Height of the floor at each mark, elevation in metres: the surface's, so that a mark read from several set-ups has
/// one. `None` for a reading that does not stand on the floor (in a void, on a slope that is kept, outside the walls): nothing
/// is judged or filled there. One that stands apart from all others on it speaks for itself.
pub fn mark_heights(floor: &Floor, readings: &[Reading]) -> Vec<Option<f64>> {
    let mut heights: Vec<Option<f64>> = vec![None; readings.len()];
    // Nearly every reading is a corner of the mesh; only the others have to be looked for.
    for v in floor.vertices() {
        if let Source::Reading(i) = v.source
            && let Some(height) = heights.get_mut(i as usize)
        {
            *height = Some(v.z);
        }
    }
    let alone = |r: &Reading| floor.region().contains(r.at).then(|| r.elevation.m());
    readings
        .iter()
        .zip(heights)
        .map(|(r, height)| {
            height
                .or_else(|| floor.height_at(r.at))
                .or_else(|| alone(r))
        })
        .collect()
}

/// The nearest place of the floor's edge: walls, voids, and floor that was not surveyed.
fn nearest_edge(floor: &Floor, p: Point) -> Option<FloorPlace> {
    let mut best: Option<(f64, FloorPlace)> = None;
    for t in 0..floor.triangles().len() as u32 {
        let corners = floor.corners(t);
        for edge in 0..3 {
            if floor.across(t, edge) != Across::Edge {
                continue;
            }
            let (from, to) = (corners[edge], corners[(edge + 1) % 3]);
            let side = Segment::new(from.at, to.at);
            let share = side.nearest_share(p);
            let place = FloorPlace {
                at: side.at(share),
                z_m: from.z + (to.z - from.z) * share,
            };
            let distance = place.at.distance(p);
            if best.is_none_or(|(least, _)| distance < least) {
                best = Some((distance, place));
            }
        }
    }
    best.map(|(_, place)| place)
}

fn why_off(floor: &Floor, room: Option<&Room>, p: Point, reach_m: f64) -> OffFloor {
    let Some(room) = room else {
        return if floor.region().contains(p) {
            OffFloor::NotSurveyed
        } else {
            OffFloor::OutsideReadings
        };
    };
    let name = |list: &[NamedRing]| {
        list.iter()
            .find(|v| v.ring.contains(p))
            .map(|v| v.name.clone())
    };
    // A door in a wall beside floor that nobody read is not outside the walls.
    let wall_near = || {
        room.outline
            .sides()
            .any(|(a, b)| Segment::new(a, b).distance(p) <= reach_m)
    };
    if let Some(name) = name(&room.voids) {
        OffFloor::Void { name }
    } else if let Some(name) = name(&room.slopes) {
        OffFloor::Slope { name }
    } else if room.outline.contains(p) || wall_near() {
        OffFloor::NotSurveyed
    } else {
        OffFloor::Outside
    }
}
