//! The HTML report in a browser: its edge tool agrees with an independent working of the same floor, and nothing of
//! the user's becomes a tag.

use crate::page::{HARM, built, check, demo, harmful_page, html, input, look};
use crate::support::browser::Browser;
use crate::support::profile::slow_profile;
use crate::support::rooms;
use birdbath::flatness::edge::{self, SearchOptions};
use birdbath::flatness::{Departure, Ground, Placement, section};
use birdbath::geometry::Point;
use birdbath::report::Pen;
use birdbath::report::page::PageInput;
use birdbath::units::{Habit, INCH_M, Length, depth_text, length_text};
use serde_json::{Value, json};

/// Opens the page as a phone's files app would: from the file, without any server.
fn open(client: &Browser, folder: &tempfile::TempDir, bytes: &[u8]) {
    let file = folder.path().join("floor.html");
    std::fs::write(&file, bytes).unwrap();
    client.goto(&format!("file://{}", file.display()));
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
    let client = Browser::open((1280, 800));
    let folder = tempfile::tempdir().unwrap();
    open(&client, &folder, &page);
    let got = client.execute(LAY_ALL, vec![json!(places)]);
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
    let client = Browser::open((1280, 800));
    let folder = tempfile::tempdir().unwrap();
    open(&client, &folder, &page);
    let got = client.execute(LAY_ALL, vec![asked]);
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
    let client = Browser::open((390, 844));
    let folder = tempfile::tempdir().unwrap();
    open(&client, &folder, &page);
    let places = json!([
        [-1.0, 2.0, 1.0, 2.0],
        [0.0, 0.5, 0.0, 3.5],
        [-1.0, 2.0, 3.0, 2.0],
        [0.3, 1.0, 0.3, 1.0]
    ]);
    let got = client.execute(LAY_ALL, vec![places]);
    let near = |v: &Value, want: f64| assert!((v.as_f64().unwrap() - want).abs() < 1e-8, "{got}");
    near(&got[0]["gap"], 0.01);
    near(&got[0]["at"][0], 0.0);
    near(&got[0]["contacts"][0][0], -1.0);
    near(&got[0]["contacts"][1][0], 1.0);
    near(&got[0]["hump"], 0.0);
    near(&got[1]["gap"], 0.0);
    assert!(got[2].is_null(), "3 m is beyond the floor: {got}");
    assert!(got[3].is_null(), "an edge of no length: {got}");
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
    let client = Browser::open((800, 600));
    let folder = tempfile::tempdir().unwrap();
    open(&client, &folder, &page);
    let script = "return arguments[0].map((m) => [depthText(m, 'us'), depthText(m, 'metric'), \
                  lengthText(m, 'us'), lengthText(m, 'metric'), gapText(m, 'us'), gapText(m, 'metric')]);";
    let got = client.execute(script, vec![json!(lengths)]);
    for ((m, want), got) in lengths.iter().zip(&words).zip(got.as_array().unwrap()) {
        assert_eq!(got, &json!(want), "{m} m");
    }
}

// ORACLE: property: whatever the user's text, the page shows it letter for letter and runs none of it
#[test]
fn harmful_text_is_shown_and_not_run() {
    let page = harmful_page();
    let client = Browser::open((390, 844));
    let folder = tempfile::tempdir().unwrap();
    open(&client, &folder, &page);
    let script = "return [typeof window.harmed, document.querySelector('h1').textContent, \
                  document.querySelector('.marks tbody th').textContent, document.images.length, \
                  document.documentElement.classList.contains('live')];";
    let got = client.execute(script, vec![]);
    assert_eq!(got, json!(["undefined", HARM, HARM, 0, true]));
}

