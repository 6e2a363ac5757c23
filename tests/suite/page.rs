//! The HTML report: what it holds, that nothing of the user's becomes a tag, and that its edge tool agrees
//! with an independent working of the same floor.

use crate::support::browser::browse;
use crate::support::rooms;
use birdbath::analysis::{
    About, Analysis, CrewSettings, PlaneAsk, ReadingDoubt, Settings, Want, analyse,
};
use birdbath::fill::{Aim, Plane};
use birdbath::flatness::edge::{self, SearchOptions};
use birdbath::flatness::{
    CheckResult, Departure, Ground, Judged, Measured, Outcome, PartResult, Placement, Procedure,
    Sureness, ToRead, section,
};
use birdbath::geometry::Point;
use birdbath::import::{self, ImportOptions, Source};
use birdbath::report::Pen;
use birdbath::report::marks::Orientation;
use birdbath::report::page::{Extreme, Fact, Mark, PageInput, html};
use birdbath::surface::Floor;
use birdbath::survey::{Notice, Severity, Survey};
use birdbath::units::{FOOT_M, Habit, INCH_M, Length, depth_text, length_text};
use fantoccini::Client;
use serde_json::{Value, json};

/// An input with every part filled, over a survey's floor.
pub fn input<'a>(
    survey: &'a Survey,
    floor: &'a Floor,
    checks: &'a [CheckResult],
    notices: &'a [Notice],
    habit: Habit,
) -> PageInput<'a> {
    let marks: Vec<Mark> = survey
        .readings
        .iter()
        .map(|r| Mark {
            label: r.label.to_string(),
            at: r.at,
            elevation_m: r.elevation.m(),
            reading: depth_text(Length::from_m(1.0 - r.elevation.m()), habit),
            note: r.note.as_deref().unwrap_or_default().to_owned(),
        })
        .collect();
    let extreme = |m: &Mark| Extreme {
        at: m.at,
        elevation_m: m.elevation_m,
        words: format!("{}, {}", m.label, m.reading),
    };
    let by_height = |a: &&Mark, b: &&Mark| a.elevation_m.total_cmp(&b.elevation_m);
    let high = extreme(marks.iter().max_by(by_height).unwrap());
    let low = extreme(marks.iter().min_by(by_height).unwrap());
    PageInput {
        title: "Wren House, meal room (invented)".into(),
        head: vec![
            "Ground floor, slab on grade".into(),
            "read 2026-11-20 by the crew of the day".into(),
        ],
        habit,
        floor,
        room: survey.room.as_ref(),
        orientation: Orientation::of(survey),
        laid: survey.laid,
        plane: Some(Plane::level(high.elevation_m + INCH_M / 8.0)),
        high,
        low,
        marks,
        spans_m: match habit {
            Habit::Us => vec![2.0 * FOOT_M, 6.0 * FOOT_M, 10.0 * FOOT_M],
            Habit::Metric => vec![1.0, 2.0, 4.0],
        },
        checks,
        facts: vec![
            Fact::new("Material", "10.2 cu ft", "24 bags with 10 % waste"),
            Fact::new("Mean depth", "5/16 in", ""),
        ],
        notices,
        about: vec!["Birdbath 0.1.0".into()],
    }
}

