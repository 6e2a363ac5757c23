//! Who may talk to the server: this machine's browser showing this server's own page.
//!
//! A loopback port is open to every page that the user's browser shows. Another site could send requests to
//! it, or have its own name point at 127.0.0.1. So the host asked for must be this address, and a request
//! that a foreign page caused is refused.

use axum::extract::{Request, State};
use axum::http::{HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::net::SocketAddr;
use std::sync::Arc;

/// The names by which this server may be asked for.
#[derive(Debug)]
pub(super) struct Door {
    hosts: [String; 2],
}

impl Door {
    pub(super) fn new(address: SocketAddr) -> Self {
        let port = address.port();
        Self {
            hosts: [format!("127.0.0.1:{port}"), format!("localhost:{port}")],
        }
    }

    fn is_own_host(&self, host: &str) -> bool {
        self.hosts.iter().any(|h| h.eq_ignore_ascii_case(host))
    }

    fn is_own_origin(&self, origin: &str) -> bool {
        origin
            .strip_prefix("http://")
            .is_some_and(|host| self.is_own_host(host))
    }
}

/// A refusal in plain words.
pub(super) fn deny(status: StatusCode, words: &str) -> Response {
    (
        status,
        [(header::CONTENT_TYPE, "text/plain; charset=utf-8")],
        words.to_owned(),
    )
        .into_response()
}

/// Lets through what comes from this server's own page, and marks every answer as private to it.
pub(super) async fn check(State(door): State<Arc<Door>>, request: Request, next: Next) -> Response {
    let mut response = match refusal(&door, &request) {
        Some(words) => deny(StatusCode::FORBIDDEN, words),
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_FRAME_OPTIONS, "DENY"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.insert(
        "cross-origin-resource-policy",
        HeaderValue::from_static("same-origin"),
    );
    headers
        .entry(header::CONTENT_SECURITY_POLICY)
        .or_insert(HeaderValue::from_static(
            "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; \
             base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
        ));
    response
}

fn refusal(door: &Door, request: &Request) -> Option<&'static str> {
    let text = |name: &str| {
        request
            .headers()
            .get(name)
            .map(|v| v.to_str().unwrap_or("?"))
    };
    // One host, and the same in an address that is written in full.
    let hosts = request.headers().get_all(header::HOST).iter().count();
    let full = request.uri().authority();
    if hosts != 1
        || !text("host").is_some_and(|h| door.is_own_host(h))
        || full.is_some_and(|a| !door.is_own_host(a.as_str()))
    {
        return Some(
            "This page answers at its own address only; open the address that the program printed.",
        );
    }
    if text("origin").is_some_and(|o| !door.is_own_origin(o)) {
        return Some("Another site's page asked for this; it is refused.");
    }
    // A link from elsewhere may open the page; nothing else may come from another site.
    let site = text("sec-fetch-site").unwrap_or("none");
    let opened = request.method() == Method::GET && text("sec-fetch-mode") == Some("navigate");
    if !matches!(site, "none" | "same-origin") && !opened {
        return Some("Another site's page asked for this; it is refused.");
    }
    None
}
