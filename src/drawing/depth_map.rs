//! Fill depth at every mark: the sheet a crew works from.

use super::DrawingError;
use super::bands::BandScale;
use super::figures::MarkUnit;
use super::font::{Typeface, Weight};
use super::key::{self, Sign};
use super::map::{Map, Subject, covering};
use super::marks;
use super::paper::Scale;
use super::ramp::Ink;
use super::room_signs::room_signs;
use super::scene::Scene;
use super::sheet::{Block, SheetStyle, notes_block, scale_block, title_block};
use super::words as word;
use crate::fill::{Plane, mark_heights};
use crate::geometry::Point;
use crate::surface::level_rings;

/// What a depth map shows.
#[derive(Debug, Clone)]
pub struct DepthMapInput<'a> {
    /// The floor, its room and readings.
    pub subject: Subject<'a>,
    /// The surface that depths are measured down from.
    pub plane: Plane,
    /// What numbers at the marks count.
    pub unit: MarkUnit,
    /// Shades; `None`: covering the depths found. Give both drawings of a before and after the same.
    pub bands: Option<BandScale>,
    /// Paper, habit and words.
    pub style: SheetStyle,
}

/// Depth of material under the plane: numbers at the marks, shades, contours, high and low point.
///
/// # Units, datum, sign
/// Depth is plane less floor, positive where material goes. Floor above the plane shows a minus and a
/// strong hatch.
/// # Method
/// docs/methods.md, "Drawings".
/// # Errors
/// [`DrawingError`]: no readings or floor, paper too small, a sign the font lacks, a number not finite.
pub fn depth_map(input: &DepthMapInput<'_>) -> Result<Scene, DrawingError> {
    let words = Words {
        heading: word::depth(input.unit.name()),
        mark: word::MARK_FILL,
        contour: word::EQUAL_DEPTH,
        above: word::ABOVE_PLANE,
    };
    level_map(input, &words)
}

/// How far the floor lies below a stated level (`input.plane`): for two days that must compare.
///
/// # Errors
/// As [`depth_map`].
pub fn level_below_map(input: &DepthMapInput<'_>) -> Result<Scene, DrawingError> {
    let words = Words {
        heading: word::below_level(input.unit.name()),
        mark: word::MARK_LOW,
        contour: word::EQUAL_HEIGHT,
        above: word::ABOVE_LEVEL,
    };
    level_map(input, &words)
}

/// How far the floor lies below its high point: numbers at the marks, shades, contours.
///
/// # Units, datum, sign
/// Depth below the highest reading, so 0 at the high point; larger is lower. `input.plane` is not used.
/// # Errors
/// As [`depth_map`].
pub fn height_map(input: &DepthMapInput<'_>) -> Result<Scene, DrawingError> {
    let top = input
        .subject
        .readings
        .iter()
        .map(|r| r.elevation.m())
        .fold(f64::NEG_INFINITY, f64::max);
    let words = Words {
        heading: word::below_high(input.unit.name()),
        mark: word::MARK_LOW,
        contour: word::EQUAL_HEIGHT,
        above: word::ABOVE_HIGHEST,
    };
    let below = DepthMapInput {
        plane: Plane::level(top),
        ..input.clone()
    };
    level_map(&below, &words)
}

struct Words {
    heading: String,
    mark: &'static str,
    contour: &'static str,
    above: &'static str,
}

