//! Sets of papers: there whole or not at all, over no input, and never over anything of the user's.

use crate::support::program::run;
use birdbath::files::{SetKind, SetPlace};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

/// A small floor, so that most of a run is writing.
pub const FLOOR: &str =
    "x_ft,y_ft,reading_in\n0,0,40\n4,0,40 1/4\n0,4,40 1/8\n4,4,40 3/8\n2,2,40 1/16\n";

pub fn floor() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("floor.csv"), FLOOR).unwrap();
    folder
}

pub fn err(o: &Output) -> String {
    String::from_utf8_lossy(&o.stderr).into_owned()
}

pub fn done(folder: &Path, words: &[&str]) {
    let o = run(folder, words);
    assert_eq!(o.status.code(), Some(0), "{words:?}: {}", err(&o));
}

/// That the words are refused with exit 1 before anything is worked out; what was said of it.
fn refused(folder: &Path, words: &[&str]) -> String {
    let o = run(folder, words);
    assert_eq!(o.status.code(), Some(1), "{words:?}: {}", err(&o));
    assert!(o.stdout.is_empty(), "{words:?} was worked out first");
    err(&o)
}

/// Every file under a folder with its bytes; the folder's own name left out.
pub fn all(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(inner) = waiting.pop() {
        for entry in std::fs::read_dir(&inner).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().display().to_string();
                found.insert(name, std::fs::read(&path).unwrap());
            }
        }
    }
    found
}

/// Temporary names that stand in a folder.
pub fn temporaries(folder: &Path) -> Vec<String> {
    std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.starts_with(".birdbath-") && n != ".birdbath-set")
        .collect()
}

#[test]
fn each_command_has_a_folder_of_its_own_beside_the_readings() {
    let folder = floor();
    for (words, place, name) in [
        (
            ["sheets", "floor.csv", "--only", "depth-map"],
            "sheets",
            "depth-map.svg",
        ),
        (
            ["submittal", "floor.csv", "--only", "quantities"],
            "submittal",
            "quantities.pdf",
        ),
        (
            ["run", "floor.csv", "--only", "result"],
            "paper",
            "result.json",
        ),
    ] {
        done(folder.path(), &words);
        assert!(folder.path().join(place).join(name).exists(), "{words:?}");
    }
}

#[test]
fn an_earlier_set_is_replaced_whole_and_only_when_asked() {
    let folder = floor();
    done(
        folder.path(),
        &[
            "sheets",
            "floor.csv",
            "--only",
            "depth-map",
            "--only",
            "height-map",
        ],
    );
    let before = all(folder.path());
    let again = [
        "sheets",
        "floor.csv",
        "--only",
        "depth-map",
        "--gauge",
        "1/2 in",
    ];
    assert!(refused(folder.path(), &again).contains("--replace"));
    assert_eq!(all(folder.path()), before);
    let mut replace = again.to_vec();
    replace.push("--replace");
    done(folder.path(), &replace);
    let after = all(&folder.path().join("sheets"));
    let names: Vec<&str> = after.keys().map(String::as_str).collect();
    assert_eq!(names, [".birdbath-set", "depth-map.png", "depth-map.svg"]);
    assert_ne!(after["depth-map.svg"], before["sheets/depth-map.svg"]);
    assert!(temporaries(folder.path()).is_empty());
}

#[test]
fn a_folder_that_holds_anything_of_the_users_is_never_replaced_nor_mixed_with() {
    let folder = floor();
    let words = [
        "sheets",
        "floor.csv",
        "--only",
        "depth-map",
        "--out",
        "p",
        "--replace",
    ];
    let p = folder.path().join("p");
    let mine = |name: &str| {
        let path = p.join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, "mine").unwrap();
    };
    // No set at all.
    mine("notes.txt");
    let said = refused(folder.path(), &words);
    assert!(
        said.contains("notes.txt") && said.contains("--out"),
        "{said}"
    );
    std::fs::remove_file(p.join("notes.txt")).unwrap();
    // Empty: taken.
    done(folder.path(), &words);
    // A set with a file, a file in a folder, an empty folder, or a link of the user's.
    for name in ["notes.txt", "deep/notes.txt"] {
        mine(name);
        let before = all(&p);
        assert!(refused(folder.path(), &words).contains(name));
        assert_eq!(all(&p), before);
        std::fs::remove_file(p.join(name)).unwrap();
    }
    assert!(refused(folder.path(), &words).contains("deep"));
    std::fs::remove_dir(p.join("deep")).unwrap();
    std::os::unix::fs::symlink("../floor.csv", p.join("link")).unwrap();
    assert!(refused(folder.path(), &words).contains("link"));
    std::fs::remove_file(p.join("link")).unwrap();
    // A list that is not ours makes no set.
    std::fs::write(p.join(".birdbath-set"), "depth-map.svg\ndepth-map.png\n").unwrap();
    assert!(refused(folder.path(), &words).contains("depth-map"));
    // A file in the folder's place.
    std::fs::write(folder.path().join("taken"), "mine").unwrap();
    let said = refused(
        folder.path(),
        &["run", "floor.csv", "--out", "taken", "--replace"],
    );
    assert!(said.contains("is a file"), "{said}");
}

