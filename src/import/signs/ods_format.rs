//! Number formats of ODS, written as the codes by which XLSX and XLS name theirs: what a format shows is then found in one way.

use super::{Style, attribute};
use quick_xml::events::BytesStart;
use std::collections::HashMap;

/// The elements that hold a format of numbers; those of dates and times show no number.
pub(super) fn is_format(element: &str) -> bool {
    matches!(
        element,
        "number:number-style"
            | "number:fraction-style"
            | "number:percentage-style"
            | "number:currency-style"
            | "number:text-style"
    )
}

/// A format: what numbers are shown by, and by which other one those that keep a condition are.
#[derive(Debug, Default)]
struct Format {
    code: String,
    /// Conditions, such as `>=0`, each with the name of the format that shows what keeps it.
    maps: Vec<(String, String)>,
}

/// The formats met so far, by name, and the one that is being read.
#[derive(Debug, Default)]
pub(super) struct Formats {
    known: HashMap<String, Format>,
    own: Option<(String, Format)>,
    percents: bool,
    /// A literal text is being read, or the sign of a currency.
    text: Option<String>,
}

impl Formats {
    /// Begins a format, or a part of the one that is being read.
    pub(super) fn start(&mut self, e: &BytesStart<'_>) {
        let name = e.name().into_inner();
        if is_format(name) {
            self.percents = name == "number:percentage-style";
            self.own = attribute(e, "name").map(|name| (name, Format::default()));
            return;
        }
        let Some((_, own)) = &mut self.own else {
            return;
        };
        match name {
            "number:text" | "number:embedded-text" | "number:currency-symbol" => {
                self.text = Some(String::new());
            }
            "number:number" => own.code.push_str(&places(e)),
            "number:scientific-number" => own.code.push_str("0.0E+0"),
            "number:fraction" => {
                let bottom = attribute(e, "denominator-value").unwrap_or_else(|| "?".to_owned());
                own.code.push_str("# ?/");
                own.code.push_str(&bottom);
            }
            "number:text-content" => own.code.push('@'),
            "style:map" => {
                let condition = attribute(e, "condition").unwrap_or_default();
                let plain = quick_xml::escape::unescape(&condition);
                let plain = plain.map_or_else(|_| condition.clone(), |c| c.into_owned());
                let bare = plain.trim().trim_start_matches("value()").to_owned();
                own.maps
                    .extend(attribute(e, "apply-style-name").map(|name| (bare, name)));
            }
            _ => {}
        }
    }

    /// Text inside a format.
    pub(super) fn text(&mut self, text: &str) {
        if let Some(own) = &mut self.text {
            own.push_str(text);
        }
    }

    /// A sign inside a format that stands there by its name: `&quot;`, `&#8243;`.
    pub(super) fn entity(&mut self, name: &str) {
        let written = format!("&{name};");
        if let Ok(plain) = quick_xml::escape::unescape(&written) {
            self.text(&plain);
        }
    }

    pub(super) fn end(&mut self, element: &str) {
        if is_format(element) {
            self.known.extend(self.own.take());
            return;
        }
        let (Some((_, own)), Some(text)) = (&mut self.own, &mut self.text) else {
            return;
        };
        match element {
            "number:currency-symbol" => own.code.push_str(&format!("[${text}]")),
            "number:text" if self.percents && text.trim() == "%" => own.code.push('%'),
            "number:text" | "number:embedded-text" => own.code.push_str(&literal(text)),
            _ => return,
        }
        self.text = None;
    }

    /// What a format shows; `None` where none of that name was met.
    pub(super) fn style(&self, name: &str) -> Option<Style> {
        self.known
            .get(name)
            .map(|format| Style::of_format(&self.code(format)))
    }

    /// A format's code, with a section for each of its conditions.
    fn code(&self, format: &Format) -> String {
        let section = |name: &str| self.known.get(name).map_or("", |f| f.code.as_str());
        let about_zero = |condition: &str| sign_of(condition).is_some();
        if format.maps.iter().all(|(c, _)| about_zero(c)) {
            let shown = |number: i32| {
                let kept = format.maps.iter().find(|(c, _)| keeps(c, number));
                kept.map_or(format.code.as_str(), |(_, name)| section(name))
            };
            let [above, below, zero] = [1, -1, 0].map(shown);
            return match (format.maps.is_empty(), zero == above) {
                // No place for a number, and no word.
                (true, _) if above.is_empty() => "\"\"".to_owned(),
                (true, _) => above.to_owned(),
                (false, true) => format!("{above};{below}"),
                (false, false) => format!("{above};{below};{zero}"),
            };
        }
        let mut code = String::new();
        for (condition, name) in &format.maps {
            code.push_str(&format!("[{condition}]{};", section(name)));
        }
        code + &format.code
    }
}

/// How a condition about zero compares: `>=` of `>=0`.
fn sign_of(condition: &str) -> Option<&str> {
    let digits = condition.find(|c: char| c.is_ascii_digit() || c == '.' || c == '-')?;
    let (sign, number) = condition.split_at(digits);
    (number.trim().parse() == Ok(0.0)).then(|| sign.trim())
}

fn keeps(condition: &str, number: i32) -> bool {
    match sign_of(condition) {
        Some(">") => number > 0,
        Some(">=") => number >= 0,
        Some("<") => number < 0,
        Some("<=") => number <= 0,
        Some("=") => number == 0,
        Some("!=" | "<>") => number != 0,
        _ => false,
    }
}

/// The places of a number: `0.00`, with a comma behind them where it is shown as thousandths, or thousands, of what it is.
fn places(e: &BytesStart<'_>) -> String {
    const MOST: usize = 20;
    let count = |key: &str| -> usize {
        let told = attribute(e, key).and_then(|v| v.trim().parse().ok());
        told.unwrap_or(0).min(MOST)
    };
    let mut code = match count("min-integer-digits") {
        0 => "#".to_owned(),
        n => "0".repeat(n),
    };
    let behind = count("decimal-places");
    if behind > 0 {
        code.push('.');
        code.push_str(&"0".repeat(behind));
    }
    let factor = attribute(e, "display-factor");
    if factor.is_some_and(|f| f.trim().parse() != Ok(1.0)) {
        code.push(',');
    }
    code
}

/// A literal text as a code writes it: in quotes, and what is a quotation mark itself behind a backslash.
fn literal(text: &str) -> String {
    let pieces: Vec<String> = text
        .split('"')
        .map(|piece| match piece {
            "" => String::new(),
            piece => format!("\"{piece}\""),
        })
        .collect();
    pieces.join("\\\"")
}
