//! The program as a user has it: words in, answers, files and exit codes out.

use crate::support::program::{demo, run};
use std::process::Output;

use serde_json::Value;

/// The tiny bath, 5 x 8 ft: 20 readings down from the line, inches.
const BATH: &str = "x_ft,y_ft,reading_in
0,0,31 1/4\n2,0,31 1/4\n4,0,31 5/16\n5,0,31 3/8
0,2,31 3/16\n2,2,31 1/8\n4,2,31 1/4\n5,2,31 3/8
0,4,31 1/4\n2,4,31 5/16\n4,4,31 7/16\n5,4,31 1/2
0,6,31 3/8\n2,6,31 1/2\n4,6,31 5/8\n5,6,31 11/16
0,8,31 1/2\n2,8,31 5/8\n4,8,31 3/4\n5,8,31 13/16\n";

fn out(o: &Output) -> String {
    String::from_utf8(o.stdout.clone()).unwrap()
}

fn err(o: &Output) -> String {
    String::from_utf8(o.stderr.clone()).unwrap()
}

fn bath() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bath.csv"), BATH).unwrap();
    folder
}

#[test]
fn fill_of_the_tiny_bath() {
    // ORACLE:    hand. High point 31 1/8 in at (2, 2) ft, low 31 13/16 in at (5, 8) ft, 11/16 in apart.
    //            Half-way between the two folds of every grid square lies the trapezoid rule, worked
    //            below from the readings alone. With every square folded one way, or every one the
    //            other, the volume is 1.29 and 1.30 cu ft (three digits): both lie between our ends,
    //            since we fold each square its own lower way.
    // TOLERANCE: result.json gives litres to the thousandth.
    let folder = bath();
    let o = run(
        folder.path(),
        &["fill", "bath.csv", "--gauge", "1/8 in", "--json"],
    );
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    let v: Value = serde_json::from_str(&out(&o)).unwrap();
    let most = v["fill"]["volume_l"].as_f64().unwrap();
    let least = most - v["fill"]["diagonal_spread_l"].as_f64().unwrap();
    let (x, y) = ([0.0, 2.0, 4.0, 5.0], [0.0, 2.0, 4.0, 6.0, 8.0]);
    // Sixteenths below 31 in, row by row.
    let below = [
        [4.0, 4.0, 5.0, 6.0],
        [3.0, 2.0, 4.0, 6.0],
        [4.0, 5.0, 7.0, 8.0],
        [6.0, 8.0, 10.0, 11.0],
        [8.0, 10.0, 12.0, 13.0],
    ];
    // Depth under a finish 1/8 in over the high point, which lies 2/16 in below 31 in.
    let depth_ft = |i: usize, j: usize| (below[j][i] - 2.0 + 2.0) / 16.0 / 12.0;
    let mut trapezoid = 0.0;
    for j in 0..4 {
        for i in 0..3 {
            let corners =
                depth_ft(i, j) + depth_ft(i + 1, j) + depth_ft(i, j + 1) + depth_ft(i + 1, j + 1);
            trapezoid += (x[i + 1] - x[i]) * (y[j + 1] - y[j]) * corners / 4.0;
        }
    }
    const CUBIC_FOOT_L: f64 = 28.316_846_592;
    let middle = (most + least) / 2.0 / CUBIC_FOOT_L;
    assert!((middle - trapezoid).abs() < 1e-4, "{middle} {trapezoid}");
    assert!(least / CUBIC_FOOT_L < 1.295 && most / CUBIC_FOOT_L > 1.295);
    let high = &v["floor"]["high_point"];
    assert!((high["x_m"].as_f64().unwrap() - 0.6096).abs() < 1e-4);
    assert!((high["y_m"].as_f64().unwrap() - 0.6096).abs() < 1e-4);
    let apart = v["floor"]["overall_deviation_mm"].as_f64().unwrap();
    assert!((apart - 11.0 / 16.0 * 25.4).abs() < 1e-3, "{apart}");
}

#[test]
fn exit_codes_tell_answered_bad_input_usage_and_not_accepted() {
    let folder = bath();
    let code = |words: &[&str]| run(folder.path(), words).status.code();
    let asked = ["flat", "bath.csv", "--check", "1/8 in in 4 ft"];
    assert_eq!(code(&asked), Some(0));
    // A 2 ft grid cannot judge a 4 ft edge, so it is not within.
    let mut required = asked.to_vec();
    required.extend(["--require", "within"]);
    assert_eq!(code(&required), Some(3));
    assert_eq!(code(&["flat", "nothing.csv"]), Some(1));
    assert_eq!(code(&["flat", "bath.csv", "--no-such-flag"]), Some(2));
    assert_eq!(code(&["--help"]), Some(0));
}

