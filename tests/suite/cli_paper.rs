//! The commands that write paper, and the page's server, as a user has them.

use crate::support::program::run;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::pdf::{page_sizes, words_of};

fn done(folder: &Path, words: &[&str]) -> String {
    let o = run(folder, words);
    assert_eq!(
        o.status.code(),
        Some(0),
        "{words:?}: {}",
        String::from_utf8_lossy(&o.stderr)
    );
    String::from_utf8(o.stdout).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n != ".birdbath-set")
        .collect();
    names.sort();
    names
}

/// 12 ft by 10 ft every 2 ft, falling gently, with one hollow.
fn readings(lift_in: f64) -> String {
    let mut text = String::from("x_ft,y_ft,reading_in\n");
    for j in 0..=5 {
        for i in 0..=6 {
            let hollow = if (i, j) == (3, 2) { 0.5 } else { 0.0 };
            let down = 40.0 + f64::from(i) / 16.0 + hollow - lift_in;
            text.push_str(&format!("{},{},{down}\n", 2 * i, 2 * j));
        }
    }
    text
}

/// A job with a company of its own and a logo.
fn job() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    write("floor.csv", &readings(0.0));
    write(
        "sheet.toml",
        "name = \"Invented\"\nbag_weight = \"36 lb\"\ncoverage = \"17 sq ft at 1/4 in\"\nbags_per_batch = 2\nmixing_time = \"2.5 min\"\nopen_time = \"14 min\"\n",
    );
    write(
        "logo.svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40\" height=\"16\"><rect width=\"40\" height=\"16\"/></svg>",
    );
    write(
        "job.toml",
        "title = \"Lark hall\"\npaper = \"tabloid\"\nwhen = \"2026-05-04\"\nchecks = [\"1/4 in in 4 ft\"]\n\
         [[readings]]\nfile = \"floor.csv\"\n\
         [fill]\ngauge = \"1/8 in\"\nmaterial = \"sheet.toml\"\n\
         [company]\nname = \"Invented Floors\"\nlines = [\"1 Nowhere Lane\"]\nlogo = \"logo.svg\"\n",
    );
    folder
}

#[test]
fn sheets_writes_the_crews_paper_on_the_paper_asked_for() {
    let folder = job();
    done(folder.path(), &["sheets", "job.toml", "--out", "p"]);
    let made = names(&folder.path().join("p"));
    for name in [
        "mark-out.pdf",
        "pour.pdf",
        "flatness.pdf",
        "depth-map.svg",
        "depth-map.png",
    ] {
        assert!(made.iter().any(|n| n == name), "{name}: {made:?}");
    }
    assert!(!made.iter().any(|n| n == "submittal.pdf"), "{made:?}");
    // Sides in points: 11 x 17 in, 8 1/2 x 11 in, 210 x 297 mm, 297 x 420 mm (ISO 216).
    for (paper, sides) in [
        (None, (792.0, 1224.0)),
        (Some("letter"), (612.0, 792.0)),
        (Some("a4"), (595.28, 841.89)),
        (Some("a3"), (841.89, 1190.55)),
    ] {
        let mut words = vec![
            "sheets",
            "job.toml",
            "--out",
            "p",
            "--replace",
            "--only",
            "mark-out",
        ];
        words.extend(paper.into_iter().flat_map(|p| ["--paper", p]));
        done(folder.path(), &words);
        let pdf = std::fs::read(folder.path().join("p/mark-out.pdf")).unwrap();
        for (w, h) in page_sizes(&pdf) {
            let near = |a: f64, b: f64| (a - b).abs() < 0.5;
            assert!(
                near(w.min(h), sides.0) && near(w.max(h), sides.1),
                "{paper:?}: {w} x {h}"
            );
        }
    }
}

#[test]
fn submittal_carries_the_users_company_and_comes_out_the_same_again() {
    let folder = job();
    done(folder.path(), &["submittal", "job.toml", "--out", "a"]);
    done(folder.path(), &["submittal", "job.toml", "--out", "b"]);
    for name in names(&folder.path().join("a")) {
        let [a, b] = ["a", "b"].map(|f| std::fs::read(folder.path().join(f).join(&name)).unwrap());
        assert!(a == b, "{name} differs between two runs");
    }
    let pdf = std::fs::read(folder.path().join("a/submittal.pdf")).unwrap();
    let text = words_of(&pdf);
    for wanted in [
        "Invented Floors",
        "1 Nowhere Lane",
        "Lark hall",
        "2026-05-04",
        "floor.csv",
    ] {
        assert!(text.contains(wanted), "{wanted}");
    }
}

