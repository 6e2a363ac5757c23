//! The local page: what it refuses and what it reads.

use crate::support::site::{OCTETS, Site, ask, at_once, file, get, post, serve, words};
use birdbath::job::{EdgeWords, FillWords, Overrides};
use birdbath::web::{
    FrameError, Handler, NamedFile, Outcome, Part, Request, ServeError, bind, compose, parse, work,
};
use proptest::prelude::*;
use std::sync::Arc;

/// Counts rows; refuses a file that says so; stumbles when told to.
pub fn counting() -> Arc<Handler> {
    at_once(|request: Request| {
        let main = request
            .files
            .iter()
            .find(|f| f.name == request.main)
            .unwrap();
        let text = String::from_utf8_lossy(&main.bytes);
        if text.contains("bad") {
            return Err(
                "readings.csv, cell C3: found “bad”\nreadings.csv, cell C4: found “bad”".into(),
            );
        }
        assert!(!text.contains("stumble"), "a planted fault");
        Ok(Outcome {
            parts: vec![Part::new(
                "Understood",
                vec![format!("{} rows <b>", text.lines().count())],
            )],
            files: vec![
                file(
                    "map.svg",
                    b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 2 1\"/>",
                ),
                file("a b\".html", b"<p>page</p>"),
            ],
        })
    })
}

fn framed(text: &str) -> Vec<u8> {
    compose(&Request {
        files: vec![file("readings.csv", text.as_bytes())],
        main: "readings.csv".into(),
        options: Overrides::default(),
    })
    .unwrap()
}

#[test]
fn an_upload_is_answered_and_its_files_can_be_fetched() {
    let site = serve(counting());
    let (status, _, body) = post(&site, OCTETS, &framed("a\nb\n"));
    assert_eq!(status, 200, "{}", words(&body));
    let body: serde_json::Value = serde_json::from_slice(&body).unwrap();
    assert_eq!(body["parts"][0]["lines"][0], "2 rows <b>");
    assert_eq!(body["files"][1]["name"], "a b\".html");
    let href = body["files"][1]["href"].as_str().unwrap();
    let (status, head, page) = get(&site, &format!("{href}?save=1"));
    assert_eq!((status, words(&page).as_str()), (200, "<p>page</p>"));
    assert!(head.contains("filename*=utf-8''a%20b%22.html"), "{head}");
    assert!(head.contains("content-security-policy: sandbox"), "{head}");
    for nowhere in [
        "/out/1/map.svg",
        "/out/x/map.svg",
        "/nowhere",
        "/",
        "/answer",
    ] {
        assert_eq!(get(&site, nowhere).0, 404, "{nowhere}");
    }
}

#[test]
fn every_answer_is_private_to_the_page() {
    let site = serve(counting());
    for path in ["", "page.js", "page.css", "checks", "nowhere"] {
        let path = format!("/{}/{path}", site.key);
        let (status, head, _) = get(&site, &path);
        assert_eq!(status == 404, path.ends_with("nowhere"), "{path}");
        for line in [
            "x-content-type-options: nosniff",
            "cache-control: no-store",
            "default-src 'none'",
            "frame-ancestors 'none'",
            "cross-origin-resource-policy: same-origin",
        ] {
            assert!(head.contains(line), "{path}: {line}\n{head}");
        }
        assert!(!head.contains("access-control-allow-origin"), "{head}");
    }
}

#[test]
fn other_sites_and_other_names_are_refused() {
    let site = serve(counting());
    let body = framed("a\n");
    let Site { port, key } = &site;
    // A name that was made to point at this machine.
    let head = format!("GET /{key}/ HTTP/1.1\nHost: elsewhere.example:{port}\nConnection: close\n");
    assert_eq!(ask(&site, &head, b"").0, 403);
    let head = "GET / HTTP/1.1\nHost: 127.0.0.1\nConnection: close\n";
    assert_eq!(ask(&site, head, b"").0, 403);
    let head = "GET / HTTP/1.0\nConnection: close\n";
    assert_eq!(ask(&site, head, b"").0, 403);
    // Two names, or another one in the address itself.
    let head = format!(
        "GET /{key}/ HTTP/1.1\nHost: 127.0.0.1:{port}\nHost: elsewhere.example\nConnection: close\n"
    );
    assert!(matches!(ask(&site, &head, b"").0, 400 | 403));
    let head = format!(
        "GET http://elsewhere.example/{key}/ HTTP/1.1\nHost: 127.0.0.1:{port}\nConnection: close\n"
    );
    assert_eq!(ask(&site, &head, b"").0, 403);
    for (more, status) in [
        (format!("{OCTETS}Origin: https://elsewhere.example\n"), 403),
        (format!("{OCTETS}Origin: null\n"), 403),
        (format!("{OCTETS}Sec-Fetch-Site: cross-site\n"), 403),
        (format!("{OCTETS}Sec-Fetch-Site: same-site\n"), 403),
        ("Content-Type: text/plain\n".to_owned(), 415),
        (String::new(), 415),
        (
            format!("{OCTETS}Origin: http://127.0.0.1:{port}\nSec-Fetch-Site: same-origin\n"),
            200,
        ),
        (format!("{OCTETS}Origin: http://localhost:{port}\n"), 200),
    ] {
        let (got, _, text) = post(&site, &more, &body);
        assert_eq!(got, status, "{more}: {}", words(&text));
    }
}

