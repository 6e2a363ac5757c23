//! Crew sheets: mark-out, flatness, pour, grind and patch.

use super::orientation::Orientation;
pub use super::plan_sheet::SheetDrawing;
pub(crate) use super::plan_sheet::push_sheets;
pub use super::pour_sheet::{BatchRow, LiftRows, PourSheet, batches_table, pour};
use super::words::crew as w;
use super::{Align, Block, Column, Document, Head, Pen, Picture, Table, Tone, words};
use crate::analysis::Mark;
use crate::drawing::MarkUnit;
use crate::fill::{Fill, Plane, PlaneRule};
use crate::flatness::{Procedure, Verdict};
use crate::geometry::Point;
use crate::units::Habit;

/// Of depths at marks, the share from which on those half-way between two steps call for a finer one: fewer are means of marks read twice. Our own choice, no published source.
const HALF_WAY: f64 = 0.1;

/// A depth lies half-way between two steps where it does to so much of one.
const HALF_WAY_STEP: f64 = 1e-4;

/// What the numbers of a mark-out count: the usual unit, or a finer one that holds the gauge, the step of the readings (`step_m`) or the depths
/// themselves. Marks read in sixteenths lie half a sixteenth off under a gauge of 3/32 in, or in a set-up tied by half a sixteenth, and every
/// second one would round onto its neighbour.
pub fn mark_unit(pen: Pen, gauge_m: f64, step_m: f64, depths_m: &[f64]) -> MarkUnit {
    let usual = MarkUnit::usual(pen.habit);
    let is_half_way = |depth_m: &&f64| {
        let steps = depth_m.abs() / usual.step_m();
        (steps.fract() - 0.5).abs() < HALF_WAY_STEP
    };
    let half_way = depths_m.iter().filter(is_half_way).count();
    let of_depths = if half_way as f64 > HALF_WAY * depths_m.len() as f64 {
        usual.step_m() / 2.0
    } else {
        0.0
    };
    [gauge_m, step_m, of_depths]
        .map(|m| MarkUnit::holding(pen.habit, m))
        .into_iter()
        .find(|unit| *unit != usual)
        .unwrap_or(usual)
}

/// What a crew writes at a mark: fill, grind or leave, counted as on the plan. Parts of an inch carry the same in
/// inches beside them.
pub fn mark_text(pen: Pen, unit: MarkUnit, depth_m: f64) -> String {
    let size = depth_m.abs();
    let count = unit.number(size);
    if unit.is_nothing(size) {
        return words::LEAVE.to_owned();
    }
    let count = match pen.habit {
        Habit::Us => w::in_inches(&count, &unit.without_unit(size)),
        Habit::Metric => count,
    };
    if depth_m > 0.0 {
        w::fill(&count)
    } else {
        w::grind(&count)
    }
}

/// How the finish was chosen, in a sentence.
pub fn finish_text(pen: Pen, fill: &Fill) -> String {
    let text = match &fill.rule {
        PlaneRule::OverHighPoint { gauge_m } if *gauge_m < 0.0 => {
            w::below_high_point(&pen.stated(-gauge_m))
        }
        PlaneRule::OverHighPoint { gauge_m } => w::over_high_point(&pen.stated(*gauge_m)),
        PlaneRule::AtLevel { .. } => w::at_level(&pen.held_rise(fill.gauge_depth_m)),
        PlaneRule::Fall { plane } => falls(pen, plane),
        PlaneRule::LeastFill => w::LEAST_FILL.to_owned(),
    };
    match fill.gauge_from {
        Some(why) => format!("{text} {}", w::gauge_assumed(why)),
        None => text,
    }
}

