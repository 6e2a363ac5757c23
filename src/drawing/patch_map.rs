//! Where to patch and where to grind, numbered.

use super::DrawingError;
use super::areas::{self, Area};
use super::figures::MarkUnit;
use super::font::{Typeface, Weight};
use super::hatch::{Hatch, hatch};
use super::key::{self, Sign};
use super::map::{Map, Subject};
use super::marks;
use super::paper::Scale;
use super::ramp::Ink;
use super::room_signs::room_signs;
use super::scene::{PaperPoint, Role, Scene};
use super::sheet::{Block, SheetStyle, notes_block, scale_block, title_block};
use super::words as word;
use crate::patch::PatchSpot;

/// What a patch map shows.
#[derive(Debug, Clone)]
pub struct PatchMapInput<'a> {
    /// The floor, its room and readings.
    pub subject: Subject<'a>,
    /// Patches to fill; numbered from 1 in this order.
    pub patches: &'a [PatchSpot],
    /// Spots to grind; numbered on from the patches.
    pub grinds: &'a [PatchSpot],
    /// What is laid at each reading, metres, negative where floor is ground: its number stands there; nothing where the floor stays.
    pub work_m: &'a [f64],
    /// Unit of the depths.
    pub unit: MarkUnit,
    /// Paper, habit and words.
    pub style: SheetStyle,
}

/// Patches tinted, spots to grind hatched, each numbered and listed with its greatest depth.
///
/// # Errors
/// [`DrawingError::Empty`] when there is nothing to patch or grind; as [`super::depth_map`] for the rest.
pub fn patch_map(input: &PatchMapInput<'_>) -> Result<Scene, DrawingError> {
    let face = Typeface::embedded()?;
    if input.patches.is_empty() && input.grinds.is_empty() {
        return Err(DrawingError::Empty {
            what: "there is nothing to patch or grind",
        });
    }
    let patches = areas_of(input, input.patches, 1);
    let grinds = areas_of(input, input.grinds, patches.len() as u32 + 1);
    let mut signs = Vec::new();
    if !patches.is_empty() {
        signs.push((Sign::Patch, word::TO_FILL.to_owned()));
    }
    if !grinds.is_empty() {
        signs.push((Sign::Above, word::TO_GRIND.to_owned()));
    }
    signs.extend(
        room_signs(&input.subject)
            .into_iter()
            .filter(|(s, _)| *s != Sign::Extended),
    );
    let worked: Vec<usize> = (0..input.work_m.len())
        .filter(|&i| !input.unit.is_nothing(input.work_m[i].abs()))
        .collect();
    if !worked.is_empty() {
        let words = word::work_at_marks(input.unit.name());
        signs.push((Sign::Mark, words));
    }
    let style = &input.style;
    let total = patches.len() + grinds.len();
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        vec![
            title_block(&face, &style.block, width),
            scale_block(&face, scale, style.habit, width),
            key::sign_block(&face, &signs, width),
            list(&face, word::FILL, &patches, width),
            list(&face, word::GRIND, &grinds, width),
            notes_block(&face, &style.block.notes, width),
            areas::reserve(&face, word::AREAS, total, width),
        ]
    };
    let subject = Subject {
        high: &[],
        low: &[],
        ..input.subject
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    map.grid();
    let number = |i: usize| input.unit.number(input.work_m[i]);
    let widest = (worked.iter().map(|&i| map.number_width(&number(i), 1.0))).fold(0.0, f64::max);
    let style = marks::style(map.view.mm(map.subject.floor.spacing()), widest);
    let crowded = style.every > 1 && !worked.is_empty();
    let chosen: Vec<usize> = if crowded { Vec::new() } else { worked };
    map.marks(style, &chosen, &number, &|_| Ink::WHITE);
    let number_areas = if chosen.is_empty() {
        areas::number
    } else {
        areas::number_in_rings
    };
    let mut unnumbered = number_areas(&mut map, &patches);
    unnumbered.extend(number_areas(&mut map, &grinds));
    map.wall_names();
    map.names();
    areas::tint(&mut map, &patches, &|_| key::PATCH);
    map.grid_lines();
    let view = map.view;
    let hatched: Vec<Vec<PaperPoint>> = grinds
        .iter()
        .flat_map(|a| &a.loops)
        .map(|points| view.ring(points))
        .collect();
    hatch(&mut map.lines, &hatched, Hatch::ABOVE, &map.placer);
    areas::edges(&mut map, &patches);
    areas::edges(&mut map, &grinds);
    map.not_surveyed();
    map.dots();
    let listed = crowded.then(|| word::DEPTHS_LISTED.to_owned());
    let notes = listed
        .into_iter()
        .chain(areas::too_small(word::AREAS, &unnumbered));
    let notes: Vec<String> = notes.collect();
    Ok(map.finish((!notes.is_empty()).then(|| notes.join(" "))))
}

fn areas_of(input: &PatchMapInput<'_>, spots: &[PatchSpot], first: u32) -> Vec<Area> {
    spots
        .iter()
        .zip(first..)
        .map(|(spot, number)| {
            let outer = spot.outlines.iter().map(|r| r.points().to_vec());
            let holes = spot.islands.iter().map(|r| {
                let mut points = r.points().to_vec();
                points.reverse();
                points
            });
            Area {
                number,
                loops: outer.chain(holes).collect(),
                label_at: spot.deepest_at,
                words: if input.unit.number(spot.deepest_m) == "0" {
                    word::under(&input.unit.with_unit(input.unit.step_m()))
                } else {
                    input.unit.with_unit(spot.deepest_m)
                },
            }
        })
        .collect()
}

/// More areas than this are left to the sheet's table.
const MOST_LISTED: usize = 16;

/// Number and greatest depth of each area.
fn list(face: &Typeface, verb: &str, areas: &[Area], width: f64) -> Block {
    let mut out = Block::default();
    for area in areas.iter().take(MOST_LISTED) {
        let words = word::area(area.number, verb, &area.words);
        out.paragraph(face, &words, width, (2.1, Weight::Bold), Role::Legend);
        out.space(0.5);
    }
    out
}
