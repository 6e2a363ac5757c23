//! The submittal as those read it who neither order nor pay: what stands on it, on its first page, and what does not.

use crate::pdf::{pages_of, words_of};
use crate::support::program::run;
use birdbath::report::words::submittal as w;
use std::path::Path;

/// Every 2 ft, 20 ft by 16 ft, a little hollow; `of` changes a reading, or leaves it out.
fn grid(of: impl Fn(i32, i32, f64) -> Option<f64>) -> String {
    let mut text = String::from("x_ft,y_ft,reading_in\n");
    for j in 0..=8 {
        for i in 0..=10 {
            let down = 40.0 + f64::from((i * 7 + j * 5) % 4) / 16.0;
            if let Some(down) = of(i, j, down) {
                text.push_str(&format!("{},{},{down}\n", 2 * i, 2 * j));
            }
        }
    }
    text
}

const SHEET: &str = "name = \"Invented\"\nyield_per_bag = \"0.5 cu ft\"\nbags_per_batch = 2\nwater = [\"5 qt\", \"5.5 qt\", \"6 qt\"]\n\
    mixing_time = \"2.5 min\"\nopen_time = \"14 min\"\nmin_depth = \"1/8 in\"\n";

const PRICES: &str = "[prices]\ncurrency = \"USD\"\nbag = 27.40\ngrind = \"1.80 per sq ft\"\n";

/// Writes a job with this text under its readings, runs a command on it, and gives the folder of its papers.
fn papers(folder: &Path, readings: &str, job: &str, words: &[&str]) -> std::path::PathBuf {
    let write = |name: &str, text: &str| std::fs::write(folder.join(name), text).unwrap();
    write("floor.csv", readings);
    write("sheet.toml", SHEET);
    write("job.toml", job);
    let all = [
        &["submittal", "job.toml", "--out", "out", "--replace"],
        words,
    ]
    .concat();
    let o = run(folder, &all);
    let told = String::from_utf8_lossy(&o.stderr);
    assert_eq!(o.status.code(), Some(0), "{told}");
    folder.join("out")
}

fn job(checks: &str, fill: &str) -> String {
    format!(
        "title = \"Lark hall\"\nunits = \"us\"\nchecks = [{checks}]\n[[readings]]\nfile = \"floor.csv\"\n[instrument]\nrepeatability = \"1/64 in\"\n{fill}"
    )
}

fn pdf(papers: &Path, name: &str) -> Vec<u8> {
    std::fs::read(papers.join(name)).unwrap()
}

// ORACLE: the rule: who gets a submittal neither orders nor pays. The words are those that every line of an order, of a staging list and of costs has.
#[test]
fn a_submittal_tells_no_bags_water_or_prices_unless_they_are_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let plain = |_: i32, _: i32, down: f64| Some(down);
    let pit = |i: i32, j: i32, down: f64| Some(if (i, j) == (4, 4) { down + 0.5 } else { down });
    let after = |_: i32, _: i32, _: f64| Some(39.75);
    let ten = "\"1/8 in in 10 ft\"";
    let poured = format!(
        "[fill]\ngauge = \"1/4 in\"\ngauges = [\"1/8 in\", \"1/4 in\"]\nmaterial = \"sheet.toml\"\n[crew]\npeople = 3\nmixers = 2\n{PRICES}"
    );
    let patched = format!("[fill]\ngrind = \"1/8 in\"\nmaterial = \"sheet.toml\"\n{PRICES}");
    let ground = format!(
        "[fill]\ngauge = \"-1/8 in\"\ngrind = \"1/4 in\"\nmaterial = \"sheet.toml\"\n{PRICES}"
    );
    let jobs = [
        ("a pour", grid(plain), job(ten, &poured)),
        ("a patch", grid(pit), job(ten, &patched)),
        ("a grind", grid(plain), job(ten, &ground)),
        ("after the work", grid(after), job(ten, &poured)),
        ("no material", grid(plain), job(ten, "")),
    ];
    let ordered = ["bag", "water", "primer", "batch", "waste", "dam:"];
    let of_money = ["usd", "price", "cost", "27.40", "1.80"];
    for (what, readings, job) in jobs {
        let only = ["--only", "submittal"];
        let out = papers(folder.path(), &readings, &job, &only);
        let text = words_of(&pdf(&out, "submittal.pdf")).to_lowercase();
        for word in ordered.iter().chain(&of_money) {
            assert!(!text.contains(word), "{what}: {word}: {text}");
        }
        if what == "no material" {
            continue;
        }
        let asked = ["--only", "submittal", "--with", "quantities"];
        let out = papers(folder.path(), &readings, &job, &asked);
        let text = words_of(&pdf(&out, "submittal.pdf")).to_lowercase();
        assert!(
            text.contains("bags") && text.contains("water"),
            "{what}: {text}"
        );
        for word in &of_money[..1] {
            assert!(!text.contains(word), "{what}: {word}: {text}");
        }
    }
    // A job file asks in the same words.
    let asked = job(
        ten,
        &format!("{poured}[submittal]\nwith = [\"quantities\"]\n"),
    );
    let out = papers(
        folder.path(),
        &grid(plain),
        &asked,
        &["--only", "submittal"],
    );
    assert!(words_of(&pdf(&out, "submittal.pdf")).contains("bags"));
}

