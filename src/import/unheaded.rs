//! Rows of numbers that no header stands over: what keeps them from being a table.

use super::around::looks_numeric;
use super::error::{Fault, Faults, quoted};
use super::form::heading_like;
use super::headers::Field;
use super::heading::heading;
use super::misplaced;
use super::moved::says_moved;
use super::table::{Cell, Row, Table};

/// Refuses them, by what is the likeliest trouble; `lone` where the sheet has no table at all.
pub(super) fn refuse(table: &Table, rows: &[usize], lone: bool, faults: &mut Faults) {
    let Some(&first) = rows.first() else { return };
    if lone && let Some((left, corner)) = left_of_a_table(table, rows) {
        faults.add(
            Fault::Layout,
            table.place(left.row, left.column),
            format!(
                "{} to the left of a table that begins at {}",
                quoted(left.text),
                table.place(corner.row, corner.column).cell()
            ),
            "a table whose first filled cells are its own headings",
            "Move what stands at its left above the table, with a blank row between.",
        );
        return;
    }
    if lone && misplaced::refuse_rows(table, rows, faults) {
        return;
    }
    let row = table.row(first);
    let count = match rows.len() {
        1 => "a row of numbers".to_owned(),
        n => format!("{n} rows of numbers"),
    };
    if let Some(heads) = headings_above(table, first) {
        let has = |wanted: fn(&Field) -> bool| heads.iter().any(|c| wanted(&heading(c.text).field));
        let lacking: Vec<&str> = [
            (has(|f| *f == Field::X), "x"),
            (has(|f| *f == Field::Y), "y"),
            (has(|f| matches!(f, Field::Reading(_))), "a reading"),
        ]
        .into_iter()
        .filter(|(there, _)| !there)
        .map(|(_, name)| name)
        .collect();
        let lacking = if lacking.is_empty() {
            "of a list that was seen as one".to_owned()
        } else {
            lacking.join(" or ")
        };
        let texts: Vec<String> = heads.iter().map(|c| quoted(c.text)).collect();
        faults.add(
            Fault::Layout,
            table.place(heads[0].row, 0),
            format!("{count} under headings of which none is {}: {}", lacking, texts.join(", ")),
            "headings such as x_ft,y_ft,reading_in",
            "Head the distances to the right from the left wall x, those up the plan from the near wall y, and the readings reading, down, up or elevation, each with its unit: x_ft, y (m), reading_in. Where they count from other walls: x from right wall (ft), y from far wall (ft); headed x and y they would be mirrored. If these are no readings, write each word and its value beside one another in one row, or delete them. See docs/formats.md.",
        );
        return;
    }
    let beginning = quoted(row.filled().next().map_or("", |c| c.text));
    // A line of words right above parts them from the table that they belong to.
    let line = (0..first)
        .rev()
        .map(|i| table.row(i))
        .find(|a| !a.is_blank())
        .filter(|a| a.filled().count() == 1);
    if let Some(words) = line.and_then(|a| a.filled().next())
        && !looks_numeric(words.text)
        && !lone
    {
        faults.add(
            Fault::Layout,
            table.place(words.row, words.column),
            format!("{} within a table, and {count} below it under no header", quoted(words.text)),
            "rows of one table right below one another",
            if says_moved(words.text) {
                "If the instrument was moved here, write a list with a column headed set-up, each set-up's name in every row, and a mark or more in both. If not, take the line out."
            } else {
                "Take the line out, or put it beside the table. If another room begins here, give it headings of its own."
            },
        );
        return;
    }
    faults.add(
        Fault::Layout,
        table.place(row.number, 0),
        match rows.len() {
            1 => format!("{count} under no header, beginning {beginning}"),
            _ => format!("{count} under no header, the first beginning {beginning}"),
        },
        "a header row such as x_ft,y_ft,reading_in, or a first row and column of distances",
        "If these are no readings, write a word before each number, or delete them. See docs/formats.md for both layouts.",
    );
}

