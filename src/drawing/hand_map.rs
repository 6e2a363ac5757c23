//! Where an edge is to be laid by hand: numbered lines on the plan.

use super::DrawingError;
use super::font::{Typeface, Weight};
use super::key::{self, Sign};
use super::labels::{around, beside_own_line};
use super::map::{Map, Subject};
use super::paper::Scale;
use super::ramp::Ink;
use super::room_signs::room_signs;
use super::scene::{PaperPoint, Role, Scene};
use super::sheet::{Block, SheetStyle};
use super::words as word;
use crate::geometry::Point;

/// What a map of edges to lay shows.
#[derive(Debug, Clone)]
pub struct HandMapInput<'a> {
    /// The floor, its room and readings.
    pub subject: Subject<'a>,
    /// Each edge with its number: one end, the other.
    pub edges: &'a [(usize, Point, Point)],
    /// Paper, habit and words.
    pub style: SheetStyle,
}

/// Width of a line, millimetres: thin enough that many of them leave room for their numbers.
const LINE_MM: f64 = 0.5;
/// Height of a number's capitals, millimetres.
const CAP_MM: f64 = 2.3;

/// Placements as numbered lines. A number that finds no room is left out: the list has it.
///
/// # Errors
/// [`DrawingError`].
pub fn hand_map(input: &HandMapInput<'_>) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    let subject = input.subject;
    let mut signs: Vec<(Sign, String)> = vec![(Sign::Edge, word::EDGE_TO_LAY.to_owned())];
    // Which floor was read is no matter here, and is not hatched.
    let of_readings = [word::CARRIED_OUT, word::NOT_SURVEYED];
    let of_room = room_signs(&subject).into_iter();
    signs.extend(of_room.filter(|(_, text)| !of_readings.contains(&text.as_str())));
    let style = &input.style;
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        key::plain_blocks(&face, style, &signs, scale, width)
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    map.grid();
    place(&mut map, input.edges);
    map.wall_names();
    map.names();
    map.grid_lines();
    Ok(map.finish(None))
}

fn place(map: &mut Map<'_>, edges: &[(usize, Point, Point)]) {
    // Lines first: no number must stand on another's line.
    for &(_, from, to) in edges {
        let (a, b) = (map.view.at(from), map.view.at(to));
        map.placer.block_line(a, b);
        map.signs.segment(a, b, LINE_MM + 0.7, Ink::WHITE);
        map.signs.segment(a, b, LINE_MM, Ink::BLACK);
        for end in [a, b] {
            map.signs.disc(end, 0.7, Ink::BLACK);
        }
    }
    let lines: Vec<(PaperPoint, PaperPoint)> = (edges.iter())
        .map(|&(_, from, to)| (map.view.at(from), map.view.at(to)))
        .collect();
    for (i, &(number, ..)) in edges.iter().enumerate() {
        let words = number.to_string();
        let (w, h) = map.size_of(&words, CAP_MM, Weight::Bold);
        let (a, b) = lines[i];
        let spots = [a.lerp(b, 0.5), a, b, a.lerp(b, 0.25), a.lerp(b, 0.75)]
            .into_iter()
            .flat_map(|p| {
                [0.9, 1.8, 3.0]
                    .into_iter()
                    .flat_map(move |gap| around(p, w, h, gap))
            });
        if let Some(r) = beside_own_line(&map.placer, spots, (&lines, i)) {
            map.placer.block(r);
            map.label(r, &words, CAP_MM, Weight::Bold, Role::Number);
        }
    }
}
