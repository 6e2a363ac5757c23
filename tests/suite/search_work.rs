//! How many sheaves of chords a search tests on floors as crews read them: counted, not timed.

use crate::support::rooms::reading;
use birdbath::flatness::coverage::coverage;
use birdbath::flatness::{Departure, Ground, Joints, SearchOptions, Searcher, check, judge};
use birdbath::geometry::{Point, Ring};
use birdbath::surface::{Floor, Source};
use birdbath::survey::{Joint, NamedRing, Reading, Room, Survey};
use proptest::prelude::*;

/// Most sheaves for one search of a room: a fraction of a second.
const MOST: u64 = 150_000;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn ring(list: &[Point]) -> Ring {
    Ring::new(list.to_vec())
}

fn room(outline: Ring) -> Room {
    Room {
        outline,
        voids: vec![],
        slopes: vec![],
        joints: vec![],
        doors: vec![],
        fixtures: vec![],
        walls: vec![],
    }
}

fn build(readings: Vec<Reading>, room: Option<Room>) -> Option<Floor> {
    let mut survey = Survey::new("", readings).ok()?;
    survey.room = room;
    Floor::build(&survey).ok().map(|b| b.floor)
}

/// Search both ways at a span; the work that took the most.
fn work(floor: &Floor, mask: &[bool], joints: Joints, span_m: f64) -> u64 {
    [Departure::Dip, Departure::Hump]
        .map(|d| {
            let searcher = Searcher::on_part(floor, d, mask, joints);
            let r = searcher.search(span_m, &SearchOptions::default(), &|_| ());
            assert!(r.complete, "{d:?} {span_m} {r:?}");
            searcher.work()
        })
        .into_iter()
        .max()
        .unwrap_or(0)
}

fn whole(floor: &Floor) -> Vec<bool> {
    vec![true; floor.triangles().len()]
}

// ORACLE: hand. One row of readings runs out of a block, turned by 15 degrees and written to the millimetre: across it
//         the readings say nothing, and their rounding must not be taken for a slope.
#[test]
fn one_row_of_readings_is_no_cliff() {
    let (s, c) = 0.26f64.sin_cos();
    let block = (0..36).map(|k| (k % 6, k / 6));
    let arm = (6..12).map(|j| (2, j));
    let readings = block
        .chain(arm)
        .map(|(i, j)| {
            let (x, y) = (f64::from(i) * 0.5, f64::from(j) * 0.5);
            let to_mm = |v: f64| (v * 1e3).round() / 1e3;
            let at = p(to_mm(x * c - y * s), to_mm(x * s + y * c));
            let rise = if j >= 6 { 0.010 } else { 0.0 };
            reading("", at, rise + f64::from((i * 7 + j * 5) % 3) * 0.0005)
        })
        .collect();
    let floor = build(readings, None).expect("a floor");
    for span in [0.3, 0.6, 1.0, 2.0] {
        let work = work(&floor, &whole(&floor), Joints::Cross, span);
        assert!(work < 20_000, "{span}: {work}");
    }
}

// ORACLE: closed form. A level room, and one reading 30 mm low beyond a doorway: a floor that falls away shows no dip.
#[test]
fn a_floor_that_falls_away_shows_no_dip_and_soon() {
    let mut readings: Vec<Reading> = (0..81)
        .map(|k| reading("", p(f64::from(k % 9) * 0.5, f64::from(k / 9) * 0.5), 0.0))
        .collect();
    readings.push(reading("", p(4.5, 2.0), -0.030));
    readings.push(reading("", p(9.0, 2.0), 0.0));
    let corners = [
        p(0.0, 0.0),
        p(4.0, 0.0),
        p(4.0, 1.4),
        p(10.0, 1.4),
        p(10.0, 2.6),
        p(4.0, 2.6),
        p(4.0, 4.0),
        p(0.0, 4.0),
    ];
    let floor = build(readings, Some(room(ring(&corners)))).expect("a floor");
    for span in [0.6, 1.0, 2.0, 3.0] {
        let searcher = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Cross);
        let r = searcher.search(span, &SearchOptions::default(), &|_| ());
        assert!(r.complete && r.gap_m() == 0.0, "{r:?}");
        assert!(searcher.work() < 5_000, "{span}: {}", searcher.work());
    }
}

