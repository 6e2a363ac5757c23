//! How long the certified straight edge takes: a room and a hall, one span; the span curve.

use birdbath::flatness::edge::search;
use birdbath::flatness::{Departure, SearchOptions, curve_spans, span_curve};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::survey::{Elevation, Reading, Survey};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// A grid of `nx` by `ny` readings: slow waves and a little noise, to the sixteenth of an inch.
fn floor(nx: u32, ny: u32, step_m: f64) -> Option<Floor> {
    let sixteenth = 0.0254 / 16.0;
    let readings = (0..nx * ny)
        .map(|k| {
            let at = Point::new(f64::from(k % nx), f64::from(k / nx)) * step_m;
            let noise = ((f64::from(k) * 12.9898).sin() * 43758.547).fract();
            let z = 0.004 * (at.x * 0.7).sin() * (at.y * 0.5).cos()
                + 0.003 * (at.x * 0.3 + at.y * 0.9).sin()
                + 0.001 * noise;
            let z = (z / sixteenth).round() * sixteenth;
            Reading::new("", at, Elevation::from_m(z))
        })
        .collect();
    let survey = Survey {
        name: String::new(),
        readings,
        room: None,
        resolution_m: None,
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    };
    Floor::build(&survey).ok().map(|b| b.floor)
}

fn flatness(c: &mut Criterion) {
    let mut group = c.benchmark_group("flatness");
    group.sample_size(10);
    let options = SearchOptions::default();
    for (name, nx, ny, step_m) in [("room", 21, 13, 1.524), ("hall", 101, 101, 0.6096)] {
        let Some(floor) = floor(nx, ny, step_m) else {
            continue;
        };
        group.bench_function(format!("{name}, dip and hump at 10 ft"), |b| {
            b.iter(|| {
                for departure in [Departure::Dip, Departure::Hump] {
                    let floor = black_box(&floor);
                    black_box(search(floor, departure, 3.048, &options, &|_| ()));
                }
            });
        });
        if name == "room" {
            let spans = curve_spans(&floor, 20);
            group.bench_function("room, curve of 20 spans", |b| {
                b.iter(|| black_box(span_curve(black_box(&floor), &spans, &options, &|_| ())));
            });
        }
    }
    group.finish();
}

criterion_group!(benches, flatness);
criterion_main!(benches);
