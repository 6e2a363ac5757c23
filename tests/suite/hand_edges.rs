//! Edges laid by hand: where they are drawn, what is read back, what they say.

use crate::pdf::words_of;
use crate::support::program::run;
use birdbath::flatness::{EdgeUse, Procedure, drawn};
use birdbath::geometry::{Point, Region, Ring};
use serde_json::Value;
use std::fmt::Write;
use std::path::Path;
use std::process::Output;

fn out(o: &Output) -> String {
    String::from_utf8(o.stdout.clone()).unwrap()
}

fn err(o: &Output) -> String {
    String::from_utf8(o.stderr.clone()).unwrap()
}

const fn resting(span_m: f64) -> EdgeUse {
    EdgeUse {
        procedure: Procedure::Resting,
        span_m,
    }
}

fn ring(corners: &[(f64, f64)]) -> Ring {
    Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
}

/// An L of 6 by 5 m whose upper right quarter is missing, with a column.
fn ell() -> Region {
    Region {
        outline: ring(&[
            (0.0, 0.0),
            (6.0, 0.0),
            (6.0, 2.5),
            (3.0, 2.5),
            (3.0, 5.0),
            (0.0, 5.0),
        ]),
        voids: vec![ring(&[(1.2, 1.2), (1.8, 1.2), (1.8, 1.8), (1.2, 1.8)])],
    }
}

/// Whether an edge lies on the floor, by points closely along it: another way than the program's.
fn lies(region: &Region, middle: Point, turn: f64, span_m: f64) -> bool {
    (0..=60).all(|k| {
        let s = (f64::from(k) / 60.0 - 0.5) * span_m;
        region.contains(middle + Point::new(turn.cos(), turn.sin()) * s)
    })
}

// ORACLE:    property, and quadrature by other code. Each placement is as long as the edge and lies on the floor; over six parts of the
//            room and four directions they fall as the volume of what can be laid does, counted on a fine net of places and directions.
// TOLERANCE: four and a half standard deviations of a count.
#[test]
fn placements_fall_evenly_over_all_that_can_be_laid() {
    let region = ell();
    let span = 0.9;
    const COUNT: usize = 6_000;
    let cell = |middle: Point, turn: f64| {
        let place = (middle.x / 2.0) as usize + 3 * usize::from(middle.y > 2.5);
        let way = ((turn.rem_euclid(std::f64::consts::PI) / std::f64::consts::PI) * 4.0) as usize;
        place * 4 + way.min(3)
    };
    let mut share = [0.0; 24];
    let (net, ways) = (150, 40);
    for i in 0..net {
        for j in 0..net {
            let middle = Point::new(
                (f64::from(i) + 0.5) / f64::from(net) * 6.0,
                (f64::from(j) + 0.5) / f64::from(net) * 5.0,
            );
            for k in 0..ways {
                let turn = (f64::from(k) + 0.5) / f64::from(ways) * std::f64::consts::PI;
                if lies(&region, middle, turn, span) {
                    share[cell(middle, turn)] += 1.0;
                }
            }
        }
    }
    let whole: f64 = share.iter().sum();
    let mut found = [0usize; 24];
    let placements = drawn(&region, resting(span), 7, COUNT);
    assert_eq!(placements.len(), COUNT);
    for (a, b) in placements {
        let run = b - a;
        assert!((run.norm() - span).abs() < 1e-12);
        let turn = run.y.atan2(run.x);
        // A hair shorter: the ends may touch a wall.
        assert!(lies(&region, a.lerp(b, 0.5), turn, span * (1.0 - 1e-9)));
        found[cell(a.lerp(b, 0.5), turn)] += 1;
    }
    for (k, (&n, w)) in found.iter().zip(share).enumerate() {
        let expected = COUNT as f64 * w / whole;
        let spread = expected.sqrt().max(1.0);
        assert!(
            (n as f64 - expected).abs() < 4.5 * spread,
            "{k}: {n} for {expected}"
        );
    }
}

