//! `result.json`: one fixed unit per key, the same bytes for the same input.

use serde_json::{Map, Value, json};

use crate::analysis::{Analysis, Between, Filling, Flatness, LevelSpot, Together};
use crate::fill::{GrindRow, Known};
use crate::flatness::{CheckResult, EdgeResult, Placement, SectionF};
use crate::geometry::{Point, Ring};
use crate::patch::PatchSpot;
use crate::report::compose::facts;
use crate::report::recheck::Recheck;
use crate::report::{Pen, words};
use crate::surface::doubt::NoDoubt;

/// Pretty text of a value, ending in a line feed.
pub fn text(value: &Value) -> String {
    let mut text = serde_json::to_string_pretty(&tidy(value)).unwrap_or_default();
    text.push('\n');
    text
}

/// The same value with nine decimals at the most and no negative zero: the rest is rounding of the computer.
fn tidy(value: &Value) -> Value {
    match value {
        Value::Number(n) if n.is_f64() => n
            .as_f64()
            .map_or_else(|| value.clone(), |v| json!(rounded(v, 1e9) + 0.0)),
        Value::Array(list) => Value::Array(list.iter().map(tidy).collect()),
        Value::Object(map) => {
            Value::Object(map.iter().map(|(k, v)| (k.clone(), tidy(v))).collect())
        }
        _ => value.clone(),
    }
}

/// Everything.
pub fn whole(a: &Analysis) -> Value {
    let mut all = head(a);
    for part in [flat(a), fill(a), pour(a), patch(a)] {
        if let Value::Object(part) = part {
            all.extend(part);
        }
    }
    Value::Object(all)
}

/// `survey`, `floor`, `notices`, `inputs`: in every answer.
fn head(a: &Analysis) -> Map<String, Value> {
    let mut map = Map::new();
    map.insert(
        "survey".into(),
        json!({
            "title": a.settings.about.title,
            "room": a.survey.name,
            "place": a.settings.about.place,
            "when": a.settings.about.when,
            "who": a.settings.about.who,
            "readings": a.survey.readings.len(),
            "readings_used": a.readings_used,
            "resolution_mm": step_mm(a.step.step_m),
            "resolution_stated": a.step.stated,
            "spacing_m": m(a.floor.spacing()),
            "sheet": a.survey.laid,
            "set_ups": a.survey.set_ups.iter().map(|s| json!({
                "name": s.name,
                "shift_mm": mm(s.shift_m),
                "shared_points": s.shared,
                "spread_mm": mm(s.spread_m),
            })).collect::<Vec<_>>(),
        }),
    );
    let areas = a.floor.areas();
    map.insert(
        "floor".into(),
        json!({
            "area_m2": six(areas.region_m2),
            "surveyed_m2": six(areas.surveyed_m2),
            "extended_m2": six(areas.extended_m2),
            "not_surveyed_m2": six(areas.unsurveyed_m2),
            "high_point": spot(a, &a.levels.high),
            "low_point": spot(a, &a.levels.low),
            "overall_deviation_mm": mm(a.levels.overall_m),
            "peaks": a.levels.peaks.iter().map(|p| json!({
                "label": p.label,
                "at": point(p.at),
                "below_high_mm": mm(p.below_high_m),
                "above_neighbours_mm": p.above_neighbours_m.map(mm),
            })).collect::<Vec<_>>(),
        }),
    );
    map.insert("notices".into(), json!(a.notices));
    map.insert(
        "inputs".into(),
        json!({
            "files": a.settings.inputs,
            "version": env!("CARGO_PKG_VERSION"),
            "run": a.settings.run,
        }),
    );
    map
}

fn spot(a: &Analysis, s: &LevelSpot) -> Value {
    let reading = a.survey.readings.get(s.reading);
    json!({
        "set_up": reading.and_then(|r| a.survey.set_up_of(r)),
        "x_m": m(s.at.x),
        "y_m": m(s.at.y),
        "elevation_mm": mm(s.elevation_m),
        "label": s.label,
        "ties": facts::ties(a, s),
    })
}

/// `span_curve` and `flatness`, with the head.
pub fn flat(a: &Analysis) -> Value {
    let mut map = head(a);
    if let Some(f) = &a.flatness {
        map.insert("span_curve".into(), span_curve(f));
        map.insert(
            "flatness".into(),
            Value::Array(f.checks.iter().flat_map(check).collect()),
        );
        if let Some(section) = &f.f_numbers {
            map.insert("f_numbers".into(), f_numbers(section));
        }
    }
    Value::Object(map)
}

