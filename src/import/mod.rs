//! Row 4. Cells of CSV, TSV, XLSX, XLS and ODS files to a survey.
//!
//! [`read`] takes a file in memory and what the caller knows about it, and gives one survey for each
//! room with a record of what was understood, or every fault at once with its cell. Layouts, units and
//! words for "no reading": docs/formats.md. Nothing is guessed that changes a number: a unit that
//! stands nowhere is an error.
//!
//! The steps: bytes to cells (`text_file`, `workbook`), cells to tables on the sheet (`blocks`), a
//! table to readings (`matrix`, `list`, `cells`), the room as a whole (`check`).

mod again;
mod around;
mod axis;
mod blocks;
mod boxes;
mod cells;
mod check;
mod comments;
mod corner;
mod cut_decimals;
mod dates;
mod dotted;
mod doubles;
mod error;
mod form;
mod goes_on;
mod grid;
mod hand;
mod headers;
mod heading;
mod headings_again;
mod lie;
mod lies_turned;
mod lines;
mod list;
mod list_columns;
mod list_origin;
mod list_places;
mod matrix;
mod meanings;
mod misplaced;
mod moved;
mod notes_beside;
mod numbered_note;
mod options;
mod origin_hints;
mod origin_words;
mod origins;
mod outline;
mod outline_columns;
mod own_table;
mod pages;
mod room;
mod room_names;
mod scales;
mod set_up_tab;
mod settings;
mod short_rows;
mod signs;
mod split_columns;
mod stated;
mod sums;
mod table;
mod taken_back;
mod tenfold;
mod text_file;
mod titles;
mod turns;
mod twice;
mod understood;
mod unheaded;
mod unit_lines;
mod wall_signs;
mod wall_words;
mod walls;
mod workbook;
mod xls_guard;
mod zip_guard;

pub use error::{Fault, ImportError, ImportErrors};
pub use hand::{HandRow, HandSheet, HandUse, MOST_DRAWN, hand_edges};
pub use headers::Field;
pub use lines::{LineRead, lines};
pub use options::{ImportOptions, Layout, Meaning, Orientation, Source, Spacing, XRuns};
pub use outline::outline;
pub use settings::parse_spacing as spacing;
pub use turns::{Counted, Counting, Opposed, Turns, together};
pub use understood::{
    Imported, SeenCell, SkippedCell, Understood, UnderstoodRoom, UsedColumn, Why,
};

use crate::survey::{Notice, Place, Severity, SheetName, seen};
use blocks::Shape;
use error::{Faults, quoted};
use std::collections::HashMap;
use table::Table;

/// Reads a file of readings.
///
/// # Units, datum, sign
/// Metres out; elevations up positive, the level line at [`ImportOptions::line`].
/// # Errors
/// [`ImportErrors`]: every fault found, each with file, sheet and cell, what was found, what was
/// expected and what to do. Nothing is returned in part.
/// # Edge cases
/// Cells without a reading are counted and listed, never taken for zero.
/// # Example
/// ```
/// use birdbath::import::{read, ImportOptions, Source};
/// let text = "x_ft,y_ft,reading_in\n0,0,31 1/4\n2,0,31 1/4\n0,2,31 3/16\n2,2,31 1/8\n";
/// let source = Source { name: "bath.csv", bytes: text.as_bytes() };
/// let imported = read(&source, &ImportOptions::default()).unwrap();
/// assert_eq!(imported.surveys[0].readings.len(), 4);
/// ```
pub fn read(source: &Source<'_>, options: &ImportOptions) -> Result<Imported, ImportErrors> {
    let (table, understood) = open(source, options)?;
    let mut faults = Faults::default();
    let blocks = blocks::find(&table, options, &mut faults);
    twice::refuse_quantities(&table, &blocks, &mut faults);
    twice::refuse_parts(&blocks, &mut faults);
    let mut rooms = Vec::new();
    for (i, block) in blocks.iter().enumerate() {
        let read = match &block.shape {
            Shape::List(headings) => list::read(&table, block, headings, options, &mut faults),
            Shape::Matrix(corner) => {
                vec![matrix::read(&table, block, *corner, options, &mut faults)]
            }
        };
        rooms.extend(read.into_iter().map(|room| (i, room)));
    }
    goes_on::hold(&blocks, &mut rooms, &mut faults);
    if faults.is_empty() {
        twice::refuse_repeated(&rooms, &mut faults);
        twice::tell_alike(&table, &blocks, &mut rooms);
    }
    let mut rooms: Vec<room::RawRoom> = rooms.into_iter().map(|(_, room)| room).collect();
    if blocks.is_empty() && faults.is_empty() {
        text_file::refuse_no_table(&table, &mut faults);
    }
    name_rooms(&mut rooms, &understood);
    tell_like_names(&mut rooms);
    let mut rooms = choose_room(rooms, options, &table, &mut faults);
    comments::tell(&table, &mut rooms);
    comments::tell_long(&table, &mut rooms);
    set_up_tab::tell(source, options, &understood, &mut rooms);
    // A scan's cells take as much room as its readings: let them go before the checks need room.
    drop(table);
    let (surveys, about) = rooms
        .into_iter()
        .map(|room| check::finish(room, options, &mut faults))
        .unzip();
    faults.or(Imported {
        surveys,
        understood: Understood {
            rooms: about,
            ..understood
        },
    })
}

