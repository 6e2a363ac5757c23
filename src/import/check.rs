//! Checks on a room as a whole, and the survey that comes of it.

use super::doubles::take_doubles;
use super::error::{Fault, Faults, quoted};
use super::moved::{may_say_moved, may_say_moved_above, may_say_moved_between};
use super::options::{ImportOptions, Meaning};
use super::outline::{Bounds, HEIGHT, PLAN};
use super::room::{MOVED, RawRoom, moved_notice};
use super::understood::{SkippedCell, UnderstoodRoom};
use super::{taken_back, tenfold, titles};
use crate::geometry::{Point, bounds};
use crate::survey::findings::{MOST_SEARCHED, OFF_THE_GRID, findings_on};
use crate::survey::setups::{
    LARGEST_SPREAD_M, SAME_NAME_M, SAME_SPOT_M, apply, find_tie, misfit_points,
};
use crate::survey::{
    Laid, Notice, Reading, SetUpError, Severity, Survey, coarsest_step, column_letters,
};
use crate::units::{Length, LengthFormat, LengthUnit};
use ecow::eco_format;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Heights of one floor that differ by more than this are in the wrong unit or from two floors: 20 ft.
const LARGEST_SPREAD: Length = Length::from_ft(20.0);
/// Up to this many readings a list without point names gets grid names.
const MOST_NAMED: usize = 200_000;

/// Tells words that the instrument was moved beside readings that were all taken for one set-up's: in notes and in what was passed over.
fn tell_moved(room: &RawRoom) -> Option<Notice> {
    let told = room.notices.iter().any(|n| n.code == MOVED);
    if told || room.readings.iter().any(|r| r.set_up > 0) {
        return None;
    }
    // The first reading of a levelling book is its backsight.
    let noted = room.readings.iter().enumerate().filter_map(|(i, r)| {
        let said = |n: &&str| match i {
            0 => may_say_moved(n),
            _ => may_say_moved_between(n),
        };
        let note = r.note.as_deref().filter(said)?;
        Some((note.to_owned(), r.raw.place.to_string()))
    });
    let remarked = room.remarks.iter();
    let remarked = remarked.filter(|(_, text)| may_say_moved_between(text));
    let remarked = remarked.map(|(place, text)| (text.clone(), place.to_string()));
    let first = room.readings.first().map_or(0, |r| r.raw.place.row);
    let skipped = &room.about.skipped;
    let passed = (skipped.iter().enumerate())
        .filter(|(i, s)| match s.place.row < first {
            // There a set-up's name tells from which one they were taken; its number may stand in the next cell.
            true => may_say_moved_above(&with_number(s, skipped.get(i + 1))),
            false => may_say_moved_between(&s.text),
        })
        .map(|(_, s)| (s.text.clone(), s.place.to_string()));
    let named = room.name.iter().filter(|_| !room.named_outside);
    let named = named
        .filter(|name| may_say_moved_above(name))
        .map(|name| (name.clone(), room.about.header.to_string()));
    let (text, place) = noted.chain(remarked).chain(passed).chain(named).next()?;
    Some(moved_notice(&text, place))
}

/// Words with the count in the cell right beside them: `Setup | 1`.
fn with_number(words: &SkippedCell, next: Option<&SkippedCell>) -> String {
    let counts = |c: &&SkippedCell| {
        let beside = c.place.row == words.place.row && c.place.column == words.place.column + 1;
        beside && c.text.len() <= 2 && c.text.bytes().all(|b| b.is_ascii_digit())
    };
    match next.filter(counts) {
        Some(count) => format!("{} {}", words.text, count.text),
        None => words.text.clone(),
    }
}

