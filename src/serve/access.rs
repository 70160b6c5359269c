//! Which devices may ask, and how another one is let in.
//!
//! Read in this order: [`devices`] (who is known, on the disk), [`codes`] (how one becomes known), [`pace`] (how
//! often one may ask or try).

pub(super) mod codes;
pub(super) mod devices;
pub(super) mod pace;

use super::locked;
use crate::commands::Trouble;
use codes::Codes;
use devices::{Device, Devices};
use jiff::Timestamp;
use pace::{Pace, of_address};
use sha2::{Digest as _, Sha256};
use std::net::IpAddr;
use std::path::Path;
use std::sync::Mutex;
use std::time::Instant;
use subtle::ConstantTimeEq as _;
use tokio::sync::watch;
use view::pages::Role;

/// Everything that decides who may ask.
pub(super) struct Access {
    devices: Mutex<Devices>,
    codes: Mutex<Codes>,
    paces: Mutex<Paces>,
    /// Counts every change of the devices, so that open streams look whether they may go on.
    changed: watch::Sender<u64>,
}

/// How often one may ask, and try a code.
struct Paces {
    /// Requests of a known device.
    known: Pace<String>,
    /// Requests of an address that is not known.
    unknown: Pace<IpAddr>,
    /// Codes tried from one address.
    tries: Pace<IpAddr>,
    /// Codes tried by all together.
    all_tries: Pace<()>,
    /// Strangers told of on the terminal.
    knocks: Pace<()>,
}

/// What became of a code that was tried.
pub(super) enum Tried {
    /// It was good: the secret that the device is to hold.
    LetIn(String),
    /// It is not one that is good now.
    Wrong,
    /// Too many were tried.
    TooOften,
    /// It was good, and what is known now cannot be written.
    NotKept(Trouble),
}

impl Access {
    /// Reads who is known.
    pub(super) fn open(path: &Path) -> Result<Access, Trouble> {
        let paces = Paces {
            known: Pace::new(300.0, 40.0),
            unknown: Pace::new(60.0, 4.0),
            tries: Pace::new(5.0, 1.0 / 60.0),
            all_tries: Pace::new(30.0, 1.0 / 10.0),
            knocks: Pace::new(3.0, 1.0 / 100.0),
        };
        Ok(Access {
            devices: Mutex::new(Devices::open(path)?),
            codes: Mutex::default(),
            paces: Mutex::new(paces),
            changed: watch::channel(0).0,
        })
    }

    /// The device that holds a secret; noted as seen.
    pub(super) fn known(&self, secret: &str) -> Option<Device> {
        locked(&self.devices).holder(secret, Timestamp::now())
    }

    /// The role of a device as it is now; none where it is not known any more.
    pub(super) fn role(&self, id: &str) -> Option<Role> {
        locked(&self.devices).all().iter().find(|device| device.id == id).map(|device| device.role)
    }

    /// Every device, the one seen last first.
    pub(super) fn all(&self) -> Vec<Device> {
        let mut all = locked(&self.devices).all().to_vec();
        all.sort_by_key(|device| std::cmp::Reverse(device.seen));
        all
    }

    /// Whether a known device may ask once more now.
    pub(super) fn known_may_ask(&self, id: &str) -> bool {
        locked(&self.paces).known.take(&id.to_owned(), Instant::now())
    }

    /// Whether somebody unknown at this address may ask once more now.
    pub(super) fn unknown_may_ask(&self, address: IpAddr) -> bool {
        locked(&self.paces).unknown.take(&of_address(address), Instant::now())
    }

    /// A new code for a role.
    pub(super) fn code(&self, role: Role) -> Result<String, Trouble> {
        locked(&self.codes).make(&[role], Instant::now()).map(|mut codes| codes.remove(0))
    }

    /// Codes for somebody unknown who asks to be let in, one for each role, of which one can be used; none where
    /// that was told often enough of late.
    pub(super) fn codes_for_a_knock(&self) -> Option<Vec<(Role, String)>> {
        let now = Instant::now();
        if !locked(&self.paces).knocks.take(&(), now) {
            return None;
        }
        let made = locked(&self.codes).make(&Role::ALL, now).ok()?;
        Some(Role::ALL.into_iter().zip(made).collect())
    }

