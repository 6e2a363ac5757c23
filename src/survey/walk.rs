//! The order in which places on a floor are walked.

use super::Room;
use crate::geometry::Point;

/// Order in which someone coming through the first door meets these places: lane after lane parallel to
/// the door's wall, to and fro.
///
/// # Method
/// The inward normal of the wall nearest to the door gives each place its distance from that wall.
/// Places whose distances lie within half a spacing of the first of their lane share it; lanes are
/// walked alternately, each time from the end nearer to where the last one ended.
/// # Edge cases
/// No door: lanes run along the bottom of the sheet, from its left end.
pub fn walking_order(places: &[Point], room: Option<&Room>, spacing_m: f64) -> Vec<usize> {
    let (start, inward) = entrance(places, room);
    let along = Point::new(-inward.y, inward.x);
    let mut order: Vec<usize> = (0..places.len()).collect();
    let away = |i: usize| (places[i] - start).dot(inward);
    let across = |i: usize| (places[i] - start).dot(along);
    order.sort_by(|&a, &b| away(a).total_cmp(&away(b)).then(a.cmp(&b)));
    let mut lanes: Vec<Vec<usize>> = Vec::new();
    let mut lane_start = f64::NEG_INFINITY;
    for i in order {
        if away(i) - lane_start > spacing_m / 2.0 || lanes.is_empty() {
            lanes.push(Vec::new());
            lane_start = away(i);
        }
        if let Some(lane) = lanes.last_mut() {
            lane.push(i);
        }
    }
    let mut walked = Vec::with_capacity(places.len());
    let mut standing = 0.0;
    for mut lane in lanes {
        lane.sort_by(|&a, &b| across(a).total_cmp(&across(b)).then(a.cmp(&b)));
        let (Some(&first), Some(&last)) = (lane.first(), lane.last()) else {
            continue;
        };
        if (across(last) - standing).abs() < (across(first) - standing).abs() {
            lane.reverse();
        }
        if let Some(&end) = lane.last() {
            standing = across(end);
        }
        walked.extend(lane);
    }
    walked
}

/// Where one comes in, and the direction straight into the room.
fn entrance(places: &[Point], room: Option<&Room>) -> (Point, Point) {
    let low = places.iter().fold(None, |low: Option<Point>, p| {
        Some(low.map_or(*p, |l| Point::new(l.x.min(p.x), l.y.min(p.y))))
    });
    let plain = (low.unwrap_or_default(), Point::new(0.0, 1.0));
    let Some((room, door)) = room.and_then(|r| r.doors.first().map(|d| (r, d))) else {
        return plain;
    };
    let nearest = room
        .outline
        .sides()
        .filter(|(a, b)| a.distance(*b) > 0.0)
        .min_by(|s, t| from_side(door.at, *s).total_cmp(&from_side(door.at, *t)));
    match nearest {
        // The outline runs counter-clockwise, so the room lies to the left of each side.
        Some((a, b)) => {
            let d = (b - a) * (1.0 / a.distance(b));
            (door.at, Point::new(-d.y, d.x))
        }
        None => plain,
    }
}

/// Distance of a point from a side.
fn from_side(p: Point, (a, b): (Point, Point)) -> f64 {
    let d = b - a;
    let t = ((p - a).dot(d) / d.dot(d)).clamp(0.0, 1.0);
    p.distance(a.lerp(b, t))
}
