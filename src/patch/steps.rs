//! A plan in whole steps of the rule: what can be measured out at every mark.

use super::programme::{Programme, Row};
use std::collections::{BTreeMap, BTreeSet};

/// Depths this near to a whole step are it, in steps: the solver's own rounding.
const ON_STEP: f64 = 1e-3;
/// A chord may pass its aim by this: rounding of sums, metres. The search that proves the plan is asked last.
const ROUNDING_M: f64 = 1e-9;
/// Moves of one step for each vertex, at the most, before rows that are still broken are given up.
const MOST_MOVES: usize = 40;
/// Moves that mend what taking one step back broke, at the most.
const FEW_MOVES: usize = 12;
/// Passes over all depths that try whether another arrangement takes less.
const PASSES: usize = 4;
/// Rows whose places are looked at for the next move.
const AT_ONCE: usize = 8;
/// Depths that are tried otherwise, at the most, the dearest first.
const MOST_TRIED: usize = 600;
/// A move that takes nothing, or less than nothing, costs this share of one that adds a step.
const LEAST_COST: f64 = 0.01;
/// An arrangement has to take less by more than this share of a step's material.
const LESS_SHARE: f64 = 1e-6;

/// To work at a mark at all is as much trouble as this share of a step there: fewer marks are better than shallow ones (common practice, no
/// published source).
const TO_BEGIN: f64 = 0.5;

/// What so many steps at a mark are counted as.
fn trouble(steps: i64) -> f64 {
    let begun = if steps == 0 { 0.0 } else { TO_BEGIN };
    steps.abs() as f64 + begun
}

/// Depths in whole steps that keep every row, near the least material; `None` where none were found.
///
/// # Method
/// Every depth is taken to its nearest step. While a row is broken, the one step up or down at one vertex is made that mends most for its
/// material; where none mends any more, rows that are broken weigh more and more until one does. Then every depth is taken steps nearer to nothing
/// as long as all rows stay kept; and one at a time taken a step back, what that breaks mended elsewhere, and kept so where it takes less.
pub(super) fn in_steps(
    programme: &Programme<'_>,
    rows: &[Row],
    depths: &[f64],
    step_m: f64,
) -> Option<Vec<f64>> {
    let mut plan = Stepped::new(programme, rows, depths, step_m);
    let broken = (0..rows.len()).filter(|&i| plan.broken_by(i) > 0.0);
    let broken: BTreeSet<usize> = broken.collect();
    let most = MOST_MOVES * depths.len();
    if !plan.mend(
        broken,
        Mending {
            most,
            not: None,
            insists: true,
        },
    ) {
        return None;
    }
    plan.take_back();
    plan.rearrange();
    Some(plan.work())
}

/// A plan whose depths are counted in steps.
struct Stepped<'a> {
    programme: &'a Programme<'a>,
    rows: &'a [Row],
    step_m: f64,
    steps: Vec<i64>,
    heights: Vec<f64>,
    /// Rows that lean on each vertex.
    leaning: Vec<Vec<usize>>,
    /// Fewest and most steps that may be laid.
    within: (i64, i64),
    /// The moves made, so that they can be taken back.
    made: Vec<Move>,
}

/// How far mending goes.
#[derive(Clone, Copy)]
struct Mending {
    /// Moves, at the most.
    most: usize,
    /// A vertex that stays as it is.
    not: Option<usize>,
    /// Whether rows that stay broken weigh more and more.
    insists: bool,
}

/// A step at one vertex.
#[derive(Clone, Copy)]
struct Move {
    vertex: usize,
    by: i64,
}

impl<'a> Stepped<'a> {
    fn new(programme: &'a Programme<'a>, rows: &'a [Row], depths: &[f64], step_m: f64) -> Self {
        let whole = |limit_m: f64| (limit_m / step_m + ON_STEP).floor() as i64;
        let within = (
            -whole(programme.max_grind_m),
            programme.max_fill_m.map_or(i64::from(i32::MAX), whole),
        );
        let steps: Vec<i64> = depths
            .iter()
            .map(|d| ((d / step_m).round() as i64).clamp(within.0, within.1))
            .collect();
        let mut leaning = vec![Vec::new(); depths.len()];
        for (i, row) in rows.iter().enumerate() {
            for &(v, _) in &row.chord.terms {
                leaning[v as usize].push(i);
            }
        }
        let mut plan = Self {
            programme,
            rows,
            step_m,
            steps,
            heights: Vec::new(),
            leaning,
            within,
            made: Vec::new(),
        };
        plan.heights = programme.finished(&plan.work());
        plan
    }

    /// What is laid at every mark, metres.
    fn work(&self) -> Vec<f64> {
        let steps = self.steps.iter();
        steps.map(|&s| s as f64 * self.step_m).collect()
    }

    /// By how much a row is broken, metres.
    fn broken_by(&self, row: usize) -> f64 {
        let row = &self.rows[row];
        (row.shows(&self.heights) - row.most_m - ROUNDING_M).max(0.0)
    }

    /// What all depths take, a step over one square metre as one.
    fn cost(&self) -> f64 {
        let each = self.steps.iter().map(|&s| trouble(s));
        each.zip(self.programme.areas).map(|(t, a)| t * a).sum()
    }

    fn make(&mut self, m: Move) {
        self.shift(m);
        self.made.push(m);
    }

    fn shift(&mut self, m: Move) {
        self.steps[m.vertex] += m.by;
        self.heights[m.vertex] =
            self.programme.z[m.vertex] + self.steps[m.vertex] as f64 * self.step_m;
    }