// ORACLE: property. More are the same and others behind them; another seed and another edge are other places; an edge that is longer
//         than the room finds none.
#[test]
fn the_same_seed_draws_the_same_places() {
    let region = ell();
    let twenty = drawn(&region, resting(0.6), 11, 20);
    assert_eq!(drawn(&region, resting(0.6), 11, 59)[..20], twenty[..]);
    assert_ne!(drawn(&region, resting(0.6), 12, 20), twenty);
    let other = EdgeUse {
        procedure: Procedure::Balanced,
        span_m: 0.6,
    };
    assert_ne!(drawn(&region, other, 11, 20), twenty);
    assert!(drawn(&region, resting(8.0), 11, 20).is_empty());
}

/// How a bowl curves, so that an edge of 0.3 m shows `gap_mm` at every place and in every direction: under a chord of length L a floor
/// that rises by c r² about its middle lies c L²/4 below it.
fn curve(gap_mm: f64) -> f64 {
    gap_mm / (0.3 * 0.3 / 4.0)
}

/// A bowl of 3.6 by 3 m read every 0.6 m: too far apart for an edge of 0.3 m.
fn bowl(folder: &Path, gap_mm: f64) {
    let mut text = String::from("x_m,y_m,reading_mm\n");
    for j in 0..=5 {
        for i in 0..=6 {
            let (x, y) = (0.6 * f64::from(i), 0.6 * f64::from(j));
            let rise = curve(gap_mm) * ((x - 1.8).powi(2) + (y - 1.5).powi(2));
            writeln!(text, "{x},{y},{:.1}", 1200.0 - rise).unwrap();
        }
    }
    std::fs::write(folder.join("bowl.csv"), text).unwrap();
}

const CHECK: &str = "1 mm in 0.3 m";

/// The sheet of so many random placements, as it was written.
fn sheet(folder: &Path, count: &str) -> String {
    let o = run(
        folder,
        &["flat", "bowl.csv", "--check", CHECK, "--edges", count],
    );
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    let text = std::fs::read_to_string(folder.join("hand-edges/hand-edges.csv")).unwrap();
    assert_eq!(text.lines().count(), count.parse::<usize>().unwrap() + 1);
    text
}

/// The cells of a line of comma-separated text.
fn cells(line: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(line.as_bytes());
    let record = reader.records().next().unwrap().unwrap();
    record.iter().map(str::to_owned).collect()
}

/// The sheet with cells changed: `change` is told the row from 0 and its cells, by number 8 the gap.
fn filled(text: &str, mut change: impl FnMut(usize, &mut Vec<String>)) -> String {
    let mut lines = text.lines();
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(cells(lines.next().unwrap())).unwrap();
    for (k, line) in lines.enumerate() {
        let mut row = cells(line);
        change(k, &mut row);
        if !row.is_empty() {
            out.write_record(row).unwrap();
        }
    }
    String::from_utf8(out.into_inner().unwrap()).unwrap()
}

const GAP: usize = 8;

/// What is answered with a sheet read back: the one part, and how the command ends when *within* is required.
fn answered(folder: &Path, text: &str) -> (Value, i32) {
    std::fs::write(folder.join("filled.csv"), text).unwrap();
    let o = run(
        folder,
        &[
            "flat",
            "bowl.csv",
            "--check",
            CHECK,
            "--hand",
            "filled.csv",
            "--json",
            "--require",
            "within",
            // What the readings show is no matter here.
            "--tolerance",
            "2 mm",
            "--draws",
            "0",
        ],
    );
    assert!(!o.stdout.is_empty(), "{}", err(&o));
    let v: Value = serde_json::from_str(&out(&o)).unwrap();
    (v["flatness"][0].clone(), o.status.code().unwrap())
}

