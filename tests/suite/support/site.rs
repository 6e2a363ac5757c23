//! The local page's server for tests, and plain requests to it.

use birdbath::web::{Bound, Handler, Limits, NamedFile, Outcome, Request, bind};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use std::time::Duration;

/// Where a server answers.
#[derive(Debug, Clone)]
pub struct Site {
    pub port: u16,
    /// First part of the page's address.
    pub key: String,
}

impl Site {
    pub fn of(bound: &Bound) -> Self {
        let url = bound.url();
        let (host, key) = url
            .strip_prefix("http://")
            .and_then(|rest| rest.trim_end_matches('/').split_once('/'))
            .unwrap();
        Self {
            port: host.rsplit(':').next().unwrap().parse().unwrap(),
            key: key.to_owned(),
        }
    }

    #[cfg(feature = "browser-tests")]
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}/{}/", self.port, self.key)
    }
}

pub fn file(name: &str, bytes: &[u8]) -> NamedFile {
    NamedFile {
        name: name.into(),
        bytes: bytes.to_vec(),
    }
}

/// A handler that has nothing left to do once it has read a request.
pub fn at_once(
    answer: impl Fn(Request) -> Result<Outcome, String> + Send + Sync + 'static,
) -> Arc<Handler> {
    Arc::new(move |request| {
        let outcome = answer(request)?;
        Ok(Box::new(move |_| Ok(outcome)))
    })
}

/// Serves on a free port for the rest of the test run.
pub fn serve(handler: Arc<Handler>) -> Site {
    serve_within(handler, Limits::default())
}

/// As [`serve`], within other limits.
pub fn serve_within(handler: Arc<Handler>, limits: Limits) -> Site {
    let bound = bind(0).unwrap().within(limits);
    let site = Site::of(&bound);
    std::thread::spawn(move || bound.run_until(handler, std::future::pending()));
    site
}

/// A connection that fails the test instead of holding it up.
pub fn connect(site: &Site) -> TcpStream {
    let stream = TcpStream::connect(("127.0.0.1", site.port)).unwrap();
    let patience = Some(Duration::from_secs(30));
    stream.set_read_timeout(patience).unwrap();
    stream
}

/// Status, headers and body of one exchange.
pub fn ask(site: &Site, head: &str, body: &[u8]) -> (u16, String, Vec<u8>) {
    let mut stream = connect(site);
    stream
        .write_all(head.replace('\n', "\r\n").as_bytes())
        .unwrap();
    stream.write_all(b"\r\n").unwrap();
    // A refusal may come, and the connection close, before all is sent.
    let _ = stream.write_all(body);
    rest_of(stream)
}

/// Status, headers and body of the answer that is under way.
pub fn rest_of(mut stream: TcpStream) -> (u16, String, Vec<u8>) {
    let mut all = Vec::new();
    let _ = stream.read_to_end(&mut all);
    let cut = all
        .windows(4)
        .position(|w| w == b"\r\n\r\n")
        .unwrap_or(all.len());
    let head = String::from_utf8_lossy(&all[..cut]).to_lowercase();
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|s| s.parse().ok())
        .unwrap_or(0);
    (
        status,
        head,
        all.get(cut + 4..).unwrap_or_default().to_vec(),
    )
}

pub fn get(site: &Site, path: &str) -> (u16, String, Vec<u8>) {
    let port = site.port;
    ask(
        site,
        &format!("GET {path} HTTP/1.1\nHost: 127.0.0.1:{port}\nConnection: close\n"),
        b"",
    )
}

/// The head of an upload.
pub fn head_of(site: &Site, length: usize, more: &str) -> String {
    let Site { port, key } = site;
    format!(
        "POST /{key}/answer HTTP/1.1\nHost: 127.0.0.1:{port}\nConnection: close\nContent-Length: {length}\n{more}"
    )
}

pub fn post(site: &Site, more: &str, body: &[u8]) -> (u16, String, Vec<u8>) {
    ask(site, &head_of(site, body.len(), more), body)
}

pub const OCTETS: &str = "Content-Type: application/octet-stream\n";

pub fn words(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}
