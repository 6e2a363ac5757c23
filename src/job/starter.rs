//! A job file to start from: what was understood of a readings file, and every key with what it is for.

use super::error::JobError;
use super::file::{JobFile, ReadingsEntry};
use super::inputs::Inputs;
use super::prepare::{Prepared, only_room, prepare};
use crate::report::words::starter as w;
use crate::units::Habit;

/// What a job file is started from.
#[derive(Debug, Clone, Default)]
pub struct StarterRequest {
    /// Name that the readings are known under among the inputs.
    pub readings: String,
    /// The way from the job file to the readings, as it is written there.
    pub readings_way: String,
    /// The outline: its name among the inputs and the way to it; one is made from the readings' extent when left away.
    pub outline: Option<(String, String)>,
    /// How the readings are to be taken; written into the job file.
    pub reading: ReadingsEntry,
    /// Words for the paper, where they were given.
    pub about: [String; 4],
}

/// The files of a new job: `job.toml`, `material.toml`, and `outline.csv` where none is given.
///
/// # Errors
/// Readings that cannot be read, or several rooms where one is needed.
pub fn starter(
    request: &StarterRequest,
    inputs: &Inputs,
) -> Result<Vec<(String, Vec<u8>)>, JobError> {
    let entry = ReadingsEntry {
        file: request.readings.clone(),
        ..request.reading.clone()
    };
    let job = JobFile {
        readings: vec![entry],
        outline: request.outline.as_ref().map(|(name, _)| name.clone()),
        ..JobFile::default()
    };
    let room = only_room(&job, prepare(&job, inputs)?)?;
    let outline = match &request.outline {
        Some((_, way)) => way.clone(),
        None => w::OUTLINE_FILE.to_owned(),
    };
    let mut files = vec![
        (
            w::JOB_FILE.to_owned(),
            job_text(request, &room, &outline).into_bytes(),
        ),
        (w::MATERIAL_FILE.to_owned(), w::MATERIAL.as_bytes().to_vec()),
    ];
    if request.outline.is_none() {
        files.push((
            w::OUTLINE_FILE.to_owned(),
            extent_outline(&room).into_bytes(),
        ));
    }
    Ok(files)
}

/// The job file's text: its names in braces are filled in one pass, so that what a user wrote is never taken for one.
fn job_text(request: &StarterRequest, room: &Prepared, outline: &str) -> String {
    let [title, place, who, when] = &request.about;
    let title = match title.as_str() {
        "" => &room.settings.about.title,
        given => given,
    };
    let mut values: Vec<(&str, String)> = w::usual(room.settings.habit)
        .map(|(name, value)| (name, value.to_owned()))
        .to_vec();
    for (name, value) in [
        ("title", title),
        ("place", place),
        ("who", who),
        ("when", when),
        ("outline", outline),
        ("material", w::MATERIAL_FILE),
    ] {
        values.push((name, quoted(value)));
    }
    let guessed = if request.outline.is_some() {
        w::OUTLINE_GIVEN
    } else {
        w::OUTLINE_GUESSED
    };
    values.push(("outline_guessed", guessed.to_owned()));
    let readings = readings_text(&request.readings_way, &request.reading);
    values.push(("readings", readings));
    let mut text = String::new();
    for piece in w::JOB.split_inclusive(['{', '}']) {
        match piece.strip_suffix(['{', '}']) {
            None => text.push_str(piece),
            Some(inner) => match values.iter().find(|(name, _)| *name == inner) {
                Some((_, value)) => text.push_str(value),
                None => text.push_str(inner),
            },
        }
    }
    text
}

/// The entry of the readings: its file, what the flags said of it, and as a comment what they did not.
fn readings_text(way: &str, given: &ReadingsEntry) -> String {
    let mut text = format!("file = {}\n", quoted(way));
    // What the flags said, as the file holds it; a `false` is what is meant without a word.
    let given = toml::Table::try_from(given).unwrap_or_default();
    let said = |key: &str| given.get(key).filter(|v| v.as_bool() != Some(false));
    for (key, comment, example) in w::READINGS {
        let line = match said(key) {
            Some(value) => format!("{key} = {value}"),
            None => format!("#{key} = {example}"),
        };
        text.push_str(&format!("# {comment}\n{line}\n"));
    }
    text
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A rectangle round the readings, in the unit of the job.
fn extent_outline(room: &Prepared) -> String {
    let mut extent = (
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
    );
    for r in &room.survey.readings {
        extent.0 = extent.0.min(r.at.x);
        extent.1 = extent.1.min(r.at.y);
        extent.2 = extent.2.max(r.at.x);
        extent.3 = extent.3.max(r.at.y);
    }
    let (unit, metre) = match room.settings.habit {
        Habit::Us => ("ft", crate::units::FOOT_M),
        Habit::Metric => ("m", 1.0),
    };
    let (left, bottom, right, top) = extent;
    // Rounded outwards: a reading on the wall must not come to lie outside of it by more than the noise of a sum.
    let low = |m: f64| (m / metre * 1000.0 + 1e-6).floor() / 1000.0;
    let high = |m: f64| (m / metre * 1000.0 - 1e-6).ceil() / 1000.0;
    let (l, b, r, t) = (low(left), low(bottom), high(right), high(top));
    let mut text = format!("kind,name,x_{unit},y_{unit}\n");
    for (x, y) in [(l, b), (r, b), (r, t), (l, t)] {
        text.push_str(&format!("outline,,{x},{y}\n"));
    }
    text
}
