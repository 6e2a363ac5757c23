//! Values that nobody means, and amounts that two places must tell alike, on the command line.

use crate::support::program::run;
use std::path::Path;
use std::process::Output;

fn said(o: &Output) -> String {
    String::from_utf8_lossy(&o.stdout).into_owned() + &String::from_utf8_lossy(&o.stderr)
}

fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).unwrap();
}

/// Five by five readings 2 ft apart, in steps of 1/16 in.
fn floor() -> String {
    let mut text = "x_ft,y_ft,reading_in\n".to_owned();
    for i in 0..25 {
        let (x, y) = (i / 5 * 2, i % 5 * 2);
        text += &format!("{x},{y},40 {}/16\n", (i * 3) % 5 + 1);
    }
    text
}

const MATERIAL: &str = "name = \"M\"\nbag_weight = \"18 kg\"\nyield_per_bag = \"10 l\"\nbags_per_batch = 2\nwater = [\"4 l\", \"8 l\"]\n";

fn job(folder: &Path, more: &str) {
    write(folder, "r.csv", &floor());
    write(folder, "m.toml", MATERIAL);
    write(
        folder,
        "job.toml",
        &format!("{more}\n[[readings]]\nfile = \"r.csv\"\n"),
    );
}

#[test]
fn values_that_nobody_means_are_refused_where_they_stand() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    for (more, key) in [
        ("[instrument]\nline = \"1e15 ft\"", "instrument.line"),
        ("paper = \"abc\"", "paper"),
        ("checks = [\"1/8 in in 100000 ft\"]", "the span"),
        ("checks = [\"1e9 ft in 10 ft\"]", "the allowance"),
        ("checks = [\"1/8 in in 1e-9 ft\"]", "the span"),
        ("spans = [\"1e-300 m\"]", "spans"),
        ("[instrument]\nstep = \"1e-300 mm\"", "instrument.step"),
        ("tolerance = \"1/99999999999999999999 in\"", "tolerance"),
        (
            "[instrument]\nrepeatability = \"0 in\"",
            "instrument.repeatability",
        ),
        (
            "[instrument]\nrepeatability = \"1e-9 mm\"",
            "instrument.repeatability",
        ),
        ("checks = [\"1e-12 mm in 10 ft\"]", "the allowance"),
        ("[fill]\nbags = 1e-300", "fill.bags"),
        ("[fill]\nas_of = \"2026-99-99\"", "fill.as_of"),
        ("[fill]\nas_of = \"2026-02-29\"", "fill.as_of"),
        ("silence = [\"nope\"]", "silence"),
        (
            "silence = [\"first-row-take\"]",
            "did you mean first-row-taken",
        ),
        ("[f_numbers]\nn_min = \"0\"", "f_numbers.n_min"),
        ("[f_numbers]\nconstants = \"x\"", "constants = \"x\""),
        ("[fill]\ndeep = 1e308", "deep = 1e308"),
        (
            &format!("checks = [\"{}\"]", ["1/8 in in 10 ft"; 3000].join("; ")),
            "3000 parts",
        ),
        (&format!("checks = [{}]", "\"tile\",".repeat(200)), "checks"),
    ] {
        job(folder, more);
        let o = run(folder, &["fill", "job.toml", "--gauge", "1/8 in"]);
        assert_eq!(o.status.code(), Some(1), "{more}");
        let said = said(&o);
        assert!(said.contains(key) && said.contains("expected"), "{said}");
        assert!(!said.contains(&"0".repeat(30)), "{said}");
    }
    job(folder, "outline = \".\"");
    let o = run(folder, &["flat", "job.toml"]);
    assert!(
        said(&o).contains("job.toml, outline: ") && said(&o).contains("is a folder"),
        "{}",
        said(&o)
    );
    for (room, spacing, wanted) in [
        (
            "300ftx300ft",
            "2 ft",
            "at most 20 000 boxes in the room, here 300ftx300ft",
        ),
        (
            "8ftx10ft",
            "12 ft",
            "not longer than the room, here 8ftx10ft",
        ),
    ] {
        let o = run(folder, &["new", room, "--spacing", spacing]);
        let said = String::from_utf8(o.stderr).unwrap();
        assert_eq!(o.status.code(), Some(1), "{said}");
        assert!(said.contains(wanted) && said.contains(spacing), "{said}");
        assert!(!said.contains(" m "), "{said}");
    }
    let o = run(folder, &["new", "1e300ftx1ft", "--spacing", "2 ft"]);
    assert_eq!(o.status.code(), Some(1));
}

