//! Sheets of paper: what a PDF says, on which page, the same bytes every time.

use crate::pdf::{self, words_of};
use crate::specimen;
use birdbath::analysis::marks;
use birdbath::report::orientation::Orientation;
use birdbath::report::submittal::{SmallPlan, Submittal, notice, quantities, quantity_rows};
use birdbath::report::{Document, Fact, Paper, Press, ReportError, crew, sections, words};
use birdbath::surface::Floor;
use birdbath::survey::walking_order;
use birdbath::units::Habit;

fn all(habit: Habit, paper: Paper) -> Vec<(&'static str, Document)> {
    let survey = specimen::survey();
    let head = specimen::head(habit, paper);
    let o = Orientation::of(&survey);
    let fill = specimen::fill();
    let floor = Floor::build(&survey).unwrap().floor;
    let m = marks(&survey, &floor, &fill.plane);
    let (w, h) = birdbath::report::size_mm(paper, false);
    let map = [specimen::drawing("depth map", w, h)];
    let wide = [specimen::drawing("edge map", h, w)];
    let checks = specimen::checks();
    let rows = specimen::placements();
    let (stages, take_off, notices) = (
        specimen::stages(),
        specimen::take_off(),
        specimen::notices(),
    );
    let tables = [sections::gauges_table(head.pen(), &stages)];
    let curve = specimen::drawing("span curve", 180.0, 90.0);
    let plan = SmallPlan {
        drawing: curve.clone(),
        ratio: 100.0,
        key: vec!["ring: low point".into()],
        bottom: "door wall".into(),
    };
    let heights_m: Vec<Option<f64>> = survey
        .readings
        .iter()
        .map(|r| Some(r.elevation.m()))
        .collect();
    let submittal = Submittal {
        head: &head,
        survey: &survey,
        heights_m: &heights_m,
        orientation: &o,
        floor: specimen::floor(),
        checks: &checks,
        placements: &rows,
        small_plan: Some(&plan),
        key_plan: &map,
        f_numbers: None,
        span_curve: Some(&curve),
        fill: Some(&fill),
        tables: &tables,
        need: &[],
        take_off: &take_off,
        quantities: true,
        notices: &notices,
        of_work: &[],
        reading: &[Fact::new(
            "Reading step",
            "1/16 in, inferred: the coarsest step that all of them allow",
        )],
    };
    let pen = head.pen();
    vec![
        (
            "mark-out",
            crew::mark_out(
                &head,
                &map,
                &fill,
                (&m, crew::mark_unit(pen, fill.gauge_depth_m, 0.0, &[])),
                &o,
            ),
        ),
        ("pour", crew::pour(&head, &map, &specimen::pour_sheet())),
        (
            "flatness",
            crew::flatness(&head, &wide, sections::answers(pen, &o, &checks), &rows, &o),
        ),
        (
            "grind-patch",
            crew::grind_patch(
                &head,
                &map,
                &crew::PatchWork {
                    lead: "5 patches, 3 spots to grind.".into(),
                    grind: specimen::spots(3),
                    patch: specimen::spots(5),
                    marks: m[..4].to_vec(),
                    unit: crew::mark_unit(pen, fill.gauge_depth_m, 0.0, &[]),
                    step_m: Some(0.001),
                },
                &o,
            ),
        ),
        ("submittal", submittal.document()),
        (
            "notice",
            notice(
                (&head, &o),
                (&checks, &specimen::floor()),
                (&rows, Some(&plan)),
                (&notices, &[]),
            ),
        ),
        (
            "quantities",
            quantities(
                &head,
                (&crew::finish_text(pen, &fill), &head.when),
                &quantity_rows(&head, &fill, None, &take_off),
                (&notices, &[]),
            ),
        ),
    ]
}

#[test]
fn every_sheet_is_tagged_titled_dated_by_the_job_and_repeats_byte_for_byte() {
    let press = Press::new();
    for (name, document) in all(Habit::Us, Paper::Letter) {
        let pdf = press
            .print(&document)
            .unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(
            pdf == Press::new().print(&document).unwrap(),
            "{name}: two runs differ"
        );
        let about = pdf::about(&pdf);
        assert_eq!(about.title, document.title);
        assert!(about.tagged, "{name}");
        // The date is the job's, not the clock's.
        assert_eq!((about.made.1, about.made.2), (3, 14), "{name}: {about:?}");
        assert!(about.bookmarks, "{name} has no bookmarks");
        // Only the two embedded weights, none left to the viewer.
        assert!(!about.fonts.is_empty(), "{name} has no letters");
        for font in &about.fonts {
            assert!(font.name.contains("Inter"), "{name}: {font:?}");
            assert!(font.embedded && font.mapped, "{name}: {font:?}");
        }
    }
}

