//! A job file and its bytes to surveys with their settings: everything is resolved here, once.

use super::error::JobError;
use super::file::{JobFile, ReadingsEntry};
use super::hand::hand_read;
use super::inputs::{Inputs, last_part};
use super::settings::settings;
use super::told;
use super::words::{bad, habit_of, length, unit};
use crate::analysis::{SampleLines, Settings};
use crate::flatness::fnumber::Constants;
use crate::flatness::{HandEdges, NMinRule, SampleLine};
use crate::import::{
    self, Counting, ImportOptions, Imported, Layout, LineRead, Meaning, Orientation, Source, Turns,
    XRuns,
};
use crate::report::words::starter;
use crate::survey::findings::look_again;
use crate::survey::{Elevation, FirstRow, Notice, Room, Severity, Survey, line_findings, setups};
use crate::units::Habit;
use std::sync::Arc;

/// Highest line above or below its datum that is believed, metres: beyond every floor on land.
const HIGHEST_LINE_M: f64 = 10_000.0;

/// One room, ready to be analysed.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// The readings with the room around them.
    pub survey: Survey,
    /// What is asked for.
    pub settings: Settings,
    /// What was understood of each readings file.
    pub imported: Arc<[Imported]>,
}

/// Reads every file of a job and resolves what it asks for.
///
/// Several readings files are several set-ups of one room and are tied by the points they share.
///
/// # Errors
/// The first stage that fails, with all of its problems: files that are not there, then values that cannot be, then
/// the readings.
pub fn prepare(job: &JobFile, inputs: &Inputs) -> Result<Vec<Prepared>, JobError> {
    prepare_beside(job, inputs, &[])
}

/// The same for another day of a floor that was read before: without an outline, places that count from the right or the far wall are
/// turned about what they were turned about then.
///
/// # Errors
/// As [`prepare`]; and where the two days count from opposite walls, by what is stated.
pub fn prepare_beside(
    job: &JobFile,
    inputs: &Inputs,
    before: &[Imported],
) -> Result<Vec<Prepared>, JobError> {
    inputs.has_all(&job.files_named())?;
    let settings = settings(job, inputs)?;
    let line = match &job.instrument.line {
        Some(text) => {
            let value = length("instrument.line", text)?.m();
            if value.abs() > HIGHEST_LINE_M {
                let why = "expected a height within 10 km (32,800 ft) of the datum";
                return Err(bad("instrument.line", text, why));
            }
            Elevation::from_m(value)
        }
        None => Elevation::default(),
    };
    let outline = outline(job, inputs, line)?;
    let imported = alike(before, &|turns| {
        read_files(job, inputs, (line, outline.as_ref()), turns)
    })?;
    let habit = job
        .units
        .map_or_else(|| habit_read(&imported[0]), Habit::from);
    let mut surveys = if imported.len() > 1 {
        own_set_ups(job, inputs)?;
        vec![tied(job, &imported)?]
    } else {
        imported[0].surveys.clone()
    };
    // Every room tells of the files it was read from: many rooms of one file share what was understood of it.
    let imported: Arc<[Imported]> = imported.into();
    if let Some(outline) = outline {
        if surveys.len() > 1 {
            return Err(several(&job.readings[0].file, &surveys));
        }
        for survey in &mut surveys {
            let mut room = outline.clone();
            over_own_lines(&mut room, survey, job)?;
            survey.room = Some(room);
        }
    }
    if imported.len() > 1 {
        let understood = imported[0].understood.rooms.first();
        let unit = understood.and_then(|room| room.reading_unit);
        for survey in &mut surveys {
            look_again(survey, unit);
        }
    }
    // A file's name stands in for a room's; beside a job's own title it would only be noise.
    if !job.title.is_empty()
        && let [survey] = surveys.as_mut_slice()
        && job.readings.iter().any(|r| {
            r.file
                .rsplit_once('.')
                .is_some_and(|(stem, _)| stem == survey.name)
        })
    {
        survey.name.clear();
    }
    let f_numbers = match sample_lines(job, inputs, line)? {
        Some((lines, slips)) => {
            let step_m = surveys.first().and_then(|s| s.resolution_m);
            let slips: Vec<Notice> = slips.iter().flat_map(|l| line_slips(l, step_m)).collect();
            for survey in &mut surveys {
                survey.notices.extend(slips.iter().cloned());
            }
            Some(lines)
        }
        None => None,
    };
    let settings = Settings {
        habit,
        f_numbers,
        hand: hand(job, inputs, &surveys)?,
        ..settings
    };
    let drawn = surveys.first().and_then(|s| s.room.as_ref());
    let stand_ins = stand_ins(job, &settings, drawn);
    for survey in &mut surveys {
        // First of all: what stands on them is nobody's.
        survey.notices.splice(0..0, stand_ins.iter().cloned());
    }
    surveys.iter_mut().for_each(told::on_one_line);
    Ok(surveys
        .into_iter()
        .map(|survey| Prepared {
            survey,
            settings: settings.clone(),
            imported: Arc::clone(&imported),
        })
        .collect())
}

