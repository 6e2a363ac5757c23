//! The span curve: worst dip and hump against the length of the edge, with the limits over it.

use super::DrawingError;
use super::axis::{gap_step, plan_step, ticks};
use super::chart::{Chart, Mesh, axis};
use super::figures::{MarkUnit, plain, plan_unit};
use super::font::{Typeface, Weight};
use super::labels::Placer;
use super::ramp::Ink;
use super::scene::{Anchor, Dash, PaperPoint, Rect, Role, Scene, Text};
use super::words as word;
use crate::flatness::{EdgeResult, SpanPoint};
use crate::units::Habit;

/// A limit to draw over the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitLine {
    /// Its name, short: "tile 15 in and over".
    pub name: String,
    /// Span and allowance, metres, by ascending span. One point stands for a flat line from the left up
    /// to that span: a shorter edge is held to the same allowance.
    pub points: Vec<(f64, f64)>,
}

/// What a span curve shows.
#[derive(Debug, Clone)]
pub struct SpanCurveInput<'a> {
    /// Title over the plot; empty for none.
    pub title: &'a str,
    /// The curve, by ascending span.
    pub curve: &'a [SpanPoint],
    /// Limits over it.
    pub limits: &'a [LimitLine],
    /// Shorter edges than this the readings cannot judge, metres, if known.
    pub judged_from_m: Option<f64>,
    /// Unit of the gaps.
    pub unit: MarkUnit,
    /// Habit of the spans.
    pub habit: Habit,
    /// Width and height on paper, millimetres.
    pub size_mm: (f64, f64),
}

const CAP: f64 = 2.0;
const CURVE_MM: f64 = 0.7;
const LIMIT_MM: f64 = 0.35;
/// Line styles of limits, in turn: told apart without colour.
const DASHES: [Dash; 5] = [
    Dash::Broken(3.0, 1.2),
    Dash::DashDot,
    Dash::Broken(1.0, 1.0),
    Dash::Broken(6.0, 1.5),
    Dash::Broken(2.0, 2.5),
];

/// Where a line ends on paper, from the top, and the name to write beside it.
type LineEnd = (f64, String, Weight);

/// Worst dip (solid, dots) and worst hump (broken, triangles) up to each span, limits named on the plot.
///
/// # Units
/// Spans in feet or metres, gaps in the unit asked for, both axes straight and from zero.
/// # Edge cases
/// A pale strip over a curve is what the search has not excluded (bound less gap found). Where an edge
/// of the whole span fits nowhere the sign on the curve is open. Spans that the readings cannot judge
/// are shaded and say so.
/// # Errors
/// [`DrawingError::Empty`] without a curve; as [`super::svg`] for the rest.
pub fn span_curve(input: &SpanCurveInput<'_>) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    let (longest, largest) = reach(input)?;
    let (w, h) = input.size_mm;
    let mut scene = Scene::new(input.title, w, h);
    let step = gap_step(input.unit, largest);
    let largest_m = ((largest * 1.02 / step).ceil() * step).max(step);
    let (span_step, digits) = plan_step(input.habit, longest);
    let plot = Chart::new(
        plot_area(input, &face, ticks(step, largest_m)),
        axis(0.0..longest, ticks(span_step, longest)),
        axis(0.0..largest_m, ticks(step, largest_m)),
    );
    axes(&mut scene, &face, input, &plot, digits);
    if let Some(from) = input.judged_from_m.filter(|f| *f > 0.0) {
        unjudged(&mut scene, &face, &plot, from.min(longest), input.curve);
    }
    for point in [dips(input.curve), humps(input.curve)] {
        not_excluded(&mut scene, &plot, &point);
    }
    let mut ends = limit_lines(&mut scene, &plot, input.limits);
    for (is_dip, name, results) in [
        (true, word::WORST_DIP, dips(input.curve)),
        (false, word::WORST_HUMP, humps(input.curve)),
    ] {
        curve(&mut scene, &plot, &results, is_dip);
        if let Some(end) = results.last() {
            let y = plot.at(end.span_m, end.gap_m()).y;
            ends.push((y, name.to_owned(), Weight::Bold));
        }
    }
    names(&mut scene, &face, &plot, ends, w);
    if !input.title.is_empty() {
        scene.text(Text::new(PaperPoint::new(0.5, 5.0), input.title, 2.8, Role::Title).bold());
    }
    Ok(scene)
}

