//! Floor that is known less well than the rest (carried out to a joint): what it may hide, and what it must not hide.

use crate::support::meshes::Stream;
use birdbath::flatness::coverage::coverage;
use birdbath::flatness::{Ground, JudgeOptions, PartResult, ReadingDoubt, Verdict, check, judge};
use birdbath::geometry::{Point, Ring};
use birdbath::surface::Floor;
use birdbath::survey::{Elevation, Joint, NamedRing, Reading, Room, Survey};

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn survey(
    readings: &[(Point, f64)],
    outline: &[Point],
    voids: Vec<Ring>,
    joint: Option<f64>,
) -> Survey {
    let top = outline.iter().map(|c| c.y).fold(0.0, f64::max);
    Survey {
        name: "room".into(),
        readings: readings
            .iter()
            .enumerate()
            .map(|(i, &(at, z))| Reading::new(format!("P{i}"), at, Elevation::from_m(z)))
            .collect(),
        room: Some(Room {
            outline: Ring::new(outline.to_vec()),
            voids: voids
                .into_iter()
                .map(|ring| NamedRing {
                    name: "post".into(),
                    ring,
                })
                .collect(),
            slopes: vec![],
            joints: joint
                .map(|x| Joint {
                    name: "J".into(),
                    line: vec![p(x, 0.0), p(x, top)],
                    movement: false,
                })
                .into_iter()
                .collect(),
            doors: vec![],
            fixtures: vec![],
            walls: vec![],
        }),
        resolution_m: Some(0.0001),
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    }
}

fn boxed(x: f64, y: f64) -> Vec<Point> {
    vec![p(0.0, 0.0), p(x, 0.0), p(x, y), p(0.0, y)]
}

fn judged(survey: &Survey, words: &str) -> PartResult {
    let floor = Floor::build(survey).unwrap().floor;
    let options = JudgeOptions {
        doubt: ReadingDoubt {
            step_m: 0.0001,
            ..ReadingDoubt::default()
        },
        both_ways: false,
        ..JudgeOptions::default()
    };
    judge(&floor, &[check::parse(words).unwrap()], &options, &|_| ())[0].parts[0].clone()
}

/// Two panels read on 0.5 m, rough by `rough_m`, for a joint between the rows at 1.75 and 2.25 m.
fn panels(rough_m: f64, seed: u64) -> Vec<(Point, f64)> {
    let mut noise = Stream::new(seed);
    (0..96)
        .map(|i| {
            let at = p(0.25 + f64::from(i / 8) * 0.5, 0.25 + f64::from(i % 8) * 0.5);
            (at, rough_m * noise.normal())
        })
        .collect()
}

// ORACLE: property. A floor of one panel more that is made worse, by lowering one reading far from the joint, is never
//         better for it: what was in doubt before does not come out within.
#[test]
fn a_deeper_gap_elsewhere_hides_no_doubtful_one() {
    let (mut doubtful, outline) = (0, boxed(6.0, 4.0));
    for seed in 0..40 {
        let plain = panels(0.000_5, seed);
        let before = judged(&survey(&plain, &outline, vec![], Some(2.0)), "3 mm in 2 m");
        if before.verdict() != Verdict::InDoubt {
            continue;
        }
        doubtful += 1;
        for drop in [0.000_6, 0.001_2, 0.001_8] {
            let mut worse = plain.clone();
            // Two metres and a half from the joint: no edge of 2 m reaches both.
            worse[9 * 8 + 4].1 -= drop;
            let after = judged(&survey(&worse, &outline, vec![], Some(2.0)), "3 mm in 2 m");
            assert_ne!(
                after.verdict(),
                Verdict::Within,
                "seed {seed}, {drop}: {}",
                after.reason
            );
        }
    }
    assert!(doubtful >= 5, "{doubtful} floors in doubt");
}

