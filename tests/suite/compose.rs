//! A whole job to all of its files: what paper prints is what `result.json` holds.

use birdbath::analysis::{Analysis, Want};
use birdbath::job::{
    Inputs, JobFile, Sheet, Wanted, analyse, files as written, only_room, prepare,
};
use birdbath::report::{Paper, Pen, words};
use birdbath::units::Habit;
use calamine::{Data, Reader, Xlsx};
use serde_json::Value;
use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::OnceLock;

type Files = BTreeMap<String, Vec<u8>>;

fn demo() -> Analysis {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    let read = |name: &str| std::fs::read(folder.join(name)).unwrap();
    let job = JobFile::parse("job.toml", &read("job.toml")).unwrap();
    let mut inputs = Inputs::default();
    for name in job.files_named() {
        inputs.insert(name.as_str(), read(&name));
    }
    let room = only_room(&job, prepare(&job, &inputs).unwrap()).unwrap();
    analyse(room, Want::ALL, &|_, _| ()).unwrap()
}

/// The demo job and its files, made once for all tests here.
fn made() -> &'static (Analysis, Files) {
    static MADE: OnceLock<(Analysis, Files)> = OnceLock::new();
    MADE.get_or_init(|| {
        let a = demo();
        let files = written(&a, Paper::Letter, &Wanted::everything(), &|_, _| ()).unwrap();
        (a, files.into_iter().collect())
    })
}

fn json() -> Value {
    serde_json::from_slice(&made().1["result.json"]).unwrap()
}

fn text(name: &str) -> String {
    crate::pdf::words_of(&made().1[name])
}

fn mm(v: &Value) -> f64 {
    v.as_f64().unwrap() / 1000.0
}

#[test]
fn a_job_makes_every_paper_and_the_same_bytes_again() {
    let (a, files) = made();
    for name in [
        "depth-map.svg",
        "depth-map.png",
        "flatness-map.svg",
        "pour-map.svg",
        "span-curve.svg",
        "mark-out.pdf",
        "flatness.pdf",
        "pour.pdf",
        "submittal.pdf",
        "notice.pdf",
        "quantities.pdf",
        "workbook.xlsx",
        "report.html",
        "result.json",
    ] {
        assert!(
            files.contains_key(name),
            "{name} is missing: {:?}",
            files.keys()
        );
    }
    let again: Files = written(a, Paper::Letter, &Wanted::everything(), &|_, _| ())
        .unwrap()
        .into_iter()
        .collect();
    assert_eq!(
        files.keys().collect::<Vec<_>>(),
        again.keys().collect::<Vec<_>>()
    );
    for (name, bytes) in files {
        assert!(*bytes == again[name], "{name} differs between two runs");
    }
}

#[test]
fn the_submittal_tells_the_bags_of_result_json_where_they_are_asked_for() {
    let mut a = made().0.clone();
    a.settings.about.quantities = true;
    let only = Wanted::outgoing().only(&[Sheet::Submittal]);
    let files = written(&a, Paper::Letter, &only, &|_, _| ()).unwrap();
    let text = crate::pdf::words_of(&files[0].1);
    let bags = &json()["fill"]["take_off"]["bags"]["count"];
    let said = format!("Bags {bags} (");
    assert!(text.contains(&said), "{said}: {text}");
    assert!(!text.contains("USD"), "{text}");
}

#[test]
fn the_submittal_prints_what_result_json_holds() {
    let (pen, json, text) = (Pen::new(Habit::Us), json(), text("submittal.pdf"));
    let fill = &json["fill"];
    let floor = &json["floor"];
    let mut wanted = vec![
        pen.volume(fill["volume_l"].as_f64().unwrap() / 1000.0),
        pen.depth(mm(&fill["mean_depth_mm"])),
        pen.depth(mm(&fill["deepest_mm"])),
        pen.depth(mm(&floor["overall_deviation_mm"])),
        pen.area(floor["area_m2"].as_f64().unwrap()),
        pen.area(floor["surveyed_m2"].as_f64().unwrap()),
        floor["high_point"]["label"].as_str().unwrap().to_owned(),
        floor["low_point"]["label"].as_str().unwrap().to_owned(),
        json["inputs"]["files"][0]["sha256"]
            .as_str()
            .unwrap_or("")
            .to_owned(),
    ];
    for part in json["flatness"].as_array().unwrap() {
        if part["verdict"] != "not tested" {
            wanted.push(pen.gap_number(mm(&part["gap_mm"])));
            wanted.push(pen.bound_number(mm(&part["bound_mm"])));
        }
        wanted.push(pen.limit(mm(&part["allowance_mm"])));
        wanted.push(part["verdict"].as_str().unwrap().to_owned());
    }
    for w in wanted {
        assert!(text.contains(&w), "{w:?} is not in the submittal");
    }
    for n in &made().0.notices {
        let said = n.text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(&said), "{said:?} is not in the submittal");
    }
}

