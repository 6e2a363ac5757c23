//! The chance beside a word, from the command line to result.json.

use crate::support::program::run;
use birdbath::flatness::check::parse;
use birdbath::flatness::edge::search;
use birdbath::flatness::{Departure, JudgeOptions, ReadingDoubt, SearchOptions, judge};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::surface::doubt::MayBe;
use birdbath::survey::setups::Ties;
use birdbath::survey::{Elevation, Reading, Survey};
use serde_json::Value;
use std::path::Path;

/// A floor of 9 by 9 readings half a metre apart with waves of `size_mm`, read to the millimetre.
fn readings(size_mm: f64) -> String {
    let mut out = "x_m,y_m,elevation_mm\n".to_owned();
    for k in 0..81 {
        let (x, y) = (0.5 * f64::from(k % 9), 0.5 * f64::from(k / 9));
        let noise = ((f64::from(k) * 12.989_8).sin() * 43_758.547).fract();
        let z = size_mm * (1.7 * x).sin() * (1.3 * y).cos() + noise;
        out.push_str(&format!("{x},{y},{}\n", z.round()));
    }
    out
}

fn ok(folder: &Path, words: &[&str]) -> String {
    let out = run(folder, words);
    assert!(out.status.success(), "{out:?}");
    String::from_utf8(out.stdout).unwrap()
}

fn part(folder: &Path, args: &[&str]) -> Value {
    let mut all = vec!["flat", "r.csv", "--check", "5 mm in 2 m, resting", "--json"];
    all.extend(args);
    let v: Value = serde_json::from_str(&ok(folder, &all)).unwrap();
    v["flatness"][0].clone()
}

// ORACLE: hand. Waves of 0.5 mm keep 5 mm in 2 m in every floor that may be, waves of 6 mm in none; the same readings give the
// same chance again; none is drawn where none is wanted, and then none is told.
#[test]
fn a_word_tells_its_chance() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("r.csv");
    std::fs::write(&file, readings(0.5)).unwrap();
    let sound = part(folder.path(), &[]);
    assert_eq!(sound["verdict"], "within");
    assert!(sound["chance"]["low"].as_f64().unwrap() >= 0.95, "{sound}");
    assert!(sound["chance"]["draws"].as_u64().unwrap() >= 60);
    let text = ok(
        folder.path(),
        &["flat", "r.csv", "--check", "5 mm in 2 m, resting"],
    );
    assert!(
        text.contains("chance that the floor keeps it: 95 % or more"),
        "{text}"
    );

    std::fs::write(&file, readings(6.0)).unwrap();
    let rough = part(folder.path(), &[]);
    assert_eq!(rough["verdict"], "out");
    assert!(rough["chance"]["high"].as_f64().unwrap() <= 0.05, "{rough}");

    std::fs::write(&file, readings(2.0)).unwrap();
    assert_eq!(part(folder.path(), &[]), part(folder.path(), &[]));
    let none = part(folder.path(), &["--draws", "0"]);
    assert!(none["chance"].is_null(), "{none}");
}

// ORACLE: hand. A repeatability as large as the limit proves nothing within it, however little the floor shows.
#[test]
fn a_worse_instrument_makes_no_word_easier() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("r.csv"), readings(0.5)).unwrap();
    let job = |repeats: &str| {
        let text = format!(
            "checks = [\"5 mm in 2 m, resting\"]\n[instrument]\nrepeatability = \"{repeats}\"\n[[readings]]\nfile = \"r.csv\"\n"
        );
        std::fs::write(folder.path().join("job.toml"), text).unwrap();
        let v: Value =
            serde_json::from_str(&ok(folder.path(), &["flat", "job.toml", "--json"])).unwrap();
        v["flatness"][0]["verdict"].as_str().unwrap().to_owned()
    };
    assert_eq!(job("0.3 mm"), "within");
    assert_eq!(job("5 mm"), "in doubt");
    assert_eq!(job("20 mm"), "in doubt");
}

