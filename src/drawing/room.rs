//! Walls, doors, voids, fixtures and joints on the plan.

use super::labels::Placer;
use super::plan::View;
use super::ramp::Ink;
use super::scene::{Dash, PaperPoint, Rect, Scene};
use crate::geometry::{Point, Ring};
use crate::survey::{Door, Room};

/// Width of the line of a wall, and of a void's edge, millimetres.
const WALL_MM: f64 = 0.7;
const VOID_MM: f64 = 0.4;

/// A stretch of wall that a door leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Opening {
    /// Which side of the outline, from 0.
    side: usize,
    /// Where along it, as shares of the side.
    from: f64,
    to: f64,
}

impl Opening {
    /// Its side and the share along it of its middle.
    pub(super) fn place(&self) -> (usize, f64) {
        (self.side, (self.from + self.to) / 2.0)
    }
}

/// Each door's opening in the outline: on the side nearest to it.
pub(super) fn openings(outline: &Ring, doors: &[Door]) -> Vec<Opening> {
    doors
        .iter()
        .filter_map(|door| {
            let (side, t, length) = nearest_side(outline, door.at)?;
            let half = door.width_m / 2.0 / length;
            Some(Opening {
                side,
                from: (t - half).max(0.0),
                to: (t + half).min(1.0),
            })
        })
        .collect()
}

/// The side nearest to a point: its index, the foot's share along it, its length.
pub(super) fn nearest_side(outline: &Ring, p: Point) -> Option<(usize, f64, f64)> {
    outline
        .sides()
        .enumerate()
        .filter_map(|(i, (a, b))| {
            let d = b - a;
            let length = d.norm();
            if length == 0.0 {
                return None;
            }
            let t = ((p - a).dot(d) / (length * length)).clamp(0.0, 1.0);
            Some((p.distance(a.lerp(b, t)), i, t, length))
        })
        .min_by(|x, y| x.0.total_cmp(&y.0))
        .map(|(_, i, t, length)| (i, t, length))
}

/// Unit vector out of the room, square to a side of a counter-clockwise outline.
pub(super) fn outward(outline: &Ring, side: usize) -> Point {
    let points = outline.points();
    let d = points[(side + 1) % points.len()] - points[side];
    let n = d.norm();
    Point::new(d.y / n, -d.x / n)
}

/// The wall line, open at the doors, with jambs.
pub(super) fn walls(scene: &mut Scene, view: &View, outline: &Ring, openings: &[Opening]) {
    let points = outline.points();
    let n = points.len();
    let mut runs: Vec<Vec<PaperPoint>> = vec![Vec::new()];
    let mut jambs = Vec::new();
    for side in 0..n {
        let (a, b) = (points[side], points[(side + 1) % n]);
        let mut gaps: Vec<(f64, f64)> = openings
            .iter()
            .filter(|o| o.side == side)
            .map(|o| (o.from, o.to))
            .collect();
        gaps.sort_by(|x, y| x.0.total_cmp(&y.0));
        push(&mut runs, view.at(a));
        for (from, to) in gaps {
            let out = outward(outline, side);
            for t in [from, to] {
                jambs.push((a.lerp(b, t), out));
            }
            push(&mut runs, view.at(a.lerp(b, from)));
            runs.push(vec![view.at(a.lerp(b, to))]);
        }
        push(&mut runs, view.at(b));
    }
    // The outline closes: what was begun first goes on where the last run ends.
    if runs.len() > 1 {
        let first = std::mem::take(&mut runs[0]);
        if let Some(last) = runs.last_mut() {
            last.extend(first.into_iter().skip(1));
        }
    } else if let (Some(&a), Some(&b)) = (runs[0].first(), runs[0].get(1)) {
        // A corner drawn as an inside corner, not as two ends.
        runs[0].push(a.lerp(b, 0.01));
    }
    for run in runs.into_iter().filter(|r| r.len() > 1) {
        scene.line(run, WALL_MM, Ink::BLACK, Dash::Solid);
    }
    for (p, out) in jambs {
        let at = view.at(p);
        scene.segment(
            at.shifted(-out.x * 0.8, out.y * 0.8),
            at.shifted(out.x * 1.6, -out.y * 1.6),
            WALL_MM,
            Ink::BLACK,
        );
    }
}