#[test]
fn sheets_come_on_the_paper_asked_for() {
    let press = Press::new();
    // ORACLE: published: ISO 216 and ANSI sizes; 72 points to an inch, 25.4 mm.
    for (paper, points) in [
        (Paper::Letter, (612.0, 792.0)),
        (Paper::Tabloid, (792.0, 1224.0)),
        (Paper::A4, (595.276, 841.89)),
        (Paper::A3, (841.89, 1190.55)),
    ] {
        for (name, document) in all(Habit::Metric, paper) {
            if !matches!(name, "mark-out" | "flatness") {
                continue;
            }
            let pdf = press.print(&document).unwrap();
            let sizes = pdf::page_sizes(&pdf);
            let is = |size: (f64, f64), want: (f64, f64)| {
                (size.0 - want.0).abs() < 0.01 && (size.1 - want.1).abs() < 0.01
            };
            let (w, h) = points;
            let first = if name == "flatness" { (h, w) } else { points };
            assert!(is(sizes[0], first), "{name} on {paper:?}: {sizes:?}");
            assert!(
                sizes[1..].iter().all(|&s| is(s, points)),
                "{name} on {paper:?}: {sizes:?}"
            );
        }
    }
}

#[test]
fn a_marks_printed_depth_is_what_a_hand_gets_from_the_raw_reading() {
    let survey = specimen::survey();
    let fill = specimen::fill();
    let pdf = Press::new()
        .print(&all(Habit::Us, Paper::Letter).remove(0).1)
        .unwrap();
    let text = words_of(&pdf);
    // ORACLE: hand arithmetic in whole sixteenths: reading less the finish's distance below the line.
    let finish = (-fill.plane.z0 / 0.0254 * 16.0).round() as u32;
    let sixteenths = |written: &str| -> u32 {
        let mut total = 0;
        for part in written.split(' ') {
            total += match part.split_once('/') {
                Some((top, bottom)) => {
                    top.parse::<u32>().unwrap() * 16 / bottom.parse::<u32>().unwrap()
                }
                None => part.parse::<u32>().unwrap() * 16,
            };
        }
        total
    };
    for r in &survey.readings {
        let depth = sixteenths(&r.raw.text) - finish;
        let (whole, mut top, mut bottom) = (depth / 16, depth % 16, 16);
        while top > 0 && top % 2 == 0 {
            (top, bottom) = (top / 2, bottom / 2);
        }
        let inches = match (whole, top) {
            (_, 0) => whole.to_string(),
            (0, _) => format!("{top}/{bottom}"),
            _ => format!("{whole} {top}/{bottom}"),
        };
        // Counted in sixteenths as on the plan, with the same in inches.
        let printed = format!("fill {depth} ({inches})");
        let feet = |m: f64| {
            let f = (m / 0.3048).round();
            if f == 0.0 {
                "0\"".to_owned()
            } else {
                format!("{f}'-0\"")
            }
        };
        let row = format!("{} {} {} {printed}", r.label, feet(r.at.x), feet(r.at.y));
        assert!(text.contains(&row), "{row}");
    }
}