// ORACLE: closed form. A ridge of 8 mm along one row of read floor stands 8 mm over a balanced edge of 2 m, far over 3 mm, whatever
//         the floor that was carried out to a joint may do; where that has the larger gap, and the larger doubt, the floor is
//         out all the same.
#[test]
fn a_doubtful_gap_at_a_joint_hides_none_that_is_plainly_out() {
    let (mut out, mut beside) = (0, 0);
    for seed in 0..20 {
        let mut readings = panels(0.000_2, seed);
        for (at, z) in &mut readings {
            // Up to the joint the floor is twenty times as rough, so that what is carried out to it is known badly.
            *z *= if at.x < 2.2 { 20.0 } else { 1.0 };
            *z += 0.008 * f64::from((at.x - 4.25).abs() < 0.01);
        }
        let part = judged(
            &survey(&readings, &boxed(6.0, 4.0), vec![], Some(2.2)),
            "3 mm in 2 m, balanced",
        );
        assert_eq!(part.verdict(), Verdict::Out, "seed {seed}: {}", part.reason);
        // Where a larger one is told beside it, it is larger, and never stands for the proof.
        let found = part.measured().unwrap();
        let larger = found.doubtful_m;
        assert!(
            larger.is_none_or(|m| m > found.gap_m),
            "seed {seed}: {found:?}"
        );
        assert!(
            found.gap_m - found.doubt_m > 0.003,
            "seed {seed}: {found:?}"
        );
        if larger.is_some() {
            assert!(part.reason.contains("too doubtful"), "{}", part.reason);
            // The crew is told of it all the same: 2.2 m and more from the ridge it is a place of its own.
            assert!(
                found.places.iter().any(|w| w.at.x < 2.8),
                "seed {seed}: {:?}",
                found.places
            );
            beside += 1;
        }
        out += 1;
    }
    assert_eq!(out, 20);
    assert!(
        beside > 0,
        "no floor where the larger gap is the doubtful one"
    );
}

// ORACLE: hand. Posts in the cells of a grid of 1 m bring no reading nearer: an edge of 2.5 m needs one every 0.625 m.
#[test]
fn posts_between_readings_do_not_make_the_grid_finer() {
    let readings: Vec<(Point, f64)> = (0..36)
        .map(|i| (p(f64::from(i / 6), f64::from(i % 6)), 0.0))
        .collect();
    let post = |x: f64, y: f64| {
        Ring::new(vec![
            p(x - 0.15, y),
            p(x, y - 0.15),
            p(x + 0.15, y),
            p(x, y + 0.15),
        ])
    };
    let posts: Vec<Ring> = (0..25)
        .map(|i| post(0.5 + f64::from(i / 5), 0.5 + f64::from(i % 5)))
        .collect();
    for voids in [vec![], posts] {
        let survey = survey(&readings, &boxed(5.0, 5.0), voids, None);
        let floor = Floor::build(&survey).unwrap().floor;
        assert_eq!(coverage(&floor, Ground::default(), 2.5).judged.share(), 0.0);
        let four = coverage(&floor, Ground::default(), 4.0).judged.share();
        assert!((four - 1.0).abs() < 1e-9, "{four}");
        assert_eq!(
            judged(&survey, "10 mm in 2.5 m").verdict(),
            Verdict::NotTested
        );
        assert_eq!(judged(&survey, "10 mm in 4 m").verdict(), Verdict::Within);
    }
}

// ORACLE: property. Corners that lie on straight walls change nothing.
#[test]
fn a_corner_on_a_straight_wall_changes_no_word() {
    let readings: Vec<(Point, f64)> = (0..30)
        .map(|i| {
            (
                p(f64::from(i / 5), f64::from(i % 5)),
                0.001 * f64::from(i % 3),
            )
        })
        .collect();
    let plain = boxed(5.0, 4.0);
    let with = vec![
        p(0.0, 0.0),
        p(1.4, 0.0),
        p(3.3, 0.0),
        p(5.0, 0.0),
        p(5.0, 2.7),
        p(5.0, 4.0),
        p(2.2, 4.0),
        p(0.0, 4.0),
        p(0.0, 1.3),
    ];
    for words in [
        "20 mm in 4 m",
        "20 mm in 2 m, midpoint",
        "20 mm in 4 m radius",
    ] {
        let of = |outline: &[Point]| judged(&survey(&readings, outline, vec![], None), words);
        let (a, b) = (of(&plain), of(&with));
        assert_eq!(
            a.verdict(),
            b.verdict(),
            "{words}: {} / {}",
            a.reason,
            b.reason
        );
        assert!(
            (a.judged.judged_m2 - b.judged.judged_m2).abs() < 1e-9,
            "{words}"
        );
        assert_eq!(a.verdict(), Verdict::Within, "{words}: {}", a.reason);
    }
}