/// Names, checks, resolution; the survey and what was understood of it.
pub(super) fn finish(
    mut room: RawRoom,
    options: &ImportOptions,
    faults: &mut Faults,
) -> (Survey, UnderstoodRoom) {
    let format = format_of(&room);
    let doubled = names_twice(&room.readings);
    room.notices.extend(doubled);
    name_points(&mut room.readings);
    let before = faults.is_empty();
    if before {
        titles::hold(&mut room, faults);
        far_off(&room, faults);
    }
    if before && faults.is_empty() {
        thousands(&room, faults);
        tenfold::hold(&mut room, faults);
        spread(&room, format, faults);
        take_doubles(&mut room, format, faults);
        shape(&room, options, faults);
    }
    let lengths: Vec<f64> = room
        .readings
        .iter()
        .map(|r| match room.about.meaning {
            Meaning::Elevation => r.elevation.m(),
            Meaning::Down | Meaning::Up => (room.about.line - r.elevation).m(),
        })
        .collect();
    let resolution_m = Some(coarsest_step(&lengths, room.about.reading_unit));
    room.close();
    let moved = tell_moved(&room);
    room.notices.extend(moved);
    taken_back::tell(&mut room);
    let stands = obstacles(&room, options);
    room.notices.extend(stands);
    let wide = wide_apart(&room);
    room.notices.extend(wide);
    let off = off_the_grid(&room);
    room.notices.extend(off);
    let name = room.name.unwrap_or_default();
    room.about.name.clone_from(&name);
    if let Some(text) = room.laid.and_then(Laid::warning) {
        room.notices.push(Notice::new(
            "first-row-taken",
            Severity::Warning,
            room.about.header.to_string(),
            text,
        ));
    }
    if room.about.meaning == Meaning::Elevation {
        tell_zeros(&room.readings, &mut room.notices);
    }
    let mut survey = Survey {
        name,
        readings: room.readings,
        room: None,
        resolution_m,
        laid: room.laid,
        set_ups: Vec::new(),
        notices: room.notices,
    };
    if before && faults.is_empty() && room.about.set_ups.len() > 1 {
        tie_set_ups(&mut survey, &room.about, faults);
    }
    if faults.is_empty() && survey.readings.len() <= MOST_SEARCHED {
        let found = findings_on(
            options.region.as_ref(),
            &survey.readings,
            survey.evident_step_m(),
            room.about.reading_unit,
            &options.joints,
        );
        survey.notices.extend(found);
    }
    (survey, room.about)
}

/// Tells of words for what stands on the floor, `island`, at places that the plan has as floor: what is read round them counts across them.
fn obstacles(room: &RawRoom, options: &ImportOptions) -> Option<Notice> {
    const NAMED: usize = 3;
    let on_floor = |at: Point| {
        options
            .region
            .as_ref()
            .is_none_or(|floor| floor.contains(at))
    };
    let left: Vec<_> = room.obstacles.iter().filter(|o| on_floor(o.2)).collect();
    let (first, ..) = left.first()?;
    let mut named: Vec<String> = left
        .iter()
        .take(NAMED)
        .map(|(place, text, _)| format!("{} “{text}”", place.cell()))
        .collect();
    if left.len() > NAMED {
        named.push(format!("{} more", left.len() - NAMED));
    }
    Some(Notice::new(
        "obstacle-not-drawn",
        Severity::Warning,
        first.to_string(),
        format!(
            "What stands on the floor is named where nothing was read ({}), and no outline leaves it out: floor between the readings round it counts as read straight across it, in areas, volumes and gaps. Draw it as a void in the outline; write x where only a reading is missing.",
            named.join(", ")
        ),
    ))
}

/// Heights of nothing among others that all lie far off nothing: a cell that was never filled, more likely than floor.
fn tell_zeros(readings: &[Reading], notices: &mut Vec<Notice>) {
    /// They are few ...
    const FEW: usize = 5;
    /// ... and lie off the others by so many times what those lie apart, or 1/16 in where those are alike.
    const TIMES: f64 = 3.0;
    const ONE_STEP_M: f64 = 0.001_587_5;
    let (zeros, others): (Vec<&Reading>, Vec<&Reading>) =
        readings.iter().partition(|r| r.elevation.m() == 0.0);
    let heights = || others.iter().map(|r| r.elevation.m());
    let (low, high) = heights().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| {
        (l.min(z), h.max(z))
    });
    let off = if low > 0.0 { low } else { -high };
    if zeros.is_empty()
        || zeros.len() * FEW > readings.len()
        || off < TIMES * (high - low).max(ONE_STEP_M)
    {
        return;
    }
    notices.extend(zeros.iter().map(|r| {
        Notice::new(
            "zero-among-heights",
            Severity::Warning,
            r.raw.place.to_string(),
            format!(
                "{} is 0, and all other heights lie at least {} off it: a cell that was never filled? Clear it, or write x, if nothing was read there.",
                r.label,
                LengthFormat::Millimetres { decimals: 0 }.text(Length::from_m(off))
            ),
        )
    }));
}

