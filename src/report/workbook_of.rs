//! The filled workbook of an analysis.

use super::compose::{facts, order, stand_ins};
use super::crew::finish_text;
use super::orientation::Orientation;
use super::sections::judged_area;
use super::words::{crew as c, submittal as s, tabs as w};
use super::{Cell, Pen, Sheet, Workbook, words};
use crate::analysis::{Analysis, Mark, marks, numbered};
use crate::flatness::{Measured, chance_words};
use crate::units::{FOOT_M, Habit, INCH_M};

/// Readings, depths, placements, quantities, checks and notices as sheets of one workbook.
///
/// # Units, datum, sign
/// The unit of every figure stands in its heading; cells hold the unrounded number. Heights are over the
/// line of the first set-up, up positive; depths are from the floor up to the finish, negative where the
/// floor stands above it.
pub fn of(a: &Analysis) -> Workbook {
    let units = Units {
        habit: a.settings.habit,
    };
    let orientation = Orientation::of(&a.survey);
    let mut sheets = vec![readings(a, units)];
    if let Some(f) = &a.filling {
        let walk = marks(&a.survey, &a.floor, &f.fill.plane);
        sheets.push(depths(&walk, &orientation, units));
    }
    sheets.push(placements(a, &orientation, units));
    sheets.push(quantities(a, units));
    sheets.push(checks(a, units));
    sheets.push(notices(a));
    for sheet in &mut sheets {
        sheet.lines = vec![
            [
                &a.settings.about.title,
                &a.survey.name,
                &a.settings.about.when,
            ]
            .into_iter()
            .filter(|l| !l.is_empty())
            .map(String::as_str)
            .collect::<Vec<_>>()
            .join(", "),
            format!("{}{}", words::PROGRAM, words::run_after(&a.settings.run)),
        ];
        sheet.lines.extend(stand_ins(a));
    }
    Workbook {
        title: a.settings.about.title.clone(),
        sheets,
    }
}

/// Numbers of cells in the habit's units.
#[derive(Clone, Copy)]
struct Units {
    habit: Habit,
}

impl Units {
    const fn pen(self) -> Pen {
        Pen::new(self.habit)
    }

    /// A plan distance, decimal feet or metres.
    fn plan(self, m: f64) -> Cell {
        match self.habit {
            Habit::Us => Cell::number(m / FOOT_M, 2),
            Habit::Metric => Cell::number(m, 3),
        }
    }

    const fn plan_unit(self) -> &'static str {
        match self.habit {
            Habit::Us => "ft",
            Habit::Metric => "m",
        }
    }

    /// A height or depth: inches shown as sixteenths, or millimetres.
    fn depth(self, m: f64) -> Cell {
        match self.habit {
            Habit::Us => Cell::Fraction {
                inches: m / INCH_M,
                denominator: 16,
            },
            Habit::Metric => Cell::number(m * 1000.0, 0),
        }
    }

    /// A gap: decimal, since a sixteenth can hide on which side of a limit it lies.
    fn gap(self, m: f64) -> Cell {
        match self.habit {
            Habit::Us => Cell::number(m / INCH_M, 3),
            Habit::Metric => Cell::number(m * 1000.0, 1),
        }
    }

    fn with_depth(self, title: &str) -> (String, f64) {
        (words::with_unit(title, self.pen().depth_unit()), 14.0)
    }

    fn with_plan(self, title: &str) -> (String, f64) {
        (words::with_unit(title, self.plan_unit()), 12.0)
    }

    fn with_gap(self, title: &str) -> (String, f64) {
        (words::with_unit(title, self.pen().gap_unit()), 12.0)
    }
}

fn words_column(title: &str, width: f64) -> (String, f64) {
    (title.to_owned(), width)
}

