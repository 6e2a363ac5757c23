//! What a sheet says beside the drawing: title, facts, scale, key, notes; and where they stand.

use super::DrawingError;
use super::font::{Typeface, Weight};
use super::paper::{Paper, Scale, largest_scale};
use super::plan::Extent;
use super::ramp::Ink;
use super::scene::{Anchor, PaperPoint, Rect, Role, Scene, Shape, Text};
use crate::units::Habit;

/// Words that head a sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TitleBlock {
    /// What the sheet is: "Fill depth", and of which room.
    pub title: String,
    /// Name and value of each fact, already in the reader's units: place, date, plane, gauge depth, volume.
    pub facts: Vec<(String, String)>,
    /// Sentences under the key: cautions, what was not checked.
    pub notes: Vec<String>,
}

/// Paper, units habit and words of a sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetStyle {
    /// Paper size.
    pub paper: Paper,
    /// Habit of units: decides the scales and how lengths are written.
    pub habit: Habit,
    /// Words of the sheet.
    pub block: TitleBlock,
    /// Width and height of a sheet larger than any paper, millimetres, to be cut into pages; `None`: the
    /// paper itself.
    pub poster_mm: Option<(f64, f64)>,
    /// Whether the sheet must stand upright, among upright pages, even where lying it would take a larger
    /// scale.
    pub upright: bool,
}

/// Free edge round everything, millimetres: printers cannot reach closer.
const EDGE_MM: f64 = 8.0;
/// Space between panel columns and between blocks, millimetres.
const GAP_MM: f64 = 4.0;
/// Height of the capitals of titles, of values, and of running text, millimetres.
const TITLE_CAP: f64 = 3.4;
const VALUE_CAP: f64 = 2.3;
const TEXT_CAP: f64 = 2.0;
/// Baseline to baseline as a multiple of the height of capitals.
const LEADING: f64 = 1.75;

/// Shapes that stand together, measured from their own upper left corner.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Block {
    /// Height taken, millimetres.
    pub height_mm: f64,
    /// What is in it.
    pub shapes: Vec<Shape>,
    /// Room kept for a note whose words are known only once the map is drawn.
    pub is_reserve: bool,
}

impl Block {
    /// Adds a paragraph below what is there, broken to `width_mm`.
    pub(super) fn paragraph(
        &mut self,
        face: &Typeface,
        words: &str,
        width_mm: f64,
        (cap_mm, weight): (f64, Weight),
        role: Role,
    ) {
        for line in face.wrap(words, width_mm, cap_mm, weight) {
            let at = PaperPoint::new(0.0, self.height_mm + cap_mm * 1.25);
            let text = Text {
                weight,
                ..Text::new(at, line, cap_mm, role)
            };
            self.shapes.push(Shape::Text(text));
            self.height_mm += cap_mm * LEADING;
        }
    }

    /// Adds free height.
    pub(super) fn space(&mut self, mm: f64) {
        self.height_mm += mm;
    }
}

/// Title and facts.
pub(super) fn title_block(face: &Typeface, block: &TitleBlock, width: f64) -> Block {
    let mut out = Block::default();
    let bold = |cap| (cap, Weight::Bold);
    out.paragraph(face, &block.title, width, bold(TITLE_CAP), Role::Title);
    out.space(1.0);
    for (name, value) in &block.facts {
        // Name and value on one line where both fit, else one under the other.
        let name_w = face.width_mm(name, TEXT_CAP, Weight::Regular) + 1.5;
        let value_w = face.width_mm(value, VALUE_CAP, Weight::Bold);
        if name_w + value_w <= width {
            let y = out.height_mm + VALUE_CAP * 1.25;
            let at = PaperPoint::new(0.0, y);
            out.shapes
                .push(Shape::Text(Text::new(at, name, TEXT_CAP, Role::Title)));
            let at = PaperPoint::new(width, y);
            let value = Text::new(at, value, VALUE_CAP, Role::Title);
            out.shapes
                .push(Shape::Text(value.bold().anchored(Anchor::End)));
            out.height_mm += VALUE_CAP * LEADING;
        } else {
            out.paragraph(face, name, width, (TEXT_CAP, Weight::Regular), Role::Title);
            out.paragraph(face, value, width, bold(VALUE_CAP), Role::Title);
        }
    }
    out
}

/// A heading with sentences under it; empty when there are none.
pub(super) fn notes_block(face: &Typeface, notes: &[String], width: f64) -> Block {
    let mut out = Block::default();
    for note in notes {
        out.paragraph(face, note, width, (TEXT_CAP, Weight::Regular), Role::Note);
        out.space(0.8);
    }
    out
}

