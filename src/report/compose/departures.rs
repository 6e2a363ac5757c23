//! The departure of the floor under the longest edge checked, with the numbered placements: for maps.

use crate::analysis::{Analysis, Flatness, Numbered, departure, usual_span_m};
use crate::drawing::EdgeMark;
use crate::flatness::{Departure, Ground, Joints, Limit, Searcher};
use crate::report::{Pen, words};
use crate::units::Habit;

/// The longest edge that a check lays, metres; the usual one where none lays any.
pub(super) fn longest_checked(f: &Flatness, habit: Habit) -> f64 {
    let longest = f
        .rules
        .iter()
        .flat_map(|r| &r.parts)
        .filter(|p| departure(p.procedure).is_some())
        .filter(|p| !matches!(p.limit, Limit::Curve(_)))
        .map(|p| p.span_m)
        .fold(0.0, f64::max);
    if longest > 0.0 {
        longest
    } else {
        usual_span_m(habit)
    }
}

/// The longest edge that a check laid and that was tested, metres; `None` where none was.
fn longest_tested(f: &Flatness) -> Option<f64> {
    f.checks
        .iter()
        .flat_map(|c| &c.parts)
        .filter(|p| p.measured().is_some() && departure(p.procedure).is_some())
        .map(|p| p.span_m)
        .reduce(f64::max)
}

/// Numbered placements and the largest dip (or hump) at each vertex, under the longest of their edges.
pub(super) struct Departures {
    pub heading: String,
    /// Nothing where no edge was tested: a map of gaps that nobody may rely on is not drawn.
    pub values_m: Option<Vec<f64>>,
    pub edges: Vec<EdgeMark>,
}

impl Departures {
    /// The dip map carries every numbered placement, the hump map its own.
    pub fn of(a: &Analysis, numbered: &[Numbered], departure: Departure) -> Self {
        let marked: Vec<&Numbered> = numbered
            .iter()
            .filter(|n| departure == Departure::Dip || n.departure == departure)
            .collect();
        let span_m = numbered
            .iter()
            .map(|n| n.span_m)
            .reduce(f64::max)
            .or_else(|| a.flatness.as_ref().and_then(longest_tested));
        // Where every rule stops at joints, a step at one is no departure and must not be shaded as one.
        let stops = a.flatness.as_ref().is_some_and(|f| {
            !f.rules.is_empty() && f.rules.iter().all(|r| r.joints == Joints::Stop)
        });
        let joints = if stops { Joints::Stop } else { Joints::Cross };
        let pen = Pen::new(a.settings.habit);
        let values_m = span_m.map(|span_m| {
            Searcher::new(&a.floor, departure, Ground::Surveyed, joints)
                .map(&a.floor, span_m)
                .into_iter()
                .map(|d| d.unwrap_or(0.0))
                .collect()
        });
        Self {
            heading: span_m.map_or_else(String::new, |span_m| match departure {
                Departure::Dip => words::plan::dip_under(&pen.span(span_m)),
                Departure::Hump => words::plan::hump_under(&pen.span(span_m)),
            }),
            values_m,
            edges: marked
                .into_iter()
                .map(|n| EdgeMark {
                    number: n.number as u32,
                    placement: n.placement,
                    departure: n.departure,
                })
                .collect(),
        }
    }

    /// What to read, as facts for the side of the map, where nothing was tested.
    pub fn to_read(&self, a: &Analysis) -> Vec<(String, String)> {
        let (None, Some(f)) = (&self.values_m, &a.flatness) else {
            return Vec::new();
        };
        let pen = Pen::new(a.settings.habit);
        let parts = || f.checks.iter().flat_map(|c| &c.parts);
        let every = parts()
            .filter_map(|p| p.to_read())
            .map(|r| r.every_m)
            .reduce(f64::min);
        let mut spans: Vec<String> = Vec::new();
        for text in parts().map(|p| pen.span(p.span_m)) {
            if !spans.contains(&text) {
                spans.push(text);
            }
        }
        let mut facts = vec![(words::plan::NOT_TESTED.to_owned(), spans.join(", "))];
        if let Some(every) = every {
            let closer = words::plan::or_closer(&pen.read_every(every));
            facts.push((words::plan::NEEDED.to_owned(), closer));
        }
        facts
    }
}
