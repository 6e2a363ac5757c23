//! Checks in words, sample lines and tolerances as a user gives them: on the command line and in job.toml.

use crate::support::program::run;
use serde_json::Value;
use std::path::Path;

fn answer(folder: &Path, words: &[&str]) -> Value {
    let o = run(folder, words);
    assert_eq!(
        o.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&o.stderr)
    );
    serde_json::from_slice(&o.stdout).unwrap()
}

fn refusal(folder: &Path, words: &[&str]) -> String {
    let o = run(folder, words);
    assert_eq!(o.status.code(), Some(1));
    String::from_utf8_lossy(&o.stderr).into_owned()
}

/// A floor 6 x 4 m read every 0.5 m: a ridge across it at x = 3 m, 2 mm in a metre to either side, so
/// that every figure can be told by hand. Readings down from the line, millimetres.
fn ridge() -> String {
    let mut text = String::from("x_m,y_m,reading_mm\n");
    for j in 0..=8 {
        for i in 0..=12 {
            let (x, y) = (0.5 * f64::from(i), 0.5 * f64::from(j));
            let reading = 1000.0 + 2.0 * (x - 3.0).abs();
            text.push_str(&format!("{x},{y},{reading}\n"));
        }
    }
    text
}

fn part<'a>(v: &'a Value, procedure: &str) -> &'a Value {
    v["flatness"]
        .as_array()
        .unwrap()
        .iter()
        .find(|p| p["procedure"] == procedure)
        .unwrap_or_else(|| panic!("no part by {procedure}: {v}"))
}

// ORACLE:    closed form. On a ridge of 2 mm in a metre to either side an edge of 2 m balanced on it
//            shows 2 mm at both ends, held down at one end 4 mm at the other; nothing lies under an edge at
//            rest; a reading on the ridge stands 2 mm over the mean of its neighbours 1 m away; within 1 m
//            of a point of a slope heights differ by 4 mm at most; half of the edge held tight opens 4 mm.
// TOLERANCE: 0.1 mm, the search's own.
#[test]
fn every_procedure_by_a_check_in_words() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("ridge.csv"), ridge()).unwrap();
    let checks = [
        ("3 mm in 2 m, resting", "resting", 0.0, "within"),
        ("3 mm in 2 m, balanced", "balanced", 2.0, "within"),
        ("3 mm in 2 m, held down", "held-down", 4.0, "out"),
        ("3 mm in 2 m, midpoint", "midpoint", 2.0, "within"),
        ("3 mm in 1 m radius", "radius", 4.0, "out"),
        ("3 mm in 2 m, ridge", "ridge", 4.0, "out"),
    ];
    // Drawn floors decide no word here that may not be "in doubt" as well.
    let mut words = vec!["flat", "ridge.csv", "--draws", "0", "--json"];
    words.extend(["--repeatability", "0.1 mm"]);
    for c in &checks {
        words.extend(["--check", c.0]);
    }
    let told = answer(folder.path(), &words);
    let lines: Vec<String> = checks.iter().map(|c| format!("{:?}", c.0)).collect();
    std::fs::write(
        folder.path().join("job.toml"),
        format!(
            "checks = [{}]\n[instrument]\nrepeatability = \"0.1 mm\"\n[[readings]]\nfile = \"ridge.csv\"\n",
            lines.join(", ")
        ),
    )
    .unwrap();
    let by_job = answer(
        folder.path(),
        &["flat", "job.toml", "--draws", "0", "--json"],
    );
    assert_eq!(told["flatness"], by_job["flatness"]);
    for (words, procedure, gap, verdict) in checks {
        let p = part(&told, procedure);
        assert_eq!(p["title"], words);
        let found = p["gap_mm"].as_f64().unwrap();
        assert!((found - gap).abs() <= 0.1, "{words}: {found}");
        // The doubt of readings to whole millimetres makes some of these doubtful; none may be wrong.
        let said = p["verdict"].as_str().unwrap();
        assert!(said == verdict || said == "in doubt", "{words}: {said}");
    }
}