// ORACLE: property: how much of a room is read closely enough is a matter of where its marks stand, not of what was read there.
#[test]
fn heights_beside_a_joint_do_not_decide_what_is_read_closely_enough() {
    let mut shares = Vec::new();
    for (rough_m, step_m) in [(0.0, 0.0), (0.0001, 0.0), (0.0001, 0.0004), (0.002, -0.01)] {
        for seed in 1..4 {
            let mut s = Stream::new(seed);
            let readings: Vec<(Point, f64)> = (0..120)
                .map(|k| {
                    let at = p(
                        0.25 + 0.5 * f64::from(k % 12),
                        0.25 + 0.5 * f64::from(k / 12),
                    );
                    let z = rough_m * s.normal() + if at.x > 2.6 { step_m } else { 0.0 };
                    (at, z)
                })
                .collect();
            let floor = Floor::build(&survey(&readings, &boxed(6.0, 5.0), vec![], Some(2.6)));
            let cover = coverage(&floor.unwrap().floor, Ground::Surveyed, 2.0).judged;
            shares.push((cover.judged_m2, cover.aside_m2));
        }
    }
    for pair in shares.windows(2) {
        assert!((pair[0].0 - pair[1].0).abs() < 1e-9, "{shares:?}");
        assert!((pair[0].1 - pair[1].1).abs() < 1e-9, "{shares:?}");
    }
}

