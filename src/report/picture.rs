//! Pictures that a user gives: of a kind that can be printed, and at a cost that can be borne.

use super::ReportError;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;

/// Most elements of an SVG logo, each counted as often as it is drawn. Far more than any sign holds, and set within a second.
const MOST_ELEMENTS: u64 = 50_000;

/// A picture that a user gives for paper: of a known kind, and set in a moment.
///
/// # Errors
/// [`ReportError::Picture`] and [`ReportError::Costly`], with the file's name.
pub fn check_logo(name: &str, bytes: &[u8]) -> Result<(), ReportError> {
    check_kind(name, bytes)?;
    check_cost(name, bytes)
}

/// A picture of a kind the page setter knows.
pub(super) fn check_kind(name: &str, b: &[u8]) -> Result<(), ReportError> {
    if is_raster(b) || is_svg(b) {
        return Ok(());
    }
    Err(ReportError::Picture {
        name: name.to_owned(),
        found: b
            .iter()
            .take(8)
            .map(|b| format!("{b:02x}"))
            .collect::<Vec<_>>()
            .join(" "),
    })
}

fn is_raster(b: &[u8]) -> bool {
    b.starts_with(b"\x89PNG\r\n\x1a\n")
        || b.starts_with(b"\xff\xd8\xff")
        || b.starts_with(b"GIF8")
        || (b.starts_with(b"RIFF") && b.get(8..12) == Some(b"WEBP".as_slice()))
}

fn is_svg(b: &[u8]) -> bool {
    let has_svg = |head: &[u8]| head.windows(4).any(|w| w == b"<svg");
    let head = &b[..b.len().min(2000)];
    std::str::from_utf8(head).map_or_else(
        |e| e.valid_up_to() > 0 && has_svg(&head[..e.valid_up_to()]),
        |_| has_svg(head),
    )
}

/// That an SVG can be set in a moment. A few words in one can ask for hours of work: by filters, by pictures within it, and by parts
/// that are drawn over and over.
pub(super) fn check_cost(name: &str, b: &[u8]) -> Result<(), ReportError> {
    if is_raster(b) {
        return Ok(());
    }
    match Drawn::of(b) {
        Ok(drawn) if drawn.elements() <= MOST_ELEMENTS => Ok(()),
        Ok(_) => Err("more than 50,000 parts, each counted as often as it is drawn"),
        Err(what) => Err(what),
    }
    .map_err(|what| ReportError::Costly {
        name: name.to_owned(),
        what,
    })
}

/// An element of an SVG: the one around it, and what it refers to by name.
struct Element {
    within: Option<usize>,
    refers: Vec<String>,
}

/// The elements of an SVG, outer ones before inner ones.
#[derive(Default)]
struct Drawn {
    elements: Vec<Element>,
    named: BTreeMap<String, usize>,
}

impl Drawn {
    /// What a file holds, or what of it is not taken. Where it is no whole XML the page setter says so.
    fn of(bytes: &[u8]) -> Result<Self, &'static str> {
        const FILTERS: &str = "filters, which are not drawn";
        let mut drawn = Self::default();
        let mut reader = Reader::from_reader(bytes);
        reader.config_mut().expand_empty_elements = true;
        let mut buffer = Vec::new();
        let mut open: Vec<usize> = Vec::new();
        while let Ok(event) = reader.read_event_into(&mut buffer) {
            match event {
                Event::Start(e) => {
                    if local(&e).eq_ignore_ascii_case("filter") || asks_for_filter(&e) {
                        return Err(FILTERS);
                    }
                    open.push(drawn.add(&e, open.last().copied())?);
                }
                Event::End(_) => {
                    open.pop();
                }
                Event::Text(text) if speaks_of_filter(&text) => return Err(FILTERS),
                Event::CData(text) if speaks_of_filter(&text) => return Err(FILTERS),
                // What an entity stands for is put in before the rest is read.
                Event::DocType(text) if text.replace("<!", "").contains(['<', '&']) => {
                    return Err("entities that hold parts of it");
                }
                Event::Eof => break,
                _ => {}
            }
            buffer.clear();
        }
        Ok(drawn)
    }

    fn add(&mut self, e: &BytesStart<'_>, within: Option<usize>) -> Result<usize, &'static str> {
        let number = self.elements.len();
        let mut refers = Vec::new();
        for attribute in e.attributes().flatten() {
            let value = attribute.value.as_ref();
            let key = attribute.key.as_ref();
            match key.rsplit(':').next().unwrap_or(key) {
                "id" => {
                    self.named.entry(value.to_owned()).or_insert(number);
                }
                "href" if value.trim_start().starts_with("data:image/svg") => {
                    return Err("another SVG within it");
                }
                "href" => refers.extend(value.trim().strip_prefix('#').map(str::to_owned)),
                _ => refers.extend(urls(value)),
            }
        }
        self.elements.push(Element { within, refers });
        Ok(number)
    }

    /// How many elements are drawn, each as often as it is: those that another one refers to once more for each time.
    fn elements(&self) -> u64 {
        let mut inner = vec![Vec::new(); self.elements.len()];
        for (i, element) in self.elements.iter().enumerate() {
            if let Some(outer) = element.within {
                inner[outer].push(i);
            }
            let referred = element.refers.iter().filter_map(|r| self.named.get(r));
            inner[i].extend(referred.copied());
        }
        let mut counts = vec![None; inner.len()];
        let roots = (0..inner.len()).filter(|&i| self.elements[i].within.is_none());
        let roots: Vec<usize> = roots.collect();
        roots.iter().fold(0, |sum: u64, &root| {
            sum.saturating_add(count(&inner, &mut counts, root))
        })
    }
}

/// The count of one element with all that it holds. A ring of references is drawn once at most.
fn count(inner: &[Vec<usize>], counts: &mut [Option<u64>], root: usize) -> u64 {
    let mut waiting = vec![(root, 0)];
    let mut begun = vec![false; inner.len()];
    while let Some((at, next)) = waiting.pop() {
        if counts[at].is_some() {
            continue;
        }
        begun[at] = true;
        if let Some(&then) = inner[at].get(next) {
            waiting.push((at, next + 1));
            if !begun[then] {
                waiting.push((then, 0));
            }
            continue;
        }
        let held = inner[at].iter().filter_map(|&i| counts[i]);
        counts[at] = Some(held.fold(1, u64::saturating_add));
    }
    counts[root].unwrap_or(0)
}

fn local<'a>(e: &'a BytesStart<'_>) -> &'a str {
    let name = e.name().into_inner();
    name.rsplit(':').next().unwrap_or(name)
}

fn asks_for_filter(e: &BytesStart<'_>) -> bool {
    e.attributes().flatten().any(|a| match a.key.as_ref() {
        "filter" => a.value.trim() != "none",
        "style" => speaks_of_filter(&a.value),
        _ => false,
    })
}

/// Whether words of a style ask for a filter.
fn speaks_of_filter(text: &str) -> bool {
    let plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let plain = plain.to_lowercase();
    plain
        .match_indices("filter:")
        .any(|(at, word)| !plain[at + word.len()..].starts_with("none"))
}

/// The names that `url(#name)` refers to.
fn urls(value: &str) -> impl Iterator<Item = String> + '_ {
    value.split("url(").skip(1).filter_map(|rest| {
        let named = rest.split(')').next()?.trim().trim_matches(['"', '\'']);
        named.strip_prefix('#').map(str::to_owned)
    })
}
