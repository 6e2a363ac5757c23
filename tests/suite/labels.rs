//! Labels of the pour and the flatness maps on fifty random floors: none over another, none off the sheet.

use crate::support::rooms;
use birdbath::drawing::{
    EdgeMark, FlatnessMapInput, MarkUnit, PourMapInput, Role, Scene, SheetStyle, Subject,
    TitleBlock, flatness_map, pour_map,
};
use birdbath::flatness::{Departure, Placement};
use birdbath::geometry::Point;
use birdbath::pour::{Batch, Bay, BayDam, Clock, Lift, Order};
use birdbath::report::Paper;
use birdbath::surface::Floor;
use birdbath::units::Habit;

/// A fixed linear congruential sequence: the same fifty rooms every time.
struct Random(u64);

impl Random {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 33) as f64 / f64::from(1_u32 << 31))
    }
}

fn clean(scene: &Scene, what: &str) {
    assert_eq!(scene.overlaps().unwrap(), [], "{what}: texts over texts");
    assert_eq!(
        scene.clipped().unwrap(),
        Vec::<String>::new(),
        "{what}: off the sheet"
    );
    for text in scene.texts() {
        assert!(text.cap_mm >= 1.8, "{}: {} mm", text.words, text.cap_mm);
    }
}

fn style(paper: Paper, habit: Habit, upright: bool) -> SheetStyle {
    SheetStyle {
        paper,
        habit,
        upright,
        block: TitleBlock {
            title: "Random room".into(),
            facts: vec![("Place".into(), "Ground floor".into())],
            notes: vec!["Seen from above.".into()],
        },
        ..SheetStyle::default()
    }
}

/// Strips of random width from left to right, every fourth the first of a new bay.
fn strips(random: &mut Random, (w, h): (f64, f64)) -> Lift {
    let mut batches: Vec<Batch> = Vec::new();
    let mut bays: Vec<Bay> = Vec::new();
    let (mut left, mut bay_left) = (0.0, 0.0);
    let rect = |a: f64, b: f64| {
        vec![vec![
            Point::new(a, 0.0),
            Point::new(b, 0.0),
            Point::new(b, h),
            Point::new(a, h),
        ]]
    };
    while left < w {
        let right: f64 = (left + random.between(w / 60.0, w / 8.0)).min(w);
        let number = batches.len() as u32 + 1;
        let first = (number - 1).is_multiple_of(4);
        batches.push(Batch {
            number,
            bay: (number - 1) / 4 + 1,
            outline: rect(left, right),
            label_at: Point::new((left + right) / 2.0, h / 2.0),
            also_at: Vec::new(),
            area_m2: (right - left) * h,
            volume_m3: 0.02,
            mean_depth_m: 0.005,
            bags: 2 + number % 11,
            water_m3: None,
            tie_in_m: 0.0,
            ties: Vec::new(),
            tie_lines: if first {
                Vec::new()
            } else {
                vec![[Point::new(left, 0.0), Point::new(left, h)]]
            },
            mix_from_min: 0.0,
            place_from_min: 0.0,
            place_to_min: 0.0,
        });
        if number.is_multiple_of(4) || right >= w {
            bays.push(Bay {
                number: bays.len() as u32 + 1,
                outline: rect(bay_left, right),
                area_m2: (right - bay_left) * h,
                volume_m3: 0.08,
                bags: 8,
                dam: BayDam {
                    length_m: h,
                    lines: if right < w {
                        vec![[Point::new(right, 0.0), Point::new(right, h)]]
                    } else {
                        Vec::new()
                    },
                    highest_m: 0.01,
                },
                longest_wait_min: 4.0,
            });
            bay_left = right;
        }
        left = right;
    }
    Lift {
        number: 1,
        below_finish_m: 0.0,
        order: Order::Strips,
        reason: String::new(),
        scores: Vec::new(),
        start: Point::new(0.1, 0.1),
        bags: batches.iter().map(|b| b.bags).sum(),
        batches,
        volume_m3: 1.0,
        clock: Clock {
            mixing_min: 3.0,
            placing_min: 3.0,
            mixers: 1,
            overlapped: true,
            minutes: 12.0,
            overlapped_min: 12.0,
            one_after_other_min: 18.0,
            open_min: None,
            standing_min: 3.0,
            working_min: None,
        },
        longest_wait_min: 3.0,
        remedies: Vec::new(),
        bays,
    }
}

// ORACLE: property: no text covers another or leaves the sheet, whatever the room, its batches and its edges;
//         a batch has its number once, or is named in the note
#[test]
fn no_labels_of_pour_and_flatness_maps_overlap_on_fifty_random_floors() {
    let mut random = Random(20_261_121);
    let papers = [Paper::Letter, Paper::Tabloid, Paper::A4, Paper::A3];
    for i in 0..50 {
        let size = (random.between(2.5, 30.0), random.between(2.5, 20.0));
        let step = random.between(0.35, 1.5).max(size.0.max(size.1) / 60.0);
        let survey = rooms::ell(size.0, size.1, step);
        if survey.readings.len() < 4 {
            continue;
        }
        let floor = Floor::build(&survey).unwrap().floor;
        let subject = Subject {
            floor: &floor,
            room: survey.room.as_ref(),
            readings: &survey.readings,
            high: &[],
            low: &[],
        };
        let habit = if i % 2 == 0 { Habit::Us } else { Habit::Metric };
        let what = format!("floor {i}: {size:.2?} at {step:.2}");
        let plan = strips(&mut random, size);
        let scene = pour_map(&PourMapInput {
            subject,
            lift: &plan,
            style: style(papers[i % 4], habit, false),
        })
        .unwrap();
        clean(&scene, &what);
        let note: String = scene
            .texts()
            .filter(|t| t.role == Role::Note)
            .map(|t| format!("{} ", t.words))
            .collect();
        for b in &plan.batches {
            let number = b.number.to_string();
            let count = scene
                .texts()
                .filter(|t| t.role == Role::Number && t.words == number)
                .count();
            assert!(
                count == 1 || count == 0 && note.contains("too small"),
                "{what}: batch {number} stands {count} times"
            );
        }
        let count = survey.readings.len() as f64;
        let edges: Vec<EdgeMark> = (1..=10)
            .map(|number| {
                let mut pick = || {
                    survey.readings[(random.between(0.0, count) as usize).min(count as usize - 1)]
                        .at
                };
                let (from, to) = (pick(), pick());
                EdgeMark {
                    number,
                    placement: Placement {
                        from,
                        to,
                        at: from.lerp(to, 0.4),
                        gap_m: 0.004,
                    },
                    departure: if number % 3 == 0 {
                        Departure::Hump
                    } else {
                        Departure::Dip
                    },
                }
            })
            .collect();
        let dips: Vec<f64> = floor
            .vertices()
            .iter()
            .map(|v| 0.004 * (1.0 + (v.at.x * 1.7).sin() * (v.at.y * 1.3).cos()))
            .collect();
        let scene = flatness_map(&FlatnessMapInput {
            subject,
            departures_m: Some(&dips),
            heading: "Dip under a 10 ft edge",
            edges: &edges,
            unit: MarkUnit::usual(habit),
            bands: None,
            style: style(papers[i % 4], habit, i % 5 == 0),
        })
        .unwrap();
        clean(&scene, &what);
        if i % 5 == 0 {
            assert!(scene.height_mm > scene.width_mm, "{what} lies");
        }
    }
}
