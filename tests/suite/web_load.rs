//! The local page under load: connections, bodies and work that nobody waits for.

use crate::support::site::{
    OCTETS, Site, at_once, connect, file, get, head_of, post, rest_of, serve, serve_within, words,
};
use birdbath::job::Overrides;
use birdbath::web::{Handler, Limits, Outcome, Request, compose};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// Longer than anything here takes; a wait for it fails the test instead of holding it up.
const PATIENCE: Duration = Duration::from_secs(30);

fn framed(text: &str) -> Vec<u8> {
    compose(&Request {
        files: vec![file("readings.csv", text.as_bytes())],
        main: "readings.csv".into(),
        options: Overrides::default(),
    })
    .unwrap()
}

/// Answers every request with one small file.
fn quick() -> Arc<Handler> {
    at_once(|_| {
        Ok(Outcome {
            parts: vec![],
            files: vec![file("a.txt", b"a")],
        })
    })
}

fn send(stream: &mut TcpStream, head: &str, body: &[u8]) {
    let head = format!("{}\r\n", head.replace('\n', "\r\n"));
    stream.write_all(head.as_bytes()).unwrap();
    stream.write_all(body).unwrap();
}

fn page(site: &Site) -> u16 {
    get(site, &format!("/{}/", site.key)).0
}

#[test]
fn idle_connections_make_room_for_others() {
    let limits = Limits {
        connections: 8,
        ..Limits::default()
    };
    let site = serve_within(quick(), limits);
    let idle: Vec<TcpStream> = (0..40).map(|_| connect(&site)).collect();
    assert_eq!(page(&site), 200);
    assert_eq!(post(&site, OCTETS, &framed("a")).0, 200);
    drop(idle);
}

#[test]
fn a_head_that_does_not_come_ends_its_connection() {
    let limits = Limits {
        head: Duration::from_millis(200),
        ..Limits::default()
    };
    let site = serve_within(quick(), limits);
    let mut stream = connect(&site);
    stream.write_all(b"GET / HT").unwrap();
    let begun = Instant::now();
    let _ = stream.read_to_end(&mut Vec::new());
    assert!(
        begun.elapsed() < PATIENCE,
        "the connection was never closed"
    );
}

#[test]
fn a_slow_body_is_let_go() {
    let limits = Limits {
        pause: Duration::from_millis(300),
        ..Limits::default()
    };
    let site = serve_within(quick(), limits);
    // One that stops, and one whose pauses are short but that never ends.
    let mut stops = connect(&site);
    send(&mut stops, &head_of(&site, 1000, OCTETS), b"ten bytes.");
    let (status, _, text) = rest_of(stops);
    assert_eq!(status, 408);
    assert!(words(&text).contains("too slowly"), "{}", words(&text));
    let mut drips = connect(&site);
    // A large one is not given the time of the whole beforehand.
    send(&mut drips, &head_of(&site, 64_000_000, OCTETS), b"");
    let begun = Instant::now();
    while drips.write_all(b"x").is_ok() && begun.elapsed() < PATIENCE {
        std::thread::sleep(Duration::from_millis(50));
    }
    assert!(begun.elapsed() < PATIENCE, "a drip was never let go");
    assert_eq!(page(&site), 200);
}

#[test]
fn a_body_without_its_length_is_refused() {
    let site = serve(quick());
    let mut stream = connect(&site);
    let head = head_of(&site, 0, OCTETS).replace("Content-Length: 0", "Transfer-Encoding: chunked");
    send(&mut stream, &head, b"1\r\na\r\n0\r\n\r\n");
    let (status, _, text) = rest_of(stream);
    assert_eq!(status, 411);
    assert!(words(&text).contains("Content-Length"));
}

#[test]
fn bodies_together_are_held_to_one_allowance() {
    let body = framed("a");
    let limits = Limits {
        bodies: body.len() + 1,
        ..Limits::default()
    };
    let site = serve_within(quick(), limits);
    let mut first = connect(&site);
    // The server says "go on" once it reads the body, and so holds the room for it.
    let asks = head_of(&site, body.len(), OCTETS) + "Expect: 100-continue\n";
    send(&mut first, &asks, b"");
    let mut told = [0; 25];
    first.read_exact(&mut told).unwrap();
    assert_eq!(&told, b"HTTP/1.1 100 Continue\r\n\r\n");
    first.write_all(&body[..9]).unwrap();
    let (status, head, text) = post(&site, OCTETS, &body);
    assert_eq!(status, 503, "both were taken");
    assert!(head.contains("retry-after: "), "{head}");
    assert!(words(&text).contains("try again"), "{}", words(&text));
    first.write_all(&body[9..]).unwrap();
    assert_eq!(rest_of(first).0, 200);
    assert_eq!(post(&site, OCTETS, &body).0, 200, "the room is given back");
}

