//! A straight edge laid on the floor, as a map shows it.

use super::ramp::Ink;
use super::scene::{Dash, PaperPoint, Scene};

/// Width of the line of an edge, millimetres.
pub(super) const EDGE_MM: f64 = 0.8;

/// A contact point: a filled triangle standing under the edge's end would hide numbers, so a dot with
/// a white rim.
pub(super) fn contact(scene: &mut Scene, at: PaperPoint) {
    scene.disc(at, 1.2, Ink::WHITE);
    scene.disc(at, 0.9, Ink::BLACK);
}

/// The span over a hump: a double line, as the edge does not lie on it.
pub(super) fn hump(scene: &mut Scene, a: PaperPoint, b: PaperPoint) {
    scene.segment(a, b, EDGE_MM + 0.9, Ink::WHITE);
    scene.line(vec![a, b], EDGE_MM, Ink::BLACK, Dash::Broken(2.4, 1.2));
}

/// A line listed beside a map: thin and broken, so that it is not taken for an edge that lies there.
pub(super) fn listed(scene: &mut Scene, a: PaperPoint, b: PaperPoint) {
    scene.segment(a, b, 1.0, Ink::WHITE);
    scene.line(vec![a, b], 0.35, Ink::BLACK, Dash::Broken(1.5, 0.6));
}

/// Where the floor is farthest from the edge: a small upright cross.
pub(super) fn worst(scene: &mut Scene, at: PaperPoint) {
    for (width, ink, r) in [(1.2, Ink::WHITE, 1.6), (0.45, Ink::BLACK, 1.4)] {
        scene.segment(at.shifted(-r, 0.0), at.shifted(r, 0.0), width, ink);
        scene.segment(at.shifted(0.0, -r), at.shifted(0.0, r), width, ink);
    }
}
