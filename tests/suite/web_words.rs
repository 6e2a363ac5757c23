//! Words of the command line never reach the page, and the page takes what the command takes.

use crate::support::site::file;
use birdbath::job::{EdgeWords, FileNames, FillWords, Overrides};
use birdbath::web::{Request, controls, for_page, work};
use std::fs;
use std::path::{Path, PathBuf};

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

/// The flags that a source's code names.
fn flags(text: &str) -> Vec<String> {
    text.lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .flat_map(|l| l.match_indices("--").map(move |(at, _)| (l, at)))
        .filter(|(l, at)| {
            l[..*at]
                .chars()
                .next_back()
                .is_none_or(|c| " \"(`".contains(c))
        })
        .map(|(l, at)| {
            let end = l[at + 2..]
                .find(|c: char| !c.is_ascii_lowercase() && c != '-')
                .map_or(l.len(), |e| at + 2 + e);
            l[at..end].to_owned()
        })
        .filter(|f| f[2..].starts_with(|c: char| c.is_ascii_lowercase()))
        .collect()
}

#[test]
fn every_flag_that_a_text_names_has_a_control_on_the_page() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    // Everything whose words the page can show; files and command line speak to the command line alone.
    for entry in fs::read_dir(&src).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        if path.is_dir() && !["cli", "web", "files"].contains(&name.as_str()) {
            sources(&path, &mut files);
        }
    }
    let mut found = 0;
    for path in files {
        for flag in flags(&fs::read_to_string(&path).unwrap()) {
            found += 1;
            assert!(
                controls().any(|(f, _)| f == flag),
                "{}: names {flag}, for which src/web/wording.rs knows no control of the page",
                path.display()
            );
        }
    }
    assert!(
        found > 10,
        "only {found} flags were found: is the scan right?"
    );
}

#[test]
fn every_control_is_named_as_the_page_labels_it() {
    let web = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/web");
    let page = ["page.html", "page.js"].map(|f| fs::read_to_string(web.join(f)).unwrap());
    for (flag, words) in controls() {
        assert!(
            page.iter().any(|p| p.contains(words)),
            "{flag}: “{words}” does not stand on the page"
        );
    }
}

#[test]
fn a_flag_is_replaced_whole_and_other_dashes_stay() {
    assert_eq!(
        for_page("choose one with --room NAME, or --rooms; a -- b; --fall-from x"),
        "choose one with “Room to take”, or --rooms; a -- b; “from the point” x"
    );
}

fn ask(files: &[(&str, &str)], options: Overrides) -> Result<birdbath::web::Outcome, String> {
    work(Request {
        files: files.iter().map(|(n, t)| file(n, t.as_bytes())).collect(),
        main: files[0].0.into(),
        options,
    })
}

#[test]
fn an_error_names_the_pages_controls() {
    let fault = ask(
        &[("r.csv", "x,y,reading\n0,0,1\n1,0,1\n0,1,1\n")],
        Overrides::default(),
    )
    .unwrap_err();
    assert!(fault.contains("“Unit of plan distances”"), "{fault}");
    assert!(!fault.contains("--"), "{fault}");
}

#[test]
fn two_files_of_one_name_are_never_mixed_up() {
    let job = "[[readings]]\nfile = \"a/r.csv\"\n[[readings]]\nfile = \"b/r.csv\"\n";
    let readings = "x_m,y_m,reading_mm\n0,0,1\n1,0,1\n0,1,1\n";
    let fault = ask(
        &[("job.toml", job), ("r.csv", readings)],
        Overrides::default(),
    )
    .unwrap_err();
    assert!(
        fault.contains("a/r.csv") && fault.contains("b/r.csv"),
        "{fault}"
    );
}

// ORACLE: hand: each list leaves one file over that neither the job nor a choice names.
#[test]
fn a_file_that_is_used_for_nothing_is_refused_by_name() {
    let readings = "x_m,y_m,reading_mm\n0,0,900\n1,0,901\n0,1,901\n1,1,902\n";
    let outline = "x_m,y_m\n0,0\n1,0\n1,1\n0,1\n";
    let job = "[[readings]]\nfile = \"a.csv\"\n";
    let refused = |files: &[(&str, &str)]| ask(files, Overrides::default()).unwrap_err();
    let two = refused(&[("a.csv", readings), ("b.csv", readings), ("c.csv", "?")]);
    assert!(!two.contains("a.csv: "), "{two}");
    for part in [
        "b.csv: is chosen",
        "c.csv: is chosen",
        "job.toml",
        "remove it",
    ] {
        assert!(two.contains(part), "{part}: {two}");
    }
    let drawn = refused(&[("a.csv", readings), ("o.csv", outline)]);
    assert!(
        drawn.contains("o.csv") && drawn.contains("reads as an outline"),
        "{drawn}"
    );
    let beside = refused(&[("job.toml", job), ("a.csv", readings), ("b.csv", readings)]);
    assert!(
        beside.contains("b.csv") && beside.contains("job.toml does not name it"),
        "{beside}"
    );
    let used = Overrides {
        files: FileNames {
            outline: Some("o.csv".into()),
            ..FileNames::default()
        },
        ..Overrides::default()
    };
    ask(&[("a.csv", readings), ("o.csv", outline)], used).unwrap();
}

#[test]
fn what_does_not_go_together_is_refused_as_the_command_does() {
    let readings = [("r.csv", "x_m,y_m,reading_mm\n0,0,1\n1,0,1\n0,1,1\n")];
    let both = Overrides {
        fill: FillWords {
            gauge: Some("3 mm".into()),
            level_at: Some("P1".into()),
            ..FillWords::default()
        },
        ..Overrides::default()
    };
    let fault = ask(&readings, both).unwrap_err();
    assert!(fault.contains("Depth over the high point"), "{fault}");
    let half = Overrides {
        fill: FillWords {
            fall: Some("1:48".into()),
            ..FillWords::default()
        },
        ..Overrides::default()
    };
    let fault = ask(&readings, half).unwrap_err();
    assert!(fault.contains("“from the point”"), "{fault}");
}

#[test]
fn spans_are_held_to_what_a_room_can_mean() {
    let mut rows = String::from("x_m,y_m,reading_mm\n");
    for i in 0..25 {
        rows += &format!("{},{},{}\n", i % 5, i / 5, 900 + i * i % 7);
    }
    let readings = [("r.csv", rows.as_str())];
    for check in ["3 mm in 1000000000 ft", "3 mm in 1001 m"] {
        let options = Overrides {
            edge: EdgeWords {
                checks: vec![check.into()],
                ..EdgeWords::default()
            },
            ..Overrides::default()
        };
        let fault = ask(&readings, options).unwrap_err();
        assert!(fault.contains("1000 m"), "{fault}");
    }
    let options = Overrides {
        edge: EdgeWords {
            spans: vec!["900 m".into()],
            ..EdgeWords::default()
        },
        ..Overrides::default()
    };
    let outcome = ask(&readings, options).unwrap();
    let told = outcome.parts.iter().flat_map(|p| &p.lines).cloned();
    let told: Vec<String> = told.collect();
    assert!(
        told.iter()
            .any(|l| l.contains("no edge of that length fits on the floor")),
        "{told:?}"
    );
}
