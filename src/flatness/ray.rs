//! One line through one point of the floor: the exact worst chord over the point, from its profile both ways.

use super::Lengths;
use super::net::Net;
pub(super) use super::ray_profile::Start;
use super::ray_profile::{Lean, NO_FLOOR, profile};

/// A chord over a point: how far it reaches back and ahead, and how deep the point lies under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chord {
    /// Depth of the point under the chord.
    pub gap: f64,
    /// From the back end to the point, metres.
    pub back: f64,
    /// From the point to the front end, metres.
    pub ahead: f64,
}

impl Chord {
    pub fn length(&self) -> f64 {
        self.back + self.ahead
    }
}

/// How long a chord may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    /// The edge, metres.
    pub span: f64,
    pub lengths: Lengths,
}

/// Gaps nearer to one another than this are one, metres.
const TIE_M: f64 = 1e-12;

/// The same of gaps that were worked out in two ways, metres.
const SAME_GAP_M: f64 = 1e-8;

/// Distances nearer to one another than this are one, metres: a step at a joint has two heights at one distance.
const ONE_PLACE_M: f64 = 1e-9;

/// Profile points of one ray, `(distance, height above the point)`, outward; and working space.
#[derive(Default)]
pub(super) struct Line {
    back: Vec<(f64, f64)>,
    ahead: Vec<(f64, f64)>,
    best_back: Vec<(f64, usize)>,
    best_ahead: Vec<(f64, usize)>,
}

impl Line {
    /// The worst chord over `start` along `dir` (a unit vector) if its gap exceeds `least`.
    ///
    /// Exact for this line and point: ends at profile points, or a whole span apart with an end in
    /// the middle of a triangle.
    pub fn worst(
        &mut self,
        net: &Net,
        start: Start,
        dir: [f64; 2],
        reach: Reach,
        least: f64,
    ) -> Option<Chord> {
        let mut worst = None;
        let mut bar = least;
        self.both_leans(net, start, dir, reach.span, |line| {
            if line.has_floor()
                && let Some(chord) = line.solve(reach, bar)
            {
                bar = chord.gap;
                worst = Some(chord);
            }
        });
        worst
    }

    /// The largest gap of a chord over `start`, no less than `least`; `None` where no floor lies on both sides.
    pub fn shown(
        &mut self,
        net: &Net,
        start: Start,
        dir: [f64; 2],
        reach: Reach,
        least: f64,
    ) -> Option<f64> {
        let mut shown: Option<f64> = None;
        self.both_leans(net, start, dir, reach.span, |line| {
            if line.has_floor() {
                let bar = shown.unwrap_or(least);
                shown = Some(line.solve(reach, bar).map_or(bar, |c| c.gap));
            }
        });
        shown
    }

    /// Takes the profile both ways, and once more where the line runs along an edge of the mesh or through a corner: first
    /// as a line does that passes a hair to the left of it, then as one to the right.
    ///
    /// Never now to the left and now to the right, as rounding has it: so no edge is laid.
    fn both_leans(
        &mut self,
        net: &Net,
        start: Start,
        dir: [f64; 2],
        span: f64,
        mut with: impl FnMut(&mut Self),
    ) {
        for lean in [Lean::Left, Lean::Right] {
            self.back.clear();
            self.ahead.clear();
            let back = profile(
                net,
                start,
                [-dir[0], -dir[1]],
                span,
                lean.turned(),
                &mut self.back,
            );
            let ahead = profile(net, start, dir, span, lean, &mut self.ahead);
            with(self);
            if !(back || ahead) {
                return;
            }
        }
    }

    /// Whether there is floor to rest on both ways, and floor at the start: between two stretches that are none a point
    /// belongs to floor on the other hand.
    fn has_floor(&self) -> bool {
        let floor = |side: &[(f64, f64)]| side.iter().any(|p| p.1 > NO_FLOOR);
        let begins_off = |side: &[(f64, f64)]| {
            side.iter()
                .take_while(|p| p.0 == 0.0)
                .any(|p| p.1 == NO_FLOOR)
        };
        floor(&self.back)
            && floor(&self.ahead)
            && !(begins_off(&self.back) && begins_off(&self.ahead))
    }

    /// Whether the start is the deepest place under a chord that was found over it. Else a person who lays that edge finds more than its gap,
    /// at another place.
    pub fn is_deepest(
        &mut self,
        net: &Net,
        start: Start,
        dir: [f64; 2],
        span: f64,
        chord: Chord,
    ) -> bool {
        let mut deepest = false;
        self.both_leans(net, start, dir, span, |line| {
            deepest |= line.lies_deepest(chord);
        });
        deepest
    }

