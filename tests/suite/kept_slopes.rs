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
