//! A request's body, read within bounds of memory and time.

use super::guard::deny;
use super::limits::{LARGEST_REQUEST, Limits};
use axum::body::{Body, HttpBody};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::Response;
use std::future::poll_fn;
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::time::{Instant, timeout_at};

/// Seconds after which it is worth asking again.
const ASK_AGAIN: HeaderValue = HeaderValue::from_static("5");

/// A refusal; boxed, as it is the rarer and the larger way out.
pub(super) type Refusal = Box<Response>;

/// A refusal in plain words.
pub(super) fn refusal(status: StatusCode, words: &str) -> Refusal {
    Box::new(deny(status, words))
}

/// A body's bytes, and the room for them, given back when dropped.
pub(super) struct Held {
    pub(super) bytes: Vec<u8>,
    /// The room that the bytes take.
    pub(super) room: OwnedSemaphorePermit,
}

/// Reads a body whose length was announced. Room for the whole of it is taken first, so that many uploads at once hold no
/// more than one allowance between them.
pub(super) async fn whole(
    headers: &HeaderMap,
    mut body: Body,
    room: &Arc<Semaphore>,
    limits: &Limits,
) -> Result<Held, Refusal> {
    let length = announced(headers)?;
    let begun = Instant::now();
    let taken = u32::try_from(length)
        .ok()
        .and_then(|n| Arc::clone(room).try_acquire_many_owned(n).ok());
    let Some(room) = taken else {
        // A browser reads a refusal only once it has sent all. What it sends is let fall.
        let _ = read(&mut body, begun, limits, |_| ()).await;
        return Err(Box::new(full()));
    };
    let mut bytes = Vec::with_capacity(length);
    read(&mut body, begun, limits, |part| {
        bytes.extend_from_slice(part);
    })
    .await?;
    if bytes.len() != length {
        return Err(not_whole());
    }
    Ok(Held { bytes, room })
}

/// The length that a request says its body has.
fn announced(headers: &HeaderMap) -> Result<usize, Refusal> {
    let length = headers
        .get(header::CONTENT_LENGTH)
        .and_then(|v| v.to_str().ok()?.parse::<u64>().ok());
    let Some(length) = length else {
        return Err(refusal(
            StatusCode::LENGTH_REQUIRED,
            "The request does not say how long it is; send it with its Content-Length.",
        ));
    };
    match usize::try_from(length) {
        Ok(length) if length <= LARGEST_REQUEST => Ok(length),
        _ => Err(refusal(
            StatusCode::PAYLOAD_TOO_LARGE,
            &format!(
                "The files are too large for the page: at most {} MB together. Use the command line for them.",
                LARGEST_REQUEST / (1024 * 1024)
            ),
        )),
    }
}

/// How long a body of this length may take at the slowest pace.
fn at_pace(length: usize, pace: usize) -> Duration {
    Duration::from_millis((length as u64).saturating_mul(1000) / (pace as u64).max(1))
}

/// Hands every part of a body on as it comes. What came so far sets how long the next part may take, so that a body never
/// lags behind the slowest pace by more than one pause.
async fn read(
    body: &mut Body,
    begun: Instant,
    limits: &Limits,
    mut each: impl FnMut(&[u8]),
) -> Result<(), Refusal> {
    let mut came = 0usize;
    loop {
        let until = begun + limits.pause + at_pace(came, limits.pace);
        let next = poll_fn(|context| Pin::new(&mut *body).poll_frame(context));
        match timeout_at(until.min(Instant::now() + limits.pause), next).await {
            Ok(None) => return Ok(()),
            Ok(Some(Ok(frame))) => {
                if let Some(part) = frame.data_ref() {
                    came += part.len();
                    each(part);
                }
            }
            Ok(Some(Err(_))) => return Err(not_whole()),
            Err(_) => {
                return Err(refusal(
                    StatusCode::REQUEST_TIMEOUT,
                    "The files came too slowly and were let go; see that they can be read where they are, and send them again.",
                ));
            }
        }
    }
}

fn not_whole() -> Refusal {
    refusal(
        StatusCode::BAD_REQUEST,
        "The files did not arrive whole; send them again.",
    )
}

/// The refusal when other requests hold all there is.
pub(super) fn full() -> Response {
    let mut response = deny(
        StatusCode::SERVICE_UNAVAILABLE,
        "Other files are being worked on and there is no room for more at the moment; try again in a few seconds.",
    );
    response
        .headers_mut()
        .insert(header::RETRY_AFTER, ASK_AGAIN);
    response
}