#[test]
fn the_submittal_says_every_figure_it_was_given() {
    let documents = all(Habit::Us, Paper::Letter);
    let submittal = &documents.iter().find(|d| d.0 == "submittal").unwrap().1;
    let text = words_of(&Press::new().print(submittal).unwrap());
    // ORACLE: hand. 16.2 m3 is 572.1 cu ft, 557 m2 is 5995 sq ft, 2.25 in overall.
    for wanted in [
        "572 cu ft",
        "5995 sq ft",
        "2 1/4 in",
        "+1/8 in",
        "1.45 cu ft",
        "0.21 in (3/16)",
        "limit 1/8 in",
        "2 ft edge, resting: not tested, limit 1/16 in",
        "Tile, an edge of 15 in or longer",
        "ANSI A108.02, 4.2.2",
        "read in two or more independent publications",
        "in doubt",
        // 540 of 557 m2.
        "on 5813 of 5995 sq ft",
        "1/16 in, inferred: the coarsest step that all of them allow",
        "F8 stands 1 in off its neighbours; read it again.",
        "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
        "Nail in the stage wall",
        "29 CFR 1926.1153",
        "Signature",
        "Revision B",
        "span curve",
        "profile 3",
    ] {
        assert!(text.contains(wanted), "{wanted:?} is not in the submittal");
    }
    // An edge that was never laid has no gap: a zero there would read as flat.
    assert!(
        !text.contains("0.00 in"),
        "a gap of zero is printed for a part that was not tested"
    );
    // Every reading with its own words and its cell; their file is named once above them.
    let file = "gym.csv, cell ";
    assert!(text.contains(&words::submittal::cells_of("gym.csv")));
    for r in specimen::survey().readings {
        let place = r.raw.place.to_string();
        let cell = place.strip_prefix(file).unwrap_or(&place);
        assert!(
            text.contains(&format!("{} {cell}", r.raw.text)),
            "{} {cell}",
            r.raw.text
        );
    }
}

#[test]
fn metric_sheets_hold_no_inch_and_us_sheets_no_millimetre() {
    let press = Press::new();
    for (habit, own, alien) in [
        (Habit::Metric, ["mm", "m²", " L"], [" in", " ft", "ft-in"]),
        (Habit::Us, [" in", "sq ft", "cu ft"], ["mm", "m²", " L "]),
    ] {
        // The sheets that carry no sentence of the specimen's own.
        for (name, document) in all(habit, Paper::A4) {
            if !matches!(name, "mark-out" | "grind-patch") {
                continue;
            }
            let tables: String = document
                .blocks
                .iter()
                .filter_map(|b| match b {
                    birdbath::report::Block::Table(t) => Some(t),
                    _ => None,
                })
                .flat_map(|t| {
                    t.columns
                        .iter()
                        .map(|c| c.title.as_str())
                        .chain(t.rows.iter().flatten().map(String::as_str))
                })
                .map(|cell| format!("{cell} | "))
                .collect();
            for unit in alien {
                let whole = format!(",{unit} |");
                assert!(!tables.contains(&whole), "{name} holds {unit:?}");
            }
            let text = words_of(&press.print(&document).unwrap());
            assert!(own.iter().any(|u| text.contains(u)), "{name}");
            for r in ["3/16", "'-", "1/16 in"] {
                assert!(habit == Habit::Us || !text.contains(r), "{name} holds {r}");
            }
        }
    }
}

#[test]
fn marks_are_walked_lane_by_lane_from_the_door_and_none_is_left_out() {
    let survey = specimen::survey();
    let places: Vec<_> = survey.readings.iter().map(|r| r.at).collect();
    let order = walking_order(&places, survey.room.as_ref(), specimen::floor().spacing_m);
    let mut sorted = order.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, (0..survey.readings.len()).collect::<Vec<_>>());
    // ORACLE: hand: the first lane lies on the door wall, the last on the stage wall, and no step is longer
    // than from one mark to the next, 5 ft.
    assert_eq!(survey.readings[order[0]].at.y, 0.0);
    assert!((survey.readings[order[272]].at.y - 100.0 * 0.3048).abs() < 1e-9);
    for w in order.windows(2) {
        let step = survey.readings[w[0]].at.distance(survey.readings[w[1]].at);
        assert!(step < 5.01 * 0.3048, "{step}");
    }
}

#[test]
fn a_character_without_a_glyph_and_a_picture_of_no_kind_are_refused_by_name() {
    let press = Press::new();
    let mut d = Document::new("Sheet", Paper::A4);
    d.heading(1, "Room")
        .text("Küche, Ωμέγα, Кухня: these have glyphs.");
    press.print(&d).unwrap();
    d.text("部屋");
    assert!(matches!(
        press.print(&d),
        Err(ReportError::MissingGlyph {
            character: '部',
            ..
        })
    ));
    let mut d = Document::new("Sheet", Paper::A4);
    d.heading(1, "Room");
    d.logo = d.draw("logo.png", b"MZ not a picture".to_vec());
    d.logo_file = "Our sign.doc".into();
    let error = press.print(&d).unwrap_err().to_string();
    assert!(error.contains("Our sign.doc"), "{error}");
    d.logo_file.clear();
    let error = press.print(&d).unwrap_err().to_string();
    assert!(
        error.contains("logo.png") && error.contains("4d 5a"),
        "{error}"
    );
}

