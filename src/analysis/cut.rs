//! The floor under a placed edge, cut along it.

use super::analyse::Analysis;
use crate::flatness::{Placement, section};

/// How far a cut goes past the ends of its edge, as a share of the edge.
const BEYOND: f64 = 0.15;

/// The floor under a placed edge and a little past both its ends. Distances run along the cut, metres.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeCut {
    /// Distance along and height of the floor, by ascending distance.
    pub floor: Vec<(f64, f64)>,
    /// Both ends of the edge.
    pub ends_m: (f64, f64),
    /// Where the floor is farthest from the edge.
    pub at_m: f64,
}

impl EdgeCut {
    /// `None` where the cut has fewer than two points or the edge no length.
    pub fn of(a: &Analysis, p: &Placement) -> Option<Self> {
        let chord = p.chord_m();
        let section = section(&a.floor, p, chord * BEYOND);
        if section.len() < 2 || chord <= 0.0 {
            return None;
        }
        // Distances along the section count from its own start; the chord starts where its end lies.
        let start = section
            .iter()
            .min_by(|x, y| x.at.distance(p.from).total_cmp(&y.at.distance(p.from)))
            .map_or(0.0, |s| {
                s.along_m - (s.at - p.from).dot((p.to - p.from) * (1.0 / chord))
            });
        Some(Self {
            floor: section.iter().map(|s| (s.along_m, s.floor_m)).collect(),
            ends_m: (start, start + chord),
            at_m: start + p.from.distance(p.at),
        })
    }
}
