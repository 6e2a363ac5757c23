//! One lopsided floor where hardly two figures are equal, every one of them worked out by hand, looked for in every printer.
//!
//! ORACLE: hand, closed forms. A room of 6 x 4 m read at every metre: a plane that falls 3 mm a metre to the right and 1 mm a metre up, so that
//! with 5 mm over the high point the depth is 5 + 3x + y mm. Over the room that is 24 m2 x 16 mm = 384 L; a chase of 0.5 m2 about (2.7, 1.45)
//! takes 0.5 x 14.55 = 7.275 L of it: 376.725 L over 23.5 m2. All else follows; each figure below says how.

use crate::pdf::words_of;
use crate::support::program::run;
use crate::support::schema::hold;
use calamine::{Data, Reader, Xlsx};
use serde_json::Value;
use std::io::Cursor;
use std::sync::OnceLock;

const OUTLINE: &str = "kind,name,x_m,y_m,width,under_cut,adjoining_reading\n\
    outline,,0,0,,,\noutline,,6,0,,,\noutline,,6,4,,,\noutline,,0,4,,,\n\
    void,chase,2.2,1.2,,,\nvoid,chase,3.2,1.2,,,\nvoid,chase,3.2,1.7,,,\nvoid,chase,2.2,1.7,,,\n\
    door,hall door,4.5,0,900 mm,30 mm,990 mm\n";

const MATERIAL: &str = r#"
name = "Test underlayment (invented)"
bag_weight = "18 kg"
yield_per_bag = "12.5 l"
min_depth = "2 mm"
max_lift = "21 mm"
feather_edge = false
water = ["3 l", "5.9 l", "8.7 l", "11.6 l"]
bags_per_batch = 4
mixing_time = "3 min"
open_time = "16 min"
next_lift_after = "23 h"
density = "1900 kg/m3"
[primer]
name = "Test primer (invented)"
coverage = "9 m2/l"
coats = 2
dilution = "1:3, neat"
drying = "95 min"
"#;

const JOB: &str = r#"
title = "Lopsided"
units = "metric"
outline = "outline.csv"
checks = ["3 mm in 4 m"]
[[readings]]
file = "readings.csv"
[fill]
gauge = "5 mm"
material = "material.toml"
waste = 7
base_depth = "10 mm"
grind = "2 mm"
[prices]
currency = "EUR"
bag = 21.50
primer = "11 per l"
foam = "0.60 per m"
dam = "3.10 per m"
"#;

/// Everything that the job's run writes, and what it says.
struct Made {
    said: String,
    folder: tempfile::TempDir,
}

impl Made {
    fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.folder.path().join("out").join(name)).unwrap()
    }

    fn json(&self) -> Value {
        serde_json::from_slice(&self.bytes("result.json")).unwrap()
    }
}

fn made() -> &'static Made {
    static MADE: OnceLock<Made> = OnceLock::new();
    MADE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let mut readings = String::from("x_m,y_m,reading_mm\n");
        for (x, y) in (0..7).flat_map(|x| (0..5).map(move |y| (x, y))) {
            readings.push_str(&format!("{x},{y},{}\n", 1000 + 3 * x + y));
        }
        for (name, text) in [
            ("readings.csv", readings.as_str()),
            ("outline.csv", OUTLINE),
            ("material.toml", MATERIAL),
            ("job.toml", JOB),
        ] {
            std::fs::write(folder.path().join(name), text).unwrap();
        }
        let out = run(folder.path(), &["run", "job.toml", "--out", "out"]);
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        let said = String::from_utf8(out.stdout).unwrap();
        Made {
            said: said.split_whitespace().collect::<Vec<_>>().join(" "),
            folder,
        }
    })
}

/// A value of `result.json` by its way: `fill.take_off.bags.count`.
fn at<'a>(value: &'a Value, way: &str) -> &'a Value {
    way.split('.')
        .fold(value, |v, key| match key.parse::<usize>() {
            Ok(i) => &v[i],
            Err(_) => &v[key],
        })
}