#[test]
fn flatness_sheet_notice_and_quantities_print_what_result_json_holds() {
    let (pen, json) = (Pen::new(Habit::Us), json());
    let (flat, notice, quantities) = (
        text("flatness.pdf"),
        text("notice.pdf"),
        text("quantities.pdf"),
    );
    // The room's corner is the origin, so plan coordinates are the distances from its walls.
    let pair = |p: &Value| {
        format!(
            "{}; {}",
            pen.near(p["x_m"].as_f64().unwrap()),
            pen.near(p["y_m"].as_f64().unwrap())
        )
    };
    for part in json["flatness"].as_array().unwrap() {
        let limit = pen.limit(mm(&part["allowance_mm"]));
        let told = if part["verdict"] == "not tested" {
            "not tested".to_owned()
        } else {
            pen.gap(mm(&part["gap_mm"]))
        };
        for (name, sheet) in [("flatness", &flat), ("notice", &notice)] {
            for wanted in [&told, &limit] {
                assert!(sheet.contains(wanted.as_str()), "{wanted:?}: {name}");
            }
        }
        if part["verdict"] != "out" {
            continue;
        }
        let worst = &part["worst"];
        let row = format!(
            "{} {} {} {} {} {}",
            pen.gap_number(mm(&worst["gap_mm"])),
            limit.trim_end_matches(" in"),
            pen.span(mm(&part["span_mm"])),
            pair(&worst["from"]),
            pair(&worst["to"]),
            pair(&worst["at"])
        );
        // One place may be the worst of several checks; its row stands under the first.
        let places = row.split_once(' ').unwrap().1.split_once(' ').unwrap().1;
        assert!(
            flat.contains(places),
            "{row:?} is not on the flatness sheet"
        );
    }
    let fill = &json["fill"];
    for band in fill["bands"].as_array().unwrap() {
        let (area, volume) = (
            band["area_m2"].as_f64().unwrap(),
            band["volume_l"].as_f64().unwrap() / 1000.0,
        );
        if area > 0.0 {
            let said = format!("{}, {}", pen.area(area), pen.some_volume(volume));
            assert!(quantities.contains(&said), "{said:?}");
        }
    }
    for wanted in [
        pen.volume(fill["volume_l"].as_f64().unwrap() / 1000.0),
        format!("Bags {} (", fill["take_off"]["bags"]["count"]),
    ] {
        assert!(quantities.contains(&wanted), "{wanted:?}");
    }
}

#[test]
fn a_number_means_the_same_place_on_the_page_and_on_paper() {
    let page = String::from_utf8(made().1["report.html"].clone()).unwrap();
    let flat = text("flatness.pdf");
    let table = page.split("<table class=\"worst\">").nth(1).unwrap();
    let table = table.split("</table>").next().unwrap();
    let mut seen = 0;
    for row in table.split("<th scope=\"row\">").skip(1) {
        let number: usize = row.split('<').next().unwrap().parse().unwrap();
        let cell = |head: &str| {
            let at = row.find(&format!("data-head=\"{head}\">")).unwrap();
            let text = row[at..].split_once('>').unwrap().1;
            text.split("</td>").next().unwrap().to_owned()
        };
        let (check, _span) = {
            let both = cell("Check");
            let (check, span) = both.rsplit_once(", ").unwrap();
            (check.to_owned(), span.to_owned())
        };
        let gap = cell("Gap").replace("<b>", "").replace("</b>", "");
        let caption = words::submittal::profile(number, &check, &gap, &cell("Allowed"));
        assert!(
            flat.contains(&caption),
            "{caption:?} is not on the flatness sheet"
        );
        seen += 1;
    }
    assert!(seen > 4, "{seen}");
}

#[test]
fn the_notice_and_the_quantities_are_one_page_each() {
    for name in ["notice.pdf", "quantities.pdf"] {
        let pages = crate::pdf::page_sizes(&made().1[name]).len();
        assert_eq!(pages, 1, "{name}");
    }
}

#[test]
fn the_mark_out_sheet_gives_every_reading_its_depth() {
    let (a, _) = made();
    let text = text("mark-out.pdf");
    let plane = a.filling.as_ref().unwrap().fill.plane;
    for r in &a.survey.readings {
        // ORACLE: hand: depth is the finish less the floor, counted in sixteenths, half-way to the even one.
        let exact = (plane.z0 - r.elevation.m()) / 0.0254 * 16.0;
        let low = exact.floor();
        let count = if (exact - low - 0.5).abs() < 1e-7 {
            if low % 2.0 == 0.0 { low } else { low + 1.0 }
        } else {
            exact.round()
        };
        let said = format!("fill {count} (");
        let row = text.match_indices(&format!(" {} ", r.label)).any(|(i, m)| {
            text[i + m.len()..]
                .chars()
                .take(48)
                .collect::<String>()
                .contains(&said)
        });
        assert!(row, "{}: {said:?} does not stand beside it", r.label);
    }
}

