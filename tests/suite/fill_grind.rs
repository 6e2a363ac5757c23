//! Grind or fill: each row against the floor as ground, by another route than the program's.

use super::floors::{cells, even, top};
use super::support::program::run;
use birdbath::fill::{
    GrindRow, GrindSteps, Material, PlaneRule, Prices, Stage, compute, grind_or_fill, settle_bags,
    whole_bags,
};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use proptest::prelude::*;
use serde_json::Value;

const YIELD_M3: f64 = 0.0005;
const WASTE: f64 = 0.10;

fn rows(stage: &Stage, gauge_m: f64, deepest_m: f64) -> Vec<GrindRow> {
    let material = Material {
        yield_m3: Some(YIELD_M3),
        ..Material::default()
    };
    let steps = GrindSteps {
        step_m: 0.001,
        deepest_m,
        allowed_m: None,
    };
    grind_or_fill(stage, gauge_m, steps, &material, WASTE, None).unwrap()
}

type Corner = [f64; 3];

/// The part of a polygon whose height is at most (`side` 1) or at least (-1) a level.
fn clipped(polygon: &[Corner], level: f64, side: f64) -> Vec<Corner> {
    let over = |c: &Corner| side * (c[2] - level);
    let mut out = Vec::new();
    for i in 0..polygon.len() {
        let (a, b) = (polygon[i], polygon[(i + 1) % polygon.len()]);
        let (da, db) = (over(&a), over(&b));
        if da <= 0.0 {
            out.push(a);
        }
        if (da < 0.0 && db > 0.0) || (da > 0.0 && db < 0.0) {
            let t = da / (da - db);
            out.push([0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * t));
        }
    }
    out
}

/// Plan area of a polygon, and the integral of `height(z)` over it, `height` linear in z.
fn integral(polygon: &[Corner], height: impl Fn(f64) -> f64) -> (f64, f64) {
    let (mut area, mut volume) = (0.0, 0.0);
    for i in 1..polygon.len().saturating_sub(1) {
        let (a, b, c) = (polygon[0], polygon[i], polygon[i + 1]);
        let part = ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2.0;
        area += part;
        volume += part * (height(a[2]) + height(b[2]) + height(c[2])) / 3.0;
    }
    (area, volume)
}

/// Material and its area under a finish on the floor ground down to a level, and what was ground: area and volume.
/// Polygons are cut line by line; no prism formula and no stage curve.
fn on_ground_floor(floor: &Floor, ground: f64, finish: f64) -> [f64; 4] {
    let mut sums = [0.0; 4];
    for t in 0..floor.triangles().len() as u32 {
        let whole = floor.corners(t).map(|v| [v.at.x, v.at.y, v.z]);
        let left = clipped(&whole, ground, 1.0);
        // A triangle that lies at the level all over is left, not ground.
        let gone = if whole.iter().all(|c| c[2] <= ground) {
            Vec::new()
        } else {
            clipped(&whole, ground, -1.0)
        };
        let (wet, material) = integral(&clipped(&left, finish, 1.0), |z| finish - z);
        let (area, away) = integral(&gone, |z| z - ground);
        sums[0] += material;
        sums[1] += wet;
        sums[2] += area;
        sums[3] += away;
        if finish > ground {
            sums[0] += area * (finish - ground);
            sums[1] += area;
        }
    }
    sums
}

