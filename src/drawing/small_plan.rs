//! The plan beside a verdict: walls, doors and the numbered edges, no larger than a hand.

use super::flatness_map::{EdgeMark, place_edges};
use super::font::Typeface;
use super::hatch::{Hatch, hatch};
use super::map::{Map, Subject};
use super::ramp::Ink;
use super::scene::{PaperPoint, Scene};
use super::sheet::SheetStyle;
use super::{DrawingError, key};
use crate::geometry::Point;

/// A plan beside a verdict, with its scale.
#[derive(Debug, Clone)]
pub struct SmallPlan {
    /// The picture.
    pub scene: Scene,
    /// How many millimetres of floor one of the picture stands for.
    pub ratio: f64,
}

/// The floor with the edges that a page speaks of, its high and its low point, floor that is not judged (in pieces), and what no reading
/// speaks for; a picture without a sheet of its own.
///
/// # Units, datum, sign
/// Millimetres on paper, about 120 along the longer side of the floor; a page may set it smaller.
/// # Errors
/// [`DrawingError::Empty`] for a floor without extent.
pub fn small_plan(
    subject: Subject<'_>,
    edges: &[EdgeMark],
    unjudged: &[[Point; 3]],
) -> Result<SmallPlan, DrawingError> {
    let face = Typeface::embedded()?;
    let style = SheetStyle::default();
    let spots = subject.readings.iter().map(|r| r.at).collect();
    let mut map = Map::on_screen(&face, subject, &style, spots)?;
    map.extremes(&|_| None, key::LOW_MM, &|_| Ink::BLACK);
    place_edges(&mut map, edges);
    map.wall_names();
    map.names();
    map.uncertain_floor();
    let view = map.view;
    let pieces: Vec<Vec<PaperPoint>> = unjudged
        .iter()
        .map(|piece| piece.iter().map(|&p| view.at(p)).collect())
        .collect();
    hatch(&mut map.lines, &pieces, Hatch::ABOVE, &map.placer);
    let ratio = 1000.0 / map.layout.scale.mm_per_m();
    Ok(SmallPlan {
        scene: map.layers(),
        ratio,
    })
}