#[test]
fn the_pour_sheet_prints_batches_clock_and_what_is_staged() {
    let (a, _) = made();
    let (pen, text) = (Pen::new(Habit::Us), text("pour.pdf"));
    let plan = a.pour.as_ref().unwrap();
    assert!(text.contains(&format!(
        "{} bags in {} batches",
        plan.bags,
        plan.batches().count()
    )));
    for b in plan.batches() {
        let tie = if b.tie_in_m > 0.0 {
            pen.near(b.tie_in_m)
        } else {
            "-".to_owned()
        };
        let clock = format!(
            "{} {} {tie} {} {} {}",
            b.bags,
            pen.water(b.water_m3.unwrap()),
            pen.minutes_number(b.mix_from_min),
            pen.minutes_number(b.place_from_min),
            pen.minutes_number(b.place_to_min)
        );
        assert!(text.contains(&clock), "{clock:?} is not in the clock");
    }
    let material = a.settings.material.as_ref().unwrap();
    let staged = plan.staging.iter().map(|s| words::staging::line(pen, s));
    for item in staged.chain(words::staging::checklist(pen, material)) {
        let said = item.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(&said), "{said:?} is not on the pour sheet");
    }
}

#[test]
fn the_workbook_holds_the_unrounded_numbers_under_units() {
    let (a, files) = made();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(files["workbook.xlsx"].clone())).unwrap();
    use words::tabs as t;
    assert_eq!(
        book.sheet_names(),
        [
            t::READINGS,
            t::DEPTHS,
            t::PLACEMENTS,
            t::QUANTITIES,
            t::CHECKS,
            t::NOTICES
        ]
    );
    let head = 2; // two lines above the headings
    let readings = book.worksheet_range(t::READINGS).unwrap();
    assert_eq!(
        readings.get_value((head, 1)),
        Some(&Data::String("x, ft".into()))
    );
    for (i, r) in a.survey.readings.iter().enumerate() {
        let row = head + 1 + i as u32;
        assert_eq!(
            readings.get_value((row, 0)),
            Some(&Data::String(r.label.to_string()))
        );
        assert_eq!(
            readings.get_value((row, 3)),
            Some(&Data::String(r.raw.text.to_string()))
        );
        let Some(Data::Float(z)) = readings.get_value((row, 4)) else {
            panic!("row {row} holds no height")
        };
        assert!((z * 0.0254 - r.elevation.m()).abs() < 1e-9, "{}", r.label);
    }
    let depths = book.worksheet_range(t::DEPTHS).unwrap();
    assert_eq!(depths.height(), head as usize + 1 + a.survey.readings.len());
    let plane = a.filling.as_ref().unwrap().fill.plane;
    for row in depths.rows().skip(head as usize + 1) {
        let label = row[1].to_string();
        let r = a.survey.readings.iter().find(|r| r.label == label).unwrap();
        let Data::Float(d) = row[5] else {
            panic!("{label} has no depth")
        };
        assert!(
            (d * 0.0254 - (plane.z0 - r.elevation.m())).abs() < 1e-9,
            "{label}"
        );
    }
    let checks = book.worksheet_range(t::CHECKS).unwrap();
    let parts: Vec<_> = a
        .flatness
        .iter()
        .flat_map(|f| &f.checks)
        .flat_map(|c| &c.parts)
        .collect();
    assert_eq!(checks.height(), head as usize + 1 + parts.len());
    for (row, part) in checks.rows().skip(head as usize + 1).zip(parts) {
        assert_eq!(row[9], Data::String(words::verdict(part.verdict()).into()));
        match part.measured() {
            Some(found) => {
                let Data::Float(gap) = row[3] else {
                    panic!("no gap")
                };
                assert!((gap * 0.0254 - found.gap_m).abs() < 1e-9);
            }
            None => assert!(row[3..6].iter().all(|c| *c == Data::Empty)),
        }
    }
}

/// Every key of a value, with those inside it.

