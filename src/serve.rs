//! The pages of a folder, served on this computer.
//!
//! **Invariant:** tokio and sockets stay in this module. What a page looks like is `view::pages`; what a
//! job comes to is the engine's.
//!
//! Read in this order: [`shelf`] (the folder, and nothing outside it), [`edit`] (one key of one file),
//! [`fields`] (what may be edited), [`lay`] (from texts to pieces of a page), [`desk`] (one open job:
//! changes, undo, conflicts), [`book`] (the shop's log), [`entry`] (from what was filled in to an event),
//! [`standing`] (the shop as its files stand), [`timetables`] (who goes where when), [`bars`] (where the bars of a job are now), [`stops`] (what to do after a
//! stop), [`begin`] (where it listens, and what is said of that), [`tls`], [`listen`] (connections), [`names`] (where a
//! request comes from, under which name), [`access`] (who is known), [`asker`] (who asks), [`guard`] (who may ask
//! what), [`ways`] (what each address does, and the role that it needs).

mod access;
mod asker;
mod bars;
mod begin;
mod book;
mod desk;
mod edit;
mod entry;
mod fields;
mod guard;
mod lay;
mod listen;
mod names;
mod shelf;
mod standing;
mod stops;
mod timetables;
mod tls;
pub mod ways;

use crate::commands::Trouble;
use crate::files::Disk;
use crate::term;
use access::Access;
use begin::Begun;
use book::Book;
use desk::Desk;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use listen::Open;
use model::files::Shop;
use shelf::Shelf;
use standing::Standing;
use std::collections::BTreeMap;
use std::fmt;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use stops::Stops;
use timetables::Timetables;
use tokio::net::TcpListener;
use tokio::sync::broadcast;
use tokio_rustls::TlsAcceptor;

/// The port where none is given.
pub const PORT: u16 = 7127;

/// How often it is looked whether a file was changed on the disk.
const LOOK: Duration = Duration::from_millis(700);

/// Where to listen, and for whom.
#[derive(Debug, Clone)]
pub struct Listening {
    /// The address; one that is not of this computer alone lets devices in that were paired.
    pub ip: IpAddr,
    /// The port; 0 for any.
    pub port: u16,
    /// Further names under which the pages are asked for.
    pub names: Vec<String>,
    /// Files with certificate and key (PEM).
    pub certificate: Option<(PathBuf, PathBuf)>,
    /// Whether devices may be served with nothing hidden from who listens on the network.
    pub plain: bool,
    /// The file of the devices that were let in; the usual one where it is left out.
    pub devices: Option<PathBuf>,
}

/// What the shop keeps beside its jobs, where it was named.
#[derive(Debug, Clone)]
pub struct Kept {
    /// The log.
    pub log: Option<PathBuf>,
    /// The shop's file.
    pub shop: Option<PathBuf>,
}

/// The log where none is named.
const LOG: &str = "shop.barlog";

/// A job was changed.
#[derive(Debug, Clone)]
struct Told {
    name: String,
    revision: u64,
}

/// Why there is no file of the shop.
#[derive(Debug, Clone, PartialEq, Eq)]
enum NoShop {
    /// None lies in the folder.
    None,
    /// Several do, by their paths from it.
    Several(Vec<String>),
}

impl fmt::Display for NoShop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoShop::None => f.write_str("the folder has no shop.toml"),
            NoShop::Several(paths) => {
                write!(
                    f,
                    "several shop.toml lie below the folder ({}): name one with --shop",
                    paths.join(", ")
                )
            }
        }
    }
}

/// Everything that requests share.
struct Shared {
    shelf: Shelf,
    book: Book,
    /// What a change on this computer must carry.
    token: String,
    stops: Stops,
    desks: Mutex<BTreeMap<String, Arc<Mutex<Desk>>>>,
    told: broadcast::Sender<Told>,
    timetables: Arc<Timetables>,
    access: Access,
    /// Further names under which the pages are asked for.
    names: Vec<String>,
    /// The beginning of the address for other devices; none where only this computer is listened to.
    reach: Option<String>,
    open: Open,
}