/// Brings the set-ups that a column names to the line of the first.
fn tie_set_ups(survey: &mut Survey, about: &UnderstoodRoom, faults: &mut Faults) {
    let limit = LARGEST_SPREAD_M.max(2.0 * survey.evident_step_m().unwrap_or(0.0)) + 1e-9;
    match find_tie(&survey.readings, &about.set_ups, limit) {
        Ok(tie) => apply(survey, &tie, &about.set_ups),
        Err(SetUpError::NotShared { set_up, first }) => faults.add(
            Fault::SetUps,
            about.header.clone(),
            format!("set-up {set_up} sharing no point with {first}"),
            "at least one spot, better three, read from both",
            format!(
                "Read them again from both, within {} mm (1 in) of each other in plan.",
                SAME_SPOT_M * 1000.0
            ),
        ),
        Err(SetUpError::Misfit {
            misfits,
            spread_m,
            limit_m,
            rule,
        }) => faults.add(
            Fault::SetUps,
            about.header.clone(),
            format!(
                "set-ups that disagree by {} at shared points",
                rule.both(Length::from_m(spread_m))
            ),
            format!("at most {}", rule.both(Length::from_m(limit_m))),
            misfit_points(&misfits, rule),
        ),
        Err(error) => faults.add(
            Fault::SetUps,
            about.header.clone(),
            error.to_string().trim_start_matches("found "),
            "set-ups that agree at the spots they share",
            "",
        ),
    }
}

/// How heights are told in this room's messages: in its own unit.
fn format_of(room: &RawRoom) -> LengthFormat {
    match room.about.reading_unit {
        Some(LengthUnit::Foot) => LengthFormat::Feet { decimals: 3 },
        Some(unit) if !unit.is_us() => LengthFormat::Millimetres { decimals: 1 },
        _ => LengthFormat::Inches { denominator: 32 },
    }
}

/// Points of one set-up that carry one name and stand apart.
fn names_twice(readings: &[Reading]) -> Option<Notice> {
    let mut seen: HashMap<(&str, usize), &Reading> = HashMap::with_capacity(readings.len());
    let mut doubled: Vec<(&Reading, &Reading)> = Vec::new();
    for reading in readings.iter().filter(|r| !r.label.is_empty()) {
        let first = *seen
            .entry((reading.label.as_str(), reading.set_up))
            .or_insert(reading);
        if first.at.distance(reading.at) > SAME_NAME_M {
            doubled.push((first, reading));
        }
    }
    let (first, again) = doubled.first()?;
    let more = match doubled.len() {
        1 => String::new(),
        n => format!(" {} more names stand so.", n - 1),
    };
    Some(Notice::new(
        "name-twice",
        Severity::Warning,
        again.raw.place.to_string(),
        format!(
            "The name {} stands at two places, here and at {}: both readings count, each at its own place. Give each point a name of its own.{more}",
            first.label,
            first.raw.place.cell()
        ),
    ))
}

