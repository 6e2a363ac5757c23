//! The floor under a named point: the surface's own height, for every way that asks for it.

use super::floors::{cells, even};
use super::support::program::run;
use crate::support::schema::result;
use birdbath::analysis::{Analysis, Want, marks};
use birdbath::fill::{Known, OffFloor, PlaneRule, compute, place_on};
use birdbath::geometry::Point;
use birdbath::job::{FillWords, Inputs, JobFile, Overrides, analyse, prepare};
use birdbath::report::answer;
use birdbath::report::result_file::ResultFile;
use birdbath::surface::{Floor, Source, Vertex};
use birdbath::web::{NamedFile, Request, work};
use serde_json::Value;

/// Readings every 3 m on a plane that falls 30 mm a metre to the right: no mark stands near a fixture.
const READINGS: &str = "x_m,y_m,reading_mm
0,0,1000
3,0,1090
6,0,1180
0,3,1000
3,3,1090
6,3,1180
0,6,1000
3,6,1090
6,6,1180
";

const OUTLINE: &str = "kind,name,x_m,y_m,width_m
outline,room,0,0,
outline,room,6,0,
outline,room,6,6,
outline,room,0,6,
void,pier,4,4,
void,pier,5,4,
void,pier,5,5,
void,pier,4,5,
slope,shower,0,5,
slope,shower,1,5,
slope,shower,1,6,
slope,shower,0,6,
door,side door,2,-0.15,0.9
fixture,far post,2,-3.5,
fixture,flange,1,1,
fixture,on the pier,4.5,4.5,
fixture,in the shower,0.5,5.5,
fixture,yard drain,9,1,
";

fn inputs() -> Inputs {
    let mut inputs = Inputs::default();
    inputs.insert("r.csv", READINGS.as_bytes().to_vec());
    inputs.insert("o.csv", OUTLINE.as_bytes().to_vec());
    inputs
}

fn text(fill: &str) -> String {
    format!("outline = \"o.csv\"\n[[readings]]\nfile = \"r.csv\"\n[fill]\n{fill}\n")
}

fn filled(fill: &str) -> Result<Analysis, String> {
    let job = JobFile::parse("job.toml", text(fill).as_bytes()).map_err(|e| e.to_string())?;
    let room = prepare(&job, &inputs())
        .map_err(|e| e.to_string())?
        .remove(0);
    let want = Want {
        fill: true,
        ..Want::default()
    };
    analyse(room, want, &|_, _| ()).map_err(|e| e.to_string())
}

// ORACLE: hand: the floor is the plane z = -1 - 0.03 x, whatever triangles lie on it, so the finish lies the offset over
// the plane at the point. The marks nearest to the flange stand at x = 0 and x = 3.
#[test]
fn a_finish_at_a_point_is_the_surface_there() {
    for (name, x) in [
        ("flange", 1.0),
        ("side door", 2.0),
        ("B2", 3.0),
        ("FLANGE", 1.0),
    ] {
        for offset in [0.0, 6.0, -12.0] {
            let sign = if offset < 0.0 { '-' } else { '+' };
            let words = format!("level_at = \"{name} {sign} {} mm\"", f64::abs(offset));
            let a = filled(&words).unwrap();
            let level = a.filling.unwrap().fill.plane.z0;
            let expected = -1.0 - 0.03 * x + offset / 1000.0;
            assert!(
                (level - expected).abs() < 1e-12,
                "{words}: {level}, {expected}"
            );
        }
    }
    // A fall through a point: 3 % along x keeps 6 mm over all of this floor.
    let fall = "fall = \"3 %\"\nfall_from = \"A1\"\nfall_to = \"C1\"\nlevel_at = \"flange + 6 mm\"";
    let fill = filled(fall).unwrap().filling.unwrap().fill;
    assert!((fill.mean_depth_m - 0.006).abs() < 1e-12 && (fill.least_m - 0.006).abs() < 1e-9);
}

