//! What is looked at before anybody is served, and what is said about it.

use super::access::Access;
use super::access::devices::usual_place;
use super::shelf::Shelf;
use super::tls::{self, covers};
use super::{Listening, names};
use crate::commands::Trouble;
use crate::term;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener, UdpSocket};
use std::sync::Arc;
use tokio_rustls::rustls::ServerConfig;
use view::pages::Role;

/// Everything that a server needs from outside.
pub(super) struct Begun {
    /// Sockets that listen already, the one of this computer first.
    pub(super) sockets: Vec<TcpListener>,
    pub(super) tls: Option<Arc<ServerConfig>>,
    pub(super) access: Access,
    /// What is said at the start; `{way}` stands for the page that is opened.
    pub(super) words: String,
    /// The beginning of the address for other devices.
    pub(super) reach: Option<String>,
}

/// Holds against each other what is asked for, and takes the ports.
pub(super) fn begun(listening: &Listening, shelf: &Shelf) -> Result<Begun, Trouble> {
    let beyond = !listening.ip.is_loopback();
    if beyond && listening.certificate.is_none() && !listening.plain {
        return Err(Trouble::outside(
            format!(
                "{} would be served in the open: anyone on the network could read along",
                listening.ip
            ),
            "give --certificate and --key for TLS, or --plain to do it all the same on a network that you trust",
        ));
    }
    if let Some(name) = listening.names.iter().find(|name| !names::is_name(name)) {
        let message = format!("`{name}` is no name of a host");
        return Err(Trouble::outside(message, "give it alone, such as --name shop.local"));
    }
    let now = Timestamp::now();
    let given = match &listening.certificate {
        Some((certificate, key)) => Some(tls::given(certificate, key, now)?),
        None => None,
    };
    let place = match &listening.devices {
        Some(place) => place.clone(),
        None => usual_place(shelf.root()).ok_or_else(|| {
            let message = "no folder is known for what a user's programs keep";
            Trouble::outside(message, "give --devices FILE")
        })?,
    };
    let access = Access::open(&place)?;
    let sockets = sockets(listening)?;
    let at = address(&sockets[0])?;
    let here = SocketAddr::new(own(at.ip()), at.port());
    let reach = beyond.then(|| reach(listening, at.port(), given.as_ref()));
    let mut words = format!("The pages are at http://{here}/{{way}} on this computer");
    match &reach {
        None => words.push_str(" only. Ctrl-C ends it.\n"),
        Some(reach) => {
            words.push_str(&format!(
                ". Ctrl-C ends it.\n\
                 Devices that were let in open {reach}/\n\
                 To let one in, open http://{here}/devices here.\n\
                 Those let in stand in {}\n",
                place.display()
            ));
            words.push_str(&hidden(listening, given.as_ref()));
        }
    }
    Ok(Begun { sockets, tls: given.map(|given| given.config), access, words, reach })
}

/// What is said about who can read along.
fn hidden(listening: &Listening, given: Option<&tls::Given>) -> String {
    let Some(given) = given else {
        return "CAUTION: there is no TLS. Anyone on the network can read along, codes and \
                secrets of devices too, and act as them.\n"
            .to_owned();
    };
    let until = TimeZone::system().to_datetime(given.until).strftime("%Y-%m-%d");
    let for_whom =
        if given.names.is_empty() { "no name".to_owned() } else { given.names.join(", ") };
    let mut words = format!("TLS with a certificate for {for_whom}, good until {until}.\n");
    let asked = || listening.names.iter().cloned().chain([listening.ip.to_string()]);
    for name in listening.names.iter().filter(|name| !covers(&given.names, name)) {
        words.push_str(&format!(
            "CAUTION: the certificate is not for {name}: browsers will warn.\n"
        ));
    }
    if !asked().any(|name| covers(&given.names, &name)) && listening.names.is_empty() {
        words.push_str(
            "CAUTION: give --name with a name of the certificate, and open the pages under it: under others browsers will warn.\n",
        );
    }
    if given.key_is_open {
        words.push_str(
            "CAUTION: other users of this computer can read the key: take that right away.\n",
        );
    }
    words
}