// ORACLE: closed form, as above: 0.5 mm at rest and 2 mm balanced against 1 mm, with readings whose step
//         is stated so fine that no doubt is left.
#[test]
fn resting_and_balanced_are_both_shown_where_they_disagree() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("ridge.csv"), ridge()).unwrap();
    std::fs::write(
        folder.path().join("job.toml"),
        "checks = [\"1 mm in 2 m, resting\"]\ntolerance = \"0.02 mm\"\n[instrument]\nstep = \"0.01 mm\"\n[[readings]]\nfile = \"ridge.csv\"\n",
    )
    .unwrap();
    let v = answer(folder.path(), &["flat", "job.toml", "--json"]);
    let p = part(&v, "resting");
    assert_eq!(p["verdict"], "within");
    assert_eq!(p["other_way"]["procedure"], "balanced");
    assert_eq!(p["other_way"]["verdict"], "out");
    let o = run(folder.path(), &["flat", "job.toml"]);
    let said = String::from_utf8_lossy(&o.stdout).into_owned();
    assert!(said.contains("balanced") && said.contains("out"), "{said}");
    // Across the ridge means along the row of readings that x runs along.
    let o = run(
        folder.path(),
        &["flat", "job.toml", "--span", "2 m", "--draws", "0"],
    );
    let said = String::from_utf8_lossy(&o.stdout).into_owned();
    assert!(said.contains("edge parallel to the lowest row"), "{said}");
    // The tolerance asked for is the tolerance kept.
    for s in v["span_curve"].as_array().unwrap() {
        for (gap, bound) in [("dip_mm", "dip_bound_mm"), ("hump_mm", "hump_bound_mm")] {
            let over = s[bound].as_f64().unwrap() - s[gap].as_f64().unwrap();
            assert!(over <= 0.0211, "{s}");
        }
    }
}

/// The published pad's lines as a user would type them: stations every 300 mm, elevations.
fn pad(with_places: bool) -> String {
    let heights = include_str!("../../fixtures/pad/elevations_mm.csv");
    let mut rows = vec![String::new(); 6];
    for row in heights.lines().skip(1) {
        let mut cells = row.split(',');
        let station: f64 = 0.3 * cells.next().unwrap().parse::<f64>().unwrap();
        for (line, cell) in cells.enumerate().filter(|(_, c)| !c.is_empty()) {
            if with_places {
                let x = 1.5 + 1.5 * line as f64;
                rows[line].push_str(&format!("L{line},{x},{},{cell}\n", 1.0 + station));
            } else {
                rows[line].push_str(&format!("L{line},{station:.1},{cell}\n"));
            }
        }
    }
    let head = if with_places {
        "line,x_m,y_m,elevation_mm\n"
    } else {
        "line,station_m,elevation_mm\n"
    };
    head.to_owned() + &rows.concat()
}

