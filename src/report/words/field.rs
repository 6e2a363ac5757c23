//! The field sheet, taken to the floor before the survey.

/// Title.
pub const TITLE: &str = "Field sheet";
/// Subtitle where nothing is told.
pub const SUBTITLE: &str = "Readings from a level line, down to the floor";
/// Heading of the job.
pub const JOB: &str = "Job";
/// Blanks of the job.
pub const JOB_BLANKS: [&str; 6] = [
    "Job and room",
    "Place",
    "Date and time",
    "Read by",
    "Floor: kind, age, covering on it",
    "Finish to come and its flatness limit",
];
/// Heading of the instrument.
pub const INSTRUMENT: &str = "Instrument and its both-ways check";
/// Blanks of the instrument.
pub const INSTRUMENT_BLANKS: [&str; 6] = [
    "Instrument",
    "Rule or staff, and the step it is read to",
    "Check: distance between the two walls",
    "First mark (facing)",
    "Second mark (turned by 180°)",
    "Difference: twice the error over that distance",
];
/// Heading of the set-up.
pub const SET_UP: &str = "Set-up and bench mark";
/// Blanks of the set-up.
pub const SET_UP_BLANKS: [&str; 6] = [
    "Set-up number and where it stands",
    "Bench mark: what and where (off the floor to be corrected)",
    "Its height, if known",
    "Reading on the bench mark, first",
    "Reading on the bench mark, last",
    "Difference: the line moved if this is more than a step",
];
/// Heading of the rules.
pub const RULES: &str = "How to read";
/// Rules.
pub const RULES_LIST: [&str; 10] = [
    "Read from the line down to the floor: a larger reading is a lower floor.",
    "Write one unit throughout and tick it below. Fractions as 38 3/4, never as 38.34.",
    "Leave a box empty where nothing was read; a zero is a reading.",
    "Cross a box out where a column, a cabinet or a wall stands.",
    "Read ten marks all over the floor twice, the second time at the end, and write both: they say how well a reading repeats.",
    "Hook play, a burnt inch or a worn end: the same end of the same rule for every reading.",
    "A hump, a ridge or a dip between the boxes: read it and write it into the list of extra points.",
    "Read both sides of every joint that has curled, and at every door, drain and adjoining floor.",
    "Draw doors, columns, joints and drains into the grid; name the walls.",
    "Two set-ups: read at least three points from both, far apart, and write them under both.",
];
/// Units to tick.
pub const UNITS: &str = "Readings are in";
/// Units offered.
pub const UNIT_TICKS: [&str; 4] = [
    "inches, fractions",
    "feet and inches",
    "millimetres",
    "other:",
];
/// Heading of the extra points.
pub const EXTRA: &str = "Extra points";
/// Columns of the extra points.
pub const EXTRA_COLUMNS: [&str; 4] = ["Point", "Where", "Reading", "Note"];
/// Heading of the drawing.
pub const GRID: &str = "Grid";
/// Word for the wall where it has no name.
pub const WALL_BLANK: &str = "wall: ____________";
/// The workbook's sheet of readings.
pub const READINGS_TAB: &str = "Readings";
/// The workbook's sheet of notes.
pub const NOTES_TAB: &str = "Set-up";

/// Alternative text of the grid.
pub fn grid_alt(columns: usize, rows: usize, spacing: &str) -> String {
    format!(
        "Plan of the room with an empty box for each reading: {columns} columns and {rows} rows, {spacing} apart."
    )
}

/// Line above the grid.
pub fn grid_line(spacing: &str, page: usize, pages: usize) -> String {
    if pages > 1 {
        format!(
            "Boxes stand {spacing} apart, measured from the left and from the lower wall. Part {page} of {pages}."
        )
    } else {
        format!("Boxes stand {spacing} apart, measured from the left and from the lower wall.")
    }
}

/// First line of the workbook.
pub fn workbook_line(title: &str) -> String {
    format!("{title}: type readings below as you wrote them; the cells are text, so 3/8 stays 3/8.")
}

/// Where a door stands along its wall.
pub fn door_at(name: &str, along: &str) -> String {
    format!("{name} at {along}")
}

/// A cell where no reading can be taken.
pub const NO_READING: &str = "x";

/// The corner cell of the matrix: unit of the plan, then of the readings.
pub fn corner(plan_unit: &str, reading_unit: &str) -> String {
    format!("{plan_unit} / {reading_unit}")
}
