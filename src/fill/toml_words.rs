//! A TOML parser's complaint in the words of the person who wrote the file.

use std::cmp::Ordering;

/// Where a TOML text is at fault: the line, from 1; 0 where the parser names none.
pub fn toml_line(text: &str, error: &toml::de::Error) -> usize {
    error.span().map_or(0, |span| line_at(text, span.start))
}

/// The line that a byte of a text stands in, from 1.
pub(super) fn line_at(text: &str, offset: usize) -> usize {
    let upto = &text.as_bytes()[..offset.min(text.len())];
    1 + upto.iter().filter(|&&b| b == b'\n').count()
}

/// What is wrong with it, after the words that stand there, without the names that the program's own types have.
pub fn toml_fault(text: &str, error: &toml::de::Error) -> String {
    let line = toml_line(text, error).checked_sub(1);
    let there = line.and_then(|i| text.lines().nth(i)).unwrap_or("").trim();
    let mut shown: String = there.chars().take(LONGEST_QUOTE).collect();
    if there.chars().count() > LONGEST_QUOTE {
        shown.push('…');
    }
    if shown.is_empty() {
        plain(error.message())
    } else {
        format!("`{shown}`: {}", plain(error.message()))
    }
}

/// Most letters of a line that are repeated.
const LONGEST_QUOTE: usize = 60;

/// The parser's words and ours for the same.
const WORDS: [(&str, &str); 26] = [
    (" as i128", ""),
    (" as u128", ""),
    (
        "string values must be quoted, expected literal string",
        "words stand between quotes; yes and no are written true and false, and a number has no unit behind it",
    ),
    (
        "invalid basic string",
        "words that begin with a quote and do not end with one on their line",
    ),
    ("duplicate key", "this key was given before"),
    ("unknown field", "unknown key"),
    ("missing field", "missing key"),
    ("duplicate field", "key given twice:"),
    ("unknown variant", "unknown word"),
    ("invalid type: ", "found "),
    ("invalid value: ", "found "),
    (", expected one of ", "; expected one of "),
    (", expected ", "; expected "),
    ("floating point `", "the number `"),
    ("integer `", "the number `"),
    ("string \"", "the words \""),
    ("boolean `", "the word `"),
    ("expected a string", "expected words between quotes"),
    ("expected a boolean", "expected true or false"),
    ("expected a sequence", "expected a list in square brackets"),
    ("found sequence", "found a list"),
    ("found map", "found a table"),
    ("expected f64", "expected a number"),
    ("expected i64", "expected a whole number"),
    ("expected u32", "expected a whole number of 0 or more"),
    ("expected usize", "expected a whole number of 0 or more"),
];

/// Most digits of a number that are repeated.
const LONGEST_NUMBER: usize = 24;

/// The same with long rows of digits cut: a parser writes 1e308 out in full.
fn shortened(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut digits = 0;
    for c in text.chars() {
        digits = if c.is_ascii_digit() { digits + 1 } else { 0 };
        match digits.cmp(&LONGEST_NUMBER) {
            Ordering::Less => out.push(c),
            Ordering::Equal => out.push('…'),
            Ordering::Greater => {}
        }
    }
    out
}

fn plain(message: &str) -> String {
    let mut text = message.lines().collect::<Vec<_>>().join(" ");
    for (theirs, ours) in WORDS {
        text = text.replace(theirs, ours);
    }
    text = shortened(&text);
    // "expected struct Crew" and the like name a table of the file.
    if let Some(at) = text.find("expected struct ") {
        text.truncate(at);
        text.push_str("expected a table of keys");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[expect(dead_code, reason = "only the faults are looked at")]
    struct File {
        words: Option<String>,
        number: Option<f64>,
        list: Option<Vec<String>>,
        table: Option<Inner>,
        yes: Option<bool>,
    }

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[expect(dead_code, reason = "only the faults are looked at")]
    struct Inner {
        words: Option<String>,
    }

    // ORACLE: contract: what was found and what was expected, in no programmer's words.
    #[test]
    fn no_word_of_the_program_is_left() {
        for (text, found, expected) in [
            ("words = 3", "the number `3`", "words between quotes"),
            ("number = \"ten\"", "the words \"ten\"", "a number"),
            (
                "number = 99999999999999999999",
                "the number `99999999999999999999`;",
                "a number",
            ),
            (
                "list = \"x\"",
                "the words \"x\"",
                "a list in square brackets",
            ),
            ("list = [1]", "the number `1`", "words between quotes"),
            ("table = 3", "the number `3`", "a table of keys"),
            ("yes = \"no\"", "the words \"no\"", "true or false"),
            ("other = 1", "unknown key `other`", "one of `words`"),
            ("words = [\"x\"]", "a list", "words between quotes"),
            ("yes = yes", "`yes = yes`", "true and false"),
            ("words = \"x", "`words = \"x`", "do not end"),
            ("yes = true\nyes = true", "`yes = true`", "given before"),
        ] {
            let told = toml_fault(text, &toml::from_str::<File>(text).unwrap_err());
            assert!(
                told.contains(found) && told.contains(expected),
                "{text}: {told}"
            );
            for jargon in [
                "f64",
                "i128",
                "struct",
                "sequence",
                "invalid type",
                "variant",
            ] {
                assert!(!told.contains(jargon), "{text}: {told}");
            }
        }
    }
}
