//! Who is let in, to do what, and out again.
//!
//! What another program passes on counts as from anywhere, so that a line `Forwarded` (RFC 7239) stands for a
//! device elsewhere here.

use super::server::{Answer, JOB, Server};
use barwright::serve::ways::{Need, Way, table};
use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};
use view::pages::Role;

pub(super) const FORM: &str = "Content-Type: application/x-www-form-urlencoded\r\n";
pub(super) const ELSEWHERE: &str = "Forwarded: for=192.0.2.7\r\n";

/// A device with what it holds.
struct Device {
    lines: String,
    token: String,
}

impl Server {
    /// A code for a role, as this computer's page of devices shows it.
    pub(super) fn code(&self, role: &str) -> String {
        let made = self.post("/devices/code", FORM, &format!("token={}&role={role}", self.token()));
        assert_eq!(made.code, 303, "{}", made.head);
        let page = self.get("/devices").body;
        let last = page.rsplit("code-letters\">").next().unwrap();
        last.split('<').next().unwrap().to_owned()
    }

    fn try_code(&self, code: &str) -> Answer {
        self.post("/pair", &format!("{FORM}{ELSEWHERE}"), &format!("code={code}&name=tablet&to=/"))
    }

    /// Lets a device with this name in.
    pub(super) fn let_in(&self, role: &str, name: &str) {
        let name: String = form_urlencoded::byte_serialize(name.as_bytes()).collect();
        let body = format!("code={}&name={name}&to=/", self.code(role));
        assert_eq!(self.post("/pair", &format!("{FORM}{ELSEWHERE}"), &body).code, 303);
    }

    fn paired(&self, role: &str) -> Device {
        let answer = self.try_code(&self.code(role));
        assert_eq!(answer.code, 303, "{}", answer.body);
        let cookie = cookie(&answer);
        let lines = format!("{ELSEWHERE}Cookie: {cookie}\r\n");
        let token = token_in(&self.read("/", &lines).body);
        Device { lines, token }
    }

    pub(super) fn read(&self, path: &str, lines: &str) -> Answer {
        let head = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n{lines}\r\n",
            self.host
        );
        self.raw(head.as_bytes())
    }

    /// The code of an answer alone: some never end.
    fn status(&self, method: &str, path: &str, lines: &str, body: &str) -> u16 {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_mins(1))).unwrap();
        let long = body.len();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nContent-Length: {long}\r\n{lines}\r\n{body}",
            self.host
        );
        stream.write_all(head.as_bytes()).unwrap();
        let mut first = [0; 12];
        stream.read_exact(&mut first).unwrap();
        String::from_utf8_lossy(&first[9..]).parse().unwrap()
    }

    /// An open stream of what is told about a job.
    fn stream(&self, device: &Device) -> TcpStream {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        let lines = &device.lines;
        let head = format!("GET /told/{JOB} HTTP/1.1\r\nHost: {}\r\n{lines}\r\n", self.host);
        stream.write_all(head.as_bytes()).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
        let mut told = [0; 4096];
        let long = stream.read(&mut told).unwrap();
        assert!(String::from_utf8_lossy(&told[..long]).contains("text/event-stream"));
        stream
    }

    fn shut_out(&self) {
        let page = self.get("/devices").body;
        let id = page.split("action=\"/devices/").nth(2).unwrap().split('"').next().unwrap();
        let out =
            self.post(&format!("/devices/{id}/out"), FORM, &format!("token={}", self.token()));
        assert_eq!(out.code, 303, "{}", out.body);
    }
}

fn cookie(answer: &Answer) -> String {
    let line = answer.head.lines().find_map(|line| line.strip_prefix("set-cookie: ")).unwrap();
    line.split(';').next().unwrap().to_owned()
}

fn token_in(page: &str) -> String {
    page.split("data-token=\"").nth(1).unwrap().split('"').next().unwrap().to_owned()
}

/// A path of the table with something in place of what varies.
fn filled(path: &str) -> String {
    let id = if path.starts_with("/devices") { "nobody" } else { "bar-swings-out" };
    path.replace("{*path}", "x")
        .replace("{*job}", JOB)
        .replace("{kind}", "job")
        .replace("{which}", "part")
        .replace("{id}", id)
        .replace("{name}", "style.css")
}

