//! `barwright serve [DIR|JOB]`.

use super::{Ended, Outcome, Trouble};
use crate::serve::{self, Address, Kept};
use clap::Args;
use std::net::IpAddr;
use std::path::PathBuf;

/// Show the jobs of a folder as pages in a browser, to see, change and prove them.
///
/// The pages are on this computer only (127.0.0.1). What is changed on a page is written into the
/// files of the job at once, comments and order kept; nothing outside the folder is read or written, but for the
/// shop's log and the shop's file where they are named.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright serve demo\n  \
        barwright serve demo/detent-pin/detent-pin.job.toml --port 8123")]
pub(super) struct Serve {
    /// A folder with jobs, or one job file; left out, the present folder.
    #[arg(value_name = "DIR|JOB", default_value = ".")]
    at: PathBuf,
    /// The port; 0 takes any that is free.
    #[arg(long, value_name = "NUMBER", default_value_t = serve::PORT)]
    port: u16,
    /// The address to listen on. Only those of this computer itself are taken, such as `127.0.0.1` or `::1`.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1")]
    address: IpAddr,
    /// The shop's log; left out, `shop.barlog` in the folder.
    #[arg(long, value_name = "FILE", env = "BARWRIGHT_LOG", hide_env_values = true)]
    log: Option<PathBuf>,
    /// The shop's file; left out, `shop.toml` in the folder, else the only one below it that has lathes.
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,
}

impl Serve {
    pub(super) fn run(self) -> Ended {
        if !self.address.is_loopback() {
            return Err(Trouble::outside(
                format!(
                    "{} would show the pages to other devices, which this version cannot tell apart",
                    self.address
                ),
                "leave --address out: the pages are then on this computer only",
            ));
        }
        let kept = Kept { log: self.log, shop: self.shop };
        serve::run(&self.at, kept, Address { ip: self.address, port: self.port })?;
        Ok(Outcome::Fine)
    }
}
