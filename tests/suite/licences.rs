//! The licences that go with the program: none of a package is missing, none is of a version that is not built in.

use std::collections::{BTreeMap, BTreeSet};

use crate::support::program::run;

const PACKAGES: &str = include_str!("../../docs/licences/packages.txt");

/// What the colours' licence asks to stand in documents and program.
const COLOURS: &str = "This product includes color specifications and designs developed by Cynthia Brewer (http://colorbrewer.org/).";

/// `name version` of every package that Birdbath is built from: what its dependencies in Cargo.toml need, by Cargo.lock.
/// What only tests and benchmarks need is not among them.
fn built_from() -> BTreeSet<String> {
    let manifest: toml::Table = toml::from_str(include_str!("../../Cargo.toml")).unwrap();
    let lock: toml::Table = toml::from_str(include_str!("../../Cargo.lock")).unwrap();
    let mut wanted = manifest["dependencies"].as_table().unwrap().clone();
    for (_, system) in manifest["target"].as_table().unwrap() {
        wanted.extend(system["dependencies"].as_table().unwrap().clone());
    }
    let word = |p: &toml::Value, key: &str| p[key].as_str().unwrap().to_owned();
    // A dependency is told as `name`, or as `name version` where several versions are there.
    let mut by_name: BTreeMap<String, Vec<(String, Vec<String>)>> = BTreeMap::new();
    for p in lock["package"].as_array().unwrap() {
        let needs = p.get("dependencies").and_then(|d| d.as_array());
        let needs = needs.into_iter().flatten();
        let needs = needs.map(|d| d.as_str().unwrap().to_owned()).collect();
        by_name
            .entry(word(p, "name"))
            .or_default()
            .push((word(p, "version"), needs));
    }
    let mut left: Vec<String> = by_name["birdbath"][0]
        .1
        .iter()
        .filter(|d| wanted.contains_key(d.split(' ').next().unwrap()))
        .cloned()
        .collect();
    assert_eq!(left.len(), wanted.len(), "{left:?}");
    let mut seen = BTreeSet::new();
    while let Some(told) = left.pop() {
        let (name, version) = told.split_once(' ').unwrap_or((&told, ""));
        for (v, needs) in &by_name[name] {
            if (version.is_empty() || v == version) && seen.insert(format!("{name} {v}")) {
                left.extend(needs.iter().cloned());
            }
        }
    }
    seen
}

/// The list at the head of the file: `name version` and the licence taken.
fn listed() -> BTreeMap<String, String> {
    PACKAGES
        .lines()
        .take_while(|l| !l.starts_with("===="))
        .filter_map(|l| l.split_once(": "))
        .map(|(name, licence)| (name.to_owned(), licence.to_owned()))
        .collect()
}

// ORACLE: Cargo.lock, read here by itself; the file was made from what cargo says of the same tree.
#[test]
fn every_package_built_in_has_its_licence() {
    let (built, listed) = (built_from(), listed());
    assert!(built.len() > 400, "{}", built.len());
    let named: BTreeSet<String> = listed.keys().cloned().collect();
    let missing: Vec<_> = built.difference(&named).collect();
    let stale: Vec<_> = named.difference(&built).collect();
    assert!(
        missing.is_empty() && stale.is_empty(),
        "Cargo.lock and docs/licences/packages.txt differ: missing {missing:?}, no longer built in {stale:?}; run \
         python3 docs/licences/make.py"
    );
    // What only tests need is not told as built in.
    for name in ["criterion", "proptest", "ureq"] {
        assert!(
            !named.iter().any(|n| n.starts_with(&format!("{name} "))),
            "{name}"
        );
    }
    // Each stands over a text, too, and each licence that is taken has its text.
    let texts: String = PACKAGES
        .lines()
        .skip_while(|l| !l.starts_with("===="))
        .map(|l| format!("{l}\n"))
        .collect();
    let over: BTreeSet<&str> = texts
        .lines()
        .flat_map(|l| l.split(", "))
        .map(|n| n.trim_end_matches(',').split(": ").next().unwrap())
        .collect();
    for (name, licence) in &listed {
        assert!(over.contains(name.as_str()), "{name} stands over no text");
        for one in licence.split(" (").next().unwrap().split(" AND ") {
            assert!(
                texts.contains(&format!(": {one}\n")),
                "{name}: no text of {one}"
            );
        }
    }
}