fn span_curve(f: &Flatness) -> Value {
    Value::Array(
        f.span_curve
            .iter()
            .map(|p| {
                json!({
                    "span_mm": mm(p.span_m),
                    "dip_mm": mm(p.dip.gap_m()),
                    "dip_bound_mm": mm(p.dip.bound_m),
                    "dip_worst": worst(&p.dip),
                    "hump_mm": mm(p.hump.gap_m()),
                    "hump_bound_mm": mm(p.hump.bound_m),
                    "hump_worst": worst(&p.hump),
                    "between_joints": p.between_joints,
                    "coverage": six(p.judged.share()),
                    "full_span_laid": p.dip.full_span_laid,
                    "complete": p.dip.complete && p.hump.complete,
                })
            })
            .collect(),
    )
}

/// A number, or null with the reason in words beside it.
fn f_numbers(s: &SectionF) -> Value {
    let tenth = |v: f64| (v * 10.0).round() / 10.0;
    json!({
        "ff": s.ff.value().map(tenth),
        "ff_words": s.ff.words(words::f_numbers::CURVATURE),
        "fl": s.fl.value().map(tenth),
        "fl_words": s.fl.words(words::f_numbers::DIFFERENCE),
        "constants": s.constants,
        "ff_ceiling": s.ceiling.map(|c| tenth(c.0)),
        "fl_ceiling": s.ceiling.map(|c| tenth(c.1)),
        "lines": s.lines.iter().map(|l| json!({
            "name": l.name,
            "curvatures": l.q.values_m.len(),
            "ff": l.q.f.value().map(tenth),
            "differences": l.z.values_m.len(),
            "fl": l.z.f.value().map(tenth),
        })).collect::<Vec<_>>(),
        "rules": s.rules,
        "warnings": s.warnings,
    })
}

fn worst(r: &EdgeResult) -> Value {
    r.worst.as_ref().map_or(Value::Null, placement)
}

fn placement(w: &Placement) -> Value {
    json!({
        "gap_mm": mm(w.gap_m),
        "from": point(w.from),
        "to": point(w.to),
        "at": point(w.at),
        "contacts_mm": mm(w.chord_m()),
    })
}

/// A row for each part; what was not measured is null.
fn check(c: &CheckResult) -> Vec<Value> {
    c.parts
        .iter()
        .map(|p| {
            let found = p.measured();
            let mut worst = found
                .and_then(|m| m.worst.as_ref())
                .map_or(Value::Null, placement);
            if let (Value::Object(w), Some(m)) = (&mut worst, found) {
                w.insert("bound_mm".into(), json!(mm(m.bound_m)));
            }
            json!({
                "check": c.check,
                "title": c.title,
                "source": c.source,
                "sureness": c.sureness,
                "procedure": p.procedure,
                "span_mm": mm(p.span_m),
                "allowance_mm": mm(p.allowance_m),
                "gap_mm": found.map(|m| mm(m.largest_m())),
                "share_gap_mm": found.and_then(|m| m.allowed_share.map(|_| mm(m.gap_m))),
                "doubtful_gap_mm": found.and_then(|m| m.doubtful_m.map(mm)),
                "bound_mm": found.map(|m| mm(m.bound_m)),
                "worst": worst,
                "places": found.map_or_else(Vec::new, |m| m.places.iter().map(placement).collect()),
                "doubt_mm": found.map(|m| mm(m.doubt_m)),
                "coverage": six(p.judged.share()),
                "judged_m2": six(p.judged.judged_m2),
                "room_m2": six(p.judged.room_m2),
                "left_aside_m2": six(p.judged.aside_m2),
                "to_read": p.to_read().map(|r| json!({
                    "every_mm": mm(r.every_m),
                    "at": r.at.map(point),
                })),
                "share_over": found.and_then(|m| m.share_over).map(six),
                "verdict": p.verdict(),
                "check_verdict": c.verdict(),
                "reason": p.reason,
                "note": c.note,
                "other_way": found.and_then(|m| m.other.as_ref()).map(|o| json!({
                    "procedure": o.procedure,
                    "gap_mm": mm(o.gap_m),
                    "bound_mm": mm(o.bound_m),
                    "worst": o.worst.as_ref().map_or(Value::Null, placement),
                    "verdict": o.verdict,
                })),
            })
        })
        .collect()
}

/// `fill`, with the head.
pub fn fill(a: &Analysis) -> Value {
    let mut map = head(a);
    if let Some(f) = &a.filling {
        map.insert("fill".into(), filling(f));
    }
    if let Some(b) = &a.between {
        map.insert("between_readings".into(), between(b));
    }
    Value::Object(map)
}

