//! The first row or first column of a matrix: distances, or names with a spacing.

use super::cells::{A_LENGTH, CellRule, Seen, length};
use super::error::{Fault, Faults, quoted};
use super::headers::is_summary;
use super::table::Cell;
use crate::survey::{Notice, Place, Severity};
use crate::units::{Comma, Length, LengthUnit, read_length};

/// Headings may leave out as many letters or numbers in one place as there are headings, and always so many: what is farther off, `Hi` behind A to F, is
/// a box of something else.
const MOST_LEFT_OUT: usize = 6;

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
    /// The first heading before which others are left out, by its index, where names count.
    pub left_out: Option<usize>,
}

/// Says that headings or names leave something out.
pub(super) fn skip_notice(
    place: &Place,
    (what, before): (&str, &str),
    remedy: std::fmt::Arguments<'_>,
) -> Notice {
    Notice::new(
        "headings-skip",
        Severity::Warning,
        place.to_string(),
        format!(
            "The {what} skip here, before {}: each stands where its own letters or number put it, and what is left out was taken as not read. If it is only a letter that your grid never uses, {remedy}.",
            quoted(before)
        ),
    )
}

/// The name in a heading such as `C`, `AA`, `B2`, `F (9' 7")`, `F @ 9' 7"`; with what follows it.
pub(super) fn name_part(text: &str) -> Option<(&str, Option<&str>)> {
    let text = without_kind(text.trim());
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
    own_distance(rest).map(|own| (name, own))
}

/// `col A`, `Row 3`: the name behind the word for what it names.
fn without_kind(text: &str) -> &str {
    // `(A)`, `#1`, `1.`: a name with the marks of a list round it.
    let bare = text
        .strip_prefix('#')
        .or_else(|| text.strip_prefix('(').and_then(|t| t.strip_suffix(')')))
        .or_else(|| text.strip_suffix('.'))
        .unwrap_or(text);
    if bare.len() != text.len() && bare.len() <= 4 && bare.chars().all(char::is_alphanumeric) {
        return bare;
    }
    let Some((word, name)) = text.split_once([' ', '.']) else {
        return text;
    };
    let kind = word.to_lowercase();
    if matches!(kind.as_str(), "col" | "column" | "row" | "line") {
        name.trim_start_matches(['.', ' '])
    } else {
        text
    }
}

/// The axis and the distance that a heading such as `x=2`, `y = 4'` names.
pub(super) fn axis_named(text: &str) -> Option<(char, &str)> {
    let (axis, rest) = text.split_once(['=', ':'])?;
    let axis = match axis.trim() {
        "x" | "X" => 'x',
        "y" | "Y" => 'y',
        _ => return None,
    };
    let rest = rest.trim();
    let number = rest
        .trim_start_matches('-')
        .starts_with(|c: char| c.is_ascii_digit() || c == '.');
    number.then_some((axis, rest))
}