#[test]
fn an_outline_file_holds_what_a_room_can_have() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    write(folder, "r.csv", &floor());
    let walls = "outline,,0,0,,,\noutline,,8,0,,,\noutline,,8,8,,,\noutline,,0,8,,,\n";
    for (row, cell) in [
        ("door,D,1e300,0,30,,", "C6"),
        ("door,D,4,0,1e9,,", "E6"),
        ("door,D,4,0,30,-3,", "F6"),
        ("door,D,4,0,30,,-30", "G6"),
        ("door,D,4,0,30,,1e300", "G6"),
    ] {
        let head = "kind,name,x_ft,y_ft,width_in,under_cut_in,adjoining_reading_in\n";
        write(folder, "o.csv", &format!("{head}{walls}{row}\n"));
        let o = run(
            folder,
            &["fill", "r.csv", "--outline", "o.csv", "--gauge", "1/8 in"],
        );
        let said = said(&o);
        assert_eq!(o.status.code(), Some(1), "{row}: {said}");
        assert!(said.contains(&format!("cell {cell}:")), "{row}: {said}");
    }
}

// ORACLE: property. The order and the first row of the table price one and the same finish.
#[test]
fn grinding_that_a_finish_needs_is_in_its_cost() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    job(folder, "");
    let prices = "[fill]\ngauge = \"-1/8 in\"\nmaterial = \"m.toml\"\nwaste = 7.5\n[prices]\nbag = 20\ngrind = \"10 per m2\"\ngrind_volume = \"8 per l\"\n";
    let text = std::fs::read_to_string(folder.join("job.toml")).unwrap();
    write(folder, "job.toml", &(text + prices));
    let o = run(folder, &["fill", "job.toml", "--json"]);
    let v: serde_json::Value = serde_json::from_slice(&o.stdout).unwrap();
    let total = v["fill"]["take_off"]["costs"]["total"].as_f64().unwrap();
    let row = v["fill"]["grind_or_fill"][0]["total_cost"]
        .as_f64()
        .unwrap();
    assert!(total > 0.0 && (total - row).abs() < 1e-6, "{total} {row}");
    // A stated percentage is printed as it was stated.
    let words = said(&run(folder, &["fill", "job.toml"]));
    assert!(
        words.contains("7.5 %") && !words.contains(" 8 %"),
        "{words}"
    );
    assert!(!words.contains("at at "), "{words}");
}

// ORACLE: the rule. Until it is stated, every answer and every map says which wall the first row was taken for.
#[test]
fn a_sheet_that_could_lie_either_way_says_so_on_every_answer_and_map() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    write(
        folder,
        "r.csv",
        ",A,B,C\n1,40,40 1/8,40\n2,40,40 1/4,40\n3,40 1/8,40,40\n",
    );
    let base = [
        "--spacing",
        "2 ft",
        "--reading-unit",
        "in",
        "--gauge",
        "1/8 in",
    ];
    for (more, taken) in [(&[][..], true), (&["--first-row", "near"][..], false)] {
        let asked = |command: &[&str]| {
            let words = [command, &base, more].concat();
            said(&run(folder, &words))
        };
        let out = if taken { "taken" } else { "stated" };
        let told = "it was taken for the far wall";
        assert_eq!(asked(&["fill", "r.csv"]).contains(told), taken);
        asked(&["run", "r.csv", "--check", "1/4 in in 8 ft", "--out", out]);
        let text = |name: &str| std::fs::read_to_string(folder.join(out).join(name)).unwrap();
        let words: fn(&str) -> String = |t| t.split_whitespace().collect::<Vec<_>>().join(" ");
        for map in ["depth-map.svg", "flatness-map.svg", "height-map.svg"] {
            // Lines of a note are texts of their own.
            assert_eq!(
                words(&text(map)).contains("Nothing says which wall"),
                taken,
                "{map}"
            );
        }
        let page = text("report.html");
        let map = page.find("class=\"floor\"").unwrap();
        let bench = page.find("class=\"bench\"").unwrap();
        assert_eq!(page[map..bench].contains(told), taken);
        assert_eq!(text("result.json").contains("first-row-taken"), taken);
    }
}