// ORACLE: closed form. West of a joint a level slab; east of it, farther up, another 100 mm higher; nothing read between.
//         Across the joint an edge of 8 m from the one to the other shows a dip; where no edge may cross it, none does.
#[test]
fn a_joint_stops_an_edge_over_floor_that_nobody_read() {
    let mut readings = Vec::new();
    for k in 0..25 {
        let (x, y) = (f64::from(k % 5) * 0.5, f64::from(k / 5) * 0.5);
        readings.push(reading("", p(x - 2.25, y), 0.0));
        readings.push(reading("", p(x + 0.25, y + 6.0), 0.1));
    }
    let corners = [p(-2.25, 0.0), p(2.25, 0.0), p(2.25, 8.0), p(-2.25, 8.0)];
    let mut room = room(ring(&corners));
    room.joints.push(Joint {
        name: "joint".into(),
        line: vec![p(0.0, -0.1), p(0.0, 8.1)],
        movement: false,
    });
    let floor = build(readings, Some(room)).expect("a floor");
    let gap = |joints| {
        let searcher = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, joints);
        let r = searcher.search(8.0, &SearchOptions::default(), &|_| ());
        assert!(r.complete);
        r.gap_m()
    };
    assert!(gap(Joints::Cross) > 0.02, "{}", gap(Joints::Cross));
    assert!(gap(Joints::Stop) < 1e-6, "{}", gap(Joints::Stop));
}

// ORACLE: hand. A reading that stands alone in a room has no spacing of its own and no strip along the walls; how much
//         is left aside is known all the same.
#[test]
fn a_reading_that_stands_alone_ends_the_strip() {
    let mut readings: Vec<Reading> = (0..16)
        .map(|k| reading("", p(f64::from(k % 4) * 0.9, f64::from(k / 4) * 0.9), 0.0))
        .collect();
    readings.push(reading("", p(11.0, 1.0), 0.0));
    let corners = [p(-0.1, -0.1), p(12.0, -0.1), p(12.0, 2.8), p(-0.1, 2.8)];
    let floor = build(readings, Some(room(ring(&corners)))).expect("a floor");
    let judged = coverage(&floor, Ground::Surveyed, 1.0).judged;
    assert!(judged.aside_m2 > 0.0 && judged.aside_m2 < floor.areas().region_m2);
}

/// A room as crews read it: a grid turned by any angle and written to the millimetre, with places left out, arms of one
/// row, columns, a joint, heights in steps, a slip.
#[derive(Debug, Clone)]
struct Read {
    readings: Vec<(Point, f64)>,
    outline: Option<Vec<Point>>,
    voids: Vec<Vec<Point>>,
    joint: Option<[Point; 2]>,
}