fn between(between: &Result<Between, NoDoubt>) -> Value {
    let b = match between {
        Ok(b) => b,
        Err(why) => return json!({ "not_worked_out": words::no_doubt(*why) }),
    };
    json!({
        "range_m": m(b.variation.range_m),
        "sd_mm": mm(b.variation.sd_m),
        "noise_mm": mm(b.variation.noise_m),
        "volume": b.volume.as_ref().map(|v| json!({
            "expected_l": litres(v.expected_m3),
            "sd_l": litres(v.sd_m3),
            "enough": v.enough.iter().map(|e| json!({
                "share": e.share,
                "volume_l": litres(e.volume_m3),
                "bags": e.bags,
            })).collect::<Vec<_>>(),
        })),
        "read_next": b.read_next.iter().map(|s| json!({
            "at": point(s.at),
            "sd_mm": mm(s.sd_m),
            "surveyed": s.surveyed,
        })).collect::<Vec<_>>(),
    })
}

/// One room's object as it stands; of several rooms a list of them under `rooms`.
pub fn each_room(rooms: &[Analysis], object: impl Fn(&Analysis) -> Value) -> Value {
    match rooms {
        [only] => object(only),
        all => json!({ "rooms": all.iter().map(object).collect::<Vec<_>>() }),
    }
}

/// `fill` of several rooms, and their quantities in all.
pub fn fill_rooms(rooms: &[Analysis]) -> Value {
    json!({
        "rooms": rooms.iter().map(fill).collect::<Vec<_>>(),
        "together": super::together::json(&Together::of(rooms)),
    })
}

fn filling(filling: &Filling) -> Value {
    let f = &filling.fill;
    json!({
        "plane": f.rule,
        "gauge_depth_mm": mm(f.gauge_depth_m),
        "finish_level_mm": mm(f.plane.z0),
        "volume_l": litres(f.volume_m3),
        "diagonal_spread_l": litres(f.diagonal_spread_m3),
        "extended_volume_l": litres(f.extended_volume_m3),
        "wet_area_m2": six(f.wet_area_m2),
        "dry_area_m2": six(f.dry_area_m2),
        "above_l": litres(f.above_m3),
        "highest_above_mm": mm(f.highest_above_m),
        "mean_depth_mm": mm(f.mean_depth_m),
        "deepest_mm": mm(f.deepest_m),
        "deepest_at": point(f.deepest_at),
        "deepest_on": match f.deepest_on {
            Known::Reading | Known::Between => "read",
            Known::Extended => "extended",
        },
        "least_mm": mm(f.least_m),
        "bands": f.bands.iter().map(|b| json!({
            "from_mm": mm(b.from_m),
            "to_mm": b.to_m.map(mm),
            "area_m2": six(b.area_m2),
            "volume_l": litres(b.volume_m3),
        })).collect::<Vec<_>>(),
        "stage_curve": filling.stage.iter().map(|p| json!({
            "level_mm": mm(p.level_m),
            "gauge_depth_mm": mm(p.gauge_depth_m),
            "volume_l": litres(p.volume_m3),
            "wet_area_m2": six(p.wet_area_m2),
            "dry_area_m2": six(p.dry_area_m2),
        })).collect::<Vec<_>>(),
        "take_off": filling.take_off,
        "side_by_side": filling.side_by_side,
        "grind_or_fill": filling.grind.iter().map(grind_row).collect::<Vec<_>>(),
        "heights": filling.heights,
        "slopes_left": filling.slopes,
        "need": filling.need,
        "settled_by_rake": filling.by_rake,
        "settled_by_bags": filling.by_bags,
    })
}

fn grind_row(g: &GrindRow) -> Value {
    json!({
        "lowered_mm": mm(g.lowered_m),
        "level_mm": mm(g.level_m),
        "ground_to_mm": g.ground_to_m.map(mm),
        "grind_area_m2": six(g.grind_area_m2),
        "grind_volume_l": litres(g.grind_volume_m3),
        "deepest_grind_mm": mm(g.deepest_grind_m),
        "deeper_than_allowed": g.deeper_than_allowed,
        "volume_l": litres(g.volume_m3),
        "wet_area_m2": six(g.wet_area_m2),
        "bags": g.bags,
        "bags_saved": g.bags_saved,
        "grind_cost": g.grind_cost,
        "bag_cost": g.bag_cost,
        "total_cost": g.total_cost,
        "cheapest": g.cheapest,
    })
}