// Found as an endless search: a slip of 20 in on a floor in steps of 1/16 in shows just the allowance elsewhere.
#[test]
fn a_slip_among_even_steps_is_soon_answered() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    for slip in ["38", "20", "1"] {
        write(
            folder,
            "r.csv",
            &floor().replacen("4,4,40 2/16", &format!("4,4,{slip}"), 1),
        );
        assert!(
            std::fs::read_to_string(folder.join("r.csv"))
                .unwrap()
                .contains(&format!("4,4,{slip}\n"))
        );
        let o = run(folder, &["flat", "r.csv"]);
        let words = said(&o);
        assert!(words.contains("suspected of a slip"), "{words}");
    }
}

// What has nothing to do with a bag is looked after without a material sheet; what needs one says so.
#[test]
fn without_a_material_sheet_cover_and_drains_are_told_all_the_same() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    job(folder, "");
    write(
        folder,
        "room.csv",
        "kind,name,x_ft,y_ft\noutline,,0,0\noutline,,8,0\noutline,,8,8\noutline,,0,8\n\ndrain,floor drain,4,4\n",
    );
    let told = |words: &[&str]| {
        said(&run(
            folder,
            &[&["fill", "r.csv", "--gauge", "1/8 in"], words].concat(),
        ))
    };
    let plain = told(&[]);
    for (words, wanted) in [
        (&["--cover", "3/8 in"][..], "least cover of 3/8 in"),
        (
            &["--outline", "room.csv"],
            "the fill would level the floor that falls to it",
        ),
        (&["--waste", "20"], "nothing is worked out for the waste"),
        (&["--framed"], "the weight on a framed floor"),
        (
            &["--base-depth", "1/4 in"],
            "the depth of the base material",
        ),
    ] {
        assert!(!plain.contains(wanted), "{plain}");
        assert!(told(words).contains(wanted), "{words:?}: {}", told(words));
    }
    // With a sheet the area that gets too little is the same.
    let cover = |with: &[&str]| {
        let text = told(&[&["--cover", "3/8 in"], with].concat());
        let line = text.lines().find(|l| l.contains("least cover")).unwrap();
        line.to_owned()
    };
    assert_eq!(cover(&[]), cover(&["--material", "m.toml"]));
}

// ORACLE: hand: the second day's heights (61 1/4) are the first day's readings (38 3/4) taken from 100: by them the floor rose by 100 in.
#[test]
fn days_of_two_kinds_are_asked_about_before_they_are_compared() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    let day = |heading: &str, of: fn(u32) -> u32| {
        let rows = (0..25u32).map(|i| {
            let sixteenths = of(620 + (i * 3) % 5);
            let (whole, part) = (sixteenths / 16, sixteenths % 16);
            format!("{},{},{whole} {part}/16\n", i / 5 * 2, i % 5 * 2)
        });
        format!("x_ft,y_ft,{heading}\n{}", rows.collect::<String>()).replace(" 0/16", "")
    };
    write(folder, "before.csv", &day("reading_in", |s| s));
    write(folder, "after.csv", &day("elevation_in", |s| 1600 - s));
    write(folder, "lower.csv", &day("reading_in", |s| s - 4));
    for (first, second, side) in [
        ("before.csv", "after.csv", "over"),
        ("after.csv", "before.csv", "under"),
    ] {
        let o = run(folder, &["recheck", first, second, "--draws", "0"]);
        assert_eq!(o.status.code(), Some(1));
        let said = said(&o);
        assert!(said.contains("100 in") && said.contains(side), "{said}");
        assert!(
            said.contains("deep = true") && said.contains("did not touch"),
            "{said}"
        );
    }
    for words in [
        &[
            "recheck",
            "before.csv",
            "after.csv",
            "--draws",
            "0",
            "--deep",
        ][..],
        &["recheck", "before.csv", "lower.csv", "--draws", "0"],
    ] {
        let o = run(folder, words);
        assert_eq!(o.status.code(), Some(0), "{}", said(&o));
    }
}

// ORACLE: the first bytes of a PNG; anything else is told when the job is read, whatever is asked of it.
#[test]
fn a_logo_that_is_no_picture_is_told_when_the_job_is_read() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    job(folder, "[company]\nlogo = \"logo.png\"");
    write(folder, "logo.png", "no picture");
    let o = run(folder, &["flat", "job.toml", "--draws", "0"]);
    assert_eq!(o.status.code(), Some(1));
    assert!(
        said(&o).contains("company.logo, \"logo.png\""),
        "{}",
        said(&o)
    );
}