/// A lone reading that stands on no column or no row of a grid that all others make, where its place on that grid is the only
/// one empty: a slip in its distance, more likely than a reading taken there.
fn off_the_grid(room: &RawRoom) -> Option<Notice> {
    /// Readings on a line that make it a row or a column.
    const LINE: usize = 3;
    /// Fewer readings show no grid.
    const FEWEST: usize = 12;
    if room.laid.is_some() || room.readings.len() < FEWEST || room.readings.len() > MOST_SEARCHED {
        return None;
    }
    let key = |m: f64| (m * 1000.0).round() as i64;
    let mut columns: BTreeMap<i64, BTreeSet<i64>> = BTreeMap::new();
    let mut rows: BTreeMap<i64, BTreeSet<i64>> = BTreeMap::new();
    for r in &room.readings {
        let (x, y) = (key(r.at.x), key(r.at.y));
        columns.entry(x).or_default().insert(y);
        rows.entry(y).or_default().insert(x);
    }
    let line = |of: &BTreeMap<i64, BTreeSet<i64>>, at: i64| {
        of.get(&at).is_some_and(|others| others.len() >= LINE)
    };
    let mut off = room
        .readings
        .iter()
        .filter(|r| !line(&columns, key(r.at.x)) || !line(&rows, key(r.at.y)));
    let (lone, None) = (off.next()?, off.next()) else {
        return None;
    };
    let (x, y) = (key(lone.at.x), key(lone.at.y));
    // On its row it is the one column's reading that the row lacks, or the other way about.
    let lacks = |all: &BTreeMap<i64, BTreeSet<i64>>, own: &BTreeSet<i64>| {
        let mut empty = all
            .iter()
            .filter(|(at, others)| others.len() >= LINE && !own.contains(at))
            .map(|(&at, _)| at);
        empty.next().filter(|_| empty.next().is_none())
    };
    let (axis, found, empty) = match (line(&columns, x), line(&rows, y)) {
        (false, true) => ("x", lone.at.x, lacks(&columns, rows.get(&y)?)?),
        (true, false) => ("y", lone.at.y, lacks(&rows, columns.get(&x)?)?),
        _ => return None,
    };
    Some(Notice::new(
        OFF_THE_GRID,
        Severity::Warning,
        lone.raw.place.to_string(),
        format!(
            "{} stands at {axis} = {}, off the grid that all others make, and the place at {axis} = {} beside it has no reading: is that where it was read? Look at the sheet; nothing was changed.",
            lone.label,
            plan_text(room, found),
            plan_text(room, empty as f64 / 1000.0)
        ),
    ))
}

/// Names for points without one: grid names where the points lie on a grid, else P1, P2, ...
fn name_points(readings: &mut [Reading]) {
    if readings.iter().all(|r| !r.label.is_empty()) {
        return;
    }
    let grid = (readings.len() <= MOST_NAMED)
        .then(|| grid_lines(readings))
        .flatten();
    for (i, reading) in readings.iter_mut().enumerate() {
        if !reading.label.is_empty() {
            continue;
        }
        reading.label = match &grid {
            Some((xs, ys)) => {
                let rank = |list: &[f64], v: f64| {
                    list.partition_point(|&w| w.total_cmp(&v).is_lt()) as u32 + 1
                };
                eco_format!(
                    "{}{}",
                    column_letters(rank(xs, reading.at.x)),
                    rank(ys, reading.at.y)
                )
            }
            None => eco_format!("P{}", i + 1),
        };
        reading.raw.name_made = true;
    }
}

/// The different x and y, sorted, when at least a third of the places they make were read.
fn grid_lines(readings: &[Reading]) -> Option<(Vec<f64>, Vec<f64>)> {
    let lines = |of: fn(&Reading) -> f64| {
        let mut list: Vec<f64> = readings.iter().map(of).collect();
        list.sort_by(f64::total_cmp);
        list.dedup();
        list
    };
    let (xs, ys) = (lines(|r| r.at.x), lines(|r| r.at.y));
    (xs.len().saturating_mul(ys.len()) <= readings.len().saturating_mul(3)).then_some((xs, ys))
}

/// Places and heights that no plan has.
fn far_off(room: &RawRoom, faults: &mut Faults) {
    for r in &room.readings {
        let mut refuse = |bounds: &Bounds, found: String| {
            let place = r.raw.place.clone();
            faults.add(
                Fault::OutOfRange,
                place,
                found,
                bounds.expected,
                "Is the unit right?",
            );
        };
        if !(PLAN.holds(r.at.x) && PLAN.holds(r.at.y)) {
            refuse(&PLAN, format!("{} too far off", r.label));
        }
        if !HEIGHT.holds(r.elevation.m()) {
            refuse(&HEIGHT, quoted(&r.raw.text));
        }
    }
}

