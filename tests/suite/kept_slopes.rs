//! Readings on an area that keeps its slope serve no other floor.

use crate::support::program::run;
use serde_json::Value;

// ORACLE: hand. A room of 12 x 10 ft read every 2 ft, 42 readings; a shower of 4 x 4 ft in its corner, an inch low at the drain. Four
// readings stand in it, three of them on the room's own walls: they touch no other floor. The five on its rim serve the floor. 120 sq ft
// less 16; all of that is level, so nothing is out and no reading may be a slip.
#[test]
fn readings_on_a_shower_in_a_corner_are_none_of_the_floor() {
    let folder = tempfile::tempdir().unwrap();
    let mut sheet = "x_ft,y_ft,reading_in\n".to_owned();
    for k in 0..42 {
        let (x, y) = (2 * (k % 7), 2 * (k / 7));
        let low = match (x, y) {
            (0, 0) => "41",
            (0 | 2, 0 | 2) => "40.5",
            _ => "40",
        };
        sheet.push_str(&format!("{x},{y},{low}\n"));
    }
    let ring = |kind: &str, w: u32, h: u32| {
        format!("{kind},a,0,0\n{kind},a,{w},0\n{kind},a,{w},{h}\n{kind},a,0,{h}\n")
    };
    let outline = format!(
        "kind,name,x_ft,y_ft\n{}{}",
        ring("outline", 12, 10),
        ring("slope", 4, 4)
    );
    std::fs::write(folder.path().join("r.csv"), sheet).unwrap();
    std::fs::write(folder.path().join("o.csv"), outline).unwrap();
    let out = run(
        folder.path(),
        &[
            "flat",
            "r.csv",
            "--outline",
            "o.csv",
            "--check",
            "1/8 in in 10 ft, resting",
            "--json",
        ],
    );
    assert!(out.status.success(), "{out:?}");
    let v: Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(v["survey"]["readings_used"], 38, "{}", v["survey"]);
    let area = v["floor"]["area_m2"].as_f64().unwrap() / 0.092_903_04;
    assert!((area - 104.0).abs() < 1e-3, "{area}");
    assert_eq!(v["floor"]["overall_deviation_mm"], 0.0);
    let codes: Vec<&str> = v["notices"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|n| n["code"].as_str())
        .collect();
    assert!(!codes.contains(&"suspect-reading"), "{codes:?}");
}

// ORACLE: hand. A shower in the corner of a room borders floor along two of its sides, 4 ft each: one dam of 8 ft that begins at one wall and
//         ends at the other, whichever corner its outline begins with and whichever way it is drawn. No distance has two heights.
#[test]
fn a_dam_is_one_line_whichever_corner_it_is_drawn_from() {
    let folder = tempfile::tempdir().unwrap();
    let mut sheet = "x_ft,y_ft,reading_in\n".to_owned();
    for k in 0..49 {
        let (x, y) = (2 * (k % 7), 2 * (k / 7));
        sheet.push_str(&format!("{x},{y},{}\n", 40.0 + f64::from(x + 2 * y) / 32.0));
    }
    std::fs::write(folder.path().join("r.csv"), sheet).unwrap();
    let corners = [(0, 0), (4, 0), (4, 4), (0, 4)];
    let mut lists: Vec<Vec<(f64, f64)>> = Vec::new();
    for first in 0..4 {
        for way in [1, 3] {
            let rows: String = (0..4)
                .map(|k| corners[(first + way * k) % 4])
                .map(|(x, y)| format!("slope,shower,{x},{y}\n"))
                .collect();
            let outline = format!(
                "kind,name,x_ft,y_ft\noutline,room,0,0\noutline,room,12,0\noutline,room,12,12\noutline,room,0,12\n{rows}"
            );
            std::fs::write(folder.path().join("o.csv"), outline).unwrap();
            let gauge = [
                "fill",
                "r.csv",
                "--outline",
                "o.csv",
                "--gauge",
                "1/8 in",
                "--json",
            ];
            let out = run(folder.path(), &gauge);
            assert!(out.status.success(), "{out:?}");
            let v: Value = serde_json::from_slice(&out.stdout).unwrap();
            let dam = &v["fill"]["slopes_left"][0]["dam"];
            let list: Vec<(f64, f64)> = dam["stations"]
                .as_array()
                .unwrap()
                .iter()
                .map(|s| {
                    (
                        s["along_m"].as_f64().unwrap() / 0.3048,
                        s["depth_mm"].as_f64().unwrap(),
                    )
                })
                .collect();
            assert!((dam["length_m"].as_f64().unwrap() / 0.3048 - 8.0).abs() < 1e-3);
            assert!(list.windows(2).all(|w| w[1].0 > w[0].0 + 0.5), "{list:?}");
            assert_eq!(list.len(), 9, "{list:?}");
            let text = String::from_utf8(run(folder.path(), &gauge[..6]).stdout).unwrap();
            assert_eq!(text.matches("from the place").count(), 1, "{text}");
            lists.push(list);
        }
    }
    let turned: Vec<(f64, f64)> = lists[0].iter().rev().map(|s| (8.0 - s.0, s.1)).collect();
    let same = |a: &[(f64, f64)], b: &[(f64, f64)]| {
        a.iter()
            .zip(b)
            .all(|(p, q)| (p.0 - q.0).abs() < 0.01 && (p.1 - q.1).abs() < 0.01)
    };
    for list in &lists {
        assert!(
            same(list, &lists[0]) || same(list, &turned),
            "{list:?} {:?}",
            lists[0]
        );
    }
}
