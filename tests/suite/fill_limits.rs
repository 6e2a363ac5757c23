//! Absurd, slipped and missing values: each is refused where it is read, by its key, in plain words.

use super::support::program::run;
use birdbath::fill::{MOST_BAGS, Material, TooManyBags, whole_bags};
use std::path::Path;

/// Words of the program's own language that no message may hold.
const JARGON: [&str; 14] = [
    "Some(",
    "None",
    "Ok(",
    "Err(",
    "f64",
    "u32",
    "i64",
    "struct ",
    "variant",
    "panicked",
    "unwrap",
    "invalid type",
    "NaN.",
    "Option",
];

fn plain(text: &str) {
    for word in JARGON {
        assert!(!text.contains(word), "{word:?} in: {text}");
    }
}

/// A room of 4 m by 4 m that falls 3 mm to the right, with a job and a sheet beside it.
fn folder(job: &str, sheet: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let mut readings = "x_m,y_m,reading_mm\n".to_owned();
    for i in 0..5 {
        for j in 0..5 {
            readings.push_str(&format!("{i},{j},{}\n", 1000.0 + 0.75 * f64::from(i)));
        }
    }
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    write("readings.csv", &readings);
    write("sheet.toml", sheet);
    write("job.toml", job);
    folder
}

const SHEET: &str = "name = \"Test material (invented)\"
bag_weight = \"25 kg\"
yield_per_bag = \"14 l\"
water = [\"5 l\", \"10 l\"]
bags_per_batch = 2
mixing_time = \"3 min\"
open_time = \"20 min\"
";

fn job(fill: &str, rest: &str) -> String {
    format!(
        "checks = [\"3 mm in 2 m, resting\"]\n[[readings]]\nfile = \"readings.csv\"\n[fill]\nmaterial = \"sheet.toml\"\n{fill}\n{rest}\n"
    )
}

/// What a command says when it refuses: exit 1, nothing answered, nothing written.
fn refused(folder: &Path, words: &[&str]) -> String {
    let o = run(folder, words);
    let (said, told) = (
        String::from_utf8_lossy(&o.stdout).into_owned(),
        String::from_utf8_lossy(&o.stderr).into_owned(),
    );
    assert_eq!(o.status.code(), Some(1), "{words:?}: {said}{told}");
    assert!(said.is_empty(), "{words:?} answered: {said}");
    plain(&told);
    told
}

// ORACLE: contract: the key, what was found, and what to do. Each is read before anything is worked out.
#[test]
fn values_of_the_job_that_cannot_be() {
    for (fill, rest, key, found) in [
        ("gauge = \"30 in\"", "", "fill.gauge", "deep = true"),
        ("gauge = \"-2 m\"", "", "fill.gauge", "--deep"),
        ("gauge = \"300 m\"\ndeep = true", "", "fill.gauge", "10 m"),
        ("gauge = \"3\"", "", "fill.gauge", "unit"),
        ("gauge = \"nan mm\"", "", "fill.gauge", "nan"),
        (
            "gauge = \"3 mm\"\ncover = \"3 ft\"",
            "",
            "fill.cover",
            "deep = true",
        ),
        ("cover = \"0 mm\"", "", "fill.cover", "0 mm"),
        (
            "base_depth = \"20 ft\"",
            "",
            "fill.base_depth",
            "deep = true",
        ),
        ("base_depth = \"-1 mm\"", "", "fill.base_depth", "-1 mm"),
        ("grind = \"13 in\"", "", "fill.grind", "deep = true"),
        ("grind = \"-3 mm\"", "", "fill.grind", "0 or more"),
        ("gauges = [\"3 mm\", \"3 m\"]", "", "fill.gauges", "3 m"),
        ("rake = \"1 m\"", "", "fill.rake", "deep = true"),
        ("rake = \"-3 mm\"", "", "fill.rake", "-3 mm"),
        ("covering = \"0 mm\"", "", "fill.covering", "0 mm"),
        (
            "patch_depth = \"2 ft\"",
            "",
            "fill.patch_depth",
            "deep = true",
        ),
        ("level_at = \"A1 + 2 m\"", "", "fill.level_at", "2 m"),
        ("waste = -5", "", "fill.waste", "-5"),
        ("waste = 0.1", "", "fill.waste", "write 10 for a tenth"),
        ("waste = nan", "", "fill.waste", "NaN"),
        ("waste = 250", "", "fill.waste", "250"),
        ("waste = \"ten\"", "", "the words \"ten\"", "a number"),
        ("bags = 0", "", "fill.bags", "0"),
        ("bags = inf", "", "fill.bags", "inf"),
        ("bags = 5e9", "", "fill.bags", "5000000000"),
        ("framed = \"yes\"", "", "the words \"yes\"", "true or false"),
        ("depth = \"3 mm\"", "", "unknown key `depth`", "`gauge`"),
        ("", "[prices]\nbag = -1", "prices.bag", "-1"),
        ("", "[prices]\nbag = 1e300", "prices.bag", "1e300"),
        ("", "[prices]\nfoam = \"inf per m\"", "prices.foam", "inf"),
        (
            "",
            "[prices]\ngrind = \"2 per m\"",
            "prices.grind",
            "per sq ft",
        ),
        (
            "",
            "[instrument]\ndoubt = \"-1 mm\"",
            "instrument.doubt",
            "-1 mm",
        ),
        (
            "",
            "[instrument]\ndoubt = \"1 ft\"",
            "instrument.doubt",
            "1 ft",
        ),
        (
            "",
            "[instrument]\nstep = \"0 mm\"",
            "instrument.step",
            "0 mm",
        ),
        (
            "",
            "[instrument]\nrepeatability = \"2 m\"",
            "instrument.repeatability",
            "2 m",
        ),
    ] {
        let folder = folder(&job(fill, rest), SHEET);
        let told = refused(folder.path(), &["fill", "job.toml"]);
        assert!(
            told.contains(key) && told.contains(found),
            "{fill}{rest}: {told}"
        );
    }
}

// ORACLE: contract: a crew that cannot be ends pour and run alike, with exit 1, before anything is computed or written.
#[test]
fn crews_that_cannot_be() {
    for (crew, key, found) in [
        ("people = 0", "crew.people", "0"),
        ("people = -3", "crew.people", "-3"),
        ("people = 1e12", "crew.people", "1e12"),
        ("people = 2.5", "crew.people", "2.5"),
        ("people = \"three\"", "the words \"three\"", "a number"),
        ("mixers = 0", "crew.mixers", "1 to 20"),
        ("mixers = 4000000000", "crew.mixers", "4000000000"),
        ("mixers = nan", "crew.mixers", "NaN"),
        ("mixing_min = -4", "crew.mixing_min", "-4"),
        ("mixing_min = 0", "crew.mixing_min", "0"),
        ("mixing_min = nan", "crew.mixing_min", "NaN"),
        ("mixing_min = 1e6", "crew.mixing_min", "1000000"),
        ("placing_min = -0.5", "crew.placing_min", "-0.5"),
        ("placing_min = inf", "crew.placing_min", "inf"),
        ("bags_per_batch = 0", "crew.bags_per_batch", "1 to 100"),
        ("bags_per_batch = -2", "crew.bags_per_batch", "-2"),
        ("bags_per_batch = 100000", "crew.bags_per_batch", "100000"),
        ("bays = 0", "crew.bays", "1 to 40"),
        ("bays = 4000", "crew.bays", "4000"),
        (
            "order = \"spiral\"",
            "order = \"spiral\"",
            "`passes`, `level lines`, `strips`",
        ),
        ("overlapped = 1", "the number `1`", "true or false"),
        ("mixer = 1", "unknown key `mixer`", "`mixers`"),
    ] {
        let folder = folder(&job("gauge = \"3 mm\"", &format!("[crew]\n{crew}")), SHEET);
        for command in ["pour", "run"] {
            let told = refused(folder.path(), &[command, "job.toml"]);
            assert!(told.contains(key) && told.contains(found), "{crew}: {told}");
        }
        assert!(!folder.path().join("paper").exists());
    }
    // A start that is not there is told by its name before it is planned.
    let folder = folder(
        &job("gauge = \"3 mm\"", "[crew]\nstart = \"nowhere\""),
        SHEET,
    );
    assert!(refused(folder.path(), &["pour", "job.toml"]).contains("crew.start"));
}

// ORACLE: contract: flags are held against the same bounds as the job's keys; what is no number is a matter of usage.
#[test]
fn flags_that_cannot_be() {
    let folder = folder(&job("gauge = \"3 mm\"", ""), SHEET);
    for (flags, key) in [
        (vec!["--gauge", "3 ft"], "fill.gauge"),
        (vec!["--gauge", "1e9 m"], "fill.gauge"),
        (vec!["--level-at", "A1 + 9 ft"], "fill.level_at"),
        (vec!["--level-at", "nowhere"], "nowhere"),
        (vec!["--cover", "4 m"], "fill.cover"),
        (vec!["--grind", "2 m"], "fill.grind"),
        (vec!["--base-depth", "100 ft"], "fill.base_depth"),
        (vec!["--rake", "5 ft"], "fill.rake"),
        (vec!["--waste", "nan"], "fill.waste"),
        (vec!["--waste", "-1"], "fill.waste"),
        (vec!["--bags", "-3"], "fill.bags"),
        (vec!["--bags", "inf"], "fill.bags"),
        (
            vec!["--fall", "9:1", "--fall-from", "A1", "--fall-to", "B1"],
            "fill.fall",
        ),
        (
            vec!["--fall", "1 %", "--fall-from", "A1", "--fall-to", "A1"],
            "fill.fall",
        ),
        (
            vec!["--fall", "1 %", "--fall-from", "A1", "--fall-to", "Z9"],
            "fill.fall_to",
        ),
    ] {
        for command in ["fill", "pour"] {
            let mut words = vec![command, "job.toml"];
            words.extend(&flags);
            let told = refused(folder.path(), &words);
            assert!(told.contains(key), "{flags:?}: {told}");
        }
    }
    for flag in ["--waste", "--bags"] {
        let o = run(folder.path(), &["fill", "job.toml", flag, "ten"]);
        assert_eq!(o.status.code(), Some(2));
        let told = String::from_utf8_lossy(&o.stderr).into_owned();
        assert!(
            told.contains("a number such as 10") && !told.contains("float"),
            "{told}"
        );
    }
}

// ORACLE: hand: a genuine deep fill is stated once and then answered: 16 m2 under 600 mm over 4 corners' mean of 1.5 mm.
#[test]
fn a_deep_fill_that_is_meant_is_answered() {
    let folder = folder(&job("gauge = \"600 mm\"\ndeep = true", ""), SHEET);
    let litres = |words: &[&str]| -> f64 {
        let o = run(folder.path(), words);
        assert_eq!(
            o.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&o.stderr)
        );
        let v: serde_json::Value = serde_json::from_slice(&o.stdout).unwrap();
        v["fill"]["volume_l"].as_f64().unwrap()
    };
    let by_key = litres(&["fill", "job.toml", "--json"]);
    assert!((by_key - 16.0 * 601.5).abs() < 1e-6, "{by_key}");
    let flags = [
        "fill",
        "readings.csv",
        "--gauge",
        "600 mm",
        "--deep",
        "--json",
    ];
    assert!((litres(&flags) - by_key).abs() < 1e-9);
    // Exactly 12 in is not asked about.
    litres(&["fill", "readings.csv", "--gauge", "12 in", "--json"]);
}