    /// Codes that were made one by one and are good now, each with its role and the seconds left.
    pub(super) fn codes_out(&self) -> Vec<(String, Role, u64)> {
        locked(&self.codes).out(Instant::now())
    }

    /// Tries a code for a device of this name.
    pub(super) fn try_code(&self, address: IpAddr, typed: &str, name: &str) -> Tried {
        let now = Instant::now();
        {
            let mut paces = locked(&self.paces);
            if !paces.tries.take(&of_address(address), now) || !paces.all_tries.take(&(), now) {
                return Tried::TooOften;
            }
        }
        let Some(role) = locked(&self.codes).used(typed, now) else { return Tried::Wrong };
        match locked(&self.devices).let_in(name, role, Timestamp::now()) {
            Ok(secret) => Tried::LetIn(secret),
            Err(trouble) => Tried::NotKept(trouble),
        }
    }

    /// Changes a device; none for `change` shuts it out. At once, for what is open too.
    pub(super) fn change(&self, id: &str, change: Option<(&str, Role)>) -> Result<bool, Trouble> {
        let changed = locked(&self.devices).change(id, change)?;
        self.told();
        Ok(changed)
    }

    /// Takes over what was changed in the file by hand, and writes who was seen.
    pub(super) fn look(&self) {
        if locked(&self.devices).look(Timestamp::now()) {
            self.told();
        }
    }

    fn told(&self) {
        self.changed.send_modify(|times| *times += 1);
    }

    /// Waits until a device may no longer do what it might with this role.
    pub(super) async fn until_out(&self, id: &str, role: Role) {
        let mut changes = self.changed.subscribe();
        while self.role(id).is_some_and(|now| now >= role) {
            if changes.changed().await.is_err() {
                return;
            }
        }
    }
}

/// Bytes that nobody can guess, as hexadecimal digits.
pub(super) fn secret() -> Result<String, Trouble> {
    let mut bytes = [0_u8; 32];
    random(&mut bytes)?;
    Ok(hexadecimal(&bytes))
}

fn random(bytes: &mut [u8]) -> Result<(), Trouble> {
    getrandom::fill(bytes).map_err(|error| {
        Trouble::outside(format!("the system gives no random numbers: {error}"), "")
    })
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |text, byte| text + &format!("{byte:02x}"))
}

/// The hash of a secret for one purpose. The secrets are 256 random bits: no hash has to be slow for them.
fn hash(purpose: &str, secret: &str) -> String {
    let digest = Sha256::new().chain_update(purpose).chain_update([0]).chain_update(secret);
    hexadecimal(&digest.finalize())
}

/// What a change of a device must carry: bound to the secret that it holds.
pub(super) fn token(secret: &str) -> String {
    // It stands beside every blank of a page: 128 bits are as far out of reach as twice as many.
    hash("change", secret)[..32].to_owned()
}

/// Whether two texts are the same. As long for a wrong one as for the right one.
pub(super) fn same(right: &str, given: &str) -> bool {
    right.as_bytes().ct_eq(given.as_bytes()).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_tried_so_often_by_one_address_and_so_often_by_all_together() {
        let folder = tempfile::tempdir().unwrap();
        let access = Access::open(&folder.path().join("devices.toml")).unwrap();
        let from = |last: u8| IpAddr::from([192, 0, 2, last]);
        let too_often =
            |from: IpAddr| matches!(access.try_code(from, "WRONGWRO", "tablet"), Tried::TooOften);
        let of_one = (0..8).filter(|_| !too_often(from(1))).count();
        assert_eq!(of_one, 5);
        let of_others = (2..60).filter(|last| !too_often(from(*last))).count();
        assert_eq!(of_one + of_others, 30);
        let good = access.code(Role::Look).unwrap();
        let tried = access.try_code(from(61), &good, "tablet");
        assert!(matches!(tried, Tried::TooOften), "even a good one");
    }
}
