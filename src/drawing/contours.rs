//! Contour lines with their values.

use super::labels::Placer;
use super::plan::View;
use super::scene::{PaperPoint, Rect};
use crate::geometry::Point;
use crate::surface::LevelRing;

/// Width of a contour line, millimetres.
pub(super) const LINE_MM: f64 = 0.25;
/// A line shorter than this carries no value, millimetres.
const LEAST_LABELLED_MM: f64 = 14.0;
/// A long line carries a value this often, millimetres.
const REPEAT_MM: f64 = 150.0;
/// Shorter scraps are not drawn, millimetres.
const LEAST_DRAWN_MM: f64 = 0.8;

/// A contour line on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Contour {
    /// Which level, counted from 1 as in [`LevelRing::band`].
    pub band: usize,
    /// Its points; a closed line repeats the first.
    pub points: Vec<PaperPoint>,
}

/// The parts of level rings that run along the level and not along a wall.
pub(super) fn contours(rings: &[LevelRing], view: &View) -> Vec<Contour> {
    let mut out = Vec::new();
    for ring in rings.iter().filter(|r| r.band > 0) {
        let n = ring.points.len();
        let mut add = |points: Vec<PaperPoint>| {
            let length: f64 = points.windows(2).map(|w| w[0].distance(w[1])).sum();
            if length >= LEAST_DRAWN_MM {
                out.push(Contour {
                    band: ring.band,
                    points,
                });
            }
        };
        let Some(start) = ring.along_edge.iter().position(|&e| e) else {
            let mut closed = view.ring(&ring.points);
            closed.extend(closed.first().copied());
            add(closed);
            continue;
        };
        let mut run: Vec<Point> = Vec::new();
        for step in 0..=n {
            let i = (start + step) % n;
            if step < n && !ring.along_edge[i] {
                if run.is_empty() {
                    run.push(ring.points[i]);
                }
                run.push(ring.points[(i + 1) % n]);
            } else if !run.is_empty() {
                add(view.line(run.drain(..)));
            }
        }
    }
    out
}

/// Places for the value of one contour line: the first free ones near the middle of each stretch.
///
/// `size` is width and height of the label, millimetres.
pub(super) fn label_places(
    contour: &Contour,
    (width, height): (f64, f64),
    placer: &mut Placer,
) -> Vec<Rect> {
    let lengths: Vec<f64> = contour
        .points
        .windows(2)
        .map(|w| w[0].distance(w[1]))
        .collect();
    let total: f64 = lengths.iter().sum();
    if total < LEAST_LABELLED_MM.max(width * 2.0) {
        return Vec::new();
    }
    let at = |along: f64| {
        let mut rest = along;
        for (i, l) in lengths.iter().enumerate() {
            if rest <= *l && *l > 0.0 {
                return contour.points[i].lerp(contour.points[i + 1], rest / l);
            }
            rest -= l;
        }
        contour.points[contour.points.len() - 1]
    };
    let stretches = (total / REPEAT_MM).ceil().max(1.0);
    let stretch = total / stretches;
    let mut out = Vec::new();
    for s in 0..stretches as u32 {
        let candidates = (0..24).map(|i| {
            // Outwards from the middle, by turns: 0, +1, -1, +2, -2 ...
            let turn = f64::from((i + 1) / 2) * if i % 2 == 0 { 1.0 } else { -1.0 };
            let share = 0.5 + turn * 0.036;
            let p = at((f64::from(s) + share) * stretch);
            Rect {
                left: p.x - width / 2.0,
                right: p.x + width / 2.0,
                top: p.y - height / 2.0,
                bottom: p.y + height / 2.0,
            }
        });
        out.extend(placer.place(candidates).map(|(_, r)| r));
    }
    out
}
