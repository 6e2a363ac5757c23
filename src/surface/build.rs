//! From readings and room to floor.

use super::floor::{Floor, Source};
use super::lay::{RegionFloor, check_spread, lay};
use super::readings::{Left, ReadingUse, name_of, tell};
use super::words::Spoken;
use super::{FloorError, RoomFault};
use crate::geometry::{
    Point, Region, RegionFault, Ring, RingName, SAME_LINE_M, Segment, convex_hull,
};
use crate::survey::{Joint, NamedRing, Notice, Reading, Severity, Survey};
use crate::units::share_text;

/// The floor with everything that was noticed while it was built.
#[derive(Debug, Clone)]
pub struct Built {
    /// The floor to judge and fill.
    pub floor: Floor,
    /// What became of each reading of the survey, in its order.
    pub readings: Vec<ReadingUse>,
    /// Areas that keep their slope and hold enough readings for a floor of their own.
    pub slopes: Vec<SlopeFloor>,
    /// What is worth telling.
    pub notices: Vec<Notice>,
}

/// An area that keeps its slope, as a floor of its own.
#[derive(Debug, Clone)]
pub struct SlopeFloor {
    /// Index in `Room::slopes`.
    pub slope: u32,
    /// Its name on drawings.
    pub name: String,
    /// Its floor, from the readings inside it.
    pub floor: Floor,
}

impl Floor {
    /// The floor of a survey: triangles over the readings, cut to the room and carried to its walls.
    ///
    /// # Units, datum, sign
    /// Metres; elevations up positive from the survey datum.
    /// # Method
    /// docs/methods.md, "The floor as a surface". The result does not depend on the order of the readings.
    /// # Edge cases
    /// Without a room the convex hull of the readings stands in for the outline, with a notice. Floor
    /// farther than one spacing from any reading carries no height and is listed as not surveyed.
    /// # Errors
    /// Fewer than three usable readings, all in one line, a number that is not finite, a faulty room
    /// (every fault listed).
    pub fn build(survey: &Survey) -> Result<Built, FloorError> {
        let readings = &survey.readings;
        for r in readings {
            let (x, y, z) = (r.at.x, r.at.y, r.elevation.m());
            if !(x.is_finite() && y.is_finite() && z.is_finite()) {
                return Err(FloorError::NotFinite {
                    label: r.label.to_string(),
                    place: r.raw.place.to_string(),
                    x,
                    y,
                    z,
                });
            }
        }
        let Some(room) = &survey.room else {
            return build_on_hull(survey);
        };
        let region = sound_region(&room.outline, &room.voids, &room.slopes)?;
        let joints = sound_joints(&room.joints)?;
        let left = Left {
            region: &region,
            voids: &room.voids,
            slopes: &room.slopes,
        };
        let laid = lay(readings, &left, &joints)?;
        let spoken = Spoken::of_step(survey.resolution_m);
        let mut notices = tell(readings, &laid.uses, &left, survey);
        notices.extend(apart_notice(readings, &laid, spoken));
        notices.extend(on_joints_notice(readings, &joints));
        notices.extend(cover_notices(&laid.floor, spoken));
        let mut slopes = Vec::new();
        for (k, slope) in room.slopes.iter().enumerate() {
            match slope_floor(readings, slope, &room.voids, &joints) {
                Ok(floor) => slopes.push(SlopeFloor {
                    slope: k as u32,
                    name: slope.name.clone(),
                    floor,
                }),
                Err(error) => notices.push(Notice::new(
                    "slope-not-surveyed",
                    Severity::Note,
                    "",
                    format!("{} has no floor of its own: {error}", slope.name),
                )),
            }
        }
        Ok(Built {
            floor: laid.floor,
            readings: laid.uses,
            slopes,
            notices,
        })
    }
}

