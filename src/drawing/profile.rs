//! The floor under one placed edge, cut along it.

use super::DrawingError;
use super::axis::{plan_step, ticks};
use super::chart::{self, Chart, Mesh};
use super::edges;
use super::figures::{MarkUnit, plain, plan_unit};
use super::font::{Typeface, Weight};
use super::labels::Placer;
use super::ramp::Ink;
use super::scene::{Anchor, Dash, PaperPoint, Rect, Role, Scene, Text};
use crate::flatness::Departure;
use crate::units::Habit;

/// What a profile shows. Distances run along the cut, metres.
#[derive(Debug, Clone)]
pub struct ProfileInput<'a> {
    /// Title over the drawing; empty for none.
    pub title: &'a str,
    /// Distance along and height of the floor, by ascending distance.
    pub floor: &'a [(f64, f64)],
    /// Where the edge touches, or the ends of the span for a hump.
    pub ends_m: (f64, f64),
    /// Where the floor is farthest from the edge.
    pub at_m: f64,
    /// Vertical gap there, metres.
    pub gap_m: f64,
    /// Dip or hump.
    pub departure: Departure,
    /// Names of the two ends of the cut; empty for none.
    pub names: (&'a str, &'a str),
    /// Unit of the gap.
    pub unit: MarkUnit,
    /// Habit of distances.
    pub habit: Habit,
    /// Width and height on paper, millimetres.
    pub size_mm: (f64, f64),
}

const CAP: f64 = 2.0;

/// The cut with the edge level, heights exaggerated by a stated round factor.
///
/// # Units, datum, sign
/// Heights are drawn from the chord between the two ends: the edge lies level on the drawing whatever
/// the fall of the floor, which is left out and therefore not to be read off it.
/// # Errors
/// [`DrawingError::Empty`] with fewer than two floor points or ends that coincide;
/// [`DrawingError::NotFinite`].
pub fn profile(input: &ProfileInput<'_>) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    check(input)?;
    let (a, b) = input.ends_m;
    // At a joint the floor has two heights. What carries the edge is the upper one, and the gap goes down to the lower;
    // a line under a hump is the other way about.
    let carries = |d: f64| {
        let (low, high) = heights(input.floor, d);
        match input.departure {
            Departure::Dip => (high, low),
            Departure::Hump => (low, high),
        }
    };
    let (za, zb) = (carries(a).0, carries(b).0);
    let off = |d: f64, z: f64| z - (za + (zb - za) * (d - a) / (b - a));
    let line: Vec<(f64, f64)> = input.floor.iter().map(|&(d, z)| (d, off(d, z))).collect();

    let (w, h) = input.size_mm;
    let area = cut_area(input);
    let (from, to) = (line[0].0, line[line.len() - 1].0);
    let length_m = (to - from).max(1e-9);
    let across = area.width() / length_m;
    let (lowest, highest) = line
        .iter()
        .fold((0.0_f64, 0.0_f64), |(l, t), p| (l.min(p.1), t.max(p.1)));
    let exaggeration = exaggeration(area.height() * 0.85, across, highest - lowest);
    // The heights that the area holds; of what they leave free three tenths lie above the cut.
    let held = area.height() / (across * exaggeration);
    let top = highest + (held - (highest - lowest)) * 0.3;
    let (step, digits) = plan_step(input.habit, length_m);
    let cut = Chart::new(
        area,
        chart::axis(0.0..length_m, ticks(step, length_m)),
        chart::axis(top - held..top, std::iter::empty()),
    );
    let at = |d: f64, z: f64| cut.at(d - from, z);

    let mut scene = Scene::new(input.title, w, h);
    let floor: Vec<PaperPoint> =
        super::plan::thinned(&line.iter().map(|&(d, z)| at(d, z)).collect::<Vec<_>>());
    let mut ground = floor.clone();
    ground.push(PaperPoint::new(area.right, area.bottom));
    ground.push(PaperPoint::new(area.left, area.bottom));
    scene.fill(ground, Ink::FAINT);
    scene.line(floor.clone(), 0.5, Ink::BLACK, Dash::Solid);
    let (ea, eb) = (at(a, 0.0), at(b, 0.0));
    edge(&mut scene, input.departure, ea, eb);
    gap(
        &mut scene,
        &face,
        input,
        (
            at(input.at_m, 0.0),
            at(input.at_m, off(input.at_m, carries(input.at_m).1)),
        ),
        &Drawn {
            floor: &floor,
            ends: (ea, eb),
            area,
        },
    );
    axis(&mut scene, &face, input, &cut, digits);
    let note = super::words::exaggerated(&plain(exaggeration, 0));
    let text = Text::new(PaperPoint::new(w / 2.0, h - 1.2), note, 1.8, Role::Note);
    scene.text(text.anchored(Anchor::Middle));
    if !input.title.is_empty() {
        let title = face
            .wrap(input.title, w - 2.0, 2.3, Weight::Bold)
            .into_iter()
            .next()
            .unwrap_or_default();
        scene.text(Text::new(PaperPoint::new(1.0, 4.0), title, 2.3, Role::Title).bold());
    }
    Ok(scene)
}