fn as_read() -> impl Strategy<Value = Read> {
    (
        (4..9i32, 4..9i32, 0.0..6.2f64, any::<bool>()),
        prop::collection::vec((0..8i32, 0..8i32, 0..4usize, 2..8i32), 0..3),
        prop::collection::vec(any::<u32>(), 200),
        (0..6u32, any::<bool>(), 0..3usize, 0..4u32),
    )
        .prop_map(
            |((nx, ny, angle, square), arms, noise, (shape, walled, columns, gaps))| {
                let turn = if square { 0.0 } else { angle };
                let (s, c) = turn.sin_cos();
                let place = |x: f64, y: f64| {
                    let to_mm = |v: f64| (v * 1e3).round() / 1e3;
                    p(to_mm(x * c - y * s), to_mm(x * s + y * c))
                };
                let mut at: std::collections::BTreeSet<(i32, i32)> = (0..nx * ny)
                    .map(|k| (k % nx, k / nx))
                    .filter(|&(i, j)| noise[((i * 31 + j * 17) % 200) as usize] % 12 >= gaps)
                    .collect();
                for (i, j, way, length) in arms {
                    let (u, v) = [(1, 0), (0, 1), (-1, 0), (0, -1)][way];
                    at.extend((0..length).map(|k| (i + u * k, j + v * k)));
                }
                let grid = 0.5;
                let middle = f64::from(nx) * grid / 2.0;
                let readings = at
                    .iter()
                    .enumerate()
                    .map(|(k, &(i, j))| {
                        let (x, y) = (f64::from(i) * grid, f64::from(j) * grid);
                        let draw = f64::from(noise[k % 200]) / f64::from(u32::MAX) - 0.5;
                        let z = match shape {
                            0 => draw * 0.020,
                            1 => -(x - middle).abs() * 0.01 + draw * 0.004,
                            2 => {
                                if x > middle {
                                    0.006
                                } else {
                                    0.0
                                }
                            }
                            3 => 0.004 * (3.0 * x).sin() * (2.0 * y).cos(),
                            4 => 0.01 * x - 0.007 * y + if k == 5 { 0.1 } else { 0.0 },
                            _ => 0.002 * draw.signum(),
                        };
                        (place(x, y), (z / 0.0015875).round() * 0.0015875)
                    })
                    .collect();
                let low = |f: fn(&(i32, i32)) -> i32| {
                    f64::from(at.iter().map(f).min().unwrap_or(0)) * grid - 0.1
                };
                let high = |f: fn(&(i32, i32)) -> i32| {
                    f64::from(at.iter().map(f).max().unwrap_or(0)) * grid + 0.1
                };
                let (x0, x1) = (low(|q| q.0), high(|q| q.0));
                let (y0, y1) = (low(|q| q.1), high(|q| q.1));
                let boxed = |x0: f64, y0: f64, x1: f64, y1: f64| {
                    vec![place(x0, y0), place(x1, y0), place(x1, y1), place(x0, y1)]
                };
                let voids = (0..columns)
                    .map(|k| {
                        let share = |n: u32| 0.2 + 0.6 * f64::from(n) / f64::from(u32::MAX);
                        let x = x0 + (x1 - x0) * share(noise[k]);
                        let y = y0 + (y1 - y0) * (share(noise[k + 9]) * 0.4 + 0.5 * k as f64);
                        boxed(x, y, x + 0.3, y + 0.3)
                    })
                    .collect();
                Read {
                    readings,
                    outline: walled.then(|| boxed(x0, y0, x1, y1)),
                    voids: if walled { voids } else { vec![] },
                    joint: (walled && columns == 0).then(|| {
                        [
                            place((x0 + x1) / 2.0, y0 - 0.1),
                            place((x0 + x1) / 2.0, y1 + 0.1),
                        ]
                    }),
                }
            },
        )
}

impl Read {
    fn floor(&self) -> Option<Floor> {
        let readings = self
            .readings
            .iter()
            .map(|&(at, z)| reading("", at, z))
            .collect();
        let room = self.outline.as_ref().map(|o| {
            let mut room = room(ring(o));
            room.voids = self
                .voids
                .iter()
                .map(|v| NamedRing {
                    name: "column".into(),
                    ring: ring(v),
                })
                .collect();
            room.joints = self
                .joint
                .iter()
                .map(|j| Joint {
                    name: "joint".into(),
                    line: j.to_vec(),
                    movement: false,
                })
                .collect();
            room
        });
        build(readings, room)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    // ORACLE: property. Whatever a crew brings home, and with any one reading left out as a slip, a search ends soon.
    #[test]
    fn no_room_takes_long(case in as_read(), left_out in 0..20u32) {
        let Some(floor) = case.floor() else { return Ok(()) };
        let without: Vec<bool> = (0..floor.triangles().len() as u32)
            .map(|t| floor.corners(t).iter().all(|v| v.source != Source::Reading(left_out)))
            .collect();
        for (mask, joints, span) in [
            (whole(&floor), Joints::Cross, 0.6),
            (whole(&floor), Joints::Cross, 2.0),
            (whole(&floor), Joints::Stop, 3.0),
            (without.clone(), Joints::Cross, 0.6),
            (without, Joints::Stop, 2.0),
        ] {
            let work = work(&floor, &mask, joints, span);
            prop_assert!(work < MOST, "{work} at {span}, {joints:?}");
        }
        let checks: Vec<_> = ["subfloor-residential", "tile-small"].iter().filter_map(|n| check::by_name(n)).cloned().collect();
        prop_assert_eq!(judge(&floor, &checks, &Default::default(), &|_| ()).len(), checks.len());
    }
}
