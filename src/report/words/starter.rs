//! A job file and a material sheet to start from, with a comment on every key.

use crate::units::Habit;

/// Name of the job file that is written.
pub const JOB_FILE: &str = "job.toml";
/// Name of the outline file that is made.
pub const OUTLINE_FILE: &str = "outline.csv";
/// What the job file says of an outline that was made.
pub const OUTLINE_GUESSED: &str = "# It is the rectangle about the readings, and nobody has drawn the room yet. Put the room's own corners there, and take this line out.\noutline_guessed = true";
/// The same of one that was given.
pub const OUTLINE_GIVEN: &str = "# Whether it is only the rectangle about the readings, and nobody has drawn the room yet.\n#outline_guessed = true";
/// A new job's outline stands in for the room's own.
pub const OUTLINE_STANDS_IN: &str = "The outline is the rectangle about the readings, which a new job is started with: walls, the strip along them, notches and columns are not known, and places are told from its sides. Put the room's own corners into it, and take outline_guessed out of the job file.";
/// The same of an outline that was drawn since, though the job file says so still.
pub const OUTLINE_SAID_GUESSED: &str = "The job file says that the outline was only guessed, and it is no longer the rectangle that a new job is started with. If it is the room's own, take outline_guessed out of the job file.";
/// A material sheet that no maker wrote.
pub const MATERIAL_INVENTED: &str = "The material sheet is an invented one: bags, water, times and weights are of no product. Put the figures of your own bag into it, and take invented out, before anything is ordered.";
/// Code of the notice that the outline was guessed.
pub const CODE_GUESSED: &str = "outline-guessed";
/// Code of the notice that the job file still says so.
pub const CODE_STILL_GUESSED: &str = "outline-said-guessed";
/// Code of the notice that the material was invented.
pub const CODE_INVENTED: &str = "material-invented";

/// What every sheet says at its head where something stands in for what nobody has put in its place yet, by the code of the notice.
pub fn at_head(code: &str) -> Option<&'static str> {
    match code {
        CODE_GUESSED => Some("Outline guessed: not the room's own walls."),
        CODE_INVENTED => {
            Some("Material invented: amounts and times are of no product. Order nothing by them.")
        }
        _ => None,
    }
}
/// Name of the material sheet that is made.
pub const MATERIAL_FILE: &str = "material.toml";
/// The material sheet: invented, and it says so.
pub const MATERIAL: &str = include_str!("starter_material.toml");
/// The job file, with names in braces where a job's own values go.
pub const JOB: &str = include_str!("starter_job.toml");

/// What a new job asks for, by habit of units: the name in braces, and the value as the file holds it.
pub const fn usual(habit: Habit) -> [(&'static str, &'static str); 5] {
    match habit {
        Habit::Us => [
            ("units", "\"us\""),
            ("paper", "\"letter\""),
            ("spans", "[\"2 ft\", \"6 ft\", \"10 ft\"]"),
            ("checks", "[\"tile-large\", \"tile-small\", \"resilient\"]"),
            ("gauge", "\"1/8 in\""),
        ],
        Habit::Metric => [
            ("units", "\"metric\""),
            ("paper", "\"a4\""),
            ("spans", "[\"1 m\", \"2 m\"]"),
            ("checks", "[\"bs8204-sr1\", \"bs8204-sr2\"]"),
            ("gauge", "\"3 mm\""),
        ],
    }
}

/// Keys of a readings file but its name: the key, what it is for, and an example as the file holds it.
pub const READINGS: [(&str, &str, &str); 11] = [
    (
        "set_up",
        "Name of the set-up that they were read from.",
        "\"first\"",
    ),
    ("sheet", "Sheet of the workbook to read.", "\"Readings\""),
    (
        "room",
        "Room to take, where the file holds several.",
        "\"Hall\"",
    ),
    (
        "plan_unit",
        "Unit of the plan distances, where the header does not say.",
        "\"ft\"",
    ),
    (
        "reading_unit",
        "Unit of the readings, where the header does not say.",
        "\"in\"",
    ),
    (
        "meaning",
        "What a number is: \"down\" from the line to the floor, \"up\" from the floor to a line overhead, or \"elevation\".",
        "\"down\"",
    ),
    (
        "layout",
        "How the sheet is laid out, \"matrix\" or \"list\"; found from its cells when left away.",
        "\"list\"",
    ),
    (
        "spacing",
        "Distance between columns and rows that are headed by letters or numbers.",
        "\"2 ft\"",
    ),
    (
        "first_row",
        "Wall that the first row of a matrix stands for: \"far\" is at the top of the plan, \"near\" at the bottom.",
        "\"far\"",
    ),
    (
        "x_runs",
        "Which way x runs along the columns of a matrix: \"right\" or \"left\".",
        "\"right\"",
    ),
    (
        "dates_as_fractions",
        "Take cells that a spreadsheet turned into dates back as fractions (8-Mar as 3/8).",
        "true",
    ),
];
