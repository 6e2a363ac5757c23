//! The coordinates of a plot: plotters' own, with steps that suit feet and sixteenths.

use super::scene::{PaperPoint, Rect};
use plotters::coord::CoordTranslate;
use plotters::coord::cartesian::{Cartesian2d, MeshLine};
use plotters::coord::combinators::{BindKeyPoints, WithKeyPoints};
use plotters::coord::ranged1d::BoldPoints;
use plotters::coord::types::RangedCoordf64;
use std::convert::Infallible;
use std::ops::Range;

/// Plotters places by whole numbers; this many of them make a millimetre, so that no rounding is seen.
const PARTS_PER_MM: f64 = 1000.0;

/// An axis: from where to where, and the values that carry a figure.
pub(super) type Axis = WithKeyPoints<RangedCoordf64>;

/// An axis with figures at `ticks`.
pub(super) fn axis(range: Range<f64>, ticks: impl Iterator<Item = f64>) -> Axis {
    range.with_key_points(ticks.collect())
}

/// A plot's area and what its places mean.
pub(super) struct Chart {
    pub area: Rect,
    coords: Cartesian2d<Axis, Axis>,
}

/// A line of the mesh, from the axis on which its value is told.
pub(super) enum Mesh {
    /// At a value of the axis along the bottom, upwards.
    Up(PaperPoint, PaperPoint, f64),
    /// At a value of the axis at the left, across.
    Across(PaperPoint, PaperPoint, f64),
}

impl Chart {
    /// With `along` from left to right and `up` from bottom to top of `area`.
    pub fn new(area: Rect, along: Axis, up: Axis) -> Self {
        let part = |mm: f64| (mm * PARTS_PER_MM).round() as i32;
        let (x, y) = (
            part(area.left)..part(area.right),
            part(area.bottom)..part(area.top),
        );
        Self {
            area,
            coords: Cartesian2d::new(along, up, (x, y)),
        }
    }

    /// Where a pair of values falls on the sheet.
    pub fn at(&self, along: f64, up: f64) -> PaperPoint {
        paper(self.coords.translate(&(along, up)))
    }

    /// The lines of the mesh, upright ones first.
    pub fn mesh(&self) -> Vec<Mesh> {
        let mut lines = Vec::new();
        // The ticks are our own: how many plotters would take does not matter.
        let all = || BoldPoints(usize::MAX);
        let drawn: Result<(), Infallible> = self.coords.draw_mesh(all(), all(), |line| {
            lines.push(match line {
                MeshLine::XMesh(from, to, &value) => Mesh::Up(paper(from), paper(to), value),
                MeshLine::YMesh(from, to, &value) => Mesh::Across(paper(from), paper(to), value),
            });
            Ok(())
        });
        match drawn {
            Ok(()) => lines,
        }
    }
}

fn paper((x, y): (i32, i32)) -> PaperPoint {
    PaperPoint::new(f64::from(x) / PARTS_PER_MM, f64::from(y) / PARTS_PER_MM)
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand: 0 to 4 on 80 mm is 20 mm a unit; 0 to 10 on 50 mm is 5 mm a unit, upwards
    #[test]
    fn values_fall_where_the_axes_say() {
        let area = Rect {
            left: 10.0,
            top: 5.0,
            right: 90.0,
            bottom: 55.0,
        };
        let chart = Chart::new(
            area,
            axis(0.0..4.0, [0.0, 2.0].into_iter()),
            axis(0.0..10.0, [5.0].into_iter()),
        );
        for (values, (x, y)) in [
            ((0.0, 0.0), (10.0, 55.0)),
            ((4.0, 10.0), (90.0, 5.0)),
            ((1.0, 3.0), (30.0, 40.0)),
        ] {
            let at = chart.at(values.0, values.1);
            assert!(at.distance(PaperPoint::new(x, y)) < 0.002, "{at:?}");
        }
        let told: Vec<(bool, f64)> = chart
            .mesh()
            .into_iter()
            .map(|line| match line {
                Mesh::Up(_, _, value) => (true, value),
                Mesh::Across(_, _, value) => (false, value),
            })
            .collect();
        assert_eq!(told, [(true, 0.0), (true, 2.0), (false, 5.0)]);
    }
}