// ORACLE: the packages' own files, as they lie beside the sources where cargo has fetched them: their copyright lines stand in ours.
#[test]
fn copyright_lines_survive() {
    for line in [
        "Copyright 2022 University of Oxford Control Group",
        "Copyright (c) 2015 Andrew Gallant",
        "Copyright (c) Individual contributors",
    ] {
        assert!(PACKAGES.contains(line), "{line}");
    }
    let home = std::env::var_os("CARGO_HOME").map_or_else(
        || std::path::PathBuf::from(std::env::var_os("HOME").unwrap_or_default()).join(".cargo"),
        std::path::PathBuf::from,
    );
    let folders: Vec<_> = std::fs::read_dir(home.join("registry/src"))
        .into_iter()
        .flatten()
        .map(|f| f.unwrap().path())
        .collect();
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let ours = words(PACKAGES);
    let mut held = 0;
    for name in built_from() {
        let file = format!("{}/LICENSE-MIT", name.replace(' ', "-"));
        let found = folders
            .iter()
            .find_map(|f| std::fs::read_to_string(f.join(&file)).ok());
        for line in found.iter().flat_map(|t| t.lines()) {
            if line.starts_with("Copyright") && line.contains(|c: char| c.is_ascii_digit()) {
                assert!(ours.contains(&words(line)), "{name}: {line}");
                held += 1;
            }
        }
    }
    assert!(folders.is_empty() || held > 100, "{held} lines held");
    // A registry's address is no part of a licence.
    assert!(!PACKAGES.contains(concat!("crates", ".io")));
}

// SOURCE: condition 2 of the colours' licence; section 2 of the SIL Open Font License 1.1.
#[test]
fn the_program_prints_all_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let o = run(folder.path(), &["--licences"]);
    assert_eq!(o.status.code(), Some(0));
    let said = String::from_utf8(o.stdout).unwrap();
    for part in [
        include_str!("../../LICENSE").trim(),
        COLOURS,
        "Copyright 2016-2022 The Inter Project Authors",
        "SIL OPEN FONT LICENSE Version 1.1",
        PACKAGES.trim(),
    ] {
        assert!(said.contains(part), "{}", part.lines().next().unwrap());
    }
    let other = run(folder.path(), &["--licenses"]);
    assert_eq!(String::from_utf8(other.stdout).unwrap(), said);
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for document in [
        include_str!("../../README.md"),
        include_str!("../../docs/methods.md"),
    ] {
        assert!(words(document).contains(COLOURS));
    }
}

/// The words of every source under a folder.
fn words_under(folder: &str) -> BTreeSet<String> {
    fn read(dir: &std::path::Path, into: &mut BTreeSet<String>) {
        for entry in std::fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                read(&path, into);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                let code = text.lines().filter(|l| !l.trim_start().starts_with("//"));
                for line in code {
                    let words = line.split(|c: char| !c.is_alphanumeric() && c != '_');
                    into.extend(words.map(str::to_owned));
                }
            }
        }
    }
    let mut words = BTreeSet::new();
    read(
        &std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
        &mut words,
    );
    words
}

// ORACLE: contract: no package is asked for that nothing uses.
#[test]
fn every_package_asked_for_is_used() {
    let manifest: toml::Table = toml::from_str(include_str!("../../Cargo.toml")).unwrap();
    let unix = &manifest["target"]["cfg(unix)"];
    let (source, tests) = (words_under("src"), words_under("tests"));
    let both: BTreeSet<String> = source.union(&tests).cloned().collect();
    for (asked, words) in [
        (&manifest["dependencies"], &source),
        (&unix["dependencies"], &source),
        (&manifest["dev-dependencies"], &both),
    ] {
        for name in asked.as_table().unwrap().keys() {
            assert!(
                words.contains(&name.replace('-', "_")),
                "{name} is not used"
            );
        }
    }
}
