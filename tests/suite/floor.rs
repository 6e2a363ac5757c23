//! The floor as a surface: areas that add up, walls that cut, heights that do not depend on how a
//! sheet happens to be turned or sorted.

use crate::support::profile::slow_profile;
use birdbath::geometry::{Lean, Point, Ray, Ring, Triangles, Walk};
use birdbath::surface::{Across, Beyond, Built, Cover, Floor, FloorError, ReadingUse, Source};
use birdbath::survey::{Door, Elevation, Joint, NamedRing, Reading, Room, Survey};
use proptest::prelude::*;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn ring(list: &[(f64, f64)]) -> Ring {
    Ring::new(list.iter().map(|&(x, y)| p(x, y)).collect())
}

fn boxed(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
    ring(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
}

fn room(outline: Ring) -> Room {
    Room {
        outline,
        voids: vec![],
        slopes: vec![],
        joints: vec![],
        doors: vec![Door {
            name: "door".into(),
            at: p(0.0, 0.0),
            width_m: 0.8,
            under_cut_m: None,
            adjoining_m: None,
            read_in: None,
        }],
        fixtures: vec![],
        walls: vec![],
    }
}

fn survey(points: &[(f64, f64, f64)], room: Option<Room>) -> Survey {
    Survey {
        name: "room".into(),
        readings: points
            .iter()
            .enumerate()
            .map(|(i, &(x, y, z))| Reading::new(format!("P{i}"), p(x, y), Elevation::from_m(z)))
            .collect(),
        room,
        resolution_m: Some(0.001),
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    }
}

/// A grid of `nx` by `ny` readings from `(x0, y0)` at `step`.
fn grid(
    x0: f64,
    y0: f64,
    nx: i32,
    ny: i32,
    step: f64,
    z: impl Fn(f64, f64) -> f64,
) -> Vec<(f64, f64, f64)> {
    (0..nx)
        .flat_map(|i| (0..ny).map(move |j| (i, j)))
        .map(|(i, j)| (x0 + f64::from(i) * step, y0 + f64::from(j) * step))
        .map(|(x, y)| (x, y, z(x, y)))
        .collect()
}

fn wavy(x: f64, y: f64) -> f64 {
    0.01 * (1.3 * x).sin() + 0.008 * (0.9 * y + 0.4 * x).cos()
}

/// Every promise a floor makes about its own build.
fn check(floor: &Floor) {
    let areas = floor.areas();
    let sum = areas.surveyed_m2 + areas.extended_m2 + areas.unsurveyed_m2;
    // Walls bend by up to a millimetre to pass through readings that lie on them.
    let slack = 1e-9
        + 1.1e-3
            * floor
                .region()
                .sides()
                .map(|(a, b)| a.distance(b))
                .sum::<f64>();
    assert!(
        (sum - areas.region_m2).abs() <= slack,
        "{sum} m² of triangles for a region of {} m²",
        areas.region_m2
    );
    for t in 0..floor.triangles().len() as u32 {
        assert!(floor.triangle_area(t) > 0.0);
        for e in 0..3 {
            let [a, b] = [e, (e + 1) % 3].map(|k| floor.triangles()[t as usize][k]);
            match floor.across(t, e) {
                Across::Edge => {}
                Across::Blank(k) => {
                    let blank = floor.blanks()[k as usize];
                    assert!(blank.across.contains(&Beyond::Floor(t)));
                }
                Across::Floor(u) => {
                    let back = (0..3).find(|&f| {
                        floor.across(u, f) == Across::Floor(t)
                            && floor.triangles()[u as usize][f] == b
                    });
                    assert!(back.is_some_and(|f| floor.triangles()[u as usize][(f + 1) % 3] == a));
                }
                Across::Joint(u) => {
                    assert!((0..3).any(|f| floor.across(u, f) == Across::Joint(t)));
                }
            }
        }
        // What lies between readings leans on no height that was carried out.
        let carried = floor
            .corners(t)
            .iter()
            .any(|v| v.source == Source::Extended);
        assert!(!(carried && floor.cover(t) == Cover::Surveyed));
    }
    assert!(floor.vertices().iter().all(|v| v.z.is_finite()));
}

fn built(points: &[(f64, f64, f64)], room: Option<Room>) -> Built {
    let built = Floor::build(&survey(points, room)).expect("a floor");
    check(&built.floor);
    built
}

/// Volume under the floor down to the datum, a sum that any change of the surface shows in.
fn volume(floor: &Floor) -> f64 {
    (0..floor.triangles().len() as u32)
        .map(|t| floor.triangle_area(t) * floor.corners(t).iter().map(|v| v.z).sum::<f64>() / 3.0)
        .sum()
}

#[test]
fn a_tilted_plane_is_carried_to_the_walls_exactly() {
    let tilt = |x: f64, y: f64| 0.3 + 0.011 * x - 0.007 * y;
    let points = grid(0.4, 0.5, 9, 7, 0.5, tilt);
    let floor = built(&points, Some(room(boxed(0.0, 0.0, 4.9, 4.0)))).floor;
    // ORACLE: closed form, the plane itself. TOLERANCE: rounding of metre heights.
    for v in floor.vertices() {
        assert!((v.z - tilt(v.at.x, v.at.y)).abs() < 1e-12, "{v:?}");
    }
    let areas = floor.areas();
    assert!((areas.region_m2 - 19.6).abs() < 1e-9);
    assert!((areas.surveyed_m2 - 12.0).abs() < 1e-9);
    assert!(areas.unsurveyed_m2 == 0.0);
}

#[test]
fn an_l_shaped_room_with_a_column_has_its_own_area() {
    // 6 x 5 m less a 3 x 2 m notch, less a 0.4 m column.
    let l = ring(&[(0., 0.), (6., 0.), (6., 3.), (3., 3.), (3., 5.), (0., 5.)]);
    let mut r = room(l);
    r.voids.push(NamedRing {
        name: "column".into(),
        ring: boxed(1.2, 1.2, 1.6, 1.6),
    });
    let points: Vec<_> = grid(0.25, 0.25, 12, 10, 0.5, wavy)
        .into_iter()
        .filter(|q| !(q.0 > 3.0 && q.1 > 3.0))
        .collect();
    let floor = built(&points, Some(r)).floor;
    // ORACLE: closed form, 30 - 6 - 0.16.
    assert!((floor.areas().region_m2 - 23.84).abs() < 1e-9);
    assert!(floor.areas().unsurveyed_m2 < 1e-9);
    assert!((floor.area() - 23.84).abs() < 1e-6);
    assert!(floor.height_at(p(1.4, 1.4)).is_none());
    assert!(floor.height_at(p(4.5, 4.0)).is_none());
    assert!(floor.height_at(p(0.0, 0.0)).is_some());
    assert!(floor.height_at(p(3.0, 3.0)).is_some());
    // Nothing bridges the notch or the column.
    assert!(slow_profile(&floor, p(2.9, 4.5), p(5.5, 2.5)).is_none());
    assert!(slow_profile(&floor, p(1.0, 1.4), p(2.0, 1.4)).is_none());
    assert!(slow_profile(&floor, p(1.0, 1.0), p(2.0, 1.0)).is_some());
}

#[test]
fn a_slit_joint_lets_the_floor_step_beside_it_and_not_beyond_its_end() {
    // A step of 10 mm at x = 2 for y below 2; a smooth ramp beyond the end of the joint.
    let z = |x: f64, _: f64| if x < 2.0 { 0.0 } else { 0.010 };
    let mut r = room(boxed(0., 0., 4., 4.));
    r.joints.push(Joint {
        name: "saw cut".into(),
        line: vec![p(2.0, 0.0), p(2.0, 2.0)],
        movement: false,
    });
    let points = grid(0.25, 0.25, 8, 8, 0.5, z);
    let floor = built(&points, Some(r)).floor;
    // ORACLE: closed form. Each side carries its own flat height to the joint.
    let profile = slow_profile(&floor, p(1.5, 0.6), p(2.5, 0.6)).expect("on the floor");
    let jump: Vec<_> = profile
        .windows(2)
        .filter(|w| w[0].0 == w[1].0 && (w[1].1 - w[0].1).abs() > 1e-9)
        .map(|w| (w[0].0, w[1].1 - w[0].1))
        .collect();
    assert_eq!(jump.len(), 1);
    assert!(
        (jump[0].0 - 0.5).abs() < 1e-9 && (jump[0].1 - 0.010).abs() < 1e-9,
        "{jump:?}"
    );
    assert!(
        profile
            .iter()
            .all(|q| q.1.abs() < 1e-9 || (q.1 - 0.010).abs() < 1e-9)
    );
    let beyond = slow_profile(&floor, p(1.5, 3.0), p(2.5, 3.0)).expect("on the floor");
    assert!(
        beyond
            .windows(2)
            .all(|w| w[1].0 > w[0].0 || (w[1].1 - w[0].1).abs() < 1e-9)
    );
    // The ramp climbs over one spacing.
    assert!(
        floor
            .height_at(p(2.0, 3.0))
            .is_some_and(|z| (z - 0.005).abs() < 1e-9)
    );
    let joints = (0..floor.triangles().len() as u32)
        .flat_map(|t| (0..3).map(move |e| (t, e)))
        .filter(|&(t, e)| matches!(floor.across(t, e), Across::Joint(_)))
        .map(|(t, e)| {
            let c = floor.corners(t);
            c[e].at.distance(c[(e + 1) % 3].at)
        })
        .sum::<f64>();
    assert!(
        (joints - 2.0 * 2.0).abs() < 1e-9,
        "both sides of a 2 m joint, {joints}"
    );
}

#[test]
fn half_a_room_never_passes_for_a_whole_one() {
    let points = grid(0.25, 0.25, 8, 8, 0.5, wavy);
    let b = built(&points, Some(room(boxed(0., 0., 8., 4.))));
    let areas = b.floor.areas();
    // Readings end at x = 3.75; the last column reaches no wall there, so nothing is carried on.
    assert!(
        areas.unsurveyed_m2 > 16.0 && areas.unsurveyed_m2 < 17.1,
        "{areas:?}"
    );
    assert!(b.floor.height_at(p(6.0, 2.0)).is_none());
    assert!(b.notices.iter().any(|n| n.code == "not-surveyed"));
    // A hole of many spacings in the middle is not bridged either; one blank is.
    let holed: Vec<_> = grid(0.25, 0.25, 16, 16, 0.5, wavy)
        .into_iter()
        .filter(|q| !((2.5..5.5).contains(&q.0) && (2.5..5.5).contains(&q.1)))
        .filter(|q| !(q.0 == 6.75 && q.1 == 6.75))
        .collect();
    let b = built(&holed, Some(room(boxed(0., 0., 8., 8.))));
    assert!(b.floor.height_at(p(4.0, 4.0)).is_none());
    assert!(b.floor.height_at(p(6.75, 6.75)).is_some());
    // ORACLE: hand. The hole between its border readings is 3.5 m square; triangles over its
    // corners, with edges up to 1.25 m, are spanned.
    let gap = b.floor.areas().unsurveyed_m2;
    assert!(gap > 11.0 && gap < 12.25, "{gap}");
}

// ORACLE: hand. A grid of 3 x 2 m at 0.5 m, and marks whose places were typed with a nought too many: the floor between, 30 m of it,
//         was read by nobody.
#[test]
fn a_mistyped_place_adds_no_floor() {
    let honest = grid(0.0, 0.0, 7, 5, 0.5, wavy);
    let area = |points: &[(f64, f64, f64)]| {
        let b = built(points, None);
        let a = b.floor.areas();
        let told: Vec<String> = b
            .notices
            .iter()
            .filter(|n| n.code == "reading-apart")
            .map(|n| n.text.clone())
            .collect();
        (a.surveyed_m2 + a.extended_m2, told)
    };
    let (whole, told) = area(&honest);
    assert!(
        (whole - 6.0).abs() < 1e-9 && told.is_empty(),
        "{whole} {told:?}"
    );
    // One more mark, two of them in two directions, one of the grid's own, and a whole column of them.
    let more = |extra: &[(f64, f64, f64)]| [honest.as_slice(), extra].concat();
    let moved = |is: &dyn Fn(f64, f64) -> bool| -> Vec<(f64, f64, f64)> {
        let far = |&(x, y, z): &(f64, f64, f64)| (if is(x, y) { x * 10.0 } else { x }, y, z);
        honest.iter().map(far).collect()
    };
    for (points, marks) in [
        (more(&[(33.0, 1.2, 0.0)]), 1),
        (more(&[(33.0, 1.2, 0.0), (1.1, -28.0, 0.0)]), 2),
        (moved(&|x, y| x == 3.0 && y == 1.0), 1),
        (moved(&|x, _| x == 3.0), 5),
    ] {
        let (found, told) = area(&points);
        assert!(found < 7.0, "{found} m2 of {marks}");
        assert_eq!(told.len(), 1, "{told:?}");
        let count = match marks {
            1 => "stands".to_owned(),
            2 => "and 1 more reading stand".to_owned(),
            n => format!("and {} more readings stand", n - 1),
        };
        assert!(told[0].contains(&count), "{told:?}");
    }
    // Rows read closely and far apart from each other all say the same and are one floor.
    let rows: Vec<_> = grid(0.0, 0.0, 7, 1, 0.5, wavy)
        .into_iter()
        .flat_map(|(x, _, z)| (0..4).map(move |j| (x, 2.0 * f64::from(j), z)))
        .collect();
    let (found, told) = area(&rows);
    assert!(
        (found - 18.0).abs() < 1e-9 && told.is_empty(),
        "{found} {told:?}"
    );
    // So are a closely read corner and the coarse rest of a room.
    let mixed = more(&grid(4.0, 0.0, 4, 4, 1.0, wavy));
    assert!(area(&mixed).1.is_empty());
}

// ORACLE: hand. One row down a corridor, marks some mm off the line, heights of 0 to 4 mm: what they tell of a fall across is chance, and the
//         floor stands nowhere far from them.
#[test]
fn a_row_a_few_millimetres_off_its_line_tells_no_fall_across() {
    for scatter in [0.002, 0.005, 0.02, 0.05] {
        let row: Vec<_> = (0..16)
            .map(|i| {
                let off = f64::from(i * 7 % 5 - 2) / 2.0 * scatter;
                let height = f64::from(i * 5 % 9) * 0.0005;
                (0.25 + 0.5 * f64::from(i), 0.6 + off, height)
            })
            .collect();
        let b = built(&row, Some(room(boxed(0.0, 0.0, 8.0, 1.2))));
        for v in b.floor.vertices() {
            assert!((-0.004..0.008).contains(&v.z), "{scatter}: {v:?}");
        }
    }
}

#[test]
fn every_reading_is_accounted_for() {
    let mut points = grid(0.5, 0.5, 7, 7, 0.5, |_, _| 0.0);
    let n = points.len();
    points.extend([
        (1.0, 1.0, 0.0),    // agrees
        (1.5, 1.5, 0.004),  // disagrees, higher
        (4.01, 2.0, 0.0),   // 10 mm outside
        (4.5, 2.0, 0.0),    // 0.5 m outside
        (2.2, 2.2, 0.0),    // in the column
        (0.0005, 2.0, 0.0), // on the wall
    ]);
    let mut r = room(boxed(0., 0., 4., 4.));
    r.voids.push(NamedRing {
        name: "column".into(),
        ring: boxed(2.1, 2.1, 2.4, 2.4),
    });
    let b = built(&points, Some(r));
    let at = |x: f64, y: f64| {
        points[..n]
            .iter()
            .position(|q| q.0 == x && q.1 == y)
            .unwrap() as u32
    };
    // The sheet's first of two equal ones stays.
    assert_eq!(
        b.readings[n],
        ReadingUse::SamePlace {
            as_reading: at(1.0, 1.0),
            difference_m: 0.0
        }
    );
    assert_eq!(b.readings[n + 1], ReadingUse::Used);
    assert_eq!(
        b.readings[at(1.5, 1.5) as usize],
        ReadingUse::SamePlace {
            as_reading: n as u32 + 1,
            difference_m: -0.004
        }
    );
    assert!(
        matches!(b.readings[n + 2], ReadingUse::AtWall { moved_m } if (moved_m - 0.01).abs() < 1e-9)
    );
    assert!(
        matches!(b.readings[n + 3], ReadingUse::Outside { distance_m } if (distance_m - 0.5).abs() < 1e-9)
    );
    assert_eq!(b.readings[n + 4], ReadingUse::InVoid { void: 0 });
    assert_eq!(b.readings[n + 5], ReadingUse::Used);
    let codes: Vec<&str> = b.notices.iter().map(|n| n.code.as_str()).collect();
    for code in [
        "reading-repeated",
        "reading-disagrees",
        "reading-at-wall",
        "reading-outside",
        "reading-in-void",
    ] {
        assert_eq!(codes.iter().filter(|c| **c == code).count(), 1, "{code}");
    }
    let outside = b
        .notices
        .iter()
        .find(|n| n.code == "reading-outside")
        .unwrap();
    assert!(
        outside.text.contains("P52")
            && outside.text.contains("0.50 m")
            && outside
                .text
                .contains("counts only where set-ups or days are tied by it"),
        "{}",
        outside.text
    );
    // Each used reading is a vertex with its own height, a mark read again one with the mean of its readings.
    let again = |i: usize| -> Vec<f64> {
        let same = |u: &ReadingUse| matches!(u, ReadingUse::SamePlace { as_reading, .. } if *as_reading as usize == i);
        (0..points.len())
            .filter(|&k| k == i || same(&b.readings[k]))
            .map(|k| points[k].2)
            .collect()
    };
    for (i, u) in b.readings.iter().enumerate().filter(|(_, u)| u.is_used()) {
        let v = b
            .floor
            .vertices()
            .iter()
            .find(|v| v.source == Source::Reading(i as u32));
        let z = again(i).iter().sum::<f64>() / again(i).len() as f64;
        assert!(v.is_some_and(|v| (v.z - z).abs() < 1e-15), "{u:?}");
    }
}

#[test]
fn too_few_or_all_in_one_line_is_said_kindly() {
    let build =
        |points: &[(f64, f64, f64)]| Floor::build(&survey(points, None)).map(|b| b.floor.area());
    for n in 0..3 {
        let few = &[(0., 0., 0.), (1., 0., 0.)][..n.min(2)];
        assert!(
            matches!(build(few), Err(FloorError::TooFewReadings { .. })),
            "{n}"
        );
    }
    let copies = [(0., 0., 0.), (0., 0., 0.1), (1., 0., 0.), (1., 0., 0.)];
    assert!(matches!(
        build(&copies),
        Err(FloorError::TooFewReadings { found: 2, .. } | FloorError::InOneLine { .. })
    ));
    let line: Vec<_> = (0..9)
        .map(|i| (f64::from(i) * 0.3, f64::from(i) * 0.1, 0.0))
        .collect();
    let error = build(&line).unwrap_err();
    assert!(
        matches!(error, FloorError::InOneLine { found: 9, .. }),
        "{error}"
    );
    assert!(error.to_string().contains("one line"));
    assert!(matches!(
        build(&[(0., 0., 0.), (1., f64::NAN, 0.), (0., 1., 0.)]),
        Err(FloorError::NotFinite { .. })
    ));
    // Three readings are a floor.
    assert!((build(&[(0., 0., 0.), (1., 0., 0.), (0., 1., 0.)]).unwrap() - 0.5).abs() < 1e-12);
}

#[test]
fn a_faulty_room_lists_every_fault_by_name() {
    let mut r = room(boxed(0., 0., 4., 4.));
    for (name, ring) in [
        ("island", boxed(5., 5., 6., 6.)),
        ("tub", boxed(3., 3., 5., 3.5)),
    ] {
        r.voids.push(NamedRing {
            name: name.into(),
            ring,
        });
    }
    let error = Floor::build(&survey(&grid(0.5, 0.5, 7, 7, 0.5, wavy), Some(r))).unwrap_err();
    let text = error.to_string();
    assert!(text.contains("island") && text.contains("tub"), "{text}");
}

#[test]
fn the_lower_diagonal_is_taken_and_the_other_one_listed() {
    // One square, one corner up: folded through that corner it would be a ridge, the other way a
    // hollow side. ORACLE: hand.
    let square = [(0., 0., 0.), (1., 0., 0.), (1., 1., 0.01), (0., 1., 0.)];
    let floor = built(&square, None).floor;
    assert!(
        floor
            .height_at(p(0.5, 0.5))
            .is_some_and(|z| z.abs() < 1e-12)
    );
    assert_eq!(floor.ambiguous().len(), 1);
    let c = floor.ambiguous()[0]
        .corners
        .map(|v| floor.vertices()[v as usize].z);
    assert!((c[0] + c[2] - 0.0).abs() < 1e-15 && (c[1] + c[3] - 0.01).abs() < 1e-15);
    // A tilted square has no choice to make.
    let tilted = [(0., 0., 0.), (1., 0., 0.01), (1., 1., 0.03), (0., 1., 0.02)];
    assert!(built(&tilted, None).floor.ambiguous().is_empty());
    // Six corners on one circle: the lower hull, and steps to the upper hull that sum to the volume between.
    let hexagon: Vec<(f64, f64, f64)> = (0..6)
        .map(|k| {
            let (s, c) = (f64::from(k) * std::f64::consts::FRAC_PI_3).sin_cos();
            (c, s, [0.0, 0.01, 0.004, 0.012, 0.0, 0.007][k as usize])
        })
        .collect();
    let floor = built(&hexagon, None).floor;
    let negated: Vec<_> = hexagon.iter().map(|q| (q.0, q.1, -q.2)).collect();
    let upper = -volume(&built(&negated, None).floor);
    let steps: f64 = floor
        .ambiguous()
        .iter()
        .map(|a| {
            let v = a.corners.map(|c| floor.vertices()[c as usize]);
            let tri = |i: usize, j: usize, k: usize| {
                (v[j].at - v[i].at).cross(v[k].at - v[i].at) / 6.0 * (v[i].z + v[j].z + v[k].z)
            };
            tri(0, 1, 3) + tri(1, 2, 3) - tri(0, 1, 2) - tri(0, 2, 3)
        })
        .sum();
    assert!(upper > volume(&floor));
    // TOLERANCE: rounding.
    assert!((volume(&floor) + steps - upper).abs() < 1e-14);
}

#[test]
fn a_shower_that_keeps_its_slope_is_a_floor_of_its_own() {
    let ft = 0.3048;
    let mut points = grid(0., 0., 9, 11, ft, |_, y| -y / 384.0);
    for q in &mut points {
        if q.0 > 5.0 * ft + 1e-6 && q.1 > 5.0 * ft + 1e-6 {
            q.2 -= 0.0381 + (q.1 - 5.0 * ft) / 48.0;
        }
    }
    let mut r = room(boxed(0., 0., 8. * ft, 10. * ft));
    r.slopes.push(NamedRing {
        name: "shower".into(),
        ring: boxed(5. * ft, 5. * ft, 8. * ft, 10. * ft),
    });
    let b = built(&points, Some(r));
    // ORACLE: hand, 80 - 15 sq ft. SOURCE: none; invented room.
    assert!((b.floor.area() / (ft * ft) - 65.0).abs() < 1e-6);
    assert_eq!(b.slopes.len(), 1);
    check(&b.slopes[0].floor);
    assert!((b.slopes[0].floor.area() / (ft * ft) - 15.0).abs() < 1e-6);
    let z = b.slopes[0].floor.height_at(p(6.5 * ft, 8.0 * ft)).unwrap();
    assert!((z - (-8.0 * ft / 384.0 - 0.0381 - 3.0 * ft / 48.0)).abs() < 1e-9);
    // The recess does not pull the dry floor down.
    for y in [5.5, 7.0, 9.5] {
        let z = b.floor.height_at(p(5.0 * ft, y * ft)).unwrap();
        assert!((z + y * ft / 384.0).abs() < 1e-9);
    }
}

fn turned(q: (f64, f64, f64), angle: f64, shift: Point) -> (f64, f64, f64) {
    let (s, c) = angle.sin_cos();
    (
        q.0 * c - q.1 * s + shift.x,
        q.0 * s + q.1 * c + shift.y,
        q.2,
    )
}

fn turned_ring(r: &Ring, angle: f64, shift: Point) -> Ring {
    Ring::new(
        r.points()
            .iter()
            .map(|q| {
                let (x, y, _) = turned((q.x, q.y, 0.0), angle, shift);
                p(x, y)
            })
            .collect(),
    )
}

/// A room of right angles with a notch, up to two voids and a joint, on no lattice; readings on a grid
/// (with blanks) or scattered.
#[derive(Clone)]
struct Case {
    room: Room,
    points: Vec<(f64, f64, f64)>,
}

/// Short enough to paste into a test.
impl std::fmt::Debug for Case {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let line = |l: &[Point]| {
            l.iter()
                .map(|q| format!("({:?}, {:?})", q.x, q.y))
                .collect::<Vec<_>>()
                .join(", ")
        };
        write!(f, "outline [{}]", line(self.room.outline.points()))?;
        for v in &self.room.voids {
            write!(f, "\nvoid [{}]", line(v.ring.points()))?;
        }
        for j in &self.room.joints {
            write!(f, "\njoint [{}]", line(&j.line))?;
        }
        write!(f, "\npoints {:?}", self.points)
    }
}

