//! Checks by name: the library as data, and the user's own in words.

use super::curve::LimitCurve;
use super::net::Joints;
use super::{Lengths, Procedure, Sureness};
use crate::units::{names_meant, read_length};
use serde::Deserialize;
use std::sync::LazyLock;

/// What one part of a check allows.
#[derive(Debug, Clone, PartialEq)]
pub enum Limit {
    /// Nothing over this, metres. Equal passes.
    Most(f64),
    /// At most a share of regularly sampled placements over this.
    Share {
        /// The figure, metres.
        limit_m: f64,
        /// Largest share that may exceed it, 0 to 1.
        share: f64,
    },
    /// A limit that follows the distance between the contact points.
    Curve(LimitCurve),
}

/// One part of a check: one procedure, one span, one allowance.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// How the edge is used.
    pub procedure: Procedure,
    /// Length of the edge; radius for [`Procedure::Radius`]; longest tabled distance of a curve;
    /// for [`Procedure::Line`] 3 m is property E and 0.6 m property F.
    pub span_m: f64,
    /// What is allowed.
    pub limit: Limit,
}

/// A check: a rule with its source and its parts, all of which must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Name on the command line and in files.
    pub name: String,
    /// Name on paper.
    pub title: String,
    /// Standard, edition and clause.
    pub source: String,
    /// How sure the figures are; the least sure part's.
    pub sureness: Sureness,
    /// How the rule is read here where its words leave a choice.
    pub note: String,
    /// Whether the edge may cross joints.
    pub joints: Joints,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// Why words are not a check.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CheckError {
    /// No check of this name, and not a rule in words either.
    #[error(
        "found \"{found}\"; expected a check by name{} or a rule such as `1/8 in in 10 ft` or `3 mm in 2 m, balanced`",
        names_like(.found)
    )]
    NotACheck {
        /// The text.
        found: String,
    },
    /// More parts than any rule has.
    #[error("found a check of {found} parts; expected at most 20. State it as several checks")]
    Parts {
        /// How many.
        found: usize,
    },
    /// A procedure that is not known.
    #[error(
        "found procedure \"{found}\"; expected resting, balanced, held down, on end blocks, midpoint, radius or ridge"
    )]
    Procedure {
        /// The text.
        found: String,
    },
    /// The one `in` may be the unit of the allowance or the word before the span.
    #[error(
        "found \"{allowance} in {span}\", of which the allowance has no unit; expected it with its unit, then in and the span: write {allowance} in in {span}, or {allowance} mm in {span}"
    )]
    OneIn {
        /// The allowance's number.
        allowance: String,
        /// The span as written.
        span: String,
    },
    /// A span or an allowance that is not a length, or less or more than any rule asks.
    #[error("found \"{found}\" as {what}; expected a length with its unit, {range}")]
    Length {
        /// Which of the two.
        what: &'static str,
        /// The text.
        found: String,
        /// What is believed.
        range: &'static str,
    },
}

#[derive(Deserialize)]
struct Table {
    check: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    title: String,
    source: String,
    sureness: Sureness,
    joints: Joints,
    #[serde(default)]
    note: String,
    part: Vec<RowPart>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RowPart {
    procedure: Procedure,
    span: String,
    allow: Option<String>,
    share: Option<f64>,
    curve: Option<Vec<(String, String)>>,
}

#[expect(
    clippy::expect_used,
    reason = "the table is compiled in and read whole by a test"
)]
static LIBRARY: LazyLock<Vec<Check>> = LazyLock::new(|| {
    // The table is compiled in and read whole by a test, so neither step can fail in the field.
    let table: Table = toml::from_str(include_str!("checks.toml"))
        .expect("the table of checks is compiled in and tested");
    table
        .check
        .into_iter()
        .map(|row| {
            row.check()
                .expect("the table of checks is compiled in and tested")
        })
        .collect()
});