/// Stated scale with a bar.
pub(super) fn scale_block(face: &Typeface, scale: Scale, habit: Habit, width: f64) -> Block {
    let mut out = Block::default();
    let words = super::words::scale(scale.words);
    out.paragraph(face, &words, width, (VALUE_CAP, Weight::Bold), Role::Legend);
    let (unit_m, unit, steps): (f64, &str, &[f64]) = match habit {
        Habit::Us => (
            crate::units::FOOT_M,
            "ft",
            &[
                1.0, 2.0, 4.0, 8.0, 10.0, 20.0, 40.0, 80.0, 100.0, 200.0, 400.0, 1000.0,
            ],
        ),
        Habit::Metric => (
            1.0,
            "m",
            &[
                0.2, 0.4, 1.0, 2.0, 4.0, 10.0, 20.0, 40.0, 100.0, 200.0, 400.0,
            ],
        ),
    };
    let mm = |n: f64| n * unit_m * scale.mm_per_m();
    let length = steps
        .iter()
        .copied()
        .rev()
        .find(|&n| mm(n) <= width - 8.0)
        .unwrap_or(steps[0]);
    let top = out.height_mm + 1.0;
    for i in 0..4 {
        let (a, b) = (
            mm(length) * f64::from(i) / 4.0,
            mm(length) * f64::from(i + 1) / 4.0,
        );
        let r = Rect::new(PaperPoint::new(a, top), PaperPoint::new(b, top + 1.6));
        let mut bar = Scene::new("", 0.0, 0.0);
        if i % 2 == 0 {
            bar.fill_rect(r, Ink::BLACK);
        }
        bar.frame(r, 0.15, Ink::BLACK);
        out.shapes.append(&mut bar.shapes);
    }
    let y = top + 1.6 + TEXT_CAP * 1.4;
    for (n, with_unit) in [(0.0, false), (length / 2.0, false), (length, true)] {
        let figure = super::figures::plain(n, usize::from(n.fract() != 0.0));
        let figure_w = face.width_mm(&figure, TEXT_CAP, Weight::Regular);
        let at = PaperPoint::new((mm(n) - figure_w / 2.0).max(0.0), y);
        let words = if with_unit {
            format!("{figure} {unit}")
        } else {
            figure
        };
        out.shapes
            .push(Shape::Text(Text::new(at, words, TEXT_CAP, Role::Legend)));
    }
    out.height_mm = y + TEXT_CAP * 0.5;
    out
}

/// Where map and panel stand on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    pub width_mm: f64,
    pub height_mm: f64,
    pub map: Rect,
    pub columns: Vec<Rect>,
    pub scale: Scale,
}

/// A layout with every block and where it stands.
type Placed = (Layout, Vec<(PaperPoint, Block)>);

/// Widths of a panel column: beside the map, and under it.
fn column_width(paper: Paper) -> f64 {
    match paper {
        Paper::Letter | Paper::A4 => 58.0,
        Paper::Tabloid | Paper::A3 => 66.0,
    }
}

/// Tries the sheet lying and upright and takes the larger scale; lying when they tie and the plan is wide.
///
/// `blocks` are made for a column width and a scale; `fringe` is the room that names and dimensions
/// need left, top, right and bottom of the plan.
pub(super) fn lay_out(
    style: &SheetStyle,
    extent: Extent,
    fringe: [f64; 4],
    blocks: &dyn Fn(f64, Scale) -> Vec<Block>,
) -> Result<Placed, DrawingError> {
    let paper = style.paper;
    let (short, long) = style
        .poster_mm
        .map_or(paper.sides_mm(), |(w, h)| (w.min(h), w.max(h)));
    let mut best: Option<Placed> = None;
    let mut failure = DrawingError::TooMuchText {
        paper: paper.name(),
    };
    let plan = extent.size_m();
    let wide = plan.0 >= plan.1;
    for lying in if wide { [true, false] } else { [false, true] } {
        // A poster keeps the shape it was asked for.
        if style.poster_mm.is_some_and(|(w, h)| (w > h) != lying) {
            continue;
        }
        if style.upright && lying && style.poster_mm.is_none() {
            continue;
        }
        let size = if lying { (long, short) } else { (short, long) };
        match on_sheet(style, size, plan, fringe, blocks) {
            Ok(Some(placed)) => {
                let better = best
                    .as_ref()
                    .is_none_or(|(b, _)| placed.0.scale.ratio < b.scale.ratio);
                if better {
                    best = Some(placed);
                }
            }
            Ok(None) => {}
            Err(error) => failure = error,
        }
    }
    best.ok_or(failure)
}

