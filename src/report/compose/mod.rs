//! An analysis to files: drawings, sheets, submittal, page, workbook, JSON.
//!
//! Each set is a list of names and bytes; nothing is written here.

mod drawings;
pub(super) mod facts;
mod papers;
pub(super) mod places;
mod recheck;

use super::{Head, Paper, Press, ReportError, json, workbook};
use crate::analysis::{Analysis, Tell};
use crate::drawing::{DEFAULT_DPI, Scene, png, svg};
use drawings::Drawn;
pub use recheck::recheck;

/// A file's name and its bytes.
pub type Named = (String, Vec<u8>);

/// The crew's sheets: maps as SVG and PNG, mark-out, flatness, pour, grind and patch as PDF.
///
/// # Errors
/// [`ReportError`] when a drawing or a sheet cannot be made; nothing is returned in part.
pub fn sheets(a: &Analysis, paper: Paper, tell: Tell<'_>) -> Result<Vec<Named>, ReportError> {
    tell("Drawing", 0.0);
    let drawn = Drawn::new(a, paper)?;
    let mut files = pictures(&drawn)?;
    let head = head(a, paper);
    print(&papers::crew(a, &head, &drawn)?, &mut files, tell)?;
    Ok(files)
}

/// The paper that goes out: submittal, notice, quantities as PDF; workbook, page and JSON beside them.
///
/// # Errors
/// As [`sheets`].
pub fn submittal(a: &Analysis, paper: Paper, tell: Tell<'_>) -> Result<Vec<Named>, ReportError> {
    tell("Drawing", 0.0);
    let drawn = Drawn::new(a, paper)?;
    outgoing(a, &head(a, paper), &drawn, tell)
}

/// Everything of [`sheets`] and [`submittal`].
///
/// # Errors
/// As [`sheets`].
pub fn everything(a: &Analysis, paper: Paper, tell: Tell<'_>) -> Result<Vec<Named>, ReportError> {
    tell("Drawing", 0.0);
    let drawn = Drawn::new(a, paper)?;
    let mut files = pictures(&drawn)?;
    let head = head(a, paper);
    print(&papers::crew(a, &head, &drawn)?, &mut files, tell)?;
    files.extend(outgoing(a, &head, &drawn, tell)?);
    Ok(files)
}

fn outgoing(
    a: &Analysis,
    head: &Head,
    drawn: &Drawn,
    tell: Tell<'_>,
) -> Result<Vec<Named>, ReportError> {
    let mut files = Vec::new();
    print(&papers::outgoing(a, head, drawn)?, &mut files, tell)?;
    tell("Workbook and page", 0.9);
    files.push(("workbook.xlsx".to_owned(), workbook::of(a)?.to_xlsx()?));
    files.push((
        "report.html".to_owned(),
        super::page::html(&super::page::PageInput::from_analysis(a)),
    ));
    files.push((
        "result.json".to_owned(),
        json::text(&json::whole(a)).into_bytes(),
    ));
    Ok(files)
}

/// Every drawing as SVG and PNG.
fn pictures(drawn: &Drawn) -> Result<Vec<Named>, ReportError> {
    let mut files = Vec::new();
    for (name, scene) in drawn.maps() {
        files.push((format!("{name}.svg"), svg(scene)?.into_bytes()));
        files.push((format!("{name}.png"), png(scene, DEFAULT_DPI)?));
    }
    Ok(files)
}

fn print(
    documents: &[(&str, super::Document)],
    files: &mut Vec<Named>,
    tell: Tell<'_>,
) -> Result<(), ReportError> {
    if documents.is_empty() {
        return Ok(());
    }
    let press = Press::new();
    for (i, (name, document)) in documents.iter().enumerate() {
        tell("Paper", i as f64 / documents.len() as f64);
        files.push((format!("{name}.pdf"), press.print(document)?));
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