#[test]
fn every_figure_of_result_json_is_the_one_worked_out_by_hand() {
    let json = made().json();
    hold(&json, "ResultFile");
    // Way, value, how far the format's own rounding may be off.
    let figures: &[(&str, f64, f64)] = &[
        ("survey.readings", 35.0, 0.0),
        ("survey.resolution_mm", 1.0, 0.0),
        ("survey.spacing_m", 1.0, 0.0),
        ("floor.area_m2", 23.5, 0.0),
        ("floor.surveyed_m2", 23.5, 0.0),
        ("floor.extended_m2", 0.0, 0.0),
        ("floor.not_surveyed_m2", 0.0, 0.0),
        // 3 x 6 + 4 = 22 mm from corner to corner.
        ("floor.overall_deviation_mm", 22.0, 0.0),
        ("floor.high_point.elevation_mm", -1000.0, 0.0),
        ("floor.high_point.x_m", 0.0, 0.0),
        ("floor.low_point.elevation_mm", -1022.0, 0.0),
        ("floor.low_point.x_m", 6.0, 0.0),
        ("floor.low_point.y_m", 4.0, 0.0),
        // A plane shows no gap.
        ("flatness.0.gap_mm", 0.0, 0.001),
        ("flatness.0.allowance_mm", 3.0, 0.0),
        ("flatness.0.span_mm", 4000.0, 0.0),
        ("fill.gauge_depth_mm", 5.0, 0.0),
        ("fill.plane.gauge_mm", 5.0, 0.0),
        ("fill.finish_level_mm", -995.0, 0.0),
        ("fill.volume_l", 376.725, 0.0),
        ("fill.wet_area_m2", 23.5, 0.0),
        ("fill.dry_area_m2", 0.0, 0.0),
        ("fill.above_l", 0.0, 0.0),
        // 376.725 / 23.5.
        ("fill.mean_depth_mm", 16.0309, 0.0005),
        ("fill.deepest_mm", 27.0, 0.0),
        ("fill.deepest_at.x_m", 6.0, 0.0),
        ("fill.deepest_at.y_m", 4.0, 0.0),
        ("fill.least_mm", 5.0, 0.0),
        ("fill.least_at.x_m", 0.0, 0.0),
        // 1.07 x 376.725; over 12.5 L a bag.
        ("fill.take_off.ordered_l", 403.096, 0.0005),
        ("fill.take_off.bags.exact", 32.24766, 0.0),
        ("fill.take_off.bags.count", 33.0, 0.0),
        ("fill.take_off.bags.yield_l", 12.5, 0.0),
        // 33 x 12.5 = 412.5 less 403.096 and less 376.725.
        ("fill.take_off.bags.left_with_waste_l", 9.404, 0.0005),
        ("fill.take_off.bags.left_without_waste_l", 35.775, 0.0005),
        ("fill.take_off.batches.bags_per_batch", 4.0, 0.0),
        ("fill.take_off.batches.count", 9.0, 0.0),
        // By the sheet's table: the lower lift, 1.07 x 11.556 L, in one batch of a single bag, and 8 full batches of the upper one.
        ("fill.take_off.water.per_batch_l", 11.6, 0.0),
        ("fill.take_off.water.last_batch_l", 11.6, 0.0),
        ("pour.lifts.0.bags", 1.0, 0.0),
        ("pour.lifts.0.volume_l", 11.556, 0.0005),
        ("pour.lifts.0.below_finish_mm", 21.0, 0.0),
        ("pour.lifts.1.bags", 32.0, 0.0),
        ("pour.lifts.1.volume_l", 365.169, 0.0005),
        ("pour.lifts.1.below_finish_mm", 0.0, 0.0),
        ("pour.between_lifts_min", 1380.0, 0.0),
        ("pour.bags", 33.0, 0.0),
        ("fill.take_off.water.total_l", 95.8, 0.0),
        // Two coats of 23.5 / 9 = 2.6111 L, of the first one part in four from the can.
        ("fill.take_off.primer.area_m2", 23.5, 0.0),
        ("fill.take_off.primer.spread_l", 5.222, 0.0005),
        ("fill.take_off.primer.neat_l", 3.264, 0.0005),
        ("fill.take_off.primer.drying_min", 190.0, 0.0),
        // 20 m of walls and 3 m round the chase, less the door.
        ("fill.take_off.perimeter.outline_m", 20.0, 0.0),
        ("fill.take_off.perimeter.voids_m", 3.0, 0.0),
        ("fill.take_off.perimeter.openings_m", 0.9, 0.0),
        ("fill.take_off.perimeter.foam_m", 22.1, 0.0),
        // At its far end, x = 4.95: 5 + 14.85.
        ("fill.take_off.dams.0.length_m", 0.9, 0.0),
        ("fill.take_off.dams.0.highest_mm", 19.85, 0.0005),
        ("fill.take_off.dams.0.stations.0.depth_mm", 17.15, 0.0005),
        // Deeper than 21 mm where 3x + y > 16: 24 - 56 / 3 m2. The upper lift is the integral of what is over it,
        // of (3x + y - 16) there: by strips in y the integral of (2 + y)^2 / 6 from 0 to 4, 208 / 18 L.
        ("fill.take_off.lifts.limit_mm", 21.0, 0.0),
        ("fill.take_off.lifts.count", 2.0, 0.0),
        ("fill.take_off.lifts.area_over_m2", 5.333_333, 1e-6),
        ("fill.take_off.lifts.volumes_l.0", 11.556, 0.0005),
        ("fill.take_off.lifts.volumes_l.1", 365.169, 0.0005),
        ("fill.take_off.lifts.wait_min", 1380.0, 0.0),
        ("fill.take_off.weight.density_kg_l", 1.9, 0.0),
        ("fill.take_off.weight.total_kg", 715.7775, 0.0006),
        ("fill.take_off.weight.mean_kg_m2", 30.4586, 0.0006),
        ("fill.take_off.weight.worst_kg_m2", 51.3, 0.0),
        // 33 x 21.50; 3.2639 L are brought as 3.3, x 11; 22.1 x 0.60, 0.9 x 3.10.
        ("fill.take_off.costs.lines.0.amount", 709.5, 0.0),
        ("fill.take_off.costs.lines.1.amount", 36.3, 0.0005),
        ("fill.take_off.costs.lines.2.amount", 13.26, 0.0),
        ("fill.take_off.costs.lines.3.amount", 2.79, 0.0),
        ("fill.take_off.costs.total", 761.85, 0.0005),
        // Between 10 and 12 mm lies the strip 5 < 3x + y < 7: 8 / 3 m2, on average 11 mm deep, 10 of them base.
        ("fill.take_off.bands.3.from_mm", 10.0, 0.0),
        ("fill.take_off.bands.3.to_mm", 12.0, 0.0),
        ("fill.take_off.bands.3.area_m2", 2.666_667, 1e-6),
        ("fill.take_off.bands.3.volume_l", 29.333, 0.0005),
        ("fill.take_off.bands.3.base_l", 26.667, 0.0005),
        ("fill.take_off.bands.3.extra_l", 2.667, 0.0005),
        // The finish 1 mm lower keeps 5 mm over floor ground to 1 mm under the high point: 3x + y < 1, a corner of 1 / 6 m2 and 1 / 18 L.
        ("fill.grind_or_fill.1.lowered_mm", 1.0, 0.0),
        ("fill.grind_or_fill.1.level_mm", -996.0, 0.0),
        ("fill.grind_or_fill.1.ground_to_mm", -1001.0, 0.0),
        ("fill.grind_or_fill.1.grind_area_m2", 0.166_667, 1e-6),
        ("fill.grind_or_fill.1.grind_volume_l", 0.056, 0.0005),
        ("fill.grind_or_fill.1.deepest_grind_mm", 1.0, 0.0),
        ("fill.grind_or_fill.1.volume_l", 353.281, 0.0005),
        ("fill.grind_or_fill.1.bags", 31.0, 0.0),
        ("fill.grind_or_fill.1.bags_saved", 2.0, 0.0),
        // At the door, (4.5, 0): floor 13.5 mm under the high point, the finish 5 over it.
        ("fill.heights.0.before_mm", -1013.5, 0.0005),
        ("fill.heights.0.after_mm", -995.0, 0.0),
        ("fill.heights.0.rise_mm", 18.5, 0.0005),
        ("fill.heights.0.step_mm", -5.0, 0.0),
        ("fill.heights.0.door_gap_mm", 11.5, 0.0005),
    ];
    for (way, want, off) in figures {
        let found = at(&json, way)
            .as_f64()
            .unwrap_or_else(|| panic!("{way} is {}", at(&json, way)));
        assert!(
            (found - want).abs() <= off + 1e-9,
            "{way}: {found} is not {want}"
        );
    }
    // Each litre is poured once, and each square metre once in every lift that covers it.
    let sum = |key: &str| -> f64 {
        let batches = json["pour"]["batches"].as_array().unwrap();
        batches.iter().map(|b| b[key].as_f64().unwrap()).sum()
    };
    assert!((sum("volume_l") - 376.725).abs() < 0.01);
    assert!((sum("area_m2") - (23.5 + 5.333_333)).abs() < 1e-4);
    assert!((sum("bags") - 33.0).abs() < 1e-9 && (sum("water_l") - 95.8).abs() < 1e-9);
}