/// A heading without the name of its axis: `2` of `x=2`.
fn without_axis(cell: Cell<'_>) -> Cell<'_> {
    match axis_named(cell.text) {
        Some((_, text)) => Cell { text, ..cell },
        None => cell,
    }
}

/// The way and the distance of a heading such as `E 2`, `N=4'`, `2 ft E`: an easting or a northing.
pub(super) fn compass_distance(text: &str) -> Option<(char, &str)> {
    let text = text.trim();
    let way = |word: &str| match word {
        "E" | "e" | "East" | "east" | "EAST" => Some('x'),
        "N" | "n" | "North" | "north" | "NORTH" => Some('y'),
        _ => None,
    };
    let number = |t: &str| t.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-'));
    let before = text.split_once([' ', '=', ':']);
    let before = before.map(|(w, rest)| (w, rest.trim_start_matches([' ', '=', ':'])));
    let behind = text.rsplit_once(' ').map(|(rest, w)| (w, rest.trim_end()));
    [before, behind]
        .into_iter()
        .flatten()
        .find_map(|(word, rest)| Some((way(word)?, rest)).filter(|(_, rest)| number(rest)))
}

/// The headings of the columns and of the rows without the names of their axes. `E 2` is an easting only where all columns are so headed, and
/// all rows are northings or plain numbers: a lone `E 2` among letters is a name.
pub(super) fn without_axes<'a>(
    heads: &mut [Cell<'a>],
    sides: &mut [Cell<'a>],
) -> Result<(), Cell<'a>> {
    let way = |cells: &[Cell<'a>]| {
        let mut told = cells
            .iter()
            .filter(|c| !is_summary(c.text) && !c.is_blank())
            .map(|c| compass_distance(c.text).map(|(way, _)| way));
        let first = told.next()??;
        told.all(|w| w == Some(first)).then_some(first)
    };
    let plain = |cells: &[Cell<'a>]| {
        let mut told = cells
            .iter()
            .filter(|c| !is_summary(c.text) && !c.is_blank());
        told.all(|c| c.text.starts_with(|d: char| d.is_ascii_digit()))
    };
    let (across, along) = (way(heads), way(sides));
    if let (Some('y'), _, Some(cell)) | (_, Some('x'), Some(cell)) =
        (across, along, heads.iter().find(|c| !c.is_blank()).copied())
    {
        return Err(cell);
    }
    let (of_heads, of_sides) = (
        across.is_some() && (along.is_some() || plain(sides)),
        along.is_some() && (across.is_some() || plain(heads)),
    );
    for (cells, is_named) in [(heads, of_heads), (sides, of_sides)] {
        for cell in cells.iter_mut().filter(|c| !is_summary(c.text)) {
            *cell = without_axis(*cell);
            if is_named && let Some((_, text)) = compass_distance(cell.text) {
                cell.text = text;
            }
        }
    }
    Ok(())
}

/// Whether every heading brings its own place: a distance with its unit, or a name with its distance, `A (0')`.
pub(super) fn bring_their_place(cells: &[Cell<'_>]) -> bool {
    let mut heads = cells
        .iter()
        .filter(|c| !is_summary(c.text) && !c.is_blank());
    heads.all(|c| {
        let own = name_part(c.text).or_else(|| number_part(c.text));
        let distance = own.and_then(|(_, own)| own).unwrap_or(c.text);
        read_length(distance, None, Comma::Auto).is_ok()
    })
}

/// Which axis, for messages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Columns,
    Rows,
}

impl Which {
    const fn words(self) -> &'static str {
        match self {
            Self::Columns => "columns",
            Self::Rows => "rows",
        }
    }

    const fn expected(self) -> &'static str {
        match self {
            Self::Columns => "distances in the first row, or a spacing",
            Self::Rows => "distances in the first column, or a spacing",
        }
    }
}

/// What an axis is read with.
pub(super) struct Reader<'a> {
    pub which: Which,
    pub rule: CellRule,
    /// Distance from heading to heading, where it is stated.
    pub spacing: Option<Length>,
    /// Whether whole numbers that follow each other count headings: where a spacing is stated, or where the other axis is
    /// headed by letters and no unit says that these are distances.
    pub counts_whole_numbers: bool,
    pub place: &'a dyn Fn(&Cell<'_>) -> Place,
}