fn cases() -> impl Strategy<Value = Case> {
    let sizes = (3.0..7.0f64, 3.0..6.0f64, 0.2..0.7f64, 0.2..0.7f64);
    let voids = proptest::collection::vec((0.1..0.4f64, 0.1..0.4f64, 0.05..0.3f64), 0..3);
    let scatter = proptest::collection::vec((0.0..1.0f64, 0.0..1.0f64, -0.01..0.01f64), 12..90);
    (
        sizes,
        voids,
        any::<bool>(),
        any::<bool>(),
        scatter,
        0.3..0.8f64,
    )
        .prop_map(|((w, h, nx, ny), voids, on_grid, joint, scatter, step)| {
            let outline = ring(&[
                (0., 0.),
                (w, 0.),
                (w, h * ny),
                (w * nx, h * ny),
                (w * nx, h),
                (0., h),
            ]);
            let mut r = room(outline);
            for (k, (x, y, size)) in voids.into_iter().enumerate() {
                // Each in its own part of the strip that every such room has.
                let (x, y) = (
                    w * nx * x + 0.02,
                    h * ny * (0.45 * k as f64 + y * 0.5) + 0.02,
                );
                let size = size.min(w * nx * 0.5).min(h * ny * 0.2);
                r.voids.push(NamedRing {
                    name: format!("void {k}"),
                    ring: boxed(x, y, x + size, y + size),
                });
            }
            if joint {
                r.joints.push(Joint {
                    name: "joint".into(),
                    line: vec![
                        p(w * 0.05, h * ny * 0.55),
                        p(w * nx * 0.9, h * ny * 0.7),
                        p(w, h * ny * 0.6),
                    ],
                    movement: false,
                });
            }
            let points = if on_grid {
                let (nx, ny) = ((w / step) as i32 + 1, (h / step) as i32 + 1);
                grid(0.05, 0.05, nx, ny, step, wavy)
                    .into_iter()
                    .zip(scatter.iter().cycle())
                    .filter(|(_, s)| s.0 < 0.9)
                    .map(|(q, s)| (q.0, q.1, q.2 + s.2))
                    .collect()
            } else {
                scatter
                    .into_iter()
                    .map(|(x, y, z)| (x * w, y * h, z))
                    .collect()
            };
            Case { room: r, points }
        })
}

