//! A room while it is being read.

use super::blocks::Block;
use super::cells::{Seen, plausible, typed_text};
use super::error::{Fault, Faults, quoted};
use super::headers::is_obstacle;
use super::options::{ImportOptions, Layout, Meaning};
use super::scales::{Scale, counted, how_to_write, is_unclear};
use super::settings::Settings;
use super::table::{Cell, Table};
use super::turns::Counting;
use super::understood::{SkippedCell, UnderstoodRoom, Why};
use crate::geometry::Point;
use crate::survey::{Elevation, Laid, Notice, Place, RawReading, Reading, Severity};
use crate::units::LengthUnit;
use ecow::EcoString;

/// Readings and notices of a room, before the checks on the whole.
#[derive(Debug)]
pub(super) struct RawRoom {
    /// `None`: no name in the file.
    pub name: Option<String>,
    /// Whether a column or a setting names it, and not only a title above the table.
    pub stated: bool,
    /// Whether only the file, the caller or a count of the rooms names it: no words on the sheet.
    pub named_outside: bool,
    pub readings: Vec<Reading>,
    pub notices: Vec<Notice>,
    /// Which way round a matrix lies.
    pub laid: Option<Laid>,
    pub about: UnderstoodRoom,
    /// By what the meaning is known, where it is.
    pub meaning_by: MeaningBy,
    /// What the numbers count, where that is a part of their unit.
    pub scale: Option<Scale>,
    /// The corner cell of a matrix.
    pub corner: Option<(Place, String)>,
    /// The unit's absence has been told.
    told_unit: bool,
    /// Words that stand beside no reading of theirs, with their places: notes of rows without one, comments on cells.
    pub remarks: Vec<(Place, String)>,
    /// Cells with a word for what stands on the floor there, `island`, and their places: told where no wall or void of the plan holds them.
    pub obstacles: Vec<(Place, String, Point)>,
    /// Cells whose fraction has a bottom that rules do not have.
    odd_fractions: Vec<Place>,
    /// Cells whose fraction counts parts that nothing has, `1/116`, with their texts.
    strange_fractions: Vec<(Place, String)>,
    /// Readings that a workbook hides, and that it strikes through: how many, and the first.
    hidden: Tally,
    struck: Tally,
    /// Places and headings that are hidden or struck through beside readings that are not.
    unseen_places: Tally,
    /// Blank cells in which a formula may never have been worked out.
    empty_answers: Tally,
}

/// By what the meaning of a table's numbers is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MeaningBy {
    /// A heading that only says that something was read, or a word with other uses, such as `level`; or nothing.
    Loosely,
    /// A heading or corner in so many words: `down`, `elevation`.
    Words,
    /// The user, or a row above the table that states it.
    Statement,
}

impl MeaningBy {
    /// A statement stands over words, words over a heading that says little.
    pub(super) const fn of(stated: Option<Meaning>, in_words: Option<Meaning>) -> Self {
        match (stated, in_words) {
            (Some(_), _) => Self::Statement,
            (None, Some(_)) => Self::Words,
            (None, None) => Self::Loosely,
        }
    }
}

/// How many cells share something, and where the first stands.
#[derive(Debug, Default)]
struct Tally {
    count: usize,
    first: Option<Place>,
}

impl Tally {
    fn add(&mut self, place: &Place) {
        self.count += 1;
        self.first.get_or_insert_with(|| place.clone());
    }

    /// A warning about all of them, in the words for one or for several.
    fn tell(&self, notices: &mut Vec<Notice>, code: &'static str, one: &str, several: &str) {
        if let Some(first) = &self.first {
            let words = if self.count == 1 { one } else { several };
            notices.push(Notice::new(
                code,
                Severity::Warning,
                first.to_string(),
                format!("{} {words}", self.count),
            ));
        }
    }
}