/// A check that is out, with two places.
pub fn check(title: &str) -> CheckResult {
    let place = |a: (f64, f64), b: (f64, f64), gap_m: f64| Placement {
        from: Point::new(a.0, a.1),
        to: Point::new(b.0, b.1),
        at: Point::new((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0),
        gap_m,
    };
    let places = vec![
        place((5.5, 3.0), (8.5, 3.0), 0.0091),
        place((0.5, 3.0), (2.5, 4.5), 0.0042),
    ];
    let part = |span_m: f64, allowance_m: f64, outcome| PartResult {
        procedure: Procedure::Resting,
        span_m,
        allowance_m,
        judged: Judged {
            judged_m2: 98.0,
            room_m2: 100.0,
            ..Judged::default()
        },
        outcome,
        reason: "The worst gap is over the allowance by more than its doubt.".into(),
    };
    let found = Measured {
        gap_m: 0.0091,
        bound_m: 0.0092,
        worst: Some(places[0]),
        places: places.clone(),
        doubt_m: 0.0008,
        ..Measured::default()
    };
    let to_read = ToRead {
        every_m: 0.5 * FOOT_M,
        at: Some(Point::new(6.0, 2.0)),
    };
    CheckResult {
        check: "tile-large".into(),
        title: title.into(),
        source: "A standard, clause 1".into(),
        sureness: Sureness::FromMemory,
        note: String::new(),
        parts: vec![
            part(10.0 * FOOT_M, INCH_M / 8.0, Outcome::Out(found)),
            PartResult {
                reason: "To judge 2 ft, read every 6 in or closer.".into(),
                ..part(
                    2.0 * FOOT_M,
                    INCH_M / 16.0,
                    Outcome::NotTested(Some(to_read)),
                )
            },
        ],
    }
}

/// Places, sizes and words of the numbers on the map.
fn numbers_on(map: &str) -> Vec<(f64, f64, f64, String)> {
    let group = map.split("<g class=\"numbers\">").nth(1).unwrap();
    let group = group.split("</g>").next().unwrap();
    let attribute = |t: &str, name: &str| -> f64 {
        let from = t.split(&format!(" {name}=\"")).nth(1).unwrap();
        from.split('"').next().unwrap().parse().unwrap()
    };
    group
        .split("<text")
        .skip(1)
        .map(|t| {
            let words = t.split('>').nth(1).unwrap().split('<').next().unwrap();
            let [x, y, size] = ["x", "y", "font-size"].map(|n| attribute(t, n));
            (x, y, size, words.to_owned())
        })
        .collect()
}

// ORACLE: hand: a digit of the reader's sans serif is at least half as wide as it is high (Helvetica: 0.556), so
// middles nearer than half of both numbers' digits touch and read as one number
#[test]
fn no_two_numbers_on_the_map_read_as_one() {
    // Marks along the walls are moved inward, where the next row of marks stands.
    let mut points = Vec::new();
    for row in 0..24 {
        for column in 0..25 {
            let at = |i: i32, n: i32| f64::from(i) * 6.0 / f64::from(n - 1);
            let z = f64::from((row * 7 + column * 5) % 40) * 1e-3;
            points.push([at(column, 25), at(row, 24), z]);
        }
    }
    let walls = [[0.0, 0.0], [6.0, 0.0], [6.0, 6.0], [0.0, 6.0]];
    let survey = super::surveys::survey(&points, Some(super::surveys::room(&walls, &[])));
    let floor = built(&survey);
    let page = html(&input(&survey, &floor, &[], &[], Habit::Metric));
    let shown = numbers_on(std::str::from_utf8(&page).unwrap());
    assert!(shown.len() > 100, "only {} numbers", shown.len());
    for (i, (x, y, size, words)) in shown.iter().enumerate() {
        for (u, v, other_size, other) in &shown[..i] {
            let half = |t: &str, s: f64| t.chars().count() as f64 * s * 0.556 / 2.0;
            let apart = half(words, *size) + half(other, *other_size);
            assert!(
                (x - u).abs() >= apart || (y - v).abs() >= size * 0.7,
                "{words} at {x}, {y} meets {other} at {u}, {v}"
            );
        }
    }
}

fn built(survey: &Survey) -> Floor {
    Floor::build(survey).unwrap().floor
}

/// Opens the page as a phone's files app would: from the file, without any server.
async fn open(client: &Client, folder: &tempfile::TempDir, bytes: &[u8]) {
    let file = folder.path().join("floor.html");
    std::fs::write(&file, bytes).unwrap();
    client
        .goto(&format!("file://{}", file.display()))
        .await
        .unwrap();
}

/// Even numbers between 0 and 1 (Knuth's MMIX generator), the same on every run.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// Heights along a segment, worked out the slow way: cut it at every side of every triangle, and look
/// for a triangle under the middle of each piece. `None` when a piece has none.
fn slow_profile(floor: &Floor, a: Point, b: Point) -> Option<Vec<(f64, f64)>> {
    let mut cuts = vec![0.0, 1.0];
    let d = b - a;
    for t in 0..floor.triangles().len() as u32 {
        let c = floor.corners(t).map(|v| v.at);
        for k in 0..3 {
            let (p, q) = (c[k], c[(k + 1) % 3]);
            let e = q - p;
            let det = d.cross(e);
            if det.abs() < 1e-14 {
                continue;
            }
            let (s, u) = ((p - a).cross(e) / det, (p - a).cross(d) / det);
            if (0.0..=1.0).contains(&s) && (-1e-9..=1.0 + 1e-9).contains(&u) {
                cuts.push(s);
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    let mut out = Vec::new();
    for w in cuts.windows(2) {
        if (w[1] - w[0]) * d.norm() < 1e-9 {
            continue;
        }
        let middle = a.lerp(b, (w[0] + w[1]) / 2.0);
        let t = (0..floor.triangles().len() as u32).find(|&t| {
            let c = floor.corners(t).map(|v| v.at);
            (0..3).all(|k| (c[(k + 1) % 3] - c[k]).cross(middle - c[k]) >= -1e-12)
        })?;
        let corner = floor.corners(t)[0];
        for s in w {
            let p = a.lerp(b, *s);
            out.push((
                s * d.norm(),
                corner.z + floor.gradient(t).dot(p - corner.at),
            ));
        }
    }
    Some(out)
}

/// Largest distance of the profile below (side 1) or above (side -1) any chord between two of its points,
/// by trying every chord and every point under it.
fn slow_gap(profile: &[(f64, f64)], side: f64) -> f64 {
    let mut most = 0.0_f64;
    for i in 0..profile.len() {
        for j in i + 1..profile.len() {
            let (p, q) = (profile[i], profile[j]);
            if q.0 - p.0 < 1e-9 {
                continue;
            }
            let slope = (q.1 - p.1) / (q.0 - p.0);
            for m in &profile[i + 1..j] {
                most = most.max(side * (p.1 + slope * (m.0 - p.0) - m.1));
            }
        }
    }
    most
}

const LAY_ALL: &str = "return arguments[0].map(([ax, ay, bx, by]) => gapOnEdge(ax, ay, bx, by));";

// ORACLE:    independent code: every chord of a profile cut the slow way, against a hull in the page's script
// TOLERANCE: 1e-6 m, a thousandth of a millimetre: far below what any reading is good for
#[test]
fn the_edge_tool_agrees_with_slow_working_at_a_thousand_places() {
    let survey = rooms::ell(9.0, 6.5, 0.6);
    let floor = built(&survey);
    let page = html(&input(&survey, &floor, &[], &[], Habit::Metric));
    let mut numbers = Numbers(944);
    let mut places: Vec<[f64; 4]> = (0..1000)
        .map(|_| {
            let (x, y) = (9.0 * numbers.next(), 6.5 * numbers.next());
            let (long, turn) = (0.2 + 3.5 * numbers.next(), 6.3 * numbers.next());
            [x, y, x + long * turn.cos(), y + long * turn.sin()]
        })
        .collect();
    // From mark to mark as well: such an edge runs through corners and along sides of triangles.
    let marks: Vec<Point> = survey.readings.iter().map(|r| r.at).collect();
    for _ in 0..200 {
        let pick = |n: f64| marks[(n * marks.len() as f64) as usize % marks.len()];
        let (a, b) = (pick(numbers.next()), pick(numbers.next()));
        if a != b {
            places.push([a.x, a.y, b.x, b.y]);
        }
    }
    let wanted: Vec<Option<(f64, f64)>> = places
        .iter()
        .map(|p| {
            let profile = slow_profile(&floor, Point::new(p[0], p[1]), Point::new(p[2], p[3]))?;
            Some((slow_gap(&profile, 1.0), slow_gap(&profile, -1.0)))
        })
        .collect();
    let on_floor = wanted.iter().flatten().count();
    assert!(
        on_floor > 400 && on_floor < places.len() - 100,
        "{on_floor}"
    );
    assert!(wanted.iter().flatten().any(|w| w.0 > 0.004));
    browse((1280, 800), |client| async move {
        let folder = tempfile::tempdir().unwrap();
        open(&client, &folder, &page).await;
        let got = client.execute(LAY_ALL, vec![json!(places)]).await.unwrap();
        let got = got.as_array().unwrap();
        for ((place, want), got) in places.iter().zip(&wanted).zip(got) {
            match want {
                None => assert!(got.is_null(), "{place:?}: {got}"),
                Some((gap, hump)) => {
                    assert!(!got.is_null(), "{place:?} lies on the floor");
                    let of = |key: &str| got[key].as_f64().unwrap();
                    assert!(
                        (of("gap") - gap).abs() < 1e-6,
                        "{place:?}: gap {got}, not {gap}"
                    );
                    assert!(
                        (of("hump") - hump).abs() < 1e-6,
                        "{place:?}: hump {got}, not {hump}"
                    );
                }
            }
        }
    });
}

// ORACLE:    independent code: the library's own profile and its certified search
// TOLERANCE: 1e-6 m, as above
#[test]
fn the_edge_tool_agrees_with_the_library() {
    const SPAN_M: f64 = 2.5;
    let survey = rooms::ell(9.0, 6.5, 0.6);
    let floor = built(&survey);
    let page = html(&input(&survey, &floor, &[], &[], Habit::Metric));
    let options = SearchOptions {
        ground: Ground::WithExtended,
        ..SearchOptions::default()
    };
    let [dip, hump] = [Departure::Dip, Departure::Hump]
        .map(|d| edge::search(&floor, d, SPAN_M, &options, &|_| ()));
    let mut numbers = Numbers(55);
    let mut places = vec![dip.worst.unwrap(), hump.worst.unwrap()];
    while places.len() < 1002 {
        let from = Point::new(9.0 * numbers.next(), 6.5 * numbers.next());
        let (long, turn) = (0.1 + (SPAN_M - 0.1) * numbers.next(), 6.3 * numbers.next());
        let to = from + Point::new(turn.cos(), turn.sin()) * long;
        let at = from.lerp(to, 0.5);
        places.push(Placement {
            from,
            to,
            at,
            gap_m: 0.0,
        });
    }
    let profiles: Vec<Vec<(f64, f64)>> = places
        .iter()
        .map(|p| {
            section(&floor, p, 0.0)
                .iter()
                .map(|q| (q.along_m, q.floor_m))
                .collect()
        })
        .collect();
    let asked = json!(
        places
            .iter()
            .map(|p| [p.from.x, p.from.y, p.to.x, p.to.y])
            .collect::<Vec<_>>()
    );
    browse((1280, 800), |client| async move {
        let folder = tempfile::tempdir().unwrap();
        open(&client, &folder, &page).await;
        let got = client.execute(LAY_ALL, vec![asked]).await.unwrap();
        let got = got.as_array().unwrap();
        let of = |i: usize, key: &str| got[i][key].as_f64().unwrap();
        // The worst that the search found shows the same in the page.
        assert!(
            (of(0, "gap") - dip.gap_m()).abs() < 1e-6,
            "{} {}",
            got[0],
            dip.gap_m()
        );
        assert!(
            (of(1, "hump") - hump.gap_m()).abs() < 1e-6,
            "{} {}",
            got[1],
            hump.gap_m()
        );
        let mut on_floor = 0;
        for i in (0..places.len()).filter(|&i| !got[i].is_null()) {
            on_floor += 1;
            // Nothing that the page can show exceeds what the search has proven.
            assert!(of(i, "gap") <= dip.bound_m + 1e-9, "{:?}", places[i]);
            assert!(of(i, "hump") <= hump.bound_m + 1e-9, "{:?}", places[i]);
            let (gap, hump) = (slow_gap(&profiles[i], 1.0), slow_gap(&profiles[i], -1.0));
            assert!(
                (of(i, "gap") - gap).abs() < 1e-6,
                "{:?}: {}, not {gap}",
                places[i],
                got[i]
            );
            assert!(
                (of(i, "hump") - hump).abs() < 1e-6,
                "{:?}: {}, not {hump}",
                places[i],
                got[i]
            );
        }
        assert!(on_floor > 500, "{on_floor}");
    });
}

// ORACLE:    closed form: a valley z = |x| / 100 under an edge of 2 m across it is 1 m / 100 deep in its
//            middle; along it nothing. A fall adds nothing to either.
// TOLERANCE: 1e-8 m: triangles are widened by 1e-9 m so that neighbours leave no slit
#[test]
fn a_valley_shows_its_depth_across_and_nothing_along() {
    let mut survey = rooms::ell(9.0, 6.5, 0.5);
    survey.room = None;
    survey.readings.clear();
    for i in 0..9 {
        for j in 0..9 {
            let p = Point::new(f64::from(i) * 0.5 - 2.0, f64::from(j) * 0.5);
            let z = p.x.abs() / 100.0 + p.y * 0.004;
            survey
                .readings
                .push(rooms::reading(&format!("{i}-{j}"), p, z));
        }
    }
    let floor = built(&survey);
    let page = html(&input(&survey, &floor, &[], &[], Habit::Metric));
    browse((390, 844), |client| async move {
        let folder = tempfile::tempdir().unwrap();
        open(&client, &folder, &page).await;
        let places = json!([
            [-1.0, 2.0, 1.0, 2.0],
            [0.0, 0.5, 0.0, 3.5],
            [-1.0, 2.0, 3.0, 2.0],
            [0.3, 1.0, 0.3, 1.0]
        ]);
        let got = client.execute(LAY_ALL, vec![places]).await.unwrap();
        let near =
            |v: &Value, want: f64| assert!((v.as_f64().unwrap() - want).abs() < 1e-8, "{got}");
        near(&got[0]["gap"], 0.01);
        near(&got[0]["at"][0], 0.0);
        near(&got[0]["contacts"][0][0], -1.0);
        near(&got[0]["contacts"][1][0], 1.0);
        near(&got[0]["hump"], 0.0);
        near(&got[1]["gap"], 0.0);
        assert!(got[2].is_null(), "3 m is beyond the floor: {got}");
        assert!(got[3].is_null(), "an edge of no length: {got}");
    });
}

// ORACLE: independent code: the program's own printing of lengths
#[test]
fn the_script_prints_lengths_as_the_program_does() {
    let survey = rooms::ell(6.0, 5.0, 0.8);
    let floor = built(&survey);
    let page = html(&input(&survey, &floor, &[], &[], Habit::Us));
    let mut lengths: Vec<f64> = (-40..400).map(|i| f64::from(i) * INCH_M / 32.0).collect();
    let mut numbers = Numbers(7);
    lengths.extend((0..400).map(|_| numbers.next() * 8.0 - 1.0));
    lengths.extend((-30..90).map(|i| f64::from(i) * 0.0005));
    let words: Vec<[String; 6]> = lengths
        .iter()
        .map(|&m| {
            let m = Length::from_m(m);
            [
                depth_text(m, Habit::Us),
                depth_text(m, Habit::Metric),
                length_text(m, Habit::Us),
                length_text(m, Habit::Metric),
                Pen::new(Habit::Us).gap(m.m()),
                Pen::new(Habit::Metric).gap(m.m()),
            ]
        })
        .collect();
    browse((800, 600), |client| async move {
        let folder = tempfile::tempdir().unwrap();
        open(&client, &folder, &page).await;
        let script = "return arguments[0].map((m) => [depthText(m, 'us'), depthText(m, 'metric'), \
                      lengthText(m, 'us'), lengthText(m, 'metric'), gapText(m, 'us'), gapText(m, 'metric')]);";
        let got = client.execute(script, vec![json!(lengths)]).await.unwrap();
        for ((m, want), got) in lengths.iter().zip(&words).zip(got.as_array().unwrap()) {
            assert_eq!(got, &json!(want), "{m} m");
        }
    });
}

/// Text that would do harm if it were taken for a tag, an attribute, or the end of a script.
const HARM: &str = "</title></script><script>window.harmed=1</script><img src=x onerror=\"window.harmed=1\"> \
                    '\"&amp;<!--\u{2028}";

// ORACLE: property: whatever the user's text, the page shows it letter for letter and runs none of it
#[test]
fn text_from_the_file_stays_text() {
    let mut survey = rooms::ell(6.0, 5.0, 0.8);
    for r in &mut survey.readings {
        r.label = HARM.into();
        r.note = Some(HARM.into());
    }
    let room = survey.room.as_mut().unwrap();
    room.doors[0].name = HARM.into();
    room.voids[0].name = HARM.into();
    let floor = built(&survey);
    let mut harmful = check(HARM);
    harmful.source = HARM.into();
    harmful.note = HARM.into();
    harmful.parts[0].reason = HARM.into();
    let checks = [harmful];
    let notices = [Notice::new(HARM, Severity::Warning, HARM, HARM)];
    let mut input = input(&survey, &floor, &checks, &notices, Habit::Metric);
    input.title = HARM.into();
    input.head = vec![HARM.into()];
    input.about = vec![HARM.into()];
    input.facts = vec![Fact::new(HARM, HARM, HARM)];
    input.high.words = HARM.into();
    for m in &mut input.marks {
        m.reading = HARM.into();
    }
    let page = html(&input);
    let text = String::from_utf8(page.clone()).unwrap();
    assert!(!text.contains("<img") && !text.contains("onerror=\"") && !text.contains("<!--"));
    assert_eq!(text.matches("<script").count(), 2);
    browse((390, 844), |client| async move {
        let folder = tempfile::tempdir().unwrap();
        open(&client, &folder, &page).await;
        let script = "return [typeof window.harmed, document.querySelector('h1').textContent, \
                      document.querySelector('.marks tbody th').textContent, document.images.length, \
                      document.documentElement.classList.contains('live')];";
        let got = client.execute(script, vec![]).await.unwrap();
        assert_eq!(got, json!(["undefined", HARM, HARM, 0, true]));
    });
}

// ORACLE: hand: what a finger, a mouse and the keys do to the edge and the cross
#[test]
fn the_edge_moves_by_pointer_and_keys() {
    let survey = rooms::ell(9.0, 6.5, 0.6);
    let floor = built(&survey);
    let checks = [check("Tile 15 in and over")];
    let page = html(&input(&survey, &floor, &checks, &[], Habit::Us));
    look("ell.html", &page);
    browse((390, 844), |client| async move {
        let folder = tempfile::tempdir().unwrap();
        open(&client, &folder, &page).await;
        // Nothing is wider than a phone.
        let wide = client
            .execute(
                "return document.documentElement.scrollWidth - window.innerWidth;",
                vec![],
            )
            .await
            .unwrap();
        assert!(wide.as_f64().unwrap() <= 0.0, "{wide} px too wide");
        let says = "return document.getElementById('edge-says').innerText;";
        let before = client.execute(says, vec![]).await.unwrap();
        assert!(before.as_str().unwrap().contains("Largest gap"), "{before}");
        // A touch that drags the middle.
        let drag = "const g = document.querySelector('.handle[data-which=M]'), r = g.querySelector('.grip')\
                    .getBoundingClientRect(); const at = (dx, dy) => ({ bubbles: true, cancelable: true, pointerId: 1, \
                    pointerType: 'touch', isPrimary: true, buttons: 1, clientX: r.x + r.width / 2 + dx, \
                    clientY: r.y + r.height / 2 + dy }); g.setPointerCapture = () => {}; \
                    g.dispatchEvent(new PointerEvent('pointerdown', at(0, 0))); \
                    g.dispatchEvent(new PointerEvent('pointermove', at(-60, 10))); \
                    g.dispatchEvent(new PointerEvent('pointerup', at(-60, 10)));";
        client.execute(drag, vec![]).await.unwrap();
        let dragged = client.execute(says, vec![]).await.unwrap();
        assert_ne!(before, dragged);
        // The keys on an end.
        let key = "const g = document.querySelector('.handle[data-which=A]'); g.focus(); \
                   g.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', shiftKey: true, bubbles: true, \
                   cancelable: true }));";
        client.execute(key, vec![]).await.unwrap();
        assert_ne!(client.execute(says, vec![]).await.unwrap(), dragged);
        // An edge that runs into the wall says so instead of giving a number.
        let long = "document.querySelector('#span').value = '60'; \
                    document.querySelector('#span').dispatchEvent(new Event('input'));";
        client.execute(long, vec![]).await.unwrap();
        let off = client.execute(says, vec![]).await.unwrap();
        assert!(off.as_str().unwrap().contains("no floor under it"), "{off}");
        // Showing a place of the table lays the edge there: 9.1 mm is 3/8 in to the thirty-second.
        client
            .execute(
                "document.querySelector('[data-lay=\"0\"]').click();",
                vec![],
            )
            .await
            .unwrap();
        let length = client
            .execute("return document.getElementById('span').value;", vec![])
            .await
            .unwrap();
        assert_eq!(length, json!("9.84"), "3 m in decimal feet");
        // A tap reads the depth there.
        let tap = "const m = document.getElementById('map'), r = m.getBoundingClientRect(); for (const kind of \
                   ['pointerdown', 'pointerup']) m.dispatchEvent(new PointerEvent(kind, { bubbles: true, pointerType: \
                   'touch', clientX: r.x + r.width * 0.3, clientY: r.y + r.height * 0.6 })); \
                   return document.getElementById('place-says').innerText;";
        let place = client.execute(tap, vec![]).await.unwrap();
        let place = place.as_str().unwrap();
        assert!(
            place.contains("Depth to fill") && place.contains("Nearest mark"),
            "{place}"
        );
        // Every control has a name that can be read out.
        let unnamed = "return [...document.querySelectorAll('button, input, [tabindex], svg[role]')].filter((e) => \
                       !(e.getAttribute('aria-label') || e.textContent.trim() || e.labels?.length)).map((e) => e.outerHTML);";
        assert_eq!(client.execute(unnamed, vec![]).await.unwrap(), json!([]));
    });
}

// ORACLE: property: the file is whole in itself
#[test]
fn the_page_names_no_other_file_and_is_small() {
    let survey = rooms::ell(9.0, 7.5, 0.45);
    let floor = built(&survey);
    assert!(survey.readings.len() > 200, "{}", survey.readings.len());
    let checks = [check("Tile 15 in and over")];
    let page = html(&input(&survey, &floor, &checks, &[], Habit::Us));
    assert_eq!(page, html(&input(&survey, &floor, &checks, &[], Habit::Us)));
    assert!(page.len() < 400_000, "{} bytes", page.len());
    let text = String::from_utf8(page).unwrap();
    // The name of SVG's own vocabulary is not an address to fetch.
    let own = text.replace("http://www.w3.org/2000/svg", "");
    for outside in [
        "http:",
        "https:",
        "://",
        " src=",
        "@import",
        "url(\"",
        "<link",
        "localStorage",
    ] {
        let found = own.lines().find(|l| l.contains(outside));
        let near = |l: &str| {
            l.split(outside)
                .next()
                .map(|b| b.chars().rev().take(60).collect::<Vec<_>>())
        };
        assert!(found.is_none(), "{outside} after {:?}", found.map(near));
    }
}

/// The demo job, worked out.
fn demo() -> Analysis {
    let files = [
        (
            "readings.csv",
            &include_bytes!("../../fixtures/demo/readings.csv")[..],
        ),
        (
            "outline.csv",
            &include_bytes!("../../fixtures/demo/outline.csv")[..],
        ),
    ];
    let [readings, outline] = files.map(|(name, bytes)| Source { name, bytes });
    let mut survey = import::read(&readings, &ImportOptions::default())
        .unwrap()
        .surveys
        .remove(0);
    survey.room = Some(import::outline(&outline, &ImportOptions::default()).unwrap());
    let check = birdbath::flatness::check::by_name("tile-large").unwrap();
    let settings = Settings {
        about: About {
            title: "Wren House, meal room (invented demo)".into(),
            place: "Ground floor, slab on grade".into(),
            who: "crew of the day".into(),
            when: "2026-11-20".into(),
            revision: "0".into(),
            ..About::default()
        },
        inputs: vec![],
        run: String::new(),
        habit: Habit::Us,
        denominator: 16,
        spans_m: vec![],
        checks: vec![check.clone()],
        tolerance_m: None,
        f_numbers: None,
        doubt: ReadingDoubt::default(),
        aim: Aim::default(),
        deep: false,
        plane: Some(PlaneAsk::Gauge(INCH_M / 8.0)),
        material: None,
        waste: None,
        bags_at_hand: None,
        rake_m: None,
        grind_m: 0.0,
        framed: Some(false),
        cover_m: None,
        covering_m: None,
        base_depth_m: None,
        as_of: "2026-11-20".into(),
        gauges_m: vec![],
        patch_depth_m: None,
        prices: None,
        crew: CrewSettings::default(),
        silence: vec![],
    };
    let want = Want {
        flatness: true,
        fill: true,
        ..Want::default()
    };
    analyse(survey, settings, want, &|_, _| ()).unwrap()
}

// ORACLE: hand: fixtures/demo/ORIGIN.md names the extremes; the deepest place is the low point's 13/16 in and
//         the gauge depth's 1/8 in, 15/16 in; the program's own worst gap for the rest
#[test]
fn the_page_of_an_analysis_says_what_the_analysis_says() {
    let analysis = demo();
    let input = PageInput::from_analysis(&analysis);
    let page = html(&input);
    assert!(page.len() < 400_000, "{} bytes", page.len());
    let text = String::from_utf8(page.clone()).unwrap();
    for told in [
        "P6, 38 9/16",
        "P5, 39 3/8",
        "<b>13/16 in</b>",
        "deepest 15/16 in",
        "door wall",
        "hall door",
    ] {
        assert!(text.contains(told), "{told}");
    }
    let filling = analysis.filling.as_ref().unwrap();
    let pen = Pen::new(Habit::Us);
    assert!(text.contains(&pen.volume(filling.fill.volume_m3)));
    let part = &analysis.flatness.as_ref().unwrap().checks[0].parts[0];
    let found = part.measured().unwrap();
    assert!(text.contains(&pen.gap(found.gap_m)) && text.contains(&part.reason));
    let worst = found.worst.unwrap();
    let gap_m = found.gap_m;
    look("demo.html", &page);
    browse((390, 844), move |client| async move {
        let folder = tempfile::tempdir().unwrap();
        open(&client, &folder, &page).await;
        let place = json!([[worst.from.x, worst.from.y, worst.to.x, worst.to.y]]);
        let got = client.execute(LAY_ALL, vec![place]).await.unwrap();
        assert!(
            (got[0]["gap"].as_f64().unwrap() - gap_m).abs() < 1e-6,
            "{got} {gap_m}"
        );
    });
}

/// Writes a page into the folder that `BIRDBATH_LOOK` names, if it names one, to be looked at.
fn look(name: &str, page: &[u8]) {
    if let Some(folder) = std::env::var_os("BIRDBATH_LOOK") {
        std::fs::write(std::path::Path::new(&folder).join(name), page).unwrap();
    }
}

// ORACLE: property: parts that were not asked for leave no empty headings
#[test]
fn a_page_without_checks_or_room_is_whole() {
    let mut survey = rooms::ell(6.0, 5.0, 0.8);
    survey.room = None;
    let floor = built(&survey);
    let mut input = input(&survey, &floor, &[], &[], Habit::Metric);
    input.plane = None;
    input.facts.clear();
    let text = String::from_utf8(html(&input)).unwrap();
    assert!(text.contains("No check was asked for") && text.contains("Below the high point"));
    assert!(!text.contains("Worst places</h2>") && !text.contains("Depth to fill</b>"));
}
