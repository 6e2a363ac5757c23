//! Is a word true as often as it says? Floors whose worst gap is known are read, with noise and rounding, and judged.
//!
//! `cargo bench --bench accuracy` prints the tables of docs/accuracy.md and writes docs/images/accuracy.svg. With `--test`, as
//! `cargo test --benches` calls it, one floor of each kind is judged and nothing is written.

use birdbath::fill::{PlaneRule, compute, volume_doubt};
use birdbath::flatness::check::parse;
use birdbath::flatness::edge::search;
use birdbath::flatness::{
    Chance, Check, Departure, JudgeOptions, Likely, ReadingDoubt, SearchOptions, Verdict,
    judge_and_curve,
};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::survey::{Elevation, Reading, Survey};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::f64::consts::TAU;
use std::fmt::Write as _;

const FOOT_M: f64 = 0.3048;
/// What the rule was read to, metres.
const STEP_M: f64 = 0.0254 / 16.0;
/// What a reading truly repeats to, metres in the standard deviation.
const NOISE_M: f64 = 0.000_5;
const LIMIT_M: f64 = 0.0254 / 8.0;
const EDGE_M: f64 = 10.0 * FOOT_M;
/// The room, and how closely it is read; its true shape is known four times as closely.
const ROOM_M: (f64, f64) = (12.0 * FOOT_M, 14.0 * FOOT_M);
const GRID_M: f64 = 2.0 * FOOT_M;
const TRUE_M: f64 = FOOT_M / 2.0;
/// Size of a floor while its own worst gap is measured, metres.
const TRIAL_M: f64 = 0.002;

const RATIOS: [f64; 8] = [0.3, 0.5, 0.7, 0.9, 1.1, 1.3, 1.6, 2.0];
/// Floors of each kind and ratio.
const FLOORS: u64 = 30;
/// Edges of the classes of stated chances, per cent.
const CLASSES: [f64; 7] = [0.0, 5.0, 25.0, 50.0, 75.0, 95.0, 100.0];

/// Random numbers, the same on every machine.
struct Dice(ChaCha8Rng);

impl Dice {
    fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Box and Muller's normal numbers.
    fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.unit()).ln()).sqrt() * (TAU * self.unit()).cos()
    }
}

type Shape = Box<dyn Fn(Point) -> f64>;

/// A dozen waves of about one length, every way.
fn waves(dice: &mut Dice, length_m: f64) -> Shape {
    let list: Vec<[f64; 4]> = (0..12)
        .map(|_| {
            let way = dice.unit() * TAU;
            let k = TAU / (length_m * (0.8 + 0.4 * dice.unit()));
            [
                k * way.cos(),
                k * way.sin(),
                dice.unit() * TAU,
                dice.normal(),
            ]
        })
        .collect();
    Box::new(move |p| {
        list.iter()
            .map(|[x, y, at, size]| size * (x * p.x + y * p.y + at).sin())
            .sum()
    })
}

#[derive(Clone, Copy)]
enum Kind {
    Waves(f64),
    Bowl,
    EveryScale,
    Nub,
    HalfRough,
    Step,
    Panels,
}

const KINDS: [(&str, Kind); 9] = [
    ("waves of 4 ft", Kind::Waves(4.0)),
    ("waves of 6 ft", Kind::Waves(6.0)),
    ("waves of 10 ft", Kind::Waves(10.0)),
    ("a bowl or a crown as wide as the room", Kind::Bowl),
    ("rough at every scale", Kind::EveryScale),
    ("one nub or hollow, 1 ft wide, at a reading", Kind::Nub),
    ("one half rough, the other smooth", Kind::HalfRough),
    ("an unmarked step", Kind::Step),
    ("panels curled at joints every 7 ft, unmarked", Kind::Panels),
];

