//! Row 13. The local page: drop files, choose, read the answer, save the paper. Loopback only; nothing is
//! written to disk, and nothing is sent anywhere.

mod checks;
mod frame;
mod guard;
mod outcome;
mod server;
mod work;

pub use frame::{
    FrameError, LONGEST_HEADER, MOST_FILES, NamedFile, Options, Request, compose, parse,
};
pub use outcome::{Outcome, Part};
pub use server::{Bound, Handler, LARGEST_REQUEST, ServeError, bind};
pub use work::{serve, work};
