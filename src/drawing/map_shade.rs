//! Shades, contours and hatches of a map.

use super::bands;
use super::contours::{self, Contour};
use super::font::Weight;
use super::hatch::{Hatch, hatch};
use super::map::{Map, PLATE_BELOW, SMALL_CAP};
use super::ramp::Ink;
use super::scene::{Dash, PaperPoint, Rect, Role};
use crate::surface::Cover;
use crate::surface::LevelRing;

impl Map<'_> {
    /// Contour lines with values, broken under labels. `value` names a band's lower level.
    pub fn contours(
        &mut self,
        rings: &[LevelRing],
        first_band: usize,
        value: &dyn Fn(usize) -> String,
        ink_over: &dyn Fn(usize) -> Ink,
    ) {
        let lines: Vec<Contour> = contours::contours(rings, &self.view)
            .into_iter()
            .filter(|c| c.band >= first_band)
            .collect();
        for line in &lines {
            let words = value(line.band);
            let (w, h) = self.size_of(&words, SMALL_CAP, Weight::Regular);
            for r in contours::label_places(line, (w + 1.0, h + 0.4), &mut self.placer) {
                let inner = Rect {
                    left: r.left + 0.5,
                    right: r.right - 0.5,
                    top: r.top + 0.2,
                    bottom: r.bottom - 0.2,
                };
                if ink_over(line.band).lightness() < PLATE_BELOW {
                    self.signs.fill_rect(r, Ink::WHITE);
                }
                self.label(inner, &words, SMALL_CAP, Weight::Regular, Role::Contour);
            }
        }
        for line in lines {
            let mut run: Vec<PaperPoint> = Vec::new();
            for pair in line.points.windows(2) {
                for (a, b) in self.placer.uncovered(pair[0], pair[1]) {
                    if run.last() != Some(&a) && !run.is_empty() {
                        self.lines.line(
                            std::mem::take(&mut run),
                            contours::LINE_MM,
                            Ink::DARK,
                            Dash::Solid,
                        );
                    }
                    if run.is_empty() {
                        run.push(a);
                    }
                    run.push(b);
                }
            }
            self.lines
                .line(run, contours::LINE_MM, Ink::DARK, Dash::Solid);
        }
    }

    /// Shades between levels.
    pub fn bands(&mut self, rings: &[LevelRing], shades: &[Ink]) {
        let mut fills = bands::fill(rings, shades, &self.view);
        self.shade.shapes.append(&mut fills);
    }

    /// Light hatch over extended floor; crossed hatch and words over floor that was not surveyed.
    pub fn uncertain_floor(&mut self) {
        let floor = self.subject.floor;
        let view = self.view;
        let extended: Vec<Vec<PaperPoint>> = (0..floor.triangles().len() as u32)
            .filter(|&t| floor.cover(t) == Cover::Extended)
            .map(|t| floor.corners(t).iter().map(|v| view.at(v.at)).collect())
            .collect();
        hatch(&mut self.lines, &extended, Hatch::EXTENDED, &self.placer);
        self.not_surveyed();
    }

    /// Crossed hatch and words over floor that was not surveyed.
    pub fn not_surveyed(&mut self) {
        let (floor, view) = (self.subject.floor, self.view);
        let mut unsurveyed: Vec<Vec<PaperPoint>> = floor
            .unsurveyed()
            .map(|t| t.iter().map(|&p| view.at(p)).collect())
            .collect();
        // The words go where the largest pieces are.
        let area = |t: &Vec<PaperPoint>| {
            ((t[1].x - t[0].x) * (t[2].y - t[0].y) - (t[2].x - t[0].x) * (t[1].y - t[0].y)).abs()
        };
        unsurveyed.sort_by(|a, b| area(b).total_cmp(&area(a)));
        let words = "NOT SURVEYED";
        let (w, h) = self.size_of(words, SMALL_CAP, Weight::Bold);
        let spots: Vec<Rect> = unsurveyed
            .iter()
            .take(20)
            .map(|t| {
                let m = PaperPoint::new(
                    (t[0].x + t[1].x + t[2].x) / 3.0,
                    (t[0].y + t[1].y + t[2].y) / 3.0,
                );
                Rect::new(
                    m.shifted(-w / 2.0 - 0.6, -h / 2.0 - 0.6),
                    m.shifted(w / 2.0 + 0.6, h / 2.0 + 0.6),
                )
            })
            .collect();
        if let Some((_, r)) = self.placer.place(spots) {
            self.label(r.grown(-0.6), words, SMALL_CAP, Weight::Bold, Role::Thing);
        }
        hatch(
            &mut self.lines,
            &unsurveyed,
            Hatch::UNSURVEYED,
            &self.placer,
        );
    }

    /// Strong hatch over floor below the first level: it stands above the finish plane.
    pub fn above_plane(&mut self, rings: &[LevelRing], band: usize) {
        let area: Vec<Vec<PaperPoint>> = rings
            .iter()
            .filter(|r| r.band == 0 || r.band == band)
            .map(|r| self.view.ring(&r.points))
            .collect();
        hatch(&mut self.lines, &area, Hatch::ABOVE, &self.placer);
    }
}
