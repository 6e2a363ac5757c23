//! Fill depth at every mark: the sheet a crew works from.

use super::DrawingError;
use super::bands::BandScale;
use super::figures::MarkUnit;
use super::font::Typeface;
use super::key;
use super::level::{Depths, Level, Words};
use super::map::{Map, Subject};
use super::paper::Scale;
use super::scene::Scene;
use super::sheet::{Block, SheetStyle, notes_block, scale_block, title_block};
use super::words as word;
use crate::fill::Plane;

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
    level_map(input, &Words::fill(input.unit))
}

/// How far the floor lies below a stated level (`input.plane`): for two days that must compare.
///
/// # Errors
/// As [`depth_map`].
pub fn level_below_map(input: &DepthMapInput<'_>) -> Result<Scene, DrawingError> {
    level_map(input, &Words::below_level(input.unit))
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
    let below = DepthMapInput {
        plane: Plane::level(top),
        ..input.clone()
    };
    level_map(&below, &Words::below_high(input.unit))
}

/// How deep floor and readings lie under the plane.
fn depths(input: &DepthMapInput<'_>) -> Depths {
    let Subject {
        floor, readings, ..
    } = input.subject;
    Depths {
        floor: floor
            .vertices()
            .iter()
            .map(|v| input.plane.at(v.at) - v.z)
            .collect(),
        marks: readings
            .iter()
            .map(|r| input.plane.at(r.at) - r.elevation.m())
            .collect(),
    }
}

fn level_map(input: &DepthMapInput<'_>, words: &Words) -> Result<Scene, DrawingError> {
    let subject = input.subject;
    if subject.readings.is_empty() {
        return Err(DrawingError::Empty {
            what: "there are no readings",
        });
    }
    let face = Typeface::embedded()?;
    let level = Level::new(
        subject.floor,
        depths(input),
        input.bands.clone(),
        input.unit,
    )?;
    let total = subject.readings.len();
    let left_out = |shown: usize| word::numbers_shown(shown, total);
    let signs = level.signs(&subject, words);
    let style = &input.style;
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        let mut reserve = notes_block(&face, &[left_out(total)], width);
        reserve.is_reserve = true;
        vec![
            title_block(&face, &style.block, width),
            scale_block(&face, scale, style.habit, width),
            key::band_block(&face, &words.heading, level.bands(), input.unit, width),
            key::sign_block(&face, &signs, width),
            notes_block(&face, &style.block.notes, width),
            reserve,
        ]
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    map.grid();
    let shown = level.draw(&mut map);
    let note = (shown < total).then(|| left_out(shown));
    Ok(map.finish(note))
}
