//! Chords over the limit, found fast and many at a time.

use super::chord::Chord;
use super::programme::Row;
use super::ray::{Judged, follow, worst_over};
use crate::flatness::Departure;
use crate::geometry::Point;
use crate::surface::Floor;
use rayon::prelude::*;
use std::f64::consts::PI;

/// Evenly spread directions tried through every vertex.
const DIRECTIONS: usize = 36;
/// Half a turn is shared out among this many sectors; each vertex gives at most one chord per sector.
const SECTORS: usize = 3;
/// A line aimed at a vertex passes it by this angle, so that which side it passes is never a tie.
const ASIDE: f64 = 1e-7;

/// A limit as the programme aims at it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Aim {
    pub departure: Departure,
    pub span_m: f64,
    /// The allowance less the margin, metres.
    pub most_m: f64,
}

impl Aim {
    /// The row that holds a chord to this limit.
    pub fn row(&self, chord: Chord) -> Row {
        Row {
            chord,
            sign: match self.departure {
                Departure::Dip => 1.0,
                Departure::Hump => -1.0,
            },
            most_m: self.most_m,
        }
    }
}

/// Directions to vertices one or two edges away, in half a turn from 0.
fn towards(floor: &Floor, judged: &Judged, v: u32) -> Vec<f64> {
    let mut near: Vec<u32> = judged
        .around(v)
        .iter()
        .flat_map(|&t| floor.triangles()[t as usize])
        .collect();
    near.sort_unstable();
    near.dedup();
    let mut ring: Vec<u32> = near
        .iter()
        .flat_map(|&u| judged.around(u))
        .flat_map(|&t| floor.triangles()[t as usize])
        .filter(|&u| u != v)
        .collect();
    ring.sort_unstable();
    ring.dedup();
    let origin = floor.vertices()[v as usize].at;
    ring.iter()
        .map(|&u| {
            let d = floor.vertices()[u as usize].at - origin;
            (d.y.atan2(d.x) + ASIDE).rem_euclid(PI)
        })
        .collect()
}

/// For each limit, chords over single vertices that break it by more than `slack_m`: per vertex the worst of
/// each sector. The order is that of the limits, then the vertices, so any number of threads gives the same.
pub(super) fn broken(floor: &Floor, judged: &Judged, aims: &[Aim], slack_m: f64) -> Vec<Row> {
    let reach = aims.iter().map(|a| a.span_m).fold(0.0, f64::max);
    let found: Vec<Vec<Vec<Row>>> = (0..floor.vertices().len() as u32)
        .into_par_iter()
        .map(|v| {
            let mut worst: Vec<[Option<(f64, Chord)>; SECTORS]> =
                aims.iter().map(|_| [const { None }; SECTORS]).collect();
            if !judged.around(v).is_empty() {
                let mut turns = towards(floor, judged, v);
                turns.extend((0..DIRECTIONS).map(|k| (k as f64 + 0.37) * PI / DIRECTIONS as f64));
                let (mut back, mut ahead) = (Vec::new(), Vec::new());
                for turn in turns {
                    let d = Point::new(turn.cos(), turn.sin());
                    follow(floor, judged, v, d, reach, &mut ahead);
                    follow(floor, judged, v, d * -1.0, reach, &mut back);
                    let sector = ((turn / PI * SECTORS as f64) as usize).min(SECTORS - 1);
                    for (aim, best) in aims.iter().zip(&mut worst) {
                        if let Some(found) = worst_over(&back, &ahead, aim.span_m, aim.departure)
                            && found.gap_m > aim.most_m + slack_m
                            && best[sector].as_ref().is_none_or(|(g, _)| found.gap_m > *g)
                        {
                            best[sector] = Some((found.gap_m, found.chord));
                        }
                    }
                }
            }
            aims.iter()
                .zip(worst)
                .map(|(aim, best)| {
                    best.into_iter()
                        .flatten()
                        .map(|(_, chord)| aim.row(chord))
                        .collect()
                })
                .collect()
        })
        .collect();
    let mut rows = Vec::new();
    for limit in 0..aims.len() {
        rows.extend(
            found
                .iter()
                .flat_map(|per_limit| per_limit[limit].iter().cloned()),
        );
    }
    rows
}
