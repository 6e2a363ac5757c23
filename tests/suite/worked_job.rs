//! Small jobs worked by hand, for what `lopsided` cannot show on one plane: floor above the finish, coverings, clocks, joints, gaps.

use birdbath::analysis::{Analysis, Want};
use birdbath::job::{Inputs, JobFile, Wanted, analyse, files as written, only_room, prepare};
use birdbath::report::{Paper, Pen, answer, words};
use birdbath::units::Habit;
use calamine::{Data, Reader, Xlsx};
use serde_json::Value;
use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::OnceLock;

type Files = BTreeMap<String, Vec<u8>>;

fn analysed(given: &[(&str, String)], want: Want) -> Analysis {
    let mut inputs = Inputs::default();
    for (name, text) in given {
        inputs.insert(*name, text.as_bytes().to_vec());
    }
    let job = JobFile::parse("job.toml", inputs.get("job.toml").unwrap()).unwrap();
    let room = only_room(&job, prepare(&job, &inputs).unwrap()).unwrap();
    analyse(room, want, &|_, _| ()).unwrap()
}

fn files(a: &Analysis) -> Files {
    let files = written(a, Paper::A4, &Wanted::everything(), &|_, _| ()).unwrap();
    files.into_iter().collect()
}

/// 8 m by 6 m read every metre, 4 mm lower for every metre in x; a column, a ramp that keeps its slope, a door in the low wall.
/// The finish lies 4 mm under the high wall, so that the first metre stands above it and the depth is 4 (x - 1) mm.
fn ramp() -> &'static (Analysis, Files) {
    static MADE: OnceLock<(Analysis, Files)> = OnceLock::new();
    MADE.get_or_init(|| {
        let mut readings = "x_m,y_m,reading_mm,point\n".to_owned();
        for i in 0..=8 {
            for j in 0..=6 {
                readings += &format!("{i},{j},{},P{i}{j}\n", 1000 + 4 * i);
            }
        }
        let outline = "kind,name,x_m,y_m,width_mm,under_cut_mm,adjoining_reading_mm\n\
            outline,room,0,0,,,\noutline,room,8,0,,,\noutline,room,8,6,,,\noutline,room,0,6,,,\n\
            void,column,3,2,,,\nvoid,column,4,2,,,\nvoid,column,4,3,,,\nvoid,column,3,3,,,\n\
            slope,ramp,6,4,,,\nslope,ramp,8,4,,,\nslope,ramp,8,6,,,\nslope,ramp,6,6,,,\n\
            door,D1,8,2,1000,45,1000\n";
        let sheet = "name = \"M\"\nyield_per_bag = \"10 l\"\nbags_per_batch = 2\nmax_lift = \"14 mm\"\n\
            water = [\"1 l\", \"2.1 l\", \"3.3 l\"]\nopen_time = \"300 min\"\nmin_depth = \"3 mm\"\n";
        let job = "title = \"Ramp\"\nunits = \"metric\"\noutline = \"o.csv\"\nchecks = [\"3 mm in 2 m\"]\n\
            [[readings]]\nfile = \"r.csv\"\n[instrument]\nstep = \"1 mm\"\n\
            [fill]\ngauge = \"-4 mm\"\ngauges = [\"-4 mm\"]\nmaterial = \"m.toml\"\nwaste = 10\n\
            grind = \"10 mm\"\ncover = \"5 mm\"\ncovering = \"10 mm\"\n\
            [crew]\npeople = 2\nmixers = 1\nmixing_min = 3\nplacing_min = 4\noverlapped = true\norder = \"strips\"\n\
            [submittal]\nwith = [\"quantities\"]\n";
        let given = [
            ("r.csv", readings),
            ("o.csv", outline.to_owned()),
            ("m.toml", sheet.to_owned()),
            ("job.toml", job.to_owned()),
        ];
        let a = analysed(&given, Want::ALL);
        let files = files(&a);
        (a, files)
    })
}