fn try_build(case: &Case) -> Option<Built> {
    match Floor::build(&survey(&case.points, Some(case.room.clone()))) {
        Ok(b) => Some(b),
        Err(FloorError::TooFewReadings { .. } | FloorError::InOneLine { .. }) => None,
        Err(e) => panic!("{e}\nCASE {:?}", case),
    }
}

/// Regular sample places over a room.
fn places(case: &Case) -> Vec<Point> {
    let (w, h) = case
        .room
        .outline
        .points()
        .iter()
        .fold((0f64, 0f64), |m, q| (m.0.max(q.x), m.1.max(q.y)));
    (0..23)
        .flat_map(|i| {
            (0..19).map(move |j| {
                p(
                    w * (f64::from(i) + 0.37) / 23.0,
                    h * (f64::from(j) + 0.41) / 19.0,
                )
            })
        })
        .collect()
}

// ORACLE: hand. Panels of a floor 0 and 10 mm high: at every place of the joint between them two vertices, and without steps both at 5 mm;
//         at the joint's end within the floor the two sides are one.
#[test]
fn places_of_a_joint_are_its_two_sides_and_lose_their_step_together() {
    let mut r = room(boxed(0., 0., 4., 4.));
    r.joints.push(Joint {
        name: "saw cut".into(),
        line: vec![p(2.0, 0.0), p(2.0, 2.0)],
        movement: false,
    });
    let points = grid(
        0.25,
        0.25,
        8,
        8,
        0.5,
        |x, _| if x < 2.0 { 0.0 } else { 0.010 },
    );
    let floor = built(&points, Some(r)).floor.finer();
    let places = floor.joint_places();
    let at = |v: u32| floor.vertices()[v as usize].at;
    assert!(places.len() >= 8, "{places:?}");
    assert!(
        places
            .iter()
            .all(|l| l.len() == 2 && at(l[0]) == at(l[1]) && at(l[0]).x == 2.0)
    );
    assert!(places.iter().all(|l| at(l[0]).y < 2.0 - 1e-9));
    let flat = floor.without_steps(&places).unwrap();
    for (v, (own, was)) in flat.vertices().iter().zip(floor.vertices()).enumerate() {
        let of_joint = places.iter().any(|l| l.contains(&(v as u32)));
        if of_joint && own.at.y < 1.5 {
            assert!((own.z - 0.005).abs() < 1e-9, "{own:?}");
        } else if !of_joint {
            assert_eq!(own.z, was.z);
        }
    }
    assert!(
        built(&points, Some(room(boxed(0., 0., 4., 4.))))
            .floor
            .joint_places()
            .is_empty()
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn areas_add_up_and_walls_are_edges(case in cases()) {
        if let Some(b) = try_build(&case) {
            check(&b.floor);
            // Every side of every wall and void is made of border edges or lies beside unsurveyed floor.
            let floor = &b.floor;
            let mut on_walls = 0.0;
            for (t, e) in floor.border() {
                let c = floor.corners(t);
                let (a, z) = (c[e].at, c[(e + 1) % 3].at);
                let middle = a.lerp(z, 0.5);
                let wall = floor.region().sides().map(|(u, v)| {
                    birdbath::geometry::Segment::new(u, v)
                }).find(|s| s.distance(a) < 2e-3 && s.distance(z) < 2e-3 && s.distance(middle) < 2e-3);
                if wall.is_some() {
                    on_walls += a.distance(z);
                } else {
                    // Otherwise a triangle that was not surveyed lies beyond.
                    let beside = floor.unsurveyed().any(|tri| {
                        (0..3).any(|k| tri[k] == z && tri[(k + 1) % 3] == a)
                    });
                    prop_assert!(beside);
                }
            }
            if floor.areas().unsurveyed_m2 == 0.0 {
                let all: f64 = floor.region().sides().map(|(u, v)| u.distance(v)).sum();
                prop_assert!((on_walls - all).abs() < 1e-2, "{on_walls} of {all}");
            }
            // No triangle reaches across a wall: its middle is inside.
            for t in 0..floor.triangles().len() as u32 {
                let [a, z, c] = floor.corners(t).map(|v| v.at);
                if floor.triangle_area(t) > 1e-3 {
                    prop_assert!(floor.region().contains((a + z + c) * (1.0 / 3.0)));
                }
            }
        }
    }

    #[test]
    fn order_of_rows_changes_nothing(case in cases(), seed in any::<u64>()) {
        let mut mixed = case.clone();
        let mut state = seed | 1;
        for i in (1..mixed.points.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            mixed.points.swap(i, (state >> 33) as usize % (i + 1));
        }
        if let (Some(a), Some(b)) = (try_build(&case), try_build(&mixed)) {
            let strip = |b: &Built| -> Vec<(Point, f64)> { b.floor.vertices().iter().map(|v| (v.at, v.z)).collect() };
            prop_assert_eq!(strip(&a), strip(&b));
            prop_assert_eq!(a.floor.triangles(), b.floor.triangles());
        }
    }

    #[test]
    fn shift_and_turn_change_nothing(case in cases(), angle in 0.0..6.2f64, dx in -200.0..200.0f64, dy in -200.0..200.0f64) {
        let shift = p(dx, dy);
        let mut other = case.clone();
        for q in &mut other.points {
            *q = turned(*q, angle, shift);
        }
        let r = &mut other.room;
        r.outline = turned_ring(&r.outline, angle, shift);
        for v in &mut r.voids {
            v.ring = turned_ring(&v.ring, angle, shift);
        }
        for j in &mut r.joints {
            for q in &mut j.line {
                let (x, y, _) = turned((q.x, q.y, 0.0), angle, shift);
                *q = p(x, y);
            }
        }
        if let (Some(a), Some(b)) = (try_build(&case), try_build(&other)) {
            let (ra, rb) = (a.floor.areas(), b.floor.areas());
            // TOLERANCE: plan positions near 200 m hold 3e-14 m.
            prop_assert!((ra.surveyed_m2 - rb.surveyed_m2).abs() < 1e-9);
            prop_assert!((ra.extended_m2 - rb.extended_m2).abs() < 1e-9);

            for q in places(&case) {
                let (x, y, _) = turned((q.x, q.y, 0.0), angle, shift);
                match (a.floor.height_at(q), b.floor.height_at(p(x, y))) {
                    (Some(za), Some(zb)) => prop_assert!((za - zb).abs() < 1e-8, "{q:?}: {za} {zb}"),
                    (None, None) => {}
                    odd => prop_assert!(false, "{q:?}: {odd:?}"),
                }
            }
        }
    }

    #[test]
    fn a_tilt_comes_out_as_that_tilt(case in cases(), sx in -0.02..0.02f64, sy in -0.02..0.02f64) {
        let mut tilted = case.clone();
        for q in &mut tilted.points {
            q.2 += 1.0 + sx * q.0 + sy * q.1;
        }
        if let (Some(a), Some(b)) = (try_build(&case), try_build(&tilted)) {
            // Readings moved to a wall keep their height, so a tilt may shift them by slope times 25 mm.
            let moved = a.readings.iter().any(|u| matches!(u, ReadingUse::AtWall { .. }));
            let doubled = a.readings.iter().any(|u| matches!(u, ReadingUse::SamePlace { .. }));
            for q in places(&case) {
                if moved || doubled { break; }
                match (a.floor.height_at(q), b.floor.height_at(q)) {
                    (Some(za), Some(zb)) => {
                        let want = za + 1.0 + sx * q.x + sy * q.y;
                        // Readings within 1 mm of a line are set on it: slope times 1 mm, and what extension makes of it.
                        prop_assert!((zb - want).abs() < 2e-4, "{q:?}: {zb} for {want}");
                    }
                    (None, None) => {}
                    odd => prop_assert!(false, "{q:?}: {odd:?}"),
                }
            }
        }
    }

    // ORACLE: the floor itself, looked up place by place, and the number of triangles.
    #[test]
    fn a_walk_meets_the_floor_from_edge_to_edge_until_it_ends(case in cases(), turns in proptest::collection::vec(0.0..6.3f64, 4)) {
        let Some(b) = try_build(&case) else { return Ok(()) };
        let floor = &b.floor;
        let mut fans = vec![Vec::new(); floor.vertices().len()];
        for (t, corners) in floor.triangles().iter().enumerate() {
            for &v in corners {
                fans[v as usize].push(t as u32);
            }
        }
        let near_joint = |at: Point| case.room.joints.iter().any(|j| j.line.windows(2).any(|l| birdbath::geometry::Segment::new(l[0], l[1]).distance(at) < 1e-3));
        for v in (0..floor.vertices().len() as u32).step_by(5) {
            let from = floor.place(v);
            // Any way, and along the edges that leave the vertex and through corners beyond them, where rounding bites.
            let towards = fans[v as usize].iter().flat_map(|&t| floor.corners(t)).map(|c| c.at - from).filter(|d| d.norm() > 1e-3);
            let ways: Vec<Point> = turns.iter().map(|a| p(a.cos(), a.sin())).chain(towards.map(|d| d * (1.0 / d.norm()))).collect();
            for direction in ways {
                let mut ended = Vec::new();
                for lean in [Lean::Left, Lean::Right] {
                    let ray = Ray { from, direction, lean };
                    let Some(mut walk) = Walk::from_vertex(floor, ray, v, &fans[v as usize]) else { continue };
                    let mut last = 0.0;
                    let mut steps = 0;
                    let end = loop {
                        steps += 1;
                        prop_assert!(steps <= floor.triangles().len(), "it goes round: {from:?} {direction:?}");
                        let at = walk.crossing();
                        prop_assert!(at.ahead_m >= last && (0.0..=1.0).contains(&at.share));
                        // Between the edges the line lies on the triangle that the walk names.
                        if at.ahead_m - last > 1e-6 {
                            let middle = from + direction * ((last + at.ahead_m) / 2.0);
                            let shares = floor.shares_on(at.triangle, middle);
                            prop_assert!(near_joint(middle) || shares.iter().all(|s| *s > -1e-6), "{middle:?} {shares:?} {from:?} {direction:?}");
                        }
                        let place = floor.place(at.right).lerp(floor.place(at.left), at.share);
                        prop_assert!(place.distance(from + direction * at.ahead_m) < 1e-7, "{place:?} {from:?} {direction:?}");
                        last = at.ahead_m;
                        let (Across::Floor(next) | Across::Joint(next)) = floor.across(at.triangle, at.edge) else { break at };
                        walk.go_on(next, floor.edge_towards(next, at.triangle).unwrap());
                    };
                    // Beyond its end there is no floor, where it does not end in a corner or at a glancing wall.
                    let (right, left) = (floor.place(end.right), floor.place(end.left));
                    let sine = direction.cross((left - right) * (1.0 / left.distance(right)));
                    let past = from + direction * (last + 1e-5);
                    prop_assert!(end.at_corner || sine < 0.05 || floor.height_at(past).is_none(), "{past:?} {from:?} {direction:?} {lean:?}");
                    ended.push((last, walk.met_a_corner()));
                }
                // A line that meets no corner is one line, however it leans.
                if let [(a, false), (z, false)] = ended[..] {
                    prop_assert!((a - z).abs() < 1e-9);
                }
            }
        }
    }
}

#[test]
fn a_plane_across_a_joint_has_one_peak_and_a_higher_panel_two() {
    // Two panels of 2.5 x 2 m, read 0.25 m off the joint between them.
    let peaks = |z: fn(f64, f64) -> f64| {
        let mut points = grid(0.0, 0.0, 6, 5, 0.5, z);
        points.retain(|q| q.0 < 2.4);
        let beyond = grid(2.75, 0.0, 5, 5, 0.5, z);
        points.extend(beyond);
        let mut r = room(boxed(0., 0., 5., 2.));
        r.joints.push(Joint {
            name: "saw cut".into(),
            line: vec![p(2.5, 0.0), p(2.5, 2.0)],
            movement: false,
        });
        let e = built(&points, Some(r)).floor.extremes(0.0005, 8).unwrap();
        e.peaks
            .iter()
            .map(|k| (k.spot.z_m, k.prominence_m))
            .collect::<Vec<_>>()
    };
    // ORACLE: a plane has one summit, whichever way it tilts; from there it falls to its low corner.
    for z in [
        (|x, y| 0.002 * x + 0.001 * y) as fn(f64, f64) -> f64,
        |x, y| 0.001 * y - 0.002 * x,
        |_, y| 0.003 * y,
    ] {
        assert_eq!(peaks(z).len(), 1);
    }
    // ORACLE: hand. A hump 4 mm high on the left panel; from one of 3 mm on the right one goes down over a step of 1 mm to
    // the level of the left panel before the floor rises higher.
    let two = peaks(|x, y| match (x, y) {
        (1.0, 1.0) => 0.004,
        (3.75, 1.0) => 0.003,
        _ if x > 2.5 => 0.001,
        _ => 0.0,
    });
    assert_eq!(two.len(), 2);
    assert!((two[1].0 - 0.003).abs() < 1e-12 && (two[1].1 - 0.003).abs() < 1e-12);
}

#[test]
fn peaks_come_with_what_parts_them_from_the_floor() {
    // A level floor with two nubs of 5 and 3 mm, and one broad hump of 4 mm.
    let z = |x: f64, y: f64| {
        let nub = |cx: f64, cy: f64, h: f64| {
            if (x - cx).abs() < 0.1 && (y - cy).abs() < 0.1 {
                h
            } else {
                0.0
            }
        };
        let hump = 0.004 * (1.0 - ((x - 3.0).abs() + (y - 3.0).abs()) / 1.5).max(0.0);
        nub(1.0, 1.0, 0.005) + nub(1.0, 4.0, 0.003) + hump
    };
    let floor = built(&grid(0.0, 0.0, 11, 11, 0.5, z), None).floor;
    let e = floor.extremes(0.0005, 8).unwrap();
    assert_eq!(e.high.len(), 1);
    assert_eq!(e.high[0].at, p(1.0, 1.0));
    assert!((e.overall_m - 0.005).abs() < 1e-12);
    assert_eq!(e.low.len(), 121 - 2 - 13);
    // ORACLE: hand. Each stands on level floor, so its prominence is its height.
    let heights: Vec<(f64, f64)> = e
        .peaks
        .iter()
        .map(|k| (k.spot.z_m, k.prominence_m))
        .collect();
    assert_eq!(heights.len(), 3, "{heights:?}");
    for (k, h) in [0.005, 0.004, 0.003].into_iter().enumerate() {
        assert!((heights[k].0 - h).abs() < 1e-12 && (heights[k].1 - h).abs() < 1e-12);
    }
    // A nub stands its whole height above its neighbours; the hump only a step of its slope.
    assert!((e.peaks[0].above_neighbours_m.unwrap() - 0.005).abs() < 1e-9);
    assert!(e.peaks[1].above_neighbours_m.unwrap() < 0.002);
    // ORACLE: hand. A corner that is 1 mm high, with floor that falls away behind its neighbours: the plane through them, carried on,
    // would run under it and make a nub of it on a floor of 3 mm in all. Nothing stands round a corner.
    let edge = |x: f64, y: f64| match (x + y).round() as i32 {
        0 => 0.001,
        1 => 0.0,
        _ => 0.001,
    };
    let e = built(&grid(0.0, 0.0, 3, 3, 1.0, edge), None).floor;
    for peak in &e.extremes(0.0005, 8).unwrap().peaks {
        let inside = peak.spot.at == p(1.0, 1.0);
        assert!(inside || peak.above_neighbours_m.is_none(), "{peak:?}");
    }
    let e = floor.extremes(0.0005, 8).unwrap();
    assert_eq!(e.extended_above, None);
    // A slope carried up to the wall stands above the highest reading.
    let ramp = built(
        &grid(0.5, 0.5, 5, 5, 0.5, |x, _| 0.01 * x),
        Some(room(boxed(0., 0., 3., 3.))),
    )
    .floor;
    let e = ramp.extremes(0.0005, 3).unwrap();
    assert_eq!((e.high.len(), e.low.len(), e.peaks.len()), (5, 5, 1));
    assert!(
        e.extended_above
            .is_some_and(|(at, above)| (at.x - 3.0).abs() < 1e-12 && (above - 0.005).abs() < 1e-12)
    );
}
