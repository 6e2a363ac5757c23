//! The certified search: the worst placement of a straight edge, at every place, in every direction.

use super::group::{Buckets, Groups};
use super::net::{Ground, Joints, Net, usable};
use super::ray::{Chord, Line, Start};
use super::room::full_span_fits;
use super::wedge::{Prover, Sheaf};
use super::{Departure, EdgeResult, Placement};
use crate::surface::Floor;
use rayon::prelude::*;
use std::f64::consts::PI;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

/// Told how far along the work is, 0 to 1.
pub type Progress<'a> = &'a (dyn Fn(f64) + Sync);

/// How to search.
#[derive(Debug, Clone, PartialEq)]
pub struct SearchOptions {
    /// The proven bound ends up no farther than this above the gap found, metres.
    pub tolerance_m: f64,
    /// Most sheaves of chords to test. Reaching it ends the search with the bound proven so far
    /// and `complete` false.
    pub work_limit: u64,
    /// Whether the edge may cross joints.
    pub joints: Joints,
    /// Which part of the floor the edge may lie on.
    pub ground: Ground,
    /// Gaps up to this need not be told apart, metres; 0 to find the worst whatever its size. The
    /// bound is then no smaller than this, and `worst` may be a smaller gap than the true worst
    /// (but the proof that none exceeds the bound stands).
    pub ignore_m: f64,
    /// Placements known beforehand, such as the worst of a shorter span: a good start is half the
    /// work. They are measured again before they count.
    pub hints: Vec<Placement>,
}

impl Default for SearchOptions {
    fn default() -> Self {
        Self {
            tolerance_m: 1e-4,
            work_limit: 50_000_000,
            joints: Joints::Cross,
            ground: Ground::Surveyed,
            ignore_m: 0.0,
            hints: Vec::new(),
        }
    }
}

/// Sheaves tested between two updates of the best gap found. Fixed, so that the outcome does not
/// depend on the number of threads.
const BATCH: usize = 2048;

/// First directions: slices of half a turn.
const SLICES: usize = 4;

/// Sheaves thinner than this are split no further, metres.
const THINNEST: f64 = 1e-8;

/// A rounding allowance on top of every proven bound, metres.
const ROUNDING: f64 = 1e-9;

/// A measured chord and how to find it again.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub seat: usize,
    pub share: f64,
    pub turn: f64,
    pub chord: Chord,
}

/// A floor made ready for searches of one departure at any span.
///
/// Making it ready costs about as much as a pass over the mesh; a span curve makes it once.
pub struct Searcher {
    pub(super) net: Net,
    pub(super) groups: Groups,
    departure: Departure,
    /// Spread of the heights about one plane: no gap exceeds it.
    spread: f64,
    provers: Mutex<Vec<Prover>>,
    lines: Mutex<Vec<Line>>,
    fit: Mutex<Option<(u64, bool)>>,
    tested: AtomicU64,
}

impl std::fmt::Debug for Searcher {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Searcher")
            .field("departure", &self.departure)
            .field("seats", &self.net.seats.len())
            .finish_non_exhaustive()
    }
}

/// The worst dip or hump under an edge up to `span_m` long, proven.
///
/// # Units, datum, sign
/// Metres. The gap is vertical and never negative: for [`Departure::Dip`] the depth of the floor
/// below the edge, for [`Departure::Hump`] its height above the chord.
/// # Method
/// Branch and bound over the places of the deepest point and the direction of the edge; each sheaf
/// of placements is either proven shallow or split. docs/methods.md, "Deviation from a straight edge".
/// # Edge cases
/// A floor without triangles, or bent nowhere, has gap 0 and no worst placement.
/// # Accuracy
/// `bound_m - gap_m()` is at most `tolerance_m` plus 1e-9 m when `complete` is true. The bound holds
/// for the triangulated floor; what the floor does between readings is the verdict's doubt.
pub fn search(
    floor: &Floor,
    departure: Departure,
    span_m: f64,
    options: &SearchOptions,
    progress: Progress<'_>,
) -> EdgeResult {
    Searcher::new(floor, departure, options.ground, options.joints)
        .search(span_m, options, progress)
}

impl Searcher {
    /// Make the floor ready. `ground` and `joints` bind all later searches.
    pub fn new(floor: &Floor, departure: Departure, ground: Ground, joints: Joints) -> Self {
        Self::on_part(floor, departure, &usable(floor, ground), joints)
    }

