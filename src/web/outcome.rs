//! What comes back, and where it is kept: in memory, the last few answers only.

use super::frame::NamedFile;
use axum::body::Bytes;
use serde::Serialize;
use std::collections::VecDeque;
use std::time::{Duration, Instant};

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

/// An answer that is kept.
#[derive(Debug)]
struct Kept {
    secret: String,
    since: Instant,
    files: Vec<(String, Bytes)>,
}

/// The last answers, each under a secret that only the one who asked is told.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    kept: VecDeque<Kept>,
}

impl Shelf {
    /// Keeps an answer's files.
    pub(super) fn put(&mut self, secret: String, files: Vec<NamedFile>, now: Instant) {
        let files = files
            .into_iter()
            .map(|f| (f.name, Bytes::from(f.bytes)))
            .collect();
        self.kept.push_back(Kept {
            secret,
            since: now,
            files,
        });
        while self.kept.len() > KEPT {
            self.kept.pop_front();
        }
    }

    /// A file of an answer.
    pub(super) fn get(&self, secret: &str, name: &str) -> Option<Bytes> {
        let kept = self.kept.iter().find(|k| k.secret == secret)?;
        let (_, bytes) = kept.files.iter().find(|(n, _)| n == name)?;
        Some(bytes.clone())
    }

    /// Forgets answers older than `age`.
    pub(super) fn forget(&mut self, age: Duration, now: Instant) {
        self.kept
            .retain(|k| now.saturating_duration_since(k.since) < age);
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

    fn file(b: u8) -> Vec<NamedFile> {
        vec![NamedFile {
            name: "a.svg".to_owned(),
            bytes: vec![b],
        }]
    }

    #[test]
    fn only_the_last_answers_are_kept() {
        let mut shelf = Shelf::default();
        let now = Instant::now();
        for b in 0..=KEPT as u8 {
            shelf.put(format!("s{b}"), file(b), now);
        }
        assert!(shelf.get("s0", "a.svg").is_none());
        assert_eq!(*shelf.get("s1", "a.svg").unwrap(), [1]);
        assert!(shelf.get("s1", "b.svg").is_none());
    }

    #[test]
    fn an_answer_is_forgotten_after_its_time() {
        let mut shelf = Shelf::default();
        let (now, age) = (Instant::now(), Duration::from_secs(60));
        shelf.put("s".to_owned(), file(1), now);
        shelf.forget(age, now + age - Duration::from_secs(1));
        assert!(shelf.get("s", "a.svg").is_some());
        shelf.forget(age, now + age);
        assert!(shelf.get("s", "a.svg").is_none());
    }
}
