//! Floor, heights and spots as labels and values, in the reader's units.

use crate::analysis::{Analysis, LevelSpot};
use crate::drawing::MarkUnit;
use crate::fill::{BEVELLED_STEP_M, Fill, HeightAt, Plane, Step, VERTICAL_STEP_M};
use crate::report::crew::{self, PatchWork, SpotRow};
use crate::report::sections::FloorFacts;
use crate::report::words::take_off as w;
use crate::report::{Align, Column, Fact, Pen, Table, words};
use crate::survey::{Reading, Room};

/// What one reading is good to, and how that is known.
pub fn reading(a: &Analysis) -> Vec<Fact> {
    let pen = Pen::new(a.settings.habit);
    let step = words::submittal::step(&pen.step(a.step.step_m), a.step.stated);
    let mut facts = vec![
        Fact::new(words::submittal::RESOLUTION, step),
        Fact::new(
            words::submittal::REPEATS,
            words::submittal::repeats(pen, &a.repeats),
        ),
    ];
    let instrument_m = a.settings.doubt.instrument_m;
    if instrument_m > 0.0 {
        let text = words::submittal::line_doubt(&pen.stated(instrument_m));
        facts.push(Fact::new(words::submittal::LINE_DOUBT, text));
    }
    facts
}

/// The floor's own figures.
pub fn floor(a: &Analysis) -> FloorFacts {
    let areas = a.floor.areas();
    let suspects = a.suspects();
    let suspected = |spot: &LevelSpot| suspects.iter().any(|s| s.reading as usize == spot.reading);
    FloorFacts {
        suspected: (suspected(&a.levels.high), suspected(&a.levels.low)),
        suspects: suspects.iter().map(|s| s.name.clone()).collect(),
        area_m2: areas.region_m2,
        surveyed_m2: areas.surveyed_m2,
        extended_m2: areas.extended_m2,
        unsurveyed_m2: areas.unsurveyed_m2,
        spacing_m: a.floor.spacing(),
        high: (reading_name(a, a.levels.high.reading), a.levels.high.at),
        extended_above: a.levels.extended_above,
        high_m: a.levels.high.elevation_m,
        low: (reading_name(a, a.levels.low.reading), a.levels.low.at),
        overall_m: a.levels.overall_m,
        used: (a.readings_used, a.survey.readings.len()),
        left_out: a
            .survey
            .room
            .iter()
            .flat_map(|room| &room.slopes)
            .map(|s| (s.name.clone(), s.ring.area()))
            .collect(),
        bare_drains: a
            .survey
            .room
            .iter()
            .flat_map(Room::bare_drains)
            .map(str::to_owned)
            .collect(),
    }
}

/// A reading's label, with its set-up where there are several.
fn reading_name(a: &Analysis, reading: usize) -> String {
    let Some(r) = a.survey.readings.get(reading) else {
        return String::new();
    };
    match a.survey.set_up_of(r) {
        Some(set_up) => words::submittal::from_set_up(&r.label, set_up),
        None => r.label.to_string(),
    }
}

/// The readings that stand as high (or as low) as a spot, by their names.
pub fn ties(a: &Analysis, spot: &LevelSpot) -> Vec<String> {
    spot.ties.iter().map(|&i| reading_name(a, i)).collect()
}

/// How much of the room quantities are of: `on 210 of 400 sq ft`; empty where it is all of it.
pub fn filled_on(a: &Analysis) -> String {
    floor(a).counted_on(Pen::new(a.settings.habit))
}

/// What the sheet does not state and which answer waits for it.
pub fn missing(a: &Analysis) -> Vec<String> {
    a.filling
        .iter()
        .filter_map(|f| f.take_off.as_ref())
        .flat_map(|t| &t.missing)
        .chain(a.pour.iter().flat_map(|p| &p.missing))
        .map(ToString::to_string)
        .fold(Vec::new(), |mut list, text| {
            if !list.contains(&text) {
                list.push(text);
            }
            list
        })
}

