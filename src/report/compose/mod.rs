//! An analysis to files: drawings, sheets, submittal, page, workbook, JSON.
//!
//! Each set is a list of names and bytes; nothing is written here.

mod departures;
mod drawings;
pub(super) mod facts;
mod pages;
mod papers;
pub(super) mod places;
mod plots;
mod recheck;
mod wanted;

use super::{Head, Paper, Press, ReportError, json, workbook};
use crate::analysis::{Analysis, Tell, Together};
use crate::drawing::{DEFAULT_DPI, Scene, png, svg};
use drawings::Drawn;
pub use recheck::recheck;
pub use wanted::{Sheet, Wanted};

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
    tell("Drawing", 0.0);
    let drawn = Drawn::new(a, paper, wanted)?;
    let mut files = pictures(&drawn, wanted)?;
    let head = head(a, paper);
    let mut documents = papers::crew(a, &head, &drawn, wanted)?;
    documents.extend(papers::outgoing(a, &head, &drawn, wanted)?);
    print(&documents, &mut files, tell)?;
    if wanted.has(Sheet::Workbook) {
        tell("Workbook", 0.0);
        files.push(("workbook.xlsx".to_owned(), workbook::of(a)?.to_xlsx()?));
    }
    if wanted.has(Sheet::Report) {
        tell("Page", 0.0);
        let page = super::page::html(&super::page::PageInput::from_analysis(a));
        files.push(("report.html".to_owned(), page));
    }
    if wanted.has(Sheet::Result) {
        let text = json::text(&json::whole(a));
        files.push(("result.json".to_owned(), text.into_bytes()));
    }
    Ok(files)
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
        let text = json::text(&super::together::json(&summed));
        files.push(("all-rooms.json".to_owned(), text.into_bytes()));
    }
    Ok(files)
}

/// The drawings that are wanted for themselves, as SVG and PNG.
fn pictures(drawn: &Drawn, wanted: &Wanted) -> Result<Vec<Named>, ReportError> {
    let mut files = Vec::new();
    for (sheet, scene) in drawn.maps() {
        if !wanted.has(sheet) {
            continue;
        }
        let name = sheet.name();
        files.push((format!("{name}.svg"), svg(scene)?.into_bytes()));
        files.push((format!("{name}.png"), png(scene, DEFAULT_DPI)?));
    }
    Ok(files)
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
    for (i, (sheet, document)) in documents.iter().enumerate() {
        tell("Paper", i as f64 / documents.len() as f64);
        files.push((format!("{}.pdf", sheet.name()), press.print(document)?));
    }
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
        habit: a.settings.habit,
        paper,
    }
}
