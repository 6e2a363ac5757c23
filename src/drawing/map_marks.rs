//! Dots and numbers at the readings of a map; its high and low point.

use super::font::Weight;
use super::key;
use super::labels::around;
use super::map::{Map, PLATE_BELOW};
use super::marks::{self, MarkStyle};
use super::ramp::Ink;
use super::scene::{Rect, Role};
use crate::geometry::Point;

/// Paper kept free on either side of a number, as a share of the height of its capitals: two that meet would be read as one.
const APART: f64 = 0.16;

/// More ties than this are not all marked.
const MOST_TIES: usize = 12;

impl Map<'_> {
    /// Keeps names and values off the dots of the readings chosen.
    pub fn block_dots(&mut self, chosen: &[usize]) {
        let r = marks::DOT_MM;
        for &i in chosen {
            let at = self.view.at(self.spots[i]);
            self.placer
                .block(Rect::new(at.shifted(-r, -r), at.shifted(r, r)));
        }
    }

    /// X at the high point and circle at the low point, each with its number.
    pub fn extremes(
        &mut self,
        number: &dyn Fn(Point) -> Option<String>,
        cap_mm: f64,
        inks: &dyn Fn(Point) -> Ink,
    ) {
        let cap_mm = cap_mm.max(2.4);
        let both = [
            (self.subject.high, Role::High, key::HIGH_MM),
            (self.subject.low, Role::Low, key::LOW_MM),
        ];
        for (points, _, r) in both {
            for &p in points.iter().take(MOST_TIES) {
                let at = self.view.at(p);
                self.placer
                    .block(Rect::new(at.shifted(-r, -r), at.shifted(r, r)));
            }
        }
        for (points, role, r) in both {
            for &p in points.iter().take(MOST_TIES) {
                let at = self.view.at(p);
                match role {
                    Role::High => key::high(&mut self.signs, at),
                    _ => key::low(&mut self.signs, at),
                }
                let Some(words) = number(p) else {
                    continue;
                };
                let (w, h) = self.number_size(&words, cap_mm);
                let gap = r + 0.9;
                let spots = around(at, w, h, gap);
                let inside = self.inside(&spots);
                if let Some((_, r)) = self.placer.place(inside.into_iter().chain(spots)) {
                    self.number(r, &words, cap_mm, role, inks(p));
                }
            }
        }
    }

    /// Width of a number. A page is read in letters of which one thing is known: that no figure is much wider than our
    /// widest. Ours are not all as wide.
    pub fn number_width(&self, words: &str, cap_mm: f64) -> f64 {
        let width = |words: &str| self.face.width_mm(words, cap_mm, Weight::Bold);
        if self.for_page {
            width(&words.replace(|c: char| c.is_ascii_digit(), "0"))
        } else {
            width(words)
        }
    }

    /// Size of a number's box, with what stays free on either side.
    fn number_size(&self, words: &str, cap_mm: f64) -> (f64, f64) {
        let (_, h) = self.size_of(words, cap_mm, Weight::Bold);
        (self.number_width(words, cap_mm) + 2.0 * APART * cap_mm, h)
    }

    /// Writes a number into its box.
    fn number(&mut self, r: Rect, words: &str, cap_mm: f64, role: Role, ground: Ink) {
        let own = Rect {
            left: r.left + APART * cap_mm,
            right: r.right - APART * cap_mm,
            ..r
        };
        if ground.lightness() < PLATE_BELOW {
            self.plate(own);
        }
        let spare = own.width() - self.size_of(words, cap_mm, Weight::Bold).0;
        let middle = Rect {
            left: own.left + spare / 2.0,
            right: own.right - spare / 2.0,
            ..own
        };
        self.label(middle, words, cap_mm, Weight::Bold, role);
    }

    /// Candidates whose middle is floor first; a number beyond the wall is read as another room's.
    fn inside(&self, candidates: &[Rect]) -> Vec<Rect> {
        let region = self.subject.floor.region();
        candidates
            .iter()
            .copied()
            .filter(|c| region.contains(self.view.plan(c.middle())))
            .collect()
    }

    /// Dots and numbers at the readings chosen; `number` and `inks` are asked by a reading's index. Returns how many numbers stand on the sheet, those of the
    /// high and the low point included.
    pub fn marks(
        &mut self,
        style: MarkStyle,
        chosen: &[usize],
        number: &dyn Fn(usize) -> String,
        inks: &dyn Fn(usize) -> Ink,
    ) -> usize {
        let places = self.spots.clone();
        let mut shown = 0;
        let extreme = |p: Point| {
            let near = |q: &Point| q.distance(p) < 1e-6;
            self.subject.high.iter().take(MOST_TIES).any(near)
                || self.subject.low.iter().take(MOST_TIES).any(near)
        };
        let extremes: Vec<bool> = chosen.iter().map(|&i| extreme(places[i])).collect();
        for (&i, extreme) in chosen.iter().zip(extremes) {
            if extreme {
                continue;
            }
            let at = self.view.at(places[i]);
            let words = number(i);
            let (w, h) = self.number_size(&words, style.cap_mm);
            let spots = around(at, w, h, marks::DOT_MM + 0.55);
            let inside = self.inside(&spots);
            // Where no wall is known, nothing lies beyond it that could be mistaken.
            let beyond = spots.into_iter().filter(|_| self.subject.room.is_none());
            if let Some((_, r)) = self.placer.place(inside.into_iter().chain(beyond)) {
                self.number(r, &words, style.cap_mm, Role::Mark, inks(i));
                shown += 1;
            }
        }
        self.dots_at(chosen);
        shown
            + self
                .labels
                .texts()
                .filter(|t| matches!(t.role, Role::High | Role::Low))
                .count()
    }

    /// A dot at each of the readings chosen.
    fn dots_at(&mut self, chosen: &[usize]) {
        for &i in chosen {
            let at = self.view.at(self.spots[i]);
            self.signs.disc(at, marks::DOT_MM, Ink::BLACK);
        }
    }

    /// A dot at every reading without numbers; as many as do not run together.
    pub fn dots(&mut self) {
        let places = self.spots.clone();
        let spacing = self.subject.floor.spacing();
        let every = (marks::DOTS_APART_MM / self.view.mm(spacing).max(1e-9)).ceil() as usize;
        let mut chosen = marks::chosen(&places, spacing, every.max(1));
        // A dot must not strike through a label.
        chosen.retain(|&i| {
            let (at, r) = (self.view.at(places[i]), marks::DOT_MM);
            let dot = Rect::new(at.shifted(-r, -r), at.shifted(r, r));
            !self.placer.is_covered(&dot)
        });
        self.dots_at(&chosen);
    }
}