#[test]
fn every_address_refuses_whoever_lacks_its_role() {
    let server = Server::start();
    let anyone: Vec<String> = table()
        .into_iter()
        .filter(|way| way.need == Need::Anyone)
        .map(|way| format!("{} {}", way.method, way.path))
        .collect();
    assert_eq!(
        anyone,
        ["GET /assets/{name}", "GET /worker.js", "GET /pair", "POST /pair"],
        "nothing else is open"
    );
    let devices = Role::ALL.map(|role| (role, server.paired(role.word())));
    let ways: Vec<Way> = table().into_iter().filter(|way| way.need != Need::Anyone).collect();
    assert!(ways.len() >= 18 && ways.iter().any(|way| way.method == "POST"));
    for Way { method, path, need, .. } in &ways {
        let Need::Role(need) = *need else { continue };
        let (method, path) = (method.as_str(), filled(path));
        let ask = |device: &Device| {
            let lines = format!("{FORM}{}", device.lines);
            server.status(method, &path, &lines, &format!("token={}", device.token))
        };
        let stranger = server.status(method, &path, &format!("{FORM}{ELSEWHERE}"), "");
        assert_eq!(stranger, 401, "{method} {path} for a stranger");
        for (role, device) in &devices {
            let code = ask(device);
            let refused = matches!(code, 401 | 403);
            assert_eq!(refused, *role < need, "{method} {path} for {}: {code}", role.word());
            if method == "POST" {
                let without = server.status(method, &path, &format!("{FORM}{}", device.lines), "");
                assert_eq!(without, 403, "{method} {path} for {} without a token", role.word());
            }
        }
    }
    assert_eq!(server.status("GET", "/no/such/page", ELSEWHERE, ""), 401);
    assert_eq!(server.status("DELETE", "/devices/code", ELSEWHERE, ""), 401);
}

#[test]
fn a_device_is_let_in_by_a_code_that_is_good_once() {
    let server = Server::start();
    let asked = server.read("/", &format!("Accept: text/html\r\n{ELSEWHERE}"));
    assert_eq!(asked.code, 401);
    assert!(asked.body.contains("This device is not known here") && !asked.body.contains("detent"));
    assert!(!server.read("/", ELSEWHERE).body.contains('<'), "a sentence for a script");
    let code = server.code("record");
    assert_eq!(server.try_code("0000-0000").code, 403);
    let answer = server.try_code(&code.to_lowercase());
    assert_eq!(answer.code, 303, "{}", answer.body);
    let set = answer.head.lines().find(|line| line.starts_with("set-cookie: ")).unwrap();
    assert!(set.contains("; HttpOnly; SameSite=Strict") && set.contains("; Path=/;"), "{set}");
    assert!(!set.contains("Secure"), "there is no TLS: {set}");
    let secret = cookie(&answer).split_once('=').unwrap().1.to_owned();
    assert_eq!(secret.len(), 64);
    let file = fs::read_to_string(server.devices()).unwrap();
    assert!(file.contains("name = \"tablet\"") && file.contains("role = \"record\""), "{file}");
    assert!(!file.contains(&secret) && !file.contains(&code.replace('-', "")), "{file}");
    let lines = format!("{ELSEWHERE}Cookie: other=1; {}; more=2\r\n", cookie(&answer));
    let page = server.read("/", &lines);
    assert!(page.code == 200 && page.body.contains("This device may record."), "{}", page.head);
    assert!(!page.body.contains("A new job"), "what it may not do is left out");
    assert!(!page.body.contains(&secret), "the secret stands on no page");
    for wrong in [&secret[..63], &"0".repeat(64), "", "%00"] {
        let name = cookie(&answer).split_once('=').unwrap().0.to_owned();
        let lines = format!("{ELSEWHERE}Cookie: {name}={wrong}\r\n");
        assert_eq!(server.read("/", &lines).code, 401, "{wrong}");
    }
    let again = server.try_code(&code);
    assert!(again.code == 403 && again.body.contains("was used already"), "{}", again.body);
    assert!(!again.head.contains("set-cookie"));
}

#[test]
fn too_many_codes_are_not_tried() {
    let server = Server::start();
    let code = server.code("change");
    let codes: Vec<u16> = (0..7).map(|_| server.try_code("WRONGWRO").code).collect();
    assert_eq!(codes, [403, 403, 403, 403, 403, 429, 429]);
    let late = server.try_code(&code);
    assert!(late.code == 429 && late.body.contains("Too many codes were tried"), "even a good one");
}

