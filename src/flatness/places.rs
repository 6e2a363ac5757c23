//! The worst distinct places, and the departure seen at every vertex.

use super::edge::Searcher;
use super::group::Buckets;
use super::probe::{Course, Found};
use super::ray::{Line, Start};
use super::{EdgeResult, Placement};
use crate::geometry::Point;
use crate::surface::Floor;
use rayon::prelude::*;
use std::f64::consts::PI;

/// Directions tried at each place.
const TURNS: u32 = 12;
/// Groups of seats looked at for deep placements are so many times sixty.
const DEEP_GROUPS: usize = 10;

/// Edges are one when their ends lie this near to each other, metres: a person lays them in one place.
const ONE_EDGE_M: f64 = 0.005;

/// What no rule can be read to, metres: our own choice, no published source.
const UNREAD_M: f64 = 1e-5;

fn same_edge(a: &Placement, b: &Placement) -> bool {
    let near = |p: Point, q: Point| p.distance(q) <= ONE_EDGE_M;
    (near(a.from, b.from) && near(a.to, b.to)) || (near(a.from, b.to) && near(a.to, b.from))
}

impl Searcher {
    /// Up to `count` worst placements at distinct places, worst first.
    ///
    /// The first is the certified worst of `result`; the others come from a regular look over the
    /// floor in twelve directions, each then improved by small moves. Two placements are distinct
    /// when their deepest points lie more than half a span apart and they are not one edge, whose deepest point is one. Each is deepest at its
    /// own place: who lays the edge there finds the gap that is told.
    pub fn places(&self, result: &EdgeResult, count: usize) -> Vec<Placement> {
        let mut out: Vec<Placement> = result.worst.into_iter().take(count).collect();
        if !out.is_empty() {
            self.further(&mut out, result.span_m, count);
        }
        out
    }

    /// Add worst placements at places distinct from those told already, until they are `count`.
    pub fn further(&self, out: &mut Vec<Placement>, span: f64, count: usize) {
        if out.len() >= count || span <= 0.0 {
            return;
        }
        // One chord of each direction: the deepest of a group may lie at a place already told, the next one not.
        let found = self.looked_over(span, count);
        let apart = |out: &[Placement], p: &Placement| {
            out.iter()
                .all(|q| q.at.distance(p.at) > span / 2.0 && !same_edge(q, p))
        };
        let mut line = Line::default();
        let mut rest: Vec<Placement> = Vec::new();
        for f in found {
            if rest.len() >= 2 * count {
                break;
            }
            let f = self.at_length(f, span);
            if f.chord.length() <= ONE_EDGE_M {
                continue;
            }
            let p = self.placement(&f);
            let own = |line: &mut Line, f: &Found| self.is_deepest(line, f, span);
            if apart(out, &p) && apart(&rest, &p) && own(&mut line, &f) {
                // Small moves may lead to a place already told; the chord as it was seen is a place of its own all the same.
                let moved = self.at_length(self.polish(&mut line, f, span), span);
                let told = Some(self.placement(&moved)).filter(|moved| apart(out, moved));
                rest.push(told.filter(|_| own(&mut line, &moved)).unwrap_or(p));
            }
        }
        rest.sort_by(|a, b| b.gap_m.total_cmp(&a.gap_m));
        for p in rest {
            if out.len() < count && apart(out, &p) {
                out.push(p);
            }
        }
    }

    /// Edges over a step may be as short as the step is wide: the longest that shows as much but for what no rule can be read to.
    fn at_length(&self, found: Found, span: f64) -> Found {
        self.lengthen(found, span, UNREAD_M)
    }

    /// Deep placements from the same look, deepest first, however near to one another; at most `count`.
    pub fn deep(&self, span: f64, count: usize) -> Vec<Placement> {
        let mut found = self.looked_over(span, DEEP_GROUPS);
        found.truncate(count);
        let mut line = Line::default();
        let mut deep: Vec<Placement> = found
            .into_iter()
            .map(|f| self.polish(&mut line, f, span))
            .map(|f| self.placement(&self.at_length(f, span)))
            .collect();
        deep.sort_by(|a, b| b.gap_m.total_cmp(&a.gap_m));
        deep
    }

    /// A result with the deepest of its places as its worst, if a regular look finds one that is deeper: the search ends where no more than
    /// its tolerance can be gained.
    pub fn deepened(&self, result: EdgeResult) -> EdgeResult {
        let deepest = self.deep(result.span_m, 1).into_iter().next();
        match deepest.filter(|p| p.gap_m > result.gap_m()) {
            Some(p) => EdgeResult {
                worst: Some(p),
                bound_m: result.bound_m.max(p.gap_m),
                ..result
            },
            None => result,
        }
    }

    /// The deepest chords seen in groups of seats that promise most, one of every direction in each, deepest first.
    fn looked_over(&self, span: f64, count: usize) -> Vec<Found> {
        let size = (span * 0.4).max(self.net.spacing);
        let buckets = Buckets::new(&self.net, size);
        let mut ranked: Vec<(f64, u32, usize)> = self
            .groups
            .of_size(size)
            .par_iter()
            .map(|&g| self.promise(&buckets, g, span))
            .collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        ranked.truncate(60 * count);
        let mut found: Vec<Found> = ranked
            .par_iter()
            .flat_map_iter(|&(_, _, seat)| {
                let mut line = Line::default();
                let mut found = Vec::new();
                for i in 0..TURNS {
                    let turn = f64::from(i) * PI / f64::from(TURNS);
                    let mut best: Option<Found> = None;
                    for share in [0.0, 0.5, 1.0] {
                        let least = best.map_or(0.0, |b| b.chord.gap);
                        let course = Course { seat, share, turn };
                        if let Some(f) = self.measure(&mut line, course, span, least) {
                            best = Some(f);
                        }
                    }
                    found.extend(best);
                }
                found
            })
            .collect();
        found.sort_by(|a, b| b.chord.gap.total_cmp(&a.chord.gap));
        found
    }

    /// The largest departure seen with its deepest point at each vertex of the floor, metres, for
    /// an edge up to `span_m` long laid in twelve directions (four on a scan); `None` where no edge
    /// can lie over it.
    ///
    /// Sampled, for drawing: the certified worst may lie between vertices or directions.
    pub fn map(&self, floor: &Floor, span_m: f64) -> Vec<Option<f64>> {
        let count = floor.vertices().len() as u32;
        // On a scan a picture has many vertices to each dot: fewer directions serve.
        let turns = if count > 50_000 { 4 } else { TURNS };
        (0..count)
            .into_par_iter()
            .map_init(Line::default, |line, v| {
                if !self.net.used(v) {
                    return None;
                }
                let mut best: Option<f64> = None;
                for i in 0..turns {
                    let (s, c) = (f64::from(i) * PI / f64::from(turns)).sin_cos();
                    let least = best.unwrap_or(0.0);
                    let reach = self.reach(span_m);
                    let shown = line.shown(&self.net, Start::Vertex(v), [c, s], reach, least);
                    best = shown.or(best);
                }
                best
            })
            .collect()
    }
}