// ORACLE: contract: where there is no floor, that is said with the reason, and no other place's height is taken.
#[test]
fn a_point_off_the_floor_is_said_to_be() {
    for (name, why) in [
        ("on the pier", "pier stands there"),
        ("in the shower", "shower, which keeps its slope"),
        ("yard drain", "outside the walls"),
        ("far post", "outside the walls"),
    ] {
        let told = filled(&format!("level_at = \"{name} + 6 mm\"")).unwrap_err();
        assert!(told.contains(name) && told.contains(why), "{name}: {told}");
        let a = filled("gauge = \"3 mm\"").unwrap();
        let heights = &a.filling.as_ref().unwrap().heights;
        let at = heights.iter().find(|h| h.name == name).unwrap();
        assert_eq!((at.before_m, at.rise_m), (None, None));
        assert!(at.remarks[0].contains(why), "{:?}", at.remarks);
    }
    // Floor that nobody read: the readings end at x = 3 of 12 m.
    let floor = cells(&even(3.0, 3), &even(3.0, 3), |_, _| true, false, |_| 0.0);
    assert_eq!(
        place_on(&floor, None, Point::new(9.0, 1.0), false),
        Err(OffFloor::OutsideReadings)
    );
    // A door in the wall beside floor that nobody read is not outside the walls.
    let room = super::floors::room_ft(30.0, 30.0);
    for door in [Point::new(9.0, -0.1), Point::new(9.144, 8.0)] {
        assert_eq!(
            place_on(&floor, Some(&room), door, true),
            Err(OffFloor::NotSurveyed)
        );
    }
    assert!(place_on(&floor, None, Point::new(3.01, 1.0), false).is_ok());
    assert!(place_on(&floor, None, Point::new(3.5, 1.0), false).is_err());
    let door = place_on(&floor, None, Point::new(3.5, 1.2), true).unwrap();
    assert_eq!((door.at.x, door.at.y), (3.0, 1.2));
}

// ORACLE: contract: two things of one kind and one name in two places cannot be told apart, and that is said.
#[test]
fn a_name_that_two_places_bear() {
    let outline = format!("{OUTLINE}fixture,flange,2,2,\n");
    let job = JobFile::parse("job.toml", text("level_at = \"flange\"").as_bytes()).unwrap();
    let mut inputs = inputs();
    inputs.insert("o.csv", outline.into_bytes());
    let room = prepare(&job, &inputs).unwrap().remove(0);
    let want = Want {
        fill: true,
        ..Want::default()
    };
    let told = analyse(room, want, &|_, _| ()).unwrap_err().to_string();
    assert!(
        told.contains("2 places") && told.contains("level_at"),
        "{told}"
    );
}

// ORACLE: the readings: two set-ups share three marks and read the middle one differently; the surface takes their mean
// there, and both of its marks say the one depth that the fill has.
#[test]
fn a_mark_read_twice_has_one_depth() {
    let mut readings = "x_m,y_m,reading_mm,set-up\n".to_owned();
    for row in READINGS.lines().skip(1) {
        readings.push_str(&format!("{row},one\n"));
    }
    readings.push_str("0,0,1000,two\n3,3,1088,two\n6,6,1180,two\n");
    let job = "[[readings]]\nfile = \"r.csv\"\n[fill]\ngauge = \"3 mm\"\n";
    let job = JobFile::parse("job.toml", job.as_bytes()).unwrap();
    let mut inputs = Inputs::default();
    inputs.insert("r.csv", readings.into_bytes());
    let room = prepare(&job, &inputs).unwrap().remove(0);
    let want = Want {
        fill: true,
        ..Want::default()
    };
    let a = analyse(room, want, &|_, _| ()).unwrap();
    let plane = a.filling.as_ref().unwrap().fill.plane;
    let middle = |p: Point| p.distance(Point::new(3.0, 3.0)) < 1e-6;
    let read: Vec<f64> = a
        .survey
        .readings
        .iter()
        .filter(|r| middle(r.at))
        .map(|r| r.elevation.m())
        .collect();
    assert!(
        read.len() == 2 && (read[0] - read[1]).abs() > 0.001,
        "{read:?}"
    );
    let depth = plane.z0 - (read[0] + read[1]) / 2.0;
    let marks = marks(&a.survey, &a.floor, &plane);
    let told: Vec<f64> = marks
        .iter()
        .filter(|m| middle(m.at))
        .map(|m| m.depth_m)
        .collect();
    assert_eq!(told.len(), 1);
    assert!(
        told.iter().all(|d| (d - depth).abs() < 1e-12),
        "{told:?} {depth}"
    );
}