impl Row {
    fn check(self) -> Option<Check> {
        let parts = self
            .part
            .into_iter()
            .map(RowPart::part)
            .collect::<Option<_>>()?;
        Some(Check {
            name: self.name,
            title: self.title,
            source: self.source,
            sureness: self.sureness,
            note: self.note,
            joints: self.joints,
            parts,
        })
    }
}

impl RowPart {
    fn part(self) -> Option<Part> {
        let limit = match (self.allow, self.share, self.curve) {
            (Some(a), None, None) => Limit::Most(metres(&a)?),
            (Some(a), Some(share), None) => Limit::Share {
                limit_m: metres(&a)?,
                share,
            },
            (None, None, Some(points)) => Limit::Curve(LimitCurve::new(
                points
                    .iter()
                    .map(|(d, l)| Some((metres(d)?, metres(l)?)))
                    .collect::<Option<_>>()?,
            )?),
            _ => return None,
        };
        // An edge on blocks reads one figure, and is sampled by no rule.
        if self.procedure.lengths() == Lengths::Whole && !matches!(limit, Limit::Most(_)) {
            return None;
        }
        Some(Part {
            procedure: self.procedure,
            span_m: metres(&self.span)?,
            limit,
        })
    }
}

/// Longest span that is believed, metres: longer than any hall.
pub const LONGEST_SPAN_M: f64 = 1_000.0;

/// The shortest, metres.
pub const SHORTEST_SPAN_M: f64 = 0.001;

/// Parts that a rule in words may have.
const MOST_PARTS: usize = 20;

/// Largest allowance that is believed, metres.
const MOST_ALLOWED_M: f64 = 0.305;

/// Least allowance, metres: a hundredth of a millimetre. No rule asks for so little, and none could be judged by it.
const LEAST_ALLOWED_M: f64 = 1e-5;

/// A length that carries its unit and is greater than zero, in metres.
fn metres(text: &str) -> Option<f64> {
    let length = read_length(text.trim(), None, crate::units::Comma::Auto)
        .ok()?
        .length
        .m();
    (length > 0.0 && length.is_finite()).then_some(length)
}

/// Every check known by name, in the order of the table.
pub fn all() -> &'static [Check] {
    &LIBRARY
}

/// The check of this name; letter case does not matter.
pub fn by_name(name: &str) -> Option<&'static Check> {
    LIBRARY
        .iter()
        .find(|c| c.name.eq_ignore_ascii_case(name.trim()))
}

/// In brackets, the names that a text may have been meant for; examples where there are none.
fn names_like(text: &str) -> String {
    match names_meant(text, LIBRARY.iter().map(|c| c.name.as_str()))[..] {
        [] => " (such as tile-large, bs8204-sr1, din18202-line3)".to_owned(),
        ref near => format!(" (did you mean {}?)", near.join(" or ")),
    }
}

/// A check by name, or the user's own rule in words.
///
/// # Errors
/// [`CheckError`] names what was found and what was expected.
/// # Example
/// ```
/// use birdbath::flatness::check::parse;
/// let own = parse("1/8 in in 10 ft, balanced").unwrap();
/// assert!((own.parts[0].span_m - 3.048).abs() < 1e-12);
/// assert!(parse("tile-large").is_ok());
/// ```
pub fn parse(text: &str) -> Result<Check, CheckError> {
    if let Some(check) = by_name(text) {
        return Ok(check.clone());
    }
    let mut parts = Vec::new();
    let pieces = || text.split(';').flat_map(|p| p.split(" and "));
    if pieces().count() > MOST_PARTS {
        return Err(CheckError::Parts {
            found: pieces().count(),
        });
    }
    for piece in pieces() {
        parts.extend(rule(piece.trim(), text)?);
    }
    Ok(Check {
        name: slug(text),
        title: text.trim().to_owned(),
        source: "stated by the user".to_owned(),
        sureness: Sureness::Own,
        note: String::new(),
        joints: Joints::Cross,
        parts,
    })
}