fn shape(kind: Kind, dice: &mut Dice) -> Shape {
    match kind {
        Kind::Waves(feet) => waves(dice, feet * FOOT_M),
        Kind::Bowl => {
            let (gentle, share) = (waves(dice, 10.0 * FOOT_M), |u: f64| 0.3 + 0.4 * u);
            let middle = Point::new(ROOM_M.0 * share(dice.unit()), ROOM_M.1 * share(dice.unit()));
            let way = if dice.unit() < 0.5 { 1.0 } else { -1.0 };
            Box::new(move |p| way * (p.distance(middle) / ROOM_M.0).powi(2) + 0.03 * gentle(p))
        }
        Kind::EveryScale => {
            // Waves of 1 to 16 ft, each as high as the square root of its length: slopes that grow the closer one looks.
            let lengths = (0..5).map(|k| f64::from(1 << k));
            let list: Vec<(f64, Shape)> = lengths
                .map(|feet| (feet.sqrt(), waves(dice, feet * FOOT_M)))
                .collect();
            Box::new(move |p| list.iter().map(|(size, wave)| size * wave(p)).sum())
        }
        Kind::Nub => {
            let node = |dice: &mut Dice, count: f64| (dice.unit() * count).floor() * GRID_M;
            let at = Point::new(node(dice, 7.0), node(dice, 8.0));
            let way = if dice.unit() < 0.5 { 1.0 } else { -1.0 };
            Box::new(move |p| way * (-(p.distance(at) / (0.5 * FOOT_M)).powi(2)).exp())
        }
        Kind::HalfRough => {
            let (rough, smooth) = (waves(dice, 6.0 * FOOT_M), waves(dice, 10.0 * FOOT_M));
            Box::new(move |p| {
                let t = (p.x / FOOT_M - 4.0).clamp(0.0, 4.0) / 4.0;
                let share = t * t * (3.0 - 2.0 * t);
                share * rough(p) + (1.0 - share) * 0.15 * smooth(p)
            })
        }
        Kind::Step => {
            let (gentle, at) = (
                waves(dice, 10.0 * FOOT_M),
                (3.0 + 6.0 * dice.unit()) * FOOT_M,
            );
            Box::new(move |p| 0.2 * gentle(p) + if p.x > at { 3.0 } else { 0.0 })
        }
        Kind::Panels => {
            let side = 7.0 * FOOT_M;
            let (x, y) = (dice.unit() * side, dice.unit() * side);
            let off = move |at: f64| ((at.rem_euclid(side)) / side - 0.5) * 2.0;
            Box::new(move |p| off(p.x + x).powi(2) + off(p.y + y).powi(2))
        }
    }
}

fn grid(step_m: f64) -> Vec<Point> {
    let count = |length: f64| (length / step_m).round() as u32;
    let (nx, ny) = (count(ROOM_M.0), count(ROOM_M.1));
    (0..(nx + 1) * (ny + 1))
        .map(|k| {
            let (i, j) = (k % (nx + 1), k / (nx + 1));
            Point::new(f64::from(i) * step_m, f64::from(j) * step_m)
        })
        .collect()
}

fn floor(heights: impl Iterator<Item = (Point, f64)>) -> Option<Floor> {
    let readings = heights
        .map(|(at, z)| Reading::new("", at, Elevation::from_m(z)))
        .collect();
    Floor::build(&Survey::new("", readings).ok()?)
        .ok()
        .map(|b| b.floor)
}

/// A gauge depth over the high point, metres.
const GAUGE: PlaneRule = PlaneRule::OverHighPoint {
    gauge_m: 0.0254 / 8.0,
};
/// Ratios at which volumes are held against the true one, which hang on the size of a floor and not on its limit.
const VOLUME_RATIOS: [f64; 2] = [0.5, 1.6];

/// A floor as it was read, its true worst gap being `ratio` of the limit; and the volume that it truly takes, cubic metres.
fn read(kind: Kind, ratio: f64, seed: u64) -> Option<(Floor, f64)> {
    let mut dice = Dice(ChaCha8Rng::seed_from_u64(seed));
    let shape = shape(kind, &mut dice);
    let truth = floor(grid(TRUE_M).into_iter().map(|p| (p, TRIAL_M * shape(p))))?;
    let options = SearchOptions::default();
    let gap_m = search(&truth, Departure::Dip, EDGE_M, &options, &|_| ()).gap_m();
    let size = ratio * LIMIT_M / gap_m * TRIAL_M;
    let tilt = (0.002 * dice.normal(), 0.002 * dice.normal());
    let height = |p: Point| size * shape(p) + tilt.0 * p.x + tilt.1 * p.y;
    let truth = floor(grid(TRUE_M).into_iter().map(|p| (p, height(p))))?;
    let heights = truth.vertices().iter().map(|v| v.z);
    let high_m = heights.fold(f64::MIN, f64::max);
    let volume_m3 = compute(&truth, high_m, &GAUGE, &[]).volume_m3;
    let read = floor(grid(GRID_M).into_iter().map(|p| {
        let z = height(p) + NOISE_M * dice.normal();
        (p, (z / STEP_M).round() * STEP_M)
    }))?;
    Some((read, volume_m3))
}

