//! What the server says where it was started: codes on a terminal, and nothing secret anywhere else.

use super::access::{ELSEWHERE, FORM};
use super::server::{Server, address_beyond};
use std::fs;

/// Every stretch of a text that looks like a code as it is told.
fn codes(text: &str) -> Vec<&str> {
    let is_code = |word: &&str| {
        let half =
            |half: &str| half.len() == 4 && half.bytes().all(|it| it.is_ascii_alphanumeric());
        word.split_once('-').is_some_and(|(one, other)| half(one) && half(other))
    };
    text.split_whitespace().filter(is_code).collect()
}

#[test]
fn nothing_secret_is_written_where_no_terminal_is() {
    let mut server = Server::start();
    for _ in 0..8 {
        let page = server.read("/", &format!("Accept: text/html\r\n{ELSEWHERE}"));
        assert_eq!(page.code, 401);
    }
    let pair = |code: &str| {
        let said = format!("code={code}&name=tablet&to=/");
        server.post("/pair", &format!("{FORM}{ELSEWHERE}"), &said)
    };
    assert_eq!(pair("WRNG-C0DE").code, 403);
    let code = server.code("change");
    let answer = pair(&code);
    assert_eq!(answer.code, 303);
    let cookie = answer.head.lines().find_map(|line| line.strip_prefix("set-cookie: ")).unwrap();
    let secret = cookie.split(['=', ';']).nth(1).unwrap().to_owned();
    let token = server.token();
    let said = server.said_to_its_end();
    let told = said.matches("A device at 127.0.0.1 asks to be let in").count();
    assert_eq!(told, 3, "who asks again and again is not told of each time: {said}");
    let all = said + &fs::read_to_string(server.errors()).unwrap();
    assert!(codes(&all).is_empty(), "{all}");
    for secret in [&code, &code.replace('-', ""), &secret, &token] {
        assert!(!all.contains(secret.as_str()), "{all}");
    }
}

#[test]
fn codes_stand_whole_on_a_terminal_however_narrow_it_is() {
    let ip = address_beyond();
    let further = ip.as_ref().map_or(vec![], |ip| vec!["--address", ip, "--plain"]);
    // Where there is no other address, the asker says that it passes something on.
    let lines = if ip.is_some() { "" } else { ELSEWHERE };
    for columns in [100, 80, 40, 24] {
        let mut server = Server::on_terminal(columns, &further);
        let port = server.host.rsplit(':').next().unwrap().to_owned();
        if let Some(ip) = &ip {
            server.host = format!("{ip}:{port}");
        }
        let asked = server.read("/", &format!("Accept: text/html\r\n{lines}"));
        assert_eq!(asked.code, 401);
        let said = server.says("change");
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        let (begin, told) = flat.split_once("asks to be let in").unwrap();
        assert!(ip.is_none() || begin.contains("CAUTION: there is no TLS."), "{said}");
        let wide = |line: &str| line.trim_end().chars().count();
        // What has no blank, an address or a path, is not broken.
        let broken = said.lines().filter(|line| line.trim().contains(' '));
        assert!(broken.clone().count() > 5, "{said}");
        broken.for_each(|line| assert!(wide(line) <= columns as usize, "{columns}: {said}"));
        let codes = codes(told);
        assert_eq!(codes.len(), 3, "{said}");
        let pair = |code: &str| {
            let form = format!("code={code}&name=tablet&to=/");
            server.post("/pair", &format!("{FORM}{lines}"), &form).code
        };
        assert_eq!((pair(codes[1]), pair(codes[2])), (303, 403), "one of them can be used");
        let devices = fs::read_to_string(server.devices()).unwrap();
        assert!(devices.contains("role = \"record\""), "{devices}");
    }
}