#[test]
fn several_rooms_get_a_folder_each() {
    let folder = tempfile::tempdir().unwrap();
    let mut text = String::new();
    for room in ["North room", "South room"] {
        text.push_str(&format!("{room}\nx_ft,y_ft,reading_in\n"));
        for (x, y, r) in [(0, 0, 40), (4, 0, 41), (0, 4, 40), (4, 4, 40), (2, 2, 40)] {
            text.push_str(&format!("{x},{y},{r}\n"));
        }
        text.push('\n');
    }
    std::fs::write(folder.path().join("rooms.csv"), text).unwrap();
    done(
        folder.path(),
        &[
            "sheets",
            "rooms.csv",
            "--gauge",
            "1/8 in",
            "--out",
            "p",
            "--only",
            "mark-out",
        ],
    );
    assert_eq!(
        names(&folder.path().join("p")),
        ["North-room", "South-room"]
    );
}

#[test]
fn recheck_writes_its_sheet_and_a_bare_file_takes_the_jobs_terms_over() {
    let folder = job();
    std::fs::write(folder.path().join("after.csv"), readings(0.375)).unwrap();
    std::fs::write(
        folder.path().join("room.csv"),
        "kind,x_ft,y_ft\noutline,0,0\noutline,12,0\noutline,12,10\noutline,0,10\n",
    )
    .unwrap();
    done(
        folder.path(),
        &[
            "recheck",
            "job.toml",
            "after.csv",
            "--used",
            "9",
            "--out",
            "p",
            "--paper",
            "letter",
        ],
    );
    assert_eq!(
        names(&folder.path().join("p")),
        [
            "height-map-after.png",
            "height-map-after.svg",
            "height-map-before.png",
            "height-map-before.svg",
            "recheck.pdf"
        ]
    );
    let text = words_of(&std::fs::read(folder.path().join("p/recheck.pdf")).unwrap());
    // Every mark is 3/8 in higher than before.
    for wanted in [
        "Mean thickness at the marks +3/8 in",
        "Bags used 9",
        "Invented Floors",
    ] {
        assert!(text.contains(wanted), "{wanted} is not in: {text}");
    }
    // Both maps say one scale.
    let scale = |name: &str| -> String {
        let svg = std::fs::read_to_string(folder.path().join("p").join(name)).unwrap();
        let at = svg.find("Scale ").unwrap();
        svg[at..].split('<').next().unwrap().to_owned()
    };
    assert_eq!(
        scale("height-map-before.svg"),
        scale("height-map-after.svg")
    );
    // An outline that only the second day names holds for both.
    let second = "[[readings]]\nfile = \"after.csv\"\n";
    std::fs::write(
        folder.path().join("second.toml"),
        format!("outline = \"room.csv\"\n{second}"),
    )
    .unwrap();
    let said = done(
        folder.path(),
        &["recheck", "floor.csv", "second.toml", "--json"],
    );
    let v: serde_json::Value = serde_json::from_str(&said).unwrap();
    // 12 ft x 10 ft x 3/8 in is 3.75 cu ft, 106.188 L.
    assert!(
        (v["placed_l"].as_f64().unwrap() - 106.188).abs() < 1e-3,
        "{said}"
    );
    // The same readings twice: told plainly, not mark by mark.
    let said = done(folder.path(), &["recheck", "job.toml", "floor.csv"]);
    assert!(
        said.contains("looks unpoured") && !said.contains(": low"),
        "{said}"
    );
}

#[test]
fn new_writes_a_sheet_and_a_workbook_that_read_takes() {
    let folder = tempfile::tempdir().unwrap();
    done(
        folder.path(),
        &[
            "new",
            "8ftx10ft",
            "--spacing",
            "2 ft",
            "--title",
            "Wash room",
            "--paper",
            "a4",
            "--out",
            "f",
        ],
    );
    let pdf = std::fs::read(folder.path().join("f/field-sheet.pdf")).unwrap();
    let text = words_of(&pdf);
    for wanted in ["Wash room", "E6", "180°", "Bench mark"] {
        assert!(text.contains(wanted), "{wanted}");
    }
    // Blank, it holds no readings, and that is told.
    let o = run(folder.path(), &["read", "f/field-sheet.xlsx"]);
    assert_eq!(o.status.code(), Some(1));
    assert!(!o.stderr.is_empty());
}