// ORACLE: closed form. A bowl under which an edge of 0.3 m shows 0.9 mm wherever it lies, held to 1 mm: 59 random placements, none
//         over, leave at most 1 - 0.05^(1/59) = 4.95 % that are. One left out counts as over: 1 of 59, of which 95 % confidence leaves
//         up to 7.8 % (binomial tables: 93 are needed for one). One over is out.
#[test]
fn fifty_nine_random_placements_test_what_readings_cannot() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    bowl(dir, 0.9);
    let text = sheet(dir, "59");
    let o = run(dir, &["flat", "bowl.csv", "--check", CHECK]);
    assert!(
        out(&o).contains("lay the edge by hand at 59 places"),
        "{}",
        out(&o)
    );
    // As it was typed: with what the readings were taken by.
    let typed = format!("birdbath flat bowl.csv --check \"{CHECK}\" --edges 59");
    assert!(err(&o).contains(&typed), "{}", err(&o));

    let (part, code) = answered(dir, &filled(&text, |_, row| row[GAP] = "0.9".into()));
    let hand = &part["hand"];
    assert_eq!((part["verdict"].as_str(), code), (Some("within"), 0));
    assert_eq!(
        (hand["random"].as_u64(), hand["laid"].as_u64()),
        (Some(59), Some(59))
    );
    assert_eq!(hand["over"].as_u64(), Some(0));
    let share = hand["at_most_share"].as_f64().unwrap();
    assert!(
        (share - (1.0 - 0.05f64.powf(1.0 / 59.0))).abs() < 1e-4,
        "{share}"
    );
    assert!((hand["worst_gap_mm"].as_f64().unwrap() - 0.9).abs() < 1e-9);
    assert!(part["gap_mm"].is_null() && part["to_read"].is_null());
    let reason = part["reason"].as_str().unwrap();
    assert!(
        reason.starts_with(
            "By hand at 59 random placements, none over 1 mm: with 95 % confidence at most 5.0 % of placements are over."
        ),
        "{reason}"
    );

    // A gap on the limit keeps it.
    let (part, code) = answered(dir, &filled(&text, |_, row| row[GAP] = "1".into()));
    assert_eq!((part["verdict"].as_str(), code), (Some("within"), 0));

    let short = filled(&text, |k, row| {
        row[GAP] = if k == 30 { "" } else { "0.9" }.into();
    });
    let (part, code) = answered(dir, &short);
    assert_eq!((part["verdict"].as_str(), code), (Some("not tested"), 3));
    assert!((part["hand"]["at_most_share"].as_f64().unwrap() - 0.0779).abs() < 5e-4);
    let reason = part["reason"].as_str().unwrap();
    assert!(
        reason.contains("58 of 59 random placements were laid"),
        "{reason}"
    );

    // The same where the row itself was taken out.
    let gone = filled(&text, |k, row| {
        row[GAP] = "0.9".into();
        if k == 30 {
            row.clear();
        }
    });
    assert_eq!(answered(dir, &gone).0["hand"], part["hand"]);

    let over = filled(&text, |k, row| {
        row[GAP] = if k == 12 { "1.1" } else { "0.9" }.into();
    });
    let (part, code) = answered(dir, &over);
    assert_eq!((part["verdict"].as_str(), code), (Some("out"), 3));
    assert_eq!(part["hand"]["over"].as_u64(), Some(1));
    assert_eq!(part["hand"]["decides"], true);
    assert!(part["hand"]["worst_from"].is_object());

    // Nothing laid says nothing.
    let (part, code) = answered(dir, &text);
    assert_eq!((part["verdict"].as_str(), code), (Some("not tested"), 3));
    assert!(part["hand"].is_null());
}

