//! `barwright serve [DIR|JOB]`.

use super::{Ended, Outcome};
use crate::serve::{self, Kept, Listening};
use clap::Args;
use std::net::IpAddr;
use std::path::PathBuf;

/// Show the jobs of a folder as pages in a browser, to see, change and prove them.
///
/// The pages are on this computer only (127.0.0.1) unless another --address is given: a device that comes by it
/// is let in with a code that stands on the page /devices, to look, to record or to change. What is changed
/// on a page is written into the files of the job at once, comments and order kept; nothing outside the
/// folder is read or written, but for the list of devices that were let in, and for the shop's log and the shop's file
/// where they are named.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright serve demo\n  \
        barwright serve demo/detent-pin/detent-pin.job.toml --port 8123\n  \
        barwright serve shop --address 192.168.1.20 --name shop.local --certificate shop.pem --key shop-key.pem")]
pub(super) struct Serve {
    /// A folder with jobs, or one job file; left out, the present folder.
    #[arg(value_name = "DIR|JOB", default_value = ".")]
    at: PathBuf,
    /// The port; 0 takes any that is free.
    #[arg(long, value_name = "NUMBER", default_value_t = serve::PORT)]
    port: u16,
    /// The address to listen on; 0.0.0.0 takes all of this computer. One that others reach needs --certificate or
    /// --plain.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1")]
    address: IpAddr,
    /// A further name under which browsers ask for the pages; may be given several times.
    #[arg(long, value_name = "HOST")]
    name: Vec<String>,
    /// The certificate for TLS (PEM), its own first, then those that vouch for it.
    #[arg(long, value_name = "FILE", requires = "key", conflicts_with = "plain")]
    certificate: Option<PathBuf>,
    /// The certificate's private key (PEM).
    #[arg(long, value_name = "FILE", requires = "certificate")]
    key: Option<PathBuf>,
    /// Serve other devices without TLS: anyone on the network can read along.
    #[arg(long)]
    plain: bool,
    /// The file of the devices that were let in; left out, one in the user's own folder for each served folder.
    #[arg(long, value_name = "FILE")]
    devices: Option<PathBuf>,
    /// The shop's log; left out, `shop.barlog` in the folder.
    #[arg(long, value_name = "FILE", env = "BARWRIGHT_LOG", hide_env_values = true)]
    log: Option<PathBuf>,
    /// The shop's file; left out, `shop.toml` in the folder, else the only one below it that has lathes.
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,
}

impl Serve {
    pub(super) fn run(self) -> Ended {
        let listening = Listening {
            ip: self.address,
            port: self.port,
            names: self.name,
            certificate: self.certificate.zip(self.key),
            plain: self.plain,
            devices: self.devices,
        };
        let kept = Kept { log: self.log, shop: self.shop };
        serve::run(&self.at, kept, &listening)?;
        Ok(Outcome::Fine)
    }
}