fn level_map(input: &DepthMapInput<'_>, words: &Words) -> Result<Scene, DrawingError> {
    let subject = input.subject;
    if subject.readings.is_empty() {
        return Err(DrawingError::Empty {
            what: "there are no readings",
        });
    }
    let face = Typeface::embedded()?;
    let floor = subject.floor;
    let unit = input.unit;
    let values: Vec<f64> = floor
        .vertices()
        .iter()
        .map(|v| input.plane.at(v.at) - v.z)
        .collect();
    let depths: Vec<f64> = subject
        .readings
        .iter()
        .zip(mark_heights(floor, subject.readings))
        .map(|(r, height)| input.plane.at(r.at) - height.unwrap_or_else(|| r.elevation.m()))
        .collect();
    if values.iter().chain(&depths).any(|v| !v.is_finite()) {
        return Err(DrawingError::NotFinite {
            what: "a depth under the plane",
        });
    }
    let scale_of_bands = input
        .bands
        .clone()
        .unwrap_or_else(|| covering(values.iter().chain(&depths).copied(), unit));
    let any_above = values.iter().any(|&v| v < -1e-9);
    // Level 0 comes first when floor stands above the plane: below it there is no shade.
    let mut levels = Vec::new();
    let mut shades = Vec::new();
    if any_above && scale_of_bands.edges_m()[0] <= 0.0 {
        levels.push(0.0);
        shades.push(Ink::WHITE);
    }
    levels.extend_from_slice(scale_of_bands.levels_m());
    shades.extend(scale_of_bands.shades());
    let first_contour = 1;
    let rings = level_rings(floor, &values, &levels);

    let widest = depths
        .iter()
        .map(|&d| face.width_mm(&unit.number(d), 1.0, Weight::Bold))
        .fold(0.0, f64::max);
    let mark_style = |scale: Scale| marks::style(floor.spacing() * scale.mm_per_m(), widest);
    let total = subject.readings.len();
    let left_out = |shown: usize| word::numbers_shown(shown, total);
    let mut signs: Vec<(Sign, String)> = vec![
        (Sign::High, word::HIGH_POINT.to_owned()),
        (Sign::Low, word::LOW_POINT.to_owned()),
        (Sign::Mark, words.mark.to_owned()),
        (Sign::Contour, words.contour.to_owned()),
    ];
    if any_above {
        signs.push((Sign::Above, words.above.to_owned()));
    }
    signs.extend(room_signs(&subject));
    let style = &input.style;
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        let mut reserve = notes_block(&face, &[left_out(total)], width);
        reserve.is_reserve = true;
        vec![
            title_block(&face, &style.block, width),
            scale_block(&face, scale, style.habit, width),
            key::band_block(&face, &words.heading, &scale_of_bands, unit, width),
            key::sign_block(&face, &signs, width),
            notes_block(&face, &style.block.notes, width),
            reserve,
        ]
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    let mark_style = mark_style(map.view.scale);

    let offset = usize::from(levels.first() == Some(&0.0) && any_above);
    let shade_of = |depth: f64| {
        if offset == 1 && depth < 0.0 {
            Ink::WHITE
        } else {
            shades[scale_of_bands.band_of(depth) + offset]
        }
    };
    let places: Vec<Point> = subject.readings.iter().map(|r| r.at).collect();
    let chosen = marks::chosen(&places, floor.spacing(), mark_style.every);
    map.grid();
    map.wall_names();
    map.block_dots(&chosen);
    // Where every reading has its number, numbers come before names; else names would find no room.
    let crowded = mark_style.every > 1;
    if crowded {
        map.names();
    }
    let number_at = |p: Point| {
        let near = subject
            .readings
            .iter()
            .position(|r| r.at.distance(p) < 1e-6)?;
        Some(unit.number(depths[near]))
    };
    let shade_at = |p: Point| {
        subject
            .readings
            .iter()
            .position(|r| r.at.distance(p) < 1e-6)
            .map_or(Ink::WHITE, |i| shade_of(depths[i]))
    };
    map.extremes(&number_at, mark_style.cap_mm, &shade_at);
    let shown = map.marks(mark_style, &chosen, &|i| unit.number(depths[i]), &|i| {
        shade_of(depths[i])
    });
    if !crowded {
        map.names();
    }
    map.contours(
        &rings,
        first_contour,
        &|band| unit.with_unit(levels[band - 1]),
        &|band| shades[band],
    );
    map.grid_lines();
    map.bands(&rings, &shades);
    if offset == 1 {
        map.above_plane(&rings, 1);
    }
    map.uncertain_floor();
    let note = (shown < total).then(|| left_out(shown));
    Ok(map.finish(note))
}
