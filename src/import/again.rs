//! Columns of a list that hold further readings of its marks from the same line: `1st | 2nd`, `Reading | Re-read`.

use super::headers::{Field, field, number_of_reading, split_unit};
use super::heading::Heading;
use super::options::Meaning;
use super::table::Row;

/// What a heading counts among readings of one mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turn {
    First,
    Further,
}

/// `1st`, `First reading`, `2nd`, `Reading 2`, `Re-read`: which reading of a mark the words of a heading name.
fn turn(words: &str) -> Option<Turn> {
    let bare = words.strip_suffix(" reading").unwrap_or(words);
    match bare {
        "1st" | "first" => Some(Turn::First),
        "2nd" | "second" | "3rd" | "third" | "re-read" | "reread" | "read again" | "again"
        | "repeat" | "repeated" => Some(Turn::Further),
        _ => number_of_reading(words).map(|n| match n {
            "1" | "a" => Turn::First,
            _ => Turn::Further,
        }),
    }
}

/// Whether a heading is that of a place with a count behind it: `X2`, `point 2`.
fn is_counted_place(text: &str) -> bool {
    let (words, _) = split_unit(text);
    let bare = words.trim_end_matches(|c: char| !c.is_alphabetic());
    bare.len() < words.len() && matches!(field(bare), Field::X | Field::Y | Field::Point)
}

/// Names the columns that hold further readings, where one column holds the first: one headed as readings, or `1st` beside a `2nd`.
pub(super) fn name_further(headings: &mut [Heading], row: Row<'_>) {
    let turns: Vec<Option<Turn>> = (0..headings.len())
        .map(|i| turn(&split_unit(row.cell(i).text).0))
        .collect();
    let further =
        |i: &usize| turns[*i] == Some(Turn::Further) && headings[*i].field == Field::Unknown;
    let further: Vec<usize> = (0..headings.len()).filter(further).collect();
    let headed = |i: &usize| matches!(headings[*i].field, Field::Reading(_));
    let bare = |i: &usize| turns[*i] == Some(Turn::First) && headings[*i].field == Field::Unknown;
    let firsts = |of: &dyn Fn(&usize) -> bool| (0..headings.len()).filter(of).collect::<Vec<_>>();
    let first = match (&firsts(&headed)[..], &firsts(&bare)[..]) {
        ([first], []) | ([], [first]) => *first,
        _ => return,
    };
    // Behind `X2` or `Point 2` stands the reading of another mark.
    let other_marks = (0..headings.len()).any(|i| is_counted_place(row.cell(i).text));
    if further.is_empty() || further[0] < first || other_marks {
        return;
    }
    if headings[first].field == Field::Unknown {
        headings[first].field = Field::Reading(Meaning::Down);
    }
    for i in further {
        let own = headings[i].unit;
        headings[i] = Heading {
            field: Field::Again,
            unit: own.or(headings[first].unit),
            scale: own.map_or(headings[first].scale, |_| headings[i].scale),
            ..headings[i]
        };
    }
}
