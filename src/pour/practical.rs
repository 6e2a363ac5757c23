//! What a crew can carry out: batches in one piece and no thread, and an end at the door.

use super::batch::Patch;
use super::layout::Layout;
use super::piece::Piece;
use crate::geometry::{Point, Segment, twice_area};
use std::collections::BTreeSet;

/// A strip longer than so many of its widths is a thread.
const THREAD: f64 = 16.0;
/// Pieces of a batch smaller than this are none to carry a bucket to, square metres: a hand's breadth each way.
pub(super) const LEAST_PIECE_M2: f64 = 0.01;
/// A batch so near to a way out of no width lies at it, metres: one step.
pub(super) const AT_EXIT_M: f64 = 0.5;
/// Batches whose distances from a place differ by no more are as near to it, metres.
const AS_NEAR_M: f64 = 1e-3;
/// A doorway is looked at in so many places.
const LOOKED_AT: u32 = 25;
/// A crew passes between bays, and through a doorway, that are open along no less than this, metres: one step.
pub(super) const LEAST_WAY_M: f64 = 0.3;
/// Of a narrow doorway, the share that counts as all of it.
const HELD: f64 = 0.9;

impl Layout {
    /// Batches that no crew would pour: in several pieces of one section, or, which is worse and counts twice, drawn out to threads.
    pub fn torn(&self) -> usize {
        let faults = |(part, patch): (&Vec<Piece>, &Patch)| {
            let sections: BTreeSet<u32> = part.iter().map(|p| p.section).collect();
            let outer = || patch.outline.iter().filter(|l| is_piece(l));
            let apart = usize::from(outer().count() > sections.len());
            apart + 2 * usize::from(outer().any(|l| is_thread(l)))
        };
        self.parts.iter().zip(&self.patches).map(faults).sum()
    }

    /// Batches that are drawn out to threads in some piece of theirs, by number.
    pub fn threads(&self) -> Vec<u32> {
        let drawn_out = |patch: &Patch| {
            let mut outer = patch.outline.iter().filter(|l| is_piece(l));
            outer.any(|l| is_thread(l))
        };
        let numbered = (1u32..).zip(&self.patches);
        let threads = numbered.filter(|(_, patch)| drawn_out(patch));
        threads.map(|(number, _)| number).collect()
    }

    /// Whether the last batch lies in the doorway, along a step of it or all of one that is narrower: else the crew that pours it is shut in
    /// by wet floor.
    pub fn ends_at(&self, [from, to]: [Point; 2]) -> bool {
        let off = |patch: &Patch, place: Point| {
            let lines = patch.outline.iter().flat_map(|line| sides(line));
            let offs = lines.map(|(a, b)| Segment::new(a, b).distance(place));
            offs.fold(f64::INFINITY, f64::min)
        };
        let Some((last, before)) = self.patches.split_last() else {
            return false;
        };
        let width_m = from.distance(to);
        if width_m <= 0.0 {
            return off(last, from) <= AT_EXIT_M;
        }
        let is_last = |place: Point| {
            let own = off(last, place);
            before.iter().all(|p| own <= off(p, place) + AS_NEAR_M)
        };
        let places = (0..LOOKED_AT).map(|i| (f64::from(i) + 0.5) / f64::from(LOOKED_AT));
        let held = places.filter(|s| is_last(from.lerp(to, *s))).count();
        width_m * held as f64 / f64::from(LOOKED_AT) >= LEAST_WAY_M.min(width_m * HELD)
    }
}

fn sides(line: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    (0..line.len()).map(|i| (line[i], line[(i + 1) % line.len()]))
}

/// Whether a closed line goes round a piece of floor worth a bucket.
pub(super) fn is_piece(line: &[Point]) -> bool {
    twice_area(line) > 2.0 * LEAST_PIECE_M2
}

/// Whether a closed line goes round a thread: its length squared over its area is that of such a strip.
fn is_thread(line: &[Point]) -> bool {
    let length: f64 = sides(line).map(|(a, b)| a.distance(b)).sum();
    length * length > 2.0 * (THREAD + 2.0) * twice_area(line)
}
