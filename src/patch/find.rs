//! Chords over the limit, found fast and many at a time.

use super::chord::{Chord, Station};
use super::programme::Row;
use super::ray::{Found, Judged, Seat, follow, worst_over};
use super::request::PatchLimit;
use crate::flatness::{Departure, Lengths};
use crate::geometry::Point;
use crate::surface::{Across, Floor};
use rayon::prelude::*;
use std::f64::consts::PI;

/// Evenly spread directions tried through every seat.
const DIRECTIONS: usize = 36;
/// Half a turn is shared out among this many sectors; each seat gives at most one chord per sector.
const SECTORS: usize = 3;
/// A line aimed at a vertex passes it by this angle, so that which side it passes is never a tie.
const ASIDE: f64 = 1e-7;
/// Where along an edge the floor is tried.
const SHARES: [f64; 3] = [0.2, 0.5, 0.8];
/// Where along a joint: an edge held up by the lip beside it shows most at an end.
const LIP_SHARES: [f64; 3] = [1e-6, 0.5, 1.0 - 1e-6];
/// An edge whose far corner lies nearer to its own triangle's plane than this is not bent, metres.
const BENT_M: f64 = 1e-6;
/// Chords that come within this share of their aim are slid and turned until nothing gains.
const NEAR_SHARE: f64 = 0.1;
/// Most small moves for one chord.
const MOVES: usize = 60;
/// Turns smaller than this are not tried, radians.
const LEAST_TURN: f64 = 1e-4;

/// A limit as the programme aims at it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Aim {
    pub departure: Departure,
    pub span_m: f64,
    pub lengths: Lengths,
    /// The allowance less the margin, metres.
    pub most_m: f64,
}

impl Aim {
    /// Aims so far below a limit's allowance, metres.
    pub fn of(limit: &PatchLimit, margin_m: f64) -> Self {
        Self {
            departure: limit.departure,
            span_m: limit.span_m,
            lengths: limit.lengths,
            most_m: limit.allowance_m - margin_m,
        }
    }

    /// The row that holds a chord to this limit.
    pub fn row(&self, chord: Chord) -> Row {
        Row {
            chord,
            sign: match self.departure {
                Departure::Dip => 1.0,
                Departure::Hump => -1.0,
            },
            most_m: self.most_m,
            offset_m: 0.0,
        }
    }
}

/// Both halves of a line, kept to spare memory being asked for again.
#[derive(Default)]
struct Line {
    back: Vec<Station>,
    ahead: Vec<Station>,
}

impl Line {
    fn lay(&mut self, floor: &Floor, judged: &Judged, seat: Seat, turn: f64, reach: f64) {
        let d = Point::new(turn.cos(), turn.sin());
        follow(floor, judged, seat, d, reach, &mut self.ahead);
        follow(floor, judged, seat, d * -1.0, reach, &mut self.back);
    }