impl RawRoom {
    pub(super) fn new(
        block: &Block,
        layout: Layout,
        header: Place,
        options: &ImportOptions,
    ) -> Self {
        let figures = block.figures.first.as_ref().map(|(place, word)| {
            Notice::new(
                "figures-passed-over",
                Severity::Warning,
                place.to_string(),
                match block.figures.count {
                    1 => format!("A row of figures outside the tables, behind {word}, was passed over. If it holds readings, give it headings."),
                    n => format!("{n} rows of figures outside the tables, the first behind {word}, were passed over. If they hold readings, give them headings."),
                },
            )
        });
        Self {
            name: block.name.clone(),
            stated: block.room_stated,
            named_outside: block.name.is_none(),
            readings: Vec::new(),
            notices: figures.into_iter().collect(),
            laid: None,
            meaning_by: MeaningBy::Statement,
            scale: None,
            corner: None,
            about: UnderstoodRoom {
                name: String::new(),
                layout,
                header,
                plan_unit: None,
                reading_unit: None,
                meaning: Meaning::Down,
                meaning_stated: false,
                line: options.line,
                orientation: String::new(),
                counting: Counting::default(),
                columns: Vec::new(),
                set_ups: Vec::new(),
                skipped: block.passed.clone(),
                blanks: 0,
            },
            told_unit: false,
            remarks: Vec::new(),
            obstacles: Vec::new(),
            odd_fractions: Vec::new(),
            strange_fractions: Vec::new(),
            hidden: Tally::default(),
            struck: Tally::default(),
            unseen_places: Tally::default(),
            empty_answers: Tally::default(),
        }
    }

    /// The same table, another room.
    pub(super) fn sibling(&self, name: String) -> Self {
        Self {
            name: Some(name),
            stated: true,
            named_outside: false,
            readings: Vec::new(),
            notices: Vec::new(),
            laid: self.laid,
            meaning_by: self.meaning_by,
            scale: self.scale,
            corner: self.corner.clone(),
            about: UnderstoodRoom {
                skipped: Vec::new(),
                blanks: 0,
                ..self.about.clone()
            },
            told_unit: self.told_unit,
            remarks: Vec::new(),
            obstacles: Vec::new(),
            odd_fractions: Vec::new(),
            strange_fractions: Vec::new(),
            hidden: Tally::default(),
            struck: Tally::default(),
            unseen_places: Tally::default(),
            empty_answers: Tally::default(),
        }
    }

    /// Keeps a cell with a word for what stands on the floor there.
    pub(super) fn keep_obstacle(&mut self, place: Place, text: &str, at: Point) {
        if is_obstacle(text) {
            self.obstacles.push((place, text.to_owned(), at));
        }
    }

    /// Says once that the readings have no unit.
    pub(super) fn missing_reading_unit(
        &mut self,
        table: &Table,
        cell: Cell<'_>,
        faults: &mut Faults,
    ) {
        if !self.told_unit {
            self.told_unit = true;
            let skipped = self.about.skipped.iter().map(|s| s.text.as_str());
            let names = [self.name.as_deref(), self.about.header.sheet()];
            let heads = self.about.columns.iter().map(|c| c.heading.as_str());
            let corner = self.corner.iter().map(|c| c.1.as_str());
            let around = names.into_iter().flatten().chain(skipped);
            let parts = around.clone().find(|text| counted(text).is_some());
            let parts = parts.or_else(|| heads.chain(corner).find(|text| is_unclear(text)));
            let named = around.clone().find(|text| names_a_unit(text));
            let remedy = parts.map(how_to_write);
            faults.add(
                Fault::MissingUnit,
                table.place(cell.row, cell.column),
                match parts {
                    None => format!(
                        "readings with no unit, beginning {}{}",
                        quoted(cell.text),
                        named.map_or_else(String::new, |words| format!(
                            ", and {} beside them, which does not say plainly of what it is the unit",
                            quoted(words)
                        ))
                    ),
                    Some(words) => format!("readings with no unit, beginning {}, and {} beside them", quoted(cell.text), quoted(words)),
                },
                "one of ft, in, ft-in, mm, cm, m",
                remedy.as_deref().unwrap_or(match self.about.layout {
                    Layout::List => "Write it in the header, as in reading_in, or state --reading-unit.",
                    _ => {
                        "State --reading-unit, write a row above the table: reading unit, in; or write units into the corner cell: ft / in."
                    }
                }),
            );
        }
    }

    /// Says that a unit was stated and stands over the one that the sheet gives.
    pub(super) fn stated_over(
        &mut self,
        what: &str,
        stated: Option<LengthUnit>,
        of_sheet: Option<LengthUnit>,
    ) {
        if let (Some(stated), Some(told)) = (stated, of_sheet)
            && stated != told
        {
            self.notices.push(Notice::new(
                "unit-stated-over",
                Severity::Warning,
                self.about.header.to_string(),
                format!("The sheet gives its {what} in {told}; {stated} was stated and stands. Leave it away if the sheet is right."),
            ));
        }
    }