// ORACLE: property. A row of one's own, and one that was moved, prove out as well as any, and make no part within: they were not drawn.
#[test]
fn only_what_was_drawn_is_random() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    bowl(dir, 0.9);
    let text = filled(&sheet(dir, "59"), |_, row| row[GAP] = "0.9".into());
    let own =
        |gap: &str| format!("{text}own,resting,0.3 m,1.00 m,1.00 m,1.30 m,1.00 m,,{gap},,,,\n");
    let (part, _) = answered(dir, &own("0.5"));
    assert_eq!(part["verdict"], "within");
    assert_eq!(
        (
            part["hand"]["laid"].as_u64(),
            part["hand"]["chosen"].as_u64()
        ),
        (Some(59), Some(1))
    );
    let (part, _) = answered(dir, &own("1.2"));
    assert_eq!(part["verdict"], "out");
    assert_eq!(part["hand"]["chosen_over"].as_u64(), Some(1));
    let reason = part["reason"].as_str().unwrap();
    assert!(reason.contains("1.2 mm, at placement own"), "{reason}");
    let x = part["hand"]["worst_from"]["x_m"].as_f64().unwrap();
    assert!((x - 1.0).abs() < 1e-9);

    // Moved by 20 cm: one of 59 was not laid.
    let moved = filled(&text, |k, row| {
        if k == 5 {
            for c in [3, 5] {
                let m: f64 = row[c].trim_end_matches(" m").parse().unwrap();
                row[c] = format!("{:.2} m", if m < 1.8 { m + 0.2 } else { m - 0.2 });
            }
        }
    });
    let (part, _) = answered(dir, &moved);
    assert_eq!(part["verdict"], "not tested");
    assert_eq!(
        (
            part["hand"]["laid"].as_u64(),
            part["hand"]["chosen"].as_u64()
        ),
        (Some(58), Some(1))
    );
    let reason = part["reason"].as_str().unwrap();
    assert!(reason.contains("elsewhere than what was drawn"), "{reason}");

    // Another edge is another part's.
    let longer = filled(&text, |_, row| row[2] = "0.4 m".into());
    let (part, _) = answered(dir, &longer);
    assert!(part["hand"].is_null());
}

// ORACLE: property. Asked again, the same files; the first of many are the few; other readings, other places; what was filled in is
//         never written over.
#[test]
fn the_sheets_are_the_same_each_time_and_are_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    bowl(dir, 0.9);
    let few = sheet(dir, "20");
    let write = |out: &str, count: &str| {
        run(
            dir,
            &[
                "flat", "bowl.csv", "--check", CHECK, "--edges", count, "--out", out,
            ],
        )
    };
    assert_eq!(write("again", "20").status.code(), Some(0));
    for file in ["hand-edges.csv", "hand-edges.xlsx", "hand-edges.pdf"] {
        let read = |from: &str| std::fs::read(dir.join(from).join(file)).unwrap();
        assert!(read("hand-edges") == read("again"), "{file}");
    }
    let o = write("again", "20");
    assert_eq!(o.status.code(), Some(1));
    assert!(err(&o).contains("again"), "{}", err(&o));
    // Where each lies, without its number and the count.
    let places = |text: &str| -> Vec<Vec<String>> {
        let mut all: Vec<Vec<String>> = text
            .lines()
            .skip(1)
            .map(|l| cells(l)[3..8].to_vec())
            .collect();
        all.sort();
        all
    };
    assert_eq!(write("many", "59").status.code(), Some(0));
    let many = std::fs::read_to_string(dir.join("many/hand-edges.csv")).unwrap();
    let many = places(&many);
    assert!(places(&few).iter().all(|p| many.contains(p)));
    // A floor that was worked on.
    std::fs::remove_dir_all(dir.join("hand-edges")).unwrap();
    bowl(dir, 0.8);
    assert_ne!(places(&sheet(dir, "20")), places(&few));
    std::fs::write(
        dir.join("old.csv"),
        filled(&few, |_, row| row[GAP] = "0.9".into()),
    )
    .unwrap();
    let o = run(
        dir,
        &["flat", "bowl.csv", "--check", CHECK, "--hand", "old.csv"],
    );
    assert!(
        out(&o).contains("drawn for other readings than these"),
        "{}",
        out(&o)
    );
    let o = run(
        dir,
        &[
            "flat",
            "bowl.csv",
            "--check",
            "1 mm in 0.4 m",
            "--hand",
            "old.csv",
        ],
    );
    assert!(out(&o).contains("they are not used"), "{}", out(&o));
}