/// The longest span and the largest gap that must find a place on the plot, metres.
fn reach(input: &SpanCurveInput<'_>) -> Result<(f64, f64), DrawingError> {
    let Some(last) = input.curve.last() else {
        return Err(DrawingError::Empty {
            what: "the span curve has no points",
        });
    };
    let limit_span = |l: &LimitLine| l.points.last().map_or(0.0, |p| p.0);
    let longest = input
        .limits
        .iter()
        .map(limit_span)
        .fold(last.span_m, f64::max);
    let gaps = input
        .curve
        .iter()
        .flat_map(|p| [p.dip.bound_m, p.hump.bound_m, p.dip.gap_m(), p.hump.gap_m()])
        .chain(
            input
                .limits
                .iter()
                .flat_map(|l| l.points.iter().map(|p| p.1)),
        );
    let largest = gaps.fold(0.0, f64::max).max(input.unit.step_m());
    if !(longest.is_finite() && largest.is_finite() && longest > 0.0) {
        return Err(DrawingError::NotFinite {
            what: "a span or a gap of the curve",
        });
    }
    Ok((longest, largest))
}

/// What title, figures of the gap axis and names at the right leave for the plot.
fn plot_area(input: &SpanCurveInput<'_>, face: &Typeface, gaps: impl Iterator<Item = f64>) -> Rect {
    let (w, h) = input.size_mm;
    let top = if input.title.is_empty() { 8.0 } else { 14.0 };
    let axis_w = gaps
        .map(|t| face.width_mm(&input.unit.with_unit(t), CAP, Weight::Regular))
        .fold(0.0, f64::max);
    let name_w = input
        .limits
        .iter()
        .map(|l| face.width_mm(&l.name, CAP, Weight::Regular))
        .fold(face.width_mm(word::WORST_HUMP, CAP, Weight::Bold), f64::max)
        .min(w * 0.35);
    Rect {
        left: axis_w + 4.0,
        top,
        right: w - name_w - 5.0,
        bottom: h - 12.0,
    }
}

/// The limits, each in a line style of its own; where they end and what they are called.
fn limit_lines(scene: &mut Scene, plot: &Chart, limits: &[LimitLine]) -> Vec<LineEnd> {
    let mut ends: Vec<LineEnd> = Vec::new();
    for (limit, dash) in limits.iter().zip(DASHES.iter().cycle()) {
        let points: Vec<PaperPoint> = match limit.points[..] {
            [] => continue,
            [(span, allowance)] => vec![plot.at(0.0, allowance), plot.at(span, allowance)],
            _ => limit.points.iter().map(|&(s, a)| plot.at(s, a)).collect(),
        };
        let end = points[points.len() - 1];
        scene.line(points, LIMIT_MM, Ink::DARK, *dash);
        // A short stroke ends a limit; a thin line leads on to its name.
        scene.segment(
            end.shifted(0.0, -1.0),
            end.shifted(0.0, 1.0),
            LIMIT_MM,
            Ink::DARK,
        );
        if end.x < plot.area.right - 0.5 {
            scene.line(
                vec![
                    end.shifted(0.6, 0.0),
                    PaperPoint::new(plot.area.right, end.y),
                ],
                0.1,
                Ink::PALE,
                Dash::Solid,
            );
        }
        ends.push((end.y, limit.name.clone(), Weight::Regular));
    }
    ends
}