/// Heights at doors and fixtures that were given as readings, brought over the line that they were read from: that of their own set-up.
///
/// # Errors
/// [`JobError::FromWhichSetUp`] where set-ups stand at different heights and none is named, or none of that name is there.
fn over_own_lines(room: &mut Room, survey: &Survey, job: &JobFile) -> Result<(), JobError> {
    let set_ups = &survey.set_ups;
    let alike = set_ups.iter().all(|s| s.shift_m == 0.0);
    let shift_of = |name: &str, what: &str| {
        let own = set_ups.iter().find(|s| s.name.trim() == name.trim());
        match own {
            Some(own) => Ok(own.shift_m),
            None if alike => Ok(0.0),
            None => Err(JobError::FromWhichSetUp {
                outline: job.outline.clone().unwrap_or_default(),
                what: what.to_owned(),
                named: name.to_owned(),
                set_ups: set_ups.iter().map(|s| s.name.clone()).collect(),
            }),
        }
    };
    for door in &mut room.doors {
        if let (Some(name), Some(height)) = (&door.read_in, &mut door.adjoining_m) {
            *height += shift_of(name, &door.name)?;
        }
    }
    for fixture in &mut room.fixtures {
        if let (Some(name), Some(height)) = (&fixture.read_in, &mut fixture.limit_m) {
            *height += shift_of(name, &fixture.name)?;
        }
    }
    Ok(())
}

/// The readings files of a job.
fn read_files(
    job: &JobFile,
    inputs: &Inputs,
    (line, outline): (Elevation, Option<&Room>),
    turns: Turns,
) -> Result<Vec<Imported>, JobError> {
    let read = |entry: &ReadingsEntry| {
        let source = Source {
            name: &entry.file,
            bytes: inputs.get(&entry.file)?,
        };
        let options = ImportOptions {
            turns,
            ..options(entry, line, outline)?
        };
        Ok(import::read(&source, &options)?)
    };
    job.readings.iter().map(read).collect()
}

/// Reads files of one floor, and once more where those that count from the right or the far wall are to be turned about one line.
fn alike(
    before: &[Imported],
    read: &dyn Fn(Turns) -> Result<Vec<Imported>, JobError>,
) -> Result<Vec<Imported>, JobError> {
    let own = read(Turns::default())?;
    let counting = |file: &Imported| file.understood.rooms.first().map(|r| r.counting);
    let all = || before.iter().chain(&own);
    let sheets: Vec<Counting> = all().filter_map(counting).collect();
    if sheets.len() < 2 || sheets.len() != all().count() {
        return Ok(own);
    }
    let (turns, opposed) = import::together(&sheets);
    let name = |i: usize| all().nth(i).map_or("", |f| f.understood.file.as_str());
    if let Some(o) = opposed.iter().find(|o| o.stated) {
        return Err(JobError::Opposed {
            turned: name(o.turned).to_owned(),
            plain: name(o.plain).to_owned(),
            walls: if o.along_x {
                ("right", "left")
            } else {
                ("far", "near")
            },
        });
    }
    // What was read before stands where it was put.
    let (then, _) = import::together(&sheets[..before.len()]);
    let turns = Turns {
        x_m: then.x_m.or(turns.x_m),
        y_m: then.y_m.or(turns.y_m),
    };
    let notices: Vec<Notice> = opposed
        .iter()
        .filter(|o| o.turned >= before.len() || o.plain >= before.len())
        .take(1)
        .map(|o| {
            Notice::new(
                "counted-from-opposite-walls",
                Severity::Warning,
                name(o.turned).to_owned(),
                opposed_words(name(o.turned), name(o.plain), o.along_x),
            )
        })
        .collect();
    let mut again = if turns == Turns::default() {
        own
    } else {
        read(turns)?
    };
    if let Some(survey) = again.first_mut().and_then(|f| f.surveys.first_mut()) {
        survey.notices.extend(notices);
    }
    Ok(again)
}

