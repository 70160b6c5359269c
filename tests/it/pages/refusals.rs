//! What the server answers, and what it refuses.

use super::record::at_work;
use super::server::{JOB, Server};
use super::shop::{FROM, SHOP, once_there, shop};
use super::sights::five_lathes;
use super::sizes::OF;
use serde_json::{Value, json};
use std::fs;

#[test]
fn every_page_answers_with_its_policy_and_holds_no_script() {
    let server = shop();
    for asset in view::pages::assets::ALL {
        let answer = server.get(&format!("/assets/{}", asset.name));
        assert_eq!((answer.code, answer.body.as_str()), (200, asset.text), "{}", asset.name);
    }
    let kinds =
        ["job", "lathe", "gripper", "tools", "control"].map(|kind| format!("/given/{kind}/{JOB}"));
    let pages = [
        "/".to_owned(),
        format!("/job/{JOB}"),
        format!("/part/{JOB}?at=2&kind=thread"),
        format!("/program/{JOB}"),
        format!("/loading/{JOB}"),
        format!("/price/{JOB}"),
        "/sizes".to_owned(),
        "/rack".to_owned(),
        "/finding/bar-swings-out".to_owned(),
        format!("/shop?from={FROM}"),
        format!("/visits?from={FROM}"),
    ];
    let lathes = at_work();
    let at_lathes = ["/lathe", "/lathe/Lathe%201", "/lathe/Lathe%202"].map(str::to_owned);
    for path in pages.iter().chain(&kinds).chain(&at_lathes) {
        let server = if path.starts_with("/lathe") { &lathes } else { &server };
        let answer = server.get(path);
        assert_eq!(answer.code, 200, "{path}");
        let head = answer.head.to_ascii_lowercase();
        assert!(
            head.contains(
                "content-security-policy: default-src 'none'; script-src 'self'; style-src 'self'"
            ),
            "{head}"
        );
        assert!(
            head.contains("x-content-type-options: nosniff")
                && head.contains("cache-control: no-store"),
            "{head}"
        );
        assert!(
            !answer.body.contains(" style=")
                && !answer.body.contains("<style")
                && !answer.body.contains(" onclick"),
            "{path}"
        );
        for script in answer.body.split("<script").skip(1) {
            assert!(
                script.starts_with(" type=\"module\" src=\"/assets/"),
                "{path}: only scripts of our own"
            );
        }
    }
}

#[test]
fn a_page_weighs_at_most_150_kilobytes_with_what_it_loads() {
    const OF_ALL: [&str; 5] = ["style.css", "paper.css", "tour.js", "paper.js", "mark.svg"];
    let server = Server::start();
    let check = |what: &str, page: &str, names: &[&str]| {
        let assets = names.iter().chain(&OF_ALL);
        let assets: usize =
            assets.map(|name| view::pages::assets::named(name).unwrap().text.len()).sum();
        let weighs = page.len() + assets;
        assert!(weighs <= 150_000, "{what} weighs {weighs}");
    };
    let of_job = ["job.js", "fields.js", "pieces.js", "ruler.js"];
    check("the job page", &server.get(&format!("/job/{JOB}")).body, &of_job);
    let of_program = [&of_job[..], &["program.js", "section.js"]].concat();
    check("the program page", &server.get(&format!("/program/{JOB}")).body, &of_program);
    let week = crate::expect::root("demo/week-48/shop.toml");
    fs::copy(week, server.file("shop.toml")).unwrap();
    for (way, pictures) in [("job", &[][..]), ("loading", &["chart.js"]), ("price", &["chart.js"])]
    {
        let page = server.get(&format!("/{way}/{JOB}")).body;
        check(&format!("the {way} page with a shop"), &page, &[&of_job[..], pictures].concat());
    }
    let server = shop();
    for page in ["/shop", "/visits"] {
        let there = once_there(&server, &format!("{page}?from={FROM}")).body;
        check(page, &there, &["shop.css", "shop.js", "pieces.js"]);
    }
    // A shop of five lathes with a full rack and much in its log.
    let server = five_lathes();
    server.set_up();
    server.busy();
    fill(&server);
    for page in ["/shop", "/visits"] {
        for more in ["", "&one_more=day"] {
            let there = once_there(&server, &format!("{page}?from={FROM}{more}")).body;
            check(
                &format!("{page}{more} of a busy day"),
                &there,
                &["shop.css", "shop.js", "pieces.js"],
            );
        }
    }
    let of_log = ["shop.css", "sizes.js", "live.js", "pieces.js", "chart.js"];
    for page in
        ["/rack", "/rack?page=2&item=L090", "/lathe", &format!("/sizes?{OF}"), "/lathe/Lathe%201"]
    {
        let of_lathe = ["lathe.js", "queue.js", "worker.js"];
        let more = if page.contains("Lathe") { &of_lathe[..] } else { &[] };
        check(page, &server.get(page).body, &[&of_log[..], more].concat());
    }
    let server = at_work();
    let of_lathe = ["shop.css", "lathe.js", "live.js", "queue.js", "pieces.js", "worker.js"];
    check("the page at a lathe", &server.get("/lathe/Lathe%201").body, &of_lathe);
}

