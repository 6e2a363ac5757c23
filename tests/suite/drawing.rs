//! Maps and other drawings: what is on them, and that nothing covers anything.

use super::support::{golden, rooms};
use birdbath::drawing::*;
use birdbath::fill::Plane;
use birdbath::flatness::{
    Departure, EdgeResult, EdgeUse, Judged, Placement, Procedure, SpanPoint, drawn,
};
use birdbath::geometry::{Point, Ring};
use birdbath::patch::PatchSpot;
use birdbath::pour::{Batch, Clock, Lift, Order, TieIn};
use birdbath::surface::Floor;
use birdbath::survey::{Reading, Survey};
use birdbath::units::Habit;
use std::collections::BTreeMap;

const FOOT: f64 = 0.3048;

fn style(paper: Paper, habit: Habit) -> SheetStyle {
    let fact = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    SheetStyle {
        poster_mm: None,
        upright: false,
        paper,
        habit,
        block: TitleBlock {
            title: "Fill depth, meal room".into(),
            facts: vec![
                fact("Place", "Ground floor, slab on grade"),
                fact("Read on", "2026-11-20"),
                fact("Plane", "level, over the high point"),
                fact("Gauge depth", "1/8 in"),
                fact("Volume", "14.2 cu ft"),
            ],
            notes: vec![
                "Seen from above. Depths hold at the marks; between marks the floor was not read."
                    .into(),
            ],
        },
    }
}

fn top(readings: &[Reading]) -> f64 {
    readings
        .iter()
        .map(|r| r.elevation.m())
        .fold(f64::MIN, f64::max)
}

/// The depth map of a survey, an eighth of an inch over its high point.
fn depth_scene(survey: &Survey, paper: Paper, habit: Habit) -> Scene {
    let built = Floor::build(survey).unwrap();
    let (high, low) = rooms::extremes(survey);
    let input = DepthMapInput {
        subject: Subject {
            floor: &built.floor,
            room: survey.room.as_ref(),
            readings: &survey.readings,
            high: &high,
            low: &low,
        },
        plane: Plane::level(top(&survey.readings) + 0.003175),
        unit: MarkUnit::usual(habit),
        bands: None,
        style: style(paper, habit),
    };
    depth_map(&input).unwrap()
}

fn clean(scene: &Scene, what: &str) {
    assert_eq!(scene.overlaps().unwrap(), [], "{what}: texts over texts");
    assert_eq!(
        scene.clipped().unwrap(),
        Vec::<String>::new(),
        "{what}: off the sheet"
    );
}

fn words(scene: &Scene, roles: &[Role]) -> Vec<String> {
    scene
        .texts()
        .filter(|t| roles.contains(&t.role))
        .map(|t| t.words.clone())
        .collect()
}

// ORACLE: hand: plane less closed-form height in sixteenths, rounded; no use of the floor or the units
#[test]
fn every_mark_carries_its_own_depth() {
    let survey = rooms::ell(9.14, 6.4, 0.6096);
    let scene = depth_scene(&survey, Paper::Letter, Habit::Us);
    let plane = top(&survey.readings) + 0.003175;
    let mut expected: BTreeMap<String, usize> = BTreeMap::new();
    for r in &survey.readings {
        let sixteenths = ((plane - rooms::height(r.at)) / 0.0254 * 16.0).round();
        *expected.entry(format!("{sixteenths}")).or_default() += 1;
    }
    let mut found: BTreeMap<String, usize> = BTreeMap::new();
    for w in words(&scene, &[Role::Mark, Role::High, Role::Low]) {
        *found.entry(w).or_default() += 1;
    }
    assert_eq!(found, expected);
    assert_eq!(
        words(&scene, &[Role::High]),
        ["2"],
        "gauge depth at the high point"
    );
    // Every number stands beside its own mark: dots are drawn in the order of the readings, and the
    // dot nearest to a number belongs to a reading of that depth.
    let dots: Vec<PaperPoint> = scene
        .shapes
        .iter()
        .filter_map(|s| match s {
            Shape::Circle {
                at,
                radius_mm,
                width_mm: None,
                ..
            } if *radius_mm == 0.4 => Some(*at),
            _ => None,
        })
        .take(survey.readings.len())
        .collect();
    assert_eq!(dots.len(), survey.readings.len());
    let face = font::Typeface::embedded().unwrap();
    for text in scene.texts().filter(|t| t.role == Role::Mark) {
        let middle = text.rect(&face).middle();
        let nearest = (0..dots.len())
            .min_by(|&a, &b| {
                dots[a]
                    .distance(middle)
                    .total_cmp(&dots[b].distance(middle))
            })
            .unwrap();
        let depth = plane - rooms::height(survey.readings[nearest].at);
        assert_eq!(text.words, format!("{}", (depth / 0.0254 * 16.0).round()));
        assert!(text.cap_mm >= 2.2, "{} mm", text.cap_mm);
    }
}

