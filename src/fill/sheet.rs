//! The material sheet's TOML: text in, [`Material`] out, every fault with its line.

use super::amount::{Kind, parse_amount};
use super::limits::{believed_of, disagreements};
use super::material::{Material, Primer};
use super::toml_words::{line_at, toml_fault, toml_line};
use crate::units::found_text;
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;

/// One fault of a material sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetFault {
    /// Line of the sheet, from 1; 0 when it is about the whole sheet.
    pub line: usize,
    /// The key it is about; empty for a fault of the text itself.
    pub key: String,
    /// What was found, what was expected, what to do.
    pub text: String,
}

impl std::fmt::Display for SheetFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.line > 0 {
            write!(f, "line {}: ", self.line)?;
        }
        if !self.key.is_empty() {
            write!(f, "{}: ", self.key)?;
        }
        write!(f, "{}", self.text)
    }
}

/// A material sheet that cannot be used, with every fault found in it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("material sheet: {}", faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
pub struct SheetError {
    /// The faults, in the order of the sheet.
    pub faults: Vec<SheetFault>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    name: Option<String>,
    invented: Option<bool>,
    bag_weight: Option<Spanned<String>>,
    yield_per_bag: Option<Spanned<String>>,
    coverage: Option<Spanned<String>>,
    consumption: Option<Spanned<String>>,
    min_depth: Option<Spanned<String>>,
    max_lift: Option<Spanned<String>>,
    feather_edge: Option<bool>,
    water: Option<Vec<Spanned<String>>>,
    water_per_bag: Option<Spanned<String>>,
    bags_per_batch: Option<Spanned<f64>>,
    mixing_time: Option<Spanned<String>>,
    working_time: Option<Spanned<String>>,
    open_time: Option<Spanned<String>>,
    walk_after: Option<Spanned<String>>,
    next_lift_after: Option<Spanned<String>>,
    flow: Option<String>,
    density: Option<Spanned<String>>,
    min_temperature: Option<Spanned<String>>,
    max_temperature: Option<Spanned<String>>,
    primer: Option<RawPrimer>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawPrimer {
    name: Option<String>,
    coverage: Option<Spanned<String>>,
    coats: Option<Spanned<f64>>,
    dilution: Option<Spanned<String>>,
    drying: Option<Spanned<String>>,
}

/// Largest batch that is believed.
const MOST_PER_BATCH: f64 = 100.0;
/// Most coats of primer that are believed.
const MOST_COATS: f64 = 10.0;
/// Most parts of water to one of primer that are believed.
const MOST_THINNING: f64 = 50.0;
/// Yields stated two ways may differ by this share before the sheet is refused.
const YIELD_DISAGREEMENT: f64 = 0.02;

struct Reader<'a> {
    text: &'a str,
    faults: Vec<SheetFault>,
    /// Where each key's value stands: the byte.
    at: BTreeMap<&'static str, usize>,
}

