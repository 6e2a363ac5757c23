//! The crew of a job file: every value held against what a crew can be, before anything is worked out.

use super::error::JobError;
use super::file::Crew;
use super::words::number;
use crate::analysis::CrewSettings;
use crate::pour::Order;

/// Most people that pour one floor. These bounds leave out no crew that we know of; common practice, no published
/// source.
const MOST_PEOPLE: f64 = 100.0;
/// Most mixers of one crew.
const MOST_MIXERS: f64 = 20.0;
/// Longest mixing or placing of one batch, minutes.
const MOST_MINUTES: f64 = 120.0;
/// Shortest, minutes.
const LEAST_MINUTES: f64 = 0.1;
/// Most bags mixed at a time.
const MOST_PER_BATCH: f64 = 100.0;
/// Most bays.
const MOST_BAYS: f64 = 40.0;

/// The crew, resolved, and the bags it puts into a batch where it states them.
///
/// # Errors
/// A count or a time that no crew has, by its key.
pub fn crew(entry: &Crew) -> Result<(CrewSettings, Option<u32>), JobError> {
    let count = |key: &str, value: Option<f64>, most: f64| -> Result<Option<u32>, JobError> {
        let whole = |v: f64| v.fract() == 0.0;
        let expected = format!("a whole number from 1 to {most}");
        number(
            key,
            value,
            |v| (1.0..=most).contains(&v) && whole(v),
            &expected,
        )
        .map(|v| v.map(|v| v as u32))
    };
    let minutes = |key: &str, value: Option<f64>| {
        let expected = format!("minutes from {LEAST_MINUTES} to {MOST_MINUTES} for one batch");
        number(
            key,
            value,
            |v| (LEAST_MINUTES..=MOST_MINUTES).contains(&v),
            &expected,
        )
    };
    let bags_per_batch = count("crew.bags_per_batch", entry.bags_per_batch, MOST_PER_BATCH)?;
    let crew = CrewSettings {
        people: count("crew.people", entry.people, MOST_PEOPLE)?,
        mixers: count("crew.mixers", entry.mixers, MOST_MIXERS)?,
        mixing_min: minutes("crew.mixing_min", entry.mixing_min)?,
        placing_min: minutes("crew.placing_min", entry.placing_min)?,
        overlapped: entry.overlapped,
        start: entry.start.clone(),
        exit: entry.exit.clone(),
        order: entry.order.map(Order::from),
        bays: count("crew.bays", entry.bays, MOST_BAYS)?,
    };
    Ok((crew, bags_per_batch))
}
