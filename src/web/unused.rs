//! Files that were chosen and that nothing is made of: never passed over without a word.

use super::frame::NamedFile;
use crate::import::{ImportOptions, Source, outline};

/// Larger files are no outline, and are not read to find out.
const LARGEST_OUTLINE: usize = 1024 * 1024;

/// That every file chosen is used.
///
/// # Errors
/// Each file that is not, with what to do.
pub(super) fn all_used(main: &str, files: &[NamedFile], used: &[String]) -> Result<(), String> {
    let faults: Vec<String> = files
        .iter()
        .filter(|f| !used.contains(&f.name))
        .map(|f| fault(main, f))
        .collect();
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n"))
    }
}

fn fault(main: &str, file: &NamedFile) -> String {
    let name = &file.name;
    if draws_a_room(file) {
        return format!(
            "{name}: is chosen but used for nothing, and reads as an outline; say beside it that it is the outline (one at a time), or remove it."
        );
    }
    if main.to_lowercase().ends_with(".toml") {
        return format!(
            "{name}: is chosen but used for nothing, as {main} does not name it; name it there, say beside it what it is, or remove it."
        );
    }
    format!(
        "{name}: is chosen but used for nothing: the readings are taken from {main}, and one file of each sort is taken beside them. Say beside it what it is, or remove it. Set-ups of one room in several files are named together in a job.toml; rooms in several files are answered one after another."
    )
}

/// Whether it reads as an outline, which no file of readings does.
fn draws_a_room(file: &NamedFile) -> bool {
    let source = Source {
        name: &file.name,
        bytes: &file.bytes,
    };
    file.bytes.len() <= LARGEST_OUTLINE && outline(&source, &ImportOptions::default()).is_ok()
}