impl Reader<'_> {
    /// Reads an axis.
    ///
    /// Letters are names, and so are whole numbers that count and of which two follow each other; a name's own number or letters give its place, in spacings from 1 or A. A name may bring its own distance,
    /// for the short last row or column: `F (9' 7")`. All else is distances.
    pub(super) fn read(&self, cells: &[Cell<'_>], faults: &mut Faults) -> Axis {
        let mut axis = Axis {
            marks: vec![None; cells.len()],
            named: false,
            summaries: Vec::new(),
            left_out: None,
        };
        let mut heads: Vec<usize> = Vec::with_capacity(cells.len());
        for (i, cell) in cells.iter().enumerate() {
            if is_summary(cell.text) {
                axis.summaries.push(i);
            } else if !cell.is_blank() {
                heads.push(i);
            }
        }
        axis.named = are_letters(cells)
            || bring_distances(cells)
            || (self.counts_whole_numbers && follow(heads.iter().map(|&i| cells[i].text)));
        if axis.named {
            self.names(cells, &heads, &mut axis, faults);
        } else {
            self.distances(cells, &heads, &mut axis, faults);
        }
        repeated(&axis, cells, faults, self.place);
        axis
    }

    fn distances(&self, cells: &[Cell<'_>], heads: &[usize], axis: &mut Axis, faults: &mut Faults) {
        if let (Some(_), Some(&first)) = (self.spacing, heads.first()) {
            faults.add(
                Fault::NoPosition,
                (self.place)(&cells[first]),
                format!(
                    "a spacing, though the {} are headed by distances, beginning {}",
                    self.which.words(),
                    quoted(cells[first].text)
                ),
                "distances, or a spacing with headings that count 1, 2, 3 or A, B, C",
                "Leave the spacing away, or number the headings.",
            );
        }
        let mut told_unit = false;
        for &i in heads {
            let cell = cells[i];
            match length(cell, self.rule) {
                Ok(Seen::Length(written) | Seen::Recovered(written, _)) => {
                    axis.marks[i] = Some(Mark {
                        at: written.length.m(),
                        name: None,
                    });
                }
                Ok(Seen::NoReading) => faults.add(
                    Fault::NoPosition,
                    (self.place)(&cell),
                    quoted(cell.text),
                    "a distance, a letter or a number",
                    "",
                ),
                Err(fault) if fault.fault == Fault::MissingUnit => {
                    if !told_unit {
                        told_unit = true;
                        faults.add(
                            Fault::MissingUnit,
                            (self.place)(&cell),
                            format!("plan distances with no unit, beginning {}", quoted(cell.text)),
                            "one of ft, in, ft-in, mm, cm, m",
                            "State --plan-unit, write a row above the table: plan unit, ft; or write units into the corner cell: ft / in.",
                        );
                    }
                }
                Err(fault) if fault.fault == Fault::NotALength && fault.expected == A_LENGTH => faults.add(
                    fault.fault,
                    (self.place)(&cell),
                    format!("{} as a heading of the {}", fault.found, self.which.words()),
                    "a distance, or a letter or number with a spacing",
                    "Mend the heading. What is no row or column of readings has to stand apart from the table, or be headed average, total or the like.",
                ),
                Err(fault) => fault.report(faults, (self.place)(&cell)),
            }
        }
    }

    fn names(&self, cells: &[Cell<'_>], heads: &[usize], axis: &mut Axis, faults: &mut Faults) {
        let parts: Vec<(&str, Option<&str>)> = heads
            .iter()
            .map(|&i| {
                let text = cells[i].text;
                name_part(text)
                    .or_else(|| number_part(text))
                    .unwrap_or((text, None))
            })
            .collect();
        let counts = counts_of(parts.iter().map(|p| p.0));
        let mut told_spacing = false;
        let mut order: Option<(u32, Option<bool>)> = None;
        for (k, &i) in heads.iter().enumerate() {
            let (cell, (name, own)) = (cells[i], parts[k]);
            let place = (self.place)(&cell);
            let Some(count) = counts.as_ref().and_then(|list| list[k]) else {
                faults.add(
                    Fault::NoPosition,
                    place,
                    format!("{}, among headings that count otherwise", quoted(cell.text)),
                    format!(
                        "{} headed by letters, by numbers, or by distances",
                        self.which.words()
                    ),
                    "Head all of them in one way. What is no row or column of readings has to stand apart from the table, or be headed average, total or the like.",
                );
                continue;
            };
            // The order that the first two show holds for all.
            if let Some((last, way)) = order {
                let up = count > last;
                if count == last || way.is_some_and(|w| w != up) {
                    faults.add(
                        Fault::NoPosition,
                        place,
                        format!("{}, out of order", quoted(cell.text)),
                        format!("{} that count up or down throughout", self.which.words()),
                        "A heading's own letters or number give its place: sort them, or mend the heading.",
                    );
                    continue;
                }
                let apart = count.abs_diff(last) as usize;
                if own.is_none() && apart > MOST_LEFT_OUT.max(heads.len()) {
                    faults.add(
                        Fault::NoPosition,
                        place,
                        format!("{}, far off the other headings", quoted(cell.text)),
                        format!("{} headed by letters or numbers that nearly follow each other", self.which.words()),
                        "If it heads readings, give it its distance, such as M (24'). Else leave a blank row or column between it and the table, or head it average, total or the like.",
                    );
                    continue;
                }
                if own.is_none() && apart > 1 && axis.left_out.is_none() {
                    axis.left_out = Some(i);
                }
                order = Some((count, Some(up)));
            } else {
                order = Some((count, None));
            }
            let at = match (own, self.spacing) {
                (Some(own), _) => match read_length(own, self.rule.unit, Comma::Auto) {
                    Ok(written) => Some(written.length.m()),
                    Err(error) => {
                        faults.add(
                            Fault::NoPosition,
                            place,
                            quoted(cell.text),
                            "a name with its distance, as in F (9' 7\")",
                            error.to_string(),
                        );
                        None
                    }
                },
                (None, Some(step)) => Some(step.m() * f64::from(count)),
                (None, None) => {
                    if !told_spacing {
                        told_spacing = true;
                        faults.add(
                            Fault::NoPosition,
                            place,
                            format!("{}, a name and no distance", quoted(cell.text)),
                            self.which.expected(),
                            "State --spacing, such as --spacing \"2 ft\", or write a row: spacing, 2 ft.",
                        );
                    }
                    None
                }
            };
            axis.marks[i] = at.map(|at| Mark {
                at,
                name: Some(name.to_owned()),
            });
        }
    }
}

/// Whether most headings are letters: one letter among distances is told at its own cell.
pub(super) fn are_letters(cells: &[Cell<'_>]) -> bool {
    let heads = || {
        cells
            .iter()
            .filter(|c| !is_summary(c.text) && !c.is_blank())
    };
    2 * heads().filter(|c| name_part(c.text).is_some()).count() > heads().count()
}

/// Whether most headings are numbers that bring their own distance, as in `2 (4')`.
fn bring_distances(cells: &[Cell<'_>]) -> bool {
    let mut heads = 0;
    let own = cells
        .iter()
        .filter(|c| !is_summary(c.text) && !c.is_blank());
    let own = own.inspect(|_| heads += 1);
    let own = own.filter(|c| matches!(number_part(c.text), Some((_, Some(_)))));
    2 * own.count() > heads
}

/// Whether whole numbers without a unit count something: two of them follow each other. A few words or other numbers among them,
/// such as a bench mark or an average right below the rows, are told at their own cells.
pub(super) fn follow<'a>(texts: impl Iterator<Item = &'a str>) -> bool {
    let (mut numbers, mut others): (Vec<u32>, usize) = (Vec::new(), 0);
    for text in texts {
        match number_part(text).and_then(|(name, _)| name.parse().ok()) {
            Some(n) => numbers.push(n),
            None => others += 1,
        }
    }
    numbers.sort_unstable();
    let counts = numbers.len() == 1 || numbers.windows(2).any(|w| w[1] == w[0] + 1);
    counts && others < numbers.len()
}

/// The number in a heading such as `3`, `3 (9' 7")`, `row 3`; with what follows it.
pub(super) fn number_part(text: &str) -> Option<(&str, Option<&str>)> {
    let text = without_kind(text.trim());
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    let (name, rest) = text.split_at(end);
    if !(1..=5).contains(&name.len()) {
        return None;
    }
    own_distance(rest).map(|own| (name, own))
}

/// The distance that a name brings: `(9' 7")`, `@ 9' 7"`, `= 9' 7"`, or none. `None` when it is something else.
fn own_distance(rest: &str) -> Option<Option<&str>> {
    let rest = rest.trim();
    if rest.is_empty() {
        return Some(None);
    }
    rest.strip_prefix('@')
        .or_else(|| rest.strip_prefix('='))
        .or_else(|| rest.strip_prefix('(').and_then(|r| r.strip_suffix(')')))
        // `A 0'`, `B 2'-6"`: a distance with its marks.
        .or_else(|| {
            let marked = rest.starts_with(|c: char| c.is_ascii_digit())
                && rest.ends_with(['\'', '"', '\u{2032}', '\u{2033}']);
            marked.then_some(rest)
        })
        // `x (ft)` names an axis and its unit.
        .filter(|own| LengthUnit::from_word(own.trim()).is_none())
        .map(|own| Some(own.trim()))
}

/// The place of each name in its row, counted from 0: by their numbers where the letters before them are the same
/// throughout, by their letters where there are no numbers or the same one throughout. `None` for a name that
/// counts neither way; `None` altogether when the names show no way of counting.
fn counts_of<'a>(names: impl Iterator<Item = &'a str>) -> Option<Vec<Option<u32>>> {
    let split: Vec<Option<(String, Option<u32>)>> = names.map(letters_and_number).collect();
    let first = split.iter().flatten().next()?;
    let sound = || split.iter().flatten();
    let same_letters = sound().all(|p| p.0 == first.0);
    let same_number = sound().all(|p| p.1 == first.1);
    let by_number = first.1.is_some() && (same_letters || !same_number);
    // Numbers count from 1, unless a 0 stands among them.
    let from = u32::from(!sound().any(|p| p.1 == Some(0)));
    Some(
        split
            .iter()
            .map(|part| {
                let (letters, number) = part.as_ref()?;
                if by_number {
                    (*letters == first.0)
                        .then(|| number.map(|n| n - from.min(n)))
                        .flatten()
                } else if *number == first.1 {
                    letter_count(letters)
                } else {
                    None
                }
            })
            .collect(),
    )
}

/// Column and row of a name, from 0 and from 1.
pub(super) fn column_and_row(name: &str) -> Option<(u32, u32)> {
    // `A x 1` is A1.
    let parts: Vec<&str> = name.split([' ', '-']).filter(|p| !p.is_empty()).collect();
    let name = match parts[..] {
        [column, "x" | "X" | "\u{d7}", row] => format!("{column}{row}"),
        _ => parts.concat(),
    };
    let (letters, number) = letters_and_number(&name)?;
    Some((letter_count(&letters)?, number?))
}

/// `C`, `3`, `AB12` taken apart; letters in capitals.
pub(super) fn letters_and_number(name: &str) -> Option<(String, Option<u32>)> {
    let split = name
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(name.len());
    let (letters, digits) = name.split_at(split);
    if !letters.chars().all(char::is_alphabetic) || name.is_empty() {
        return None;
    }
    let number = if digits.is_empty() {
        None
    } else {
        Some(digits.parse().ok()?)
    };
    Some((letters.to_uppercase(), number))
}

/// A to Z, then AA, AB and so on, from 0; `None` for other letters.
pub(super) fn letter_count(letters: &str) -> Option<u32> {
    if letters.is_empty() || letters.len() > 2 {
        return None;
    }
    letters
        .bytes()
        .try_fold(0u32, |sum, b| {
            b.is_ascii_uppercase()
                .then(|| sum * 26 + u32::from(b - b'A') + 1)
        })
        .map(|n| n - 1)
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
