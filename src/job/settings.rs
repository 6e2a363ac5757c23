//! What a job asks for, resolved: everything that does not hang on the readings.

use super::choices::With;
use super::crew::crew;
use super::error::JobError;
use super::file::{FillEntry, Instrument, JobFile};
use super::finish::{finish, prices};
use super::inputs::Inputs;
use super::run_number::run_number;
use super::words::{LEAST_M, bad, depth, length, number, positive_depth, span, within};
use crate::analysis::{About, CODES, ReadingDoubt, Settings};
use crate::fill::{Aim, MOST_BAGS, Material};
use crate::flatness::{FEWEST_DRAWS, check};
use crate::report::check_logo;
use crate::survey::one_line;
use crate::units::{Habit, names_meant};

/// Checks, spans or gauge depths that one job may ask for.
const MOST_ASKED: usize = 50;
/// Floors drawn for the chance of a word unless told, and at most.
const USUAL_DRAWS: f64 = 200.0;
const MOST_DRAWS: f64 = 2_000.0;

/// The most that one reading is believed to be off, or a rule to be stepped by, metres: 1 in.
const MOST_DOUBT_M: f64 = 0.0254;

/// Floors to draw at most.
fn draws(job: &JobFile) -> Result<usize, JobError> {
    let draws = number(
        "draws",
        job.draws.map(f64::from),
        |v| v == 0.0 || (FEWEST_DRAWS as f64..=MOST_DRAWS).contains(&v),
        "a number of floors to draw: from 60 to 2,000, since fewer prove no word; 0 for none",
    )?;
    Ok(draws.unwrap_or(USUAL_DRAWS) as usize)
}

/// Everything that does not hang on the readings, so that a value that cannot be is told before they are looked at.
pub(super) fn settings(job: &JobFile, inputs: &Inputs) -> Result<Settings, JobError> {
    let (crew, bags_per_batch) = crew(&job.crew)?;
    let fill = &job.fill;
    let mut material = match &fill.material {
        Some(name) => Some(material(name, inputs.get(name)?)?),
        None => None,
    };
    // The batch that this crew mixes, for the order as for the pour.
    if let Some(material) = material.as_mut().filter(|_| bags_per_batch.is_some()) {
        material.bags_per_batch = bags_per_batch;
    }
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
        |v| (LEAST_BAG..=f64::from(MOST_BAGS)).contains(&v),
        "a number of bags from 0.01 to 1,000,000",
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
        draws: draws(job)?,
        f_numbers: None,
        hand: None,
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
        as_of: as_of(job)?,
        gauges_m: fill
            .gauges
            .iter()
            .map(|text| depth("fill.gauges", text, fill.deep))
            .collect::<Result<Vec<_>, JobError>>()?,
        patch_depth_m: above_zero("fill.patch_depth", &fill.patch_depth)?,
        prices: prices(&job.prices)?,
        crew,
        silence: silence(&job.silence)?,
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

/// Codes of notices that are not to be repeated; each has to be one.
fn silence(codes: &[String]) -> Result<Vec<String>, JobError> {
    let unknown = codes.iter().find(|code| !CODES.contains(&code.as_str()));
    let Some(code) = unknown else {
        return Ok(codes.to_vec());
    };
    let like = names_meant(code, CODES.into_iter());
    let meant = match like[..] {
        [] => "such as first-row-taken or outline-not-given".to_owned(),
        _ => format!("did you mean {}?", like.join(" or ")),
    };
    Err(bad(
        "silence",
        code,
        &format!(
            "expected the code of a notice ({meant}); each stands beside its notice in result.json, and docs/formats.md lists them all"
        ),
    ))
}

/// Less of a bag is none.
const LEAST_BAG: f64 = 0.01;

/// The day that the quantities hold for: stated, or that of the readings.
fn as_of(job: &JobFile) -> Result<String, JobError> {
    match &job.fill.as_of {
        Some(text) => day("fill.as_of", text),
        None => Ok(job.when.clone()),
    }
}

/// A day in words of the user's; where it is written as a date in figures, one that there is.
fn day(key: &str, text: &str) -> Result<String, JobError> {
    let parts: Vec<&str> = text.trim().split('-').collect();
    let figures = |t: &str, n: usize| t.len() == n && t.bytes().all(|b| b.is_ascii_digit());
    if let [year, month, of_month] = parts[..]
        && figures(year, 4)
        && figures(month, 2)
        && figures(of_month, 2)
    {
        let number = |t: &str| t.parse::<u32>().unwrap_or(0);
        let (y, m, d) = (number(year), number(month), number(of_month));
        let leap = y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
        let last = match m {
            2 => 28 + u32::from(leap),
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => 0,
        };
        if !(1..=last).contains(&d) {
            return Err(bad(
                key,
                text,
                "expected a day that there is, such as 2026-12-01",
            ));
        }
    }
    Ok(text.to_owned())
}

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
            "greater than zero, of 0.001 mm or more (leave it out where it is not known)",
            |v| v >= LEAST_M,
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
        Some(name) => {
            let bytes = inputs.get(name)?.to_vec();
            // Before a page is set with it, and before anything is worked out.
            check_logo(name, &bytes)?;
            Some((name.clone(), bytes))
        }
        None => None,
    };
    let title = if job.title.is_empty() {
        job.readings[0].file.clone()
    } else {
        job.title.clone()
    };
    let told = |text: &String| one_line(text).into_owned();
    Ok(About {
        title: told(&title),
        place: told(&job.place),
        who: told(&job.who),
        when: told(&job.when),
        revision: told(&job.revision),
        instrument: told(&job.instrument.name),
        instrument_check: told(&job.instrument.checked),
        bench_mark: told(&job.instrument.bench_mark),
        company: told(&job.company.name),
        company_lines: job.company.lines.iter().map(told).collect(),
        logo,
        quantities: job.submittal.with.contains(&With::Quantities),
    })
}