    fn worst(&self, aim: &Aim) -> Option<Found> {
        worst_over(
            &self.back,
            &self.ahead,
            (aim.span_m, aim.lengths),
            aim.departure,
        )
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

/// Places that the worst chord of either departure can lie over: every vertex, edges that bend, both
/// sides of joints. Along any other edge a chord can be slid to one of these without loss. `near` are the corners that are looked at, all
/// where none are named.
fn seats(floor: &Floor, judged: &Judged, near: Option<&[bool]>) -> Vec<(Seat, [bool; 2])> {
    let is_near = |v: u32| near.is_none_or(|near| near[v as usize]);
    let mut list: Vec<(Seat, [bool; 2])> = (0..floor.vertices().len() as u32)
        .filter(|&v| is_near(v) && !judged.around(v).is_empty())
        .map(|v| (Seat::Vertex(v), [true, true]))
        .collect();
    for t in 0..floor.triangles().len() as u32 {
        if !judged.allows(t) || !floor.triangles()[t as usize].into_iter().any(is_near) {
            continue;
        }
        for edge in 0..3 {
            let (bends, shares) = match floor.across(t, edge) {
                Across::Floor(other) if t < other && judged.allows(other) => {
                    let up = bend(floor, t, edge, other);
                    ([up > BENT_M, up < -BENT_M], SHARES)
                }
                Across::Joint(_) => ([true, true], LIP_SHARES),
                _ => ([false, false], SHARES),
            };
            if bends[0] || bends[1] {
                list.extend(shares.map(|w| (Seat::Edge { t, edge, w }, bends)));
            }
        }
    }
    list
}

/// How far the far corner of the triangle beyond an edge stands over the plane of this one, metres.
fn bend(floor: &Floor, t: u32, edge: usize, other: u32) -> f64 {
    let mine = floor.triangles()[t as usize];
    let [a, b, c] = floor.corners(t);
    let far = floor.triangles()[other as usize]
        .into_iter()
        .find(|&v| v != mine[edge] && v != mine[(edge + 1) % 3]);
    let Some(far) = far else { return 0.0 };
    let far = floor.vertices()[far as usize];
    let (u, v, p) = (b.at - a.at, c.at - a.at, far.at - a.at);
    let det = u.cross(v);
    let plane = a.z + (p.cross(v) * (b.z - a.z) + u.cross(p) * (c.z - a.z)) / det;
    far.z - plane
}

/// One chord with what is needed to lay it again.
#[derive(Clone, Copy)]
struct Laid {
    seat: Seat,
    turn: f64,
    found: Found,
}

/// For each limit, chords that break it by more than `slack_m`: per seat the worst of each sector,
/// edges only where they show more than both of their ends. The order is that of the limits, then
/// the seats, so any number of threads gives the same. Looked at are seats at the corners `near`, all where none are named.
pub(super) fn broken(
    floor: &Floor,
    (judged, aims): &(Judged, Vec<Aim>),
    slack_m: f64,
    near: Option<&[bool]>,
) -> Vec<Row> {
    let reach = aims.iter().map(|a| a.span_m).fold(0.0, f64::max);
    let seats = seats(floor, judged, near);
    let found: Vec<Vec<[Option<Laid>; SECTORS]>> = seats
        .par_iter()
        .map_init(Line::default, |line, &(seat, bends)| {
            let turns = match seat {
                Seat::Vertex(v) => towards(floor, judged, v),
                Seat::Edge { .. } => Vec::new(),
            };
            let even = (0..DIRECTIONS).map(|k| (k as f64 + 0.37) * PI / DIRECTIONS as f64);
            let mut worst = vec![[None; SECTORS]; aims.len()];
            for turn in turns.into_iter().chain(even) {
                line.lay(floor, judged, seat, turn, reach);
                let sector = ((turn / PI * SECTORS as f64) as usize).min(SECTORS - 1);
                for (aim, best) in aims.iter().zip(&mut worst) {
                    let wanted = match aim.departure {
                        Departure::Dip => bends[0],
                        Departure::Hump => bends[1],
                    };
                    if wanted
                        && let Some(found) = line.worst(aim)
                        && found.gap_m > aim.most_m * (1.0 - NEAR_SHARE)
                        && best[sector].is_none_or(|b: Laid| found.gap_m > b.found.gap_m)
                    {
                        best[sector] = Some(Laid { seat, turn, found });
                    }
                }
            }
            for (aim, best) in aims.iter().zip(&mut worst) {
                for laid in best.iter_mut().flatten() {
                    if laid.found.gap_m <= aim.most_m + slack_m {
                        improve(floor, judged, line, aim, laid);
                    }
                }
            }
            worst
        })
        .collect();
    let mut rows = Vec::new();
    let mut line = Line::default();
    for (limit, aim) in aims.iter().enumerate() {
        for laid in found.iter().flat_map(|f| f[limit].iter().flatten()) {
            if laid.found.gap_m > aim.most_m + slack_m {
                line.lay(floor, judged, laid.seat, laid.turn, reach);
                let chord = line
                    .worst(aim)
                    .map(|f| f.chord(floor, laid.seat, &line.back, &line.ahead));
                rows.extend(chord.map(|c| aim.row(c)));
            }
        }
    }
    rows
}

/// Slides a chord along its seat's edge and turns it while that gains.
fn improve(floor: &Floor, judged: &Judged, line: &mut Line, aim: &Aim, laid: &mut Laid) {
    let (mut slide, mut turn) = (0.15, 0.04);
    for _ in 0..MOVES {
        let steps = [(slide, 0.0), (-slide, 0.0), (0.0, turn), (0.0, -turn)];
        let mut gained = false;
        for (along, by) in steps {
            let seat = match laid.seat {
                Seat::Vertex(_) if along != 0.0 => continue,
                Seat::Vertex(_) => laid.seat,
                Seat::Edge { t, edge, w } => Seat::Edge {
                    t,
                    edge,
                    w: (w + along).clamp(1e-6, 1.0 - 1e-6),
                },
            };
            line.lay(floor, judged, seat, laid.turn + by, aim.span_m);
            if let Some(found) = line.worst(aim)
                && found.gap_m > laid.found.gap_m + 1e-9
            {
                *laid = Laid {
                    seat,
                    turn: laid.turn + by,
                    found,
                };
                gained = true;
                break;
            }
        }
        if !gained {
            slide /= 2.0;
            turn /= 2.0;
            if turn < LEAST_TURN {
                return;
            }
        }
    }
}