    /// Make ready only the triangles marked usable.
    pub(super) fn on_part(
        floor: &Floor,
        departure: Departure,
        usable: &[bool],
        joints: Joints,
    ) -> Self {
        let net = Net::new(floor, departure, usable, joints);
        let groups = Groups::new(&net);
        let spread = spread(&net);
        Self {
            net,
            groups,
            departure,
            spread,
            provers: Mutex::new(Vec::new()),
            lines: Mutex::new(Vec::new()),
            fit: Mutex::new(None),
            tested: AtomicU64::new(0),
        }
    }

    /// As [`search`]; `ground` and `joints` of the options are those of [`Searcher::new`].
    pub fn search(
        &self,
        span_m: f64,
        options: &SearchOptions,
        progress: Progress<'_>,
    ) -> EdgeResult {
        let span = span_m.max(0.0);
        let mut best = self.start(span, options);
        let mut work = Work {
            searcher: self,
            span,
            buckets: Buckets::new(&self.net, (span * 0.4).max(self.net.spacing)),
            tolerance: options.tolerance_m.max(ROUNDING),
            ignore: options.ignore_m.max(0.0),
            limit: options.work_limit,
            done: 0,
            proven: 0.0,
        };
        let left = if span > 0.0 {
            work.run(&mut best, progress)
        } else {
            Vec::new()
        };
        self.tested.fetch_add(work.done, Ordering::Relaxed);
        let mut bound = work.proven;
        if !left.is_empty() {
            bound = bound.max(work.bound_of(left, best.as_ref()));
        }
        let gap = best.as_ref().map_or(0.0, |b| b.chord.gap);
        let bound = bound.min(self.spread).max(gap) + ROUNDING;
        progress(1.0);
        EdgeResult {
            departure: self.departure,
            span_m,
            worst: best
                .filter(|b| b.chord.gap > ROUNDING)
                .map(|b| self.placement(&b)),
            bound_m: bound,
            full_span_laid: self.full_span(span),
            complete: bound - gap <= work.tolerance.max(work.ignore - gap) + 2.0 * ROUNDING,
        }
    }

    /// Sheaves of chords tested so far, over all searches.
    pub fn work(&self) -> u64 {
        self.tested.load(Ordering::Relaxed)
    }

    /// Diagonal of the box around the floor, metres: no chord is longer.
    pub(super) fn extent_m(&self) -> f64 {
        let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
        for v in (0..self.net.at.len() as u32).filter(|&v| self.net.used(v)) {
            let p = self.net.at[v as usize];
            lo = [lo[0].min(p[0]), lo[1].min(p[1])];
            hi = [hi[0].max(p[0]), hi[1].max(p[1])];
        }
        if lo[0] > hi[0] {
            0.0
        } else {
            (hi[0] - lo[0]).hypot(hi[1] - lo[1])
        }
    }

    fn full_span(&self, span: f64) -> bool {
        let key = span.to_bits();
        if let Ok(fit) = self.fit.lock()
            && let Some((k, v)) = *fit
            && k == key
        {
            return v;
        }
        let v = full_span_fits(&self.net, span);
        if let Ok(mut fit) = self.fit.lock() {
            *fit = Some((key, v));
        }
        v
    }

