//! Names of files on paper, whose fonts do not have every sign.

use super::error::JobError;
use crate::analysis::Analysis;
use crate::drawing::font::Typeface;
use std::borrow::Cow;

/// An analysis as it goes on paper: what the fonts built in cannot draw of a file's name is `?` there, wherever the name is told. A name
/// that somebody wrote for the paper is another matter: that is refused, since only he knows what else to write.
pub(super) fn on_paper(a: &Analysis) -> Result<Cow<'_, Analysis>, JobError> {
    let type_face = Typeface::embedded().map_err(crate::report::ReportError::from)?;
    let plain = |name: &str| -> Option<(String, String)> {
        match type_face.drawable(name) {
            Cow::Borrowed(_) => None,
            Cow::Owned(plain) => Some((name.to_owned(), plain)),
        }
    };
    let names: Vec<(String, String)> = a
        .settings
        .inputs
        .iter()
        .filter_map(|f| plain(&f.name))
        .collect();
    if names.is_empty() {
        return Ok(Cow::Borrowed(a));
    }
    let mut a = a.clone();
    let told = |text: &mut String| {
        for (name, plain) in names.iter().filter(|(name, _)| !name.is_empty()) {
            if text.contains(name) {
                *text = text.replace(name, plain);
            }
        }
    };
    told(&mut a.settings.about.title);
    a.settings.inputs.iter_mut().for_each(|f| told(&mut f.name));
    // A room without a name of its own has that of its file.
    let stem = |name: &str| name.rsplit_once('.').map_or(name, |n| n.0).to_owned();
    if let Some((_, plain)) = names.iter().find(|(n, _)| stem(n) == a.survey.name) {
        a.survey.name = stem(plain);
    }
    for notice in a.notices.iter_mut().chain(&mut a.survey.notices) {
        told(&mut notice.place);
        told(&mut notice.text);
    }
    Ok(Cow::Owned(a))
}