/// What is told of a floor.
struct Told {
    word: Verdict,
    chance: Option<(Chance, Likely)>,
    /// Volumes that are enough in 50, 80 and 95 of 100 cases, cubic metres; empty where they were not asked for.
    enough_m3: Vec<f64>,
}

fn judged(
    floor: &Floor,
    check: &Check,
    (noise_m, seed): (f64, u64),
    volumes: bool,
) -> Option<Told> {
    let options = JudgeOptions {
        draws: 200,
        seed,
        both_ways: false,
        doubt: ReadingDoubt {
            step_m: STEP_M,
            repeatability_m: noise_m,
            ..ReadingDoubt::default()
        },
        ..JudgeOptions::default()
    };
    let mut chances = options.chances();
    let checks = std::slice::from_ref(check);
    let (result, _) = judge_and_curve(floor, checks, &[], &options, &mut chances, &|_| ());
    let part = result.first()?.parts.first()?;
    let chance = part.measured().and_then(|m| Some((m.chance?, m.likely?)));
    let mut enough_m3 = Vec::new();
    if volumes {
        let draws = chances.most();
        let doubt = volume_doubt(
            chances.may_be(floor, &|| ()).ok()?,
            draws,
            &GAUGE,
            0.0,
            None,
        );
        enough_m3.extend(doubt.ok()??.enough.iter().map(|e| e.volume_m3));
    }
    Some(Told {
        word: part.verdict(),
        chance,
        enough_m3,
    })
}

/// Words by kind and ratio, what was stated of each floor with whether it truly kept the limit, and by kind how often the true gap
/// lay under, in and over the range told as likely.
struct Trial {
    table: String,
    stated: Vec<(Chance, bool)>,
    ranges: String,
    /// By kind, how often each volume told as enough was.
    volumes: String,
}

fn trial(check: &Check, noise_m: f64, floors: u64) -> Option<Trial> {
    let mut table = format!(
        "| within / in doubt / out, % | {} of the limit |\n|---|{}\n",
        RATIOS.map(|r| r.to_string()).join(" | "),
        "---|".repeat(RATIOS.len())
    );
    let mut stated = Vec::new();
    let mut ranges = String::from(
        "| true gap under / in / over the likely range, % | all | 0.9 of the limit and more |\n|---|---|---|\n",
    );
    let mut volumes =
        String::from("| enough, % | told for 50 | for 80 | for 95 in 100 |\n|---|---|---|---|\n");
    for (name, kind) in KINDS {
        let (mut held, mut asked) = ([0u64; 3], 0u64);
        write!(table, "| {name} |").ok()?;
        let (mut lies, mut lies_near) = ([0u64; 3], [0u64; 3]);
        for ratio in RATIOS {
            let mut words = [0u64; 3];
            for k in 0..floors {
                let (floor, volume_m3) = read(kind, ratio, 77 * k + 5)?;
                let told = judged(&floor, check, (noise_m, k), VOLUME_RATIOS.contains(&ratio))?;
                asked += u64::from(!told.enough_m3.is_empty());
                for (held, enough) in held.iter_mut().zip(&told.enough_m3) {
                    *held += u64::from(volume_m3 <= *enough);
                }
                words[match told.word {
                    Verdict::Within => 0,
                    Verdict::InDoubt | Verdict::NotTested => 1,
                    Verdict::Out => 2,
                }] += 1;
                if let Some((chance, likely)) = told.chance {
                    stated.push((chance, ratio <= 1.0));
                    let true_m = ratio * LIMIT_M;
                    let place =
                        usize::from(true_m >= likely.low_m) + usize::from(true_m > likely.high_m);
                    lies[place] += 1;
                    lies_near[place] += u64::from(ratio >= 0.9);
                }
            }
            let [a, b, c] = words.map(|w| (100 * w + floors / 2) / floors);
            write!(table, " {a}/{b}/{c} |").ok()?;
        }
        table.push('\n');
        let shares = |n: [u64; 3]| {
            let of = n.iter().sum::<u64>().max(1);
            let [a, b, c] = n.map(|n| (100 * n + of / 2) / of);
            format!("{a}/{b}/{c}")
        };
        let (all, near) = (shares(lies), shares(lies_near));
        writeln!(ranges, "| {name} | {all} | {near} |").ok()?;
        let of = asked.max(1);
        let [a, b, c] = held.map(|n| (100 * n + of / 2) / of);
        writeln!(volumes, "| {name} | {a} | {b} | {c} |").ok()?;
    }
    Some(Trial {
        table,
        stated,
        ranges,
        volumes,
    })
}

