//! Take-off, heights and pour as labels and values, in the reader's units.

use crate::analysis::{Analysis, LevelSpot};
use crate::fill::{CostLine, Dam, GALLON_M3, HeightAt};
use crate::report::crew::{BatchRow, PourSheet, SpotRow};
use crate::report::marks::Orientation;
use crate::report::sections::FloorFacts;
use crate::report::words::take_off as w;
use crate::report::{Align, Column, Pen, Table, words};
use crate::survey::Room;
use crate::units::{FOOT_M, Habit};

/// The floor's own figures.
pub fn floor(a: &Analysis) -> FloorFacts {
    let areas = a.floor.areas();
    FloorFacts {
        area_m2: areas.region_m2,
        surveyed_m2: areas.surveyed_m2,
        extended_m2: areas.extended_m2,
        unsurveyed_m2: areas.unsurveyed_m2,
        spacing_m: a.floor.spacing(),
        high: (reading_name(a, a.levels.high.reading), a.levels.high.at),
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

fn owned(list: Vec<(&str, String)>) -> Vec<(String, String)> {
    list.into_iter().map(|(k, v)| (k.to_owned(), v)).collect()
}

/// How much of the room quantities are of: `on 210 of 400 sq ft`; empty where it is all of it.
pub fn filled_on(a: &Analysis) -> String {
    floor(a).counted_on(Pen::new(a.settings.habit))
}

/// What to order: labels and values.
pub fn take_off(a: &Analysis) -> Vec<(String, String)> {
    let pen = Pen::new(a.settings.habit);
    let on = filled_on(a);
    let counted = (a.filling.is_some() && !on.is_empty()).then_some((w::COUNTED, on));
    let mut list: Vec<(&str, String)> = counted.into_iter().collect();
    let Some(t) = a.filling.as_ref().and_then(|f| f.take_off.as_ref()) else {
        return owned(list);
    };
    list.extend([
        (w::MATERIAL, t.material.clone()),
        (w::WASTE, pen.percent(t.waste)),
        (w::ORDERED, pen.volume(t.ordered_m3)),
    ]);
    if let Some(b) = &t.bags {
        list.push((w::YIELD, pen.volume(b.yield_m3)));
        list.push((w::BAGS, w::bags(b.count, &pen.number(b.exact, 2))));
        list.push((
            w::LEFT,
            w::left(
                &pen.volume(b.left_with_waste_m3),
                &pen.volume(b.left_without_waste_m3),
            ),
        ));
        for s in &b.sensitivity {
            list.push((w::IF, w::sensitivity(&s.what, s.bags)));
        }
    }
    if let Some(b) = &t.batches {
        list.push((
            w::BATCHES,
            w::batches(b.count, b.bags_per_batch, b.last_bags),
        ));
    }
    if let Some(x) = &t.water {
        list.push((
            w::WATER,
            w::water(
                &pen.water(x.total_m3),
                &pen.water(x.per_batch_m3),
                (x.last_batch_m3 != x.per_batch_m3)
                    .then(|| pen.water(x.last_batch_m3))
                    .as_deref(),
            ),
        ));
    }
    if let Some(p) = &t.primer {
        list.push((
            w::PRIMER,
            w::primer(
                &pen.to_bring(p.neat_m3),
                (p.spread_m3 > p.neat_m3 * (1.0 + 1e-9))
                    .then(|| pen.to_bring(p.spread_m3))
                    .as_deref(),
                &pen.area(p.area_m2),
                p.coats,
                p.drying_min.map(|m| pen.minutes(m)).as_deref(),
            ),
        ));
    }
    list.push((w::FOAM, pen.plan(t.perimeter.foam_m)));
    for d in &t.dams {
        list.push((
            w::DAM,
            w::dam(&d.name, &pen.plan(d.length_m), &pen.depth(d.highest_m)),
        ));
    }
    if let Some(l) = &t.lifts
        && l.count > 1
    {
        list.push((
            w::LIFTS,
            w::lifts(
                l.count,
                &pen.depth(l.limit_m),
                &pen.area(l.area_over_m2),
                l.wait_min.map(|m| pen.minutes(m)).as_deref(),
            ),
        ));
    }
    if let Some(x) = &t.weight {
        list.push((
            w::WEIGHT,
            w::weight(
                &pen.mass(x.total_kg),
                &pen.load(x.mean_kg_m2),
                &pen.load(x.worst_kg_m2),
            ),
        ));
    }
    if let Some(c) = &t.costs {
        let money = |v: f64| {
            format!("{} {}", pen.number(v, 2), c.currency)
                .trim_end()
                .to_owned()
        };
        for l in &c.lines {
            let (quantity, unit, size) = in_habit(pen, l);
            list.push((
                w::COST,
                w::cost(
                    &l.item,
                    format!("{quantity} {unit}").trim_end(),
                    &pen.number(l.unit_price * size, 2),
                    &money(l.amount),
                ),
            ));
        }
        list.push((w::COST_TOTAL, money(c.total)));
    }
    owned(list)
}

/// Quantity and unit of a cost line as the reader buys it, and how much of the line's own unit that unit is.
fn in_habit(pen: Pen, line: &CostLine) -> (String, &'static str, f64) {
    let (unit, size) = match (line.unit.as_str(), pen.habit) {
        ("l", Habit::Us) => ("gal", GALLON_M3 * 1000.0),
        ("m", Habit::Us) => ("ft", FOOT_M),
        ("l", Habit::Metric) => ("L", 1.0),
        ("m", Habit::Metric) => ("m", 1.0),
        ("m2", Habit::Us) => ("sq ft", FOOT_M * FOOT_M),
        ("m2", Habit::Metric) => ("m\u{b2}", 1.0),
        ("m3", Habit::Us) => ("cu ft", FOOT_M * FOOT_M * FOOT_M),
        ("m3", Habit::Metric) => ("L", 0.001),
        // Bags: the item's own name says it.
        _ => return (pen.number(line.quantity, 0), "", 1.0),
    };
    (pen.number(line.quantity / size, 1), unit, size)
}

/// Areas that keep their slope: what is left out, and the dam's height along its line.
pub fn slopes(a: &Analysis) -> Vec<(String, String)> {
    let pen = Pen::new(a.settings.habit);
    a.filling
        .iter()
        .flat_map(|f| &f.slopes)
        .map(|s| {
            let dam = s
                .dam
                .as_ref()
                .map(|d| (pen.plan(d.length_m), along(pen, d)));
            let text = w::slope(
                &s.name,
                &pen.area(s.area_m2),
                dam.as_ref().map(|(l, h)| (l.as_str(), h.as_str())),
            );
            (w::SLOPE.to_owned(), text)
        })
        .collect()
}

/// A dam's height at its places, in words.
fn along(pen: Pen, dam: &Dam) -> String {
    let mut list: Vec<String> = dam
        .stations
        .iter()
        .take(MOST_STATIONS)
        .map(|s| w::along(&pen.depth(s.depth_m), &pen.near(s.along_m)))
        .collect();
    if dam.stations.len() > MOST_STATIONS {
        list.push(crate::report::words::and_more(
            dam.stations.len() - MOST_STATIONS,
        ));
    }
    list.join(", ")
}

/// Most heights of one dam that are told in a line.
const MOST_STATIONS: usize = 24;

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
        caption: words::crew::HEIGHTS.to_owned(),
        columns,
        rows: rows
            .iter()
            .map(|h| {
                vec![
                    h.name.clone(),
                    h.rise_m
                        .map_or_else(|| w::NOT_KNOWN.to_owned(), |m| pen.rise(m)),
                    h.step_m
                        .map_or_else(|| w::NOT_KNOWN.to_owned(), |m| pen.rise(m)),
                    h.remarks.join("; "),
                ]
            })
            .collect(),
        ..Table::default()
    })
}