/// Heights in millimetres such as 1.236 beside others such as 1234, or all of that kind and within a hair of one another:
/// their points are thousands marks, more likely than thousandths of a millimetre that somebody read.
fn thousands(room: &RawRoom, faults: &mut Faults) {
    /// Heights that differ by less were never told apart on a floor, metres.
    const HAIR_M: f64 = 2e-4;
    let millimetres = room.about.reading_unit == Some(LengthUnit::Millimetre);
    if room.about.meaning != Meaning::Elevation || !millimetres {
        return;
    }
    let marked = |r: &&Reading| {
        let text = r.raw.text.trim().trim_start_matches(['-', '+', '\u{2212}']);
        text.split_once('.').is_some_and(|(head, tail)| {
            let digits = |t: &str| t.chars().all(|c| c.is_ascii_digit());
            (1..=3).contains(&head.len())
                && digits(head)
                && !head.starts_with('0')
                && tail.len() == 3
                && digits(tail)
        })
    };
    let Some(first) = room.readings.iter().find(marked) else {
        return;
    };
    let plain = |r: &Reading| {
        let digits = r.raw.text.chars().filter(char::is_ascii_digit).count();
        digits >= 3 && !r.raw.text.contains(['.', ','])
    };
    let heights = || room.readings.iter().map(|r| r.elevation.m());
    let (low, high) = heights().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| {
        (l.min(z), h.max(z))
    });
    let all = room.readings.iter().filter(|r| !marked(r)).count() == 0;
    if room.readings.iter().any(plain) || (all && high - low < HAIR_M) {
        faults.add(
            Fault::OutOfRange,
            first.raw.place.clone(),
            format!("{} as a height in millimetres", quoted(&first.raw.text)),
            "heights of one kind, in whole millimetres or with their decimals",
            "If the point is a thousands mark, take it out; if it is a decimal point, write every height with as many decimals, or state another unit.",
        );
    }
}

/// Readings farther apart than this are asked about: half of them, metres.
const WIDE_M: f64 = 30.0;

/// Places in another unit than the heading says, more likely than a floor read so widely.
fn wide_apart(room: &RawRoom) -> Option<Notice> {
    let n = room.readings.len();
    if !(3..=MOST_SEARCHED).contains(&n) {
        return None;
    }
    let (low, high) = bounds(room.readings.iter().map(|r| r.at))?;
    // The side of as many squares as there are readings.
    let apart = ((high.x - low.x) * (high.y - low.y) / n as f64).sqrt();
    (apart > WIDE_M).then(|| {
        Notice::new(
            "readings-wide-apart",
            Severity::Warning,
            room.about.header.to_string(),
            format!(
                "Readings stand about {} apart. Is the unit of the plan distances right, and no mark lost in one of them?",
                plan_text(room, apart)
            ),
        )
    })
}

fn spread(room: &RawRoom, format: LengthFormat, faults: &mut Faults) {
    let key = |r: &&Reading| r.elevation.m();
    let low = room
        .readings
        .iter()
        .min_by(|a, b| key(a).total_cmp(&key(b)));
    let high = room
        .readings
        .iter()
        .max_by(|a, b| key(a).total_cmp(&key(b)));
    if let (Some(low), Some(high)) = (low, high) {
        let between = high.elevation - low.elevation;
        if between > LARGEST_SPREAD {
            faults.add(
                Fault::OutOfRange,
                high.raw.place.clone(),
                format!(
                    "heights {} apart, here and at {}",
                    format.text(between),
                    low.raw.place
                ),
                "one floor, within 20 ft (6.1 m) from high to low",
                "Is the unit right, and is this one room?",
            );
        }
    }
}

