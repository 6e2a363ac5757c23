//! A job file and its bytes to surveys and settings: everything is resolved here, once.

use super::crew::crew;
use super::error::JobError;
use super::file::{FillEntry, Instrument, JobFile, ReadingsEntry};
use super::finish::{finish, prices};
use super::inputs::Inputs;
use super::run_number::run_number;
use super::words::{
    LEAST_M, bad, depth, habit_of, length, number, positive_depth, span, unit, within,
};
use crate::analysis::{About, ReadingDoubt, SampleLines, Settings};
use crate::fill::{Aim, MOST_BAGS, Material};
use crate::flatness::fnumber::Constants;
use crate::flatness::{NMinRule, SampleLine, check};
use crate::import::{
    self, ImportOptions, Imported, Layout, LineRead, Meaning, Orientation, Source, XRuns,
};
use crate::survey::{Elevation, FirstRow, Notice, Room, Survey, line_findings, setups};
use crate::units::Habit;

/// One room, ready to be analysed.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// The readings with the room around them.
    pub survey: Survey,
    /// What is asked for.
    pub settings: Settings,
    /// What was understood of each readings file.
    pub imported: Vec<Imported>,
}

/// Reads every file of a job and resolves what it asks for.
///
/// Several readings files are several set-ups of one room and are tied by the points they share.
///
/// # Errors
/// The first stage that fails, with all of its problems: files that are not there, then values that cannot be, then
/// the readings.
pub fn prepare(job: &JobFile, inputs: &Inputs) -> Result<Vec<Prepared>, JobError> {
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
    let mut imported = Vec::with_capacity(job.readings.len());
    for entry in &job.readings {
        let source = Source {
            name: &entry.file,
            bytes: inputs.get(&entry.file)?,
        };
        imported.push(import::read(
            &source,
            &options(entry, line, outline.as_ref())?,
        )?);
    }
    let habit = job
        .units
        .map_or_else(|| habit_read(&imported[0]), Habit::from);
    let mut surveys = if imported.len() > 1 {
        own_set_ups(job, inputs)?;
        vec![tied(job, &imported)?]
    } else {
        imported[0].surveys.clone()
    };
    if let Some(outline) = outline {
        if surveys.len() > 1 {
            return Err(several(&job.readings[0].file, &surveys));
        }
        for survey in &mut surveys {
            survey.room = Some(outline.clone());
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
        ..settings
    };
    Ok(surveys
        .into_iter()
        .map(|survey| Prepared {
            survey,
            settings: settings.clone(),
            imported: imported.clone(),
        })
        .collect())
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

/// Everything that does not hang on the readings, so that a value that cannot be is told before they are looked at.
fn settings(job: &JobFile, inputs: &Inputs) -> Result<Settings, JobError> {
    let crew = crew(&job.crew)?;
    let fill = &job.fill;
    let material = match &fill.material {
        Some(name) => Some(material(name, inputs.get(name)?)?),
        None => None,
    };
    let above_zero = |key: &str, text: &Option<String>| -> Result<Option<f64>, JobError> {
        text.as_deref()
            .map(|t| positive_depth(key, t, fill.deep))
            .transpose()
    };
    let plane = finish(fill)?;
    for (key, count) in [
        ("checks", job.checks.len()),
        ("spans", job.spans.len()),
        ("fill.gauges", fill.gauges.len()),
    ] {
        if count > MOST_ASKED {
            return Err(bad(
                key,
                &count.to_string(),
                "expected at most 50; ask for the others in a job of their own",
            ));
        }
    }
    let checks = job
        .checks
        .iter()
        .map(|text| Ok(check::parse(text)?))
        .collect::<Result<Vec<_>, JobError>>()?;
    let spans_m = job
        .spans
        .iter()
        .map(|text| span(text))
        .collect::<Result<Vec<_>, _>>()?;
    let waste = number(
        "fill.waste",
        fill.waste,
        |v| v == 0.0 || (1.0..=100.0).contains(&v),
        "a percentage: 0, or from 1 to 100; write 10 for a tenth",
    )?;
    let bags_at_hand = number(
        "fill.bags",
        fill.bags,
        |v| v > 0.0 && v <= f64::from(MOST_BAGS),
        "a number of bags greater than zero, at most 1,000,000",
    )?;
    Ok(Settings {
        about: about(job, inputs)?,
        inputs: inputs.fingerprints(),
        run: run_number(job, inputs),
        habit: Habit::default(),
        denominator: 16,
        spans_m,
        checks,
        tolerance_m: job
            .tolerance
            .as_deref()
            .map(|t| {
                within(
                    "tolerance",
                    t,
                    (1e-6, MOST_DOUBT_M),
                    "from 0.001 mm to 1 in (25.4 mm)",
                )
            })
            .transpose()?,
        f_numbers: None,
        doubt: doubt(&job.instrument)?,
        aim: job.aim.map_or(Aim::NotSaid, Aim::from),
        deep: fill.deep,
        plane,
        material,
        waste: waste.map(|percent| percent / 100.0),
        bags_at_hand,
        rake_m: above_zero("fill.rake", &fill.rake)?,
        grind_m: grind(fill)?,
        framed: fill.framed,
        cover_m: above_zero("fill.cover", &fill.cover)?,
        covering_m: above_zero("fill.covering", &fill.covering)?,
        base_depth_m: above_zero("fill.base_depth", &fill.base_depth)?,
        as_of: fill.as_of.clone().unwrap_or_else(|| job.when.clone()),
        gauges_m: fill
            .gauges
            .iter()
            .map(|text| depth("fill.gauges", text, fill.deep))
            .collect::<Result<Vec<_>, JobError>>()?,
        patch_depth_m: above_zero("fill.patch_depth", &fill.patch_depth)?,
        prices: prices(&job.prices)?,
        crew,
        silence: job.silence.clone(),
    })
}

/// Deepest grind that is allowed, metres; 0 for none.
fn grind(fill: &FillEntry) -> Result<f64, JobError> {
    let Some(text) = &fill.grind else {
        return Ok(0.0);
    };
    let value = depth("fill.grind", text, fill.deep)?;
    if value < 0.0 {
        return Err(bad(
            "fill.grind",
            text,
            "expected a depth of 0 or more; 0 for no grinding",
        ));
    }
    Ok(value)
}

/// Highest line above or below its datum that is believed, metres: beyond every floor on land.
const HIGHEST_LINE_M: f64 = 10_000.0;

/// Checks, spans or gauge depths that one job may ask for.
const MOST_ASKED: usize = 50;

/// The most that one reading is believed to be off, or a rule to be stepped by, metres: 1 in.
const MOST_DOUBT_M: f64 = 0.0254;

/// What is said of the instrument's doubt.
fn doubt(instrument: &Instrument) -> Result<ReadingDoubt, JobError> {
    let small = |key: &str, text: &Option<String>, least: &str, usable: fn(f64) -> bool| {
        let Some(text) = text else { return Ok(None) };
        let value = length(key, text)?.m();
        if usable(value) && value <= MOST_DOUBT_M + 1e-9 {
            return Ok(Some(value));
        }
        let why = format!("expected a length {least}, at most 1 in (25.4 mm)");
        Err(bad(key, text, &why))
    };
    let any = "of 0 or more";
    Ok(ReadingDoubt {
        instrument_m: small("instrument.doubt", &instrument.doubt, any, |v| v >= 0.0)?
            .unwrap_or(0.0),
        repeatability_m: small(
            "instrument.repeatability",
            &instrument.repeatability,
            any,
            |v| v >= 0.0,
        )?
        .unwrap_or(0.0),
        step_m: small(
            "instrument.step",
            &instrument.step,
            "of 0.001 mm or more",
            |v| v >= LEAST_M,
        )?,
    })
}

fn material(name: &str, bytes: &[u8]) -> Result<Material, JobError> {
    let text = std::str::from_utf8(bytes).map_err(|_| JobError::SheetText {
        file: name.to_owned(),
    })?;
    Material::from_toml(text).map_err(|source| JobError::Sheet {
        file: name.to_owned(),
        source,
    })
}

fn about(job: &JobFile, inputs: &Inputs) -> Result<About, JobError> {
    let logo = match &job.company.logo {
        Some(name) => Some((name.clone(), inputs.get(name)?.to_vec())),
        None => None,
    };
    let title = if job.title.is_empty() {
        job.readings[0].file.clone()
    } else {
        job.title.clone()
    };
    Ok(About {
        title,
        place: job.place.clone(),
        who: job.who.clone(),
        when: job.when.clone(),
        revision: job.revision.clone(),
        instrument: job.instrument.name.clone(),
        instrument_check: job.instrument.checked.clone(),
        bench_mark: job.instrument.bench_mark.clone(),
        company: job.company.name.clone(),
        company_lines: job.company.lines.clone(),
        logo,
    })
}