// ORACLE: the sources themselves: what is told under a code is in the list of codes, and the list is in the docs.
#[test]
fn every_code_of_a_notice_is_listed() {
    let docs = include_str!("../../docs/formats.md");
    for code in birdbath::analysis::CODES {
        assert!(docs.contains(&format!("`{code}`")), "{code}");
    }
    assert!(birdbath::analysis::CODES.is_sorted());
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            for call in text.split("Notice::new(").skip(1) {
                let first = call.trim_start();
                if let Some(code) = first.strip_prefix('"').and_then(|t| t.split('"').next()) {
                    let known = birdbath::analysis::CODES.contains(&code);
                    assert!(known, "{code} in {}", path.display());
                }
            }
        }
    }
}

// ORACLE: hand: marks are named from the lower left, letters along x and numbers along y.
#[test]
fn a_stated_fall_is_told_with_its_amount_and_the_side_it_runs_to() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    write(folder, "r.csv", &floor());
    for (from, to, side) in [
        ("A1", "E1", "right"),
        ("E1", "A1", "left"),
        ("A1", "A5", "top"),
        ("E5", "A1", "bottom left"),
    ] {
        let fall = ["--fall", "2 %", "--fall-from", from, "--fall-to", to];
        let o = run(folder, &[&["fill", "r.csv"], &fall[..]].concat());
        let said = said(&o);
        let told = format!("Finish falls 2 % towards the {side} of the plan; it is not level.");
        assert!(said.contains(&told), "{said}");
    }
}

// ORACLE: hand. 6 by 4 m read on half a metre as far as x = 3 m: the pour's edge there, 4 m, meets floor that nobody read, but for what is carried
//         out half a spacing or so; read whole, the floor meets walls alone.
#[test]
fn a_pour_that_ends_at_floor_nobody_read_is_warned_of() {
    let outline = "kind,name,x_m,y_m\noutline,room,0,0\noutline,room,6,0\noutline,room,6,4\noutline,room,0,4\n";
    let told = |last: i32| {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path();
        let mut text = "x_m,y_m,reading_mm\n".to_owned();
        for (i, j) in (0..=last).flat_map(|i| (0..=8).map(move |j| (i, j))) {
            let (x, y) = (f64::from(i) / 2.0, f64::from(j) / 2.0);
            text += &format!("{x},{y},{}\n", 1000 + (i * 5 + j * 3) % 7);
        }
        write(folder, "r.csv", &text);
        write(folder, "o.csv", outline);
        write(folder, "m.toml", MATERIAL);
        let asked = [
            "fill",
            "r.csv",
            "--outline",
            "o.csv",
            "--material",
            "m.toml",
            "--gauge",
            "3 mm",
        ];
        said(&run(folder, &asked))
    };
    let half = told(6);
    assert!(
        half.contains("4.00 m of the pour's edge lies against floor that was not surveyed"),
        "{half}"
    );
    let whole = told(12);
    assert!(!whole.contains("of the pour's edge"), "{whole}");
}

// ORACLE: hand. The sheet mixes two bags at a time, this crew three: the order counts its batches as the pour does.
#[test]
fn the_order_counts_the_batches_that_the_crew_mixes() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    job(
        folder,
        "[fill]\ngauge = \"1 in\"\nmaterial = \"m.toml\"\n[crew]\nbags_per_batch = 3\n",
    );
    write(
        folder,
        "m.toml",
        &format!("{MATERIAL}mixing_time = \"3 min\"\nopen_time = \"15 min\"\n")
            .replace("\"8 l\"]", "\"8 l\", \"12 l\"]"),
    );
    let answer = |command: &str| -> serde_json::Value {
        let o = run(folder, &[command, "job.toml", "--json"]);
        serde_json::from_slice(&o.stdout).unwrap_or_else(|_| panic!("{}", said(&o)))
    };
    assert_eq!(
        answer("fill")["fill"]["take_off"]["batches"]["bags_per_batch"],
        3
    );
    let pour = answer("pour");
    let batches = pour["pour"]["batches"].as_array().unwrap().iter();
    assert_eq!(batches.filter_map(|b| b["bags"].as_u64()).max(), Some(3));
}