// ORACLE: hand: what was written again by the program itself has not been changed, and what was moved away is in nobody's way.
#[test]
fn a_set_that_was_worked_on_is_not_replaced() {
    let folder = floor();
    let paper = ["run", "floor.csv", "--only", "workbook", "--only", "result"];
    let again = [&paper[..], &["--replace"]].concat();
    done(folder.path(), &paper);
    done(folder.path(), &again);
    let workbook = folder.path().join("paper/workbook.xlsx");
    let mut filled = std::fs::read(&workbook).unwrap();
    filled.extend(b"mine");
    std::fs::write(&workbook, &filled).unwrap();
    let before = all(folder.path());
    let said = refused(folder.path(), &again);
    for part in ["workbook.xlsx was changed", "--out"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("result.json"), "{said}");
    assert_eq!(all(folder.path()), before);
    std::fs::rename(&workbook, folder.path().join("mine.xlsx")).unwrap();
    done(folder.path(), &again);
    assert_eq!(
        std::fs::read(folder.path().join("mine.xlsx")).unwrap(),
        filled
    );
}

// ORACLE: hand. The list of an earlier build names files and has no checksums.
#[test]
fn a_set_of_an_earlier_build_is_a_set() {
    let folder = floor();
    let words = ["run", "floor.csv", "--only", "result"];
    done(folder.path(), &words);
    let list = folder.path().join("paper/.birdbath-set");
    let text = std::fs::read_to_string(&list).unwrap();
    let head = text.lines().next().unwrap();
    std::fs::write(&list, format!("{head}\nresult.json\n")).unwrap();
    done(folder.path(), &[&words[..], &["--replace"]].concat());
}

// ORACLE: hand. The mark of a folder that is the user's from its first moment on makes no set of it, however long it stands there.
#[test]
fn a_folder_that_is_the_users_is_no_set_at_any_moment() {
    let folder = floor();
    let p = folder.path().join("paper");
    std::fs::create_dir(&p).unwrap();
    std::fs::write(p.join("job.toml"), "mine").unwrap();
    let mark = "# Files that birdbath is writing. Once their folder has its name they are yours, and this list is of no use.\njob.toml\n";
    std::fs::write(p.join(".birdbath-set"), mark).unwrap();
    let said = refused(
        folder.path(),
        &["run", "floor.csv", "--only", "result", "--replace"],
    );
    assert_eq!(said.matches(".birdbath-set").count(), 1, "{said}");
    assert_eq!(std::fs::read(p.join("job.toml")).unwrap(), b"mine");
    // The program writes that very mark: a part that was stopped is known by it and swept.
    let gone = {
        let mut gone = Command::new("true").spawn().unwrap();
        gone.wait().unwrap();
        gone.id()
    };
    let part = folder.path().join(format!(".birdbath-{gone}-0.part"));
    std::fs::create_dir(&part).unwrap();
    std::fs::write(part.join(".birdbath-set"), mark).unwrap();
    std::fs::write(part.join("job.toml"), "half").unwrap();
    done(
        folder.path(),
        &["run", "floor.csv", "--only", "result", "--out", "q"],
    );
    assert!(!part.exists());
}

// ORACLE: hand: a mark that is a folder is named once.
#[test]
fn what_stands_in_the_way_is_named_once() {
    let folder = floor();
    std::fs::create_dir_all(folder.path().join("paper/.birdbath-set")).unwrap();
    let said = refused(folder.path(), &["run", "floor.csv", "--only", "result"]);
    assert_eq!(said.matches(".birdbath-set").count(), 1, "{said}");
}

