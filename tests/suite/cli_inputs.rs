//! What the command line makes of names, of the same name twice, and of what is said beside the files.

use crate::pdf::words_of;
use crate::sets::{err, floor};
use crate::support::program::{demo, run};
use std::fs::OpenOptions;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn ok(folder: &Path, words: &[&str]) -> String {
    let o = run(folder, words);
    assert_eq!(o.status.code(), Some(0), "{words:?}: {}", err(&o));
    String::from_utf8(o.stdout).unwrap()
}

fn json(folder: &Path, words: &[&str]) -> Value {
    serde_json::from_str(&ok(folder, words)).unwrap()
}

/// Sample lines a foot apart, far below the floor's readings.
fn lines() -> String {
    let rows: String = (0..24).map(|i| format!("A,{i},{}\n", 90 + i % 2)).collect();
    format!("line,station_ft,reading_in\n{rows}")
}

#[test]
fn two_files_of_one_name_are_two_inputs() {
    // ORACLE: the answer with the lines under another name.
    let folder = floor();
    let at = |name: &str| folder.path().join(name);
    std::fs::create_dir(at("lines")).unwrap();
    std::fs::write(at("lines/floor.csv"), lines()).unwrap();
    std::fs::write(at("other.csv"), lines()).unwrap();
    let same = json(
        folder.path(),
        &["flat", "floor.csv", "--lines", "lines/floor.csv", "--json"],
    );
    let apart = json(
        folder.path(),
        &["flat", "floor.csv", "--lines", "other.csv", "--json"],
    );
    for key in ["floor", "flatness", "f_numbers"] {
        assert!(!same[key].is_null());
        assert_eq!(same[key], apart[key], "{key}");
    }
    // No clash, the short name; a clash, the path as given.
    let names = |v: &Value| -> Vec<String> {
        let files = v["inputs"]["files"].as_array().unwrap();
        files
            .iter()
            .map(|f| f["name"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(names(&apart), ["floor.csv", "other.csv"]);
    assert_eq!(names(&same), ["floor.csv", "lines/floor.csv"]);
    // One file named twice is one input.
    let v = json(folder.path(), &["flat", "./floor.csv", "--json"]);
    assert_eq!(names(&v), ["floor.csv"]);
    // A job's own file stands beside it, a flag's where the command was given: one string, two files.
    std::fs::create_dir_all(at("job/lines")).unwrap();
    std::fs::write(
        at("job/lines/floor.csv"),
        std::fs::read(at("floor.csv")).unwrap(),
    )
    .unwrap();
    std::fs::write(
        at("job/job.toml"),
        "[[readings]]\nfile = \"lines/floor.csv\"\n",
    )
    .unwrap();
    let v = json(
        folder.path(),
        &[
            "flat",
            "job/job.toml",
            "--lines",
            "lines/floor.csv",
            "--json",
        ],
    );
    assert_eq!(v["floor"], apart["floor"]);
    assert_eq!(v["f_numbers"], apart["f_numbers"]);
}

#[test]
fn the_two_days_of_a_recheck_may_have_files_of_one_name() {
    // ORACLE: the answer with the outline under another name.
    let folder = floor();
    let at = |name: &str| folder.path().join(name);
    for (day, outline) in [("same", "after.csv"), ("apart", "room.csv")] {
        std::fs::create_dir(at(day)).unwrap();
        std::fs::copy(at("floor.csv"), at(day).join("floor.csv")).unwrap();
        std::fs::write(
            at(day).join(outline),
            "kind,x_ft,y_ft\noutline,0,0\noutline,4,0\noutline,4,4\noutline,0,4\n",
        )
        .unwrap();
        let job = format!("outline = \"{outline}\"\n[[readings]]\nfile = \"floor.csv\"\n");
        std::fs::write(at(day).join("job.toml"), job).unwrap();
    }
    let text = std::fs::read_to_string(at("floor.csv")).unwrap();
    std::fs::write(at("after.csv"), text.replace("40", "39")).unwrap();
    let of = |day: &str| {
        let job = format!("{day}/job.toml");
        let mut v = json(folder.path(), &["recheck", &job, "after.csv", "--json"]);
        // The number tells the inputs apart, and is to.
        v.as_object_mut().unwrap().remove("run").unwrap();
        v
    };
    assert_eq!(of("same"), of("apart"));
    assert!(of("same")["placed_l"].as_f64().unwrap() > 0.0);
}

#[test]
fn rooms_of_like_names_have_folders_of_their_own() {
    // ORACLE: hand. Folders are told apart without regard to capitals, and a room's own name is not given away.
    assert_eq!(
        birdbath::job::folder_names(["Hall 1", "hall-1", "HALL?1", "hall-1-2", ""]),
        ["Hall-1", "hall-1-3", "HALL-1-4", "hall-1-2", "room"]
    );
    let folder = tempfile::tempdir().unwrap();
    let mut text = String::from("room,x_ft,y_ft,reading_in\n");
    for room in ["North room", "north-room"] {
        for (x, y, r) in [(0, 0, 40), (4, 0, 41), (0, 4, 40), (4, 4, 40)] {
            text.push_str(&format!("{room},{x},{y},{r}\n"));
        }
    }
    std::fs::write(folder.path().join("rooms.csv"), text).unwrap();
    ok(
        folder.path(),
        &["sheets", "rooms.csv", "--only", "height-map", "--out", "p"],
    );
    for name in ["North-room", "north-room-2"] {
        let map = folder.path().join("p").join(name).join("height-map.svg");
        assert!(map.exists(), "{name}");
    }
}

#[test]
fn one_number_stands_on_every_sheet_of_a_run() {
    let (made, said) = demo();
    assert_eq!(said.status.code(), Some(0));
    let paper = made.path().join("d/paper");
    let text = |name: &str| std::fs::read_to_string(paper.join(name)).unwrap();
    let v: Value = serde_json::from_str(&text("result.json")).unwrap();
    let number = v["inputs"]["run"].as_str().unwrap().to_owned();
    assert_eq!(number.len(), 8);
    let mut seen = 0;
    for entry in std::fs::read_dir(&paper).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if name.ends_with(".svg") || name.ends_with(".html") {
            assert!(text(&name).contains(&number), "{name}");
            seen += 1;
        } else if name.ends_with(".pdf") {
            let words = words_of(&std::fs::read(paper.join(&name)).unwrap());
            assert!(words.contains(&format!("Run {number}")), "{name}");
            seen += 1;
        }
    }
    assert_eq!(seen, 8 + 1 + 7);
    // Another folder and other files of it: the same number. Another flag, another file: another.
    let folder = tempfile::tempdir().unwrap();
    let d = folder.path().to_owned();
    for entry in std::fs::read_dir(made.path().join("d")).unwrap() {
        let from = entry.unwrap().path();
        if from.is_file() {
            std::fs::copy(&from, d.join(from.file_name().unwrap())).unwrap();
        }
    }
    let of = |words: &[&str], out: &str| {
        let mut all = vec!["run", "job.toml", "--only", "result", "--out", out];
        all.extend(words);
        ok(&d, &all);
        let text = std::fs::read_to_string(d.join(out).join("result.json")).unwrap();
        let v: Value = serde_json::from_str(&text).unwrap();
        v["inputs"]["run"].as_str().unwrap().to_owned()
    };
    assert_eq!(of(&[], "q"), number);
    let quick = of(&["--draws", "0"], "p");
    assert_ne!(quick, number);
    assert_ne!(of(&["--draws", "0", "--waste", "12"], "r"), quick);
    std::fs::write(d.join("material.toml"), {
        let text = std::fs::read_to_string(d.join("material.toml")).unwrap();
        format!("{text}\n# Another.\n")
    })
    .unwrap();
    assert_ne!(of(&["--draws", "0"], "s"), quick);
}

#[test]
fn an_answer_that_cannot_be_told_is_no_answer() {
    let folder = floor();
    let to = |words: &[&str]| -> Output {
        Command::new(env!("CARGO_BIN_EXE_birdbath"))
            .current_dir(folder.path())
            .args(words)
            .stdout(OpenOptions::new().write(true).open("/dev/full").unwrap())
            .output()
            .unwrap()
    };
    for words in [
        &["fill", "floor.csv"][..],
        &["flat", "floor.csv", "--json"],
        &["read", "floor.csv"],
        &["submittal", "floor.csv", "--only", "quantities"],
        &["--help"],
        &["--licences"],
    ] {
        let o = to(words);
        assert_eq!(o.status.code(), Some(1), "{words:?}");
        assert!(err(&o).contains("standard output"), "{}", err(&o));
    }
    // A reader that went away is no fault, and the paper is written all the same.
    let mut child = Command::new(env!("CARGO_BIN_EXE_birdbath"))
        .current_dir(folder.path())
        .args(["sheets", "floor.csv", "--only", "height-map"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let o = child.wait_with_output().unwrap();
    assert_eq!((o.status.code(), err(&o).as_str()), (Some(0), ""));
    assert!(folder.path().join("sheets/height-map.svg").exists());
}

#[test]
fn names_that_can_write_nothing_say_why() {
    let folder = floor();
    let o = run(
        folder.path(),
        &["sheets", "floor.csv", "--only", "pour-map"],
    );
    assert_eq!(o.status.code(), Some(1));
    assert!(
        err(&o).contains("pour-map") && err(&o).contains("--material"),
        "{}",
        err(&o)
    );
    assert!(!String::from_utf8_lossy(&o.stdout).contains("Wrote"));
    assert!(!folder.path().join("sheets").exists());
    // With something else wanted it is told, and the rest is written.
    let o = run(
        folder.path(),
        &[
            "sheets",
            "floor.csv",
            "--only",
            "pour",
            "--only",
            "height-map",
        ],
    );
    assert_eq!(o.status.code(), Some(0));
    assert!(err(&o).contains("--material"), "{}", err(&o));
    // What stands on the straight edge has it laid.
    ok(
        folder.path(),
        &[
            "sheets",
            "floor.csv",
            "--only",
            "hump-map",
            "--only",
            "coverage-map",
            "--out",
            "h",
        ],
    );
    for name in ["hump-map.svg", "coverage-map.svg"] {
        assert!(folder.path().join("h").join(name).exists(), "{name}");
    }
    // Each command's help lists its own names.
    let names = |command: &str| ok(folder.path(), &[command, "--help"]);
    assert!(names("sheets").contains("mark-out") && !names("sheets").contains("quantities"));
    assert!(names("submittal").contains("quantities") && !names("submittal").contains("mark-out"));
    assert!(names("run").contains("quantities") && names("run").contains("mark-out"));
}

#[test]
fn no_name_steers_the_terminal() {
    let folder = floor();
    let evil = "fl\u{1b}[31mo\u{9b}o\u{202e}r.csv";
    std::fs::rename(folder.path().join("floor.csv"), folder.path().join(evil)).unwrap();
    let title = "a\u{1b}]0;x\u{7}b\u{2066}c";
    for words in [
        &["fill", evil, "--title", title][..],
        &["read", evil],
        &["flat", "no\u{1b}[2Jsuch.csv"],
        &[
            "sheets",
            evil,
            "--only",
            "height-map",
            "--out",
            "o\u{1b}[1mut",
        ],
        &["no\u{1b}[31msuch"],
        &["fill", evil, "--gauge", "1\u{1b}[31m in"],
    ] {
        let o = run(folder.path(), words);
        let said = [o.stdout, o.stderr].concat();
        let said = String::from_utf8(said).unwrap();
        assert!(!said.is_empty());
        for c in ['\u{1b}', '\u{9b}', '\u{202e}', '\u{2066}', '\u{7}'] {
            assert!(!said.contains(c), "{words:?}: {said:?}");
        }
    }
    let said = ok(folder.path(), &["fill", evil, "--title", title]);
    assert!(said.contains("a\\u{1b}]0;x\\u{7}b\\u{2066}c"), "{said}");
}

// ORACLE: hand. What a cell, a file's name or a folder's holds stands behind other words on its line, never on one of its own.
#[cfg(unix)]
#[test]
fn no_name_makes_lines_of_the_answer() {
    let folder = tempfile::tempdir().unwrap();
    let file = "r\nVerdict: FILE.csv";
    // The highest point, its note, the room and a door are named on two lines; so is a reading that cannot be taken.
    let readings = "\"Bath\nVerdict: ROOM\"\nx_ft,y_ft,reading_in,point,note\n0,0,38 3/4,P1,\n2,0,38 3/4,P2,\n0,2,38 1/2,\"A\nVerdict: WITHIN\",\"b\nVerdict: NOTE\"\n2,2,38 15/16,P4,\n";
    let outline = "kind,name,x_ft,y_ft,width_in\noutline,,0,0\noutline,,2,0\noutline,,2,2\noutline,,0,2\ndoor,\"D\nVerdict: DOOR\",1,0,30\n";
    std::fs::write(folder.path().join(file), readings).unwrap();
    let unread = readings.replace("38 15/16", "\"38 15/16\nVerdict: CELL\"");
    std::fs::write(folder.path().join("unread.csv"), unread).unwrap();
    std::fs::write(folder.path().join("o\n.csv"), outline).unwrap();
    for words in [
        &["read", file, "--cells"][..],
        &["flat", file, "--title", "T\nVerdict: TITLE"],
        &["fill", file, "--gauge", "1/8 in", "--outline", "o\n.csv"],
        &["read", "unread.csv"],
        &["flat", "no\nVerdict: SUCH.csv"],
        &[
            "sheets",
            file,
            "--only",
            "height-map",
            "--out",
            "o\nVerdict: OUT",
        ],
    ] {
        let o = run(folder.path(), words);
        let said = String::from_utf8([o.stdout, o.stderr].concat()).unwrap();
        assert!(said.contains("Verdict: "), "{words:?}: {said}");
        let forged = |line: &str| line.trim_start().starts_with("Verdict: ");
        assert!(!said.lines().any(forged), "{words:?}: {said}");
    }
    let said = ok(folder.path(), &["fill", file, "--gauge", "1/8 in"]);
    assert!(
        said.contains("High point      A Verdict: WITHIN (reading 38 1/2)"),
        "{said}"
    );
}

// ORACLE: hand: the file is read by its bytes, whatever they spell.
#[cfg(target_os = "linux")]
#[test]
fn a_file_whose_name_is_no_text_is_answered() {
    use std::os::unix::ffi::OsStrExt;
    let folder = floor();
    let name = std::ffi::OsStr::from_bytes(b"bad\xff.csv");
    std::fs::rename(folder.path().join("floor.csv"), folder.path().join(name)).unwrap();
    let o = std::process::Command::new(env!("CARGO_BIN_EXE_birdbath"))
        .current_dir(folder.path())
        .arg("flat")
        .arg(name)
        .output()
        .unwrap();
    let said = String::from_utf8(o.stderr).unwrap();
    assert_eq!(o.status.code(), Some(0), "{said}");
    assert!(said.contains("this command with --edges"), "{said}");
}

// ORACLE: hand. A backslash parts folders on Windows only; elsewhere it is a sign of the name.
#[cfg(unix)]
#[test]
fn a_job_file_finds_readings_with_a_backslash_in_their_name() {
    let folder = floor();
    let name = "a\\b.csv";
    std::fs::rename(folder.path().join("floor.csv"), folder.path().join(name)).unwrap();
    ok(folder.path(), &["job", name, "--out", "j"]);
    let said = ok(folder.path(), &["read", "j/job.toml"]);
    assert!(said.contains("readings as a"), "{said}");
}

// ORACLE: hand: the fonts have no ideographs.
#[test]
fn a_file_whose_name_the_fonts_lack_is_printed_all_the_same() {
    let folder = floor();
    let name = "部屋 1.csv";
    std::fs::rename(folder.path().join("floor.csv"), folder.path().join(name)).unwrap();
    let words = [
        "run",
        name,
        "--only",
        "depth-map",
        "--only",
        "quantities",
        "--only",
        "result",
    ];
    let said = ok(folder.path(), &words);
    assert!(said.contains(name), "{said}");
    let result = std::fs::read_to_string(folder.path().join("paper/result.json")).unwrap();
    assert!(result.contains("?? 1.csv"), "{result}");
    let o = run(
        folder.path(),
        &["run", name, "--title", "部屋", "--out", "q"],
    );
    assert_eq!(o.status.code(), Some(1));
}

#[test]
fn the_jobs_words_can_be_given_by_flag() {
    let folder = floor();
    let words = [
        "--title",
        "Lark hall",
        "--place",
        "First floor",
        "--who",
        "Ann",
        "--when",
        "2026-05-04",
    ];
    for command in ["flat", "fill", "pour"] {
        let mut all = vec![command, "floor.csv"];
        all.extend(words);
        assert!(ok(folder.path(), &all).contains("Lark hall"), "{command}");
    }
    for (command, only) in [
        ("sheets", "mark-out"),
        ("submittal", "submittal"),
        ("run", "quantities"),
    ] {
        let mut all = vec![command, "floor.csv", "--only", only, "--out", command];
        all.extend(words);
        ok(folder.path(), &all);
        let pdf = std::fs::read(folder.path().join(format!("{command}/{only}.pdf"))).unwrap();
        let text = words_of(&pdf);
        for told in ["Lark hall", "First floor", "2026-05-04"] {
            assert!(text.contains(told), "{command}: {told}");
        }
    }
}

/// A job file with every key that is left away in it taken up.
fn taken_up(text: &str) -> String {
    let is_key = |line: &str| {
        line.strip_prefix('#').is_some_and(|l| {
            l.split_once(" = ")
                .is_some_and(|(key, _)| key.chars().all(|c| c.is_ascii_lowercase() || c == '_'))
        })
    };
    text.lines()
        .map(|l| {
            if is_key(l) {
                format!("{}\n", &l[1..])
            } else {
                format!("{l}\n")
            }
        })
        .collect()
}

#[test]
fn a_started_job_parses_and_runs() {
    let folder = floor();
    ok(
        folder.path(),
        &[
            "job",
            "floor.csv",
            "--out",
            "j",
            "--title",
            "Hall {who} \"A\"",
            "--who",
            "Ann",
        ],
    );
    let j = folder.path().join("j");
    let text = std::fs::read_to_string(j.join("job.toml")).unwrap();
    let parsed = birdbath::job::JobFile::parse("job.toml", text.as_bytes()).unwrap();
    assert_eq!(
        (parsed.title.as_str(), parsed.who.as_str()),
        ("Hall {who} \"A\"", "Ann")
    );
    assert_eq!(parsed.readings[0].file, "../floor.csv");
    assert!(!j.join("floor.csv").exists());
    // Every key there is stands in it, with a comment before it.
    let full = taken_up(&text);
    let all = birdbath::job::JobFile::parse("job.toml", full.as_bytes()).unwrap();
    assert!(all.fill.bags.is_some() && all.crew.bays.is_some() && all.company.logo.is_some());
    let debug = format!("{all:?}");
    assert!(!debug.contains("None"), "a key is not in the file: {debug}");
    ok(&j, &["run", "job.toml", "--only", "result"]);
    let result = std::fs::read_to_string(j.join("paper/result.json")).unwrap();
    let v: Value = serde_json::from_str(&result).unwrap();
    // ORACLE: hand. The readings reach over 4 ft by 4 ft.
    let area = v["floor"]["area_m2"].as_f64().unwrap();
    assert!((area - 16.0 * 0.3048 * 0.3048).abs() < 1e-4, "{area}");
    // What stands on a guess says so, until somebody says otherwise.
    let codes = |v: &Value| -> Vec<String> {
        let all = v["notices"].as_array().unwrap().iter();
        all.map(|n| n["code"].as_str().unwrap().to_owned())
            .collect()
    };
    for code in ["outline-guessed", "material-invented"] {
        assert!(codes(&v).contains(&code.to_owned()), "{code}");
    }
    std::fs::copy(j.join("outline.csv"), j.join("own.csv")).unwrap();
    let own = run(&j, &["flat", "job.toml", "--outline", "own.csv", "--json"]);
    let own: Value = serde_json::from_slice(&own.stdout).unwrap();
    assert!(!codes(&own).contains(&"outline-guessed".to_owned()));
    assert!(
        std::fs::read_to_string(j.join("material.toml"))
            .unwrap()
            .contains("invented material")
    );
    // Not over what is there; and a material sheet that was edited stays whatever is replaced.
    let o = run(folder.path(), &["job", "floor.csv", "--out", "j"]);
    assert_eq!(o.status.code(), Some(1));
    std::fs::write(
        j.join("material.toml"),
        "# mine\nyield_per_bag = \"10 l\"\n",
    )
    .unwrap();
    let o = run(
        folder.path(),
        &["job", "floor.csv", "--out", "j", "--replace"],
    );
    assert_eq!(o.status.code(), Some(0));
    assert!(String::from_utf8_lossy(&o.stderr).contains("Kept as they were"));
    let kept = std::fs::read_to_string(j.join("material.toml")).unwrap();
    assert!(kept.starts_with("# mine"), "{kept}");
}

#[test]
fn a_started_job_keeps_how_the_readings_are_taken_and_the_users_outline() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::write(
        at("bare.csv"),
        "x,y,reading\n0,0,980\n1,0,985\n0,1,975\n1,1,980\n",
    )
    .unwrap();
    std::fs::write(
        at("room.csv"),
        "kind,x_m,y_m\noutline,0,0\noutline,1,0\noutline,1,1\noutline,0,1\n",
    )
    .unwrap();
    ok(
        folder.path(),
        &[
            "job",
            "bare.csv",
            "--plan-unit",
            "m",
            "--reading-unit",
            "mm",
            "--outline",
            "room.csv",
        ],
    );
    let text = std::fs::read_to_string(at("job.toml")).unwrap();
    assert!(
        text.contains("outline = \"room.csv\"") && text.contains("\"metric\""),
        "{text}"
    );
    assert!(!at("outline.csv").exists());
    ok(folder.path(), &["run", "job.toml", "--only", "result"]);
}
