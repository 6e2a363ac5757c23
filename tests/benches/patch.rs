//! How long a patch plan takes, certified after: a floor of 1,000 sq ft read at every foot.

use birdbath::flatness::{Departure, Joints, Lengths};
use birdbath::geometry::Point;
use birdbath::patch::{PatchLimit, PatchRequest, plan};
use birdbath::surface::Floor;
use birdbath::survey::{Elevation, Reading, Survey};
use birdbath::units::{FOOT_M, INCH_M};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// 40 by 25 ft at 1 ft: slow waves, two hollows and noise, to the sixteenth of an inch.
fn floor() -> Option<Floor> {
    let sixteenth = INCH_M / 16.0;
    let readings = (0..41 * 26u32)
        .map(|k| {
            let at = Point::new(f64::from(k % 41), f64::from(k / 41)) * FOOT_M;
            let noise = ((f64::from(k) * 12.9898).sin() * 43758.547).fract();
            let hollow = |x: f64, y: f64, deep: f64, wide: f64| {
                -deep * (-((at.x - x).powi(2) + (at.y - y).powi(2)) / (wide * wide)).exp()
            };
            let z = 0.004 * (at.x * 0.7).sin() * (at.y * 0.5).cos()
                + 0.003 * (at.x * 0.3 + at.y * 0.9).sin()
                + hollow(3.0, 4.0, 0.008, 1.2)
                + hollow(9.0, 2.5, 0.010, 1.8)
                + 0.0005 * noise;
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

fn limit(departure: Departure, span_ft: f64, allowance_in: f64) -> PatchLimit {
    PatchLimit {
        departure,
        span_m: span_ft * FOOT_M,
        lengths: Lengths::UpTo,
        allowance_m: allowance_in * INCH_M,
        joints: Joints::Cross,
    }
}

fn patch(c: &mut Criterion) {
    let Some(floor) = floor() else { return };
    let mut group = c.benchmark_group("patch");
    group.sample_size(10);
    let cases = [
        (
            "1/8 in in 10 ft and 1/16 in in 2 ft",
            vec![
                limit(Departure::Dip, 10.0, 0.125),
                limit(Departure::Dip, 2.0, 0.0625),
            ],
            0.0,
        ),
        (
            "3/16 in in 10 ft, dips and humps, grinding to 1/8 in",
            vec![
                limit(Departure::Dip, 10.0, 0.1875),
                limit(Departure::Hump, 10.0, 0.1875),
            ],
            0.125,
        ),
    ];
    for (name, limits, grind_in) in cases {
        let request = PatchRequest {
            limits,
            max_grind_m: grind_in * INCH_M,
            ..PatchRequest::default()
        };
        match plan(&floor, &request, &|_| ()) {
            Ok(found) => println!(
                "{name}: {} patches, {:.1} l laid, {:.1} l ground, {} rounds, {} chords",
                found.patches.len(),
                found.fill_volume_m3 * 1000.0,
                found.grind_volume_m3 * 1000.0,
                found.rounds,
                found.chords
            ),
            Err(why) => println!("{name}: {why}"),
        }
        group.bench_function(name, |b| {
            b.iter(|| black_box(plan(black_box(&floor), &request, &|_| ())));
        });
    }
    group.finish();
}

criterion_group!(benches, patch);
criterion_main!(benches);
