//! The built program, run on words in a folder.

use std::path::Path;
use std::process::{Command, Output};

pub fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_birdbath"))
        .current_dir(folder)
        .args(words)
        .output()
        .unwrap()
}