#[test]
fn serve_answers_until_it_is_stopped() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_birdbath"))
        .args(["serve", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap())
        .read_line(&mut line)
        .unwrap();
    let address = line
        .trim()
        .rsplit_once("http://")
        .and_then(|(_, a)| a.split_once('/'));
    let (address, path) = address.unwrap_or_else(|| panic!("no address in {line:?}"));
    let mut stream = TcpStream::connect(address).unwrap();
    write!(
        stream,
        "GET /{path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n"
    )
    .unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(answer.contains("<title>Birdbath</title>"));
    // Ctrl-C, as the terminal sends it.
    let stopped = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(stopped.success());
    assert!(child.wait().unwrap().success());
    assert!(
        TcpStream::connect(address).is_err(),
        "the port is still held"
    );
}

#[test]
fn a_field_sheet_keeps_the_unit_of_its_spacing() {
    // ORACLE: the words asked with. The folder's name holds "in", which is no inch.
    let folder = tempfile::tempdir().unwrap();
    let inner = folder.path().join("drawings");
    std::fs::create_dir(&inner).unwrap();
    std::fs::write(
        inner.join("main.csv"),
        "kind,name,x_m,y_m\noutline,,0,0\noutline,,6,0\noutline,,6,4\noutline,,0,4\n",
    )
    .unwrap();
    let o = run(
        folder.path(),
        &["new", "drawings/main.csv", "--spacing", "500 mm"],
    );
    assert!(o.status.success(), "{}", String::from_utf8_lossy(&o.stderr));
    let pdf = std::fs::read(folder.path().join("field-sheet.pdf")).unwrap();
    let text = words_of(&pdf);
    assert!(
        text.contains("0.50 m apart") && !text.contains(" ft"),
        "{text}"
    );
    // ISO 216 A4, in points.
    let (w, h) = crate::pdf::page_sizes(&pdf)[0];
    assert!((w.min(h) - 595.3).abs() < 1.0 && (w.max(h) - 841.9).abs() < 1.0);
}

#[test]
fn the_submittal_prints_the_f_numbers_of_the_sample_lines() {
    // ORACLE: two lines of equal length combine by the mean of 1/F^2; both sheets hold the lines' own figures.
    let folder = tempfile::tempdir().unwrap();
    let mut lines = String::from("line,station_ft,reading_in\n");
    for (name, period) in [("A", 5), ("B", 7)] {
        for i in 0..25 {
            let sixteenths = 640 + (i * i) % period;
            lines += &format!("{name},{i},{}\n", f64::from(sixteenths) / 16.0);
        }
    }
    std::fs::write(folder.path().join("lines.csv"), lines).unwrap();
    std::fs::write(
        folder.path().join("room.csv"),
        "x_ft,y_ft,reading_in\n0,0,40\n10,0,40 1/8\n0,10,40 1/4\n10,10,40\n5,5,40 1/16\n",
    )
    .unwrap();
    let o = run(
        folder.path(),
        &["flat", "room.csv", "--lines", "lines.csv", "--json"],
    );
    let v: serde_json::Value = serde_json::from_slice(&o.stdout).unwrap();
    let f = &v["f_numbers"];
    let of = |i: usize| f["lines"][i]["ff"].as_f64().unwrap();
    let combined = f["ff"].as_f64().unwrap();
    let mean = (of(0).powi(-2) + of(1).powi(-2)) / 2.0;
    // TOLERANCE: all three are printed to a tenth, as the standard has them.
    assert!(
        (combined - mean.powf(-0.5)).abs() <= 0.1,
        "{combined} {mean}"
    );
    let o = run(
        folder.path(),
        &[
            "submittal",
            "room.csv",
            "--lines",
            "lines.csv",
            "--only",
            "submittal",
            "--out",
            "p",
        ],
    );
    assert!(o.status.success(), "{}", String::from_utf8_lossy(&o.stderr));
    let text = words_of(&std::fs::read(folder.path().join("p/submittal.pdf")).unwrap());
    assert!(text.contains("F-numbers") && text.contains("E1155 7.3.2"));
    for ff in [combined, of(0), of(1)] {
        assert!(text.contains(&format!("{ff:.1}")), "{ff}");
    }
}

