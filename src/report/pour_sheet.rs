//! The pour sheet: batches, clock, staging, checklist.

use super::crew::{SheetDrawing, push_sheets};
use super::words::crew as w;
use super::{Align, Block, Column, Document, Fact, Head, Pen, Table, Tone, words};

/// One batch, as the pour sheet lists it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BatchRow {
    /// Its number on the plan.
    pub number: usize,
    /// Where it lies, in words.
    pub place: String,
    /// Area, square metres.
    pub area_m2: f64,
    /// Volume, cubic metres.
    pub volume_m3: f64,
    /// Mean depth, metres.
    pub mean_depth_m: f64,
    /// Bags, if the material's yield is known.
    pub bags: Option<f64>,
    /// Water, cubic metres, if the material's sheet states it.
    pub water_m3: Option<f64>,
    /// Length along which it ties into what is wet, metres.
    pub tie_in_m: f64,
    /// Minutes from the first mix: mixing from, placing from, placed by.
    pub clock_min: Option<[f64; 3]>,
    /// Longest wait of the edge it ties into, minutes.
    pub wait_min: Option<f64>,
}

/// Everything on the pour sheet besides the plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PourSheet {
    /// The answer in a sentence.
    pub lead: String,
    /// Labels and values: start, exit, order, minutes, open time.
    pub facts: Vec<(String, String)>,
    /// Batches in order.
    pub batches: Vec<BatchRow>,
    /// What to stage.
    pub staging: Vec<String>,
    /// What to tick off before pouring; empty for the usual list.
    pub checklist: Vec<String>,
    /// Things that must be put right first: an edge that waits too long, a step that is too high.
    pub warnings: Vec<String>,
    /// Heights after the pour.
    pub heights: Option<Table>,
}

/// The pour sheet: the batches on the plan, their table, clock, staging and checklist.
pub fn pour(head: &Head, maps: &[SheetDrawing], sheet: &PourSheet) -> Document {
    let pen = head.pen();
    let mut d = head.document(w::POUR);
    push_sheets(&mut d, "batches", w::POUR_ALT, w::PLAN, maps);
    if !sheet.lead.is_empty() {
        d.push(Block::Lead {
            text: sheet.lead.clone(),
        });
    }
    for text in &sheet.warnings {
        d.push(Block::Boxed {
            tone: Tone::Warning,
            title: words::severity(crate::survey::Severity::Warning).to_owned(),
            text: text.clone(),
        });
    }
    if !sheet.facts.is_empty() {
        d.push(Block::Facts {
            columns: 1,
            items: sheet.facts.iter().map(|(l, v)| Fact::new(l, v)).collect(),
        });
    }
    d.heading(1, w::BATCHES);
    d.push(Block::Table(batches_table(pen, &sheet.batches)));
    if sheet.batches.iter().any(|b| b.clock_min.is_some()) {
        d.heading(1, w::CLOCK);
        d.push(Block::Table(clock_table(pen, &sheet.batches)));
    }
    if let Some(heights) = &sheet.heights {
        d.push(Block::Table(heights.clone()));
    }
    if !sheet.staging.is_empty() {
        d.heading(1, w::STAGING);
        d.push(Block::Ticks {
            columns: 1,
            items: sheet.staging.clone(),
        });
    }
    d.heading(1, w::CHECKLIST);
    d.push(Block::Ticks {
        columns: 1,
        items: if sheet.checklist.is_empty() {
            w::POUR_TICKS.map(str::to_owned).to_vec()
        } else {
            sheet.checklist.clone()
        },
    });
    d.push(Block::Boxed {
        tone: Tone::Caution,
        title: words::caution::CAUTION.to_owned(),
        text: words::caution::POUR.join(" "),
    });
    d
}

/// Table of batches.
pub fn batches_table(pen: Pen, batches: &[BatchRow]) -> Table {
    let mut rows: Vec<Vec<String>> = batches
        .iter()
        .map(|b| {
            vec![
                b.number.to_string(),
                b.place.clone(),
                pen.area_number(b.area_m2),
                pen.volume_number(b.volume_m3),
                pen.depth_number(b.mean_depth_m),
                words::or_none(
                    b.bags
                        .map(|n| pen.number(n, usize::from(n.fract().abs() > 1e-9))),
                ),
                words::or_none(b.water_m3.map(|v| pen.water(v))),
                words::or_none((b.tie_in_m > 0.0).then(|| pen.near(b.tie_in_m))),
                w::BOX.to_owned(),
            ]
        })
        .collect();
    let total = rows.len();
    let all = |f: &dyn Fn(&BatchRow) -> Option<f64>| -> Option<f64> { batches.iter().map(f).sum() };
    // A share lets a long heading wrap and leaves the place its width.
    let figures = |title: String| Column {
        title,
        align: Align::Right,
        share: 0.9,
    };
    let volume: f64 = batches.iter().map(|b| b.volume_m3).sum();
    let area: f64 = batches.iter().map(|b| b.area_m2).sum();
    rows.push(vec![
        String::new(),
        w::TOTAL.to_owned(),
        pen.area_number(area),
        pen.volume_number(volume),
        String::new(),
        words::or_none(
            all(&|b| b.bags).map(|n| pen.number(n, usize::from(n.fract().abs() > 1e-9))),
        ),
        words::or_none(all(&|b| b.water_m3).map(|v| pen.water(v))),
        pen.near(batches.iter().map(|b| b.tie_in_m).sum()),
        String::new(),
    ]);
    Table {
        columns: vec![
            Column::figures(w::BATCH),
            Column::words(w::WHERE, 3.6),
            figures(words::with_unit(w::AREA, pen.area_unit())),
            figures(words::with_unit(w::VOLUME, pen.volume_unit())),
            figures(words::with_unit(w::MEAN_DEPTH, pen.depth_unit())),
            Column::figures(w::BAGS),
            Column::figures(w::WATER),
            Column {
                share: 1.3,
                ..figures(w::TIE_IN.to_owned())
            },
            Column::marks(w::DONE),
        ],
        rows,
        strong: vec![total],
        ..Table::default()
    }
}

fn clock_table(pen: Pen, batches: &[BatchRow]) -> Table {
    Table {
        columns: vec![
            Column::figures(w::BATCH),
            Column::figures(w::MIX_FROM),
            Column::figures(w::PLACE_FROM),
            Column::figures(w::PLACE_TO),
            Column::figures(w::WAIT),
            Column::words("", 1.0),
        ],
        rows: batches
            .iter()
            .map(|b| {
                let at = |i: usize| words::or_none(b.clock_min.map(|c| pen.minutes_number(c[i])));
                vec![
                    b.number.to_string(),
                    at(0),
                    at(1),
                    at(2),
                    words::or_none(b.wait_min.map(|m| pen.minutes_number(m))),
                    String::new(),
                ]
            })
            .collect(),
        ..Table::default()
    }
}
