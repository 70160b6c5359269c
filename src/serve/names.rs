//! Where a request came from, and under which names these pages may be asked for.

use axum::http::{HeaderMap, header};
use std::net::{IpAddr, SocketAddr};

/// A connection, as the sockets know it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    /// Who is at the other end.
    pub(super) from: IpAddr,
    /// The address of this computer that it came to.
    pub(super) to: SocketAddr,
    /// Whether nobody can read along.
    pub(super) tls: bool,
}

/// Heads that a program adds which passes requests on: what comes from it may come from anywhere.
const PASSED_ON: [&str; 5] =
    ["forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via"];

impl Line {
    /// The beginning of an address here.
    pub(super) const fn scheme(&self) -> &'static str {
        if self.tls { "https" } else { "http" }
    }

    /// Whether a request is of this very computer, by one of its own names, and not passed on for another.
    pub(super) fn is_of_this_computer(&self, headers: &HeaderMap) -> bool {
        let own = host(headers).and_then(|host| self.named(host)).is_some_and(is_own_name);
        let passed_on = PASSED_ON.iter().any(|name| headers.contains_key(*name));
        self.from.is_loopback() && self.to.ip().is_loopback() && own && !passed_on
    }

    /// Whether the pages may be asked for by this name: an address that the connection came to, a name of this
    /// computer for itself, or a name that was given. Any other leads here by somebody else's doing, and must not
    /// open the pages to their scripts.
    pub(super) fn admits(&self, names: &[String], headers: &HeaderMap) -> bool {
        let Some(name) = host(headers).and_then(|host| self.named(host)) else { return false };
        let address = name.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>();
        let own = self.to.ip().is_loopback() && is_own_name(name);
        let come_to = address.is_ok_and(|address| address == self.to.ip());
        come_to || own || names.iter().any(|one| one.eq_ignore_ascii_case(name))
    }

    /// The name in a `Host`, where its port is the one that the connection came to.
    fn named<'h>(&self, host: &'h str) -> Option<&'h str> {
        let usual = if self.tls { 443 } else { 80 };
        match host.rsplit_once(':').filter(|(_, port)| !port.contains(']')) {
            Some((name, port)) => (port.parse() == Ok(self.to.port())
                && port.bytes().all(|byte| byte.is_ascii_digit()))
            .then_some(name),
            None => (self.to.port() == usual).then_some(host),
        }
    }
}

/// The one `Host` of a request.
pub(super) fn host(headers: &HeaderMap) -> Option<&str> {
    let mut all = headers.get_all(header::HOST).iter();
    let first = all.next()?.to_str().ok()?;
    all.next().is_none().then_some(first)
}

fn is_own_name(name: &str) -> bool {
    let address = name.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>();
    name.eq_ignore_ascii_case("localhost") || address.is_ok_and(|address| address.is_loopback())
}

/// Whether a text can be the name of a host, as a person gives it.
pub(super) fn is_name(text: &str) -> bool {
    let letter = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '.' | '_');
    !text.is_empty()
        && text.len() <= 253
        && (text.chars().all(letter)
            || text.trim_matches(['[', ']']).parse::<std::net::Ipv6Addr>().is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn heads(lines: &[(&'static str, &'static str)]) -> HeaderMap {
        let line = |(name, value): &(&'static str, &'static str)| {
            (axum::http::HeaderName::from_static(name), HeaderValue::from_static(value))
        };
        let mut headers = HeaderMap::new();
        for (name, value) in lines.iter().map(line) {
            headers.append(name, value);
        }
        headers
    }

    fn line(from: &str, to: &str, tls: bool) -> Line {
        Line { from: from.parse().unwrap(), to: to.parse().unwrap(), tls }
    }

    #[test]
    fn only_names_that_lead_here_are_admitted() {
        let names = ["shop.local".to_owned()];
        let plain = line("192.0.2.9", "192.0.2.2:7127", false);
        let admits = |host: &'static str| plain.admits(&names, &heads(&[("host", host)]));
        for good in ["192.0.2.2:7127", "shop.local:7127", "Shop.Local:7127"] {
            assert!(admits(good), "{good}");
        }
        for bad in [
            "",
            "192.0.2.2",
            "192.0.2.3:7127",
            "localhost:7127",
            "127.0.0.1:7127",
            "shop.local",
            "shop.local:80",
            "shop.local:+7127",
            "shop.local.:7127",
            "evil.example:7127",
            "shop.local:7127.evil.example",
            "192.0.2.2.evil.example:7127",
            "192.0.2.2:7127:7127",
            "a@192.0.2.2:7127",
        ] {
            assert!(!admits(bad), "{bad}");
        }
        assert!(!plain.admits(&names, &heads(&[])));
        let two = [("host", "192.0.2.2:7127"), ("host", "192.0.2.2:7127")];
        assert!(!plain.admits(&names, &heads(&two)));
        let six = line("fd00::9", "[fd00::2]:7127", false);
        assert!(six.admits(&names, &heads(&[("host", "[fd00::2]:7127")])));
        assert!(!six.admits(&names, &heads(&[("host", "[fd00::3]:7127")])));
        let usual = line("192.0.2.9", "192.0.2.2:443", true);
        assert!(usual.admits(&names, &heads(&[("host", "shop.local")])));
    }

    #[test]
    fn this_computer_is_who_comes_from_it_to_it_by_its_own_name_and_for_nobody_else() {
        let own = line("127.0.0.1", "127.0.0.1:7127", false);
        let host = ("host", "localhost:7127");
        assert!(own.is_of_this_computer(&heads(&[host])));
        assert!(own.is_of_this_computer(&heads(&[("host", "127.0.0.1:7127")])));
        assert!(!own.is_of_this_computer(&heads(&[("host", "shop.local:7127")])));
        for name in PASSED_ON {
            assert!(!own.is_of_this_computer(&heads(&[host, (name, "x")])), "{name}");
        }
        let other = line("192.0.2.9", "192.0.2.2:7127", false);
        assert!(!other.is_of_this_computer(&heads(&[host])));
        let crossed = line("192.0.2.9", "127.0.0.1:7127", false);
        assert!(!crossed.is_of_this_computer(&heads(&[host])));
    }

    #[test]
    fn a_name_is_a_name() {
        for good in ["shop.local", "shop", "192.168.1.20", "fd00::2", "[fd00::2]"] {
            assert!(is_name(good), "{good}");
        }
        for bad in ["", "http://shop.local", "shop local", "shop:80", "a/b", "*"] {
            assert!(!is_name(bad), "{bad}");
        }
    }
}
