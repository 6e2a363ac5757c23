//! How much the server takes on at once, and how long it waits.

use std::time::Duration;

/// Largest request, bytes: a scan of a million readings as text is about half of it.
pub const LARGEST_REQUEST: usize = 128 * 1024 * 1024;

/// How much the server takes on at once, and how long it waits.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Longest that a connection may take over the head of a request, its idle time before included.
    pub head: Duration,
    /// Longest pause within a request's body.
    pub pause: Duration,
    /// Slowest that a body may come, bytes in a second from its beginning; each body has one [`Self::pause`] on top.
    pub pace: usize,
    /// Open connections. One more closes the one that has been idle longest.
    pub connections: usize,
    /// Bytes of all bodies held at once, those that wait for their turn included.
    pub bodies: usize,
    /// Requests that may wait for their turn.
    pub waiting: usize,
    /// How long an answer is kept for download.
    pub kept: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(15),
            pause: Duration::from_secs(15),
            pace: 256 * 1024,
            // Half of the descriptors that a program usually has.
            connections: 512,
            // One of the largest, and some small ones beside it.
            bodies: LARGEST_REQUEST + 32 * 1024 * 1024,
            waiting: 256,
            kept: Duration::from_secs(60 * 60),
        }
    }
}