// ORACLE: property. What is on the workbook is what is on the table, and both are read; feet and inches come back as the places drawn.
#[test]
fn workbook_and_feet_come_back() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut text = String::from("x_ft,y_ft,reading_in\n");
    for j in 0..=6 {
        for i in 0..=8 {
            // A plane: no edge shows anything.
            writeln!(text, "{},{},{}", 2 * i, 2 * j, 40.0 + 0.125 * f64::from(i)).unwrap();
        }
    }
    std::fs::write(dir.join("hall.csv"), text).unwrap();
    let check = ["--check", "1/16 in in 1 ft", "--check", "1.5 mm in 0.2 m"];
    let mut words = vec!["flat", "hall.csv", "--edges", "60"];
    words.extend(check);
    let o = run(dir, &words);
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    let mut words = vec![
        "flat",
        "hall.csv",
        "--json",
        "--hand",
        "hand-edges/hand-edges.xlsx",
    ];
    words.extend(check);
    let o = run(dir, &words);
    let v: Value = serde_json::from_str(&out(&o)).unwrap_or_else(|_| panic!("{}", err(&o)));
    assert!(v["flatness"][0]["hand"].is_null(), "{v}");
    let csv = std::fs::read_to_string(dir.join("hand-edges/hand-edges.csv")).unwrap();
    let full = filled(&csv, |_, row| row[GAP] = "1/32".into());
    std::fs::write(dir.join("full.csv"), full).unwrap();
    let mut words = vec!["flat", "hall.csv", "--json", "--hand", "full.csv"];
    words.extend(check);
    let o = run(dir, &words);
    let v: Value = serde_json::from_str(&out(&o)).unwrap_or_else(|_| panic!("{}", err(&o)));
    for part in v["flatness"].as_array().unwrap() {
        assert_eq!(part["hand"]["laid"].as_u64(), Some(60), "{part}");
        assert_eq!(part["verdict"], "within", "{part}");
    }
}

