//! A patch is aimed at what was tested, and its sheet says nothing of the rest.

use crate::support::schema::result;
use birdbath::analysis::{Analysis, Want};
use birdbath::flatness::Verdict;
use birdbath::job::{Inputs, JobFile, analyse, prepare};
use birdbath::report::answer;
use birdbath::report::result_file::ResultFile;

/// A floor of 4 m by 4 m read every half metre, with a pit of 6 mm in its middle.
fn pit(checks: &str) -> Analysis {
    let mut readings = "x_m,y_m,elevation_mm\n".to_owned();
    for i in 0..9 {
        for j in 0..9 {
            let z = if (i, j) == (4, 4) { -6.0 } else { 0.0 };
            readings.push_str(&format!(
                "{},{},{z}\n",
                0.5 * f64::from(i),
                0.5 * f64::from(j)
            ));
        }
    }
    let job = format!("checks = [{checks}]\n[[readings]]\nfile = \"r.csv\"\n");
    let job = JobFile::parse("job.toml", job.as_bytes()).unwrap();
    let mut inputs = Inputs::default();
    inputs.insert("r.csv", readings.into_bytes());
    let room = prepare(&job, &inputs).unwrap().remove(0);
    let want = Want {
        flatness: true,
        fill: true,
        patch: true,
        ..Want::default()
    };
    analyse(room, want, &|_, _| ()).unwrap()
}

// ORACLE: hand: half a metre between readings tells nothing of an edge of 0.7 m. The plan keeps the 2 m limit, proven, and
// neither its text nor its figures name the other.
#[test]
fn a_patch_says_nothing_of_what_was_not_tested() {
    let a = pit("\"3 mm in 2 m, resting\", \"1 mm in 0.7 m, resting\"");
    let verdicts: Vec<Verdict> = a
        .flatness
        .as_ref()
        .unwrap()
        .checks
        .iter()
        .map(|c| c.verdict())
        .collect();
    assert_eq!(verdicts, [Verdict::Out, Verdict::NotTested]);
    let plan = a.patch.as_ref().unwrap();
    assert_eq!(plan.checks.len(), 1);
    assert!((plan.checks[0].limit.span_m - 2.0).abs() < 1e-12);
    assert!(plan.checks[0].after.bound_m <= 0.003 + 2e-8);
    // Chords 2 m long lie over the pit with at most 1 mm of it left over 3 mm to fill: far from a floor of 1 mm.
    assert!(plan.deepest_m < 0.004, "{}", plan.deepest_m);
    let text = answer::patch(&a).unwrap();
    assert!(
        text.contains("dip 3 mm in 2 m") && !text.contains("0.7"),
        "{text}"
    );
    let listed = result(ResultFile::whole(&a))["patch"]["checks"]
        .as_array()
        .unwrap()
        .len();
    assert_eq!(listed, 1);
}

// ORACLE: contract: where nothing was tested there is no plan, and that is said once, without a figure.
#[test]
fn nothing_tested_nothing_patched() {
    let a = pit("\"1 mm in 0.7 m, resting\"");
    assert!(a.patch.is_none());
    let why = a.no_patch.as_ref().unwrap();
    assert!(
        why.contains("none of the straight-edge limits") && !why.contains("0.7"),
        "{why}"
    );
    assert!(answer::whole(&a).contains(why));
}

// ORACLE: contract: a floor inside its tested limits needs no patch, and the limits it is inside are named.
#[test]
fn no_patch_is_needed_for_the_limits_that_are_named() {
    let a = pit("\"9 mm in 2 m, resting\", \"1 mm in 0.7 m, resting\"");
    let text = answer::patch(&a).unwrap();
    assert!(
        text.contains("none needed") && text.contains("dip 9 mm in 2 m") && !text.contains("0.7"),
        "{text}"
    );
}