fn json(files: &Files) -> Value {
    serde_json::from_slice(&files["result.json"]).unwrap()
}

fn near(found: &Value, hand: f64) {
    let value = found.as_f64().unwrap_or(f64::NAN);
    assert!((value - hand).abs() < 1e-4, "{found} is not {hand}");
}

fn told(files: &Files, name: &str, wanted: &str) {
    let text = crate::pdf::words_of(&files[name]);
    assert!(text.contains(wanted), "{wanted:?} is not in {name}: {text}");
}

// ORACLE: hand. From x = 1 m on, six metres wide: 6 (2 x^2 - 4 x) from 1 to 8 is 588 l; less 1 m2 of column at 10 mm and 4 m2 of
//         ramp at 24 mm: 482 l on 37 m2, and 12 l of floor stand above it on 6 m2. With a tenth of waste 53.02 bags of 10 l. Deepest
//         28 mm: two lifts of 14, no third. Lowered by nothing, the row grinds 12 l off 6 m2, 4 mm deep, and saves no bag.
#[test]
fn what_stands_above_the_finish_is_told_apart_from_what_is_filled() {
    let (_, files) = ramp();
    let fill = json(files)["fill"].take();
    near(&fill["volume_l"], 482.0);
    near(&fill["wet_area_m2"], 37.0);
    near(&fill["dry_area_m2"], 6.0);
    near(&fill["above_l"], 12.0);
    assert_eq!(fill["take_off"]["lifts"]["count"], 2);
    let dry = words::submittal::ABOVE_AREA;
    told(files, "submittal.pdf", &format!("{dry} 6.00 m²"));
    told(files, "submittal.pdf", "0 6.00 12.0 4 482 54 0");
    // 482 / 37 is 13 mm on average.
    told(files, "submittal.pdf", "-4 482 37.0 13 28 54");
}

// ORACLE: hand. At the door the floor lies 32 mm under the line's 1000 mm, the finish 4 mm, and 10 mm of covering come on it: a
//         rise of 38 mm, which leaves 7 of the 45 mm under the leaf and stands 6 mm over the next floor.
#[test]
fn heights_at_a_door_are_told_before_and_after() {
    let (a, files) = ramp();
    let door = json(files)["fill"]["heights"][0].take();
    near(&door["before_mm"], -1032.0);
    near(&door["after_mm"], -994.0);
    near(&door["rise_mm"], 38.0);
    near(&door["door_gap_mm"], 7.0);
    near(&door["step_mm"], 6.0);
    let said = answer::fill(a);
    let wanted = "floor rises +38 mm with the covering of 10 mm, step to the next floor +6 mm";
    assert!(said.contains(wanted), "{said}");
    // The rise counts in what comes on the finish, and says so wherever it stands.
    near(&door["covering_mm"], 10.0);
    told(
        files,
        "pour.pdf",
        "Heights after the pour, with the covering of 10 mm on it",
    );
}

