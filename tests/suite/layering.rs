//! The module order of `docs/design.md`, held against the source.

use std::fs;
use std::path::{Path, PathBuf};

/// Row of each module. A module may import modules of a smaller row only.
const ROWS: &[(&str, u32)] = &[
    ("units", 1),
    ("geometry", 2),
    ("survey", 3),
    ("import", 4),
    ("surface", 5),
    ("flatness", 6),
    ("fill", 6),
    ("pour", 7),
    ("patch", 7),
    ("analysis", 8),
    ("drawing", 9),
    ("report", 10),
    ("job", 11),
    ("files", 12),
    ("cli", 13),
    ("web", 13),
];

/// Names that reach outside the program; rows 1 to 11 hold none of them.
const OUTSIDE: &[&str] = &[
    "std::fs",
    "std::net",
    "std::env",
    "std::process",
    "SystemTime",
    "Instant::now",
    "println!",
    "eprintln!",
    "print!(",
    "eprint!(",
    "static mut",
    "thread_local!",
];

fn row(module: &str) -> Option<u32> {
    ROWS.iter().find(|(m, _)| *m == module).map(|(_, r)| *r)
}

fn sources(dir: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

/// Code with comment lines taken out, so that a doc link is not an import.
fn code(path: &Path) -> String {
    fs::read_to_string(path)
        .unwrap()
        .lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n")
}

/// Upward imports in `text`, a file of `module`.
fn upward(module: &str, text: &str) -> Vec<String> {
    let own = row(module).unwrap();
    let mut wrong = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        let rest = &text[at + "crate::".len()..];
        let names: Vec<&str> = if let Some(group) = rest.strip_prefix('{') {
            let group = &group[..group.find('}').unwrap_or(group.len())];
            group
                .split(',')
                .map(|s| s.trim().split(':').next().unwrap())
                .collect()
        } else {
            vec![
                rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                    .next()
                    .unwrap(),
            ]
        };
        for name in names {
            if let Some(other) = row(name)
                && name != module
                && other >= own
            {
                wrong.push(format!("{module} (row {own}) imports {name} (row {other})"));
            }
        }
    }
    wrong
}

#[test]
fn modules_import_only_what_stands_above_them() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut wrong = Vec::new();
    for &(module, own) in ROWS {
        let mut files = Vec::new();
        sources(&src.join(module), &mut files);
        assert!(!files.is_empty(), "no source under {module}");
        for file in files {
            let text = code(&file);
            wrong.extend(upward(module, &text));
            if own <= 11 {
                for name in OUTSIDE {
                    if text.contains(name) {
                        wrong.push(format!("{} holds {name}", file.display()));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_upward_import_is_found() {
    assert_eq!(upward("survey", "use crate::units::Length;").len(), 0);
    assert_eq!(upward("survey", "use crate::surface::Floor;").len(), 1);
    assert_eq!(upward("fill", "use crate::flatness::Gap;").len(), 1);
    assert_eq!(
        upward("fill", "use crate::{units::Length, pour::Plan};").len(),
        1
    );
    assert_eq!(upward("web", "let x = crate::cli::run();").len(), 1);
}