#[test]
fn every_printer_says_the_figure_worked_out_by_hand() {
    let made = made();
    let paper = |name: &str| words_of(&made.bytes(name));
    let printers: &[(&str, String, &[&str])] = &[
        (
            "the terminal",
            made.said.clone(),
            &[
                "35 on 23.5 m²",
                "22 mm from highest to lowest",
                "377 L over 23.5 m²; mean 16 mm, deepest 27 mm at 6.00 m from the left wall, 4.00 m from the bottom wall",
                "33 (32.25 before rounding up)",
                "95.8 L in all, 11.6 L a full batch",
                "30 kg/m² on average and 51 kg/m² where it is deepest",
                "5.33 m² are deeper than one lift may be (21 mm): 2 lifts",
            ],
        ),
        (
            "quantities",
            paper("quantities.pdf"),
            &[
                "Fill 10 to 12 mm deep 2.67 m², 29.3 L 26.7 L 2.67 L",
                "Volume of material in place 377 L 228 L 149 L",
                "Waste added 7 %",
                "Volume to order, waste included 403 L",
                "Yield of a bag, by that sheet 12.5 L",
                "33 (32.25 before rounding up)",
                "9.40 L when all the waste is used, 35.8 L when none is",
                "9, of 4 bags at the most",
                "95.8 L in all, 11.6 L a full batch",
                // Brought: rounded up.
                "3.3 L from the can (5.3 L as it is spread, thinned) for 23.5 m², 2 coats; drying 3 h 10 min in all",
                "Perimeter foam 22.10 m",
                "hall door: 0.90 m, holds back 20 mm",
                "2 at the deepest place, no deeper than 21 mm each; 5.33 m² need more than one; 23 h between them",
                "716 kg; 30 kg/m² on average, 51 kg/m² at the deepest",
                "bags, 33 at 21.50: 709.50 EUR",
                "primer, 3.3 L at 11.00 a L: 36.30 EUR",
                "perimeter foam, 22.10 m at 0.60 a m: 13.26 EUR",
                "dams, 0.90 m at 3.10 a m: 2.79 EUR",
                "761.85 EUR",
            ],
        ),
        (
            "the pour sheet",
            paper("pour.pdf"),
            &[
                "33 bags in 9 batches place 377 L in 2 lifts",
                "with 23 h between them",
                "Lift 1 of 2, levels off 21 mm under the finish: 1 bag in 1 batch",
                "Total 5.33 11.6 1 3.0 L",
                "Lift 2 of 2, up to the finish: 32 bags in 8 batches",
                "Total 23.5 365 32 92.8 L",
                // 18.5 to the nearest even, as the program rounds halves of a millimetre.
                "hall door +18 mm -5 mm",
                "33, for 9 batches of up to 4",
                "Clean cool water: 95.8 L",
                "11.6 L each for a full batch",
            ],
        ),
        (
            "the mark-out",
            paper("mark-out.pdf"),
            &[
                "Volume 377 L",
                "A1 0.00 0.00 fill 5",
                "G1 6.00 0.00 fill 23",
                "A5 0.00 4.00 fill 9",
                "C2 2.00 1.00 fill 12",
                "G5 6.00 4.00 fill 27",
            ],
        ),
        (
            "the submittal",
            paper("submittal.pdf"),
            &[
                "22 mm",
                "377 L",
                "23.5 m²",
                "27 mm",
                "1 mm, inferred",
                "limit 3 mm",
                "Least depth +5 mm, at the left wall, at the bottom wall",
            ],
        ),
        (
            "the page",
            String::from_utf8(made.bytes("report.html")).unwrap(),
            &["377 L", "22 mm", "27 mm", "23.5 m²"],
        ),
    ];
    for (printer, text, wanted) in printers {
        for want in *wanted {
            assert!(
                text.contains(want),
                "{printer} does not say {want:?}:\n{text}"
            );
        }
    }
}

#[test]
fn the_workbook_holds_the_same_unrounded() {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(made().bytes("workbook.xlsx"))).unwrap();
    let depths = book.sheet_names().into_iter().find_map(|name| {
        let sheet = book.worksheet_range(&name).unwrap();
        let mark = sheet
            .rows()
            .find(|r| r.contains(&Data::String("C2".into())))?;
        let has = |want: f64| {
            mark.iter()
                .any(|c| matches!(c, Data::Float(v) if (v - want).abs() < 1e-6))
        };
        // C2 lies at (2, 1): 5 + 6 + 1 mm deep.
        (has(2.0) && has(1.0) && has(12.0)).then_some(name)
    });
    assert!(depths.is_some(), "no sheet has 12 mm at C2");
}