// ORACLE: the rule: the page that is signed holds what is signed, for up to eight checks; the plan of a page of its own comes behind it, where
//         it leaves no page half empty.
#[test]
fn the_signed_page_holds_eight_checks_and_the_plan_follows_it() {
    let folder = tempfile::tempdir().unwrap();
    let eight = "\"tile-large\", \"tile-small\", \"resilient\", \"wood-nailed\", \"gym-maple\", \"1/4 in in 10 ft\", \"1/8 in in 6 ft\", \"1 in in 10 ft\"";
    let head =
        "[company]\nname = \"Invented Floors\"\nlines = [\"1 Nowhere Lane\", \"Exampleton\"]\n";
    for checks in [
        "\"1/8 in in 10 ft\"",
        "\"tile-large\", \"tile-small\", \"resilient\"",
        eight,
    ] {
        let pit =
            |i: i32, j: i32, down: f64| Some(if (i, j) == (4, 4) { down + 0.5 } else { down });
        let only = ["--only", "submittal", "--draws", "60"];
        let out = papers(folder.path(), &grid(pit), &job(checks, head), &only);
        let pages = pages_of(&pdf(&out, "submittal.pdf"));
        for role in w::ROLES.iter().chain(&w::FIELDS) {
            assert!(pages[0].contains(role), "{checks}: {role}: {}", pages[0]);
        }
        assert!(pages[0].contains("about 1:"), "{}", pages[0]);
        assert!(pages[0].contains(w::KEY_POINTS), "{}", pages[0]);
        assert!(pages[1].contains(w::KEY_PLAN), "{checks}: {}", pages[1]);
        assert!(pages[2].contains(w::REASONS), "{checks}: {}", pages[2]);
    }
    let out = folder.path().join("out");
    let first = pages_of(&pdf(&out, "submittal.pdf")).remove(0);
    for title in [
        "Tile, any edge 15 in or longer",
        "Maple sports floor",
        "1 in in 10 ft",
    ] {
        assert!(first.contains(title), "{title}: {first}");
    }
    assert!(first.contains("OUT") && first.contains("WITHIN"), "{first}");
}

// ORACLE: hand. Two readings an inch off among neighbours within 1/4 in are the high and the low point and look like slips: the finish, the
//         volume and the words hang on both, in one sentence wherever a paper goes out by itself.
#[test]
fn papers_that_hang_on_suspected_readings_say_so_in_one_wording() {
    let folder = tempfile::tempdir().unwrap();
    let slips = |i: i32, j: i32, down: f64| {
        Some(match (i, j) {
            (4, 4) => 41.25,
            (8, 6) => 39.0,
            _ => down,
        })
    };
    let fill = "[fill]\nmaterial = \"sheet.toml\"\n";
    let out = papers(
        folder.path(),
        &grid(slips),
        &job("\"1/8 in in 10 ft\"", fill),
        &["--draws", "60"],
    );
    let said = "What is told here hangs on E5 and I7, suspected of a slip: read them again.";
    let first = pages_of(&pdf(&out, "submittal.pdf")).remove(0);
    for wanted in [
        said,
        "High point I7, suspected of a slip,",
        "Low point E5, suspected of a slip,",
    ] {
        assert!(first.contains(wanted), "{wanted}: {first}");
    }
    for name in ["quantities.pdf", "notice.pdf"] {
        let text = words_of(&pdf(&out, name));
        assert!(text.contains(said), "{name}: {text}");
    }
    // Where nothing is suspected nothing is said.
    let out = papers(
        folder.path(),
        &grid(|_, _, d| Some(d)),
        &job("\"1/8 in in 10 ft\"", fill),
        &["--draws", "60"],
    );
    for name in ["quantities.pdf", "submittal.pdf"] {
        let text = words_of(&pdf(&out, name));
        assert!(!text.contains("What is told here hangs"), "{name}: {text}");
        assert!(!text.contains("Low point E5, suspected"), "{name}: {text}");
    }
}

