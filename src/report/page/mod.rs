//! A report in one HTML file: the answer, the map, and a straight edge to lay on it. It fetches nothing,
//! so it works from a phone's files as well as from a web server.
//!
//! # Without a script
//! Answer, map and tables are in the file itself; only pointing and the edge need the script. Previews in mail
//! and files apps often run none.
//!
//! # Fonts
//! The reader's own sans serif: the file stays small, and no glyph of the user's text can be missing from an
//! embedded subset.

mod data;
mod escape;
mod from_analysis;
mod html;
mod input;
mod map;

pub use escape::escaped;
pub use html::{MOST_ROWS, MOST_TRIANGLES, html};
pub use input::{Extreme, Fact, Mark, PageInput};
