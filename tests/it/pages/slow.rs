//! Who takes their time, or too many connections.

use super::access::FORM;
use super::server::{Server, address_beyond};
use super::tls::Made;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

#[test]
fn heads_are_neither_long_nor_slow_and_bodies_come_in_time() {
    let server = Server::start();
    let many: String = (0..80).map(|number| format!("X-{number}: 1\r\n")).collect();
    assert_eq!(server.read("/", &many).code, 431);
    let long = format!("X: {}\r\n", "x".repeat(70_000));
    assert!(matches!(server.read("/", &long).code, 431 | 0));
    let slow = |head: String, each: &[u8]| {
        let mut stream = TcpStream::connect(&server.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_millis(500))).unwrap();
        let (begin, mut all, mut buffer) = (Instant::now(), Vec::new(), [0; 1024]);
        stream.write_all(head.as_bytes()).unwrap();
        while begin.elapsed() < Duration::from_secs(40) {
            match stream.read(&mut buffer) {
                Ok(0) => break,
                Ok(long) => all.extend_from_slice(&buffer[..long]),
                Err(error) if error.kind() == std::io::ErrorKind::WouldBlock => {
                    let _ = stream.write_all(each);
                }
                Err(_) => break,
            }
        }
        (begin.elapsed(), String::from_utf8_lossy(&all).into_owned())
    };
    let made = Made::good(2020, 2090);
    let arguments = made.arguments();
    let secured = Server::start_with(&arguments.each_ref().map(String::as_str));
    // Nothing, or the first byte of a handshake (RFC 8446, 5.1), and then nothing more.
    let silent = |first: &[u8]| {
        let mut stream = TcpStream::connect(&secured.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(40))).unwrap();
        stream.write_all(first).unwrap();
        let (begin, mut rest) = (Instant::now(), Vec::new());
        let _ = stream.read_to_end(&mut rest);
        begin.elapsed()
    };
    let host = &server.host;
    let form = "POST /pair HTTP/1.1\r\nHost: ";
    std::thread::scope(|scope| {
        let head = scope.spawn(|| slow(format!("GET / HTTP/1.1\r\nHost: {host}\r\nX: "), b"x").0);
        let idle =
            scope.spawn(|| slow(format!("GET /pair HTTP/1.1\r\nHost: {host}\r\n\r\n"), b"").0);
        let body = scope
            .spawn(|| slow(format!("{form}{host}\r\n{FORM}Content-Length: 4000\r\n\r\n"), b"x"));
        let nothing = scope.spawn(|| silent(b""));
        let handshake = scope.spawn(|| silent(b"\x16"));
        for (what, took) in [
            ("head", head.join().unwrap()),
            ("idle", idle.join().unwrap()),
            ("nothing", nothing.join().unwrap()),
            ("handshake", handshake.join().unwrap()),
        ] {
            assert!(took < Duration::from_secs(30), "{what}: {took:?}");
        }
        let (took, said) = body.join().unwrap();
        assert!(took < Duration::from_secs(35) && said.contains("408"), "{took:?} {said}");
    });
    assert_eq!(server.get("/").code, 200);
}

#[test]
fn one_address_elsewhere_holds_so_many_connections_as_long_as_they_are_open() {
    let Some(ip) = address_beyond() else {
        return eprintln!("unproven: this computer has no address but its own");
    };
    let server = Server::start_with(&["--address", &ip, "--plain"]);
    let port = server.host.rsplit(':').next().unwrap();
    let open = || {
        let stream = TcpStream::connect(format!("{ip}:{port}")).unwrap();
        stream.set_read_timeout(Some(Duration::from_millis(500))).unwrap();
        stream
    };
    // One that is let go is closed at once; the others wait for what they are asked.
    let is_let_go = |stream: &mut TcpStream| matches!(stream.read(&mut [0]), Ok(0));
    let mut all: Vec<TcpStream> = (0..32).map(|_| open()).collect();
    // Each is served by now: none holds its place only for being on its way.
    std::thread::sleep(Duration::from_millis(500));
    all.push(open());
    assert!(is_let_go(&mut all[32]));
    assert!(!is_let_go(&mut all[31]));
    all.truncate(31);
    std::thread::sleep(Duration::from_millis(200));
    assert!(!is_let_go(&mut open()), "a place that is free is taken again");
}
