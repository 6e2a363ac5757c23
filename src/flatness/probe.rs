//! Measured chords: the worst over one place in one direction, small moves that improve it, and a first gap to beat.

use super::Placement;
use super::edge::{SearchOptions, Searcher};
use super::group::Buckets;
use super::net::Seat;
use super::ray::{Chord, Line, Start};
use rayon::prelude::*;
use std::f64::consts::PI;

/// A line over the floor: the place on a seat that it passes, and its direction.
#[derive(Debug, Clone, Copy)]
pub(super) struct Course {
    pub seat: usize,
    /// Share along the seat.
    pub share: f64,
    /// Radians from the x axis.
    pub turn: f64,
}

/// A measured chord and how to find it again.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub course: Course,
    pub chord: Chord,
}

/// How near to the end of a joint side a chord is laid, metres: far enough off the corner for a line to pass it on one hand.
const JOINT_END_M: f64 = 1e-7;

/// An edge shorter than this share of its span is looked at again for a longer one with the same gap.
const SHORT: f64 = 0.1;

/// Directions tried in half a turn for a longer edge with the same gap.
const LAID_ROUND: u32 = 24;

/// An edge is told in place of another with the same gap if it is this many times as long.
const LONGER: f64 = 1.01;

pub(super) fn keep(best: &mut Option<Found>, f: Found) {
    if best.is_none_or(|b| f.chord.gap > b.chord.gap) {
        *best = Some(f);
    }
}

impl Searcher {
    /// Plan coordinates of a measured chord.
    pub(super) fn placement(&self, found: &Found) -> Placement {
        let m = self.net.on_seat(found.course.seat, found.course.share);
        let (s, c) = found.course.turn.sin_cos();
        let along = |d: f64| self.net.on_floor([m[0] + c * d, m[1] + s * d]);
        Placement {
            from: along(-found.chord.back),
            to: along(found.chord.ahead),
            at: along(0.0),
            gap_m: found.chord.gap,
        }
    }

    /// Measure the worst chord over a place on a seat in one direction.
    pub(super) fn measure(
        &self,
        line: &mut Line,
        course: Course,
        span: f64,
        least: f64,
    ) -> Option<Found> {
        let Course { seat, share, turn } = course;
        let (s, c) = turn.sin_cos();
        let (start, share) = self.start_of(seat, share);
        line.worst(&self.net, start, [c, s], self.reach(span), least)
            .map(|chord| Found {
                course: Course {
                    seat,
                    share: share.clamp(0.0, 1.0),
                    turn,
                },
                chord,
            })
    }

    /// Whether a measured chord is deepest at its own place. One that is deeper elsewhere belongs to that place.
    pub(super) fn is_deepest(&self, line: &mut Line, found: &Found, span: f64) -> bool {
        let Course { seat, share, turn } = found.course;
        let (s, c) = turn.sin_cos();
        let (start, _) = self.start_of(seat, share);
        line.is_deepest(&self.net, start, [c, s], span, found.chord)
    }

    /// Where a line over a place on a seat starts, and the share along it that is kept off the ends of a joint.
    fn start_of(&self, seat: usize, share: f64) -> (Start, f64) {
        let ends = self.net.seats[seat].ends;
        let share = if self.net.seats[seat].joint {
            // At its very ends a joint side would be seen from one side alone.
            let [p, q] = ends.map(|v| self.net.at[v as usize]);
            let end = (JOINT_END_M / (q[0] - p[0]).hypot(q[1] - p[1])).min(0.5);
            share.clamp(end, 1.0 - end)
        } else {
            share
        };
        let start = if share <= 0.0 {
            Start::Vertex(ends[0])
        } else if share >= 1.0 {
            Start::Vertex(ends[1])
        } else {
            Start::Seat(seat, share)
        };
        (start, share)
    }