// ORACLE: hand. The system's own folders take no files, and what comes through one of them lies beside nothing.
#[cfg(target_os = "linux")]
#[test]
fn where_a_set_cannot_stand_is_told_before_or_with_why() {
    let folder = floor();
    let said = run(
        folder.path(),
        &[
            "run",
            "floor.csv",
            "--only",
            "result",
            "--out",
            "/proc/birdbath-set",
        ],
    );
    assert_eq!(said.status.code(), Some(1));
    let said = err(&said);
    assert!(
        said.contains("built beside") && said.contains("/proc"),
        "{said}"
    );
    let asked = |more: &[&str]| {
        let words = [&["run", "/dev/stdin", "--only", "result"], more].concat();
        Command::new(env!("CARGO_BIN_EXE_birdbath"))
            .current_dir(folder.path())
            .args(words)
            .stdin(std::fs::File::open(folder.path().join("floor.csv")).unwrap())
            .output()
            .unwrap()
    };
    let o = asked(&[]);
    assert_eq!(o.status.code(), Some(2), "{}", err(&o));
    assert!(err(&o).contains("--out"), "{}", err(&o));
    let o = asked(&["--out", "here"]);
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
}

#[test]
fn the_recheck_sheets_are_a_set_as_well() {
    let folder = floor();
    let words = ["recheck", "floor.csv", "floor.csv", "--out", "p"];
    done(folder.path(), &words);
    assert!(refused(folder.path(), &words).contains("--replace"));
    std::fs::write(folder.path().join("p/mine.txt"), "mine").unwrap();
    let mut replace = words.to_vec();
    replace.push("--replace");
    assert!(refused(folder.path(), &replace).contains("mine.txt"));
}

#[test]
fn nothing_is_written_over_what_was_read() {
    let folder = floor();
    done(
        folder.path(),
        &["run", "floor.csv", "--only", "workbook", "--only", "result"],
    );
    let before = all(folder.path());
    for file in ["paper/workbook.xlsx", "../x/paper/workbook.xlsx"] {
        let file = file.replace("../x", &folder.path().display().to_string());
        for replace in [&["--replace"][..], &[]] {
            let mut words = vec!["run", file.as_str(), "--out", "paper"];
            words.extend(replace);
            let said = refused(folder.path(), &words);
            assert!(said.contains("one of the files read"), "{said}");
        }
    }
    assert_eq!(all(folder.path()), before);
    // Single files: the outline lies where a file of the new one would.
    std::fs::write(
        folder.path().join("field-sheet.pdf"),
        "kind,x_ft,y_ft\noutline,0,0\noutline,8,0\noutline,8,8\noutline,0,8\n",
    )
    .unwrap();
    let said = refused(
        folder.path(),
        &["new", "field-sheet.pdf", "--spacing", "2 ft", "--replace"],
    );
    assert!(said.contains("field-sheet.pdf"), "{said}");
    // Readings named as the outline that `job` makes.
    std::fs::copy(
        folder.path().join("floor.csv"),
        folder.path().join("outline.csv"),
    )
    .unwrap();
    let said = refused(folder.path(), &["job", "outline.csv", "--replace"]);
    assert!(said.contains("one of the files read"), "{said}");
}

#[test]
fn the_demo_is_a_fresh_folder() {
    let folder = tempfile::tempdir().unwrap();
    let d = folder.path().join("d");
    std::fs::create_dir(&d).unwrap();
    std::fs::write(d.join("job.toml"), "mine").unwrap();
    let said = refused(folder.path(), &["demo", "--out", "d"]);
    assert!(
        said.contains("--out") && !said.contains("--replace"),
        "{said}"
    );
    assert_eq!(all(&d).len(), 1);
    std::fs::remove_file(d.join("job.toml")).unwrap();
    done(folder.path(), &["demo", "--out", "d"]);
    // The folder is the user's from now on; the paper in it is a set.
    assert!(!d.join(".birdbath-set").exists());
    done(&d, &["run", "job.toml", "--only", "result", "--replace"]);
    assert!(d.join("job.toml").exists());
}