/// A sheet of one size with the least panel that takes all blocks, beside the map where the sheet lies and under it
/// where it stands; `None` where no panel does.
///
/// # Errors
/// The plan fits at no scale.
fn on_sheet(
    style: &SheetStyle,
    (w, h): (f64, f64),
    plan: (f64, f64),
    fringe: [f64; 4],
    blocks: &dyn Fn(f64, Scale) -> Vec<Block>,
) -> Result<Option<Placed>, DrawingError> {
    let column = column_width(style.paper);
    let inside = Rect {
        left: EDGE_MM,
        top: EDGE_MM,
        right: w - EDGE_MM,
        bottom: h - EDGE_MM,
    };
    for step in 0..40 {
        let parted = if w > h {
            panel_beside(inside, column, 1 + step)
        } else {
            panel_under(inside, column, 30.0 + f64::from(step) * 4.0)
        };
        let Some((map, columns)) = parted else {
            return Ok(None);
        };
        let space = (
            map.width() - fringe[0] - fringe[2],
            map.height() - fringe[1] - fringe[3],
        );
        let scale = largest_scale(style.habit, plan, space, style.paper)?;
        let width = columns.first().map_or(column, Rect::width);
        if let Some(placed) = flow(blocks(width, scale), &columns) {
            let layout = Layout {
                width_mm: w,
                height_mm: h,
                map,
                columns,
                scale,
            };
            return Ok(Some((layout, placed)));
        }
    }
    Ok(None)
}

/// Map to the left, panel columns to the right of it; `None` where they would take most of the sheet.
fn panel_beside(inside: Rect, column: f64, count: i32) -> Option<(Rect, Vec<Rect>)> {
    let taken = f64::from(count) * (column + GAP_MM);
    if taken > inside.width() * 0.7 {
        return None;
    }
    let map = Rect {
        right: inside.right - taken,
        ..inside
    };
    let columns = (0..count)
        .map(|i| {
            let left = map.right + GAP_MM + f64::from(i) * (column + GAP_MM);
            Rect {
                left,
                right: left + column,
                ..inside
            }
        })
        .collect();
    Some((map, columns))
}

/// Map above, panel columns of one height under it, as many as the sheet is wide for; `None` where they would take
/// most of the sheet.
fn panel_under(inside: Rect, least_column: f64, height: f64) -> Option<(Rect, Vec<Rect>)> {
    let count = ((inside.width() + GAP_MM) / (least_column + GAP_MM)).floor();
    let column = (inside.width() + GAP_MM) / count - GAP_MM;
    if height > inside.height() * 0.7 {
        return None;
    }
    let map = Rect {
        bottom: inside.bottom - height - GAP_MM,
        ..inside
    };
    let columns = (0..count as u32)
        .map(|i| {
            let left = inside.left + f64::from(i) * (column + GAP_MM);
            Rect {
                left,
                right: left + column,
                top: map.bottom + GAP_MM,
                bottom: inside.bottom,
            }
        })
        .collect();
    Some((map, columns))
}

/// Blocks one under the other, column after column; `None` when they need more room.
fn flow(blocks: Vec<Block>, columns: &[Rect]) -> Option<Vec<(PaperPoint, Block)>> {
    let mut out = Vec::new();
    let mut column = columns.iter();
    let mut here = *column.next()?;
    let mut y = here.top;
    for block in blocks {
        if block.height_mm == 0.0 {
            continue;
        }
        while y + block.height_mm > here.bottom {
            here = *column.next()?;
            y = here.top;
        }
        out.push((PaperPoint::new(here.left, y), block.clone()));
        y += block.height_mm + GAP_MM;
    }
    Some(out)
}

/// A shape moved on the sheet.
pub(super) fn moved(shape: &Shape, by: PaperPoint) -> Shape {
    let shift = |p: &PaperPoint| p.shifted(by.x, by.y);
    match shape {
        Shape::Fill { ring, ink } => Shape::Fill {
            ring: ring.iter().map(shift).collect(),
            ink: *ink,
        },
        Shape::Line {
            points,
            width_mm,
            ink,
            dash,
        } => Shape::Line {
            points: points.iter().map(shift).collect(),
            width_mm: *width_mm,
            ink: *ink,
            dash: *dash,
        },
        Shape::Circle {
            at,
            radius_mm,
            width_mm,
            ink,
        } => Shape::Circle {
            at: shift(at),
            radius_mm: *radius_mm,
            width_mm: *width_mm,
            ink: *ink,
        },
        Shape::Text(text) => Shape::Text(Text {
            at: shift(&text.at),
            ..text.clone()
        }),
        Shape::Open { .. } | Shape::Close => shape.clone(),
    }
}