#[test]
fn a_mark_of_minus_says_grind() {
    let survey = rooms::ell(9.14, 6.4, 0.6096);
    let built = Floor::build(&survey).unwrap();
    let input = DepthMapInput {
        subject: Subject {
            floor: &built.floor,
            room: survey.room.as_ref(),
            readings: &survey.readings,
            high: &[],
            low: &[],
        },
        plane: Plane::level(top(&survey.readings) - 0.004),
        unit: MarkUnit::Sixteenths,
        bands: None,
        style: style(Paper::Letter, Habit::Us),
    };
    let scene = depth_map(&input).unwrap();
    clean(&scene, "grind");
    assert!(words(&scene, &[Role::Mark]).contains(&"\u{2212}3".to_owned()));
    assert!(words(&scene, &[Role::Legend]).contains(&"above the plane: grind".to_owned()));
}

// ORACLE: property: no text covers another or leaves the sheet, whatever the room
// MADE BY: a fixed linear congruential sequence, so the same fifty rooms every time
#[test]
fn no_labels_overlap_on_fifty_random_floors() {
    let mut state = 20_261_120_u64;
    let mut random = move |low: f64, high: f64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((state >> 33) as f64 / f64::from(1_u32 << 31))
    };
    let papers = [Paper::Letter, Paper::Tabloid, Paper::A4, Paper::A3];
    for i in 0..50 {
        let (w, h) = (random(2.5, 30.0), random(2.5, 20.0));
        let step = random(0.35, 1.5).max(w.max(h) / 60.0);
        let mut survey = rooms::ell(w, h, step);
        if i % 3 == 0 {
            // Off the grid, by up to a third of a step, and named so that no grid is found.
            for (n, r) in survey.readings.iter_mut().enumerate() {
                r.at = r.at + Point::new(random(-0.1, 0.1), random(-0.1, 0.1)) * (step * 3.0);
                r.label = format!("p-{n}").into();
            }
            let room = survey.room.clone().unwrap().region();
            survey.readings.retain(|r| room.contains(r.at));
        }
        if survey.readings.len() < 4 {
            continue;
        }
        let habit = if i % 2 == 0 { Habit::Us } else { Habit::Metric };
        let scene = depth_scene(&survey, papers[i % 4], habit);
        clean(&scene, &format!("floor {i}: {w:.2} by {h:.2} at {step:.2}"));
        for text in scene.texts() {
            assert!(text.cap_mm >= 1.8, "{}: {} mm", text.words, text.cap_mm);
        }
    }
}

#[test]
fn a_sheet_that_thins_its_numbers_says_how_many_stand() {
    let survey = rooms::ell(9.0, 6.4, 0.1524);
    let scene = depth_scene(&survey, Paper::Letter, Habit::Us);
    clean(&scene, "fine");
    let shown = words(&scene, &[Role::Mark, Role::High, Role::Low]).len();
    let total = survey.readings.len();
    assert!(shown > 100 && shown < total);
    let note = words(&scene, &[Role::Note]).join(" ");
    assert!(
        note.contains(&format!("Numbers stand at {shown} of {total} readings")),
        "{note}"
    );
    // The extremes never fall to the thinning.
    assert_eq!(words(&scene, &[Role::High]).len(), 1);
    assert_eq!(words(&scene, &[Role::Low]).len(), 1);
}