// ORACLE: hand. `n` batches of a lift mixed in 3 min and placed in 4 by one mixer: 3 + 4 n overlapped, 7 n one after the other. Placing
//         goes on without a break, so that a batch is placed 4 min after the one before it. Two rounds of the one mixer are 4 bags.
#[test]
fn the_pour_of_a_ramp_keeps_the_clock() {
    let (a, files) = ramp();
    let pour = json(files)["pour"].take();
    for lift in pour["lifts"].as_array().unwrap() {
        let batches = pour["batches"].as_array().unwrap().iter();
        let n = batches.filter(|b| b["lift"] == lift["number"]).count() as f64;
        assert!(n > 1.0);
        near(&lift["minutes"]["overlapped_min"], 3.0 + 4.0 * n);
        near(&lift["minutes"]["one_after_other_min"], 7.0 * n);
        // Mixed while the one before is placed, and placed in 4: a batch stands a minute, then 4.
        near(&lift["minutes"]["standing_min"], 5.0);
    }
    let (mut ties, mut several) = (0, false);
    for batch in pour["batches"].as_array().unwrap() {
        let number = batch["number"].as_f64().unwrap();
        for tie in batch["ties"].as_array().unwrap() {
            near(
                &tie["wait_min"],
                4.0 * (number - tie["to"].as_f64().unwrap()),
            );
            ties += 1;
        }
        // The single edges make up all of the tie-in; some batches have several.
        let list = batch["ties"].as_array().unwrap();
        let sum: f64 = list.iter().map(|t| t["length_m"].as_f64().unwrap()).sum();
        assert!(
            (sum - batch["tie_in_m"].as_f64().unwrap()).abs() < 1e-3,
            "{batch}"
        );
        several |= list.len() > 1;
    }
    assert!(ties >= 20 && several, "{ties}");
    let opened = pour["staging"].as_array().unwrap().iter();
    let opened: Vec<_> = opened.filter(|s| s["item"] == "bags-opened").collect();
    assert_eq!(opened.len(), 1);
    assert_eq!(opened[0]["count"], 4);
    // The crew leaves by the door at (8, 2), and starts elsewhere.
    let orientation = birdbath::report::orientation::Orientation::of(&a.survey);
    let door = birdbath::geometry::Point::new(8.0, 2.0);
    let place = orientation.place(Pen::new(Habit::Metric), door);
    told(
        files,
        "pour.pdf",
        &format!("{} {place}", words::take_off::EXIT),
    );
}

fn sheet(files: &Files, name: &str) -> calamine::Range<Data> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(files["workbook.xlsx"].clone())).unwrap();
    book.worksheet_range(name).unwrap()
}

fn float(cell: &Data) -> f64 {
    match cell {
        Data::Float(v) => *v,
        Data::Int(v) => *v as f64,
        other => panic!("{other:?} is no number"),
    }
}

// ORACLE: hand. A mark P52 stands 5 m from the wall x = 0 and 2 m from the wall y = 0, where 16 mm go.
#[test]
fn the_workbook_tells_where_each_depth_belongs() {
    let (_, files) = ramp();
    let depths = sheet(files, words::tabs::DEPTHS);
    let mut seen = 0;
    for row in depths.rows().skip(3) {
        let label = row[1].to_string();
        let digit = |k: usize| label[k..=k].parse::<f64>().unwrap();
        assert!((float(&row[2]) - digit(1)).abs() < 1e-9, "{row:?}");
        assert!((float(&row[3]) - digit(2)).abs() < 1e-9, "{row:?}");
        assert!(
            (float(&row[5]) - 4.0 * (digit(1) - 1.0)).abs() < 1e-6,
            "{row:?}"
        );
        seen += 1;
    }
    assert!(seen > 40, "{seen}");
}

