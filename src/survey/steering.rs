//! Signs that nobody sees and that turn or move what stands about them.

/// Whether a sign steers text: a control, or one that changes the way it runs.
pub fn steers(c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        '\u{061c}' | '\u{200e}' | '\u{200f}' => true,
        '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        _ => c.is_control(),
    }
}

/// A name as it is seen, without the signs that steer it.
pub fn seen(name: &str) -> String {
    name.chars().filter(|&c| !steers(c)).collect()
}