/// The same floor as [`depth_scene`] draws, as a page shows it.
fn page_map(survey: &Survey, lines: &[(usize, Point, Point)]) -> ScreenMap {
    let built = Floor::build(survey).unwrap();
    let (high, low) = rooms::extremes(survey);
    let readings: Vec<(Point, f64)> = survey
        .readings
        .iter()
        .map(|r| (r.at, r.elevation.m()))
        .collect();
    screen_map(&ScreenMapInput {
        floor: &built.floor,
        room: survey.room.as_ref(),
        readings: &readings,
        high: high[0],
        low: low[0],
        plane: Plane::level(top(&survey.readings) + 0.003175),
        fill: true,
        unit: MarkUnit::Sixteenths,
        lines,
    })
    .unwrap()
}

// ORACLE: property: a page shows what paper shows: the same numbers and names, none over another, and every line
// that is listed beside it with its number
#[test]
fn a_page_has_the_map_that_paper_has() {
    let survey = rooms::ell(9.14, 6.4, 0.6096);
    let paper = depth_scene(&survey, Paper::Letter, Habit::Us);
    let lines = [
        (1, Point::new(1.0, 1.0), Point::new(4.0, 1.5)),
        (2, Point::new(2.0, 0.5), Point::new(2.5, 3.5)),
    ];
    let page = page_map(&survey, &lines);
    clean(&page.scene, "page");
    let sorted = |scene: &Scene, roles: &[Role]| {
        let mut words = words(scene, roles);
        words.sort();
        words
    };
    for roles in [
        &[Role::Mark][..],
        &[Role::High],
        &[Role::Low],
        &[Role::Wall],
    ] {
        assert_eq!(
            sorted(&page.scene, roles),
            sorted(&paper, roles),
            "{roles:?}"
        );
    }
    assert_eq!(page.shown, survey.readings.len());
    assert_eq!(words(&page.scene, &[Role::Number]), ["1", "2"]);
    // What the page keeps of places: a plan point falls where the drawing has it.
    let dot = |p: Point| {
        PaperPoint::new(
            (p.x - page.corner.x) * page.units_per_m / 20.0,
            (page.corner.y - p.y) * page.units_per_m / 20.0,
        )
    };
    for r in &survey.readings {
        let there = page
            .scene
            .shapes
            .iter()
            .any(|s| matches!(s, Shape::Circle { at, .. } if at.distance(dot(r.at)) < 1e-6));
        assert!(there, "no dot at {}", r.label);
    }
    // Things keep their names where there is no room to write them.
    let svg = svg_in_page(&page.scene, "id=\"map\"").unwrap();
    for void in &survey.room.as_ref().unwrap().voids {
        assert!(svg.contains(&format!("<title>{}</title>", void.name)));
    }
    assert!(svg.starts_with("<svg id=\"map\" viewBox=\"0 0 "));
    assert!(!svg.contains("font-family"), "the page's own letters");
    assert_eq!(svg.matches("<g ").count(), svg.matches("</g>").count());
}

// ORACLE: property: a page holds what paper refuses, since its reader's device has letters of its own
#[test]
fn a_page_takes_any_sign() {
    let mut scene = Scene::new("", 20.0, 10.0);
    let at = PaperPoint::new(2.0, 8.0);
    scene.text(Text::new(at, "\u{6F22}<b>", 3.0, Role::Note));
    assert!(svg(&scene).is_err());
    let page = svg_in_page(&scene, "").unwrap();
    assert!(page.contains("\u{6F22}&lt;b&gt;"), "{page}");
}

#[test]
fn the_same_scene_gives_the_same_bytes() {
    let survey = rooms::ell(9.14, 6.4, 0.6096);
    let one = depth_scene(&survey, Paper::Letter, Habit::Us);
    let two = depth_scene(&survey, Paper::Letter, Habit::Us);
    assert_eq!(svg(&one).unwrap(), svg(&two).unwrap());
    assert_eq!(png(&one, 50.0).unwrap(), png(&two, 50.0).unwrap());
}

