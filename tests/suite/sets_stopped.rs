//! Runs that are killed, disks that are full, and what such runs leave behind.

use crate::sets::{FLOOR, all, done, err, floor, temporaries};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

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
    let mut caught = 0;
    for i in 0..KILLS {
        let mut child = Command::new(env!("CARGO_BIN_EXE_birdbath"))
            .current_dir(folder.path())
            .args(words(gauges[i as usize % 2], "paper"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        if i % 2 == 0 {
            // Any moment of the whole run.
            let share = f64::from(i) / f64::from(KILLS);
            std::thread::sleep(whole.mul_f64(share));
        } else {
            // A moment of the writing, which begins when a temporary name shows that was not there before.
            let before = temporaries(folder.path());
            while child.try_wait().unwrap().is_none()
                && temporaries(folder.path())
                    .iter()
                    .all(|t| before.contains(t))
            {
                std::thread::sleep(Duration::from_micros(100));
            }
            std::thread::sleep(Duration::from_millis(u64::from(i)));
        }
        // One that has ended already cannot be killed, which is no fault here.
        let _ = child.kill();
        child.wait().unwrap();
        caught += usize::from(!temporaries(folder.path()).is_empty());
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
    assert!(caught > 0, "no run was caught writing: this proved nothing");
    done(folder.path(), &words(gauges[1], "paper"));
    assert_eq!(all(&paper), b);
    assert!(temporaries(folder.path()).is_empty());
}

#[test]
fn a_disk_that_is_full_leaves_things_as_they_were() {
    // The shell's limit on a file's size stands for the full disk; the signal that it sends is not to end the program.
    let folder = floor();
    done(folder.path(), &["run", "floor.csv", "--only", "depth-map"]);
    let before = all(folder.path());
    for out in ["paper", "new"] {
        let script = format!(
            "ulimit -f 20; exec \"$0\" run floor.csv --only depth-map --replace --gauge '1/2 in' --out {out}"
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
