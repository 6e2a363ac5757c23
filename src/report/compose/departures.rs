//! The departure of the floor under the longest edge, with the numbered placements, as a map shows it.

use crate::analysis::{Analysis, Departures, Numbered};
use crate::drawing::EdgeMark;
use crate::flatness::{Departure, Lengths};
use crate::report::{Pen, words};

/// Numbered placements and the largest dip (or hump) at each vertex, under the longest of their edges.
pub(super) struct MarkedEdges {
    pub heading: String,
    /// Nothing where no edge was tested: a map of gaps that nobody may rely on is not drawn.
    pub values_m: Option<Vec<f64>>,
    pub edges: Vec<EdgeMark>,
}

impl MarkedEdges {
    /// The dip map carries every numbered placement, the hump map its own.
    pub fn of(a: &Analysis, numbered: &[Numbered], departure: Departure) -> Self {
        let marked: Vec<&Numbered> = numbered
            .iter()
            .filter(|n| departure == Departure::Dip || n.departure == departure)
            .collect();
        let under = Departures::of(a, numbered, departure);
        let pen = Pen::new(a.settings.habit);
        Self {
            heading: under.as_ref().map_or_else(String::new, |under| {
                let span = pen.span(under.span_m);
                match (departure, under.lengths) {
                    (Departure::Dip, Lengths::UpTo) => words::plan::dip_under(&span),
                    (Departure::Hump, Lengths::UpTo) => words::plan::hump_under(&span),
                    (Departure::Dip, Lengths::Whole) => words::plan::hollow_on_blocks(&span),
                    (Departure::Hump, Lengths::Whole) => words::plan::hump_on_blocks(&span),
                }
            }),
            values_m: under.map(|under| under.values_m),
            edges: marked.into_iter().map(edge_mark).collect(),
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
            .filter_map(|r| r.every_m)
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

/// A numbered placement as a map draws it.
pub fn edge_mark(n: &Numbered) -> EdgeMark {
    EdgeMark {
        number: n.number as u32,
        placement: n.placement,
        departure: n.departure,
    }
}
