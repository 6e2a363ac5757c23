//! Time to read files: a room, a hall as a matrix, a scan of a million points, and the checks beside it.

use birdbath::import::{ImportOptions, Source, read};
use birdbath::survey::findings::findings;
use birdbath::units::{LengthUnit, parse_length};
use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use std::fmt::Write;
use std::hint::black_box;

/// A square scan as `x,y,z` in metres, heights to a tenth of a millimetre.
fn scan(side: u32) -> String {
    let mut text = String::from("x_m,y_m,z_m\n");
    for i in 0..side * side {
        let (x, y) = (f64::from(i % side) * 0.05, f64::from(i / side) * 0.05);
        let z = 0.004 * (x * 0.7).sin() * (y * 0.4).cos();
        let _ = writeln!(text, "{x:.3},{y:.3},{z:.4}");
    }
    text
}

/// A matrix in feet and sixteenths of an inch.
fn matrix(side: u32) -> String {
    let mut text = String::from("ft / in");
    for x in 0..side {
        let _ = write!(text, ",{}", x * 5);
    }
    for y in 0..side {
        let _ = write!(text, "\n{}", y * 5);
        for x in 0..side {
            let _ = write!(text, ",38 {}/16", 1 + 2 * ((x * 3 + y * 5) % 8));
        }
    }
    text
}

fn import(c: &mut Criterion) {
    let mut group = c.benchmark_group("import");
    let room = include_bytes!("../../fixtures/demo/readings.csv");
    let hall = matrix(101);
    let million = scan(1000);
    for (name, bytes) in [
        ("room, 202 readings, list", room.as_slice()),
        (
            "hall, 10,201 readings, matrix of fractions",
            hall.as_bytes(),
        ),
        ("scan, 1,000,000 points", million.as_bytes()),
    ] {
        group.throughput(Throughput::Bytes(bytes.len() as u64));
        group.sample_size(10);
        group.bench_function(name, |b| {
            b.iter(|| {
                read(
                    &Source {
                        name: "bench.csv",
                        bytes: black_box(bytes),
                    },
                    &ImportOptions::default(),
                )
            });
        });
    }
    group.finish();
}

fn parts(c: &mut Criterion) {
    let hall = matrix(101);
    let source = Source {
        name: "bench.csv",
        bytes: hall.as_bytes(),
    };
    if let Ok(imported) = read(&source, &ImportOptions::default()) {
        let readings = &imported.surveys[0].readings;
        c.bench_function("slips and steps among 10,201 readings", |b| {
            b.iter_batched(
                || readings.clone(),
                |r| findings(&r, None, Some(LengthUnit::Inch), &[]),
                BatchSize::LargeInput,
            );
        });
    }
    c.bench_function("one length, 4'-7 1/4\"", |b| {
        b.iter(|| parse_length(black_box("4'-7 1/4\""), LengthUnit::Inch));
    });
}

criterion_group!(benches, import, parts);
criterion_main!(benches);
