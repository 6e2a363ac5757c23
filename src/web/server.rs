//! The local server: this machine only, nothing on disk.

use super::frame::{self, Request};
use super::guard::{Door, deny};
use super::outcome::{Outcome, Shelf, content_type};
use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, FromRequest, Path, Query, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use std::future::{Future, IntoFuture, poll_fn};
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::pin::pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::Poll;

/// Largest request, bytes: a scan of a million readings as text is about half of it.
pub const LARGEST_REQUEST: usize = 128 * 1024 * 1024;

/// What does the work: a request in, an answer or a text that lists every problem.
pub type Handler = dyn Fn(Request) -> Result<Outcome, String> + Send + Sync;

/// Why the page cannot be served.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ServeError {
    /// The port is not to be had.
    #[error(
        "port {port} on 127.0.0.1 cannot be opened ({source}); close what uses it, or take another with --port (0 takes any free one)"
    )]
    Port {
        /// The port asked for.
        port: u16,
        /// The system's words.
        source: std::io::Error,
    },
    /// The server stopped.
    #[error("the local page stopped ({source}); start it again")]
    Stopped {
        /// The system's words.
        source: std::io::Error,
    },
}

/// A server that holds its port and does not answer yet.
#[derive(Debug)]
pub struct Bound {
    listener: TcpListener,
    address: SocketAddr,
}

/// Opens the port on the loopback address; 0 takes any free one.
///
/// # Errors
/// [`ServeError::Port`] when it is taken or not allowed.
pub fn bind(port: u16) -> Result<Bound, ServeError> {
    let fault = |source| ServeError::Port { port, source };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(fault)?;
    listener.set_nonblocking(true).map_err(fault)?;
    let address = listener.local_addr().map_err(fault)?;
    Ok(Bound { listener, address })
}

impl Bound {
    /// Where a browser finds the page.
    pub fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Answers until `stop` is done, then at once no longer.
    ///
    /// # Errors
    /// [`ServeError::Stopped`] when the system takes the port or the threads away.
    pub fn run_until(
        self,
        handler: Arc<Handler>,
        stop: impl Future<Output = ()> + Send + 'static,
    ) -> Result<(), ServeError> {
        let stopped = |source| ServeError::Stopped { source };
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_io()
            .build()
            .map_err(stopped)?;
        let ended = runtime.block_on(async move {
            let listener = tokio::net::TcpListener::from_std(self.listener).map_err(stopped)?;
            let mut serving =
                pin!(axum::serve(listener, router(handler, self.address)).into_future());
            let mut stop = pin!(stop);
            // Whichever ends first. A request in work is let go: nothing of it is on disk.
            poll_fn(|context| match stop.as_mut().poll(context) {
                Poll::Ready(()) => Poll::Ready(Ok(())),
                Poll::Pending => serving.as_mut().poll(context).map_err(stopped),
            })
            .await
        });
        runtime.shutdown_background();
        ended
    }
}

struct Shared {
    handler: Arc<Handler>,
    shelf: Mutex<Shelf>,
    /// Held while a request is worked on: one after another, so that two uploads cannot fill the memory.
    turn: Mutex<()>,
}

fn router(handler: Arc<Handler>, address: SocketAddr) -> Router {
    let shared = Arc::new(Shared {
        handler,
        shelf: Mutex::new(Shelf::default()),
        turn: Mutex::new(()),
    });
    let door = Arc::new(Door::new(address));
    Router::new()
        .route(
            "/",
            get(|| async { asset("text/html; charset=utf-8", PAGE) }),
        )
        .route(
            "/page.css",
            get(|| async { asset("text/css; charset=utf-8", STYLE) }),
        )
        .route(
            "/page.js",
            get(|| async { asset("text/javascript; charset=utf-8", SCRIPT) }),
        )
        .route("/checks", get(checks))
        .route("/answer", post(work))
        .route("/out/{number}/{name}", get(output))
        .fallback(|| async {
            deny(
                StatusCode::NOT_FOUND,
                "There is no such page here; go back to the start.",
            )
        })
        .layer(DefaultBodyLimit::max(LARGEST_REQUEST))
        .layer(middleware::from_fn_with_state(door, super::guard::check))
        .with_state(shared)
}

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

fn asset(kind: &'static str, text: &'static str) -> Response {
    ([(header::CONTENT_TYPE, kind)], text).into_response()
}