    /// Holds what stands above the table against its own headings and against what the user states: two units of one sheet are
    /// refused where nothing settles them, a setting that is not followed is told.
    pub(super) fn tell_contradictions(
        &mut self,
        (of_readings, of_plan): (Option<LengthUnit>, Option<LengthUnit>),
        settings: &Settings,
        options: &ImportOptions,
        faults: &mut Faults,
    ) {
        for (what, stated, heading, above) in [
            (
                "readings",
                options.reading_unit,
                of_readings,
                settings.reading,
            ),
            ("plan distances", options.plan_unit, of_plan, settings.plan),
        ] {
            if let (None, Some(heading), Some(above)) = (stated, heading, above)
                && heading != above
            {
                faults.add(
                    Fault::MixedUnits,
                    self.about.header.clone(),
                    format!("{what} in {heading} by the heading, in {above} by a row above it"),
                    "one unit",
                    "Correct the one that is wrong, or delete it.",
                );
            }
        }
        let (own, stated) = (settings, options.orientation);
        for (what, over) in [
            ("spacing", differ(options.spacing, own.spacing)),
            ("first row", differ(stated.first_row, own.first_row)),
            ("way of x", differ(stated.x_runs, own.x_runs)),
            ("meaning", differ(options.meaning, own.meaning)),
        ] {
            if over {
                self.notices.push(Notice::new(
                    "setting-stated-over",
                    Severity::Warning,
                    self.about.header.to_string(),
                    format!("The sheet states another {what} in a row above the table; what was stated beside it stands. Leave it away if the sheet is right."),
                ));
            }
        }
    }

    /// Refuses a heading whose numbers count otherwise than a row above it says.
    pub(super) fn tell_two_scales(
        &self,
        (unit, scale): (Option<LengthUnit>, Option<Scale>),
        settings: &Settings,
        options: &ImportOptions,
        faults: &mut Faults,
    ) {
        let (Some(unit), Some(above)) = (unit, settings.reading) else {
            return;
        };
        if scale != settings.scale && (unit == above || options.reading_unit.is_some()) {
            let words =
                |scale: Option<Scale>| scale.map_or_else(|| unit.to_string(), |s| s.to_string());
            faults.add(
                Fault::MixedUnits,
                self.about.header.clone(),
                format!(
                    "readings in {} by the heading, in {} by a row above it",
                    words(scale),
                    words(settings.scale)
                ),
                "one unit",
                "Correct the one that is wrong, or delete it.",
            );
        }
    }

    /// Refuses a heading that says what the readings are beside a row above it that says otherwise, where nothing stated
    /// settles it.
    pub(super) fn tell_meanings(
        &mut self,
        heading: Option<Meaning>,
        settings: &Settings,
        options: &ImportOptions,
        faults: &mut Faults,
    ) {
        if let (None, Some(heading), Some(above)) = (options.meaning, heading, settings.meaning)
            && heading != above
        {
            faults.add(
                Fault::Setting,
                self.about.header.clone(),
                format!(
                    "{} by the heading, {} by a row above it",
                    heading.words(),
                    above.words()
                ),
                "one meaning",
                "Correct the one that is wrong, or delete it.",
            );
        }
    }

    /// Says that the numbers count parts of a unit, as the sheet states; refused where the user states a unit beside it.
    pub(super) fn count_parts(
        &mut self,
        scale: Option<Scale>,
        options: &ImportOptions,
        faults: &mut Faults,
    ) {
        let Some(scale) = scale else { return };
        if let Some(stated) = options.reading_unit {
            faults.add(
                Fault::MixedUnits,
                self.about.header.clone(),
                format!("readings that count {scale} by the sheet, and {stated} stated for them"),
                "one unit",
                "Leave --reading-unit away if they count parts. If they are whole units, write the unit without its scale, as in reading_in.",
            );
        }
        self.scale = Some(scale);
        self.notices.push(Notice::new(
            "readings-counted",
            Severity::Warning,
            self.about.header.to_string(),
            format!(
                "The readings were taken as counts of {scale}, as the sheet says: {} of them make 1 {}.",
                scale.parts, scale.unit
            ),
        ));
    }