    /// Improve a measured chord by small moves along its seat and small turns.
    pub(super) fn polish(&self, line: &mut Line, mut best: Found, span: f64) -> Found {
        let (mut slide, mut turn) = (0.25, 0.12);
        for _ in 0..120 {
            let mut better = None;
            for (ds, dt) in [
                (slide, 0.0),
                (-slide, 0.0),
                (0.0, turn),
                (0.0, -turn),
                (slide, turn),
                (slide, -turn),
                (-slide, turn),
                (-slide, -turn),
            ] {
                let course = Course {
                    seat: best.course.seat,
                    share: (best.course.share + ds).clamp(0.0, 1.0),
                    turn: best.course.turn + dt,
                };
                let least = best.chord.gap + 1e-9;
                if let Some(f) = self.measure(line, course, span, least) {
                    better = Some(f);
                    break;
                }
            }
            match better {
                Some(f) => best = f,
                None => {
                    slide /= 2.0;
                    turn /= 2.0;
                    if turn < 1e-6 {
                        break;
                    }
                }
            }
        }
        best
    }

    /// The longest edge that shows a measured gap but for `slack`: at the end of a joint, edges laid across in many
    /// directions show the same step, and some of them are cut off short by the walls.
    pub(super) fn lengthen(&self, best: Found, span: f64, slack: f64) -> Found {
        if best.chord.length() > span * SHORT {
            return best;
        }
        let mut line = Line::default();
        let mut longest = best;
        let least = best.chord.gap - slack;
        let Course { seat, share, turn } = best.course;
        let shares = (0..=10).flat_map(|i| {
            let d = 0.5_f64.powi(2 * i + 1);
            [share - d, share + d]
        });
        let shares: Vec<f64> = shares
            .filter(|s| (0.0..=1.0).contains(s))
            .chain([share])
            .collect();
        for share in shares {
            for i in 0..LAID_ROUND {
                let turn = turn + f64::from(i) * PI / f64::from(LAID_ROUND);
                let course = Course { seat, share, turn };
                if let Some(f) = self.measure(&mut line, course, span, least)
                    && f.chord.length() > longest.chord.length() * LONGER
                {
                    longest = f;
                }
            }
        }
        longest
    }

    /// A first gap to beat: hints, then the places that lie deepest among their surroundings.
    pub(super) fn start(&self, span: f64, options: &SearchOptions) -> Option<Found> {
        let seats = self.net.seats.len();
        if seats == 0 || span <= 0.0 {
            return None;
        }
        let mut line = Line::default();
        let mut best: Option<Found> = None;
        for hint in &options.hints {
            if let Some(f) = self.lay_hint(&mut line, hint, span) {
                keep(&mut best, f);
            }
        }
        if let Some(f) = self.deepest_step(&mut line, span) {
            keep(&mut best, f);
        }
        let size = (span * 0.3).max(self.net.spacing);
        let buckets = Buckets::new(&self.net, size);
        let groups = self.groups.of_size(size * 1.5);
        let mut ranked: Vec<(f64, u32, usize)> = groups
            .par_iter()
            .map(|&g| self.promise(&buckets, g, span))
            .collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        ranked.truncate(48);
        let turns: Vec<f64> = (0..12).map(|i| f64::from(i) * PI / 12.0).collect();
        let mut tried: Vec<Found> = ranked
            .par_iter()
            .filter_map(|&(_, _, seat)| {
                let mut line = Line::default();
                let mut best: Option<Found> = None;
                for share in [0.0, 0.5, 1.0] {
                    for &turn in &turns {
                        let least = best.map_or(0.0, |b: Found| b.chord.gap);
                        let course = Course { seat, share, turn };
                        if let Some(f) = self.measure(&mut line, course, span, least) {
                            best = Some(f);
                        }
                    }
                }
                best
            })
            .collect();
        tried.sort_by(|a, b| b.chord.gap.total_cmp(&a.chord.gap));
        tried.truncate(6);
        let polished: Vec<Found> = tried
            .par_iter()
            .map(|f| self.polish(&mut Line::default(), *f, span))
            .collect();
        for f in polished {
            keep(&mut best, f);
        }
        best
    }