/// 130 labels on the rack, each with three entries, and 300 gauged sizes.
fn fill(server: &Server) {
    let put = |number: u32| {
        json!({ "id": format!("f-{number}"), "event": "put-on-rack", "item": format!("L{:03}", number % 130),
        "length": "2950", "count": 4, "heat": "A 7712", "place": format!("arm {}", number % 7), "material": "steel-12l14", "size": "12" })
    };
    let gauged = |number: u32| {
        json!({ "id": format!("g-{number}"), "event": "size-measured", "lathe": "Lathe 1", "job": "pin",
        "feature": "1", "reading": format!("7.9{:02}", 70 + number % 23), "part": number + 1 })
    };
    let all: Vec<Value> = (0..390).map(put).chain((0..300).map(gauged)).collect();
    for chunk in all.chunks(100) {
        for became in server.tell(&chunk.into()) {
            assert_eq!(became["became"], "recorded", "{became}");
        }
    }
}

#[test]
fn only_its_own_name_leads_to_it() {
    let server = Server::start();
    let port = server.host.rsplit(':').next().unwrap().to_owned();
    let ask = |host: &str| {
        server
            .raw(format!("GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").as_bytes())
            .code
    };
    assert_eq!(ask(&server.host), 200);
    assert_eq!(ask(&format!("localhost:{port}")), 200);
    for host in [
        "evil.example".to_owned(),
        format!("evil.example:{port}"),
        "127.0.0.1".to_owned(),
        format!("localhost:{port}.evil.example"),
        format!("xlocalhost:{port}"),
        String::new(),
    ] {
        assert_eq!(ask(&host), 403, "{host}");
    }
    assert_eq!(server.raw(b"GET / HTTP/1.0\r\n\r\n").code, 403, "no name at all");
}

#[test]
fn a_change_comes_from_a_page_only() {
    let server = Server::start();
    let before = fs::read(server.file("detent-pin.job.toml")).unwrap();
    let token = server.token();
    let form = |token: &str| format!("token={token}&file=job&key=bar.length&value=900");
    let path = format!("/change/{JOB}");
    let kind = "Content-Type: application/x-www-form-urlencoded\r\n";
    for (lines, token) in [
        (String::new(), ""),
        (String::new(), "00000000000000000000000000000000"),
        ("Origin: http://evil.example\r\n".to_owned(), token.as_str()),
        ("Origin: null\r\n".to_owned(), token.as_str()),
        ("Sec-Fetch-Site: cross-site\r\n".to_owned(), token.as_str()),
        ("Sec-Fetch-Site: same-site\r\n".to_owned(), token.as_str()),
    ] {
        for path in [path.as_str(), &format!("/undo/{JOB}"), &format!("/prove/{JOB}"), "/new"] {
            let answer = server.post(path, &format!("{kind}{lines}"), &form(token));
            assert_eq!(answer.code, 403, "{path} {lines}");
        }
    }
    assert_eq!(server.get(&path).code, 405, "a change is never a mere look");
    assert_eq!(fs::read(server.file("detent-pin.job.toml")).unwrap(), before);
    let page = format!("Origin: http://{0}\r\nReferer: http://{0}/job/{JOB}\r\n", server.host);
    let answer = server.post(&path, &format!("{kind}{page}"), &form(&token));
    assert_eq!(answer.code, 303, "without a script the form works too: {}", answer.head);
    assert!(answer.head.contains(&format!("location: /job/{JOB}")), "{}", answer.head);
    let of = format!("of={token}:job:order.quantity&value=500");
    let answer = server.post(&path, &format!("{kind}{page}"), &of);
    assert_eq!(answer.code, 303, "as a blank sends it: {}", answer.head);
    assert_eq!(
        server.post(&path, &format!("{kind}{page}"), "of=x:job:order.quantity&value=5").code,
        403
    );
    let text = fs::read_to_string(server.file("detent-pin.job.toml")).unwrap();
    let text = text.replace("quantity = 500", "quantity = 400");
    assert_eq!(text, String::from_utf8(before).unwrap().replace("length = 1000 ", "length = 900 "));
}

#[test]
fn nobody_is_sent_elsewhere() {
    let server = Server::start();
    let token = server.token();
    let own = ["//evil.example/", "/\t/evil.example/", "/\\evil.example/"];
    let own = own.map(|path| format!("http://{}{path}", server.host));
    let others = ["http://evil.example/", "//evil.example/", "javascript:alert(1)"];
    for referer in others.into_iter().chain(own.iter().map(String::as_str)) {
        let lines =
            format!("Content-Type: application/x-www-form-urlencoded\r\nReferer: {referer}\r\n");
        let answer = server.post(
            &format!("/change/{JOB}"),
            &lines,
            &format!("token={token}&file=job&key=order.quantity&value=300"),
        );
        assert!(answer.code == 303 && answer.head.contains("location: /\r\n"), "{}", answer.head);
    }
}

