//! What a job file asks of fill, patch and pour, from its words to the numbers: a ramp by hand.
//!
//! The floor is 4 m long and 2 m wide and rises 1 mm in every metre to the right, from 0 to 4 mm; read at every half metre.

use crate::support::schema::result;
use birdbath::analysis::{Analysis, Together, Want};
use birdbath::fill::PlaneRule;
use birdbath::job::{Inputs, JobFile, analyse, prepare};
use birdbath::pour::{Order, PourError};
use birdbath::report::answer;
use birdbath::report::result_file::{self, ResultFile};

const OUTLINE: &str = "kind,name,x_m,y_m,width_m,under_cut_mm
outline,room,0,0,,
outline,room,4,0,,
outline,room,4,2,,
outline,room,0,2,,
door,left door,0,1,0.8,
door,right door,4,1,0.8,2
";

const SHEET: &str = "name = \"Test material (invented)\"
yield_per_bag = \"10 l\"
feather_edge = true
max_lift = \"30 mm\"
water = [\"4 l\", \"8 l\"]
bags_per_batch = 2
mixing_time = \"3 min\"
open_time = \"15 min\"
density = \"2000 kg/m3\"
";

/// Readings of the ramp, with what is put on top of it.
fn ramp(on_top: impl Fn(f64, f64) -> f64) -> String {
    let mut text = "x_m,y_m,elevation_mm\n".to_owned();
    for j in 0..5 {
        for i in 0..9 {
            let (x, y) = (0.5 * f64::from(i), 0.5 * f64::from(j));
            text.push_str(&format!("{x},{y},{}\n", x + on_top(x, y)));
        }
    }
    text
}

fn try_rooms(job: &str, readings: &str, outline: &str) -> Result<Vec<Analysis>, String> {
    let text = format!("{job}\n[[readings]]\nfile = \"readings.csv\"\n");
    let job = JobFile::parse("job.toml", text.as_bytes()).map_err(|e| e.to_string())?;
    let mut inputs = Inputs::default();
    inputs.insert("readings.csv", readings.as_bytes().to_vec());
    inputs.insert("outline.csv", outline.as_bytes().to_vec());
    inputs.insert("material.toml", SHEET.as_bytes().to_vec());
    prepare(&job, &inputs)
        .map_err(|e| e.to_string())?
        .into_iter()
        .map(|room| analyse(room, Want::ALL, &|_, _| ()).map_err(|e| e.to_string()))
        .collect()
}

/// The ramp under the `[fill]` lines given, with the rest of the job before them.
fn job(head: &str, fill: &str) -> String {
    format!(
        "outline = \"outline.csv\"\nchecks = [\"3 mm in 2 m, resting\"]\n{head}\n[fill]\nmaterial = \"material.toml\"\nwaste = 0\n{fill}\n"
    )
}

fn filled(fill: &str) -> Analysis {
    one(&job("", fill), &ramp(|_, _| 0.0), OUTLINE)
}

fn one(job: &str, readings: &str, outline: &str) -> Analysis {
    let mut all = try_rooms(job, readings, outline).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(all.len(), 1);
    all.remove(0)
}

fn refused(fill: &str) -> String {
    try_rooms(&job("", fill), &ramp(|_, _| 0.0), OUTLINE).unwrap_err()
}

fn near(got: f64, expected: f64) {
    assert!((got - expected).abs() < 1e-9, "{got}, expected {expected}");
}

fn told(a: &Analysis, code: &str) -> Option<String> {
    a.notices
        .iter()
        .find(|n| n.code == code)
        .map(|n| n.text.clone())
}

// ORACLE: hand: the finish lies 3 mm over 4 mm; mean depth 5 mm over 8 m2.
#[test]
fn a_gauge_over_the_high_point() {
    let f = filled("gauge = \"3 mm\"").filling.unwrap().fill;
    near(f.volume_m3, 0.040);
    near(f.deepest_m, 0.007);
}

// ORACLE: hand: a finish at 2 mm leaves the right half above it, a wedge of 2 mm over 2 m by 2 m; the left half takes the same.
#[test]
fn a_plane_lower_than_the_high_point_is_ground_to() {
    for fill in ["gauge = \"-2 mm\"", "level_at = \"right door - 2 mm\""] {
        let a = filled(fill);
        let f = &a.filling.as_ref().unwrap().fill;
        near(f.volume_m3, 0.004);
        near(f.above_m3, 0.004);
        near(f.dry_area_m2, 4.0);
        near(f.highest_above_m, 0.002);
        assert!(answer::fill(&a).contains("to grind"), "{fill}");
    }
}

// ORACLE: hand: the readings' own labels name points too: the lower right corner lies at 4 mm.
#[test]
fn a_finish_at_a_mark() {
    let a = filled("gauge = \"3 mm\"");
    let corner = a
        .survey
        .readings
        .iter()
        .find(|r| (r.at.x, r.at.y) == (4.0, 0.0))
        .unwrap();
    let fill = format!("level_at = \"{} + 3 mm\"", corner.label);
    near(filled(&fill).filling.unwrap().fill.volume_m3, 0.040);
    let text = refused("level_at = \"nowhere + 3 mm\"");
    assert!(
        text.contains("left door, right door") && text.contains("mark"),
        "{text}"
    );
}

// ORACLE: hand: a finish that rises with the floor keeps one depth: 3 mm over 8 m2, by cover or through a door.
#[test]
fn a_given_fall() {
    let points = "fall_from = \"left door\"\nfall_to = \"right door\"\n";
    let back = "fall_from = \"right door\"\nfall_to = \"left door\"\n";
    for fill in [
        format!("fall = \"1 mm per m\"\n{back}gauge = \"3 mm\""),
        format!("fall = \"1:1000\"\n{back}level_at = \"right door + 3 mm\""),
        "fall = \"0.1 %\"\nfall_from = \"right door\"\nfall_to = \"left door\"\ngauge = \"3 mm\""
            .to_owned(),
    ] {
        let a = filled(&fill);
        let f = a.filling.as_ref().unwrap();
        assert!(matches!(f.fill.rule, PlaneRule::Fall { .. }));
        near(f.fill.volume_m3, 0.024);
        near(f.fill.deepest_m, 0.003);
        // What seeks level is not poured to a fall, and the tables of level finishes are left out.
        assert!(
            matches!(a.no_pour, Some(PourError::Tilted)),
            "{:?}",
            a.no_pour
        );
        assert!(told(&a, "tilted-finish").is_some());
        assert!(f.grind.is_empty() && f.side_by_side.is_empty());
        // What levelling takes is still told: 8 m2 under 3 mm (metric usual) and the ramp's mean 2 mm.
        assert!(
            f.need.words.iter().any(|w| w.contains("40.0 L")),
            "{:?}",
            f.need.words
        );
    }
    // Falling 1 mm in a metre to the right over a floor that rises as much: 3 mm at the right, 11 mm at the left.
    let against = filled(&format!("fall = \"1 mm per m\"\n{points}gauge = \"3 mm\""));
    near(against.filling.unwrap().fill.volume_m3, 0.007 * 8.0);
}

// ORACLE: hand: the ramp is a plane, so its own least-fill plane takes nothing.
#[test]
fn the_tilted_plane_of_least_fill() {
    let a = filled("least_fill = true");
    let f = &a.filling.as_ref().unwrap().fill;
    assert!(f.volume_m3.abs() < 1e-9, "{}", f.volume_m3);
    assert!(told(&a, "tilted-finish").unwrap().contains("level"));
}

// ORACLE: contract: two finishes at once, half a fall, or nonsense are refused by key.
#[test]
fn finishes_that_cannot_be() {
    for (fill, key) in [
        (
            "gauge = \"3 mm\"\nlevel_at = \"left door\"",
            "fill.level_at",
        ),
        ("least_fill = true\ngauge = \"3 mm\"", "fill.gauge"),
        ("fall = \"1:50\"", "fill.fall"),
        ("fall = \"1:50\"\nfall_from = \"left door\"", "fill.fall"),
        ("fall_to = \"left door\"", "fill.fall_to"),
        (
            "fall = \"1:50\"\nfall_from = \"left door\"\nfall_to = \"left door\"",
            "fill.fall",
        ),
        (
            "fall = \"level\"\nfall_from = \"left door\"\nfall_to = \"right door\"",
            "fill.fall",
        ),
        ("cover = \"-1 mm\"", "fill.cover"),
        ("base_depth = \"3\"", "fill.base_depth"),
    ] {
        let text = refused(fill);
        assert!(text.contains(key), "{fill}: {text}");
    }
}

// ORACLE: hand: under a finish at 4 mm the depth is 4 - x mm. Less than 2 mm of it lies over the right half, between marks as at
//         them; for 2 mm everywhere a wedge of 2 mm over 2 m by 2 m has to go. At the right door all 2 mm lack.
#[test]
fn least_cover_is_checked_between_the_marks() {
    let a = filled("gauge = \"0 mm\"\ncover = \"2 mm\"");
    let f = a.filling.as_ref().unwrap();
    let thin = f.take_off.as_ref().unwrap().thin.unwrap();
    near(thin.limit_m, 0.002);
    near(thin.grind_area_m2, 4.0);
    near(thin.grind_m3, 0.004);
    assert!(told(&a, "cover-too-thin").unwrap().contains("4.00 L"));
    let door = f.heights.iter().find(|h| h.name == "right door").unwrap();
    near(door.cover_spare_m.unwrap(), -0.002);
    // Cover that equals the gauge over the high point falls short nowhere.
    assert_eq!(
        told(
            &filled("gauge = \"2 mm\"\ncover = \"2 mm\""),
            "cover-too-thin"
        ),
        None
    );
    // 2.7 mm of cover fails over the right 2.7 m: the edge of it lies on no mark.
    let odd = filled("gauge = \"0 mm\"\ncover = \"2.7 mm\"");
    let thin = odd.filling.unwrap().take_off.unwrap().thin.unwrap();
    near(thin.grind_area_m2, 5.4);
    near(thin.grind_m3, 0.5 * 0.0027 * 5.4);
    assert!(
        filled("gauge = \"2 mm\"\ncover = \"2 mm\"")
            .filling
            .unwrap()
            .take_off
            .unwrap()
            .thin
            .is_none()
    );
}

// ORACLE: hand: depth 7 - x mm; where it is more than 4 mm, 4 mm of it is base.
#[test]
fn base_and_extra_scope_as_of_a_date() {
    let a = filled("gauge = \"3 mm\"\nbase_depth = \"4 mm\"\nas_of = \"2026-12-01\"");
    let t = a.filling.as_ref().unwrap().take_off.as_ref().unwrap();
    near(t.bands.iter().map(|b| b.base_m3).sum(), 0.031);
    near(t.bands.iter().map(|b| b.extra_m3).sum(), 0.009);
    assert_eq!(t.as_of.as_deref(), Some("2026-12-01"));
}

// ORACLE: hand: bags of 10 l at 10, grinding at 2 a square metre, 1 mm a step. Nothing ground: 40 l, 4 bags, 40. 1 mm: 2 m2 for 4,
//         33 l, 4 bags. 2 mm: 4 m2 for 8, 28 l, 3 bags, 38 in all. 3 mm: 6 m2 for 12, 25 l, 3 bags, 42.
#[test]
fn prices_mark_what_costs_least() {
    let text = job("", "gauge = \"3 mm\"\ngrind = \"3 mm\"")
        + "\n[prices]\ncurrency = \"EUR\"\nbag = 10\ngrind = \"2 per m2\"\nfoam = \"1 per m\"\n";
    let a = one(&text, &ramp(|_, _| 0.0), OUTLINE);
    let f = a.filling.as_ref().unwrap();
    let costs: Vec<f64> = f.grind.iter().map(|g| g.total_cost.unwrap()).collect();
    assert_eq!(costs.len(), 4);
    for (got, expected) in costs.iter().zip([40.0, 44.0, 38.0, 42.0]) {
        near(*got, expected);
    }
    let cheapest: Vec<bool> = f.grind.iter().map(|g| g.cheapest).collect();
    assert_eq!(cheapest, [false, false, true, false]);
    // 12 m round the room less two doors of 0.8 m.
    let costs = f.take_off.as_ref().unwrap().costs.as_ref().unwrap();
    near(costs.total, 40.0 + 10.4);
    let text = answer::fill(&a);
    assert!(text.contains("38.00 EUR in all, the least"), "{text}");
    assert!(text.contains("50.40 EUR"), "{text}");
}

// ORACLE: contract: the question comes before any figure of the fill; a plane is within every check.
#[test]
fn level_or_flat_comes_before_the_quantities() {
    let text = answer::fill(&filled("gauge = \"3 mm\""));
    let at = |what: &str| {
        text.find(what)
            .unwrap_or_else(|| panic!("no {what:?} in {text}"))
    };
    assert!(at("Flat or level?") < at("no pour is needed for flatness"));
    assert!(at("no pour is needed for flatness") < at("To make it level"));
    assert!(at("To make it level") < at("Volume"));
}

// ORACLE: hand: the shower takes 1 m by 1 m off; its dam runs 1 m up at x = 3 (4 mm deep under a finish at 7 mm) and 1 m across
//         to the wall (3 mm there).
#[test]
fn a_shower_keeps_its_slope_and_gets_a_dam() {
    let outline = format!(
        "{OUTLINE}slope,shower,3,0,,\nslope,shower,4,0,,\nslope,shower,4,1,,\nslope,shower,3,1,,\ndrain,floor drain,3.5,0.5,,\n"
    );
    let a = one(&job("", "gauge = \"3 mm\""), &ramp(|_, _| 0.0), &outline);
    let f = a.filling.as_ref().unwrap();
    near(f.fill.volume_m3, 0.040 - 0.0035);
    let left = &f.slopes[0];
    near(left.area_m2, 1.0);
    let dam = left.dam.as_ref().unwrap();
    near(dam.length_m, 2.0);
    near(dam.highest_m, 0.004);
    near(
        dam.stations
            .last()
            .unwrap()
            .depth_m
            .min(dam.stations[0].depth_m),
        0.003,
    );
    let text = answer::fill(&a);
    assert!(
        text.contains("shower: 1") && text.contains("height along it"),
        "{text}"
    );
    assert!(told(&a, "drain").unwrap().contains("floor drain"));
    assert!(told(&a, "slope-kept").unwrap().contains("shower"));
    assert_eq!(told(&a, "drain-in-fill"), None);
    let bare = format!("{OUTLINE}drain,side drain,0.5,0.5,,\n");
    let bare = one(&job("", "gauge = \"3 mm\""), &ramp(|_, _| 0.0), &bare);
    assert!(told(&bare, "drain-in-fill").unwrap().contains("side drain"));
}

// ORACLE: hand: 40 l at 2000 kg/m3 are 80 kg; 7 mm of it 14 kg/m2. Cautioned unless the floor is said not to be framed.
#[test]
fn weight_is_cautioned_until_the_floor_is_said_to_be_solid() {
    let weight = |fill: &str| told(&filled(fill), "added-weight");
    assert!(
        weight("gauge = \"3 mm\"")
            .unwrap()
            .contains("If the floor is framed")
    );
    assert!(
        weight("gauge = \"3 mm\"\nframed = true")
            .unwrap()
            .contains("This floor is framed")
    );
    assert_eq!(weight("gauge = \"3 mm\"\nframed = false"), None);
    let a = filled("gauge = \"3 mm\"");
    let w = a.filling.unwrap().take_off.unwrap().weight.unwrap();
    near(w.total_kg, 80.0);
    near(w.worst_kg_m2, 14.0);
}

// ORACLE: contract: start at a mark, order and bays as asked; a correction under 1/4 in makes the start matter little, and that is said.
#[test]
fn the_crew_may_move_the_start_and_choose() {
    let a = filled("gauge = \"3 mm\"");
    let plan = a.pour.as_ref().unwrap();
    near(plan.lifts[0].start.x, 4.0);
    assert!(told(&a, "start-matters-little").is_some());
    let mark = a
        .survey
        .readings
        .iter()
        .find(|r| (r.at.x, r.at.y) == (1.0, 2.0))
        .unwrap();
    let crew = format!(
        "\n[crew]\nstart = \"{}\"\nexit = \"right door\"\norder = \"level lines\"\n",
        mark.label
    );
    let moved = one(
        &(job("", "gauge = \"3 mm\"") + &crew),
        &ramp(|_, _| 0.0),
        OUTLINE,
    );
    let plan = moved.pour.as_ref().unwrap();
    assert_eq!((plan.lifts[0].start.x, plan.lifts[0].start.y), (1.0, 2.0));
    assert_eq!((plan.exit.x, plan.exit.y), (4.0, 1.0));
    assert_eq!(plan.lifts[0].order, Order::Harmonic);
    let bays = one(
        &(job("", "gauge = \"3 mm\"") + "\n[crew]\nbays = 2\norder = \"strips\"\n"),
        &ramp(|_, _| 0.0),
        OUTLINE,
    );
    let plan = bays.pour.unwrap();
    assert_eq!(
        (plan.lifts[0].order, plan.lifts[0].bays.len()),
        (Order::Strips, 2)
    );
    let text = job("", "gauge = \"3 mm\"") + "\n[crew]\norder = \"spiral\"\n";
    let text = try_rooms(&text, &ramp(|_, _| 0.0), OUTLINE).unwrap_err();
    assert!(
        text.contains("order = \"spiral\"") && text.contains("strips"),
        "{text}"
    );
}

// ORACLE: contract: a pit of 20 mm cannot be patched with 1 mm at most; with any depth it can, for less than the full pour.
#[test]
fn a_patch_that_cannot_be_is_said_plainly() {
    let pit = ramp(|x, y| if (x, y) == (2.0, 1.0) { -20.0 } else { 0.0 });
    let no = one(
        &job("", "gauge = \"3 mm\"\npatch_depth = \"1 mm\""),
        &pit,
        OUTLINE,
    );
    assert!(no.patch.is_none());
    assert!(
        told(&no, "no-patch-plan")
            .unwrap()
            .contains("no patch plan exists")
    );
    assert!(answer::whole(&no).contains("no patch plan exists"));
    assert!(result(ResultFile::whole(&no))["no_patch"].is_string());
    let yes = one(&job("", "gauge = \"3 mm\""), &pit, OUTLINE);
    let plan = yes.patch.as_ref().unwrap();
    assert_eq!(plan.patches.len(), 1);
    assert!(plan.saved_m3.unwrap() > 0.0 && plan.saved_height_m.unwrap() > 0.0);
    let text = answer::patch(&yes).unwrap();
    assert!(text.contains("the full pour takes"), "{text}");
}

// ORACLE: hand: two rooms off one sheet, 40 l each: 8 bags; with 5 % waste 4.2 bags each, 9 in all, 10 room by room.
#[test]
fn several_rooms_are_summed_and_rounded_up_once() {
    let mut readings = "room,x_m,y_m,elevation_mm\n".to_owned();
    for room in ["east", "west"] {
        for row in ramp(|_, _| 0.0).lines().skip(1) {
            readings.push_str(&format!("{room},{row}\n"));
        }
    }
    let job = "checks = [\"3 mm in 2 m, resting\"]\n[fill]\nmaterial = \"material.toml\"\nwaste = 5\ngauge = \"3 mm\"\nbase_depth = \"2 mm\"\n";
    let rooms = try_rooms(job, &readings, "").unwrap();
    let all = Together::of(&rooms);
    assert_eq!(all.rooms.len(), 2);
    near(all.total.volume_m3, 0.080);
    near(all.total.area_m2, 16.0);
    near(all.total.bags_exact.unwrap(), 8.4);
    assert_eq!((all.total.bags, all.bags_room_by_room), (Some(9), Some(10)));
    near(all.total.weight_kg.unwrap(), 160.0);
    // The sheet states no primer: half a sum would pass for the whole.
    assert_eq!(all.total.primer_m3, None);
    let text = answer::together(&rooms);
    assert!(
        text.contains("9 (8.40 before rounding up; 10 when"),
        "{text}"
    );
    let v: serde_json::Value =
        serde_json::from_str(&result_file::fill_of(&rooms).unwrap()).unwrap();
    assert_eq!(v["together"]["total"]["bags"], 9);
    // Nowhere less than 3 mm deep: 2 mm of base on 16 m2, the rest is extra.
    assert_eq!(v["together"]["total"]["base_l"], 32.0);
    assert_eq!(v["together"]["total"]["extra_l"], 48.0);
    assert_eq!(v["rooms"].as_array().unwrap().len(), 2);
}

// ORACLE: property: the order of the rows changes no figure of the fill. The lumps leave every square two ways to fold.
// TOLERANCE: sums in another order round otherwise: 1e-12 of the volume.
#[test]
fn the_order_of_the_rows_changes_no_quantity() {
    let lumpy = ramp(|x, y| 3.0 * (1.7 * x + 0.3).sin() * (2.3 * y).cos());
    let mut rows: Vec<&str> = lumpy.lines().skip(1).collect();
    let header = lumpy.lines().next().unwrap();
    let first = one(&job("", "gauge = \"3 mm\""), &lumpy, OUTLINE);
    let first = first.filling.unwrap().fill;
    for turn in [1usize, 7, 20] {
        rows.reverse();
        rows.rotate_left(turn);
        // Every other row to the back, too.
        let (odd, even): (Vec<_>, Vec<_>) = rows.iter().enumerate().partition(|(i, _)| i % 2 == 1);
        rows = odd.into_iter().chain(even).map(|(_, r)| *r).collect();
        let text = format!("{header}\n{}\n", rows.join("\n"));
        let other = one(&job("", "gauge = \"3 mm\""), &text, OUTLINE);
        let other = other.filling.unwrap().fill;
        for (a, b) in [
            (first.volume_m3, other.volume_m3),
            (first.diagonal_spread_m3, other.diagonal_spread_m3),
            (first.wet_area_m2, other.wet_area_m2),
            (first.deepest_m, other.deepest_m),
            (first.least_m, other.least_m),
        ] {
            assert!((a - b).abs() <= 1e-12 * a.abs().max(1.0), "{a} {b}");
        }
        assert_eq!(first.deepest_at, other.deepest_at);
    }
}