// ORACLE: hand. Each cell that cannot be is told with its place, what was found and what was expected.
#[test]
fn what_cannot_be_is_refused_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    bowl(dir, 0.9);
    let outline = "kind,name,x_m,y_m\noutline,room,0,0\noutline,room,3.6,0\noutline,room,3.6,3\noutline,room,0,3\n";
    std::fs::write(dir.join("outline.csv"), outline).unwrap();
    let text = filled(&sheet(dir, "5"), |_, row| row[GAP] = "0.9".into());
    let refused = |text: &str| {
        std::fs::write(dir.join("filled.csv"), text).unwrap();
        let o = run(
            dir,
            &[
                "flat",
                "bowl.csv",
                "--check",
                CHECK,
                "--outline",
                "outline.csv",
                "--hand",
                "filled.csv",
                "--draws",
                "0",
            ],
        );
        assert_eq!(o.status.code(), Some(1), "{}", out(&o));
        err(&o)
    };
    let cell = |column: usize, held: &str| {
        refused(&filled(&text, |k, row| {
            if k == 1 {
                row[column] = held.into();
            }
        }))
    };
    for (column, held, said) in [
        (
            GAP,
            "some",
            "filled.csv, cell I3: found \u{201c}some\u{201d}",
        ),
        (GAP, "150", "expected a gap under an edge"),
        (GAP, "-1", "without a sign"),
        (GAP, "3/8", "cell I3"),
        (GAP, "8-Mar", "a date"),
        (
            1,
            "leaning",
            "expected resting, balanced, held down, on end blocks: hollow or on end blocks: hump",
        ),
        (2, "", "the length of the edge"),
        (3, "", "a distance from the wall that the heading names"),
        (3, "9.00 m", "no farther apart than the edge is long"),
        (9, "random", "A row of your own is no random one"),
        (9, "random 9 of 5", "expected such as random 12 of 59"),
        (9, "random 1 of 6", "the rows of one sheet"),
        (12, "r00000000", "drawn apart"),
        (12, "seven", "drawn apart"),
    ] {
        let told = cell(column, held);
        assert!(told.contains(said), "{held}: {told}");
    }
    for held in ["ok", "<1/32", "\u{2713}"] {
        let told = cell(GAP, held);
        assert!(told.contains("0 where none was seen"), "{told}");
    }
    // A second column of gaps, wherever it stands and whatever it is called, is one too many.
    for head in ["Gap (mm)", "Gap 2 (mm)", "Gap again"] {
        let wide: Vec<String> = text
            .lines()
            .enumerate()
            .map(|(k, line)| format!("{line},{}", if k == 0 { head } else { "0.1" }))
            .collect();
        let told = refused(&(wide.join("\n") + "\n"));
        assert!(told.contains("each column once"), "{head}: {told}");
    }
    let seedless: Vec<&str> = text
        .lines()
        .map(|l| l.rsplit_once(',').unwrap().0)
        .collect();
    let told = refused(&(seedless.join("\n") + "\n"));
    assert!(told.contains("the column Seed"), "{told}");
    let twice = text.lines().nth(1).unwrap();
    assert!(refused(&format!("{text}{twice}\n")).contains("each random placement once"));
    // 0.2 m apart under an edge of 0.3 m on its blocks: a whole edge cannot stand so.
    let short =
        format!("{text}own,on end blocks: hump,0.3 m,1.00 m,1.00 m,1.20 m,1.00 m,,0.5,,,,\n");
    assert!(refused(&short).contains("as far apart as the edge is long"));
    let off = format!("{text}own,resting,0.3 m,5.00 m,1.00 m,5.30 m,1.00 m,,0.5,,,,\n");
    assert!(refused(&off).contains("an end off the floor"));
    assert!(refused(&text.replacen("Gap", "Hole", 1)).contains("no header of edges laid by hand"));
    assert!(refused(text.lines().next().unwrap()).contains("no edge under the header"));
    let o = run(dir, &["flat", "bowl.csv", "--edges", "0", "--out", "new"]);
    assert!(err(&o).contains("from 1 to 2,000"), "{}", err(&o));
    let o = run(
        dir,
        &[
            "flat",
            "bowl.csv",
            "--check",
            "1 mm in 40 m",
            "--edges",
            "5",
            "--out",
            "new",
        ],
    );
    assert!(out(&o).contains("finds no room"), "{}", err(&o));
    let o = run(
        dir,
        &[
            "flat",
            "bowl.csv",
            "--check",
            "3 mm in 1 m radius",
            "--edges",
            "5",
            "--out",
            "newer",
        ],
    );
    assert!(
        err(&o).contains("none of the checks asked for"),
        "{}",
        err(&o)
    );
}