// ORACLE: hand. A floor level to a millimetre, whose heights lie about the place where a rule of 5 mm steps turns over, is read in two steps in
//         clumps, wherever it falls; no gap of it is more than 1 mm, and no word of 3 mm in 2 m may be *out*. A hollow of 40 mm in 2 m read
//         with the same rule is.
#[test]
fn readings_coarser_than_the_limit_prove_no_floor_out_by_their_steps() {
    let folder = tempfile::tempdir().unwrap();
    let word = |height_mm: &dyn Fn(f64, f64) -> f64| {
        let mut out = "x_m,y_m,elevation_mm\n".to_owned();
        for k in 0..81 {
            let (x, y) = (0.5 * f64::from(k % 9), 0.5 * f64::from(k / 9));
            let read = (height_mm(x, y) / 5.0).round() * 5.0;
            out.push_str(&format!("{x},{y},{read}\n"));
        }
        std::fs::write(folder.path().join("r.csv"), out).unwrap();
        // With floors drawn and without, resting and between marks.
        let asked = |more: &[&str]| {
            let checks = [
                "flat",
                "r.csv",
                "--check",
                "3 mm in 2 m, resting",
                "--check",
                "1 mm in 2 m, midpoint",
            ];
            ok(folder.path(), &[&checks[..], more].concat())
        };
        let v: Value = serde_json::from_str(&asked(&["--json"])).unwrap();
        let drawn_none: Value = serde_json::from_str(&asked(&["--json", "--draws", "0"])).unwrap();
        let words = [&v, &drawn_none].map(|v| {
            let parts = v["flatness"].as_array().unwrap().iter();
            parts
                .map(|p| p["verdict"].as_str().unwrap().to_owned())
                .collect::<Vec<_>>()
        });
        (words, asked(&["--draws", "0"]))
    };
    for turn in [0.6, 1.1, 1.7, 2.3] {
        let (words, text) = word(&|x, y| 2.5 + 0.5 * (turn * x).sin() * (1.3 * y + turn).cos());
        assert!(
            words.iter().flatten().all(|w| w == "in doubt"),
            "{turn}: {words:?}"
        );
        // 5 mm where 3 mm is allowed is not nearer to the limit than a doubt of less than 2 mm.
        assert!(!text.contains("than the doubt of 1."), "{turn}: {text}");
    }
    let (words, _) = word(&|x, _| 40.0 * (x - 2.0).abs().min(1.0));
    assert!(words.iter().flatten().all(|w| w == "out"), "{words:?}");
}

// ORACLE: hand. A count that cannot be meant, or that proves no word, is refused with its key and what is expected.
#[test]
fn a_count_of_draws_that_cannot_be_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("r.csv"), readings(1.0)).unwrap();
    for count in ["5000", "20"] {
        let out = run(folder.path(), &["flat", "r.csv", "--draws", count]);
        let text = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(1), "{text}");
        assert!(
            text.contains("draws") && text.contains("from 60 to 2,000"),
            "{text}"
        );
    }
}

/// What a joint in the middle of 4 m makes of a check over 0.6 m: panels of 2 m read every 0.3 m, 0.2 m off the joint and the walls, whose
/// edges stand up by `curl_mm` at the joint on both sides, `step_mm` higher on the right one.
fn across_a_joint(folder: &Path, (curl_mm, step_mm): (f64, f64), check: &str) -> Value {
    let mut sheet = "x_m,y_m,elevation_mm\n".to_owned();
    for k in 0..12 * 9 {
        let (i, j) = (k % 12, k / 12);
        let x = 0.2 + 0.32 * f64::from(i % 6) + if i < 6 { 0.0 } else { 2.0 };
        let y = 0.2 + 0.3 * f64::from(j);
        // The edge of a panel, 0 in its middle, as a curled slab has it.
        let off = 2.0 - (x - 2.0).abs();
        let noise = ((f64::from(k) * 12.989_8).sin() * 43_758.547).fract() * 0.3;
        let z = curl_mm * (off / 2.0).powi(3) + noise + if x > 2.0 { step_mm } else { 0.0 };
        sheet.push_str(&format!("{x:.2},{y:.2},{z:.1}\n"));
    }
    std::fs::write(folder.join("r.csv"), sheet).unwrap();
    let outline = "kind,name,x_m,y_m\noutline,room,0,0\noutline,room,4,0\noutline,room,4,2.8\noutline,room,0,2.8\njoint,J,2,0\njoint,J,2,2.8\n";
    std::fs::write(folder.join("o.csv"), outline).unwrap();
    let job = "outline = \"o.csv\"\n[instrument]\nstep = \"0.1 mm\"\nrepeatability = \"0.2 mm\"\n[[readings]]\nfile = \"r.csv\"\n";
    std::fs::write(folder.join("job.toml"), job).unwrap();
    let v: Value = serde_json::from_str(&ok(
        folder,
        &["flat", "job.toml", "--check", check, "--json"],
    ))
    .unwrap();
    v["flatness"][0].clone()
}

