//! Codes that let a device in: short enough to be typed, good once and not for long.

use super::{random, same};
use crate::commands::Trouble;
use std::time::{Duration, Instant};
use view::pages::Role;

/// How long a code is good.
pub(in crate::serve) const GOOD_FOR: Duration = Duration::from_mins(5);
/// Digits and letters without those that look alike (I, L, O, U): 32, so that a random byte chooses evenly.
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// Letters of a code: 40 random bits.
const LONG: usize = 8;
/// Codes that are out at once at most.
const MOST: usize = 40;

/// Codes that are out.
#[derive(Debug, Default)]
pub(super) struct Codes {
    out: Vec<Code>,
    made: u64,
}

#[derive(Debug)]
struct Code {
    letters: String,
    role: Role,
    until: Instant,
    /// Codes that were made together: one of them used, all are.
    group: u64,
    /// Whether it is one of several, of which a person reads one out.
    of_several: bool,
}

impl Codes {
    /// Codes for these roles, of which one can be used.
    pub(super) fn make(&mut self, roles: &[Role], now: Instant) -> Result<Vec<String>, Trouble> {
        self.forget(now);
        self.made += 1;
        let mut made = Vec::new();
        for role in roles {
            let mut bytes = [0_u8; LONG];
            random(&mut bytes)?;
            let letters: String =
                bytes.iter().map(|byte| char::from(LETTERS[usize::from(byte % 32)])).collect();
            made.push(letters.clone());
            self.out.push(Code {
                letters,
                role: *role,
                until: now + GOOD_FOR,
                group: self.made,
                of_several: roles.len() > 1,
            });
        }
        let over = self.out.len().saturating_sub(MOST);
        self.out.drain(..over);
        Ok(made)
    }

    /// The role that a typed code gives; it and those made with it are used up.
    pub(super) fn used(&mut self, typed: &str, now: Instant) -> Option<Role> {
        self.forget(now);
        let typed = plain(typed);
        let mut found = None;
        // All are looked at, so that the time does not tell which came near.
        for code in &self.out {
            if same(&code.letters, &typed) {
                found = Some((code.role, code.group));
            }
        }
        let (role, group) = found?;
        self.out.retain(|code| code.group != group);
        Some(role)
    }

    /// Those made one by one, each with its role and the seconds left.
    pub(super) fn out(&mut self, now: Instant) -> Vec<(String, Role, u64)> {
        self.forget(now);
        let single = self.out.iter().filter(|code| !code.of_several);
        single.map(|code| (code.letters.clone(), code.role, (code.until - now).as_secs())).collect()
    }

    fn forget(&mut self, now: Instant) {
        self.out.retain(|code| now < code.until);
    }
}

/// What was typed, as a code has it: large letters, nothing between them, look-alikes as what they look like.
fn plain(typed: &str) -> String {
    let letters = typed.chars().filter(char::is_ascii_alphanumeric).take(2 * LONG);
    letters
        .map(|letter| match letter.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn a_code_is_good_once_and_for_five_minutes() {
        let (mut codes, begin) = (Codes::default(), Instant::now());
        let code = codes.make(&[Role::Record], begin).unwrap().remove(0);
        assert_eq!(codes.used("00000000", begin), None);
        assert_eq!(codes.used("", begin), None);
        assert_eq!(codes.used(&code[..7], begin), None);
        let typed = format!(" {}-{} ", code[..4].to_lowercase(), &code[4..]);
        assert_eq!(codes.used(&typed, begin), Some(Role::Record));
        assert_eq!(codes.used(&code, begin), None, "used up");
        let code = codes.make(&[Role::Look], begin).unwrap().remove(0);
        assert_eq!(codes.used(&code, begin + GOOD_FOR), None, "too late");
        let code = codes.make(&[Role::Look], begin).unwrap().remove(0);
        let last = (begin + GOOD_FOR).checked_sub(Duration::from_millis(1)).unwrap();
        assert_eq!(codes.used(&code, last), Some(Role::Look));
    }

    #[test]
    fn of_codes_made_together_one_can_be_used() {
        let (mut codes, begin) = (Codes::default(), Instant::now());
        let single = codes.make(&[Role::Look], begin).unwrap().remove(0);
        let three = codes.make(&Role::ALL, begin).unwrap();
        assert_eq!(codes.out(begin).len(), 1, "those of a knock stand on no page");
        assert_eq!(codes.used(&three[1], begin), Some(Role::Record));
        assert_eq!(codes.used(&three[0], begin), None);
        assert_eq!(codes.used(&three[2], begin), None);
        assert_eq!(codes.used(&single, begin), Some(Role::Look), "others stay good");
    }

    #[test]
    fn letters_that_look_alike_are_taken_for_each_other_and_codes_are_spread() {
        assert_eq!(plain("oil-O iL"), "011011");
        let (mut codes, begin) = (Codes::default(), Instant::now());
        let mut seen = BTreeSet::new();
        for _ in 0..1000 {
            let code = codes.make(&[Role::Look], begin).unwrap().remove(0);
            assert_eq!(plain(&code), code);
            seen.insert(code);
        }
        // Of 40 bits, a thousand have two alike once in two million runs (birthday bound n²/2N).
        assert_eq!(seen.len(), 1000);
        let used: BTreeSet<char> = seen.iter().flat_map(|code| code.chars()).collect();
        assert_eq!(used.len(), 32, "every letter is used");
        assert_eq!(codes.out.len(), MOST);
    }
}
