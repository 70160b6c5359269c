//! Pages about devices: one that is not known asks to be let in; those that are known stand in a list.

use super::{Frame, Role};
use crate::pictures::labels::dark_runs;
use maud::{Markup, html};

/// A device that was let in.
#[derive(Debug, Clone)]
pub struct Known {
    /// What its address has.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// What it may.
    pub role: Role,
    /// When it was let in, as people write it.
    pub since: String,
    /// When it asked for something last.
    pub seen: String,
}

/// A code that is good now.
#[derive(Debug, Clone)]
pub struct Code {
    /// Its letters.
    pub letters: String,
    /// What it gives.
    pub role: Role,
    /// Seconds left.
    pub left: u64,
}

/// What a device that is not known is shown.
#[derive(Debug, Clone, Copy, Default)]
pub struct Stranger<'a> {
    /// The path that it asked for.
    pub to: &'a str,
    /// The name that was typed.
    pub name: &'a str,
    /// Why it was not let in.
    pub refused: &'a str,
    /// Whether it came by a link of another site: browsers leave its secret out then.
    pub by_link: bool,
}

/// The page of a device that is not known.
pub fn stranger(stranger: &Stranger<'_>) -> String {
    let title = "This device is not known here";
    let frame = Frame { title, token: "", role: None, job: None, here: "", revision: 0 };
    let body = html! {
        main id="content" class="folder" {
            h1 { (title) }
            @if stranger.by_link {
                p { "If it was let in before: " a href=(stranger.to) { "go on to the page" } "." }
            }
            p {
                "Ask at the computer of these pages for a code. It stands there in the window where the pages were started, "
                "and on the page Devices. It is good once and for 5 minutes."
            }
            p id="waits" hidden {
                "What was tapped here and is not recorded yet stays on this device, and is sent when it is let in again."
            }
            @if !stranger.refused.is_empty() { p class="warning" role="alert" { (stranger.refused) } }
            form class="pair" method="post" action="/pair" autocomplete="off" {
                input type="hidden" name="to" value=(stranger.to);
                div class="blank" {
                    label for="code" { "Code" }
                    span class="entry" { input id="code" name="code" required size="10" maxlength="20" autocapitalize="characters"; }
                    small class="limits" { "8 letters and digits" }
                }
                div class="blank" {
                    label for="name" { "What is this device called?" }
                    span class="entry" { input id="name" class="words" name="name" required size="20" maxlength="40" value=(stranger.name); }
                    small class="limits" { "such as: tablet at lathe 2" }
                }
                button type="submit" { "Let this device in" }
            }
        }
    };
    frame.page(&["pair.js"], &body)
}

/// The page of all devices. `reach` is the beginning of the address for other devices; none where these pages
/// are on this computer only.
pub fn page(frame: &Frame<'_>, reach: Option<&str>, codes: &[Code], known: &[Known]) -> String {
    let body = html! {
        main id="content" class="folder devices" {
            h1 { (frame.title) }
            section aria-labelledby="let-in" {
                h2 id="let-in" { "Let a device in" }
                @match reach {
                    Some(reach) => p { "It opens " code { (reach) } " and asks for a code." },
                    None => p class="warning" {
                        "These pages are on this computer only: no other device reaches them. "
                        "Start them with " code { "--address" } " for that."
                    },
                }
                form class="pair" method="post" action="/devices/code" {
                    input type="hidden" name="token" value=(frame.token);
                    (role_choice("new-role", Role::Look))
                    button type="submit" { "Make a code" }
                }
                @for code in codes { (out(reach, code)) }
            }
            section aria-labelledby="known" {
                h2 id="known" { "Let in so far" }
                @if known.is_empty() { p class="none" { "None so far." } }
                ul class="jobs" { @for device in known { (row(frame.token, device)) } }
            }
        }
    };
    frame.page(&[], &body)
}

fn out(reach: Option<&str>, code: &Code) -> Markup {
    let minutes = code.left.div_ceil(60);
    let (first, second) = code.letters.split_at_checked(4).unwrap_or((&code.letters, ""));
    html! {
        div class="code-out" {
            @if let Some(reach) = reach { (square(&format!("{reach}/pair#{}", code.letters))) }
            div {
                p class="code-letters" { (first) "-" (second) }
                p {
                    "For a device that may " strong { (code.role.word()) } ": good once, for " (minutes)
                    @if minutes == 1 { " more minute." } @else { " more minutes." }
                    @if reach.is_some() { " Its camera reads the same from the square." }
                }
            }
        }
    }
}

/// A text as a code that a camera reads; nothing where it is too long for any.
fn square(text: &str) -> Markup {
    let Some((width, runs)) = dark_runs(text) else { return html! {} };
    // Four squares around stay free (ISO/IEC 18004).
    let mut path = String::new();
    for (row, run) in runs {
        let long = run.len();
        path.push_str(&format!("M{} {}h{long}v1h-{long}z", run.start + 4, row + 4));
    }
    let side = width + 8;
    html! {
        svg class="camera-code" viewBox={ "0 0 " (side) " " (side) } role="img" aria-label="Address and code for a camera" {
            rect width=(side) height=(side) {}
            path d=(path) {}
        }
    }
}

fn role_choice(id: &str, now: Role) -> Markup {
    html! {
        span class="pairing" {
            label for=(id) { "It may" }
            select id=(id) name="role" {
                @for role in Role::ALL {
                    option value=(role.word()) selected[role == now] { (role.word()) ": " (role.meaning()) }
                }
            }
        }
    }
}

fn row(token: &str, device: &Known) -> Markup {
    let (name, role) = (format!("name-{}", device.id), format!("role-{}", device.id));
    html! {
        li {
            form class="pair" method="post" action={ "/devices/" (device.id) } {
                input type="hidden" name="token" value=(token);
                span class="pairing" {
                    label for=(name) { "Name" }
                    input id=(name) name="name" value=(device.name) required maxlength="40" size="20" autocomplete="off";
                }
                (role_choice(&role, device.role))
                button type="submit" { "Save" }
            }
            form method="post" action={ "/devices/" (device.id) "/out" } {
                input type="hidden" name="token" value=(token);
                button type="submit" aria-label={ "Shut out " (device.name) } { "Shut out" }
            }
            span class="where" { "let in " (device.since) ", last seen " (device.seen) }
        }
    }
}
