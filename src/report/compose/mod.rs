//! An analysis to files: drawings, sheets, submittal, page, workbook, JSON.
//!
//! Each set is a list of names and bytes; nothing is written here.

mod departures;
mod drawings;
pub(super) mod facts;
mod hand;
pub(super) mod order;
mod pages;
mod papers;
mod plots;
pub(super) mod pour;
mod recheck;
mod wanted;
mod why_not;

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::result_file::{self, ResultFile};
use super::words::starter::at_head;
use super::{Head, Paper, Press, ReportError, workbook};
use crate::analysis::{Analysis, Tell, Together};
use crate::drawing::{DEFAULT_DPI, DrawingError, Scene, png, svg};
use drawings::Drawn;
pub use hand::hand_sheets;
pub use recheck::recheck;
pub use wanted::{Sheet, Wanted};
pub use why_not::{too_large, why_not};

/// A file's name and its bytes.
pub type Named = (String, Vec<u8>);

/// The files that are wanted: pictures as SVG and PNG, sheets as PDF, workbook, page, numbers.
///
/// # Errors
/// [`ReportError`] when a drawing or a sheet cannot be made; nothing is returned in part.
pub fn files(
    a: &Analysis,
    paper: Paper,
    wanted: &Wanted,
    tell: Tell<'_>,
) -> Result<Vec<Named>, ReportError> {
    let mut files = drawn_and_set(a, paper, wanted, tell).map_err(|e| with_its_cell(e, a))?;
    if wanted.has(Sheet::Workbook) && !too_large(Sheet::Workbook, a) {
        tell("Workbook", 0.0);
        files.push(("workbook.xlsx".to_owned(), workbook::of(a).to_xlsx()?));
    }
    if wanted.has(Sheet::Report) {
        tell("Page", 0.0);
        let page = super::page::html(&super::page::PageInput::from_analysis(a))?;
        files.push(("report.html".to_owned(), page));
    }
    if wanted.has(Sheet::Result) {
        let text = result_file::text(&ResultFile::whole(a))?;
        files.push(("result.json".to_owned(), text.into_bytes()));
    }
    Ok(files)
}

/// What needs the fonts that are built in: pictures, and sheets as PDF.
fn drawn_and_set(
    a: &Analysis,
    paper: Paper,
    wanted: &Wanted,
    tell: Tell<'_>,
) -> Result<Vec<Named>, ReportError> {
    tell("Drawing", 0.0);
    let drawn = Drawn::new(a, paper, wanted)?;
    let mut files = pictures(&drawn, wanted)?;
    let head = head(a, paper);
    let mut documents = papers::crew(a, &head, &drawn, wanted)?;
    documents.extend(papers::outgoing(a, &head, &drawn, wanted)?);
    print(&documents, &mut files, tell)?;
    Ok(files)
}

/// A character that cannot be drawn is told with the first reading whose name or note holds it.
fn with_its_cell(error: ReportError, a: &Analysis) -> ReportError {
    let (text, character) = match error {
        ReportError::MissingGlyph {
            text,
            character,
            place: None,
        } => (text, character),
        ReportError::Drawing(DrawingError::MissingGlyph { text, sign, .. }) => (text, sign),
        other => return other,
    };
    let holds = |words: &str| words.contains(character);
    let reading = a
        .survey
        .readings
        .iter()
        .find(|r| holds(&r.label) || r.note.as_deref().is_some_and(holds));
    ReportError::MissingGlyph {
        place: reading.map(|r| r.raw.place.clone()),
        text,
        character,
    }
}

/// What is told of all rooms together: quantities as a sheet and as JSON.
///
/// # Errors
/// As [`files`].
pub fn all_rooms(
    rooms: &[Analysis],
    paper: Paper,
    wanted: &Wanted,
) -> Result<Vec<Named>, ReportError> {
    let mut files = Vec::new();
    let Some(first) = rooms.first() else {
        return Ok(files);
    };
    let summed = Together::of(rooms);
    if wanted.has(Sheet::Quantities) {
        let mut head = head(first, paper);
        head.room.clear();
        let sheet = super::together::document(&head, &summed);
        files.push(("all-rooms.pdf".to_owned(), Press::new().print(&sheet)?));
    }
    if wanted.has(Sheet::Result) {
        let all = result_file::Together::from(&summed).of_run(&first.settings.run);
        let text = result_file::text(&all)?;
        files.push(("all-rooms.json".to_owned(), text.into_bytes()));
    }
    Ok(files)
}

