//! Rows of the key for what a room and its floor hold.

use super::key::Sign;
use super::map::Subject;
use super::room;
use super::words as word;
use crate::surface::Cover;

/// Key rows for what the room and the floor hold.
pub(super) fn room_signs(subject: &Subject<'_>) -> Vec<(Sign, String)> {
    let mut rows = Vec::new();
    let floor = subject.floor;
    let mut row = |there: bool, sign: Sign, words: &str| {
        if there {
            rows.push((sign, words.to_owned()));
        }
    };
    let extended = (0..floor.triangles().len() as u32).any(|t| floor.cover(t) == Cover::Extended);
    row(extended, Sign::Extended, word::CARRIED_OUT);
    row(
        !floor.blanks().is_empty(),
        Sign::Unsurveyed,
        word::NOT_SURVEYED,
    );
    if let Some(room) = subject.room {
        let north = room
            .walls
            .iter()
            .find(|w| {
                w.name
                    .to_lowercase()
                    .split_whitespace()
                    .any(|w| w == "north")
            })
            .and_then(|w| room::nearest_side(&room.outline, w.at))
            .map(|(side, _, _)| room::outward(&room.outline, side));
        if let Some(out) = north {
            row(true, Sign::North(out.x, -out.y), word::NORTH);
        }
        row(
            room.joints.iter().any(|j| !j.movement),
            Sign::Joint,
            word::JOINT,
        );
        row(
            room.joints.iter().any(|j| j.movement),
            Sign::MovementJoint,
            word::MOVEMENT_JOINT,
        );
        row(
            room.fixtures.iter().any(|f| f.drain),
            Sign::Drain,
            word::DRAIN,
        );
        row(
            room.fixtures.iter().any(|f| !f.drain),
            Sign::Fixture,
            word::NAMED_POINT,
        );
        row(!room.slopes.is_empty(), Sign::Slope, word::KEEPS_SLOPE);
    }
    rows
}