#[test]
fn what_cannot_be_drawn_is_an_error_that_says_why() {
    let survey = rooms::ell(5.0, 4.0, 1.0);
    let built = Floor::build(&survey).unwrap();
    let mut input = DepthMapInput {
        subject: Subject {
            floor: &built.floor,
            room: survey.room.as_ref(),
            readings: &survey.readings,
            high: &[],
            low: &[],
        },
        plane: Plane::level(0.02),
        unit: MarkUnit::Millimetres,
        bands: None,
        style: style(Paper::A4, Habit::Metric),
    };
    input.style.block.title = "\u{6F22}".into();
    let error = svg(&depth_map(&input).unwrap()).unwrap_err();
    assert!(
        matches!(error, DrawingError::MissingGlyph { code: 0x6F22, .. }),
        "{error}"
    );
    input.style.block.title = "words ".repeat(4000);
    let error = depth_map(&input).unwrap_err();
    assert!(
        matches!(error, DrawingError::TooMuchText { paper: "A4" }),
        "{error}"
    );
    input.style = style(Paper::A4, Habit::Metric);
    input.plane = Plane::level(f64::NAN);
    assert!(matches!(
        depth_map(&input),
        Err(DrawingError::NotFinite { .. })
    ));
    input.plane = Plane::level(0.02);
    input.subject.readings = &[];
    assert!(matches!(depth_map(&input), Err(DrawingError::Empty { .. })));
    let (vast, readings) = rooms::mesh(2, 2, 20_000.0, |_| 0.0);
    input.subject = Subject {
        floor: &vast,
        room: None,
        readings: &readings,
        high: &[],
        low: &[],
    };
    assert!(matches!(
        depth_map(&input),
        Err(DrawingError::TooLarge { .. })
    ));
    let scene = Scene::new("", 100.0, 100.0);
    assert!(matches!(
        png(&scene, 1e9),
        Err(DrawingError::PictureSize { .. })
    ));
}

// ORACLE: independent code: the renderer's own text layout (shaping, kerning) against our box of advances
// TOLERANCE: 0.25 mm, the side bearings of the outermost signs and a dot of rounding
#[test]
fn label_boxes_hold_what_the_renderer_draws() {
    use resvg::usvg;
    let mut scene = Scene::new("boxes", 200.0, 120.0);
    let samples = [
        "24",
        "\u{2212}3",
        "1 1/4 in",
        "11'-6 1/2\"",
        "Door to hall",
        "NOT SURVEYED",
        "Tyjgq",
    ];
    for (i, words) in samples.iter().enumerate() {
        let y = 10.0 + 14.0 * i as f64;
        let at = PaperPoint::new(30.0, y);
        scene.text(Text::new(at, *words, 3.0, Role::Note));
        let at = PaperPoint::new(90.0, y);
        scene.text(
            Text::new(at, *words, 2.0, Role::Note)
                .bold()
                .anchored(Anchor::Middle),
        );
        let at = PaperPoint::new(150.0, y);
        scene.text(Text::new(at, *words, 2.0, Role::Note).anchored(Anchor::End));
    }
    let mut options = usvg::Options::default();
    options.fontdb_mut().load_font_data(font::REGULAR.to_vec());
    options.fontdb_mut().load_font_data(font::BOLD.to_vec());
    let text = svg(&scene).unwrap();
    let tree = usvg::Tree::from_str(&text, &options).unwrap();
    fn drawn(group: &usvg::Group, out: &mut Vec<Rect>, mm: f64) {
        for node in group.children() {
            match node {
                usvg::Node::Group(g) => drawn(g, out, mm),
                usvg::Node::Text(t) => {
                    let b = t.flattened().abs_bounding_box();
                    let at = |x: f32, y: f32| PaperPoint::new(f64::from(x) * mm, f64::from(y) * mm);
                    out.push(Rect::new(at(b.left(), b.top()), at(b.right(), b.bottom())));
                }
                _ => {}
            }
        }
    }
    // The renderer answers in the units of the drawing's own view: twenty to the millimetre.
    let mut boxes = Vec::new();
    drawn(tree.root(), &mut boxes, 1.0 / 20.0);
    let face = font::Typeface::embedded().unwrap();
    let ours: Vec<(Rect, &Text)> = scene.texts().map(|t| (t.rect(&face), t)).collect();
    assert_eq!(boxes.len(), ours.len());
    for (drawn, (ours, text)) in boxes.iter().zip(ours) {
        assert!(
            ours.grown(0.25).holds(drawn),
            "{:?}: {drawn:?} outside {ours:?}",
            text.words
        );
        let loose = ours.width() - drawn.width();
        assert!(
            loose < 0.8 + 0.04 * ours.width(),
            "{:?}: box {loose:.2} mm too wide",
            text.words
        );
    }
}

