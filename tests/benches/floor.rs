//! How long a floor takes: triangles, walls, heights carried to them; places and profiles on it.

use birdbath::geometry::{Point, Ring};
use birdbath::surface::Floor;
use birdbath::survey::{Elevation, Reading, Room, Survey};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// A square of `n` by `n` readings 0.3 m apart, each shaken by up to `shake` metres; walls half a step out.
fn survey(n: u32, shake: f64, walls: bool) -> Survey {
    let step = 0.3;
    let noise = |k: f64| (k * 12.9898).sin() * 43758.547;
    let readings = (0..n * n)
        .map(|k| {
            let (i, j) = (f64::from(k % n), f64::from(k / n));
            let d = Point::new(
                noise(f64::from(k)).fract(),
                noise(f64::from(k) + 0.5).fract(),
            ) * shake;
            let at = Point::new(i * step, j * step) + d;
            let z = 0.01 * (at.x * 0.7).sin() * (at.y * 0.5).cos();
            Reading::new("", at, Elevation::from_m(z))
        })
        .collect();
    let (lo, hi) = (-step / 2.0, (f64::from(n) - 0.5) * step);
    let corners = [(lo, lo), (hi, lo), (hi, hi), (lo, hi)];
    let room = Room {
        outline: Ring::new(corners.iter().map(|c| Point::new(c.0, c.1)).collect()),
        voids: vec![],
        slopes: vec![],
        joints: vec![],
        doors: vec![],
        fixtures: vec![],
        walls: vec![],
    };
    Survey {
        name: String::new(),
        readings,
        room: walls.then_some(room),
        resolution_m: None,
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    }
}

fn floor(c: &mut Criterion) {
    let mut group = c.benchmark_group("floor");
    group.sample_size(10);
    for (name, n) in [("1k", 32), ("100k", 316), ("1M", 1000)] {
        for (kind, shake, walls) in [
            ("grid", 0.0, true),
            ("scattered", 0.1, true),
            ("hull", 0.1, false),
        ] {
            let survey = survey(n, shake, walls);
            group.bench_function(format!("build {kind} {name}"), |b| {
                b.iter(|| black_box(Floor::build(black_box(&survey)).is_ok()));
            });
        }
    }
    if let Ok(built) = Floor::build(&survey(316, 0.1, true)) {
        let floor = built.floor;
        group.bench_function("height_at 100k", |b| {
            let mut k = 0.0_f64;
            b.iter(|| {
                k += 1.0;
                let p = Point::new((k * 0.618).fract(), (k * 0.414).fract()) * 94.0;
                black_box(floor.height_at(p))
            });
        });
    }
    group.finish();
}

criterion_group!(benches, floor);
criterion_main!(benches);