/// The drawings that are wanted for themselves, as SVG and PNG.
fn pictures(drawn: &Drawn, wanted: &Wanted) -> Result<Vec<Named>, ReportError> {
    let maps: Vec<(Sheet, &Scene)> = drawn
        .maps()
        .into_iter()
        .filter(|(sheet, _)| wanted.has(*sheet))
        .collect();
    let pairs = maps
        .par_iter()
        .enumerate()
        .map(|(i, (sheet, scene))| {
            // Of several of one kind, the lifts of a pour, each has its number.
            let alike = |maps: &[(Sheet, &Scene)]| maps.iter().filter(|m| m.0 == *sheet).count();
            let name = match alike(&maps) {
                1 => sheet.name().to_owned(),
                _ => format!("{}-{}", sheet.name(), alike(&maps[..=i])),
            };
            Ok([
                (format!("{name}.svg"), svg(scene)?.into_bytes()),
                (format!("{name}.png"), png(scene, DEFAULT_DPI)?),
            ])
        })
        .collect::<Result<Vec<[Named; 2]>, ReportError>>()?;
    Ok(pairs.into_iter().flatten().collect())
}

fn print(
    documents: &[(Sheet, super::Document)],
    files: &mut Vec<Named>,
    tell: Tell<'_>,
) -> Result<(), ReportError> {
    if documents.is_empty() {
        return Ok(());
    }
    let press = Press::new();
    tell("Paper", 0.0);
    let done = AtomicUsize::new(0);
    // Each sheet is set on a thread of its own; they come back in their order.
    let printed = documents
        .par_iter()
        .map(|(sheet, document)| {
            let pdf = press.print(document)?;
            let count = done.fetch_add(1, Ordering::Relaxed) + 1;
            tell("Paper", count as f64 / documents.len() as f64);
            Ok((format!("{}.pdf", sheet.name()), pdf))
        })
        .collect::<Result<Vec<Named>, ReportError>>()?;
    files.extend(printed);
    Ok(())
}

/// A drawing as it goes onto a page.
fn on_paper(scene: &Scene) -> Result<super::crew::SheetDrawing, ReportError> {
    Ok(super::crew::SheetDrawing {
        svg: svg(scene)?,
        width_mm: scene.width_mm,
        height_mm: scene.height_mm,
    })
}

/// What every sheet of the job says at its head of what stands in for something of its own.
pub fn stand_ins(a: &Analysis) -> Vec<String> {
    let codes = a.survey.notices.iter().map(|n| n.code.as_str());
    codes.filter_map(at_head).map(str::to_owned).collect()
}

/// The words of the job as paper takes them.
pub fn head(a: &Analysis, paper: Paper) -> Head {
    let about = &a.settings.about;
    let company = std::iter::once(&about.company)
        .chain(&about.company_lines)
        .filter(|l| !l.is_empty())
        .cloned()
        .collect();
    Head {
        title: about.title.clone(),
        place: about.place.clone(),
        room: a.survey.name.clone(),
        who: about.who.clone(),
        when: about.when.clone(),
        revision: about.revision.clone(),
        instrument: about.instrument.clone(),
        instrument_check: about.instrument_check.clone(),
        bench_mark: about.bench_mark.clone(),
        company,
        logo: about.logo.clone(),
        inputs: a
            .settings
            .inputs
            .iter()
            .map(|f| (f.name.clone(), f.sha256.clone()))
            .collect(),
        run: a.settings.run.clone(),
        stand_ins: stand_ins(a),
        habit: a.settings.habit,
        paper,
    }
}
