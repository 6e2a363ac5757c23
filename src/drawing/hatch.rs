//! Slanted lines over an area, broken where labels stand.

use super::labels::Placer;
use super::ramp::Ink;
use super::scene::{Dash, PaperPoint, Scene};

/// How an area is hatched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hatch {
    /// Distance between lines, millimetres.
    pub spacing_mm: f64,
    /// Width of a line, millimetres.
    pub width_mm: f64,
    /// Colour.
    pub ink: Ink,
    /// Also lines the other way.
    pub crossed: bool,
}

impl Hatch {
    /// Floor whose height is carried out from readings nearby.
    pub const EXTENDED: Self = Self {
        spacing_mm: 1.8,
        width_mm: 0.1,
        ink: Ink::GREY,
        crossed: false,
    };
    /// Floor that was not surveyed.
    pub const UNSURVEYED: Self = Self {
        spacing_mm: 2.4,
        width_mm: 0.2,
        ink: Ink::GREY,
        crossed: true,
    };
    /// Floor above the finish plane.
    pub const ABOVE: Self = Self {
        spacing_mm: 1.2,
        width_mm: 0.25,
        ink: Ink::DARK,
        crossed: false,
    };
}

/// Draws the hatch over the area that an odd number of `rings` enclose.
///
/// Rings may share sides: areas next to one another hatch as one.
pub fn hatch(scene: &mut Scene, rings: &[Vec<PaperPoint>], hatch: Hatch, labels: &Placer) {
    let ways: &[f64] = if hatch.crossed { &[1.0, -1.0] } else { &[1.0] };
    for &way in ways {
        // Along u = x + way * y every hatch line is a constant; v runs along it.
        let turn = |p: PaperPoint| {
            let s = std::f64::consts::FRAC_1_SQRT_2;
            ((p.x + way * p.y) * s, (p.x - way * p.y) * s)
        };
        let back = |u: f64, v: f64| {
            let s = std::f64::consts::FRAC_1_SQRT_2;
            PaperPoint::new((u + v) * s, way * (u - v) * s)
        };
        // (line number, place along it) of every crossing.
        let mut crossings: Vec<(i64, f64)> = Vec::new();
        for ring in rings {
            for i in 0..ring.len() {
                let (mut a, mut b) = (turn(ring[i]), turn(ring[(i + 1) % ring.len()]));
                if a.0 > b.0 {
                    std::mem::swap(&mut a, &mut b);
                }
                // Half-open, so that a corner on a line counts once.
                let from = (a.0 / hatch.spacing_mm).ceil() as i64;
                let to = (b.0 / hatch.spacing_mm).ceil() as i64;
                for k in from..to {
                    let u = k as f64 * hatch.spacing_mm;
                    crossings.push((k, a.1 + (b.1 - a.1) * (u - a.0) / (b.0 - a.0)));
                }
            }
        }
        crossings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut runs: Vec<(i64, f64, f64)> = Vec::new();
        for pair in crossings.chunks_exact(2) {
            let (k, from, to) = (pair[0].0, pair[0].1, pair[1].1);
            match runs.last_mut() {
                Some(last) if last.0 == k && from - last.2 < 0.02 => last.2 = to,
                _ => runs.push((k, from, to)),
            }
        }
        for (k, from, to) in runs {
            let u = k as f64 * hatch.spacing_mm;
            for (a, b) in labels.uncovered(back(u, from), back(u, to)) {
                if a.distance(b) > 0.2 {
                    scene.line(vec![a, b], hatch.width_mm, hatch.ink, Dash::Solid);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Rect, Shape, corners};
    use super::*;

    fn length(scene: &Scene) -> f64 {
        scene
            .shapes
            .iter()
            .map(|s| match s {
                Shape::Line { points, .. } => points[0].distance(points[1]),
                _ => 0.0,
            })
            .sum()
    }

    // ORACLE:    closed form: total hatch length times spacing is the area hatched
    // TOLERANCE: 2 %, the ends of the lines fall anywhere
    #[test]
    fn hatch_covers_the_area_and_not_the_hole() {
        let rect = |a: f64, b: f64| Rect::new(PaperPoint::new(a, a), PaperPoint::new(b, b));
        let labels = Placer::new(rect(0.0, 100.0));
        let fine = Hatch {
            spacing_mm: 0.5,
            ..Hatch::EXTENDED
        };
        let mut scene = Scene::new("hatch", 100.0, 100.0);
        let rings = [corners(rect(10.0, 60.0)), corners(rect(20.0, 40.0))];
        hatch(&mut scene, &rings, fine, &labels);
        let area = 2500.0 - 400.0;
        assert!((length(&scene) * 0.5 / area - 1.0).abs() < 0.02);
    }

    // ORACLE: property: two halves that share a side hatch like the whole
    #[test]
    fn areas_side_by_side_hatch_as_one() {
        let at = |x: f64, y: f64| PaperPoint::new(x, y);
        let labels = Placer::new(Rect::new(at(0.0, 0.0), at(100.0, 100.0)));
        let mut whole = Scene::new("whole", 100.0, 100.0);
        let mut halves = whole.clone();
        let square = vec![at(0.0, 0.0), at(50.0, 0.0), at(50.0, 50.0), at(0.0, 50.0)];
        let (one, two) = (
            vec![square[0], square[1], square[2]],
            vec![square[0], square[2], square[3]],
        );
        hatch(&mut whole, &[square], Hatch::UNSURVEYED, &labels);
        hatch(&mut halves, &[one, two], Hatch::UNSURVEYED, &labels);
        assert_eq!(whole.shapes.len(), halves.shapes.len());
        assert!((length(&whole) - length(&halves)).abs() < 0.1);
    }
}
