//! Shapes cut to a window of the paper.

use crate::drawing::font::Typeface;
use crate::drawing::{PaperPoint, Rect, Shape};

/// The part of a shape inside a window, moved by `by`. A text is kept whole or not at all.
pub(super) fn clipped(
    shape: &Shape,
    window: &Rect,
    by: PaperPoint,
    face: &Typeface,
    out: &mut Vec<Shape>,
) {
    let shift = |p: PaperPoint| p.shifted(by.x, by.y);
    match shape {
        Shape::Fill { ring, ink } => {
            let ring: Vec<PaperPoint> = inside(ring, window).into_iter().map(shift).collect();
            if ring.len() > 2 {
                out.push(Shape::Fill { ring, ink: *ink });
            }
        }
        Shape::Line {
            points,
            width_mm,
            ink,
            dash,
        } => {
            let mut run: Vec<PaperPoint> = Vec::new();
            let mut put = |run: &mut Vec<PaperPoint>| {
                if run.len() > 1 {
                    out.push(Shape::Line {
                        points: std::mem::take(run),
                        width_mm: *width_mm,
                        ink: *ink,
                        dash: *dash,
                    });
                }
                run.clear();
            };
            for pair in points.windows(2) {
                let Some((from, to)) = window.clip(pair[0], pair[1]) else {
                    put(&mut run);
                    continue;
                };
                if from > 0.0 || run.is_empty() {
                    put(&mut run);
                    run.push(shift(pair[0].lerp(pair[1], from)));
                }
                run.push(shift(pair[0].lerp(pair[1], to)));
                if to < 1.0 {
                    put(&mut run);
                }
            }
            put(&mut run);
        }
        Shape::Circle {
            at,
            radius_mm,
            width_mm,
            ink,
        } => {
            if window.grown(-radius_mm).contains(*at) {
                out.push(Shape::Circle {
                    at: shift(*at),
                    radius_mm: *radius_mm,
                    width_mm: *width_mm,
                    ink: *ink,
                });
            }
        }
        Shape::Text(text) => {
            if window.holds(&text.rect(face)) {
                let mut text = text.clone();
                text.at = shift(text.at);
                out.push(Shape::Text(text));
            }
        }
        Shape::Open { .. } | Shape::Close => out.push(shape.clone()),
    }
}

/// A ring cut to a window, side by side (Sutherland and Hodgman, Communications of the ACM 17, 1974). A hollow
/// ring may run along the border; as a fill that shows nothing.
pub(super) fn inside(ring: &[PaperPoint], window: &Rect) -> Vec<PaperPoint> {
    type Off = fn(&Rect, PaperPoint) -> f64;
    let sides: [Off; 4] = [
        |r, p| p.x - r.left,
        |r, p| r.right - p.x,
        |r, p| p.y - r.top,
        |r, p| r.bottom - p.y,
    ];
    let mut ring = ring.to_vec();
    for off in sides {
        let mut kept = Vec::with_capacity(ring.len() + 4);
        for (i, &b) in ring.iter().enumerate() {
            let a = ring[(i + ring.len() - 1) % ring.len()];
            let (u, v) = (off(window, a), off(window, b));
            if (u < 0.0) != (v < 0.0) {
                kept.push(a.lerp(b, u / (u - v)));
            }
            if v >= 0.0 {
                kept.push(b);
            }
        }
        ring = kept;
        if ring.is_empty() {
            break;
        }
    }
    ring
}
