//! The number that every sheet of a run carries: the same input, asked the same, has the same number.

use sha2::{Digest, Sha256};

use super::file::JobFile;
use super::inputs::Inputs;
use crate::analysis::Analysis;

/// Characters of a run's number: enough that two papers of one job never share one by chance.
const LENGTH: usize = 8;

/// The number of a job as it is asked for: version, every file's name and bytes, and what the job file and
/// the flags say together. Which of the files are written does not change what stands in them, and does not count.
pub(super) fn run_number(job: &JobFile, inputs: &Inputs) -> String {
    let mut text = format!("{}\n{job:?}\n", env!("CARGO_PKG_VERSION"));
    for file in inputs.fingerprints() {
        text.push_str(&format!("{}\n{}\n", file.name, file.sha256));
    }
    short(&text)
}

/// Gives two days that are compared one number, of both and of what the comparison is asked with.
pub fn number_together(
    before: &mut Analysis,
    after: &mut Analysis,
    bags_used: Option<f64>,
    tie: &[String],
) {
    let (first, second) = (&before.settings.run, &after.settings.run);
    let both = short(&format!("{first}\n{second}\n{bags_used:?}\n{tie:?}\n"));
    before.settings.run.clone_from(&both);
    after.settings.run = both;
    // What rests on two days names the files of both.
    let mut inputs = before.settings.inputs.clone();
    let new = after.settings.inputs.iter().filter(|f| !inputs.contains(f));
    let new: Vec<_> = new.cloned().collect();
    inputs.extend(new);
    before.settings.inputs.clone_from(&inputs);
    after.settings.inputs = inputs;
}

fn short(text: &str) -> String {
    let digest = Sha256::digest(text.as_bytes());
    let hex: String = digest.iter().map(|b| format!("{b:02x}")).collect();
    hex.chars().take(LENGTH).collect()
}