/// The sockets to listen on: this computer's own always, so that whoever sits here needs nothing.
fn sockets(listening: &Listening) -> Result<Vec<TcpListener>, Trouble> {
    let bound = |at: SocketAddr| {
        let socket = TcpListener::bind(at)?;
        socket.set_nonblocking(true)?;
        Ok(socket)
    };
    let taken = |at: SocketAddr, error: &std::io::Error| {
        Trouble::outside(
            format!("{at} cannot be listened on: {}", term::reason(error)),
            "another program may be there: give another --port, or --port 0 for any that is free",
        )
    };
    let asked = SocketAddr::new(listening.ip, listening.port);
    if listening.ip.is_loopback() || listening.ip.is_unspecified() {
        return Ok(vec![bound(asked).map_err(|error| taken(asked, &error))?]);
    }
    let here = SocketAddr::new(own(listening.ip), listening.port);
    let first = bound(here).map_err(|error| taken(here, &error))?;
    let beyond = SocketAddr::new(listening.ip, address(&first)?.port());
    let second = bound(beyond).map_err(|error| taken(beyond, &error))?;
    Ok(vec![first, second])
}

fn address(socket: &TcpListener) -> Result<SocketAddr, Trouble> {
    socket.local_addr().map_err(|error| {
        Trouble::outside(format!("no server can be started: {}", term::reason(&error)), "")
    })
}

/// The address under which this computer reaches itself.
const fn own(ip: IpAddr) -> IpAddr {
    if ip.is_loopback() { ip } else { IpAddr::V4(Ipv4Addr::LOCALHOST) }
}

/// The beginning of the address for other devices: a name that the certificate is for, else the first name given,
/// else the address that leads out of this computer.
fn reach(listening: &Listening, port: u16, given: Option<&tls::Given>) -> String {
    let covered =
        listening.names.iter().find(|name| given.is_some_and(|given| covers(&given.names, name)));
    let host = covered.or(listening.names.first()).cloned().unwrap_or_else(|| {
        match if listening.ip.is_unspecified() { outward(listening.ip) } else { listening.ip } {
            IpAddr::V6(ip) => format!("[{ip}]"),
            IpAddr::V4(ip) => ip.to_string(),
        }
    });
    let scheme = if given.is_some() { "https" } else { "http" };
    format!("{scheme}://{host}:{port}")
}

/// The address with which this computer would speak to the world; nothing is sent for that.
fn outward(any: IpAddr) -> IpAddr {
    let toward = |any: IpAddr, out: &str| {
        let socket = UdpSocket::bind(SocketAddr::new(any, 0)).ok()?;
        socket.connect(out).ok()?;
        socket.local_addr().ok().map(|at| at.ip())
    };
    // Addresses for documentation (RFC 5737, RFC 3849).
    let four = toward(IpAddr::V4(Ipv4Addr::UNSPECIFIED), "198.51.100.1:9");
    four.or_else(|| toward(any, "[2001:db8::1]:9")).unwrap_or(any)
}

/// What is said when somebody unknown asks to be let in; `until` is when the codes end, as a clock shows it.
pub(super) fn knock(from: IpAddr, codes: Option<&[(Role, String)]>, until: &str) -> String {
    let Some(codes) = codes else {
        return format!("A device at {from} asks to be let in: the page /devices makes a code.\n");
    };
    let mut words = format!(
        "\nA device at {from} asks to be let in. Do nothing if you do not know it.\n\
         Else choose what it may do, and type that code on it by {until}. Only one of them can be used:\n"
    );
    for (role, letters) in codes {
        let (first, second) = letters.split_at(letters.len() / 2);
        words.push_str(&format!("  {first}-{second}  {:<6}  {}\n", role.word(), role.meaning()));
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_told_to_a_terminal_only() {
        let codes = [(Role::Look, "ABCD1234".to_owned()), (Role::Change, "EFGH5678".to_owned())];
        let from = "192.0.2.7".parse().unwrap();
        let told = knock(from, Some(&codes), "14:05");
        assert!(told.contains("ABCD-1234  look") && told.contains("EFGH-5678  change"), "{told}");
        assert!(told.contains("by 14:05"), "{told}");
        let kept = knock(from, None, "14:05");
        assert!(kept.contains("192.0.2.7") && !kept.contains("ABCD"), "{kept}");
    }
}
