//! An invented gym slab with round figures, for the tests of paper: 13 by 21 readings, 5 ft apart.

use birdbath::fill::{DepthBand, Fill, GaugeRow, Known, Plane, PlaneRule};
use birdbath::flatness::{
    CheckResult, Judged, Measured, Outcome, PartResult, Placement, Procedure, Sureness, Verdict,
};
use birdbath::geometry::{Point, Ring};
use birdbath::report::crew::{BatchRow, LiftRows, PlacementRow, PourSheet, SheetDrawing, SpotRow};
use birdbath::report::order::{OrderFact, OrderItem};
use birdbath::report::sections::FloorFacts;
use birdbath::report::{Head, Paper};
use birdbath::survey::{
    Door, Elevation, NamedRing, Notice, Place, RawReading, Reading, Room, Severity, SheetName,
    Survey, Wall,
};
use birdbath::units::{FOOT_M, Habit, INCH_M};

pub fn ft(x: f64, y: f64) -> Point {
    Point::new(x * FOOT_M, y * FOOT_M)
}

/// Sixteenths below the line at column `i` and row `j`: a bowl with a ripple, all invented.
fn sixteenths(i: usize, j: usize) -> u32 {
    let (x, y) = (i as f64 - 6.0, j as f64 - 10.0);
    (648.0 - 0.12 * (x * x + y * y) + 2.0 * (x * 0.9).sin() * (y * 0.7).cos()).round() as u32
}

fn written(sixteenths: u32) -> String {
    let (whole, mut top, mut bottom) = (sixteenths / 16, sixteenths % 16, 16);
    while top > 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    if top == 0 {
        whole.to_string()
    } else {
        format!("{whole} {top}/{bottom}")
    }
}

pub fn survey() -> Survey {
    let sheet = SheetName::new("gym.csv", None);
    let mut readings = Vec::new();
    for j in 0..21 {
        for i in 0..13 {
            let s = sixteenths(i, j);
            let label = format!("{}{}", (b'A' + i as u8) as char, j + 1);
            let mut r = Reading::new(
                label,
                ft(i as f64 * 5.0, j as f64 * 5.0),
                Elevation::from_m(-f64::from(s) / 16.0 * INCH_M),
            );
            r.raw = RawReading {
                text: written(s).into(),
                place: Place {
                    source: sheet.clone(),
                    row: j as u32 + 2,
                    column: i as u32 + 2,
                },
                name_made: false,
            };
            readings.push(r);
        }
    }
    Survey {
        name: "Gym".into(),
        readings,
        room: Some(Room {
            outline: Ring::new(vec![
                ft(0.0, 0.0),
                ft(60.0, 0.0),
                ft(60.0, 100.0),
                ft(0.0, 100.0),
            ]),
            voids: vec![NamedRing {
                name: "column".into(),
                ring: Ring::new(vec![
                    ft(21.0, 41.0),
                    ft(23.0, 41.0),
                    ft(23.0, 43.0),
                    ft(21.0, 43.0),
                ]),
            }],
            slopes: vec![],
            joints: vec![],
            doors: vec![Door {
                name: "Door 1".into(),
                at: ft(30.0, 0.0),
                width_m: 6.0 * FOOT_M,
                under_cut_m: Some(0.5 * INCH_M),
                adjoining_m: None,
                read_in: None,
            }],
            fixtures: vec![],
            walls: vec![
                Wall {
                    name: "door wall".into(),
                    at: ft(30.0, 0.0),
                },
                Wall {
                    name: "stage wall".into(),
                    at: ft(30.0, 100.0),
                },
                Wall {
                    name: "window wall".into(),
                    at: ft(0.0, 50.0),
                },
            ],
        }),
        resolution_m: Some(INCH_M / 16.0),
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    }
}

pub fn head(habit: Habit, paper: Paper) -> Head {
    Head {
        title: "Sports hall refit".into(),
        place: "12 Example Road, ground floor".into(),
        room: "Gym".into(),
        who: "A. Reader".into(),
        when: "2026-03-14".into(),
        revision: "B".into(),
        instrument: "Rotating laser, 1/16 in at 100 ft".into(),
        instrument_check: "2026-03-14, marks 1/32 in apart over 60 ft".into(),
        bench_mark: "Nail in the stage wall, 4 ft above finished floor".into(),
        company: vec!["Example Floor Preparation".into(), "1 Sample Street".into(), "Exampleton".into()],
        logo: Some((
            "mark.svg".into(),
            br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M2 18 L20 4 L38 18 Z" fill="#111"/></svg>"##.to_vec(),
        )),
        inputs: vec![(
            "gym.csv".into(),
            "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08".into(),
        )],
        run: "1a2b3c4d".into(),
        stand_ins: Vec::new(),
        habit,
        paper,
    }
}