// ORACLE: hand. Curled panels without a step: the floor between the outermost readings and the joint is carried out from either side, and
//         steps of floors drawn there are steps that nobody read. A step of 12 mm shows in the readings on both its sides, 0.4 m apart.
#[test]
fn a_step_that_nobody_read_puts_no_floor_out() {
    let folder = tempfile::tempdir().unwrap();
    for check in ["1 mm in 1.3 m, resting", "0.7 mm in 1.3 m, resting"] {
        let curled = across_a_joint(folder.path(), (3.0, 0.0), check);
        assert_ne!(curled["verdict"], "out", "{curled}");
        if curled["verdict"] == "in doubt" {
            let why = curled["reason"].as_str().unwrap();
            assert!(why.contains("on both its sides"), "{why}");
        }
    }
    let stepped = across_a_joint(folder.path(), (0.0, 12.0), "3 mm in 2 m, resting");
    assert_eq!(stepped["verdict"], "out", "{stepped}");
}

// ORACLE:    the same floors drawn here, each searched with proof, by the certified search that the range does without: the
//            smallest and the largest of twenty.
// TOLERANCE: a tenth; the look without proof may end beside the worst.
#[test]
fn the_likely_gap_is_that_of_twenty_drawn_floors() {
    let (step_m, repeats_m, seed) = (1e-3, 4e-4, 7);
    let reading = |k: usize| {
        let (x, y) = (0.5 * (k % 9) as f64, 0.5 * (k / 9) as f64);
        let z = 3e-3 * (1.7 * x).sin() * (1.3 * y).cos();
        let at = Elevation::from_m((z / step_m).round() * step_m);
        Reading::new(format!("R{k}"), Point::new(x, y), at)
    };
    let survey = Survey::new("", (0..81).map(reading).collect()).unwrap();
    let floor = Floor::build(&survey).unwrap().floor;
    let least_m = step_m / 12f64.sqrt();
    let noise_m = least_m.hypot(repeats_m);
    let mut may_be =
        MayBe::new(&floor, &[noise_m], least_m, &Ties::default(), seed, &|| ()).unwrap();
    may_be.grow(0, 20);
    let (finer, options) = (may_be.finer(), SearchOptions::default());
    let worst = |z: &Vec<f64>| {
        let drawn = finer.with_heights(z).unwrap();
        search(&drawn, Departure::Dip, 2.0, &options, &|_| ()).gap_m()
    };
    let mut gaps: Vec<f64> = may_be.floors(0)[..20].iter().map(worst).collect();
    gaps.sort_by(f64::total_cmp);

    let options = JudgeOptions {
        draws: 60,
        seed,
        doubt: ReadingDoubt {
            step_m,
            repeatability_m: repeats_m,
            ..ReadingDoubt::default()
        },
        ..JudgeOptions::default()
    };
    let check = parse("5 mm in 2 m, resting").unwrap();
    let result = judge(&floor, std::slice::from_ref(&check), &options, &|_| ());
    let likely = result[0].parts[0].measured().unwrap().likely.unwrap();
    assert!(gaps[0] < 0.9 * gaps[19], "no range to be told: {gaps:?}");
    for (told, own) in [(likely.low_m, gaps[0]), (likely.high_m, gaps[19])] {
        assert!((told - own).abs() < 0.1 * own, "{likely:?} {gaps:?}");
    }
}
