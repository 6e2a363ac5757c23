//! Maps of a floor too large for one page: parts with match lines, an index, and nothing lost between them.

use birdbath::analysis::{Analysis, Want};
use birdbath::job::{Inputs, JobFile, Sheet, Wanted, analyse, files, only_room, prepare};
use birdbath::report::Paper;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// 12 m by 9.6 m read every 0.3 m: 1,353 marks, some 600 more than one page of A4 holds.
fn hall() -> Analysis {
    let mut readings = String::from("x_m,y_m,reading_mm\n");
    for j in 0..=32 {
        for i in 0..=40 {
            let (x, y) = (f64::from(i) * 0.3, f64::from(j) * 0.3);
            let down = 1200.0 + 6.0 * (x / 2.1).sin() + 4.0 * (y / 1.7).cos();
            readings.push_str(&format!("{x:.1},{y:.1},{down:.0}\n"));
        }
    }
    let job = "units = \"metric\"\nchecks = [\"5 mm in 2 m\"]\n[[readings]]\nfile = \"hall.csv\"\n\
               [fill]\ngauge = \"3 mm\"\nmaterial = \"m.toml\"\n\
               [crew]\nbags_per_batch = 3\n";
    let material = "name = \"Invented\"\nbag_weight = \"18 kg\"\ncoverage = \"2.2 m2 at 5 mm\"\n\
                    bags_per_batch = 3\nopen_time = \"14 min\"\nmixing_time = \"2.5 min\"\n";
    let job = JobFile::parse("job.toml", job.as_bytes()).unwrap();
    let mut inputs = Inputs::default();
    inputs.insert("hall.csv", readings.into_bytes());
    inputs.insert("m.toml", material.as_bytes().to_vec());
    let room = only_room(&job, prepare(&job, &inputs).unwrap()).unwrap();
    let want = Want {
        patch: false,
        curve: false,
        ..Want::ALL
    };
    analyse(room, want, &|_, _| ()).unwrap()
}

fn made() -> &'static (Analysis, BTreeMap<String, Vec<u8>>) {
    static MADE: OnceLock<(Analysis, BTreeMap<String, Vec<u8>>)> = OnceLock::new();
    MADE.get_or_init(|| {
        let a = hall();
        let wanted = Wanted::everything().only(&[Sheet::MarkOut, Sheet::Flatness, Sheet::Pour]);
        let made = files(&a, Paper::A4, &wanted, &|_, _| ()).unwrap();
        (a, made.into_iter().collect())
    })
}

/// The words of each page, runs of spaces made one.
fn pages(name: &str) -> Vec<String> {
    crate::pdf::raw_text(&made().1[name])
        .split('\u{c}')
        .map(|page| page.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect()
}

#[test]
fn every_large_map_has_an_index_and_parts_that_name_their_neighbours() {
    for name in ["mark-out.pdf", "flatness.pdf", "pour.pdf"] {
        let pages = pages(name);
        let parts: Vec<&String> = pages
            .iter()
            .filter(|p| p.contains("Lay parts together"))
            .collect();
        assert!(parts.len() > 1, "{name}: {} parts", parts.len());
        let index = pages
            .iter()
            .find(|p| p.contains("Which page shows which part"));
        let index = index.unwrap_or_else(|| panic!("{name} has no index"));
        for (i, part) in parts.iter().enumerate() {
            let number = i + 1;
            assert!(
                part.contains(&format!("part {number} of {}", parts.len())),
                "{name}: {part}"
            );
            assert!(
                index.split(' ').any(|w| w == number.to_string()),
                "{name}: {index}"
            );
            // A match line names the part beyond it, and that part names this one.
            let beyond: Vec<usize> = part
                .match_indices("match line: part ")
                .filter_map(|(at, m)| part[at + m.len()..].split(' ').next()?.parse().ok())
                .collect();
            assert!(
                !beyond.is_empty(),
                "{name}: part {number} has no match line"
            );
            for other in beyond {
                let back = format!("match line: part {number}");
                assert!(parts[other - 1].contains(&back), "{name}: {number} {other}");
            }
        }
    }
}

#[test]
fn every_batch_and_every_edge_is_numbered_on_some_part() {
    let (a, _) = made();
    let plan = a.pour.as_ref().unwrap();
    assert!(plan.batches().count() > 20, "{}", plan.batches().count());
    let words = |name: &str| -> Vec<String> {
        pages(name)
            .iter()
            .filter(|p| p.contains("Lay parts together"))
            .flat_map(|p| p.split(' ').map(str::to_owned).collect::<Vec<_>>())
            .collect()
    };
    let pour = words("pour.pdf");
    for b in plan.batches() {
        assert!(pour.contains(&b.number.to_string()), "batch {}", b.number);
    }
    let edges = words("flatness.pdf");
    assert!(edges.iter().any(|w| w == "1"));
}

#[test]
fn no_page_of_a_large_map_is_larger_than_its_paper() {
    for name in ["mark-out.pdf", "flatness.pdf", "pour.pdf"] {
        for (w, h) in crate::pdf::page_sizes(&made().1[name]) {
            // A4 is 210 by 297 mm (ISO 216), 595.28 by 841.89 points.
            let (short, long) = (w.min(h), w.max(h));
            assert!(
                (short - 595.28).abs() < 0.5 && (long - 841.89).abs() < 0.5,
                "{name}: {w} {h}"
            );
        }
    }
}
