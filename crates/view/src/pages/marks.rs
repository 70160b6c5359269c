//! The states: each a shape, a word and a color, so that none is told by color alone.

use maud::{Markup, html};
use model::Level;
use model::finding::Verdict;

/// A state that a mark shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Checked, and it holds.
    Clear,
    /// Worth knowing.
    Note,
    /// Works, with a margin under its factor.
    Caution,
    /// Nothing is written while it stands.
    Stop,
    /// Not checked.
    Unproven,
}

impl State {
    /// The word that is written beside the shape; also its class name.
    pub const fn word(self) -> &'static str {
        match self {
            State::Clear => "clear",
            State::Note => "note",
            State::Caution => "caution",
            State::Stop => "stop",
            State::Unproven => "unproven",
        }
    }
}

impl From<Level> for State {
    fn from(level: Level) -> State {
        match level {
            Level::Note => State::Note,
            Level::Caution => State::Caution,
            Level::Stop => State::Stop,
        }
    }
}

impl From<Option<Level>> for State {
    fn from(level: Option<Level>) -> State {
        level.map_or(State::Clear, State::from)
    }
}

impl From<Verdict> for State {
    fn from(verdict: Verdict) -> State {
        match verdict {
            Verdict::Clear => State::Clear,
            Verdict::Caution => State::Caution,
            Verdict::Stop => State::Stop,
        }
    }
}

/// The shape with its word.
pub fn mark(state: State) -> Markup {
    html! {
        span class={ "mark " (state.word()) } { (shape(state)) " " (state.word()) }
    }
}

/// The shape alone; whoever shows it writes the word nearby. It stands once in the document.
pub fn shape(state: State) -> Markup {
    let word = state.word();
    html! {
        svg class={ "shape " (word) } aria-hidden="true" { use href={ "#s-" (word) } {} }
    }
}

/// Every shape, for the documents that show some of them.
pub(super) fn shapes() -> Markup {
    let all = [State::Clear, State::Note, State::Caution, State::Stop, State::Unproven];
    html! {
        svg class="shapes" aria-hidden="true" {
            @for state in all {
                symbol id={ "s-" (state.word()) } viewBox="0 0 16 16" { (drawn(state)) }
            }
            // What is left of a bar, in every picture of a page.
            pattern id="hatched" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                path class="hatching" d="M0 0V6" stroke-width="2.5";
            }
        }
    }
}

fn drawn(state: State) -> Markup {
    html! {
        @match state {
            State::Clear => {
                circle cx="8" cy="8" r="5.5" fill="none" stroke="currentColor" stroke-width="2.5" {}
            }
            State::Note => { circle cx="8" cy="8" r="3.5" fill="currentColor" {} }
            State::Caution => {
                path d="M8 2 15 14H1Z" fill="none" stroke="currentColor" stroke-width="2" {}
            }
            State::Stop => {
                // A square with a bar left out of it.
                path d="M1 1H15V15H1ZM4 7V9H12V7Z" fill="currentColor" fill-rule="evenodd" {}
            }
            State::Unproven => {
                circle cx="8" cy="8" r="6.5" fill="none" stroke="currentColor" stroke-width="1.6"
                    stroke-dasharray="3 2" {}
                text x="8" y="11.6" text-anchor="middle" fill="currentColor" font-size="10" { "?" }
            }
        }
    }
}