    /// Takes back all moves but the first so many.
    fn back_to(&mut self, count: usize) {
        while self.made.len() > count
            && let Some(m) = self.made.pop()
        {
            self.shift(Move { by: -m.by, ..m });
        }
    }

    /// Moves until none of the rows is broken; whether that came out.
    fn mend(&mut self, mut broken: BTreeSet<usize>, how: Mending) -> bool {
        let mut weights: BTreeMap<usize, f64> = BTreeMap::new();
        for _ in 0..how.most {
            if broken.is_empty() {
                return true;
            }
            match self.best_move(&broken, &weights, how.not) {
                Some(chosen) => {
                    self.make(chosen);
                    for &i in &self.leaning[chosen.vertex] {
                        if self.broken_by(i) > 0.0 {
                            broken.insert(i);
                        } else {
                            broken.remove(&i);
                        }
                    }
                }
                None if how.insists => {
                    for &i in &broken {
                        *weights.entry(i).or_insert(1.0) += 1.0;
                    }
                }
                None => return false,
            }
        }
        broken.is_empty()
    }

    /// The step at one vertex that mends most for its material.
    fn best_move(
        &self,
        broken: &BTreeSet<usize>,
        weights: &BTreeMap<usize, f64>,
        not: Option<usize>,
    ) -> Option<Move> {
        // A few rows at a time: on a large floor thousands are broken at first, and what mends one is near it.
        let few = broken.iter().take(AT_ONCE);
        let terms = few.flat_map(|&i| &self.rows[i].chord.terms);
        let places: BTreeSet<usize> = terms.map(|t| t.0 as usize).collect();
        let mut best: Option<(f64, Move)> = None;
        for vertex in places.into_iter().filter(|&v| Some(v) != not) {
            for by in [1, -1] {
                let to = self.steps[vertex] + by;
                if to < self.within.0 || to > self.within.1 {
                    continue;
                }
                let gain = self.gain(Move { vertex, by }, weights);
                if gain <= 0.0 {
                    continue;
                }
                let dearer = trouble(to) - trouble(self.steps[vertex]);
                let cost = self.programme.areas[vertex] * dearer.max(LEAST_COST);
                let worth = gain / cost;
                if best.is_none_or(|(w, _)| worth > w) {
                    best = Some((worth, Move { vertex, by }));
                }
            }
        }
        best.map(|b| b.1)
    }

    /// How much less all rows are broken after a move, metres, each by its weight.
    fn gain(&self, m: Move, weights: &BTreeMap<usize, f64>) -> f64 {
        let by_m = m.by as f64 * self.step_m;
        let of = |&i: &usize| {
            let row = &self.rows[i];
            let terms = &row.chord.terms;
            let at = terms.binary_search_by_key(&(m.vertex as u32), |t| t.0);
            let share = at.map_or(0.0, |k| terms[k].1);
            let shown = row.shows(&self.heights);
            let over = |shown: f64| (shown - row.most_m - ROUNDING_M).max(0.0);
            let weight = weights.get(&i).copied().unwrap_or(1.0);
            weight * (over(shown) - over(shown + row.sign * share * by_m))
        };
        self.leaning[m.vertex].iter().map(of).sum()
    }

    /// Rows that lean on a vertex and are broken.
    fn breaks(&self, vertex: usize) -> impl Iterator<Item = usize> {
        let leaning = self.leaning[vertex].iter().copied();
        leaning.filter(|&i| self.broken_by(i) > 0.0)
    }

    /// Vertices that something is laid or ground at, the dearest first.
    fn worked(&self) -> Vec<usize> {
        let areas = self.programme.areas;
        let mut order: Vec<usize> = (0..self.steps.len())
            .filter(|&v| self.steps[v] != 0)
            .collect();
        order.sort_by(|&a, &b| areas[b].total_cmp(&areas[a]).then(a.cmp(&b)));
        order
    }

    /// Takes depths back a step at a time while every row stays kept.
    fn take_back(&mut self) {
        let order = self.worked();
        // Each round takes at least one step away, so this ends.
        loop {
            let mut gained = false;
            for &vertex in &order {
                while self.steps[vertex] != 0 {
                    let by = -self.steps[vertex].signum();
                    self.make(Move { vertex, by });
                    if self.breaks(vertex).next().is_some() {
                        let made = self.made.len();
                        self.back_to(made - 1);
                        break;
                    }
                    gained = true;
                }
            }
            if !gained {
                return;
            }
        }
    }

    /// Takes one depth back at a time and mends what that breaks elsewhere, where it takes less in all.
    fn rearrange(&mut self) {
        let mut least = self.cost();
        for _ in 0..PASSES {
            let mut gained = false;
            for vertex in self.worked().into_iter().take(MOST_TRIED) {
                if self.steps[vertex] == 0 {
                    continue;
                }
                let made = self.made.len();
                let by = -self.steps[vertex].signum();
                self.make(Move { vertex, by });
                let broken = self.breaks(vertex).collect();
                let how = Mending {
                    most: FEW_MOVES,
                    not: Some(vertex),
                    insists: false,
                };
                let cost = if self.mend(broken, how) {
                    self.cost()
                } else {
                    f64::INFINITY
                };
                if cost < least - LESS_SHARE * self.programme.areas[vertex] {
                    least = cost;
                    gained = true;
                } else {
                    self.back_to(made);
                }
            }
            self.take_back();
            least = self.cost();
            if !gained {
                return;
            }
        }
    }
}
