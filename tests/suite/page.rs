//! The HTML report: what it holds, that nothing of the user's becomes a tag, and that its edge tool agrees
//! with an independent working of the same floor.

use crate::support::rooms;
use birdbath::analysis::{
    About, Analysis, CrewSettings, PlaneAsk, ReadingDoubt, Settings, Want, analyse,
};
use birdbath::drawing::MarkUnit;
use birdbath::fill::{Aim, Plane};
use birdbath::flatness::{
    CheckResult, Judged, Measured, Outcome, PartResult, Placement, Procedure, Sureness, ToRead,
};
use birdbath::geometry::Point;
use birdbath::import::{self, ImportOptions, Source};
use birdbath::report::Pen;
use birdbath::report::orientation::Orientation;
use birdbath::report::page::{self, Extreme, Fact, Mark, PageInput};
use birdbath::surface::Floor;
use birdbath::survey::{Notice, Severity, Survey};
use birdbath::units::{FOOT_M, Habit, INCH_M, Length, depth_text};

/// The page of a floor that can be drawn.
pub fn html(input: &PageInput) -> Vec<u8> {
    page::html(input).unwrap()
}

/// An input with every part filled, over a survey's floor.
pub fn input<'a>(
    survey: &'a Survey,
    floor: &'a Floor,
    checks: &'a [CheckResult],
    notices: &'a [Notice],
    habit: Habit,
) -> PageInput<'a> {
    let marks: Vec<Mark> = survey
        .readings
        .iter()
        .map(|r| Mark {
            label: r.label.to_string(),
            at: r.at,
            elevation_m: r.elevation.m(),
            reading: depth_text(Length::from_m(1.0 - r.elevation.m()), habit),
            note: r.note.as_deref().unwrap_or_default().to_owned(),
        })
        .collect();
    let extreme = |m: &Mark| Extreme {
        at: m.at,
        elevation_m: m.elevation_m,
        words: format!("{}, {}", m.label, m.reading),
    };
    let by_height = |a: &&Mark, b: &&Mark| a.elevation_m.total_cmp(&b.elevation_m);
    let high = extreme(marks.iter().max_by(by_height).unwrap());
    let low = extreme(marks.iter().min_by(by_height).unwrap());
    PageInput {
        title: "Wren House, meal room (invented)".into(),
        head: vec![
            "Ground floor, slab on grade".into(),
            "read 2026-11-20 by the crew of the day".into(),
        ],
        habit,
        floor,
        room: survey.room.as_ref(),
        orientation: Orientation::of(survey),
        laid: survey.laid,
        unit: MarkUnit::usual(habit),
        plane: Some(Plane::level(high.elevation_m + INCH_M / 8.0)),
        high,
        low,
        marks,
        spans_m: match habit {
            Habit::Us => vec![2.0 * FOOT_M, 6.0 * FOOT_M, 10.0 * FOOT_M],
            Habit::Metric => vec![1.0, 2.0, 4.0],
        },
        checks,
        facts: vec![
            Fact::new("Material", "10.2 cu ft", "24 bags with 10 % waste"),
            Fact::new("Mean depth", "5/16 in", ""),
        ],
        notices,
        about: vec!["Birdbath 0.1.0".into()],
    }
}