// ORACLE: property. A part that the readings decide keeps its word whatever share hand edges leave, and is out with one over. Paper, page
//         and job file tell of both.
#[test]
fn paper_and_job_tell_of_edges_laid_by_hand() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    bowl(dir, 0.9);
    let text = filled(&sheet(dir, "59"), |_, row| row[GAP] = "0.9".into());
    std::fs::write(dir.join("filled.csv"), &text).unwrap();
    let job = format!(
        "checks = [\"{CHECK}\", \"80 mm in 2.4 m\"]\ndraws = 0\ntolerance = \"2 mm\"\nhand = \"filled.csv\"\n[[readings]]\nfile = \"bowl.csv\"\n"
    );
    std::fs::write(dir.join("job.toml"), job).unwrap();
    let o = run(
        dir,
        &[
            "run",
            "job.toml",
            "--only",
            "submittal",
            "--only",
            "flatness",
            "--only",
            "report",
        ],
    );
    assert_eq!(o.status.code(), Some(0), "{}", err(&o));
    assert!(
        out(&o).contains("by hand at 59 random placements"),
        "{}",
        out(&o)
    );
    let read = |name: &str| std::fs::read(dir.join("paper").join(name)).unwrap();
    let submittal = words_of(&read("submittal.pdf"));
    for said in [
        "by hand at 59 random placements",
        "59 of 59 of the 0.3 m edge",
        "Clopper and Pearson",
    ] {
        assert!(submittal.contains(said), "{said}: {submittal}");
    }
    assert!(words_of(&read("flatness.pdf")).contains("by hand at 59 random placements"));
    let page = String::from_utf8(read("report.html")).unwrap();
    assert!(page.contains("by hand at 59 random placements"));

    // Edges of 2.4 m that the readings decide: within; one by hand over the limit is out, whatever they say.
    let own =
        |gap: &str| format!("{text}own,resting,2.4 m,0.30 m,1.00 m,2.70 m,1.00 m,,{gap},,,,\n");
    for (gap, word) in [("50", "within"), ("81", "out")] {
        std::fs::write(dir.join("filled.csv"), own(gap)).unwrap();
        let o = run(dir, &["flat", "job.toml", "--json"]);
        let v: Value = serde_json::from_str(&out(&o)).unwrap_or_else(|_| panic!("{}", err(&o)));
        assert_eq!(v["flatness"][1]["verdict"], word, "{}", v["flatness"][1]);
        assert!(v["flatness"][1]["gap_mm"].is_number());
    }
    let o = run(dir, &["flat", "job.toml"]);
    assert!(
        out(&o).contains("By hand, placement own: 81"),
        "{}",
        out(&o)
    );
}

// ORACLE: property. Edges laid by hand are of the floor after the work.
#[test]
fn a_recheck_takes_them_for_the_second_day() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    bowl(dir, 0.9);
    let text = filled(&sheet(dir, "59"), |_, row| row[GAP] = "0.9".into());
    std::fs::write(dir.join("filled.csv"), &text).unwrap();
    std::fs::copy(dir.join("bowl.csv"), dir.join("after.csv")).unwrap();
    bowl(dir, 1.5);
    let words = [
        "recheck",
        "bowl.csv",
        "after.csv",
        "--check",
        CHECK,
        "--hand",
        "filled.csv",
        "--require",
        "within",
    ];
    let o = run(dir, &words);
    assert!(
        out(&o).contains("by hand at 59 random placements"),
        "{}{}",
        out(&o),
        err(&o)
    );
    assert!(
        !out(&o).contains("other readings than these"),
        "{}",
        out(&o)
    );
    assert_eq!(o.status.code(), Some(0));
}

// ORACLE: hand. The bowl is out by far under 2 m and cannot be judged under 0.3 m: only the short edge is to be laid. Where the readings
// decide every part, all of them are.
#[test]
fn edges_that_the_readings_decide_are_not_asked_for_beside_others() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    bowl(dir, 0.9);
    let lengths = |checks: &[&str], into: &str| {
        let mut words = vec!["flat", "bowl.csv", "--edges", "5", "--out", into];
        for check in checks {
            words.extend(["--check", check]);
        }
        let o = run(dir, &words);
        assert_eq!(o.status.code(), Some(0), "{}", err(&o));
        let text = std::fs::read_to_string(dir.join(into).join("hand-edges.csv")).unwrap();
        let mut lengths: Vec<String> = text.lines().skip(1).map(|l| cells(l)[2].clone()).collect();
        lengths.dedup();
        lengths
    };
    assert_eq!(lengths(&[CHECK, "3 mm in 2.4 m"], "both").len(), 1);
    assert_eq!(lengths(&["3 mm in 2.4 m"], "long").len(), 1);
}
