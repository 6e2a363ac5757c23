//! Who works a request out.

use super::frame::Request;
use super::going::Going;
use super::outcome::Outcome;

/// What reads a request, and refuses it or gives the work that is left. Reading may go on beside other work, so that a
/// refusal never waits for it.
pub type Handler = dyn Fn(Request) -> Result<Box<Work>, String> + Send + Sync;

/// The long part: an answer, or a text that lists every problem. One at a time; it asks [`Going::on`] between its steps.
pub type Work = dyn FnOnce(&Going) -> Result<Outcome, String> + Send;
