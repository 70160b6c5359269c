//! Devices that were let in: name, role, when, and the hash of the secret that each holds; never the secret.
//!
//! They stand in one file a served folder, in the user's state folder and not in the served one: that one is
//! copied, sent and kept under version control, and who may ask is nobody's business there.

use super::{hash, secret};
use crate::commands::Trouble;
use crate::files::write_private;
use crate::term;
use jiff::{SignedDuration, Timestamp};
use std::fs;
use std::path::{Path, PathBuf};
use toml::{Table, Value};
use view::pages::Role;

/// Devices at most.
const MOST: usize = 200;
/// Characters of a name at most.
pub(in crate::serve) const LONGEST_NAME: usize = 40;
/// How old the written time may be at which a device was seen.
const SEEN: SignedDuration = SignedDuration::from_mins(1);

/// A device that was let in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::serve) struct Device {
    /// What it is called in addresses and in the file.
    pub(in crate::serve) id: String,
    pub(in crate::serve) name: String,
    pub(in crate::serve) role: Role,
    pub(in crate::serve) paired: Timestamp,
    pub(in crate::serve) seen: Timestamp,
    /// The hash of its secret.
    proof: String,
}

/// Every device, as the file has them.
#[derive(Debug)]
pub(super) struct Devices {
    path: PathBuf,
    all: Vec<Device>,
    /// The text of the file as far as is known.
    text: String,
    /// When it was written last.
    written: Timestamp,
    /// Whether somebody was seen since.
    news: bool,
}

/// Where the devices of a served folder stand, if nothing else is said; none where the user has no folder.
pub(in crate::serve) fn usual_place(folder: &Path) -> Option<PathBuf> {
    let state = dirs::state_dir().or_else(dirs::data_local_dir)?;
    let name = folder.file_name().map_or("root".into(), |name| name.to_string_lossy());
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).take(40).collect();
    let which = &hash("folder", &folder.to_string_lossy())[..12];
    Some(state.join("barwright").join(format!("devices-of-{plain}-{which}.toml")))
}

impl Devices {
    /// Reads the file; none is known where there is none.
    pub(super) fn open(path: &Path) -> Result<Devices, Trouble> {
        let text = match fs::read_to_string(path) {
            Ok(text) => text,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(error) => return Err(unusable(path, &term::reason(&error))),
        };
        let all = read(&text).map_err(|why| unusable(path, &why))?;
        let written = Timestamp::now();
        Ok(Devices { path: path.to_path_buf(), all, text, written, news: false })
    }

    pub(super) fn all(&self) -> &[Device] {
        &self.all
    }

    /// The device that holds a secret; noted as seen.
    pub(super) fn holder(&mut self, secret: &str, now: Timestamp) -> Option<Device> {
        let proof = hash("known", secret);
        let mut found = None;
        // All are looked at, so that the time does not tell which came near.
        for (place, device) in self.all.iter().enumerate() {
            if super::same(&device.proof, &proof) {
                found = Some(place);
            }
        }
        let device = &mut self.all[found?];
        device.seen = device.seen.max(now);
        self.news = true;
        Some(device.clone())
    }

    /// Lets a device in: the secret that it is to hold, which is kept nowhere else.
    pub(super) fn let_in(
        &mut self,
        name: &str,
        role: Role,
        now: Timestamp,
    ) -> Result<String, Trouble> {
        if self.all.len() >= MOST {
            let message = format!("{MOST} devices are known already");
            return Err(Trouble::outside(message, "shut out those that are not used any more"));
        }
        let secret = secret()?;
        let id = super::secret()?[..12].to_owned();
        let proof = hash("known", &secret);
        let name = plain_name(name);
        self.all.push(Device { id, name, role, paired: now, seen: now, proof });
        self.write().inspect_err(|_| {
            self.all.pop();
        })?;
        Ok(secret)
    }

    /// Gives a device another name and role, or shuts it out; false where it is not known.
    pub(super) fn change(
        &mut self,
        id: &str,
        change: Option<(&str, Role)>,
    ) -> Result<bool, Trouble> {
        let Some(place) = self.all.iter().position(|device| device.id == id) else {
            return Ok(false);
        };
        match change {
            Some((name, role)) => {
                self.all[place].name = plain_name(name);
                self.all[place].role = role;
            }
            // It is out even if that cannot be written.
            None => drop(self.all.remove(place)),
        }
        self.write()?;
        Ok(true)
    }

    /// Takes over what was changed by hand, and writes now and then who was seen; whether the devices changed.
    pub(super) fn look(&mut self, now: Timestamp) -> bool {
        let text = fs::read_to_string(&self.path).unwrap_or_default();
        if text != self.text {
            // What cannot be read lets nobody in.
            self.all = read(&text).unwrap_or_default();
            self.text = text;
            return true;
        }
        if self.news && now.duration_since(self.written) > SEEN {
            // A time that is not written is written by the next look.
            let _ = self.write();
        }
        false
    }

    fn write(&mut self) -> Result<(), Trouble> {
        let text = text(&self.all);
        write_private(&self.path, text.as_bytes())?;
        (self.text, self.written, self.news) = (text, Timestamp::now(), false);
        Ok(())
    }
}

fn unusable(path: &Path, why: &str) -> Trouble {
    Trouble::outside(
        format!("{} does not say which devices are known: {why}", path.display()),
        "mend it, or take it away and let each device in anew",
    )
}

