//! Text of the user's made harmless: nothing from a readings file can become a tag, an attribute or a script.

/// Text for element content and for quoted attributes, as drawings write it.
pub use crate::drawing::escaped;
use serde_json::Value;

/// JSON for the inside of a script element: it cannot close the element or open a comment.
pub(super) fn json_in_script(value: &Value) -> String {
    value
        .to_string()
        .replace('<', "\\u003c")
        .replace('>', "\\u003e")
        .replace('&', "\\u0026")
        .replace('\u{2028}', "\\u2028")
        .replace('\u{2029}', "\\u2029")
}

/// Standard base64 (RFC 4648, section 4), with padding.
pub(super) fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let at = |i: usize| u32::from(chunk.get(i).copied().unwrap_or(0));
        let n = at(0) << 16 | at(1) << 8 | at(2);
        for i in 0..4 {
            if i <= chunk.len() {
                out.push(SIGNS[(n >> (18 - 6 * i) & 63) as usize] as char);
            } else {
                out.push('=');
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: published
    // SOURCE: RFC 4648, section 10, test vectors
    #[test]
    fn base64_of_the_published_vectors() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn no_tag_survives() {
        assert_eq!(
            escaped("<b a='1' c=\"2\">&\u{0}"),
            "&lt;b a=&#39;1&#39; c=&quot;2&quot;&gt;&amp;\u{fffd}"
        );
        let json = json_in_script(&serde_json::json!(["</script><!--\u{2028}"]));
        assert!(!json.contains('<') && !json.contains('\u{2028}'), "{json}");
        let back: Vec<String> = serde_json::from_str(&json).unwrap();
        assert_eq!(back[0], "</script><!--\u{2028}");
    }
}
