//! Words for the page: where a text names a flag of the command line, the page's own control is named instead.

/// Each flag that a text may name, and the words beside the page's control for it.
const CONTROLS: &[(&str, &str)] = &[
    ("--base-depth", "Depth that the base scope includes"),
    ("--bags", "Bags at hand"),
    ("--check", "Your own check, in words"),
    ("--cover", "Least depth wanted over the floor"),
    (
        "--dates-as-fractions",
        "Cells that a spreadsheet turned into dates were fractions",
    ),
    ("--deep", "Depths of more than 12 in (305 mm) are meant"),
    ("--fall", "Fall"),
    ("--fall-from", "from the point"),
    ("--fall-to", "to the point"),
    ("--first-row", "The first row of the table is"),
    ("--framed", "The floor is framed or suspended"),
    ("--gauge", "Depth over the high point, with its unit"),
    ("--grind", "Deepest grind that is allowed"),
    ("--hand", "edges laid by hand"),
    ("--layout", "The sheet is"),
    ("--least-fill", "The tilted plane of least fill"),
    ("--level-at", "Or level at a named point, with an offset"),
    ("--lines", "sample lines"),
    ("--material", "material sheet"),
    ("--meaning", "A reading is"),
    ("--outline", "outline"),
    ("--paper", "Sheet of paper"),
    ("--title", "Title of the job"),
    ("--place", "Place of the floor"),
    ("--who", "Who took the readings"),
    ("--when", "When they were taken"),
    ("--plan-unit", "Unit of plan distances"),
    ("--rake", "Rake setting"),
    ("--reading-unit", "Unit of readings"),
    ("--room", "Room to take"),
    ("--sheet", "Sheet of a workbook"),
    ("--spacing", "Spacing of a table headed by letters"),
    ("--span", "Lengths, with their unit, a comma between"),
    (
        "--draws",
        "Floors drawn for the chance that a limit is kept",
    ),
    (
        "--repeatability",
        "Standard deviation of one reading repeated at one mark",
    ),
    ("--tolerance", "How closely the worst gap is to be known"),
    ("--units", "Print in"),
    ("--waste", "Waste, percent"),
    ("--with", "What is ordered goes into the submittal too"),
    ("--x-runs", "Along the columns x runs"),
];

/// The flags known here, each with the words of its control.
pub fn controls() -> impl Iterator<Item = (&'static str, &'static str)> {
    CONTROLS.iter().copied()
}

/// A text with every flag replaced by the page's own words for it.
pub fn for_page(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("--") {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        let end = from
            .find(|c: char| !c.is_ascii_lowercase() && c != '-')
            .unwrap_or(from.len());
        let (flag, after) = from.split_at(end);
        rest = after;
        match CONTROLS.iter().find(|(f, _)| *f == flag) {
            Some((_, words)) => {
                out.push_str(&format!("“{words}”"));
                // The stand-in for a value that help texts use.
                rest = rest.strip_prefix(" NAME").unwrap_or(rest);
            }
            None => out.push_str(flag),
        }
    }
    out.push_str(rest);
    out
}