/// A stated fall, with the side of the plan that it runs down to.
fn falls(pen: Pen, plane: &Plane) -> String {
    /// The sine of 22.5 degrees: a fall that runs aside by less runs straight.
    const ASIDE: f64 = 0.382_683;
    let share = plane.sx.hypot(plane.sy);
    let side = |rise: f64, sides: [&'static str; 2]| match rise / share {
        r if r > ASIDE => Some(sides[0]),
        r if r < -ASIDE => Some(sides[1]),
        _ => None,
    };
    let towards = [
        side(plane.sy, ["bottom", "top"]),
        side(plane.sx, ["left", "right"]),
    ];
    let towards: Vec<&str> = towards.into_iter().flatten().collect();
    w::falls(&pen.percent(share), &towards.join(" "))
}

/// How the finish was chosen, in a few words, for the side of a drawing.
pub fn finish_short(pen: Pen, fill: &Fill) -> String {
    match &fill.rule {
        PlaneRule::OverHighPoint { gauge_m } if *gauge_m < 0.0 => {
            words::plan::below_high(&pen.stated(-gauge_m))
        }
        PlaneRule::OverHighPoint { gauge_m } => words::plan::over_high(&pen.stated(*gauge_m)),
        PlaneRule::AtLevel { .. } => words::plan::at_level(&pen.held_rise(fill.gauge_depth_m)),
        PlaneRule::Fall { plane } => falls(pen, plane),
        PlaneRule::LeastFill => w::LEAST_FILL.to_owned(),
    }
}

/// The mark-out sheet: the depth map at a stated scale, then every mark in walking order.
pub fn mark_out(
    head: &Head,
    maps: &[SheetDrawing],
    fill: &Fill,
    (marks, unit): (&[Mark], MarkUnit),
    orientation: &Orientation,
) -> Document {
    let pen = head.pen();
    let mut d = head.document(w::MARK_OUT);
    d.push(Block::Lead {
        text: w::depth_line(
            &finish_text(pen, fill),
            &pen.depth(fill.mean_depth_m),
            &unit.with_unit(fill.deepest_m),
            &orientation.place(pen, fill.deepest_at),
            words::answer::known(fill.deepest_on),
        ),
    });
    d.heading(1, w::WALK);
    d.text(w::walk_intro(
        marks.len(),
        &unit.with_unit(unit.step_m()),
        &orientation.left,
        &orientation.bottom,
    ));
    d.push(Block::Table(marks_table(pen, unit, marks, orientation)));
    // The map comes first in the crew's hand.
    let list = std::mem::take(&mut d.blocks);
    push_sheets(&mut d, "depth", w::MAP_ALT, w::PLAN, maps);
    d.blocks.extend(list);
    d
}

/// One laying of the edge, as the flatness sheet lists it.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacementRow {
    /// Number on the plan.
    pub number: usize,
    /// Which check it belongs to.
    pub check: String,
    /// How the edge is used.
    pub procedure: Procedure,
    /// Length of the edge, metres.
    pub span_m: f64,
    /// Gap found, metres.
    pub gap_m: f64,
    /// Limit, metres.
    pub limit_m: f64,
    /// The word of the part that it belongs to.
    pub verdict: Verdict,
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Where the gap is greatest.
    pub at: Point,
    /// Its profile: SVG, with what it shows in words.
    pub profile: Option<String>,
}

/// Table of placements, numbered as on the plan.
pub fn placements_table(pen: Pen, orientation: &Orientation, rows: &[PlacementRow]) -> Table {
    Table {
        columns: vec![
            Column::figures(w::NUMBER),
            Column::words(w::CHECK, 1.3),
            Column::figures(words::with_unit(w::GAP, pen.gap_unit())),
            Column::figures(words::with_unit(w::LIMIT, pen.gap_unit())),
            Column::figures(w::SPAN),
            Column::words(w::FROM, 0.0),
            Column::words(w::TO, 0.0),
            Column::words(w::GAP_AT, 0.0),
        ],
        rows: rows
            .iter()
            .map(|r| {
                vec![
                    r.number.to_string(),
                    words::with_use(&r.check, r.procedure),
                    pen.gap_number_against(r.gap_m, r.limit_m),
                    pen.limit(r.limit_m)
                        .trim_end_matches(pen.gap_unit())
                        .trim()
                        .to_owned(),
                    pen.span(r.span_m),
                    orientation.pair(pen, r.from),
                    orientation.pair(pen, r.to),
                    orientation.pair(pen, r.at),
                ]
            })
            .collect(),
        caption: words::submittal::places_from(&orientation.walls()),
        size_pt: 8.5,
        ..Table::default()
    }
}

