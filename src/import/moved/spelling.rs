//! Words as the grammar knows them: in small letters, with what is written in several ways written in one.

/// Enough words to find it in: longer texts are looked through up to here.
const MOST_CHARACTERS: usize = 400;

/// Lower-case words, abbreviations and hyphens taken out.
pub(super) fn plain(text: &str) -> String {
    let text: String = text.chars().take(MOST_CHARACTERS).collect();
    let mut out = String::with_capacity(text.len());
    for word in text.split_inclusive(|c: char| !(c.is_alphanumeric() || c == '.' || c == '/')) {
        let bare = word.trim_end_matches(|c: char| !c.is_alphanumeric());
        // In capitals: a height of instrument, a backsight; `hi spot` is a high one.
        let (head, digits) =
            bare.split_at(bare.trim_end_matches(|c: char| c.is_ascii_digit()).len());
        let short = match head {
            "HI" | "H.I" | "H/I" => "hinst",
            "BS" | "B.S" => "bsight",
            "FS" | "F.S" => "fsight",
            "B.M" | "BM" => "bm",
            "T.P" | "TP" => {
                out.push_str(&format!("tp{digits}{}", &word[bare.len()..]));
                continue;
            }
            "S/U" | "SU" | "s/u" => "setup",
            _ => {
                out.push_str(&word.to_lowercase());
                continue;
            }
        };
        out.push_str(&format!("{short} {digits}{}", &word[bare.len()..]));
    }
    let mut out = out.replace(['\u{2019}', '\''], "");
    for (from, to) in [
        ("set-up", "setup"),
        ("set up", "setup"),
        ("re-", "re"),
        ("re set", "reset"),
        ("re shot", "reshot"),
        ("re level", "relevel"),
        ("height of instrument", "hinst"),
        ("no. ", "#"),
        ("auto level", "autolevel"),
        ("auto-level", "autolevel"),
        ("total station", "totalstation"),
        ("string line", "stringline"),
    ] {
        out = at_words(&out, from, to);
    }
    out
}

/// A text with another put for one wherever that begins a word.
fn at_words(text: &str, from: &str, to: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(from) {
        let begins = !rest[..at]
            .chars()
            .next_back()
            .or_else(|| out.chars().next_back().filter(|_| at == 0))
            .is_some_and(char::is_alphanumeric);
        out.push_str(&rest[..at]);
        out.push_str(if begins { to } else { from });
        rest = &rest[at + from.len()..];
    }
    out.push_str(rest);
    out
}