pub fn floor() -> FloorFacts {
    FloorFacts {
        area_m2: 557.0,
        surveyed_m2: 540.0,
        extended_m2: 17.0,
        unsurveyed_m2: 0.0,
        spacing_m: 5.0 * FOOT_M,
        high: ("A21".into(), ft(0.0, 100.0)),
        extended_above: None,
        high_m: -38.0 * INCH_M,
        low: ("G11".into(), ft(30.0, 50.0)),
        overall_m: 2.25 * INCH_M,
        used: (24, 24),
        left_out: vec![],
        bare_drains: vec![],
        suspects: vec![],
        suspected: (false, false),
    }
}

pub fn fill() -> Fill {
    Fill {
        gauge_from: None,
        rule: PlaneRule::OverHighPoint {
            gauge_m: INCH_M / 8.0,
        },
        plane: Plane::level(-37.875 * INCH_M),
        gauge_depth_m: INCH_M / 8.0,
        volume_m3: 16.2,
        diagonal_spread_m3: 0.041,
        least_volume_m3: 16.159,
        most_volume_m3: 16.2,
        extended_volume_m3: 0.31,
        wet_area_m2: 557.0,
        dry_area_m2: 0.0,
        above_area_m2: 0.0,
        above_m3: 0.0,
        highest_above_m: 0.0,
        mean_depth_m: 0.0291,
        deepest_m: 2.625 * INCH_M,
        deepest_at: ft(30.0, 50.0),
        deepest_on: Known::Reading,
        least_m: INCH_M / 8.0,
        least_at: ft(0.0, 100.0),
        least_on: birdbath::fill::Known::Reading,
        bands: vec![
            DepthBand {
                from_m: 0.0,
                to_m: Some(0.25 * INCH_M),
                area_m2: 80.0,
                volume_m3: 0.4,
            },
            DepthBand {
                from_m: 0.25 * INCH_M,
                to_m: Some(0.5 * INCH_M),
                area_m2: 120.0,
                volume_m3: 1.2,
            },
            DepthBand {
                from_m: 0.5 * INCH_M,
                to_m: Some(INCH_M),
                area_m2: 177.0,
                volume_m3: 3.6,
            },
            DepthBand {
                from_m: INCH_M,
                to_m: None,
                area_m2: 180.0,
                volume_m3: 11.0,
            },
        ],
    }
}

pub fn stages() -> Vec<GaugeRow> {
    (0..6)
        .map(|k| GaugeRow {
            gauge_m: f64::from(k) / 16.0 * INCH_M,
            level_m: -38.0 * INCH_M + f64::from(k) / 16.0 * INCH_M,
            volume_m3: 14.4 + 0.9 * f64::from(k),
            wet_area_m2: 540.0 + f64::from(k),
            mean_m: 0.027 + f64::from(k) * 0.0016,
            deepest_m: (2.5 + f64::from(k) / 16.0) * INCH_M,
            bags: Some(1247 + 78 * k),
            by_volume: false,
            mean_kg_m2: None,
        })
        .collect()
}

fn part(span_ft: f64, gap_in: f64, limit_in: f64, verdict: Verdict, reason: &str) -> PartResult {
    let worst = Placement {
        from: ft(22.0, 44.0),
        to: ft(22.0 + span_ft * 0.8, 44.0 + span_ft * 0.6),
        at: ft(26.0, 47.0),
        gap_m: gap_in * INCH_M,
    };
    let found = Measured {
        gap_m: gap_in * INCH_M,
        bound_m: gap_in * INCH_M + 0.0001,
        worst: Some(worst),
        places: vec![worst],
        doubt_m: 0.044 * INCH_M,
        ..Measured::default()
    };
    PartResult {
        left_open: String::new(),
        procedure: Procedure::Resting,
        span_m: span_ft * FOOT_M,
        allowance_m: limit_in * INCH_M,
        may_be_over: None,
        judged: Judged {
            judged_m2: if verdict == Verdict::NotTested {
                0.0
            } else {
                540.0
            },
            room_m2: 557.0,
            ..Judged::default()
        },
        outcome: match verdict {
            Verdict::Out => Outcome::Out(found),
            Verdict::InDoubt => Outcome::InDoubt(found),
            Verdict::Within => Outcome::Within(found),
            Verdict::NotTested => Outcome::NotTested(None),
        },
        hand: None,
        reason: reason.into(),
    }
}