// ORACLE: hand. One reading of a grid of 2 ft is missing, 8 ft from the left and 6 ft from the bottom: its four neighbours stand 2 ft 10 in apart
//         round a square of 8 sq ft, where an edge of 10 ft needs 2 ft 6 in. Its middle is where the reading is missing.
#[test]
fn floor_that_is_not_judged_is_told_with_its_place_and_shaded() {
    let folder = tempfile::tempdir().unwrap();
    let gap = |i: i32, j: i32, down: f64| ((i, j) != (4, 3)).then_some(down);
    let out = papers(
        folder.path(),
        &grid(gap),
        &job("\"1/2 in in 10 ft\"", ""),
        &["--draws", "60", "--only", "submittal"],
    );
    let text = words_of(&pdf(&out, "submittal.pdf"));
    let place = "The floor that is not judged is widest 8 ft from the leftmost reading, 6 ft from the lowest row.";
    for wanted in [
        "8.00 sq ft is not read closely enough",
        place,
        "Dark hatching: not judged under 10 ft.",
    ] {
        assert!(text.contains(wanted), "{wanted}: {text}");
    }
    let whole = papers(
        folder.path(),
        &grid(|_, _, d| Some(d)),
        &job("\"1/2 in in 10 ft\"", ""),
        &["--draws", "60", "--only", "submittal"],
    );
    let text = words_of(&pdf(&whole, "submittal.pdf"));
    for unwanted in ["The floor that is not judged", "Dark hatching"] {
        assert!(!text.contains(unwanted), "{unwanted}: {text}");
    }
}

// ORACLE: property. A range told as likely that lies under the gap found beside it is explained, once in a paper; where none does, nothing is.
#[test]
fn a_likely_gap_under_the_gap_found_is_explained_once() {
    let folder = tempfile::tempdir().unwrap();
    let (mut under, mut others) = (0, 0);
    for lump in [0.0, 0.25, 0.5] {
        let floor =
            |i: i32, j: i32, down: f64| Some(if (i, j) == (4, 4) { down + lump } else { down });
        let out = papers(
            folder.path(),
            &grid(floor),
            &job("\"1/8 in in 10 ft\"", ""),
            &[
                "--draws",
                "60",
                "--only",
                "submittal",
                "--only",
                "notice",
                "--only",
                "result",
            ],
        );
        let json: serde_json::Value = serde_json::from_slice(&pdf(&out, "result.json")).unwrap();
        let part = &json["flatness"][0];
        let mm = |v: &serde_json::Value| v.as_f64().unwrap();
        let is_under = mm(&part["likely_gap"]["high_mm"]) < mm(&part["gap_mm"]) - 0.3;
        let is_over = mm(&part["likely_gap"]["high_mm"]) >= mm(&part["gap_mm"]);
        let text = words_of(&pdf(&out, "submittal.pdf"));
        let told = text.matches(w::LIKELY_UNDER).count();
        if is_under {
            under += 1;
            assert_eq!(told, 1, "{text}");
        } else if is_over {
            others += 1;
            assert_eq!(told, 0, "{text}");
        }
    }
    assert!(under + others > 0, "no floor of the test says anything");
}

/// What stands between two headings of a paper.
fn chapter<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let behind = text.split(from).last().unwrap();
    behind.split(to).next().unwrap()
}

