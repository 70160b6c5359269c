//! One plain HTTP request at a time (RFC 9112): enough for an agent in the shop's own network, and
//! nothing that it could send makes it wait for good or fill the memory. No TLS: the standard's agents
//! speak plain HTTP; beyond the shop's own network a tunnel belongs in front.

use std::fmt;
use std::io::{self, Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::time::{Duration, Instant};

/// Where an agent is: `http://host:port/path`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Address {
    host: String,
    port: u16,
    path: String,
}

/// The port that agents listen on where none is said, after the standard's examples (from memory).
const PORT: u16 = 5000;

impl Address {
    /// Reads an address; `http://` may be left out, and what stands behind the host is the path to
    /// the agent or to one of its devices.
    pub fn read(text: &str) -> Option<Address> {
        let text = text.trim();
        let rest = text.strip_prefix("http://").unwrap_or(text);
        let (place, path) = rest.split_once('/').unwrap_or((rest, ""));
        // Brackets hold the colons of an IPv6 host.
        let (host, port) = match place.rsplit_once(':') {
            Some((host, port)) if !port.ends_with(']') => (host, port.parse().ok()?),
            _ => (place, PORT),
        };
        let plain = |text: &str| text.bytes().all(|it| it.is_ascii_graphic());
        let good = !host.is_empty() && plain(host) && plain(path) && !host.contains("//");
        let path = path.trim_end_matches('/').to_owned();
        good.then(|| Address { host: host.to_owned(), port, path })
    }

    fn request(&self, query: &str) -> String {
        let slash = if self.path.is_empty() { "" } else { "/" };
        format!(
            "GET /{}{slash}{query} HTTP/1.1\r\nHost: {}:{}\r\nAccept: text/xml, application/xml\r\n\
             Connection: close\r\n\r\n",
            self.path, self.host, self.port
        )
    }
}

/// How long and how large an answer may be.
#[derive(Debug, Clone, Copy)]
pub struct Bounds {
    /// Longest time for the whole answer.
    pub time: Duration,
    /// Most bytes of the body.
    pub body: usize,
}

impl Default for Bounds {
    fn default() -> Bounds {
        Bounds { time: Duration::from_secs(15), body: 16 * 1024 * 1024 }
    }
}

/// Why there is no answer.
#[derive(Debug)]
pub enum NoAnswer {
    /// The network failed, or the time was up.
    Network(io::Error),
    /// It is no answer of HTTP: why.
    NotHttp(&'static str),
    /// It is larger than is taken.
    TooLarge,
    /// It took longer than is waited.
    TooSlow,
    /// The agent refused with this status, and said nothing that could be read.
    Status(u16),
}

impl fmt::Display for NoAnswer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoAnswer::Network(error) => write!(f, "no answer from the agent: {error}"),
            NoAnswer::NotHttp(why) => write!(f, "what answers is no agent: {why}"),
            NoAnswer::TooLarge => f.write_str("the agent's answer is too large"),
            NoAnswer::TooSlow => f.write_str("the agent's answer takes too long"),
            NoAnswer::Status(status) => write!(f, "the agent refuses with status {status}"),
        }
    }
}

impl std::error::Error for NoAnswer {}

impl From<io::Error> for NoAnswer {
    fn from(error: io::Error) -> NoAnswer {
        NoAnswer::Network(error)
    }
}

/// Asks an agent, and gives the body of its answer; `query` is the end of the address, such as
/// `current`.
///
/// # Errors
/// See [`NoAnswer`]. A refusal with a body is given as that body: agents tell errors in one.
pub fn get(address: &Address, query: &str, bounds: Bounds) -> Result<Vec<u8>, NoAnswer> {
    let deadline = Deadline::after(bounds.time);
    let host = address.host.trim_start_matches('[').trim_end_matches(']');
    let mut last = None;
    for place in (host, address.port).to_socket_addrs()? {
        match TcpStream::connect_timeout(&place, deadline.left()?) {
            Ok(mut stream) => {
                stream.set_write_timeout(Some(deadline.left()?))?;
                stream.write_all(address.request(query).as_bytes())?;
                return answer(&mut Timed { stream, deadline }, bounds.body);
            }
            Err(error) => last = Some(error),
        }
    }
    let none = || io::Error::new(io::ErrorKind::NotFound, "the host has no address");
    Err(last.unwrap_or_else(none).into())
}

/// When all must be over.
#[derive(Clone, Copy)]
struct Deadline(Instant);

impl Deadline {
    #[allow(clippy::disallowed_methods, reason = "a wait on a wire has an end on the clock")]
    fn after(time: Duration) -> Deadline {
        Deadline(Instant::now() + time)
    }

    #[allow(clippy::disallowed_methods, reason = "a wait on a wire has an end on the clock")]
    fn left(self) -> Result<Duration, NoAnswer> {
        let left = self.0.saturating_duration_since(Instant::now());
        if left.is_zero() { Err(NoAnswer::TooSlow) } else { Ok(left) }
    }
}

/// A stream of which each read ends at the deadline, so that single drops do not draw it out.
struct Timed {
    stream: TcpStream,
    deadline: Deadline,
}

