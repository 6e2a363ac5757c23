//! What every sheet says of the job besides its numbers.

use super::{Date, Document, Drawing, Paper, Pen, words};
use crate::units::Habit;

/// The words of a job. Empty means not told: paper then leaves a line to fill in by hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Head {
    /// What the job is called.
    pub title: String,
    /// Where the floor is.
    pub place: String,
    /// Which room.
    pub room: String,
    /// Who read it.
    pub who: String,
    /// When it was read, as it is to be printed.
    pub when: String,
    /// Revision of the paper.
    pub revision: String,
    /// The instrument.
    pub instrument: String,
    /// Its last both-ways check.
    pub instrument_check: String,
    /// The bench mark.
    pub bench_mark: String,
    /// The company that signs: name and address lines.
    pub company: Vec<String>,
    /// Its logo: file name and bytes.
    pub logo: Option<(String, Vec<u8>)>,
    /// Input files: name and SHA-256.
    pub inputs: Vec<(String, String)>,
    /// Number of the run, the same on all of its sheets.
    pub run: String,
    /// What stands in for something of the job's own.
    pub stand_ins: Vec<String>,
    /// Units.
    pub habit: Habit,
    /// Paper.
    pub paper: Paper,
}

/// Characters of a fingerprint that stand at the foot of each page; the whole stands in the submittal.
const SHORT_HASH: usize = 12;

impl Head {
    /// A pen in the job's habit.
    pub const fn pen(&self) -> Pen {
        Pen::new(self.habit)
    }

    /// Job, room, place and date in one line, what is not told left out.
    pub fn line(&self) -> String {
        [&self.title, &self.room, &self.place, &self.when]
            .into_iter()
            .filter(|s| !s.is_empty())
            .map(String::as_str)
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// Program, version and input, short enough for the foot of a page.
    pub fn foot(&self) -> String {
        let inputs: Vec<String> = self
            .inputs
            .iter()
            .map(|(name, hash)| {
                let short: String = hash.chars().take(SHORT_HASH).collect();
                format!("{name} {short}")
            })
            .collect();
        let revision = if self.revision.is_empty() {
            String::new()
        } else {
            format!("{} {}. ", words::REVISION, self.revision)
        };
        // More than a few names would push the page number off the line.
        let named = match inputs.len() {
            0 => String::new(),
            1..=2 => format!(". {} {}", words::INPUT, inputs.join(", ")),
            n => format!(
                ". {} {} {}",
                words::INPUT,
                inputs[0],
                words::and_more(n - 1)
            ),
        };
        format!(
            "{revision}{}{}{named}",
            words::PROGRAM,
            words::run_after(&self.run)
        )
    }

    /// An empty document with this head.
    pub fn document(&self, title: &str) -> Document {
        let mut d = Document::new(title, self.paper);
        d.subtitle = self.line();
        d.head = self.line();
        d.foot = self.foot();
        d.date = Date::parse(&self.when);
        d.stand_ins.clone_from(&self.stand_ins);
        d.keywords = words::KEYWORDS.map(str::to_owned).to_vec();
        d.authors = self.company.first().cloned().into_iter().collect();
        d
    }

    /// The same with the company block on its first page.
    pub fn letter(&self, title: &str) -> Document {
        let mut d = self.document(title);
        d.company = self.company.clone();
        if let Some((name, bytes)) = &self.logo {
            d.logo_file.clone_from(name);
            // Only the ending matters to the page setter; the name may hold anything.
            let ending = name.rsplit('.').next().unwrap_or("").to_ascii_lowercase();
            let name = format!("logo.{}", if ending.len() > 4 { "bin" } else { &ending });
            d.logo.clone_from(&name);
            d.drawings.push(Drawing {
                name,
                bytes: bytes.clone(),
            });
        }
        d
    }
}