pub fn checks() -> Vec<CheckResult> {
    let check = |name: &str, title: &str, source: &str, parts: Vec<PartResult>| CheckResult {
        check: name.into(),
        title: title.into(),
        source: source.into(),
        sureness: Sureness::Published,
        note: String::new(),
        joints: birdbath::flatness::Joints::Cross,
        parts,
    };
    vec![
        check(
            "tile-large",
            "Tile, an edge of 15 in or longer",
            "ANSI A108.02, 4.2.2",
            vec![
                part(
                    10.0,
                    0.21,
                    0.125,
                    Verdict::Out,
                    "The worst gap is over the limit by more than its doubt.",
                ),
                part(
                    2.0,
                    0.0,
                    0.0625,
                    Verdict::NotTested,
                    "Readings stand 5 ft apart; a 2 ft edge needs them 6 in apart.",
                ),
            ],
        ),
        check(
            "resilient",
            "Resilient",
            "UFGS 09650 3.2",
            vec![part(
                10.0,
                0.21,
                0.1875,
                Verdict::InDoubt,
                "The worst gap is nearer to the limit than its doubt.",
            )],
        ),
        check(
            "own",
            "This job: 1/2 in under 10 ft",
            "job file",
            vec![part(
                10.0,
                0.21,
                0.5,
                Verdict::Within,
                "The worst gap with its doubt is inside the limit.",
            )],
        ),
    ]
}

pub fn notices() -> Vec<Notice> {
    vec![
        Notice::new(
            "framed",
            Severity::Caution,
            "",
            "The floor is framed: the fill adds 12.1 psf on the average.",
        ),
        Notice::new(
            "slip",
            Severity::Warning,
            "gym.csv, cell F9",
            "F8 stands 1 in off its neighbours; read it again.",
        ),
        Notice::new(
            "door",
            Severity::Note,
            "Door 1",
            "The finish rises 1/4 in at this door.",
        ),
    ]
}

/// A plain drawing with one word in it.
pub fn drawing(word: &str, width_mm: f64, height_mm: f64) -> SheetDrawing {
    SheetDrawing {
        svg: format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm}mm" height="{height_mm}mm" viewBox="0 0 {width_mm} {height_mm}"><rect x="10" y="10" width="{}" height="{}" fill="none" stroke="#000"/><text x="20" y="30" font-family="Inter" font-size="8">{word}</text></svg>"##,
            width_mm - 20.0,
            height_mm - 20.0
        ),
        width_mm,
        height_mm,
    }
}

pub fn placements() -> Vec<PlacementRow> {
    (1..=4)
        .map(|n| PlacementRow {
            procedure: birdbath::flatness::Procedure::Resting,
            number: n,
            check: "Tile, an edge of 15 in or longer".into(),
            span_m: 10.0 * FOOT_M,
            gap_m: (0.21 - 0.01 * n as f64) * INCH_M,
            limit_m: 0.125 * INCH_M,
            verdict: Verdict::Out,
            from: ft(10.0 * n as f64, 40.0),
            to: ft(10.0 * n as f64 + 6.0, 48.0),
            at: ft(10.0 * n as f64 + 3.0, 44.0),
            profile: Some(drawing(&format!("profile {n}"), 90.0, 45.0).svg),
        })
        .collect()
}

pub fn take_off() -> Vec<OrderFact> {
    let fact = |item, value: &str| OrderFact {
        item,
        value: value.to_owned(),
    };
    vec![
        fact(OrderItem::Bags, "1399 bags"),
        fact(OrderItem::Primer, "15 gal"),
    ]
}

pub fn pour_sheet() -> PourSheet {
    PourSheet {
        lead: "12 batches, 58 minutes, 96 bags and 354 qt of water.".into(),
        facts: vec![
            ("Start".into(), "high point A21".into()),
            ("Exit".into(), "Door 1".into()),
            ("Longest wait".into(), "7 min of 14 min open time".into()),
        ],
        lifts: vec![LiftRows {
            batches: (1..=12)
            .map(|n| BatchRow {
                number: n,
                bay: None,
                place: format!("30 ft; {} ft", 104 - 8 * n),
                area_m2: 46.4,
                volume_m3: 0.102,
                mean_depth_m: 0.0022,
                bags: Some(8.0),
                water_m3: Some(0.0279),
                tie_in_m: 60.0 * FOOT_M,
                clock_min: Some([4.0 * n as f64, 4.0 * n as f64 + 4.0, 4.0 * n as f64 + 8.0]),
                wait_min: Some(7.0),
            })
            .collect(),
            ..LiftRows::default()
        }],
        staging: vec!["96 bags opened and stacked in twelves".into(), "12 buckets of 29.5 qt filled".into()],
        heed: Vec::new(),
        warnings: vec!["The edge between batches 7 and 8 waits longer than the open time. Use a second mixer or set a dam there.".into()],
        checklist: vec!["Primer on and dry.".into()],
        walls: "west wall; door wall".into(),
        heights: None,
    }
}

pub fn spots(n: usize) -> Vec<SpotRow> {
    (1..=n)
        .map(|number| SpotRow {
            number,
            at: ft(5.0 * number as f64, 20.0),
            area_m2: 1.3,
            most_m: 0.004,
            volume_m3: 0.003,
            bags: Some(0.3),
        })
        .collect()
}