// ORACLE: property: how much of a room is read is a matter of where its marks and its columns stand, not of what was read there.
#[test]
fn heights_beside_a_void_do_not_decide_what_is_read() {
    let mut s = Stream::new(9);
    let mut wrong = Vec::new();
    for case in 0..240 {
        // A turned box somewhere among marks half a metre apart, with a corner cut off or two.
        let (w, h) = (0.1 + 1.3 * s.unit(), 0.1 + 1.3 * s.unit());
        let turn = if case % 3 == 0 {
            0.0
        } else {
            std::f64::consts::PI * s.unit()
        };
        let middle = p(1.2 + 2.0 * s.unit(), 1.2 + 2.0 * s.unit());
        let (sin, cos) = turn.sin_cos();
        let corner = |u: f64, v: f64| {
            middle
                + p(
                    u * w / 2.0 * cos - v * h / 2.0 * sin,
                    u * w / 2.0 * sin + v * h / 2.0 * cos,
                )
        };
        let mut corners = vec![
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ];
        if case % 4 == 1 {
            corners.remove(2);
        }
        // Every other one of those along the walls has its faces on rows of marks or half-way between.
        let on_marks = |u: f64| {
            if case % 6 == 0 {
                (u * 4.0).round() / 4.0
            } else {
                u
            }
        };
        let corners = corners.iter().map(|c| p(on_marks(c.x), on_marks(c.y)));
        let void = Ring::new(corners.collect());
        if void.area() < 0.01 {
            continue;
        }
        let of = |rough_m: f64, seed: u64| {
            let mut s = Stream::new(seed);
            let readings: Vec<(Point, f64)> = (0..100)
                .map(|k| {
                    p(
                        0.25 + 0.5 * f64::from(k % 10),
                        0.25 + 0.5 * f64::from(k / 10),
                    )
                })
                .filter(|at| !void.contains(*at))
                .map(|at| (at, rough_m * s.normal()))
                .collect();
            let floor = Floor::build(&survey(
                &readings,
                &boxed(5.0, 5.0),
                vec![void.clone()],
                None,
            ));
            let areas = floor.unwrap().floor.areas();
            (areas.surveyed_m2, areas.extended_m2)
        };
        let flat = of(0.0, 1);
        for seed in 1..5 {
            let rough = of(0.002, seed);
            if (rough.0 - flat.0).abs() > 1e-9 || (rough.1 - flat.1).abs() > 1e-9 {
                wrong.push((case, flat, rough));
                break;
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of 240: {:?}",
        wrong.len(),
        &wrong[..wrong.len().min(5)]
    );
}

// ORACLE: by hand: a joint through a row of readings has floor read on both sides right up to it. What lies beyond the last
// readings at its ends was carried out to the walls, and no edge is laid there.
#[test]
fn where_a_joint_meets_a_wall_floor_is_carried_out_to_the_wall() {
    let readings: Vec<(Point, f64)> = (0..81)
        .map(|k| {
            let at = p(0.25 + 0.5 * f64::from(k % 9), 0.25 + 0.5 * f64::from(k / 9));
            (at, if at == p(2.25, 3.75) { 0.02 } else { 0.0 })
        })
        .collect();
    let of = |joint: Option<f64>| {
        let floor = Floor::build(&survey(&readings, &boxed(4.5, 4.5), vec![], joint));
        coverage(&floor.unwrap().floor, Ground::Surveyed, 2.0).judged
    };
    let (without, with) = (of(None), of(Some(2.25)));
    assert!(with.carried_m2.abs() < 1e-12, "{with:?}");
    assert!(
        (with.judged_m2 - without.judged_m2).abs() < 1e-9,
        "{with:?} {without:?}"
    );
    // What such readings cannot show is told.
    let told = |joint: f64| {
        let floor = Floor::build(&survey(&readings, &boxed(4.5, 4.5), vec![], Some(joint)));
        let notices = floor.unwrap().notices;
        let found = notices.iter().find(|n| n.code == "readings-on-joints");
        found.map(|n| n.text.clone())
    };
    assert!(
        told(2.25)
            .unwrap()
            .contains("P4 and 8 more readings stand on joints")
    );
    assert_eq!(told(2.5), None);
    // Halfway between rows the band to the joint is carried, and its last quarter metre at either end is not.
    let between = of(Some(2.5));
    assert!((between.carried_m2 - 0.5 * 4.0).abs() < 1e-9, "{between:?}");
}

// ORACLE: property: a joint that runs askew cuts the corners of squares; which halves are read floor is a matter of places alone.
#[test]
fn heights_beside_a_joint_that_runs_askew_do_not_decide_either() {
    let mut covers = Vec::new();
    for (rough_m, seed) in [(0.0, 1), (0.0001, 1), (0.0001, 2), (0.003, 3)] {
        let mut s = Stream::new(seed);
        let readings: Vec<(Point, f64)> = (0..120)
            .map(|k| {
                let at = p(
                    0.25 + 0.5 * f64::from(k % 12),
                    0.25 + 0.5 * f64::from(k / 12),
                );
                (at, rough_m * s.normal())
            })
            .collect();
        let mut room = survey(&readings, &boxed(6.0, 5.0), vec![], Some(0.0));
        room.room.as_mut().unwrap().joints[0].line = vec![p(0.85, 0.0), p(5.85, 5.0)];
        let floor = Floor::build(&room).unwrap().floor;
        covers.push((
            floor.areas().surveyed_m2,
            coverage(&floor, Ground::Surveyed, 2.0).judged,
        ));
    }
    for pair in covers.windows(2) {
        assert!((pair[0].0 - pair[1].0).abs() < 1e-9, "{covers:?}");
        assert!(
            (pair[0].1.judged_m2 - pair[1].1.judged_m2).abs() < 1e-9,
            "{covers:?}"
        );
    }
}

// ORACLE: closed form: level plates beside joints that meet in one point are carried out level, however they stand to each other.
#[test]
fn level_plates_stay_level_beside_joints_that_meet() {
    let plate = |at: Point| {
        let (dx, dy) = (at.x - 3.1, at.y - 2.6);
        if dy < 0.0 && dx < -dy * 0.2 {
            0.0
        } else if dy < 0.0 {
            0.004
        } else {
            -0.006
        }
    };
    let readings: Vec<(Point, f64)> = (0..120)
        .map(|k| {
            let at = p(
                0.25 + 0.5 * f64::from(k % 12),
                0.25 + 0.5 * f64::from(k / 12),
            );
            (at, plate(at))
        })
        .collect();
    let mut room = survey(&readings, &boxed(6.0, 5.0), vec![], Some(0.0));
    let joint = |name: &str, line: Vec<Point>| Joint {
        name: name.into(),
        line,
        movement: false,
    };
    room.room.as_mut().unwrap().joints = vec![
        joint("across", vec![p(0.0, 2.6), p(3.1, 2.6), p(6.0, 2.6)]),
        joint("down", vec![p(3.1, 2.6), p(3.1 + 0.2 * 2.6, 0.0)]),
    ];
    let floor = Floor::build(&room).unwrap().floor;
    for v in floor.vertices() {
        let near = [0.0, 0.004, -0.006].iter().any(|z| (v.z - z).abs() < 1e-9);
        assert!(near, "{v:?}");
    }
}

// ORACLE: property, as above: feet of readings on an askew joint stand on one circle with them now and then, and a grid whose places
// were written to a few millimetres has near-squares; which way they fold decides nothing about how closely the floor is read.
#[test]
fn folds_beside_joints_and_of_near_squares_do_not_decide_what_is_read_closely_enough() {
    let mut shake = Stream::new(11);
    let near_square: Vec<Point> = (0..72)
        .map(|k| {
            let off = |s: &mut Stream| (s.unit() - 0.5) * 0.013;
            p(
                0.5 * f64::from(k % 8) + off(&mut shake),
                0.5 * f64::from(k / 8) + off(&mut shake),
            )
        })
        .collect();
    let square: Vec<Point> = (0..72)
        .map(|k| p(0.5 * f64::from(k % 8), 0.5 * f64::from(k / 8)))
        .collect();
    for (places, joint) in [
        (&square, Some([p(0.0, 0.907), p(2.215, 4.0)])),
        (&square, Some([p(0.4, 0.0), p(3.5, 3.3)])),
        (&near_square, None),
    ] {
        let mut judged = Vec::new();
        for seed in 1..9 {
            let mut s = Stream::new(seed);
            let readings: Vec<(Point, f64)> =
                places.iter().map(|&at| (at, 0.0001 * s.normal())).collect();
            let mut room = survey(&readings, &boxed(3.5, 4.0), vec![], joint.map(|_| 0.0));
            if let (Some(line), Some(room)) = (joint, room.room.as_mut()) {
                room.joints[0].line = line.to_vec();
            }
            let floor = Floor::build(&room).unwrap().floor;
            judged.push(coverage(&floor, Ground::Surveyed, 2.0).judged.judged_m2);
        }
        let (least, most) = judged
            .iter()
            .fold((f64::INFINITY, 0.0f64), |(l, m), &v| (l.min(v), m.max(v)));
        // TOLERANCE: slivers of a few square centimetres beside an askew joint, a ten-thousandth of the room.
        assert!(most - least < 0.002, "{judged:?}");
    }
}

/// A floor on joists: readings every 0.2 m across them, rows 0.6 m apart; `low` lies under the middle of every joist bay.
fn joists(sag_m: f64, suspects: &[u32]) -> PartResult {
    let marks: Vec<(Point, f64)> = (0..48)
        .map(|k| {
            let (i, j) = (k % 12, k / 12);
            let z = if i % 2 == 1 { -sag_m } else { 0.0 };
            (p(0.2 * f64::from(i), 0.6 * f64::from(j)), z)
        })
        .collect();
    let survey = survey(&marks, &boxed(2.2, 1.8), vec![], None);
    let floor = Floor::build(&survey).unwrap().floor;
    let options = JudgeOptions {
        doubt: ReadingDoubt {
            step_m: 1e-3,
            repeatability_m: 5e-4,
            ..ReadingDoubt::default()
        },
        suspects: suspects
            .iter()
            .map(|&reading| birdbath::flatness::Suspect {
                reading,
                name: format!("P{reading}"),
            })
            .collect(),
        ..JudgeOptions::default()
    };
    let rule = check::parse("6 mm in 0.8 m, resting").unwrap();
    judge(&floor, &[rule], &options, &|_| ())[0].parts[0].clone()
}

// ORACLE: hand. Under an edge of 0.4 m on two joists the floor lies 11 mm lower, where 6 mm are allowed: three readings show it, though
// their rows stand too far apart to judge the part. Readings that are suspected prove nothing, and 5 mm are not over.
#[test]
fn three_readings_in_a_row_prove_a_floor_out() {
    let out = joists(0.011, &[]);
    assert_eq!(out.verdict(), Verdict::Out, "{}", out.reason);
    let found = out.measured().unwrap();
    assert!((found.gap_m - 0.011).abs() < 1e-9, "{found:?}");
    let worst = found.worst.unwrap();
    assert!(
        worst.from.distance(worst.to) < 0.8 + 1e-6 && worst.from.y == worst.to.y,
        "{worst:?}"
    );
    assert!(
        out.judged.judged_m2 < 0.5 * out.judged.room_m2,
        "{:?}",
        out.judged
    );
    assert_eq!(joists(0.005, &[]).verdict(), Verdict::NotTested);
    let all: Vec<u32> = (0..48).collect();
    assert_eq!(joists(0.011, &all).verdict(), Verdict::NotTested);
}

// ORACLE: the same room. The inner corner of an L midway between its marks lies on the line from one of them to another: whether it parts
//         the floor beyond is no matter of a tenth of a millimetre, which is what rounding of a place to a unit makes of it.
#[test]
fn rounding_of_a_corner_on_a_line_between_marks_decides_nothing() {
    const STEP: f64 = 0.5;
    let mut noise = Stream::new(77);
    for (columns, rows) in [(11, 7), (9, 9), (12, 6)] {
        for (cut_x, cut_y) in [(8, 5), (4, 3), (6, 2)] {
            let (w, h) = (f64::from(columns) * STEP, f64::from(rows) * STEP);
            let (x, y) = (f64::from(cut_x) * STEP, f64::from(cut_y) * STEP);
            let readings: Vec<(Point, f64)> = (0..columns * rows)
                .map(|k| {
                    let at = |n: i32| 0.25 + f64::from(n) * STEP;
                    (p(at(k % columns), at(k / columns)), 0.003 * noise.normal())
                })
                .filter(|(at, _)| at.x < x || at.y < y)
                .collect();
            let areas = |dx: f64, dy: f64| {
                let corners = [
                    p(0.0, 0.0),
                    p(w, 0.0),
                    p(w, y + dy),
                    p(x + dx, y + dy),
                    p(x + dx, h),
                    p(0.0, h),
                ];
                let floor = Floor::build(&survey(&readings, &corners, vec![], None))
                    .unwrap()
                    .floor;
                let volume: f64 = (0..floor.triangles().len() as u32)
                    .map(|t| {
                        let z: f64 = floor.corners(t).iter().map(|c| c.z).sum();
                        floor.triangle_area(t) * z / 3.0
                    })
                    .sum();
                (floor.areas().surveyed_m2, volume)
            };
            let (read, volume) = areas(0.0, 0.0);
            for _ in 0..12 {
                let [dx, dy] = [(); 2].map(|()| 2e-4 * (2.0 * noise.unit() - 1.0));
                let (r, v) = areas(dx, dy);
                // TOLERANCE: 0.2 mm along the walls of the corner.
                assert!(
                    (r - read).abs() < 2e-3,
                    "{columns} {cut_x} {dx} {dy}: {r} {read}"
                );
                assert!(
                    (v - volume).abs() < 2e-5,
                    "{columns} {cut_x} {dx} {dy}: {v} {volume}"
                );
            }
        }
    }
}
