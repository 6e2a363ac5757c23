//! The plan beside a verdict: walls, doors and the numbered edges, no larger than a hand.

use super::flatness_map::{EdgeMark, place_edges};
use super::font::Typeface;
use super::map::{Map, Subject};
use super::ramp::Ink;
use super::scene::Scene;
use super::sheet::SheetStyle;
use super::{DrawingError, key};

/// The floor with the edges that a page speaks of, its high and its low point, and what no reading speaks for; a picture without a sheet of
/// its own.
///
/// # Units, datum, sign
/// Millimetres on paper, about 120 along the longer side of the floor; a page may set it smaller.
/// # Errors
/// [`DrawingError::Empty`] for a floor without extent.
pub fn small_plan(subject: Subject<'_>, edges: &[EdgeMark]) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    let style = SheetStyle::default();
    let spots = subject.readings.iter().map(|r| r.at).collect();
    let mut map = Map::on_screen(&face, subject, &style, spots)?;
    map.extremes(&|_| None, key::LOW_MM, &|_| Ink::BLACK);
    place_edges(&mut map, edges);
    map.wall_names();
    map.names();
    map.uncertain_floor();
    Ok(map.layers())
}
