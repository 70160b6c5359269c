//! A stand-in agent for the tests: a machine that makes parts, a buffer of observations, and the
//! documents of the standard, version 1.4. It can lose its buffer, start anew, answer in parts, hang
//! up, and stay silent.

use std::fmt::Write as _;
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};
use std::thread;

/// The items that it tells.
const PARTS: &str = "pc";
const EXECUTION: &str = "ex";
const LOAD: &str = "ld";

/// What the agent's clock shows at an observation: a clock of its own, far from that of the tests.
fn stamp(sequence: u64) -> String {
    let us = 10 * sequence;
    let (minutes, seconds) = (us / 60_000_000 % 60, us / 1_000_000 % 60);
    format!("2026-01-05T07:{minutes:02}:{seconds:02}.{:06}Z", us % 1_000_000)
}

/// One kept observation.
#[derive(Clone)]
struct Kept {
    sequence: u64,
    item: &'static str,
    value: String,
}

/// The state of an agent.
pub(crate) struct Agent {
    pub(crate) instance: u64,
    buffer: usize,
    next: u64,
    kept: Vec<Kept>,
    /// What each item told last.
    last: Vec<Kept>,
    /// The counter on the machine; it outlives the agent.
    pub(crate) total: u64,
    pub(crate) chunked: bool,
    pub(crate) hang_up: bool,
    pub(crate) silent: bool,
}

impl Agent {
    pub(crate) fn new(instance: u64, buffer: usize) -> Agent {
        let mut agent = Agent {
            instance,
            buffer,
            next: 1,
            kept: Vec::new(),
            last: Vec::new(),
            total: 0,
            chunked: false,
            hang_up: false,
            silent: false,
        };
        agent.tell(PARTS, "0");
        agent.tell(EXECUTION, "READY");
        agent
    }

    fn tell(&mut self, item: &'static str, value: &str) {
        let told = Kept { sequence: self.next, item, value: value.to_owned() };
        self.next += 1;
        self.last.retain(|it| it.item != item);
        self.last.push(told.clone());
        self.kept.push(told);
        let over = self.kept.len().saturating_sub(self.buffer);
        self.kept.drain(..over);
    }

    pub(crate) fn state(&mut self, word: &str) {
        self.tell(EXECUTION, word);
    }

    /// Makes parts, with other observations between them.
    pub(crate) fn make(&mut self, parts: u64) {
        for _ in 0..parts {
            self.total += 1;
            self.tell(LOAD, "17.5");
            self.tell(PARTS, &self.total.to_string());
        }
    }

    pub(crate) fn set_back(&mut self, total: u64) {
        self.total = total;
        self.tell(PARTS, &total.to_string());
    }

    /// A new run: another instance, numbers from 1, the counter as the machine has it.
    pub(crate) fn restart(&mut self, instance: u64, made_meanwhile: u64) {
        let (buffer, total) = (self.buffer, self.total + made_meanwhile);
        *self = Agent { chunked: self.chunked, ..Agent::new(instance, buffer) };
        self.kept.clear();
        self.last.clear();
        self.next = 1;
        self.total = total;
        self.tell(PARTS, &total.to_string());
        self.tell(EXECUTION, "ACTIVE");
    }

    fn first(&self) -> u64 {
        self.kept.first().map_or(self.next, |it| it.sequence)
    }

