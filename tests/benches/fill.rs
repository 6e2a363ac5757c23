//! Time of volume, stage curve, tilted plane and pour plan, on a room and on a hall.
//!
//! Figures to beat: a pour plan of the room under 0.2 s and of the hall under 2 s.

#[path = "../suite/floors.rs"]
#[allow(dead_code, reason = "the suite's floors; only some are used here")]
mod floors;

use birdbath::fill::{BANDS_METRIC_M, Material, PlaneRule, Stage, compute, least_fill};
use birdbath::geometry::Point;
use birdbath::pour::{PourRequest, plan};
use birdbath::surface::Floor;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// `n` by `m` readings over a floor a few millimetres uneven, with a void in the larger one.
fn floor(n: usize, m: usize, width_m: f64, depth_m: f64) -> Floor {
    let height = |p: Point| {
        0.003 * (0.7 * p.x).sin() * (0.5 * p.y).cos() + 0.001 * (37.1 * p.x + 91.7 * p.y).sin()
    };
    let void = |i: usize, j: usize| (40..50).contains(&i) && (40..50).contains(&j);
    floors::cells(
        &floors::even(width_m, n - 1),
        &floors::even(depth_m, m - 1),
        |i, j| !void(i, j),
        false,
        height,
    )
}

fn benches(c: &mut Criterion) {
    let material = Material::from_toml(
        "yield_per_bag = \"0.35 cu ft\"\nbags_per_batch = 2\nmixing_time = \"2.5 min\"\n\
         open_time = \"14 min\"\nwater = [\"4 qt\", \"7.5 qt\"]\n",
    )
    .expect("a sheet written here");
    for (name, floor) in [
        ("room, 273 readings", floor(21, 13, 12.192, 7.315)),
        ("hall, 10,201 readings", floor(101, 101, 30.0, 30.0)),
    ] {
        let high = floors::top(&floor);
        let rule = PlaneRule::OverHighPoint { gauge_m: 0.003 };
        let fill = compute(&floor, high, &rule, &BANDS_METRIC_M);
        let stage = Stage::new(&floor, high);
        let request = PourRequest {
            material: material.clone(),
            exit: Some(Point::default()),
            ..PourRequest::default()
        };
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        group.bench_function("volume and bands", |b| {
            b.iter(|| black_box(compute(&floor, high, &rule, &BANDS_METRIC_M)));
        });
        group.bench_function("level for a volume", |b| {
            b.iter(|| black_box(stage.level_for_volume(0.5 * fill.volume_m3)));
        });
        group.bench_function("least-fill plane", |b| {
            b.iter(|| black_box(least_fill(&floor)));
        });
        group.bench_function("pour plan", |b| {
            b.iter(|| black_box(plan(&floor, &fill.plane, &request)));
        });
        group.finish();
    }
}

criterion_group!(all, benches);
criterion_main!(all);