#[test]
fn faults_come_back_as_text_and_the_server_goes_on() {
    let site = serve(counting());
    let (status, head, text) = post(&site, OCTETS, &framed("bad"));
    assert_eq!(status, 422);
    assert!(head.contains("text/plain"), "{head}");
    assert!(words(&text).contains("C3") && words(&text).contains("C4"));
    let (status, _, text) = post(&site, OCTETS, &framed("stumble"));
    assert_eq!(status, 500);
    assert!(words(&text).contains("fault in this program"));
    let (status, _, text) = post(&site, OCTETS, b"\x05\0\0\0{\"a\":");
    assert_eq!(status, 400);
    assert!(words(&text).contains("header"), "{}", words(&text));
    assert_eq!(post(&site, OCTETS, &framed("a")).0, 200);
}

#[test]
fn a_request_beyond_the_limit_is_refused_before_it_is_read() {
    let site = serve(counting());
    let head = format!(
        "POST /{}/answer HTTP/1.1\nHost: 127.0.0.1:{}\nConnection: close\nContent-Length: {}\n{OCTETS}",
        site.key,
        site.port,
        birdbath::web::LARGEST_REQUEST + 1
    );
    let (status, _, text) = ask(&site, &head, b"");
    assert_eq!(status, 413);
    assert!(words(&text).contains("128 MB"), "{}", words(&text));
}

#[test]
fn a_port_in_use_is_told_kindly() {
    let first = bind(0).unwrap();
    let port = Site::of(&first).port;
    let fault = bind(port).unwrap_err();
    assert!(matches!(fault, ServeError::Port { .. }));
    assert!(
        fault.to_string().contains(&format!("port {port}")) && fault.to_string().contains("--port")
    );
}

