//! Our floors, volumes, lines and limits against figures recorded from other code and from print.
//!
//! MADE BY: the scripts of fixtures/outside (ORIGIN.md there gives versions and the command).

use super::surveys::{built, height, room};
use birdbath::fill::{self, Plane, PlaneRule};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use serde::Deserialize;
use std::path::Path;

fn fixture(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fixtures/outside")
        .join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

#[derive(Deserialize)]
struct PlaneFigures {
    name: String,
    z0: f64,
    sx: f64,
    sy: f64,
    volume_m3: f64,
    wet_area_m2: f64,
    above_m3: f64,
}

impl PlaneFigures {
    /// Our figures for the same plane: volume, wet area, volume above.
    fn ours(&self, floor: &Floor) -> [f64; 3] {
        let plane = Plane {
            z0: self.z0,
            sx: self.sx,
            sy: self.sy,
        };
        let high = floor
            .vertices()
            .iter()
            .map(|v| v.z)
            .fold(f64::NEG_INFINITY, f64::max);
        let fill = fill::compute(floor, high, &PlaneRule::Fall { plane }, &[]);
        [fill.volume_m3, fill.wet_area_m2, fill.above_m3]
    }
}

#[derive(Deserialize)]
struct Terrain {
    triangles: usize,
    area_m2: f64,
    least_circle_margin_m: f64,
    least_circle_sine: f64,
    interpolated: Vec<[f64; 3]>,
    planes: Vec<PlaneFigures>,
}

fn terrain() -> (Terrain, Floor) {
    let points: Vec<[f64; 3]> = fixture("terrain_points.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let mut numbers = line.split(',').map(|cell| cell.parse().unwrap());
            [0; 3].map(|_| numbers.next().unwrap())
        })
        .collect();
    let outline = [[0.0, 0.0], [11.5, 0.0], [11.5, 11.5], [0.0, 11.5]];
    let floor = built(&points, Some(room(&outline, &[]))).floor;
    (
        serde_json::from_str(&fixture("terrain.json")).unwrap(),
        floor,
    )
}

fn close(ours: f64, theirs: f64, tolerance: f64, what: &str) {
    assert!(
        (ours - theirs).abs() <= tolerance,
        "{what}: ours {ours}, theirs {theirs}"
    );
}

// ORACLE:    independent code
// SOURCE:    scipy 1.17.1, spatial.Delaunay and interpolate.LinearNDInterpolator
// TOLERANCE: 1e-9 m2 and 1e-9 m: both routes are exact on the same triangles up to rounding
#[test]
fn triangles_area_and_heights_agree_with_scipy() {
    let (recorded, floor) = terrain();
    assert!(
        recorded.least_circle_margin_m > 1e-6 && recorded.least_circle_sine > 0.01,
        "the fixture's triangulation must be unique"
    );
    assert_eq!(floor.triangles().len(), recorded.triangles);
    close(floor.area(), recorded.area_m2, 1e-9, "area");
    for [x, y, z] in recorded.interpolated {
        let ours = height(&floor, Point::new(x, y)).unwrap();
        close(ours, z, 1e-9, &format!("height at {x}, {y}"));
    }
}

// ORACLE:    independent code
// SOURCE:    polygon clipping in fixtures/outside/terrain.py over scipy's triangles
// TOLERANCE: 1e-9: both exact up to rounding
#[test]
fn volumes_under_planes_agree_with_clipping_on_scipy_triangles() {
    let (recorded, floor) = terrain();
    for plane in &recorded.planes {
        let [volume, wet, above] = plane.ours(&floor);
        close(
            volume,
            plane.volume_m3,
            1e-9,
            &format!("{} volume", plane.name),
        );
        close(
            wet,
            plane.wet_area_m2,
            1e-9,
            &format!("{} wet area", plane.name),
        );
        close(
            above,
            plane.above_m3,
            1e-9,
            &format!("{} above", plane.name),
        );
    }
}

#[derive(Deserialize)]
struct RasterFloor {
    points: Vec<[f64; 3]>,
    planes: Vec<PlaneFigures>,
}

#[derive(Deserialize)]
struct Raster {
    cell_m: f64,
    area_m2: f64,
    room: Vec<[f64; 2]>,
    hole: Vec<[f64; 2]>,
    floors: Vec<RasterFloor>,
}

// ORACLE:    independent code
// SOURCE:    sums over 5 mm squares (numpy 2.4.6) of scipy 1.17.1 linear interpolation
// TOLERANCE: the middle of a square stands for the square: along a water line of 30 m the area is off by well
//            under a tenth of 30 m x 5 mm, the volume (where depth starts at nothing) by far less than 1e-5 m3
#[test]
fn volumes_in_an_l_shape_with_a_hole_agree_with_a_raster() {
    let recorded: Raster = serde_json::from_str(&fixture("raster.json")).unwrap();
    assert_eq!(recorded.floors.len(), 4);
    for (i, case) in recorded.floors.iter().enumerate() {
        let floor = built(&case.points, Some(room(&recorded.room, &[&recorded.hole]))).floor;
        close(floor.area(), recorded.area_m2, 1e-9, "area");
        for plane in &case.planes {
            let [volume, wet, above] = plane.ours(&floor);
            let what = format!("floor {i}, {}", plane.name);
            close(volume, plane.volume_m3, 1e-5, &format!("{what} volume"));
            close(
                wet,
                plane.wet_area_m2,
                3.0 * recorded.cell_m,
                &format!("{what} wet area"),
            );
            close(above, plane.above_m3, 1e-5, &format!("{what} above"));
        }
    }
}
