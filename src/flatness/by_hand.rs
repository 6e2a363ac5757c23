//! Edges laid by hand: what was measured, and what it says of a part.
//!
//! Placements drawn at random are a sample of all placements, and a sample has an exact bound. Placements chosen by anybody, the
//! worst from the readings among them, can prove a floor out, and say nothing of the others.

use super::check::{Check, Limit, Part};
use super::drawn::{EdgeUse, drawn};
use super::hand_says::{ByHand, HandGap, MOST_OVER};
use super::net::Joints;
use super::result::Procedure;
use super::verdict::EQUAL_M;
use crate::geometry::{Point, Region, Segment};
use statrs::distribution::{Beta, ContinuousCDF};

/// Chance of being wrong that a bound on the share of placements is allowed.
const ERROR: f64 = 0.05;
/// A placement of the sheet is the one that was drawn where both its ends lie no farther off, metres: it is written to a quarter
/// of an inch or a centimetre.
const SAME_M: f64 = 0.012;

/// One laying of the edge by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct HandEdge {
    /// Its number on the sheet, as it stands there.
    pub number: String,
    /// The edge, and how it is used.
    pub edge: EdgeUse,
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// What was measured, metres; `None` where it was not laid.
    pub gap_m: Option<f64>,
    /// Which of the placements drawn at random it is, from 0; `None` for one that somebody chose.
    pub drawn: Option<usize>,
}

/// Edges laid by hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HandEdges {
    /// What the placements were drawn from: the same seed, room and edge, the same placements.
    pub seed: u32,
    /// How many were drawn for each edge.
    pub counts: Vec<(EdgeUse, usize)>,
    /// Every row of the sheet.
    pub edges: Vec<HandEdge>,
}

impl HandEdges {
    /// How many placements were drawn for an edge.
    fn count(&self, edge: EdgeUse) -> usize {
        let of = |c: &&(EdgeUse, usize)| c.0.is(edge);
        self.counts.iter().find(of).map_or(0, |c| c.1)
    }
}

/// Whether a part is one that a person lays an edge for and holds against one figure.
pub fn is_laid_by_hand(part: &Part) -> bool {
    let laid = matches!(
        part.procedure,
        Procedure::Resting
            | Procedure::Balanced
            | Procedure::HeldDown
            | Procedure::EndBlocksHollow
            | Procedure::EndBlocksHump
    );
    laid && matches!(part.limit, Limit::Most(_))
}

/// The fewest random placements, none of them over, that bring a part within: 59.
pub fn fewest_for_within() -> usize {
    (ERROR.ln() / (1.0 - MOST_OVER).ln()).ceil() as usize
}

/// With 95 % confidence no larger share of all is over than this, where `over` of `laid` drawn at random are (Clopper and
/// Pearson 1934, one-sided). 1 where none was laid.
pub fn at_most_share(over: usize, laid: usize) -> f64 {
    if over >= laid {
        return 1.0;
    }
    // None over has a closed form; the inverse of the beta distribution is only needed beyond it.
    if over == 0 {
        return 1.0 - ERROR.powf(1.0 / laid as f64);
    }
    Beta::new((over + 1) as f64, (laid - over) as f64)
        .map_or(1.0, |beta| beta.inverse_cdf(1.0 - ERROR))
        .clamp(0.0, 1.0)
}

