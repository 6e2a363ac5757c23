//! Checks that the page offers by name.

/// Name and title of each, in the order of the table.
pub(super) fn offered() -> Vec<(String, String)> {
    crate::flatness::check::all()
        .iter()
        .map(|c| (c.name.to_string(), c.title.to_string()))
        .collect()
}
