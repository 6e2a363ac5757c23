//! Floor whose height is known less well than elsewhere: carried out to joints, or tied from another set-up.
//!
//! The word of a part rests on its worst gap and on the doubt of that one. Where all gaps are known equally well no other
//! one can matter. Where some are not, a smaller gap with a larger doubt may be the one that keeps a floor from being
//! within, and a larger one with a large doubt may hide another that is out beyond question.

use super::doubt::ReadingDoubt;
use crate::geometry::{Point, PointGrid};
use crate::surface::Floor;
use crate::survey::setups::Ties;

/// The triangles of the floor that an edge may lie on and whose heights are doubtful.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shaky {
    /// Carried out to a joint, so that the floor may be bent where it was taken for straight; one entry a triangle.
    pub(super) carried: Vec<bool>,
    /// Those and the ones where set-ups meet.
    all: Vec<bool>,
    /// The largest doubt that a gap on any of these can have, expanded (k = 2), metres.
    pub(super) doubt_m: f64,
}

impl Shaky {
    /// `None` where all floor that an edge may lie on is known equally well.
    pub(super) fn of(
        floor: &Floor,
        usable: &[bool],
        reading: &ReadingDoubt,
        ties: &Ties,
    ) -> Option<Self> {
        // A scan has millions of triangles to look through, and seldom any of these.
        if !floor.is_bent() && ties.is_empty() {
            return None;
        }
        let count = usable.len() as u32;
        let bend = |t: u32| {
            let corners = floor.triangles()[t as usize];
            corners.iter().map(|&v| floor.bend_m(v)).fold(0.0, f64::max)
        };
        let mixed = |t: u32| {
            let leans = floor.triangles()[t as usize]
                .iter()
                .flat_map(|&v| floor.leans(v));
            ties.mixes(leans.map(|(reading, _)| reading))
        };
        let mut bend_m = 0.0f64;
        let (mut carried, mut all) = (vec![false; usable.len()], vec![false; usable.len()]);
        let mut any_mixed = false;
        for t in (0..count).filter(|&t| usable[t as usize]) {
            let (own, meets) = (bend(t), mixed(t));
            bend_m = bend_m.max(own);
            carried[t as usize] = own > 0.0;
            all[t as usize] = own > 0.0 || meets;
            any_mixed |= meets;
        }
        if !all.contains(&true) {
            return None;
        }
        let u = reading.reading_m();
        let tied = if any_mixed { ties.most_m(u) } else { 0.0 };
        // Shares of both ends and of the deepest place are `1 - k`, `k` and 1: their squares make up 2 at most.
        Some(Self {
            carried,
            all,
            doubt_m: (8.0 * u * u + 2.0 * bend_m * bend_m).sqrt() + 2.0 * tied,
        })
    }

    /// The usable triangles that a placement which touches doubtful floor can lie on: those within a span of it.
    pub(super) fn near(&self, floor: &Floor, usable: &[bool], span_m: f64) -> Vec<bool> {
        let middle = |t: u32| {
            let [a, b, c] = floor.corners(t).map(|v| v.at);
            let middle = (a + b + c) * (1.0 / 3.0);
            let reach = [a, b, c].map(|p| p.distance(middle));
            (middle, reach.into_iter().fold(0.0, f64::max))
        };
        let doubtful: Vec<(Point, f64)> = (0..usable.len() as u32)
            .filter(|&t| self.all[t as usize])
            .map(middle)
            .collect();
        let largest = doubtful.iter().map(|d| d.1).fold(0.0, f64::max);
        let grid = PointGrid::new(doubtful.iter().map(|d| d.0).collect());
        (0..usable.len() as u32)
            .map(|t| {
                if !usable[t as usize] {
                    return false;
                }
                let (at, reach) = middle(t);
                let far = span_m + reach + largest;
                let half = Point::new(far, far);
                grid.in_box(at - half, at + half).any(|i| {
                    let (other, own) = doubtful[i as usize];
                    other.distance(at) <= span_m + reach + own
                })
            })
            .collect()
    }
}