fn build_on_hull(survey: &Survey) -> Result<Built, FloorError> {
    let readings = &survey.readings;
    let points: Vec<Point> = readings.iter().map(|r| r.at).collect();
    check_spread(&points, 0)?;
    let region = Region {
        outline: Ring::new(convex_hull(&points, 1e-4)),
        voids: vec![],
    };
    drop(points);
    let left = Left {
        region: &region,
        voids: &[],
        slopes: &[],
    };
    let laid = lay(readings, &left, &[])?;
    let spoken = Spoken::of_step(survey.resolution_m);
    let mut notices = tell(readings, &laid.uses, &left, survey);
    notices.push(Notice::new(
        "outline-not-given",
        Severity::Warning,
        "",
        "No outline was given: the floor ends at the outermost readings, so the strip along the walls and any \
         notch or column are not known to it. Give the outline for true areas and quantities.",
    ));
    notices.extend(apart_notice(readings, &laid, spoken));
    notices.extend(cover_notices(&laid.floor, spoken));
    Ok(Built {
        floor: laid.floor,
        readings: laid.uses,
        slopes: vec![],
        notices,
    })
}

fn slope_floor(
    readings: &[Reading],
    slope: &NamedRing,
    voids: &[NamedRing],
    joints: &[Joint],
) -> Result<Floor, FloorError> {
    let own: Vec<NamedRing> = voids
        .iter()
        .filter(|v| slope.ring.contains(centre(&v.ring)))
        .cloned()
        .collect();
    let region = sound_region(&slope.ring, &own, &[])?;
    let left = Left {
        region: &region,
        voids: &own,
        slopes: &[],
    };
    // Readings on its edge belong to the floor around it, which may stand higher.
    let mut inner: Vec<Reading> = Vec::new();
    let mut indices: Vec<u32> = Vec::new();
    for (i, r) in readings.iter().enumerate() {
        let edge = slope
            .ring
            .sides()
            .map(|(a, b)| Segment::new(a, b).distance(r.at))
            .fold(f64::INFINITY, f64::min);
        if slope.ring.contains(r.at) && edge > SAME_LINE_M {
            inner.push(r.clone());
            indices.push(i as u32);
        }
    }
    let mut floor = lay(&inner, &left, joints)?.floor;
    for v in &mut floor.vertices {
        if let Source::Reading(i) = &mut v.source {
            *i = indices[*i as usize];
        }
    }
    for lean in floor.leans.values_mut().flatten() {
        lean.0 = indices[lean.0 as usize];
    }
    Ok(floor)
}

fn centre(ring: &Ring) -> Point {
    crate::geometry::inner_point(ring).unwrap_or_default()
}

/// The region of a room, or every fault in it by the names on the drawing.
fn sound_region(
    outline: &Ring,
    voids: &[NamedRing],
    slopes: &[NamedRing],
) -> Result<Region, FloorError> {
    let region = Region {
        outline: outline.clone(),
        voids: voids.iter().chain(slopes).map(|v| v.ring.clone()).collect(),
    };
    let faults = region.faults();
    if faults.is_empty() {
        return Ok(region.without_nested_voids());
    }
    let name_of = |v: usize| {
        voids
            .iter()
            .chain(slopes)
            .nth(v)
            .map_or_else(|| "outline".to_owned(), |n| n.name.clone())
    };
    let faults = faults
        .into_iter()
        .map(|fault| RoomFault {
            name: match &fault {
                RegionFault::Ring {
                    ring: RingName::Void(v),
                    ..
                } => name_of(*v),
                RegionFault::VoidOutside { void } | RegionFault::VoidSticksOut { void, .. } => {
                    name_of(*void)
                }
                RegionFault::VoidsOverlap { first, second, .. } => {
                    format!("{} and {}", name_of(*first), name_of(*second))
                }
                _ => "outline".to_owned(),
            },
            fault,
        })
        .collect();
    Err(FloorError::Room { faults })
}

fn sound_joints(joints: &[Joint]) -> Result<Vec<Joint>, FloorError> {
    let mut faults = Vec::new();
    for j in joints {
        for (i, p) in j.line.iter().enumerate() {
            if !(p.x.is_finite() && p.y.is_finite()) {
                faults.push(RoomFault {
                    name: j.name.clone(),
                    fault: RegionFault::Ring {
                        ring: RingName::Outline,
                        fault: crate::geometry::RingFault::NotFinite { corner: i + 1 },
                    },
                });
            }
        }
    }
    if faults.is_empty() {
        Ok(joints.to_vec())
    } else {
        Err(FloorError::Room { faults })
    }
}