impl Reader<'_> {
    fn fault(&mut self, offset: usize, key: &str, text: String) {
        self.faults.push(SheetFault {
            line: line_at(self.text, offset),
            key: key.to_owned(),
            text,
        });
    }

    fn amount(
        &mut self,
        raw: Option<Spanned<String>>,
        key: &'static str,
        kind: Kind,
    ) -> Option<f64> {
        let raw = raw?;
        let start = raw.span().start;
        self.at.entry(key).or_insert(start);
        let value = parse_amount(raw.get_ref(), kind);
        let Some(value) = value.filter(|&v| v > 0.0 || kind == Kind::Temperature) else {
            let least = if kind == Kind::Temperature {
                ""
            } else {
                ", more than 0"
            };
            let text = format!(
                "found \"{}\"; expected {}{least}",
                raw.get_ref(),
                kind.example()
            );
            self.fault(start, key, text);
            return None;
        };
        let within = believed_of(key);
        if value < within.low || value > within.high {
            let text = format!(
                "found \"{}\"; expected {}. Check the number and its unit",
                raw.get_ref(),
                within.words
            );
            self.fault(start, key, text);
            return None;
        }
        Some(value)
    }

    fn count(&mut self, raw: Option<Spanned<f64>>, key: &str, most: f64) -> Option<u32> {
        let raw = raw?;
        let value = *raw.get_ref();
        if (1.0..=most).contains(&value) && value.fract() == 0.0 {
            return Some(value as u32);
        }
        self.fault(
            raw.span().start,
            key,
            format!(
                "found {}; expected a whole number from 1 to {most}",
                found_text(value)
            ),
        );
        None
    }

    /// `17 sq ft at 1/4 in`: area times thickness.
    fn coverage(&mut self, raw: Option<Spanned<String>>) -> Option<f64> {
        let raw = raw?;
        self.at.entry("coverage").or_insert(raw.span().start);
        let within = believed_of("yield_per_bag");
        let parsed = raw.get_ref().split_once(" at ").and_then(|(area, depth)| {
            let area = parse_amount(area, Kind::Area)?;
            let depth = parse_amount(depth, Kind::Length)?;
            Some(area * depth).filter(|v| (within.low..=within.high).contains(v))
        });
        if parsed.is_none() {
            self.fault(
                raw.span().start,
                "coverage",
                format!(
                    "found \"{}\"; expected what one bag covers at which thickness, \
                     such as \"17 sq ft at 1/4 in\": {} in all",
                    raw.get_ref(),
                    within.words
                ),
            );
        }
        parsed
    }

    /// What a bag gives, from what the material takes of its weight for a volume; cubic metres. A fault, told at
    /// `start`, where the weight is not known.
    fn consumed(
        &mut self,
        raw: Option<Spanned<String>>,
        bag_weight_kg: Option<f64>,
        start: usize,
    ) -> Option<f64> {
        let per = self.amount(raw, "consumption", Kind::Consumption)?;
        if bag_weight_kg.is_none() {
            let text = "needs bag_weight beside it, to tell what one bag gives".to_owned();
            self.fault(start, "consumption", text);
        }
        Some(bag_weight_kg? / per)
    }

    /// The first yield that is stated; a fault, told at `start`, where several do not agree.
    fn one_yield(&mut self, stated: [Option<f64>; 3], start: usize) -> Option<f64> {
        let yields: Vec<f64> = stated.into_iter().flatten().collect();
        let least = yields.iter().copied().fold(f64::INFINITY, f64::min);
        let most = yields.iter().copied().fold(0.0, f64::max);
        if most > least * (1.0 + YIELD_DISAGREEMENT) {
            self.fault(
                start,
                "yield_per_bag",
                format!(
                    "the sheet states the yield more than once and the figures differ \
                     ({:.2} l and {:.2} l per bag); keep the one you trust",
                    least * 1000.0,
                    most * 1000.0
                ),
            );
        }
        yields.first().copied()
    }

    /// Water for a batch of one bag, of two, of three; empty where an entry is at fault, since a table with a
    /// hole would give each later batch its neighbour's water.
    fn water_table(&mut self, raw: Vec<Spanned<String>>) -> Vec<f64> {
        let entries = raw.len();
        let mut table_m3: Vec<f64> = raw
            .into_iter()
            .filter_map(|amount| self.amount(Some(amount), "water", Kind::Volume))
            .collect();
        if table_m3.len() < entries {
            table_m3.clear();
        }
        table_m3
    }

    fn primer(&mut self, raw: RawPrimer) -> Primer {
        Primer {
            name: raw.name,
            spread_m2_per_m3: self.amount(raw.coverage, "primer.coverage", Kind::Spread),
            coats: self.count(raw.coats, "primer.coats", MOST_COATS),
            thinning: self.thinning(raw.dilution),
            drying_min: self.amount(raw.drying, "primer.drying", Kind::Time),
        }
    }

    /// `1:3, neat`: parts of water to one of primer, coat by coat.
    fn thinning(&mut self, raw: Option<Spanned<String>>) -> Vec<f64> {
        let Some(raw) = raw else { return Vec::new() };
        let mut coats = Vec::new();
        for part in raw.get_ref().split(',').map(str::trim) {
            let water = if part.eq_ignore_ascii_case("neat") || part.eq_ignore_ascii_case("none") {
                Some(0.0)
            } else {
                part.split_once(':').and_then(|(primer, water)| {
                    let parts = |t: &str| t.trim().parse::<f64>().ok().filter(|v| v.is_finite());
                    let (primer, water) = (parts(primer)?, parts(water)?);
                    let share = water / primer;
                    (primer > 0.0 && (0.0..=MOST_THINNING).contains(&share)).then_some(share)
                })
            };
            match water {
                Some(water) => coats.push(water),
                None => {
                    self.fault(
                        raw.span().start,
                        "primer.dilution",
                        format!(
                            "found \"{part}\"; expected primer to water by parts, such as \
                             \"1:3\", or \"neat\"; several coats parted by commas"
                        ),
                    );
                    return Vec::new();
                }
            }
        }
        coats
    }
}