    /// The same on the profile at hand, where the chord is one of it.
    fn lies_deepest(&self, chord: Chord) -> bool {
        let (back, ahead) = (&self.back, &self.ahead);
        ends_at(back, chord.back).into_iter().any(|b| {
            ends_at(ahead, chord.ahead).into_iter().any(|a| {
                let rise = (a.1 - b.1) / (a.0 + b.0).max(f64::MIN_POSITIVE);
                let edge = |s: f64| b.1 + rise * (s + b.0);
                let behind = back.iter().filter(|p| p.0 <= b.0).map(|p| (-p.0, p.1));
                let before = ahead.iter().filter(|p| p.0 <= a.0).copied();
                let mut under = behind.chain(before).filter(|p| p.1 > NO_FLOOR);
                (edge(0.0) - chord.gap).abs() <= SAME_GAP_M
                    && under.all(|(s, z)| edge(s) - z <= chord.gap + SAME_GAP_M)
            })
        })
    }

    /// The worst chord over a point of a given profile, if its gap exceeds `least`.
    pub fn over(
        &mut self,
        back: impl Iterator<Item = (f64, f64)>,
        ahead: impl Iterator<Item = (f64, f64)>,
        span: f64,
        least: f64,
    ) -> Option<Chord> {
        self.back.clear();
        self.back.extend(back);
        self.ahead.clear();
        self.ahead.extend(ahead);
        self.up_to(span, least)
    }

    /// Deepest gap under an edge of length `span` laid with its middle on `start`, resting on its
    /// highest contact points; `None` where so long an edge has no room.
    ///
    /// The gap counts only between contact points: it is the depth of the profile below its own
    /// upper hull. Returns the gap with the contact points and the deepest point, as distances
    /// along `dir` from `start`.
    pub fn laid(&mut self, net: &Net, start: Start, dir: [f64; 2], span: f64) -> Option<[f64; 4]> {
        let half = span / 2.0;
        let mut deepest: Option<[f64; 4]> = None;
        self.both_leans(net, start, dir, half, |line| {
            if let Some(found) = line.hull_gap(half)
                && deepest.is_none_or(|d| found[0] > d[0])
            {
                deepest = Some(found);
            }
        });
        deepest
    }

    fn hull_gap(&mut self, half: f64) -> Option<[f64; 4]> {
        cut(&mut self.back, half)?;
        cut(&mut self.ahead, half)?;
        let points: Vec<(f64, f64)> = self
            .back
            .iter()
            .rev()
            .map(|p| (-p.0, p.1))
            .chain([(0.0, 0.0)])
            .chain(self.ahead.iter().copied())
            .filter(|p| p.1 > NO_FLOOR)
            .collect();
        Some(under_hull(&points))
    }

    /// Distance from `start` along `dir` to the last floor that is reached without leaving the room, up to
    /// `limit`.
    pub fn clear(&mut self, net: &Net, start: Start, dir: [f64; 2], limit: f64) -> f64 {
        let mut clear = 0.0f64;
        for lean in [Lean::Left, Lean::Right] {
            self.ahead.clear();
            let tied = profile(net, start, dir, limit, lean, &mut self.ahead);
            clear = clear.max(self.ahead.last().map_or(0.0, |p| p.0));
            if !tied {
                break;
            }
        }
        clear
    }

    fn solve(&mut self, reach: Reach, least: f64) -> Option<Chord> {
        match reach.lengths {
            Lengths::UpTo => self.up_to(reach.span, least),
            Lengths::Whole => whole_spans(&self.back, &self.ahead, reach.span, WholeAt::Anywhere)
                .filter(|c| c.gap > least + TIE_M),
        }
    }