/// What a sheet that was taken for a picture of the room is told beside one that counts from the other wall.
fn opposed_words(turned: &str, plain: &str, along_x: bool) -> String {
    let (far, near) = if along_x {
        ("right", "left")
    } else {
        ("far", "near")
    };
    format!(
        "{turned} was taken to count from the {far} wall, and {plain} from the {near} one. Without an outline that wall was taken to stand at the last reading of {turned}, and the two lie right to one another only if it does. State first_row of {turned}, or give the outline."
    )
}

/// What a new job is started with and nobody has put his own in place of: its outline, its material.
fn stand_ins(job: &JobFile, settings: &Settings, drawn: Option<&Room>) -> Vec<Notice> {
    let outline = job.outline.as_deref().filter(|_| job.outline_guessed);
    let started =
        drawn.is_none_or(|room| room.outline.points().len() == 4 && room.voids.is_empty());
    let (code, text) = if started {
        (starter::CODE_GUESSED, starter::OUTLINE_STANDS_IN)
    } else {
        (starter::CODE_STILL_GUESSED, starter::OUTLINE_SAID_GUESSED)
    };
    let invented = settings.material.as_ref().is_some_and(|m| m.invented);
    let material = job.fill.material.as_deref().filter(|_| invented);
    let told = [
        (code, outline, text),
        (starter::CODE_INVENTED, material, starter::MATERIAL_INVENTED),
    ];
    let notice = |(code, file, text): (&str, Option<&str>, &str)| {
        file.map(|file| Notice::new(code, Severity::Warning, last_part(file), text))
    };
    told.into_iter().filter_map(notice).collect()
}

/// The room that an outline file draws; `None` where the job names none.
fn outline(job: &JobFile, inputs: &Inputs, line: Elevation) -> Result<Option<Room>, JobError> {
    let Some(name) = &job.outline else {
        return Ok(None);
    };
    let source = Source {
        name,
        bytes: inputs.get(name)?,
    };
    let options = ImportOptions {
        line,
        ..ImportOptions::default()
    };
    Ok(Some(import::outline(&source, &options)?))
}

/// Habit that goes with the unit the readings are in.
fn habit_read(imported: &Imported) -> Habit {
    imported
        .understood
        .rooms
        .first()
        .and_then(|r| r.reading_unit.or(r.plan_unit))
        .map_or(Habit::Us, habit_of)
}

/// The one room of a job.
///
/// # Errors
/// [`JobError::SeveralRooms`] names them.
pub fn only_room(job: &JobFile, mut rooms: Vec<Prepared>) -> Result<Prepared, JobError> {
    if rooms.len() == 1
        && let Some(room) = rooms.pop()
    {
        return Ok(room);
    }
    let surveys: Vec<Survey> = rooms.into_iter().map(|r| r.survey).collect();
    Err(several(&job.readings[0].file, &surveys))
}

fn several(file: &str, surveys: &[Survey]) -> JobError {
    JobError::SeveralRooms {
        file: file.to_owned(),
        count: surveys.len(),
        names: surveys
            .iter()
            .map(|s| s.name.clone())
            .collect::<Vec<_>>()
            .join(", "),
    }
}

/// Each readings file is a set-up of its own: one name twice says that one line was read in both, and the same readings
/// twice would tie to themselves and look as if they had been repeated without a fault.
fn own_set_ups(job: &JobFile, inputs: &Inputs) -> Result<(), JobError> {
    for (i, entry) in job.readings.iter().enumerate() {
        for before in &job.readings[..i] {
            if entry.set_up.is_some() && entry.set_up == before.set_up {
                return Err(bad(
                    "readings.set_up",
                    entry.set_up.as_deref().unwrap_or_default(),
                    &format!(
                        "{} bears it too; expected a name of its own for each set-up of the line. Readings of one set-up go into one file",
                        before.file
                    ),
                ));
            }
            if inputs.get(&entry.file)? == inputs.get(&before.file)? {
                return Err(bad(
                    "readings.file",
                    &entry.file,
                    &format!(
                        "{} holds the same bytes; expected another set-up's readings. Take one of the two out",
                        before.file
                    ),
                ));
            }
        }
    }
    Ok(())
}

