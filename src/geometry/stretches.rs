//! Which stretches of a straight way lie on floor.

use super::{Point, Segment};

/// Stretches of a way that have floor beside them, on one side at least, as distances from its first end, metres, in
/// order: those along a wall are on the floor; those past the foot of a pier, or between a void and the wall that it
/// stands against, are not.
///
/// # Arguments
/// `sides` are all sides of the room that meet the way, or more; `in_room` tells whether a point is on the floor;
/// `hair_m` is how near to a way a corner is on it, and the length under which a stretch counts as neither floor nor gap.
pub fn floor_stretches(
    way: Segment,
    sides: impl IntoIterator<Item = Segment>,
    in_room: impl Fn(Point) -> bool,
    hair_m: f64,
) -> Vec<[f64; 2]> {
    let length = way.length();
    if length <= 0.0 {
        return Vec::new();
    }
    let along = (way.b - way.a) * (1.0 / length);
    let across = Point::new(-along.y, along.x) * hair_m;
    // What lies beside a way changes only where it meets a side, or passes a corner.
    let mut stops = vec![0.0, length];
    for side in sides {
        if side.crosses(&way) {
            stops.extend(way.meeting(&side).map(|m| m.1 * length));
        }
        for corner in [side.a, side.b] {
            if way.distance(corner) <= hair_m {
                stops.push(along.dot(corner - way.a).clamp(0.0, length));
            }
        }
    }
    stops.sort_by(f64::total_cmp);
    let mut stretches: Vec<[f64; 2]> = Vec::new();
    for part in stops.windows(2) {
        let middle = way.a + along * ((part[0] + part[1]) / 2.0);
        let short = part[1] - part[0] <= hair_m;
        if !short && !in_room(middle + across) && !in_room(middle - across) {
            continue;
        }
        match stretches.last_mut() {
            Some(last) if last[1] == part[0] => last[1] = part[1],
            _ => stretches.push([part[0], part[1]]),
        }
    }
    stretches
}

/// Whether a way has floor beside it from end to end.
pub fn is_floor_along(
    way: Segment,
    sides: impl IntoIterator<Item = Segment>,
    in_room: impl Fn(Point) -> bool,
    hair_m: f64,
) -> bool {
    let length = way.length();
    length <= hair_m || floor_stretches(way, sides, in_room, hair_m) == [[0.0, length]]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Region, Ring};

    fn ring(points: &[(f64, f64)]) -> Ring {
        Ring::new(points.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    // ORACLE: closed form, a room of 6 by 4 m with a cabinet of 2 by 1 m against its lower wall, from 1 to 3 m along it.
    #[test]
    fn a_way_is_on_the_floor_where_floor_is_beside_it() {
        let region = Region {
            outline: ring(&[(0., 0.), (6., 0.), (6., 4.), (0., 4.)]),
            voids: vec![ring(&[(1., 0.), (3., 0.), (3., 1.), (1., 1.)])],
        };
        let on_floor = |a: (f64, f64), b: (f64, f64)| {
            let way = Segment::new(Point::new(a.0, a.1), Point::new(b.0, b.1));
            let sides = region.sides().map(|(a, b)| Segment::new(a, b));
            floor_stretches(way, sides, |p| region.contains(p), 1e-6)
        };
        // Along the wall: under the cabinet nothing lies on either side, and the middle of the way is past it.
        assert_eq!(on_floor((0., 0.), (6., 0.)), [[0., 1.], [3., 6.]]);
        // Along the cabinet's front, across it, and clear of it.
        assert_eq!(on_floor((0., 1.), (6., 1.)), [[0., 6.]]);
        assert_eq!(on_floor((0., 0.5), (6., 0.5)), [[0., 1.], [3., 6.]]);
        assert_eq!(on_floor((0., 2.), (6., 2.)), [[0., 6.]]);
        // From outside in through the room's corner, past the cabinet's.
        let found = on_floor((-1., -1.), (4., 4.));
        let right = [2f64.sqrt(), 5.0 * 2f64.sqrt()];
        assert_eq!(found.len(), 1);
        assert!(
            found[0]
                .iter()
                .zip(right)
                .all(|(f, r)| (f - r).abs() < 1e-12)
        );
        assert_eq!(on_floor((2., 0.), (2., 0.)), Vec::<[f64; 2]>::new());
    }
}
