//! What goes with every answer, refusals too.

use super::access::{ELSEWHERE, FORM};
use super::server::{Answer, JOB, Server};

/// The lines of a head that every answer has: what a browser may do with it (Content Security Policy Level 3, Fetch).
const HEADS: [&str; 6] = [
    "content-security-policy: default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
     connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "x-content-type-options: nosniff",
    "referrer-policy: same-origin",
    "cross-origin-resource-policy: same-origin",
    "cross-origin-opener-policy: same-origin",
    "cache-control: no-store",
];

fn has_its_heads(what: &str, answer: &Answer) {
    for line in HEADS {
        assert!(answer.head.lines().any(|one| one == line), "{what} lacks {line}: {}", answer.head);
    }
}

#[test]
fn every_answer_says_what_a_browser_may_do_with_it() {
    let server = Server::start();
    let read = |path: &str, lines: &str| server.read(path, lines);
    let large = format!("token={}&value={}", server.token(), "x".repeat(70_000));
    for (code, what, answer) in [
        (200, "a page", read(&format!("/job/{JOB}"), "")),
        (200, "a script", read("/assets/style.css", "")),
        (200, "the worker", read("/worker.js", "")),
        (200, "a file", read(&format!("/file/{JOB}/answer.json"), "")),
        (401, "a stranger's page", read("/", &format!("Accept: text/html\r\n{ELSEWHERE}"))),
        (401, "a stranger's sentence", read("/", ELSEWHERE)),
        (200, "the page for a code", read("/pair", ELSEWHERE)),
        (403, "a wrong code", server.post("/pair", &format!("{FORM}{ELSEWHERE}"), "code=0")),
        (404, "no page", read("/nowhere", "")),
        (405, "no such way", read("/log", "")),
        (403, "no token", server.post("/log", FORM, "")),
        (413, "too large", server.post(&format!("/change/{JOB}"), FORM, &large)),
        (
            403,
            "another name",
            server.raw(b"GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n"),
        ),
    ] {
        assert_eq!(answer.code, code, "{what}");
        has_its_heads(what, &answer);
    }
}