    /// Says that commas were settled by the size of the readings.
    pub(super) fn tell_decimal_comma(&mut self) {
        self.notices.push(Notice::new(
            "decimal-comma",
            Severity::Note,
            self.about.header.to_string(),
            "Commas in the readings were taken as decimal marks: as thousands marks they would make readings of more than 20 ft (6.1 m).",
        ));
    }

    /// Passes over a row or column of averages, and says so.
    pub(super) fn skip_summary(&mut self, place: Place, text: &str, what: &str) {
        self.notices.push(Notice::new(
            "summary-row",
            Severity::Warning,
            place.to_string(),
            format!(
                "The {what} {} is no reading and was passed over.",
                quoted(text)
            ),
        ));
        self.about.skipped.push(SkippedCell {
            place,
            text: text.to_owned(),
            why: Why::Summary,
        });
    }

    /// What a workbook shows of a reading's cell beside its value.
    fn see_signs(&mut self, table: &Table, cell: Cell<'_>, place: &Place) {
        let signs = &table.signs;
        if table.hidden_sheet || signs.is_hidden(cell.row, cell.column) {
            self.hidden.add(place);
        }
        if signs.is_struck(cell.row, cell.column) {
            self.struck.add(place);
        }
        if let Some((row, column)) = signs.merged_to(cell.row, cell.column) {
            self.notices.push(Notice::new(
                "merged-cells",
                Severity::Warning,
                place.to_string(),
                format!(
                    "{} to {} are merged into one cell: {} counts once, at the first of them. Unmerge them if each has a reading.",
                    place.cell(),
                    table.place(row, column).cell(),
                    quoted(cell.text)
                ),
            ));
        }
    }

    /// What a workbook shows of a cell that says where readings stand.
    pub(super) fn see_place_signs(&mut self, table: &Table, cell: Cell<'_>) {
        let signs = &table.signs;
        if signs.is_hidden(cell.row, cell.column) || signs.is_struck(cell.row, cell.column) {
            self.unseen_places.add(&table.place(cell.row, cell.column));
        }
    }

    /// A blank cell of the table's body, where a reading could stand.
    pub(super) fn blank(&mut self, table: &Table, cell: Cell<'_>) {
        self.about.blanks += 1;
        if table.signs.has_empty_answer(cell.row, cell.column) {
            self.empty_answers.add(&table.place(cell.row, cell.column));
        }
    }

    /// Notices about all cells together; called once, when the room is read.
    pub(super) fn close(&mut self) {
        self.hidden.tell(
            &mut self.notices,
            "hidden-readings",
            "reading stands in a hidden row, column or sheet, here. It counts like the others.",
            "readings stand in hidden rows, columns or sheets, the first here. They count like the others.",
        );
        self.struck.tell(
            &mut self.notices,
            "struck-readings",
            "reading is struck through, here, and counts all the same. Clear its cell if it is not to count.",
            "readings are struck through, the first here, and count all the same. Clear their cells if they are not to count.",
        );
        self.unseen_places.tell(
            &mut self.notices,
            "unseen-places",
            "cell that says where a reading stands is hidden or struck through, here, and counts all the same. Show it, or clear the reading if it is not to count.",
            "cells that say where readings stand are hidden or struck through, the first here, and count all the same. Show them, or clear the readings if they are not to count.",
        );
        self.empty_answers.tell(
            &mut self.notices,
            "empty-answers",
            "formula has an empty answer, here, and was taken as not read. If it was never worked out, open the file in a spreadsheet and save it again.",
            "formulas have an empty answer, the first here, and were taken as not read. If they were never worked out, open the file in a spreadsheet and save it again.",
        );
        if let Some(first) = self.odd_fractions.first() {
            let count = self.odd_fractions.len();
            self.notices.push(Notice::new(
                "one-digit-fraction",
                Severity::Warning,
                first.to_string(),
                format!(
                    "{count} {} here on in thirds, fifths, sixths, sevenths, ninths or tenths of an inch: no rule has such marks. A cell formatted for one-digit fractions shows 5/16 as 1/3; look at the original.",
                    if count == 1 { "reading is from" } else { "readings are from" },
                ),
            ));
        }
        if let Some((first, text)) = self.strange_fractions.first() {
            let more = match self.strange_fractions.len() {
                1 => String::new(),
                n => format!(" So do {} more.", n - 1),
            };
            self.notices.push(Notice::new(
                "strange-fraction",
                Severity::Warning,
                first.to_string(),
                format!(
                    "{} counts parts of an inch that no rule has: a slip of typing, more likely than not. Look at the original; nothing was changed.{more}",
                    quoted(text)
                ),
            ));
        }
        if !self.about.meaning_stated {
            self.notices.push(Notice::new(
                "meaning-taken",
                Severity::Note,
                self.about.header.to_string(),
                format!("The numbers were taken as {}.", self.about.meaning.words()),
            ));
        }
    }
}

