//! Small floors built from given triangles, for tests of fill and pour.

use birdbath::fill::Plane;
use birdbath::geometry::{Point, Region, Ring};
use birdbath::pour::{Lift, PourError, PourRequest, plan};
use birdbath::surface::{Floor, Source, Vertex};
use birdbath::survey::{Elevation, Reading, Room, Survey};
use birdbath::units::{FOOT_M, Length};
use std::collections::HashMap;

/// A rectangle's ring.
pub fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
    Ring::new(vec![
        Point::new(x0, y0),
        Point::new(x1, y0),
        Point::new(x1, y1),
        Point::new(x0, y1),
    ])
}

/// A floor over the lines `xs` and `ys`, two triangles a cell, cells kept where `keep` says so.
///
/// The diagonal runs from lower left to upper right; `flip` turns it.
pub fn cells(
    xs: &[f64],
    ys: &[f64],
    keep: impl Fn(usize, usize) -> bool,
    flip: bool,
    z: impl Fn(Point) -> f64,
) -> Floor {
    let mut ids: HashMap<(usize, usize), u32> = HashMap::new();
    let mut vertices = Vec::new();
    let mut triangles = Vec::new();
    let mut voids = Vec::new();
    for j in 0..ys.len() - 1 {
        for i in 0..xs.len() - 1 {
            if !keep(i, j) {
                voids.push(rectangle(xs[i], ys[j], xs[i + 1], ys[j + 1]));
                continue;
            }
            let mut id = |i: usize, j: usize| {
                *ids.entry((i, j)).or_insert_with(|| {
                    let at = Point::new(xs[i], ys[j]);
                    vertices.push(Vertex {
                        at,
                        z: z(at),
                        source: Source::Reading(vertices.len() as u32),
                    });
                    vertices.len() as u32 - 1
                })
            };
            let (a, b, c, d) = (id(i, j), id(i + 1, j), id(i + 1, j + 1), id(i, j + 1));
            if flip {
                triangles.extend([[a, b, d], [b, c, d]]);
            } else {
                triangles.extend([[a, b, c], [a, c, d]]);
            }
        }
    }
    let region = Region {
        outline: rectangle(xs[0], ys[0], xs[xs.len() - 1], ys[ys.len() - 1]),
        voids,
    };
    Floor::from_parts(vertices, triangles, region).unwrap()
}

/// `n` cells of equal width from 0 to `length`.
pub fn even(length: f64, n: usize) -> Vec<f64> {
    (0..=n).map(|i| length * i as f64 / n as f64).collect()
}

/// A survey of readings given in feet and inches down from the line.
pub fn survey_ft_in(points: &[(f64, f64, f64)], room: Option<Room>) -> Survey {
    Survey {
        name: "room".into(),
        readings: points
            .iter()
            .enumerate()
            .map(|(i, &(x, y, inches))| {
                let at = Point::new(x * FOOT_M, y * FOOT_M);
                let z = Elevation::below_line(Elevation::from_m(0.0), Length::from_in(inches));
                Reading::new(format!("P{i}"), at, z)
            })
            .collect(),
        room,
        resolution_m: None,
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    }
}

/// A room with nothing in it but its walls, corners in feet.
pub fn room_ft(x1: f64, y1: f64) -> Room {
    Room {
        outline: rectangle(0.0, 0.0, x1 * FOOT_M, y1 * FOOT_M),
        voids: vec![],
        slopes: vec![],
        joints: vec![],
        doors: vec![],
        fixtures: vec![],
        walls: vec![],
    }
}

/// Highest corner of the mesh, elevation in metres.
pub fn top(floor: &Floor) -> f64 {
    floor
        .vertices()
        .iter()
        .map(|v| v.z)
        .fold(f64::MIN, f64::max)
}

/// The pour of a floor that one lift covers.
pub fn poured_at_once(
    floor: &Floor,
    plane: &Plane,
    request: &PourRequest,
) -> Result<Lift, PourError> {
    let mut plan = plan(floor, plane, request)?;
    assert_eq!(plan.lifts.len(), 1);
    assert_eq!(plan.bags, plan.lifts[0].bags);
    Ok(plan.lifts.remove(0))
}