    pub(crate) fn probe(&self) -> String {
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
             <MTConnectDevices xmlns=\"urn:mtconnect.org:MTConnectDevices:1.4\">\
             <Header creationTime=\"{}\" sender=\"stand-in\" instanceId=\"{}\" \
             bufferSize=\"{}\" version=\"1.4.0.1\" assetBufferSize=\"1\" assetCount=\"0\"/>\
             <Devices><Device id=\"d\" name=\"lathe-1\" uuid=\"l-0001\"><Components>\
             <Controller id=\"c\"><Components><Path id=\"p\"><DataItems>\
             <DataItem category=\"EVENT\" id=\"{PARTS}\" type=\"PART_COUNT\" subType=\"ALL\"/>\
             <DataItem category=\"EVENT\" id=\"pb\" type=\"PART_COUNT\" subType=\"BAD\"/>\
             <DataItem category=\"EVENT\" id=\"{EXECUTION}\" type=\"EXECUTION\"/>\
             <DataItem category=\"SAMPLE\" id=\"{LOAD}\" type=\"LOAD\" units=\"PERCENT\"/>\
             </DataItems></Path></Components></Controller></Components></Device></Devices>\
             </MTConnectDevices>",
            stamp(self.next),
            self.instance,
            self.buffer
        )
    }

    fn streams(&self, told: &[Kept], next: u64) -> String {
        let (mut samples, mut events) = (String::new(), String::new());
        for it in told {
            let (element, subtype, to) = match it.item {
                PARTS => ("PartCount", " subType=\"ALL\"", &mut events),
                EXECUTION => ("Execution", "", &mut events),
                _ => ("Load", "", &mut samples),
            };
            let _ = write!(
                to,
                "<{element} dataItemId=\"{}\" sequence=\"{}\"{subtype} \
                 timestamp=\"{}\">{}</{element}>",
                it.item,
                it.sequence,
                stamp(it.sequence),
                it.value
            );
        }
        let list = |name: &str, inside: &str| match inside {
            "" => String::new(),
            _ => format!("<{name}>{inside}</{name}>"),
        };
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
             <MTConnectStreams xmlns=\"urn:mtconnect.org:MTConnectStreams:1.4\">\
             <Header creationTime=\"{}\" sender=\"stand-in\" instanceId=\"{}\" \
             bufferSize=\"{}\" version=\"1.4.0.1\" nextSequence=\"{next}\" firstSequence=\"{}\" \
             lastSequence=\"{}\"/><Streams><DeviceStream name=\"lathe-1\" uuid=\"l-0001\">\
             <ComponentStream component=\"Path\" componentId=\"p\" name=\"path\">{}{}\
             </ComponentStream></DeviceStream></Streams></MTConnectStreams>",
            stamp(self.next),
            self.instance,
            self.buffer,
            self.first(),
            self.next - 1,
            list("Samples", &samples),
            list("Events", &events),
        )
    }

    pub(crate) fn current(&self) -> String {
        self.streams(&self.last, self.next)
    }

    pub(crate) fn sample(&self, from: u64, count: usize) -> String {
        if from < self.first() || from > self.next {
            return self.error("OUT_OF_RANGE", "from is not in the buffer");
        }
        let told: Vec<Kept> =
            self.kept.iter().filter(|it| it.sequence >= from).take(count).cloned().collect();
        let next = told.last().map_or(self.next, |it| it.sequence + 1);
        self.streams(&told, next)
    }

    fn error(&self, code: &str, words: &str) -> String {
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
             <MTConnectError xmlns=\"urn:mtconnect.org:MTConnectError:1.4\">\
             <Header creationTime=\"{}\" sender=\"stand-in\" instanceId=\"{}\" \
             bufferSize=\"{}\" version=\"1.4.0.1\"/><Errors><Error errorCode=\"{code}\">{words}</Error>\
             </Errors></MTConnectError>",
            stamp(self.next),
            self.instance,
            self.buffer
        )
    }

    /// The answer to the end of an address.
    pub(crate) fn answer(&self, query: &str) -> String {
        let figure = |key: &str| {
            let (_, rest) = query.split_once(&format!("{key}="))?;
            rest.split('&').next()?.parse::<u64>().ok()
        };
        match query.split('?').next().unwrap_or_default() {
            "probe" => self.probe(),
            "current" => self.current(),
            "sample" => {
                let from = figure("from").unwrap_or(self.first());
                self.sample(from, figure("count").unwrap_or(100) as usize)
            }
            _ => self.error("INVALID_URI", "there is no such thing"),
        }
    }
}

/// Serves an agent on a port of its own, until the test ends.
pub(crate) fn serve(agent: Agent) -> (Arc<Mutex<Agent>>, String) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = format!("http://{}", listener.local_addr().unwrap());
    let shared = Arc::new(Mutex::new(agent));
    let served = Arc::clone(&shared);
    thread::spawn(move || {
        for stream in listener.incoming().flatten() {
            let _ = one(stream, &served);
        }
    });
    (shared, address)
}

fn one(mut stream: TcpStream, agent: &Mutex<Agent>) -> std::io::Result<()> {
    let mut request = Vec::new();
    let mut buffer = [0; 1024];
    while !request.windows(4).any(|it| it == b"\r\n\r\n") {
        match stream.read(&mut buffer)? {
            0 => return Ok(()),
            read => request.extend_from_slice(&buffer[..read]),
        }
    }
    let text = String::from_utf8_lossy(&request).into_owned();
    let query = text.split(' ').nth(1).unwrap_or_default().trim_start_matches('/').to_owned();
    let agent = agent.lock().unwrap();
    if agent.silent {
        drop(agent);
        thread::sleep(std::time::Duration::from_millis(600));
        return Ok(());
    }
    let body = agent.answer(&query);
    let head = "HTTP/1.1 200 OK\r\nContent-Type: text/xml\r\n";
    if agent.hang_up {
        let half = &body[..body.len() / 2];
        return write!(stream, "{head}Content-Length: {}\r\n\r\n{half}", body.len());
    }
    if agent.chunked {
        write!(stream, "{head}Transfer-Encoding: chunked\r\n\r\n")?;
        for part in body.as_bytes().chunks(97) {
            write!(stream, "{:x}\r\n", part.len())?;
            stream.write_all(part)?;
            stream.write_all(b"\r\n")?;
        }
        return stream.write_all(b"0\r\n\r\n");
    }
    write!(stream, "{head}Content-Length: {}\r\n\r\n{body}", body.len())
}
