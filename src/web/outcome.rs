//! What comes back, and where it is kept: in memory, the last few answers only.

use super::frame::NamedFile;
use serde::Serialize;
use std::collections::VecDeque;
use std::sync::Arc;

/// Answers kept for download. Older ones are forgotten.
const KEPT: usize = 6;

/// The answer to a request.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// What to show at once, under headings, in order.
    pub parts: Vec<Part>,
    /// Files to look at or to save. The first SVG is shown as the map.
    pub files: Vec<NamedFile>,
}

/// Lines under a heading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Part {
    /// The heading.
    pub heading: String,
    /// The lines, plain text.
    pub lines: Vec<String>,
}

impl Part {
    /// A part from a heading and its lines.
    pub fn new(heading: &str, lines: Vec<String>) -> Self {
        Self {
            heading: heading.to_owned(),
            lines,
        }
    }
}

/// A file's name and its bytes.
type KeptFile = (String, Arc<Vec<u8>>);

/// The last answers, each under its number.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    next: u64,
    kept: VecDeque<(u64, Vec<KeptFile>)>,
}

impl Shelf {
    /// Keeps an answer's files; returns their number.
    pub(super) fn put(&mut self, files: Vec<NamedFile>) -> u64 {
        self.next += 1;
        let files = files
            .into_iter()
            .map(|f| (f.name, Arc::new(f.bytes)))
            .collect();
        self.kept.push_back((self.next, files));
        while self.kept.len() > KEPT {
            self.kept.pop_front();
        }
        self.next
    }

    /// A file of an answer.
    pub(super) fn get(&self, number: u64, name: &str) -> Option<Arc<Vec<u8>>> {
        let (_, files) = self.kept.iter().find(|(n, _)| *n == number)?;
        files
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, bytes)| Arc::clone(bytes))
    }
}

/// The content type of a file by the end of its name.
pub(super) fn content_type(name: &str) -> &'static str {
    let end = name.rsplit('.').next().unwrap_or("").to_ascii_lowercase();
    match end.as_str() {
        "html" => "text/html; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "pdf" => "application/pdf",
        "json" => "application/json",
        "csv" | "txt" | "toml" | "md" => "text/plain; charset=utf-8",
        "xlsx" => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_last_answers_are_kept() {
        let mut shelf = Shelf::default();
        let file = |b: u8| {
            vec![NamedFile {
                name: "a.svg".to_owned(),
                bytes: vec![b],
            }]
        };
        let first = shelf.put(file(0));
        for b in 1..=KEPT as u8 {
            shelf.put(file(b));
        }
        assert!(shelf.get(first, "a.svg").is_none());
        assert_eq!(*shelf.get(first + 1, "a.svg").unwrap(), vec![1]);
        assert!(shelf.get(first + 1, "b.svg").is_none());
    }
}
