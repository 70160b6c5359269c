//! A server of its own for each test, on a copy of a demo.

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{TcpStream, UdpSocket};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

/// The job that the tests look at.
pub(super) const JOB: &str = "detent-pin/detent-pin";

/// A running server; it ends with the test.
pub(super) struct Server {
    child: Child,
    /// What it says after where it is, line by line.
    said: Receiver<String>,
    /// Host and port.
    pub(super) host: String,
    folder: tempfile::TempDir,
    /// Further words on its command line.
    further: Vec<String>,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        if std::thread::panicking() {
            eprintln!("{}", fs::read_to_string(self.errors()).unwrap_or_default());
        }
    }
}

/// What came back.
pub(super) struct Answer {
    pub(super) code: u16,
    pub(super) head: String,
    pub(super) body: String,
}

impl Server {
    /// On a copy of the demo's folder, with files beside it that nobody is to see.
    pub(super) fn start() -> Server {
        Server::start_with(&[])
    }

    /// The same with further words on the command line.
    pub(super) fn start_with(further: &[&str]) -> Server {
        let folder = tempfile::tempdir().unwrap();
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/detent-pin");
        let copy = folder.path().join("shop/detent-pin");
        fs::create_dir_all(&copy).unwrap();
        let files = fs::read_dir(&demo).unwrap().flatten().map(|entry| entry.file_name());
        let programs = ["expected/O2080.nc", "expected/O2081.nc"].map(std::ffi::OsString::from);
        fs::create_dir(copy.join("expected")).unwrap();
        for file in files.chain(programs).filter(|file| demo.join(file).is_file()) {
            fs::copy(demo.join(&file), copy.join(&file)).unwrap();
        }
        for name in ["secret.toml", "secret.job.toml", "secret.nc"] {
            let text = "units = \"mm\"\nname = \"nobody is to see this\"\n";
            fs::write(folder.path().join(name), text).unwrap();
        }
        let further: Vec<String> = further.iter().map(|word| (*word).to_owned()).collect();
        let (child, said, host) = spawned(&mut command(folder.path(), "0", &further), &folder);
        Server { child, said, host, folder, further }
    }

    /// The same on a terminal so many columns wide, which `script` (util-linux) makes.
    pub(super) fn on_terminal(columns: u32, further: &[&str]) -> Server {
        let mut server = Server::start_with(further);
        server.stop();
        let plain = command(server.folder.path(), "0", &server.further);
        let words = std::iter::once(plain.get_program()).chain(plain.get_args());
        let words: Vec<String> =
            words.map(|word| format!("'{}'", word.to_string_lossy())).collect();
        let line = format!("stty cols {columns} rows 24 && exec {}", words.join(" "));
        let mut script = Command::new("script");
        script.args(["--quiet", "--return", "--command", &line, "/dev/null"]);
        script.env_remove("BARWRIGHT_LOG").stdin(Stdio::null());
        (server.child, server.said, server.host) = spawned(&mut script, &server.folder);
        server
    }

    /// Ends it, as a computer that is switched off would.
    pub(super) fn stop(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Starts it again at the same address.
    pub(super) fn again(&mut self) {
        let port = self.host.rsplit(':').next().unwrap().to_owned();
        let mut command = command(self.folder.path(), &port, &self.further);
        (self.child, self.said, self.host) = spawned(&mut command, &self.folder);
    }

    /// The file of the devices that were let in.
    pub(super) fn devices(&self) -> PathBuf {
        self.folder.path().join("devices.toml")
    }

    /// What it said of its own faults.
    pub(super) fn errors(&self) -> PathBuf {
        self.folder.path().join("errors.txt")
    }

    /// What it says on, up to these words.
    pub(super) fn says(&self, words: &str) -> String {
        let mut said = String::new();
        while !said.contains(words) {
            let line = self.said.recv_timeout(Duration::from_secs(20));
            said.push_str(&line.unwrap_or_else(|_| panic!("no {words:?} in {said:?}")));
        }
        said
    }

    /// Ends it; what it said on until then.
    pub(super) fn said_to_its_end(&mut self) -> String {
        self.stop();
        self.said.iter().collect()
    }

    /// A file of the job.
    pub(super) fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join("shop/detent-pin").join(name)
    }

    pub(super) fn address(&self, path: &str) -> String {
        format!("http://{}{path}", self.host)
    }