// ORACLE: contract: the adjoining floor at a door read in feet for inches puts the finish metres over the floor.
#[test]
fn a_finish_far_from_the_floor_is_asked_about() {
    let folder = folder(&job("level_at = \"hall door\"", ""), SHEET);
    let outline = "kind,name,x_m,y_m,width_m,adjoining_mm\noutline,room,0,0,,\noutline,room,4,0,,\noutline,room,4,4,,\n\
                   outline,room,0,4,,\ndoor,hall door,2,0,0.9,900\n";
    std::fs::write(folder.path().join("outline.csv"), outline).unwrap();
    let words = ["fill", "job.toml", "--outline", "outline.csv"];
    let told = refused(folder.path(), &words);
    assert!(
        told.contains("fill.level_at") && told.contains("1900 mm over") && told.contains("deep"),
        "{told}"
    );
}

// ORACLE: contract: a count is never cut short: no order holds a million bags, and none that is no number.
#[test]
fn bags_are_never_cut_short() {
    assert_eq!(whole_bags(f64::from(MOST_BAGS)), Ok(MOST_BAGS));
    assert_eq!(whole_bags(-3.0), Ok(0));
    for bags in [f64::from(MOST_BAGS) + 0.5, 5e9, 1e300, f64::INFINITY] {
        assert_eq!(whole_bags(bags), Err(TooManyBags { bags }));
        plain(&TooManyBags { bags }.to_string());
    }
    let told = whole_bags(f64::NAN).unwrap_err().to_string();
    assert!(told.contains("yield") && !told.contains("NaN"), "{told}");
    // A slip of the yield's unit that the sheet alone cannot show: ml for l.
    let sheet = SHEET
        .replace("14 l", "140 ml")
        .replace("bag_weight = \"25 kg\"\n", "")
        .replace("water = [\"5 l\", \"10 l\"]\n", "");
    let folder = folder(&job("gauge = \"9 m\"\ndeep = true", ""), &sheet);
    let told = refused(folder.path(), &["fill", "job.toml"]);
    assert!(
        told.contains("bags") && told.contains("yield") && told.contains("1000000"),
        "{told}"
    );
}