    /// The worst of all chords over the start that are no longer than `span`.
    fn up_to(&mut self, span: f64, least: f64) -> Option<Chord> {
        let (back, ahead) = (&self.back, &self.ahead);
        if back.is_empty() || ahead.is_empty() {
            return None;
        }
        let mut best: Option<Chord> = None;
        let mut bar = least;
        // Each pass keeps the steepest end on either side as seen from depth `bar`; a pair that
        // beats the bar raises it. The bar settles in a few passes; 40 is far beyond any need.
        for _ in 0..40 {
            steepest(back, bar, &mut self.best_back);
            steepest(ahead, bar, &mut self.best_ahead);
            let mut found: Option<Chord> = None;
            let mut take = |gap: f64, b: f64, a: f64| {
                // Of chords as deep as each other the longest is the one that a person would lay.
                let better = |f: Chord| {
                    gap > f.gap + TIE_M || (gap > f.gap - TIE_M && b + a > f.back + f.ahead)
                };
                if gap > bar + TIE_M && found.is_none_or(better) {
                    found = Some(Chord {
                        gap,
                        back: b,
                        ahead: a,
                    });
                }
            };
            pair_up(back, ahead, &self.best_ahead, span, |b, a| {
                take(chord(b, a), b.0, a.0);
            });
            pair_up(ahead, back, &self.best_back, span, |a, b| {
                take(chord(b, a), b.0, a.0);
            });
            match found {
                Some(f) => {
                    bar = f.gap;
                    best = found;
                }
                None => break,
            }
        }
        if let Some(c) = whole_spans(back, ahead, span, WholeAt::InTriangles)
            && c.gap > bar + TIE_M
        {
            best = Some(c);
        }
        best
    }
}

/// The heights that a profile has at a distance: at a joint two, past its end none.
fn ends_at(points: &[(f64, f64)], at: f64) -> Vec<(f64, f64)> {
    let here = |p: &&(f64, f64)| (p.0 - at).abs() <= 1e-9;
    let mut ends: Vec<(f64, f64)> = points.iter().filter(here).copied().collect();
    if let Some(beyond) = points.iter().position(|p| p.0 > at + 1e-9) {
        let from = match beyond {
            0 => (0.0, 0.0),
            k => points[k - 1],
        };
        ends.push(between(from, points[beyond], at));
    }
    ends.retain(|p| p.1.is_finite());
    ends
}

/// End a profile at distance `at`; `None` when it is shorter.
fn cut(points: &mut Vec<(f64, f64)>, at: f64) -> Option<()> {
    let beyond = points.iter().position(|p| p.0 >= at - 1e-9)?;
    let from = if beyond > 0 {
        points[beyond - 1]
    } else {
        (0.0, 0.0)
    };
    let end = between(from, points[beyond], at);
    if !end.1.is_finite() {
        return None;
    }
    points.truncate(beyond);
    points.push(end);
    Some(())
}

/// Largest depth of a profile below its upper hull: `[gap, left contact, right contact, deepest]`.
pub(super) fn under_hull(points: &[(f64, f64)]) -> [f64; 4] {
    let mut hull: Vec<(f64, f64)> = Vec::new();
    for &p in points {
        while let [.., a, b] = hull[..]
            && (b.0 - a.0) * (p.1 - a.1) - (p.0 - a.0) * (b.1 - a.1) >= 0.0
        {
            hull.pop();
        }
        hull.push(p);
    }
    let mut worst = [0.0, 0.0, 0.0, 0.0];
    let mut k = 0;
    for &p in points {
        while k + 2 < hull.len() && p.0 > hull[k + 1].0 {
            k += 1;
        }
        let (Some(&a), Some(&b)) = (hull.get(k), hull.get(k + 1)) else {
            break;
        };
        if b.0 > a.0 && p.0 >= a.0 {
            let gap = a.1 + (b.1 - a.1) * (p.0 - a.0) / (b.0 - a.0) - p.1;
            if gap > worst[0] {
                worst = [gap, a.0, b.0, p.0];
            }
        }
    }
    worst
}

/// Height over the point of the chord between `b` behind and `a` ahead.
fn chord(b: (f64, f64), a: (f64, f64)) -> f64 {
    let run = b.0 + a.0;
    if run <= 1e-12 {
        return b.1.max(a.1);
    }
    (b.1 * a.0 + a.1 * b.0) / run
}

fn slope(p: (f64, f64), bar: f64) -> f64 {
    (p.1 - bar) / p.0.max(1e-12)
}

/// For each point, the steepest rise from depth `bar` among it and those nearer.
fn steepest(points: &[(f64, f64)], bar: f64, out: &mut Vec<(f64, usize)>) {
    out.clear();
    let mut best = (f64::NEG_INFINITY, 0);
    for (i, &p) in points.iter().enumerate() {
        let k = slope(p, bar);
        if k > best.0 {
            best = (k, i);
        }
        out.push(best);
    }
}

