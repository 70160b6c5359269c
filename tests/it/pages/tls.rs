//! TLS with certificates that are made here.

use super::access::ELSEWHERE;
use super::server::{Server, address_beyond};
use rcgen::{CertificateParams, KeyPair};
use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned, version};

/// A certificate and its key in a folder, for shop.local, good in these years.
pub(super) struct Made {
    folder: tempfile::TempDir,
    certificate: CertificateDer<'static>,
}

impl Made {
    pub(super) fn good(from: i32, until: i32) -> Made {
        let folder = tempfile::tempdir().unwrap();
        let names = ["shop.local".to_owned(), "127.0.0.1".to_owned()];
        let mut params = CertificateParams::new(names).unwrap();
        params.not_before = rcgen::date_time_ymd(from, 1, 1);
        params.not_after = rcgen::date_time_ymd(until, 1, 1);
        let key = KeyPair::generate().unwrap();
        let made = params.self_signed(&key).unwrap();
        fs::write(folder.path().join("certificate.pem"), made.pem()).unwrap();
        fs::write(folder.path().join("key.pem"), key.serialize_pem()).unwrap();
        Made { folder, certificate: made.der().clone() }
    }

    fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(super) fn arguments(&self) -> [String; 4] {
        let path = |name: &str| self.file(name).display().to_string();
        ["--certificate".to_owned(), path("certificate.pem"), "--key".to_owned(), path("key.pem")]
    }

    /// Asks under a name, trusting this certificate alone.
    fn ask(&self, server: &Server, name: &str, sent: &str) -> Result<String, String> {
        let mut roots = RootCertStore::empty();
        roots.add(self.certificate.clone()).unwrap();
        let config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_protocol_versions(&[&version::TLS13, &version::TLS12])
            .unwrap()
            .with_root_certificates(roots)
            .with_no_client_auth();
        let name = ServerName::try_from(name.to_owned()).unwrap();
        let client = ClientConnection::new(Arc::new(config), name).unwrap();
        let mut stream = StreamOwned::new(client, TcpStream::connect(&server.host).unwrap());
        stream.write_all(sent.as_bytes()).map_err(|error| error.to_string())?;
        let mut all = Vec::new();
        // A line that is cut without the word for it says so here; what came is what counts.
        let _ = stream.read_to_end(&mut all);
        Ok(String::from_utf8_lossy(&all).into_owned())
    }
}

fn refused(certificate: &Path, key: &Path) -> String {
    let mut command = assert_cmd::Command::cargo_bin("barwright").unwrap();
    // Where it is taken, the server would go on.
    let command = command.timeout(Duration::from_secs(20));
    let command = command.args(["serve", "demo", "--port", "0", "--certificate"]).arg(certificate);
    let run = command.arg("--key").arg(key).assert().code(2);
    String::from_utf8(run.get_output().stderr.clone()).unwrap()
}

#[test]
fn the_pages_are_read_and_devices_let_in_behind_tls() {
    let made = Made::good(2020, 2090);
    let arguments = made.arguments();
    let further: Vec<&str> =
        arguments.iter().map(String::as_str).chain(["--name", "shop.local"]).collect();
    let server = Server::start_with(&further);
    let port = server.host.rsplit(':').next().unwrap();
    let get = |host: &str, lines: &str| {
        let head =
            format!("GET / HTTP/1.1\r\nHost: {host}:{port}\r\nConnection: close\r\n{lines}\r\n");
        made.ask(&server, host, &head)
    };
    assert!(get("127.0.0.1", "").unwrap().starts_with("HTTP/1.1 200"), "this computer");
    assert!(get("shop.local", "").unwrap().starts_with("HTTP/1.1 401"), "by a name others have");
    assert_eq!(server.get("/").code, 200, "this computer needs no TLS");
    assert!(made.ask(&server, "evil.example", "GET / HTTP/1.1\r\n\r\n").is_err());
    let code = server.code("look");
    let body = format!("code={code}&name=phone&to=/");
    let answer = made
        .ask(
            &server,
            "shop.local",
            &format!(
                "POST /pair HTTP/1.1\r\nHost: shop.local:{port}\r\nOrigin: https://shop.local:{port}\r\n{ELSEWHERE}\
                 Content-Type: application/x-www-form-urlencoded\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{body}",
                body.len()
            ),
        )
        .unwrap();
    assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
    let cookie = answer.lines().find_map(|line| line.strip_prefix("set-cookie: ")).unwrap();
    assert!(cookie.starts_with("__Host-barwright-") && cookie.ends_with("; Secure"), "{cookie}");
    let held = format!("Cookie: {}\r\n", cookie.split(';').next().unwrap());
    let page = get("shop.local", &held).unwrap();
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("This device may look."), "{page}");
    // A name without the host in it may have been set by whoever reads along elsewhere.
    assert!(get("shop.local", &held.replace("__Host-", "")).unwrap().starts_with("HTTP/1.1 401"));
    // What was given under TLS is no good without it.
    let head =
        format!("GET / HTTP/1.1\r\nHost: shop.local:{port}\r\nConnection: close\r\n{held}\r\n");
    assert_eq!(server.raw(head.as_bytes()).code, 401);
}

