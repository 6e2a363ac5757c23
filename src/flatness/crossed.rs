//! Which named joints a placement lies over.

use super::Placement;
use crate::geometry::{Point, Segment};
use crate::survey::Joint;

/// A place this near to a joint is on it, metres: what rounding makes of corners that stand on it.
const ON_M: f64 = 1e-3;

/// How a placement and a joint meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meeting {
    /// The edge lies across it, or shows a step at it.
    Across,
    /// One end stands on it: from which side the edge is carried there, the place does not tell.
    EndsAt,
}

/// The joints that a placement meets, each name once, in the order of the plan.
///
/// A joint has two heights, and an edge that rests on its upper lip ends there in plan: where the gap is greatest at that lip as well,
/// it is the step.
pub fn crossed<'a>(p: &Placement, joints: &'a [Joint]) -> Vec<(&'a str, Meeting)> {
    let mut found: Vec<(&str, Meeting)> = Vec::new();
    for joint in joints {
        let meeting = joint
            .line
            .windows(2)
            .filter_map(|w| meeting(p, &Segment::new(w[0], w[1])))
            .min_by_key(|m| *m as u8);
        if let Some(meeting) = meeting
            && !found.iter().any(|(name, _)| *name == joint.name)
        {
            found.push((&joint.name, meeting));
        }
    }
    found
}

fn meeting(p: &Placement, piece: &Segment) -> Option<Meeting> {
    let on = |at: Point| piece.distance(at) <= ON_M;
    let ends = [p.from, p.to].map(on);
    // Along the joint it lies on one side of it.
    if ends == [true, true] {
        return None;
    }
    if ends == [false, false] {
        return Segment::new(p.from, p.to)
            .crosses(piece)
            .then_some(Meeting::Across);
    }
    Some(if on(p.at) {
        Meeting::Across
    } else {
        Meeting::EndsAt
    })
}
