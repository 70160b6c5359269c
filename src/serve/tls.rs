//! TLS by a certificate and a key that are given as files (PEM).

use crate::commands::Trouble;
use crate::term;
use jiff::Timestamp;
use std::path::Path;
use std::sync::Arc;
use tokio_rustls::rustls;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject as _;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer, pem};
use x509_parser::extensions::GeneralName;
use x509_parser::prelude::{FromDer as _, X509Certificate};

/// A certificate that can be used.
pub(super) struct Given {
    pub(super) config: Arc<ServerConfig>,
    /// The names and addresses that it is made out to.
    pub(super) names: Vec<String>,
    /// Until when it is good.
    pub(super) until: Timestamp,
    /// Whether others on this computer may read the key.
    pub(super) key_is_open: bool,
}

/// Reads certificate and key, and holds them against each other and the clock.
///
/// # Errors
/// Where a file cannot be read or used, the certificate is not good now, or the key is not its own.
pub(super) fn given(certificate: &Path, key: &Path, now: Timestamp) -> Result<Given, Trouble> {
    let chain: Vec<CertificateDer<'static>> = CertificateDer::pem_file_iter(certificate)
        .and_then(Iterator::collect)
        .map_err(|error| unreadable(certificate, &error, "certificate"))?;
    let shown = certificate.display();
    let Some(first) = chain.first() else {
        let message = format!("{shown} holds no certificate");
        return Err(Trouble::outside(message, PEM));
    };
    let Ok((_, own)) = X509Certificate::from_der(first) else {
        let message = format!("{shown} holds no certificate that can be read");
        return Err(Trouble::outside(message, "have it issued anew"));
    };
    let time = |at: i64| Timestamp::from_second(at).unwrap_or(Timestamp::MAX);
    let from = time(own.validity().not_before.timestamp());
    let until = time(own.validity().not_after.timestamp());
    if now < from {
        let message = format!("the certificate {shown} is good from {from} on only");
        return Err(Trouble::outside(
            message,
            "set the clock of this computer, or wait until then",
        ));
    }
    if now > until {
        let message = format!("the certificate {shown} was good until {until}");
        return Err(Trouble::outside(message, "have it renewed, and give the new files"));
    }
    let names = names(&own);
    let private = PrivateKeyDer::from_pem_file(key)
        .map_err(|error| unreadable(key, &error, "private key"))?;
    let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .and_then(|builder| builder.with_no_client_auth().with_single_cert(chain, private))
        .map_err(|error| refused(certificate, key, &error))?;
    Ok(Given { config: Arc::new(config), names, until, key_is_open: is_open(key) })
}

const PEM: &str = "give a PEM file: text with -----BEGIN … lines";

fn unreadable(path: &Path, error: &pem::Error, what: &str) -> Trouble {
    let shown = path.display();
    match error {
        pem::Error::Io(error) => Trouble::outside(
            format!("{shown} cannot be read: {}", term::reason(error)),
            format!("give the file with the {what}, which you may read"),
        ),
        _ => Trouble::outside(format!("{shown} holds no {what} that can be read"), PEM),
    }
}

fn refused(certificate: &Path, key: &Path, error: &rustls::Error) -> Trouble {
    match error {
        rustls::Error::InconsistentKeys(_) => Trouble::outside(
            format!("{} is not the key of {}", key.display(), certificate.display()),
            "give the two files that were made together; the server's own certificate comes first in its file",
        ),
        other => Trouble::outside(
            format!("{} cannot be used: {other}", certificate.display()),
            "have certificate and key made anew",
        ),
    }
}

fn names(certificate: &X509Certificate<'_>) -> Vec<String> {
    let Ok(Some(alternative)) = certificate.subject_alternative_name() else { return Vec::new() };
    let name = |name: &GeneralName<'_>| match name {
        GeneralName::DNSName(name) => Some((*name).to_ascii_lowercase()),
        GeneralName::IPAddress(bytes) => match bytes.len() {
            4 => <[u8; 4]>::try_from(*bytes).ok().map(|it| std::net::IpAddr::from(it).to_string()),
            _ => <[u8; 16]>::try_from(*bytes).ok().map(|it| std::net::IpAddr::from(it).to_string()),
        },
        _ => None,
    };
    alternative.value.general_names.iter().filter_map(name).collect()
}

/// Whether a name or address is one that the certificate is made out to; a star stands for one label.
pub(super) fn covers(names: &[String], name: &str) -> bool {
    let star = name.split_once('.').map(|(_, rest)| format!("*.{rest}"));
    names.iter().any(|one| one == name || Some(one) == star.as_ref())
}

#[cfg(unix)]
fn is_open(key: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt as _;
    std::fs::metadata(key).is_ok_and(|facts| facts.permissions().mode() & 0o077 != 0)
}

#[cfg(not(unix))]
const fn is_open(_: &Path) -> bool {
    false
}
