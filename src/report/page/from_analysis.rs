//! From an analysis to what the page shows.

use super::input::{Extreme, Fact, Mark, PageInput};
use crate::analysis::{Analysis, Filling, LevelSpot};
use crate::flatness::CheckResult;
use crate::report::Pen;
use crate::report::compose::facts;
use crate::report::compose::facts::filled_on as counted_on;
use crate::report::orientation::Orientation;
use crate::report::words::answer::one_of;
use crate::report::words::page as words;
use crate::units::{FOOT_M, Habit};

/// Program, version and the run's number.
fn program(run: &str) -> String {
    use crate::report::words::{PROGRAM, run_after};
    format!("{PROGRAM}{}", run_after(run))
}

/// Lengths of edge offered when the job names none: the usual ones.
const USUAL_US_M: [f64; 3] = [2.0 * FOOT_M, 6.0 * FOOT_M, 10.0 * FOOT_M];
const USUAL_METRIC_M: [f64; 3] = [1.0, 2.0, 4.0];

impl<'a> PageInput<'a> {
    /// What the page shows of an analysis.
    ///
    /// # Edge cases
    /// Without a fill the map shows depths below the high point; without checks none are listed. Readings that
    /// do not stand on the floor (outside the walls, in a void, on a slope that is kept) are left out.
    pub fn from_analysis(analysis: &'a Analysis) -> Self {
        let settings = &analysis.settings;
        let (about, pen) = (&settings.about, Pen::new(settings.habit));
        let marks = analysis.readings_on_floor().into_iter();
        let marks = marks
            .map(|r| Mark {
                label: r.label.to_string(),
                at: r.at,
                elevation_m: r.elevation.m(),
                reading: r.raw.text.to_string(),
                note: r.note.as_deref().unwrap_or_default().to_owned(),
            })
            .collect();
        let checks: &[CheckResult] = analysis
            .flatness
            .as_ref()
            .map_or(&[], |f| f.checks.as_slice());
        let mut facts = vec![area(pen, analysis)];
        let reading = facts::reading(analysis);
        facts.extend(
            reading
                .into_iter()
                .map(|f| Fact::new(&f.label, f.value, "")),
        );
        if let Some(filling) = &analysis.filling {
            fill_facts(pen, filling, &counted_on(analysis), &mut facts);
        }
        let mut closing = vec![program(&settings.run)];
        closing.extend(
            settings
                .inputs
                .iter()
                .map(|f| words::input_line(&f.name, &f.sha256)),
        );
        Self {
            title: if about.title.is_empty() {
                analysis.survey.name.clone()
            } else {
                about.title.clone()
            },
            head: vec![
                about.place.clone(),
                joined(&[&about.when, &about.who]),
                joined(&[&about.instrument, &about.instrument_check]),
                about.bench_mark.clone(),
                words::revision(&about.revision),
            ],
            habit: settings.habit,
            floor: &analysis.floor,
            room: analysis.room(),
            orientation: Orientation::of(&analysis.survey),
            laid: analysis.survey.laid,
            unit: facts::mark_unit(analysis, analysis.filling.as_ref().map(|f| &f.fill)),
            plane: analysis.filling.as_ref().map(|f| f.fill.plane),
            high: extreme(analysis, &analysis.levels.high),
            low: extreme(analysis, &analysis.levels.low),
            marks,
            spans_m: match (settings.spans_m.is_empty(), settings.habit) {
                (false, _) => settings.spans_m.clone(),
                (true, Habit::Us) => USUAL_US_M.to_vec(),
                (true, Habit::Metric) => USUAL_METRIC_M.to_vec(),
            },
            checks,
            facts,
            notices: &analysis.notices,
            about: closing,
        }
    }
}

/// Those words that were told, with a comma between.
fn joined(words: &[&String]) -> String {
    words
        .iter()
        .filter(|w| !w.is_empty())
        .map(|w| w.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}

fn extreme(analysis: &Analysis, spot: &LevelSpot) -> Extreme {
    let reading = analysis
        .survey
        .readings
        .get(spot.reading)
        .map_or("", |r| r.raw.text.as_str());
    let mut told = joined(&[&spot.label, &reading.to_owned()]);
    told.push_str(&one_of(spot.of_mean));
    if !spot.ties.is_empty() {
        told = words::ties(&told, &shortened(&facts::ties(analysis, spot)));
    }
    Extreme {
        at: spot.at,
        elevation_m: spot.elevation_m,
        words: told,
    }
}

/// The first few of a list, and how many more there are.
fn shortened(labels: &[String]) -> String {
    const MOST: usize = 6;
    let mut text = labels
        .iter()
        .take(MOST)
        .cloned()
        .collect::<Vec<_>>()
        .join(", ");
    if labels.len() > MOST {
        text.push(' ');
        text.push_str(&crate::report::words::and_more(labels.len() - MOST));
    }
    text
}

fn area(pen: Pen, analysis: &Analysis) -> Fact {
    let areas = analysis.floor.areas();
    let bare = (areas.unsurveyed_m2 > 0.0).then(|| pen.area(areas.unsurveyed_m2));
    Fact::new(
        words::READ_AREA,
        pen.area(areas.surveyed_m2),
        words::area_remark(&pen.area(areas.extended_m2), bare.as_deref()),
    )
}

fn fill_facts(pen: Pen, filling: &Filling, on: &str, facts: &mut Vec<Fact>) {
    let fill = &filling.fill;
    facts.push(Fact::new(
        words::GAUGE,
        pen.gauge(fill.gauge_depth_m),
        if fill.above_m3 > 0.0 {
            words::above(&pen.area(fill.above_area_m2))
        } else {
            String::new()
        },
    ));
    facts.push(Fact::new(
        words::MATERIAL,
        pen.volume(fill.volume_m3),
        [
            on.to_owned(),
            match &filling.take_off {
                Some(t) => words::with_waste(&pen.volume(t.ordered_m3), &pen.percent(t.waste)),
                None => String::new(),
            },
        ]
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect::<Vec<_>>()
        .join("; "),
    ));
    let bags = filling.take_off.as_ref().and_then(|t| t.bags.as_ref());
    match bags {
        Some(b) => facts.push(Fact::new(
            words::BAGS,
            b.count.to_string(),
            words::bag_yield(&pen.volume(b.yield_m3)),
        )),
        None => facts.push(Fact::new(
            words::BAGS,
            crate::report::words::NONE,
            words::NO_YIELD,
        )),
    }
    facts.push(Fact::new(
        words::DEPTH,
        pen.depth(fill.mean_depth_m),
        words::deepest(
            &pen.of_gauge(fill.deepest_m),
            crate::report::words::answer::known(fill.deepest_on),
        ),
    ));
    for height in &filling.heights {
        let Some(rise_m) = height.rise_m else {
            continue;
        };
        let mut remarks: Vec<String> = Vec::new();
        if let Some(gap_m) = height.door_gap_m {
            remarks.push(words::door_gap(&pen.rise(gap_m)));
        }
        remarks.extend(height.remarks.iter().cloned());
        facts.push(Fact::new(
            &height.name,
            words::rises(
                &pen.of_gauge(rise_m),
                height.covering_m.map(|m| pen.stated(m)).as_deref(),
            ),
            remarks.join("; "),
        ));
    }
}
