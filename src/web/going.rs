//! Work that stops when the one who asked for it has left.

use std::panic::resume_unwind;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Whether work still goes on: asked by the work, ended by whoever waits for it.
#[derive(Debug, Clone, Default)]
pub struct Going(Arc<AtomicBool>);

/// What a stopped work unwinds with; nobody waits for it any longer.
struct Left;

impl Going {
    /// Ends the work at its next step if nobody waits for it any longer.
    ///
    /// The work is let go by unwinding: the searches then need no way out of their own, and whatever they hold, on
    /// every thread, is given back. It is no fault, so the hook that reports faults is not run.
    pub fn on(&self) {
        if self.0.load(Ordering::Relaxed) {
            resume_unwind(Box::new(Left));
        }
    }

    /// A guard that ends the work when it is dropped, as everything that waits for an answer is when its connection
    /// closes.
    pub(super) fn until_dropped(&self) -> EndsIt {
        EndsIt(self.clone())
    }
}

/// Ends the work when dropped.
pub(super) struct EndsIt(Going);

impl Drop for EndsIt {
    fn drop(&mut self) {
        self.0.0.store(true, Ordering::Relaxed);
    }
}