// ORACLE:    independent code: FF and FL of the pad's lines recomputed from the published heights, as in
//            flatness_numbers.rs; the section's FF 25.2.
// SOURCE:    fixtures/pad/ORIGIN.md.
// TOLERANCE: result.json gives F-numbers to a tenth.
#[test]
fn f_numbers_from_a_file_of_sample_lines() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("ridge.csv"), ridge()).unwrap();
    std::fs::write(folder.path().join("pad.csv"), pad(false)).unwrap();
    std::fs::write(folder.path().join("placed.csv"), pad(true)).unwrap();
    let v = answer(
        folder.path(),
        &[
            "flat",
            "ridge.csv",
            "--lines",
            "pad.csv",
            "--draws",
            "0",
            "--json",
        ],
    );
    let f = &v["f_numbers"];
    assert_eq!(f["ff"], 25.2, "{f}");
    let lines = f["lines"].as_array().unwrap();
    let ff: Vec<f64> = lines.iter().map(|l| l["ff"].as_f64().unwrap()).collect();
    assert_eq!(ff, [28.8, 20.4, 34.6, 18.5, 32.5, 30.4]);
    assert_eq!(lines[1]["fl"], 46.0);
    // Of n readings on a line, n - 2 curvatures over two intervals and n - 10 differences over ten.
    let heights = include_str!("../../fixtures/pad/elevations_mm.csv");
    for (i, line) in lines.iter().enumerate() {
        let cells = |row: &&str| row.split(',').nth(i + 1).is_some_and(|c| !c.is_empty());
        let n = heights.lines().skip(1).filter(cells).count();
        assert_eq!(
            (&line["curvatures"], &line["differences"]),
            (&(n - 2).into(), &(n - 10).into())
        );
    }
    let untold = f["rules"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|r| r["kept"].is_null())
        .count();
    assert!(untold >= 3, "{f}");
    // With places the layout can be told, and the job's choices count.
    std::fs::write(
        folder.path().join("job.toml"),
        "[f_numbers]\nlines = \"placed.csv\"\nconstants = \"rescaled\"\nn_min = \"12\"\n[[readings]]\nfile = \"ridge.csv\"\n",
    )
    .unwrap();
    let v = answer(
        folder.path(),
        &["flat", "job.toml", "--draws", "0", "--json"],
    );
    let f = &v["f_numbers"];
    assert_eq!(f["constants"], "rescaled");
    // 25.217 times (300 / 304.8)^2.
    assert_eq!(f["ff"], 24.4);
    let rules = f["rules"].as_array().unwrap();
    assert!(rules.iter().all(|r| r["kept"].is_boolean()), "{f}");
    let apart = rules
        .iter()
        .find(|r| r["rule"].as_str().unwrap().contains("parallel"))
        .unwrap();
    assert_eq!(apart["kept"], true);
    let count = rules.last().unwrap();
    assert!(count["found"].as_str().unwrap().contains("12 required"));
    let o = run(folder.path(), &["flat", "job.toml", "--draws", "0"]);
    let said = String::from_utf8_lossy(&o.stdout).into_owned();
    assert!(said.contains("FF 24.4"), "{said}");
}

#[test]
fn a_ramp_has_no_f_number_but_words() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("ridge.csv"), ridge()).unwrap();
    let mut text = String::from("line,station_ft,reading_in\n");
    for i in 0..14 {
        text.push_str(&format!("A,{i},{}\n", 40.0 + 0.125 * f64::from(i)));
    }
    std::fs::write(folder.path().join("ramp.csv"), text).unwrap();
    let v = answer(
        folder.path(),
        &[
            "flat",
            "ridge.csv",
            "--lines",
            "ramp.csv",
            "--draws",
            "0",
            "--json",
        ],
    );
    assert!(v["f_numbers"]["ff"].is_null());
    assert_eq!(v["f_numbers"]["ff_missing"], "unbounded");
}

#[test]
fn faults_in_sample_lines_are_told_with_their_place() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("ridge.csv"), ridge()).unwrap();
    for (text, wanted) in [
        (
            "line,station_ft,reading_in\nA,0,40\nA,1,40\nA,2.5,40\nA,3,40\n",
            "457 mm along the line “A” from that of row 3, where its readings stand 305 mm apart",
        ),
        (
            "line,station_ft,reading_in\nA,0,40\nA,1,\nA,2,40\n",
            "sample line",
        ),
        // A station without a reading is told as that, and the line is not held against even steps as well.
        (
            "line,station_ft,reading_in\nA,0,40\nA,1,40\nA,2,\nA,3,40\nA,4,40\n",
            "bad.csv, cell C4: found an empty cell",
        ),
        // A row that is missing is told where the line has its gap, from closed form: 2 ft where the others are 1 ft.
        (
            "line,station_ft,reading_in\nA,0,40\nA,1,40\nA,2,40\nA,4,40\nA,5,40\nA,6,40\n",
            "row 5: found a reading 610 mm along the line “A” from that of row 4, where its readings stand 305 mm apart",
        ),
        ("line,station_ft,reading\nA,0,40\nA,1,40\nA,2,40\n", "unit"),
        ("line,station_ft,reading_in\nA,0,40\nA,1,40\n", "at least 3"),
        (
            "line,station_ft,reading_in\nA,0,40\nA,1,-2\nA,2,40\n",
            "greater than zero",
        ),
        (
            "line,station_ft,reading_in\nA,0,40\nA,1,40\nA,2,40\nB,0,40\nB,1,40\nB,2,40\nA,0,40\nA,1,40\nA,2,40\n",
            "again",
        ),
        ("a,b\n1,2\n", "header"),
        (
            "line,station_ft,x_ft,y_ft,reading_in\nA,0,0,0,40\nA,1,2,0,40\nA,2,4,0,40\n",
            "row 3: found a station 305 mm along the line \u{201c}A\u{201d} where x and y lie 610 mm",
        ),
    ] {
        std::fs::write(folder.path().join("bad.csv"), text).unwrap();
        let said = refusal(folder.path(), &["flat", "ridge.csv", "--lines", "bad.csv"]);
        assert!(
            said.contains("bad.csv") && said.contains(wanted),
            "{wanted}: {said}"
        );
        assert!(
            !(said.contains("an empty cell") && said.contains("along the line")),
            "{said}"
        );
    }
    let job = |body: &str| {
        std::fs::write(folder.path().join("good.csv"), pad(false)).unwrap();
        std::fs::write(
            folder.path().join("job.toml"),
            format!(
                "[f_numbers]\nlines = \"good.csv\"\n{body}\n[[readings]]\nfile = \"ridge.csv\"\n"
            ),
        )
        .unwrap();
        refusal(folder.path(), &["flat", "job.toml"])
    };
    assert!(job("constants = \"metric\"").contains("rescaled"));
    assert!(job("n_min = \"many\"").contains("square-feet"));
    std::fs::write(
        folder.path().join("job.toml"),
        "tolerance = \"0 mm\"\n[[readings]]\nfile = \"ridge.csv\"\n",
    )
    .unwrap();
    assert!(refusal(folder.path(), &["flat", "job.toml"]).contains("greater than zero"));
}