/// How many rows from one on stand under headings of a list, one of them for readings and the place under words that are not known.
pub(super) fn rows_under_unknown(table: &Table, at: usize) -> usize {
    let of_list = headings_above(table, at).is_some_and(|heads| {
        heads
            .iter()
            .any(|c| matches!(heading(c.text).field, Field::Reading(_)))
    });
    if !of_list {
        return 0;
    }
    let numbers = |row: Row<'_>| row.filled().filter(|c| looks_numeric(c.text)).count();
    let goes_on = |i: &usize| {
        let row = table.row(*i);
        row.number as usize == table.row(at).number as usize + i - at && numbers(row) >= 2
    };
    (at..table.len()).take_while(goes_on).count()
}

/// The words right above a row, as many of them as it has numbers, none of them a number.
fn headings_above<'a>(table: &'a Table, at: usize) -> Option<Vec<Cell<'a>>> {
    let above = table.row(at.checked_sub(1)?);
    let row = table.row(at);
    let heads: Vec<Cell<'a>> = above.filled().collect();
    let words = heads.iter().all(|c| !looks_numeric(c.text));
    let over = row
        .filled()
        .all(|c| !above.cell(c.column as usize - 1).is_blank());
    let numbers = row.filled().filter(|c| looks_numeric(c.text)).count();
    (above.number + 1 == row.number && words && over && heads.len() >= 2 && numbers >= 2)
        .then_some(heads)
}

/// What keeps a matrix from being seen where no table was found: the first cell at its left, with the matrix's corner.
fn left_of_a_table<'a>(table: &'a Table, rows: &[usize]) -> Option<(Cell<'a>, Cell<'a>)> {
    rows.iter()
        .map(|&at| (table.row(at), table.row((at + 1).min(table.len() - 1))))
        .find_map(|(row, below)| {
            let left = row.filled().next()?;
            // The first heading behind a blank column, or the corner before it.
            let corner = (left.column as usize..row.len()).find(|&i| {
                let apart = row.cell(i - 1).is_blank() && below.cell(i - 1).is_blank();
                let heads = row.filled().filter(|c| c.column as usize - 1 > i);
                let heads = heads.filter(|c| heading_like(c.text)).count();
                let is_corner = !looks_numeric(row.cell(i).text);
                let side = below.cell(i).text;
                apart && is_corner && heads >= 2 && !side.is_empty() && heading_like(side)
            })?;
            Some((left, row.cell(corner)))
        })
}

/// How many rows from one on are a list that lies on its side: each begins with a heading, and among these are x, y and a reading,
/// or a point and a reading.
pub(super) fn lies_on_its_side(table: &Table, at: usize) -> Option<usize> {
    let begins = |row: &Row<'_>| {
        let mut filled = row.filled();
        let first = filled.next()?;
        let field = heading(first.text).field;
        let headed = field != Field::Unknown && row.filled().count() >= 3;
        // A point's names may be letters; all else is numbers.
        let values =
            field == Field::Point || field == Field::Note || filled.all(|c| looks_numeric(c.text));
        (headed && values).then_some(field)
    };
    let fields: Vec<Field> = (at..table.len())
        .map(|i| table.row(i))
        .map_while(|row| begins(&row))
        .collect();
    let has = |wanted: fn(&Field) -> bool| fields.iter().any(wanted);
    let reading = has(|f| matches!(f, Field::Reading(_)));
    let placed = has(|f| *f == Field::X) && has(|f| *f == Field::Y);
    ((placed || has(|f| *f == Field::Point)) && reading && fields.len() <= 8)
        .then_some(fields.len())
}

/// Refuses a list that lies on its side.
pub(super) fn refuse_lying(table: &Table, (at, count): (usize, usize), faults: &mut Faults) {
    let heads: Vec<String> = (at..at + count)
        .filter_map(|i| table.row(i).filled().next().map(|c| quoted(c.text)))
        .collect();
    faults.add(
        Fault::Layout,
        table.place(table.row(at).number, 0),
        format!(
            "a list that lies on its side: its rows begin with {}",
            heads.join(", ")
        ),
        "the headings in one row, and each reading with its place in a row below",
        "Turn it over: copy it and paste it transposed.",
    );
}