fn readings(a: &Analysis, u: Units) -> Sheet {
    Sheet {
        name: w::READINGS.to_owned(),
        columns: vec![
            words_column(s::POINT, 9.0),
            u.with_plan(w::X),
            u.with_plan(w::Y),
            words_column(s::AS_WRITTEN, 14.0),
            u.with_depth(w::ELEVATION),
            words_column(w::SET_UP, 8.0),
            words_column(s::CELL, 34.0),
            words_column(w::NOTE, 30.0),
        ],
        rows: a
            .survey
            .readings
            .iter()
            .map(|r| {
                vec![
                    Cell::text(r.label.as_str()),
                    u.plan(r.at.x),
                    u.plan(r.at.y),
                    Cell::text(r.raw.text.as_str()),
                    u.depth(r.elevation.m()),
                    // Where there are several, they go by the names that the sheet gave them.
                    a.survey
                        .set_up_of(r)
                        .map_or_else(|| Cell::number((r.set_up + 1) as f64, 0), Cell::text),
                    Cell::text(r.raw.place.to_string()),
                    r.note
                        .as_ref()
                        .map_or(Cell::Blank, |n| Cell::text(n.as_str())),
                ]
            })
            .collect(),
        frozen_columns: 1,
        ..Sheet::default()
    }
}

fn depths(walk: &[Mark], o: &Orientation, u: Units) -> Sheet {
    Sheet {
        name: w::DEPTHS.to_owned(),
        columns: vec![
            words_column(c::STOP, 7.0),
            words_column(c::MARK, 9.0),
            u.with_plan(&c::from_wall(&o.left)),
            u.with_plan(&c::from_wall(&o.bottom)),
            words_column(s::AS_WRITTEN, 14.0),
            u.with_depth(w::FILL_DEPTH),
        ],
        rows: walk
            .iter()
            .enumerate()
            .map(|(i, m)| {
                vec![
                    Cell::number((i + 1) as f64, 0),
                    Cell::text(m.label.as_str()),
                    u.plan(o.from_left(m.at)),
                    u.plan(o.from_bottom(m.at)),
                    Cell::text(m.reading.as_str()),
                    u.depth(m.depth_m),
                ]
            })
            .collect(),
        frozen_columns: 2,
        ..Sheet::default()
    }
}

fn placements(a: &Analysis, o: &Orientation, u: Units) -> Sheet {
    let pair = |title: &str| [&o.left, &o.bottom].map(|wall| u.with_plan(&w::end(title, wall)));
    let mut columns = vec![
        words_column(c::NUMBER, 6.0),
        words_column(c::CHECK, 34.0),
        u.with_plan(s::SPAN),
        u.with_gap(c::GAP),
        u.with_gap(c::LIMIT),
    ];
    for title in [c::FROM, c::TO, c::GAP_AT] {
        columns.extend(pair(title));
    }
    Sheet {
        name: w::PLACEMENTS.to_owned(),
        columns,
        rows: numbered(
            a.flatness.as_ref().map_or(&[], |f| &f.checks),
            a.survey.room.as_ref(),
        )
        .into_iter()
        .map(|n| {
            let p = n.placement;
            let mut row = vec![
                Cell::number(n.number as f64, 0),
                Cell::text(words::with_use(
                    &words::with_on(&n.check, &n.joints),
                    n.procedure,
                )),
                u.plan(n.span_m),
                u.gap(p.gap_m),
                u.gap(n.limit_m),
            ];
            for at in [p.from, p.to, p.at] {
                row.push(u.plan(o.from_left(at)));
                row.push(u.plan(o.from_bottom(at)));
            }
            row
        })
        .collect(),
        frozen_columns: 1,
        ..Sheet::default()
    }
}