/// Whether there is a cut to draw and every number of it is one.
fn check(input: &ProfileInput<'_>) -> Result<(), DrawingError> {
    let (a, b) = input.ends_m;
    if input.floor.len() < 2 || a == b {
        return Err(DrawingError::Empty {
            what: "the profile has fewer than two points, or its edge no length",
        });
    }
    let numbers = input.floor.iter().flat_map(|p| [p.0, p.1]);
    if numbers
        .chain([a, b, input.at_m, input.gap_m])
        .any(|v| !v.is_finite())
    {
        return Err(DrawingError::NotFinite {
            what: "a place or height of the profile",
        });
    }
    Ok(())
}

/// What title, axis and names leave for the cut.
fn cut_area(input: &ProfileInput<'_>) -> Rect {
    let (w, h) = input.size_mm;
    let top = if input.title.is_empty() { 2.0 } else { 8.0 };
    // Without names under the axis there is room for the figure above the edge.
    let named = !(input.names.0.is_empty() && input.names.1.is_empty());
    let (above, below) = if named { (3.5, 13.5) } else { (6.0, 10.0) };
    Rect {
        left: 3.0,
        top: top + above,
        right: w - 3.0,
        bottom: h - below,
    }
}

/// The edge between its two ends: a body that lies on the floor, or a line under a hump.
fn edge(scene: &mut Scene, departure: Departure, ea: PaperPoint, eb: PaperPoint) {
    match departure {
        Departure::Dip => {
            scene.segment(ea, eb, edges::EDGE_MM, Ink::BLACK);
            // The body of the edge above its lower face.
            scene.frame(Rect::new(ea.shifted(0.0, -2.2), eb), 0.25, Ink::BLACK);
            edges::contact(scene, ea);
            edges::contact(scene, eb);
        }
        Departure::Hump => {
            scene.line(vec![ea, eb], 0.35, Ink::BLACK, Dash::Broken(2.4, 1.2));
            for end in [ea, eb] {
                scene.segment(
                    end.shifted(0.0, -1.4),
                    end.shifted(0.0, 1.4),
                    0.4,
                    Ink::BLACK,
                );
            }
        }
    }
}

/// What stands on the drawing before the figure of the gap finds its place.
struct Drawn<'a> {
    /// The floor's line.
    floor: &'a [PaperPoint],
    /// Both ends of the edge.
    ends: (PaperPoint, PaperPoint),
    /// Where the cut is drawn.
    area: Rect,
}

/// The gap between edge and floor: an arrow line and its figure, clear of both lines.
fn gap(
    scene: &mut Scene,
    face: &Typeface,
    input: &ProfileInput<'_>,
    (edge, floor): (PaperPoint, PaperPoint),
    drawn: &Drawn<'_>,
) {
    let (ea, eb) = drawn.ends;
    let area = drawn.area;
    scene.segment(edge, floor, 0.25, Ink::BLACK);
    let half = 0.9;
    for p in [edge, floor] {
        scene.segment(
            p.shifted(-half, 0.0),
            p.shifted(half, 0.0),
            0.35,
            Ink::BLACK,
        );
    }
    let words = input.unit.gap(input.gap_m);
    let cap = 2.6;
    let (w, h) = (face.width_mm(&words, cap, Weight::Bold), cap);
    let mut placer = Placer::new(Rect {
        top: 0.5,
        bottom: area.bottom - 0.3,
        ..area
    });
    for pair in drawn.floor.windows(2) {
        placer.block_line(pair[0], pair[1]);
    }
    placer.block(Rect::new(ea.shifted(-1.2, -2.4), eb.shifted(1.2, 0.5)));
    placer.block_line(edge, floor);
    let middle = edge.lerp(floor, 0.5);
    const CLEAR: f64 = 0.7;
    let boxed = |x: f64, y: f64| {
        Rect {
            left: x,
            right: x + w,
            top: y - h / 2.0,
            bottom: y + h / 2.0,
        }
        .grown(CLEAR)
    };
    let spots = [
        boxed(middle.x + 1.4, middle.y),
        boxed(middle.x - 1.4 - w, middle.y),
        boxed(middle.x - w / 2.0, floor.y.max(edge.y) + h),
        boxed(middle.x - w / 2.0, floor.y.min(edge.y) - h - 2.4),
        boxed(middle.x + 3.0, floor.y.max(edge.y) + h),
        boxed(middle.x - 3.0 - w, floor.y.max(edge.y) + h),
        boxed(area.left + 1.0, area.bottom - h),
    ];
    if let Some((_, r)) = placer.place(spots) {
        let at = PaperPoint::new(r.left + CLEAR, r.bottom - CLEAR);
        scene.text(Text::new(at, words, cap, Role::Number).bold());
    }
}