// ORACLE: closed form: on z = -0.01 x over 4 m by 3 m, depth under level 0 is 0.01 x, so the part at or
//         over depth d is (4 - 100 d) * 3 m2
#[test]
fn rings_enclose_the_area_at_or_over_each_level() {
    let (floor, _) = rooms::mesh(8, 6, 0.5, |p| -0.01 * p.x);
    let depths: Vec<f64> = floor.vertices().iter().map(|v| -v.z).collect();
    let levels = [0.005, 0.01, 0.02, 0.033, 0.04, 0.05];
    let rings = birdbath::surface::level_rings(&floor, &depths, &levels);
    let area = |band: usize| -> f64 {
        rings
            .iter()
            .filter(|r| r.band == band)
            .map(|r| r.area_m2)
            .sum()
    };
    assert!((area(0) - 12.0).abs() < 1e-9);
    for (i, d) in levels.iter().enumerate() {
        let expected = ((4.0 - 100.0 * d) * 3.0).max(0.0);
        assert!(
            (area(i + 1) - expected).abs() < 1e-9,
            "{d}: {}",
            area(i + 1)
        );
    }
}

// ORACLE: closed form: a bump at a grid corner inside a hollow: the ring has the bump's hole cut out
#[test]
fn a_hole_in_a_level_is_a_ring_turned_the_other_way() {
    let (floor, _) = rooms::mesh(10, 10, 1.0, |p| {
        if p == Point::new(5.0, 5.0) { 0.02 } else { 0.0 }
    });
    let depths: Vec<f64> = floor.vertices().iter().map(|v| 0.01 - v.z).collect();
    let rings = birdbath::surface::level_rings(&floor, &depths, &[0.0]);
    let holes: Vec<f64> = rings
        .iter()
        .filter(|r| r.area_m2 < 0.0)
        .map(|r| r.area_m2)
        .collect();
    // Half-way down every edge from the corner: six triangles of legs 1/2, a quarter of the fan's 3 m2.
    assert_eq!(holes.len(), 1);
    assert!((holes[0] + 0.75).abs() < 1e-9, "{holes:?}");
}

fn placement(from: (f64, f64), to: (f64, f64), at: (f64, f64), gap_m: f64) -> Placement {
    let p = |(x, y): (f64, f64)| Point::new(x, y);
    Placement {
        from: p(from),
        to: p(to),
        at: p(at),
        gap_m,
    }
}

fn result(departure: Departure, span_m: f64, gap_m: f64, laid: bool) -> EdgeResult {
    EdgeResult {
        departure,
        span_m,
        worst: Some(placement(
            (0.0, 0.0),
            (span_m, 0.0),
            (span_m / 2.0, 0.0),
            gap_m,
        )),
        bound_m: gap_m + 0.0001,
        full_span_laid: laid,
        complete: true,
    }
}

fn specimen_curve() -> Vec<SpanPoint> {
    [1.0, 2.0, 4.0, 6.0, 8.0, 10.0, 14.0]
        .into_iter()
        .map(|ft: f64| SpanPoint {
            between_joints: false,
            span_m: ft * FOOT,
            dip: result(Departure::Dip, ft * FOOT, 0.00008 * ft * ft, ft < 12.0),
            hump: result(Departure::Hump, ft * FOOT, 0.0005 * ft, ft < 12.0),
            judged: Judged::default(),
        })
        .collect()
}

fn specimen_floor() -> (Floor, Vec<Reading>) {
    rooms::mesh(10, 7, 2.0 * FOOT, |p| {
        let bump = |x: f64, y: f64| (-((p.x - x).powi(2) + (p.y - y).powi(2)) / 1.5).exp();
        0.008 * bump(1.6, 1.4) - 0.011 * bump(4.4, 2.6)
    })
}

fn specimen_edges() -> [EdgeMark; 2] {
    [
        EdgeMark {
            number: 1,
            placement: placement((2.9, 2.4), (5.9, 2.9), (4.4, 2.65), 0.0085),
            departure: Departure::Dip,
        },
        EdgeMark {
            number: 2,
            placement: placement((0.3, 0.4), (3.0, 2.3), (1.6, 1.4), 0.0062),
            departure: Departure::Hump,
        },
    ]
}

