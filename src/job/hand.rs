//! Edges laid by hand: the sheets to lay them by, and what was filled in on them.

use super::error::JobError;
use super::on_paper::on_paper;
use super::words::bad;
use crate::analysis::{Analysis, hand_list};
use crate::flatness::{EdgeUse, HandEdge, HandEdges, Procedure};
use crate::import::{self, HandUse, ImportOptions, MOST_DRAWN, Source};
use crate::report::orientation::Orientation;
use crate::report::{Paper, compose};
use crate::survey::{Room, Survey};

/// A file's name and its bytes.
type Named = (String, Vec<u8>);

/// The sheets that say where to lay the edge by hand: as a table, as a workbook and on paper; and what they ask for, in words.
///
/// # Errors
/// A count that cannot be meant; no part of the checks that a person lays an edge for; no room for the edge.
pub fn hand_sheets(
    a: &Analysis,
    count: usize,
    paper: Paper,
) -> Result<(Vec<Named>, Vec<String>), JobError> {
    if !(1..=MOST_DRAWN).contains(&count) {
        return Err(bad(
            "edges",
            &count.to_string(),
            "expected a number of placements from 1 to 2,000; 59 with none over bring a part within",
        ));
    }
    let list = hand_list(a, count);
    if list.places.is_empty() {
        let why = if list.no_room.is_empty() {
            "none of the checks asked for has a part that an edge is laid for and held against one figure; name one, such as tile-large or `1/16 in in 2 ft`"
        } else {
            "the edge of the checks asked for finds no room on this floor; name a check with a shorter one, such as `1/16 in in 2 ft`"
        };
        return Err(bad("edges", &count.to_string(), why));
    }
    Ok(compose::hand_sheets(on_paper(a)?.as_ref(), &list, paper)?)
}

/// Edges laid by hand, from the sheet as it was filled in.
///
/// # Errors
/// Every cell that cannot be, with its place.
pub(super) fn hand_read(
    source: &Source<'_>,
    survey: &Survey,
    dates_as_fractions: bool,
) -> Result<HandEdges, JobError> {
    let options = ImportOptions {
        region: survey.room.as_ref().map(Room::region),
        dates_as_fractions,
        ..ImportOptions::default()
    };
    let read = import::hand_edges(source, &options, Orientation::of(survey).origin)?;
    let mut out = HandEdges {
        seed: read.seed.unwrap_or_default(),
        ..HandEdges::default()
    };
    for row in read.rows {
        let edge = EdgeUse {
            procedure: match row.edge {
                HandUse::Resting => Procedure::Resting,
                HandUse::Balanced => Procedure::Balanced,
                HandUse::HeldDown => Procedure::HeldDown,
                HandUse::EndBlocksHollow => Procedure::EndBlocksHollow,
                HandUse::EndBlocksHump => Procedure::EndBlocksHump,
            },
            span_m: row.span_m,
        };
        if let Some((_, of)) = row.drawn
            && !out.counts.iter().any(|(e, _)| e.is(edge))
        {
            out.counts.push((edge, of));
        }
        out.edges.push(HandEdge {
            number: row.number,
            edge,
            from: row.from,
            to: row.to,
            gap_m: row.gap_m,
            drawn: row.drawn.map(|(which, _)| which - 1),
        });
    }
    Ok(out)
}