/// What the edges say of one part, but for the sentence; `None` where none of its kind was laid, or no person lays one.
pub(super) fn by_hand(
    edges: &HandEdges,
    (check, part): (&Check, &Part),
    region: &Region,
    joints: &[Segment],
) -> Option<ByHand> {
    let Limit::Most(allow_m) = part.limit else {
        return None;
    };
    if !is_laid_by_hand(part) {
        return None;
    }
    // A rule that lays no edge across a joint neither counts one that was nor misses it.
    let counts = |a: Point, b: Point| {
        let laid = Segment::new(a, b);
        check.joints == Joints::Cross || !joints.iter().any(|j| j.crosses(&laid))
    };
    let edge = EdgeUse {
        procedure: part.procedure,
        span_m: part.span_m,
    };
    let mine: Vec<&HandEdge> = edges
        .edges
        .iter()
        .filter(|e| e.edge.is(edge))
        .filter(|e| counts(e.from, e.to))
        .collect();
    if mine.is_empty() {
        return None;
    }
    let true_ones = drawn(region, edge, edges.seed, edges.count(edge));
    let count = true_ones.iter().filter(|d| counts(d.0, d.1)).count();
    // Where a placement was moved on the sheet it is one that somebody chose.
    let is_drawn = |e: &HandEdge| {
        e.drawn.and_then(|k| true_ones.get(k)).is_some_and(|d| {
            let near = |a: Point, b: Point| a.distance(d.0) <= SAME_M && b.distance(d.1) <= SAME_M;
            near(e.from, e.to) || near(e.to, e.from)
        })
    };
    let is_over = |m: f64| m > allow_m + EQUAL_M;
    let mut out = ByHand {
        seed: edges.seed,
        drawn: count,
        laid: 0,
        over: 0,
        chosen: 0,
        chosen_over: 0,
        moved: 0,
        at_most_share: None,
        worst: None,
        words: String::new(),
    };
    for e in mine {
        let Some(gap_m) = e.gap_m else { continue };
        let over = usize::from(is_over(gap_m));
        if is_drawn(e) {
            out.laid += 1;
            out.over += over;
        } else {
            out.moved += usize::from(e.drawn.is_some());
            out.chosen += 1;
            out.chosen_over += over;
        }
        if out.worst.as_ref().is_none_or(|w| gap_m > w.gap_m) {
            out.worst = Some(HandGap {
                number: e.number.clone(),
                from: e.from,
                to: e.to,
                gap_m,
            });
        }
    }
    // A sheet that nobody filled in for this edge says nothing of it.
    if out.laid + out.chosen == 0 {
        return None;
    }
    // Whoever leaves a placement out may have a reason that lies in the floor, so that what was left out counts as over.
    let left_out = count.saturating_sub(out.laid);
    out.at_most_share = (out.laid > 0).then(|| at_most_share(out.over + left_out, count));
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: closed form 1 - 0.05^(1/n); and the sample sizes for 95 % confidence that no more than 5 % are over with 0, 1, 2, 3
    // and 4 found over, which stand in every table of binomial acceptance sampling: 59, 93, 124, 153, 181.
    #[test]
    fn few_enough_over_is_within_from_the_tabled_numbers_on() {
        assert!((at_most_share(0, 59) - (1.0 - 0.05f64.powf(1.0 / 59.0))).abs() < 1e-12);
        assert!(at_most_share(0, 59) < 0.0496);
        assert_eq!(fewest_for_within(), 59);
        for (over, count) in [(0, 59), (1, 93), (2, 124), (3, 153), (4, 181)] {
            assert!(at_most_share(over, count) <= 0.05, "{over} of {count}");
            assert!(
                at_most_share(over, count - 1) > 0.05,
                "{over} of {count} - 1"
            );
        }
    }

    // ORACLE: independent working. At the bound, the chance of finding so few over is one in twenty; summed from the binomial
    // terms themselves.
    #[test]
    fn at_the_bound_so_few_are_found_once_in_twenty() {
        for (over, count) in [
            (0, 1),
            (0, 10),
            (1, 10),
            (3, 20),
            (9, 10),
            (7, 59),
            (40, 200),
        ] {
            let p = at_most_share(over, count);
            let mut term = (1.0 - p).powi(count as i32);
            let mut sum = term;
            for k in 0..over {
                term *= (count - k) as f64 / (k + 1) as f64 * p / (1.0 - p);
                sum += term;
            }
            assert!((sum - 0.05).abs() < 1e-9, "{over} of {count}: {sum}");
        }
        assert!((at_most_share(3, 3) - 1.0).abs() < 1e-12);
        assert!((at_most_share(0, 0) - 1.0).abs() < 1e-12);
    }
}
