//! The module order of `docs/design.md`, held against the source.

use std::collections::{BTreeMap, BTreeSet};
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
    ("recheck", 7),
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

/// The search of the straight edge is one piece of work in four files: the searcher holds provers, and they look at it.
const ONE_PIECE: [&str; 4] = ["branch", "edge", "probe", "wedge"];

/// Every path that a `use` tree or a text names, from `super` or `crate` on.
fn paths(text: &str) -> Vec<Vec<String>> {
    let mut out = Vec::new();
    for word in ["super::", "crate::"] {
        for (at, _) in text.match_indices(word) {
            let before = text[..at].chars().next_back();
            if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
                continue;
            }
            tree(&text[at..], &mut Vec::new(), &mut out);
        }
    }
    out
}

/// Reads one path, with the braces at its end; gives how far it went.
fn tree(text: &str, before: &mut Vec<String>, out: &mut Vec<Vec<String>>) -> usize {
    let depth = before.len();
    let mut at = 0;
    loop {
        let rest = &text[at..];
        let word = rest
            .find(|c: char| !c.is_alphanumeric() && c != '_')
            .unwrap_or(rest.len());
        if word > 0 {
            before.push(rest[..word].to_owned());
            at += word;
        } else if rest.starts_with('{') {
            at += 1;
            loop {
                at += text[at..].len() - text[at..].trim_start_matches([' ', '\n', ',']).len();
                if text[at..].starts_with('}') || text[at..].is_empty() {
                    at += 1;
                    break;
                }
                let went = tree(&text[at..], before, out);
                at += went.max(1);
            }
            break;
        }
        if text[at.min(text.len())..].starts_with("::") {
            at += 2;
        } else {
            out.push(before.clone());
            break;
        }
    }
    before.truncate(depth);
    at
}

/// The file of a room that a path names, by its own module path.
fn file_of(
    path: &[String],
    from: &[String],
    files: &BTreeMap<Vec<String>, String>,
) -> Option<Vec<String>> {
    let mut at: Vec<String> = from.to_vec();
    let mut steps = path.iter();
    for step in steps.by_ref() {
        match step.as_str() {
            "super" => {
                at.pop();
            }
            "crate" => at.clear(),
            _ => {
                at.push(step.clone());
                break;
            }
        }
    }
    for step in steps {
        let mut next = at.clone();
        next.push(step.clone());
        if !files.contains_key(&next) {
            break;
        }
        at = next;
    }
    files.contains_key(&at).then_some(at)
}

// ORACLE: contract (docs/design.md): no room holds a circle of files. A folder's own file names what is in it, and is left out.
#[test]
fn no_room_holds_a_circle_of_files() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut all: BTreeMap<Vec<String>, String> = BTreeMap::new();
    for &(room, _) in ROWS {
        let mut files = Vec::new();
        sources(&src.join(room), &mut files);
        for file in files {
            let relative = file.strip_prefix(&src).unwrap().with_extension("");
            let module: Vec<String> = relative
                .iter()
                .map(|p| p.to_str().unwrap().to_owned())
                .filter(|p| p != "mod")
                .collect();
            let text = code(&file);
            let own = text.split("#[cfg(test)]").next().unwrap().to_owned();
            let is_folder = file.ends_with("mod.rs");
            all.insert(module, if is_folder { String::new() } else { own });
        }
    }
    let mut needs: BTreeMap<&Vec<String>, Vec<Vec<String>>> = BTreeMap::new();
    for (module, text) in &all {
        let found = paths(text)
            .into_iter()
            .filter_map(|path| file_of(&path, module, &all));
        let own_room = found.filter(|f| f[0] == module[0] && f != module && !all[f].is_empty());
        needs.insert(module, own_room.collect());
    }
    // What nothing is needed by falls away, again and again; what is left runs in circles.
    let mut left: BTreeSet<Vec<String>> = all.keys().cloned().collect();
    loop {
        let free: Vec<Vec<String>> = left
            .iter()
            .filter(|m| !needs[m].iter().any(|n| left.contains(n)))
            .cloned()
            .collect();
        if free.is_empty() {
            break;
        }
        left.retain(|m| !free.contains(m));
    }
    let needed = |m: &Vec<String>| left.iter().any(|o| o != m && needs[o].contains(m));
    let mut circles: Vec<String> = left
        .iter()
        .filter(|m| needed(m))
        .map(|m| m.join("/"))
        .collect();
    // Files that only lead into a circle are no part of it.
    circles.retain(|m| {
        let module: Vec<String> = m.split('/').map(str::to_owned).collect();
        let mut seen = BTreeSet::new();
        let mut ahead = needs[&module].clone();
        while let Some(next) = ahead.pop() {
            if next == module {
                return true;
            }
            if seen.insert(next.clone()) {
                ahead.extend(needs[&next].iter().cloned());
            }
        }
        false
    });
    assert_eq!(circles, ONE_PIECE.map(|name| format!("flatness/{name}")));
}

#[test]
fn a_circle_is_seen_through_braces() {
    let found = paths("use super::{a::{B, C}, d::E};\nlet x = crate::units::Length::from_m(1.0);");
    let found: Vec<String> = found.iter().map(|p| p.join("::")).collect();
    assert_eq!(
        found,
        [
            "super::a::B",
            "super::a::C",
            "super::d::E",
            "crate::units::Length::from_m"
        ]
    );
}
