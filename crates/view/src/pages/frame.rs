//! A whole document: head, ways, body.

use super::{Role, marks};
use maud::{DOCTYPE, Markup, html};

/// What every document has.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    /// The name of the page.
    pub title: &'a str,
    /// What a change must carry.
    pub token: &'a str,
    /// What the device that reads it may do; none for one that is not known.
    pub role: Option<Role>,
    /// The job the page is about, as its address has it; none for a page about the whole folder.
    pub job: Option<&'a str>,
    /// Which of the ways one is on: the first part of its address.
    pub here: &'a str,
    /// How often the job was changed, so that a page knows whether it is behind.
    pub revision: u64,
}

/// The ways about the whole shop: first part of the address, name.
const SHOP_WAYS: [(&str, &str); 6] = [
    ("", "Jobs"),
    ("shop", "Shop"),
    ("lathe", "At the lathe"),
    ("visits", "Visits"),
    ("sizes", "Sizes"),
    ("rack", "Rack"),
];

/// The ways of a job: first part of the address, name.
const WAYS: [(&str, &str); 9] = [
    ("job", "Questions"),
    ("part", "Part"),
    ("program", "Program"),
    ("loading", "Loading"),
    ("given/job", "Job"),
    ("given/lathe", "Lathe"),
    ("given/gripper", "Gripper"),
    ("given/tools", "Tools"),
    ("given/control", "Control"),
];

/// A text as part of an address.
pub fn address(name: &str) -> String {
    let mut address = String::new();
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"-_./".contains(&byte) {
            address.push(char::from(byte));
        } else {
            address.push_str(&format!("%{byte:02X}"));
        }
    }
    address
}

impl Frame<'_> {
    /// Whether the device that reads it may do what needs this role.
    pub fn may(&self, role: Role) -> bool {
        self.role >= Some(role)
    }

    /// The document around a body; `scripts` are names of assets.
    pub fn page(&self, scripts: &[&str], body: &Markup) -> String {
        let document = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    meta name="referrer" content="same-origin";
                    title { (self.title) " · Barwright" }
                    link rel="icon" href="/assets/mark.svg" type="image/svg+xml";
                    link rel="stylesheet" href="/assets/style.css";
                    @if self.job.is_none() { link rel="stylesheet" href="/assets/shop.css"; }
                    link rel="stylesheet" href="/assets/paper.css" media="print";
                    script type="module" src="/assets/tour.js" {}
                    script type="module" src="/assets/paper.js" {}
                    @for script in scripts { script type="module" src={ "/assets/" (script) } {} }
                }
                body spellcheck="false" data-token=(self.token) data-job=[self.job.map(address)] data-revision=(self.revision) data-here=(self.here) {
                    (marks::shapes())
                    a class="skip" href="#content" { "To the content" }
                    p class="printed" hidden {}
                    header class="head" {
                        a class="home" href="/" { "Barwright" }
                        @if self.role.is_some() { (self.shop_ways()) }
                        @if let Some(job) = self.job { (self.ways(job)) }
                    }
                    @if let Some(role) = self.role.filter(|role| *role < Role::Change) {
                        p class="role" {
                            "This device may " (role.word()) ". What it may not do is left out. "
                            "Who runs the computer of these pages can give it more."
                        }
                    }
                    (body)
                    footer class="foot" {
                        p {
                            "Guards and interlocks stay. The manuals of lathe and gripper, the rules of your place and the "
                            "qualified person on site come first. First run in single block with reduced rapids: this program "
                            "does not see the real machine."
                        }
                    }
                }
            }
        };
        document.into_string()
    }

    fn shop_ways(&self) -> Markup {
        html! {
            nav class="ways" aria-label="Pages of the shop" {
                @for (way, name) in SHOP_WAYS {
                    a href={ "/" (way) } aria-current=[(self.job.is_none() && way == self.here).then_some("page")] { (name) }
                }
            }
        }
    }

    fn ways(&self, job: &str) -> Markup {
        html! {
            nav class="ways" aria-label="Pages of this job" {
                @for (way, name) in WAYS {
                    a href={ "/" (way) "/" (address(job)) } aria-current=[(way == self.here).then_some("page")] { (name) }
                }
            }
        }
    }
}