// ORACLE: hand: what a finger, a mouse and the keys do to the edge and the cross
#[test]
fn the_edge_moves_by_pointer_and_keys() {
    let survey = rooms::ell(9.0, 6.5, 0.6);
    let floor = built(&survey);
    let checks = [check("Tile 15 in and over")];
    let page = html(&input(&survey, &floor, &checks, &[], Habit::Us));
    look("ell.html", &page);
    let client = Browser::open((390, 844));
    let folder = tempfile::tempdir().unwrap();
    open(&client, &folder, &page);
    // Nothing is wider than a phone.
    let wide = client.execute(
        "return document.documentElement.scrollWidth - window.innerWidth;",
        vec![],
    );
    assert!(wide.as_f64().unwrap() <= 0.0, "{wide} px too wide");
    let says = "return document.getElementById('edge-says').innerText;";
    let before = client.execute(says, vec![]);
    assert!(before.as_str().unwrap().contains("Largest gap"), "{before}");
    // A touch that drags the middle.
    let drag = "const g = document.querySelector('.handle[data-which=M]'), r = g.querySelector('.grip')\
                .getBoundingClientRect(); const at = (dx, dy) => ({ bubbles: true, cancelable: true, pointerId: 1, \
                pointerType: 'touch', isPrimary: true, buttons: 1, clientX: r.x + r.width / 2 + dx, \
                clientY: r.y + r.height / 2 + dy }); g.setPointerCapture = () => {}; \
                g.dispatchEvent(new PointerEvent('pointerdown', at(0, 0))); \
                g.dispatchEvent(new PointerEvent('pointermove', at(-60, 10))); \
                g.dispatchEvent(new PointerEvent('pointerup', at(-60, 10)));";
    client.execute(drag, vec![]);
    let dragged = client.execute(says, vec![]);
    assert_ne!(before, dragged);
    // The keys on an end.
    let key = "const g = document.querySelector('.handle[data-which=A]'); g.focus(); \
               g.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', shiftKey: true, bubbles: true, \
               cancelable: true }));";
    client.execute(key, vec![]);
    assert_ne!(client.execute(says, vec![]), dragged);
    // An edge that runs into the wall says so instead of giving a number.
    let long = "document.querySelector('#span').value = '60'; \
                document.querySelector('#span').dispatchEvent(new Event('input'));";
    client.execute(long, vec![]);
    let off = client.execute(says, vec![]);
    assert!(off.as_str().unwrap().contains("no floor under it"), "{off}");
    // Showing a place of the table lays the edge there: 9.1 mm is 3/8 in to the thirty-second.
    client.execute(
        "document.querySelector('[data-lay=\"0\"]').click();",
        vec![],
    );
    let length = client.execute("return document.getElementById('span').value;", vec![]);
    assert_eq!(length, json!("9.84"), "3 m in decimal feet");
    // A tap reads the depth there.
    let tap = "const m = document.getElementById('map'), r = m.getBoundingClientRect(); for (const kind of \
               ['pointerdown', 'pointerup']) m.dispatchEvent(new PointerEvent(kind, { bubbles: true, pointerType: \
               'touch', clientX: r.x + r.width * 0.3, clientY: r.y + r.height * 0.6 })); \
               return document.getElementById('place-says').innerText;";
    let place = client.execute(tap, vec![]);
    let place = place.as_str().unwrap();
    assert!(
        place.contains("Depth to fill") && place.contains("Nearest mark"),
        "{place}"
    );
    // Every control has a name that can be read out.
    let unnamed = "return [...document.querySelectorAll('button, input, [tabindex], svg[role]')].filter((e) => \
                   !(e.getAttribute('aria-label') || e.textContent.trim() || e.labels?.length)).map((e) => e.outerHTML);";
    assert_eq!(client.execute(unnamed, vec![]), json!([]));
}

// ORACLE: the program's own worst gap, laid again by the page's own script
#[test]
fn the_page_of_an_analysis_lays_the_worst_edge_again() {
    let analysis = demo();
    let page = html(&PageInput::from_analysis(&analysis));
    let part = &analysis.flatness.as_ref().unwrap().checks[0].parts[0];
    let found = part.measured().unwrap();
    let (worst, gap_m) = (found.worst.unwrap(), found.gap_m);
    let client = Browser::open((390, 844));
    let folder = tempfile::tempdir().unwrap();
    open(&client, &folder, &page);
    let place = json!([[worst.from.x, worst.from.y, worst.to.x, worst.to.y]]);
    let got = client.execute(LAY_ALL, vec![place]);
    assert!(
        (got[0]["gap"].as_f64().unwrap() - gap_m).abs() < 1e-6,
        "{got} {gap_m}"
    );
}
