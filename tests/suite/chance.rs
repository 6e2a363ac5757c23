//! The chance beside a word, from the command line to result.json.

use crate::support::program::run;
use serde_json::Value;

/// A floor of 9 by 9 readings half a metre apart with waves of `size_mm`, read to the millimetre.
fn readings(size_mm: f64) -> String {
    let mut out = "x_m,y_m,elevation_mm\n".to_owned();
    for k in 0..81 {
        let (x, y) = (0.5 * f64::from(k % 9), 0.5 * f64::from(k / 9));
        let noise = ((f64::from(k) * 12.989_8).sin() * 43_758.547).fract();
        let z = size_mm * (1.7 * x).sin() * (1.3 * y).cos() + noise;
        out.push_str(&format!("{x},{y},{}\n", z.round()));
    }
    out
}

fn ok(folder: &std::path::Path, words: &[&str]) -> String {
    for count in ["5000", "20"] {
        let out = run(folder.path(), &["flat", "r.csv", "--draws", count]);
        let text = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(1), "{text}");
        assert!(
            text.contains("draws") && text.contains("from 60 to 2,000"),
            "{text}"
        );
    }
}
