//! What flags and the page's choices lay over a job: one set, one way, whoever gives them.

use super::file::{FillEntry, JobFile, ReadingsEntry, UnitsWord};

/// What stands above the job file. What is not given (`None`, empty, `false`) leaves the job's own word.
#[derive(Debug, Clone, Default)]
pub struct Overrides {
    /// What the job is called, where the floor is, who took the readings, and when.
    pub title: String,
    /// See `title`.
    pub place: String,
    /// See `title`.
    pub who: String,
    /// See `title`.
    pub when: String,
    /// How every readings file is to be taken; its `file` and `set_up` are not looked at.
    pub reading: ReadingsEntry,
    /// Units to print in.
    pub units: Option<UnitsWord>,
    /// Edge lengths, in place of all of the job's.
    pub spans: Vec<String>,
    /// Checks, in place of all of the job's.
    pub checks: Vec<String>,
    /// How closely the worst gap is to be known.
    pub tolerance: Option<String>,
    /// Name of the outline file.
    pub outline: Option<String>,
    /// Name of the file of sample lines.
    pub lines: Option<String>,
    /// Finish, material and quantities. A finish takes the place of the whole of the job's.
    pub fill: FillEntry,
}

impl Overrides {
    /// Lays them over a job.
    pub fn lay_over(&self, job: &mut JobFile) {
        over_text(&mut job.title, &self.title);
        over_text(&mut job.place, &self.place);
        over_text(&mut job.who, &self.who);
        over_text(&mut job.when, &self.when);
        for entry in &mut job.readings {
            let given = &self.reading;
            over(&mut entry.sheet, &given.sheet);
            over(&mut entry.room, &given.room);
            over(&mut entry.plan_unit, &given.plan_unit);
            over(&mut entry.reading_unit, &given.reading_unit);
            over(&mut entry.meaning, &given.meaning);
            over(&mut entry.layout, &given.layout);
            over(&mut entry.spacing, &given.spacing);
            over(&mut entry.first_row, &given.first_row);
            over(&mut entry.x_runs, &given.x_runs);
            entry.dates_as_fractions |= given.dates_as_fractions;
        }
        over(&mut job.units, &self.units);
        if !self.spans.is_empty() {
            job.spans.clone_from(&self.spans);
        }
        if !self.checks.is_empty() {
            job.checks.clone_from(&self.checks);
        }
        over(&mut job.tolerance, &self.tolerance);
        over(&mut job.outline, &self.outline);
        over(&mut job.f_numbers.lines, &self.lines);
        let given = &self.fill;
        if given.names_finish() {
            job.fill.take_finish(given);
        }
        let fill = &mut job.fill;
        fill.deep |= given.deep;
        over(&mut fill.material, &given.material);
        over(&mut fill.waste, &given.waste);
        over(&mut fill.bags, &given.bags);
        over(&mut fill.rake, &given.rake);
        over(&mut fill.cover, &given.cover);
        over(&mut fill.grind, &given.grind);
        over(&mut fill.base_depth, &given.base_depth);
        over(&mut fill.framed, &given.framed);
    }
}

fn over<T: Clone>(slot: &mut Option<T>, given: &Option<T>) {
    if given.is_some() {
        slot.clone_from(given);
    }
}

fn over_text(slot: &mut String, given: &str) {
    if !given.is_empty() {
        given.clone_into(slot);
    }
}