fn batch(number: u32, x: (f64, f64), tie: Option<f64>) -> Batch {
    let h = 14.0 * FOOT;
    let p = Point::new;
    Batch {
        number,
        outline: vec![vec![p(x.0, 0.0), p(x.1, 0.0), p(x.1, h), p(x.0, h)]],
        bay: 1,
        label_at: p((x.0 + x.1) / 2.0, h / 2.0),
        also_at: Vec::new(),
        area_m2: (x.1 - x.0) * h,
        volume_m3: 0.025,
        mean_depth_m: 0.006,
        bags: 2,
        water_m3: None,
        tie_in_m: tie.map_or(0.0, |_| h),
        ties: tie
            .map(|_| TieIn {
                to: number - 1,
                length_m: h,
                wait_min: 7.0,
                lines: Vec::new(),
            })
            .into_iter()
            .collect(),
        tie_lines: tie.map(|x| [p(x, 0.0), p(x, h)]).into_iter().collect(),
        mix_from_min: 0.0,
        place_from_min: 3.0,
        place_to_min: 6.0,
    }
}

fn specimen_pour() -> Lift {
    Lift {
        number: 1,
        below_finish_m: 0.0,
        order: Order::Strips,
        reason: String::new(),
        scores: vec![],
        start: Point::new(0.6, 2.0),
        batches: vec![
            batch(1, (0.0, 2.2), None),
            batch(2, (2.2, 4.0), Some(2.2)),
            batch(3, (4.0, 6.096), Some(4.0)),
        ],
        bags: 6,
        volume_m3: 0.075,
        clock: Clock {
            mixing_min: 3.0,
            placing_min: 3.0,
            mixers: 1,
            overlapped: true,
            minutes: 12.0,
            overlapped_min: 12.0,
            one_after_other_min: 18.0,
            open_min: None,
            standing_min: 3.0,
            working_min: None,
        },
        longest_wait_min: 3.0,
        remedies: vec![],
        bays: vec![],
    }
}

fn check(name: &str, scene: &Scene) {
    clean(scene, name);
    golden::check(name, scene);
}

#[test]
fn golden_depth_map() {
    let (floor, readings) = specimen_floor();
    let (high, low) = (
        vec![Point::new(1.8288, 1.2192)],
        vec![Point::new(4.2672, 2.4384)],
    );
    let input = DepthMapInput {
        subject: Subject {
            floor: &floor,
            room: None,
            readings: &readings,
            high: &high,
            low: &low,
        },
        plane: Plane::level(top(&readings) + 0.003175),
        unit: MarkUnit::Sixteenths,
        bands: None,
        style: style(Paper::Letter, Habit::Us),
    };
    check("depth_map", &depth_map(&input).unwrap());
}

#[test]
fn golden_height_map() {
    let (floor, readings) = specimen_floor();
    let input = DepthMapInput {
        subject: Subject {
            floor: &floor,
            room: None,
            readings: &readings,
            high: &[],
            low: &[],
        },
        plane: Plane::level(f64::NAN),
        unit: MarkUnit::Millimetres,
        bands: None,
        style: style(Paper::A4, Habit::Metric),
    };
    check("height_map", &height_map(&input).unwrap());
}

#[test]
fn golden_flatness_map() {
    let (floor, readings) = specimen_floor();
    let departures: Vec<f64> = floor.vertices().iter().map(|v| (-v.z).max(0.0)).collect();
    let scene = flatness_map(&FlatnessMapInput {
        subject: Subject {
            floor: &floor,
            room: None,
            readings: &readings,
            high: &[],
            low: &[],
        },
        departures_m: Some(&departures),
        heading: "Dip under 3 m, millimetres",
        edges: &specimen_edges(),
        unit: MarkUnit::Millimetres,
        bands: BandScale::with_edges(vec![0.0, 0.003, 0.006, 0.012]),
        style: style(Paper::A4, Habit::Metric),
    })
    .unwrap();
    assert_eq!(words(&scene, &[Role::Number]), ["1", "2"]);
    let list = words(&scene, &[Role::Legend]);
    assert!(
        list.iter()
            .any(|w| w.starts_with("No. 1: 8.5 mm dip, 3.04 m")),
        "{list:?}"
    );
    check("flatness_map", &scene);
}