impl Read for Timed {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let late = || io::Error::from(io::ErrorKind::TimedOut);
        self.stream.set_read_timeout(Some(self.deadline.left().map_err(|_| late())?))?;
        self.stream.read(buffer)
    }
}

/// Longest head of an answer, and most lines of it.
const HEAD: usize = 16 * 1024;
const LINES: usize = 64;

/// Reads one answer and gives its body.
///
/// # Errors
/// See [`NoAnswer`].
pub fn answer(from: &mut impl Read, most: usize) -> Result<Vec<u8>, NoAnswer> {
    let mut bytes = Vec::new();
    let head = loop {
        if let Some(head) = head(&bytes)? {
            break head;
        }
        if bytes.len() > HEAD {
            return Err(NoAnswer::NotHttp("its head has no end"));
        }
        if more(from, &mut bytes)? == 0 {
            return Err(NoAnswer::NotHttp("it ends within its head"));
        }
    };
    let rest = bytes.split_off(head.length);
    let body = match head.body {
        Body::Length(length) if length > most => return Err(NoAnswer::TooLarge),
        Body::Length(length) => until(from, rest, length)?,
        Body::Chunks => chunks(from, rest, most)?,
        Body::ToEnd => to_end(from, rest, most)?,
    };
    if head.status >= 400 && body.is_empty() {
        Err(NoAnswer::Status(head.status))
    } else {
        Ok(body)
    }
}

/// The head of an answer.
struct Head {
    length: usize,
    status: u16,
    body: Body,
}

/// How long a body is.
enum Body {
    Length(usize),
    Chunks,
    ToEnd,
}

/// The head, once all of it is there.
fn head(bytes: &[u8]) -> Result<Option<Head>, NoAnswer> {
    let mut lines = [httparse::EMPTY_HEADER; LINES];
    let mut response = httparse::Response::new(&mut lines);
    let length = match response.parse(bytes) {
        Ok(httparse::Status::Complete(length)) => length,
        Ok(httparse::Status::Partial) => return Ok(None),
        Err(_) => return Err(NoAnswer::NotHttp("its head is none")),
    };
    let value = |name: &str| {
        let line = response.headers.iter().find(|it| it.name.eq_ignore_ascii_case(name))?;
        std::str::from_utf8(line.value).ok().map(str::trim)
    };
    let chunked = value("transfer-encoding").is_some_and(|it| it.eq_ignore_ascii_case("chunked"));
    let body = if chunked {
        Body::Chunks
    } else if let Some(text) = value("content-length") {
        Body::Length(text.parse().map_err(|_| NoAnswer::NotHttp("its length is no number"))?)
    } else {
        Body::ToEnd
    };
    Ok(Some(Head { length, status: response.code.unwrap_or(0), body }))
}

/// Reads some more; gives how much.
fn more(from: &mut impl Read, bytes: &mut Vec<u8>) -> Result<usize, NoAnswer> {
    let mut buffer = [0; 16 * 1024];
    let read = from.read(&mut buffer).map_err(|error| match error.kind() {
        io::ErrorKind::TimedOut | io::ErrorKind::WouldBlock => NoAnswer::TooSlow,
        _ => NoAnswer::Network(error),
    })?;
    bytes.extend_from_slice(buffer.get(..read).unwrap_or_default());
    Ok(read)
}

fn until(from: &mut impl Read, mut body: Vec<u8>, length: usize) -> Result<Vec<u8>, NoAnswer> {
    while body.len() < length {
        if more(from, &mut body)? == 0 {
            return Err(NoAnswer::NotHttp("it ends before its length"));
        }
    }
    body.truncate(length);
    Ok(body)
}

fn to_end(from: &mut impl Read, mut body: Vec<u8>, most: usize) -> Result<Vec<u8>, NoAnswer> {
    loop {
        if body.len() > most {
            return Err(NoAnswer::TooLarge);
        }
        if more(from, &mut body)? == 0 {
            return Ok(body);
        }
    }
}

fn chunks(from: &mut impl Read, mut raw: Vec<u8>, most: usize) -> Result<Vec<u8>, NoAnswer> {
    let mut body = Vec::new();
    let mut at = 0;
    loop {
        let (size, start) = loop {
            match httparse::parse_chunk_size(raw.get(at..).unwrap_or_default()) {
                Ok(httparse::Status::Complete((head, size))) => break (size, at + head),
                Ok(httparse::Status::Partial) => {}
                Err(_) => return Err(NoAnswer::NotHttp("a part of it has no length")),
            }
            if raw.len() - at > HEAD {
                return Err(NoAnswer::NotHttp("a part of it has no length"));
            }
            if more(from, &mut raw)? == 0 {
                return Err(NoAnswer::NotHttp("it ends within a part"));
            }
        };
        let size = usize::try_from(size).map_err(|_| NoAnswer::TooLarge)?;
        if size == 0 {
            return Ok(body);
        }
        if size > most.saturating_sub(body.len()) {
            return Err(NoAnswer::TooLarge);
        }
        // The part, and the line end behind it.
        while raw.len() < start + size + 2 {
            if more(from, &mut raw)? == 0 {
                return Err(NoAnswer::NotHttp("it ends within a part"));
            }
        }
        body.extend_from_slice(raw.get(start..start + size).unwrap_or_default());
        raw.drain(..start + size + 2);
        at = 0;
    }
}