/// Heights after the work, as a table.
pub fn heights(a: &Analysis) -> Option<Table> {
    let pen = Pen::new(a.settings.habit);
    let rows: &[HeightAt] = &a.filling.as_ref()?.heights;
    if rows.is_empty() {
        return None;
    }
    let said = rows.iter().any(|h| !h.remarks.is_empty());
    let columns = vec![
        Column::words(w::POINT, 1.0),
        Column {
            title: w::RISE.to_owned(),
            align: Align::Right,
            share: 0.0,
        },
        Column {
            title: w::STEP.to_owned(),
            align: Align::Right,
            share: 0.0,
        },
        Column::words(if said { w::REMARK } else { "" }, 2.4),
    ];
    Some(Table {
        caption: words::crew::heights(
            rows.iter()
                .find_map(|h| h.covering_m)
                .map(|m| pen.stated(m))
                .as_deref(),
        ),
        columns,
        rows: rows
            .iter()
            .map(|h| {
                vec![
                    h.name.clone(),
                    h.rise_m
                        .map_or_else(|| w::NOT_KNOWN.to_owned(), |m| pen.of_gauge_rise(m)),
                    step_text(pen, h).unwrap_or_else(|| w::NOT_KNOWN.to_owned()),
                    h.remarks.join("; "),
                ]
            })
            .collect(),
        ..Table::default()
    })
}

/// A step to the floor beside it; one that has to be bevelled or ramped never prints as a step that has not.
pub fn step_text(pen: Pen, h: &HeightAt) -> Option<String> {
    let m = h.step_m?;
    let limit_m = match h.step {
        Some(Step::Bevel { .. }) => VERTICAL_STEP_M,
        Some(Step::Ramp { .. }) => BEVELLED_STEP_M,
        _ => return Some(pen.of_gauge_rise(m)),
    };
    Some(pen.rise_over(m, limit_m))
}

/// What to go through before the pour.
pub fn checklist(a: &Analysis) -> Vec<String> {
    let pen = Pen::new(a.settings.habit);
    a.settings
        .material
        .as_ref()
        .map_or_else(Vec::new, |m| words::staging::checklist(pen, m))
}

/// The unit that depths at the marks are counted in: under a finish, or below the high point.
pub fn mark_unit(a: &Analysis, finish: Option<&Fill>) -> MarkUnit {
    let top = Plane::level(a.levels.high.elevation_m);
    let (plane, gauge_m) = finish.map_or((top, 0.0), |f| (f.plane, f.gauge_depth_m));
    let depth = |r: &Reading| plane.at(r.at) - r.elevation.m();
    let depths_m: Vec<f64> = a.readings_on_floor().iter().map(depth).collect();
    crew::mark_unit(
        Pen::new(a.settings.habit),
        gauge_m,
        a.step.step_m,
        &depths_m,
    )
}

/// The unit that a patch plan's depths are counted in at the marks: that of its steps.
pub fn patch_unit(a: &Analysis) -> MarkUnit {
    let habit = a.settings.habit;
    let usual = MarkUnit::usual(habit);
    let step_m = a.patch.as_ref().and_then(|p| p.step_m);
    // Without steps, the finer unit is nearer to what was worked out.
    MarkUnit::holding(habit, step_m.unwrap_or(usual.step_m() / 2.0))
}

/// What the patch plan does, spot by spot and mark by mark; `lead` is the plan in a sentence.
pub fn patch_work(a: &Analysis, lead: String) -> Option<PatchWork> {
    let p = a.patch.as_ref()?;
    // Numbered as on the plan: patches first, spots to grind after them.
    let row = |before: usize, (i, s): (usize, &crate::patch::PatchSpot)| SpotRow {
        number: before + i + 1,
        at: s.deepest_at,
        area_m2: s.area_m2,
        most_m: s.deepest_m,
        volume_m3: s.volume_m3,
        bags: s.bags,
    };
    let grinds = p.grinds.iter().enumerate();
    Some(PatchWork {
        lead,
        grind: grinds.map(|s| row(p.patches.len(), s)).collect(),
        patch: p.patches.iter().enumerate().map(|s| row(0, s)).collect(),
        marks: a.patch_marks(),
        unit: patch_unit(a),
        step_m: p.step_m,
    })
}