fn quantities(a: &Analysis, u: Units) -> Sheet {
    let pen = u.pen();
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut text =
        |label: &str, value: String| rows.push(vec![Cell::text(label), Cell::text(value)]);
    if let Some(f) = &a.filling {
        let fill = &f.fill;
        text(s::GAUGE, pen.gauge_rise(fill.gauge_depth_m));
        if fill.gauge_from.is_some() {
            text(words::answer::FINISH, finish_text(pen, fill));
        }
        text(s::VOLUME, pen.some_volume(fill.volume_m3));
        text(s::WET_AREA, pen.area(fill.wet_area_m2));
        text(s::MEAN, pen.depth(fill.mean_depth_m));
        text(
            s::DEEPEST,
            format!(
                "{} ({})",
                pen.of_gauge(fill.deepest_m),
                crate::report::words::answer::known(fill.deepest_on)
            ),
        );
        text(s::DIAGONAL, pen.some_volume(fill.diagonal_spread_m3));
        text(s::EXTENDED_VOLUME, pen.some_volume(fill.extended_volume_m3));
        for b in &fill.bands {
            let band = super::sections::band_text(pen, b.from_m, b.to_m);
            text(
                &format!("{}: {band}", s::BAND),
                format!("{}, {}", pen.area(b.area_m2), pen.some_volume(b.volume_m3)),
            );
        }
        for f in order::order(a) {
            text(f.item.label(), f.value);
        }
        for missing in facts::missing(a) {
            text(w::MISSING, missing);
        }
    } else {
        text(s::FILL, s::NO_FILL.to_owned());
    }
    Sheet {
        name: w::QUANTITIES.to_owned(),
        columns: vec![words_column(s::ITEM, 44.0), words_column(s::QUANTITY, 60.0)],
        rows,
        frozen_columns: 1,
        ..Sheet::default()
    }
}

fn checks(a: &Analysis, u: Units) -> Sheet {
    let checks = a.flatness.iter().flat_map(|f| &f.checks);
    Sheet {
        name: w::CHECKS.to_owned(),
        columns: vec![
            words_column(s::CHECK, 34.0),
            words_column(s::PROCEDURE, 20.0),
            u.with_plan(s::SPAN),
            u.with_gap(s::FOUND),
            u.with_gap(s::BOUND),
            u.with_gap(s::DOUBT),
            u.with_gap(s::LIMIT),
            words_column(s::CHANCE, 18.0),
            (words::with_unit(s::READ_CLOSELY, "%"), 12.0),
            words_column(s::VERDICT, 12.0),
            words_column(w::WHY, 60.0),
            words_column(s::COVERED, 22.0),
            words_column(s::SOURCE, 50.0),
            words_column(words::hand::COLUMN, 60.0),
        ],
        rows: checks
            .flat_map(|check| {
                check.parts.iter().map(move |p| {
                    // What was not tested has no gap.
                    let gap = |of: fn(&Measured) -> f64| {
                        p.measured().map_or(Cell::Blank, |m| u.gap(of(m)))
                    };
                    vec![
                        Cell::text(check.title.as_str()),
                        Cell::text(words::procedure_and_share(u.pen(), p)),
                        u.plan(p.span_m),
                        gap(|m| m.largest_m()),
                        gap(|m| m.bound_m),
                        gap(|m| m.doubt_m),
                        u.gap(p.allowance_m),
                        p.measured()
                            .and_then(|m| m.chance)
                            .map_or(Cell::Blank, |c| Cell::text(chance_words(c))),
                        if p.judged.lines > 0 {
                            Cell::Blank
                        } else {
                            Cell::number(p.judged.share() * 100.0, 0)
                        },
                        Cell::text(words::verdict(p.verdict())),
                        Cell::text(p.reason.as_str()),
                        Cell::text(judged_area(u.pen(), p)),
                        Cell::text(format!(
                            "{} ({})",
                            check.source,
                            words::sureness(check.sureness)
                        )),
                        p.hand
                            .as_ref()
                            .map_or(Cell::Blank, |h| Cell::text(h.words.as_str())),
                    ]
                })
            })
            .collect(),
        frozen_columns: 1,
        ..Sheet::default()
    }
}

fn notices(a: &Analysis) -> Sheet {
    Sheet {
        name: w::NOTICES.to_owned(),
        columns: vec![
            words_column(s::KIND, 10.0),
            words_column(s::WHERE, 34.0),
            words_column(s::TEXT, 90.0),
            words_column(w::CODE, 24.0),
        ],
        rows: a
            .notices
            .iter()
            .map(|n| {
                vec![
                    Cell::text(words::severity(n.severity)),
                    Cell::text(n.place.as_str()),
                    Cell::text(n.text.as_str()),
                    Cell::text(n.code.as_str()),
                ]
            })
            .collect(),
        ..Sheet::default()
    }
}