/// A check that is out, with two places.
pub fn check(title: &str) -> CheckResult {
    let place = |a: (f64, f64), b: (f64, f64), gap_m: f64| Placement {
        from: Point::new(a.0, a.1),
        to: Point::new(b.0, b.1),
        at: Point::new((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0),
        gap_m,
    };
    let places = vec![
        place((5.5, 3.0), (8.5, 3.0), 0.0091),
        place((0.5, 3.0), (2.5, 4.5), 0.0042),
    ];
    let part = |span_m: f64, allowance_m: f64, outcome| PartResult {
        left_open: String::new(),
        procedure: Procedure::Resting,
        span_m,
        allowance_m,
        may_be_over: None,
        judged: Judged {
            judged_m2: 98.0,
            room_m2: 100.0,
            ..Judged::default()
        },
        outcome,
        hand: None,
        reason: "The worst gap is over the allowance by more than its doubt.".into(),
    };
    let found = Measured {
        gap_m: 0.0091,
        bound_m: 0.0092,
        worst: Some(places[0]),
        places: places.clone(),
        doubt_m: 0.0008,
        ..Measured::default()
    };
    let to_read = ToRead {
        every_m: Some(0.5 * FOOT_M),
        at: Some(Point::new(6.0, 2.0)),
    };
    CheckResult {
        check: "tile-large".into(),
        title: title.into(),
        source: "A standard, clause 1".into(),
        sureness: Sureness::FromMemory,
        note: String::new(),
        joints: birdbath::flatness::Joints::Cross,
        parts: vec![
            part(10.0 * FOOT_M, INCH_M / 8.0, Outcome::Out(found)),
            PartResult {
                reason: "To judge 2 ft, read every 6 in or closer.".into(),
                ..part(
                    2.0 * FOOT_M,
                    INCH_M / 16.0,
                    Outcome::NotTested(Some(to_read)),
                )
            },
        ],
    }
}

/// Places, sizes and words of the numbers on the map.
fn numbers_on(map: &str) -> Vec<(f64, f64, f64, String)> {
    let group = map.split("<g class=\"numbers\">").nth(1).unwrap();
    let group = group.split("</g>").next().unwrap();
    let attribute = |t: &str, name: &str| -> f64 {
        let from = t.split(&format!(" {name}=\"")).nth(1).unwrap();
        from.split('"').next().unwrap().parse().unwrap()
    };
    group
        .split("<text")
        .skip(1)
        .map(|t| {
            let words = t.split('>').nth(1).unwrap().split('<').next().unwrap();
            let [x, y, size] = ["x", "y", "font-size"].map(|n| attribute(t, n));
            (x, y, size, words.to_owned())
        })
        .collect()
}

// ORACLE: hand: a digit of the reader's sans serif is at least half as wide as it is high (Helvetica: 0.556), so
// middles nearer than half of both numbers' digits touch and read as one number
#[test]
fn no_two_numbers_on_the_map_read_as_one() {
    // Marks along the walls are moved inward, where the next row of marks stands.
    let mut points = Vec::new();
    for row in 0..24 {
        for column in 0..25 {
            let at = |i: i32, n: i32| f64::from(i) * 6.0 / f64::from(n - 1);
            let z = f64::from((row * 7 + column * 5) % 40) * 1e-3;
            points.push([at(column, 25), at(row, 24), z]);
        }
    }
    let walls = [[0.0, 0.0], [6.0, 0.0], [6.0, 6.0], [0.0, 6.0]];
    let survey = super::surveys::survey(&points, Some(super::surveys::room(&walls, &[])));
    let floor = built(&survey);
    let page = html(&input(&survey, &floor, &[], &[], Habit::Metric));
    let shown = numbers_on(std::str::from_utf8(&page).unwrap());
    assert!(shown.len() > 100, "only {} numbers", shown.len());
    for (i, (x, y, size, words)) in shown.iter().enumerate() {
        for (u, v, other_size, other) in &shown[..i] {
            let half = |t: &str, s: f64| t.chars().count() as f64 * s * 0.556 / 2.0;
            let apart = half(words, *size) + half(other, *other_size);
            assert!(
                (x - u).abs() >= apart || (y - v).abs() >= size * 0.7,
                "{words} at {x}, {y} meets {other} at {u}, {v}"
            );
        }
    }
}

pub fn built(survey: &Survey) -> Floor {
    Floor::build(survey).unwrap().floor
}

/// Text that would do harm if it were taken for a tag, an attribute, or the end of a script.
pub const HARM: &str = "</title></script><script>window.harmed=1</script><img src=x onerror=\"window.harmed=1\"> \
                    '\"&amp;<!--\u{2028}";

// ORACLE: property: whatever the user's text, the page shows it letter for letter and runs none of it
#[test]
fn text_from_the_file_stays_text() {
    let text = String::from_utf8(harmful_page()).unwrap();
    assert!(!text.contains("<img") && !text.contains("onerror=\"") && !text.contains("<!--"));
    assert_eq!(text.matches("<script").count(), 2);
}

/// A page whose every text would do harm.
pub fn harmful_page() -> Vec<u8> {
    let mut survey = rooms::ell(6.0, 5.0, 0.8);
    for r in &mut survey.readings {
        r.label = HARM.into();
        r.note = Some(HARM.into());
    }
    let room = survey.room.as_mut().unwrap();
    room.doors[0].name = HARM.into();
    room.voids[0].name = HARM.into();
    let floor = built(&survey);
    let mut harmful = check(HARM);
    harmful.source = HARM.into();
    harmful.note = HARM.into();
    harmful.parts[0].reason = HARM.into();
    let checks = [harmful];
    let notices = [Notice::new(HARM, Severity::Warning, HARM, HARM)];
    let mut input = input(&survey, &floor, &checks, &notices, Habit::Metric);
    input.title = HARM.into();
    input.head = vec![HARM.into()];
    input.about = vec![HARM.into()];
    input.facts = vec![Fact::new(HARM, HARM, HARM)];
    input.high.words = HARM.into();
    for m in &mut input.marks {
        m.reading = HARM.into();
    }
    html(&input)
}

// ORACLE: property: the file is whole in itself
#[test]
fn the_page_names_no_other_file_and_is_small() {
    let survey = rooms::ell(9.0, 7.5, 0.45);
    let floor = built(&survey);
    assert!(survey.readings.len() > 200, "{}", survey.readings.len());
    let checks = [check("Tile 15 in and over")];
    let page = html(&input(&survey, &floor, &checks, &[], Habit::Us));
    assert_eq!(page, html(&input(&survey, &floor, &checks, &[], Habit::Us)));
    assert!(page.len() < 400_000, "{} bytes", page.len());
    let text = String::from_utf8(page).unwrap();
    // The name of SVG's own vocabulary is not an address to fetch.
    let own = text.replace("http://www.w3.org/2000/svg", "");
    for outside in [
        "http:",
        "https:",
        "://",
        " src=",
        "@import",
        "url(\"",
        "<link",
        "localStorage",
    ] {
        let found = own.lines().find(|l| l.contains(outside));
        let near = |l: &str| {
            l.split(outside)
                .next()
                .map(|b| b.chars().rev().take(60).collect::<Vec<_>>())
        };
        assert!(found.is_none(), "{outside} after {:?}", found.map(near));
    }
}

/// The demo job, worked out.
pub fn demo() -> Analysis {
    let files = [
        (
            "readings.csv",
            &include_bytes!("../../fixtures/demo/readings.csv")[..],
        ),
        (
            "outline.csv",
            &include_bytes!("../../fixtures/demo/outline.csv")[..],
        ),
    ];
    let [readings, outline] = files.map(|(name, bytes)| Source { name, bytes });
    let mut survey = import::read(&readings, &ImportOptions::default())
        .unwrap()
        .surveys
        .remove(0);
    survey.room = Some(import::outline(&outline, &ImportOptions::default()).unwrap());
    let check = birdbath::flatness::check::by_name("tile-large").unwrap();
    let settings = Settings {
        about: About {
            title: "Wren House, meal room (invented demo)".into(),
            place: "Ground floor, slab on grade".into(),
            who: "crew of the day".into(),
            when: "2026-11-20".into(),
            revision: "0".into(),
            ..About::default()
        },
        inputs: vec![],
        run: String::new(),
        habit: Habit::Us,
        denominator: 16,
        spans_m: vec![],
        checks: vec![check.clone()],
        tolerance_m: None,
        draws: 0,
        f_numbers: None,
        hand: None,
        doubt: ReadingDoubt::default(),
        aim: Aim::default(),
        deep: false,
        plane: Some(PlaneAsk::Gauge(INCH_M / 8.0)),
        material: None,
        waste: None,
        bags_at_hand: None,
        rake_m: None,
        grind_m: 0.0,
        framed: Some(false),
        cover_m: None,
        covering_m: None,
        base_depth_m: None,
        as_of: "2026-11-20".into(),
        gauges_m: vec![],
        patch_depth_m: None,
        prices: None,
        crew: CrewSettings::default(),
        silence: vec![],
    };
    let want = Want {
        flatness: true,
        fill: true,
        ..Want::default()
    };
    analyse(survey, settings, want, &|_, _| ()).unwrap()
}

// ORACLE: hand: fixtures/demo/ORIGIN.md names the extremes; the deepest place is the low point's 13/16 in and
//         the gauge depth's 1/8 in, 15/16 in; the program's own worst gap for the rest
#[test]
fn the_page_of_an_analysis_says_what_the_analysis_says() {
    let analysis = demo();
    let input = PageInput::from_analysis(&analysis);
    let page = html(&input);
    assert!(page.len() < 400_000, "{} bytes", page.len());
    let text = String::from_utf8(page.clone()).unwrap();
    for told in [
        "P6, 38 9/16",
        "P5, 39 3/8",
        "<b>13/16 in</b>",
        "deepest 15/16 in",
        "door wall",
        "hall door",
    ] {
        assert!(text.contains(told), "{told}");
    }
    let filling = analysis.filling.as_ref().unwrap();
    let pen = Pen::new(Habit::Us);
    assert!(text.contains(&pen.volume(filling.fill.volume_m3)));
    let part = &analysis.flatness.as_ref().unwrap().checks[0].parts[0];
    let found = part.measured().unwrap();
    assert!(text.contains(&pen.gap(found.gap_m)) && text.contains(&part.reason));
    look("demo.html", &page);
}

/// Writes a page into the folder that `BIRDBATH_LOOK` names, if it names one, to be looked at.
pub fn look(name: &str, page: &[u8]) {
    if let Some(folder) = std::env::var_os("BIRDBATH_LOOK") {
        std::fs::write(std::path::Path::new(&folder).join(name), page).unwrap();
    }
}

// ORACLE: property: parts that were not asked for leave no empty headings
#[test]
fn a_page_without_checks_or_room_is_whole() {
    let mut survey = rooms::ell(6.0, 5.0, 0.8);
    survey.room = None;
    let floor = built(&survey);
    let mut input = input(&survey, &floor, &[], &[], Habit::Metric);
    input.plane = None;
    input.facts.clear();
    let text = String::from_utf8(html(&input)).unwrap();
    assert!(text.contains("No check was asked for") && text.contains("Below the high point"));
    assert!(!text.contains("Worst places</h2>") && !text.contains("Depth to fill</b>"));
}
