//! Property: what is poured and what is left are each one piece, on rooms of any shape.

use super::piece::{Layer, Piece};
use super::pieces;
use super::split::split;
use crate::fill::Plane;
use crate::geometry::{Point, Region, Ring};
use crate::surface::{Floor, Source, Vertex};
use proptest::prelude::*;
use std::collections::HashMap;

/// Pieces that hang together by a common stretch of side, counted. Kept apart from the code under
/// test: it knows only the corners.
fn parts(pieces: &[&Piece]) -> usize {
    let mut root: Vec<usize> = (0..pieces.len()).collect();
    fn find(root: &mut [usize], mut i: usize) -> usize {
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    let key = |p: Point| (p.x.to_bits(), p.y.to_bits());
    let mut sides = HashMap::new();
    for (i, piece) in pieces.iter().enumerate() {
        let n = piece.corners.len();
        for k in 0..n {
            let (a, b) = (piece.corners[k].at, piece.corners[(k + 1) % n].at);
            sides.insert((key(a), key(b)), i);
        }
    }
    for (&(a, b), &i) in &sides {
        if let Some(&j) = sides.get(&(b, a)) {
            let (i, j) = (find(&mut root, i), find(&mut root, j));
            root[i] = j;
        }
    }
    (0..pieces.len()).filter(|&i| root[i] == i).count()
}

/// A room of unit cells with those of `gone` left out; only the part that hangs together with the
/// first kept cell. Heights and inner corners are moved about.
fn room(nx: usize, ny: usize, gone: &[bool], shake: &[f64]) -> Option<Floor> {
    let kept = |i: usize, j: usize| !gone[j * nx + i];
    let first = (0..nx * ny).find(|&c| !gone[c])?;
    let mut reached = vec![false; nx * ny];
    reached[first] = true;
    let mut queue = vec![first];
    while let Some(c) = queue.pop() {
        let (i, j) = (c % nx, c / nx);
        let mut go = |i: usize, j: usize| {
            if i < nx && j < ny && kept(i, j) && !reached[j * nx + i] {
                reached[j * nx + i] = true;
                queue.push(j * nx + i);
            }
        };
        go(i + 1, j);
        go(i, j + 1);
        go(i.wrapping_sub(1), j);
        go(i, j.wrapping_sub(1));
    }
    let (mut vertices, mut triangles) = (Vec::new(), Vec::new());
    for j in 0..=ny {
        for i in 0..=nx {
            let s = |k: usize| shake[((j * (nx + 1) + i) * 3 + k) % shake.len()];
            vertices.push(Vertex {
                at: Point::new(i as f64 + 0.25 * s(0), j as f64 + 0.25 * s(1)),
                z: -0.01 - 0.005 * s(2),
                source: Source::Reading(vertices.len() as u32),
            });
        }
    }
    let id = |i: usize, j: usize| (j * (nx + 1) + i) as u32;
    for j in 0..ny {
        for i in 0..nx {
            if reached[j * nx + i] {
                let (a, b, c, d) = (id(i, j), id(i + 1, j), id(i + 1, j + 1), id(i, j + 1));
                triangles.extend([[a, b, c], [a, c, d]]);
            }
        }
    }
    let corner = |x: usize, y: usize| Point::new(x as f64, y as f64);
    let region = Region {
        outline: Ring::new(vec![
            corner(0, 0),
            corner(nx, 0),
            corner(nx, ny),
            corner(0, ny),
        ]),
        voids: Vec::new(),
    };
    Floor::from_parts(vertices, triangles, region).ok()
}

fn check(floor: &Floor, start: Point, exit: Point, batches: usize) -> Result<(), TestCaseError> {
    let layer = Layer {
        top: Plane::level(0.0),
        most_m: f64::INFINITY,
    };
    let sections = pieces::sections(floor, &layer, false, exit);
    prop_assert_eq!(sections.len(), 1);
    let ordered = pieces::harmonic(
        floor,
        &layer,
        &sections,
        false,
        (pieces::Begin::At(start), exit),
    )
    .concat();
    let whole: f64 = ordered.iter().map(Piece::volume).sum();
    let cut = split(ordered, &vec![1.0; batches]);
    for k in 0..=batches {
        let poured: Vec<&Piece> = cut[..k].iter().flatten().collect();
        let left: Vec<&Piece> = cut[k..].iter().flatten().collect();
        prop_assert!(
            parts(&poured) <= 1,
            "after batch {}: poured in {} parts",
            k,
            parts(&poured)
        );
        prop_assert!(
            parts(&left) <= 1,
            "after batch {}: left in {} parts",
            k,
            parts(&left)
        );
    }
    for (k, part) in cut.iter().enumerate() {
        let volume: f64 = part.iter().map(Piece::volume).sum();
        let fair = whole / batches as f64;
        prop_assert!(
            (volume - fair).abs() < 1e-9 * whole,
            "batch {}: {} of {}",
            k,
            volume,
            fair
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    // ORACLE: property. COVERS: every poured set and every remaining set is connected; batches
    // hold equal volumes.
    #[test]
    fn poured_and_left_are_each_one_piece(
        nx in 2usize..12, ny in 2usize..12,
        gone in prop::collection::vec(prop::bool::weighted(0.22), 144),
        shake in prop::collection::vec(-1.0f64..1.0, 507),
        start in (0.0f64..12.0, 0.0f64..12.0),
        exit in (0.0f64..12.0, 0.0f64..12.0),
        batches in 2usize..30,
    ) {
        if let Some(floor) = room(nx, ny, &gone, &shake) {
            check(&floor, Point::new(start.0, start.1), Point::new(exit.0, exit.1), batches)?;
        }
    }
}

// A dead end 40 widths long: the potential's steps there are far below what a double holds.
#[test]
fn a_long_dead_end_is_still_poured_in_one_piece() {
    let (nx, ny) = (6, 42);
    let gone: Vec<bool> = (0..nx * ny).map(|c| c / nx >= 2 && c % nx != 3).collect();
    let shake: Vec<f64> = (0..501)
        .map(|i| ((i * 37 % 101) as f64 / 50.0) - 1.0)
        .collect();
    let floor = room(nx, ny, &gone, &shake).unwrap();
    check(&floor, Point::new(0.0, 0.0), Point::new(6.0, 1.0), 25).unwrap();
}

// The same on floors as a survey gives them: a U-shaped room with a column and a joint, readings
// that stop short of the walls and are shaken off their grid, heights carried to walls and joint.
#[test]
fn a_surveyed_room_is_poured_in_one_piece() {
    use crate::survey::{Elevation, Joint, NamedRing, Reading, Room, Survey};
    let ring =
        |list: &[(f64, f64)]| Ring::new(list.iter().map(|&(x, y)| Point::new(x, y)).collect());
    let outline = ring(&[
        (0.0, 0.0),
        (9.0, 0.0),
        (9.0, 7.0),
        (6.0, 7.0),
        (6.0, 2.5),
        (3.0, 2.5),
        (3.0, 7.0),
        (0.0, 7.0),
    ]);
    let mut readings = Vec::new();
    for i in 0..18 {
        for j in 0..14 {
            let shake = |k: usize| ((i * 53 + j * 31 + k * 17) % 23) as f64 / 23.0 - 0.5;
            let at = Point::new(
                0.25 + 0.5 * i as f64 + 0.2 * shake(1),
                0.25 + 0.5 * j as f64 + 0.2 * shake(2),
            );
            let z = -0.01 + 0.006 * shake(3);
            readings.push(Reading::new(format!("P{i}-{j}"), at, Elevation::from_m(z)));
        }
    }
    let room = Room {
        outline,
        voids: vec![NamedRing {
            name: "column".into(),
            ring: ring(&[(1.2, 4.0), (1.8, 4.0), (1.8, 4.6), (1.2, 4.6)]),
        }],
        slopes: vec![],
        joints: vec![Joint {
            name: "saw cut".into(),
            line: vec![Point::new(4.6, 0.0), Point::new(4.6, 2.5)],
            movement: false,
        }],
        doors: vec![],
        fixtures: vec![],
        walls: vec![],
    };
    let survey = Survey {
        name: "room".into(),
        readings,
        room: Some(room),
        resolution_m: None,
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    };
    let floor = Floor::build(&survey).unwrap().floor;
    let high = pieces::highest_place(&floor, None).unwrap();
    for (start, exit) in [
        (high, Point::new(8.9, 6.9)),
        (Point::new(0.5, 6.5), Point::new(4.5, 0.0)),
        (Point::new(4.5, 1.0), Point::new(0.5, 6.9)),
    ] {
        check(&floor, start, exit, 23).unwrap();
    }
}