// ORACLE: contract: a finish given beside the job takes the place of the whole of the job's, on the page as by a flag.
#[test]
fn page_and_command_fill_to_the_same_finish() {
    let fall = "fall = \"1 %\"\nfall_from = \"A1\"\nfall_to = \"C1\"";
    for own in [
        fall,
        "least_fill = true",
        "level_at = \"flange\"",
        "gauge = \"9 mm\"",
    ] {
        let folder = tempfile::tempdir().unwrap();
        let job = text(own);
        for (name, bytes) in [
            ("job.toml", job.as_str()),
            ("r.csv", READINGS),
            ("o.csv", OUTLINE),
        ] {
            std::fs::write(folder.path().join(name), bytes).unwrap();
        }
        let o = run(
            folder.path(),
            &["fill", "job.toml", "--gauge", "4 mm", "--json"],
        );
        assert_eq!(
            o.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&o.stderr)
        );
        let flag: Value = serde_json::from_slice(&o.stdout).unwrap();
        let file = |name: &str, text: &str| NamedFile {
            name: name.to_owned(),
            bytes: text.as_bytes().to_vec(),
        };
        let outcome = work(Request {
            files: vec![
                file("job.toml", &job),
                file("r.csv", READINGS),
                file("o.csv", OUTLINE),
            ],
            main: "job.toml".to_owned(),
            options: Overrides {
                fill: FillWords {
                    gauge: Some("4 mm".to_owned()),
                    ..FillWords::default()
                },
                ..Overrides::default()
            },
        })
        .unwrap();
        let result = outcome
            .files
            .iter()
            .find(|f| f.name == "result.json")
            .unwrap();
        let page: Value = serde_json::from_slice(&result.bytes).unwrap();
        assert_eq!(flag["fill"], page["fill"], "{own}");
        assert_eq!(flag["fill"]["plane"]["rule"], "over-high-point");
    }
}

// ORACLE: hand: the lowest corner of a mesh of four: once a reading, once carried out to the wall; of two equal ones the
// read one is named.
#[test]
fn the_deepest_place_says_how_it_is_known() {
    let corners = [
        (0.0, 0.0, 0.0),
        (2.0, 0.0, -0.01),
        (2.0, 2.0, -0.01),
        (0.0, 2.0, 0.0),
    ];
    let floor = |carried: &[usize], lower: usize| {
        let vertices = (0..4)
            .map(|i| {
                let (x, y, z) = corners[i];
                Vertex {
                    at: Point::new(x, y),
                    z: if i == lower { z - 0.005 } else { z },
                    source: if carried.contains(&i) {
                        Source::Extended
                    } else {
                        Source::Reading(i as u32)
                    },
                }
            })
            .collect();
        let region = birdbath::geometry::Region {
            outline: super::floors::rectangle(0.0, 0.0, 2.0, 2.0),
            voids: vec![],
        };
        Floor::from_parts(vertices, vec![[0, 1, 2], [0, 2, 3]], region).unwrap()
    };
    let deepest = |floor: &Floor| {
        let f = compute(
            floor,
            0.0,
            &PlaneRule::OverHighPoint { gauge_m: 0.003 },
            &[],
        );
        (f.deepest_on, f.deepest_at)
    };
    assert_eq!(deepest(&floor(&[], 2)).0, Known::Reading);
    assert_eq!(deepest(&floor(&[2], 2)).0, Known::Extended);
    assert_eq!(deepest(&floor(&[2], 1)).0, Known::Reading);
    // Both lie 10 mm under the high point.
    let tie = deepest(&floor(&[1], 9));
    assert_eq!(tie, (Known::Reading, Point::new(2.0, 2.0)));
}

// ORACLE: hand: the readings end 0.5 m before the right wall, towards which the floor falls, so the deepest place is there.
#[test]
fn the_deepest_place_is_told_as_carried_out() {
    let mut readings = "x_m,y_m,reading_mm\n".to_owned();
    for i in 0..6 {
        for j in 0..5 {
            let (x, y) = (f64::from(i), f64::from(j));
            readings.push_str(&format!("{x},{y},{}\n", 1000.0 + 2.0 * x));
        }
    }
    let outline = "x_m,y_m\n0,0\n5.5,0\n5.5,4\n0,4\n";
    let job = "outline = \"o.csv\"\n[[readings]]\nfile = \"r.csv\"\n[fill]\ngauge = \"3 mm\"\n";
    let job = JobFile::parse("job.toml", job.as_bytes()).unwrap();
    let mut inputs = Inputs::default();
    inputs.insert("r.csv", readings.into_bytes());
    inputs.insert("o.csv", outline.as_bytes().to_vec());
    let room = prepare(&job, &inputs).unwrap().remove(0);
    let want = Want {
        fill: true,
        ..Want::default()
    };
    let a = analyse(room, want, &|_, _| ()).unwrap();
    let fill = &a.filling.as_ref().unwrap().fill;
    assert_eq!((fill.deepest_on, fill.deepest_at.x), (Known::Extended, 5.5));
    assert!((fill.deepest_m - 0.014).abs() < 1e-9);
    assert_eq!(
        result(ResultFile::fill(&a))["fill"]["deepest_on"],
        "extended"
    );
    let text = answer::fill(&a);
    assert!(
        text.contains("not read but carried out beyond the readings"),
        "{text}"
    );
}
