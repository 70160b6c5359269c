//! A real browser, told what to do by the W3C's driver protocol: plain JSON over HTTP. The client is written
//! here since any library for it brings a TLS stack and an async runtime of its own.

use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::LazyLock;
use std::time::{Duration, Instant};

/// The key that the protocol gives elements.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";
/// How long something may take to be seen.
const PATIENCE: Duration = Duration::from_secs(20);

/// The folder of what is installed for these tests only. The script gets browser and driver where they are not there.
pub(super) static TOOLS: LazyLock<PathBuf> = LazyLock::new(|| {
    let into = Path::new(env!("CARGO_TARGET_TMPDIR")).join("browser");
    fs::create_dir_all(&into).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join(".ci/browser");
    let status = Command::new(script).arg(&into).stdout(Stdio::null()).status();
    assert!(
        status.is_ok_and(|status| status.success()),
        "no browser: install chromium and its chromedriver (and npm), then run these tests again"
    );
    into
});

/// A browser window with a profile of its own; it closes with the test.
pub(super) struct Browser {
    driver: Child,
    host: String,
    session: String,
    _profile: tempfile::TempDir,
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() {
            let _ = self.ask("DELETE", &format!("/session/{}", self.session), &Value::Null);
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// A driver and its port. It chooses one for both kinds of addresses, and ends where another has taken it for one of
/// them meanwhile: then there is none.
fn started() -> Option<(Child, u16)> {
    let mut driver = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(driver.stdout.take().unwrap()).lines();
    let port = lines.find_map(|line| {
        line.ok()?.split("successfully on port ").nth(1)?.trim_end_matches('.').parse::<u16>().ok()
    });
    std::thread::spawn(move || lines.for_each(drop));
    match port {
        Some(port) => Some((driver, port)),
        None => {
            let _ = driver.wait();
            None
        }
    }
}

impl Browser {
    /// A window of this size, in pixels.
    pub(super) fn open(width: u32, height: u32) -> Browser {
        LazyLock::force(&TOOLS);
        let (driver, port) =
            (0..5).find_map(|_| started()).expect("a driver starts and says its port");
        let profile = tempfile::tempdir().unwrap();
        let arguments = [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--hide-scrollbars",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
        ];
        let mut arguments: Vec<String> = arguments.map(str::to_owned).to_vec();
        arguments.push(format!("--user-data-dir={}", profile.path().display()));
        arguments.push(format!("--window-size={width},{height}"));
        arguments.push("--force-device-scale-factor=1".to_owned());
        let wanted = json!({ "capabilities": { "alwaysMatch": { "goog:chromeOptions": { "args": arguments } } } });
        let mut browser = Browser {
            driver,
            host: format!("127.0.0.1:{port}"),
            session: String::new(),
            _profile: profile,
        };
        let made = browser.ask("POST", "/session", &wanted);
        made["sessionId"].as_str().expect("a session").clone_into(&mut browser.session);
        browser.post("/timeouts", &json!({ "script": 120_000 }));
        browser.is_as_large_as(width, height);
        browser
    }

    fn ask(&self, method: &str, path: &str, body: &Value) -> Value {
        let body = if body.is_null() { String::new() } else { body.to_string() };
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(90))).unwrap();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            self.host,
            body.len()
        );
        stream.write_all((head + &body).as_bytes()).unwrap();
        let mut answer = BufReader::new(stream);
        let (mut line, mut length) = (String::new(), 0);
        while answer.read_line(&mut line).unwrap() > 2 {
            let lower = line.to_ascii_lowercase();
            length = lower
                .strip_prefix("content-length:")
                .map_or(length, |rest| rest.trim().parse().unwrap());
            line.clear();
        }
        let mut body = vec![0; length];
        answer.read_exact(&mut body).unwrap();
        let mut value: Value = serde_json::from_slice(&body).unwrap();
        value["value"].take()
    }

    fn post(&self, path: &str, body: &Value) -> Value {
        let value = self.ask("POST", &format!("/session/{}{path}", self.session), body);
        assert!(value["error"].is_null(), "{path} {body}: {value}");
        value
    }

    /// A command of the browser's own protocol, for what the driver has no word for.
    pub(super) fn tell(&self, command: &str, parameters: &Value) {
        self.post("/goog/cdp/execute", &json!({ "cmd": command, "params": parameters }));
    }

    /// Dark or light, and whether less motion is asked for.
    pub(super) fn prefers(&self, scheme: &str, motion: &str) {
        self.asks_for("", &[("prefers-color-scheme", scheme), ("prefers-reduced-motion", motion)]);
    }

    pub(super) fn go(&self, address: &str) {
        self.post("/url", &json!({ "url": address }));
    }

    /// The value of a script that is the body of a function.
    pub(super) fn run(&self, script: &str) -> Value {
        self.post("/execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// As `run`; the script calls `done` with its value.
    pub(super) fn run_until_done(&self, script: &str) -> Value {
        let script = format!("const done = arguments[arguments.length - 1]; {script}");
        self.post("/execute/async", &json!({ "script": script, "args": [] }))
    }

    fn element(&self, selector: &str) -> String {
        let found = self.post("/element", &json!({ "using": "css selector", "value": selector }));
        found[ELEMENT].as_str().unwrap_or_else(|| panic!("no {selector}")).to_owned()
    }

    /// Does something with an element. One that a live page put in anew meanwhile is looked for again: the driver then
    /// did nothing with it.
    fn with(&self, selector: &str, what: &str, body: &Value) {
        let begin = Instant::now();
        loop {
            let path =
                format!("/session/{}/element/{}/{what}", self.session, self.element(selector));
            let value = self.ask("POST", &path, body);
            let stale = value["error"] == "stale element reference";
            if !stale || begin.elapsed() > PATIENCE {
                assert!(value["error"].is_null(), "{selector} {what}: {value}");
                return;
            }
        }
    }

    pub(super) fn click(&self, selector: &str) {
        self.with(selector, "click", &json!({}));
    }

    /// Types into an entry, in place of what stands there.
    pub(super) fn type_over(&self, selector: &str, text: &str) {
        // Control and A, then nothing held any more.
        self.keys(selector, &format!("\u{e009}a\u{e000}{text}"));
    }

    /// Types where an element has the keyboard.
    pub(super) fn keys(&self, selector: &str, text: &str) {
        self.with(selector, "value", &json!({ "text": text }));
    }

    /// Presses keys wherever the keyboard is; with the first held down where there are several.
    pub(super) fn press(&self, keys: &[&str]) {
        let down = keys.iter().map(|key| json!({ "type": "keyDown", "value": key }));
        let up = keys.iter().rev().map(|key| json!({ "type": "keyUp", "value": key }));
        let actions: Vec<Value> = down.chain(up).collect();
        self.post(
            "/actions",
            &json!({ "actions": [{ "type": "key", "id": "keys", "actions": actions }] }),
        );
    }

    pub(super) fn text(&self, selector: &str) -> String {
        self.run(&format!("return document.querySelector({})?.textContent ?? ''", json!(selector)))
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    /// Waits until something is so.
    pub(super) fn until(&self, what: &str, script: &str) {
        let begin = Instant::now();
        while self.run(script) != Value::Bool(true) {
            assert!(
                begin.elapsed() < PATIENCE,
                "{what} was not seen by {script} on {}",
                self.run("return location.href")
            );
            std::thread::sleep(Duration::from_millis(15));
        }
    }

    /// Waits until a text stands somewhere.
    pub(super) fn until_says(&self, selector: &str, words: &str) {
        let script = format!(
            "return document.querySelector({})?.textContent.includes({}) ?? false",
            json!(selector),
            json!(words)
        );
        let begin = Instant::now();
        while self.run(&script) != Value::Bool(true) {
            assert!(
                begin.elapsed() < PATIENCE,
                "{words} was not seen; {selector} says {}",
                self.text(selector)
            );
            std::thread::sleep(Duration::from_millis(15));
        }
    }

    /// What a person asks for with the settings of the system, such as `forced-colors`: `active`; on paper where
    /// `media` is `print`.
    pub(super) fn asks_for(&self, media: &str, features: &[(&str, &str)]) {
        let features: Vec<Value> =
            features.iter().map(|(name, value)| json!({ "name": name, "value": value })).collect();
        self.tell("Emulation.setEmulatedMedia", &json!({ "media": media, "features": features }));
    }

    /// Shows nothing but this page on the screen, as a screen on a wall does; without a window, until the next page.
    pub(super) fn fills_the_screen(&self, width: u32, height: u32) {
        self.post("/window/fullscreen", &json!({}));
        self.is_as_large_as(width, height);
    }

    /// How large the page is laid out.
    pub(super) fn is_as_large_as(&self, width: u32, height: u32) {
        let size =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.tell("Emulation.setDeviceMetricsOverride", &size);
    }

    /// The page as it comes out of a printer, on A4, without the grounds that printers leave out.
    pub(super) fn printed(&self) -> Vec<u8> {
        let paper = json!({ "page": { "width": 21.0, "height": 29.7 }, "background": false, "shrinkToFit": false });
        decoded(self.post("/print", &paper).as_str().unwrap_or_default())
    }

    /// The upper part of the page as a picture of few bytes.
    pub(super) fn small_picture(&self, width: u32, height: u32) -> Vec<u8> {
        self.is_as_large_as(width, height);
        std::thread::sleep(Duration::from_millis(250));
        let body = json!({ "cmd": "Page.captureScreenshot", "params": { "format": "webp", "quality": 60 } });
        decoded(self.post("/goog/cdp/execute", &body)["data"].as_str().unwrap_or_default())
    }

    /// The page as a picture, as high as it is.
    pub(super) fn picture(&self, width: u32, least: u32, most: u32) -> Vec<u8> {
        let height =
            self.run("return document.documentElement.scrollHeight").as_u64().unwrap_or(0) as u32;
        let height = height.clamp(least, most);
        self.is_as_large_as(width, height);
        std::thread::sleep(Duration::from_millis(250));
        let text = self.ask("GET", &format!("/session/{}/screenshot", self.session), &Value::Null);
        decoded(text.as_str().unwrap_or_default())
    }
}

/// Base64 as bytes.
fn decoded(text: &str) -> Vec<u8> {
    let value = |byte: u8| match byte {
        b'A'..=b'Z' => Some(u32::from(byte - b'A')),
        b'a'..=b'z' => Some(u32::from(byte - b'a') + 26),
        b'0'..=b'9' => Some(u32::from(byte - b'0') + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    };
    let (mut bytes, mut bits, mut held) = (Vec::new(), 0_u32, 0);
    for sextet in text.bytes().filter_map(value) {
        (bits, held) = (bits << 6 | sextet, held + 6);
        if held >= 8 {
            held -= 8;
            bytes.push((bits >> held) as u8);
            bits &= (1 << held) - 1;
        }
    }
    bytes
}
