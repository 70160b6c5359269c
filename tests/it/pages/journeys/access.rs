//! A second browser is let in, may do what it may, and is shut out.

use super::{JOB, LENGTH, TOOLS};
use crate::pages::browser::Browser;
use crate::pages::server::{Server, address_beyond};
use std::fs;
use std::time::{Duration, Instant};

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

/// `x.localhost` leads to this computer (RFC 6761), and browsers keep pages under it as over TLS; here it is a name
/// that others may have too.
#[test]
fn a_device_that_was_shut_out_keeps_no_page_and_what_was_tapped_on_it() {
    let (mut server, phone) =
        (Server::start_with(&["--name", "shop.localhost"]), Browser::open(390, 844));
    server.set_up();
    let port = server.host.rsplit(':').next().unwrap().to_owned();
    let at = |path: &str| format!("http://shop.localhost:{port}{path}");
    let pair = |server: &Server| {
        let code = server.code("record").replace('-', "");
        phone.go(&at(&format!("/pair#{code}")));
        phone.keys("#name", "phone\u{e007}");
        phone.until_says("h1", "Jobs in shop");
        phone.go(&at("/lathe/Lathe%201"));
        phone
            .until("it is kept", "return document.querySelector('#keeps').dataset.ready === 'yes'");
    };
    let pages = "(async () => { const kept = await caches.open('lathe-pages-1'); \
        done((await kept.keys()).filter((one) => new URL(one.url).pathname.startsWith('/lathe')).length) })()";
    pair(&server);
    assert_eq!(phone.run_until_done(pages), 1);
    server.stop();
    phone.run("document.querySelector('.at-once button').click()");
    phone.until("it waits", "return document.querySelectorAll('.waiting li').length === 1");
    // Without a network it cannot know yet that it was shut out.
    fs::write(server.devices(), "").unwrap();
    phone.go(&at("/lathe/Lathe%201"));
    phone.until_says("h1", "Lathe 1");
    server.again();
    phone.until_says("h1", "This device is not known here");
    phone.until_says("#waits", "What was tapped here and is not recorded yet stays");
    assert_eq!(phone.run_until_done(pages), 0, "it has no page any more");
    server.stop();
    phone.go(&at("/lathe/Lathe%201"));
    assert!(!phone.text("body").contains("Lathe 1"), "nor can it be opened without the server");
    server.again();
    let told = || server.log(&["list", "--last", "1000"]).as_array().unwrap().len();
    assert_eq!(told(), 2);
    pair(&server);
    phone.until("nothing waits", "return document.querySelector('.waiting').hidden");
    assert_eq!(told(), 3, "let in again, it sends what was tapped");
    // Whichever page it asks for, it keeps nothing.
    assert_eq!(phone.run_until_done(pages), 1);
    fs::write(server.devices(), "").unwrap();
    let gone = |what: &str| {
        let begin = Instant::now();
        while phone.run_until_done(pages) != 0 {
            assert!(begin.elapsed() < Duration::from_secs(10), "{what}");
        }
    };
    phone.until_says("h1", "This device is not known here");
    pair(&server);
    phone.go(&at("/assets/style.css"));
    fs::write(server.devices(), "").unwrap();
    let status = "fetch('/lathe/Lathe%201').then((it) => done(it.status))";
    let begin = Instant::now();
    while phone.run_until_done(status) != 401 {
        assert!(begin.elapsed() < Duration::from_secs(10), "the file is looked at");
    }
    gone("a script asked");
    pair(&server);
    phone.go(&at("/assets/style.css"));
    fs::write(server.devices(), "").unwrap();
    std::thread::sleep(Duration::from_secs(2));
    phone.go(&at("/"));
    phone.until_says("h1", "This device is not known here");
    gone("a page that is kept nowhere was asked for");
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
