//! Sets of papers: there whole or not at all, over no input, and never over anything of the user's.

use crate::support::program::run;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

/// A small floor, so that most of a run is writing.
const FLOOR: &str =
    "x_ft,y_ft,reading_in\n0,0,40\n4,0,40 1/4\n0,4,40 1/8\n4,4,40 3/8\n2,2,40 1/16\n";

pub fn floor() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("floor.csv"), FLOOR).unwrap();
    folder
}

pub fn err(o: &Output) -> String {
    String::from_utf8_lossy(&o.stderr).into_owned()
}

fn done(folder: &Path, words: &[&str]) {
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
fn all(folder: &Path) -> BTreeMap<String, Vec<u8>> {
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
fn temporaries(folder: &Path) -> Vec<String> {
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
fn what_stopped_runs_left_is_swept_and_what_runs_is_not() {
    let folder = floor();
    let at = |name: &str| folder.path().join(name);
    // A process that was, and this one.
    let mut gone = Command::new("true").spawn().unwrap();
    let dead = gone.id();
    gone.wait().unwrap();
    let live = std::process::id();
    let list = {
        done(
            folder.path(),
            &["sheets", "floor.csv", "--only", "depth-map", "--out", "p"],
        );
        std::fs::read(at("p/.birdbath-set")).unwrap()
    };
    let half = |pid: u32| {
        let dir = at(&format!(".birdbath-{pid}-0.part"));
        std::fs::create_dir(&dir).unwrap();
        std::fs::write(dir.join(".birdbath-set"), &list).unwrap();
        std::fs::write(dir.join("depth-map.svg"), "half").unwrap();
        std::fs::write(at(&format!(".birdbath-{pid}-1.part")), "half").unwrap();
    };
    half(dead);
    half(live);
    // Moved away while the other had no name yet: goes back.
    std::fs::rename(at("p"), at(&format!(".birdbath-{dead}-2.was-p"))).unwrap();
    // Names of the user's that only look alike.
    let alike = [
        ".birdbath-notes.part".to_owned(),
        format!(".birdbath-{dead}-x.part"),
    ];
    for name in &alike {
        std::fs::write(at(name), "mine").unwrap();
    }
    // A file of the user's in a folder of ours is left, and so is the folder.
    let kept = at(&format!(".birdbath-{dead}-3.part"));
    std::fs::create_dir(&kept).unwrap();
    std::fs::write(kept.join("mine.txt"), "mine").unwrap();
    done(
        folder.path(),
        &["sheets", "floor.csv", "--only", "depth-map", "--out", "q"],
    );
    let mut left = temporaries(folder.path());
    left.sort();
    let mut expected = vec![
        format!(".birdbath-{live}-0.part"),
        format!(".birdbath-{live}-1.part"),
        format!(".birdbath-{dead}-3.part"),
    ];
    expected.extend(alike);
    expected.sort();
    assert_eq!(left, expected);
    assert!(at("p/depth-map.svg").exists());
}

#[test]
fn a_run_that_is_killed_leaves_one_whole_set_and_everything_of_the_users() {
    // ORACLE: property. After each kill the set is one of the two that finished runs make, to the byte.
    let folder = floor();
    std::fs::write(folder.path().join("mine.txt"), "mine").unwrap();
    let gauges = ["1/8 in", "1/4 in"];
    let words = |gauge, out| {
        vec![
            "run",
            "floor.csv",
            "--only",
            "depth-map",
            "--only",
            "height-map",
            "--only",
            "quantities",
            "--gauge",
            gauge,
            "--replace",
            "--out",
            out,
        ]
    };
    done(folder.path(), &words(gauges[0], "a"));
    let started = Instant::now();
    done(folder.path(), &words(gauges[1], "b"));
    let whole = started.elapsed();
    let [a, b] = ["a", "b"].map(|f| all(&folder.path().join(f)));
    assert_ne!(a, b);
    let paper = folder.path().join("paper");
    const KILLS: u32 = 24;
    for i in 0..KILLS {
        let mut child = Command::new(env!("CARGO_BIN_EXE_birdbath"))
            .current_dir(folder.path())
            .args(words(gauges[i as usize % 2], "paper"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Half of the moments over the whole run, half in its last part, where the set is written.
        let share = match i % 4 {
            0 | 1 => f64::from(i) / f64::from(KILLS),
            _ => 0.8 + 0.3 * f64::from(i) / f64::from(KILLS),
        };
        std::thread::sleep(Duration::from_secs_f64(whole.as_secs_f64() * share));
        // One that has ended already cannot be killed, which is no fault here.
        let _ = child.kill();
        child.wait().unwrap();
        if paper.exists() {
            let now = all(&paper);
            assert!(now == a || now == b, "kill {i}: {:?}", now.keys());
        }
        assert_eq!(
            std::fs::read_to_string(folder.path().join("floor.csv")).unwrap(),
            FLOOR
        );
        assert_eq!(
            std::fs::read(folder.path().join("mine.txt")).unwrap(),
            b"mine"
        );
    }
    done(folder.path(), &words(gauges[1], "paper"));
    assert_eq!(all(&paper), b);
    assert!(temporaries(folder.path()).is_empty());
}

#[test]
fn a_disk_that_is_full_leaves_things_as_they_were() {
    // The shell's limit on a file's size stands for the full disk; its signal is held off, so that writing fails.
    let folder = floor();
    done(folder.path(), &["run", "floor.csv", "--only", "depth-map"]);
    let before = all(folder.path());
    for out in ["paper", "new"] {
        let script = format!(
            "trap '' XFSZ; ulimit -f 20; exec \"$0\" run floor.csv --only depth-map --replace --gauge '1/2 in' --out {out}"
        );
        let o = Command::new("sh")
            .current_dir(folder.path())
            .args(["-c", &script, env!("CARGO_BIN_EXE_birdbath")])
            .output()
            .unwrap();
        assert_eq!(o.status.code(), Some(1), "{}", err(&o));
        assert!(err(&o).contains("cannot be written"), "{}", err(&o));
        assert!(!String::from_utf8_lossy(&o.stdout).contains("Wrote"));
        assert_eq!(all(folder.path()), before);
        assert!(temporaries(folder.path()).is_empty());
    }
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