async fn checks() -> Response {
    let list: Vec<_> = super::checks::offered()
        .into_iter()
        .map(|(name, title)| serde_json::json!({ "name": name, "title": title }))
        .collect();
    axum::Json(list).into_response()
}

async fn work(State(shared): State<Arc<Shared>>, request: axum::extract::Request) -> Response {
    let headers = request.headers();
    // A form on another site cannot send this type without asking first, and is then refused.
    let kind = headers.get(header::CONTENT_TYPE).map(HeaderValue::as_bytes);
    if kind != Some(b"application/octet-stream") {
        return deny(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "Requests come from this program's own page only.",
        );
    }
    let too_large = || {
        deny(
            StatusCode::PAYLOAD_TOO_LARGE,
            &format!(
                "The files are too large for the page: at most {} MB together. Use the command line for them.",
                LARGEST_REQUEST / (1024 * 1024)
            ),
        )
    };
    let announced = headers
        .get(header::CONTENT_LENGTH)
        .and_then(|v| v.to_str().ok()?.parse::<u64>().ok());
    if announced.is_some_and(|n| n > LARGEST_REQUEST as u64) {
        return too_large();
    }
    let body = match Bytes::from_request(request, &()).await {
        Ok(body) => body,
        Err(e) if e.status() == StatusCode::PAYLOAD_TOO_LARGE => return too_large(),
        Err(_) => {
            return deny(
                StatusCode::BAD_REQUEST,
                "The files did not arrive whole; send them again.",
            );
        }
    };
    let request = match frame::parse(&body) {
        Ok(request) => request,
        Err(e) => return deny(StatusCode::BAD_REQUEST, &e.to_string()),
    };
    drop(body);
    let working = Arc::clone(&shared);
    let done = tokio::task::spawn_blocking(move || {
        let _turn = working.turn.lock().unwrap_or_else(PoisonError::into_inner);
        (working.handler)(request)
    })
    .await;
    match done {
        Ok(Ok(outcome)) => answered(&shared, outcome),
        Ok(Err(text)) => deny(StatusCode::UNPROCESSABLE_ENTITY, &text),
        Err(_) => deny(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The work stopped because of a fault in this program; nothing was written. Please report it with the file \
             that led to it.",
        ),
    }
}

fn answered(shared: &Shared, outcome: Outcome) -> Response {
    let about: Vec<(String, usize)> = outcome
        .files
        .iter()
        .map(|f| (f.name.clone(), f.bytes.len()))
        .collect();
    let number = shared
        .shelf
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .put(outcome.files);
    let files: Vec<_> = about
        .into_iter()
        .map(|(name, size)| {
            let kind = content_type(&name);
            serde_json::json!({
                "href": format!("/out/{number}/{}", percent(&name)),
                "name": name, "size": size, "kind": kind,
            })
        })
        .collect();
    axum::Json(serde_json::json!({ "parts": outcome.parts, "files": files })).into_response()
}

#[derive(serde::Deserialize)]
struct How {
    save: Option<String>,
}

async fn output(
    State(shared): State<Arc<Shared>>,
    Path((number, name)): Path<(u64, String)>,
    Query(how): Query<How>,
) -> Response {
    let found = shared
        .shelf
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .get(number, &name);
    let Some(bytes) = found else {
        return deny(
            StatusCode::NOT_FOUND,
            "This answer is no longer kept; go back and work it out again.",
        );
    };
    let mut response = Bytes::from(bytes.as_ref().clone()).into_response();
    let headers = response.headers_mut();
    headers.insert(
        header::CONTENT_TYPE,
        HeaderValue::from_static(content_type(&name)),
    );
    // What a result holds came out of the user's files: it is shown without any right to this server.
    headers.insert(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(
            "sandbox allow-scripts allow-modals allow-downloads; default-src 'none'; style-src 'unsafe-inline'; \
             script-src 'unsafe-inline'; img-src data:; font-src data:; frame-ancestors 'none'",
        ),
    );
    if how.save.is_some() {
        let value = format!("attachment; filename*=UTF-8''{}", percent(&name));
        if let Ok(value) = HeaderValue::from_str(&value) {
            headers.insert(header::CONTENT_DISPOSITION, value);
        }
    }
    response
}

/// Percent-encodes everything but unreserved signs (RFC 3986, section 2.3).
fn percent(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for &b in name.as_bytes() {
        if b.is_ascii_alphanumeric() || b"-._~".contains(&b) {
            out.push(b as char);
        } else {
            out.push_str(&format!("%{b:02X}"));
        }
    }
    out
}
