//! Words that nobody can guess, for links.

use std::fmt::Write;

/// Bytes of a secret: 128 bits, more than anyone can try.
const BYTES: usize = 16;

/// A secret from the system's own source of chance, in letters that a link may hold.
pub(super) fn secret() -> std::io::Result<String> {
    let mut bytes = [0_u8; BYTES];
    getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
    Ok(bytes.iter().fold(String::new(), |mut text, b| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{b:02x}");
        text
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn secrets_are_long_and_differ() {
        let (a, b) = (secret().unwrap(), secret().unwrap());
        assert_eq!(a.len(), 2 * BYTES);
        assert!(a.bytes().all(|c| c.is_ascii_hexdigit()), "{a}");
        assert_ne!(a, b);
    }
}