/// Floors by the chance stated of them, with the share that truly kept the limit: lower edge of the class, count, mean stated,
/// share.
fn calibration(stated: &[(Chance, bool)]) -> Vec<(f64, usize, f64, f64)> {
    CLASSES
        .windows(2)
        .map(|w| {
            let last = w[1] >= 100.0;
            let of: Vec<(f64, bool)> = stated
                .iter()
                .map(|(c, kept)| (50.0 * (c.low + c.high), *kept))
                .filter(|(s, _)| *s >= w[0] && (*s < w[1] || last))
                .collect();
            let count = of.len().max(1) as f64;
            let mean = of.iter().map(|s| s.0).sum::<f64>() / count;
            let kept = 100.0 * of.iter().filter(|s| s.1).count() as f64 / count;
            (w[0], of.len(), mean, kept)
        })
        .collect()
}

/// Stated chance against frequency.
fn picture(classes: &[(f64, usize, f64, f64)]) -> String {
    let (x, y) = (|v: f64| 60.0 + 3.0 * v, |v: f64| 340.0 - 3.0 * v);
    let mut out = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 400 400\" font-family=\"sans-serif\" font-size=\"12\">\n<rect width=\"400\" height=\"400\" fill=\"#fff\"/>\n",
    );
    for v in [0.0, 25.0, 50.0, 75.0, 100.0] {
        let _ = writeln!(
            out,
            "<path d=\"M{0} 340V40M60 {1}H360\" stroke=\"#ccc\" fill=\"none\"/><text x=\"{0}\" y=\"356\" text-anchor=\"middle\">{v}</text><text x=\"52\" y=\"{2}\" text-anchor=\"end\">{v}</text>",
            x(v),
            y(v),
            y(v) + 4.0
        );
    }
    out.push_str("<path d=\"M60 340L360 40\" stroke=\"#000\" stroke-dasharray=\"4 4\"/>\n");
    for (_, count, stated, kept) in classes.iter().filter(|c| c.1 > 0) {
        // Two standard errors of a share.
        let p = kept / 100.0;
        let error = 200.0 * (p * (1.0 - p) / *count as f64).sqrt();
        let _ = writeln!(
            out,
            "<path d=\"M{0} {1}V{2}\" stroke=\"#000\"/><circle cx=\"{0}\" cy=\"{3}\" r=\"4\"/>",
            x(*stated),
            y((kept - error).max(0.0)),
            y((kept + error).min(100.0)),
            y(*kept)
        );
    }
    out.push_str("<text x=\"210\" y=\"382\" text-anchor=\"middle\">Stated chance that the floor keeps the limit, %</text>\n<text transform=\"translate(20 190) rotate(-90)\" text-anchor=\"middle\">Floors that did, %</text>\n</svg>\n");
    out
}

fn main() {
    let smoke = std::env::args().any(|a| a == "--test");
    let Ok(check) = parse("1/8 in in 10 ft, resting") else {
        return;
    };
    let floors = if smoke { 1 } else { FLOORS };
    for (title, noise_m) in [("stated", NOISE_M), ("not stated", 0.0)] {
        let Some(trial) = trial(&check, noise_m, floors) else {
            println!("A floor could not be made.");
            return;
        };
        println!(
            "Repeatability {title}:\n\n{}\n{}\n{}",
            trial.table, trial.ranges, trial.volumes
        );
        let classes = calibration(&trial.stated);
        println!(
            "| stated chance, % | floors | mean stated, % | truly within, % |\n|---|---|---|---|"
        );
        for ((from, count, mean, kept), to) in classes.iter().zip(&CLASSES[1..]) {
            println!("| {from:.0} to {to:.0} | {count} | {mean:.0} | {kept:.0} |");
        }
        println!();
        if noise_m > 0.0 && !smoke {
            let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/images/accuracy.svg");
            if let Err(e) = std::fs::write(path, picture(&classes)) {
                println!("{path}: {e}");
            }
        }
    }
}