// ORACLE: the program itself: a picture in the documents is what it draws.
#[test]
fn the_readmes_picture_is_the_programs_own() {
    let folder = tempfile::tempdir().unwrap();
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    for file in ["job.toml", "material.toml", "outline.csv", "readings.csv"] {
        std::fs::copy(demo.join(file), folder.path().join(file)).unwrap();
    }
    let out = run(
        folder.path(),
        &["sheets", "job.toml", "--only", "depth-map", "--out", "made"],
    );
    assert!(out.status.success(), "{out:?}");
    let made = std::fs::read(folder.path().join("made/depth-map.png")).unwrap();
    assert!(
        made == include_bytes!("../../docs/images/depth-map.png"),
        "docs/images/depth-map.png is not what the program draws; make it anew with `birdbath sheets fixtures/demo/job.toml --only depth-map` \
         and look at it"
    );
}

#[test]
fn a_name_that_no_font_draws_is_told_with_its_cell() {
    let folder = tempfile::tempdir().unwrap();
    let text =
        "x_ft,y_ft,reading_in,name\n0,0,40,A\n2,0,40 1/8,\u{6728}\n0,2,40,C\n2,2,40 1/16,D\n";
    std::fs::write(folder.path().join("floor.csv"), text).unwrap();
    let o = run(folder.path(), &["run", "floor.csv", "--only", "mark-out"]);
    let said = String::from_utf8_lossy(&o.stderr).into_owned();
    assert_eq!(o.status.code(), Some(1), "{said}");
    assert!(said.contains("floor.csv, cell C3 or beside it: "), "{said}");
    assert!(said.contains('\u{6728}'), "{said}");
    // What needs no font is made all the same.
    done(folder.path(), &["run", "floor.csv", "--only", "workbook"]);
}

/// A level floor at 40 in below the line, read every `step_ft` over 8 ft by 8 ft, but for one mark at (4, 4) ft.
fn level_but_one(step_ft: f64, one_in: f64) -> String {
    let mut text = String::from("x_ft,y_ft,reading_in\n");
    let n = (8.0 / step_ft) as i32;
    for (i, j) in (0..=n).flat_map(|i| (0..=n).map(move |j| (i, j))) {
        let (x, y) = (f64::from(i) * step_ft, f64::from(j) * step_ft);
        let reading = if (x, y) == (4.0, 4.0) { one_in } else { 40.0 };
        text.push_str(&format!("{x},{y},{reading}\n"));
    }
    text
}

// ORACLE: closed form: a mark 5/16 in proud between neighbours 1 ft away stands 5/16 in over a 2 ft edge's chord. On a 2 ft grid
// nothing under a 2 ft edge can be told: a low mark's rim is a fold of the triangles, and no ridge.
#[test]
fn ridges_after_a_pour_are_told_alike_everywhere_and_only_where_readings_show_them() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: String| std::fs::write(folder.path().join(name), text).unwrap();
    write(
        "before1.csv",
        level_but_one(1.0, 40.25).replace(",40\n", ",40.5\n"),
    );
    write("proud.csv", level_but_one(1.0, 39.6875));
    write(
        "before2.csv",
        level_but_one(2.0, 40.25).replace(",40\n", ",40.5\n"),
    );
    write("low.csv", level_but_one(2.0, 40.125));
    let of = |before: &str, after: &str| {
        let words = [
            "recheck",
            before,
            after,
            "--gauge",
            "1/4 in",
            "--out",
            after.trim_end_matches(".csv"),
        ];
        let said = done(folder.path(), &words);
        let json = done(
            folder.path(),
            &[
                "recheck", before, after, "--gauge", "1/4 in", "--draws", "0", "--json",
            ],
        );
        let v: serde_json::Value = serde_json::from_str(&json).unwrap();
        let pdf = folder
            .path()
            .join(after.trim_end_matches(".csv"))
            .join("recheck.pdf");
        (
            said,
            v["ridges"].clone(),
            words_of(&std::fs::read(pdf).unwrap()),
        )
    };
    let (said, ridges, paper) = of("before1.csv", "proud.csv");
    assert_eq!(ridges.as_array().unwrap().len(), 1, "{ridges}");
    assert!(
        (ridges[0]["proud_mm"].as_f64().unwrap() - 7.938).abs() < 1e-6,
        "{ridges}"
    );
    assert!(said.contains("Ridge, 0.31 in (5/16) proud"), "{said}");
    assert!(paper.contains("Ridge, 0.31 in (5/16) proud"), "{paper}");
    // What was poured is not to be filled again, and nobody stated the line.
    assert!(!said.contains("fill adds"), "{said}");
    assert!(
        paper.contains("taken as the same") && !paper.contains("as stated"),
        "{paper}"
    );
    let (said, ridges, paper) = of("before2.csv", "low.csv");
    assert_eq!(ridges, serde_json::json!([]));
    assert!(
        !said.contains("Ridge") && !paper.contains("Ridge"),
        "{said} {paper}"
    );
}