/// Profiles of placements as pictures with their numbers.
pub fn profiles(d: &mut Document, pen: Pen, rows: &[PlacementRow]) {
    let items: Vec<Picture> = rows
        .iter()
        .filter_map(|r| {
            let svg = r.profile.as_ref()?;
            let drawing = d.draw(format!("profile-{}.svg", r.number), svg.as_bytes());
            let caption = words::submittal::profile(
                r.number,
                &r.check,
                &pen.gap_against(r.gap_m, r.limit_m),
                &pen.limit(r.limit_m),
            );
            Some(Picture {
                drawing,
                alt: caption.clone(),
                caption,
                width_mm: 0.0,
                height_mm: 0.0,
            })
        })
        .collect();
    if !items.is_empty() {
        d.push(Block::Pictures { columns: 2, items });
    }
}

/// The flatness sheet: the worst placements on the plan, their list and their profiles.
pub fn flatness(
    head: &Head,
    maps: &[SheetDrawing],
    answers: Vec<super::Answer>,
    rows: &[PlacementRow],
    orientation: &Orientation,
) -> Document {
    let pen = head.pen();
    let mut d = head.document(w::FLATNESS);
    push_sheets(&mut d, "edges", w::FLATNESS_ALT, w::PLAN, maps);
    d.heading(1, words::submittal::VERDICTS_TITLE);
    d.push(Block::Answers {
        columns: 2,
        items: answers,
    });
    d.push(Block::Small {
        text: words::verdicts(pen),
    });
    d.heading(1, w::PLACEMENTS);
    if rows.is_empty() {
        d.text(w::NO_PLACES);
    } else {
        d.text(w::PLACEMENTS_INTRO);
        let mut told: Vec<Procedure> = Vec::new();
        for r in rows {
            if r.procedure != Procedure::Resting && !told.contains(&r.procedure) {
                told.push(r.procedure);
                d.text(words::procedure_in_full(r.procedure));
            }
        }
        d.push(Block::Table(placements_table(pen, orientation, rows)));
        profiles(&mut d, pen, rows);
    }
    d
}

/// Marks in their order with their places and what to write at each.
fn marks_table(pen: Pen, unit: MarkUnit, marks: &[Mark], orientation: &Orientation) -> Table {
    // A share of the width lets a long wall name wrap.
    let distance = |title: &str| Column {
        title: words::with_unit(title, pen.plan_unit()),
        align: Align::Right,
        share: 1.0,
    };
    Table {
        columns: vec![
            Column::figures(w::STOP),
            Column::marks(w::MARK),
            distance(&w::from_wall(&orientation.left)),
            distance(&w::from_wall(&orientation.bottom)),
            Column {
                title: words::with_unit(w::WRITE, unit.name()),
                align: Align::Left,
                share: 1.15,
            },
        ],
        rows: marks
            .iter()
            .enumerate()
            .map(|(i, m)| {
                vec![
                    (i + 1).to_string(),
                    m.label.clone(),
                    pen.plan_number(orientation.from_left(m.at)),
                    pen.plan_number(orientation.from_bottom(m.at)),
                    mark_text(pen, unit, m.depth_m),
                ]
            })
            .collect(),
        abreast: 2,
        size_pt: 9.5,
        ..Table::default()
    }
}

/// One spot to grind or to patch.
#[derive(Debug, Clone, PartialEq)]
pub struct SpotRow {
    /// Its number on the plan.
    pub number: usize,
    /// Where it lies.
    pub at: Point,
    /// Plan area, square metres.
    pub area_m2: f64,
    /// Greatest height to take off, or depth to fill, metres.
    pub most_m: f64,
    /// Volume, cubic metres.
    pub volume_m3: f64,
    /// Bags, if the material's yield is known.
    pub bags: Option<f64>,
}

