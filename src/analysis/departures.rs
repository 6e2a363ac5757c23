//! How far the floor departs from the longest edge at each place, and which floor can be judged under it: for maps.

use super::analyse::Analysis;
use super::flat::{Flatness, usual_span_m};
use super::placements::{Numbered, departure};
use crate::flatness::coverage::{Coverage, coverage, unjudged};
use crate::flatness::{Departure, Ground, Joints, Lengths, Limit, PartResult, Searcher};
use crate::geometry::Point;
use crate::units::Habit;

/// The largest dip (or hump) at each vertex of the floor under edges of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct Departures {
    /// Length of the edge, metres.
    pub span_m: f64,
    /// Whether shorter ones count: not where all edges so long that were tested stand on blocks.
    pub lengths: Lengths,
    /// Metres, by vertex.
    pub values_m: Vec<f64>,
}

impl Departures {
    /// Under the longest edge of the numbered placements, or the longest that a check laid and that was tested; `None` where
    /// none was: gaps that nobody may rely on are not worked out.
    pub fn of(a: &Analysis, numbered: &[Numbered], departure: Departure) -> Option<Self> {
        let span_m = numbered
            .iter()
            .map(|n| n.span_m)
            .reduce(f64::max)
            .or_else(|| a.flatness.as_ref().and_then(longest_tested))?;
        // Where every rule stops at joints, a step at one is no departure and must not be shaded as one.
        let stops = a.flatness.as_ref().is_some_and(|f| {
            !f.rules.is_empty() && f.rules.iter().all(|r| r.joints == Joints::Stop)
        });
        let joints = if stops { Joints::Stop } else { Joints::Cross };
        let lengths = a
            .flatness
            .as_ref()
            .map_or(Lengths::UpTo, |f| lengths_at(f, span_m));
        let values_m = Searcher::new(&a.floor, departure, Ground::Surveyed, joints)
            .with_lengths(lengths)
            .map(&a.floor, span_m)
            .into_iter()
            .map(|d| d.unwrap_or(0.0))
            .collect();
        Some(Self {
            span_m,
            lengths,
            values_m,
        })
    }
}

/// Which floor the readings can judge under the longest edge checked.
#[derive(Debug, Clone)]
pub struct Covered {
    /// Length of the edge, metres.
    pub span_m: f64,
    /// What can be judged under it.
    pub coverage: Coverage,
}

impl Covered {
    /// `None` where flatness was not worked out.
    pub fn of(a: &Analysis) -> Option<Self> {
        let span_m = longest_checked(a.flatness.as_ref()?, a.settings.habit);
        Some(Self {
            span_m,
            coverage: coverage(&a.floor, Ground::Surveyed, span_m),
        })
    }
}

/// Floor that is neither judged under the longest edge checked nor left aside.
#[derive(Debug, Clone)]
pub struct Unjudged {
    /// Length of the edge, metres.
    pub span_m: f64,
    /// It, in pieces.
    pub pieces: Vec<[Point; 3]>,
}

impl Unjudged {
    /// `None` where flatness was not worked out, no check lays an edge, or nothing lacks.
    pub fn of(a: &Analysis) -> Option<Self> {
        let span_m = longest_laid(a.flatness.as_ref()?)?;
        let pieces = unjudged(&a.floor, Ground::Surveyed, span_m);
        (!pieces.is_empty()).then_some(Self { span_m, pieces })
    }
}

/// The longest edge that a check lays, metres; the usual one where none lays any.
fn longest_checked(f: &Flatness, habit: Habit) -> f64 {
    longest_laid(f).unwrap_or_else(|| usual_span_m(habit))
}

/// The longest edge that a check lays, metres.
fn longest_laid(f: &Flatness) -> Option<f64> {
    f.rules
        .iter()
        .flat_map(|r| &r.parts)
        .filter(|p| departure(p.procedure).is_some())
        .filter(|p| !matches!(p.limit, Limit::Curve(_)))
        .map(|p| p.span_m)
        .filter(|m| *m > 0.0)
        .reduce(f64::max)
}

/// Parts that a check laid an edge for and that were tested.
fn tested(f: &Flatness) -> impl Iterator<Item = &PartResult> {
    f.checks
        .iter()
        .flat_map(|c| &c.parts)
        .filter(|p| p.measured().is_some() && departure(p.procedure).is_some())
}

/// The longest edge that a check laid and that was tested, metres; `None` where none was.
fn longest_tested(f: &Flatness) -> Option<f64> {
    tested(f).map(|p| p.span_m).reduce(f64::max)
}

/// Which chords of edges of a length were tested: whole ones alone where every such edge stood on blocks.
fn lengths_at(f: &Flatness, span_m: f64) -> Lengths {
    let mut parts = tested(f)
        .filter(|p| (p.span_m - span_m).abs() < 1e-6)
        .peekable();
    let some = parts.peek().is_some();
    if some && parts.all(|p| p.procedure.lengths() == Lengths::Whole) {
        Lengths::Whole
    } else {
        Lengths::UpTo
    }
}