// ORACLE: closed form. A floor that falls 4 mm a metre to x = 4 m and rises 4 mm a metre behind it: 2 m of edge across the valley
//         stand 4 mm over it. At x = 6 m the rise slackens to 2 mm a metre: balanced on that ridge the edge stands off by
//         2 * 1 * 1 / 2 = 1 mm. Three readings with the lowest in the middle, each to 1 mm, give 2 sqrt(1.5 / 12) = 0.707 mm of doubt
//         at the most. The search stops within 0.1 mm.
#[test]
fn gap_bound_and_doubt_stand_under_their_own_names() {
    let mut readings = "x_m,y_m,reading_mm\n".to_owned();
    for i in 0..=16 {
        let x = f64::from(i) / 2.0;
        let z = if x <= 6.0 {
            4.0 * (x - 4.0).abs()
        } else {
            8.0 + 2.0 * (x - 6.0)
        };
        for j in 0..=8 {
            readings += &format!("{x},{},{}\n", f64::from(j) / 2.0, 1000.0 - z);
        }
    }
    let job = "title = \"Valley\"\nunits = \"metric\"\nchecks = [\"3 mm in 2 m\"]\n\
        [[readings]]\nfile = \"r.csv\"\n[instrument]\nstep = \"1 mm\"\n";
    let a = analysed(
        &[("r.csv", readings), ("job.toml", job.to_owned())],
        Want::ALL,
    );
    let files = files(&a);
    let part = json(&files)["flatness"][0].take();
    let mm = |v: &Value| v.as_f64().unwrap();
    let (gap, bound, doubt) = (&part["gap_mm"], &part["bound_mm"], &part["doubt_mm"]);
    assert!((3.9..=4.0 + 1e-6).contains(&mm(gap)), "{part}");
    assert!((4.0 - 1e-6..4.11).contains(&mm(bound)), "{part}");
    assert!((0.35..0.7072).contains(&mm(doubt)), "{part}");
    let other = &part["other_way"];
    assert!((0.9..=1.0 + 1e-6).contains(&mm(&other["gap_mm"])), "{part}");
    assert!(
        (1.0 - 1e-6..1.11).contains(&mm(&other["bound_mm"])),
        "{part}"
    );
    let checks = sheet(&files, words::tabs::CHECKS);
    let row = checks.rows().nth(3).unwrap();
    for (column, hand) in [(3, gap), (4, bound), (5, doubt)] {
        assert!((float(&row[column]) - mm(hand)).abs() < 1e-3, "{row:?}");
    }
    assert!((float(&row[6]) - 3.0).abs() < 1e-9, "{row:?}");
    // The first placement is the worst one: the same ends in the same order.
    let placements = sheet(&files, words::tabs::PLACEMENTS);
    let row = placements.rows().nth(3).unwrap();
    for (k, end) in ["from", "to", "at"].into_iter().enumerate() {
        for (i, key) in ["x_m", "y_m"].into_iter().enumerate() {
            let want = mm(&part["worst"][end][key]);
            assert!(
                (float(&row[5 + 2 * k + i]) - want).abs() < 1e-4,
                "{end}: {row:?}"
            );
        }
    }
    // The answer names the valley as the dip and the ridge as the hump.
    let said = answer::flat(&a);
    for place in ["dip at 4.00 m from", "hump at 6.00 m from"] {
        assert!(said.contains(place), "{said}");
    }
}

/// What stands beside the marks of the page's map, as numbers.
fn numbers_on_the_page(files: &Files) -> Vec<f64> {
    let page = String::from_utf8(files["report.html"].clone()).unwrap();
    let group = page.split("<g class=\"numbers\">").nth(1).unwrap();
    let group = group.split("</g>").next().unwrap();
    let texts = group.split("</text>").filter_map(|t| t.rsplit('>').next());
    texts
        .map(str::trim)
        .filter(|t| !t.is_empty())
        .map(|t| t.replace('\u{2212}', "-").parse().unwrap())
        .collect()
}

// ORACLE: hand. Without a finish the page tells how far floor lies below the high point: nothing at x = 0, 4 mm for every metre.
#[test]
fn the_page_counts_down_from_the_high_point() {
    let mut readings = "x_m,y_m,reading_mm\n".to_owned();
    for i in 0..=4 {
        for j in 0..=3 {
            readings += &format!("{i},{j},{}\n", 1000 + 4 * i);
        }
    }
    let job = "title = \"Fall\"\nunits = \"metric\"\n[[readings]]\nfile = \"r.csv\"\n";
    let want = Want {
        fill: false,
        pour: false,
        patch: false,
        ..Want::ALL
    };
    let files = files(&analysed(
        &[("r.csv", readings), ("job.toml", job.to_owned())],
        want,
    ));
    let found = numbers_on_the_page(&files);
    assert!(
        found
            .iter()
            .all(|v| [0.0, 4.0, 8.0, 12.0, 16.0].contains(v)),
        "{found:?}"
    );
    assert!(found.contains(&0.0) && found.contains(&16.0), "{found:?}");
}