// ORACLE: hand: ten parts that each draw the next ten times over are 10^6 of the innermost.
#[test]
fn a_logo_that_costs_hours_is_refused() {
    let press = Press::new();
    let printed = |inside: &str| {
        let mut d = Document::new("Sheet", Paper::A4);
        d.heading(1, "Room");
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"40\" height=\"16\">{inside}</svg>"
        );
        d.logo = d.draw("logo.svg", svg.into_bytes());
        d.logo_file = "sign.svg".into();
        press.print(&d).map(|_| ()).map_err(|e| e.to_string())
    };
    let mut doubled = String::from("<rect id=\"a0\" width=\"1\" height=\"1\"/>");
    for i in 1..=6 {
        let uses = format!("<use xlink:href=\"#a{}\"/>", i - 1).repeat(10);
        doubled.push_str(&format!("<g id=\"a{i}\">{uses}</g>"));
    }
    let mut tiled = String::new();
    for i in 0..6 {
        let rect = format!("<rect width=\"1\" height=\"1\" fill=\"url(#p{})\"/>", i + 1).repeat(10);
        tiled.push_str(&format!(
            "<pattern id=\"p{i}\" width=\"1\" height=\"1\">{rect}</pattern>"
        ));
    }
    for (inside, what) in [
        (
            "<filter id=\"f\"><feTurbulence numOctaves=\"100000\" baseFrequency=\"0.1\"/></filter><rect width=\"9\" height=\"9\" filter=\"url(#f)\"/>",
            "filters",
        ),
        (
            "<style>rect { filter : blur(9px) }</style><rect width=\"9\" height=\"9\"/>",
            "filters",
        ),
        (
            "<rect style=\"filter:blur(9px)\" width=\"9\" height=\"9\"/>",
            "filters",
        ),
        (
            "<image href=\"data:image/svg+xml;base64,AAAA\" width=\"9\" height=\"9\"/>",
            "another SVG",
        ),
        (doubled.as_str(), "50,000"),
        (tiled.as_str(), "50,000"),
    ] {
        let error = printed(inside).unwrap_err();
        for part in ["sign.svg", what, "PNG"] {
            assert!(error.contains(part), "{part}: {error}");
        }
    }
    let honest = "<defs><linearGradient id=\"g\"><stop offset=\"0\" stop-color=\"red\"/></linearGradient><clipPath id=\"c\"><rect width=\"9\" height=\"9\"/></clipPath></defs><g style=\"filter:none\" clip-path=\"url(#c)\"><rect id=\"r\" width=\"9\" height=\"9\" fill=\"url(#g)\"/><use xlink:href=\"#r\" x=\"9\"/></g>";
    printed(honest).unwrap();
}

#[test]
fn what_the_page_setter_refuses_is_told_in_words() {
    let mut d = Document::new("Sheet", Paper::A4);
    // A second-level heading with no first above it breaks the reading order that tags promise.
    d.heading(1, "One").heading(3, "Three");
    let error = Press::new().print(&d).unwrap_err();
    let text = error.to_string();
    assert!(matches!(error, ReportError::Typesetting { .. }), "{text}");
    assert!(
        !text.contains("SourceDiagnostic"),
        "debug text reaches the user: {text}"
    );
}

#[test]
fn a_drawing_larger_than_its_paper_is_refused() {
    let survey = specimen::survey();
    let head = specimen::head(Habit::Metric, Paper::A4);
    let o = Orientation::of(&survey);
    let d = crew::mark_out(
        &head,
        &[specimen::drawing("map", 297.0, 420.0)],
        &specimen::fill(),
        (&[], birdbath::drawing::MarkUnit::Sixteenths),
        &o,
    );
    assert!(matches!(
        Press::new().print(&d),
        Err(ReportError::TooLarge { paper: "A4", .. })
    ));
}

// ORACLE: hand: of the specimen's notices one is a caution of the work, one a warning of a reading, one a note: words rest on the warning alone.
#[test]
fn the_first_page_counts_the_warnings_that_its_words_rest_on() {
    use birdbath::report::words::submittal as w;
    let documents = all(Habit::Us, Paper::Letter);
    let (_, document) = documents
        .iter()
        .find(|(name, _)| *name == "submittal")
        .unwrap();
    let pages = crate::pdf::pages_of(&Press::new().print(document).unwrap());
    assert!(pages[0].contains(&w::look_at_warnings(1)), "{}", pages[0]);
}
