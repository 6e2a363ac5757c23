//! Words of several rooms in one.

/// Title of the sheet and head of the answer.
pub const TITLE: &str = "All rooms together";
/// Name of the sum.
pub const ALL: &str = "all rooms";
/// Row name.
pub const AREA: &str = "Floor";
/// Row name.
pub const WET: &str = "Floor that gets material";
/// Row name.
pub const VOLUME: &str = "Material in place";
/// Row name.
pub const BASE: &str = "of it in the base scope";
/// Row name.
pub const EXTRA: &str = "of it extra";
/// Row name.
pub const BAGS: &str = "Bags";
/// Row name.
pub const WATER: &str = "Water";
/// Row name.
pub const PRIMER: &str = "Primer from the can";
/// Row name.
pub const FOAM: &str = "Perimeter foam";
/// Row name.
pub const DAMS: &str = "Dams";
/// Row name.
pub const WEIGHT: &str = "Weight added";
/// Row name.
pub const COST: &str = "Cost of what has a price";
/// Column: room.
pub const ROOM: &str = "Room";

/// Bags of all rooms.
pub fn bags(count: u64, exact: &str, room_by_room: u64) -> String {
    if room_by_room == count {
        format!("{count} ({exact} before rounding up)")
    } else {
        format!(
            "{count} ({exact} before rounding up; {room_by_room} when each room is rounded up for itself)"
        )
    }
}