/// The pour sheet's figures.
pub fn pour(a: &Analysis, orientation: &Orientation) -> Option<PourSheet> {
    let pen = Pen::new(a.settings.habit);
    let p = a.pour.as_ref()?;
    // Where the first bag goes; in a divided floor that is not the plan's own start.
    let start = p.batches.first().map_or(p.start, |b| b.label_at);
    let mut facts: Vec<(&str, String)> = vec![
        (w::START, orientation.place(pen, start)),
        (w::EXIT, orientation.place(pen, p.exit)),
        (w::ORDER, p.reason.clone()),
        (
            w::CLOCK,
            w::clock(
                &pen.minutes(p.clock.minutes),
                &pen.minutes(p.clock.overlapped_min),
                &pen.minutes(p.clock.one_after_other_min),
            ),
        ),
        (
            w::WAIT,
            w::wait(
                &pen.minutes(p.longest_wait_min),
                p.clock.open_min.map(|m| pen.minutes(m)).as_deref(),
            ),
        ),
    ];
    for s in &p.scores {
        let score = w::score(&pen.minutes(s.longest_wait_min), &pen.near(s.tie_in_m));
        // The scores are those of the floor in one piece; the plan may have had to divide it.
        let score = if p.bays.is_empty() {
            score
        } else {
            w::undivided(&score, p.bays.len())
        };
        facts.push((w::order(s.order), score));
    }
    let slopes = slopes(a);
    facts.extend(slopes.into_iter().map(|(_, text)| (w::SLOPE, text)));
    if let Some(bags) = bags_ordered(a)
        && bags != p.bags
    {
        facts.push((w::BAGS, w::whole_batches(p.bags, bags)));
    }
    let mut warnings: Vec<String> = Vec::new();
    if p.clock
        .open_min
        .is_some_and(|open| p.longest_wait_min > open)
    {
        if p.remedies.is_empty() {
            warnings.push(w::NOTHING_MENDS.to_owned());
        } else {
            warnings.push(w::TOO_LONG.to_owned());
            warnings.extend(p.remedies.iter().map(|r| r.text.clone()));
        }
    }
    Some(PourSheet {
        lead: w::pour_lead(
            p.bags,
            p.batches.len(),
            &pen.volume(p.volume_m3),
            &pen.minutes(p.clock.minutes),
        ),
        facts: facts.into_iter().map(|(k, v)| (k.to_owned(), v)).collect(),
        walls: orientation.walls(),
        batches: p
            .batches
            .iter()
            .map(|b| BatchRow {
                number: b.number as usize,
                bay: (!p.bays.is_empty()).then_some(b.bay as usize),
                place: orientation.pair(pen, b.label_at),
                area_m2: b.area_m2,
                volume_m3: b.volume_m3,
                mean_depth_m: b.mean_depth_m,
                bags: Some(f64::from(b.bags)),
                water_m3: b.water_m3,
                tie_in_m: b.tie_in_m,
                clock_min: Some([b.mix_from_min, b.place_from_min, b.place_to_min]),
                wait_min: b
                    .ties
                    .iter()
                    .map(|t| t.wait_min)
                    .fold(None, |m: Option<f64>, v| Some(m.map_or(v, |x| x.max(v)))),
            })
            .collect(),
        staging: p
            .staging
            .iter()
            .map(|s| words::staging::line(pen, s))
            .collect(),
        checklist: checklist(a),
        warnings,
        heights: heights(a),
    })
}

/// What to go through before the pour.
pub fn checklist(a: &Analysis) -> Vec<String> {
    a.settings
        .material
        .as_ref()
        .map_or_else(Vec::new, words::staging::checklist)
}

/// Spots to grind and to patch.
pub fn spots(a: &Analysis) -> Option<(Vec<SpotRow>, Vec<SpotRow>)> {
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
    Some((
        p.grinds
            .iter()
            .enumerate()
            .map(|s| row(p.patches.len(), s))
            .collect(),
        p.patches.iter().enumerate().map(|s| row(0, s)).collect(),
    ))
}

/// Bags of the take-off.
fn bags_ordered(a: &Analysis) -> Option<u32> {
    let take_off = a.filling.as_ref()?.take_off.as_ref()?;
    take_off.bags.as_ref().map(|b| b.count)
}
