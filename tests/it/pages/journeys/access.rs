//! A second browser is let in, may do what it may, and is shut out.

use super::{JOB, LENGTH, TOOLS};
use crate::pages::browser::Browser;
use crate::pages::server::{Server, address_beyond};
use std::fs;

#[test]
fn a_second_browser_is_let_in_records_changes_nothing_and_is_shut_out() {
    let beyond = address_beyond();
    // Where there is none, the browser says with every request that it passes it on.
    let server = match &beyond {
        Some(ip) => Server::start_with(&["--address", ip, "--plain"]),
        None => Server::start(),
    };
    server.set_up();
    let (here, other) = (Browser::open(1280, 900), Browser::open(420, 900));
    let port = server.host.rsplit(':').next().unwrap();
    let base = match &beyond {
        Some(ip) => format!("http://{ip}:{port}"),
        None => server.address(""),
    };
    if beyond.is_none() {
        let line = serde_json::json!({ "headers": { "Forwarded": "for=192.0.2.7" } });
        other.tell("Network.enable", &serde_json::json!({}));
        other.tell("Network.setExtraHTTPHeaders", &line);
    }
    let job = format!("{base}/job/{JOB}");
    other.go(&job);
    other.until_says("h1", "This device is not known here");
    here.go(&server.address("/devices"));
    here.run("document.querySelector('#new-role').value = 'record'");
    here.click("form[action='/devices/code'] button");
    here.until_says(".code-out", "For a device that may record");
    let code = here.text(".code-letters");
    // As its camera would: the code stands behind the # of the address, and is out of it at once.
    other.go(&format!("{base}/pair#{}", code.replace('-', "")));
    other.until(
        "the code in its blank",
        "return document.querySelector('#code').value.length === 8",
    );
    assert_eq!(other.run("return location.href"), format!("{base}/pair"));
    other.keys("#name", "phone at lathe 1\u{e007}");
    other.until_says("h1", "Jobs in shop");
    assert!(!other.text("body").contains("A new job"));
    other.go(&job);
    other.until_says("#many", "30 parts from each bar");
    other.until_says(".role", "This device may record.");
    let blanks = "return document.querySelectorAll('.questions input:not([type=hidden]), .turns button').length";
    assert_eq!(other.run(blanks), 0, "no figure can be changed");
    // What a page does not offer is refused all the same.
    let post = |way: &str, body: &str| {
        format!(
            "fetch('{way}', {{ method: 'POST', headers: {{ 'content-type': 'application/json' }}, \
             body: JSON.stringify({{ token: document.body.dataset.token, {body} }}) }}).then((it) => done(it.status))"
        )
    };
    let text = fs::read(server.file("detent-pin.job.toml")).unwrap();
    let change =
        post(&format!("/change/{JOB}"), "file: 'job', key: 'bar.length', value: '900', save: true");
    assert_eq!(other.run_until_done(&change), 403);
    assert_eq!(fs::read(server.file("detent-pin.job.toml")).unwrap(), text);
    let record = post("/record", "entries: [{ id: 'p-1', event: 'started', lathe: 'Lathe 1' }]");
    assert_eq!(other.run_until_done(&record), 200);
    // What is changed here is seen there, as long as it is known.
    here.go(&server.address(&format!("/job/{JOB}")));
    here.until_says("#many", "30 parts from each bar");
    here.type_over(LENGTH, "900\u{e007}");
    other.until_says("#many", "27 parts from each bar");
    here.go(&server.address("/devices"));
    here.until(
        "its name",
        "return document.querySelector('.devices input[name=name]').value === 'phone at lathe 1'",
    );
    here.click("form[action$='/out'] button");
    here.until_says(".devices", "None so far.");
    other.until_says("h1", "This device is not known here");
    other.go(&format!("{base}/lathe"));
    other.until_says("h1", "This device is not known here");
}

#[test]
fn pages_about_devices_are_accessible_and_no_wider_than_a_phone() {
    let server = Server::start();
    let axe = fs::read_to_string(TOOLS.join("node_modules/axe-core/axe.min.js")).unwrap();
    let browser = Browser::open(360, 900);
    server.code("look");
    for (path, scheme) in
        [("/devices", "light"), ("/pair", "light"), ("/devices", "dark"), ("/pair", "dark")]
    {
        browser.prefers(scheme, "reduce");
        browser.go(&server.address(path));
        browser.run(&format!("{axe}; return true"));
        let found = browser.run_until_done(
            "axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }) \
             .then((r) => done({ checked: r.passes.length, found: r.violations.map((v) => v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(' | ')) }))",
        );
        assert!(found["checked"].as_u64().unwrap() > 15, "{path}: {found}");
        assert_eq!(found["found"], serde_json::json!([]), "{path} {scheme}");
        browser.until(
            "no sideways scrolling",
            "return document.documentElement.scrollWidth <= innerWidth",
        );
        if let Some(folder) = std::env::var_os("BARWRIGHT_SIGHTS") {
            let name = format!("{}-{scheme}.png", path.trim_start_matches('/'));
            fs::write(std::path::Path::new(&folder).join(name), browser.picture(360, 400, 3000))
                .unwrap();
        }
    }
}
