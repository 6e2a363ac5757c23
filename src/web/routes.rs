//! What is answered where.

use super::body::{Refusal, full, refusal, whole};
use super::frame;
use super::going::Going;
use super::guard::{Door, deny};
use super::handler::{Handler, Work};
use super::limits::Limits;
use super::outcome::{Outcome, Shelf, content_type};
use super::seats::Seat;
use super::secret::secret;
use axum::body::Body;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Extension, Router, middleware};
use std::net::SocketAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;
use tokio::sync::Semaphore;

/// Requests that are read at once, beside whatever is worked on.
const READ_AT_ONCE: usize = 2;

/// What all requests share.
pub(super) struct Shared {
    handler: Arc<Handler>,
    limits: Limits,
    shelf: Mutex<Shelf>,
    /// Bytes of bodies that may still be taken.
    bodies: Arc<Semaphore>,
    /// Requests that may still wait for their turn.
    places: Arc<Semaphore>,
    /// Requests that may be read now.
    reading: Arc<Semaphore>,
    /// Held while a request is worked on: one after another, so that two uploads cannot fill the memory.
    turn: Arc<Semaphore>,
}

impl Shared {
    pub(super) fn new(handler: Arc<Handler>, limits: Limits) -> Self {
        let count = |n: usize| Arc::new(Semaphore::new(n.min(Semaphore::MAX_PERMITS)));
        Self {
            handler,
            limits,
            shelf: Mutex::default(),
            bodies: count(limits.bodies),
            places: count(limits.waiting),
            reading: count(READ_AT_ONCE),
            turn: count(1),
        }
    }

    fn shelf(&self) -> MutexGuard<'_, Shelf> {
        self.shelf.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Forgets answers whose time is over.
    pub(super) fn forget(&self) {
        self.shelf().forget(self.limits.kept, Instant::now());
    }
}

/// The page under its key, and answers under their own secrets.
pub(super) fn router(shared: Arc<Shared>, address: SocketAddr, key: &str) -> Router {
    let door = Arc::new(Door::new(address));
    let page =
        |kind: &'static str, text: &'static str| get(move || async move { asset(kind, text) });
    Router::new()
        .route(&format!("/{key}/"), page("text/html; charset=utf-8", PAGE))
        .route(
            &format!("/{key}/page.css"),
            page("text/css; charset=utf-8", STYLE),
        )
        .route(
            &format!("/{key}/page.js"),
            page("text/javascript; charset=utf-8", SCRIPT),
        )
        .route(&format!("/{key}/checks"), get(checks))
        .route(&format!("/{key}/answer"), post(work))
        .route("/out/{secret}/{name}", get(output))
        .fallback(|| async {
            deny(
                StatusCode::NOT_FOUND,
                "There is no such page here; open the address that the program printed when it was started.",
            )
        })
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

async fn work(
    State(shared): State<Arc<Shared>>,
    Extension(seat): Extension<Arc<Seat>>,
    request: axum::extract::Request,
) -> Response {
    let (head, body) = request.into_parts();
    // A form on another site cannot send this type without asking first, and is then refused.
    let kind = head.headers.get(header::CONTENT_TYPE);
    if kind.map(HeaderValue::as_bytes) != Some(b"application/octet-stream") {
        return deny(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "Requests come from this program's own page only.",
        );
    }
    let reading = seat.reading();
    let held = match whole(&head.headers, body, &shared.bodies, &shared.limits).await {
        Ok(held) => held,
        Err(why) => return *why,
    };
    drop(reading);
    let Ok(_place) = Arc::clone(&shared.places).try_acquire_owned() else {
        return full();
    };
    let _working = seat.working();
    // Kept until the answer is there: what was read of the bytes takes room as they did.
    let _room = held.room;
    let left = match read(&shared, held.bytes).await {
        Ok(left) => left,
        Err(why) => return *why,
    };
    match worked_out(&shared, left).await {
        Ok(outcome) => answered(&shared, outcome),
        Err(why) => *why,
    }
}

/// Reads a request, beside whatever is worked on.
async fn read(shared: &Shared, bytes: Vec<u8>) -> Result<Box<Work>, Refusal> {
    let permit = Arc::clone(&shared.reading).acquire_owned().await;
    let handler = Arc::clone(&shared.handler);
    tokio::task::spawn_blocking(move || {
        let _permit = permit;
        let request =
            frame::parse(&bytes).map_err(|e| refusal(StatusCode::BAD_REQUEST, &e.to_string()))?;
        drop(bytes);
        handler(request).map_err(|text| refusal(StatusCode::UNPROCESSABLE_ENTITY, &text))
    })
    .await
    .unwrap_or_else(|_| Err(Box::new(stumbled())))
}

/// Works a request out when its turn comes. One whose client has left is not begun, or ended at its next step.
async fn worked_out(shared: &Shared, left: Box<Work>) -> Result<Outcome, Refusal> {
    let turn = Arc::clone(&shared.turn).acquire_owned().await;
    let going = Going::default();
    let _ends = going.until_dropped();
    let working = going.clone();
    tokio::task::spawn_blocking(move || {
        // Held by the work itself: what nobody waits for any longer still takes its room until it has ended.
        let _turn = turn;
        left(&working).map_err(|text| refusal(StatusCode::UNPROCESSABLE_ENTITY, &text))
    })
    .await
    .unwrap_or_else(|_| Err(Box::new(stumbled())))
}

fn stumbled() -> Response {
    deny(
        StatusCode::INTERNAL_SERVER_ERROR,
        "The work stopped because of a fault in this program; nothing was written. Please report it with the file that \
         led to it.",
    )
}

fn answered(shared: &Shared, outcome: Outcome) -> Response {
    let about: Vec<(String, usize)> = outcome
        .files
        .iter()
        .map(|f| (f.name.clone(), f.bytes.len()))
        .collect();
    let Ok(secret) = secret() else {
        return deny(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The system gives no random bytes for the answer's address; try again.",
        );
    };
    shared
        .shelf()
        .put(secret.clone(), outcome.files, Instant::now());
    let files: Vec<_> = about
        .into_iter()
        .map(|(name, size)| {
            let kind = content_type(&name);
            serde_json::json!({
                "href": format!("/out/{secret}/{}", percent(&name)),
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
    Path((secret, name)): Path<(String, String)>,
    Query(how): Query<How>,
) -> Response {
    shared.forget();
    let Some(bytes) = shared.shelf().get(&secret, &name) else {
        return deny(
            StatusCode::NOT_FOUND,
            "This answer is no longer kept; go back and work it out again.",
        );
    };
    let mut response = Body::from(bytes).into_response();
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
