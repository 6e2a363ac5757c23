//! Invented rooms with smooth, closed-form floors.

use birdbath::geometry::{Point, Region, Ring};
use birdbath::surface::{Floor, Source, Vertex};
use birdbath::survey::{
    Door, Elevation, Fixture, Joint, NamedRing, RawReading, Reading, Room, Survey, Wall,
};

/// A reading with a grid name at a place.
pub fn reading(label: &str, at: Point, z_m: f64) -> Reading {
    Reading {
        label: label.into(),
        at,
        elevation: Elevation::from_m(z_m),
        raw: RawReading::default(),
        set_up: 0,
        note: None,
    }
}

/// Height of a floor with a crown, a hollow and a fall, metres.
pub fn height(p: Point) -> f64 {
    let bump =
        |cx: f64, cy: f64, r: f64| (-((p.x - cx).powi(2) + (p.y - cy).powi(2)) / (r * r)).exp();
    0.012 * bump(2.2, 1.6, 1.8) - 0.016 * bump(6.6, 2.2, 1.7) - 0.0012 * p.x + 0.0006 * p.y
}

/// An L-shaped room `w` by `h` with its upper right quarter missing, readings at `step` a foot off the
/// walls, a column, a door in the bottom wall, a drain, a joint.
pub fn ell(w: f64, h: f64, step: f64) -> Survey {
    let (nx, ny) = (w * 0.55, h * 0.6);
    let outline = [(0.0, 0.0), (w, 0.0), (w, ny), (nx, ny), (nx, h), (0.0, h)];
    let outline = Ring::new(outline.map(|(x, y)| Point::new(x, y)).to_vec());
    let square = |x: f64, y: f64, s: f64| {
        Ring::new(vec![
            Point::new(x, y),
            Point::new(x + s, y),
            Point::new(x + s, y + s),
            Point::new(x, y + s),
        ])
    };
    let column = square(w * 0.6, h * 0.3, 0.4);
    let mut readings = Vec::new();
    let mut i = 0;
    loop {
        let x = 0.3 + step * f64::from(i);
        if x > w - 0.1 {
            break;
        }
        let mut j = 0;
        loop {
            let p = Point::new(x, 0.3 + step * f64::from(j));
            j += 1;
            if p.y > h - 0.1 {
                break;
            }
            if outline.contains(p) && !column.contains(p) {
                let letters = birdbath::survey::column_letters(i as u32 + 1);
                readings.push(reading(&format!("{letters}{j}"), p, height(p)));
            }
        }
        i += 1;
    }
    let room = Room {
        outline,
        voids: vec![NamedRing {
            name: "column".into(),
            ring: column,
        }],
        slopes: vec![],
        joints: vec![Joint {
            name: "joint 1".into(),
            line: vec![Point::new(nx, 0.0), Point::new(nx, ny)],
            movement: false,
        }],
        doors: vec![Door {
            name: "Door to hall".into(),
            at: Point::new(w * 0.25, 0.0),
            width_m: 0.9,
            under_cut_m: None,
            adjoining_m: None,
            read_in: None,
        }],
        fixtures: vec![Fixture {
            name: "drain".into(),
            at: Point::new(w * 0.8, h * 0.2),
            limit_m: None,
            read_in: None,
            drain: true,
        }],
        walls: vec![
            Wall {
                name: "south wall".into(),
                at: Point::new(w / 2.0, 0.0),
            },
            Wall {
                name: "west wall".into(),
                at: Point::new(0.0, h / 2.0),
            },
            Wall {
                name: "north wall".into(),
                at: Point::new(nx / 2.0, h),
            },
            Wall {
                name: "east wall".into(),
                at: Point::new(w, ny / 2.0),
            },
        ],
    };
    Survey {
        name: "meal room".into(),
        readings,
        room: Some(room),
        resolution_m: None,
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    }
}

/// Highest and lowest readings.
pub fn extremes(survey: &Survey) -> (Vec<Point>, Vec<Point>) {
    let z = |r: &&Reading| r.elevation.m();
    let pick = |best: Option<&Reading>| best.map(|r| r.at).into_iter().collect();
    (
        pick(survey.readings.iter().max_by(|a, b| z(a).total_cmp(&z(b)))),
        pick(survey.readings.iter().min_by(|a, b| z(a).total_cmp(&z(b)))),
    )
}

/// A floor of `nx` by `ny` squares of `step`, every corner read, its height given by `z`; with the
/// readings it is made of, named like a spreadsheet.
pub fn mesh(nx: u32, ny: u32, step: f64, z: impl Fn(Point) -> f64) -> (Floor, Vec<Reading>) {
    let (mut vertices, mut readings) = (Vec::new(), Vec::new());
    for j in 0..=ny {
        for i in 0..=nx {
            let at = Point::new(f64::from(i) * step, f64::from(j) * step);
            let source = Source::Reading(readings.len() as u32);
            vertices.push(Vertex {
                at,
                z: z(at),
                source,
            });
            let label = format!("{}{}", birdbath::survey::column_letters(i + 1), j + 1);
            readings.push(reading(&label, at, z(at)));
        }
    }
    let mut triangles = Vec::new();
    for j in 0..ny {
        for i in 0..nx {
            let a = j * (nx + 1) + i;
            let (b, c, d) = (a + 1, a + nx + 2, a + nx + 1);
            triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    let (w, h) = (f64::from(nx) * step, f64::from(ny) * step);
    let outline = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
    let region = Region {
        outline: Ring::new(outline.map(|(x, y)| Point::new(x, y)).to_vec()),
        voids: vec![],
    };
    let floor = Floor::from_parts(vertices, triangles, region).unwrap();
    (floor, readings)
}
