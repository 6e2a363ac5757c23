//! The quantities sheet for a change order.

use super::order::{OrderFact, OrderItem};
use super::signed::{sign_off, speaks_against};
use super::words::submittal as w;
use super::{Block, Column, Document, Fact, Head, Table};
use crate::fill::{BandQuantity, Fill};
use crate::survey::Notice;

/// One line of the quantities sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct QuantityRow {
    /// Room.
    pub room: String,
    /// What.
    pub item: String,
    /// How much, already in the reader's unit.
    pub quantity: String,
    /// Unit.
    pub unit: String,
    /// Part of it in the base scope; empty where that is left to the parties.
    pub base: String,
    /// Part of it that is extra; likewise.
    pub extra: String,
}

/// Quantities of a fill as rows: by depth band, then the whole, then the take-off.
///
/// `bands`: the take-off's own bands where a base depth is stated, which split volumes in base and extra.
pub fn quantity_rows(
    head: &Head,
    fill: &Fill,
    bands: Option<&[BandQuantity]>,
    take_off: &[OrderFact],
) -> Vec<QuantityRow> {
    let pen = head.pen();
    let row = |item: String, quantity: String, unit: &str| QuantityRow {
        room: head.room.clone(),
        item,
        quantity,
        unit: unit.to_owned(),
        ..QuantityRow::default()
    };
    let mut rows = Vec::new();
    let split = |mut row: QuantityRow, base: f64, extra: f64| {
        (row.base, row.extra) = (pen.volume(base), pen.volume(extra));
        row
    };
    for b in bands.unwrap_or(&[]).iter().filter(|b| b.area_m2 > 0.0) {
        let band = super::sections::band_text(pen, b.from_m, b.to_m);
        let whole = row(
            w::band_item(&band),
            w::area_and_volume(&pen.area(b.area_m2), &pen.some_volume(b.volume_m3)),
            "",
        );
        rows.push(split(whole, b.base_m3, b.extra_m3));
    }
    let plain = if bands.is_some() {
        &[][..]
    } else {
        &fill.bands
    };
    for b in plain.iter().filter(|b| b.area_m2 > 0.0) {
        let band = super::sections::band_text(pen, b.from_m, b.to_m);
        rows.push(row(
            w::band_item(&band),
            w::area_and_volume(&pen.area(b.area_m2), &pen.some_volume(b.volume_m3)),
            "",
        ));
    }
    let whole = row(
        w::VOLUME.to_owned(),
        pen.volume_number(fill.volume_m3),
        pen.volume_unit(),
    );
    rows.push(match bands {
        Some(bands) => split(
            whole,
            bands.iter().map(|b| b.base_m3).sum(),
            bands.iter().map(|b| b.extra_m3).sum(),
        ),
        None => whole,
    });
    if fill.above_area_m2 > 0.0 {
        rows.push(row(
            w::ABOVE_AREA.to_owned(),
            pen.area_number(fill.above_area_m2),
            pen.area_unit(),
        ));
    }
    // What-ifs belong to the order, not to a change order.
    for told in take_off.iter().filter(|f| f.item != OrderItem::If) {
        rows.push(row(told.item.label().to_owned(), told.value.clone(), ""));
    }
    rows
}

/// The quantities sheet for a change order. `open`: notices, and readings that may be slips, by name. Base and extra are left blank for the parties where no base depth is stated.
pub fn quantities(
    head: &Head,
    (finish, as_of): (&str, &str),
    rows: &[QuantityRow],
    open: (&[Notice], &[String]),
) -> Document {
    let mut d = head.letter(w::QUANTITIES);
    d.text(finish);
    let rooms = rows.iter().any(|r| !r.room.is_empty());
    d.push(Block::Blanks {
        columns: 2,
        items: vec![
            Fact::new(w::AS_OF, as_of.to_owned()),
            Fact::new(w::REVISION, head.revision.clone()),
        ],
    });
    d.push(Block::Table(Table {
        columns: if rooms {
            vec![Column::words(w::ROOM_COLUMN, 1.0)]
        } else {
            Vec::new()
        }
        .into_iter()
        .chain([
            Column::words(w::ITEM, 2.0),
            Column::words(w::QUANTITY, 2.4),
            Column::words(w::BASE, 1.0),
            Column::words(w::EXTRA, 1.0),
        ])
        .collect(),
        rows: rows
            .iter()
            .map(|r| {
                let room = rooms.then(|| r.room.clone());
                room.into_iter()
                    .chain([
                        r.item.clone(),
                        format!("{} {}", r.quantity, r.unit).trim_end().to_owned(),
                        r.base.clone(),
                        r.extra.clone(),
                    ])
                    .collect()
            })
            .collect(),
        ..Table::default()
    }));
    d.push(Block::Small {
        text: w::QUANTITY_NOTE.to_owned(),
    });
    speaks_against(&mut d, open);
    d.push(sign_off(&w::QUANTITY_ROLES, false));
    d
}
