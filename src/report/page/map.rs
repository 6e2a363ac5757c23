//! The map inside the page, and the key below it: the drawing that paper has, in the page's own letters. It is whole
//! here, so that it shows and prints where no script runs.

use super::escape::escaped;
use super::input::PageInput;
use crate::analysis::Numbered;
use crate::drawing::{Ink, MarkUnit, Scene, ScreenMap, ScreenMapInput, screen_map, svg_in_page};
use crate::fill::Plane;
use crate::geometry::Point;
use crate::report::ReportError;
use crate::report::words::page as words;
use std::fmt::Write;

/// The map and its key.
pub(super) struct Map {
    /// The SVG element.
    pub(super) svg: String,
    /// The key below it, HTML.
    pub(super) key: String,
    /// The plan point in its upper left corner.
    pub(super) corner: Point,
    /// Units of the SVG in a metre of floor.
    pub(super) units_per_m: f64,
}

/// Draws the map.
///
/// # Errors
/// [`ReportError::Drawing`] for a floor that cannot be drawn.
pub(super) fn map(input: &PageInput, worst: &[Numbered]) -> Result<Map, ReportError> {
    let unit = input.unit;
    let readings: Vec<(Point, f64)> = input.marks.iter().map(|m| (m.at, m.elevation_m)).collect();
    let lines: Vec<(usize, Point, Point)> = worst
        .iter()
        .map(|w| (w.number, w.placement.from, w.placement.to))
        .collect();
    let drawn = screen_map(&ScreenMapInput {
        floor: input.floor,
        room: input.room,
        readings: &readings,
        high: input.high.at,
        low: input.low.at,
        plane: input
            .plane
            .unwrap_or_else(|| Plane::level(input.high.elevation_m)),
        fill: input.plane.is_some(),
        unit,
        lines: &lines,
    })?;
    let attributes = format!(
        "id=\"map\" role=\"group\" tabindex=\"0\" aria-label=\"{}\"",
        words::MAP_LABEL
    );
    Ok(Map {
        svg: svg_in_page(&drawn.scene, &attributes)?,
        key: key(input, unit, &drawn)?,
        corner: drawn.corner,
        units_per_m: drawn.units_per_m,
    })
}

/// What the shades, numbers and signs mean.
fn key(input: &PageInput, unit: MarkUnit, drawn: &ScreenMap) -> Result<String, ReportError> {
    let (shades, numbers) = if input.plane.is_some() {
        (words::SHADES_FILL, words::NUMBERS_FILL)
    } else {
        (words::SHADES_BELOW, words::NUMBERS_BELOW)
    };
    let bands = &drawn.bands;
    let mut out = format!("<p class=\"key\"><b>{shades}</b>");
    for (edges, Ink(r, g, b)) in bands.edges_m().windows(2).zip(bands.shades()) {
        // Writing to a string cannot fail.
        let _ = write!(
            out,
            "<span class=\"band\"><svg viewBox=\"0 0 26 16\" aria-hidden=\"true\"><rect width=\"26\" height=\"16\" \
             fill=\"#{r:02x}{g:02x}{b:02x}\"/></svg>{} to {}</span>",
            unit.without_unit(edges[0]),
            unit.with_unit(edges[1]),
        );
    }
    let _ = write!(
        out,
        "</p><p class=\"key\"><span>{numbers}, in {}.</span>",
        unit.name()
    );
    if drawn.shown < input.marks.len() {
        let _ = write!(out, "<span>{}</span>", words::FEWER_LABELS);
    }
    for (picture, meaning) in &drawn.signs {
        out.push_str(&sign(picture, meaning)?);
    }
    out.push_str("</p>");
    Ok(out)
}

/// A sign as it stands on the map, and what it means.
fn sign(picture: &Scene, meaning: &str) -> Result<String, ReportError> {
    Ok(format!(
        "<span class=\"sign\">{}{}</span>",
        svg_in_page(picture, "aria-hidden=\"true\"")?.trim_end(),
        escaped(meaning)
    ))
}