/// `pour`, with the head.
pub fn pour(a: &Analysis) -> Value {
    let mut map = head(a);
    if let Some(p) = &a.pour {
        let pen = Pen::new(a.settings.habit);
        map.insert(
            "pour".into(),
            json!({
                "batches": p.batches,
                "minutes": p.clock,
                "longest_wait_min": six(p.longest_wait_min),
                "staging": p.staging.iter().map(|s| json!({
                    "item": words::staging::item(pen, s),
                    "amount": words::staging::amount(pen, s),
                    "count": s.count,
                })).collect::<Vec<_>>(),
                "order": p.order,
                "reason": p.reason,
                "scores": p.scores,
                "bays": p.bays,
                "remedies": p.remedies,
                "checklist": facts::checklist(a),
            }),
        );
    }
    Value::Object(map)
}

fn patch(a: &Analysis) -> Value {
    let mut map = Map::new();
    if let Some(p) = &a.patch {
        map.insert(
            "patch".into(),
            json!({
                "fill_volume_l": litres(p.fill_volume_m3),
                "grind_volume_l": litres(p.grind_volume_m3),
                "bags": p.bags,
                "deepest_mm": mm(p.deepest_m),
                "saved_l": p.saved_m3.map(litres),
                "saved_height_mm": p.saved_height_m.map(mm),
                "checks": p.checks.iter().map(|c| json!({
                    "departure": c.limit.departure,
                    "span_mm": mm(c.limit.span_m),
                    "allowance_mm": mm(c.limit.allowance_m),
                    "before_mm": mm(c.before.gap_m()),
                    // Both are rounded, and the one is never over the other.
                    "after_bound_mm": mm(c.after.bound_m.min(c.limit.allowance_m)),
                })).collect::<Vec<_>>(),
                "patches": p.patches.iter().map(patch_spot).collect::<Vec<_>>(),
                "grinds": p.grinds.iter().map(patch_spot).collect::<Vec<_>>(),
            }),
        );
    }
    if let Some(why) = &a.no_patch {
        map.insert("no_patch".into(), json!(why));
    }
    Value::Object(map)
}

/// A re-check: marks with thickness, least cover, bags.
pub fn recheck(r: &Recheck) -> Value {
    json!({
        "marks": r.marks.iter().map(|m| json!({
            "label": m.label,
            "at": point(m.at),
            "before": m.before_text,
            "after": m.after_text,
            "placed_mm": mm(m.placed_m),
            "planned_mm": m.planned_m.map(mm),
            "off_finish_mm": m.off_finish_m.map(mm),
            "remarks": m.remarks,
        })).collect::<Vec<_>>(),
        "unpoured": r.unpoured,
        "spots": r.spots.iter().map(|s| json!({
            "remark": s.remark,
            "marks": s.marks.iter().filter_map(|&i| Some(&r.marks.get(i)?.label)).collect::<Vec<_>>(),
            "worst": r.marks.get(s.worst).map(|m| &m.label),
        })).collect::<Vec<_>>(),
        "only_before": r.only_before,
        "only_after": r.only_after,
        "shift_mm": mm(r.shift_m),
        "tie_spread_mm": r.tie_spread_m.map(mm),
        "thinnest": r.thinnest.and_then(|i| r.marks.get(i)).map(|m| m.label.clone()),
        "mean_mm": mm(r.mean_m),
        "placed_l": r.placed_m3.map(litres),
        "bags_planned": r.bags_planned,
        "bags_used": r.bags_used,
        "bags_explained": r.bags_explained.map(six),
    })
}

fn patch_spot(s: &PatchSpot) -> Value {
    let lines = |rings: &[Ring]| -> Vec<Vec<Value>> {
        rings
            .iter()
            .map(|r| r.points().iter().map(|p| point(*p)).collect())
            .collect()
    };
    json!({
        "outlines": lines(&s.outlines),
        "islands": lines(&s.islands),
        "area_m2": six(s.area_m2),
        "volume_l": litres(s.volume_m3),
        "deepest_mm": mm(s.deepest_m),
        "deepest_at": point(s.deepest_at),
        "bags": s.bags.map(six),
    })
}

fn point(p: Point) -> Value {
    json!({ "x_m": m(p.x), "y_m": m(p.y) })
}

/// Metres to the hundredth of a millimetre.
fn m(value: f64) -> f64 {
    rounded(value, 1e5)
}

/// Metres as millimetres to the thousandth.
fn mm(value_m: f64) -> f64 {
    rounded(value_m * 1000.0, 1e3)
}

/// A reading's step as millimetres: to the millionth, since it may be that fine and is never nothing.
fn step_mm(value_m: f64) -> f64 {
    rounded(value_m * 1000.0, 1e6)
}

/// Cubic metres as litres to the thousandth.
fn litres(value_m3: f64) -> f64 {
    rounded(value_m3 * 1000.0, 1e3)
}

fn six(value: f64) -> f64 {
    rounded(value, 1e6)
}

/// Fixed decimals, so that the last bit of a sum never shows. Never minus zero.
fn rounded(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps + 0.0
}
