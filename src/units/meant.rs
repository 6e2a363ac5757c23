//! Names that a misspelt one may have been meant for.

/// Names this like a text may have been meant (Jaro-Winkler similarity; our own choice, no published source).
const LIKE: f64 = 0.85;
/// Names told at most.
const MOST: usize = 4;

/// Of some names those that a text may have been meant for: those that begin as it does, else those most like it, the likeliest first.
pub fn names_meant<'a>(text: &str, names: impl Iterator<Item = &'a str> + Clone) -> Vec<&'a str> {
    let asked = text.trim().to_lowercase();
    let begun = names
        .clone()
        .filter(|name| !asked.is_empty() && name.starts_with(&asked));
    let begun: Vec<&str> = begun.take(MOST).collect();
    if !begun.is_empty() {
        return begun;
    }
    let mut like: Vec<(f64, &str)> = names
        .map(|name| (strsim::jaro_winkler(&asked, name), name))
        .filter(|(share, _)| *share >= LIKE)
        .collect();
    like.sort_by(|a, b| b.0.total_cmp(&a.0));
    like.into_iter().map(|(_, name)| name).take(MOST).collect()
}
