//! Worst placements of the edge on the plan, and what placements could not reach.

use super::DrawingError;
use super::bands::BandScale;
use super::edges;
use super::figures::MarkUnit;
use super::font::{Typeface, Weight};
use super::hatch::{Hatch, hatch};
use super::key::{self, Sign};
use super::labels::{around, beside_own_line};
use super::map::{Map, Subject, covering};
use super::paper::Scale;
use super::ramp::Ink;
use super::room_signs::room_signs;
use super::scene::{PaperPoint, Rect, Role, Scene, Text};
use super::sheet::{Block, SheetStyle, notes_block, scale_block, title_block};
use super::words as word;
use crate::flatness::{Departure, Placement};
use crate::surface::level_rings;

/// One placement to draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeMark {
    /// Its number on the sheet.
    pub number: u32,
    /// Where the edge lies.
    pub placement: Placement,
    /// Dip or hump.
    pub departure: Departure,
}

/// What a flatness map shows.
#[derive(Debug, Clone)]
pub struct FlatnessMapInput<'a> {
    /// The floor, its room and readings.
    pub subject: Subject<'a>,
    /// Largest departure at each vertex of the floor, metres, for shading; `None`: no shading.
    pub departures_m: Option<&'a [f64]>,
    /// What the shading shows: "Dip under 10 ft".
    pub heading: &'a str,
    /// Worst placements.
    pub edges: &'a [EdgeMark],
    /// Unit of the gaps.
    pub unit: MarkUnit,
    /// Shades; `None`: covering the departures.
    pub bands: Option<BandScale>,
    /// Paper, habit and words.
    pub style: SheetStyle,
}

/// Worst placements as numbered edges over the departure of the floor.
///
/// # Errors
/// [`DrawingError`]; [`DrawingError::Empty`] when the departures do not belong to this floor.
pub fn flatness_map(input: &FlatnessMapInput<'_>) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    let subject = input.subject;
    let values = input.departures_m.unwrap_or_default();
    if input.departures_m.is_some() && values.len() != subject.floor.vertices().len() {
        return Err(DrawingError::Empty {
            what: "the departures do not belong to this floor: one is needed for each vertex",
        });
    }
    if values.iter().any(|v| !v.is_finite()) {
        return Err(DrawingError::NotFinite {
            what: "a departure from the edge",
        });
    }
    // The departures are sampled at the vertices; the edges are the worst anywhere, and none may lie beyond the last shade.
    let gaps = input.edges.iter().map(|e| e.placement.gap_m);
    let scale_of_bands = input
        .bands
        .clone()
        .unwrap_or_else(|| covering(values.iter().copied().chain(gaps), input.unit));
    let mut signs: Vec<(Sign, String)> = Vec::new();
    let any = |d: Departure| input.edges.iter().any(|e| e.departure == d);
    if any(Departure::Dip) {
        signs.push((Sign::Edge, word::EDGE_OVER_DIP.to_owned()));
    }
    if any(Departure::Hump) {
        signs.push((Sign::HumpEdge, word::SPAN_OVER_HUMP.to_owned()));
    }
    if !input.edges.is_empty() {
        signs.push((Sign::Worst, word::FARTHEST.to_owned()));
    }
    signs.extend(room_signs(&subject));
    let style = &input.style;
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        let mut out = vec![
            title_block(&face, &style.block, width),
            scale_block(&face, scale, style.habit, width),
        ];
        if input.departures_m.is_some() {
            out.push(key::band_block(
                &face,
                input.heading,
                &scale_of_bands,
                input.unit,
                width,
            ));
        }
        out.push(edge_list(&face, input, width));
        out.push(key::sign_block(&face, &signs, width));
        out.push(notes_block(&face, &style.block.notes, width));
        out
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    map.grid();
    place_edges(&mut map, input.edges);
    map.wall_names();
    map.names();
    if input.departures_m.is_some() {
        let levels = scale_of_bands.levels_m();
        let shades = scale_of_bands.shades();
        let rings = level_rings(subject.floor, values, levels);
        map.contours(
            &rings,
            1,
            &|band| input.unit.with_unit(levels[band - 1]),
            &|band| shades[band],
        );
        map.bands(&rings, &shades);
    }
    map.grid_lines();
    map.uncertain_floor();
    Ok(map.finish(None))
}

/// Number, gap and length of each edge, as a list in the panel.
fn edge_list(face: &Typeface, input: &FlatnessMapInput<'_>, width: f64) -> Block {
    let mut out = Block::default();
    for edge in input.edges {
        let kind = match edge.departure {
            Departure::Dip => word::DIP,
            Departure::Hump => word::HUMP,
        };
        let words = word::edge(
            edge.number,
            &input.unit.gap(edge.placement.gap_m),
            kind,
            &super::figures::distance_with_unit(edge.placement.chord_m(), input.style.habit),
        );
        out.paragraph(face, &words, width, (2.1, Weight::Bold), Role::Legend);
        out.space(0.5);
    }
    out
}