// ORACLE: the rule: what is told beside each part in the table of a first page is told in its boxes too; what is not settled is listed once,
//         by its part; of a floor that is out, what was found is settled.
#[test]
fn parts_have_their_words_and_what_is_not_settled_is_told_once() {
    let folder = tempfile::tempdir().unwrap();
    let lump = |i: i32, j: i32, down: f64| Some(if (i, j) == (4, 4) { down - 0.75 } else { down });
    let few = ["--draws", "60", "--only", "submittal"];
    let floor = grid(lump);
    let out = papers(folder.path(), &floor, &job("\"tile-large\"", ""), &few);
    let pages = pages_of(&pdf(&out, "submittal.pdf"));
    for wanted in ["this edge: out", "read closely enough on 0.00 of 320 sq ft"] {
        assert!(pages[0].contains(wanted), "{wanted}: {}", pages[0]);
    }
    let text = words_of(&pdf(&out, "submittal.pdf"));
    let open = chapter(&text, w::COVERAGE, w::PLACES);
    assert!(
        open.contains("2 ft edge, resting, limit 1/16 in:"),
        "{open}"
    );
    assert!(!open.contains("is allowed"), "{open}");
    let of_frame = job("\"subfloor-residential\"", "");
    let out = papers(folder.path(), &floor, &of_frame, &few);
    let text = words_of(&pdf(&out, "submittal.pdf"));
    let open = chapter(&text, w::COVERAGE, w::PLACES);
    for wanted in ["edge, resting, limit", "edge, balanced on a hump, limit"] {
        assert_eq!(open.matches(wanted).count(), 1, "{wanted}: {open}");
    }
    let curve = job("\"din18202-line3\"", "");
    let out = papers(folder.path(), &floor, &curve, &few);
    let text = words_of(&pdf(&out, "submittal.pdf"));
    let open = chapter(&text, w::COVERAGE, w::PLACES);
    assert!(open.contains("Tested for contact points over"), "{open}");
}

// ORACLE: hand: the room is 20 ft by 40 ft, and its readings reach up 16 ft: more than half of it is read by nobody.
#[test]
fn a_record_of_a_half_read_room_tells_and_shows_what_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let outline = "kind,name,x_ft,y_ft\noutline,room,0,0\noutline,room,20,0\noutline,room,20,40\noutline,room,0,40\n";
    std::fs::write(folder.path().join("outline.csv"), outline).unwrap();
    let job = format!(
        "outline = \"outline.csv\"\n{}",
        job("\"1/4 in in 10 ft\"", "")
    );
    let few = ["--draws", "60", "--only", "notice", "--only", "submittal"];
    let out = papers(folder.path(), &grid(|_, _, d| Some(d)), &job, &few);
    for paper in ["notice.pdf", "submittal.pdf"] {
        let page = pages_of(&pdf(&out, paper)).remove(0);
        for wanted in [
            w::UNSURVEYED,
            "% of the room",
            w::KEY_UNSURVEYED,
            "about 1:",
        ] {
            assert!(page.contains(wanted), "{paper}: {wanted}: {page}");
        }
    }
}

// ORACLE: the rule: a notice is one page, also where its words, its places and what the readings leave open are many.
#[test]
fn a_notice_with_two_slips_and_three_checks_keeps_its_signatures_on_its_page() {
    let folder = tempfile::tempdir().unwrap();
    // The hollows of the grid are made a quarter as deep, so that the slips stand out.
    let slips = |i: i32, j: i32, down: f64| {
        let flat = 30.0 + down / 4.0;
        Some(match (i, j) {
            (7, 3) => flat - 1.0,
            (3, 5) => flat + 0.5,
            _ => flat,
        })
    };
    let company =
        "[company]\nname = \"Invented Floors\"\nlines = [\"1 Nowhere Lane\", \"Exampleton\"]\n";
    let three = job(
        "\"1/8 in in 10 ft\", \"resilient\", \"wood-nailed\"",
        company,
    );
    let few = ["--draws", "60", "--only", "notice"];
    let out = papers(folder.path(), &grid(slips), &three, &few);
    let pages = pages_of(&pdf(&out, "notice.pdf"));
    assert_eq!(pages.len(), 1, "{pages:?}");
    assert!(pages[0].contains(w::SPEAKS_AGAINST), "{}", pages[0]);
    for role in w::NOTICE_ROLES {
        assert!(pages[0].contains(role), "{role}: {}", pages[0]);
    }
}
