//! Where the cells of a matrix lie in the room, and what its places are called.

use super::axis::Axis;
use super::cells::CellRule;
use super::lie::Lie;
use crate::survey::column_letters;
use ecow::{EcoString, eco_format};

/// Where the cells of a matrix lie in the room, and how they are read.
pub(super) struct Grid {
    pub across: Axis,
    pub along: Axis,
    pub lie: Lie,
    pub column_counts: Vec<u32>,
    pub row_counts: Vec<u32>,
    pub rule: CellRule,
}

/// The count of each heading from the left or from the near side, from 1, whichever way the sheet runs: the
/// field sheet has its far wall on top, and yet its first row of boxes is the near one.
pub(super) fn counts(places: &[Option<f64>]) -> Vec<u32> {
    let mut order: Vec<usize> = (0..places.len()).collect();
    let at = |i: usize| places[i].unwrap_or(f64::INFINITY);
    order.sort_by(|&a, &b| at(a).total_cmp(&at(b)).then(a.cmp(&b)));
    let mut out = vec![0; order.len()];
    for (count, i) in (1..).zip(order) {
        out[i] = count;
    }
    out
}

impl Grid {
    /// Name of a place on the grid: the letters first, the number behind. Counts stand in for headings that are distances.
    pub(super) fn label(&self, column: usize, row: usize) -> EcoString {
        let (across, along) = (&self.across, &self.along);
        let (column_count, row_count) = (self.column_counts[column], self.row_counts[row]);
        let name = |axis: &Axis, i: usize| {
            axis.marks[i]
                .as_ref()
                .and_then(|m| m.name.clone())
                .unwrap_or_default()
        };
        let lettered = |text: &str| text.starts_with(|c: char| c.is_alphabetic());
        match (across.named, along.named) {
            (true, true) => {
                let (c, r) = (name(across, column), name(along, row));
                if lettered(&r) && !lettered(&c) {
                    eco_format!("{r}{c}")
                } else if lettered(&c) && lettered(&r) {
                    eco_format!("{c}-{r}")
                } else if lettered(&c) {
                    eco_format!("{c}{r}")
                } else {
                    eco_format!("{}{r}", column_letters(column_count))
                }
            }
            (true, false) if lettered(&name(across, column)) => {
                eco_format!("{}{row_count}", name(across, column))
            }
            (false, true) if lettered(&name(along, row)) => {
                eco_format!("{}{column_count}", name(along, row))
            }
            _ => eco_format!("{}{row_count}", column_letters(column_count)),
        }
    }
}
