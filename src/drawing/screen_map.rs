//! The map of depths inside a page: the same drawing as paper's, without the sheet around it.

use super::DrawingError;
use super::bands::BandScale;
use super::edges;
use super::figures::MarkUnit;
use super::font::{Typeface, Weight};
use super::key::{self, Sign};
use super::labels::around;
use super::level::{Depths, Level, Words};
use super::map::{Map, Subject};
use super::ramp::Ink;
use super::scene::{Anchor, PaperPoint, Rect, Role, Scene, Text};
use super::sheet::SheetStyle;
use super::svg::DOTS_PER_MM;
use super::words as word;
use crate::fill::Plane;
use crate::geometry::Point;
use crate::surface::Floor;
use crate::survey::Room;

/// What the map of a page shows.
#[derive(Debug, Clone)]
pub struct ScreenMapInput<'a> {
    /// The floor.
    pub floor: &'a Floor,
    /// Walls, doors, voids and names, if they are known.
    pub room: Option<&'a Room>,
    /// Place and height of each reading, metres.
    pub readings: &'a [(Point, f64)],
    /// The high point.
    pub high: Point,
    /// The low point.
    pub low: Point,
    /// The surface that depths are measured down from.
    pub plane: Plane,
    /// Whether that is a finish to fill up to; else the height of the high point.
    pub fill: bool,
    /// What numbers at the readings count.
    pub unit: MarkUnit,
    /// Lines listed beside the map: number and two ends.
    pub lines: &'a [(usize, Point, Point)],
}

/// A map for a page, and what the page must know of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ScreenMap {
    /// The drawing.
    pub scene: Scene,
    /// The plan point in its upper left corner.
    pub corner: Point,
    /// Units of its SVG in a metre of floor.
    pub units_per_m: f64,
    /// What its shades mean.
    pub bands: BandScale,
    /// Its signs, each a small drawing, with what they mean.
    pub signs: Vec<(Scene, String)>,
    /// How many readings have their number.
    pub shown: usize,
}

/// The map of a page: numbers at the readings, shades, contours, high and low point, lines listed beside it.
///
/// # Units, datum, sign
/// As [`super::depth_map`].
/// # Method
/// Drawn by what draws paper's map, on a sheet so small that letters of paper's sizes can be read on a telephone.
/// # Errors
/// [`DrawingError::Empty`] for a floor without extent; [`DrawingError::NotFinite`].
pub fn screen_map(input: &ScreenMapInput<'_>) -> Result<ScreenMap, DrawingError> {
    let face = Typeface::embedded()?;
    let (high, low) = ([input.high], [input.low]);
    let subject = Subject {
        floor: input.floor,
        room: input.room,
        readings: &[],
        high: &high,
        low: &low,
    };
    let below = |at: Point, z: f64| input.plane.at(at) - z;
    let vertices = input.floor.vertices().iter();
    let depths = Depths {
        floor: vertices.map(|v| below(v.at, v.z)).collect(),
        marks: input.readings.iter().map(|&(p, z)| below(p, z)).collect(),
    };
    let level = Level::new(input.floor, depths, None, input.unit)?;
    let words = if input.fill {
        Words::fill(input.unit)
    } else {
        Words::below_high(input.unit)
    };
    let mut signs = level.signs(&subject, &words);
    if !input.lines.is_empty() {
        signs.push((Sign::Listed, word::LISTED.to_owned()));
    }
    let style = SheetStyle::default();
    let spots = input.readings.iter().map(|r| r.0).collect();
    let mut map = Map::on_screen(&face, subject, &style, spots)?;
    let shown = level.draw(&mut map);
    listed(&mut map, input.lines);
    Ok(ScreenMap {
        corner: map.view.plan(PaperPoint::new(0.0, 0.0)),
        units_per_m: map.view.scale.mm_per_m() * DOTS_PER_MM,
        scene: map.layers(),
        bands: level.bands().clone(),
        signs: signs
            .into_iter()
            .map(|(sign, words)| (key::picture(sign), words))
            .collect(),
        shown,
    })
}

/// Lines with their numbers, light enough to lay an edge over them.
fn listed(map: &mut Map<'_>, lines: &[(usize, Point, Point)]) {
    const CAP: f64 = 2.4;
    let ends = lines
        .iter()
        .map(|&(number, a, b)| (number, map.view.at(a), map.view.at(b)))
        .collect::<Vec<_>>();
    map.signs.group("listed", None, |signs| {
        for &(_, a, b) in &ends {
            edges::listed(signs, a, b);
        }
    });
    for (number, a, b) in ends {
        let words = number.to_string();
        let (w, h) = map.size_of(&words, CAP, Weight::Bold);
        let side = w.max(h) + 1.4;
        let on = |p: PaperPoint| {
            let half = side / 2.0;
            Rect::new(p.shifted(-half, -half), p.shifted(half, half))
        };
        // A third along, lines that share a hollow are least likely to meet. A line without its number would be nobody's:
        // where nothing is free the number stands there all the same.
        let spots: Vec<Rect> = [0.3, 0.7, 0.15, 0.85, 0.5]
            .into_iter()
            .map(|t| a.lerp(b, t))
            .flat_map(|p| std::iter::once(on(p)).chain(around(p, side, side, 0.6)))
            .collect();
        let home = on(a.lerp(b, 0.3));
        let at = map.placer.place(spots).map_or(home, |(_, r)| r).middle();
        map.signs.disc(at, side / 2.0, Ink::WHITE);
        map.signs.circle(at, side / 2.0, 0.25, Ink::BLACK);
        let text = Text::new(at.shifted(0.0, CAP / 2.0), words, CAP, Role::Number);
        map.labels.text(text.bold().anchored(Anchor::Middle));
    }
}