#[test]
fn no_path_leaves_the_folder() {
    let server = Server::start();
    for name in [
        "../secret",
        "..%2Fsecret",
        "%2e%2e/secret",
        "detent-pin/../../secret",
        "/etc/passwd",
        "%00",
        "detent-pin%00/detent-pin",
        "detent-pin",
    ] {
        for way in ["job", "program", "pieces", "playback", "picture/part", "given/job"] {
            let answer = server.get(&format!("/{way}/{name}"));
            assert!(matches!(answer.code, 400 | 404), "/{way}/{name}: {}", answer.code);
            assert!(!answer.body.contains("nobody is to see"), "{name}");
        }
    }
    for name in ["../style.css", "..%2fpages.rs", "%2e%2e%2f", "style.css/"] {
        assert!(matches!(server.get(&format!("/assets/{name}")).code, 400 | 404), "{name}");
    }
    for path in ["../../secret.toml", "/etc/passwd", "../lathe.toml"] {
        for key in ["files.lathe", "bar.material"] {
            let told = server.change("job", key, path, false).to_string();
            assert!(
                told.contains("refused")
                    && !told.contains("nobody is to see")
                    && !told.contains("root:"),
                "{told}"
            );
        }
    }
    server.set_up();
    let set_up = |plan: &str, program: &str| {
        let said = serde_json::json!([{ "event": "set-up", "lathe": "Lathe 2", "job": "pin", "plan": plan, "program": program }]);
        server.tell(&said)[0].clone()
    };
    for (plan, program) in [("../secret", "detent-pin/expected/O2080.nc"), (JOB, "../secret.nc")] {
        let told = set_up(plan, program);
        assert_eq!(told["became"], "refused", "{plan} {program}: {told}");
    }
    let token = server.token();
    for name in ["../out", "a/b", ".hidden", "", "a\0b", &"a".repeat(61), "C:x"] {
        let name: String = form_urlencoded::byte_serialize(name.as_bytes()).collect();
        let answer = server.post(
            "/new",
            "Content-Type: application/x-www-form-urlencoded\r\n",
            &format!("token={token}&name={name}"),
        );
        assert_eq!(answer.code, 422, "{name}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_out_is_not_followed() {
    let server = Server::start();
    let out = server.file("../../secret.toml");
    std::os::unix::fs::symlink(&out, server.file("lathe-of-mine.toml")).unwrap();
    std::os::unix::fs::symlink(out.parent().unwrap(), server.file("up")).unwrap();
    std::os::unix::fs::symlink(&out, server.file("linked.job.toml")).unwrap();
    let told = server.change("job", "files.lathe", "lathe-of-mine.toml", false).to_string();
    assert!(told.contains("not in the folder"), "{told}");
    assert_eq!(server.get("/job/detent-pin/linked").code, 404);
    assert!(!server.get("/").body.contains("linked"));
    let shop = server.file("../../outside.toml");
    fs::write(&shop, SHOP.replace("Long", "nobody is to see this")).unwrap();
    for (place, page) in
        [("shop.toml", format!("/job/{JOB}")), ("../shop.toml", "/shop".to_owned())]
    {
        let place = server.file(place);
        std::os::unix::fs::symlink(&shop, &place).unwrap();
        let body = server.get(&page).body;
        assert!(!body.contains("nobody is to see"), "{page}");
        assert!(!body.contains("Back"), "{page} is not reckoned by it");
        fs::remove_file(place).unwrap();
    }
}

#[test]
fn a_script_in_a_name_is_only_a_name() {
    let server = Server::start();
    let name = "</title><script>alert('x')</script>\"'&";
    let told = server.change("job", "name", name, true);
    assert!(told["pieces"].is_object(), "{told}");
    let listed = server.get("/").body;
    for path in [
        format!("/job/{JOB}"),
        format!("/program/{JOB}"),
        format!("/given/job/{JOB}"),
        format!("/picture/bar/{JOB}"),
    ] {
        let page = server.get(&path).body;
        assert!(!page.contains("<script>alert"), "{path}");
        assert!(page.contains("&lt;script&gt;"), "{path} shows it as it is written");
    }
    assert!(listed.contains("&lt;script&gt;") && !listed.contains("<script>alert"));
    let told = server.change("job", "bar.size", "<img src=x onerror=alert(1)>", false);
    assert!(told["refused"].is_string() && told["pieces"].is_null(), "{told}");
}

#[test]
fn large_bodies_are_refused() {
    let server = Server::start();
    let token = server.token();
    let kind = "Content-Type: application/x-www-form-urlencoded\r\n";
    let large = format!("token={token}&file=job&key=name&value={}", "x".repeat(70_000));
    assert_eq!(server.post(&format!("/change/{JOB}"), kind, &large).code, 413);
    let huge = format!("token={token}&text={}", "G".repeat(7_000_000));
    assert!(matches!(server.post(&format!("/prove/{JOB}"), kind, &huge).code, 413 | 0));
    assert_eq!(server.get("/").code, 200, "it is still there");
}