/// Work that tells when it begins, and goes on until it is told to end, or until nobody waits for it.
fn long(begun: Sender<()>, end: Receiver<()>, ended: Sender<&'static str>) -> Arc<Handler> {
    let end = Arc::new(Mutex::new(end));
    Arc::new(move |request: Request| {
        if request.files[0].bytes.starts_with(b"bad") {
            return Err("readings.csv, cell C3: found “bad”".into());
        }
        let (begun, end, ended) = (begun.clone(), Arc::clone(&end), ended.clone());
        Ok(Box::new(move |going| {
            struct Tells(Sender<&'static str>, &'static str);
            impl Drop for Tells {
                fn drop(&mut self) {
                    let _ = self.0.send(self.1);
                }
            }
            let mut tells = Tells(ended, "stopped");
            begun.send(()).unwrap();
            while end.lock().unwrap().try_recv().is_err() {
                going.on();
                std::thread::sleep(Duration::from_millis(5));
            }
            tells.1 = "done";
            Ok(Outcome::default())
        }))
    })
}

#[test]
fn refusals_do_not_wait_for_work() {
    let ((begun, has_begun), (end, to_end), (ended, has_ended)) = (channel(), channel(), channel());
    let site = serve(long(begun, to_end, ended));
    let mut working = connect(&site);
    let body = framed("a");
    send(&mut working, &head_of(&site, body.len(), OCTETS), &body);
    has_begun.recv_timeout(PATIENCE).unwrap();
    assert_eq!(page(&site), 200);
    assert_eq!(post(&site, OCTETS, &framed("bad")).0, 422);
    assert_eq!(post(&site, OCTETS, b"\xff\xff\xff\xff").0, 400);
    assert!(has_ended.try_recv().is_err(), "the work was over by then");
    end.send(()).unwrap();
    assert_eq!(rest_of(working).0, 200);
    assert_eq!(has_ended.recv_timeout(PATIENCE).unwrap(), "done");
}

#[test]
fn work_stops_when_its_client_leaves() {
    let ((begun, has_begun), (end, to_end), (ended, has_ended)) = (channel(), channel(), channel());
    let site = serve(long(begun, to_end, ended));
    let body = framed("a");
    let mut leaves = connect(&site);
    send(&mut leaves, &head_of(&site, body.len(), OCTETS), &body);
    has_begun.recv_timeout(PATIENCE).unwrap();
    drop(leaves);
    assert_eq!(has_ended.recv_timeout(PATIENCE).unwrap(), "stopped");
    let mut stays = connect(&site);
    send(&mut stays, &head_of(&site, body.len(), OCTETS), &body);
    has_begun.recv_timeout(PATIENCE).unwrap();
    end.send(()).unwrap();
    assert_eq!(rest_of(stays).0, 200);
}

/// Where the first file of an answer is.
fn link(site: &Site) -> String {
    let (status, _, body) = post(site, OCTETS, &framed("a"));
    assert_eq!(status, 200, "{}", words(&body));
    let body: serde_json::Value = serde_json::from_slice(&body).unwrap();
    body["files"][0]["href"].as_str().unwrap().to_owned()
}

#[test]
fn links_cannot_be_guessed_and_last_their_time() {
    let limits = Limits {
        kept: Duration::from_millis(400),
        ..Limits::default()
    };
    let site = serve_within(quick(), limits);
    let links: Vec<String> = (0..4).map(|_| link(&site)).collect();
    for (i, link) in links.iter().enumerate() {
        let secret = link.split('/').nth(2).unwrap();
        assert_eq!(secret.len(), 32, "128 bits: {link}");
        assert!(secret.bytes().all(|b| b.is_ascii_hexdigit()), "{link}");
        assert!(!links[..i].contains(link), "{link} twice");
        assert!(
            !link.contains(&site.key),
            "an answer tells the page's own address"
        );
    }
    let last = link(&site);
    assert_eq!(get(&site, &last).0, 200);
    let begun = Instant::now();
    while get(&site, &last).0 != 404 {
        assert!(begun.elapsed() < PATIENCE, "never forgotten");
        std::thread::sleep(Duration::from_millis(50));
    }
}

#[cfg(unix)]
#[test]
fn a_server_without_descriptors_goes_on() {
    let program = env!("CARGO_BIN_EXE_birdbath");
    let mut child = Command::new("sh")
        .args(["-c", "ulimit -n 32; exec \"$0\" serve --port 0", program])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap())
        .read_line(&mut line)
        .unwrap();
    let (_, address) = line.trim().rsplit_once("http://").unwrap();
    let (host, key) = address.trim_end_matches('/').split_once('/').unwrap();
    let site = Site {
        port: host.rsplit(':').next().unwrap().parse().unwrap(),
        key: key.to_owned(),
    };
    let idle: Vec<TcpStream> = (0..100).map(|_| connect(&site)).collect();
    let answered = page(&site);
    drop(idle);
    let after = page(&site);
    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!((answered, after), (200, 200));
}
