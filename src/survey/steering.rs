//! Signs that nobody sees and that turn or move what stands about them.

use std::borrow::Cow;

/// Whether a sign steers text: a control, or one that changes the way it runs.
pub fn steers(c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        '\u{061c}' | '\u{200e}' | '\u{200f}' => true,
        '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        _ => c.is_control(),
    }
}

/// A name as it is seen, on one line and without the signs that steer it.
pub fn seen(name: &str) -> String {
    one_line(name).chars().filter(|&c| !steers(c)).collect()
}

/// A text on one line: line ends and tabs, with the blanks about them, are one blank. A name or a cell of several lines could
/// otherwise pass for lines of an answer.
pub fn one_line(text: &str) -> Cow<'_, str> {
    let parts = |c: char| matches!(c, '\n' | '\r' | '\t' | '\u{b}' | '\u{c}' | '\u{85}');
    if !text.contains(parts) {
        return Cow::Borrowed(text);
    }
    let pieces = text.split(parts).map(str::trim).filter(|p| !p.is_empty());
    Cow::Owned(pieces.collect::<Vec<_>>().join(" "))
}

#[cfg(test)]
mod tests {
    use super::{one_line, seen};

    // ORACLE: hand.
    #[test]
    fn several_lines_are_one() {
        assert_eq!(one_line("38 1/2\r\n(door)"), "38 1/2 (door)");
        assert_eq!(one_line(" a b "), " a b ");
        assert_eq!(one_line("a \n\n\tb\n"), "a b");
        assert_eq!(seen("A\nVerdict:\u{202e} WITHIN\t"), "A Verdict: WITHIN");
    }
}