// ORACLE: property: every edge to lay has its number, in a room with walls, a column and a door.
#[test]
fn golden_hand_map() {
    let survey = rooms::ell(6.0, 4.8, 0.6);
    let floor = Floor::build(&survey).unwrap().floor;
    let edge = EdgeUse {
        procedure: Procedure::Resting,
        span_m: 0.6,
    };
    let edges: Vec<(usize, Point, Point)> = drawn(floor.region(), edge, 3, 20)
        .into_iter()
        .enumerate()
        .map(|(k, (a, b))| (k + 1, a, b))
        .collect();
    let scene = hand_map(&HandMapInput {
        subject: Subject {
            floor: &floor,
            room: survey.room.as_ref(),
            readings: &survey.readings,
            high: &[],
            low: &[],
        },
        edges: &edges,
        style: style(Paper::A4, Habit::Metric),
    })
    .unwrap();
    assert_eq!(words(&scene, &[Role::Number]).len(), 20);
    check("hand_map", &scene);
}

// ORACLE: hand: where the floor's corners show 4 mm at most and an edge between them 8.5 mm, the last shade reaches past 8.5 mm.
#[test]
fn the_last_shade_reaches_the_gaps_of_the_edges() {
    let (floor, readings) = specimen_floor();
    let departures: Vec<f64> = floor.vertices().iter().map(|_| 0.004).collect();
    let scene = flatness_map(&FlatnessMapInput {
        subject: Subject {
            floor: &floor,
            room: None,
            readings: &readings,
            high: &[],
            low: &[],
        },
        departures_m: Some(&departures),
        heading: "Dip under 3 m, millimetres",
        edges: &specimen_edges(),
        unit: MarkUnit::Millimetres,
        bands: None,
        style: style(Paper::A4, Habit::Metric),
    })
    .unwrap();
    let last = words(&scene, &[Role::Legend])
        .iter()
        .filter_map(|w| w.split_once(" to ")?.1.parse::<f64>().ok())
        .fold(0.0, f64::max);
    assert!(last >= 8.5, "{last}");
}

#[test]
fn golden_coverage_map() {
    let (floor, readings) = specimen_floor();
    let reached: Vec<bool> = (0..floor.triangles().len() as u32)
        .map(|t| floor.corners(t).iter().all(|v| v.at.x < 4.0))
        .collect();
    let input = CoverageMapInput {
        subject: Subject {
            floor: &floor,
            room: None,
            readings: &readings,
            high: &[],
            low: &[],
        },
        reached: &reached,
        span: "2 m edge",
        style: style(Paper::A4, Habit::Metric),
    };
    check("coverage_map", &coverage_map(&input).unwrap());
    let short = CoverageMapInput {
        reached: &reached[1..],
        ..input
    };
    assert!(matches!(
        coverage_map(&short),
        Err(DrawingError::Empty { .. })
    ));
}

#[test]
fn golden_pour_map() {
    let (floor, readings) = specimen_floor();
    let plan = specimen_pour();
    let scene = pour_map(&PourMapInput {
        subject: Subject {
            floor: &floor,
            room: None,
            readings: &readings,
            high: &[],
            low: &[],
        },
        lift: &plan,
        style: style(Paper::Letter, Habit::Us),
    })
    .unwrap();
    assert_eq!(words(&scene, &[Role::Number]), ["1", "2", "3"]);
    check("pour_map", &scene);
}

