//! `--licences`: whose work this program contains besides its own, and under which terms.

/// Our own licence, what we acknowledge, the typeface's licence, and those of the packages built in, in the order of print.
const PARTS: [(&str, &str); 4] = [
    ("BIRDBATH", include_str!("../../LICENSE")),
    (
        "OTHERS' WORK IN IT",
        include_str!("../../docs/licences/acknowledgements.txt"),
    ),
    (
        "LICENCE OF THE TYPEFACE INTER",
        include_str!("../drawing/font/LICENSE"),
    ),
    (
        "LICENCES OF THE PACKAGES",
        include_str!("../../docs/licences/packages.txt"),
    ),
];

/// All of it, as printed.
pub fn text() -> String {
    let line = "#".repeat(100);
    let part =
        |(title, text): &(&str, &str)| format!("{line}\n{title}\n{line}\n\n{}\n\n", text.trim());
    PARTS.iter().map(part).collect()
}
