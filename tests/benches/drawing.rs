//! Time of a depth map: a room of 273 readings and a scan of a million.

use birdbath::drawing::{
    DEFAULT_DPI, DepthMapInput, MarkUnit, Paper, SheetStyle, Subject, TitleBlock, depth_map, svg,
    svg_to_png,
};
use birdbath::fill::Plane;
use birdbath::geometry::{Point, Region, Ring};
use birdbath::surface::{Floor, Source, Vertex};
use birdbath::survey::{Elevation, RawReading, Reading, column_letters};
use birdbath::units::Habit;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// A floor of `nx` by `ny` readings with waves and, on request, a millimetre of grain.
fn floor(nx: u32, ny: u32, step: f64, grain: bool) -> (Floor, Vec<Reading>) {
    let height = |p: Point, n: u32| {
        let waves = 0.006 * (p.x / 2.1).sin() * (p.y / 1.7).cos();
        let rough = f64::from(n.wrapping_mul(2_654_435_761) >> 16) / 65_536.0 - 0.5;
        waves + if grain { 0.001 * rough } else { 0.0 }
    };
    let (mut vertices, mut readings, mut triangles) = (Vec::new(), Vec::new(), Vec::new());
    for j in 0..ny {
        for i in 0..nx {
            let n = j * nx + i;
            let at = Point::new(f64::from(i) * step, f64::from(j) * step);
            let z = height(at, n);
            vertices.push(Vertex {
                at,
                z,
                source: Source::Reading(n),
            });
            readings.push(Reading {
                label: format!("{}{}", column_letters(i + 1), j + 1).into(),
                at,
                elevation: Elevation::from_m(z),
                raw: RawReading::default(),
                set_up: 0,
                note: None,
            });
            if i + 1 < nx && j + 1 < ny {
                triangles.extend([[n, n + 1, n + nx + 1], [n, n + nx + 1, n + nx]]);
            }
        }
    }
    let (w, h) = (f64::from(nx - 1) * step, f64::from(ny - 1) * step);
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
    let region = Region {
        outline: Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()),
        voids: vec![],
    };
    (
        Floor::from_parts(vertices, triangles, region).unwrap(),
        readings,
    )
}

fn input<'a>(floor: &'a Floor, readings: &'a [Reading]) -> DepthMapInput<'a> {
    DepthMapInput {
        subject: Subject {
            floor,
            room: None,
            readings,
            high: &[],
            low: &[],
        },
        plane: Plane::level(0.012),
        unit: MarkUnit::Sixteenths,
        bands: None,
        style: SheetStyle {
            poster_mm: None,
            upright: false,
            paper: Paper::Letter,
            habit: Habit::Us,
            block: TitleBlock {
                title: "Fill depth".into(),
                ..TitleBlock::default()
            },
        },
    }
}

fn drawings(c: &mut Criterion) {
    let (room, readings) = floor(21, 13, 0.6096, false);
    let input_room = input(&room, &readings);
    let scene = depth_map(&input_room).unwrap();
    let text = svg(&scene).unwrap();
    c.bench_function("depth map, 273 readings: scene", |b| {
        b.iter(|| depth_map(black_box(&input_room)).unwrap());
    });
    c.bench_function("depth map, 273 readings: scene to SVG", |b| {
        b.iter(|| svg(black_box(&scene)).unwrap());
    });
    c.bench_function("depth map, 273 readings: SVG to PNG at 150 dpi", |b| {
        b.iter(|| svg_to_png(black_box(&text), DEFAULT_DPI).unwrap());
    });
    let (hall, _) = floor(101, 101, 0.6096, false);
    for (name, floor) in [("273", &room), ("10,201", &hall)] {
        let heights: Vec<f64> = floor.vertices().iter().map(|v| v.z).collect();
        let (low, high) = heights
            .iter()
            .fold((f64::MAX, f64::MIN), |(l, h), z| (l.min(*z), h.max(*z)));
        let levels: Vec<f64> = (1..10)
            .map(|k| low + (high - low) * f64::from(k) / 10.0)
            .collect();
        c.bench_function(&format!("nine contours, {name} readings"), |b| {
            b.iter(|| birdbath::surface::level_rings(black_box(floor), &heights, &levels));
        });
    }
    let mut slow = c.benchmark_group("scan");
    slow.sample_size(10);
    for grain in [false, true] {
        let (scan, readings) = floor(1000, 1000, 0.05, grain);
        let input_scan = input(&scan, &readings);
        slow.bench_function(
            format!("depth map, 1,000,000 readings, grain {grain}: scene and SVG"),
            |b| {
                b.iter(|| svg(&depth_map(black_box(&input_scan)).unwrap()).unwrap());
            },
        );
        let text = svg(&depth_map(&input_scan).unwrap()).unwrap();
        slow.bench_function(
            format!(
                "depth map, 1,000,000 readings, grain {grain}: PNG, {} kB of SVG",
                text.len() / 1000
            ),
            |b| {
                b.iter(|| svg_to_png(black_box(&text), DEFAULT_DPI).unwrap());
            },
        );
    }
    slow.finish();
}

criterion_group!(benches, drawings);
criterion_main!(benches);