fn axes(
    scene: &mut Scene,
    face: &Typeface,
    input: &SpanCurveInput<'_>,
    plot: &Chart,
    digits: usize,
) {
    let area = plot.area;
    let (unit_m, unit) = plan_unit(input.habit);
    let mut right = f64::NEG_INFINITY;
    for line in plot.mesh() {
        let (Mesh::Up(from, to, _) | Mesh::Across(from, to, _)) = line;
        scene.segment(from, to, 0.1, Ink::PALE);
        match line {
            Mesh::Across(at, _, gap) => {
                let words = input.unit.with_unit(gap);
                let text = Text::new(at.shifted(-1.2, CAP / 2.0), words, CAP, Role::Axis);
                scene.text(text.anchored(Anchor::End));
            }
            Mesh::Up(at, _, span) => {
                let words = plain(span / unit_m, digits);
                let half = face.width_mm(&words, CAP, Weight::Regular) / 2.0;
                if at.x - half > right + 1.0 {
                    let text = Text::new(at.shifted(0.0, CAP + 1.2), words, CAP, Role::Axis);
                    scene.text(text.anchored(Anchor::Middle));
                    right = at.x + half;
                }
            }
        }
    }
    let corner = PaperPoint::new(area.left, area.bottom);
    let (end, top) = (
        PaperPoint::new(area.right, area.bottom),
        PaperPoint::new(area.left, area.top),
    );
    scene.segment(corner, end, 0.35, Ink::BLACK);
    scene.segment(corner, top, 0.35, Ink::BLACK);
    let under = corner.lerp(end, 0.5).shifted(0.0, 3.0 * CAP + 2.6);
    let text = Text::new(under, word::edge_length(unit), CAP, Role::Axis);
    scene.text(text.anchored(Anchor::Middle));
    let at = PaperPoint::new(0.5, area.top - 2.2);
    scene.text(Text::new(at, word::GAP_AXIS, CAP, Role::Axis));
}

fn dips(curve: &[SpanPoint]) -> Vec<&EdgeResult> {
    curve.iter().map(|p| &p.dip).collect()
}

fn humps(curve: &[SpanPoint]) -> Vec<&EdgeResult> {
    curve.iter().map(|p| &p.hump).collect()
}

/// A pale strip from the gap found up to the proven bound, where paper shows it.
fn not_excluded(scene: &mut Scene, plot: &Chart, results: &[&EdgeResult]) {
    let found = results.iter().map(|r| plot.at(r.span_m, r.gap_m()));
    let bound: Vec<PaperPoint> = results
        .iter()
        .map(|r| plot.at(r.span_m, r.bound_m))
        .collect();
    if found.clone().zip(&bound).any(|(f, b)| f.y - b.y > 0.3) {
        let strip = found.chain(bound.into_iter().rev()).collect();
        scene.fill(strip, Ink(222, 222, 222));
    }
}

fn curve(scene: &mut Scene, plot: &Chart, results: &[&EdgeResult], is_dip: bool) {
    let found: Vec<PaperPoint> = results
        .iter()
        .map(|r| plot.at(r.span_m, r.gap_m()))
        .collect();
    let dash = if is_dip {
        Dash::Solid
    } else {
        Dash::Broken(2.4, 1.2)
    };
    scene.line(found.clone(), CURVE_MM, Ink::BLACK, dash);
    for (result, at) in results.iter().zip(found) {
        let ink = if result.full_span_laid {
            Ink::BLACK
        } else {
            Ink::WHITE
        };
        if is_dip {
            scene.disc(at, 0.9, ink);
            scene.circle(at, 0.9, 0.25, Ink::BLACK);
        } else {
            let ring = vec![
                at.shifted(0.0, -1.1),
                at.shifted(1.0, 0.7),
                at.shifted(-1.0, 0.7),
            ];
            let mut edge = ring.clone();
            edge.extend([ring[0], ring[0].lerp(ring[1], 0.01)]);
            scene.fill(ring, ink);
            scene.line(edge, 0.25, Ink::BLACK, Dash::Solid);
        }
    }
}