/// Readings that stand by themselves: a mistyped place more often than not.
fn apart_notice(readings: &[Reading], laid: &RegionFloor, spoken: Spoken) -> Option<Notice> {
    let first = laid.apart.first()?;
    let reading = readings.get(first.reading as usize)?;
    let nearest = laid
        .apart
        .iter()
        .map(|a| a.distance_m)
        .fold(f64::INFINITY, f64::min);
    let who = name_of(reading, first.reading);
    let (who, stand) = match laid.apart.len() {
        1 => (who, "stands"),
        2 => (format!("{who} and 1 more reading"), "stand"),
        n => (format!("{who} and {} more readings", n - 1), "stand"),
    };
    Some(Notice::new(
        "reading-apart",
        Severity::Warning,
        reading.raw.place.to_string(),
        format!(
            "{who} {stand} {} or more from all others, which stand about {} apart: was the place mistyped? Else read the floor between, which nobody read and which is in no total.",
            spoken.plan(nearest),
            spoken.plan(laid.floor.spacing)
        ),
    ))
}

/// Says that readings stand on joints: each counts for both sides, so that a step there does not show.
fn on_joints_notice(readings: &[Reading], joints: &[Joint]) -> Option<Notice> {
    let on = |joint: &Joint| -> Vec<usize> {
        let near = |r: &Reading| {
            let sides = joint.line.windows(2);
            sides
                .map(|w| Segment::new(w[0], w[1]).distance(r.at))
                .any(|off| off <= SAME_LINE_M)
        };
        (0..readings.len())
            .filter(|&i| near(&readings[i]))
            .collect()
    };
    let by_joint: Vec<(&Joint, Vec<usize>)> = joints.iter().map(|j| (j, on(j))).collect();
    let mut all: Vec<usize> = by_joint.iter().flat_map(|(_, on)| on).copied().collect();
    all.sort_unstable();
    all.dedup();
    let first = *all.first()?;
    let who = name_of(&readings[first], first as u32);
    let (who, stand) = match all.len() {
        1 => (who, "stands on a joint and counts"),
        2 => (
            format!("{who} and 1 more reading"),
            "stand on joints and count",
        ),
        n => (
            format!("{who} and {} more readings", n - 1),
            "stand on joints and count",
        ),
    };
    let names: Vec<&str> = by_joint
        .iter()
        .filter(|(_, on)| !on.is_empty())
        .map(|(j, _)| j.name.as_str())
        .filter(|n| !n.is_empty())
        .collect();
    let named = if names.is_empty() {
        String::new()
    } else {
        format!(" ({})", names.join(", "))
    };
    Some(Notice::new(
        "readings-on-joints",
        Severity::Warning,
        readings[first].raw.place.to_string(),
        format!(
            "{who} {stand} for both sides{named}: a step or a curl there does not show. Read close beside the joint, on either side."
        ),
    ))
}

fn cover_notices(floor: &Floor, spoken: Spoken) -> Vec<Notice> {
    let mut notices = Vec::new();
    let areas = floor.areas();
    let share = |a: f64| share_text(a / areas.region_m2.max(f64::MIN_POSITIVE));
    if areas.unsurveyed_m2 > 1e-4 * areas.region_m2 {
        notices.push(Notice::new(
            "not-surveyed",
            Severity::Warning,
            "",
            format!(
                "{}, {} of the floor, is too far from any reading and is in no total. Readings stand about {} apart; read the rest of the floor at that spacing.",
                spoken.area(areas.unsurveyed_m2),
                share(areas.unsurveyed_m2),
                spoken.plan(floor.spacing)
            ),
        ));
    }
    if areas.extended_m2 > 1e-4 * areas.region_m2 {
        notices.push(Notice::new(
            "extended",
            Severity::Note,
            "",
            format!(
                "{}, {} of the floor, between the outermost readings and the walls or joints, is carried out from the readings nearby.",
                spoken.area(areas.extended_m2),
                share(areas.extended_m2)
            ),
        ));
    }
    notices
}