#[test]
fn golden_patch_map() {
    let (floor, readings) = specimen_floor();
    let ring = |x: f64, y: f64, r: f64| {
        let corner = |i: u32| {
            let turn = f64::from(i) * std::f64::consts::TAU / 24.0;
            Point::new(x + r * turn.cos(), y + 0.7 * r * turn.sin())
        };
        Ring::new((0..24).map(corner).collect())
    };
    let spot = |outline: Ring, island: Option<Ring>, deepest_m: f64, at: (f64, f64)| PatchSpot {
        area_m2: outline.area(),
        outlines: vec![outline],
        islands: island.into_iter().collect(),
        volume_m3: 0.01,
        deepest_m,
        deepest_at: Point::new(at.0, at.1),
        bags: None,
    };
    let island = ring(4.4, 2.6, 0.4);
    let patches = [spot(ring(4.4, 2.6, 1.4), Some(island), 0.0085, (4.4, 1.9))];
    let grinds = [
        spot(ring(1.6, 1.4, 1.0), None, 0.004, (1.6, 1.4)),
        spot(ring(0.6, 3.6, 0.03), None, 0.001, (0.6, 3.6)),
    ];
    let mut work = vec![0.0; readings.len()];
    (work[3], work[9]) = (0.008, -0.004);
    let scene = patch_map(&PatchMapInput {
        subject: Subject {
            floor: &floor,
            room: None,
            readings: &readings,
            high: &[],
            low: &[],
        },
        patches: &patches,
        grinds: &grinds,
        work_m: &work,
        unit: MarkUnit::Millimetres,
        style: style(Paper::A4, Habit::Metric),
    })
    .unwrap();
    assert_eq!(words(&scene, &[Role::Number]), ["1", "2"]);
    assert_eq!(words(&scene, &[Role::Mark]), ["8", "−4"]);
    let note = words(&scene, &[Role::Note]).join(" ");
    assert!(
        note.contains("too small to be numbered at this scale: 3."),
        "{note}"
    );
    check("patch_map", &scene);
}

#[test]
fn golden_span_curve() {
    let limit = |name: &str, points: &[(f64, f64)]| LimitLine {
        name: name.into(),
        points: points.iter().map(|p| (p.0 * FOOT, p.1 * 0.0254)).collect(),
    };
    let curve = specimen_curve();
    let scene = span_curve(&SpanCurveInput {
        title: "Gap under an edge of any length",
        curve: &curve,
        limits: &[
            limit("tile 15 in and over", &[(10.0, 0.125)]),
            limit("by distance", &[(1.0, 0.05), (4.0, 0.15), (14.0, 0.4)]),
        ],
        judged_from_m: Some(2.0 * FOOT),
        unit: MarkUnit::Sixteenths,
        habit: Habit::Us,
        size_mm: (170.0, 95.0),
    })
    .unwrap();
    let names = words(&scene, &[Role::Curve]);
    for name in [
        "worst dip",
        "worst hump",
        "tile 15 in and over",
        "by distance",
    ] {
        assert!(names.iter().any(|n| n == name), "{name} in {names:?}");
    }
    check("span_curve", &scene);
}

// ORACLE: hand: a parabola 6 mm deep over 3 m, its gap written beside it
#[test]
fn golden_profile() {
    let floor: Vec<(f64, f64)> = (-5..=35)
        .map(|i| {
            let d = f64::from(i) / 10.0;
            (d, 0.002 * d - 0.006 * (1.0 - (d / 1.5 - 1.0).powi(2)))
        })
        .collect();
    let mut input = ProfileInput {
        title: "Place 1: 3 m edge",
        floor: &floor,
        ends_m: (0.0, 3.0),
        at_m: 1.5,
        gap_m: 0.006,
        departure: Departure::Dip,
        names: ("towards the door", "towards the east wall"),
        unit: MarkUnit::Millimetres,
        habit: Habit::Metric,
        size_mm: (84.0, 46.0),
    };
    let scene = profile(&input).unwrap();
    assert_eq!(words(&scene, &[Role::Number]), ["6.0 mm"]);
    check("profile", &scene);
    input.ends_m = (1.0, 1.0);
    assert!(matches!(profile(&input), Err(DrawingError::Empty { .. })));
}

#[test]
fn a_room_shows_its_doors_walls_and_things() {
    let survey = rooms::ell(9.14, 6.4, 0.6096);
    let scene = depth_scene(&survey, Paper::Letter, Habit::Us);
    let all: Vec<String> = scene.texts().map(|t| t.words.clone()).collect();
    for there in [
        "Door to hall",
        "north wall",
        "south wall",
        "east wall",
        "west wall",
        "drain",
        "column",
        "joint 1",
        "Scale 3/16 in = 1 ft",
    ] {
        assert!(all.iter().any(|w| w == there), "{there}");
    }
    clean(&scene, "room");
}