#[test]
fn a_name_that_is_taken_meanwhile_is_not_taken_from_it() {
    // ORACLE: property. Of many writers at once exactly one has the name, and what stands there is its own, whole.
    let folder = tempfile::tempdir().unwrap();
    for round in 0..20 {
        let name = format!("sheet-{round}.pdf");
        let won: Vec<u8> = std::thread::scope(|scope| {
            let writers: Vec<_> = (0..4u8)
                .map(|i| {
                    let name = name.clone();
                    let path = folder.path();
                    scope.spawn(move || {
                        let file = (name, vec![i; 100_000]);
                        birdbath::files::write_all(path, &[file], &[], false)
                            .is_ok()
                            .then_some(i)
                    })
                })
                .collect();
            writers
                .into_iter()
                .filter_map(|w| w.join().unwrap())
                .collect()
        });
        assert_eq!(won.len(), 1, "{won:?}");
        let there = std::fs::read(folder.path().join(&name)).unwrap();
        assert_eq!(there, vec![won[0]; 100_000]);
    }
    assert!(temporaries(folder.path()).is_empty());
}

#[test]
fn of_many_sets_at_once_one_has_the_folder() {
    // ORACLE: property. One writer is told that it wrote, and the folder holds its files alone.
    let folder = tempfile::tempdir().unwrap();
    for round in 0..10 {
        let out = folder.path().join(format!("set-{round}"));
        let won: Vec<u8> = std::thread::scope(|scope| {
            let writers: Vec<_> = (0..4u8)
                .map(|i| {
                    let out = &out;
                    scope.spawn(move || {
                        let files = ["a", "b"].map(|n| (format!("{n}{i}"), vec![i; 20_000]));
                        let place = SetPlace {
                            folder: out,
                            inputs: &[],
                            replace: false,
                            kind: SetKind::Set,
                        };
                        place.write(&files).is_ok().then_some(i)
                    })
                })
                .collect();
            let ended = writers.into_iter().filter_map(|w| w.join().unwrap());
            ended.collect()
        });
        assert_eq!(won.len(), 1, "{won:?}");
        let names: Vec<String> = all(&out).into_keys().collect();
        let own = |n: &str| format!("{n}{}", won[0]);
        assert_eq!(names, [".birdbath-set".to_owned(), own("a"), own("b")]);
    }
    assert!(temporaries(folder.path()).is_empty());
}

#[test]
fn files_and_folders_have_the_modes_that_the_user_chose() {
    use std::os::unix::fs::PermissionsExt;
    let folder = floor();
    let mode = |name: &str| {
        let about = std::fs::metadata(folder.path().join(name)).unwrap();
        about.permissions().mode() & 0o777
    };
    let o = Command::new("sh")
        .current_dir(folder.path())
        .args(["-c", "umask 027; \"$0\" run floor.csv --only result --out p && exec \"$0\" new 8ftx8ft --spacing '2 ft'"])
        .arg(env!("CARGO_BIN_EXE_birdbath"))
        .output()
        .unwrap();
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    assert_eq!(mode("p"), 0o750);
    assert_eq!(mode("p/result.json"), 0o640);
    assert_eq!(mode("field-sheet.pdf"), 0o640);
    // A folder that is replaced keeps the mode it was given.
    let p = folder.path().join("p");
    std::fs::set_permissions(&p, std::fs::Permissions::from_mode(0o700)).unwrap();
    done(
        folder.path(),
        &[
            "run",
            "floor.csv",
            "--only",
            "result",
            "--out",
            "p",
            "--replace",
        ],
    );
    assert_eq!(mode("p"), 0o700);
}

// ORACLE: what stands in the folder before and after: a set is left alone while the command is run in it, and replaced from above.
#[test]
fn a_set_is_not_replaced_from_under_whoever_stands_in_it() {
    let folder = floor();
    let sheets = ["--only", "depth-map", "--gauge", "1/8 in"];
    let from = |at: &Path, words: &[&str]| run(at, &[words, &sheets[..]].concat());
    done(
        folder.path(),
        &[&["sheets", "floor.csv", "--out", "set"], &sheets[..]].concat(),
    );
    let set = folder.path().join("set");
    let before = all(&set);
    for out in [".", "../set"] {
        let o = from(&set, &["sheets", "../floor.csv", "--out", out, "--replace"]);
        assert_eq!(o.status.code(), Some(1));
        assert!(err(&o).contains("from the folder above"), "{}", err(&o));
        assert_eq!(all(&set), before);
    }
    done(
        folder.path(),
        &[
            &["sheets", "floor.csv", "--out", "set", "--replace"],
            &sheets[..],
        ]
        .concat(),
    );
}
