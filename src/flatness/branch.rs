//! Branch and bound: sheaves of chords are proven shallow or split, until none is left.

use super::edge::{Progress, Searcher};
use super::group::Buckets;
use super::probe::{Course, Found, keep};
use super::ray::Line;
use super::wedge::{Claim, Prover, Sheaf};
use rayon::prelude::*;
use std::f64::consts::PI;

/// Sheaves tested between two updates of the best gap found. Fixed, so that the outcome does not
/// depend on the number of threads.
const BATCH: usize = 2048;

/// First directions: slices of half a turn.
const SLICES: usize = 4;

/// Sheaves thinner than this are split no further, metres.
const THINNEST: f64 = 1e-8;

/// One search under way.
pub(super) struct Work<'a> {
    pub searcher: &'a Searcher,
    pub span: f64,
    pub buckets: Buckets,
    pub tolerance: f64,
    pub ignore: f64,
    /// A gap this near to `ignore` is as deep.
    pub even: f64,
    pub limit: u64,
    pub done: u64,
    /// Largest bar that some sheaf was proven to stay under.
    pub proven: f64,
    /// Where it is enough to know that a gap is over this: the search ends there.
    pub ends_over: Option<f64>,
}

impl Work<'_> {
    fn bar(&self, best: Option<&Found>) -> f64 {
        let gap = best.map_or(0.0, |b| b.chord.gap);
        if self.ignore - gap > self.even {
            self.ignore
        } else {
            gap + self.tolerance
        }
    }

    fn claim(&self, bar: f64) -> Claim {
        Claim {
            span: self.span,
            lengths: self.searcher.lengths,
            bar,
        }
    }

    /// Test and split until nothing is left or the limit is reached; returns what is left.
    pub fn run(&mut self, best: &mut Option<Found>, progress: Progress<'_>) -> Vec<Sheaf> {
        let mut level = self.first(best.as_ref());
        let mut left = Vec::new();
        let mut share = 1.0 / level.len().max(1) as f64;
        let mut settled = 0.0;
        while !level.is_empty() {
            let mut deeper = Vec::new();
            for chunk in level.chunks(BATCH) {
                let gap = best.map_or(0.0, |b| b.chord.gap);
                if self.ends_over.is_some_and(|figure| gap > figure) {
                    return left;
                }
                if self.done + chunk.len() as u64 > self.limit {
                    left.extend_from_slice(chunk);
                    continue;
                }
                self.done += chunk.len() as u64;
                let before = deeper.len();
                self.batch(chunk, best, &mut deeper, &mut left);
                settled += share * (chunk.len() as f64 - (deeper.len() - before) as f64 / 2.0);
                progress(settled.clamp(0.0, 1.0));
            }
            level = deeper;
            share /= 2.0;
        }
        left
    }

    /// All placements: groups no larger than a good part of the span, in a few directions each.
    fn first(&self, _best: Option<&Found>) -> Vec<Sheaf> {
        let size = (self.span * 0.35).max(self.searcher.net.spacing * 1.2);
        let groups = self.searcher.groups.of_size(size);
        let mut out = Vec::with_capacity(groups.len() * SLICES);
        for g in groups {
            for i in 0..SLICES {
                let turn = |i: usize| i as f64 * PI / SLICES as f64;
                out.push(Sheaf {
                    group: g,
                    part: (0.0, 1.0),
                    turn: (turn(i), turn(i + 1)),
                });
            }
        }
        out
    }

    fn batch(
        &mut self,
        chunk: &[Sheaf],
        best: &mut Option<Found>,
        deeper: &mut Vec<Sheaf>,
        left: &mut Vec<Sheaf>,
    ) {
        let bar = self.bar(best.as_ref());
        let least = best.map_or(0.0, |b| b.chord.gap);
        let this = &*self;
        let outcomes: Vec<Option<(Sheaf, Option<Found>)>> = chunk
            .par_chunks(64)
            .flat_map_iter(|part| {
                this.searcher.with_prover(|prover| {
                    this.searcher.with_line(|line| {
                        part.iter()
                            .map(|s| this.test(prover, line, s, bar, least))
                            .collect::<Vec<_>>()
                    })
                })
            })
            .collect();
        if outcomes.iter().any(Option::is_none) {
            self.proven = self.proven.max(bar);
        }
        let mut top: Option<Found> = None;
        for (sheaf, found) in outcomes.into_iter().flatten() {
            if let Some(f) = found {
                keep(&mut top, f);
            }
            self.split(&sheaf, deeper, left);
        }
        if let Some(f) = top {
            let f = self
                .searcher
                .with_line(|line| self.searcher.polish(line, f, self.span));
            keep(best, f);
        }
    }

    /// `None`: proven under the bar. Otherwise the sheaf, with a better chord if its middle has one.
    fn test(
        &self,
        prover: &mut Prover,
        line: &mut Line,
        sheaf: &Sheaf,
        bar: f64,
        least: f64,
    ) -> Option<(Sheaf, Option<Found>)> {
        let s = self.searcher;
        if prover.test(s, &self.buckets, sheaf, self.claim(bar)) {
            return None;
        }
        let seats = s.groups.seats(sheaf.group);
        let middle = Course {
            seat: seats[seats.len() / 2] as usize,
            share: (sheaf.part.0 + sheaf.part.1) / 2.0,
            turn: (sheaf.turn.0 + sheaf.turn.1) / 2.0,
        };
        Some((*sheaf, s.measure(line, middle, self.span, least)))
    }

    fn split(&self, sheaf: &Sheaf, deeper: &mut Vec<Sheaf>, left: &mut Vec<Sheaf>) {
        let s = self.searcher;
        let size = sheaf.size(&s.net, &s.groups);
        let fan = (sheaf.turn.1 - sheaf.turn.0) * self.span / 2.0;
        if size.max(fan) < THINNEST {
            left.push(*sheaf);
        } else if fan >= size {
            let one = match *s.groups.seats(sheaf.group) {
                [seat] => Some(seat),
                _ => None,
            };
            let mid = s.net.turn_to_split(sheaf.turn, one);
            deeper.push(Sheaf {
                turn: (sheaf.turn.0, mid),
                ..*sheaf
            });
            deeper.push(Sheaf {
                turn: (mid, sheaf.turn.1),
                ..*sheaf
            });
        } else if let Some((a, b)) = s.groups.groups[sheaf.group as usize].halves {
            deeper.push(Sheaf { group: a, ..*sheaf });
            deeper.push(Sheaf { group: b, ..*sheaf });
        } else {
            let mid = (sheaf.part.0 + sheaf.part.1) / 2.0;
            deeper.push(Sheaf {
                part: (sheaf.part.0, mid),
                ..*sheaf
            });
            deeper.push(Sheaf {
                part: (mid, sheaf.part.1),
                ..*sheaf
            });
        }
    }

    /// A bound over sheaves left undecided: the bar is raised until all are proven under it.
    pub fn bound_of(&self, mut left: Vec<Sheaf>, best: Option<&Found>) -> f64 {
        let s = self.searcher;
        let gap = best.map_or(0.0, |b| b.chord.gap);
        let mut over = self.tolerance;
        // The spread of the whole floor bounds every gap, so the ladder has an end.
        while gap + over < s.spread {
            let bar = gap + over;
            left = left
                .par_chunks(64)
                .flat_map_iter(|part| {
                    s.with_prover(|prover| {
                        part.iter()
                            .filter(|x| !prover.test(s, &self.buckets, x, self.claim(bar)))
                            .copied()
                            .collect::<Vec<_>>()
                    })
                })
                .collect();
            if left.is_empty() {
                return bar;
            }
            over *= 1.5;
        }
        s.spread
    }
}
