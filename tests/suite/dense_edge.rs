//! The certified search on closely read floors, where wide sheaves are bounded over tiles.

use crate::support::meshes::{Stream, height_at, turned_grid};
use birdbath::flatness::edge::search;
use birdbath::flatness::{Departure, SearchOptions};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use std::f64::consts::PI;

fn find(floor: &Floor, departure: Departure, span_m: f64, tolerance_m: f64) -> (f64, f64) {
    let options = SearchOptions {
        tolerance_m,
        ..SearchOptions::default()
    };
    let r = search(floor, departure, span_m, &options, &|_| ());
    assert!(r.complete, "{r:?}");
    assert!(r.bound_m - r.gap_m() <= tolerance_m + 3e-9, "{r:?}");
    (r.gap_m(), r.bound_m)
}

// ORACLE:    closed form. A one-way wave of height a and length w: crest to crest 2 a over the trough.
//            71 x 51 readings, turned off the axes.
// TOLERANCE: 0.1 mm asked of the search; crests and troughs are mesh points.
#[test]
fn a_closely_read_wave() {
    let (a, w) = (0.003, 1.6);
    let floor = turned_grid(71, 51, 0.1, 0.4, |x, _| a * (2.0 * PI * x / w).cos());
    for (span, gap) in [(0.8, a), (1.6, 2.0 * a)] {
        for departure in [Departure::Dip, Departure::Hump] {
            let (found, bound) = find(&floor, departure, span, 1e-4);
            assert!(
                found <= gap + 1e-9 && bound >= gap - 1e-9,
                "{found} {gap} {bound}"
            );
        }
    }
}

// ORACLE: independent code: chords of three points, heights by looking at every triangle around, at
//         random places, in random directions, with ends at random shares. None exceeds the bound, and
//         the answer to 0.4 mm and the answer to 0.1 mm agree.
#[test]
fn no_sampled_chord_beats_the_bound_on_a_scan() {
    let mut s = Stream::new(11);
    let noise: Vec<f64> = (0..60 * 50).map(|_| 2e-4 * s.normal()).collect();
    let (wide, high, h) = (60, 50, 0.1);
    let floor = turned_grid(wide, high, h, 0.0, |x, y| {
        let k = (y / h).round() as usize * wide + (x / h).round() as usize;
        0.004 * (1.1 * x).sin() * (0.8 * y).cos() + noise[k]
    });
    // A plain grid: the two triangles of a cell are cut from lower left to upper right.
    let z = |p: Point| -> f64 {
        let (cx, cy) = ((p.x / h).clamp(0.0, 58.999), (p.y / h).clamp(0.0, 48.999));
        let (i, j) = (cx.floor(), cy.floor());
        let at = |i: f64, j: f64| floor.vertices()[j as usize * wide + i as usize].z;
        let (u, v) = (cx - i, cy - j);
        let (a, c) = (at(i, j), at(i + 1.0, j + 1.0));
        if u >= v {
            let b = at(i + 1.0, j);
            a + (b - a) * u + (c - b) * v
        } else {
            let d = at(i, j + 1.0);
            a + (d - a) * v + (c - d) * u
        }
    };
    // The quick height finder is the mesh's own.
    for _ in 0..20 {
        let p = Point::new(s.unit() * 5.8, s.unit() * 4.8);
        let slow = height_at(&floor, p).unwrap();
        assert!((z(p) - slow).abs() < 1e-9, "{p:?}");
    }
    for (departure, sign) in [(Departure::Dip, 1.0), (Departure::Hump, -1.0)] {
        for span in [1.0, 3.0] {
            let (coarse, over) = find(&floor, departure, span, 4e-4);
            let (fine, bound) = find(&floor, departure, span, 1e-4);
            assert!(coarse <= bound && fine <= over);
            let mut best = 0.0f64;
            for _ in 0..40_000 {
                let m = Point::new(s.unit() * 5.9, s.unit() * 4.9);
                let (sin, cos) = (s.unit() * PI).sin_cos();
                let (x, y) = (s.unit() * span, s.unit());
                let y = y * (span - x);
                let (a, b) = (m - Point::new(cos, sin) * x, m + Point::new(cos, sin) * y);
                let on = |p: Point| p.x >= 0.0 && p.x <= 5.9 && p.y >= 0.0 && p.y <= 4.9;
                if on(a) && on(b) && x + y > 0.0 {
                    let chord = (z(a) * y + z(b) * x) / (x + y);
                    best = best.max(sign * (chord - z(m)));
                }
            }
            assert!(best <= bound, "sampled {best}, bound {bound}");
            assert!(best > 0.5 * fine, "sampled {best}, found {fine}");
        }
    }
}