/// Shade over spans too short for the readings, with words that keep clear of the curves.
fn unjudged(scene: &mut Scene, face: &Typeface, plot: &Chart, from_m: f64, points: &[SpanPoint]) {
    let area = Rect {
        right: plot.at(from_m, 0.0).x,
        ..plot.area
    };
    let nothing = Placer::new(plot.area);
    super::hatch::hatch(
        scene,
        &[super::scene::corners(area)],
        super::hatch::Hatch::EXTENDED,
        &nothing,
    );
    let words = word::NOT_TESTED;
    let length = face.width_mm(words, CAP, Weight::Regular);
    if area.width() <= CAP * 2.0 || area.height() <= length {
        return;
    }
    let lines = [dips(points), humps(points)].map(|results| {
        results
            .iter()
            .map(|r| plot.at(r.span_m, r.gap_m()))
            .collect::<Vec<_>>()
    });
    let text_at = |x: f64, top: f64| {
        Text::new(PaperPoint::new(x, top + length), words, CAP, Role::Note).turned(true)
    };
    let clear = |text: &Text| {
        // Wide enough to keep off the signs on the curves, too.
        let rect = text.rect(face).grown(1.6);
        lines.iter().all(|line| !crosses(line, &rect))
    };
    let spare = area.height() - length - 4.0;
    let wide = area.width() - CAP - 2.0;
    let places = (0..=8).flat_map(|i| {
        let top = area.top + 2.0 + spare.max(0.0) * f64::from(i) / 8.0;
        [0.5, 0.25, 0.75, 0.0, 1.0]
            .map(|share| (area.left + CAP + 1.0 + wide.max(0.0) * share, top))
    });
    let text = places
        .map(|(x, top)| text_at(x, top))
        .find(clear)
        .unwrap_or_else(|| text_at(area.middle().x + CAP / 2.0, area.top + 2.0));
    scene.fill_rect(text.rect(face).grown(0.5), Ink::WHITE);
    scene.text(text);
}

/// Whether a line of straight pieces passes through a rectangle.
fn crosses(line: &[PaperPoint], rect: &Rect) -> bool {
    line.windows(2).any(|w| {
        let steps = (w[0].x - w[1].x).hypot(w[0].y - w[1].y).ceil().max(1.0) as u32 * 4;
        (0..=steps).any(|i| {
            let p = w[0].lerp(w[1], f64::from(i) / f64::from(steps));
            p.x >= rect.left && p.x <= rect.right && p.y >= rect.top && p.y <= rect.bottom
        })
    })
}

/// Names at the right end of curves and limits, moved apart, with lines to where they belong.
fn names(scene: &mut Scene, face: &Typeface, plot: &Chart, mut ends: Vec<LineEnd>, width: f64) {
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let pitch = CAP * 1.6;
    let mut lines: Vec<(f64, f64, Vec<String>, Weight)> = Vec::new();
    let left = plot.area.right + 4.0;
    let mut next = plot.area.top - 4.0;
    for (y, name, weight) in ends {
        let words = face.wrap(&name, width - left, CAP, weight);
        let top = (y - pitch * words.len() as f64 / 2.0).max(next);
        next = top + pitch * words.len() as f64;
        lines.push((y, top, words, weight));
    }
    // Pushed down past the end: push back up from the bottom.
    let mut floor = plot.area.bottom + 2.0;
    for line in lines.iter_mut().rev() {
        let height = pitch * line.2.len() as f64;
        line.1 = line.1.min(floor - height);
        floor = line.1;
    }
    for (y, top, words, weight) in lines {
        let middle = top + pitch * words.len() as f64 / 2.0;
        scene.segment(
            PaperPoint::new(plot.area.right, y),
            PaperPoint::new(left - 0.6, middle),
            0.15,
            Ink::GREY,
        );
        for (i, words) in words.into_iter().enumerate() {
            let at = PaperPoint::new(left, top + pitch * i as f64 + (pitch + CAP) / 2.0);
            scene.text(Text {
                weight,
                ..Text::new(at, words, CAP, Role::Curve)
            });
        }
    }
}
