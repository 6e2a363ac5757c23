//! F-numbers on paper and in the short answer.

use super::words::f_numbers as w;
use super::{Block, Column, Document, Pen, Table};
use crate::flatness::SectionF;
use crate::flatness::fnumber::FNumber;

/// The highest numbers that the lines' reading step lets show.
fn ceiling(pen: Pen, s: &SectionF) -> Option<String> {
    let (step, most) = s.step_m.zip(s.ceiling)?;
    Some(w::ceiling(&pen.step(step), most))
}

/// The short answer: the two numbers, what is wrong with the lines, warnings.
pub(super) fn lines(pen: Pen, s: &SectionF) -> Vec<String> {
    let mut out = vec![w::section(
        &s.ff.words(w::CURVATURE),
        &s.fl.words(w::DIFFERENCE),
        s.lines.len(),
        s.constants,
    )];
    out.extend(ceiling(pen, s));
    out.extend(
        s.rules
            .iter()
            .filter(|r| r.kept == Some(false))
            .map(|r| w::broken(&r.rule, &r.found)),
    );
    let untold = s.rules.iter().filter(|r| r.kept.is_none()).count();
    if untold > 0 {
        out.push(w::untold(untold));
    }
    out.extend(s.warnings.iter().cloned());
    out
}

/// A chapter of the submittal.
pub(super) fn push(d: &mut Document, pen: Pen, s: &SectionF) {
    d.heading(1, w::TITLE);
    d.text(w::section(
        &s.ff.words(w::CURVATURE),
        &s.fl.words(w::DIFFERENCE),
        s.lines.len(),
        s.constants,
    ));
    let number = |f: FNumber, what: &str| f.words(what);
    let [line, curvatures, ff, differences, fl] = w::LINE_COLUMNS;
    d.push(Block::Table(Table {
        caption: w::LINES.to_owned(),
        columns: vec![
            Column::words(line, 1.0),
            Column::figures(curvatures),
            Column::figures(ff),
            Column::figures(differences),
            Column::figures(fl),
        ],
        rows: s
            .lines
            .iter()
            .map(|l| {
                vec![
                    l.name.clone(),
                    l.q.values_m.len().to_string(),
                    number(l.q.f, w::CURVATURE),
                    l.z.values_m.len().to_string(),
                    number(l.z.f, w::DIFFERENCE),
                ]
            })
            .collect(),
        ..Table::default()
    }));
    let [rule, source, found, kept] = w::RULE_COLUMNS;
    d.push(Block::Table(Table {
        caption: w::RULES.to_owned(),
        columns: vec![
            Column::words(rule, 2.0),
            Column::words(source, 1.5),
            Column::words(found, 1.5),
            Column::marks(kept),
        ],
        rows: s
            .rules
            .iter()
            .map(|r| {
                vec![
                    r.rule.clone(),
                    r.source.clone(),
                    r.found.clone(),
                    w::kept(r.kept).to_owned(),
                ]
            })
            .collect(),
        ..Table::default()
    }));
    let mut points = s.warnings.clone();
    points.extend(ceiling(pen, s));
    points.push(w::NOT_A_GAP.to_owned());
    d.push(Block::Bullets { items: points });
}