/// A name on one line, not too long, never empty.
fn plain_name(name: &str) -> String {
    let name: String = name.chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
    match name.trim() {
        "" => "a device without a name".to_owned(),
        name => name.to_owned(),
    }
}

fn text(all: &[Device]) -> String {
    let mut text = String::from(
        "# Devices that `barwright serve` lets in. A table taken away shuts its device out at once.\n",
    );
    for device in all {
        let mut table = Table::new();
        for (key, value) in [
            ("id", device.id.clone()),
            ("name", device.name.clone()),
            ("role", device.role.word().to_owned()),
            ("paired", device.paired.to_string()),
            ("seen", device.seen.to_string()),
            ("proof", device.proof.clone()),
        ] {
            table.insert(key.to_owned(), Value::String(value));
        }
        text.push_str(&format!("\n[[device]]\n{table}"));
    }
    text
}

fn read(text: &str) -> Result<Vec<Device>, String> {
    let table: Table = text.parse().map_err(|error: toml::de::Error| error.message().to_owned())?;
    let Some(list) = table.get("device") else { return Ok(Vec::new()) };
    let list = list.as_array().ok_or("`device` is no list of tables")?;
    list.iter().map(device).collect()
}

fn device(value: &Value) -> Result<Device, String> {
    let text = |key: &str| {
        value.get(key).and_then(Value::as_str).ok_or(format!("a device has no `{key}` as a text"))
    };
    let time = |key: &str| {
        text(key)?.parse().map_err(|_| format!("`{key}` of a device is no time of RFC 3339"))
    };
    let role = text("role")?;
    let proof = text("proof")?.to_owned();
    if proof.len() != 64 {
        return Err("`proof` of a device is no hash".to_owned());
    }
    Ok(Device {
        id: text("id")?.to_owned(),
        name: text("name")?.to_owned(),
        role: Role::of(role).ok_or(format!("`{role}` is no role: look, record or change"))?,
        paired: time("paired")?,
        seen: time("seen")?,
        proof,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_device_is_known_by_its_secret_which_stands_nowhere() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("below/devices.toml");
        let mut devices = Devices::open(&path).unwrap();
        let now: Timestamp = "2026-11-26T08:00:00Z".parse().unwrap();
        let name = "tablet \"2\"\n[[device]] = ü";
        let one = devices.let_in(name, Role::Record, now).unwrap();
        let other = devices.let_in("", Role::Look, now).unwrap();
        assert!(one != other && one.len() == 64);
        let text = fs::read_to_string(&path).unwrap();
        assert!(!text.contains(&one) && !text.contains(&other), "{text}");
        let mut again = Devices::open(&path).unwrap();
        assert_eq!(again.all, devices.all);
        let later: Timestamp = "2026-11-26T09:00:00Z".parse().unwrap();
        let known = again.holder(&one, later).unwrap();
        assert_eq!((known.name.as_str(), known.role), ("tablet \"2\"[[device]] = ü", Role::Record));
        assert_eq!((known.paired, known.seen), (now, later));
        for wrong in ["", "00", &one[..63], &hash("known", &one), &format!("{one}0")] {
            assert_eq!(again.holder(wrong, now), None);
        }
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        }
    }

    #[test]
    fn the_file_may_be_changed_by_hand_and_lets_nobody_in_when_it_cannot_be_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("devices.toml");
        let mut devices = Devices::open(&path).unwrap();
        let now = Timestamp::now();
        let secret = devices.let_in("tablet", Role::Change, now).unwrap();
        assert!(!devices.look(now), "nothing changed");
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, text.replace("\"change\"", "\"look\"")).unwrap();
        assert!(devices.look(now));
        assert_eq!(devices.holder(&secret, now).unwrap().role, Role::Look);
        let odd = text.replace("\"change\"", "\"all\"");
        for broken in ["[[device]\n", "device = 1\n", "[[device]]\nid = \"x\"\n", &odd, ""] {
            fs::write(&path, &text).unwrap();
            devices.look(now);
            assert!(devices.holder(&secret, now).is_some());
            fs::write(&path, broken).unwrap();
            assert!(devices.look(now));
            assert_eq!(devices.holder(&secret, now), None, "{broken}");
            assert_eq!(Devices::open(&path).is_err(), !broken.is_empty(), "{broken}");
        }
    }

    #[test]
    fn each_served_folder_has_a_list_of_its_own_outside_of_it() {
        let folder = tempfile::tempdir().unwrap();
        let (one, other) = (folder.path().join("one/shop"), folder.path().join("other/shop"));
        let place = usual_place(&one).unwrap();
        assert!(!place.starts_with(folder.path()) && place.is_absolute(), "{}", place.display());
        assert_ne!(Some(place), usual_place(&other));
    }

    #[test]
    fn one_who_is_shut_out_is_out_even_where_nothing_can_be_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("devices.toml");
        let mut devices = Devices::open(&path).unwrap();
        let now = Timestamp::now();
        let secret = devices.let_in("tablet", Role::Look, now).unwrap();
        let id = devices.all[0].id.clone();
        assert!(devices.change(&id, Some(("phone", Role::Record))).unwrap());
        assert_eq!(devices.holder(&secret, now).unwrap().name, "phone");
        assert!(!devices.change("nobody", None).unwrap());
        fs::remove_file(&path).unwrap();
        fs::create_dir(&path).unwrap();
        assert!(devices.change(&id, None).is_err());
        assert_eq!(devices.holder(&secret, now), None);
    }
}
