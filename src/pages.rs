//! The page of every finding: first what a proof finds, then what a plan finds by arithmetic. What
//! both find has one page.

use model::{Level, page};

/// A page about one finding.
#[derive(Debug, Clone, Copy)]
pub struct Page {
    /// The finding's stable word.
    pub id: &'static str,
    /// How much it matters at worst.
    pub level: Level,
    /// The page in Markdown.
    pub text: &'static str,
}

impl Page {
    /// Its name in words.
    pub fn title(&self) -> &'static str {
        page::Page(self.text).title()
    }

    /// One section as plain text; empty where there is no such heading.
    pub fn section(&self, heading: &str) -> String {
        page::Page(self.text).section(heading)
    }
}

/// Every page.
pub fn all() -> impl Iterator<Item = Page> {
    let proof = prove::checks::own();
    let proof = proof.map(|check| Page { id: check.id, level: check.level, text: check.page });
    let plan = plan::checks::own();
    proof.chain(plan.map(|check| Page { id: check.id, level: check.level, text: check.page }))
}

/// The pages of all that a proof can find, in the order of its checks.
pub fn of_proof() -> Vec<Page> {
    let page = |id| all().find(|page| page.id == id);
    prove::checks::ALL.iter().filter_map(|check| page(check.id)).collect()
}
