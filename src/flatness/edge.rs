//! The certified search: the worst placement of a straight edge, at every place, in every direction.

use super::branch::Work;
use super::group::{Buckets, Groups};
use super::net::{Ground, Joints, Net, WALL, usable};
use super::ray::{Line, Reach};
use super::room::full_span_fits;
use super::rows::Rows;
use super::tiles::Tiles;
use super::wedge::Prover;
use super::{Departure, EdgeResult, Lengths, Placement};
use crate::surface::Floor;
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
    /// Gaps up to this need not be told apart, metres; 0 to find the worst whatever its size. Either
    /// the bound comes out as this, and `worst` may be a smaller gap than the true worst (but the
    /// proof that none exceeds the bound stands), or a gap over this is found, and the worst to the
    /// tolerance.
    pub ignore_m: f64,
    /// A gap this near to `ignore_m` is taken for as deep, metres. Readings in steps and limits in steps meet often,
    /// and a floor can show just the limit in a whole sweep of placements: to prove each of them under it by a hair
    /// takes millions of tests.
    pub even_m: f64,
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
            even_m: 1e-5,
            hints: Vec::new(),
        }
    }
}

/// A rounding allowance on top of every proven bound, metres.
const ROUNDING: f64 = 1e-9;

/// Share of the tolerance given up so that an edge that is hardly laid is told as a longer one.
const FOR_LENGTH: f64 = 0.05;

/// A floor made ready for searches of one departure at any span.
///
/// Making it ready costs about as much as a pass over the mesh; a span curve makes it once.
pub struct Searcher {
    pub(super) net: Net,
    pub(super) groups: Groups,
    pub(super) tiles: Tiles,
    rows: Rows,
    departure: Departure,
    pub(super) lengths: Lengths,
    /// Spread of the heights about one plane: no gap exceeds it.
    pub(super) spread: f64,
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
    pub fn on_part(floor: &Floor, departure: Departure, usable: &[bool], joints: Joints) -> Self {
        let net = Net::new(floor, departure, usable, joints);
        let rows = Rows::new(floor, &net, departure, joints);
        Self::of(net, rows, departure)
    }

    /// A search of readings that stand in one line, three at a time, and of no floor between them; without these readings, by their
    /// index.
    pub fn in_rows(floor: &Floor, departure: Departure, joints: Joints, without: &[u32]) -> Self {
        let none = vec![false; floor.triangles().len()];
        let net = Net::new(floor, departure, &none, joints);
        let rows = Rows::all(floor, departure, joints, without);
        Self::of(net, rows, departure)
    }

    /// The same, for chords of these lengths.
    pub fn with_lengths(self, lengths: Lengths) -> Self {
        Self { lengths, ..self }
    }

    /// Chords of an edge of this length.
    pub(super) const fn reach(&self, span: f64) -> Reach {
        Reach {
            span,
            lengths: self.lengths,
        }
    }

