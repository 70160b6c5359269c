//! What a device that reads the pages may do.

/// A role; each may all that the ones before it may.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Reads every page.
    Look,
    /// Tells what happened at a lathe too.
    Record,
    /// Changes files and lets devices in too.
    Change,
}

impl Role {
    /// Every role, the least first.
    pub const ALL: [Role; 3] = [Role::Look, Role::Record, Role::Change];

    /// Its word, as files and forms have it.
    pub const fn word(self) -> &'static str {
        match self {
            Role::Look => "look",
            Role::Record => "record",
            Role::Change => "change",
        }
    }

    /// What it may, in a sentence.
    pub const fn meaning(self) -> &'static str {
        match self {
            Role::Look => "Reads every page.",
            Role::Record => "Reads every page and tells what happened at a lathe.",
            Role::Change => "Does everything: changes files, lets devices in.",
        }
    }

    /// The role of a word.
    pub fn of(word: &str) -> Option<Role> {
        Role::ALL.into_iter().find(|role| role.word() == word)
    }
}