/// A sheet with one line changed or added.
fn sheet(line: &str) -> String {
    let key = line.split('=').next().unwrap().trim();
    let kept: String = SHEET
        .lines()
        .filter(|l| l.split('=').next().unwrap().trim() != key)
        .map(|l| format!("{l}\n"))
        .collect();
    if line.starts_with('[') {
        format!("{SHEET}{line}\n")
    } else {
        format!("{line}\n{kept}")
    }
}

// ORACLE: hand: 25 kg and 5 l of water in 14 l are 2.14 kg a litre. The same bag in kilograms for pounds, litres for
// quarts, or a yield in cubic feet for litres is out of all reason.
#[test]
fn a_sheet_that_cannot_be_is_told_by_its_key() {
    Material::from_toml(SHEET).unwrap();
    for (line, key, found) in [
        ("bag_weight = \"250 kg\"", "bag_weight", "kg per litre"),
        ("bag_weight = \"2.5 kg\"", "water", "200 %"),
        ("bag_weight = \"25 g\"", "bag_weight", "0.5 to 2000 kg"),
        ("bag_weight = \"-25 kg\"", "bag_weight", "-25 kg"),
        ("bag_weight = 25", "the number `25`", "words between quotes"),
        ("yield_per_bag = \"14 cu ft\"", "bag_weight", "0.8"),
        ("yield_per_bag = \"0 l\"", "yield_per_bag", "0 l"),
        ("yield_per_bag = \"1.4 l\"", "bag_weight", "21.4"),
        ("water = [\"5 l\", \"4 l\"]", "water", "less water"),
        ("water = [\"0.5 l\", \"10 l\"]", "water", "2 %"),
        ("water = [\"5 gal\", \"10 gal\"]", "water", "76 %"),
        ("water = []", "", ""),
        ("water_per_bag = \"50 l\"", "water_per_bag", "200 %"),
        ("density = \"19000 kg/m3\"", "density", "3 kg per litre"),
        ("density = \"60 lb/cu ft\"", "density", "is stated"),
        ("density = \"2100 kg/m3\"", "", ""),
        ("bags_per_batch = 0", "bags_per_batch", "1 to 100"),
        ("bags_per_batch = -1", "bags_per_batch", "-1"),
        ("bags_per_batch = 2.5", "bags_per_batch", "2.5"),
        ("bags_per_batch = nan", "bags_per_batch", "NaN"),
        (
            "bags_per_batch = 4000000000",
            "bags_per_batch",
            "4000000000",
        ),
        ("mixing_time = \"3 h\"", "mixing_time", "60 min"),
        ("mixing_time = \"0 min\"", "mixing_time", "0 min"),
        ("open_time = \"20 d\"", "open_time", "24 h"),
        ("open_time = \"20 s\"", "open_time", "1 min"),
        ("open_time = \"20\"", "open_time", "a time such as"),
        ("walk_after = \"400 days\"", "walk_after", "60 days"),
        ("min_depth = \"3 ft\"", "min_depth", "12 in"),
        ("max_lift = \"0.1 mm\"", "max_lift", "1 mm"),
        ("min_temperature = \"50 C\"", "min_temperature", "30 C"),
        ("max_temperature = \"85 C\"", "max_temperature", "60 C"),
        ("max_temperature = \"-400 F\"", "max_temperature", "-400 F"),
        (
            "coverage = \"22 sq ft at 1/4 ft\"",
            "yield_per_bag",
            "more than once",
        ),
        ("coverage = \"22 sq ft\"", "coverage", "22 sq ft"),
        ("consumption = \"170 kg/m2/mm\"", "consumption", "170"),
        (
            "[primer]\ncoverage = \"300 sq ft\"",
            "primer.coverage",
            "300 sq ft",
        ),
        (
            "[primer]\ncoverage = \"9000 m2/l\"",
            "primer.coverage",
            "50 m2/l",
        ),
        ("[primer]\ncoats = 100", "primer.coats", "1 to 10"),
        ("[primer]\ncoats = -1", "primer.coats", "-1"),
        ("[primer]\ndilution = \"inf:3\"", "primer.dilution", "inf:3"),
        ("[primer]\ndilution = \"1:-3\"", "primer.dilution", "1:-3"),
        (
            "[primer]\ndilution = \"1:9000\"",
            "primer.dilution",
            "1:9000",
        ),
        ("[primer]\ndrying = \"2\"", "primer.drying", "2"),
    ] {
        let text = sheet(line);
        match Material::from_toml(&text) {
            Ok(_) => assert!(key.is_empty(), "{line} was taken"),
            Err(e) => {
                let told = e.to_string();
                assert!(!key.is_empty(), "{line}: {told}");
                assert!(told.contains(key) && told.contains(found), "{line}: {told}");
                assert!(e.faults.iter().all(|f| f.line > 0), "{line}: {told}");
                plain(&told);
            }
        }
    }
    let both = "min_temperature = \"25 C\"\nmax_temperature = \"20 C\"\n";
    let told = Material::from_toml(&format!("{both}{SHEET}"))
        .unwrap_err()
        .to_string();
    assert!(told.contains("not below max_temperature"), "{told}");
}

// ORACLE: hand: without a stated water a mix lies between 5 and 60 % of it; 50 lb in 0.05 cu ft are 1,000 lb a cubic foot.
#[test]
fn weight_and_yield_are_held_together_without_water_too() {
    let told = Material::from_toml("bag_weight = \"50 lb\"\nyield_per_bag = \"0.05 cu ft\"\n")
        .unwrap_err()
        .to_string();
    assert!(
        told.contains("bag_weight") && told.contains("lb/cu ft"),
        "{told}"
    );
    Material::from_toml("bag_weight = \"50 lb\"\nyield_per_bag = \"0.45 cu ft\"\n").unwrap();
    // Water alone fills the bag's yield.
    let told = Material::from_toml("yield_per_bag = \"4 l\"\nwater_per_bag = \"5 l\"\n")
        .unwrap_err()
        .to_string();
    assert!(told.contains("no room for powder"), "{told}");
}
