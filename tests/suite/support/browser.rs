//! A headless browser for the page tests: Debian's chromium through chromedriver, by the words of W3C WebDriver.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

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
    let mut said = String::new();
    for _ in 0..TRIES {
        match driver_on_a_port() {
            Ok(started) => return started,
            Err(words) => said = words,
        }
        sleep(Duration::from_millis(500));
    }
    panic!("{DRIVER} took no port in {TRIES} tries; it said last: {said}");
}

/// A driver that no free port was found for ends at once: it draws a port of IPv4 and then wants the same one of
/// IPv6, which a test beside this one may hold.
const TRIES: usize = 5;

/// Starts a driver on a port of its own choice; what it said, where it names none.
fn driver_on_a_port() -> Result<(Driver, u16), String> {
    let mut child = Command::new(DRIVER)
        .arg("--port=0")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("chromedriver starts");
    let out = child.stdout.take().expect("its output is piped");
    let driver = Driver(child);
    let mut said = Vec::new();
    for line in BufReader::new(out).lines().map_while(Result::ok).take(50) {
        if let Some((_, rest)) = line.split_once("successfully on port ") {
            let port = rest.trim_end_matches('.').parse();
            return port
                .map(|port| (driver, port))
                .map_err(|e| format!("{line}: {e}"));
        }
        said.push(line);
    }
    Err(said.join("\n"))
}

/// The key that an element's name stands under (W3C WebDriver, 11).
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// How long a page may take to show what is waited for.
const PATIENCE: Duration = Duration::from_secs(120);

/// An open window. Whatever the driver refuses ends the test with its words.
pub struct Browser {
    agent: ureq::Agent,
    session: String,
    _profile: tempfile::TempDir,
    _driver: Driver,
}

impl Drop for Browser {
    fn drop(&mut self) {
        // The driver ends right after this and would leave the browser behind.
        let _ = self.agent.delete(&self.session).call();
    }
}

/// Something on the page.
pub struct Element<'a> {
    browser: &'a Browser,
    name: String,
}

fn value(answer: Result<ureq::http::Response<ureq::Body>, ureq::Error>, what: &str) -> Value {
    let mut response = answer.unwrap_or_else(|e| panic!("{what}: {e}"));
    let body: Value = response.body_mut().read_json().expect("JSON");
    assert!(response.status().is_success(), "{what}: {body}");
    body["value"].clone()
}

impl Browser {
    /// Opens a window of this size in CSS pixels.
    pub fn open(size: (u32, u32)) -> Self {
        let (driver, port) = start();
        let profile = tempfile::tempdir().expect("a folder for the browser's profile");
        let config = ureq::Agent::config_builder().http_status_as_error(false);
        let agent: ureq::Agent = config.build().into();
        let wanted = json!({ "capabilities": { "alwaysMatch": {
            "goog:chromeOptions": {
                "binary": CHROMIUM,
                "args": [
                    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                    "--disable-background-networking", "--disable-component-update", "--disable-sync",
                    format!("--window-size={},{}", size.0, size.1),
                    format!("--user-data-dir={}", profile.path().display()),
                ],
            },
        } } });
        let root = format!("http://127.0.0.1:{port}/session");
        let opened = value(agent.post(&root).send_json(wanted), "a browser");
        let id = opened["sessionId"].as_str().expect("a session");
        Self {
            session: format!("{root}/{id}"),
            agent,
            _profile: profile,
            _driver: driver,
        }
    }

    fn post(&self, what: &str, body: Value) -> Value {
        let answer = self
            .agent
            .post(format!("{}/{what}", self.session))
            .send_json(body);
        value(answer, what)
    }

    /// Opens an address.
    pub fn goto(&self, address: &str) {
        self.post("url", json!({ "url": address }));
    }

    /// Runs a script in the page and gives what it returns.
    pub fn execute(&self, script: &str, args: Vec<Value>) -> Value {
        self.post("execute/sync", json!({ "script": script, "args": args }))
    }

    /// What a CSS selector finds first.
    pub fn find(&self, css: &str) -> Element<'_> {
        let found = self.post("element", json!({ "using": "css selector", "value": css }));
        Element {
            browser: self,
            name: found[ELEMENT].as_str().expect("an element").to_owned(),
        }
    }

    /// Waits until a CSS selector finds something.
    pub fn wait_for(&self, css: &str) {
        let until = Instant::now() + PATIENCE;
        loop {
            let ask = json!({ "using": "css selector", "value": css });
            if self.post("elements", ask) != json!([]) {
                return;
            }
            assert!(Instant::now() < until, "{css} does not appear");
            sleep(Duration::from_millis(50));
        }
    }
}

impl Element<'_> {
    fn post(&self, what: &str, body: Value) {
        self.browser
            .post(&format!("element/{}/{what}", self.name), body);
    }

    /// Types into it; a file's path into a place to choose files.
    pub fn send_keys(&self, keys: &str) {
        self.post("value", json!({ "text": keys }));
    }

    /// Clicks it.
    pub fn click(&self) {
        self.post("click", json!({}));
    }

    /// The text that it shows.
    pub fn text(&self) -> String {
        let way = format!("{}/element/{}/text", self.browser.session, self.name);
        let shown = value(self.browser.agent.get(way).call(), "text");
        shown.as_str().expect("text").to_owned()
    }
}
