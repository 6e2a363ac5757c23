//! Pieces about a fill that several documents share.

use super::crew::finish_text;
use super::order::{OrderFact, OrderItem};
use super::orientation::Orientation;
use super::words::submittal as w;
use super::{Block, Column, Document, Fact, Pen, Table, words};
use crate::fill::{Fill, GaugeRow, GrindRow};

/// Volumes and depths of a fill.
pub fn fill_facts(pen: Pen, orientation: &Orientation, fill: &Fill) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new(w::GAUGE, pen.gauge_rise(fill.gauge_depth_m)),
        Fact::new(w::VOLUME, pen.volume(fill.volume_m3)),
        Fact::new(w::WET_AREA, pen.area(fill.wet_area_m2)),
        Fact::new(w::MEAN, pen.depth(fill.mean_depth_m)),
        Fact::new(
            w::DEEPEST,
            format!(
                "{}, {} ({})",
                pen.of_gauge(fill.deepest_m),
                orientation.place(pen, fill.deepest_at),
                words::answer::known(fill.deepest_on)
            ),
        ),
        Fact::new(
            w::LEAST,
            format!(
                "{}, {} ({})",
                pen.of_gauge_rise(fill.least_m),
                orientation.place(pen, fill.least_at),
                words::answer::known(fill.least_on)
            ),
        ),
        Fact::new(
            w::DIAGONAL,
            some(fill.diagonal_spread_m3, pen.volume(fill.diagonal_spread_m3)),
        ),
        Fact::new(
            w::EXTENDED_VOLUME,
            some(fill.extended_volume_m3, pen.volume(fill.extended_volume_m3)),
        ),
    ];
    if fill.above_area_m2 > 0.0 {
        facts.push(Fact::new(w::ABOVE_AREA, pen.area(fill.above_area_m2)));
        facts.push(Fact::new(w::ABOVE, pen.volume(fill.above_m3)));
    }
    facts
}

/// A band of depths in words.
pub fn band_text(pen: Pen, from_m: f64, to_m: Option<f64>) -> String {
    match to_m {
        Some(to) => w::band(&pen.held_number(from_m), Some(&pen.held(to))),
        None => w::band(&pen.held(from_m), None),
    }
}

/// Areas and volumes by depth.
pub fn bands_table(pen: Pen, fill: &Fill) -> Table {
    Table {
        caption: w::BANDS.to_owned(),
        columns: vec![
            Column::words(w::BAND, 1.0),
            Column::figures(words::with_unit(words::crew::AREA, pen.area_unit())),
            Column::figures(words::with_unit(words::crew::VOLUME, pen.volume_unit())),
        ],
        rows: fill
            .bands
            .iter()
            .map(|b| {
                vec![
                    band_text(pen, b.from_m, b.to_m),
                    pen.area_number(b.area_m2),
                    pen.some_volume_number(b.volume_m3),
                ]
            })
            .collect(),
        ..Table::default()
    }
}

/// Several gauge depths side by side.
pub fn gauges_table(pen: Pen, rows: &[GaugeRow]) -> Table {
    let depth = |t: &str| words::with_unit(t, pen.depth_unit());
    Table {
        caption: w::STAGES.to_owned(),
        columns: vec![
            Column::figures(depth(w::GAUGE)),
            Column::figures(words::with_unit(words::crew::VOLUME, pen.volume_unit())),
            Column::figures(words::with_unit(w::STAGE_AREA, pen.area_unit())),
            Column::figures(depth(w::MEAN)),
            Column::figures(depth(w::DEEPEST)),
            Column::figures(words::crew::BAGS),
            Column::words("", 1.0),
        ],
        rows: rows
            .iter()
            .map(|g| {
                vec![
                    pen.gauge_number(g.gauge_m),
                    pen.volume_number(g.volume_m3),
                    pen.area_number(g.wet_area_m2),
                    pen.depth_number(g.mean_m),
                    pen.of_gauge_number(g.deepest_m),
                    words::or_none(g.bags.map(|b| b.to_string())),
                    if g.by_volume {
                        words::take_off::BAGS_BY_VOLUME.to_owned()
                    } else {
                        String::new()
                    },
                ]
            })
            .collect(),
        ..Table::default()
    }
}