/// Whether words beside a table name a unit of length: `inches`, `All in mm unless noted`; `in` is a word of many uses.
fn names_a_unit(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|w| w.len() > 1 && !w.eq_ignore_ascii_case("in"))
        .any(|w| LengthUnit::from_word(w).is_some())
}

/// The largest bottom of a fraction that a spreadsheet's format for one digit, or tenths of an inch, can show.
const LARGEST_ODD: u32 = 12;

/// The code of the notice that the instrument may have been moved.
pub(super) const MOVED: &str = "instrument-moved";

/// Tells words that the instrument was moved beside readings that were all taken for one set-up's.
pub(super) fn moved_notice(text: &str, place: String) -> Notice {
    Notice::new(
        MOVED,
        Severity::Warning,
        place,
        format!(
            "{} may say that the instrument was moved: all readings were taken as from one set-up. If it was moved, write a list with a column headed set-up, each set-up's name in every row, and a mark or more in both.",
            quoted(text)
        ),
    )
}

/// What a reading is called, and where it was taken.
pub(super) struct Standing {
    pub label: EcoString,
    pub at: Point,
}

/// Takes a cell's length in as a reading, after the checks that need no neighbour.
pub(super) fn take(
    room: &mut RawRoom,
    table: &Table,
    cell: Cell<'_>,
    seen: Seen,
    standing: Standing,
    faults: &mut Faults,
) {
    let written = match seen {
        Seen::NoReading => return,
        Seen::Length(written) => written,
        Seen::Recovered(written, typed) => {
            room.notices.push(Notice::new(
                "date-as-fraction",
                Severity::Warning,
                table.place(cell.row, cell.column).to_string(),
                format!(
                    "{} was read back as {} by request.",
                    quoted(cell.text),
                    typed_text(typed)
                ),
            ));
            written
        }
    };
    if let Err(fault) = plausible(cell, written, room.about.meaning) {
        fault.report(faults, table.place(cell.row, cell.column));
        return;
    }
    let place = table.place(cell.row, cell.column);
    let zero = written.length.m() == 0.0;
    if (zero && table.signs.hides_zero(cell.row, cell.column))
        || table.signs.hides_numbers(cell.row, cell.column)
    {
        faults.add(
            if zero { Fault::Zero } else { Fault::NotALength },
            place,
            format!(
                "{} that the sheet shows as a sign, or not at all",
                if zero {
                    "a 0".to_owned()
                } else {
                    quoted(cell.text)
                }
            ),
            "a height, or a cell without a number",
            "Clear the cell where nothing was read, or show its number.",
        );
        return;
    }
    room.see_signs(table, cell, &place);
    if let Some((_, bottom)) = written.fraction
        && !bottom.is_power_of_two()
    {
        if bottom > LARGEST_ODD {
            room.strange_fractions
                .push((place.clone(), cell.text.to_owned()));
        } else {
            room.odd_fractions.push(place.clone());
        }
    }
    let elevation = match room.about.meaning {
        Meaning::Down | Meaning::Up => Elevation::below_line(room.about.line, written.length),
        Meaning::Elevation => Elevation::from_m(written.length.m()),
    };
    room.readings.push(Reading {
        label: standing.label,
        at: standing.at,
        elevation,
        raw: RawReading {
            text: cell.text.into(),
            place,
            name_made: false,
        },
        set_up: 0,
        note: None,
    });
}

/// Whether both are stated and not the same.
fn differ<T: PartialEq>(stated: Option<T>, of_sheet: Option<T>) -> bool {
    stated.zip(of_sheet).is_some_and(|(a, b)| a != b)
}