#[test]
fn a_frame_that_is_wrong_says_what_is_wrong() {
    let one = |header: &str, rest: &[u8]| {
        let mut body = (header.len() as u32).to_le_bytes().to_vec();
        body.extend_from_slice(header.as_bytes());
        body.extend_from_slice(rest);
        parse(&body)
    };
    assert_eq!(
        parse(b"").unwrap_err(),
        FrameError::Short {
            found: 0,
            wanted: 4
        }
    );
    assert_eq!(
        parse(b"\xff\xff\xff\xff").unwrap_err(),
        FrameError::LongHeader {
            found: u32::MAX as usize
        }
    );
    assert_eq!(
        one(r#"{"files":[],"main":""}"#, b"").unwrap_err(),
        FrameError::NoFiles
    );
    let sizes = |wanted, found| FrameError::Sizes { wanted, found };
    let header = r#"{"files":[{"name":"a","size":3}],"main":"a"}"#;
    assert_eq!(one(header, b"ab").unwrap_err(), sizes(3, 2));
    assert_eq!(one(header, b"abcd").unwrap_err(), sizes(3, 4));
    let huge =
        r#"{"files":[{"name":"a","size":18446744073709551615},{"name":"b","size":9}],"main":"a"}"#;
    assert_eq!(one(huge, b"ab").unwrap_err(), sizes(u64::MAX, 2));
    for name in ["", "..", "a/b", "a\\\\b", "a\\u0000"] {
        let header = format!(r#"{{"files":[{{"name":"{name}","size":0}}],"main":"a"}}"#);
        assert!(
            matches!(one(&header, b""), Err(FrameError::Name { number: 1, .. })),
            "{name}"
        );
    }
    let twice = r#"{"files":[{"name":"a","size":0},{"name":"a","size":0}],"main":"a"}"#;
    assert_eq!(
        one(twice, b"").unwrap_err(),
        FrameError::Twice { name: "a".into() }
    );
    let other = r#"{"files":[{"name":"a","size":0}],"main":"b"}"#;
    assert_eq!(
        one(other, b"").unwrap_err(),
        FrameError::NoMain { name: "b".into() }
    );
    let unknown =
        r#"{"files":[{"name":"a","size":0}],"main":"a","options":{"fill":{"gage":"3 mm"}}}"#;
    let fault = one(unknown, b"").unwrap_err().to_string();
    assert!(fault.contains("gage") && fault.contains("gauge"), "{fault}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    // ORACLE: property: no bytes make it panic
    #[test]
    fn no_bytes_make_the_frame_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200), honest in any::<bool>()) {
        let mut bytes = bytes;
        if honest && bytes.len() > 4 {
            // A length that fits, so that the header itself is reached.
            let length = (bytes.len() - 4) as u32 / 2;
            bytes[..4].copy_from_slice(&length.to_le_bytes());
        }
        let _ = parse(&bytes);
    }

    // ORACLE: property: what is put together is read back
    #[test]
    fn a_frame_is_read_back(
        contents in proptest::collection::vec(proptest::collection::vec(any::<u8>(), 0..60), 1..6),
        gauge in proptest::option::of(".*"),
        spans in proptest::collection::vec(".*", 0..4),
    ) {
        let files: Vec<NamedFile> = contents.iter().enumerate().map(|(i, c)| file(&format!("f {i}.csv"), c)).collect();
        let request = Request {
            main: files[0].name.clone(),
            files,
            options: Overrides {
                fill: FillWords { gauge, ..FillWords::default() },
                edge: EdgeWords { spans, ..EdgeWords::default() },
                ..Overrides::default()
            },
        };
        prop_assert_eq!(parse(&compose(&request).unwrap()).unwrap(), request);
    }
}

/// The demo job's files, as a browser sends them.
fn demo(options: Overrides, files: &[&str], main: &str) -> Request {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    Request {
        files: files
            .iter()
            .map(|name| file(name, &std::fs::read(folder.join(name)).unwrap()))
            .collect(),
        main: main.into(),
        options,
    }
}

// ORACLE: hand: fixtures/demo/ORIGIN.md counts the readings and names the extremes
#[test]
fn the_demo_job_is_worked_out_in_memory() {
    let all = ["job.toml", "material.toml", "outline.csv", "readings.csv"];
    let outcome = work(demo(Overrides::default(), &all, "job.toml")).unwrap();
    let told: String = outcome
        .parts
        .iter()
        .flat_map(|p| &p.lines)
        .cloned()
        .collect::<Vec<_>>()
        .join("\n");
    assert!(
        told.contains("202") && told.contains("P6") && told.contains("P5"),
        "{told}"
    );
    let names: Vec<&str> = outcome.files.iter().map(|f| f.name.as_str()).collect();
    for wanted in ["report.html", "result.json"] {
        assert!(names.contains(&wanted), "{names:?}");
    }
    for end in [".svg", ".png", ".pdf", ".xlsx"] {
        assert!(names.iter().any(|n| n.ends_with(end)), "{end}: {names:?}");
    }
    assert!(names.iter().all(|n| !n.contains('/')), "{names:?}");
}

#[test]
fn what_is_missing_or_wrong_is_told_with_its_name() {
    let fault = work(demo(
        Overrides::default(),
        &["job.toml", "readings.csv"],
        "job.toml",
    ))
    .unwrap_err();
    assert!(fault.contains("outline.csv"), "{fault}");
    let options = Overrides {
        fill: FillWords {
            gauge: Some("three".into()),
            ..FillWords::default()
        },
        ..Overrides::default()
    };
    let fault = work(demo(options, &["readings.csv"], "readings.csv")).unwrap_err();
    assert!(fault.contains("three"), "{fault}");
    let request = Request {
        files: vec![file(
            "worse.csv",
            b"x_ft,y_ft,reading_in\n0,0,38 1/4\n2,0,8-Mar\n0,2,soon\n",
        )],
        main: "worse.csv".into(),
        options: Overrides::default(),
    };
    let fault = work(request).unwrap_err();
    assert!(
        fault.contains("C3") && fault.contains("C4"),
        "every fault at once: {fault}"
    );
}