#[test]
fn result_json_is_what_its_schema_says() {
    let value = json();
    crate::support::schema::hold(&value, "ResultFile");
    for part in [
        "span_curve",
        "flatness",
        "fill",
        "between_readings",
        "pour",
        "patch",
    ] {
        assert!(!value[part].is_null(), "the demo has no {part}");
    }
    // The schema would let no key through that it does not name, and none be left out.
    for (change, fault) in [
        (
            (|v: &mut Value| v["floor"]["area_sqft"] = 1.into()) as fn(&mut Value),
            "not in the schema",
        ),
        (
            |v| {
                v["floor"].as_object_mut().unwrap().remove("area_m2");
            },
            "is not there",
        ),
        (|v| v["flatness"][0]["verdict"] = "passed".into(), "fit"),
        (|v| v["fill"]["volume_l"] = "12".into(), "is no number"),
    ] {
        let mut wrong = value.clone();
        change(&mut wrong);
        let told = crate::support::schema::fault(&wrong, "ResultFile").expect("a fault");
        assert!(told.contains(fault), "{told}");
    }
}

#[test]
fn a_printed_bound_is_never_under_the_proven_one() {
    // ORACLE: the definition, for both habits, and no more than one last place over it.
    for k in 0..2_000 {
        let bound_m = f64::from(k) * 7.3e-6;
        let read = |habit| -> f64 { Pen::new(habit).bound_number(bound_m).parse().unwrap() };
        let over = read(Habit::Us) - bound_m / 0.0254;
        assert!((-1e-9..0.01 + 1e-9).contains(&over), "{bound_m} {over}");
        let over = read(Habit::Metric) - bound_m * 1000.0;
        assert!((-1e-9..0.1 + 1e-9).contains(&over), "{bound_m} {over}");
    }
}

// ORACLE: property of sorted figures: more is enough in more of the cases, the middle one lies beside the expected volume, and the
//         one for 19 in 20 within three deviations over it; bags follow the volumes.
#[test]
fn what_is_enough_follows_from_the_expected_volume_and_its_deviation() {
    let volume = json()["between_readings"]["volume"].take();
    let litres = |v: &Value| v.as_f64().unwrap();
    let (expected, sd) = (litres(&volume["expected_l"]), litres(&volume["sd_l"]));
    let enough = |i: usize| litres(&volume["enough"][i]["volume_l"]);
    assert!((enough(0) - expected).abs() < 0.5 * sd, "{volume}");
    assert!(enough(0) < enough(1) && enough(1) < enough(2), "{volume}");
    assert!(enough(2) < expected + 3.0 * sd, "{volume}");
    assert!(sd > 0.0 && sd < expected / 10.0, "{volume}");
}

// ORACLE: properties. The patches hold what is filled and the spots to grind what is ground, but for thin rims of floor in no spot;
//         the gap before is the one that the check of the same length found, within the search's 0.1 mm; the one after is allowed.
#[test]
fn the_patch_plan_adds_up() {
    let json = json();
    let patch = &json["patch"];
    for (list, whole) in [("patches", "fill_volume_l"), ("grinds", "grind_volume_l")] {
        let spots = patch[list].as_array().unwrap();
        let sum: f64 = spots.iter().map(|s| s["volume_l"].as_f64().unwrap()).sum();
        let whole = patch[whole].as_f64().unwrap();
        assert!(
            (sum - whole).abs() <= 1e-3 * spots.len() as f64,
            "{list}: {sum} {whole}"
        );
    }
    let checked: Vec<&Value> = json["flatness"].as_array().unwrap().iter().collect();
    for limit in patch["checks"].as_array().unwrap() {
        let part = checked.iter().find(|p| {
            p["span_mm"] == limit["span_mm"] && p["allowance_mm"] == limit["allowance_mm"]
        });
        let before = limit["before_mm"].as_f64().unwrap();
        let gap = part.unwrap()["gap_mm"].as_f64().unwrap();
        assert!((before - gap).abs() < 0.2, "{limit} {gap}");
        assert!(
            limit["after_bound_mm"].as_f64() <= limit["allowance_mm"].as_f64(),
            "{limit}"
        );
    }
}

// ORACLE: the rule: spots to grind are numbered on from the patches, as on the plan, so that a number is one place.
#[test]
fn spots_to_grind_are_numbered_on_from_the_patches() {
    let a = &made().0;
    let pen = Pen::new(Habit::Us);
    let orientation = birdbath::report::orientation::Orientation::of(&a.survey);
    let (text, plan) = (text("grind-patch.pdf"), a.patch.as_ref().unwrap());
    assert!(!plan.patches.is_empty() && !plan.grinds.is_empty());
    for (i, spot) in plan.patches.iter().chain(&plan.grinds).enumerate() {
        let row = format!(
            "{} {} {} ",
            i + 1,
            orientation.place(pen, spot.deepest_at),
            pen.area_number(spot.area_m2)
        );
        assert!(text.contains(&row), "{row:?}: {text}");
    }
}
