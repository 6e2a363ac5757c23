//! The pour sheet: batches, clock, staging, checklist.

use super::plan_sheet::{SheetDrawing, push_sheets};
use super::words::crew as w;
use super::{Align, Block, Column, Document, Fact, Head, Pen, Table, Tone, words};

/// One batch, as the pour sheet lists it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BatchRow {
    /// Its number on the plan.
    pub number: usize,
    /// Which bay it belongs to, where the floor is divided.
    pub bay: Option<usize>,
    /// Distances from the two walls that [`PourSheet::walls`] names.
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

/// The pour of one lift, as the sheet tells it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LiftRows {
    /// Which of several it is; empty where it is the only one.
    pub heading: String,
    /// Labels and values: start, order, minutes, longest wait.
    pub facts: Vec<(String, String)>,
    /// Batches in order.
    pub batches: Vec<BatchRow>,
}

/// Everything on the pour sheet besides the plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PourSheet {
    /// The answer in a sentence.
    pub lead: String,
    /// Labels and values of the whole pour: the way out, the finish.
    pub facts: Vec<(String, String)>,
    /// The two walls that the batches' places are told from.
    pub walls: String,
    /// The lifts, each a pour of its own; one where all is poured at once.
    pub lifts: Vec<LiftRows>,
    /// What to stage.
    pub staging: Vec<String>,
    /// What to tick off before pouring.
    pub checklist: Vec<String>,
    /// Things that must be put right first: an edge that waits too long, a step that is too high.
    pub warnings: Vec<String>,
    /// Other warnings of the pour.
    pub heed: Vec<String>,
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
    for text in sheet.warnings.iter().chain(&sheet.heed) {
        d.push(Block::Boxed {
            tone: Tone::Warning,
            title: words::severity(crate::survey::Severity::Warning).to_owned(),
            text: text.clone(),
        });
    }
    // What is told of the only lift is told of the pour.
    let facts = |d: &mut Document, list: &mut dyn Iterator<Item = &(String, String)>| {
        let items: Vec<Fact> = list.map(|(l, v)| Fact::new(l, v)).collect();
        if !items.is_empty() {
            d.push(Block::Facts { columns: 1, items });
        }
    };
    let table = |batches: &[BatchRow]| {
        Block::Table(Table {
            caption: words::submittal::places_from(&sheet.walls),
            ..batches_table(pen, batches)
        })
    };
    match sheet.lifts.as_slice() {
        [only] => {
            facts(&mut d, &mut only.facts.iter().chain(&sheet.facts));
            d.heading(1, w::BATCHES);
            d.push(table(&only.batches));
        }
        lifts => {
            facts(&mut d, &mut sheet.facts.iter());
            for lift in lifts {
                d.heading(1, &lift.heading);
                facts(&mut d, &mut lift.facts.iter());
                d.push(table(&lift.batches));
            }
        }
    }
    let mut batches = sheet.lifts.iter().flat_map(|l| &l.batches);
    if batches.any(|b| b.clock_min.is_some()) {
        d.push(Block::Small {
            text: w::CLOCK.to_owned(),
        });
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
        items: sheet.checklist.clone(),
    });
    d.push(Block::Boxed {
        tone: Tone::Caution,
        title: words::caution::CAUTION.to_owned(),
        text: words::caution::POUR.join(" "),
    });
    d
}

/// A place of so many letters fits beside the figures of its batch: `23 ft 10 1/2 in; 12 ft 10 1/2 in`.
const LONGEST_PLACE: usize = 36;

/// Table of batches with their clock.
pub fn batches_table(pen: Pen, batches: &[BatchRow]) -> Table {
    let bags = |n: f64| pen.number(n, usize::from(n.fract().abs() > 1e-9));
    let all = |f: &dyn Fn(&BatchRow) -> Option<f64>| -> Option<f64> { batches.iter().map(f).sum() };
    // A share lets a long heading wrap and leaves the place its width.
    let figures = |title: String| Column {
        title,
        align: Align::Right,
        share: 1.0,
    };
    // Places of a batch that lies in several pieces are wrapped, and leave the figures their width.
    let wrapped = batches.iter().any(|b| b.place.len() > LONGEST_PLACE);
    let bays = batches.iter().any(|b| b.bay.is_some());
    let clock = batches.iter().any(|b| b.clock_min.is_some());
    let mut columns = vec![Column::figures(w::BATCH)];
    if bays {
        columns.push(Column::figures(w::BAY));
    }
    columns.extend([
        Column::words(w::WHERE, if wrapped { 3.0 } else { 0.0 }),
        figures(words::with_unit(w::AREA, pen.area_unit())),
        figures(words::with_unit(w::VOLUME, pen.volume_unit())),
        figures(words::with_unit(w::MEAN_DEPTH, pen.depth_unit())),
        Column::figures(w::BAGS),
        Column::figures(w::WATER),
        Column {
            share: 1.5,
            ..figures(w::TIE_IN.to_owned())
        },
    ]);
    if clock {
        columns.extend(
            [w::MIX_FROM, w::PLACE_FROM, w::PLACE_TO, w::WAIT].map(|t| Column {
                share: 0.8,
                ..figures(t.to_owned())
            }),
        );
    }
    columns.push(Column::marks(w::DONE));
    let mut rows: Vec<Vec<String>> = batches
        .iter()
        .map(|b| {
            let mut row = vec![b.number.to_string()];
            if bays {
                row.push(words::or_none(b.bay.map(|n| n.to_string())));
            }
            row.extend([
                b.place.clone(),
                pen.area_number(b.area_m2),
                pen.volume_number(b.volume_m3),
                pen.at_least_number(b.mean_depth_m),
                words::or_none(b.bags.map(bags)),
                words::or_none(b.water_m3.map(|v| pen.water(v))),
                words::or_none((b.tie_in_m > 0.0).then(|| pen.near(b.tie_in_m))),
            ]);
            if clock {
                let at = |i: usize| words::or_none(b.clock_min.map(|c| pen.minutes_number(c[i])));
                row.extend([at(0), at(1), at(2)]);
                row.push(words::or_none(b.wait_min.map(|m| pen.minutes_number(m))));
            }
            row.push(w::BOX.to_owned());
            row
        })
        .collect();
    let total = rows.len();
    let mut sum = vec![String::new()];
    if bays {
        sum.push(String::new());
    }
    sum.extend([
        w::TOTAL.to_owned(),
        pen.area_number(batches.iter().map(|b| b.area_m2).sum()),
        pen.volume_number(batches.iter().map(|b| b.volume_m3).sum()),
        String::new(),
        words::or_none(all(&|b| b.bags).map(bags)),
        words::or_none(all(&|b| b.water_m3).map(|v| pen.water(v))),
        pen.near(batches.iter().map(|b| b.tie_in_m).sum()),
    ]);
    sum.resize(columns.len(), String::new());
    rows.push(sum);
    Table {
        columns,
        rows,
        strong: vec![total],
        size_pt: 8.5,
        ..Table::default()
    }
}
