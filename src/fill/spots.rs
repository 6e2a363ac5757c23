//! Separate spots of floor that stand above a plane: what stays bare, or what must be ground.

use super::prism::{EVEN_M, positive_part};
use super::result::Plane;
use super::sum::Sum;
use super::volume::depths;
use crate::geometry::Point;
use crate::surface::{Across, Floor};

/// One connected spot of floor above a plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Plan area, square metres.
    pub area_m2: f64,
    /// Floor above the plane, cubic metres.
    pub volume_m3: f64,
    /// Greatest height above the plane, metres.
    pub highest_m: f64,
    /// Where that is.
    pub at: Point,
}

/// Every connected spot of floor above the plane, largest area first.
///
/// # Method
/// Triangles that stand partly above the plane hang together where the edge between them does.
/// Across a joint they do too: the crew grinds across it.
/// # Edge cases
/// Floor exactly at the plane is no spot. Two spots that meet in one corner only are two.
pub fn spots_above(floor: &Floor, plane: &Plane) -> Vec<Spot> {
    let count = floor.triangles().len();
    let mut seen = vec![false; count];
    let mut spots = Vec::new();
    let mut queue = Vec::new();
    for start in 0..count as u32 {
        if seen[start as usize] || depths(floor, start, plane).iter().all(|&d| d >= -EVEN_M) {
            continue;
        }
        seen[start as usize] = true;
        queue.push(start);
        let (mut area, mut volume) = (Sum::default(), Sum::default());
        let (mut highest, mut at) = (0.0, Point::default());
        while let Some(t) = queue.pop() {
            let d = depths(floor, t, plane);
            let cut = positive_part(floor.triangle_area(t), d.map(|v| -v));
            area.add(cut.area_m2);
            volume.add(cut.volume_m3);
            for (v, depth) in floor.corners(t).into_iter().zip(d) {
                let before = (v.at.x, v.at.y) < (at.x, at.y);
                if -depth > highest || (-depth == highest && before) {
                    highest = -depth;
                    at = v.at;
                }
            }
            for edge in 0..3 {
                let (Across::Floor(other) | Across::Joint(other)) = floor.across(t, edge) else {
                    continue;
                };
                let stands = d[edge] < -EVEN_M || d[(edge + 1) % 3] < -EVEN_M;
                if stands && !seen[other as usize] {
                    seen[other as usize] = true;
                    queue.push(other);
                }
            }
        }
        spots.push(Spot {
            area_m2: area.value(),
            volume_m3: volume.value(),
            highest_m: highest,
            at,
        });
    }
    spots.sort_by(|a, b| {
        b.area_m2
            .total_cmp(&a.area_m2)
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
    });
    spots
}