/// At least three readings, not all in one line.
fn shape(room: &RawRoom, options: &ImportOptions, faults: &mut Faults) {
    let place = room.about.header.clone();
    let count = room.readings.len();
    if count == 0 {
        faults.add(
            Fault::TooFew,
            place,
            "no readings",
            "at least three",
            "See what was understood with the read command.",
        );
    } else if options.accept_line {
    } else if count < 3 {
        faults.add(
            Fault::TooFew,
            place,
            format!("{count} reading{}", if count == 1 { "" } else { "s" }),
            "at least three, not in one line",
            "",
        );
    } else if let Some((long, short)) = out_of_shape(room).filter(|_| options.region.is_none()) {
        faults.add(
            Fault::OutOfRange,
            place,
            format!("readings over {} one way and {} the other", plan_text(room, long), plan_text(room, short)),
            "a floor less than 100 times as long as it is wide",
            "Is the unit right, and no mark lost in one of the two distances? If the floor is so narrow, give its outline with it.",
        );
    } else if let Some((wide, close)) = out_of_step(room).filter(|_| options.region.is_none()) {
        faults.add(
            Fault::OutOfRange,
            place,
            format!("rows of readings {} apart one way and {} the other", plan_text(room, wide), plan_text(room, close)),
            "rows less than 50 times as far apart one way as the other",
            "Is one of the two distances in another unit than the other? If the rows stand so, give the outline of the room with them.",
        );
    } else if one_line(room.readings.iter().map(|r| r.at)) {
        faults.add(
            Fault::OneLine,
            place,
            format!("{count} readings, all in one line"),
            "readings across the floor",
            "Read a second line beside it; a single line has no area.",
        );
    }
}

/// A floor this many times as long as it is wide is asked about.
const MOST_LONG: f64 = 100.0;

/// The longer and the shorter of the two extents, metres, where they differ too much to be meant.
fn out_of_shape(room: &RawRoom) -> Option<(f64, f64)> {
    let (lo, hi) = bounds(room.readings.iter().map(|r| r.at))?;
    let size = hi - lo;
    let (long, short) = (size.x.max(size.y), size.x.min(size.y));
    (long > MOST_LONG * short && short > 1e-6 * long).then_some((long, short))
}

/// Rows of a grid this many times as far apart one way as the other are asked about: metres and centimetres are 100 to 1. Our own choice, no published source.
const MOST_STEP: f64 = 50.0;

/// How far apart the rows of a grid stand one way and the other, metres, where they differ too much to be meant; `None` of readings on no grid.
fn out_of_step(room: &RawRoom) -> Option<(f64, f64)> {
    let steps = |along: &dyn Fn(Point) -> f64| -> Option<(usize, f64)> {
        let mut places: Vec<f64> = room.readings.iter().map(|r| along(r.at)).collect();
        places.sort_by(f64::total_cmp);
        places.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let (first, last) = (places.first()?, places.last()?);
        (places.len() > 2).then(|| (places.len(), (last - first) / (places.len() - 1) as f64))
    };
    let ((columns, x), (rows, y)) = (steps(&|p| p.x)?, steps(&|p| p.y)?);
    // Every other place of a grid may be missing; of readings that stand anywhere nearly all are.
    let on_grid = columns * rows <= 2 * room.readings.len();
    let (wide, close) = (x.max(y), x.min(y));
    (on_grid && wide > MOST_STEP * close).then_some((wide, close))
}

/// A plan distance in the room's own habit.
fn plan_text(room: &RawRoom, m: f64) -> String {
    match room.about.plan_unit {
        Some(unit) if !unit.is_us() => LengthFormat::Metres { decimals: 2 },
        _ => LengthFormat::Feet { decimals: 2 },
    }
    .text(Length::from_m(m))
}

/// Whether all points lie within a millionth of their extent of one line.
fn one_line(points: impl Iterator<Item = Point> + Clone) -> bool {
    let Some(first) = points.clone().next() else {
        return true;
    };
    let far = points
        .clone()
        .max_by(|a, b| a.distance(first).total_cmp(&b.distance(first)))
        .unwrap_or(first);
    let along = far - first;
    let length = along.norm();
    points
        .map(|p| along.cross(p - first).abs())
        .all(|twice_area| twice_area <= 1e-6 * length * length)
}