#[test]
fn beside_tls_other_devices_are_told_where_the_pages_are_and_nothing_else() {
    let Some(ip) = address_beyond() else {
        return eprintln!("unproven: this computer has no address but its own");
    };
    let made = Made::good(2020, 2090);
    let arguments = made.arguments();
    let further: Vec<&str> =
        arguments.iter().map(String::as_str).chain(["--address", &ip]).collect();
    let server = Server::start_with(&further);
    let port = server.host.rsplit(':').next().unwrap();
    let mut stream = TcpStream::connect(format!("{ip}:{port}")).unwrap();
    let head = format!("GET /pair HTTP/1.1\r\nHost: {ip}:{port}\r\nConnection: close\r\n\r\n");
    stream.write_all(head.as_bytes()).unwrap();
    let mut told = String::new();
    let _ = stream.read_to_string(&mut told);
    assert!(told.starts_with("HTTP/1.1 426 ") && told.contains("at https://"), "{told}");
    assert!(!told.contains('<'), "no page: {told}");
    let said = server.says("browsers will warn");
    assert!(said.contains("for shop.local, 127.0.0.1, good until 2090-01-01"), "{said}");
}

#[cfg(unix)]
#[test]
fn a_key_that_others_can_read_is_told() {
    use std::os::unix::fs::PermissionsExt as _;
    let made = Made::good(2020, 2090);
    let arguments = made.arguments();
    let further: Vec<&str> =
        arguments.iter().map(String::as_str).chain(["--address", "0.0.0.0"]).collect();
    for (mode, open) in [(0o644, true), (0o640, true), (0o600, false)] {
        fs::set_permissions(made.file("key.pem"), fs::Permissions::from_mode(mode)).unwrap();
        let mut server = Server::start_with(&further);
        let said = server.said_to_its_end();
        assert_eq!(said.contains("can read the key"), open, "{mode:o}: {said}");
    }
}

#[test]
fn a_certificate_that_is_no_good_is_told_with_its_mend() {
    let (good, other) = (Made::good(2020, 2090), Made::good(2020, 2090));
    let (certificate, key) = (good.file("certificate.pem"), good.file("key.pem"));
    let told = refused(&certificate, &other.file("key.pem"));
    assert!(told.contains("is not the key of") && told.contains("made together"), "{told}");
    let old = Made::good(2020, 2021);
    let told = refused(&old.file("certificate.pem"), &old.file("key.pem"));
    assert!(told.contains("was good until 2021-01-01") && told.contains("renewed"), "{told}");
    let early = Made::good(2089, 2090);
    let told = refused(&early.file("certificate.pem"), &early.file("key.pem"));
    assert!(told.contains("is good from 2089-01-01") && told.contains("clock"), "{told}");
    let told = refused(&good.file("none.pem"), &key);
    assert!(told.contains("none.pem cannot be read") && told.contains("certificate"), "{told}");
    let told = refused(&certificate, &good.file("none.pem"));
    assert!(told.contains("none.pem cannot be read") && told.contains("private key"), "{told}");
    let told = refused(&key, &key);
    assert!(told.contains("holds no certificate") && told.contains("-----BEGIN"), "{told}");
    let told = refused(&certificate, &certificate);
    assert!(told.contains("holds no private key") && told.contains("-----BEGIN"), "{told}");
    let text = good.file("text.pem");
    fs::write(&text, "-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n").unwrap();
    assert!(refused(&text, &key).contains("no certificate that can be read"));
    let mut command = assert_cmd::Command::cargo_bin("barwright").unwrap();
    command.args(["serve", "demo", "--certificate", "x.pem"]).assert().code(2);
    let mut command = assert_cmd::Command::cargo_bin("barwright").unwrap();
    let both = ["serve", "demo", "--plain", "--certificate", "x.pem", "--key", "y.pem"];
    command.args(both).assert().code(2);
}

#[test]
fn other_addresses_need_tls_or_the_word_plain() {
    let told = |arguments: &[&str]| {
        let mut command = assert_cmd::Command::cargo_bin("barwright").unwrap();
        let command = command.timeout(Duration::from_secs(20)).args(["serve", "demo"]);
        let run = command.args(arguments).assert().code(2);
        String::from_utf8(run.get_output().stderr.clone()).unwrap()
    };
    let open = told(&["--address", "0.0.0.0"]);
    assert!(open.contains("anyone on the network could read along"), "{open}");
    assert!(open.contains("--certificate") && open.contains("--plain"), "{open}");
    assert!(told(&["--name", "http://shop"]).contains("no name of a host"));
    let broken = tempfile::NamedTempFile::new().unwrap();
    fs::write(broken.path(), "[[device]]\nid = 1\n").unwrap();
    let told = told(&["--devices", broken.path().to_str().unwrap()]);
    assert!(told.contains("does not say which devices are known"), "{told}");
}
