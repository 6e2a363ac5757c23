//! Tables whose headings are missing or stand where no table has them: at the right, at the bottom, or as distances to the west or the south.

use super::around::{is_number, looks_numeric};
use super::axis::{column_and_row, compass_distance, name_part};
use super::corner::corner;
use super::error::{Fault, Faults, quoted};
use super::form::{heading_like, list_header};
use super::headings_again::{run_one_way, tell_at_right};
use super::numbered_note::is_numbered_note;
use super::table::{Cell, Row, Table};
use std::collections::HashSet;

/// Fewer rows show no table.
const FEWEST: usize = 3;

/// Refuses such a table that begins at a row; one past its last row.
pub(super) fn refuse_at(table: &Table, at: usize, faults: &mut Faults) -> Option<usize> {
    refuse_named(table, at, faults).or_else(|| refuse_westings(table, at, faults))
}

/// Rows of a mark's name and a number, `A1 | 38`, under no headings, with lone lines of words among them.
fn refuse_named(table: &Table, at: usize, faults: &mut Faults) -> Option<usize> {
    let pair = |row: Row<'_>| {
        let mut filled = row.filled();
        let (name, number, more) = (filled.next()?, filled.next()?, filled.next());
        let named = column_and_row(name.text).is_some() && number.column == name.column + 1;
        let read = is_number(&number) && !is_numbered_note(number.text);
        let note = more.is_none_or(|c| !is_number(&c)) && filled.next().is_none();
        (named && read && note).then(|| (name.text.to_uppercase(), number.text.to_owned()))
    };
    let (first, number) = pair(table.row(at))?;
    let (mut names, mut end, mut line) = (HashSet::from([first]), at + 1, None);
    for i in at + 1..table.len() {
        let row = table.row(i);
        if let Some((name, _)) = pair(row) {
            names.insert(name);
            end = i + 1;
        } else if row.filled().count() == 1 && row.filled().all(|c| !is_number(&c)) {
            line = line.or(row.filled().next());
        } else if !row.is_blank() {
            break;
        }
    }
    let headed = (end..table.len()).any(|i| list_header(table.row(i)).is_some());
    if names.len() < FEWEST || headed {
        return None;
    }
    let row = table.row(at);
    let name = row.filled().next()?;
    let line = line.filter(|c| c.row < table.row(end - 1).number);
    faults.add(
        Fault::Layout,
        table.place(name.row, name.column),
        format!(
            "{} rows of a name and a number under no headings, beginning {} and {}",
            names.len(),
            quoted(name.text),
            quoted(&number)
        ),
        "headings above them that say what they are, such as point, reading_in",
        match line {
            None => "Write a row above: point, reading_in (the unit of your readings), and one above that: spacing, 2 ft.".to_owned(),
            Some(line) => format!(
                "Write a row above: point, reading_in (the unit of your readings), and one above that: spacing, 2 ft. Words between the rows, such as {} ({}), go into a third column headed note.",
                quoted(line.text),
                table.place(line.row, line.column).cell()
            ),
        },
    );
    Some(end)
}

/// The distance of a heading to the west or the south, `W 2`, `S=4'`, `2 ft W`.
fn runs_back(text: &str) -> Option<char> {
    let text = text.trim();
    let way = |word: &str| match word.to_lowercase().as_str() {
        "w" | "west" => Some('W'),
        "s" | "south" => Some('S'),
        _ => None,
    };
    let number = |t: &str| t.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-'));
    let before = text.split_once([' ', '=', ':']);
    let before = before.map(|(w, rest)| (w, rest.trim_start_matches([' ', '=', ':'])));
    let behind = text.rsplit_once(' ').map(|(rest, w)| (w, rest.trim_end()));
    let told = [before, behind].into_iter().flatten();
    told.into_iter()
        .find_map(|(word, rest)| way(word).filter(|_| number(rest)))
}