#[test]
fn one_who_is_shut_out_is_out_at_once_from_open_streams_too() {
    let server = Server::start();
    let device = server.paired("look");
    let stream = server.stream(&device);
    server.shut_out();
    ends(stream);
    assert_eq!(server.read("/", &device.lines).code, 401);
    let device = server.paired("look");
    let stream = server.stream(&device);
    fs::write(server.devices(), "").unwrap();
    ends(stream);
    assert_eq!(server.read("/", &device.lines).code, 401);
}

/// Reads an open stream to its end, which must come soon.
fn ends(mut stream: TcpStream) {
    let (begin, mut told, mut rest) = (Instant::now(), [0; 4096], Vec::new());
    while !rest.ends_with(b"0\r\n\r\n") {
        let long = stream.read(&mut told).expect("the stream ends");
        rest.extend_from_slice(&told[..long]);
        // A stream that goes on keeps itself alive: it would be read for ever.
        assert!(begin.elapsed() < Duration::from_secs(5), "the stream goes on");
        assert!(long > 0 || rest.ends_with(b"0\r\n\r\n"), "{}", String::from_utf8_lossy(&rest));
    }
}

#[test]
fn what_is_told_and_changed_needs_its_role() {
    let server = Server::start();
    server.set_up();
    let before = fs::read(server.file("detent-pin.job.toml")).unwrap();
    let (look, record) = (server.paired("look"), server.paired("record"));
    let send = |device: &Device, path: &str, said: &str| {
        let lines = format!("{FORM}{}", device.lines);
        server.post(path, &lines, &format!("token={}&{said}", device.token)).code
    };
    let started = "event=started&lathe=Lathe+1";
    assert_eq!(send(&look, "/record", started), 403);
    assert_eq!(send(&record, "/record", started), 303);
    let change = "file=job&key=bar.length&value=900&save=true";
    for (path, said) in [
        (format!("/change/{JOB}"), change),
        (format!("/feature-out/{JOB}"), "at=1"),
        (format!("/undo/{JOB}"), ""),
        ("/new".to_owned(), "name=mine"),
        ("/shop/new".to_owned(), ""),
        ("/log".to_owned(), ""),
        ("/devices/code".to_owned(), "role=change"),
    ] {
        assert_eq!(send(&record, &path, said), 403, "{path}");
    }
    assert_eq!(server.read("/devices", &record.lines).code, 403, "codes are shown to none of them");
    assert_eq!(fs::read(server.file("detent-pin.job.toml")).unwrap(), before);
    assert!(!server.file("../mine").exists() && !server.file("../shop.toml").exists());
}

#[test]
fn less_is_allowed_at_once_by_page_and_by_hand() {
    let server = Server::start();
    let device = server.paired("change");
    let undo = |device: &Device| {
        let (path, lines) = (format!("/undo/{JOB}"), format!("{FORM}{}", device.lines));
        server.post(&path, &lines, &format!("token={}", device.token)).code
    };
    assert_eq!(undo(&device), 422, "nothing to undo");
    let page = server.read("/devices", &device.lines).body;
    let id = page.split("action=\"/devices/").nth(2).unwrap().split('"').next().unwrap();
    let given = format!("token={}&name=wall&role=record", server.token());
    assert_eq!(server.post(&format!("/devices/{id}"), FORM, &given).code, 303);
    assert_eq!(undo(&device), 403);
    assert_eq!(server.read("/devices", &device.lines).code, 403);
    assert!(server.get("/devices").body.contains("value=\"wall\""));
    let odd = format!("token={}&name=wall&role=all", server.token());
    assert_eq!(server.post(&format!("/devices/{id}"), FORM, &odd).code, 422);
    assert_eq!(server.post("/devices/code", FORM, &odd).code, 422);
    fs::write(server.devices(), "").unwrap();
    let begin = Instant::now();
    while server.read("/", &device.lines).code != 401 {
        assert!(begin.elapsed() < Duration::from_secs(10), "the file is looked at");
        std::thread::sleep(Duration::from_millis(50));
    }
}