/// The axis under the cut, with the names of its two ends.
fn axis(scene: &mut Scene, face: &Typeface, input: &ProfileInput<'_>, cut: &Chart, digits: usize) {
    let (unit_m, unit) = plan_unit(input.habit);
    let area = cut.area;
    let base = area.bottom;
    scene.segment(
        PaperPoint::new(area.left, base),
        PaperPoint::new(area.right, base),
        0.25,
        Ink::BLACK,
    );
    let mut right = f64::NEG_INFINITY;
    for line in cut.mesh() {
        let Mesh::Up(at, _, d) = line else {
            continue;
        };
        scene.segment(at, at.shifted(0.0, 1.0), 0.25, Ink::BLACK);
        let mut words = plain(d / unit_m, digits);
        if d == 0.0 {
            words = format!("0 {unit}");
        }
        let wide = face.width_mm(&words, CAP, Weight::Regular);
        let left = (at.x - wide / 2.0).clamp(area.left - 2.5, area.right + 2.5 - wide);
        if left > right + 1.0 {
            let at = PaperPoint::new(left, base + 1.6 + CAP);
            scene.text(Text::new(at, words, CAP, Role::Axis));
            right = left + wide;
        }
    }
    let y = base + 3.2 + CAP * 2.0;
    let (a, b) = input.names;
    let room = area.width() / 2.0 - 2.0;
    for (words, x, anchor) in [(a, area.left, Anchor::Start), (b, area.right, Anchor::End)] {
        if let Some(first) = face
            .wrap(words, room, CAP, Weight::Regular)
            .into_iter()
            .next()
        {
            let text = Text::new(PaperPoint::new(x, y), first, CAP, Role::Thing);
            scene.text(text.anchored(anchor));
        }
    }
}

/// Height of the floor at a distance along the cut, straight between its points, level beyond its ends.
fn height(floor: &[(f64, f64)], d: f64) -> f64 {
    let i = floor.partition_point(|p| p.0 <= d);
    match (i.checked_sub(1).and_then(|j| floor.get(j)), floor.get(i)) {
        (Some(&(d0, z0)), Some(&(d1, z1))) => z0 + (z1 - z0) * (d - d0) / (d1 - d0),
        (Some(&(_, z)), None) | (None, Some(&(_, z))) => z,
        (None, None) => 0.0,
    }
}

/// A place counts as on a joint this near to it, metres: far above rounding, far below any line.
const AT_JOINT_M: f64 = 1e-6;

/// The lower and the upper height of the floor at a distance: two at a joint, one elsewhere.
fn heights(floor: &[(f64, f64)], d: f64) -> (f64, f64) {
    let own = height(floor, d);
    let near = floor.iter().filter(|p| (p.0 - d).abs() <= AT_JOINT_M);
    near.fold((own, own), |(low, high), p| (low.min(p.1), high.max(p.1)))
}

/// The largest round factor at which a rise fits the height.
fn exaggeration(height_mm: f64, mm_per_m: f64, rise_m: f64) -> f64 {
    const FACTORS: [f64; 21] = [
        1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 80.0, 100.0, 125.0,
        150.0, 200.0, 250.0, 300.0, 500.0, 1000.0,
    ];
    FACTORS
        .into_iter()
        .rev()
        .find(|f| rise_m * mm_per_m * f <= height_mm)
        .unwrap_or(FACTORS[0])
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand: straight between points, level beyond
    #[test]
    fn height_between_points() {
        let floor = [(0.0, 1.0), (2.0, 3.0)];
        assert_eq!(height(&floor, 1.0), 2.0);
        assert_eq!(height(&floor, -1.0), 1.0);
        assert_eq!(height(&floor, 2.0), 3.0);
        assert_eq!(height(&floor, 9.0), 3.0);
    }

    // ORACLE: hand: a step of 2 at distance 1, and the same from a hair beside it.
    #[test]
    fn a_joint_has_two_heights() {
        let floor = [(0.0, 1.0), (1.0, 1.0), (1.0, 3.0), (2.0, 3.0)];
        for d in [1.0, 1.0 - 1e-9, 1.0 + 1e-9] {
            let (low, high) = heights(&floor, d);
            assert!((low - 1.0).abs() < 1e-6 && (high - 3.0).abs() < 1e-6, "{d}");
        }
        assert_eq!(heights(&floor, 0.5), (1.0, 1.0));
    }

    // ORACLE: hand: 3 m on 60 mm is 20 mm per m; 5 mm of rise at 100 times is 10 mm, at 150 times 15 mm
    #[test]
    fn the_largest_factor_that_fits() {
        assert_eq!(exaggeration(12.0, 20.0, 0.005), 100.0);
        assert_eq!(exaggeration(15.0, 20.0, 0.005), 150.0);
    }
}