/// The edges with their contacts, worst places and numbers.
pub(super) fn place_edges(map: &mut Map<'_>, marks: &[EdgeMark]) {
    // Signs first, numbers after: a number of one edge must not stand on the contact of another.
    for mark in marks {
        let (a, b) = (
            map.view.at(mark.placement.from),
            map.view.at(mark.placement.to),
        );
        let at = map.view.at(mark.placement.at);
        map.placer.block_line(a, b);
        for (p, r) in [(a, 1.3), (b, 1.3), (at, 1.2)] {
            map.placer
                .block(Rect::new(p.shifted(-r, -r), p.shifted(r, r)));
        }
        match mark.departure {
            Departure::Dip => {
                map.signs.segment(a, b, edges::EDGE_MM + 0.9, Ink::WHITE);
                map.signs.segment(a, b, edges::EDGE_MM, Ink::BLACK);
            }
            Departure::Hump => edges::hump(&mut map.signs, a, b),
        }
        edges::contact(&mut map.signs, a);
        edges::contact(&mut map.signs, b);
        edges::worst(&mut map.signs, at);
    }
    let lines: Vec<(PaperPoint, PaperPoint)> = (marks.iter())
        .map(|m| (map.view.at(m.placement.from), map.view.at(m.placement.to)))
        .collect();
    for (i, mark) in marks.iter().enumerate() {
        let words = mark.number.to_string();
        let cap = 2.6;
        let (w, h) = map.size_of(&words, cap, Weight::Bold);
        let side = w.max(h) + 2.0;
        let (a, b) = lines[i];
        let at = map.view.at(mark.placement.at);
        let places = [
            a,
            at,
            b,
            a.lerp(b, 0.25),
            a.lerp(b, 0.75),
            a.lerp(b, 0.5),
            a.lerp(b, 0.125),
            a.lerp(b, 0.875),
        ];
        let spots = places.into_iter().flat_map(|p| {
            [1.9, 3.5, 6.0]
                .into_iter()
                .flat_map(move |gap| around(p, side, side, gap))
        });
        if let Some(r) = beside_own_line(&map.placer, spots, (&lines, i)) {
            map.placer.block(r);
            let m = r.middle();
            map.signs.disc(m, side / 2.0, Ink::WHITE);
            map.signs.circle(m, side / 2.0, 0.4, Ink::BLACK);
            let at = PaperPoint::new(m.x - w / 2.0, m.y + cap / 2.0);
            map.labels
                .text(Text::new(at, words, cap, Role::Number).bold());
        }
    }
}

/// What a coverage map shows.
#[derive(Debug, Clone)]
pub struct CoverageMapInput<'a> {
    /// The floor, its room and readings.
    pub subject: Subject<'a>,
    /// For each triangle of the floor: whether placements that can judge the span reach it.
    pub reached: &'a [bool],
    /// The span in words: "10 ft edge".
    pub span: &'a str,
    /// Paper, habit and words.
    pub style: SheetStyle,
}

/// Which floor the readings can judge at a span, and which they cannot.
///
/// # Errors
/// As [`flatness_map`].
pub fn coverage_map(input: &CoverageMapInput<'_>) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    let subject = input.subject;
    let floor = subject.floor;
    if input.reached.len() != floor.triangles().len() {
        return Err(DrawingError::Empty {
            what: "the coverage does not belong to this floor: one answer is needed for each triangle",
        });
    }
    let mut signs = vec![
        (Sign::Mark, word::READING.to_owned()),
        (Sign::Reached, word::judged(input.span)),
        (Sign::Unreached, word::not_tested(input.span)),
    ];
    signs.extend(
        room_signs(&subject)
            .into_iter()
            .filter(|(s, _)| *s != Sign::Extended),
    );
    let style = &input.style;
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        key::plain_blocks(&face, style, &signs, scale, width)
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    map.grid();
    map.wall_names();
    map.names();
    let view = map.view;
    let unreached: Vec<Vec<PaperPoint>> = (0..floor.triangles().len() as u32)
        .filter(|&t| !input.reached[t as usize])
        .map(|t| floor.corners(t).iter().map(|v| view.at(v.at)).collect())
        .collect();
    map.grid_lines();
    hatch(&mut map.lines, &unreached, Hatch::ABOVE, &map.placer);
    map.not_surveyed();
    map.dots();
    Ok(map.finish(None))
}