    /// Sends these very bytes.
    pub(super) fn raw(&self, bytes: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_mins(1))).unwrap();
        // A server that has seen enough may hang up while it is still being told.
        let _ = stream.write_all(bytes);
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all);
        let text = String::from_utf8_lossy(&all).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let code = head.split(' ').nth(1).and_then(|code| code.parse().ok()).unwrap_or(0);
        Answer { code, head: head.to_owned(), body: body.to_owned() }
    }

    pub(super) fn get(&self, path: &str) -> Answer {
        self.raw(
            format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.host)
                .as_bytes(),
        )
    }

    /// The head of an answer and its body as it is.
    #[cfg(feature = "sheets")]
    pub(super) fn file_of(&self, path: &str) -> (String, Vec<u8>) {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_mins(1))).unwrap();
        let ask =
            format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.host);
        stream.write_all(ask.as_bytes()).unwrap();
        let mut all = Vec::new();
        stream.read_to_end(&mut all).unwrap();
        let end = all.windows(4).position(|four| four == b"\r\n\r\n").unwrap();
        (String::from_utf8_lossy(&all[..end]).into_owned(), all[end + 4..].to_vec())
    }

    /// Sends a body with these further lines of a head.
    pub(super) fn post(&self, path: &str, lines: &str, body: &str) -> Answer {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Length: {}\r\n{lines}\r\n",
            self.host,
            body.len()
        );
        self.raw((head + body).as_bytes())
    }

    /// What a change must carry, as a page has it.
    pub(super) fn token(&self) -> String {
        let page = self.get(&format!("/job/{JOB}")).body;
        page.split("data-token=\"")
            .nth(1)
            .and_then(|rest| rest.split('"').next())
            .unwrap()
            .to_owned()
    }

    /// A change as the script of a page sends it.
    pub(super) fn change(
        &self,
        file: &str,
        key: &str,
        value: &str,
        save: bool,
    ) -> serde_json::Value {
        self.say(&serde_json::json!({ "file": file, "key": key, "value": value, "save": save }))
    }

    /// The same with everything it says but the token.
    pub(super) fn say(&self, said: &serde_json::Value) -> serde_json::Value {
        let mut said = said.clone();
        said["token"] = self.token().into();
        let answer = self.post(
            &format!("/change/{JOB}"),
            "Content-Type: application/json\r\n",
            &said.to_string(),
        );
        assert_eq!(answer.code, 200, "{}", answer.head);
        serde_json::from_str(&answer.body).unwrap_or_else(|_| panic!("{}", answer.body))
    }
}

fn command(folder: &Path, port: &str, further: &[String]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_barwright"));
    command.args(["serve", "--port", port, "--devices"]);
    command.arg(folder.join("devices.toml")).args(further).arg(folder.join("shop"));
    command.env_remove("BARWRIGHT_LOG");
    command
}

/// A server, what it says on, and where it says that it is.
fn spawned(command: &mut Command, folder: &tempfile::TempDir) -> (Child, Receiver<String>, String) {
    let errors = fs::File::create(folder.path().join("errors.txt")).unwrap();
    let mut child = command.stdout(Stdio::piped()).stderr(errors).spawn().unwrap();
    let (told, said) = channel();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    std::thread::spawn(move || {
        let mut line = String::new();
        while out.read_line(&mut line).is_ok_and(|long| long > 0) {
            if told.send(std::mem::take(&mut line)).is_err() {
                return;
            }
        }
    });
    let mut line = String::new();
    while !line.contains("http://") {
        line.push_str(&said.recv().unwrap_or_else(|_| panic!("it says {line:?}")));
    }
    let host = line.split("http://").nth(1).and_then(|rest| rest.split('/').next());
    let host = host.unwrap_or_else(|| panic!("it says {line:?}")).to_owned();
    (child, said, host)
}

/// An address of this computer that is not its own alone; none where it has no network.
pub(super) fn address_beyond() -> Option<String> {
    let socket = UdpSocket::bind("0.0.0.0:0").ok()?;
    // For documentation (RFC 5737); nothing is sent.
    socket.connect("198.51.100.1:9").ok()?;
    let ip = socket.local_addr().ok()?.ip();
    (!ip.is_loopback() && !ip.is_unspecified()).then(|| ip.to_string())
}