/// A lock that a panic elsewhere does not take away.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Shared {
    /// The desk of a job, opened if it was not; none where the folder has no such job.
    fn desk(&self, name: &str) -> Option<Arc<Mutex<Desk>>> {
        let mut desks = locked(&self.desks);
        if let Some(desk) = desks.get(name) {
            return Some(Arc::clone(desk));
        }
        let path = self.shelf.job(name)?;
        let desk = Arc::new(Mutex::new(Desk::open(&self.shelf, name, path)));
        desks.insert(name.to_owned(), Arc::clone(&desk));
        Some(desk)
    }

    /// Reads anew what was changed on the disk, and tells of it.
    fn look(&self) {
        self.access.look();
        let desks: Vec<_> = locked(&self.desks).values().cloned().collect();
        for desk in desks {
            let mut desk = locked(&desk);
            if desk.read_anew(&self.shelf) {
                self.tell(&desk);
            }
        }
        self.book.look();
        self.timetables.look(&self.shelf, &self.book, || self.shelf.shop());
    }

    /// The shop with what each of its lathes does, as files stand.
    fn standing(&self) -> Result<Standing, NoShop> {
        self.timetables.standing(&self.shelf, || self.shelf.shop())
    }

    /// The shop, as its file says; else why not, in words.
    fn shop(&self) -> Result<Shop, String> {
        let path = self.shelf.shop().map_err(|why| why.to_string())?;
        let source = Disk::text(&path)?;
        let read = Shop::read(&source);
        let first = read.diagnostics.first().map_or("", |one| one.message.as_str());
        read.value.ok_or_else(|| format!("{} cannot be used: {first}", source.name()))
    }

    /// Somebody unknown asks to be let in: whoever sits here is told, with codes only where nobody else reads
    /// along later.
    fn knocked(&self, from: IpAddr) {
        let Some(codes) = self.access.codes_for_a_knock() else { return };
        let on_terminal = std::io::IsTerminal::is_terminal(&std::io::stdout());
        let until = Timestamp::now() + access::codes::GOOD_FOR;
        let until = TimeZone::system().to_datetime(until).strftime("%H:%M").to_string();
        // A terminal that has gone away is no trouble.
        let _ = announce(&begin::knock(from, on_terminal.then_some(&codes[..]), &until));
    }

    fn tell(&self, desk: &Desk) {
        // Nobody listening is no trouble.
        let _ = self.told.send(Told { name: desk.name.clone(), revision: desk.revision });
    }
}

/// Serves a folder, or the folder of a job, until the process is told to end.
///
/// # Errors
/// Where the folder cannot be read, the port is taken, the certificate cannot be used, or devices would be served
/// in the open without that being said.
pub fn run(at: &Path, kept: Kept, listening: &Listening) -> Result<(), Trouble> {
    let (shelf, opens) = Shelf::of(at)?;
    let begun = begin::begun(listening, &shelf)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(64)
        .enable_all()
        .build()
        .map_err(|error| {
            Trouble::outside(format!("no server can be started: {}", term::reason(&error)), "")
        })?;
    runtime.block_on(serve(shelf, opens, kept, begun, listening))
}

async fn serve(
    shelf: Shelf,
    opens: Option<String>,
    kept: Kept,
    begun: Begun,
    listening: &Listening,
) -> Result<(), Trouble> {
    let Begun { sockets, tls, access, words, reach } = begun;
    let shelf = shelf.with_shop(kept.shop);
    let shared = Arc::new(Shared {
        book: Book::at(kept.log.unwrap_or_else(|| shelf.root().join(LOG))),
        shelf,
        token: access::token(&access::secret()?),
        stops: Stops::default(),
        desks: Mutex::default(),
        told: broadcast::channel(64).0,
        timetables: Arc::default(),
        access,
        names: listening.names.clone(),
        reach,
        open: Open::default(),
    });
    let way =
        opens.map(|job| format!("job/{}", view::pages::frame::address(&job))).unwrap_or_default();
    announce(&words.replace("{way}", &way))?;
    tokio::spawn(look_again_and_again(Arc::clone(&shared)));
    let router = ways::router(&shared);
    for socket in sockets {
        let listener = TcpListener::from_std(socket).map_err(|error| {
            Trouble::outside(format!("no server can be started: {}", term::reason(&error)), "")
        })?;
        let tls = tls.as_ref().map(|config| TlsAcceptor::from(Arc::clone(config)));
        tokio::spawn(listen::listen(listener, Arc::clone(&shared), tls, router.clone()));
    }
    // Where the signal cannot be waited for, the process is ended by its own.
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
    std::process::exit(0);
}

async fn look_again_and_again(shared: Arc<Shared>) {
    loop {
        tokio::time::sleep(LOOK).await;
        let shared = Arc::clone(&shared);
        // A look that failed is made up for by the next one.
        let _ = tokio::task::spawn_blocking(move || shared.look()).await;
    }
}

fn announce(words: &str) -> Result<(), Trouble> {
    use std::io::Write as _;
    let mut out = std::io::stdout().lock();
    let words = match terminal_size::terminal_size_of(&out) {
        Some((width, _)) => term::fitted(words, usize::from(width.0)),
        None => words.to_owned(),
    };
    let written = out.write_all(words.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(Trouble::outside(
            format!("the address cannot be written: {}", term::reason(&error)),
            "",
        )),
        _ => Ok(()),
    }
}
