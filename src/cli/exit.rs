//! Exit codes and how an error is shown.

use std::error::Error;
use std::process::ExitCode;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// Answered, whatever the verdict.
    Answered,
    /// The input cannot be used.
    BadInput,
    /// The command line cannot be used.
    Usage,
    /// `--require` did not accept the verdict.
    NotAccepted,
}

impl From<Ending> for ExitCode {
    fn from(ending: Ending) -> Self {
        ExitCode::from(match ending {
            Ending::Answered => 0,
            Ending::BadInput => 1,
            Ending::Usage => 2,
            Ending::NotAccepted => 3,
        })
    }
}

/// Why a command stopped: the words for the user and the exit code.
#[derive(Debug)]
pub struct Stop {
    /// What to print on standard error.
    pub text: String,
    /// How the program ends.
    pub ending: Ending,
}

impl Stop {
    /// Something on the command line.
    pub fn usage(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ending: Ending::Usage,
        }
    }
}

impl<E: Error> From<E> for Stop {
    /// The error's words and those of everything behind it, each once.
    fn from(error: E) -> Self {
        let mut text = error.to_string();
        let mut behind = error.source();
        while let Some(cause) = behind {
            let words = cause.to_string();
            if !text.contains(&words) {
                text.push_str("\n  because: ");
                text.push_str(&words);
            }
            behind = cause.source();
        }
        Self {
            text,
            ending: Ending::BadInput,
        }
    }
}