/// Bytes to cells, by what the bytes are, whatever the file's name ends in.
fn open(source: &Source<'_>, options: &ImportOptions) -> Result<(Table, Understood), ImportErrors> {
    if workbook::is_workbook(source.bytes) {
        let book = workbook::read(source, options)?;
        let understood = Understood {
            file: source.name.to_owned(),
            format: book.format,
            encoding: None,
            separator: None,
            decimal_comma: book.table.has_decimal_commas(),
            sheet: Some(book.sheet),
            sheets: book.sheets,
            rooms: Vec::new(),
        };
        return Ok((book.table, understood));
    }
    if let Some(wanted) = &options.sheet {
        return Err(error::whole(
            Place::new(SheetName::new(source.name, None), 0, 0),
            Fault::Sheet,
            format!("no workbook, though the sheet \u{201c}{wanted}\u{201d} is asked for"),
            "a workbook, or a text file without a sheet's name",
            "A text file holds one table: leave the sheet's name out, or give the workbook itself.",
        ));
    }
    let (table, form) = text_file::read(source, options)?;
    let understood = Understood {
        file: source.name.to_owned(),
        format: "CSV",
        encoding: Some(form.encoding),
        separator: Some(match form.delimiter {
            b',' => "comma",
            b';' => "semicolon",
            b'\t' => "tab",
            b'|' => "bar",
            b' ' => "blanks",
            _ => "as stated",
        }),
        decimal_comma: table.has_decimal_commas(),
        sheet: None,
        sheets: Vec::new(),
        rooms: Vec::new(),
    };
    Ok((table, understood))
}

/// Rooms without a name: the sheet's or the file's when there is one room, numbers when several.
fn name_rooms(rooms: &mut [room::RawRoom], understood: &Understood) {
    let several = rooms.len() > 1;
    for (i, room) in rooms.iter_mut().enumerate() {
        room.name.get_or_insert_with(|| {
            if several {
                return format!("Room {}", i + 1);
            }
            let file = understood
                .file
                .rsplit(['/', '\\'])
                .next()
                .unwrap_or_default();
            let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
            understood.sheet.clone().unwrap_or_else(|| stem.to_owned())
        });
        // What nobody sees on the sheet has no place on a drawing.
        room.name = room.name.take().map(|name| seen(&name));
    }
}

/// Says where a name stands for several rooms.
fn tell_like_names(rooms: &mut [room::RawRoom]) {
    let mut first_of: HashMap<Option<String>, usize> = HashMap::new();
    for i in 0..rooms.len() {
        let key = rooms[i].name.as_deref().map(str::to_lowercase);
        let first = *first_of.entry(key).or_insert(i);
        if first < i {
            let text = format!(
                "This table and the one at {} have one name, {}: they are two rooms all the same, and --room takes both. Give each a name of its own.",
                rooms[first].about.header,
                rooms[i].name.as_deref().unwrap_or_default()
            );
            let place = rooms[i].about.header.to_string();
            rooms[i].notices.push(Notice::new(
                "rooms-of-one-name",
                Severity::Warning,
                place,
                text,
            ));
        }
    }
}

/// Calls a lone table's room by the name asked for, and tells where its title says another or more than that.
fn take_name(room: &mut room::RawRoom, name: &str) {
    let title = room.name.replace(name.to_owned()).unwrap_or_default();
    let words = |text: &str| -> Vec<String> {
        let lower = text.to_lowercase();
        let parts = lower.split(|c: char| !c.is_alphanumeric());
        parts.filter(|w| !w.is_empty()).map(str::to_owned).collect()
    };
    let (titled, named) = (words(&title), words(name));
    if room.named_outside || titled == named {
        return;
    }
    let held = named.iter().all(|w| titled.contains(w));
    let (severity, more) = match held {
        // `Flat 3, kitchen`; but of `Kitchen and bath` nobody can tell.
        true => (
            Severity::Note,
            "All of it counts as that room: the name alone parts no table.",
        ),
        false => (
            Severity::Warning,
            "If these are readings of another room, give that room's file or leave the name away.",
        ),
    };
    room.notices.push(Notice::new(
        "titled-otherwise",
        severity,
        room.about.header.to_string(),
        format!(
            "The table is titled {} and is taken as the room {}, which --room (room in a job file) asks for. {more}",
            quoted(&title),
            quoted(name)
        ),
    ));
}

/// The room asked for; a lone room is called what the caller calls it. A title above it may be that of a job and no room's, so it does
/// not stand in the way, but that it says something else is told.
fn choose_room(
    mut rooms: Vec<room::RawRoom>,
    options: &ImportOptions,
    table: &Table,
    faults: &mut Faults,
) -> Vec<room::RawRoom> {
    let Some(wanted) = &options.room else {
        return rooms;
    };
    if seen(wanted).trim().is_empty() {
        faults.add(
            Fault::Room,
            table.place(0, 0),
            "an empty name as the room asked for",
            "the name of a room, or none at all",
            "Give --room (room in a job file) a name, or leave it away: then every room of the file is read.",
        );
        return Vec::new();
    }
    if let [room] = &mut rooms[..]
        && !room.stated
    {
        take_name(room, seen(wanted).trim());
        return rooms;
    }
    let names: Vec<String> = rooms.iter().filter_map(|r| r.name.clone()).collect();
    let (fitting, _): (Vec<_>, Vec<_>) = rooms.into_iter().partition(|r| {
        r.name
            .as_deref()
            .is_some_and(|n| n.trim().to_lowercase() == seen(wanted).trim().to_lowercase())
    });
    if fitting.is_empty() && !names.is_empty() {
        faults.add(
            Fault::Room,
            table.place(0, 0),
            format!("no room {}", quoted(wanted)),
            format!("one of: {}", names.join(", ")),
            "",
        );
    }
    fitting
}