#[test]
fn a_token_is_good_for_the_device_that_holds_it() {
    let server = Server::start();
    let (one, other) = (server.paired("change"), server.paired("change"));
    let ask = |lines: &str, token: &str| {
        let lines = format!("{FORM}{lines}");
        server.post("/devices/code", &lines, &format!("token={token}&role=look")).code
    };
    assert_eq!(ask(&one.lines, &one.token), 303);
    assert_eq!(ask("", &server.token()), 303);
    for (lines, token) in [
        (one.lines.as_str(), other.token.as_str()),
        (&one.lines, &server.token()),
        ("", &one.token),
        (&one.lines, ""),
        (&one.lines, &one.token[..31]),
    ] {
        assert_eq!(ask(lines, token), 403);
    }
    let foreign = format!("{}Origin: http://evil.example\r\n", one.lines);
    assert_eq!(ask(&foreign, &one.token), 403);
    let https = format!("{}Origin: https://{}\r\n", one.lines, server.host);
    assert_eq!(ask(&https, &one.token), 403, "another scheme is another origin");
}

#[test]
fn what_is_passed_on_for_another_is_not_this_computer() {
    let server = Server::start_with(&["--name", "Shop.local"]);
    for line in [
        "Forwarded: for=x",
        "X-Forwarded-For: 127.0.0.1",
        "X-Forwarded-Host: localhost",
        "X-Real-IP: ::1",
        "Via: 1.1 x",
    ] {
        assert_eq!(server.read("/", &format!("{line}\r\n")).code, 401, "{line}");
    }
    let port = server.host.rsplit(':').next().unwrap();
    let by_name = |name: &str| {
        let head = format!("GET / HTTP/1.1\r\nHost: {name}:{port}\r\nConnection: close\r\n\r\n");
        server.raw(head.as_bytes()).code
    };
    assert_eq!(by_name("localhost"), 200);
    assert_eq!(by_name("shop.local"), 401, "a name that others may have too");
    assert_eq!(by_name("shop.locals"), 403);
}

#[test]
fn nobody_is_sent_elsewhere_after_pairing() {
    let server = Server::start();
    for to in [
        "//evil.example",
        "https://evil.example",
        "/\\evil.example",
        "/\t/evil.example",
        "/\r\nX: y",
    ] {
        let code = server.code("look");
        let to: String = form_urlencoded::byte_serialize(to.as_bytes()).collect();
        let body = format!("code={code}&name=x&to={to}");
        let answer = server.post("/pair", &format!("{FORM}{ELSEWHERE}"), &body);
        assert!(answer.head.contains("location: /\r\n"), "{to}: {}", answer.head);
    }
}

#[test]
fn a_device_that_asks_too_often_waits_and_this_computer_never() {
    let server = Server::start();
    let device = server.paired("look");
    let many = |lines: &str| -> Vec<u16> {
        (0..700).map(|_| server.status("GET", "/pair", lines, "")).collect()
    };
    let codes = many(&device.lines);
    assert!(codes[..200].iter().all(|code| *code == 200), "{codes:?}");
    let strangers = many(ELSEWHERE);
    assert!(strangers.contains(&429), "a stranger gets less");
    assert_eq!(server.status("GET", "/", &device.lines, ""), 200, "and takes nothing from others");
    assert!(many("").iter().all(|code| *code == 200));
}

#[test]
fn the_docs_have_the_table_of_roles() {
    let path = crate::expect::root("docs/pages.md");
    let docs = fs::read_to_string(&path).unwrap();
    let (before, rest) = docs.split_once("<!-- roles -->\n").unwrap();
    let (_, after) = rest.split_once("<!-- end of roles -->").unwrap();
    let needs = [
        ("anyone", Need::Anyone),
        ("look", Need::Role(Role::Look)),
        ("record", Need::Role(Role::Record)),
        ("change", Need::Role(Role::Change)),
    ];
    let mut lines = "| role | reads | sends |\n|---|---|---|\n".to_owned();
    for (word, need) in needs {
        let of = |method: &str| -> String {
            let ways = table().into_iter().filter(|way| way.need == need && way.method == method);
            ways.map(|way| format!("`{}`", way.path)).collect::<Vec<_>>().join(" ")
        };
        lines.push_str(&format!("| {word} | {} | {} |\n", of("GET"), of("POST")));
    }
    let text = format!("{before}<!-- roles -->\n{lines}<!-- end of roles -->{after}");
    if let Some(why) = crate::expect::differs(&path, &text) {
        panic!("{why}");
    }
}