// ORACLE: hand. Fourteen readings of 40 in but for one of 30 in: it stands 10 in above the straight way between those beside it,
//         and each of those only half as far below theirs. A plain line tells nothing.
#[test]
fn a_slip_in_a_sample_line_is_told_with_its_cell() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("ridge.csv"), ridge()).unwrap();
    for (slip, row) in [
        (Some(8), 10),
        (Some(0), 2),
        (Some(1), 3),
        (Some(12), 14),
        (Some(13), 15),
        (None, 0),
    ] {
        let mut text = String::from("line,station_ft,reading_in\n");
        for i in 0..14 {
            text.push_str(&format!(
                "A,{i},{}\n",
                if slip == Some(i) { 30 } else { 40 }
            ));
        }
        std::fs::write(folder.path().join("line.csv"), text).unwrap();
        let v = answer(
            folder.path(),
            &[
                "flat",
                "ridge.csv",
                "--lines",
                "line.csv",
                "--draws",
                "0",
                "--json",
            ],
        );
        let told: Vec<&serde_json::Value> = v["notices"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|n| n["code"] == "suspect-line-reading")
            .collect();
        assert_eq!(told.len(), usize::from(slip.is_some()), "{told:?}");
        if let (Some(i), Some(n)) = (slip, told.first()) {
            let (place, text) = (n["place"].as_str().unwrap(), n["text"].as_str().unwrap());
            assert!(place.contains(&format!("C{row}")), "{place}");
            assert!(
                text.contains(&format!("Reading {} of the line A lies ", i + 1))
                    && text.contains("10 in")
                    && text.contains("above"),
                "{text}"
            );
        }
    }
}

#[test]
fn maps_of_humps_and_of_what_the_readings_can_judge() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("ridge.csv"), ridge()).unwrap();
    let o = run(
        folder.path(),
        &[
            "sheets",
            "ridge.csv",
            "--check",
            "3 mm in 2 m, balanced",
            "--gauge",
            "3 mm",
            "--draws",
            "0",
            "--only",
            "hump-map",
            "--only",
            "coverage-map",
            "--out",
            "paper",
        ],
    );
    assert_eq!(
        o.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&o.stderr)
    );
    let text =
        |name: &str| std::fs::read_to_string(folder.path().join("paper").join(name)).unwrap();
    let humps = text("hump-map.svg");
    assert!(humps.contains("Hump under a 2 m edge") && humps.contains("span over a hump"));
    let cover = text("coverage-map.svg");
    assert!(cover.contains("judged: 2 m edge"), "{cover}");
}
