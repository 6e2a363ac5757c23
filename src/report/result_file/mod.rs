//! `result.json`: a format of its own, with types of its own.
//!
//! One fixed unit per key (millimetres, metres on the plan, square metres, litres, kilograms, minutes), the
//! same bytes for the same input. Renaming a field elsewhere in the program changes nothing here; its schema is
//! `docs/result.schema.json`, which a test holds to these types.

mod between;
mod fill;
mod flat;
mod head;
mod patch;
mod pour;
mod quantity;
mod recheck;
mod rooms;
mod take_off;
mod understood;

use serde::Serialize;

use super::ReportError;
use crate::analysis::{self, Analysis};

pub use recheck::Recheck;
pub use rooms::{Rooms, Together};
pub use understood::Understood;

/// What is worked out of one room. A part that was not asked for is left out.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct ResultFile {
    /// The readings.
    survey: head::Survey,
    /// How much of the floor is known, and its levels.
    floor: head::Floor,
    /// What edges of every length show.
    #[serde(skip_serializing_if = "Option::is_none")]
    span_curve: Option<Vec<flat::SpanPoint>>,
    /// A row for each part of each check.
    #[serde(skip_serializing_if = "Option::is_none")]
    flatness: Option<Vec<flat::CheckPart>>,
    /// F-numbers, where sample lines were given.
    #[serde(skip_serializing_if = "Option::is_none")]
    f_numbers: Option<flat::FNumbers>,
    /// What a finish takes.
    #[serde(skip_serializing_if = "Option::is_none")]
    fill: Option<Box<fill::Fill>>,
    /// What the readings leave open between them.
    #[serde(skip_serializing_if = "Option::is_none")]
    between_readings: Option<between::Between>,
    /// The pour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pour: Option<Box<pour::Pour>>,
    /// The patch plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    patch: Option<patch::Patch>,
    /// Why there is no patch plan although one was wanted.
    #[serde(skip_serializing_if = "Option::is_none")]
    no_patch: Option<String>,
    /// Everything odd.
    notices: Vec<head::Notice>,
    /// What it was worked out from.
    inputs: head::Inputs,
}

impl ResultFile {
    /// What stands in every answer.
    fn head(a: &Analysis) -> Self {
        Self {
            survey: head::Survey::of(a),
            floor: head::Floor::of(a),
            span_curve: None,
            flatness: None,
            f_numbers: None,
            fill: None,
            between_readings: None,
            pour: None,
            patch: None,
            no_patch: None,
            notices: a.notices.iter().map(head::Notice::from).collect(),
            inputs: head::Inputs::of(a),
        }
    }

    fn with_flat(mut self, a: &Analysis) -> Self {
        if let Some(f) = &a.flatness {
            self.span_curve = Some(flat::span_curve(f));
            self.flatness = Some(f.checks.iter().flat_map(flat::check).collect());
            self.f_numbers = f.f_numbers.as_ref().map(flat::f_numbers);
        }
        self
    }

    fn with_fill(mut self, a: &Analysis) -> Self {
        self.fill = a.filling.as_ref().map(|f| Box::new(f.into()));
        self.between_readings = a.between.as_ref().map(between::Between::from);
        self
    }

    fn with_pour(mut self, a: &Analysis) -> Self {
        self.pour = a.pour.as_ref().map(|p| Box::new(pour::Pour::of(a, p)));
        self
    }

    fn with_patch(mut self, a: &Analysis) -> Self {
        self.patch = a.patch.as_ref().map(|p| patch::Patch::of(a, p));
        self.no_patch.clone_from(&a.no_patch);
        self
    }

    /// How flat the floor is.
    pub fn flat(a: &Analysis) -> Self {
        Self::head(a).with_flat(a)
    }

    /// What a finish takes.
    pub fn fill(a: &Analysis) -> Self {
        Self::head(a).with_fill(a)
    }

    /// The pour.
    pub fn pour(a: &Analysis) -> Self {
        Self::head(a).with_pour(a)
    }

    /// Everything.
    pub fn whole(a: &Analysis) -> Self {
        Self::head(a)
            .with_flat(a)
            .with_fill(a)
            .with_pour(a)
            .with_patch(a)
    }
}

/// One room's answer as it stands; of several rooms a list of them under `rooms`.
///
/// # Errors
/// [`ReportError::Json`], which no value of these types causes.
pub fn each_room(
    rooms: &[Analysis],
    part: impl Fn(&Analysis) -> ResultFile,
) -> Result<String, ReportError> {
    match rooms {
        [only] => text(&part(only)),
        all => text(&Rooms {
            rooms: all.iter().map(part).collect(),
            together: None,
        }),
    }
}

/// The fill of each room; of several rooms with their quantities in all.
///
/// # Errors
/// As [`each_room`].
pub fn fill_of(rooms: &[Analysis]) -> Result<String, ReportError> {
    match rooms {
        [only] => text(&ResultFile::fill(only)),
        all => text(&Rooms {
            rooms: all.iter().map(ResultFile::fill).collect(),
            together: Some((&analysis::Together::of(all)).into()),
        }),
    }
}

/// Pretty text, ending in a line feed.
///
/// # Errors
/// As [`each_room`].
pub fn text(value: &impl Serialize) -> Result<String, ReportError> {
    let mut text =
        serde_json::to_string_pretty(value).map_err(|e| ReportError::Json(e.to_string()))?;
    text.push('\n');
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use schemars::generate::SchemaSettings;

    // ORACLE: contract: the schema in docs is the one of these types, word for word.
    #[test]
    fn the_published_schema_is_that_of_the_types() {
        let mut made = SchemaSettings::draft2020_12()
            .for_serialize()
            .into_generator();
        made.subschema_for::<ResultFile>();
        made.subschema_for::<Rooms>();
        made.subschema_for::<Recheck>();
        made.subschema_for::<Understood>();
        let schema = serde_json::json!({
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": "result.json",
            "description": "result.json, and what flat, fill and pour print as JSON, is a ResultFile (of several rooms: Rooms); of recheck a Recheck, of read an Understood; all-rooms.json is a Together.",
            "$ref": "#/$defs/ResultFile",
            "$defs": made.take_definitions(true),
        });
        let made = text(&schema).unwrap();
        // Told whole to whoever changed a type: DEVELOPERS.md says how it becomes the file.
        assert!(
            made == include_str!("../../../docs/result.schema.json"),
            "docs/result.schema.json is not that of the types:\n{made}"
        );
    }
}
