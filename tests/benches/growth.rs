//! How the certified straight edge's time grows with readings and with span: a table on the terminal, and
//! the picture of docs/performance.md. `cargo bench --locked --bench growth` (about two minutes on 2 cores).

use birdbath::drawing::{self, Anchor, Dash, Ink, PaperPoint, Rect, Role, Scene, Text};
use birdbath::flatness::edge::search;
use birdbath::flatness::{Departure, SearchOptions};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::survey::{Elevation, Reading, Survey};
use std::error::Error;
use std::time::Instant;

/// A grid of `nx` by `ny` readings: slow waves and up to 1 mm of noise, read to `read_m`.
fn floor(nx: u32, ny: u32, step_m: f64, read_m: f64) -> Result<Floor, Box<dyn Error>> {
    let readings = (0..nx * ny)
        .map(|k| {
            let at = Point::new(f64::from(k % nx), f64::from(k / nx)) * step_m;
            let noise = ((f64::from(k) * 12.9898).sin() * 43758.547).fract();
            let z = 0.004 * (at.x * 0.7).sin() * (at.y * 0.5).cos()
                + 0.003 * (at.x * 0.3 + at.y * 0.9).sin()
                + 0.001 * noise;
            Reading::new("", at, Elevation::from_m((z / read_m).round() * read_m))
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
    Ok(Floor::build(&survey)?.floor)
}

/// Seconds of processor time this process has used, where the system tells.
fn processor_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    let fields: Vec<&str> = text.rsplit(')').next()?.split_whitespace().collect();
    let ticks = |i: usize| fields.get(i)?.parse::<f64>().ok();
    Some((ticks(11)? + ticks(12)?) / 100.0)
}

/// Most memory this process has held, megabytes, where the system tells.
fn memory_mb() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find(|l| l.starts_with("VmHWM"))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

/// Dip and hump together: seconds of processor time (both cores together), which other work on the
/// machine does not blur; seconds on the clock where the system tells no other.
fn measure(name: &str, floor: &Floor, readings: u32, span_m: f64, tolerance_m: f64) -> f64 {
    let options = SearchOptions {
        tolerance_m,
        ..SearchOptions::default()
    };
    // Short searches are repeated until they can be timed.
    let (start, before) = (Instant::now(), processor_s());
    let mut rounds = 0u32;
    let mut complete = true;
    while rounds == 0 || (start.elapsed().as_secs_f64() < 0.3 && rounds < 200) {
        for departure in [Departure::Dip, Departure::Hump] {
            complete &= search(floor, departure, span_m, &options, &|_| ()).complete;
        }
        rounds += 1;
    }
    let wall = start.elapsed().as_secs_f64() / f64::from(rounds);
    let processor = before
        .zip(processor_s())
        .map_or(f64::NAN, |(a, b)| (b - a) / f64::from(rounds));
    println!(
        "| {name} | {readings} | {span_m:.2} | {:.1} | {wall:.3} | {processor:.3} | {:.0} | {} |",
        tolerance_m * 1000.0,
        memory_mb().unwrap_or(f64::NAN),
        if complete { "yes" } else { "no" }
    );
    if processor > 0.0 { processor } else { wall }
}

/// A series of points on one panel.
struct Series {
    name: &'static str,
    dash: Dash,
    points: Vec<(f64, f64)>,
}

const CAP: f64 = 2.2;

/// One panel with both axes in powers of ten.
fn panel(scene: &mut Scene, area: Rect, across: &str, series: &[Series]) {
    let all = || series.iter().flat_map(|s| s.points.iter());
    let bounds = |of: fn(&(f64, f64)) -> f64| {
        let (lo, hi) = all().fold((f64::MAX, f64::MIN), |(a, b), p| {
            (a.min(of(p).log10()), b.max(of(p).log10()))
        });
        (lo.floor(), hi.ceil())
    };
    let ((x0, x1), (y0, y1)) = (bounds(|p| p.0), bounds(|p| p.1));
    let at = |x: f64, y: f64| {
        PaperPoint::new(
            area.left + (x.log10() - x0) / (x1 - x0) * area.width(),
            area.bottom - (y.log10() - y0) / (y1 - y0) * area.height(),
        )
    };
    let power = |v: f64| {
        let value = 10f64.powf(v);
        if v >= 0.0 {
            format!("{value:.0}")
        } else {
            format!("{value:.*}", (-v) as usize)
        }
    };
    for i in 0..=(x1 - x0) as i32 {
        let v = x0 + f64::from(i);
        let foot = at(10f64.powf(v), 10f64.powf(y0));
        scene.segment(foot, PaperPoint::new(foot.x, area.top), 0.1, Ink::PALE);
        let text = Text::new(foot.shifted(0.0, CAP + 2.4), power(v), CAP, Role::Axis);
        scene.text(text.anchored(Anchor::Middle));
    }
    for i in 0..=(y1 - y0) as i32 {
        let v = y0 + f64::from(i);
        let foot = at(10f64.powf(x0), 10f64.powf(v));
        scene.segment(foot, PaperPoint::new(area.right, foot.y), 0.1, Ink::PALE);
        let text = Text::new(foot.shifted(-1.2, CAP / 2.0), power(v), CAP, Role::Axis);
        scene.text(text.anchored(Anchor::End));
    }
    scene.frame(area, 0.25, Ink::BLACK);
    let middle = PaperPoint::new(
        (area.left + area.right) / 2.0,
        area.bottom + 3.0 * CAP + 2.4,
    );
    scene.text(Text::new(middle, across, CAP, Role::Axis).anchored(Anchor::Middle));
    let head = PaperPoint::new(area.left - 6.0, area.top - 2.4);
    scene.text(Text::new(
        head,
        "processor seconds, dip and hump together",
        CAP,
        Role::Axis,
    ));
    for (i, s) in series.iter().enumerate() {
        let line: Vec<PaperPoint> = s.points.iter().map(|p| at(p.0, p.1)).collect();
        for p in &line {
            scene.disc(*p, 0.8, Ink::BLACK);
        }
        scene.line(line, 0.5, Ink::BLACK, s.dash);
        let row = area.bottom + 3.0 * CAP + 7.0 + 4.0 * i as f64;
        let key = PaperPoint::new(area.left, row - CAP / 2.0);
        scene.line(vec![key, key.shifted(10.0, 0.0)], 0.5, Ink::BLACK, s.dash);
        let name = PaperPoint::new(area.left + 12.0, row);
        scene.text(Text::new(name, s.name, CAP, Role::Note));
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    println!(
        "| floor | readings | span, m | to, mm | clock, s | processor, s | memory, MB | complete |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    let sixteenth = 0.0254 / 16.0;
    let mut coarse = Vec::new();
    let mut hall_spans = Vec::new();
    let grid = "tape grid, 0.61 m";
    for n in [11, 21, 41, 101, 201, 401] {
        let f = floor(n, n, 0.6096, sixteenth)?;
        coarse.push((f64::from(n * n), measure(grid, &f, n * n, 3.048, 1e-4)));
        if n == 101 {
            for span in [1.2, 2.0, 3.048, 6.0, 12.0, 24.0, 48.0] {
                hall_spans.push((span, measure(grid, &f, n * n, span, 1e-4)));
            }
        }
    }
    let mut dense = Vec::new();
    let mut scan_spans = Vec::new();
    let scan = "scan, 50 mm";
    for n in [100, 200, 400, 1000] {
        let f = floor(n, n, 0.05, 1e-4)?;
        dense.push((f64::from(n * n), measure(scan, &f, n * n, 3.048, 4e-4)));
        if n == 400 {
            for span in [1.0, 2.0, 3.048, 6.0, 12.0] {
                scan_spans.push((span, measure(scan, &f, n * n, span, 4e-4)));
            }
        }
    }
    let mut scene = Scene::new("", 190.0, 95.0);
    let area = |left: f64| {
        Rect::new(
            PaperPoint::new(left, 8.0),
            PaperPoint::new(left + 72.0, 68.0),
        )
    };
    let series = |name, dash, points| Series { name, dash, points };
    let broken = Dash::Broken(2.4, 1.2);
    panel(
        &mut scene,
        area(16.0),
        "readings (span 10 ft)",
        &[
            series("grid every 0.61 m, to 0.1 mm", Dash::Solid, coarse),
            series("scan every 50 mm, to 0.4 mm", broken, dense),
        ],
    );
    panel(
        &mut scene,
        area(110.0),
        "length of the edge, m",
        &[
            series("10,201 readings, grid, to 0.1 mm", Dash::Solid, hall_spans),
            series("160,000 readings, scan, to 0.4 mm", broken, scan_spans),
        ],
    );
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/images/edge-time.png");
    std::fs::write(path, drawing::png(&scene, 130.0)?)?;
    println!("wrote docs/images/edge-time.png");
    Ok(())
}
