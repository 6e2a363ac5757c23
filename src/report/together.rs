//! Quantities of several rooms: text and sheet.

use super::{Block, Column, Document, Head, Pen, Table, words};
use crate::analysis::{RoomQuantities, Together};
use words::together as w;

/// Labels and values of one room or of all.
fn lines(
    pen: Pen,
    r: &RoomQuantities,
    bags: Option<String>,
    currency: &str,
) -> Vec<(&'static str, String)> {
    let mut list = vec![
        (w::AREA, pen.of(r.area_m2, r.room_m2)),
        (w::WET, pen.area(r.wet_area_m2)),
        (w::VOLUME, pen.volume(r.volume_m3)),
    ];
    if let Some((base, extra)) = r.base_extra_m3 {
        list.push((w::BASE, pen.volume(base)));
        list.push((w::EXTRA, pen.volume(extra)));
    }
    let more = [
        (w::BAGS, bags),
        (w::WATER, r.water_m3.map(|v| pen.water(v))),
        (w::PRIMER, r.primer_m3.map(|v| pen.water(v))),
        (w::FOAM, r.foam_m.map(|v| pen.plan(v))),
        (w::DAMS, r.dams_m.map(|v| pen.plan(v))),
        (w::WEIGHT, r.weight_kg.map(|v| pen.mass(v))),
        (
            w::COST,
            r.cost.map(|v| {
                format!("{} {currency}", pen.number(v, 2))
                    .trim_end()
                    .to_owned()
            }),
        ),
    ];
    list.extend(
        more.into_iter()
            .filter_map(|(name, value)| Some((name, value?))),
    );
    list
}

fn total_bags(pen: Pen, t: &Together) -> Option<String> {
    let (count, exact) = t.total.bags.zip(t.total.bags_exact)?;
    Some(w::bags(
        count,
        &pen.number(exact, 2),
        t.bags_room_by_room.unwrap_or(count),
    ))
}

/// The sums, a line each.
pub fn total_lines(pen: Pen, t: &Together) -> Vec<(&'static str, String)> {
    lines(pen, &t.total, total_bags(pen, t), &t.currency)
}

/// The sheet: a column a figure, a row a room, the sum below.
pub fn document(head: &Head, t: &Together) -> Document {
    let pen = head.pen();
    let mut d = head.letter(w::TITLE);
    let figures = |title: &str, unit: &str| Column {
        share: 1.0,
        ..Column::figures(words::with_unit(title, unit))
    };
    let row = |name: &str, r: &RoomQuantities| {
        vec![
            name.to_owned(),
            pen.of_number(r.area_m2, r.room_m2),
            pen.volume_number(r.volume_m3),
            words::or_none(r.base_extra_m3.map(|b| pen.volume_number(b.0))),
            words::or_none(r.base_extra_m3.map(|b| pen.volume_number(b.1))),
            words::or_none(r.bags.map(|b| b.to_string())),
            words::or_none(r.foam_m.map(|m| pen.plan(m))),
            words::or_none(r.weight_kg.map(|m| pen.mass(m))),
        ]
    };
    let mut rows: Vec<Vec<String>> = t.rooms.iter().map(|r| row(&r.name, r)).collect();
    let last = rows.len();
    rows.push(row(w::ALL, &t.total));
    d.push(Block::Table(Table {
        columns: vec![
            Column::words(w::ROOM, 1.6),
            figures(w::AREA, pen.area_unit()),
            figures(w::VOLUME, pen.volume_unit()),
            figures(words::submittal::BASE, pen.volume_unit()),
            figures(words::submittal::EXTRA, pen.volume_unit()),
            Column::figures(w::BAGS),
            figures(w::FOAM, ""),
            figures(w::WEIGHT, ""),
        ],
        rows,
        strong: vec![last],
        ..Table::default()
    }));
    d.push(Block::Facts {
        columns: 1,
        items: total_lines(pen, t)
            .into_iter()
            .map(|(name, value)| super::Fact::new(name, value))
            .collect(),
    });
    d.push(Block::Small {
        text: words::submittal::QUANTITY_NOTE.to_owned(),
    });
    d
}
