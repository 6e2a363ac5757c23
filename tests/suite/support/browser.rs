//! A headless browser for the page tests: Debian's chromium driven through chromedriver.

use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use std::future::Future;
use std::io::{BufRead, BufReader};
use std::panic::resume_unwind;
use std::process::{Child, Command, Stdio};

const CHROMIUM: &str = "/usr/bin/chromium";
const DRIVER: &str = "/usr/bin/chromedriver";

/// The driver's process; ends with the test, whichever way the test ends.
struct Driver(Child);

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn start() -> (Driver, u16) {
    for tool in [CHROMIUM, DRIVER] {
        assert!(
            std::path::Path::new(tool).exists(),
            "{tool} is not there: the page tests need Debian's packages chromium and chromium-driver \
             (apt-get install chromium chromium-driver)"
        );
    }
    let mut child = Command::new(DRIVER)
        .arg("--port=0")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("chromedriver starts");
    let out = child.stdout.take().expect("its output is piped");
    let driver = Driver(child);
    let mut port = None;
    for line in BufReader::new(out).lines().map_while(Result::ok).take(50) {
        if let Some((_, rest)) = line.split_once("successfully on port ") {
            port = rest.trim_end_matches('.').parse().ok();
            break;
        }
    }
    (driver, port.expect("chromedriver says its port"))
}

/// Runs `work` with a browser window of this size in CSS pixels, and closes the browser afterwards even
/// when `work` fails.
pub fn browse<F, W>(size: (u32, u32), work: W)
where
    W: FnOnce(Client) -> F,
    F: Future<Output = ()> + Send + 'static,
{
    let (_driver, port) = start();
    let profile = tempfile::tempdir().expect("a folder for the browser's profile");
    let options = serde_json::json!({
        "binary": CHROMIUM,
        "args": [
            "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            format!("--window-size={},{}", size.0, size.1),
            format!("--user-data-dir={}", profile.path().display()),
        ],
    });
    let mut capabilities = serde_json::Map::new();
    capabilities.insert("goog:chromeOptions".to_owned(), options);
    capabilities.insert(
        "goog:loggingPrefs".to_owned(),
        serde_json::json!({ "browser": "ALL" }),
    );
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(1)
        .enable_all()
        .build()
        .expect("a runtime");
    let ended = runtime.block_on(async {
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(capabilities)
            .connect(&format!("http://127.0.0.1:{port}"))
            .await
            .expect("the browser starts");
        let ended = tokio::spawn(work(client.clone())).await;
        client.close().await.expect("the browser closes");
        ended
    });
    if let Err(fault) = ended {
        resume_unwind(fault.into_panic());
    }
}
