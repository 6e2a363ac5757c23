//! The pour on the plan: numbered batches, tie-in lines, direction.

use super::DrawingError;
use super::areas::{self, Area};
use super::font::Typeface;
use super::key::{self, Sign};
use super::map::{Map, Subject};
use super::paper::Scale;
use super::ramp::Ink;
use super::room_signs::room_signs;
use super::scene::{Dash, Rect, Scene};
use super::sheet::{Block, SheetStyle};
use super::words as word;
use crate::geometry::Point;
use crate::pour::{Batch, Lift};

/// What a pour map shows.
#[derive(Debug, Clone)]
pub struct PourMapInput<'a> {
    /// The floor, its room and readings.
    pub subject: Subject<'a>,
    /// The lift whose pour is shown.
    pub lift: &'a Lift,
    /// Paper, habit and words.
    pub style: SheetStyle,
}

/// Two tints, by turns, so that neighbours differ without a scale of depth being read into them.
const TINTS: [Ink; 2] = [Ink(255, 255, 255), Ink(222, 235, 247)];
const TIE_MM: f64 = 0.7;
/// Arrows longer than this say no more, millimetres.
const LONGEST_ARROW: f64 = 10.0;

/// Batches in order with their bags, the wet edges between them, and which way the pour runs.
///
/// # Errors
/// [`DrawingError::Empty`] for a plan without batches; as [`super::depth_map`] for the rest.
pub fn pour_map(input: &PourMapInput<'_>) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    let batches = &input.lift.batches;
    if batches.is_empty() {
        return Err(DrawingError::Empty {
            what: "the pour has no batches",
        });
    }
    let mut signs = vec![
        (Sign::Batch, word::BATCH.to_owned()),
        (Sign::Direction, word::DIRECTION.to_owned()),
    ];
    if batches.iter().any(|b| !b.tie_lines.is_empty()) {
        signs.insert(1, (Sign::TieIn, word::TIE_IN.to_owned()));
    }
    let dams: Vec<[Point; 2]> = (input.lift.bays.iter())
        .flat_map(|bay| bay.dam.lines.iter().copied())
        .collect();
    if !dams.is_empty() {
        signs.insert(1, (Sign::Dam, word::DAM.to_owned()));
    }
    signs.extend(
        room_signs(&input.subject)
            .into_iter()
            .filter(|(s, _)| *s != Sign::Extended),
    );
    let style = &input.style;
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        let mut out = key::plain_blocks(&face, style, &signs, scale, width);
        out.push(areas::reserve(&face, word::BATCHES, batches.len(), width));
        out
    };
    let areas: Vec<Area> = batches
        .iter()
        .map(|b| Area {
            number: b.number,
            loops: b.outline.clone(),
            label_at: b.label_at,
            words: word::bags(b.bags),
        })
        .collect();
    // The first batch is the start: an X would be taken for the high point.
    let subject = Subject {
        high: &[],
        low: &[],
        ..input.subject
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    map.grid();
    let unnumbered = areas::number(&mut map, &areas);
    // A batch in several pieces has its number in each.
    let others: Vec<Area> = batches
        .iter()
        .flat_map(|b| b.also_at.iter().map(move |&at| (b, at)))
        .filter_map(|(b, label_at)| {
            let piece = |ring: &Vec<Point>| Area {
                number: b.number,
                loops: vec![ring.clone()],
                label_at,
                words: String::new(),
            };
            let mut pieces = b.outline.iter().map(piece);
            pieces.find(|a| a.covers(label_at))
        })
        .collect();
    let mut elsewhere = areas::number(&mut map, &others);
    elsewhere.sort_unstable();
    elsewhere.dedup();
    map.wall_names();
    map.names();

    areas::tint(&mut map, &areas, &|number| TINTS[number as usize % 2]);
    areas::edges(&mut map, &areas);
    for (width_mm, ink) in [(key::DAM_MM, Ink::BLACK), (key::DAM_MM / 3.0, Ink::WHITE)] {
        for [a, b] in &dams {
            let line = vec![map.view.at(*a), map.view.at(*b)];
            map.lines.line(line, width_mm, ink, Dash::Solid);
        }
    }
    for batch in batches {
        for [a, b] in &batch.tie_lines {
            let line = vec![map.view.at(*a), map.view.at(*b)];
            map.lines.line(line, TIE_MM, Ink::BLACK, key::TIE_DASH);
        }
    }
    arrows(&mut map, batches, &areas);
    map.grid_lines();
    map.not_surveyed();
    let notes: Vec<String> = areas::too_small(word::BATCHES, &unnumbered)
        .into_iter()
        .chain(areas::too_small(word::SECOND_PLACES, &elsewhere))
        .collect();
    Ok(map.finish((!notes.is_empty()).then(|| notes.join(" "))))
}

/// Over the middle of each batch's longest tie-in and square to it, into the batch.
fn arrows(map: &mut Map<'_>, batches: &[Batch], areas: &[Area]) {
    for (batch, area) in batches.iter().zip(areas) {
        let longest = batch
            .tie_lines
            .iter()
            .copied()
            .max_by(|x, y| x[0].distance(x[1]).total_cmp(&y[0].distance(y[1])));
        let Some([a, b]) = longest else {
            continue;
        };
        let length = a.distance(b);
        if length <= 0.0 {
            continue;
        }
        // Of the two ways across the line, the one towards the batch's own floor.
        let across = Point::new(-(b.y - a.y) / length, (b.x - a.x) / length);
        let nudge = 0.5 / map.view.scale.mm_per_m();
        let into = |p: Point| {
            if area.covers(p + across * nudge) {
                across
            } else {
                across * -1.0
            }
        };
        // Beside a number in the way there is another place along the line.
        for share in [0.5, 0.35, 0.65, 0.2, 0.8] {
            let middle = a.lerp(b, share);
            let way = into(middle);
            let at = map.view.at(middle);
            let (dx, dy) = (way.x, -way.y);
            let tail = at.shifted(-dx * 1.8, -dy * 1.8);
            let reach = [LONGEST_ARROW, 7.0, 4.5].into_iter().find(|r| {
                let tip = at.shifted(dx * (r + 1.0), dy * (r + 1.0));
                let band = Rect::new(tail, tip).grown(1.2);
                area.covers(map.view.plan(tip)) && map.placer.is_free(&band)
            });
            if let Some(reach) = reach {
                let tip = at.shifted(dx * reach, dy * reach);
                key::arrow(&mut map.signs, tail, tip);
                break;
            }
        }
    }
}