fn push(runs: &mut [Vec<PaperPoint>], p: PaperPoint) {
    if let Some(run) = runs.last_mut()
        && run.last() != Some(&p)
    {
        run.push(p);
    }
}

/// Dashed threshold and an arrow into the room at each door.
pub(super) fn thresholds(scene: &mut Scene, view: &View, outline: &Ring, openings: &[Opening]) {
    let points = outline.points();
    for o in openings {
        let (a, b) = (points[o.side], points[(o.side + 1) % points.len()]);
        let (p, q) = (view.at(a.lerp(b, o.from)), view.at(a.lerp(b, o.to)));
        scene.line(vec![p, q], 0.2, Ink::BLACK, Dash::Broken(1.0, 0.8));
        let out = outward(outline, o.side);
        let mid = p.lerp(q, 0.5).shifted(out.x * 0.6, -out.y * 0.6);
        let foot = mid.shifted(out.x * 2.0, -out.y * 2.0);
        let (dx, dy) = (out.y * 1.2, out.x * 1.2);
        scene.fill(
            vec![mid, foot.shifted(dx, dy), foot.shifted(-dx, -dy)],
            Ink::BLACK,
        );
    }
}

/// Voids: paper with an edge and crossed corners, as an opening or a thing that stands there.
pub(super) fn voids(scene: &mut Scene, view: &View, room: &Room) {
    for void in &room.voids {
        let ring = view.ring(void.ring.points());
        scene.group("void", Some(&void.name), |scene| {
            scene.fill(ring.clone(), Ink::FAINT);
            closed(scene, &ring, VOID_MM, Dash::Solid);
            if let [a, b, c, d] = ring[..] {
                scene.segment(a, c, 0.15, Ink::GREY);
                scene.segment(b, d, 0.15, Ink::GREY);
            }
        });
    }
    for slope in &room.slopes {
        let ring = view.ring(slope.ring.points());
        scene.group("slope", Some(&slope.name), |scene| {
            scene.fill(ring.clone(), Ink::WHITE);
            closed(scene, &ring, VOID_MM, Dash::Broken(2.0, 1.0));
        });
    }
}

/// Joints: long dashes; a movement joint, which must stay open, with dots between. Broken under labels.
pub(super) fn joints(scene: &mut Scene, view: &View, labels: &Placer, room: &Room) {
    for joint in &room.joints {
        let dash = if joint.movement {
            Dash::DashDot
        } else {
            Dash::Broken(4.0, 1.0)
        };
        scene.group("joint", Some(&joint.name), |scene| {
            for pair in view.line(joint.line.iter().copied()).windows(2) {
                for (a, b) in labels.uncovered(pair[0], pair[1]) {
                    scene.line(vec![a, b], 0.35, Ink::BLACK, dash);
                }
            }
        });
    }
}

/// Fixtures: a small open square; a drain as a circle with a cross.
pub(super) fn fixtures(scene: &mut Scene, view: &View, room: &Room) {
    for fixture in &room.fixtures {
        let at = view.at(fixture.at);
        let r = FIXTURE_MM;
        scene.group("fixture", Some(&fixture.name), |scene| {
            if fixture.drain {
                scene.disc(at, r, Ink::WHITE);
                scene.circle(at, r, 0.3, Ink::BLACK);
                scene.segment(at.shifted(-r, 0.0), at.shifted(r, 0.0), 0.2, Ink::BLACK);
                scene.segment(at.shifted(0.0, -r), at.shifted(0.0, r), 0.2, Ink::BLACK);
            } else {
                let square = Rect::new(at.shifted(-r, -r), at.shifted(r, r));
                scene.fill_rect(square, Ink::WHITE);
                scene.frame(square, 0.3, Ink::BLACK);
            }
        });
    }
}

/// Half the size of a fixture's sign, millimetres.
pub(super) const FIXTURE_MM: f64 = 1.3;

fn closed(scene: &mut Scene, ring: &[PaperPoint], width_mm: f64, dash: Dash) {
    let mut points = ring.to_vec();
    if let (Some(&a), Some(&b)) = (ring.first(), ring.get(1)) {
        points.push(a);
        if dash == Dash::Solid {
            points.push(a.lerp(b, 0.01));
        }
    }
    scene.line(points, width_mm, Ink::BLACK, dash);
}