/// What lowering the finish grinds and saves; with prices, what each choice costs and which costs least.
pub fn grind_table(pen: Pen, rows: &[GrindRow]) -> Table {
    let priced = rows.iter().any(|g| g.total_cost.is_some());
    let mut columns = vec![
        Column::figures(words::with_unit(w::LOWERED, pen.depth_unit())),
        Column::figures(words::with_unit(w::GRIND_AREA, pen.area_unit())),
        Column::figures(words::with_unit(w::GRIND_VOLUME, pen.volume_unit())),
        Column::figures(words::with_unit(w::GRIND_DEEPEST, pen.depth_unit())),
        Column::figures(words::with_unit(w::FILL_VOLUME, pen.volume_unit())),
        Column::figures(words::crew::BAGS),
        Column::figures(w::SAVED),
    ];
    if priced {
        columns.push(Column::figures(w::COST));
    }
    // A remark takes the room that it needs; where there is none, the rest of the line stays free.
    let remarked = rows
        .iter()
        .any(|g| g.cheapest || g.deeper_than_allowed || g.by_volume);
    columns.push(Column::words("", if remarked { 0.0 } else { 1.0 }));
    Table {
        caption: w::GRIND_OR_FILL.to_owned(),
        columns,
        strong: rows
            .iter()
            .enumerate()
            .filter(|(_, g)| g.cheapest)
            .map(|(i, _)| i)
            .collect(),
        rows: rows
            .iter()
            .map(|g| {
                let mut row = vec![
                    pen.depth_number(g.lowered_m),
                    pen.area_number(g.grind_area_m2),
                    pen.some_volume_number(g.grind_volume_m3),
                    deepest_grind(pen, g),
                    pen.volume_number(g.volume_m3),
                    words::or_none(g.bags.map(|b| b.to_string())),
                    words::or_none(g.bags_saved.map(|b| b.to_string())),
                ];
                if priced {
                    row.push(words::or_none(g.total_cost.map(|c| pen.number(c, 2))));
                }
                let mark = if g.cheapest {
                    w::CHEAPEST
                } else if g.deeper_than_allowed {
                    w::TOO_DEEP_A_GRIND
                } else {
                    ""
                };
                let bags = g.by_volume.then_some(words::take_off::BAGS_BY_VOLUME);
                let marks: Vec<&str> = bags
                    .into_iter()
                    .chain((!mark.is_empty()).then_some(mark))
                    .collect();
                row.push(marks.join("; "));
                row
            })
            .collect(),
        ..Table::default()
    }
}

/// The deepest grind of a step; one deeper than the job allows never prints as what it allows.
pub(super) fn deepest_grind(pen: Pen, g: &GrindRow) -> String {
    match g.allowed_m {
        Some(allowed) => pen.over_number(g.deepest_grind_m, allowed),
        None => pen.depth_number(g.deepest_grind_m),
    }
}

/// The fill chapter.
pub fn push_fill(
    d: &mut Document,
    pen: Pen,
    orientation: &Orientation,
    fill: &Fill,
    take_off: &[OrderFact],
) {
    d.text(finish_text(pen, fill));
    let mut items = fill_facts(pen, orientation, fill);
    // What the count hangs on stands behind it as one fact.
    let ifs: Vec<&str> = take_off
        .iter()
        .filter(|f| f.item == OrderItem::If)
        .map(|f| f.value.as_str())
        .collect();
    let mut told = false;
    for f in take_off {
        if f.item != OrderItem::If {
            items.push(Fact::new(f.item.label(), &f.value));
        } else if !std::mem::replace(&mut told, true) {
            items.push(Fact::new(f.item.label(), ifs.join("; ")));
        }
    }
    d.push(Block::Facts { columns: 1, items });
}

/// The figure, or the word for none where it is exactly nothing.
pub(super) fn some(value: f64, text: String) -> String {
    if value == 0.0 {
        w::NOTHING.to_owned()
    } else {
        text
    }
}
