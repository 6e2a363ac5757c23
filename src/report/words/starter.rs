//! A job file and a material sheet to start from, with a comment on every key.

use crate::units::Habit;

/// Name of the outline file that is made.
pub const OUTLINE_FILE: &str = "outline.csv";
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
