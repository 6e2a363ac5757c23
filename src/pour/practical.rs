//! What a crew can carry out: batches in one piece and no thread, a way out that stays dry, and an end at the door.

use super::batch::{Patch, patches};
use super::layout::Layout;
use super::piece::Piece;
use super::pieces::root;
use crate::geometry::{Point, Segment, twice_area};
use std::collections::{BTreeMap, BTreeSet};

/// A strip longer than so many of its widths is a thread.
const THREAD: f64 = 16.0;
/// Pieces of a batch smaller than this are none to carry a bucket to, square metres: a hand's breadth each way.
const LEAST_PIECE_M2: f64 = 0.01;
/// A batch so near to a way out of no width lies at it, metres: one step.
const AT_EXIT_M: f64 = 0.5;
/// Batches whose distances from a place differ by no more are as near to it, metres.
const AS_NEAR_M: f64 = 1e-3;
/// A doorway is looked at in so many places.
const LOOKED_AT: u32 = 25;
/// A crew passes between batches that touch along no less than this, metres: one step.
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

    /// Whether a part of the floor beyond a joint ends away from the joint: who places its last batch has wet floor before him. `over` are the
    /// lines that parts share; parts with bare floor about them are left over that.
    pub fn leaves_no_way(&self, over: &[Crossing]) -> bool {
        let mut last: BTreeMap<u32, usize> = BTreeMap::new();
        for (k, part) in self.parts.iter().enumerate() {
            for piece in part {
                last.insert(piece.section, k);
            }
        }
        last.iter().any(|(section, &batch)| {
            let beyond = |c: &&Crossing| {
                let other = c.beyond(*section)?;
                last.get(&other)
                    .is_some_and(|later| *later > batch)
                    .then_some(c.line)
            };
            let mut lines = over.iter().filter_map(|c| beyond(&c)).peekable();
            // A batch may run on into the next part: what it pours there is none of this one's end.
            let own: Vec<&Piece> = (self.parts[batch].iter())
                .filter(|p| p.section == *section)
                .collect();
            let on_last = |line: [Point; 2]| along(&own, line);
            lines.peek().is_some() && lines.map(on_last).sum::<f64>() <= LEAST_WAY_M
        })
    }

    /// Whether floor that is still dry is ever cut off from the last batch, where the crew leaves, by floor that is poured: nobody would get
    /// there and back but over wet material. Parts of the floor that lie apart are none of one another's.
    pub fn cuts_off(&self) -> bool {
        // Over the dam of a bay one steps: each of them is looked at for itself.
        if let Some(cut_off) = self.bays_cut_off {
            return cut_off;
        }
        let count = self.parts.len();
        let mut joined_by: Vec<Vec<u32>> = vec![Vec::new(); count];
        for (later, patch) in (0u32..).zip(&self.patches) {
            for (&earlier, _) in patch.ties.iter().filter(|t| *t.1 > LEAST_WAY_M) {
                joined_by[earlier].push(later);
            }
        }
        let mut parent: Vec<u32> = (0..count as u32).collect();
        let mut sections: BTreeSet<u32> = BTreeSet::new();
        let mut apart = 0;
        // From the last batch back: what is left before each is poured hangs together.
        (0..count).rev().any(|k| {
            apart += 1;
            sections.extend(self.parts[k].iter().map(|p| p.section));
            for &later in &joined_by[k] {
                let (a, b) = (root(&mut parent, later), root(&mut parent, k as u32));
                if a != b {
                    parent[b as usize] = a;
                    apart -= 1;
                }
            }
            apart > sections.len()
        })
    }
}

/// A line that two parts of the floor share at a joint where the pour stops.
pub(super) struct Crossing {
    sections: [u32; 2],
    line: [Point; 2],
}

impl Crossing {
    /// The lines that parts share, as they lie before they are cut.
    pub fn between(wet: &[Vec<Piece>]) -> Vec<Self> {
        if wet.len() < 2 {
            return Vec::new();
        }
        // As if no pour stopped at a joint.
        let mut joined = wet.to_vec();
        for piece in joined.iter_mut().flatten() {
            piece.section = 0;
        }
        let shared = patches(&joined, &vec![1; joined.len()]);
        let of = |(a, patch): (usize, &Patch)| {
            let lines = patch.lines_to.iter();
            let lines = lines.flat_map(|(&b, lines)| lines.iter().map(move |&line| (b, line)));
            let crossing = |(b, line)| Self {
                sections: [a as u32, b as u32],
                line,
            };
            lines.map(crossing).collect::<Vec<_>>()
        };
        shared.iter().enumerate().flat_map(of).collect()
    }

    /// The part beyond it.
    fn beyond(&self, section: u32) -> Option<u32> {
        let [a, b] = self.sections;
        (a == section)
            .then_some(b)
            .or_else(|| (b == section).then_some(a))
    }
}

/// How closely a line is looked at, metres.
const LOOKED_M: f64 = 0.02;

/// How much of a line lies on the sides of some pieces, metres.
fn along(pieces: &[&Piece], [a, b]: [Point; 2]) -> f64 {
    let length = a.distance(b);
    let count = (length / LOOKED_M).ceil().max(1.0);
    let on = |k: u32| {
        let place = a.lerp(b, (f64::from(k) + 0.5) / count);
        pieces.iter().any(|piece| {
            let corners: Vec<Point> = piece.corners.iter().map(|c| c.at).collect();
            sides(&corners).any(|(p, q)| Segment::new(p, q).distance(place) <= ON_LINE_M)
        })
    };
    let held = (0..count as u32).filter(|k| on(*k)).count();
    length * held as f64 / count
}

/// Places so near to a line lie on it, metres.
const ON_LINE_M: f64 = 1e-6;

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
