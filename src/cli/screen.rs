//! What is printed for people: every word of it passes one function, so that a name read from a file can
//! never steer the terminal.

use std::borrow::Cow;
use std::io::{self, ErrorKind, Write};

use super::exit::{Ending, Stop};
use crate::files::system_words;
use crate::survey::steers;

/// Prints an answer. A reader that went away (`| head`) is no fault of ours; a full disk is one.
///
/// # Errors
/// When standard output takes no more.
pub fn say(text: &str) -> Result<(), Stop> {
    print(&shown(text))
}

/// Prints JSON, which escapes what must not be seen in its own way.
///
/// # Errors
/// When standard output takes no more.
pub fn say_json(text: &str) -> Result<(), Stop> {
    print(text)
}

/// A remark beside the answer.
pub fn remark(quiet: bool, text: &str) {
    if !quiet {
        complain(text);
    }
}

/// A fault, on standard error.
pub fn complain(text: &str) {
    // There is nowhere left to tell that this cannot be told.
    let _ = writeln!(io::stderr(), "{}", shown(text));
}

fn print(text: &str) -> Result<(), Stop> {
    let mut out = io::stdout().lock();
    let end: &[u8] = if text.ends_with('\n') { b"" } else { b"\n" };
    printed(
        out.write_all(text.as_bytes())
            .and_then(|()| out.write_all(end))
            .and_then(|()| out.flush()),
    )
}

/// What becomes of a fault on standard output.
///
/// # Errors
/// Any but a reader that went away.
pub fn printed(done: io::Result<()>) -> Result<(), Stop> {
    match done {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(Stop {
            text: format!(
                "standard output: the answer could not be written ({}); make room there, or send it elsewhere",
                system_words(&e)
            ),
            ending: Ending::BadInput,
        }),
        _ => Ok(()),
    }
}

/// A text as it may be shown on a terminal: control characters but line ends and tabs, and the signs that turn
/// the direction of writing, stand as their code.
pub fn shown(text: &str) -> Cow<'_, str> {
    if !text.chars().any(steers) {
        return Cow::Borrowed(text);
    }
    let mut plain = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if steers(c) {
            plain.extend(c.escape_unicode());
        } else {
            plain.push(c);
        }
    }
    Cow::Owned(plain)
}