    /// Plan coordinates of a measured chord.
    pub(super) fn placement(&self, found: &Found) -> Placement {
        let m = self.net.on_seat(found.seat, found.share);
        let (s, c) = found.turn.sin_cos();
        let along = |d: f64| self.net.place([m[0] + c * d, m[1] + s * d]);
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
        seat: usize,
        share: f64,
        turn: f64,
        span: f64,
        least: f64,
    ) -> Option<Found> {
        let (s, c) = turn.sin_cos();
        let ends = self.net.seats[seat].ends;
        let start = if share <= 0.0 {
            Start::Vertex(ends[0])
        } else if share >= 1.0 {
            Start::Vertex(ends[1])
        } else {
            Start::Seat(seat, share)
        };
        line.worst(&self.net, start, [c, s], span, least)
            .map(|chord| Found {
                seat,
                share: share.clamp(0.0, 1.0),
                turn,
                chord,
            })
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
                let share = (best.share + ds).clamp(0.0, 1.0);
                let least = best.chord.gap + 1e-9;
                if let Some(f) = self.measure(line, best.seat, share, best.turn + dt, span, least) {
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

    /// A first gap to beat: hints, then the places that lie deepest among their surroundings.
    fn start(&self, span: f64, options: &SearchOptions) -> Option<Found> {
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
                        if let Some(f) = self.measure(&mut line, seat, share, turn, span, least) {
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
    fn lay_hint(&self, line: &mut Line, hint: &Placement, span: f64) -> Option<Found> {
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
        self.measure(line, seat, share, turn, span, 0.0)
            .map(|f| self.polish(line, f, span))
    }

    pub(super) fn with_line<T>(&self, f: impl FnOnce(&mut Line) -> T) -> T {
        let mut line = self
            .lines
            .lock()
            .ok()
            .and_then(|mut l| l.pop())
            .unwrap_or_default();
        let out = f(&mut line);
        if let Ok(mut l) = self.lines.lock() {
            l.push(line);
        }
        out
    }

    fn with_prover<T>(&self, f: impl FnOnce(&mut Prover) -> T) -> T {
        let taken = self.provers.lock().ok().and_then(|mut p| p.pop());
        let mut prover = taken.unwrap_or_else(|| Prover::new(&self.net));
        let out = f(&mut prover);
        if let Ok(mut p) = self.provers.lock() {
            p.push(prover);
        }
        out
    }
}

fn keep(best: &mut Option<Found>, f: Found) {
    if best.is_none_or(|b| f.chord.gap > b.chord.gap) {
        *best = Some(f);
    }
}

/// Largest minus smallest height over one plane through the middle of the floor.
fn spread(net: &Net) -> f64 {
    let buckets = Buckets::new(net, f64::MAX);
    let slope = buckets.slope([0.0; 2]);
    let (mut lo, mut hi) = (f64::MAX, f64::MIN);
    for v in 0..net.at.len() as u32 {
        if net.used(v) {
            let [x, y, z] = net.at[v as usize];
            let h = z - slope[0] * x - slope[1] * y;
            lo = lo.min(h);
            hi = hi.max(h);
        }
    }
    (hi - lo).max(0.0)
}

/// One search under way.
struct Work<'a> {
    searcher: &'a Searcher,
    span: f64,
    buckets: Buckets,
    tolerance: f64,
    ignore: f64,
    limit: u64,
    done: u64,
    /// Largest bar that some sheaf was proven to stay under.
    proven: f64,
}

impl Work<'_> {
    fn bar(&self, best: Option<&Found>) -> f64 {
        (best.map_or(0.0, |b| b.chord.gap) + self.tolerance).max(self.ignore)
    }

    /// Test and split until nothing is left or the limit is reached; returns what is left.
    fn run(&mut self, best: &mut Option<Found>, progress: Progress<'_>) -> Vec<Sheaf> {
        let mut level = self.first(best.as_ref());
        let mut left = Vec::new();
        let mut share = 1.0 / level.len().max(1) as f64;
        let mut settled = 0.0;
        while !level.is_empty() {
            let mut deeper = Vec::new();
            for chunk in level.chunks(BATCH) {
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
        let size = (self.span * 0.25).max(self.searcher.net.spacing * 1.2);
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
        if !prover.may_reach(&s.net, &s.groups, &self.buckets, sheaf, self.span, bar) {
            return None;
        }
        let turn = (sheaf.turn.0 + sheaf.turn.1) / 2.0;
        let seats = s.groups.seats(sheaf.group);
        let seat = seats[seats.len() / 2] as usize;
        let share = (sheaf.part.0 + sheaf.part.1) / 2.0;
        Some((*sheaf, s.measure(line, seat, share, turn, self.span, least)))
    }

    fn split(&self, sheaf: &Sheaf, deeper: &mut Vec<Sheaf>, left: &mut Vec<Sheaf>) {
        let s = self.searcher;
        let size = sheaf.size(&s.net, &s.groups);
        let fan = (sheaf.turn.1 - sheaf.turn.0) * self.span / 2.0;
        if size.max(fan) < THINNEST {
            left.push(*sheaf);
        } else if fan >= size {
            let mid = (sheaf.turn.0 + sheaf.turn.1) / 2.0;
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
    fn bound_of(&self, mut left: Vec<Sheaf>, best: Option<&Found>) -> f64 {
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
                            .filter(|x| {
                                prover.may_reach(
                                    &s.net,
                                    &s.groups,
                                    &self.buckets,
                                    x,
                                    self.span,
                                    bar,
                                )
                            })
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
