//! Floors for tests, from plain numbers.

use birdbath::geometry::{Point, Ring};
use birdbath::surface::{Built, Floor};
use birdbath::survey::{Elevation, NamedRing, Reading, Room, Survey};

/// A closed line through these places.
pub fn ring(points: &[[f64; 2]]) -> Ring {
    Ring::new(points.iter().map(|p| Point::new(p[0], p[1])).collect())
}

/// A room with nothing but walls and voids.
pub fn room(outline: &[[f64; 2]], voids: &[&[[f64; 2]]]) -> Room {
    Room {
        outline: ring(outline),
        voids: voids
            .iter()
            .enumerate()
            .map(|(i, v)| NamedRing {
                name: format!("void {}", i + 1),
                ring: ring(v),
            })
            .collect(),
        slopes: vec![],
        joints: vec![],
        doors: vec![],
        fixtures: vec![],
        walls: vec![],
    }
}

/// A survey of places and elevations, metres.
pub fn survey(points: &[[f64; 3]], room: Option<Room>) -> Survey {
    Survey {
        name: "test".to_owned(),
        readings: points
            .iter()
            .enumerate()
            .map(|(i, p)| {
                Reading::new(
                    format!("P{}", i + 1),
                    Point::new(p[0], p[1]),
                    Elevation::from_m(p[2]),
                )
            })
            .collect(),
        room,
        resolution_m: None,
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    }
}

/// The floor of such a survey; the test fails with the reason when there is none.
pub fn built(points: &[[f64; 3]], room: Option<Room>) -> Built {
    Floor::build(&survey(points, room)).unwrap_or_else(|e| panic!("{e}"))
}

/// Height of the floor at a place by the weights of the triangle around it: a route of its own,
/// apart from the library's. `None` off the floor.
pub fn height(floor: &Floor, p: Point) -> Option<f64> {
    for t in 0..floor.triangles().len() as u32 {
        let [a, b, c] = floor.corners(t);
        let (u, v, w) = (
            (b.at - p).cross(c.at - p),
            (c.at - p).cross(a.at - p),
            (a.at - p).cross(b.at - p),
        );
        let sum = u + v + w;
        if u >= -1e-9 * sum && v >= -1e-9 * sum && w >= -1e-9 * sum {
            return Some((u * a.z + v * b.z + w * c.z) / sum);
        }
    }
    None
}