/// Bags to a tenth; a little is never printed as none.
pub fn few_bags(pen: Pen, bags: f64) -> String {
    if bags > 0.0 && bags < 0.05 {
        words::under(&pen.number(0.1, 1))
    } else {
        pen.number(bags, 1)
    }
}

/// A greatest depth: whole steps as they are, else as any depth; a little is never printed as none.
fn most_text(pen: Pen, most_m: f64) -> String {
    let held = pen.held_number(most_m);
    if held == pen.held_number(0.0) {
        pen.at_least_number(most_m)
    } else {
        held
    }
}

fn spots_table(pen: Pen, orientation: &Orientation, rows: &[SpotRow], bags: bool) -> Table {
    let mut columns = vec![
        Column::figures(w::NUMBER),
        Column::words(w::WHERE, 1.0),
        Column::figures(words::with_unit(w::AREA, pen.area_unit())),
        Column::figures(words::with_unit(w::MOST, pen.depth_unit())),
        Column::figures(words::with_unit(w::VOLUME, pen.volume_unit())),
    ];
    if bags {
        columns.push(Column::figures(w::BAGS));
    }
    columns.push(Column::marks(w::DONE));
    Table {
        columns,
        rows: rows
            .iter()
            .map(|r| {
                let mut cells = vec![
                    r.number.to_string(),
                    orientation.place(pen, r.at),
                    pen.area_number(r.area_m2),
                    most_text(pen, r.most_m),
                    pen.some_volume_number(r.volume_m3),
                ];
                if bags {
                    cells.push(words::or_none(r.bags.map(|b| few_bags(pen, b))));
                }
                cells.push(w::BOX.to_owned());
                cells
            })
            .collect(),
        ..Table::default()
    }
}

/// What a patch plan does.
#[derive(Debug, Clone, PartialEq)]
pub struct PatchWork {
    /// The plan in a sentence.
    pub lead: String,
    /// Spots to grind.
    pub grind: Vec<SpotRow>,
    /// Patches.
    pub patch: Vec<SpotRow>,
    /// Marks to fill or to grind, in walking order; their depth is what is laid there.
    pub marks: Vec<Mark>,
    /// What depths at the marks are counted in.
    pub unit: MarkUnit,
    /// The step that all of them are whole ones of, metres; `None` where no plan in steps was found.
    pub step_m: Option<f64>,
}

/// The grind and patch sheet.
pub fn grind_patch(
    head: &Head,
    maps: &[SheetDrawing],
    work: &PatchWork,
    orientation: &Orientation,
) -> Document {
    let pen = head.pen();
    let mut d = head.document(w::GRIND_PATCH);
    push_sheets(&mut d, "spots", w::GRIND_ALT, w::PLAN, maps);
    d.push(Block::Lead {
        text: work.lead.clone(),
    });
    if !work.marks.is_empty() {
        d.heading(1, w::AT_MARKS);
        d.text(w::patch_intro(
            work.marks.len(),
            &match work.step_m {
                Some(step_m) => pen.held(step_m),
                None => work.unit.with_unit(work.unit.step_m()),
            },
            work.step_m.is_some(),
        ));
        d.push(Block::Table(marks_table(
            pen,
            work.unit,
            &work.marks,
            orientation,
        )));
    }
    for (title, rows, bags) in [
        (w::PATCH_SPOTS, &work.patch, true),
        (w::GRIND_SPOTS, &work.grind, false),
    ] {
        d.heading(1, title);
        if rows.is_empty() {
            d.text(w::NOTHING);
        } else {
            d.push(Block::Table(spots_table(pen, orientation, rows, bags)));
        }
    }
    d.push(Block::Boxed {
        tone: Tone::Caution,
        title: words::caution::CAUTION.to_owned(),
        text: words::caution::GRIND.join(" "),
    });
    d
}