/// Headings of columns or rows that are distances to the west or the south: they run against x and y.
fn refuse_westings(table: &Table, at: usize, faults: &mut Faults) -> Option<usize> {
    let header = table.row(at);
    let mut end = at + 1;
    while end < table.len() && !table.row(end).is_blank() && follows(table, end) {
        end += 1;
    }
    let heads: Vec<Cell<'_>> = header.filled().skip(1).collect();
    let firsts: Vec<Cell<'_>> = (at + 1..end)
        .filter_map(|i| table.row(i).filled().next())
        .collect();
    let numbers =
        (at + 1..end).all(|i| table.row(i).filled().filter(|c| is_number(c)).count() >= 2);
    let back = |cells: &[Cell<'_>]| {
        let all = |c: &Cell<'_>| runs_back(c.text).is_some();
        cells.len() >= 2 && cells.iter().all(all)
    };
    let plain = |cells: &[Cell<'_>]| {
        let known = |c: &Cell<'_>| looks_numeric(c.text) || compass_distance(c.text).is_some();
        cells.len() >= 2
            && cells
                .iter()
                .all(|c| known(c) || runs_back(c.text).is_some())
    };
    let cell = match (back(&heads), back(&firsts)) {
        (true, _) if plain(&firsts) => heads.first()?,
        (_, true) if plain(&heads) => firsts.first()?,
        _ => return None,
    };
    if !numbers || list_header(header).is_some() {
        return None;
    }
    let (way, axis, wall) = match runs_back(cell.text)? {
        'W' => ("west", "x, which runs to the east", "west"),
        _ => ("south", "y, which runs to the north", "south"),
    };
    faults.add(
        Fault::NoPosition,
        table.place(cell.row, cell.column),
        format!("{}, a distance to the {way} as a heading", quoted(cell.text)),
        format!("distances along {axis}"),
        format!(
            "Write each as its distance from the {wall} wall: the size of the room less this one, such as {} 2.",
            if way == "west" { "E" } else { "N" }
        ),
    );
    Some(end)
}

/// Whether a row stands right below the one above it.
fn follows(table: &Table, at: usize) -> bool {
    table.row(at).number == table.row(at - 1).number + 1
}

/// Refuses rows of numbers under no header whose headings stand at the right, or below them.
pub(super) fn refuse_rows(table: &Table, rows: &[usize], faults: &mut Faults) -> bool {
    refuse_at_right(table, rows, faults) || refuse_below(table, rows, faults)
}

fn refuse_at_right(table: &Table, rows: &[usize], faults: &mut Faults) -> bool {
    let [first, below @ ..] = rows else {
        return false;
    };
    let row = table.row(*first);
    let cells: Vec<Cell<'_>> = row.filled().collect();
    let Some((last, heads)) = cells.split_last() else {
        return false;
    };
    let told = corner(last.text);
    let is_corner = !is_number(last) && (told.plan.or(told.reading).or(told.only)).is_some();
    // Without a word at the end of the first row the others are longer by one.
    let (column, heads) = match is_corner {
        true => (last.column, heads),
        false => (last.column + 1, &cells[..]),
    };
    let ends: Vec<Cell<'_>> = below
        .iter()
        .map(|&i| table.row(i).cell(column as usize - 1))
        .collect();
    let runs = run_one_way(ends.iter().copied()) == Some(true);
    let same_width = below.iter().all(|&i| table.row(i).len() == column as usize);
    if heads.len() < 2 || !runs || !same_width {
        return false;
    }
    if !heads.iter().all(|c| heading_like(c.text)) || row.cell(0).is_blank() {
        return false;
    }
    tell_at_right(table, ends[0], faults);
    true
}

fn refuse_below(table: &Table, rows: &[usize], faults: &mut Faults) -> bool {
    let Some(&last) = rows.last() else {
        return false;
    };
    let next = (last + 1..table.len()).find(|&i| !table.row(i).is_blank());
    // Letters are no numbers, and stand right below the rows; distances are the last of these.
    let heads_of = |i: usize, above: &[usize], known: fn(&str) -> bool| {
        let row = table.row(i);
        let column = table.row(*above.first()?).filled().next()?.column as usize - 1;
        let heads: Vec<Cell<'_>> = row
            .filled()
            .filter(|c| c.column as usize - 1 > column)
            .collect();
        let corner = row.cell(column);
        let under = above.iter().all(|&k| {
            let row = table.row(k);
            heading_like(row.cell(column).text)
                && heads
                    .iter()
                    .filter(|c| !row.cell(c.column as usize - 1).is_blank())
                    .count()
                    >= 2
        });
        let fits = corner.is_blank() && heads.len() >= 2 && heads.iter().all(|c| known(c.text));
        (above.len() >= 2 && fits && under).then_some(heads)
    };
    let lettered = next.and_then(|i| heads_of(i, rows, |t| name_part(t).is_some()));
    let found = lettered.or_else(|| {
        let above = rows.split_last()?.1;
        heads_of(last, above, |t| heading_like(t) && looks_numeric(t))
    });
    let Some(heads) = found else {
        return false;
    };
    faults.add(
        Fault::Layout,
        table.place(heads[0].row, heads[0].column),
        format!(
            "{} and the like below the readings, and no headings above them",
            quoted(heads[0].text)
        ),
        "the headings of the columns in the first row of the table",
        "Move this row up above the readings, and leave these in their order.",
    );
    true
}