// ORACLE: hand. Readings in steps of 1 mm with a trough 3 mm deep along one column: it lies 3 mm under the middle of its neighbours 1 m off. Three
//         readings of which nobody says how well they repeat count the most that is taken for such, 0.75 mm, as if that were stated: each
//         u = sqrt(1/12 + 0.75^2), twice u sqrt(1 + 1/4 + 1/4) in all. With 0.1 mm stated the same floor is out.
#[test]
fn a_value_without_drawn_floors_counts_the_most_that_a_reading_may_repeat_to() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    let mut text = "x_m,y_m,reading_mm\n".to_owned();
    for (i, j) in (0..7).flat_map(|i| (0..7).map(move |j| (i, j))) {
        let low = if i == 3 { 3 } else { 0 } + j % 2;
        text += &format!("{i},{j},{}\n", 1000 + low);
    }
    write(folder, "r.csv", &text);
    let part = |more: &[&str]| {
        let asked = [
            "flat",
            "r.csv",
            "--check",
            "2 mm in 2 m, midpoint",
            "--json",
        ];
        let o = run(folder, &[&asked[..], more].concat());
        let v: serde_json::Value =
            serde_json::from_slice(&o.stdout).unwrap_or_else(|_| panic!("{}", said(&o)));
        let part = v["flatness"][0].clone();
        (
            part["verdict"].as_str().unwrap().to_owned(),
            part["doubt_mm"].as_f64().unwrap(),
        )
    };
    let (word, doubt_mm) = part(&[]);
    assert_eq!(word, "in doubt");
    let wanted = 2.0 * ((1.0 / 12.0 + 0.75_f64 * 0.75) * 1.5).sqrt();
    assert!((doubt_mm - wanted).abs() < 1e-3, "{doubt_mm} {wanted}");
    assert!((part(&["--repeatability", "0.75 mm"]).1 - doubt_mm).abs() < 1e-9);
    assert_eq!(part(&["--repeatability", "0.1 mm"]).0, "out");
}

// ORACLE: hand. A ridge of 8 mm under a finish 5 mm below its top: the full pour grinds 5 mm, which a job that allows 2 mm does not, so that it is
//         no sound choice; allowed 6 mm it is the cheapest.
#[test]
fn a_pour_that_grinds_deeper_than_the_job_allows_is_no_sound_choice() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    let mut text = "x_m,y_m,reading_mm\n".to_owned();
    for (i, j) in (0..9).flat_map(|i| (0..7).map(move |j| (i, j))) {
        let (x, y) = (f64::from(i) / 2.0, f64::from(j) / 2.0);
        text += &format!("{x},{y},{}\n", if i == 4 { 992 } else { 1000 });
    }
    write(folder, "r.csv", &text);
    write(folder, "m.toml", MATERIAL);
    let told = |allowed: &str| {
        let job = format!(
            "checks = [\"3 mm in 2 m, held down\"]\naim = \"level\"\ndraws = 0\n[[readings]]\nfile = \"r.csv\"\n[fill]\ngauge = \"-5 mm\"\ngrind = \"{allowed}\"\nmaterial = \"m.toml\"\n"
        );
        write(folder, "job.toml", &job);
        said(&run(
            folder,
            &[
                "run",
                "job.toml",
                "--only",
                "result",
                "--out",
                &format!("o{}", &allowed[..1]),
            ],
        ))
    };
    let much = told("6 mm");
    assert!(much.contains("Cheapest sound  the full pour"), "{much}");
    let little = told("2 mm");
    assert!(
        !little.contains("Cheapest sound  the full pour"),
        "{little}"
    );
}

// ORACLE: contract. A key that takes one word of a few names them, whatever stands there.
#[test]
fn keys_of_a_few_words_name_them() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    for (line, words) in [
        ("units = 3", "expected `us` or `metric`"),
        ("units = {}", "expected `us` or `metric`"),
        (
            "units = \"inch\"",
            "unknown word `inch`; expected `us` or `metric`",
        ),
        ("paper = true", "`a3`"),
        ("aim = []", "expected `level` or `flat`"),
        ("crew.order = 2", "`level lines`"),
    ] {
        job(folder, line);
        let told = said(&run(folder, &["read", "job.toml"]));
        assert!(told.contains(words), "{line}: {told}");
    }
}
