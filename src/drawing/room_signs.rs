//! Rows of the key for what a room and its floor hold.

use super::key::Sign;
use super::map::Subject;
use super::room;
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
    row(
        extended,
        Sign::Extended,
        "height carried out from the nearest readings",
    );
    row(
        !floor.unsurveyed().is_empty(),
        Sign::Unsurveyed,
        "not surveyed: in no total",
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
            row(true, Sign::North(out.x, -out.y), "square to the north wall");
        }
        row(
            room.joints.iter().any(|j| !j.movement),
            Sign::Joint,
            "joint",
        );
        row(
            room.joints.iter().any(|j| j.movement),
            Sign::MovementJoint,
            "movement joint: leave open",
        );
        row(room.fixtures.iter().any(|f| f.drain), Sign::Drain, "drain");
        row(
            room.fixtures.iter().any(|f| !f.drain),
            Sign::Fixture,
            "named point",
        );
        row(
            !room.slopes.is_empty(),
            Sign::Slope,
            "keeps its slope: in no total",
        );
    }
    rows
}
