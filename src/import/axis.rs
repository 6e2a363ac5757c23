//! The first row or first column of a matrix: distances, or names with a spacing.

use super::cells::{CellRule, Seen, length};
use super::error::{Fault, Faults, quoted};
use super::headers::is_summary;
use super::table::Cell;
use crate::survey::Place;
use crate::units::{Comma, Length, read_length};

/// One heading's place on its axis.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark {
    /// Metres along the axis.
    pub at: f64,
    /// Its name, when the axis is headed by letters or numbers.
    pub name: Option<String>,
}

/// Where each heading of an axis stands; `None` for a heading that is not one (blank, a summary).
#[derive(Debug, Clone)]
pub(super) struct Axis {
    pub marks: Vec<Option<Mark>>,
    /// Whether the headings are names rather than distances.
    pub named: bool,
    /// Columns or rows of averages and totals, by index.
    pub summaries: Vec<usize>,
}

/// The name in a heading such as `C`, `AA`, `B2`, `F (9' 7")`, `F @ 9' 7"`; with what follows it.
pub(super) fn name_part(text: &str) -> Option<(&str, Option<&str>)> {
    let text = text.trim();
    let end = text
        .find(|c: char| !c.is_alphanumeric())
        .unwrap_or(text.len());
    let (name, rest) = text.split_at(end);
    let letters = name.chars().take_while(|c| c.is_alphabetic()).count();
    // `AA` goes on after `Z`; `By` is a word.
    let one_case = name.chars().take(letters).all(char::is_uppercase) || letters == 1;
    let digits = name.chars().skip(letters).all(|c| c.is_ascii_digit());
    if !(1..=2).contains(&letters) || !one_case || !digits || name.len() > 6 {
        return None;
    }
    let rest = rest.trim();
    if rest.is_empty() {
        return Some((name, None));
    }
    let own = rest
        .strip_prefix('@')
        .or_else(|| rest.strip_prefix('='))
        .or_else(|| rest.strip_prefix('(').and_then(|r| r.strip_suffix(')')))?;
    Some((name, Some(own.trim())))
}

/// Which axis, for messages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Columns,
    Rows,
}

/// Reads an axis.
///
/// Letters are names. Whole numbers 1, 2, 3 in a row are names when a spacing is stated, distances
/// otherwise. A name may bring its own distance, for the short last row or column: `F (9' 7")`.
pub(super) fn read(
    cells: &[Cell<'_>],
    which: Which,
    rule: CellRule,
    spacing: Option<Length>,
    faults: &mut Faults,
    place: &dyn Fn(&Cell<'_>) -> Place,
) -> Axis {
    let mut axis = Axis {
        marks: Vec::with_capacity(cells.len()),
        named: false,
        summaries: Vec::new(),
    };
    let heads = || {
        cells
            .iter()
            .filter(|c| !c.is_blank() && !is_summary(c.text))
    };
    let counted = spacing.is_some()
        && heads()
            .zip(1u32..)
            .all(|(c, n)| c.text.parse::<f64>() == Ok(f64::from(n)));
    axis.named = counted || heads().any(|c| name_part(c.text).is_some());
    let mut step = 0u32;
    let mut told_unit = false;
    for (i, cell) in cells.iter().enumerate() {
        if cell.is_blank() {
            axis.marks.push(None);
            continue;
        }
        if is_summary(cell.text) {
            axis.summaries.push(i);
            axis.marks.push(None);
            continue;
        }
        let mark = if axis.named {
            let (name, own) = name_part(cell.text).unwrap_or((cell.text, None));
            let at = match own {
                Some(own) => match read_length(own, rule.unit, Comma::Auto) {
                    Ok(written) => Some(written.length.m()),
                    Err(error) => {
                        faults.add(
                            Fault::NoPosition,
                            place(cell),
                            quoted(cell.text),
                            "a name with its distance, as in F (9' 7\")",
                            error.to_string(),
                        );
                        None
                    }
                },
                None => spacing.map(|s| s.m() * f64::from(step)),
            };
            if at.is_none() && own.is_none() && !told_unit {
                told_unit = true;
                faults.add(
                    Fault::NoPosition,
                    place(cell),
                    format!("{}, a name and no distance", quoted(cell.text)),
                    match which {
                        Which::Columns => "distances in the first row, or a spacing",
                        Which::Rows => "distances in the first column, or a spacing",
                    },
                    "State --spacing, such as --spacing \"2 ft\", or write a row: spacing, 2 ft.",
                );
            }
            step += 1;
            at.map(|at| Mark {
                at,
                name: Some(name.to_owned()),
            })
        } else {
            match length(*cell, rule) {
                Ok(Seen::Length(written) | Seen::Recovered(written, _)) => Some(Mark {
                    at: written.length.m(),
                    name: None,
                }),
                Ok(Seen::NoReading) => {
                    faults.add(
                        Fault::NoPosition,
                        place(cell),
                        quoted(cell.text),
                        "a distance, a letter or a number",
                        "",
                    );
                    None
                }
                Err(fault) if fault.fault == Fault::MissingUnit => {
                    if !told_unit {
                        told_unit = true;
                        faults.add(
                            Fault::MissingUnit,
                            place(cell),
                            format!("plan distances with no unit, beginning {}", quoted(cell.text)),
                            "one of ft, in, ft-in, mm, cm, m",
                            "State --plan-unit, write a row above the table: plan unit, ft; or write units into the corner cell: ft / in.",
                        );
                    }
                    None
                }
                Err(fault) => {
                    fault.report(faults, place(cell));
                    None
                }
            }
        };
        axis.marks.push(mark);
    }
    repeated(&axis, cells, faults, place);
    axis
}

/// Two headings at one distance put two readings on one spot.
fn repeated(
    axis: &Axis,
    cells: &[Cell<'_>],
    faults: &mut Faults,
    place: &dyn Fn(&Cell<'_>) -> Place,
) {
    let mut order: Vec<usize> = (0..axis.marks.len())
        .filter(|&i| axis.marks[i].is_some())
        .collect();
    let at = |i: usize| axis.marks[i].as_ref().map_or(0.0, |m| m.at);
    order.sort_by(|&a, &b| at(a).total_cmp(&at(b)).then(a.cmp(&b)));
    for pair in order.windows(2) {
        if (at(pair[0]) - at(pair[1])).abs() < 1e-6 {
            faults.add(
                Fault::NoPosition,
                place(&cells[pair[1]]),
                format!(
                    "{}, a distance that stands there twice",
                    quoted(cells[pair[1]].text)
                ),
                "each distance once",
                "",
            );
        }
    }
}