/// Readings of several set-ups as one survey, tied by shared points.
fn tied(job: &JobFile, imported: &[Imported]) -> Result<Survey, JobError> {
    let mut parts = Vec::with_capacity(imported.len());
    for (entry, file) in job.readings.iter().zip(imported) {
        let [survey] = file.surveys.as_slice() else {
            return Err(several(&entry.file, &file.surveys));
        };
        let name = entry.set_up.clone().unwrap_or_else(|| entry.file.clone());
        parts.push((name, survey.clone()));
    }
    Ok(setups::tie(parts)?)
}

/// The edges laid by hand that a job names; `None` where it names none.
fn hand(job: &JobFile, inputs: &Inputs, surveys: &[Survey]) -> Result<Option<HandEdges>, JobError> {
    let Some(name) = &job.hand else {
        return Ok(None);
    };
    // The sheet is of one room.
    let [survey] = surveys else {
        return Err(several(&job.readings[0].file, surveys));
    };
    let source = Source {
        name,
        bytes: inputs.get(name)?,
    };
    let by_leave = job.readings.iter().any(|r| r.dates_as_fractions);
    Ok(Some(hand_read(&source, survey, by_leave)?))
}

/// The slips that may stand in a sample line.
fn line_slips(line: &LineRead, step_m: Option<f64>) -> Vec<Notice> {
    line_findings(&line.name, &line.elevations_m, &line.places, step_m)
}

/// The sample lines of a job, and as they were read; `None` where it names none.
fn sample_lines(
    job: &JobFile,
    inputs: &Inputs,
    line: Elevation,
) -> Result<Option<(SampleLines, Vec<LineRead>)>, JobError> {
    let entry = &job.f_numbers;
    let constants = entry.constants.map_or(Constants::Exact, Constants::from);
    let n_min = match entry.n_min.as_deref() {
        None | Some("square-feet") => NMinRule::SquareFeet,
        Some("square-metres") => NMinRule::SquareMetres,
        Some(count) => {
            let stated = count.parse().ok().filter(|n| *n > 0);
            NMinRule::Stated(stated.ok_or_else(|| {
                bad(
                    "f_numbers.n_min",
                    count,
                    "expected square-feet, square-metres or a count of 1 or more",
                )
            })?)
        }
    };
    let word = |key: &str, text: &Option<String>| text.as_deref().map(|w| unit(key, w)).transpose();
    let options = ImportOptions {
        plan_unit: word("f_numbers.plan_unit", &entry.plan_unit)?,
        reading_unit: word("f_numbers.reading_unit", &entry.reading_unit)?,
        meaning: entry.meaning.map(Meaning::from),
        line,
        ..ImportOptions::default()
    };
    // What stands there is read even where there is nothing to use it on: a slip in it would be missed for ever.
    let Some(name) = &entry.lines else {
        return Ok(None);
    };
    let source = Source {
        name,
        bytes: inputs.get(name)?,
    };
    let read = import::lines(&source, &options)?;
    let lines = read
        .iter()
        .map(|l| SampleLine {
            name: l.name.clone(),
            interval_m: l.interval_m,
            elevations_m: l.elevations_m.clone(),
            start: l.start,
            end: l.end,
        })
        .collect();
    let lines = SampleLines {
        lines,
        constants,
        n_min,
    };
    Ok(Some((lines, read)))
}

fn options(
    entry: &ReadingsEntry,
    line: Elevation,
    outline: Option<&Room>,
) -> Result<ImportOptions, JobError> {
    let spacing = match &entry.spacing {
        Some(text) => Some(import::spacing(text).ok_or_else(|| {
            bad(
                "spacing",
                text,
                "expected a length greater than zero with its unit, such as 2 ft, or two such as 2 ft x 30 in, columns first",
            )
        })?),
        None => None,
    };
    Ok(ImportOptions {
        sheet: entry.sheet.clone(),
        room: entry.room.clone(),
        plan_unit: entry
            .plan_unit
            .as_deref()
            .map(|w| unit("plan_unit", w))
            .transpose()?,
        reading_unit: entry
            .reading_unit
            .as_deref()
            .map(|w| unit("reading_unit", w))
            .transpose()?,
        meaning: entry.meaning.map(Meaning::from),
        layout: entry.layout.map_or(Layout::Auto, Layout::from),
        spacing,
        orientation: Orientation {
            first_row: entry.first_row.map(FirstRow::from),
            x_runs: entry.x_runs.map(XRuns::from),
        },
        region: outline.map(Room::region),
        joints: outline.map_or_else(Vec::new, Room::joint_pieces),
        dates_as_fractions: entry.dates_as_fractions,
        line,
        ..ImportOptions::default()
    })
}