    /// The deepest step at a joint, as a chord from its upper lip: in closed form, since along a joint side both
    /// lips are straight and so the step is deepest at an end.
    fn deepest_step(&self, line: &mut Line, span: f64) -> Option<Found> {
        let net = &self.net;
        let mut steps: Vec<(f64, usize, f64)> = Vec::new();
        let both_count = |seat: &Seat| seat.joint && net.solid[seat.beyond as usize];
        let joints = net.seats.iter().enumerate();
        for (i, seat) in joints.filter(|s| both_count(s.1)) {
            let beyond = net.tri[seat.beyond as usize];
            for (share, v) in [(0.0, seat.ends[0]), (1.0, seat.ends[1])] {
                let own = net.at[v as usize];
                // Both sides of a joint have their corners in the very same places.
                let lip = beyond
                    .iter()
                    .map(|&w| net.at[w as usize])
                    .find(|w| w[0] == own[0] && w[1] == own[1]);
                if let Some(lip) = lip
                    && lip[2] > own[2]
                {
                    steps.push((lip[2] - own[2], i, share));
                }
            }
        }
        steps.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        steps.truncate(8);
        let mut best: Option<Found> = None;
        for (_, seat, share) in steps {
            let [p, q] = net.seats[seat].ends.map(|v| net.at[v as usize]);
            let across = (q[1] - p[1]).atan2(q[0] - p[0]) + PI / 2.0;
            for turn in [across, across + PI / 4.0, across - PI / 4.0] {
                let least = best.map_or(0.0, |b| b.chord.gap);
                let course = Course { seat, share, turn };
                if let Some(f) = self.measure(line, course, span, least) {
                    best = Some(f);
                }
            }
        }
        best
    }

    /// How deep a group lies under its surroundings, roughly, and its lowest seat.
    pub(super) fn promise(&self, buckets: &Buckets, group: u32, span: f64) -> (f64, u32, usize) {
        let g = &self.groups.groups[group as usize];
        let mid = [(g.lo[0] + g.hi[0]) / 2.0, (g.lo[1] + g.hi[1]) / 2.0];
        let slope = buckets.slope(mid);
        let height = |p: [f64; 3]| p[2] - slope[0] * (p[0] - mid[0]) - slope[1] * (p[1] - mid[1]);
        let mut low = (f64::MAX, 0);
        for &s in self.groups.seats(group) {
            for v in self.net.seats[s as usize].ends {
                let h = height(self.net.at[v as usize]);
                if h < low.0 {
                    low = (h, s as usize);
                }
            }
        }
        let (mut sum, mut n) = (0.0, 0u32);
        let mut high = f64::MIN;
        buckets.near(g.lo, g.hi, span * 0.5, |v| {
            let h = height(self.net.at[v as usize]);
            high = high.max(h);
            sum += h;
            n += 1;
        });
        let mean = if n > 0 { sum / f64::from(n) } else { low.0 };
        ((high + mean) / 2.0 - low.0, group, low.1)
    }

    /// Measure again near a placement given from outside.
    pub(super) fn lay_hint(&self, line: &mut Line, hint: &Placement, span: f64) -> Option<Found> {
        let d = hint.to - hint.from;
        if d.norm() <= 0.0 {
            return None;
        }
        let turn = d.y.atan2(d.x);
        let at = hint.at - self.net.origin;
        let (mut near, mut least) = (None, f64::MAX);
        for (i, s) in self.net.seats.iter().enumerate() {
            let [p, q] = s.ends.map(|v| self.net.at[v as usize]);
            let u = [q[0] - p[0], q[1] - p[1]];
            let len2 = (u[0] * u[0] + u[1] * u[1]).max(1e-30);
            let t = (((at.x - p[0]) * u[0] + (at.y - p[1]) * u[1]) / len2).clamp(0.0, 1.0);
            let off = (p[0] + u[0] * t - at.x).hypot(p[1] + u[1] * t - at.y);
            if off < least {
                least = off;
                near = Some((i, t));
            }
        }
        let (seat, share) = near?;
        self.measure(line, Course { seat, share, turn }, span, 0.0)
            .map(|f| self.polish(line, f, span))
    }
}
