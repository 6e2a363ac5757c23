//! The built program, run on words in a folder.

use std::path::Path;
use std::process::{Command, Output};
use std::sync::OnceLock;
use tempfile::TempDir;

pub fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_birdbath"))
        .current_dir(folder)
        .args(words)
        .output()
        .unwrap()
}

/// What `demo` wrote and said, in a folder `d`, made once for all tests that only read it: it takes longest of all.
pub fn demo() -> &'static (TempDir, Output) {
    static MADE: OnceLock<(TempDir, Output)> = OnceLock::new();
    MADE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let said = run(folder.path(), &["demo", "--out", "d"]);
        (folder, said)
    })
}
