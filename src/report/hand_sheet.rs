//! Where to lay the edge by hand: as a table, as a workbook and on paper, with room for what is measured.

use super::crew::{SheetDrawing, push_sheets};
use super::orientation::Orientation;
use super::words::hand as w;
use super::{Block, Cell, Column, Document, Head, Pen, Sheet, Table, Workbook, words};
use crate::analysis::{HandList, HandPlace};
use crate::geometry::Point;
use crate::units::{Comma, Habit, read_length};

/// Widths of the workbook's columns, in characters.
const WIDTHS: [f64; 13] = [
    6.0, 11.0, 9.0, 15.0, 15.0, 15.0, 15.0, 26.0, 12.0, 18.0, 30.0, 10.0, 12.0,
];

/// Everything on the sheets.
#[derive(Debug, Clone)]
pub struct HandSheets<'a> {
    /// The job's words.
    pub head: &'a Head,
    /// The two walls that distances are told from.
    pub orientation: &'a Orientation,
    /// What is to be laid.
    pub list: &'a HandList,
}

impl HandSheets<'_> {
    const fn pen(&self) -> Pen {
        self.head.pen()
    }

    /// The headings of table and workbook.
    fn headings(&self) -> Vec<String> {
        let unit = match self.head.habit {
            Habit::Us => "ft-in",
            Habit::Metric => "m",
        };
        let walls = [&self.orientation.left, &self.orientation.bottom];
        let ends = (0..4).map(|k| w::end(w::WAYS[k], walls[k % 2], unit));
        [w::NUMBER, w::EDGE, w::LENGTH]
            .map(str::to_owned)
            .into_iter()
            .chain(ends)
            .chain([
                w::DIRECTION.to_owned(),
                w::with_unit(w::GAP, self.pen().gap_unit()),
                w::DRAWN.to_owned(),
                w::CHECK.to_owned(),
                w::LIMIT.to_owned(),
                w::SEED.to_owned(),
            ])
            .collect()
    }

    /// One placement's cells; that of the gap is empty.
    fn cells(&self, p: &HandPlace) -> Vec<String> {
        let (pen, o) = (self.pen(), self.orientation);
        let ends = [p.from, p.to];
        let ends = ends
            .into_iter()
            .flat_map(|e| [o.from_left(e), o.from_bottom(e)]);
        [
            p.number.to_string(),
            w::edge_use(p.edge.procedure).to_owned(),
            exact_span(pen, p.edge.span_m),
        ]
        .into_iter()
        .chain(ends.map(|m| pen.plan(m)))
        .chain([
            o.direction(p.from, p.to),
            String::new(),
            p.drawn
                .map_or_else(|| w::WORST.to_owned(), |(k, of)| w::random(k, of)),
            p.checks.join(w::AND),
            pen.limit(p.limit_m),
            w::seed(self.list.seed),
        ])
        .collect()
    }

    /// The table as comma-separated text.
    pub fn csv(&self) -> String {
        let line = |cells: &[String]| {
            let quoted: Vec<String> = cells.iter().map(|c| field(c)).collect();
            quoted.join(",") + "\r\n"
        };
        let rows = self.list.places.iter().map(|p| line(&self.cells(p)));
        line(&self.headings()) + &rows.collect::<String>()
    }

    /// The same as a workbook whose cells are text, so that a fraction stays a fraction.
    pub fn workbook(&self) -> Workbook {
        let columns = self.headings().into_iter().zip(WIDTHS).collect();
        let cell = |text: String| {
            if text.is_empty() {
                Cell::Blank
            } else {
                Cell::text(text)
            }
        };
        let rows = self.list.places.iter().map(|p| self.cells(p));
        Workbook {
            title: self.head.title.clone(),
            sheets: vec![Sheet {
                name: w::TAB.to_owned(),
                lines: [w::TITLE.to_owned(), self.head.line()]
                    .into_iter()
                    .chain(w::RULES.map(str::to_owned))
                    .filter(|l| !l.is_empty())
                    .collect(),
                columns,
                rows: rows.map(|r| r.into_iter().map(cell).collect()).collect(),
                frozen_columns: 1,
                text_cells: true,
            }],
        }
    }

    /// The places of one edge after another.
    pub fn groups(&self) -> impl Iterator<Item = &[HandPlace]> {
        self.list.places.chunk_by(|a, b| a.edge.is(b.edge))
    }

    /// What one edge is laid for, in words.
    pub fn asked(&self, group: &[HandPlace]) -> String {
        let random = group.iter().filter(|p| p.drawn.is_some()).count();
        let (span, edge) = group.first().map_or_else(Default::default, |p| {
            (
                self.pen().span(p.edge.span_m),
                w::edge_use(p.edge.procedure),
            )
        });
        w::asked(&span, edge, random, group.len() - random)
    }

    /// The sheet on paper: a plan and a list with boxes for each edge.
    pub fn document(&self, plans: &[SheetDrawing]) -> Document {
        let mut d = self.head.document(w::TITLE);
        d.push(Block::Bullets {
            items: w::RULES.map(str::to_owned).to_vec(),
        });
        d.text(w::places(&self.orientation.left, &self.orientation.bottom));
        d.text(w::drawn(&w::seed(self.list.seed)));
        for edge in &self.list.no_room {
            d.text(w::no_room(&self.pen().span(edge.span_m)));
        }
        for (k, group) in self.groups().enumerate() {
            let Some(first) = group.first() else { continue };
            d.heading(1, self.asked(group));
            d.text(w::asked_for(
                &first.checks.join(w::AND),
                &self.pen().limit(first.limit_m),
            ));
            d.text(words::procedure_in_full(first.edge.procedure));
            d.push(Block::Table(self.table(group)));
            if let Some(plan) = plans.get(k) {
                let name = format!("hand-{}", k + 1);
                push_sheets(
                    &mut d,
                    &name,
                    w::PLAN_ALT,
                    w::PLAN,
                    std::slice::from_ref(plan),
                );
            }
        }
        d
    }

    fn table(&self, group: &[HandPlace]) -> Table {
        let (pen, o) = (self.pen(), self.orientation);
        let pair = |p: Point| {
            [
                pen.plan_number(o.from_left(p)),
                pen.plan_number(o.from_bottom(p)),
            ]
        };
        let mut columns = vec![Column::figures(w::NUMBER)];
        columns.extend(w::WAYS.map(Column::figures));
        columns.extend([
            Column::words(w::DIRECTION, 2.0),
            Column::words(w::DRAWN, 0.7),
            Column::words(words::with_unit(w::GAP, pen.gap_unit()), 1.1),
        ]);
        Table {
            columns,
            rows: group
                .iter()
                .map(|p| {
                    let [a, b] = pair(p.from);
                    let [c, e] = pair(p.to);
                    vec![
                        p.number.to_string(),
                        a,
                        b,
                        c,
                        e,
                        o.direction(p.from, p.to),
                        p.drawn.map_or(w::WORST, |_| w::RANDOM).to_owned(),
                        " ".to_owned(),
                    ]
                })
                .collect(),
            size_pt: 9.0,
            roomy: true,
            ..Table::default()
        }
    }
}

/// The length of an edge so that it is read back as the same one: of a rule in the other system of units in that.
fn exact_span(pen: Pen, m: f64) -> String {
    let other = match pen.habit {
        Habit::Us => Habit::Metric,
        Habit::Metric => Habit::Us,
    };
    let same = |text: &String| {
        read_length(text, None, Comma::Auto)
            .is_ok_and(|read| (read.length.m() - m).abs() < SAME_SPAN_M)
    };
    [pen, Pen::new(other)]
        .map(|p| p.span(m))
        .into_iter()
        .find(same)
        .unwrap_or_else(|| format!("{} mm", pen.number(m * 1e3, 1)))
}

/// Lengths nearer to each other than this are read back as one edge, metres.
const SAME_SPAN_M: f64 = 2e-4;

/// A field of comma-separated text.
fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