/// Each point of `one` with its best partner within the span: a point of `two`, or the place on
/// `two` a whole span away.
fn pair_up(
    one: &[(f64, f64)],
    two: &[(f64, f64)],
    best_two: &[(f64, usize)],
    span: f64,
    mut take: impl FnMut((f64, f64), (f64, f64)),
) {
    let mut j = two.len();
    for &p in one {
        let room = span - p.0;
        if room < 0.0 {
            break;
        }
        while j > 0 && two[j - 1].0 > room {
            j -= 1;
        }
        if j > 0 {
            take(p, two[best_two[j - 1].1]);
        }
        if j < two.len() {
            let from = if j > 0 { two[j - 1] } else { (0.0, 0.0) };
            take(p, between(from, two[j], room));
        }
    }
}

fn between(from: (f64, f64), to: (f64, f64), at: f64) -> (f64, f64) {
    let run = to.0 - from.0;
    if run <= 0.0 {
        return (at, to.1);
    }
    (at, from.1 + (to.1 - from.1) * (at - from.0) / run)
}

/// Where the ends of chords of the whole span are looked for.
#[derive(Clone, Copy, PartialEq)]
enum WholeAt {
    /// Both inside triangles: chords that end where the profile bends are looked for elsewhere.
    InTriangles,
    /// Anywhere.
    Anywhere,
}

/// The worst chord of exactly the whole span. On each pair of profile pieces its gap is a quadratic of the position: the worst stands
/// where one end meets the end of its piece, or, where the gap has a flat top, in between.
fn whole_spans(
    back: &[(f64, f64)],
    ahead: &[(f64, f64)],
    span: f64,
    looked: WholeAt,
) -> Option<Chord> {
    let (end_b, end_a) = (back.last()?.0, ahead.last()?.0);
    let mut s = (span - end_a).max(0.0);
    let stop = end_b.min(span);
    let mut best: Option<Chord> = None;
    let mut take = |b: (f64, f64), a: (f64, f64)| {
        let gap = chord(b, a);
        // Not finite over what is no floor.
        if gap.is_finite() && best.is_none_or(|c| gap > c.gap) {
            best = Some(Chord {
                gap,
                back: b.0,
                ahead: a.0,
            });
        }
    };
    let anywhere = looked == WholeAt::Anywhere;
    if anywhere && s <= stop + ONE_PLACE_M {
        for at in [s, stop.max(s)] {
            at_both_lips(back, ahead, at, span, &mut take);
        }
    }
    let mut i = back.partition_point(|p| p.0 <= s);
    let mut j = ahead.partition_point(|p| p.0 < span - s);
    while s < stop && i < back.len() {
        let b0 = if i > 0 { back[i - 1] } else { (0.0, 0.0) };
        let a1 = if j < ahead.len() { ahead[j] } else { break };
        let a0 = if j > 0 { ahead[j - 1] } else { (0.0, 0.0) };
        let to = back[i].0.min(span - a0.0).min(stop);
        if to > s {
            let (p, q) = (between(b0, back[i], s), between(b0, back[i], to));
            let (u, v) = (between(a0, a1, span - s), between(a0, a1, span - to));
            if anywhere {
                take(p, u);
                take(q, v);
                if joins(back, to) && joins(ahead, span - to) {
                    at_both_lips(back, ahead, to, span, &mut take);
                }
            }
            let (kb, ka) = ((q.1 - p.1) / (to - s), (v.1 - u.1) / (to - s));
            // gap(x) = ((p + kb x)(span - s - x) + (u + ka x)(s + x)) / span
            let quad = ka - kb;
            let lin = kb * (span - s) - p.1 + ka * s + u.1;
            if quad < 0.0 {
                let x = -lin / (2.0 * quad);
                if x > 0.0 && x < to - s {
                    take((s + x, p.1 + kb * x), (span - s - x, u.1 + ka * x));
                }
            }
        }
        if back[i].0 <= to {
            i += 1;
        }
        if span - a0.0 <= to {
            if j == 0 {
                break;
            }
            j -= 1;
        }
        s = to.max(s);
        if to >= stop {
            break;
        }
    }
    best
}

/// Whether a profile has two heights at a distance.
fn joins(points: &[(f64, f64)], at: f64) -> bool {
    let first = points.partition_point(|p| p.0 < at - ONE_PLACE_M);
    let here = points[first..]
        .iter()
        .take_while(|p| p.0 <= at + ONE_PLACE_M);
    here.count() > 1
}

/// Takes every chord that stands `at` behind and the rest of the span ahead: where there are joints on either lip.
fn at_both_lips(
    back: &[(f64, f64)],
    ahead: &[(f64, f64)],
    at: f64,
    span: f64,
    take: &mut impl FnMut((f64, f64), (f64, f64)),
) {
    for b in ends_at(back, at) {
        for a in ends_at(ahead, span - at) {
            take(b, a);
        }
    }
}