impl Material {
    /// Reads a material sheet.
    ///
    /// # Form
    /// TOML; every amount is a string with its unit. Keys: `name`, `bag_weight`, one of
    /// `yield_per_bag`, `coverage` (`"17 sq ft at 1/4 in"`, one bag) or `consumption`
    /// (`"1.64 kg/m2/mm"`, with `bag_weight`), `min_depth`, `max_lift`, `feather_edge`, `invented`, `water`
    /// (a list: batch of one bag, of two, of three) or `water_per_bag`, `bags_per_batch`,
    /// `mixing_time`, `working_time`, `open_time`, `walk_after`, `next_lift_after`, `flow`,
    /// `density`, `min_temperature`, `max_temperature`, and a table `[primer]` with `name`,
    /// `coverage` (`"260 sq ft/gal"`, as spread), `coats`, `dilution` (`"1:3, neat"`), `drying`.
    /// # Errors
    /// All faults of values at once, each with its line; a fault of the TOML itself, an unknown
    /// key among them, alone.
    pub fn from_toml(text: &str) -> Result<Self, SheetError> {
        let raw: Raw = toml::from_str(text).map_err(|e| SheetError {
            faults: vec![SheetFault {
                line: toml_line(text, &e),
                key: String::new(),
                text: toml_fault(text, &e),
            }],
        })?;
        let mut r = Reader {
            text,
            faults: Vec::new(),
            at: BTreeMap::new(),
        };
        let starts = [&raw.yield_per_bag, &raw.coverage, &raw.consumption]
            .into_iter()
            .flatten()
            .map(|s| s.span().start)
            .max()
            .unwrap_or(0);
        let bag_weight_kg = r.amount(raw.bag_weight, "bag_weight", Kind::Mass);
        let stated = r.amount(raw.yield_per_bag, "yield_per_bag", Kind::Volume);
        let covered = r.coverage(raw.coverage);
        let consumed = r.consumed(raw.consumption, bag_weight_kg, starts);
        let yield_m3 = r.one_yield([stated, covered, consumed], starts);
        let water_table_m3 = r.water_table(raw.water.unwrap_or_default());
        let primer = raw.primer.map(|p| r.primer(p));
        let material = Self {
            name: raw.name.unwrap_or_default(),
            bag_weight_kg,
            yield_m3,
            min_depth_m: r.amount(raw.min_depth, "min_depth", Kind::Length),
            max_lift_m: r.amount(raw.max_lift, "max_lift", Kind::Length),
            feather_edge: raw.feather_edge,
            invented: raw.invented == Some(true),
            water_table_m3,
            water_per_bag_m3: r.amount(raw.water_per_bag, "water_per_bag", Kind::Volume),
            bags_per_batch: r.count(raw.bags_per_batch, "bags_per_batch", MOST_PER_BATCH),
            mixing_min: r.amount(raw.mixing_time, "mixing_time", Kind::Time),
            working_min: r.amount(raw.working_time, "working_time", Kind::Time),
            open_min: r.amount(raw.open_time, "open_time", Kind::Time),
            walk_after_min: r.amount(raw.walk_after, "walk_after", Kind::Time),
            next_lift_after_min: r.amount(raw.next_lift_after, "next_lift_after", Kind::Time),
            flow: raw.flow,
            density_kg_m3: r.amount(raw.density, "density", Kind::Density),
            min_temperature_c: r.amount(raw.min_temperature, "min_temperature", Kind::Temperature),
            max_temperature_c: r.amount(raw.max_temperature, "max_temperature", Kind::Temperature),
            primer,
        };
        // A value that was refused for itself is not in the material, and so is not refused twice.
        for (key, text) in disagreements(&material) {
            let start = r.at.get(key).copied().unwrap_or(starts);
            r.fault(start, key, text);
        }
        if r.faults.is_empty() {
            Ok(material)
        } else {
            r.faults.sort_by_key(|f| f.line);
            Err(SheetError { faults: r.faults })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Invented, as the demo's sheet (fixtures/demo/ORIGIN.md).
    const SHEET: &str = r#"
name = "Underlayment for tests"
bag_weight = "36 lb"
coverage = "17 sq ft at 1/4 in"
min_depth = "3/32 in"
max_lift = "1 1/4 in"
feather_edge = false
water = ["4 qt", "7.5 qt", "11 qt"]
bags_per_batch = 2
working_time = "18 min"
[primer]
coverage = "260 sq ft/gal"
coats = 2
dilution = "1:3, neat"
drying = "2 h"
"#;

    // ORACLE: hand, on an invented sheet. 17 sq ft at 1/4 in is 17/48 = 0.3542 cu ft.
    #[test]
    fn a_sheet_is_read() {
        let m = Material::from_toml(SHEET).unwrap();
        assert!((m.yield_m3.unwrap() / 0.028_316_846_592 - 17.0 / 48.0).abs() < 1e-12);
        assert_eq!(m.water_table_m3.len(), 3);
        assert_eq!(m.primer.unwrap().thinning, vec![3.0, 0.0]);
        assert_eq!(m.density_kg_m3, None);
    }

    // ORACLE: the invented sheet's own table, 4, 7.5, 11 qt: in proportion to one bag they would be 8 and 12.
    #[test]
    fn the_water_table_overrides_proportion() {
        let m = Material::from_toml(SHEET).unwrap();
        let quarts = |n| m.need_water(n, "water").unwrap() / super::super::amount::QUART_M3;
        assert!((quarts(2) - 7.5).abs() < 1e-12);
        assert!((quarts(3) - 11.0).abs() < 1e-12);
        let missing = m.need_water(4, "water").unwrap_err();
        assert!(missing.key.contains("4 bags"), "{missing}");
    }

    #[test]
    fn every_fault_comes_with_its_line() {
        let text = "name = \"x\"\nyield_per_bag = \"0.35\"\n\nworking_time = \"20\"\n";
        let faults = Material::from_toml(text).unwrap_err().faults;
        let lines: Vec<_> = faults.iter().map(|f| (f.line, f.key.as_str())).collect();
        assert_eq!(lines, [(2, "yield_per_bag"), (4, "working_time")]);
        let unknown = Material::from_toml("name = \"x\"\nyeild = \"1 l\"\n").unwrap_err();
        assert_eq!(unknown.faults[0].line, 2);
        assert!(unknown.to_string().contains("yeild"), "{unknown}");
    }

    #[test]
    fn two_yields_that_disagree_are_refused() {
        let text = "yield_per_bag = \"0.35 cu ft\"\ncoverage = \"12 sq ft at 1/4 in\"\n";
        let faults = Material::from_toml(text).unwrap_err().faults;
        assert_eq!(faults.len(), 1);
        assert!(faults[0].text.contains("more than once"));
    }
}
