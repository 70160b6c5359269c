//! Connections: how many, how slow they may be, and with TLS or without.

use super::names::Line;
use super::{Shared, locked};
use axum::Router;
use axum::body::Body;
use axum::http::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::time::timeout;
use tokio_io_timeout::TimeoutWriter;
use tokio_rustls::TlsAcceptor;
use tower_service::Service as _;

/// Connections from elsewhere at once, of all and of one address.
const MOST: usize = 256;
const MOST_OF_ONE: usize = 32;
/// How long a handshake, the head of a request, or the wait for the next one may take.
const HEAD: Duration = Duration::from_secs(15);
/// How long somebody may take no byte of an answer.
const STILL: Duration = Duration::from_secs(30);
/// Lines of a head, and bytes of it, at most.
const LINES: usize = 64;
const BYTES: usize = 32 * 1024;
/// The first byte of a TLS handshake (RFC 8446, 5.1).
const HANDSHAKE: u8 = 0x16;

/// Connections from elsewhere that are open.
pub(super) type Open = Arc<Mutex<BTreeMap<IpAddr, usize>>>;

/// One of them; it gives its place free when it ends.
struct Place(Open, IpAddr);

impl Place {
    /// A place for a connection; none where too many are taken.
    fn take(open: &Open, from: IpAddr) -> Option<Place> {
        let mut taken = locked(open);
        let of_all: usize = taken.values().sum();
        let of_one = taken.get(&from).copied().unwrap_or_default();
        // Who sits at this computer is not kept away by others.
        if !from.is_loopback() && (of_all >= MOST || of_one >= MOST_OF_ONE) {
            return None;
        }
        if !from.is_loopback() {
            taken.insert(from, of_one + 1);
        }
        Some(Place(Arc::clone(open), from))
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut taken = locked(&self.0);
        if let Some(count) = taken.get_mut(&self.1) {
            *count -= 1;
            if *count == 0 {
                taken.remove(&self.1);
            }
        }
    }
}

/// Takes connections as long as the program runs.
pub(super) async fn listen(
    listener: TcpListener,
    shared: Arc<Shared>,
    tls: Option<TlsAcceptor>,
    router: Router,
) {
    loop {
        let Ok((stream, from)) = listener.accept().await else {
            // No file is left to open: others must end first.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let from = from.ip().to_canonical();
        let Some(place) = Place::take(&shared.open, from) else { continue };
        let Ok(to) = stream.local_addr() else { continue };
        // An answer's last bytes wait for no receipt of those before.
        let _ = stream.set_nodelay(true);
        let to = std::net::SocketAddr::new(to.ip().to_canonical(), to.port());
        let (tls, router) = (tls.clone(), router.clone());
        tokio::spawn(async move {
            let _place = place;
            let line = Line { from, to, tls: false };
            talk(stream, line, tls, router).await;
        });
    }
}

async fn talk(stream: TcpStream, line: Line, tls: Option<TlsAcceptor>, router: Router) {
    let Some(tls) = tls else { return answer(stream, line, router).await };
    let mut first = [0];
    let Ok(Ok(1)) = timeout(HEAD, stream.peek(&mut first)).await else { return };
    if first[0] == HANDSHAKE {
        if let Ok(Ok(stream)) = timeout(HEAD, tls.accept(stream)).await {
            answer(stream, Line { tls: true, ..line }, router).await;
        }
    } else if line.from.is_loopback() {
        // Nobody reads along inside this computer.
        answer(stream, line, router).await;
    } else {
        let words = "These pages are at https://, not at http://.\n";
        let head = "HTTP/1.1 426 Upgrade Required\r\nUpgrade: TLS/1.3\r\nConnection: close, Upgrade\r\nContent-Type: text/plain; charset=utf-8";
        let told = format!("{head}\r\nContent-Length: {}\r\n\r\n{words}", words.len());
        // Nothing of what was sent is read: it stood in the open.
        let _ = stream.writable().await;
        let _ = stream.try_write(told.as_bytes());
    }
}

async fn answer<S>(stream: S, line: Line, router: Router)
where
    S: tokio::io::AsyncRead + tokio::io::AsyncWrite + Send + Unpin + 'static,
{
    let mut stream = TimeoutWriter::new(stream);
    stream.set_timeout(Some(STILL));
    let service = service_fn(move |mut request: Request<Incoming>| {
        request.extensions_mut().insert(line);
        router.clone().call(request.map(Body::new))
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_headers(LINES)
        .max_buf_size(BYTES)
        .serve_connection(TokioIo::new(Box::pin(stream)), service);
    // Whoever hangs up in the middle is no trouble of ours.
    let _ = connection.await;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Asks for a long answer in this many pieces and takes nothing of it; how long the server stays with that.
    fn seconds_with(heads: &[&str]) -> u64 {
        let long = async || "x".repeat(1 << 20);
        let router = Router::new().route("/", axum::routing::get(long));
        // Where all wait for the clock, it goes on by itself.
        let mut runtime = tokio::runtime::Builder::new_current_thread();
        let runtime = runtime.enable_time().start_paused(true).build().unwrap();
        runtime.block_on(async {
            let (mut theirs, ours) = tokio::io::duplex(4096);
            for head in heads {
                tokio::io::AsyncWriteExt::write_all(&mut theirs, head.as_bytes()).await.unwrap();
            }
            let to = "127.0.0.1:7127".parse().unwrap();
            let line = Line { from: "192.0.2.7".parse().unwrap(), to, tls: false };
            let begin = tokio::time::Instant::now();
            let hour = Duration::from_hours(1);
            timeout(hour, answer(ours, line, router)).await.expect("it is left within an hour");
            begin.elapsed().as_secs()
        })
    }

    #[test]
    fn who_takes_nothing_of_an_answer_or_says_half_of_a_head_is_left() {
        let whole = ["GET / HTTP/1.1\r\nHost: x\r\n\r\n"];
        assert_eq!(seconds_with(&whole), STILL.as_secs());
        assert_eq!(seconds_with(&["GET / HTTP/1.1\r\n", "Host: x"]), HEAD.as_secs());
        assert_eq!(seconds_with(&[]), HEAD.as_secs());
    }

    #[test]
    fn one_address_and_all_together_hold_so_many_connections_and_this_computer_any() {
        let open = Open::default();
        let from = |last: u8| IpAddr::from([192, 0, 2, last]);
        let mut held: Vec<Place> =
            (0..MOST_OF_ONE).filter_map(|_| Place::take(&open, from(1))).collect();
        assert_eq!(held.len(), MOST_OF_ONE);
        assert!(Place::take(&open, from(1)).is_none());
        assert!(Place::take(&open, from(2)).is_some(), "others come in");
        held.pop();
        held.extend(Place::take(&open, from(1)));
        assert_eq!(held.len(), MOST_OF_ONE, "a place that is free is taken again");
        for last in 2..100 {
            held.extend(Place::take(&open, from(last)));
            held.extend((1..5).filter_map(|_| Place::take(&open, from(last))));
        }
        assert_eq!(held.len(), MOST);
        assert!(Place::take(&open, from(200)).is_none());
        let own: Vec<_> =
            (0..300).filter_map(|_| Place::take(&open, [127, 0, 0, 1].into())).collect();
        assert_eq!(own.len(), 300);
        drop(held);
        assert!(locked(&open).is_empty(), "nothing is remembered of who is gone");
    }
}
