//! What papers share that go out by themselves and are signed: what the readings speak against, and the lines to sign on.

use super::words::submittal as w;
use super::{Block, Document};
use crate::survey::Notice;

/// Lines to sign on; `abreast` where a page has to hold more than signatures.
pub(super) fn sign_off(roles: &[&str], abreast: bool) -> Block {
    Block::SignOff {
        roles: roles.iter().map(|r| (*r).to_owned()).collect(),
        fields: w::FIELDS.map(str::to_owned).to_vec(),
        abreast,
    }
}

/// What the readings themselves speak against: whoever gets a paper by itself must know of it.
pub(super) fn speaks_against(d: &mut Document, (notices, suspects): (&[Notice], &[String])) {
    let doubted: Vec<&Notice> = notices
        .iter()
        .filter(|n| SPEAK_AGAINST.contains(&n.code.as_str()))
        .collect();
    if !doubted.is_empty() || !suspects.is_empty() {
        d.heading(1, w::SPEAKS_AGAINST);
        if !suspects.is_empty() {
            d.text(w::told_hangs_on(suspects));
        }
        for notice in doubted {
            d.text(&notice.text);
        }
    }
}

/// What was found about the readings that may make floor look out that is not: by the codes of its notices.
const SPEAK_AGAINST: [&str; 7] = [
    "readings-step",
    "readings-together",
    "suspect-reading",
    "reading-taken-back",
    "off-the-grid",
    "set-up-tied-by-one-point",
    "repeatability",
];