/// Each row is the fill of the floor as ground: to the cut where a gauge is kept over it, else to the finish.
fn check(floor: &Floor, high: f64, gauge: f64) {
    let stage = Stage::new(floor, high);
    let rows = rows(&stage, gauge, 0.012);
    assert_eq!(rows.len(), 13);
    let highest = top(floor);
    for (k, row) in rows.iter().enumerate() {
        let lowered = 0.001 * k as f64;
        let finish = high + gauge - lowered;
        let cut = if k == 0 {
            finish
        } else {
            finish.min(high - lowered)
        };
        let [volume, wet, area, away] = on_ground_floor(floor, cut.min(highest), finish);
        let near = |got: f64, expected: f64, what: &str| {
            assert!(
                (got - expected).abs() < 1e-12 + 1e-10 * expected.abs(),
                "gauge {gauge}, row {k}: {what} {got}, expected {expected}"
            );
        };
        near(row.level_m, finish, "level");
        near(row.volume_m3, volume, "volume");
        near(row.grind_volume_m3, away, "ground");
        // Level floor exactly at the finish, or at the cut, is wet or ground by rounding alone.
        let lies_at = |level: f64| {
            (0..floor.triangles().len() as u32).any(|t| {
                let corners = floor.corners(t);
                corners.iter().all(|v| (v.z - level).abs() < 1e-9)
            })
        };
        assert!(
            (row.wet_area_m2 - wet).abs() < 1e-7 || lies_at(finish),
            "{} {wet}",
            row.wet_area_m2
        );
        assert!(
            (row.grind_area_m2 - area).abs() < 1e-7 || lies_at(cut),
            "{} {area}",
            row.grind_area_m2
        );
        assert!(row.volume_m3 >= 0.0 && row.grind_volume_m3 >= 0.0);
        near(
            row.deepest_grind_m,
            (highest - cut).max(0.0),
            "deepest grind",
        );
        let bags = whole_bags(volume * (1.0 + WASTE) / YIELD_M3).unwrap();
        assert!(row.bags.unwrap().abs_diff(bags) <= 1 && (row.bags == Some(bags) || volume > 0.0));
    }
    for pair in rows.windows(2) {
        assert!(pair[1].grind_volume_m3 >= pair[0].grind_volume_m3 - 1e-12);
    }
    // Once floor is ground, lowering further takes less; without a gauge from the first row on.
    let from = usize::from(gauge > 0.0);
    for pair in rows[from..].windows(2) {
        assert!(
            pair[1].volume_m3 <= pair[0].volume_m3 + 1e-12,
            "gauge {gauge}"
        );
    }
    let plain = compute(
        floor,
        high,
        &PlaneRule::OverHighPoint { gauge_m: gauge },
        &[],
    );
    assert!((rows[0].volume_m3 - plain.volume_m3).abs() < 1e-12);
    assert!((rows[0].wet_area_m2 - plain.wet_area_m2).abs() < 1e-9);
    assert!((rows[0].grind_volume_m3 - plain.above_m3).abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    // ORACLE: independent route: every triangle clipped to polygons at the cut and at the finish.
    // TOLERANCE: rounding only, 1e-10 of each figure.
    #[test]
    fn each_row_is_the_fill_of_the_floor_as_ground(
        z in prop::collection::vec(-0.02f64..0.02, 20),
        coarse in prop::bool::ANY,
        fixed in -0.03f64..0.03,
        carried_above in 0.0f64..0.006,
    ) {
        let round = |v: f64| if coarse { (v * 1000.0).round() / 1000.0 } else { v };
        let (xs, ys) = ([0.0, 0.7, 1.1, 2.6, 3.0], [0.0, 0.4, 1.9, 2.2]);
        let floor = cells(&xs, &ys, |_, _| true, false, |p| {
            let i = xs.iter().position(|&x| x == p.x).unwrap();
            let j = ys.iter().position(|&y| y == p.y).unwrap();
            round(z[j * xs.len() + i])
        });
        // Floor carried out to a wall may stand above the high point, which is a reading.
        for high in [top(&floor), top(&floor) - carried_above] {
            for gauge in [0.0, 0.003, 0.0127, -0.002, -0.011] {
                check(&floor, high, gauge);
            }
            // A finish fixed at a level, over or under the high point.
            check(&floor, high, fixed - high);
        }
    }
}

// ORACLE: hand. A floor z = -0.01 x, 3 m by 2 m, finish 10 mm under its high end: 2 * 0.01 * 2^2 / 2 = 0.04 lie under
// it, and the wedge over it goes: 1 m by 2 m, 0.01 high at the wall: 0.01. Lowered by 5 mm: 2 * 0.01 * 1.5^2 / 2.
#[test]
fn a_wedge_is_ground_to_a_finish_under_its_high_point() {
    let floor = cells(
        &even(3.0, 3),
        &even(2.0, 2),
        |_, _| true,
        false,
        |p| -0.01 * p.x,
    );
    let rows = rows(&Stage::new(&floor, 0.0), -0.010, 0.005);
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
    close(rows[0].volume_m3, 0.04);
    close(rows[0].grind_area_m2, 2.0);
    close(rows[0].grind_volume_m3, 0.01);
    close(rows[0].deepest_grind_m, 0.010);
    close(rows[5].volume_m3, 0.0225);
    close(rows[5].grind_area_m2, 3.0);
    close(rows[5].grind_volume_m3, 0.0225);
    close(rows[5].wet_area_m2, 3.0);
    close(rows[5].ground_to_m.unwrap(), -0.015);
}

// ORACLE: closed form. A pyramid of height h on 3 m2 of a floor of 4 m2 (two of the eight triangles about its tip lie flat),
// cut off L under its tip: 3 h / 3 (L / h)^3 goes, and 4 (h - L) less what stays of the pyramid lies under the cut; a
// gauge g over it adds 4 g.
#[test]
fn a_pyramid_loses_its_tip() {
    let (b, h) = (4.0, 0.030);
    let floor = cells(
        &[-1.0, 0.0, 1.0],
        &[-1.0, 0.0, 1.0],
        |_, _| true,
        false,
        |p| {
            if p == Point::default() { h } else { 0.0 }
        },
    );
    let body = 3.0 * h / 3.0;
    for gauge in [0.0, 0.003] {
        let rows = rows(&Stage::new(&floor, h), gauge, 0.012);
        for row in &rows[1..] {
            let share = (row.lowered_m / h).powi(3);
            let tip = body * share;
            let under = b * (h - row.lowered_m) - (body - tip);
            assert!((row.grind_volume_m3 - tip).abs() < 1e-12);
            assert!((row.volume_m3 - (under + b * gauge)).abs() < 1e-12);
        }
    }
}

// ORACLE: hand: the wedge above, priced: grinding 30 a square metre, bags of 12.5 l at 40. The finish needs 10 mm ground
// off; 12 mm are allowed, so rows lowered by 3 mm and more are not to be done, and none of them can cost least.
#[test]
fn what_is_deeper_than_allowed_is_never_the_least() {
    let floor = cells(
        &even(3.0, 3),
        &even(2.0, 2),
        |_, _| true,
        false,
        |p| -0.01 * p.x,
    );
    let material = Material {
        yield_m3: Some(0.0125),
        ..Material::default()
    };
    let prices = Prices {
        per_bag: Some(4000.0),
        per_grind_m2: Some(1.0),
        ..Prices::default()
    };
    let steps = GrindSteps {
        step_m: 0.001,
        deepest_m: 0.012,
        allowed_m: Some(0.012),
    };
    let stage = Stage::new(&floor, 0.0);
    let rows = grind_or_fill(&stage, -0.010, steps, &material, 0.0, Some(&prices)).unwrap();
    let too_deep: Vec<bool> = rows.iter().map(|r| r.deeper_than_allowed).collect();
    assert_eq!(too_deep[..4], [false, false, false, true]);
    assert!(too_deep[3..].iter().all(|d| *d));
    let cheapest = rows.iter().position(|r| r.cheapest).unwrap();
    assert!(cheapest < 3, "{cheapest}");
    let cost = |r: &GrindRow| r.total_cost.unwrap();
    assert!(rows[..3].iter().all(|r| cost(r) >= cost(&rows[cheapest])));
    assert!(
        cost(rows.last().unwrap()) < cost(&rows[cheapest]),
        "the test has no teeth"
    );
}

// ORACLE: property: so many bags come to the finish that the order counts them for, waste off as waste is added on.
#[test]
fn bags_at_hand_are_counted_as_they_are_ordered() {
    let floor = cells(
        &even(3.0, 3),
        &even(2.0, 2),
        |_, _| true,
        false,
        |p| -0.01 * p.x + 0.002 * (3.0 * p.y).sin(),
    );
    let high = top(&floor);
    let stage = Stage::new(&floor, high);
    for gauge in [-0.004, 0.0, 0.003] {
        let fill = compute(
            &floor,
            high,
            &PlaneRule::OverHighPoint { gauge_m: gauge },
            &[],
        );
        for waste in [0.0, 0.05, 0.10, 0.25] {
            let exact = fill.volume_m3 * (1.0 + waste) / YIELD_M3;
            let there = settle_bags(&floor, &stage, (exact, YIELD_M3), waste, Some(gauge));
            assert!((there.point.level_m - fill.plane.z0).abs() < 1e-9);
            assert!((there.given_m3 - fill.volume_m3).abs() < 1e-12);
            assert!(there.short_of_gauge_m3.unwrap().abs() < 1e-12);
            let bought = f64::from(whole_bags(exact).unwrap());
            let whole = settle_bags(&floor, &stage, (bought, YIELD_M3), waste, Some(gauge));
            assert!(whole.point.level_m >= fill.plane.z0 - 1e-12);
            let one_less = settle_bags(&floor, &stage, (bought - 1.0, YIELD_M3), waste, None);
            assert!(one_less.point.level_m < fill.plane.z0);
        }
    }
}

// ORACLE: another route through the program: a finish named at a level of its own, each row's level in turn. C4 of the
// demo room lies under its high point.
#[test]
fn the_demo_ground_to_a_mark() {
    let folder = tempfile::tempdir().unwrap();
    for file in ["job.toml", "readings.csv", "outline.csv", "material.toml"] {
        let from = format!("{}/fixtures/demo/{file}", env!("CARGO_MANIFEST_DIR"));
        std::fs::copy(from, folder.path().join(file)).unwrap();
    }
    let fill = |level: &str| -> Value {
        let words = [
            "fill",
            "job.toml",
            "--level-at",
            level,
            "--grind",
            "1/4 in",
            "--json",
        ];
        let o = run(folder.path(), &words);
        assert_eq!(
            o.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&o.stderr)
        );
        serde_json::from_slice::<Value>(&o.stdout).unwrap()["fill"].clone()
    };
    let table = fill("C4");
    assert!(table["gauge_depth_mm"].as_f64().unwrap() < 0.0);
    let rows = table["grind_or_fill"].as_array().unwrap();
    assert_eq!(rows.len(), 5);
    for (k, row) in rows.iter().enumerate() {
        let level = if k == 0 {
            "C4".to_owned()
        } else {
            format!("C4 - {k}/16 in")
        };
        let own = fill(&level);
        for (key, of_row) in [
            ("volume_l", "volume_l"),
            ("wet_area_m2", "wet_area_m2"),
            ("above_l", "grind_volume_l"),
            ("highest_above_mm", "deepest_grind_mm"),
        ] {
            let (a, b) = (own[key].as_f64().unwrap(), row[of_row].as_f64().unwrap());
            assert!((a - b).abs() < 2e-3, "{level}: {key} {a}, row {b}");
        }
        let lowered = row["lowered_mm"].as_f64().unwrap();
        assert!((lowered - k as f64 * 25.4 / 16.0).abs() < 1e-3);
        assert_eq!(own["take_off"]["bags"]["count"], row["bags"], "{level}");
    }
}