// ORACLE: by hand: 3/8 in everywhere on 12 ft by 10 ft but for the row y = 0, which the work left alone: with the readings between
// carried straight, 12 ft x (8 ft x 3/8 in + 2 ft x 3/16 in) is 3.375 cu ft, wherever the line stood on the second day.
#[test]
fn a_tie_shifts_the_placed_volume_as_it_does_the_marks() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("before.csv"), readings(0.0)).unwrap();
    let after = |shift_in: f64| {
        let rows = readings(0.375);
        let mut text = String::new();
        for (k, line) in rows.lines().enumerate() {
            let cells: Vec<&str> = line.split(',').collect();
            if k == 0 {
                text.push_str(&format!("{line}\n"));
                continue;
            }
            let left = if cells[1] == "0" { 0.375 } else { 0.0 };
            let reading: f64 = cells[2].parse::<f64>().unwrap() + left + shift_in;
            text.push_str(&format!("{},{},{reading}\n", cells[0], cells[1]));
        }
        text
    };
    let mut last = None;
    for shift_in in [0.0, -2.0, 1.0] {
        std::fs::write(folder.path().join("after.csv"), after(shift_in)).unwrap();
        let words = [
            "recheck",
            "before.csv",
            "after.csv",
            "--tie",
            "A1",
            "--tie",
            "G1",
            "--draws",
            "0",
            "--json",
        ];
        let v: serde_json::Value = serde_json::from_str(&done(folder.path(), &words)).unwrap();
        let placed = v["placed_l"].as_f64().unwrap();
        assert!(
            (placed - 3.375 * 28.316_846_592).abs() < 1e-2,
            "{shift_in}: {placed}"
        );
        assert!((v["shift_mm"].as_f64().unwrap() - shift_in * 25.4).abs() < 1e-6);
        last = Some(v);
    }
    assert_eq!(last.unwrap()["line_assumed"], false);
}

// Names that nobody wrote pair nothing: marks are known by their places, and what was not read again is told.
#[test]
fn marks_without_names_are_paired_by_place() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("before.csv"), readings(0.0)).unwrap();
    let rows = readings(0.375);
    let kept = rows
        .lines()
        .enumerate()
        .filter(|(k, _)| *k == 0 || k % 2 == 1);
    let half: String = kept.map(|(_, l)| format!("{l}\n")).collect();
    std::fs::write(folder.path().join("half.csv"), half).unwrap();
    let said = done(
        folder.path(),
        &["recheck", "before.csv", "half.csv", "--draws", "0"],
    );
    assert!(said.contains("21 of 42; 21 were not read again"), "{said}");
    // The same floor in the other unit is the same floor.
    let metric: String = rows
        .lines()
        .enumerate()
        .map(|(k, l)| {
            if k == 0 {
                return "x_mm,y_mm,reading_mm\n".to_owned();
            }
            let cells: Vec<f64> = l.split(',').map(|c| c.parse().unwrap()).collect();
            format!(
                "{:.0},{:.0},{:.1}\n",
                cells[0] * 304.8,
                cells[1] * 304.8,
                cells[2] * 25.4
            )
        })
        .collect();
    std::fs::write(folder.path().join("metric.csv"), metric).unwrap();
    let v = done(
        folder.path(),
        &[
            "recheck",
            "before.csv",
            "metric.csv",
            "--draws",
            "0",
            "--json",
        ],
    );
    let v: serde_json::Value = serde_json::from_str(&v).unwrap();
    assert!(
        (v["placed_l"].as_f64().unwrap() - 106.188).abs() < 0.3,
        "{v}"
    );
}

