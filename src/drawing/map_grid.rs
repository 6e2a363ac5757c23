//! Grid lines of a map with their names and distances, and its overall dimensions.

use super::figures::distance;
use super::grid::Grid;
use super::map::{Map, NAME_CAP, SMALL_CAP};
use super::ramp::Ink;
use super::scene::{Anchor, PaperPoint, Rect, Role, Text};
use crate::geometry::Point;

/// How far outside the room grid lines end, and how far the overall dimensions run, millimetres.
const GRID_OFF: f64 = 7.0;
const OVERALL_OFF: f64 = 14.0;

impl Map<'_> {
    /// Names of grid lines at the left and the top, distances from the left and the bottom wall at the
    /// bottom and the right, length and width of the whole outside. Their lines come with
    /// [`Map::grid_lines`], broken under labels.
    pub fn grid(&mut self) {
        let grid = Grid::of(self.subject.readings);
        let room = self.view.rect();
        let e = self.view.extent;
        for line in &grid.upright {
            let x = self.view.at(Point::new(line.at_m, e.low.y)).x;
            let (head, foot) = (
                PaperPoint::new(x, room.top - GRID_OFF),
                PaperPoint::new(x, room.bottom + GRID_OFF),
            );
            self.grid_lines.push((head, foot));
            let name = Text::new(head.shifted(0.0, -0.8), &line.name, NAME_CAP, Role::Grid);
            self.fixed_label(name.anchored(Anchor::Middle).inked(Ink::DARK));
            let words = distance(line.at_m - e.low.x, self.style.habit);
            let at = foot.shifted(0.0, SMALL_CAP + 0.8);
            self.fixed_label(
                Text::new(at, words, SMALL_CAP, Role::Dimension).anchored(Anchor::Middle),
            );
        }
        for line in &grid.level {
            let y = self.view.at(Point::new(e.low.x, line.at_m)).y;
            let (head, foot) = (
                PaperPoint::new(room.left - GRID_OFF, y),
                PaperPoint::new(room.right + GRID_OFF, y),
            );
            self.grid_lines.push((head, foot));
            let at = head.shifted(-0.8, NAME_CAP / 2.0);
            let name = Text::new(at, &line.name, NAME_CAP, Role::Grid);
            self.fixed_label(name.anchored(Anchor::End).inked(Ink::DARK));
            let words = distance(line.at_m - e.low.y, self.style.habit);
            let at = foot.shifted(0.8, SMALL_CAP / 2.0);
            self.fixed_label(Text::new(at, words, SMALL_CAP, Role::Dimension));
        }
        self.overall();
    }

    /// A label that has one place only: left out where something stands there already.
    fn fixed_label(&mut self, text: Text) {
        let r = text.rect(self.face);
        let (dx, dy) = if text.upward { (0.0, 0.6) } else { (0.6, 0.25) };
        let spaced = Rect {
            left: r.left - dx,
            right: r.right + dx,
            top: r.top - dy,
            bottom: r.bottom + dy,
        };
        if self.placer.place([spaced]).is_some() {
            self.labels.text(text);
        }
    }

    /// The grid's lines.
    pub fn grid_lines(&mut self) {
        for (head, foot) in std::mem::take(&mut self.grid_lines) {
            for (a, b) in self.placer.uncovered(head, foot) {
                self.lines.segment(a, b, 0.1, Ink::GREY);
            }
        }
    }

    /// Length and width of the whole, with end strokes.
    fn overall(&mut self) {
        let room = self.view.rect();
        let (w, h) = self.view.extent.size_m();
        let unit = match self.style.habit {
            crate::units::Habit::Us => "",
            crate::units::Habit::Metric => " m",
        };
        let (x, y) = (room.left - OVERALL_OFF, room.top - OVERALL_OFF + 0.8);
        for (upright, length) in [(false, w), (true, h)] {
            let words = format!("{}{unit}", distance(length, self.style.habit));
            let (a, b) = if upright {
                (
                    PaperPoint::new(x, room.bottom),
                    PaperPoint::new(x, room.top),
                )
            } else {
                (
                    PaperPoint::new(room.left, y),
                    PaperPoint::new(room.right, y),
                )
            };
            let m = a.lerp(b, 0.5);
            let at = if upright {
                m.shifted(NAME_CAP / 2.0, 0.0)
            } else {
                m.shifted(0.0, NAME_CAP / 2.0)
            };
            let text = Text::new(at, words, NAME_CAP, Role::Dimension)
                .anchored(Anchor::Middle)
                .turned(upright);
            self.fixed_label(text);
            for (a, b) in self.placer.uncovered(a, b) {
                self.lines.segment(a, b, 0.15, Ink::BLACK);
            }
            for end in [a, b] {
                // The slanted end strokes of building drawings.
                self.lines.segment(
                    end.shifted(-0.9, 0.9),
                    end.shifted(0.9, -0.9),
                    0.35,
                    Ink::BLACK,
                );
            }
        }
    }
}
