//! Row 13. The local page: drop files, choose, read the answer, save the paper. Loopback only; nothing is
//! written to disk, and nothing is sent anywhere.

mod body;
mod checks;
mod frame;
mod going;
mod guard;
mod handler;
mod limits;
mod outcome;
mod routes;
mod seats;
mod secret;
mod server;
mod unused;
mod wording;
mod work;

pub use frame::{FrameError, LONGEST_HEADER, MOST_FILES, NamedFile, Request, compose, parse};
pub use going::Going;
pub use handler::{Handler, Work};
pub use limits::{LARGEST_REQUEST, Limits};
pub use outcome::{Outcome, Part};
pub use server::{Bound, ServeError, bind};
pub use wording::{controls, for_page};
pub use work::{read, serve, work};