#[test]
fn bad_input_is_told_with_its_cell_and_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let text = "x_ft,y_ft,reading_in\n0,0,1/2\n2,0,8-Mar\n0,2,#DIV/0!\n2,2,7/16\n";
    std::fs::write(folder.path().join("bad.csv"), text).unwrap();
    let o = run(folder.path(), &["read", "bad.csv"]);
    assert_eq!(o.status.code(), Some(1));
    let said = err(&o);
    for part in ["bad.csv, cell C3", "3/8", "--dates-as-fractions", "cell C4"] {
        assert!(said.contains(part), "{part} is not in: {said}");
    }
    assert!(out(&o).is_empty());
}

#[test]
fn a_missing_unit_is_an_error_and_a_flag_mends_it() {
    let folder = tempfile::tempdir().unwrap();
    let text = "x,y,reading\n0,0,98\n1,0,99\n0,1,97\n1,1,98\n";
    std::fs::write(folder.path().join("bare.csv"), text).unwrap();
    let o = run(folder.path(), &["read", "bare.csv"]);
    assert_eq!(o.status.code(), Some(1));
    assert!(err(&o).contains("unit"), "{}", err(&o));
    let units = ["--plan-unit", "m", "--reading-unit", "mm"];
    let mut words = vec!["read", "bare.csv", "--cells"];
    words.extend(units);
    let o = run(folder.path(), &words);
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    assert!(out(&o).contains("\"98\" = 98.00 mm"), "{}", out(&o));
}

#[test]
fn the_demo_does_the_whole_job_and_its_numbers_agree() {
    let (folder, o) = demo();
    assert_eq!(o.status.code(), Some(0), "{}", err(o));
    let said = out(o);
    for part in ["High point", "Next highest", "OUT", "Bags", "Wrote"] {
        assert!(said.contains(part), "{part} is not in: {said}");
    }
    let paper = folder.path().join("d/paper");
    for name in [
        "depth-map.svg",
        "depth-map.png",
        "height-map.svg",
        "flatness-map.png",
        "span-curve.svg",
        "mark-out.pdf",
        "submittal.pdf",
        "workbook.xlsx",
        "report.html",
        "result.json",
    ] {
        assert!(said.contains(name), "{name} is not told");
        assert!(paper.join(name).metadata().unwrap().len() > 0);
    }
    let text = std::fs::read_to_string(paper.join("result.json")).unwrap();
    let v: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(v["floor"]["high_point"]["label"], "P6");
    for p in v["span_curve"].as_array().unwrap() {
        assert!(p["dip_bound_mm"].as_f64() >= p["dip_mm"].as_f64());
        assert!(p["hump_bound_mm"].as_f64() >= p["hump_mm"].as_f64());
    }
    // The same again: the same bytes.
    let another = tempfile::tempdir().unwrap();
    let again = run(another.path(), &["demo", "--out", "e"]);
    assert_eq!(again.status.code(), Some(0), "{}", err(&again));
    let again = std::fs::read_to_string(another.path().join("e/paper/result.json")).unwrap();
    assert_eq!(text, again);
}

#[test]
fn files_are_not_replaced_unasked_and_nothing_is_half_written() {
    let folder = bath();
    let words = ["new", "8ftx10ft", "--spacing", "2 ft", "--out", "sheet"];
    assert_eq!(run(folder.path(), &words).status.code(), Some(0));
    let pdf = folder.path().join("sheet/field-sheet.pdf");
    std::fs::write(&pdf, "mine").unwrap();
    let o = run(folder.path(), &words);
    assert_eq!(o.status.code(), Some(1));
    assert!(err(&o).contains("--replace"), "{}", err(&o));
    assert_eq!(std::fs::read_to_string(&pdf).unwrap(), "mine");
    let left = std::fs::read_dir(folder.path().join("sheet"))
        .unwrap()
        .count();
    assert_eq!(left, 2, "a temporary file was left");
}

#[test]
fn a_floor_read_twice_unchanged_shows_nothing_placed() {
    let folder = bath();
    let o = run(
        folder.path(),
        &[
            "recheck", "bath.csv", "bath.csv", "--gauge", "1/8 in", "--json",
        ],
    );
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    let v: Value = serde_json::from_str(&out(&o)).unwrap();
    assert_eq!(v["marks"].as_array().unwrap().len(), 20);
    assert_eq!(v["mean_mm"], 0.0);
    assert!(v["placed_l"].as_f64().unwrap().abs() < 1e-6);
}