    fn of(net: Net, rows: Rows, departure: Departure) -> Self {
        let groups = Groups::new(&net);
        let tiles = Tiles::new(&net);
        let spread = spread(&net);
        Self {
            rows,
            net,
            groups,
            tiles,
            departure,
            lengths: Lengths::UpTo,
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
        let span = self.looked_m(span_m);
        let tolerance = options.tolerance_m.max(ROUNDING);
        let slack = tolerance * FOR_LENGTH;
        let mut best = self.start(span, options);
        let mut work = Work {
            tolerance: tolerance - slack,
            ..self.work_on(span, options)
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
        let best = best.map(|b| self.lengthen(b, span, slack));
        let gap = best.as_ref().map_or(0.0, |b| b.chord.gap);
        // Rows of readings with no floor about them are few, and exact.
        let row = self
            .rows
            .worst(self.reach(span_m.max(0.0)))
            .filter(|r| r.gap_m > gap);
        let gap = row.map_or(gap, |r| r.gap_m);
        let bound = bound.min(self.spread).max(gap) + ROUNDING;
        progress(1.0);
        EdgeResult {
            departure: self.departure,
            span_m,
            worst: row
                .or(best.map(|b| self.placement(&b)))
                .filter(|w| w.gap_m > ROUNDING),
            bound_m: bound,
            full_span_laid: self.full_span(span_m.max(0.0)),
            complete: bound - gap <= tolerance.max(work.ignore - gap) + 2.0 * ROUNDING,
        }
    }

    /// A gap that is there, metres, looked for where the floor promises most: mostly the worst, without the proof that none is
    /// larger and in a small part of its time.
    pub fn likely_worst(&self, span_m: f64, options: &SearchOptions) -> f64 {
        let span = self.looked_m(span_m);
        let row = self
            .rows
            .worst(self.reach(span_m.max(0.0)))
            .map_or(0.0, |r| r.gap_m);
        let start = self.start(span, options).map_or(0.0, |b| b.chord.gap);
        row.max(start)
    }

    /// Whether any placement shows more than a figure, metres; `None` where the work limit leaves it open.
    ///
    /// As [`Searcher::search`] with the figure as what need not be told apart, but it ends at the first gap over it.
    pub fn exceeds(
        &self,
        span_m: f64,
        figure_m: f64,
        options: &SearchOptions,
        progress: Progress<'_>,
    ) -> Option<bool> {
        let over = |gap: f64| gap > figure_m;
        if self.spread <= figure_m {
            return Some(false);
        }
        if self
            .rows
            .worst(self.reach(span_m.max(0.0)))
            .is_some_and(|r| over(r.gap_m))
        {
            return Some(true);
        }
        let span = self.looked_m(span_m);
        // Where one floor is over its figure, another like it mostly is at the same place.
        let at_hint = self.with_line(|line| {
            options
                .hints
                .iter()
                .filter(|_| span > 0.0)
                .filter_map(|hint| self.lay_hint(line, hint, span))
                .any(|f| over(f.chord.gap))
        });
        if at_hint {
            return Some(true);
        }
        let mut best = self.start(span, options);
        let found =
            |best: &Option<super::probe::Found>| best.as_ref().is_some_and(|b| over(b.chord.gap));
        if span <= 0.0 || found(&best) {
            return Some(found(&best));
        }
        let mut work = Work {
            ignore: figure_m.max(0.0),
            ends_over: Some(figure_m),
            ..self.work_on(span, options)
        };
        let left = work.run(&mut best, progress);
        self.tested.fetch_add(work.done, Ordering::Relaxed);
        if found(&best) {
            Some(true)
        } else {
            left.is_empty().then_some(false)
        }
    }

    /// A search about to begin.
    fn work_on(&self, span: f64, options: &SearchOptions) -> Work<'_> {
        Work {
            searcher: self,
            span,
            buckets: Buckets::new(&self.net, (span * 0.4).max(self.net.spacing)),
            tolerance: options.tolerance_m,
            ignore: options.ignore_m.max(0.0),
            even: options.even_m.max(0.0),
            limit: options.work_limit,
            done: 0,
            proven: 0.0,
            ends_over: None,
        }
    }

    /// How long chords are looked for, metres. None is longer than the floor, so that a longer edge that rests has no more to look at, and one
    /// on blocks nothing: a chord that is cut short is not its own.
    fn looked_m(&self, span_m: f64) -> f64 {
        let longest = self.longest_m();
        match self.lengths {
            Lengths::Whole if span_m > longest => 0.0,
            _ => span_m.max(0.0).min(longest),
        }
    }

    /// Sheaves of chords tested so far, over all searches.
    pub fn work(&self) -> u64 {
        self.tested.load(Ordering::Relaxed)
    }

    /// Diagonal of the box around the largest piece of floor that chords may cross, metres: no chord is longer.
    pub(super) fn extent_m(&self) -> f64 {
        let net = &self.net;
        let mut is_seen = vec![false; net.tri.len()];
        let mut most = 0.0f64;
        for first in 0..net.tri.len() {
            if std::mem::replace(&mut is_seen[first], true) {
                continue;
            }
            let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
            let mut ahead = vec![first];
            while let Some(t) = ahead.pop() {
                for &v in net.tri[t].iter().filter(|&&v| net.used(v)) {
                    let p = net.at[v as usize];
                    lo = [lo[0].min(p[0]), lo[1].min(p[1])];
                    hi = [hi[0].max(p[0]), hi[1].max(p[1])];
                }
                for &next in net.next[t].iter().filter(|&&n| n != WALL) {
                    if !std::mem::replace(&mut is_seen[next as usize], true) {
                        ahead.push(next as usize);
                    }
                }
            }
            if lo[0] <= hi[0] {
                most = most.max((hi[0] - lo[0]).hypot(hi[1] - lo[1]));
            }
        }
        most
    }

    /// Diagonal of the box around the whole room, floor that does not count included: no chord is longer.
    fn longest_m(&self) -> f64 {
        let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
        for p in &self.net.at {
            lo = [lo[0].min(p[0]), lo[1].min(p[1])];
            hi = [hi[0].max(p[0]), hi[1].max(p[1])];
        }
        if lo[0] > hi[0] {
            return 0.0;
        }
        // A hair more, so that rounding never shortens an edge that just fits.
        (hi[0] - lo[0]).hypot(hi[1] - lo[1]) * (1.0 + 1e-9)
    }

    fn full_span(&self, span: f64) -> bool {
        if span > self.longest_m() {
            return false;
        }
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

    pub(super) fn with_prover<T>(&self, f: impl FnOnce(&mut Prover) -> T) -> T {
        let taken = self.provers.lock().ok().and_then(|mut p| p.pop());
        let mut prover = taken.unwrap_or_else(|| Prover::new(&self.net));
        let out = f(&mut prover);
        if let Ok(mut p) = self.provers.lock() {
            p.push(prover);
        }
        out
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