/// `ALLOWANCE in SPAN[, PROCEDURE]`: its part, or both of an edge on end blocks.
fn rule(piece: &str, whole: &str) -> Result<Vec<Part>, CheckError> {
    let not_a_check = || CheckError::NotACheck {
        found: whole.trim().to_owned(),
    };
    let (lengths, word) = match piece.rsplit_once(',') {
        Some((a, b)) if !b.trim().starts_with(|c: char| c.is_ascii_digit()) => (a, Some(b.trim())),
        _ => (piece, None),
    };
    let (lengths, procedures) = match (lengths.trim().strip_suffix(" radius"), word) {
        (Some(rest), None) => (rest, &[Procedure::Radius][..]),
        (_, None) => (lengths, &[Procedure::Resting][..]),
        (_, Some(w)) => (lengths, procedures(w)?),
    };
    let lower = lengths.to_lowercase();
    let (allow, mark, span) = [" under ", " per ", " over ", " within ", " in "]
        .iter()
        .find_map(|mark| {
            let at = lower.rfind(mark)?;
            Some((&lengths[..at], *mark, &lengths[at + mark.len()..]))
        })
        .ok_or_else(not_a_check)?;
    let span = span.trim().strip_prefix("a ").unwrap_or(span);
    let up_to = |text: &str, most_m: f64| metres(text).filter(|m| *m <= most_m);
    let allowed = up_to(allow, MOST_ALLOWED_M).filter(|m| *m >= LEAST_ALLOWED_M - 1e-12);
    let allow_m = allowed.ok_or_else(|| {
        if allow
            .trim()
            .starts_with(|c: char| c.is_ascii_digit() || c == '-')
        {
            // `1/8 in 10 ft` has one word too few.
            let unit_lost = mark == " in " && metres(&format!("{allow} in")).is_some();
            if unit_lost {
                return CheckError::OneIn {
                    allowance: allow.trim().to_owned(),
                    span: span.trim().to_owned(),
                };
            }
            CheckError::Length {
                what: "the allowance",
                found: allow.trim().to_owned(),
                range: "from 0.01 mm to 12 in (305 mm)",
            }
        } else {
            not_a_check()
        }
    })?;
    let span_m = up_to(span, LONGEST_SPAN_M)
        .filter(|m| *m >= SHORTEST_SPAN_M - 1e-12)
        .ok_or_else(|| CheckError::Length {
            what: "the span",
            found: span.trim().to_owned(),
            range: "from 1 mm to 3280 ft (1000 m)",
        })?;
    let part = |&procedure| Part {
        procedure,
        span_m,
        limit: Limit::Most(allow_m),
    };
    Ok(procedures.iter().map(part).collect())
}

/// What is to be looked for by a procedure in words. An edge on end blocks is held against its limit both ways.
fn procedures(word: &str) -> Result<&'static [Procedure], CheckError> {
    match word.to_lowercase().replace(['-', '_'], " ").as_str() {
        "resting" => Ok(&[Procedure::Resting]),
        "balanced" => Ok(&[Procedure::Balanced]),
        "held down" => Ok(&[Procedure::HeldDown]),
        "on end blocks" | "on blocks" | "end blocks" | "blocks" => {
            Ok(&[Procedure::EndBlocksHollow, Procedure::EndBlocksHump])
        }
        "midpoint" => Ok(&[Procedure::Midpoint]),
        "radius" => Ok(&[Procedure::Radius]),
        "ridge" => Ok(&[Procedure::Ridge]),
        _ => Err(CheckError::Procedure {
            found: word.to_owned(),
        }),
    }
}

/// Words joined by hyphens, safe in file names and on the command line.
fn slug(text: &str) -> String {
    let mut out = String::new();
    for c in text.trim().to_lowercase().chars() {
        if c.is_alphanumeric() || c == '.' {
            out.push(c);
        } else if !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_matches('-').to_owned()
}