// ORACLE: hand. A bench mark outside the walls stands first in the file; every number of the maps stays at its own mark, the reading less the
//         finish 4 mm over the highest floor, as it is without that row.
#[test]
fn a_reading_off_the_floor_moves_no_number_of_a_map() {
    let folder = tempfile::tempdir().unwrap();
    let mut rows = String::new();
    for (j, row) in ["A", "B", "C", "D"].iter().enumerate() {
        for i in 0..5 {
            let (x, y) = (0.25 + 0.5 * f64::from(i), 0.25 + 0.5 * j as f64);
            rows.push_str(&format!(
                "{x},{y},{},{row}{i}\n",
                1210 + 3 * i + 2 * j as i32
            ));
        }
    }
    let outline = "kind,name,x_m,y_m\noutline,room,0,0\noutline,room,2.5,0\noutline,room,2.5,2\noutline,room,0,2\n";
    std::fs::write(folder.path().join("o.csv"), outline).unwrap();
    let numbers = |first: &str| {
        std::fs::write(
            folder.path().join("r.csv"),
            format!("x_m,y_m,reading_mm,point\n{first}{rows}"),
        )
        .unwrap();
        let args = [
            "sheets",
            "r.csv",
            "--outline",
            "o.csv",
            "--gauge",
            "4 mm",
            "--draws",
            "0",
            "--only",
            "depth-map",
            "--only",
            "height-map",
            "--out",
            "s",
        ];
        done(folder.path(), &args);
        let texts = |name: &str| -> Vec<String> {
            let svg = std::fs::read_to_string(folder.path().join("s").join(name)).unwrap();
            let texts = svg.split("</text>").filter_map(|t| t.rsplit('>').next());
            let number = |t: &&str| !t.is_empty() && t.chars().all(|c| c.is_ascii_digit());
            texts.filter(number).map(str::to_owned).collect()
        };
        let found = (texts("depth-map.svg"), texts("height-map.svg"));
        std::fs::remove_dir_all(folder.path().join("s")).unwrap();
        found
    };
    let plain = numbers("");
    assert!(
        plain.0.len() >= 20 && plain.0.iter().any(|t| t == "22"),
        "{plain:?}"
    );
    assert_eq!(numbers("-0.6,1.5,1200,BM\n"), plain);
}

// ORACLE: hand. Everything was read 12 mm lower on the second day, and 5 mm were placed: a mark beyond the door that the work did not touch shows it.
#[test]
fn a_mark_off_the_floor_may_tie_two_days() {
    let folder = tempfile::tempdir().unwrap();
    let day = |down: f64, placed: f64| {
        let mut text = format!("x_m,y_m,reading_mm,point\n-0.6,1.0,{},BM\n", 1200.0 + down);
        for k in 0..20 {
            let (x, y) = (0.25 + 0.5 * f64::from(k % 5), 0.25 + 0.5 * f64::from(k / 5));
            text.push_str(&format!(
                "{x},{y},{},P{k}\n",
                1210.0 + f64::from(k % 3) + down - placed
            ));
        }
        text
    };
    let outline = "kind,name,x_m,y_m\noutline,room,0,0\noutline,room,2.5,0\noutline,room,2.5,2\noutline,room,0,2\n";
    std::fs::write(folder.path().join("o.csv"), outline).unwrap();
    std::fs::write(folder.path().join("a.csv"), day(0.0, 0.0)).unwrap();
    std::fs::write(folder.path().join("b.csv"), day(12.0, 5.0)).unwrap();
    let args = [
        "recheck",
        "a.csv",
        "b.csv",
        "--outline",
        "o.csv",
        "--tie",
        "BM",
        "--draws",
        "0",
        "--json",
    ];
    let v: serde_json::Value = serde_json::from_str(&done(folder.path(), &args)).unwrap();
    assert!((v["shift_mm"].as_f64().unwrap() - 12.0).abs() < 1e-6, "{v}");
    assert!((v["mean_mm"].as_f64().unwrap() - 5.0).abs() < 1e-6, "{v}");
}