// ORACLE: hand, from the figures of the file: volume with waste over the yield, rounded up. Two hollows of 3 by 2.6 m, 1.5 mm under the mark that the
//         finish stands at, a ridge between them: each takes 1.3 bags and is a batch of its own, since two are more than a batch, so that the order is
//         4 bags where the volume takes 2.6.
//         Every finish has one number of bags, and the others say that they are by volume.
#[test]
fn a_finish_has_one_number_of_bags() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let mut rows = String::from("point,x_m,y_m,reading_mm\n");
    for i in 0..9 {
        for j in 0..3 {
            let level_mm = match i {
                0..=2 | 6.. => -1.5,
                4 if j == 1 => 0.0,
                _ => 5.0,
            };
            let (x, y) = (f64::from(i) + 0.5, f64::from(j) + 0.5);
            rows += &format!("M{i}{j},{x},{y},{}\n", 1500.0 - level_mm);
        }
    }
    put("r.csv", &rows);
    put(
        "o.csv",
        "kind,name,x_m,y_m\noutline,room,0,0\noutline,room,9,0\noutline,room,9,3\noutline,room,0,3\n",
    );
    put(
        "m.toml",
        "name = \"m\"\ninvented = true\nbag_weight = \"18 kg\"\nyield_per_bag = \"10 l\"\nfeather_edge = true\nmax_lift = \"100 mm\"\n\
         water_per_bag = \"4 l\"\nbags_per_batch = 2\nmixing_time = \"2 min\"\nworking_time = \"18 min\"\nopen_time = \"14 min\"\n",
    );
    put(
        "job.toml",
        "draws = 0\noutline = \"o.csv\"\nspans = [\"1 m\"]\n[[readings]]\nfile = \"r.csv\"\n[fill]\nlevel_at = \"M41\"\nmaterial = \"m.toml\"\n\
         waste = 7\ngrind = \"8 mm\"\n",
    );
    let o = run(
        folder.path(),
        &["run", "job.toml", "--only", "result", "--out", "out"],
    );
    assert_eq!(
        o.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&o.stderr)
    );
    let text = std::fs::read_to_string(folder.path().join("out/result.json")).unwrap();
    let fill = serde_json::from_str::<Value>(&text).unwrap()["fill"].clone();
    let by_volume = |row: &Value| {
        let exact = row["volume_l"].as_f64().unwrap() * 1.07 / 10.0;
        (exact - 1e-3).ceil() as u64
    };
    let order = fill["take_off"]["bags"]["count"].as_u64().unwrap();
    assert_eq!((order, by_volume(&fill)), (4, 3));
    let rows = fill["grind_or_fill"].as_array().unwrap();
    assert!(rows.len() > 1);
    for (k, row) in rows.iter().enumerate() {
        let bags = row["bags"].as_u64().unwrap();
        assert_eq!(bags, if k == 0 { order } else { by_volume(row) }, "{row}");
        assert_eq!(row["bags_by_volume"], k > 0, "{row}");
        assert_eq!(row["bags_saved"], order - bags, "{row}");
    }
    let gauge = fill["gauge_depth_mm"].as_f64().unwrap();
    for row in fill["side_by_side"].as_array().unwrap() {
        let asked = (row["gauge_depth_mm"].as_f64().unwrap() - gauge).abs() < 1e-3;
        let bags = if asked { order } else { by_volume(row) };
        assert_eq!(row["bags"], bags, "{row}");
        assert_eq!(row["bags_by_volume"], !asked, "{row}");
    }
}