// ORACLE: the rule: what moves on its own must not be bridged. A batch may run on from one side to the other, but no piece of one
//         lies on both.
#[test]
fn no_batch_crosses_a_movement_joint() {
    let mut readings = "x_m,y_m,reading_mm\n".to_owned();
    for i in 0..=8 {
        for j in 0..=4 {
            readings += &format!("{i},{j},1000\n");
        }
    }
    let outline = "kind,name,x_m,y_m\noutline,room,0,0\noutline,room,8,0\noutline,room,8,4\noutline,room,0,4\n\
        movement joint,J,4,0\nmovement joint,J,4,4\n";
    let sheet = "name = \"M\"\nyield_per_bag = \"10 l\"\nbags_per_batch = 2\n";
    let job = "title = \"Joint\"\nunits = \"metric\"\noutline = \"o.csv\"\n[[readings]]\nfile = \"r.csv\"\n\
        [fill]\ngauge = \"5 mm\"\nmaterial = \"m.toml\"\n[crew]\nmixing_min = 3\nplacing_min = 4\n";
    for order in ["", "order = \"strips\"\n", "order = \"level lines\"\n"] {
        let a = analysed(
            &[
                ("r.csv", readings.clone()),
                ("o.csv", outline.to_owned()),
                ("m.toml", sheet.to_owned()),
                ("job.toml", format!("{job}{order}")),
            ],
            Want::ALL,
        );
        let plan = a.pour.as_ref().unwrap();
        assert!(plan.batches().count() >= 9, "{}", plan.batches().count());
        for b in plan.batches() {
            for piece in &b.outline {
                let xs = || piece.iter().map(|p| p.x);
                let (low, high) = (xs().fold(f64::MAX, f64::min), xs().fold(f64::MIN, f64::max));
                assert!(
                    low >= 4.0 - 1e-6 || high <= 4.0 + 1e-6,
                    "batch {}: {low} to {high}",
                    b.number
                );
            }
            // The pour stops at the joint: nothing is tied across it, and no edge waits there.
            for [p, q] in &b.tie_lines {
                let on_joint = (p.x - 4.0).abs() < 1e-6 && (q.x - 4.0).abs() < 1e-6;
                assert!(!on_joint, "{order}: batch {} tied at {p:?} {q:?}", b.number);
            }
        }
    }
}

// ORACLE: the rule: the map comes first in the crew's hand, the list after it.
#[test]
fn the_map_comes_before_the_list_of_marks() {
    let (_, files) = ramp();
    let text = crate::pdf::words_of(&files["mark-out.pdf"]);
    let map = text.find(words::crew::PLAN).unwrap();
    let list = text.find(words::crew::WALK).unwrap();
    assert!(map < list, "{text}");
}

// ORACLE: hand. Level but for two bumps of one mark: 6 mm at (1, 1), the high point, and 4 mm at (5, 3), the next peak: 2 mm lower.
#[test]
fn the_next_peak_lies_below_the_high_point() {
    let mut readings = "x_m,y_m,reading_mm,point\n".to_owned();
    for i in 0..=6 {
        for j in 0..=4 {
            let bump = match (i, j) {
                (1, 1) => 6,
                (5, 3) => 4,
                _ => 0,
            };
            readings += &format!("{i},{j},{},P{i}{j}\n", 1000 - bump);
        }
    }
    let job = "title = \"Bumps\"\nunits = \"metric\"\n[[readings]]\nfile = \"r.csv\"\n";
    let want = Want {
        between: false,
        pour: false,
        patch: false,
        ..Want::ALL
    };
    let files = files(&analysed(
        &[("r.csv", readings), ("job.toml", job.to_owned())],
        want,
    ));
    let peaks = json(&files)["floor"]["peaks"].take();
    assert_eq!(
        (&peaks[0]["label"], &peaks[1]["label"]),
        (&"P11".into(), &"P53".into())
    );
    near(&peaks[0]["below_high_mm"], 0.0);
    near(&peaks[1]["below_high_mm"], 2.0);
}