#[test]
fn only_the_named_files_are_made() {
    // ORACLE: the request itself. A map is two files; nothing else may appear.
    let folder = bath();
    let o = run(
        folder.path(),
        &[
            "sheets",
            "bath.csv",
            "--gauge",
            "1/8 in",
            "--only",
            "depth-map",
            "--out",
            "paper",
        ],
    );
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    let mut names: Vec<String> = std::fs::read_dir(folder.path().join("paper"))
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, [".birdbath-set", "depth-map.png", "depth-map.svg"]);
    // A sheet of another command, and a name of none.
    let o = run(
        folder.path(),
        &["sheets", "bath.csv", "--only", "submittal"],
    );
    assert_eq!(o.status.code(), Some(2), "{}", err(&o));
    let said = err(&o);
    assert!(
        said.contains("mark-out") && !said.contains("quantities"),
        "{said}"
    );
    let o = run(folder.path(), &["sheets", "bath.csv", "--only", "picture"]);
    assert_eq!(o.status.code(), Some(2));
    assert!(err(&o).contains("depth-map"), "{}", err(&o));
}

// ORACLE: contract: flags of the finish reach the fill; a fall needs both of its points; two rooms are answered and summed.
#[test]
fn finishes_by_flag_and_rooms_in_all() {
    let folder = bath();
    let ok = run(
        folder.path(),
        &["fill", "bath.csv", "--least-fill", "--json"],
    );
    assert_eq!(ok.status.code(), Some(0), "{}", err(&ok));
    let v: Value = serde_json::from_str(&out(&ok)).unwrap();
    assert_eq!(v["fill"]["plane"]["rule"], "least-fill");
    let fall = [
        "fill",
        "bath.csv",
        "--fall",
        "1/4 in per ft",
        "--fall-from",
        "A1",
        "--fall-to",
        "A5",
        "--gauge",
        "1/8 in",
        "--json",
    ];
    let ok = run(folder.path(), &fall);
    assert_eq!(ok.status.code(), Some(0), "{}", err(&ok));
    let v: Value = serde_json::from_str(&out(&ok)).unwrap();
    assert_eq!(v["fill"]["plane"]["rule"], "fall");
    let half = run(folder.path(), &["fill", "bath.csv", "--fall", "1:48"]);
    assert_eq!(half.status.code(), Some(2));

    let mut both = "room,x_ft,y_ft,reading_in\n".to_owned();
    for room in ["hall", "bath"] {
        for row in BATH.lines().skip(1) {
            both.push_str(&format!("{room},{row}\n"));
        }
    }
    std::fs::write(folder.path().join("both.csv"), both).unwrap();
    let told = run(folder.path(), &["fill", "both.csv", "--gauge", "1/8 in"]);
    assert_eq!(told.status.code(), Some(0), "{}", err(&told));
    assert!(out(&told).contains("All rooms together"), "{}", out(&told));
    let wrote = run(
        folder.path(),
        &[
            "submittal",
            "both.csv",
            "--only",
            "quantities",
            "--out",
            "p",
        ],
    );
    assert_eq!(wrote.status.code(), Some(0), "{}", err(&wrote));
    for file in [
        "all-rooms.pdf",
        "hall/quantities.pdf",
        "bath/quantities.pdf",
    ] {
        assert!(folder.path().join("p").join(file).exists(), "{file}");
    }
}

#[test]
fn several_rooms_are_answered_one_after_another() {
    // ORACLE: hand. The hall falls 3/8 in over its four corners, the bath as much the other way.
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("two.csv"),
        "room,x_ft,y_ft,reading_in\nHall,0,0,38\nHall,4,0,38 1/4\nHall,0,4,38 1/8\nHall,4,4,38 3/8\n\
         Bath,0,0,38 1/2\nBath,4,0,38 1/4\nBath,0,4,38 1/8\nBath,4,4,38 3/8\n",
    )
    .unwrap();
    for words in ["flat", "fill", "pour"] {
        let o = run(folder.path(), &[words, "two.csv"]);
        assert_eq!(o.status.code(), Some(0), "{words}: {}", err(&o));
        let text = out(&o);
        assert!(text.contains("Hall") && text.contains("Bath"), "{text}");
        let o = run(folder.path(), &[words, "two.csv", "--json"]);
        let v: Value = serde_json::from_str(&out(&o)).unwrap();
        let rooms = v["rooms"].as_array().unwrap();
        assert_eq!(rooms.len(), 2);
        for (room, drop) in rooms.iter().zip([3.0, 3.0]) {
            let overall = room["floor"]["overall_deviation_mm"].as_f64().unwrap();
            assert!((overall - drop * 25.4 / 8.0).abs() < 1e-3, "{overall}");
        }
    }
    // One room is one object, as before.
    let o = run(
        folder.path(),
        &["flat", "two.csv", "--room", "Bath", "--json"],
    );
    let v: Value = serde_json::from_str(&out(&o)).unwrap();
    assert!(v.get("rooms").is_none() && v.get("floor").is_some());
}
