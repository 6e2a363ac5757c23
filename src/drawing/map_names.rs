//! Names on a map: walls and doors outside, fixtures, voids and joints inside.

use super::font::Weight;
use super::labels::around;
use super::map::{Map, NAME_CAP, SMALL_CAP};
use super::plan::Extent;
use super::room;
use super::scene::{PaperPoint, Rect, Role, Text};
use crate::geometry::Point;

impl Map<'_> {
    /// Doors and walls by name, outside the room.
    pub fn wall_names(&mut self) {
        let Some(room) = self.subject.room else {
            return;
        };
        let n = self.outline.points().len();
        for (door, opening) in room.doors.iter().zip(self.openings.clone()) {
            let (side, t) = opening.place();
            let points = self.outline.points();
            let at = points[side].lerp(points[(side + 1) % n], t);
            self.beside_wall(side, at, &door.name, 3.4, Weight::Bold);
        }
        for wall in &room.walls {
            if let Some((side, t, _)) = room::nearest_side(self.outline, wall.at) {
                let points = self.outline.points();
                let at = points[side].lerp(points[(side + 1) % n], t);
                self.beside_wall(side, at, &wall.name, 1.2, Weight::Regular);
            }
        }
    }

    /// Fixtures, voids, sloped areas and joints by name.
    pub fn names(&mut self) {
        let Some(room) = self.subject.room else {
            return;
        };
        for fixture in &room.fixtures {
            let at = self.view.at(fixture.at);
            let (w, h) = self.size_of(&fixture.name, SMALL_CAP, Weight::Regular);
            self.name_at(&fixture.name, around(at, w, h, room::FIXTURE_MM + 1.2));
        }
        for area in room.voids.iter().chain(&room.slopes) {
            let (w, h) = self.size_of(&area.name, SMALL_CAP, Weight::Regular);
            let Some(e) = Extent::around(area.ring.points().iter().copied()) else {
                continue;
            };
            let r = Rect::new(self.view.at(e.low), self.view.at(e.high));
            let m = r.middle();
            let centred = |x: f64, y: f64| Rect {
                left: x - w / 2.0,
                right: x + w / 2.0,
                top: y - h / 2.0,
                bottom: y + h / 2.0,
            };
            let (dx, dy) = (
                r.width() / 2.0 + w / 2.0 + 1.0,
                r.height() / 2.0 + h / 2.0 + 1.0,
            );
            self.name_at(
                &area.name,
                [
                    centred(m.x, m.y),
                    centred(m.x, m.y - r.height() * 0.25),
                    centred(m.x, m.y + r.height() * 0.25),
                    centred(m.x, m.y - dy),
                    centred(m.x, m.y + dy),
                    centred(m.x + dx, m.y),
                    centred(m.x - dx, m.y),
                    centred(m.x + dx, m.y - dy),
                    centred(m.x - dx, m.y - dy),
                    centred(m.x + dx, m.y + dy),
                    centred(m.x - dx, m.y + dy),
                ],
            );
        }
        for joint in &room.joints {
            let points = self.view.line(joint.line.iter().copied());
            let (w, h) = self.size_of(&joint.name, SMALL_CAP, Weight::Regular);
            let spots: Vec<Rect> = points
                .windows(2)
                .flat_map(|p| [0.5, 0.3, 0.7, 0.15, 0.85].map(|t| p[0].lerp(p[1], t)))
                .flat_map(|p| around(p, w, h, 1.0))
                .collect();
            self.name_at(&joint.name, spots);
        }
    }

    fn name_at(&mut self, name: &str, candidates: impl IntoIterator<Item = Rect>) -> Option<usize> {
        let (which, r) = self.placer.place(candidates)?;
        // A name is small; on a dark shade it would drown.
        self.plate(r);
        self.label(r, name, SMALL_CAP, Weight::Regular, Role::Thing);
        Some(which)
    }

    /// A name outside a wall, slid along it until it is free; upward beside an upright wall.
    fn beside_wall(&mut self, side: usize, at: Point, name: &str, off_mm: f64, weight: Weight) {
        let points = self.outline.points();
        let (a, b) = (points[side], points[(side + 1) % points.len()]);
        let out = room::outward(self.outline, side);
        let upright = (b.x - a.x).abs() < (b.y - a.y).abs();
        let (w, h) = self.size_of(name, NAME_CAP, weight);
        let (half_x, half_y) = if upright {
            (h / 2.0, w / 2.0)
        } else {
            (w / 2.0, h / 2.0)
        };
        let along = (b - a) * (1.0 / a.distance(b));
        let foot = self.view.at(at);
        let reach = self.view.mm(a.distance(b)) / 2.0;
        let candidates: Vec<Rect> = (0..60)
            .map(|i| {
                let turn = f64::from((i + 1) / 2) * if i % 2 == 0 { 1.0 } else { -1.0 } * 2.0;
                turn.clamp(-reach, reach)
            })
            .map(|slide| {
                let push = off_mm + if upright { half_x } else { half_y };
                let m = foot.shifted(
                    out.x * push + along.x * slide,
                    -out.y * push - along.y * slide,
                );
                Rect::new(m.shifted(-half_x, -half_y), m.shifted(half_x, half_y))
            })
            .collect();
        let Some((_, r)) = self.placer.place(candidates) else {
            return;
        };
        let (up, down) = super::font::reach_mm(name, NAME_CAP);
        let at = if upright {
            PaperPoint::new(r.left + up, r.bottom)
        } else {
            PaperPoint::new(r.left, r.bottom - down)
        };
        self.labels.text(
            Text {
                weight,
                ..Text::new(at, name, NAME_CAP, Role::Wall)
            }
            .turned(upright),
        );
    }
}
